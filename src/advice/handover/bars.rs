//! Bar and reach: how the rider sits now, and the spacer, stem or bar change that would help, if any.
//! Whether the reach is comfortable is decided by `fit::checks::reach`; this tries changes against it.

use serde::Serialize;

use crate::advice::handover::sentence;
use crate::fit::checks::reach::{grip_move_mm, is_easy};
use crate::fit::pair::{ELBOW_DEG, elbow_flexion, trunk};
use crate::fit::{Finding, Pair, Status};
use crate::plane::{Point, Unreachable, Vector, direction};
use crate::units::{Units, tidy};

/// Steps in which stems and spacers are sold, mm (common practice).
const STEP_MM: f64 = 5.0;
/// Shortest and longest stem sold for children's bikes, mm (common practice).
const STEM_MM: [f64; 2] = [25.0, 120.0];

/// How the rider reaches the bar, and what would help.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bars {
    /// Trunk above the horizontal with an easy elbow; None when the grips are out of reach.
    pub torso_lean_deg: Option<f64>,
    /// Elbow bend when leaning as the stage wants; None when the grips are out of reach.
    pub elbow_flexion_deg: Option<f64>,
    /// Wanted trunk angles.
    pub lean_low_deg: f64,
    /// See `lean_low_deg`.
    pub lean_high_deg: f64,
    /// Spacers to take from below the stem, mm; None when that is not the cure.
    pub spacers_out_mm: Option<f64>,
    /// Stem that would help, mm; None when no other stem is needed.
    pub stem_mm: Option<f64>,
    /// Trunk after that change.
    pub lean_after_deg: Option<f64>,
    /// Sentences for the person with the keys.
    pub notes: Vec<String>,
}

pub(super) fn bars(pair: &Pair<'_>, bar_height: Option<&Finding>, units: Units) -> Bars {
    let [low, high] = pair.lean_band_deg();
    let grip = pair.bike.points.grip;
    let elbow = elbow_flexion(pair.shoulder_at_target(), grip, pair.body);
    let mut bars = Bars {
        torso_lean_deg: pair.trunk.ok().map(|trunk| trunk.lean.to_degrees()),
        elbow_flexion_deg: elbow.ok().map(f64::to_degrees),
        lean_low_deg: low,
        lean_high_deg: high,
        spacers_out_mm: None,
        stem_mm: None,
        lean_after_deg: None,
        notes: Vec::new(),
    };
    match pair.trunk {
        Err(Unreachable::TooFar { need, have }) => bars.notes.push(format!(
            "The grips are {} beyond the arms: no stem cures that, choose a shorter bike.",
            units.tape(need - have)
        )),
        Err(Unreachable::TooClose { .. }) => bars
            .notes
            .push("The grips are too close to hold: choose a longer bike.".to_owned()),
        Ok(trunk) => {
            let lean = trunk.lean.to_degrees();
            if is_easy(pair, &trunk) {
                bars.notes.push(format!(
                    "Trunk {} above the horizontal with elbows bent {}: leave stem and spacers as they are.",
                    degrees(lean),
                    degrees(ELBOW_DEG)
                ));
            } else {
                let posture = if lean > f64::midpoint(low, high) {
                    "too upright"
                } else {
                    "too stretched"
                };
                bars.notes.push(format!(
                    "Trunk {} above the horizontal, {posture} (wanted {} to {}).",
                    degrees(lean),
                    degrees(low),
                    degrees(high)
                ));
                find_change(pair, &mut bars, units);
            }
        }
    }
    if let Some(finding) = bar_height.filter(|finding| finding.status == Status::Adjust) {
        bars.notes.push(sentence(&finding.advice));
    }
    bars.notes.push(
        "Bar square to the front wheel; it turns both ways without pulling a cable tight."
            .to_owned(),
    );
    bars
}

fn degrees(value: f64) -> String {
    format!("{}°", tidy(value, 0))
}

/// The cheapest change that makes the reach easy: spacers first, then a stem, then another bar.
fn find_change(pair: &Pair<'_>, bars: &mut Bars, units: Units) {
    let cockpit = &pair.bike.spec.cockpit;
    let grip = pair.bike.points.grip;
    let trunk_at = |grip: Point| trunk(pair.hip, grip, pair.body, ELBOW_DEG.to_radians()).ok();
    let head_angle = pair.bike.spec.frame.head_tube.angle.deg().to_radians();
    let steering_down = direction(-head_angle);

    let mut out_mm = STEP_MM;
    while out_mm <= cockpit.spacers.mm() {
        if let Some(after) = trunk_at(grip + steering_down * out_mm)
            && is_easy(pair, &after)
        {
            bars.spacers_out_mm = Some(out_mm);
            bars.lean_after_deg = Some(after.lean.to_degrees());
            bars.notes.push(format!(
                "Move {} of spacers from below the stem to above it: trunk {}.",
                units.tape(out_mm),
                degrees(after.lean.to_degrees())
            ));
            return;
        }
        out_mm += STEP_MM;
    }

    let Some(forward) = grip_move_mm(pair) else {
        bars.notes
            .push("No stem length cures it: a bar with another rise is needed.".to_owned());
        return;
    };
    // The stem points along the forward perpendicular of the steering axis, turned up by its own angle.
    let stem_direction: Vector =
        direction(std::f64::consts::FRAC_PI_2 - head_angle + cockpit.stem.angle.deg().to_radians());
    let now = cockpit.stem.length.mm();
    let wanted = now + forward / stem_direction.x;
    let stem = ((wanted / STEP_MM).round() * STEP_MM).clamp(STEM_MM[0], STEM_MM[1]);
    let helps = (stem - now).abs() >= STEP_MM && (stem - now) * forward > 0.0;
    let after = trunk_at(grip + stem_direction * (stem - now)).filter(|_| helps);
    if let Some(after) = after {
        bars.stem_mm = Some(stem);
        bars.lean_after_deg = Some(after.lean.to_degrees());
        let word = if stem > now { "longer" } else { "shorter" };
        bars.notes.push(format!(
            "A stem of {stem:.0} mm, {} {word}, would put the trunk at {}.",
            units.tape((stem - now).abs()),
            degrees(after.lean.to_degrees())
        ));
        if is_easy(pair, &after) {
            return;
        }
    }
    let moved = if after.is_some() {
        (stem - now) * stem_direction.x
    } else {
        0.0
    };
    let rest = forward - moved;
    let sweep = if rest > 0.0 { "less" } else { "more" };
    bars.notes.push(format!(
        "{}A bar with {sweep} sweep, grips {} {}.",
        if after.is_some() {
            "For the rest: "
        } else {
            ""
        },
        units.tape(rest.abs()),
        if rest > 0.0 {
            "farther forward"
        } else {
            "closer"
        }
    ));
}
