//! The bike from the drive side: tyres with their section, tubes with their thickness, everything at its real size.
//! Sizes that a frame file does not give (tube walls, hub, chainring) are drawn at usual sizes and nothing is read off them.
//! Riders and dimensions are not drawn here.

use std::f64::consts::{FRAC_PI_2, TAU};

use svg::node::element::{Group, Path};

use crate::bike::{Bike, BrakeKind, Style, TyreSize};
use crate::draw::ink::{Outline, Rod, Spot, circle, group, line, ring, short};
use crate::draw::sheet::{Extent, View};
use crate::plane::{Point, Vector, direction, quarter_turn};

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
const STEM: f64 = 30.0;
const STEERER_CLAMP: f64 = 38.0;
const BAR_CLAMP: f64 = 34.0;
const BAR: f64 = 22.2;
const RIM_DEPTH: f64 = 14.0;
const HUB: f64 = 19.0;
const SADDLE_LENGTH: f64 = 230.0;
const BRACKET_SHELL: f64 = 22.0;

/// Thickness of the outline of a tube on paper, mm.
const EDGE: f64 = 0.32;
/// Length of a flag at the minimum-insertion mark on paper, mm.
const FLAG_LONG: f64 = 2.4;

/// A straight tube, from and to in bike mm, `width` in mm.
#[derive(Debug, Clone, Copy)]
struct Tube {
    from: Point,
    to: Point,
    width: f64,
}

/// A bike on paper.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bicycle<'a> {
    pub(super) bike: &'a Bike,
    pub(super) view: View,
}

