//! The brake lever and the hand: what gap to set, how far that is in from the widest, and how well it is held.
//! One ladder for the check, the handover and the pictures. The gap is from the outer lever face to the outer
//! grip face; whether a bike has brakes at all is `checks::brakes`.

use crate::bike::BrakeKind;
use crate::bike::spec::{Brake, LeverReach};
use crate::fit::finding::at_most;
use crate::fit::pair::Pair;
use crate::units::Units;

/// Shares of hand length for the lever gap: good, usable, limit. This tool's own rule: thumb crotch
/// to fingertip 0.70 less one finger joint 0.11 (hand data of Snyder et al. 1977).
const SHARES: [f64; 3] = [0.40, 0.50, 0.59];
/// Smaller corrections are not worth a screwdriver, mm.
const WORTH_TURNING_MM: f64 = 2.0;

/// What a hand holds, mm of gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hand {
    /// Holds well up to here.
    pub good_mm: f64,
    /// Holds with an effort up to here.
    pub usable_mm: f64,
    /// Cannot hook a lever beyond this.
    pub limit_mm: f64,
    /// Largest lawful gap on this bike.
    pub lawful_mm: f64,
}

/// How a lever suits a hand, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hold {
    /// A good hold.
    Good,
    /// Held with an effort.
    Usable,
    /// Only the fingertips hook it.
    Fingertips,
    /// It cannot be brought under the lawful ceiling.
    Unlawful,
    /// Beyond this hand.
    OutOfReach,
}

/// Range of one lever's adjuster, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Drawn in fully.
    pub min: f64,
    /// Let out fully.
    pub max: f64,
}

impl From<&LeverReach> for Range {
    fn from(reach: &LeverReach) -> Self {
        Self {
            min: reach.min.mm(),
            max: reach.max.mm(),
        }
    }
}

/// The gaps to set, mm: one for levers set alike, else by wheel. None without a hand lever or where its range is not
/// known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LeverGaps {
    /// At the hand lever, or at both.
    pub lever_gap_mm: Option<f64>,
    /// At the front brake's lever where the rear one is set otherwise.
    pub front_lever_gap_mm: Option<f64>,
    /// At the rear brake's lever where the front one is set otherwise.
    pub rear_lever_gap_mm: Option<f64>,
}

/// One lever set for one hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lever {
    /// The wheel that it brakes, `front` or `rear`, where that tells it from the other; None where both are set alike.
    pub wheel: Option<&'static str>,
    /// Its own range.
    pub range: Range,
    /// Gap to set, mm.
    pub gap_mm: f64,
    /// How that suits the hand.
    pub hold: Hold,
}

impl Hand {
    /// The gap to set at a lever: what the hand likes, inside the lever's range and the law.
    pub fn lever(&self, range: Range) -> Lever {
        let gap_mm = self
            .good_mm
            .min(self.lawful_mm)
            .clamp(range.min, range.max.max(range.min));
        let hold = if !at_most(range.min, self.limit_mm) {
            Hold::OutOfReach
        } else if !at_most(range.min, self.lawful_mm) {
            Hold::Unlawful
        } else if at_most(gap_mm, self.good_mm) {
            Hold::Good
        } else if at_most(gap_mm, self.usable_mm) {
            Hold::Usable
        } else {
            Hold::Fingertips
        };
        Lever {
            wheel: None,
            range,
            gap_mm,
            hold,
        }
    }
}

impl Lever {
    /// What it is called: `lever`, or by its wheel.
    pub fn name(&self) -> String {
        self.wheel
            .map_or_else(|| "lever".to_owned(), |wheel| format!("{wheel} lever"))
    }

    /// How far the gap is in from the widest setting, mm.
    pub fn draw_in_mm(&self) -> f64 {
        self.range.max - self.gap_mm
    }

    /// Whether there is anything to turn.
    pub fn needs_setting(&self) -> bool {
        self.draw_in_mm() > WORTH_TURNING_MM
    }

