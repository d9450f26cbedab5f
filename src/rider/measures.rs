//! What was measured on the rider: the rider file. The rider that it makes is `person`, on which day `aging`.
//! Values keep their spread when the file gives one (`56 cm ± 5 mm`).
//! What the body looks like between the measurements is `body`.

use std::ops::RangeInclusive;

use jiff::civil::Date;

use crate::file::section;
use crate::rider::segments::{Segment, segments};
use crate::units::{Age, Length, Mass, Units, last_unit, tidy};
use crate::words::{choice, clip, either};

/// Inseam, height and arm reach that can belong to a rider, mm. The estimates hold for heights of 800 to 1750.
pub const INSEAM_MM: RangeInclusive<f64> = 250.0..=1000.0;
/// See [`INSEAM_MM`].
pub const HEIGHT_MM: RangeInclusive<f64> = 700.0..=2000.0;
/// See [`INSEAM_MM`].
pub const ARM_REACH_MM: RangeInclusive<f64> = 200.0..=850.0;
/// Heights for which the body estimates were fitted, mm.
pub const ESTIMATES_HOLD_MM: RangeInclusive<f64> = 800.0..=1750.0;
/// Weight of a rider, kg.
pub const WEIGHT_KG: RangeInclusive<f64> = 6.0..=150.0;
/// Age of a rider, months.
pub const AGE_MONTHS: RangeInclusive<f64> = 12.0..=1200.0;
/// Thickness of a shoe's sole, mm.
pub const SOLE_MM: RangeInclusive<f64> = 0.0..=50.0;

choice! {
    /// How far the rider has come.
    pub enum Stage {
        /// First rides: both feet flat on the ground.
        Learning = "learning",
        /// Starts and stops alone: balls of both feet on the ground.
        Steady = "steady",
        /// Rides with the leg extended; no longer needs the ground from the saddle.
        Confident = "confident",
    }
}

choice! {
    /// For the growth charts.
    pub enum Sex {
        /// Girls' chart.
        Girl = "girl",
        /// Boys' chart.
        Boy = "boy",
        /// Grown up by the girls' chart, or nearly.
        Woman = "woman",
        /// Grown up by the boys' chart, or nearly.
        Man = "man",
    }
}

impl Sex {
    /// Whether it is the girls' chart.
    pub const fn is_female(self) -> bool {
        matches!(self, Self::Girl | Self::Woman)
    }

    /// What somebody is called who is grown up.
    #[must_use]
    pub const fn grown_up(self) -> Self {
        if self.is_female() {
            Self::Woman
        } else {
            Self::Man
        }
    }
}

choice! {
    /// Who held the tape; decides how much the figures are trusted.
    pub enum MeasuredBy {
        /// At home.
        Parent = "parent",
        /// In the shop, against a wall, with a board.
        Shop = "shop",
    }
}

/// A measured length and, where given, its standard deviation.
pub type Measured = crate::measured::Measured<Length>;

section! {
    /// The measurements of one day.
    pub struct DatedMeasurements {
        /// The day.
        on: Date, ();
        /// Floor to crotch, barefoot, a book pressed up as firmly as a saddle.
        inseam: Option<Measured>, INSEAM_MM;
        /// Barefoot, against a wall.
        height: Option<Measured>, HEIGHT_MM;
        /// Shoulder tip to the middle of a closed fist, arm straight.
        arm_reach: Option<Measured>, ARM_REACH_MM;
        /// Weight of the rider with clothes and helmet.
        weight: Option<Mass>, WEIGHT_KG;
        /// Who held the tape: parent or shop.
        measured_by: Option<MeasuredBy>, ();
    }
}

