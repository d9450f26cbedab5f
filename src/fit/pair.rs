//! One body on one bike: the saddle band, the setting chosen inside the post's range, and the pose it makes.
//! Computed once and read by every check; numbers only, nothing allocated.
//! What the numbers must be is in the checks.

use crate::bike::{Bike, BrakeKind, Style};
use crate::fit::leg::{Extreme, Leg};
use crate::plane::{Bend, Point, Unreachable, Vector, direction, flexion, joint, span};
use crate::rider::{Body, Stage};
use crate::units::Mass;

/// Elbow flexion at which reach is judged, degrees: Holliday & Swart 2021, 19 ± 8 static.
pub const ELBOW_DEG: f64 = 20.0;
/// Least knee flexion wanted over the turn, degrees: Holmes, Pruitt, Whalen 1994.
pub const LEG_EXTENSION_DEG: std::ops::RangeInclusive<f64> = 25.0..=35.0;
/// The middle of [`LEG_EXTENSION_DEG`], degrees.
pub const LEG_EXTENSION_TARGET_DEG: f64 = 30.0;
/// `learning`: saddle top against inseam and sole, mm. Balance-bike practice: 13 to 38 mm below the inseam.
const LEARNING_BAND_MM: [f64; 2] = [-38.0, -13.0];
/// `steady`: balls of both feet down, mm above inseam and sole.
const STEADY_BAND_MM: [f64; 2] = [0.0, 35.0];

/// Shares of hand length for the lever gap: good, usable, limit. This tool's own rule: thumb crotch
/// to fingertip 0.70 less one finger joint 0.11 (hand data of Snyder et al. 1977).
pub const LEVER_SHARES: [f64; 3] = [0.40, 0.50, 0.59];

/// A band of saddle positions along the post's line, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Lowest wanted.
    pub low: f64,
    /// Best.
    pub target: f64,
    /// Highest wanted.
    pub high: f64,
}

/// Trunk and arm with the hand on the grip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trunk {
    /// Angle of hip→shoulder above the horizontal, radians.
    pub lean: f64,
    /// Between upper arm and trunk, radians.
    pub upper_arm_to_trunk: f64,
    /// Shoulder joint.
    pub shoulder: Point,
    /// Elbow joint.
    pub elbow: Point,
}

/// A body on a bike at a riding stage.
#[derive(Debug, Clone, Copy)]
pub struct Pair<'a> {
    /// The bike.
    pub bike: &'a Bike,
    /// The body.
    pub body: &'a Body,
    /// The rider's weight, if known.
    pub weight: Option<Mass>,
    /// The stage that the bike is judged at: a bike without cranks is always ridden feet on the ground.
    pub stage: Stage,
    /// Where the saddle should be, before the post's range; None when no height lets the leg round the turn.
    pub band: Option<Band>,
    /// Saddle position for [`LEG_EXTENSION_TARGET_DEG`], whatever the stage; None without cranks or
    /// when no height lets the leg round the turn.
    pub extension: Option<f64>,
    /// Where the saddle is set, along the post's line, mm.
    pub position: f64,
    /// The leg on this bike's cranks.
    pub leg: Option<Leg>,
    /// Where the leg is straightest at the setting.
    pub farthest: Option<Extreme>,
    /// Hip at the setting.
    pub hip: Point,
    /// Trunk and arm at the setting, elbow at [`ELBOW_DEG`].
    pub trunk: Result<Trunk, Unreachable>,
}

impl<'a> Pair<'a> {
    /// Puts the body on the bike.
    pub fn new(bike: &'a Bike, body: &'a Body, stage: Stage, weight: Option<Mass>) -> Self {
        let stage = if bike.is_balance() {
            Stage::Learning
        } else {
            stage
        };
        let leg = bike
            .spec
            .cranks
            .as_ref()
            .map(|cranks| Leg::new(body, cranks));
        let extension =
            leg.and_then(|leg| position_for_flexion(bike, body, &leg, LEG_EXTENSION_TARGET_DEG));
        let band = stage_band(bike, body, stage, leg.as_ref().zip(extension));
        let post = &bike.post;
        let position = band
            .map_or(post.lowest_mm, |band| band.target)
            .clamp(post.lowest_mm, post.highest_mm);
        let hip = hip_at(bike, body, position);
        let farthest = leg.map(|leg| leg.farthest(hip));
        let trunk = trunk(hip, bike.points.grip, body, ELBOW_DEG.to_radians());
        Self {
            bike,
            body,
            weight,
            stage,
            band,
            extension,
            position,
            leg,
            farthest,
            hip,
            trunk,
        }
    }

    /// Hip joint with the saddle at another position.
    pub fn hip_at(&self, position: f64) -> Point {
        hip_at(self.bike, self.body, position)
    }

