//! What is due, for a terminal, for spreadsheets and for a calendar (RFC 5545).
//! The visits are `advice::due`'s; nothing is computed here.

use std::collections::HashMap;
use std::sync::Arc;

use icalendar::{Calendar, Component as _, Event, Property};
use jiff::civil::Date;
use serde::Serialize;

use crate::advice::due::{Due, Visit, What, Why};
use crate::cautions::CAUTIONS;
use crate::record::{Filed, Whom};
use crate::report::contract::Skipped;
use crate::report::json;
use crate::report::skipped::skipped_files;
use crate::report::terminal::{Layout, notes, push_table, table, wrapped};
use crate::units::Units;
use crate::words;

const NOTHING: &str = "Nothing is due in these days.";
/// Heads the records of days to come.
pub(crate) const FUTURE: &str = "Left out, records of days to come";
/// Heads the records that foresee nothing.
pub(crate) const SILENT: &str = "Neither raises nor the end of the bike's time foreseen";
/// Heads the records whose raises are silenced by what was set.
pub(crate) const SET_ABOVE: &str = "Set above every raise planned, so none is due";
/// Heads the records of one numbered bike that more children than one have.
pub(crate) const TWICE_OUT: &str =
    "One bike with two children: write `left` into the record that is over";
/// Heads unlike records of one day.
pub(crate) const OF_ONE_DAY: &str = "Unlike records of one day: keep the one that holds";
/// Heads records whose figures cannot both be.
pub(crate) const AT_ODDS: &str = "Figures that cannot both be: raises may be missing";
/// Heads the records that were given more than once.
pub(crate) const COPIES: &str = "Copies of one record, counted once";
/// How the calendar names its maker (RFC 5545, 3.7.3).
const PRODUCT: &str = "-//inseam//due//EN";

impl What {
    /// What to do, in plain words.
    pub const fn order(self) -> &'static str {
        match self {
            Self::LowerSaddle => "lower the saddle",
            Self::BoltsAndCables => "first check",
            Self::RaiseSaddle => "raise the saddle",
            Self::CheckSize => "check the size",
            Self::Outgrown => "outgrown",
            Self::Measure => "measure again",
        }
    }
}

/// The report.
pub fn text(due: &Due, skipped: &[Skipped], layout: Layout) -> String {
    let mut out = String::new();
    wrapped(&mut out, &headline(due, skipped), layout.columns, "  ");
    out.push('\n');
    if due.visits.is_empty() {
        wrapped(&mut out, &nothing(due, skipped), layout.columns, "");
    } else {
        let mut rows = table(&["day", "child", "bike", "what", "why"], layout.columns);
        for visit in &due.visits {
            rows.add_row([
                visit.date.to_string(),
                visit.record.child(),
                bike(&visit.record),
                visit.what.order().to_owned(),
                visit.why.words(visit.date, layout.units),
            ]);
        }
        for (column, width) in [(0, 12), (1, 14), (2, 14), (3, 12)] {
            if let Some(column) = rows.column_mut(column) {
                column.set_constraint(comfy_table::ColumnConstraint::UpperBoundary(
                    comfy_table::Width::Fixed(width),
                ));
            }
        }
        push_table(&mut out, &rows, layout.columns);
    }
    notes(&mut out, FUTURE, &from_the_future(due), layout);
    notes(
        &mut out,
        SET_ABOVE,
        &set_above_raises(due, layout.units),
        layout,
    );
    notes(&mut out, SILENT, &without_forecast(due), layout);
    notes(&mut out, TWICE_OUT, &twice_out(due), layout);
    notes(&mut out, OF_ONE_DAY, &of_one_day(due), layout);
    notes(&mut out, AT_ODDS, &at_odds(due, layout.units), layout);
    notes(&mut out, COPIES, &copies(due), layout);
    skipped_files(&mut out, skipped, layout);
    notes(&mut out, "Cautions", CAUTIONS, layout);
    out
}

/// Said where nothing is due; of records that nobody could read nobody knows.
pub(crate) fn nothing(due: &Due, skipped: &[Skipped]) -> String {
    match (skipped.len(), due.records) {
        (0, _) => NOTHING.to_owned(),
        (unread, 0) => format!("None of {} could be read.", records(unread)),
        (unread, read) => format!(
            "Nothing is due from the {} that could be read; {unread} could not.",
            records(read)
        ),
    }
}

