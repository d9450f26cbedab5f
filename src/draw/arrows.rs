//! Arrows: dimensions between two places, angles, and the dashed lines that lead to them.
//! Shapes only; the page writes down which figure each belongs to.
//! What is measured is the pictures' business.

use crate::draw::element::Element;

use crate::draw::paper::Spot;
use crate::draw::pen::{Outline, group, line};

/// A dashed line that leads from what is measured to its dimension, readable on dark tyres too.
pub(super) fn aid(from: Spot, to: Spot) -> Element {
    group("aids")
        .add(line("aid-halo", from, to))
        .add(line("aid", from, to))
}

/// Length of an arrow head, mm.
const HEAD_LENGTH: f64 = 2.3;
/// Half the width of an arrow head, mm.
const HEAD_HALF: f64 = 0.75;

/// A dimension shorter than this has its arrows outside, mm.
pub(super) const SHORT: f64 = 3.0 * HEAD_LENGTH;
/// How far those reach beyond it, mm.
pub(super) const TAIL: f64 = 2.0 * HEAD_LENGTH;

/// An arrow head at `tip` that points in the direction `angle`, radians from right towards up.
pub(super) fn arrow_head(class: &str, tip: Spot, angle: f64) -> Element {
    let base = tip.polar(angle, -HEAD_LENGTH);
    let side = angle + std::f64::consts::FRAC_PI_2;
    Outline::from(tip)
        .line(base.polar(side, HEAD_HALF))
        .line(base.polar(side, -HEAD_HALF))
        .close()
        .path(class)
}

/// A dimension between two spots: arrow heads inside, or outside and pointing in where it is short.
///
/// `tone` is a class that all of it takes on, or nothing.
pub(super) fn dimension(tone: &str, from: Spot, to: Spot) -> Element {
    let angle = from.angle_to(to);
    let back = angle + std::f64::consts::PI;
    let inside = from.distance(to) >= SHORT;
    let (start, end) = if inside {
        (from, to)
    } else {
        (from.polar(angle, -TAIL), to.polar(angle, TAIL))
    };
    let (at_from, at_to) = if inside { (back, angle) } else { (angle, back) };
    toned(tone)
        .add(line("halo", start, end))
        .add(line("measure", start, end))
        .add(arrow_head("head", from, at_from))
        .add(arrow_head("head", to, at_to))
}

/// An angle at `centre` from direction `start` to direction `end`, radians from right towards up,
/// with an arrow head at its end.
pub(super) fn angle_mark(tone: &str, centre: Spot, radius: f64, start: f64, end: f64) -> Element {
    let sweep = (end - start).abs();
    let (from, to) = (centre.polar(start, radius), centre.polar(end, radius));
    let arc = |class: &str| {
        Outline::from(from)
            .arc(radius, sweep > std::f64::consts::PI, end < start, to)
            .path(class)
    };
    let mut mark = toned(tone).add(arc("halo")).add(arc("measure"));
    // Half the head's own turn along the arc keeps its tip on the second leg of the angle.
    if sweep * radius > 1.5 * HEAD_LENGTH {
        let turn = std::f64::consts::FRAC_PI_2 * (end - start).signum();
        let lag = (end - start).signum() * HEAD_LENGTH / radius / 2.0;
        mark = mark.add(arrow_head("head", to, end + turn - lag));
    }
    mark
}

/// The same angle's way in short strokes.
pub(super) fn angle_path(centre: Spot, radius: f64, start: f64, end: f64) -> Vec<Spot> {
    const STROKES: u8 = 12;
    (0..=STROKES)
        .map(|step| {
            let share = f64::from(step) / f64::from(STROKES);
            centre.polar(start + share * (end - start), radius)
        })
        .collect()
}

fn toned(tone: &str) -> Element {
    if tone.is_empty() {
        group("dimension")
    } else {
        group(&format!("dimension {tone}"))
    }
}
