//! Giving children bikes, each bike once: a school class, a club, a rental fleet, and what would help the rest.
//! Only pairs whose whole fit says `fits` are given. The best way to give is `matching`, the judging `book`.
//! How the list is told and printed is `report`'s business.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use crate::advice::book::{Care, Child, Judge, Lacking, by_name, in_order, judge, tenths_left};
use crate::advice::matching::{self, Choice, Table};
use crate::advice::size::{instead, nearest};
use crate::advice::stop::Stop;
use crate::bike::Bike;
use crate::fit::checks::CheckId;
use crate::fit::forecast::Percentiles;
use crate::fit::{Fit, GrownBodies, Options, assess};

/// Pairs of which is asked how far off they are.
const MOST_ASKED: usize = 20_000;

/// Who gets which bike.
#[derive(Debug, Clone, PartialEq)]
pub struct Assignment {
    /// Given, by the child's name.
    pub pairs: Vec<Given>,
    /// Children who get none, by name.
    pub without_bike: Vec<Without>,
    /// Bikes that are left, by name; one of several alike as often as it is left.
    pub spare: Vec<Spare>,
}

/// A bike that is left.
#[derive(Debug, Clone, PartialEq)]
pub struct Spare {
    /// The bike.
    pub bike: Arc<Bike>,
    /// What is not known of it where it fits none of the children.
    pub lacking: Option<Lacking>,
}

impl Spare {
    /// What to find out of it before anybody can be told whether it fits; None where it is judged.
    pub fn not_judged(&self) -> Option<String> {
        Some(self.lacking.as_ref()?.words(&self.bike))
    }
}

/// A child and its bike.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// The child.
    pub child: Child,
    /// The whole fit, whose verdict is `fits`.
    pub fit: Fit,
    /// A bike here that would be the surer size for this child, but asks for more caution about safety: the first in the
    /// order of [`size`](crate::advice::size), in that of a book behind.
    pub surer: Option<Arc<Bike>>,
}

impl Given {
    /// Months until the bike is outgrown.
    pub fn months_left(&self) -> Percentiles {
        self.fit
            .growth()
            .map_or_else(Percentiles::default, |growth| growth.last_month)
    }
}

/// A child who gets none, and what would help.
#[derive(Debug, Clone, PartialEq)]
pub struct Without {
    /// The child.
    pub child: Child,
    /// Bikes here that fit, all given to others: one more of any of them would do.
    pub taken: Vec<Arc<Bike>>,
    /// Where all that fit are given: the first here of which too little is known to say, and what is to be found out.
    pub open: Option<MayFit>,
    /// Where none fits, the nearest here, and why not. None also where the book is too large to look.
    pub nearest: Option<(Fit, Stop)>,
    /// The first of the bikes to choose from that would fit.
    pub wanted: Option<Arc<Bike>>,
}

/// A bike that may fit, for all that is known of it.
#[derive(Debug, Clone, PartialEq)]
pub struct MayFit {
    /// The bike.
    pub bike: Arc<Bike>,
    /// The checks that cannot be made, and what each needs.
    pub undone: Vec<(CheckId, &'static str)>,
}

/// Too many children or bikes for one table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "{children} children and {bikes} bikes are too many to give out at once; allowed {} of each: give them out in groups",
    matching::MOST
)]
pub struct TooMany {
    /// Children.
    pub children: usize,
    /// Bikes, each of several alike.
    pub bikes: usize,
}

/// Gives out bikes: as many children as possible get one that fits; then the fewest safety cautions, then the most
/// pairs that are sure rather than likely, then the most with pedals for who pedals, then the most months for the child
/// who has the fewest, then the fewest other cautions, then the most months together, then by name. The order in which
/// children and bikes come changes nothing. `market` are bikes that could be had for those who get none; `done` is told
/// after each child.
///
/// # Errors
/// Too many for one table.
pub fn assign(
    children: &[Child],
    bikes: &[Arc<Bike>],
    market: &[Arc<Bike>],
    options: Options,
    done: impl Fn() + Sync,
) -> Result<Assignment, TooMany> {
    let children = in_order(children);
    let mut models = bikes.to_vec();
    models.sort_by(|one, other| by_name(one, other));
    // Of several alike each has its column.
    let columns: Vec<usize> = models
        .iter()
        .enumerate()
        .flat_map(|(model, bike)| (0..bike.alike()).map(move |_| model))
        .collect();
    if children.len().max(columns.len()) > matching::MOST {
        return Err(TooMany {
            children: children.len(),
            bikes: columns.len(),
        });
    }
    let care = Care::of(children.len() * models.len());
    let mut table = judge(&children, &models, options, care, done);
    let grown: Vec<Option<GrownBodies>> = children
        .par_iter()
        .map(|child| GrownBodies::of(&child.rider, options.on).ok())
        .collect();
    let mut kept: Vec<Option<Whole>> = vec![None; children.len()];
    let given = loop {
        let given = give(&table, &columns, &models, &grown);
        kept = children
            .par_iter()
            .zip(&given)
            .zip(kept)
            .map(|((child, column), kept)| {
                let model = columns[(*column)?];
                let kept = kept.filter(|kept| kept.model == model);
                Some(kept.unwrap_or_else(|| Whole {
                    model,
                    fit: assess(&child.rider, &models[model], &options),
                }))
            })
            .collect();
        // A large book is judged by fewer draws: what does not hold is out of the question, and what else was
        // doubtful for that child is looked at as closely.
        let mut is_whole = true;
        for (row, kept) in kept.iter().enumerate() {
            if let Some(kept) = kept
                && !kept.fit.verdict.fits()
            {
                let judge = Judge::new(&children[row].rider, options, Care::FULL);
                look_closer(&mut table, row, &judge, &models);
                table.put(row, kept.model, None);
                is_whole = false;
            }
        }
        if is_whole {
            break given;
        }
    };
    let fits = kept.into_iter().map(|kept| kept.map(|kept| kept.fit));
    let is_given: Vec<usize> = given.iter().flatten().copied().collect();
    let mut is_left = vec![true; columns.len()];
    for column in is_given {
        is_left[column] = false;
    }
    let left = columns.iter().zip(is_left).filter(|(_, is_left)| *is_left);
    let left: Vec<usize> = left.map(|(model, _)| *model).collect();
    let spare = spare(&left, &models, &children, &table, (options, care));
    let mut pairs = Vec::new();
    let mut rest = Vec::new();
    for (row, (child, fit)) in children.into_iter().zip(fits).enumerate() {
        match fit {
            Some(fit) => {
                let model = given[row].map(|column| columns[column]);
                let surer = model.and_then(|model| surer(&table, row, model));
                let surer = surer.map(|model| Arc::clone(&models[model]));
                pairs.push(Given { child, fit, surer });
            }
            None => rest.push((row, child)),
        }
    }
    let most = MOST_ASKED / models.len().max(1);
    let without_bike = rest
        .into_par_iter()
        .enumerate()
        .map(|(place, (row, child))| {
            help(child, row, &table, &models, market, options, place < most)
        })
        .collect();
    Ok(Assignment {
        pairs,
        without_bike,
        spare,
    })
}

