//! How a check came out, as a sign: a tick, a spanner, a triangle, a crossed box, a question mark.
//! Told apart by shape alone, in grey as in colour, and unlike the discs, squares and diamonds that grade trails.
//! Which check came out how is the fit's.

use crate::draw::element::Element;

use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{Outline, group, short};

pub(super) use crate::fit::Sign;

impl Sign {
    /// The box that a sign of this radius fills.
    pub(super) fn place(centre: Spot, radius: f64) -> Rect {
        Rect::around(centre, 1.15 * radius, 1.15 * radius)
    }

    /// Class of the words beside it.
    pub(super) const fn ink(self) -> &'static str {
        match self {
            Self::Fail => "fail",
            _ => "quiet",
        }
    }

    /// The sign itself.
    pub(super) fn draw(self, centre: Spot, radius: f64) -> Element {
        let at = |x: f64, y: f64| centre.moved(x * radius, y * radius);
        let stroke = |class: &str, outline: Outline, width: f64| -> Element {
            outline
                .path(class)
                .set("stroke-width", short(width * radius))
        };
        let sign = group("status");
        match self {
            Self::Ok => sign.add(stroke(
                "sign-ok",
                Outline::from(at(-0.85, 0.1))
                    .line(at(-0.25, 0.75))
                    .line(at(0.9, -0.75)),
                0.5,
            )),
            // Shaft and jaw of an open spanner.
            Self::Set => sign
                .add(stroke(
                    "sign-set",
                    Outline::from(at(-0.85, 0.85)).line(at(0.1, -0.1)),
                    0.55,
                ))
                .add(stroke(
                    "sign-set",
                    Outline::from(at(0.42, -0.98)).arc(0.56 * radius, true, false, at(0.98, -0.42)),
                    0.42,
                )),
            Self::Caution => sign
                .add(stroke(
                    "sign-caution",
                    Outline::from(at(0.0, -0.95))
                        .line(at(1.05, 0.85))
                        .line(at(-1.05, 0.85))
                        .close(),
                    0.3,
                ))
                .add(stroke(
                    "sign-caution-stroke",
                    Outline::from(at(0.0, -0.25))
                        .line(at(0.0, 0.2))
                        .then(at(0.0, 0.54))
                        .line(at(0.0, 0.56)),
                    0.28,
                )),
            Self::Fail => sign
                .add(stroke(
                    "sign-fail",
                    Outline::from(at(-0.9, -0.9))
                        .line(at(0.9, -0.9))
                        .line(at(0.9, 0.9))
                        .line(at(-0.9, 0.9))
                        .close(),
                    0.34,
                ))
                .add(stroke(
                    "sign-fail",
                    Outline::from(at(-0.9, -0.9))
                        .line(at(0.9, 0.9))
                        .then(at(-0.9, 0.9))
                        .line(at(0.9, -0.9)),
                    0.34,
                )),
            Self::Unknown => sign.add(stroke(
                "sign-unknown",
                Outline::from(at(-0.5, -0.5))
                    .curve(at(-0.45, -1.1), at(0.55, -1.1), at(0.5, -0.45))
                    .curve(at(0.48, -0.1), at(0.0, -0.1), at(0.0, 0.3))
                    .then(at(0.0, 0.84))
                    .line(at(0.0, 0.86)),
                0.34,
            )),
        }
    }
}
