//! The body's segments, one row each: key, range, what it is, how it is measured, how it is estimated, how sure that is.
//! A row makes the rider file's key, the link in the body, its draw and its JSON key.
//! How the links hang together is `body`; what a file may say beside them is `measures`.
//!
//! # References
//! Straight-line fits on 3,892 US children aged 2 to 20: Snyder, Schneider, Owings, Reynolds, Golomb,
//! Schork 1977, UM-HSRI-77-17.

use std::ops::RangeInclusive;

use crate::sources::{Cited, Source};

/// Where the lines and their spreads come from.
pub const SOURCES: Cited = Cited::new(Source::Snyder1977, &[Source::Ansur2, Source::Voss1990]);

/// How a segment follows from height and inseam, and how far real bodies are from that.
#[derive(Debug, Clone, Copy)]
pub struct Estimate {
    /// From height and inseam, all mm. The hip above the saddle follows the hip's own height (see
    /// `body`); its row gives only what it has beyond that.
    pub mm: fn(height: f64, inseam: f64) -> f64,
    /// Standard deviation, mm.
    pub sd: Sd,
}

/// How far real bodies are from an estimate.
#[derive(Debug, Clone, Copy)]
pub enum Sd {
    /// The same for everyone, mm.
    Mm(f64),
    /// A share of the inseam.
    OfInseam(f64),
}

impl Sd {
    /// For an inseam, mm.
    pub fn mm(self, inseam_mm: f64) -> f64 {
        match self {
            Self::Mm(mm) => mm,
            Self::OfInseam(share) => share * inseam_mm,
        }
    }
}

/// One row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Row {
    /// Key in the rider file.
    pub key: &'static str,
    /// Allowed values, mm.
    pub range_mm: (f64, f64),
    /// How to take it, in a few words.
    pub how: &'static str,
    /// None where the segment follows from others.
    pub estimate: Option<Estimate>,
}

impl Row {
    /// Allowed values, mm.
    pub fn range(&self) -> RangeInclusive<f64> {
        self.range_mm.0..=self.range_mm.1
    }
}

const fn estimate(mm: fn(f64, f64) -> f64, sd: Sd) -> Estimate {
    Estimate { mm, sd }
}

/// Hands the whole table to another macro:
/// `key Variant body_field (lowest, highest) "how to measure" estimate;` with its doc line.
macro_rules! segments {
    ($then:ident) => {
        $then! {
            /// Floor to hip joint (greater trochanter).
            hip_height HipHeight hip_height_mm (250.0, 1100.0)
                "floor to the bony knob at the side of the hip, standing"
                Some(estimate(|_, inseam| 1.065 * inseam, Sd::Mm(18.0)));
            /// Floor to knee joint.
            knee_height KneeHeight knee_height_mm (100.0, 700.0)
                "floor to the gap of the knee joint, standing"
                Some(estimate(|height, inseam| 0.547 * inseam + 0.013 * height, Sd::Mm(14.0)));
            /// Floor to ankle joint.
            ankle_height AnkleHeight ankle_height_mm (15.0, 150.0)
                "floor to the ankle bone, standing"
                Some(estimate(|height, _| 0.0397 * height, Sd::Mm(7.0)));
            /// Hip joint to knee joint.
            thigh Thigh thigh_mm (100.0, 600.0) "from joint to joint" None;
            /// Knee joint to ankle joint.
            shank Shank shank_mm (80.0, 600.0) "from joint to joint" None;
            /// Heel to longest toe.
            foot_length FootLength foot_length_mm (80.0, 350.0)
                "heel against a wall, to the longest toe"
                Some(estimate(|height, _| 9.3 + 0.149 * height, Sd::Mm(8.0)));
            /// Saddle top to hip joint, sitting.
            hip_above_saddle HipAboveSaddle hip_above_saddle_mm (5.0, 200.0)
                "saddle top to the bony knob at the side of the hip, sitting"
                Some(estimate(|_, _| 0.0, Sd::OfInseam(0.018)));
            /// Floor to shoulder tip (acromion).
            shoulder_height ShoulderHeight shoulder_height_mm (450.0, 1700.0)
                "floor to the bony tip of the shoulder, standing"
                Some(estimate(|height, _| -111.5 + 0.8826 * height, Sd::Mm(11.0)));
            /// Hip joint to shoulder tip.
            torso Torso torso_mm (150.0, 800.0) "from joint to joint" None;
            /// Shoulder tip to elbow.
            upper_arm UpperArm upper_arm_mm (80.0, 450.0) "from joint to joint" None;
            /// Elbow to the middle of a closed fist.
            forearm Forearm forearm_mm (80.0, 450.0) "elbow to the middle of the closed fist" None;
            /// Wrist crease to the tip of the middle finger.
            hand_length HandLength hand_length_mm (60.0, 250.0)
                "wrist crease to the tip of the middle finger"
                Some(estimate(|height, _| 8.5 + 0.1031 * height, Sd::Mm(6.0)));
            /// Across the shoulder tips.
            shoulder_breadth ShoulderBreadth shoulder_breadth_mm (120.0, 600.0)
                "across the bony tips of both shoulders"
                Some(estimate(|height, _| 33.7 + 0.194 * height, Sd::Mm(12.0)));
        }
    };
}
pub(crate) use segments;

/// The sitting surface is at inseam / 1.01 above the floor: crotch height over (height − sitting height), ANSUR II.
pub const CROTCH_OVER_SITTING_LEG: f64 = 1.01;

macro_rules! segment {
    ($(#[doc = $doc:literal] $key:ident $variant:ident $field:ident ($low:expr, $high:expr) $how:literal $estimate:expr;)*) => {
        /// A body segment that can be measured instead of estimated. The names are the file's keys.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Segment { $(#[doc = $doc] $variant,)* }

        impl Segment {
            /// How many there are.
            pub const COUNT: usize = [$(Self::$variant),*].len();
            /// Every segment, in the order of the rider file.
            pub const ALL: [Self; Self::COUNT] = [$(Self::$variant),*];

            /// Its row.
            pub const fn row(self) -> Row {
                match self {
                    $(Self::$variant => Row {
                        key: stringify!($key),
                        range_mm: ($low, $high),
                        how: $how,
                        estimate: $estimate,
                    },)*
                }
            }
        }
    };
}
segments!(segment);