/// A length in the units of a tape that would make it one of a rider: what else may be meant by the same number.
fn other_units(text: &str, range: &RangeInclusive<f64>) -> Vec<String> {
    let unit = last_unit(text);
    let number = text.trim();
    let number = number.strip_suffix(unit).unwrap_or(number).trim_end();
    let is_single = number.starts_with(|c: char| c.is_ascii_digit())
        && !number.contains(char::is_alphabetic)
        && !number.contains(['±', '\'', '′']);
    let tapes = [Units::Mm, Units::Cm, Units::In];
    let others = tapes.map(|other| format!("{} {other}", clip(number)));
    // Metres, written as a tape shows them.
    let metres = number
        .parse::<f64>()
        .map(|metres| format!("{} cm", tidy(100.0 * metres, 2)));
    // Without a unit the grammar asks by itself.
    others
        .into_iter()
        .chain(metres.ok().filter(|_| unit != "m"))
        .filter(|_| is_single && !unit.is_empty())
        .filter(|text| Measured::from_text(text, range).is_ok())
        .collect()
}

/// A length of a rider from a flag; one that would do in another unit, or for another of the rider's lengths, says so.
pub fn length(text: &str, range: &RangeInclusive<f64>) -> Result<Measured, String> {
    Measured::from_text(text, range).map_err(|why| {
        let is_other = |this: &RangeInclusive<f64>, other: &RangeInclusive<f64>| {
            range == this && Measured::from_text(text, other).is_ok()
        };
        let others = other_units(text, range);
        let is_swapped = is_other(&INSEAM_MM, &HEIGHT_MM) || is_other(&HEIGHT_MM, &INSEAM_MM);
        match (others.is_empty(), is_swapped) {
            (true, true) => format!("{why}; are inseam and height swapped?"),
            (true, false) => why,
            // The unit first: a swap makes sense only of a pair.
            (false, true) => format!(
                "{why}; did you mean {}, or are inseam and height swapped?",
                either(&others)
            ),
            (false, false) => format!("{why}; did you mean {}?", either(&others)),
        }
    })
}

macro_rules! rider_file {
    ($(#[doc = $doc:literal] $key:ident $variant:ident $field:ident ($low:expr, $high:expr) $how:literal $estimate:expr;)*) => {
        section! {
            /// A rider file. Height or inseam is needed; everything else can be estimated or left out.
            #[derive(Default)]
            pub struct RiderFile {
                /// What to call the rider in reports.
                name: Option<String>, ();
                /// Floor to crotch, barefoot, a book pressed up as firmly as a saddle.
                inseam: Option<Measured>, INSEAM_MM;
                /// Barefoot, against a wall.
                height: Option<Measured>, HEIGHT_MM;
                /// Shoulder tip to the middle of a closed fist, arm straight.
                arm_reach: Option<Measured>, ARM_REACH_MM;
                /// Age, such as 7y4m; for growth.
                age: Option<Age>, AGE_MONTHS;
                /// Date of birth, instead of the age.
                born: Option<Date>, ();
                /// girl or boy, woman or man; for growth.
                sex: Option<Sex>, ();
                /// Weight of the rider with clothes and helmet.
                weight: Option<Mass>, WEIGHT_KG;
                /// learning, steady or confident.
                stage: Option<Stage>, ();
                /// Who held the tape: parent or shop.
                measured_by: Option<MeasuredBy>, ();
                /// The day of the measuring, which an age counts from; the day of the fit where it is left out.
                measured_on: Option<Date>, ();
                /// Several days' measurements, instead of the single ones; the newest counts.
                measurements: Vec<DatedMeasurements>, ();
                /// Thickness of the shoe's sole.
                sole: Option<Length>, SOLE_MM;
                $(
                    #[doc = $doc]
                    $key: Option<Measured>, $low..=$high;
                )*
            }
        }

        impl RiderFile {
            /// The measured segments.
            pub fn segments(&self) -> Segments {
                [$(self.$key),*]
            }

            /// With its lengths as they are kept: see [`Measured::tidied`].
            #[must_use]
            pub fn tidied(mut self) -> Self {
                let single = [&mut self.inseam, &mut self.height, &mut self.arm_reach $(, &mut self.$key)*];
                let sets = self.measurements.iter_mut();
                let dated = sets.flat_map(|set| [&mut set.inseam, &mut set.height, &mut set.arm_reach]);
                for length in single.into_iter().chain(dated) {
                    *length = length.map(Measured::tidied);
                }
                self.sole = self.sole.map(|sole| Measured::from_mm(sole.mm()).tidied().value);
                self
            }

            /// Without its measured segments.
            pub(super) fn forget_segments(&mut self) {
                $(self.$key = None;)*
            }

            /// A file with these segments and nothing else.
            pub fn of_segments(segments: Segments) -> Self {
                let [$($key),*] = segments;
                Self {
                    $($key,)*
                    ..Self::default()
                }
            }
        }
    };
}
segments!(rider_file);

/// Measured segments; the rest is estimated.
pub type Segments = [Option<Measured>; Segment::COUNT];

/// A measurement that a shop could take, or take again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measurement {
    /// Floor to crown.
    Height,
    /// Floor to crotch.
    Inseam,
    /// Shoulder tip to fist.
    ArmReach,
    /// A single segment.
    Segment(Segment),
}

