//! A rack for one rider, for a terminal and for spreadsheets.
//! The order and the near misses are `advice::size`'s; nothing is computed here.

use std::collections::HashSet;

use serde::Serialize;

use crate::advice::size::{SizedBike, Sizing};
use crate::fit::{Finding, Status, Verdict};
use crate::report::json;
use crate::report::text::{Layout, notes, push_line, rider_line, sureness, table, wrapped};
use crate::rider::growth::HORIZON_MONTHS;
use crate::units::tidy;
use crate::words;

const EMPTY: &str = "The rack is empty: no bike to size the rider on. Name frame files or samples, or a folder of them with --frames.";
const NONE_FITS: &str = "No bike on this rack fits today. The near misses, if any, come first: wait, or look for one in between; do not size up to grow into.";
/// Files that could not be read and are told one by one.
const MOST_SKIPPED: usize = 10;
const NONE_SHOWN: &str = "No bike with the verdicts asked for.";

/// The report. `any_fits` speaks of the whole rack, also of what `--only` and `--limit` leave out.
pub fn size(sizing: &Sizing, any_fits: bool, layout: Layout) -> String {
    let mut out = String::new();
    wrapped(
        &mut out,
        &format!("The rack for {}", sizing.rider.title),
        layout.columns,
        "  ",
    );
    rider_line(&mut out, &sizing.rider, layout);
    out.push('\n');
    if sizing.bikes.is_empty() && sizing.skipped.is_empty() && !any_fits {
        wrapped(&mut out, EMPTY, layout.columns, "");
        return out;
    }
    if !any_fits {
        wrapped(&mut out, NONE_FITS, layout.columns, "");
        out.push('\n');
    }
    if sizing.bikes.is_empty() {
        wrapped(&mut out, NONE_SHOWN, layout.columns, "");
    } else {
        bikes(&mut out, sizing, layout);
        out.push('\n');
        wrapped(&mut out, sizing.order, layout.columns, "  ");
    }
    let remeasure = sizing.bikes.iter().find_map(|bike| {
        let again = bike.fit.remeasure.as_ref()?;
        Some(format!("{}: {}", bike.id, again.advice))
    });
    let mut look_again: Vec<String> = remeasure.into_iter().collect();
    let mut seen = HashSet::new();
    let worth_a_look = |bike: &&SizedBike| bike.fit.verdict.fits() || bike.near_miss.is_some();
    for bike in sizing.bikes.iter().filter(worth_a_look) {
        for warning in &bike.fit.warnings {
            if seen.insert(warning) {
                look_again.push(warning.clone());
            }
        }
    }
    notes(&mut out, "Look again", &look_again, layout);
    let mut skipped: Vec<String> = sizing
        .skipped
        .iter()
        .take(MOST_SKIPPED)
        .map(|skipped| skipped.error.clone())
        .collect();
    if let Some(more) = sizing.skipped.len().checked_sub(MOST_SKIPPED + 1) {
        skipped.push(format!("and {} more files", more + 1));
    }
    notes(&mut out, "Skipped files", &skipped, layout);
    notes(&mut out, "Cautions", sizing.cautions, layout);
    out
}

fn bikes(out: &mut String, sizing: &Sizing, layout: Layout) {
    let saddle = format!("saddle ({})", layout.units.name());
    let header = ["", "bike", "verdict", "sure", &saddle, "months left"];
    let mut rows = table(&header, layout.columns);
    for bike in &sizing.bikes {
        rows.add_row([
            bike.rank.to_string(),
            bike.id.clone(),
            bike.fit.verdict.word().to_owned(),
            sureness(&bike.fit).unwrap_or_else(|| "-".to_owned()),
            if bike.fit.verdict.fits() {
                layout.units.bare(bike.fit.setting.saddle_height_mm)
            } else {
                "-".to_owned()
            },
            months_left(bike),
        ]);
    }
    for line in rows.lines() {
        push_line(out, line.trim_end());
    }
    out.push('\n');
    for bike in &sizing.bikes {
        if let Some(words) = what_to_know(bike, layout) {
            let line = format!("{} {}: {words}", bike.rank, bike.id);
            wrapped(out, &line, layout.columns, "  ");
        }
    }
}

