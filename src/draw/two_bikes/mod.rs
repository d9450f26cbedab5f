//! Two bikes with the same rider on each: both whole, at one scale, as the ground holds them.
//! Side by side on one ground line, with level lines from one to the other; on a phone one above the other.
//! Which bike suits better is `advice`'s business.

mod levels;
mod lying;
mod order;
mod table;
mod upright;

use crate::advice::compare::Comparison;
use crate::draw::page::Form;
use crate::draw::plan::Picture;
use crate::draw::two_bikes::order::Both;
use crate::units::Units;

/// Two bikes with the same rider on each, figures in `units`.
pub fn two_bikes(comparison: &Comparison, units: Units, form: Form) -> Picture {
    let both = Both { comparison, units };
    match form {
        Form::Lying => lying::picture(both),
        Form::Upright => upright::picture(both),
    }
}
