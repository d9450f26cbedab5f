//! What a frame file says: one bike in one size, every key with its unit, range and meaning.
//! Only reading and the contradictions that need no geometry; where the parts lie is `layout`.
//! The same table makes the reader, the writer and the JSON Schema.

use crate::bike::drawing::CLAMP_NEEDS_MM;
use crate::bike::figure::{Figure, Figures, Given, Reading};
use crate::bike::parts::{BrakeKind, Parts};
use crate::bike::torque::PrintedTorque;
use crate::bike::tyre::TyreSize;
use crate::file::{Named, Problem, Toggle, section};
use crate::units::{Angle, Length, Mass, Pressure};
use crate::words::{choice, tidy};

/// What a whole bike may weigh, kg.
pub(super) const WEIGHT_KG: std::ops::RangeInclusive<f64> = 1.0..=40.0;

choice! {
    /// What the bike is built for.
    pub enum Style {
        /// No pedals: the rider walks and glides.
        Balance = "balance",
        /// Paved and unpaved ways.
        Street = "street",
        /// Trails.
        Trail = "trail",
    }
}

choice! {
    /// The tube's valve.
    pub enum Valve {
        /// The slim valve with a lock nut.
        Presta = "presta",
        /// The car valve.
        Schrader = "schrader",
    }
}

section! {
    /// One bike in one size: a whole frame file.
    pub struct FrameSpec {
        /// What the bike is called on the rack.
        name: String, ();
        /// What it is built for: balance, street or trail.
        style: Style, ();
        /// The frame.
        frame: Frame = Frame::default(), ();
        /// The fork.
        fork: Fork = Fork::default(), ();
        /// The tyres.
        tyres: Tyres, ();
        /// Stem and handlebar.
        cockpit: Cockpit = Cockpit::default(), ();
        /// The saddle.
        saddle: Saddle = Saddle::default(), ();
        /// The seat post.
        seat_post: SeatPost = SeatPost::default(), ();
        /// Cranks and pedals; left out on a balance bike.
        cranks: Option<Cranks>, ();
        /// The brakes.
        brakes: Option<Brakes>, ();
        /// What kinds of parts it has, for the work lists.
        parts: Option<Parts>, ();
        /// Weight of the whole bike.
        weight: Option<Mass>, WEIGHT_KG;
        /// Most weight of rider and bag that the maker allows.
        load_limit: Option<Mass>, 10.0..=250.0;
        /// Price, any currency; for the cost per month of fit.
        price: Option<f64>, 0.0..=1_000_000.0;
        /// How many alike the fleet has; one where it is left out.
        count: Option<u32>, 1..=1000;
        /// Figures from the maker's chart: they fill in what is not drawn, and are held against what is.
        published: Option<Box<Figures>>, ();
        /// Figures taken off the built bike: they fill in what is not drawn, and are held against what is.
        measured: Option<Box<Figures>>, ();
        /// Torque printed on a part, one figure or a range, by part; it wins over the practice value.
        torque: Named<PrintedTorque>, 0.2..=90.0;
    }
}

section! {
    /// The frame's geometry. A balance bike without a bottom bracket is measured from where the
    /// seat-tube axis meets the rear-axle line.
    #[derive(Default)]
    pub struct Frame {
        /// Height of the head-tube top above the bottom bracket.
        stack: Option<Length>, 120.0..=800.0;
        /// Distance of the head-tube top ahead of the bottom bracket.
        reach: Option<Length>, 80.0..=600.0;
        /// Bottom bracket to rear axle, straight.
        chainstay: Option<Length>, 120.0..=600.0;
        /// Rear-axle height minus bottom-bracket height; negative when the bracket is above the axle.
        bottom_bracket_drop: Option<Length>, -200.0..=120.0;
        /// The seat tube.
        seat_tube: SeatTube = SeatTube::default(), ();
        /// The head tube.
        head_tube: HeadTube = HeadTube::default(), ();
        /// The top tube; without it standover is assumed with its doubt, or asked for.
        top_tube: TopTube = TopTube::default(), ();
    }
}

