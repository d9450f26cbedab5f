//! Growth: where a child of this age and height stands on the growth chart, and what follows for the months to come.
//! The charts' figures are in `growth::cdc2000` and `growth::leg_share`; how sure a forecast is stands here too.
//! What growing does to a bike's fit is `fit::forecast`.
//!
//! # References
//! Stature: CDC 2000 growth charts, Kuczmarski et al. 2002, and the LMS method of Cole & Green 1992,
//! Stat Med 11:1305. Leg share: Snyder et al. 1977, UM-HSRI-77-17. Spread of a forecast that holds z:
//! 93 children of the Berkeley growth study.

mod cdc2000;
#[expect(dead_code, reason = "the inseam forecast follows")]
mod leg_share;

use crate::rider::Sex;

/// Ages that the stature chart covers, months.
pub const CHART_MONTHS: std::ops::RangeInclusive<f64> = 24.0..=240.0;
const MM_PER_CM: f64 = 10.0;
/// Share of a step between rows by which sums may miss the first or last row.
const ROUNDING: f64 = 1e-9;

/// One age and sex of the stature chart: skewness L, median M and relative spread S.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lms {
    /// Skewness.
    pub l: f64,
    /// Median, mm.
    pub m_mm: f64,
    /// Spread as a share of the median.
    pub s: f64,
}

impl Lms {
    /// Below this L the power is the logarithm to the last digit.
    const LOGARITHM: f64 = 1e-12;

    /// The chart at an age in months, linear between its rows. None outside [`CHART_MONTHS`].
    pub fn at(sex: Sex, age_months: f64) -> Option<Self> {
        let rows = chart(sex);
        let (row, next, share) = between(rows, |row| row[0], age_months)?;
        let mix = |column: usize| row[column] + share * (next[column] - row[column]);
        Some(Self {
            l: mix(1),
            m_mm: mix(2) * MM_PER_CM,
            s: mix(3),
        })
    }

    /// Standard deviations above the median: z = ((H/M)^L − 1)/(L·S), and ln(H/M)/S where L is 0.
    pub fn z(&self, height_mm: f64) -> f64 {
        let ratio = (height_mm / self.m_mm).ln();
        if self.l.abs() < Self::LOGARITHM {
            ratio / self.s
        } else {
            (self.l * ratio).exp_m1() / (self.l * self.s)
        }
    }

    /// Height, mm, that stands at `z`. None where no height does (1 + L·S·z not above 0).
    pub fn height_mm(&self, z: f64) -> Option<f64> {
        if self.l.abs() < Self::LOGARITHM {
            return Some(self.m_mm * (self.s * z).exp());
        }
        let under = self.l * self.s * z;
        (under > -1.0).then(|| self.m_mm * (under.ln_1p() / self.l).exp())
    }
}

fn chart(sex: Sex) -> &'static [[f64; 4]; cdc2000::ROWS] {
    match sex {
        Sex::Girl => &cdc2000::GIRLS,
        Sex::Boy => &cdc2000::BOYS,
    }
}

/// The neighbouring rows around `at`, and how far between them it lies. None outside the rows.
fn between<T: Copy>(rows: &[T], key: impl Fn(&T) -> f64, at: f64) -> Option<(T, T, f64)> {
    let last = rows.len().checked_sub(1)?;
    let above = rows.partition_point(|row| key(row) < at).min(last).max(1);
    let (row, next) = (*rows.get(above - 1)?, *rows.get(above)?);
    let share = (at - key(&row)) / (key(&next) - key(&row));
    (-ROUNDING..=1.0 + ROUNDING)
        .contains(&share)
        .then_some((row, next, share))
}

/// Median height, mm, at an age in months; without a sex the mean of both medians.
/// None outside [`CHART_MONTHS`].
pub fn median_height_mm(sex: Option<Sex>, age_months: f64) -> Option<f64> {
    let median = |sex| Lms::at(sex, age_months).map(|lms| lms.m_mm);
    match sex {
        Some(sex) => median(sex),
        None => Some(f64::midpoint(median(Sex::Girl)?, median(Sex::Boy)?)),
    }
}

/// Age, months, at which the mean of both sexes' medians is this height.
/// None below the median of 24 months or above the median of 240 months.
pub fn median_age_months(height_mm: f64) -> Option<f64> {
    let medians: [[f64; 2]; cdc2000::ROWS] = std::array::from_fn(|row| {
        let (girl, boy) = (&cdc2000::GIRLS[row], &cdc2000::BOYS[row]);
        [f64::midpoint(girl[2], boy[2]) * MM_PER_CM, girl[0]]
    });
    let (row, next, share) = between(&medians, |row| row[0], height_mm)?;
    Some(row[1] + share * (next[1] - row[1]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn both_charts_have_the_same_ages_and_rise_without_a_gap() {
        assert_eq!(cdc2000::GIRLS.len(), cdc2000::BOYS.len());
        for (girl, boy) in cdc2000::GIRLS.iter().zip(&cdc2000::BOYS) {
            assert_abs_diff_eq!(girl[0], boy[0]);
        }
        for rows in [&cdc2000::GIRLS, &cdc2000::BOYS] {
            assert_abs_diff_eq!(rows[0][0], *CHART_MONTHS.start());
            assert_abs_diff_eq!(rows[cdc2000::ROWS - 1][0], *CHART_MONTHS.end());
            assert!(
                rows.windows(2)
                    .all(|pair| pair[1][0] - pair[0][0] <= 1.0 && pair[1][2] > pair[0][2])
            );
        }
    }

    #[test]
    fn the_age_of_a_median_height_is_the_age_it_came_from() {
        for month in 24..=240 {
            let height = median_height_mm(None, f64::from(month)).unwrap();
            assert_abs_diff_eq!(
                median_age_months(height).unwrap(),
                f64::from(month),
                epsilon = 1e-6
            );
        }
        assert_eq!(median_age_months(700.0), None);
        assert_eq!(median_age_months(1750.0), None);
        assert_eq!(median_age_months(f64::NAN), None);
    }

    #[test]
    fn a_skewness_of_zero_is_the_logarithm_and_meets_its_neighbours() {
        let at = |l| Lms {
            l,
            m_mm: 1200.0,
            s: 0.045,
        };
        for z in [-3.0, -0.5, 0.0, 2.5] {
            let height = at(0.0).height_mm(z).unwrap();
            assert_abs_diff_eq!(at(0.0).z(height), z, epsilon = 1e-12);
            for l in [-1e-11, 1e-13, 1e-9] {
                assert_abs_diff_eq!(at(l).height_mm(z).unwrap(), height, epsilon = 1e-5);
                assert_abs_diff_eq!(at(l).z(height), z, epsilon = 1e-7);
            }
        }
        assert_eq!(at(2.0).height_mm(-12.0), None);
    }
}
