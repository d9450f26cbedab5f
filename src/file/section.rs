//! Mappings with known keys: `section!` makes a struct, its reader, its writer's rules and its schema
//! rows from one table, `choice!` an enum whose variants are words.
//! Unknown, repeated and missing keys are problems like any other; single values are `values`.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{
    self, DeserializeSeed, Deserializer, EnumAccess, IgnoredAny, MapAccess, SeqAccess, Visitor,
};

use super::values::{Field, Run, Scalar, Value, read_scalar, tag_of};
use crate::units::clip;

/// A type that is read from a mapping.
pub trait FromMap: Sized {
    /// What the entries' values need to be checked.
    type Limits;
    /// Reads the mapping to its end; None when an entry is wrong and already reported.
    fn from_map<'de, A: MapAccess<'de>>(
        map: A,
        limits: &Self::Limits,
        run: &Run,
    ) -> Result<Option<Self>, A::Error>;
}

/// A struct that is a mapping with known keys in the file; made by `section!`.
pub trait Section: FromMap<Limits = ()> {
    /// One row per key.
    fn fields() -> Vec<Field>;
}

/// Reads a mapping; anything else in its place is an error that can be passed over.
#[derive(Debug)]
pub struct MapVisitor<'r, T: FromMap> {
    /// The pass.
    pub run: &'r Run,
    /// Limits of the entries.
    pub limits: &'r T::Limits,
    /// The type to read.
    pub marker: PhantomData<T>,
}

impl<T: FromMap> MapVisitor<'_, T> {
    fn refuse<E: de::Error>(&self, found: &str) -> Result<Option<T>, E> {
        self.run.reject(format!(
            "found {found}; wanted a section with keys of its own"
        ))
    }
}

impl<'de, T: FromMap> Visitor<'de> for MapVisitor<'_, T> {
    type Value = Option<T>;
    refuse_scalars!("a section with keys");
    fn visit_bool<E: de::Error>(self, found: bool) -> Result<Option<T>, E> {
        self.refuse(&format!("`{found}`"))
    }
    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Option<T>, A::Error> {
        T::from_map(map, self.limits, self.run)
    }
}

/// The entries of one mapping.
#[derive(Debug)]
pub struct Entries<'r, A> {
    map: A,
    known: Option<&'static [&'static str]>,
    seen: Vec<String>,
    run: &'r Run,
    /// Whether an entry is wrong and already reported.
    pub(super) is_broken: bool,
}

impl<'de, 'r, A: MapAccess<'de>> Entries<'r, A> {
    /// Entries with the `known` keys, or with free names.
    pub fn new(map: A, known: Option<&'static [&'static str]>, run: &'r Run) -> Self {
        Self {
            map,
            known,
            seen: Vec::new(),
            run,
            is_broken: false,
        }
    }

    /// The next good key.
    pub fn next_key(&mut self) -> Result<Option<String>, A::Error> {
        loop {
            let seed = KeySeed {
                known: self.known,
                seen: &self.seen,
                run: self.run,
            };
            match self.map.next_key_seed(seed)? {
                Some(Some(key)) => {
                    self.seen.push(key.clone());
                    return Ok(Some(key));
                }
                None => return Ok(None),
                Some(None) => {
                    self.is_broken = true;
                    self.map.next_value::<IgnoredAny>()?;
                }
            }
        }
    }

    /// The value of the key just read.
    pub fn value<T: Value>(&mut self, limits: &T::Limits) -> Result<Option<T>, A::Error> {
        let (map, run) = (&mut self.map, self.run);
        let key = self.seen.last().map_or("", String::as_str);
        let value = run.inside(key, || {
            if run.is_target() {
                map.next_value_seed(Stop(run)).map(|()| None)
            } else {
                map.next_value_seed(Seed {
                    limits,
                    run,
                    marker: PhantomData,
                })
            }
        })?;
        self.is_broken |= value.is_none();
        Ok(value)
    }

    /// What a section does with a key that the mapping did not have.
    pub fn missing<T: Value>(
        &mut self,
        key: &str,
        default: Option<T>,
    ) -> Result<Option<T>, A::Error> {
        if self.seen.iter().any(|seen| seen == key) {
            return Ok(None);
        }
        match default.or_else(T::absent) {
            Some(value) => Ok(Some(value)),
            None => self
                .run
                .inside(key, || self.run.reject("is missing and has no default")),
        }
    }

    /// Whether every entry was good.
    pub fn are_good(&self) -> bool {
        !self.is_broken
    }
}

struct KeySeed<'a> {
    known: Option<&'static [&'static str]>,
    seen: &'a [String],
    run: &'a Run,
}

