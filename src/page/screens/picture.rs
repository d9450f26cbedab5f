//! Pictures, each at an address of its own, and its narrow form at another: what `draw` makes, as it stands.

use axum::http::StatusCode;

use crate::advice::compare::compare;
use crate::advice::rack::Rack;
use crate::draw::{self, Form, SideView};
use crate::fit::{Fit, Options, assess};
use crate::page::query::Query;
use crate::page::screens::{Answer, Reply, add, refused};
use crate::page::shop::Shop;
use crate::page::view::FOR_A_PHONE;
use crate::page::{Question, Slip};

pub(in crate::page) fn picture(shop: &Shop, kind: &str, query: &Query) -> Reply {
    let (kind, form) = match kind.strip_suffix(FOR_A_PHONE) {
        Some(kind) => (kind, Form::Upright),
        None => (kind, Form::Lying),
    };
    if kind == "measuring" {
        return Reply::picture(draw::measuring(form).svg);
    }
    if kind == "measuring-a-bike" {
        return Reply::picture(draw::measuring_a_bike(form).svg);
    }
    if kind == "new" {
        return add::picture(shop, query, form).unwrap_or_else(|slips| refused(&slips));
    }
    let question = shop.counter.ask(query);
    question
        .and_then(|question| drawn(shop, kind, form, &question))
        .unwrap_or_else(|slips| refused(&slips))
}

fn drawn(shop: &Shop, kind: &str, form: Form, question: &Question) -> Answer {
    let units = question.units;
    let fit = |options: &Options| -> Result<Fit, Vec<Slip>> {
        let bike = question.bike(shop)?;
        Ok(assess(question.rider()?, &bike, options))
    };
    let picture = match kind {
        "side" => SideView::new(&fit(&question.options)?, units)
            .on(form)
            .picture(),
        // A small picture has no room for what comes later.
        "small" => {
            let options = Options {
                forecast: false,
                ..question.options
            };
            draw::card_view(&fit(&options)?, units)
        }
        "set-up" => draw::set_up_view(&fit(&question.options)?, units, form),
        "two" | "growth" => {
            let [first, second] = question.frames.as_slice() else {
                return Err(vec![Slip::of("frame", "two bikes are compared here")]);
            };
            let bikes = [shop.counter.bike(first)?, shop.counter.bike(second)?];
            let comparison = compare(question.rider()?, [&bikes[0], &bikes[1]], question.options);
            if kind == "two" {
                draw::two_bikes(&comparison, units, form)
            } else {
                match draw::growth_chart(&comparison, units, form) {
                    Ok(Some(chart)) => chart,
                    Ok(None) => return Err(vec![Slip::of("age", "growth needs an age")]),
                    Err(error) => return Ok(Reply::broken(&error)),
                }
            }
        }
        "rack" => match draw::rack_chart(&Rack::new(&shop.counter.rack().0), units, form) {
            Ok(chart) => chart,
            Err(error) => return Ok(Reply::broken(&error)),
        },
        _ => {
            return Ok(Reply::new(
                StatusCode::NOT_FOUND,
                "text/plain; charset=utf-8",
                "There is no such picture.\n",
            ));
        }
    };
    Ok(Reply::picture(picture.svg))
}
