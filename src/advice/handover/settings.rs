//! What is set, as lines of a table: one list for card, text and contract.
//! The figures are those of the parts' own files; balance bikes lead with the height above ground.

use crate::advice::handover::saddle::{End, FIND_MARK};
use crate::advice::handover::work::Work;
use crate::units::Units;

/// One thing to set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// What is set.
    pub what: &'static str,
    /// To which figure.
    pub figure: String,
    /// How it is measured, or what to mind; may be empty.
    pub note: String,
}

/// Said of a spring whose maker's figures are there, and the rider's weight is not.
pub const BY_WEIGHT: &str = "inside the range printed on it; weigh the rider, then by the sag";

fn lines(work: &Work, units: Units) -> Vec<Line> {
    let line = |what, figure, note: &str| Line {
        what,
        figure,
        note: note.to_owned(),
    };
    let saddle = &work.saddle;
    let set = &saddle.setting;
    let post = set.exposed_post_mm.map(|shows| {
        let note = match (saddle.end, saddle.room_shown_mm(units)) {
            (Some(End::AtMark), _) => End::AtMark.words().to_owned(),
            (end, Some(left)) => {
                let room = format!("room to raise the saddle {}", units.length_at_most(left));
                end.map_or_else(|| room.clone(), |end| format!("{}; {room}", end.words()))
            }
            (_, None) => FIND_MARK.to_owned(),
        };
        line("post showing", set.tape(units, shows), &note)
    });
    let seat = |note| line("seat height", set.tape(units, set.seat_height_mm), note);
    let inside = set.insertion_mm.zip(saddle.minimum_insertion_mm);
    let inside = inside.map(|(inside, mark)| {
        let note = format!(
            "never less than {}; the mark stays hidden",
            units.length_at_least(mark)
        );
        line("post inside", set.tape_inside(units, inside), &note)
    });
    let mut lines = if work.leads_with_seat_height {
        vec![seat("ground to saddle top")]
    } else {
        vec![
            line(
                "saddle height",
                set.tape(units, set.saddle_height_mm),
                "bottom-bracket centre to saddle top, straight",
            ),
            seat("ground to saddle top, to check by"),
        ]
    };
    lines.splice(1..1, post);
    lines.extend(inside);
    let levers = &work.levers;
    let brakes = match (&levers.front, &levers.rear) {
        // Set alike: said once.
        (Some(front), Some(rear)) if front == rear => vec![("both lever gaps", front)],
        (front, rear) => [("front lever gap", front), ("rear lever gap", rear)]
            .into_iter()
            .filter_map(|(what, brake)| Some((what, brake.as_ref()?)))
            .collect(),
    };
    for (what, brake) in brakes.into_iter().filter(|(_, brake)| brake.has_lever()) {
        let figure = brake.lever.map_or_else(
            || format!("{} or less", units.length_at_most(levers.most_mm())),
            |lever| units.tape(lever.gap_mm),
        );
        lines.push(line(what, figure, &levers.advice(brake, units)));
    }
    let tyres = &work.tyres;
    let wheels = match (tyres.front, tyres.rear) {
        // The printed range decides for both: said once.
        (Some(front), Some(rear)) if front == rear && front.limited_by.is_some() => {
            vec![("both tyres", tyres.front)]
        }
        (None, None) => vec![("both tyres", None)],
        _ => vec![("front tyre", tyres.front), ("rear tyre", tyres.rear)],
    };
    for (what, set) in wheels {
        let figure = match (set, tyres.printed) {
            (Some(set), _) => set.to_string(),
            (None, Some(printed)) => printed.to_string(),
            (None, None) => "as printed on the tyre".to_owned(),
        };
        let note = match set.and_then(|set| set.limited_by) {
            Some(limit) => limit.words(),
            None if set.is_some() => "common practice; the sidewall wins",
            None if tyres.printed.is_some() => {
                "inside the range printed on it; the lighter the rider, the lower"
            }
            None => "inside its printed range",
        };
        lines.push(line(what, figure, note));
    }
    if let Some(spring) = &work.air_spring {
        let (figure, note) = match (spring.start, spring.printed) {
            (Some(set), _) => (set.to_string(), "then by the sag"),
            (None, Some(printed)) => (printed.to_string(), BY_WEIGHT),
            (None, None) => ("by its maker's chart".to_owned(), "then by the sag"),
        };
        lines.push(line("air spring", figure, note));
        lines.push(line(
            "sag",
            format!(
                "{} to {}",
                units.bare(spring.sag_low_mm),
                units.length(spring.sag_high_mm)
            ),
            "standing on level pedals in the riding position",
        ));
    }
    lines
}

impl Work {
    /// What is set, in the order of the card.
    pub fn settings(&self, units: Units) -> Vec<Line> {
        lines(self, units)
    }
}
