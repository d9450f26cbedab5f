//! Call-outs: a name, a figure and how it came out, and the columns left and right of a drawing that they stand in.
//! How tall each is and how it is written; where it stands is `column`'s and `search`'s business.
//! What is said is the pictures'.

use crate::draw::lettering::{ASCENT, DESCENT, FIGURE, Face, NAME, NOTE};
use crate::draw::page::{Align, Page};
use crate::draw::paper::Spot;
use crate::draw::sign::Sign;

/// Between two call-outs, mm.
pub(super) const GAP: f64 = 4.0;
/// Between the base lines of a note that takes two, mm.
const NOTE_LEADING: f64 = 3.7;
/// From a column to where its leaders start, mm.
const LEAD: f64 = 1.5;
/// Radius of a status sign, mm, and the room that it takes beside the words.
const SIGN: f64 = 1.3;
const SIGN_ROOM: f64 = 3.9;
/// Size of a failing figure.
const FAILING: Face = FIGURE.sized(6.6).class("fail");

/// Which column a call-out stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
}

/// The last line of a call-out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Note {
    pub(super) sign: Option<Sign>,
    /// The sign's word, or another that says the same closer.
    pub(super) word: &'static str,
    pub(super) text: String,
}

impl Note {
    pub(super) fn signed(sign: Sign, text: impl Into<String>) -> Self {
        Self {
            sign: Some(sign),
            word: sign.word(),
            text: text.into(),
        }
    }

    /// Of a check that was not made.
    pub(super) fn not_checked(wants: impl Into<String>) -> Self {
        Self {
            word: NOT_CHECKED,
            ..Self::signed(Sign::Unknown, wants)
        }
    }

    pub(super) fn plain(text: impl Into<String>) -> Self {
        Self {
            sign: None,
            word: "",
            text: text.into(),
        }
    }

    /// Room that the status sign takes beside the words, mm.
    fn indent(&self) -> f64 {
        if self.sign.is_some() { SIGN_ROOM } else { 0.0 }
    }

    /// Everything that it says.
    pub(super) fn words(&self) -> String {
        match self.sign {
            Some(_) => format!("{}: {}", self.word, self.text),
            None => self.text.clone(),
        }
    }
}

/// How a call-out is tied to its place.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Tie {
    /// A leader to any of these.
    Leader(Vec<Spot>),
    /// None needed: it stands at the column's outer edge beside its upright dimension, whose middle this is.
    Beside(Spot),
    /// None needed: it stands under this place, in its own column.
    Under(Spot),
    /// There is nothing to point at.
    Nowhere,
}

/// What is said about one place in the drawing.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Callout {
    pub(super) side: Side,
    pub(super) name: String,
    pub(super) figure: String,
    pub(super) note: Option<Note>,
    pub(super) tie: Tie,
}

impl Callout {
    pub(super) fn is_failing(&self) -> bool {
        self.note
            .as_ref()
            .is_some_and(|note| note.sign == Some(Sign::Fail))
    }

    fn figure_face(&self) -> Face {
        if self.is_failing() { FAILING } else { FIGURE }
    }

    fn name_line() -> f64 {
        ASCENT * NAME.size
    }

    fn figure_line(&self) -> f64 {
        Self::name_line() + DESCENT * NAME.size + ASCENT * self.figure_face().size + 0.1
    }

    fn note_line(&self) -> f64 {
        self.figure_line() + DESCENT * self.figure_face().size + ASCENT * NOTE.size + 0.25
    }

    /// The note's words, in lines.
    fn note_lines(&self, column: f64) -> Vec<String> {
        let Some(note) = &self.note else {
            return Vec::new();
        };
        let (words, room) = (note.words(), column - note.indent());
        // One line set a little smaller reads better than two.
        let face = NOTE.shrunk(&words, room);
        if face.width(&words) <= room {
            vec![words]
        } else {
            NOTE.wrapped(&words, room)
        }
    }

    /// Height of the call-out in a column so wide, mm.
    pub(super) fn height(&self, column: f64) -> f64 {
        match self.note_lines(column).len() {
            0 => self.figure_line() + DESCENT * self.figure_face().size,
            lines => self.note_line() + (lines - 1) as f64 * NOTE_LEADING + DESCENT * NOTE.size,
        }
    }

