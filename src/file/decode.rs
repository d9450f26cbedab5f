//! Typed values from nodes: quantities within ranges, words, texts, dates, lists of names, switches.
//! Every problem is gathered; a value that is wrong is `None`, and whoever asked for it carries on.
//! Sections with known keys are `section`.

use std::borrow::Cow;
use std::ops::RangeInclusive;

use super::error::{Problem, Span};
use super::node::{Content, Node};
use crate::units::{ParseError, Quantity};
use crate::words::{self, Word, clip, tidy};

/// Longest text that a key takes, characters: a name on a card.
pub(crate) const LONGEST_TEXT: usize = 120;

/// What a value may look like in a file, for the JSON Schema.
#[derive(Debug, Clone)]
pub enum Shape {
    /// A number, or text with a unit.
    Quantity {
        /// Base unit.
        unit: &'static str,
        /// Allowed range in the base unit.
        range: RangeInclusive<f64>,
        /// What may follow the number in a text; an empty spelling where a bare number will do.
        spellings: Vec<&'static str>,
        /// Whether `±` and a spread may follow.
        with_spread: bool,
    },
    /// A bare number.
    Number(RangeInclusive<f64>),
    /// A whole number.
    Whole(RangeInclusive<u32>),
    /// One of these words.
    Choice(Vec<&'static str>),
    /// Free text.
    Text,
    /// Text of one form, as a regular expression.
    Pattern(&'static str),
    /// Yes or no.
    Flag,
    /// A calendar date.
    Date,
    /// Named fields.
    Section(Vec<Field>),
    /// Free names with values of one shape.
    Map(Box<Shape>),
    /// Several of one shape.
    List(Box<Shape>),
    /// Either of two shapes.
    Either(Box<Shape>, Box<Shape>),
}

/// One key of a section.
#[derive(Debug, Clone)]
pub struct Field {
    /// The key.
    pub key: &'static str,
    /// What it means.
    pub doc: String,
    /// Whether the file must have it.
    pub required: bool,
    /// Its shape.
    pub shape: Shape,
}

/// A type that can stand in a file.
pub trait Value: Sized {
    /// What the field's row in the table adds: a range for numbers, nothing for sections.
    type Limits;
    /// The value of a node; None when it is wrong and the decoder has been told.
    fn decode<'n>(node: &'n Node<'n>, limits: &Self::Limits, to: &mut Decoder<'n>) -> Option<Self>;
    /// The value of a key that the file leaves out, if it may.
    fn absent() -> Option<Self> {
        None
    }
    /// Whether writing it can be left out.
    fn is_absent(&self) -> bool {
        false
    }
    /// Its shape, for the schema.
    fn shape(limits: &Self::Limits) -> Shape;
}

/// One pass over a tree: where it is, and everything that is wrong so far.
#[derive(Debug)]
pub struct Decoder<'n> {
    path: Vec<Cow<'n, str>>,
    pub(super) whole: fn() -> Vec<Field>,
    pub(super) found: Vec<(Span, Problem)>,
}

impl<'n> Decoder<'n> {
    /// A pass over a file with these keys.
    pub(super) fn new(whole: fn() -> Vec<Field>) -> Self {
        Self {
            path: Vec::new(),
            whole,
            found: Vec::new(),
        }
    }

    /// The dotted path of the key that it is at.
    pub(super) fn path(&self) -> String {
        self.path.join(".")
    }

    /// Notes what is wrong with a node.
    pub(crate) fn reject<T>(&mut self, node: &Node<'_>, message: impl Into<String>) -> Option<T> {
        self.found
            .push((node.span, Problem::at_key(self.path(), message)));
        None
    }

    /// Does something about one key, which messages name.
    pub(super) fn inside<T>(
        &mut self,
        key: impl Into<Cow<'n, str>>,
        decode: impl FnOnce(&mut Self) -> T,
    ) -> T {
        self.path.push(key.into());
        let value = decode(self);
        self.path.pop();
        value
    }

