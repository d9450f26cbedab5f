//! Growth: where a child of this age and height stands on the growth chart, and what follows for the months to come.
//! The charts' figures are in `growth::cdc2000` and `growth::leg_share`; how sure a forecast is stands here too.
//! What growing does to a bike's fit is `fit::forecast`.
//!
//! # References
//! Stature: CDC 2000 growth charts, Kuczmarski et al. 2002, and the LMS method of Cole & Green 1992,
//! Stat Med 11:1305. Leg share: Snyder et al. 1977, UM-HSRI-77-17. Spread of a forecast that holds z:
//! 136 children of the Berkeley growth study.

mod cdc2000;
mod leg_share;

use std::sync::LazyLock;

use crate::rider::measures::{Sex, estimate_height_mm, estimate_inseam_mm, late_growth_mm};
use crate::rider::segments::CROTCH_OVER_SITTING_LEG;
use crate::sources::{Cited, Source};
use crate::units::{Age, Units};

/// Where the charts, the leg shares and the error of a forecast come from.
pub const SOURCES: Cited = Cited::new(Source::Cdc2000, &[Source::Snyder1977, Source::Berkeley]);
/// How far ahead a forecast looks, months. Beyond five years nobody buys a child's bike.
pub const HORIZON_MONTHS: usize = 60;
/// Ages that the stature chart covers, months.
pub const CHART_MONTHS: std::ops::RangeInclusive<f64> = 24.0..=240.0;
const MM_PER_CM: f64 = 10.0;
/// Share of a step between rows by which sums may miss the first or last row.
const ROUNDING: f64 = 1e-9;

/// Whether growing is over: the charts end.
pub fn is_grown(age: Age) -> bool {
    age.months() >= *CHART_MONTHS.end()
}

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
    if sex.is_female() {
        &cdc2000::GIRLS
    } else {
        &cdc2000::BOYS
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
    static MEDIANS: LazyLock<[[f64; 2]; cdc2000::ROWS]> = LazyLock::new(|| {
        std::array::from_fn(|row| {
            let (girl, boy) = (&cdc2000::GIRLS[row], &cdc2000::BOYS[row]);
            [f64::midpoint(girl[2], boy[2]) * MM_PER_CM, girl[0]]
        })
    });
    let (row, next, share) = between(&*MEDIANS, |row| row[0], height_mm)?;
    Some(row[1] + share * (next[1] - row[1]))
}

/// Inseam from height, mm, at an age; without one, at the age at which half of all are as tall.
pub fn inseam_at(height_mm: f64, age: Option<Age>) -> f64 {
    let age = age.unwrap_or_else(|| age_of_height(height_mm));
    estimate_inseam_mm(height_mm) - late_growth_mm(age)
}

/// How much shorter than a child's the leg of somebody may be who is this tall, mm: one figure where the age is known,
/// otherwise from that of the youngest to that of the oldest who are as tall, either as likely as the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LateGrowth {
    /// Of the youngest.
    pub least_mm: f64,
    /// Of the oldest.
    pub most_mm: f64,
}

impl LateGrowth {
    /// From a height, mm, and what is known of age and sex. Whoever is called a woman or a man is grown.
    pub(super) fn at_height(height_mm: f64, age: Option<Age>, sex: Option<Sex>) -> Self {
        let ages = match (age_for_estimates(age, sex), sex) {
            (Some(age), _) => [age; 2],
            (None, Some(sex)) => ages_of(height_mm, &[sex]),
            (None, None) => ages_of(height_mm, &[Sex::Girl, Sex::Boy]),
        };
        let [least_mm, most_mm] = ages.map(late_growth_mm);
        Self { least_mm, most_mm }
    }

    /// The same of an inseam, mm. The leg itself is measured then, and sets the saddle: the rest of the body is that of
    /// the age at which half of all are as tall.
    pub(super) fn at_inseam(inseam_mm: f64, age: Option<Age>, sex: Option<Sex>) -> Self {
        let as_tall = || age_of_height(estimate_height_mm(inseam_mm));
        let late_mm = late_growth_mm(age_for_estimates(age, sex).unwrap_or_else(as_tall));
        Self {
            least_mm: late_mm,
            most_mm: late_mm,
        }
    }

    /// Expected, mm.
    pub fn middle_mm(self) -> f64 {
        f64::midpoint(self.least_mm, self.most_mm)
    }

