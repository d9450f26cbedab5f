//! Records: written, read back as they were, valid against their schema's keys, and refused like any other file.

mod common;

use std::sync::Arc;

use inseam::Options;
use inseam::advice::handover::{Handover, handover};
use inseam::bike::library;
use inseam::file::Document;
use inseam::record::{Record, Whom};
use inseam::report::schema;
use inseam::rider::{Rider, RiderFile, Stage};
use jiff::civil::{Date, date};

const ON: Date = date(2026, 3, 1);
const RIDER: &str = "{name: Rider A, inseam: 66 cm ± 5 mm, height: 1380, age: 9y, sex: girl, weight: 31 kg, stage: steady, hand_length: 150}";

fn handed(id: &str, text: &str, on: Date) -> Handover {
    let file: RiderFile = Document::from_text("rider", text).read().unwrap();
    let rider = Arc::new(Rider::new(&file, on).unwrap());
    handover(&rider, &library::sample(id).unwrap(), &Options::new(on))
}

fn record() -> Record {
    let handover = handed("trail-24", RIDER, ON);
    handover
        .record(Some("SN 12: \"x\" #7"), Some("Technician: A"), None)
        .unwrap()
}

fn read(text: &str) -> Result<Record, inseam::Error> {
    Record::read(&Document::from_text("record.yaml", text))
}

#[test]
fn a_record_reads_back_as_it_was_written() {
    let record = record();
    let text = record.to_yaml().unwrap();
    assert_eq!(read(&text).unwrap(), record, "{text}");
    let bare = text.lines().find(|line| !line.starts_with('#'));
    assert_eq!(bare, Some("schema: inseam/record/1"), "{text}");

    let by_name = handed("trail-24", RIDER, ON).record(None, None, Some("riders/a.yaml"));
    let by_name = by_name.unwrap();
    assert_eq!(by_name.rider, Whom::File("riders/a.yaml".to_owned()));
    assert_eq!(read(&by_name.to_yaml().unwrap()).unwrap(), by_name);
}

#[test]
fn every_sample_and_stage_makes_a_record_that_reads_back() {
    let mut count = 0;
    for bike in library::samples() {
        for stage in Stage::ALL {
            for height in (840..1700).step_by(90) {
                let rider = format!("{{height: {height}, age: 6y, stage: {stage}}}");
                let handover = handed(&bike.id, &rider, ON);
                let record = handover.record(None, None, None);
                assert_eq!(record.is_some(), handover.fit.verdict.fits());
                if let Some(record) = record {
                    assert_eq!(read(&record.to_yaml().unwrap()).unwrap(), record);
                    assert_eq!(record.at_odds(), [], "{}", bike.id);
                    count += 1;
                }
            }
        }
    }
    assert!(count > 50, "{count}");
}

#[test]
fn the_figures_of_the_rider_make_the_same_fit_again() {
    let handover = handed("trail-24", RIDER, ON);
    let record = record();
    let Whom::Figures(figures) = &record.rider else {
        panic!("figures were not kept");
    };
    let again = Arc::new(Rider::new(figures, record.date).unwrap());
    assert_eq!(again, handover.fit.rider);
}

#[test]
fn what_is_due_is_counted_from_the_day() {
    let due = record().due;
    // First rides, 2 to 4 weeks, next measuring after three months (common practice).
    assert_eq!(
        (due.first_check.from, due.first_check.to),
        (date(2026, 3, 15), date(2026, 3, 29))
    );
    assert_eq!(due.next_measuring.unwrap().to_string(), "2026-06");
    assert_eq!((record().measured_on, record().left), (Some(ON), None));
    assert!(due.raises.0.len() > 2);
    for pair in due.raises.0.windows(2) {
        assert!(pair[0].0 < pair[1].0 && pair[0].1 < pair[1].1);
    }
    let last = due.last_month.unwrap();
    assert!(last.p10.unwrap() <= last.p50.unwrap());
}

