//! Standover: how much air is left above the top tube when the rider straddles the bike in shoes.
//! Below one inch nobody can dismount safely; on trails more is wanted.

use crate::bike::{Bike, Style};
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Least clearance, mm: one inch in 16 CFR 1512.19(c), taken as 25 mm.
pub const LEAST_MM: f64 = 25.0;

/// The check.
#[derive(Debug)]
pub struct Standover;

/// Wanted clearance for a riding style, mm: AAP 1 in paved; owner's-manual convention 2 in and 3 in.
const fn wanted_mm(style: Style) -> f64 {
    match style {
        Style::Balance => LEAST_MM,
        Style::Street => 50.0,
        Style::Trail => 75.0,
    }
}

impl Check for Standover {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Cfr1512Manual, &[Source::Aap, Source::Practice])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let clearance = pair.body.inseam_in_shoes_mm() - pair.layout.standover_mm();
        let wanted = wanted_mm(pair.bike.spec.style);
        let status = if !at_least(clearance, LEAST_MM) {
            Status::Fail(Misfit::TooBig)
        } else if at_least(clearance, wanted) {
            Status::Ok
        } else {
            Status::Caution
        };
        Some(Measure::new(clearance, Some(wanted), None, status))
    }

    fn advise(&self, _pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let clearance = measure.value.unwrap_or_default();
        let wanted = measure.low.unwrap_or_default();
        match measure.status {
            Status::Fail(_) => format!(
                "top tube {} too high to straddle: choose a lower frame or wait for the legs to grow",
                units.length(LEAST_MM - clearance)
            ),
            Status::Caution => format!(
                "{} over the top tube is enough on paved ways, {} short of the {} wanted for this bike's use",
                units.length(clearance),
                units.length(wanted - clearance),
                units.length(wanted)
            ),
            _ => format!(
                "{} of air over the top tube, both feet flat",
                units.length(clearance)
            ),
        }
    }
}
