//! The title block with its verdict, and the caution at the sheet's foot.
//! The same on every picture of a fit, so that none goes out without them.
//! What the drawing shows is the pictures' business.

use svg::node::element::Rectangle;

use crate::draw::callout::{FAILED, status_sign};
use crate::draw::ink::{Spot, short};
use crate::draw::label::text_width;
use crate::draw::sheet::{Align, CAUTION, MARGIN, SUBTITLE, Sheet, TITLE, VERDICT, WIDTH};
use crate::fit::{Fit, Status, Verdict};
use crate::units::Units;

const TITLE_Y: f64 = 15.0;
const SUBTITLE_Y: f64 = 21.6;

/// Title, verdict, and the measurements that they rest on.
pub(super) fn of_fit(sheet: &mut Sheet, title: &str, fit: &Fit, units: Units) {
    const BETWEEN: f64 = 6.0;
    let chip = verdict(sheet, fit.verdict, TITLE_Y);
    sheet.write(
        Spot::new(MARGIN, TITLE_Y),
        Align::Left,
        TITLE,
        WIDTH - 2.0 * MARGIN - chip - BETWEEN,
        title,
    );
    let meaning = sheet.write(
        Spot::new(WIDTH - MARGIN, SUBTITLE_Y),
        Align::Right,
        SUBTITLE,
        WIDTH / 2.0,
        fit.verdict.meaning(),
    );
    sheet.write(
        Spot::new(MARGIN, SUBTITLE_Y),
        Align::Left,
        SUBTITLE,
        WIDTH - 2.0 * MARGIN - meaning - BETWEEN,
        &measurements(fit, units),
    );
}

/// The measurements that a fit rests on, estimates marked.
pub(super) fn measurements(fit: &Fit, units: Units) -> String {
    let rider = &fit.rider;
    let shown = |name: &str, key: &str, mm: f64| {
        let guess = if rider.estimated.contains(&key) {
            " (estimated)"
        } else {
            ""
        };
        format!("{name} {}{guess}", units.length(mm))
    };
    [
        shown("inseam", "inseam", rider.inseam_mm),
        shown("height", "height", rider.height_mm),
        shown("arm reach", "arm_reach", rider.arm_reach_mm),
        format!("stage {}", rider.stage),
    ]
    .join(", ")
}

/// The verdict in its frame, right-aligned; returns the width it takes.
fn verdict(sheet: &mut Sheet, verdict: Verdict, base: f64) -> f64 {
    const HIGH: f64 = 9.0;
    const PAD: f64 = 3.0;
    const SIGN: f64 = 2.3;
    let status = match verdict {
        Verdict::Ready => Status::Ok,
        Verdict::SetUp => Status::Adjust,
        Verdict::TooBig | Verdict::TooSmall | Verdict::Unsuitable => FAILED,
    };
    let class = match status {
        Status::Ok => "chip ok",
        Status::Adjust => "chip adjust",
        _ => "chip fail",
    };
    let word = verdict.word().to_uppercase();
    let wide = text_width(&word, VERDICT.size, VERDICT.weight) + 3.0 * PAD + 2.0 * SIGN;
    let (left, top) = (WIDTH - MARGIN - wide, base - HIGH + 2.2);
    sheet.add_to_words(
        Rectangle::new()
            .set("class", class)
            .set("x", short(left))
            .set("y", short(top))
            .set("width", short(wide))
            .set("height", short(HIGH))
            .set("rx", "1.8"),
    );
    let middle = top + HIGH / 2.0;
    sheet.add_to_words(status_sign(
        status,
        Spot::new(left + PAD + SIGN, middle),
        SIGN,
    ));
    sheet.write(
        Spot::new(left + 2.0 * (PAD + SIGN), middle + 0.36 * VERDICT.size),
        Align::Left,
        VERDICT,
        wide,
        &word,
    );
    wide
}

/// The first caution, which is the one for a single line.
pub(super) fn caution(sheet: &mut Sheet, cautions: &[&str]) {
    if let Some(first) = cautions.first() {
        let room = WIDTH - 2.0 * MARGIN;
        let face = crate::draw::callout::shrunk(CAUTION, first, room);
        let base = Spot::new(MARGIN, sheet.height() - 5.2);
        sheet.write(base, Align::Left, face, room, first);
    }
}
