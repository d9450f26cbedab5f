//! Standover: how much air is left above the top tube when the rider straddles the bike in shoes.
//! Below one inch nobody can dismount safely, and on a bike with pedals two inches are wanted.

use crate::bike::{Bike, Style};
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Least clearance, mm: one inch in 16 CFR 1512.19(c), taken as 25 mm.
pub const LEAST_MM: f64 = 25.0;
/// Wanted with pedals, mm: AAP and AAA, one to two inches.
pub const WANTED_MM: f64 = 50.0;
/// Wanted on rough ground, mm: owner's-manual convention, three inches (common practice).
const ROUGH_GROUND_MM: f64 = 75.0;

/// The check.
#[derive(Debug)]
pub struct Standover;

impl Check for Standover {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn is_safety(&self) -> bool {
        true
    }

    fn is_decisive(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Cfr1512Manual, &[Source::Aap, Source::Practice])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let clearance = pair.body.inseam_in_shoes_mm() - pair.layout.standover_mm();
        let wanted = if pair.bike.is_balance() {
            LEAST_MM
        } else {
            WANTED_MM
        };
        let status = if !at_least(clearance, LEAST_MM) {
            Status::Fail(Misfit::TooBig)
        } else if at_least(clearance, wanted) {
            Status::Ok
        } else {
            Status::Caution
        };
        Some(Measure::new(clearance, Some(wanted), None, status))
    }

    fn within_limits(&self, wanted: Measure) -> Measure {
        Measure {
            low: Some(LEAST_MM),
            ..wanted
        }
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let clearance = measure.value.unwrap_or_default();
        let mut air = units.length(clearance);
        let limit = [LEAST_MM, WANTED_MM].into_iter().find(|limit| units.length(*limit) == air);
        if limit.is_some_and(|limit| !at_least(clearance, limit)) {
            air = format!("under {air}");
        }
        // The difference of the figures that are told, so that they add up; none of it is told as nothing.
        let short = |limit: f64| {
            let told = units.as_shown_mm(limit) - units.as_shown_mm(clearance);
            units.missed_by(if told > 0.0 { told } else { limit - clearance })
        };
        match measure.status {
            Status::Fail(_) if clearance < 0.0 => format!(
                "top tube {} above the crotch, {} too high: getting off safely takes {} of air",
                units.missed_by(-clearance),
                short(LEAST_MM),
                units.length(LEAST_MM)
            ),
            Status::Fail(_) => format!(
                "{air} of air over the top tube, {} short of the {} that getting off safely takes",
                short(LEAST_MM),
                units.length(LEAST_MM)
            ),
            Status::Caution => format!(
                "{air} of air over the top tube: enough to get off, {} short of the {} wanted",
                short(WANTED_MM),
                units.length(WANTED_MM)
            ),
            _ if pair.bike.spec.style == Style::Trail && clearance < ROUGH_GROUND_MM => format!(
                "{air} of air over the top tube, both feet flat; rough ground wants {}",
                units.length(ROUGH_GROUND_MM)
            ),
            _ => format!("{air} of air over the top tube, both feet flat"),
        }
    }
}
