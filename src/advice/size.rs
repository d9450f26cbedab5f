//! A rack for one rider: every bike judged and put in order, and why the first is first.
//! Never ordered by size. The judging is `fit::Assessor`'s; reading the rack is a face's business.

use std::cmp::Ordering;
use std::sync::Arc;

use rayon::prelude::*;

use crate::advice::stop::{Stop, room_mm};
use crate::bike::{Bike, library};
use crate::fit::bike_doubt::what_next;
use crate::fit::forecast::Percentiles;
use crate::fit::pair::lacks_pedals;
use crate::fit::{Assessor, CheckId, Confidence, Finding, Fit, Options, Status, Verdict};
use crate::rider::Rider;
use crate::units::{Units, tidy};

/// More bikes than this are screened: clear cases get no decimals, bikes that do not fit no forecast.
pub const SCREENED_ABOVE: usize = 500;

/// The class of what is too close to call.
const UNDECIDED: u8 = 1;
/// The class of what does not fit.
const RULED_OUT: u8 = 3;
/// The class of what would be no help either: outgrown, and without pedals for who could have them. What is too big is
/// grown into.
const NO_HELP: u8 = 4;

/// The whole answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizing {
    /// The rider.
    pub rider: Arc<Rider>,
    /// Every bike asked for, best first.
    pub bikes: Vec<SizedBike>,
    /// Whether any bike of the whole rack fits, also of those that were not asked for.
    pub any_fits: bool,
    /// How many bikes were judged, however many are kept.
    pub judged: usize,
    /// Where none of the whole rack fits, the nearest of it, also if that was not asked for.
    pub nearest: Option<SizedBike>,
    /// Where none of the whole rack fits, the first of the sample bikes that would.
    pub sample: Option<Arc<Bike>>,
}

/// One bike of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct SizedBike {
    /// Place in the list, from 1.
    pub rank: usize,
    /// The fit.
    pub fit: Fit,
    /// Why it gets no work order; None where it fits.
    pub stop: Option<Stop>,
    /// What put it in its place.
    pub standing: Standing,
    /// What puts it before the next bike; None for the last.
    pub why: Option<Why>,
}

/// What decides a bike's place, in this order; smaller comes first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Fits, undecided, incomplete, ruled out, ruled out and no help either.
    pub class: u8,
    /// For the last two: how far off in height, mm: see [`Stop::off_mm`].
    pub off_mm: f64,
    /// Sure, likely, no chance asked for.
    pub doubt: u8,
    /// Whether a rider who could have pedals would get none.
    pub lacks_pedals: bool,
    /// Whether a figure is wanting that verdicts hang on: see [`what_next`].
    pub wants_figure: bool,
    /// Of what is too close to call: the chance that it does not fit, in whole percent, as chances are told. 0 for all
    /// others.
    pub misfit_percent: f64,
    /// Cautions about safety, and checks of it that could not be made: see
    /// [`Check::is_safety`](crate::fit::finding::Check::is_safety) and [`Status::counts_against`].
    pub safety_cautions: usize,
    /// All others of both kinds.
    pub other_cautions: usize,
    /// How many of both are checks that could not be made.
    pub unchecked: usize,
    /// Over 9 months left, 3 to 9, under 3.
    pub time: u8,
    /// Whether anything of the bike is assumed.
    pub is_assumed: bool,
    /// Distance of the rider's height from the middle of what the bike fits, mm.
    pub off_middle_mm: f64,
    /// Weight, kg; infinite where it is not given.
    pub weight_kg: f64,
}

/// What puts one bike before the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// It fits, the next does not, or is less near to it.
    Nearer,
    /// It fits more surely.
    Surer,
    /// It has pedals.
    Pedals,
    /// The next is outgrown and has no pedals.
    Help,
    /// More is known of it.
    Known,
    /// Of two that are too close to call it is the likelier to fit.
    Likelier,
    /// Fewer cautions about safety.
    Safer,
    /// Fewer cautions.
    FewerCautions,
    /// It lasts longer.
    Longer,
    /// The rider is nearer to the middle of what it fits.
    Middle,
    /// Lighter.
    Lighter,
    /// Nothing but the name.
    Name,
}

