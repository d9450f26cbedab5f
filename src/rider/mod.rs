//! The rider: what was measured (`measures`), and the planar body estimated from it (`body`).
//! Every estimate carries its spread; growth over the months is `growth`.
//! No bike in here.

pub mod body;
pub mod draws;
pub mod growth;
pub mod measures;

pub use body::{Body, Residuals};
pub use measures::{Measured, MeasuredBy, Rider, RiderFile, Segment, Sex, Stage};