fn records(count: usize) -> String {
    match count {
        1 => "1 record".to_owned(),
        _ => format!("{count} records"),
    }
}

/// How much is due, and when, and how many files nobody could read.
pub(crate) fn headline(due: &Due, skipped: &[Skipped]) -> String {
    let unread = match skipped.len() {
        0 => String::new(),
        count => format!("; {} could not be read", records(count)),
    };
    format!(
        "Due from {} to {}: {}{unread}",
        due.days.since,
        due.days.until,
        match due.visits.len() {
            1 => "1 visit".to_owned(),
            count => format!("{count} visits"),
        }
    )
}

/// Records that cannot be of today.
pub(crate) fn from_the_future(due: &Due) -> Vec<String> {
    let on = due.days.on;
    let line =
        |record: &Arc<Filed>| format!("{}: after today, {on}: is the day right?", handed(record));
    due.from_the_future.iter().map(line).collect()
}

/// Records from which nothing can be foreseen.
pub(crate) fn without_forecast(due: &Due) -> Vec<String> {
    due.without_forecast
        .iter()
        .map(|record| {
            let why = match &record.rider {
                _ if record.due.next_measuring.is_none() => "growing is over by its record",
                Whom::Figures(figures) if figures.age.is_none() && figures.born.is_none() => {
                    "no age was given"
                }
                _ => "its record has none",
            };
            format!("{}: {why}", handed(record))
        })
        .collect()
}

/// Records whose saddle is set above every raise that they plan.
pub(crate) fn set_above_raises(due: &Due, units: Units) -> Vec<String> {
    let line = |record: &Arc<Filed>| {
        let said = record.set_above_raises(units)?;
        Some(format!("{}: {said}", handed(record)))
    };
    due.set_above_raises.iter().filter_map(line).collect()
}

/// Records of numbered bikes that more children than one have.
pub(crate) fn twice_out(due: &Due) -> Vec<String> {
    due.twice_out.iter().map(|record| handed(record)).collect()
}

/// Unlike records of one day for one child and bike.
pub(crate) fn of_one_day(due: &Due) -> Vec<String> {
    due.of_one_day.iter().map(|record| handed(record)).collect()
}

/// What cannot be of records, a line each.
pub(crate) fn at_odds(due: &Due, units: Units) -> Vec<String> {
    let lines = |record: &Arc<Filed>| {
        let handed = handed(record);
        let odds = record.at_odds().into_iter();
        odds.map(move |odd| format!("{handed}: {}", odd.words(units)))
    };
    due.at_odds.iter().flat_map(lines).collect()
}

/// Records that were given more than once.
pub(crate) fn copies(due: &Due) -> Vec<String> {
    due.copies.iter().map(|record| handed(record)).collect()
}

/// A record, by the file that somebody opens to correct it.
fn handed(record: &Filed) -> String {
    format!(
        "{}: {}, {}, {}",
        record.file,
        record.date,
        record.record.child(),
        bike(record)
    )
}

/// The bike with the number on its frame.
pub(crate) fn bike(record: &Filed) -> String {
    match &record.serial_number {
        Some(number) => format!("{} ({number})", record.bike),
        None => record.bike.clone(),
    }
}

#[derive(Serialize)]
struct Row<'a> {
    date: String,
    rider: &'a str,
    bike: &'a str,
    serial_number: &'a str,
    what: &'static str,
    saddle_height_mm: Option<f64>,
    seat_height_mm: Option<f64>,
    why: &'a str,
    comment: &'static str,
}

const HEADER: [&str; 9] = [
    "date",
    "rider",
    "bike",
    "serial_number",
    "what",
    "saddle_height_mm",
    "seat_height_mm",
    "why",
    "comment",
];

