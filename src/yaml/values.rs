//! Values in a document: quantities within ranges, words, texts, dates, lists of names, switches.
//! Every reader passes over what an earlier pass reported, so that all problems surface one after another.
//! Mappings with known keys are `section`.

use std::cell::{Cell, RefCell};
use std::fmt;
use std::marker::PhantomData;
use std::ops::RangeInclusive;

use serde::Serialize;
use serde::de::{
    self, Deserializer, EnumAccess, IgnoredAny, MapAccess, SeqAccess, VariantAccess as _, Visitor,
};

use super::section::{Entries, FromMap, MapVisitor, Section};
use crate::units::{ParseError, Quantity, clip, tidy};
use crate::words;

/// Longest text that a key takes, characters: a name on a card.
pub const LONGEST_TEXT: usize = 120;

/// State of one pass over a document. Readers return `None` for what an earlier pass reported.
#[derive(Debug, Default)]
pub struct Run {
    budget: Cell<usize>,
    pub(super) is_stopped: Cell<bool>,
    stop_at: Option<String>,
    path: RefCell<Vec<String>>,
    pub(super) raised: RefCell<Option<Raised>>,
}

#[derive(Debug)]
pub(super) struct Raised {
    pub(super) key: String,
    pub(super) message: String,
}

impl Run {
    /// A pass that passes over the first `known` problems.
    pub(super) fn passing_over(known: usize) -> Self {
        Self {
            budget: Cell::new(known),
            ..Self::default()
        }
    }

    /// A pass that ends at the value of this dotted key.
    pub(super) fn stopping_at(key: &str) -> Self {
        Self {
            stop_at: Some(key.to_owned()),
            ..Self::default()
        }
    }

    /// Passes over what earlier passes reported; the first new problem ends the pass, and the parser
    /// adds its position on the way up.
    pub(super) fn reject<T, E: de::Error>(
        &self,
        message: impl Into<String>,
    ) -> Result<Option<T>, E> {
        if let Some(left) = self.budget.get().checked_sub(1) {
            self.budget.set(left);
            return Ok(None);
        }
        let message = message.into();
        let error = E::custom(&message);
        *self.raised.borrow_mut() = Some(Raised {
            key: self.path.borrow().join("."),
            message,
        });
        Err(error)
    }

    pub(super) fn is_target(&self) -> bool {
        self.stop_at.as_ref().is_some_and(|target| {
            self.path
                .borrow()
                .iter()
                .map(String::as_str)
                .eq(target.split('.'))
        })
    }

    pub(super) fn inside<T>(&self, key: &str, read: impl FnOnce() -> T) -> T {
        self.path.borrow_mut().push(key.to_owned());
        let value = read();
        self.path.borrow_mut().pop();
        value
    }
}

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
    /// Reads the value; None when it is wrong and already reported.
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        limits: &Self::Limits,
        run: &Run,
    ) -> Result<Option<Self>, D::Error>;
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

impl<T: Value> Value for Option<T> {
    type Limits = T::Limits;
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        limits: &T::Limits,
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        Ok(T::read(source, limits, run)?.map(Some))
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

/// A YAML scalar, before it means anything.
#[derive(Debug, Clone, Copy)]
pub enum Scalar<'a> {
    /// A number.
    Number(f64),
    /// A text.
    Text(&'a str),
    /// `true` or `false`.
    Flag(bool),
    /// Nothing after the colon.
    Empty,
}

impl fmt::Display for Scalar<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) if number.is_finite() => write!(f, "`{}`", tidy(*number, 6)),
            Self::Number(number) => write!(f, "`{number}`"),
            Self::Text(text) => write!(f, "`{}`", clip(text)),
            Self::Flag(flag) => write!(f, "`{flag}`"),
            Self::Empty => write!(f, "nothing"),
        }
    }
}