#[test]
fn the_next_measuring_counts_from_the_tape_and_is_now_where_that_is_long_ago() {
    let next = |measured_on: &str| {
        let text = RIDER.replace('}', &format!(", measured_on: {measured_on}}}"));
        let handover = handed("trail-24", &text, ON);
        let due = handover.record(None, None, None).unwrap().due;
        (due.next_measuring.unwrap().to_string(), handover)
    };
    // Three months (common practice).
    assert_eq!(next("2026-02-10").0, "2026-05");
    let (month, handover) = next("2025-11-01");
    assert_eq!(month, "2026-03");
    let layout = inseam::report::terminal::Layout {
        columns: 300,
        units: inseam::Units::Mm,
    };
    let text = inseam::report::handover_text::handover(&handover, layout);
    assert!(
        text.contains("Next measuring: now, the figures are of 2025-11-01;"),
        "{text}"
    );
    // What the tape read stands beside what it has become.
    let rider = &handover.fit.rider;
    let before = rider
        .brought_forward_from_mm(inseam::rider::Measurement::Inseam)
        .unwrap();
    assert!(before < rider.inseam.mm());
    assert!(
        text.contains(&format!("(brought forward from {before:.0} mm)")),
        "{text}"
    );
    assert!(!text.contains("(estimated) (brought"), "{text}");
    let fresh = handed("trail-24", RIDER, ON).fit.rider.clone();
    assert_eq!(
        fresh.brought_forward_from_mm(inseam::rider::Measurement::Inseam),
        None
    );
}

