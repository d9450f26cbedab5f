//! A fork's air spring: the sag to aim at, the pressure to start from, and how to measure and correct it.
//! Only for forks whose file says that they have one; pressures come from the maker's figures alone.

use crate::advice::handover::pressure::{Limit, Printed, SetPressure};
use crate::file::Toggle;
use crate::fit::Pair;
use crate::units::{Length, Units};

/// Sag as a share of the travel, standing on level pedals in the riding position: least and most (common practice).
const SAG: [f64; 2] = [0.20, 0.25];

/// What to set at the air spring.
#[derive(Debug, Clone, PartialEq)]
pub struct AirSpringSetup {
    /// Travel of the fork, mm.
    pub travel_mm: f64,
    /// Least sag, mm.
    pub sag_low_mm: f64,
    /// Most sag, mm.
    pub sag_high_mm: f64,
    /// Where to start; None where the file or the rider leaves out what it takes.
    pub start: Option<SetPressure>,
    /// The maker's limits; None where the file leaves them out, with the rest of its figures.
    pub printed: Option<Printed>,
    /// What is missing for a starting pressure.
    pub needs: Vec<&'static str>,
}

/// Starting pressure: the maker's reference scaled with the rider's weight, since the force of an
/// air spring at a given sag is proportional to its pressure.
pub fn scaled_bar(reference_bar: f64, reference_rider_kg: f64, rider_kg: f64) -> f64 {
    reference_bar * rider_kg / reference_rider_kg
}

/// Least and most sag of a travel, mm.
pub fn sag_mm(travel_mm: f64) -> [f64; 2] {
    SAG.map(|share| share * travel_mm)
}

pub(super) fn air_spring(pair: &Pair<'_>) -> Option<AirSpringSetup> {
    let fork = &pair.bike.spec.fork;
    let details = match &fork.air_spring {
        Toggle::Off => return None,
        Toggle::On => None,
        Toggle::Detailed(details) => Some(details),
    };
    let travel_mm = fork.travel.map_or(0.0, Length::mm);
    let [sag_low_mm, sag_high_mm] = sag_mm(travel_mm);
    let mut needs = Vec::new();
    if details.is_none() {
        needs.push("the maker's pressure table (fork.air_spring in the frame file)");
    }
    if pair.weight.is_none() {
        needs.push("the rider's weight");
    }
    let printed = details.map(|details| Printed {
        min: details.min,
        max: details.max,
    });
    let known = details.zip(printed).zip(pair.weight);
    let start = known.map(|((details, printed), rider)| {
        let wanted = scaled_bar(
            details.reference_pressure.bar(),
            details.reference_rider.kg(),
            rider.kg(),
        );
        SetPressure::within(wanted, printed)
    });
    Some(AirSpringSetup {
        travel_mm,
        sag_low_mm,
        sag_high_mm,
        start,
        printed,
        needs,
    })
}

impl AirSpringSetup {
    /// The steps, in order.
    pub fn notes(&self, units: Units) -> Vec<String> {
        let mut notes = Vec::new();
        if self.printed.is_none() {
            notes.push(
                "Start from the chart of the fork's maker, on the fork leg or in its manual; no figure is guessed here."
                    .to_owned(),
            );
        }
        let limit = self.start.and_then(|set| set.limited_by);
        let (low, high) = (units.tape(self.sag_low_mm), units.tape(self.sag_high_mm));
        // No air is let out below the printed minimum, and none added above the printed maximum.
        let adjust = match limit {
            None => format!(
                "Under {low} let air out, over {high} add air, within what is printed on the fork."
            ),
            Some(Limit::PrintedMinimum) => format!(
                "Wanted {low} to {high}; over {high} add air. Lighter than the spring is made for: never below the printed minimum, open the damping instead."
            ),
            Some(Limit::PrintedMaximum) => format!(
                "Wanted {low} to {high}; under {low} let air out. Heavier than the spring is made for: never above the printed maximum."
            ),
        };
        notes.push(format!(
            "Push the ring to the seal; the rider, held by an adult, stands on level pedals in the riding position, then steps off: the ring shows the sag. {adjust}"
        ));
        notes.push(
            "A softer spring wants its rebound faster: turn it towards fast, then in until the fork no longer kicks back."
                .to_owned(),
        );
        notes
    }
}
