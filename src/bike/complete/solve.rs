//! The likeliest parameters under a prior and observations, what is left open, and which observation
//! contradicts the others. Gauss–Newton in whitened parameters with halved steps; all Cholesky.
//! What is observed is `figure` and `parameter`; what the answer means for a bike is the parent's.

use nalgebra::{DMatrix, DVector};

use crate::bike::complete::parameter::{Fixed, Parameter, Sum, Theta};
use crate::bike::complete::prior::Covariance;
use crate::bike::figure::Figure;
use crate::bike::layout::Layout;

/// Parameters moved less than this, mm or degrees, are found.
const CLOSE_ENOUGH: f64 = 1e-6;
/// Most Gauss–Newton steps.
const MOST_STEPS: usize = 25;
/// Step of the forward differences, mm or degrees: figures curve by less than 1e-2 of it.
const DIFFERENCE: f64 = 1e-4;

/// What an observation is of.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Of {
    /// A drawn number.
    Sum(Box<Sum>),
    /// A figure of the whole bike.
    Figure(Figure),
}

/// One observation.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Observation {
    pub(super) path: &'static str,
    pub(super) of: Of,
    pub(super) value: f64,
    pub(super) sd: f64,
    /// Whether it is believed against what bikes on such wheels have.
    pub(super) is_vouched: bool,
}

/// The likeliest parameters and what is left open about them.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    pub(super) theta: Theta,
    /// θ varies as `theta + spread · ξ` with standard normal ξ.
    pub(super) spread: Covariance,
    /// Rates of every figure over every parameter at `theta`.
    pub(super) rates: Box<[Theta; Figure::COUNT]>,
    /// Given less made, by observation.
    pub(super) residuals: Vec<f64>,
    /// What prior and all other observations leave of each: given less expected, and how many standard
    /// deviations that is.
    pub(super) left_out: Vec<(f64, f64)>,
    /// How each two observations hang together when all others are known: partial correlations.
    pub(super) ties: DMatrix<f64>,
}

/// What observations see of one bike: every figure, and the saddle's position with no post showing.
#[derive(Debug, Clone, Copy)]
struct Seen<T> {
    figures: [T; Figure::COUNT],
    bare: T,
}

impl Seen<f64> {
    fn of(fixed: &Fixed, theta: &Theta) -> Self {
        let drawing = fixed.drawing(theta);
        let layout = Layout::placed(&drawing);
        Self {
            figures: Figure::all_of(&drawing, &layout),
            bare: fixed.bare_mm(theta),
        }
    }
}

impl Seen<Theta> {
    /// Rates over every parameter, by forward differences from `here`.
    fn rates(fixed: &Fixed, theta: &Theta, here: &Seen<f64>) -> Self {
        let mut rates = Self {
            figures: [Theta::zeros(); Figure::COUNT],
            bare: Theta::zeros(),
        };
        for parameter in 0..Parameter::COUNT {
            let mut moved = *theta;
            moved[parameter] += DIFFERENCE;
            let there = Seen::of(fixed, &moved);
            for (rate, (there, here)) in rates
                .figures
                .iter_mut()
                .zip(there.figures.iter().zip(&here.figures))
            {
                rate[parameter] = (there - here) / DIFFERENCE;
            }
            rates.bare[parameter] = (there.bare - here.bare) / DIFFERENCE;
        }
        rates
    }
}

