//! `inseam/handover`: the work list for one bike and one rider.

use jiff::civil::Date;
use serde::Serialize;

use crate::advice::handover::air_spring::AirSpringSetup;
use crate::advice::handover::bars::Bars;
use crate::advice::handover::bolts::Bolt;
use crate::advice::handover::levers::{Brake, Levers};
use crate::advice::handover::pressure::{Limit, SetPressure};
use crate::advice::handover::saddle::{Saddle, StageHeight};
use crate::advice::handover::steps::{Step, Told};
use crate::advice::handover::tyres::Tyres;
use crate::advice::handover::visits::Visits;
use crate::advice::handover::{Handover, Work};
use crate::bike::Bike;
use crate::fit::{Fit, Verdict};
use crate::report::contract::fit::{FitObject, RaiseObject, RiderObject};
use crate::report::contract::stop::StopObject;
use crate::report::verdict_text::{cautions, told_chance};
use crate::units::Units;

/// Name and version of the object.
const SCHEMA: &str = "inseam/handover/2";

/// A handover as the contract has it, its words in `units`: the work order, or for a pair that does not fit
/// the reason, and then no figure to set anywhere.
pub fn handover(handover: &Handover, units: Units) -> impl Serialize {
    let fit = &handover.fit;
    let work = handover.work.as_ref().ok();
    HandoverObject {
        schema: SCHEMA,
        date: handover.date,
        rider: RiderObject::new(&fit.rider),
        bike: fit.bike.spec.name.clone(),
        verdict: fit.verdict.word(),
        leans: (fit.verdict == Verdict::Undecided).then(|| fit.leans().word()),
        chance: told_chance(fit),
        stop: StopObject::of(fit, handover.stop(), handover.nearest.as_deref(), units),
        work: work.map(|work| WorkObject::new(work, handover, units)),
        cautions: cautions(fit.verdict),
    }
}

#[derive(Serialize)]
struct HandoverObject {
    schema: &'static str,
    date: Date,
    rider: RiderObject,
    bike: String,
    verdict: &'static str,
    leans: Option<&'static str>,
    chance: Option<f64>,
    stop: Option<StopObject>,
    #[serde(flatten)]
    work: Option<WorkObject>,
    cautions: Vec<&'static str>,
}

#[derive(Serialize)]
struct WorkObject {
    fit: FitObject,
    saddle: SaddleObject,
    levers: LeversObject,
    bars: BarsObject,
    tyres: TyresObject,
    air_spring: Option<AirSpringObject>,
    steps: Vec<StepObject>,
    bolts: Vec<BoltObject>,
    rider_shows: Vec<String>,
    visits: VisitsObject,
}

impl WorkObject {
    fn new(work: &Work, handover: &Handover, units: Units) -> Self {
        let told = Told {
            kit: &work.kit,
            work: Some(work),
            units,
        };
        let step = |step| StepObject::new(step, &told);
        Self {
            fit: FitObject::new(&handover.fit, units),
            saddle: SaddleObject::new(&work.saddle, units),
            levers: LeversObject::new(&work.levers, units),
            bars: BarsObject::new(&work.bars, &handover.fit, units),
            tyres: TyresObject::new(&work.tyres),
            air_spring: work
                .air_spring
                .as_ref()
                .map(|spring| AirSpringObject::new(spring, units)),
            steps: work.steps.iter().map(step).collect(),
            bolts: work.bolts.iter().map(BoltObject::new).collect(),
            rider_shows: handover.rider_shows(units),
            visits: VisitsObject::new(&work.visits, &handover.fit.bike),
        }
    }
}

#[derive(Serialize)]
struct SaddleObject {
    saddle_height_mm: f64,
    seat_height_mm: f64,
    exposed_post_mm: Option<f64>,
    insertion_mm: Option<f64>,
    minimum_insertion_mm: Option<f64>,
    insertion_left_mm: Option<f64>,
    saddle_height_max_mm: Option<f64>,
    two_diameters_mm: Option<f64>,
    mark_is_two_diameters: Option<bool>,
    stage: &'static str,
    stages: Vec<StageObject>,
    notes: Vec<String>,
}

