//! Files that an answer leaves out, told under it. Why each is left out is the file's error, made where it was read.

use crate::report::contract::Skipped;
use crate::report::terminal::{Layout, notes};

/// Files that are told one by one.
const MOST: usize = 10;

/// A section of a report; nothing where every file was read.
pub(crate) fn skipped_files(out: &mut String, skipped: &[Skipped], layout: Layout) {
    let mut told: Vec<String> = skipped
        .iter()
        .take(MOST)
        .map(|file| file.error.clone())
        .collect();
    if let Some(more) = skipped.len().checked_sub(MOST + 1) {
        told.push(format!("and {} more files", more + 1));
    }
    notes(out, "Skipped files", &told, layout);
}
