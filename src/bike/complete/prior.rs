//! What is known about a bike before its file is read: parameters linear in the wheel's radius, and how they
//! scatter together. Own estimate from the sample bikes; the numbers are `prior_table`, made by this code.
//! How a file's figures move them is `solve`.

use std::sync::LazyLock;

use nalgebra::{SMatrix, SVector};

use crate::bike::complete::parameter::{Parameter, Theta, parameters_of};
pub use crate::bike::complete::prior_table::TERMS;
use crate::bike::complete::prior_table::{COVARIANCE, MEAN};
use crate::bike::drawing::Drawing;
use crate::bike::spec::{FrameSpec, Style};

/// A number for every two parameters.
pub type Covariance = SMatrix<f64, { Parameter::COUNT }, { Parameter::COUNT }>;

/// Radius at which the constant holds, mm, and the step of the slope, mm.
const RADIUS_MM: [f64; 2] = [250.0, 100.0];

/// The samples are few and all by one hand: their scatter is taken this much wider.
const WIDER: f64 = 1.3;
/// Least standard deviation of a length and of an angle, as a share of the mean: bikes on like wheels differ by so
/// much, however alike the samples are. Leaving each sample out of the others' prior asks for it, `tests/completion`:
/// at 2 % of length a short frame among long ones is taken for a slip of the tape.
const LEAST_SHARE: [f64; 2] = [0.05, 0.02];
/// Least standard deviation of any parameter, mm or degrees: a mean near nothing is no knowledge.
const LEAST_SD: f64 = 1.0;
/// The same for how far the seat tube's axis misses the bottom bracket, mm: nothing on most frames, 30 to 50 mm
/// where the tube is bent or set forward (common practice).
const LEAST_TUBE_OFFSET_SD_MM: f64 = 15.0;
/// The same for the fork's offset, mm: children's forks run from 30 to 50 mm (common practice), the bicycles of
/// Meijaard et al. 2007 and Moore 2012 from 32 to 57, where the samples are all by one hand.
const LEAST_FORK_OFFSET_SD_MM: f64 = 6.0;
/// The same for how much of the post its mark asks for, mm: from two diameters, 54 mm, to 100 and more (common practice),
/// and printed by the post's maker, not the bike's: a post of the same length says little about its mark.
const LEAST_MARK_SD_MM: f64 = 20.0;
/// The same for how far the bracket hangs below the axles, mm: on 20-inch wheels brackets stand from 230 to 285 mm above the
/// ground (common practice).
const LEAST_DROP_SD_MM: f64 = 18.0;
/// The same for how far the saddle rises, mm: on 20-inch wheels by 90 to 180 (common practice). More would be as true,
/// but a slip of the tape would hide in it.
const LEAST_TRAVEL_SD_MM: f64 = 18.0;
/// The same for the cranks, mm: on 20-inch wheels from 114 to 152, on 24-inch from 127 to 170 (common practice), where
/// the samples have what suits their riders.
const LEAST_CRANK_SD_MM: f64 = 15.0;
/// The same for the lowest saddle of a balance bike and for how far it rises, mm: on 12-inch wheels saddles start
/// between 280 and 370 mm and rise by 80 to 160 (common practice), and the samples are two.
const LEAST_BALANCE_SD_MM: f64 = 30.0;
/// Correlations found in so few bikes are partly chance: this share of them is kept.
const KEPT_CORRELATION: f64 = 0.8;
/// How much a riding style's addition is drawn to nothing, in bikes: two balance bikes prove little.
const STYLE_DRAW: f64 = 0.3;

/// Mean and scatter of a bike's parameters.
#[derive(Debug, Clone, PartialEq)]
pub struct Prior {
    /// Weights of the terms, by parameter.
    pub mean: [[f64; TERMS]; Parameter::COUNT],
    /// Scatter about the mean.
    pub covariance: Covariance,
}