impl Standing {
    fn of(rider: &Rider, fit: &Fit, stop: Option<&Stop>) -> Self {
        /// Ends of the classes of months left.
        const LITTLE_TIME: f64 = 3.0;
        const MUCH_TIME: f64 = 9.0;
        let lacks_pedals = lacks_pedals(&fit.bike, rider.stage);
        let class = match fit.verdict {
            Verdict::Fits => 0,
            Verdict::Undecided => UNDECIDED,
            Verdict::Incomplete => 2,
            Verdict::TooSmall if lacks_pedals => NO_HELP,
            Verdict::TooBig | Verdict::TooSmall | Verdict::Unsuitable => RULED_OUT,
        };
        let count = |counts: &dyn Fn(&Finding) -> bool| fit.findings().filter(counts).count();
        let cautions = |is_safety: bool| {
            count(&|found| {
                found.status().counts_against() && found.id.check().is_safety() == is_safety
            })
        };
        let [above, below] = if class == 0 { room_mm(fit) } else { [0.0; 2] };
        Self {
            class,
            off_mm: stop.map_or(0.0, |stop| stop.off_mm(fit)),
            // Of a verdict that waits for a figure nobody is told how sure it is.
            doubt: match fit.verdict {
                Verdict::Incomplete => 0,
                _ => fit.confidence().map_or(0, Confidence::doubt),
            },
            lacks_pedals,
            wants_figure: what_next(&fit.bike).is_some(),
            misfit_percent: match (fit.verdict, fit.odds) {
                (Verdict::Undecided, Some(odds)) => 100.0 - (odds.fits * 100.0).floor(),
                _ => 0.0,
            },
            safety_cautions: cautions(true),
            other_cautions: cautions(false),
            unchecked: count(&|found| matches!(found.status(), Status::NotChecked(_))),
            time: match fit.growth().map(|growth| growth.last_month.p50) {
                Some(Some(months)) if months < LITTLE_TIME => 2,
                Some(Some(months)) if months <= MUCH_TIME => 1,
                _ => 0,
            },
            is_assumed: fit.bike.doubt.is_some(),
            off_middle_mm: (above - below).abs() / 2.0,
            weight_kg: fit
                .bike
                .spec
                .weight
                .map_or(f64::INFINITY, crate::units::Mass::kg),
        }
    }

    fn is_assumed_and_open(&self) -> bool {
        self.class == UNDECIDED && self.is_assumed
    }

    /// Which comes first, and what says so.
    fn against(&self, other: &Self) -> (Ordering, Why) {
        /// Heights on the same step are the same: a tape reads no finer.
        const STEP_MM: f64 = 5.0;
        let step = |mm: f64| (mm / STEP_MM).round();
        let keys = [
            (
                self.class.cmp(&other.class),
                // Nothing else stands behind it.
                if self.class == RULED_OUT {
                    Why::Help
                } else {
                    Why::Nearer
                },
            ),
            (self.off_mm.total_cmp(&other.off_mm), Why::Nearer),
            (self.doubt.cmp(&other.doubt), Why::Surer),
            (self.lacks_pedals.cmp(&other.lacks_pedals), Why::Pedals),
            (self.wants_figure.cmp(&other.wants_figure), Why::Known),
            // A figure left out makes no bike likelier.
            (
                self.is_assumed_and_open().cmp(&other.is_assumed_and_open()),
                Why::Known,
            ),
            (
                self.misfit_percent.total_cmp(&other.misfit_percent),
                Why::Likelier,
            ),
            (self.safety_cautions.cmp(&other.safety_cautions), Why::Safer),
            (
                self.other_cautions.cmp(&other.other_cautions),
                Why::FewerCautions,
            ),
            (self.time.cmp(&other.time), Why::Longer),
            (self.is_assumed.cmp(&other.is_assumed), Why::Known),
            (
                step(self.off_middle_mm).total_cmp(&step(other.off_middle_mm)),
                Why::Middle,
            ),
            (self.weight_kg.total_cmp(&other.weight_kg), Why::Lighter),
        ];
        keys.into_iter()
            .find(|(order, _)| order.is_ne())
            .unwrap_or((Ordering::Equal, Why::Name))
    }
}

