//! What can be wrong: a problem with file, line, column, key and cure, and the one error of the library.
//! Display gives a line for logs, `excerpt` the picture that compilers print.
//! Where problems come from is `decode`, `document`, and whoever puts values together.

use std::fmt;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use crate::units::ParseError;
use crate::words::UnknownWord;

/// Where something stands in a text, characters from its start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    pub(super) start: usize,
    pub(super) end: usize,
}

impl Span {
    pub(super) fn at(start: usize) -> Self {
        Self { start, end: start }
    }

    /// Line and column, from 1.
    pub(super) fn place(self, text: &str) -> (usize, usize) {
        let before = text.chars().take(self.start);
        before.fold((1, 1), |(line, column), c| {
            if c == '\n' {
                (line + 1, 1)
            } else {
                (line, column + 1)
            }
        })
    }
}

/// Why the library gave no answer.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// Files that cannot be used, or values that contradict each other: everything that is wrong with them.
    #[error("{}", lines(.0))]
    Problems(Vec<Problem>),
    /// A text that is no quantity.
    #[error(transparent)]
    Quantity(#[from] ParseError),
    /// A text that is none of the words allowed in its place.
    #[error(transparent)]
    Word(#[from] UnknownWord),
    /// A value that cannot be written to a file.
    #[error("cannot be written as a file: {0}")]
    Unwritable(String),
    /// A stream or file that failed.
    #[error(transparent)]
    Io(#[from] std::io::Error),
}

fn lines(problems: &[Problem]) -> String {
    let lines: Vec<_> = problems.iter().map(ToString::to_string).collect();
    lines.join("\n")
}

impl Error {
    /// As problems, whatever it is.
    pub fn into_problems(self) -> Vec<Problem> {
        match self {
            Self::Problems(problems) => problems,
            other => vec![Problem::at_key("", other.to_string())],
        }
    }

    /// The same, where no file is named yet under this name.
    #[must_use]
    pub fn named(self, file: &str) -> Self {
        let named = self.into_problems().into_iter().map(|mut problem| {
            if problem.file.is_empty() {
                file.clone_into(&mut problem.file);
            }
            problem
        });
        Self::Problems(named.collect())
    }
}

impl From<Problem> for Error {
    fn from(problem: Problem) -> Self {
        Self::Problems(vec![problem])
    }
}

impl From<Vec<Problem>> for Error {
    fn from(problems: Vec<Problem>) -> Self {
        Self::Problems(problems)
    }
}

/// One thing wrong with a file, or with values that need not come from one.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// The file as the user named it; empty where the values came from none.
    pub file: String,
    /// Line and column, from 1, where the file has lines.
    pub place: Option<(usize, usize)>,
    /// The key, as a dotted path; empty when the file as a whole is meant.
    pub key: String,
    /// What was found, what is allowed, what to do.
    pub message: String,
    /// The line, and which bytes of it are meant.
    pub(super) excerpt: (String, Range<usize>),
}

impl Problem {
    /// A problem of a file as a whole.
    pub fn of_file(file: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            file: file.into(),
            ..Self::at_key("", message)
        }
    }

    /// A problem of the value of a key, wherever it came from.
    pub fn at_key(key: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            file: String::new(),
            place: None,
            key: key.into(),
            message: message.into(),
            excerpt: (String::new(), 0..0),
        }
    }

    /// The same, of a file and a place in its text.
    pub(super) fn placed(self, file: &str, text: &str, span: Option<Span>) -> Self {
        // From the column on the renderer cuts what is too long; before it, it needs all to count.
        const WIDEST: usize = 80;
        let place = span.map(|span| span.place(text));
        let excerpt = span.zip(place).and_then(|(span, (line, column))| {
            let whole = text.lines().nth(line - 1)?;
            let shown: String = whole.chars().take(column + WIDEST).collect();
            let byte = |column: usize| {
                shown
                    .char_indices()
                    .nth(column)
                    .map_or(shown.trim_end().len(), |(byte, _)| byte)
            };
            let start = byte(column - 1);
            let length = if span.end > span.start {
                span.end - span.start
            } else {
                WIDEST
            };
            let end = byte(column - 1 + length).max(start);
            Some((shown, start..end))
        });
        Self {
            file: file.to_owned(),
            place,
            excerpt: excerpt.unwrap_or_default(),
            ..self
        }
    }

    /// The message with an excerpt of the file, as compilers print it. `colour` adds ANSI styles.
    pub fn excerpt(&self, colour: bool) -> String {
        let renderer = if colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        let report = if let Some((line, _)) = self.place {
            let (text, meant) = &self.excerpt;
            let snippet = Snippet::source(text.as_str())
                .line_start(line)
                .path(self.file.as_str())
                .annotation(AnnotationKind::Primary.span(meant.clone()));
            let title = sentence(&[&self.key, &self.message]);
            Level::ERROR.primary_title(title).element(snippet)
        } else {
            Group::with_title(Level::ERROR.primary_title(self.to_string()))
        };
        renderer.render(&[report])
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = match self.place {
            Some((line, column)) => format!("{}:{line}:{column}", self.file),
            None => self.file.clone(),
        };
        f.write_str(&sentence(&[&place, &self.key, &self.message]))
    }
}

/// The parts that are there, with colons between.
fn sentence(parts: &[&str]) -> String {
    let there: Vec<_> = parts
        .iter()
        .copied()
        .filter(|part| !part.is_empty())
        .collect();
    there.join(": ")
}
