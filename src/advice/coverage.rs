//! A rack against the children it is for: whom no bike serves, which bikes serve nobody, and the one bike more that
//! would help most. Who gets which bike is `assign`; which riders a bike fits at all is `window`.
//! The judging is `book`'s.

use std::sync::Arc;

use rayon::prelude::*;

use crate::advice::book::{Care, Child, Judge, Lacking, by_name, in_order, judge};
use crate::bike::Bike;
use crate::fit::Options;
use crate::fit::pair::lacks_pedals;

/// A rack and its children.
#[derive(Debug, Clone, PartialEq)]
pub struct Coverage {
    /// Every bike by name, with the children it fits today, by name.
    pub bikes: Vec<Served>,
    /// Children whom no bike on the rack fits, by name.
    pub unserved: Vec<Child>,
    /// How many children there are.
    pub children: usize,
    /// The bike that would help most; None where everybody is served, or nothing to choose from fits anybody left.
    pub one_more: Option<Served>,
}

/// A bike and the children it fits; of one bike more, those who have none yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Served {
    /// The bike.
    pub bike: Arc<Bike>,
    /// The children.
    pub children: Vec<Child>,
    /// What is not known of it where it fits nobody.
    pub lacking: Option<Lacking>,
}

impl Served {
    /// What to find out before anybody can be told whether it fits; None where it is judged.
    pub fn not_judged(&self) -> Option<String> {
        Some(self.lacking.as_ref()?.words(&self.bike))
    }
}

impl Coverage {
    /// Bikes that are judged and serve nobody.
    pub fn idle(&self) -> impl Iterator<Item = &Arc<Bike>> {
        let idle = |bike: &&Served| bike.children.is_empty() && bike.lacking.is_none();
        self.bikes.iter().filter(idle).map(|bike| &bike.bike)
    }

    /// Bikes of which too little is known to say whether they serve anybody, and what to find out first.
    pub fn not_judged(&self) -> impl Iterator<Item = (&Arc<Bike>, String)> {
        let bikes = self.bikes.iter();
        bikes.filter_map(|bike| Some((&bike.bike, bike.not_judged()?)))
    }
}

/// Looks whom the rack serves. `market` is what the one more bike is chosen from: the one that fits most of those
/// whom nothing fits yet, then most of all children, then the first by name. `done` is told after each child, and
/// again after each who is left.
pub fn coverage(
    children: &[Child],
    bikes: &[Arc<Bike>],
    market: &[Arc<Bike>],
    options: Options,
    done: impl Fn() + Sync,
) -> Coverage {
    let children = in_order(children);
    let mut bikes = bikes.to_vec();
    bikes.sort_by(|one, other| by_name(one, other));
    let care = Care::of(children.len() * bikes.len());
    let table = judge(&children, &bikes, options, care, &done);
    let judges: Vec<Judge> = children
        .iter()
        .map(|child| Judge::new(&child.rider, Options::bare(options.on), care))
        .collect();
    let all = &children;
    let served = |(column, bike): (usize, &Arc<Bike>)| {
        let fits = children.iter().enumerate();
        let fits = fits.filter(|(row, _)| table.at(*row, column).is_some());
        let children: Vec<Child> = fits.map(|(_, child)| child.clone()).collect();
        let lacking = children
            .is_empty()
            .then(|| Lacking::of(bike, all, &judges))
            .flatten();
        Served {
            bike: Arc::clone(bike),
            children,
            lacking,
        }
    };
    let served: Vec<Served> = bikes.par_iter().enumerate().map(served).collect();
    let is_served = |row: usize| (0..bikes.len()).any(|column| table.at(row, column).is_some());
    let unserved: Vec<Child> = children
        .iter()
        .enumerate()
        .filter(|(row, _)| !is_served(*row))
        .map(|(_, child)| child.clone())
        .collect();
    let one_more = if unserved.is_empty() {
        None
    } else {
        one_more(&children, &unserved, market, options)
    };
    Coverage {
        bikes: served,
        unserved,
        children: children.len(),
        one_more,
    }
}

fn one_more(
    children: &[Child],
    unserved: &[Child],
    market: &[Arc<Bike>],
    options: Options,
) -> Option<Served> {
    let care = Care::of(children.len() * market.len());
    let table = &judge(children, market, options, care, || {});
    let fits = |column: usize| {
        let rows = children.iter().enumerate();
        rows.filter(move |(row, _)| table.at(*row, column).is_some())
            .map(|(_, child)| child.clone())
            .collect::<Vec<_>>()
    };
    let helped = market.iter().enumerate().map(|(column, bike)| {
        let all = fits(column);
        let new: Vec<Child> = all
            .iter()
            .filter(|child| unserved.contains(child))
            .cloned()
            .collect();
        (all.len(), bike, new)
    });
    // Who pedals is helped by a bike with pedals.
    let pedalling = |bike: &Bike, new: &[Child]| {
        let has_what_it_needs = |child: &&Child| !lacks_pedals(bike, child.rider.stage);
        new.iter().filter(has_what_it_needs).count()
    };
    helped
        .filter(|(_, _, new)| !new.is_empty())
        .min_by(|one, other| {
            let most = |(all, bike, new): &(usize, &Arc<Bike>, Vec<Child>)| {
                (pedalling(bike, new), new.len(), *all)
            };
            most(other)
                .cmp(&most(one))
                .then_with(|| by_name(one.1, other.1))
        })
        .map(|(_, bike, children)| Served {
            bike: Arc::clone(bike),
            children,
            lacking: None,
        })
}
