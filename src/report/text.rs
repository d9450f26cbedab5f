//! The report on one fit for a terminal: the verdict first, then the settings, then the findings.
//! How the verdict is worded is `verdict_text`, how a page is laid out `terminal`.

use comfy_table::{ColumnConstraint, Width};

use crate::advice::stop::Stop;
use crate::fit::{Finding, Fit, Sign, Status};
use crate::report::assumed::assumed_note;
use crate::report::growth_text;
use crate::report::terminal::{Layout, notes, push_table, table, wrapped, wrapped_keep};
use crate::report::verdict_text::{
    LOOK_FOR, cautions, fit_line, shown, shown_advice, verdict_lines,
};
use crate::units::Units;
use crate::words::percent;

/// The report on one fit. A pair that does not fit gets no work order: the reason first, and nothing to set.
pub fn fit(fit: &Fit, layout: Layout) -> String {
    let mut out = String::new();
    let title = format!("{} on {}", fit.rider.title(), fit.bike.spec.name);
    wrapped(&mut out, &title, layout.columns, "  ");
    let stop = Stop::of(fit);
    verdict_lines(&mut out, fit, stop.as_ref(), layout);
    if let Some(Stop::Misfit { .. }) = stop {
        wrapped(&mut out, LOOK_FOR, layout.columns, "  ");
    }
    notes(&mut out, READ_THIS, &fit.read_this(layout.units), layout);
    out.push('\n');
    fit_line(&mut out, fit, layout);
    out.push('\n');
    if stop.is_none() {
        settings(&mut out, fit, layout);
        out.push('\n');
    }
    findings(&mut out, fit, stop.as_ref(), layout);
    if let Some(growth) = fit.growth() {
        growth_text::growth(&mut out, growth, fit, stop.is_none(), layout);
    }
    assumed_note(&mut out, fit, layout);
    notes(
        &mut out,
        "Look again",
        &untold(fit, stop.as_ref(), layout.units),
        layout,
    );
    notes(&mut out, "Cautions", &cautions(fit.verdict), layout);
    out
}

fn settings(out: &mut String, fit: &Fit, layout: Layout) {
    let units = layout.units;
    let setting = fit.pair().setting();
    let sd = setting.doubt_mm(fit.saddle_told_sd_mm());
    let never = setting.never_above();
    let doubt = sd.map_or_else(String::new, |sd| format!(" ± {}", units.length(sd)));
    let seat = setting.length(units, setting.seat_height_mm);
    let mut rows = if fit.bike.tells_saddle_from_ground() {
        vec![(
            "seat height",
            format!("{seat}{doubt} above the ground{never}"),
        )]
    } else {
        let saddle = setting.length(units, setting.saddle_height_mm);
        vec![
            (
                "saddle height",
                format!("{saddle}{doubt} from the bottom bracket to the saddle top{never}"),
            ),
            ("seat height", format!("{seat} above the ground")),
        ]
    };
    if let Some((shows, inside)) = setting.exposed_post_mm.zip(setting.insertion_mm) {
        rows.push((
            "post showing",
            format!(
                "{}, {} inside the tube",
                setting.length(units, shows),
                setting.length_inside(units, inside)
            ),
        ));
    }
    if let Some(gaps) = fit.pair().lever_gaps(|gap| units.length(gap)) {
        rows.push(("lever gap", format!("{gaps} from lever to grip")));
    }
    let heading = "Set (starting values; the marks on the parts win)";
    wrapped(out, heading, layout.columns, "  ");
    for (name, value) in rows {
        let line = format!("  {name:<14} {value}");
        wrapped_keep(out, &line, layout.columns);
    }
}

