//! Places on paper: a spot, a box, and whether strokes cross.
//! Paper is in millimetres from the top left, y down; a `Spot` is never a `plane::Point`.
//! Nothing is drawn here.

/// A place on paper, mm from the top left corner, y down.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "the usual two")]
pub struct Spot {
    pub x: f64,
    pub y: f64,
}

impl Spot {
    pub(super) const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    pub(super) fn moved(self, x: f64, y: f64) -> Self {
        Self::new(self.x + x, self.y + y)
    }

    /// Straight distance, mm.
    pub fn distance(self, other: Self) -> f64 {
        let (x, y) = (other.x - self.x, other.y - self.y);
        // A plain root: a sheet is far from overflow, and a search for places asks some ten thousand times.
        (x * x + y * y).sqrt()
    }

    /// The place a share of the way to `other`.
    #[must_use]
    pub fn towards(self, other: Self, share: f64) -> Self {
        self.moved((other.x - self.x) * share, (other.y - self.y) * share)
    }

    /// The place `distance` away in the direction `angle`, radians from right towards up.
    pub(super) fn polar(self, angle: f64, distance: f64) -> Self {
        self.moved(distance * angle.cos(), -distance * angle.sin())
    }

    /// Direction to `other`, radians from right towards up.
    pub(super) fn angle_to(self, other: Self) -> f64 {
        (self.y - other.y).atan2(other.x - self.x)
    }
}

/// A rectangle on paper, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "the usual four")]
pub struct Rect {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
}

impl Rect {
    pub(super) const fn new(x: f64, y: f64, width: f64, height: f64) -> Self {
        Self {
            x,
            y,
            width,
            height,
        }
    }

    pub(super) fn around(centre: Spot, half_width: f64, half_height: f64) -> Self {
        Self::new(
            centre.x - half_width,
            centre.y - half_height,
            2.0 * half_width,
            2.0 * half_height,
        )
    }

    /// Right edge.
    pub fn right(self) -> f64 {
        self.x + self.width
    }

    /// Lower edge.
    pub fn bottom(self) -> f64 {
        self.y + self.height
    }

    /// The middle.
    pub fn centre(self) -> Spot {
        Spot::new(self.x + self.width / 2.0, self.y + self.height / 2.0)
    }

    /// Whether the two share any area.
    pub fn overlaps(self, other: Self) -> bool {
        self.x < other.right()
            && other.x < self.right()
            && self.y < other.bottom()
            && other.y < self.bottom()
    }

    /// Whether `inner` lies inside.
    pub fn holds(self, inner: Self) -> bool {
        inner.x >= self.x
            && inner.y >= self.y
            && inner.right() <= self.right()
            && inner.bottom() <= self.bottom()
    }

    /// From the nearest place of the box; zero inside.
    pub fn distance(self, spot: Spot) -> f64 {
        let x = (self.x - spot.x).max(spot.x - self.right()).max(0.0);
        let y = (self.y - spot.y).max(spot.y - self.bottom()).max(0.0);
        x.hypot(y)
    }

    /// Whether a straight stroke enters the box (Liang & Barsky 1984).
    pub fn meets(self, from: Spot, to: Spot) -> bool {
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (along, room) in [
            (-dx, from.x - self.x),
            (dx, self.right() - from.x),
            (-dy, from.y - self.y),
            (dy, self.bottom() - from.y),
        ] {
            if along == 0.0 {
                if room <= 0.0 {
                    return false;
                }
            } else if along < 0.0 {
                enter = enter.max(room / along);
            } else {
                leave = leave.min(room / along);
            }
        }
        enter < leave
    }
}

/// Whether two straight strokes cross in their insides.
pub fn cross(one: (Spot, Spot), other: (Spot, Spot)) -> bool {
    let side = |(from, to): (Spot, Spot), spot: Spot| {
        (to.x - from.x) * (spot.y - from.y) - (to.y - from.y) * (spot.x - from.x)
    };
    side(one, other.0) * side(one, other.1) < 0.0 && side(other, one.0) * side(other, one.1) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_turn_up_on_paper() {
        let up = Spot::new(0.0, 0.0).polar(std::f64::consts::FRAC_PI_2, 2.0);
        approx::assert_abs_diff_eq!(up.y, -2.0, epsilon = 1e-12);
        approx::assert_abs_diff_eq!(
            Spot::new(0.0, 0.0).angle_to(up),
            std::f64::consts::FRAC_PI_2,
            epsilon = 1e-12
        );
    }

    #[test]
    fn a_stroke_meets_the_boxes_that_it_goes_through() {
        let place = Rect::new(10.0, 10.0, 20.0, 5.0);
        let at = Spot::new;
        assert!(place.meets(at(0.0, 12.0), at(40.0, 12.0)));
        assert!(place.meets(at(15.0, 0.0), at(15.0, 40.0)));
        assert!(!place.meets(at(0.0, 0.0), at(9.0, 40.0)));
        assert!(!place.meets(at(0.0, 30.0), at(40.0, 16.0)));
        assert!(!place.meets(at(0.0, 12.0), at(9.0, 12.0)));
    }

    #[test]
    fn strokes_that_end_on_each_other_do_not_cross() {
        let at = Spot::new;
        let level = (at(0.0, 0.0), at(10.0, 0.0));
        assert!(cross(level, (at(5.0, -1.0), at(5.0, 1.0))));
        assert!(!cross(level, (at(5.0, 0.0), at(5.0, 1.0))));
        assert!(!cross(level, (at(11.0, -1.0), at(11.0, 1.0))));
    }
}
