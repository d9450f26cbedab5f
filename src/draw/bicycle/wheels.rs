//! Wheels: tyre with its section and tread, rim, spokes, hub.
//! Tyre and rim are at their real size; spokes and knobs are for looks.
//! Where the axles are is the bike's.

use std::f64::consts::TAU;

use crate::draw::element::Element;

use crate::bike::TyreSize;
use crate::draw::bicycle::shape::{Bicycle, HUB, Part};
use crate::draw::paper::Spot;
use crate::draw::pen::{Outline, circle, group, ring};
use crate::plane::Point;

const RIM_DEPTH: f64 = 14.0;

impl Bicycle<'_> {
    /// Both wheels.
    pub(super) fn wheels(&self) -> Element {
        let tyres = &self.machine.spec().tyres;
        let points = self.machine.points();
        self.part(Part::Wheels)
            .add(self.wheel(points.rear_axle, tyres.rear))
            .add(self.wheel(points.front_axle, tyres.front))
    }

    fn wheel(&self, axle: Point, tyre: TyreSize) -> Element {
        let centre = self.spot(axle);
        let paper = |mm| self.view.paper(mm);
        let (outer, bead) = (tyre.wheel_radius_mm(), tyre.bead_seat_mm / 2.0);
        let rim = (bead - RIM_DEPTH).max(HUB);
        let mut wheel = group("wheel")
            .add(self.spokes(centre, rim))
            .add(ring("rim", centre, paper(rim), paper(bead)))
            .add(circle("rim-edge", centre, paper(rim)))
            .add(ring("tyre", centre, paper(bead), paper(outer)));
        if self.machine.is_trail() {
            wheel = wheel.add(self.tread(centre, outer));
        }
        wheel.add(circle("hub", centre, paper(HUB)))
    }

    /// Crossed spokes, as one path.
    fn spokes(&self, centre: Spot, rim: f64) -> Element {
        const PAIRS: u8 = 10;
        const CROSSING: f64 = 1.15;
        let mut spokes = Outline::default();
        for pair in 0..PAIRS {
            let at = TAU * f64::from(pair) / f64::from(PAIRS);
            for turn in [CROSSING, -CROSSING] {
                let from = centre.polar(at + turn, self.view.paper(HUB * 0.8));
                let to = centre.polar(at + 0.11 * turn.signum(), self.view.paper(rim));
                spokes = spokes.then(from).line(to);
            }
        }
        spokes.path("spokes")
    }

    /// Gaps between the knobs of a trail tyre.
    fn tread(&self, centre: Spot, outer: f64) -> Element {
        const KNOBS: u8 = 60;
        const DEPTH: f64 = 7.0;
        let mut gaps = Outline::default();
        for knob in 0..KNOBS {
            let at = TAU * f64::from(knob) / f64::from(KNOBS);
            gaps = gaps
                .then(centre.polar(at, self.view.paper(outer - DEPTH)))
                .line(centre.polar(at, self.view.paper(outer)));
        }
        gaps.path("tread")
    }
}
