//! The JSON contract: one mirror struct per object, with its schema version, keys in snake case, units in the names.
//! Everything is copied here from facts, late; a test pins every key. How JSON is written out is `report::json`.
//! What the facts mean lives in `fit` and `advice`.

mod assign;
mod compare;
mod coverage;
mod due;
mod fit;
mod handover;
mod rack;
mod size;
mod stop;

pub use assign::assignment;
pub use compare::comparison;
pub use coverage::coverage;
pub use due::due;
pub use fit::fit;
pub use handover::handover;
pub(in crate::report) use rack::WindowObject;
pub use rack::rack;
pub use size::sizing;

use serde::Serialize;

use crate::fit::forecast::Percentiles;
use crate::plane::Point;

/// A file that could not be used, in a list of bikes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Skipped {
    /// Its name.
    pub file: String,
    /// What is wrong with it.
    pub error: String,
}

/// A bike of which too little is known, and what to find out first.
#[derive(Serialize)]
struct NotJudged<'a> {
    bike: &'a str,
    reason: String,
}

/// Months from now: in one case of ten no later than `p10`, in nine of ten no later than `p90`.
#[derive(Debug, Serialize)]
struct Months {
    p10: Option<f64>,
    p50: Option<f64>,
    p90: Option<f64>,
}

impl From<Percentiles> for Months {
    fn from(months: Percentiles) -> Self {
        Self {
            p10: months.p10,
            p50: months.p50,
            p90: months.p90,
        }
    }
}

fn xy(point: Point) -> [f64; 2] {
    [point.x, point.y]
}
