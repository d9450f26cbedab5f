//! Quantities with their unit in the type: how they are read from a tape, and how they are printed.
//! Millimetres, degrees, kilograms, bar and months inside; anything else only at the edge.
//! Ranges and file keys live with the files (`bike::spec`, `rider::measures`), not here.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::words::{choice, either};
pub(crate) use crate::words::{clip, tidy};

/// Millimetres in one inch, exact by definition (international yard and pound agreement, 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// Pounds per square inch in one bar.
pub const PSI_PER_BAR: f64 = 14.503_773_77;
pub(crate) const KG_PER_POUND: f64 = 0.453_592_37;

/// Why a quantity could not be read. Display gives what was found and what is allowed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ParseError {
    /// No number where one was expected.
    #[error("`{found}` is not {what}; write for example {example}")]
    NotAQuantity {
        /// The text as found.
        found: String,
        /// What was wanted, with its article.
        what: &'static str,
        /// A spelling that works.
        example: &'static str,
    },
    /// A number with a unit that does not belong to this quantity.
    #[error("`{unit}` is not a unit for {what}; allowed: {allowed}")]
    Unit {
        /// The unit as found.
        unit: String,
        /// What was wanted, with its article.
        what: &'static str,
        /// The units that work.
        allowed: &'static str,
    },
    /// Not a finite number.
    #[error("`{0}` is not a finite number")]
    NotFinite(String),
    /// A dash that only looks like a minus sign.
    #[error("`{found}` has the dash `{dash}` in place of a minus sign; write it with `-`")]
    Dash {
        /// The text as found.
        found: String,
        /// The dash.
        dash: char,
    },
    /// Two numbers where one is wanted.
    #[error("`{found}` is a range, and {what} is one figure; of a printed range write the lower")]
    Range {
        /// The text as found.
        found: String,
        /// What was wanted, with its article.
        what: &'static str,
    },
    /// Several numbers whose units repeat or rise, or the smaller of which fills the larger unit.
    #[error("`{found}` {problem}; write for example {cure}")]
    Terms {
        /// The text as found.
        found: String,
        /// What is wrong with the terms.
        problem: &'static str,
        /// A spelling that works.
        cure: String,
    },
    /// A decimal comma.
    #[error("`{found}` has a comma; write the decimal point: {cure}")]
    Comma {
        /// The text as found.
        found: String,
        /// The same text with a point.
        cure: String,
    },
}

/// What every quantity shares: its unit table, the name of its base unit, and the bare number.
pub trait Quantity: Copy + FromStr<Err = ParseError> {
    /// The unit of [`Quantity::number`], as printed.
    const UNIT: &'static str;
    /// Wraps a number in the base unit.
    fn from_number(number: f64) -> Self;
    /// The number in the base unit.
    fn number(self) -> f64;
    /// Every spelling of a unit that may follow a number; an empty one where a bare number will do.
    fn spellings() -> Vec<&'static str>;
    /// What is allowed, in the base unit and in that of the text, which it may or may not end with.
    fn allowed(range: &std::ops::RangeInclusive<f64>, text: &str) -> String;
    /// A sentence about a likely slip when a plain number is outside `allowed`, but in another unit would be inside.
    fn likely_slip(found: f64, allowed: &std::ops::RangeInclusive<f64>) -> Option<String>;
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $from:ident, $get:ident, $unit:literal, $what:literal, $example:literal, $allowed:literal, [$(($spelling:literal, $factor:expr)),* $(,)?]) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("From a number in the base unit (", $unit, ").")]
            pub const fn $from(number: f64) -> Self { Self(number) }
            #[doc = concat!("The number in the base unit (", $unit, ").")]
            pub const fn $get(self) -> f64 { self.0 }
            const GRAMMAR: Grammar = Grammar {
                what: $what, example: $example, allowed: $allowed,
                units: &[$(($spelling, $factor)),*],
            };
        }

        impl Quantity for $name {
            const UNIT: &'static str = $unit;
            fn from_number(number: f64) -> Self { Self(number) }
            fn number(self) -> f64 { self.0 }
            fn spellings() -> Vec<&'static str> {
                Self::GRAMMAR.units.iter().map(|(spelling, _)| *spelling).collect()
            }
            fn allowed(range: &std::ops::RangeInclusive<f64>, text: &str) -> String {
                Self::GRAMMAR.allowed(range, text, $unit)
            }
            fn likely_slip(found: f64, allowed: &std::ops::RangeInclusive<f64>) -> Option<String> {
                Self::GRAMMAR.likely_slip(found, allowed, $unit)
            }
        }

        impl FromStr for $name {
            type Err = ParseError;
            fn from_str(text: &str) -> Result<Self, ParseError> {
                Ok(Self(Self::GRAMMAR.parse(text)?))
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                // As it can be read again: a bare number only where the grammar takes one.
                if Self::GRAMMAR.units.iter().any(|(spelling, _)| spelling.is_empty()) {
                    serializer.serialize_f64(self.0)
                } else {
                    serializer.collect_str(&format_args!("{} {}", self.0, $unit))
                }
            }
        }
    };
}

