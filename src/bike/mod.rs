//! The bike: what a frame file says, where that puts everything, and how close the moving parts come.
//! `spec` is the file, `drawing` its numbers, `layout` the side view with `steering` and `post`, `clearance` the
//! turned wheel and the leaning bike, `tyre` the marking, `parts` the kinds of its parts. No rider in here: how the two meet lives in `fit`.

pub mod class;
pub mod clearance;
pub mod drawing;
pub mod layout;
pub mod library;
pub mod mismatch;
pub mod parts;
pub mod post;
pub mod spec;
pub mod steering;
pub mod tyre;

pub use class::Class;
pub use drawing::Drawing;
pub use layout::{BikePoints, Layout};
pub use mismatch::Mismatch;
pub use post::PostRange;
pub use spec::{BrakeKind, FrameSpec, Style};
pub use tyre::TyreSize;

use crate::file::{Error, Problem};
use crate::words;

/// A bike: what its file says, and where that puts everything.
#[derive(Debug, Clone, PartialEq)]
pub struct Bike {
    /// The file's name without its ending, or the embedded sample's name.
    pub id: String,
    /// What the file says.
    pub spec: FrameSpec,
    /// Where everything is.
    pub layout: Layout,
    /// Published figures that the geometry does not confirm.
    pub mismatches: Vec<Mismatch>,
}

impl Bike {
    /// Closes the geometry of a file.
    ///
    /// # Errors
    /// Every contradiction that leaves no bike to draw.
    pub fn new(id: impl Into<String>, mut spec: FrameSpec) -> Result<Self, Error> {
        // Everything that is shown of a bike comes from here, also when no file was read.
        spec.name = words::clean(&spec.name).into_owned();
        if spec.name.is_empty() {
            let message = "has nothing that can be seen; write letters or digits";
            return Err(Problem::at_key("name", message).into());
        }
        let contradictions = spec.contradictions();
        if !contradictions.is_empty() {
            return Err(contradictions.into());
        }
        let layout = Layout::close(&Drawing::from(&spec))?;
        Ok(Self {
            id: id.into(),
            mismatches: mismatch::of(&spec, &layout),
            spec,
            layout,
        })
    }

    /// Whether the bike is ridden without pedals.
    pub fn is_balance(&self) -> bool {
        self.spec.cranks.is_none()
    }
}
