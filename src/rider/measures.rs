//! What was measured on the rider: the rider file, and the rider that it and the date make.
//! Values keep their spread when the file gives one (`56 cm ± 5 mm`).
//! What the body looks like between the measurements is `body`.

use std::borrow::Cow;
use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

use jiff::civil::Date;
use serde::{Deserializer, Serialize, Serializer};

use crate::units::{Age, Length, Mass, Quantity as _, clip};
use crate::words;
use crate::yaml::{
    Contradiction, Run, Scalar, Shape, Value, choice, quantity_in_range, read_scalar, section,
};

/// Inseam, height and arm reach that can belong to a rider, mm. The estimates hold for heights of 800 to 1750.
pub const INSEAM_MM: RangeInclusive<f64> = 250.0..=1000.0;
/// See [`INSEAM_MM`].
pub const HEIGHT_MM: RangeInclusive<f64> = 700.0..=2000.0;
/// See [`INSEAM_MM`].
pub const ARM_REACH_MM: RangeInclusive<f64> = 200.0..=850.0;
/// Heights for which the body estimates were fitted, mm.
pub const ESTIMATES_HOLD_MM: RangeInclusive<f64> = 800.0..=1750.0;
/// Weight of a rider, kg.
pub const WEIGHT_KG: RangeInclusive<f64> = 6.0..=150.0;
/// Age of a rider, months.
pub const AGE_MONTHS: RangeInclusive<f64> = 12.0..=1200.0;
/// Thickness of a shoe's sole, mm.
pub const SOLE_MM: RangeInclusive<f64> = 0.0..=50.0;

choice! {
    /// How far the rider has come.
    pub enum Stage {
        /// First rides: both feet flat on the ground.
        Learning = "learning",
        /// Starts and stops alone: balls of both feet on the ground.
        Steady = "steady",
        /// Rides with the leg extended; no longer needs the ground from the saddle.
        Confident = "confident",
    }
}

choice! {
    /// For the growth charts.
    pub enum Sex {
        /// Girls' chart.
        Girl = "girl",
        /// Boys' chart.
        Boy = "boy",
    }
}

choice! {
    /// Who held the tape; decides how much the figures are trusted.
    pub enum MeasuredBy {
        /// At home.
        Parent = "parent",
        /// In the shop, against a wall, with a board.
        Shop = "shop",
    }
}

/// A measured length and, where given, its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The value.
    pub value: Length,
    /// One standard deviation, when the file or flag gives one after `±`.
    pub spread: Option<Length>,
}

impl Measured {
    /// An exact figure in mm, with no spread of its own.
    pub const fn from_mm(mm: f64) -> Self {
        Self {
            value: Length::from_mm(mm),
            spread: None,
        }
    }

    /// The value, mm.
    pub const fn mm(self) -> f64 {
        self.value.mm()
    }

    /// From text such as `56 cm ± 5 mm` or `56 ± 0.5 cm`; `+/-` also works.
    pub fn from_text(text: &str, range: &RangeInclusive<f64>) -> Result<Self, String> {
        let Some((value, spread)) = text.split_once('±').or_else(|| text.split_once("+/-")) else {
            return Ok(Self {
                value: quantity_in_range(Scalar::Text(text), range)?,
                spread: None,
            });
        };
        // In `56 ± 0.5 cm` the unit behind the spread is meant for both.
        let unit = spread
            .trim()
            .trim_start_matches(|c: char| c.is_ascii_digit() || c == '.')
            .trim();
        let value = if value.trim().parse::<f64>().is_ok() {
            format!("{} {unit}", value.trim())
        } else {
            value.to_owned()
        };
        Ok(Self {
            value: quantity_in_range(Scalar::Text(&value), range)?,
            spread: Some(
                quantity_in_range(Scalar::Text(spread), &(0.0..=100.0))
                    .map_err(|why| format!("after ±: {why}"))?,
            ),
        })
    }
}

impl fmt::Display for Measured {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.spread {
            Some(spread) => write!(f, "{} mm ± {} mm", self.mm(), spread.mm()),
            None => write!(f, "{}", self.mm()),
        }
    }
}

