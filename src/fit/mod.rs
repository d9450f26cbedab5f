//! How a rider and a bike meet: the pair is put together once, every check reads it, the verdict sums up.
//! `pair` and `leg` are the geometry, `checks` the rules, `finding` and `verdict` what comes out.
//! Nothing here knows how a fit is drawn or printed.

pub mod cautions;
pub mod checks;
pub mod confidence;
pub mod finding;
pub mod forecast;
pub mod leg;
pub mod pair;
pub mod verdict;

use jiff::civil::Date;
use serde::Serialize;

pub use confidence::{Confidence, Remeasure};
pub use finding::{Check, Finding, Measure, Misfit, Status, Unit};
pub use forecast::{GrownBodies, Growth};
pub use pair::Pair;
pub use verdict::Verdict;

use crate::bike::{Bike, BikePoints, Class, Style};
use crate::plane::{Bend, Point, Vector, joint};
use crate::rider::growth::NoForecast;
use crate::rider::{Body, Rider, Sex, Stage, draws};
use crate::units::{Age, Mass, Units};
use checks::CHECKS;

/// What a fit needs beyond rider and bike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// The day that ages and forecasts count from.
    pub on: Date,
    /// Units of the words in advice; numbers in a [`Fit`] are always mm.
    pub units: Units,
    /// Take every figure as exact: no chances, no spreads.
    pub exact: bool,
    /// Whether to say how the fit changes as the child grows. Costs some hundred fits.
    pub forecast: bool,
}

impl Options {
    /// Everything that a fit can say, in mm, on a given day.
    pub const fn new(on: Date) -> Self {
        Self {
            on,
            units: Units::Mm,
            exact: false,
            forecast: true,
        }
    }

    /// The bare fit on a given day: figures taken as exact, no forecast.
    pub const fn bare(on: Date) -> Self {
        Self {
            exact: true,
            forecast: false,
            ..Self::new(on)
        }
    }
}

/// The checks' numbers for one pair, in the order of [`CHECKS`]; None where a check has no meaning.
pub type Measures = [Option<Measure>; CHECKS.len()];

/// Runs every check.
pub fn measure(pair: &Pair<'_>) -> Measures {
    CHECKS.map(|check| check.measure(pair))
}

/// One rider on one bike: everything that reports, pictures and JSON are made from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fit {
    /// Name and version of this object's form.
    pub schema: &'static str,
    /// The rider's measurements.
    pub rider: RiderFacts,
    /// The rider's links.
    pub body: Body,
    /// The bike by itself.
    pub bike: BikeFacts,
    /// What to set.
    pub setting: Setting,
    /// The stage's saddle band before the post's limits; None when no height lets the leg round the turn.
    pub saddle: Option<SaddleBand>,
    /// The rider on the bike at the setting.
    pub pose: Pose,
    /// What each check found.
    pub findings: Vec<Finding>,
    /// One word for the pair.
    pub verdict: Verdict,
    /// Chance that the pair stays on its side, fitting or not; None when exact figures were asked for.
    pub chance: Option<f64>,
    /// The same in words.
    pub confidence: Option<Confidence>,
    /// The measurement to take again, when too close to call.
    pub remeasure: Option<Remeasure>,
    /// What becomes of it as the child grows; None when not asked for, or not to be had (a warning says why).
    pub growth: Option<Growth>,
    /// What deserves a second look.
    pub warnings: Vec<String>,
    /// The usual cautions.
    pub cautions: &'static [&'static str],
}

/// The rider's measurements, mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as the rider file's keys")]
pub struct RiderFacts {
    #[serde(skip)]
    pub title: String,
    pub inseam_mm: f64,
    pub height_mm: f64,
    pub arm_reach_mm: f64,
    pub age_months: Option<f64>,
    pub sex: Option<Sex>,
    pub weight_kg: Option<f64>,
    pub stage: Stage,
    /// Keys that are estimates.
    pub estimated: Vec<&'static str>,
}

