//! One body on one bike: the saddle band, the setting chosen inside the post's range, and the pose it makes.
//! Computed once and read by every check; numbers only, nothing allocated.
//! What the numbers must be is in the checks.

use crate::bike::{Bike, Layout};
use crate::fit::leg::{Extreme, Leg};
use crate::plane::{Bend, Point, Unreachable, Vector, joint, span};
use crate::rider::{Body, Stage};
use crate::units::Mass;

/// Elbow flexion at which reach is judged, degrees: Holliday & Swart 2021, 19 ± 8 static.
pub const ELBOW_DEG: f64 = 20.0;
/// Least knee flexion wanted over the turn, degrees: Holmes, Pruitt, Whalen 1994.
pub const LEG_EXTENSION_DEG: std::ops::RangeInclusive<f64> = 25.0..=35.0;
/// The middle of [`LEG_EXTENSION_DEG`], degrees.
pub const LEG_EXTENSION_TARGET_DEG: f64 = 30.0;
/// `learning`: saddle top against inseam and sole, mm. Balance-bike practice: 13 to 38 mm below the inseam.
pub const LEARNING_BAND_MM: [f64; 2] = [-38.0, -13.0];
/// `steady`: balls of both feet down, mm above inseam and sole.
pub const STEADY_BAND_MM: [f64; 2] = [0.0, 35.0];

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

/// The rider sitting on the bike at the setting: everything that follows from body, bike and stage.
/// Nothing borrowed, so that an answer can keep it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
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

impl Pose {
    fn of(bike: &Bike, layout: &Layout, body: &Body, stage: Stage) -> Self {
        let stage = stage_on(bike, stage);
        let leg = layout.crank.map(|crank| Leg::new(body, &crank));
        let extension =
            leg.and_then(|leg| position_for_flexion(layout, body, &leg, LEG_EXTENSION_TARGET_DEG));
        let band = stage_band(layout, body, stage, leg.as_ref().zip(extension));
        let post = &layout.post;
        let position = band
            .map_or(post.lowest_mm, |band| band.target)
            // A possible layout of a partial file may leave its post no travel.
            .clamp(post.lowest_mm, post.highest_mm.max(post.lowest_mm));
        let hip = hip_at(layout, body, position);
        Self {
            stage,
            band,
            extension,
            position,
            leg,
            farthest: leg.map(|leg| leg.farthest(hip)),
            hip,
            trunk: trunk(hip, layout.points.grip, body, ELBOW_DEG.to_radians()),
        }
    }
}

/// Whether somebody who rides with pedals has none on a bike.
pub fn lacks_pedals(bike: &Bike, stage: Stage) -> bool {
    stage_on(bike, stage) != stage
}

/// The stage at which a bike is judged: without cranks the feet carry the rider, whatever was asked for.
pub fn stage_on(bike: &Bike, stage: Stage) -> Stage {
    if bike.is_balance() {
        Stage::Learning
    } else {
        stage
    }
}

/// A body on a bike: what every check reads.
#[derive(Debug, Clone, Copy)]
pub struct Pair<'a> {
    /// The bike, for what its file says.
    pub bike: &'a Bike,
    /// Where the bike's parts are.
    pub layout: &'a Layout,
    /// The body.
    pub body: &'a Body,
    /// The rider's weight, if known.
    pub weight: Option<Mass>,
    /// Whether the rider may still grow, for the words of a check: no verdict hangs on it.
    pub may_grow: bool,
    /// The rider on the saddle.
    pub pose: Pose,
}

impl<'a> Pair<'a> {
    /// Puts the body on the bike.
    pub fn new(bike: &'a Bike, body: &'a Body, stage: Stage, weight: Option<Mass>) -> Self {
        Self::on(bike, &bike.layout, body, stage, weight)
    }

    /// Puts the body on the bike as it may be: another layout than the likeliest.
    pub fn on(
        bike: &'a Bike,
        layout: &'a Layout,
        body: &'a Body,
        stage: Stage,
        weight: Option<Mass>,
    ) -> Self {
        let pose = Pose::of(bike, layout, body, stage);
        Self {
            bike,
            layout,
            body,
            weight,
            may_grow: true,
            pose,
        }
    }

    /// Where the rider sits at the setting.
    pub fn sit(&self) -> Point {
        self.layout.post.sit(self.pose.position)
    }

