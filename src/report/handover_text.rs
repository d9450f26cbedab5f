//! The handover for a terminal: verdict, then each part in the order of the work, then the child; or why there is
//! no work order. The sentences that text, card and build sheet share are made here.
//! Numbers come from `advice::handover` and `advice::stop`; this only words and lays them out.

use crate::advice::handover::bolts::{Bolt, Tight};
use crate::advice::handover::kit::Has;
use crate::advice::handover::levers::Levers;
use crate::advice::handover::steps::lever_side;
use crate::advice::handover::tyres::Tyres;
use crate::advice::handover::visits::{first_check_weeks, month};
use crate::advice::handover::{Handover, Work};
use crate::advice::stop::failing;
use crate::bike::Bike;
use crate::bike::parts::BrakePart;
use crate::fit::forecast::Note;
use crate::fit::{Raise, Verdict};
use crate::report::assumed::assumed_note;
use crate::report::terminal::{Layout, notes, push_line, push_table, table, wrapped};
use crate::report::verdict_text::{
    ABOUT, NEAREST, about, cautions, fit_line, reasons, sentence, styled_verdict,
};
use crate::units::{Units, tidy};
use crate::words::key_to_give;

/// Said of a bike that does not fit where the rack has none to offer instead.
pub const NOTHING_FITS: &str = "No bike on this rack fits today.";

/// Said where a record was asked for and there is none.
pub const NO_RECORD: &str = "no record is written: nothing is set before the bike is said to fit";

/// What a report says where something is missing.
pub(crate) fn needs(missing: &[&str]) -> String {
    let missing: Vec<_> = missing.iter().map(|key| key_to_give(key)).collect();
    format!("needs {}", missing.join(", "))
}

/// Why there is no work order, the reason with its amount first. Empty where there is one.
pub(crate) fn stop_lines(handover: &Handover, units: Units) -> Vec<String> {
    let fit = &handover.fit;
    let Some(stop) = handover.stop() else {
        return Vec::new();
    };
    let mut lines = reasons(fit, stop, units);
    if let Some(again) = fit
        .odds
        .and_then(|odds| odds.remeasure)
        .filter(|_| fit.verdict.rules_out())
    {
        lines.push(format!("If in doubt, {}.", again.words()));
    }
    let others = failing(fit)
        .into_iter()
        .filter(|finding| Some(finding.id) != stop.check())
        .map(|finding| sentence(&fit.advice(&finding, units)));
    lines.extend(others);
    lines
}

/// The bike to offer instead, for paper and terminals, which have no link to it.
pub(crate) fn nearest_line(handover: &Handover) -> Option<String> {
    let nearest = handover.nearest.as_ref()?;
    Some(format!("{NEAREST}: {nearest}."))
}

/// What not to do with a bike that does not fit.
pub(crate) const fn do_not(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::TooBig | Verdict::Unsuitable => "Do not ride this bike. Do not hand it over.",
        Verdict::TooSmall => "This bike is outgrown. Do not hand it over to this rider.",
        Verdict::Fits | Verdict::Undecided | Verdict::Incomplete => {
            "Do not hand it over before this is settled."
        }
    }
}

/// When to come back, by month: no forecast knows the day. In the order of time, the first raise only.
pub(crate) fn come_back(handover: &Handover, work: &Work, units: Units) -> Vec<String> {
    coming(handover, work, 1, units)
}

/// The same with the first so many raises.
fn coming(handover: &Handover, work: &Work, raises: usize, units: Units) -> Vec<String> {
    let (visits, bike, on) = (&work.visits, &handover.fit.bike, handover.date);
    let first = format!(
        "After the first rides, within {} (by {}): bolts{} once more.",
        first_check_weeks(),
        visits.first_check[1],
        if work.has_cables() { " and cables" } else { "" }
    );
    let mut lines = vec![(visits.first_check[1], first)];
    for (place, raise) in visits.raises.iter().enumerate().take(raises) {
        let (when, to) = (month(raise.date), raised(*raise, bike, units));
        let line = if place == 0 {
            format!("First raise, about {when}: {to}; measure and check feet first.")
        } else {
            format!("Then about {when}: {to}.")
        };
        lines.push((raise.date, line));
    }
    if let Some(day) = visits.next_measuring {
        let measured_on = visits.measured_on;
        let when = if day <= on {
            format!("now, the figures are of {measured_on}")
        } else {
            month(day)
        };
        let line = format!("Next measuring: {when}; measure and check feet first, then set.");
        lines.push((day, line));
    }
    if let Some(day) = visits.post_at_mark {
        let note = Note::PostAtMark(Some(day).filter(|day| *day > on));
        lines.push((day, sentence(&note.words())));
    }
    if let Some(day) = visits.last_day[1] {
        lines.push((day, format!("Outgrown, as expected: about {}.", month(day))));
    }
    lines.sort_by_key(|(day, _)| *day);
    lines.into_iter().map(|(_, line)| line).collect()
}

