//! The build sheet: one printed page with the order in which a boxed bike is built, a figure and a tick for each step.
//! For a bike alone, or for one rider's handover; a pair that does not fit gets the stop card.
//! Steps and sentences come from `advice::handover::steps`.

use std::sync::Arc;

use askama::Template;

use crate::advice::handover::bolts::{Bolt, Tight, bolts};
use crate::advice::handover::kit::Kit;
use crate::advice::handover::steps::{Step, StepKind, Told, steps};
use crate::advice::handover::{Handover, Work};
use crate::advice::rack::RackBike;
use crate::bike::Bike;
use crate::cautions::CAUTIONS;
use crate::fit::Status;
use crate::fit::checks::brakes;
use crate::report::card::{bike_stop, card};
use crate::report::handover_text::{PRINTED, parts_note, torque};
use crate::report::sheet::{Extras, Paper, Sheet, cut, glue, in_quotation_marks};
use crate::words::sentence;

/// Size of the letters, points; and on a crowded and on the fullest sheet.
const FONTS_PT: [f64; 3] = [10.0, 9.5, 9.0];
/// Lines of both columns that a sheet of each paper holds at the first two sizes.
const HOLDS_A4: [usize; 2] = [93, 103];
/// See [`HOLDS_A4`].
const HOLDS_LETTER: [usize; 2] = [82, 93];
/// Characters on one line of a column, about.
const LINE: usize = 43;
/// Characters that a box takes, about.
const BOX: usize = 4;
/// Most torques of parts that only the file knows; the rest is counted.
const MOST_OTHERS: usize = 5;
/// Longest name of such a part, characters.
const LONGEST_PART: usize = 20;

/// What a build sheet is for.
#[derive(Debug, Clone, Copy)]
pub enum Subject<'a> {
    /// A bike for whoever comes.
    Bike(&'a Bike),
    /// One rider's handover.
    Handover(&'a Handover),
}

impl<'a> From<&'a Bike> for Subject<'a> {
    fn from(bike: &'a Bike) -> Self {
        Self::Bike(bike)
    }
}

impl<'a> From<&'a std::sync::Arc<Bike>> for Subject<'a> {
    fn from(bike: &'a std::sync::Arc<Bike>) -> Self {
        Self::Bike(bike)
    }
}

impl<'a> From<&'a Handover> for Subject<'a> {
    fn from(handover: &'a Handover) -> Self {
        Self::Handover(handover)
    }
}

#[derive(Template)]
#[template(path = "build_sheet.html", config = "src/report/askama.toml")]
struct BuildSheet {
    sheet: Sheet,
    read_this: Vec<String>,
    parts_note: &'static str,
    sections: Vec<SheetSection>,
    others: Vec<String>,
    cautions: &'static [&'static str],
}

struct SheetSection {
    title: &'static str,
    steps: Vec<SheetStep>,
}

struct SheetStep {
    number: usize,
    words: String,
    torque: String,
    has_line: bool,
}

/// The build sheet as one HTML file.
///
/// # Errors
/// When the template cannot be written out, which its types rule out.
pub fn build_sheet<'a>(
    subject: impl Into<Subject<'a>>,
    extras: &Extras,
) -> Result<String, askama::Error> {
    let units = extras.units;
    match subject.into() {
        Subject::Bike(bike) => {
            let judged = RackBike::new(Arc::new(bike.clone()));
            if let Some(stop) = bike_stop(bike, &judged.ruled_out(units), extras) {
                return stop;
            }
            let read_this: Vec<_> = brakes_to_read(bike).into_iter().collect();
            let kit = Kit::of(bike);
            let bolts = bolts(bike, &kit);
            let steps = steps(bike, &kit, &bolts, None);
            let sections = sections(&steps, &kit, None, extras);
            let others = others(&bolts);
            let font_pt = font(&sections, &read_this, &others, extras);
            let mut sheet = Sheet::new(&bike.spec.name, String::new(), font_pt, extras);
            "Figures for one child are set at the handover.".clone_into(&mut sheet.figures);
            BuildSheet {
                sheet,
                read_this,
                parts_note: parts_note(bike, &bolts).unwrap_or_default(),
                sections,
                others,
                cautions: CAUTIONS,
            }
            .render()
            .map(in_quotation_marks)
        }
        Subject::Handover(handover) => {
            let Ok(work) = &handover.work else {
                return card(handover, extras);
            };
            let fit = &handover.fit;
            let sections = sections(&work.steps, &work.kit, Some(work), extras);
            let day = handover.date.to_string();
            let others = others(&work.bolts);
            let read_this = handover.read_this(units);
            let font_pt = font(&sections, &read_this, &others, extras);
            let sheet = Sheet::new(&fit.bike.spec.name, day, font_pt, extras);
            BuildSheet {
                sheet: sheet.with_rider(fit, units),
                read_this,
                parts_note: parts_note(&fit.bike, &work.bolts).unwrap_or_default(),
                sections,
                others,
                cautions: CAUTIONS,
            }
            .render()
            .map(in_quotation_marks)
        }
    }
}

