//! `inseam/compare`: two bikes for one rider, and what differs.

use serde::Serialize;

use crate::advice::compare::{Comparison, Kind};
use crate::advice::stop::Stop;
use crate::fit::Fit;
use crate::report::contract::fit::FitObject;
use crate::report::contract::stop::StopObject;
use crate::units::Units;

/// Name and version of the object.
const SCHEMA: &str = "inseam/compare/2";

/// A comparison as the contract has it, its words in `units`.
pub fn comparison(comparison: &Comparison, units: Units) -> impl Serialize {
    let object = |fit: &Fit| BikeObject {
        id: fit.bike.id.clone(),
        stop: StopObject::of(fit, Stop::of(fit).as_ref(), None, units),
        fit: FitObject::new(fit, units),
    };
    let [first, second] = comparison.fits.each_ref().map(object);
    ComparisonObject {
        schema: SCHEMA,
        first,
        second,
        read_this: comparison.read_this(units),
        equipment: comparison
            .equipment
            .iter()
            .map(|had| {
                let [first, second] = had.values.each_ref().map(Option::as_deref);
                EquipmentObject {
                    name: had.name,
                    first,
                    second,
                    meaning: &had.meaning,
                }
            })
            .collect(),
        differences: comparison
            .differences
            .iter()
            .map(|difference| DifferenceObject {
                name: difference.figure.name(),
                first: difference.values[0],
                second: difference.values[1],
                unit: unit(difference.figure.kind()),
                meaning: comparison.meaning(difference, units),
            })
            .collect(),
    }
}

#[derive(Serialize)]
struct ComparisonObject<'a> {
    schema: &'static str,
    first: BikeObject,
    second: BikeObject,
    read_this: Vec<String>,
    equipment: Vec<EquipmentObject<'a>>,
    differences: Vec<DifferenceObject>,
}

/// What the bikes have, in words; `null` where a file does not say.
#[derive(Serialize)]
struct EquipmentObject<'a> {
    name: &'static str,
    first: Option<&'a str>,
    second: Option<&'a str>,
    meaning: &'a str,
}

#[derive(Serialize)]
struct BikeObject {
    id: String,
    stop: Option<StopObject>,
    fit: FitObject,
}

#[derive(Serialize)]
struct DifferenceObject {
    name: &'static str,
    first: Option<f64>,
    second: Option<f64>,
    unit: &'static str,
    meaning: String,
}

fn unit(kind: Kind) -> &'static str {
    match kind {
        Kind::Length | Kind::Stamped => "mm",
        Kind::Angle => "deg",
        Kind::Mass => "kg",
        Kind::Months => "months",
        Kind::Price => "price",
        Kind::PricePerMonth => "price_per_month",
    }
}
