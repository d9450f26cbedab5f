//! The brake levers: the gap to set for this hand, how far to draw each in, and where the lever points.
//! What a hand can hook is decided by `fit::checks::brake_lever`; this only says it wheel by wheel.

use serde::Serialize;

use crate::bike::BrakeKind;
use crate::bike::spec::Brake;
use crate::fit::Pair;
use crate::fit::finding::at_most;
use crate::fit::pair::{LEVER_SHARES, LeverRange};
use crate::units::Units;

/// Smaller corrections are not worth a screwdriver, mm.
const WORTH_TURNING_MM: f64 = 0.5;

/// What to set at the brake levers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Levers {
    /// Front brake; None where the file has no brakes.
    pub front: Option<Lever>,
    /// Rear brake.
    pub rear: Option<Lever>,
    /// Gap that this hand holds well, mm.
    pub good_gap_mm: f64,
    /// Largest gap that this hand can hook at all, mm.
    pub limit_gap_mm: f64,
    /// Largest lawful gap for the bike's class, mm.
    pub lawful_ceiling_mm: f64,
    /// What is missing for a complete answer.
    pub needs: Vec<&'static str>,
    /// Sentences for the person with the screwdriver.
    pub notes: Vec<String>,
}

/// One brake.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lever {
    /// How it is worked.
    pub kind: BrakeKind,
    /// Gap to set, outer lever face to outer grip face, mm.
    pub gap_mm: Option<f64>,
    /// How far that is in from the widest setting, mm.
    pub draw_in_mm: Option<f64>,
    /// Whether this hand can work the lever at that gap, within the law; None without a known lever.
    pub is_in_reach: Option<bool>,
    /// One sentence.
    pub advice: String,
}

pub(super) fn levers(pair: &Pair<'_>, units: Units) -> Levers {
    let [good, _, limit] = LEVER_SHARES.map(|share| share * pair.body.hand_length_mm);
    let ceiling = pair.bike.class.lever_ceiling_mm;
    let brakes = pair.bike.spec.brakes.as_ref();
    let mut needs = Vec::new();
    let mut notes = Vec::new();
    let mut has_hand_lever = false;
    if let Some(brakes) = brakes {
        for (brake, key) in [
            (&brakes.front, "brakes.front.reach"),
            (&brakes.rear, "brakes.rear.reach"),
        ] {
            has_hand_lever |= brake.kind == BrakeKind::Hand;
            if brake.kind == BrakeKind::Hand && brake.reach.is_none() {
                needs.push(key);
            }
        }
    } else {
        needs.push("brakes in the frame file");
    }
    if has_hand_lever {
        notes.push(format!(
            "Gap from outer lever face to outer grip face; the law's ceiling is {} ({}).",
            units.tape(ceiling),
            pair.bike.class
        ));
        notes.push(
            "Lever in line with the forearm, wrist straight, sloping down; slide it until one or two fingers pull near its outer end."
                .to_owned(),
        );
    } else if let Some(brakes) = brakes {
        notes.push(
            if brakes.rear.kind == BrakeKind::Coaster {
                "No hand lever: the child must stop by pedalling backwards, every time."
            } else {
                "No brakes: the feet stop this bike; flat ground only."
            }
            .to_owned(),
        );
    }
    Levers {
        front: brakes.map(|brakes| lever(pair, &brakes.front, units)),
        rear: brakes.map(|brakes| lever(pair, &brakes.rear, units)),
        good_gap_mm: good,
        limit_gap_mm: limit,
        lawful_ceiling_mm: ceiling,
        needs,
        notes,
    }
}

fn lever(pair: &Pair<'_>, brake: &Brake, units: Units) -> Lever {
    let bare = |advice: &str| Lever {
        kind: brake.kind,
        gap_mm: None,
        draw_in_mm: None,
        is_in_reach: None,
        advice: advice.to_owned(),
    };
    match (brake.kind, &brake.reach) {
        (BrakeKind::None, _) => bare("no brake on this wheel"),
        (BrakeKind::Coaster, _) => bare("back-pedal brake: nothing to set at the bar"),
        (BrakeKind::Hand, None) => {
            let good = LEVER_SHARES[0] * pair.body.hand_length_mm;
            let gap = good.min(pair.bike.class.lever_ceiling_mm);
            bare(&format!(
                "its range is not in the file: set {} or less",
                units.tape(gap)
            ))
        }
        (BrakeKind::Hand, Some(reach)) => {
            let range = LeverRange {
                min: reach.min.mm(),
                max: reach.max.mm(),
            };
            hand_lever(pair, range, units)
        }
    }
}

fn hand_lever(pair: &Pair<'_>, range: LeverRange, units: Units) -> Lever {
    let [good, usable, limit] = LEVER_SHARES.map(|share| share * pair.body.hand_length_mm);
    let gap = pair.lever_gap_mm(range);
    let draw_in = range.max - gap;
    let set = if draw_in > WORTH_TURNING_MM {
        format!(
            "{}, {} in from the widest setting",
            units.tape(gap),
            units.tape(draw_in)
        )
    } else {
        format!("{}, the widest setting", units.tape(gap))
    };
    let is_lawful = at_most(range.min, pair.bike.class.lever_ceiling_mm);
    let advice = if !at_most(range.min, limit) {
        format!(
            "drawn in fully it still stands {} off, {} too far for this hand: fit a short-reach lever before the bike goes out",
            units.tape(range.min),
            units.tape(range.min - limit)
        )
    } else if !is_lawful {
        format!("{set}; above the lawful ceiling: fit another lever")
    } else if !at_most(gap, usable) {
        format!("{set}; only the fingertips hook it: a short-reach lever is better")
    } else if !at_most(gap, good) {
        format!("{set}; usable, a shorter lever is better")
    } else {
        format!("{set}; a good hold")
    };
    Lever {
        kind: BrakeKind::Hand,
        gap_mm: Some(gap),
        draw_in_mm: Some(draw_in),
        is_in_reach: Some(at_most(range.min, limit) && is_lawful),
        advice,
    }
}
