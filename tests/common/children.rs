//! Simulated children that the tool's own body lines did not make, measured with a tape that errs, and growing.
//! Drawn from published tables: CDC 2000 for stature and weight, Snyder et al. 1977 for everything else. Seeded.
//!
//! Nothing of `inseam::rider::{segments, draws, growth}` is called: charts and lines are read from `data/`, or
//! stand below with their source.

use std::sync::{Arc, LazyLock};

use inseam::Rider;
use inseam::rider::{Body, Measured, MeasuredBy, RiderFile, Sex, Stage};
use inseam::units::{Age, Mass};
use nalgebra::{SMatrix, SVector};

const CHARTS: &str = include_str!("../data/cdc2000_stature_weight_lms.csv");
const LEG_SHARES: &str = include_str!("../data/snyder1977_leg_share.csv");

/// Normal deviates from a small well-known generator (`SplitMix64`, Steele et al. 2014) by Box and Muller.
#[derive(Debug, Clone)]
pub(crate) struct PlainRandom(pub(crate) u64);

impl PlainRandom {
    pub(crate) fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub(crate) fn normal(&mut self) -> f64 {
        let (a, b) = (1.0 - self.share(), self.share());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }

    /// One of a list, each as likely.
    pub(crate) fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        let at = self.share() * choices.len() as f64;
        let passed = (1..choices.len()).filter(|next| *next as f64 <= at).count();
        choices[passed]
    }

    pub(crate) fn coin(&mut self) -> bool {
        self.share() < 0.5
    }
}

/// By sex: age in months, L, M, S.
#[derive(Debug)]
struct Chart([Vec<[f64; 4]>; 2]);

impl Chart {
    fn read(measure: &str) -> Self {
        let of = |sex: Sex| {
            lines(CHARTS)
                .map(|line| line.split(',').collect::<Vec<_>>())
                .filter(|cells| cells[0] == measure && cells[1] == sex.word())
                .map(|cells| [2, 3, 4, 5].map(|column| cells[column].parse().expect("a number")))
                .collect()
        };
        Self([of(Sex::Girl), of(Sex::Boy)])
    }

    /// The chart's value at a standard deviation: M·(1 + L·S·z)^(1/L), Cole & Green 1992.
    fn value(&self, sex: Sex, age_months: f64, z: f64) -> f64 {
        let [_, l, m, s] = interpolate(&self.0[sex as usize], age_months);
        m * (1.0 + l * s * z).powf(1.0 / l)
    }
}

static STATURE: LazyLock<Chart> = LazyLock::new(|| Chart::read("stature"));
static WEIGHT: LazyLock<Chart> = LazyLock::new(|| Chart::read("weight"));

/// By sex: completed years, sitting height over stature.
static SHARES: LazyLock<[Vec<[f64; 2]>; 2]> = LazyLock::new(|| {
    [Sex::Girl, Sex::Boy].map(|sex| {
        lines(LEG_SHARES)
            .map(|line| line.split(',').collect::<Vec<_>>())
            .filter(|cells| cells[0] == sex.word())
            .map(|cells| [1, 3].map(|column| cells[column].parse().expect("a number")))
            .collect()
    })
});

fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter(|line| !line.starts_with('#')).skip(1)
}

/// Straight between rows, held beyond them.
fn interpolate<const N: usize>(rows: &[[f64; N]], at: f64) -> [f64; N] {
    let next = rows
        .partition_point(|row| row[0] < at)
        .clamp(1, rows.len() - 1);
    let (low, high) = (rows[next - 1], rows[next]);
    let share = ((at - low[0]) / (high[0] - low[0])).clamp(0.0, 1.0);
    std::array::from_fn(|column| low[column] + share * (high[column] - low[column]))
}

/// Stature, mm.
pub(crate) fn stature_mm(sex: Sex, age_months: f64, z: f64) -> f64 {
    10.0 * STATURE.value(sex, age_months, z)
}

/// Leg share of stature, mean at an age: children of n completed years are n + 1/2 on average.
pub(crate) fn leg_share(sex: Sex, age_months: f64) -> f64 {
    1.0 - interpolate(&SHARES[sex as usize], age_months / 12.0 - 0.5)[1]
}

/// One-sigma error of a forecast that holds z, mm: 136 children of the Berkeley growth study, by completed years of
/// age, at 12 and 24 months; straight before, between and beyond.
fn drift_mm(sex: Sex, age_months: f64, months: f64) -> f64 {
    let years = age_months / 12.0;
    let [boys, girls] = if years < 4.0 {
        [[16.0, 18.0], [17.0, 20.0]]
    } else if years < 7.0 {
        [[9.5, 14.0], [11.5, 19.0]]
    } else if years < 10.0 {
        [[6.5, 11.0], [10.0, 19.0]]
    } else if years < 12.0 {
        [[12.0, 28.0], [13.0, 23.0]]
    } else {
        [[20.0, 35.0], [17.5, 29.0]]
    };
    let [at_12, at_24] = if sex == Sex::Boy { boys } else { girls };
    if months <= 12.0 {
        at_12 * months / 12.0
    } else {
        at_12 + (at_24 - at_12) * (months - 12.0) / 12.0
    }
}