/// The bikes that are left, by their models.
fn spare(
    left: &[usize],
    models: &[Arc<Bike>],
    children: &[Child],
    table: &Table,
    (options, care): (Options, Care),
) -> Vec<Spare> {
    let judges: Vec<Judge> = children
        .iter()
        .map(|child| Judge::new(&child.rider, Options::bare(options.on), care))
        .collect();
    let fits_nobody = |model: usize| (0..children.len()).all(|row| table.at(row, model).is_none());
    left.par_iter()
        .map(|model| Spare {
            bike: Arc::clone(&models[*model]),
            lacking: fits_nobody(*model)
                .then(|| Lacking::of(&models[*model], children, &judges))
                .flatten(),
        })
        .collect()
}

/// A child's whole fit on a bike, once it was asked for.
#[derive(Clone)]
struct Whole {
    model: usize,
    fit: Fit,
}

/// Judges again every bike that is possible for a child but not beyond doubt.
fn look_closer(table: &mut Table, row: usize, judge: &Judge, models: &[Arc<Bike>]) {
    let closer: Vec<Option<Choice>> = models
        .par_iter()
        .enumerate()
        .map(|(model, bike)| match table.at(row, model) {
            Some(choice) if choice.doubt > 0 => judge.choice(bike),
            choice => choice,
        })
        .collect();
    for (model, choice) in closer.into_iter().enumerate() {
        table.put(row, model, choice);
    }
}

/// The surest model for a child, where it is surer than the one given and asks for more caution about safety.
fn surer(table: &Table, row: usize, given: usize) -> Option<usize> {
    let has = table.at(row, given)?;
    let sureness = |choice: Choice| (choice.doubt, choice.lacks);
    let models = (0..table.columns()).filter_map(|model| Some((model, table.at(row, model)?)));
    let surest = models.min_by_key(|(_, choice)| (sureness(*choice), choice.safety_cautions));
    let (model, choice) = surest?;
    let is_surer = sureness(choice) < sureness(has);
    (is_surer && choice.safety_cautions > has.safety_cautions).then_some(model)
}

/// The column of every child.
fn give(
    table: &Table,
    columns: &[usize],
    models: &[Arc<Bike>],
    grown: &[Option<GrownBodies>],
) -> Vec<Option<usize>> {
    let cells: Vec<Option<Choice>> = (0..table.rows())
        .flat_map(|row| columns.iter().map(move |model| table.at(row, *model)))
        .collect();
    let wide = Table::new(table.rows(), columns.len(), cells);
    matching::best(&wide, |cells| {
        // Bikes alike are asked about once.
        let asked: BTreeMap<(usize, usize), Option<u32>> = cells
            .iter()
            .map(|(row, column)| ((*row, columns[*column]), None))
            .collect();
        let asked: BTreeMap<(usize, usize), Option<u32>> = asked
            .into_par_iter()
            .map(|((row, model), _)| {
                let left = grown[row]
                    .as_ref()
                    .map(|bodies| tenths_left(bodies, &models[model]));
                ((row, model), left)
            })
            .collect();
        cells
            .iter()
            .map(|(row, column)| asked.get(&(*row, columns[*column])).copied().flatten())
            .collect()
    })
}

/// What would help a child who gets none.
fn help(
    child: Child,
    row: usize,
    table: &Table,
    models: &[Arc<Bike>],
    market: &[Arc<Bike>],
    options: Options,
    looks_for_nearest: bool,
) -> Without {
    let taken: Vec<_> = models
        .iter()
        .enumerate()
        .filter(|(model, _)| table.at(row, *model).is_some())
        .map(|(_, bike)| Arc::clone(bike))
        .collect();
    let nearest = (taken.is_empty() && looks_for_nearest)
        .then(|| nearest(&child.rider, models, options))
        .flatten();
    let judge = Judge::new(&child.rider, options, Care::FULL);
    let open = |bike: &Arc<Bike>| MayFit {
        bike: Arc::clone(bike),
        undone: judge.undone(bike),
    };
    let open = (!taken.is_empty() && looks_for_nearest)
        .then(|| models.iter().map(open).find(|open| !open.undone.is_empty()))
        .flatten();
    let wanted = (taken.is_empty() && looks_for_nearest)
        .then(|| instead(&child.rider, market, options))
        .flatten();
    Without {
        child,
        taken,
        open,
        nearest,
        wanted,
    }
}
