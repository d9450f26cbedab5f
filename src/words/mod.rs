//! Words: enums whose variants are words (`choice`), text made short and plain enough to print (`text`), and text
//! that travels cleaned of what no reader sees (`clean`), keys as a shop says them (`key`). Knows no file, no command
//! and no quantity.

mod choice;
mod clean;
mod key;
mod text;

pub(crate) use choice::choice;
pub use choice::{UnknownWord, Word};
pub use clean::{cell, clean};
pub(crate) use key::{key_in_words, key_to_give};
pub(crate) use text::{clip, either, missed, percent, sentence, tidy};
