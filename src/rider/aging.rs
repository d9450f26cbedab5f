//! Measurements age: which of several dated sets counts, and what it has become by the day of the fit.
//! Also what a child's own last year says about the next, and what two sets cannot both be.
//! How children grow is `growth`; what can be true of one body is `person`.

use jiff::civil::Date;

use crate::file::{Error, Problem};
use crate::rider::growth::{Forecast, Grown, HORIZON_MONTHS, NoForecast, OwnStep, Pace, inseam_at};
use crate::rider::measures::{DatedMeasurements, Measured, Measurement, RiderFile};
use crate::rider::person::{Rider, Warning, months_between};
use crate::rider::segments::Segment;
use crate::units::{Age, Length, Mass};

/// Figures older than this are brought forward, months; nearer ones stand as they are.
const AS_GOOD_AS_NEW_MONTHS: f64 = 0.5;
/// Figures older than this are to be taken again, months.
const STALE_MONTHS: f64 = 6.0;
/// Figures older than this decide nothing, months.
const REFUSED_MONTHS: f64 = 24.0;
/// Keys whose place is in the dated sets, where there are any.
pub const BESIDE_NO_SETS: [&str; 4] = ["inseam", "height", "arm_reach", "measured_on"];
/// More growth than a child has in a year, mm.
const JUMP_A_YEAR_MM: f64 = 120.0;
/// Two measurements this far apart tell a child's own speed, months.
const OWN_YEAR_MONTHS: std::ops::RangeInclusive<f64> = 9.0..=15.0;

impl Rider {
    /// From a file or flags, on the day of the fit: the newest measurements, brought forward to it.
    ///
    /// # Errors
    /// Everything that cannot be true of one rider, and measurements too old to decide anything.
    pub fn new(file: &RiderFile, on: Date) -> Result<Self, Error> {
        let sets = sets(file, on)?;
        let Some(newest) = sets.last() else {
            let measured_on = file.measured_on.unwrap_or(on);
            if measured_on > on {
                return Err(in_the_future("measured_on", measured_on, on));
            }
            return Self::as_measured(file, measured_on)?.brought_forward(on);
        };
        let at = |set: &DatedMeasurements| {
            let mut single = file.clone();
            single.measurements = Vec::new();
            (single.inseam, single.height, single.arm_reach) =
                (set.inseam, set.height, set.arm_reach);
            single.weight = set.weight.or(file.weight);
            single.measured_by = set.measured_by.or(file.measured_by);
            // An age in years belongs to the newest set; earlier ones count back from it.
            single.age = file
                .age
                .map(|age| Age::from_months(age.months() - months_between(set.on, newest.on)));
            Self::as_measured(&single, set.on)
        };
        let mut rider = at(newest)?;
        if let Some(before) = sets.iter().rev().nth(1) {
            // An earlier set that cannot be used alone tells nothing.
            if let Ok(before) = at(before) {
                rider.compare_with(&before);
            }
        }
        rider.brought_forward(on)
    }

    /// Beside figures of the day, those of another were left out.
    #[must_use]
    pub fn without_those_of(mut self, day: Date) -> Self {
        self.warnings.push(Warning::LeftOut { on: day });
        self
    }

    /// What the measurements before tell about these.
    fn compare_with(&mut self, before: &Self) {
        let months = months_between(before.measured_on, self.measured_on);
        let (from_mm, to_mm) = (before.height.mm(), self.height.mm());
        let are_measured = self.has_measured(Measurement::Height)
            && before.has_measured(Measurement::Height)
            && months > 0.0;
        if !are_measured {
            return;
        }
        let a_year_mm = (to_mm - from_mm) * 12.0 / months;
        if to_mm < from_mm {
            self.warnings.push(Warning::HeightFell { from_mm, to_mm });
        } else if a_year_mm > JUMP_A_YEAR_MM && months >= 1.0 {
            self.warnings.push(Warning::HeightJumped { a_year_mm });
        } else if OWN_YEAR_MONTHS.contains(&months) {
            self.own_step = OwnStep::of(&before.forecast_start(), to_mm, months);
        }
    }

