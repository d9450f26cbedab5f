//! One rider on one bike, whole: every check measured, the verdict, its chance, and what growing does to it.
//! A `Fit` keeps its rider, bike, body and pose, so that whoever words or draws it computes nothing again.
//! Which words and units it is told in is `report`'s and `draw`'s business.

use std::sync::Arc;

use jiff::civil::Date;

use crate::bike::Bike;
use crate::fit::bike_doubt::{bike_doubt, leave_open};
use crate::fit::checks::{CheckId, Measures, measure};
use crate::fit::finding::{Measure, Status, Unit};
use crate::fit::forecast::{GrownBodies, Growth};
use crate::fit::odds::{self, CheckOdds, Confidence, Glance, Odds};
use crate::fit::pair::{Pair, Pose, lacks_pedals};
use crate::fit::sign::Sign;
use crate::fit::verdict::{DECIDED, Side, Verdict, undone};
use crate::rider::growth::{NoForecast, is_grown};
use crate::rider::{Body, Rider, draws};
use crate::sources::Source;
use crate::units::Units;
use crate::words::sentence;

/// What a fit needs beyond rider and bike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// The day that ages and forecasts count from.
    pub on: Date,
    /// Take every figure as exact: no chances, no spreads.
    pub exact: bool,
    /// Whether to say how the fit changes as the child grows. Costs some hundred fits.
    pub forecast: bool,
}

impl Options {
    /// Everything that a fit can say on a given day.
    pub const fn new(on: Date) -> Self {
        Self {
            on,
            exact: false,
            forecast: true,
        }
    }

    /// The bare fit on a given day: figures taken as exact, no forecast.
    pub const fn bare(on: Date) -> Self {
        Self {
            exact: true,
            forecast: false,
            ..Self::new(on)
        }
    }
}

/// One rider on one bike: everything that reports, pictures and contracts are made from.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The rider.
    pub rider: Arc<Rider>,
    /// The bike.
    pub bike: Arc<Bike>,
    /// The rider's links.
    pub body: Body,
    /// The rider on the bike at the setting.
    pub pose: Pose,
    /// The checks' numbers.
    pub measures: Measures,
    /// One word for the pair, about size only.
    pub verdict: Verdict,
    /// How sure that is; None when exact figures were asked for.
    pub odds: Option<Odds>,
    /// What becomes of it as the child grows, or why that is not known; None when not asked for, and where a
    /// decisive check could not be made.
    pub growth: Option<Result<Growth, NoForecast>>,
}

/// What one check found about one pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Finding {
    /// The check.
    pub id: CheckId,
    /// Its numbers.
    pub measure: Measure,
    /// Unit of the numbers.
    pub unit: Unit,
    /// How sure they are; None when exact figures were asked for.
    pub odds: Option<CheckOdds>,
    /// Whether it is a figure of a post at its mark.
    pub is_at_mark: bool,
}

impl Finding {
    /// How it came out.
    pub const fn status(&self) -> Status {
        self.measure.status
    }

    /// Its sign: one that decides and is too close to call is not known.
    pub fn sign(&self) -> Sign {
        let is_open = self.odds.is_some_and(|odds| odds.chance < DECIDED);
        if is_open && self.id.check().is_decisive() {
            Sign::Unknown
        } else {
            Sign::of(self.status())
        }
    }

    /// Its numbers as they are told: what fails is held against the limit that it fails, not against what is wanted.
    pub fn told(&self) -> Measure {
        match self.status() {
            Status::Fail(_) => self.id.check().within_limits(self.measure),
            _ => self.measure,
        }
    }

    /// The measured value in words, at the mark never rounded past it; None where there is none.
    pub fn measured(&self, units: Units) -> Option<String> {
        let at_mark = |mm: f64| Some(self.unit.show(mm, units));
        match (self.id, self.measure.value) {
            (CheckId::SaddleHeight, Some(mm)) if self.is_at_mark => {
                at_mark(units.shown_at_most_mm(mm))
            }
            (CheckId::PostInsertion, Some(mm)) if self.is_at_mark => {
                at_mark(units.shown_at_least_mm(mm))
            }
            _ => self.told().shown(self.unit, units),
        }
    }

