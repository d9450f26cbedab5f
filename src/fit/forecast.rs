//! How a pair fares as the child grows: the same pair and the same checks, on the body of each coming month.
//! Gives the months in which the bike fits, when the saddle goes up, and by how much.
//! How the child grows is `rider::growth`; which bikes to ask about is `advice`.

use crate::bike::{Bike, Figure};
use crate::fit::checks::measure;
use crate::fit::pair::{Pair, stage_on};
use crate::fit::setting::NO_ROOM_MM;
use crate::fit::verdict::Verdict;
use crate::rider::body::EXPECTED;
use crate::rider::growth::{self, Forecast, Grown, HORIZON_MONTHS, NoForecast, Pace};
use crate::rider::{Body, Measured, Measurement, Rider, Segment, Stage, draws};
use crate::units::{Mass, Units, tidy};
use jiff::ToSpan as _;
use jiff::civil::Date;

/// Steps in which a saddle is raised, mm: a seat clamp is not opened for less.
pub const SADDLE_STEP_MM: f64 = 5.0;
/// First and last month are given in tenths of a month.
const TENTHS: usize = 10;
/// The paces behind [`Percentiles`], in their order.
const FASTEST_FIRST: [Pace; 3] = [Pace::Fast, Pace::Central, Pace::Slow];
/// Days in a month, for its fractions.
const DAYS_PER_MONTH: f64 = 365.25 / 12.0;

/// What becomes of one pair.
#[derive(Debug, Clone, PartialEq)]
pub struct Growth {
    /// The day that months count from.
    pub as_of: Date,
    /// Every month to the horizon, today first.
    pub months: Vec<GrownMonth>,
    /// Months from now at which the bike first fits; 0 when it fits now.
    pub first_month: Percentiles,
    /// Months from now at which it is outgrown.
    pub last_month: Percentiles,
    /// When to raise the saddle, and to what.
    pub schedule: Vec<Raise>,
    /// What the forecast rests on and where it ends.
    pub notes: Vec<Note>,
}

impl Growth {
    /// Whether it cannot be said when the bike first fits, since not enough is known of it or of the rider.
    pub fn is_open(&self) -> bool {
        self.first_month.p50.is_none()
            && self
                .months
                .iter()
                .any(|month| month.verdict == Verdict::Incomplete)
    }

    /// The height expected `months` from now, mm, linear between months; None beyond the horizon.
    pub fn height_mm(&self, months: f64) -> Option<f64> {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a small positive number of months"
        )]
        let before = self.months.get(months.floor().max(0.0) as usize)?;
        let after = self.months.get(before.month + 1).unwrap_or(before);
        Some(before.height_mm + months.fract() * (after.height_mm - before.height_mm))
    }

    /// Whether the bike is too small already today, and not only as measured.
    pub fn is_outgrown(&self) -> bool {
        self.last_month == Percentiles::default() && self.is_too_small_as_measured()
    }

    fn is_too_small_as_measured(&self) -> bool {
        self.months
            .first()
            .is_some_and(|today| today.verdict == Verdict::TooSmall)
    }

    /// The verdict expected so many months from now: undecided inside the brackets of the first or the last month. None
    /// beyond the horizon.
    pub fn verdict_in(&self, months: usize) -> Option<Verdict> {
        let verdict = self.months.get(months)?.verdict;
        let at = whole(months);
        let is_size = matches!(verdict, Verdict::Fits | Verdict::TooBig | Verdict::TooSmall);
        let mut brackets = [self.first_month, self.last_month].into_iter();
        let is_open = brackets.any(|months| months.is_inside(at));
        Some(if is_size && is_open {
            Verdict::Undecided
        } else {
            verdict
        })
    }
}

