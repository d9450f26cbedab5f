//! How the weight of rider and bike comes down on the two wheels: plain statics of the pose.
//! Knows masses and where they are; what pressure that asks for is `tyres`.
//!
//! # References
//! Segment masses and their centres: D. A. Winter, Biomechanics and Motor Control of Human Movement,
//! anthropometric table after Dempster 1955 (figures from memory). They are adult shares: a young
//! child's heavier head would move a few hundredths of the weight to the front wheel at most.

use crate::fit::pair::{LegJoints, Pair};
use crate::plane::Point;

/// Standard gravity, m/s² (CGPM 1901).
pub const GRAVITY: f64 = 9.806_65;
/// The bike's own centre of mass, as a share of the wheelbase ahead of the rear axle: a bike without
/// a rider rests a little heavier on its rear wheel (common practice, weighed on two scales).
const BIKE_CENTRE: f64 = 0.45;

/// Share of body mass, and where it acts on the way from the first joint to the second.
#[derive(Clone, Copy)]
struct Segment {
    share: f64,
    centre: f64,
}

/// Trunk, head and neck, on the line from hip to shoulder.
const TRUNK_AND_HEAD: Segment = Segment {
    share: 0.578,
    centre: 0.66,
};
/// Shoulder to elbow, one arm.
const UPPER_ARM: Segment = Segment {
    share: 0.028,
    centre: 0.436,
};
/// Elbow to wrist, one arm; laid on the slightly longer link from elbow to fist.
const FOREARM: Segment = Segment {
    share: 0.016,
    centre: 0.430,
};
/// In the middle of the fist.
const HAND: Segment = Segment {
    share: 0.006,
    centre: 1.0,
};
/// Hip to knee, one leg.
const THIGH: Segment = Segment {
    share: 0.100,
    centre: 0.433,
};
/// Knee to ankle, one leg.
const SHANK: Segment = Segment {
    share: 0.0465,
    centre: 0.433,
};
/// Ankle to ball of the foot, one leg.
const FOOT: Segment = Segment {
    share: 0.0145,
    centre: 0.5,
};

/// A mass (kg) and how far forward it is (mm, any origin).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointMass {
    /// Mass, kg.
    pub kg: f64,
    /// Distance forward, mm.
    pub x_mm: f64,
}

/// Share of the whole weight on the front wheel: moments about the rear contact.
pub fn front_share(masses: &[PointMass], rear_contact_mm: f64, front_contact_mm: f64) -> f64 {
    let whole: f64 = masses.iter().map(|mass| mass.kg).sum();
    let moment: f64 = masses
        .iter()
        .map(|mass| mass.kg * (mass.x_mm - rear_contact_mm))
        .sum();
    moment / whole / (front_contact_mm - rear_contact_mm)
}

/// How far ahead of the bottom bracket the sitting rider's centre of mass is, mm: cranks level, or on
/// a bike without cranks the legs as they stand beside it. None when hand or foot cannot get there.
pub fn rider_centre_mm(pair: &Pair<'_>) -> Option<f64> {
    let trunk = pair.pose.trunk.ok()?;
    let grip = pair.layout.points.grip;
    let at = |segment: Segment, from: Point, to: Point| {
        segment.share * (from.x + segment.centre * (to.x - from.x))
    };
    let arm = at(UPPER_ARM, trunk.shoulder, trunk.elbow)
        + at(FOREARM, trunk.elbow, grip)
        + at(HAND, trunk.elbow, grip);
    let leg = |joints: LegJoints| {
        at(THIGH, pair.pose.hip, joints.knee)
            + at(SHANK, joints.knee, joints.ankle)
            + at(FOOT, joints.ankle, joints.ball)
    };
    let legs = if pair.bike.is_balance() {
        2.0 * leg(pair.standing_leg()?)
    } else {
        let level = |degrees: f64| Some(leg(pair.leg_at(degrees.to_radians())?));
        level(90.0)? + level(270.0)?
    };
    Some(at(TRUNK_AND_HEAD, pair.pose.hip, trunk.shoulder) + 2.0 * arm + legs)
}

/// Share of rider and bike together on the front wheel. None when the rider cannot hold the pose.
pub fn front_share_of(pair: &Pair<'_>, rider_kg: f64, bike_kg: f64) -> Option<f64> {
    let (rear, front) = (
        pair.layout.points.rear_axle.x,
        pair.layout.points.front_axle.x,
    );
    let masses = [
        PointMass {
            kg: rider_kg,
            x_mm: rider_centre_mm(pair)?,
        },
        PointMass {
            kg: bike_kg,
            x_mm: rear + BIKE_CENTRE * (front - rear),
        },
    ];
    Some(front_share(&masses, rear, front))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn the_benchmark_bicycle_carries_a_third_in_front() {
        // Meijaard, Papadopoulos, Ruina, Schwab 2007, Proc R Soc A 463:1955, Table 1: masses and
        // places of rear wheel, rear frame with rider, front frame, front wheel; w = 1.02 m.
        let table = [(2.0, 0.0), (85.0, 300.0), (4.0, 900.0), (3.0, 1020.0)];
        let masses = table.map(|(kg, x_mm)| PointMass { kg, x_mm });
        assert_abs_diff_eq!(front_share(&masses, 0.0, 1020.0), 0.3354, epsilon = 1e-4);
        let moved = masses.map(|mass| PointMass {
            x_mm: mass.x_mm - 400.0,
            ..mass
        });
        assert_abs_diff_eq!(front_share(&moved, -400.0, 620.0), 0.3354, epsilon = 1e-4);
    }

    #[test]
    fn the_segments_make_one_whole_body() {
        let pairs = [UPPER_ARM, FOREARM, HAND, THIGH, SHANK, FOOT];
        let limbs: f64 = pairs.iter().map(|segment| 2.0 * segment.share).sum();
        assert_abs_diff_eq!(limbs + TRUNK_AND_HEAD.share, 1.0, epsilon = 1e-9);
    }
}
