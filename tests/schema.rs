//! The JSON Schemas: committed ones equal generated ones, samples are valid, and schema and reader agree.
//! The validator below is our own and knows only the keywords that the schemas use; any other is an error.

mod common;

use std::path::Path;

use common::program::inseam;
use common::{BALANCE_12, RIDER, STREET_16, TRAIL_24, TRAIL_26};
use inseam::bike::{FrameSpec, library};
use inseam::file::Document;
use inseam::record::Record;
use inseam::rider::{Rider, RiderFile};
use inseam::units::{Age, Length, Mass};
use regex_lite::Regex;
use serde_json::{Map, Value, json};

fn schema(kind: &str) -> Value {
    let ran = inseam(&["schema", kind]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    serde_json::from_str(&ran.out).unwrap()
}

fn folder() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Everything that JSON Schema 2020-12 has against `value`, as paths with words.
fn complaints(schema: &Value, value: &Value, at: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (keyword, rule) in schema.as_object().unwrap() {
        let is_fine = match keyword.as_str() {
            "$schema" | "title" | "description" | "additionalProperties" => true,
            "type" => match rule {
                Value::Array(kinds) => kinds.iter().any(|kind| is_a(kind, value)),
                kind => is_a(kind, value),
            },
            "enum" => rule.as_array().unwrap().contains(value),
            "minimum" => value
                .as_f64()
                .is_none_or(|number| number >= rule.as_f64().unwrap()),
            "maximum" => value
                .as_f64()
                .is_none_or(|number| number <= rule.as_f64().unwrap()),
            "minItems" => value
                .as_array()
                .is_none_or(|list| list.len() as u64 >= rule.as_u64().unwrap()),
            "minLength" => value
                .as_str()
                .is_none_or(|text| text.chars().count() as u64 >= rule.as_u64().unwrap()),
            "maxLength" => value
                .as_str()
                .is_none_or(|text| text.chars().count() as u64 <= rule.as_u64().unwrap()),
            "pattern" => value.as_str().is_none_or(|text| matches(rule, text)),
            // The only format used.
            "format" => {
                assert_eq!(rule, "date");
                value
                    .as_str()
                    .is_none_or(|text| text.parse::<jiff::civil::Date>().is_ok())
            }
            "required" => value.as_object().is_none_or(|object| {
                let mut keys = rule.as_array().unwrap().iter();
                keys.all(|key| object.contains_key(key.as_str().unwrap()))
            }),
            "anyOf" => {
                let mut choices = rule.as_array().unwrap().iter();
                choices.any(|choice| complaints(choice, value, at).is_empty())
            }
            "items" => {
                for (index, inner) in value.as_array().into_iter().flatten().enumerate() {
                    found.extend(complaints(rule, inner, &format!("{at}/{index}")));
                }
                true
            }
            "not" => !complaints(rule, value, at).is_empty(),
            "properties" => {
                for (key, rule) in rule.as_object().unwrap() {
                    if let Some(inner) = value.get(key) {
                        found.extend(complaints(rule, inner, &format!("{at}/{key}")));
                    }
                }
                true
            }
            other => panic!("{at}: the schemas use `{other}`, which this validator does not know"),
        };
        if !is_fine {
            found.push(format!("{at}: {keyword} {rule}, found {value}"));
        }
    }
    let none = Map::new();
    let known = schema
        .get("properties")
        .map_or(&none, |known| known.as_object().unwrap());
    if let (Some(rest), Some(object)) = (schema.get("additionalProperties"), value.as_object()) {
        for (key, inner) in object.iter().filter(|(key, _)| !known.contains_key(*key)) {
            match rest {
                Value::Bool(false) => found.push(format!("{at}: `{key}` is not a key here")),
                rest => found.extend(complaints(rest, inner, &format!("{at}/{key}"))),
            }
        }
    }
    found
}

fn is_a(kind: &Value, value: &Value) -> bool {
    match kind.as_str().unwrap() {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "number" => value.is_number(),
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        other => panic!("type `{other}`"),
    }
}

fn matches(pattern: &Value, text: &str) -> bool {
    Regex::new(pattern.as_str().unwrap())
        .unwrap()
        .is_match(text)
}

fn value_of(yaml: &str) -> Value {
    serde_yaml::from_str(yaml).unwrap()
}

#[test]
fn the_committed_schemas_are_the_generated_ones() {
    for kind in ["frame", "rider", "record"] {
        let path = folder().join(format!("frames/{kind}.schema.json"));
        let committed = std::fs::read_to_string(path).unwrap();
        let generated = inseam(&["schema", kind]).out;
        assert!(
            committed == generated,
            "run `inseam schema {kind} > frames/{kind}.schema.json`"
        );
    }
}

#[test]
fn every_sample_names_the_schema_and_is_valid() {
    let schema = schema("frame");
    for (id, text) in library::SAMPLES {
        let line = text
            .lines()
            .find_map(|line| line.strip_prefix("# yaml-language-server: $schema="))
            .unwrap_or_else(|| panic!("{id} names no schema"));
        assert!(folder().join("frames").join(line).is_file(), "{id}: {line}");
        assert_eq!(complaints(&schema, &value_of(text), id), [""; 0]);
    }
    for text in [BALANCE_12, STREET_16, TRAIL_24, TRAIL_26] {
        assert_eq!(complaints(&schema, &value_of(text), ""), [""; 0]);
    }
}

/// Puts `value` at a dotted path; null takes the key away.
fn put(document: &mut Value, path: &str, value: &Value) {
    let (parents, key) = path.rsplit_once('.').unwrap_or(("", path));
    let object = parents
        .split('.')
        .filter(|key| !key.is_empty())
        .fold(document, |inner, key| &mut inner[key])
        .as_object_mut()
        .unwrap();
    if value.is_null() {
        object.remove(key).unwrap();
    } else {
        object.insert(key.to_owned(), value.clone());
    }
}

#[test]
fn schema_and_reader_agree_on_frames() {
    let schema = schema("frame");
    let whole = value_of(TRAIL_24);
    for (path, value, is_good) in [
        ("name", json!(24), true),
        ("name", json!(""), false),
        ("name", json!("n".repeat(120)), true),
        ("name", json!("n".repeat(121)), false),
        ("name", Value::Null, false),
        ("style", json!("street"), true),
        ("style", json!("racing"), false),
        ("frame", json!(452), false),
        ("frame.stack", json!(120), true),
        ("frame.stack", json!(119.9), false),
        ("frame.stack", json!(800), true),
        ("frame.stack", json!(800.1), false),
        ("frame.stack", json!("45.2 cm"), true),
        ("frame.stack", json!("1 ft 5 3/4 in"), true),
        ("frame.stack", json!("45.2 CM"), true),
        ("frame.stack", json!("1 Ft 5 3/4 In"), true),
        ("frame.stack", json!("452 kg"), false),
        ("frame.stack", json!(true), false),
        ("frame.stack", json!([452]), false),
        ("frame.stack", Value::Null, true),
        ("frame.stak", json!(452), false),
        ("frame.seat_tube.angle", json!("73.5°"), true),
        ("frame.seat_tube.angle", json!("73.5 mm"), false),
        ("frame.seat_tube.offset", json!(-20), true),
        ("frame.seat_tube.offset", json!("-2 cm"), true),
        ("frame.top_tube", Value::Null, true),
        ("tyres.front", json!("54-507"), true),
        ("tyres.front", json!("12 1/2 x 2 1/4"), true),
        ("tyres.front", json!("12½ x 1.75"), true),
        ("tyres.front", json!("12x1.75x2-1/4"), true),
        ("tyres.front", json!("12 1/2 x 1 3/8"), false),
        ("tyres.front", json!("14 x 1.75 x 2 1/4"), false),
        ("tyres.front", json!("24x2.1"), true),
        ("tyres.front", json!("16 x 1.75 x 2"), true),
        ("tyres.front", json!("24\" x 2.125\" x 2.0\""), true),
        ("tyres.front", json!("20 x 1.75 x 3"), false),
        ("tyres.front", json!("24x1.95 (50-507)"), true),
        ("tyres.front", json!("60-406/20x2.4"), true),
        ("tyres.front", json!("24 x 1,95"), true),
        ("tyres.front", json!("24x1.95 ("), false),
        ("tyres.front", json!("ETRTO 54-507"), true),
        ("tyres.front", json!("etrto: 54-507"), true),
        ("tyres.front", json!("ETRTO 24x2.1"), false),
        ("tyres.front", json!("24x2 1/8"), false),
        ("tyres.front", json!(54), false),
        ("tyres.max_pressure", json!("50 psi"), true),
        ("tyres.max_pressure", json!("50 PSI"), true),
        ("tyres.valve", json!("presta"), true),
        ("fork.air_spring", json!(true), true),
        ("fork.air_spring", json!(0), false),
        ("fork.air_spring", json!({"min": 1}), false),
        ("torque", json!({"stem": 5, "seat clamp": "4 Nm"}), true),
        (
            "torque",
            json!({"stem": "4–6 N·m", "seat clamp": "5-6"}),
            true,
        ),
        ("torque", json!({"stem": "5 Nm to 6 NM"}), true),
        ("torque", json!({"stem": "4 NM"}), true),
        ("torque", json!({"stem": "5 bar"}), false),
        ("torque", json!({"stem": "5-6 bar"}), false),
        ("torque", json!({"stem": 91}), false),
        ("weight", json!("10.4 kg"), true),
        ("price", json!(-1), false),
        ("price", json!("420"), false),
        ("brakes.front.kind", json!("hand"), true),
        ("brakes.front.kind", json!("disc"), false),
        ("brakes.rear.reach", Value::Null, true),
    ] {
        let mut document = whole.clone();
        put(&mut document, path, &value);
        let read = Document::from_text("frame.yaml", document.to_string()).read::<FrameSpec>();
        assert_eq!(read.is_ok(), is_good, "{path}: {value}: {read:?}");
        let complaints = complaints(&schema, &document, "");
        assert_eq!(
            complaints.is_empty(),
            is_good,
            "{path}: {value}: {complaints:?}"
        );
    }
}

#[test]
fn schema_and_reader_agree_on_riders() {
    let schema = schema("rider");
    let whole = value_of(RIDER);
    let one_set = json!({"on": "2026-02-01", "height": 1380, "inseam": 660});
    // Dated sets in place of the single figures, all but one of which are taken away.
    let sets = |sets: Value, beside: Option<&str>| {
        let mut changes = vec![("measurements", sets)];
        for (key, value) in [("height", 1380), ("inseam", 660), ("arm_reach", 530)] {
            let is_beside = beside == Some(key);
            changes.push((key, if is_beside { json!(value) } else { Value::Null }));
        }
        changes
    };
    for (changes, is_good) in [
        (vec![], true),
        (vec![("inseam", json!("66 cm ± 5 mm"))], true),
        (vec![("inseam", json!("66 +/- 0.5 cm"))], true),
        (vec![("inseam", json!("66 cm ±"))], false),
        (vec![("inseam", json!(249))], false),
        (vec![("inseam", Value::Null)], true),
        (vec![("height", Value::Null)], true),
        (
            vec![("height", Value::Null), ("inseam", Value::Null)],
            false,
        ),
        (vec![("age", json!(9))], false),
        (vec![("age", json!("9"))], false),
        (vec![("age", json!("114 months"))], true),
        (vec![("age", json!("9 y"))], true),
        (vec![("born", json!("2016-09-01"))], false),
        (
            vec![("age", Value::Null), ("born", json!("2016-09-01"))],
            true,
        ),
        (
            vec![("age", Value::Null), ("born", json!("last spring"))],
            false,
        ),
        (vec![("sex", json!("girl"))], true),
        (vec![("sex", json!("woman"))], true),
        (vec![("sex", json!("girls"))], false),
        (vec![("stage", json!("steady"))], true),
        (vec![("weight", json!("60 lb"))], true),
        (vec![("weight", json!("60 stone"))], false),
        (vec![("shoe_size", json!(33))], false),
        (vec![("hand_length", json!("14 cm"))], true),
        (sets(json!([]), None), false),
        (sets(json!([one_set]), None), true),
        (sets(json!([one_set]), Some("height")), false),
        (sets(json!([one_set]), Some("inseam")), false),
        (sets(json!([one_set]), Some("arm_reach")), false),
        (sets(json!([{"height": 1380}]), None), false),
        (vec![("measurements", json!([]))], true),
        (
            [
                sets(json!([one_set]), None),
                vec![("measured_on", json!("2026-02-01"))],
            ]
            .concat(),
            false,
        ),
    ] {
        let mut document = whole.clone();
        for (path, value) in &changes {
            put(&mut document, path, value);
        }
        let read = Document::from_text("rider.yaml", document.to_string())
            .read::<RiderFile>()
            .ok()
            .and_then(|file| Rider::new(&file, common::options().on).ok());
        assert_eq!(read.is_some(), is_good, "{changes:?}");
        let complaints = complaints(&schema, &document, "");
        assert_eq!(
            complaints.is_empty(),
            is_good,
            "{changes:?}: {complaints:?}"
        );
    }
}

#[test]
fn schema_and_reader_agree_on_records() {
    let schema = schema("record");
    let path = folder().join("tests/data/course/records/ada.yaml");
    let whole = value_of(&std::fs::read_to_string(path).unwrap());
    for (changes, is_good) in [
        (vec![], true),
        (vec![("rider", json!({"name": "Ada", "inseam": 560}))], true),
        (vec![("rider", json!({"name": "Ada", "inseam": 9}))], false),
        (vec![("measured_on", Value::Null)], true),
        (vec![("measured_on", json!("yesterday"))], false),
        (vec![("left", json!("2026-08-01"))], true),
        (vec![("left", json!("2026-08"))], false),
        (vec![("schema", json!("inseam/record/2"))], false),
        (vec![("due.next_measuring", json!("2026-12"))], true),
        (vec![("due.next_measuring", json!("2026-12-01"))], false),
        (vec![("due.last_month.p10", json!("2027-13"))], false),
        (vec![("due.outgrown", json!("2027-12"))], false),
        (vec![("as_set.front_bar", json!(900))], false),
    ] {
        let mut document = whole.clone();
        for (path, value) in &changes {
            put(&mut document, path, value);
        }
        let read = Record::read(&Document::from_text("record.yaml", document.to_string()));
        assert_eq!(read.is_ok(), is_good, "{changes:?}");
        let complaints = complaints(&schema, &document, "");
        assert_eq!(
            complaints.is_empty(),
            is_good,
            "{changes:?}: {complaints:?}"
        );
    }
}

/// The text form of a quantity: the pattern takes what the reader's grammar takes.
#[test]
fn patterns_take_what_the_grammar_takes() {
    let (frame, rider) = (schema("frame"), schema("rider"));
    let last =
        |property: &Value| property["anyOf"].as_array().unwrap().last().unwrap()["pattern"].clone();
    let length = last(&frame["properties"]["frame"]["properties"]["stack"]);
    let mass = last(&frame["properties"]["weight"]);
    let age = last(&rider["properties"]["age"]);
    for text in [
        "610",
        "56 cm",
        "56cm",
        " 56  cm ",
        "22 in",
        "22 1/2 in",
        "1/2 in",
        "1.24 m",
        ".5 m",
        "4 ft 2 in",
        "4'2\"",
        "-12.5 mm",
        "− 3 mm",
        "27 kg",
        "27kg",
        "60 lb",
        "60 lb 4",
        "7y",
        "7y4m",
        "7 y 4 m",
        "88 months",
        "7.5 years",
        "7",
        "",
        " ",
        "cm",
        "12 13",
        "1 2 3",
        "nan",
        "inf",
        "--3",
        "56,5 cm",
        "5 ½",
        "1e3",
        "12 1/2",
        "12 1/ in",
        "56 cm ± 5 mm",
        "1 kg 200 g",
        "mm 5",
    ] {
        for (pattern, is_read, what) in [
            (&length, text.parse::<Length>().is_ok(), "length"),
            (&mass, text.parse::<Mass>().is_ok(), "mass"),
            (&age, text.parse::<Age>().is_ok(), "age"),
        ] {
            assert_eq!(matches(pattern, text), is_read, "{text:?} as {what}");
        }
    }
}
