//! The rider: what was measured (`measures`, `segments`), who that makes (`person`, `aging`), and the planar body
//! estimated from it (`body`, and `draws` of possible bodies). Growth over the months is `growth`.
//! Every estimate carries its spread. No bike in here.

mod aging;
pub mod body;
pub mod draws;
pub mod growth;
pub mod measures;
pub mod person;
pub mod segments;

pub use aging::BESIDE_NO_SETS;
pub use body::{Body, Residuals};
pub use measures::{Measured, MeasuredBy, Measurement, RiderFile, Sex, Stage};
pub use person::{Rider, Warning};
pub use segments::Segment;
