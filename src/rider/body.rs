//! The rider as planar links: estimates from height, inseam and arm reach, each with its spread.
//! Measured segments win over estimates. What was measured is `measures`; how the links move is `fit::pair`'s and `fit::leg`'s.
//!
//! # References
//! Straight-line fits on 3,892 US children aged 2 to 20: Snyder, Schneider, Owings, Reynolds, Golomb,
//! Schork 1977, UM-HSRI-77-17. Ball of the foot: ANSUR II, Gordon et al. 2014, NATICK/TR-15/007.

use crate::rider::measures::{Measured, Segments};
use crate::rider::segments::{CROTCH_OVER_SITTING_LEG, Segment, segments};

/// Heel to ball of the foot over foot length: ANSUR II.
pub const HEEL_TO_BALL: f64 = 0.74;
/// Ankle joint to ball of the foot over foot length.
const ANKLE_TO_BALL: f64 = 0.49;
/// Share of the arm reach above the elbow.
const UPPER_ARM_SHARE: f64 = 0.476;
/// No link is shorter than this in a random draw, mm.
const SHORTEST_LINK_MM: f64 = 10.0;

/// What this body has more than the estimates say, mm, in the order of [`Segment::ALL`]; all zero for the
/// expected body. Not used where the segment was measured.
pub type Residuals = [f64; Segment::COUNT];

/// No residuals: the expected body.
pub const EXPECTED: Residuals = [0.0; Segment::COUNT];

