//! The pedalling leg: the foot on the turning crank, how far it goes from the hip, and what that does to the knee.
//! Crank angle 0 is top, clockwise seen from the drive side; closed forms and bracketed roots, no sampling error.
//! Which knee angles are wanted is the checks' business.

use std::sync::LazyLock;

use crate::bike::spec::Cranks;
use crate::numeric::least_near;
use crate::plane::{Bend, Point, Unreachable, Vector, flexion, joint, span};
use crate::rider::Body;

/// Coarse samples of the turn; every result is refined from them.
const SAMPLES: usize = 24;
const STEP: f64 = std::f64::consts::TAU / SAMPLES as f64;

/// Crank angle near which a leg is straightest, radians: just before the bottom. A first guess only.
const USUALLY_STRAIGHTEST: f64 = 2.83;

/// Heel-up pitch of the sole at a crank angle, radians in, radians out.
///
/// # References
/// 17 − 5·cos θ − 11·sin θ degrees: about 12 at the top, 22 at the bottom, 28 at the rear;
/// typical published ankling curves, from memory.
pub fn foot_pitch(crank_angle: f64) -> f64 {
    (17.0 - 5.0 * crank_angle.cos() - 11.0 * crank_angle.sin()).to_radians()
}

fn foot_pitch_rate(crank_angle: f64) -> f64 {
    (5.0 * crank_angle.sin() - 11.0 * crank_angle.cos()).to_radians()
}

/// Sines and cosines of crank angle and foot pitch, which are the same for every rider.
struct Sample {
    angle: f64,
    crank: Vector,
    up: Vector,
}

static TURN: LazyLock<[Sample; SAMPLES]> = LazyLock::new(|| {
    std::array::from_fn(|index| {
        #[expect(clippy::cast_precision_loss, reason = "small whole number")]
        let angle = index as f64 * STEP;
        Sample {
            angle,
            crank: outward(angle),
            up: outward(foot_pitch(angle)),
        }
    })
});

/// Unit vector at `angle` from straight up, turning forward.
fn outward(angle: f64) -> Vector {
    Vector::new(angle.sin(), angle.cos())
}

/// One leg of one rider on one crank. Lengths mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Hip to knee.
    pub thigh: f64,
    /// Knee to ankle.
    pub shank: f64,
    crank: f64,
    /// Pedal axle to the ball of the foot, across the sole.
    ball_above_axle: f64,
    /// Pedal axle to the ankle joint, across the sole.
    ankle_above_axle: f64,
    ankle_behind_ball: f64,
}

/// The crank angle (radians) at which the ankle is farthest from or nearest to the hip, and how far (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extreme {
    /// Crank angle, radians, 0 to 2π.
    pub crank_angle: f64,
    /// Hip to ankle, mm.
    pub distance: f64,
}

impl Leg {
    /// The leg of `body` on these cranks: ball of the foot over the pedal axle.
    pub fn new(body: &Body, cranks: &Cranks) -> Self {
        let ball_above_axle = cranks.pedal_height.mm() / 2.0 + body.sole_mm;
        Self {
            thigh: body.thigh_mm,
            shank: body.shank_mm,
            crank: cranks.length.mm(),
            ball_above_axle,
            ankle_above_axle: ball_above_axle + body.ankle_height_mm,
            ankle_behind_ball: body.ankle_to_ball_mm,
        }
    }

    fn ankle_from(&self, crank: Vector, up: Vector) -> Point {
        // With the heel raised, forward along the sole points down: (cos, −sin) where up is (sin, cos).
        Point::from(
            crank * self.crank + up * self.ankle_above_axle
                - Vector::new(up.y, -up.x) * self.ankle_behind_ball,
        )
    }

    /// Ankle joint at a crank angle, radians.
    pub fn ankle(&self, crank_angle: f64) -> Point {
        self.ankle_from(outward(crank_angle), outward(foot_pitch(crank_angle)))
    }

    /// Ball of the foot at a crank angle, radians.
    pub fn ball(&self, crank_angle: f64) -> Point {
        Point::from(
            outward(crank_angle) * self.crank
                + outward(foot_pitch(crank_angle)) * self.ball_above_axle,
        )
    }

    /// Knee joint at a crank angle, radians.
    pub fn knee(&self, hip: Point, crank_angle: f64) -> Result<Point, Unreachable> {
        joint(
            hip,
            self.ankle(crank_angle),
            self.thigh,
            self.shank,
            Bend::Left,
        )
    }

    /// Knee flexion (radians, 0 straight) at a hip–ankle distance.
    pub fn flexion(&self, distance: f64) -> Result<f64, Unreachable> {
        flexion(distance, self.thigh, self.shank)
    }

    /// Rate of half the squared hip–ankle distance over the crank angle.
    fn opening_rate(&self, hip: Point, angle: f64) -> f64 {
        let (crank, up) = (outward(angle), outward(foot_pitch(angle)));
        let ankle = self.ankle_from(crank, up);
        let forward = Vector::new(up.y, -up.x);
        let rate = Vector::new(crank.y, -crank.x) * self.crank
            + (forward * self.ankle_above_axle + up * self.ankle_behind_ball)
                * foot_pitch_rate(angle);
        (ankle - hip).dot(&rate)
    }

