//! The pedalling leg: the foot on the turning crank, how far it goes from the hip, and what that does to the knee.
//! Crank angle 0 is top, clockwise seen from the drive side; closed forms and bracketed roots, no sampling error.
//! Which knee angles are wanted is the checks' business.

use std::sync::LazyLock;

use crate::bike::drawing::Crank;
use crate::numeric::least_near;
use crate::plane::{Bend, Point, Unreachable, Vector, flexion, joint, quarter_turn, span};
use crate::rider::Body;

/// Coarse samples of the turn; every result is refined from them.
const SAMPLES: usize = 12;
const STEP: f64 = std::f64::consts::TAU / SAMPLES as f64;

/// Where crank and foot point at one crank angle, which is the same for every rider.
#[derive(Debug, Clone, Copy)]
struct Stance {
    /// Crank angle, radians.
    angle: f64,
    /// Unit vector along the crank.
    crank: Vector,
    /// Unit vector across the sole, upwards.
    up: Vector,
    /// Rate of the foot's pitch over the crank angle.
    pitch_rate: f64,
    /// Rate of that rate.
    pitch_rate_change: f64,
}

/// Heel-up pitch of the sole at a crank angle, radians in, radians out:
/// 17 − 5·cos θ − 11·sin θ degrees, about 12 at the top, 22 at the bottom, 28 at the rear.
///
/// # References
/// Typical published ankling curves, from memory.
pub fn foot_pitch(crank_angle: f64) -> f64 {
    let (sin, cos) = crank_angle.sin_cos();
    pitch(sin, cos)
}

fn pitch(sin: f64, cos: f64) -> f64 {
    (17.0 - 5.0 * cos - 11.0 * sin).to_radians()
}

impl Stance {
    fn at(angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        let (pitch_sin, pitch_cos) = pitch(sin, cos).sin_cos();
        Self {
            angle,
            crank: Vector::new(sin, cos),
            up: Vector::new(pitch_sin, pitch_cos),
            pitch_rate: (5.0 * sin - 11.0 * cos).to_radians(),
            pitch_rate_change: (5.0 * cos + 11.0 * sin).to_radians(),
        }
    }

    /// Unit vector along the sole: with the heel raised, forward points down.
    fn forward(&self) -> Vector {
        Vector::new(self.up.y, -self.up.x)
    }
}

/// Coarse samples of the turn.
static TURN: LazyLock<[Stance; SAMPLES]> =
    LazyLock::new(|| std::array::from_fn(|index| Stance::at(index as f64 * STEP)));
