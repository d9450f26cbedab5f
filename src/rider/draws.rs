//! Possible bodies of one rider: what the tape and the estimates leave open, as seeded low-discrepancy draws.
//! Estimates stay correlated the way `body` derives one from another, because the same code derives them.
//! What the draws say about a bike is `fit::odds`.

use crate::numeric::deviates;
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
/// The body's dimensions of the sequence.
const FIRST_SET: u32 = 0;

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
    /// Of the age where that is not known: the youngest who are as tall below 0, the oldest above.
    pub age: f64,
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
    let late_mm = rider.late_growth.sd_mm();
    match measurement {
        Measurement::Height => measured(
            rider.estimated.height,
            rider.height,
            HEIGHT_SD_MM.hypot(estimate_height_mm(late_mm) - estimate_height_mm(0.0)),
        ),
        Measurement::Inseam => measured(
            rider.estimated.inseam,
            rider.inseam,
            inseam_sd_mm(rider.height.mm()).hypot(late_mm),
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

/// What is left open of a rider's figures, mm of standard deviation: see [`doubt_mm`].
#[derive(Debug, Clone, Copy)]
pub struct Doubts {
    height: f64,
    inseam: f64,
    arm_reach: f64,
    segments: [f64; Segment::COUNT],
}

impl Doubts {
    /// Of every figure of a rider.
    pub fn of(rider: &Rider) -> Self {
        let doubt = |measurement| doubt_mm(rider, measurement);
        Self {
            height: doubt(Measurement::Height),
            inseam: doubt(Measurement::Inseam),
            arm_reach: doubt(Measurement::ArmReach),
            segments: Segment::ALL.map(|segment| doubt(Measurement::Segment(segment))),
        }
    }
}

/// The body that a set of deviates makes of a rider with these doubts.
pub fn body(rider: &Rider, doubts: &Doubts, deviates: &Deviates) -> Body {
    let late_mm = rider.late_growth.drawn_mm(deviates.age);
    let read_height = rider.height.mm() + doubts.height * deviates.height;
    let (height, inseam) = if rider.estimated.inseam {
        let inseam = estimate_inseam_mm(read_height) - late_mm
            + inseam_sd_mm(rider.height.mm()) * deviates.inseam;
        (read_height, inseam)
    } else {
        let inseam = rider.inseam.mm() + doubts.inseam * deviates.inseam;
        let height = if rider.estimated.height {
            estimate_height_mm(inseam + late_mm) + HEIGHT_SD_MM * deviates.height
        } else {
            read_height
        };
        (height, inseam)
    };
    let arm_reach = if rider.estimated.arm_reach {
        estimate_arm_reach_mm(height) + ARM_REACH_SD_OF_HEIGHT * height * deviates.arm_reach
    } else {
        rider.arm_reach.mm() + doubts.arm_reach * deviates.arm_reach
    };

    let deviation =
        |segment: Segment| doubts.segments[segment as usize] * deviates.segments[segment as usize];
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

/// How many kinds of bodies the draws of a rider take in turn: where nobody said how old somebody is whose leg is
/// estimated, that of the youngest and that of the oldest who are as tall.
pub fn ends(rider: &Rider) -> usize {
    let is_open = rider.estimated.inseam && rider.late_growth.sd_mm() > 0.0;
    1 + usize::from(is_open)
}

/// `count` possible bodies of each of a rider's [`ends`], in turn: Owen-scrambled Sobol points through the normal quantile.
pub fn draw(rider: &Rider, count: usize) -> Vec<Body> {
    let (ends, doubts) = (ends(rider), Doubts::of(rider));
    (0..count * ends)
        .map(|index| {
            let mut deviates = deviates(index / ends, FIRST_SET);
            let mut next = || deviates.next().unwrap_or_default();
            let deviates = Deviates {
                height: next(),
                inseam: next(),
                arm_reach: next(),
                segments: std::array::from_fn(|_| next()),
                age: if index % ends == 0 { -1.0 } else { 1.0 },
            };
            body(rider, &doubts, &deviates)
        })
        .collect()
}
