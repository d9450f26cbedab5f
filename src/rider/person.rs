//! The rider: what was measured, what was estimated instead, and the day that ages count from.
//! Refuses what cannot be true of one body; says what deserves a second look.
//! What a file may say is `measures`; the links between the measurements are `body`.

use std::borrow::Cow;
use std::ops::RangeInclusive;

use jiff::civil::Date;

use crate::file::{Error, Problem};
use crate::rider::body::{Body, EXPECTED};
use crate::rider::growth::{
    Forecast, Grown, LateGrowth, NoForecast, Note, OwnStep, Start, age_for_estimates, inseam_at,
    is_grown,
};
use crate::rider::measures::{
    AGE_MONTHS, DEFAULT_SOLE_MM, ESTIMATES_HOLD_MM, Measured, MeasuredBy, Measurement, RiderFile,
    Segments, Sex, Stage, are_swapped, estimate_arm_reach_mm, estimate_height_mm,
    estimate_inseam_mm,
};
use crate::rider::segments::Segment;
use crate::units::{Age, KG_PER_POUND, Length, Mass, Units};
use crate::words::{self, clip, tidy};

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
    /// What the trunk may have grown more than the legs: estimates of one from the other count with it.
    pub late_growth: LateGrowth,
    /// Weight with clothes and helmet.
    pub weight: Option<Mass>,
    /// Riding stage.
    pub stage: Stage,
    /// Who held the tape.
    pub measured_by: MeasuredBy,
    /// Shoe sole, mm.
    pub sole_mm: f64,
    /// The day of the measuring; where it lies back, the figures are those expected on the day of the fit.
    pub measured_on: Date,
    /// What the tape read, where the figures have been brought forward from another day.
    pub(super) before: Option<Grown>,
    /// How much more the child grew than the chart's step, where it is worth knowing.
    pub own_step: Option<OwnStep>,
    /// What its dated measurements gave to look at again.
    pub(super) warnings: Vec<Warning>,
}

/// Which of the three main measurements were estimated from another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[expect(missing_docs, reason = "named as the rider's fields")]
pub struct Estimated {
    pub inseam: bool,
    pub height: bool,
    pub arm_reach: bool,
}

