//! Brakes: has a bike with pedals what law and standards ask for. Says nothing about the state they are in.
//! Whether the hand reaches the lever is `brake_lever`.

use crate::bike::{Bike, BrakeKind};
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// What a bike with pedals is to have: see the sources of the check.
pub const ASKED: &str = "with pedals it must have a rear brake, and by many rules a second, independent one";

/// How many independent brakes a bike has, and whether law and standards ask for more; two are wanted. None on a bike
/// without pedals.
pub fn judged(bike: &Bike) -> Option<Measure> {
    if bike.is_balance() {
        return None;
    }
    let Some(brakes) = &bike.spec.brakes else {
        return Some(Measure::cannot_do_without("brakes"));
    };
    let [front, rear] = [brakes.front.kind, brakes.rear.kind].map(|kind| kind != BrakeKind::None);
    let status = match (front, rear) {
        (true, true) => Status::Ok,
        (false, true) => Status::Caution,
        (_, false) => Status::Fail(Misfit::NotSize),
    };
    let count = f64::from(u8::from(front) + u8::from(rear));
    Some(Measure::new(count, Some(2.0), None, status))
}

/// What that means, in one sentence without an end.
pub fn said(bike: &Bike, measure: &Measure) -> &'static str {
    let brakes = bike.spec.brakes.as_ref();
    let rear_is_coaster = brakes.is_some_and(|brakes| brakes.rear.kind == BrakeKind::Coaster);
    match (measure.status, measure.value) {
        (Status::Fail(_), Some(count)) if count > 0.0 => {
            "a front brake alone: the law asks for a rear one too"
        }
        (Status::Fail(_), _) => "no brakes on a bike with pedals",
        (Status::Caution, _) if rear_is_coaster => {
            "a coaster brake alone: many rules ask for a second, independent brake"
        }
        (Status::Caution, _) => {
            "a rear brake alone: many rules ask for a second, independent brake"
        }
        _ => "two independent brakes",
    }
}

/// The check.
#[derive(Debug)]
pub struct Brakes;

impl Check for Brakes {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Count
    }

    fn is_safety(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Iso8098, &[Source::Cfr1512Brakes])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        judged(pair.bike)
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, _units: Units) -> String {
        said(pair.bike, measure).to_owned()
    }
}