/// What a child is apart from the mean of its age, in standard deviations.
const TRAITS: usize = 9;
const INSEAM: usize = 0;
const HIP: usize = 1;
const KNEE: usize = 2;
const ANKLE: usize = 3;
const SHOULDER: usize = 4;
const FOOT: usize = 5;
const HAND: usize = 6;
const BREADTH: usize = 7;
const ARM: usize = 8;

/// Lower Cholesky factor of the correlations between what is left after the lines: Snyder et al. 1977, individual
/// records. Hip-knee .38, hand-foot .50, hand-arm .43, inseam-hip -.42; inseam-knee -.34 is what the published
/// spread about the line on stature (14.31 mm) asks for; the rest, under .35, is left out.
static CHOLESKY: LazyLock<SMatrix<f64, TRAITS, TRAITS>> = LazyLock::new(|| {
    let mut correlation = SMatrix::<f64, TRAITS, TRAITS>::identity();
    for (one, other, value) in [
        (HIP, KNEE, 0.38),
        (HAND, FOOT, 0.50),
        (HAND, ARM, 0.43),
        (INSEAM, HIP, -0.42),
        (INSEAM, KNEE, -0.34),
    ] {
        correlation[(one, other)] = value;
        correlation[(other, one)] = value;
    }
    correlation
        .cholesky()
        .expect("correlations that can be")
        .l()
});

/// One child, at every age.
#[derive(Debug, Clone)]
pub(crate) struct Child {
    pub(crate) sex: Sex,
    pub(crate) age_months: f64,
    z: f64,
    weight_z: f64,
    traits: SVector<f64, TRAITS>,
    /// Where it sits against where the mean child sits, in standard deviations.
    seat: f64,
    /// How it will grow against its channel, and its legs against the table's, in standard deviations.
    drift: f64,
    leg_drift: f64,
}

/// A child's true measures, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct True {
    pub(crate) height: f64,
    pub(crate) inseam: f64,
    pub(crate) arm_reach: f64,
    pub(crate) hip: f64,
    pub(crate) knee: f64,
    pub(crate) ankle: f64,
    pub(crate) hip_above_saddle: f64,
    pub(crate) shoulder: f64,
    pub(crate) foot: f64,
    pub(crate) hand: f64,
    pub(crate) breadth: f64,
}

/// Which figures somebody took, and how well.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tape {
    /// Height, inseam and arm reach at home.
    Home,
    /// The same in a shop.
    Shop,
    /// The height alone, at home.
    HeightOnly,
}

impl Tape {
    pub(crate) const ALL: [Self; 3] = [Self::Home, Self::Shop, Self::HeightOnly];

    /// Height, inseam, arm: one-sigma errors of a reading, mm.
    const fn sd_mm(self) -> [f64; 3] {
        match self {
            Self::Home | Self::HeightOnly => [4.0, 8.0, 10.0],
            Self::Shop => [3.0, 5.0, 5.0],
        }
    }
}

/// Sole of the shoes, mm.
const SOLE_MM: f64 = 15.0;

impl Child {
    /// A child of an age between two, months.
    pub(crate) fn draw(random: &mut PlainRandom, from_months: f64, to_months: f64) -> Self {
        let sex = if random.coin() { Sex::Girl } else { Sex::Boy };
        let age_months = random.between(from_months, to_months);
        // Charts and lines hold for children inside three deviations.
        let z = random.normal().clamp(-3.0, 3.0);
        let plain = SVector::<f64, TRAITS>::from_fn(|_, _| random.normal());
        Self {
            sex,
            age_months,
            z,
            // Weight follows height with a correlation of about 0.7 (from memory).
            weight_z: 0.7 * z + 0.51_f64.sqrt() * random.normal(),
            traits: *CHOLESKY * plain,
            seat: random.normal(),
            drift: random.normal(),
            leg_drift: random.normal(),
        }
    }

    /// Of median height and proportions.
    pub(crate) fn median(sex: Sex, age_months: f64) -> Self {
        Self {
            sex,
            age_months,
            z: 0.0,
            weight_z: 0.0,
            traits: SVector::zeros(),
            seat: 0.0,
            drift: 0.0,
            leg_drift: 0.0,
        }
    }

