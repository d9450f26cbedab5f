//! Documents, and what is wrong with them: each problem with its file, line, column and excerpt.
//! Opens files within limits, reads a whole document or lists every problem, places late contradictions.
//! How single values are read is `values` and `section`.

use std::fmt;
use std::io::Read as _;
use std::path::Path;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use serde::Serialize;

use super::values::{Run, Value};

/// Largest file that is read at all, bytes. A frame file is about 1 KiB; the parser's time grows with the
/// square of some contents, and a file is read once for every problem in it.
pub const LARGEST_FILE: u64 = 64 << 10;
/// Brackets that may stand open at once. A frame file has 2; the parser's time grows with their square.
const MOST_BRACKETS: usize = 32;
/// Problems listed for one file; a file with more is not a frame or a rider.
const MOST_PROBLEMS: usize = 25;

/// One thing wrong with one file.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// The file as the user named it.
    pub file: String,
    /// Line and column, from 1, where the file has lines.
    pub place: Option<(usize, usize)>,
    /// The key, as a dotted path; empty when the file as a whole is meant.
    pub key: String,
    /// What was found, what is allowed, what to do.
    pub message: String,
    line_text: String,
}

impl Problem {
    /// A problem of a file as a whole, or of a command-line value.
    pub fn of_file(file: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            file: file.into(),
            place: None,
            key: String::new(),
            message: message.into(),
            line_text: String::new(),
        }
    }

    /// The same problem, about one key.
    #[must_use]
    pub fn at_key(mut self, key: impl Into<String>) -> Self {
        self.key = key.into();
        self
    }

    /// The message with an excerpt of the file, as compilers print it. `colour` adds ANSI styles.
    pub fn excerpt(&self, colour: bool) -> String {
        let renderer = if colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        let title = if self.key.is_empty() {
            self.message.clone()
        } else {
            format!("{}: {}", self.key, self.message)
        };
        let report = match self.place {
            Some((line, column)) => {
                let snippet = Snippet::source(self.line_text.as_str())
                    .line_start(line)
                    .path(self.file.as_str())
                    .annotation(AnnotationKind::Primary.span(value_at(&self.line_text, column)));
                Level::ERROR.primary_title(title).element(snippet)
            }
            None => {
                Group::with_title(Level::ERROR.primary_title(format!("{}: {title}", self.file)))
            }
        };
        renderer.render(&[report])
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if let Some((line, column)) = self.place {
            write!(f, ":{line}:{column}")?;
        }
        if !self.key.is_empty() {
            write!(f, ": {}", self.key)?;
        }
        write!(f, ": {}", self.message)
    }
}

/// A document's text and the name to use for it in messages.
#[derive(Debug, Clone)]
pub struct Document {
    /// How messages name it.
    pub label: String,
    text: String,
}

impl Document {
    /// A document that is already in memory.
    pub fn from_text(label: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
        // A lone carriage return ends a line for the parser, but for nobody who counts lines here.
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        Self {
            label: label.into(),
            text,
        }
    }

    /// Reads a file, or standard input for `-`. Refuses what cannot be a frame or rider file.
    pub fn open(path: &Path) -> Result<Self, Problem> {
        let label = if path == Path::new("-") {
            "<stdin>".to_owned()
        } else {
            path.display().to_string()
        };
        let fail = |message: String| Problem::of_file(label.clone(), message);
        let mut bytes = Vec::new();
        let outcome = if path == Path::new("-") {
            std::io::stdin()
                .lock()
                .take(LARGEST_FILE + 1)
                .read_to_end(&mut bytes)
        } else {
            if path.is_dir() {
                return Err(fail("is a folder; a YAML file is needed".to_owned()));
            }
            std::fs::File::open(path)
                .and_then(|file| file.take(LARGEST_FILE + 1).read_to_end(&mut bytes))
        };
        outcome.map_err(|error| fail(format!("cannot be read: {error}")))?;
        if bytes.len() as u64 > LARGEST_FILE {
            return Err(fail(
                "is larger than 64 KiB; a frame or rider file is about 1 KiB".to_owned(),
            ));
        }
        match String::from_utf8(bytes) {
            Ok(text) if text.contains('\0') => Err(fail("is not a text file".to_owned())),
            Ok(text) => Ok(Self::from_text(label, text)),
            Err(_) => Err(fail("is not a text file (UTF-8 is needed)".to_owned())),
        }
    }

    /// Whether a line starts with this key, which tells a frame from a rider before either is read.
    pub fn has_key(&self, key: &str) -> bool {
        self.text.lines().any(|line| {
            line.strip_prefix(key)
                .is_some_and(|rest| rest.trim_start().starts_with(':'))
        })
    }

    /// Whether a line starts with any of these keys.
    pub fn has_any_key(&self, keys: &[&str]) -> bool {
        keys.iter().any(|key| self.has_key(key))
    }

    /// Reads the whole document, or says everything that is wrong with it.
    pub fn read<T: Value<Limits = ()>>(&self) -> Result<T, Vec<Problem>> {
        if self.is_empty() {
            return Err(vec![Problem::of_file(
                &self.label,
                "is empty; see `inseam schema` for the keys",
            )]);
        }
        if let Some((place, message)) = self.unreadable() {
            return Err(vec![self.placed("", message, Some(place))]);
        }
        // Each pass passes over what earlier passes reported, so the next problem surfaces with its own position.
        let mut problems: Vec<Problem> = Vec::new();
        while problems.len() < MOST_PROBLEMS {
            let run = Run::passing_over(problems.len());
            match T::read(serde_yaml::Deserializer::from_str(&self.text), &(), &run) {
                Ok(Some(value)) => return Ok(value),
                Ok(None) => break,
                Err(error) => {
                    let problem = self.problem(&error, &run);
                    let is_syntax = run.raised.borrow().is_none();
                    problems.push(problem);
                    // Nothing behind broken syntax can be read.
                    if is_syntax {
                        break;
                    }
                }
            }
        }
        problems.sort_by_key(|problem| problem.place);
        if problems.len() == MOST_PROBLEMS {
            let message =
                format!("these are the first {MOST_PROBLEMS} problems; there may be more");
            problems.push(Problem::of_file(&self.label, message));
        }
        Err(problems)
    }

