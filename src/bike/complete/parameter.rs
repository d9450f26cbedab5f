//! The parameters of a bike that a file may leave open, and how they and a drawing make one another.
//! Post and tube depth stand as the saddle's lowest position and its travel, which bikes on like wheels share;
//! all others are the drawing's own numbers. What is known about them before a file is read is `prior`.

use nalgebra::SVector;

use crate::bike::drawing::{CLAMP_NEEDS_MM, Crank, Drawing, TopTubeLine};
use crate::bike::figure::Figure;
use crate::bike::post::PostRange;
use crate::bike::spec::{FrameSpec, Style};
use crate::bike::tyre::TyreSize;
use crate::units::{Angle, Length};

/// One number per parameter.
pub type Theta = SVector<f64, { Parameter::COUNT }>;

fn mm(length: Option<Length>) -> Option<f64> {
    length.map(Length::mm)
}

fn deg(angle: Option<Angle>) -> Option<f64> {
    angle.map(Angle::deg)
}

macro_rules! parameters {
    ($($variant:ident $path:literal ($($place:tt)+) $said:expr, [$($figure:ident),*];)*) => {
        /// A number of the drawing that can be unknown.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[expect(missing_docs, reason = "named as the frame file's keys")]
        pub enum Parameter {
            $($variant,)*
        }

        impl Parameter {
            /// How many there are.
            pub const COUNT: usize = [$(Self::$variant),*].len();
            /// Every parameter.
            pub const ALL: [Self; Self::COUNT] = [$(Self::$variant),*];

            /// Its dotted key in the frame file.
            pub const fn path(self) -> &'static str {
                match self { $(Self::$variant => $path,)* }
            }

            /// What the file draws, mm or degrees; None where it leaves the key out.
            pub fn drawn(self, spec: &FrameSpec) -> Option<f64> {
                let said: fn(&FrameSpec) -> Option<f64> = match self { $(Self::$variant => $said,)* };
                said(spec)
            }

            /// The figures that say the same number.
            pub const fn figures(self) -> &'static [Figure] {
                match self { $(Self::$variant => &[$(Figure::$figure),*],)* }
            }

            /// The number's place in a drawing.
            fn place(self, drawing: &mut Drawing) -> Option<&mut f64> {
                match self { $(Self::$variant => parameters!(@place drawing $($place)+),)* }
            }
        }
    };
    (@place $drawing:ident crank $field:ident) => { $drawing.crank.as_mut().map(|crank| &mut crank.$field) };
    (@place $drawing:ident $($field:ident).+) => { Some(&mut $drawing.$($field).+) };
}

