//! JSON Schemas (draft 2020-12) of frame files, rider files and records, made from the readers' own tables.
//! A schema tells an editor what the reader will accept; the reader's own messages are better.
//! What the keys are lives in `bike::spec`, `rider::measures` and `record`.

use serde::{Serialize, Serializer};

use crate::bike::FrameSpec;
use crate::file::{Field, LONGEST_TEXT, Section, Shape};
use crate::record::Record;
use crate::rider::{BESIDE_NO_SETS, RiderFile};
use crate::units::tidy;

/// A JSON value whose objects keep the order of the tables.
#[derive(Debug, Clone, PartialEq)]
pub enum Json {
    /// Named values.
    Object(Vec<(&'static str, Json)>),
    /// Values.
    List(Vec<Json>),
    /// Text.
    Text(String),
    /// A finite number.
    Number(f64),
    /// A count.
    Count(usize),
    /// True or false.
    Flag(bool),
}

impl Serialize for Json {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Object(entries) => {
                serializer.collect_map(entries.iter().map(|(key, value)| (key, value)))
            }
            Self::List(values) => values.serialize(serializer),
            Self::Text(text) => serializer.serialize_str(text),
            Self::Number(number) => serializer.serialize_f64(*number),
            Self::Count(count) => count.serialize(serializer),
            Self::Flag(flag) => serializer.serialize_bool(*flag),
        }
    }
}

fn text(text: impl Into<String>) -> Json {
    Json::Text(text.into())
}

/// The schema of a frame file.
pub fn frame() -> Json {
    whole("Frame file: one bike in one size", FrameSpec::fields())
}

/// The schema of a rider file.
pub fn rider() -> Json {
    let mut schema = whole("Rider file", RiderFile::fields());
    let needs = |keys: &[&str]| {
        let keys = keys.iter().map(|key| text(*key)).collect();
        ("required", Json::List(keys))
    };
    let single = |keys: &[&str]| Json::Object(vec![needs(keys)]);
    // An empty list is as good as none.
    let with_sets = |keys: &[&str]| {
        let sets = Json::Object(vec![("minItems", Json::Count(1))]);
        Json::Object(vec![
            needs(&[&["measurements"], keys].concat()),
            ("properties", Json::Object(vec![("measurements", sets)])),
        ])
    };
    if let Json::Object(entries) = &mut schema {
        // The rules of `Rider::new` between keys.
        let enough = vec![single(&["height"]), single(&["inseam"]), with_sets(&[])];
        let mut never = vec![single(&["age", "born"])];
        never.extend(BESIDE_NO_SETS.map(|key| with_sets(&[key])));
        entries.push(("anyOf", Json::List(enough)));
        entries.push(("not", Json::Object(vec![("anyOf", Json::List(never))])));
    }
    schema
}

/// The schema of a record.
pub fn record() -> Json {
    whole("Record of one handover", Record::fields())
}

fn whole(title: &str, fields: Vec<Field>) -> Json {
    let mut entries = vec![
        (
            "$schema",
            text("https://json-schema.org/draft/2020-12/schema"),
        ),
        ("title", text(title)),
        (
            "description",
            text(
                "Plain numbers are millimetres, degrees, kilograms and bar; text takes a unit, such as \"56 cm\" or \"22 1/2 in\".",
            ),
        ),
    ];
    entries.extend(section(fields));
    Json::Object(entries)
}

fn section(fields: Vec<Field>) -> Vec<(&'static str, Json)> {
    // A section in which nothing is demanded may stand empty.
    let kinds = if fields.iter().any(|field| field.required) {
        text("object")
    } else {
        Json::List(vec![text("object"), text("null")])
    };
    let required = fields
        .iter()
        .filter(|field| field.required)
        .map(|field| text(field.key))
        .collect();
    let properties = fields
        .into_iter()
        .map(|field| {
            let note = range_in_words(&field.shape);
            let mut entries = vec![("description", text(field.doc + &note))];
            entries.extend(shape(field.shape));
            (field.key, Json::Object(entries))
        })
        .collect();
    vec![
        ("type", kinds),
        ("additionalProperties", Json::Flag(false)),
        ("required", Json::List(required)),
        ("properties", Json::Object(properties)),
    ]
}

