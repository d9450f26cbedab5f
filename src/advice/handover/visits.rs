//! When to come back: bolts after the first rides, the saddle's raises, the next measuring, the end of the fit.
//! Days here; people are told months, since no forecast knows the day.
//! How a child grows is `fit::forecast`.

use jiff::ToSpan as _;
use jiff::civil::Date;

use crate::fit::Fit;
use crate::fit::forecast::{Note, Percentiles, Raise, date_after};
use crate::rider::growth::NoForecast;

/// Time until a growing rider is measured again, months (common practice).
const NEXT_MEASURING_MONTHS: i64 = 3;

/// The first check after handover, weeks (common practice).
pub const FIRST_CHECK_WEEKS: [i64; 2] = [2, 4];

/// The same in words: `2 to 4 weeks`.
pub fn first_check_weeks() -> String {
    let [from, to] = FIRST_CHECK_WEEKS;
    format!("{from} to {to} weeks")
}

/// When to come back.
#[derive(Debug, Clone, PartialEq)]
pub struct Visits {
    /// Bolts and cables after the first rides: earliest and latest day.
    pub first_check: [Date; 2],
    /// Saddle heights to come, each with its month; empty where no growth is known.
    pub raises: Vec<Raise>,
    /// When the rider is measured again, counted from the measuring, but never before the handover; None once growing
    /// is over.
    pub next_measuring: Option<Date>,
    /// The day of the measuring.
    pub measured_on: Date,
    /// From when on the post is at its mark and the saddle goes no higher; None where that is not foreseen or unknown.
    pub post_at_mark: Option<Date>,
    /// When the bike is outgrown: early, expected, late. None beyond the horizon or unknown.
    pub last_day: [Option<Date>; 3],
}

pub(super) fn visits(fit: &Fit, on: Date) -> Visits {
    let growth = fit.growth();
    let raises: Vec<_> = growth
        .into_iter()
        .flat_map(|growth| &growth.schedule)
        .filter(|raise| raise.date > on)
        .map(|raise| raise.told(&fit.bike))
        .collect();
    let notes = growth.into_iter().flat_map(|growth| &growth.notes);
    let post_at_mark = notes.filter_map(|note| match note {
        Note::PostAtMark(day) => Some(day.unwrap_or(on)),
        _ => None,
    });
    let post_at_mark = post_at_mark.min();
    let is_grown = matches!(fit.growth, Some(Err(NoForecast::FullyGrown(_))));
    let last = growth.map_or_else(Percentiles::default, |growth| growth.last_month);
    let measured_on = fit.rider.measured_on;
    Visits {
        first_check: FIRST_CHECK_WEEKS.map(|weeks| on.saturating_add(weeks.weeks())),
        next_measuring: (!is_grown).then(|| {
            let again = measured_on.saturating_add(NEXT_MEASURING_MONTHS.months());
            again.max(on)
        }),
        measured_on,
        post_at_mark,
        last_day: [last.p10, last.p50, last.p90]
            .map(|months| months.map(|months| date_after(on, months))),
        raises,
    }
}

/// A month for people: `March 2026`.
pub fn month(day: Date) -> String {
    day.strftime("%B %Y").to_string()
}
