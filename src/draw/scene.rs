//! A bike and whoever sits on it, laid out at one scale, and where upright dimensions stand beside them.
//! Draws bodies from the far side to the near one; joints where the fit puts them.
//! Dimensions and words are the pictures'.

use std::f64::consts::PI;

use crate::draw::element::Element;

use crate::draw::bicycle::{Bicycle, Stance, extent};
use crate::draw::callout::{Callout, NOT_CHECKED, Note, Side, Tie};
use crate::draw::facts::{CheckId, Found, Ride};
use crate::draw::figure::{ArmPose, Dress, Figure, LegPose, ground_leg};
use crate::draw::page::Page;
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::group;
use crate::draw::view::{Extent, View};
use crate::plane::{Point, direction};
use crate::rider::Stage;
use crate::units::Units;

/// What a scene is made of.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cast<'a> {
    pub(super) ride: Ride<'a>,
    pub(super) units: Units,
    /// Whether the rider is in it, or the bike alone.
    pub(super) has_rider: bool,
}

impl<'a> Cast<'a> {
    fn figure(&self, view: View) -> Figure<'a> {
        Figure {
            body: self.ride.body(),
            view,
            dress: Dress::Riding,
        }
    }

    /// The room that it takes, bike mm.
    pub(super) fn extent(&self) -> Extent {
        let bike = extent(self.ride.machine);
        if !self.has_rider {
            return bike;
        }
        // Any view will do to learn the figure's size in bike millimetres.
        let rough = View::new(1.0, Spot::new(0.0, 0.0));
        let figure = self.figure(rough);
        bike.and(figure.extent(self.ride.hip(), shoulder(self.ride)))
    }
}

/// Everything laid out at one scale.
#[derive(Debug)]
pub(super) struct Scene<'a> {
    pub(super) cast: Cast<'a>,
    pub(super) ride: Ride<'a>,
    pub(super) machine: Bicycle<'a>,
    pub(super) figure: Figure<'a>,
    pub(super) shoulder: Point,
    /// Where the upright dimension behind the bike stands, mm of paper.
    pub(super) behind: f64,
    /// Where those ahead of it do.
    pub(super) ahead: f64,
}

impl<'a> Scene<'a> {
    /// As large as `room` permits.
    pub(super) fn fit(cast: Cast<'a>, room: Rect) -> Self {
        Self::at(cast, View::fit(cast.extent(), room))
    }

    /// At a scale and a place; upright dimensions stand at the edges.
    pub(super) fn at(cast: Cast<'a>, view: View) -> Self {
        let ride = cast.ride;
        let place = view.place(cast.extent());
        Self {
            cast,
            ride,
            machine: Bicycle {
                machine: ride.machine,
                view,
            },
            figure: cast.figure(view),
            shoulder: shoulder(ride),
            behind: place.x,
            ahead: place.right(),
        }
    }

    pub(super) fn view(&self) -> View {
        self.machine.view
    }

    pub(super) fn units(&self) -> Units {
        self.cast.units
    }

    pub(super) fn shows_all(&self) -> bool {
        self.cast.has_rider
    }

    pub(super) fn spot(&self, point: Point) -> Spot {
        self.view().spot(point)
    }

    pub(super) fn ground_y(&self) -> f64 {
        self.spot(Point::new(0.0, self.ride.machine.ground_y())).y
    }

    /// The saddle's top on the post's axis, as set.
    pub(super) fn saddle_top(&self) -> Spot {
        self.spot(self.ride.machine.on_post(self.ride.position()))
    }

    /// The crotch's height above the ground, in shoes.
    pub(super) fn crotch_y(&self) -> f64 {
        let above = self.ride.machine.ground_y() + self.ride.body().inseam_in_shoes_mm();
        self.spot(Point::new(0.0, above)).y
    }

