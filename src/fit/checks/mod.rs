//! Every check, one file each, in the order that a fitter goes through them.
//! A new check is a new file and a line in the list below; nothing else lists them.
//! What a check is, and what it gives back, is `fit::finding`.

use crate::fit::finding::{Check, Measure};
use crate::fit::pair::Pair;

macro_rules! checks {
    ($($module:ident::$check:ident,)*) => {
        $(pub mod $module;)*

        /// Names a check. The order is that of reports.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum CheckId {
            $(#[doc = concat!("The rule in [`", stringify!($module), "`].")] $check,)*
        }

        impl CheckId {
            /// How many checks there are.
            pub const COUNT: usize = [$(Self::$check),*].len();
            /// Every check, in the order of reports.
            pub const ALL: [Self; Self::COUNT] = [$(Self::$check),*];

            /// Its name: snake case, the same in JSON, text and picture.
            pub const fn name(self) -> &'static str {
                match self { $(Self::$check => stringify!($module),)* }
            }

            /// The rule itself.
            pub fn check(self) -> &'static dyn Check {
                match self { $(Self::$check => &$module::$check,)* }
            }
        }
    };
}

checks! {
    standover::Standover,
    saddle_height::SaddleHeight,
    leg_room::LegRoom,
    ground_contact::GroundContact,
    reach::Reach,
    knee_room::KneeRoom,
    crank_length::CrankLength,
    brakes::Brakes,
    brake_lever::BrakeLever,
    toe_clearance::ToeClearance,
    pedal_lean::PedalLean,
    bar_width::BarWidth,
    bar_height::BarHeight,
    bike_weight::BikeWeight,
    load::Load,
    post_insertion::PostInsertion,
    parts::Parts,
}

impl CheckId {
    /// Its name in words.
    pub fn title(self) -> String {
        self.name().replace('_', " ")
    }
}

/// The checks' numbers for one pair, in the order of [`CheckId::ALL`]; None where a check has no meaning.
pub type Measures = [Option<Measure>; CheckId::COUNT];

/// Runs every check.
pub fn measure(pair: &Pair<'_>) -> Measures {
    CheckId::ALL.map(|id| id.check().measure(pair))
}