    /// The same rider on the day of the fit, as the charts have it.
    fn brought_forward(mut self, on: Date) -> Result<Self, Error> {
        let months = months_between(self.measured_on, on);
        if months > REFUSED_MONTHS {
            let message = format!(
                "measured {months:.0} months ago, on {}: too long to say what has become of it; measure again",
                self.measured_on
            );
            return Err(Problem::at_key("measured_on", message).into());
        }
        if months > STALE_MONTHS {
            self.warnings.push(Warning::Stale { months });
            // No chart tells how heavy one child has become, and an old weight makes a load too light.
            if let Some(kg) = self.weight.take().map(Mass::kg) {
                let on = self.measured_on;
                self.warnings.push(Warning::WeightLeftOut { kg, on });
            }
        }
        if months <= AS_GOOD_AS_NEW_MONTHS {
            return Ok(self);
        }
        let forecast = match Forecast::new(&self.forecast_start()) {
            Ok(forecast) => forecast,
            Err(NoForecast::AgeUnknown) if months > STALE_MONTHS => {
                let message = format!(
                    "measured {months:.0} months ago, and without an age there is no telling what has become of it; measure again, or give the age or the date of birth"
                );
                return Err(Problem::at_key("measured_on", message).into());
            }
            // Grown up, or so far off the chart that a warning says it: the figures stand.
            Err(_) => return Ok(self),
        };
        let [central, above] = [Pace::Central, Pace::High].map(|pace| forecast.at(pace, months));
        let before = self.body();
        self.before = Some(self.forecast_start().now);
        self.height = grown(
            &self,
            Measurement::Height,
            |grown| grown.height_mm,
            central,
            above,
        );
        self.inseam = if self.estimated.inseam {
            Measured::from_mm(inseam_at(self.height.mm(), self.age))
        } else {
            grown(
                &self,
                Measurement::Inseam,
                |grown| grown.inseam_mm,
                central,
                above,
            )
        };
        self.arm_reach = grown(
            &self,
            Measurement::ArmReach,
            |grown| grown.arm_reach_mm,
            central,
            above,
        );
        // A measured segment keeps its distance from the estimate, as the inseam does.
        let measured = std::mem::take(&mut self.segments);
        let after = self.body();
        for (segment, measured) in Segment::ALL.into_iter().zip(measured) {
            self.segments[segment as usize] = measured.map(|measured| Measured {
                value: Length::from_mm(
                    measured.mm() * after.segment_mm(segment) / before.segment_mm(segment).max(1.0),
                ),
                ..measured
            });
        }
        self.age = self.age.map(|age| Age::from_months(age.months() + months));
        // What of the child's own year has passed is in the figures now.
        self.own_step = self.own_step.and_then(|step| step.after(months));
        Ok(self)
    }
}

impl RiderFile {
    /// With the main lengths and the weight that are measured anew on a day. Those of another day do not stand beside
    /// them as if taken on that one: they are left out, unless they are as good as new; an age counts on to that day.
    /// Gives the day of the figures that are left out, where there are any that nothing takes the place of.
    pub fn measured_anew(&mut self, new: &Self, day: Date) -> Option<Date> {
        let set = std::mem::take(&mut self.measurements)
            .into_iter()
            .max_by_key(|set| set.on);
        if let Some(set) = &set {
            (self.inseam, self.height, self.arm_reach) = (set.inseam, set.height, set.arm_reach);
            self.weight = set.weight.or(self.weight);
        }
        let of = set.map(|set| set.on).or(self.measured_on.take());
        let old = of.filter(|of| months_between(*of, day).abs() > AS_GOOD_AS_NEW_MONTHS);
        if let Some(of) = of {
            let months = months_between(of, day);
            self.age = self.age.map(|age| Age::from_months(age.months() + months));
        }
        let lengths = |file: &Self| {
            let main = [file.inseam, file.height, file.arm_reach];
            main.into_iter().chain(file.segments())
        };
        let missed =
            |(was, is): (Option<Measured>, Option<Measured>)| was.is_some() && is.is_none();
        let is_less = lengths(self).zip(lengths(new)).any(missed)
            || (self.weight.is_some() && new.weight.is_none());
        if old.is_some() {
            (self.inseam, self.height, self.arm_reach) = (None, None, None);
            self.forget_segments();
            self.weight = None;
        }
        self.weight = new.weight.or(self.weight);
        self.inseam = new.inseam.or(self.inseam);
        self.height = new.height.or(self.height);
        self.arm_reach = new.arm_reach.or(self.arm_reach);
        old.filter(|_| is_less)
    }
}

