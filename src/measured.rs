//! A figure read off a tape or a gauge: its value and, where given, its standard deviation after `±`.
//! Both files have them: lengths of the rider, lengths and angles of the bike.
//! What a figure without a spread is worth is for `rider` and `bike` to say.

use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::file::{Content, Decoder, Node, Shape, Value, in_range};
use crate::units::{Length, Quantity, last_unit};

/// Largest spread after `±`, in the base unit.
const SPREADS: RangeInclusive<f64> = 0.0..=100.0;

/// A measured quantity and, where given, its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured<Q = Length> {
    /// The value.
    pub value: Q,
    /// One standard deviation, when the file or flag gives one after `±`.
    pub spread: Option<Q>,
}

impl Measured<Length> {
    /// An exact figure in mm, with no spread of its own.
    pub const fn from_mm(mm: f64) -> Self {
        Self {
            value: Length::from_mm(mm),
            spread: None,
        }
    }

    /// As it is kept: to 0.1 mm, the spread to 0.01 mm, finer than any tape; inches leave a tail of digits.
    #[must_use]
    pub fn tidied(self) -> Self {
        let to =
            |length: Length, steps: f64| Length::from_mm((length.mm() * steps).round() / steps);
        Self {
            value: to(self.value, 10.0),
            spread: self.spread.map(|spread| to(spread, 100.0)),
        }
    }

    /// The value, mm.
    pub const fn mm(self) -> f64 {
        self.value.mm()
    }
}

impl<Q: Quantity> Measured<Q> {
    /// From text such as `56 cm ± 5 mm`, `56 ± 0.5 cm` or `22 1/2 ± 1/4 in`; `+/-` also works.
    pub fn from_text(text: &str, range: &RangeInclusive<f64>) -> Result<Self, String> {
        let Some((value, spread)) = text.split_once('±').or_else(|| text.split_once("+/-")) else {
            return Ok(Self {
                value: in_range(&text.into(), range)?,
                spread: None,
            });
        };
        // In `56 ± 0.5 cm` the unit behind the spread is meant for both.
        let value = if last_unit(value).is_empty() {
            format!("{} {}", value.trim(), last_unit(spread))
        } else {
            value.to_owned()
        };
        Ok(Self {
            value: in_range(&value.as_str().into(), range)?,
            spread: Some(
                in_range(&spread.into(), &SPREADS).map_err(|why| format!("after ±: {why}"))?,
            ),
        })
    }
}

impl<Q: Quantity> fmt::Display for Measured<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (value, unit) = (self.value.number(), Q::UNIT);
        match self.spread {
            Some(spread) => write!(f, "{value} {unit} ± {} {unit}", spread.number()),
            None => write!(f, "{value}"),
        }
    }
}

impl<Q: Quantity> FromStr for Measured<Q> {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        Self::from_text(text, &(0.0..=f64::MAX))
    }
}

impl<Q: Quantity + Serialize> Serialize for Measured<Q> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.spread {
            Some(_) => serializer.collect_str(self),
            None => self.value.serialize(serializer),
        }
    }
}

impl<Q: Quantity> Value for Measured<Q> {
    type Limits = RangeInclusive<f64>;
    fn decode<'n>(node: &'n Node<'n>, limits: &Self::Limits, to: &mut Decoder<'n>) -> Option<Self> {
        to.scalar(
            node,
            "a figure, if wanted with ± its spread",
            |found| match found {
                Content::Text(text) => Self::from_text(text, limits),
                other => Ok(Self {
                    value: in_range(other, limits)?,
                    spread: None,
                }),
            },
        )
    }
    fn shape(limits: &Self::Limits) -> Shape {
        Shape::Quantity {
            unit: Q::UNIT,
            range: limits.clone(),
            spellings: Q::spellings(),
            with_spread: true,
        }
    }
}
