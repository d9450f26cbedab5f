//! A bike from what there is: the likeliest full drawing under a file's figures, and how sure it is.
//! `parameter` says what can be open, `prior` what bikes on such wheels are like, `solve` brings both together.
//! What the doubt does to a verdict is `fit`'s business.

pub mod parameter;
pub mod prior;
pub mod prior_table;
mod solve;

use std::sync::{Arc, Mutex, Weak};

pub use parameter::Parameter;
pub use prior::Prior;

use crate::bike::drawing::Drawing;
use crate::bike::figure::{Figure, Given};
use crate::bike::layout::Layout;
use crate::bike::spec::FrameSpec;
use crate::numeric::deviates;
use parameter::{Fixed, Theta, applies, draw_over, drawn_sum};
use prior::Covariance;
use solve::{Observation, Of, Solution, solve};

/// A figure this many standard deviations from what prior and all others say is named: the least at which no kind
/// of file without a slip is accused more than once in twenty. At 3.5, more slips at the raised saddle
/// would pass unnamed: how far posts rise differs by 16 mm between bikes alike in all else.
const NAMED_SD: f64 = 3.0;
/// From here on it is also believed less, and so is the prior.
const DOUBTED_SD: f64 = 3.5;
/// Standard deviation of a drawn figure, mm or degrees: exact, and still a number to compute with.
const DRAWN_SD: f64 = 0.01;
/// The bike's draws use other dimensions of the sequence than the body's.
const FIRST_SET: u32 = 16;

/// Where a number of the bike comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Standing {
    /// A key of the drawing, exact.
    Drawn,
    /// The maker's chart.
    Published,
    /// A tape or a gauge.
    Measured,
    /// Nobody: what bikes like it have.
    Assumed,
}

impl Standing {
    /// Where from, for people.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Drawn => "exact, from the drawing",
            Self::Published => "published by the maker",
            Self::Measured => "worked out from what was measured",
            Self::Assumed => "assumed, as bikes on such wheels have it",
        }
    }
}

/// A figure that prior and all other figures contradict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quarrel {
    /// Its dotted key.
    pub path: &'static str,
    /// What the file says, mm or degrees.
    pub said: f64,
    /// What all the others say, mm or degrees.
    pub expected: f64,
    /// How many standard deviations are between.
    pub sds: f64,
    /// The figures that it is most tied to, closest first: the first may as well be the wrong one.
    pub tied: [Option<&'static str>; 2],
}

/// One given figure against the finished bike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residual {
    /// Its dotted key.
    pub path: &'static str,
    /// What the file says, mm or degrees.
    pub said: f64,
    /// Said less made, mm or degrees.
    pub residual: f64,
}

/// What a file leaves open about its bike.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Keys of the drawing that nobody gave.
    pub assumed: Vec<&'static str>,
    /// The figure that contradicts the others, where one does.
    pub quarrel: Option<Quarrel>,
    /// Every figure given, against the finished bike.
    pub residuals: Vec<Residual>,
    spec: Arc<FrameSpec>,
    fixed: Fixed,
    theta: Theta,
    spread: Box<Covariance>,
    rates: Box<[Theta; Figure::COUNT]>,
    kept: Kept,
}

/// The drawn layouts, as long as somebody holds them.
#[derive(Debug, Default)]
struct Kept(Mutex<Weak<Vec<Layout>>>);

