//! What is due: days that calendars make hard, records that cannot be, children who left; the calendar as a second
//! reader reads it. Days are counted by hand from RFC 5545's own calendar, the Gregorian.

mod common;

use std::sync::Arc;

use calcard::icalendar::{ICalendar, ICalendarComponentType, ICalendarProperty, ICalendarValue};
use common::course::{course, json};
use common::program::{file, inseam};
use inseam::advice::due::{Days, What, due};
use inseam::file::Document;
use inseam::record::{Filed, Record};
use jiff::ToSpan as _;
use jiff::civil::{Date, date};

fn record(text: &str) -> Result<Arc<Filed>, String> {
    let file = "record.yaml".to_owned();
    Record::read(&Document::from_text(&*file, text))
        .map(|record| Arc::new(Filed { record, file }))
        .map_err(|error| error.to_string())
}

/// A record as short as it may be: looked at after two to four weeks, measured again six months on.
fn short(handed: &str, rider: &str, bike: &str) -> String {
    with(handed, rider, bike, "")
}

/// The same with more under `due`, each line indented by two.
fn with(handed: &str, rider: &str, bike: &str, more: &str) -> String {
    let day: Date = handed.parse().unwrap();
    let from = day.saturating_add(2.weeks());
    let to = day.saturating_add(4.weeks());
    let again = day.saturating_add(6.months()).strftime("%Y-%m");
    format!(
        "schema: inseam/record/1\ndate: {handed}\nrider: {rider}\nbike: {bike}\nas_set: {{saddle_height_mm: 440}}\ndue:\n  first_check: {{from: {from}, to: {to}}}\n  next_measuring: {again}\n{more}"
    )
}

/// The visits of records in a year from a day, as text.
fn visits(texts: &[&str], on: jiff::civil::Date) -> Vec<String> {
    let records: Vec<_> = texts.iter().map(|text| record(text).unwrap()).collect();
    let until = on.saturating_add(jiff::Span::new().years(1));
    let found = due(
        &records,
        Days {
            on,
            since: on,
            until,
        },
    );
    let line = |visit: &inseam::advice::due::Visit| {
        format!("{} {} {}", visit.date, visit.record.rider, visit.what)
    };
    found.visits.iter().map(line).collect()
}

#[test]
fn days_stand_as_they_are_and_a_month_is_its_first_day_but_never_before_the_handover() {
    let more =
        "  raises: {2026-03: 445, 2026-12: 450}\n  last_month: {p10: 2026-03, p50: 2027-01}\n";
    let wanted = [
        "2026-03-10 Ada raise-saddle",
        "2026-03-10 Ada check-size",
        "2026-03-24 Ada bolts-and-cables",
        "2026-09-01 Ada measure",
        "2026-12-01 Ada raise-saddle",
        "2027-01-01 Ada outgrown",
    ];
    let text = with("2026-03-10", "Ada", "trail-24", more);
    assert_eq!(visits(&[&text], date(2026, 3, 10)), wanted);
}

#[test]
fn what_is_handed_out_again_counts_from_the_newest_record() {
    let old = &short("2026-03-01", "Ada", "trail-24");
    let new = &short("2026-04-01", "Ada", "trail-24");
    let other = &short("2026-03-20", "Ada", "street-24");
    let wanted = [
        "2026-04-03 Ada bolts-and-cables",
        "2026-04-15 Ada bolts-and-cables",
        "2026-09-01 Ada measure",
        "2026-10-01 Ada measure",
    ];
    for order in [[old, new, other], [other, new, old], [new, old, other]] {
        assert_eq!(visits(&order.map(String::as_str), date(2026, 4, 1)), wanted);
    }
}

#[test]
fn figures_show_their_name_or_none_and_the_nameless_do_not_replace_each_other() {
    let named = short("2026-03-01", "{name: Ada, inseam: 600}", "trail-24");
    let old = short("2026-03-01", "{inseam: 600}", "trail-24");
    let new = short("2026-03-02", "{inseam: 600}", "trail-24");
    let wanted = [
        "2026-03-15 Rider bolts-and-cables",
        "2026-03-15 Ada bolts-and-cables",
        "2026-03-16 Rider bolts-and-cables",
    ];
    let mut found = visits(&[&named, &old, &new], date(2026, 3, 2));
    found.retain(|visit| visit.ends_with("cables"));
    found.sort();
    let mut wanted = wanted.map(str::to_owned);
    wanted.sort();
    assert_eq!(found, wanted);
}