    /// A value from a scalar; a list, a section or a tag in its place is wrong.
    pub(crate) fn scalar<T, E: ToString>(
        &mut self,
        node: &Node<'_>,
        wanted: &str,
        make: impl FnOnce(&Content<'_>) -> Result<T, E>,
    ) -> Option<T> {
        match &node.content {
            Content::List(_) | Content::Section(_) | Content::Tagged(_) => {
                self.reject(node, format!("found {}; wanted {wanted}", node.content))
            }
            scalar => match make(scalar) {
                Ok(value) => Some(value),
                Err(message) => self.reject(node, message.to_string()),
            },
        }
    }
}

impl<T: Value> Value for Option<T> {
    type Limits = T::Limits;
    fn decode<'n>(node: &'n Node<'n>, limits: &T::Limits, to: &mut Decoder<'n>) -> Option<Self> {
        T::decode(node, limits, to).map(Some)
    }
    fn absent() -> Option<Self> {
        Some(None)
    }
    fn is_absent(&self) -> bool {
        self.is_none()
    }
    fn shape(limits: &T::Limits) -> Shape {
        T::shape(limits)
    }
}

impl<T: Word> Value for T {
    type Limits = ();
    fn decode<'n>(node: &'n Node<'n>, (): &(), to: &mut Decoder<'n>) -> Option<Self> {
        to.scalar(node, "one word", |found| T::from_word(&found.bare()))
    }
    fn shape((): &()) -> Shape {
        Shape::Choice(T::words())
    }
}

/// A quantity inside its range, or a sentence that says what is allowed.
pub(crate) fn in_range<Q: Quantity>(
    found: &Content<'_>,
    range: &RangeInclusive<f64>,
) -> Result<Q, String> {
    let unit = Q::UNIT;
    let allowed = || Q::allowed(range, &found.bare());
    let not_finite = |found: &str| format!("`{found}` is not a finite number; {}", allowed());
    let value = match found {
        Content::Number(number) if !number.is_finite() => {
            return Err(not_finite(&number.to_string()));
        }
        // A bare number takes the base unit by the same grammar, which an age refuses.
        Content::Number(number) if Q::spellings().contains(&"") => Ok(Q::from_number(*number)),
        Content::Number(number) => tidy(*number, 9).parse(),
        Content::Text(text) => text.parse(),
        other => {
            return Err(format!(
                "found {other}; wanted a number in {unit} or a text with a unit"
            ));
        }
    };
    let value: Q = value.map_err(|error| match error {
        ParseError::NotFinite(found) => not_finite(&found),
        other => other.to_string(),
    })?;
    if range.contains(&value.number()) {
        return Ok(value);
    }
    let bare = match found {
        Content::Number(number) => Some(*number),
        // A bare number given as text, as on a command line.
        other => other.bare().parse().ok(),
    };
    let slip = bare.and_then(|number| Q::likely_slip(number, range));
    Err(format!(
        "found {} {unit}; {}{}",
        tidy(value.number(), 3),
        allowed(),
        slip.map_or_else(String::new, |s| format!("; {s}"))
    ))
}

macro_rules! quantity_values {
    ($($name:ident),*) => {$(
        impl Value for crate::units::$name {
            type Limits = RangeInclusive<f64>;
            fn decode<'n>(node: &'n Node<'n>, limits: &Self::Limits, to: &mut Decoder<'n>) -> Option<Self> {
                to.scalar(node, "a number or a text with a unit", |found| in_range(found, limits))
            }
            fn shape(limits: &Self::Limits) -> Shape {
                Shape::Quantity { unit: Self::UNIT, range: limits.clone(), spellings: Self::spellings(), with_spread: false }
            }
        }
    )*};
}
quantity_values!(Length, Angle, Mass, Pressure, Torque, Age);

