//! Call-outs: a name, a figure and how it came out, in columns left and right of the drawing, each led to its place.
//! The order and the places are searched, so that leaders cross nothing and run along no tube.
//! The arithmetic that keeps boxes apart is `stack`; what is said is the pictures' business.

use crate::draw::lettering::{ASCENT, DESCENT, FIGURE, Face, NAME, NOTE};
use crate::draw::page::{Align, Page};
use crate::draw::paper::{Rect, Spot, cross};
use crate::draw::plan::Plan;
use crate::draw::sign::Sign;
use crate::draw::stack::{FIRM, Wish, stack};

/// Between two call-outs, mm.
const GAP: f64 = 4.0;
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
    pub(super) text: String,
}

impl Note {
    pub(super) fn plain(text: impl Into<String>) -> Self {
        Self {
            sign: None,
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
            Some(sign) => format!("{}: {}", sign.word(), self.text),
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
    fn wish(&self) -> f64 {
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

/// A box of a column: a call-out, or something that call-outs keep clear of.
#[derive(Debug, Clone)]
struct Piece {
    callout: Option<Callout>,
    wish: Wish,
    /// Which of its places the leader goes to.
    chosen: usize,
    /// How far its wish is moved, mm.
    moved: f64,
}

/// Writes every call-out into its column with its leader. `barriers` are boxes across a column that
/// keep their place and that nothing is written on.
pub(super) fn write(
    page: &mut Page,
    columns: &Columns,
    callouts: Vec<Callout>,
    barriers: &[(Side, Rect)],
) {
    let mut columns_of = [Vec::new(), Vec::new()];
    for callout in callouts {
        let wish = Wish {
            height: callout.height(columns.width),
            middle: callout.wish(),
            weight: 1.0,
        };
        columns_of[callout.side as usize].push(Piece {
            callout: Some(callout),
            wish,
            chosen: 0,
            moved: 0.0,
        });
    }
    for (side, place) in barriers {
        columns_of[*side as usize].push(Piece {
            callout: None,
            wish: Wish {
                height: place.height,
                middle: place.centre().y,
                weight: FIRM,
            },
            chosen: 0,
            moved: 0.0,
        });
    }
    for pieces in columns_of {
        let arranged = Search {
            columns,
            plan: page.plan(),
        }
        .arrange(pieces);
        for (piece, top) in arranged {
            let Some(callout) = piece.callout else {
                continue;
            };
            if let Tie::Leader(spots) = &callout.tie
                && let Some(spot) = spots.get(piece.chosen)
            {
                page.leader(&callout.name, leader_start(columns, &callout, top), *spot);
            }
            put(page, columns, &callout, top, piece.chosen);
        }
    }
}

fn leader_start(columns: &Columns, callout: &Callout, top: f64) -> Spot {
    let x = match callout.side {
        Side::Left => columns.left + LEAD,
        Side::Right => columns.right - LEAD,
    };
    Spot::new(x, top + callout.figure_line() - 0.35 * FIGURE.size)
}

/// The search for one column's order and places.
struct Search<'a> {
    columns: &'a Columns,
    plan: &'a Plan,
}

impl Search<'_> {
    /// Cost of what must not be; far more than any length.
    const FORBIDDEN: f64 = 1e4;
    /// Cost of words on a barrier.
    const COVERED: f64 = 1e6;
    /// Cost above which more than the order is tried.
    const BAD: f64 = 5e3;
    /// How far a call-out's wish is moved to get out of the way, mm.
    const MOVES: [f64; 7] = [0.0, -12.0, 12.0, -24.0, 24.0, -40.0, 40.0];

    fn tops(&self, pieces: &[Piece]) -> Vec<f64> {
        let wishes: Vec<_> = pieces
            .iter()
            .map(|piece| Wish {
                middle: piece.wish.middle + piece.moved,
                ..piece.wish
            })
            .collect();
        stack(&wishes, self.columns.top, self.columns.bottom, GAP)
    }

    /// Length of the leaders and distance of what has none, and far more for each that crosses another, crosses a dimension or runs
    /// along a tube, and for what does not keep its place.
    fn cost(&self, pieces: &[Piece]) -> f64 {
        /// What stands beside its dimension minds more to be off it.
        const BESIDE: f64 = 2.0;
        let mut cost = 0.0;
        let mut leaders: Vec<(Spot, Spot)> = Vec::with_capacity(pieces.len());
        for (piece, top) in pieces.iter().zip(self.tops(pieces)) {
            let Some(callout) = &piece.callout else {
                let off = top + piece.wish.height / 2.0 - piece.wish.middle;
                cost += if off.abs() > 0.1 { Self::COVERED } else { 0.0 };
                continue;
            };
            let (from, to) = match &callout.tie {
                Tie::Leader(spots) => {
                    let Some(to) = spots.get(piece.chosen) else {
                        continue;
                    };
                    (leader_start(self.columns, callout, top), *to)
                }
                Tie::Beside(spot) | Tie::Under(spot) => {
                    cost += BESIDE * (top + piece.wish.height / 2.0 - spot.y).abs();
                    continue;
                }
                Tie::Nowhere => continue,
            };
            let long = from.distance(to);
            cost += long + self.hindrance(&callout.name, from, to);
            if long > self.columns.far {
                cost += Self::BAD + long;
            }
            let crossed = leaders.iter().filter(|other| cross((from, to), **other));
            cost += crossed.count() as f64 * Self::FORBIDDEN;
            leaders.push((from, to));
        }
        cost
    }

    /// What a leader meets on its way, as a cost.
    fn hindrance(&self, name: &str, from: Spot, to: Spot) -> f64 {
        let mut cost = 0.0;
        for tube in &self.plan.tubes {
            let along = tube.covers(from, to) / tube.width;
            if along > ALONG {
                cost += Self::FORBIDDEN * along;
            }
        }
        // Over the saddle's strips only what speaks of them is led.
        let strips = self.plan.marks.iter().filter(|mark| mark.what == STRIPS);
        for strips in strips.filter(|strips| !strips.place.holds(Rect::around(to, 0.0, 0.0))) {
            if strips.place.meets(from, to) {
                cost += Self::FORBIDDEN;
            }
        }
        // Where it ends it may touch.
        let short_of = from.towards(to, 1.0 - 0.4 / from.distance(to).max(0.5));
        for dimension in self.plan.dimensions.iter().filter(|one| one.what != name) {
            for stroke in dimension.path.windows(2) {
                if let [start, end] = stroke
                    && cross((from, short_of), (*start, *end))
                {
                    cost += Self::FORBIDDEN;
                }
            }
        }
        cost
    }

    /// The column from top to bottom with each piece's top, in the best order that is found: from the
    /// order of the wishes, and where that leaves something bad, from others.
    fn arrange(&self, mut pieces: Vec<Piece>) -> Vec<(Piece, f64)> {
        const OTHERS: u32 = 60;
        pieces.sort_by(|a, b| a.wish.middle.total_cmp(&b.wish.middle));
        let mut best = self.improve(&mut pieces);
        let mut dice = Dice(1);
        for _ in 0..OTHERS {
            if best < Self::BAD {
                break;
            }
            let mut other = pieces.clone();
            for last in (1..other.len()).rev() {
                other.swap(last, dice.below(last + 1));
            }
            for piece in other.iter_mut().filter(|piece| piece.callout.is_some()) {
                piece.moved = Self::MOVES[dice.below(Self::MOVES.len())];
            }
            let cost = self.improve(&mut other);
            if cost < best - 1e-6 {
                (best, pieces) = (cost, other);
            }
        }
        let tops = self.tops(&pieces);
        pieces.into_iter().zip(tops).collect()
    }

    /// Betters an order step by step; returns its cost.
    fn improve(&self, pieces: &mut [Piece]) -> f64 {
        let mut best = self.cost(pieces);
        loop {
            let before = best;
            self.try_swaps(pieces, &mut best);
            self.try_shifts(pieces, &mut best);
            self.try_places(pieces, &mut best);
            if best >= Self::BAD {
                self.try_moves(pieces, &mut best);
            }
            // Far above rounding, so that the search ends.
            if best > before - 1e-6 {
                return best;
            }
        }
    }

    fn try_swaps(&self, pieces: &mut [Piece], best: &mut f64) {
        for first in 0..pieces.len() {
            for second in first + 1..pieces.len() {
                pieces.swap(first, second);
                let now = self.cost(pieces);
                if now < *best - 1e-6 {
                    *best = now;
                } else {
                    pieces.swap(first, second);
                }
            }
        }
    }

    /// One piece taken out and put in elsewhere.
    fn try_shifts(&self, pieces: &mut [Piece], best: &mut f64) {
        for from in 0..pieces.len() {
            for to in 0..pieces.len() {
                shift(pieces, from, to);
                let now = self.cost(pieces);
                if now < *best - 1e-6 {
                    *best = now;
                } else {
                    shift(pieces, to, from);
                }
            }
        }
    }

    fn try_places(&self, pieces: &mut [Piece], best: &mut f64) {
        for index in 0..pieces.len() {
            let places = match pieces[index].callout.as_ref().map(|callout| &callout.tie) {
                Some(Tie::Leader(spots)) => spots.len(),
                _ => 0,
            };
            for place in 0..places {
                let old = std::mem::replace(&mut pieces[index].chosen, place);
                let now = self.cost(pieces);
                if now < *best - 1e-6 {
                    *best = now;
                } else {
                    pieces[index].chosen = old;
                }
            }
        }
    }

    fn try_moves(&self, pieces: &mut [Piece], best: &mut f64) {
        for index in 0..pieces.len() {
            if pieces[index].callout.is_none() {
                continue;
            }
            for by in Self::MOVES {
                let old = std::mem::replace(&mut pieces[index].moved, by);
                let now = self.cost(pieces);
                if now < *best - 1e-6 {
                    *best = now;
                } else {
                    pieces[index].moved = old;
                }
            }
        }
    }
}

/// The same numbers on every machine: a linear congruential generator (Knuth, TAOCP 2, 3.3.4, line 26).
struct Dice(u64);

impl Dice {
    fn below(&mut self, count: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % count.max(1)
    }
}

/// Moves one piece from a place to another; those between close up.
fn shift(pieces: &mut [Piece], from: usize, to: usize) {
    if from < to {
        pieces[from..=to].rotate_left(1);
    } else {
        pieces[to..=from].rotate_right(1);
    }
}

/// Name under which the plan has the saddle's strips.
pub(super) const STRIPS: &str = "strips";

/// A leader runs along a tube where it is inside it for longer than so many times its width.
const ALONG: f64 = 2.8;

fn put(page: &mut Page, columns: &Columns, callout: &Callout, top: f64, chosen: usize) {
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
            sign.draw(sign_at, SIGN),
        );
    }
}
