//! A bike as a draughtsman has it: the numbers that place every part, and nothing else.
//! Plain millimetres and degrees without names or spreads; `layout` closes them into points.
//! What a file says, and how, is `spec`; what it leaves out is filled in by `complete`.

use crate::bike::tyre::TyreSize;

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
    pub top_tube: TopTubeLine,
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
    /// None on a balance bike.
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

/// Post that the seat clamp needs above the tube in any case, mm.
pub(crate) const CLAMP_NEEDS_MM: f64 = 25.0;

impl Drawing {
    /// Exposed post with the post as deep as it goes, mm.
    pub fn lowest_exposed_post_mm(&self) -> f64 {
        (self.post_length_mm - self.seat_tube_usable_depth_mm).max(CLAMP_NEEDS_MM)
    }

    /// Exposed post at the minimum-insertion mark, mm.
    pub fn highest_exposed_post_mm(&self) -> f64 {
        self.post_length_mm - self.minimum_insertion_mm
    }

    /// How far the lower pedal's underside is below the bottom bracket, mm; 0 without cranks.
    pub fn lowest_pedal_mm(&self) -> f64 {
        self.crank
            .map_or(0.0, |crank| crank.length_mm + crank.pedal_height_mm / 2.0)
    }
}
