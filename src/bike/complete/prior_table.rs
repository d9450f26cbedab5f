//! The prior's numbers: own estimate from the sample bikes in `frames/`.
//! Made by `prior`; the test there makes them again and prints this file where they differ.
//! One row a parameter, in the order of `Parameter`.

use super::parameter::Parameter;

/// What the mean is made of: a constant, the radius, what a trail bike adds, what a balance bike adds.
pub const TERMS: usize = 4;

/// Weights of the mean's terms.
#[expect(clippy::approx_constant, reason = "what a fit happens to give")]
#[rustfmt::skip]
pub(super) const MEAN: [[f64; TERMS]; Parameter::COUNT] = [
    [406.4488, 167.7413, -15.7063, 2.5125], // frame.stack
    [325.7897, 88.4782, -1.7019, -13.8432], // frame.reach
    [351.3649, 90.0557, -9.7423, -34.0366], // frame.chainstay
    [18.3591, 34.6393, -10.4857, 9.8645], // frame.bottom_bracket_drop
    [71.8963, 1.0641, 0.9009, -2.1598], // frame.seat_tube.angle
    [277.4280, 105.5871, -45.8266, -38.5975], // frame.seat_tube.length
    [0.2138, 2.6488, 3.5154, 1.7892], // frame.seat_tube.offset
    [69.9974, -0.3092, -2.4749, -0.8805], // frame.head_tube.angle
    [102.9158, 16.0995, -18.9130, -5.7482], // frame.head_tube.length
    [196.8574, 76.9100, -20.6377, -24.7018], // frame.top_tube.seat_joint
    [78.3047, 6.1764, -20.3308, -9.1377], // frame.top_tube.head_joint
    [34.1739, 2.1083, 1.3071, -0.3183], // frame.top_tube.diameter
    [37.3917, 8.3256, -0.8747, -3.2630], // fork.offset
    [7.5210, 3.5579, -0.4354, 0.4608], // cockpit.spacers
    [39.1380, 11.6565, -6.6396, -1.4283], // cockpit.stem.length
    [6.7899, -1.2359, -3.9549, 1.8699], // cockpit.stem.angle
    [38.7082, 1.7759, 0.5186, -1.9003], // cockpit.stem.clamp_height
    [40.5227, -13.0340, -12.3395, 11.5658], // cockpit.handlebar.rise
    [26.4131, 6.6742, -7.2119, -2.7739], // cockpit.handlebar.setback
    [45.3235, 3.0867, -1.9727, -3.1971], // saddle.stack
    [19.0599, 2.3778, -0.3366, -1.7573], // saddle.setback
    [133.5977, 50.7082, 1.3315, -29.6656], // frame.seat_tube.usable_depth
    [360.7595, 126.2078, -12.0642, -29.6707], // seat_post.length
    [70.8231, 15.0641, 3.3765, -0.3528], // seat_post.minimum_insertion
    [120.6132, 40.0339, -2.9853, 0.0000], // cranks.length
    [22.6740, -1.0324, -1.8715, 0.0000], // cranks.pedal_height
];

