//! `inseam/fit`: one rider on one bike. Numbers are mm, degrees and kg whatever the units of the words.
//! Points are [x, y] from the bottom-bracket centre, x forward, y up.

use jiff::civil::Date;
use serde::Serialize;

use crate::bike::complete::Doubt;
use crate::bike::{Bike, Figure};
use crate::fit::checks::CheckId;
use crate::fit::forecast::{GrownMonth, Raise};
use crate::fit::{Confidence, Fit, Growth, Pair, Side, Unit};
use crate::report::contract::{Months, xy};
use crate::report::verdict_text::{cautions, doubt_to_try_mm, told_chance, told_lean};
use crate::rider::segments::segments;
use crate::rider::{Body, Measurement, Rider, Segment};
use crate::units::Units;

/// Name and version of the object.
const SCHEMA: &str = "inseam/fit/2";

/// A fit as the contract has it, its words in `units`.
pub fn fit(fit: &Fit, units: Units) -> impl Serialize {
    FitObject::new(fit, units)
}

#[derive(Debug, Serialize)]
pub(super) struct FitObject {
    schema: &'static str,
    rider: RiderObject,
    body: BodyObject,
    bike: BikeObject,
    setting: Option<SettingObject>,
    to_try: Option<ToTryObject>,
    saddle: Option<SaddleBandObject>,
    pose: PoseObject,
    findings: Vec<FindingObject>,
    verdict: &'static str,
    leans: Option<&'static str>,
    chance: Option<f64>,
    confidence: Option<&'static str>,
    remeasure: Option<RemeasureObject>,
    growth: Option<GrowthObject>,
    warnings: Vec<String>,
    cautions: Vec<&'static str>,
}

impl FitObject {
    pub(super) fn new(fit: &Fit, units: Units) -> Self {
        let pair = fit.pair();
        Self {
            schema: SCHEMA,
            rider: RiderObject::new(&fit.rider),
            body: BodyObject::new(&fit.body),
            bike: BikeObject::new(&pair),
            // Nothing is set on a bike that does not fit.
            setting: fit.verdict.fits().then(|| SettingObject::new(fit)),
            to_try: ToTryObject::of(fit),
            saddle: pair.saddle_band().map(|band| SaddleBandObject {
                low_mm: band.low_mm,
                target_mm: band.target_mm,
                high_mm: band.high_mm,
            }),
            pose: PoseObject::new(&pair),
            findings: FindingObject::all(fit, units),
            verdict: fit.verdict.word(),
            leans: told_lean(fit).map(Side::word),
            chance: told_chance(fit),
            confidence: fit
                .confidence()
                .filter(|_| told_chance(fit).is_some())
                .map(Confidence::word),
            remeasure: fit
                .odds
                .and_then(|odds| odds.remeasure)
                .map(|again| RemeasureObject {
                    measurement: again.asked.key(),
                    decides: again.decides.name(),
                    advice: again.words(),
                }),
            growth: fit
                .growth()
                .map(|growth| GrowthObject::new(growth, &fit.bike)),
            warnings: fit.warnings(units),
            cautions: cautions(fit.verdict),
        }
    }
}

#[derive(Debug, Serialize)]
pub(super) struct RiderObject {
    inseam_mm: f64,
    height_mm: f64,
    arm_reach_mm: f64,
    age_months: Option<f64>,
    sex: Option<&'static str>,
    weight_kg: Option<f64>,
    stage: &'static str,
    measured_on: Date,
    estimated: Vec<&'static str>,
    brought_forward_from: BroughtForward,
}

/// What the tape read; null where a figure is an estimate, or stands as it was measured.
#[derive(Debug, Serialize)]
struct BroughtForward {
    inseam_mm: Option<f64>,
    height_mm: Option<f64>,
    arm_reach_mm: Option<f64>,
}

impl RiderObject {
    pub(super) fn new(rider: &Rider) -> Self {
        Self {
            inseam_mm: rider.inseam.mm(),
            height_mm: rider.height.mm(),
            arm_reach_mm: rider.arm_reach.mm(),
            age_months: rider.age.map(crate::units::Age::months),
            sex: rider.sex.map(crate::rider::Sex::word),
            weight_kg: rider.weight.map(crate::units::Mass::kg),
            stage: rider.stage.word(),
            measured_on: rider.measured_on,
            estimated: rider.estimated_keys(),
            brought_forward_from: BroughtForward {
                inseam_mm: rider.brought_forward_from_mm(Measurement::Inseam),
                height_mm: rider.brought_forward_from_mm(Measurement::Height),
                arm_reach_mm: rider.brought_forward_from_mm(Measurement::ArmReach),
            },
        }
    }
}