fn findings(out: &mut String, fit: &Fit, stop: Option<&Stop>, layout: Layout) {
    let mut rows = table(
        &["check", "measured", "wanted", "status", "advice"],
        layout.columns,
    );
    let to_read: Vec<_> = fit.to_read().map(|finding| finding.id).collect();
    for finding in shown(fit, stop) {
        rows.add_row([
            finding.id.title(),
            or_dash(measured(fit, &finding, layout.units)),
            or_dash(finding.wanted(layout.units)),
            mark(&finding),
            if is_told(&finding, stop) {
                TOLD.to_owned()
            } else if to_read.contains(&finding.id) {
                READ_ABOVE.to_owned()
            } else {
                shown_advice(fit, &finding, layout.units)
            },
        ]);
    }
    for (column, width) in [(0, 15), (1, 10), (2, 14), (3, 9)] {
        if let Some(column) = rows.column_mut(column) {
            column.set_constraint(ColumnConstraint::UpperBoundary(Width::Fixed(width)));
        }
    }
    push_table(out, &rows, layout.columns);
    if shown(fit, stop)
        .iter()
        .any(|finding| in_doubt(finding).is_some())
    {
        wrapped(out, IN_BRACKETS, layout.columns, "  ");
    }
}

/// What a figure behind a status is.
const IN_BRACKETS: &str = "In brackets: the chance that the check comes out on that side, FAIL or not, for all that tape and estimates leave open; below 80 % a check that decides is not known.";

/// What deserves a second look and stands in no row of the table.
fn untold(fit: &Fit, stop: Option<&Stop>, units: Units) -> Vec<String> {
    let findings = shown(fit, stop).into_iter();
    let told: Vec<_> = findings
        .map(|finding| fit.advice(&finding, units))
        .collect();
    let mut warnings = fit.warnings(units);
    warnings.retain(|warning| !told.iter().any(|told| told.contains(warning)));
    warnings
}

/// Heads what nobody may pass over.
const READ_THIS: &str = "Read this";

/// Stands where the advice is among what nobody may pass over.
const READ_ABOVE: &str = "read this: see above";

/// Stands where the advice is the reason that heads the report.
const TOLD: &str = "decides: see above";

/// Whether the lines under the verdict have said what this finding advises.
fn is_told(finding: &Finding, stop: Option<&Stop>) -> bool {
    match stop {
        Some(Stop::Misfit { check, .. }) => finding.id == *check,
        Some(Stop::Incomplete { .. }) => {
            matches!(finding.status(), Status::NotChecked(missing) if missing.is_decisive)
        }
        Some(Stop::Undecided { .. }) | None => false,
    }
}

/// The measured value; with its spread where part of it is the bike's, which no tape has been on.
fn measured(fit: &Fit, finding: &Finding, units: Units) -> Option<String> {
    let value = finding.measured(units)?;
    let spread = finding
        .odds
        .and_then(|odds| odds.sd)
        .filter(|_| fit.bike.doubt.is_some())
        .map(|sd| finding.unit.show(sd, units))
        .filter(|spread| *spread != finding.unit.show(0.0, units));
    Some(match spread {
        Some(spread) => format!("{value} ± {spread}"),
        None => value,
    })
}

fn or_dash(figure: Option<String>) -> String {
    figure.unwrap_or_else(|| "-".to_owned())
}

/// The chance that a check stays passed or failed, where that is in doubt.
fn in_doubt(finding: &Finding) -> Option<f64> {
    const BEYOND_DOUBT: f64 = 0.995;
    let chance = finding.odds?.chance;
    (chance < BEYOND_DOUBT).then_some(chance)
}

/// The status, with the chance that it holds where that is in doubt.
fn mark(finding: &Finding) -> String {
    let word = match finding.status() {
        Status::Fail(_) => "FAIL",
        Status::NotChecked(_) => "not checked",
        other => other.word(),
    };
    match in_doubt(finding).map(percent) {
        Some(chance) if finding.sign() == Sign::Unknown => {
            format!("{} ({word} {chance} %)", Sign::Unknown.word())
        }
        Some(chance) => format!("{word} ({chance} %)"),
        None => word.to_owned(),
    }
}
