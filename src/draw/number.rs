//! A number in a disc: in a drawing beside a place, and again before the row of words about it.
//! For narrow sheets, where words have no room beside what they are about.
//! Where it stands is the picture's business.

use crate::draw::lettering::{Face, Weight};
use crate::draw::page::{Align, Page};
use crate::draw::paper::Spot;
use crate::draw::pen::{circle, group};

/// Radius of the disc, mm.
pub(super) const DISC: f64 = 2.5;
const NUMBER: Face = Face {
    size: 3.2,
    weight: Weight::Bold,
    class: "ink",
};

/// Puts a number at a spot; in a drawing with the name and the place of what it is about.
pub(super) fn put(page: &mut Page, number: usize, at: Spot, about: Option<(&str, Spot)>) {
    page.add(group("number").add(circle("frame-line", at, DISC)));
    let (foot, number) = (at.moved(0.0, NUMBER.below_middle()), number.to_string());
    match about {
        Some(about) => page.write_about(about, foot, Align::Middle, NUMBER, 2.0 * DISC, &number),
        None => page.write(foot, Align::Middle, NUMBER, 2.0 * DISC, &number),
    };
}
