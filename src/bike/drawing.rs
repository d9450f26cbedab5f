//! A bike as a draughtsman has it: the numbers that place every part, and nothing else.
//! Plain millimetres and degrees without names or spreads; `layout` closes them into points.
//! What a file says, and how, is `spec`.

use crate::bike::spec::{Cranks, FrameSpec};
use crate::bike::tyre::TyreSize;
use crate::units::Length;

/// Every number that the side view and the clearances rest on. Lengths mm, angles in degrees from the
/// horizontal; the keys of the frame file explain each.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "named as the frame file's keys")]
pub struct Drawing {
    pub front_tyre: TyreSize,
    pub rear_tyre: TyreSize,
    pub stack_mm: f64,
    pub reach_mm: f64,
    pub chainstay_mm: f64,
    pub bottom_bracket_drop_mm: f64,
    pub seat_tube_angle_deg: f64,
    pub seat_tube_length_mm: f64,
    pub seat_tube_usable_depth_mm: f64,
    pub seat_tube_offset_mm: f64,
    pub head_angle_deg: f64,
    pub head_tube_length_mm: f64,
    pub top_tube: Option<TopTubeLine>,
    pub fork_offset_mm: f64,
    pub spacers_mm: f64,
    pub stem_length_mm: f64,
    pub stem_angle_deg: f64,
    pub stem_clamp_height_mm: f64,
    pub bar_rise_mm: f64,
    pub bar_setback_mm: f64,
    pub saddle_stack_mm: f64,
    pub saddle_setback_mm: f64,
    pub post_length_mm: f64,
    pub minimum_insertion_mm: f64,
    pub crank: Option<Crank>,
}

/// The top tube between its joints, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "named as the frame file's keys")]
pub struct TopTubeLine {
    pub seat_joint_mm: f64,
    pub head_joint_mm: f64,
    pub diameter_mm: f64,
    /// Where the rider straddles, as a share of the way from seat joint to head joint.
    pub straddle: f64,
}

/// Cranks and pedals, mm. How wide the pedals stand may be unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "named as the frame file's keys")]
pub struct Crank {
    pub length_mm: f64,
    pub pedal_height_mm: f64,
    pub q_factor_mm: Option<f64>,
    pub pedal_width_mm: Option<f64>,
}

impl From<&Cranks> for Crank {
    fn from(cranks: &Cranks) -> Self {
        Self {
            length_mm: cranks.length.mm(),
            pedal_height_mm: cranks.pedal_height.mm(),
            q_factor_mm: cranks.q_factor.map(Length::mm),
            pedal_width_mm: cranks.pedal_width.map(Length::mm),
        }
    }
}

impl From<&FrameSpec> for Drawing {
    fn from(spec: &FrameSpec) -> Self {
        let (frame, cockpit) = (&spec.frame, &spec.cockpit);
        Self {
            front_tyre: spec.tyres.front,
            rear_tyre: spec.tyres.rear,
            stack_mm: frame.stack.mm(),
            reach_mm: frame.reach.mm(),
            chainstay_mm: frame.chainstay.mm(),
            bottom_bracket_drop_mm: frame.bottom_bracket_drop.mm(),
            seat_tube_angle_deg: frame.seat_tube.angle.deg(),
            seat_tube_length_mm: frame.seat_tube.length.mm(),
            seat_tube_usable_depth_mm: frame.seat_tube.usable_depth.mm(),
            seat_tube_offset_mm: frame.seat_tube.offset.mm(),
            head_angle_deg: frame.head_tube.angle.deg(),
            head_tube_length_mm: frame.head_tube.length.mm(),
            top_tube: frame.top_tube.as_ref().map(|tube| TopTubeLine {
                seat_joint_mm: tube.seat_joint.mm(),
                head_joint_mm: tube.head_joint.mm(),
                diameter_mm: tube.diameter.mm(),
                straddle: tube.straddle,
            }),
            fork_offset_mm: spec.fork.offset.mm(),
            spacers_mm: cockpit.spacers.mm(),
            stem_length_mm: cockpit.stem.length.mm(),
            stem_angle_deg: cockpit.stem.angle.deg(),
            stem_clamp_height_mm: cockpit.stem.clamp_height.mm(),
            bar_rise_mm: cockpit.handlebar.rise.mm(),
            bar_setback_mm: cockpit.handlebar.setback.mm(),
            saddle_stack_mm: spec.saddle.stack.mm(),
            saddle_setback_mm: spec.saddle.setback.mm(),
            post_length_mm: spec.seat_post.length.mm(),
            minimum_insertion_mm: spec.seat_post.minimum_insertion.mm(),
            crank: spec.cranks.as_ref().map(Crank::from),
        }
    }
}

impl Drawing {
    /// Exposed post with the post as deep as it goes, mm; the clamp needs 25 mm of post in any case.
    pub fn lowest_exposed_post_mm(&self) -> f64 {
        const CLAMP_NEEDS_MM: f64 = 25.0;
        (self.post_length_mm - self.seat_tube_usable_depth_mm).max(CLAMP_NEEDS_MM)
    }

    /// Exposed post at the minimum-insertion mark, mm.
    pub fn highest_exposed_post_mm(&self) -> f64 {
        self.post_length_mm - self.minimum_insertion_mm
    }
}