impl Measurement {
    /// Those worth asking for, easiest first.
    pub const WORTH_ASKING: [Self; 7] = [
        Self::Inseam,
        Self::Height,
        Self::ArmReach,
        Self::Segment(Segment::HandLength),
        Self::Segment(Segment::KneeHeight),
        Self::Segment(Segment::HipHeight),
        Self::Segment(Segment::FootLength),
    ];

    /// Its key in the rider file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Height => "height",
            Self::Inseam => "inseam",
            Self::ArmReach => "arm_reach",
            Self::Segment(segment) => segment.row().key,
        }
    }

    /// How to take it, in a few words.
    pub const fn how(self) -> &'static str {
        match self {
            Self::Height => "barefoot, heels and head against a wall",
            Self::Inseam => "with shoes off, a book pressed up firmly",
            Self::ArmReach => "shoulder tip to the middle of the closed fist, arm straight",
            Self::Segment(segment) => segment.row().how,
        }
    }

    /// Standard deviation of one reading, mm: trained measurers reach 2 to 3 mm on stature
    /// (Voss 1990); the others are this tool's own figures.
    pub const fn reading_sd_mm(self, by: MeasuredBy) -> f64 {
        match (self, by) {
            (Self::Height | Self::Segment(_), MeasuredBy::Parent) => 4.0,
            (Self::Height, MeasuredBy::Shop) => 3.0,
            (Self::Inseam, MeasuredBy::Parent) => 8.0,
            (Self::ArmReach, MeasuredBy::Parent) => 10.0,
            (Self::Inseam | Self::ArmReach, MeasuredBy::Shop) => 5.0,
            (Self::Segment(_), MeasuredBy::Shop) => 2.0,
        }
    }
}

/// Standard deviation of [`estimate_inseam_mm`], mm, by height: children from 11 years, about 1435 mm, vary more.
pub fn inseam_sd_mm(height_mm: f64) -> f64 {
    /// Median height at 11 years, both sexes: CDC 2000.
    const FROM_11_YEARS_MM: f64 = 1435.0;
    if height_mm < FROM_11_YEARS_MM {
        17.0
    } else {
        21.0
    }
}
/// Standard deviation of [`estimate_height_mm`], mm.
pub const HEIGHT_SD_MM: f64 = 30.0;
/// Standard deviation of [`estimate_arm_reach_mm`], as a share of height.
pub const ARM_REACH_SD_OF_HEIGHT: f64 = 0.012;

/// Inseam from height, mm, of a child up to 13 years: see [`late_growth_mm`] for older ones.
///
/// # References
/// 1.01 × (H − sitting height), Snyder et al. 1977, straight-line fit for 850 to 1650 mm.
pub fn estimate_inseam_mm(height_mm: f64) -> f64 {
    0.593 * height_mm - 158.0
}