impl Serialize for Measured {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.spread {
            Some(_) => serializer.collect_str(self),
            None => self.value.serialize(serializer),
        }
    }
}

impl Value for Measured {
    type Limits = RangeInclusive<f64>;
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        limits: &Self::Limits,
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        read_scalar(
            source,
            run,
            "a length, if wanted with ± its spread",
            |scalar| match scalar {
                Scalar::Text(text) => Self::from_text(text, limits),
                other => Ok(Self {
                    value: quantity_in_range(other, limits)?,
                    spread: None,
                }),
            },
        )
    }
    fn shape(limits: &Self::Limits) -> Shape {
        Shape::Quantity {
            unit: Length::UNIT,
            range: limits.clone(),
            spellings: Length::spellings(),
            with_spread: true,
        }
    }
}

section! {
    /// A rider file. Height or inseam is needed; everything else can be estimated or left out.
    #[derive(Default)]
    pub struct RiderFile {
        /// What to call the rider in reports.
        name: Option<String>, ();
        /// Floor to crotch, barefoot, a book pressed up as firmly as a saddle.
        inseam: Option<Measured>, INSEAM_MM;
        /// Barefoot, against a wall.
        height: Option<Measured>, HEIGHT_MM;
        /// Shoulder tip to the middle of a closed fist, arm straight.
        arm_reach: Option<Measured>, ARM_REACH_MM;
        /// Age, such as 7y4m; for growth.
        age: Option<Age>, AGE_MONTHS;
        /// Date of birth, instead of the age.
        born: Option<Date>, ();
        /// girl or boy; for growth.
        sex: Option<Sex>, ();
        /// Weight of the rider with clothes and helmet.
        weight: Option<Mass>, WEIGHT_KG;
        /// learning, steady or confident.
        stage: Option<Stage>, ();
        /// Who held the tape: parent or shop.
        measured_by: Option<MeasuredBy>, ();
        /// Thickness of the shoe's sole.
        sole: Option<Length>, SOLE_MM;
        /// Floor to hip joint (greater trochanter).
        hip_height: Option<Measured>, 250.0..=1100.0;
        /// Floor to knee joint.
        knee_height: Option<Measured>, 100.0..=700.0;
        /// Floor to ankle joint.
        ankle_height: Option<Measured>, 15.0..=150.0;
        /// Hip joint to knee joint.
        thigh: Option<Measured>, 100.0..=600.0;
        /// Knee joint to ankle joint.
        shank: Option<Measured>, 80.0..=600.0;
        /// Heel to longest toe.
        foot_length: Option<Measured>, 80.0..=350.0;
        /// Saddle top to hip joint, sitting.
        hip_above_saddle: Option<Measured>, 5.0..=200.0;
        /// Floor to shoulder tip (acromion).
        shoulder_height: Option<Measured>, 450.0..=1700.0;
        /// Hip joint to shoulder tip.
        torso: Option<Measured>, 150.0..=800.0;
        /// Shoulder tip to elbow.
        upper_arm: Option<Measured>, 80.0..=450.0;
        /// Elbow to the middle of a closed fist.
        forearm: Option<Measured>, 80.0..=450.0;
        /// Wrist crease to the tip of the middle finger.
        hand_length: Option<Measured>, 60.0..=250.0;
        /// Across the shoulder tips.
        shoulder_breadth: Option<Measured>, 120.0..=600.0;
    }
}

/// A body segment that can be measured instead of estimated. The names are the file's keys.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the rows of `RiderFile` explain each")]
pub enum Segment {
    HipHeight,
    KneeHeight,
    AnkleHeight,
    Thigh,
    Shank,
    FootLength,
    HipAboveSaddle,
    ShoulderHeight,
    Torso,
    UpperArm,
    Forearm,
    HandLength,
    ShoulderBreadth,
}

impl Segment {
    /// Every segment, in the order of the rider file.
    pub const ALL: [Self; 13] = [
        Self::HipHeight,
        Self::KneeHeight,
        Self::AnkleHeight,
        Self::Thigh,
        Self::Shank,
        Self::FootLength,
        Self::HipAboveSaddle,
        Self::ShoulderHeight,
        Self::Torso,
        Self::UpperArm,
        Self::Forearm,
        Self::HandLength,
        Self::ShoulderBreadth,
    ];

