//! Clearances that need the third dimension: the turned front tyre and the leaning bike.
//! z points to the rider's right; both sides are alike, so the right pedal stands for both.
//! The limits they are held against live in `class` and `fit`.

use nalgebra::{Point3, Rotation3, Unit, Vector3};

use crate::bike::spec::Cranks;
use crate::numeric::least_near;
use crate::plane::{Point, Vector};

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
    pub fn new(cranks: &Cranks, bottom_bracket_height: f64) -> Option<Self> {
        let half_q = cranks.q_factor?.mm() / 2.0;
        let width = cranks.pedal_width?.mm();
        Some(Self {
            centre: Point3::new(cranks.length.mm(), 0.0, half_q + width / 2.0),
            outer_edge: half_q + width,
            height_at_bottom: bottom_bracket_height
                - cranks.length.mm()
                - cranks.pedal_height.mm() / 2.0,
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

/// The tyre turned to one steering angle.
struct TurnedTyre {
    centre: Point3<f64>,
    axis: Vector3<f64>,
    ring_radius: f64,
}

impl TurnedTyre {
    /// Squared distance from `point` to the circle through the section's centres. Exact, and smooth
    /// over the steering angle, where the distance itself has a cusp.
    fn ring_distance_squared(&self, point: Point3<f64>) -> f64 {
        let from_centre = point - self.centre;
        let along = from_centre.dot(&self.axis);
        let out = (from_centre.norm_squared() - along * along).max(0.0).sqrt();
        (out - self.ring_radius).powi(2) + along * along
    }
}

impl FrontWheel {
    fn turned(&self, angle: f64) -> TurnedTyre {
        let axis = Unit::new_normalize(Vector3::new(
            self.steering_down.x,
            self.steering_down.y,
            0.0,
        ));
        let turn = Rotation3::from_axis_angle(&axis, angle);
        let pivot = Point3::new(self.steering_point.x, self.steering_point.y, 0.0);
        let axle = Point3::new(self.axle.x, self.axle.y, 0.0);
        TurnedTyre {
            centre: pivot + turn * (axle - pivot),
            axis: turn * Vector3::z(),
            ring_radius: self.ring_radius,
        }
    }

    /// Distance from the pedal centre straight ahead to the tyre, least over every steering angle
    /// up to a quarter turn either way, mm. None when the tyre never comes in front of the pedal.
    ///
    /// # References
    /// 16 CFR 1512.17(d): forward and parallel to the bicycle, to the arc swept by the tyre.
    pub fn toe_clearance(&self, pedal: Point3<f64>) -> Option<f64> {
        const CLOSE_ENOUGH_MM: f64 = 1e-6;
        const MOST_STEPS: usize = 1000;
        const SAMPLES: usize = 37;
        let step = std::f64::consts::PI / (SAMPLES - 1) as f64;
        let turned: [(f64, TurnedTyre); SAMPLES] = std::array::from_fn(|index| {
            let angle = index as f64 * step - std::f64::consts::FRAC_PI_2;
            (angle, self.turned(angle))
        });
        // Walks ahead by what is certainly free of the tyre at every steering angle, so that nothing
        // is stepped over, however narrow.
        let free_at = |point: Point3<f64>| {
            let quarter = std::f64::consts::FRAC_PI_2;
            let squared = |angle: f64| {
                self.turned(angle.clamp(-quarter, quarter))
                    .ring_distance_squared(point)
            };
            let sampled: [f64; SAMPLES] =
                std::array::from_fn(|index| turned[index].1.ring_distance_squared(point));
            let best = (0..SAMPLES).fold(0, |best, index| {
                if sampled[index] < sampled[best] {
                    index
                } else {
                    best
                }
            });
            // At the end of the turn the neighbour beyond counts as the end itself.
            let around = [best.saturating_sub(1), best, (best + 1).min(SAMPLES - 1)];
            let around = around.map(|index| sampled[index]);
            least_near(squared, turned[best].0, around, step).sqrt() - self.section_radius
        };
        let far = self.axle.x + 2.0 * (self.ring_radius + self.section_radius) - pedal.x;
        let mut gone = 0.0;
        for _ in 0..MOST_STEPS {
            let free = free_at(pedal + Vector3::x() * gone);
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