/// One coming month: lengths mm, band one standard deviation of growth, tape and estimates together.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "named as the rider's measurements")]
pub struct GrownMonth {
    /// Months from now.
    pub month: usize,
    pub date: Date,
    pub height_mm: f64,
    pub height_low_mm: f64,
    pub height_high_mm: f64,
    pub inseam_mm: f64,
    pub inseam_low_mm: f64,
    pub inseam_high_mm: f64,
    pub arm_reach_mm: f64,
    /// The saddle that this month's body wants, inside the post's range, as it is told: see
    /// [`Layout::told_mm`](crate::bike::Layout::told_mm).
    pub saddle_height_mm: f64,
    pub verdict: Verdict,
}

/// Months from now by chance: in one case of ten no later than `p10`, in nine of ten no later than `p90`.
/// None: not within the horizon.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Percentiles {
    /// Growing fast.
    pub p10: Option<f64>,
    /// As the chart has it.
    pub p50: Option<f64>,
    /// Growing slowly.
    pub p90: Option<f64>,
}

impl Percentiles {
    /// Whether so many months lie between the earliest and the latest tenth.
    fn is_inside(self, months: f64) -> bool {
        self.p10.is_some_and(|early| early < months) && self.p90.is_none_or(|late| months < late)
    }
}

/// A date and the saddle height to set then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Raise {
    /// The day.
    pub date: Date,
    /// Bottom-bracket centre to saddle top, straight, mm; on a bike without cranks from the ground.
    pub saddle_height_mm: f64,
    /// Whether the post is known to be at its mark: the saddle goes no higher.
    pub is_at_mark: bool,
}

impl Raise {
    /// The same told as the bike's saddle is: see [`Bike::tells_saddle_from_ground`].
    #[must_use]
    pub fn told(self, bike: &Bike) -> Self {
        let layout = &bike.layout;
        let position = layout.position_told(self.saddle_height_mm);
        match position.filter(|_| bike.tells_saddle_from_ground()) {
            Some(position) => Self {
                saddle_height_mm: layout.seat_height_mm(position),
                ..self
            },
            None => self,
        }
    }

    /// The height in words: where the saddle goes no higher, never rounded up.
    pub fn length(&self, units: Units) -> String {
        if self.is_at_mark {
            units.length_at_most(self.saddle_height_mm)
        } else {
            units.length(self.saddle_height_mm)
        }
    }

    /// The same on both rulers of a tape.
    pub fn tape(&self, units: Units) -> String {
        if self.is_at_mark {
            units.tape_at_most(self.saddle_height_mm)
        } else {
            units.tape(self.saddle_height_mm)
        }
    }
}

/// From tenths of a month.
impl From<[Option<usize>; 3]> for Percentiles {
    fn from(tenths: [Option<usize>; 3]) -> Self {
        let [p10, p50, p90] = tenths.map(|tenths| tenths.map(in_months));
        Self { p10, p50, p90 }
    }
}

/// What a forecast of the fit rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Note {
    /// What limits the forecast of the measurements.
    Chart(growth::Note),
    /// The stage that every month is judged at.
    StageOfToday(Stage),
    /// The day from which the post is at its mark; None for today.
    PostAtMark(Option<Date>),
    /// The months are those of size: how heavy the child gets is not forecast, and the maker allows so many kg.
    LoadMayEndIt(f64),
}

impl Note {
    /// One plain sentence.
    pub fn words(self) -> String {
        match self {
            Self::Chart(note) => note.words(),
            Self::StageOfToday(stage) => format!("judged at the stage of today: {stage}"),
            Self::PostAtMark(None) => {
                "the post is at its minimum-insertion mark now: the saddle goes no higher"
                    .to_owned()
            }
            Self::PostAtMark(Some(day)) => format!(
                "the post reaches its minimum-insertion mark about {}: from then on the saddle goes no higher",
                day.strftime("%B %Y")
            ),
            Self::LoadMayEndIt(limit_kg) => format!(
                "by size alone: the load limit of {} kg, rider and bag, may come first",
                tidy(limit_kg, 1)
            ),
        }
    }
}

