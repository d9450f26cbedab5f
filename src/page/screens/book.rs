//! The book: the shop's children against its rack, whom no bike serves and which bikes serve nobody.
//! Also what the screens of the book share: their form, and what they say where a folder is missing or empty.
//! Who is served is `advice::coverage`'s, in `report::coverage_text`'s words.

use std::sync::Arc;

use askama::Template;
use axum::http::StatusCode;

use crate::advice::coverage::{Coverage, coverage};
use crate::bike::Bike;
use crate::cautions::CAUTIONS;
use crate::fit::Options;
use crate::page::query::Query;
use crate::page::screens::{Answer, Reply, answered};
use crate::page::shop::Shop;
use crate::page::view::{Choice, Form, Frame, chosen};
use crate::page::{Format, Kept, Question, Slip};
use crate::report::contract::{self, Skipped};
use crate::report::coverage_text::{NOT_JUDGED, csv, headline, names, not_judged, one_more, who};
use crate::report::verdict_text::{ABOUT, sentence};
use crate::units::Units;

/// What is said where a folder that an answer needs was not given, or has nothing in it.
#[derive(Debug)]
pub(super) struct Blank {
    /// What is missing.
    pub(super) what: &'static str,
    /// How to get there.
    pub(super) cure: &'static str,
    /// The command that does it; None where no command is needed.
    pub(super) command: Option<&'static str>,
}

pub(super) const NO_CHILDREN_FOLDER: Blank = Blank {
    what: "This page was started without a folder of children.",
    cure: "End it and start it with one. Every child in it is one rider file; “Keep this child's figures” beside the child's boxes writes them.",
    command: Some("inseam serve --riders DIR --frames DIR"),
};
pub(super) const NO_CHILD: Blank = Blank {
    what: "The folder of children is empty.",
    cure: "Measure a child under “The child” and press “Keep this child's figures”, or put rider files into the folder.",
    command: None,
};
const NO_BIKE: Blank = Blank {
    what: "The rack is empty.",
    cure: "Measure a bike under “Add a bike” and keep it, or put frame files into the folder.",
    command: None,
};
/// Said where no file of the rack is a bike.
const NO_BIKE_READ: Blank = Blank {
    what: "No bike is on the rack: no frame file could be read.",
    cure: "“The rack” says of each file what is wrong with it.",
    command: None,
};
/// Said where the bikes are not the shop's own.
const SAMPLES: &str =
    "The bikes are the samples: start `inseam serve` with --frames DIR for the shop's own.";

/// What is said in place of an answer where the rack holds no bike.
pub(super) fn no_bike(bikes: &[Arc<Bike>], skipped: &[Skipped]) -> Option<Blank> {
    match (bikes, skipped) {
        ([_, ..], _) => None,
        ([], []) => Some(NO_BIKE),
        ([], _) => Some(NO_BIKE_READ),
    }
}

/// What a face without pages is told where a folder is missing.
pub(super) fn no_folder(blank: &Blank) -> Vec<Slip> {
    vec![Slip::of("", blank.what)]
}

/// The form of a screen of the book: the day, and the unit of its figures.
#[derive(Debug)]
pub(super) struct BookForm {
    pub(super) action: &'static str,
    /// The day, where one was named.
    pub(super) on: String,
    pub(super) units: Vec<Choice>,
    /// How far ahead to look; empty where that is not asked.
    pub(super) spans: Vec<Choice>,
    /// Heading of the printed list; None where nothing is printed.
    pub(super) title: Option<String>,
    /// The child of the other screens goes along unseen.
    pub(super) hidden: Vec<(String, String)>,
}

impl BookForm {
    pub(super) fn new(action: &'static str, query: &Query, question: &Question) -> Self {
        let asked = |flag: &str| ["on", "units", "within"].contains(&flag);
        let hidden = query.carried().keeping(|flag| !asked(flag));
        Self {
            action,
            on: query.get("on").unwrap_or_default().to_owned(),
            units: [Units::Cm, Units::Mm, Units::In]
                .into_iter()
                .map(|of| Choice {
                    word: of.word().to_owned(),
                    label: of.word().to_owned(),
                    is_chosen: of == question.units,
                })
                .collect(),
            spans: Vec::new(),
            title: None,
            hidden: hidden
                .pairs()
                .map(|(flag, value)| (flag.to_owned(), value.to_owned()))
                .collect(),
        }
    }

    /// The same, asking how far ahead to look.
    pub(super) fn with_spans(self, query: &Query) -> Self {
        const SPANS: [(&str, &str); 4] = [
            ("60d", "60 days"),
            ("2w", "2 weeks"),
            ("6m", "half a year"),
            ("1y", "a year"),
        ];
        let mut spans = chosen(query, "within", &SPANS);
        // A span of the user's own stays chosen.
        if let Some(own) = query.get("within")
            && !spans.iter().any(|span| span.is_chosen)
        {
            spans.push(Choice {
                word: own.to_owned(),
                label: own.to_owned(),
                is_chosen: true,
            });
        }
        Self { spans, ..self }
    }

