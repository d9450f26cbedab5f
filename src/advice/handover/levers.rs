//! The brake levers: the gap to set for this hand, how far to draw each in, and where the lever points.
//! What a hand can hook is decided by `fit::checks::brake_lever`; this only says it wheel by wheel.

use crate::bike::spec::Brake;
use crate::bike::{BrakeKind, Class};
use crate::fit::finding::at_most;
use crate::fit::pair::{LEVER_SHARES, LeverRange, Pair};
use crate::units::Units;

/// Smaller corrections are not worth a screwdriver, mm.
const WORTH_TURNING_MM: f64 = 0.5;

/// What to set at the brake levers.
#[derive(Debug, Clone, PartialEq)]
pub struct Levers {
    /// Front brake; None where the file has no brakes.
    pub front: Option<Lever>,
    /// Rear brake.
    pub rear: Option<Lever>,
    /// Gap that this hand holds well, mm.
    pub good_gap_mm: f64,
    /// Largest gap that this hand can hook comfortably, mm.
    pub usable_gap_mm: f64,
    /// Largest gap that this hand can hook at all, mm.
    pub limit_gap_mm: f64,
    /// The bike's class, which sets the largest lawful gap.
    pub class: Class,
    /// What is missing for a complete answer.
    pub needs: Vec<&'static str>,
}

/// One brake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lever {
    /// How it is worked.
    pub kind: BrakeKind,
    /// The lever's own range, where it is known.
    pub range: Option<LeverRange>,
    /// Gap to set, outer lever face to outer grip face, mm.
    pub gap_mm: Option<f64>,
}

impl Lever {
    /// How far the gap is in from the widest setting, mm.
    pub fn draw_in_mm(&self) -> Option<f64> {
        Some(self.range?.max - self.gap_mm?)
    }
}

pub(super) fn levers(pair: &Pair<'_>) -> Levers {
    let [good, usable, limit] = LEVER_SHARES.map(|share| share * pair.body.hand_length_mm);
    let brakes = pair.bike.spec.brakes.as_ref();
    let needs = match brakes {
        None => vec!["brakes in the frame file"],
        Some(brakes) => [
            (&brakes.front, "brakes.front.reach"),
            (&brakes.rear, "brakes.rear.reach"),
        ]
        .into_iter()
        .filter(|(brake, _)| brake.kind == BrakeKind::Hand && brake.reach.is_none())
        .map(|(_, key)| key)
        .collect(),
    };
    let lever = |brake: &Brake| {
        let range = brake.reach.as_ref().map(LeverRange::from);
        Lever {
            kind: brake.kind,
            range,
            gap_mm: range.map(|range| pair.lever_gap_mm(range)),
        }
    };
    Levers {
        front: brakes.map(|brakes| lever(&brakes.front)),
        rear: brakes.map(|brakes| lever(&brakes.rear)),
        good_gap_mm: good,
        usable_gap_mm: usable,
        limit_gap_mm: limit,
        class: pair.layout.class,
        needs,
    }
}

impl Levers {
    /// Sentences for the person with the screwdriver.
    pub fn notes(&self, units: Units) -> Vec<String> {
        let kinds: Vec<_> = [self.front, self.rear]
            .into_iter()
            .flatten()
            .map(|lever| lever.kind)
            .collect();
        if kinds.contains(&BrakeKind::Hand) {
            return vec![
                format!(
                    "Gap from outer lever face to outer grip face; the law's ceiling is {} ({}).",
                    units.tape(self.class.lever_ceiling_mm),
                    self.class
                ),
                "Lever in line with the forearm, wrist straight, sloping down; slide it until one or two fingers pull near its outer end."
                    .to_owned(),
            ];
        }
        if kinds.contains(&BrakeKind::Coaster) {
            vec![
                "No hand lever: the child must stop by pedalling backwards, every time.".to_owned(),
            ]
        } else if kinds.is_empty() {
            Vec::new()
        } else {
            vec!["No brakes: the feet stop this bike; flat ground only.".to_owned()]
        }
    }

    /// Whether this hand can work a lever at its gap, within the law; None without a known lever.
    pub fn is_in_reach(&self, lever: &Lever) -> Option<bool> {
        let nearest = lever.range?.min;
        Some(at_most(nearest, self.limit_gap_mm) && at_most(nearest, self.class.lever_ceiling_mm))
    }

    /// What to do at one lever, in one sentence.
    pub fn advice(&self, lever: &Lever, units: Units) -> String {
        let (range, gap) = match (lever.kind, lever.range, lever.gap_mm) {
            (BrakeKind::None, ..) => return "no brake on this wheel".to_owned(),
            (BrakeKind::Coaster, ..) => {
                return "back-pedal brake: nothing to set at the bar".to_owned();
            }
            (BrakeKind::Hand, Some(range), Some(gap)) => (range, gap),
            (BrakeKind::Hand, ..) => {
                let gap = self.good_gap_mm.min(self.class.lever_ceiling_mm);
                return format!(
                    "its range is not in the file: set {} or less",
                    units.tape(gap)
                );
            }
        };
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
        if !at_most(range.min, self.limit_gap_mm) {
            format!(
                "drawn in fully it still stands {} off, {} too far for this hand: fit a short-reach lever before the bike goes out",
                units.tape(range.min),
                units.tape(range.min - self.limit_gap_mm)
            )
        } else if !at_most(range.min, self.class.lever_ceiling_mm) {
            format!("{set}; above the lawful ceiling: fit another lever")
        } else if !at_most(gap, self.usable_gap_mm) {
            format!("{set}; only the fingertips hook it: a short-reach lever is better")
        } else if !at_most(gap, self.good_gap_mm) {
            format!("{set}; usable, a shorter lever is better")
        } else {
            format!("{set}; a good hold")
        }
    }
}
