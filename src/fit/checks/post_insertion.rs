//! Post insertion: the setting never passes the mark, and the mark leaves two diameters in the tube.
//! The range that the setting is chosen from is `bike::layout::PostRange`.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;
use crate::words::key_to_give;

/// The mark must leave this many post diameters inside: 16 CFR 1512.15(b).
pub const DIAMETERS: f64 = 2.0;

/// The check.
#[derive(Debug)]
pub struct PostInsertion;

impl Check for PostInsertion {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Cfr1512Seat, &[])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        if pair.bike.spec.seat_post.minimum_insertion.is_none() {
            return Some(Measure::needs("seat_post.minimum_insertion"));
        }
        if !pair.bike.knows_post_showing() {
            return Some(Measure::needs("seat_post.length"));
        }
        let post = &pair.layout.post;
        let inserted = post.insertion_mm(pair.pose.position);
        let mark = post.minimum_insertion_mm;
        let two_diameters = pair
            .bike
            .spec
            .frame
            .seat_tube
            .diameter
            .map(|diameter| DIAMETERS * diameter.mm());
        let mark_is_lawful = two_diameters.is_none_or(|needed| at_least(mark, needed));
        let status = if mark_is_lawful && at_least(inserted, mark) {
            Status::Ok
        } else {
            Status::Fail(Misfit::NotSize)
        };
        Some(Measure::new(inserted, Some(mark), None, status))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let inserted = measure.value.unwrap_or_default();
        let mark = measure.low.unwrap_or_default();
        let inside = pair.setting().length_inside(units, inserted);
        match pair.bike.spec.frame.seat_tube.diameter {
            Some(diameter) if measure.status != Status::Ok => format!(
                "the mark leaves {} in the tube, less than two diameters ({}): fit another post",
                units.length(mark),
                units.length(DIAMETERS * diameter.mm())
            ),
            Some(_) => format!(
                "{} of post in the tube, {} more than the mark",
                inside,
                units.length_at_most(inserted - mark)
            ),
            None => format!(
                "{} of post in the tube, {} more than the mark; two diameters not checked: needs {}",
                inside,
                units.length_at_most(inserted - mark),
                key_to_give("frame.seat_tube.diameter")
            ),
        }
    }
}
