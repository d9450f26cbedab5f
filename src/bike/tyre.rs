//! The tyre marking of ISO 5775, `width-bead seat`, and the wheel radius that follows from it.
//! Knows no pressure; that is `advice::handover`.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::file::{Decoder, Node, Shape, Value};
use crate::words::clip;

/// A tyre size as marked by ISO 5775-1: section width and bead-seat diameter, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TyreSize {
    /// Section width, mm; the section height is taken as the same.
    pub width_mm: f64,
    /// Bead-seat diameter, mm.
    pub bead_seat_mm: f64,
}

/// Wheels by their name in inches, with the bead seat of the usual (decimal) rim, mm.
const WHEELS: [(&str, f64); 9] = [
    ("12", 203.0),
    ("14", 254.0),
    ("16", 305.0),
    ("18", 355.0),
    ("20", 406.0),
    ("24", 507.0),
    ("26", 559.0),
    ("27.5", 584.0),
    ("29", 622.0),
];

impl TyreSize {
    /// Rolling radius, mm: half the bead seat plus the section height.
    ///
    /// # References
    /// ISO 5775-1: overall diameter = bead seat + 2 × section height.
    pub fn wheel_radius_mm(self) -> f64 {
        self.bead_seat_mm / 2.0 + self.width_mm
    }

    /// What the trade calls a wheel with this bead seat, inches; None where it has no common name.
    ///
    /// # References
    /// ISO 5775 bead seats; 254 for 14 in is from memory.
    pub fn wheel_name(self) -> Option<&'static str> {
        WHEELS
            .iter()
            .find(|(_, bead_seat_mm)| (bead_seat_mm - self.bead_seat_mm).abs() < 0.5)
            .map(|(inches, _)| *inches)
    }

    /// Radius of the round tyre section, mm.
    pub fn section_radius_mm(self) -> f64 {
        self.width_mm / 2.0
    }
}

impl FromStr for TyreSize {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let wanted = "the marking on the sidewall, width-bead seat in mm, for example 54-507 (width 18 to 120, bead seat 100 to 650)";
        let size = text.trim().split_once('-').and_then(|(width, bead)| {
            let (width_mm, bead_seat_mm) = (width.trim().parse().ok()?, bead.trim().parse().ok()?);
            ((18.0..=120.0).contains(&width_mm) && (100.0..=650.0).contains(&bead_seat_mm))
                .then_some(Self {
                    width_mm,
                    bead_seat_mm,
                })
        });
        size.ok_or_else(|| {
            let inches = if text.contains(['x', '"', '.']) || text.contains("in") {
                "; an inch size names several different rims"
            } else {
                ""
            };
            format!("found `{}`; wanted {wanted}{inches}", clip(text))
        })
    }
}

impl fmt::Display for TyreSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.width_mm, self.bead_seat_mm)
    }
}

impl Serialize for TyreSize {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Value for TyreSize {
    type Limits = ();
    fn decode<'n>(node: &'n Node<'n>, (): &(), to: &mut Decoder<'n>) -> Option<Self> {
        to.scalar(node, "a tyre marking such as 54-507", |found| {
            found.bare().parse::<Self>()
        })
    }
    fn shape((): &()) -> Shape {
        Shape::Pattern(r"^\s*[0-9]+(\.[0-9]+)?\s*-\s*[0-9]+(\.[0-9]+)?\s*$")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn overall_diameters_equal_published_tyre_tables() {
        // ISO 5775 size tables: 28-406 is 462 mm overall, 57-203 is 317 mm.
        for (marking, diameter) in [("28-406", 462.0), ("57-203", 317.0)] {
            let size: TyreSize = marking.parse().unwrap();
            approx::assert_abs_diff_eq!(2.0 * size.wheel_radius_mm(), diameter);
        }
    }

    #[test]
    fn inch_sizes_are_refused_because_they_are_ambiguous() {
        for text in [
            "20x2.1", "20 in", "24\"", "-507", "54-", "5-507", "54-5070", "NaN-507",
        ] {
            assert!(text.parse::<TyreSize>().is_err(), "{text}");
        }
    }
}