section! {
    /// The seat tube.
    #[derive(Default)]
    pub struct SeatTube {
        /// Angle of the axis from the horizontal.
        angle: Option<Angle>, 50.0..=85.0;
        /// Bottom-bracket height to the top of the tube, along the axis.
        length: Option<Length>, 40.0..=650.0;
        /// How deep a post can go into the tube.
        usable_depth: Option<Length>, 20.0..=650.0;
        /// Inner diameter, which is the post's outer diameter.
        diameter: Option<Length>, 18.0..=40.0;
        /// How far the axis passes ahead of the bottom bracket, at bracket height.
        offset: Option<Length>, -150.0..=150.0;
    }
}

section! {
    /// The head tube.
    #[derive(Default)]
    pub struct HeadTube {
        /// Angle of the steering axis from the horizontal.
        angle: Option<Angle>, 55.0..=85.0;
        /// Length along the steering axis.
        length: Option<Length>, 30.0..=300.0;
    }
}

section! {
    /// The top tube, as a straight line between its joints.
    #[derive(Default)]
    pub struct TopTube {
        /// Bottom-bracket height to the joint, along the seat-tube axis.
        seat_joint: Option<Length>, 0.0..=650.0;
        /// Head-tube top down to the joint, along the steering axis.
        head_joint: Option<Length>, -30.0..=400.0;
        /// Outer diameter.
        diameter: Option<Length>, 10.0..=120.0;
        /// Where the rider straddles, as a share of the way from seat joint to head joint.
        straddle: Option<f64>, 0.0..=1.0;
    }
}

section! {
    /// The fork.
    #[derive(Default)]
    pub struct Fork {
        /// Distance of the wheel axle ahead of the steering axis.
        offset: Option<Length>, -80.0..=100.0;
        /// Crown race to axle as published, cross-checked.
        axle_to_crown: Option<Length>, 100.0..=650.0;
        /// Suspension travel; 0 on a rigid fork.
        travel: Option<Length>, 0.0..=220.0;
        /// Whether an air spring carries the rider, with its pressures where the maker gives them.
        air_spring: Toggle<AirSpring>, ();
    }
}

section! {
    /// Pressures of an air spring as its maker gives them.
    pub struct AirSpring {
        /// Pressure recommended for the reference rider.
        reference_pressure: Pressure, 0.5..=25.0;
        /// Weight of the reference rider.
        reference_rider: Mass, 10.0..=150.0;
        /// Lowest permitted pressure.
        min: Pressure, 0.2..=25.0;
        /// Highest permitted pressure.
        max: Pressure, 0.5..=30.0;
    }
}

section! {
    /// The tyres, marked as ISO 5775 does: width-bead seat.
    pub struct Tyres {
        /// Front tyre.
        front: TyreSize, ();
        /// Rear tyre.
        rear: TyreSize, ();
        /// Lowest pressure printed on the sidewall.
        min_pressure: Option<Pressure>, 0.3..=9.0;
        /// Highest pressure printed on the sidewall.
        max_pressure: Option<Pressure>, 0.5..=12.0;
        /// The tubes' valves: presta or schrader.
        valve: Option<Valve>, ();
    }
}

section! {
    /// Stem and handlebar.
    #[derive(Default)]
    pub struct Cockpit {
        /// Everything between the head-tube top and the lower face of the stem clamp.
        spacers: Option<Length>, 0.0..=150.0;
        /// The stem.
        stem: Stem = Stem::default(), ();
        /// The handlebar.
        handlebar: Handlebar = Handlebar::default(), ();
    }
}

section! {
    /// The stem.
    #[derive(Default)]
    pub struct Stem {
        /// Steering axis to bar clamp, along the stem.
        length: Option<Length>, 0.0..=160.0;
        /// Rise above the perpendicular of the steering axis.
        angle: Option<Angle>, -40.0..=60.0;
        /// Height of the clamp on the steerer.
        clamp_height: Option<Length>, 10.0..=150.0;
    }
}