    /// The wanted range in words, the post's mark never rounded down; None where there is none.
    pub fn wanted(&self, units: Units) -> Option<String> {
        match (self.id, self.measure.low) {
            (CheckId::PostInsertion, Some(mark)) => {
                Some(format!("at least {}", units.length_at_least(mark)))
            }
            _ => self.told().wanted(self.unit, units),
        }
    }

    /// Where the rule comes from.
    pub fn sources(&self) -> impl Iterator<Item = Source> {
        self.id.check().sources().iter()
    }
}

impl Fit {
    /// The body on the bike, as the checks read it.
    pub fn pair(&self) -> Pair<'_> {
        Pair {
            bike: &self.bike,
            layout: &self.bike.layout,
            body: &self.body,
            weight: self.rider.weight,
            may_grow: !self.rider.age.is_some_and(is_grown),
            pose: self.pose,
        }
    }

    /// The saddle to set as these units show it, mm, by the figure that it is told by: see
    /// [`Bike::tells_saddle_from_ground`].
    pub fn saddle_shown_mm(&self, units: Units) -> f64 {
        let told = self.bike.saddle_told_mm(self.pose.position);
        self.pair().setting().shown_mm(units, told)
    }

    /// The finding of one check, if it has a meaning for this bike.
    pub fn finding(&self, id: CheckId) -> Option<Finding> {
        let check = id.check();
        let measure = check.as_told(&self.bike, self.measures[id as usize]?);
        Some(Finding {
            id,
            measure,
            unit: check.unit(&self.bike),
            is_at_mark: matches!(id, CheckId::SaddleHeight | CheckId::PostInsertion)
                && self.pair().setting().is_at_mark,
            odds: self
                .odds
                .filter(|_| !matches!(measure.status, Status::NotChecked(_)))
                .map(|odds| match id {
                    // One spread for one figure, wherever it is shown: that of the saddle that is wanted.
                    CheckId::SaddleHeight => CheckOdds {
                        sd: odds.saddle_height_sd_mm,
                        ..odds.checks[id as usize]
                    },
                    _ => CheckOdds {
                        sd: odds.checks[id as usize]
                            .sd
                            .filter(|_| measure.value.is_some()),
                        ..odds.checks[id as usize]
                    },
                }),
        })
    }

    /// Every finding, in the order of reports.
    pub fn findings(&self) -> impl Iterator<Item = Finding> {
        CheckId::ALL.into_iter().filter_map(|id| self.finding(id))
    }

    /// What a finding means for this pair, in one plain sentence.
    pub fn advice(&self, finding: &Finding, units: Units) -> String {
        if let Status::NotChecked(missing) = finding.measure.status {
            return format!("not checked: needs {}", self.bike.wants(missing.what));
        }
        let (check, pair, measure) = (finding.id.check(), self.pair(), &finding.measure);
        let said = check.advise(&pair, measure, units);
        // No part makes another size of a bike.
        let is_of_use = !self.verdict.rules_out();
        let cure = is_of_use.then(|| check.cure(&pair, measure, units));
        match cure.flatten() {
            Some(cure) => format!("{said}: {cure}"),
            None => said,
        }
    }

    /// What nobody may pass over although it rules nothing out: every caution, and every check of safety that could
    /// not be made. None of a bike that is ruled out.
    pub fn to_read(&self) -> impl Iterator<Item = Finding> {
        let findings = self.findings().filter(|_| !self.verdict.rules_out());
        findings.filter(|finding| match finding.status() {
            Status::Caution => true,
            Status::NotChecked(_) => finding.id.check().is_safety(),
            _ => false,
        })
    }

    /// Of [`Self::to_read`] the cautions.
    pub fn cautions(&self) -> impl Iterator<Item = Finding> {
        let to_read = self.to_read();
        to_read.filter(|finding| finding.status() == Status::Caution)
    }

    /// Of [`Self::to_read`] the checks of safety that could not be made.
    pub fn unchecked(&self) -> impl Iterator<Item = Finding> {
        let to_read = self.to_read();
        to_read.filter(|finding| matches!(finding.status(), Status::NotChecked(_)))
    }

    /// What stands first under a bike that is not ruled out, each a sentence: that the leg wants measuring, and
    /// [`Self::to_read`] but for what heads the answer as the reason that nothing can be said.
    pub fn read_this(&self, units: Units) -> Vec<String> {
        let found = self.to_read().filter(|finding| match finding.status() {
            Status::NotChecked(missing) => !missing.is_decisive,
            _ => true,
        });
        let found = found.map(|finding| self.told(&finding, units));
        let first = self.measure_first(units).into_iter();
        first.chain(found).map(|line| sentence(&line)).collect()
    }

    /// What to measure before the saddle of a bike that fits is set, without an end; None where the leg was measured.
    pub fn measure_first(&self, units: Units) -> Option<String> {
        let first = self.rider.measure_first().filter(|_| self.verdict.fits())?;
        let sd = self.saddle_doubt_mm().map(|sd| units.length(sd));
        Some(sd.map_or_else(|| first.to_owned(), |sd| format!("{first}, ± {sd}")))
    }

    /// How far the saddle to set may be off because the leg it is set by was estimated, mm of standard deviation.
    pub fn saddle_doubt_mm(&self) -> Option<f64> {
        self.saddle_told_sd_mm()
            .filter(|_| self.rider.estimated.inseam)
    }

    /// Standard deviation of the saddle height of a table that has a column for it, mm: see
    /// [`Pair::tabled_saddle_height_mm`].
    pub fn tabled_saddle_height_sd_mm(&self) -> Option<f64> {
        let odds = self
            .odds
            .filter(|_| !self.bike.tells_saddle_from_ground())?;
        odds.saddle_height_sd_mm
    }

    /// Standard deviation of the wanted saddle from where it is told, mm: see [`Bike::tells_saddle_from_ground`].
    pub fn saddle_told_sd_mm(&self) -> Option<f64> {
        self.tabled_saddle_height_sd_mm()
            .or(self.odds?.seat_height_sd_mm)
    }

    /// A check by its name and what it found, without an end.
    pub fn told(&self, finding: &Finding, units: Units) -> String {
        format!("{}: {}", finding.id.title(), self.advice(finding, units))
    }

    /// The highest standover that leaves this rider the air that is wanted, mm.
    pub fn highest_standover_mm(&self) -> Option<f64> {
        let wanted = self.finding(CheckId::Standover)?.measure.low?;
        Some(self.body.inseam_in_shoes_mm() - wanted)
    }

    /// The side on which an undecided pair leans: see [`Odds::leans`]; every other verdict's own side.
    pub fn leans(&self) -> Side {
        match self.odds {
            Some(odds) if self.verdict == Verdict::Undecided => odds.leans,
            _ => Side::of(&self.measures),
        }
    }

    /// The chance of that side; None when exact figures were asked for.
    pub fn chance(&self) -> Option<f64> {
        let is_open = self.verdict == Verdict::Undecided;
        self.odds
            .map(|odds| if is_open { odds.leaning } else { odds.chance })
    }

    /// Whether it is undecided because nobody said how old the rider is: see [`Odds::turns_on_age`].
    pub fn turns_on_age(&self) -> bool {
        self.verdict == Verdict::Undecided && self.odds.is_some_and(|odds| odds.turns_on_age)
    }

    /// Decisive figures that are not known: the check, and what to measure or to say.
    pub fn undone(&self) -> impl Iterator<Item = (CheckId, &'static str)> {
        undone(&self.measures)
    }

    /// How sure the verdict is; None when exact figures were asked for.
    pub fn confidence(&self) -> Option<Confidence> {
        self.odds.map(|odds| Confidence::from_chance(odds.chance))
    }

    /// What becomes of the fit as the child grows, where that is known.
    pub fn growth(&self) -> Option<&Growth> {
        self.growth.as_ref()?.as_ref().ok()
    }

    /// What deserves a second look: rider, bike, and how they were put together.
    pub fn warnings(&self, units: Units) -> Vec<String> {
        let mut words: Vec<_> = self
            .rider
            .warnings()
            .into_iter()
            .map(|warning| warning.words(units))
            .collect();
        words.extend(self.bike.mismatches.iter().map(|found| found.words(units)));
        words.extend(self.no_pedals());
        if let Some(Err(why)) = &self.growth {
            words.extend(why.words(units));
        }
        words
    }

    /// What no sureness goes without, to stand behind it; empty where there is nothing.
    pub fn proviso(&self) -> String {
        let odds = self.rider.figures_at_odds();
        odds.map_or_else(String::new, |odds| format!(", if {odds}"))
    }

    /// That a rider who could have pedals gets none, in one sentence without an end.
    pub fn no_pedals(&self) -> Option<String> {
        lacks_pedals(&self.bike, self.rider.stage).then(|| {
            format!(
                "a bike without cranks is ridden feet on the ground: judged as {}",
                self.pose.stage
            )
        })
    }
}

