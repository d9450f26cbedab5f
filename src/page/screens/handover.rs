//! The handover for whoever has the bike on the stand: each part in the order of the work, then the child.
//! Lines and figures are `advice::handover`'s. A pair that does not fit gets the reason, and no work order or card.

use std::sync::Arc;

use askama::Template;
use axum::http::StatusCode;

use crate::advice::handover::bolts::Bolt;
use crate::advice::handover::settings::Line;
use crate::advice::handover::{Handover, handover as hand_over};
use crate::bike::Bike;
use crate::draw;
use crate::page::query::Query;
use crate::page::screens::keep::{KeptPage, slips};
use crate::page::screens::pair::{read_this, sentences_to_look_at};
use crate::page::screens::{Answer, HTML, Reply, answered};
use crate::page::shop::Shop;
use crate::page::view::{Form, Frame, Shown, VerdictView, sentences, told};
use crate::page::{Format, Kept, Question, Slip, Unkept};
use crate::record::Record;
use crate::report::assumed;
use crate::report::build_sheet::build_sheet;
use crate::report::card::{Extras, card};
use crate::report::contract;
use crate::report::handover_text::{
    NO_RECORD, bolt_note, come_back, do_not, lever_lines, parts_note, saddle_by_stage,
    spring_lines, stop_lines, torque, tyre_lines,
};
use crate::report::sheet::glue;
use crate::report::verdict_text::{cautions, sentence};

#[derive(Template)]
#[template(path = "handover.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    id: String,
    name: String,
    verdict: VerdictView,
    /// What can be ridden but must be read first.
    read_this: Vec<String>,
    work: Option<WorkView>,
    card: String,
    build_sheet: String,
    assumed: Vec<String>,
    look_again: Vec<String>,
    cautions: Vec<&'static str>,
}