section! {
    /// The handlebar.
    #[derive(Default)]
    pub struct Handlebar {
        /// Height of the grips above the clamp.
        rise: Option<Length>, -80.0..=250.0;
        /// Distance of the grips behind the clamp.
        setback: Option<Length>, -80.0..=200.0;
        /// End to end.
        width: Option<Length>, 250.0..=900.0;
        /// Grip diameter.
        grip_diameter: Option<Length>, 15.0..=45.0;
    }
}

section! {
    /// The saddle.
    #[derive(Default)]
    pub struct Saddle {
        /// Rail clamp (top of the post) to the sitting surface, vertically.
        stack: Option<Length>, 10.0..=120.0;
        /// Sit point behind the post axis.
        setback: Option<Length>, -80.0..=120.0;
        /// How far the saddle slides on its rails, either way.
        fore_aft: Option<Length>, 0.0..=60.0;
        /// Width at the widest.
        width: Option<Length>, 60.0..=300.0;
        /// Nose to tail.
        length: Option<Length>, 80.0..=350.0;
    }
}

section! {
    /// The seat post.
    #[derive(Default)]
    pub struct SeatPost {
        /// Lower end to rail clamp.
        length: Option<Length>, 60.0..=600.0;
        /// Lower end to the printed mark: this much must stay in the tube.
        minimum_insertion: Option<Length>, 20.0..=200.0;
    }
}

section! {
    /// Cranks and pedals.
    #[derive(Default)]
    pub struct Cranks {
        /// Bottom bracket to pedal axle.
        length: Option<Length>, 60.0..=190.0;
        /// Distance between the outer faces of the crank ends.
        q_factor: Option<Length>, 80.0..=260.0;
        /// Width of a pedal.
        pedal_width: Option<Length>, 40.0..=140.0;
        /// Thickness of a pedal.
        pedal_height: Option<Length>, 5.0..=50.0;
    }
}

section! {
    /// The brakes.
    pub struct Brakes {
        /// Front brake.
        front: Brake, ();
        /// Rear brake.
        rear: Brake, ();
    }
}

section! {
    /// One brake.
    pub struct Brake {
        /// How it is worked: hand, coaster or none.
        kind: BrakeKind, ();
        /// Outer lever face to outer grip face, over the range of the lever's adjuster.
        reach: Option<LeverReach>, ();
    }
}

section! {
    /// Range of a lever's reach adjuster.
    pub struct LeverReach {
        /// Screwed in fully.
        min: Length, 20.0..=120.0;
        /// Screwed out fully, which is how levers usually leave the box.
        max: Length, 20.0..=130.0;
    }
}

impl Style {
    /// Whether a tape finds the figure on such a bike.
    pub fn has(self, figure: Figure) -> bool {
        self != Self::Balance || !figure.is_from_crank()
    }
}

impl Brakes {
    /// The keys of the lever gaps that a hand has to reach over and that nobody measured.
    pub fn open_gaps(&self) -> impl Iterator<Item = &'static str> {
        [
            (&self.front, "brakes.front.reach"),
            (&self.rear, "brakes.rear.reach"),
        ]
        .into_iter()
        .filter(|(brake, _)| brake.kind == BrakeKind::Hand && brake.reach.is_none())
        .map(|(_, key)| key)
    }
}

/// A length in a message, mm.
fn told(length: Length) -> String {
    tidy(length.mm(), 1)
}

/// A pressure in a message, bar; another unit that it was written in leaves a tail of digits.
fn told_bar(pressure: Pressure) -> String {
    tidy(pressure.bar(), 3)
}

