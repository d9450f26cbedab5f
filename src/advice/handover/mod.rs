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

use std::sync::Arc;

use jiff::civil::Date;

use crate::bike::Bike;
use crate::fit::{Fit, Options, assess};
use crate::rider::Rider;
use crate::units::Units;

/// Everything for one handover. Lengths mm, pressures bar, torques N·m.
#[derive(Debug, Clone, PartialEq)]
pub struct Handover {
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
}

/// Works out the handover of one bike to one rider.
pub fn handover(rider: &Arc<Rider>, bike: &Arc<Bike>, options: &Options) -> Handover {
    let fit = assess(rider, bike, options);
    let pair = fit.pair();
    Handover {
        date: options.on,
        saddle: saddle::saddle(&fit, options.on),
        levers: levers::levers(&pair),
        bars: bars::bars(&fit),
        tyres: tyres::tyres(&pair),
        air_spring: air_spring::air_spring(&pair),
        bolts: bolts::bolts(bike),
        fit,
    }
}

impl Handover {
    /// What the child shows before riding off.
    pub fn child_shows(&self, units: Units) -> Vec<String> {
        child_shows::child_shows(&self.fit, units)
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
