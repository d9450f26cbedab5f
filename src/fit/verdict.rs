//! One word for the pair, never better than its worst finding.
//! How sure the word is lives in `confidence`.

use crate::fit::finding::{Measure, Misfit, Status};

/// The verdict on a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Verdict {
    /// Nothing worse than a caution.
    Ready,
    /// Settings on this bike cure what is wrong.
    SetUp,
    /// Too big for this rider.
    TooBig,
    /// Too small for this rider.
    TooSmall,
    /// Ruled out by something that is not a matter of size.
    Unsuitable,
}

impl Verdict {
    /// Every verdict, best first.
    pub const ALL: [Self; 5] = [
        Self::Ready,
        Self::SetUp,
        Self::TooBig,
        Self::TooSmall,
        Self::Unsuitable,
    ];

    /// The word for flags, reports and JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ready => "ready",
            Self::SetUp => "set-up",
            Self::TooBig => "too-big",
            Self::TooSmall => "too-small",
            Self::Unsuitable => "unsuitable",
        }
    }

    /// What it means, in a few words.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Ready => "fits as it stands, once the saddle is set",
            Self::SetUp => "fits once the settings are made",
            Self::TooBig => "too big for this rider today",
            Self::TooSmall => "too small for this rider",
            Self::Unsuitable => "ruled out, and not by size alone",
        }
    }

    /// Whether the rider can have this bike now.
    pub const fn fits(self) -> bool {
        matches!(self, Self::Ready | Self::SetUp)
    }

    /// From the checks' numbers.
    pub fn of<'a>(measures: impl IntoIterator<Item = &'a Measure>) -> Self {
        let (mut big, mut small, mut other, mut adjust) = (false, false, false, false);
        for measure in measures {
            match measure.status {
                Status::Fail(Misfit::TooBig) => big = true,
                Status::Fail(Misfit::TooSmall) => small = true,
                Status::Fail(Misfit::NotSize) => other = true,
                Status::Adjust => adjust = true,
                Status::Ok | Status::Caution | Status::NotChecked(_) => {}
            }
        }
        match (big, small) {
            (true, true) => Self::Unsuitable,
            (true, false) => Self::TooBig,
            (false, true) => Self::TooSmall,
            (false, false) if other => Self::Unsuitable,
            (false, false) if adjust => Self::SetUp,
            (false, false) => Self::Ready,
        }
    }
}

impl std::fmt::Display for Verdict {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

impl std::str::FromStr for Verdict {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        Self::ALL
            .into_iter()
            .find(|verdict| verdict.word() == text.trim())
            .ok_or_else(|| {
                let words: Vec<_> = Self::ALL.iter().map(|verdict| verdict.word()).collect();
                format!(
                    "found `{}`; allowed {}",
                    crate::units::clip(text),
                    words.join(", ")
                )
            })
    }
}
