//! The rack for a terminal and for spreadsheets: every bike's rider window, and what bounds it.
//! Printed heights are rounded towards the inside; CSV has the exact figures in mm and months.
//! The windows are `advice::rack`'s; nothing is computed here.

use serde::Serialize;

use crate::advice::rack::{Hole, Rack, RackBike, STAGES};
use crate::advice::stop::Asked;
use crate::advice::window::{End, NoWindow, Window};
use crate::cautions::CAUTIONS;
use crate::fit::CheckId;
use crate::report::contract::{Skipped, WindowObject};
use crate::report::json;
use crate::report::skipped::skipped_files;
use crate::report::terminal::{Layout, notes, push_line, push_table, table, wrapped};
use crate::rider::Stage;
use crate::rider::growth::{CHART_MONTHS, inseam_at};
use crate::units::{Age, Units};
use crate::words::{self, key_in_words, tidy};

pub(crate) const EMPTY: &str = "The rack is empty: no bike to find riders for. Name frame files or samples, or a folder of them with --frames.";
pub(crate) const PROPORTIONS: &str = "Riders of median proportions, everything estimated from the height; the rider's own inseam, arms and hands decide. Where a window ends, it is at best an even chance that the bike fits.";
const NEXT: &str = "Next: inseam fit FRAME --inseam LENGTH --height LENGTH";
/// Heads the holes of a rack.
pub(crate) const HOLES: &str = "No bike here for";
const BALANCE: &str = "as learning";

/// The report: heights at every stage, then one stage in detail.
pub fn text(rack: &Rack, skipped: &[Skipped], stage: Stage, layout: Layout) -> String {
    let mut out = String::new();
    if rack.bikes.is_empty() {
        wrapped(&mut out, EMPTY, layout.columns, "");
        skipped_files(&mut out, skipped, layout);
        return out;
    }
    let unit = layout.units.word();
    let heading = format!("Heights ({unit}) of the riders that each bike fits");
    wrapped(&mut out, &heading, layout.columns, "  ");
    overview(&mut out, rack, layout);
    notes(&mut out, "Nobody yet", &nobody_yet(rack), layout);
    out.push('\n');
    let heading = format!(
        "At stage {stage}: height and inseam ({unit}), median age, and what fails just below and just above"
    );
    wrapped(&mut out, &heading, layout.columns, "  ");
    detail(&mut out, rack, stage, layout);
    if rack.bikes.iter().any(|bike| bike.first().is_some()) {
        push_line(&mut out, "? nobody yet: see above");
    }
    out.push('\n');
    let next = format!("{PROPORTIONS} {NEXT}");
    wrapped(&mut out, &next, layout.columns, "  ");
    notes(&mut out, HOLES, &holes(rack, stage, layout.units), layout);
    notes(&mut out, "Fits nobody", &nobody(rack, layout.units), layout);
    notes(&mut out, &left_open_heading(), &not_checked(rack), layout);
    notes(
        &mut out,
        "Look again",
        &warnings(rack, layout.units),
        layout,
    );
    skipped_files(&mut out, skipped, layout);
    notes(&mut out, "Cautions", CAUTIONS, layout);
    out
}

fn overview(out: &mut String, rack: &Rack, layout: Layout) {
    let mut rows = table(&["bike", "learning", "steady", "confident"], layout.columns);
    for bike in &rack.bikes {
        let cell = |stage| {
            if bike.is_repeated(stage) {
                BALANCE.to_owned()
            } else {
                heights(bike.window(stage), layout.units)
            }
        };
        let mut row = vec![marked(bike)];
        row.extend(STAGES.map(cell));
        rows.add_row(row);
    }
    push_table(out, &rows, layout.columns);
}

/// The bike; with a mark where nobody has it yet.
fn marked(bike: &RackBike) -> String {
    let mark = if bike.first().is_some() { " ?" } else { "" };
    format!("{}{mark}", bike.bike.id)
}

fn detail(out: &mut String, rack: &Rack, stage: Stage, layout: Layout) {
    let header = ["bike", "height", "inseam", "age", "below", "above"];
    let mut rows = table(&header, layout.columns);
    for bike in &rack.bikes {
        let window = bike.window(stage);
        rows.add_row([
            marked(bike),
            heights(window, layout.units),
            inseams(window, layout.units),
            ages(window),
            bound(window, |window| window.low),
            bound(window, |window| window.high),
        ]);
    }
    push_table(out, &rows, layout.columns);
}