/// Reads a scalar and turns it into a value; a list or a section in its place is a problem like any other.
pub fn read_scalar<'de, D, T>(
    source: D,
    run: &Run,
    wanted: &str,
    parse: impl FnOnce(Scalar<'_>) -> Result<T, String>,
) -> Result<Option<T>, D::Error>
where
    D: Deserializer<'de>,
{
    struct ScalarVisitor<'r, F> {
        run: &'r Run,
        wanted: &'r str,
        parse: F,
    }
    impl<T, F: FnOnce(Scalar<'_>) -> Result<T, String>> ScalarVisitor<'_, F> {
        fn visit<E: de::Error>(self, scalar: Scalar<'_>) -> Result<Option<T>, E> {
            match (self.parse)(scalar) {
                Ok(value) => Ok(Some(value)),
                Err(message) => self.run.reject(message),
            }
        }
    }
    impl<'de, T, F: FnOnce(Scalar<'_>) -> Result<T, String>> Visitor<'de> for ScalarVisitor<'_, F> {
        type Value = Option<T>;
        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str(self.wanted)
        }
        fn visit_bool<E: de::Error>(self, v: bool) -> Result<Option<T>, E> {
            self.visit(Scalar::Flag(v))
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "beyond 2^53 every range check fails anyway"
        )]
        fn visit_i64<E: de::Error>(self, v: i64) -> Result<Option<T>, E> {
            self.visit(Scalar::Number(v as f64))
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "beyond 2^53 every range check fails anyway"
        )]
        fn visit_u64<E: de::Error>(self, v: u64) -> Result<Option<T>, E> {
            self.visit(Scalar::Number(v as f64))
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "beyond 2^53 every range check fails anyway"
        )]
        fn visit_i128<E: de::Error>(self, v: i128) -> Result<Option<T>, E> {
            self.visit(Scalar::Number(v as f64))
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "beyond 2^53 every range check fails anyway"
        )]
        fn visit_u128<E: de::Error>(self, v: u128) -> Result<Option<T>, E> {
            self.visit(Scalar::Number(v as f64))
        }
        fn visit_f64<E: de::Error>(self, v: f64) -> Result<Option<T>, E> {
            self.visit(Scalar::Number(v))
        }
        fn visit_str<E: de::Error>(self, v: &str) -> Result<Option<T>, E> {
            self.visit(Scalar::Text(v))
        }
        fn visit_unit<E: de::Error>(self) -> Result<Option<T>, E> {
            self.visit(Scalar::Empty)
        }
        fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Option<T>, A::Error> {
            while seq.next_element::<IgnoredAny>()?.is_some() {}
            self.run
                .reject(format!("found a list; wanted {}", self.wanted))
        }
        fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Option<T>, A::Error> {
            while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
            self.run.reject(format!(
                "found a section with keys of its own; wanted {}",
                self.wanted
            ))
        }
        fn visit_enum<A: EnumAccess<'de>>(self, tagged: A) -> Result<Option<T>, A::Error> {
            let tag = tag_of(tagged)?;
            self.run
                .reject(format!("found the tag `{tag}`; wanted {}", self.wanted))
        }
    }
    source.deserialize_any(ScalarVisitor { run, wanted, parse })
}

/// Passes over a value with a tag of its own, such as `!mm 3`, which no key takes. Returns the tag.
pub(super) fn tag_of<'de, A: EnumAccess<'de>>(tagged: A) -> Result<String, A::Error> {
    let (tag, value) = tagged.variant::<String>()?;
    value.newtype_variant::<IgnoredAny>()?;
    Ok(clip(&format!("!{tag}")))
}

