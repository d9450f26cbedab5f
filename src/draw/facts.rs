//! What pictures read of a bike and of a fit: the one place that knows where either keeps it.
//! Nothing is judged or measured here that the fit has not found.
//! How it is drawn or said is everything else's business.

use std::borrow::Cow;
use std::f64::consts::PI;

use crate::advice::stop::{Stop, failing};
use crate::bike::drawing::Drawing;
use crate::bike::layout::BikePoints;
use crate::bike::{Bike, BrakeKind, Figure, FrameSpec, Given, Style};
use crate::cautions::CAUTIONS;
use crate::draw::sign::Sign;
pub(super) use crate::fit::CheckId;
use crate::fit::checks::ground_contact::Contact;
use crate::fit::leg::foot_pitch;
use crate::fit::pair::LegJoints;
use crate::fit::setting::{SaddleBand, Setting};
use crate::fit::{Finding, Fit, Pair, Status, Verdict};
use crate::plane::{Point, Vector, direction};
use crate::rider::{Body, Measurement, Stage};
use crate::units::{Length, Units};
use crate::words::{percent, sentence};

/// The air between crotch and top tube.
pub(super) const STANDOVER_CLEARANCE: &str = "standover clearance";

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

    pub(super) fn drawing(self) -> &'a Drawing {
        &self.bike.drawing
    }

    pub(super) fn is_trail(self) -> bool {
        self.bike.spec.style == Style::Trail
    }

    pub(super) fn points(self) -> &'a BikePoints {
        &self.bike.layout.points
    }

    pub(super) fn ground_y(self) -> f64 {
        self.bike.layout.ground_y
    }

    pub(super) fn wheel_radius_front_mm(self) -> f64 {
        self.bike.layout.wheel_radius_front_mm
    }

    pub(super) fn wheel_radius_rear_mm(self) -> f64 {
        self.bike.layout.wheel_radius_rear_mm
    }

    /// The straddle point on the top tube's upper edge, and its height above ground, mm.
    /// None where nobody measured it.
    pub(super) fn straddle(self) -> Option<(Point, f64)> {
        let layout = &self.bike.layout;
        let place = (layout.straddle, layout.standover_mm());
        self.bike.knows(Figure::Standover).then_some(place)
    }

    /// Keys of the drawing that nobody gave.
    fn assumed(self) -> &'a [&'static str] {
        let doubt = self.bike.doubt.as_ref();
        doubt.map_or(&[], |doubt| &doubt.assumed)
    }

    /// Whether any of it was not measured.
    pub(super) fn has_assumed(self) -> bool {
        !self.assumed().is_empty()
    }

    /// Whether a part, by its section in the frame file, was not fully measured.
    pub(super) fn is_assumed(self, part: &str) -> bool {
        let section = |key: &str| key.split('.').next() == Some(part);
        self.assumed().iter().any(|key| section(key))
    }

    /// Whether a figure is as well known as a tape gives it.
    pub(super) fn knows(self, figure: Figure) -> bool {
        self.bike.knows(figure)
    }

    /// Whether the grips are where they are drawn.
    pub(super) fn knows_grip(self) -> bool {
        self.bike.knows(Figure::GripAhead) && self.bike.knows(Figure::GripHeight)
    }

    /// What is missing where the length of the cranks is not known.
    pub(super) fn lacks_cranks(self) -> Option<Cow<'static, str>> {
        const CRANKS: &str = "cranks.length";
        self.bike.assumes(CRANKS).then(|| self.bike.lacks(CRANKS))
    }

    /// The first figure of the saddle's range that nobody measured well enough, by its key, in words.
    pub(super) fn unknown_of_range(self) -> Option<Cow<'static, str>> {
        [Figure::SeatHeightLowest, Figure::SeatHeightHighest]
            .into_iter()
            .find(|figure| !self.bike.knows(*figure))
            .map(|figure| self.bike.lacks(figure.path(Given::Measured)))
    }

    /// Whether the post's mark is where it is drawn.
    pub(super) fn knows_mark(self) -> bool {
        self.bike.knows_mark()
    }

    /// Unit vector down the steering axis.
    pub(super) fn steering_down(self) -> Vector {
        self.bike.layout.steering.down
    }

    /// Whether a hand works a lever on this bike.
    pub(super) fn has_hand_lever(self) -> bool {
        self.bike.spec.brakes.as_ref().is_some_and(|brakes| {
            [&brakes.front, &brakes.rear]
                .iter()
                .any(|brake| brake.kind == BrakeKind::Hand)
        })
    }

    /// Whether anything is known of a top tube.
    pub(super) fn has_top_tube(self) -> bool {
        self.bike.doubt.is_none() || self.straddle().is_some()
    }

    /// Usual sizes where the file has none, mm (common practice).
    pub(super) fn grip_diameter_mm(self) -> f64 {
        let diameter = self.bike.spec.cockpit.handlebar.grip_diameter;
        diameter.map_or(30.0, Length::mm)
    }

    /// Travel of the fork; 0 where it is rigid or not said.
    pub(super) fn fork_travel_mm(self) -> f64 {
        self.bike.spec.fork.travel.map_or(0.0, Length::mm)
    }

    // Places along the post's line, mm from bracket height.

    /// Where the post's line crosses bracket height.
    pub(super) fn post_foot(self) -> Point {
        self.bike.layout.post.foot
    }

    /// Unit vector up the post.
    pub(super) fn post_up(self) -> Vector {
        self.bike.layout.post.up
    }

    pub(super) fn on_post(self, along: f64) -> Point {
        self.bike.layout.post.saddle_top(along)
    }

    pub(super) fn sit(self, position: f64) -> Point {
        self.bike.layout.post.sit(position)
    }

    /// Lowest and highest position that the post permits.
    pub(super) fn post_range(self) -> [f64; 2] {
        [
            self.bike.layout.post.lowest_mm,
            self.bike.layout.post.highest_mm,
        ]
    }

    /// Lowest and highest saddle that the post permits, as it is told, mm.
    pub(super) fn saddle_heights_mm(self) -> [f64; 2] {
        self.post_range()
            .map(|position| self.bike.layout.told_mm(position))
    }

    /// Rail clamp of the saddle, which is the post's upper end.
    pub(super) fn post_top(self, position: f64) -> f64 {
        position - (self.bike.layout.post.bare_mm - self.seat_tube_mm())
    }

    /// The post's lower end.
    pub(super) fn post_bottom(self, position: f64) -> f64 {
        self.post_top(position) - self.bike.layout.post.post_mm
    }

    /// Where the minimum-insertion mark lies.
    pub(super) fn mark_at(self, position: f64) -> f64 {
        self.post_bottom(position) + self.minimum_insertion_mm()
    }

    pub(super) fn minimum_insertion_mm(self) -> f64 {
        self.bike.layout.post.minimum_insertion_mm
    }

    pub(super) fn seat_tube_mm(self) -> f64 {
        self.bike.drawing.seat_tube_length_mm
    }

    /// Position for a saddle as it is told, mm.
    pub(super) fn position_at(self, told_mm: f64) -> f64 {
        // A tape shorter than any saddle's way ends at the bracket.
        self.bike.layout.position_told(told_mm).unwrap_or_default()
    }

    /// Whether the saddle is told from the ground.
    pub(super) fn tells_saddle_from_ground(self) -> bool {
        self.bike.tells_saddle_from_ground()
    }

    /// Whether there is a bracket to measure from.
    pub(super) fn has_cranks(self) -> bool {
        self.bike.layout.crank.is_some()
    }

    /// Pedal axle at a crank angle, radians from the top, clockwise.
    pub(super) fn pedal(self, crank_angle: f64) -> Option<Point> {
        let length = self.bike.layout.crank?.length_mm;
        Some(Point::from(direction(PI / 2.0 - crank_angle) * length))
    }
}

