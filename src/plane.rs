//! Points, directions and the two-link joint in the side-view plane: x forward, y up, millimetres.
//! Angles are radians inside; every rotation says which way it turns.
//! Knows no bike and no body; what the points mean lives in `bike` and `fit`.

use nalgebra::{Point2, Vector2};

/// A place in the side view, millimetres from the bottom-bracket centre.
pub type Point = Point2<f64>;
/// A displacement in the side view, millimetres; a direction when its length is one.
pub type Vector = Vector2<f64>;

/// Unit vector at `angle` radians above the forward horizontal, turning from forward towards up.
pub fn direction(angle: f64) -> Vector {
    Vector::new(angle.cos(), angle.sin())
}

/// `vector` turned a quarter turn from forward towards up.
pub fn quarter_turn(vector: Vector) -> Vector {
    Vector::new(-vector.y, vector.x)
}

/// On which side of the line from the first to the last point a joint bends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bend {
    /// To the left when walking from first to last: a knee below a hip bends forward.
    Left,
    /// To the right when walking from first to last: an elbow ahead of a shoulder bends down.
    Right,
}

/// Why two links cannot span a distance. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Unreachable {
    /// The ends are farther apart than both links together.
    #[error("{need:.1} mm apart, but the two links reach {have:.1} mm")]
    TooFar {
        /// Distance between the ends.
        need: f64,
        /// Sum of the links.
        have: f64,
    },
    /// The ends are closer than the links can fold.
    #[error("{need:.1} mm apart, but the two links fold only to {have:.1} mm")]
    TooClose {
        /// Distance between the ends.
        need: f64,
        /// Difference of the links.
        have: f64,
    },
}

/// Whether links `a` and `b` can span `apart`, mm.
///
/// # Errors
/// [`Unreachable`] outside `[|a − b|, a + b]`; both edges themselves are reachable. A distance of
/// zero is `TooClose` even for equal links, since the joint then has no direction.
fn reachable(apart: f64, a: f64, b: f64) -> Result<(), Unreachable> {
    if apart > a + b {
        Err(Unreachable::TooFar {
            need: apart,
            have: a + b,
        })
    } else if apart < (a - b).abs() || apart <= 0.0 {
        Err(Unreachable::TooClose {
            need: apart,
            have: (a - b).abs(),
        })
    } else {
        Ok(())
    }
}

/// Flexion of a two-link joint whose ends are `apart`: 0 straight, π folded flat. Law of cosines.
///
/// # Errors
/// [`Unreachable`] outside `[|a − b|, a + b]`.
pub fn flexion(apart: f64, a: f64, b: f64) -> Result<f64, Unreachable> {
    reachable(apart, a, b)?;
    let cosine = (apart * apart - a * a - b * b) / (2.0 * a * b);
    Ok(cosine.clamp(-1.0, 1.0).acos())
}

/// Distance between the ends of two links at `flexion` radians (0 straight).
pub fn span(a: f64, b: f64, flexion: f64) -> f64 {
    (a * a + b * b + 2.0 * a * b * flexion.cos())
        .max(0.0)
        .sqrt()
}

/// The middle point of two links from `first` (link `a`) to `last` (link `b`).
///
/// # Errors
/// As [`flexion`].
pub fn joint(first: Point, last: Point, a: f64, b: f64, bend: Bend) -> Result<Point, Unreachable> {
    let line = last - first;
    let apart = line.norm();
    reachable(apart, a, b)?;
    let forward = line / apart;
    let along = (apart * apart + a * a - b * b) / (2.0 * apart);
    let across = (a * a - along * along).max(0.0).sqrt();
    let side = match bend {
        Bend::Left => quarter_turn(forward),
        Bend::Right => -quarter_turn(forward),
    };
    Ok(first + forward * along + side * across)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn a_three_four_five_joint_bends_to_the_side_asked_for() {
        let (first, last) = (Point::new(0.0, 0.0), Point::new(5.0, 0.0));
        let left = joint(first, last, 3.0, 4.0, Bend::Left).unwrap();
        assert_abs_diff_eq!(left, Point::new(1.8, 2.4), epsilon = 1e-12);
        let right = joint(first, last, 3.0, 4.0, Bend::Right).unwrap();
        assert_abs_diff_eq!(right, Point::new(1.8, -2.4), epsilon = 1e-12);
        assert_abs_diff_eq!(
            flexion(5.0, 3.0, 4.0).unwrap().to_degrees(),
            90.0,
            epsilon = 1e-12
        );
    }

    #[test]
    fn both_edges_are_reachable_and_one_micron_beyond_is_not() {
        assert_abs_diff_eq!(flexion(7.0, 3.0, 4.0).unwrap(), 0.0);
        assert_abs_diff_eq!(flexion(1.0, 3.0, 4.0).unwrap(), std::f64::consts::PI);
        assert!(
            matches!(flexion(7.001, 3.0, 4.0), Err(Unreachable::TooFar { have, .. }) if (have - 7.0).abs() < 1e-12)
        );
        assert!(matches!(
            flexion(0.999, 3.0, 4.0),
            Err(Unreachable::TooClose { .. })
        ));
        assert!(
            flexion(0.0, 3.0, 3.0).is_err(),
            "no direction at zero distance"
        );
    }

    #[test]
    fn span_and_flexion_are_inverses() {
        for degrees in 1..180 {
            let bend = f64::from(degrees).to_radians();
            assert_abs_diff_eq!(
                flexion(span(320.0, 290.0, bend), 320.0, 290.0).unwrap(),
                bend,
                epsilon = 1e-9
            );
        }
    }
}