/// None only where the numbers are no longer finite.
pub(super) fn solve(
    fixed: &Fixed,
    mean: &Theta,
    covariance: &Covariance,
    observations: &[Observation],
) -> Option<Solution> {
    let whiten = covariance.clone_owned().cholesky()?.l();
    let count = observations.len();
    let made = |theta: &Theta, bike: &Seen<f64>| {
        DVector::from_iterator(
            count,
            observations.iter().map(|seen| match &seen.of {
                Of::Sum(sum) => sum.theta.dot(theta) + sum.bare * bike.bare,
                Of::Figure(figure) => bike.figures[*figure as usize],
            }),
        )
    };
    let given = DVector::from_iterator(count, observations.iter().map(|seen| seen.value));
    let noise = DVector::from_iterator(count, observations.iter().map(|seen| seen.sd.powi(2)));
    let misfit = |from_mean: &Theta, theta: &Theta| {
        let left = &given - made(theta, &Seen::of(fixed, theta));
        from_mean.norm_squared() + left.component_mul(&left).component_div(&noise).sum()
    };

    let mut from_mean = Theta::zeros();
    let mut cost = f64::INFINITY;
    for step in 0.. {
        let theta = mean + whiten * from_mean;
        let here = Seen::of(fixed, &theta);
        let rates = Seen::rates(fixed, &theta, &here);
        // One row an observation, over the whitened parameters.
        let mut sight = DMatrix::<f64>::zeros(count, Parameter::COUNT);
        for (row, seen) in observations.iter().enumerate() {
            let rate = match &seen.of {
                Of::Sum(sum) => sum.theta + rates.bare * sum.bare,
                Of::Figure(figure) => rates.figures[*figure as usize],
            };
            sight.set_row(row, &(rate.transpose() * whiten));
        }
        let residuals = &given - made(&theta, &here);
        let innovation = &residuals + &sight * from_mean;
        let scatter = &sight * sight.transpose() + DMatrix::from_diagonal(&noise);
        let scatter = scatter.cholesky()?;
        let wanted = sight.tr_mul(&scatter.solve(&innovation));
        let wanted = Theta::from_column_slice(wanted.as_slice());
        let whole = wanted - from_mean;
        let moves = (whiten * whole).amax();
        if !moves.is_finite() {
            return None;
        }
        if moves < CLOSE_ENOUGH || step == MOST_STEPS {
            return finish(
                &whiten,
                theta,
                Box::new(rates.figures),
                &sight,
                &noise,
                &innovation,
                &residuals,
                &scatter,
            );
        }
        // Halved until it gains; the last halving is taken as it is, a bad figure must not stop the rest.
        if cost.is_infinite() {
            cost = misfit(&from_mean, &theta);
        }
        let mut share = 1.0;
        for _ in 0..6 {
            let next = from_mean + whole * share;
            let next_cost = misfit(&next, &(mean + whiten * next));
            if next_cost <= cost || moves * share < CLOSE_ENOUGH {
                (from_mean, cost, share) = (next, next_cost, 0.0);
                break;
            }
            share /= 2.0;
        }
        if share > 0.0 {
            from_mean += whole * share;
            cost = misfit(&from_mean, &(mean + whiten * from_mean));
        }
    }
    None
}

#[expect(clippy::too_many_arguments, reason = "the last step's own numbers")]
fn finish(
    whiten: &Covariance,
    theta: Theta,
    rates: Box<[Theta; Figure::COUNT]>,
    sight: &DMatrix<f64>,
    noise: &DVector<f64>,
    innovation: &DVector<f64>,
    residuals: &DVector<f64>,
    scatter: &nalgebra::Cholesky<f64, nalgebra::Dyn>,
) -> Option<Solution> {
    // The posterior's information is always positive definite, where its covariance may round to less.
    let mut weighted = sight.clone();
    for (mut row, variance) in weighted.row_iter_mut().zip(noise) {
        row /= *variance;
    }
    let seen = sight.tr_mul(&weighted);
    let information =
        Covariance::from_fn(|row, column| f64::from(u8::from(row == column)) + seen[(row, column)]);
    let lower = information.cholesky()?.l();
    let spread = whiten
        * lower
            .transpose()
            .solve_upper_triangular(&Covariance::identity())?;

    let inverse = scatter.inverse();
    let weights = &inverse * innovation;
    let left_out = (0..noise.len())
        .map(|row| {
            let information = inverse[(row, row)];
            (
                weights[row] / information,
                weights[row] / information.sqrt(),
            )
        })
        .collect();
    let ties = DMatrix::from_fn(noise.len(), noise.len(), |a, b| {
        -inverse[(a, b)] / (inverse[(a, a)] * inverse[(b, b)]).sqrt()
    });
    Some(Solution {
        theta,
        spread,
        rates,
        residuals: residuals.as_slice().to_vec(),
        left_out,
        ties,
    })
}
