//! What is due, for the bikes that were handed out: posts past their mark, bolts and cables after the first rides,
//! raises of the saddle, the end of a bike's time, and measurements that have grown old. One visit a thing and day, in order.
//! What a record says is `record`, where a month stands for its first day here; how visits are told is `report`'s business.

use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::Span;
use jiff::civil::Date;

use crate::advice::handover::visits::first_check_weeks;
use crate::record::{Filed, Month, PastMark, STILL_TO_COME};
use crate::units::Units;
use crate::words::choice;

/// What is done after the first rides, on any bike: which parts it has no record says.
const ONCE_MORE: &str = "tighten bolts, take up cables where there are any";

choice! {
    /// What is to be done.
    pub enum What {
        /// Lower the saddle until the post's mark is hidden.
        LowerSaddle = "lower-saddle",
        /// Tighten bolts, take up cables.
        BoltsAndCables = "bolts-and-cables",
        /// Raise the saddle.
        RaiseSaddle = "raise-saddle",
        /// See whether the bike still fits.
        CheckSize = "check-size",
        /// Look for the next bike.
        Outgrown = "outgrown",
        /// Measure the child again.
        Measure = "measure",
    }
}

/// Why, and what to do, in figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Why {
    /// The saddle is set past the mark of its post.
    PastMark(PastMark),
    /// After the first rides, by this day at the latest.
    FirstRides {
        /// The last day.
        latest: Date,
        /// A day still to come on which the record says that it was made.
        done: Option<Date>,
    },
    /// The child has grown.
    Grown {
        /// What to set, mm from the bottom bracket; from the ground where the record has no saddle height.
        saddle_height_mm: f64,
        /// Whether it is from the ground.
        is_seat_height: bool,
    },
    /// One child of ten has outgrown the bike by now.
    MayBeOutgrown {
        /// A day still to come on which the record says that the size was looked at.
        done: Option<Date>,
        /// As likely as not by this month.
        expected: Option<Month>,
    },
    /// As likely as not outgrown by this month.
    Outgrown {
        /// The month; it may lie back.
        expected: Month,
    },
    /// The child is to be measured again.
    Stale {
        /// The day of the measuring.
        measured_on: Option<Date>,
        /// The month for it; it may lie back.
        since: Month,
    },
}

impl Why {
    /// What to raise the saddle to, mm: the saddle height and the seat height, of which a record has one.
    pub fn raised_to_mm(&self) -> [Option<f64>; 2] {
        match *self {
            Self::Grown {
                saddle_height_mm,
                is_seat_height: true,
            } => [None, Some(saddle_height_mm)],
            Self::Grown {
                saddle_height_mm, ..
            } => [Some(saddle_height_mm), None],
            _ => [None; 2],
        }
    }

    /// One plain sentence without an end.
    pub fn words(&self, day: Date, units: Units) -> String {
        match self {
            Self::PastMark(past) => past.words(units),
            Self::FirstRides {
                done: Some(done), ..
            } => format!(
                "the check after the first rides is entered as done on {done}, {STILL_TO_COME}: correct the record"
            ),
            Self::FirstRides { latest, .. } if *latest < day => format!(
                "the check after the first rides was due by {latest}, and the record does not say that it was made: {ONCE_MORE}, and enter the day in the record, under first_check as done"
            ),
            Self::FirstRides { latest, .. } => format!(
                "after the first rides {ONCE_MORE}, by {latest} at the latest (common practice, {})",
                first_check_weeks()
            ),
            Self::Grown {
                saddle_height_mm,
                is_seat_height,
            } => format!(
                "the rider is expected to want {} from the {} to the saddle top: measure, and keep the minimum-insertion mark hidden",
                units.length(*saddle_height_mm),
                if *is_seat_height {
                    "ground"
                } else {
                    "bottom bracket"
                }
            ),
            Self::MayBeOutgrown {
                done: Some(done), ..
            } => format!(
                "the look at the size is entered as done on {done}, {STILL_TO_COME}: correct the record"
            ),
            Self::MayBeOutgrown { expected, .. } => {
                let expected = expected.map_or_else(
                    || "not foreseen on average".to_owned(),
                    |expected| format!("about {expected} on average"),
                );
                format!(
                    "one child of ten has outgrown this bike by now ({expected}): try the fit, and enter the day in the record, under last_month as done"
                )
            }
            Self::Outgrown { expected } if *expected < Month::of(day) => {
                format!(
                    "expected to be outgrown since {expected}: try the fit, look for the next bike"
                )
            }
            Self::Outgrown { .. } => {
                "expected to be outgrown about now: try the fit, look for the next bike".to_owned()
            }
            Self::Stale { measured_on, since } => {
                let measured = measured_on.map_or_else(
                    || "the measurements".to_owned(),
                    |measured| format!("the measurements of {measured}"),
                );
                if *since < Month::of(day) {
                    format!("{measured} were to be taken again in {since}: measure")
                } else {
                    format!("{measured} are to be taken again in {since}")
                }
            }
        }
    }
}

