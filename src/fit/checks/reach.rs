//! Reach: how far the rider leans to hold the grips with an easy elbow.
//! Outside the band a stem or bar change helps; only a bar beyond the arms rules the bike out.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least, at_most};
use crate::fit::pair::{ELBOW_DEG, Pair, Trunk};
use crate::plane::{Unreachable, span};
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Largest angle between upper arm and trunk, degrees: cycling-school rule for children (90) with slack.
const UPPER_ARM_DEG: f64 = 95.0;

/// The check.
#[derive(Debug)]
pub struct Reach;

/// How far the grips would have to move forward (mm, negative back) for the middle of the lean band.
/// None when no horizontal move does it.
pub fn grip_move_mm(pair: &Pair<'_>) -> Option<f64> {
    let shoulder = pair.shoulder_at_target();
    let arm = span(
        pair.body.upper_arm_mm,
        pair.body.forearm_mm,
        ELBOW_DEG.to_radians(),
    );
    let grip = pair.layout.points.grip;
    let down = shoulder.y - grip.y;
    let ahead = (arm * arm - down * down).max(0.0).sqrt();
    (down.abs() <= arm).then_some(shoulder.x + ahead - grip.x)
}

/// Whether a trunk lies in the lean band with the arms not lifted too far.
pub fn is_easy(pair: &Pair<'_>, trunk: &Trunk) -> bool {
    let [low, high] = pair.lean_band_deg();
    let lean = trunk.lean.to_degrees();
    at_least(lean, low)
        && at_most(lean, high)
        && at_most(trunk.upper_arm_to_trunk.to_degrees(), UPPER_ARM_DEG)
}

impl Check for Reach {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Degree
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Practice, &[Source::Hss, Source::Holliday2021])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let [low, high] = pair.lean_band_deg();
        let measure = |value, status| {
            Some(Measure {
                value,
                low: Some(low),
                high: Some(high),
                status,
            })
        };
        match pair.pose.trunk {
            Err(Unreachable::TooFar { .. }) => measure(None, Status::Fail(Misfit::TooBig)),
            Err(Unreachable::TooClose { .. }) => measure(None, Status::Fail(Misfit::TooSmall)),
            Ok(trunk) => {
                let lean = trunk.lean.to_degrees();
                let status = if is_easy(pair, &trunk) {
                    Status::Ok
                } else {
                    Status::Caution
                };
                measure(Some(lean), status)
            }
        }
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let trunk = match (measure.status, pair.pose.trunk) {
            (Status::Fail(_), Err(Unreachable::TooFar { need, have })) => {
                return format!(
                    "the grips are {} beyond the arms: choose a shorter bike",
                    units.length(need - have)
                );
            }
            (_, Err(_)) => {
                return "the grips are too close to hold at all: choose a longer bike".to_owned();
            }
            (_, Ok(trunk)) => trunk,
        };
        let lean = Unit::Degree.show(trunk.lean.to_degrees(), units);
        if measure.status == Status::Ok {
            return format!(
                "trunk {lean} above the horizontal, elbows bent {ELBOW_DEG:.0}°: comfortable"
            );
        }
        let posture = if trunk.lean.to_degrees() > pair.lean_target().to_degrees() {
            "upright"
        } else {
            "stretched"
        };
        match grip_move_mm(pair) {
            Some(forward) if forward > 0.0 => {
                format!(
                    "trunk {lean}, too {posture}: grips {} farther forward (longer stem, or a bar with less sweep)",
                    units.length(forward)
                )
            }
            Some(forward) => {
                format!(
                    "trunk {lean}, too {posture}: grips {} closer (shorter stem, or a bar with more sweep)",
                    units.length(-forward)
                )
            }
            None => format!(
                "trunk {lean}, too {posture}: a bar with another rise is needed to change it"
            ),
        }
    }
}
