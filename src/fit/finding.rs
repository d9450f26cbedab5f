//! What a check gives back: a measurement against its wanted range, and the words that go with it.
//! `Measure` is numbers only, so that thousands of them cost nothing; the words are made when somebody asks.
//! The checks themselves are one file each in `checks`.

use crate::bike::Bike;
use crate::fit::pair::Pair;
use crate::sources::Cited;
use crate::units::Units;

/// Slack for a measured value against its limit: far below a tape's reading, above rounding of the geometry.
const ROUNDING: f64 = 1e-6;

/// Whether `value` reaches `limit`; the limit itself does.
pub fn at_least(value: f64, limit: f64) -> bool {
    value >= limit - ROUNDING
}

/// Whether `value` stays within `limit`; the limit itself does.
pub fn at_most(value: f64, limit: f64) -> bool {
    value <= limit + ROUNDING
}

/// In what sense a failed check rules the pair out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Misfit {
    /// The bike is too big for the rider.
    TooBig,
    /// The bike is too small for the rider.
    TooSmall,
    /// Not a matter of size.
    NotSize,
}

/// How a check came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// Inside the wanted range.
    Ok,
    /// Close to a limit, or outside a range that is a preference.
    Caution,
    /// A setting on this bike cures it.
    Adjust,
    /// Ruled out.
    Fail(Misfit),
    /// The file or the rider leaves out what the check needs: the missing key.
    NotChecked(&'static str),
}

impl Status {
    /// The word for reports and JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::Caution => "caution",
            Self::Adjust => "adjust",
            Self::Fail(_) => "fail",
            Self::NotChecked(_) => "not checked",
        }
    }

    /// The worse of two; a failure of size counts before one that is not.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        if other.weight() > self.weight() {
            other
        } else {
            self
        }
    }

    const fn weight(self) -> u8 {
        match self {
            Self::NotChecked(_) => 0,
            Self::Ok => 1,
            Self::Caution => 2,
            Self::Adjust => 3,
            Self::Fail(Misfit::NotSize) => 4,
            Self::Fail(Misfit::TooSmall | Misfit::TooBig) => 5,
        }
    }
}

/// Unit of a finding's numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Length.
    Millimetre,
    /// Angle.
    Degree,
    /// Share.
    Percent,
    /// Number of things.
    Count,
}

impl Unit {
    /// A number of this unit for people.
    pub fn show(self, value: f64, units: Units) -> String {
        match self {
            Self::Millimetre => units.length(value),
            Self::Degree => format!("{}°", crate::units::tidy(value, 0)),
            Self::Percent => format!("{} %", crate::units::tidy(value, 0)),
            Self::Count => crate::units::tidy(value, 0),
        }
    }
}

/// A check's numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// What was measured, in the check's unit.
    pub value: Option<f64>,
    /// Wanted at least.
    pub low: Option<f64>,
    /// Wanted at most.
    pub high: Option<f64>,
    /// How it came out.
    pub status: Status,
}

impl Measure {
    /// A value in a range.
    pub const fn new(value: f64, low: Option<f64>, high: Option<f64>, status: Status) -> Self {
        Self {
            value: Some(value),
            low,
            high,
            status,
        }
    }

    /// Not checked, for want of a key.
    pub const fn needs(key: &'static str) -> Self {
        Self {
            value: None,
            low: None,
            high: None,
            status: Status::NotChecked(key),
        }
    }

    /// Distance to the nearer end of the wanted range, positive inside.
    pub fn margin(&self) -> Option<f64> {
        let value = self.value?;
        let below = self.low.map(|low| value - low);
        let above = self.high.map(|high| high - value);
        match (below, above) {
            (Some(below), Some(above)) => Some(below.min(above)),
            (one, other) => one.or(other),
        }
    }
}

/// One rule about a body on a bike.
pub trait Check: Sync {
    /// Unit of its numbers on this bike.
    fn unit(&self, bike: &Bike) -> Unit;
    /// Where the rule comes from.
    fn sources(&self) -> Cited;
    /// The numbers; None when the rule has no meaning for this bike.
    fn measure(&self, pair: &Pair<'_>) -> Option<Measure>;
    /// One plain sentence that names a part and an amount. Not called for [`Status::NotChecked`].
    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String;
}