#[test]
fn what_a_record_tells_against_itself_or_its_bike_is_to_be_looked_at_again() {
    let folder = tempfile::tempdir().unwrap();
    let check = |set: &str, more: &str| {
        let text = format!(
            "schema: inseam/record/1\ndate: 2026-03-01\nrider: Ada\nbike: trail-24\nas_set: {{{set}}}\n{more}due:\n  first_check: {{from: 2026-03-15, to: 2026-03-29}}\n  raises: {{2026-05: 445, 2026-07: 450}}\n"
        );
        let path = folder.path().join("record.yaml");
        std::fs::write(&path, text).unwrap();
        let out = common::program::inseam(&["check", path.to_str().unwrap()]).out;
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(check("saddle_height_mm: 440", "").contains("record, ok"));
    for (set, more, said) in [
        (
            "saddle_height_mm: 590",
            "",
            "as_set.saddle_height_mm: 590 mm is set",
        ),
        (
            "exposed_post_mm: 330",
            "",
            "as_set.exposed_post_mm: the post's mark is out of the tube: 330 mm of it shows",
        ),
        ("front_bar: 4.5", "", "as_set.front_bar: found 4.5 bar"),
        // The sample's levers go from 45 to 75 mm.
        (
            "rear_lever_gap_mm: 140",
            "",
            "as_set.rear_lever_gap_mm: found 140 mm; the rear lever of trail-24 goes from 45 to 75 mm",
        ),
        (
            "lever_gap_mm: 140",
            "",
            "as_set.lever_gap_mm: found 140 mm; the front lever of trail-24 goes from 45 to 75 mm",
        ),
        (
            "lever_gap_mm: 60, front_lever_gap_mm: 55",
            "",
            "as_set.lever_gap_mm: is for both",
        ),
        (
            "saddle_height_mm: 440",
            "left: 2099-01-01\n",
            "left: 2099-01-01 is a day still to come",
        ),
    ] {
        let told = check(set, more);
        assert!(told.contains("record, look again"), "{set}: {told}");
        assert!(told.contains(said), "{set}: {told}");
    }
}

/// What is below the mark is one length, along the post and at the saddle; upright it is that by the sine of the seat
/// tube: a post of 165 mm at a saddle of 468.5 and a seat of 670.2, on a tube of 71.4° (sin 0.948).
#[test]
fn figures_that_cannot_both_be_set_are_to_be_looked_at_again() {
    let set = |figures: &str| {
        let text = format!(
            "schema: inseam/record/1\ndate: 2026-03-01\nrider: Ada\nbike: step-20\nas_set: {{{figures}}}\nat_mark: {{saddle_height_mm: 468.5, seat_height_mm: 670.2, exposed_post_mm: 165}}\ndue: {{first_check: {{from: 2026-03-15, to: 2026-03-29}}}}\n"
        );
        read(&text)
            .unwrap()
            .doubts(date(2026, 4, 1), inseam::Units::Mm)
    };
    for right in [
        "saddle_height_mm: 344.3, exposed_post_mm: 40.8, seat_height_mm: 552.5",
        // As a tape reads them.
        "saddle_height_mm: 346, exposed_post_mm: 39, seat_height_mm: 550",
        "saddle_height_mm: 468, exposed_post_mm: 164, seat_height_mm: 670",
        "saddle_height_mm: 344, seat_height_mm: 552",
        "exposed_post_mm: 41, seat_height_mm: 552",
        "seat_height_mm: 600",
    ] {
        assert_eq!(set(right), Vec::<String>::new(), "{right}");
    }
    for (wrong, key) in [
        (
            "saddle_height_mm: 400, exposed_post_mm: 40.8, seat_height_mm: 552.5",
            "saddle_height_mm",
        ),
        (
            "saddle_height_mm: 344.3, exposed_post_mm: 40.8, seat_height_mm: 600",
            "seat_height_mm",
        ),
        ("exposed_post_mm: 41, seat_height_mm: 640", "seat_height_mm"),
        (
            "saddle_height_mm: 344, seat_height_mm: 480",
            "seat_height_mm",
        ),
    ] {
        let told = set(wrong).join("; ");
        assert!(
            told.starts_with(&format!(
                "as_set.{key}: the {} does not go with",
                key.trim_end_matches("_mm").replace('_', " ")
            )),
            "{wrong}: {told}"
        );
    }
}

#[test]
fn what_is_whole_at_the_mark_is_not_told_a_tenth_less_and_a_comma_is_named() {
    // A post of 350 mm marked at 80.
    assert_eq!(record().at_mark.unwrap().exposed_post_mm, Some(270.0));
    let text = record().to_yaml().unwrap();
    let line = text
        .lines()
        .find(|line| line.trim_start().starts_with("saddle_height_mm"))
        .unwrap();
    let error = read(&text.replacen(line, "  saddle_height_mm: 432,8", 1)).unwrap_err();
    assert!(
        error
            .to_string()
            .contains("as_set.saddle_height_mm: found `432,8`; write the decimal point: `432.8`"),
        "{error}"
    );
}

#[test]
fn a_day_to_come_is_not_taken_for_one_that_was() {
    let record = |done: &str, left: &str| {
        let text = format!(
            "schema: inseam/record/1\ndate: 2026-03-01\nrider: Ada\nbike: own\nas_set: {{}}\n{left}due: {{first_check: {{from: 2026-03-15, to: 2026-03-29{done}}}}}\n"
        );
        read(&text)
            .unwrap()
            .doubts(date(2026, 3, 20), inseam::Units::Mm)
    };
    assert!(record(", done: 2026-03-20", "left: 2026-03-20\n").is_empty());
    let told = record(", done: 2026-03-21", "left: 2026-03-21\n");
    let begins = [
        "due.first_check.done: 2026-03-21 is a day still to come",
        "left: 2026-03-21 is",
    ];
    assert_eq!(told.len(), 2);
    for (told, begin) in told.iter().zip(begins) {
        assert!(told.starts_with(begin), "{told}");
    }
}

#[test]
fn the_record_of_a_kept_child_has_its_name_and_inches_leave_no_tail() {
    let text = RIDER
        .replace("66 cm ± 5 mm", "20.5 in")
        .replace("1380", "46 in");
    let text = text.replace("31 kg", "55 lb");
    let handover = handed("step-20", &text, ON);
    let own = handover
        .record(None, None, None)
        .unwrap()
        .to_yaml()
        .unwrap();
    // 20.5 and 46 times 25.4.
    assert!(
        own.contains("inseam: 520.7\n") && own.contains("height: 1168.4\n"),
        "{own}"
    );
    // 55 times 0.45359237.
    assert!(own.contains("weight: 24.95"), "{own}");
    assert!(!own.contains("weight: 24.94"), "{own}");
    let kept = handover.record(None, None, Some("kid.yaml")).unwrap();
    assert_eq!(kept.rider_name.as_deref(), Some("Rider A"));
    assert_eq!(kept.child(), "Rider A (kid)");
    let named_alike = handover.record(None, None, Some("rider a.yaml")).unwrap();
    assert_eq!(named_alike.child(), "Rider A");
}

/// By the post's own arithmetic: 190 mm long, marked at 65, so at most 125 may show.
#[test]
fn a_post_past_its_mark_is_said_by_check_and_by_due_on_a_bike_of_the_shops_own() {
    const OUT: &str = "the post's mark is out of the tube";
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "coaster-16");
    let text = sample
        .unwrap()
        .1
        .replace("length: 200, minimum", "length: 190, minimum");
    let bike = library::read("own-16", &Document::from_text("own-16", text)).unwrap();
    let file: RiderFile = Document::from_text(
        "rider",
        "{height: 1050, inseam: 462, age: 5y, weight: 18 kg}".to_owned(),
    )
    .read()
    .unwrap();
    let rider = Arc::new(Rider::new(&file, ON).unwrap());
    let handover = handover(&rider, &Arc::new(bike), &Options::new(ON));
    let record = handover.record(None, None, None).unwrap();
    let mark = record.at_mark.clone().unwrap();
    assert_eq!(mark.exposed_post_mm, Some(125.0));
    let post = &handover.fit.bike.layout.post;
    let highest = post.saddle_height_mm(post.bare_mm + 125.0);
    assert!(
        (mark.saddle_height_mm.unwrap() - highest).abs() < 0.2,
        "{mark:?}"
    );

    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.yaml");
    let run = |record: &Record| {
        std::fs::write(&path, record.to_yaml().unwrap()).unwrap();
        let flat = |args: &[&str]| {
            let out = common::program::inseam(args).out;
            out.split_whitespace().collect::<Vec<_>>().join(" ")
        };
        let on = ON.to_string();
        let folder = folder.path().to_str().unwrap();
        [
            flat(&["check", path.to_str().unwrap()]),
            flat(&["due", folder, "--on", &on, "--format", "csv"]),
        ]
    };
    let [check, due] = run(&record);
    assert!(
        check.contains("record, ok") && !due.contains(OUT),
        "{check}{due}"
    );
    let set = |change: &dyn Fn(&mut Record)| {
        let mut changed = record.clone();
        change(&mut changed);
        run(&changed)
    };
    // Within a tape's reading nothing is said.
    let [check, due] = set(&|record| {
        record.as_set.exposed_post_mm = Some(126.0);
        (record.as_set.saddle_height_mm, record.as_set.seat_height_mm) = (None, None);
    });
    assert!(
        check.contains("record, ok") && !due.contains(OUT),
        "{check}{due}"
    );
    let [check, due] = set(&|record| record.as_set.exposed_post_mm = Some(144.0));
    for told in [&check, &due] {
        assert!(
            told.contains(&format!("{OUT}: 144 mm of it shows, at most 125 mm may")),
            "{told}"
        );
    }
    let first = due.split_once("comment ").unwrap().1;
    assert!(
        first.starts_with(&ON.to_string()) && first.contains(",lower-saddle,"),
        "first of all that is due: {due}"
    );
    let high = mark.saddle_height_mm.unwrap() + 4.0;
    for told in set(&|record| record.as_set.saddle_height_mm = Some(high)) {
        assert!(told.contains(OUT) && told.contains("never above"), "{told}");
    }
    // A record of before the key: unknown, so nothing.
    let [check, due] = set(&|record| {
        record.as_set.exposed_post_mm = Some(144.0);
        record.at_mark = None;
    });
    assert!(
        check.contains("record, ok") && !due.contains(OUT),
        "{check}{due}"
    );
}

