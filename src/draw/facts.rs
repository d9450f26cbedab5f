//! What pictures read of a bike and of a fit: the one place that knows where either keeps it.
//! Nothing is judged or measured here that the fit has not found.
//! How it is drawn or said is everything else's business.

use std::f64::consts::PI;

use crate::bike::{Bike, BikePoints, BrakeKind, FrameSpec, Style};
use crate::draw::sign::Sign;
use crate::fit::checks::ground_contact::{Contact, contact};
use crate::fit::leg::{Leg, foot_pitch};
use crate::fit::{Finding, Fit, SaddleBand, Status, Unit, Verdict};
use crate::plane::{Point, Vector, direction};
use crate::rider::{Body, Stage};
use crate::units::{Units, tidy};

/// A check that pictures ask about by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum CheckId {
    BarHeight,
    BarWidth,
    BikeWeight,
    BrakeLever,
    CrankLength,
    Elbow,
    GroundContact,
    KneeRoom,
    LegRoom,
    PedalLean,
    PostInsertion,
    Reach,
    SaddleHeight,
    Standover,
    ToeClearance,
    /// Anything else, of which nothing is drawn but its words.
    Other,
}

impl CheckId {
    const fn of(name: &str) -> Self {
        match name.as_bytes() {
            b"bar_height" => Self::BarHeight,
            b"bar_width" => Self::BarWidth,
            b"bike_weight" => Self::BikeWeight,
            b"brake_lever" => Self::BrakeLever,
            b"crank_length" => Self::CrankLength,
            b"elbow" => Self::Elbow,
            b"ground_contact" => Self::GroundContact,
            b"knee_room" => Self::KneeRoom,
            b"leg_room" => Self::LegRoom,
            b"pedal_lean" => Self::PedalLean,
            b"post_insertion" => Self::PostInsertion,
            b"reach" => Self::Reach,
            b"saddle_height" => Self::SaddleHeight,
            b"standover" => Self::Standover,
            b"toe_clearance" => Self::ToeClearance,
            _ => Self::Other,
        }
    }
}

/// A bike as its file closes it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Machine<'a> {
    bike: &'a Bike,
}

impl<'a> Machine<'a> {
    pub(super) const fn new(bike: &'a Bike) -> Self {
        Self { bike }
    }

