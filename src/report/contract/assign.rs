//! `inseam/assign`: who gets which bike, who gets none, and which bikes are left.

use serde::Serialize;

use crate::advice::assign::{Assignment, Given, Without};
use crate::cautions::CAUTIONS;
use crate::report::assign_text::{HOW, help};
use crate::report::contract::{Months, NotJudged, Skipped};
use crate::report::verdict_text::{ABOUT, names};
use crate::units::Units;

/// Name and version of the object.
const SCHEMA: &str = "inseam/assign/1";

/// An assignment as the contract has it, its words in `units`.
pub fn assignment<'a>(
    assignment: &'a Assignment,
    skipped: &'a [Skipped],
    units: Units,
) -> impl Serialize + use<'a> {
    AssignmentObject {
        schema: SCHEMA,
        order: HOW,
        about: ABOUT,
        pairs: assignment.pairs.iter().map(PairObject::new).collect(),
        without_bike: assignment
            .without_bike
            .iter()
            .map(|rest| rest.child.id.as_str())
            .collect(),
        help: assignment
            .without_bike
            .iter()
            .map(|rest| HelpObject::new(rest, units))
            .collect(),
        spare: assignment
            .spare
            .iter()
            .map(|spare| spare.bike.id.as_str())
            .collect(),
        not_judged: assignment
            .spare
            .iter()
            .filter_map(|spare| {
                Some(NotJudged {
                    bike: &spare.bike.id,
                    reason: spare.not_judged()?,
                })
            })
            .collect(),
        skipped,
        cautions: CAUTIONS,
    }
}

#[derive(Serialize)]
struct AssignmentObject<'a> {
    schema: &'static str,
    order: &'static str,
    about: &'static str,
    pairs: Vec<PairObject<'a>>,
    without_bike: Vec<&'a str>,
    help: Vec<HelpObject<'a>>,
    spare: Vec<&'a str>,
    not_judged: Vec<NotJudged<'a>>,
    skipped: &'a [Skipped],
    cautions: &'static [&'static str],
}

/// A child and its bike, by the names of their files; `cautions` and `not_checked` are checks.
#[derive(Serialize)]
struct PairObject<'a> {
    rider: &'a str,
    name: Option<&'a str>,
    bike: &'a str,
    verdict: &'static str,
    chance: Option<f64>,
    months_left: Months,
    saddle_height_mm: Option<f64>,
    seat_height_mm: f64,
    exposed_post_mm: Option<f64>,
    cautions: Vec<&'static str>,
    not_checked: Vec<&'static str>,
}

impl<'a> PairObject<'a> {
    fn new(pair: &'a Given) -> Self {
        let setting = pair.fit.pair().setting();
        Self {
            rider: &pair.child.id,
            name: pair.child.rider.name.as_deref(),
            bike: &pair.fit.bike.id,
            verdict: pair.fit.verdict.word(),
            chance: pair.fit.odds.map(|odds| odds.chance),
            months_left: pair.months_left().into(),
            saddle_height_mm: pair.fit.pair().tabled_saddle_height_mm(),
            seat_height_mm: setting.seat_height_mm,
            exposed_post_mm: setting.exposed_post_mm,
            cautions: names(pair.fit.cautions()),
            not_checked: names(pair.fit.unchecked()),
        }
    }
}

/// What would help a child who gets none: bikes that fit and are taken, one of which too little is known,
/// the nearest here, a sample that would fit.
#[derive(Serialize)]
struct HelpObject<'a> {
    rider: &'a str,
    name: Option<&'a str>,
    taken: Vec<&'a str>,
    open: Option<&'a str>,
    nearest: Option<&'a str>,
    wanted: Option<&'a str>,
    words: String,
}

impl<'a> HelpObject<'a> {
    fn new(rest: &'a Without, units: Units) -> Self {
        Self {
            rider: &rest.child.id,
            name: rest.child.rider.name.as_deref(),
            taken: rest.taken.iter().map(|bike| bike.id.as_str()).collect(),
            open: rest.open.as_ref().map(|open| open.bike.id.as_str()),
            nearest: rest.nearest.as_ref().map(|(fit, _)| fit.bike.id.as_str()),
            wanted: rest.wanted.as_ref().map(|bike| bike.id.as_str()),
            words: help(rest, units),
        }
    }
}
