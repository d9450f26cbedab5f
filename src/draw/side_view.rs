//! The side view: one rider on one bike with every dimension that matters, or the bike alone with what to set.
//! What stands where on the sheet, from the far side of the bike to the near one.
//! How bikes and bodies look is `bicycle` and `figure`; arrows and figures are `dimensions`.

use svg::node::element::Group;

use crate::bike::Bike;
use crate::draw::bicycle::{Bicycle, extent};
use crate::draw::figure::{ArmPose, Dress, Figure, LegPose};
use crate::draw::ink::{Spot, group};
use crate::draw::label::{Plan, Rect};
use crate::draw::sheet::{HEIGHT, LOW_HEIGHT, Sheet, View};
use crate::draw::{callout, heading};
use crate::fit::Fit;
use crate::fit::leg::{Leg, foot_pitch};
use crate::plane::{Point, direction};
use crate::units::Units;

/// What a side view shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Show {
    /// The rider and every dimension.
    #[default]
    All,
    /// The bike alone and what to set on it: saddle height, exposed post and mark, seat height, lever gap.
    SetUp,
}

impl Show {
    fn height(self) -> f64 {
        match self {
            Self::All => HEIGHT,
            Self::SetUp => LOW_HEIGHT,
        }
    }

    fn room(self) -> Rect {
        match self {
            Self::All => ROOM,
            Self::SetUp => LOW_ROOM,
        }
    }
}

/// A side view of one fit.
#[derive(Debug, Clone, Copy)]
pub struct SideView<'a> {
    bike: &'a Bike,
    fit: &'a Fit,
    pub(super) units: Units,
    show: Show,
}

/// Where the drawing stands on the sheet, mm: between the columns, above the legend.
const ROOM: Rect = Rect {
    x: 69.0,
    y: 27.0,
    width: 159.0,
    height: 150.0,
};
/// The same for a bike without a rider.
const LOW_ROOM: Rect = Rect {
    height: 106.0,
    ..ROOM
};

impl<'a> SideView<'a> {
    /// Everything about one fit, with figures in `units`.
    pub fn new(bike: &'a Bike, fit: &'a Fit, units: Units) -> Self {
        Self {
            bike,
            fit,
            units,
            show: Show::All,
        }
    }

    /// The same with another choice of what to show.
    #[must_use]
    pub fn showing(self, show: Show) -> Self {
        Self { show, ..self }
    }

    /// The whole SVG document.
    pub fn svg(&self) -> String {
        self.draw().0.finish()
    }

    /// The picture's lay-out, without the picture.
    pub fn plan(&self) -> Plan {
        let (sheet, view) = self.draw();
        sheet.plan(view.scale)
    }

    fn draw(&self) -> (Sheet, View) {
        let scene = Scene::new(*self);
        let mut sheet = Sheet::new(&self.title(), &self.description(), self.show.height());
        heading::of_fit(&mut sheet, &self.title(), self.fit, self.units);
        sheet.add(scene.ground());
        for layer in scene.bodies() {
            sheet.add(layer);
        }
        let callouts = scene.dimensions(&mut sheet);
        callout::write(&mut sheet, callouts);
        scene.legend(&mut sheet);
        heading::caution(&mut sheet, self.fit.cautions);
        (sheet, scene.machine.view)
    }

    fn title(&self) -> String {
        let (rider, bike) = (&self.fit.rider.title, &self.fit.bike.name);
        match self.show {
            Show::All => format!("{rider} on {bike}"),
            Show::SetUp => format!("{bike}, set up for {rider}"),
        }
    }

    fn description(&self) -> String {
        let (fit, units) = (self.fit, self.units);
        let mut parts = vec![format!(
            "Side view to scale. Verdict {}: {}. Saddle height {}, seat height {}, exposed post {}.",
            fit.verdict,
            fit.verdict.meaning(),
            units.length(fit.setting.saddle_height_mm),
            units.length(fit.setting.seat_height_mm),
            units.length(fit.setting.exposed_post_mm),
        )];
        if self.show == Show::All {
            for finding in &fit.findings {
                parts.push(format!(
                    "{}: {}, {}.",
                    finding.title(),
                    finding.status.word(),
                    finding.advice
                ));
            }
        }
        parts.join(" ")
    }
}

/// Everything laid out at one scale.
pub(super) struct Scene<'a> {
    pub(super) picture: SideView<'a>,
    pub(super) machine: Bicycle<'a>,
    pub(super) figure: Figure<'a>,
    /// Saddle position along the post's line.
    pub(super) position: f64,
    pub(super) hip: Point,
    pub(super) shoulder: Point,
    pub(super) leg: Option<LegPose>,
    pub(super) arm: Option<ArmPose>,
    pub(super) crank_angle: f64,
}

fn point([x, y]: [f64; 2]) -> Point {
    Point::new(x, y)
}

