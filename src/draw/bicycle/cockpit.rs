//! Spacers, stem, bar, grip and hand lever.
//! Places are the file's; clamps, bar and lever blade are of usual size.
//! What gap the lever should have is the fit's.

use crate::draw::element::Element;

use crate::draw::bicycle::shape::{Bicycle, EDGE, Part, Piece};
use crate::draw::pen::{Outline, Rod, circle, group, short};
use crate::plane::{Point, Vector, direction, quarter_turn};

// Usual sizes, mm (common practice); for looks only.
const STEM: f64 = 30.0;
const STEERER_CLAMP: f64 = 38.0;
const BAR_CLAMP: f64 = 34.0;
const BAR: f64 = 22.2;

impl Bicycle<'_> {
    /// Spacers, stem, bar, grip; a hand lever `lever_gap` mm from the grip's rear face to its own front face.
    pub(super) fn cockpit(&self, lever_gap: Option<f64>) -> Element {
        let points = self.machine.points();
        let drawing = self.machine.drawing();
        let up = -self.machine.steering_down();
        let top = points.head_tube_top;
        let clamp_foot = top + up * drawing.spacers_mm;
        let clamp_height = drawing.stem_clamp_height_mm;
        let base = clamp_foot + up * (clamp_height / 2.0);
        let tube = |from, to, width| Piece { from, to, width };
        let mut drawn = self.part(Part::Cockpit);
        if drawing.spacers_mm > 0.0 {
            drawn = drawn.add(self.band(top, clamp_foot, STEERER_CLAMP - 4.0, "metal"));
        }
        drawn = drawn
            .add(self.bar())
            .add(self.weld("dark", &[tube(base, points.bar_clamp, STEM)]))
            .add(self.band(
                clamp_foot,
                clamp_foot + up * clamp_height,
                STEERER_CLAMP,
                "dark",
            ))
            .add(circle(
                "dark",
                self.spot(points.bar_clamp),
                self.view.paper(BAR_CLAMP / 2.0),
            ))
            .add(circle(
                "metal",
                self.spot(points.bar_clamp),
                self.view.paper(BAR / 2.0),
            ));
        if let Some(gap) = lever_gap {
            drawn = drawn.add(self.lever(gap));
        }
        drawn.add(self.grip())
    }

    fn grip(&self) -> Element {
        let grip = self.spot(self.machine.points().grip);
        let radius = self.view.paper(self.machine.grip_diameter_mm() / 2.0);
        group("grip")
            .add(circle("dark", grip, radius))
            .add(circle("metal", grip, radius * 0.45))
    }

    /// Grip and lever alone, as an inset shows them.
    pub(in crate::draw) fn grip_and_lever(&self, gap: f64) -> Element {
        self.part(Part::Cockpit)
            .add(self.lever(gap))
            .add(self.grip())
    }

    /// The bar from its clamp up and back to the grip.
    fn bar(&self) -> Element {
        let points = self.machine.points();
        let (clamp, grip) = (points.bar_clamp, points.grip);
        // Rise first, then sweep: the corner lies above the clamp at the grip's height.
        let corner = clamp + (grip - clamp).component_mul(&Vector::new(0.15, 0.95));
        let path = |class: &str, width: f64| {
            Outline::from(self.spot(clamp))
                .bend(self.spot(corner), self.spot(grip))
                .path(class)
                .set("stroke-width", short(width))
        };
        let width = self.view.paper(BAR);
        group("bar")
            .add(path("metal-edge", width + 2.0 * EDGE))
            .add(path("metal-tube", width))
    }

    /// Where the lever's front face is, and the direction from the grip to it.
    pub(in crate::draw) fn lever_face(&self, gap: f64) -> (Point, Point) {
        const BELOW_LEVEL_DEG: f64 = 32.0;
        let grip = self.machine.points().grip;
        let radius = self.machine.grip_diameter_mm() / 2.0;
        let ahead = direction(-BELOW_LEVEL_DEG.to_radians());
        (grip - ahead * radius, grip + ahead * (gap - radius))
    }

    fn lever(&self, gap: f64) -> Element {
        const BLADE: f64 = 9.0;
        let grip = self.machine.points().grip;
        let (rear, face) = self.lever_face(gap);
        let ahead = (face - rear).normalize();
        let blade = face - ahead * (BLADE / 2.0);
        let across = quarter_turn(ahead);
        let paper = |mm| self.view.paper(mm);
        let perch = Outline::from(self.spot(grip + Vector::new(0.0, 4.0)))
            .bend(
                self.spot(blade + across * 34.0),
                self.spot(blade + across * 8.0),
            )
            .path("dark-edge")
            .set("stroke-width", short(paper(8.0)));
        let rod = Rod {
            from: self.spot(blade + across * 8.0),
            from_radius: paper(BLADE / 2.0),
            to: self.spot(blade - across * 12.0),
            to_radius: paper(BLADE / 2.0),
        };
        group("lever").add(perch).add(rod.outline().path("dark"))
    }
}
