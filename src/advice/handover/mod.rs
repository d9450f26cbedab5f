//! The handover: what the technician sets, checks and watches before a child rides off.
//! One file per part of the work list; each gives numbers and the sentences that go with them.
//! Layout on screen and paper is `report::handover_text` and `report::card`.

pub mod air_spring;
pub mod bars;
pub mod bolts;
mod child_shows;
pub mod levers;
pub mod load;
pub mod pressure;
pub mod saddle;
pub mod tyres;

use jiff::civil::Date;
use serde::Serialize;

use crate::bike::Bike;
use crate::fit::forecast::Raise;
use crate::fit::{Fit, Options, Pair, assess};
use crate::rider::{Body, Rider};
use crate::units::Units;

/// Everything for one handover. Lengths mm, pressures bar and psi, torques N·m.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Handover {
    /// Name and version of this object's form.
    pub schema: &'static str,
    /// The day.
    pub date: Date,
    /// The fit that it rests on.
    pub fit: Fit,
    /// Saddle and post.
    pub saddle: saddle::Saddle,
    /// Brake levers.
    pub levers: levers::Levers,
    /// Bar and reach.
    pub bars: bars::Bars,
    /// Tyre pressures.
    pub tyres: tyres::Tyres,
    /// The fork's air spring, where it has one.
    pub air_spring: Option<air_spring::AirSpringSetup>,
    /// Bolt check, front to back.
    pub bolts: Vec<bolts::Bolt>,
    /// What the child shows before riding off.
    pub child_shows: Vec<String>,
    /// Unit that its sentences put first.
    #[serde(skip)]
    pub units: Units,
}

/// Works out the handover of one bike to one rider.
pub fn handover(rider: &Rider, bike: &Bike, options: &Options) -> Handover {
    let fit = assess(rider, bike, options);
    let body = Body::of(rider);
    let pair = Pair::new(bike, &body, rider.stage, rider.weight);
    let units = options.units;
    let schedule = fit.growth.as_ref().map(|growth| growth.schedule.clone());
    let schedule = schedule.unwrap_or_default();
    Handover {
        schema: "inseam/handover/1",
        date: options.on,
        saddle: saddle::saddle(rider, bike, &body, options.on, units, schedule),
        levers: levers::levers(&pair, units),
        bars: bars::bars(&pair, fit.finding("bar_height"), units),
        tyres: tyres::tyres(&pair),
        air_spring: air_spring::air_spring(&pair, units),
        bolts: bolts::bolts(bike),
        child_shows: child_shows::child_shows(&pair, &fit, units),
        fit,
        units,
    }
}

impl Handover {
    /// The days on which the saddle goes up.
    pub fn raises(&self) -> impl Iterator<Item = &Raise> {
        self.saddle
            .schedule
            .iter()
            .filter(|raise| raise.date > self.date)
    }
}

/// Advice as a sentence of its own.
fn sentence(advice: &str) -> String {
    let mut letters = advice.chars();
    let first = letters
        .next()
        .map(|first| first.to_uppercase().collect::<String>());
    format!("{}{}.", first.unwrap_or_default(), letters.as_str())
}