impl<'a> Scene<'a> {
    fn new(picture: SideView<'a>) -> Self {
        /// Lean at which an upper body is drawn that reaches no grips, degrees.
        const UNPOSED_LEAN_DEG: f64 = 78.0;
        let SideView {
            bike, fit, show, ..
        } = picture;
        let pose = &fit.pose.points;
        let hip = point(pose.hip);
        let shoulder = pose.shoulder.map_or(
            hip + direction(UNPOSED_LEAN_DEG.to_radians()) * fit.body.torso_mm,
            point,
        );
        let leg = match (pose.knee, pose.ankle, pose.ball) {
            (Some(knee), Some(ankle), Some(ball)) => Some(LegPose {
                hip,
                knee: point(knee),
                ankle: point(ankle),
                ball: point(ball),
            }),
            _ => None,
        };
        let arm = match (pose.elbow, pose.hand) {
            (Some(elbow), Some(hand)) if pose.shoulder.is_some() => Some(ArmPose {
                elbow: point(elbow),
                hand: point(hand),
            }),
            _ => None,
        };
        let position = bike.layout.post.bare_mm + fit.setting.exposed_post_mm;
        let view_of = |view| Figure {
            body: &fit.body,
            view,
            dress: Dress::Riding,
        };
        // Any view will do to learn the figure's size in bike millimetres.
        let rough = View::fit(extent(bike), ROOM);
        let mut filled = extent(bike);
        if show == Show::All {
            filled = filled.and(view_of(rough).extent(hip, shoulder));
        }
        let view = View::fit(filled, show.room());
        Self {
            picture,
            machine: Bicycle { bike, view },
            figure: view_of(view),
            position,
            hip,
            shoulder,
            leg,
            arm,
            // Without a pose the crank hangs straight down.
            crank_angle: fit
                .pose
                .crank_angle_at_min_deg
                .map_or(std::f64::consts::PI, f64::to_radians),
        }
    }

    pub(super) fn bike(&self) -> &'a Bike {
        self.picture.bike
    }

    pub(super) fn fit(&self) -> &'a Fit {
        self.picture.fit
    }

    pub(super) fn shows_all(&self) -> bool {
        self.picture.show == Show::All
    }

    pub(super) fn spot(&self, point: Point) -> Spot {
        self.machine.view.spot(point)
    }

    pub(super) fn ground_y(&self) -> f64 {
        self.spot(Point::new(0.0, self.bike().layout.ground_y)).y
    }

    fn ground(&self) -> Group {
        callout::ground(self.ground_y(), ROOM.x - 6.0, ROOM.right() + 6.0)
    }

    /// Bike and rider, from the far side to the near side.
    fn bodies(&self) -> Vec<Group> {
        let machine = &self.machine;
        let mut layers = Vec::new();
        let opposite = self.crank_angle + std::f64::consts::PI;
        let tilt = |angle: f64| {
            if self.leg.is_some() {
                foot_pitch(angle)
            } else {
                0.0
            }
        };
        let mut far = group("far");
        if self.shows_all()
            && let Some(leg) = self.far_leg(opposite)
        {
            far = far.add(self.figure.leg(leg));
        }
        if let Some(crank) = machine.crank(opposite, tilt(opposite)) {
            far = far.add(crank);
        }
        layers.push(far);
        layers.push(machine.wheels());
        layers.push(machine.fork());
        layers.push(machine.frame());
        layers.push(machine.post(self.position));
        layers.push(machine.saddle(self.position));
        layers.push(machine.cockpit(self.lever_gap()));
        layers.extend(machine.chain());
        layers.extend(machine.crank(self.crank_angle, tilt(self.crank_angle)));
        if self.shows_all() {
            layers.push(self.rider());
            layers.push(self.joints());
        }
        layers
    }

    /// The lever gap to draw: the one to set, or a usual one where the file gives no range.
    fn lever_gap(&self) -> Option<f64> {
        const USUAL_MM: f64 = 60.0;
        self.machine
            .has_hand_lever()
            .then(|| self.fit().setting.lever_gap_mm.unwrap_or(USUAL_MM))
    }

    /// The other leg, half a turn of the cranks away.
    fn far_leg(&self, crank_angle: f64) -> Option<LegPose> {
        self.leg?;
        let cranks = self.bike().spec.cranks.as_ref()?;
        let leg = Leg::new(&self.fit().body, cranks);
        Some(LegPose {
            hip: self.hip,
            knee: leg.knee(self.hip, crank_angle).ok()?,
            ankle: leg.ankle(crank_angle),
            ball: leg.ball(crank_angle),
        })
    }

    fn rider(&self) -> Group {
        let mut rider = group("rider").add(self.figure.trunk(self.hip, self.shoulder));
        if let Some(leg) = self.leg {
            rider = rider.add(self.figure.leg(leg));
        }
        if let Some(arm) = self.arm {
            rider = rider.add(self.figure.arm(self.shoulder, arm));
        }
        rider
    }

    /// Joints, and dashed limbs where the pose has none: stretched towards what they do not reach.
    fn joints(&self) -> Group {
        let body = &self.fit().body;
        let mut drawn = group("rider-joints");
        let stretched = |from: Point, to: Point, length: f64| {
            from + (to - from).normalize() * length.min((to - from).norm())
        };
        if let Some(leg) = self.leg {
            let joints = [self.hip, leg.knee, leg.ankle, leg.ball];
            drawn = drawn.add(self.figure.joints(&joints));
        } else {
            let below = Point::new(self.hip.x, self.bike().layout.ground_y);
            let aim = self.machine.pedal(self.crank_angle).unwrap_or(below);
            let foot = stretched(self.hip, aim, body.thigh_mm + body.shank_mm);
            drawn = drawn.add(self.figure.ghost(self.hip, foot));
        }
        if let Some(arm) = self.arm {
            drawn = drawn
                .add(self.figure.joints(&[self.hip, self.shoulder]))
                .add(self.figure.joints(&[self.shoulder, arm.elbow, arm.hand]));
        } else {
            let grip = self.bike().layout.points.grip;
            let hand = stretched(self.shoulder, grip, body.upper_arm_mm + body.forearm_mm);
            drawn = drawn.add(self.figure.ghost(self.shoulder, hand));
        }
        drawn
    }
}