#[test]
fn a_numbered_bike_s_record_without_a_name_is_over_with_the_next_one() {
    let numbered = |handed: &str, rider: &str, number: &str| {
        let text = short(handed, rider, "trail-24");
        format!("{text}serial_number: {number}\n")
    };
    let checks = |texts: &[&str]| {
        let mut found = visits(texts, date(2026, 3, 2));
        found.retain(|visit| visit.ends_with("cables"));
        found
    };
    let old = numbered("2026-03-01", "{inseam: 600}", "C-1");
    let new = numbered("2026-03-02", "Ada", "C-1");
    for order in [[old.as_str(), &new], [new.as_str(), &old]] {
        assert_eq!(checks(&order), ["2026-03-16 Ada bolts-and-cables"]);
    }
    // Another number, and a child who is named: nobody knows that the bike came back.
    let other = numbered("2026-03-02", "Ada", "C-2");
    assert_eq!(checks(&[&old, &other]).len(), 2);
    let named = numbered("2026-03-01", "Ben", "C-1");
    assert_eq!(checks(&[&named, &new]).len(), 2);
}

#[test]
fn nothing_is_due_once_the_bike_came_back() {
    let stays = short("2026-03-01", "Ada", "trail-24");
    let leaves = |day: &str| format!("{stays}left: {day}\n");
    let on = date(2026, 3, 1);
    assert_eq!(visits(&[&stays], on).len(), 2);
    assert_eq!(
        visits(&[&leaves("2026-09-01")], on),
        ["2026-03-15 Ada bolts-and-cables"]
    );
    assert_eq!(visits(&[&leaves("2026-03-15")], on).len(), 0);
    assert!(record(&leaves("2026-02-28")).is_err());
}

#[test]
fn a_record_of_a_day_to_come_is_left_out_and_said() {
    let text = &short("2026-04-10", "Ada", "trail-24");
    let on = date(2026, 4, 9);
    let days = Days {
        on,
        since: on,
        until: date(2027, 4, 9),
    };
    let found = due(&[record(text).unwrap()], days);
    assert_eq!((found.visits.len(), found.from_the_future.len()), (0, 1));

    let folder = tempfile::tempdir().unwrap();
    file(folder.path(), "ada.yaml", text);
    let folder = folder.path().to_str().unwrap();
    let ran = inseam(&["due", folder, "--on", "2026-04-09"]);
    assert_eq!(ran.status, 0);
    assert!(ran.out.contains("2026-04-10, Ada, trail-24"), "{}", ran.out);
}

#[test]
fn what_was_missed_and_still_holds_is_told_on_the_first_day() {
    let more = "  last_month: {p10: 2026-03, p50: 2026-05, p90: 2026-08}\n";
    let text = with("2026-01-01", "Ada", "trail-24", more);
    let wanted = [
        "2026-08-01 Ada bolts-and-cables",
        "2026-08-01 Ada outgrown",
        "2026-08-01 Ada measure",
    ];
    assert_eq!(visits(&[&text], date(2026, 8, 1)), wanted);
}

#[test]
fn the_first_check_is_told_until_the_record_says_that_it_was_made() {
    let text = short("2026-03-01", "Ada", "trail-24");
    let bolts = |text: &str, on| {
        let mut found = visits(&[text], on);
        found.retain(|visit| visit.ends_with("bolts-and-cables"));
        found
    };
    assert_eq!(
        bolts(&text, date(2026, 3, 20)),
        ["2026-03-20 Ada bolts-and-cables"]
    );
    assert_eq!(
        bolts(&text, date(2026, 7, 1)),
        ["2026-07-01 Ada bolts-and-cables"]
    );
    let done = |day: &str| text.replace("to: 2026-03-29", &format!("to: 2026-03-29, done: {day}"));
    assert_eq!(bolts(&done("2026-03-18"), date(2026, 3, 20)).len(), 0);
    // A day to come is a plan, not a check that was made.
    assert_eq!(bolts(&done("2026-07-18"), date(2026, 7, 1)).len(), 1);
    let error = record(&done("2026-02-28")).unwrap_err();
    assert!(error.contains("due.first_check.done"), "{error}");
}

#[test]
fn the_size_is_told_until_it_was_looked_at_or_the_bike_is_outgrown() {
    let more = "  last_month: {p10: 2026-05, p50: 2027-02}\n";
    let text = with("2026-03-01", "Ada", "trail-24", more);
    let size = |text: &str, on| {
        let mut found = visits(&[text], on);
        found.retain(|visit| visit.ends_with("check-size") || visit.ends_with("outgrown"));
        found
    };
    // Told for its month, then on every first day.
    assert_eq!(
        size(&text, date(2026, 3, 20)),
        ["2026-05-01 Ada check-size", "2027-02-01 Ada outgrown"]
    );
    assert_eq!(
        size(&text, date(2026, 9, 3)),
        ["2026-09-03 Ada check-size", "2027-02-01 Ada outgrown"]
    );
    assert_eq!(size(&text, date(2027, 2, 20)), ["2027-02-20 Ada outgrown"]);
    let done = |day: &str| text.replace("p50: 2027-02", &format!("p50: 2027-02, done: {day}"));
    assert_eq!(
        size(&done("2026-08-30"), date(2026, 9, 3)),
        ["2027-02-01 Ada outgrown"]
    );
    // A day to come is a plan, not a look.
    assert_eq!(size(&done("2026-09-30"), date(2026, 9, 3)).len(), 2);
    let planned = told(
        &[&done("2026-09-30")],
        &["--on", "2026-09-03", "--format", "csv"],
    );
    assert!(
        planned.contains("entered as done on 2026-09-30, a day still to come: correct the record"),
        "{planned}"
    );
    let error = record(&done("2026-02-28")).unwrap_err();
    assert!(error.contains("due.last_month.done"), "{error}");
}

