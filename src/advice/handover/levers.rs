//! The brake levers at the handover, wheel by wheel: the gap to set for this hand and where the lever points.
//! How well a hand holds a lever is `fit::levers`.

use crate::bike::{BrakeKind, Class};
use crate::fit::Pair;
use crate::fit::levers::{Hand, Hold, Lever};
use crate::units::Units;

/// What to set at the brake levers.
#[derive(Debug, Clone, PartialEq)]
pub struct Levers {
    /// Front brake; None where the file has no brakes.
    pub front: Option<Brake>,
    /// Rear brake.
    pub rear: Option<Brake>,
    /// What this hand holds.
    pub hand: Hand,
    /// The bike's class, which sets the largest lawful gap.
    pub class: Class,
    /// What is missing for a complete answer.
    pub needs: Vec<&'static str>,
}

/// One brake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Brake {
    /// How it is worked.
    pub kind: BrakeKind,
    /// Its lever set for this hand; None without one, or where its range is not known.
    pub lever: Option<Lever>,
}

pub(super) fn levers(pair: &Pair<'_>) -> Levers {
    let brakes = pair.bike.spec.brakes.as_ref();
    let needs = match brakes {
        None => vec!["brakes in the frame file"],
        Some(brakes) => brakes.open_gaps().collect(),
    };
    let brake = |brake: &crate::bike::spec::Brake| Brake {
        kind: brake.kind,
        lever: pair.lever(brake),
    };
    Levers {
        front: brakes.map(|brakes| brake(&brakes.front)),
        rear: brakes.map(|brakes| brake(&brakes.rear)),
        hand: pair.hand(),
        class: pair.layout.class,
        needs,
    }
}

impl Brake {
    /// Whether a hand works it.
    pub const fn has_lever(&self) -> bool {
        matches!(self.kind, BrakeKind::Hand)
    }
}

impl Levers {
    /// Largest gap that this hand holds well, within the law, mm.
    pub const fn most_mm(&self) -> f64 {
        self.hand.good_mm.min(self.hand.lawful_mm)
    }

    /// Sentences for the person with the screwdriver.
    pub fn notes(&self, units: Units) -> Vec<String> {
        let kinds: Vec<_> = [self.front, self.rear]
            .into_iter()
            .flatten()
            .map(|brake| brake.kind)
            .collect();
        if kinds.contains(&BrakeKind::Hand) {
            return vec![
                format!(
                    "Gap from outer lever face to outer grip face; the law's ceiling is {} ({}). Pulled hard, the lever must not touch the grip.",
                    units.tape_at_most(self.hand.lawful_mm),
                    self.class
                ),
                "Lever in line with the forearm, wrist straight, sloping down; slide it until one or two fingers pull near its outer end."
                    .to_owned(),
            ];
        }
        if kinds.contains(&BrakeKind::Coaster) {
            vec![
                "No hand lever: the rider must stop by pedalling backwards, every time.".to_owned(),
            ]
        } else if kinds.is_empty() {
            Vec::new()
        } else {
            vec!["No brakes: the feet stop this bike; flat ground only.".to_owned()]
        }
    }

    /// Whether this hand can work a brake's lever, within the law; None without a known lever.
    pub fn is_in_reach(brake: &Brake) -> Option<bool> {
        let hold = brake.lever?.hold;
        Some(!matches!(hold, Hold::OutOfReach | Hold::Unlawful))
    }

    /// What to do at one brake, in one sentence.
    pub fn advice(&self, brake: &Brake, units: Units) -> String {
        match (brake.kind, brake.lever) {
            (BrakeKind::None, _) => "no brake on this wheel".to_owned(),
            (BrakeKind::Coaster, _) => "back-pedal brake: nothing to set at the bar".to_owned(),
            (BrakeKind::Hand, Some(lever)) => {
                let words = lever.words(&self.hand, units);
                lever
                    .cure(units)
                    .map_or_else(|| words.clone(), |part| format!("{words}: {part}"))
            }
            (BrakeKind::Hand, None) => format!(
                "its range is not in the file: set {} or less",
                units.length_at_most(self.most_mm())
            ),
        }
    }
}
