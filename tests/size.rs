//! A rack for one rider: the order, the near misses, the same fit objects as `fit`, large racks, empty ones.

mod common;

use std::path::Path;

use common::{Ran, inseam};
use inseam::Bike;
use inseam::advice::size::{judge, rank};
use inseam::bike::library;
use inseam::file::Document;
use inseam::fit::{Assessor, Confidence, Options, Verdict};
use inseam::rider::{Rider, RiderFile};
use jiff::civil::{Date, date};
use serde_json::Value;

const ON: Date = date(2026, 3, 1);
const CHILD: &[&str] = &[
    "--height",
    "128cm",
    "--inseam",
    "60cm",
    "--age",
    "8y",
    "--sex",
    "girl",
    "--on",
    "2026-03-01",
];

fn child() -> Rider {
    let text = "{height: 1280, inseam: 600, age: 8y, sex: girl}";
    let file: RiderFile = Document::from_text("rider", text).read().expect("a rider");
    Rider::new(&file, ON).expect("a rider that can be")
}

fn size(more: &[&str]) -> Ran {
    let mut args = vec!["size"];
    args.extend(CHILD);
    args.extend(more);
    inseam(&args)
}

fn json(more: &[&str]) -> Value {
    let mut args = more.to_vec();
    args.extend(["--format", "json"]);
    serde_json::from_str(&size(&args).out).expect("JSON")
}

fn ids(answer: &Value) -> Vec<&str> {
    let bikes = answer["bikes"].as_array().expect("a list");
    bikes
        .iter()
        .map(|bike| bike["id"].as_str().expect("a name"))
        .collect()
}

/// A folder of `count` frames made from the samples.
fn shop(folder: &Path, count: usize) {
    for (index, (id, text)) in library::SAMPLES.iter().cycle().take(count).enumerate() {
        std::fs::write(folder.join(format!("{index:05}-{id}.yaml")), text).expect("a file");
    }
}

#[test]
fn sure_fits_come_before_doubtful_ones_and_longer_before_shorter() {
    let rider = child();
    let assessor = Assessor::new(&rider, Options::new(ON));
    let bikes: Vec<Bike> = library::samples().collect();
    let sizing = rank(
        assessor.rider_facts(),
        bikes.iter().map(|bike| judge(&assessor, bike)).collect(),
        Vec::new(),
    );
    let fits: Vec<_> = sizing
        .bikes
        .iter()
        .take_while(|bike| bike.fit.verdict.fits())
        .collect();
    assert!(fits.len() >= 3, "an ordinary child on an ordinary rack");
    for pair in fits.windows(2) {
        let sure = |bike: &inseam::advice::size::SizedBike| bike.fit.confidence;
        assert!(
            sure(pair[0]) >= sure(pair[1]),
            "{} {}",
            pair[0].id,
            pair[1].id
        );
        if sure(pair[0]) == sure(pair[1]) {
            let left = |index: usize| pair[index].months_left.p50.unwrap_or(f64::INFINITY);
            assert!(left(0) >= left(1), "{} {}", pair[0].id, pair[1].id);
        }
    }
    assert_eq!(
        fits.last().map(|bike| bike.fit.confidence),
        Some(Some(Confidence::TooCloseToCall))
    );
    let rest = &sizing.bikes[fits.len()..];
    assert!(
        rest.iter().all(|bike| !bike.fit.verdict.fits()),
        "no fit below a misfit"
    );
    let misses: Vec<_> = rest
        .iter()
        .map_while(|bike| bike.near_miss.as_ref())
        .collect();
    assert!(!misses.is_empty());
    assert!(
        misses
            .windows(2)
            .all(|pair| pair[0].height_mm.abs() <= pair[1].height_mm.abs())
    );
}

#[test]
fn a_near_miss_fits_the_taller_rider_it_speaks_of_and_no_smaller_one() {
    let rider = child();
    let assessor = Assessor::new(&rider, Options::bare(ON));
    let mut seen = 0;
    for bike in library::samples() {
        let sized = judge(&assessor, &bike);
        let Some(miss) = sized.near_miss else {
            continue;
        };
        seen += 1;
        let verdict = |height_mm: f64| {
            let other = rider.scaled(1.0 + height_mm / rider.height.mm());
            Assessor::new(&other, Options::bare(ON))
                .assess(&bike)
                .verdict
        };
        assert!(verdict(miss.height_mm).fits(), "{}", bike.id);
        // Half a millimetre is the resolution.
        assert!(
            !verdict(miss.height_mm - 0.6 * miss.height_mm.signum()).fits(),
            "{}",
            bike.id
        );
        let failing = sized
            .fit
            .finding(miss.check)
            .map(|finding| finding.status.word());
        assert_eq!(failing, Some("fail"), "{}: {}", bike.id, miss.check);
    }
    assert!(seen >= 2, "an ordinary rack has near misses on both sides");
}