#[test]
fn what_falls_into_the_month_of_the_first_day_is_told_on_it_and_a_raise_until_it_is_set() {
    let more = "  raises: {2026-04: 445}\n  last_month: {p10: 2026-04, p50: 2029-01}\n";
    let text = with("2026-01-01", "Ada", "trail-24", more);
    let text = text.replace("to: 2026-01-29", "to: 2026-01-29, done: 2026-01-20");
    let wanted = [
        "2026-04-30 Ada raise-saddle",
        "2026-04-30 Ada check-size",
        "2026-07-01 Ada measure",
    ];
    assert_eq!(visits(&[&text], date(2026, 4, 30)), wanted);
    let later = [
        "2026-05-01 Ada raise-saddle",
        "2026-05-01 Ada check-size",
        "2026-07-01 Ada measure",
    ];
    assert_eq!(visits(&[&text], date(2026, 5, 1)), later);
    // Of several that were missed the last is wanted; a new record of what is set ends it.
    let more = "  raises: {2026-02: 442, 2026-04: 445, 2026-09: 450}\n";
    let text = with("2026-01-01", "Ada", "trail-24", more);
    let raises: Vec<_> = visits(&[&text], date(2026, 5, 1))
        .into_iter()
        .filter(|visit| visit.ends_with("raise-saddle"))
        .collect();
    assert_eq!(
        raises,
        ["2026-05-01 Ada raise-saddle", "2026-09-01 Ada raise-saddle"]
    );
}

#[test]
fn a_schedule_is_told_raise_by_raise_but_not_the_setting_of_the_day() {
    let more = "  raises: {2026-03: 440, 2026-06: 445, 2026-12: 450}\n  last_month: {p10: 2026-11, p50: 2027-01}\n";
    let text = with("2026-03-01", "Ada", "trail-24", more);
    let wanted = [
        "2026-03-15 Ada bolts-and-cables",
        "2026-06-01 Ada raise-saddle",
        "2026-09-01 Ada measure",
        "2026-11-01 Ada check-size",
        "2026-12-01 Ada raise-saddle",
        "2027-01-01 Ada outgrown",
    ];
    assert_eq!(visits(&[&text], date(2026, 3, 1)), wanted);
}

#[test]
fn what_a_handover_writes_is_read_here_and_gives_its_visits() {
    let folder = tempfile::tempdir().unwrap();
    file(
        folder.path(),
        "rider.yaml",
        "{name: Mia, inseam: 660, height: 1380, age: 9y, sex: girl, weight: 31 kg, stage: steady}\n",
    );
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let frame = concat!(env!("CARGO_MANIFEST_DIR"), "/frames/trail-24.yaml");
    let on = ["--on", "2026-03-01"];
    let rider = path("rider.yaml");
    let figures = [
        "--inseam=660",
        "--height=1380",
        "--age=9y",
        "--stage=steady",
    ];
    for (who, name) in [
        (&["--rider", rider.as_str()][..], "rider"),
        (&figures, "Rider"),
    ] {
        let written = path(&format!("{name}-record.yaml"));
        let pictures = path("pictures");
        let first = [frame, "--record", &written, "--out", &pictures];
        let ran = inseam(&[&["handover"], &first[..], who, &on].concat());
        assert_eq!(ran.status, 0, "{}{}", ran.out, ran.err);
        let checked = inseam(&["check", &written]);
        assert!(checked.out.contains("record, ok"), "{}", checked.out);
        let told = json(&[
            "due", &written, on[0], on[1], "--within", "10y", "--format", "json",
        ]);
        assert_eq!(told["skipped"], serde_json::json!([]));
        let visits = told["visits"].as_array().unwrap();
        let days = |what: What| {
            let of = visits.iter().filter(|visit| visit["what"] == what.word());
            of.map(|visit| visit["date"].as_str().unwrap().to_owned())
                .collect::<Vec<_>>()
        };
        // Two weeks and three months on (common practice).
        assert_eq!(days(What::BoltsAndCables), ["2026-03-15"]);
        assert_eq!(days(What::Measure), ["2026-06-01"]);
        assert_eq!(days(What::Outgrown).len(), 1);
        let kept = Record::read(&Document::open(written.as_ref()).unwrap()).unwrap();
        assert_eq!(kept.measured_on, Some(date(2026, 3, 1)));
        assert_eq!(days(What::RaiseSaddle).len(), kept.due.raises.0.len());
        assert!(days(What::RaiseSaddle).len() > 2);
        assert!(visits.iter().all(|visit| visit["rider"] == name));
    }
}

