//! One tree of nodes from a text: scalars, lists, sections and tags, each with its place in the text.
//! The only module that names the parser and the writer of YAML; words are made numbers as both do.
//! What the nodes mean is `decode`.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;

use saphyr_parser::{Event, Parser, ScalarStyle, Tag};
use serde::Serialize;

use super::error::{Error, Span};
use super::fault::{self, Fault, TOO_DEEP};
use crate::words::{clip, tidy};

/// Nodes that aliases may bring a file to.
const MOST_NODES: usize = 40_000;
/// Lists and sections inside each other. A frame file has 2.
const MOST_LEVELS: usize = 32;
/// Room for most sections, so that they are not moved as they grow.
const USUAL_LENGTH: usize = 8;

/// One value of a file.
#[derive(Debug, Clone)]
pub struct Node<'t> {
    /// Where it stands.
    pub span: Span,
    /// What it is.
    pub content: Content<'t>,
}

/// What a node is, before it means anything.
#[derive(Debug, Clone)]
pub enum Content<'t> {
    /// Nothing after the colon.
    Empty,
    /// `true` or `false`.
    Flag(bool),
    /// A number.
    Number(f64),
    /// A text.
    Text(Cow<'t, str>),
    /// A list.
    List(Vec<Node<'t>>),
    /// Keys and values, in the order of the file.
    Section(Vec<(Node<'t>, Node<'t>)>),
    /// A value with a tag of its own, such as `!mm 3`, which no key takes.
    Tagged(String),
}

impl Content<'_> {
    /// As a text: a text without the blanks around it, anything else as it is quoted in a message.
    pub fn bare(&self) -> Cow<'_, str> {
        match self {
            Self::Text(text) => Cow::Borrowed(text.trim()),
            other => Cow::Owned(other.to_string().replace('`', "")),
        }
    }
}

impl<'t> From<&'t str> for Content<'t> {
    fn from(text: &'t str) -> Self {
        Self::Text(Cow::Borrowed(text))
    }
}

impl fmt::Display for Content<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("nothing"),
            Self::Flag(flag) => write!(f, "`{flag}`"),
            Self::Number(number) if number.is_finite() => write!(f, "`{}`", tidy(*number, 6)),
            Self::Number(number) => write!(f, "`{number}`"),
            Self::Text(text) => write!(f, "`{}`", clip(text)),
            Self::List(_) => f.write_str("a list"),
            Self::Section(_) => f.write_str("a section with keys of its own"),
            Self::Tagged(tag) => write!(f, "the tag `{}`", clip(tag)),
        }
    }
}

/// Reads a text; None where it says nothing.
pub(super) fn parse(text: &str) -> Result<Option<Node<'_>>, Fault> {
    fault::control_character(text)?;
    let mut reader = Reader::default();
    for next in Parser::new_from_str(text) {
        let (event, at) =
            next.map_err(|error| fault::of(text, error.info(), error.marker().index()))?;
        let span = Span {
            start: at.start.index(),
            end: at.end.index(),
        };
        reader
            .take(event, span)
            .map_err(|message| (span, message.to_owned()))?;
    }
    Ok(reader
        .tree
        .filter(|tree| !matches!(tree.content, Content::Empty)))
}

/// The tree as far as it is read.
#[derive(Default)]
struct Reader<'t> {
    tree: Option<Node<'t>>,
    open: Vec<Part<'t>>,
    /// What aliases stand for, and how many nodes that is.
    anchored: BTreeMap<usize, (Node<'t>, usize)>,
    nodes: usize,
}

/// A node whose end may be still to come.
struct Part<'t> {
    node: Node<'t>,
    /// The key whose value is next.
    key: Option<Node<'t>>,
    /// What aliases call it; 0 where they do not.
    anchor: usize,
    tag: Option<Cow<'t, Tag>>,
    /// How many nodes came before it.
    before: usize,
}

