//! The post with its minimum-insertion mark, and the saddle on its rails.
//! Heights are the setting's and the file's; the saddle's outline is for looks.
//! How high the saddle goes is the fit's.

use crate::draw::element::Element;

use crate::draw::bicycle::shape::{Bicycle, Part, Piece};
use crate::draw::paper::Spot;
use crate::draw::pen::{Outline, circle, group, line, short};
use crate::plane::{Point, Vector, quarter_turn};

const SADDLE_LENGTH: f64 = 230.0;
/// Length of a flag at the minimum-insertion mark on paper, mm.
const FLAG_LONG: f64 = 2.4;

impl Bicycle<'_> {
    /// The post from its lower end to the rail clamp.
    pub(super) fn post_tube(&self, position: f64) -> Piece {
        Piece {
            from: self.machine.on_post(self.machine.post_bottom(position)),
            to: self.machine.on_post(self.machine.post_top(position)),
            width: self.post_width(),
        }
    }

    /// The post: bright where it shows, dashed inside the tube.
    pub(super) fn post(&self, position: f64) -> Element {
        let machine = self.machine;
        let at = |along: f64| machine.on_post(along);
        let tube_top = machine.seat_tube_mm();
        let (top, bottom) = (machine.post_top(position), machine.post_bottom(position));
        let width = self.post_width();
        let half = quarter_turn(machine.post_up()) * (width / 2.0);
        self.part(Part::Post)
            .add(self.band(at(tube_top - 2.0), at(top), width, "metal"))
            .add(
                Outline::from(self.spot(at(tube_top) + half))
                    .line(self.spot(at(bottom) + half))
                    .line(self.spot(at(bottom) - half))
                    .line(self.spot(at(tube_top) - half))
                    .path("hidden"),
            )
            .add(self.band(
                at(tube_top - 14.0),
                at(tube_top + 3.0),
                self.seat_tube_width() + 6.0,
                "dark",
            ))
    }

    /// The minimum-insertion mark across the post, with a flag on either side.
    pub(in crate::draw) fn mark(&self, position: f64) -> Element {
        let machine = self.machine;
        let mark = machine.on_post(machine.mark_at(position));
        let half = quarter_turn(machine.post_up()) * (self.post_width() / 2.0);
        group("mark-flags")
            .add(line("mark", self.spot(mark - half), self.spot(mark + half)))
            .add(self.flag(mark, half, machine.post_up()))
            .add(self.flag(mark, -half, machine.post_up()))
    }

    /// Where the mark's flags end, the rear one first.
    pub(in crate::draw) fn mark_flag_ends(&self, position: f64) -> [Spot; 2] {
        let machine = self.machine;
        let out = self.post_width() / 2.0 + FLAG_LONG * self.view.scale;
        let back = quarter_turn(machine.post_up()) * out;
        let mark = machine.on_post(machine.mark_at(position));
        [self.spot(mark + back), self.spot(mark - back)]
    }

    /// A small triangle beside the tube whose tip touches the mark.
    fn flag(&self, mark: Point, half: Vector, up: Vector) -> Element {
        const WIDE: f64 = 1.0;
        let (long, wide) = (FLAG_LONG * self.view.scale, WIDE * self.view.scale);
        let out = half.normalize();
        Outline::from(self.spot(mark + half))
            .line(self.spot(mark + half + out * long + up * wide))
            .line(self.spot(mark + half + out * long - up * wide))
            .close()
            .path("mark-flag")
    }

    /// Nose and tail of the saddle at a position on the post's line.
    pub(in crate::draw) fn saddle_ends(&self, position: f64) -> (Point, Point) {
        const AHEAD: f64 = 0.6;
        let length = self.saddle_length();
        let sit = self.machine.sit(position);
        (
            sit + Vector::new(AHEAD * length, 0.0),
            sit - Vector::new((1.0 - AHEAD) * length, 0.0),
        )
    }

    fn saddle_length(&self) -> f64 {
        let length = self.machine.spec().saddle.length;
        length.map_or(SADDLE_LENGTH, crate::units::Length::mm)
    }

    /// The saddle on its rails.
    pub(super) fn saddle(&self, position: f64) -> Element {
        let (_, tail) = self.saddle_ends(position);
        let length = self.saddle_length();
        let thick = (0.15 * length).min(0.8 * self.machine.drawing().saddle_stack_mm);
        let clamp = self.machine.on_post(self.machine.post_top(position));
        let at = |x: f64, y: f64| self.spot(tail + Vector::new(x * length, y * thick));
        let pad = Outline::from(at(0.0, 0.28))
            .curve(at(0.12, 0.05), at(0.25, 0.0), at(0.4, 0.0))
            .curve(at(0.65, 0.0), at(0.8, 0.08), at(0.96, 0.0))
            .curve(at(1.02, -0.04), at(1.01, -0.45), at(0.94, -0.5))
            .curve(at(0.7, -0.6), at(0.5, -0.62), at(0.34, -1.0))
            .curve(at(0.2, -1.1), at(0.02, -0.9), at(0.0, -0.3))
            .close()
            .path("dark");
        let rail_y = self.spot(clamp).y;
        let rails = Outline::from(at(0.12, -0.8))
            .bend(
                Spot::new(at(0.2, 0.0).x, rail_y),
                Spot::new(at(0.32, 0.0).x, rail_y),
            )
            .line(Spot::new(at(0.6, 0.0).x, rail_y))
            .bend(Spot::new(at(0.75, 0.0).x, rail_y), at(0.9, -0.45))
            .path("metal-edge")
            .set("stroke-width", short(self.view.paper(8.0)));
        self.part(Part::Saddle).add(rails).add(pad).add(circle(
            "dark",
            self.spot(clamp),
            self.view.paper(14.0),
        ))
    }
}