impl Bicycle<'_> {
    fn steering_down(&self) -> Vector {
        direction(-self.bike.spec.frame.head_tube.angle.deg().to_radians())
    }

    fn spot(&self, point: Point) -> Spot {
        self.view.spot(point)
    }

    /// Tubes welded together: all outlines first, so that joints run into each other.
    fn weld(&self, material: &str, tubes: &[Tube]) -> Group {
        let mut joined = group("weld");
        for edge in [true, false] {
            for tube in tubes {
                let (class, more) = if edge {
                    (format!("{material}-edge"), 2.0 * EDGE)
                } else if material == "tube" {
                    ("tube".to_owned(), 0.0)
                } else {
                    (format!("{material}-tube"), 0.0)
                };
                joined = joined.add(
                    line(&class, self.spot(tube.from), self.spot(tube.to))
                        .set("stroke-width", short(self.view.paper(tube.width) + more)),
                );
            }
        }
        joined
    }

    /// Both wheels.
    pub(super) fn wheels(&self) -> Group {
        let tyres = &self.bike.spec.tyres;
        let points = &self.bike.layout.points;
        group("wheels")
            .add(self.wheel(points.rear_axle, tyres.rear))
            .add(self.wheel(points.front_axle, tyres.front))
    }

    fn wheel(&self, axle: Point, tyre: TyreSize) -> Group {
        let centre = self.spot(axle);
        let paper = |mm| self.view.paper(mm);
        let (outer, bead) = (tyre.wheel_radius_mm(), tyre.bead_seat_mm / 2.0);
        let rim = (bead - RIM_DEPTH).max(HUB);
        let mut wheel = group("wheel")
            .add(self.spokes(centre, rim))
            .add(ring("rim", centre, paper(rim), paper(bead)))
            .add(circle("rim-edge", centre, paper(rim)))
            .add(ring("tyre", centre, paper(bead), paper(outer)));
        if self.bike.spec.style == Style::Trail {
            wheel = wheel.add(self.tread(centre, outer));
        }
        wheel.add(circle("hub", centre, paper(HUB)))
    }

    /// Crossed spokes, as one path.
    fn spokes(&self, centre: Spot, rim: f64) -> Path {
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
    fn tread(&self, centre: Spot, outer: f64) -> Path {
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

    fn seat_tube_width(&self) -> f64 {
        let post = self.bike.spec.frame.seat_tube.diameter;
        post.map_or(SEAT_TUBE, |inner| inner.mm() + SEAT_TUBE_WALL)
    }

    fn post_width(&self) -> f64 {
        let post = self.bike.spec.frame.seat_tube.diameter;
        post.map_or(POST, crate::units::Length::mm)
    }

    /// Frame tubes, head tube and bracket shell.
    pub(super) fn frame(&self) -> Group {
        let (points, post) = (&self.bike.layout.points, &self.bike.layout.post);
        let spec = &self.bike.spec.frame;
        let down = self.steering_down();
        let low = spec.top_tube.is_none();
        let down_tube = if low { LOW_DOWN_TUBE } else { DOWN_TUBE };
        let lower_joint = points.head_tube_bottom
            - down * (down_tube / 2.0).min(spec.head_tube.length.mm() / 2.0);
        // Stays meet the seat tube where the top tube does, or a little below its end.
        let seat_joint = spec
            .top_tube
            .as_ref()
            .map_or(spec.seat_tube.length.mm() - 25.0, |tube| {
                tube.seat_joint.mm()
            });
        let bracket = points.bottom_bracket;
        let tube = |from, to, width| Tube { from, to, width };
        let mut tubes = vec![
            tube(bracket, points.rear_axle, CHAIN_STAY),
            tube(post.saddle_top(seat_joint), points.rear_axle, SEAT_STAY),
            tube(bracket, lower_joint, down_tube),
            tube(bracket, post.foot, SEAT_TUBE),
            tube(post.foot, points.seat_tube_top, self.seat_tube_width()),
        ];
        if let Some(top) = &spec.top_tube {
            let head_joint = points.head_tube_top + down * top.head_joint.mm();
            tubes.push(tube(
                post.saddle_top(top.seat_joint.mm()),
                head_joint,
                top.diameter.mm(),
            ));
        }
        tubes.push(tube(
            points.head_tube_top + down * (HEAD_TUBE / 4.0),
            points.head_tube_bottom - down * (HEAD_TUBE / 4.0),
            HEAD_TUBE,
        ));
        group("frame").add(self.weld("tube", &tubes)).add(circle(
            "shell",
            self.spot(bracket),
            self.view.paper(BRACKET_SHELL),
        ))
    }

    /// The fork: rigid blades, or stanchions and sliders where there is travel.
    pub(super) fn fork(&self) -> Group {
        let points = &self.bike.layout.points;
        let fork = &self.bike.spec.fork;
        let (down, axle) = (self.steering_down(), points.front_axle);
        let crown = points.head_tube_bottom + down * 8.0;
        let ahead = quarter_turn(down) * fork.offset.mm();
        let foot = axle - ahead;
        let crown_tube = Tube {
            from: points.head_tube_bottom,
            to: crown + down * 10.0,
            width: HEAD_TUBE - 8.0,
        };
        if fork.travel.mm() > 0.0 {
            let room = (foot - crown).norm();
            let shown = (fork.travel.mm() + 25.0).min(room * 0.55);
            let wiper = crown + down * shown;
            let tube = |from, to, width| Tube { from, to, width };
            let lean = ahead * 0.35;
            return group("fork")
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
        group("fork")
            .add(path("tube-edge", width + 2.0 * EDGE))
            .add(path("tube", width))
            .add(self.weld("tube", &[crown_tube]))
            .add(circle("hub", self.spot(axle), self.view.paper(HUB * 0.6)))
    }

    /// Spacers, stem, bar, grip; a hand lever `lever_gap` mm from the grip's rear face to its own front face.
    pub(super) fn cockpit(&self, lever_gap: Option<f64>) -> Group {
        let points = &self.bike.layout.points;
        let cockpit = &self.bike.spec.cockpit;
        let up = -self.steering_down();
        let top = points.head_tube_top;
        let clamp_foot = top + up * cockpit.spacers.mm();
        let clamp_height = cockpit.stem.clamp_height.mm();
        let base = clamp_foot + up * (clamp_height / 2.0);
        let tube = |from, to, width| Tube { from, to, width };
        let mut drawn = group("cockpit");
        if cockpit.spacers.mm() > 0.0 {
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
        let grip = self.spot(points.grip);
        let radius = self.view.paper(cockpit.handlebar.grip_diameter.mm() / 2.0);
        drawn
            .add(circle("dark", grip, radius))
            .add(circle("metal", grip, radius * 0.45))
    }

    /// The bar from its clamp up and back to the grip.
    fn bar(&self) -> Group {
        let points = &self.bike.layout.points;
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
    pub(super) fn lever_face(&self, gap: f64) -> (Point, Point) {
        const BELOW_LEVEL_DEG: f64 = 32.0;
        let grip = self.bike.layout.points.grip;
        let radius = self.bike.spec.cockpit.handlebar.grip_diameter.mm() / 2.0;
        let ahead = direction(-BELOW_LEVEL_DEG.to_radians());
        (grip - ahead * radius, grip + ahead * (gap - radius))
    }

    fn lever(&self, gap: f64) -> Group {
        const BLADE: f64 = 9.0;
        let grip = self.bike.layout.points.grip;
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

    /// A straight-ended piece round an axis.
    fn band(&self, from: Point, to: Point, width: f64, class: &str) -> Path {
        let axis = to - from;
        let half = quarter_turn(axis) * (width / 2.0 / axis.norm().max(1e-9));
        Outline::from(self.spot(from - half))
            .line(self.spot(to - half))
            .line(self.spot(to + half))
            .line(self.spot(from + half))
            .close()
            .path(class)
    }

    /// Rail clamp of the saddle, which is the post's upper end.
    fn post_top(&self, position: f64) -> f64 {
        let frame = &self.bike.spec.frame.seat_tube;
        position - (self.bike.layout.post.bare_mm - frame.length.mm())
    }

    /// Where the minimum-insertion mark lies on the post's line.
    pub(super) fn mark_at(&self, position: f64) -> f64 {
        let post = &self.bike.layout.post;
        self.post_top(position) - post.post_mm + post.minimum_insertion_mm
    }

    /// The post: bright where it shows, dashed inside the tube.
    pub(super) fn post(&self, position: f64) -> Group {
        let post = &self.bike.layout.post;
        let at = |along: f64| post.saddle_top(along);
        let tube_top = self.bike.spec.frame.seat_tube.length.mm();
        let top = self.post_top(position);
        let bottom = top - post.post_mm;
        let width = self.post_width();
        let half = quarter_turn(post.up) * (width / 2.0);
        group("post")
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
    pub(super) fn mark(&self, position: f64) -> Group {
        let post = &self.bike.layout.post;
        let mark = post.saddle_top(self.mark_at(position));
        let half = quarter_turn(post.up) * (self.post_width() / 2.0);
        group("mark-flags")
            .add(line("mark", self.spot(mark - half), self.spot(mark + half)))
            .add(self.flag(mark, half, post.up))
            .add(self.flag(mark, -half, post.up))
    }

    /// Where the rear flag of the mark ends.
    pub(super) fn mark_flag_end(&self, position: f64) -> Spot {
        let post = &self.bike.layout.post;
        let back = quarter_turn(post.up);
        let mark = post.saddle_top(self.mark_at(position));
        self.spot(mark + back * (self.post_width() / 2.0 + FLAG_LONG * self.view.scale))
    }

    /// A small triangle beside the tube whose tip touches the mark.
    fn flag(&self, mark: Point, half: Vector, up: Vector) -> Path {
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
    pub(super) fn saddle_ends(&self, position: f64) -> (Point, Point) {
        const AHEAD: f64 = 0.6;
        let length = self.saddle_length();
        let sit = self.bike.layout.post.sit(position);
        (
            sit + Vector::new(AHEAD * length, 0.0),
            sit - Vector::new((1.0 - AHEAD) * length, 0.0),
        )
    }

    fn saddle_length(&self) -> f64 {
        let length = self.bike.spec.saddle.length;
        length.map_or(SADDLE_LENGTH, crate::units::Length::mm)
    }

    /// The saddle on its rails.
    pub(super) fn saddle(&self, position: f64) -> Group {
        let (_, tail) = self.saddle_ends(position);
        let length = self.saddle_length();
        let thick = (0.15 * length).min(0.8 * self.bike.spec.saddle.stack.mm());
        let clamp = self.bike.layout.post.saddle_top(self.post_top(position));
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
        group("saddle").add(rails).add(pad).add(circle(
            "dark",
            self.spot(clamp),
            self.view.paper(14.0),
        ))
    }

    /// The chainring, the chain, the sprocket: a hint at usual sizes.
    pub(super) fn chain(&self) -> Option<Group> {
        let cranks = self.bike.spec.cranks.as_ref()?;
        let ring_radius = (0.46 * cranks.length.mm()).clamp(40.0, 75.0);
        let sprocket = 0.5 * ring_radius;
        let (bracket, axle) = (self.spot(Point::origin()), self.bike.layout.points.rear_axle);
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

    /// Pedal axle at a crank angle, radians from the top, clockwise.
    pub(super) fn pedal(&self, crank_angle: f64) -> Option<Point> {
        let length = self.bike.spec.cranks.as_ref()?.length.mm();
        Some(Point::from(direction(FRAC_PI_2 - crank_angle) * length))
    }

    /// One crank arm with its pedal; `tilt` of the pedal in radians, heel up.
    pub(super) fn crank(&self, crank_angle: f64, tilt: f64) -> Option<Group> {
        const PEDAL_LONG: f64 = 84.0;
        let cranks = self.bike.spec.cranks.as_ref()?;
        let pedal = self.pedal(crank_angle)?;
        let paper = |mm| self.view.paper(mm);
        let arm = Rod {
            from: self.spot(Point::origin()),
            from_radius: paper(17.0),
            to: self.spot(pedal),
            to_radius: paper(11.0),
        };
        let height = cranks.pedal_height.mm();
        let half = direction(-tilt) * (PEDAL_LONG.min(0.62 * cranks.length.mm()) / 2.0);
        Some(
            group("crank")
                .add(self.band(pedal - half, pedal + half, height, "dark"))
                .add(arm.outline().path("metal"))
                .add(circle("dark", self.spot(pedal), paper(6.0)))
                .add(circle("dark", self.spot(Point::origin()), paper(10.0))),
        )
    }

    /// Whether a hand works a lever on this bike.
    pub(super) fn has_hand_lever(&self) -> bool {
        self.bike.spec.brakes.as_ref().is_some_and(|brakes| {
            [&brakes.front, &brakes.rear]
                .iter()
                .any(|brake| brake.kind == BrakeKind::Hand)
        })
    }
}

/// What the wheels, the bar and the saddle's range fill, in bike mm.
pub(super) fn extent(bike: &Bike) -> Extent {
    const AROUND_GRIP: f64 = 60.0;
    let points = &bike.layout.points;
    Extent::around(points.rear_axle, bike.layout.wheel_radius_rear_mm)
        .and(Extent::around(
            points.front_axle,
            bike.layout.wheel_radius_front_mm,
        ))
        .and(Extent::around(points.grip, AROUND_GRIP))
        .and(Extent::around(points.bar_clamp, BAR_CLAMP / 2.0))
        .and_point(bike.layout.post.saddle_top(bike.layout.post.highest_mm))
}
