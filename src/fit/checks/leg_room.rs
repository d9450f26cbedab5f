//! Leg room: is the leg still long enough bent with the saddle at its highest permitted setting.
//! This decides when a bike is outgrown, at every stage.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least, at_most};
use crate::fit::leg::Leg;
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

/// The check: degrees of knee flexion on bikes with cranks, mm of saddle height against the inseam on others.
#[derive(Debug)]
pub struct LegRoom;

impl Check for LegRoom {
    fn unit(&self, bike: &Bike) -> Unit {
        if bike.is_balance() {
            Unit::Millimetre
        } else {
            Unit::Degree
        }
    }

    fn is_decisive(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::OwnRule, &[Source::Holmes1994, Source::Practice])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        Some(match pair.pose.leg {
            Some(leg) => pedalling(pair, &leg),
            None => walking(pair),
        })
    }

    /// A leg that reaches no pedal with the saddle at the mark has no bend that anybody could measure.
    fn as_told(&self, bike: &Bike, made: Measure) -> Measure {
        Measure {
            value: made.value.filter(|bend| bike.is_balance() || *bend > 0.0),
            ..made
        }
    }

    fn within_limits(&self, wanted: Measure) -> Measure {
        Measure {
            low: wanted.low.map(|_| OUTGROWN_MM),
            high: wanted.high.map(|_| OUTGROWN_DEG),
            ..wanted
        }
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let value = measure.value.unwrap_or_default();
        // Who grows no more outgrows nothing.
        let over = if pair.may_grow { "outgrown" } else { "too small" };
        if pair.bike.is_balance() {
            let below = units.length(-value);
            // As a hand calculation has it.
            let low = format!("the saddle at the post's mark is {below} below inseam and sole together");
            return match measure.status {
                Status::Fail(_) => format!("{low}: {over}"),
                Status::Caution => format!(
                    "{low}: good to {}, {over} from {} on",
                    units.length(-COMFORTABLE_MM),
                    units.length(-OUTGROWN_MM)
                ),
                _ => "the post goes high enough for these legs".to_owned(),
            };
        }
        let told = match measure.status {
            Status::Fail(_) => self.within_limits(*measure),
            _ => *measure,
        };
        let bend = told.shown(Unit::Degree, units).unwrap_or_default();
        // How much higher the saddle would have to go for the knee to be straight enough.
        let higher = |flexion_deg: f64| {
            let needed = pair.position_for_flexion_deg(flexion_deg)?;
            let more = needed - pair.layout.post.highest_mm;
            (units.as_shown_mm(more) > 0.0).then(|| units.length(more))
        };
        match measure.status {
            Status::Fail(_) => {
                let higher = higher(OUTGROWN_DEG).map_or_else(String::new, |more| {
                    format!("; {OUTGROWN_DEG:.0}° would want it {more} higher")
                });
                format!(
                    "knee still bent {bend} with the saddle at the post's mark: {over}{higher}"
                )
            }
            Status::Caution => {
                let higher = higher(COMFORTABLE_DEG).map_or_else(String::new, |more| {
                    format!(", which would want it {more} higher")
                });
                format!(
                    "knee bent {bend} with the saddle at the post's mark: good to {COMFORTABLE_DEG:.0}°{higher}; {over} from {OUTGROWN_DEG:.0}° on"
                )
            }
            _ if value <= 0.0 => "the post is longer than these legs need".to_owned(),
            _ => format!(
                "the post is long enough: knee bent {bend} with the saddle at its mark"
            ),
        }
    }
}

/// Least knee flexion at the highest permitted saddle.
fn pedalling(pair: &Pair<'_>, leg: &Leg) -> Measure {
    let farthest = leg.farthest(pair.hip_at(pair.layout.post.highest_mm));
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
    Measure::new(flexion, None, Some(COMFORTABLE_DEG), status)
}

/// Highest permitted saddle against inseam and sole.
fn walking(pair: &Pair<'_>) -> Measure {
    let over = pair.saddle_over_inseam_mm(pair.layout.post.highest_mm);
    let status = if at_least(over, COMFORTABLE_MM) {
        Status::Ok
    } else if at_least(over, OUTGROWN_MM) {
        Status::Caution
    } else {
        Status::Fail(Misfit::TooSmall)
    };
    Measure::new(over, Some(COMFORTABLE_MM), None, status)
}
