//! Knee room: the least distance from the knee to the grip over a turn of the cranks, bar straight.
//! When the knees meet the hands in a turn, the bike is too small.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Enough room, mm.
const ENOUGH_MM: f64 = 60.0;
/// Least room, mm.
const LEAST_MM: f64 = 40.0;

/// The check.
#[derive(Debug)]
pub struct KneeRoom;

impl Check for KneeRoom {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn is_safety(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Practice, &[Source::Hss])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let (leg, farthest) = (pair.pose.leg?, pair.pose.farthest?);
        let grip = pair.layout.points.grip;
        let Some(room) = leg.knee_to(pair.pose.hip, &farthest, grip) else {
            return Some(Measure::needs("a leg that reaches the pedals"));
        };
        let status = if at_least(room, ENOUGH_MM) {
            Status::Ok
        } else if at_least(room, LEAST_MM) {
            Status::Caution
        } else {
            Status::Fail(Misfit::TooSmall)
        };
        Some(Measure::new(room, Some(ENOUGH_MM), None, status))
    }

    fn within_limits(&self, wanted: Measure) -> Measure {
        Measure {
            low: Some(LEAST_MM),
            ..wanted
        }
    }

    fn advise(&self, _pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let room = measure.value.unwrap_or_default();
        match measure.status {
            Status::Fail(_) => format!(
                "knees come within {} of the grips: too little room to turn",
                units.length(room)
            ),
            Status::Caution => format!(
                "{} between knee and grip: tight in turns",
                units.length(room)
            ),
            _ => format!("{} between knee and grip", units.length(room)),
        }
    }
}
