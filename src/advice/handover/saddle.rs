//! The saddle: what to set today, the proof that the post stays past its mark, and what comes later.
//! All three stages, so that the family can raise it; the heights themselves are `fit::pair`'s.

use crate::fit::Fit;
use crate::fit::checks::ground_contact::Contact;
use crate::fit::checks::post_insertion::DIAMETERS;
use crate::fit::finding::at_least;
use crate::fit::pair::Pair;
use crate::fit::setting::{NO_ROOM_MM, Setting};
use crate::rider::Stage;
use crate::units::{Length, Units};
use crate::words::{key_to_give, sentence};

/// What is done where nobody knows the post's mark.
pub const FIND_MARK: &str = "find the mark printed on the post and keep it hidden";

/// What to set at the saddle.
#[derive(Debug, Clone, PartialEq)]
pub struct Saddle {
    /// What to set today, mm.
    pub setting: Setting,
    /// Printed minimum insertion, mm; None where it is assumed.
    pub minimum_insertion_mm: Option<f64>,
    /// Two post diameters, mm; None where the file does not give the diameter.
    pub two_diameters_mm: Option<f64>,
    /// How far the saddle slides on its rails, either way, mm.
    pub fore_aft_mm: f64,
    /// The stage it is set for.
    pub stage: Stage,
    /// The same for every stage that this bike has.
    pub stages: Vec<StageHeight>,
    /// Saddle height with the post at its mark, mm: never above. None where it rests on a post that nobody measured.
    pub highest_mm: Option<f64>,
    /// The same, as it is told.
    pub highest_told_mm: Option<f64>,
    /// Whether that is from the ground: see [`Bike::tells_saddle_from_ground`](crate::bike::Bike::tells_saddle_from_ground).
    pub is_from_ground: bool,
    /// The end of the post's range that it is set at, where that end is known.
    pub end: Option<End>,
}

/// An end of the range that the saddle moves in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The post shows its mark if it is raised any farther.
    AtMark,
    /// The post cannot go deeper.
    RightDown,
}

impl End {
    /// In words, without an end.
    pub const fn words(self) -> &'static str {
        match self {
            Self::AtMark => "the post is at its mark: it goes no higher",
            Self::RightDown => "the post is right down",
        }
    }
}

/// The saddle at one riding stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StageHeight {
    /// Riding stage.
    pub stage: Stage,
    /// What to set, mm.
    pub setting: Setting,
    /// Post inside the tube beyond the mark, mm; None where post, tube or mark are assumed.
    pub insertion_left_mm: Option<f64>,
    /// Printed minimum insertion, mm; None where post, tube or mark are assumed.
    pub minimum_insertion_mm: Option<f64>,
    /// Whether it is known how high the saddle is at the mark.
    pub knows_highest: bool,
    /// What touches the ground from the saddle.
    pub contact: Contact,
    /// How far the wanted band lies outside the post's range, mm: positive above, negative below.
    /// None when no height lets the leg round the turn.
    pub out_of_range_mm: Option<f64>,
    /// Whether the leg reaches round the turn at this height.
    pub leg_reaches: bool,
}

pub(super) fn saddle(fit: &Fit) -> Saddle {
    let bike = &fit.bike;
    let pair = fit.pair();
    let post = &pair.layout.post;
    let set = pair.pose.position;
    let setting = pair.setting();
    let end = if setting.is_at_mark {
        Some(End::AtMark)
    } else if bike.knows_post_showing() && set - post.lowest_mm < NO_ROOM_MM {
        Some(End::RightDown)
    } else {
        None
    };
    let is_from_ground = bike.tells_saddle_from_ground();
    let stages: &[Stage] = if bike.is_balance() {
        &[Stage::Learning]
    } else {
        Stage::ALL
    };
    Saddle {
        setting,
        minimum_insertion_mm: (!bike.assumes("seat_post.minimum_insertion"))
            .then_some(post.minimum_insertion_mm),
        two_diameters_mm: bike
            .spec
            .frame
            .seat_tube
            .diameter
            .map(|diameter| DIAMETERS * diameter.mm()),
        fore_aft_mm: bike.spec.saddle.fore_aft.map_or(0.0, Length::mm),
        stage: pair.pose.stage,
        stages: stages
            .iter()
            .map(|stage| at_stage(&Pair::new(bike, &fit.body, *stage, fit.rider.weight)))
            .collect(),
        highest_mm: (bike.knows_highest_saddle() && (bike.is_balance() || !is_from_ground))
            .then(|| post.saddle_height_mm(post.highest_mm)),
        highest_told_mm: bike
            .knows_highest_saddle()
            .then(|| bike.saddle_told_mm(post.highest_mm)),
        is_from_ground,
        end,
    }
}

fn at_stage(pair: &Pair<'_>) -> StageHeight {
    let post = &pair.layout.post;
    let setting = pair.setting();
    let knows_mark = pair.bike.knows_mark();
    let out_of_range_mm = pair.pose.band.map(|band| {
        if band.high < post.lowest_mm {
            band.high - post.lowest_mm
        } else if band.low > post.highest_mm {
            band.low - post.highest_mm
        } else {
            0.0
        }
    });
    StageHeight {
        stage: pair.pose.stage,
        setting,
        insertion_left_mm: left_mm(setting, knows_mark.then_some(post.minimum_insertion_mm)),
        minimum_insertion_mm: knows_mark.then_some(post.minimum_insertion_mm),
        knows_highest: pair.bike.knows_highest_saddle(),
        contact: Contact::at(pair.saddle_over_inseam_mm(pair.pose.position)),
        out_of_range_mm,
        leg_reaches: pair.pose.leg.is_none() || pair.knee_flexion_min_deg().is_some(),
    }
}