/// Lower triangle of the covariance, row by row.
#[rustfmt::skip]
pub(super) const COVARIANCE: [f64; Parameter::COUNT * (Parameter::COUNT + 1) / 2] = [
    333.2,
    140.0, 208.5,
    -31.57, 47.53, 135.4,
    33.28, -8.296, -3.772, 42.1,
    -2.912, 2.489, 4.16, -0.3048, 1.264,
    230.5, 246.1, 109.8, -5.481, 7.592, 733.8,
    29.13, -2.396, -47.59, -21.47, -7.205, -34.26, 102.2,
    -5.11, -1.004, 4.706, -0.5198, 0.03169, 3.189, -0.5802, 0.6332,
    18.18, -5.348, 28.37, 27.2, -0.2667, 20.94, -28.5, 0.6862, 56.34,
    -18.28, 136.4, 105.1, -59.79, 22.52, 533.2, -102.9, 9.039, -62.14, 1459.0,
    31.35, -9.873, 19.61, 32.0, -3.635, -22.91, -10.53, -0.324, 52.91, -194.6, 102.2,
    18.63, 4.872, -1.206, 6.455, -1.147, -5.761, 2.618, -0.7708, 8.624, -64.3, 16.98, 6.935,
    -4.427, 5.283, 9.861, -1.812, 0.07367, 8.637, -1.568, 0.494, 2.46, 2.981, 2.168, 0.1378, 1.945,
    -5.103, -1.984, 0.5731, -2.05, 0.05122, 5.152, 0.8551, 0.3687, -3.39, 24.98, -5.848, -1.89, -0.08457, 3.23,
    -20.28, -2.463, 17.65, -7.309, 0.5366, 38.66, -2.363, 2.167, -0.579, 92.17, -8.352, -6.034, 1.195, 2.736, 20.71,
    -1.698, -11.27, 6.613, 10.57, -0.8, -18.75, -5.141, 0.4252, 12.97, -48.26, 18.03, 3.195, 0.4545, -0.09429, -1.909, 8.628,
    -0.8192, 1.774, 6.575, 2.571, -0.1145, -2.266, -1.452, 0.4631, 2.205, -10.41, 2.204, 0.5954, 0.8212, 0.04528, -0.8651, 2.017, 2.665,
    54.38, 5.308, -4.785, 28.13, -1.527, -18.75, -9.545, -1.715, 24.88, -124.6, 40.69, 11.44, -1.912, -3.079, -13.91, 10.97, 2.828, 54.08,
    32.93, -6.183, 5.273, 23.71, -1.782, -28.96, -10.77, -1.501, 32.99, -156.3, 52.15, 13.45, 0.03077, -4.216, -13.14, 12.49, 1.782, 36.52, 52.7,
    6.374, 1.118, 3.469, 5.012, -0.4329, -8.184, -1.431, -0.06289, 5.119, -32.5, 9.697, 2.47, 0.05693, -0.6518, -2.279, 2.869, 1.236, 8.969, 7.957, 3.273,
    -4.744, 0.6377, 6.508, 0.08425, -0.08644, -1.11, -1.215, 0.3031, 1.904, -10.26, 2.629, 0.6809, 0.8276, 0.06104, -0.03579, 1.328, 0.8845, -0.04081, 1.755, 0.509, 1.312,
    90.66, 119.1, 55.14, 24.07, 8.304, 222.6, -75.0, -0.2418, 25.16, 233.1, -2.91, -1.621, 5.273, -1.906, -1.702, -5.216, 3.382, 6.765, -4.49, -0.9655, -0.9238, 244.4,
    91.72, 76.4, 48.41, -1.303, 7.965, 294.7, -50.53, 1.289, 14.86, 406.2, -24.04, -12.08, -0.9769, 8.535, 33.48, -9.389, -7.377, -9.475, -15.25, -6.165, -4.268, 99.48, 314.4,
    26.19, 15.99, -7.474, -0.4538, 0.876, 21.6, -1.031, -1.27, -5.093, 17.99, -6.336, 0.5009, -1.753, -0.1668, -3.66, -2.73, -1.582, 3.566, 0.425, -0.1716, -1.164, 8.793, 19.11, 8.636,
    1.048, 11.77, 17.54, 2.881, 2.057, 40.57, -19.5, 0.9452, 4.429, 79.03, -5.376, -3.412, 0.8922, 1.103, 7.147, -0.7003, 1.069, 0.4663, -4.063, 0.2163, -0.2915, 28.89, 33.67, -0.02187, 14.62,
    -13.55, -14.16, 5.3, 5.047, -0.2192, -19.93, -5.564, 0.5278, 7.477, -21.7, 8.949, 0.6839, 0.432, 0.1867, 0.5158, 4.053, 1.126, 3.57, 5.506, 1.245, 0.8802, -5.813, -6.42, -2.883, 0.327, 3.915,
];

#[cfg(test)]
mod tests {
    use std::fmt::Write as _;

    use super::*;
    use crate::bike::complete::prior::Prior;
    use crate::bike::library;

    /// Four figures: far finer than the samples are many.
    fn number(value: f64) -> String {
        let text = format!("{value:.3e}");
        let rounded: f64 = text.parse().unwrap();
        format!("{rounded:?}")
    }

    fn table(prior: &Prior) -> String {
        let mut text = String::new();
        for (row, parameter) in Parameter::ALL.into_iter().enumerate() {
            let terms: Vec<_> = prior.mean[row]
                .iter()
                .map(|term| format!("{term:.4}"))
                .collect();
            writeln!(text, "    [{}], // {}", terms.join(", "), parameter.path()).unwrap();
        }
        text += "];\n\n";
        for row in 0..Parameter::COUNT {
            let cells: Vec<_> = (0..=row)
                .map(|column| number(prior.covariance[(row, column)]))
                .collect();
            writeln!(text, "    {},", cells.join(", ")).unwrap();
        }
        text
    }

    #[test]
    fn the_table_is_what_the_sample_bikes_make() {
        let bikes: Vec<_> = library::samples().collect();
        assert_eq!(bikes.len(), library::SAMPLES.len());
        let made = Prior::of(bikes.iter().map(|bike| (&bike.spec, &bike.drawing)));
        let (is, wanted) = (table(Prior::built_in()), table(&made));
        assert!(is == wanted, "the table should be\n{wanted}");
    }
}
