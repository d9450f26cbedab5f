//! How sure a verdict is: the same checks over the possible bodies of the rider, and what to measure again.
//! No second model: every draw goes through `Pair` and the checks like the expected body.
//! The draws themselves are `rider::draws`.

use crate::bike::Bike;
use crate::fit::checks::{CheckId, Measures, measure};
use crate::fit::finding::{Measure, Status};
use crate::fit::pair::Pair;
use crate::fit::verdict::{DECIDED, Side};
use crate::rider::draws;
use crate::rider::{Body, MeasuredBy, Measurement, Rider};
use crate::words::choice;

/// Chance from which a verdict is called sure.
const SURE: f64 = 0.95;

choice! {
    /// How sure a verdict is of the size; nothing else is meant.
    pub enum Confidence {
        /// Below 80 %.
        TooCloseToCall = "too close to call",
        /// At least 80 %.
        Likely = "likely",
        /// At least 95 %.
        Sure = "sure",
    }
}

impl Confidence {
    /// From the chance that the verdict holds.
    pub fn from_chance(chance: f64) -> Self {
        if chance >= SURE {
            Self::Sure
        } else if chance >= DECIDED {
            Self::Likely
        } else {
            Self::TooCloseToCall
        }
    }
}

/// The one measurement that would settle the verdict most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Remeasure {
    /// What to measure.
    pub measurement: Measurement,
    /// Whether it was measured before.
    pub is_again: bool,
    /// The check that it decides.
    pub decides: CheckId,
}

impl Remeasure {
    /// What to measure, how, and what it decides, in one sentence.
    pub fn words(&self) -> String {
        format!(
            "measure the {}{}, {}: it decides {}",
            self.measurement.key().replace('_', " "),
            if self.is_again { " again" } else { "" },
            self.measurement.how(),
            self.decides.title()
        )
    }
}

/// What the draws say about one check.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CheckOdds {
    /// Chance that the finding stays on its side: passing or failing.
    pub chance: f64,
    /// Standard deviation of its value, in its own unit; None where most draws have no value.
    pub sd: Option<f64>,
}

/// What the draws say about a pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Odds {
    /// Chance that the pair stays on its side: fitting, too big, too small or unsuitable.
    pub chance: f64,
    /// Per check, in the order of [`CheckId::ALL`].
    pub checks: [CheckOdds; CheckId::COUNT],
    /// Standard deviation of the wanted saddle height, mm.
    pub saddle_height_sd_mm: Option<f64>,
    /// What to measure again, when too close to call.
    pub remeasure: Option<Remeasure>,
}

/// Mean and spread of a number over draws.
#[derive(Debug, Clone, Copy, Default)]
struct Spread {
    count: f64,
    mean: f64,
    squares: f64,
}

impl Spread {
    /// Welford 1962: stable for values far from zero.
    fn add(&mut self, value: f64) {
        self.count += 1.0;
        let off = value - self.mean;
        self.mean += off / self.count;
        self.squares += off * (value - self.mean);
    }

    fn sd(&self) -> Option<f64> {
        (self.count > 0.0).then(|| (self.squares / self.count).sqrt())
    }
}

/// One draw's outcome: which checks fail, as bits in the order of [`CheckId::ALL`], and what the pair comes to.
#[derive(Debug, Clone, Copy)]
struct Outcome {
    failing: u32,
    side: Side,
}

fn failing(measures: &Measures) -> u32 {
    let fails = |measure: &Option<Measure>| {
        measure.is_some_and(|measure| matches!(measure.status, Status::Fail(_)))
    };
    measures
        .iter()
        .enumerate()
        .fold(0, |bits, (index, measure)| {
            bits | (u32::from(fails(measure)) << index)
        })
}

