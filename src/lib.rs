//! Fits and sizes children's bicycles: one rider, one bike, one verdict.
//!
//! Data climbs one staircase and never comes back down:
//! [`units`] → [`plane`] → [`bike`], [`rider`] → [`fit`] → [`advice`] → [`draw`], [`report`] → `cli`.

pub mod advice;
pub mod bike;
pub mod cli;
pub mod draw;
pub mod fit;
mod numeric;
pub mod plane;
pub mod report;
pub mod rider;
pub mod sources;
pub mod units;
pub mod yaml;

pub use bike::Bike;
pub use fit::{Assessor, Fit, Options, assess};
pub use rider::Rider;
pub use units::Units;
