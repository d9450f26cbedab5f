//! How sure a verdict is: the same checks over the possible bodies of the rider, and what to measure again.
//! No second model: every draw goes through `Pair` and the checks like the expected body.
//! The draws themselves are `rider::draws`.

use crate::bike::{Bike, Figure};
use crate::fit::bike_doubt::{fails, takeable};
use crate::fit::checks::{CheckId, Measures, measure};
use crate::fit::pair::Pair;
use crate::fit::verdict::{DECIDED, SURE, Side};
use crate::rider::draws;
use crate::rider::{Body, MeasuredBy, Measurement, Rider};
use crate::words::{choice, key_in_words};

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

    /// For an order: 0 sure, 1 likely, 2 less.
    pub const fn doubt(self) -> u8 {
        match self {
            Self::Sure => 0,
            Self::Likely => 1,
            Self::TooCloseToCall => 2,
        }
    }
}

/// What to measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// The rider.
    Rider {
        /// What to measure.
        measurement: Measurement,
        /// Whether it was measured before.
        is_again: bool,
    },
    /// The bike: the dotted key of the figure.
    Bike(&'static str),
}

impl Asked {
    /// Its key: of the rider file, or the frame file's dotted one.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Rider { measurement, .. } => measurement.key(),
            Self::Bike(path) => path,
        }
    }
}

/// The one measurement that would settle the verdict most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remeasure {
    /// What to measure.
    pub asked: Asked,
    /// The check that it decides, or says most about.
    pub decides: CheckId,
    /// How often a reading would decide the verdict, of all that it may come to: as an exact figure would, less the
    /// share of its doubt that the tape leaves.
    pub settles: f64,
}

impl Remeasure {
    /// What to measure, how, and what it decides, in one sentence.
    pub fn words(&self) -> String {
        let what = match self.asked {
            Asked::Rider {
                measurement,
                is_again,
            } => {
                let again = if is_again { " again" } else { "" };
                format!(
                    "the {}{again}, {}",
                    measurement.key().replace('_', " "),
                    measurement.how()
                )
            }
            Asked::Bike(path) => {
                let key = path.rsplit('.').next().unwrap_or(path);
                let figure = Figure::ALL.into_iter().find(|figure| figure.key() == key);
                let how = figure.map_or("as printed on it", Figure::how);
                format!("the bike's {}, {how}", key_in_words(path))
            }
        };
        let decides = self.decides.title();
        if self.settles >= DECIDED {
            format!("measure {what}: it decides {decides}")
        } else {
            format!(
                "measure {what}: it says most about {decides}, and may still leave the answer open"
            )
        }
    }
}

/// At this chance something is as likely as not.
pub const EVEN: f64 = 0.5;

/// What the draws say about one check.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CheckOdds {
    /// Chance that the finding stays on its side, passing or failing: where the age is open, of the less sure end, as
    /// [`Odds::chance`].
    pub chance: f64,
    /// Standard deviation of its value, in its own unit; None where most draws have no value.
    pub sd: Option<f64>,
}

/// What the draws say about a pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Odds {
    /// Chance that the pair stays on its side: fitting, too big, too small or unsuitable. Of a rider whose age is open it
    /// is that of the less sure of [`draws::ends`]: an age left out makes no answer surer.
    pub chance: f64,
    /// Whether the rider's age is open and decides: the youngest who are as tall lean to another side than the oldest.
    pub turns_on_age: bool,
    /// The likeliest side, the pair's own where two are as likely; the pair's own too where the age decides which.
    pub leans: Side,
    /// The chance of that side; the less sure end's in the same way.
    pub leaning: f64,
    /// Chance that it fits, whatever side it is on; the less sure end's in the same way.
    pub fits: f64,
    /// Per check, in the order of [`CheckId::ALL`].
    pub checks: [CheckOdds; CheckId::COUNT],
    /// Standard deviation of the wanted saddle from the bottom bracket, mm; without cranks from the ground.
    pub saddle_height_sd_mm: Option<f64>,
    /// Standard deviation of the wanted saddle from the ground, mm.
    pub seat_height_sd_mm: Option<f64>,
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
    measures
        .iter()
        .enumerate()
        .fold(0, |bits, (index, measure)| {
            bits | (u32::from(fails(measure.as_ref())) << index)
        })
}

/// A look at the draws made so far, after which the rest is left out where the case is clear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glance {
    /// After how many draws.
    pub draws: usize,
    /// How far the chance must be from both limits: several times what so many draws are off by. Draws that all
    /// agree with the expected body are clear at any distance.
    pub well_away: f64,
}