#[test]
fn a_bike_without_cranks_is_told_from_the_ground_from_the_handover_to_the_last_raise() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let frame = concat!(env!("CARGO_MANIFEST_DIR"), "/frames/balance-14.yaml");
    let (written, pictures) = (path("record.yaml"), path("pictures"));
    let child = [
        "--height=1020",
        "--inseam=420",
        "--age=2y6m",
        "--sex=girl",
        "--on=2026-03-01",
    ];
    let ran = inseam(
        &[
            &["handover", frame, "--record", &written, "--out", &pictures],
            &child[..],
        ]
        .concat(),
    );
    assert_eq!(ran.status, 0, "{}{}", ran.out, ran.err);
    let kept = Record::read(&Document::open(written.as_ref()).unwrap()).unwrap();
    assert_eq!(kept.as_set.saddle_height_mm, None);
    let set = kept.as_set.seat_height_mm.unwrap();
    let due = |format: &str| {
        let of = format!("--format={format}");
        inseam(&["due", &written, "--on=2026-03-01", "--within=3y", &of]).out
    };
    let told: serde_json::Value = serde_json::from_str(&due("json")).unwrap();
    let raises: Vec<f64> = told["visits"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|visit| visit["what"] == What::RaiseSaddle.word())
        .map(|visit| {
            assert_eq!(visit["saddle_height_mm"], serde_json::Value::Null);
            let why = visit["why"].as_str().unwrap();
            assert!(
                why.contains("from the ground") && !why.contains("bracket"),
                "{why}"
            );
            visit["seat_height_mm"].as_f64().unwrap()
        })
        .collect();
    assert!(
        raises.len() > 1 && raises[0] > set,
        "{raises:?} after {set}"
    );
    for format in ["text", "csv", "ics"] {
        assert!(!due(format).contains("bracket"), "{format}");
    }
}

#[test]
fn a_record_that_cannot_be_is_refused_at_its_key() {
    let short = short("2026-03-01", "Ada", "trail-24");
    assert!(record(&short).is_ok());
    for (from, to, key) in [
        ("due:", "measured_on: 2026-03-02\ndue:", ": date:"),
        ("due:", "left: 2026-02-28\ndue:", ": left:"),
        ("due:", "left: 2026-02-30\ndue:", ": left:"),
        ("due:", "colour: red\ndue:", "colour"),
        ("2026-09", "2026-02", "due.next_measuring"),
        ("to: 2026-03-29", "to: 2026-03-10", "due.first_check.to"),
        (
            "from: 2026-03-15",
            "from: 2026-02-15",
            "due.first_check.from",
        ),
        (
            "due:",
            "due:\n  last_month: {p10: 2027-01, p50: 2026-12}",
            "due.last_month.p50",
        ),
        (
            "due:",
            "due:\n  last_month: {p10: 2026-02}",
            "due.last_month.p10",
        ),
        ("due:", "due:\n  raises: {2026-02: 450}", "due.raises"),
        (
            "saddle_height_mm: 440",
            "saddle_height_mm: 37.6 cm",
            "allowed a number from 50 to 1200, in mm and written without it",
        ),
        ("record/1", "record/9", "schema"),
    ] {
        let text = short.replacen(from, to, 1);
        assert_ne!(text, short, "{from}");
        let error = record(&text).unwrap_err();
        assert!(error.contains(key), "{to}: {error}");
    }
}

#[test]
fn times_ahead_are_days_weeks_months_or_years_and_nothing_else() {
    let until = |within: &str| {
        let due = json(&[
            "due",
            &course("records"),
            "--on",
            "2026-01-31",
            "--within",
            within,
            "--format",
            "json",
        ]);
        due["until"].as_str().unwrap().to_owned()
    };
    assert_eq!(until("60d"), "2026-04-01");
    assert_eq!(until("4w"), "2026-02-28");
    // The shorter month ends earlier.
    assert_eq!(until("1m"), "2026-02-28");
    assert_eq!(until("2y"), "2028-01-31");
    assert_eq!(until("0d"), "2026-01-31");
    for within in [
        "",
        "d",
        "60",
        "1.5m",
        "-3d",
        "60 days",
        "999y",
        "1é",
        "99999999999999999999d",
    ] {
        let ran = inseam(&["due", &course("records"), &format!("--within={within}")]);
        assert_eq!(ran.status, 2, "{within}");
    }
}