    /// Class of what belongs to a check: whether it fails.
    pub(super) fn tone(&self, check: CheckId) -> &'static str {
        if self.shows_all() && self.ride.fails(check) {
            "failing"
        } else {
            ""
        }
    }

    /// Whether what to set is shown: a pair that does not fit gets no settings.
    pub(super) fn shows_settings(&self) -> bool {
        !self.shows_all() || self.ride.fits()
    }

    /// A call-out of a length.
    pub(super) fn length(&self, side: Side, name: &str, mm: f64, tie: Tie) -> Callout {
        Callout {
            side,
            name: name.to_owned(),
            figure: self.units().length(mm),
            note: None,
            tie,
        }
    }

    /// A call-out of a length to set: see [`Setting::shown_mm`].
    pub(super) fn length_to_set(&self, side: Side, name: &str, mm: f64, tie: Tie) -> Callout {
        let shown = self.ride.setting().shown_mm(self.units(), mm);
        self.length(side, name, shown, tie)
    }

    /// A call-out of a length with its standard deviation, where it has one.
    pub(super) fn doubtful_length(
        &self,
        side: Side,
        name: &str,
        mm: f64,
        sd_mm: Option<f64>,
        tie: Tie,
    ) -> Callout {
        let units = self.units();
        let plain = self.length(side, name, mm, tie);
        match sd_mm.filter(|_| self.shows_all()) {
            Some(sd) => Callout {
                figure: format!("{} ± {}", units.bare(mm), units.length(sd)),
                ..plain
            },
            None => plain,
        }
    }

    /// A call-out of what a check measured, beside its limit as the text has it; `mm` where it measured nothing.
    pub(super) fn checked_length(
        &self,
        side: Side,
        name: &str,
        found: Option<Found<'_>>,
        mm: f64,
        tie: Tie,
    ) -> Callout {
        let units = self.units();
        let plain = self.length(side, name, mm, tie);
        let figure = found
            .filter(|_| self.shows_all())
            .and_then(|found| match found.sd {
                Some(sd) => found.length_within(sd, units),
                None => found.figure(units),
            });
        Callout {
            figure: figure.unwrap_or(plain.figure),
            ..plain
        }
    }

    /// A figure that a check rests on; where the check lacks what it needs, the drawing's own is nobody's.
    pub(super) fn checked(&self, check: CheckId, figure: String) -> String {
        match self.ride.finding(check) {
            Some(found) if found.needs.is_some() => NOT_CHECKED.to_owned(),
            _ => figure,
        }
    }

    /// How one check came out, as a call-out's last line.
    pub(super) fn outcome(&self, check: CheckId) -> Option<Note> {
        self.note(self.ride.finding(check).filter(|_| self.shows_all())?)
    }

    /// See [`Self::outcome`].
    pub(super) fn note(&self, found: Found<'_>) -> Option<Note> {
        Some(match found.wants() {
            Some(wants) => Note::not_checked(wants),
            None => Note::signed(found.sign, found.wanted(self.units())?),
        })
    }

    /// Bike and rider, from the far side to the near side.
    pub(super) fn bodies(&self, page: &mut Page) {
        let (ride, machine) = (self.ride, &self.machine);
        // Nobody's foot tilts a pedal on the stand.
        let (near, away, tilt) = if self.shows_all() {
            let (near, away) = (ride.crank_angle(), ride.far_crank_angle());
            (near, away, [near, away].map(|angle| ride.pedal_tilt(angle)))
        } else {
            (PI, 0.0, [0.0; 2])
        };
        let mut far = group("far");
        if self.shows_all()
            && let Some(leg) = ride.far_leg()
        {
            far = far.add(self.figure.leg(self.leg_pose(leg)));
        }
        if let Some(crank) = machine.crank(away, tilt[1]) {
            far = far.add(crank);
        }
        page.add(far);
        machine.put(
            page,
            Stance {
                position: ride.position(),
                lever_gap_mm: self.lever_gap(),
                crank_angle: near,
                pedal_tilt: tilt[0],
            },
        );
        if self.shows_all() {
            page.add(self.rider());
            page.add(self.joints());
        }
    }

    /// The lever gap to draw: the one to set, or a usual one where the file gives no range.
    pub(super) fn lever_gap(&self) -> Option<f64> {
        const USUAL_MM: f64 = 60.0;
        self.ride
            .machine
            .has_hand_lever()
            .then(|| self.ride.lever_gap_mm().unwrap_or(USUAL_MM))
    }

    fn leg_pose(&self, [knee, ankle, ball]: [Point; 3]) -> LegPose {
        LegPose {
            hip: self.ride.hip(),
            knee,
            ankle,
            ball,
        }
    }

    fn rider(&self) -> Element {
        let ride = self.ride;
        let mut rider = group("rider").add(self.figure.trunk(ride.hip(), self.shoulder));
        if let Some(leg) = ride.leg() {
            rider = rider.add(self.figure.leg(self.leg_pose(leg)));
        }
        if let Some([elbow, hand]) = ride.arm() {
            rider = rider.add(self.figure.arm(self.shoulder, ArmPose { elbow, hand }));
        }
        rider
    }

    /// The leg that reaches for the ground, where feet stand on it from the saddle and are on pedals meanwhile.
    pub(super) fn ghost(&self) -> Option<LegPose> {
        let ride = self.ride;
        let is_planted = matches!(ride.stage(), Stage::Learning | Stage::Steady);
        (self.shows_all() && is_planted && ride.machine.pedal(0.0).is_some())
            .then(|| {
                ground_leg(
                    ride.body(),
                    ride.hip(),
                    ride.machine.ground_y(),
                    ride.contact(),
                )
            })
            .flatten()
    }

    /// Joints, the leg to the ground, and limbs that reach nothing: stretched towards it, dashed.
    fn joints(&self) -> Element {
        let (ride, body) = (self.ride, self.ride.body());
        let hip = ride.hip();
        let mut drawn = group("rider-joints");
        let stretched = |from: Point, to: Point, length: f64| {
            from + (to - from).normalize() * length.min((to - from).norm())
        };
        if let Some(pose) = self.ghost() {
            drawn = drawn.add(self.figure.ghost_leg(pose));
        }
        if let Some([knee, ankle, ball]) = ride.leg() {
            drawn = drawn.add(self.figure.joints(&[hip, knee, ankle, ball]));
        } else {
            let below = Point::new(hip.x, ride.machine.ground_y());
            let aim = ride.machine.pedal(ride.crank_angle()).unwrap_or(below);
            let foot = stretched(hip, aim, body.thigh_mm + body.shank_mm);
            drawn = drawn.add(self.figure.out_of_reach(hip, foot));
        }
        if let Some([elbow, hand]) = ride.arm() {
            drawn = drawn
                .add(self.figure.joints(&[hip, self.shoulder]))
                .add(self.figure.joints(&[self.shoulder, elbow, hand]));
        } else {
            let grip = ride.machine.points().grip;
            let hand = stretched(self.shoulder, grip, body.upper_arm_mm + body.forearm_mm);
            drawn = drawn.add(self.figure.out_of_reach(self.shoulder, hand));
        }
        drawn
    }

    /// Head, trunk and hip on paper; None without a rider.
    pub(super) fn upper_body(&self) -> Option<Rect> {
        let extent = self.figure.extent(self.ride.hip(), self.shoulder);
        self.cast.has_rider.then(|| self.view().place(extent))
    }

    /// Grip, lever and the hand on it on paper.
    pub(super) fn hands(&self) -> Rect {
        const AROUND: f64 = 110.0;
        let grip = self.ride.machine.points().grip;
        self.view().place(Extent::around(grip, AROUND))
    }

    /// What the drawing fills on paper, the rider included.
    pub(super) fn place(&self) -> Rect {
        self.view().place(self.cast.extent())
    }
}

/// The shoulder of the pose, or of an upper body that reaches no grips.
fn shoulder(ride: Ride<'_>) -> Point {
    const UNPOSED_LEAN_DEG: f64 = 78.0;
    ride.shoulder().unwrap_or_else(|| {
        ride.hip() + direction(UNPOSED_LEAN_DEG.to_radians()) * ride.body().torso_mm
    })
}