impl SaddleObject {
    fn new(saddle: &Saddle, units: Units) -> Self {
        Self {
            saddle_height_mm: saddle.setting.saddle_height_mm,
            seat_height_mm: saddle.setting.seat_height_mm,
            exposed_post_mm: saddle.setting.exposed_post_mm,
            insertion_mm: saddle.setting.insertion_mm,
            minimum_insertion_mm: saddle.minimum_insertion_mm,
            insertion_left_mm: saddle.insertion_left_mm(),
            saddle_height_max_mm: saddle.highest_mm,
            two_diameters_mm: saddle.two_diameters_mm,
            mark_is_two_diameters: saddle.mark_is_two_diameters(),
            stage: saddle.stage.word(),
            stages: saddle
                .stages
                .iter()
                .map(|height| StageObject::new(height, units))
                .collect(),
            notes: saddle.notes(units),
        }
    }
}

/// One step of the build: what is done, its figures, its bolts, and the sentence.
#[derive(Serialize)]
struct StepObject {
    kind: &'static str,
    part: &'static str,
    is_certain: bool,
    figures: Vec<FigureObject>,
    bolts: Vec<String>,
    words: String,
}

#[derive(Serialize)]
struct FigureObject {
    key: &'static str,
    value: f64,
}

impl StepObject {
    fn new(step: &Step, told: &Told<'_>) -> Self {
        let figures = step.figures.iter().map(|figure| FigureObject {
            key: figure.key.word(),
            value: figure.value,
        });
        Self {
            kind: step.kind.word(),
            part: step.kind.section().word(),
            is_certain: step.is_certain,
            figures: figures.collect(),
            bolts: step.bolts.iter().map(|bolt| bolt.part.clone()).collect(),
            words: step.words(told),
        }
    }
}

/// When to come back.
#[derive(Serialize)]
struct VisitsObject {
    first_check_from: Date,
    first_check_to: Date,
    raises: Vec<RaiseObject>,
    next_measuring: Option<Date>,
    post_at_mark: Option<Date>,
    outgrown_early: Option<Date>,
    outgrown: Option<Date>,
    outgrown_late: Option<Date>,
}

impl VisitsObject {
    fn new(visits: &Visits, bike: &Bike) -> Self {
        let [first_check_from, first_check_to] = visits.first_check;
        let [outgrown_early, outgrown, outgrown_late] = visits.last_day;
        Self {
            first_check_from,
            first_check_to,
            raises: visits
                .raises
                .iter()
                .map(|raise| RaiseObject::new(raise, bike))
                .collect(),
            next_measuring: visits.next_measuring,
            post_at_mark: visits.post_at_mark,
            outgrown_early,
            outgrown,
            outgrown_late,
        }
    }
}

#[derive(Serialize)]
struct StageObject {
    stage: &'static str,
    saddle_height_mm: f64,
    seat_height_mm: f64,
    exposed_post_mm: Option<f64>,
    insertion_left_mm: Option<f64>,
    ground: String,
    out_of_range_mm: f64,
    note: String,
}

impl StageObject {
    fn new(height: &StageHeight, units: Units) -> Self {
        Self {
            stage: height.stage.word(),
            saddle_height_mm: height.setting.saddle_height_mm,
            seat_height_mm: height.setting.seat_height_mm,
            exposed_post_mm: height.setting.exposed_post_mm,
            insertion_left_mm: height.insertion_left_mm,
            ground: height.ground(),
            out_of_range_mm: height.out_of_range_mm.unwrap_or_default(),
            note: height.note(units),
        }
    }
}

#[derive(Serialize)]
struct LeversObject {
    front: Option<LeverObject>,
    rear: Option<LeverObject>,
    good_gap_mm: f64,
    limit_gap_mm: f64,
    lawful_ceiling_mm: f64,
    needs: Vec<&'static str>,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct LeverObject {
    kind: &'static str,
    gap_mm: Option<f64>,
    draw_in_mm: Option<f64>,
    is_in_reach: Option<bool>,
    advice: String,
}

impl LeversObject {
    fn new(levers: &Levers, units: Units) -> Self {
        let object = |brake: &Brake| LeverObject {
            kind: brake.kind.word(),
            gap_mm: brake.lever.map(|lever| lever.gap_mm),
            draw_in_mm: brake.lever.map(|lever| lever.draw_in_mm()),
            is_in_reach: Levers::is_in_reach(brake),
            advice: levers.advice(brake, units),
        };
        Self {
            front: levers.front.as_ref().map(object),
            rear: levers.rear.as_ref().map(object),
            good_gap_mm: levers.hand.good_mm,
            limit_gap_mm: levers.hand.limit_mm,
            lawful_ceiling_mm: levers.hand.lawful_mm,
            needs: levers.needs.clone(),
            notes: levers.notes(units),
        }
    }
}