/// One rider's body in every coming month, worked out once for any number of bikes.
#[derive(Debug, Clone)]
pub struct GrownBodies {
    on: Date,
    stage: Stage,
    weight: Option<Mass>,
    notes: Vec<Note>,
    forecast: Forecast,
    /// The expected body by whole month.
    months: Vec<Body>,
    growing: Growing,
}

/// What is needed to build the body of a coming month.
#[derive(Debug, Clone)]
struct Growing {
    sole_mm: f64,
    measured: [Option<Measured>; Segment::COUNT],
    /// Today's body with every segment estimated.
    estimated_now: Body,
    /// What tape and estimates leave open today, mm.
    height_sd_mm: f64,
    inseam_sd_mm: f64,
    /// The same of the hip above the saddle, which decides when a leg has outgrown a post.
    seat_sd_mm: f64,
}

/// Which end of a bike's time a doubtful body is asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    First,
    Last,
}

impl End {
    /// What a partial file leaves open about the length of the bike that this end hangs on, mm: as much as a leg
    /// longer or shorter by it.
    fn bike_sd_mm(self, bike: &Bike) -> f64 {
        let Some(doubt) = &bike.doubt else {
            return 0.0;
        };
        match self {
            Self::First => doubt
                .sd(Figure::Standover)
                .max(doubt.sd(Figure::SeatHeightLowest)),
            Self::Last if bike.is_balance() => doubt.sd(Figure::SeatHeightHighest),
            Self::Last => doubt.sd(Figure::SaddleHeightHighest),
        }
    }
}

impl Growing {
    fn of(rider: &Rider) -> Self {
        let doubt = |measurement| draws::doubt_mm(rider, measurement);
        Self {
            sole_mm: rider.sole_mm,
            measured: rider.segments,
            estimated_now: Body::new(
                rider.height.mm(),
                rider.inseam.mm(),
                rider.arm_reach.mm(),
                rider.sole_mm,
                &[None; Segment::COUNT],
                &EXPECTED,
            ),
            height_sd_mm: doubt(Measurement::Height),
            inseam_sd_mm: doubt(Measurement::Inseam),
            seat_sd_mm: doubt(Measurement::Segment(Segment::HipAboveSaddle)),
        }
    }

    /// The body with these measurements, its hip `seat_mm` higher above the saddle than usual. A measured
    /// segment keeps its distance from the estimate, as the inseam does.
    fn body(&self, grown: Grown, seat_mm: f64) -> Body {
        let mut residuals = EXPECTED;
        residuals[Segment::HipAboveSaddle as usize] = seat_mm;
        let body = |segments: &_| {
            Body::new(
                grown.height_mm,
                grown.inseam_mm,
                grown.arm_reach_mm,
                self.sole_mm,
                segments,
                &residuals,
            )
        };
        let estimated = body(&[None; Segment::COUNT]);
        if self.measured.iter().all(Option::is_none) {
            return estimated;
        }
        let mut segments = self.measured;
        for (segment, measured) in Segment::ALL.into_iter().zip(&mut segments) {
            if let Some(measured) = measured {
                let grown = estimated.segment_mm(segment) - self.estimated_now.segment_mm(segment);
                *measured = Measured::from_mm(measured.mm() + grown);
            }
        }
        body(&segments)
    }

