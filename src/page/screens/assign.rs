//! The hand-out: which child gets which bike, who gets none, and what would help.
//! Who gets what is `advice::assign`'s; the lines are the printed list's own.

use askama::Template;
use axum::http::StatusCode;

use crate::advice::assign::{Assignment, assign as give};
use crate::cautions::CAUTIONS;
use crate::page::query::Query;
use crate::page::screens::book::{
    Blank, BookForm, NO_CHILD, NO_CHILDREN_FOLDER, about_child, in_form, no_folder, whose_bikes,
};
use crate::page::screens::handover::printed;
use crate::page::screens::{Answer, Reply, answered};
use crate::page::shop::Shop;
use crate::page::view::{Form, Frame, spoken};
use crate::page::{Format, Question, Slip};
use crate::report::assign_list::{Extras, lines, list};
use crate::report::assign_text::{HOW, csv, headline, help, look_again, spare};
use crate::report::contract::{self, Skipped};
use crate::report::verdict_text::{ABOUT, sentence};
use crate::units::Units;

#[derive(Template)]
#[template(path = "assign.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    book: BookForm,
    blank: Option<Blank>,
    whose_bikes: Option<&'static str>,
    answer: Option<HandOut>,
    skipped: Vec<String>,
}

struct HandOut {
    headline: String,
    unit: &'static str,
    rows: Vec<Row>,
    rest: Vec<Rest>,
    spare: Vec<String>,
    look_again: Vec<String>,
    how: &'static str,
    about: &'static str,
    csv: String,
    cautions: &'static [&'static str],
}

struct Row {
    child: String,
    /// Where the pair is seen whole.
    address: String,
    name: String,
    id: String,
    sure: String,
    saddle: String,
    post: String,
    lever: String,
    months: String,
    notes: String,
}

struct Rest {
    child: String,
    address: String,
    help: String,
}

pub(in crate::page) fn assign(shop: &Shop, query: &Query) -> Reply {
    answered(shop, query, "Hand out", "/assign", |question| {
        answer(shop, query, question)
    })
}

fn answer(shop: &Shop, query: &Query, question: &Question) -> Answer {
    question.only_as(&[Format::Page, Format::Json, Format::Csv, Format::List])?;
    let (options, units) = (question.options, question.units);
    let folder = shop.counter.children(options.on);
    let is_missing = folder.is_none();
    if is_missing && question.format != Format::Page {
        return Err(no_folder(&NO_CHILDREN_FOLDER));
    }
    let (children, mut skipped) = folder.unwrap_or_default();
    let (bikes, mut unread) = shop.counter.rack();
    skipped.append(&mut unread);
    let given = give(&children, &bikes, shop.counter.market(), options, || ())
        .map_err(|many| vec![Slip::of("", &many.to_string())])?;
    Ok(match question.format {
        Format::Json => Reply::json(&contract::assignment(&given, &skipped, units)),
        Format::Csv => Reply::csv(csv(&given, units)),
        Format::List => {
            let extras = Extras {
                title: question.title.clone(),
                date: options.on,
                paper: question.paper,
                units,
            };
            printed(list(&given, &skipped, &extras))
        }
        _ => {
            let form = Form::new(shop, "/assign", query, Some(question), &[]);
            let page = Page {
                frame: Frame::new("Hand out", "/assign", query, form),
                book: BookForm::new("/assign", query, question).with_title(query),
                blank: match children.as_slice() {
                    [] if is_missing => Some(NO_CHILDREN_FOLDER),
                    [] if skipped.is_empty() => Some(NO_CHILD),
                    _ => None,
                },
                whose_bikes: whose_bikes(shop),
                answer: (!children.is_empty() || !skipped.is_empty() && !is_missing)
                    .then(|| hand_out(&given, &skipped, query, units)),
                skipped: skipped.into_iter().map(|file| file.error).collect(),
            };
            Reply::page(StatusCode::OK, &page)
        }
    })
}

fn hand_out(given: &Assignment, skipped: &[Skipped], query: &Query, units: Units) -> HandOut {
    let rows = given.pairs.iter().zip(lines(given, units));
    let rows = rows.map(|(pair, line)| Row {
        address: about_child("/fit", query, &pair.child.id, Some(&pair.fit.bike.id)),
        child: line.child,
        name: pair.fit.bike.spec.name.clone(),
        id: line.bike,
        sure: spoken(&line.sure),
        saddle: line.saddle,
        post: line.post,
        lever: line.lever,
        months: line.months,
        notes: if line.notes.is_empty() {
            String::new()
        } else {
            sentence(&line.notes)
        },
    });
    let rest = given.without_bike.iter().map(|rest| Rest {
        child: rest.child.title(),
        address: about_child("/", query, &rest.child.id, None),
        help: sentence(&help(rest, units)),
    });
    HandOut {
        headline: sentence(&headline(given, skipped)),
        unit: units.spoken(),
        rows: rows.collect(),
        rest: rest.collect(),
        spare: spare(given),
        look_again: look_again(given, units),
        how: HOW,
        about: ABOUT,
        csv: in_form("/assign", query, Format::Csv),
        cautions: CAUTIONS,
    }
}