/// The heights of a window.
pub(crate) fn heights(window: &Result<Window, NoWindow>, units: Units) -> String {
    let Ok(exact) = *window else {
        return "nobody".to_owned();
    };
    between(exact.printed_mm(units), exact, units)
}

/// The inseams of a window.
pub(crate) fn inseams(window: &Result<Window, NoWindow>, units: Units) -> String {
    let Ok(exact) = *window else {
        return "-".to_owned();
    };
    let inseams = exact
        .printed_mm(units)
        .map(|height_mm| inseam_at(height_mm, None));
    between(inseams, exact, units)
}

/// A range; an end that no check bounds is marked.
fn between([low, high]: [f64; 2], exact: Window, units: Units) -> String {
    let [low, high] = [low, high].map(|mm| units.bare(mm));
    let [under, over] = [exact.low, exact.high].map(|end| end.bound_by.is_none());
    format!(
        "{}{low} to {high}{}",
        if under { "≤" } else { "" },
        if over { "+" } else { "" }
    )
}

/// The ages of a window, years.
pub(crate) fn ages(window: &Result<Window, NoWindow>) -> String {
    let Ok(exact) = *window else {
        return "-".to_owned();
    };
    let [low, high] = [exact.low, exact.high].map(age);
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

/// Years at which the height of this end is the median, or on which side of the chart it lies.
fn age(end: End) -> String {
    // Far above the median of the chart's first month and far below that of its last.
    const INSIDE_CHART_MM: f64 = 1200.0;
    match end.age_months() {
        Some(months) => Age::from_months(months).to_string().replace(' ', ""),
        None if end.height_mm < INSIDE_CHART_MM => {
            format!("<{}", tidy(CHART_MONTHS.start() / 12.0, 0))
        }
        None => format!("{}+", tidy(CHART_MONTHS.end() / 12.0, 0)),
    }
}

/// The riders between its bikes whom a rack leaves out at one stage.
pub(crate) fn holes(rack: &Rack, stage: Stage, units: Units) -> Vec<String> {
    let line = |hole: Hole| {
        let ends = [hole.below, hole.above];
        // Rounded towards the outside: a rider of either printed height has a bike.
        let between = |[low, high]: [f64; 2]| {
            let low = units.bare(units.shown_at_most_mm(low));
            format!("{low} to {}", units.length_at_least(high))
        };
        format!(
            "inside leg (inseam) {}, height {}",
            between(ends.map(End::inseam_mm)),
            between(ends.map(|end| end.height_mm)),
        )
    };
    rack.holes(stage).into_iter().map(line).collect()
}

/// What ends a window.
pub(crate) fn bound(window: &Result<Window, NoWindow>, end: fn(&Window) -> End) -> String {
    match window {
        Ok(window) => end(window)
            .bound_by
            .map_or_else(|| "-".to_owned(), CheckId::title),
        Err(_) => String::new(),
    }
}

/// Bikes that fit nobody at some stage, and why.
pub(crate) fn nobody(rack: &Rack, units: Units) -> Vec<String> {
    let of = |bike: &RackBike| {
        let stages = STAGES.iter().filter(|stage| !bike.is_repeated(**stage));
        let reason = |stage: &Stage| bike.window(*stage).err().map(|why| why.words(units));
        let mut lines: Vec<(String, String)> = Vec::new();
        for stage in stages {
            let Some(why) = reason(stage) else { continue };
            match lines.last_mut() {
                Some((stages, last)) if *last == why => {
                    stages.push_str(", ");
                    stages.push_str(&stage.to_string());
                }
                _ => lines.push((stage.to_string(), why)),
            }
        }
        let id = bike.bike.id.clone();
        lines
            .into_iter()
            .map(move |(stages, why)| format!("{id}, {stages}: {why}"))
    };
    rack.bikes.iter().flat_map(of).collect()
}

/// Bikes that nobody has before something is found out, whatever their windows.
fn nobody_yet(rack: &Rack) -> Vec<String> {
    let of = |bike: &RackBike| {
        let first = bike.first()?;
        Some(format!("{}: {first}{}", bike.bike.id, alone(bike)))
    };
    rack.bikes.iter().filter_map(of).collect()
}

/// What the heights of a bike are worth that nobody has yet.
pub(crate) fn alone(bike: &RackBike) -> &'static str {
    if bike.windows.iter().any(Result::is_ok) {
        "; the heights are those of its size alone"
    } else {
        ""
    }
}

