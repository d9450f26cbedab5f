//! A pressure to set, held inside the range printed on the part, as a gauge shows it in bar and psi.
//! Shared by tyres and air spring; where the wanted pressure comes from lives there.

use std::fmt;

use crate::units::{Pressure, tidy};

/// Which end of the printed range decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// The wanted pressure is lower than the part allows.
    PrintedMinimum,
    /// The wanted pressure is higher than the part allows.
    PrintedMaximum,
}

impl Limit {
    /// Why the pressure is what it is.
    pub const fn words(self) -> &'static str {
        match self {
            Self::PrintedMinimum => "the printed minimum decides; never below it",
            Self::PrintedMaximum => "the printed maximum decides; never above it",
        }
    }
}

/// The range printed on a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Printed {
    /// Never below.
    pub min: Pressure,
    /// Never above.
    pub max: Pressure,
}

impl fmt::Display for Printed {
    /// `1.40 to 3.50 bar (20.5 to 50.5 psi)`: never wider than it is printed.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [low, high] = [self.min, self.max].map(|end| SetPressure::within(end.bar(), *self));
        write!(
            f,
            "{:.2} to {:.2} bar ({} to {} psi)",
            low.bar,
            high.bar,
            tidy(low.psi, 1),
            tidy(high.psi, 1)
        )
    }
}

/// A pressure to set, on the gauge's own steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetPressure {
    /// In bar, to 0.05 where the printed range has room for such a step.
    pub bar: f64,
    /// The same in psi, to 0.5; less than half a psi apart.
    pub psi: f64,
    /// The end of the printed range that decided; None inside it.
    pub limited_by: Option<Limit>,
}

impl SetPressure {
    /// The wanted pressure, moved into the printed range, on a step of the gauge.
    pub fn within(wanted_bar: f64, Printed { min, max }: Printed) -> Self {
        const BAR_STEPS: [f64; 2] = [0.05, 0.01];
        const PSI_STEP: f64 = 0.5;
        let (low, high) = (min.bar(), max.bar().max(min.bar()));
        let limited_by = if wanted_bar < low {
            Some(Limit::PrintedMinimum)
        } else if wanted_bar > high {
            Some(Limit::PrintedMaximum)
        } else {
            None
        };
        let wanted = wanted_bar.clamp(low, high);
        let bar = BAR_STEPS
            .into_iter()
            .map(|step| on_the_gauge(wanted, low, high, step))
            .find(|bar| (low - SLACK..=high + SLACK).contains(bar))
            .unwrap_or(wanted);
        let psi = |bar: f64| Pressure::from_bar(bar).psi();
        Self {
            bar,
            psi: on_the_gauge(psi(bar), psi(low), psi(high), PSI_STEP),
            limited_by,
        }
    }
}

/// Converting units leaves a last bit that must not count as a step.
const SLACK: f64 = 1e-9;

/// `value` in whole `step`s, nearest first, but never out of the printed range by rounding where a step lies in it.
fn on_the_gauge(value: f64, low: f64, high: f64, step: f64) -> f64 {
    let steps = value / step;
    let nearest = steps.round() * step;
    if nearest < low - SLACK {
        (steps - SLACK).ceil() * step
    } else if nearest > high + SLACK {
        (steps + SLACK).floor() * step
    } else {
        nearest
    }
}

impl fmt::Display for SetPressure {
    /// `1.40 bar (20.5 psi)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.2} bar ({} psi)", self.bar, tidy(self.psi, 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::PSI_PER_BAR;

    fn printed(pressure: SetPressure) -> (f64, f64) {
        let text = pressure.to_string();
        let (bar, psi) = text.trim_end_matches(" psi)").split_once(" bar (").unwrap();
        (bar.parse().unwrap(), psi.parse().unwrap())
    }

    #[test]
    fn bar_and_psi_on_paper_agree_and_rounding_never_leaves_the_printed_range() {
        for hundredth in 30..700 {
            let wanted = f64::from(hundredth) / 97.0;
            for (min, max) in [(1.4, 3.5), (1.379, 1.385), (20.0 / PSI_PER_BAR, 5.0)] {
                let (low, high) = (Pressure::from_bar(min), Pressure::from_bar(max));
                let set = SetPressure::within(
                    wanted,
                    Printed {
                        min: low,
                        max: high,
                    },
                );
                let (bar, psi) = printed(set);
                assert!((bar * PSI_PER_BAR - psi).abs() < 0.5, "{set}");
                assert!((min..=max).contains(&set.bar));
                if max - min > 0.1 {
                    assert!(bar >= min - 1e-9 && bar <= max + 1e-9, "{set}");
                    assert!(psi >= min * PSI_PER_BAR - 1e-9, "{set}");
                    assert!(psi <= max * PSI_PER_BAR + 1e-9, "{set}");
                }
            }
        }
    }

    #[test]
    fn the_end_of_the_range_that_decides_is_named() {
        let printed = Printed {
            min: Pressure::from_bar(1.4),
            max: Pressure::from_bar(3.5),
        };
        assert_eq!(printed.to_string(), "1.40 to 3.50 bar (20.5 to 50.5 psi)");
        let limit = |wanted| SetPressure::within(wanted, printed).limited_by;
        assert_eq!(limit(0.9), Some(Limit::PrintedMinimum));
        assert_eq!(limit(2.0), None);
        assert_eq!(limit(4.0), Some(Limit::PrintedMaximum));
    }
}