    pub(super) fn name(self) -> &'a str {
        &self.bike.spec.name
    }

    pub(super) fn spec(self) -> &'a FrameSpec {
        &self.bike.spec
    }

    pub(super) fn is_trail(self) -> bool {
        self.bike.spec.style == Style::Trail
    }

    pub(super) fn points(self) -> &'a BikePoints {
        &self.bike.points
    }

    pub(super) fn ground_y(self) -> f64 {
        self.bike.ground_y
    }

    pub(super) fn wheel_radius_front_mm(self) -> f64 {
        self.bike.wheel_radius_front_mm
    }

    pub(super) fn wheel_radius_rear_mm(self) -> f64 {
        self.bike.wheel_radius_rear_mm
    }

    pub(super) fn wheelbase_mm(self) -> f64 {
        self.bike.wheelbase_mm()
    }

    pub(super) fn bottom_bracket_height_mm(self) -> f64 {
        self.bike.bottom_bracket_height_mm()
    }

    /// The straddle point on the top tube's upper edge, and its height above ground, mm.
    pub(super) fn straddle(self) -> Option<(Point, f64)> {
        self.bike.straddle.zip(self.bike.standover_mm)
    }

    /// Unit vector down the steering axis.
    pub(super) fn steering_down(self) -> Vector {
        direction(-self.bike.spec.frame.head_tube.angle.deg().to_radians())
    }

    /// Whether a hand works a lever on this bike.
    pub(super) fn has_hand_lever(self) -> bool {
        self.bike.spec.brakes.as_ref().is_some_and(|brakes| {
            [&brakes.front, &brakes.rear]
                .iter()
                .any(|brake| brake.kind == BrakeKind::Hand)
        })
    }

    // Places along the post's line, mm from bracket height.

    /// Where the post's line crosses bracket height.
    pub(super) fn post_foot(self) -> Point {
        self.bike.post.foot
    }

    /// Unit vector up the post.
    pub(super) fn post_up(self) -> Vector {
        self.bike.post.up
    }

    pub(super) fn on_post(self, along: f64) -> Point {
        self.bike.post.saddle_top(along)
    }

    pub(super) fn sit(self, position: f64) -> Point {
        self.bike.post.sit(position)
    }

    /// Lowest and highest position that the post permits.
    pub(super) fn post_range(self) -> [f64; 2] {
        [self.bike.post.lowest_mm, self.bike.post.highest_mm]
    }

    /// Lowest and highest saddle height that the post permits, mm.
    pub(super) fn saddle_heights_mm(self) -> [f64; 2] {
        self.post_range()
            .map(|position| self.bike.post.saddle_height_mm(position))
    }

    /// Position of the saddle with so much post showing, mm.
    pub(super) fn position(self, exposed_post_mm: f64) -> f64 {
        self.bike.post.bare_mm + exposed_post_mm
    }

    /// Rail clamp of the saddle, which is the post's upper end.
    pub(super) fn post_top(self, position: f64) -> f64 {
        position - (self.bike.post.bare_mm - self.seat_tube_mm())
    }

    /// The post's lower end.
    pub(super) fn post_bottom(self, position: f64) -> f64 {
        self.post_top(position) - self.bike.post.post_mm
    }

    /// Where the minimum-insertion mark lies.
    pub(super) fn mark_at(self, position: f64) -> f64 {
        self.post_bottom(position) + self.minimum_insertion_mm()
    }

    pub(super) fn minimum_insertion_mm(self) -> f64 {
        self.bike.post.minimum_insertion_mm
    }

    pub(super) fn seat_tube_mm(self) -> f64 {
        self.bike.spec.frame.seat_tube.length.mm()
    }

    /// Position for a tape figure from the bottom bracket, mm.
    pub(super) fn position_at(self, saddle_height_mm: f64) -> f64 {
        let post = &self.bike.post;
        // |foot + up·s| = tape: the larger root.
        let across = post.foot.coords.dot(&post.up);
        let under =
            across * across - post.foot.coords.norm_squared() + saddle_height_mm * saddle_height_mm;
        under.max(0.0).sqrt() - across
    }

    /// Pedal axle at a crank angle, radians from the top, clockwise.
    pub(super) fn pedal(self, crank_angle: f64) -> Option<Point> {
        let length = self.bike.spec.cranks.as_ref()?.length.mm();
        Some(Point::from(direction(PI / 2.0 - crank_angle) * length))
    }
}

/// What one check found.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found<'a> {
    pub(super) check: CheckId,
    pub(super) sign: Sign,
    /// The missing key, where it was not checked.
    pub(super) needs: Option<&'static str>,
    pub(super) value: Option<f64>,
    pub(super) low: Option<f64>,
    pub(super) high: Option<f64>,
    pub(super) sd: Option<f64>,
    pub(super) unit: Unit,
    finding: &'a Finding,
}

impl<'a> Found<'a> {
    fn of(finding: &'a Finding) -> Self {
        let (sign, needs) = match finding.status {
            Status::Ok => (Sign::Ok, None),
            Status::Adjust => (Sign::Set, None),
            Status::Caution => (Sign::Caution, None),
            Status::Fail(_) => (Sign::Fail, None),
            Status::NotChecked(needs) => (Sign::Unknown, Some(needs)),
        };
        Self {
            check: CheckId::of(finding.check),
            sign,
            needs,
            value: finding.value,
            low: finding.low,
            high: finding.high,
            sd: finding.sd,
            unit: finding.unit,
            finding,
        }
    }

    pub(super) fn title(&self) -> String {
        self.finding.title()
    }