/// Runs the checks over `bodies` and compares each with the expected outcome in `exact`.
///
/// With `screen`, the rest is left out when the first `screen` draws all agree with the expected body
/// on what the pair comes to: a clear case needs no decimals.
pub fn odds(
    rider: &Rider,
    bodies: &[Body],
    bike: &Bike,
    exact: &Measures,
    screen: Option<usize>,
) -> Odds {
    let expected = Outcome {
        failing: failing(exact),
        side: Side::of(exact),
    };
    let mut outcomes = Vec::with_capacity(bodies.len());
    let mut values = [Spread::default(); CheckId::COUNT];
    let mut saddle = Spread::default();
    for (index, body) in bodies.iter().enumerate() {
        let agrees = |outcome: &Outcome| outcome.side == expected.side;
        if screen == Some(index) && outcomes.iter().all(agrees) {
            break;
        }
        let pair = Pair::new(bike, body, rider.stage, rider.weight);
        let measures = measure(&pair);
        for (spread, measure) in values.iter_mut().zip(&measures) {
            if let Some(value) = measure.and_then(|measure| measure.value) {
                spread.add(value);
            }
        }
        if let Some(band) = pair.pose.band {
            saddle.add(pair.layout.post.saddle_height_mm(band.target));
        }
        outcomes.push(Outcome {
            failing: failing(&measures),
            side: Side::of(&measures),
        });
    }
    let share = |holds: &dyn Fn(&Outcome) -> bool| {
        outcomes.iter().filter(|outcome| holds(outcome)).count() as f64
            / outcomes.len().max(1) as f64
    };
    let chance = share(&|outcome| outcome.side == expected.side);
    let checks = std::array::from_fn(|index| {
        let bit = 1 << index;
        CheckOdds {
            chance: share(&|outcome| outcome.failing & bit == expected.failing & bit),
            sd: values[index].sd(),
        }
    });
    let remeasure = (Confidence::from_chance(chance) == Confidence::TooCloseToCall)
        .then(|| remeasure(rider, &bodies[..outcomes.len()], &outcomes))
        .flatten();
    Odds {
        chance,
        checks,
        saddle_height_sd_mm: saddle.sd(),
        remeasure,
    }
}

/// The measurement whose reading, taken again by the shop, would tell fitting from not fitting best.
fn remeasure(rider: &Rider, bodies: &[Body], outcomes: &[Outcome]) -> Option<Remeasure> {
    let fits: Vec<bool> = outcomes
        .iter()
        .map(|outcome| outcome.side == Side::Fits)
        .collect();
    let worth = |measurement: Measurement| {
        let order = sorted_by(measurement, bodies);
        explained(&order, &fits) * share_settled(rider, measurement)
    };
    let (measurement, gain) = Measurement::WORTH_ASKING
        .into_iter()
        .map(|measurement| (measurement, worth(measurement)))
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    if gain <= 0.0 {
        return None;
    }
    let order = sorted_by(measurement, bodies);
    let settles = |id: CheckId| {
        let fails: Vec<bool> = outcomes
            .iter()
            .map(|outcome| outcome.failing >> id as usize & 1 == 1)
            .collect();
        explained(&order, &fails)
    };
    let (decides, _) = CheckId::ALL
        .into_iter()
        .map(|id| (id, settles(id)))
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Remeasure {
        measurement,
        is_again: rider.has_measured(measurement),
        decides,
    })
}

/// Share of a measurement's variance that one more reading by the shop removes.
fn share_settled(rider: &Rider, measurement: Measurement) -> f64 {
    let now = draws::doubt_mm(rider, measurement).powi(2);
    let reading = measurement.reading_sd_mm(MeasuredBy::Shop).powi(2);
    if now == 0.0 {
        return 0.0;
    }
    // A second reading is averaged with the first by their variances.
    now / (now + reading)
}

fn sorted_by(measurement: Measurement, bodies: &[Body]) -> Vec<usize> {
    let mut order: Vec<(f64, usize)> = bodies
        .iter()
        .enumerate()
        .map(|(index, body)| (draws::value_mm(measurement, body), index))
        .collect();
    order.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    order.into_iter().map(|(_, index)| index).collect()
}

/// Variance of `outcome` that the ordering explains: variance of the means over equal groups, less
/// what chance alone would show (one-way analysis of variance).
fn explained(order: &[usize], outcome: &[bool]) -> f64 {
    const GROUPS: usize = 16;
    let size = order.len() / GROUPS;
    if size < 2 {
        return 0.0;
    }
    let mean = |indices: &[usize]| {
        indices.iter().filter(|&&index| outcome[index]).count() as f64 / indices.len() as f64
    };
    let total = mean(order);
    let between = order
        .chunks_exact(size)
        .map(|group| (mean(group) - total).powi(2))
        .sum::<f64>()
        / GROUPS as f64;
    between - total * (1.0 - total) / size as f64
}
