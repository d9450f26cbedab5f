//! One tree of nodes from a text: scalars, lists, sections and tags, each with its place where one is wanted.
//! The only module that names the YAML parser, which gives a place only with an error: so each scalar is kept
//! aside while an error is made of it, whose words end in the place.
//! What the nodes mean is `decode`.

use std::borrow::Cow;
use std::cell::Cell;
use std::fmt;

use serde::Serialize;
use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, IgnoredAny, MapAccess, SeqAccess,
    VariantAccess as _, Visitor,
};

use super::error::{Error, Place};
use crate::words::{clip, tidy};

/// Nodes that a file may come to. Without aliases 64 KiB cannot hold more.
const MOST_NODES: usize = 40_000;

/// One value of a file.
#[derive(Debug)]
pub struct Node<'t> {
    /// Where it stands, in a tree with places; of a list or section, its first element.
    pub place: Option<Place>,
    /// What it is.
    pub content: Content<'t>,
}

/// What a node is, before it means anything.
#[derive(Debug)]
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

/// Reads a text, or says where it is no tree (if the parser does) and why. Places double the time; without them a key
/// that is no text is no tree either.
pub(super) fn parse(text: &str, with_places: bool) -> Result<Node<'_>, (Option<Place>, String)> {
    #[cfg(test)]
    PARSES.with(|count| count.set(count.get() + 1));
    let left = &Cell::new(MOST_NODES);
    let reader = Reader {
        with_places,
        // A tag would pass unseen.
        has_plain_keys: !with_places && !text.contains('!'),
        left,
    };
    let tree = reader.deserialize(serde_yaml::Deserializer::from_str(text));
    tree.map_err(|error| {
        let words = error.to_string();
        let mut place = error.location().map(|at| (at.line(), at.column()));
        let message = if words.contains("expected ':'") {
            // The parser is a line further by then; its words end where the key stands.
            place = split_place(&words).map(|(_, key)| key).or(place);
            "has no colon behind its key; write `key: value`".to_owned()
        } else if words.contains("mapping values are not allowed") {
            "stands where no key can: the line above lacks its colon, or one of both is indented wrongly"
                .to_owned()
        } else if left.get() == 0 {
            "repeats itself too often by aliases".to_owned()
        } else if words.contains("recursion limit") {
            "holds sections inside each other without end".to_owned()
        } else if words.contains("more than one document") {
            "holds more than one document; keep one bike or rider to a file".to_owned()
        } else {
            // The place is printed once, in front.
            let bare = split_place(&words).filter(|(_, at)| Some(*at) == place);
            let bare = bare.map_or(words.as_str(), |(bare, _)| bare);
            format!("is not YAML that can be read: {bare}")
        };
        (place, message)
    })
}

#[cfg(test)]
thread_local! {
    /// How often this thread has parsed a text.
    pub(super) static PARSES: Cell<usize> = const { Cell::new(0) };
}

/// The text of a value as a file has it.
pub fn to_text<T: Serialize>(value: &T) -> Result<String, Error> {
    serde_yaml::to_string(value).map_err(|error| Error::Unwritable(error.to_string()))
}

/// The parser's words and the place that ends them.
fn split_place(words: &str) -> Option<(&str, Place)> {
    let (bare, place) = words.rsplit_once(" at line ")?;
    let (line, column) = place.split_once(" column ")?;
    Some((bare, (line.parse().ok()?, column.parse().ok()?)))
}

#[derive(Clone, Copy)]
struct Reader<'r> {
    with_places: bool,
    has_plain_keys: bool,
    left: &'r Cell<usize>,
}

/// A key of a section. As a text it spares the parser from trying every word as a number.
struct Key<'r>(Reader<'r>);

impl<'t> DeserializeSeed<'t> for Key<'_> {
    type Value = Node<'t>;
    fn deserialize<D: Deserializer<'t>>(self, source: D) -> Result<Node<'t>, D::Error> {
        if !self.0.has_plain_keys {
            return self.0.deserialize(source);
        }
        let keeper = Keeper {
            reader: self.0,
            kept: &mut None,
        };
        let content = source.deserialize_str(keeper)?;
        Ok(Node {
            place: None,
            content,
        })
    }
}