/// The bike by itself: points in mm from the bottom-bracket centre.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as the glossary's terms")]
pub struct BikeFacts {
    #[serde(skip)]
    pub id: String,
    pub name: String,
    pub style: Style,
    pub points: BikePoints,
    pub wheel_radius_front_mm: f64,
    pub wheel_radius_rear_mm: f64,
    pub bottom_bracket_height_mm: f64,
    pub wheelbase_mm: f64,
    pub front_centre_mm: f64,
    pub trail_mm: f64,
    pub standover_mm: Option<f64>,
    pub saddle_height_min_mm: f64,
    pub saddle_height_max_mm: f64,
    pub toe_clearance_mm: Option<f64>,
    pub pedal_lean_deg: Option<f64>,
    pub class: Class,
}

/// What to set on the bike, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Setting {
    /// Bottom-bracket centre to saddle top, straight.
    pub saddle_height_mm: f64,
    /// One standard deviation of the wanted saddle height; None when exact figures were asked for.
    pub saddle_height_sd_mm: Option<f64>,
    /// Ground to saddle top.
    pub seat_height_mm: f64,
    /// Post above the seat tube.
    pub exposed_post_mm: f64,
    /// Post inside the seat tube.
    pub insertion_mm: f64,
    /// Gap at the hand lever that suits least; None without hand levers or where their range is not given.
    pub lever_gap_mm: Option<f64>,
}

/// Saddle heights wanted at the stage, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SaddleBand {
    /// Lowest wanted.
    pub low_mm: f64,
    /// Best.
    pub target_mm: f64,
    /// Highest wanted.
    pub high_mm: f64,
}

/// The rider on the bike. Parts that the rider cannot reach are None.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Pose {
    /// Hip→shoulder above the horizontal.
    pub torso_lean_deg: Option<f64>,
    /// 0 straight.
    pub elbow_flexion_deg: Option<f64>,
    /// Between upper arm and trunk.
    pub upper_arm_to_trunk_deg: Option<f64>,
    /// Least over the turn, 0 straight; None without cranks.
    pub knee_flexion_min_deg: Option<f64>,
    /// Largest over the turn.
    pub knee_flexion_max_deg: Option<f64>,
    /// 0 top, clockwise seen from the drive side.
    pub crank_angle_at_min_deg: Option<f64>,
    /// At that crank angle; without cranks the foot stands on the ground.
    pub points: PosePoints,
}

/// Joints in mm from the bottom-bracket centre.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as the joints")]
pub struct PosePoints {
    pub sit: [f64; 2],
    pub hip: [f64; 2],
    pub knee: Option<[f64; 2]>,
    pub ankle: Option<[f64; 2]>,
    pub ball: Option<[f64; 2]>,
    pub shoulder: Option<[f64; 2]>,
    pub elbow: Option<[f64; 2]>,
    pub hand: Option<[f64; 2]>,
}

/// Fits one rider to one bike. Pure: the same input gives the same fit.
///
/// # Example
/// ```
/// use inseam::{Options, assess, bike, rider};
///
/// let bike = bike::library::sample("trail-24").expect("a sample bike");
/// let mut file: rider::RiderFile = inseam::file::Document::from_text("rider", "height: 138 cm").read().unwrap();
/// file.inseam = Some("66 cm".parse().unwrap());
/// let options = Options::new(jiff::civil::date(2026, 3, 1));
/// let rider = rider::Rider::new(&file, options.on).unwrap();
/// let fit = assess(&rider, &bike, &options);
/// assert!(fit.verdict.fits());
/// ```
pub fn assess(rider: &Rider, bike: &Bike, options: &Options) -> Fit {
    Assessor::new(rider, *options).assess(bike)
}

/// One rider, prepared for any number of bikes: the body and its draws are made once.
#[derive(Debug, Clone)]
pub struct Assessor<'a> {
    rider: &'a Rider,
    options: Options,
    body: Body,
    draws: Vec<Body>,
    screen: Option<usize>,
    grown: Option<Result<GrownBodies, NoForecast>>,
}

impl<'a> Assessor<'a> {
    /// For full figures on every bike.
    pub fn new(rider: &'a Rider, options: Options) -> Self {
        let count = if options.exact { 0 } else { draws::DRAWS };
        Self {
            rider,
            options,
            body: Body::of(rider),
            draws: draws::draw(rider, count),
            screen: None,
            grown: options.forecast.then(|| GrownBodies::of(rider, options.on)),
        }
    }