impl Rider {
    /// As measured, on the day of the measuring. Dated sets are no business of this: see `aging`.
    ///
    /// # Errors
    /// Everything that cannot be true of one rider.
    pub(super) fn as_measured(file: &RiderFile, on: Date) -> Result<Self, Error> {
        let mut wrong = Vec::new();
        let name = file.name.as_deref().map(words::clean);
        if name.as_deref() == Some("") {
            let message = "has nothing that can be seen; write letters or digits, or leave it out";
            wrong.push(Problem::at_key("name", message));
        }
        let age = match (file.age, file.born) {
            (Some(_), Some(_)) => {
                wrong.push(Problem::at_key(
                    "born",
                    "is given together with age; keep one",
                ));
                None
            }
            (age, None) => age,
            (None, Some(born)) => {
                let months = months_between(born, on);
                if born > on {
                    wrong.push(Problem::at_key(
                        "born",
                        format!(
                            "found {born}, which lies in the future on {on}; write the day of birth"
                        ),
                    ));
                } else if !AGE_MONTHS.contains(&months) {
                    wrong.push(Problem::at_key(
                        "born",
                        format!("found {born}, which makes {months:.0} months on {on}; allowed {} to {} months", AGE_MONTHS.start(), AGE_MONTHS.end()),
                    ));
                }
                Some(Age::from_months(months))
            }
        };
        let (height, inseam, late_growth) = match (file.height, file.inseam) {
            (Some(height), inseam) => {
                let late = LateGrowth::at_height(height.mm(), age, file.sex);
                let estimate = || estimate_inseam_mm(height.mm()) - late.middle_mm();
                let inseam = inseam.unwrap_or_else(|| Measured::from_mm(estimate()));
                (height, inseam, late)
            }
            (None, Some(inseam)) => {
                let late = LateGrowth::at_inseam(inseam.mm(), age, file.sex);
                let height = estimate_height_mm(inseam.mm() + late.middle_mm());
                (Measured::from_mm(height), inseam, late)
            }
            (None, None) => {
                return Err(Problem::at_key(
                    "height",
                    "is missing; a fit needs the height or the inseam, best both",
                )
                .into());
            }
        };
        let arm_reach = file
            .arm_reach
            .unwrap_or_else(|| Measured::from_mm(estimate_arm_reach_mm(height.mm())));
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
            segments: file.segments(),
            age,
            late_growth,
            // Whoever is grown is no child, whatever the chart is called.
            sex: file.sex.map(|sex| match age {
                Some(age) if is_grown(age) => sex.grown_up(),
                _ => sex,
            }),
            weight: file.weight,
            stage: file.stage.unwrap_or(Stage::Steady),
            measured_by: file.measured_by.unwrap_or(MeasuredBy::Parent),
            sole_mm: file.sole.map_or(DEFAULT_SOLE_MM, Length::mm),
            measured_on: on,
            before: None,
            own_step: None,
            warnings: Vec::new(),
        };
        wrong.extend(rider.contradictions());
        if wrong.is_empty() {
            Ok(rider)
        } else {
            Err(wrong.into())
        }
    }

    /// What cannot be true of one body.
    fn contradictions(&self) -> Vec<Problem> {
        // Shares of height: inseam 0.38 to 0.50 and arm reach 0.33 to 0.43 cover every child of Snyder et al. 1977.
        const INSEAM_SHARE: RangeInclusive<f64> = 0.33..=0.56;
        /// Six standard deviations of leg length: no leg is longer, however short some are.
        const LONGER_MM: f64 = 100.0;
        const ARM_SHARE: RangeInclusive<f64> = 0.30..=0.48;
        const SHORTEST_LINK_MM: f64 = 20.0;
        let mut wrong = Vec::new();
        let height = self.height.mm();
        if self.has_measured(Measurement::Inseam)
            && self.has_measured(Measurement::Height)
            && self.inseam.mm() > height
        {
            return vec![Problem::at_key(
                "inseam",
                are_swapped(
                    format_args!("{:.0} mm", self.inseam.mm()),
                    format_args!("{height:.0} mm"),
                ),
            )];
        }
        let of_height = |share: RangeInclusive<f64>| [share.start() * height, share.end() * height];
        let [shortest, longest] = of_height(INSEAM_SHARE);
        let longest = longest.min(estimate_inseam_mm(height) + LONGER_MM);
        for (key, value, [least, most]) in [
            ("inseam", self.inseam.mm(), [shortest, longest]),
            ("arm_reach", self.arm_reach.mm(), of_height(ARM_SHARE)),
        ] {
            if !(least..=most).contains(&value) {
                wrong.push(Problem::at_key(
                    key,
                    format!(
                        "found {value:.0} mm at a height of {height:.0} mm; allowed {least:.0} to {most:.0} mm at that height; measure both again"
                    ),
                ));
            }
        }
        if wrong.is_empty() {
            let body = self.body();
            for (key, value, least) in [
                ("thigh", body.thigh_mm, SHORTEST_LINK_MM),
                ("shank", body.shank_mm, SHORTEST_LINK_MM),
                ("torso", body.torso_mm, SHORTEST_LINK_MM),
                ("hip_above_saddle", body.hip_above_saddle_mm, 0.0),
            ] {
                if value < least {
                    wrong.push(Problem::at_key(
                        key,
                        format!("comes out {value:.0} mm from the measured heights; measure the hip, knee and shoulder heights again"),
                    ));
                }
            }
        }
        wrong
    }

    /// A rider this much taller, mm, shorter where negative, whose other measurements differ as children's body tables
    /// have it: each keeps its distance from what the height alone would say, as it does in growth.
    #[must_use]
    pub fn taller(&self, by_mm: f64) -> Self {
        let (height, inseam, arm_reach, segments) = self.figures_taller(by_mm);
        Self {
            inseam,
            height,
            arm_reach,
            segments,
            ..self.clone()
        }
    }

    /// The expected body of the same.
    pub fn body_taller(&self, by_mm: f64) -> Body {
        let (height, inseam, arm_reach, segments) = self.figures_taller(by_mm);
        let [height, inseam, arm_reach] = [height, inseam, arm_reach].map(Measured::mm);
        Body::new(
            height,
            inseam,
            arm_reach,
            self.sole_mm,
            &segments,
            &EXPECTED,
        )
    }

    fn figures_taller(&self, by_mm: f64) -> (Measured, Measured, Measured, Segments) {
        let height_mm = self.height.mm() + by_mm;
        let age = age_for_estimates(self.age, self.sex);
        let inseam_mm =
            self.inseam.mm() + inseam_at(height_mm, age) - inseam_at(self.height.mm(), age);
        let plus = |measured: Measured, mm: f64| Measured {
            value: Length::from_mm(measured.mm() + mm),
            ..measured
        };
        let (before, after) = ([self.height.mm(), self.inseam.mm()], [height_mm, inseam_mm]);
        let segment = |segment: Segment, [height, inseam]: [f64; 2]| {
            let arm_reach = estimate_arm_reach_mm(height);
            let none = [None; Segment::COUNT];
            Body::new(height, inseam, arm_reach, self.sole_mm, &none, &EXPECTED).segment_mm(segment)
        };
        let mut segments = self.segments;
        for (of, measured) in Segment::ALL.into_iter().zip(&mut segments) {
            *measured = measured.map(|one| plus(one, segment(of, after) - segment(of, before)));
        }
        let arm_mm = estimate_arm_reach_mm(height_mm) - estimate_arm_reach_mm(self.height.mm());
        (
            plus(self.height, by_mm),
            plus(self.inseam, inseam_mm - self.inseam.mm()),
            plus(self.arm_reach, arm_mm),
            segments,
        )
    }

    /// The expected body.
    pub fn body(&self) -> Body {
        Body::new(
            self.height.mm(),
            self.inseam.mm(),
            self.arm_reach.mm(),
            self.sole_mm,
            &self.segments,
            &EXPECTED,
        )
    }

    /// Where a growth forecast starts from.
    pub fn forecast_start(&self) -> Start {
        Start {
            age: self.age,
            sex: self.sex,
            now: Grown {
                height_mm: self.height.mm(),
                inseam_mm: self.inseam.mm(),
                arm_reach_mm: self.arm_reach.mm(),
            },
            height_is_estimated: self.estimated.height,
            own_step: self.own_step,
        }
    }

    /// What is odd about a height at this age, without an end; None where nothing is, or where no chart tells.
    pub fn odd_height(&self, units: Units) -> Option<String> {
        match Forecast::new(&self.forecast_start()) {
            Ok(forecast) => {
                let is_odd = |note: &&Note| matches!(note, Note::UnusualHeight { .. });
                forecast.notes.iter().find(is_odd).map(|note| note.words())
            }
            Err(why @ NoForecast::OffTheChart { .. }) => why.words(units),
            Err(_) => None,
        }
    }

    /// Of which figures one must be wrong, however they are counted; None where they go together.
    pub fn figures_at_odds(&self) -> Option<&'static str> {
        let is_off = self.forecast_start().off_the_chart().is_some();
        match (self.has_unusual_inseam(), is_off) {
            (true, true) => Some("inseam, height and age are right"),
            (true, false) => Some("the inseam is right"),
            (false, true) if self.estimated.height => Some("inseam and age are right"),
            (false, true) => Some("height and age are right"),
            (false, false) => None,
        }
    }

    /// The same in sentences without an end.
    pub fn doubted_figures(&self, units: Units) -> Vec<String> {
        let is_unusual = |warning: &Warning| matches!(warning, Warning::UnusualInseam { .. });
        let unusual = self.warnings().into_iter().filter(is_unusual);
        let off = self.forecast_start().off_the_chart();
        unusual
            .map(|warning| warning.words(units))
            .chain(off.and_then(|off| off.words(units)))
            .collect()
    }

    /// What to do before a saddle is set for this rider, without an end; None where the leg was measured.
    pub fn measure_first(&self) -> Option<&'static str> {
        let is_measured = self.has_measured(Measurement::Inseam);
        (!is_measured).then_some(
            "measure the inseam before setting the saddle: until then leg and saddle are estimates",
        )
    }

    /// Whether this figure was measured, not estimated.
    pub fn has_measured(&self, measurement: Measurement) -> bool {
        match measurement {
            Measurement::Height => !self.estimated.height,
            Measurement::Inseam => !self.estimated.inseam,
            Measurement::ArmReach => !self.estimated.arm_reach,
            Measurement::Segment(segment) => self.segments[segment as usize].is_some(),
        }
    }

    /// What the tape read, mm, where a main figure was measured on another day and brought forward from it.
    pub fn brought_forward_from_mm(&self, measurement: Measurement) -> Option<f64> {
        let before = self.before.filter(|_| self.has_measured(measurement))?;
        match measurement {
            Measurement::Height => Some(before.height_mm),
            Measurement::Inseam => Some(before.inseam_mm),
            Measurement::ArmReach => Some(before.arm_reach_mm),
            Measurement::Segment(_) => None,
        }
    }

    /// A main figure in words, with what is to be known of it: that it is an estimate, or what the tape read before.
    pub fn told(&self, measurement: Measurement, units: Units) -> String {
        let mm = match measurement {
            Measurement::Height => self.height.mm(),
            Measurement::Inseam => self.inseam.mm(),
            Measurement::ArmReach => self.arm_reach.mm(),
            Measurement::Segment(segment) => self.body().segment_mm(segment),
        };
        let shown = units.length(mm);
        if !self.has_measured(measurement) {
            return format!("{shown} (estimated)");
        }
        let before = self.brought_forward_from_mm(measurement);
        match before.map(|before| units.length(before)) {
            Some(before) if before != shown => {
                format!("{shown} (brought forward from {before})")
            }
            _ => shown,
        }
    }

    /// Whether the leg is estimated at a height that child and grown-up share, with nobody saying which it is.
    pub fn is_age_open(&self) -> bool {
        // Half of what a tape at home is off by (own rule).
        const WORTH_THE_AGE_MM: f64 = 4.0;
        self.estimated.inseam && self.late_growth.sd_mm() > WORTH_THE_AGE_MM
    }

    /// Whether inseam and height were both measured and do not go together: no verdict is surer than the inseam.
    pub fn has_unusual_inseam(&self) -> bool {
        self.warnings()
            .iter()
            .any(|warning| matches!(warning, Warning::UnusualInseam { .. }))
    }

    /// What deserves a second look.
    pub fn warnings(&self) -> Vec<Warning> {
        const TROUSER_SEAM_MM: f64 = 50.0;
        let mut warnings = self.warnings.clone();
        let (inseam_mm, height_mm) = (self.inseam.mm(), self.height.mm());
        let child_mm = estimate_inseam_mm(height_mm);
        let LateGrowth { least_mm, most_mm } = self.late_growth;
        let [longest_mm, shortest_mm] = [least_mm, most_mm].map(|late| child_mm - late);
        let expected_mm = inseam_mm.clamp(shortest_mm, longest_mm);
        if self.is_age_open() {
            warnings.push(Warning::AgeOpen {
                longest_mm,
                shortest_mm,
            });
        }
        if !self.estimated.inseam
            && !self.estimated.height
            && (inseam_mm - expected_mm).abs() > TROUSER_SEAM_MM
        {
            warnings.push(Warning::UnusualInseam {
                inseam_mm,
                height_mm,
                expected_mm,
            });
        }
        if let Some(kg) = self.weight.map(Mass::kg)
            && self.has_measured(Measurement::Height)
            && !usual_kg(height_mm).contains(&kg)
        {
            warnings.push(Warning::UnusualWeight { kg, height_mm });
        }
        if !ESTIMATES_HOLD_MM.contains(&height_mm) {
            warnings.push(Warning::BeyondEstimates { height_mm });
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
                .map(|segment| segment.row().key),
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

/// What deserves a second look on a rider. Lengths mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Warning {
    /// Inseam and height were both measured and do not go together.
    UnusualInseam {
        /// As measured.
        inseam_mm: f64,
        /// As measured.
        height_mm: f64,
        /// Usual at that height.
        expected_mm: f64,
    },
    /// The inseam is estimated, and nobody said whether of a child or of somebody grown.
    AgeOpen {
        /// Of the youngest who are as tall.
        longest_mm: f64,
        /// Of the oldest.
        shortest_mm: f64,
    },
    /// Weight and height do not go together.
    UnusualWeight {
        /// As given, kg.
        kg: f64,
        /// As measured.
        height_mm: f64,
    },
    /// Measured some months ago.
    Stale {
        /// How many.
        months: f64,
    },
    /// A weight of a day too long ago to be that of today.
    WeightLeftOut {
        /// As weighed, kg.
        kg: f64,
        /// That day.
        on: Date,
    },
    /// Figures of another day, beside which others were measured anew.
    LeftOut {
        /// That day.
        on: Date,
    },
    /// Lower than an earlier measurement.
    HeightFell {
        /// Earlier.
        from_mm: f64,
        /// Later.
        to_mm: f64,
    },
    /// More growth than a child has.
    HeightJumped {
        /// Growth in a year.
        a_year_mm: f64,
    },
    /// Taller or shorter than the children that the estimates come from.
    BeyondEstimates {
        /// As measured.
        height_mm: f64,
    },
}

impl Warning {
    /// One plain sentence.
    pub fn words(self, units: Units) -> String {
        match self {
            Self::UnusualInseam {
                inseam_mm,
                height_mm,
                expected_mm,
            } => format!(
                "inseam {} is unusual for a height of {} (expected about {}): barefoot, book pressed up firmly, not the trouser seam?",
                units.length(inseam_mm),
                units.length(height_mm),
                units.length(expected_mm)
            ),
            Self::AgeOpen {
                longest_mm,
                shortest_mm,
            } => format!(
                "the inside leg is estimated without an age: {} of the youngest who are as tall, {} of the oldest; measure it, or give the age",
                units.length(longest_mm),
                units.length(shortest_mm)
            ),
            Self::UnusualWeight { kg, height_mm } => {
                let usual = usual_kg(height_mm);
                // Nobody knows here whether a unit was written: nothing is said of one that was.
                let slip = if usual.contains(&(kg * KG_PER_POUND)) {
                    "; a figure without a unit is read as kg"
                } else {
                    ""
                };
                format!(
                    "weight {} kg is unusual for a height of {} (usual {} to {} kg): weigh again{slip}",
                    tidy(kg, 1),
                    units.length(height_mm),
                    tidy(usual.start().ceil(), 0),
                    tidy(usual.end().floor(), 0)
                )
            }
            Self::Stale { months } => format!(
                "measured {months:.0} months ago and brought forward as the charts have it: measure again"
            ),
            Self::WeightLeftOut { kg, on } => format!(
                "the weight, {} kg of {on}, is no weight of today and left out: weigh again",
                tidy(kg, 1)
            ),
            Self::LeftOut { on } => format!(
                "the rider's other figures are of {on} and left out beside those given now: measure all on one day"
            ),
            Self::HeightFell { from_mm, to_mm } => format!(
                "the height fell from {} to {} between two measurements: measure again",
                units.length(from_mm),
                units.length(to_mm)
            ),
            Self::HeightJumped { a_year_mm } => format!(
                "the height grew by {} a year between two measurements, more than children do: measure again",
                units.length(a_year_mm)
            ),
            Self::BeyondEstimates { height_mm } => format!(
                "height {} is outside {} to {}, where the body estimates were checked",
                units.length(height_mm),
                units.length(*ESTIMATES_HOLD_MM.start()),
                units.length(*ESTIMATES_HOLD_MM.end())
            ),
        }
    }
}

/// Weights that somebody of this height comes to, kg: body-mass indices from 11 to 30 for children, to 45 for those as
/// tall as grown-ups (own rule: well beyond three standard deviations of children's charts either way, and half of what
/// a kilogram taken for a pound does).
fn usual_kg(height_mm: f64) -> RangeInclusive<f64> {
    const CHILD_MM: f64 = 1500.0;
    let most = if height_mm < CHILD_MM { 30.0 } else { 45.0 };
    let square_m = (height_mm / 1000.0).powi(2);
    11.0 * square_m..=most * square_m
}

/// Months from one date to another, with the rest of a month as a fraction of 30.4375 days.
pub(super) fn months_between(from: Date, to: Date) -> f64 {
    const DAYS_PER_MONTH: f64 = 365.25 / 12.0;
    f64::from((to - from).get_days()) / DAYS_PER_MONTH
}
