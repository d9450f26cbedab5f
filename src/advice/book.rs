//! Many children, many bikes: who could have what, as one table, judged by the same checks as a single fit.
//! Large books are judged by fewer draws; whoever gives a bike away asks the whole `Fit` before.
//! Who gets what is `assign`'s business, reading the folders a face's.

use std::cmp::Ordering;
use std::collections::HashMap;
use std::sync::Arc;

use rayon::prelude::*;

use crate::advice::matching::{Choice, Table};
use crate::advice::stop::{Asked, find_out_first};
use crate::bike::Bike;
use crate::fit::bike_doubt::{bike_doubt, leave_open};
use crate::fit::checks::{CheckId, Measures, measure};
use crate::fit::odds::{Glance, odds};
use crate::fit::pair::lacks_pedals;
use crate::fit::verdict::{DECIDED, undone};
use crate::fit::{Confidence, GrownBodies, Options, Pair, Side, Verdict};
use crate::rider::growth::HORIZON_MONTHS;
use crate::rider::{Body, Rider, draws};

/// A child of the book.
#[derive(Debug, Clone, PartialEq)]
pub struct Child {
    /// The file's name without its ending.
    pub id: String,
    /// The rider.
    pub rider: Arc<Rider>,
    /// Whether another child of the book has the same name.
    pub is_namesake: bool,
}

impl Child {
    /// The order of the book: by name, then by file.
    pub fn by_name(&self, other: &Self) -> Ordering {
        // As in a telephone book, capitals or not.
        let name = |child: &Self| {
            let name = child.rider.name.as_ref().unwrap_or(&child.id);
            name.to_lowercase()
        };
        name(self)
            .cmp(&name(other))
            .then_with(|| self.id.cmp(&other.id))
    }

    /// What to call the child in a list: the name, or the file's; both where another child has the name.
    pub fn title(&self) -> String {
        match &self.rider.name {
            Some(_) if self.is_namesake => format!("{} ({})", self.rider.title(), self.id),
            Some(_) => self.rider.title(),
            None => self.id.clone(),
        }
    }
}

/// What is not known of a bike that fits none of the children, and could fit one of them for all that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Lacking {
    /// The child.
    child: Child,
    /// Decisive checks that cannot be made for it, and what each needs.
    undone: Vec<(CheckId, &'static str)>,
}

impl Lacking {
    /// By the first child, each with its judge, whom nothing that is known of the bike rules out; None where it is judged.
    pub fn of(bike: &Bike, children: &[Child], judges: &[Judge]) -> Option<Self> {
        children.iter().zip(judges).find_map(|(child, judge)| {
            let undone = judge.undone(bike);
            (!undone.is_empty()).then(|| Self {
                child: child.clone(),
                undone,
            })
        })
    }

    /// What to find out before anybody can be told whether the bike fits, in one sentence without an end.
    pub fn words(&self, bike: &Bike) -> String {
        let asked = Asked::Child(Some(self.child.title()));
        find_out_first(bike, &asked, self.undone.iter().copied())
    }
}

/// The children by name, those of one name told apart.
pub fn in_order(children: &[Child]) -> Vec<Child> {
    let mut children = children.to_vec();
    let mut count: HashMap<String, usize> = HashMap::new();
    for child in &mut children {
        child.is_namesake = false;
        *count.entry(child.title()).or_default() += 1;
    }
    for child in &mut children {
        child.is_namesake = count.get(&child.title()).is_some_and(|count| *count > 1);
    }
    children.sort_by(Child::by_name);
    children
}

/// The order of bikes in a book: by file, then by name.
pub fn by_name(one: &Bike, other: &Bike) -> Ordering {
    one.id
        .cmp(&other.id)
        .then_with(|| one.spec.name.cmp(&other.spec.name))
}

/// Pairs from which on a book is large.
pub const LARGE: usize = 2_500;

/// How closely a pair is looked at before it is given away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Care {
    /// Draws of the child's body.
    draws: usize,
    /// When so many of them are enough.
    glances: &'static [Glance],
}

impl Care {
    /// As closely as a fit of its own.
    pub const FULL: Self = Self {
        draws: draws::DRAWS,
        glances: Glance::AT_A_PAIR,
    };
    /// For large books.
    const QUICK: Self = Self {
        draws: 64,
        glances: Glance::AT_A_BOOK,
    };

    /// For a book of so many pairs.
    pub fn of(pairs: usize) -> Self {
        if pairs < LARGE {
            Self::FULL
        } else {
            Self::QUICK
        }
    }
}

/// One child, prepared for any number of bikes.
#[derive(Debug)]
pub struct Judge {
    rider: Arc<Rider>,
    body: Body,
    draws: Vec<Body>,
    care: Care,
}

impl Judge {
    /// Draws the child's bodies; none where figures are taken as exact.
    pub fn new(rider: &Arc<Rider>, options: Options, care: Care) -> Self {
        let count = if options.exact { 0 } else { care.draws };
        Self {
            body: rider.body(),
            draws: draws::draw(rider, count),
            rider: Arc::clone(rider),
            care,
        }
    }