/// A figure some months on, with what the forecast leaves open added to what the tape did.
fn grown(
    rider: &Rider,
    measurement: Measurement,
    of: impl Fn(&Grown) -> f64,
    central: Grown,
    above: Grown,
) -> Measured {
    let reading = match measurement {
        Measurement::Height => rider.height,
        Measurement::Inseam => rider.inseam,
        Measurement::ArmReach | Measurement::Segment(_) => rider.arm_reach,
    };
    let tape = reading
        .spread
        .map_or_else(|| measurement.reading_sd_mm(rider.measured_by), Length::mm);
    Measured {
        value: Length::from_mm(of(&central)),
        spread: Some(Length::from_mm(tape.hypot(of(&above) - of(&central)))),
    }
}

fn in_the_future(key: &'static str, day: Date, on: Date) -> Error {
    let message = format!("found {day}, which is after the day of the fit, {on}");
    Problem::at_key(key, message).into()
}

/// The dated sets of a file, oldest first; none where the file has single figures.
fn sets(file: &RiderFile, on: Date) -> Result<Vec<DatedMeasurements>, Error> {
    let mut sets = file.measurements.clone();
    if sets.is_empty() {
        return Ok(sets);
    }
    let are_given = [
        file.inseam.is_some(),
        file.height.is_some(),
        file.arm_reach.is_some(),
        file.measured_on.is_some(),
    ];
    let twice: Vec<_> = BESIDE_NO_SETS
        .into_iter()
        .zip(are_given)
        .filter(|(_, is_given)| *is_given)
        .map(|(key, _)| {
            Problem::at_key(
                key,
                "is given beside measurements; keep it in the list, under its day",
            )
        })
        .collect();
    if !twice.is_empty() {
        return Err(twice.into());
    }
    sets.sort_by_key(|set| set.on);
    if let Some(pair) = sets.windows(2).find(|pair| pair[0].on == pair[1].on) {
        let message = format!("has two sets of {}; keep one", pair[0].on);
        return Err(Problem::at_key("measurements", message).into());
    }
    if let Some(last) = sets.last().filter(|set| set.on > on) {
        return Err(in_the_future("measurements", last.on, on));
    }
    Ok(sets)
}

