//! Values made of several: free names, lists of sections, and switches that may hold a section.
//! Single values are `decode`, sections with known keys `section`.

use std::borrow::Cow;
use std::collections::BTreeSet;

use serde::{Serialize, Serializer};

use super::decode::{Decoder, Shape, Value};
use super::node::{Content, Node};
use super::section::{Section, keys_in_words};

/// Free names with values of one kind, in the order of the file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Named<T>(pub Vec<(String, T)>);

impl<T: Serialize> Serialize for Named<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

impl<T: Value> Value for Named<T> {
    type Limits = T::Limits;
    fn decode<'n>(node: &'n Node<'n>, limits: &T::Limits, to: &mut Decoder<'n>) -> Option<Self> {
        let Content::Section(entries) = &node.content else {
            return to.reject(
                node,
                format!("found {}; wanted a section with names", node.content),
            );
        };
        let mut seen = BTreeSet::new();
        let mut named = Vec::new();
        for (name, value) in entries {
            if let Some(key) = to.key(name)
                && (seen.insert(key.clone()) || to.given_twice(name, &key))
                && let Some(value) = to.inside(key.clone(), |to| T::decode(value, limits, to))
            {
                named.push((key.into_owned(), value));
            }
        }
        Some(Self(named))
    }
    fn absent() -> Option<Self> {
        Some(Self(Vec::new()))
    }
    fn is_absent(&self) -> bool {
        self.0.is_empty()
    }
    fn shape(limits: &T::Limits) -> Shape {
        Shape::Map(Box::new(T::shape(limits)))
    }
}

/// A list of sections; left out, it is empty.
impl<T: Section + Value<Limits = ()>> Value for Vec<T> {
    type Limits = ();
    fn decode<'n>(node: &'n Node<'n>, (): &(), to: &mut Decoder<'n>) -> Option<Self> {
        let Content::List(elements) = &node.content else {
            return to.reject(
                node,
                format!(
                    "found {}; wanted a list, one section behind each dash",
                    node.content
                ),
            );
        };
        let mut all = Vec::with_capacity(elements.len());
        let mut is_whole = true;
        for (place, element) in (1..).zip(elements) {
            let key = Cow::Owned(place.to_string());
            match to.inside(key, |to| T::decode(element, &(), to)) {
                Some(value) => all.push(value),
                None => is_whole = false,
            }
        }
        is_whole.then_some(all)
    }
    fn absent() -> Option<Self> {
        Some(Self::new())
    }
    fn is_absent(&self) -> bool {
        self.is_empty()
    }
    fn shape((): &()) -> Shape {
        Shape::List(Box::new(Shape::Section(T::fields())))
    }
}

/// `true`, `false`, or a section with the details.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Toggle<T> {
    /// Not there.
    #[default]
    Off,
    /// There, without details.
    On,
    /// There, with details.
    Detailed(T),
}

impl<T: Serialize> Serialize for Toggle<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Off => serializer.serialize_bool(false),
            Self::On => serializer.serialize_bool(true),
            Self::Detailed(details) => details.serialize(serializer),
        }
    }
}

impl<T: Section> Value for Toggle<T> {
    type Limits = ();
    fn decode<'n>(node: &'n Node<'n>, (): &(), to: &mut Decoder<'n>) -> Option<Self> {
        match &node.content {
            Content::Flag(false) => Some(Self::Off),
            Content::Flag(true) => Some(Self::On),
            Content::Section(_) => T::decode(node, &(), to).map(Self::Detailed),
            other => {
                let message = format!(
                    "found {other}; allowed true, false or a section with keys; {}",
                    keys_in_words(&T::fields())
                );
                to.reject(node, message)
            }
        }
    }
    fn absent() -> Option<Self> {
        Some(Self::Off)
    }
    fn is_absent(&self) -> bool {
        matches!(self, Self::Off)
    }
    fn shape((): &()) -> Shape {
        Shape::Either(Box::new(Shape::Flag), Box::new(Shape::Section(T::fields())))
    }
}
