//! The screens, one file each: read the question, ask `advice`, show the answer. No figure is computed here.
//! Also the pictures, the files of the page itself, and how an answer or a refusal is sent.
//! Which address leads where is `server`'s business.

mod add;
mod assign;
mod book;
mod boxes;
mod child;
mod due;
mod handover;
mod keep;
mod pair;
mod picture;
mod rack;
mod two;

pub(super) use add::{add, keep_bike};
pub(super) use assign::assign;
pub(super) use book::book;
pub(super) use child::child;
pub(super) use due::due;
pub(super) use handover::{handover, keep_record};
pub(super) use keep::keep_rider;
pub(super) use pair::pair;
pub(super) use picture::picture;
pub(super) use rack::rack;
pub(super) use two::two;

use std::sync::Arc;

use askama::Template;
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use serde::Serialize;

use crate::advice::size::instead;
use crate::bike::Bike;
use crate::page::query::Query;
use crate::page::shop::Shop;
use crate::page::view::{Form, Frame, told};
use crate::page::{Format, Question, Slip};
use crate::report::json;
use crate::report::sheet::in_quotation_marks;
use crate::rider::Rider;

const HTML: &str = "text/html; charset=utf-8";
/// A printed page and a picture are documents of their own: styles of their own, and nothing else.
const OF_ITS_OWN: &str = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
/// The page's own files may be kept for a while: they change with the program only.
const KEEP: &str = "max-age=600";

/// An answer, ready to send.
#[derive(Debug)]
pub(super) struct Reply {
    status: StatusCode,
    kind: &'static str,
    body: Vec<u8>,
    policy: Option<&'static str>,
    caching: Option<&'static str>,
}

impl Reply {
    fn new(status: StatusCode, kind: &'static str, body: impl Into<Vec<u8>>) -> Self {
        Self {
            status,
            kind,
            body: body.into(),
            policy: None,
            caching: None,
        }
    }

    /// A screen.
    fn page(status: StatusCode, page: &impl Template) -> Self {
        match page.render() {
            Ok(html) => Self::new(status, HTML, in_quotation_marks(html)),
            Err(error) => Self::broken(&error),
        }
    }

    /// The contract.
    fn json(object: &impl Serialize) -> Self {
        let mut body = Vec::new();
        match json::write(&mut body, object) {
            Ok(()) => Self::new(StatusCode::OK, "application/json", body),
            Err(error) => Self::broken(&error),
        }
    }

    /// A table for spreadsheets.
    fn csv(table: std::io::Result<Vec<u8>>) -> Self {
        match table {
            Ok(table) => Self::new(StatusCode::OK, "text/csv; charset=utf-8", table),
            Err(error) => Self::broken(&error),
        }
    }

    /// A document of its own.
    fn document(kind: &'static str, body: impl Into<Vec<u8>>) -> Self {
        Self {
            policy: Some(OF_ITS_OWN),
            ..Self::new(StatusCode::OK, kind, body)
        }
    }

    fn picture(svg: String) -> Self {
        Self::document("image/svg+xml", svg)
    }

    /// Nobody's fault but the program's.
    fn broken(error: &dyn std::error::Error) -> Self {
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "text/plain; charset=utf-8",
            format!("The answer could not be made: {error}\n"),
        )
    }
}

impl IntoResponse for Reply {
    fn into_response(self) -> Response {
        let mut answer = (self.status, [(CONTENT_TYPE, self.kind)], self.body).into_response();
        let headers = [
            (CONTENT_SECURITY_POLICY, self.policy),
            (CACHE_CONTROL, self.caching),
        ];
        for (name, value) in headers {
            if let Some(value) = value {
                let value = axum::http::HeaderValue::from_static(value);
                answer.headers_mut().insert(name, value);
            }
        }
        answer
    }
}

/// A screen's answer, or what is wrong with the question.
type Answer = Result<Reply, Vec<Slip>>;

#[derive(Serialize)]
struct Problems<'a> {
    problems: Vec<ProblemObject<'a>>,
}

#[derive(Serialize)]
struct ProblemObject<'a> {
    key: &'a str,
    message: &'a str,
}

#[derive(Template)]
#[template(path = "wrong.html", config = "src/page/askama.toml")]
struct Wrong {
    frame: Frame,
    headline: &'static str,
    slips: Vec<String>,
    /// Whether the way on leads by the rack: a bike has to be chosen, for which the form has no box.
    leads_to_rack: bool,
    /// Where a bike was asked about and no child: address and name of what can be had of the bike alone.
    build_sheet: Option<[String; 2]>,
}

impl Wrong {
    fn new(frame: Frame, slips: &[Slip]) -> Self {
        Self {
            frame,
            headline: "Something has to be put right first.",
            leads_to_rack: slips.iter().any(|slip| slip.field == "frame"),
            slips: slips.iter().map(told).collect(),
            build_sheet: None,
        }
    }
}

