//! A bike on paper: which bike, at which scale, which of its parts are assumed; tubes and bands to draw it with.
//! Each part is a file beside this one.

use crate::draw::element::Element;

use crate::draw::facts::Machine;
use crate::draw::paper::Spot;
use crate::draw::pen::{Outline, group, line, short};
use crate::draw::view::View;
use crate::plane::{Point, quarter_turn};

pub(super) const HUB: f64 = 19.0;
/// Thickness of the outline of a tube on paper, mm.
pub(super) const EDGE: f64 = 0.32;

/// A part that may be drawn as assumed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Wheels,
    Frame,
    Fork,
    Cockpit,
    Post,
    Saddle,
    Cranks,
}

impl Part {
    /// Its class, which is its section in the frame file.
    const fn name(self) -> &'static str {
        match self {
            Self::Wheels => "wheels",
            Self::Frame => "frame",
            Self::Fork => "fork",
            Self::Cockpit => "cockpit",
            Self::Post => "seat_post",
            Self::Saddle => "saddle",
            Self::Cranks => "cranks",
        }
    }
}

/// A straight tube, from and to in bike mm, `width` in mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) width: f64,
}

/// A bike on paper.
#[derive(Debug, Clone, Copy)]
pub(in crate::draw) struct Bicycle<'a> {
    pub(in crate::draw) machine: Machine<'a>,
    pub(in crate::draw) view: View,
}

impl Bicycle<'_> {
    pub(super) fn spot(&self, point: Point) -> Spot {
        self.view.spot(point)
    }

    /// The group of a part, which says whether it is assumed.
    pub(super) fn part(&self, part: Part) -> Element {
        let name = part.name();
        if self.machine.is_assumed(name) {
            group(&format!("{name} assumed"))
        } else {
            group(name)
        }
    }

    /// Tubes welded together: all outlines first, so that joints run into each other.
    pub(super) fn weld(&self, material: &str, tubes: &[Piece]) -> Element {
        let mut joined = group("weld");
        for edge in [true, false] {
            for tube in tubes {
                let (class, more) = if edge {
                    (format!("{material}-edge"), 2.0 * EDGE)
                } else if material == "tube" {
                    ("tube".to_owned(), 0.0)
                } else {
                    (format!("{material}-tube"), 0.0)
                };
                joined = joined.add(
                    line(&class, self.spot(tube.from), self.spot(tube.to))
                        .set("stroke-width", short(self.view.paper(tube.width) + more)),
                );
            }
        }
        joined
    }

    /// A straight-ended piece round an axis.
    pub(super) fn band(&self, from: Point, to: Point, width: f64, class: &str) -> Element {
        let axis = to - from;
        let half = quarter_turn(axis) * (width / 2.0 / axis.norm().max(1e-9));
        Outline::from(self.spot(from - half))
            .line(self.spot(to - half))
            .line(self.spot(to + half))
            .line(self.spot(from + half))
            .close()
            .path(class)
    }
}
