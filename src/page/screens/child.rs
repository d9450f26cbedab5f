//! The child, and the rack in order for it: the first screen of the shop floor, and `size` as a command has it.
//! The order, its reasons and the words are `advice::size`'s and `report`'s.

use askama::Template;
use axum::http::StatusCode;

use crate::advice::size::{SizedBike, Sizing, size};
use crate::advice::stop::saddle_with_doubt;
use crate::cautions::CAUTIONS;
use crate::page::query::Query;
use crate::page::screens::book::{Blank, no_bike};
use crate::page::screens::{Answer, Reply, answered};
use crate::page::shop::Shop;
use crate::page::view::{Form, Frame, Sign, spoken};
use crate::page::{Format, Question};
use crate::report::size_text::{
    NONE_SHOWN, ORDER, csv, has_saddle, look_again, look_for, measure_first, months_left,
    near_and_hopeless, none_fits, what_to_know, wheel, why_first,
};
use crate::report::verdict_text::{ABOUT, sentence, sureness};
use crate::report::{assumed, contract};
use crate::units::Units;

#[derive(Template)]
#[template(path = "child.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    /// None before anything was measured.
    answer: Option<List>,
}

struct List {
    /// What stands in place of everything but what is odd, where the rack holds no bike.
    blank: Option<Blank>,
    headline: String,
    /// Of which figures one must be wrong.
    doubted: Vec<String>,
    /// Where to go when nothing fits.
    look_for: Vec<String>,
    why_first: Option<String>,
    /// What to do before any of these saddles is set.
    measure_first: Option<String>,
    near: Vec<Card>,
    far: Vec<Card>,
    look_again: Vec<String>,
    skipped: Vec<String>,
    order: String,
    about: &'static str,
    cautions: &'static [&'static str],
}

struct Card {
    id: String,
    name: String,
    wheel: String,
    sign: Sign,
    verdict: String,
    sure: Option<String>,
    reason: String,
    /// What it is told by, and the figure.
    saddle: Option<(&'static str, String)>,
    months: Option<String>,
    weight: Option<String>,
    price: Option<String>,
}

pub(in crate::page) fn child(shop: &Shop, query: &Query) -> Reply {
    answered(shop, query, "The child", "/", |question| {
        answer(shop, query, question)
    })
}

fn answer(shop: &Shop, query: &Query, question: &Question) -> Answer {
    question.only_as(&[Format::Page, Format::Json, Format::Csv])?;
    let says_nothing = question.says_nothing(query);
    if says_nothing && question.format == Format::Page {
        let form = Form::new(shop, "/", query, Some(question), &[]);
        let frame = Frame::new("The child", "/", query, form);
        let page = Page {
            frame,
            answer: None,
        };
        return Ok(Reply::page(StatusCode::OK, &page));
    }
    let rider = question.rider()?;
    let (bikes, skipped) = shop.counter.rack();
    let mut sizing = size(rider, &bikes, question.options, || ());
    sizing.keep(&question.only, question.limit);
    let units = question.units;
    Ok(match question.format {
        Format::Json => Reply::json(&contract::sizing(&sizing, &skipped, units)),
        Format::Csv => Reply::csv(csv(&sizing)),
        _ => {
            let form = Form::new(shop, "/", query, Some(question), &[]);
            let frame = Frame::new("The child", "/", query, form);
            let blank = no_bike(&bikes, &skipped);
            let skipped = skipped.into_iter().map(|file| file.error).collect();
            let answer = Some(list(&sizing, blank, skipped, units));
            Reply::page(StatusCode::OK, &Page { frame, answer })
        }
    })
}

fn list(sizing: &Sizing, blank: Option<Blank>, skipped: Vec<String>, units: Units) -> List {
    let (near, far) = near_and_hopeless(sizing, false);
    let cards = |bikes: Vec<&SizedBike>| bikes.into_iter().map(|bike| card(bike, units)).collect();
    let again = look_again(sizing, assumed::short, units);
    List {
        blank,
        headline: headline(sizing),
        doubted: sizing
            .rider
            .doubted_figures(units)
            .iter()
            .map(|line| sentence(line))
            .collect(),
        look_for: look_for(sizing, units),
        why_first: why_first(sizing, units).filter(|_| sizing.any_fits),
        measure_first: measure_first(&near),
        near: cards(near),
        far: cards(far),
        look_again: again.iter().map(|one| one.told(sentence)).collect(),
        skipped,
        order: sentence(ORDER.trim_start_matches("Order: ")),
        about: ABOUT,
        cautions: CAUTIONS,
    }
}

/// The answer in one sentence.
fn headline(sizing: &Sizing) -> String {
    let fit = |bike: &&SizedBike| bike.fit.verdict.fits();
    match (
        sizing.bikes.first(),
        sizing.bikes.iter().filter(fit).count(),
    ) {
        (None, _) if sizing.any_fits => NONE_SHOWN.to_owned(),
        (None, _) | (Some(_), 0) => none_fits(sizing),
        (Some(first), 1) => format!("One bike fits today: {}.", first.fit.bike.spec.name),
        (Some(first), count) => format!(
            "{count} bikes fit today. Best: {}.",
            first.fit.bike.spec.name
        ),
    }
}

fn card(bike: &SizedBike, units: Units) -> Card {
    let (fit, spec) = (&bike.fit, &bike.fit.bike.spec);
    let told_by = if fit.bike.tells_saddle_from_ground() {
        "seat height"
    } else {
        "saddle height"
    };
    Card {
        id: fit.bike.id.clone(),
        name: spec.name.clone(),
        wheel: wheel(&spec.tyres),
        sign: Sign::of_verdict(fit.verdict),
        verdict: spoken(fit.verdict.word()),
        sure: sureness(fit),
        reason: sentence(&what_to_know(bike, units)),
        saddle: has_saddle(bike).then(|| (told_by, saddle_with_doubt(fit, units))),
        months: months_left(bike),
        weight: spec
            .weight
            .map(|weight| format!("{} kg", crate::units::tidy(weight.kg(), 1))),
        price: spec.price.map(|price| crate::units::tidy(price, 2)),
    }
}
