//! Toe clearance: from the pedal centre straight ahead to the turned front tyre.
//! The law sets the least distance; a long shoe can still touch, which is a caution.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least};
use crate::fit::pair::Pair;
use crate::rider::body::HEEL_TO_BALL;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Shoe beyond the longest toe, mm (common practice).
const SHOE_BEYOND_TOE_MM: f64 = 12.0;

/// The check.
#[derive(Debug)]
pub struct ToeClearance;

/// How far the shoe reaches ahead of the pedal axle, mm.
fn shoe_ahead_mm(pair: &Pair<'_>) -> f64 {
    (1.0 - HEEL_TO_BALL) * pair.body.foot_length_mm + SHOE_BEYOND_TOE_MM
}

impl Check for ToeClearance {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn is_safety(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(
            Source::Cfr1512Clearance,
            &[Source::JisD9301, Source::Iso8098],
        )
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let crank = pair.layout.crank?;
        if crank.q_factor_mm.is_none() || crank.pedal_width_mm.is_none() {
            return Some(Measure::needs("cranks.q_factor and cranks.pedal_width"));
        }
        let least = pair.layout.class.toe_clearance_mm;
        let status = match pair.layout.toe_clearance_mm {
            Some(clearance) if !at_least(clearance, least) => Status::Fail(Misfit::NotSize),
            Some(clearance) if !at_least(clearance, shoe_ahead_mm(pair)) => Status::Caution,
            _ => Status::Ok,
        };
        Some(Measure {
            value: pair.layout.toe_clearance_mm,
            low: Some(least),
            high: None,
            status,
        })
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let Some(clearance) = measure.value else {
            return "the front tyre never comes in front of the pedal".to_owned();
        };
        let least = measure.low.unwrap_or_default();
        match measure.status {
            Status::Fail(_) => {
                format!(
                    "pedal to turned front tyre is {} short of the least {}",
                    units.missed_by(least - clearance),
                    units.length(least)
                )
            }
            Status::Caution => format!(
                "the shoe can touch the turned tyre by {}: no sharp turns with the foot forward",
                units.missed_by(shoe_ahead_mm(pair) - clearance)
            ),
            _ => format!(
                "{} from pedal centre to the turned front tyre",
                units.length(clearance)
            ),
        }
    }
}
