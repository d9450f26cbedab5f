//! Where everything is in the side view: the frame file closed into points without contradiction.
//! Also the published figures cross-checked, and what follows from the bike alone (class, clearances).
//! Lengths mm from the bottom-bracket centre, x forward, y up; knows no rider and no advice.

use serde::Serialize;

use crate::bike::class::Class;
use crate::bike::clearance;
use crate::bike::spec::FrameSpec;
use crate::plane::{Point, Vector, direction, quarter_turn};
use crate::words;
use crate::yaml::Contradiction;

/// Difference between a published and a computed length that is still rounding, mm.
const PUBLISHED_TOLERANCE_MM: f64 = 5.0;
/// Lower headset parts between crown race and head tube, mm: flush to a full external cup (common practice).
const LOWER_HEADSET_MM: f64 = 15.0;

/// Named points of the side view.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(into = "BikePointsJson")]
pub struct BikePoints {
    /// The origin.
    pub bottom_bracket: Point,
    /// Rear axle.
    pub rear_axle: Point,
    /// Front axle.
    pub front_axle: Point,
    /// Top centre of the head tube.
    pub head_tube_top: Point,
    /// Bottom centre of the head tube.
    pub head_tube_bottom: Point,
    /// Top centre of the seat tube.
    pub seat_tube_top: Point,
    /// Centre of the bar clamp.
    pub bar_clamp: Point,
    /// Middle of the grips.
    pub grip: Point,
}

#[derive(Serialize)]
struct BikePointsJson {
    bottom_bracket: [f64; 2],
    rear_axle: [f64; 2],
    front_axle: [f64; 2],
    head_tube_top: [f64; 2],
    head_tube_bottom: [f64; 2],
    seat_tube_top: [f64; 2],
    bar_clamp: [f64; 2],
    grip: [f64; 2],
}

impl From<BikePoints> for BikePointsJson {
    fn from(p: BikePoints) -> Self {
        Self {
            bottom_bracket: p.bottom_bracket.into(),
            rear_axle: p.rear_axle.into(),
            front_axle: p.front_axle.into(),
            head_tube_top: p.head_tube_top.into(),
            head_tube_bottom: p.head_tube_bottom.into(),
            seat_tube_top: p.seat_tube_top.into(),
            bar_clamp: p.bar_clamp.into(),
            grip: p.grip.into(),
        }
    }
}

/// The line that the saddle moves along, and how far. Positions on it are measured along the
/// seat-tube axis from bottom-bracket height; tape figures are straight from the bottom bracket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PostRange {
    /// Where the seat-tube axis crosses bottom-bracket height.
    pub foot: Point,
    /// Unit vector up the axis.
    pub up: Vector,
    /// Position of the saddle top with no post exposed, mm along the axis.
    pub bare_mm: f64,
    /// Lowest position, mm along the axis.
    pub lowest_mm: f64,
    /// Highest permitted position, mm along the axis.
    pub highest_mm: f64,
    /// Post length, mm.
    pub post_mm: f64,
    /// Printed minimum insertion, mm.
    pub minimum_insertion_mm: f64,
    /// Sit point behind the axis, mm.
    pub setback_mm: f64,
}

impl PostRange {
    /// Saddle top on the axis.
    pub fn saddle_top(&self, position_mm: f64) -> Point {
        self.foot + self.up * position_mm
    }

    /// Where the rider sits: the saddle top moved back.
    pub fn sit(&self, position_mm: f64) -> Point {
        self.saddle_top(position_mm) - Vector::new(self.setback_mm, 0.0)
    }

    /// Saddle height as a tape measures it: bottom-bracket centre to saddle top, straight.
    pub fn saddle_height_mm(&self, position_mm: f64) -> f64 {
        self.saddle_top(position_mm).coords.norm()
    }

    /// Position along the axis for a saddle top this high above the bottom bracket.
    pub fn position_at_height(&self, above_bottom_bracket_mm: f64) -> f64 {
        above_bottom_bracket_mm / self.up.y
    }

    /// Post showing above the seat tube, mm.
    pub fn exposed_post_mm(&self, position_mm: f64) -> f64 {
        position_mm - self.bare_mm
    }

    /// Post inside the seat tube, mm.
    pub fn insertion_mm(&self, position_mm: f64) -> f64 {
        self.post_mm - self.exposed_post_mm(position_mm)
    }
}

