//! How the rider sits between saddle and bar, and which parts would make it easier: one answer for every place
//! that speaks of it. Only parts that such bikes carry are tried, and only what really centres the trunk is named.
//! Whether the posture rules a bike out is `checks::reach`.

use crate::bike::Style;
use crate::fit::finding::{at_least, at_most};
use crate::fit::pair::{ELBOW_DEG, Pair, Trunk, trunk};
use crate::plane::{Unreachable, Vector, span};
use crate::rider::Stage;
use crate::units::{Length, Units};

/// Largest angle between upper arm and trunk, degrees: cycling-school rule for children (90) with slack.
const UPPER_ARM_DEG: f64 = 95.0;
/// Steps in which stems and spacers are sold, mm (common practice).
const STEP_MM: f64 = 5.0;
/// Most that another bar moves the grips, mm either way (common practice).
const SWEEP_MM: f64 = 20.0;

/// How the rider sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Posture {
    /// Inside the stage's band.
    Easy,
    /// Trunk too upright: the grips are too close or too high.
    Upright,
    /// Trunk too low, or arms lifted too far: the grips are too far.
    Stretched,
    /// The grips are beyond the arms.
    OutOfReach,
    /// The grips are too close to hold.
    TooClose,
}

/// Parts to change, mm; every field zero where the part stays.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cure {
    /// Spacers to move from below the stem to above it.
    pub spacers_above_mm: f64,
    /// Another stem: how much longer, negative shorter.
    pub stem_mm: f64,
    /// Another bar: how far its grips lie ahead of the present ones, negative behind.
    pub sweep_mm: f64,
    /// Saddle to slide back on its rails, negative forward.
    pub saddle_back_mm: f64,
}

/// Lengths of stems that such bikes carry, mm (common practice).
const fn stems_mm(style: Style) -> [f64; 2] {
    match style {
        Style::Trail => [30.0, 60.0],
        Style::Street | Style::Balance => [30.0, 90.0],
    }
}

