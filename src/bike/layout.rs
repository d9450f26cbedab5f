//! Where everything is in the side view: a drawing closed into points without contradiction.
//! Also what follows from the points alone: clearances, class, trail.
//! Lengths mm from the bottom-bracket centre, x forward, y up; knows no file, no rider and no advice.

use crate::bike::class::Class;
use crate::bike::clearance;
use crate::bike::drawing::{Crank, Drawing, TopTubeLine};
use crate::bike::post::PostRange;
use crate::bike::steering::{Steering, trail};
use crate::bike::tyre::TyreSize;
use crate::file::Problem;
use crate::plane::{Point, Vector};
use crate::sources::{Cited, Source};

/// Where wheel radii and trail come from; the rest is plane geometry.
pub const SOURCES: Cited = Cited::new(Source::Iso5775, &[Source::Meijaard2007]);

/// Named points of the side view.
#[derive(Debug, Clone, Copy, PartialEq)]
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

/// A drawing whose geometry closes, with everything that does not depend on a rider.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    /// Where everything is.
    pub points: BikePoints,
    /// The steering axis and the stem.
    pub steering: Steering,
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
    /// Head-tube bottom to the front axle, along the steering axis, mm.
    pub fork_below_head_tube_mm: f64,
    /// The straddle point on the top tube's upper edge.
    pub straddle: Point,
    /// Cranks and pedals; None on a balance bike.
    pub crank: Option<Crank>,
    /// Pedal centre to the turned tyre, straight ahead, mm. None without pedals or where they never meet.
    pub toe_clearance_mm: Option<f64>,
    /// Lean at which a level pedal touches ground, degrees.
    pub pedal_lean_deg: Option<f64>,
    /// Product class.
    pub class: Class,
}

impl Layout {
    /// Closes the geometry.
    ///
    /// # Errors
    /// Every contradiction that leaves no bike to draw.
    pub fn close(drawing: &Drawing) -> Result<Self, Vec<Problem>> {
        let mut layout = Self::placed(drawing);
        let contradictions = layout.contradictions(drawing);
        if !contradictions.is_empty() {
            return Err(contradictions);
        }
        let section = |tyre: TyreSize| tyre.section_radius_mm();
        let front_section = section(drawing.front_tyre);
        let least_section = front_section.min(section(drawing.rear_tyre));
        let front_wheel = clearance::FrontWheel {
            axle: layout.points.front_axle,
            steering_point: layout.steering.head_tube_top,
            steering_down: layout.steering.down,
            ring_radius: layout.wheel_radius_front_mm - front_section,
            section_radius: front_section,
        };
        if let Some(pedal) = layout.pedal() {
            layout.toe_clearance_mm = front_wheel.toe_clearance(pedal.centre);
            layout.pedal_lean_deg = Some(clearance::pedal_lean(&pedal, least_section).to_degrees());
        }
        Ok(layout)
    }

    /// Where everything is, whether or not a bike can be like that; without the clearances.
    pub fn placed(drawing: &Drawing) -> Self {
        let wheels = Wheels::of(drawing);
        let steering = wheels.steering;
        let post = PostRange::of(drawing);
        let bar_clamp = steering.stem_base + steering.stem * drawing.stem_length_mm;
        let points = BikePoints {
            bottom_bracket: Point::origin(),
            rear_axle: wheels.rear_axle,
            front_axle: wheels.front_axle,
            head_tube_top: steering.head_tube_top,
            head_tube_bottom: steering.below_top(drawing.head_tube_length_mm),
            seat_tube_top: post.saddle_top(drawing.seat_tube_length_mm),
            bar_clamp,
            grip: bar_clamp + Vector::new(-drawing.bar_setback_mm, drawing.bar_rise_mm),
        };
        let ground_y = wheels.ground_y;
        let seat_height = |position| post.saddle_top(position).y - ground_y;
        Self {
            points,
            steering,
            post,
            ground_y,
            wheel_radius_front_mm: wheels.radius_front,
            wheel_radius_rear_mm: wheels.radius_rear,
            trail_mm: trail(
                wheels.radius_front,
                drawing.head_angle_deg.to_radians(),
                drawing.fork_offset_mm,
            ),
            fork_below_head_tube_mm: wheels.fork_below_head_tube,
            straddle: straddle(drawing, &post, &steering),
            crank: drawing.crank,
            toe_clearance_mm: None,
            pedal_lean_deg: None,
            class: Class::from_seat_heights(
                seat_height(post.lowest_mm),
                seat_height(post.highest_mm),
            ),
        }
    }

