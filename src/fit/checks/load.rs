//! Load: the rider and what is carried against the weight that the maker allows on this bike.
//! Where the file has no mark, a heavy rider is told to look for it; how heavy the bike itself is, is `bike_weight`.

use crate::bike::Bike;
use crate::bike::class::Standard;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit, at_most};
use crate::fit::pair::Pair;
use crate::sources::{Cited, Source};
use crate::units::{Mass, Units, tidy};
use crate::words::missed;

/// Bag, bottle and clothes, kg (common practice).
const CARRIED_KG: f64 = 3.0;

/// The check.
#[derive(Debug)]
pub struct Load;

/// What is missing without the rider's weight.
const WEIGHT: &str = "the rider's weight";

/// What nearly nobody of a height is heavier than, kg: a body-mass index of 25 for children, of 35 for those as tall as
/// grown-ups (common practice: about 97 of 100 children of ten years weigh less).
fn heaviest_kg(height_mm: f64) -> f64 {
    const CHILD_MM: f64 = 1500.0;
    let most = if height_mm < CHILD_MM { 25.0 } else { 35.0 };
    most * (height_mm / 1000.0).powi(2)
}

/// What a bike of a class is made for where nobody read its mark, rider and bag, kg: balance bikes are marked with 25 and
/// more, young children's bicycles are tested with 30 on the saddle (ISO 8098), young adults' are for riders under 40
/// (ISO 4210-1), larger ones are marked with 80 and more (both standards and the marks from memory, common practice).
const fn usual_kg(standard: Standard) -> f64 {
    match standard {
        Standard::Toy => 25.0,
        Standard::YoungChild => 30.0 + CARRIED_KG,
        Standard::YoungAdult => 40.0 + CARRIED_KG,
        Standard::Adult => 80.0,
    }
}

impl Check for Load {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Kilogram
    }

    fn sources(&self) -> Cited {
        Cited::new(
            Source::MakersMark,
            &[Source::Iso8098, Source::Iso4210, Source::Practice],
        )
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let Some(limit) = pair.bike.spec.load_limit.map(Mass::kg) else {
            // What nobody said bears a heavy rider no better than a mark that is known.
            let load = pair.weight?.kg() + CARRIED_KG;
            let usual = usual_kg(pair.layout.class.standard);
            let is_heavy = !at_most(load, usual);
            return is_heavy.then(|| Measure::new(load, None, Some(usual), Status::Caution));
        };
        let Some(rider) = pair.weight else {
            let heaviest = heaviest_kg(pair.body.height_mm) + CARRIED_KG;
            return Some(if at_most(heaviest, limit) {
                Measure::needs(WEIGHT)
            } else {
                Measure::cannot_do_without(WEIGHT)
            });
        };
        let load = rider.kg() + CARRIED_KG;
        let status = if at_most(load, limit) {
            Status::Ok
        } else {
            Status::Fail(Misfit::NotSize)
        };
        Some(Measure::new(load, None, Some(limit), status))
    }

    fn advise(&self, _pair: &Pair<'_>, measure: &Measure, _units: Units) -> String {
        let load = measure.value.unwrap_or_default();
        let limit = measure.high.unwrap_or_default();
        let weigh = format!(
            "rider {} kg and {} kg for a bag weigh {} kg",
            tidy(load - CARRIED_KG, 1),
            tidy(CARRIED_KG, 1),
            tidy(load, 1)
        );
        match measure.status {
            Status::Fail(_) => format!(
                "{weigh}, {} kg more than the maker allows on this bike",
                missed(load - limit, 1)
            ),
            Status::Caution => format!(
                "{weigh}, and the frame file has no load limit: bikes of this size are made for about {} kg; look for the maker's mark before anybody rides",
                tidy(limit, 1)
            ),
            _ => format!("{weigh} of the {} kg that the maker allows", tidy(limit, 1)),
        }
    }
}
