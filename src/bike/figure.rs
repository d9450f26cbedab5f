//! The figures that a tape or a chart gives of a whole bike: their keys, ranges, and what they are in a layout.
//! One row each, so that the file's sections, the observation and the words cannot drift apart.
//! What a bike is made of when only some are given is `complete`.

use crate::bike::drawing::Drawing;
use crate::bike::layout::Layout;
use crate::file::{Decoder, Node, Shape, Value, section};
use crate::measured::Measured;
use crate::units::{Angle, Length, Quantity};

/// Standard deviation of a chart's figure: lengths, mm, and angles, degrees (own estimate: rounding and build).
const PUBLISHED_SD: [f64; 2] = [2.0, 0.3];
/// Standard deviation of a figure taken off the built bike: lengths, mm, and angles, degrees (common practice).
const MEASURED_SD: [f64; 2] = [3.0, 0.5];

/// Who says a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Given {
    /// The maker's chart.
    Published,
    /// A tape or a gauge on the built bike.
    Measured,
}

/// A figure as given, in mm or degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// What it is of.
    pub figure: Figure,
    /// Who says it.
    pub given: Given,
    /// mm or degrees.
    pub value: f64,
    /// Standard deviation, mm or degrees.
    pub sd: f64,
    /// Whether it stands with a spread of its own: taken again on purpose, it is believed against what bikes on such
    /// wheels have.
    pub is_vouched: bool,
}

impl Reading {
    fn new<Q: Quantity>(figure: Figure, given: Given, measured: &Measured<Q>) -> Self {
        Self {
            figure,
            given,
            value: measured.value.number(),
            sd: measured
                .spread
                .map_or(figure.reading_sd(given), Quantity::number),
            is_vouched: measured.spread.is_some(),
        }
    }

    /// Its dotted key in the frame file.
    pub const fn path(&self) -> &'static str {
        self.figure.path(self.given)
    }
}