impl Glance {
    /// For a pair of its own: every draw is looked at.
    pub const AT_A_PAIR: &[Self] = &[];
    /// For a large rack: clear cases are not followed to the last decimal.
    pub const AT_A_RACK: &[Self] = &[
        Self {
            draws: 64,
            well_away: 1.0,
        },
        Self {
            draws: 256,
            well_away: 0.05,
        },
    ];
    /// For a book of thousands of pairs, which are looked at again before they are given away.
    pub const AT_A_BOOK: &[Self] = &[Self {
        draws: 16,
        well_away: 1.0,
    }];

    fn is_clear(self, chance: f64) -> bool {
        let is_away_from = |limit: f64| (chance - limit).abs() > self.well_away;
        chance >= 1.0 || is_away_from(DECIDED) && is_away_from(SURE)
    }
}

/// Runs the checks over `bodies` and compares each with the expected outcome in `exact`, as far as the glances do not
/// find the case clear before.
pub fn odds(
    rider: &Rider,
    bodies: &[Body],
    bike: &Bike,
    exact: &Measures,
    glances: &[Glance],
) -> Odds {
    let expected = Outcome {
        failing: failing(exact),
        side: Side::of(exact),
    };
    let mut outcomes = Vec::with_capacity(bodies.len());
    let mut values = [Spread::default(); CheckId::COUNT];
    let (mut saddle, mut seat) = (Spread::default(), Spread::default());
    // Body and layout of one draw go together, so that the chance covers the doubt of both.
    let doubt = bike.doubt.as_ref();
    let at_once = glances.first().map_or(bodies.len(), |first| first.draws);
    let mut layouts = doubt.map(|doubt| doubt.layouts(at_once));
    let ends = draws::ends(rider);
    let is_on_side = |outcome: &Outcome| outcome.side == expected.side;
    let chance_of = |side: Side, outcomes: &[Outcome]| {
        least_share(outcomes, ends, |outcome: &Outcome| outcome.side == side)
    };
    for (index, body) in bodies.iter().enumerate() {
        let glance = glances.iter().find(|glance| glance.draws == index);
        if glance.is_some_and(|glance| glance.is_clear(chance_of(expected.side, &outcomes))) {
            break;
        }
        if let (Some(doubt), Some(made)) = (doubt, &mut layouts)
            && index >= made.len()
        {
            *made = doubt.layouts(bodies.len());
        }
        let layout = layouts.as_ref().map_or(&bike.layout, |made| &made[index]);
        let pair = Pair::on(bike, layout, body, rider.stage, rider.weight);
        // What the bike leaves open is counted as it falls out: a figure that nobody took makes no yes surer.
        let measures = measure(&pair);
        for (spread, measure) in values.iter_mut().zip(&measures) {
            if let Some(value) = measure.and_then(|measure| measure.value) {
                spread.add(value);
            }
        }
        if let Some(band) = pair.pose.band {
            saddle.add(pair.layout.told_mm(band.target));
            seat.add(pair.layout.seat_height_mm(band.target));
        }
        outcomes.push(Outcome {
            failing: failing(&measures),
            side: Side::of(&measures),
        });
    }
    let chance = chance_of(expected.side, &outcomes);
    let leaning = shares(&outcomes, ends, is_on_side).filter(|share| *share >= EVEN);
    let turns_on_age = rider.is_age_open() && (1..ends).contains(&leaning.count());
    let own = (expected.side, chance);
    let likelier = |most: (Side, f64), side: Side| {
        let chance = chance_of(side, &outcomes);
        if chance > most.1 {
            (side, chance)
        } else {
            most
        }
    };
    // Between two ages no side is the likelier.
    let (leans, leaning) = if turns_on_age {
        own
    } else {
        Side::ALL.iter().copied().fold(own, likelier)
    };
    let checks = std::array::from_fn(|index| {
        let bit = 1 << index;
        CheckOdds {
            chance: least_share(&outcomes, ends, |outcome| {
                outcome.failing & bit == expected.failing & bit
            }),
            sd: values[index].sd(),
        }
    });
    let remeasure = (Confidence::from_chance(chance) == Confidence::TooCloseToCall)
        .then(|| remeasure(rider, bike, &bodies[..outcomes.len()], &outcomes))
        .flatten();
    Odds {
        chance,
        turns_on_age,
        leans,
        leaning,
        fits: chance_of(Side::Fits, &outcomes),
        checks,
        saddle_height_sd_mm: saddle.sd(),
        seat_height_sd_mm: seat.sd(),
        remeasure,
    }
}

