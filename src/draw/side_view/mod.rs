//! The side view: one rider on one bike with every dimension that matters, or the bike alone with what to set.
//! A lying sheet with columns of call-outs, or a narrow upright one with its words below the drawing.
//! What the figures are is the fit's; where the joints are, too.

mod clearance;
mod failing;
mod gauge;
mod levers;
mod lying;
mod order;
mod posture;
mod saddle;
mod standover;
mod upright;

pub use order::{Show, SideView};

use crate::draw::page::Form;
use crate::draw::plan::Picture;

impl SideView<'_> {
    /// The picture.
    pub fn picture(&self) -> Picture {
        match self.form {
            Form::Lying => lying::picture(*self),
            Form::Upright => upright::picture(*self),
        }
    }
}
