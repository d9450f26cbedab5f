//! Keeping: the only place where something about a child is written down, and only when it is asked for.
//! Where and under what name is the counter's business.

use askama::Template;
use axum::http::StatusCode;

use crate::page::query::Query;
use crate::page::screens::{Reply, Wrong, in_its_unit};
use crate::page::shop::Shop;
use crate::page::view::{Form, Frame};
use crate::page::{Kept, Slip, Unkept};

#[derive(Template)]
#[template(path = "kept.html", config = "src/page/askama.toml")]
pub(super) struct KeptPage {
    pub(super) frame: Frame,
    pub(super) what: &'static str,
    pub(super) name: String,
    /// Where it is seen at work.
    pub(super) next: String,
    pub(super) next_words: &'static str,
}

/// Keeps the child of a form as a rider file.
pub(in crate::page) fn keep_rider(shop: &Shop, form: &Query) -> Reply {
    let query = form.from_form();
    let asked = query.carried();
    let name = form.get("keep-as").unwrap_or_default();
    let kept = if name.is_empty() {
        Err(Unkept::Slips(vec![Slip::of(
            "keep-as",
            "a name to keep the child's figures under is needed",
        )]))
    } else {
        shop.counter
            .keep_rider(&asked, name, form.get("replace").is_some())
    };
    match kept {
        Ok(name) => {
            let units = asked.keeping(|flag| flag == "units");
            let next = Query::default().with("rider", &name);
            let next = format!("/?{}&{}", next.encoded(), units.encoded());
            let form = Form::new(shop, "/", &units, None, &[]);
            let page = KeptPage {
                frame: Frame::new("Kept", "/rider", &units, form),
                what: "rider file",
                name,
                next: next.trim_end_matches('&').to_owned(),
                next_words: "The rack for this child",
            };
            Reply::page(StatusCode::CREATED, &page)
        }
        Err(why) => {
            let (status, slips) = slips(why, Kept::Rider);
            let slips = in_its_unit(&asked, slips);
            let question = shop.counter.ask(&asked).ok();
            let shown = asked
                .clone()
                .with("keep-as", form.get("keep-as").unwrap_or_default());
            let form = Form::new(shop, "/", &shown, question.as_ref(), &slips);
            let frame = Frame::new("Not kept", "/", &asked, form);
            Reply::page(status, &Wrong::new(frame, &slips))
        }
    }
}

/// Why nothing was kept, beside what it belongs to.
pub(super) fn slips(why: Unkept, what: Kept) -> (StatusCode, Vec<Slip>) {
    match why {
        Unkept::Exists { file, free } => {
            let other = match what {
                Kept::Rider | Kept::Bike => format!("give another name, such as {free}"),
                Kept::Record => "give the number stamped on the frame".to_owned(),
            };
            let message = format!(
                "there is a file {file} already and it was left as it is: {other}, or tick “replace” to put this in its place"
            );
            (StatusCode::CONFLICT, vec![Slip::of("replace", &message)])
        }
        Unkept::Slips(slips) => (StatusCode::BAD_REQUEST, slips),
        Unkept::Because(why) => (StatusCode::FORBIDDEN, vec![Slip::of("", &why)]),
    }
}
