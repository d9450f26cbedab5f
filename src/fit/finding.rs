//! What a check gives back: a measurement against its wanted range, and the words that go with it.
//! `Measure` is numbers only, so that thousands of them cost nothing; `Finding` is what people and JSON get.
//! The checks themselves are one file each in `checks`.

use serde::{Serialize, Serializer};

use crate::fit::confidence::CheckOdds;
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

impl Serialize for Status {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.word().replace(' ', "_"))
    }
}

/// Unit of a finding's numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Unit {
    /// Length.
    #[serde(rename = "mm")]
    Millimetre,
    /// Angle.
    #[serde(rename = "deg")]
    Degree,
    /// Share.
    #[serde(rename = "%")]
    Percent,
    /// Number of things.
    #[serde(rename = "count")]
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
    /// Its name: snake case, the same in JSON, text and picture.
    fn name(&self) -> &'static str;
    /// Unit of its numbers.
    fn unit(&self) -> Unit;
    /// Where the rule comes from.
    fn sources(&self) -> Cited;
    /// The numbers; None when the rule has no meaning for this bike.
    fn measure(&self, pair: &Pair<'_>) -> Option<Measure>;
    /// One plain sentence that names a part and an amount. Not called for [`Status::NotChecked`].
    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String;
}

/// What one check found about one pair.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Name of the check.
    pub check: &'static str,
    /// How it came out.
    pub status: Status,
    /// What was measured.
    pub value: Option<f64>,
    /// Unit of the numbers.
    pub unit: Unit,
    /// Wanted at least.
    pub low: Option<f64>,
    /// Wanted at most.
    pub high: Option<f64>,
    /// Distance to the nearer end of the wanted range, positive inside.
    pub margin: Option<f64>,
    /// Standard deviation of the value; None when exact figures were asked for.
    pub sd: Option<f64>,
    /// Chance that it stays on its side, passing or failing, 0 to 1; None when exact figures were asked for.
    pub chance: Option<f64>,
    /// One plain sentence.
    pub advice: String,
    /// Where the rule comes from.
    pub sources: Vec<&'static str>,
}

impl Finding {
    pub(crate) fn new(
        check: &dyn Check,
        pair: &Pair<'_>,
        measure: &Measure,
        odds: Option<CheckOdds>,
        units: Units,
    ) -> Self {
        let advice = match measure.status {
            Status::NotChecked(needs) => format!("not checked: needs {needs}"),
            _ => check.advise(pair, measure, units),
        };
        Self {
            check: check.name(),
            status: measure.status,
            value: measure.value,
            unit: check.unit(),
            low: measure.low,
            high: measure.high,
            margin: measure.margin(),
            sd: odds.and_then(|odds| odds.sd),
            chance: odds.map(|odds| odds.chance),
            advice,
            sources: check
                .sources()
                .iter()
                .map(crate::sources::Source::citation)
                .collect(),
        }
    }

    /// Its name in words.
    pub fn title(&self) -> String {
        self.check.replace('_', " ")
    }

    /// The wanted range in words.
    pub fn wanted(&self, units: Units) -> String {
        let show = |value| self.unit.show(value, units);
        match (self.low, self.high) {
            (Some(low), Some(high)) => format!("{} to {}", show(low), show(high)),
            (Some(low), None) => format!("at least {}", show(low)),
            (None, Some(high)) => format!("at most {}", show(high)),
            (None, None) => "-".to_owned(),
        }
    }
}
