//! How a rider and a bike meet: the pair is put together once, every check reads it, the verdict sums up.
//! `pair` and `leg` are the geometry, `checks` the rules, `verdict` and `odds` what comes of them, `assess` the whole.
//! Facts only: nothing here is drawn, printed or rounded, and no unit is chosen.

pub mod assess;
pub mod bike_doubt;
pub mod checks;
pub mod finding;
pub mod forecast;
pub mod leg;
pub mod levers;
pub mod odds;
pub mod pair;
pub mod posture;
pub mod setting;
mod sign;
pub mod verdict;

pub use assess::{Assessor, Finding, Fit, Options, assess};
pub use bike_doubt::{bike_doubt, what_next};
pub use checks::CheckId;
pub use finding::{Measure, Misfit, Missing, Status, Unit};
pub use forecast::{GrownBodies, Growth, Raise};
pub use odds::{Confidence, Odds, Remeasure};
pub use pair::Pair;
pub use setting::Setting;
pub use sign::Sign;
pub use verdict::{Side, Verdict};
