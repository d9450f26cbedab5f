//! The steering axis and what stands on it: head tube above, fork below, stem and bar at its top.
//! One place for "down the axis", "ahead of it" and the stem; everyone else asks here.
//! The turned wheel in three dimensions is `clearance`.

use crate::bike::drawing::Drawing;
use crate::plane::{Point, Vector, direction, quarter_turn};

/// The steering axis in the side view, and the stem on it. Lengths mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steering {
    /// Top centre of the head tube.
    pub head_tube_top: Point,
    /// Unit vector down the axis.
    pub down: Vector,
    /// Where the stem's own line leaves the axis: the middle of its clamp on the steerer.
    pub stem_base: Point,
    /// Unit vector along the stem, from the axis to the bar.
    pub stem: Vector,
}

impl Steering {
    /// The axis of a drawing.
    pub fn of(drawing: &Drawing) -> Self {
        let head_tube_top = Point::new(drawing.reach_mm, drawing.stack_mm);
        let down = direction(-drawing.head_angle_deg.to_radians());
        let up_the_steerer = drawing.spacers_mm + drawing.stem_clamp_height_mm / 2.0;
        let ahead = quarter_turn(down);
        let stem_angle = ahead.y.atan2(ahead.x) + drawing.stem_angle_deg.to_radians();
        Self {
            head_tube_top,
            down,
            stem_base: head_tube_top - down * up_the_steerer,
            stem: direction(stem_angle),
        }
    }

    /// A point of the axis this far below the head-tube top, mm; negative above it.
    pub fn below_top(&self, mm: f64) -> Point {
        self.head_tube_top + self.down * mm
    }

    /// Unit vector ahead of the axis, square to it.
    pub fn ahead(&self) -> Vector {
        quarter_turn(self.down)
    }
}

/// Trail, mm, from wheel radius (mm), head angle (radians from the horizontal) and fork offset (mm).
///
/// # References
/// Meijaard, Papadopoulos, Ruina, Schwab 2007, Proc. R. Soc. A 463:1955, Table 1 (benchmark bicycle).
pub fn trail(wheel_radius: f64, head_angle: f64, offset: f64) -> f64 {
    (wheel_radius * head_angle.cos() - offset) / head_angle.sin()
}
