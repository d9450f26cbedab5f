//! A rack against its children, for a terminal and for spreadsheets: who is left out, what stands idle, what to add.
//! The facts are `advice::coverage`'s; nothing is computed here.

use serde::Serialize;

use crate::advice::book::Child;
use crate::advice::coverage::Coverage;
use crate::report::assign_text::unread;
use crate::report::contract::Skipped;
use crate::report::skipped::skipped_files;
use crate::report::terminal::{Layout, notes, push_table, table, wrapped};
use crate::report::verdict_text::ABOUT;
use crate::units::Units;
use crate::words;

/// Heads the bikes that could not be judged.
pub(crate) const NOT_JUDGED: &str = "Not judged: measure first";
const EMPTY: &str = "No children to look for: name a folder of rider files with --riders.";
/// Names that a cell or a sentence lists.
const MOST_NAMES: usize = 8;

/// The report.
pub fn text(coverage: &Coverage, skipped: &[Skipped], layout: Layout) -> String {
    let mut out = String::new();
    if coverage.children == 0 && skipped.is_empty() {
        wrapped(&mut out, EMPTY, layout.columns, "");
        return out;
    }
    wrapped(&mut out, &headline(coverage, skipped), layout.columns, "  ");
    if !coverage.bikes.is_empty() {
        out.push('\n');
        let mut rows = table(&["bike", "fits", "children"], layout.columns);
        for served in &coverage.bikes {
            rows.add_row([
                served.bike.id.clone(),
                served.children.len().to_string(),
                names(&served.children),
            ]);
        }
        push_table(&mut out, &rows, layout.columns);
        out.push('\n');
        wrapped(&mut out, ABOUT, layout.columns, "  ");
    }
    let lines: Vec<String> = coverage
        .unserved
        .iter()
        .map(|child| who(child, layout.units))
        .collect();
    notes(&mut out, "No bike serves", &lines, layout);
    let idle: Vec<&str> = coverage.idle().map(|bike| bike.id.as_str()).collect();
    notes(&mut out, "Serves nobody", &idle, layout);
    notes(&mut out, NOT_JUDGED, &not_judged(coverage), layout);
    let more: Vec<String> = one_more(coverage).into_iter().collect();
    notes(&mut out, "One bike more", &more, layout);
    skipped_files(&mut out, skipped, layout);
    out
}

/// Bikes that could not be judged, and what to find out first.
pub(crate) fn not_judged(coverage: &Coverage) -> Vec<String> {
    let all = coverage.not_judged();
    all.map(|(bike, first)| format!("{}: {first}", bike.id))
        .collect()
}

/// How many have a bike here, and which files nobody could read.
pub(crate) fn headline(coverage: &Coverage, skipped: &[Skipped]) -> String {
    let served = coverage.children - coverage.unserved.len();
    format!(
        "{served} of {} children have a bike on this rack that fits today{}",
        coverage.children,
        unread(skipped)
    )
}

/// What one more bike would do; None where all are served.
pub(crate) fn one_more(coverage: &Coverage) -> Option<String> {
    if coverage.unserved.is_empty() {
        return None;
    }
    Some(match &coverage.one_more {
        Some(more) => format!(
            "{} would help most: it fits {}: {}",
            more.bike.id,
            match (more.children.len(), coverage.unserved.len()) {
                (1, 1) => "the one who has none".to_owned(),
                (some, all) if some == all => "all who have none".to_owned(),
                (some, all) => format!("{some} of the {all} who have none"),
            },
            names(&more.children)
        ),
        None => "none of the bikes to choose from fits any of those who have none".to_owned(),
    })
}

/// A child whom no bike serves, in figures.
pub(crate) fn who(child: &Child, units: Units) -> String {
    let rider = &child.rider;
    format!(
        "{}: height {}, inside leg (inseam) {}, {}",
        child.title(),
        units.length(rider.height.mm()),
        units.length(rider.inseam.mm()),
        rider.stage
    )
}

/// Names in a sentence, the many cut short; a dash for nobody.
pub(crate) fn names(children: &[Child]) -> String {
    let first: Vec<_> = children.iter().take(MOST_NAMES).map(Child::title).collect();
    let listed = first.join(", ");
    match children.len().checked_sub(MOST_NAMES + 1) {
        _ if children.is_empty() => "-".to_owned(),
        Some(more) => format!("{listed} and {} more", more + 1),
        None => listed,
    }
}

#[derive(Serialize)]
struct Row<'a> {
    bike: &'a str,
    name: &'a str,
    rider: &'a str,
    rider_name: &'a str,
    comment: &'a str,
}

const HEADER: [&str; 5] = ["bike", "name", "rider", "rider_name", "comment"];

/// A row a bike and child whom it fits; an empty cell where there is none, and what that means beside it.
pub fn csv(coverage: &Coverage) -> std::io::Result<Vec<u8>> {
    let mut writer = csv::WriterBuilder::new()
        .has_headers(false)
        .from_writer(Vec::new());
    writer.write_record(HEADER)?;
    let title = |child: &Child| child.rider.name.clone().unwrap_or_default();
    let served = coverage
        .bikes
        .iter()
        .map(|served| (served, "fits today"))
        .chain(coverage.one_more.iter().map(|more| (more, "one bike more")));
    for (served, comment) in served {
        let bike = &served.bike;
        for child in &served.children {
            writer.serialize(Row {
                bike: &words::cell(&bike.id),
                name: &words::cell(&bike.spec.name),
                rider: &words::cell(&child.id),
                rider_name: &words::cell(&title(child)),
                comment,
            })?;
        }
        if served.children.is_empty() {
            writer.serialize(Row {
                bike: &words::cell(&bike.id),
                name: &words::cell(&bike.spec.name),
                rider: "",
                rider_name: "",
                comment: &words::cell(&served.not_judged().map_or_else(
                    || "serves nobody".to_owned(),
                    |first| format!("not judged: {first}"),
                )),
            })?;
        }
    }
    for child in &coverage.unserved {
        writer.serialize(Row {
            bike: "",
            name: "",
            rider: &words::cell(&child.id),
            rider_name: &words::cell(&title(child)),
            comment: "no bike serves",
        })?;
    }
    writer.into_inner().map_err(csv::IntoInnerError::into_error)
}