fn terms(spec: &FrameSpec) -> SVector<f64, TERMS> {
    let style = spec.style;
    // Between both wheels, where they differ: the frame grows with either.
    let tyres = &spec.tyres;
    let radius_mm = f64::midpoint(tyres.front.wheel_radius_mm(), tyres.rear.wheel_radius_mm());
    let one_if = |is: bool| f64::from(u8::from(is));
    SVector::from([
        1.0,
        (radius_mm - RADIUS_MM[0]) / RADIUS_MM[1],
        one_if(style == Style::Trail),
        one_if(style == Style::Balance),
    ])
}

impl Prior {
    /// The prior that the program uses.
    pub fn built_in() -> &'static Self {
        static BUILT_IN: LazyLock<Prior> = LazyLock::new(|| Prior {
            mean: MEAN,
            covariance: Covariance::from_fn(|row, column| {
                let (low, high) = (row.min(column), row.max(column));
                COVARIANCE[high * (high + 1) / 2 + low]
            }),
        });
        &BUILT_IN
    }

    /// The prior of these bikes, every one with a full drawing: least squares, then the residuals' scatter.
    pub fn of<'a>(bikes: impl IntoIterator<Item = (&'a FrameSpec, &'a Drawing)>) -> Self {
        let rows: Vec<_> = bikes
            .into_iter()
            .map(|(spec, drawing)| (terms(spec), parameters_of(drawing)))
            .collect();
        let fitted = |parameter: usize| {
            let mut squares = SMatrix::<f64, TERMS, TERMS>::from_diagonal(&SVector::from([
                1e-9, 1e-9, STYLE_DRAW, STYLE_DRAW,
            ]));
            let mut products = SVector::<f64, TERMS>::zeros();
            for (terms, theta) in &rows {
                if let Some(value) = theta[parameter] {
                    squares += terms * terms.transpose();
                    products += terms * value;
                }
            }
            squares.cholesky().map(|squares| squares.solve(&products))
        };
        let mean: [[f64; TERMS]; Parameter::COUNT] =
            std::array::from_fn(|parameter| fitted(parameter).map_or([0.0; TERMS], Into::into));
        let mut scatter = Covariance::zeros();
        for (terms, theta) in &rows {
            let residual = Theta::from_fn(|parameter, _| {
                let expected = SVector::from(mean[parameter]).dot(terms);
                theta[parameter].map_or(0.0, |value| value - expected)
            });
            scatter += residual * residual.transpose();
        }
        let freedom = (rows.len() as f64 - TERMS as f64).max(1.0);
        let covariance = Covariance::from_fn(|row, column| {
            let kept = if row == column { 1.0 } else { KEPT_CORRELATION };
            WIDER * kept * scatter[(row, column)] / freedom
        });
        Self { mean, covariance }
    }

    /// Mean and covariance for the wheels and the style of a file.
    pub fn at(&self, spec: &FrameSpec) -> (Theta, Covariance) {
        let terms = terms(spec);
        let mean = Theta::from_fn(|row, _| SVector::from(self.mean[row]).dot(&terms));
        let mut covariance = self.covariance;
        for parameter in Parameter::ALL {
            let row = parameter as usize;
            let share = LEAST_SHARE[usize::from(parameter.is_angle())];
            let floor = match parameter {
                Parameter::SeatTubeOffset => LEAST_TUBE_OFFSET_SD_MM,
                Parameter::ForkOffset => LEAST_FORK_OFFSET_SD_MM,
                Parameter::MinimumInsertion => LEAST_MARK_SD_MM,
                Parameter::BottomBracketDrop => LEAST_DROP_SD_MM,
                Parameter::CrankLength => LEAST_CRANK_SD_MM,
                // They stand for the saddle's lowest position and its travel: see `parameter`.
                Parameter::PostLength | Parameter::UsableDepth if spec.style == Style::Balance => {
                    LEAST_BALANCE_SD_MM
                }
                Parameter::UsableDepth => LEAST_TRAVEL_SD_MM,
                _ => LEAST_SD,
            };
            let least = (share * mean[row]).abs().max(floor);
            covariance[(row, row)] = covariance[(row, row)].max(least.powi(2));
        }
        (mean, covariance)
    }
}