    fn measures(&self, bike: &Bike, body: &Body) -> Measures {
        measure(&Pair::new(bike, body, self.rider.stage, self.rider.weight))
    }

    /// What a pair costs; None where its verdict is anything but `fits`.
    pub fn choice(&self, bike: &Bike) -> Option<Choice> {
        let rider = &self.rider;
        let mut expected = self.measures(bike, &self.body);
        // No chance makes these fit.
        let is_out = |measures: &Measures| {
            Side::of(measures) != Side::Fits || undone(measures).next().is_some()
        };
        if is_out(&expected) {
            return None;
        }
        let needed = bike_doubt(bike, &self.body, rider.stage, rider.weight, &expected);
        leave_open(&mut expected, &needed);
        if is_out(&expected) {
            return None;
        }
        let chance = if bike.doubt.is_some() {
            let glances = self.care.glances;
            (!self.draws.is_empty())
                .then(|| odds(rider, &self.draws, bike, &expected, glances).chance)
        } else {
            self.chance(bike)
        };
        if !Verdict::of(&expected, chance).fits() {
            return None;
        }
        let cautions = |is_safety: bool| {
            let counts = |id: &CheckId| {
                id.check().is_safety() == is_safety
                    && expected[*id as usize].is_some_and(|found| found.status.counts_against())
            };
            u8::try_from(CheckId::ALL.into_iter().filter(counts).count()).unwrap_or(u8::MAX)
        };
        Some(Choice {
            safety_cautions: cautions(true),
            other_cautions: cautions(false),
            doubt: chance.map_or(0, |chance| Confidence::from_chance(chance).doubt()),
            lacks: lacks_pedals(bike, rider.stage),
        })
    }

    /// The decisive figures without which this child cannot be told whether the bike fits; nothing where one of the
    /// figures that are known rules it out, or nothing is missing.
    pub fn undone(&self, bike: &Bike) -> Vec<(CheckId, &'static str)> {
        let rider = &self.rider;
        let mut expected = self.measures(bike, &self.body);
        if Side::of(&expected) != Side::Fits {
            return Vec::new();
        }
        let needed = bike_doubt(bike, &self.body, rider.stage, rider.weight, &expected);
        leave_open(&mut expected, &needed);
        undone(&expected).collect()
    }

    /// The share of draws that fit a bike that is known; one where it cannot reach what a verdict needs is told as
    /// soon as that is clear.
    fn chance(&self, bike: &Bike) -> Option<f64> {
        if self.draws.is_empty() {
            return None;
        }
        // As `odds` counts: of the less sure end.
        let ends = draws::ends(&self.rider);
        let count = (self.draws.len() / ends) as f64;
        let mut misses = vec![0.0; ends];
        let share = |misses: &[f64]| {
            let most = misses.iter().copied().fold(0.0, f64::max);
            (count - most) / count
        };
        for (index, body) in self.draws.iter().enumerate() {
            let is_clear = misses.iter().all(|misses| *misses == 0.0);
            if is_clear && self.care.glances.iter().any(|glance| glance.draws == index) {
                break;
            }
            if Side::of(&self.measures(bike, body)) != Side::Fits {
                misses[index % ends] += 1.0;
                if share(&misses) < DECIDED {
                    break;
                }
            }
        }
        Some(share(&misses))
    }
}

/// Who could have what: a row a child, a column a bike, both in the order given; `done` is told after each child.
pub fn judge(
    children: &[Child],
    bikes: &[Arc<Bike>],
    options: Options,
    care: Care,
    done: impl Fn() + Sync,
) -> Table {
    let rows: Vec<Vec<Option<Choice>>> = children
        .par_iter()
        .map(|child| {
            let judge = Judge::new(&child.rider, options, care);
            let row = bikes.iter().map(|bike| judge.choice(bike)).collect();
            done();
            row
        })
        .collect();
    Table::new(children.len(), bikes.len(), rows.concat())
}

/// Tenths of a month until a bike that fits is outgrown by the child as expected; one more than the horizon where
/// that lies beyond it.
pub fn tenths_left(bodies: &GrownBodies, bike: &Bike) -> u32 {
    const TENTHS: u32 = 10;
    let horizon = u32::try_from(HORIZON_MONTHS).unwrap_or(u32::MAX) * TENTHS;
    let is_outgrown = |tenths: u32| {
        bodies.verdict(bike, f64::from(tenths) / f64::from(TENTHS)) == Verdict::TooSmall
    };
    if !is_outgrown(horizon) {
        return horizon + 1;
    }
    // Once outgrown, always outgrown.
    let (mut inside, mut outside) = (0, horizon);
    while outside - inside > 1 {
        let middle = u32::midpoint(inside, outside);
        if is_outgrown(middle) {
            outside = middle;
        } else {
            inside = middle;
        }
    }
    inside
}