/// The caution for where there is room for one line only.
pub(super) fn caution() -> &'static str {
    CAUTIONS.first().copied().unwrap_or_default()
}

/// What one check found.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found<'a> {
    pub(super) check: CheckId,
    pub(super) sign: Sign,
    /// The missing key, where it was not checked.
    pub(super) needs: Option<&'static str>,
    pub(super) value: Option<f64>,
    pub(super) sd: Option<f64>,
    finding: Finding,
    fit: &'a Fit,
}

impl<'a> Found<'a> {
    fn of(fit: &'a Fit, finding: Finding) -> Self {
        let needs = match finding.status() {
            Status::NotChecked(missing) => Some(missing.what),
            _ => None,
        };
        Self {
            check: finding.id,
            sign: finding.sign(),
            needs,
            value: finding.measure.value,
            sd: finding.odds.and_then(|odds| odds.sd),
            finding,
            fit,
        }
    }

    /// What its figure is called: in a picture the standover itself is another, the top tube's height.
    pub(super) fn title(&self) -> String {
        match self.check {
            CheckId::Standover => STANDOVER_CLEARANCE.to_owned(),
            check => check.title(),
        }
    }

    /// What is missing where it was not checked, in words.
    pub(super) fn wants(&self) -> Option<String> {
        Some(format!("needs {}", self.fit.bike.lacks(self.needs?)))
    }