    /// Standard deviation, mm: that of two ends of which either is as likely.
    pub fn sd_mm(self) -> f64 {
        (self.most_mm - self.least_mm) / 2.0
    }

    /// One of its ends, mm, by a deviate around 0.
    pub(super) fn drawn_mm(self, deviate: f64) -> f64 {
        if deviate < 0.0 {
            self.least_mm
        } else {
            self.most_mm
        }
    }
}

/// The age that the body's estimates count with: the one given; of a woman or a man without one, that of the grown.
pub(super) fn age_for_estimates(age: Option<Age>, sex: Option<Sex>) -> Option<Age> {
    let is_grown = matches!(sex, Some(Sex::Woman | Sex::Man));
    age.or_else(|| is_grown.then(|| Age::from_months(*CHART_MONTHS.end())))
}

/// The youngest and the oldest age at which a height, mm, is neither too tall nor too short for the charts.
fn ages_of(height_mm: f64, sexes: &[Sex]) -> [Age; 2] {
    // One in 160 of either sex lies beyond.
    const BEYOND_Z: f64 = 2.5;
    let rows = |is_in: &dyn Fn(Lms) -> bool| {
        let months = sexes.iter().flat_map(|sex| chart(*sex).iter());
        let [mut first, mut last] = [f64::INFINITY, f64::NEG_INFINITY];
        for [months, l, m, s] in months {
            let lms = Lms {
                l: *l,
                m_mm: m * MM_PER_CM,
                s: *s,
            };
            if is_in(lms) {
                (first, last) = (first.min(*months), last.max(*months));
            }
        }
        [first, last]
    };
    let (start, end) = CHART_MONTHS.into_inner();
    let [youngest, _] = rows(&|lms| lms.z(height_mm) <= BEYOND_Z);
    let [_, oldest] = rows(&|lms| lms.z(height_mm) >= -BEYOND_Z);
    [youngest.clamp(start, end), oldest.clamp(start, end)].map(Age::from_months)
}

/// The age at which half of all are this tall: the chart's first below its medians, its last above them.
fn age_of_height(height_mm: f64) -> Age {
    let (first, last) = CHART_MONTHS.into_inner();
    let is_small = median_height_mm(None, first).is_some_and(|least| height_mm < least);
    let beyond = if is_small { first } else { last };
    Age::from_months(median_age_months(height_mm).unwrap_or(beyond))
}

/// Leg share of stature, (stature − sitting height) / stature, at an age in months. Linear between
/// the middles of the survey's years of age, with its first slope below them, held above.
pub fn leg_share(sex: Sex, age_months: f64) -> f64 {
    let shares = if sex.is_female() {
        &leg_share::GIRLS
    } else {
        &leg_share::BOYS
    };
    // Children of n completed years are n + 1/2 on average: their mean stature is the chart's median at that age.
    let row = age_months / 12.0 - 0.5 - leg_share::FIRST_YEAR;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small positive whole number"
    )]
    let below = (row.floor().max(0.0) as usize).min(leg_share::ROWS - 2);
    #[expect(clippy::cast_precision_loss, reason = "small whole number")]
    let past = (row - below as f64).min(1.0);
    shares[below] + past * (shares[below + 1] - shares[below])
}

/// Standard deviation, mm, of a forecast that holds z: `months` ahead from an age in months.
///
/// # References
/// Berkeley growth study, 136 children: figures at 12 and 24 months by completed years of age, 2 to 13.
/// Older starts keep the figures of 12 to 13 years.
/// Between today (none) and those points it is linear. Beyond 24 months it follows the steeper of
/// the last slope and the square root of time (no figures; chosen here to err on the wide side).
pub fn forecast_spread_mm(sex: Sex, age_months: f64, months: f64) -> f64 {
    /// First age beyond the band in months, then boys and girls at 12 and at 24 months, cm.
    const BANDS: [(f64, [f64; 2], [f64; 2]); 5] = [
        (48.0, [1.6, 1.8], [1.7, 2.0]),
        (84.0, [0.95, 1.4], [1.15, 1.9]),
        (120.0, [0.65, 1.1], [1.0, 1.9]),
        (144.0, [1.2, 2.8], [1.3, 2.3]),
        (f64::INFINITY, [2.0, 3.5], [1.75, 2.9]),
    ];
    let row = BANDS.iter().find(|(end, ..)| age_months < *end);
    let Some((_, boys, girls)) = row else {
        return f64::INFINITY;
    };
    let [at_12, at_24] = if sex.is_female() { girls } else { boys };
    let slope = (at_24 - at_12) / 12.0;
    let cm = if months <= 12.0 {
        at_12 * months.max(0.0) / 12.0
    } else if months <= 24.0 {
        at_12 + slope * (months - 12.0)
    } else {
        (at_24 + slope * (months - 24.0)).max(at_24 * (months / 24.0).sqrt())
    };
    cm * MM_PER_CM
}

