//! Post insertion: the setting never passes the mark, and the mark leaves two diameters in the tube.
//! The range that the setting is chosen from is `bike::layout::PostRange`.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// The mark must leave this many post diameters inside: 16 CFR 1512.15(b).
pub const DIAMETERS: f64 = 2.0;

/// Diameters that posts of children's and small adults' bikes have (common practice).
const POSTS_MM: [f64; 2] = [22.2, 31.6];

/// The post's diameter where the file gives it, else the thinnest and the thickest that it may be.
fn diameters_mm(bike: &Bike) -> [f64; 2] {
    let given = bike.spec.frame.seat_tube.diameter;
    given.map_or(POSTS_MM, |diameter| [diameter.mm(); 2])
}

/// The check.
#[derive(Debug)]
pub struct PostInsertion;

impl Check for PostInsertion {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn is_safety(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Cfr1512Seat, &[])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let has_mark = pair.bike.spec.seat_post.minimum_insertion.is_some();
        match (has_mark, pair.bike.wants_of_post()) {
            (true, None) => {}
            // Both are read off the post in one go.
            (false, Some("seat_post.length")) => {
                return Some(Measure::needs(
                    "seat_post.minimum_insertion and seat_post.length",
                ));
            }
            (false, _) => return Some(Measure::needs("seat_post.minimum_insertion")),
            (true, Some(wanted)) => return Some(Measure::needs(wanted)),
        }
        let post = &pair.layout.post;
        let inserted = post.insertion_mm(pair.pose.position);
        let mark = post.minimum_insertion_mm;
        let [thinnest, thickest] = diameters_mm(pair.bike);
        let status = if !at_least(inserted, mark) || !at_least(mark, DIAMETERS * thinnest) {
            Status::Fail(Misfit::NotSize)
        } else if at_least(mark, DIAMETERS * thickest) {
            Status::Ok
        } else {
            return Some(Measure::needs("frame.seat_tube.diameter"));
        };
        Some(Measure::new(inserted, Some(mark), None, status))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let inserted = measure.value.unwrap_or_default();
        let mark = measure.low.unwrap_or_default();
        let setting = pair.setting();
        let inside = setting.length_inside(units, inserted);
        if measure.status == Status::Ok {
            // As the handover tells it, so that the figures of either add up.
            let room_mm = setting.room_shown_mm(units, mark);
            let room = units.length_at_most(room_mm.unwrap_or(inserted - mark));
            return if room == units.length(0.0) {
                format!("{inside} of post in the tube, just what the mark asks for: raise it no more")
            } else {
                format!("{inside} of post in the tube, {room} more than the mark")
            };
        }
        let [thinnest, _] = diameters_mm(pair.bike);
        format!(
            "the mark leaves {} in the tube, less than two diameters ({}): fit another post",
            units.length(mark),
            units.length(DIAMETERS * thinnest)
        )
    }
}
