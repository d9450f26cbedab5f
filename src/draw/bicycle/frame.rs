//! Frame and fork: tubes welded together, a rigid blade or stanchions and sliders.
//! Ends and angles are the file's; tube walls and fork crowns are of usual size.
//! The post inside the seat tube is `seat`.

use crate::draw::element::Element;

use crate::draw::bicycle::shape::{Bicycle, EDGE, HUB, Part, Piece};
use crate::draw::pen::{Outline, circle, short};
use crate::plane::quarter_turn;

// Usual sizes, mm (common practice); for looks only.
const SEAT_TUBE_WALL: f64 = 4.0;
const SEAT_TUBE: f64 = 32.0;
const POST: f64 = 27.2;
const DOWN_TUBE: f64 = 38.0;
const LOW_DOWN_TUBE: f64 = 46.0;
const HEAD_TUBE: f64 = 44.0;
const CHAIN_STAY: f64 = 18.0;
const SEAT_STAY: f64 = 14.0;
const FORK_BLADE: f64 = 24.0;
const STANCHION: f64 = 24.0;
const SLIDER: f64 = 38.0;
const BRACKET_SHELL: f64 = 22.0;

impl Bicycle<'_> {
    pub(super) fn seat_tube_width(&self) -> f64 {
        let post = self.machine.spec().frame.seat_tube.diameter;
        post.map_or(SEAT_TUBE, |inner| inner.mm() + SEAT_TUBE_WALL)
    }

    pub(super) fn post_width(&self) -> f64 {
        let post = self.machine.spec().frame.seat_tube.diameter;
        post.map_or(POST, crate::units::Length::mm)
    }

    /// The frame's tubes, from the far ones to the near ones.
    pub(super) fn frame_tubes(&self) -> Vec<Piece> {
        let points = self.machine.points();
        let drawing = self.machine.drawing();
        let has_top_tube = self.machine.has_top_tube();
        let down = self.machine.steering_down();
        let down_tube = if has_top_tube {
            DOWN_TUBE
        } else {
            LOW_DOWN_TUBE
        };
        let lower_joint = points.head_tube_bottom
            - down * (down_tube / 2.0).min(drawing.head_tube_length_mm / 2.0);
        // Stays meet the seat tube where the top tube does, or a little below its end.
        let seat_joint = if has_top_tube {
            drawing.top_tube.seat_joint_mm
        } else {
            drawing.seat_tube_length_mm - 25.0
        };
        let (bracket, foot) = (points.bottom_bracket, self.machine.post_foot());
        let seat_joint = self.machine.on_post(seat_joint);
        let tube = |from, to, width| Piece { from, to, width };
        let mut tubes = vec![
            tube(bracket, points.rear_axle, CHAIN_STAY),
            tube(seat_joint, points.rear_axle, SEAT_STAY),
            tube(bracket, lower_joint, down_tube),
            tube(bracket, foot, SEAT_TUBE),
            tube(foot, points.seat_tube_top, self.seat_tube_width()),
        ];
        if has_top_tube {
            let top = drawing.top_tube;
            let head_joint = points.head_tube_top + down * top.head_joint_mm;
            tubes.push(tube(seat_joint, head_joint, top.diameter_mm));
        }
        tubes.push(tube(
            points.head_tube_top + down * (HEAD_TUBE / 4.0),
            points.head_tube_bottom - down * (HEAD_TUBE / 4.0),
            HEAD_TUBE,
        ));
        tubes
    }

    /// Frame tubes, head tube and bracket shell.
    pub(super) fn frame(&self) -> Element {
        let bracket = self.machine.points().bottom_bracket;
        self.part(Part::Frame)
            .add(self.weld("tube", &self.frame_tubes()))
            .add(circle(
                "shell",
                self.spot(bracket),
                self.view.paper(BRACKET_SHELL),
            ))
    }

    /// The fork: rigid blades, or stanchions and sliders where there is travel.
    pub(super) fn fork(&self) -> Element {
        let points = self.machine.points();
        let travel_mm = self.machine.fork_travel_mm();
        let (down, axle) = (self.machine.steering_down(), points.front_axle);
        let crown = points.head_tube_bottom + down * 8.0;
        let ahead = quarter_turn(down) * self.machine.drawing().fork_offset_mm;
        let foot = axle - ahead;
        let crown_tube = Piece {
            from: points.head_tube_bottom,
            to: crown + down * 10.0,
            width: HEAD_TUBE - 8.0,
        };
        if travel_mm > 0.0 {
            let room = (foot - crown).norm();
            let shown = (travel_mm + 25.0).min(room * 0.55);
            let wiper = crown + down * shown;
            let tube = |from, to, width| Piece { from, to, width };
            let lean = ahead * 0.35;
            return self
                .part(Part::Fork)
                .add(self.weld("metal", &[tube(crown + lean, wiper + lean, STANCHION)]))
                .add(self.weld(
                    "dark",
                    &[
                        tube(wiper + lean, foot - down * 22.0 + lean, SLIDER),
                        tube(foot - down * 22.0 + lean, axle, 20.0),
                    ],
                ))
                .add(self.weld("dark", &[crown_tube]))
                .add(circle("hub", self.spot(axle), self.view.paper(HUB * 0.6)));
        }
        // A rigid blade runs on down the steering axis and bends forward to the axle.
        let straight = crown + (foot - crown) * 0.55;
        let path = |class: &str, width: f64| {
            Outline::from(self.spot(crown))
                .line(self.spot(straight))
                .bend(
                    self.spot(straight + (foot - straight) * 0.6),
                    self.spot(axle),
                )
                .path(class)
                .set("stroke-width", short(width))
        };
        let width = self.view.paper(FORK_BLADE);
        self.part(Part::Fork)
            .add(path("tube-edge", width + 2.0 * EDGE))
            .add(path("tube", width))
            .add(self.weld("tube", &[crown_tube]))
            .add(circle("hub", self.spot(axle), self.view.paper(HUB * 0.6)))
    }
}