/// What is planned is no reading of a tape: a millimetre past the mark is past it.
#[test]
fn a_raise_past_the_mark_is_said_by_check_and_by_due_and_never_told() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.yaml");
    let run = |bike: &str, set: &str, mark: &str, raise: &str| {
        let text = format!(
            "schema: inseam/record/1\ndate: 2026-03-01\nrider: Ada\nbike: {bike}\nas_set: {set}\n{mark}due:\n  first_check: {{from: 2026-03-15, to: 2026-03-29}}\n  raises: {{2026-05: 445, 2028-03: {raise}}}\n"
        );
        std::fs::write(&path, text).unwrap();
        let folder = folder.path().to_str().unwrap();
        let due = ["due", folder, "--on", "2028-03-01", "--format"];
        let flat = |args: &[&str]| {
            let out = common::program::inseam(args).out;
            out.split_whitespace().collect::<Vec<_>>().join(" ")
        };
        [
            flat(&["check", path.to_str().unwrap()]),
            flat(&[&due[..], &["text"]].concat()),
            flat(&[&due[..], &["ics"]].concat()),
        ]
    };
    let saddle = (
        "{saddle_height_mm: 440}",
        "at_mark: {saddle_height_mm: 506}\n",
    );
    let seat = ("{seat_height_mm: 440}", "at_mark: {seat_height_mm: 506}\n");
    for (set, mark) in [saddle, seat] {
        let [check, text, ics] = run("own", set, mark, "506");
        assert!(check.contains("record, ok"), "{check}");
        assert!(
            text.contains("506 mm") && !text.contains("cannot both"),
            "{text}"
        );
        assert!(ics.contains("506 mm"), "{ics}");
        let [check, text, ics] = run("own", set, mark, "507");
        let said = "the raise of 2028-03 to 507 mm would pull the post's mark out of the tube, never above 506 mm: correct the record";
        assert!(
            check.contains("record, look again")
                && check.contains(&format!("due.raises.2028-03: {said}")),
            "{check}"
        );
        assert!(text.contains(said), "{text}");
        assert!(!ics.contains("507"), "{ics}");
        // The one before it is still wanted.
        assert!(text.contains("445 mm") && ics.contains("445 mm"), "{text}");
    }
    // A sample's mark is known where the record does not keep it.
    let [check, ..] = run("trail-20", "{saddle_height_mm: 440}", "", "1000");
    assert!(check.contains("due.raises.2028-03: "), "{check}");
}

