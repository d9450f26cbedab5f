//! One word for the pair, about size and what law and maker ask: never better than its worst finding.
//! `Side` is what one set of numbers says; `Verdict` also weighs how sure that is.
//! How sure it is lives in `odds`.

use crate::fit::checks::{CheckId, Measures};
use crate::fit::finding::{Misfit, Status};
use crate::words::choice;

/// A verdict's side holds at least at this chance; below it the pair is undecided.
pub const DECIDED: f64 = 0.80;
/// Chance from which a verdict is called sure.
pub const SURE: f64 = 0.95;

choice! {
    /// What one set of the checks' numbers says, taken as exact.
    pub enum Side {
        /// Nothing rules the pair out.
        Fits = "fits",
        /// Too big.
        TooBig = "too-big",
        /// Too small.
        TooSmall = "too-small",
        /// Ruled out by something that is not size, or too big in one respect and too small in another.
        Unsuitable = "unsuitable",
    }
}

impl Side {
    /// From the checks' numbers.
    pub fn of(measures: &Measures) -> Self {
        match (
            fails(measures, Misfit::TooBig),
            fails(measures, Misfit::TooSmall),
        ) {
            _ if fails(measures, Misfit::NotSize) => Self::Unsuitable,
            (true, true) => Self::Unsuitable,
            (true, false) => Self::TooBig,
            (false, true) => Self::TooSmall,
            (false, false) => Self::Fits,
        }
    }
}

fn fails(measures: &Measures, misfit: Misfit) -> bool {
    measures
        .iter()
        .flatten()
        .any(|measure| measure.status == Status::Fail(misfit))
}

/// Decisive checks that could not be made: without them no pair is called fitting.
pub fn undone(measures: &Measures) -> impl Iterator<Item = (CheckId, &'static str)> {
    CheckId::ALL
        .into_iter()
        .filter_map(|id| match measures[id as usize]?.status {
            Status::NotChecked(missing) if missing.is_decisive => Some((id, missing.what)),
            _ => None,
        })
}

choice! {
    /// The verdict on a pair: about size only, never about the state of brakes or bolts.
    pub enum Verdict {
        /// Fits, once the settings of every handover are made.
        Fits = "fits",
        /// Too close to call.
        Undecided = "undecided",
        /// A decisive check could not be made.
        Incomplete = "incomplete",
        /// Too big for this rider.
        TooBig = "too-big",
        /// Too small for this rider.
        TooSmall = "too-small",
        /// Ruled out by something that is not a matter of size.
        Unsuitable = "unsuitable",
    }
}

impl Verdict {
    /// From the checks' numbers and the chance that their side holds; None where figures are taken as exact.
    pub fn of(measures: &Measures, chance: Option<f64>) -> Self {
        let is_decided = chance.is_none_or(|chance| chance >= DECIDED);
        // What is not a matter of size rules out whatever the body turns out to be.
        let is_out = fails(measures, Misfit::NotSize);
        match Side::of(measures) {
            Side::Unsuitable if is_decided || is_out => Self::Unsuitable,
            Side::TooBig if is_decided => Self::TooBig,
            Side::TooSmall if is_decided => Self::TooSmall,
            _ if undone(measures).next().is_some() => Self::Incomplete,
            _ if !is_decided => Self::Undecided,
            _ => Self::Fits,
        }
    }

    /// What it means, in a few words of a parent.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Fits => "the right size today",
            Self::Undecided => "too close to call with these figures",
            Self::Incomplete => "not enough is known to say",
            Self::TooBig => "too big today",
            Self::TooSmall => "not large enough",
            Self::Unsuitable => "not for this rider, whatever the size",
        }
    }

    /// What is said of it beside a bike that fits, to stand behind the bike's name.
    pub const fn beside(self) -> &'static str {
        match self {
            Self::Fits => "does, too",
            Self::Undecided | Self::Incomplete => "is open",
            Self::TooBig | Self::TooSmall | Self::Unsuitable => "does not",
        }
    }

    /// Whether the rider can have this bike now.
    pub const fn fits(self) -> bool {
        matches!(self, Self::Fits)
    }

    /// Whether it rules the bike out.
    pub const fn rules_out(self) -> bool {
        matches!(self, Self::TooBig | Self::TooSmall | Self::Unsuitable)
    }
}