macro_rules! body_object {
    ($(#[doc = $doc:literal] $key:ident $variant:ident $field:ident ($low:expr, $high:expr) $how:literal $estimate:expr;)*) => {
        #[derive(Debug, Serialize)]
        struct BodyObject {
            $($field: f64,)*
            ankle_to_ball_mm: f64,
            sole_mm: f64,
            sources: Vec<&'static str>,
        }

        impl BodyObject {
            fn new(body: &Body) -> Self {
                Self {
                    $($field: body.segment_mm(Segment::$variant),)*
                    ankle_to_ball_mm: body.ankle_to_ball_mm,
                    sole_mm: body.sole_mm,
                    sources: crate::rider::segments::SOURCES.citations(),
                }
            }
        }
    };
}
segments!(body_object);

#[derive(Debug, Serialize)]
struct BikePoints {
    bottom_bracket: [f64; 2],
    rear_axle: [f64; 2],
    front_axle: [f64; 2],
    head_tube_top: [f64; 2],
    head_tube_bottom: [f64; 2],
    seat_tube_top: [f64; 2],
    bar_clamp: [f64; 2],
    grip: [f64; 2],
}

#[derive(Debug, Serialize)]
struct BikeObject {
    name: String,
    style: &'static str,
    points: BikePoints,
    wheel_radius_front_mm: f64,
    wheel_radius_rear_mm: f64,
    bottom_bracket_height_mm: f64,
    wheelbase_mm: f64,
    front_centre_mm: f64,
    trail_mm: f64,
    standover_mm: Option<f64>,
    saddle_height_min_mm: f64,
    saddle_height_max_mm: f64,
    toe_clearance_mm: Option<f64>,
    pedal_lean_deg: Option<f64>,
    class: String,
    assumed: Vec<&'static str>,
    sd_mm: Option<SdMm>,
    sources: Vec<&'static str>,
}

/// Standard deviations of what verdicts hang on, mm, where the file leaves them open.
#[derive(Debug, Serialize)]
struct SdMm {
    standover: f64,
    seat_height_lowest: f64,
    seat_height_highest: f64,
    saddle_height_min: f64,
    saddle_height_max: f64,
    bottom_bracket_height: f64,
    grip_x: f64,
    grip_y: f64,
}

impl SdMm {
    fn new(doubt: &Doubt) -> Self {
        let [grip_x, grip_y] = doubt.grip_sd_mm();
        Self {
            standover: doubt.sd(Figure::Standover),
            seat_height_lowest: doubt.sd(Figure::SeatHeightLowest),
            seat_height_highest: doubt.sd(Figure::SeatHeightHighest),
            saddle_height_min: doubt.sd(Figure::SaddleHeightLowest),
            saddle_height_max: doubt.sd(Figure::SaddleHeightHighest),
            bottom_bracket_height: doubt.sd(Figure::BottomBracketHeight),
            grip_x,
            grip_y,
        }
    }
}

impl BikeObject {
    fn new(pair: &Pair<'_>) -> Self {
        let (spec, layout, doubt) = (&pair.bike.spec, pair.layout, pair.bike.doubt.as_deref());
        let points = &layout.points;
        let tape = |position| layout.post.saddle_height_mm(position);
        Self {
            name: spec.name.clone(),
            style: spec.style.word(),
            points: BikePoints {
                bottom_bracket: xy(points.bottom_bracket),
                rear_axle: xy(points.rear_axle),
                front_axle: xy(points.front_axle),
                head_tube_top: xy(points.head_tube_top),
                head_tube_bottom: xy(points.head_tube_bottom),
                seat_tube_top: xy(points.seat_tube_top),
                bar_clamp: xy(points.bar_clamp),
                grip: xy(points.grip),
            },
            wheel_radius_front_mm: layout.wheel_radius_front_mm,
            wheel_radius_rear_mm: layout.wheel_radius_rear_mm,
            bottom_bracket_height_mm: layout.bottom_bracket_height_mm(),
            wheelbase_mm: layout.wheelbase_mm(),
            front_centre_mm: layout.front_centre_mm(),
            trail_mm: layout.trail_mm,
            standover_mm: pair
                .bike
                .knows(Figure::Standover)
                .then(|| layout.standover_mm()),
            saddle_height_min_mm: tape(layout.post.lowest_mm),
            saddle_height_max_mm: tape(layout.post.highest_mm),
            toe_clearance_mm: layout.toe_clearance_mm,
            pedal_lean_deg: layout.pedal_lean_deg,
            class: layout.class.to_string(),
            assumed: doubt.map_or_else(Vec::new, |doubt| doubt.assumed.clone()),
            sd_mm: doubt.map(SdMm::new),
            sources: [crate::bike::layout::SOURCES, crate::bike::class::SOURCES]
                .into_iter()
                .flat_map(crate::sources::Cited::iter)
                .map(crate::sources::Source::citation)
                .collect(),
        }
    }
}

#[derive(Debug, Serialize)]
struct SettingObject {
    saddle_height_mm: f64,
    saddle_height_sd_mm: Option<f64>,
    seat_height_mm: f64,
    seat_height_sd_mm: Option<f64>,
    exposed_post_mm: Option<f64>,
    insertion_mm: Option<f64>,
    lever_gap_mm: Option<f64>,
    front_lever_gap_mm: Option<f64>,
    rear_lever_gap_mm: Option<f64>,
}

impl SettingObject {
    fn new(fit: &Fit) -> Self {
        let setting = fit.pair().setting();
        Self {
            saddle_height_mm: setting.saddle_height_mm,
            saddle_height_sd_mm: fit.odds.and_then(|odds| odds.saddle_height_sd_mm),
            seat_height_mm: setting.seat_height_mm,
            seat_height_sd_mm: fit.odds.and_then(|odds| odds.seat_height_sd_mm),
            exposed_post_mm: setting.exposed_post_mm,
            insertion_mm: setting.insertion_mm,
            lever_gap_mm: setting.lever_gap_mm,
            front_lever_gap_mm: setting.gaps.front_lever_gap_mm,
            rear_lever_gap_mm: setting.gaps.rear_lever_gap_mm,
        }
    }
}

/// The saddle that a pair too close to call is tried with.
#[derive(Debug, Serialize)]
struct ToTryObject {
    saddle_height_mm: Option<f64>,
    saddle_height_sd_mm: Option<f64>,
    seat_height_mm: f64,
    seat_height_sd_mm: Option<f64>,
}

impl ToTryObject {
    fn of(fit: &Fit) -> Option<Self> {
        doubt_to_try_mm(fit)?;
        Some(Self {
            saddle_height_mm: fit.pair().tabled_saddle_height_mm(),
            saddle_height_sd_mm: fit.tabled_saddle_height_sd_mm(),
            seat_height_mm: fit.pair().setting().seat_height_mm,
            seat_height_sd_mm: fit.odds?.seat_height_sd_mm,
        })
    }
}

#[derive(Debug, Serialize)]
struct SaddleBandObject {
    low_mm: f64,
    target_mm: f64,
    high_mm: f64,
}

#[derive(Debug, Serialize)]
struct PoseObject {
    torso_lean_deg: Option<f64>,
    elbow_flexion_deg: Option<f64>,
    upper_arm_to_trunk_deg: Option<f64>,
    knee_flexion_min_deg: Option<f64>,
    knee_flexion_max_deg: Option<f64>,
    crank_angle_at_min_deg: Option<f64>,
    points: PosePoints,
}

#[derive(Debug, Serialize)]
struct PosePoints {
    sit: [f64; 2],
    hip: [f64; 2],
    knee: Option<[f64; 2]>,
    ankle: Option<[f64; 2]>,
    ball: Option<[f64; 2]>,
    shoulder: Option<[f64; 2]>,
    elbow: Option<[f64; 2]>,
    hand: Option<[f64; 2]>,
}

impl PoseObject {
    fn new(pair: &Pair<'_>) -> Self {
        let trunk = pair.pose.trunk.ok();
        let leg = pair.shown_leg();
        let at_min = pair.pose.farthest.filter(|_| leg.is_some());
        Self {
            torso_lean_deg: pair.torso_lean_deg(),
            elbow_flexion_deg: trunk.map(|_| crate::fit::pair::ELBOW_DEG),
            upper_arm_to_trunk_deg: trunk.map(|trunk| trunk.upper_arm_to_trunk.to_degrees()),
            knee_flexion_min_deg: pair.knee_flexion_min_deg(),
            knee_flexion_max_deg: pair.knee_flexion_max_deg(),
            crank_angle_at_min_deg: at_min.map(|farthest| farthest.crank_angle.to_degrees()),
            points: PosePoints {
                sit: xy(pair.sit()),
                hip: xy(pair.pose.hip),
                knee: leg.map(|leg| xy(leg.knee)),
                ankle: leg.map(|leg| xy(leg.ankle)),
                ball: leg.map(|leg| xy(leg.ball)),
                shoulder: trunk.map(|trunk| xy(trunk.shoulder)),
                elbow: trunk.map(|trunk| xy(trunk.elbow)),
                hand: trunk.map(|_| xy(pair.layout.points.grip)),
            },
        }
    }
}

#[derive(Debug, Serialize)]
struct FindingObject {
    check: &'static str,
    status: &'static str,
    value: Option<f64>,
    unit: &'static str,
    low: Option<f64>,
    high: Option<f64>,
    margin: Option<f64>,
    sd: Option<f64>,
    chance: Option<f64>,
    advice: String,
    sources: Vec<&'static str>,
}

impl FindingObject {
    fn all(fit: &Fit, units: Units) -> Vec<Self> {
        fit.findings()
            .map(|finding| Self {
                check: finding.id.name(),
                status: finding.status().word(),
                value: finding.measure.value,
                unit: unit(finding.unit),
                low: finding.measure.low,
                high: finding.measure.high,
                margin: finding.measure.margin(),
                sd: finding.odds.and_then(|odds| odds.sd),
                chance: finding.odds.map(|odds| odds.chance),
                advice: fit.advice(&finding, units),
                sources: finding
                    .sources()
                    .map(crate::sources::Source::citation)
                    .collect(),
            })
            .collect()
    }
}

fn unit(unit: Unit) -> &'static str {
    match unit {
        Unit::Millimetre | Unit::Stamped => "mm",
        Unit::Degree => "deg",
        Unit::Percent => "%",
        Unit::Kilogram => "kg",
        Unit::Count => "count",
    }
}