    /// Its key in the rider file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::HipHeight => "hip_height",
            Self::KneeHeight => "knee_height",
            Self::AnkleHeight => "ankle_height",
            Self::Thigh => "thigh",
            Self::Shank => "shank",
            Self::FootLength => "foot_length",
            Self::HipAboveSaddle => "hip_above_saddle",
            Self::ShoulderHeight => "shoulder_height",
            Self::Torso => "torso",
            Self::UpperArm => "upper_arm",
            Self::Forearm => "forearm",
            Self::HandLength => "hand_length",
            Self::ShoulderBreadth => "shoulder_breadth",
        }
    }
}

/// Measured segments; the rest is estimated.
pub type Segments = [Option<Measured>; Segment::ALL.len()];

/// A rider with everything that a fit needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Rider {
    /// What to call the rider in reports.
    pub name: Option<String>,
    /// Inseam, measured or estimated.
    pub inseam: Measured,
    /// Height, measured or estimated.
    pub height: Measured,
    /// Arm reach, measured or estimated.
    pub arm_reach: Measured,
    /// Which of inseam, height and arm reach are estimates.
    pub estimated: Estimated,
    /// Measured segments.
    pub segments: Segments,
    /// Age on the day of the fit.
    pub age: Option<Age>,
    /// For the growth charts.
    pub sex: Option<Sex>,
    /// Weight with clothes and helmet.
    pub weight: Option<Mass>,
    /// Riding stage.
    pub stage: Stage,
    /// Who held the tape.
    pub measured_by: MeasuredBy,
    /// Shoe sole, mm.
    pub sole_mm: f64,
}

/// Which of the three main measurements were estimated from another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[expect(missing_docs, reason = "named as the rider's fields")]
pub struct Estimated {
    pub inseam: bool,
    pub height: bool,
    pub arm_reach: bool,
}

/// Inseam from height, mm.
///
/// # References
/// 1.01 × (H − sitting height), Snyder et al. 1977, straight-line fit for 850 to 1650 mm; sd 22 mm.
pub fn estimate_inseam_mm(height_mm: f64) -> f64 {
    0.593 * height_mm - 158.0
}

/// Height from inseam, mm: [`estimate_inseam_mm`] read backwards.
pub fn estimate_height_mm(inseam_mm: f64) -> f64 {
    (inseam_mm + 158.0) / 0.593
}

/// Arm reach from height, mm; sd 0.012 × height.
///
/// # References
/// Snyder et al. 1977.
pub fn estimate_arm_reach_mm(height_mm: f64) -> f64 {
    0.384 * height_mm
}

/// Shoe sole when the file gives none, mm.
pub const DEFAULT_SOLE_MM: f64 = 15.0;

