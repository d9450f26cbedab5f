//! The order and the places of a column's call-outs, searched so that leaders cross nothing and run along no tube.
//! Steps that better the cost, from the order of the wishes and, where that leaves something bad, from others.
//! The arithmetic that keeps boxes apart is `stack`; what is said is the pictures' business.

use crate::draw::callout::{Callout, Columns, GAP, STRIPS, Tie, leader_start};
use crate::draw::paper::{Rect, Spot, cross};
use crate::draw::plan::Plan;
use crate::draw::stack::{Wish, stack};

/// A box of a column: a call-out, or something that call-outs keep clear of.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub(super) callout: Option<Callout>,
    pub(super) wish: Wish,
    /// Which of its places the leader goes to.
    pub(super) chosen: usize,
    /// How far its wish is moved, mm.
    moved: f64,
}

impl Piece {
    /// With its wish as it is.
    pub(super) const fn new(callout: Option<Callout>, wish: Wish) -> Self {
        Self {
            callout,
            wish,
            chosen: 0,
            moved: 0.0,
        }
    }
}

/// The search for one column's order and places.
pub(super) struct Search<'a> {
    pub(super) columns: &'a Columns,
    pub(super) plan: &'a Plan,
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
    /// along a tube, and for what does not keep its place. Every part of it adds: past `limit` the rest is left out.
    fn cost(&self, pieces: &[Piece], limit: f64) -> f64 {
        /// What stands beside its dimension minds more to be off it.
        const BESIDE: f64 = 2.0;
        let mut cost = 0.0;
        let mut leaders: Vec<(Spot, Spot)> = Vec::with_capacity(pieces.len());
        for (piece, top) in pieces.iter().zip(self.tops(pieces)) {
            if cost >= limit {
                break;
            }
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
    pub(super) fn arrange(&self, mut pieces: Vec<Piece>) -> Vec<(Piece, f64)> {
        /// Orders tried in a row that better nothing, after which there is none to be found.
        const PATIENCE: u32 = 10;
        pieces.sort_by(|a, b| a.wish.middle.total_cmp(&b.wish.middle));
        let mut best = self.improve(&mut pieces);
        let (mut dice, mut in_vain) = (Dice(1), 0);
        while best >= Self::BAD && in_vain < PATIENCE {
            let mut other = pieces.clone();
            for last in (1..other.len()).rev() {
                other.swap(last, dice.below(last + 1));
            }
            for piece in other.iter_mut().filter(|piece| piece.callout.is_some()) {
                piece.moved = Self::MOVES[dice.below(Self::MOVES.len())];
            }
            let cost = self.improve(&mut other);
            in_vain += 1;
            if cost < best - 1e-6 {
                (best, pieces, in_vain) = (cost, other, 0);
            }
        }
        let tops = self.tops(&pieces);
        pieces.into_iter().zip(tops).collect()
    }

    /// Betters an order step by step; returns its cost.
    fn improve(&self, pieces: &mut [Piece]) -> f64 {
        let mut best = self.cost(pieces, f64::INFINITY);
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
                let now = self.cost(pieces, *best);
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
            for to in (0..pieces.len()).filter(|to| *to != from) {
                shift(pieces, from, to);
                let now = self.cost(pieces, *best);
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
                if old == place {
                    continue;
                }
                let now = self.cost(pieces, *best);
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
                if old.to_bits() == by.to_bits() {
                    continue;
                }
                let now = self.cost(pieces, *best);
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

/// A leader runs along a tube where it is inside it for longer than so many times its width.
const ALONG: f64 = 2.8;