/// What an address gets that is none of the page's.
pub(super) fn nowhere(shop: &Shop) -> Reply {
    let query = Query::default();
    let form = Form::new(shop, "/", &query, None, &[]);
    let wrong = Wrong {
        headline: "There is no such page here.",
        leads_to_rack: true,
        ..Wrong::new(Frame::new("No such page", "", &query, form), &[])
    };
    Reply::page(StatusCode::NOT_FOUND, &wrong)
}

/// Answers, or shows every slip beside its box: in the form, or as JSON where that was asked for.
fn answered(
    shop: &Shop,
    query: &Query,
    title: &str,
    here: &'static str,
    answer: impl FnOnce(&Question) -> Answer,
) -> Reply {
    let question = shop.counter.ask(query);
    let slips = match &question {
        Ok(question) => match answer(question) {
            Ok(reply) => return reply,
            Err(slips) => slips,
        },
        Err(slips) => slips.clone(),
    };
    if query.get("format") == Some("json") {
        return refused(&slips);
    }
    let slips = in_its_unit(query, slips);
    let question = question.as_ref().ok();
    let form = Form::new(shop, here, query, question, &slips);
    let frame = Frame::new(title, here, query, form);
    let bike = question
        .filter(|question| question.says_nothing(query) && ["/fit", "/handover"].contains(&here))
        .and_then(|question| question.bike(shop).ok());
    let wrong = Wrong {
        build_sheet: bike.map(|bike| [frame.build_sheet_of(&bike.id), bike.spec.name.clone()]),
        ..Wrong::new(frame, &slips)
    };
    Reply::page(StatusCode::BAD_REQUEST, &wrong)
}

/// Slips as the form of a query tells them.
fn in_its_unit(query: &Query, slips: Vec<Slip>) -> Vec<Slip> {
    let told = |slip: Slip| Slip {
        message: query.in_its_unit(&slip.field, &slip.message),
        ..slip
    };
    slips.into_iter().map(told).collect()
}

fn refused(slips: &[Slip]) -> Reply {
    let problems = slips
        .iter()
        .map(|slip| ProblemObject {
            key: &slip.field,
            message: &slip.message,
        })
        .collect();
    Reply {
        status: StatusCode::BAD_REQUEST,
        ..Reply::json(&Problems { problems })
    }
}

impl Question {
    fn rider(&self) -> Result<&Arc<Rider>, Vec<Slip>> {
        self.rider.as_ref().map_err(Clone::clone)
    }

    /// Whether nothing was said of any child.
    fn says_nothing(&self, query: &Query) -> bool {
        !self.says_rider && !query.describes_a_child()
    }

    /// The name that the rider is kept under.
    pub(super) fn kept_as(&self) -> Option<&str> {
        let file = self.rider_file.as_deref()?;
        Some(file.rsplit_once('.').map_or(file, |(stem, _)| stem))
    }

    /// The one bike that is asked about.
    fn bike(&self, shop: &Shop) -> Result<Arc<Bike>, Vec<Slip>> {
        match self.frames.as_slice() {
            [one] => shop.counter.bike(one),
            [] => Err(vec![Slip::of(
                "frame",
                "which bike? Choose one from the rack",
            )]),
            _ => Err(vec![Slip::of(
                "frame",
                "one bike is asked about here; two are /compare",
            )]),
        }
    }

    /// The bike of the rack to offer instead of one that does not fit.
    fn instead(&self, shop: &Shop) -> Result<Option<Arc<Bike>>, Vec<Slip>> {
        Ok(instead(self.rider()?, &shop.counter.rack().0, self.options))
    }

    /// Refuses forms of the answer that this screen has not.
    fn only_as(&self, formats: &[Format]) -> Result<(), Vec<Slip>> {
        if formats.contains(&self.format) {
            return Ok(());
        }
        let words: Vec<_> = formats.iter().map(|format| format.word()).collect();
        let message = format!("found `{}`; allowed {}", self.format, words.join(", "));
        Err(vec![Slip::of("format", &message)])
    }
}

impl Slip {
    fn of(field: &str, message: &str) -> Self {
        Self {
            field: field.to_owned(),
            message: message.to_owned(),
        }
    }
}

/// The page's own files.
pub(super) fn asset(name: &str) -> Reply {
    let (kind, text) = match name {
        "page.css" => (
            "text/css; charset=utf-8",
            include_str!("../assets/page.css"),
        ),
        "page.js" => (
            "text/javascript; charset=utf-8",
            include_str!("../assets/page.js"),
        ),
        "icon.svg" => ("image/svg+xml", include_str!("../assets/icon.svg")),
        _ => {
            return Reply::new(
                StatusCode::NOT_FOUND,
                "text/plain; charset=utf-8",
                "There is no such file here.\n",
            );
        }
    };
    Reply {
        caching: Some(KEEP),
        ..Reply::new(StatusCode::OK, kind, text)
    }
}
