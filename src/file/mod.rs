//! Reading and writing frame and rider files: every problem with file, line, column, key, found, allowed.
//! The only module that knows the YAML crate: `document` opens and reports, `values` reads what stands
//! behind a key, `section` makes structs from tables of keys.
//! What the keys are lives in `bike::spec` and `rider::measures`.

mod document;
#[macro_use]
mod values;
mod section;

pub use document::{Document, LARGEST_FILE, Problem, to_text};
pub use section::{Entries, FromMap, MapVisitor, Section};
pub(crate) use section::{choice, section};
pub(crate) use values::quantity_in_range;
pub use values::{Field, LONGEST_TEXT, Named, Run, Scalar, Shape, Toggle, Value, read_scalar};

/// A contradiction inside a file: the key it shows at, and what is wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Contradiction {
    /// Dotted path of the key.
    pub key: &'static str,
    /// What was found, what is allowed, what to do.
    pub message: String,
}

impl Contradiction {
    pub(crate) fn new(key: &'static str, message: impl Into<String>) -> Self {
        Self {
            key,
            message: message.into(),
        }
    }
}
