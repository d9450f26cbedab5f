//! `inseam/size`: every bike on a rack for one rider, best first.

use serde::Serialize;

use crate::advice::size::Sizing;
use crate::cautions::CAUTIONS;
use crate::report::contract::fit::{FitObject, RiderObject};
use crate::report::contract::{Months, Skipped};
use crate::report::size_text::ORDER;
use crate::units::Units;

/// Name and version of the object.
const SCHEMA: &str = "inseam/size/1";

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
        serializer.collect_seq(self.0.bikes.iter().map(|bike| BikeObject {
            id: &bike.fit.bike.id,
            rank: bike.rank,
            months_left: bike.months_left().into(),
            near_miss: bike.near_miss.map(|miss| NearMissObject {
                check: miss.check.name(),
                height_mm: miss.height_mm,
                advice: bike.near_miss_advice(self.1).unwrap_or_default(),
            }),
            fit: FitObject::new(&bike.fit, self.1),
        }))
    }
}

#[derive(Serialize)]
struct BikeObject<'a> {
    id: &'a str,
    rank: usize,
    months_left: Months,
    near_miss: Option<NearMissObject>,
    fit: FitObject,
}

#[derive(Serialize)]
struct NearMissObject {
    check: &'static str,
    height_mm: f64,
    advice: String,
}
