//! Two bikes side by side for a terminal: today and later, what differs and what it does, what to set.
//! Figures and sentences come from `advice::compare`; only the columns are made here.

use comfy_table::{ColumnConstraint, Width};

use crate::advice::compare::{Comparison, Difference, Equipment, Size, saddle_height};
use crate::bike::Bike;
use crate::cautions::CAUTIONS;
use crate::fit::forecast::Percentiles;
use crate::fit::{Fit, Growth, Verdict};
use crate::report::assumed;
use crate::report::growth_text::month;
use crate::report::terminal::{Layout, notes, push_line, push_table, table, wrapped};
use crate::report::verdict_text::{
    ABOUT, fit_line, rider_line, sentence, sureness, sureness_short,
};
use crate::units::Units;

/// Of a bike of which that cannot be said yet.
pub(crate) const NOT_KNOWN: &str = "not known";

/// The report on two bikes.
pub fn compare(comparison: &Comparison, layout: Layout) -> String {
    let mut out = String::new();
    let [a, b] = &comparison.fits;
    let names = comparison.names();
    wrapped(
        &mut out,
        &format!("{}: {} or {}", a.rider.title(), names[0], names[1]),
        layout.columns,
        "  ",
    );
    push_line(&mut out, "");
    wrapped(
        &mut out,
        &sentence(&comparison.headline(layout.units)),
        layout.columns,
        "",
    );
    for line in read_first(comparison, layout.units) {
        wrapped(&mut out, &line, layout.columns, "");
    }
    wrapped(&mut out, ABOUT, layout.columns, "");
    push_line(&mut out, "");
    if comparison.stages_differ() {
        rider_line(&mut out, &a.rider, layout);
    } else {
        fit_line(&mut out, a, layout);
    }
    push_line(&mut out, "");
    over_time(&mut out, comparison, layout);
    differences(&mut out, comparison, layout);
    let again = look_again(comparison, assumed::short_with_command, layout.units);
    notes(&mut out, "Look again", &again, layout);
    let [notes_a, notes_b] = [a, b].map(|fit| {
        let words = |growth: &Growth| {
            growth
                .notes
                .iter()
                .map(|note| note.words())
                .collect::<Vec<_>>()
        };
        fit.growth().map(words)
    });
    if let (Some(notes_a), Some(notes_b)) = (notes_a, notes_b) {
        let mut both = vec![
            "a month outside brackets is as likely too early as too late; in brackets: one chance in ten that it is earlier, one in ten that it is later"
                .to_owned(),
        ];
        both.extend(shared(&notes_a, &notes_b));
        notes(&mut out, "About the forecast", &both, layout);
    }
    notes(&mut out, "Cautions", CAUTIONS, layout);
    out
}

/// What no headline may pass over: how sure the size is on each of two bikes that fit, and cautions about safety.
pub(crate) fn read_first(comparison: &Comparison, units: Units) -> Vec<String> {
    let [a, b] = &comparison.fits;
    let sure = |(name, fit): (&String, &Fit)| Some(format!("{name}: {}", sureness(fit)?));
    let names = comparison.names();
    let mut lines = Vec::new();
    if a.verdict.fits() && b.verdict.fits() {
        let both: Vec<_> = names.iter().zip([a, b]).filter_map(sure).collect();
        lines.extend((!both.is_empty()).then(|| sentence(&both.join("; "))));
    }
    let cautions = comparison.read_this(units);
    lines.extend(cautions.iter().map(|line| format!("Read this. {line}")));
    lines
}

/// What deserves a second look, once where it is said of both bikes; `assumed` says what is assumed of one.
pub(crate) fn look_again(
    comparison: &Comparison,
    assumed: fn(&Bike) -> Option<String>,
    units: Units,
) -> Vec<String> {
    let names = comparison.names();
    let [of_a, of_b] = comparison.fits.each_ref().map(|fit| fit.warnings(units));
    let mut lines = shared(&of_a, &of_b);
    for (name, own, other) in [(&names[0], &of_a, &of_b), (&names[1], &of_b, &of_a)] {
        let own = own.iter().filter(|warning| !other.contains(warning));
        lines.extend(own.map(|warning| format!("{name}: {warning}")));
    }
    for (name, fit) in names.iter().zip(&comparison.fits) {
        lines.extend(assumed(&fit.bike).map(|words| format!("{name}: {words}")));
        let again = fit.odds.and_then(|odds| odds.remeasure);
        lines.extend(again.map(|again| format!("{name}: {}", again.words())));
    }
    lines
}

/// What both say.
fn shared(a: &[String], b: &[String]) -> Vec<String> {
    a.iter().filter(|line| b.contains(line)).cloned().collect()
}

fn over_time(out: &mut String, comparison: &Comparison, layout: Layout) {
    let fits = &comparison.fits;
    let names = comparison.names();
    let mut rows = table(&["", &names[0], &names[1]], layout.columns);
    let mut row = |name: &str, cell: &dyn Fn(&Fit) -> String| {
        rows.add_row([name.to_owned(), cell(&fits[0]), cell(&fits[1])]);
    };
    if comparison.stages_differ() {
        row("stage", &|fit| fit.pose.stage.word().to_owned());
    }
    row("today", &|fit| fit.verdict.word().to_owned());
    if fits.iter().all(|fit| fit.odds.is_some()) {
        row("size", &|fit| sureness_short(fit).unwrap_or_default());
    }
    if fits.iter().any(|fit| fit.growth().is_some()) {
        let later = |fit: &Fit, months: usize| {
            let verdict = fit.growth().and_then(|growth| growth.verdict_in(months));
            verdict.map_or(NOT_KNOWN, Verdict::word).to_owned()
        };
        row("in 6 months", &|fit| later(fit, 6));
        row("in 12 months", &|fit| later(fit, 12));
        row("first fits", &first_fits);
        row("outgrown", &outgrown);
    }
    row("saddle height", &|fit| saddle_height(fit, layout.units));
    push_table(out, &rows, layout.columns);
}