/// The unit that a key's name ends with, of those that keys of bare numbers are in.
fn unit_in(key: &str) -> Option<&str> {
    let (_, unit) = key.rsplit_once('_')?;
    ["mm", "deg", "bar", "kg", "months"]
        .contains(&unit)
        .then_some(unit)
}

impl Value for f64 {
    type Limits = RangeInclusive<f64>;
    fn decode<'n>(node: &'n Node<'n>, limits: &Self::Limits, to: &mut Decoder<'n>) -> Option<Self> {
        let wanted = |unit: Option<&str>| {
            let range = format!("a number from {} to {}", limits.start(), limits.end());
            unit.map_or_else(
                || range.clone(),
                |unit| format!("{range}, in {unit} and written without it"),
            )
        };
        match &node.content {
            Content::Number(number) if limits.contains(number) => Some(*number),
            _ => {
                let wanted = wanted(unit_in(&to.path()));
                to.scalar(node, &wanted, |other| {
                    let pointed = other.bare().replacen(',', ".", 1);
                    let is_number = pointed != other.bare() && pointed.parse::<Self>().is_ok();
                    Err(if is_number {
                        format!("found {other}; write the decimal point: `{pointed}`")
                    } else {
                        format!("found {other}; allowed {wanted}")
                    })
                })
            }
        }
    }
    fn shape(limits: &Self::Limits) -> Shape {
        Shape::Number(limits.clone())
    }
}

impl Value for u32 {
    type Limits = RangeInclusive<Self>;
    fn decode<'n>(node: &'n Node<'n>, limits: &Self::Limits, to: &mut Decoder<'n>) -> Option<Self> {
        let wanted = || format!("a whole number from {} to {}", limits.start(), limits.end());
        let whole = match node.content {
            Content::Number(number) => limits
                .clone()
                .find(|whole| (f64::from(*whole) - number).abs() < f64::EPSILON),
            _ => None,
        };
        whole.or_else(|| {
            to.scalar(node, &wanted(), |other| {
                Err(format!("found {other}; allowed {}", wanted()))
            })
        })
    }
    fn shape(limits: &Self::Limits) -> Shape {
        Shape::Whole(limits.clone())
    }
}

impl Value for String {
    type Limits = ();
    fn decode<'n>(node: &'n Node<'n>, (): &(), to: &mut Decoder<'n>) -> Option<Self> {
        to.scalar(node, "a text", |found| match found {
            Content::Text(text) if text.trim().is_empty() => Err("found an empty text".to_owned()),
            Content::Text(text) if text.chars().count() > LONGEST_TEXT => Err(format!(
                "found {} characters; allowed at most {LONGEST_TEXT}",
                text.chars().count()
            )),
            Content::Text(text) if text.chars().any(char::is_control) => Err(format!(
                "`{}` has a line break or another control character; one line of plain text is allowed",
                clip(text)
            )),
            Content::Text(text) => match words::clean(text) {
                seen if seen.is_empty() => Err(
                    "found a text of which nothing can be seen; write letters or digits".to_owned(),
                ),
                seen => Ok(seen.into_owned()),
            },
            Content::Number(number) if number.is_finite() => Ok(tidy(*number, 6)),
            other => Err(format!("found {other}; wanted a text")),
        })
    }
    fn shape((): &()) -> Shape {
        Shape::Text
    }
}

impl Value for jiff::civil::Date {
    type Limits = ();
    fn decode<'n>(node: &'n Node<'n>, (): &(), to: &mut Decoder<'n>) -> Option<Self> {
        to.scalar(node, "a date", |found| match found {
            Content::Text(text) => text
                .parse()
                .map_err(|_| format!("{found} is not a date; write it as 2019-07-02")),
            other => Err(format!(
                "found {other}; wanted a date, written as 2019-07-02"
            )),
        })
    }
    fn shape((): &()) -> Shape {
        Shape::Date
    }
}
