//! The tyre marking of ISO 5775, `width-bead seat`, or as printed in inches, and the wheel radius that follows.
//! Knows no pressure; that is `advice::handover`.

use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::file::{Decoder, Node, Shape, Value};
use crate::words::{clip, tidy};

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

    /// Whether both go on one rim.
    pub fn has_rim_of(self, other: Self) -> bool {
        (self.bead_seat_mm - other.bead_seat_mm).abs() < 0.5
    }

    /// The name in inches of a wheel that has a usual tyre, from text such as `24`, `27.5 in`, `20-inch` or `12 1/2`.
    pub fn named_wheel(text: &str) -> Option<f64> {
        let text = text.trim().to_lowercase();
        let units = ["inches", "inch", "in"];
        let bare = units.into_iter().find_map(|unit| text.strip_suffix(unit));
        let bare = bare.unwrap_or(&text);
        let plain = plain(bare.trim_end_matches([' ', '-']));
        let inches = bare_wheel(&plain).parse().ok()?;
        Self::usual(inches, false).map(|_| inches)
    }

    /// Every name that [`Self::named_wheel`] knows, in one list.
    pub fn wheel_names() -> String {
        let names = INCH_BEAD_SEATS.map(|(inches, _)| tidy(inches, 1));
        names.join(", ")
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

    /// Bead seats of the rims that have a name in inches, mm.
    pub(super) fn usual_bead_seats_mm() -> impl Iterator<Item = f64> {
        INCH_BEAD_SEATS
            .into_iter()
            .map(|(_, bead_seat_mm)| bead_seat_mm)
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
/// The one fraction in a width that names no other rim than a decimal does, behind 12 inches; as [`plain`] has it.
const TWO_AND_A_QUARTER: &str = "2 1/4";
/// Widths that decimal rims were first made for, inches, as old tyres print them last: `20 x 1.75 x 2` and
/// `20 x 1.75 x 2.125` are 47-406 in the ISO 5775 tables; from memory.
const FIRST_WIDTHS: [&str; 3] = ["2", "2.0", "2.125"];
/// Whose marking it is that became ISO 5775, as sidewalls name it: the European Tyre and Rim Technical Organisation.
const ETRTO: &str = "ETRTO";
/// `12 1/2 x 2 1/4` in the ISO 5775 tables; from memory.
const LARGE_TWELVE: TyreSize = TyreSize {
    width_mm: 62.0,
    bead_seat_mm: 203.0,
};

/// A marking in inches without inch signs, halves and quarters spelt one way, one blank between words.
fn plain(text: &str) -> String {
    let spelt = text
        .replace(['"', '″'], " ")
        .replace('½', " 1/2")
        .replace('¼', " 1/4")
        .replace("-1/", " 1/")
        .replace(['x', 'X', '×'], " x ")
        .replace(',', ".");
    spelt.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A wheel's name without the half that 12 inches are as often called by.
fn bare_wheel(name: &str) -> &str {
    if ["12 1/2", "12.5"].contains(&name) {
        "12"
    } else {
        name
    }
}

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

    /// `54-507`, or with the word that stands before it on some sidewalls, `ETRTO 54-507`.
    fn from_iso(text: &str) -> Option<Self> {
        let (name, marking) = text.split_at_checked(ETRTO.len()).unwrap_or(("", text));
        let marking = if name.eq_ignore_ascii_case(ETRTO) {
            marking.trim_start_matches(':')
        } else {
            text
        };
        let (width, bead) = marking.split_once('-')?;
        Self::in_range(width.trim().parse().ok()?, bead.trim().parse().ok()?)
    }

    /// Both markings as most sidewalls print them, `50-507 (24x1.95)` or `24x1.95/50-507`: the metric one counts, the
    /// other has to name the same rim. None where they are not both there.
    fn from_both(text: &str) -> Option<Result<Self, &'static str>> {
        let text = text.trim().trim_end_matches(')');
        let parts = [
            text.split_once('('),
            text.split_once('/'),
            text.rsplit_once('/'),
            text.split_once(','),
        ];
        let (size, other) = parts.into_iter().flatten().find_map(|(left, right)| {
            let [left, right] = [left.trim(), right.trim()];
            let first = Self::from_iso(left).map(|size| (size, right));
            first.or_else(|| Self::from_iso(right).map(|size| (size, left)))
        })?;
        if Self::from_iso(other).is_some_and(|other| other != size) {
            return Some(Err(
                "; these are the markings of two tyres: give front and rear each its own",
            ));
        }
        Some(match Self::from_inches(other) {
            Ok(inches) if (inches.bead_seat_mm - size.bead_seat_mm).abs() > 0.5 => {
                Err("; the two markings name different rims: which one is on the sidewall?")
            }
            // What names no rim that is known here may stand beside one that does.
            _ => Ok(size),
        })
    }

    /// `24x1.95`, `20 x 2.1`, `20 x 1.75 x 2`: wheel, decimal width in inches, and behind it the width that the rim
    /// was first made for, which says nothing; on the smallest wheel also as it has long been printed,
    /// `12 1/2 x 1.75`, `12 1/2 x 1.75 x 2 1/4` and `12 1/2 x 2 1/4`.
    fn from_inches(text: &str) -> Result<Self, &'static str> {
        const NOT_INCHES: &str = "";
        let plain = plain(text);
        let (wheel, widths) = plain.split_once(" x ").ok_or(NOT_INCHES)?;
        let wheel = bare_wheel(wheel);
        let width = match (wheel, widths.split_once(" x ")) {
            ("12", None) if widths == TWO_AND_A_QUARTER => return Ok(LARGE_TWELVE),
            ("12", Some((width, TWO_AND_A_QUARTER))) => width,
            (_, Some((width, rim))) if FIRST_WIDTHS.contains(&rim) => width,
            _ => widths,
        };
        let is_fraction = |part: &str| part.contains(['/', '¾', '⅛', '⅜', '⅝', '⅞']);
        if is_fraction(width) || is_fraction(wheel) {
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
        let read = Self::from_both(text).unwrap_or_else(|| Self::from_inches(text.trim()));
        read.map_err(|why| {
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
        Shape::Pattern(
            r#"^\s*(([eE][tT][rR][tT][oO]:?\s*)?[0-9]+(\.[0-9]+)?\s*-\s*[0-9]+(\.[0-9]+)?(\s*[(/].*)?|([0-9]+([.,][0-9]+)?\s*["″]?\s*[xX×]\s*[0-9]+([.,][0-9]+)?(\s*["″]?\s*[xX×]\s*2([.,]0|[.,]125)?)?|12(\s+1/2|-1/2|\s*½|[.,]5)?\s*["″]?\s*[xX×]\s*([0-9]+([.,][0-9]+)?\s*["″]?|[0-9]+([.,][0-9]+)?\s*["″]?\s*[xX×]\s*2(\s+1/4|-1/4|\s*¼|[.,]0|[.,]125)?|2(\s+1/4|-1/4|\s*¼)))\s*["″]?(\s*[(/]\s*([eE][tT][rR][tT][oO]:?\s*)?[0-9]+(\.[0-9]+)?\s*-\s*[0-9]+(\.[0-9]+)?\s*\)?)?)\s*$"#,
        )
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
            // With the rim's first width behind: 47-305, 47-406 and 54-507 in the tables, from memory; the printed
            // decimals are a few millimetres off the metric width of the same tyre.
            ("16 x 1.75 x 2", 44.5, 305.0),
            ("20\" × 1.75\" × 2.125\"", 44.5, 406.0),
            ("24x2.125x2.0", 54.0, 507.0),
            // Both markings, as sidewalls have them; and a decimal comma.
            ("24x1.95 (50-507)", 50.0, 507.0),
            ("60-406 / 20x2.4", 60.0, 406.0),
            ("20x2.4/60-406", 60.0, 406.0),
            ("62-203 (12 1/2 x 2 1/4)", 62.0, 203.0),
            ("37-451 (20 x 1 3/8)", 37.0, 451.0),
            ("24 x 1,95", 49.5, 507.0),
            // The same marking by another name.
            ("ETRTO 54-507", 54.0, 507.0),
            ("etrto: 47-406", 47.0, 406.0),
        ] {
            let size: TyreSize = text.parse().unwrap();
            approx::assert_abs_diff_eq!(size.bead_seat_mm, bead);
            approx::assert_abs_diff_eq!(size.width_mm, width, epsilon = 0.6);
        }
    }

    #[test]
    fn the_smallest_wheel_is_taken_as_it_is_printed() {
        // Markings of 12-inch tyres: 62-203 for the fraction by the ISO 5775 tables (from memory), a decimal width
        // by its 25.4 mm to the inch on the same rim.
        for (text, width) in [
            ("12 1/2 x 2 1/4", 62.0),
            ("12½\" x 2¼\"", 62.0),
            ("12-1/2X2-1/4", 62.0),
            ("12 1/2 × 1.75", 44.5),
            ("12 1/2 x 1.75 x 2 1/4", 44.5),
            ("12½ x 2.25", 57.2),
            ("12.5x2.25", 57.2),
            ("12x1.75x2-1/4", 44.5),
        ] {
            let size: TyreSize = text.parse().unwrap();
            approx::assert_abs_diff_eq!(size.bead_seat_mm, 203.0);
            approx::assert_abs_diff_eq!(size.width_mm, width, epsilon = 0.06);
        }
        for (text, inches) in [
            ("12 1/2", Some(12.0)),
            ("12½\"", Some(12.0)),
            ("27.5 in", Some(27.5)),
            ("24 inch", Some(24.0)),
            ("20-Inch", Some(20.0)),
            ("16 inches", Some(16.0)),
            ("16 1/2", None),
            ("22", None),
            ("650b", None),
            ("24 min", None),
        ] {
            assert_eq!(TyreSize::named_wheel(text), inches, "{text}");
        }
    }

    #[test]
    fn what_names_no_rim_is_refused_with_the_cure() {
        for text in [
            "20 in",
            "24\"",
            "-507",
            "54-",
            "5-507",
            "54-5070",
            "NaN-507",
            "22x1.75",
            "24x0.1",
            "x2",
            "12 1/2",
            "12 1/2 x",
            "12 1/2 x 1 3/8",
            "14 x 1.75 x 2 1/4",
            "20 x 1.75 x 3",
            "20 x 1.75 x 2 x 2",
            "ETRTO",
            "24x1.95 (50-406)",
            "24x1.95 (",
            "ETRTO 5-507",
            "12 1/2-203",
            "16 1/2 x 1.75",
        ] {
            assert!(text.parse::<TyreSize>().is_err(), "{text}");
        }
        for text in ["54-507 / 47-507", "54-507, 47-507", "54-507 (47-406)"] {
            let why = text.parse::<TyreSize>().unwrap_err();
            assert!(why.contains("front and rear each its own"), "{text}: {why}");
        }
        assert!("54-507 / 54-507".parse::<TyreSize>().is_ok());
        for text in ["20 x 1 3/8", "24x1⅜", "26 x 1-3/8"] {
            let why = text.parse::<TyreSize>().unwrap_err();
            assert!(why.contains("ISO marking"), "{text}: {why}");
        }
    }
}