#[derive(Debug, Serialize)]
struct RemeasureObject {
    measurement: &'static str,
    decides: &'static str,
    advice: String,
}

#[derive(Debug, Serialize)]
struct GrowthObject {
    as_of: Date,
    months: Vec<MonthObject>,
    first_month: Months,
    last_month: Months,
    schedule: Vec<RaiseObject>,
    notes: Vec<String>,
    sources: Vec<&'static str>,
}

impl GrowthObject {
    fn new(growth: &Growth, bike: &Bike) -> Self {
        let raise = |raise: &Raise| RaiseObject::new(&raise.told(bike), bike);
        Self {
            as_of: growth.as_of,
            months: growth.months.iter().map(MonthObject::new).collect(),
            first_month: growth.first_month.into(),
            last_month: growth.last_month.into(),
            schedule: growth.schedule.iter().map(raise).collect(),
            notes: growth.notes.iter().map(|note| note.words()).collect(),
            sources: crate::rider::growth::SOURCES.citations(),
        }
    }
}

#[derive(Debug, Serialize)]
struct MonthObject {
    month: usize,
    date: Date,
    height_mm: f64,
    height_low_mm: f64,
    height_high_mm: f64,
    inseam_mm: f64,
    arm_reach_mm: f64,
    verdict: &'static str,
}