/// One event of the calendar: day, name, summary, description.
fn events(ics: &str) -> Vec<[String; 4]> {
    let calendar = ICalendar::parse(ics).expect("a calendar");
    let events = calendar
        .components
        .iter()
        .filter(|component| component.component_type == ICalendarComponentType::VEvent);
    events
        .map(|event| {
            let text = |property: &ICalendarProperty| {
                let value = event
                    .property(property)
                    .and_then(|entry| entry.values.first());
                match value {
                    Some(ICalendarValue::Text(text)) => text.clone(),
                    Some(ICalendarValue::PartialDateTime(day)) => {
                        assert_eq!(day.hour, None, "a whole day");
                        let (year, month) = (day.year.unwrap(), day.month.unwrap());
                        format!("{year:04}-{month:02}-{:02}", day.day.unwrap())
                    }
                    other => panic!("{property:?}: {other:?}"),
                }
            };
            assert!(event.has_property(&ICalendarProperty::Dtstamp));
            [
                ICalendarProperty::Dtstart,
                ICalendarProperty::Uid,
                ICalendarProperty::Summary,
                ICalendarProperty::Description,
            ]
            .map(|property| text(&property))
        })
        .collect()
}

#[test]
fn the_calendar_has_one_event_a_visit_for_a_second_reader() {
    let folder = tempfile::tempdir().unwrap();
    // Everything that the format gives a meaning to, and letters of many bytes where lines are folded.
    let name = "Zoë, \"Ζωή\"; 自転車 \\n 自転車自転車自転車自転車自転車自転車自転車自転車自転車";
    let yaml = name.replace('\\', "\\\\").replace('"', "\\\"");
    file(
        folder.path(),
        "zoe.yaml",
        short("2026-07-01", &format!("\"{yaml}\""), "trail-24"),
    );
    let folder = folder.path().to_str().unwrap();
    let args = |format| {
        let records = course("records");
        inseam(&[
            "due",
            &records,
            folder,
            "--on",
            "2026-07-08",
            "--within",
            "1y",
            "--format",
            format,
        ])
    };
    let ics = args("ics");
    assert_eq!((ics.status, ics.err.as_str()), (0, ""));
    let told: serde_json::Value = serde_json::from_str(&args("json").out).unwrap();
    let visits = told["visits"].as_array().unwrap();
    let events = events(&ics.out);
    assert!(visits.len() > 8, "{}", visits.len());
    assert_eq!(events.len(), visits.len());
    for (event, visit) in events.iter().zip(visits) {
        let text = |key: &str| visit[key].as_str().unwrap().to_owned();
        assert_eq!(event[0], text("date"));
        assert!(
            event[2].contains(&text("rider")),
            "{} in {}",
            text("rider"),
            event[2]
        );
        assert!(event[3].starts_with(&text("why")), "{}", event[3]);
    }
    let mut names: Vec<_> = events.iter().map(|event| &event[1]).collect();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), events.len(), "every event has its own name");
    // RFC 5545, 3.1: lines end with CR LF and should have at most 75 octets; 3.6: what a calendar must have.
    for line in ics.out.split_inclusive('\n') {
        assert!(line.ends_with("\r\n"), "{line:?}");
        assert!(line.len() <= 77, "{} octets: {line:?}", line.len() - 2);
    }
    for must in [
        "BEGIN:VCALENDAR\r\n",
        "VERSION:2.0\r\n",
        "PRODID:",
        "END:VCALENDAR\r\n",
    ] {
        assert!(ics.out.contains(must), "{must}");
    }
    assert_eq!(args("ics"), ics, "the same bytes again");
}

#[test]
fn every_key_of_the_contract_is_there_and_no_other() {
    let due = json(&[
        "due",
        &course("records"),
        "--on",
        "2026-07-08",
        "--within",
        "1y",
        "--format",
        "json",
    ]);
    let keys = |value: &serde_json::Value| {
        value
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect::<Vec<_>>()
            .join(" ")
    };
    assert_eq!(
        keys(&due),
        "at_odds cautions copies from_the_future of_one_day past_mark schema set_above_raises since skipped twice_out until visits without_forecast"
    );
    assert_eq!(due["schema"], "inseam/due/1");
    for visit in due["visits"].as_array().unwrap() {
        assert_eq!(
            keys(visit),
            "bike date file rider rider_name saddle_height_mm seat_height_mm serial_number what why"
        );
        assert!(What::ALL.iter().any(|what| visit["what"] == what.word()));
    }
}