/// What must be read of a bike's brakes before anyone builds it, in a sentence.
fn brakes_to_read(bike: &Bike) -> Option<String> {
    let measure = brakes::judged(bike)?;
    match measure.status {
        Status::Caution => Some(sentence(brakes::said(bike, &measure))),
        Status::NotChecked(_) => Some(sentence(&format!(
            "which brakes it has the file does not say: {}",
            brakes::ASKED
        ))),
        Status::Ok | Status::Set | Status::Fail(_) => None,
    }
}

/// Size of the letters at which the steps fit their page.
fn font(
    sections: &[SheetSection],
    read_this: &[String],
    others: &[String],
    extras: &Extras,
) -> f64 {
    let lines = |step: &SheetStep| step.words.chars().count().div_ceil(LINE).max(1);
    let steps: usize = sections
        .iter()
        .map(|section| 1 + section.steps.iter().map(lines).sum::<usize>())
        .sum();
    // A line across the page takes one of either column.
    let across = |letters: usize| 2 * letters.div_ceil(2 * LINE);
    let above: usize = read_this
        .iter()
        .map(|line| across(line.chars().count()))
        .sum();
    let others = others.iter().map(|one| one.chars().count() + BOX).sum();
    let lines = steps + above + across(others);
    let holds = match extras.paper {
        Paper::A4 => HOLDS_A4,
        Paper::Letter => HOLDS_LETTER,
    };
    FONTS_PT[holds.iter().filter(|most| lines > **most).count()]
}

fn sections(steps: &[Step], kit: &Kit, work: Option<&Work>, extras: &Extras) -> Vec<SheetSection> {
    let units = extras.units;
    let told = Told { kit, work, units };
    let numbered = (1..).zip(steps);
    let mut sections: Vec<SheetSection> = Vec::new();
    for (number, step) in numbered.clone() {
        let title = step.kind.section().word();
        if sections.last().is_none_or(|last| last.title != title) {
            sections.push(SheetSection {
                title,
                steps: Vec::new(),
            });
        }
        let (torque, in_words) = torques(&step.bolts);
        let mut words = step.words(&told) + &in_words;
        for doubt in doubts(&step.bolts) {
            words = format!("{words} {doubt}");
        }
        if step.kind == StepKind::FinalTorque {
            words = torque_round(numbered.clone());
        }
        let serial_number = extras
            .serial_number
            .as_deref()
            .map(crate::words::clean)
            .filter(|_| step.kind == StepKind::SerialNumber);
        if let Some(number) = &serial_number {
            words = format!("{words} {number}");
        }
        if let Some(section) = sections.last_mut() {
            section.steps.push(SheetStep {
                number,
                words,
                torque,
                has_line: step.kind == StepKind::SerialNumber && serial_number.is_none(),
            });
        }
    }
    sections
}

/// The steps whose bolts are gone over once more, by number. What sets a bearing's preload is not: behind a closed
/// clamp it would only be overtightened.
fn torque_round<'a>(numbered: impl Iterator<Item = (usize, &'a Step)>) -> String {
    let is_preload = |kind| matches!(kind, StepKind::Headset | StepKind::CrankPreload);
    let again: Vec<_> = numbered
        .filter(|(_, step)| !step.bolts.is_empty() && !is_preload(step.kind))
        .collect();
    let has_lever = again
        .iter()
        .flat_map(|(_, step)| &step.bolts)
        .any(|bolt| bolt.tight == Tight::ByHand);
    let order: Vec<_> = again.iter().map(|(number, _)| number.to_string()).collect();
    format!(
        "Torque wrench {}, in this order: {}.",
        if has_lever {
            "again, levers by hand"
        } else {
            "on every bolt again"
        },
        order.join(", ")
    )
}

