//! Documents: opened within limits, read whole or with every problem, each at its line and column.
//! How values are made is `decode` and `section`.

use std::io::Read as _;
use std::path::Path;

use super::decode::Decoder;
use super::error::{Error, Problem, Span};
use super::node::{self, Content, Node};
use super::section::{Section, keys_in_words};

/// Largest file that is read at all, bytes. A frame file is about 1 KiB.
pub const LARGEST_FILE: u64 = 64 << 10;
/// Room for most files, bytes, so that one is read in one go.
const USUAL_FILE: usize = 4 << 10;
/// Problems listed for one file; a file with more is not a frame or a rider.
const MOST_PROBLEMS: usize = 25;

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
        let mut text = text.into();
        if text.starts_with('\u{feff}') {
            text.drain(..'\u{feff}'.len_utf8());
        }
        // A lone carriage return ends a line for the parser, but for nobody who counts lines here.
        if text.contains('\r') {
            text = text.replace("\r\n", "\n").replace('\r', "\n");
        }
        Self {
            label: label.into(),
            text,
        }
    }

    /// Reads a file, or standard input for `-`. Refuses what cannot be a frame or rider file.
    ///
    /// # Errors
    /// One problem, of the file as a whole.
    pub fn open(path: &Path) -> Result<Self, Error> {
        let label = if path == Path::new("-") {
            "<stdin>".to_owned()
        } else {
            path.display().to_string()
        };
        let fail = |message: String| Error::from(Problem::of_file(label.clone(), message));
        let mut bytes = Vec::with_capacity(USUAL_FILE);
        let outcome = if path == Path::new("-") {
            std::io::stdin()
                .lock()
                .take(LARGEST_FILE + 1)
                .read_to_end(&mut bytes)
        } else {
            std::fs::File::open(path)
                .and_then(|file| file.take(LARGEST_FILE + 1).read_to_end(&mut bytes))
        };
        outcome.map_err(|error| {
            fail(if path.is_dir() {
                "is a folder; a YAML file is needed".to_owned()
            } else {
                format!("cannot be read: {error}")
            })
        })?;
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

    /// Reads the whole document.
    ///
    /// # Errors
    /// Everything that is wrong with it, in the order of the file.
    pub fn read<T: Section>(&self) -> Result<T, Error> {
        let Some(tree) = self.tree()? else {
            let message = format!("is empty; {}", keys_in_words(&T::fields()));
            return Err(Problem::of_file(&self.label, message).into());
        };
        let mut decoder = Decoder::new(T::fields);
        let value = T::decode(&tree, &(), &mut decoder);
        let mut found = decoder.found;
        if let Some(value) = value
            && found.is_empty()
        {
            return Ok(value);
        }
        let count = found.len();
        found.sort_by_key(|(span, _)| span.start);
        found.truncate(MOST_PROBLEMS);
        let mut problems: Vec<_> = found
            .into_iter()
            .map(|(span, problem)| self.placed(problem, Some(span)))
            .collect();
        if count > MOST_PROBLEMS {
            let message = format!("these are the first {MOST_PROBLEMS} of {count} problems");
            problems.push(Problem::of_file(&self.label, message));
        }
        Err(problems.into())
    }

    /// Problems that only show when values are put together, placed at their keys (or the nearest parents).
    #[must_use]
    pub fn place(&self, error: Error) -> Error {
        let tree = self.tree().ok().flatten();
        let problems = error.into_problems().into_iter().map(|problem| {
            let span = tree.as_ref().and_then(|tree| span_of(tree, &problem.key));
            self.placed(problem, span)
        });
        Error::Problems(problems.collect())
    }

    fn tree(&self) -> Result<Option<Node<'_>>, Error> {
        let fault =
            |(span, message): (_, String)| self.placed(Problem::at_key("", message), Some(span));
        node::parse(&self.text).map_err(|found| fault(found).into())
    }

    fn placed(&self, problem: Problem, span: Option<Span>) -> Problem {
        problem.placed(&self.label, &self.text, span)
    }
}