    fn pedal(&self) -> Option<clearance::Pedal> {
        clearance::Pedal::new(&self.crank?, -self.ground_y)
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

    /// Bottom bracket to front axle, straight, mm.
    pub fn front_centre_mm(&self) -> f64 {
        self.points.front_axle.coords.norm()
    }

    /// Top tube's upper edge above ground at the straddle point, mm.
    pub fn standover_mm(&self) -> f64 {
        self.straddle.y - self.ground_y
    }

    /// Seat height above ground for a position on the post's line, mm.
    pub fn seat_height_mm(&self, position_mm: f64) -> f64 {
        self.post.saddle_top(position_mm).y - self.ground_y
    }

    /// Position on the post's line for a seat height above ground, mm.
    pub fn position_at_seat_height(&self, seat_height_mm: f64) -> f64 {
        self.post.position_at_height(seat_height_mm + self.ground_y)
    }

    /// What a saddle at this position is told by, mm: the saddle height, and the seat height on a bike without
    /// cranks, where nobody finds a bracket to measure from.
    pub fn told_mm(&self, position_mm: f64) -> f64 {
        if self.crank.is_some() {
            self.post.saddle_height_mm(position_mm)
        } else {
            self.seat_height_mm(position_mm)
        }
    }

    /// The inverse of [`Self::told_mm`]; None where no position is told so.
    pub fn position_told(&self, told_mm: f64) -> Option<f64> {
        if self.crank.is_some() {
            self.post.position_at_saddle_height(told_mm)
        } else {
            Some(self.position_at_seat_height(told_mm))
        }
    }
}

/// The wheels and the steering axis between them.
#[derive(Debug, Clone, Copy)]
struct Wheels {
    radius_front: f64,
    radius_rear: f64,
    ground_y: f64,
    rear_axle: Point,
    front_axle: Point,
    steering: Steering,
    fork_below_head_tube: f64,
}

impl Wheels {
    fn of(drawing: &Drawing) -> Self {
        let radius_front = drawing.front_tyre.wheel_radius_mm();
        let radius_rear = drawing.rear_tyre.wheel_radius_mm();
        let (drop, chainstay) = (drawing.bottom_bracket_drop_mm, drawing.chainstay_mm);
        let ground_y = drop - radius_rear;
        let steering = Steering::of(drawing);
        // The axle line runs parallel to the steering axis, `offset` ahead of it, down to one radius above ground.
        let axle_line = steering.head_tube_top + steering.ahead() * drawing.fork_offset_mm;
        let fork_span = (axle_line.y - (ground_y + radius_front)) / -steering.down.y;
        Self {
            radius_front,
            radius_rear,
            ground_y,
            rear_axle: Point::new(-(chainstay * chainstay - drop * drop).max(0.0).sqrt(), drop),
            front_axle: axle_line + steering.down * fork_span,
            steering,
            fork_below_head_tube: fork_span - drawing.head_tube_length_mm,
        }
    }
}

impl Layout {
    fn contradictions(&self, drawing: &Drawing) -> Vec<Problem> {
        let mut found = Vec::new();
        let (front, rear) = (self.wheel_radius_front_mm, self.wheel_radius_rear_mm);
        let fork = self.fork_below_head_tube_mm;
        if fork < front {
            found.push(Problem::at_key(
                "frame.stack",
                format!(
                    "the fork comes out {fork:.0} mm from head tube to axle, less than the wheel's radius of {front:.0} mm; check stack, head_tube.length and bottom_bracket_drop"
                ),
            ));
        }
        let wheelbase = self.wheelbase_mm();
        if wheelbase <= front + rear {
            found.push(Problem::at_key(
                "frame.reach",
                format!(
                    "the wheels overlap: axles {wheelbase:.0} mm apart, radii {front:.0} and {rear:.0} mm; check reach, chainstay and tyres"
                ),
            ));
        }
        if -self.ground_y <= drawing.lowest_pedal_mm() {
            found.push(Problem::at_key(
                "frame.bottom_bracket_drop",
                format!(
                    "the bottom bracket is {:.0} mm above ground, too low for the pedals to turn",
                    -self.ground_y
                ),
            ));
        }
        let post = &self.post;
        if post.highest_mm < post.lowest_mm {
            let [down, raised] =
                [post.lowest_mm, post.highest_mm].map(|position| self.seat_height_mm(position));
            found.push(Problem::at_key(
                "seat_post",
                format!(
                    "the post has no travel: seat height {down:.0} mm right down, {raised:.0} mm at its mark; check the seat heights, seat_post and usable_depth"
                ),
            ));
        }
        if post.minimum_insertion_mm <= 0.0 {
            found.push(Problem::at_key(
                "seat_post",
                format!(
                    "seat height {:.0} mm at the mark would take the post out of the tube; check the seat heights, seat_post and usable_depth",
                    self.seat_height_mm(post.highest_mm)
                ),
            ));
        }
        let tube = &drawing.top_tube;
        let (seat, head) = joints(tube, &self.post, &self.steering);
        if head.x <= seat.x {
            found.push(Problem::at_key(
                "frame.top_tube",
                "the head joint is not ahead of the seat joint; check seat_joint, head_joint and seat_tube.offset",
            ));
        }
        found
    }
}

/// Where the top tube meets seat tube and head tube.
fn joints(tube: &TopTubeLine, post: &PostRange, steering: &Steering) -> (Point, Point) {
    (
        post.saddle_top(tube.seat_joint_mm),
        steering.below_top(tube.head_joint_mm),
    )
}

/// The straddle point on the top tube's upper edge.
fn straddle(drawing: &Drawing, post: &PostRange, steering: &Steering) -> Point {
    let tube = drawing.top_tube;
    let (seat_joint, head_joint) = joints(&tube, post, steering);
    let line = head_joint - seat_joint;
    // The upper edge straight above the centre line: half the diameter over the cosine of the slope.
    let half = tube.diameter_mm / 2.0 * line.norm() / line.x;
    seat_joint + line * tube.straddle + Vector::new(0.0, half)
}
