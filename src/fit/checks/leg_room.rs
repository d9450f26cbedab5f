//! Leg room: is the leg still long enough bent with the saddle at its highest permitted setting.
//! This decides when a bike is outgrown, at every stage.

use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least, at_most};
use crate::fit::pair::Pair;
use crate::plane::Unreachable;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Least knee flexion at the highest saddle that is still comfortable, degrees.
const COMFORTABLE_DEG: f64 = 45.0;
/// Least knee flexion at the highest saddle beyond which the bike is outgrown, degrees.
const OUTGROWN_DEG: f64 = 60.0;
/// Without cranks: highest saddle against inseam and sole, mm.
const COMFORTABLE_MM: f64 = -60.0;
/// Without cranks: beyond this the bike is outgrown, mm.
const OUTGROWN_MM: f64 = -90.0;

/// The check for bikes with cranks, in degrees of knee flexion.
#[derive(Debug)]
pub struct LegRoom;

/// The check for bikes without cranks, in mm of saddle height against the inseam.
#[derive(Debug)]
pub struct WalkingRoom;

impl Check for LegRoom {
    fn name(&self) -> &'static str {
        "leg_room"
    }

    fn unit(&self) -> Unit {
        Unit::Degree
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::OwnRule, &[Source::Holmes1994, Source::Practice])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let leg = pair.leg?;
        let farthest = leg.farthest(pair.hip_at(pair.bike.post.highest_mm));
        let flexion = match leg.flexion(farthest.distance) {
            Ok(flexion) => flexion.to_degrees(),
            // A leg too short for the highest saddle has all the room it needs: straight.
            Err(Unreachable::TooFar { .. }) => 0.0,
            Err(Unreachable::TooClose { .. }) => 180.0,
        };
        let status = if at_most(flexion, COMFORTABLE_DEG) {
            Status::Ok
        } else if at_most(flexion, OUTGROWN_DEG) {
            Status::Caution
        } else {
            Status::Fail(Misfit::TooSmall)
        };
        Some(Measure::new(flexion, None, Some(COMFORTABLE_DEG), status))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let bend = Unit::Degree.show(measure.value.unwrap_or_default(), units);
        // How much higher the saddle would have to go for the knee to be straight enough.
        let short_of = |flexion_deg: f64| {
            let needed = pair.position_for_flexion_deg(flexion_deg);
            needed.map_or_else(String::new, |needed| {
                let more = units.length(needed - pair.bike.post.highest_mm);
                format!(", {more} of post short")
            })
        };
        match measure.status {
            Status::Fail(_) => format!(
                "knee still bent {bend} with the saddle at the post's mark: outgrown{}",
                short_of(OUTGROWN_DEG)
            ),
            Status::Caution => format!(
                "knee bent {bend} with the saddle at the post's mark: nearly outgrown{}",
                short_of(COMFORTABLE_DEG)
            ),
            _ => format!("room to grow: knee bent {bend} with the saddle at the post's mark"),
        }
    }
}

impl Check for WalkingRoom {
    fn name(&self) -> &'static str {
        "leg_room"
    }

    fn unit(&self) -> Unit {
        Unit::Millimetre
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::OwnRule, &[Source::Practice])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        if !pair.bike.is_balance() {
            return None;
        }
        let over = pair.saddle_over_inseam_mm(pair.bike.post.highest_mm);
        let status = if at_least(over, COMFORTABLE_MM) {
            Status::Ok
        } else if at_least(over, OUTGROWN_MM) {
            Status::Caution
        } else {
            Status::Fail(Misfit::TooSmall)
        };
        Some(Measure::new(over, Some(COMFORTABLE_MM), None, status))
    }

    fn advise(&self, _pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let below = units.length(-measure.value.unwrap_or_default());
        match measure.status {
            Status::Fail(_) => {
                format!("the saddle at the post's mark is {below} below the inseam: outgrown")
            }
            Status::Caution => format!(
                "the saddle at the post's mark is {below} below the inseam: nearly outgrown"
            ),
            _ => "room to grow: the post goes high enough for longer legs".to_owned(),
        }
    }
}