    /// The body that a pace makes once growth, tape, estimates and the bike are all in doubt together: independent
    /// spreads add as squares, and each takes its part of the way in proportion to its square.
    fn doubtful(
        &self,
        forecast: &Forecast,
        pace: Pace,
        months: f64,
        end: End,
        bike_sd_mm: f64,
    ) -> Body {
        let central = forecast.at(Pace::Central, months);
        let deviations = pace.deviations();
        if deviations == 0.0 {
            return self.body(central, 0.0);
        }
        let at_pace = forecast.at(pace, months);
        let sd =
            |at_pace: f64, central: f64, now: f64| ((at_pace - central) / deviations).hypot(now);
        let height_sd = sd(at_pace.height_mm, central.height_mm, self.height_sd_mm);
        // A bike that may be lower is outgrown as early as a leg that may be longer.
        let inseam_sd =
            sd(at_pace.inseam_mm, central.inseam_mm, self.inseam_sd_mm).hypot(bike_sd_mm);
        let seat_sd = match end {
            // Standing over a bike and sitting down on its lowest saddle are matters of the inseam alone.
            End::First => 0.0,
            End::Last => self.seat_sd_mm,
        };
        let whole = inseam_sd.hypot(seat_sd).max(f64::MIN_POSITIVE);
        let (of_inseam, of_seat) = (inseam_sd / whole, seat_sd / whole);
        let height_mm = central.height_mm + deviations * height_sd * of_inseam;
        let grown = Grown {
            height_mm,
            inseam_mm: central.inseam_mm + deviations * inseam_sd * of_inseam,
            arm_reach_mm: central.arm_reach_mm * height_mm / central.height_mm,
        };
        // A low seat outgrows a post early, as long legs do.
        self.body(grown, -deviations * seat_sd * of_seat)
    }
}

impl GrownBodies {
    /// The coming bodies of a rider, counted from `on`.
    ///
    /// # Errors
    /// Why there is no forecast.
    pub fn of(rider: &Rider, on: Date) -> Result<Self, NoForecast> {
        let forecast = Forecast::new(&rider.forecast_start())?;
        let growing = Growing::of(rider);
        let months = (0..=HORIZON_MONTHS)
            .map(|month| growing.body(forecast.at(Pace::Central, whole(month)), 0.0))
            .collect();
        let notes = forecast.notes.iter().copied().map(Note::Chart).collect();
        Ok(Self {
            on,
            stage: rider.stage,
            // Today's: how heavy a child gets is not forecast.
            weight: rider.weight,
            notes,
            forecast,
            months,
            growing,
        })
    }

    /// The forecast of the measurements.
    pub fn forecast(&self) -> &Forecast {
        &self.forecast
    }

    /// The body expected `months` from now.
    pub fn body(&self, months: f64) -> Body {
        self.growing
            .body(self.forecast.at(Pace::Central, months), 0.0)
    }

    /// The verdict on a bike for the body expected `months` from now, figures taken as exact.
    pub fn verdict(&self, bike: &Bike, months: f64) -> Verdict {
        self.judge(bike, &self.body(months))
    }

    fn judge(&self, bike: &Bike, body: &Body) -> Verdict {
        let pair = Pair::new(bike, body, self.stage, self.weight);
        Verdict::of(&measure(&pair), None)
    }

    fn judge_at(&self, bike: &Bike, pace: Pace, end: End, tenths: usize) -> Verdict {
        let bike_sd_mm = end.bike_sd_mm(bike);
        let months = in_months(tenths);
        let body = self
            .growing
            .doubtful(&self.forecast, pace, months, end, bike_sd_mm);
        self.judge(bike, &body)
    }

    /// The first tenth of a month in which a bike fits; None when there is none to the horizon.
    fn first(&self, bike: &Bike, pace: Pace) -> Option<usize> {
        /// A narrow window lasts at least this long.
        const STRIDE: usize = TENTHS;
        let at = |tenths| self.judge_at(bike, pace, End::First, tenths);
        for tenths in (0..=HORIZON_MONTHS * TENTHS).step_by(STRIDE) {
            let verdict = at(tenths);
            if verdict.fits() {
                let before = tenths.saturating_sub(STRIDE);
                return Some(if tenths == 0 {
                    0
                } else {
                    flip(|tenths| at(tenths).fits(), tenths, before)
                });
            }
            // Growing only makes it smaller. What is not known today may decide nothing on a longer leg.
            if !matches!(verdict, Verdict::TooBig | Verdict::Incomplete) {
                return None;
            }
        }
        None
    }