#[derive(Serialize)]
struct BarsObject {
    torso_lean_deg: Option<f64>,
    lean_low_deg: f64,
    lean_high_deg: f64,
    cure: Option<CureObject>,
    lean_after_deg: Option<f64>,
    notes: Vec<String>,
}

#[derive(Serialize)]
#[expect(
    clippy::struct_field_names,
    reason = "units stand in the keys of the contract"
)]
struct CureObject {
    spacers_above_mm: f64,
    stem_mm: f64,
    sweep_mm: f64,
    saddle_back_mm: f64,
}

impl BarsObject {
    fn new(bars: &Bars, fit: &Fit, units: Units) -> Self {
        Self {
            torso_lean_deg: bars.torso_lean_deg,
            lean_low_deg: bars.lean_band_deg[0],
            lean_high_deg: bars.lean_band_deg[1],
            cure: bars.cure.map(|cure| CureObject {
                spacers_above_mm: cure.spacers_above_mm,
                stem_mm: cure.stem_mm,
                sweep_mm: cure.sweep_mm,
                saddle_back_mm: cure.saddle_back_mm,
            }),
            lean_after_deg: bars.lean_after_deg,
            notes: bars.notes(fit, units),
        }
    }
}

#[derive(Serialize)]
struct PressureObject {
    bar: f64,
    psi: f64,
    limited_by: Option<&'static str>,
}

impl From<&SetPressure> for PressureObject {
    fn from(set: &SetPressure) -> Self {
        Self {
            bar: set.bar,
            psi: set.psi,
            limited_by: set.limited_by.map(|limit| match limit {
                Limit::PrintedMinimum => "printed_minimum",
                Limit::PrintedMaximum => "printed_maximum",
            }),
        }
    }
}

#[derive(Serialize)]
struct TyresObject {
    front: Option<PressureObject>,
    rear: Option<PressureObject>,
    front_share: Option<f64>,
    total_kg: Option<f64>,
    valve: Option<&'static str>,
    needs: Vec<&'static str>,
    notes: Vec<&'static str>,
}

impl TyresObject {
    fn new(tyres: &Tyres) -> Self {
        Self {
            front: tyres.front.as_ref().map(PressureObject::from),
            rear: tyres.rear.as_ref().map(PressureObject::from),
            front_share: tyres.front_share,
            total_kg: tyres.total_kg,
            valve: tyres.valve.map(crate::bike::spec::Valve::word),
            needs: tyres.needs.clone(),
            notes: tyres.notes(),
        }
    }
}

#[derive(Serialize)]
struct AirSpringObject {
    travel_mm: f64,
    sag_low_mm: f64,
    sag_high_mm: f64,
    start: Option<PressureObject>,
    needs: Vec<&'static str>,
    notes: Vec<String>,
}

impl AirSpringObject {
    fn new(spring: &AirSpringSetup, units: Units) -> Self {
        Self {
            travel_mm: spring.travel_mm,
            sag_low_mm: spring.sag_low_mm,
            sag_high_mm: spring.sag_high_mm,
            start: spring.start.as_ref().map(PressureObject::from),
            needs: spring.needs.clone(),
            notes: spring.notes(units),
        }
    }
}

#[derive(Serialize)]
struct BoltObject {
    part: String,
    low_nm: Option<f64>,
    high_nm: Option<f64>,
    note: String,
    is_printed: bool,
    is_certain: bool,
    doubt: Option<String>,
    source: &'static str,
}

impl BoltObject {
    fn new(bolt: &Bolt) -> Self {
        Self {
            part: bolt.part.clone(),
            low_nm: bolt.tight.nm().map(|[low, _]| low),
            high_nm: bolt.tight.nm().map(|[_, high]| high),
            note: bolt.note.clone(),
            is_printed: bolt.is_printed,
            is_certain: bolt.is_certain,
            doubt: bolt.doubt.clone(),
            source: bolt.source.citation(),
        }
    }
}
