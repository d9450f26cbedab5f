//! The work order of a pair that fits: everything that is set, closed, shown and agreed.
//! One file per part; a pair that does not fit never has one. What it consists of only: the parts are put together
//! in the module above.

use crate::advice::handover::kit::Kit;
use crate::advice::handover::{air_spring, bars, bolts, levers, saddle, step, tyres, visits};

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
    pub steps: Vec<step::Step>,
    /// When to come back.
    pub visits: visits::Visits,
}

impl Work {
    /// Whether a cable pulls anything on it, as far as is known.
    pub fn has_cables(&self) -> bool {
        self.kit.has_cables()
    }
}