    /// From the coarse samples by a parabola, then by two secant steps on the exact rate. The distance
    /// is flat at an extreme, so what is left of the angle's error does not show in it.
    fn extreme(&self, hip: Point, sign: f64) -> Extreme {
        let score = |sample: &Sample| {
            sign * (self.ankle_from(sample.crank, sample.up) - hip).norm_squared()
        };
        let scores: [f64; SAMPLES] = std::array::from_fn(|index| score(&TURN[index]));
        let best = (0..SAMPLES).fold(0, |best, index| {
            if scores[index] > scores[best] {
                index
            } else {
                best
            }
        });
        let before = scores[(best + SAMPLES - 1) % SAMPLES];
        let after = scores[(best + 1) % SAMPLES];
        let curve = before - 2.0 * scores[best] + after;
        let shift = if curve < 0.0 {
            0.5 * (before - after) / curve
        } else {
            0.0
        };
        let mut angle = TURN[best].angle + shift.clamp(-1.0, 1.0) * STEP;
        // Half the second difference of the squared distance is the slope of the rate.
        let mut slope = sign * curve / (2.0 * STEP * STEP);
        let mut rate = self.opening_rate(hip, angle);
        for _ in 0..2 {
            if slope == 0.0 {
                break;
            }
            let moved = (-rate / slope).clamp(-STEP, STEP);
            let next = self.opening_rate(hip, angle + moved);
            if moved.abs() > 1e-12 && next != rate {
                slope = (next - rate) / moved;
            }
            angle += moved;
            rate = next;
        }
        Extreme {
            crank_angle: angle.rem_euclid(std::f64::consts::TAU),
            distance: (self.ankle(angle) - hip).norm(),
        }
    }

    /// Where the leg is straightest.
    pub fn farthest(&self, hip: Point) -> Extreme {
        self.extreme(hip, 1.0)
    }

    /// Where the leg is most bent.
    pub fn nearest(&self, hip: Point) -> Extreme {
        self.extreme(hip, -1.0)
    }

    /// Saddle position at which the least knee flexion over the turn is `flexion` radians, where
    /// `hip_at` gives the hip for a position and moves along the unit vector `up` with it.
    /// None when the ankle's circle is too wide for this leg at any height.
    pub fn position_for_flexion(
        &self,
        hip_at: impl Fn(f64) -> Point,
        up: Vector,
        flexion: f64,
    ) -> Option<f64> {
        const MOST_ROUNDS: usize = 40;
        let wanted = span(self.thigh, self.shank, flexion);
        // At a fixed crank angle the position is the larger root of a quadratic; the crank angle that
        // matters moves with the position, so the two are taken in turn. Quadratic convergence.
        let position_at = |crank_angle: f64| {
            let from_ankle = hip_at(0.0) - self.ankle(crank_angle);
            let along = from_ankle.dot(&up);
            let under = along * along - from_ankle.norm_squared() + wanted * wanted;
            (under >= 0.0).then(|| -along + under.sqrt())
        };
        let mut position = position_at(USUALLY_STRAIGHTEST)?;
        for _ in 0..MOST_ROUNDS {
            let next = position_at(self.farthest(hip_at(position)).crank_angle)?;
            let moved = (next - position).abs();
            position = next;
            // Quadratic: the error left is the square of this, over the leg's length.
            if moved < 1e-2 {
                break;
            }
        }
        Some(position)
    }

    /// Least distance from the knee to `target` over the turn, mm; crank angles that the leg cannot
    /// reach do not count. None when it reaches none.
    pub fn knee_to(&self, hip: Point, target: Point) -> Option<f64> {
        let apart = |ankle: Point| {
            joint(hip, ankle, self.thigh, self.shank, Bend::Left)
                .map_or(f64::INFINITY, |knee| (knee - target).norm_squared())
        };
        let (nearest, least) = TURN
            .iter()
            .map(|sample| {
                (
                    sample.angle,
                    apart(self.ankle_from(sample.crank, sample.up)),
                )
            })
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        if least.is_infinite() {
            return None;
        }
        Some(least_near(|angle| apart(self.ankle(angle)), nearest, least, STEP).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn foot_pitch_has_the_published_corner_values() {
        for (crank_deg, pitch_deg) in [(0.0_f64, 12.0), (180.0, 22.0), (270.0, 28.0), (90.0, 6.0)] {
            assert_abs_diff_eq!(
                foot_pitch(crank_deg.to_radians()).to_degrees(),
                pitch_deg,
                epsilon = 1e-9
            );
        }
    }

    #[test]
    fn the_rate_is_the_slope_of_the_path() {
        let leg = Leg {
            thigh: 310.0,
            shank: 300.0,
            crank: 130.0,
            ball_above_axle: 27.0,
            ankle_above_axle: 79.0,
            ankle_behind_ball: 102.0,
        };
        let hip = Point::new(-140.0, 520.0);
        let half = |angle: f64| (leg.ankle(angle) - hip).norm_squared() / 2.0;
        for step in 0..24 {
            let angle = f64::from(step) * 0.26;
            let slope = (half(angle + 1e-5) - half(angle - 1e-5)) / 2e-5;
            assert_abs_diff_eq!(leg.opening_rate(hip, angle), slope, epsilon = 1e-3);
        }
    }
}