    /// One plain sentence.
    pub(super) fn advice(&self, units: Units) -> String {
        self.fit.advice(&self.finding, units)
    }

    /// The value for people.
    pub(super) fn figure(&self, units: Units) -> Option<String> {
        self.finding.measured(units)
    }

    /// Title, figure and wanted range of a failure.
    pub(super) fn against(&self, units: Units) -> String {
        let figure = self.figure(units).map(|figure| format!(" {figure}"));
        let wanted = self.wanted(units).map(|wanted| format!(", {wanted}"));
        format!(
            "{}{}{}",
            self.title(),
            figure.unwrap_or_default(),
            wanted.unwrap_or_default()
        )
    }

    /// A length with its standard deviation, mm.
    pub(super) fn length_within(&self, sd_mm: f64, units: Units) -> Option<String> {
        self.finding.told().length_within(sd_mm, units)
    }

    /// The wanted range in few words.
    pub(super) fn wanted(&self, units: Units) -> Option<String> {
        Some(format!("wanted {}", self.finding.wanted(units)?))
    }
}

/// A rider on a bike, as the fit found them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ride<'a> {
    pub(super) machine: Machine<'a>,
    fit: &'a Fit,
}

impl<'a> Ride<'a> {
    pub(super) fn new(fit: &'a Fit) -> Self {
        Self {
            machine: Machine::new(&fit.bike),
            fit,
        }
    }

