//! What the tests of the book share: the program run in memory, and the invented course's folders.
//! Nothing is checked in here.
#![allow(
    dead_code,
    reason = "compiled into each test file, which uses its part"
)]

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use inseam::cli::{Streams, run};

/// What one run of the program left behind, colours taken out.
#[derive(Debug, PartialEq)]
pub(crate) struct Ran {
    pub(crate) status: u8,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the program in memory at 80 columns.
pub(crate) fn inseam(args: &[&str]) -> Ran {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let words = std::iter::once("inseam").chain(args.iter().copied());
    let status = run(
        words.map(OsString::from),
        &mut Streams {
            out: &mut out,
            err: &mut err,
            columns: 80,
        },
    );
    let text = |bytes| {
        let text = String::from_utf8(bytes).expect("all output is UTF-8");
        anstream::adapter::strip_str(&text).to_string()
    };
    Ran {
        status,
        out: text(out),
        err: text(err),
    }
}

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

/// Writes a file into a folder.
pub(crate) fn write(folder: &Path, name: &str, text: &str) {
    std::fs::write(folder.join(name), text).expect("the temporary folder is writable");
}

/// The answer as JSON.
pub(crate) fn json(args: &[&str]) -> serde_json::Value {
    let ran = inseam(args);
    assert_eq!(ran.status, 0, "{}", ran.err);
    serde_json::from_str(&ran.out).expect("JSON")
}
