//! Why a pair gets no work order, as every object that holds a fit says it.

use serde::Serialize;

use crate::advice::stop::Stop;
use crate::fit::Fit;
use crate::units::Units;

/// The reason first, with its amount.
#[derive(Debug, Serialize)]
pub(super) struct StopObject {
    check: Option<&'static str>,
    reason: String,
    amount: Option<String>,
    height_mm: Option<f64>,
    months: Option<f64>,
    nearest: Option<String>,
}

impl StopObject {
    pub(super) fn of(
        fit: &Fit,
        stop: Option<&Stop>,
        nearest: Option<&str>,
        units: Units,
    ) -> Option<Self> {
        let stop = stop?;
        let (height_mm, months) = match stop {
            Stop::Misfit {
                height_mm, months, ..
            } => (*height_mm, *months),
            _ => (None, None),
        };
        Some(Self {
            check: stop.check().map(crate::fit::CheckId::name),
            reason: stop.reason(fit, units),
            amount: stop.distance(units),
            height_mm,
            months,
            nearest: nearest.map(str::to_owned),
        })
    }
}