#[test]
fn the_fit_inside_is_the_fit_that_fit_prints() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let answer = json(&[]);
    assert_eq!(answer["schema"], "inseam/size/1");
    for bike in answer["bikes"].as_array().expect("a list") {
        let id = bike["id"].as_str().expect("a name");
        let mut args = vec!["fit", id, "--format", "json", "--out"];
        args.push(folder.path().to_str().expect("UTF-8"));
        args.extend(CHILD);
        let alone: Value = serde_json::from_str(&inseam(&args).out).expect("JSON");
        assert_eq!(bike["fit"], alone, "{id}");
    }
}

#[test]
fn the_order_does_not_depend_on_the_order_of_the_files_or_the_number_of_threads() {
    let forward: Vec<&str> = library::SAMPLES.iter().map(|(id, _)| *id).collect();
    let backward: Vec<&str> = forward.iter().rev().copied().collect();
    let (one, other) = (size(&forward), size(&backward));
    assert_eq!(one.out, other.out);
    let rider = child();
    let bikes: Vec<Bike> = library::samples().collect();
    let ranked = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        pool.install(|| {
            use rayon::prelude::*;
            let assessor = Assessor::new(&rider, Options::new(ON));
            let judged = bikes
                .par_iter()
                .map(|bike| judge(&assessor, bike))
                .collect();
            rank(assessor.rider_facts(), judged, Vec::new())
        })
    };
    assert_eq!(ranked(1), ranked(4));
}

#[test]
fn only_and_limit_choose_from_the_ranked_list() {
    let all = json(&[]);
    let fitting = json(&["--only", "ready,set-up"]);
    assert!(ids(&all).starts_with(&ids(&fitting)));
    assert_eq!(ids(&json(&["--limit", "2"])), ids(&all)[..2]);
    assert_eq!(ids(&json(&["--only", "unsuitable"])), Vec::<&str>::new());
    let none = size(&["--only", "unsuitable"]);
    assert_eq!(none.status, 0);
    assert!(
        none.out.contains("No bike with the verdicts asked for"),
        "{}",
        none.out
    );
    assert_eq!(size(&["--only", "fine"]).status, 2, "no such verdict");
}

#[test]
fn an_empty_rack_and_a_rack_where_nothing_fits_are_said_in_words() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().to_str().expect("UTF-8");
    let empty = size(&["--frames", path]);
    assert_eq!(empty.status, 0);
    assert!(empty.out.contains("The rack is empty"), "{}", empty.out);
    let nothing = size(&["trail-27", "balance-12"]);
    assert_eq!(nothing.status, 0);
    assert!(
        nothing.out.contains("No bike on this rack fits today"),
        "{}",
        nothing.out
    );
    assert_eq!(size(&["trail-27", "balance-12", "--strict"]).status, 3);
    assert_eq!(size(&["trail-20", "--strict"]).status, 0);
}

#[test]
fn a_bad_file_is_reported_and_skipped_and_counts_only_when_asked() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    shop(folder.path(), 3);
    std::fs::write(folder.path().join("bad.yaml"), "name: x\nstyle: trial\n").expect("a file");
    let path = folder.path().to_str().expect("UTF-8");
    let ran = size(&["--frames", path]);
    assert_eq!(ran.status, 0);
    assert!(
        ran.err.contains("bad.yaml") && ran.err.contains("trial"),
        "{}",
        ran.err
    );
    assert!(ran.out.contains("Skipped files"), "{}", ran.out);
    let answer = json(&["--frames", path]);
    assert_eq!(answer["skipped"].as_array().map(Vec::len), Some(1));
    assert_eq!(answer["bikes"].as_array().map(Vec::len), Some(3));
    assert_eq!(size(&["--frames", path, "--strict"]).status, 1);
}

#[test]
fn a_large_rack_says_the_same_verdicts_in_the_same_places() {
    // Beyond 500 bikes clear cases are not followed to the last decimal; nothing else may change.
    let folder = tempfile::tempdir().expect("a temporary folder");
    shop(folder.path(), 510);
    let large = json(&["--frames", folder.path().to_str().expect("UTF-8")]);
    let bikes = large["bikes"].as_array().expect("a list");
    assert_eq!(bikes.len(), 510);
    let small = json(&[]);
    for bike in small["bikes"].as_array().expect("a list") {
        let name = &bike["fit"]["bike"]["name"];
        let same = bikes
            .iter()
            .filter(|other| other["fit"]["bike"]["name"] == *name);
        for other in same {
            for key in ["verdict", "confidence"] {
                assert_eq!(other["fit"][key], bike["fit"][key], "{name} {key}");
            }
            assert_eq!(other["near_miss"], bike["near_miss"], "{name}");
        }
    }
}

#[test]
fn the_table_as_csv_has_a_row_for_every_bike() {
    let ran = size(&["--format", "csv"]);
    let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
    let header = reader.headers().expect("a header").clone();
    assert_eq!(header.get(0), Some("rank"));
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    assert_eq!(rows.len(), library::SAMPLES.len());
    let verdicts = Verdict::ALL.map(Verdict::word);
    assert!(rows.iter().all(|row| verdicts.contains(&&row[3])));
}
