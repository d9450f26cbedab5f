//! Ground contact: what touches the ground when the rider stays on the saddle at the chosen setting.
//! Learners need both feet flat, steady riders the balls of both. Confident riders step off the saddle to stop, as
//! every saddle at leg extension asks; where no toe reaches, that needs room over the top tube.

use crate::bike::Bike;
use crate::fit::checks::standover;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least, at_most};
use crate::fit::pair::{LEARNING_BAND_MM, Pair, STEADY_BAND_MM};
use crate::rider::Stage;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Saddle top against inseam and sole up to which both feet stand flat, mm.
const FLAT_MM: f64 = LEARNING_BAND_MM[1];
/// The same for the balls of both feet, mm.
const BALLS_MM: f64 = STEADY_BAND_MM[1];
/// The same for the toes of one foot, mm: our own figure, a hip dropped to one side and a foot on tiptoe.
const TOES_OF_ONE_MM: f64 = 75.0;

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
    /// With the saddle this far above inseam and sole, mm.
    pub fn at(saddle_over_inseam_mm: f64) -> Self {
        if at_most(saddle_over_inseam_mm, FLAT_MM) {
            Self::Flat
        } else if at_most(saddle_over_inseam_mm, BALLS_MM) {
            Self::Balls
        } else if at_most(saddle_over_inseam_mm, TOES_OF_ONE_MM) {
            Self::ToesOfOne
        } else {
            Self::None
        }
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Flat => "both feet flat",
            Self::Balls => "balls of both feet",
            Self::ToesOfOne => "toes of one foot",
            Self::None => "no foot reaches",
        }
    }

    /// In words where they stand alone: of a saddle that no foot reaches the ground from also how one stops.
    pub const fn told(self) -> &'static str {
        match self {
            Self::None => "no foot reaches: stops by stepping forward off the saddle",
            reaches => reaches.words(),
        }
    }
}

/// How far the saddle may stand above inseam and sole at a stage, mm.
const fn needed_mm(stage: Stage) -> f64 {
    match stage {
        Stage::Learning => FLAT_MM,
        Stage::Steady => BALLS_MM,
        Stage::Confident => TOES_OF_ONE_MM,
    }
}

impl Check for GroundContact {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn is_safety(&self) -> bool {
        true
    }

    fn is_decisive(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Aap, &[Source::Practice, Source::OwnRule])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let over = pair.saddle_over_inseam_mm(pair.pose.position);
        let stage = pair.pose.stage;
        let needed = needed_mm(stage);
        let within = |status| Measure::new(over, None, Some(needed), status);
        if at_most(over, needed) {
            return Some(within(Status::Ok));
        }
        if stage != Stage::Confident {
            return Some(within(Status::Fail(Misfit::TooBig)));
        }
        // Who cannot reach the ground steps off the saddle, over the top tube.
        let clearance = pair.body.inseam_in_shoes_mm() - pair.layout.standover_mm();
        Some(if at_least(clearance, standover::WANTED_MM) {
            // With that room the height of the saddle is no matter; the sentence says how to stop.
            Measure::new(over, None, None, Status::Ok)
        } else {
            within(Status::Fail(Misfit::TooBig))
        })
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let over = measure.value.unwrap_or_default();
        let touches = Contact::at(over).words();
        match (measure.status, pair.pose.stage) {
            (Status::Fail(_), Stage::Confident) => format!(
                "{touches} from the saddle, and stepping forward off it takes {} of air over the top tube",
                units.length(standover::WANTED_MM)
            ),
            (Status::Fail(_), stage) => {
                // As a tape reads it, like the saddle height.
                let (layout, inseam) = (pair.layout, pair.body.inseam_in_shoes_mm());
                let needed = layout.position_at_seat_height(inseam + needed_mm(stage));
                let more = layout.told_mm(pair.pose.position) - layout.told_mm(needed);
                let reaching = match Contact::at(over) {
                    Contact::None => touches.to_owned(),
                    some => format!("only the {} reach", some.words()),
                };
                format!(
                    "{reaching} the ground: the saddle would have to come down {} more than it can",
                    units.missed_by(more)
                )
            }
            _ if Contact::at(over) == Contact::None => {
                format!("{touches} from the saddle: the rider stops by stepping forward off it")
            }
            _ => format!("{touches} from the saddle"),
        }
    }
}
