//! What every drawing stands on: the ground line, and the scale bar under it.
//! Both say how the paper relates to the bike; neither says anything about a fit.
//! Words and their sizes are `lettering`.

use crate::draw::element::Element;

use crate::draw::lettering::LEGEND;
use crate::draw::page::{Align, MARGIN, Page};
use crate::draw::paper::Spot;
use crate::draw::pen::{Outline, group, line, short};
use crate::units::{MM_PER_INCH, Units};

/// The ground line with its hatching.
pub(super) fn ground(y: f64, left: f64, right: f64) -> Element {
    const STEP: f64 = 4.0;
    const DEPTH: f64 = 2.0;
    let mut hatch = Outline::default();
    let mut x = left + STEP;
    while x < right {
        hatch = hatch
            .then(Spot::new(x, y))
            .line(Spot::new(x - DEPTH, y + DEPTH));
        x += STEP;
    }
    group("ground-line")
        .add(hatch.path("ground-hatch"))
        .add(line("ground", Spot::new(left, y), Spot::new(right, y)))
}

/// A scale bar of a round length, its left end at `at`, with its length beside it.
pub(super) fn scale_bar(page: &mut Page, at: Spot, scale: f64, units: Units) {
    const LONGEST: f64 = 45.0;
    const TICK: f64 = 1.2;
    let rounds: [f64; 6] = match units {
        Units::Mm | Units::Cm => [500.0, 300.0, 200.0, 100.0, 50.0, 20.0],
        Units::In => [20.0, 12.0, 8.0, 4.0, 2.0, 1.0].map(|inches| inches * MM_PER_INCH),
    };
    let longest = rounds.into_iter().find(|mm| mm / scale <= LONGEST);
    let bar = longest.unwrap_or(rounds[5]);
    let end = at.moved(bar / scale, 0.0);
    let mut drawn = group("scale-bar").add(line("measure", at, end));
    for share in [0.0, 0.5, 1.0] {
        let x = at.towards(end, share);
        drawn = drawn.add(line("measure", x.moved(0.0, -TICK), x.moved(0.0, TICK)));
    }
    page.add(drawn);
    let words = format!(
        "{}; 1 : {} when printed at full size",
        units.length(bar),
        short(scale)
    );
    let room = page.width() - MARGIN - end.x;
    page.write(end.moved(2.5, 1.1), Align::Left, LEGEND, room, &words);
}
