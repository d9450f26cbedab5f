//! Documents: opened within limits, read whole or with every problem, each at its line and column.
//! A text is parsed once, and once more with places when something is wrong with it.
//! How values are made is `decode` and `section`.

use std::io::Read as _;
use std::path::Path;

use super::decode::{Decoder, Spot};
use super::error::{Error, Place, Problem};
use super::node::{self, Content, Node};
use super::section::{Section, keys_in_words};

/// Largest file that is read at all, bytes. A frame file is about 1 KiB; the parser's time grows with the
/// square of some contents.
pub const LARGEST_FILE: u64 = 64 << 10;
/// Room for most files, bytes, so that one is read in one go.
const USUAL_FILE: usize = 4 << 10;
/// Brackets that may stand open at once. A frame file has 2; the parser's time grows with their square.
const MOST_BRACKETS: usize = 32;
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
        if self.is_empty() {
            let message = format!("is empty; {}", keys_in_words(&T::fields()));
            return Err(Problem::of_file(&self.label, message).into());
        }
        if let Some((place, message)) = self.unreadable() {
            return Err(self
                .placed(Problem::at_key("", message), Some(place))
                .into());
        }
        if let Ok(tree) = node::parse(&self.text, false) {
            let mut decoder = Decoder::new(T::fields);
            if let Some(value) = T::decode(&tree, &(), &mut decoder)
                && decoder.found.is_empty()
            {
                return Ok(value);
            }
        }
        // The same again, now that it is worth the time to know where everything stands.
        let tree = self.tree()?;
        let mut decoder = Decoder::new(T::fields);
        T::decode(&tree, &(), &mut decoder);
        let mut found = decoder.found;
        let count = found.len();
        found.sort_by_key(|(spot, _)| spot.map(Spot::near));
        let placed = found
            .into_iter()
            .take(MOST_PROBLEMS)
            .map(|(spot, problem)| {
                // A tree without entries has no place of its own.
                let place = spot.map_or((1, 1), |spot| self.place_of(spot));
                self.placed(problem, Some(place))
            });
        let mut problems: Vec<_> = placed.collect();
        problems.sort_by_key(|problem| problem.place);
        if count > MOST_PROBLEMS {
            let message = format!("these are the first {MOST_PROBLEMS} of {count} problems");
            problems.push(Problem::of_file(&self.label, message));
        }
        Err(problems.into())
    }

    /// Problems that only show when values are put together, placed at their keys (or the nearest parents).
    #[must_use]
    pub fn place(&self, error: Error) -> Error {
        let tree = self.tree().ok();
        let problems = error.into_problems().into_iter().map(|problem| {
            let spot = tree.as_ref().and_then(|tree| spot_of(tree, &problem.key));
            self.placed(problem, spot.map(|spot| self.place_of(spot)))
        });
        Error::Problems(problems.collect())
    }

    /// The tree with its places.
    fn tree(&self) -> Result<Node<'_>, Error> {
        node::parse(&self.text, true).map_err(|(place, message)| {
            let place = place.or_else(|| self.second_document()).unwrap_or((1, 1));
            self.placed(Problem::at_key("", message), Some(place))
                .into()
        })
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
    fn unreadable(&self) -> Option<(Place, String)> {
        let is_plain = |byte: u8| matches!(byte, b' '..=b'~' | b'\n' | b'\t');
        let opens = |byte: &u8| matches!(byte, b'[' | b'{');
        let bytes = self.text.as_bytes();
        // Counted rather than searched for: most files have none, and a count is quicker than a search to the end.
        let odd = bytes.iter().filter(|byte| !is_plain(**byte)).count();
        if odd == 0 && bytes.iter().filter(|byte| opens(byte)).count() <= MOST_BRACKETS {
            return None;
        }
        let mut open = 0_usize;
        for (line, text) in (1..).zip(self.lines()) {
            for (column, c) in (1..).zip(text.chars()) {
                match c {
                    '[' | '{' => open += 1,
                    ']' | '}' => open = open.saturating_sub(1),
                    c if c.is_control() && c != '\t' => {
                        return Some(((line, column), "has a control character".to_owned()));
                    }
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
    fn second_document(&self) -> Option<Place> {
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

    /// The column where a value begins, as far as its line shows it.
    fn place_of(&self, spot: Spot) -> Place {
        let column_in = |(line, column): Place, find: &dyn Fn(&[char], usize) -> Option<usize>| {
            let text = self.lines().nth(line - 1).unwrap_or_default();
            let letters: Vec<char> = text.chars().collect();
            (line, find(&letters, column).unwrap_or(column))
        };
        match spot {
            Spot::At(place) => place,
            Spot::Opening(first) => column_in(first, &|letters, column| {
                let before = letters.get(..column - 1)?;
                let at = before.iter().rposition(|c| !c.is_whitespace())?;
                ['{', '['].contains(&before[at]).then_some(at + 1)
            }),
            Spot::Behind(key) => column_in(key, &|letters, column| {
                let colon = letters.iter().skip(column).position(|c| *c == ':')? + column;
                let value = letters
                    .iter()
                    .skip(colon + 1)
                    .position(|c| !c.is_whitespace())?;
                Some(colon + value + 2)
            }),
        }
    }

    fn placed(&self, problem: Problem, place: Option<Place>) -> Problem {
        // From the column on the renderer cuts what is too long; before it, it needs all to count.
        const WIDEST: usize = 80;
        let line_text = place.and_then(|(line, column)| {
            let text = self.lines().nth(line - 1)?;
            Some(text.chars().take(column + WIDEST).collect())
        });
        Problem {
            file: self.label.clone(),
            place,
            line_text: line_text.unwrap_or_default(),
            ..problem
        }
    }
}

/// Where the value of a dotted key stands, or of the nearest parent that is there.
fn spot_of(tree: &Node<'_>, key: &str) -> Option<Spot> {
    let (mut node, mut spot) = (tree, None);
    for key in key.split('.') {
        let Content::Section(entries) = &node.content else {
            break;
        };
        let Some((name, value)) = entries.iter().find(|(name, _)| name.content.bare() == key)
        else {
            break;
        };
        (node, spot) = (value, Spot::of(value, name.place));
    }
    spot
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bike::{Bike, FrameSpec, Style, library};
    use crate::file::node::PARSES;

    /// How often a text is parsed while something is done with it, counted in the only function that parses.
    fn parses<T>(work: impl FnOnce() -> T) -> (usize, T) {
        let before = PARSES.get();
        let done = work();
        (PARSES.get() - before, done)
    }

    fn trail() -> &'static str {
        let mut samples = library::SAMPLES.iter();
        samples.find(|(id, _)| *id == "trail-24").unwrap().1
    }

    #[test]
    fn a_good_file_is_parsed_once_and_a_bad_one_twice() {
        let good = Document::from_text("good", trail());
        let (count, read) = parses(|| library::read("good", &good));
        assert_eq!((count, read.is_ok()), (1, true));

        let lines = "key: 1\n".repeat(1000);
        let bad = Document::from_text("bad", lines);
        let (count, read) = parses(|| bad.read::<FrameSpec>());
        assert_eq!(count, 2);
        assert_eq!(read.unwrap_err().into_problems().len(), MOST_PROBLEMS + 1);

        let both = trail().replace("travel: 60", "travel: 0");
        let both = both.replace("style: trail", "style: balance");
        let text = Document::from_text("contradictions", both);
        let (count, bike) = parses(|| library::read("contradictions", &text));
        let problems = bike.unwrap_err().into_problems();
        assert_eq!((count, problems.len()), (2, 2), "{problems:?}");
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
        println!(
            "parse: {:.1?}",
            each(&|d| drop(node::parse(&d.text, false).ok()))
        );
        println!("parse with places: {:.1?}", each(&|d| drop(d.tree())));
        println!("read: {:.1?}", each(&|d| drop(d.read::<FrameSpec>())));
        println!(
            "read and close: {:.1?}",
            each(&|d| drop(library::read("x", d)))
        );
    }
}