    /// For a large rack: clear cases are not followed to the last decimal, and only bikes that fit get a
    /// forecast.
    #[must_use]
    pub fn screening(mut self) -> Self {
        const SCREEN: usize = 64;
        self.screen = Some(SCREEN);
        self
    }

    /// The rider.
    pub fn rider(&self) -> &Rider {
        self.rider
    }

    /// The rider's measurements, as every fit repeats them.
    pub fn rider_facts(&self) -> RiderFacts {
        rider_facts(self.rider)
    }

    /// The rider's coming bodies, where a forecast was asked for and can be made.
    pub fn grown(&self) -> Option<&GrownBodies> {
        self.grown.as_ref()?.as_ref().ok()
    }

    /// The fit on one bike.
    pub fn assess(&self, bike: &Bike) -> Fit {
        let rider = self.rider;
        let pair = Pair::new(bike, &self.body, rider.stage, rider.weight);
        let measures = measure(&pair);
        let verdict = Verdict::of(measures.iter().flatten());
        let odds = (!self.draws.is_empty())
            .then(|| confidence::odds(rider, &self.draws, bike, &measures, self.screen));
        let findings = CHECKS
            .iter()
            .zip(&measures)
            .enumerate()
            .filter_map(|(index, (check, measure))| {
                let odds = odds.as_ref().map(|odds| odds.checks[index]);
                let measure = measure.as_ref()?;
                Some(Finding::new(
                    *check,
                    &pair,
                    measure,
                    odds,
                    self.options.units,
                ))
            })
            .collect();
        let mut warnings = rider.warnings();
        warnings.extend(bike.warnings.iter().cloned());
        if bike.is_balance() && rider.stage != Stage::Learning {
            warnings.push(
                "a bike without cranks is ridden feet on the ground: judged as learning".to_owned(),
            );
        }
        let growth = match &self.grown {
            // On a large rack, only bikes to choose from have their future told.
            Some(Ok(_)) if self.screen.is_some() && !verdict.fits() => None,
            Some(Ok(bodies)) => Some(bodies.growth(bike)),
            Some(Err(why)) => {
                warnings.push(why.to_string());
                None
            }
            None => None,
        };
        Fit {
            schema: "inseam/fit/1",
            rider: rider_facts(rider),
            body: self.body,
            bike: bike_facts(bike),
            setting: setting(
                &pair,
                odds.as_ref().and_then(|odds| odds.saddle_height_sd_mm),
            ),
            saddle: saddle_band(&pair),
            pose: pose(&pair),
            findings,
            verdict,
            chance: odds.as_ref().map(|odds| odds.chance),
            confidence: odds
                .as_ref()
                .map(|odds| Confidence::from_chance(odds.chance)),
            remeasure: odds.and_then(|odds| odds.remeasure),
            growth,
            warnings,
            cautions: cautions::CAUTIONS,
        }
    }
}

impl Fit {
    /// The finding of one check, if it has a meaning for this bike.
    pub fn finding(&self, check: &str) -> Option<&Finding> {
        self.findings.iter().find(|finding| finding.check == check)
    }
}

fn rider_facts(rider: &Rider) -> RiderFacts {
    RiderFacts {
        title: rider.title(),
        inseam_mm: rider.inseam.mm(),
        height_mm: rider.height.mm(),
        arm_reach_mm: rider.arm_reach.mm(),
        age_months: rider.age.map(Age::months),
        sex: rider.sex,
        weight_kg: rider.weight.map(Mass::kg),
        stage: rider.stage,
        estimated: rider.estimated_keys(),
    }
}

