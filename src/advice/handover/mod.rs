//! The handover: what the technician sets, checks and watches before a child rides off, or why there is nothing to set.
//! One file per part of the work order; each gives numbers, and the sentences when they are asked for.
//! Layout on screen and paper is `report::handover_text`, `report::card` and `report::build_sheet`.

pub mod air_spring;
pub mod as_set;
pub mod bars;
pub mod bolts;
pub mod kit;
pub mod levers;
pub mod load;
mod part_names;
pub mod pressure;
mod record;
mod rider_shows;
pub mod saddle;
pub mod settings;
pub mod step;
pub mod step_kind;
pub mod steps;
pub mod tyres;
pub mod visits;
pub mod work;

use std::sync::Arc;

use jiff::civil::Date;

use crate::advice::stop::Stop;
use crate::bike::Bike;
use crate::fit::{Fit, Options, assess};
use crate::rider::Rider;
use crate::units::Units;
pub use work::Work;

/// One handover.
#[derive(Debug, Clone, PartialEq)]
pub struct Handover {
    /// The day.
    pub date: Date,
    /// The fit that it rests on.
    pub fit: Fit,
    /// Name of the nearest bike that fits instead, where a rack is at hand.
    pub nearest: Option<String>,
    /// What to do; or, for a pair that does not fit, why there is nothing to do.
    pub work: Result<Work, Stop>,
}

/// Works out the handover of one bike to one rider.
pub fn handover(rider: &Arc<Rider>, bike: &Arc<Bike>, options: &Options) -> Handover {
    let fit = assess(rider, bike, options);
    let stop = Stop::of(&fit);
    let work = match stop {
        None if fit.verdict.fits() => Ok(work_order(&fit, options.on)),
        None => Err(Stop::Undecided { remeasure: None }),
        Some(stop) => Err(stop),
    };
    Handover {
        date: options.on,
        nearest: None,
        work,
        fit,
    }
}

impl Handover {
    /// The same, with the bike to offer instead where this one does not fit.
    #[must_use]
    pub fn with_nearest(self, nearest: Option<String>) -> Self {
        Self { nearest, ..self }
    }

    /// Why there is nothing to set; None where there is.
    pub fn stop(&self) -> Option<&Stop> {
        self.work.as_ref().err()
    }

    /// What the rider shows before riding off; nothing where the bike does not fit.
    pub fn rider_shows(&self, units: Units) -> Vec<String> {
        match self.work {
            Ok(_) => rider_shows::rider_shows(&self.fit, units),
            Err(_) => Vec::new(),
        }
    }

    /// What to look at again that is not among what must be read already.
    pub fn look_again(&self, units: Units) -> Vec<String> {
        let told = match self.work {
            Ok(_) => self.read_this(units),
            Err(_) => Vec::new(),
        };
        let is_new = |warning: &String| !told.iter().any(|line| line.contains(warning.as_str()));
        self.fit
            .warnings(units)
            .into_iter()
            .filter(is_new)
            .collect()
    }

    /// What can be ridden but must be read, in full: see [`Fit::read_this`].
    pub fn read_this(&self, units: Units) -> Vec<String> {
        self.fit.read_this(units)
    }
}

/// The work order of a pair that fits.
fn work_order(fit: &Fit, on: Date) -> Work {
    let (bike, pair) = (&fit.bike, fit.pair());
    let kit = kit::Kit::of(bike);
    let bolts = bolts::bolts(bike, &kit);
    let mut work = Work {
        saddle: saddle::saddle(fit),
        leads_with_seat_height: bike.tells_saddle_from_ground(),
        levers: levers::levers(&pair),
        bars: bars::bars(fit),
        tyres: tyres::tyres(&pair),
        air_spring: air_spring::air_spring(&pair),
        visits: visits::visits(fit, on),
        steps: Vec::new(),
        kit,
        bolts,
    };
    work.steps = steps::steps(bike, &work.kit, &work.bolts, Some(&work));
    work
}