    /// Where it would like its middle.
    pub(super) fn wish(&self) -> f64 {
        /// What points nowhere goes to the foot and makes room for what does.
        const FOOT: f64 = 1e3;
        match &self.tie {
            Tie::Leader(spots) => {
                spots.iter().map(|spot| spot.y).sum::<f64>() / spots.len().max(1) as f64
            }
            Tie::Beside(spot) | Tie::Under(spot) => spot.y,
            Tie::Nowhere => FOOT,
        }
    }
}

/// The two columns on a sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Columns {
    /// Width of either, mm.
    pub(super) width: f64,
    /// Inner edge of the left one: its right.
    pub(super) left: f64,
    /// Inner edge of the right one: its left.
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
    /// A leader longer than this is too long, mm.
    pub(super) far: f64,
}

impl Columns {
    fn inner(&self, side: Side) -> f64 {
        match side {
            Side::Left => self.left,
            Side::Right => self.right,
        }
    }

    /// Where a column's outer edge is.
    pub(super) fn outer(&self, side: Side) -> f64 {
        match side {
            Side::Left => self.left - self.width,
            Side::Right => self.right + self.width,
        }
    }

    /// How much of a column so many call-outs fill, mm.
    pub(super) fn fill<'c>(&self, callouts: impl Iterator<Item = &'c Callout>) -> f64 {
        callouts
            .map(|callout| callout.height(self.width) + GAP)
            .sum()
    }
}

/// Where the leader of a call-out begins.
pub(super) fn leader_start(columns: &Columns, callout: &Callout, top: f64) -> Spot {
    let x = match callout.side {
        Side::Left => columns.left + LEAD,
        Side::Right => columns.right - LEAD,
    };
    Spot::new(x, top + callout.figure_line() - 0.35 * FIGURE.size)
}

/// In place of a figure that rests on what nobody measured, and of the sign's word where a check was not made.
pub(super) const NOT_CHECKED: &str = "not checked";

/// Name under which the plan has the saddle's strips.
pub(super) const STRIPS: &str = "strips";

/// Writes a call-out with its upper edge at `top`; `chosen` of its places is the one that it is led to.
pub(super) fn put(page: &mut Page, columns: &Columns, callout: &Callout, top: f64, chosen: usize) {
    let beside = matches!(callout.tie, Tie::Beside(_));
    // Towards the drawing, except beside an upright dimension at the outer edge.
    let (x, align) = match (callout.side, beside) {
        (side @ Side::Left, false) => (columns.inner(side), Align::Right),
        (side @ Side::Left, true) => (columns.outer(side), Align::Left),
        (side @ Side::Right, false) => (columns.inner(side), Align::Left),
        (side @ Side::Right, true) => (columns.outer(side), Align::Right),
    };
    let thing = match &callout.tie {
        Tie::Leader(spots) => spots.get(chosen).copied(),
        Tie::Beside(spot) | Tie::Under(spot) => Some(*spot),
        Tie::Nowhere => None,
    };
    let room = columns.width;
    let mut write = |down: f64, aside: f64, face: Face, room: f64, text: &str| {
        let at = Spot::new(x + aside, top + down);
        match thing {
            Some(thing) => page.write_about((&callout.name, thing), at, align, face, room, text),
            None => page.write(at, align, face, room, text),
        };
    };
    write(Callout::name_line(), 0.0, NAME, room, &callout.name);
    let face = callout.figure_face().shrunk(&callout.figure, room);
    write(callout.figure_line(), 0.0, face, room, &callout.figure);
    let Some(note) = &callout.note else {
        return;
    };
    let inwards = if align == Align::Right { -1.0 } else { 1.0 };
    let room = room - note.indent();
    let mut down = callout.note_line();
    let sign_at = Spot::new(x + inwards * SIGN, top + down - NOTE.below_middle());
    for words in callout.note_lines(columns.width) {
        let face = NOTE.shrunk(&words, room);
        write(down, inwards * note.indent(), face, room, &words);
        down += NOTE_LEADING;
    }
    if let Some(sign) = note.sign {
        page.add_above(
            sign.word(),
            Sign::place(sign_at, SIGN),
            &sign.draw(sign_at, SIGN),
        );
    }
}