    /// One plain sentence.
    pub(super) fn advice(&self) -> &'a str {
        &self.finding.advice
    }

    /// The value for people.
    pub(super) fn figure(&self, units: Units) -> Option<String> {
        self.value.map(|value| self.unit.show(value, units))
    }

    /// The wanted range in few words.
    pub(super) fn wanted(&self, units: Units) -> Option<String> {
        let show = |value| self.unit.show(value, units);
        match (self.low, self.high) {
            (Some(low), Some(high)) if self.unit == Unit::Millimetre => {
                Some(format!("wanted {} to {}", units.bare(low), show(high)))
            }
            (Some(low), Some(high)) => Some(format!("wanted {} to {}", show(low), show(high))),
            (Some(low), None) => Some(format!("wanted at least {}", show(low))),
            (None, Some(high)) => Some(format!("wanted at most {}", show(high))),
            (None, None) => None,
        }
    }
}

/// A rider on a bike, as the fit found them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ride<'a> {
    pub(super) machine: Machine<'a>,
    fit: &'a Fit,
}

impl<'a> Ride<'a> {
    pub(super) const fn new(bike: &'a Bike, fit: &'a Fit) -> Self {
        Self {
            machine: Machine::new(bike),
            fit,
        }
    }

    pub(super) fn bike_name(self) -> &'a str {
        self.machine.name()
    }

    pub(super) fn rider_title(self) -> &'a str {
        &self.fit.rider.title
    }

    pub(super) fn body(self) -> &'a Body {
        &self.fit.body
    }

    /// The stage that the fit was judged at: without cranks it is always the first.
    pub(super) fn stage(self) -> Stage {
        if self.machine.bike.is_balance() {
            Stage::Learning
        } else {
            self.fit.rider.stage
        }
    }

    /// The measurements that the fit rests on, estimates marked.
    pub(super) fn measurements(self, units: Units) -> String {
        let rider = &self.fit.rider;
        let shown = |name: &str, key: &str, mm: f64| {
            let guess = if rider.estimated.contains(&key) {
                " (estimated)"
            } else {
                ""
            };
            format!("{name} {}{guess}", units.length(mm))
        };
        [
            shown("inseam", "inseam", rider.inseam_mm),
            shown("height", "height", rider.height_mm),
            shown("arm reach", "arm_reach", rider.arm_reach_mm),
            format!("stage {}", rider.stage),
        ]
        .join(", ")
    }

    pub(super) fn verdict_word(self) -> &'static str {
        self.fit.verdict.word()
    }

    pub(super) fn verdict_meaning(self) -> &'static str {
        self.fit.verdict.meaning()
    }

    pub(super) fn verdict_sign(self) -> Sign {
        match self.fit.verdict {
            Verdict::Ready => Sign::Ok,
            Verdict::SetUp => Sign::Set,
            Verdict::TooBig | Verdict::TooSmall | Verdict::Unsuitable => Sign::Fail,
        }
    }

    /// How sure the verdict is, in whole percent that never round up to certainty; None where figures
    /// were taken as exact.
    pub(super) fn sureness(self) -> Option<String> {
        let chance = self.fit.chance?;
        Some(if chance < 1.0 {
            let percent = (chance * 100.0).floor().clamp(1.0, 99.0);
            format!("{} % sure", tidy(percent, 0))
        } else {
            "over 99 % sure".to_owned()
        })
    }

    pub(super) fn caution(self) -> &'static str {
        self.fit.cautions.first().copied().unwrap_or_default()
    }

    pub(super) fn findings(self) -> impl Iterator<Item = Found<'a>> {
        self.fit.findings.iter().map(Found::of)
    }

    pub(super) fn finding(self, check: CheckId) -> Option<Found<'a>> {
        self.findings().find(|found| found.check == check)
    }

    pub(super) fn fails(self, check: CheckId) -> bool {
        self.finding(check)
            .is_some_and(|found| found.sign == Sign::Fail)
    }

    // What to set, mm.

    /// Saddle position along the post's line.
    pub(super) fn position(self) -> f64 {
        self.machine.position(self.fit.setting.exposed_post_mm)
    }

    pub(super) fn saddle_height_mm(self) -> f64 {
        self.fit.setting.saddle_height_mm
    }

    pub(super) fn saddle_height_sd_mm(self) -> Option<f64> {
        self.fit.setting.saddle_height_sd_mm
    }

    pub(super) fn seat_height_mm(self) -> f64 {
        self.fit.setting.seat_height_mm
    }

    pub(super) fn exposed_post_mm(self) -> f64 {
        self.fit.setting.exposed_post_mm
    }

    pub(super) fn insertion_mm(self) -> f64 {
        self.fit.setting.insertion_mm
    }

    pub(super) fn lever_gap_mm(self) -> Option<f64> {
        self.fit.setting.lever_gap_mm
    }

    /// The stage's saddle band, before the post's limits.
    pub(super) fn band(self) -> Option<SaddleBand> {
        self.fit.saddle
    }

    // The pose.

    pub(super) fn hip(self) -> Point {
        point(self.fit.pose.points.hip)
    }

    pub(super) fn shoulder(self) -> Option<Point> {
        self.fit.pose.points.shoulder.map(point)
    }

    /// Elbow and hand.
    pub(super) fn arm(self) -> Option<[Point; 2]> {
        let pose = &self.fit.pose.points;
        pose.shoulder?;
        Some([point(pose.elbow?), point(pose.hand?)])
    }

    /// Knee, ankle and ball of the foot.
    pub(super) fn leg(self) -> Option<[Point; 3]> {
        let pose = &self.fit.pose.points;
        Some([point(pose.knee?), point(pose.ankle?), point(pose.ball?)])
    }

    /// The same of the other leg, half a turn of the cranks away.
    pub(super) fn far_leg(self) -> Option<[Point; 3]> {
        self.leg()?;
        let leg = Leg::new(self.body(), self.machine.spec().cranks.as_ref()?);
        let angle = self.far_crank_angle();
        Some([
            leg.knee(self.hip(), angle).ok()?,
            leg.ankle(angle),
            leg.ball(angle),
        ])
    }

    /// The knee where it comes nearest to the grip over the turn; None where no leg goes round.
    pub(super) fn knee_nearest_grip(self) -> Option<Point> {
        const STEPS: u8 = 72;
        let leg = Leg::new(self.body(), self.machine.spec().cranks.as_ref()?);
        let grip = self.machine.points().grip;
        let turn = (0..STEPS).map(|step| f64::from(step) * 2.0 * PI / f64::from(STEPS));
        let knees = turn.filter_map(|angle| leg.knee(self.hip(), angle).ok());
        knees.min_by(|a, b| (a - grip).norm().total_cmp(&(b - grip).norm()))
    }

    /// Radians from the top; without a pose the crank hangs straight down.
    pub(super) fn crank_angle(self) -> f64 {
        self.fit
            .pose
            .crank_angle_at_min_deg
            .map_or(PI, f64::to_radians)
    }

    pub(super) fn far_crank_angle(self) -> f64 {
        self.crank_angle() + PI
    }

    /// Heel-up tilt of the pedal, radians; level without a foot on it.
    pub(super) fn pedal_tilt(self, crank_angle: f64) -> f64 {
        if self.leg().is_some() {
            foot_pitch(crank_angle)
        } else {
            0.0
        }
    }

    pub(super) fn lean_deg(self) -> Option<f64> {
        self.fit.pose.torso_lean_deg
    }

    /// Least and most knee flexion over the turn.
    pub(super) fn knee_flexion_deg(self) -> Option<(f64, Option<f64>)> {
        let pose = &self.fit.pose;
        Some((pose.knee_flexion_min_deg?, pose.knee_flexion_max_deg))
    }

    /// What touches the ground from the saddle.
    pub(super) fn contact(self) -> Contact {
        let over = self.seat_height_mm() - self.body().inseam_in_shoes_mm();
        contact(over, self.body().foot_length_mm)
    }
}

fn point([x, y]: [f64; 2]) -> Point {
    Point::new(x, y)
}