    /// The same, asking for the heading of a printed list.
    pub(super) fn with_title(self, query: &Query) -> Self {
        let title = query.get("title").unwrap_or_default().to_owned();
        Self {
            title: Some(title),
            ..self
        }
    }
}

/// The same question in another form.
pub(super) fn in_form(path: &str, query: &Query, format: Format) -> String {
    let rest = query.flags().keeping(|flag| flag != "format");
    format!("{path}?{}", rest.with("format", format.word()).encoded())
}

/// A screen about a kept child. What was typed for another child stays behind.
pub(super) fn about_child(path: &str, query: &Query, rider: &str, frame: Option<&str>) -> String {
    let shown = query.keeping(|flag| ["units", "exact", "on"].contains(&flag));
    let asked = shown.with("rider", rider);
    let asked = match frame {
        Some(frame) => asked.with("frame", frame),
        None => asked,
    };
    format!("{path}?{}", asked.encoded())
}

/// What to know about the rack before reading on.
pub(super) fn whose_bikes(shop: &Shop) -> Option<&'static str> {
    (!shop.counter.keeps(Kept::Bike)).then_some(SAMPLES)
}

#[derive(Template)]
#[template(path = "book.html", config = "src/page/askama.toml")]
struct Page {
    frame: Frame,
    book: BookForm,
    blank: Option<Blank>,
    whose_bikes: Option<&'static str>,
    answer: Option<Served>,
    skipped: Vec<String>,
}

struct Served {
    headline: String,
    bikes: Vec<Row>,
    /// Address and words.
    unserved: Vec<(String, String)>,
    idle: Vec<String>,
    not_judged: Vec<String>,
    one_more: Option<String>,
    not_judged_heading: &'static str,
    about: &'static str,
    csv: String,
    cautions: &'static [&'static str],
}

struct Row {
    name: String,
    id: String,
    count: usize,
    children: String,
}

pub(in crate::page) fn book(shop: &Shop, query: &Query) -> Reply {
    answered(shop, query, "The book", "/book", |question| {
        answer(shop, query, question)
    })
}

fn answer(shop: &Shop, query: &Query, question: &Question) -> Answer {
    question.only_as(&[Format::Page, Format::Json, Format::Csv])?;
    let options = Options {
        forecast: false,
        ..question.options
    };
    let folder = shop.counter.children(options.on);
    let is_missing = folder.is_none();
    if is_missing && question.format != Format::Page {
        return Err(no_folder(&NO_CHILDREN_FOLDER));
    }
    let (children, mut skipped) = folder.unwrap_or_default();
    let (bikes, mut unread) = shop.counter.rack();
    skipped.append(&mut unread);
    let market = shop.counter.market();
    let coverage = coverage(&children, &bikes, market, options, || ());
    Ok(match question.format {
        Format::Json => Reply::json(&contract::coverage(&coverage, &skipped)),
        Format::Csv => Reply::csv(csv(&coverage)),
        _ => {
            let form = Form::new(shop, "/book", query, Some(question), &[]);
            let page = Page {
                frame: Frame::new("The book", "/book", query, form),
                book: BookForm::new("/book", query, question),
                blank: match children.as_slice() {
                    [] if is_missing => Some(NO_CHILDREN_FOLDER),
                    [] if skipped.is_empty() => Some(NO_CHILD),
                    _ => None,
                },
                whose_bikes: whose_bikes(shop),
                answer: (!children.is_empty() || !skipped.is_empty() && !is_missing)
                    .then(|| served(&coverage, &skipped, query, question.units)),
                skipped: skipped.into_iter().map(|file| file.error).collect(),
            };
            Reply::page(StatusCode::OK, &page)
        }
    })
}

fn served(coverage: &Coverage, skipped: &[Skipped], query: &Query, units: Units) -> Served {
    let row = |served: &crate::advice::coverage::Served| Row {
        name: served.bike.spec.name.clone(),
        id: served.bike.id.clone(),
        count: served.children.len(),
        children: if served.children.is_empty() {
            String::new()
        } else {
            names(&served.children)
        },
    };
    Served {
        headline: sentence(&headline(coverage, skipped)),
        bikes: coverage.bikes.iter().map(row).collect(),
        unserved: coverage
            .unserved
            .iter()
            .map(|child| (about_child("/", query, &child.id, None), who(child, units)))
            .collect(),
        idle: coverage.idle().map(|bike| bike.spec.name.clone()).collect(),
        not_judged: not_judged(coverage),
        one_more: one_more(coverage).map(|line| format!("{line}.")),
        not_judged_heading: NOT_JUDGED,
        about: ABOUT,
        csv: in_form("/book", query, Format::Csv),
        cautions: CAUTIONS,
    }
}