/// A bike whose geometry closes, with everything that does not depend on a rider.
#[derive(Debug, Clone, PartialEq)]
pub struct Bike {
    /// The file's name without its ending, or the embedded sample's name.
    pub id: String,
    /// What the file says.
    pub spec: FrameSpec,
    /// Where everything is.
    pub points: BikePoints,
    /// The saddle's line and range.
    pub post: PostRange,
    /// Height of the ground, mm above the bottom bracket (negative).
    pub ground_y: f64,
    /// Rolling radius, mm.
    pub wheel_radius_front_mm: f64,
    /// Rolling radius, mm.
    pub wheel_radius_rear_mm: f64,
    /// Trail, mm.
    pub trail_mm: f64,
    /// Top tube's upper edge above ground at the straddle point, mm, where a top tube is given.
    pub standover_mm: Option<f64>,
    /// The straddle point itself, on the upper edge.
    pub straddle: Option<Point>,
    /// Pedal centre to the turned tyre, straight ahead, mm. None without pedals or where they never meet.
    pub toe_clearance_mm: Option<f64>,
    /// Lean at which a level pedal touches ground, degrees.
    pub pedal_lean_deg: Option<f64>,
    /// Product class.
    pub class: Class,
    /// Published figures that the geometry does not confirm, in words.
    pub warnings: Vec<String>,
}

impl Bike {
    /// Closes the geometry.
    ///
    /// # Errors
    /// Every contradiction that leaves no bike to draw.
    pub fn new(id: impl Into<String>, mut spec: FrameSpec) -> Result<Self, Vec<Contradiction>> {
        // Everything that is shown of a bike comes from here, also when no file was read.
        spec.name = words::clean(&spec.name).into_owned();
        if spec.name.is_empty() {
            let message = "has nothing that can be seen; write letters or digits";
            return Err(vec![Contradiction::new("name", message)]);
        }
        let contradictions = spec.contradictions();
        if !contradictions.is_empty() {
            return Err(contradictions);
        }
        let wheels = Wheels::new(&spec);
        let contradictions = wheels.contradictions(&spec);
        if !contradictions.is_empty() {
            return Err(contradictions);
        }
        let post = post_range(&spec);
        let straddle = straddle(&spec, &post, &wheels)?;
        let [bar_clamp, grip] = hands(&spec, &wheels);
        let points = BikePoints {
            bottom_bracket: Point::origin(),
            rear_axle: wheels.rear_axle,
            front_axle: wheels.front_axle,
            head_tube_top: wheels.head_tube_top,
            head_tube_bottom: wheels.head_tube_bottom,
            seat_tube_top: post.saddle_top(spec.frame.seat_tube.length.mm()),
            bar_clamp,
            grip,
        };
        let ground_y = wheels.ground_y;
        let seat_height = |position| post.saddle_top(position).y - ground_y;
        let class =
            Class::from_seat_heights(seat_height(post.lowest_mm), seat_height(post.highest_mm));
        let section_radius = spec.tyres.front.section_radius_mm();
        let front_wheel = clearance::FrontWheel {
            axle: wheels.front_axle,
            steering_point: wheels.head_tube_top,
            steering_down: wheels.steering_down,
            ring_radius: wheels.radius_front - section_radius,
            section_radius,
        };
        let pedal = spec
            .cranks
            .as_ref()
            .and_then(|cranks| clearance::Pedal::new(cranks, -ground_y));
        let least_section = section_radius.min(spec.tyres.rear.section_radius_mm());
        let mut bike = Self {
            id: id.into(),
            points,
            post,
            ground_y,
            wheel_radius_front_mm: wheels.radius_front,
            wheel_radius_rear_mm: wheels.radius_rear,
            trail_mm: trail(
                wheels.radius_front,
                spec.frame.head_tube.angle.deg().to_radians(),
                spec.fork.offset.mm(),
            ),
            standover_mm: straddle.map(|point| point.y - ground_y),
            straddle,
            toe_clearance_mm: pedal.and_then(|pedal| front_wheel.toe_clearance(pedal.centre)),
            pedal_lean_deg: pedal
                .map(|pedal| clearance::pedal_lean(&pedal, least_section).to_degrees()),
            class,
            warnings: Vec::new(),
            spec,
        };
        bike.warnings = bike.published_mismatches(wheels.fork_below_head_tube);
        Ok(bike)
    }

    /// Bottom-bracket height above ground, mm.
    pub fn bottom_bracket_height_mm(&self) -> f64 {
        -self.ground_y
    }