    fn pair(self) -> Pair<'a> {
        self.fit.pair()
    }

    pub(super) fn setting(self) -> Setting {
        self.pair().setting()
    }

    pub(super) fn bike_name(self) -> &'a str {
        self.machine.name()
    }

    pub(super) fn rider_title(self) -> String {
        self.fit.rider.title()
    }

    pub(super) fn body(self) -> &'a Body {
        &self.fit.body
    }

    /// The stage that the fit was judged at: without cranks it is always the first.
    pub(super) fn stage(self) -> Stage {
        self.fit.pose.stage
    }

    /// The measurements that the fit rests on, estimates marked, and the stage.
    pub(super) fn measurements(self, units: Units) -> String {
        format!("{}, stage {}", self.lengths(units), self.stage())
    }

    /// The same without the stage.
    pub(super) fn lengths(self, units: Units) -> String {
        let rider = &self.fit.rider;
        let shown = |name: &str, measurement| format!("{name} {}", rider.told(measurement, units));
        [
            shown("inseam", Measurement::Inseam),
            shown("height", Measurement::Height),
            shown("arm reach", Measurement::ArmReach),
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
        Sign::of_verdict(self.fit.verdict)
    }

    /// How sure the verdict is, where an undecided one leans or that it depends on the age, in whole percent that never
    /// round up to certainty; None where figures were taken as exact, and where too little is known for any.
    pub(super) fn sureness(self) -> Option<String> {
        let chance = percent(self.fit.chance()?);
        match self.fit.verdict {
            Verdict::Incomplete => None,
            Verdict::Undecided if self.fit.turns_on_age() => Some("depends on the age".to_owned()),
            Verdict::Undecided => {
                let leans = self.fit.leans().word().replace('-', " ");
                Some(format!("{chance} % {leans}"))
            }
            _ => {
                let (word, proviso) = (self.fit.confidence()?.word(), self.fit.proviso());
                Some(format!("{word}, {chance} %{proviso}"))
            }
        }
    }

    /// Why the pair gets no work order, in the words of every report; None where it fits.
    pub(super) fn reason(self, units: Units) -> Option<String> {
        Some(sentence(&Stop::of(self.fit)?.reason(self.fit, units)))
    }

    /// Cautions and checks of safety that could not be made, by name.
    pub(super) fn to_read(self) -> Option<String> {
        let named = |heading: &str, sign: Sign| {
            let found = self.fit.to_read();
            let found = found.filter(|found| Sign::of(found.status()) == sign);
            let names: Vec<_> = found.map(|found| found.id.title()).collect();
            (!names.is_empty()).then(|| format!("{heading}: {}.", names.join(", ")))
        };
        let said = [
            named("Caution", Sign::Caution),
            named("Not checked", Sign::Unknown),
        ];
        let said: Vec<_> = said.into_iter().flatten().collect();
        (!said.is_empty()).then(|| said.join(" "))
    }

    /// Whether there is anything to set: only a pair that fits gets settings.
    pub(super) fn fits(self) -> bool {
        self.fit.verdict.fits()
    }

    pub(super) fn findings(self) -> impl Iterator<Item = Found<'a>> {
        let fit = self.fit;
        fit.findings().map(|finding| Found::of(fit, finding))
    }

    /// The sign that heads the picture beside what fails first: the verdict's of a pair that is ruled out, else the
    /// finding's own.
    pub(super) fn heading_sign(self, first: &Found<'_>) -> Sign {
        match self.verdict_sign() {
            Sign::Fail => Sign::Fail,
            _ => first.sign,
        }
    }

    /// What fails, what decides first.
    pub(super) fn failures(self) -> impl Iterator<Item = Found<'a>> {
        let fit = self.fit;
        failing(fit)
            .into_iter()
            .map(|finding| Found::of(fit, finding))
    }

    pub(super) fn finding(self, check: CheckId) -> Option<Found<'a>> {
        let finding = self.fit.finding(check)?;
        Some(Found::of(self.fit, finding))
    }

    pub(super) fn fails(self, check: CheckId) -> bool {
        self.finding(check)
            .is_some_and(|found| found.sign == Sign::Fail)
    }

    // What to set, mm.

    /// Saddle position along the post's line.
    pub(super) fn position(self) -> f64 {
        self.fit.pose.position
    }

    pub(super) fn saddle_height_mm(self) -> f64 {
        self.setting().saddle_height_mm
    }

    pub(super) fn saddle_height_sd_mm(self) -> Option<f64> {
        self.fit.odds?.saddle_height_sd_mm
    }

    pub(super) fn seat_height_mm(self) -> f64 {
        self.setting().seat_height_mm
    }

    /// None where post or tube are assumed.
    pub(super) fn exposed_post_mm(self) -> Option<f64> {
        self.setting().exposed_post_mm
    }

    /// What to set, in one sentence without its stop.
    pub(super) fn set_in_words(self, units: Units) -> String {
        let set = self.setting();
        let showing = self.exposed_post_mm().map_or_else(String::new, |shows| {
            format!(", post showing {}", set.length(units, shows))
        });
        let seat = set.length(units, self.seat_height_mm());
        if self.machine.tells_saddle_from_ground() {
            format!("Seat height {seat}{showing}")
        } else {
            let saddle = set.length(units, self.saddle_height_mm());
            format!("Saddle height {saddle}, seat height {seat}{showing}")
        }
    }

    /// Along the drawn post, whether or not it is the bike's own.
    pub(super) fn insertion_mm(self) -> f64 {
        let pair = self.pair();
        pair.layout.post.insertion_mm(pair.pose.position)
    }

    /// What the lever is called whose gap is drawn: the one that suits least.
    pub(super) fn lever_name(self) -> String {
        let lever = self.pair().worst_lever();
        lever.map_or_else(|| "lever".to_owned(), |lever| lever.name())
    }

    pub(super) fn lever_gap_mm(self) -> Option<f64> {
        self.setting().lever_gap_mm
    }

    /// The stage's saddle band, before the post's limits.
    pub(super) fn band(self) -> Option<SaddleBand> {
        self.pair().saddle_band()
    }

    // The pose.

    pub(super) fn hip(self) -> Point {
        self.fit.pose.hip
    }

    pub(super) fn shoulder(self) -> Option<Point> {
        Some(self.fit.pose.trunk.ok()?.shoulder)
    }

    /// Elbow and hand.
    pub(super) fn arm(self) -> Option<[Point; 2]> {
        let trunk = self.fit.pose.trunk.ok()?;
        Some([trunk.elbow, self.machine.points().grip])
    }

    /// Knee, ankle and ball of the foot.
    pub(super) fn leg(self) -> Option<[Point; 3]> {
        self.pair().shown_leg().map(joints)
    }

    /// The same of the other leg, half a turn of the cranks away.
    pub(super) fn far_leg(self) -> Option<[Point; 3]> {
        self.leg()?;
        self.pair().leg_at(self.far_crank_angle()).map(joints)
    }

    /// The knee where it comes nearest to the grip over the turn; None where no leg goes round.
    pub(super) fn knee_nearest_grip(self) -> Option<Point> {
        const STEPS: u8 = 72;
        let grip = self.machine.points().grip;
        let turn = (0..STEPS).map(|step| f64::from(step) * 2.0 * PI / f64::from(STEPS));
        let knees = turn.filter_map(|angle| Some(self.pair().leg_at(angle)?.knee));
        knees.min_by(|a, b| (a - grip).norm().total_cmp(&(b - grip).norm()))
    }

    /// Radians from the top; without a pose the crank hangs straight down.
    pub(super) fn crank_angle(self) -> f64 {
        let farthest = self.fit.pose.farthest;
        farthest.map_or(PI, |farthest| farthest.crank_angle)
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
        self.pair().torso_lean_deg()
    }

    /// Least and most knee flexion over the turn.
    pub(super) fn knee_flexion_deg(self) -> Option<(f64, Option<f64>)> {
        let pair = self.pair();
        Some((pair.knee_flexion_min_deg()?, pair.knee_flexion_max_deg()))
    }

    /// Whether the saddle stands at full leg height, where the cranks are judged.
    pub(super) fn is_at_leg_height(self) -> bool {
        const SAME_MM: f64 = 1.0;
        let extension = self.fit.pose.extension;
        extension.is_some_and(|along| (along - self.position()).abs() <= SAME_MM)
    }

    /// What touches the ground from the saddle.
    pub(super) fn contact(self) -> Contact {
        Contact::at(self.pair().saddle_over_inseam_mm(self.position()))
    }
}

fn joints(leg: LegJoints) -> [Point; 3] {
    [leg.knee, leg.ankle, leg.ball]
}
