//! The verdict in words, the same wherever it is shown: how sure, about what, and why a pair gets no work order.
//! The facts are `fit`'s and `advice::stop`'s; where the lines stand is the reports' business.

use anstyle::{AnsiColor, Style};

use crate::advice::stop::Stop;
pub(crate) use crate::advice::stop::{doubt_to_try_mm, saddle_to_try, told_doubt_mm};
use crate::cautions::{CAUTIONS, without_a_ride};
use crate::fit::odds::EVEN;
use crate::fit::{Confidence, Finding, Fit, Side, Status, Verdict};
use crate::report::terminal::{Layout, styled, wrapped};
use crate::rider::growth::is_grown;
use crate::rider::measures::DEFAULT_SOLE_MM;
use crate::rider::{Measurement, Rider, Stage};
use crate::units::Units;
pub(crate) use crate::words::sentence;
use crate::words::{percent, tidy};

/// What a verdict is not about.
pub(crate) const ABOUT: &str =
    "About size only: it says nothing about the state of brakes, bolts or tyres.";
/// The same of a bike that is ruled out whatever its size.
const ABOUT_RULED_OUT: &str =
    "No matter of size; it says nothing about the state of the other parts.";

/// What a verdict is and is not about.
pub(crate) const fn about(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Unsuitable => ABOUT_RULED_OUT,
        Verdict::Fits
        | Verdict::TooBig
        | Verdict::TooSmall
        | Verdict::Incomplete
        | Verdict::Undecided => ABOUT,
    }
}

/// The cautions that go with a verdict: of a bike that is ruled out nobody tries a first ride.
pub(crate) fn cautions(verdict: Verdict) -> Vec<&'static str> {
    if verdict.rules_out() {
        without_a_ride()
    } else {
        CAUTIONS.to_vec()
    }
}

/// Heads everything about a bike that is too big or ruled out.
pub(crate) const DO_NOT_RIDE: &str = "Do not ride this bike.";

/// The way to a bike that fits, where a command is at hand.
pub(crate) const LOOK_FOR: &str = "Which bikes fit: `inseam size` with the same figures.";

/// What comes before the name of the bike to offer instead.
pub(crate) const NEAREST: &str = "The nearest bike that fits";

/// Style of a verdict.
fn verdict_style(verdict: Verdict) -> Style {
    let colour = match verdict {
        Verdict::Fits => AnsiColor::Green,
        Verdict::Undecided | Verdict::Incomplete => AnsiColor::Yellow,
        Verdict::TooBig | Verdict::TooSmall | Verdict::Unsuitable => AnsiColor::Red,
    };
    Style::new().bold().fg_color(Some(colour.into()))
}

/// The decisive line, and for a pair that gets no work order the reason, the amount and what to do.
pub(crate) fn verdict_lines(out: &mut String, fit: &Fit, stop: Option<&Stop>, layout: Layout) {
    styled_verdict(out, fit, layout);
    for line in stop_lines(fit, stop, layout.units) {
        wrapped(out, &line, layout.columns, "  ");
    }
    wrapped(out, about(fit.verdict), layout.columns, "  ");
}

/// The verdict in one line, and how sure it is of the size.
pub(crate) fn verdict_line(fit: &Fit) -> String {
    let (verdict, sure) = (fit.verdict, sureness(fit));
    let sure = sure.map_or_else(String::new, |sure| format!(" ({sure})"));
    let word = verdict.word().to_uppercase();
    format!("{word}: {}{sure}", verdict.meaning())
}

/// The same with its word in the verdict's colour.
pub(crate) fn styled_verdict(out: &mut String, fit: &Fit, layout: Layout) {
    let word = fit.verdict.word().to_uppercase();
    let mut lines = String::new();
    wrapped(&mut lines, &verdict_line(fit), layout.columns, "  ");
    // Styled after wrapping, so that the codes do not count as columns.
    out.push_str(&lines.replacen(&word, &styled(verdict_style(fit.verdict), &word), 1));
}

