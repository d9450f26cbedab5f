//! Starting pressures: the load on each wheel, and the pressure at which the tyre drops by 15 %.
//! Inside the range printed on the sidewall, which always wins; how the load splits is `load`.

use crate::advice::handover::load;
use crate::advice::handover::pressure::{Limit, Printed, SetPressure};
use crate::bike::TyreSize;
use crate::bike::spec::Valve;
use crate::fit::Pair;

/// Wanted tyre drop as a share of the tyre's width: Berto, after Heine (common practice).
const DROP: f64 = 0.15;
/// One newton per square millimetre (one megapascal) in bar.
const BAR_PER_MPA: f64 = 10.0;

/// What to inflate the tyres to.
#[derive(Debug, Clone, PartialEq)]
pub struct Tyres {
    /// Front tyre; None where something is missing, the printed range above all.
    pub front: Option<SetPressure>,
    /// Rear tyre.
    pub rear: Option<SetPressure>,
    /// Share of the weight of rider and bike on the front wheel.
    pub front_share: Option<f64>,
    /// Weight on the ground, rider and bike, kg.
    pub total_kg: Option<f64>,
    /// The tubes' valves, where the file says.
    pub valve: Option<Valve>,
    /// What is missing for a complete answer.
    pub needs: Vec<&'static str>,
    /// The range printed on the sidewall, where the file gives both of its ends.
    pub printed: Option<Printed>,
}

/// Pressure at which a tyre under a load drops by 15 % of its width, bar.
///
/// # Units
/// `load_n` newton; `width_mm` and `wheel_radius_mm` millimetre. One N/mm² is 10 bar.
///
/// # References
/// p = F / (π d √(R r)), drop d = 0.15 w, section radius r = w / 2: the load on the contact ellipse
/// whose half axes are √(R d) and √(r d), as in Hertz' contact. 15 % drop: Berto, after Heine.
pub fn drop_pressure_bar(load_n: f64, width_mm: f64, wheel_radius_mm: f64) -> f64 {
    let drop = DROP * width_mm;
    let ellipse = std::f64::consts::PI * drop * (wheel_radius_mm * width_mm / 2.0).sqrt();
    BAR_PER_MPA * load_n / ellipse
}

pub(super) fn tyres(pair: &Pair<'_>) -> Tyres {
    let spec = &pair.bike.spec.tyres;
    let mut needs = Vec::new();
    if pair.weight.is_none() {
        needs.push("the rider's weight");
    }
    if pair.bike.spec.weight.is_none() {
        needs.push("weight in the frame file");
    }
    let weights = pair.weight.zip(pair.bike.spec.weight);
    let weights = weights.map(|(rider, bike)| (rider.kg(), bike.kg()));
    let front_share = weights.and_then(|(rider, bike)| load::front_share_of(pair, rider, bike));
    if weights.is_some() && front_share.is_none() {
        needs.push("a rider who reaches grips and pedals");
    }
    if spec.min_pressure.is_none() {
        needs.push("tyres.min_pressure");
    }
    if spec.max_pressure.is_none() {
        needs.push("tyres.max_pressure");
    }
    let total_kg = weights.map(|(rider, bike)| rider + bike);
    let range = spec.min_pressure.zip(spec.max_pressure);
    let printed = range.map(|(min, max)| Printed { min, max });
    let set = |size: TyreSize, share: f64| {
        let wanted = drop_pressure_bar(
            share * total_kg? * load::GRAVITY,
            size.width_mm,
            size.wheel_radius_mm(),
        );
        Some(SetPressure::within(wanted, printed?))
    };
    let front = front_share.and_then(|share| set(spec.front, share));
    let rear = front_share.and_then(|share| set(spec.rear, 1.0 - share));

    Tyres {
        front,
        rear,
        front_share,
        total_kg,
        valve: spec.valve,
        printed,
        needs,
    }
}

impl Tyres {
    /// Both pressures in one line; where the printed range decides for both, once. None without a printed range.
    pub fn setting(&self) -> Option<String> {
        let (front, rear) = (self.front?, self.rear?);
        Some(match (front.limited_by, rear.limited_by) {
            (Some(one), Some(_)) if front == rear => {
                format!("both {front}: {}", one.words())
            }
            _ => format!("front {front}, rear {rear}"),
        })
    }

    /// Sentences for the person with the pump.
    pub fn notes(&self) -> Vec<&'static str> {
        let is_at_maximum = [self.front, self.rear]
            .iter()
            .flatten()
            .any(|set| set.limited_by == Some(Limit::PrintedMaximum));
        let mut notes = Vec::new();
        if self.printed.is_some() {
            notes.push("Common practice; the figure printed on the sidewall wins.");
        } else {
            notes.push("Read the range printed on each sidewall and stay inside it; without it no pressure is given.");
        }
        // Where it decides for both wheels, the setting says so itself.
        let is_at_minimum = |set: Option<SetPressure>| {
            set.is_some_and(|set| set.limited_by == Some(Limit::PrintedMinimum))
        };
        match (is_at_minimum(self.front), is_at_minimum(self.rear)) {
            (true, false) => {
                notes.push("Front: the printed minimum decides; never below it.");
            }
            (false, true) => notes.push("Rear: the printed minimum decides; never below it."),
            _ => {}
        }
        if is_at_maximum {
            notes.push("A heavy load: the printed maximum decides; a wider tyre would suit.");
        }
        notes.push(valve_words(self.valve));
        notes
    }
}

const fn valve_words(valve: Option<Valve>) -> &'static str {
    match valve {
        Some(Valve::Presta) => {
            "Slim valve (presta): undo the lock nut, tap it free, pump, close it again."
        }
        Some(Valve::Schrader) => "Car valve (schrader): press or screw the pump head straight on.",
        None => {
            "Valve, look: slim with a lock nut is presta, wide as on a car is schrader; the pump head must match."
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_drop_formula_agrees_with_the_chart_it_comes_from() {
        // Berto's chart of 15 % tyre drop, from memory: 28 mm road tyre (28-622) under 45 kg, about 4.7 bar.
        let bar = drop_pressure_bar(45.0 * load::GRAVITY, 28.0, 339.0);
        assert_relative_eq!(bar, 4.7, max_relative = 0.06);
    }

    #[test]
    fn the_formula_is_the_load_over_the_ellipse_in_any_units() {
        // The same in SI: metres, newton, pascal; 1 bar = 100 kPa.
        let (load, width, radius) = (220.0, 0.054_f64, 0.3075_f64);
        let drop = 0.15 * width;
        let half_axes = (radius * drop).sqrt() * (width / 2.0 * drop).sqrt();
        let pascal = load / (std::f64::consts::PI * half_axes);
        assert_relative_eq!(
            drop_pressure_bar(load, 54.0, 307.5),
            pascal / 100_000.0,
            max_relative = 1e-12
        );
    }
}