/// The range with its unit, which a schema has no other place for.
fn range_in_words(shape: &Shape) -> String {
    match shape {
        Shape::Quantity { unit, range, .. } => format!(
            " From {} to {} {unit}.",
            tidy(*range.start(), 3),
            tidy(*range.end(), 3)
        ),
        _ => String::new(),
    }
}

fn shape(shape: Shape) -> Vec<(&'static str, Json)> {
    match shape {
        Shape::Quantity {
            range,
            spellings,
            with_spread,
            ..
        } => {
            let written = Json::Object(vec![
                ("type", text("string")),
                ("pattern", text(pattern(&spellings, with_spread))),
            ]);
            if spellings.contains(&"") {
                let bare = Json::Object(number(*range.start(), *range.end()));
                vec![("anyOf", Json::List(vec![bare, written]))]
            } else {
                vec![("anyOf", Json::List(vec![written]))]
            }
        }
        Shape::Number(range) => number(*range.start(), *range.end()),
        Shape::Whole(range) => vec![
            ("type", text("integer")),
            ("minimum", Json::Number(f64::from(*range.start()))),
            ("maximum", Json::Number(f64::from(*range.end()))),
        ],
        Shape::Choice(words) => {
            vec![("enum", Json::List(words.into_iter().map(text).collect()))]
        }
        Shape::Text => vec![
            ("type", Json::List(vec![text("string"), text("number")])),
            ("minLength", Json::Count(1)),
            ("maxLength", Json::Count(LONGEST_TEXT)),
        ],
        Shape::Pattern(pattern) => {
            vec![("type", text("string")), ("pattern", text(pattern))]
        }
        Shape::Flag => vec![("type", text("boolean"))],
        Shape::Date => vec![("type", text("string")), ("format", text("date"))],
        Shape::Section(fields) => section(fields),
        Shape::Map(values) => vec![
            ("type", text("object")),
            ("additionalProperties", Json::Object(self::shape(*values))),
        ],
        Shape::List(values) => vec![
            ("type", text("array")),
            ("items", Json::Object(self::shape(*values))),
        ],
        Shape::Either(one, other) => {
            let either = [*one, *other].map(|shape| Json::Object(self::shape(shape)));
            vec![("anyOf", Json::List(either.into()))]
        }
    }
}

fn number(low: f64, high: f64) -> Vec<(&'static str, Json)> {
    vec![
        ("type", text("number")),
        ("minimum", Json::Number(low)),
        ("maximum", Json::Number(high)),
    ]
}

/// The grammar of `units` as a regular expression: a sum of terms, each a number (decimal, or whole with
/// a fraction) and a unit; only the first and only term may go without one.
fn pattern(spellings: &[&str], with_spread: bool) -> String {
    const NUMBER: &str = r"([0-9]+\.?[0-9]*|\.[0-9]+)(/[0-9.]+|\s+[0-9]+/[0-9.]+)?";
    let units: Vec<_> = spellings
        .iter()
        .filter(|spelling| !spelling.is_empty())
        .map(|spelling| in_any_case(spelling))
        .collect();
    let units = units.join("|");
    let bare = if spellings.contains(&"") {
        format!("{NUMBER}|")
    } else {
        String::new()
    };
    let sum = format!(r"({bare}({NUMBER}\s*({units})\s*)+)\s*");
    let spread = if with_spread {
        format!(r"((±|\+/-)\s*{sum})?")
    } else {
        String::new()
    };
    format!(r"^\s*[-−]?\s*{sum}{spread}$")
}

/// A word with every letter in either case, as a regular expression: the standard's dialect has no switch for it.
fn in_any_case(word: &str) -> String {
    word.chars()
        .map(|c| {
            if c.is_ascii_alphabetic() {
                format!("[{}{}]", c.to_ascii_uppercase(), c.to_ascii_lowercase())
            } else {
                c.to_string()
            }
        })
        .collect()
}