parameters! {
    Stack "frame.stack" (stack_mm) |s| mm(s.frame.stack), [Stack];
    Reach "frame.reach" (reach_mm) |s| mm(s.frame.reach), [Reach];
    Chainstay "frame.chainstay" (chainstay_mm) |s| mm(s.frame.chainstay), [Chainstay];
    BottomBracketDrop "frame.bottom_bracket_drop" (bottom_bracket_drop_mm)
        |s| mm(s.frame.bottom_bracket_drop), [BottomBracketDrop, BottomBracketHeight];
    SeatTubeAngle "frame.seat_tube.angle" (seat_tube_angle_deg) |s| deg(s.frame.seat_tube.angle), [SeatTubeAngle];
    SeatTubeLength "frame.seat_tube.length" (seat_tube_length_mm)
        |s| mm(s.frame.seat_tube.length), [SeatTubeLength];
    SeatTubeOffset "frame.seat_tube.offset" (seat_tube_offset_mm) |s| mm(s.frame.seat_tube.offset), [];
    HeadAngle "frame.head_tube.angle" (head_angle_deg) |s| deg(s.frame.head_tube.angle), [HeadAngle];
    HeadTubeLength "frame.head_tube.length" (head_tube_length_mm)
        |s| mm(s.frame.head_tube.length), [HeadTubeLength];
    SeatJoint "frame.top_tube.seat_joint" (top_tube.seat_joint_mm) |s| mm(s.frame.top_tube.seat_joint), [];
    HeadJoint "frame.top_tube.head_joint" (top_tube.head_joint_mm) |s| mm(s.frame.top_tube.head_joint), [];
    TopTubeDiameter "frame.top_tube.diameter" (top_tube.diameter_mm) |s| mm(s.frame.top_tube.diameter), [];
    ForkOffset "fork.offset" (fork_offset_mm) |s| mm(s.fork.offset), [ForkOffset];
    Spacers "cockpit.spacers" (spacers_mm) |s| mm(s.cockpit.spacers), [];
    StemLength "cockpit.stem.length" (stem_length_mm) |s| mm(s.cockpit.stem.length), [];
    StemAngle "cockpit.stem.angle" (stem_angle_deg) |s| deg(s.cockpit.stem.angle), [];
    StemClampHeight "cockpit.stem.clamp_height" (stem_clamp_height_mm) |s| mm(s.cockpit.stem.clamp_height), [];
    BarRise "cockpit.handlebar.rise" (bar_rise_mm) |s| mm(s.cockpit.handlebar.rise), [];
    BarSetback "cockpit.handlebar.setback" (bar_setback_mm) |s| mm(s.cockpit.handlebar.setback), [];
    SaddleStack "saddle.stack" (saddle_stack_mm) |s| mm(s.saddle.stack), [];
    SaddleSetback "saddle.setback" (saddle_setback_mm) |s| mm(s.saddle.setback), [];
    UsableDepth "frame.seat_tube.usable_depth" (seat_tube_usable_depth_mm)
        |s| mm(s.frame.seat_tube.usable_depth), [SeatHeightLowest, SaddleHeightLowest];
    PostLength "seat_post.length" (post_length_mm)
        |s| mm(s.seat_post.length), [SeatHeightHighest, SaddleHeightHighest];
    MinimumInsertion "seat_post.minimum_insertion" (minimum_insertion_mm)
        |s| mm(s.seat_post.minimum_insertion), [];
    CrankLength "cranks.length" (crank length_mm) |s| mm(s.cranks.as_ref()?.length), [];
    PedalHeight "cranks.pedal_height" (crank pedal_height_mm) |s| mm(s.cranks.as_ref()?.pedal_height), [];
}

impl Parameter {
    /// Whether it is an angle, in degrees; all others are lengths, in mm.
    pub const fn is_angle(self) -> bool {
        matches!(
            self,
            Self::SeatTubeAngle | Self::HeadAngle | Self::StemAngle
        )
    }
}

/// Rows of [`Theta`] that stand for another number than the drawing's: the saddle's lowest position along the
/// post's line, and how far it rises to the mark.
const LOWEST: usize = Parameter::PostLength as usize;
const TRAVEL: usize = Parameter::UsableDepth as usize;
const MARK: usize = Parameter::MinimumInsertion as usize;

/// What a file must say, and what no tape estimates: what stays the same whatever the parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fixed {
    front_tyre: TyreSize,
    rear_tyre: TyreSize,
    straddle: f64,
    /// How wide the pedals stand, where known; None without cranks.
    pedals: Option<(Option<f64>, Option<f64>)>,
}

impl Fixed {
    /// From a file.
    pub fn of(spec: &FrameSpec) -> Self {
        /// Midway by definition, where the file names no other point.
        const MIDWAY: f64 = 0.5;
        let cranks = spec.cranks.as_ref();
        Self {
            front_tyre: spec.tyres.front,
            rear_tyre: spec.tyres.rear,
            straddle: spec.frame.top_tube.straddle.unwrap_or(MIDWAY),
            pedals: (spec.style != Style::Balance).then(|| {
                (
                    cranks.and_then(|cranks| mm(cranks.q_factor)),
                    cranks.and_then(|cranks| mm(cranks.pedal_width)),
                )
            }),
        }
    }

    /// Position of the saddle top with no post showing, mm along the axis, before the clamp has its due.
    pub fn bare_mm(&self, theta: &Theta) -> f64 {
        let [tube, stack, angle] = [
            Parameter::SeatTubeLength,
            Parameter::SaddleStack,
            Parameter::SeatTubeAngle,
        ]
        .map(|parameter| theta[parameter as usize]);
        PostRange::bare_mm(tube, stack, angle)
    }