/// A quantity from a scalar, inside its range, or a sentence that says what is allowed.
pub(crate) fn quantity_in_range<Q: Quantity>(
    scalar: Scalar<'_>,
    range: &RangeInclusive<f64>,
) -> Result<Q, String> {
    let unit = Q::UNIT;
    let (low, high) = (tidy(*range.start(), 3), tidy(*range.end(), 3));
    let allowed = format!("allowed {low} to {high} {unit}");
    let not_finite = |found: &str| format!("`{found}` is not a finite number; {allowed}");
    let parsed = |text: &str| {
        text.parse::<Q>().map_err(|error| match error {
            ParseError::NotFinite(found) => not_finite(&found),
            other => other.to_string(),
        })
    };
    let value = match scalar {
        Scalar::Number(number) if !number.is_finite() => {
            return Err(not_finite(&number.to_string()));
        }
        // A bare number takes the base unit by the same grammar, which an age refuses.
        Scalar::Number(number) if "1".parse::<Q>().is_ok() => Q::from_number(number),
        Scalar::Number(number) => parsed(&tidy(number, 9))?,
        Scalar::Text(text) => parsed(text)?,
        Scalar::Flag(_) | Scalar::Empty => {
            return Err(format!(
                "found {scalar}; wanted a number in {unit} or a text with a unit",
            ));
        }
    };
    if range.contains(&value.number()) {
        return Ok(value);
    }
    let slip = match scalar {
        Scalar::Number(number) => Q::likely_slip(number, range),
        // A bare number given as text, as on a command line.
        Scalar::Text(text) => text
            .trim()
            .parse()
            .ok()
            .and_then(|number| Q::likely_slip(number, range)),
        Scalar::Flag(_) | Scalar::Empty => None,
    };
    let found = tidy(value.number(), 3);
    Err(format!(
        "found {found} {unit}; {allowed}{}",
        slip.map_or_else(String::new, |s| format!("; {s}"))
    ))
}

macro_rules! quantity_values {
    ($($name:ty),*) => {$(
        impl Value for $name {
            type Limits = RangeInclusive<f64>;
            fn read<'de, D: Deserializer<'de>>(source: D, limits: &Self::Limits, run: &Run) -> Result<Option<Self>, D::Error> {
                read_scalar(source, run, "a number or a text with a unit", |scalar| quantity_in_range(scalar, limits))
            }
            fn shape(limits: &Self::Limits) -> Shape {
                Shape::Quantity { unit: <$name as Quantity>::UNIT, range: limits.clone(), spellings: <$name as Quantity>::spellings(), with_spread: false }
            }
        }
    )*};
}
quantity_values!(
    crate::units::Length,
    crate::units::Angle,
    crate::units::Mass,
    crate::units::Pressure,
    crate::units::Torque,
    crate::units::Age
);

impl Value for f64 {
    type Limits = RangeInclusive<f64>;
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        limits: &Self::Limits,
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        let (low, high) = (limits.start(), limits.end());
        let wanted = format!("a number from {low} to {high}");
        read_scalar(source, run, &wanted, |scalar| match scalar {
            Scalar::Number(number) if limits.contains(&number) => Ok(number),
            other => Err(format!("found {other}; allowed {wanted}")),
        })
    }
    fn shape(limits: &Self::Limits) -> Shape {
        Shape::Number(limits.clone())
    }
}

impl Value for bool {
    type Limits = ();
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        (): &(),
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        read_scalar(source, run, "true or false", |scalar| match scalar {
            Scalar::Flag(flag) => Ok(flag),
            other => Err(format!("found {other}; allowed true or false")),
        })
    }
    fn shape((): &()) -> Shape {
        Shape::Flag
    }
}

impl Value for String {
    type Limits = ();
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        (): &(),
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        read_scalar(source, run, "a text", |scalar| match scalar {
            Scalar::Text(text) if text.trim().is_empty() => Err("found an empty text".to_owned()),
            Scalar::Text(text) if text.chars().count() > LONGEST_TEXT => Err(format!(
                "found {} characters; allowed at most {LONGEST_TEXT}",
                text.chars().count()
            )),
            Scalar::Text(text) if text.chars().any(char::is_control) => Err(format!(
                "`{}` has a line break or another control character; one line of plain text is allowed",
                clip(text)
            )),
            Scalar::Text(text) => match words::clean(text) {
                seen if seen.is_empty() => Err(
                    "found a text of which nothing can be seen; write letters or digits".to_owned(),
                ),
                seen => Ok(seen.into_owned()),
            },
            Scalar::Number(number) if number.is_finite() => Ok(tidy(number, 6)),
            other => Err(format!("found {other}; wanted a text")),
        })
    }
    fn shape((): &()) -> Shape {
        Shape::Text
    }
}