quantity!(
    /// A length. Base unit: millimetre.
    Length, from_mm, mm, "mm", "a length", "`610`, `61 cm`, `24 1/2 in` or `4 ft 2 in`", "mm, cm, m, in, ft",
    [("", 1.0), ("mm", 1.0), ("cm", 10.0), ("m", 1000.0),
     ("in", MM_PER_INCH), ("inch", MM_PER_INCH), ("inches", MM_PER_INCH), ("\"", MM_PER_INCH), ("″", MM_PER_INCH),
     // As phones type them.
     ("”", MM_PER_INCH), ("“", MM_PER_INCH),
     ("ft", 12.0 * MM_PER_INCH), ("foot", 12.0 * MM_PER_INCH), ("feet", 12.0 * MM_PER_INCH), ("'", 12.0 * MM_PER_INCH), ("′", 12.0 * MM_PER_INCH),
     ("’", 12.0 * MM_PER_INCH), ("‘", 12.0 * MM_PER_INCH)]
);
quantity!(
    /// An angle. Base unit: degree.
    Angle, from_deg, deg, "deg", "an angle", "`73.5` or `73.5 deg`", "deg, °",
    [("", 1.0), ("deg", 1.0), ("degrees", 1.0), ("°", 1.0)]
);
quantity!(
    /// A mass. Base unit: kilogram.
    Mass, from_kg, kg, "kg", "a weight", "`27 kg` or `60 lb`", "kg, g, lb",
    [("", 1.0), ("kg", 1.0), ("g", 0.001), ("lb", KG_PER_POUND), ("lbs", KG_PER_POUND)]
);
quantity!(
    /// A gauge pressure. Base unit: bar.
    Pressure, from_bar, bar, "bar", "a pressure", "`1.8 bar` or `26 psi`", "bar, psi, kPa",
    [("", 1.0), ("bar", 1.0), ("psi", 1.0 / PSI_PER_BAR), ("kPa", 0.01), ("kpa", 0.01)]
);
quantity!(
    /// A tightening torque. Base unit: newton metre.
    Torque, from_nm, nm, "N·m", "a torque", "`5` or `5 Nm`", "N·m, Nm",
    [("", 1.0), ("Nm", 1.0), ("N·m", 1.0), ("N m", 1.0), ("nm", 1.0)]
);
quantity!(
    /// An age. Base unit: month; always written with its unit.
    Age, from_months, months, "months", "an age", "`7y`, `7y4m` or `88 months`", "y, years, m, months",
    [("y", 12.0), ("yr", 12.0), ("yrs", 12.0), ("year", 12.0), ("years", 12.0),
     ("m", 1.0), ("mo", 1.0), ("month", 1.0), ("months", 1.0)]
);

impl Pressure {
    /// The same pressure in pounds per square inch.
    pub fn psi(self) -> f64 {
        self.0 * PSI_PER_BAR
    }
}

struct Grammar {
    what: &'static str,
    example: &'static str,
    allowed: &'static str,
    units: &'static [(&'static str, f64)],
}

/// What may stand for a minus sign: hyphen-minus and the minus sign itself.
const MINUS: [char; 2] = ['-', '\u{2212}'];
/// Dashes that are refused by name, because a text with one was meant to say something else, or came out of a word
/// processor: hyphens, figure, en and em dash, bar, and the modifier, superscript, subscript, small, heavy and
/// full-width forms.
const DASHES: [char; 14] = [
    '\u{2d7}', '\u{2010}', '\u{2011}', '\u{2012}', '\u{2013}', '\u{2014}', '\u{2015}', '\u{2043}',
    '\u{207b}', '\u{208b}', '\u{2796}', '\u{fe58}', '\u{fe63}', '\u{ff0d}',
];

/// One number of a sum, and its unit.
#[derive(Clone, Copy)]
struct Term<'a> {
    number: f64,
    unit: &'a str,
    factor: f64,
}

