//! The legend: each sign that a drawing uses, with its few words, in rows.
//! Signs look as they do in the drawing.
//! Which of them a picture needs is its own business.

use crate::draw::element::Element;

use crate::draw::lettering::LEGEND;
use crate::draw::page::{Align, Page};
use crate::draw::palette::WANTED_FILL;
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{Outline, group, line, rectangle};
use crate::draw::sign::Sign;

/// A sign that the legend explains.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Key {
    Mark,
    Range,
    Wanted,
    Setting,
    Doubt,
    Ghost,
    Assumed,
    Status(Sign),
}

impl Key {
    const fn words(self) -> &'static str {
        match self {
            Self::Mark => "minimum-insertion mark",
            Self::Range => "saddle range",
            Self::Wanted => "wanted",
            Self::Setting => "set here",
            Self::Doubt => "± one sd",
            Self::Ghost => "leg to the ground",
            Self::Assumed => "assumed, not measured",
            Self::Status(sign) => sign.word(),
        }
    }

    /// The sign itself, centred.
    fn sign(self, centre: Spot) -> Element {
        let bar = |class: &str| rectangle(class, Rect::around(centre, 1.2, 1.6));
        let triangle = |class: &str, wide: f64, half: f64| {
            Outline::from(centre.moved(-wide / 2.0, 0.0))
                .line(centre.moved(wide / 2.0, -half))
                .line(centre.moved(wide / 2.0, half))
                .close()
                .path(class)
        };
        let dash = |class: &str| line(class, centre.moved(-2.4, 0.0), centre.moved(2.4, 0.0));
        let drawn = group("key");
        match self {
            Self::Mark => drawn
                .add(line(
                    "mark",
                    centre.moved(-3.0, 0.0),
                    centre.moved(-0.6, 0.0),
                ))
                .add(triangle("mark-flag", 2.4, 1.0)),
            Self::Range => drawn.add(bar("range")),
            Self::Wanted => drawn.add(bar("wanted").set("fill", WANTED_FILL)),
            Self::Setting => drawn.add(triangle("setting", 2.4, 1.2)),
            Self::Doubt => drawn.add(bar("doubt")),
            Self::Ghost => drawn.add(dash("ghost")),
            Self::Assumed => drawn.add(
                group("assumed")
                    .add(dash("tube-edge").set("stroke-width", "2.2"))
                    .add(dash("tube").set("stroke-width", "1.5")),
            ),
            Self::Status(sign) => drawn.add(sign.draw(centre, 1.5)),
        }
    }
}

/// Between the base lines of two rows, mm.
const ROW: f64 = 5.0;

/// Puts the legend in rows from the base line `first` down, between the margins; returns the last base line.
pub(super) fn legend(page: &mut Page, first: f64, keys: &[Key]) -> f64 {
    const SIGN: f64 = 7.0;
    const BETWEEN: f64 = 1.8;
    let (mut x, mut y) = (page.margin(), first);
    for key in keys {
        let width = SIGN + LEGEND.width(key.words());
        if x + width > page.width() - page.margin() && x > page.margin() {
            (x, y) = (page.margin(), y + ROW);
        }
        let centre = Spot::new(x + SIGN / 2.0 - 0.5, y - LEGEND.below_middle());
        page.add_above(
            &format!("key: {}", key.words()),
            Rect::around(centre, 3.0, 1.8),
            &key.sign(centre),
        );
        let room = page.width() - page.margin() - x - SIGN;
        page.write(
            Spot::new(x + SIGN, y),
            Align::Left,
            LEGEND,
            room,
            key.words(),
        );
        x += width + BETWEEN;
    }
    y
}
