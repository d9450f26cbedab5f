//! The small solver that the geometry shares: the least value of a smooth function, refined from samples.
//! It always ends and allocates nothing; what the function means is the caller's.

/// Least value of a smooth function near a sampled least: `around` holds the samples one `step`
/// before, at, and one `step` after `at`. Parabolas through three points, each narrower.
pub(crate) fn least_near(value: impl Fn(f64) -> f64, at: f64, around: [f64; 3], step: f64) -> f64 {
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
    fn the_least_of_a_sine_is_found_from_a_coarse_sample() {
        let around = [4.4_f64.sin(), 4.6_f64.sin(), 4.8_f64.sin()];
        let least = least_near(f64::sin, 4.6, around, 0.2);
        assert_abs_diff_eq!(least, -1.0, epsilon = 1e-9);
    }
}