impl Grammar {
    /// What is allowed, in the base unit; behind it in the unit that ends the text, by its word where it was written as
    /// a sign, rounded to the inside.
    fn allowed(&self, range: &std::ops::RangeInclusive<f64>, text: &str, base: &str) -> String {
        let (low, high) = (*range.start(), *range.end());
        let words = format!("allowed {} to {} {base}", tidy(low, 3), tidy(high, 3));
        let text = text.trim_end();
        let written = self
            .units
            .iter()
            .filter(|(spelling, _)| !spelling.is_empty() && text.ends_with(spelling))
            .max_by_key(|(spelling, _)| spelling.len());
        match written {
            Some((spelling, factor)) if factor.to_bits() != 1.0_f64.to_bits() => {
                let (low, high) = (low / factor, high / factor);
                // As many decimals as make a score of steps.
                let decimals = (1..=4).find(|places| (high - low) * 10_f64.powi(*places) >= 20.0);
                let decimals = decimals.unwrap_or(4);
                let step = 10_f64.powi(-decimals);
                let (low, high) = (
                    in_steps(low, step, f64::ceil),
                    in_steps(high, step, f64::floor),
                );
                if low > high {
                    return words;
                }
                let [low, high] =
                    [low, high].map(|end| tidy(end, decimals.unsigned_abs() as usize));
                let of_factor = |(_, one): &&(&str, f64)| one.to_bits() == factor.to_bits();
                let unit = self.units.iter().find(of_factor);
                let unit = unit.map_or(*spelling, |(word, _)| *word);
                format!("{words} ({low} to {high} {unit})")
            }
            _ => words,
        }
    }

    /// The units in which a plain number would be allowed, the first spelling of each.
    fn likely_slip(
        &self,
        found: f64,
        allowed: &std::ops::RangeInclusive<f64>,
        base: &str,
    ) -> Option<String> {
        let mut meant: Vec<(f64, String)> = Vec::new();
        for (unit, factor) in self.units {
            let is_known = meant
                .iter()
                .any(|(known, _)| known.to_bits() == factor.to_bits());
            if !is_known && allowed.contains(&(found * factor)) {
                meant.push((*factor, format!("{} {unit}", tidy(found, 4))));
            }
        }
        let meant: Vec<_> = meant.into_iter().map(|(_, text)| text).collect();
        (!meant.is_empty()).then(|| {
            let meant = either(&meant);
            format!("a plain number is in {base}: did you mean {meant}?")
        })
    }

    /// Reads a sum of terms, each a number (decimal, or whole with a fraction) and a unit: `4 ft 2 1/2 in`.
    /// Units fall from term to term, and a smaller one never fills the one before it.
    fn parse(&self, text: &str) -> Result<f64, ParseError> {
        let not_a_quantity = || ParseError::NotAQuantity {
            found: clip(text),
            what: self.what,
            example: self.example,
        };
        let mut rest = text.trim();
        if let Some(bare) = rest.strip_suffix(',') {
            return Err(ParseError::Terms {
                found: clip(rest),
                problem: "ends with a comma",
                cure: clip(bare),
            });
        }
        if rest.contains(',') {
            return Err(ParseError::Comma {
                found: clip(rest),
                cure: clip(&rest.replace(',', ".")),
            });
        }
        if is_range(rest) {
            return Err(ParseError::Range {
                found: clip(rest),
                what: self.what,
            });
        }
        if let Some(dash) = rest.chars().find(|c| DASHES.contains(c)) {
            let found = clip(rest);
            return Err(ParseError::Dash { found, dash });
        }
        let sign = match rest.strip_prefix(MINUS) {
            Some(after) => {
                rest = after.trim_start();
                -1.0
            }
            None => 1.0,
        };
        if rest.is_empty() {
            return Err(not_a_quantity());
        }
        let mut total = 0.0;
        let mut before: Option<Term<'_>> = None;
        while !rest.is_empty() {
            let (number, after) = number_with_fraction(rest).ok_or_else(not_a_quantity)?;
            let after = after.trim_start();
            let end = after
                .find(|c: char| c.is_ascii_digit())
                .unwrap_or(after.len());
            let unit = after[..end].trim();
            let factor = self.factor(unit);
            let term = match factor {
                Some(factor) if before.is_none() || !unit.is_empty() => Term {
                    number,
                    unit,
                    factor,
                },
                _ if unit.is_empty() => {
                    return Err(before
                        .and_then(|before| self.without_unit(text, before, number))
                        .unwrap_or_else(not_a_quantity));
                }
                _ => {
                    return Err(ParseError::Unit {
                        unit: clip(unit),
                        what: self.what,
                        allowed: self.allowed,
                    });
                }
            };
            total += number * term.factor;
            if !total.is_finite() {
                return Err(ParseError::NotFinite(clip(text)));
            }
            if let Some(before) = before {
                Self::fall(text, before, term)?;
            }
            before = Some(term);
            rest = after[end..].trim_start();
        }
        Ok(sign * total)
    }

    /// What a unit is worth; in capitals, as phones begin a word, only where that is no other unit.
    fn factor(&self, unit: &str) -> Option<f64> {
        let is = |same: &dyn Fn(&str) -> bool| self.units.iter().find(|(of, _)| same(of));
        let exact = is(&|of| of == unit);
        exact
            .or_else(|| is(&|of| of.eq_ignore_ascii_case(unit)))
            .map(|(_, factor)| *factor)
    }

