//! A rack for one rider: every bike judged, the surest and longest fit first, and by how much the near ones miss.
//! The judging is `fit::Assessor`'s; reading the rack is `cli::frames`, showing it is `report`.

use serde::Serialize;

use crate::advice::rack::Skipped;
use crate::bike::Bike;
use crate::fit::cautions::CAUTIONS;
use crate::fit::checks::CHECKS;
use crate::fit::forecast::Percentiles;
use crate::fit::{Assessor, Confidence, Fit, Misfit, Pair, RiderFacts, Status, Verdict, measure};
use crate::rider::{Body, Rider};

/// The order of the list, in one sentence for the user.
pub const ORDER: &str = "Order: the surest fit first, a sure one before a doubtful one; then the longest time until outgrown (or the most leg room), then the lighter bike; then near misses, the smallest first.";
/// A bike that would fit a rider this much taller or shorter is a near miss, mm of height.
const NEAR_MM: f64 = 50.0;
/// How exactly a near miss is told, mm of height: finer than a growth forecast can use.
const NEAR_RESOLUTION_MM: f64 = 0.5;
/// More bikes than this are screened: clear cases get no decimals, bikes that do not fit no forecast.
pub const SCREENED_ABOVE: usize = 500;

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sizing<Bikes = Vec<SizedBike>> {
    /// Name and version of this object's form.
    pub schema: &'static str,
    /// The rider's measurements.
    pub rider: RiderFacts,
    /// How the bikes are ordered, in words.
    pub order: &'static str,
    /// Every bike asked for, best first.
    pub bikes: Bikes,
    /// Files that could not be read.
    pub skipped: Vec<Skipped>,
    /// The usual cautions.
    pub cautions: &'static [&'static str],
}

/// One bike of the list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SizedBike {
    /// File or sample name.
    pub id: String,
    /// Place in the list, from 1.
    pub rank: usize,
    /// Months until the bike is outgrown; all None when it does not fit now, without a forecast, or
    /// where it fits beyond the horizon.
    pub months_left: Percentiles,
    /// By how little it misses; None when it fits or misses by far.
    pub near_miss: Option<NearMiss>,
    /// The same object that `fit` gives.
    pub fit: Fit,
    #[serde(skip)]
    weight_kg: Option<f64>,
    /// What a trimmed one is made whole from, where that was asked for.
    #[serde(skip)]
    bike: Option<Box<Bike>>,
}

impl SizedBike {
    /// The same without what a table does not show. A large rack is held in this form: a whole fit takes 10 KB.
    #[must_use]
    pub fn trimmed(mut self) -> Self {
        let fit = &mut self.fit;
        fit.rider.title = String::new();
        fit.rider.estimated = Vec::new();
        if fit.verdict.fits() || self.near_miss.is_some() {
            // What is to be set or looked at, and what the order of the list is made from.
            fit.findings.retain(|finding| {
                let is_told = matches!(finding.status, Status::Adjust | Status::Caution);
                is_told || finding.check == "leg_room"
            });
            fit.findings.shrink_to_fit();
        } else {
            fit.findings = Vec::new();
            fit.warnings = Vec::new();
        }
        if let Some(growth) = &mut fit.growth {
            (growth.months, growth.schedule) = (Vec::new(), Vec::new());
            growth.notes = Vec::new();
        }
        self
    }

    /// Trimmed, and with the bike itself, from which [`Self::whole`] makes the rest again.
    #[must_use]
    pub fn trimmed_with(self, bike: &Bike) -> Self {
        Self {
            bike: Some(Box::new(bike.clone())),
            ..self.trimmed()
        }
    }

    /// The whole of one that was trimmed with its bike; any other as it is. The assessor is the one that judged it.
    #[must_use]
    pub fn whole(&self, assessor: &Assessor<'_>) -> Self {
        match &self.bike {
            Some(bike) => Self {
                rank: self.rank,
                ..judge(assessor, bike)
            },
            None => self.clone(),
        }
    }
}

/// By how little a bike misses a rider.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NearMiss {
    /// The check that fails.
    pub check: &'static str,
    /// How much taller (negative: shorter) a rider of the same proportions would have to be, mm.
    pub height_mm: f64,
    /// What fails, and by how much.
    pub advice: String,
}

/// Judges one bike; its rank comes later.
pub fn judge(assessor: &Assessor<'_>, bike: &Bike) -> SizedBike {
    let fit = assessor.assess(bike);
    let months_left = match &fit.growth {
        Some(growth) if fit.verdict.fits() => growth.last_month,
        _ => Percentiles::default(),
    };
    SizedBike {
        id: bike.id.clone(),
        rank: 0,
        months_left,
        near_miss: near_miss(assessor.rider(), bike, &fit),
        weight_kg: bike.spec.weight.map(crate::units::Mass::kg),
        bike: None,
        fit,
    }
}

