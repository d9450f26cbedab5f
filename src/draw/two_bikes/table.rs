//! The figures of both bikes under the drawings: their names between them, on a narrow sheet above them.
//! Figures and outcomes are the fits' own.
//! Differences in height are `levels`.

use crate::advice::compare::{Figure, saddle_height};
use crate::draw::facts::{CheckId, Ride, STANDOVER_CLEARANCE};
use crate::draw::lettering::{NAME, VALUE};
use crate::draw::number::{self, DISC};
use crate::draw::page::{Align, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{group, line};
use crate::draw::sign::Sign;
use crate::draw::two_bikes::levels::Level;
use crate::draw::two_bikes::order::Both;
use crate::fit::{Fit, Unit};

/// First row of the table, and from row to row, mm.
const TABLE: f64 = 167.0;
const ROW: f64 = 5.6;
/// Radius of a status sign, mm.
const SIGN: f64 = 1.5;

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

/// What is told of both.
fn rows(both: Both<'_>) -> [(&'static str, [Cell; 2]); 5] {
    let (comparison, rides, units) = (both.comparison, both.rides(), both.units);
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
    let saddle = |fit: &Fit| {
        Cell::plain(if fit.verdict.rules_out() {
            "does not fit".to_owned()
        } else {
            saddle_height(fit, units)
        })
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
    [
        (
            STANDOVER_CLEARANCE,
            rides.map(|ride| found(ride, CheckId::Standover)),
        ),
        ("saddle height", comparison.fits.each_ref().map(saddle)),
        ("torso lean", rides.map(lean)),
        (
            "bottom bracket height",
            compared(Figure::BottomBracketHeight),
        ),
        ("wheelbase", compared(Figure::Wheelbase)),
    ]
}

/// Under the gap between the two.
pub(super) fn lying(page: &mut Page, both: Both<'_>, gap: Rect) {
    let rows = rows(both);
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
                put_sign(page, sign, x + outwards * (wide + 3.0), y);
            }
        }
    }
}

/// Rows of a narrow sheet from the base line `y` down: first what is level, its number before it and how the second
/// bike has it behind; then both bikes' figures under what they are. Returns the next base line, mm.
pub(super) fn upright(page: &mut Page, both: Both<'_>, levels: &[Level], y: f64) -> f64 {
    const ROW: f64 = 6.6;
    const UNDER: f64 = 5.4;
    const LEADING: f64 = 4.8;
    let left = page.margin();
    let right = page.width() - left;
    let middle = page.width() / 2.0;
    let mut y = y;
    if !levels.is_empty() {
        let [first, second] = both.rides().map(Ride::bike_name);
        for words in [second.to_owned(), format!("against {first}:")] {
            let words = VALUE.fitted(&crate::words::clean(&words), right - left);
            page.write(Spot::new(left, y), Align::Left, VALUE, right - left, &words);
            y += LEADING;
        }
        y += ROW - LEADING;
        for (index, level) in levels.iter().enumerate() {
            let disc = Spot::new(left + DISC, y - NAME.below_middle());
            number::put(page, index + 1, disc, None);
            let words = level.words(both.units);
            let wide = page.write(
                Spot::new(right, y),
                Align::Right,
                VALUE,
                right - middle,
                &words,
            );
            let x = left + 2.0 * DISC + 2.0;
            page.write(
                Spot::new(x, y),
                Align::Left,
                NAME,
                right - wide - x,
                level.name,
            );
            y += ROW;
        }
        y += 3.0;
    }
    let room = middle - left - 2.0;
    let columns = [left, middle + 1.0];
    // Each bike's column has its name at the head.
    let names = both.rides().map(|ride| {
        let name = crate::words::clean(ride.bike_name()).into_owned();
        VALUE.wrapped_to(&name, room, 2)
    });
    let most = names.iter().map(Vec::len).max().unwrap_or_default();
    for (lines, x) in names.iter().zip(columns) {
        for (index, words) in lines.iter().enumerate() {
            let at = Spot::new(x, y + LEADING * index as f64);
            page.write(at, Align::Left, VALUE, room, words);
        }
    }
    y += LEADING * most as f64;
    for (name, cells) in rows(both) {
        let rule = y - UNDER + 2.2;
        page.add(group("rule").add(line(
            "hair-line",
            Spot::new(left, rule),
            Spot::new(right, rule),
        )));
        y += 1.6;
        let small = NAME.class("quiet");
        page.write(Spot::new(left, y), Align::Left, small, right - left, name);
        y += UNDER;
        let mut most = 1;
        for (cell, x) in cells.into_iter().zip(columns) {
            let mut at = Spot::new(x, y);
            if let Some(sign) = cell.sign {
                put_sign(page, sign, x + SIGN, y);
                at = at.moved(2.0 * SIGN + 2.0, 0.0);
            }
            let room = x + room - at.x;
            let lines = VALUE.wrapped_to(&cell.text, room, 2);
            most = most.max(lines.len());
            for (index, words) in lines.iter().enumerate() {
                let at = at.moved(0.0, LEADING * index as f64);
                page.write(at, Align::Left, VALUE, room, words);
            }
        }
        y += UNDER + 1.0 + LEADING * (most - 1) as f64;
    }
    y
}

/// A sign with its middle at `x`, on the line of a figure.
fn put_sign(page: &mut Page, sign: Sign, x: f64, base: f64) {
    let centre = Spot::new(x, base - VALUE.below_middle());
    page.add_above(
        sign.word(),
        Sign::place(centre, SIGN),
        &sign.draw(centre, SIGN),
    );
}