    /// A last number without its unit, where it can only be in one: `8y6`, `4 ft 2`.
    fn without_unit(&self, text: &str, before: Term<'_>, number: f64) -> Option<ParseError> {
        // The largest unit of which a whole number makes the one before it.
        let is_part = |factor: f64| {
            let parts = before.factor / factor;
            parts > 1.5 && (parts - parts.round()).abs() < 1e-9
        };
        let parts = self.units.iter().filter(|(_, factor)| is_part(*factor));
        // Of several spellings the first.
        let (unit, factor) =
            parts.reduce(|best, next| if next.1 > best.1 { next } else { best })?;
        let gap = if text.contains(' ') { " " } else { "" };
        let cure = format!("{}{gap}{unit}", text.trim());
        (!before.unit.is_empty() && number * factor < before.factor).then(|| ParseError::Terms {
            found: clip(text),
            problem: "ends with a number without a unit",
            cure: clip(&cure),
        })
    }

    /// Whether a term may follow another.
    fn fall(text: &str, before: Term<'_>, term: Term<'_>) -> Result<(), ParseError> {
        let gap = if text.contains(' ') { " " } else { "" };
        let pair = |[a, b]: [f64; 2], [first, second]: [&str; 2]| {
            let (a, b) = (tidy(a, 4), tidy(b, 4));
            if b == "0" {
                format!("{a}{gap}{first}")
            } else {
                format!("{a}{gap}{first}{gap}{b}{gap}{second}")
            }
        };
        let wrong = |problem, cure: String| {
            Err(ParseError::Terms {
                found: clip(text),
                problem,
                cure: clip(&cure),
            })
        };
        if before.unit.is_empty() {
            let cure = pair([term.number, 0.0], [term.unit, ""]);
            return wrong("has a number without a unit before another", cure);
        }
        if before.factor.total_cmp(&term.factor).is_eq() {
            let cure = pair([before.number, 0.0], [before.unit, ""]);
            return wrong("gives the same unit twice", cure);
        }
        if before.factor < term.factor {
            let cure = pair([term.number, before.number], [term.unit, before.unit]);
            return wrong("has a larger unit after a smaller one", cure);
        }
        let one = before.factor / term.factor;
        // Twelve inches are a foot, but their factors are not exact.
        if term.number > one - 1e-9 {
            let carried = ((term.number + 1e-9) / one).floor();
            let left = (term.number - carried * one).max(0.0);
            let cure = pair([before.number + carried, left], [before.unit, term.unit]);
            return wrong("has a smaller unit that fills the larger one", cure);
        }
        Ok(())
    }
}

/// Whether a text gives two figures, `5-6` or `5 to 6 Nm`; a fraction behind a dash is none of its own.
fn is_range(text: &str) -> bool {
    let Some((_, after)) = number_with_fraction(text) else {
        return false;
    };
    let after = after.trim_start();
    let second = after
        .strip_prefix(MINUS)
        .or_else(|| after.strip_prefix("to "));
    let second = second.and_then(|second| leading_digits(second.trim_start()));
    second.is_some_and(|(_, rest)| !rest.starts_with('/'))
}

/// The unit of the last number, as written; empty where it has none.
pub(crate) fn last_unit(text: &str) -> &str {
    let end = text.rfind(|c: char| c.is_ascii_digit() || c == '.');
    text[end.map_or(0, |end| end + 1)..].trim()
}

/// A leading number, `12`, `12.5` or `12 1/2`, and what follows it.
fn number_with_fraction(text: &str) -> Option<(f64, &str)> {
    let (whole, rest) = leading_digits(text)?;
    if let Some((bottom, after)) = rest.strip_prefix('/').and_then(leading_digits) {
        return Some((whole / bottom, after));
    }
    let spaced = rest.trim_start();
    if spaced.len() < rest.len()
        && let Some((top, after_top)) = leading_digits(spaced)
        && let Some((bottom, after)) = after_top.strip_prefix('/').and_then(leading_digits)
    {
        return Some((whole + top / bottom, after));
    }
    Some((whole, rest))
}

fn leading_digits(text: &str) -> Option<(f64, &str)> {
    let end = text
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len());
    text[..end]
        .parse()
        .ok()
        .map(|number| (number, &text[end..]))
}

impl fmt::Display for Age {
    /// `8 y 3 m`, whole months.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let months = self.0.round();
        let (years, rest) = ((months / 12.0).floor(), months % 12.0);
        if rest == 0.0 {
            write!(f, "{years} y")
        } else {
            write!(f, "{years} y {rest} m")
        }
    }
}

choice! {
    /// The length unit that people read in tables, advice and drawings.
    pub enum Units = Mm {
        /// Whole millimetres.
        Mm = "mm",
        /// Centimetres to one decimal: one millimetre.
        Cm = "cm",
        /// Inches to 1/16, as printed on a workshop tape.
        In = "in",
    }
}

