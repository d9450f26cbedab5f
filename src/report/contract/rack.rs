//! `inseam/rack`: the riders that every bike fits, by stage.

use serde::Serialize;

use crate::advice::rack::{Hole, Rack, RackBike, STAGES};
use crate::advice::window::End;
use crate::cautions::CAUTIONS;
use crate::report::contract::Skipped;
use crate::report::contract::fit::name;
use crate::rider::Stage;
use crate::units::Units;

/// Name and version of the object.
const SCHEMA: &str = "inseam/rack/1";
/// Step of the heights in the JSON contract and in CSV.
const WRITTEN_MM: f64 = 1e-4;

/// A rack as the contract has it, its words in `units`.
pub fn rack<'a>(rack: &'a Rack, skipped: &'a [Skipped], units: Units) -> impl Serialize + 'a {
    RackObject {
        schema: SCHEMA,
        bikes: rack
            .bikes
            .iter()
            .map(|bike| BikeObject::new(bike, units))
            .collect(),
        holes: STAGES
            .into_iter()
            .flat_map(|stage| {
                let holes = rack.holes(stage).into_iter();
                holes.map(move |hole| HoleObject::new(stage, hole))
            })
            .collect(),
        skipped,
        cautions: CAUTIONS,
    }
}

#[derive(Serialize)]
struct RackObject<'a> {
    schema: &'static str,
    bikes: Vec<BikeObject<'a>>,
    holes: Vec<HoleObject>,
    skipped: &'a [Skipped],
    cautions: &'static [&'static str],
}

#[derive(Serialize)]
struct BikeObject<'a> {
    id: &'a str,
    name: &'a str,
    style: &'static str,
    class: String,
    stages: Stages,
    not_checked: Vec<NotChecked>,
    warnings: Vec<String>,
}

#[derive(Serialize)]
struct Stages {
    learning: WindowObject,
    steady: WindowObject,
    confident: WindowObject,
}

/// Riders of median proportions between the rack's bikes whom none fits; both ends have a bike.
#[derive(Serialize)]
struct HoleObject {
    stage: &'static str,
    inseam_min_mm: f64,
    inseam_max_mm: f64,
    height_min_mm: f64,
    height_max_mm: f64,
}

impl HoleObject {
    fn new(stage: Stage, hole: Hole) -> Self {
        Self {
            stage: stage.word(),
            inseam_min_mm: hole.below.inseam_mm(),
            inseam_max_mm: hole.above.inseam_mm(),
            height_min_mm: hole.below.height_mm,
            height_max_mm: hole.above.height_mm,
        }
    }
}

#[derive(Serialize)]
struct NotChecked {
    check: &'static str,
    needs: &'static str,
}

impl<'a> BikeObject<'a> {
    fn new(bike: &'a RackBike, units: Units) -> Self {
        let at = |stage| WindowObject::new(bike, stage, units);
        let spec = &bike.bike.spec;
        Self {
            id: &bike.bike.id,
            name: &spec.name,
            style: spec.style.word(),
            class: bike.bike.layout.class.to_string(),
            stages: Stages {
                learning: at(Stage::Learning),
                steady: at(Stage::Steady),
                confident: at(Stage::Confident),
            },
            not_checked: bike
                .not_checked
                .iter()
                .map(|left| NotChecked {
                    check: left.check.name(),
                    needs: left.needs,
                })
                .collect(),
            warnings: bike
                .bike
                .mismatches
                .iter()
                .map(|found| found.words(units))
                .collect(),
        }
    }
}

/// The riders of median proportions whom a bike fits at one stage; all None, and a reason, where it fits
/// nobody. Figures with a reason are of the size alone: nobody can be told that it fits yet.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct WindowObject {
    pub(in crate::report) inseam_min_mm: Option<f64>,
    pub(in crate::report) inseam_max_mm: Option<f64>,
    pub(in crate::report) height_min_mm: Option<f64>,
    pub(in crate::report) height_max_mm: Option<f64>,
    pub(in crate::report) age_min_months: Option<f64>,
    pub(in crate::report) age_max_months: Option<f64>,
    pub(in crate::report) bound_low_by: Option<&'static str>,
    pub(in crate::report) bound_high_by: Option<&'static str>,
    pub(in crate::report) reason: Option<String>,
}

impl WindowObject {
    pub(in crate::report) fn new(bike: &RackBike, stage: Stage, units: Units) -> Self {
        let window = bike.window(stage);
        let (low, high) = (
            window.as_ref().map(|w| w.low).ok(),
            window.as_ref().map(|w| w.high).ok(),
        );
        // Rounded towards the inside, so that a rider of the very height written out fits.
        let up = |mm: f64| (mm / WRITTEN_MM).ceil() * WRITTEN_MM;
        let down = |mm: f64| (mm / WRITTEN_MM).floor() * WRITTEN_MM;
        Self {
            inseam_min_mm: low.map(End::inseam_mm),
            inseam_max_mm: high.map(End::inseam_mm),
            height_min_mm: low.map(|end| up(end.height_mm)),
            height_max_mm: high.map(|end| down(end.height_mm)),
            age_min_months: low.and_then(End::age_months),
            age_max_months: high.and_then(End::age_months),
            bound_low_by: name(low.and_then(|end| end.bound_by)),
            bound_high_by: name(high.and_then(|end| end.bound_by)),
            reason: match window {
                Err(why) => Some(why.words(units)),
                Ok(_) => bike.nobody_yet(),
            },
        }
    }
}
