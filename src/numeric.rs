//! The small solvers that the geometry shares: least values of functions of one angle, refined from samples.
//! They always end and allocate nothing; what the function means is the caller's.
//! `least_near` is exact whatever the function, `least_by_parabolas` quick for smooth ones.

/// Least value of a smooth function within `step` either side of a sampled least: parabolas through the
/// best three points, golden sections where they do not help.
///
/// # References
/// Brent 1973, Algorithms for Minimization without Derivatives, chapter 5.
#[expect(clippy::float_cmp, reason = "the very same point, not a near one")]
pub(crate) fn least_near(value: impl Fn(f64) -> f64, at: f64, least: f64, step: f64) -> f64 {
    const MOST_ROUNDS: usize = 60;
    const GOLDEN: f64 = 0.381_966_011_250_105;
    const CLOSE: f64 = 1e-8;
    let (mut low, mut high) = (at - step, at + step);
    // Where the function was least, second least, and before that.
    let [mut best, mut second, mut third] = [(at, least); 3];
    let (mut moved, mut moved_before): (f64, f64) = (0.0, 0.0);
    for _ in 0..MOST_ROUNDS {
        let middle = f64::midpoint(low, high);
        if (best.0 - middle).abs() <= 2.0 * CLOSE - (high - low) / 2.0 {
            break;
        }
        let (a, b) = (
            (best.0 - second.0) * (best.1 - third.1),
            (best.0 - third.0) * (best.1 - second.1),
        );
        let shift = ((best.0 - third.0) * b - (best.0 - second.0) * a) / (2.0 * (a - b));
        // The parabola must land inside, and by less than half the step before last.
        let is_trusted =
            shift.abs() < moved_before.abs() / 2.0 && low < best.0 + shift && best.0 + shift < high;
        moved_before = moved;
        moved = if is_trusted {
            shift
        } else if best.0 < middle {
            GOLDEN * (high - best.0)
        } else {
            GOLDEN * (low - best.0)
        };
        if !is_trusted {
            moved_before = if best.0 < middle {
                high - best.0
            } else {
                low - best.0
            };
        }
        let next = best.0
            + if moved.abs() >= CLOSE {
                moved
            } else {
                CLOSE.copysign(moved)
            };
        let next = (next, value(next));
        if next.1 <= best.1 {
            if next.0 < best.0 {
                high = best.0;
            } else {
                low = best.0;
            }
            (third, second, best) = (second, best, next);
        } else {
            if next.0 < best.0 {
                low = next.0;
            } else {
                high = next.0;
            }
            if next.1 <= second.1 || second.0 == best.0 {
                (third, second) = (second, next);
            } else if next.1 <= third.1 || third.0 == best.0 || third.0 == second.0 {
                third = next;
            }
        }
    }
    best.1
}

/// Least value of a smooth function near a sampled least: `around` holds the samples one `step`
/// before, at, and one `step` after `at`. Parabolas through three points, each narrower.
pub(crate) fn least_by_parabolas(
    value: impl Fn(f64) -> f64,
    at: f64,
    around: [f64; 3],
    step: f64,
) -> f64 {
    const ROUNDS: usize = 3;
    let (mut centre, mut width) = (at, step);
    let [mut left, mut at_centre, mut right] = around;
    for round in 0..ROUNDS {
        if round > 0 {
            (left, right) = (value(centre - width), value(centre + width));
        }
        let curve = left - 2.0 * at_centre + right;
        if !curve.is_finite() || curve <= 0.0 {
            // At the edge of where the function is defined: halve towards it.
            width /= 2.0;
            continue;
        }
        let shift = (width * (left - right) / (2.0 * curve)).clamp(-width, width);
        let moved = value(centre + shift);
        if moved < at_centre {
            (centre, at_centre) = (centre + shift, moved);
        }
        // A parabola's vertex is off by about the square of its width.
        width = (width * width / 4.0).max(1e-4);
    }
    at_centre
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn the_least_at_a_kink_and_beside_nothing_is_found_too() {
        // Neither a parabola's bottom nor finite on one side.
        let kink = |x: f64| (x - 0.3).abs();
        assert_abs_diff_eq!(least_near(kink, 0.0, kink(0.0), 1.0), 0.0, epsilon = 1e-7);
        let edge = |x: f64| if x < 0.5 { 1.0 - x } else { f64::INFINITY };
        assert_abs_diff_eq!(least_near(edge, 0.0, edge(0.0), 1.0), 0.5, epsilon = 1e-6);
    }

    #[test]
    fn the_least_of_a_sine_is_found_from_a_coarse_sample() {
        let least = least_near(f64::sin, 4.6, 4.6_f64.sin(), 0.2);
        assert_abs_diff_eq!(least, -1.0, epsilon = 1e-9);
    }

    #[test]
    fn three_parabolas_find_the_least_of_a_sine() {
        let around = [4.4_f64.sin(), 4.6_f64.sin(), 4.8_f64.sin()];
        let least = least_by_parabolas(f64::sin, 4.6, around, 0.2);
        assert_abs_diff_eq!(least, -1.0, epsilon = 1e-9);
    }
}