impl Units {
    /// The unit in a sentence, where `in` reads like another word.
    pub const fn spoken(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::In => "inches",
        }
    }

    /// A length with its unit, as a person would read it off a tape.
    pub fn length(self, mm: f64) -> String {
        format!("{} {self}", self.bare(mm))
    }

    /// By how much something is missed, in words: an amount above zero never reads like none.
    pub fn missed_by(self, mm: f64) -> String {
        if mm > 0.0 && self.bare(mm) == self.bare(0.0) {
            format!("under {}", self.length(self.step_mm()))
        } else {
            self.length(mm)
        }
    }

    /// What [`Self::length`] rounds a length to, mm.
    pub fn as_shown_mm(self, mm: f64) -> f64 {
        match self {
            Self::Mm => mm.round_ties_even(),
            Self::Cm => mm.round(),
            Self::In => (mm / MM_PER_INCH * 16.0).round() / 16.0 * MM_PER_INCH,
        }
    }

    /// As [`Self::length`], without the unit, for a table whose heading carries it.
    pub fn bare(self, mm: f64) -> String {
        match self {
            Self::Mm => tidy(mm, 0),
            Self::Cm => format!(
                "{:.1}",
                if (mm / 10.0).abs() < 0.05 {
                    0.0
                } else {
                    mm / 10.0
                }
            ),
            Self::In => sixteenths(mm),
        }
    }

    /// The longest length that these units show and that is not above this one, mm.
    pub fn shown_at_most_mm(self, mm: f64) -> f64 {
        in_steps(mm, self.step_mm(), f64::floor)
    }

    /// The shortest length that these units show and that is not below this one, mm.
    pub fn shown_at_least_mm(self, mm: f64) -> f64 {
        in_steps(mm, self.step_mm(), f64::ceil)
    }

    /// A length that must not be passed, as [`Self::length`], but never rounded up.
    pub fn length_at_most(self, mm: f64) -> String {
        self.length(self.shown_at_most_mm(mm))
    }

    /// A length that must be kept at least, as [`Self::length`], but never rounded down.
    pub fn length_at_least(self, mm: f64) -> String {
        self.length(self.shown_at_least_mm(mm))
    }

    /// A length that must not be passed, on both rulers of a tape: neither is rounded up. The two printed figures
    /// are at most a sixteenth of an inch apart.
    pub fn tape_at_most(self, mm: f64) -> String {
        self.limit(mm, f64::floor)
    }

    /// A length that must be kept at least, on both rulers of a tape: neither is rounded down. The two printed
    /// figures are at most a sixteenth of an inch apart.
    pub fn tape_at_least(self, mm: f64) -> String {
        self.limit(mm, f64::ceil)
    }

    fn limit(self, mm: f64, round: fn(f64) -> f64) -> String {
        self.both_rulers(
            in_steps(mm, Self::Mm.step_mm(), round),
            in_steps(mm, Self::In.step_mm(), round),
        )
    }

    /// What [`Self::length`] tells apart, mm.
    const fn step_mm(self) -> f64 {
        match self {
            Self::Mm | Self::Cm => 1.0,
            Self::In => MM_PER_INCH / 16.0,
        }
    }

    /// Both rulers of a tape, this unit's first: what the metric one shows and what the one in inches shows, mm.
    fn both_rulers(self, metric_mm: f64, inches_mm: f64) -> String {
        let (inches, metric) = (Self::In.length(inches_mm), |units: Self| {
            units.length(metric_mm)
        });
        match self {
            Self::In => format!("{inches} ({})", metric(Self::Mm)),
            _ => format!("{} ({inches})", metric(self)),
        }
    }

    /// Both rulers of a workshop tape, this unit's first: `582 mm (22 15/16 in)`. The two printed
    /// figures are never more than half a sixteenth of an inch apart.
    pub fn tape(self, mm: f64) -> String {
        const HALF_SIXTEENTH_MM: f64 = MM_PER_INCH / 32.0;
        // As `bare` rounds, so that a picture and a card never differ: the middle of the steady band ends in .5.
        let whole = mm.round_ties_even();
        let sixteenth = Self::In.as_shown_mm(mm);
        // Both rounded from the exact length could land up to 1.3 mm apart: then the second ruler reads the first.
        let is_apart = (sixteenth - whole).abs() > HALF_SIXTEENTH_MM;
        match self {
            Self::In if is_apart => self.both_rulers(sixteenth.round(), sixteenth),
            _ if is_apart => self.both_rulers(whole, whole),
            _ => self.both_rulers(whole, mm),
        }
    }
}

/// A length in whole steps, mm, rounded as asked; converting units leaves a last bit that must not count as a step.
fn in_steps(mm: f64, step_mm: f64, round: fn(f64) -> f64) -> f64 {
    const SLACK: f64 = 1e-6;
    let steps = mm / step_mm;
    let nearest = steps.round();
    let is_whole = (steps - nearest).abs() < SLACK;
    step_mm * if is_whole { nearest } else { round(steps) }
}