/// Post inside the tube beyond the mark, mm; never negative.
fn left_mm(setting: Setting, minimum_insertion_mm: Option<f64>) -> Option<f64> {
    let (inside, mark) = setting.insertion_mm.zip(minimum_insertion_mm)?;
    Some((inside - mark).max(0.0))
}

impl Saddle {
    /// Post inside the tube beyond the mark, mm; never negative. None where post, tube or mark are assumed.
    pub fn insertion_left_mm(&self) -> Option<f64> {
        left_mm(self.setting, self.minimum_insertion_mm)
    }

    /// The same as these units tell it, mm.
    pub fn room_shown_mm(&self, units: Units) -> Option<f64> {
        self.setting
            .room_shown_mm(units, self.minimum_insertion_mm?)
    }

    /// Whether the mark leaves two diameters inside; None where the diameter or the mark is not known.
    pub fn mark_is_two_diameters(&self) -> Option<bool> {
        let (needed, mark) = self.two_diameters_mm.zip(self.minimum_insertion_mm)?;
        Some(at_least(mark, needed))
    }

    /// Sentences for the person with the tape.
    pub fn notes(&self, units: Units) -> Vec<String> {
        let mut notes = vec![self.proof(units)];
        let today = self.stages.iter().find(|height| height.stage == self.stage);
        notes.extend(
            today
                .filter(|height| height.out_of_range_mm.is_some_and(|mm| mm != 0.0))
                .map(|height| height.note(units)),
        );
        let slide = if self.fore_aft_mm > 0.0 {
            format!(" (it slides {} either way)", units.tape(self.fore_aft_mm))
        } else {
            String::new()
        };
        notes.push(format!(
            "Saddle level, nose straight ahead, rails clamped in their middle{slide}: reach is cured at spacers, stem and bar first."
        ));
        notes.push(self.stop(units));
        notes
    }

    /// Where the saddle stops, or how to find out.
    fn stop(&self, units: Units) -> String {
        match self.highest_told_mm {
            Some(highest) => format!(
                "Never above {}{}: stop while the mark is still hidden.",
                units.tape_at_most(highest),
                if self.is_from_ground {
                    " from the ground"
                } else {
                    ""
                }
            ),
            None => sentence(&format!("pull the post out once, {FIND_MARK}")),
        }
    }

    /// The same where the figures to set say nothing of the mark.
    pub fn stop_untold(&self, units: Units) -> Option<String> {
        let is_told = match self.setting.exposed_post_mm {
            Some(_) => self.highest_told_mm.is_none() || self.insertion_left_mm().is_some(),
            None => false,
        };
        (!is_told).then(|| self.stop(units))
    }

    fn proof(&self, units: Units) -> String {
        let (inside, mark) = match (self.setting.insertion_mm, self.minimum_insertion_mm) {
            (Some(inside), Some(mark)) => (inside, mark),
            (Some(inside), None) => {
                return format!(
                    "{} of post inside the tube; how much its mark asks for is not in the file.",
                    units.tape(inside)
                );
            }
            (None, _) => {
                return if self.highest_told_mm.is_some() {
                    "Where the mark stops the saddle is measured; how much of the post is inside the tube nobody measured."
                } else {
                    "How much of the post is inside the tube nobody measured."
                }
                .to_owned();
            }
        };
        let inside = format!(
            "{} of post inside the tube; the mark asks for {}",
            self.setting.tape_inside(units, inside),
            units.tape_at_least(mark)
        );
        match self.two_diameters_mm.zip(self.mark_is_two_diameters()) {
            Some((needed, true)) => format!(
                "{inside}, two post diameters for {}: both covered.",
                units.tape_at_least(needed)
            ),
            Some((needed, false)) => format!(
                "{inside}, less than two post diameters, {}: have a mechanic fit another post.",
                units.tape_at_least(needed)
            ),
            None => format!(
                "{inside}; two post diameters: needs {}.",
                key_to_give("frame.seat_tube.diameter")
            ),
        }
    }
}

impl StageHeight {
    /// What touches the ground, and where the post's range decided the height.
    pub fn ground(&self) -> String {
        let touches = self.contact.told();
        match self.out_of_range_mm {
            Some(mm) if mm < 0.0 => format!("{touches}; too high, post lowest"),
            Some(mm) if mm > 0.0 && self.knows_highest => {
                format!("{touches}; low, post at its mark")
            }
            Some(mm) if mm > 0.0 => format!("{touches}; low, mark not known"),
            _ => touches.to_owned(),
        }
    }

    /// One sentence on this height.
    pub fn note(&self, units: Units) -> String {
        let stage = self.stage;
        match self.out_of_range_mm {
            None => "The leg cannot follow the cranks round at any height: this bike is too big."
                .to_owned(),
            Some(_) if !self.leg_reaches => {
                "The leg does not reach round the turn at this height.".to_owned()
            }
            Some(mm) if mm < 0.0 => format!(
                "The lowest the post goes is still {} too high for {stage}: have a mechanic fit a shorter post, or a smaller bike.",
                units.tape(-mm)
            ),
            Some(mm) if mm > 0.0 && !self.knows_highest => format!(
                "The saddle is low for {stage}, and where the post's mark is nobody measured: {FIND_MARK}."
            ),
            Some(mm) if mm > 0.0 => format!(
                "At the mark the saddle is still {} low for {stage}: leave it there, never beyond; have a mechanic fit a longer post, or the next bike.",
                units.tape(mm)
            ),
            Some(_) => match stage {
                Stage::Learning => "to learn: feet carry the rider when in doubt",
                Stage::Steady => "starts and stops alone",
                Stage::Confident => "leg nearly straight at the bottom of the turn",
            }
            .to_owned(),
        }
    }
}
