//! Two bikes side by side for one child: today, later, what differs and what it does.
//! The words are the comparison's own.

use askama::Template;
use axum::http::StatusCode;

use crate::advice::compare::{Comparison, compare, saddle_height};
use crate::advice::stop::Stop;
use crate::cautions::CAUTIONS;
use crate::fit::{Fit, Status};
use crate::page::query::Query;
use crate::page::screens::book::{Blank, no_bike};
use crate::page::screens::boxes::in_words_of_the_form;
use crate::page::screens::{Answer, Reply, answered};
use crate::page::shop::Shop;
use crate::page::view::{Choice, Form, Frame, Shown, Sign, VerdictView, choice, sentences, spoken};
use crate::page::{Format, Question, Slip};
use crate::report::assumed;
use crate::report::compare_text::{
    NOT_KNOWN, differing, first_fits, left_out, level, look_again, outgrown, read_first,
};
use crate::report::contract;
use crate::report::verdict_text::sentence;
use crate::units::Units;

#[derive(Template)]
#[template(path = "two.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    /// The rack, once for each of the two.
    choices: [Vec<Choice>; 2],
    answer: Option<Both>,
    /// What is said where there is no bike to choose.
    blank: Option<Blank>,
    /// What is asked for where there is no answer.
    asks_for: &'static str,
}

struct Both {
    headline: String,
    names: [String; 2],
    ids: [String; 2],
    verdicts: [VerdictView; 2],
    rows: Vec<(String, [Cell; 2])>,
    differences: Vec<[String; 4]>,
    level: Vec<String>,
    left_out: Vec<String>,
    picture: Shown,
    growth: Option<Shown>,
    look_again: Vec<String>,
    /// How sure the size is on each, and cautions about safety.
    read_first: Vec<String>,
    cautions: &'static [&'static str],
}

/// A cell of the table over time; a verdict has its sign.
struct Cell {
    sign: Option<Sign>,
    text: String,
}

pub(in crate::page) fn two(shop: &Shop, query: &Query) -> Reply {
    answered(shop, query, "Two bikes", "/compare", |question| {
        answer(shop, query, question)
    })
}

fn answer(shop: &Shop, query: &Query, question: &Question) -> Answer {
    question.only_as(&[Format::Page, Format::Json])?;
    let asks = match question.frames.len() {
        2 => question.says_rider || question.format == Format::Json,
        count if count < 2 && question.format == Format::Page => false,
        _ => {
            let message = "two bikes are compared here: frame=A&frame=B";
            return Err(vec![Slip::of("frame", message)]);
        }
    };
    let comparison = if asks {
        let bikes = [
            shop.counter.bike(&question.frames[0])?,
            shop.counter.bike(&question.frames[1])?,
        ];
        Some(compare(
            question.rider()?,
            [&bikes[0], &bikes[1]],
            question.options,
        ))
    } else {
        None
    };
    if let (Some(comparison), Format::Json) = (&comparison, question.format) {
        return Ok(Reply::json(&contract::comparison(
            comparison,
            question.units,
        )));
    }
    let (rack, skipped) = shop.counter.rack();
    let choices = [0, 1].map(|place: usize| {
        let chosen = question.frames.get(place);
        let none = chosen.is_none().then(|| choice("", "choose one", true));
        let bikes = rack.iter().map(|bike| Choice {
            word: bike.id.clone(),
            label: bike.spec.name.clone(),
            is_chosen: chosen == Some(&bike.id),
        });
        none.into_iter().chain(bikes).collect()
    });
    let mut form = Form::new(shop, "/compare", query, Some(question), &[]);
    form.is_open = !question.says_rider;
    // The form has boxes for the two bikes here.
    form.hidden.retain(|(flag, _)| flag != "frame");
    let frame = Frame::new("Two bikes", "/compare", query, form);
    let answer = comparison.map(|comparison| both(&comparison, &frame, question.units));
    let blank = no_bike(&rack, &skipped).filter(|_| answer.is_none());
    let page = Page {
        frame,
        choices,
        blank,
        asks_for: match (question.frames.len(), question.says_rider) {
            (2, _) => "Give the child's figures.",
            (1, true) => "Choose the second bike.",
            (1, false) => "Choose the second bike and give the child's figures.",
            (_, true) => "Choose two bikes.",
            (_, false) => "Choose two bikes and give the child's figures.",
        },
        answer,
    };
    Ok(Reply::page(StatusCode::OK, &page))
}