/// The median, with the fast and the slow child behind it.
fn months_left(bike: &SizedBike) -> String {
    if !bike.fit.verdict.fits() || bike.fit.growth.is_none() {
        return "-".to_owned();
    }
    let show = |months: Option<f64>| {
        months.map_or_else(
            || format!("over {HORIZON_MONTHS}"),
            |months| tidy(months.floor(), 0),
        )
    };
    let left = bike.months_left;
    if left.p10 == left.p90 {
        show(left.p50)
    } else {
        format!(
            "{} ({} to {})",
            show(left.p50),
            show(left.p10),
            show(left.p90)
        )
    }
}

/// The near miss, or the settings and cautions of a bike that fits; nothing about a bike that misses by far.
fn what_to_know(bike: &SizedBike, layout: Layout) -> Option<String> {
    if let Some(miss) = &bike.near_miss {
        let apart = layout.units.length(miss.height_mm.abs());
        let which = if miss.height_mm > 0.0 {
            "taller"
        } else {
            "shorter"
        };
        return Some(format!(
            "near miss, fits a rider {apart} {which}: {}",
            miss.advice
        ));
    }
    if !bike.fit.verdict.fits() {
        return None;
    }
    let findings = |status| {
        let findings = bike.fit.findings.iter();
        findings.filter(move |finding| finding.status == status)
    };
    let mut words: Vec<_> = findings(Status::Adjust)
        .map(|finding| finding.advice.clone())
        .collect();
    let cautions: Vec<_> = findings(Status::Caution).map(Finding::title).collect();
    if !cautions.is_empty() {
        words.push(format!("caution: {}", cautions.join(", ")));
    }
    if words.is_empty() {
        words.push("nothing to change".to_owned());
    }
    Some(words.join("; "))
}

#[derive(Serialize)]
struct Row<'a> {
    rank: usize,
    id: &'a str,
    name: &'a str,
    verdict: Verdict,
    chance: Option<f64>,
    saddle_height_mm: f64,
    saddle_height_sd_mm: Option<f64>,
    exposed_post_mm: f64,
    lever_gap_mm: Option<f64>,
    months_left_p10: Option<f64>,
    months_left_p50: Option<f64>,
    months_left_p90: Option<f64>,
    near_miss_check: Option<&'a str>,
    near_miss_height_mm: Option<f64>,
}

/// An empty list still has its header.
const HEADER: [&str; 14] = [
    "rank",
    "id",
    "name",
    "verdict",
    "chance",
    "saddle_height_mm",
    "saddle_height_sd_mm",
    "exposed_post_mm",
    "lever_gap_mm",
    "months_left_p10",
    "months_left_p50",
    "months_left_p90",
    "near_miss_check",
    "near_miss_height_mm",
];

/// The list as CSV, lengths in mm.
pub fn csv(sizing: &Sizing) -> std::io::Result<Vec<u8>> {
    let mut writer = csv::WriterBuilder::new()
        .has_headers(false)
        .from_writer(Vec::new());
    writer.write_record(HEADER)?;
    let number = |value: Option<f64>| value.map(json::rounded);
    for bike in &sizing.bikes {
        let setting = &bike.fit.setting;
        writer.serialize(Row {
            rank: bike.rank,
            id: &words::cell(&bike.id),
            name: &words::cell(&bike.fit.bike.name),
            verdict: bike.fit.verdict,
            chance: number(bike.fit.chance),
            saddle_height_mm: json::rounded(setting.saddle_height_mm),
            saddle_height_sd_mm: number(setting.saddle_height_sd_mm),
            exposed_post_mm: json::rounded(setting.exposed_post_mm),
            lever_gap_mm: number(setting.lever_gap_mm),
            months_left_p10: bike.months_left.p10,
            months_left_p50: bike.months_left.p50,
            months_left_p90: bike.months_left.p90,
            near_miss_check: bike.near_miss.as_ref().map(|miss| miss.check),
            near_miss_height_mm: number(bike.near_miss.as_ref().map(|miss| miss.height_mm)),
        })?;
    }
    writer.into_inner().map_err(csv::IntoInnerError::into_error)
}
