//! The title block with its verdict and how sure it is, and the caution at the sheet's foot.
//! The same on every picture of a fit, so that none goes out without them.
//! What the drawing shows is the pictures' business.

use crate::draw::facts::Ride;
use crate::draw::lettering::{CAUTION, Face, HEADING, SUBTITLE, TITLE, VERDICT};
use crate::draw::page::{Align, MARGIN, NARROW, Page, margin};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::rectangle;
use crate::draw::sign::Sign;
use crate::units::Units;

const TITLE_Y: f64 = 15.0;
const SUBTITLE_Y: f64 = 21.6;
/// Between lines of small words, mm.
const LEADING: f64 = 4.4;

/// Title, verdict, and the measurements that they rest on, across the top of a lying sheet.
pub(super) fn lying(page: &mut Page, title: &str, ride: Ride<'_>, units: Units) {
    const BETWEEN: f64 = 6.0;
    let right = page.width() - MARGIN;
    let room = right - MARGIN;
    let (chip, _) = verdict(page, ride, Spot::new(right, TITLE_Y), Align::Right, room);
    page.write(
        Spot::new(MARGIN, TITLE_Y),
        Align::Left,
        TITLE,
        room - chip - BETWEEN,
        title,
    );
    let meaning = page.write(
        Spot::new(right, SUBTITLE_Y),
        Align::Right,
        SUBTITLE,
        room / 2.0,
        ride.verdict_meaning(),
    );
    page.write(
        Spot::new(MARGIN, SUBTITLE_Y),
        Align::Left,
        SUBTITLE,
        room - meaning - BETWEEN,
        &ride.measurements(units),
    );
}

/// The same, one below the other at the top of a narrow sheet; returns where it ends, mm.
pub(super) fn upright(page: &mut Page, title: &str, ride: Ride<'_>, units: Units) -> f64 {
    let y = self::title(page, title) + 3.2;
    let left = page.margin();
    let room = page.width() - 2.0 * left;
    let (_, sure) = verdict(page, ride, Spot::new(left, y), Align::Left, room);
    let meaning = ride.verdict_meaning();
    let meaning = sure.map_or_else(|| meaning.to_owned(), |sure| format!("{meaning} ({sure})"));
    let y = lines(page, SUBTITLE, &meaning, y + 7.6);
    lines(page, SUBTITLE, &ride.measurements(units), y)
}

/// The title alone across the top of a lying sheet.
pub(super) fn across(page: &mut Page, title: &str) {
    let room = page.width() - 2.0 * MARGIN;
    let at = Spot::new(MARGIN, TITLE_Y);
    page.write(at, Align::Left, TITLE, room, title);
}

/// The title at the top of a narrow sheet; returns the next base line, mm.
pub(super) fn title(page: &mut Page, title: &str) -> f64 {
    const FIRST: f64 = 10.0;
    const TITLE_LEADING: f64 = 6.6;
    let left = page.margin();
    let room = page.width() - 2.0 * left;
    let mut y = FIRST;
    for line in HEADING.wrapped_to(title, room, 4) {
        page.write(Spot::new(left, y), Align::Left, HEADING, room, &line);
        y += TITLE_LEADING;
    }
    y
}

/// Small words across a narrow sheet, from the base line `y` down; returns the next, mm.
pub(super) fn lines(page: &mut Page, face: Face, words: &str, y: f64) -> f64 {
    let left = page.margin();
    let room = page.width() - 2.0 * left;
    let mut y = y;
    for line in face.wrapped(words, room) {
        page.write(Spot::new(left, y), Align::Left, face, room, &line);
        y += LEADING;
    }
    y
}

/// Ends a narrow sheet under its last line, mm, with the caution at its foot.
pub(super) fn end(page: &mut Page, words: &str, last: f64) {
    let height = last + 4.0 + LEADING * caution_lines(words, page.width()).len() as f64;
    page.end(height.ceil());
    caution(page, words);
}

/// The verdict in its frame with how sure it is, its words' base line at `at`; returns the width it takes, and how sure
/// it is where the frame has no room for it.
pub(super) fn verdict(
    page: &mut Page,
    ride: Ride<'_>,
    at: Spot,
    align: Align,
    room: f64,
) -> (f64, Option<String>) {
    const HIGH: f64 = 9.0;
    const PAD: f64 = 3.0;
    const SIGN: f64 = 2.3;
    const SURE: Face = SUBTITLE;
    let sign = ride.verdict_sign();
    let word = ride.verdict_word().to_uppercase();
    let word_wide = VERDICT.width(&word);
    let bare = 3.0 * PAD + 2.0 * SIGN + word_wide;
    let has_room = |sure: &String| bare + PAD + SURE.width(sure) <= room;
    let (sure, untold) = match ride.sureness() {
        Some(sure) if has_room(&sure) => (Some(sure), None),
        sure => (None, sure),
    };
    let aside = sure.as_ref().map_or(0.0, |sure| PAD + SURE.width(sure));
    let wide = (bare + aside).min(room);
    let left = match align {
        Align::Left => at.x,
        Align::Middle => at.x - wide / 2.0,
        Align::Right => at.x - wide,
    };
    let place = Rect::new(left, at.y - HIGH + 2.2, wide, HIGH);
    let middle = place.y + HIGH / 2.0;
    let frame = rectangle(&format!("chip {}", sign.class()), place).set("rx", "1.8");
    page.add_above("verdict", place, &frame);
    let centre = Spot::new(left + PAD + SIGN, middle);
    page.add_above(
        sign.word(),
        Sign::place(centre, SIGN),
        &sign.draw(centre, SIGN),
    );
    let words = Spot::new(left + 2.0 * (PAD + SIGN), middle + VERDICT.below_middle());
    page.write(words, Align::Left, VERDICT, word_wide, &word);
    if let Some(sure) = sure {
        let at = Spot::new(place.right() - PAD, words.y);
        page.write(at, Align::Right, SURE, SURE.width(&sure), &sure);
    }
    (wide, untold)
}

/// The first caution, which is the one for a single line, at the sheet's foot.
pub(super) fn caution(page: &mut Page, words: &str) {
    const FOOT: f64 = 5.2;
    let lines = caution_lines(words, page.width());
    let left = page.margin();
    let room = page.width() - 2.0 * left;
    let face = caution_face(words, room);
    let mut base = page.height() - FOOT - LEADING * (lines.len().saturating_sub(1)) as f64;
    for line in lines {
        page.write(Spot::new(left, base), Align::Left, face, room, &line);
        base += LEADING;
    }
}

fn caution_lines(words: &str, width: f64) -> Vec<String> {
    let room = width - 2.0 * margin(width);
    caution_face(words, room).wrapped(words, room)
}

/// In one line where a sheet is broad enough for it; never small print on a narrow one.
fn caution_face(words: &str, room: f64) -> Face {
    if room > NARROW {
        CAUTION.shrunk(words, room)
    } else {
        CAUTION
    }
}
