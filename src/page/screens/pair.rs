//! One bike and one child: the side view, what to set, every finding, chances and growth.
//! A pair that does not fit gets the reason first and nothing to set.

use askama::Template;
use axum::http::StatusCode;

use crate::advice::stop::Stop;
use crate::fit::forecast::Note;
use crate::fit::{Fit, assess};
use crate::page::query::Query;
use crate::page::screens::boxes::in_words_of_the_form;
use crate::page::screens::{Answer, Reply, answered};
use crate::page::shop::Shop;
use crate::page::view::{FindingView, Form, Frame, Shown, VerdictView, sentences};
use crate::page::{Format, Question};
use crate::report::growth_text;
use crate::report::sheet::glue;
use crate::report::verdict_text::cautions;
use crate::report::{assumed, contract};
use crate::units::Units;

#[derive(Template)]
#[template(path = "pair.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    id: String,
    name: String,
    verdict: VerdictView,
    /// What can be ridden but must be read first.
    read_this: Vec<String>,
    picture: Shown,
    settings: Vec<Setting>,
    findings: Vec<FindingView>,
    growth: Vec<String>,
    assumed: Vec<String>,
    look_again: Vec<String>,
    others: Vec<(String, String)>,
    cautions: Vec<&'static str>,
}

/// One thing to set.
pub(super) struct Setting {
    pub(super) what: &'static str,
    pub(super) figure: String,
    pub(super) from_where: String,
}

pub(in crate::page) fn pair(shop: &Shop, query: &Query) -> Reply {
    answered(shop, query, "Bike and child", "/fit", |question| {
        answer(shop, query, question)
    })
}

fn answer(shop: &Shop, query: &Query, question: &Question) -> Answer {
    question.only_as(&[Format::Page, Format::Json])?;
    let bike = question.bike(shop)?;
    let fit = assess(question.rider()?, &bike, &question.options);
    let units = question.units;
    if question.format == Format::Json {
        return Ok(Reply::json(&contract::fit(&fit, units)));
    }
    let stop = Stop::of(&fit);
    let name = bike.spec.name.clone();
    let form = Form::new(shop, "/fit", query, Some(question), &[]);
    let frame = Frame::new(&name, "/fit", query, form);
    let mut verdict = VerdictView::new(&fit, stop.as_ref(), units);
    if stop.is_some() {
        verdict = verdict.offering(question.instead(shop)?.as_deref(), &frame);
    }
    let page = Page {
        id: bike.id.clone(),
        picture: Shown::new(
            "side",
            |path| frame.about(path, &bike.id),
            format!(
                "Side view to scale: {name}, {}. The figures stand beside it in words.",
                verdict.word
            ),
        ),
        name,
        verdict,
        read_this: read_this(&fit, units),
        settings: settings(&fit, stop.as_ref(), units),
        findings: findings(&fit, stop.as_ref(), units),
        growth: growth(&fit, stop.is_none(), units),
        assumed: sentences(&assumed::lines(&bike, fit.verdict, units, assumed::short))
            .iter()
            .map(|line| in_words_of_the_form(line))
            .collect(),
        look_again: sentences_to_look_at(warnings(&fit, units), &fit),
        others: shop
            .counter
            .rack()
            .0
            .iter()
            .filter(|other| other.id != bike.id)
            .map(|other| (other.id.clone(), other.spec.name.clone()))
            .collect(),
        cautions: cautions(fit.verdict),
        frame,
    };
    Ok(Reply::page(StatusCode::OK, &page))
}

/// What was looked at, in the words of what must be read.
fn findings(fit: &Fit, stop: Option<&Stop>, units: Units) -> Vec<FindingView> {
    let mut findings = FindingView::all(fit, stop, units);
    for finding in &mut findings {
        finding.advice = in_words_of_the_form(&finding.advice);
    }
    findings
}

/// What must be read under the verdict.
pub(super) fn read_this(fit: &Fit, units: Units) -> Vec<String> {
    let lines = fit.read_this(units);
    lines
        .iter()
        .map(|line| in_words_of_the_form(line))
        .collect()
}

/// What deserves a second look and is not among what must be read already.
pub(super) fn warnings(fit: &Fit, units: Units) -> Vec<String> {
    let told = fit.read_this(units);
    let mut warnings = fit.warnings(units);
    warnings.retain(|warning| !told.iter().any(|line| line.contains(warning.as_str())));
    warnings
}

/// What deserves a second look, and what to measure again.
pub(super) fn sentences_to_look_at(mut warnings: Vec<String>, fit: &Fit) -> Vec<String> {
    warnings.extend(fit.odds.and_then(|odds| Some(odds.remeasure?.words())));
    sentences(&warnings)
}

/// What a tape sets; nothing on a bike that does not fit.
pub(super) fn settings(fit: &Fit, stop: Option<&Stop>, units: Units) -> Vec<Setting> {
    if stop.is_some() {
        return Vec::new();
    }
    let set = fit.pair().setting();
    let sd = set.doubt_mm(fit.saddle_told_sd_mm());
    let within = sd.map_or_else(
        || set.never_above().to_owned(),
        |sd| glue(&format!(", ± {}", units.length(sd))),
    );
    let from_ground = fit.bike.tells_saddle_from_ground();
    let mut settings = Vec::new();
    // To a middle of the cranks that is not there, or that nobody measured, no tape is held.
    if !from_ground {
        settings.push(Setting {
            what: "Saddle height",
            figure: set.length(units, set.saddle_height_mm),
            from_where: format!("from the middle of the cranks' axle to the saddle top{within}"),
        });
    }
    settings.extend(
        set.exposed_post_mm
            .zip(set.insertion_mm)
            .map(|(shows, inside)| Setting {
                what: "Post showing",
                figure: set.length(units, shows),
                from_where: format!("and {} inside the tube", set.length_inside(units, inside)),
            }),
    );
    // The doubt is of the figure that the saddle is told by.
    let within = if from_ground { within.as_str() } else { "" };
    settings.push(Setting {
        what: "Seat height",
        figure: set.length(units, set.seat_height_mm),
        from_where: format!("from the ground to the saddle top{within}"),
    });
    let gaps = fit.pair().lever_gaps(|gap| units.length(gap));
    settings.extend(gaps.map(|figure| Setting {
        what: "Brake lever",
        figure,
        from_where: "from lever to grip".to_owned(),
    }));
    settings
}

/// What growing does to the pair.
pub(super) fn growth(fit: &Fit, may_set: bool, units: Units) -> Vec<String> {
    let Some(growth) = fit.growth() else {
        return Vec::new();
    };
    let mut lines = vec![growth_text::span(growth, fit.verdict)];
    if may_set {
        lines.extend(growth_text::raises(growth, &fit.bike, units));
    }
    let notes = growth
        .notes
        .iter()
        .filter(|note| may_set || !matches!(note, Note::PostAtMark(_)));
    lines.extend(notes.map(|note| note.words()));
    sentences(&lines)
}
