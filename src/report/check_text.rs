//! What a file says and leaves open, for a terminal: drawn, published, measured, assumed; open checks; what to take next.
//! Reading the file is a face's business.

use crate::advice::open::Open;
use crate::report::assumed::{known_as, next_in_words};
use crate::report::terminal::{Layout, wrapped};

/// The lines under a frame file's name.
pub fn frame(open: &Open, layout: Layout) -> String {
    let mut out = String::new();
    let mut line = |text: &str| wrapped(&mut out, &format!("- {text}"), layout.columns, "  ");
    for found in &open.bike.mismatches {
        line(&format!("look again: {}", found.words(layout.units)));
    }
    for reason in open.judged.ruled_out(layout.units) {
        line(&format!("look again: {reason}"));
    }
    for doubt in &open.torques {
        line(&format!("look again: {doubt}"));
    }
    if !open.torque_names.is_empty() {
        let names = open.torque_names.join(", ");
        line(&format!("names for torques on this bike: {names}"));
    }
    if open.bike.doubt.is_none() {
        line("a full drawing: nothing of the geometry is assumed");
    } else {
        for (standing, keys) in &open.standings {
            line(&format!("{}: {}", standing.title(), keys.join(", ")));
        }
        line(&format!(
            "that makes: {}",
            known_as(&open.bike, layout.units)
        ));
    }
    for left in &open.judged.not_checked {
        line(&format!(
            "{} stays open: needs {}",
            left.check.title(),
            open.bike.wants(left.needs)
        ));
    }
    match open.next {
        Some(path) => line(&format!("next: take the {}", next_in_words(path))),
        None if open.bike.doubt.is_some() => line("a tape adds nothing that decides a fit"),
        None => {}
    }
    out
}
