//! Brake lever: can this hand hook the lever and pull, and how far must the lever be drawn in.
//! The ladder from a good hold to none is `fit::levers`; the law sets a ceiling by class.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_most};
use crate::fit::levers::Hold;
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// What is missing without a lever's range, and where it is written.
const GAP: &str = "the gap at the brake lever, screwed in and out (`reach` of each hand brake)";

/// The check.
#[derive(Debug)]
pub struct BrakeLever;

impl Check for BrakeLever {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn is_safety(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(
            Source::OwnRule,
            &[
                Source::Snyder1977,
                Source::Iso8098,
                Source::Cfr1512Brakes,
                Source::JisD9301,
            ],
        )
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let brakes = pair.bike.spec.brakes.as_ref()?;
        let (hand, worst) = (pair.hand(), pair.worst_lever());
        let is_ruled_out =
            worst.is_some_and(|lever| matches!(lever.hold, Hold::OutOfReach | Hold::Unlawful));
        // What is known and fails, fails whatever the other lever may be.
        if !is_ruled_out && brakes.open_gaps().next().is_some() {
            // The worst that a lawful lever can do to this hand.
            return Some(if at_most(hand.lawful_mm, hand.limit_mm) {
                Measure::needs(GAP)
            } else {
                Measure::cannot_do_without(GAP)
            });
        }
        // Without a hand lever there is nothing that the hand could be too small for.
        let lever = worst?;
        let status = match lever.hold {
            Hold::OutOfReach => Status::Fail(Misfit::TooBig),
            Hold::Unlawful => Status::Fail(Misfit::NotSize),
            Hold::Fingertips => Status::Caution,
            Hold::Good | Hold::Usable if lever.needs_setting() => Status::Set,
            Hold::Good | Hold::Usable => Status::Ok,
        };
        // A lever that fails is told against what it fails by.
        let most_mm = match lever.hold {
            Hold::OutOfReach => hand.limit_mm,
            Hold::Unlawful => hand.lawful_mm,
            Hold::Good | Hold::Usable | Hold::Fingertips => hand.usable_mm,
        };
        Some(Measure::new(lever.gap_mm, None, Some(most_mm), status))
    }

    fn advise(&self, pair: &Pair<'_>, _measure: &Measure, units: Units) -> String {
        pair.worst_lever().map_or_else(String::new, |lever| {
            let words = lever.words(&pair.hand(), units);
            match lever.hold {
                Hold::Good | Hold::Usable => {
                    format!("{words}; pulled hard it must not touch the grip")
                }
                Hold::Fingertips | Hold::Unlawful | Hold::OutOfReach => words,
            }
        })
    }

    fn cure(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> Option<String> {
        if measure.status != Status::Caution {
            return None;
        }
        let part = pair.worst_lever()?.cure(units)?;
        Some(format!("{part}; pulled hard it must not touch the grip"))
    }
}