    /// How it will be held once it is set, or what rules it out and by how much, in one sentence without an end.
    pub fn words(&self, hand: &Hand, units: Units) -> String {
        let (name, set) = (self.name(), self.set(units));
        match self.hold {
            Hold::Good => format!("{set}: a good hold for this hand"),
            Hold::Usable => format!("{set}: held with an effort"),
            // Wider than it is held well, it is as far in as it goes.
            Hold::Fingertips => {
                format!("even drawn in fully only the fingertips hook the {name}")
            }
            Hold::Unlawful => format!(
                "even drawn in fully the {name} is {} over the lawful {}",
                units.missed_by(self.range.min - hand.lawful_mm),
                units.length(hand.lawful_mm)
            ),
            Hold::OutOfReach => format!(
                "even drawn in fully the {name} is {} too far for this hand",
                units.missed_by(self.range.min - hand.limit_mm)
            ),
        }
    }

    /// What to do about a lever that only the fingertips hook, in words without an end; None of any other.
    pub fn cure(&self, units: Units) -> Option<String> {
        (self.hold == Hold::Fingertips).then(|| {
            let set = self.set(units);
            format!("{set}; a mechanic can fit a short-reach one")
        })
    }

    /// What to set.
    fn set(&self, units: Units) -> String {
        let name = self.name();
        if self.needs_setting() {
            format!(
                "draw the {name} in {} to a gap of {}",
                units.length(self.draw_in_mm()),
                units.length(self.gap_mm)
            )
        } else {
            format!(
                "{name} gap {}, as wide as it goes",
                units.length(self.gap_mm)
            )
        }
    }
}

impl Pair<'_> {
    /// What this rider's hand holds on this bike.
    pub fn hand(&self) -> Hand {
        let [good_mm, usable_mm, limit_mm] = SHARES.map(|share| share * self.body.hand_length_mm);
        Hand {
            good_mm,
            usable_mm,
            limit_mm,
            lawful_mm: self.layout.class.lever_ceiling_mm,
        }
    }

    /// One brake's lever set for this hand; None where it has no lever or its range is not known.
    pub fn lever(&self, brake: &Brake) -> Option<Lever> {
        let range = brake
            .reach
            .as_ref()
            .filter(|_| brake.kind == BrakeKind::Hand)?;
        Some(self.hand().lever(range.into()))
    }

    /// The levers to set, front first: one for both where they are set alike. Those of unknown range are left out.
    pub fn levers(&self) -> Vec<Lever> {
        let brakes = self.bike.spec.brakes.as_ref();
        let both = brakes.map(|brakes| [("front", &brakes.front), ("rear", &brakes.rear)]);
        let found: Vec<_> = both
            .into_iter()
            .flatten()
            .filter(|(_, brake)| brake.kind == BrakeKind::Hand)
            .map(|(wheel, brake)| (wheel, self.lever(brake)))
            .collect();
        let is_one = found.windows(2).all(|pair| pair[0].1 == pair[1].1);
        found
            .into_iter()
            .take(if is_one { 1 } else { 2 })
            .filter_map(|(wheel, lever)| {
                let wheel = (!is_one).then_some(wheel);
                Some(Lever { wheel, ..lever? })
            })
            .collect()
    }

    /// The gaps to set, as records and contracts have them.
    pub fn lever_gaps_mm(&self) -> LeverGaps {
        let levers = self.levers();
        let gap = |wheel: Option<&str>| {
            let lever = levers.iter().find(|lever| lever.wheel == wheel);
            lever.map(|lever| lever.gap_mm)
        };
        LeverGaps {
            lever_gap_mm: gap(None),
            front_lever_gap_mm: gap(Some("front")),
            rear_lever_gap_mm: gap(Some("rear")),
        }
    }

    /// The gaps to set in words, each figure by `say`: one for levers set alike, else `front 53 mm, rear 71 mm`.
    /// None without hand levers or where their range is not known.
    pub fn lever_gaps(&self, say: impl Fn(f64) -> String) -> Option<String> {
        let said: Vec<_> = self
            .levers()
            .iter()
            .map(|lever| {
                let gap = say(lever.gap_mm);
                lever
                    .wheel
                    .map_or_else(|| gap.clone(), |wheel| format!("{wheel} {gap}"))
            })
            .collect();
        (!said.is_empty()).then(|| said.join(", "))
    }

    /// The lever that suits the hand least; None without hand levers or where their range is not known.
    pub fn worst_lever(&self) -> Option<Lever> {
        self.levers().into_iter().max_by(|a, b| {
            let range = |lever: &Lever| (lever.range.min, lever.range.max);
            let ((a_min, a_max), (b_min, b_max)) = (range(a), range(b));
            a_min.total_cmp(&b_min).then(a_max.total_cmp(&b_max))
        })
    }
}
