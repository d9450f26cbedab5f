//! Clearances that need the third dimension: the turned front tyre and the leaning bike.
//! z points to the rider's right; both sides are alike, so the right pedal stands for both.
//! The limits they are held against live in `class` and `fit`.

use nalgebra::{Point3, Vector3};

use crate::bike::drawing::Crank;
use crate::plane::{Point, Vector, quarter_turn};

/// A pedal, seen from the bike's middle plane, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pedal {
    /// Centre with the crank level and forward.
    pub centre: Point3<f64>,
    /// Outer edge from the middle plane.
    pub outer_edge: f64,
    /// Lower face above ground with the crank straight down and the bike upright.
    pub height_at_bottom: f64,
}

impl Pedal {
    /// From the crank section; None where the file leaves out how wide the pedals stand.
    pub fn new(crank: &Crank, bottom_bracket_height: f64) -> Option<Self> {
        let half_q = crank.q_factor_mm? / 2.0;
        let width = crank.pedal_width_mm?;
        Some(Self {
            centre: Point3::new(crank.length_mm, 0.0, half_q + width / 2.0),
            outer_edge: half_q + width,
            height_at_bottom: bottom_bracket_height - crank.length_mm - crank.pedal_height_mm / 2.0,
        })
    }
}

/// The front tyre as a torus that turns about the steering axis.
#[derive(Debug, Clone, Copy)]
pub struct FrontWheel {
    /// Axle, wheel straight.
    pub axle: Point,
    /// Any point of the steering axis.
    pub steering_point: Point,
    /// Unit vector down the steering axis.
    pub steering_down: Vector,
    /// Radius of the circle through the tyre's section centres, mm.
    pub ring_radius: f64,
    /// Radius of the round section, mm.
    pub section_radius: f64,
}

impl FrontWheel {
    /// Distance from a point to the surface of the tyre, least over every steering angle up to a quarter
    /// turn either way, negative inside the rubber. Exact for a torus.
    fn least_distance(&self, point: Point3<f64>) -> f64 {
        let ahead = quarter_turn(self.steering_down);
        // From the steering axis: down along it, ahead of it.
        let seen = |point: Point| {
            let from = point - self.steering_point;
            (from.dot(&self.steering_down), from.dot(&ahead))
        };
        let (axle_down, axle_ahead) = seen(self.axle);
        let (down, straight) = seen(point.xy());
        // A tyre turned one way meets what the straight tyre meets with the point turned the other way: on a
        // circle about the axis, where it stands `ahead` and, as far as the circle goes, aside.
        let around_squared = straight * straight + point.z * point.z;
        let distance = |ahead: f64| {
            let (below, before) = (down - axle_down, ahead - axle_ahead);
            // Plain roots: nothing here is near overflow, and this runs a hundred times a bike.
            let out = (below * below + before * before).sqrt() - self.ring_radius;
            let aside_squared = (around_squared - ahead * ahead).max(0.0);
            (out * out + aside_squared).sqrt() - self.section_radius
        };
        // Squared, the distance from the ring is a linear function of `ahead` less a root that is convex in
        // it: it has no least value but at the ends of what `ahead` can be. These are the wheel turned at the
        // point as far as that goes, and a quarter turn away.
        let turned_at = around_squared.sqrt().copysign(straight);
        let turned_away = point.z.abs().copysign(-straight);
        distance(turned_at).min(distance(turned_away))
    }