fn bike_facts(bike: &Bike) -> BikeFacts {
    BikeFacts {
        id: bike.id.clone(),
        name: bike.spec.name.clone(),
        style: bike.spec.style,
        points: bike.points,
        wheel_radius_front_mm: bike.wheel_radius_front_mm,
        wheel_radius_rear_mm: bike.wheel_radius_rear_mm,
        bottom_bracket_height_mm: bike.bottom_bracket_height_mm(),
        wheelbase_mm: bike.wheelbase_mm(),
        front_centre_mm: bike.front_centre_mm(),
        trail_mm: bike.trail_mm,
        standover_mm: bike.standover_mm,
        saddle_height_min_mm: bike.post.saddle_height_mm(bike.post.lowest_mm),
        saddle_height_max_mm: bike.post.saddle_height_mm(bike.post.highest_mm),
        toe_clearance_mm: bike.toe_clearance_mm,
        pedal_lean_deg: bike.pedal_lean_deg,
        class: bike.class,
    }
}

fn setting(pair: &Pair<'_>, saddle_height_sd_mm: Option<f64>) -> Setting {
    let post = &pair.bike.post;
    let lever = pair
        .hand_levers()
        .flatten()
        .map(|lever| pair.lever_gap_mm(lever));
    Setting {
        saddle_height_mm: post.saddle_height_mm(pair.position),
        saddle_height_sd_mm,
        seat_height_mm: pair.bike.seat_height_mm(pair.position),
        exposed_post_mm: post.exposed_post_mm(pair.position),
        insertion_mm: post.insertion_mm(pair.position),
        lever_gap_mm: lever.max_by(f64::total_cmp),
    }
}

fn saddle_band(pair: &Pair<'_>) -> Option<SaddleBand> {
    let tape = |position| pair.bike.post.saddle_height_mm(position);
    pair.band.map(|band| SaddleBand {
        low_mm: tape(band.low),
        target_mm: tape(band.target),
        high_mm: tape(band.high),
    })
}

fn pose(pair: &Pair<'_>) -> Pose {
    let xy = |point: Point| [point.x, point.y];
    let trunk = pair.trunk.ok();
    let mut pose = Pose {
        torso_lean_deg: trunk.map(|trunk| trunk.lean.to_degrees()),
        elbow_flexion_deg: trunk.map(|_| pair::ELBOW_DEG),
        upper_arm_to_trunk_deg: trunk.map(|trunk| trunk.upper_arm_to_trunk.to_degrees()),
        knee_flexion_min_deg: None,
        knee_flexion_max_deg: None,
        crank_angle_at_min_deg: None,
        points: PosePoints {
            sit: xy(pair.bike.post.sit(pair.position)),
            hip: xy(pair.hip),
            knee: None,
            ankle: None,
            ball: None,
            shoulder: trunk.map(|trunk| xy(trunk.shoulder)),
            elbow: trunk.map(|trunk| xy(trunk.elbow)),
            hand: trunk.map(|_| xy(pair.bike.points.grip)),
        },
    };
    if let (Some(leg), Some(farthest)) = (pair.leg, pair.farthest) {
        let angle = farthest.crank_angle;
        pose.knee_flexion_min_deg = leg.flexion(farthest.distance).ok().map(f64::to_degrees);
        pose.knee_flexion_max_deg = leg
            .flexion(leg.nearest(pair.hip).distance)
            .ok()
            .map(f64::to_degrees);
        if let Ok(knee) = leg.knee(pair.hip, angle) {
            pose.crank_angle_at_min_deg = Some(angle.to_degrees());
            pose.points.knee = Some(xy(knee));
            pose.points.ankle = Some(xy(leg.ankle(angle)));
            pose.points.ball = Some(xy(leg.ball(angle)));
        }
    } else if let Some((knee, ankle, ball)) = standing_leg(pair) {
        pose.points.knee = Some(xy(knee));
        pose.points.ankle = Some(xy(ankle));
        pose.points.ball = Some(xy(ball));
    }
    pose
}

/// The leg of a rider who sits with the foot flat on the ground below the hip.
pub(crate) fn standing_leg(pair: &Pair<'_>) -> Option<(Point, Point, Point)> {
    let body = pair.body;
    let sole = pair.bike.ground_y + body.sole_mm;
    let ankle = Point::new(pair.hip.x, sole + body.ankle_height_mm);
    let knee = joint(pair.hip, ankle, body.thigh_mm, body.shank_mm, Bend::Left).ok()?;
    Some((
        knee,
        ankle,
        Point::new(ankle.x, sole) + Vector::new(body.ankle_to_ball_mm, 0.0),
    ))
}
