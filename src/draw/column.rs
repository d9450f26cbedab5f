//! Call-outs put into the columns of a page, each with its leader.
//! Which order they take is `search`; how each is written is `callout`.
//! What is said is the pictures' business.

use crate::draw::callout::{Callout, Columns, Side, Tie, leader_start, put};
use crate::draw::page::Page;
use crate::draw::paper::Rect;
use crate::draw::search::{Piece, Search};
use crate::draw::stack::{FIRM, Wish};

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
        columns_of[callout.side as usize].push(Piece::new(Some(callout), wish));
    }
    for (side, place) in barriers {
        let wish = Wish {
            height: place.height,
            middle: place.centre().y,
            weight: FIRM,
        };
        columns_of[*side as usize].push(Piece::new(None, wish));
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
