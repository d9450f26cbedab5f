//! Crank length: against the height, and by how far the knee must fold over the top of the turn.
//! The length rule is a habit of the trade; only the folded knee can rule a bike out.

use crate::bike::Bike;
use crate::bike::drawing::Crank;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_least, at_most};
use crate::fit::leg::Leg;
use crate::fit::pair::{LEG_EXTENSION_TARGET_DEG, Pair};
use crate::sources::{Cited, Source};
use crate::units::Units;
use crate::words::missed;

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
    Some(flexion_deg(pair, &pair.pose.leg?, pair.pose.extension?))
}

fn flexion_deg(pair: &Pair<'_>, leg: &Leg, extension: f64) -> f64 {
    let nearest = leg.nearest(pair.hip_at(extension));
    // A leg that cannot fold far enough is folded flat.
    leg.flexion(nearest.distance)
        .map_or(180.0, f64::to_degrees)
}

/// Stock lengths inside a range, the one nearest to its middle first, mm.
fn stock_mm([low, high]: [f64; 2]) -> Vec<f64> {
    let middle = f64::midpoint(low, high);
    let mut stock: Vec<_> = STOCK_MM
        .into_iter()
        .filter(|length| at_least(*length, low) && at_most(*length, high))
        .collect();
    stock.sort_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()));
    stock
}

/// Whether the knee would fold with ease over the turn of cranks of another length, the saddle at full leg height.
fn is_easy_with(pair: &Pair<'_>, crank: &Crank, length_mm: f64) -> bool {
    let other = Crank {
        length_mm,
        ..*crank
    };
    let leg = Leg::new(pair.body, &other);
    pair.position_of_leg(&leg, LEG_EXTENSION_TARGET_DEG)
        .is_some_and(|extension| !is_folded(flexion_deg(pair, &leg, extension)))
}

impl Check for CrankLength {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Stamped
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
        let [low, _] = OF_HEIGHT.map(|share| share * pair.body.height_mm);
        let Some(fold) = largest_flexion_deg(pair) else {
            return format!("crank {crank:.0} mm: the knee cannot follow it round");
        };
        let show = |deg: f64| Unit::Degree.show(deg, units);
        if let Status::Fail(_) = measure.status {
            return format!(
                "crank {crank:.0} mm is too long for these legs: the knee folds {}° past the {} that it may",
                missed(fold - MOST_DEG, 0),
                show(MOST_DEG)
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
        let knee = if is_folded(fold) {
            let folds = Unit::Degree.show_over(fold, COMFORTABLE_DEG, units);
            let most = show(COMFORTABLE_DEG);
            format!("the knee folds to {folds}{at}, at most {most} is easy")
        } else {
            format!("{folds}{at}")
        };
        // Cranks are stamped in millimetres everywhere.
        let which = which(crank, low, fold);
        format!("crank {crank:.0} mm is {which} for these legs, {knee}")
    }

    fn cure(&self, pair: &Pair<'_>, measure: &Measure, _units: Units) -> Option<String> {
        let crank = pair.layout.crank?;
        let stock = stock_mm(OF_HEIGHT.map(|share| share * pair.body.height_mm));
        let is_easy = |length: &&f64| is_easy_with(pair, &crank, **length);
        (measure.status == Status::Caution).then(|| match stock.iter().find(is_easy) {
            Some(length) => format!("a mechanic can fit cranks of {length:.0} mm"),
            None if stock.is_empty() => "no stock length lies in the wanted range".to_owned(),
            None => "no stock length in the wanted range is easy on these knees".to_owned(),
        })
    }
}

/// Whether the knee folds further than is easy.
fn is_folded(fold_deg: f64) -> bool {
    !at_most(fold_deg, COMFORTABLE_DEG)
}

/// In which sense a crank does not suit.
fn which(crank_mm: f64, low_mm: f64, fold_deg: f64) -> &'static str {
    if !is_folded(fold_deg) && crank_mm < low_mm {
        "short"
    } else {
        "long"
    }
}