/// What to raise the saddle to, by the figure that the sheet leads with.
fn raised(raise: Raise, bike: &Bike, units: Units) -> String {
    let what = if bike.tells_saddle_from_ground() {
        "seat height"
    } else {
        "saddle height"
    };
    format!("{what} {}", raise.tape(units))
}

/// A torque range in N·m, `5` or `4-6`; how tight where no figure is known.
pub(crate) fn torque(bolt: &Bolt) -> String {
    let range = match bolt.tight {
        Tight::Torque(range) => range,
        Tight::ByHand => return "by hand".to_owned(),
        Tight::AsPrinted => return "as marked".to_owned(),
    };
    let [low, high] = range.map(|nm| tidy(nm, 1));
    if low == high {
        low
    } else {
        format!("{low}-{high}")
    }
}

/// The brakes, one line each, or one for both where they are set alike.
pub(crate) fn lever_settings(levers: &Levers, units: Units) -> Vec<String> {
    let [front, rear] =
        [levers.front, levers.rear].map(|lever| lever.map(|lever| levers.advice(&lever, units)));
    if let (Some(front), Some(rear)) = (&front, &rear)
        && front == rear
    {
        return vec![format!("front and rear: {front}")];
    }
    [("front", front), ("rear", rear)]
        .into_iter()
        .filter_map(|(wheel, advice)| Some(format!("{wheel}: {}", advice?)))
        .collect()
}

/// The weight on the wheels, front share first: `rider and bike 37.4 kg, front : rear 38 : 62`.
pub(crate) fn load(tyres: &Tyres) -> Option<String> {
    let front = (100.0 * tyres.front_share?).round();
    Some(format!(
        "rider and bike {} kg, front : rear {} : {}",
        tidy(tyres.total_kg?, 1),
        tidy(front, 0),
        tidy(100.0 - front, 0)
    ))
}

/// The report on one handover.
pub fn handover(handover: &Handover, layout: Layout) -> String {
    let mut out = String::new();
    let fit = &handover.fit;
    let title = format!("Handover: {} on {}", fit.rider.title(), fit.bike.spec.name);
    wrapped(&mut out, &title, layout.columns, "  ");
    styled_verdict(&mut out, fit, layout);
    if let Ok(work) = &handover.work {
        work_order(&mut out, handover, work, layout);
    } else {
        let lines = stop_lines(handover, layout.units);
        for line in lines.into_iter().chain(nearest_line(handover)) {
            wrapped(&mut out, &line, layout.columns, "  ");
        }
        wrapped(&mut out, do_not(fit.verdict), layout.columns, "  ");
        wrapped(&mut out, about(fit.verdict), layout.columns, "  ");
        push_line(&mut out, "");
        fit_line(&mut out, fit, layout);
        assumed_note(&mut out, fit, layout);
        notes(
            &mut out,
            "Look again",
            &handover.look_again(layout.units),
            layout,
        );
    }
    notes(&mut out, "Cautions", &cautions(fit.verdict), layout);
    out
}

fn work_order(out: &mut String, handover: &Handover, work: &Work, layout: Layout) {
    let (fit, units) = (&handover.fit, layout.units);
    wrapped(out, ABOUT, layout.columns, "  ");
    fit_line(out, fit, layout);
    wrapped(
        out,
        &format!("{}, set for {}", handover.date, work.saddle.stage),
        layout.columns,
        "  ",
    );
    notes(out, "Read this", &handover.read_this(units), layout);
    settings(out, work, layout);
    section(out, "Saddle", layout, &work.saddle.notes(units));
    stages(out, work, layout);
    section(out, "Brake levers", layout, &lever_lines(work, units));
    section(out, "Bar and reach", layout, &work.bars.notes(fit, units));
    section(out, "Tyres", layout, &tyre_lines(&work.tyres));
    section(out, "Air spring", layout, &spring_lines(work, units));
    bolts(out, work, &fit.bike, layout);
    push_line(out, "");
    wrapped(
        out,
        "The rider shows, on this bike, at walking pace with an adult beside, before riding off",
        layout.columns,
        "  ",
    );
    for line in handover.rider_shows(units) {
        wrapped(out, &format!("[ ] {line}"), layout.columns, "    ");
    }
    let mut back = coming(handover, work, usize::MAX, units);
    back.extend(
        fit.growth()
            .into_iter()
            .flat_map(|growth| &growth.notes)
            // Told among the days.
            .filter(|note| !matches!(note, Note::PostAtMark(_)))
            .map(|note| sentence(&note.words())),
    );
    notes(out, "Come back", &back, layout);
    assumed_note(out, fit, layout);
    notes(out, "Look again", &handover.look_again(units), layout);
}

fn settings(out: &mut String, work: &Work, layout: Layout) {
    push_line(out, "");
    let mut rows = table(&["set", "to", "how"], layout.columns);
    for line in work.settings(layout.units) {
        rows.add_row([line.what.to_owned(), line.figure, line.note]);
    }
    push_table(out, &rows, layout.columns);
}

