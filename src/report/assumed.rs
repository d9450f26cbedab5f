//! What an answer rests on that nobody gave: assumed numbers of a bike, how sure the figures that decide are, and
//! which figure to take next. The same sentences under every report.
//! What is assumed is `bike::complete`'s.

use crate::advice::open::deciding;
use crate::advice::stop::Asked;
use crate::bike::{Bike, Figure};
use crate::fit::{Fit, Verdict, what_next};
use crate::report::terminal::{Layout, notes};
use crate::units::Units;
use crate::words::key_in_words;

/// The figures that decide, each as sure as a tape would show it, in one list.
pub(crate) fn known_as(bike: &Bike, units: Units) -> String {
    let figures = deciding(bike).map(|(figure, value, sd)| {
        let figure = format!("{} {}", key_in_words(figure.key()), units.length(value));
        if units.as_shown_mm(sd) > 0.0 {
            format!("{figure} ± {}", units.length(sd))
        } else {
            figure
        }
    });
    figures.collect::<Vec<_>>().join(", ")
}

/// What to take next, with how.
pub(crate) fn next_in_words(path: &str) -> String {
    let is_figure = |key: &str| !path.starts_with("brakes") && path.rsplit('.').next() == Some(key);
    let figure = Figure::ALL
        .into_iter()
        .find(|figure| is_figure(figure.key()));
    match figure {
        None if path == "brakes" => format!("kind of each of its brakes: `{path}`"),
        None if path.starts_with("brakes.") => {
            format!(
                "gap at the lever, outer lever face to outer grip face, its adjusting screw right in, then right out: `{path}`"
            )
        }
        Some(figure) => format!("{} ({}): `{path}`", key_in_words(path), figure.how()),
        None => format!("{}: `{path}`", key_in_words(path)),
    }
}

/// That figures are assumed, in one sentence; None with a full drawing.
pub(crate) fn short(bike: &Bike) -> Option<String> {
    let assumed = &bike.doubt.as_ref()?.assumed;
    (!assumed.is_empty()).then(|| match assumed.len() {
        1 => "one figure of the drawing is assumed, as bikes on such wheels have it".to_owned(),
        count => {
            format!("{count} figures of the drawing are assumed, as bikes on such wheels have them")
        }
    })
}

/// The same where a command is at hand that lists them.
pub(crate) fn short_with_command(bike: &Bike) -> Option<String> {
    Some(format!("{}; `inseam check` lists what is", short(bike)?))
}

/// The same as a section of a report; nothing with a full drawing.
pub(crate) fn assumed_note(out: &mut String, fit: &Fit, layout: Layout) {
    notes(
        out,
        "Assumed of this bike",
        &lines(&fit.bike, fit.verdict, layout.units, short_with_command),
        layout,
    );
}

/// Sentences on what an answer rests on, headed by [`short`] or [`short_with_command`]; none with a full drawing.
pub(crate) fn lines(
    bike: &Bike,
    verdict: Verdict,
    units: Units,
    first: fn(&Bike) -> Option<String>,
) -> Vec<String> {
    if bike.doubt.is_none() {
        return Vec::new();
    }
    let mut lines: Vec<_> = first(bike).into_iter().collect();
    lines.push(format!("so far: {}", known_as(bike, units)));
    // What an incomplete answer needs stands above, and comes first.
    let next = what_next(bike).filter(|_| verdict != Verdict::Incomplete);
    lines.extend(next.map(|path| {
        let whom = Asked::Nobody.words();
        format!("to know more, {whom}, take the {}", next_in_words(path))
    }));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reach_of_a_lever_is_not_told_as_the_reach_of_a_frame() {
        let lever = next_in_words("brakes.front.reach");
        assert!(
            lever.contains("lever") && !lever.contains("head-tube"),
            "{lever}"
        );
        assert!(next_in_words("frame.reach").contains("head-tube top"));
        assert!(next_in_words("measured.standover").starts_with("standover ("));
    }
}