macro_rules! figures {
    ($(#[doc = $doc:literal] $key:ident $variant:ident $quantity:ident ($low:expr, $high:expr) $how:literal $of:expr;)*) => {
        section! {
            /// Figures of the whole bike, from a maker's chart or a tape; each may carry its spread after ±.
            #[derive(Default)]
            pub struct Figures {
                $(
                    #[doc = $doc]
                    $key: Option<Measured<$quantity>>, $low..=$high;
                )*
            }
        }

        impl Figures {
            /// What is given, in the order of the table.
            pub fn readings(&self, given: Given) -> impl Iterator<Item = Reading> {
                [$(self.$key.as_ref().map(|measured| Reading::new(Figure::$variant, given, measured))),*]
                    .into_iter()
                    .flatten()
            }
        }

        /// A figure of the whole bike.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Figure {
            $(#[doc = $doc] $variant,)*
        }

        impl Figure {
            /// How many there are.
            pub const COUNT: usize = [$(Self::$variant),*].len();
            /// Every figure, in the order of the table.
            pub const ALL: [Self; Self::COUNT] = [$(Self::$variant),*];

            /// Its key.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$variant => stringify!($key),)* }
            }

            /// Its dotted key under `published` or `measured`.
            pub const fn path(self, given: Given) -> &'static str {
                match given {
                    Given::Published => match self { $(Self::$variant => concat!("published.", stringify!($key)),)* },
                    Given::Measured => match self { $(Self::$variant => concat!("measured.", stringify!($key)),)* },
                }
            }

            /// How to take it, in a few words.
            pub const fn how(self) -> &'static str {
                match self { $(Self::$variant => $how,)* }
            }

            /// What it can be, mm or degrees.
            pub const fn range(self) -> std::ops::RangeInclusive<f64> {
                match self { $(Self::$variant => $low..=$high,)* }
            }

            /// The unit that it is read in.
            pub const fn unit(self) -> &'static str {
                match self { $(Self::$variant => <$quantity as Quantity>::UNIT,)* }
            }

            /// Every figure of one bike, mm and degrees, in the order of [`Self::ALL`].
            pub fn all_of(drawing: &Drawing, layout: &Layout) -> [f64; Self::COUNT] {
                let bike = Placed { drawing, layout };
                [$({ let of: fn(&Placed<'_>) -> f64 = $of; of(&bike) }),*]
            }

            /// The figure of one bike, mm or degrees.
            pub fn of(self, drawing: &Drawing, layout: &Layout) -> f64 {
                let of: fn(&Placed<'_>) -> f64 = match self { $(Self::$variant => $of,)* };
                of(&Placed { drawing, layout })
            }
        }
    };
}

impl Figure {
    /// Whether it is measured from the bottom bracket, which a balance bike may not have.
    pub const fn is_from_crank(self) -> bool {
        matches!(
            self,
            Self::BottomBracketHeight
                | Self::BottomBracketDrop
                | Self::SaddleHeightLowest
                | Self::SaddleHeightHighest
                | Self::GripAhead
                | Self::FrontCentre
                | Self::Chainstay
        )
    }
}

/// The figures that decide, in the order of the numbers on the measuring sheet; the next is the crank's length.
pub const DECIDING: [Figure; 4] = [
    Figure::BottomBracketHeight,
    Figure::SeatHeightLowest,
    Figure::SeatHeightHighest,
    Figure::Standover,
];
/// Number of the crank's length on the measuring sheet.
pub const CRANK_NUMBER: usize = DECIDING.len() + 1;
/// How the crank's length is taken.
pub const CRANK_HOW: &str = "crank axle to pedal axle; stamped on its inside, too";
/// Those that sharpen the answer, with the numbers that follow.
pub const SHARPER: [Figure; 4] = [
    Figure::GripHeight,
    Figure::GripAhead,
    Figure::FrontCentre,
    Figure::Chainstay,
];

/// A drawing with its layout.
struct Placed<'a> {
    drawing: &'a Drawing,
    layout: &'a Layout,
}

figures! {
    #[doc = "Ground to bottom-bracket centre."]
    bottom_bracket_height BottomBracketHeight Length (80.0, 400.0)
        "ground to the middle of the crank axle" |b| b.layout.bottom_bracket_height_mm();
    #[doc = "Ground to saddle top on the post's axis, post right down."]
    seat_height_lowest SeatHeightLowest Length (150.0, 1100.0)
        "ground to saddle top over the post, post right down" |b| b.layout.seat_height_mm(b.layout.post.lowest_mm);
    #[doc = "Ground to saddle top on the post's axis, post raised to its mark."]
    seat_height_highest SeatHeightHighest Length (200.0, 1400.0)
        "ground to saddle top over the post, post raised to its mark" |b| b.layout.seat_height_mm(b.layout.post.highest_mm);
    #[doc = "Bottom-bracket centre to saddle top on the post's axis, straight, post right down."]
    saddle_height_lowest SaddleHeightLowest Length (80.0, 900.0)
        "middle of the crank axle to saddle top, straight, post right down" |b| b.layout.post.saddle_height_mm(b.layout.post.lowest_mm);
    #[doc = "Bottom-bracket centre to saddle top on the post's axis, straight, post raised to its mark."]
    saddle_height_highest SaddleHeightHighest Length (120.0, 1200.0)
        "middle of the crank axle to saddle top, straight, post raised to its mark" |b| b.layout.post.saddle_height_mm(b.layout.post.highest_mm);
    #[doc = "Ground to the top tube's upper edge at the straddle point."]
    standover Standover Length (150.0, 950.0)
        "ground to the top tube's upper edge, midway along it" |b| b.layout.standover_mm();
    #[doc = "Ground to grip centre."]
    grip_height GripHeight Length (300.0, 1400.0)
        "ground to the middle of a grip" |b| b.layout.points.grip.y - b.layout.ground_y;
    #[doc = "Bottom bracket to grip centre, horizontally."]
    grip_ahead GripAhead Length (-100.0, 900.0)
        "front wheel against a wall: crank axle to wall less grip to wall" |b| b.layout.points.grip.x;
    #[doc = "Axle to axle."]
    wheelbase Wheelbase Length (300.0, 1400.0)
        "axle to axle, wheels straight" |b| b.layout.wheelbase_mm();
    #[doc = "Bottom bracket to front axle, straight."]
    front_centre FrontCentre Length (150.0, 900.0)
        "crank axle to front axle, straight" |b| b.layout.front_centre_mm();
    #[doc = "Bottom bracket to rear axle, straight."]
    chainstay Chainstay Length (120.0, 600.0)
        "crank axle to rear axle, straight" |b| b.drawing.chainstay_mm;
    #[doc = "Ground to rear axle."]
    rear_axle_height RearAxleHeight Length (80.0, 420.0)
        "ground to the middle of the rear axle" |b| b.layout.wheel_radius_rear_mm;
    #[doc = "Seat-tube angle from the horizontal."]
    seat_tube_angle SeatTubeAngle Angle (50.0, 85.0)
        "angle gauge on the seat post" |b| b.drawing.seat_tube_angle_deg;
    #[doc = "Head angle from the horizontal."]
    head_angle HeadAngle Angle (55.0, 85.0)
        "angle gauge on the head tube" |b| b.drawing.head_angle_deg;
    #[doc = "Head-tube top to the seat post's axis, horizontally."]
    effective_top_tube EffectiveTopTube Length (150.0, 800.0)
        "head-tube top to the seat post's middle, level" |b| b.effective_top_tube_mm();
    #[doc = "Top tube between the middles of its joints, along it."]
    top_tube_length TopTubeLength Length (100.0, 800.0)
        "along the top tube, middle of seat tube to middle of head tube" |b| b.top_tube_length_mm();
    #[doc = "Bottom bracket to the top of the seat tube, along it."]
    seat_tube_length SeatTubeLength Length (40.0, 650.0)
        "crank axle to the top of the seat tube" |b| b.drawing.seat_tube_length_mm;
    #[doc = "Head tube along the steering axis."]
    head_tube_length HeadTubeLength Length (30.0, 300.0)
        "along the head tube, bearings left out" |b| b.drawing.head_tube_length_mm;
    #[doc = "Head-tube top above the bottom bracket."]
    stack Stack Length (120.0, 800.0)
        "ground to head-tube top less ground to crank axle" |b| b.drawing.stack_mm;
    #[doc = "Head-tube top ahead of the bottom bracket."]
    reach Reach Length (80.0, 600.0)
        "crank axle to head-tube top, horizontally" |b| b.drawing.reach_mm;
    #[doc = "Crown race to front axle."]
    axle_to_crown AxleToCrown Length (100.0, 650.0)
        "lower head bearing's seat to front axle" |b| b.axle_to_crown_mm();
    #[doc = "Front axle ahead of the steering axis."]
    fork_offset ForkOffset Length (-80.0, 100.0)
        "front axle ahead of the steering axis" |b| b.drawing.fork_offset_mm;
    #[doc = "Steering axis meets ground ahead of the front wheel's contact by this much."]
    trail Trail Length (-50.0, 250.0)
        "steering axis to tyre contact, on the ground" |b| b.layout.trail_mm;
    #[doc = "Axle line above the bottom bracket; negative when the bracket is above the axles."]
    bottom_bracket_drop BottomBracketDrop Length (-200.0, 120.0)
        "rear-axle height less bracket height" |b| b.drawing.bottom_bracket_drop_mm;
}

/// Lower headset parts between crown race and head tube, mm: flush to a full external cup (common practice).
pub const LOWER_HEADSET_MM: f64 = 15.0;

impl Placed<'_> {
    fn effective_top_tube_mm(&self) -> f64 {
        let post = &self.layout.post;
        let along = self.drawing.stack_mm / post.up.y;
        self.drawing.reach_mm - post.saddle_top(along).x
    }

    fn top_tube_length_mm(&self) -> f64 {
        let tube = &self.drawing.top_tube;
        let seat = self.layout.post.saddle_top(tube.seat_joint_mm);
        let head = self.layout.steering.below_top(tube.head_joint_mm);
        (head - seat).norm()
    }

    /// The middle of what makers mean: along the steerer or straight, with or without the lower headset part.
    fn axle_to_crown_mm(&self) -> f64 {
        let along = self.layout.fork_below_head_tube_mm;
        let straight = along.hypot(self.drawing.fork_offset_mm);
        f64::midpoint(along - LOWER_HEADSET_MM, straight)
    }
}