/// Standard deviation, mm of inseam, of a child's own leg share against the survey's, `months` ahead:
/// 6 mm in a year, growing with the square root of time.
///
/// # References
/// This tool's own figure from the spread of leg shares in Snyder et al. 1977.
pub fn leg_share_spread_mm(months: f64) -> f64 {
    const IN_A_YEAR_MM: f64 = 6.0;
    IN_A_YEAR_MM * (months.max(0.0) / 12.0).sqrt()
}

/// How a child grows against the forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pace {
    /// One in ten grows slower.
    Slow,
    /// One standard deviation below.
    Low,
    /// As the chart has it.
    Central,
    /// One standard deviation above.
    High,
    /// One in ten grows faster.
    Fast,
}

impl Pace {
    /// Every pace, slowest first.
    pub const ALL: [Self; 5] = [Self::Slow, Self::Low, Self::Central, Self::High, Self::Fast];

    /// Standard deviations from the forecast; a tenth of a normal distribution lies beyond 1.2816.
    pub const fn deviations(self) -> f64 {
        match self {
            Self::Slow => -1.2816,
            Self::Low => -1.0,
            Self::Central => 0.0,
            Self::High => 1.0,
            Self::Fast => 1.2816,
        }
    }
}

/// The three main measurements at some month, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grown {
    /// Floor to crown.
    pub height_mm: f64,
    /// Floor to crotch.
    pub inseam_mm: f64,
    /// Shoulder tip to the middle of the fist.
    pub arm_reach_mm: f64,
}

/// Where a forecast starts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Age; without one there is no forecast.
    pub age: Option<Age>,
    /// For the charts; without one both are used.
    pub sex: Option<Sex>,
    /// The measurements on that day.
    pub now: Grown,
    /// Whether the height is itself a guess.
    pub height_is_estimated: bool,
    /// What the child's own last year adds to the chart's next one.
    pub own_step: Option<OwnStep>,
}

impl Start {
    /// Whose charts are used.
    fn sexes(&self) -> &[Sex] {
        const BOTH: [Sex; 2] = [Sex::Girl, Sex::Boy];
        self.sex.as_ref().map_or(&BOTH, std::slice::from_ref)
    }

    /// That age or height must be wrong; None where they go together, and where no chart tells.
    pub fn off_the_chart(&self) -> Option<NoForecast> {
        let (age, height_mm) = (self.age?, self.now.height_mm);
        let z = |months: f64| {
            let of = move |sex: &Sex| Some(Lms::at(*sex, months)?.z(height_mm));
            self.sexes().iter().filter_map(of)
        };
        let is_off = |z: &f64| z.is_nan() || z.abs() > IMPLAUSIBLE_Z;
        let off = if is_grown(age) {
            // A year taken for a month, or a child's height for an adult's: nobody's of either sex.
            z(*CHART_MONTHS.end() - 1.0)
                .min_by(|a, b| a.abs().total_cmp(&b.abs()))
                .filter(is_off)
        } else {
            z(age.months()).find(is_off)
        };
        off.map(|z| NoForecast::OffTheChart { height_mm, age, z })
    }
}

/// What a child's own last year adds to the chart's step in the next one, mm.
///
/// # References
/// Berkeley growth study, 136 children: under 10 years the last year says nothing more (best weight −0.1 to
/// 0.2), from 10 to 12 half of its deviation from the chart comes again (0.5 to 0.65).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnStep {
    /// Over the chart's step in the months that are left of that year, mm; negative below it.
    pub more_mm: f64,
    /// How many months are left, above 0 and at most twelve.
    pub within_months: f64,
}