impl<'t> DeserializeSeed<'t> for Reader<'_> {
    type Value = Node<'t>;
    fn deserialize<D: Deserializer<'t>>(self, source: D) -> Result<Node<'t>, D::Error> {
        let mut kept = None;
        let keeper = Keeper {
            reader: self,
            kept: &mut kept,
        };
        match source.deserialize_any(keeper) {
            Ok(content) => {
                let place = match &content {
                    Content::List(elements) => elements.first(),
                    Content::Section(entries) => entries.first().map(|(key, _)| key),
                    _ => None,
                }
                .and_then(|first| first.place);
                Ok(Node { place, content })
            }
            Err(error) => match kept {
                Some(content) => {
                    // The parser leaves out the very first place.
                    let place = split_place(&error.to_string()).map_or((1, 1), |(_, place)| place);
                    Ok(Node {
                        place: Some(place),
                        content,
                    })
                }
                None => Err(error),
            },
        }
    }
}

/// Makes the content of one node; with places, keeps a scalar aside and fails on purpose.
struct Keeper<'r, 'k, 't> {
    reader: Reader<'r>,
    kept: &'k mut Option<Content<'t>>,
}

impl<'t> Keeper<'_, '_, 't> {
    fn keep<E: serde::de::Error>(self, content: Content<'t>) -> Result<Content<'t>, E> {
        self.count()?;
        if !self.reader.with_places {
            return Ok(content);
        }
        *self.kept = Some(content);
        Err(E::custom(""))
    }

    fn count<E: serde::de::Error>(&self) -> Result<(), E> {
        let left = self.reader.left.get().saturating_sub(1);
        self.reader.left.set(left);
        if left == 0 {
            Err(E::custom(""))
        } else {
            Ok(())
        }
    }
}

macro_rules! numbers {
    ($($visit:ident: $number:ty),*) => {$(
        // Beyond 2^53, where digits are lost, every range check fails anyway.
        fn $visit<E: serde::de::Error>(self, number: $number) -> Result<Content<'t>, E> {
            self.keep(Content::Number(number as f64))
        }
    )*};
}

impl<'t> Visitor<'t> for Keeper<'_, '_, 't> {
    type Value = Content<'t>;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }
    fn visit_unit<E: serde::de::Error>(self) -> Result<Content<'t>, E> {
        self.keep(Content::Empty)
    }
    fn visit_none<E: serde::de::Error>(self) -> Result<Content<'t>, E> {
        self.keep(Content::Empty)
    }
    fn visit_bool<E: serde::de::Error>(self, flag: bool) -> Result<Content<'t>, E> {
        self.keep(Content::Flag(flag))
    }
    numbers!(visit_i64: i64, visit_u64: u64, visit_i128: i128, visit_u128: u128, visit_f64: f64);
    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Content<'t>, E> {
        self.keep(Content::Text(Cow::Owned(text.to_owned())))
    }
    fn visit_borrowed_str<E: serde::de::Error>(self, text: &'t str) -> Result<Content<'t>, E> {
        self.keep(Content::Text(Cow::Borrowed(text)))
    }
    fn visit_seq<A: SeqAccess<'t>>(self, mut list: A) -> Result<Content<'t>, A::Error> {
        self.count()?;
        let mut elements = Vec::new();
        while let Some(element) = list.next_element_seed(self.reader)? {
            elements.push(element);
        }
        Ok(Content::List(elements))
    }
    fn visit_map<A: MapAccess<'t>>(self, mut map: A) -> Result<Content<'t>, A::Error> {
        self.count()?;
        let mut entries = Vec::new();
        while let Some(key) = map.next_key_seed(Key(self.reader))? {
            entries.push((key, map.next_value_seed(self.reader)?));
        }
        Ok(Content::Section(entries))
    }
    fn visit_enum<A: EnumAccess<'t>>(self, tagged: A) -> Result<Content<'t>, A::Error> {
        let (tag, value) = tagged.variant::<String>()?;
        value.newtype_variant::<IgnoredAny>()?;
        self.keep(Content::Tagged(format!("!{tag}")))
    }
}