impl FrameSpec {
    /// Problems that make the file unusable and need no geometry to see.
    pub(crate) fn contradictions(&self) -> Vec<Problem> {
        let mut found = Vec::new();
        let frame = &self.frame;
        let rear_radius = self.tyres.rear.wheel_radius_mm();
        if let (Some(stay), Some(drop)) = (frame.chainstay, frame.bottom_bracket_drop)
            && stay.mm() <= drop.mm().abs()
        {
            let [drop, stay] = [drop, stay].map(told);
            found.push(Problem::at_key(
                "frame.bottom_bracket_drop",
                format!("found {drop} mm; it must be smaller than the chainstay, {stay} mm"),
            ));
        }
        if let Some(stay) = frame.chainstay.filter(|stay| stay.mm() <= rear_radius) {
            found.push(Problem::at_key(
                "frame.chainstay",
                format!(
                    "found {} mm; it must be longer than the rear wheel's radius, {rear_radius:.0} mm",
                    told(stay)
                ),
            ));
        }
        found.extend(self.joints_outside_their_tubes());
        found.extend(self.post_that_cannot_be());
        found.extend(self.saddles_upside_down());
        if let (Some(low), Some(high)) = (self.tyres.min_pressure, self.tyres.max_pressure)
            && low.bar() > high.bar()
        {
            found.push(Problem::at_key(
                "tyres.min_pressure",
                format!(
                    "found {} bar, above max_pressure {} bar",
                    told_bar(low),
                    told_bar(high)
                ),
            ));
        }
        if let Toggle::Detailed(spring) = &self.fork.air_spring
            && spring.min.bar() <= spring.max.bar()
            && !(spring.min.bar()..=spring.max.bar()).contains(&spring.reference_pressure.bar())
        {
            found.push(Problem::at_key(
                "fork.air_spring.reference_pressure",
                format!(
                    "found {} bar, outside min {} to max {} bar",
                    told_bar(spring.reference_pressure),
                    told_bar(spring.min),
                    told_bar(spring.max)
                ),
            ));
        }
        if let Toggle::Detailed(spring) = &self.fork.air_spring
            && spring.min.bar() > spring.max.bar()
        {
            found.push(Problem::at_key(
                "fork.air_spring.min",
                format!(
                    "found {} bar, above max {} bar",
                    told_bar(spring.min),
                    told_bar(spring.max)
                ),
            ));
        }
        if !matches!(self.fork.air_spring, Toggle::Off)
            && self.fork.travel.is_none_or(|travel| travel.mm() == 0.0)
        {
            found.push(Problem::at_key(
                "fork.travel",
                "is 0 mm or left out, but the fork has an air spring; give its travel",
            ));
        }
        if let Some(brakes) = &self.brakes {
            found.extend(brakes.contradictions(self.style != Style::Balance));
        }
        if let Some(parts) = &self.parts {
            let brakes = self.brakes.as_ref();
            let kinds = brakes.map(|brakes| [brakes.front.kind, brakes.rear.kind]);
            let is_balance = self.style == Style::Balance && self.cranks.is_none();
            found.extend(parts.contradictions(kinds, is_balance));
        }
        if self.cranks.is_some() && self.style == Style::Balance {
            found.push(Problem::at_key(
                "cranks",
                "a balance bike has none; leave them out or set style to street or trail",
            ));
        }
        found
    }
}

impl FrameSpec {
    /// Every figure of chart and tape, the chart's first.
    pub fn readings(&self) -> impl Iterator<Item = Reading> {
        let of = |figures: &Option<Box<Figures>>, given| {
            let readings = figures.as_ref().map(|figures| figures.readings(given));
            readings.into_iter().flatten().collect::<Vec<_>>()
        };
        of(&self.published, Given::Published)
            .into_iter()
            .chain(of(&self.measured, Given::Measured))
    }

    /// A saddle that is higher with its post right down than with the post at its mark.
    fn saddles_upside_down(&self) -> Vec<Problem> {
        let readings: Vec<_> = self.readings().collect();
        let value = |given, figure| {
            let mut mine = readings
                .iter()
                .filter(|reading| reading.given == given && reading.figure == figure);
            mine.next().map(|reading| reading.value)
        };
        let pairs = [
            (Figure::SeatHeightLowest, Figure::SeatHeightHighest),
            (Figure::SaddleHeightLowest, Figure::SaddleHeightHighest),
        ];
        [Given::Published, Given::Measured]
            .into_iter()
            .flat_map(|given| pairs.map(|(low, high)| (given, low, high)))
            .filter_map(|(given, low, high)| {
                let (lowest, highest) = (value(given, low)?, value(given, high)?);
                (lowest > highest).then(|| {
                    let [lowest, highest] = [lowest, highest].map(|mm| tidy(mm, 1));
                    Problem::at_key(
                        low.path(given),
                        format!(
                            "found {lowest} mm, above {} of {highest} mm; swap them or measure again",
                            high.key()
                        ),
                    )
                })
            })
            .collect()
    }