impl OwnStep {
    /// From a start some months ago and today's height, mm. None at ages where it tells nothing.
    pub fn of(start: &Start, height_mm: f64, months: f64) -> Option<Self> {
        const COMES_AGAIN: f64 = 0.5;
        const TELLS_MONTHS: std::ops::Range<f64> = 120.0..156.0;
        let age = start.age?.months() + months;
        if !TELLS_MONTHS.contains(&age) {
            return None;
        }
        let expected = Forecast::new(start).ok()?.at(Pace::Central, months);
        let a_year = (height_mm - expected.height_mm) * 12.0 / months;
        Some(Self {
            more_mm: COMES_AGAIN * a_year,
            within_months: 12.0,
        })
    }

    /// What is left of it some months on; None when the year is over.
    pub(super) fn after(self, months: f64) -> Option<Self> {
        let within_months = self.within_months - months;
        (within_months > 0.0).then(|| Self {
            more_mm: self.more_mm * within_months / self.within_months,
            within_months,
        })
    }

    /// How much of it comes within some months, mm.
    fn within_mm(self, months: f64) -> f64 {
        self.more_mm * (months / self.within_months).min(1.0)
    }
}

/// Why there is no forecast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoForecast {
    /// No age given.
    AgeUnknown,
    /// Younger than the chart.
    TooYoung(Age),
    /// Older than the chart.
    FullyGrown(Age),
    /// So far off the chart that age or height must be wrong.
    OffTheChart {
        /// Height, mm.
        height_mm: f64,
        /// Age.
        age: Age,
        /// Standard deviations.
        z: f64,
    },
}

impl NoForecast {
    /// One plain sentence; None for whoever is grown, of whom nothing is missing and nothing odd.
    pub fn words(self, units: Units) -> Option<String> {
        Some(match self {
            Self::AgeUnknown => {
                "no growth forecast: needs the age, or the date of birth".to_owned()
            }
            Self::TooYoung(age) => {
                format!("no growth forecast: the charts start at 2 years, this child is {age}")
            }
            Self::FullyGrown(_) => return None,
            Self::OffTheChart { height_mm, age, z } => format!(
                "a height of {} at {age} is far {} anybody's of that age on the growth charts ({z:+.1} standard deviations): check both; there is no growth forecast till then",
                units.length(height_mm),
                if z < 0.0 { "below" } else { "above" }
            ),
        })
    }
}

/// What limits a forecast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Note {
    /// No sex given.
    BothCharts,
    /// The height itself is a guess.
    HeightEstimated,
    /// Far from the median.
    UnusualHeight {
        /// Standard deviations above it.
        z: f64,
        /// Age.
        age: Age,
    },
    /// Older than the children whose spread is known.
    SpreadOfYounger,
}

impl Note {
    /// One plain sentence.
    pub fn words(self) -> String {
        match self {
            Self::BothCharts => "girls' and boys' charts both used, and the wider spread: the sex would narrow the forecast".to_owned(),
            Self::HeightEstimated => "the height was estimated from the inseam: measure it for a forecast to trust".to_owned(),
            Self::UnusualHeight { z, age } => format!(
                "the height is {:.1} standard deviations {} the median at {age}: check both; the forecast keeps that distance",
                z.abs(),
                if z > 0.0 { "above" } else { "below" }
            ),
            Self::SpreadOfYounger => {
                "from 14 years on the spread is that of 12 to 13 years".to_owned()
            }
        }
    }
}

/// What a child's measurements will be, month by month.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// What limits it.
    pub notes: Vec<Note>,
    /// By month from now, then by [`Pace::ALL`].
    months: Vec<[Grown; Pace::ALL.len()]>,
}

/// Beyond this many standard deviations the forecast is given with a note.
const UNUSUAL_Z: f64 = 3.0;
/// Beyond this many the age or the height is taken to be wrong. Implausible-value limits of growth
/// surveys lie at 5 to 6 (from memory).
const IMPLAUSIBLE_Z: f64 = 5.0;
/// The spread of a forecast was measured on children under this age, months.
const SPREAD_KNOWN_TO_MONTHS: f64 = 14.0 * 12.0;