impl<'de> DeserializeSeed<'de> for KeySeed<'_> {
    type Value = Option<String>;
    fn deserialize<D: Deserializer<'de>>(self, source: D) -> Result<Option<String>, D::Error> {
        read_scalar(source, self.run, "a key", |scalar| {
            let key = match scalar {
                Scalar::Text(text) => text.trim().to_owned(),
                other => other.to_string().replace('`', ""),
            };
            if self.seen.contains(&key) {
                return Err(format!("`{}` is given twice; keep one", clip(&key)));
            }
            match self.known {
                Some(known) if !known.contains(&key.as_str()) => Err(unknown_key(&key, known)),
                _ => Ok(key),
            }
        })
    }
}

fn unknown_key(key: &str, known: &[&str]) -> String {
    let near = known
        .iter()
        .filter(|k| strsim::damerau_levenshtein(k, key) <= 2 || key.contains(*k))
        .min_by_key(|k| strsim::damerau_levenshtein(k, key));
    let hint = near.map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
    format!(
        "`{}` is not a key here; allowed: {}{hint}",
        clip(key),
        known.join(", ")
    )
}

struct Seed<'r, T: Value> {
    limits: &'r T::Limits,
    run: &'r Run,
    marker: PhantomData<T>,
}

impl<'de, T: Value> DeserializeSeed<'de> for Seed<'_, T> {
    type Value = Option<T>;
    fn deserialize<D: Deserializer<'de>>(self, source: D) -> Result<Option<T>, D::Error> {
        T::read(source, self.limits, self.run)
    }
}

/// Ends the pass at the value whose position is wanted.
struct Stop<'r>(&'r Run);

impl<'de> DeserializeSeed<'de> for Stop<'_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, source: D) -> Result<(), D::Error> {
        self.0.is_stopped.set(true);
        // A value that nothing visits is an error at its own place.
        source.deserialize_any(Nothing)
    }
}

struct Nothing;

impl Visitor<'_> for Nothing {
    type Value = ();
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the place of this value")
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

        impl crate::file::FromMap for $name {
            type Limits = ();
            fn from_map<'de, A: serde::de::MapAccess<'de>>(
                map: A,
                (): &(),
                run: &crate::file::Run,
            ) -> Result<Option<Self>, A::Error> {
                let mut entries = crate::file::Entries::new(map, Some(&[$(stringify!($field)),*]), run);
                $(let mut $field: Option<$type> = None;)*
                while let Some(key) = entries.next_key()? {
                    match key.as_str() {
                        $(stringify!($field) => $field = entries.value(&$limits)?,)*
                        _ => {}
                    }
                }
                $(
                    if $field.is_none() {
                        $field = entries.missing(stringify!($field), section!(@default $($default)?))?;
                    }
                )*
                // None where an entry is missing or wrong, which is already reported.
                let read = || Some(Self { $($field: $field?,)* });
                Ok(if entries.are_good() { read() } else { None })
            }
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
            fn read<'de, D: serde::Deserializer<'de>>(
                source: D,
                limits: &(),
                run: &crate::file::Run,
            ) -> Result<Option<Self>, D::Error> {
                source.deserialize_any(crate::file::MapVisitor { run, limits, marker: std::marker::PhantomData })
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

/// Makes an enum whose variants are words in the file.
macro_rules! choice {
    (
        $(#[doc = $doc:literal])*
        pub enum $name:ident { $( $(#[doc = $variant_doc:literal])* $variant:ident = $word:literal, )* }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize)]
        pub enum $name {
            $( $(#[doc = $variant_doc])* #[serde(rename = $word)] $variant, )*
        }

        impl $name {
            /// Every variant, in the order of the manual.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];

            /// The word for it in files, flags and reports.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),* }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl std::str::FromStr for $name {
            type Err = String;
            fn from_str(text: &str) -> Result<Self, String> {
                match text.trim() {
                    $($word => Ok(Self::$variant),)*
                    other => Err(format!("found `{}`; allowed {}", crate::units::clip(other), [$($word),*].join(", "))),
                }
            }
        }

        impl crate::file::Value for $name {
            type Limits = ();
            fn read<'de, D: serde::Deserializer<'de>>(
                source: D,
                (): &(),
                run: &crate::file::Run,
            ) -> Result<Option<Self>, D::Error> {
                crate::file::read_scalar(source, run, "one word", |scalar| match scalar {
                    crate::file::Scalar::Text(text) => text.parse(),
                    other => other.to_string().replace('`', "").parse(),
                })
            }
            fn shape((): &()) -> crate::file::Shape {
                crate::file::Shape::Choice(vec![$($word),*])
            }
        }
    };
}
pub(crate) use choice;
