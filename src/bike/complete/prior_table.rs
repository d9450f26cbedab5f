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
    131.2, 208.5,
    -29.6, 44.56, 135.4,
    31.2, -7.777, -3.536, 42.1,
    -2.73, 2.333, 3.9, -0.2858, 1.264,
    216.1, 230.7, 103.0, -5.139, 7.117, 733.8,
    27.31, -2.246, -44.62, -20.13, -6.755, -32.12, 102.2,
    -4.79, -0.941, 4.412, -0.4873, 0.02971, 2.989, -0.5439, 0.6332,
    17.04, -5.014, 26.6, 25.5, -0.25, 19.63, -26.72, 0.6433, 56.34,
    -17.14, 127.9, 98.56, -56.05, 21.11, 499.9, -96.46, 8.474, -58.26, 1459.0,
    29.39, -9.256, 18.38, 30.0, -3.408, -21.48, -9.872, -0.3037, 49.6, -182.4, 102.2,
    17.46, 4.567, -1.131, 6.052, -1.075, -5.401, 2.454, -0.7226, 8.085, -60.28, 15.92, 6.935,
    -4.151, 4.953, 9.245, -1.698, 0.06906, 8.097, -1.47, 0.4632, 2.306, 2.795, 2.032, 0.1292, 1.945,
    -4.784, -1.86, 0.5373, -1.922, 0.04802, 4.83, 0.8016, 0.3456, -3.178, 23.42, -5.482, -1.772, -0.07928, 3.23,
    -19.02, -2.309, 16.54, -6.852, 0.5031, 36.24, -2.215, 2.031, -0.5429, 86.4, -7.83, -5.656, 1.12, 2.565, 20.71,
    -1.592, -10.56, 6.2, 9.907, -0.75, -17.57, -4.82, 0.3986, 12.16, -45.24, 16.9, 2.995, 0.4261, -0.0884, -1.79, 8.628,
    -0.768, 1.663, 6.164, 2.41, -0.1074, -2.125, -1.361, 0.4341, 2.067, -9.762, 2.066, 0.5582, 0.7699, 0.04245, -0.8111, 1.891, 2.665,
    50.98, 4.977, -4.486, 26.37, -1.432, -17.58, -8.948, -1.608, 23.32, -116.8, 38.14, 10.73, -1.792, -2.886, -13.04, 10.29, 2.651, 54.08,
    30.87, -5.796, 4.944, 22.23, -1.671, -27.15, -10.1, -1.407, 30.93, -146.5, 48.89, 12.61, 0.02885, -3.953, -12.32, 11.71, 1.671, 34.24, 52.7,
    5.976, 1.048, 3.252, 4.699, -0.4059, -7.673, -1.341, -0.05895, 4.799, -30.47, 9.091, 2.315, 0.05337, -0.611, -2.137, 2.69, 1.159, 8.408, 7.46, 3.273,
    -4.448, 0.5979, 6.101, 0.07898, -0.08104, -1.041, -1.139, 0.2842, 1.785, -9.62, 2.465, 0.6383, 0.7759, 0.05723, -0.03355, 1.245, 0.8293, -0.03826, 1.645, 0.4772, 1.312,
    85.0, 111.6, 51.7, 22.57, 7.785, 208.7, -70.31, -0.2267, 23.59, 218.5, -2.728, -1.52, 4.943, -1.787, -1.596, -4.89, 3.17, 6.343, -4.209, -0.9051, -0.8661, 244.4,
    85.99, 71.62, 45.38, -1.222, 7.467, 276.3, -47.37, 1.209, 13.93, 380.8, -22.54, -11.33, -0.9159, 8.002, 31.39, -8.802, -6.916, -8.883, -14.29, -5.78, -4.002, 93.26, 314.4,
    24.55, 15.0, -7.007, -0.4254, 0.8212, 20.25, -0.9661, -1.191, -4.775, 16.86, -5.94, 0.4696, -1.644, -0.1563, -3.431, -2.559, -1.483, 3.344, 0.3984, -0.1609, -1.092, 8.243, 17.91, 8.636,
    0.9822, 11.03, 16.44, 2.701, 1.928, 38.04, -18.28, 0.8861, 4.152, 74.09, -5.04, -3.198, 0.8364, 1.034, 6.701, -0.6565, 1.002, 0.4372, -3.809, 0.2028, -0.2733, 27.08, 31.56, -0.0205, 14.62,
    -12.7, -13.28, 4.969, 4.732, -0.2055, -18.68, -5.217, 0.4948, 7.009, -20.34, 8.39, 0.6412, 0.405, 0.175, 0.4835, 3.799, 1.056, 3.347, 5.162, 1.167, 0.8252, -5.45, -6.018, -2.702, 0.3065, 3.915,
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