    /// Axle to axle, mm.
    pub fn wheelbase_mm(&self) -> f64 {
        // Horizontal: both axles stand over their contact points.
        self.points.front_axle.x - self.points.rear_axle.x
    }

    /// Bottom bracket to front axle, horizontally, mm.
    pub fn front_centre_mm(&self) -> f64 {
        self.points.front_axle.x
    }

    /// Seat height above ground for a position on the post's line, mm.
    pub fn seat_height_mm(&self, position_mm: f64) -> f64 {
        self.post.saddle_top(position_mm).y - self.ground_y
    }

    /// Position on the post's line for a seat height above ground, mm.
    pub fn position_at_seat_height(&self, seat_height_mm: f64) -> f64 {
        self.post.position_at_height(seat_height_mm + self.ground_y)
    }

    /// Whether the bike is ridden without pedals.
    pub fn is_balance(&self) -> bool {
        self.spec.cranks.is_none()
    }

    fn published_mismatches(&self, fork_below_head_tube: f64) -> Vec<String> {
        let mut warnings = Vec::new();
        let mut compare = |key: &str,
                           published: Option<crate::units::Length>,
                           low: f64,
                           high: f64| {
            let Some(published) = published.map(crate::units::Length::mm) else {
                return;
            };
            if published < low - PUBLISHED_TOLERANCE_MM || published > high + PUBLISHED_TOLERANCE_MM
            {
                let nearest = published.clamp(low, high);
                warnings.push(format!(
                    "{key}: the file says {published:.0} mm, its geometry gives {nearest:.0} mm; measure the bike, one of the figures is wrong"
                ));
            }
        };
        if let Some(published) = &self.spec.published {
            let wheelbase = self.wheelbase_mm();
            compare(
                "published.wheelbase",
                published.wheelbase,
                wheelbase,
                wheelbase,
            );
            let height = self.bottom_bracket_height_mm();
            compare(
                "published.bottom_bracket_height",
                published.bottom_bracket_height,
                height,
                height,
            );
            if let Some(standover) = self.standover_mm {
                compare(
                    "published.standover",
                    published.standover,
                    standover,
                    standover,
                );
            }
        }
        // Makers measure along the steerer or straight to the axle, with or without the lower headset part.
        let straight = fork_below_head_tube.hypot(self.spec.fork.offset.mm());
        compare(
            "fork.axle_to_crown",
            self.spec.fork.axle_to_crown,
            fork_below_head_tube - LOWER_HEADSET_MM,
            straight,
        );
        warnings
    }
}

/// Trail, mm, from wheel radius (mm), head angle (radians from the horizontal) and fork offset (mm).
///
/// # References
/// Meijaard, Papadopoulos, Ruina, Schwab 2007, Proc. R. Soc. A 463:1955, Table 1 (benchmark bicycle).
pub fn trail(wheel_radius: f64, head_angle: f64, offset: f64) -> f64 {
    (wheel_radius * head_angle.cos() - offset) / head_angle.sin()
}

/// The wheels and the steering axis between them.
#[derive(Debug, Clone, Copy)]
struct Wheels {
    radius_front: f64,
    radius_rear: f64,
    ground_y: f64,
    rear_axle: Point,
    front_axle: Point,
    head_tube_top: Point,
    head_tube_bottom: Point,
    steering_down: Vector,
    /// Head-tube bottom to the axle, along the steering axis.
    fork_below_head_tube: f64,
}

impl Wheels {
    fn new(spec: &FrameSpec) -> Self {
        let frame = &spec.frame;
        let radius_front = spec.tyres.front.wheel_radius_mm();
        let radius_rear = spec.tyres.rear.wheel_radius_mm();
        let drop = frame.bottom_bracket_drop.mm();
        let ground_y = drop - radius_rear;
        let head_tube_top = Point::new(frame.reach.mm(), frame.stack.mm());
        let steering_down = direction(-frame.head_tube.angle.deg().to_radians());
        // The axle line runs parallel to the steering axis, `offset` ahead of it, down to one radius above ground.
        let axle_line = head_tube_top + quarter_turn(steering_down) * spec.fork.offset.mm();
        let fork_span = (axle_line.y - (ground_y + radius_front)) / -steering_down.y;
        Self {
            radius_front,
            radius_rear,
            ground_y,
            rear_axle: Point::new(
                -(frame.chainstay.mm().powi(2) - drop * drop).max(0.0).sqrt(),
                drop,
            ),
            front_axle: axle_line + steering_down * fork_span,
            head_tube_top,
            head_tube_bottom: head_tube_top + steering_down * frame.head_tube.length.mm(),
            steering_down,
            fork_below_head_tube: fork_span - frame.head_tube.length.mm(),
        }
    }