impl Figure {
    /// Whether it is an angle, in degrees; all others are lengths, in mm.
    pub const fn is_angle(self) -> bool {
        matches!(self, Self::SeatTubeAngle | Self::HeadAngle)
    }

    /// Standard deviation of one reading without a spread of its own, mm or degrees.
    pub const fn reading_sd(self, given: Given) -> f64 {
        let table = match given {
            Given::Published => PUBLISHED_SD,
            Given::Measured => MEASURED_SD,
        };
        table[self.is_angle() as usize]
    }

    /// Doubt about what the figure means beside its reading, mm: what makers call the fork's length, and how
    /// far a tyre's real section departs from its marking (common practice).
    pub const fn meaning_sd_mm(self) -> f64 {
        match self {
            Self::AxleToCrown => 6.0,
            Self::RearAxleHeight => 4.0,
            _ => 0.0,
        }
    }
}

/// Most files have none of these sections: a rack of thousands keeps no room for them.
impl Value for Box<Figures> {
    type Limits = ();
    fn decode<'n>(node: &'n Node<'n>, (): &(), to: &mut Decoder<'n>) -> Option<Self> {
        Figures::decode(node, &(), to).map(Self::new)
    }
    fn shape((): &()) -> Shape {
        Figures::shape(&())
    }
}