    fn joints_outside_their_tubes(&self) -> Vec<Problem> {
        let frame = &self.frame;
        let seat = (frame.top_tube.seat_joint, frame.seat_tube.length);
        let head = (frame.top_tube.head_joint, frame.head_tube.length);
        [
            ("frame.top_tube.seat_joint", "seat", seat),
            ("frame.top_tube.head_joint", "head", head),
        ]
        .into_iter()
        .filter_map(|(key, tube, (joint, length))| {
            let (joint, length) = (joint?.mm(), length?.mm());
            (!(0.0..=length).contains(&joint)).then(|| {
                let [joint, length] = [joint, length].map(|mm| tidy(mm, 1));
                Problem::at_key(
                    key,
                    format!("found {joint} mm; the {tube} tube is {length} mm long, and the joint lies on it"),
                )
            })
        })
        .collect()
    }

    fn post_that_cannot_be(&self) -> Vec<Problem> {
        let mut found = Vec::new();
        let (post, tube) = (&self.seat_post, &self.frame.seat_tube);
        if let (Some(depth), Some(length)) = (tube.usable_depth, tube.length) {
            // A tube that is bent passes the bracket by its offset, and may hold the post that much deeper.
            let most = length.mm() + tube.offset.map_or(0.0, |offset| offset.mm().abs());
            if depth.mm() > most {
                found.push(Problem::at_key(
                    "frame.seat_tube.usable_depth",
                    format!(
                        "found {} mm; the tube is {} mm long, so that a post goes {} mm deep at most",
                        told(depth),
                        told(length),
                        tidy(most, 1)
                    ),
                ));
            }
        }
        if let (Some(length), Some(mark)) = (post.length, post.minimum_insertion) {
            let depth = tube.usable_depth.map_or(f64::INFINITY, Length::mm);
            if (length.mm() - depth).max(CLAMP_NEEDS_MM) > length.mm() - mark.mm() {
                let tube = tube.usable_depth.map_or_else(String::new, |depth| {
                    format!(" inside a tube of {} mm usable depth", told(depth))
                });
                found.push(Problem::at_key(
                    "seat_post",
                    format!(
                        "a {} mm post cannot keep {} mm{tube} with its clamp clear; use a post that fits the tube",
                        told(length),
                        told(mark),
                    ),
                ));
            }
        }
        found
    }
}

impl Brakes {
    fn contradictions(&self, has_cranks: bool) -> Vec<Problem> {
        let mut found = Vec::new();
        for (key, brake) in [("brakes.front", &self.front), ("brakes.rear", &self.rear)] {
            if let Some(reach) = &brake.reach {
                if reach.min.mm() > reach.max.mm() {
                    let [min, max] = [reach.min, reach.max].map(told);
                    found.push(Problem::at_key(
                        format!("{key}.reach.min"),
                        format!("found {min} mm, above max, {max} mm"),
                    ));
                }
                if brake.kind != BrakeKind::Hand {
                    found.push(Problem::at_key(
                        key,
                        format!("a {} brake has no lever; leave out reach", brake.kind),
                    ));
                }
            }
        }
        if !has_cranks && self.rear.kind == BrakeKind::Coaster {
            found.push(Problem::at_key(
                "brakes.rear",
                "a coaster brake needs cranks; this bike has none",
            ));
        }
        if self.front.kind == BrakeKind::Coaster {
            found.push(Problem::at_key(
                "brakes.front",
                "a coaster brake works on the rear wheel only",
            ));
        }
        found
    }
}