fn both(comparison: &Comparison, frame: &Frame, units: Units) -> Both {
    let fits = &comparison.fits;
    let mut query = Query::parse(&frame.carried);
    for fit in fits {
        query = query.with("frame", &fit.bike.id);
    }
    let query = query.encoded();
    let shown = |kind, says| Shown::new(kind, |path| format!("{path}?{query}"), says);
    let show = |fit: &Fit| VerdictView::new(fit, Stop::of(fit).as_ref(), units);
    Both {
        headline: sentence(&comparison.headline(units)),
        read_first: must_read(comparison, units),
        names: comparison.names(),
        ids: fits.each_ref().map(|fit| fit.bike.id.clone()),
        verdicts: fits.each_ref().map(show),
        rows: rows(comparison, units),
        differences: differing(comparison, units)
            .into_iter()
            .map(|[name, first, second, does]| [spoken(&name), first, second, sentence(&does)])
            .collect(),
        level: level(comparison),
        left_out: left_out(comparison, units),
        picture: shown(
            "two",
            "Both bikes at one scale with the child on each, and how far apart saddles, grips and top tubes are",
        ),
        growth: fits.iter().all(|fit| fit.growth().is_some()).then(|| {
            let says = "How the child grows through what each bike fits";
            shown("growth", says).lazily()
        }),
        look_again: sentences(&look_again(comparison, assumed::short, units)),
        cautions: CAUTIONS,
    }
}

/// What stands under the headline: what could not be checked in one line for each bike.
fn must_read(comparison: &Comparison, units: Units) -> Vec<String> {
    let mut lines = read_first(comparison, units);
    for (name, fit) in comparison.names().iter().zip(&comparison.fits) {
        let mut open: Vec<(String, Vec<String>)> = Vec::new();
        for finding in fit.to_read() {
            let Status::NotChecked(missing) = finding.status() else {
                continue;
            };
            let told = format!("{name}: {}.", fit.told(&finding, units));
            lines.retain(|line| !line.ends_with(&told));
            let needs = in_words_of_the_form(&fit.bike.lacks(missing.what));
            match open.iter_mut().find(|(known, _)| *known == needs) {
                Some((_, checks)) => checks.push(finding.id.title()),
                None => open.push((needs, vec![finding.id.title()])),
            }
        }
        let parts = open
            .iter()
            .map(|(needs, checks)| format!("{} (needs {needs})", checks.join(" and ")));
        let parts: Vec<_> = parts.collect();
        if !parts.is_empty() {
            lines.push(format!(
                "Read this. {name}: not checked: {}.",
                parts.join(", ")
            ));
        }
    }
    lines
}

/// Today and later, side by side.
fn rows(comparison: &Comparison, units: Units) -> Vec<(String, [Cell; 2])> {
    let fits = &comparison.fits;
    let plain = |text: String| Cell { sign: None, text };
    let mut rows = Vec::new();
    if comparison.stages_differ() {
        let stages = fits
            .each_ref()
            .map(|fit| plain(spoken(fit.pose.stage.word())));
        rows.push(("Stage".to_owned(), stages));
    }
    if fits.iter().any(|fit| fit.growth().is_some()) {
        for (name, month) in [("In 6 months", 6), ("In 12 months", 12)] {
            let cells = fits.each_ref().map(|fit| {
                let verdict = fit.growth().and_then(|growth| growth.verdict_in(month));
                verdict.map_or_else(
                    || plain(NOT_KNOWN.to_owned()),
                    |verdict| Cell {
                        sign: Some(Sign::of_verdict(verdict)),
                        text: spoken(verdict.word()),
                    },
                )
            });
            rows.push((name.to_owned(), cells));
        }
        for (name, words) in [
            ("First fits", first_fits as fn(&Fit) -> String),
            ("Outgrown", outgrown),
        ] {
            let cells = fits.each_ref().map(|fit| plain(words(fit)));
            rows.push((name.to_owned(), cells));
        }
    }
    let saddle = fits.each_ref().map(|fit| plain(saddle_height(fit, units)));
    rows.push(("Saddle height".to_owned(), saddle));
    rows
}
