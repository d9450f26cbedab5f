//! Leg share of stature by age: (stature − sitting height) / stature, mean of each year of age.
//! Computed from the individual records of the survey; the row of age n holds children of n completed years.
//! What is computed from them is in `growth`.
//!
//! # References
//! Snyder, Schneider, Owings, Reynolds, Golomb, Schork 1977, Anthropometry of Infants, Children and
//! Youths to Age 18 for Product Safety Design, UM-HSRI-77-17.

/// Completed years of the first row.
pub(super) const FIRST_YEAR: f64 = 2.0;
/// Rows: 2 to 18 completed years.
pub(super) const ROWS: usize = 17;

/// Boys.
pub(super) static BOYS: [f64; ROWS] = [
    0.4074, 0.4228, 0.4344, 0.4436, 0.4523, 0.4585, 0.4683, 0.4734, 0.478, 0.4813, 0.4883, 0.4891,
    0.4892, 0.485, 0.4819, 0.4791, 0.4811,
];

/// Girls.
pub(super) static GIRLS: [f64; ROWS] = [
    0.4145, 0.431, 0.4401, 0.4437, 0.4522, 0.4593, 0.4687, 0.4734, 0.4788, 0.4826, 0.4813, 0.4805,
    0.4778, 0.4735, 0.4728, 0.471, 0.4719,
];
