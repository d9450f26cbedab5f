//! The small numeric tools that the geometry shares: least values of functions of one angle, and normal deviates.
//! They always end, and the same input gives the same numbers.
//! What a function or a deviate means is the caller's.

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

/// One seed for everyone: the same input gives the same chances.
const SEED: u32 = 0x1dea;

/// Standard normal deviates of one draw, without end: an Owen-scrambled Sobol point through the normal
/// quantile. Whoever draws starts from a set of four dimensions of its own (bodies 0, bikes 16).
pub(crate) fn deviates(index: usize, first_set: u32) -> impl Iterator<Item = f64> {
    let index = u32::try_from(index).unwrap_or(u32::MAX);
    (first_set..)
        .flat_map(move |set| sobol_burley::sample_4d(index, set, SEED))
        .map(|share| normal_quantile(f64::from(share)))
}

/// Standard normal quantile, relative error below 1.2e-9; shares of 0 and 1 are taken as one in 2²⁵.
///
/// # References
/// P. J. Acklam's rational approximation (2003); the test holds it against published quantiles.
#[expect(clippy::excessive_precision, reason = "coefficients as published")]
fn normal_quantile(share: f64) -> f64 {
    const SMALLEST: f64 = 1.0 / 33_554_432.0;
    const TAIL: f64 = 0.024_25;
    const A: [f64; 6] = [
        -3.969_683_028_665_376e1,
        2.209_460_984_245_205e2,
        -2.759_285_104_469_687e2,
        1.383_577_518_672_690e2,
        -3.066_479_806_614_716e1,
        2.506_628_277_459_239,
    ];
    const B: [f64; 6] = [
        -5.447_609_879_822_406e1,
        1.615_858_368_580_409e2,
        -1.556_989_798_598_866e2,
        6.680_131_188_771_972e1,
        -1.328_068_155_288_572e1,
        1.0,
    ];
    const C: [f64; 6] = [
        -7.784_894_002_430_293e-3,
        -3.223_964_580_411_365e-1,
        -2.400_758_277_161_838,
        -2.549_732_539_343_734,
        4.374_664_141_464_968,
        2.938_163_982_698_783,
    ];
    const D: [f64; 5] = [
        7.784_695_709_041_462e-3,
        3.224_671_290_700_398e-1,
        2.445_134_137_142_996,
        3.754_408_661_907_416,
        1.0,
    ];
    let polynomial =
        |coefficients: &[f64], x: f64| coefficients.iter().fold(0.0, |sum, c| sum * x + c);
    let share = share.clamp(SMALLEST, 1.0 - SMALLEST);
    if (TAIL..=1.0 - TAIL).contains(&share) {
        let middle = share - 0.5;
        let square = middle * middle;
        return middle * polynomial(&A, square) / polynomial(&B, square);
    }
    let tail = (-2.0 * share.min(1.0 - share).ln()).sqrt();
    let quantile = polynomial(&C, tail) / polynomial(&D, tail);
    if share < 0.5 { quantile } else { -quantile }
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
    fn quantiles_equal_published_tables() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.1 and its usual percentage points.
        for (share, quantile) in [
            (0.5, 0.0),
            (0.841_344_746_068_543, 1.0),
            (0.975, 1.959_963_984_540_054),
            (0.99, 2.326_347_874_040_841),
            (0.001, -3.090_232_306_167_813),
        ] {
            assert_abs_diff_eq!(normal_quantile(share), quantile, epsilon = 1e-8);
        }
    }
}