    /// Saddle position at which the least knee flexion over the turn is this, if the leg has one.
    pub fn position_for_flexion_deg(&self, flexion_deg: f64) -> Option<f64> {
        position_for_flexion(self.bike, self.body, &self.leg?, flexion_deg)
    }

    /// Wanted torso lean, degrees.
    pub fn lean_band_deg(&self) -> [f64; 2] {
        match (self.stage, self.bike.spec.style) {
            (Stage::Learning, _) if self.bike.is_balance() => [60.0, 95.0],
            (Stage::Learning, _) => [60.0, 90.0],
            (Stage::Steady, _) => [50.0, 85.0],
            (Stage::Confident, Style::Trail) => [45.0, 70.0],
            (Stage::Confident, Style::Street | Style::Balance) => [50.0, 75.0],
        }
    }

    /// The middle of the lean band, radians.
    pub fn lean_target(&self) -> f64 {
        let [low, high] = self.lean_band_deg();
        f64::midpoint(low, high).to_radians()
    }

    /// Shoulder when leaning at the middle of the band.
    pub fn shoulder_at_target(&self) -> Point {
        self.hip + direction(self.lean_target()) * self.body.torso_mm
    }

    /// Saddle top against inseam and sole at a position, mm; negative below.
    pub fn saddle_over_inseam_mm(&self, position: f64) -> f64 {
        self.bike.seat_height_mm(position) - self.body.inseam_in_shoes_mm()
    }

    /// The hand levers: range of each, front first.
    pub fn hand_levers(&self) -> impl Iterator<Item = Option<LeverRange>> {
        let brakes = self.bike.spec.brakes.as_ref();
        let both = brakes.map(|brakes| [&brakes.front, &brakes.rear]);
        both.into_iter()
            .flatten()
            .filter(|brake| brake.kind == BrakeKind::Hand)
            .map(|brake| {
                brake.reach.as_ref().map(|reach| LeverRange {
                    min: reach.min.mm(),
                    max: reach.max.mm(),
                })
            })
    }

    /// The gap to set at a lever for this hand, mm: what the hand likes, inside the lever's range and the law.
    pub fn lever_gap_mm(&self, lever: LeverRange) -> f64 {
        let liked = LEVER_SHARES[0] * self.body.hand_length_mm;
        liked
            .min(self.bike.class.lever_ceiling_mm)
            .clamp(lever.min, lever.max)
    }
}

/// Range of one lever's adjuster, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeverRange {
    /// Drawn in fully.
    pub min: f64,
    /// Let out fully.
    pub max: f64,
}

fn hip_at(bike: &Bike, body: &Body, position: f64) -> Point {
    bike.post.sit(position) + Vector::new(0.0, body.hip_above_saddle_mm)
}

fn position_for_flexion(bike: &Bike, body: &Body, leg: &Leg, flexion_deg: f64) -> Option<f64> {
    let hip_at = |position| hip_at(bike, body, position);
    leg.position_for_flexion(hip_at, bike.post.up, flexion_deg.to_radians())
}

fn stage_band(
    bike: &Bike,
    body: &Body,
    stage: Stage,
    extension: Option<(&Leg, f64)>,
) -> Option<Band> {
    let over_inseam = |[low, high]: [f64; 2]| {
        let at = |over: f64| bike.position_at_seat_height(body.inseam_in_shoes_mm() + over);
        Band {
            low: at(low),
            target: at(f64::midpoint(low, high)),
            high: at(high),
        }
    };
    match stage {
        Stage::Learning => Some(over_inseam(LEARNING_BAND_MM)),
        Stage::Steady => Some(over_inseam(STEADY_BAND_MM)),
        Stage::Confident => {
            let (leg, target) = extension?;
            Some(Band {
                low: position_for_flexion(bike, body, leg, *LEG_EXTENSION_DEG.end())?,
                target,
                high: position_for_flexion(bike, body, leg, *LEG_EXTENSION_DEG.start())?,
            })
        }
    }
}

/// Trunk and arm for a hip, a grip and an elbow flexion (radians).
pub fn trunk(hip: Point, grip: Point, body: &Body, elbow: f64) -> Result<Trunk, Unreachable> {
    let arm = span(body.upper_arm_mm, body.forearm_mm, elbow);
    let shoulder = joint(hip, grip, body.torso_mm, arm, Bend::Left)?;
    let elbow = joint(
        shoulder,
        grip,
        body.upper_arm_mm,
        body.forearm_mm,
        Bend::Right,
    )?;
    let spine = shoulder - hip;
    Ok(Trunk {
        lean: spine.y.atan2(spine.x),
        upper_arm_to_trunk: (hip - shoulder).angle(&(elbow - shoulder)),
        shoulder,
        elbow,
    })
}

/// Elbow flexion for a shoulder and a grip, radians.
pub fn elbow_flexion(shoulder: Point, grip: Point, body: &Body) -> Result<f64, Unreachable> {
    flexion((grip - shoulder).norm(), body.upper_arm_mm, body.forearm_mm)
}