/// The visits as CSV, one row each.
pub fn csv(due: &Due, units: Units) -> std::io::Result<Vec<u8>> {
    let mut writer = csv::WriterBuilder::new()
        .has_headers(false)
        .from_writer(Vec::new());
    writer.write_record(HEADER)?;
    for visit in &due.visits {
        let record = &visit.record;
        let [saddle_height_mm, seat_height_mm] = visit.why.raised_to_mm();
        writer.serialize(Row {
            date: visit.date.to_string(),
            rider: &words::cell(&record.child()),
            bike: &words::cell(&record.bike),
            serial_number: &words::cell(record.serial_number.as_deref().unwrap_or_default()),
            what: visit.what.word(),
            saddle_height_mm: saddle_height_mm.map(json::rounded),
            seat_height_mm: seat_height_mm.map(json::rounded),
            why: &words::cell(&visit.why.words(visit.date, units)),
            comment: CAUTIONS[0],
        })?;
    }
    writer.into_inner().map_err(csv::IntoInnerError::into_error)
}

/// The visits as a calendar, one event of a whole day each. The same visits give the same bytes, and the same names
/// of events, so that a calendar that reads them again finds them again.
///
/// # References
/// RFC 5545: 3.6.1 (a DTSTART that is a date, and no end, is one day), 3.8.4.7 (UID), 3.8.7.2 (DTSTAMP).
pub fn calendar(due: &Due, units: Units) -> String {
    let mut calendar = Calendar::empty();
    for (key, value) in [
        ("VERSION", "2.0"),
        ("PRODID", PRODUCT),
        ("CALSCALE", "GREGORIAN"),
        ("METHOD", "PUBLISH"),
    ] {
        calendar.append_property((key, value));
    }
    let stamp = format!("{}T000000Z", basic(due.days.on));
    let mut seen: HashMap<String, usize> = HashMap::new();
    for visit in &due.visits {
        let mut uid = uid(visit);
        let again = seen.entry(uid.clone()).or_default();
        *again += 1;
        if *again > 1 {
            uid = format!("{again}-{uid}");
        }
        calendar.push(event(visit, &uid, &stamp, units));
    }
    calendar.done().to_string()
}

fn event(visit: &Visit, uid: &str, stamp: &str, units: Units) -> Event {
    let record = &visit.record;
    let why = visit.why.words(visit.date, units);
    let summary = format!(
        "{}: {}, {}",
        visit.what.order(),
        record.child(),
        bike(record)
    );
    let description = format!("{why}. {}", CAUTIONS[0]);
    let mut start = Property::new("DTSTART", basic(visit.date));
    start.add_parameter("VALUE", "DATE");
    let mut event = Event::new();
    event
        .uid(uid)
        .summary(&summary)
        .description(&description)
        .append_property(start.done())
        .add_property("DTSTAMP", stamp)
        .add_property("TRANSP", "TRANSPARENT");
    event.done()
}

/// A date as RFC 5545 writes it.
fn basic(date: Date) -> String {
    date.strftime("%Y%m%d").to_string()
}

/// A name that says the same of the same visit: what, whom, which bike and from which handover; for raises also how
/// high, because there are several. Names are told by a hash, for a name of an event travels.
fn uid(visit: &Visit) -> String {
    let record = &visit.record;
    let what = match visit.why {
        Why::Grown {
            saddle_height_mm, ..
        } => format!("{} {saddle_height_mm}", visit.what),
        _ => visit.what.to_string(),
    };
    let date = record.date.to_string();
    let serial = record.serial_number.as_deref().unwrap_or_default();
    let rider = record.rider.to_string();
    let parts = [&what, &rider, &record.bike, serial, &date];
    let hash = fnv1a(parts.join("\n").as_bytes());
    format!("{hash:016x}-{}@inseam", visit.what)
}

/// FNV-1a, 64 bit: short, and the same on every machine and in every version.
///
/// # References
/// Fowler, Noll, Vo; RFC draft `draft-eastlake-fnv`.
fn fnv1a(bytes: &[u8]) -> u64 {
    const BASIS: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0100_0000_01b3;
    bytes.iter().fold(BASIS, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(PRIME)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published test vectors of FNV-1a, 64 bit, from the draft (from memory).
    #[test]
    fn the_hash_gives_the_published_values() {
        assert_eq!(fnv1a(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv1a(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv1a(b"foobar"), 0x8594_4171_f739_67e8);
    }
}