impl Rider {
    /// From a file or flags, on the day of the fit.
    ///
    /// # Errors
    /// Everything that cannot be true of one rider.
    pub fn new(file: &RiderFile, on: Date) -> Result<Self, Vec<Contradiction>> {
        let mut wrong = Vec::new();
        let name = file.name.as_deref().map(words::clean);
        if name.as_deref() == Some("") {
            let message = "has nothing that can be seen; write letters or digits, or leave it out";
            wrong.push(Contradiction::new("name", message));
        }
        let (height, inseam) = match (file.height, file.inseam) {
            (Some(height), Some(inseam)) => (height, inseam),
            (Some(height), None) => (height, Measured::from_mm(estimate_inseam_mm(height.mm()))),
            (None, Some(inseam)) => (Measured::from_mm(estimate_height_mm(inseam.mm())), inseam),
            (None, None) => {
                return Err(vec![Contradiction::new(
                    "height",
                    "is missing; a fit needs the height or the inseam, best both",
                )]);
            }
        };
        let arm_reach = file
            .arm_reach
            .unwrap_or_else(|| Measured::from_mm(estimate_arm_reach_mm(height.mm())));
        let age = match (file.age, file.born) {
            (Some(_), Some(_)) => {
                wrong.push(Contradiction::new(
                    "born",
                    "is given together with age; keep one",
                ));
                None
            }
            (age, None) => age,
            (None, Some(born)) => {
                let months = months_between(born, on);
                if !AGE_MONTHS.contains(&months) {
                    wrong.push(Contradiction::new(
                        "born",
                        format!("found {born}, which makes {months:.0} months on {on}; allowed {} to {} months", AGE_MONTHS.start(), AGE_MONTHS.end()),
                    ));
                }
                Some(Age::from_months(months))
            }
        };
        let segments = [
            file.hip_height,
            file.knee_height,
            file.ankle_height,
            file.thigh,
            file.shank,
            file.foot_length,
            file.hip_above_saddle,
            file.shoulder_height,
            file.torso,
            file.upper_arm,
            file.forearm,
            file.hand_length,
            file.shoulder_breadth,
        ];
        let rider = Self {
            name: name.map(Cow::into_owned),
            inseam,
            height,
            arm_reach,
            estimated: Estimated {
                inseam: file.inseam.is_none(),
                height: file.height.is_none(),
                arm_reach: file.arm_reach.is_none(),
            },
            segments,
            age,
            sex: file.sex,
            weight: file.weight,
            stage: file.stage.unwrap_or(Stage::Steady),
            measured_by: file.measured_by.unwrap_or(MeasuredBy::Parent),
            sole_mm: file.sole.map_or(DEFAULT_SOLE_MM, Length::mm),
        };
        wrong.extend(rider.contradictions());
        if wrong.is_empty() {
            Ok(rider)
        } else {
            Err(wrong)
        }
    }

    /// What cannot be true of one body.
    fn contradictions(&self) -> Vec<Contradiction> {
        // Shares of height: inseam 0.38 to 0.50 and arm reach 0.33 to 0.43 cover every child of Snyder et al. 1977.
        const INSEAM_SHARE: RangeInclusive<f64> = 0.33..=0.56;
        const ARM_SHARE: RangeInclusive<f64> = 0.30..=0.48;
        const SHORTEST_LINK_MM: f64 = 20.0;
        let mut wrong = Vec::new();
        let height = self.height.mm();
        for (key, value, share) in [
            ("inseam", self.inseam.mm(), INSEAM_SHARE),
            ("arm_reach", self.arm_reach.mm(), ARM_SHARE),
        ] {
            if !share.contains(&(value / height)) {
                wrong.push(Contradiction::new(
                    key,
                    format!(
                        "found {value:.0} mm at a height of {height:.0} mm; allowed {:.0} to {:.0} mm at that height; measure both again",
                        share.start() * height,
                        share.end() * height
                    ),
                ));
            }
        }
        if wrong.is_empty() {
            let body = super::Body::of(self);
            for (key, value, least) in [
                ("thigh", body.thigh_mm, SHORTEST_LINK_MM),
                ("shank", body.shank_mm, SHORTEST_LINK_MM),
                ("torso", body.torso_mm, SHORTEST_LINK_MM),
                ("hip_above_saddle", body.hip_above_saddle_mm, 0.0),
            ] {
                if value < least {
                    wrong.push(Contradiction::new(
                        key,
                        format!("comes out {value:.0} mm from the measured heights; measure the hip, knee and shoulder heights again"),
                    ));
                }
            }
        }
        wrong
    }