/// First guess of where a leg is straightest: just before the bottom.
static USUALLY_STRAIGHTEST: LazyLock<Stance> = LazyLock::new(|| Stance::at(2.83));
/// First guess of where a leg is most bent: just before the top.
static USUALLY_MOST_BENT: LazyLock<Stance> = LazyLock::new(|| Stance::at(5.9));
/// First guess of where the knee is highest: just past the top.
static USUALLY_KNEE_HIGHEST: LazyLock<Stance> = LazyLock::new(|| Stance::at(0.53));

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
    pub fn new(body: &Body, crank: &Crank) -> Self {
        let ball_above_axle = crank.pedal_height_mm / 2.0 + body.sole_mm;
        Self {
            thigh: body.thigh_mm,
            shank: body.shank_mm,
            crank: crank.length_mm,
            ball_above_axle,
            ankle_above_axle: ball_above_axle + body.ankle_height_mm,
            ankle_behind_ball: body.ankle_to_ball_mm,
        }
    }

    fn ankle_in(&self, stance: &Stance) -> Point {
        Point::from(
            stance.crank * self.crank + stance.up * self.ankle_above_axle
                - stance.forward() * self.ankle_behind_ball,
        )
    }

    /// Ankle joint at a crank angle, radians.
    pub fn ankle(&self, crank_angle: f64) -> Point {
        self.ankle_in(&Stance::at(crank_angle))
    }

    /// Ball of the foot at a crank angle, radians.
    pub fn ball(&self, crank_angle: f64) -> Point {
        let stance = Stance::at(crank_angle);
        Point::from(stance.crank * self.crank + stance.up * self.ball_above_axle)
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

    /// First and second rate of the ankle's place over the crank angle.
    fn ankle_rates(&self, stance: &Stance) -> (Vector, Vector) {
        let (pitch_rate, pitch_rate_change) = (stance.pitch_rate, stance.pitch_rate_change);
        // The foot's link from pedal axle to ankle turns with the pitch, the crank with the angle.
        let forward = stance.forward();
        let foot = stance.up * self.ankle_above_axle - forward * self.ankle_behind_ball;
        let foot_turned = forward * self.ankle_above_axle + stance.up * self.ankle_behind_ball;
        let rate =
            Vector::new(stance.crank.y, -stance.crank.x) * self.crank + foot_turned * pitch_rate;
        let change = foot_turned * pitch_rate_change
            - stance.crank * self.crank
            - foot * (pitch_rate * pitch_rate);
        (rate, change)
    }

    /// First and second rate of half the squared hip–ankle distance over the crank angle.
    fn opening_rates(&self, hip: Point, stance: &Stance) -> (f64, f64) {
        let from_hip = self.ankle_in(stance) - hip;
        let (rate, change) = self.ankle_rates(stance);
        (
            from_hip.dot(&rate),
            rate.norm_squared() + from_hip.dot(&change),
        )
    }

    /// Newton's method from `start`; from the coarse samples where that does not climb.
    fn extreme(&self, hip: Point, sign: f64, start: &Stance) -> Extreme {
        self.newton(hip, sign, start).unwrap_or_else(|| {
            let distance = |stance: &Stance| (self.ankle_in(stance) - hip).norm();
            let score = |stance: &Stance| sign * distance(stance);
            let best = TURN.iter().max_by(|a, b| score(a).total_cmp(&score(b)));
            let sampled = best.unwrap_or(&TURN[0]);
            self.newton(hip, sign, sampled).unwrap_or(Extreme {
                crank_angle: sampled.angle,
                distance: distance(sampled),
            })
        })
    }

    fn newton(&self, hip: Point, sign: f64, start: &Stance) -> Option<Extreme> {
        const MOST_ROUNDS: usize = 12;
        // The next step would be about the square of this one, and the distance is flat at its extreme.
        const CLOSE_ENOUGH: f64 = 1e-3;
        let mut stance = *start;
        for _ in 0..MOST_ROUNDS {
            let (rate, change) = self.opening_rates(hip, &stance);
            if sign * change >= 0.0 {
                return None;
            }
            let step = (-rate / change).clamp(-STEP, STEP);
            let angle = stance.angle + step;
            if step.abs() < CLOSE_ENOUGH {
                // The last step's gain by the same parabola: what it leaves out is its cube.
                let squared = (self.ankle_in(&stance) - hip).norm_squared();
                let gained = 2.0 * step * (rate + change * step / 2.0);
                return Some(Extreme {
                    crank_angle: angle.rem_euclid(std::f64::consts::TAU),
                    distance: (squared + gained).max(0.0).sqrt(),
                });
            }
            stance = Stance::at(angle);
        }
        None
    }

    /// Where the leg is straightest.
    pub fn farthest(&self, hip: Point) -> Extreme {
        self.extreme(hip, 1.0, &USUALLY_STRAIGHTEST)
    }

    /// Where the leg is most bent.
    pub fn nearest(&self, hip: Point) -> Extreme {
        self.extreme(hip, -1.0, &USUALLY_MOST_BENT)
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
        const CLOSE_ENOUGH: f64 = 1e-5;
        let wanted = span(self.thigh, self.shank, flexion);
        // At a fixed crank angle the position is the larger root of a quadratic; the crank angle that
        // matters moves with the position, so each takes a step in turn. Quadratic convergence.
        let position_at = |stance: &Stance| {
            let from_ankle = hip_at(0.0) - self.ankle_in(stance);
            let along = from_ankle.dot(&up);
            let under = along * along - from_ankle.norm_squared() + wanted * wanted;
            (under >= 0.0).then(|| -along + under.sqrt())
        };
        let mut stance = *USUALLY_STRAIGHTEST;
        for _ in 0..MOST_ROUNDS {
            let position = position_at(&stance)?;
            let (rate, change) = self.opening_rates(hip_at(position), &stance);
            let step = if change < 0.0 {
                (-rate / change).clamp(-STEP, STEP)
            } else {
                // Not on the hump of the turn: from where the coarse samples see it.
                self.extreme(hip_at(position), 1.0, &stance).crank_angle - stance.angle
            };
            // The position is flat where the leg is straightest: what is left is the square of this.
            if step.abs() < CLOSE_ENOUGH {
                return Some(position);
            }
            stance = Stance::at(stance.angle + step);
        }
        None
    }

    /// Least distance from the knee to `target` over the turn, mm, where `farthest` is where the leg is straightest;
    /// crank angles that the leg cannot reach do not count. None when it reaches none.
    ///
    /// # Method
    /// The knee goes to and fro on a circle around the hip. A target beyond its highest place is nearest from there;
    /// one that the thigh points at on its way, where it does. Any other is looked for over the whole turn.
    pub fn knee_to(&self, hip: Point, farthest: &Extreme, target: Point) -> Option<f64> {
        let away = target - hip;
        let is_above = |knee: &Point| quarter_turn(knee - hip).dot(&away) > 0.0;
        let is_followed_round = farthest.distance <= self.thigh + self.shank
            && self.surely_nearest(hip) >= (self.thigh - self.shank).abs();
        if is_followed_round
            && away.x > 0.0
            && let Some(highest) = self.highest_knee(hip)
        {
            if is_above(&highest) {
                return Some((highest - target).norm());
            }
            let low = self.knee(hip, farthest.crank_angle).ok();
            if low.as_ref().is_some_and(is_above) {
                return Some((away.norm() - self.thigh).abs());
            }
        }
        self.knee_to_anywhere(hip, target)
    }

    /// The ankle is never nearer to the hip than this, mm.
    fn surely_nearest(&self, hip: Point) -> f64 {
        let foot = self.ankle_above_axle.hypot(self.ankle_behind_ball);
        hip.coords.norm() - self.crank - foot
    }

    /// The knee's highest place over a turn that the leg can follow round; None where Newton's method does not climb.
    fn highest_knee(&self, hip: Point) -> Option<Point> {
        const MOST_ROUNDS: usize = 12;
        // The next step would be about the square of this one, and the knee rests at its highest.
        const CLOSE_ENOUGH: f64 = 1e-3;
        let mut stance = *USUALLY_KNEE_HIGHEST;
        for _ in 0..MOST_ROUNDS {
            let ankle = self.ankle_in(&stance);
            let (rate, change) = self.ankle_rates(&stance);
            let knee = joint(hip, ankle, self.thigh, self.shank, Bend::Left).ok()?;
            let (upwards, shank) = (quarter_turn(knee - hip), ankle - knee);
            let lever = upwards.dot(&shank);
            // The shank's length is fixed: the knee moves by what the ankle moves along it.
            let turn = rate.dot(&shank) / lever;
            let turn_change = ((rate - upwards * turn).dot(&rate) + shank.dot(&change)) / lever;
            if turn_change >= 0.0 || !turn_change.is_finite() {
                return None;
            }
            let step = (-turn / turn_change).clamp(-STEP, STEP);
            if step.abs() < CLOSE_ENOUGH {
                // The last step's gain by the same parabola.
                return Some(knee + upwards * (turn * step / 2.0));
            }
            stance = Stance::at(stance.angle + step);
        }
        None
    }

    fn knee_to_anywhere(&self, hip: Point, target: Point) -> Option<f64> {
        let apart = |ankle: Point| {
            joint(hip, ankle, self.thigh, self.shank, Bend::Left)
                .map_or(f64::INFINITY, |knee| (knee - target).norm_squared())
        };
        let sampled: [f64; SAMPLES] =
            std::array::from_fn(|index| apart(self.ankle_in(&TURN[index])));
        let best = (0..SAMPLES).fold(0, |best, index| {
            if sampled[index] < sampled[best] {
                index
            } else {
                best
            }
        });
        if sampled[best].is_infinite() {
            return None;
        }
        let least = least_near(
            |angle| apart(self.ankle(angle)),
            TURN[best].angle,
            sampled[best],
            STEP,
        );
        Some(least.sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn foot_pitch_has_the_published_corner_values() {
        for (crank_deg, pitch_deg) in [(0.0_f64, 12.0), (180.0, 22.0), (270.0, 28.0), (90.0, 6.0)] {
            let up = Stance::at(crank_deg.to_radians()).up;
            assert_abs_diff_eq!(up.x.atan2(up.y).to_degrees(), pitch_deg, epsilon = 1e-9);
        }
    }

    /// A leg of eight years, and where its hip is on a twenty-inch bike.
    fn child() -> (Leg, Point) {
        let leg = Leg {
            thigh: 310.0,
            shank: 300.0,
            crank: 130.0,
            ball_above_axle: 27.0,
            ankle_above_axle: 79.0,
            ankle_behind_ball: 102.0,
        };
        (leg, Point::new(-140.0, 520.0))
    }

    #[test]
    fn the_rates_are_the_slopes_of_the_path() {
        let (leg, hip) = child();
        let half = |angle: f64| (leg.ankle(angle) - hip).norm_squared() / 2.0;
        let rates = |angle: f64| leg.opening_rates(hip, &Stance::at(angle));
        for step in 0..24 {
            let angle = f64::from(step) * 0.26;
            let slope = (half(angle + 1e-5) - half(angle - 1e-5)) / 2e-5;
            assert_abs_diff_eq!(rates(angle).0, slope, epsilon = 1e-3);
            let change = (rates(angle + 1e-5).0 - rates(angle - 1e-5).0) / 2e-5;
            assert_abs_diff_eq!(rates(angle).1, change, epsilon = 1e-3);
        }
    }

    #[test]
    fn extremes_are_found_from_a_bad_start() {
        let (leg, hip) = child();
        let good = leg.farthest(hip);
        for start in 0..12 {
            let found = leg.extreme(hip, 1.0, &Stance::at(f64::from(start) * 0.5));
            assert_abs_diff_eq!(found.distance, good.distance, epsilon = 1e-6);
        }
    }

    #[test]
    fn the_knee_comes_as_near_as_a_fine_walk_round_the_turn_says() {
        const FINE: u32 = 7200;
        let (child, _) = child();
        let toddler = Leg {
            thigh: 205.0,
            shank: 190.0,
            crank: 102.0,
            ..child
        };
        let adult = Leg {
            thigh: 430.0,
            shank: 405.0,
            crank: 165.0,
            ..child
        };
        let turn: Vec<f64> = (0..FINE)
            .map(|step| f64::from(step) * std::f64::consts::TAU / f64::from(FINE))
            .collect();
        let mut followed_round = 0;
        for leg in [child, toddler, adult] {
            let reach = leg.thigh + leg.shank;
            // Saddles from low to out of reach; targets where grips are, low, level with the hip, behind it.
            for hip in [0.62, 0.75, 0.85, 1.0].map(|share| Point::new(-0.25, 0.9) * reach * share) {
                for to in [
                    (0.75, 0.35),
                    (0.5, 0.0),
                    (0.4, -0.6),
                    (0.1, 0.5),
                    (-0.3, 0.2),
                ] {
                    let target = hip + Vector::new(to.0, to.1) * reach;
                    let knees = turn.iter().filter_map(|angle| leg.knee(hip, *angle).ok());
                    let nearest = knees
                        .map(|knee| (knee - target).norm())
                        .min_by(f64::total_cmp);
                    let found = leg.knee_to(hip, &leg.farthest(hip), target);
                    assert_eq!(found.is_some(), nearest.is_some());
                    let (Some(found), Some(nearest)) = (found, nearest) else {
                        continue;
                    };
                    let is_round = leg.farthest(hip).distance <= reach;
                    followed_round += usize::from(is_round);
                    let close = if is_round { 0.001 } else { 0.5 };
                    assert_abs_diff_eq!(found, nearest, epsilon = close);
                }
            }
        }
        assert!(followed_round > 30);
    }
}
