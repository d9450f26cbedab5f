//! The handover for whoever has the bike on the stand: each part in the order of the work, then the child.
//! Lines and figures are `advice::handover`'s. A pair that does not fit gets the reason, and no work order or card.

use askama::Template;
use axum::http::StatusCode;

use crate::advice::handover::handover as hand_over;
use crate::advice::stop::Stop;
use crate::cautions::CAUTIONS;
use crate::draw;
use crate::fit::assess;
use crate::page::query::Query;
use crate::page::screens::pair::{Setting, look_again, settings};
use crate::page::screens::{Answer, HTML, Reply, answered};
use crate::page::shop::Shop;
use crate::page::view::{Form, Frame, VerdictView};
use crate::page::{Format, Question};
use crate::report::card::{Extras, card};
use crate::report::contract;
use crate::report::handover_text::{DO_NOT, lever_lines, spring_lines, torque, tyre_lines};
use crate::report::verdict_text::sentence;

#[derive(Template)]
#[template(path = "handover.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    id: String,
    name: String,
    verdict: VerdictView,
    do_not: &'static str,
    work: Option<Work>,
    look_again: Vec<String>,
    cautions: &'static [&'static str],
}

struct Work {
    next_check: String,
    settings: Vec<Setting>,
    parts: Vec<(&'static str, Vec<String>)>,
    bolts: Vec<[String; 3]>,
    child_shows: Vec<String>,
    card: String,
    set_up: String,
}

pub(in crate::page) fn handover(shop: &Shop, query: &Query) -> Reply {
    answered(shop, query, "Handover", "/handover", |question| {
        answer(shop, query, question)
    })
}

fn answer(shop: &Shop, query: &Query, question: &Question) -> Answer {
    question.only_as(&[Format::Page, Format::Json, Format::Card])?;
    let bike = question.bike(shop)?;
    let (rider, units) = (question.rider()?, question.units);
    let fit = assess(rider, &bike, &question.options);
    let stop = Stop::of(&fit);
    let answer = hand_over(rider, &bike, &question.options);
    if question.format == Format::Json {
        return Ok(Reply::json(&contract::handover(&answer, units)));
    }
    if question.format == Format::Card && stop.is_none() {
        let extras = Extras {
            shop: question.shop.clone(),
            technician: question.technician.clone(),
            picture: Some(draw::card_view(&fit, units).svg),
            paper: question.paper,
            units,
        };
        return Ok(match card(&answer, &extras) {
            Ok(html) => Reply::document(HTML, html),
            Err(error) => Reply::broken(&error),
        });
    }
    let form = Form::new(shop, "/handover", query, Some(question), &[]);
    let frame = Frame::new("Handover", "/handover", query, form);
    let work = stop.is_none().then(|| Work {
        next_check: answer.saddle.next_check.to_string(),
        settings: settings(&fit, units),
        parts: [
            ("Saddle", answer.saddle.notes(units)),
            ("Brake levers", lever_lines(&answer, units)),
            ("Bar and reach", answer.bars.notes(&fit, units)),
            ("Tyres", tyre_lines(&answer)),
            ("Air spring", spring_lines(&answer, units)),
        ]
        .into_iter()
        .filter(|(_, lines)| !lines.is_empty())
        .map(|(part, lines)| (part, lines.iter().map(|line| sentence(line)).collect()))
        .collect(),
        bolts: answer
            .bolts
            .iter()
            .map(|bolt| [bolt.part.clone(), torque(bolt), bolt.note.clone()])
            .collect(),
        child_shows: answer
            .child_shows(units)
            .iter()
            .map(|line| sentence(line))
            .collect(),
        card: frame.about("/handover", &bike.id) + "&format=card",
        set_up: frame.about("/picture/set-up", &bike.id),
    });
    let page = Page {
        id: bike.id.clone(),
        name: bike.spec.name.clone(),
        verdict: VerdictView::new(&fit, stop.as_ref(), units),
        do_not: DO_NOT,
        work,
        look_again: look_again(&fit, units),
        cautions: CAUTIONS,
        frame,
    };
    Ok(Reply::page(StatusCode::OK, &page))
}