struct WorkView {
    come_back: Vec<String>,
    settings: Vec<Line>,
    /// The saddle at every stage: heads and rows.
    stages: Option<([&'static str; 5], Vec<[String; 5]>)>,
    parts: Vec<(&'static str, Vec<String>)>,
    parts_note: Option<&'static str>,
    bolts: Vec<[String; 3]>,
    rider_shows: Vec<String>,
    record: String,
    /// None where records are not kept here.
    keep: Option<KeepView>,
    set_up: Shown,
}

/// The form that keeps the record.
struct KeepView {
    serial_number: String,
    technician: String,
    /// Whether the record will say whose it is.
    has_name: bool,
    slips: Vec<String>,
    asks_to_replace: bool,
}

pub(in crate::page) fn handover(shop: &Shop, query: &Query) -> Reply {
    answered(shop, query, "Handover", "/handover", |question| {
        answer(shop, query, question)
    })
}

/// Keeps the record of what is set.
pub(in crate::page) fn keep_record(shop: &Shop, form: &Query) -> Reply {
    let query = form.from_form();
    answered(shop, &query, "Handover", "/handover", |question| {
        let (answer, instead) = work_out(shop, question)?;
        let Some(record) = record(&answer, question) else {
            return Err(vec![Slip::of("", NO_RECORD)]);
        };
        let text = match record.to_yaml() {
            Ok(text) => text,
            Err(error) => return Ok(Reply::broken(&error)),
        };
        let whom = question.kept_as();
        let mut name = format!(
            "{}-{}-{}",
            record.date,
            whom.unwrap_or("child"),
            record.bike
        );
        if let Some(number) = &record.serial_number {
            name = format!("{name}-{number}");
        }
        let may_replace = form.get("replace").is_some();
        let keep = |name: &str| {
            let counter = &shop.counter;
            counter.keep_text(Kept::Record, &text, name, may_replace)
        };
        let mut kept = keep(&name);
        if let (Err(Unkept::Exists { free, .. }), None, None) = (&kept, whom, &record.serial_number)
        {
            // Nobody knows whether two children without a name are one.
            let free = free.clone();
            kept = keep(&free);
        }
        match kept {
            Ok(name) => {
                let carried = query.carried();
                let form = Form::new(shop, "/handover", &carried, Some(question), &[]);
                let frame = Frame::new("Kept", "/handover", &carried, form);
                let page = KeptPage {
                    what: Kept::Record.word(),
                    name,
                    next: frame.to("/due"),
                    next_words: "What is due, and when",
                    frame,
                };
                Ok(Reply::page(StatusCode::CREATED, &page))
            }
            Err(why) => {
                let (status, slips) = slips(why, Kept::Record);
                Ok(show(
                    shop,
                    &query,
                    question,
                    (&answer, instead.as_deref()),
                    (status, &slips),
                ))
            }
        }
    })
}

/// The handover; with it the bike to offer where there is none to set.
fn work_out(shop: &Shop, question: &Question) -> Result<(Handover, Option<Arc<Bike>>), Vec<Slip>> {
    let bike = question.bike(shop)?;
    let answer = hand_over(question.rider()?, &bike, &question.options);
    if answer.stop().is_none() {
        return Ok((answer, None));
    }
    let instead = question.instead(shop)?;
    let name = instead.as_ref().map(|bike| bike.spec.name.clone());
    Ok((answer.with_nearest(name), instead))
}

fn record(answer: &Handover, question: &Question) -> Option<Record> {
    answer.record(
        question.serial_number.as_deref(),
        question.technician.as_deref(),
        question.rider_file.as_deref(),
    )
}

fn answer(shop: &Shop, query: &Query, question: &Question) -> Answer {
    question.only_as(&[
        Format::Page,
        Format::Json,
        Format::Card,
        Format::BuildSheet,
        Format::Record,
    ])?;
    let units = question.units;
    let extras = |picture| Extras {
        shop: question.shop.clone(),
        serial_number: question.serial_number.clone(),
        technician: question.technician.clone(),
        picture,
        paper: question.paper,
        units,
    };
    // A box is often opened before anyone knows who rides.
    if question.format == Format::BuildSheet && question.says_nothing(query) {
        let bike = question.bike(shop)?;
        return Ok(printed(build_sheet(&bike, &extras(None))));
    }
    let (answer, instead) = work_out(shop, question)?;
    match question.format {
        Format::Json => Ok(Reply::json(&contract::handover(&answer, units))),
        Format::Card => {
            let picture = draw::card_view(&answer.fit, units).svg;
            Ok(printed(card(&answer, &extras(Some(picture)))))
        }
        Format::BuildSheet => Ok(printed(build_sheet(&answer, &extras(None)))),
        Format::Record => {
            let Some(record) = record(&answer, question) else {
                return Err(vec![Slip::of("", NO_RECORD)]);
            };
            Ok(match record.to_yaml() {
                Ok(text) => Reply::document("application/yaml; charset=utf-8", text),
                Err(error) => Reply::broken(&error),
            })
        }
        _ => Ok(show(
            shop,
            query,
            question,
            (&answer, instead.as_deref()),
            (StatusCode::OK, &[]),
        )),
    }
}

fn show(
    shop: &Shop,
    query: &Query,
    question: &Question,
    (answer, instead): (&Handover, Option<&Bike>),
    (status, slips): (StatusCode, &[Slip]),
) -> Reply {
    let (fit, units) = (&answer.fit, question.units);
    let bike = &fit.bike;
    let form = Form::new(shop, "/handover", query, Some(question), &[]);
    let frame = Frame::new("Handover", "/handover", query, form);
    let about = frame.about("/handover", &bike.id);
    let work = answer.work.as_ref().ok().map(|work| WorkView {
        come_back: come_back(answer, work, units),
        settings: work.settings(units).iter().map(glued).collect(),
        stages: saddle_by_stage(work, units).map(|(heads, rows)| {
            let glued = |row: [String; 5]| row.map(|cell| glue(&cell));
            (heads, rows.into_iter().map(glued).collect())
        }),
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
        parts_note: parts_note(bike, &work.bolts),
        bolts: work
            .bolts
            .iter()
            .map(|bolt| [bolt.part.clone(), with_unit(bolt), bolt_note(bolt)])
            .collect(),
        rider_shows: answer
            .rider_shows(units)
            .iter()
            .map(|line| sentence(line))
            .collect(),
        record: format!("{about}&format=record"),
        keep: shop.counter.keeps(Kept::Record).then(|| KeepView {
            serial_number: query.get("serial-number").unwrap_or_default().to_owned(),
            technician: query.get("technician").unwrap_or_default().to_owned(),
            has_name: question.rider_file.is_some(),
            slips: slips.iter().map(told).collect(),
            asks_to_replace: slips.iter().any(|slip| slip.field == "replace"),
        }),
        set_up: Shown::new(
            "set-up",
            |path| frame.about(path, &bike.id),
            "Where the tape goes for each figure",
        ),
    });
    let mut verdict = VerdictView::new(fit, answer.stop(), units);
    if work.is_none() {
        verdict.stop = stop_lines(answer, units);
        verdict.stop.push(do_not(fit.verdict).to_owned());
        verdict = verdict.offering(instead, &frame);
    }
    let page = Page {
        id: bike.id.clone(),
        name: bike.spec.name.clone(),
        verdict,
        read_this: match work {
            Some(_) => read_this(fit, units),
            None => Vec::new(),
        },
        look_again: match work {
            Some(_) => sentences_to_look_at(answer.look_again(units), fit),
            // What to measure again is among the reasons.
            None => sentences(&answer.look_again(units)),
        },
        work,
        card: format!("{about}&format=card"),
        build_sheet: format!("{about}&format=build-sheet"),
        assumed: sentences(&assumed::lines(
            &fit.bike,
            fit.verdict,
            units,
            assumed::short,
        )),
        cautions: cautions(fit.verdict),
        frame,
    };
    Reply::page(status, &page)
}

/// A torque under no heading that has its unit.
fn with_unit(bolt: &Bolt) -> String {
    let unit = bolt.tight.nm().map_or("", |_| " N·m");
    torque(bolt) + unit
}

/// A line whose figures do not break.
fn glued(line: &Line) -> Line {
    Line {
        figure: glue(&line.figure),
        note: glue(&line.note),
        what: line.what,
    }
}

pub(super) fn printed(html: Result<String, askama::Error>) -> Reply {
    match html {
        Ok(html) => Reply::document(HTML, html),
        Err(error) => Reply::broken(&error),
    }
}