/// Of the draws of each of the ends, which take turns, the share for which something holds.
fn shares(
    outcomes: &[Outcome],
    ends: usize,
    holds: impl Fn(&Outcome) -> bool + Copy,
) -> impl Iterator<Item = f64> {
    (0..ends).map(move |end| {
        let of_end = outcomes.iter().skip(end).step_by(ends);
        let count = of_end.len().max(1) as f64;
        of_end.filter(|outcome| holds(outcome)).count() as f64 / count
    })
}

/// The same of the less sure end.
fn least_share(outcomes: &[Outcome], ends: usize, holds: impl Fn(&Outcome) -> bool + Copy) -> f64 {
    shares(outcomes, ends, holds).fold(1.0, f64::min)
}

/// The measurement of rider or bike whose reading, taken again by the shop, would tell fitting from not
/// fitting best.
fn remeasure(
    rider: &Rider,
    bike: &Bike,
    bodies: &[Body],
    outcomes: &[Outcome],
) -> Option<Remeasure> {
    let fits: Vec<bool> = outcomes
        .iter()
        .map(|outcome| outcome.side == Side::Fits)
        .collect();
    let of_rider = Measurement::WORTH_ASKING.into_iter().map(|measurement| {
        let values = bodies.iter().map(|body| draws::value_mm(measurement, body));
        let asked = Asked::Rider {
            measurement,
            is_again: rider.has_measured(measurement),
        };
        (asked, sorted_by(values), share_settled(rider, measurement))
    });
    let of_bike = bike.doubt.iter().flat_map(|doubt| {
        takeable(bike, doubt, &doubt.layouts(bodies.len())[..bodies.len()])
            .into_iter()
            .map(|figure| {
                let share = figure.share_settled();
                let order = sorted_by(figure.values.into_iter());
                (Asked::Bike(figure.path), order, share)
            })
    });
    // A figure at odds with the others bends all of them: nothing is gained by another before it.
    let is_odd = |asked: &Asked| match asked {
        Asked::Bike(path) => bike.mismatches.iter().any(|found| found.is_of(path)),
        Asked::Rider { .. } => false,
    };
    let (asked, order, gain, share) = of_rider
        .chain(of_bike)
        .map(|(asked, order, share)| {
            let gain = explained(&order, &fits) * share;
            (asked, order, gain, share)
        })
        .max_by(|a, b| {
            let first = is_odd(&a.0).cmp(&is_odd(&b.0));
            first.then_with(|| a.2.total_cmp(&b.2))
        })?;
    if gain <= 0.0 && !is_odd(&asked) {
        return None;
    }
    let settled = CheckId::ALL.map(|id| {
        let fails = outcomes.iter();
        let fails: Vec<bool> = fails
            .map(|outcome| outcome.failing >> id as usize & 1 == 1)
            .collect();
        let count = fails.iter().filter(|fails| **fails).count();
        (id, explained(&order, &fails), count)
    });
    // Of those that the measurement settles about as well the one that fails most surely.
    let most = settled.iter().map(|(_, settles, _)| *settles);
    let enough = most.fold(0.0, f64::max) / 2.0;
    let (decides, ..) = settled
        .into_iter()
        .filter(|(_, settles, _)| *settles >= enough)
        .max_by(|a, b| a.2.cmp(&b.2).then_with(|| a.1.total_cmp(&b.1)))?;
    Some(Remeasure {
        asked,
        decides,
        settles: share_decided(&order, &fits) * share,
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

fn sorted_by(values: impl Iterator<Item = f64>) -> Vec<usize> {
    let mut order: Vec<(f64, usize)> = values.zip(0..).collect();
    order.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    order.into_iter().map(|(_, index)| index).collect()
}

/// Equal groups that an ordering is cut into.
const GROUPS: usize = 16;

/// Share of equal groups of the ordering in which a verdict would be decided, either way.
fn share_decided(order: &[usize], fits: &[bool]) -> f64 {
    let size = (order.len() / GROUPS).max(1);
    let is_decided = |indices: &&[usize]| {
        let fitting = indices.iter().filter(|&&index| fits[index]).count() as f64;
        let share = fitting / indices.len() as f64;
        share.max(1.0 - share) >= DECIDED
    };
    order.chunks_exact(size).filter(is_decided).count() as f64 / (order.len() / size).max(1) as f64
}

/// Variance of `outcome` that the ordering explains: variance of the means over equal groups, less
/// what chance alone would show (one-way analysis of variance).
fn explained(order: &[usize], outcome: &[bool]) -> f64 {
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