#[test]
fn a_broken_record_is_said_and_left_out_and_no_cell_is_a_formula() {
    let folder = tempfile::tempdir().unwrap();
    file(
        folder.path(),
        "good.YAML",
        short("2026-07-01", "\"=1+1\"", "\"@b\""),
    );
    file(
        folder.path(),
        "bad.yml",
        "date: yesterday\nrider: Ada\nbike: b\n",
    );
    let folder = folder.path().to_str().unwrap();
    let args = ["due", folder, "--on", "2026-07-02", "--format", "csv"];
    let ran = inseam(&args);
    assert_eq!(ran.status, 0);
    assert!(
        ran.err.contains("skipped") && ran.err.contains("bad.yml"),
        "{}",
        ran.err
    );
    assert!(ran.out.contains("2026-07-15,'=1+1,'@b,"), "{}", ran.out);
    assert_eq!(inseam(&[&args[..], &["--strict"]].concat()).status, 1);
}

#[test]
fn an_outgrown_bike_wants_no_raise_and_of_two_on_a_day_the_last_alone_is_told() {
    let more = "  raises: {2026-03: 445, 2026-04: 450, 2026-08: 455, 2026-09: 460}\n  last_month: {p50: 2026-08}\n";
    let text = with("2026-03-10", "Ada", "trail-24", more);
    let raises = |on| -> Vec<_> {
        let all = visits(&[&text], on).into_iter();
        all.filter(|visit| visit.ends_with("raise-saddle"))
            .collect()
    };
    // Raises of August and September come on the day that it is outgrown, or later.
    assert_eq!(
        raises(date(2026, 3, 10)),
        ["2026-03-10 Ada raise-saddle", "2026-04-01 Ada raise-saddle"]
    );
    // On the last of April the raise of March is missed, and that of April falls on the same day.
    let records = [record(&text).unwrap()];
    let on = date(2026, 4, 30);
    let found = due(
        &records,
        Days {
            on,
            since: on,
            until: on,
        },
    );
    let raised: Vec<_> = found
        .visits
        .iter()
        .map(|visit| visit.why.raised_to_mm()[0])
        .collect();
    assert_eq!(raised.iter().flatten().collect::<Vec<_>>(), [&450.0]);
    // Outgrown already: no raise at all.
    assert_eq!(raises(date(2026, 10, 1)), Vec::<String>::new());
}