impl Clone for Kept {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl PartialEq for Kept {
    /// Made from the rest, so never different where the rest is equal.
    fn eq(&self, _other: &Self) -> bool {
        true
    }
}

/// The keys of the drawing that a file leaves out.
fn missing(spec: &FrameSpec) -> impl Iterator<Item = Parameter> {
    Parameter::ALL
        .into_iter()
        .filter(|parameter| applies(*parameter, spec) && parameter.drawn(spec).is_none())
}

fn observations(spec: &FrameSpec) -> Vec<Observation> {
    // Drawn numbers take no spread: they are believed with the tape, and a crank's length is stamped on it.
    let mut readings = spec.readings().peekable();
    let is_vouched = readings.peek().is_some() && readings.all(|reading| reading.is_vouched);
    let drawn = Parameter::ALL.into_iter().filter_map(|parameter| {
        let (sum, value) = drawn_sum(parameter, spec)?;
        Some(Observation {
            path: parameter.path(),
            of: Of::Sum(Box::new(sum)),
            value,
            sd: DRAWN_SD,
            is_vouched: is_vouched || parameter == Parameter::CrankLength,
        })
    });
    let read = spec.readings().map(|reading| Observation {
        path: reading.path(),
        of: Of::Figure(reading.figure),
        value: reading.value,
        sd: reading
            .sd
            .max(DRAWN_SD)
            .hypot(reading.figure.meaning_sd_mm()),
        is_vouched: reading.is_vouched,
    });
    let published_fork = spec.fork.axle_to_crown.map(|length| Observation {
        path: "fork.axle_to_crown",
        of: Of::Figure(Figure::AxleToCrown),
        value: length.mm(),
        sd: Figure::AxleToCrown
            .reading_sd(Given::Published)
            .hypot(Figure::AxleToCrown.meaning_sd_mm()),
        is_vouched: false,
    });
    drawn.chain(read).chain(published_fork).collect()
}

/// The observation that contradicts the others most, and those that it is most tied to. One that is vouched for is
/// never it: then the bike is unlike all others.
fn quarrel(observations: &[Observation], solution: &Solution) -> Option<(Quarrel, Vec<usize>)> {
    let sds = |row: usize| solution.left_out[row].1.abs();
    let worst = (0..observations.len())
        .filter(|row| !observations[*row].is_vouched)
        .max_by(|a, b| sds(*a).total_cmp(&sds(*b)))?;
    if sds(worst) <= NAMED_SD {
        return None;
    }
    let mut others: Vec<usize> = (0..observations.len())
        .filter(|row| *row != worst && solution.ties[(worst, *row)].abs() > LEAST_TIE)
        .collect();
    others.sort_by(|a, b| {
        let tie = |row: usize| solution.ties[(worst, row)].abs();
        tie(*b).total_cmp(&tie(*a))
    });
    let seen = &observations[worst];
    let tied = |at: usize| others.get(at).map(|row| observations[*row].path);
    let quarrel = Quarrel {
        path: seen.path,
        said: seen.value,
        expected: seen.value - solution.left_out[worst].0,
        sds: sds(worst),
        tied: [tied(0), tied(1)],
    };
    others.truncate(1);
    others.insert(0, worst);
    Some((quarrel, others))
}

/// What wheels and pedals need of a bike that has it not, where nobody said otherwise: a fork that clears its tyre,
/// axles that keep the tyres apart, a bracket that keeps the pedals off the ground.
fn room_to_turn(drawing: &Drawing, told: &[Observation]) -> Vec<Observation> {
    /// Air between tyre and crown, between the tyres and under a pedal, and what bikes differ by, mm (common practice).
    const AT_THE_CROWN: [f64; 2] = [10.0, 5.0];
    const BETWEEN_TYRES: [f64; 2] = [150.0, 75.0];
    const UNDER_A_PEDAL: [f64; 2] = [80.0, 25.0];
    let layout = Layout::placed(drawing);
    let (front, rear) = (layout.wheel_radius_front_mm, layout.wheel_radius_rear_mm);
    let is_given = |figure| told.iter().any(|seen| seen.of == Of::Figure(figure));
    [
        (
            Figure::AxleToCrown,
            layout.fork_below_head_tube_mm,
            front,
            AT_THE_CROWN,
        ),
        (
            Figure::Wheelbase,
            layout.wheelbase_mm(),
            front + rear,
            BETWEEN_TYRES,
        ),
        (
            Figure::BottomBracketHeight,
            -layout.ground_y,
            drawing.lowest_pedal_mm(),
            UNDER_A_PEDAL,
        ),
    ]
    .into_iter()
    .filter(|(figure, is, least, _)| is <= least && !is_given(*figure))
    .map(|(figure, _, least, [air, sd])| Observation {
        path: figure.key(),
        of: Of::Figure(figure),
        value: least + air,
        sd,
        is_vouched: false,
    })
    .collect()
}

/// A partial correlation below this is no tie.
const LEAST_TIE: f64 = 0.05;

/// The full drawing that a file's figures make likeliest, and the doubt where something is left open.
///
/// Nothing is computed for a full drawing: its numbers are the file's.
pub fn complete(spec: &FrameSpec, prior: &Prior) -> (Drawing, Option<Doubt>) {
    let fixed = Fixed::of(spec);
    let (mean, mut covariance) = prior.at(spec);
    if missing(spec).next().is_none() {
        let mut drawing = fixed.drawing(&mean);
        draw_over(spec, &mut drawing);
        return (drawing, None);
    }
    let mut observations = observations(spec);
    let mut solution = solve(&fixed, &mean, &covariance, &observations);
    let mut named = None;
    let vouched_sds = solution.as_ref().map_or(0.0, |found| {
        let rows = observations.iter().zip(&found.left_out);
        let vouched = rows.filter(|(seen, _)| seen.is_vouched);
        vouched.fold(0.0, |most: f64, (_, (_, sds))| most.max(sds.abs()))
    });
    if vouched_sds > DOUBTED_SD {
        covariance *= (vouched_sds / 2.0).powi(2);
        solution = solve(&fixed, &mean, &covariance, &observations).or(solution);
    }
    if let Some(found) = &solution
        && let Some((quarrel, rows)) = quarrel(&observations, found)
    {
        named = Some(quarrel);
        if quarrel.sds > DOUBTED_SD {
            // A figure may be wrong, or the bike unlike all others: both are believed less, so that the answer lies
            // between and its spread holds either.
            for row in rows {
                let off = found.left_out[row].0.abs();
                observations[row].sd = observations[row].sd.hypot(off / 2.0);
            }
            covariance *= (quarrel.sds / 2.0).powi(2);
            solution = solve(&fixed, &mean, &covariance, &observations).or(solution);
        }
    }
    // What such bikes have in common knows of no fork that would catch its own wheel.
    let told = observations.len();
    if let Some(found) = &solution {
        observations.extend(room_to_turn(&fixed.drawing(&found.theta), &observations));
    }
    if observations.len() > told {
        solution = solve(&fixed, &mean, &covariance, &observations).or(solution);
    }
    let (theta, spread, rates) = match &solution {
        Some(found) => (found.theta, found.spread, found.rates.clone()),
        // Figures beyond all numbers: the prior alone, with all its doubt.
        None => (
            mean,
            covariance
                .cholesky()
                .map_or_else(Covariance::zeros, |root| root.l()),
            Box::new([Theta::zeros(); Figure::COUNT]),
        ),
    };
    let mut drawing = fixed.drawing(&theta);
    draw_over(spec, &mut drawing);
    keep_below_the_mark(spec, &mut drawing);
    let residuals = solution.map_or_else(Vec::new, |found| {
        observations
            .iter()
            .take(told)
            .zip(&found.residuals)
            .filter(|(seen, _)| matches!(seen.of, Of::Figure(_)))
            .map(|(seen, residual)| Residual {
                path: seen.path,
                said: seen.value,
                residual: *residual,
            })
            .collect()
    });
    let doubt = Doubt {
        assumed: missing(spec)
            .filter(|parameter| standing(spec, *parameter) == Standing::Assumed)
            .map(Parameter::path)
            .collect(),
        quarrel: named,
        residuals,
        spec: Arc::new(spec.clone()),
        fixed,
        theta,
        spread: Box::new(spread),
        rates,
        kept: Kept::default(),
    };
    (drawing, Some(doubt))
}

/// Lowers the highest saddle to where the tape read it, if all the others would have it higher: nobody raises a post past
/// a mark that was seen.
fn keep_below_the_mark(spec: &FrameSpec, drawing: &mut Drawing) {
    if Parameter::MinimumInsertion.drawn(spec).is_some() {
        return;
    }
    let layout = Layout::placed(drawing);
    let past_mm = spec
        .readings()
        .filter_map(|reading| {
            let past = reading.figure.of(drawing, &layout) - reading.value;
            match reading.figure {
                Figure::SeatHeightHighest => Some(past / layout.post.up.y),
                Figure::SaddleHeightHighest => Some(past),
                _ => None,
            }
        })
        .fold(0.0, f64::max);
    drawing.minimum_insertion_mm += past_mm;
}

/// Where a number of the drawing comes from: its own key first, then a tape, then a chart that says the same.
pub fn standing(spec: &FrameSpec, parameter: Parameter) -> Standing {
    if parameter.drawn(spec).is_some() {
        return Standing::Drawn;
    }
    let by = |given: Given| {
        spec.readings()
            .any(|reading| reading.given == given && parameter.figures().contains(&reading.figure))
    };
    if by(Given::Measured) {
        Standing::Measured
    } else if by(Given::Published) {
        Standing::Published
    } else {
        Standing::Assumed
    }
}

impl Doubt {
    /// Standard deviation of a figure, mm or degrees.
    pub fn sd(&self, figure: Figure) -> f64 {
        (self.spread.transpose() * self.rates[figure as usize]).norm()
    }

