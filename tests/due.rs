//! What is due: days that calendars make hard, records that cannot be, children who left; the calendar as a second
//! reader reads it. Days are counted by hand from RFC 5545's own calendar, the Gregorian.

mod course;

use std::sync::Arc;

use calcard::icalendar::{ICalendar, ICalendarComponentType, ICalendarProperty, ICalendarValue};
use course::{course, inseam, json, write};
use inseam::advice::due::{Days, Record, What, due};
use inseam::file::Document;
use jiff::civil::date;

fn record(text: &str) -> Result<Arc<Record>, String> {
    Record::read(&Document::from_text("record.yaml", text))
        .map(Arc::new)
        .map_err(|error| error.to_string())
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
fn bolts_come_after_two_weeks_and_measuring_after_six_months_also_over_leap_days_and_year_ends() {
    // 2028 is a leap year, 2100 is none.
    for (handed, bolts, measure) in [
        ("2028-02-20", "2028-03-05", "2028-08-20"),
        ("2027-02-20", "2027-03-06", "2027-08-20"),
        ("2027-08-31", "2027-09-14", "2028-02-29"),
        ("2099-08-31", "2099-09-14", "2100-02-28"),
        ("2027-12-25", "2028-01-08", "2028-06-25"),
    ] {
        let text = format!("date: {handed}\nrider: Ada\nbike: trail-24\n");
        let wanted = [
            format!("{bolts} Ada bolts-and-cables"),
            format!("{measure} Ada measure"),
        ];
        assert_eq!(visits(&[&text], handed.parse().unwrap()), wanted);
    }
}

#[test]
fn what_is_handed_out_again_counts_from_the_newest_record() {
    let old = "date: 2026-03-01\nrider: Ada\nbike: trail-24\n";
    let new = "date: 2026-04-01\nrider: Ada\nbike: trail-24\n";
    let other = "date: 2026-03-20\nrider: Ada\nbike: street-24\n";
    let wanted = [
        "2026-04-03 Ada bolts-and-cables",
        "2026-04-15 Ada bolts-and-cables",
        "2026-09-20 Ada measure",
        "2026-10-01 Ada measure",
    ];
    for order in [[old, new, other], [other, new, old], [new, old, other]] {
        assert_eq!(visits(&order, date(2026, 4, 1)), wanted);
    }
}

#[test]
fn nothing_is_due_once_a_child_has_left() {
    let stays = "date: 2026-03-01\nrider: Ada\nbike: trail-24\n";
    let leaves = |day: &str| format!("{stays}left: {day}\n");
    let on = date(2026, 3, 1);
    assert_eq!(visits(&[stays], on).len(), 2);
    assert_eq!(
        visits(&[&leaves("2026-09-01")], on),
        ["2026-03-15 Ada bolts-and-cables"]
    );
    assert_eq!(visits(&[&leaves("2026-03-15")], on).len(), 0);
    assert!(record(&leaves("2026-02-28")).is_err());
}

#[test]
fn a_record_of_a_day_to_come_is_left_out_and_said() {
    let text = "date: 2026-04-10\nrider: Ada\nbike: trail-24\n";
    let on = date(2026, 4, 9);
    let days = Days {
        on,
        since: on,
        until: date(2027, 4, 9),
    };
    let found = due(&[record(text).unwrap()], days);
    assert_eq!((found.visits.len(), found.from_the_future.len()), (0, 1));

    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "ada.yaml", text);
    let folder = folder.path().to_str().unwrap();
    let ran = inseam(&["due", folder, "--on", "2026-04-09"]);
    assert_eq!(ran.status, 0);
    assert!(ran.out.contains("2026-04-10, Ada, trail-24"), "{}", ran.out);
}

#[test]
fn what_was_missed_and_still_holds_is_told_on_the_first_day() {
    let text = "date: 2026-01-01\nrider: Ada\nbike: trail-24\nmeasured_on: 2025-12-01\ndue:\n  outgrown: {p10: 2026-03-01, p50: 2026-05-01, p90: 2026-08-01}\n";
    let wanted = ["2026-07-01 Ada outgrown", "2026-07-01 Ada measure"];
    assert_eq!(visits(&[text], date(2026, 7, 1)), wanted);
}

#[test]
fn a_schedule_is_told_raise_by_raise_but_not_the_setting_of_the_day() {
    let text = "date: 2026-03-01\nrider: Ada\nbike: trail-24\ndue:\n  raises:\n    - {date: 2026-03-01, saddle_height_mm: 440}\n    - {date: 2026-06-01, saddle_height_mm: 445}\n    - {date: 2026-12-31, saddle_height_mm: 450}\n  outgrown: {p10: 2026-11-01, p50: 2027-01-01}\n  measure: 2026-09-01\n";
    let wanted = [
        "2026-03-15 Ada bolts-and-cables",
        "2026-06-01 Ada raise-saddle",
        "2026-09-01 Ada measure",
        "2026-11-01 Ada check-size",
        "2026-12-31 Ada raise-saddle",
        "2027-01-01 Ada outgrown",
    ];
    assert_eq!(visits(&[text], date(2026, 3, 1)), wanted);
}

#[test]
fn a_record_that_cannot_be_is_refused_at_its_key() {
    let base = "date: 2026-03-01\nrider: Ada\nbike: trail-24\n";
    for (more, key) in [
        ("measured_on: 2026-03-02\n", "date"),
        ("due:\n  measure: 2026-02-01\n", "due.measure"),
        (
            "due:\n  first_check: {from: 2026-03-20, to: 2026-03-10}\n",
            "due.first_check.to",
        ),
        (
            "due:\n  outgrown: {p10: 2027-01-01, p50: 2026-12-01}\n",
            "due.outgrown.p50",
        ),
        ("schema: inseam/record/9\n", "schema"),
        ("colour: red\n", "colour"),
        ("left: 2026-02-30\n", "left"),
    ] {
        let error = record(&format!("{base}{more}")).unwrap_err();
        assert!(error.contains(key), "{more}: {error}");
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
    write(
        folder.path(),
        "zoe.yaml",
        &format!("date: 2026-07-01\nrider: \"{yaml}\"\nbike: trail-24\n"),
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
        "cautions from_the_future schema since skipped until visits without_forecast"
    );
    assert_eq!(due["schema"], "inseam/due/1");
    for visit in due["visits"].as_array().unwrap() {
        assert_eq!(
            keys(visit),
            "bike date rider saddle_height_mm serial_number what why"
        );
        assert!(What::ALL.iter().any(|what| visit["what"] == what.word()));
    }
}

#[test]
fn a_broken_record_is_said_and_left_out_and_no_cell_is_a_formula() {
    let folder = tempfile::tempdir().unwrap();
    write(
        folder.path(),
        "good.YAML",
        "date: 2026-07-01\nrider: \"=1+1\"\nbike: \"@b\"\n",
    );
    write(
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
