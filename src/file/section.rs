//! Sections with known keys: `section!` makes a struct, its reader, its writer's rules and its schema rows
//! from one table.
//! Unknown, misplaced, repeated and missing keys are problems like any other; single values are `decode`.

use std::borrow::Cow;

use super::decode::{Decoder, Field, Shape, Value};
use super::node::{Content, Node};
use crate::words::{clip, either};

/// A struct that is a section with known keys; made by `section!`.
pub trait Section: Value<Limits = ()> {
    /// One row per key.
    fn fields() -> Vec<Field>;
}

/// A key and its value.
type Entry<'n> = (Node<'n>, Node<'n>);

impl<'n> Decoder<'n> {
    /// The entries of a section with the `known` keys, in their order.
    pub(crate) fn entries<T: Section>(
        &mut self,
        node: &'n Node<'n>,
        known: &[&str],
    ) -> Option<Vec<Option<&'n Entry<'n>>>> {
        // Everything under the key is still commented out: nothing is said, where nothing has to be.
        if matches!(node.content, Content::Empty) && T::fields().iter().all(|field| !field.required)
        {
            return Some(vec![None; known.len()]);
        }
        let Content::Section(entries) = &node.content else {
            let found = &node.content;
            let keys = keys_in_words(&T::fields());
            let example = self.example(&T::fields());
            return self.reject(
                node,
                format!("found {found}; wanted a section with keys; {keys}{example}"),
            );
        };
        let mut values = vec![None; known.len()];
        for entry in entries {
            let Some(key) = self.key(&entry.0) else {
                continue;
            };
            match known.iter().position(|known| *known == key) {
                Some(at) if values[at].is_some() => {
                    self.given_twice(&entry.0, &key);
                }
                Some(at) => values[at] = Some(entry),
                None => {
                    let is_bare = matches!(entry.1.content, Content::Empty);
                    let message = self.unknown(&key, is_bare, known);
                    self.reject::<()>(&entry.0, message);
                }
            }
        }
        Some(values)
    }

    /// How to write the section that it is at, where that takes one line.
    fn example(&self, fields: &[Field]) -> String {
        let needed: Vec<_> = fields.iter().filter(|field| field.required).collect();
        let is_one_line = needed
            .iter()
            .all(|field| !matches!(field.shape, Shape::Section(_)));
        match self.path().rsplit('.').next() {
            Some(key) if !key.is_empty() && !needed.is_empty() && is_one_line => {
                let needed: Vec<_> = needed
                    .iter()
                    .map(|field| format!("{}: …", field.key))
                    .collect();
                format!("; write `{key}: {{{}}}`", needed.join(", "))
            }
            _ => String::new(),
        }
    }

    /// A key as text.
    pub(super) fn key(&mut self, key: &'n Node<'n>) -> Option<Cow<'n, str>> {
        match &key.content {
            Content::List(_) | Content::Section(_) | Content::Tagged(_) => {
                self.reject(key, format!("found {}; wanted a key", key.content))
            }
            scalar => Some(scalar.bare()),
        }
    }

    /// Notes a key that the section has already. False, for there is nothing to go on with.
    pub(super) fn given_twice(&mut self, node: &Node<'_>, key: &str) -> bool {
        self.reject::<()>(node, format!("`{}` is given twice; keep one", clip(key)))
            .is_some()
    }

    /// The value of one key of a section, its default, or the problem that there is neither.
    pub(crate) fn field<T: Value>(
        &mut self,
        section: &Node<'_>,
        key: &'static str,
        entry: Option<&'n Entry<'n>>,
        default: Option<T>,
        limits: &T::Limits,
    ) -> Option<T> {
        if let Some((_, value)) = entry {
            return self.inside(key, |to| T::decode(value, limits, to));
        }
        default.or_else(T::absent).or_else(|| {
            let message = match T::shape(limits) {
                Shape::Section(fields) => format!("is missing; {}", keys_in_words(&fields)),
                _ => "is missing and has no default".to_owned(),
            };
            self.inside(key, |to| to.reject(section, message))
        })
    }

    /// What to say about a key that the section does not have.
    fn unknown(&self, key: &str, is_bare: bool, known: &[&str]) -> String {
        /// A key that stands in more places than this says nothing about where it belongs.
        const MOST_PLACES: usize = 4;
        /// Beyond this many problems nobody reads on, and looking for a cure would take a second.
        const MOST_CURES: usize = 200;
        if self.found.len() > MOST_CURES {
            return format!("`{}` is not a key here", clip(key));
        }
        let mut homes = Vec::new();
        homes_of(key, &(self.whole)(), "", &mut homes);
        // Below this section rather than anywhere.
        let here = self.path();
        let below: Vec<_> = homes
            .iter()
            .filter(|home| home.starts_with(&here))
            .cloned()
            .collect();
        if !here.is_empty() && !below.is_empty() {
            homes = below;
        }
        let key = clip(key);
        if (1..=MOST_PLACES).contains(&homes.len()) {
            return if homes[0].is_empty() {
                format!("`{key}` is not a key here; it belongs at the top level")
            } else {
                format!(
                    "`{key}` is not a key here; it belongs under {}",
                    either(&homes)
                )
            };
        }
        if is_bare && key.starts_with(|first: char| first.is_ascii_digit()) {
            return format!(
                "`{key}` is not a key here: between braces a comma ends a figure; write decimals with a point"
            );
        }
        let distance = |known: &&&str| strsim::damerau_levenshtein(known, &key);
        let near = known
            .iter()
            .filter(|known| distance(known) <= 2 || key.contains(**known));
        let hint = near
            .min_by_key(distance)
            .map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
        format!(
            "`{key}` is not a key here; allowed: {}{hint}",
            known.join(", ")
        )
    }
}