    /// Distance from the pedal centre straight ahead to the tyre, least over every steering angle
    /// up to a quarter turn either way, mm; negative where the tyre comes behind the pedal centre.
    /// None when the tyre never comes onto the pedal's line.
    ///
    /// # References
    /// 16 CFR 1512.17(d): forward and parallel to the bicycle, to the arc swept by the tyre.
    pub fn toe_clearance(&self, pedal: Point3<f64>) -> Option<f64> {
        const CLOSE_ENOUGH_MM: f64 = 1e-6;
        const MOST_STEPS: usize = 1000;
        let far = self.axle.x + 2.0 * (self.ring_radius + self.section_radius) - pedal.x;
        // From the bottom bracket, so that a tyre that reaches behind the pedal is met as well.
        let mut gone = -pedal.x;
        for _ in 0..MOST_STEPS {
            // What is certainly free of the tyre is walked at once, so that nothing is stepped over.
            let free = self.least_distance(pedal + Vector3::x() * gone);
            if free <= CLOSE_ENOUGH_MM {
                return Some(gone);
            }
            gone += free;
            if gone > far {
                return None;
            }
        }
        // Still creeping along the surface: a graze, as good as met.
        Some(gone)
    }
}

/// Lean from upright at which the outer pedal edge touches ground, radians; the tyre rolls on its
/// round section. Solves (h − r)·cos φ − z·sin φ + r = 0 in closed form.
///
/// # References
/// 16 CFR 1512.17(c): the pedal level and at its lowest.
pub fn pedal_lean(pedal: &Pedal, section_radius: f64) -> f64 {
    let rise = pedal.height_at_bottom - section_radius;
    let arm = rise.hypot(pedal.outer_edge);
    (-section_radius / arm).clamp(-1.0, 1.0).acos() - pedal.outer_edge.atan2(rise)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn wheel(section_radius: f64) -> FrontWheel {
        FrontWheel {
            axle: Point::new(500.0, 20.0),
            steering_point: Point::new(500.0, 20.0),
            steering_down: Vector::new(0.0, -1.0),
            ring_radius: 250.0,
            section_radius,
        }
    }

    #[test]
    fn upright_steering_through_the_axle_sweeps_a_circle() {
        // With no offset and a vertical axis, the tread at axle height sweeps a circle of the wheel's
        // radius, so the distance is plain Pythagoras.
        let clearance = wheel(0.5)
            .toe_clearance(Point3::new(120.0, 20.0, 110.0))
            .unwrap();
        let expected = 500.0 - 120.0 - (250.5_f64.powi(2) - 110.0_f64.powi(2)).sqrt();
        assert_abs_diff_eq!(clearance, expected, epsilon = 0.01);
    }

    #[test]
    fn a_pedal_outside_the_wheel_has_nothing_ahead() {
        assert_eq!(
            wheel(25.0).toe_clearance(Point3::new(120.0, 20.0, 400.0)),
            None
        );
    }

    #[test]
    fn a_pedal_on_the_wheel_plane_meets_the_straight_wheel() {
        let clearance = wheel(25.0)
            .toe_clearance(Point3::new(120.0, 20.0, 0.0))
            .unwrap();
        assert_abs_diff_eq!(clearance, 500.0 - 275.0 - 120.0, epsilon = 1e-4);
    }

    #[test]
    fn a_tyre_that_reaches_behind_the_pedal_is_a_negative_clearance() {
        let clearance = wheel(25.0)
            .toe_clearance(Point3::new(300.0, 20.0, 0.0))
            .unwrap();
        assert_abs_diff_eq!(clearance, 500.0 - 275.0 - 300.0, epsilon = 1e-4);
    }

    #[test]
    fn lean_closes_its_own_equation_and_a_knife_edge_tyre_is_plain_trigonometry() {
        let pedal = Pedal {
            centre: Point3::origin(),
            outer_edge: 165.0,
            height_at_bottom: 110.0,
        };
        let lean = pedal_lean(&pedal, 27.0);
        assert_abs_diff_eq!(
            (110.0 - 27.0) * lean.cos() - 165.0 * lean.sin() + 27.0,
            0.0,
            epsilon = 1e-9
        );
        assert_abs_diff_eq!(
            pedal_lean(&pedal, 0.0),
            (110.0_f64 / 165.0).atan(),
            epsilon = 1e-12
        );
    }
}