/// Heading of [`not_checked`].
pub(crate) fn left_open_heading() -> String {
    format!("Left open, {}", Asked::Middle.words())
}

/// What the windows leave out, of bikes that leave out the same in one sentence.
pub(crate) fn not_checked(rack: &Rack) -> Vec<String> {
    let mut told: Vec<(String, Vec<&str>)> = Vec::new();
    for bike in &rack.bikes {
        for sentence in left_open(bike) {
            match told.iter_mut().find(|(known, _)| *known == sentence) {
                Some((_, bikes)) => bikes.push(&bike.bike.id),
                None => told.push((sentence, vec![&bike.bike.id])),
            }
        }
    }
    let lines = told
        .into_iter()
        .map(|(sentence, bikes)| format!("{}: {sentence}", bikes.join(", ")));
    lines.collect()
}

/// What the windows of one bike leave out.
pub(crate) fn left_open(bike: &RackBike) -> Vec<String> {
    bike.not_checked
            .iter()
            // Without what decides nobody has it yet: that is said with the heights.
            .filter(|left| left.is_assumed || !bike.undone.iter().any(|(_, key)| *key == left.needs))
            .map(|left| {
                let check = left.check.title();
                if left.is_assumed {
                    return format!(
                        "{check} is assumed, and the window keeps to what 95 % of such bikes allow: with the {} measured it shows all of it",
                        key_in_words(left.needs)
                    );
                }
                let needs = if left.needs == check {
                    "it is not in the file".to_owned()
                } else {
                    format!("needs {}", bike.bike.wants(left.needs))
                };
                format!("{check} not checked: {needs}")
            })
            .collect()
}

/// What deserves a second look.
pub(crate) fn warnings(rack: &Rack, units: Units) -> Vec<String> {
    let of = |bike: &RackBike| {
        let lines: Vec<String> = bike
            .bike
            .mismatches
            .iter()
            .map(|found| format!("{}: {}", bike.bike.id, found.words(units)))
            .collect();
        lines
    };
    rack.bikes.iter().flat_map(of).collect()
}

/// A row of the CSV table: one bike at one stage, names as in the JSON.
#[derive(Debug, Serialize)]
struct Row<'a> {
    id: &'a str,
    name: &'a str,
    style: &'static str,
    class: String,
    stage: &'static str,
    inseam_min_mm: Option<f64>,
    inseam_max_mm: Option<f64>,
    height_min_mm: Option<f64>,
    height_max_mm: Option<f64>,
    age_min_months: Option<f64>,
    age_max_months: Option<f64>,
    bound_low_by: Option<&'a str>,
    bound_high_by: Option<&'a str>,
    reason: Option<&'a str>,
}

/// The table as CSV (RFC 4180), one row a bike and stage, with a header.
///
/// # Errors
/// What the writer says; memory has no reason to.
pub fn csv(rack: &Rack) -> std::io::Result<Vec<u8>> {
    let mut writer = csv::WriterBuilder::new()
        .has_headers(false)
        .from_writer(Vec::new());
    writer.write_record(HEADER)?;
    for bike in &rack.bikes {
        for stage in STAGES {
            let window = WindowObject::new(bike, stage, Units::Mm);
            let number = |value: Option<f64>| value.map(json::rounded);
            writer.serialize(Row {
                id: &words::cell(&bike.bike.id),
                name: &words::cell(&bike.bike.spec.name),
                style: bike.bike.spec.style.word(),
                class: bike.bike.layout.class.to_string(),
                stage: stage.word(),
                inseam_min_mm: number(window.inseam_min_mm),
                inseam_max_mm: number(window.inseam_max_mm),
                height_min_mm: number(window.height_min_mm),
                height_max_mm: number(window.height_max_mm),
                age_min_months: number(window.age_min_months),
                age_max_months: number(window.age_max_months),
                bound_low_by: window.bound_low_by,
                bound_high_by: window.bound_high_by,
                reason: window.reason.as_deref().map(words::cell).as_deref(),
            })?;
        }
    }
    writer.into_inner().map_err(csv::IntoInnerError::into_error)
}

/// An empty rack still has its header.
const HEADER: [&str; 14] = [
    "id",
    "name",
    "style",
    "class",
    "stage",
    "inseam_min_mm",
    "inseam_max_mm",
    "height_min_mm",
    "height_max_mm",
    "age_min_months",
    "age_max_months",
    "bound_low_by",
    "bound_high_by",
    "reason",
];
