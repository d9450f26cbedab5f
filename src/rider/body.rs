//! The rider as planar links: estimates from height, inseam and arm reach, each with its spread.
//! Measured segments win over estimates. What was measured is `measures`; how the links move is `fit::pose`.
//!
//! # References
//! Straight-line fits on 3,892 US children aged 2 to 20: Snyder, Schneider, Owings, Reynolds, Golomb,
//! Schork 1977, UM-HSRI-77-17. Ball of the foot: ANSUR II, Gordon et al. 2014, NATICK/TR-15/007.

use serde::Serialize;

use crate::rider::measures::{Measured, Rider, Segment, Segments};

/// The sitting surface is at inseam / 1.01 above the floor: crotch height over (H − sitting height), ANSUR II.
pub const CROTCH_OVER_SITTING_LEG: f64 = 1.01;
/// Heel to ball of the foot over foot length: ANSUR II.
pub const HEEL_TO_BALL: f64 = 0.74;
/// Ankle joint to ball of the foot over foot length.
const ANKLE_TO_BALL: f64 = 0.49;
/// Share of the arm reach above the elbow.
const UPPER_ARM_SHARE: f64 = 0.476;
/// No link is shorter than this in a random draw, mm.
const SHORTEST_LINK_MM: f64 = 10.0;

/// Standard deviations of the estimates, mm, in the order of [`Residuals`].
pub mod spread {
    /// Inseam from height.
    pub const INSEAM_MM: f64 = 22.0;
    /// Arm reach from height, as a share of height.
    pub const ARM_REACH_OF_HEIGHT: f64 = 0.012;
    /// Hip height.
    pub const HIP_HEIGHT_MM: f64 = 18.0;
    /// Knee height.
    pub const KNEE_HEIGHT_MM: f64 = 14.0;
    /// Ankle height.
    pub const ANKLE_HEIGHT_MM: f64 = 7.0;
    /// Foot length.
    pub const FOOT_LENGTH_MM: f64 = 8.0;
    /// Hip above the saddle.
    pub const HIP_ABOVE_SADDLE_MM: f64 = 8.0;
    /// Shoulder height.
    pub const SHOULDER_HEIGHT_MM: f64 = 11.0;
    /// Hand length.
    pub const HAND_LENGTH_MM: f64 = 6.0;
    /// Shoulder breadth.
    pub const SHOULDER_BREADTH_MM: f64 = 12.0;
}

/// What this body has more than the estimate says, mm; all zero for the expected body.
/// Not used where the segment was measured.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[expect(missing_docs, reason = "named as the rider file's keys")]
pub struct Residuals {
    pub hip_height: f64,
    pub knee_height: f64,
    pub ankle_height: f64,
    pub foot_length: f64,
    pub hip_above_saddle: f64,
    pub shoulder_height: f64,
    pub hand_length: f64,
    pub shoulder_breadth: f64,
}

