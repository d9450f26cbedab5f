//! Bar height: the grips above the saddle at its lowest, which the law caps.
//! Spacers moved above the stem can often cure it.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_most};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Most height of the grips above the lowest saddle, mm: 16 CFR 1512.6.
const MOST_MM: f64 = 406.0;

/// The check.
#[derive(Debug)]
pub struct BarHeight;

/// How much lower the grips come by a spacer moved, as a share of it: it moves along the steering axis.
fn drop(pair: &Pair<'_>) -> f64 {
    -pair.layout.steering.down.y
}

impl Check for BarHeight {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Cfr1512Steering, &[])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let post = &pair.layout.post;
        let above = pair.layout.points.grip.y - post.saddle_top(post.lowest_mm).y;
        let status = if at_most(above, MOST_MM) {
            Status::Ok
        } else if at_most(above - pair.bike.spacers_mm() * drop(pair), MOST_MM) {
            Status::Caution
        } else {
            Status::Fail(Misfit::NotSize)
        };
        Some(Measure::new(above, None, Some(MOST_MM), status))
    }

    fn advise(&self, _pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let above = measure.value.unwrap_or_default();
        let over = units.missed_by(above - MOST_MM);
        match measure.status {
            Status::Caution => format!("grips {over} too high above the lowest saddle"),
            Status::Fail(_) => {
                format!("grips {over} too high above the lowest saddle: another bar is needed")
            }
            _ if above < 0.0 => format!("grips {} below the lowest saddle", units.length(-above)),
            _ => format!("grips {} above the lowest saddle", units.length(above)),
        }
    }

    fn cure(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> Option<String> {
        let over = measure.value? - MOST_MM;
        (measure.status == Status::Caution).then(|| {
            format!(
                "a mechanic can move {} of spacers from below the stem to above it",
                units.missed_by(over / drop(pair))
            )
        })
    }
}
