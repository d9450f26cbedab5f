//! Head, face, hair, helmet.
//! Its size follows the body's height and age; its features are for looks.
//! Where the shoulder is, and how far the trunk leans, comes from the pose.

use crate::draw::element::Element;

use crate::draw::figure::shape::{Dress, Figure, Piece, grown_together};
use crate::draw::paper::Spot;
use crate::draw::pen::{Outline, circle, group};
use crate::plane::{Point, Vector, direction, quarter_turn};

/// Head front to back over crown to chin.
const HEAD_DEPTH: f64 = 0.86;
/// Helmet shell beyond the head, mm.
pub(super) const SHELL: f64 = 16.0;

impl Figure<'_> {
    /// Front to back and crown to chin, mm.
    pub(super) fn head_size(&self) -> (f64, f64) {
        // Crown to chin over crown to shoulder tip: small children have the larger heads.
        let share = (0.83 - 1e-4 * (self.tall() - 850.0)).clamp(0.7, 0.84);
        let high = share * (self.tall() - self.body.shoulder_height_mm);
        (HEAD_DEPTH * high, high)
    }

    pub(super) fn head_centre(&self, shoulder: Point, lean: f64) -> Point {
        // The neck takes back half of what the trunk leans, to look ahead.
        let neck = f64::midpoint(lean, std::f64::consts::FRAC_PI_2);
        let (deep, high) = self.head_size();
        let crown = self.tall() - self.body.shoulder_height_mm;
        shoulder + direction(neck) * (crown - high / 2.0) + Vector::new(0.06 * deep, 0.0)
    }

    pub(super) fn head(&self, centre: Point, lean: f64) -> Element {
        let (deep, high) = self.head_size();
        let (rx, ry) = (deep / 2.0, high / 2.0);
        // A little of the trunk's lean is left in the head.
        let tilt = (lean - std::f64::consts::FRAC_PI_2) * 0.18;
        let (ahead, up) = (direction(tilt), quarter_turn(direction(tilt)));
        let at = |x: f64, y: f64| self.view.spot(centre + ahead * (x * rx) + up * (y * ry));
        let face = Outline::smooth(&[
            at(0.0, 1.0),
            at(0.72, 0.74),
            at(0.93, 0.28),
            at(0.97, 0.02),
            at(1.12, -0.2),
            at(0.94, -0.34),
            at(0.86, -0.7),
            at(0.62, -0.98),
            at(0.1, -0.86),
            at(-0.55, -0.7),
            at(-0.95, -0.1),
            at(-0.86, 0.56),
        ]);
        let eye = self.view.paper(0.055 * deep);
        let drawn = grown_together(&[Piece("skin", face)])
            .add(circle("eye", at(0.66, 0.02), eye))
            .add(
                Outline::from(at(0.87, -0.52))
                    .bend(at(0.72, -0.64), at(0.56, -0.56))
                    .path("smile"),
            );
        match self.dress {
            Dress::Riding => drawn
                .add(
                    Outline::from(at(0.3, 0.2))
                        .line(at(0.22, -0.86))
                        .line(at(-0.38, 0.16))
                        .path("strap"),
                )
                .add(helmet(&at, rx, ry)),
            Dress::Barefoot => drawn.add(
                Outline::from(at(0.8, 0.5))
                    .curve(at(0.75, 1.15), at(-0.2, 1.25), at(-0.75, 0.85))
                    .curve(at(-1.2, 0.45), at(-1.1, -0.3), at(-0.78, -0.42))
                    .bend(at(-0.5, -0.3), at(-0.42, 0.2))
                    .bend(at(0.2, 0.72), at(0.8, 0.5))
                    .close()
                    .path("hair"),
            ),
        }
    }
}

/// Shell with its peak, and vents; `at` places shares of the head's half axes `rx` and `ry`, mm.
fn helmet(at: &impl Fn(f64, f64) -> Spot, rx: f64, ry: f64) -> Element {
    let (x, y) = (1.0 + SHELL / rx, 1.0 + SHELL / ry);
    let shell = Outline::from(at(x * 1.1, 0.3))
        .bend(at(x * 0.98, 0.42), at(0.98 * x, 0.36))
        .curve(at(0.9 * x, 0.86 * y), at(0.42 * x, y), at(-0.05 * x, y))
        .curve(at(-0.7 * x, y), at(-1.05 * x, 0.6 * y), at(-x, 0.02))
        .bend(at(-0.9 * x, -0.14), at(-0.68, -0.06))
        .curve(at(-0.5, 0.28), at(0.2, 0.3), at(0.62 * x, 0.27))
        .close()
        .path("helmet");
    let vents = Outline::from(at(0.45, 0.62 * y))
        .bend(at(0.1, 0.78 * y), at(-0.25, 0.7 * y))
        .then(at(-0.45, 0.3))
        .bend(at(-0.1, 0.52), at(0.35, 0.44))
        .path("vent");
    group("head-gear").add(shell).add(vents)
}