    /// Hip joint with the saddle at another position.
    pub fn hip_at(&self, position: f64) -> Point {
        hip_at(self.layout, self.body, position)
    }

    /// Saddle position at which the least knee flexion over the turn is this, if the leg has one.
    pub fn position_for_flexion_deg(&self, flexion_deg: f64) -> Option<f64> {
        self.position_of_leg(&self.pose.leg?, flexion_deg)
    }

    /// The same for a leg on other cranks.
    pub fn position_of_leg(&self, leg: &Leg, flexion_deg: f64) -> Option<f64> {
        position_for_flexion(self.layout, self.body, leg, flexion_deg)
    }

    /// Saddle top against inseam and sole at a position, mm; negative below.
    pub fn saddle_over_inseam_mm(&self, position: f64) -> f64 {
        self.layout.seat_height_mm(position) - self.body.inseam_in_shoes_mm()
    }
}

fn hip_at(layout: &Layout, body: &Body, position: f64) -> Point {
    layout.post.sit(position) + Vector::new(0.0, body.hip_above_saddle_mm)
}

fn position_for_flexion(layout: &Layout, body: &Body, leg: &Leg, flexion_deg: f64) -> Option<f64> {
    let hip_at = |position| hip_at(layout, body, position);
    leg.position_for_flexion(hip_at, layout.post.up, flexion_deg.to_radians())
}

fn stage_band(
    layout: &Layout,
    body: &Body,
    stage: Stage,
    extension: Option<(&Leg, f64)>,
) -> Option<Band> {
    let over_inseam = |[low, high]: [f64; 2]| {
        let at = |over: f64| layout.position_at_seat_height(body.inseam_in_shoes_mm() + over);
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
                low: position_for_flexion(layout, body, leg, *LEG_EXTENSION_DEG.end())?,
                target,
                high: position_for_flexion(layout, body, leg, *LEG_EXTENSION_DEG.start())?,
            })
        }
    }
}

/// Knee, ankle and ball of one foot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LegJoints {
    /// Knee joint.
    pub knee: Point,
    /// Ankle joint.
    pub ankle: Point,
    /// Ball of the foot.
    pub ball: Point,
}

impl Pair<'_> {
    /// The leg at a crank angle, radians; None without cranks or where it does not reach.
    pub fn leg_at(&self, crank_angle: f64) -> Option<LegJoints> {
        let leg = self.pose.leg?;
        Some(LegJoints {
            knee: leg.knee(self.pose.hip, crank_angle).ok()?,
            ankle: leg.ankle(crank_angle),
            ball: leg.ball(crank_angle),
        })
    }

    /// The leg of a rider who sits with the foot flat on the ground below the hip.
    pub fn standing_leg(&self) -> Option<LegJoints> {
        let (body, hip) = (self.body, self.pose.hip);
        let sole = self.layout.ground_y + body.sole_mm;
        let ankle = Point::new(hip.x, sole + body.ankle_height_mm);
        Some(LegJoints {
            knee: joint(hip, ankle, body.thigh_mm, body.shank_mm, Bend::Left).ok()?,
            ankle,
            ball: Point::new(ankle.x, sole) + Vector::new(body.ankle_to_ball_mm, 0.0),
        })
    }

    /// The leg as it is shown: where it is straightest, or standing beside a bike without cranks.
    pub fn shown_leg(&self) -> Option<LegJoints> {
        match self.pose.farthest {
            Some(farthest) => self.leg_at(farthest.crank_angle),
            None => self.standing_leg(),
        }
    }

    /// Least knee flexion over the turn at the setting, degrees.
    pub fn knee_flexion_min_deg(&self) -> Option<f64> {
        let (leg, farthest) = (self.pose.leg?, self.pose.farthest?);
        leg.flexion(farthest.distance).ok().map(f64::to_degrees)
    }

    /// Largest knee flexion over the turn at the setting, degrees.
    pub fn knee_flexion_max_deg(&self) -> Option<f64> {
        let leg = self.pose.leg?;
        let nearest = leg.nearest(self.pose.hip);
        leg.flexion(nearest.distance).ok().map(f64::to_degrees)
    }

    /// Trunk above the horizontal, degrees; None when the grips are out of reach.
    pub fn torso_lean_deg(&self) -> Option<f64> {
        self.pose.trunk.ok().map(|trunk| trunk.lean.to_degrees())
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
