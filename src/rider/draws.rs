//! Possible bodies of one rider: what the tape and the estimates leave open, as seeded low-discrepancy draws.
//! Estimates stay correlated the way `body` derives one from another, because the same code derives them.
//! What the draws say about a bike is `fit::odds`.

use crate::rider::body::{Body, estimate_sd_mm};
use crate::rider::measures::{
    ARM_REACH_SD_OF_HEIGHT, HEIGHT_SD_MM, Measured, Measurement, estimate_arm_reach_mm,
    estimate_height_mm, estimate_inseam_mm, inseam_sd_mm,
};
use crate::rider::person::Rider;
use crate::rider::segments::Segment;
use crate::units::Length;

/// Draws per rider. Doubling them moves no chance by more than 0.01 (held in a test).
pub const DRAWS: usize = 1024;
/// One seed for everyone: the same input gives the same chances.
const SEED: u32 = 0x1dea;

/// One standard normal deviate per source of doubt.
#[derive(Debug, Clone, Copy)]
pub struct Deviates {
    /// Of the height's reading, or of its estimate.
    pub height: f64,
    /// Of the inseam's reading, or of its estimate.
    pub inseam: f64,
    /// Of the arm reach's reading, or of its estimate.
    pub arm_reach: f64,
    /// Of each segment's reading, or of its estimate.
    pub segments: [f64; Segment::COUNT],
}

/// Standard deviation of a measured value, mm: its own where given, else by who held the tape.
fn reading_sd_mm(rider: &Rider, measurement: Measurement, measured: Measured) -> f64 {
    measured
        .spread
        .map_or_else(|| measurement.reading_sd_mm(rider.measured_by), Length::mm)
}

/// How much doubt is left about a measurement, mm of standard deviation, estimates included.
pub fn doubt_mm(rider: &Rider, measurement: Measurement) -> f64 {
    let measured = |is_estimated: bool, measured: Measured, estimate_sd: f64| {
        if is_estimated {
            estimate_sd
        } else {
            reading_sd_mm(rider, measurement, measured)
        }
    };
    match measurement {
        Measurement::Height => measured(rider.estimated.height, rider.height, HEIGHT_SD_MM),
        Measurement::Inseam => measured(
            rider.estimated.inseam,
            rider.inseam,
            inseam_sd_mm(rider.height.mm()),
        ),
        Measurement::ArmReach => measured(
            rider.estimated.arm_reach,
            rider.arm_reach,
            ARM_REACH_SD_OF_HEIGHT * rider.height.mm(),
        ),
        Measurement::Segment(segment) => match rider.segments[segment as usize] {
            Some(measured) => reading_sd_mm(rider, measurement, measured),
            None => estimate_sd_mm(segment, rider.inseam.mm()),
        },
    }
}

/// The value of a measurement in a body, mm.
pub fn value_mm(measurement: Measurement, body: &Body) -> f64 {
    match measurement {
        Measurement::Height => body.height_mm,
        Measurement::Inseam => body.inseam_mm,
        Measurement::ArmReach => body.upper_arm_mm + body.forearm_mm,
        Measurement::Segment(segment) => body.segment_mm(segment),
    }
}

/// The body that a set of deviates makes of a rider.
pub fn body(rider: &Rider, deviates: &Deviates) -> Body {
    let doubt = |measurement| doubt_mm(rider, measurement);
    let read_height = rider.height.mm() + doubt(Measurement::Height) * deviates.height;
    let (height, inseam) = if rider.estimated.inseam {
        let inseam = estimate_inseam_mm(read_height) + doubt(Measurement::Inseam) * deviates.inseam;
        (read_height, inseam)
    } else {
        let inseam = rider.inseam.mm() + doubt(Measurement::Inseam) * deviates.inseam;
        let height = if rider.estimated.height {
            estimate_height_mm(inseam) + doubt(Measurement::Height) * deviates.height
        } else {
            read_height
        };
        (height, inseam)
    };
    let arm_reach = if rider.estimated.arm_reach {
        estimate_arm_reach_mm(height) + ARM_REACH_SD_OF_HEIGHT * height * deviates.arm_reach
    } else {
        rider.arm_reach.mm() + doubt(Measurement::ArmReach) * deviates.arm_reach
    };

    let deviation = |segment: Segment| {
        doubt(Measurement::Segment(segment)) * deviates.segments[segment as usize]
    };
    let mut segments = rider.segments;
    for segment in Segment::ALL {
        if let Some(measured) = &mut segments[segment as usize] {
            *measured = Measured::from_mm(measured.mm() + deviation(segment));
        }
    }
    let residuals = Segment::ALL.map(deviation);
    Body::new(
        height,
        inseam,
        arm_reach,
        rider.sole_mm,
        &segments,
        &residuals,
    )
}