/// Inches to the nearest sixteenth, `21 5/16`; at most 0.8 mm from the millimetre value.
fn sixteenths(mm: f64) -> String {
    let count = (mm / MM_PER_INCH * 16.0).round();
    let sign = if count < 0.0 { "-" } else { "" };
    let (mut top, mut bottom) = (count.abs() % 16.0, 16.0);
    let whole = (count.abs() / 16.0).floor();
    if top == 0.0 {
        return format!("{sign}{whole}");
    }
    while top % 2.0 == 0.0 {
        top /= 2.0;
        bottom /= 2.0;
    }
    if whole == 0.0 {
        format!("{sign}{top}/{bottom}")
    } else {
        format!("{sign}{whole} {top}/{bottom}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> f64 {
        text.parse::<Length>()
            .map_or_else(|e| panic!("{text}: {e}"), Length::mm)
    }

    #[test]
    fn every_spelling_of_a_length_in_the_manual_is_read() {
        for (text, expected) in [
            ("610", 610.0),
            ("56 cm", 560.0),
            ("56cm", 560.0),
            ("22 in", 558.8),
            ("22 1/2 in", 571.5),
            ("1/2 in", 12.7),
            ("1.24 m", 1240.0),
            ("7 ft", 2133.6),
            ("4 ft 2 in", 1270.0),
            ("4'2\"", 1270.0),
            ("-12.5 mm", -12.5),
        ] {
            approx::assert_abs_diff_eq!(mm(text), expected, epsilon = 1e-9);
        }
    }

    #[test]
    fn a_length_that_is_none_is_refused_with_words() {
        for text in [
            "", "cm", "12 kg", "12 13", "1 2 3", "1.2.3", "nan", "inf", "--3", "1e999", "1/0", "٣",
            "5 ½",
        ] {
            assert!(
                text.parse::<Length>().is_err(),
                "{text:?} must not be a length"
            );
        }
        let comma = "56,5 cm".parse::<Length>().unwrap_err().to_string();
        assert!(comma.contains("56.5 cm"), "{comma}");
    }

    #[test]
    fn a_sum_falls_from_unit_to_unit_and_says_how_to_write_it() {
        let words = |text: &str, is_age: bool| {
            let error = if is_age {
                text.parse::<Age>().unwrap_err()
            } else {
                text.parse::<Length>().unwrap_err()
            };
            error.to_string()
        };
        for (text, cure) in [
            ("66cm66cm", "66cm"),
            ("2 in 4 ft", "4 ft 2 in"),
            ("4 ft 14 in", "5 ft 2 in"),
            ("4 ft 12 in", "5 ft"),
            ("1 m 124 cm", "2 m 24 cm"),
            ("5 3 mm", "3 mm"),
            ("1 in 2 inch", "1 in"),
        ] {
            let error = words(text, false);
            assert!(
                error.ends_with(&format!("write for example {cure}")),
                "{error}"
            );
        }
        for (text, cure) in [
            ("9y13m", "10y1m"),
            ("9y12m", "10y"),
            ("9 y 13 m", "10 y 1 m"),
            ("4m7y", "7y4m"),
            ("7y7y", "7y"),
            // The larger unit is told first.
            ("9y13m9y", "10y1m"),
        ] {
            let error = words(text, true);
            assert!(
                error.ends_with(&format!("write for example {cure}")),
                "{error}"
            );
        }
        approx::assert_abs_diff_eq!("7y11.5m".parse::<Age>().unwrap().months(), 95.5);
        approx::assert_abs_diff_eq!(mm("4 ft 2 1/2 in"), 1282.7, epsilon = 1e-9);
        approx::assert_abs_diff_eq!(mm("1 m 24 cm 3 mm"), 1243.0, epsilon = 1e-9);
    }

    #[test]
    fn two_signs_are_a_minus_and_every_other_dash_is_refused_by_name() {
        for minus in MINUS {
            approx::assert_abs_diff_eq!(mm(&format!("{minus}12.5 mm")), -12.5);
            let alone = minus.to_string();
            assert!(alone.parse::<Length>().is_err(), "{alone}");
            assert!(format!("{minus} ").parse::<Angle>().is_err());
        }
        for dash in DASHES {
            for text in [
                format!("{dash}12.5 mm"),
                format!("12{dash}5"),
                dash.to_string(),
            ] {
                let error = text.parse::<Length>().unwrap_err().to_string();
                assert!(error.contains("write it with `-`"), "{text}: {error}");
            }
        }
        assert!("+5 mm".parse::<Length>().is_err());
    }

    #[test]
    fn a_sum_beyond_every_number_is_refused() {
        let digits = "9".repeat(308);
        for text in [
            format!("{digits} m"),
            format!("{digits} ft 1 in"),
            "1/0 in".to_owned(),
        ] {
            let error = text.parse::<Length>().unwrap_err();
            assert!(matches!(error, ParseError::NotFinite(_)), "{error}");
        }
    }

    #[test]
    fn ages_always_carry_a_unit() {
        for (text, months) in [
            ("7y", 84.0),
            ("7y4m", 88.0),
            ("88 months", 88.0),
            ("7.5 years", 90.0),
            ("7 y 4 m", 88.0),
        ] {
            approx::assert_abs_diff_eq!(text.parse::<Age>().unwrap().months(), months);
        }
        assert!("7".parse::<Age>().is_err());
        assert_eq!(Age::from_months(88.2).to_string(), "7 y 4 m");
    }

    /// 12 in are a foot and 25.4 mm an inch (international yard and pound agreement of 1959).
    #[test]
    fn feet_and_inches_are_read_as_phones_type_them() {
        for text in ["4’2”", "4‘2“", "4’ 2”", "4'2\"", "4′2″", "4 FT 2 In", "50”"]
        {
            approx::assert_abs_diff_eq!(mm(text), 1270.0, epsilon = 1e-9);
        }
    }

    #[test]
    fn units_in_capitals_are_the_units_that_they_are_in_small_letters() {
        for (text, wanted) in [
            ("128 CM", 1280.0),
            ("128Cm", 1280.0),
            ("1.28 M", 1280.0),
            ("610 MM", 610.0),
        ] {
            approx::assert_abs_diff_eq!(mm(text), wanted, epsilon = 1e-9);
        }
        let pounds: Mass = "60 Lb".parse().unwrap();
        approx::assert_abs_diff_eq!(pounds.kg(), 60.0 * 0.453_592_37, epsilon = 1e-9);
        let pressure: Pressure = "26 PSI".parse().unwrap();
        approx::assert_abs_diff_eq!(pressure.psi(), 26.0, epsilon = 1e-9);
        approx::assert_abs_diff_eq!("8Y6M".parse::<Age>().unwrap().months(), 102.0);
        assert!("128 CW".parse::<Length>().is_err());
    }

    #[test]
    fn a_last_number_without_its_unit_is_answered_with_the_one_it_can_have() {
        for (error, cure) in [
            ("8y6".parse::<Age>().unwrap_err(), "write for example 8y6m"),
            (
                "8 y 6".parse::<Age>().unwrap_err(),
                "write for example 8 y 6 m",
            ),
            (
                "4 ft 2".parse::<Length>().unwrap_err(),
                "write for example 4 ft 2 in",
            ),
            (
                "1 m 28".parse::<Length>().unwrap_err(),
                "write for example 1 m 28 cm",
            ),
            (
                "27 kg 500".parse::<Mass>().unwrap_err(),
                "write for example 27 kg 500 g",
            ),
        ] {
            let error = error.to_string();
            assert!(error.ends_with(cure), "{error}");
        }
        // Nobody knows what else these mean.
        for text in ["60 lb 4", "8m6"] {
            assert!(text.parse::<Mass>().is_err() && text.parse::<Age>().is_err());
        }
    }

    #[test]
    fn a_slipped_unit_is_named() {
        let slip = Length::likely_slip(138.3, &(700.0..=2000.0)).unwrap();
        assert!(slip.contains("138.3 cm"), "{slip}");
        // Where two units would do, nobody knows which was meant.
        let slip = Length::likely_slip(23.25, &(150.0..=1400.0)).unwrap();
        assert!(slip.contains("`23.25 cm` or `23.25 in`"), "{slip}");
        let slip = Mass::likely_slip(7900.0, &(1.0..=40.0)).unwrap();
        assert!(slip.ends_with("did you mean `7900 g`?"), "{slip}");
        let slip = Pressure::likely_slip(20.0, &(0.3..=9.0)).unwrap();
        assert!(slip.contains("`20 psi`"), "{slip}");
        assert_eq!(Units::Mm.missed_by(0.2), "under 1 mm");
        assert_eq!(Units::In.missed_by(0.2), "under 1/16 in");
        assert_eq!(Units::Mm.missed_by(0.7), "1 mm");
        // Half of what a ruler tells apart, where two ways to round disagree.
        for units in [Units::Mm, Units::Cm, Units::In] {
            for mm in [0.5, 25.4 / 32.0, 1.5, 2.5] {
                assert_ne!(units.missed_by(mm), units.length(0.0), "{mm}");
            }
        }
        assert_eq!(Units::Mm.missed_by(0.5), "under 1 mm");
    }

    #[test]
    fn a_printed_range_is_told_to_be_one_figure() {
        for text in ["5-6", "5 - 6 Nm", "5\u{2212}6", "5 to 6 Nm"] {
            let error = text.parse::<Torque>().unwrap_err().to_string();
            assert!(
                error.contains("is a range") && error.contains("the lower"),
                "{error}"
            );
        }
        for text in ["24-1/2 in", "-5", "5 Nm"] {
            let said = text.parse::<Torque>().map_err(|error| error.to_string());
            assert!(!said.is_err_and(|error| error.contains("range")), "{text}");
        }
    }

    #[test]
    fn inches_are_within_half_a_sixteenth_of_the_millimetres() {
        for tenth in 0..12_000 {
            let mm_value = f64::from(tenth) / 10.0;
            let back = mm(&format!("{} in", sixteenths(mm_value)));
            assert!(
                (back - mm_value).abs() <= 0.8,
                "{mm_value} printed as {}",
                sixteenths(mm_value)
            );
        }
        assert_eq!(Units::In.length(541.4), "21 5/16 in");
        assert_eq!(Units::Cm.length(541.4), "54.1 cm");
        assert_eq!(Units::Mm.length(-0.2), "0 mm");
    }

    #[test]
    fn both_rulers_of_a_tape_agree_within_half_a_sixteenth() {
        for hundredth in 0..120_000 {
            let exact = f64::from(hundredth) / 100.0;
            for units in [Units::Mm, Units::Cm, Units::In] {
                let text = units.tape(exact);
                let (first, second) = text.trim_end_matches(')').split_once(" (").unwrap();
                let apart = (mm(first) - mm(second)).abs();
                assert!(apart <= 0.8, "{exact} printed as {text}");
                // The first ruler reads the exact length, and what any other face shows of it.
                let half = if units == Units::In { 25.4 / 32.0 } else { 0.5 };
                assert!((mm(first) - exact).abs() <= half + 1e-9, "{exact}: {text}");
            }
        }
        assert_eq!(Units::Mm.tape(582.2), "582 mm (22 15/16 in)");
        assert_eq!(Units::In.tape(582.2), "22 15/16 in (582 mm)");
    }

    #[test]
    fn a_limit_is_never_rounded_past_on_either_ruler() {
        // 1 in = 25.4 mm; a tape's ruler in inches has sixteenths.
        for (exact, most, least) in [
            (551.93, "551 mm (21 11/16 in)", "552 mm (21 3/4 in)"),
            (80.0, "80 mm (3 1/8 in)", "80 mm (3 3/16 in)"),
            (25.4, "25 mm (1 in)", "26 mm (1 in)"),
        ] {
            assert_eq!(Units::Mm.tape_at_most(exact), most);
            assert_eq!(Units::Mm.tape_at_least(exact), least);
        }
        assert_eq!(Units::In.length_at_least(80.0), "3 3/16 in");
        assert_eq!(Units::In.length_at_most(90.0), "3 1/2 in");
        for hundredth in 0..120_000 {
            let exact = f64::from(hundredth) / 100.0;
            for units in [Units::Mm, Units::Cm, Units::In] {
                let rulers = |text: String| {
                    let (first, second) = text.trim_end_matches(')').split_once(" (").unwrap();
                    [mm(first), mm(second)]
                };
                let most = rulers(units.tape_at_most(exact));
                let least = rulers(units.tape_at_least(exact));
                for (most, least) in most.into_iter().zip(least) {
                    assert!(most <= exact + 1e-5 && exact - most < 1.588, "{exact}");
                    assert!(least >= exact - 1e-5 && least - exact < 1.588, "{exact}");
                }
            }
        }
    }

    #[test]
    fn pressure_in_psi_and_back() {
        let pressure: Pressure = "26 psi".parse().unwrap();
        approx::assert_abs_diff_eq!(pressure.psi(), 26.0, epsilon = 1e-9);
        approx::assert_abs_diff_eq!(pressure.bar(), 1.7926, epsilon = 1e-4); // NIST SP 811: 1 psi = 6.894757 kPa
    }

    #[test]
    fn what_is_allowed_is_told_in_the_unit_that_was_written_and_never_wider() {
        let says = |text| Length::allowed(&(250.0..=1000.0), text);
        assert_eq!(says("1524"), "allowed 250 to 1000 mm");
        assert_eq!(says("1524 mm"), "allowed 250 to 1000 mm");
        // 25.4 mm to the inch (international yard and pound agreement of 1959): 9.84 and 39.37 in.
        assert_eq!(says("60 in"), "allowed 250 to 1000 mm (9.9 to 39.3 in)");
        assert_eq!(says("5 ft 2 in"), says("62 in"));
        assert_eq!(says("4'2\""), says("50 in"));
        assert_eq!(says("4'"), "allowed 250 to 1000 mm (0.9 to 3.2 ft)");
        // A seat post: 18 to 40 mm are 0.018 to 0.040 m, and 0.7087 to 1.5748 in.
        let post = |text| Length::allowed(&(18.0..=40.0), text);
        assert_eq!(post("0.05 m"), "allowed 18 to 40 mm (0.018 to 0.04 m)");
        assert_eq!(post("2 in"), "allowed 18 to 40 mm (0.71 to 1.57 in)");
        let nothing = Length::allowed(&(18.0..=18.0), "2 in");
        assert_eq!(nothing, "allowed 18 to 18 mm");
        let years = Age::allowed(&(12.0..=1200.0), "400y");
        assert_eq!(years, "allowed 12 to 1200 months (1 to 100 y)");
    }
}
