//! The work order of a pair that fits: everything that is set, closed, shown and agreed.
//! Put together here from one file per part; a pair that does not fit never has one.

use jiff::civil::Date;

use crate::advice::handover::kit::Kit;
use crate::advice::handover::{
    air_spring, bars, bolts, levers, saddle, settings, steps, tyres, visits,
};
use crate::fit::Fit;

/// A work order. Lengths mm, pressures bar, torques N·m.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Saddle and post.
    pub saddle: saddle::Saddle,
    /// Whether the height above ground says more than the one from the bracket: no cranks.
    pub leads_with_seat_height: bool,
    /// Brake levers.
    pub levers: levers::Levers,
    /// Bar and reach.
    pub bars: bars::Bars,
    /// Tyre pressures.
    pub tyres: tyres::Tyres,
    /// The fork's air spring, where it has one.
    pub air_spring: Option<air_spring::AirSpringSetup>,
    /// What the bike is made of.
    pub kit: Kit,
    /// Bolts, front to back.
    pub bolts: Vec<bolts::Bolt>,
    /// The build, in order.
    pub steps: Vec<steps::Step>,
    /// When to come back.
    pub visits: visits::Visits,
}

impl Work {
    pub(super) fn of(fit: &Fit, on: Date) -> Self {
        let (bike, pair) = (&fit.bike, fit.pair());
        let kit = Kit::of(bike);
        let bolts = bolts::bolts(bike, &kit);
        let mut work = Self {
            saddle: saddle::saddle(fit),
            leads_with_seat_height: bike.is_balance(),
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

    /// Whether a cable pulls anything on it, as far as is known.
    pub fn has_cables(&self) -> bool {
        self.kit.has_cables()
    }

    /// What is set, in the order of the card.
    pub fn settings(&self, units: crate::units::Units) -> Vec<settings::Line> {
        settings::lines(self, units)
    }
}