    /// The last tenth of a month in which a bike that fits at `from` still does; `from` itself where it does
    /// not, None beyond the horizon.
    fn last(&self, bike: &Bike, pace: Pace, from: usize) -> Option<usize> {
        /// What fits at both ends of a stretch fits all through it: once outgrown, always outgrown.
        const STRETCH: usize = 4 * TENTHS;
        let horizon = HORIZON_MONTHS * TENTHS;
        let is_outgrown =
            |tenths| self.judge_at(bike, pace, End::Last, tenths) == Verdict::TooSmall;
        if is_outgrown(from) {
            return Some(from);
        }
        let mut inside = from;
        while inside < horizon {
            let next = (inside + STRETCH).min(horizon);
            if is_outgrown(next) {
                return Some(flip(|tenths| !is_outgrown(tenths), inside, next));
            }
            inside = next;
        }
        None
    }

    /// First and last months: a fast child grows into a bike early, and out of it early. All None where the
    /// child as expected never fits it.
    pub fn first_and_last_month(&self, bike: &Bike) -> [Percentiles; 2] {
        let Some(central) = self.first(bike, Pace::Central) else {
            return [Percentiles::default(); 2];
        };
        let first = FASTEST_FIRST.map(|pace| match pace {
            Pace::Central => Some(central),
            _ => self.first(bike, pace),
        });
        let mut last = [None; 3];
        let mut faster = central;
        for (pace, last) in FASTEST_FIRST.into_iter().zip(&mut last) {
            // A slower child has the bike at least as long as a faster one: begin there.
            let from = if pace == Pace::Fast { 0 } else { faster };
            *last = self.last(bike, pace, from);
            match *last {
                Some(tenths) => faster = tenths.max(central),
                None => break,
            }
        }
        [first.into(), last.into()]
    }

    /// The day that lies `months` ahead.
    pub fn date(&self, months: f64) -> Date {
        date_after(self.on, months)
    }

    /// What becomes of a pair.
    pub fn growth(&self, bike: &Bike) -> Growth {
        let months: Vec<_> = (0..=HORIZON_MONTHS)
            .zip(&self.months)
            .map(|(month, body)| self.month(bike, month, body))
            .collect();
        let [first_month, last_month] = self.first_and_last_month(bike);
        let mut notes = self.notes.clone();
        notes.push(Note::StageOfToday(stage_on(bike, self.stage)));
        let schedule = match first_month.p50 {
            Some(first) => {
                let limit = bike.spec.load_limit.map(Mass::kg);
                notes.extend(limit.map(Note::LoadMayEndIt));
                self.schedule(bike, &months, first, last_month.p50, &mut notes)
            }
            None => Vec::new(),
        };
        Growth {
            as_of: self.on,
            months,
            first_month,
            last_month,
            schedule,
            notes,
        }
    }

    /// What becomes of a pair that is too close to call: where it is too small as measured, it is outgrown about now, and
    /// later where the legs are shorter than the tape read.
    #[must_use]
    pub fn too_close_to_call(&self, growth: Growth, bike: &Bike) -> Growth {
        if !growth.is_too_small_as_measured() {
            return growth;
        }
        let first = self.first(bike, Pace::Slow).unwrap_or(0);
        let last = self.last(bike, Pace::Slow, first);
        Growth {
            first_month: [Some(0), Some(0), Some(first)].into(),
            last_month: [Some(0), Some(0), last].into(),
            ..growth
        }
    }

    fn month(&self, bike: &Bike, month: usize, body: &Body) -> GrownMonth {
        let at = |pace| self.forecast.at(pace, whole(month));
        let [central, high] = [Pace::Central, Pace::High].map(at);
        let growing = &self.growing;
        // What is measured to a few millimetres today is known no better in a year.
        let height_sd = (high.height_mm - central.height_mm).hypot(growing.height_sd_mm);
        let inseam_sd = (high.inseam_mm - central.inseam_mm).hypot(growing.inseam_sd_mm);
        let pair = Pair::new(bike, body, self.stage, self.weight);
        GrownMonth {
            month,
            date: self.date(whole(month)),
            height_mm: central.height_mm,
            height_low_mm: central.height_mm - height_sd,
            height_high_mm: central.height_mm + height_sd,
            inseam_mm: central.inseam_mm,
            inseam_low_mm: central.inseam_mm - inseam_sd,
            inseam_high_mm: central.inseam_mm + inseam_sd,
            arm_reach_mm: central.arm_reach_mm,
            saddle_height_mm: bike.layout.told_mm(pair.pose.position),
            verdict: Verdict::of(&measure(&pair), None),
        }
    }