/// Dotted paths of the sections that have a key; empty for the top level.
fn homes_of(key: &str, fields: &[Field], path: &str, homes: &mut Vec<String>) {
    if fields.iter().any(|field| field.key == key) {
        homes.push(path.to_owned());
    }
    for field in fields {
        let inner = match &field.shape {
            Shape::Section(inner) => inner,
            Shape::Either(_, other) => match other.as_ref() {
                Shape::Section(inner) => inner,
                _ => continue,
            },
            _ => continue,
        };
        let dot = if path.is_empty() { "" } else { "." };
        homes_of(key, inner, &format!("{path}{dot}{}", field.key), homes);
    }
}

/// Which keys a section needs, and which it may have.
pub(super) fn keys_in_words(fields: &[Field]) -> String {
    let (needed, free): (Vec<_>, Vec<_>) = fields.iter().partition(|field| field.required);
    let needed: Vec<_> = needed.into_iter().map(with_needs).collect();
    let free: Vec<_> = free.iter().map(|field| field.key).collect();
    match (needed.is_empty(), free.is_empty()) {
        (false, true) => format!("it needs {}", needed.join(", ")),
        (true, _) => format!("it may have {}", free.join(", ")),
        (false, false) => {
            format!(
                "it needs {}; it may have {}",
                needed.join(", "),
                free.join(", ")
            )
        }
    }
}

/// A key, and in brackets what a section behind it needs.
fn with_needs(field: &Field) -> String {
    let Shape::Section(inner) = &field.shape else {
        return field.key.to_owned();
    };
    let inner: Vec<_> = inner
        .iter()
        .filter(|field| field.required)
        .map(with_needs)
        .collect();
    if inner.is_empty() {
        field.key.to_owned()
    } else {
        format!("{} ({})", field.key, inner.join(", "))
    }
}

/// Makes a struct, its reader, its writer's rules and its schema rows from one table:
/// `key: Type [= default], limits;` with the doc comment of each row.
macro_rules! section {
    (
        $(#[doc = $doc:literal])*
        $(#[derive($derive:ident)])?
        pub struct $name:ident {
            $( $(#[doc = $field_doc:literal])* $field:ident: $type:ty $(= $default:expr)?, $limits:expr; )*
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, PartialEq, serde::Serialize $(, $derive)?)]
        pub struct $name {
            $(
                $(#[doc = $field_doc])*
                #[serde(skip_serializing_if = "crate::file::Value::is_absent")]
                pub $field: $type,
            )*
        }

        impl crate::file::Section for $name {
            fn fields() -> Vec<crate::file::Field> {
                vec![$({
                    let default: Option<$type> = section!(@default $($default)?);
                    crate::file::Field {
                        key: stringify!($field),
                        doc: concat!($($field_doc),*).trim().to_owned(),
                        required: default.or_else(<$type as crate::file::Value>::absent).is_none(),
                        shape: <$type as crate::file::Value>::shape(&$limits),
                    }
                }),*]
            }
        }

        impl crate::file::Value for $name {
            type Limits = ();
            fn decode<'n>(
                node: &'n crate::file::Node<'n>,
                (): &(),
                to: &mut crate::file::Decoder<'n>,
            ) -> Option<Self> {
                let mut entries = to.entries::<Self>(node, &[$(stringify!($field)),*])?.into_iter();
                // All of them, so that one that is wrong hides no other.
                $(let $field = to.field(node, stringify!($field), entries.next().flatten(), section!(@default $($default)?), &$limits);)*
                Some(Self { $($field: $field?,)* })
            }
            fn shape((): &()) -> crate::file::Shape {
                crate::file::Shape::Section(<Self as crate::file::Section>::fields())
            }
        }
    };
    (@default) => { None };
    (@default $default:expr) => { Some($default) };
}
pub(crate) use section;
