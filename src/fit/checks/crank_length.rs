//! Crank length: against the height, and by how far the knee must fold over the top of the turn.
//! The length rule is a habit of the trade; only the folded knee can rule a bike out.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least, at_most};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::Units;

/// Share of height: Martin 2002 and common practice, about a tenth.
const OF_HEIGHT: [f64; 2] = [0.085, 0.11];
/// Largest comfortable knee flexion over the turn, degrees: 107 to 113 in trained riders.
const COMFORTABLE_DEG: f64 = 118.0;
/// Largest knee flexion at all, degrees.
const MOST_DEG: f64 = 125.0;
/// Lengths that cranks are sold in, mm (common practice).
pub const STOCK_MM: [f64; 16] = [
    89.0, 95.0, 102.0, 110.0, 114.0, 120.0, 127.0, 132.0, 140.0, 145.0, 150.0, 152.0, 155.0, 160.0,
    165.0, 170.0,
];

/// Nearer, two saddles are one to a tape, mm.
const SAME_MM: f64 = 1.0;

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

/// The stock length inside a range that lies nearest to its middle, mm.
fn stock_mm([low, high]: [f64; 2]) -> Option<f64> {
    let middle = f64::midpoint(low, high);
    STOCK_MM
        .into_iter()
        .filter(|length| at_least(*length, low) && at_most(*length, high))
        .min_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))
}

impl Check for CrankLength {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Millimetre
    }

    fn is_safety(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(
            Source::Martin2002,
            &[Source::KneeFold2021, Source::Practice],
        )
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let crank = pair.layout.crank?.length_mm;
        let fold = largest_flexion_deg(pair);
        let [low, high] = OF_HEIGHT.map(|share| share * pair.body.height_mm);
        let status = match fold {
            None => Status::Fail(Misfit::TooBig),
            Some(fold) if !at_most(fold, MOST_DEG) => Status::Fail(Misfit::TooBig),
            Some(fold) if !at_most(fold, COMFORTABLE_DEG) => Status::Caution,
            Some(_) if at_least(crank, low) && at_most(crank, high) => Status::Ok,
            Some(_) => Status::Caution,
        };
        // Where the knee decides, the length that the trade wants is no limit.
        let is_easy = fold.is_some_and(|fold| at_most(fold, COMFORTABLE_DEG));
        let wanted = |length| is_easy.then_some(length);
        Some(Measure::new(crank, wanted(low), wanted(high), status))
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let crank = measure.value.unwrap_or_default();
        let [low, high] = OF_HEIGHT.map(|share| share * pair.body.height_mm);
        let Some(fold) = largest_flexion_deg(pair) else {
            return format!("crank {crank:.0} mm: the knee cannot follow it round");
        };
        let show = |deg: f64| Unit::Degree.show(deg, units);
        let past = |limit: f64| {
            let fold = Unit::Degree.show_over(fold, limit, units);
            format!("the knee folds to {fold}")
        };
        if let Status::Fail(_) = measure.status {
            let (folds, most) = (past(MOST_DEG), show(MOST_DEG));
            return format!(
                "crank {crank:.0} mm is too long for these legs, {folds}, at most {most}"
            );
        }
        let folds = format!("the knee folds to {}", show(fold));
        let is_elsewhere = |extension: f64| (extension - pair.pose.position).abs() > SAME_MM;
        let at = if pair.pose.extension.is_some_and(is_elsewhere) {
            " with the saddle at full leg height"
        } else {
            ""
        };
        if measure.status == Status::Ok {
            return format!("crank {crank:.0} mm suits these legs, {folds}{at}");
        }
        let is_folded = !at_most(fold, COMFORTABLE_DEG);
        let knee = if is_folded {
            let most = show(COMFORTABLE_DEG);
            format!("{}{at}, at most {most} is easy", past(COMFORTABLE_DEG))
        } else {
            format!("{folds}{at}")
        };
        // Cranks are stamped in millimetres everywhere.
        let which = if !is_folded && crank < low { "short" } else { "long" };
        let other = match stock_mm([low, high]) {
            Some(stock) if stock < crank || which == "short" => {
                format!("a mechanic can fit cranks of {stock:.0} mm")
            }
            Some(_) => "no shorter stock length lies in the wanted range".to_owned(),
            None => "no stock length lies in the wanted range".to_owned(),
        };
        format!("crank {crank:.0} mm is {which} for these legs, {knee}: {other}")
    }
}
