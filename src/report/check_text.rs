//! What a file says and leaves open, for a terminal: drawn, published, measured, assumed; open checks; what to take next.
//! Reading the file is a face's business.

use crate::advice::open::Open;
use crate::advice::stop::Asked;
use crate::report::assumed::{known_as, next_in_words};
use crate::report::terminal::{Layout, push_line, wrapped};

/// The lines under a frame file's name.
pub fn frame(open: &Open, layout: Layout) -> String {
    let mut out = String::new();
    let line = |out: &mut String, text: &str| {
        wrapped(out, &format!("- {text}"), layout.columns, "  ");
    };
    for found in &open.bike.mismatches {
        line(
            &mut out,
            &format!("look again: {}", found.words(layout.units)),
        );
    }
    for reason in open.judged.ruled_out(layout.units) {
        line(&mut out, &format!("look again: {reason}"));
    }
    for doubt in open.slips.iter().chain(&open.torques) {
        line(&mut out, &format!("look again: {doubt}"));
    }
    for given in &open.torques_taken {
        line(&mut out, given);
    }
    if !open.torque_names.is_empty() {
        let names = open.torque_names.join(", ");
        line(
            &mut out,
            &format!("names for torques on this bike: {names}"),
        );
    }
    if open.bike.doubt.is_none() {
        line(
            &mut out,
            "a full drawing: nothing of the geometry is assumed",
        );
    } else {
        for (standing, keys) in &open.standings {
            line(
                &mut out,
                &format!("{}: {}", standing.title(), keys.join(", ")),
            );
        }
        line(
            &mut out,
            &format!("that makes: {}", known_as(&open.bike, layout.units)),
        );
    }
    if !open.judged.not_checked.is_empty() {
        line(&mut out, &format!("stays open, {}:", Asked::Middle.words()));
    }
    for left in &open.judged.not_checked {
        let needs = open.bike.wants(left.needs);
        let mut under = String::new();
        let text = format!("- {}: needs {needs}", left.check.title());
        wrapped(&mut under, &text, layout.columns.saturating_sub(2), "  ");
        for text in under.lines() {
            push_line(&mut out, &format!("  {text}"));
        }
    }
    match open.next {
        Some(path) => line(
            &mut out,
            &format!(
                "next, {}: take the {}",
                Asked::Nobody.words(),
                next_in_words(path)
            ),
        ),
        None if open.bike.doubt.is_some() => {
            line(&mut out, "a tape adds nothing that decides a fit");
        }
        None => {}
    }
    out
}