impl Why {
    /// One sentence on the first bike against the next.
    pub fn words(self, first: &SizedBike, next: &SizedBike, units: Units) -> String {
        let name = &next.fit.bike.id;
        let (one, other) = (&first.standing, &next.standing);
        match self {
            Self::Nearer if one.class == 0 => {
                format!("it fits and {name} {}", next.fit.verdict.beside())
            }
            Self::Nearer => format!("it is nearer to fitting than {name}"),
            Self::Surer if one.class == 0 => format!("it fits more surely than {name}"),
            Self::Surer => format!("its verdict is surer than that of {name}"),
            Self::Pedals => format!("it has pedals and {name} has none"),
            Self::Help => format!("{name} is outgrown and has no pedals"),
            Self::Safer | Self::FewerCautions => {
                let cautions = |standing: &Standing| {
                    standing.safety_cautions + standing.other_cautions - standing.unchecked
                };
                match (cautions(one), cautions(other)) {
                    (has, had) if one.unchecked < other.unchecked && has >= had => {
                        waiting(first, next).unwrap_or_else(|| {
                            format!("fewer of its checks wait for a figure than those of {name}")
                        })
                    }
                    (0, _) => format!("it has no caution and {name} has"),
                    _ if self == Self::Safer => {
                        format!("its cautions weigh less than those of {name}")
                    }
                    _ => format!("it has fewer cautions than {name}"),
                }
            }
            Self::Known => format!("more is known of it than of {name}"),
            Self::Likelier => format!("it is likelier to fit than {name}"),
            Self::Longer => format!("it fits for longer than {name}"),
            Self::Middle => format!(
                "the rider is {} from the middle of what it fits, and {} with {name}",
                units.length(one.off_middle_mm),
                units.length(other.off_middle_mm)
            ),
            Self::Lighter if other.weight_kg.is_finite() => format!(
                "it is {} kg lighter than {name}",
                tidy(other.weight_kg - one.weight_kg, 1)
            ),
            Self::Lighter => format!("its weight is known, that of {name} is not"),
            Self::Name => format!("nothing tells it from {name} but the name"),
        }
    }
}

/// A check of the next bike that waits for a figure and that of the first does not, in words; None where there is none.
fn waiting(first: &SizedBike, next: &SizedBike) -> Option<String> {
    let waits = |bike: &SizedBike, id: CheckId| match bike.fit.finding(id)?.status() {
        Status::NotChecked(missing) => Some(missing.what),
        _ => None,
    };
    let mut checks = CheckId::ALL.into_iter();
    let (id, what) = checks.find_map(|id| {
        let what = waits(next, id).filter(|_| waits(first, id).is_none())?;
        Some((id, what))
    })?;
    let bike = &next.fit.bike;
    Some(format!(
        "the {} of {} waits for {}",
        id.title(),
        bike.id,
        bike.wants(what)
    ))
}

impl SizedBike {
    fn of(assessor: &Assessor, bike: &Arc<Bike>) -> Self {
        let fit = assessor.assess(bike);
        let stop = Stop::of(&fit);
        Self {
            rank: 0,
            standing: Standing::of(assessor.rider(), &fit, stop.as_ref()),
            stop,
            fit,
            why: None,
        }
    }

    fn order(&self, other: &Self) -> Ordering {
        let (order, _) = self.standing.against(&other.standing);
        let (one, other) = (&self.fit.bike, &other.fit.bike);
        order
            .then_with(|| one.id.cmp(&other.id))
            .then_with(|| one.spec.name.cmp(&other.spec.name))
    }

    fn is_before(&self, other: &Self) -> bool {
        self.order(other).is_lt()
    }

    /// Months until the bike is outgrown; all None when it does not fit now, without a forecast, or
    /// where it fits beyond the horizon.
    pub fn months_left(&self) -> Percentiles {
        match self.fit.growth() {
            Some(growth) if self.fit.verdict.fits() => growth.last_month,
            _ => Percentiles::default(),
        }
    }
}