impl Forecast {
    /// Holds the child's z, its own inseam offset and the arm's share of height:
    /// H(t) from the chart, I(t) = I₀ + 1.01·(r(a+t)·H(t) − r(a)·H₀), A(t) = A₀·H(t)/H₀.
    /// Nobody shrinks: where the chart would have it so, the earlier figure stays.
    ///
    /// # Errors
    /// Why there is none: no age, outside the chart, or so far off it that a figure must be wrong.
    pub fn new(start: &Start) -> Result<Self, NoForecast> {
        let age = start.age.ok_or(NoForecast::AgeUnknown)?;
        let months = age.months();
        if months < *CHART_MONTHS.start() {
            return Err(NoForecast::TooYoung(age));
        }
        if let Some(off) = start.off_the_chart() {
            return Err(off);
        }
        if is_grown(age) {
            return Err(NoForecast::FullyGrown(age));
        }
        let now = start.now;
        let sexes = start.sexes();
        let mut children = Vec::with_capacity(sexes.len());
        for sex in sexes {
            let lms = Lms::at(*sex, months).ok_or(NoForecast::FullyGrown(age))?;
            let z = lms.z(now.height_mm);
            children.push(Child {
                sex: *sex,
                z,
                age_months: months,
                now,
                own_step: start.own_step,
            });
        }
        let mut rows = Vec::with_capacity(HORIZON_MONTHS + 1);
        let mut last = [now; Pace::ALL.len()];
        rows.push(last);
        for month in 1..=HORIZON_MONTHS {
            #[expect(clippy::cast_precision_loss, reason = "small whole number")]
            let ahead = month as f64;
            for (pace, grown) in Pace::ALL.into_iter().zip(&mut last) {
                *grown = blend(&children, pace, ahead).at_least(*grown);
            }
            rows.push(last);
        }
        Ok(Self {
            notes: notes(start, age, &children),
            months: rows,
        })
    }

    /// The measurements `months` from now, linear between whole months; held beyond [`HORIZON_MONTHS`].
    pub fn at(&self, pace: Pace, months: f64) -> Grown {
        #[expect(clippy::cast_precision_loss, reason = "small whole number")]
        let months = months.clamp(0.0, HORIZON_MONTHS as f64);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to the horizon"
        )]
        let month = (months.floor() as usize).min(HORIZON_MONTHS - 1);
        #[expect(clippy::cast_precision_loss, reason = "small whole number")]
        let share = months - month as f64;
        let (from, to) = (
            self.months[month][pace as usize],
            self.months[month + 1][pace as usize],
        );
        let mix = |from: f64, to: f64| from + share * (to - from);
        Grown {
            height_mm: mix(from.height_mm, to.height_mm),
            inseam_mm: mix(from.inseam_mm, to.inseam_mm),
            arm_reach_mm: mix(from.arm_reach_mm, to.arm_reach_mm),
        }
    }
}

impl Grown {
    /// Each measurement no smaller than in `earlier`.
    fn at_least(self, earlier: Self) -> Self {
        Self {
            height_mm: self.height_mm.max(earlier.height_mm),
            inseam_mm: self.inseam_mm.max(earlier.inseam_mm),
            arm_reach_mm: self.arm_reach_mm.max(earlier.arm_reach_mm),
        }
    }
}

/// A child taken to be of one sex.
struct Child {
    sex: Sex,
    z: f64,
    age_months: f64,
    now: Grown,
    own_step: Option<OwnStep>,
}

impl Child {
    fn grown(&self, pace: Pace, months: f64) -> Grown {
        // The charts end at 20 years; whoever gets there has done growing.
        let age = (self.age_months + months).min(*CHART_MONTHS.end());
        let central = Lms::at(self.sex, age)
            .and_then(|lms| lms.height_mm(self.z))
            .unwrap_or(self.now.height_mm)
            + self.own_step.map_or(0.0, |step| step.within_mm(months));
        let spread = forecast_spread_mm(self.sex, self.age_months, months);
        let height_mm = central + pace.deviations() * spread;
        let share = CROTCH_OVER_SITTING_LEG * leg_share(self.sex, age);
        let share_now = CROTCH_OVER_SITTING_LEG * leg_share(self.sex, self.age_months);
        let inseam_mm = self.now.inseam_mm + share * central - share_now * self.now.height_mm;
        // How tall it gets and how much of that is leg are told apart.
        let off = (share * spread).hypot(leg_share_spread_mm(months));
        Grown {
            height_mm,
            inseam_mm: inseam_mm + pace.deviations() * off,
            arm_reach_mm: self.now.arm_reach_mm * height_mm / self.now.height_mm,
        }
    }
}