    /// Standard deviation of a number of the drawing, mm or degrees.
    pub fn parameter_sd(&self, parameter: Parameter) -> f64 {
        self.spread.row(parameter as usize).norm()
    }

    /// How two figures vary together, mm and degrees.
    pub fn covariance(&self, one: Figure, other: Figure) -> f64 {
        let spread = |figure: Figure| self.spread.transpose() * self.rates[figure as usize];
        spread(one).dot(&spread(other))
    }

    /// Standard deviations of the grip, mm: ahead and up from the bottom bracket.
    pub fn grip_sd_mm(&self) -> [f64; 2] {
        let up = self.rates[Figure::GripHeight as usize]
            - self.rates[Figure::BottomBracketHeight as usize];
        [
            self.sd(Figure::GripAhead),
            (self.spread.transpose() * up).norm(),
        ]
    }

    /// The first `count` possible layouts of the bike. Made once for as long as somebody holds them.
    pub fn layouts(&self, count: usize) -> Arc<Vec<Layout>> {
        let Ok(mut kept) = self.kept.0.lock() else {
            return self.make(count);
        };
        if let Some(layouts) = kept.upgrade().filter(|layouts| layouts.len() >= count) {
            return layouts;
        }
        let layouts = self.make(count);
        *kept = Arc::downgrade(&layouts);
        layouts
    }

    fn make(&self, count: usize) -> Arc<Vec<Layout>> {
        Arc::new((0..count).map(|index| self.possible(index).1).collect())
    }

    /// The drawing of one possible layout.
    pub fn drawing(&self, index: usize) -> Drawing {
        self.possible(index).0
    }

    /// One possible bike. A draw that no bike can be is drawn towards the likeliest until one can.
    fn possible(&self, index: usize) -> (Drawing, Layout) {
        let deviates = Theta::from_iterator(deviates(index, FIRST_SET));
        let away = *self.spread * deviates;
        let drawing = |share: f64| {
            let mut drawing = self.fixed.drawing(&(self.theta + away * share));
            draw_over(&self.spec, &mut drawing);
            drawing
        };
        [1.0, 0.5, 0.25, 0.0]
            .into_iter()
            .find_map(|share| {
                let drawing = drawing(share);
                let layout = Layout::close(&drawing).ok()?;
                Some((drawing, layout))
            })
            .unwrap_or_else(|| {
                let drawing = drawing(0.0);
                (drawing, Layout::placed(&drawing))
            })
    }
}
