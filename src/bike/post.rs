//! The saddle on its post: the line that it moves along, how far, and where the rider sits.
//! Positions run along the seat-tube axis; a tape reads straight from the bottom bracket. Both ways stand here.
//! Which height a rider wants is `fit`'s business.

use crate::bike::drawing::Drawing;
use crate::plane::{Point, Vector, direction};

/// The line that the saddle moves along, and how far. Positions on it are measured along the
/// seat-tube axis from bottom-bracket height; tape figures are straight from the bottom bracket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PostRange {
    /// Where the seat-tube axis crosses bottom-bracket height.
    pub foot: Point,
    /// Unit vector up the axis.
    pub up: Vector,
    /// Position of the saddle top with no post exposed, mm along the axis.
    pub bare_mm: f64,
    /// Lowest position, mm along the axis.
    pub lowest_mm: f64,
    /// Highest permitted position, mm along the axis.
    pub highest_mm: f64,
    /// Post length, mm.
    pub post_mm: f64,
    /// Printed minimum insertion, mm.
    pub minimum_insertion_mm: f64,
    /// Sit point behind the axis, mm.
    pub setback_mm: f64,
}

impl PostRange {
    /// The post of a drawing.
    pub fn of(drawing: &Drawing) -> Self {
        let angle = drawing.seat_tube_angle_deg.to_radians();
        let bare_mm = Self::bare_mm(
            drawing.seat_tube_length_mm,
            drawing.saddle_stack_mm,
            drawing.seat_tube_angle_deg,
        );
        Self {
            foot: Point::new(drawing.seat_tube_offset_mm, 0.0),
            up: direction(std::f64::consts::PI - angle),
            bare_mm,
            lowest_mm: bare_mm + drawing.lowest_exposed_post_mm(),
            highest_mm: bare_mm + drawing.highest_exposed_post_mm(),
            post_mm: drawing.post_length_mm,
            minimum_insertion_mm: drawing.minimum_insertion_mm,
            setback_mm: drawing.saddle_setback_mm,
        }
    }

    /// Position of the saddle top with no post exposed, mm along the axis: from the tube's length and the
    /// saddle's stack, mm, and the tube's angle, degrees.
    pub(super) fn bare_mm(tube_mm: f64, stack_mm: f64, angle_deg: f64) -> f64 {
        // The saddle stack is vertical; carried along the axis it is longer by 1/sin.
        tube_mm + stack_mm / angle_deg.to_radians().sin()
    }

    /// Saddle top on the axis.
    pub fn saddle_top(&self, position_mm: f64) -> Point {
        self.foot + self.up * position_mm
    }

    /// Where the rider sits: the saddle top moved back.
    pub fn sit(&self, position_mm: f64) -> Point {
        self.saddle_top(position_mm) - Vector::new(self.setback_mm, 0.0)
    }

    /// Saddle height as a tape measures it: bottom-bracket centre to saddle top, straight.
    pub fn saddle_height_mm(&self, position_mm: f64) -> f64 {
        self.saddle_top(position_mm).coords.norm()
    }

    /// Position along the axis for a saddle top this high above the bottom bracket.
    pub fn position_at_height(&self, above_bottom_bracket_mm: f64) -> f64 {
        above_bottom_bracket_mm / self.up.y
    }

    /// Position at which a tape reads this saddle height (mm): the inverse of [`Self::saddle_height_mm`].
    /// None where the whole axis lies farther from the bottom bracket than that.
    pub fn position_at_saddle_height(&self, saddle_height_mm: f64) -> Option<f64> {
        let ahead = self.up.dot(&self.foot.coords);
        let under = ahead * ahead - self.foot.coords.norm_squared() + saddle_height_mm.powi(2);
        (under >= 0.0).then(|| under.sqrt() - ahead)
    }

    /// Post showing above the seat tube, mm.
    pub fn exposed_post_mm(&self, position_mm: f64) -> f64 {
        position_mm - self.bare_mm
    }

    /// Post inside the seat tube, mm.
    pub fn insertion_mm(&self, position_mm: f64) -> f64 {
        self.post_mm - self.exposed_post_mm(position_mm)
    }
}
