//! Parts: do the published figures agree with the geometry in the same file.
//! Contradictions that leave no bike to fit are errors when the file is read.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Status, Unit};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// The check.
#[derive(Debug)]
pub struct Parts;

impl Check for Parts {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Count
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::OwnFile, &[])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        Some(Measure::bare(if pair.bike.mismatches.is_empty() {
            Status::Ok
        } else {
            Status::Caution
        }))
    }

    fn advise(&self, pair: &Pair<'_>, _measure: &Measure, units: Units) -> String {
        match pair.bike.mismatches.as_slice() {
            [] => "no contradiction in the frame file".to_owned(),
            [only] => only.words(units),
            [first, rest @ ..] => format!("{} (and {} more)", first.words(units), rest.len()),
        }
    }
}
