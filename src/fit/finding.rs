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
    /// Inside it once a setting is made that every handover makes. Never lowers a verdict.
    Set,
    /// Can be ridden; read this.
    Caution,
    /// Ruled out.
    Fail(Misfit),
    /// What the check needs is not known. Never a silent pass.
    NotChecked(Missing),
}

/// A figure that a check cannot do without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Missing {
    /// What to measure, or to say in the file.
    pub what: &'static str,
    /// Whether no pair is called fitting without it.
    pub is_decisive: bool,
}

impl Status {
    /// The word for reports and contracts.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::Set => "set",
            Self::Caution => "caution",
            Self::Fail(_) => "fail",
            Self::NotChecked(_) => "not-checked",
        }
    }

    /// Whether it speaks against a pair that may be ridden: a caution, or a check that nobody could make and that
    /// may hide one.
    pub const fn counts_against(self) -> bool {
        matches!(self, Self::Caution | Self::NotChecked(_))
    }
}

/// Unit of a finding's numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Length.
    Millimetre,
    /// Length of a part that is stamped in millimetres everywhere.
    Stamped,
    /// Angle.
    Degree,
    /// Share.
    Percent,
    /// Mass.
    Kilogram,
    /// Number of things.
    Count,
}

impl Unit {
    /// A number above a limit for people: it never reads like the limit.
    pub fn show_over(self, value: f64, limit: f64, units: Units) -> String {
        let text = self.show(value, units);
        if text == self.show(limit, units) {
            format!("over {text}")
        } else {
            text
        }
    }

    /// A number of this unit for people.
    pub fn show(self, value: f64, units: Units) -> String {
        match self {
            Self::Millimetre => units.length(value),
            Self::Stamped => Units::Mm.length(value),
            Self::Degree => format!("{}°", crate::units::tidy(value, 0)),
            Self::Percent => format!("{} %", crate::units::tidy(value, 0)),
            Self::Kilogram => format!("{} kg", crate::units::tidy(value, 1)),
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

    /// A status without numbers.
    pub const fn bare(status: Status) -> Self {
        Self {
            value: None,
            low: None,
            high: None,
            status,
        }
    }

    /// Not checked, for want of a figure that decides nothing.
    pub const fn needs(what: &'static str) -> Self {
        Self::bare(Status::NotChecked(Missing {
            what,
            is_decisive: false,
        }))
    }

    /// Not checked, for want of a figure without which no pair is called fitting.
    pub const fn cannot_do_without(what: &'static str) -> Self {
        Self::bare(Status::NotChecked(Missing {
            what,
            is_decisive: true,
        }))
    }

    /// The value in words. One outside the wanted range never reads like its end.
    pub fn shown(&self, unit: Unit, units: Units) -> Option<String> {
        let text = unit.show(self.value?, units);
        Some(format!("{}{text}", self.beyond(unit, units)))
    }

    /// A length with its standard deviation, mm: `under 50 ± 8 mm`.
    pub fn length_within(&self, sd_mm: f64, units: Units) -> Option<String> {
        Some(format!(
            "{}{} ± {}",
            self.beyond(Unit::Millimetre, units),
            units.bare(self.value?),
            units.length(sd_mm)
        ))
    }

    /// What goes before a value outside the wanted range that would read like its end.
    fn beyond(&self, unit: Unit, units: Units) -> &'static str {
        let Some(value) = self.value else {
            return "";
        };
        let reads_like = |limit: f64| unit.show(limit, units) == unit.show(value, units);
        let is_under = |low: f64| !at_least(value, low) && reads_like(low);
        let is_over = |high: f64| !at_most(value, high) && reads_like(high);
        if self.low.is_some_and(is_under) {
            "under "
        } else if self.high.is_some_and(is_over) {
            "over "
        } else {
            ""
        }
    }

    /// The wanted range in words; None where there is none.
    pub fn wanted(&self, unit: Unit, units: Units) -> Option<String> {
        let show = |value| unit.show(value, units);
        match (self.low, self.high) {
            (Some(low), Some(high)) if unit == Unit::Millimetre => {
                Some(format!("{} to {}", units.bare(low), show(high)))
            }
            (Some(low), Some(high)) if unit == Unit::Stamped => {
                Some(format!("{} to {}", Units::Mm.bare(low), show(high)))
            }
            (Some(low), Some(high)) => Some(format!("{} to {}", show(low), show(high))),
            (Some(low), None) => Some(format!("at least {}", show(low))),
            (None, Some(high)) => Some(format!("at most {}", show(high))),
            (None, None) => None,
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
    /// Whether no pair is called fitting while what is not known of the bike leaves this check open.
    fn is_decisive(&self) -> bool {
        false
    }
    /// Whether it is about the rider's safety: its cautions count first when bikes are ordered, and that it could not
    /// be made is told wherever cautions are.
    fn is_safety(&self) -> bool {
        false
    }
    /// Where the rule comes from.
    fn sources(&self) -> Cited;
    /// The numbers; None when the rule has no meaning for this bike.
    fn measure(&self, pair: &Pair<'_>) -> Option<Measure>;
    /// The same numbers as they are told: without a figure that only the reckoning has.
    fn as_told(&self, _bike: &Bike, made: Measure) -> Measure {
        made
    }
    /// The same numbers with the range outside which a pair is ruled out, where that is wider than what is wanted.
    fn within_limits(&self, wanted: Measure) -> Measure {
        wanted
    }
    /// One plain sentence that names a part and an amount. Not called for [`Status::NotChecked`].
    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String;
    /// What would cure a caution, to stand behind that sentence: of use only on a bike that is not ruled out.
    fn cure(&self, _pair: &Pair<'_>, _measure: &Measure, _units: Units) -> Option<String> {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_outside_never_reads_like_the_end_of_its_range() {
        let degrees = |value: f64| {
            let measure = Measure::new(value, Some(50.0), Some(80.0), Status::Caution);
            measure.shown(Unit::Degree, Units::Mm).unwrap_or_default()
        };
        let told = [49.7, 50.0, 50.3, 79.7, 80.0, 80.3, 80.7].map(degrees);
        let wanted = ["under 50°", "50°", "50°", "80°", "80°", "over 80°", "81°"];
        assert_eq!(told, wanted);
        let air = Measure::new(49.8, Some(50.0), None, Status::Caution);
        for (units, told) in [
            (Units::Mm, "under 50 mm"),
            (Units::Cm, "under 5.0 cm"),
            (Units::In, "under 1 15/16 in"),
        ] {
            assert_eq!(air.shown(Unit::Millimetre, units).as_deref(), Some(told));
        }
    }
}
