//! The bike from the drive side: tyres with their section, tubes with their thickness, everything at its real size.
//! Sizes that a frame file does not give (tube walls, hub, chainring) are drawn at usual sizes and nothing is read off them.
//! Riders and dimensions are not drawn here.

mod cockpit;
mod drive;
mod frame;
mod seat;
mod shape;
mod wheels;

pub(super) use shape::Bicycle;

use crate::draw::facts::Machine;
use crate::draw::page::Page;
use crate::draw::plan::Tube;
use crate::draw::view::Extent;

/// How a bike is set and turned for the drawing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stance {
    /// Saddle position along the post's line, mm.
    pub(super) position: f64,
    /// Gap at the hand lever, mm; None draws none.
    pub(super) lever_gap_mm: Option<f64>,
    /// Of the near crank, radians from the top, clockwise.
    pub(super) crank_angle: f64,
    /// Heel-up tilt of the near pedal, radians.
    pub(super) pedal_tilt: f64,
}

impl Bicycle<'_> {
    /// The whole bike but its far crank, and where its tubes are.
    pub(super) fn put(&self, page: &mut Page, stance: Stance) {
        for layer in [
            self.wheels(),
            self.fork(),
            self.frame(),
            self.post(stance.position),
            self.saddle(stance.position),
            self.cockpit(stance.lever_gap_mm),
        ] {
            page.add(layer);
        }
        let drive = [
            self.chain(),
            self.crank(stance.crank_angle, stance.pedal_tilt),
        ];
        for layer in drive.into_iter().flatten() {
            page.add(layer);
        }
        page.tubes(self.tubes(stance.position));
    }

    /// Every straight tube on paper, the post included.
    fn tubes(&self, position: f64) -> Vec<Tube> {
        let tubes = self
            .frame_tubes()
            .into_iter()
            .chain([self.post_tube(position)]);
        tubes
            .map(|piece| Tube {
                from: self.spot(piece.from),
                to: self.spot(piece.to),
                width: self.view.paper(piece.width),
            })
            .collect()
    }
}

/// What the wheels, the bar and the saddle's range fill, in bike mm.
pub(super) fn extent(machine: Machine<'_>) -> Extent {
    const AROUND_GRIP: f64 = 60.0;
    const AROUND_CLAMP: f64 = 17.0;
    let points = machine.points();
    let [_, highest] = machine.post_range();
    Extent::around(points.rear_axle, machine.wheel_radius_rear_mm())
        .and(Extent::around(
            points.front_axle,
            machine.wheel_radius_front_mm(),
        ))
        .and(Extent::around(points.grip, AROUND_GRIP))
        .and(Extent::around(points.bar_clamp, AROUND_CLAMP))
        .and_point(machine.on_post(highest))
}
