//! The saddle: what to set today, the proof that the post stays past its mark, and what comes later.
//! All three stages, so that the family can raise it; the heights themselves are `fit::pair`'s.

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;

use crate::bike::Bike;
use crate::fit::Pair;
use crate::fit::checks::ground_contact::contact;
use crate::fit::checks::post_insertion::DIAMETERS;
use crate::fit::finding::at_least;
use crate::fit::forecast::Raise;
use crate::rider::{Body, Rider, Stage};
use crate::units::Units;

/// Time until the saddle is looked at again, months (common practice).
const NEXT_CHECK_MONTHS: i64 = 3;

/// What to set at the saddle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Saddle {
    /// Bottom-bracket centre to saddle top, straight, mm.
    pub saddle_height_mm: f64,
    /// Ground to saddle top, mm.
    pub seat_height_mm: f64,
    /// Post above the seat tube, mm.
    pub exposed_post_mm: f64,
    /// Post inside the seat tube, mm.
    pub insertion_mm: f64,
    /// Printed minimum insertion, mm.
    pub minimum_insertion_mm: f64,
    /// Post inside the tube beyond the mark, mm; never negative.
    pub insertion_left_mm: f64,
    /// Two post diameters, mm; None where the file does not give the diameter.
    pub two_diameters_mm: Option<f64>,
    /// Whether the mark leaves two diameters inside; None where the file does not give the diameter.
    pub mark_is_two_diameters: Option<bool>,
    /// The stage it is set for.
    pub stage: Stage,
    /// The same for every stage that this bike has.
    pub stages: Vec<StageHeight>,
    /// Heights as the rider grows, today's first; empty where no growth is known.
    pub schedule: Vec<Raise>,
    /// Day of the next look.
    pub next_check: Date,
    /// Sentences for the person with the tape.
    pub notes: Vec<String>,
}

/// The saddle at one riding stage.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StageHeight {
    /// Riding stage.
    pub stage: Stage,
    /// Bottom-bracket centre to saddle top, straight, mm.
    pub saddle_height_mm: f64,
    /// Ground to saddle top, mm.
    pub seat_height_mm: f64,
    /// Post above the seat tube, mm.
    pub exposed_post_mm: f64,
    /// Post inside the tube beyond the mark, mm.
    pub insertion_left_mm: f64,
    /// What touches the ground from the saddle, and where the post's range decided the height.
    pub ground: String,
    /// How far the wanted band lies outside the post's range, mm: positive above, negative below.
    pub out_of_range_mm: f64,
    /// One sentence.
    pub note: String,
}

pub(super) fn saddle(
    rider: &Rider,
    bike: &Bike,
    body: &Body,
    on: Date,
    units: Units,
    schedule: Vec<Raise>,
) -> Saddle {
    let pair = Pair::new(bike, body, rider.stage, rider.weight);
    let post = &bike.post;
    let stages: &[Stage] = if bike.is_balance() {
        &[Stage::Learning]
    } else {
        Stage::ALL
    };
    let insertion_mm = post.insertion_mm(pair.position);
    let two_diameters_mm = bike
        .spec
        .frame
        .seat_tube
        .diameter
        .map(|diameter| DIAMETERS * diameter.mm());
    let mark_is_two_diameters =
        two_diameters_mm.map(|needed| at_least(post.minimum_insertion_mm, needed));
    let stages: Vec<_> = stages
        .iter()
        .map(|stage| at_stage(&Pair::new(bike, body, *stage, rider.weight), units))
        .collect();
    let insertion_left_mm = (insertion_mm - post.minimum_insertion_mm).max(0.0);
    let mut notes = vec![proof(
        insertion_mm,
        post.minimum_insertion_mm,
        two_diameters_mm.zip(mark_is_two_diameters),
        units,
    )];
    notes.extend(
        stages
            .iter()
            .find(|height| height.stage == pair.stage && height.out_of_range_mm != 0.0)
            .map(|height| height.note.clone()),
    );
    notes.push(level_and_fore_aft(bike.spec.saddle.fore_aft.mm(), units));
    Saddle {
        saddle_height_mm: post.saddle_height_mm(pair.position),
        seat_height_mm: bike.seat_height_mm(pair.position),
        exposed_post_mm: post.exposed_post_mm(pair.position),
        insertion_mm,
        minimum_insertion_mm: post.minimum_insertion_mm,
        insertion_left_mm,
        two_diameters_mm,
        mark_is_two_diameters,
        stage: pair.stage,
        stages,
        schedule,
        next_check: on.saturating_add(NEXT_CHECK_MONTHS.months()),
        notes,
    }
}

