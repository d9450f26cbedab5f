//! The folders of the invented holiday course, and answers about them.
//! Nothing is checked in here.

use std::path::{Path, PathBuf};

use super::program::inseam;

/// A folder of the invented holiday course: riders, frames or records.
pub(crate) fn course(folder: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/course");
    path.join(folder).to_str().expect("UTF-8").to_owned()
}

/// Every file of a folder of the course.
pub(crate) fn files(folder: &str) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(course(folder)).expect("the folder is there");
    let mut files: Vec<_> = entries
        .map(|entry| entry.expect("an entry").path())
        .collect();
    files.sort();
    files
}

/// The answer as JSON.
pub(crate) fn json(args: &[&str]) -> serde_json::Value {
    let ran = inseam(args);
    assert_eq!(ran.status, 0, "{}", ran.err);
    serde_json::from_str(&ran.out).expect("JSON")
}