#[test]
#[expect(clippy::too_many_lines, reason = "a table")]
fn a_hostile_record_is_refused_with_the_key_and_the_place() {
    let good = record().to_yaml().unwrap();
    let line = |start: &str| {
        let line = good
            .lines()
            .find(|line| line.trim_start().starts_with(start));
        line.unwrap_or_else(|| panic!("{start} in {good}"))
            .to_owned()
    };
    let cases = [
        (
            line("schema:"),
            "schema: inseam/record/2".to_owned(),
            "schema",
        ),
        (line("date:"), "date: 2026-13-01".to_owned(), "date"),
        (
            line("date:"),
            "date: 2027-01-01".to_owned(),
            "due.first_check.from",
        ),
        (line("bike:"), "bike: ''".to_owned(), "bike"),
        (line("bike:"), "bike: [a]".to_owned(), "bike"),
        (line("bike:"), format!("bike: {}", "x".repeat(500)), "bike"),
        (
            line("serial_number:"),
            "serial_number: \"a\\u0007b\"".to_owned(),
            "serial_number",
        ),
        (
            line("saddle_height_mm:"),
            "  saddle_height_mm: .nan".to_owned(),
            "as_set.saddle_height_mm",
        ),
        (
            line("saddle_height_mm:"),
            "  saddle_height_mm: -4".to_owned(),
            "as_set.saddle_height_mm",
        ),
        (
            line("front_bar:"),
            "  front_bar: 900".to_owned(),
            "as_set.front_bar",
        ),
        (line("front_bar:"), "  front_barr: 1.4".to_owned(), "as_set"),
        (
            line("next_measuring:"),
            "  next_measuring: 2026-3".to_owned(),
            "due.next_measuring",
        ),
        (
            line("next_measuring:"),
            "  next_measuring: 1999-03".to_owned(),
            "due.next_measuring",
        ),
        (
            line("to:"),
            "    to: 2026-03-02".to_owned(),
            "due.first_check.to",
        ),
        (
            line("p10:"),
            "    p10: 2199-01".to_owned(),
            "due.last_month.p50",
        ),
        (
            line("raises:"),
            "  raises: {2030-01: 400, 2029-01: 410}\n  old:".to_owned(),
            "due",
        ),
        (line("inseam:"), "  inseam: 9".to_owned(), "rider.inseam"),
        (line("by:"), "by: {a: 1}".to_owned(), "by"),
    ];
    for (from, to, key) in cases {
        let text = good.replacen(&from, &to, 1);
        assert_ne!(text, good);
        let error = read(&text).expect_err(&text);
        let problems = error.into_problems();
        assert!(
            problems
                .iter()
                .any(|problem| problem.key == key && problem.place.is_some()),
            "{key}: {problems:?}"
        );
    }
    for (raises, key) in [
        ("{2030-01: 400, 2029-01: 410}", "due.raises.2029-01"),
        ("{2030-01: 410, 2030-02: 400}", "due.raises.2030-02"),
        // The first at fault, and not the one before it or the first of all.
        (
            "{2030-01: 390, 2030-02: 600, 2030-04: 400}",
            "due.raises.2030-04",
        ),
        ("{1999-01: 390, 2030-02: 400}", "due.raises.1999-01"),
        ("{soon: 410}", "due.raises"),
        ("{2030-01: 9000}", "due.raises.2030-01"),
    ] {
        let (before, after) = good.split_once("  raises:\n").unwrap();
        let rest: Vec<_> = after
            .lines()
            .skip_while(|line| line.starts_with("    "))
            .collect();
        let text = format!("{before}  raises: {raises}\n{}\n", rest.join("\n"));
        let problems = read(&text).unwrap_err().into_problems();
        assert!(
            problems.iter().any(|problem| problem.key == key),
            "{key}: {problems:?}"
        );
    }
    for nothing in ["", "- 1\n", "just text\n", "schema: inseam/record/1\n"] {
        assert!(read(nothing).is_err());
    }
}

fn compare(schema: &serde_json::Value, written: &serde_json::Value, at: &str) {
    let Some(object) = written.as_object() else {
        return;
    };
    let choices = schema["anyOf"].as_array().cloned().unwrap_or_default();
    let section = choices
        .iter()
        .find(|choice| choice["properties"].is_object())
        .unwrap_or(schema);
    for (key, value) in object {
        let properties = &section["properties"];
        if properties.is_object() {
            assert!(properties[key].is_object(), "{at}.{key}");
            compare(&properties[key], value, &format!("{at}.{key}"));
        } else {
            assert!(section["additionalProperties"].is_object(), "{at}.{key}");
        }
    }
}

#[test]
fn the_schema_has_every_key_that_a_record_writes() {
    let schema = serde_json::to_value(schema::record()).unwrap();
    let written: serde_json::Value = serde_yaml::from_str(&record().to_yaml().unwrap()).unwrap();
    compare(&schema, &written, "");
    assert_eq!(schema["properties"]["schema"]["enum"][0], "inseam/record/1");
    assert_eq!(schema["additionalProperties"], false);
}
