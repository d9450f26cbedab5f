//! Crank length: against the leg, against the height, and by how far the knee must fold over the top.
//! The two length rules are habits of the trade; only the folded knee can rule a bike out.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least, at_most};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Share of leg length (height minus sitting height): Martin 2001, 2002; practice.
const OF_LEG: [f64; 2] = [0.18, 0.22];
/// Share of height: common practice.
const OF_HEIGHT: [f64; 2] = [0.09, 0.105];
/// Largest comfortable knee flexion, degrees: 107 to 113 in trained riders.
const COMFORTABLE_DEG: f64 = 115.0;
/// Largest knee flexion at all, degrees.
const MOST_DEG: f64 = 125.0;
/// Lengths that cranks are sold in, mm (common practice).
pub const STOCK_MM: [f64; 16] = [
    89.0, 95.0, 102.0, 110.0, 114.0, 120.0, 127.0, 132.0, 140.0, 145.0, 150.0, 152.0, 155.0, 160.0,
    165.0, 170.0,
];

/// The check.
#[derive(Debug)]
pub struct CrankLength;

/// Largest knee flexion (degrees) at the leg-extension saddle height. None when the leg has no such height.
fn largest_flexion_deg(pair: &Pair<'_>) -> Option<f64> {
    let leg = pair.pose.leg?;
    let nearest = leg.nearest(pair.hip_at(pair.pose.extension?));
    // A leg that cannot fold far enough is folded flat.
    Some(leg.flexion(nearest.distance).map_or(180.0, f64::to_degrees))
}

/// Lengths inside both rules, mm; where the rules do not meet, the gap between them.
fn wanted_mm(pair: &Pair<'_>) -> (f64, f64, bool) {
    let (leg, height) = (pair.body.sitting_leg_mm(), pair.body.height_mm);
    let low = (OF_LEG[0] * leg).max(OF_HEIGHT[0] * height);
    let high = (OF_LEG[1] * leg).min(OF_HEIGHT[1] * height);
    (low.min(high), low.max(high), low <= high)
}

/// The stock length nearest to `length`, mm.
fn nearest_stock_mm(length: f64) -> f64 {
    STOCK_MM
        .into_iter()
        .min_by(|a, b| (a - length).abs().total_cmp(&(b - length).abs()))
        .unwrap_or(length)
}

impl Check for CrankLength {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Martin2002, &[Source::Martin2001, Source::Practice])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let crank = pair.layout.crank?.length_mm;
        let (low, high, rules_meet) = wanted_mm(pair);
        let fold = largest_flexion_deg(pair);
        let status = match fold {
            None => Status::Fail(Misfit::TooBig),
            Some(fold) if !at_most(fold, MOST_DEG) => Status::Fail(Misfit::TooBig),
            Some(fold) if !at_most(fold, COMFORTABLE_DEG) => Status::Caution,
            Some(_) if rules_meet && at_least(crank, low) && at_most(crank, high) => Status::Ok,
            Some(_) => Status::Caution,
        };
        Some(Measure::new(crank, Some(low), Some(high), status))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let crank = measure.value.unwrap_or_default();
        let (low, high, _) = wanted_mm(pair);
        let stock = nearest_stock_mm(f64::midpoint(low, high));
        let fold = largest_flexion_deg(pair).map_or_else(
            || "the knee cannot follow it".to_owned(),
            |fold| format!("knee folds to {}", Unit::Degree.show(fold, units)),
        );
        // Cranks are stamped in millimetres everywhere.
        match measure.status {
            Status::Ok => format!("crank {crank:.0} mm suits these legs, {fold}"),
            _ if stock < crank => format!(
                "crank {crank:.0} mm is long for these legs, {fold}: {stock:.0} mm would suit"
            ),
            _ if stock > crank => format!(
                "crank {crank:.0} mm is short for these legs, {fold}: {stock:.0} mm would suit"
            ),
            _ => format!("crank {crank:.0} mm is the nearest stock length, {fold}"),
        }
    }
}