/// Orders the bikes and numbers them. The order does not depend on the order they come in.
pub fn rank(rider: RiderFacts, mut bikes: Vec<SizedBike>, skipped: Vec<Skipped>) -> Sizing {
    bikes.sort_by(|a, b| {
        class(a)
            .cmp(&class(b))
            .then_with(|| life(b).total_cmp(&life(a)))
            .then_with(|| miss(a).total_cmp(&miss(b)))
            .then_with(|| weight(a).total_cmp(&weight(b)))
            .then_with(|| a.id.cmp(&b.id))
            .then_with(|| a.fit.bike.name.cmp(&b.fit.bike.name))
    });
    for (place, bike) in bikes.iter_mut().enumerate() {
        bike.rank = place + 1;
    }
    Sizing {
        schema: "inseam/size/1",
        rider,
        order: ORDER,
        bikes,
        skipped,
        cautions: CAUTIONS,
    }
}

impl Sizing {
    /// The same list, whose bikes are written in another way.
    pub fn with_bikes<B>(self, bikes: impl FnOnce(Vec<SizedBike>) -> B) -> Sizing<B> {
        Sizing {
            schema: self.schema,
            rider: self.rider,
            order: self.order,
            bikes: bikes(self.bikes),
            skipped: self.skipped,
            cautions: self.cautions,
        }
    }
}

/// The coarse order: sure, likely and doubtful fits, near misses, the rest by verdict.
fn class(bike: &SizedBike) -> u8 {
    match (bike.fit.verdict, bike.fit.confidence) {
        (verdict, Some(Confidence::Likely)) if verdict.fits() => 1,
        (verdict, Some(Confidence::TooCloseToCall)) if verdict.fits() => 2,
        (verdict, _) if verdict.fits() => 0,
        _ if bike.near_miss.is_some() => 3,
        (Verdict::TooBig, _) => 4,
        (Verdict::TooSmall, _) => 5,
        _ => 6,
    }
}

/// How long a fitting bike lasts: months where there is a forecast, else the margin of leg room.
fn life(bike: &SizedBike) -> f64 {
    if !bike.fit.verdict.fits() {
        return 0.0;
    }
    if bike.fit.growth.is_some() {
        return bike.months_left.p50.unwrap_or(f64::INFINITY);
    }
    let room = bike
        .fit
        .finding("leg_room")
        .and_then(|finding| finding.margin);
    room.unwrap_or_default()
}

fn miss(bike: &SizedBike) -> f64 {
    let miss = bike.near_miss.as_ref();
    miss.map_or(0.0, |miss| miss.height_mm.abs())
}

fn weight(bike: &SizedBike) -> f64 {
    bike.weight_kg.unwrap_or(f64::INFINITY)
}

/// Looks for a rider of the same proportions, a little taller or shorter, whom the bike fits.
fn near_miss(rider: &Rider, bike: &Bike, fit: &Fit) -> Option<NearMiss> {
    let direction = match fit.verdict {
        Verdict::TooBig => 1.0,
        Verdict::TooSmall => -1.0,
        Verdict::Ready | Verdict::SetUp | Verdict::Unsuitable => return None,
    };
    let misfit = if direction > 0.0 {
        Misfit::TooBig
    } else {
        Misfit::TooSmall
    };
    let measures = |taller_mm: f64| {
        let other = rider.scaled(1.0 + taller_mm / rider.height.mm());
        let body = Body::of(&other);
        measure(&Pair::new(bike, &body, rider.stage, rider.weight))
    };
    let fits = |taller_mm: f64| Verdict::of(measures(taller_mm).iter().flatten()).fits();
    // A narrow window may end before the farthest try.
    let mut inside = [1.0, 0.5, 0.25]
        .map(|share| direction * share * NEAR_MM)
        .into_iter()
        .find(|taller| fits(*taller))?;
    let mut outside = 0.0;
    while (inside - outside).abs() > NEAR_RESOLUTION_MM {
        let middle = f64::midpoint(inside, outside);
        if fits(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    // The last check to give way is the one that decides, and this rider's own figure tells how far off it is.
    let at_the_edge = measures(outside);
    let (check, _) = CHECKS.iter().zip(&at_the_edge).find(|(_, measure)| {
        measure.is_some_and(|measure| measure.status == Status::Fail(misfit))
    })?;
    let finding = fit.finding(check.name())?;
    Some(NearMiss {
        check: finding.check,
        height_mm: inside,
        advice: finding.advice.clone(),
    })
}