/// Fits one rider to one bike. Pure: the same input gives the same fit.
///
/// # Example
/// ```
/// use std::sync::Arc;
/// use inseam::{Options, Rider, assess, bike::library, rider::RiderFile, file::Document};
///
/// let bike = library::sample("trail-24").expect("a sample bike");
/// let file: RiderFile = Document::from_text("rider", "{height: 138 cm, inseam: 66 cm}").read().unwrap();
/// let options = Options::new(jiff::civil::date(2026, 3, 1));
/// let rider = Arc::new(Rider::new(&file, options.on).unwrap());
/// assert!(assess(&rider, &bike, &options).verdict.fits());
/// ```
pub fn assess(rider: &Arc<Rider>, bike: &Arc<Bike>, options: &Options) -> Fit {
    Assessor::new(rider, *options).assess(bike)
}

/// One rider, prepared for any number of bikes: the body and its draws are made once.
#[derive(Debug, Clone)]
pub struct Assessor {
    rider: Arc<Rider>,
    body: Body,
    draws: Vec<Body>,
    glances: &'static [Glance],
    is_screening: bool,
    grown: Option<Result<GrownBodies, NoForecast>>,
}

impl Assessor {
    /// For full figures on every bike.
    pub fn new(rider: &Arc<Rider>, options: Options) -> Self {
        let count = if options.exact { 0 } else { draws::DRAWS };
        Self {
            rider: Arc::clone(rider),
            body: rider.body(),
            draws: draws::draw(rider, count),
            glances: Glance::AT_A_PAIR,
            is_screening: false,
            grown: options.forecast.then(|| GrownBodies::of(rider, options.on)),
        }
    }

