//! `inseam/compare`: two bikes for one rider, and what differs.

use serde::Serialize;

use crate::advice::compare::{Comparison, Kind};
use crate::report::contract::fit::FitObject;
use crate::units::Units;

/// Name and version of the object.
const SCHEMA: &str = "inseam/compare/1";

/// A comparison as the contract has it, its words in `units`.
pub fn comparison(comparison: &Comparison, units: Units) -> impl Serialize {
    let [a, b] = comparison
        .fits
        .each_ref()
        .map(|fit| FitObject::new(fit, units));
    ComparisonObject {
        schema: SCHEMA,
        a,
        b,
        differences: comparison
            .differences
            .iter()
            .map(|difference| DifferenceObject {
                name: difference.figure.name(),
                a: difference.values[0],
                b: difference.values[1],
                unit: unit(difference.figure.kind()),
                meaning: comparison.meaning(difference, units),
            })
            .collect(),
    }
}

#[derive(Serialize)]
struct ComparisonObject {
    schema: &'static str,
    a: FitObject,
    b: FitObject,
    differences: Vec<DifferenceObject>,
}

#[derive(Serialize)]
struct DifferenceObject {
    name: &'static str,
    a: Option<f64>,
    b: Option<f64>,
    unit: &'static str,
    meaning: String,
}

fn unit(kind: Kind) -> &'static str {
    match kind {
        Kind::Length => "mm",
        Kind::Angle => "deg",
        Kind::Mass => "kg",
        Kind::Months => "months",
        Kind::Price => "price",
        Kind::PricePerMonth => "price_per_month",
    }
}