fn proof(insertion: f64, mark: f64, two_diameters: Option<(f64, bool)>, units: Units) -> String {
    let inside = format!(
        "{} of post stays in the tube; the mark asks for {}",
        units.tape(insertion),
        units.tape(mark)
    );
    match two_diameters {
        Some((needed, true)) => format!(
            "{inside}, two post diameters for {}: both covered.",
            units.tape(needed)
        ),
        Some((needed, false)) => format!(
            "{inside}, less than two post diameters, {}: fit another post.",
            units.tape(needed)
        ),
        None => format!("{inside}; two post diameters: needs frame.seat_tube.diameter."),
    }
}

fn level_and_fore_aft(fore_aft_mm: f64, units: Units) -> String {
    let slide = if fore_aft_mm > 0.0 {
        format!(" (it slides {} either way)", units.tape(fore_aft_mm))
    } else {
        String::new()
    };
    format!(
        "Saddle level, nose straight ahead, rails clamped in their middle{slide}; cure reach at the stem, not here."
    )
}

/// What touches the ground, and why the saddle is not where the stage wants it.
fn ground(pair: &Pair<'_>, out_of_range_mm: f64) -> String {
    let over = pair.saddle_over_inseam_mm(pair.position);
    let touches = contact(over, pair.body.foot_length_mm).words();
    if out_of_range_mm < 0.0 {
        format!("{touches}; too high, post lowest")
    } else if out_of_range_mm > 0.0 {
        format!("{touches}; low, post at its mark")
    } else {
        touches.to_owned()
    }
}

fn at_stage(pair: &Pair<'_>, units: Units) -> StageHeight {
    let post = &pair.bike.post;
    let position = pair.position;
    let out_of_range_mm = pair.band.map_or(0.0, |band| {
        if band.high < post.lowest_mm {
            band.high - post.lowest_mm
        } else if band.low > post.highest_mm {
            band.low - post.highest_mm
        } else {
            0.0
        }
    });
    let mut note = if pair.band.is_none() {
        "The leg cannot follow the cranks round at any height: this bike is too big.".to_owned()
    } else if out_of_range_mm < 0.0 {
        format!(
            "The lowest the post goes is still {} too high for {}: a shorter post or a smaller bike.",
            units.tape(-out_of_range_mm),
            pair.stage
        )
    } else if out_of_range_mm > 0.0 {
        format!(
            "At the mark the saddle is still {} low for {}: leave it there, never beyond; a longer post or the next bike.",
            units.tape(out_of_range_mm),
            pair.stage
        )
    } else {
        match pair.stage {
            Stage::Learning => "to learn: feet carry the child when in doubt",
            Stage::Steady => "starts and stops alone",
            Stage::Confident => "leg nearly straight at the bottom of the turn",
        }
        .to_owned()
    };
    if let (Some(leg), Some(farthest), Some(_)) = (pair.leg, pair.farthest, pair.band)
        && leg.flexion(farthest.distance).is_err()
    {
        "The leg does not reach round the turn at this height.".clone_into(&mut note);
    }
    StageHeight {
        stage: pair.stage,
        saddle_height_mm: post.saddle_height_mm(position),
        seat_height_mm: pair.bike.seat_height_mm(position),
        exposed_post_mm: post.exposed_post_mm(position),
        insertion_left_mm: (post.insertion_mm(position) - post.minimum_insertion_mm).max(0.0),
        ground: ground(pair, out_of_range_mm),
        out_of_range_mm,
        note,
    }
}
