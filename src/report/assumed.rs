//! What an answer rests on that nobody gave: assumed numbers of a bike, how sure the figures that decide are, and
//! which figure to take next. The same sentences under every report.
//! What is assumed is `bike::complete`'s.

use crate::advice::open::DECIDING;
use crate::bike::{Bike, Figure};
use crate::fit::what_next;
use crate::report::terminal::{Layout, notes};
use crate::units::Units;

/// A figure of the bike in words: `seat height lowest`.
pub(crate) fn figure_in_words(path: &str) -> String {
    let last = path.rsplit('.').next().unwrap_or(path);
    last.replace('_', " ")
}

/// What to take next, with how.
pub(crate) fn next_in_words(path: &str) -> String {
    let figure = Figure::ALL
        .into_iter()
        .find(|figure| path.ends_with(figure.key()));
    match figure {
        Some(figure) => format!("{} ({}): `{path}`", figure_in_words(path), figure.how()),
        None => format!("{}: `{path}`", figure_in_words(path)),
    }
}

/// That figures are assumed, in one sentence; None with a full drawing.
pub(crate) fn short(bike: &Bike) -> Option<String> {
    let assumed = &bike.doubt.as_ref()?.assumed;
    (!assumed.is_empty()).then(|| {
        format!(
            "{} figures of the drawing are assumed, as bikes on such wheels have them; `inseam check` lists them",
            assumed.len()
        )
    })
}

/// The same as a section of a report; nothing with a full drawing.
pub(crate) fn assumed_note(out: &mut String, bike: &Bike, layout: Layout) {
    notes(
        out,
        "Assumed of this bike",
        &lines(bike, layout.units),
        layout,
    );
}

/// Sentences on what a bike's answer rests on; none with a full drawing.
pub(crate) fn lines(bike: &Bike, units: Units) -> Vec<String> {
    let Some(doubt) = &bike.doubt else {
        return Vec::new();
    };
    let mut lines: Vec<String> = short(bike).into_iter().collect();
    let sure: Vec<_> = DECIDING
        .into_iter()
        .map(|figure| {
            format!(
                "{} {} ± {}",
                figure_in_words(figure.key()),
                units.length(figure.of(&bike.drawing, &bike.layout)),
                units.length(doubt.sd(figure))
            )
        })
        .collect();
    lines.push(format!("so far: {}", sure.join(", ")));
    lines.extend(
        what_next(bike).map(|path| format!("to know more, take the {}", next_in_words(path))),
    );
    lines
}