    /// A rider of the same proportions, `factor` times as tall.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let scale = |measured: Measured| Measured {
            value: Length::from_mm(measured.mm() * factor),
            ..measured
        };
        Self {
            height: scale(self.height),
            inseam: scale(self.inseam),
            arm_reach: scale(self.arm_reach),
            segments: self.segments.map(|segment| segment.map(scale)),
            ..self.clone()
        }
    }

    /// What deserves a second look, in words.
    pub fn warnings(&self) -> Vec<String> {
        const TROUSER_SEAM_MM: f64 = 50.0;
        let mut warnings = Vec::new();
        let height = self.height.mm();
        let expected = estimate_inseam_mm(height);
        if !self.estimated.inseam
            && !self.estimated.height
            && (self.inseam.mm() - expected).abs() > TROUSER_SEAM_MM
        {
            warnings.push(format!(
                "inseam {:.0} mm is unusual for a height of {height:.0} mm (expected about {expected:.0}): barefoot, book pressed up firmly, not the trouser seam?",
                self.inseam.mm()
            ));
        }
        if !ESTIMATES_HOLD_MM.contains(&height) {
            warnings.push(format!(
                "height {height:.0} mm is outside {:.0} to {:.0} mm, where the body estimates were checked",
                ESTIMATES_HOLD_MM.start(),
                ESTIMATES_HOLD_MM.end()
            ));
        }
        warnings
    }

    /// The keys that are estimates, main measurements first.
    pub fn estimated_keys(&self) -> Vec<&'static str> {
        let main = [
            (self.estimated.inseam, "inseam"),
            (self.estimated.height, "height"),
            (self.estimated.arm_reach, "arm_reach"),
        ];
        let main = main
            .into_iter()
            .filter(|(estimated, _)| *estimated)
            .map(|(_, key)| key);
        main.chain(
            Segment::ALL
                .into_iter()
                .filter(|segment| self.segments[*segment as usize].is_none())
                .map(Segment::key),
        )
        .collect()
    }

    /// A name for reports.
    pub fn title(&self) -> String {
        self.name
            .as_deref()
            .map_or_else(|| "Rider".to_owned(), clip)
    }
}

/// Months from one date to another, with the rest of a month as a fraction of 30.4375 days.
fn months_between(from: Date, to: Date) -> f64 {
    const DAYS_PER_MONTH: f64 = 365.25 / 12.0;
    f64::from((to - from).get_days()) / DAYS_PER_MONTH
}

impl FromStr for Measured {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        Self::from_text(text, &(0.0..=f64::MAX))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(height: f64, inseam: f64) -> RiderFile {
        crate::yaml::Document::from_text("rider", format!("height: {height}\ninseam: {inseam}\n"))
            .read()
            .unwrap()
    }

    fn today() -> Date {
        jiff::civil::date(2026, 3, 1)
    }

    #[test]
    fn a_spread_is_read_in_every_spelling() {
        for text in ["56 cm ± 5 mm", "56 ± 0.5 cm", "560 ± 5", "56 cm +/- 5 mm"] {
            let measured = Measured::from_text(text, &INSEAM_MM).unwrap();
            approx::assert_abs_diff_eq!(measured.mm(), 560.0, epsilon = 1e-9);
            approx::assert_abs_diff_eq!(measured.spread.unwrap().mm(), 5.0, epsilon = 1e-9);
        }
    }

    #[test]
    fn a_trouser_seam_is_noticed_and_a_swapped_pair_refused() {
        let rider = Rider::new(&file(1240.0, 520.0), today()).unwrap();
        assert_eq!(rider.warnings().len(), 1, "{:?}", rider.warnings());
        let wrong = Rider::new(&file(900.0, 610.0), today()).unwrap_err();
        assert_eq!(wrong[0].key, "inseam");
    }

    #[test]
    fn age_follows_from_the_date_of_birth() {
        let mut born = file(1240.0, 577.0);
        born.born = Some(jiff::civil::date(2019, 3, 1));
        let rider = Rider::new(&born, today()).unwrap();
        approx::assert_abs_diff_eq!(rider.age.unwrap().months(), 84.0, epsilon = 0.05);
        born.born = Some(jiff::civil::date(2027, 3, 1));
        assert!(Rider::new(&born, today()).is_err());
    }

    #[test]
    fn inseam_alone_is_enough_and_is_said_to_be_a_guess() {
        let only: RiderFile = crate::yaml::Document::from_text("rider", "inseam: 58 cm\n")
            .read()
            .unwrap();
        let rider = Rider::new(&only, today()).unwrap();
        approx::assert_abs_diff_eq!(estimate_inseam_mm(rider.height.mm()), 580.0, epsilon = 1e-9);
        assert!(rider.estimated_keys().contains(&"height"));
    }
}