/// One sex as it is; of both the mean at the central pace, and the outer one to either side.
fn blend(children: &[Child], pace: Pace, months: f64) -> Grown {
    let all = || children.iter().map(|child| child.grown(pace, months));
    #[expect(clippy::cast_precision_loss, reason = "one or two")]
    let count = children.len() as f64;
    let pick = |value: fn(Grown) -> f64| match pace {
        Pace::Slow | Pace::Low => all().map(value).fold(f64::INFINITY, f64::min),
        Pace::Central => all().map(value).sum::<f64>() / count,
        Pace::High | Pace::Fast => all().map(value).fold(f64::NEG_INFINITY, f64::max),
    };
    Grown {
        height_mm: pick(|grown| grown.height_mm),
        inseam_mm: pick(|grown| grown.inseam_mm),
        arm_reach_mm: pick(|grown| grown.arm_reach_mm),
    }
}

fn notes(start: &Start, age: Age, children: &[Child]) -> Vec<Note> {
    let farthest = children
        .iter()
        .map(|child| child.z)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()));
    let unusual = farthest.filter(|z| z.abs() > UNUSUAL_Z);
    [
        start.sex.is_none().then_some(Note::BothCharts),
        start.height_is_estimated.then_some(Note::HeightEstimated),
        unusual.map(|z| Note::UnusualHeight { z, age }),
        (age.months() >= SPREAD_KNOWN_TO_MONTHS).then_some(Note::SpreadOfYounger),
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn a_woman_grows_by_the_girls_chart_and_a_man_by_the_boys() {
        for (child, grown) in [(Sex::Girl, Sex::Woman), (Sex::Boy, Sex::Man)] {
            assert_eq!(Lms::at(child, 200.0), Lms::at(grown, 200.0));
            assert_abs_diff_eq!(leg_share(child, 200.0), leg_share(grown, 200.0));
            let spread = |sex| forecast_spread_mm(sex, 160.0, 12.0);
            assert_abs_diff_eq!(spread(child), spread(grown));
        }
        assert_ne!(Lms::at(Sex::Woman, 200.0), Lms::at(Sex::Man, 200.0));
    }

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
    fn the_spread_is_the_published_one_at_12_and_24_months_and_never_narrows() {
        // Berkeley growth study, the figures by age band, mm.
        for (years, sex, at_12, at_24) in [
            (3.5, Sex::Boy, 16.0, 18.0),
            (4.0, Sex::Girl, 11.5, 19.0),
            (8.0, Sex::Boy, 6.5, 11.0),
            (11.9, Sex::Girl, 13.0, 23.0),
            (13.0, Sex::Boy, 20.0, 35.0),
        ] {
            let age = years * 12.0;
            assert_abs_diff_eq!(forecast_spread_mm(sex, age, 0.0), 0.0);
            assert_abs_diff_eq!(forecast_spread_mm(sex, age, 12.0), at_12, epsilon = 1e-9);
            assert_abs_diff_eq!(forecast_spread_mm(sex, age, 24.0), at_24, epsilon = 1e-9);
            let spreads: Vec<_> = (0..=HORIZON_MONTHS)
                .map(|month| forecast_spread_mm(sex, age, f64::from(u8::try_from(month).unwrap())))
                .collect();
            assert!(spreads.windows(2).all(|pair| pair[1] > pair[0]));
        }
    }

    #[test]
    fn the_leg_share_meets_the_survey_in_the_middle_of_a_year() {
        // Snyder et al. 1977: 6-year-olds .452, 12-year-old boys .488, girls .481.
        assert_abs_diff_eq!(leg_share(Sex::Girl, 78.0), 0.452, epsilon = 5e-4);
        assert_abs_diff_eq!(leg_share(Sex::Boy, 150.0), 0.488, epsilon = 5e-4);
        assert_abs_diff_eq!(leg_share(Sex::Girl, 150.0), 0.481, epsilon = 5e-4);
        assert!(leg_share(Sex::Boy, 24.0) < leg_share(Sex::Boy, 30.0));
        assert_abs_diff_eq!(leg_share(Sex::Boy, 240.0), leg_share(Sex::Boy, 222.0));
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
