//! Two small solvers that the geometry shares: a bracketed root and a refined least value.
//! Both work on smooth functions of one angle and always end; neither knows what the numbers mean.

/// Root of a function that falls from positive to negative over the bracket (Illinois method).
pub(crate) fn falling_root(rate: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    const MOST_ROUNDS: usize = 60;
    let (mut at_low, mut at_high) = (rate(low), rate(high));
    if at_low <= 0.0 {
        return low;
    }
    if at_high >= 0.0 {
        return high;
    }
    let mut kept = 0;
    for _ in 0..MOST_ROUNDS {
        let middle = (low * at_high - high * at_low) / (at_high - at_low);
        let at_middle = rate(middle);
        if at_middle == 0.0 || high - low < 1e-10 {
            return middle;
        }
        if at_middle > 0.0 {
            let step = middle - low;
            (low, at_low) = (middle, at_middle);
            if kept == 1 {
                at_high /= 2.0;
            }
            kept = 1;
            if step < 1e-11 {
                return middle;
            }
        } else {
            let step = high - middle;
            (high, at_high) = (middle, at_middle);
            if kept == -1 {
                at_low /= 2.0;
            }
            kept = -1;
            if step < 1e-11 {
                return middle;
            }
        }
    }
    f64::midpoint(low, high)
}

/// Least value of a smooth function near a sampled least, by parabolas through three points.
pub(crate) fn least_near(value: impl Fn(f64) -> f64, at: f64, least: f64, step: f64) -> f64 {
    const ROUNDS: usize = 5;
    let (mut centre, mut at_centre, mut width) = (at, least, step);
    for _ in 0..ROUNDS {
        let (left, right) = (value(centre - width), value(centre + width));
        let curve = left - 2.0 * at_centre + right;
        if !curve.is_finite() || curve <= 0.0 {
            // At the edge of what the leg reaches: halve towards it.
            width /= 2.0;
            continue;
        }
        let shift = (width * (left - right) / (2.0 * curve)).clamp(-width, width);
        let moved = value(centre + shift);
        if moved < at_centre {
            (centre, at_centre) = (centre + shift, moved);
        }
        width = (shift.abs() / 2.0).min(width / 2.0).max(1e-5);
    }
    at_centre
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn the_root_of_a_cosine_is_a_quarter_turn() {
        let root = falling_root(f64::cos, 1.0, 2.0);
        assert_abs_diff_eq!(root, std::f64::consts::FRAC_PI_2, epsilon = 1e-9);
        assert_abs_diff_eq!(falling_root(|x| -x, 1.0, 2.0), 1.0, epsilon = 1e-12);
    }

    #[test]
    fn the_least_of_a_sine_is_found_from_a_coarse_sample() {
        let least = least_near(f64::sin, 4.6, 4.6_f64.sin(), 0.2);
        assert_abs_diff_eq!(least, -1.0, epsilon = 1e-9);
    }
}
