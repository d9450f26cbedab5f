//! Frame and rider files: one tree of nodes, typed values from it, and every problem with its place.
//! `node` is the only door to the YAML parser, `fault` its complaints in words, `decode` makes values and gathers
//! problems, `section` makes structs from tables of keys, `several` what holds many, `document` opens and places,
//! `error` is what a caller gets.
//! What the keys are lives in `bike::spec` and `rider::measures`; no command is known here.

mod decode;
mod document;
mod error;
mod fault;
mod node;
mod section;
mod several;

pub(crate) use decode::{Decoder, Field, LONGEST_TEXT, Shape, Value, in_range};
pub use document::{Document, LARGEST_FILE};
pub use error::{Error, Problem};
pub use node::to_text;
pub(crate) use node::{Content, Node};
pub(crate) use section::{Section, section};
pub use several::{Named, Toggle};