/// Judges every bike and puts them in order; `done` is told after each. The order does not depend on the
/// order they come in.
pub fn size(
    rider: &Arc<Rider>,
    bikes: &[Arc<Bike>],
    options: Options,
    done: impl Fn() + Sync,
) -> Sizing {
    let mut assessor = Assessor::new(rider, options);
    if bikes.len() > SCREENED_ABOVE {
        assessor = assessor.screening();
    }
    let bikes = in_order(&assessor, bikes, done);
    let any_fits = bikes.iter().any(|bike| bike.fit.verdict.fits());
    let nearest = bikes.first().filter(|_| !any_fits).cloned();
    let samples = || library::samples().collect::<Vec<_>>();
    Sizing {
        rider: Arc::clone(rider),
        any_fits,
        judged: bikes.len(),
        sample: nearest
            .as_ref()
            .and_then(|_| instead(rider, &samples(), options)),
        nearest,
        bikes,
    }
}

fn in_order(assessor: &Assessor, bikes: &[Arc<Bike>], done: impl Fn() + Sync) -> Vec<SizedBike> {
    let mut sized: Vec<_> = bikes
        .par_iter()
        .map(|bike| {
            let sized = SizedBike::of(assessor, bike);
            done();
            sized
        })
        .collect();
    // In place: on a rack of thousands the copies of a stable sort are a fifth of all memory.
    sized.sort_unstable_by(SizedBike::order);
    for place in 0..sized.len() {
        let next = sized.get(place + 1).map(|next| next.standing);
        let bike = &mut sized[place];
        bike.rank = place + 1;
        bike.why = next.map(|next| bike.standing.against(&next).1);
    }
    sized
}

/// The bike to offer instead of one that does not fit: the first that fits, in the order of [`size`].
pub fn instead(rider: &Arc<Rider>, bikes: &[Arc<Bike>], options: Options) -> Option<Arc<Bike>> {
    // What does not fit as measured fits by no chance, and needs no chances.
    let measured = Assessor::new(rider, Options::bare(options.on));
    let near: Vec<Arc<Bike>> = bikes
        .par_iter()
        .filter(|bike| measured.assess(bike).verdict.fits())
        .cloned()
        .collect();
    let assessor = Assessor::new(rider, options);
    let mut first: Option<SizedBike> = None;
    for near in in_order(&measured, &near, || ()) {
        let bike = SizedBike::of(&assessor, &near.fit.bike);
        if bike.fit.verdict.fits() && first.as_ref().is_none_or(|first| bike.is_before(first)) {
            // Those that follow stand behind in all but doubt and time, of which this one has the best.
            let is_last = bike.standing.doubt == 0 && bike.standing.time == 0;
            first = Some(bike);
            if is_last {
                break;
            }
        }
    }
    first.map(|first| first.fit.bike)
}

/// The bike that a rider whom none fits would have to differ least from itself for, with why not: the first that does
/// not fit, in the order of [`size`] without a forecast.
pub fn nearest(rider: &Arc<Rider>, bikes: &[Arc<Bike>], options: Options) -> Option<(Fit, Stop)> {
    /// Bikes that are looked at with their chances.
    const LOOKED_AT: usize = 8;
    let first = |options: Options, bikes: &[Arc<Bike>]| {
        let assessor = Assessor::new(rider, options).screening();
        in_order(&assessor, bikes, || ()).into_iter()
    };
    let near = first(Options::bare(options.on), bikes).take(LOOKED_AT);
    let near: Vec<_> = near.map(|bike| bike.fit.bike).collect();
    let quick = Options {
        forecast: false,
        ..options
    };
    first(quick, &near).find_map(|bike| Some((bike.fit, bike.stop?)))
}

impl Sizing {
    /// Keeps only these verdicts (all where none is named) and at most `limit` bikes.
    pub fn keep(&mut self, only: &[Verdict], limit: Option<usize>) {
        if !only.is_empty() {
            self.bikes.retain(|bike| only.contains(&bike.fit.verdict));
        }
        self.bikes.truncate(limit.unwrap_or(usize::MAX));
    }
}