/// When a bike first fits; an open verdict promises nothing for today.
pub(crate) fn first_fits(fit: &Fit) -> String {
    let Some(growth) = fit.growth() else {
        return NOT_KNOWN.to_owned();
    };
    match growth.first_month.p50 {
        Some(first) if first <= 0.0 && fit.verdict.fits() => "now".to_owned(),
        Some(first) if first <= 0.0 => "now, if at all".to_owned(),
        Some(_) => with_range(growth, growth.first_month),
        None if growth.is_outgrown() => "-".to_owned(),
        None if growth.is_open() => NOT_KNOWN.to_owned(),
        None if fit.verdict == Verdict::Undecided => "not as measured".to_owned(),
        None => "not in the months to come".to_owned(),
    }
}

/// When a bike is outgrown.
pub(crate) fn outgrown(fit: &Fit) -> String {
    let Some(growth) = fit.growth() else {
        return NOT_KNOWN.to_owned();
    };
    if growth.is_outgrown() {
        return "already".to_owned();
    }
    if growth.first_month.p50.is_none() {
        return "-".to_owned();
    }
    with_range(growth, growth.last_month)
}

/// The month, and in brackets the earliest and the latest tenth.
fn with_range(growth: &Growth, months: Percentiles) -> String {
    let name = |months| month(growth.as_of, months, "%b %Y");
    let [p10, p50, p90] = [months.p10, months.p50, months.p90].map(name);
    let middle = match months.p50 {
        Some(months) if months <= 0.0 => "about now".to_owned(),
        _ => p50,
    };
    if p10 == p90 {
        middle
    } else {
        format!("{middle} ({p10} to {p90})")
    }
}

fn differences(out: &mut String, comparison: &Comparison, layout: Layout) {
    let differing = differing(comparison, layout.units);
    if !differing.is_empty() {
        push_line(out, "");
        let names = comparison.names();
        let header = ["differs", &names[0], &names[1], "what it does"];
        let mut rows = table(&header, layout.columns);
        for row in differing {
            rows.add_row(row);
        }
        for (column, width) in [(0, 15), (1, 11), (2, 11)] {
            if let Some(column) = rows.column_mut(column) {
                column.set_constraint(ColumnConstraint::UpperBoundary(Width::Fixed(width)));
            }
        }
        push_table(out, &rows, layout.columns);
    }
    let level = level(comparison);
    if !level.is_empty() {
        push_line(out, "");
        let line = format!("The same, or too close to notice: {}.", level.join(", "));
        wrapped(out, &line, layout.columns, "  ");
    }
    notes(out, "Left out", &left_out(comparison, layout.units), layout);
}

fn of(comparison: &Comparison, size: Size) -> impl Iterator<Item = &Difference> {
    let differences = comparison.differences.iter();
    differences.filter(move |difference| comparison.size(difference) == size)
}

fn had(comparison: &Comparison, size: Size) -> impl Iterator<Item = &Equipment> {
    let equipment = comparison.equipment.iter();
    equipment.filter(move |had| had.size() == size)
}

/// What differs enough to matter: its name, either bike's, and what it does.
pub(crate) fn differing(comparison: &Comparison, units: Units) -> Vec<[String; 4]> {
    let in_words = had(comparison, Size::Matters).map(|had| {
        let [first, second] = had.shown().map(str::to_owned);
        [had.name.to_owned(), first, second, had.meaning.clone()]
    });
    let in_figures = of(comparison, Size::Matters).map(|difference| {
        let kind = difference.figure.kind();
        let [first, second] = difference
            .values
            .map(|value| value.map_or_else(|| "-".to_owned(), |value| kind.show(value, units)));
        let does = comparison.meaning(difference, units);
        [title(difference), first, second, does]
    });
    in_words.chain(in_figures).collect()
}

/// What is the same, or too close to notice, by name.
pub(crate) fn level(comparison: &Comparison) -> Vec<String> {
    let figures = of(comparison, Size::Small).map(title);
    let equipment = had(comparison, Size::Small).map(|had| had.name.to_owned());
    figures.chain(equipment).collect()
}

/// What could not be compared, and why.
pub(crate) fn left_out(comparison: &Comparison, units: Units) -> Vec<String> {
    let figures = of(comparison, Size::Unknown)
        .map(|difference| (title(difference), comparison.meaning(difference, units)));
    let equipment =
        had(comparison, Size::Unknown).map(|had| (had.name.to_owned(), had.meaning.clone()));
    equipment
        .chain(figures)
        .map(|(name, why)| format!("{name}: {why}"))
        .collect()
}

/// A figure by its name in words.
fn title(difference: &Difference) -> String {
    difference.figure.name().replace('_', " ")
}