    /// Whether nothing but comments and document marks is in it.
    fn is_empty(&self) -> bool {
        self.lines().all(|line| {
            let line = line.trim();
            line.is_empty() || line.starts_with('#') || line == "---" || line == "..."
        })
    }

    /// The lines as the parser counts them: YAML 1.1 also breaks at three characters beyond ASCII.
    fn lines(&self) -> impl Iterator<Item = &str> {
        self.text.split(['\n', '\u{85}', '\u{2028}', '\u{2029}'])
    }

    /// What the parser would refuse without a place, or only after a long time.
    fn unreadable(&self) -> Option<((usize, usize), String)> {
        for (line, text) in (1..).zip(self.lines()) {
            if let Some(at) = text.chars().position(|c| c.is_control() && c != '\t') {
                return Some(((line, at + 1), "has a control character".to_owned()));
            }
        }
        let mut open = 0_usize;
        for (line, text) in (1..).zip(self.lines()) {
            for (column, c) in (1..).zip(text.chars()) {
                match c {
                    '[' | '{' => open += 1,
                    ']' | '}' => open = open.saturating_sub(1),
                    _ => {}
                }
                if open > MOST_BRACKETS {
                    let message =
                        format!("has more than {MOST_BRACKETS} brackets inside each other");
                    return Some(((line, column), message));
                }
            }
        }
        None
    }

    /// Where the second document starts.
    fn second_document(&self) -> Option<(usize, usize)> {
        let mut has_content = false;
        for (line, text) in (1..).zip(self.lines()) {
            if text == "---" || text.starts_with("--- ") {
                if has_content {
                    return Some((line, 1));
                }
                has_content = !text["---".len()..].trim().is_empty();
            } else {
                has_content |= !text.trim().is_empty() && !text.trim_start().starts_with('#');
            }
        }
        None
    }

    /// A problem that only shows when values are put together, placed at its key (or the nearest parent).
    pub fn problem_at<T: Value<Limits = ()>>(
        &self,
        key: &str,
        message: impl Into<String>,
    ) -> Problem {
        let mut target = key;
        let place = loop {
            let run = Run::stopping_at(target);
            if let Err(error) = T::read(serde_yaml::Deserializer::from_str(&self.text), &(), &run)
                && run.is_stopped.get()
            {
                break place_of(&error);
            }
            match target.rsplit_once('.') {
                Some((parent, _)) => target = parent,
                None => break None,
            }
        };
        self.placed(key, message.into(), place)
    }

    fn problem(&self, error: &serde_yaml::Error, run: &Run) -> Problem {
        let start = Some((1, 1));
        if let Some(raised) = run.raised.borrow().as_ref() {
            let place = place_of(error).or(start);
            return self.placed(&raised.key, raised.message.clone(), place);
        }
        let place = place_of(error).or_else(|| self.second_document());
        self.placed("", syntax_message(error), place.or(start))
    }

    fn placed(&self, key: &str, message: String, place: Option<(usize, usize)>) -> Problem {
        // From the column on the renderer cuts what is too long; before it, it needs all to count.
        const WIDEST: usize = 80;
        let line_text = place.and_then(|(line, column)| {
            let text = self.lines().nth(line - 1)?;
            Some(text.chars().take(column + WIDEST).collect())
        });
        Problem {
            file: self.label.clone(),
            place,
            key: key.to_owned(),
            message,
            line_text: line_text.unwrap_or_default(),
        }
    }
}

fn place_of(error: &serde_yaml::Error) -> Option<(usize, usize)> {
    error
        .location()
        .map(|location| (location.line(), location.column()))
}

/// The parser's own words without the position, which is printed once, in front.
fn syntax_message(error: &serde_yaml::Error) -> String {
    let text = error.to_string();
    let place = error
        .location()
        .map(|l| format!(" at line {} column {}", l.line(), l.column()));
    let bare = place
        .and_then(|place| text.strip_suffix(&place).map(str::to_owned))
        .unwrap_or(text);
    if bare.contains("more than one document") {
        "holds more than one document; keep one bike or rider to a file".to_owned()
    } else {
        format!("is not YAML that can be read: {bare}")
    }
}

/// Bytes of the value at a column (from 1) of a line: a quoted one ends at its quote, a plain one at the
/// next mark of the line.
fn value_at(line: &str, column: usize) -> std::ops::Range<usize> {
    let mut places = line.char_indices().map(|(byte, _)| byte);
    let start = places.nth(column.saturating_sub(1)).unwrap_or(line.len());
    let rest = &line[start..];
    let quote = rest.chars().next().filter(|c| ['"', '\''].contains(c));
    let end = match quote {
        Some(quote) => rest[1..].find(quote).map(|at| at + 2),
        None => rest.find([',', '}', '#']),
    };
    start..start + rest[..end.unwrap_or(rest.len())].trim_end().len()
}

/// The text of a value as YAML.
pub fn to_text<T: Serialize>(value: &T) -> Result<String, serde_yaml::Error> {
    serde_yaml::to_string(value)
}
