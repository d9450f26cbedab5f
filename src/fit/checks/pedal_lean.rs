//! Pedal lean: how far the bike leans before a level pedal at the bottom touches ground.
//! A property of the bike alone; the geometry is in `bike::clearance`.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;
use crate::words::missed;

/// Least lean, degrees: 16 CFR 1512.17(c).
const LEAST_DEG: f64 = 25.0;

/// The check.
#[derive(Debug)]
pub struct PedalLean;

impl Check for PedalLean {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Degree
    }

    fn is_safety(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Cfr1512Clearance, &[])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        pair.layout.crank?;
        let Some(lean) = pair.layout.pedal_lean_deg else {
            return Some(Measure::needs("cranks.q_factor and cranks.pedal_width"));
        };
        let status = if at_least(lean, LEAST_DEG) {
            Status::Ok
        } else {
            Status::Fail(Misfit::NotSize)
        };
        Some(Measure::new(lean, Some(LEAST_DEG), None, status))
    }

    fn advise(&self, _pair: &Pair<'_>, measure: &Measure, _units: Units) -> String {
        let lean = measure.value.unwrap_or_default();
        if measure.status == Status::Ok {
            format!("leans {lean:.1}° before the lower pedal touches")
        } else {
            format!(
                "the lower pedal touches at {lean:.1}°, {}° early: shorter cranks or narrower pedals",
                missed(LEAST_DEG - lean, 1)
            )
        }
    }
}
