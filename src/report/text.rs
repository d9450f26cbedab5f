//! Reports for a terminal: the verdict first, then the settings, then the findings.
//! Fits any width from 40 columns; colour only repeats what the words say.

use anstyle::{AnsiColor, Style};
use comfy_table::{ColumnConstraint, ContentArrangement, Table, Width, presets};
use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

use crate::cautions::CAUTIONS;
use crate::fit::{Finding, Fit, Status, Verdict};
use crate::report::growth_text;
use crate::rider::{Measurement, Rider};
use crate::units::{Units, tidy};

/// How to lay a report out.
#[derive(Debug, Clone, Copy)]
pub struct Layout {
    /// Columns of the terminal.
    pub columns: usize,
    /// Length unit.
    pub units: Units,
}

/// A line and its end.
pub(crate) fn push_line(out: &mut String, line: &str) {
    out.push_str(line);
    out.push('\n');
}

/// A style as ANSI codes; the writer strips them where the terminal does not want them.
pub(crate) fn styled(style: Style, text: &str) -> String {
    format!("{style}{text}{style:#}")
}

/// Style of a verdict.
pub(crate) fn verdict_style(verdict: Verdict) -> Style {
    let colour = match verdict {
        Verdict::Fits => AnsiColor::Green,
        Verdict::Undecided | Verdict::Incomplete => AnsiColor::Yellow,
        Verdict::TooBig | Verdict::TooSmall | Verdict::Unsuitable => AnsiColor::Red,
    };
    Style::new().bold().fg_color(Some(colour.into()))
}

/// A table without frame lines that wraps inside `columns`.
pub(crate) fn table(header: &[&str], columns: usize) -> Table {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(columns).unwrap_or(u16::MAX))
        .set_header(header.iter().map(|title| title.to_uppercase()));
    table
}

/// A paragraph wrapped to `columns`, every line after the first indented; a word longer than a line is cut.
pub(crate) fn wrapped(out: &mut String, text: &str, columns: usize, indent: &str) {
    let mut line = String::new();
    let mut is_started = false;
    for word in text.split_whitespace() {
        if is_started && line.width() + 1 + word.width() > columns {
            push_line(out, &line);
            indent.clone_into(&mut line);
        } else if is_started {
            line.push(' ');
        }
        is_started = true;
        for letter in word.chars() {
            if line.width() + letter.width().unwrap_or(0) > columns {
                push_line(out, &line);
                indent.clone_into(&mut line);
            }
            line.push(letter);
        }
    }
    push_line(out, &line);
}

/// The report on one fit.
pub fn fit(fit: &Fit, layout: Layout) -> String {
    let mut out = String::new();
    let title = format!("{} on {}", fit.rider.title(), fit.bike.spec.name);
    wrapped(&mut out, &title, layout.columns, "  ");
    verdict_lines(&mut out, fit, layout);
    out.push('\n');
    rider_line(&mut out, &fit.rider, layout);
    out.push('\n');
    settings(&mut out, fit, layout);
    out.push('\n');
    findings(&mut out, fit, layout);
    if let Some(growth) = fit.growth() {
        growth_text::growth(&mut out, growth, layout);
    }
    notes(&mut out, "Look again", &fit.warnings(layout.units), layout);
    notes(&mut out, "Cautions", CAUTIONS, layout);
    out
}

/// The decisive line, and what would make it surer.
pub(crate) fn verdict_lines(out: &mut String, fit: &Fit, layout: Layout) {
    let word = fit.verdict.word().to_uppercase();
    let sure = sureness(fit).map_or_else(String::new, |sure| format!(" ({sure})"));
    let line = format!("{word}: {}{sure}", fit.verdict.meaning());
    let mut lines = String::new();
    wrapped(&mut lines, &line, layout.columns, "  ");
    // Styled after wrapping, so that the codes do not count as columns.
    out.push_str(&lines.replacen(&word, &styled(verdict_style(fit.verdict), &word), 1));
    if let Some(again) = fit.odds.and_then(|odds| odds.remeasure) {
        wrapped(
            out,
            &format!("To settle it, {}.", again.words()),
            layout.columns,
            "  ",
        );
    }
}

/// How sure the verdict is, in words; None when exact figures were asked for.
pub(crate) fn sureness(fit: &Fit) -> Option<String> {
    let (odds, confidence) = (fit.odds?, fit.confidence()?);
    Some(format!("{} {} %", confidence.word(), percent(odds.chance)))
}

