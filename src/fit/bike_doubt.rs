//! What a bike's own doubt leaves open: checks whose side turns with the possible layouts of a partial file.
//! The body stays at its mean, so that only the bike speaks; both doubts together are `odds`.

use crate::bike::complete::Doubt;
use crate::bike::complete::parameter::{Parameter, parameters_of};
use crate::bike::figure::{Figure, Given};
use crate::bike::{Bike, Layout};
use crate::fit::checks::{CheckId, Measures, measure};
use crate::fit::finding::{Measure, Missing, Status};
use crate::fit::pair::Pair;
use crate::fit::verdict::{DECIDED, SURE};
use crate::rider::{Body, Stage};
use crate::units::Mass;

/// Layouts that decide it: the chance's own error is 2.5 % at the limit.
pub const LAYOUTS: usize = 256;
/// Standard deviation of a crank's length as printed on it, mm (common practice).
const CRANK_SD_MM: f64 = 0.5;
/// Path of the crank's length, which no tape of the whole bike gives.
const CRANK: &str = "cranks.length";

/// The figure of the bike to take for each check that its doubt leaves open, and whether no pair fits without it, in
/// the order of [`CheckId::ALL`].
pub type Needed = [Option<Missing>; CheckId::COUNT];

/// Figures that a shop can take, easiest first.
const ASKABLE: [Figure; 11] = [
    Figure::Standover,
    Figure::SeatHeightLowest,
    Figure::SeatHeightHighest,
    Figure::BottomBracketHeight,
    Figure::GripHeight,
    Figure::GripAhead,
    Figure::FrontCentre,
    Figure::Chainstay,
    Figure::Wheelbase,
    Figure::SeatTubeAngle,
    Figure::HeadAngle,
];

/// What a shop can take of this bike.
fn askable(bike: &Bike) -> impl Iterator<Item = Figure> {
    let style = bike.spec.style;
    ASKABLE.into_iter().filter(move |figure| style.has(*figure))
}

/// Holds every check of a body on a bike against the bike's possible layouts. `exact` are the numbers on the
/// likeliest one. A check is open where fewer than 80 % of the layouts leave it on its side, 95 % where it passes
/// and no pair fits without it: what nobody measured makes a no sooner than a yes. One that decides nothing is also
/// open where fewer than 80 % leave it with its word. It then names the figure whose reading tells the sides apart
/// best; where that one is taken already the check stands, and how close it is, the pair's chance says.
pub fn bike_doubt(
    bike: &Bike,
    body: &Body,
    stage: Stage,
    weight: Option<Mass>,
    exact: &Measures,
) -> Needed {
    let mut needed = suspects(bike, exact);
    let Some(doubt) = &bike.doubt else {
        return needed;
    };
    let layouts = doubt.layouts(LAYOUTS);
    let layouts = &layouts[..LAYOUTS];
    let on_layouts: Vec<Measures> = layouts
        .iter()
        .map(|layout| measure(&Pair::on(bike, layout, body, stage, weight)))
        .collect();
    let mut taken = None;
    for (index, expected) in exact.iter().enumerate() {
        let Some(expected) = expected.filter(|measure| !is_not_checked(measure)) else {
            continue;
        };
        if needed[index].is_some() {
            continue;
        }
        let id = CheckId::ALL[index];
        let side = fails(Some(&expected));
        let is_decisive = id.check().is_decisive();
        let missing = |what| missing(id, &expected, what);
        let is_open = |least: f64, holds: &dyn Fn(&Measures) -> bool| {
            let held = on_layouts.iter().filter(|measures| holds(measures)).count();
            (held as f64) < least * LAYOUTS as f64
        };
        let side_is_open =
            |least| is_open(least, &|measures| fails(measures[index].as_ref()) == side);
        // A crank's length is no figure of the whole bike that others could make sure.
        if id == CheckId::CrankLength && doubt.assumed.contains(&CRANK) {
            needed[index] = Some(Missing {
                is_decisive: side || side_is_open(SURE),
                ..missing(CRANK)
            });
            continue;
        }
        let word_is_open = !is_decisive
            && is_open(DECIDED, &|measures| {
                measures[index].is_some_and(|measure| is_like(measure.status, expected.status))
            });
        let least = if is_decisive && !side { SURE } else { DECIDED };
        if side_is_open(least) || word_is_open {
            let taken = taken.get_or_insert_with(|| takeable(bike, doubt, layouts));
            let path = best(doubt, taken, &on_layouts, index);
            // Taken already, it is as good as a tape gives it: how close that leaves the pair, its chance says.
            needed[index] = path.filter(|path| !bike.gives(path)).map(missing);
        }
    }
    needed
}

/// Whether a check rules the pair out.
pub(super) fn fails(measure: Option<&Measure>) -> bool {
    measure.is_some_and(|measure| matches!(measure.status, Status::Fail(_)))
}

/// Whether two outcomes tell the rider the same.
fn is_like(one: Status, other: Status) -> bool {
    class(one) == class(other)
}

fn class(status: Status) -> u8 {
    match status {
        Status::Ok | Status::Set => 0,
        Status::Caution => 1,
        Status::Fail(_) => 2,
        Status::NotChecked(_) => 3,
    }
}