/// One thing to do on one day.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// The day; the first of several where more will do.
    pub date: Date,
    /// The handover that it follows from.
    pub record: Arc<Filed>,
    /// What.
    pub what: What,
    /// Why.
    pub why: Why,
}

/// From which day to which.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Days {
    /// Today: records of later days cannot be.
    pub on: Date,
    /// First day.
    pub since: Date,
    /// Last day.
    pub until: Date,
}

impl Days {
    /// From the first day on, today where none is given, as far ahead of it as asked; of a first day that lies back, as
    /// far ahead of today.
    pub fn new(on: Date, since: Option<Date>, within: Span) -> Self {
        let since = since.unwrap_or(on);
        Self {
            on,
            since,
            until: since.max(on).saturating_add(within),
        }
    }
}

/// What is due.
#[derive(Debug, Clone, PartialEq)]
pub struct Due {
    /// The days looked at.
    pub days: Days,
    /// How many records there were.
    pub records: usize,
    /// Every visit, by day, then by child and bike.
    pub visits: Vec<Visit>,
    /// Records of days to come, which are left out.
    pub from_the_future: Vec<Arc<Filed>>,
    /// Records that say nothing of raises and the end of the bike's time, though the child still has it and nothing says
    /// when it comes back.
    pub without_forecast: Vec<Arc<Filed>>,
    /// Records whose saddle is set above every raise that they plan, so that none of them is due.
    pub set_above_raises: Vec<Arc<Filed>>,
    /// Records of numbered bikes that more children than one have, by bike.
    pub twice_out: Vec<Arc<Filed>>,
    /// Unlike records of one day for one child and bike: nobody knows which holds, and what follows from either is due.
    pub of_one_day: Vec<Arc<Filed>>,
    /// Records of which two figures cannot both be set, or that plan a raise past the post's mark, which is never told.
    pub at_odds: Vec<Arc<Filed>>,
    /// Records that were given more than once, each of which counts once.
    pub copies: Vec<Arc<Filed>>,
}