/// How much shorter the leg is than [`estimate_inseam_mm`] has it, mm: from 13 years on it is the trunk that grows.
///
/// # References
/// Snyder et al. 1977, both sexes: 3 mm at 13 years, 10 at 14, 24 at 15, 29 at 16, 33 at 17, 32 at 18.
pub fn late_growth_mm(age: Age) -> f64 {
    const FROM_MONTHS: f64 = 13.0 * 12.0;
    const TO_MONTHS: f64 = 16.5 * 12.0;
    const GROWN_MM: f64 = 32.0;
    GROWN_MM * ((age.months() - FROM_MONTHS) / (TO_MONTHS - FROM_MONTHS)).clamp(0.0, 1.0)
}

/// Height from inseam, mm: a fit of its own, tighter than turning [`estimate_inseam_mm`] round.
///
/// # References
/// Snyder et al. 1977.
pub fn estimate_height_mm(inseam_mm: f64) -> f64 {
    292.0 + 1.644 * inseam_mm
}

/// Arm reach from height, mm.
///
/// # References
/// Snyder et al. 1977: the bare ratio drifts from −7 mm at 3 to 4 years to +10 mm at 11 to 13.
pub fn estimate_arm_reach_mm(height_mm: f64) -> f64 {
    0.419 * height_mm - 44.0
}

/// What an inseam and a height are asked that may have been taken for one another.
pub(super) fn are_swapped(
    inseam: impl std::fmt::Display,
    height: impl std::fmt::Display,
) -> String {
    format!("found {inseam} with a height of {height}: are the two swapped?")
}

/// The same of both flags as they were written, where neither can be what it is given for, and each the other.
pub fn swapped(inseam: &str, height: &str) -> Option<String> {
    let is = |text, range| Measured::from_text(text, range).is_ok();
    let is_either = is(inseam, &INSEAM_MM) || is(height, &HEIGHT_MM);
    let are_others = is(inseam, &HEIGHT_MM) && is(height, &INSEAM_MM);
    (are_others && !is_either).then(|| are_swapped(clip(inseam), clip(height)))
}

/// Shoe sole when the file gives none, mm.
pub const DEFAULT_SOLE_MM: f64 = 15.0;

#[cfg(test)]
mod tests {
    use super::*;

    /// 23 in are 584.2 mm, at 25.4 mm to the inch (international yard and pound agreement of 1959).
    #[test]
    fn a_rider_of_inches_is_kept_to_a_tenth_of_a_millimetre() {
        let text = "inseam: 23 in ± 0.3 in\nsole: 0.6 in\nhand_length: 5.1 in\nmeasurements: [{on: 2026-01-01, height: 50.1 in}]\n";
        let file: RiderFile = crate::file::Document::from_text("rider", text)
            .read()
            .unwrap();
        let kept = crate::file::to_text(&file.tidied()).unwrap();
        for line in [
            "inseam: 584.2 mm ± 7.62 mm",
            "sole: 15.2",
            "hand_length: 129.5",
            "height: 1272.5",
        ] {
            let is_there = kept
                .lines()
                .any(|kept| kept.trim_start_matches("- ").trim() == line);
            assert!(is_there, "{line}: {kept}");
        }
    }

    #[test]
    fn a_length_in_the_wrong_unit_is_asked_for_its_unit_before_a_swap() {
        let says = |text: &str, range| length(text, range).unwrap_err();
        for (text, range, end) in [
            ("23cm", &INSEAM_MM, "; did you mean `23 in`?"),
            (
                "50cm",
                &HEIGHT_MM,
                "; did you mean `50 in`, or are inseam and height swapped?",
            ),
            (
                "60 in",
                &INSEAM_MM,
                "; did you mean `60 cm`, or are inseam and height swapped?",
            ),
            ("128in", &HEIGHT_MM, "; did you mean `128 cm`?"),
            ("138cm", &INSEAM_MM, "; are inseam and height swapped?"),
        ] {
            let words = says(text, range);
            assert!(words.ends_with(end), "{text}: {words}");
        }
        for text in ["4 ft 20 cm", "cm", "5 cm ± 1 mm", "9 m"] {
            let words = says(text, &INSEAM_MM);
            assert!(!words.contains("did you mean"), "{text}: {words}");
        }
    }
}