    /// The saddle height of the first day that the bike fits, then whole steps as the wanted height
    /// passes them, until the post's mark or the day that the bike is outgrown.
    fn schedule(
        &self,
        bike: &Bike,
        months: &[GrownMonth],
        first: f64,
        last: Option<f64>,
        notes: &mut Vec<Note>,
    ) -> Vec<Raise> {
        let mark = bike.layout.told_mm(bike.layout.post.highest_mm);
        let raise = |date, saddle_height_mm: f64| Raise {
            date,
            saddle_height_mm,
            is_at_mark: bike.knows_highest_saddle() && mark - saddle_height_mm < NO_ROOM_MM,
        };
        let start = {
            let body = self.body(first);
            let pair = Pair::new(bike, &body, self.stage, self.weight);
            bike.layout.told_mm(pair.pose.position)
        };
        let mut schedule = vec![raise(self.date(first), start)];
        let end = last.unwrap_or(whole(HORIZON_MONTHS));
        // The first whole step that is at least a step above what is set.
        let mut next = ((start / SADDLE_STEP_MM).ceil() + 1.0) * SADDLE_STEP_MM;
        while next <= mark {
            let Some(month) = month_at_saddle(months, next).filter(|month| *month <= end) else {
                break;
            };
            schedule.push(raise(self.date(month.max(first)), next));
            next += SADDLE_STEP_MM;
        }
        let at_mark = month_at_saddle(months, mark).filter(|month| *month <= end);
        if let Some(month) = at_mark.filter(|_| bike.knows_highest_saddle()) {
            notes.push(Note::PostAtMark(if month <= 0.0 {
                None
            } else {
                Some(self.date(month))
            }));
        }
        schedule
    }
}

/// Month at which the wanted saddle first reaches a height, linear between months.
fn month_at_saddle(months: &[GrownMonth], height_mm: f64) -> Option<f64> {
    /// Far below a tape's reading: the mark itself counts as reached.
    const ROUNDING_MM: f64 = 1e-6;
    let reached = months
        .iter()
        .position(|month| month.saddle_height_mm >= height_mm - ROUNDING_MM)?;
    let Some(before) = reached.checked_sub(1) else {
        return Some(0.0);
    };
    let (low, high) = (
        months[before].saddle_height_mm,
        months[reached].saddle_height_mm,
    );
    let share = ((height_mm - low) / (high - low)).clamp(0.0, 1.0);
    Some(whole(before) + share)
}

/// Halves the bracket between a tenth of a month that fits and one that does not; the last that fits.
fn flip(fits: impl Fn(usize) -> bool, mut inside: usize, mut outside: usize) -> usize {
    while inside.abs_diff(outside) > 1 {
        let middle = usize::midpoint(inside, outside);
        if fits(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    inside
}

/// A day some months later; the last day that the calendar has, beyond it.
pub fn date_after(day: Date, months: f64) -> Date {
    #[expect(clippy::cast_possible_truncation, reason = "clamped to the horizon")]
    let (whole, days) = {
        let months = months.clamp(0.0, self::whole(HORIZON_MONTHS));
        (
            months.floor() as i64,
            (months.fract() * DAYS_PER_MONTH).floor() as i64,
        )
    };
    day.saturating_add(whole.months())
        .saturating_add(days.days())
}

/// A count of months as a number.
#[expect(clippy::cast_precision_loss, reason = "small whole number")]
fn whole(month: usize) -> f64 {
    month as f64
}

/// Tenths of a month in months.
fn in_months(tenths: usize) -> f64 {
    whole(tenths) / whole(TENTHS)
}
