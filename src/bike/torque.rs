//! A tightening torque as it is printed on a part: one figure, `5 N·m`, or a range, `4-6 N·m`.
//! Of which bolt it is, and whether it is doubtful, is `advice::handover::bolts`.

use std::ops::RangeInclusive;

use serde::{Serialize, Serializer};

use crate::file::{Content, Decoder, Node, Shape, Value, in_range};
use crate::units::{Quantity as _, Torque, last_unit, tidy};

/// The figures printed on a part, the lower first; alike where one is printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrintedTorque([Torque; 2]);

/// What stands between the ends of a range.
const BETWEEN: [&str; 5] = ["-", "\u{2212}", "\u{2013}", "\u{2014}", " to "];

impl PrintedTorque {
    /// The lower and the upper end, N·m.
    pub fn nm(self) -> [f64; 2] {
        self.0.map(Torque::nm)
    }

    /// From text such as `5`, `5 Nm` or `4-6 N·m`.
    fn from_text(text: &str, range: &RangeInclusive<f64>) -> Result<Self, String> {
        let ends = BETWEEN.iter().find_map(|between| {
            let (low, high) = text.split_once(between)?;
            // A fraction behind a dash is no end, and a sign stands before one figure.
            let is_figure = |end: &str| end.contains(|c: char| c.is_ascii_digit());
            (is_figure(low) && is_figure(high) && !high.contains('/')).then_some((low, high))
        });
        let Some((low, high)) = ends else {
            return in_range::<Torque>(&text.into(), range).map(Self::from);
        };
        // In `4-6 N·m` the unit behind the upper end is meant for both.
        let low = if last_unit(low).is_empty() {
            format!("{} {}", low.trim(), last_unit(high))
        } else {
            low.to_owned()
        };
        let low: Torque = in_range(&low.as_str().into(), range)?;
        let high: Torque = in_range(&high.into(), range)?;
        if low > high {
            return Err(format!(
                "found {} to {} {}; write the lower figure first",
                low.nm(),
                high.nm(),
                Torque::UNIT
            ));
        }
        Ok(Self([low, high]))
    }
}

impl From<Torque> for PrintedTorque {
    fn from(torque: Torque) -> Self {
        Self([torque; 2])
    }
}

/// The figure or the range alone, `5` or `4-6`.
impl std::fmt::Display for PrintedTorque {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let [low, high] = self.nm().map(|nm| tidy(nm, 1));
        if low == high {
            f.write_str(&low)
        } else {
            write!(f, "{low}-{high}")
        }
    }
}

impl Serialize for PrintedTorque {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let [low, high] = self.0;
        if low == high {
            low.serialize(serializer)
        } else {
            serializer.collect_str(&format_args!("{}-{} {}", low.nm(), high.nm(), Torque::UNIT))
        }
    }
}

impl Value for PrintedTorque {
    type Limits = RangeInclusive<f64>;
    fn decode<'n>(node: &'n Node<'n>, limits: &Self::Limits, to: &mut Decoder<'n>) -> Option<Self> {
        to.scalar(
            node,
            "a torque, or the range that is printed",
            |found| match found {
                Content::Text(text) => Self::from_text(text, limits),
                other => in_range::<Torque>(other, limits).map(Self::from),
            },
        )
    }
    fn shape(limits: &Self::Limits) -> Shape {
        Shape::Either(
            Box::new(Torque::shape(limits)),
            Box::new(Shape::Pattern(
                r"^\s*([0-9]+\.?[0-9]*|\.[0-9]+)\s*([Nn]·?\s?[Mm])?\s*([-−–—]|\sto\s)\s*([0-9]+\.?[0-9]*|\.[0-9]+)\s*([Nn]·?\s?[Mm])?\s*$",
            )),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<[f64; 2], String> {
        PrintedTorque::from_text(text, &(0.2..=90.0)).map(PrintedTorque::nm)
    }

    #[test]
    fn one_figure_and_a_range_are_read_as_printed() {
        for (text, ends) in [
            ("5", [5.0, 5.0]),
            ("5.5 Nm", [5.5, 5.5]),
            ("5-6", [5.0, 6.0]),
            ("4\u{2013}6 Nm", [4.0, 6.0]),
            ("4.5 to 6 N·m", [4.5, 6.0]),
            ("35 Nm - 40 Nm", [35.0, 40.0]),
        ] {
            assert_eq!(read(text), Ok(ends), "{text}");
        }
    }

    #[test]
    fn what_is_no_torque_is_refused_with_what_is_allowed() {
        for (text, words) in [
            ("6-5", "write the lower figure first"),
            ("5-95", "allowed 0.2 to 90 N·m"),
            ("-5", "allowed 0.2 to 90 N·m"),
            ("5-6 bar", "`bar` is not a unit for a torque"),
            ("5 to", "`to` is not a unit for a torque"),
            ("4-5-6", "5-6"),
        ] {
            let why = read(text).unwrap_err();
            assert!(why.contains(words), "{text}: {why}");
        }
    }

    #[test]
    fn a_range_is_written_as_it_can_be_read_again() {
        for text in ["5-6", "4.5 to 6 N·m", "7"] {
            let torque = PrintedTorque::from_text(text, &(0.2..=90.0)).unwrap();
            let written = serde_json::to_value(torque).unwrap();
            let written = written
                .as_str()
                .map_or_else(|| written.to_string(), str::to_owned);
            assert_eq!(read(&written), Ok(torque.nm()), "{written}");
        }
    }
}
