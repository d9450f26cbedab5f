//! The handover for whoever has the bike on the stand: each part in the order of the work, then the child.
//! Lines and figures are `advice::handover`'s. A pair that does not fit gets the reason, and no work order or card.

use askama::Template;
use axum::http::StatusCode;

use crate::advice::handover::handover as hand_over;
use crate::cautions::CAUTIONS;
use crate::draw;
use crate::page::query::Query;
use crate::page::screens::pair::{Setting, look_again, settings};
use crate::page::screens::{Answer, HTML, Reply, answered};
use crate::page::shop::Shop;
use crate::page::view::{Form, Frame, VerdictView};
use crate::page::{Format, Question};
use crate::report::build_sheet::build_sheet;
use crate::report::card::{Extras, card};
use crate::report::contract;
use crate::report::handover_text::{
    come_back, do_not, lever_lines, spring_lines, torque, tyre_lines,
};
use crate::report::verdict_text::sentence;

#[derive(Template)]
#[template(path = "handover.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    id: String,
    name: String,
    verdict: VerdictView,
    do_not: &'static str,
    work: Option<WorkView>,
    card: String,
    build_sheet: String,
    look_again: Vec<String>,
    cautions: &'static [&'static str],
}

struct WorkView {
    come_back: Vec<String>,
    settings: Vec<Setting>,
    parts: Vec<(&'static str, Vec<String>)>,
    bolts: Vec<[String; 3]>,
    child_shows: Vec<String>,
    record: String,
    set_up: String,
}

pub(in crate::page) fn handover(shop: &Shop, query: &Query) -> Reply {
    answered(shop, query, "Handover", "/handover", |question| {
        answer(shop, query, question)
    })
}

fn answer(shop: &Shop, query: &Query, question: &Question) -> Answer {
    question.only_as(&[
        Format::Page,
        Format::Json,
        Format::Card,
        Format::BuildSheet,
        Format::Record,
    ])?;
    let bike = question.bike(shop)?;
    let (rider, units) = (question.rider()?, question.units);
    let answer = hand_over(rider, &bike, &question.options);
    let fit = &answer.fit;
    let extras = |picture| Extras {
        shop: question.shop.clone(),
        technician: question.technician.clone(),
        picture,
        paper: question.paper,
        units,
    };
    match question.format {
        Format::Json => return Ok(Reply::json(&contract::handover(&answer, units))),
        Format::Card => {
            let picture = draw::card_view(fit, units).svg;
            return Ok(printed(card(&answer, &extras(Some(picture)))));
        }
        Format::BuildSheet => return Ok(printed(build_sheet(&answer, &extras(None)))),
        Format::Record => {
            if let Some(record) = answer.record(None, question.technician.as_deref(), None) {
                return Ok(match record.to_yaml() {
                    Ok(text) => Reply::document("application/yaml; charset=utf-8", text),
                    Err(error) => Reply::broken(&error),
                });
            }
        }
        Format::Page | Format::Csv => {}
    }
    let form = Form::new(shop, "/handover", query, Some(question), &[]);
    let frame = Frame::new("Handover", "/handover", query, form);
    let about = frame.about("/handover", &bike.id);
    let work = answer.work.as_ref().ok().map(|work| WorkView {
        come_back: come_back(work, &fit.bike, units),
        settings: settings(fit, units),
        parts: [
            ("Saddle", work.saddle.notes(units)),
            ("Brake levers", lever_lines(work, units)),
            ("Bar and reach", work.bars.notes(fit, units)),
            ("Tyres", tyre_lines(&work.tyres)),
            ("Air spring", spring_lines(work, units)),
        ]
        .into_iter()
        .filter(|(_, lines)| !lines.is_empty())
        .map(|(part, lines)| (part, lines.iter().map(|line| sentence(line)).collect()))
        .collect(),
        bolts: work
            .bolts
            .iter()
            .map(|bolt| [bolt.part.clone(), torque(bolt), bolt.note.clone()])
            .collect(),
        child_shows: answer
            .child_shows(units)
            .iter()
            .map(|line| sentence(line))
            .collect(),
        record: format!("{about}&format=record"),
        set_up: frame.about("/picture/set-up", &bike.id),
    });
    let page = Page {
        id: bike.id.clone(),
        name: bike.spec.name.clone(),
        verdict: VerdictView::new(fit, answer.stop(), units),
        do_not: do_not(fit.verdict),
        work,
        card: format!("{about}&format=card"),
        build_sheet: format!("{about}&format=build-sheet"),
        look_again: look_again(fit, units),
        cautions: CAUTIONS,
        frame,
    };
    Ok(Reply::page(StatusCode::OK, &page))
}

fn printed(html: Result<String, askama::Error>) -> Reply {
    match html {
        Ok(html) => Reply::document(HTML, html),
        Err(error) => Reply::broken(&error),
    }
}