macro_rules! body {
    ($(#[doc = $doc:literal] $key:ident $variant:ident $field:ident ($low:expr, $high:expr) $how:literal $estimate:expr;)*) => {
        /// The rider's links in the side view, mm.
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct Body {
            $(#[doc = $doc] pub $field: f64,)*
            /// Ankle joint to ball of the foot, along the sole.
            pub ankle_to_ball_mm: f64,
            /// Shoe sole.
            pub sole_mm: f64,
            /// Floor to crotch.
            pub inseam_mm: f64,
            /// Floor to crown.
            pub height_mm: f64,
        }

        impl Body {
            /// From every segment's value, in the order of [`Segment::ALL`]; all mm.
            fn of(links: [f64; Segment::COUNT], height: f64, inseam: f64, sole: f64) -> Self {
                Self {
                    $($field: links[Segment::$variant as usize],)*
                    ankle_to_ball_mm: ANKLE_TO_BALL * links[Segment::FootLength as usize],
                    sole_mm: sole,
                    inseam_mm: inseam,
                    height_mm: height,
                }
            }

            /// The value of a segment, mm.
            pub const fn segment_mm(&self, segment: Segment) -> f64 {
                match segment { $(Segment::$variant => self.$field,)* }
            }
        }
    };
}
segments!(body);

/// Standard deviation of a segment's own estimate, mm; none where it follows from others.
pub fn estimate_sd_mm(segment: Segment, inseam_mm: f64) -> f64 {
    let estimate = segment.row().estimate;
    estimate.map_or(0.0, |estimate| estimate.sd.mm(inseam_mm))
}

fn estimated_mm(segment: Segment, height: f64, inseam: f64, residuals: &Residuals) -> f64 {
    let expected = segment
        .row()
        .estimate
        .map_or(0.0, |estimate| (estimate.mm)(height, inseam));
    expected + residuals[segment as usize]
}

/// Joint heights, and how far the seat is from where the hip puts it, mm.
#[derive(Debug, Clone, Copy)]
struct Joints {
    ankle: f64,
    knee: f64,
    hip: f64,
    shoulder: f64,
    seat: f64,
}

impl Joints {
    fn estimate(height: f64, inseam: f64, residuals: &Residuals) -> Self {
        let of = |segment| estimated_mm(segment, height, inseam, residuals);
        Self {
            ankle: of(Segment::AnkleHeight),
            knee: of(Segment::KneeHeight),
            hip: of(Segment::HipHeight),
            shoulder: of(Segment::ShoulderHeight),
            seat: residuals[Segment::HipAboveSaddle as usize],
        }
    }

    /// Moves the estimates as little as their spreads allow until every measured segment comes out as
    /// measured: a link that is known beside joints that are guessed apart from it would make the
    /// body less certain, not more.
    ///
    /// # References
    /// Conditioning of independent normal estimates on exact linear readings, one reading after the
    /// other (the measurement update of Kalman 1960).
    fn agreeing_with(self, measured: &impl Fn(Segment) -> Option<f64>, inseam: f64) -> Self {
        use nalgebra::{Matrix5, Vector5};
        // A reading that follows from earlier ones has nothing left to move.
        const NOTHING_LEFT: f64 = 1e-6;
        // Ankle, knee, hip, shoulder, seat.
        let readings = [
            (Segment::AnkleHeight, [1.0, 0.0, 0.0, 0.0, 0.0], 0.0),
            (Segment::KneeHeight, [0.0, 1.0, 0.0, 0.0, 0.0], 0.0),
            (Segment::HipHeight, [0.0, 0.0, 1.0, 0.0, 0.0], 0.0),
            (Segment::ShoulderHeight, [0.0, 0.0, 0.0, 1.0, 0.0], 0.0),
            (Segment::Shank, [-1.0, 1.0, 0.0, 0.0, 0.0], 0.0),
            (Segment::Thigh, [0.0, -1.0, 1.0, 0.0, 0.0], 0.0),
            (Segment::Torso, [0.0, 0.0, -1.0, 1.0, 0.0], 0.0),
            (
                Segment::HipAboveSaddle,
                [0.0, 0.0, 1.0, 0.0, 1.0],
                -inseam / CROTCH_OVER_SITTING_LEG,
            ),
        ];
        if readings
            .iter()
            .all(|(segment, ..)| measured(*segment).is_none())
        {
            return self;
        }
        let mut joints = Vector5::new(self.ankle, self.knee, self.hip, self.shoulder, self.seat);
        let spreads = Vector5::from(
            [
                Segment::AnkleHeight,
                Segment::KneeHeight,
                Segment::HipHeight,
                Segment::ShoulderHeight,
                Segment::HipAboveSaddle,
            ]
            .map(|segment| estimate_sd_mm(segment, inseam)),
        );
        let mut covariance = Matrix5::from_diagonal(&spreads.component_mul(&spreads));
        for (segment, weights, offset) in readings {
            let Some(value) = measured(segment) else {
                continue;
            };
            let weights = Vector5::from(weights);
            let towards = covariance * weights;
            let variance = weights.dot(&towards);
            if variance < NOTHING_LEFT {
                continue;
            }
            joints += towards * ((value - offset - weights.dot(&joints)) / variance);
            covariance -= towards * towards.transpose() / variance;
        }
        let [ankle, knee, hip, shoulder, seat] = joints.into();
        Self {
            ankle,
            knee,
            hip,
            shoulder,
            seat,
        }
    }
}

impl Body {
    /// A body with these measurements and residuals, all mm.
    pub fn new(
        height: f64,
        inseam: f64,
        arm_reach: f64,
        sole: f64,
        segments: &Segments,
        residuals: &Residuals,
    ) -> Self {
        let measured = |segment: Segment| segments[segment as usize].map(Measured::mm);
        let or = |segment: Segment, estimate: f64| measured(segment).unwrap_or(estimate);

        let sitting_surface = inseam / CROTCH_OVER_SITTING_LEG;
        let joints = Joints::estimate(height, inseam, residuals).agreeing_with(&measured, inseam);
        let Joints {
            ankle: ankle_height,
            knee: knee_height,
            hip: hip_height,
            shoulder: shoulder_height,
            seat: seat_residual,
        } = joints;
        let link = |segment, length: f64| or(segment, length).max(SHORTEST_LINK_MM);
        let links = Segment::ALL.map(|segment| match segment {
            Segment::HipHeight => hip_height,
            Segment::KneeHeight => knee_height,
            Segment::AnkleHeight => ankle_height,
            Segment::ShoulderHeight => shoulder_height,
            Segment::Thigh => link(segment, hip_height - knee_height),
            Segment::Shank => link(segment, knee_height - ankle_height),
            Segment::Torso => link(segment, shoulder_height - hip_height),
            Segment::UpperArm => link(segment, UPPER_ARM_SHARE * arm_reach),
            Segment::Forearm => link(segment, (1.0 - UPPER_ARM_SHARE) * arm_reach),
            // Follows the hip: the saddle carries the same seat bones wherever the joint lies above them.
            Segment::HipAboveSaddle => or(segment, hip_height - sitting_surface + seat_residual),
            // Hangs on no joint.
            alone => or(alone, estimated_mm(alone, height, inseam, residuals)),
        });
        Self::of(links, height, inseam, sole)
    }

    /// Crotch above ground with shoes on, mm.
    pub fn inseam_in_shoes_mm(&self) -> f64 {
        self.inseam_mm + self.sole_mm
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn body(residuals: &Residuals) -> Body {
        Body::new(
            1310.0,
            610.0,
            505.0,
            15.0,
            &[None; Segment::COUNT],
            residuals,
        )
    }

    #[test]
    fn links_add_up_to_the_heights_they_come_from() {
        let body = body(&EXPECTED);
        assert_abs_diff_eq!(
            body.thigh_mm + body.shank_mm + body.ankle_height_mm,
            body.hip_height_mm,
            epsilon = 1e-9
        );
        assert_abs_diff_eq!(body.upper_arm_mm + body.forearm_mm, 505.0, epsilon = 1e-9);
    }

    #[test]
    fn measured_links_and_joints_come_out_as_measured() {
        let mut segments = [None; Segment::COUNT];
        for (segment, mm) in [
            (Segment::Thigh, 330.0),
            (Segment::Torso, 380.0),
            (Segment::KneeHeight, 345.0),
            (Segment::HipAboveSaddle, 60.0),
        ] {
            segments[segment as usize] = Some(crate::rider::Measured::from_mm(mm));
            let body = Body::new(1310.0, 610.0, 505.0, 15.0, &segments, &EXPECTED);
            assert_abs_diff_eq!(body.segment_mm(segment), mm, epsilon = 1e-9);
            assert_abs_diff_eq!(
                body.hip_height_mm - body.knee_height_mm,
                330.0,
                epsilon = 1e-9
            );
        }
    }

    #[test]
    fn a_higher_hip_leaves_the_sitting_surface_where_it_is() {
        let plain = body(&EXPECTED);
        let mut residuals = EXPECTED;
        residuals[Segment::HipHeight as usize] = 10.0;
        let higher = body(&residuals);
        assert_abs_diff_eq!(
            higher.hip_height_mm - higher.hip_above_saddle_mm,
            plain.hip_height_mm - plain.hip_above_saddle_mm,
            epsilon = 1e-9
        );
    }
}
