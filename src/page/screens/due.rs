//! What is due for the bikes that were handed out, by day.
//! The visits are `advice::due`'s, in `report::due_text`'s words.

use askama::Template;
use axum::http::StatusCode;

use crate::advice::due::{Due, due as visits};
use crate::cautions::CAUTIONS;
use crate::page::query::Query;
use crate::page::screens::book::{Blank, BookForm, about_child, in_form, no_folder};
use crate::page::screens::{Answer, Reply, answered};
use crate::page::shop::Shop;
use crate::page::view::{Form, Frame, spoken};
use crate::page::{Format, Question};
use crate::record::Filed;
use crate::report::contract::{self, Skipped};
use crate::report::due_text::{
    AT_ODDS, COPIES, FUTURE, OF_ONE_DAY, SET_ABOVE, SILENT, TWICE_OUT, at_odds, bike, calendar,
    copies, csv, from_the_future, headline, nothing, of_one_day, set_above_raises, twice_out,
    without_forecast,
};
use crate::report::verdict_text::sentence;

const NO_RECORDS_FOLDER: Blank = Blank {
    what: "This page was started without a folder of records.",
    cure: "End it and start it with one. Every handover in it is one record; “Keep the record” under a handover writes them.",
    command: Some("inseam serve --records DIR --riders DIR --frames DIR"),
};
const NO_RECORD: Blank = Blank {
    what: "The folder of records is empty.",
    cure: "Hand a bike over and press “Keep the record” under the handover, or put records into the folder.",
    command: None,
};

#[derive(Template)]
#[template(path = "due.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    book: BookForm,
    blank: Option<Blank>,
    answer: Option<Calendar>,
    skipped: Vec<String>,
}

struct Calendar {
    headline: String,
    nothing: Option<String>,
    days: Vec<Day>,
    /// Heading and lines.
    others: Vec<(&'static str, Vec<String>)>,
    ics: String,
    csv: String,
    cautions: &'static [&'static str],
}

struct Day {
    name: String,
    visits: Vec<Visit>,
}

struct Visit {
    what: String,
    child: String,
    /// The child on the bike, where the shop still has both.
    address: Option<String>,
    bike: String,
    why: String,
}

pub(in crate::page) fn due(shop: &Shop, query: &Query) -> Reply {
    answered(shop, query, "What is due", "/due", |question| {
        answer(shop, query, question)
    })
}

fn answer(shop: &Shop, query: &Query, question: &Question) -> Answer {
    question.only_as(&[Format::Page, Format::Json, Format::Csv, Format::Ics])?;
    let folder = shop.counter.records();
    let is_missing = folder.is_none();
    if is_missing && question.format != Format::Page {
        return Err(no_folder(&NO_RECORDS_FOLDER));
    }
    let (records, skipped) = folder.unwrap_or_default();
    let (due, units) = (visits(&records, question.days), question.units);
    Ok(match question.format {
        Format::Json => Reply::json(&contract::due(&due, &skipped, units)),
        Format::Csv => Reply::csv(csv(&due, units)),
        Format::Ics => Reply::document("text/calendar; charset=utf-8", calendar(&due, units)),
        _ => {
            let form = Form::new(shop, "/due", query, Some(question), &[]);
            let page = Page {
                frame: Frame::new("What is due", "/due", query, form),
                book: BookForm::new("/due", query, question).with_spans(query),
                blank: match records.as_slice() {
                    [] if is_missing => Some(NO_RECORDS_FOLDER),
                    [] if skipped.is_empty() => Some(NO_RECORD),
                    _ => None,
                },
                answer: (!records.is_empty() || !skipped.is_empty() && !is_missing)
                    .then(|| by_day(shop, (&due, &skipped), query, question)),
                skipped: skipped.into_iter().map(|file| file.error).collect(),
            };
            Reply::page(StatusCode::OK, &page)
        }
    })
}

fn by_day(
    shop: &Shop,
    (due, skipped): (&Due, &[Skipped]),
    query: &Query,
    question: &Question,
) -> Calendar {
    let (riders, bikes) = (shop.counter.riders(), shop.counter.rack().0);
    let kept = |record: &Filed| {
        let name = record.rider.to_string();
        riders.iter().find(|id| **id == name)
    };
    let address = |record: &Filed| {
        let bike = bikes.iter().find(|bike| bike.id == record.bike)?;
        Some(about_child("/fit", query, kept(record)?, Some(&bike.id)))
    };
    let days = due.visits.chunk_by(|one, next| one.date == next.date);
    let days = days.filter_map(|day| {
        let date = day.first()?.date;
        let visits = day.iter().map(|visit| Visit {
            what: spoken(visit.what.order()),
            child: visit.record.child(),
            address: address(&visit.record),
            bike: bike(&visit.record),
            why: sentence(&visit.why.words(visit.date, question.units)),
        });
        Some(Day {
            name: date.strftime("%A, %Y-%m-%d").to_string(),
            visits: visits.collect(),
        })
    });
    let others = [
        (FUTURE, from_the_future(due)),
        (SET_ABOVE, set_above_raises(due, question.units)),
        (SILENT, without_forecast(due)),
        (TWICE_OUT, twice_out(due)),
        (OF_ONE_DAY, of_one_day(due)),
        (AT_ODDS, at_odds(due, question.units)),
        (COPIES, copies(due)),
    ];
    Calendar {
        headline: sentence(&headline(due, skipped)),
        nothing: due.visits.is_empty().then(|| nothing(due, skipped)),
        days: days.collect(),
        others: others
            .into_iter()
            .filter(|(_, lines)| !lines.is_empty())
            .collect(),
        ics: in_form("/due", query, Format::Ics),
        csv: in_form("/due", query, Format::Csv),
        cautions: CAUTIONS,
    }
}