/// What a check that was made still needs.
fn missing(id: CheckId, made: &Measure, what: &'static str) -> Missing {
    Missing {
        what,
        // One that fails on the likeliest layout rules the pair out there.
        is_decisive: id.check().is_decisive() || fails(Some(made)),
    }
}

/// The checks that rest on a figure at odds with the others, or with the drawing: what it says is no ground for a yes or
/// a no, on a bike drawn in full either.
fn suspects(bike: &Bike, exact: &Measures) -> Needed {
    let mut needed = [None; CheckId::COUNT];
    if bike.mismatches.is_empty() {
        return needed;
    }
    for (index, made) in exact.iter().enumerate() {
        let made = made.as_ref().filter(|measure| !is_not_checked(measure));
        let id = CheckId::ALL[index];
        let found = bike.mismatches.iter().find(|found| {
            let rests_on = rests_on(id);
            rests_on.iter().any(|figure| found.is_about(*figure))
        });
        needed[index] = made
            .zip(found)
            .map(|(made, found)| missing(id, made, found.key));
    }
    needed
}

/// The figures without which a check says nothing.
fn rests_on(check: CheckId) -> &'static [Figure] {
    match check {
        CheckId::Standover => &[Figure::Standover],
        CheckId::SaddleHeight | CheckId::LegRoom | CheckId::GroundContact => &[
            Figure::SeatHeightLowest,
            Figure::SeatHeightHighest,
            Figure::SaddleHeightLowest,
            Figure::SaddleHeightHighest,
            Figure::BottomBracketHeight,
            Figure::BottomBracketDrop,
        ],
        CheckId::Reach => &[Figure::GripHeight, Figure::GripAhead],
        _ => &[],
    }
}

fn is_not_checked(measure: &Measure) -> bool {
    matches!(measure.status, Status::NotChecked(_))
}

/// A figure that could be taken, its value on every layout, and the standard deviation of one reading.
pub(super) struct Takeable {
    pub(super) path: &'static str,
    pub(super) values: Vec<f64>,
    reading_sd: f64,
}

impl Takeable {
    /// Share of the figure's variance that one reading removes.
    pub(super) fn share_settled(&self) -> f64 {
        let (variance, ..) = moments(&self.values, &self.values);
        variance / (variance + self.reading_sd.powi(2))
    }
}

/// What a shop could take of the bike.
pub(super) fn takeable(bike: &Bike, doubt: &Doubt, layouts: &[Layout]) -> Vec<Takeable> {
    let figures: Vec<_> = layouts
        .iter()
        .enumerate()
        .map(|(index, layout)| Figure::all_of(&doubt.drawing(index), layout))
        .collect();
    let crank = layouts
        .iter()
        .map(|layout| layout.crank.map_or(0.0, |crank| crank.length_mm));
    askable(bike)
        .map(|figure| Takeable {
            path: figure.path(Given::Measured),
            values: figures.iter().map(|all| all[figure as usize]).collect(),
            reading_sd: figure.reading_sd(Given::Measured),
        })
        .chain((!bike.is_balance()).then(|| Takeable {
            path: CRANK,
            values: crank.collect(),
            reading_sd: CRANK_SD_MM,
        }))
        .collect()
}

/// The figure whose reading says most about one check, by its value where it always has one, else by its side: of those
/// that a tape takes of the whole bike, and where none of them says anything, of the drawing's numbers.
fn best(
    doubt: &Doubt,
    taken: &[Takeable],
    on_layouts: &[Measures],
    index: usize,
) -> Option<&'static str> {
    /// A reading that settles less of it is not worth a tape.
    const LEAST: f64 = 0.05;
    let values: Option<Vec<f64>> = on_layouts
        .iter()
        .map(|measures| measures[index].and_then(|measure| measure.value))
        .collect();
    let classes = || {
        on_layouts
            .iter()
            .map(|measures| measures[index].map_or(0.0, |measure| f64::from(class(measure.status))))
            .collect()
    };
    // A printed length is the same on every layout, whatever it does to the leg.
    let varies = |values: &Vec<f64>| {
        values
            .iter()
            .any(|value| value.total_cmp(&values[0]).is_ne())
    };
    let said = values.filter(varies).unwrap_or_else(classes);
    let most = |figures: &[Takeable]| {
        figures
            .iter()
            .map(|figure| {
                let (covariance, variance, own) = moments(&figure.values, &said);
                let settled = variance + figure.reading_sd.powi(2);
                let gain = if own > 0.0 {
                    covariance.powi(2) / (own * settled)
                } else {
                    0.0
                };
                (figure.path, gain)
            })
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .filter(|(_, gain)| *gain > LEAST)
            .map(|(path, _)| path)
    };
    most(taken)
        .or_else(|| most(&drawable(doubt)))
        .or_else(|| doubt.assumed.first().copied())
}

