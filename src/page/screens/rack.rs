//! The rack without a child: the riders that every bike fits.
//! Windows and words are `advice::rack`'s and `report::rack`'s.

use askama::Template;
use axum::http::StatusCode;

use crate::advice::rack::{Rack, RackBike};
use crate::cautions::CAUTIONS;
use crate::page::query::Query;
use crate::page::screens::book::{Blank, no_bike};
use crate::page::screens::{Answer, Reply, answered};
use crate::page::shop::Shop;
use crate::page::view::{Choice, Form, Frame, Shown, sentences, spoken, stage_words, unit_choices};
use crate::page::{Format, Question};
use crate::report::contract;
use crate::report::rack as report;
use crate::report::sheet::glue;
use crate::report::verdict_text::{ABOUT, sentence};
use crate::rider::Stage;
use crate::units::Units;

#[derive(Template)]
#[template(path = "rack.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    stages: Vec<Choice>,
    /// Units to choose from.
    choices: [Choice; 3],
    units: &'static str,
    /// What stands in place of all that is told of bikes, where there is none.
    blank: Option<Blank>,
    picture: Shown,
    rows: Vec<Row>,
    holes_heading: &'static str,
    holes: Vec<String>,
    nobody: Vec<String>,
    left_open_heading: String,
    left_open: Vec<String>,
    look_again: Vec<String>,
    skipped: Vec<String>,
    proportions: &'static str,
    about: &'static str,
    cautions: &'static [&'static str],
}

struct Row {
    name: String,
    id: String,
    heights: String,
    inseams: String,
    ages: String,
    below: String,
    above: String,
    /// Why nobody has it yet.
    yet: Option<String>,
}

pub(in crate::page) fn rack(shop: &Shop, query: &Query) -> Reply {
    answered(shop, query, "The rack", "/rack", |question| {
        answer(shop, query, question)
    })
}

fn answer(shop: &Shop, query: &Query, question: &Question) -> Answer {
    question.only_as(&[Format::Page, Format::Json, Format::Csv])?;
    let (bikes, skipped) = shop.counter.rack();
    let rack = Rack::new(&bikes);
    // What is read on a screen has the form's unit, what programs read the command line's.
    let units = match question.format {
        Format::Page => query.units(),
        _ => question.units,
    };
    Ok(match question.format {
        Format::Json => Reply::json(&contract::rack(&rack, &skipped, units)),
        Format::Csv => Reply::csv(report::csv(&rack)),
        _ => {
            let form = Form::new(shop, "/rack", query, Some(question), &[]);
            let page = Page {
                frame: Frame::new("The rack", "/rack", query, form),
                stages: Stage::ALL
                    .iter()
                    .map(|stage| Choice {
                        word: stage.word().to_owned(),
                        label: stage_words(*stage).to_owned(),
                        is_chosen: question.stage == *stage,
                    })
                    .collect(),
                choices: unit_choices(units),
                units: units.spoken(),
                blank: no_bike(&bikes, &skipped),
                picture: Shown::new(
                    "rack",
                    |path| format!("{path}?units={}", units.word()),
                    "Chart of the heights that each bike fits, by stage; the table below has the figures",
                ),
                rows: rack
                    .bikes
                    .iter()
                    .map(|bike| row(bike, question.stage, units))
                    .collect(),
                holes_heading: report::HOLES,
                holes: sentences(&report::holes(&rack, question.stage, units)),
                nobody: report::nobody(&rack, units),
                left_open_heading: report::left_open_heading(),
                left_open: report::not_checked(&rack),
                look_again: report::warnings(&rack, units),
                skipped: skipped.into_iter().map(|file| file.error).collect(),
                proportions: report::PROPORTIONS,
                about: ABOUT,
                cautions: CAUTIONS,
            };
            Reply::page(StatusCode::OK, &page)
        }
    })
}

fn row(bike: &RackBike, stage: Stage, units: Units) -> Row {
    let window = bike.window(stage);
    Row {
        name: bike.bike.spec.name.clone(),
        id: bike.bike.id.clone(),
        yet: nobody_yet(bike),
        heights: glue(&report::heights(window, units)),
        inseams: glue(&report::inseams(window, units)),
        ages: report::ages(window),
        below: spoken(&report::bound(window, |window| window.low)),
        above: spoken(&report::bound(window, |window| window.high)),
    }
}

/// Why nobody has a bike yet, and what its heights are then worth.
pub(super) fn nobody_yet(bike: &RackBike) -> Option<String> {
    let why = bike.nobody_yet()?;
    Some(sentence(&format!("{why}{}", report::alone(bike))))
}
