//! The bike: what a frame file says, where that puts everything, and how close the moving parts come.
//! `spec` is the file, `layout` the side view, `clearance` the turned wheel and the leaning bike, `tyre` the marking.
//! No rider in here: how the two meet lives in `fit`.

pub mod class;
pub mod clearance;
pub mod layout;
pub mod library;
pub mod spec;
pub mod tyre;

pub use class::Class;
pub use layout::{Bike, BikePoints, PostRange};
pub use spec::{BrakeKind, FrameSpec, Style};
pub use tyre::TyreSize;