    /// A drawing with these parameters.
    pub fn drawing(&self, theta: &Theta) -> Drawing {
        let mut drawing = Drawing {
            front_tyre: self.front_tyre,
            rear_tyre: self.rear_tyre,
            stack_mm: 0.0,
            reach_mm: 0.0,
            chainstay_mm: 0.0,
            bottom_bracket_drop_mm: 0.0,
            seat_tube_angle_deg: 0.0,
            seat_tube_length_mm: 0.0,
            seat_tube_usable_depth_mm: 0.0,
            seat_tube_offset_mm: 0.0,
            head_angle_deg: 0.0,
            head_tube_length_mm: 0.0,
            top_tube: TopTubeLine {
                seat_joint_mm: 0.0,
                head_joint_mm: 0.0,
                diameter_mm: 0.0,
                straddle: self.straddle,
            },
            fork_offset_mm: 0.0,
            spacers_mm: 0.0,
            stem_length_mm: 0.0,
            stem_angle_deg: 0.0,
            stem_clamp_height_mm: 0.0,
            bar_rise_mm: 0.0,
            bar_setback_mm: 0.0,
            saddle_stack_mm: 0.0,
            saddle_setback_mm: 0.0,
            post_length_mm: 0.0,
            minimum_insertion_mm: 0.0,
            crank: self.pedals.map(|(q_factor_mm, pedal_width_mm)| Crank {
                length_mm: 0.0,
                pedal_height_mm: 0.0,
                q_factor_mm,
                pedal_width_mm,
            }),
        };
        for parameter in Parameter::ALL {
            if let Some(place) = parameter.place(&mut drawing) {
                *place = theta[parameter as usize];
            }
        }
        // The clamp needs its post: what shows less in truth has a shorter tube, the saddle where it is.
        let shows = theta[LOWEST] - self.bare_mm(theta);
        drawing.seat_tube_length_mm -= (CLAMP_NEEDS_MM - shows).max(0.0);
        drawing.seat_tube_usable_depth_mm = theta[TRAVEL] + theta[MARK];
        drawing.post_length_mm = shows.max(CLAMP_NEEDS_MM) + drawing.seat_tube_usable_depth_mm;
        drawing
    }
}

/// The parameters of a drawing; None for those of cranks that it does not have.
pub fn parameters_of(drawing: &Drawing) -> [Option<f64>; Parameter::COUNT] {
    let mut copy = *drawing;
    let mut theta = Parameter::ALL.map(|parameter| parameter.place(&mut copy).copied());
    let lowest = drawing.lowest_exposed_post_mm();
    theta[LOWEST] = Some(PostRange::of(drawing).bare_mm + lowest);
    theta[TRAVEL] = Some(drawing.highest_exposed_post_mm() - lowest);
    theta
}

/// Puts every number that the file draws into a drawing, exactly.
pub fn draw_over(spec: &FrameSpec, drawing: &mut Drawing) {
    for parameter in Parameter::ALL {
        if let (Some(said), Some(place)) = (parameter.drawn(spec), parameter.place(drawing)) {
            *place = said;
        }
    }
}

/// Whether the parameter has a meaning for the bike.
pub fn applies(parameter: Parameter, spec: &FrameSpec) -> bool {
    let is_of_cranks = matches!(parameter, Parameter::CrankLength | Parameter::PedalHeight);
    !is_of_cranks || spec.style != Style::Balance
}

/// A weighted sum that a drawn number is of: the parameters, and the saddle's position with no post showing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sum {
    /// Weights of the parameters.
    pub theta: Theta,
    /// Weight of `PostRange::bare_mm`.
    pub bare: f64,
}

/// A drawn number as an observation: what it is the sum of, and its value.
pub fn drawn_sum(parameter: Parameter, spec: &FrameSpec) -> Option<(Sum, f64)> {
    let said = parameter.drawn(spec)?;
    let mut sum = Sum {
        theta: Theta::zeros(),
        bare: 0.0,
    };
    let value = match parameter {
        Parameter::PostLength => {
            let row = &mut sum.theta;
            (row[LOWEST], row[TRAVEL], row[MARK]) = (1.0, 1.0, 1.0);
            sum.bare = -1.0;
            said
        }
        Parameter::UsableDepth => {
            if let Some(post) = Parameter::PostLength.drawn(spec) {
                sum.theta[LOWEST] = 1.0;
                sum.bare = -1.0;
                (post - said).max(CLAMP_NEEDS_MM)
            } else {
                (sum.theta[TRAVEL], sum.theta[MARK]) = (1.0, 1.0);
                said
            }
        }
        _ => {
            sum.theta[parameter as usize] = 1.0;
            said
        }
    };
    Some((sum, value))
}
