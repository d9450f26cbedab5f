//! Bar width: the handlebar against the rider's shoulders.
//! A preference, never a failure: a wide bar can be cut.

use crate::bike::{Bike, Style};
use crate::fit::finding::{Check, Measure, Status, Unit, at_least, at_most};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// The check.
#[derive(Debug)]
pub struct BarWidth;

/// Wanted width beyond the shoulders, mm (common practice).
const fn beyond_shoulders_mm(style: Style) -> [f64; 2] {
    match style {
        Style::Balance | Style::Street => [50.0, 300.0],
        Style::Trail => [100.0, 450.0],
    }
}

impl Check for BarWidth {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Practice, &[])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let Some(width) = pair.bike.spec.cockpit.handlebar.width else {
            return Some(Measure::needs("cockpit.handlebar.width"));
        };
        let width = width.mm();
        let [low, high] = beyond_shoulders_mm(pair.bike.spec.style)
            .map(|more| pair.body.shoulder_breadth_mm + more);
        let status = if at_least(width, low) && at_most(width, high) {
            Status::Ok
        } else {
            Status::Caution
        };
        Some(Measure::new(width, Some(low), Some(high), status))
    }

    fn advise(&self, _pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let width = measure.value.unwrap_or_default();
        let (low, high) = (
            measure.low.unwrap_or_default(),
            measure.high.unwrap_or_default(),
        );
        if width > high && measure.status != Status::Ok {
            format!(
                "bar {} too wide for these shoulders",
                units.missed_by(width - high)
            )
        } else if measure.status == Status::Ok {
            format!("bar {} wide suits these shoulders", units.length(width))
        } else {
            format!(
                "bar {} too narrow for these shoulders",
                units.missed_by(low - width)
            )
        }
    }

    fn cure(&self, _pair: &Pair<'_>, measure: &Measure, units: Units) -> Option<String> {
        let over = measure.value? - measure.high?;
        (measure.status == Status::Caution).then(|| {
            if over > 0.0 {
                format!(
                    "a mechanic can cut {} off each end; grips, levers and bar plugs need their room",
                    units.missed_by(over / 2.0)
                )
            } else {
                "a mechanic can fit a wider one".to_owned()
            }
        })
    }
}
