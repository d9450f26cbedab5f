//! Ground contact: what touches the ground when the rider stays on the saddle at the chosen setting.
//! Learners need both feet flat, steady riders the balls of both; confident riders step off the saddle.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_most};
use crate::fit::pair::Pair;
use crate::rider::Stage;
use crate::rider::body::HEEL_TO_BALL;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Saddle top against inseam and sole up to which both feet stand flat, mm (balance-bike practice).
const FLAT_MM: f64 = -13.0;
/// The same for the balls of both feet, mm.
const BALLS_MM: f64 = 35.0;
/// Heel lift of a foot on tiptoe as a share of heel-to-ball length: sin 40 deg, our own figure.
const TIPTOE_LIFT: f64 = 0.64;

/// The check.
#[derive(Debug)]
pub struct GroundContact;

/// What touches the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contact {
    /// Both feet, flat.
    Flat,
    /// Balls of both feet.
    Balls,
    /// Toes of one foot.
    ToesOfOne,
    /// Nothing.
    None,
}

impl Contact {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Flat => "both feet flat",
            Self::Balls => "balls of both feet",
            Self::ToesOfOne => "toes of one foot",
            Self::None => "no foot reaches",
        }
    }
}

/// What touches the ground with the saddle this far above inseam and sole, mm.
pub fn contact(saddle_over_inseam: f64, foot_length: f64) -> Contact {
    if at_most(saddle_over_inseam, FLAT_MM) {
        Contact::Flat
    } else if at_most(saddle_over_inseam, BALLS_MM) {
        Contact::Balls
    } else if at_most(saddle_over_inseam, TIPTOE_LIFT * HEEL_TO_BALL * foot_length) {
        Contact::ToesOfOne
    } else {
        Contact::None
    }
}

impl Check for GroundContact {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Aap, &[Source::Practice, Source::OwnRule])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let over = pair.saddle_over_inseam_mm(pair.pose.position);
        let needed = match pair.pose.stage {
            Stage::Learning => Some(FLAT_MM),
            Stage::Steady => Some(BALLS_MM),
            Stage::Confident => None,
        };
        let status = match needed {
            Some(needed) if !at_most(over, needed) => Status::Fail(Misfit::TooBig),
            None if contact(over, pair.body.foot_length_mm) == Contact::None => Status::Caution,
            _ => Status::Ok,
        };
        Some(Measure::new(over, None, needed, status))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let over = measure.value.unwrap_or_default();
        let touches = contact(over, pair.body.foot_length_mm).words();
        match (measure.status, measure.high) {
            (Status::Fail(_), Some(needed)) => {
                format!(
                    "{touches}: the saddle would have to come down {} more than it can",
                    units.length(over - needed)
                )
            }
            (Status::Caution, _) => {
                format!("{touches} from the saddle: practise stepping forward off it to stop")
            }
            _ => format!("{touches} from the saddle"),
        }
    }
}
