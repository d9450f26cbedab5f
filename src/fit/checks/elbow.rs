//! Elbow: its bend when the rider leans as the stage wants.
//! A locked elbow cannot steer or absorb; a folded one has no room to pull.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Status, Unit, at_least, at_most};
use crate::fit::pair::{Pair, elbow_flexion};
use crate::plane::Unreachable;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Least flexion, degrees.
const LEAST_DEG: f64 = 10.0;
/// Most flexion, degrees.
const MOST_DEG: f64 = 45.0;

/// The check.
#[derive(Debug)]
pub struct Elbow;

impl Check for Elbow {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Degree
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Holliday2021, &[Source::Hss, Source::Practice])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let flexion =
            match elbow_flexion(pair.shoulder_at_target(), pair.layout.points.grip, pair.body) {
                Ok(flexion) => flexion.to_degrees(),
                Err(Unreachable::TooFar { .. }) => 0.0,
                Err(Unreachable::TooClose { .. }) => 180.0,
            };
        let is_easy = at_least(flexion, LEAST_DEG) && at_most(flexion, MOST_DEG);
        let status = if is_easy { Status::Ok } else { Status::Caution };
        Some(Measure::new(
            flexion,
            Some(LEAST_DEG),
            Some(MOST_DEG),
            status,
        ))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let flexion = measure.value.unwrap_or_default();
        let bend = Unit::Degree.show(flexion, units);
        let lean = Unit::Degree.show(pair.lean_target().to_degrees(), units);
        if measure.status == Status::Ok {
            format!("elbow bent {bend} at a trunk angle of {lean}")
        } else if flexion < LEAST_DEG {
            format!(
                "elbow nearly locked ({bend}) at a trunk angle of {lean}: bring the grips closer"
            )
        } else {
            format!(
                "elbow folded {bend} at a trunk angle of {lean}: move the grips forward or lower"
            )
        }
    }
}