/// `count` possible bodies of a rider: Owen-scrambled Sobol points through the normal quantile.
pub fn draw(rider: &Rider, count: usize) -> Vec<Body> {
    let deviate = |index: usize, dimension: usize| {
        let share = sobol_burley::sample(
            u32::try_from(index).unwrap_or(u32::MAX),
            u32::try_from(dimension).unwrap_or(u32::MAX),
            SEED,
        );
        normal_quantile(f64::from(share))
    };
    (0..count)
        .map(|index| {
            let deviates = Deviates {
                height: deviate(index, 0),
                inseam: deviate(index, 1),
                arm_reach: deviate(index, 2),
                segments: std::array::from_fn(|segment| deviate(index, 3 + segment)),
            };
            body(rider, &deviates)
        })
        .collect()
}

/// Standard normal quantile, relative error below 1.2e-9; shares of 0 and 1 are taken as one in 2²⁵.
///
/// # References
/// P. J. Acklam's rational approximation (2003); the test holds it against published quantiles.
#[expect(clippy::excessive_precision, reason = "coefficients as published")]
pub fn normal_quantile(share: f64) -> f64 {
    const SMALLEST: f64 = 1.0 / 33_554_432.0;
    const TAIL: f64 = 0.024_25;
    const A: [f64; 6] = [
        -3.969_683_028_665_376e1,
        2.209_460_984_245_205e2,
        -2.759_285_104_469_687e2,
        1.383_577_518_672_690e2,
        -3.066_479_806_614_716e1,
        2.506_628_277_459_239,
    ];
    const B: [f64; 6] = [
        -5.447_609_879_822_406e1,
        1.615_858_368_580_409e2,
        -1.556_989_798_598_866e2,
        6.680_131_188_771_972e1,
        -1.328_068_155_288_572e1,
        1.0,
    ];
    const C: [f64; 6] = [
        -7.784_894_002_430_293e-3,
        -3.223_964_580_411_365e-1,
        -2.400_758_277_161_838,
        -2.549_732_539_343_734,
        4.374_664_141_464_968,
        2.938_163_982_698_783,
    ];
    const D: [f64; 5] = [
        7.784_695_709_041_462e-3,
        3.224_671_290_700_398e-1,
        2.445_134_137_142_996,
        3.754_408_661_907_416,
        1.0,
    ];
    let polynomial =
        |coefficients: &[f64], x: f64| coefficients.iter().fold(0.0, |sum, c| sum * x + c);
    let share = share.clamp(SMALLEST, 1.0 - SMALLEST);
    if (TAIL..=1.0 - TAIL).contains(&share) {
        let middle = share - 0.5;
        let square = middle * middle;
        return middle * polynomial(&A, square) / polynomial(&B, square);
    }
    let tail = (-2.0 * share.min(1.0 - share).ln()).sqrt();
    let quantile = polynomial(&C, tail) / polynomial(&D, tail);
    if share < 0.5 { quantile } else { -quantile }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn quantiles_equal_published_tables() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.1 and its usual percentage points.
        for (share, quantile) in [
            (0.5, 0.0),
            (0.841_344_746_068_543, 1.0),
            (0.975, 1.959_963_984_540_054),
            (0.99, 2.326_347_874_040_841),
            (0.001, -3.090_232_306_167_813),
        ] {
            assert_abs_diff_eq!(normal_quantile(share), quantile, epsilon = 1e-8);
        }
    }
}