    /// For a large rack: clear cases are not followed to the last decimal, and only bikes that fit get a
    /// forecast.
    #[must_use]
    pub fn screening(mut self) -> Self {
        self.glances = Glance::AT_A_RACK;
        self.is_screening = true;
        self
    }

    /// The rider.
    pub fn rider(&self) -> &Arc<Rider> {
        &self.rider
    }

    /// The rider's coming bodies, where a forecast was asked for and can be made.
    pub fn grown(&self) -> Option<&GrownBodies> {
        self.grown.as_ref()?.as_ref().ok()
    }

    /// The fit on one bike.
    pub fn assess(&self, bike: &Arc<Bike>) -> Fit {
        let rider = &self.rider;
        let pair = Pair::new(bike, &self.body, rider.stage, rider.weight);
        let pose = pair.pose;
        let mut measures = measure(&pair);
        let needed = bike_doubt(bike, &self.body, rider.stage, rider.weight, &measures);
        leave_open(&mut measures, &needed);
        let odds = (!self.draws.is_empty())
            .then(|| odds::odds(rider, &self.draws, bike, &measures, self.glances));
        let verdict = Verdict::of(&measures, odds.map(|odds| odds.chance));
        let growth = match &self.grown {
            // On a large rack, only bikes to choose from have their future told.
            Some(Ok(_)) if self.is_screening && !verdict.fits() => None,
            // What cannot be judged today cannot be judged in any month.
            Some(Ok(_)) if verdict == Verdict::Incomplete => None,
            Some(Ok(bodies)) => {
                let growth = bodies.growth(bike);
                Some(Ok(if verdict == Verdict::Undecided {
                    bodies.too_close_to_call(growth, bike)
                } else {
                    growth
                }))
            }
            Some(Err(why)) => Some(Err(*why)),
            None => None,
        };
        Fit {
            rider: Arc::clone(rider),
            bike: Arc::clone(bike),
            body: self.body,
            pose,
            measures,
            verdict,
            odds,
            growth,
        }
    }
}