impl Value for jiff::civil::Date {
    type Limits = ();
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        (): &(),
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        read_scalar(source, run, "a date", |scalar| match scalar {
            Scalar::Text(text) => text
                .parse()
                .map_err(|_| format!("`{}` is not a date; write it as 2019-07-02", clip(text))),
            other => Err(format!(
                "found {other}; wanted a date, written as 2019-07-02"
            )),
        })
    }
    fn shape((): &()) -> Shape {
        Shape::Date
    }
}

/// Free names with values of one kind, in the order of the file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Named<T>(pub Vec<(String, T)>);

impl<T: Serialize> Serialize for Named<T> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

impl<T: Value> FromMap for Named<T> {
    type Limits = T::Limits;
    fn from_map<'de, A: MapAccess<'de>>(
        map: A,
        limits: &T::Limits,
        run: &Run,
    ) -> Result<Option<Self>, A::Error> {
        let mut entries = Entries::new(map, None, run);
        let mut named = Vec::new();
        while let Some(name) = entries.next_key()? {
            if let Some(value) = entries.value(limits)? {
                named.push((name, value));
            }
        }
        Ok((!entries.is_broken).then_some(Self(named)))
    }
}

impl<T: Value> Value for Named<T> {
    type Limits = T::Limits;
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        limits: &T::Limits,
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        source.deserialize_any(MapVisitor {
            run,
            limits,
            marker: PhantomData,
        })
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

/// Visitor methods that turn every scalar and list into one sentence; the visitor adds what it does accept.
macro_rules! refuse_scalars {
    ($wanted:literal) => {
        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str($wanted)
        }
        fn visit_i64<E: de::Error>(self, found: i64) -> Result<Self::Value, E> {
            self.refuse(&format!("`{found}`"))
        }
        fn visit_u64<E: de::Error>(self, found: u64) -> Result<Self::Value, E> {
            self.refuse(&format!("`{found}`"))
        }
        fn visit_i128<E: de::Error>(self, found: i128) -> Result<Self::Value, E> {
            self.refuse(&format!("`{found}`"))
        }
        fn visit_u128<E: de::Error>(self, found: u128) -> Result<Self::Value, E> {
            self.refuse(&format!("`{found}`"))
        }
        fn visit_f64<E: de::Error>(self, found: f64) -> Result<Self::Value, E> {
            self.refuse(&Scalar::Number(found).to_string())
        }
        fn visit_str<E: de::Error>(self, found: &str) -> Result<Self::Value, E> {
            self.refuse(&format!("`{}`", clip(found)))
        }
        fn visit_unit<E: de::Error>(self) -> Result<Self::Value, E> {
            self.refuse("nothing")
        }
        fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Self::Value, A::Error> {
            while seq.next_element::<IgnoredAny>()?.is_some() {}
            self.refuse("a list")
        }
        fn visit_enum<A: EnumAccess<'de>>(self, tagged: A) -> Result<Self::Value, A::Error> {
            let tag = tag_of(tagged)?;
            self.refuse(&format!("the tag `{tag}`"))
        }
    };
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
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Off => serializer.serialize_bool(false),
            Self::On => serializer.serialize_bool(true),
            Self::Detailed(details) => details.serialize(serializer),
        }
    }
}

impl<T: Section> Value for Toggle<T> {
    type Limits = ();
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        (): &(),
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        struct ToggleVisitor<'r, T>(&'r Run, PhantomData<T>);
        impl<T> ToggleVisitor<'_, T> {
            fn refuse<E: de::Error>(&self, found: &str) -> Result<Option<Toggle<T>>, E> {
                self.0.reject(format!(
                    "found {found}; allowed true, false or a section with keys"
                ))
            }
        }
        impl<'de, T: Section> Visitor<'de> for ToggleVisitor<'_, T> {
            type Value = Option<Toggle<T>>;
            refuse_scalars!("true, false or a section with keys");
            fn visit_bool<E: de::Error>(self, there: bool) -> Result<Self::Value, E> {
                Ok(Some(if there { Toggle::On } else { Toggle::Off }))
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
                Ok(T::from_map(map, &(), self.0)?.map(Toggle::Detailed))
            }
        }
        source.deserialize_any(ToggleVisitor(run, PhantomData))
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
