//! Parts: do the published figures agree with the geometry in the same file.
//! Contradictions that leave no bike to fit are errors when the file is read.

use crate::fit::finding::{Check, Measure, Status, Unit};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// The check.
#[derive(Debug)]
pub struct Parts;

impl Check for Parts {
    fn name(&self) -> &'static str {
        "parts"
    }

    fn unit(&self) -> Unit {
        Unit::Count
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::OwnRule, &[])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        #[expect(clippy::cast_precision_loss, reason = "a handful")]
        let count = pair.bike.warnings.len() as f64;
        let status = if pair.bike.warnings.is_empty() {
            Status::Ok
        } else {
            Status::Caution
        };
        Some(Measure::new(count, None, Some(0.0), status))
    }

    fn advise(&self, pair: &Pair<'_>, _measure: &Measure, _units: Units) -> String {
        match pair.bike.warnings.as_slice() {
            [] => "no contradiction in the frame file".to_owned(),
            [only] => only.clone(),
            [first, rest @ ..] => format!("{first} (and {} more)", rest.len()),
        }
    }
}