/// What follows from the records. Of several records of one child on one bike those of the newest day count; a record of a
/// numbered bike that names no child is over with the next one. What was missed before the first day is told on it where
/// it still holds: the first check, the last raise, the look at the size, a bike outgrown, measurements too old. A bike
/// that is outgrown wants no raise any more.
pub fn due(records: &[Arc<Filed>], days: Days) -> Due {
    let (known, from_the_future): (Vec<_>, Vec<_>) = records
        .iter()
        .cloned()
        .partition(|record| record.date <= days.on);
    let (known, copies) = without_copies(known);
    let mut newest: BTreeMap<_, Vec<Arc<Filed>>> = BTreeMap::new();
    for (place, record) in known.into_iter().enumerate() {
        let name = record.rider.name().map(str::to_owned);
        let whose = (
            // Nobody knows whether two children without a name are one.
            name.is_none().then_some(place),
            name,
            record.bike.clone(),
            record.numbered().map(|(number, _)| number),
        );
        let others = newest.entry(whose).or_default();
        match others.first().map(|other| other.date.cmp(&record.date)) {
            Some(Ordering::Greater) => {}
            Some(Ordering::Equal) => others.push(record),
            Some(Ordering::Less) | None => *others = vec![record],
        }
    }
    let mut groups: Vec<Vec<Arc<Filed>>> = newest.into_values().collect();
    // Of two records of one numbered bike, an older one that names nobody is done with as well.
    let mut latest: BTreeMap<_, Date> = BTreeMap::new();
    for record in groups.iter().flatten() {
        let day = latest.entry(record.numbered()).or_insert(record.date);
        *day = record.date.max(*day);
    }
    groups.retain(|group| {
        let is_latest = |record: &Arc<Filed>| {
            let latest = latest.get(&record.numbered());
            latest.is_none_or(|day| *day == record.date)
        };
        let is_kept = |record: &Arc<Filed>| named_or_unnumbered(record) || is_latest(record);
        group.iter().all(is_kept)
    });
    let mut visits: Vec<Visit> = Vec::new();
    for group in &groups {
        let first = visits.len();
        for visit in group.iter().flat_map(|record| visits_of(record, days)) {
            // What several records of one day have alike is told once.
            if !visits[first..].iter().any(|other| other.is_same(&visit)) {
                visits.push(visit);
            }
        }
    }
    // The records come by name; a stable sort keeps that within a day. A mark that is out of its tube comes first.
    visits.sort_by_key(|visit| (visit.date, visit.what != What::LowerSaddle));
    let has_left = |record: &Filed, day| record.left.is_some_and(|left| left <= day);
    let here = |is_meant: &dyn Fn(&Filed) -> bool| -> Vec<Arc<Filed>> {
        let newest = groups.iter().flatten();
        let here = newest.filter(|record| !has_left(record, days.since) && is_meant(record));
        here.cloned().collect()
    };
    let set_above_raises = here(&|record| record.is_set_above_raises());
    let at_odds = here(&|record| !record.at_odds().is_empty());
    let out = |group: &&Vec<Arc<Filed>>| group.iter().any(|record| !has_left(record, days.on));
    let twice_out = twice_out(groups.iter().filter(out));
    let several = groups.iter().filter(|group| group.len() > 1);
    let of_one_day = several.flatten().cloned().collect();
    let without_forecast = groups
        .into_iter()
        .flatten()
        .filter(|record| {
            let due = &record.due;
            let is_silent = due.last_month.is_none() && due.raises.0.is_empty();
            // Of a bike that comes back within the days nothing has to be foreseen.
            is_silent && !has_left(record, days.until)
        })
        .collect();
    Due {
        days,
        records: records.len(),
        visits,
        from_the_future,
        without_forecast,
        set_above_raises,
        twice_out,
        of_one_day,
        at_odds,
        copies,
    }
}

impl Visit {
    /// Whether both tell the same; of one child on one bike.
    fn is_same(&self, other: &Self) -> bool {
        (self.date, self.what, self.why) == (other.date, other.what, other.why)
    }
}

fn named_or_unnumbered(record: &Filed) -> bool {
    record.serial_number.is_none() || record.rider.name().is_some()
}

/// Of records of bikes that are out, by child and bike, those of a numbered bike that several children have, by bike.
fn twice_out<'r>(out: impl Iterator<Item = &'r Vec<Arc<Filed>>>) -> Vec<Arc<Filed>> {
    let mut by_bike: BTreeMap<_, Vec<&[Arc<Filed>]>> = BTreeMap::new();
    for group in out {
        if let Some(bike) = group.first().and_then(|first| first.numbered()) {
            by_bike.entry(bike).or_default().push(group);
        }
    }
    let shared = by_bike.into_values().filter(|groups| groups.len() > 1);
    shared.flatten().flatten().cloned().collect()
}

