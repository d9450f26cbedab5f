//! The tyre marking of ISO 5775, `width-bead seat`, or as printed in inches, and the wheel radius that follows.
//! Knows no pressure; that is `advice::handover`.

use std::fmt;
use std::ops::RangeInclusive;
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
    pub fn wheel_inches(self) -> Option<f64> {
        INCH_BEAD_SEATS
            .iter()
            .find(|(_, bead_seat_mm)| (bead_seat_mm - self.bead_seat_mm).abs() < 0.5)
            .map(|(inches, _)| *inches)
    }

    /// A usual tyre for a wheel by its name in inches (common practice); None for a wheel of no such name.
    pub fn usual(inches: f64, is_trail: bool) -> Option<Self> {
        let (_, bead_seat_mm) = INCH_BEAD_SEATS
            .iter()
            .find(|(name, _)| (name - inches).abs() < 1e-9)?;
        Some(Self {
            width_mm: if is_trail { 54.0 } else { 47.0 },
            bead_seat_mm: *bead_seat_mm,
        })
    }

    /// Radius of the round tyre section, mm.
    pub fn section_radius_mm(self) -> f64 {
        self.width_mm / 2.0
    }
}

/// Bead seats of decimal inch sizes, mm: ISO 5775 tables; 14 in from memory. A fraction in the width names
/// another rim of the same inches.
const INCH_BEAD_SEATS: [(f64, f64); 9] = [
    (12.0, 203.0),
    (14.0, 254.0),
    (16.0, 305.0),
    (18.0, 355.0),
    (20.0, 406.0),
    (24.0, 507.0),
    (26.0, 559.0),
    (27.5, 584.0),
    (29.0, 622.0),
];
/// Sections and bead seats that bikes have, mm.
const WIDTHS_MM: RangeInclusive<f64> = 18.0..=120.0;
const BEAD_SEATS_MM: RangeInclusive<f64> = 100.0..=650.0;

impl TyreSize {
    fn in_range(width_mm: f64, bead_seat_mm: f64) -> Option<Self> {
        (WIDTHS_MM.contains(&width_mm) && BEAD_SEATS_MM.contains(&bead_seat_mm)).then_some(Self {
            width_mm,
            bead_seat_mm,
        })
    }

    /// `54-507`.
    fn from_iso(text: &str) -> Option<Self> {
        let (width, bead) = text.split_once('-')?;
        Self::in_range(width.trim().parse().ok()?, bead.trim().parse().ok()?)
    }

    /// `24x1.95`, `20 x 2.1`: wheel and decimal width in inches.
    fn from_inches(text: &str) -> Result<Self, &'static str> {
        const NOT_INCHES: &str = "";
        let (wheel, width) = text.split_once(['x', 'X', '×']).ok_or(NOT_INCHES)?;
        let plain = |part: &str| part.trim().trim_end_matches(['"', '″']).trim().to_owned();
        let (wheel, width) = (plain(wheel), plain(width));
        let is_fraction = |part: &str| part.contains(['/', '½', '¼', '¾', '⅛', '⅜', '⅝', '⅞']);
        if is_fraction(&width) || is_fraction(&wheel) {
            return Err(
                "; a fraction of an inch names another rim: read the ISO marking beside it on the sidewall",
            );
        }
        let (wheel, width) = (wheel.parse::<f64>(), width.parse::<f64>());
        let (Ok(wheel), Ok(width)) = (wheel, width) else {
            return Err(NOT_INCHES);
        };
        let bead = INCH_BEAD_SEATS
            .into_iter()
            .find(|(inches, _)| (inches - wheel).abs() < 1e-9)
            .ok_or("; in inches 12, 14, 16, 18, 20, 24, 26, 27.5 or 29 by a decimal width, such as 24x1.95")?
            .1;
        // To a tenth of a millimetre, which no tyre keeps.
        let width_mm = (width * 254.0).round() / 10.0;
        Self::in_range(width_mm, bead).ok_or("; a tyre is 0.8 to 4.7 inches wide")
    }
}

impl FromStr for TyreSize {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        if let Some(size) = Self::from_iso(text.trim()) {
            return Ok(size);
        }
        Self::from_inches(text.trim()).map_err(|why| {
            format!(
                "found `{}`; wanted the marking on the sidewall, width-bead seat in mm, for example 54-507 (width {} to {}, bead seat {} to {}), or inches such as 24x1.95{why}",
                clip(text),
                WIDTHS_MM.start(),
                WIDTHS_MM.end(),
                BEAD_SEATS_MM.start(),
                BEAD_SEATS_MM.end()
            )
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
        Shape::Pattern(r#"^\s*[0-9]+(\.[0-9]+)?\s*["″]?\s*[-xX×]\s*[0-9]+(\.[0-9]+)?\s*["″]?\s*$"#)
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
    fn decimal_inches_name_the_rims_of_the_tables() {
        // Bead seats of the ISO 5775 tables; an inch is 25.4 mm, to whole millimetres as sidewalls have it.
        for (text, width, bead) in [
            ("24x1.95", 50.0, 507.0),
            ("20 x 2.1", 53.0, 406.0),
            ("27.5 × 2.25\"", 57.0, 584.0),
            ("12X1.75", 44.0, 203.0),
        ] {
            let size: TyreSize = text.parse().unwrap();
            approx::assert_abs_diff_eq!(size.bead_seat_mm, bead);
            approx::assert_abs_diff_eq!(size.width_mm, width, epsilon = 0.6);
        }
    }

    #[test]
    fn what_names_no_rim_is_refused_with_the_cure() {
        for text in [
            "20 in", "24\"", "-507", "54-", "5-507", "54-5070", "NaN-507", "22x1.75", "24x0.1",
            "x2",
        ] {
            assert!(text.parse::<TyreSize>().is_err(), "{text}");
        }
        for text in ["20 x 1 3/8", "24x1⅜", "26 x 1-3/8"] {
            let why = text.parse::<TyreSize>().unwrap_err();
            assert!(why.contains("ISO marking"), "{text}: {why}");
        }
    }
}
