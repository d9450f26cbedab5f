//! The handover card: one printed page, one file, nothing fetched, readable in black and white.
//! A pair that does not fit gets the stop card instead: why, how far off, and nothing to set.
//! Numbers and sentences come from `advice::handover` and `handover_text`; the picture is a finished SVG.

use askama::Template;

use crate::advice::handover::settings::Line;
use crate::advice::handover::{Handover, Work};
use crate::bike::Bike;
use crate::cautions::{CAUTIONS, without_a_ride};
use crate::fit::Verdict;
use crate::report::assumed;
use crate::report::handover_text::{come_back, do_not, nearest_line, stop_lines};
pub use crate::report::sheet::{Extras, Paper};
use crate::report::sheet::{Sheet, element, glue, in_quotation_marks};
use crate::report::verdict_text::{ABOUT, about, cautions, verdict_line};
use crate::units::Units;
use crate::words::{key_in_words, sentence};

/// Size of the letters, points.
const FONT_PT: f64 = 10.0;

#[derive(Template)]
#[template(path = "card.html", config = "src/report/askama.toml")]
struct Card<'a> {
    sheet: Sheet,
    verdict: String,
    stage: &'static str,
    read_this: Vec<String>,
    look_again: Vec<String>,
    settings: Vec<Line>,
    limits: Vec<String>,
    needs: String,
    rider_shows: Vec<String>,
    come_back: Vec<String>,
    cautions: &'static [&'static str],
    picture: Option<&'a str>,
}

#[derive(Template)]
#[template(path = "stop.html", config = "src/report/askama.toml")]
struct StopCard<'a> {
    sheet: Sheet,
    reason: String,
    do_not: &'static str,
    verdict: String,
    about: &'static str,
    more: Vec<String>,
    look_again: Vec<String>,
    cautions: Vec<&'static str>,
    picture: Option<&'a str>,
}

/// The card as one HTML file; for a pair that does not fit, the stop card.
///
/// # Errors
/// When the template cannot be written out, which its types rule out.
pub fn card(handover: &Handover, extras: &Extras) -> Result<String, askama::Error> {
    let fit = &handover.fit;
    let day = handover.date.to_string();
    let sheet = Sheet::new(&fit.bike.spec.name, day, FONT_PT, extras).with_rider(fit, extras.units);
    match &handover.work {
        Ok(work) => work_card(handover, work, sheet, extras),
        Err(_) => stop_card(handover, sheet, extras),
    }
}

fn work_card(
    handover: &Handover,
    work: &Work,
    sheet: Sheet,
    extras: &Extras,
) -> Result<String, askama::Error> {
    let units = extras.units;
    let mut missing = work.levers.needs.clone();
    missing.extend(&work.tyres.needs);
    if let Some(spring) = &work.air_spring {
        missing.extend(
            spring
                .needs
                .iter()
                .filter(|what| !work.tyres.needs.contains(what)),
        );
    }
    Card {
        sheet,
        verdict: verdict_line(&handover.fit),
        stage: work.saddle.stage.word(),
        read_this: handover.read_this(units),
        look_again: look_again(handover, units),
        settings: work.settings(units),
        limits: work.saddle.stop_untold(units).into_iter().collect(),
        needs: if missing.is_empty() {
            String::new()
        } else {
            // Where a file has it is no matter for the family.
            let known = missing
                .iter()
                .map(|what| key_in_words(what.split(" (").next().unwrap_or(what)));
            format!(
                "More can be said with {}.",
                known.collect::<Vec<_>>().join(", ")
            )
        },
        rider_shows: handover.rider_shows(units),
        come_back: come_back(handover, work, units),
        cautions: CAUTIONS,
        picture: extras.picture.as_deref().map(element),
    }
    .render()
    .map(in_quotation_marks)
}

/// What to look at again, and that the bike is not fully known.
fn look_again(handover: &Handover, units: Units) -> Vec<String> {
    let assumed = assumed::short(&handover.fit.bike);
    assumed
        .into_iter()
        .chain(handover.look_again(units))
        .collect()
}

fn stop_card(handover: &Handover, sheet: Sheet, extras: &Extras) -> Result<String, askama::Error> {
    let fit = &handover.fit;
    let lines = stop_lines(handover, extras.units);
    let mut lines = lines.into_iter().chain(nearest_line(handover));
    StopCard {
        sheet,
        reason: lines.next().unwrap_or_default(),
        do_not: do_not(fit.verdict),
        verdict: verdict_line(fit),
        about: about(fit.verdict),
        more: lines.collect(),
        look_again: look_again(handover, extras.units),
        cautions: cautions(fit.verdict),
        picture: extras.picture.as_deref().map(element),
    }
    .render()
    .map(in_quotation_marks)
}

/// What ruling a bike out means where no rider was asked about.
const FOR_NOBODY: &str = "for no rider as it is";

/// The stop sheet of a bike that nobody is to ride as it is, for these reasons; None where there are none.
pub(super) fn bike_stop(
    bike: &Bike,
    reasons: &[String],
    extras: &Extras,
) -> Option<Result<String, askama::Error>> {
    let mut reasons = reasons.iter().map(|reason| sentence(reason));
    let reason = reasons.next()?;
    let sheet = Sheet::new(&bike.spec.name, String::new(), FONT_PT, extras);
    let stop = StopCard {
        sheet,
        reason,
        do_not: do_not(Verdict::Unsuitable),
        verdict: format!(
            "{}: {FOR_NOBODY}",
            Verdict::Unsuitable.word().to_uppercase()
        ),
        about: about(Verdict::Unsuitable),
        more: reasons.collect(),
        look_again: assumed::short(bike).into_iter().collect(),
        cautions: without_a_ride(),
        picture: None,
    };
    Some(stop.render().map(in_quotation_marks))
}