impl Pair<'_> {
    /// Wanted angle of the trunk above the horizontal, degrees.
    pub fn lean_band_deg(&self) -> [f64; 2] {
        match (self.pose.stage, self.bike.spec.style) {
            (Stage::Learning, _) if self.bike.is_balance() => [60.0, 95.0],
            (Stage::Learning, _) => [60.0, 90.0],
            (Stage::Steady, _) => [50.0, 80.0],
            (Stage::Confident, Style::Trail) => [45.0, 70.0],
            (Stage::Confident, Style::Street | Style::Balance) => [50.0, 75.0],
        }
    }

    /// How the rider sits.
    pub fn posture(&self) -> Posture {
        match &self.pose.trunk {
            Err(Unreachable::TooFar { .. }) => Posture::OutOfReach,
            Err(Unreachable::TooClose { .. }) => Posture::TooClose,
            Ok(trunk) => self.posture_of(trunk),
        }
    }

    fn posture_of(&self, trunk: &Trunk) -> Posture {
        let [low, high] = self.lean_band_deg();
        let lean = trunk.lean.to_degrees();
        if !at_most(lean, high) {
            Posture::Upright
        } else if at_least(lean, low)
            && at_most(trunk.upper_arm_to_trunk.to_degrees(), UPPER_ARM_DEG)
        {
            Posture::Easy
        } else {
            Posture::Stretched
        }
    }

    /// How far the grips would have to move forward, mm, negative back, for the middle of the lean band.
    /// None when no level move does it.
    pub fn grip_move_mm(&self) -> Option<f64> {
        let [low, high] = self.lean_band_deg();
        let lean = f64::midpoint(low, high).to_radians();
        let shoulder = self.pose.hip + Vector::new(lean.cos(), lean.sin()) * self.body.torso_mm;
        let arm = span(
            self.body.upper_arm_mm,
            self.body.forearm_mm,
            ELBOW_DEG.to_radians(),
        );
        let grip = self.layout.points.grip;
        let down = shoulder.y - grip.y;
        let ahead = (arm * arm - down * down).max(0.0).sqrt();
        (down.abs() <= arm).then_some(shoulder.x + ahead - grip.x)
    }

    /// The trunk after a change of parts; None where the rider could not hold it.
    fn trunk_after(&self, cure: &Cure) -> Option<Trunk> {
        let steering = &self.layout.steering;
        let moved = steering.down * cure.spacers_above_mm
            + steering.stem * cure.stem_mm
            + Vector::new(cure.sweep_mm, 0.0);
        let hip = self.pose.hip - Vector::new(cure.saddle_back_mm, 0.0);
        trunk(
            hip,
            self.layout.points.grip + moved,
            self.body,
            ELBOW_DEG.to_radians(),
        )
        .ok()
    }

    /// Angle of the trunk after a change of parts, degrees.
    pub fn lean_after_deg(&self, cure: &Cure) -> Option<f64> {
        Some(self.trunk_after(cure)?.lean.to_degrees())
    }

    /// The least change of parts that makes the posture easy: spacers, then a stem, then another bar, the
    /// saddle's rails last. None where it is easy already, or where only another bike helps.
    pub fn cure(&self) -> Option<Cure> {
        let direction = match self.posture() {
            Posture::Upright => 1.0,
            Posture::Stretched => -1.0,
            Posture::Easy | Posture::OutOfReach | Posture::TooClose => return None,
        };
        let is_easy = |cure: &Cure| {
            self.trunk_after(cure)
                .is_some_and(|trunk| self.posture_of(&trunk) == Posture::Easy)
        };
        let steps = |most: f64| {
            let mut at = 0.0;
            std::iter::from_fn(move || {
                let now = at;
                at += STEP_MM;
                at_most(now, most).then_some(now)
            })
        };
        // Lower grips only help a trunk that is too upright.
        let spacers = if direction > 0.0 {
            self.bike.spacers_mm()
        } else {
            0.0
        };
        let now = self.bike.drawing.stem_length_mm;
        let [shortest, longest] = stems_mm(self.bike.spec.style);
        let stem = if direction > 0.0 {
            (longest - now).max(0.0)
        } else {
            (now - shortest).max(0.0)
        };
        let rails = self.bike.spec.saddle.fore_aft.map_or(0.0, Length::mm);
        for saddle in steps(rails) {
            for sweep in steps(SWEEP_MM) {
                for stem in steps(stem) {
                    for spacers in steps(spacers) {
                        let cure = Cure {
                            spacers_above_mm: spacers,
                            stem_mm: direction * stem,
                            sweep_mm: direction * sweep,
                            saddle_back_mm: direction * saddle,
                        };
                        if is_easy(&cure) {
                            return Some(cure);
                        }
                    }
                }
            }
        }
        None
    }
}

impl Cure {
    /// The parts in words: `a stem 10 mm longer and a bar whose grips lie 5 mm farther forward`.
    /// Without a present stem, one that nobody gave, only by how much another has to differ.
    pub fn words(&self, stem_now_mm: Option<f64>, units: Units) -> String {
        let which = |mm: f64, more: &'static str, less: &'static str| {
            if mm > 0.0 { more } else { less }
        };
        let mut parts = Vec::new();
        if self.spacers_above_mm != 0.0 {
            parts.push(format!(
                "{} of spacers moved from below the stem to above it",
                units.length(self.spacers_above_mm)
            ));
        }
        if self.stem_mm != 0.0 {
            let other = format!(
                "{} {}",
                units.length(self.stem_mm.abs()),
                which(self.stem_mm, "longer", "shorter")
            );
            parts.push(match stem_now_mm {
                // Stems are stamped in millimetres everywhere.
                Some(now) => format!("a stem of {:.0} mm, {other}", now + self.stem_mm),
                None => format!("a stem {other}"),
            });
        }
        if self.sweep_mm != 0.0 {
            parts.push(format!(
                "a bar whose grips lie {} {}",
                units.length(self.sweep_mm.abs()),
                which(self.sweep_mm, "farther forward", "farther back")
            ));
        }
        if self.saddle_back_mm != 0.0 {
            parts.push(format!(
                "the saddle {} {} on its rails",
                units.length(self.saddle_back_mm.abs()),
                which(self.saddle_back_mm, "back", "forward")
            ));
        }
        parts.join(" and ")
    }
}
