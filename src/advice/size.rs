//! A rack for one rider: every bike judged, the surest and longest fit first, and by how much the near ones miss.
//! The judging is `fit::Assessor`'s; reading the rack is a face's business, showing it `report`'s.

use std::sync::Arc;

use rayon::prelude::*;

use crate::bike::Bike;
use crate::fit::checks::{CheckId, Measures, measure};
use crate::fit::forecast::Percentiles;
use crate::fit::{Assessor, Confidence, Fit, Misfit, Options, Pair, Status, Verdict};
use crate::rider::Rider;
use crate::units::Units;

/// A bike that would fit a rider this much taller or shorter is a near miss, mm of height.
const NEAR_MM: f64 = 50.0;
/// How exactly a near miss is told, mm of height: finer than a growth forecast can use.
const NEAR_RESOLUTION_MM: f64 = 0.5;
/// More bikes than this are screened: clear cases get no decimals, bikes that do not fit no forecast.
pub const SCREENED_ABOVE: usize = 500;

/// The whole answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizing {
    /// The rider.
    pub rider: Arc<Rider>,
    /// Every bike asked for, best first.
    pub bikes: Vec<SizedBike>,
    /// Whether any bike of the whole rack fits, also of those that were not asked for.
    pub any_fits: bool,
}

/// One bike of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct SizedBike {
    /// Place in the list, from 1.
    pub rank: usize,
    /// By how little it misses; None when it fits or misses by far.
    pub near_miss: Option<NearMiss>,
    /// The fit.
    pub fit: Fit,
}

impl SizedBike {
    /// Months until the bike is outgrown; all None when it does not fit now, without a forecast, or
    /// where it fits beyond the horizon.
    pub fn months_left(&self) -> Percentiles {
        match self.fit.growth() {
            Some(growth) if self.fit.verdict.fits() => growth.last_month,
            _ => Percentiles::default(),
        }
    }
}

impl SizedBike {
    /// What fails in a near miss, and by how much, in one sentence.
    pub fn near_miss_advice(&self, units: Units) -> Option<String> {
        let finding = self.fit.finding(self.near_miss?.check)?;
        Some(self.fit.advice(&finding, units))
    }
}

/// By how little a bike misses a rider.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NearMiss {
    /// The check that fails.
    pub check: CheckId,
    /// How much taller (negative: shorter) a rider of the same proportions would have to be, mm.
    pub height_mm: f64,
}

/// Judges every bike and orders them; `done` is told after each. The order does not depend on the
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
    let mut sized: Vec<_> = bikes
        .par_iter()
        .map(|bike| {
            let fit = assessor.assess(bike);
            let near_miss = near_miss(&fit);
            done();
            SizedBike {
                rank: 0,
                near_miss,
                fit,
            }
        })
        .collect();
    sized.sort_by(|a, b| {
        class(a)
            .cmp(&class(b))
            .then_with(|| life(b).total_cmp(&life(a)))
            .then_with(|| miss(a).total_cmp(&miss(b)))
            .then_with(|| weight(a).total_cmp(&weight(b)))
            .then_with(|| a.fit.bike.id.cmp(&b.fit.bike.id))
            .then_with(|| a.fit.bike.spec.name.cmp(&b.fit.bike.spec.name))
    });
    for (place, bike) in sized.iter_mut().enumerate() {
        bike.rank = place + 1;
    }
    Sizing {
        rider: Arc::clone(rider),
        any_fits: sized.iter().any(|bike| bike.fit.verdict.fits()),
        bikes: sized,
    }
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

/// The coarse order: sure, likely and doubtful fits, near misses, the rest by verdict.
fn class(bike: &SizedBike) -> u8 {
    match (bike.fit.verdict, bike.fit.confidence()) {
        (verdict, Some(Confidence::Likely)) if verdict.fits() => 1,
        (verdict, Some(Confidence::TooCloseToCall)) if verdict.fits() => 2,
        (verdict, _) if verdict.fits() => 0,
        _ if bike.near_miss.is_some() => 3,
        (Verdict::TooBig, _) => 4,
        (Verdict::TooSmall, _) => 5,
        _ => 6,
    }
}

/// How long a fitting bike lasts: months where there is a forecast, else the height up to which it fits.
fn life(bike: &SizedBike) -> f64 {
    if !bike.fit.verdict.fits() {
        return 0.0;
    }
    if bike.fit.growth().is_some() {
        return bike.months_left().p50.unwrap_or(f64::INFINITY);
    }
    grows_mm(&bike.fit)
}

fn miss(bike: &SizedBike) -> f64 {
    bike.near_miss.map_or(0.0, |miss| miss.height_mm.abs())
}

fn weight(bike: &SizedBike) -> f64 {
    let weight = bike.fit.bike.spec.weight;
    weight.map_or(f64::INFINITY, crate::units::Mass::kg)
}

/// The checks on a rider of the same proportions, this much taller, mm of height.
fn measures_taller(fit: &Fit, taller_mm: f64) -> Measures {
    let other = fit.rider.scaled(1.0 + taller_mm / fit.rider.height.mm());
    let body = other.body();
    measure(&Pair::new(&fit.bike, &body, other.stage, other.weight))
}

fn fits_taller(fit: &Fit, taller_mm: f64) -> bool {
    Verdict::of(measures_taller(fit, taller_mm).iter().flatten()).fits()
}

/// The last height step, from `inside` (fits) towards `outside` (does not), that still fits.
fn edge(fit: &Fit, mut inside: f64, mut outside: f64) -> [f64; 2] {
    while (inside - outside).abs() > NEAR_RESOLUTION_MM {
        let middle = f64::midpoint(inside, outside);
        if fits_taller(fit, middle) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    [inside, outside]
}

/// How much taller a rider of the same proportions may become on a bike that fits now, mm of height.
fn grows_mm(fit: &Fit) -> f64 {
    const STEP_MM: f64 = 40.0;
    const MOST_MM: f64 = 1000.0;
    let mut inside = 0.0;
    while inside < MOST_MM {
        if !fits_taller(fit, inside + STEP_MM) {
            return edge(fit, inside, inside + STEP_MM)[0];
        }
        inside += STEP_MM;
    }
    inside
}

/// Looks for a rider of the same proportions, a little taller or shorter, whom the bike fits.
fn near_miss(fit: &Fit) -> Option<NearMiss> {
    let (direction, misfit) = match fit.verdict {
        Verdict::TooBig => (1.0, Misfit::TooBig),
        Verdict::TooSmall => (-1.0, Misfit::TooSmall),
        Verdict::Ready | Verdict::SetUp | Verdict::Unsuitable => return None,
    };
    // A narrow window may end before the farthest try.
    let found = [1.0, 0.5, 0.25]
        .map(|share| direction * share * NEAR_MM)
        .into_iter()
        .find(|taller| fits_taller(fit, *taller))?;
    let [inside, outside] = edge(fit, found, 0.0);
    // The last check to give way is the one that decides, and this rider's own figure tells how far off it is.
    let at_the_edge = measures_taller(fit, outside);
    let check = CheckId::ALL.into_iter().find(|id| {
        at_the_edge[*id as usize].is_some_and(|measure| measure.status == Status::Fail(misfit))
    })?;
    Some(NearMiss {
        check,
        height_mm: inside,
    })
}
