//! How a check or a pair came out, as one of five signs: the same in every picture and on every screen.
//! Only which sign, and its word for whoever does not see it.
//! Its strokes are drawn where it is shown: `draw::sign` and `page::view`.

use crate::fit::finding::Status;
use crate::fit::verdict::Verdict;

/// How something came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// In order.
    Ok,
    /// In order once it is set.
    Set,
    /// Read this.
    Caution,
    /// Ruled out.
    Fail,
    /// Not known.
    Unknown,
}

impl Sign {
    /// Every sign.
    pub const ALL: [Self; 5] = [
        Self::Ok,
        Self::Set,
        Self::Caution,
        Self::Fail,
        Self::Unknown,
    ];

    /// Of a check.
    pub const fn of(status: Status) -> Self {
        match status {
            Status::Ok => Self::Ok,
            Status::Set => Self::Set,
            Status::Caution => Self::Caution,
            Status::Fail(_) => Self::Fail,
            Status::NotChecked(_) => Self::Unknown,
        }
    }

    /// Of a pair.
    pub const fn of_verdict(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Fits => Self::Ok,
            Verdict::Undecided | Verdict::Incomplete => Self::Unknown,
            Verdict::TooBig | Verdict::TooSmall | Verdict::Unsuitable => Self::Fail,
        }
    }

    /// In words, for whoever does not see it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unknown => "not known",
            other => other.class(),
        }
    }

    /// In one word, for a style sheet.
    pub const fn class(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::Set => "set",
            Self::Caution => "caution",
            Self::Fail => "fail",
            Self::Unknown => "unknown",
        }
    }
}
