//! The figures of both bikes under the drawings, their names between them.
//! Figures and outcomes are the fits' own.
//! Differences in height are `levels`.

use crate::advice::compare::{Comparison, Figure};
use crate::draw::facts::{CheckId, Ride};
use crate::draw::lettering::{NAME, VALUE};
use crate::draw::page::{Align, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::sign::Sign;
use crate::fit::Unit;
use crate::units::Units;

/// First row of the table, and from row to row, mm.
const TABLE: f64 = 167.0;
const ROW: f64 = 5.6;

/// What one row of the table says of a bike.
struct Cell {
    sign: Option<Sign>,
    text: String,
}

impl Cell {
    fn plain(text: impl Into<String>) -> Self {
        Self {
            sign: None,
            text: text.into(),
        }
    }
}

/// Stands where nobody measured a figure.
const NOT_KNOWN: &str = "not known";

/// Figures of both bikes, their names between them.
pub(super) fn put(
    page: &mut Page,
    comparison: &Comparison,
    rides: [Ride<'_>; 2],
    gap: Rect,
    units: Units,
) {
    const SIGN: f64 = 1.5;
    let length = |mm: f64| Cell::plain(units.length(mm));
    // What is not compared in the text is not set side by side here.
    let compared = |figure: Figure| {
        let difference = comparison.difference(figure);
        let values = difference.map_or([None; 2], |difference| difference.values);
        [0, 1].map(|side: usize| match values[side] {
            Some(value) => Cell::plain(figure.kind().show(value, units)),
            None => Cell::plain(figure.missing(&comparison.fits[side])),
        })
    };
    let found = |ride: Ride<'_>, check: CheckId| -> Cell {
        match ride.finding(check) {
            Some(found) => Cell {
                sign: Some(found.sign),
                text: match found.needs {
                    Some(_) => "not checked".to_owned(),
                    None => found.figure(units).unwrap_or_else(|| "none".to_owned()),
                },
            },
            None => Cell::plain("none"),
        }
    };
    let saddle = |ride: Ride<'_>| match ride.verdict_sign() {
        Sign::Ok if ride.machine.tells_saddle_from_ground() => Cell::plain(format!(
            "{} from the ground",
            ride.setting().length(units, ride.seat_height_mm())
        )),
        Sign::Ok => length(ride.setting().shown_mm(units, ride.saddle_height_mm())),
        Sign::Fail => Cell::plain("does not fit"),
        _ => Cell::plain("-"),
    };
    let lean = |ride: Ride<'_>| {
        if !ride.machine.knows_grip() {
            return Cell::plain(NOT_KNOWN);
        }
        Cell {
            sign: ride.finding(CheckId::Reach).map(|found| found.sign),
            text: ride.lean_deg().map_or_else(
                || "out of reach".to_owned(),
                |lean| Unit::Degree.show(lean, units),
            ),
        }
    };
    let rows: [(&str, [Cell; 2]); 5] = [
        (
            "standover clearance",
            rides.map(|ride| found(ride, CheckId::Standover)),
        ),
        ("saddle height to set", rides.map(saddle)),
        ("torso lean", rides.map(lean)),
        (
            "bottom bracket height",
            compared(Figure::BottomBracketHeight),
        ),
        ("wheelbase", compared(Figure::Wheelbase)),
    ];
    let middle = gap.centre().x;
    let widest = rows
        .iter()
        .map(|(name, _)| NAME.width(name))
        .fold(0.0, f64::max);
    for (index, (name, cells)) in rows.into_iter().enumerate() {
        let y = TABLE + ROW * index as f64;
        page.write(Spot::new(middle, y), Align::Middle, NAME, widest, name);
        for (cell, outwards) in cells.into_iter().zip([-1.0, 1.0]) {
            let x = middle + outwards * (widest / 2.0 + 3.0);
            let align = if outwards < 0.0 {
                Align::Right
            } else {
                Align::Left
            };
            let wide = page.write(Spot::new(x, y), align, VALUE, 60.0, &cell.text);
            if let Some(sign) = cell.sign {
                let x = x + outwards * (wide + 3.0);
                let centre = Spot::new(x, y - VALUE.below_middle());
                page.add_above(
                    sign.word(),
                    Sign::place(centre, SIGN),
                    sign.draw(centre, SIGN),
                );
            }
        }
    }
}