/// Where the value of a dotted key stands, or of the nearest parent that is there.
fn span_of(tree: &Node<'_>, key: &str) -> Option<Span> {
    let (mut node, mut span) = (tree, None);
    for key in key.split('.') {
        let Content::Section(entries) = &node.content else {
            break;
        };
        let Some((_, value)) = entries.iter().find(|(name, _)| name.content.bare() == key) else {
            break;
        };
        (node, span) = (value, Some(value.span));
    }
    span
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bike::{Bike, FrameSpec, Style, library};

    fn trail() -> &'static str {
        let mut samples = library::SAMPLES.iter();
        samples.find(|(id, _)| *id == "trail-24").unwrap().1
    }

    #[test]
    fn of_many_problems_the_first_are_listed_and_all_are_counted() {
        let bad = Document::from_text("bad", "key: 1\n".repeat(1000));
        let problems = bad.read::<FrameSpec>().unwrap_err().into_problems();
        assert_eq!(problems.len(), MOST_PROBLEMS + 1);
        let last = problems.last().unwrap();
        assert!(
            last.message.starts_with("these are the first 25 of 10"),
            "{last}"
        );
    }

    #[test]
    fn values_that_contradict_each_other_are_placed_at_their_keys() {
        let both = trail().replace("travel: 60", "travel: 0");
        let both = both.replace("style: trail", "style: balance");
        let text = Document::from_text("contradictions", both);
        let problems = library::read("contradictions", &text)
            .unwrap_err()
            .into_problems();
        assert_eq!(problems.len(), 2, "{problems:?}");
        assert!(
            problems.iter().all(|problem| problem.place.is_some()),
            "{problems:?}"
        );
    }

    #[test]
    fn aliases_are_written_out_and_placed_at_their_anchor() {
        let text = trail().replace("front: 54-507, rear: 54-507", "front: &a 54-507, rear: *a");
        let spec: FrameSpec = Document::from_text("alias", &*text).read().unwrap();
        let whole: FrameSpec = Document::from_text("whole", trail()).read().unwrap();
        assert_eq!(spec, whole);

        let wrong = text.replace("&a 54-507", "&a 54x507");
        let error = Document::from_text("alias", wrong)
            .read::<FrameSpec>()
            .unwrap_err();
        let problems = error.into_problems();
        let keys: Vec<_> = problems
            .iter()
            .map(|problem| problem.key.as_str())
            .collect();
        assert_eq!(keys, ["tyres.front", "tyres.rear"]);
        assert_eq!(problems[0].place, problems[1].place);
    }

    #[test]
    fn values_without_a_file_are_refused_without_a_place() {
        let mut spec: FrameSpec = Document::from_text("whole", trail()).read().unwrap();
        spec.style = Style::Balance;
        let error = Bike::new("bare", spec).unwrap_err();
        assert_eq!(
            error.to_string(),
            "cranks: a balance bike has none; leave them out or set style to street or trail"
        );
    }

    /// Figures for the notes: `cargo test --release --lib -- --ignored --nocapture microseconds`.
    #[test]
    #[ignore = "a measurement, not a check"]
    fn microseconds_to_read_and_close_every_sample() {
        let best = |work: &dyn Fn()| {
            let rounds = (0..200).map(|_| {
                let started = std::time::Instant::now();
                work();
                started.elapsed().as_secs_f64() * 1e6 / library::SAMPLES.len() as f64
            });
            let mut rounds: Vec<_> = rounds.collect();
            rounds.sort_by(f64::total_cmp);
            (rounds[0], rounds[100])
        };
        let each = |work: &dyn Fn(&Document)| {
            best(&|| {
                for (id, text) in library::SAMPLES {
                    work(&Document::from_text(*id, *text));
                }
            })
        };
        println!("lowest and median, µs a file");
        println!("parse: {:.1?}", each(&|d| drop(node::parse(&d.text).ok())));
        println!("read: {:.1?}", each(&|d| drop(d.read::<FrameSpec>())));
        println!(
            "read and close: {:.1?}",
            each(&|d| drop(library::read("x", d)))
        );
    }
}
