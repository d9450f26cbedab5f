//! `inseam/size`: every bike on a rack for one rider, best first.

use serde::Serialize;

use crate::advice::size::Sizing;
use crate::cautions::CAUTIONS;
use crate::report::contract::fit::{FitObject, RiderObject};
use crate::report::contract::stop::StopObject;
use crate::report::contract::{Months, Skipped};
use crate::report::size_text::{ORDER, wheel};
use crate::units::Units;

/// Name and version of the object.
const SCHEMA: &str = "inseam/size/2";

/// A sizing as the contract has it, its words in `units`; the bikes are made one by one as they are written.
pub fn sizing<'a>(sizing: &'a Sizing, skipped: &'a [Skipped], units: Units) -> impl Serialize + 'a {
    SizingObject {
        schema: SCHEMA,
        rider: RiderObject::new(&sizing.rider),
        order: ORDER,
        bikes: Bikes(sizing, units),
        skipped,
        cautions: CAUTIONS,
    }
}

#[derive(Serialize)]
struct SizingObject<'a> {
    schema: &'static str,
    rider: RiderObject,
    order: &'static str,
    bikes: Bikes<'a>,
    skipped: &'a [Skipped],
    cautions: &'static [&'static str],
}

struct Bikes<'a>(&'a Sizing, Units);

impl Serialize for Bikes<'_> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let bikes = &self.0.bikes;
        serializer.collect_seq(bikes.iter().enumerate().map(|(place, bike)| {
            let spec = &bike.fit.bike.spec;
            let why = bike.why.zip(bikes.get(place + 1));
            BikeObject {
                id: &bike.fit.bike.id,
                rank: bike.rank,
                why: why.map(|(why, next)| why.words(bike, next, self.1)),
                wheel: wheel(&spec.tyres),
                weight_kg: spec.weight.map(crate::units::Mass::kg),
                price: spec.price,
                months_left: bike.months_left().into(),
                stop: StopObject::of(&bike.fit, bike.stop.as_ref(), None, self.1),
                fit: FitObject::new(&bike.fit, self.1),
            }
        }))
    }
}

#[derive(Serialize)]
struct BikeObject<'a> {
    id: &'a str,
    rank: usize,
    why: Option<String>,
    wheel: String,
    weight_kg: Option<f64>,
    price: Option<f64>,
    months_left: Months,
    stop: Option<StopObject>,
    fit: FitObject,
}
