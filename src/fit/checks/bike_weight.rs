//! Bike weight: as a share of the rider's own.
//! Never a failure; a heavy bike is said in plain words.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Status, Unit, at_most};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Share that is still handled well, percent (common practice).
const WANTED_PERCENT: f64 = 40.0;
/// Above this the words get plainer, percent.
const HEAVY_PERCENT: f64 = 50.0;
/// What cycling schools wish for, percent.
const WISH_PERCENT: f64 = 30.0;

/// The check.
#[derive(Debug)]
pub struct BikeWeight;

impl Check for BikeWeight {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Percent
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Practice, &[])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let (bike, rider) = match (pair.bike.spec.weight, pair.weight) {
            (Some(bike), Some(rider)) => (bike.kg(), rider.kg()),
            (None, _) => return Some(Measure::needs("weight in the frame file")),
            (_, None) => return Some(Measure::needs("the rider's weight")),
        };
        let share = 100.0 * bike / rider;
        let status = if at_most(share, WANTED_PERCENT) {
            Status::Ok
        } else {
            Status::Caution
        };
        Some(Measure::new(share, None, Some(WANTED_PERCENT), status))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let share = measure.value.unwrap_or_default();
        let rider = pair.weight.map_or(0.0, crate::units::Mass::kg);
        let over = rider * (share - WANTED_PERCENT) / 100.0;
        if measure.status == Status::Ok && at_most(share, WISH_PERCENT) {
            format!("bike weighs {share:.0} % of the rider")
        } else if measure.status == Status::Ok {
            format!(
                "bike weighs {} of the rider, more than cycling schools wish: handled well all the same",
                Unit::Percent.show_over(share, WISH_PERCENT, units)
            )
        } else if at_most(share, HEAVY_PERCENT) {
            format!(
                "bike weighs {} of the rider, {over:.1} kg more than a child lifts and stops with ease",
                Unit::Percent.show_over(share, WANTED_PERCENT, units)
            )
        } else {
            format!(
                "bike weighs {share:.0} % of the rider: too heavy to pick up or to stop with ease"
            )
        }
    }
}
