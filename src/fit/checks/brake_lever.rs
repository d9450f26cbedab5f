//! Brake lever: can this hand hook the lever and pull, and how far must the lever be drawn in.
//! The gap is from the outer lever face to the outer grip face; the law sets a ceiling by class.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_most};
use crate::fit::pair::{LEVER_SHARES, LeverRange, Pair};
use crate::sources::{Cited, Source};
use crate::units::Units;

/// A lever closer to its setting than this needs no adjusting, mm.
const AS_GOOD_AS_SET_MM: f64 = 0.5;

/// The check.
#[derive(Debug)]
pub struct BrakeLever;

/// How one lever suits the hand.
fn judge(pair: &Pair<'_>, lever: LeverRange) -> Measure {
    let [good, _, limit] = LEVER_SHARES.map(|share| share * pair.body.hand_length_mm);
    let gap = pair.lever_gap_mm(lever);
    let status = if !at_most(lever.min, limit) {
        Status::Fail(Misfit::TooBig)
    } else if !at_most(lever.min, pair.layout.class.lever_ceiling_mm) {
        Status::Fail(Misfit::NotSize)
    } else {
        let reached = if at_most(gap, good) {
            Status::Ok
        } else {
            Status::Caution
        };
        reached.worse(if lever.max - gap > AS_GOOD_AS_SET_MM {
            Status::Adjust
        } else {
            Status::Ok
        })
    };
    Measure::new(gap, None, Some(good), status)
}

/// The lever that suits the hand least.
fn worst(pair: &Pair<'_>) -> Option<LeverRange> {
    pair.hand_levers()
        .flatten()
        .max_by(|a, b| a.min.total_cmp(&b.min).then(a.max.total_cmp(&b.max)))
}

impl Check for BrakeLever {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
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
        if pair.bike.spec.brakes.is_none() {
            return Some(Measure::needs("brakes"));
        }
        if pair.hand_levers().any(|lever| lever.is_none()) {
            return Some(Measure::needs("brakes.front.reach and brakes.rear.reach"));
        }
        // Without a hand lever there is nothing that the hand could be too small for.
        Some(worst(pair).map_or(
            Measure {
                value: None,
                low: None,
                high: None,
                status: Status::Ok,
            },
            |lever| judge(pair, lever),
        ))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let Some(lever) = worst(pair) else {
            return if pair.bike.is_balance() {
                "no hand brake: the feet stop this bike".to_owned()
            } else {
                "no hand lever: the rider must be able to stop by pedalling backwards".to_owned()
            };
        };
        let [_, usable, limit] = LEVER_SHARES.map(|share| share * pair.body.hand_length_mm);
        let gap = measure.value.unwrap_or_default();
        let ceiling = pair.layout.class.lever_ceiling_mm;
        let drawn_in = if lever.max - gap > AS_GOOD_AS_SET_MM {
            format!(
                "draw the lever in {} to a gap of {}",
                units.length(lever.max - gap),
                units.length(gap)
            )
        } else {
            format!("lever gap {}", units.length(gap))
        };
        match measure.status {
            Status::Fail(Misfit::TooBig) => {
                format!(
                    "even drawn in fully the lever is {} too far for this hand",
                    units.length(lever.min - limit)
                )
            }
            Status::Fail(_) => format!(
                "the lever stays above the lawful {}: fit another lever",
                units.length(ceiling)
            ),
            _ if gap > usable => {
                format!("{drawn_in}; only the fingertips hook it: fit a short-reach lever")
            }
            _ if measure.high.is_some_and(|good| !at_most(gap, good)) => {
                format!("{drawn_in}; usable, a shorter lever would be better")
            }
            _ => format!("{drawn_in}: a good hold for this hand"),
        }
    }
}
