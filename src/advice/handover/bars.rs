//! Bar and reach at the handover: the posture that `fit::posture` finds, the parts that would cure it, the last checks.
//! Nothing is judged here: `checks::reach` and `checks::bar_height` say what they say everywhere.

use crate::advice::handover::kit::Kit;
use crate::fit::checks::CheckId;
use crate::fit::posture::{Cure, Posture};
use crate::fit::{Fit, Status};
use crate::units::Units;
use crate::words::sentence;

/// How the rider reaches the bar, and what would help.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bars {
    /// How the rider sits.
    pub posture: Posture,
    /// Trunk above the horizontal with an easy elbow, degrees; None when the grips are out of reach.
    pub torso_lean_deg: Option<f64>,
    /// Wanted trunk angles, degrees.
    pub lean_band_deg: [f64; 2],
    /// Parts that would make it easy; None where it is easy already or only another bike helps.
    pub cure: Option<Cure>,
    /// Trunk after that change, degrees.
    pub lean_after_deg: Option<f64>,
}

pub(super) fn bars(fit: &Fit) -> Bars {
    let pair = fit.pair();
    let cure = pair.cure();
    Bars {
        posture: pair.posture(),
        torso_lean_deg: pair.torso_lean_deg(),
        lean_band_deg: pair.lean_band_deg(),
        lean_after_deg: cure.and_then(|cure| pair.lean_after_deg(&cure)),
        cure,
    }
}

impl Bars {
    /// Sentences for the person with the keys.
    pub fn notes(&self, fit: &Fit, units: Units) -> Vec<String> {
        let mut notes: Vec<_> = fit
            .finding(CheckId::Reach)
            .map(|finding| sentence(&fit.advice(&finding, units)))
            .into_iter()
            .collect();
        notes.extend(
            fit.finding(CheckId::BarHeight)
                .filter(|finding| finding.status() == Status::Caution)
                .map(|finding| sentence(&fit.advice(&finding, units))),
        );
        notes.push(format!(
            "Bar square to the front wheel; it {}.",
            Kit::of(&fit.bike).bar_turns()
        ));
        notes
    }
}
