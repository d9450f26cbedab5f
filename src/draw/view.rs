//! From millimetres of bike to millimetres of paper: one scale both ways, the largest that goes into the room.
//! Also the box of bike millimetres that a drawing fills.
//! What fills it is the pictures' business.

use crate::draw::paper::{Rect, Spot};
use crate::plane::Point;

/// The box of bike millimetres that a drawing fills.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extent {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Extent {
    pub(super) fn around(centre: Point, radius: f64) -> Self {
        Self {
            left: centre.x - radius,
            right: centre.x + radius,
            low: centre.y - radius,
            high: centre.y + radius,
        }
    }

    pub(super) fn and(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            right: self.right.max(other.right),
            low: self.low.min(other.low),
            high: self.high.max(other.high),
        }
    }

    pub(super) fn and_point(self, point: Point) -> Self {
        self.and(Self::around(point, 0.0))
    }

    pub(super) fn width(self) -> f64 {
        self.right - self.left
    }

    pub(super) fn height(self) -> f64 {
        self.high - self.low
    }
}

/// Steps of a scale: a tenth is as fine as "1 : 9.8" says.
const STEP: f64 = 0.1;

/// The largest scale in steps of one tenth, mm of bike in one of paper, at which `across` by `upright`
/// mm go into `width` by `height`.
pub(super) fn scale(across: f64, upright: f64, width: f64, height: f64) -> f64 {
    ((across / width).max(upright / height) / STEP)
        .ceil()
        .max(1.0)
        * STEP
}

/// From millimetres of bike to millimetres of paper; one scale both ways.
#[derive(Debug, Clone, Copy)]
pub(super) struct View {
    /// Millimetres of bike in one of paper.
    pub(super) scale: f64,
    /// Where the bottom bracket lies on paper.
    origin: Spot,
}

impl View {
    pub(super) const fn new(scale: f64, origin: Spot) -> Self {
        Self { scale, origin }
    }

    /// The largest scale at which `extent` goes into `room`: standing on its lower edge, centred across.
    pub(super) fn fit(extent: Extent, room: Rect) -> Self {
        let scale = scale(extent.width(), extent.height(), room.width, room.height);
        let centre = f64::midpoint(extent.left, extent.right);
        Self {
            scale,
            origin: Spot::new(
                room.x + room.width / 2.0 - centre / scale,
                room.bottom() + extent.low / scale,
            ),
        }
    }

    pub(super) fn spot(&self, point: Point) -> Spot {
        self.origin
            .moved(point.x / self.scale, -point.y / self.scale)
    }

    /// A length on paper.
    pub(super) fn paper(&self, mm: f64) -> f64 {
        mm / self.scale
    }

    /// An extent on paper.
    pub(super) fn place(&self, extent: Extent) -> Rect {
        let corner = self.spot(Point::new(extent.left, extent.high));
        Rect::new(
            corner.x,
            corner.y,
            self.paper(extent.width()),
            self.paper(extent.height()),
        )
    }
}
