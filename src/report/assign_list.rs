//! The list that bikes are handed out from: HTML to print, one page where it can be, nothing fetched.
//! Everything is escaped by the template; words and figures are `assign_text`'s.
//! Who gets which bike is `advice::assign`'s.

use askama::Template;
use jiff::civil::Date;

use crate::advice::assign::{Assignment, Given};
use crate::cautions::CAUTIONS;
use crate::fit::{CheckId, Finding, Status};
use crate::report::assign_text::{
    headline, help, lever, look_again, months_left, post, spare, to_read, why_not_surer,
};
use crate::report::card::Paper;
use crate::report::contract::Skipped;
use crate::report::sheet::in_quotation_marks;
use crate::report::size_text::in_two_pieces;
use crate::report::verdict_text::{ABOUT, sentence, sureness_short};
use crate::units::Units;
use crate::words;

/// Longest heading, characters.
const LONGEST_TITLE: usize = 80;
/// Most children on a list whose letters are large.
const ROOMY: usize = 16;

/// What goes on the list beside the pairs.
#[derive(Debug, Clone)]
pub struct Extras {
    /// Heading.
    pub title: Option<String>,
    /// The day.
    pub date: Date,
    /// Paper to print on.
    pub paper: Paper,
    /// Unit of its figures.
    pub units: Units,
}

/// One line of the list, as it is read.
pub(crate) struct Line {
    /// The child.
    pub(crate) child: String,
    /// The bike, by its file's name.
    pub(crate) bike: String,
    /// How sure of the size; empty where that was not asked.
    pub(crate) sure: String,
    /// Saddle height to set.
    pub(crate) saddle: String,
    /// Post to show.
    pub(crate) post: String,
    /// Gap of the brake lever.
    pub(crate) lever: String,
    /// Months until it is outgrown.
    pub(crate) months: String,
    /// What else to set, and what to read before handing out.
    pub(crate) notes: String,
}

#[derive(Template)]
#[template(path = "assign.html", config = "src/report/askama.toml")]
struct List {
    page: &'static str,
    font_pt: f64,
    title: String,
    date: Date,
    headline: String,
    unit: &'static str,
    /// Widths of the columns with figures: saddle, post, lever.
    figures_mm: [f64; 3],
    lines: Vec<Line>,
    rest: Vec<[String; 2]>,
    spare: Vec<String>,
    look_again: Vec<String>,
    skipped: Vec<String>,
}

/// Everybody who gets a bike.
pub(crate) fn lines(assignment: &Assignment, units: Units) -> Vec<Line> {
    assignment
        .pairs
        .iter()
        .map(|pair| Line {
            child: pair.child.title(),
            bike: pair.fit.bike.id.clone(),
            sure: sureness_short(&pair.fit).unwrap_or_default(),
            saddle: in_two_pieces(&pair.fit, units),
            post: post(pair, units),
            lever: lever(pair, units),
            months: months_left(pair),
            notes: settings_without_column(pair, units)
                .into_iter()
                .chain(to_read(&pair.fit, units))
                .chain(why_not_surer(pair))
                .collect::<Vec<_>>()
                .join("; "),
        })
        .collect()
}

/// What is set and has no column of its own: saddle and lever have one, but no room for where a saddle must stop, nor
/// for where it is measured from.
fn settings_without_column(pair: &Given, units: Units) -> Vec<String> {
    let fit = &pair.fit;
    let has_column = |finding: &Finding| match finding.id {
        CheckId::SaddleHeight => {
            let wanted = finding.measure.value.zip(finding.measure.low);
            let is_below = wanted.is_some_and(|(value, low)| value < low);
            !is_below && !fit.bike.tells_saddle_from_ground()
        }
        CheckId::BrakeLever => true,
        _ => false,
    };
    fit.findings()
        .filter(|finding| finding.status() == Status::Set && !has_column(finding))
        .map(|finding| fit.advice(&finding, units))
        .collect()
}

/// The list as one HTML file.
///
/// # Errors
/// When the template cannot be written out, which its types rule out.
pub fn list(
    assignment: &Assignment,
    skipped: &[Skipped],
    extras: &Extras,
) -> Result<String, askama::Error> {
    const LARGE_PT: f64 = 8.6;
    const SMALL_PT: f64 = 7.6;
    let units = extras.units;
    let lines = lines(assignment, units);
    let rest: Vec<[String; 2]> = assignment
        .without_bike
        .iter()
        .map(|rest| [rest.child.title(), sentence(&help(rest, units))])
        .collect();
    let title = extras.title.as_deref().map(words::clean);
    let title = title
        .unwrap_or_default()
        .chars()
        .take(LONGEST_TITLE)
        .collect();
    List {
        page: match extras.paper {
            Paper::A4 => "A4",
            Paper::Letter => "letter",
        },
        font_pt: if lines.len() + rest.len() <= ROOMY {
            LARGE_PT
        } else {
            SMALL_PT
        },
        title,
        date: extras.date,
        headline: headline(assignment, skipped),
        unit: units.spoken(),
        figures_mm: match units {
            Units::Mm | Units::Cm => [13.0, 11.0, 11.0],
            // Whole inches and sixteenths on one line.
            Units::In => [17.0, 14.0, 14.0],
        },
        lines,
        rest,
        spare: spare(assignment),
        look_again: look_again(assignment, units),
        skipped: skipped.iter().map(|file| file.error.clone()).collect(),
    }
    .render()
    .map(in_quotation_marks)
}