/// What decided against a pair, and by how much; of one that is not decided to which side it leans, and how to try it.
pub(crate) fn reasons(fit: &Fit, stop: &Stop, units: Units) -> Vec<String> {
    let mut lines = vec![sentence(&stop.reason(fit, units))];
    lines.extend(stop.distance(units).map(|distance| sentence(&distance)));
    lines.extend(leaning(fit));
    lines.extend(to_try(fit, units).map(|saddle| sentence(&saddle)));
    lines
}

/// Why there is no work order, in sentences.
pub(crate) fn stop_lines(fit: &Fit, stop: Option<&Stop>, units: Units) -> Vec<String> {
    let Some(stop) = stop else {
        return Vec::new();
    };
    let mut lines = reasons(fit, stop, units);
    if let Verdict::TooBig | Verdict::Unsuitable = fit.verdict {
        lines.push(DO_NOT_RIDE.to_owned());
    }
    lines
}

/// The saddle that an undecided pair is tried with, in one sentence without an end: see [`saddle_to_try`].
pub(crate) fn to_try(fit: &Fit, units: Units) -> Option<String> {
    let saddle = saddle_to_try(fit, units)?;
    let never = fit.pair().setting().never_above();
    Some(format!("to try it, set the saddle to {saddle}{never}"))
}

/// To which side an undecided pair leans, which is no yes where no is the likelier answer; None of any other.
fn leaning(fit: &Fit) -> Option<String> {
    // Of which side, the age decides.
    if fit.turns_on_age() {
        return None;
    }
    let leans = told_lean(fit)?;
    let as_measured = Side::of(&fit.measures);
    let is_likelier = fit.chance().is_none_or(|chance| chance >= EVEN);
    Some(match leans {
        Side::Fits if !is_likelier && leans != as_measured => {
            "It is likelier that it does not fit.".to_owned()
        }
        _ if leans != as_measured => format!(
            "By the figures as measured it {}, but it is likelier that it {}.",
            is(as_measured),
            is(leans)
        ),
        Side::Fits if !is_likelier => {
            "It fits by the figures as measured, but it is likelier that it does not.".to_owned()
        }
        side => format!("As measured, it leans to: {}.", in_words(side)),
    })
}

/// In place of a chance, which would be that of one of two ages.
const ON_AGE: &str = "it depends on the age";

/// To which side a pair leans, where that may be told: of an undecided one only.
pub(crate) fn told_lean(fit: &Fit) -> Option<Side> {
    (fit.verdict == Verdict::Undecided).then(|| fit.leans())
}

fn in_words(side: Side) -> String {
    side.word().replace('-', " ")
}

/// What a pair on this side does or is.
fn is(side: Side) -> String {
    let is = if side == Side::Fits { "" } else { "is " };
    format!("{is}{}", in_words(side))
}

/// The chance of the verdict as it may be told: none where too little is known for any.
pub(crate) fn told_chance(fit: &Fit) -> Option<f64> {
    fit.chance().filter(|_| fit.verdict != Verdict::Incomplete)
}

/// How sure the verdict is, in words; None when exact figures were asked for, where too little is known for any, and
/// where it is no matter of size.
pub(crate) fn sureness(fit: &Fit) -> Option<String> {
    if fit.verdict == Verdict::Unsuitable {
        return None;
    }
    let (chance, confidence) = (percent(told_chance(fit)?), fit.confidence()?);
    Some(match confidence {
        _ if fit.turns_on_age() => ON_AGE.to_owned(),
        Confidence::Sure | Confidence::Likely => {
            // Of a bike that is the wrong size it would read as if it were the right one.
            let of = if fit.verdict.fits() {
                " of the size"
            } else {
                ""
            };
            format!("{}{of}, {chance} %{}", confidence.word(), fit.proviso())
        }
        // That it is too close to call is the verdict's own meaning.
        Confidence::TooCloseToCall => format!("chance {chance} % that it {}", is(fit.leans())),
    })
}

