//! Cranks, pedals, chainring, chain and sprocket.
//! Crank and pedal are at their real size; rings and chain are a hint at usual sizes.
//! Where in the turn the cranks stand is the picture's business.

use crate::draw::element::Element;

use crate::draw::bicycle::shape::{Bicycle, Part};
use crate::draw::pen::{Rod, circle, group, ring};
use crate::plane::{Point, direction};

impl Bicycle<'_> {
    /// The chainring, the chain, the sprocket: a hint at usual sizes.
    pub(super) fn chain(&self) -> Option<Element> {
        let cranks = self.machine.drawing().crank?;
        let ring_radius = (0.46 * cranks.length_mm).clamp(40.0, 75.0);
        let sprocket = 0.5 * ring_radius;
        let (bracket, axle) = (self.spot(Point::origin()), self.machine.points().rear_axle);
        let paper = |mm| self.view.paper(mm);
        let run = Rod {
            from: bracket,
            from_radius: paper(ring_radius),
            to: self.spot(axle),
            to_radius: paper(sprocket),
        };
        Some(
            group("drive")
                .add(ring(
                    "toothed",
                    bracket,
                    paper(ring_radius - 9.0),
                    paper(ring_radius),
                ))
                .add(ring(
                    "toothed",
                    self.spot(axle),
                    paper(sprocket - 7.0),
                    paper(sprocket),
                ))
                .add(run.outline().path("chain")),
        )
    }

    /// One crank arm with its pedal; `tilt` of the pedal in radians, heel up.
    pub(in crate::draw) fn crank(&self, crank_angle: f64, tilt: f64) -> Option<Element> {
        const PEDAL_LONG: f64 = 84.0;
        let cranks = self.machine.drawing().crank?;
        let pedal = self.machine.pedal(crank_angle)?;
        let paper = |mm| self.view.paper(mm);
        let arm = Rod {
            from: self.spot(Point::origin()),
            from_radius: paper(17.0),
            to: self.spot(pedal),
            to_radius: paper(11.0),
        };
        let height = cranks.pedal_height_mm;
        let half = direction(-tilt) * (PEDAL_LONG.min(0.62 * cranks.length_mm) / 2.0);
        Some(
            self.part(Part::Cranks)
                .add(self.band(pedal - half, pedal + half, height, "dark"))
                .add(arm.outline().path("metal"))
                .add(circle("dark", self.spot(pedal), paper(6.0)))
                .add(circle("dark", self.spot(Point::origin()), paper(10.0))),
        )
    }
}