fn section(out: &mut String, heading: &str, layout: Layout, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    push_line(out, "");
    push_line(out, heading);
    for line in lines {
        wrapped(out, &format!("- {line}"), layout.columns, "  ");
    }
}

fn stages(out: &mut String, work: &Work, layout: Layout) {
    let Some((heads, cells)) = saddle_by_stage(work, layout.units) else {
        return;
    };
    push_line(out, "");
    let mut rows = table(&heads, layout.columns);
    for row in cells {
        rows.add_row(row);
    }
    push_table(out, &rows, layout.columns);
}

/// Heads and rows of the saddle at every stage; None where the bike has one stage only.
pub(crate) fn saddle_by_stage(
    work: &Work,
    units: Units,
) -> Option<([&'static str; 5], Vec<[String; 5]>)> {
    if work.saddle.stages.len() < 2 {
        return None;
    }
    let lead = if work.leads_with_seat_height {
        "seat height"
    } else {
        "saddle height"
    };
    let known = |said: Option<String>| said.unwrap_or_else(|| "-".to_owned());
    let rows = work.saddle.stages.iter().map(|height| {
        let tape = |mm| height.setting.tape(units, mm);
        let mark = height.minimum_insertion_mm;
        let left = mark.and_then(|mark| height.setting.room_shown_mm(units, mark));
        [
            height.stage.to_string(),
            tape(if work.leads_with_seat_height {
                height.setting.seat_height_mm
            } else {
                height.setting.saddle_height_mm
            }),
            known(height.setting.exposed_post_mm.map(tape)),
            known(left.map(|left| units.tape_at_most(left))),
            height.ground(),
        ]
    });
    Some((
        ["stage", lead, "post", "above mark", "feet"],
        rows.collect(),
    ))
}

pub(crate) fn lever_lines(work: &Work, units: Units) -> Vec<String> {
    let levers = &work.levers;
    let mut lines = lever_settings(levers, units);
    if !levers.needs.is_empty() {
        lines.push(needs(&levers.needs));
    }
    if work.kit.any_brake(BrakePart::has_lever) != Has::No {
        lines.push(lever_side(&work.kit));
    }
    lines.extend(levers.notes(units));
    lines
}

pub(crate) fn tyre_lines(tyres: &Tyres) -> Vec<String> {
    let mut lines = Vec::new();
    lines.extend(tyres.setting().map(|setting| format!("start at {setting}")));
    lines.extend(load(tyres));
    if !tyres.needs.is_empty() {
        lines.push(needs(&tyres.needs));
    }
    lines.extend(tyres.notes().into_iter().map(str::to_owned));
    lines
}

pub(crate) fn spring_lines(work: &Work, units: Units) -> Vec<String> {
    let Some(spring) = &work.air_spring else {
        return Vec::new();
    };
    let mut lines = vec![format!(
        "sag {} to {} of {} travel",
        units.bare(spring.sag_low_mm),
        units.length(spring.sag_high_mm),
        units.length(spring.travel_mm)
    )];
    lines.extend(spring.start.map(|start| format!("start at {start}")));
    if !spring.needs.is_empty() {
        lines.push(needs(&spring.needs));
    }
    lines.extend(spring.notes(units));
    lines
}

/// Said of a torque that is the maker's.
pub(crate) const PRINTED: &str = "printed on the part";

/// That bolts are listed which the bike may not have; None where the file says which it has.
pub(crate) fn parts_note(bike: &Bike, bolts: &[Bolt]) -> Option<&'static str> {
    if bolts.iter().all(|bolt| bolt.is_certain) {
        None
    } else if bike.spec.parts.is_none() {
        Some("The file names no parts: skip what this bike has not.")
    } else {
        Some("The file leaves some parts open: skip what this bike has not.")
    }
}

fn bolts(out: &mut String, work: &Work, bike: &Bike, layout: Layout) {
    push_line(out, "");
    wrapped(
        out,
        "Bolt check, front to back (N·m; common practice, the figure printed on the part wins)",
        layout.columns,
        "  ",
    );
    if let Some(note) = parts_note(bike, &work.bolts) {
        wrapped(out, note, layout.columns, "  ");
    }
    let mut rows = table(&["", "part", "N·m", "mind"], layout.columns);
    for bolt in &work.bolts {
        let note = bolt_note(bolt);
        rows.add_row(["[ ]".to_owned(), bolt.part.clone(), torque(bolt), note]);
    }
    push_table(out, &rows, layout.columns);
}

/// What to mind at a bolt, and whether the bike is known to have it.
pub(crate) fn bolt_note(bolt: &Bolt) -> String {
    let name = bolt.written_as.as_ref();
    let written_as = name.map_or_else(String::new, |name| format!("`{name}` in the file"));
    let parts = [
        bolt.note.as_str(),
        if bolt.is_certain {
            ""
        } else {
            "where it has one"
        },
        if bolt.is_printed { PRINTED } else { "" },
        written_as.as_str(),
        bolt.doubt.as_deref().unwrap_or_default(),
    ];
    let said: Vec<_> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    said.join("; ")
}