impl<'t> Reader<'t> {
    fn take(&mut self, event: Event<'t>, span: Span) -> Result<(), &'static str> {
        let before = self.nodes;
        let part = |content, anchor, tag| Part {
            node: Node { span, content },
            key: None,
            anchor,
            tag,
            before,
        };
        match event {
            Event::SequenceStart(..) | Event::MappingStart(..)
                if self.open.len() == MOST_LEVELS =>
            {
                return Err(TOO_DEEP);
            }
            Event::SequenceStart(anchor, tag) => {
                self.open.push(part(
                    Content::List(Vec::with_capacity(USUAL_LENGTH)),
                    anchor,
                    tag,
                ));
            }
            Event::MappingStart(anchor, tag) => {
                self.open.push(part(
                    Content::Section(Vec::with_capacity(USUAL_LENGTH)),
                    anchor,
                    tag,
                ));
            }
            Event::SequenceEnd | Event::MappingEnd => {
                if let Some(mut part) = self.open.pop() {
                    part.node.span.end = span.end;
                    self.close(part);
                }
            }
            Event::Scalar(text, style, anchor, tag) => {
                let is_text = style != ScalarStyle::Plain
                    || tag.as_ref().is_some_and(|tag| tag.suffix == "str");
                self.close(part(
                    if is_text {
                        Content::Text(text)
                    } else {
                        plain(text)
                    },
                    anchor,
                    tag,
                ));
            }
            Event::Alias(anchor) => {
                let (node, size) = self
                    .anchored
                    .get(&anchor)
                    .ok_or("stands for what it is a part of")?;
                self.nodes += size;
                if self.nodes > MOST_NODES {
                    return Err("repeats itself too often by aliases");
                }
                let node = node.clone();
                self.put(node);
            }
            Event::DocumentStart(_) if self.tree.is_some() => {
                return Err("holds more than one document; keep one bike or rider to a file");
            }
            _ => {}
        }
        Ok(())
    }

    /// A whole node, as its tag has it.
    fn close(&mut self, part: Part<'t>) {
        let Part {
            mut node,
            anchor,
            tag,
            before,
            ..
        } = part;
        self.nodes += 1;
        if let Some(tag) = tag.filter(|tag| !tag.is_yaml_core_schema()) {
            node.content = Content::Tagged(tag.to_string());
        }
        if anchor != 0 {
            self.anchored
                .insert(anchor, (node.clone(), self.nodes - before));
        }
        self.put(node);
    }

    /// Puts a node where it belongs in what is open.
    fn put(&mut self, node: Node<'t>) {
        let Some(Part {
            node: whole, key, ..
        }) = self.open.last_mut()
        else {
            self.tree = Some(node);
            return;
        };
        match (&mut whole.content, key.take()) {
            (Content::List(elements), _) => elements.push(node),
            (Content::Section(entries), Some(key)) => entries.push((key, node)),
            _ => *key = Some(node),
        }
    }
}

/// The text of a value as a file has it.
pub fn to_text<T: Serialize>(value: &T) -> Result<String, Error> {
    serde_yaml::to_string(value).map_err(|error| Error::Unwritable(error.to_string()))
}

/// A word without quotes, as the core schema of YAML 1.2 reads it, but for `0x1F` and `012`, which stay text.
fn plain(word: Cow<'_, str>) -> Content<'_> {
    match &*word {
        "" | "~" | "null" | "Null" | "NULL" => Content::Empty,
        "true" | "True" | "TRUE" => Content::Flag(true),
        "false" | "False" | "FALSE" => Content::Flag(false),
        ".nan" | ".NaN" | ".NAN" => Content::Number(f64::NAN),
        ".inf" | ".Inf" | ".INF" | "+.inf" | "+.Inf" | "+.INF" => Content::Number(f64::INFINITY),
        "-.inf" | "-.Inf" | "-.INF" => Content::Number(f64::NEG_INFINITY),
        _ => number(&word).map_or(Content::Text(word), Content::Number),
    }
}

fn number(word: &str) -> Option<f64> {
    let digits = word.strip_prefix(['+', '-']).unwrap_or(word);
    let is_octal = digits.len() > 1
        && digits.starts_with('0')
        && digits.bytes().all(|byte| byte.is_ascii_digit());
    // Neither `inf` nor `nan`, which are numbers elsewhere.
    let is_number =
        digits.starts_with(|first: char| first.is_ascii_digit() || first == '.') && !is_octal;
    word.parse()
        .ok()
        .filter(|number: &f64| is_number && number.is_finite())
}

#[cfg(test)]
mod tests {
    use serde_yaml::Value;

    use super::*;
    use crate::bike::library;

    /// Whether two readers of YAML that share no code made the same of a text.
    fn is_same(ours: &Content<'_>, theirs: &Value) -> bool {
        match (ours, theirs) {
            (Content::Empty, Value::Null) => true,
            (Content::Flag(ours), Value::Bool(theirs)) => ours == theirs,
            (Content::Number(ours), Value::Number(theirs)) => {
                let theirs = theirs.as_f64().unwrap();
                (ours - theirs).abs() < f64::EPSILON
                    || ours.total_cmp(&theirs).is_eq()
                    || (ours.is_nan() && theirs.is_nan())
            }
            (Content::Text(ours), Value::String(theirs)) => ours == theirs,
            (Content::List(ours), Value::Sequence(theirs)) => {
                ours.len() == theirs.len()
                    && ours
                        .iter()
                        .zip(theirs)
                        .all(|(ours, theirs)| is_same(&ours.content, theirs))
            }
            (Content::Section(ours), Value::Mapping(theirs)) => {
                ours.len() == theirs.len()
                    && ours.iter().zip(theirs).all(|(ours, theirs)| {
                        is_same(&ours.0.content, theirs.0) && is_same(&ours.1.content, theirs.1)
                    })
            }
            _ => false,
        }
    }

    /// `serde_yaml` is the outside reference here: its parser is libyaml, of another hand than ours.
    #[track_caller]
    fn reads_as_the_reference(text: &str) {
        let ours = parse(text).unwrap().unwrap();
        let theirs: Value = serde_yaml::from_str(text).unwrap();
        assert!(
            is_same(&ours.content, &theirs),
            "{text}\n{ours:#?}\n{theirs:#?}"
        );
    }

    #[test]
    fn every_sample_is_read_as_another_parser_reads_it() {
        for (_, text) in library::SAMPLES {
            reads_as_the_reference(text);
        }
    }

    #[test]
    fn words_are_numbers_switches_nothing_or_text_as_for_another_parser() {
        let words = [
            "~",
            "null",
            "Null",
            "NULL",
            "nULL",
            "true",
            "True",
            "TRUE",
            "tRUE",
            "false",
            "yes",
            "no",
            "on",
            "off",
            "y",
            "0",
            "-0",
            "+0",
            "12",
            "-12",
            "+12",
            "012",
            "-012",
            "00",
            "0.5",
            "00.5",
            ".5",
            "-.5",
            "5.",
            "1e3",
            "1E3",
            "1e+3",
            "1e-3",
            "1.5e3",
            "e3",
            "1e",
            ".",
            "+",
            "--1",
            "+-1",
            "1_000",
            "1,000",
            "1.2.3",
            "1:30",
            "2019-07-02",
            "12-inch",
            "54-507",
            ".inf",
            ".Inf",
            ".INF",
            "+.inf",
            "-.inf",
            "inf",
            "-inf",
            "infinity",
            ".nan",
            ".NaN",
            ".NAN",
            "nan",
            "-.nan",
            "1e400",
            "9007199254740993",
            "61 cm",
            "2' 1\"",
            "'12'",
            "\"true\"",
            "''",
            "!!str 12",
            "\"a\\tb\\u00e9\"",
            "'it''s'",
            "a#b",
            "a:b",
            "|\n  one\n  two",
            ">-\n  one\n  two",
            "[1, a, ~]",
            "{b: 1, c: }",
            "&x [1, {c: 2}]",
        ];
        for word in words {
            reads_as_the_reference(&format!("a: {word}\n"));
        }
        reads_as_the_reference("a: &x {b: [1, 2]}\nc: *x\nd: [*x, *x]\n");
        reads_as_the_reference("%YAML 1.2\n---\na: 1 # one\n...\n");
        // Where we differ: names such as these are nobody's number.
        for word in ["0x1F", "0o17", "0b101"] {
            let text = format!("a: {word}");
            let Content::Section(entries) = parse(&text).unwrap().unwrap().content else {
                panic!("{text}")
            };
            assert!(matches!(&entries[0].1.content, Content::Text(text) if text == word));
        }
    }

    #[test]
    fn depth_and_aliases_have_an_end() {
        let deep = |open: &str| format!("a: {}", open.repeat(MOST_LEVELS + 1));
        for text in [
            deep("["),
            deep("{"),
            deep("\n- ").replace("\n- ", "- ").replacen("a: ", "", 1),
        ] {
            let (_, message) = parse(&text).unwrap_err();
            assert!(message.contains("inside each other"), "{message}");
        }
        let mut text = "a0: &a0 [1, 2, 3, 4, 5, 6, 7, 8]\n".to_owned();
        for level in 1..12 {
            let alias = format!("*a{}, ", level - 1).repeat(8);
            text = format!("{text}a{level}: &a{level} [{alias}]\n");
        }
        let (span, message) = parse(&text).unwrap_err();
        assert_eq!(
            (span.place(&text).0, message.as_str()),
            (5, "repeats itself too often by aliases")
        );
    }
}