/// The same under a heading that says that the size is meant.
pub(crate) fn sureness_short(fit: &Fit) -> Option<String> {
    sureness(fit)?;
    if fit.turns_on_age() {
        return Some(ON_AGE.to_owned());
    }
    let (chance, confidence) = (percent(told_chance(fit)?), fit.confidence()?);
    // The figure and its sign stay on one line.
    Some(match confidence {
        Confidence::TooCloseToCall => format!("{chance}\u{a0}% {}", in_words(fit.leans())),
        Confidence::Sure | Confidence::Likely => {
            format!("{}, {chance}\u{a0}%", confidence.word())
        }
    })
}

/// Titles of the checks of safety that could not be made; None where all were.
pub(crate) fn not_checked(fit: &Fit) -> Option<String> {
    let titles: Vec<_> = fit.unchecked().map(|finding| finding.id.title()).collect();
    (!titles.is_empty()).then(|| format!("not checked: {}", titles.join(", ")))
}

/// Checks by their names in tables and objects.
pub(crate) fn names(findings: impl Iterator<Item = Finding>) -> Vec<&'static str> {
    findings.map(|finding| finding.id.name()).collect()
}

/// Cautions and checks of safety that could not be made, as two cells of a table: see [`Fit::to_read`].
pub(crate) fn to_read_cells(fit: &Fit) -> [String; 2] {
    [names(fit.cautions()), names(fit.unchecked())].map(|names| names.join(" "))
}

/// The rider's measurements, estimates marked, as a paragraph.
pub(crate) fn rider_line(out: &mut String, rider: &Rider, layout: Layout) {
    wrapped(out, &rider_figures(rider, layout.units), layout.columns, "");
}

/// The same of a rider on a bike, with the stage that the pair is judged at.
pub(crate) fn fit_line(out: &mut String, fit: &Fit, layout: Layout) {
    wrapped(out, &fit_figures(fit, layout.units), layout.columns, "");
}

/// The same in one line.
pub(crate) fn fit_figures(fit: &Fit, units: Units) -> String {
    figures(&fit.rider, fit.pose.stage, units)
}

/// A rider's figures in one line.
pub(crate) fn rider_figures(rider: &Rider, units: Units) -> String {
    figures(rider, rider.stage, units)
}

fn figures(rider: &Rider, stage: Stage, units: Units) -> String {
    let show = |name: &str, of: Measurement| format!("{name} {}", rider.told(of, units));
    let mut parts = vec![
        show("inside leg (inseam)", Measurement::Inseam),
        show("height", Measurement::Height),
        show("arm reach", Measurement::ArmReach),
    ];
    if let Some(age) = rider.age {
        let over = if is_grown(age) {
            " (growing is over)"
        } else {
            ""
        };
        parts.push(format!("age {age}{over}"));
    }
    if let Some(weight) = rider.weight {
        parts.push(format!("{} kg", tidy(weight.kg(), 1)));
    }
    let sole = units.length(rider.sole_mm);
    if sole != units.length(DEFAULT_SOLE_MM) {
        parts.push(format!("shoe sole {sole}"));
    }
    parts.push(format!("stage {stage}"));
    parts.join(", ")
}

/// The findings to show, the deciding one first: all of a pair that may fit; of one that is ruled out those that speak
/// against it.
pub(crate) fn shown(fit: &Fit, stop: Option<&Stop>) -> Vec<Finding> {
    let mut findings: Vec<_> = fit.findings().collect();
    if let Some(stop) = stop {
        let first = stop.check();
        findings.retain(|finding| {
            !fit.verdict.rules_out()
                || Some(finding.id) == first
                || matches!(
                    finding.status(),
                    Status::Fail(_) | Status::NotChecked(_) | Status::Caution
                )
        });
        findings.sort_by_key(|finding| Some(finding.id) != first);
    }
    findings
}

/// Stands where a setting would: a pair that is not decided gets no work order.
pub(crate) const SET_LATER: &str = "a setting: made once this is settled";

/// What a finding that is shown means for this pair, in one sentence without an end.
pub(crate) fn shown_advice(fit: &Fit, finding: &Finding, units: Units) -> String {
    if finding.status() == Status::Set && !fit.verdict.fits() {
        SET_LATER.to_owned()
    } else {
        fit.advice(finding, units)
    }
}