/// The rider's links in the side view, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Body {
    /// Floor to hip joint.
    pub hip_height_mm: f64,
    /// Floor to knee joint.
    pub knee_height_mm: f64,
    /// Floor to ankle joint.
    pub ankle_height_mm: f64,
    /// Hip to knee.
    pub thigh_mm: f64,
    /// Knee to ankle.
    pub shank_mm: f64,
    /// Heel to longest toe.
    pub foot_length_mm: f64,
    /// Ankle joint to ball of the foot, along the sole.
    pub ankle_to_ball_mm: f64,
    /// Saddle top to hip joint.
    pub hip_above_saddle_mm: f64,
    /// Floor to shoulder tip.
    pub shoulder_height_mm: f64,
    /// Hip to shoulder.
    pub torso_mm: f64,
    /// Shoulder to elbow.
    pub upper_arm_mm: f64,
    /// Elbow to the middle of the fist.
    pub forearm_mm: f64,
    /// Wrist crease to fingertip.
    pub hand_length_mm: f64,
    /// Across the shoulder tips.
    pub shoulder_breadth_mm: f64,
    /// Shoe sole.
    pub sole_mm: f64,
    /// Floor to crotch.
    #[serde(skip)]
    pub inseam_mm: f64,
    /// Floor to crown.
    #[serde(skip)]
    pub height_mm: f64,
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
        Self {
            ankle: 0.0397 * height + residuals.ankle_height,
            knee: 0.547 * inseam + 0.013 * height + residuals.knee_height,
            hip: 1.065 * inseam + residuals.hip_height,
            shoulder: -111.5 + 0.8826 * height + residuals.shoulder_height,
            seat: residuals.hip_above_saddle,
        }
    }

    /// Moves the estimates as little as their spreads allow until every measured segment comes out as
    /// measured: a link that is known beside joints that are guessed apart from it would make the
    /// body less certain, not more.
    ///
    /// # References
    /// Conditioning of independent normal estimates on exact linear readings, one reading after the
    /// other (the measurement update of Kalman 1960).
    fn agreeing_with(
        self,
        measured: &impl Fn(Segment) -> Option<f64>,
        sitting_surface: f64,
    ) -> Self {
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
                -sitting_surface,
            ),
        ];
        if readings
            .iter()
            .all(|(segment, ..)| measured(*segment).is_none())
        {
            return self;
        }
        let mut joints = Vector5::new(self.ankle, self.knee, self.hip, self.shoulder, self.seat);
        let spreads = Vector5::new(
            spread::ANKLE_HEIGHT_MM,
            spread::KNEE_HEIGHT_MM,
            spread::HIP_HEIGHT_MM,
            spread::SHOULDER_HEIGHT_MM,
            spread::HIP_ABOVE_SADDLE_MM,
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
    /// The expected body of a rider.
    pub fn of(rider: &Rider) -> Self {
        Self::new(
            rider.height.mm(),
            rider.inseam.mm(),
            rider.arm_reach.mm(),
            rider.sole_mm,
            &rider.segments,
            &Residuals::default(),
        )
    }

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
        let joints =
            Joints::estimate(height, inseam, residuals).agreeing_with(&measured, sitting_surface);
        let Joints {
            ankle: ankle_height,
            knee: knee_height,
            hip: hip_height,
            shoulder: shoulder_height,
            seat: seat_residual,
        } = joints;
        let foot_length = or(
            Segment::FootLength,
            9.3 + 0.149 * height + residuals.foot_length,
        );
        // Follows the hip: the saddle carries the same seat bones wherever the joint lies above them.
        let hip_above_saddle = or(
            Segment::HipAboveSaddle,
            hip_height - sitting_surface + seat_residual,
        );
        Self {
            hip_height_mm: hip_height,
            knee_height_mm: knee_height,
            ankle_height_mm: ankle_height,
            thigh_mm: or(Segment::Thigh, hip_height - knee_height).max(SHORTEST_LINK_MM),
            shank_mm: or(Segment::Shank, knee_height - ankle_height).max(SHORTEST_LINK_MM),
            foot_length_mm: foot_length,
            ankle_to_ball_mm: ANKLE_TO_BALL * foot_length,
            hip_above_saddle_mm: hip_above_saddle,
            shoulder_height_mm: shoulder_height,
            torso_mm: or(Segment::Torso, shoulder_height - hip_height).max(SHORTEST_LINK_MM),
            upper_arm_mm: or(Segment::UpperArm, UPPER_ARM_SHARE * arm_reach).max(SHORTEST_LINK_MM),
            forearm_mm: or(Segment::Forearm, (1.0 - UPPER_ARM_SHARE) * arm_reach)
                .max(SHORTEST_LINK_MM),
            hand_length_mm: or(
                Segment::HandLength,
                8.5 + 0.1031 * height + residuals.hand_length,
            ),
            shoulder_breadth_mm: or(
                Segment::ShoulderBreadth,
                33.7 + 0.194 * height + residuals.shoulder_breadth,
            ),
            sole_mm: sole,
            inseam_mm: inseam,
            height_mm: height,
        }
    }

    /// The value of a segment, mm.
    pub const fn segment_mm(&self, segment: Segment) -> f64 {
        match segment {
            Segment::HipHeight => self.hip_height_mm,
            Segment::KneeHeight => self.knee_height_mm,
            Segment::AnkleHeight => self.ankle_height_mm,
            Segment::Thigh => self.thigh_mm,
            Segment::Shank => self.shank_mm,
            Segment::FootLength => self.foot_length_mm,
            Segment::HipAboveSaddle => self.hip_above_saddle_mm,
            Segment::ShoulderHeight => self.shoulder_height_mm,
            Segment::Torso => self.torso_mm,
            Segment::UpperArm => self.upper_arm_mm,
            Segment::Forearm => self.forearm_mm,
            Segment::HandLength => self.hand_length_mm,
            Segment::ShoulderBreadth => self.shoulder_breadth_mm,
        }
    }

    /// Height minus sitting height: the leg in the sense of the growth tables, mm.
    pub fn sitting_leg_mm(&self) -> f64 {
        self.inseam_mm / CROTCH_OVER_SITTING_LEG
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
            &[None; Segment::ALL.len()],
            residuals,
        )
    }

    #[test]
    fn links_add_up_to_the_heights_they_come_from() {
        let body = body(&Residuals::default());
        assert_abs_diff_eq!(
            body.thigh_mm + body.shank_mm + body.ankle_height_mm,
            body.hip_height_mm,
            epsilon = 1e-9
        );
        assert_abs_diff_eq!(body.upper_arm_mm + body.forearm_mm, 505.0, epsilon = 1e-9);
    }

    #[test]
    fn measured_links_and_joints_come_out_as_measured() {
        let mut segments = [None; Segment::ALL.len()];
        for (segment, mm) in [
            (Segment::Thigh, 330.0),
            (Segment::Torso, 380.0),
            (Segment::KneeHeight, 345.0),
            (Segment::HipAboveSaddle, 60.0),
        ] {
            segments[segment as usize] = Some(crate::rider::Measured::from_mm(mm));
            let body = Body::new(1310.0, 610.0, 505.0, 15.0, &segments, &Residuals::default());
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
        let plain = body(&Residuals::default());
        let higher = body(&Residuals {
            hip_height: 10.0,
            ..Residuals::default()
        });
        assert_abs_diff_eq!(
            higher.hip_height_mm - higher.hip_above_saddle_mm,
            plain.hip_height_mm - plain.hip_above_saddle_mm,
            epsilon = 1e-9
        );
    }
}