    fn contradictions(&self, spec: &FrameSpec) -> Vec<Contradiction> {
        let mut found = Vec::new();
        let (front, rear) = (self.radius_front, self.radius_rear);
        let fork = self.fork_below_head_tube;
        if fork < front {
            found.push(Contradiction::new(
                "frame.stack",
                format!(
                    "the fork comes out {fork:.0} mm from head tube to axle, less than the wheel's radius of {front:.0} mm; check stack, head_tube.length and bottom_bracket_drop"
                ),
            ));
        }
        let wheelbase = self.front_axle.x - self.rear_axle.x;
        if wheelbase <= front + rear {
            found.push(Contradiction::new(
                "frame.reach",
                format!(
                    "the wheels overlap: axles {wheelbase:.0} mm apart, radii {front:.0} and {rear:.0} mm; check reach, chainstay and tyres"
                ),
            ));
        }
        let lowest_pedal = spec.cranks.as_ref().map_or(0.0, |cranks| {
            cranks.length.mm() + cranks.pedal_height.mm() / 2.0
        });
        if -self.ground_y <= lowest_pedal {
            found.push(Contradiction::new(
                "frame.bottom_bracket_drop",
                format!(
                    "the bottom bracket is {:.0} mm above ground, too low for the pedals to turn",
                    -self.ground_y
                ),
            ));
        }
        found
    }
}

/// Centre of the bar clamp, and middle of the grips.
fn hands(spec: &FrameSpec, wheels: &Wheels) -> [Point; 2] {
    let cockpit = &spec.cockpit;
    let up_the_steerer = cockpit.spacers.mm() + cockpit.stem.clamp_height.mm() / 2.0;
    let stem_base = wheels.head_tube_top - wheels.steering_down * up_the_steerer;
    let ahead = quarter_turn(wheels.steering_down);
    let stem_angle = ahead.y.atan2(ahead.x) + cockpit.stem.angle.deg().to_radians();
    let bar_clamp = stem_base + direction(stem_angle) * cockpit.stem.length.mm();
    let bar = &cockpit.handlebar;
    [
        bar_clamp,
        bar_clamp + Vector::new(-bar.setback.mm(), bar.rise.mm()),
    ]
}

/// The straddle point on the top tube's upper edge; None without a top tube.
fn straddle(
    spec: &FrameSpec,
    post: &PostRange,
    wheels: &Wheels,
) -> Result<Option<Point>, Vec<Contradiction>> {
    let Some(tube) = &spec.frame.top_tube else {
        return Ok(None);
    };
    let seat_joint = post.saddle_top(tube.seat_joint.mm());
    let head_joint = wheels.head_tube_top + wheels.steering_down * tube.head_joint.mm();
    let line = head_joint - seat_joint;
    if line.x <= 0.0 {
        return Err(vec![Contradiction::new(
            "frame.top_tube",
            "the head joint is not ahead of the seat joint; check seat_joint, head_joint and seat_tube.offset",
        )]);
    }
    // The upper edge straight above the centre line: half the diameter over the cosine of the slope.
    let half = tube.diameter.mm() / 2.0 * line.norm() / line.x;
    Ok(Some(
        seat_joint + line * tube.straddle + Vector::new(0.0, half),
    ))
}

fn post_range(spec: &FrameSpec) -> PostRange {
    let tube = &spec.frame.seat_tube;
    let angle = tube.angle.deg().to_radians();
    // The saddle stack is vertical; carried along the axis it is longer by 1/sin.
    let bare_mm = tube.length.mm() + spec.saddle.stack.mm() / angle.sin();
    PostRange {
        foot: Point::new(tube.offset.mm(), 0.0),
        up: direction(std::f64::consts::PI - angle),
        bare_mm,
        lowest_mm: bare_mm + spec.lowest_exposed_post_mm(),
        highest_mm: bare_mm + spec.highest_exposed_post_mm(),
        post_mm: spec.seat_post.length.mm(),
        minimum_insertion_mm: spec.seat_post.minimum_insertion.mm(),
        setback_mm: spec.saddle.setback.mm(),
    }
}