impl MonthObject {
    fn new(month: &GrownMonth) -> Self {
        Self {
            month: month.month,
            date: month.date,
            height_mm: month.height_mm,
            height_low_mm: month.height_low_mm,
            height_high_mm: month.height_high_mm,
            inseam_mm: month.inseam_mm,
            arm_reach_mm: month.arm_reach_mm,
            verdict: month.verdict.word(),
        }
    }
}

/// A date and the saddle to set then: from the bottom bracket, where that is known, and from the ground.
#[derive(Debug, Serialize)]
pub(super) struct RaiseObject {
    date: Date,
    saddle_height_mm: Option<f64>,
    seat_height_mm: Option<f64>,
}

impl RaiseObject {
    /// Of a raise as the bike's saddle is told: see [`Raise::told`].
    pub(super) fn new(told: &Raise, bike: &Bike) -> Self {
        let mm = told.saddle_height_mm;
        let (saddle_height_mm, seat_height_mm) = if bike.tells_saddle_from_ground() {
            (None, Some(mm))
        } else {
            let layout = &bike.layout;
            let position = layout.position_told(mm);
            (
                Some(mm),
                position.map(|position| layout.seat_height_mm(position)),
            )
        };
        Self {
            date: told.date,
            saddle_height_mm,
            seat_height_mm,
        }
    }
}

/// A check's name, where an object names one.
pub(super) fn name(check: Option<CheckId>) -> Option<&'static str> {
    check.map(CheckId::name)
}
