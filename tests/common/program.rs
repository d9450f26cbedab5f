//! The program run in memory or as a process, and the files around it.
//! Nothing is checked in here; the test files of the command line use their part.
#![allow(
    dead_code,
    reason = "compiled into each test file, which uses its part"
)]

use std::ffi::OsString;
use std::path::Path;
use std::process::{Command, Stdio};

use inseam::cli::{Streams, run};

/// What one run of the program left behind.
#[derive(Debug, PartialEq)]
pub(crate) struct Ran {
    pub(crate) status: u8,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the program in memory, 80 columns, colours as written.
pub(crate) fn run_at(columns: usize, args: &[&str]) -> Ran {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let words = std::iter::once("inseam").chain(args.iter().copied());
    let status = run(
        words.map(OsString::from),
        &mut Streams {
            out: &mut out,
            err: &mut err,
            columns,
        },
    );
    let text = |bytes| String::from_utf8(bytes).expect("all output is UTF-8");
    Ran {
        status,
        out: text(out),
        err: text(err),
    }
}

/// The same with the colours taken out.
pub(crate) fn inseam(args: &[&str]) -> Ran {
    let ran = run_at(80, args);
    Ran {
        status: ran.status,
        out: anstream::adapter::strip_str(&ran.out).to_string(),
        err: anstream::adapter::strip_str(&ran.err).to_string(),
    }
}

/// Writes a file into a folder and gives its path as text.
pub(crate) fn file(folder: &Path, name: &str, bytes: impl AsRef<[u8]>) -> String {
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("the temporary folder is writable");
    path.to_str().expect("the path is UTF-8").to_owned()
}

/// Names of everything in a folder, sorted.
pub(crate) fn listing(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("the folder is there");
    let mut names: Vec<_> = entries
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    names
}

/// The program as a process, with no input, colours or widths from outside.
pub(crate) fn process() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_inseam"));
    for name in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "COLUMNS", "TERM"] {
        command.env_remove(name);
    }
    command.stdin(Stdio::null());
    command
}