/// The text of `due` on some records, on one line.
fn told(texts: &[&str], args: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    for (number, text) in texts.iter().enumerate() {
        file(folder.path(), &format!("{number}.yaml"), text);
    }
    let ran = inseam(&[&["due", folder.path().to_str().unwrap()], args].concat());
    assert_eq!(ran.status, 0, "{}{}", ran.out, ran.err);
    ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_time_ahead_counts_from_the_first_day_where_that_is_after_today() {
    let one = short("2026-03-01", "Ada", "trail-24");
    let args = [
        "--on",
        "2026-03-02",
        "--since",
        "2027-01-01",
        "--within",
        "60d",
    ];
    let told = told(&[&one], &args);
    assert!(
        told.contains("Due from 2027-01-01 to 2027-03-02: 2 visits"),
        "{told}"
    );
}

#[test]
fn why_nothing_is_foreseen_is_what_the_record_shows_and_nothing_of_a_bike_that_comes_back() {
    let days = ["--on", "2026-03-02", "--within", "60d"];
    let heading = "Neither raises nor the end of the bike's time foreseen";
    let file = short("2026-03-01", "ada.yaml", "trail-24");
    assert!(told(&[&file], &days).contains("ada, trail-24: its record has none"));
    let figures = short("2026-03-01", "{inseam: 600}", "trail-24");
    assert!(told(&[&figures], &days).contains("Rider, trail-24: no age was given"));
    let back = format!("{file}left: 2026-04-01\n");
    assert!(!told(&[&back], &days).contains(heading));
    // The bike stays beyond the days looked at.
    let later = format!("{file}left: 2026-12-01\n");
    assert!(told(&[&later], &days).contains(heading));
}

#[test]
fn a_saddle_set_above_every_raise_is_said_and_not_passed_over() {
    let of = |set: &str| {
        with(
            "2026-03-01",
            "Ada",
            "trail-24",
            "  raises: {2026-05: 445, 2026-07: 450}\n",
        )
        .replace("saddle_height_mm: 440", set)
    };
    let days = ["--on", "2026-03-02", "--within", "1y"];
    let slip = told(&[&of("saddle_height_mm: 590")], &days);
    assert!(
        slip.contains("590 mm is set, the last raise is to 450 mm: measure again"),
        "{slip}"
    );
    for fine in ["saddle_height_mm: 440", "saddle_height_mm: 450"] {
        assert!(!told(&[&of(fine)], &days).contains("Set above"), "{fine}");
    }
}

#[test]
fn a_numbered_bike_with_two_children_is_said_until_one_record_is_closed() {
    const SAID: &str = "One bike with two children";
    let numbered = |day: &str, rider: &str, number: &str| {
        short(day, rider, "step-20").replace(
            "bike: step-20",
            &format!("bike: step-20\nserial_number: {number}"),
        )
    };
    let on = ["--on", "2026-04-01"];
    let [ada, ben] = ["Ada", "Ben"].map(|rider| numbered("2026-03-01", rider, "S-77"));
    let both = told(&[&ada, &ben], &on);
    assert!(both.contains(SAID), "{both}");
    let listed = both.split_once(SAID).unwrap().1;
    assert!(
        listed.contains("2026-03-01, Ada, step-20 (S-77)")
            && listed.contains("2026-03-01, Ben, step-20 (S-77)"),
        "{both}"
    );
    let closed = ada.replace("due:", "left: 2026-03-01\ndue:");
    assert!(!told(&[&closed, &ben], &on).contains(SAID));
    let other = numbered("2026-03-01", "Ben", "S-78");
    assert!(!told(&[&ada, &other], &on).contains(SAID));
    // One child twice is one child: the newest record counts.
    let again = numbered("2026-03-10", "Ada", "S-77");
    assert!(!told(&[&ada, &again], &on).contains(SAID));
}

#[test]
fn one_number_written_in_several_ways_is_one_bike() {
    const SAID: &str = "One bike with two children";
    let numbered = |rider: &str, number: &str| {
        let text = short("2026-03-01", rider, "step-20");
        format!("{text}serial_number: {number}\n")
    };
    let on = ["--on", "2026-04-01"];
    for other in ["z9", "\"Z 9\"", "\" z9\""] {
        let said = told(&[&numbered("Ada", "Z9"), &numbered("Ben", other)], &on);
        assert!(said.contains(SAID), "{other}: {said}");
    }
    let said = told(&[&numbered("Ada", "Z9"), &numbered("Ben", "Z90")], &on);
    assert!(!said.contains(SAID), "{said}");
}

#[test]
fn children_without_a_name_are_told_apart_by_the_files_of_their_records() {
    let folder = tempfile::tempdir().unwrap();
    let text = short("2026-03-01", "{inseam: 600}", "step-20");
    let other = text.replace("inseam: 600", "inseam: 610");
    let run = |format: &str, texts: [&str; 2]| {
        let path = folder.path();
        for (name, text) in ["a", "b"].iter().zip(texts) {
            std::fs::create_dir_all(path.join(name)).unwrap();
            std::fs::write(path.join(name).join(format!("{name}.yaml")), text).unwrap();
        }
        let [a, b] = ["a", "b"].map(|name| path.join(name).to_str().unwrap().to_owned());
        let on = ["--on", "2026-03-02", "--format", format];
        let out = inseam(&[&["due", &a, &b], &on[..]].concat()).out;
        (a, out)
    };
    let (_, csv) = run("csv", [&text, &other]);
    for rider in [",Rider (a),", ",Rider (b),"] {
        assert_eq!(csv.matches(rider).count(), 1, "{csv}");
    }
    let (_, text_out) = run("json", [&text, &other]);
    let json: serde_json::Value = serde_json::from_str(&text_out).unwrap();
    let files: Vec<_> = json["visits"].as_array().unwrap().iter().collect();
    assert_eq!(files[0]["file"], "a.yaml");
    assert_eq!(files[1]["file"], "b.yaml");
    // Whoever has to close one of two finds it.
    let numbered = [&text, &other].map(|text| format!("{text}serial_number: A1\n"));
    let (_, said) = run("text", [&numbered[0], &numbered[1]]);
    let lists = said.split_once("One bike with two children").unwrap().1;
    for file in ["- a.yaml: 2026-03-01", "- b.yaml: 2026-03-01"] {
        assert_eq!(lists.matches(file).count(), 1, "{said}");
    }
    // Two of one name in two folders go by their paths.
    let (a, _) = run("text", [&text, &other]);
    std::fs::write(folder.path().join("b/a.yaml"), &other).unwrap();
    let (_, json) = run("json", [&text, &other]);
    assert!(json.contains(&format!("{a}/a.yaml")), "{json}");
}

#[test]
fn the_first_check_takes_no_bike_for_one_with_cables() {
    let one = short("2026-03-01", "Ada", "balance-12");
    for on in ["2026-03-02", "2026-06-02"] {
        let said = told(&[&one], &["--on", on, "--format", "csv"]);
        let once = "tighten bolts, take up cables where there are any";
        assert_eq!(said.matches(once).count(), 1, "{said}");
        assert_eq!(said.matches("cables").count(), 2, "{said}");
    }
}

#[test]
fn of_two_unlike_records_of_one_day_neither_hides_what_the_other_tells() {
    let plain = with(
        "2026-03-01",
        "Ada",
        "trail-24",
        "  raises: {2026-05: 450}\n",
    );
    let past = plain.replace(
        "as_set: {saddle_height_mm: 440}",
        "as_set: {saddle_height_mm: 560}\nat_mark: {saddle_height_mm: 551}",
    );
    assert_ne!(plain, past);
    let orders = [[&*plain, &*past], [&*past, &*plain]].map(|texts| {
        let mut found = visits(&texts, date(2026, 3, 2));
        found.sort();
        found
    });
    assert_eq!(orders[0], orders[1], "the order of files decides nothing");
    // The mark, the raise of the one, and once what both have alike.
    assert_eq!(
        orders[0],
        [
            "2026-03-02 Ada lower-saddle",
            "2026-03-15 Ada bolts-and-cables",
            "2026-05-01 Ada raise-saddle",
            "2026-09-01 Ada measure"
        ]
    );
    let said = told(&[&plain, &past], &["--on", "2026-03-02"]);
    assert!(said.contains("Unlike records of one day"), "{said}");
    assert!(!said.contains("One bike with two children"), "{said}");
}

#[test]
fn figures_that_cannot_both_be_are_said_where_raises_rest_on_them() {
    let odd = with("2026-03-01", "Ada", "trail-24", "  raises: {2026-05: 450}\n").replace(
        "as_set: {saddle_height_mm: 440}",
        "as_set: {saddle_height_mm: 470, exposed_post_mm: 158}\nat_mark: {saddle_height_mm: 551, exposed_post_mm: 269}",
    );
    let said = told(&[&odd], &["--on", "2026-03-02"]);
    assert!(
        said.contains("the saddle height does not go with the exposed post"),
        "{said}"
    );
}

#[test]
fn a_look_before_its_time_leaves_the_one_that_is_due() {
    let text = with(
        "2026-03-01",
        "Ada",
        "trail-24",
        "  last_month: {p10: 2028-02, p50: 2028-09, done: 2026-03-20}\n",
    );
    let looks = |text: &str| {
        let mut found = visits(&[text], date(2028, 1, 10));
        found.retain(|visit| visit.ends_with("check-size"));
        found
    };
    assert_eq!(looks(&text), ["2028-02-01 Ada check-size"]);
    let early = text.replace("done: 2026-03-20", "done: 2028-01-10");
    assert_eq!(looks(&early), ["2028-02-01 Ada check-size"]);
    let mut found = visits(
        &[&*text.replace("done: 2026-03-20", "done: 2028-02-01")],
        date(2028, 2, 2),
    );
    found.retain(|visit| visit.ends_with("check-size"));
    assert!(found.is_empty(), "{found:?}");
}

#[test]
fn two_copies_of_one_record_give_their_visits_once_and_are_said() {
    let one = short("2026-03-01", "{inseam: 600}", "trail-24");
    let days = ["--on", "2026-03-02", "--within", "60d"];
    let twice = told(&[&one, &one], &days);
    assert!(twice.contains(": 1 visit"), "{twice}");
    assert!(
        twice.contains("Copies of one record, counted once"),
        "{twice}"
    );
    assert!(!told(&[&one], &days).contains("Copies"));
    // Numbered, bikes of children without a name are told apart.
    let numbered = [1, 2].map(|number| format!("{one}serial_number: C-{number}\n"));
    let both = told(&[&numbered[0], &numbered[1]], &days);
    assert!(both.contains("C-1") && both.contains("C-2"), "{both}");
}

#[test]
fn a_calendar_and_a_page_have_no_marks_of_a_terminal_in_their_words() {
    let more = "  last_month: {p10: 2026-04, p50: 2026-09}\n";
    let late = with("2026-01-01", "Ada", "trail-24", more);
    let args = ["--on", "2026-03-02", "--within", "1y", "--format"];
    for format in ["ics", "csv", "text"] {
        let told = told(&[&late], &[&args[..], &[format]].concat());
        assert!(!told.contains('`'), "{told}");
        assert!(told.contains("under"), "{told}");
    }
}

#[test]
fn nothing_due_from_some_records_is_not_nothing_due() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    let path = folder.path().to_str().unwrap();
    let told = || {
        let ran = inseam(&["due", path, "--on", "2026-03-02", "--within", "2d"]);
        ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    write("a.yaml", &short("2026-03-01", "Ada", "trail-24"));
    write("b.yaml", &short("2026-03-01", "Ben", "trail-24"));
    assert!(
        told().contains("Nothing is due in these days."),
        "{}",
        told()
    );
    write("c.yaml", "schema: inseam/record/1\ndate: soon\n");
    let said = told();
    assert!(
        said.contains("Nothing is due from the 2 records that could be read; 1 could not."),
        "{said}"
    );
    assert!(!said.contains("in these days"), "{said}");
    let first = said.split(" Nothing").next().unwrap();
    assert!(
        first.ends_with("0 visits; 1 record could not be read"),
        "the first line: {said}"
    );
}