/// Every record once, and those of which there were more.
fn without_copies(records: Vec<Arc<Filed>>) -> (Vec<Arc<Filed>>, Vec<Arc<Filed>>) {
    let (mut once, mut copies): (Vec<Arc<Filed>>, Vec<Arc<Filed>>) = (Vec::new(), Vec::new());
    for record in records {
        let is_among = |others: &[Arc<Filed>]| {
            let mut others = others.iter();
            others.any(|other| other.record == record.record)
        };
        if !is_among(&once) {
            once.push(record);
        } else if !is_among(&copies) {
            copies.push(record);
        }
    }
    (once, copies)
}

/// The visits of one record inside the days.
fn visits_of(record: &Arc<Filed>, days: Days) -> Vec<Visit> {
    let due = &record.due;
    let mut all = Vec::new();
    let mut add = |date: Date, what, why| {
        all.push(Visit {
            date,
            record: Arc::clone(record),
            what,
            why,
        });
    };
    if let Some(past) = record.past_mark() {
        add(
            record.date.max(days.since),
            What::LowerSaddle,
            Why::PastMark(past),
        );
    }
    // What falls into the month of the handover cannot come before it; what falls into the month of the first day
    // still holds on it.
    let day = |month: Month| {
        let first = month.first_day().max(record.date);
        let is_on = month == Month::of(days.since);
        if is_on { first.max(days.since) } else { first }
    };
    let check = &due.first_check;
    if check.done.is_none_or(|done| done > days.on) {
        let why = Why::FirstRides {
            latest: check.to,
            done: check.done,
        };
        add(check.from.max(days.since), What::BoltsAndCables, why);
    }
    // Of the raises before the first day the last is still wanted on it.
    let missed = |month: Month| day(month) < days.since;
    let raises = record.raises_to_mark();
    let from = raises.partition_point(|(month, _)| missed(*month));
    // Of several on one day the last alone is set.
    let mut raises_by_day = BTreeMap::new();
    for &(month, saddle_height_mm) in &raises[from.saturating_sub(1)..] {
        // A schedule may open with what was set at the handover.
        let as_set = &record.as_set;
        let set = as_set.told_mm();
        if set.is_none_or(|set| saddle_height_mm > set) {
            let why = Why::Grown {
                saddle_height_mm,
                is_seat_height: as_set.raises_are_seat_heights(),
            };
            raises_by_day.insert(day(month).max(days.since), why);
        }
    }
    let outgrown = due.last_month.as_ref().and_then(|last| last.p50);
    let outgrown = outgrown.map(|month| day(month).max(days.since));
    for (date, why) in raises_by_day {
        if outgrown.is_none_or(|outgrown| date < outgrown) {
            add(date, What::RaiseSaddle, why);
        }
    }
    if let Some(last) = &due.last_month {
        let expected = last.p50;
        // A look before its time does not make up for the one that is due.
        let is_checked = |first: Month| {
            let from = first.first_day().max(record.date);
            last.done
                .is_some_and(|done| (from..=days.on).contains(&done))
        };
        if let Some(first) = last.p10.filter(|first| !is_checked(*first)) {
            let told = day(first).max(days.since);
            if outgrown.is_none_or(|outgrown| told < outgrown) {
                add(
                    told,
                    What::CheckSize,
                    Why::MayBeOutgrown {
                        done: last.done.filter(|done| *done > days.on),
                        expected,
                    },
                );
            }
        }
        if let Some(expected) = expected {
            let told = day(expected).max(days.since);
            add(told, What::Outgrown, Why::Outgrown { expected });
        }
    }
    if let Some(since) = due.next_measuring {
        let why = Why::Stale {
            measured_on: record.measured_on,
            since,
        };
        add(day(since).max(days.since), What::Measure, why);
    }
    all.retain(|visit| {
        (days.since..=days.until).contains(&visit.date)
            && record.left.is_none_or(|left| visit.date < left)
    });
    all
}