/// A chance in whole percent that never rounds up to certainty.
fn percent(chance: f64) -> String {
    if chance < 1.0 {
        tidy((chance * 100.0).floor().clamp(1.0, 99.0), 0)
    } else {
        "over 99".to_owned()
    }
}

/// The rider's measurements, estimates marked.
pub(crate) fn rider_line(out: &mut String, rider: &Rider, layout: Layout) {
    wrapped(out, &rider_figures(rider, layout.units), layout.columns, "");
}

/// The rider's measurements in one line, estimates marked.
pub(crate) fn rider_figures(rider: &Rider, units: Units) -> String {
    let show = |measurement: Measurement, mm: f64| {
        let guess = if rider.has_measured(measurement) {
            ""
        } else {
            " (estimated)"
        };
        let name = measurement.key().replace('_', " ");
        format!("{name} {}{guess}", units.length(mm))
    };
    let mut parts = vec![
        show(Measurement::Inseam, rider.inseam.mm()),
        show(Measurement::Height, rider.height.mm()),
        show(Measurement::ArmReach, rider.arm_reach.mm()),
    ];
    if let Some(age) = rider.age {
        parts.push(format!("age {age}"));
    }
    if let Some(weight) = rider.weight {
        parts.push(format!("{} kg", tidy(weight.kg(), 1)));
    }
    parts.push(format!("stage {}", rider.stage));
    parts.join(", ")
}

fn settings(out: &mut String, fit: &Fit, layout: Layout) {
    let units = layout.units;
    let setting = fit.pair().setting();
    let sd = fit.odds.and_then(|odds| odds.saddle_height_sd_mm);
    let mut rows = vec![(
        "saddle height",
        format!(
            "{}{} from the bottom bracket to the saddle top",
            units.length(setting.saddle_height_mm),
            sd.map_or_else(String::new, |sd| format!(" ± {}", units.length(sd)))
        ),
    )];
    rows.push((
        "seat height",
        format!("{} above the ground", units.length(setting.seat_height_mm)),
    ));
    rows.push((
        "exposed post",
        format!(
            "{}, {} still in the tube",
            units.length(setting.exposed_post_mm),
            units.length(setting.insertion_mm)
        ),
    ));
    if let Some(gap) = setting.lever_gap_mm {
        rows.push((
            "lever gap",
            format!("{} from lever to grip", units.length(gap)),
        ));
    }
    push_line(out, "Set");
    for (name, value) in rows {
        let line = format!("  {name:<14} {value}");
        wrapped_keep(out, &line, layout.columns);
    }
}

/// A line whose own leading spaces and column gap stay.
fn wrapped_keep(out: &mut String, line: &str, columns: usize) {
    if line.width() <= columns {
        push_line(out, line);
    } else {
        wrapped(out, line, columns, "    ");
    }
}

fn findings(out: &mut String, fit: &Fit, layout: Layout) {
    let mut rows = table(
        &["check", "measured", "wanted", "status", "advice"],
        layout.columns,
    );
    for finding in fit.findings() {
        rows.add_row([
            finding.id.title(),
            finding
                .measured(layout.units)
                .unwrap_or_else(|| "-".to_owned()),
            finding.wanted(layout.units),
            mark(&finding),
            fit.advice(&finding, layout.units),
        ]);
    }
    for (column, width) in [(0, 15), (1, 10), (2, 14), (3, 9)] {
        if let Some(column) = rows.column_mut(column) {
            column.set_constraint(ColumnConstraint::UpperBoundary(Width::Fixed(width)));
        }
    }
    for line in rows.lines() {
        push_line(out, line.trim_end());
    }
}

/// The status, with the chance that it holds where that is in doubt.
fn mark(finding: &Finding) -> String {
    const BEYOND_DOUBT: f64 = 0.995;
    let word = match finding.status() {
        Status::Fail(_) => "FAIL",
        other => other.word(),
    };
    match finding.odds.map(|odds| odds.chance) {
        Some(chance) if chance < BEYOND_DOUBT => format!("{word} ({} %)", percent(chance)),
        _ => word.to_owned(),
    }
}

/// A heading and its lines, or nothing.
pub(crate) fn notes<T: AsRef<str>>(out: &mut String, heading: &str, lines: &[T], layout: Layout) {
    if lines.is_empty() {
        return;
    }
    push_line(out, "");
    push_line(out, heading);
    for line in lines {
        wrapped(out, &format!("- {}", line.as_ref()), layout.columns, "  ");
    }
}
