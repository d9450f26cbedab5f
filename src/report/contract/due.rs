//! `inseam/due`: what is to be done for the bikes that were handed out.

use jiff::civil::Date;
use serde::Serialize;

use crate::advice::due::{Due, Visit, What};
use crate::cautions::CAUTIONS;
use crate::record::Filed;
use crate::report::contract::Skipped;
use crate::units::Units;

/// Name and version of the object.
const SCHEMA: &str = "inseam/due/1";

/// What is due as the contract has it, its words in `units`.
pub fn due<'a>(due: &'a Due, skipped: &'a [Skipped], units: Units) -> impl Serialize + use<'a> {
    let handed = |records: &'a [std::sync::Arc<Filed>]| {
        let all = records.iter().map(|record| HandedObject::new(record));
        all.collect::<Vec<_>>()
    };
    DueObject {
        schema: SCHEMA,
        since: due.days.since,
        until: due.days.until,
        visits: due
            .visits
            .iter()
            .map(|visit| VisitObject::new(visit, units))
            .collect(),
        from_the_future: handed(&due.from_the_future),
        without_forecast: handed(&due.without_forecast),
        past_mark: due
            .visits
            .iter()
            .filter(|visit| visit.what == What::LowerSaddle)
            .map(|visit| HandedObject::new(&visit.record))
            .collect(),
        set_above_raises: handed(&due.set_above_raises),
        twice_out: handed(&due.twice_out),
        of_one_day: handed(&due.of_one_day),
        at_odds: handed(&due.at_odds),
        copies: handed(&due.copies),
        skipped,
        cautions: CAUTIONS,
    }
}

#[derive(Serialize)]
struct DueObject<'a> {
    schema: &'static str,
    since: Date,
    until: Date,
    visits: Vec<VisitObject<'a>>,
    from_the_future: Vec<HandedObject<'a>>,
    without_forecast: Vec<HandedObject<'a>>,
    past_mark: Vec<HandedObject<'a>>,
    set_above_raises: Vec<HandedObject<'a>>,
    twice_out: Vec<HandedObject<'a>>,
    of_one_day: Vec<HandedObject<'a>>,
    at_odds: Vec<HandedObject<'a>>,
    copies: Vec<HandedObject<'a>>,
    skipped: &'a [Skipped],
    cautions: &'static [&'static str],
}

#[derive(Serialize)]
struct VisitObject<'a> {
    date: Date,
    rider: String,
    rider_name: Option<&'a str>,
    bike: &'a str,
    serial_number: Option<&'a str>,
    file: &'a str,
    what: What,
    saddle_height_mm: Option<f64>,
    seat_height_mm: Option<f64>,
    why: String,
}

impl<'a> VisitObject<'a> {
    fn new(visit: &'a Visit, units: Units) -> Self {
        let [saddle_height_mm, seat_height_mm] = visit.why.raised_to_mm();
        Self {
            date: visit.date,
            rider: visit.record.rider.to_string(),
            rider_name: visit.record.rider_name.as_deref(),
            bike: &visit.record.bike,
            serial_number: visit.record.serial_number.as_deref(),
            file: &visit.record.file,
            what: visit.what,
            saddle_height_mm,
            seat_height_mm,
            why: visit.why.words(visit.date, units),
        }
    }
}

#[derive(Serialize)]
struct HandedObject<'a> {
    date: Date,
    rider: String,
    bike: &'a str,
    file: &'a str,
}

impl<'a> HandedObject<'a> {
    fn new(record: &'a Filed) -> Self {
        Self {
            date: record.date,
            rider: record.rider.to_string(),
            bike: &record.bike,
            file: &record.file,
        }
    }
}