/// Months that a forecast must reach for [`Rider::new`].
const _: () = assert!(HORIZON_MONTHS as f64 >= REFUSED_MONTHS);

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rider::measures::INSEAM_MM;
    use crate::rider::measures::Measured;

    fn file(height: f64, inseam: f64) -> RiderFile {
        crate::file::Document::from_text("rider", format!("height: {height}\ninseam: {inseam}\n"))
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

    /// 25.4 mm to the inch (international yard and pound agreement of 1959).
    #[test]
    fn a_unit_behind_the_spread_is_meant_for_a_fraction_too() {
        for (text, mm, spread_mm) in [
            ("22 1/2 ± 0.5 in", 571.5, 12.7),
            ("21 ± 1/4 in", 533.4, 6.35),
            ("21 1/4 +/- 1/4 in", 539.75, 6.35),
            ("1 ft 10 in ± 1/2 in", 558.8, 12.7),
        ] {
            let measured = Measured::from_text(text, &INSEAM_MM).unwrap();
            approx::assert_abs_diff_eq!(measured.mm(), mm, epsilon = 1e-9);
            approx::assert_abs_diff_eq!(measured.spread.unwrap().mm(), spread_mm, epsilon = 1e-9);
        }
        // Twelve and a half inches, not millimetres.
        let hand = Measured::from_text("12 1/2 ± 0.5 in", &(5.0..=400.0)).unwrap();
        approx::assert_abs_diff_eq!(hand.mm(), 317.5, epsilon = 1e-9);
    }

    #[test]
    fn a_trouser_seam_is_noticed_and_a_swapped_pair_refused() {
        let rider = Rider::new(&file(1240.0, 520.0), today()).unwrap();
        assert_eq!(rider.warnings().len(), 1, "{:?}", rider.warnings());
        let wrong = Rider::new(&file(900.0, 610.0), today())
            .unwrap_err()
            .into_problems();
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

    fn dated(sets: &str, more: &str) -> RiderFile {
        crate::file::Document::from_text("rider", format!("measurements:\n{sets}{more}"))
            .read()
            .unwrap()
    }

    #[test]
    fn the_newest_set_counts_and_is_brought_forward_along_the_chart() {
        let sets = "- {on: 2025-03-01, height: 1280, inseam: 600}\n- {on: 2024-03-01, height: 1220, inseam: 565}\n";
        let rider = Rider::new(&dated(sets, "born: 2017-03-01\nsex: girl\n"), today()).unwrap();
        // CDC 2000: a girl of 128 cm at 8 years (50th to 75th percentile) is some 6 cm taller at 9.
        assert!(
            (1325.0..1355.0).contains(&rider.height.mm()),
            "{}",
            rider.height.mm()
        );
        assert!(rider.height.spread.unwrap().mm() > 8.0);
        approx::assert_abs_diff_eq!(rider.age.unwrap().months(), 108.0, epsilon = 0.1);
        assert!(matches!(rider.warnings()[0], Warning::Stale { .. }));
    }

    #[test]
    fn a_figure_of_today_leaves_those_of_another_day_out_and_counts_the_age_on() {
        let single: RiderFile = crate::file::Document::from_text(
            "rider",
            "height: 1240\ninseam: 580\narm_reach: 480\nhip_height: 640\nweight: 25\nage: 8y\nmeasured_on: 2025-03-01\n",
        )
        .read()
        .unwrap();
        let set = "- {on: 2025-03-01, height: 1240, inseam: 580, arm_reach: 480}\n";
        let taller = RiderFile {
            height: Some(Measured::from_mm(1300.0)),
            ..RiderFile::default()
        };
        for mut file in [
            single.clone(),
            dated(set, "age: 8y\nweight: 25\nhip_height: 640\n"),
        ] {
            let left_out = file.measured_anew(&taller, today());
            assert_eq!(left_out, Some(jiff::civil::date(2025, 3, 1)));
            assert_eq!(
                (file.inseam, file.arm_reach, file.weight),
                (None, None, None)
            );
            assert!(file.segments().iter().all(Option::is_none));
            let rider = Rider::new(&file, today()).unwrap();
            approx::assert_abs_diff_eq!(rider.age.unwrap().months(), 108.0, epsilon = 0.1);
            assert_eq!(rider.measured_on, today());
        }
        // Nine days are nothing to a child's leg, and a file without a day is of today.
        let near = "- {on: 2026-02-20, height: 1290, inseam: 610}\n";
        let mut undated = single;
        undated.measured_on = None;
        for (mut file, inseam_mm) in [(dated(near, ""), 610.0), (undated, 580.0)] {
            assert_eq!(file.measured_anew(&taller, today()), None);
            assert_eq!(file.inseam, Some(Measured::from_mm(inseam_mm)));
        }
    }

    #[test]
    fn a_weight_of_long_ago_is_no_weight_of_today() {
        let weighed = |on: &str| {
            let set = format!("- {{on: {on}, height: 1240, inseam: 580, weight: 24}}\n");
            Rider::new(&dated(&set, "age: 8y\n"), today()).unwrap()
        };
        let old = weighed("2025-03-01");
        assert_eq!(old.weight, None);
        let told: Vec<_> = old
            .warnings()
            .iter()
            .map(|one| one.words(crate::Units::Mm))
            .collect();
        assert!(
            told.iter().any(|line| line.contains("24 kg of 2025-03-01")),
            "{told:?}"
        );
        assert_eq!(weighed("2025-12-01").weight.map(Mass::kg), Some(24.0));
    }

    #[test]
    fn a_set_too_old_or_of_tomorrow_is_refused_and_one_that_falls_is_told() {
        let of = |sets: &str, more: &str| Rider::new(&dated(sets, more), today());
        let age = "born: 2017-03-01\n";
        assert!(of("- {on: 2023-12-01, height: 1280}\n", age).is_err());
        assert!(of("- {on: 2026-03-02, height: 1280}\n", age).is_err());
        assert!(
            of("- {on: 2025-07-01, height: 1280}\n", "").is_err(),
            "no age"
        );
        assert!(of("- {on: 2026-02-01, height: 1280}\n", "height: 1290\n").is_err());
        let fell = of(
            "- {on: 2025-02-01, height: 1290}\n- {on: 2026-02-25, height: 1280}\n",
            age,
        );
        assert!(matches!(
            fell.unwrap().warnings()[0],
            Warning::HeightFell { .. }
        ));
    }

    #[test]
    fn a_fast_year_at_eleven_tells_half_of_the_next_and_one_at_seven_nothing() {
        let rider = |born: &str, from: i32, to: i32| {
            let sets = format!(
                "- {{on: 2025-03-01, height: {from}}}\n- {{on: 2026-03-01, height: {to}}}\n"
            );
            Rider::new(&dated(&sets, &format!("born: {born}\nsex: boy\n")), today()).unwrap()
        };
        // CDC 2000: boys of 10 to 11 years grow about 5 cm a year.
        let step = rider("2015-03-01", 1385, 1465).own_step.unwrap();
        assert!((10.0..20.0).contains(&step.more_mm), "{step:?}");
        assert!(rider("2019-03-01", 1215, 1295).own_step.is_none());
    }

    /// The share for the months since the measuring is in the figures; only the rest is still to come.
    #[test]
    fn a_childs_own_year_counts_once_whatever_the_day_of_the_fit() {
        let sets = "- {on: 2025-03-01, height: 1385}\n- {on: 2026-03-01, height: 1465}\n";
        let file = dated(sets, "born: 2015-03-01\nsex: boy\n");
        let half_a_year_past_it = |on: Date| {
            let rider = Rider::new(&file, on).unwrap();
            let ahead = months_between(on, jiff::civil::date(2027, 9, 1));
            let forecast = Forecast::new(&rider.forecast_start()).unwrap();
            forecast.at(Pace::Central, ahead).height_mm
        };
        let [fresh, half_a_year] =
            [today(), jiff::civil::date(2026, 9, 1)].map(half_a_year_past_it);
        // Half of it counted twice would be 5 mm and more.
        assert!((fresh - half_a_year).abs() < 1.5, "{fresh} {half_a_year}");
        let later = Rider::new(&file, jiff::civil::date(2027, 4, 1)).unwrap();
        assert!(later.own_step.is_none());
    }

    #[test]
    fn swapped_figures_are_named() {
        let wrong = Rider::new(&file(560.0 + 140.0, 990.0), today()).unwrap_err();
        assert!(wrong.to_string().contains("swapped"), "{wrong}");
    }

    #[test]
    fn inseam_alone_is_enough_and_is_said_to_be_a_guess() {
        let only: RiderFile = crate::file::Document::from_text("rider", "inseam: 58 cm\n")
            .read()
            .unwrap();
        let rider = Rider::new(&only, today()).unwrap();
        // Snyder et al. 1977, the fit of stature on leg length: 292 + 1.644 × 580.
        approx::assert_abs_diff_eq!(rider.height.mm(), 1245.52, epsilon = 1e-9);
        assert!(rider.estimated_keys().contains(&"height"));
    }
}
