//! The handover for a terminal: verdict, then each part in the order of the work, then the child.
//! Numbers and sentences come from `advice::handover`; this only lays them out.

use crate::advice::handover::Handover;
use crate::advice::handover::bolts::Bolt;
use crate::advice::handover::levers::Levers;
use crate::advice::handover::pressure::SetPressure;
use crate::advice::handover::tyres::Tyres;
use crate::cautions::CAUTIONS;
use crate::report::terminal::{Layout, notes, push_line, table, wrapped};
use crate::report::verdict_text::verdict_lines;
use crate::units::{Units, tidy};

/// What a report says where something is missing.
pub(crate) fn needs(missing: &[&str]) -> String {
    format!("needs {}", missing.join(", "))
}

/// A torque range in N·m, `5` or `4-6`.
pub(crate) fn torque(bolt: &Bolt) -> String {
    let (low, high) = (tidy(bolt.low_nm, 1), tidy(bolt.high_nm, 1));
    if low == high {
        low
    } else {
        format!("{low}-{high}")
    }
}

/// A pressure, or a dash where there is none.
pub(crate) fn pressure(set: Option<&SetPressure>) -> String {
    set.map_or_else(|| "-".to_owned(), ToString::to_string)
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
    verdict_lines(
        &mut out,
        fit,
        crate::advice::stop::Stop::of(fit).as_ref(),
        layout,
    );
    if !fit.verdict.fits() {
        wrapped(&mut out, DO_NOT, layout.columns, "  ");
    }
    let dates = format!(
        "{}, set for {}; next check {}",
        handover.date, handover.saddle.stage, handover.saddle.next_check
    );
    wrapped(&mut out, &dates, layout.columns, "  ");
    saddle(&mut out, handover, layout);
    section(
        &mut out,
        "Brake levers",
        layout,
        &lever_lines(handover, layout.units),
    );
    let bars = handover.bars.notes(fit, layout.units);
    section(&mut out, "Bar and reach", layout, &bars);
    section(&mut out, "Tyres", layout, &tyre_lines(handover));
    section(
        &mut out,
        "Air spring",
        layout,
        &spring_lines(handover, layout.units),
    );
    bolts(&mut out, handover, layout);
    push_line(&mut out, "");
    push_line(&mut out, "The child shows, on this bike, before riding off");
    for line in handover.child_shows(layout.units) {
        wrapped(&mut out, &format!("[ ] {line}"), layout.columns, "    ");
    }
    notes(&mut out, "Look again", &fit.warnings(layout.units), layout);
    notes(&mut out, "Cautions", CAUTIONS, layout);
    out
}

/// Heads every form of a handover that should not take place.
pub(crate) const DO_NOT: &str =
    "This bike does not fit this rider: do not hand it over as it stands.";

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

fn saddle(out: &mut String, handover: &Handover, layout: Layout) {
    let units = layout.units;
    let saddle = &handover.saddle;
    let mut lines = vec![
        format!(
            "saddle height {} from the centre of the bottom bracket to the saddle top",
            units.tape(saddle.setting.saddle_height_mm)
        ),
        format!(
            "exposed post {}, {} left above the mark; seat height {} above the ground",
            units.tape(saddle.setting.exposed_post_mm),
            units.tape(saddle.insertion_left_mm()),
            units.tape(saddle.setting.seat_height_mm)
        ),
    ];
    lines.extend(saddle.notes(units));
    section(out, "Saddle", layout, &lines);
    if saddle.stages.len() > 1 {
        push_line(out, "");
        let mut rows = table(
            &["stage", "saddle height", "post", "above mark", "feet"],
            layout.columns,
        );
        for height in &saddle.stages {
            rows.add_row([
                height.stage.to_string(),
                units.tape(height.setting.saddle_height_mm),
                units.tape(height.setting.exposed_post_mm),
                units.tape(height.insertion_left_mm),
                height.ground(),
            ]);
        }
        for line in rows.lines() {
            push_line(out, line.trim_end());
        }
    }
    let raises: Vec<_> = handover.raises().collect();
    if !raises.is_empty() {
        push_line(out, "");
        push_line(out, "Raise the saddle");
        for raise in raises {
            push_line(
                out,
                &format!("  {}  {}", raise.date, units.tape(raise.saddle_height_mm)),
            );
        }
    }
    let growth_notes = handover
        .fit
        .growth()
        .into_iter()
        .flat_map(|growth| &growth.notes);
    for note in growth_notes {
        wrapped(out, &format!("- {}", note.words()), layout.columns, "  ");
    }
}

pub(crate) fn lever_lines(handover: &Handover, units: Units) -> Vec<String> {
    let levers = &handover.levers;
    let mut lines = lever_settings(levers, units);
    if !levers.needs.is_empty() {
        lines.push(needs(&levers.needs));
    }
    lines.extend(levers.notes(units));
    lines
}

pub(crate) fn tyre_lines(handover: &Handover) -> Vec<String> {
    let tyres = &handover.tyres;
    let mut lines = Vec::new();
    if tyres.front.is_some() || tyres.rear.is_some() {
        lines.push(format!(
            "start at front {}, rear {}",
            pressure(tyres.front.as_ref()),
            pressure(tyres.rear.as_ref())
        ));
    }
    lines.extend(load(tyres));
    if !tyres.needs.is_empty() {
        lines.push(needs(&tyres.needs));
    }
    lines.extend(tyres.notes().into_iter().map(str::to_owned));
    lines
}

/// Sag in one line.
pub(crate) fn sag(handover: &Handover, units: Units) -> Option<String> {
    let spring = handover.air_spring.as_ref()?;
    Some(format!(
        "sag {} of {} travel ({} to {})",
        units.tape(spring.sag_target_mm),
        units.length(spring.travel_mm),
        units.length(spring.sag_low_mm),
        units.length(spring.sag_high_mm)
    ))
}

pub(crate) fn spring_lines(handover: &Handover, units: Units) -> Vec<String> {
    let Some(spring) = &handover.air_spring else {
        return Vec::new();
    };
    let mut lines: Vec<_> = sag(handover, units).into_iter().collect();
    if spring.start.is_some() {
        lines.push(format!("start at {}", pressure(spring.start.as_ref())));
    }
    if !spring.needs.is_empty() {
        lines.push(needs(&spring.needs));
    }
    lines.extend(spring.notes(units));
    lines
}

fn bolts(out: &mut String, handover: &Handover, layout: Layout) {
    push_line(out, "");
    wrapped(
        out,
        "Bolt check, front to back (N·m; common practice, the figure printed on the part wins)",
        layout.columns,
        "  ",
    );
    let mut rows = table(&["", "part", "N·m", "mind"], layout.columns);
    for bolt in &handover.bolts {
        let note = if bolt.is_printed {
            [bolt.note.as_str(), "printed on the part"]
                .into_iter()
                .filter(|part| !part.is_empty())
                .collect::<Vec<_>>()
                .join("; ")
        } else {
            bolt.note.clone()
        };
        rows.add_row(["[ ]".to_owned(), bolt.part.clone(), torque(bolt), note]);
    }
    for line in rows.lines() {
        push_line(out, line.trim_end());
    }
}
