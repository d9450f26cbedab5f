//! Bar and reach: how the rider sits now, and the spacer, stem or bar change that would help, if any.
//! Whether the reach is comfortable is decided by `fit::checks::reach`; this tries changes against it.

use crate::advice::handover::sentence;
use crate::fit::checks::CheckId;
use crate::fit::checks::reach::{grip_move_mm, is_easy};
use crate::fit::pair::{ELBOW_DEG, Pair, Trunk, elbow_flexion, trunk};
use crate::fit::{Fit, Status};
use crate::plane::{Point, Unreachable};
use crate::units::{Units, tidy};

/// Steps in which stems and spacers are sold, mm (common practice).
const STEP_MM: f64 = 5.0;
/// Shortest and longest stem sold for children's bikes, mm (common practice).
const STEM_MM: [f64; 2] = [25.0, 120.0];

/// How the rider reaches the bar, and what would help. Angles in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bars {
    /// Trunk and arm with an easy elbow, or by how much the grips are out of reach.
    pub trunk: Result<Trunk, Unreachable>,
    /// Elbow bend when leaning as the stage wants; None when the grips are out of reach.
    pub elbow_flexion_deg: Option<f64>,
    /// Wanted trunk angles.
    pub lean_band_deg: [f64; 2],
    /// Whether the trunk lies in the band with the arms not lifted too far.
    pub is_easy: bool,
    /// The cheapest change that helps; None where none is needed or none does.
    pub change: Option<Change>,
    /// What a bar with another sweep would still have to do, mm forward; None where nothing is left to do.
    pub sweep_mm: Option<f64>,
}

/// A change at stem or spacers, and the trunk after it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// What to change.
    pub part: Part,
    /// Trunk above the horizontal after it, degrees.
    pub lean_after_deg: f64,
}

/// What to change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Part {
    /// Spacers to take from below the stem, mm.
    SpacersOut(f64),
    /// A stem of another length, mm, and the one that it replaces.
    Stem {
        /// The new one.
        length_mm: f64,
        /// The present one.
        now_mm: f64,
    },
}

pub(super) fn bars(pair: &Pair<'_>) -> Bars {
    let elbow = elbow_flexion(
        pair.shoulder_at_target(),
        pair.layout.points.grip,
        pair.body,
    );
    let trunk = pair.pose.trunk;
    let is_easy = trunk.is_ok_and(|trunk| is_easy(pair, &trunk));
    let mut bars = Bars {
        trunk,
        elbow_flexion_deg: elbow.ok().map(f64::to_degrees),
        lean_band_deg: pair.lean_band_deg(),
        is_easy,
        change: None,
        sweep_mm: None,
    };
    if trunk.is_ok() && !is_easy {
        (bars.change, bars.sweep_mm) = find_change(pair);
    }
    bars
}

/// The cheapest change that makes the reach easy: spacers first, then a stem, then another bar, mm of sweep.
fn find_change(pair: &Pair<'_>) -> (Option<Change>, Option<f64>) {
    let drawing = &pair.bike.drawing;
    let (grip, steering) = (pair.layout.points.grip, &pair.layout.steering);
    let trunk_at = |grip: Point| trunk(pair.pose.hip, grip, pair.body, ELBOW_DEG.to_radians()).ok();
    let mut out_mm = STEP_MM;
    while out_mm <= drawing.spacers_mm {
        if let Some(after) = trunk_at(grip + steering.down * out_mm)
            && is_easy(pair, &after)
        {
            let change = Change {
                part: Part::SpacersOut(out_mm),
                lean_after_deg: after.lean.to_degrees(),
            };
            return (Some(change), None);
        }
        out_mm += STEP_MM;
    }
    let Some(forward) = grip_move_mm(pair) else {
        return (None, None);
    };
    let now = drawing.stem_length_mm;
    let wanted = now + forward / steering.stem.x;
    let stem = ((wanted / STEP_MM).round() * STEP_MM).clamp(STEM_MM[0], STEM_MM[1]);
    let helps = (stem - now).abs() >= STEP_MM && (stem - now) * forward > 0.0;
    let Some(after) = trunk_at(grip + steering.stem * (stem - now)).filter(|_| helps) else {
        return (None, Some(forward));
    };
    let change = Change {
        part: Part::Stem {
            length_mm: stem,
            now_mm: now,
        },
        lean_after_deg: after.lean.to_degrees(),
    };
    let rest = forward - (stem - now) * steering.stem.x;
    (Some(change), (!is_easy(pair, &after)).then_some(rest))
}

fn degrees(value: f64) -> String {
    format!("{}°", tidy(value, 0))
}

impl Bars {
    /// Sentences for the person with the keys.
    pub fn notes(&self, fit: &Fit, units: Units) -> Vec<String> {
        let mut notes = Vec::new();
        match self.trunk {
            Err(Unreachable::TooFar { need, have }) => notes.push(format!(
                "The grips are {} beyond the arms: no stem cures that, choose a shorter bike.",
                units.tape(need - have)
            )),
            Err(Unreachable::TooClose { .. }) => {
                notes.push("The grips are too close to hold: choose a longer bike.".to_owned());
            }
            Ok(trunk) => self.posture(trunk.lean.to_degrees(), units, &mut notes),
        }
        if let Some(finding) = fit
            .finding(CheckId::BarHeight)
            .filter(|finding| finding.status() == Status::Adjust)
        {
            notes.push(sentence(&fit.advice(&finding, units)));
        }
        notes.push(
            "Bar square to the front wheel; it turns both ways without pulling a cable tight."
                .to_owned(),
        );
        notes
    }

    fn posture(&self, lean_deg: f64, units: Units, notes: &mut Vec<String>) {
        let [low, high] = self.lean_band_deg;
        if self.is_easy {
            notes.push(format!(
                "Trunk {} above the horizontal with elbows bent {}: leave stem and spacers as they are.",
                degrees(lean_deg),
                degrees(ELBOW_DEG)
            ));
            return;
        }
        notes.push(format!(
            "Trunk {} above the horizontal, too {} (wanted {} to {}).",
            degrees(lean_deg),
            if lean_deg > f64::midpoint(low, high) {
                "upright"
            } else {
                "stretched"
            },
            degrees(low),
            degrees(high)
        ));
        match self.change {
            Some(Change {
                part: Part::SpacersOut(mm),
                lean_after_deg,
            }) => notes.push(format!(
                "Move {} of spacers from below the stem to above it: trunk {}.",
                units.tape(mm),
                degrees(lean_after_deg)
            )),
            Some(Change {
                part: Part::Stem { length_mm, now_mm },
                lean_after_deg,
            }) => notes.push(format!(
                "A stem of {length_mm:.0} mm, {} {}, would put the trunk at {}.",
                units.tape((length_mm - now_mm).abs()),
                if length_mm > now_mm {
                    "longer"
                } else {
                    "shorter"
                },
                degrees(lean_after_deg)
            )),
            None if self.sweep_mm.is_none() => {
                notes.push("No stem length cures it: a bar with another rise is needed.".to_owned())
            }
            None => {}
        }
        if let Some(rest) = self.sweep_mm {
            let (sweep, which_way) = if rest > 0.0 {
                ("less", "farther forward")
            } else {
                ("more", "closer")
            };
            notes.push(format!(
                "{}A bar with {sweep} sweep, grips {} {which_way}.",
                if self.change.is_some() {
                    "For the rest: "
                } else {
                    ""
                },
                units.tape(rest.abs()),
            ));
        }
    }
}