/// The torque of a step's bolts: for the column where one range holds for all, else for the sentence. A bolt whose file's
/// figure is in doubt is never left out: the next one's would be taken for its own.
fn torques(bolts: &[Bolt]) -> (String, String) {
    // How a part without a torque is closed stands in the step's own words.
    let listed: Vec<_> = bolts
        .iter()
        .filter(|bolt| bolt.tight.nm().is_some() || bolt.doubt.is_some())
        .collect();
    let Some(first) = listed.first().filter(|_| has_torque(&listed)) else {
        return (String::new(), String::new());
    };
    // The figure of one is not to be taken for that of another, which goes by what is printed on it.
    let is_of_some = bolts.iter().any(|bolt| bolt.tight == Tight::AsPrinted);
    if !is_of_some && listed.iter().all(|bolt| told(bolt) == told(first)) {
        let printed = if first.is_printed {
            format!(" {}", sentence(PRINTED))
        } else {
            String::new()
        };
        return (torque(first), printed);
    }
    let mut said: Vec<String> = Vec::new();
    for bolt in listed {
        let line = format!("{} {}", name(bolt, bolts), told(bolt));
        if !said.contains(&line) {
            said.push(line);
        }
    }
    (String::new(), format!(" N·m: {}.", said.join(", ")))
}

/// Whether a figure is known of any of them; where none is, what is in doubt names its own bolts.
fn has_torque(bolts: &[&Bolt]) -> bool {
    bolts.iter().any(|bolt| bolt.tight.nm().is_some())
}

/// What a step's bolts are called on the sheet.
fn name(bolt: &Bolt, bolts: &[Bolt]) -> String {
    let without_wheel = |bolt: &Bolt| {
        let part = &bolt.part;
        let bare = part
            .strip_prefix("front ")
            .or_else(|| part.strip_prefix("rear "));
        bare.unwrap_or(part).to_owned()
    };
    let part = &bolt.part;
    let bare = without_wheel(bolt);
    // Front and rear alike are one; where they differ, each is named.
    let differs = |other: &Bolt| {
        without_wheel(other) == bare && (told(other), &other.doubt) != (told(bolt), &bolt.doubt)
    };
    match bolt.note.split([',', ';']).next() {
        // Two kinds of one part are told apart by what they look like.
        Some(note) if bolts.iter().filter(|other| other.part == *part).count() > 1 => {
            note.to_owned()
        }
        _ if bolts.iter().any(differs) => part.clone(),
        _ => bare,
    }
}

/// What is in doubt about the torques of a step, a sentence each, with the bolts that it is about.
fn doubts(bolts: &[Bolt]) -> Vec<String> {
    let mut named: Vec<(&str, Vec<String>)> = Vec::new();
    for bolt in bolts {
        let Some(doubt) = bolt.doubt.as_deref() else {
            continue;
        };
        let name = name(bolt, bolts);
        match named.iter_mut().find(|(other, _)| *other == doubt) {
            Some((_, names)) if names.contains(&name) => {}
            Some((_, names)) => names.push(name),
            None => named.push((doubt, vec![name])),
        }
    }
    let line = |(doubt, names): (&str, Vec<String>)| {
        format!("Torque of the {}: {doubt}.", names.join(" and the "))
    };
    named.into_iter().map(line).collect()
}

/// A torque in a list of several, and whether the part itself says so.
fn told(bolt: &Bolt) -> String {
    if bolt.is_printed && bolt.tight.nm().is_some() {
        format!("{} ({PRINTED})", unbroken(bolt))
    } else {
        unbroken(bolt)
    }
}

/// A torque in a sentence: at a hyphen its two figures would come apart.
fn unbroken(bolt: &Bolt) -> String {
    const NO_BREAK_HYPHEN: &str = "\u{2011}";
    torque(bolt).replace('-', NO_BREAK_HYPHEN)
}

/// Torques of parts that only the file knows.
fn others(bolts: &[Bolt]) -> Vec<String> {
    let others: Vec<_> = bolts.iter().filter(|bolt| bolt.step.is_none()).collect();
    let shown = others.len().min(MOST_OTHERS);
    let mut said: Vec<_> = others[..shown]
        .iter()
        .map(|bolt| format!("{} {}", cut(&bolt.part, LONGEST_PART), unbroken(bolt)))
        .collect();
    if others.len() > shown {
        said.push(format!("{} more in the text report", others.len() - shown));
    }
    said
}