    /// What the child measures some months from now.
    pub(crate) fn at(&self, months: f64) -> True {
        let age = self.age_months + months;
        let height = stature_mm(self.sex, age, self.z)
            + self.drift * drift_mm(self.sex, self.age_months, months);
        // 16 mm about the line up to 11 years, 21 above: a spread of the share of 0.0138.
        let share = leg_share(self.sex, age) + 0.0138 * self.traits[INSEAM];
        // Crotch over (stature - sitting height) is 1.01: ANSUR II, Gordon et al. 2014. Leg shares drift by 6 mm
        // of inseam in a year, with the root of time.
        let inseam = 1.01 * share * height + 6.0 * (months / 12.0).sqrt() * self.leg_drift;
        // What a body line on the inseam does not see of the mean child's own inseam.
        let off = inseam - 1.01 * leg_share(self.sex, age) * height;
        // Lines on stature, 850 to 1650 mm: Snyder et al. 1977. What is left about hip and knee is given there for
        // lines on the inseam (1.065 and 0.547 of it), so that its own share is added back.
        let line = |intercept: f64, slope: f64| intercept + slope * height;
        let hip = line(-156.78, 0.62178) + 1.065 * off + 18.0 * self.traits[HIP];
        let tibiale = line(-75.3, 0.3153) + 0.547 * off + 14.5 * self.traits[KNEE];
        // Tip of the middle finger to the middle of the fist: the finger and 6.5 mm (own figure).
        let arm = line(-37.53, 0.46892) - line(-0.1, 0.04729) - 6.5;
        True {
            height,
            inseam,
            arm_reach: arm + 20.0 * self.traits[ARM],
            hip,
            // The knee turns above the shin bone's upper edge, by about 0.013 of stature (own figure).
            knee: tibiale + 0.013 * height,
            ankle: (line(1.35, 0.03867) + 7.7 * self.traits[ANKLE]).max(18.0),
            // The sitting surface stands at stature - sitting height; 1.8 % of the inseam either way (own figure).
            hip_above_saddle: hip - inseam / 1.01 + 0.018 * inseam * self.seat,
            shoulder: line(-111.52, 0.88263) + 11.0 * self.traits[SHOULDER],
            foot: line(9.25, 0.14901) + 7.9 * self.traits[FOOT],
            hand: line(8.47, 0.10314) + 5.9 * self.traits[HAND],
            breadth: line(33.73, 0.19428) + 11.7 * self.traits[BREADTH],
        }
    }

    /// Weight, kg: the chart's and a tenth, as children of 2015-16 weigh (NHANES, from memory).
    pub(crate) fn weight_kg(&self) -> f64 {
        1.1 * WEIGHT.value(self.sex, self.age_months, self.weight_z.clamp(-2.5, 2.5))
    }

    /// The body as it is some months from now.
    pub(crate) fn body(&self, months: f64) -> Body {
        self.at(months).body()
    }

    fn file(&self, stage: Stage) -> RiderFile {
        RiderFile {
            stage: Some(stage),
            sex: Some(self.sex),
            age: Some(Age::from_months(self.age_months)),
            weight: Some(Mass::from_kg(self.weight_kg())),
            ..RiderFile::default()
        }
    }

    /// The rider that a tape makes of the child. None where the tool refuses the figures.
    pub(crate) fn taped(
        &self,
        tape: Tape,
        stage: Stage,
        random: &mut PlainRandom,
    ) -> Option<Arc<Rider>> {
        let (now, sd) = (self.at(0.0), tape.sd_mm());
        let read = |value: f64, error: f64| Some(Measured::from_mm(value + error));
        let mut file = self.file(stage);
        let [height, inseam, arm] = [0, 1, 2].map(|which| sd[which] * random.normal());
        file.height = read(now.height, height);
        if tape != Tape::HeightOnly {
            file.inseam = read(now.inseam, inseam);
            file.arm_reach = read(now.arm_reach, arm);
        }
        file.measured_by = Some(if tape == Tape::Shop {
            MeasuredBy::Shop
        } else {
            MeasuredBy::Parent
        });
        Rider::new(&file, super::options().on).ok().map(Arc::new)
    }

    /// The rider of the true height, inseam and arm reach.
    pub(crate) fn rider(&self, stage: Stage) -> Arc<Rider> {
        let now = self.at(0.0);
        let mut file = self.file(stage);
        file.height = Some(Measured::from_mm(now.height));
        file.inseam = Some(Measured::from_mm(now.inseam));
        file.arm_reach = Some(Measured::from_mm(now.arm_reach));
        Arc::new(
            Rider::new(&file, super::options().on).unwrap_or_else(|wrong| panic!("{wrong:#?}")),
        )
    }
}

impl True {
    /// The body with every joint where it is.
    pub(crate) fn body(&self) -> Body {
        let file = RiderFile {
            hip_height: Some(Measured::from_mm(self.hip)),
            knee_height: Some(Measured::from_mm(self.knee)),
            ankle_height: Some(Measured::from_mm(self.ankle)),
            hip_above_saddle: Some(Measured::from_mm(self.hip_above_saddle)),
            shoulder_height: Some(Measured::from_mm(self.shoulder)),
            foot_length: Some(Measured::from_mm(self.foot)),
            hand_length: Some(Measured::from_mm(self.hand)),
            shoulder_breadth: Some(Measured::from_mm(self.breadth)),
            ..RiderFile::default()
        };
        Body::new(
            self.height,
            self.inseam,
            self.arm_reach,
            SOLE_MM,
            &file.segments(),
            &inseam::rider::body::EXPECTED,
        )
    }
}

/// The stage at which most children of an age ride (common practice): first pedals at 3 to 4, starting and stopping
/// alone until about 9.
pub(crate) fn stage_by_age(age_months: f64) -> Stage {
    if age_months < 48.0 {
        Stage::Learning
    } else if age_months < 108.0 {
        Stage::Steady
    } else {
        Stage::Confident
    }
}
