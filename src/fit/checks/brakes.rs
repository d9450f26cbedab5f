//! Brakes: has a bike with pedals what law and standards ask for. Says nothing about the state they are in.
//! Whether the hand reaches the lever is `brake_lever`.

use crate::bike::{Bike, BrakeKind};
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

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

    /// How many independent brakes; two are wanted.
    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        if pair.bike.is_balance() {
            return None;
        }
        let Some(brakes) = &pair.bike.spec.brakes else {
            return Some(Measure::cannot_do_without("brakes"));
        };
        let [front, rear] =
            [brakes.front.kind, brakes.rear.kind].map(|kind| kind != BrakeKind::None);
        let status = match (front, rear) {
            (true, true) => Status::Ok,
            (false, true) => Status::Caution,
            (_, false) => Status::Fail(Misfit::NotSize),
        };
        let count = f64::from(u8::from(front) + u8::from(rear));
        Some(Measure::new(count, Some(2.0), None, status))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, _units: Units) -> String {
        let rear_is_coaster = pair
            .bike
            .spec
            .brakes
            .as_ref()
            .is_some_and(|brakes| brakes.rear.kind == BrakeKind::Coaster);
        match (measure.status, measure.value) {
            (Status::Fail(_), Some(count)) if count > 0.0 => {
                "a front brake alone: the law asks for a rear one too".to_owned()
            }
            (Status::Fail(_), _) => "no brakes on a bike with pedals".to_owned(),
            (Status::Caution, _) if rear_is_coaster => {
                "a coaster brake alone: many rules ask for a second, independent brake".to_owned()
            }
            (Status::Caution, _) => {
                "a rear brake alone: many rules ask for a second, independent brake".to_owned()
            }
            _ => "two independent brakes".to_owned(),
        }
    }
}
