//! How a command ends: with an answer and its exit code, or with what was wrong; and where it may write.
//! Carrying an answer out is `delivery`.

use std::io::{self, Write};

use crate::file::Problem;
use crate::words;

/// Why a command ended without an answer.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// Files or values that cannot be used; printed one by one.
    #[error("{} problem(s) in the input", .0.len())]
    Input(Vec<Problem>),
    /// An output that could not be written.
    #[error("{path}: {error}")]
    Output {
        /// Where it should have gone.
        path: String,
        /// What the system said.
        error: io::Error,
    },
}

impl From<crate::Error> for Error {
    fn from(error: crate::Error) -> Self {
        Self::Input(error.into_problems())
    }
}

impl From<Problem> for Error {
    fn from(problem: Problem) -> Self {
        Self::Input(vec![problem])
    }
}

impl Error {
    /// A picture that could not be drawn.
    pub(super) fn drawing(error: impl std::error::Error + Send + Sync + 'static) -> Self {
        Self::Output {
            path: "picture".to_owned(),
            error: io::Error::other(error),
        }
    }
}

/// How a command that gave its answer ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Exit code 0.
    Fine,
    /// Exit code 1: the files looked at have problems, which is the answer.
    BadInput,
    /// Exit code 3, with `--strict` only: the verdict is not fits.
    DoesNotFit,
}

impl Outcome {
    /// The outcome of a question whether something fits.
    pub(super) fn of(strict: bool, fits: bool) -> Self {
        if strict && !fits {
            Self::DoesNotFit
        } else {
            Self::Fine
        }
    }
}

/// Where a command writes; standard output and standard error, or buffers in a test.
#[expect(missing_debug_implementations, reason = "streams have nothing to show")]
pub struct Streams<'a> {
    /// The answer.
    pub out: &'a mut dyn Write,
    /// Everything else.
    pub err: &'a mut dyn Write,
    /// Columns of the terminal.
    pub columns: usize,
}

/// A problem with its place in the file, cleaned: names of files and what stands in them may hold anything.
pub(super) fn excerpt(problem: &Problem) -> String {
    let clean = |text: &str| words::clean(text).into_owned();
    let mut problem = problem.clone();
    problem.file = clean(&problem.file);
    problem.key = clean(&problem.key);
    problem.message = clean(&problem.message);
    problem.excerpt(true)
}
