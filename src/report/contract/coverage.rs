//! `inseam/coverage`: a rack against the children it is for.

use serde::Serialize;

use crate::advice::coverage::{Coverage, Served};
use crate::cautions::CAUTIONS;
use crate::report::contract::{NotJudged, Skipped};
use crate::report::verdict_text::ABOUT;

/// Name and version of the object.
const SCHEMA: &str = "inseam/coverage/1";

/// A coverage as the contract has it; children and bikes by the names of their files.
pub fn coverage<'a>(coverage: &'a Coverage, skipped: &'a [Skipped]) -> impl Serialize + use<'a> {
    CoverageObject {
        schema: SCHEMA,
        about: ABOUT,
        bikes: coverage.bikes.iter().map(ServedObject::new).collect(),
        unserved: coverage
            .unserved
            .iter()
            .map(|child| child.id.as_str())
            .collect(),
        not_judged: coverage
            .not_judged()
            .map(|(bike, reason)| NotJudged {
                bike: &bike.id,
                reason,
            })
            .collect(),
        idle: coverage.idle().map(|bike| bike.id.as_str()).collect(),
        one_more: coverage.one_more.as_ref().map(ServedObject::new),
        skipped,
        cautions: CAUTIONS,
    }
}

#[derive(Serialize)]
struct CoverageObject<'a> {
    schema: &'static str,
    about: &'static str,
    bikes: Vec<ServedObject<'a>>,
    unserved: Vec<&'a str>,
    idle: Vec<&'a str>,
    not_judged: Vec<NotJudged<'a>>,
    one_more: Option<ServedObject<'a>>,
    skipped: &'a [Skipped],
    cautions: &'static [&'static str],
}

#[derive(Serialize)]
struct ServedObject<'a> {
    bike: &'a str,
    riders: Vec<&'a str>,
}

impl<'a> ServedObject<'a> {
    fn new(served: &'a Served) -> Self {
        Self {
            bike: &served.bike.id,
            riders: served
                .children
                .iter()
                .map(|child| child.id.as_str())
                .collect(),
        }
    }
}