/// What no tape of the whole bike gives, but a drawing or a rule on the part does.
fn drawable(doubt: &Doubt) -> Vec<Takeable> {
    let drawn: Vec<_> = (0..LAYOUTS)
        .map(|index| parameters_of(&doubt.drawing(index)))
        .collect();
    Parameter::ALL
        .into_iter()
        .filter(|parameter| doubt.assumed.contains(&parameter.path()))
        .map(|parameter| Takeable {
            path: parameter.path(),
            values: drawn
                .iter()
                .map(|all| all[parameter as usize].unwrap_or(0.0))
                .collect(),
            reading_sd: if parameter.is_angle() { 0.5 } else { 3.0 },
        })
        .collect()
}

/// Covariance of two rows of numbers, and the variance of each.
fn moments(one: &[f64], other: &[f64]) -> (f64, f64, f64) {
    let count = one.len().max(1) as f64;
    let mean = |row: &[f64]| row.iter().sum::<f64>() / count;
    let (a, b) = (mean(one), mean(other));
    let sum = |of: &dyn Fn(f64, f64) -> f64| {
        one.iter()
            .zip(other)
            .map(|(x, y)| of(x - a, y - b))
            .sum::<f64>()
            / count
    };
    (sum(&|x, y| x * y), sum(&|x, _| x * x), sum(&|_, y| y * y))
}

/// Puts the figures to take in place of what the bike's doubt leaves open.
pub fn leave_open(measures: &mut Measures, needed: &Needed) {
    for (measure, missing) in measures.iter_mut().zip(needed) {
        if let (Some(measure), Some(missing)) = (measure, missing) {
            *measure = Measure::bare(Status::NotChecked(*missing));
        }
    }
}

/// The figure that bounds whom a bike fits by this check and that nobody measured; None where it is known as well as a
/// tape gives it, and of checks that bound nothing.
pub fn assumed(bike: &Bike, check: CheckId) -> Option<&'static str> {
    let (figure, path) = match check {
        CheckId::Standover => (Figure::Standover, "measured.standover"),
        CheckId::SaddleHeight | CheckId::GroundContact => {
            (Figure::SeatHeightLowest, "measured.seat_height_lowest")
        }
        CheckId::LegRoom => (Figure::SeatHeightHighest, "measured.seat_height_highest"),
        _ => return None,
    };
    // The knee's bend hangs on how far the saddle is from the bracket.
    let is_bracket_open =
        check == CheckId::LegRoom && !bike.is_balance() && bike.tells_saddle_from_ground();
    if !bike.knows(figure) {
        Some(path)
    } else if is_bracket_open {
        Some("measured.bottom_bracket_height")
    } else {
        None
    }
}

/// The one figure to take next of a bike before any rider sits on it: what is at odds with the others, what a tape
/// settles most, and before the grip the brakes where nothing is said of them and the gap at a hand lever. None with
/// nothing left that a verdict hangs on.
pub fn what_next(bike: &Bike) -> Option<&'static str> {
    const BRAKES: &str = "brakes";
    let odd = bike.mismatches.iter().find(|found| !found.is_settled());
    let brakes = bike.spec.brakes.as_ref();
    let gap = brakes.and_then(|brakes| brakes.open_gaps().next());
    let tape = by_tape(bike);
    let is_grip = |path: &&str| path.contains(".grip_");
    odd.map(|found| found.key)
        .or(tape.filter(|path| !is_grip(path)))
        .or((brakes.is_none() && !bike.is_balance()).then_some(BRAKES))
        .or(gap)
        .or(tape)
}

/// The one figure of the geometry that would settle most: of the lengths that verdicts hang on (standover, both seat
/// heights and saddle heights, less so the grip), each in units of its reading. None with a full drawing, and where
/// every such length is known as well as a tape knows it.
fn by_tape(bike: &Bike) -> Option<&'static str> {
    /// What verdicts hang on, and how much of one.
    const DECIDE: [(Figure, f64); 7] = [
        (Figure::Standover, 1.0),
        (Figure::SeatHeightLowest, 1.0),
        (Figure::SeatHeightHighest, 1.0),
        (Figure::SaddleHeightLowest, 0.5),
        (Figure::SaddleHeightHighest, 0.5),
        (Figure::GripHeight, 0.1),
        (Figure::GripAhead, 0.1),
    ];
    /// Less variance than this settled, in readings', is not worth a tape.
    const LEAST: f64 = 1.0;
    let doubt = bike.doubt.as_ref()?;
    let crank_is_open = !bike.is_balance() && doubt.assumed.contains(&CRANK);
    askable(bike)
        .map(|figure| {
            let reading = figure.reading_sd(Given::Measured).powi(2);
            let settled = doubt.covariance(figure, figure) + reading;
            let gain: f64 = DECIDE
                .into_iter()
                .map(|(decides, weight)| {
                    let own = decides.reading_sd(Given::Measured).powi(2);
                    weight * doubt.covariance(figure, decides).powi(2) / (settled * own)
                })
                .sum();
            (figure.path(Given::Measured), gain)
        })
        .chain(crank_is_open.then(|| {
            let sd = doubt.parameter_sd(Parameter::CrankLength);
            (CRANK, sd.powi(2) / 9.0)
        }))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|(_, gain)| *gain > LEAST)
        .map(|(path, _)| path)
}
