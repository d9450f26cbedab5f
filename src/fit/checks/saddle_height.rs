//! Saddle height: can the saddle be set where this rider's stage wants it, inside the post's range.
//! A saddle that ends too low is no failure here; `leg_room` decides when a bike is outgrown.

use crate::bike::Bike;
use crate::fit::checks::standover;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least, at_most};
use crate::fit::pair::Pair;
use crate::rider::Stage;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// The check.
#[derive(Debug)]
pub struct SaddleHeight;

impl Check for SaddleHeight {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn is_decisive(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(
            Source::Holmes1994,
            &[Source::Hamley1967, Source::Aap, Source::Practice],
        )
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let post = &pair.layout.post;
        let tape = |position| pair.layout.told_mm(position);
        let value = tape(pair.pose.position);
        let Some(band) = pair.pose.band else {
            return Some(Measure::new(
                value,
                None,
                None,
                Status::Fail(Misfit::TooBig),
            ));
        };
        let legs_reach = match (pair.pose.leg, pair.pose.farthest) {
            (Some(leg), Some(farthest)) => leg.flexion(farthest.distance).is_ok(),
            _ => true,
        };
        // A post that ends below the band is set to its mark; what that does to the leg is `leg_room`'s answer alone.
        let status = if !legs_reach || !at_most(post.lowest_mm, band.high) {
            Status::Fail(Misfit::TooBig)
        } else {
            Status::Set
        };
        let (low, high) = (Some(tape(band.low)), Some(tape(band.high)));
        Some(Measure::new(value, low, high, status))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let set = measure.value.unwrap_or_default();
        let setting = pair.setting();
        let is_from_ground = pair.bike.tells_saddle_from_ground();
        let from = if is_from_ground { " above the ground" } else { "" };
        let told = if is_from_ground {
            setting.seat_height_mm
        } else {
            set
        };
        match (measure.status, measure.low, measure.high) {
            (Status::Fail(_), _, None) => {
                "the leg cannot follow the cranks round at any saddle height".to_owned()
            }
            (Status::Fail(_), _, Some(high)) if set > high => {
                let miss = units.missed_by(set - high);
                let post = &pair.layout.post;
                let clearance = pair.body.inseam_in_shoes_mm() - pair.layout.standover_mm();
                // What stands out of the tube even then, a shorter post would not; a frame that is too big it
                // makes no smaller.
                let is_post = pair.bike.knows_post_showing()
                    && at_least(clearance, standover::LEAST_MM)
                    && post.exposed_post_mm(post.lowest_mm) >= set - high;
                let cure = if is_post {
                    format!("; a post {miss} shorter, if it still reaches its mark, would bring it down")
                } else {
                    String::new()
                };
                format!("the saddle at its lowest is still {miss} too high{cure}")
            }
            (Status::Fail(_), ..) => {
                "the leg cannot follow the cranks round at this saddle height".to_owned()
            }
            (_, Some(low), _) if !at_least(set, low) => format!(
                "set the saddle to {}{from}, never above: stop while the mark is still hidden; {} lower than these legs like",
                setting.length(units, told),
                units.missed_by(low - set)
            ),
            _ => {
                let feet = match pair.pose.stage {
                    Stage::Learning => "both feet flat",
                    Stage::Steady => "balls of both feet down",
                    Stage::Confident => "leg nearly straight at the bottom",
                };
                let shows = pair.layout.post.exposed_post_mm(pair.pose.position);
                let showing = if pair.bike.knows_post_showing() {
                    format!(", {} of post showing", setting.length(units, shows))
                } else {
                    String::new()
                };
                let post = &pair.layout.post;
                let is_lowest = (pair.pose.position - post.lowest_mm).abs() < 0.5;
                let down = if is_lowest && pair.bike.knows_lowest_saddle() {
                    "right down, "
                } else {
                    ""
                };
                format!(
                    "set the saddle {down}to {}{from}{showing}: {feet}",
                    setting.length(units, told)
                )
            }
        }
    }
}
