//! `inseam rack`: text in any width, the JSON contract pinned by a strict mirror, CSV, bad files.
//! The chart's lay-out is looked at in `charts`.

mod common;

use std::path::Path;

use common::contract::{self, mirrored};
use common::program::{Ran, inseam, run_at};
use inseam::bike::library;

/// The rack's answer; pictures go to a folder that is thrown away.
fn rack_in(folder: &Path, columns: usize, args: &[&str]) -> Ran {
    let pictures = folder.to_str().unwrap();
    run_at(columns, &[&["rack", "--out", pictures], args].concat())
}

fn rack(columns: usize, args: &[&str]) -> Ran {
    rack_in(tempfile::tempdir().unwrap().path(), columns, args)
}

fn json(args: &[&str]) -> (Ran, contract::Rack) {
    let ran = rack(80, &[args, &["--format", "json"]].concat());
    let read = mirrored(&ran.out);
    (ran, read)
}

#[test]
fn without_frames_every_sample_is_on_the_rack_smallest_first() {
    let (ran, read) = json(&[]);
    assert_eq!((ran.status, read.schema.as_str()), (0, "inseam/rack/1"));
    let ids: Vec<&str> = read.bikes.iter().map(|bike| bike.id.as_str()).collect();
    let samples: Vec<&str> = library::SAMPLES.iter().map(|(id, _)| *id).collect();
    assert_eq!(ids, samples);
    assert!(read.skipped.is_empty() && read.cautions.len() >= 7);
    for bike in &read.bikes {
        assert!(bike.name.starts_with("Sample") && !bike.style.is_empty());
        assert!(!bike.class.is_empty() && bike.warnings.is_empty() && bike.not_checked.is_empty());
        let stages = &bike.stages;
        for window in [&stages.learning, &stages.steady, &stages.confident] {
            let pairs = [
                (window.height_min_mm, window.height_max_mm),
                (window.inseam_min_mm, window.inseam_max_mm),
            ];
            assert!(pairs.iter().all(|(low, high)| low < high), "{window:?}");
            assert!(window.bound_low_by.is_some() && window.bound_high_by.is_some());
            assert_eq!(window.reason, None);
            // The charts cover 2 to 20 years: an age where there is one lies on them.
            for age in [window.age_min_months, window.age_max_months] {
                assert!(age.is_none_or(|age| (24.0..=240.0).contains(&age)));
            }
        }
    }
}

#[test]
fn a_height_at_the_written_end_fits_and_one_beyond_it_does_not() {
    let (_, read) = json(&["street-20"]);
    let window = &read.bikes[0].stages.steady;
    for (end, beyond) in [
        (window.height_min_mm, -0.001),
        (window.height_max_mm, 0.001),
    ] {
        for (height, code) in [(end.unwrap(), 0), (end.unwrap() + beyond, 3)] {
            let folder = tempfile::tempdir().unwrap();
            let height = format!("{height}");
            let pictures = folder.path().to_str().unwrap();
            let ran = inseam(&[
                "fit",
                "street-20",
                "--height",
                &height,
                "--strict",
                "--exact",
                "--out",
                pictures,
            ]);
            assert_eq!(ran.status, code, "{height}");
        }
    }
}

#[test]
fn the_text_keeps_to_the_terminal_and_names_what_bounds_a_window() {
    for units in ["mm", "cm", "in"] {
        for columns in [40, 60, 80, 132] {
            let ran = rack(columns, &["--units", units]);
            assert_eq!(ran.status, 0);
            for line in ran.out.lines() {
                assert!(line.chars().count() <= columns, "{columns}: {line}");
            }
        }
    }
    let ran = rack(80, &["street-20", "balance-12", "--stage", "learning"]);
    let row = |id: &str, n: usize| ran.out.lines().filter(|l| l.contains(id)).nth(n).unwrap();
    assert!(row("balance-12", 0).contains("as learning"));
    assert!(row("street-20", 1).contains("saddle height"));
    assert!(row("street-20", 1).contains("leg room"));
    assert!(ran.out.contains("At stage learning"));
    assert!(ran.out.contains("not a safety certificate"));
}

#[test]
fn csv_has_one_row_a_bike_and_stage_with_the_json_names_and_figures() {
    let ran = rack(80, &["--format", "csv"]);
    let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
    let header = reader.headers().unwrap().clone();
    let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 3 * library::SAMPLES.len());
    let (_, read) = json(&["trail-24"]);
    let steady = &read.bikes[0].stages.steady;
    let column = |name: &str| header.iter().position(|title| title == name).unwrap();
    let row = rows
        .iter()
        .find(|row| &row[column("id")] == "trail-24" && &row[column("stage")] == "steady")
        .unwrap();
    for (name, value) in [
        ("inseam_min_mm", steady.inseam_min_mm),
        ("inseam_max_mm", steady.inseam_max_mm),
        ("height_min_mm", steady.height_min_mm),
        ("height_max_mm", steady.height_max_mm),
        ("age_min_months", steady.age_min_months),
        ("age_max_months", steady.age_max_months),
    ] {
        let written: f64 = row[column(name)].parse().unwrap();
        approx::assert_abs_diff_eq!(written, value.unwrap());
    }
    assert_eq!(&row[column("bound_high_by")], "leg_room");
    assert_eq!(&row[column("reason")], "");
}

#[test]
fn bad_files_in_a_folder_are_reported_and_the_rest_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    let text = |id: &str| {
        library::SAMPLES
            .iter()
            .find(|(name, _)| *name == id)
            .unwrap()
            .1
    };
    put("z-small.yaml", text("street-16"));
    put("a-large.yml", text("street-24"));
    put("broken.yaml", "frame: [");
    put("notes.txt", "not a bike");
    let path = folder.path().to_str().unwrap();
    let (ran, read) = json(&["--frames", path]);
    assert_eq!(ran.status, 0);
    let ids: Vec<&str> = read.bikes.iter().map(|bike| bike.id.as_str()).collect();
    assert_eq!(ids, ["z-small", "a-large"], "smallest wheel first");
    assert_eq!(read.skipped.len(), 1);
    assert!(read.skipped[0].file.ends_with("broken.yaml"));
    assert!(
        read.skipped[0].error.contains("broken.yaml:1:8"),
        "{}",
        read.skipped[0].error
    );
    assert!(ran.err.contains("skipped") && ran.err.contains("broken.yaml"));
    assert!(folder.path().join("notes.txt").exists());

    let (ran, read) = json(&["no-such-bike"]);
    assert_eq!(
        (ran.status, read.bikes.len(), read.skipped.len()),
        (1, 0, 1)
    );
    let ran = rack(80, &["--frames", "no-such-folder"]);
    assert_eq!((ran.status, ran.out.as_str()), (1, ""));
    assert!(ran.err.contains("no-such-folder"), "{}", ran.err);
}

#[test]
fn an_empty_rack_is_said_in_words_and_draws_nothing() {
    let empty = tempfile::tempdir().unwrap();
    let pictures = tempfile::tempdir().unwrap();
    let path = empty.path().to_str().unwrap();
    let ran = rack_in(pictures.path(), 80, &["--frames", path]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    assert!(ran.out.starts_with("The rack is empty"), "{}", ran.out);
    assert_eq!(std::fs::read_dir(pictures.path()).unwrap().count(), 0);
    let csv = rack(80, &["--frames", path, "--format", "csv"]);
    assert_eq!(csv.out.lines().count(), 1);
}

#[test]
fn a_bike_with_half_its_data_says_which_checks_its_window_leaves_out() {
    let folder = tempfile::tempdir().unwrap();
    let text = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "street-20")
        .unwrap()
        .1;
    let half: Vec<&str> = text
        .lines()
        .filter(|line| !line.contains("top_tube") && !line.starts_with("published"))
        .collect();
    let file = folder.path().join("half.yaml");
    std::fs::write(&file, half.join("\n")).unwrap();
    let path = file.to_str().unwrap();
    let (_, read) = json(&[path]);
    let left = &read.bikes[0].not_checked;
    assert_eq!(
        (left[0].check.as_str(), left[0].needs.as_str()),
        ("standover", "measured.standover")
    );
    let ran = rack(80, &[path]);
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("half: standover is assumed, and the window keeps to")
            && said.contains("with the standover measured it shows all of it"),
        "{said}"
    );
}

#[test]
fn a_bike_of_which_what_decides_is_not_known_is_nobodys_yet_wherever_its_window_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let text = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "street-24")
        .unwrap()
        .1;
    // Without the kind of its brakes no pair on it is ever called fitting: see the README, "What is not known".
    let mut unknown = Vec::new();
    let mut is_in_brakes = false;
    for line in text.lines() {
        is_in_brakes = line.starts_with("brakes:") || is_in_brakes && line.starts_with(' ');
        if !is_in_brakes {
            unknown.push(line);
        }
    }
    assert!(unknown.len() < text.lines().count());
    let file = folder.path().join("unknown.yaml");
    std::fs::write(&file, unknown.join("\n")).unwrap();
    let path = file.to_str().unwrap();
    let (_, read) = json(&[path, "street-24"]);
    let windows = |index: usize| &read.bikes[index].stages.steady;
    assert_eq!(windows(0).height_min_mm, windows(1).height_min_mm);
    assert_eq!(windows(1).reason, None);
    let why = windows(0).reason.as_deref().unwrap();
    assert_eq!(
        why,
        "nobody yet: find out first, for a middle-sized rider: brakes"
    );
    let pictures = tempfile::tempdir().unwrap();
    let ran = rack_in(pictures.path(), 80, &[path, "street-24"]);
    assert!(
        ran.out
            .contains("Nobody yet\n- unknown: find out first, for a middle-sized rider: brakes"),
        "{}",
        ran.out
    );
    assert!(!ran.out.contains("- street-24: find out"), "{}", ran.out);
    assert!(
        !ran.out.contains("brakes not checked"),
        "said once: {}",
        ran.out
    );
    let chart = std::fs::read_to_string(pictures.path().join("rack.svg")).unwrap();
    assert_eq!(
        chart
            .matches(
                "nobody yet: find out first, for a middle-sized rider: brakes; by its size alone"
            )
            .count(),
        1
    );
    let csv = rack(80, &[path, "--format", "csv"]);
    let rows = csv.out.lines().skip(1);
    assert!(
        rows.clone().count() == 3
            && rows
                .clone()
                .all(|row| row.trim_end_matches('"').ends_with(why)),
        "{}",
        csv.out
    );
    // It fills no hole: what stands between two others is nobody's while its brakes are not known.
    let around = ["street-20", path, "street-24", "trail-26"];
    let with_it = json(&around).1.holes;
    let without_it = json(&["street-20", "street-24", "trail-26"]).1.holes;
    assert_eq!(with_it, without_it);
}

#[test]
fn the_end_of_a_window_is_called_an_even_chance_and_so_is_it() {
    let said = rack(400, &["street-20"]).out;
    assert!(
        said.contains("Where a window ends, it is at best an even chance that the bike fits."),
        "{said}"
    );
    // A rider of the very height at which the window ends, measured with a tape.
    let (_, read) = json(&["street-20"]);
    let window = &read.bikes[0].stages.steady;
    for height in [window.height_min_mm, window.height_max_mm] {
        let height = format!("{}", height.unwrap());
        let told = inseam(&["size", "street-20", "--height", &height, "--format", "json"]);
        let sized: contract::Size = serde_json::from_str(&told.out).unwrap();
        let chance = sized.bikes[0].fit.chance.unwrap();
        assert!(chance < 0.6, "{height}: {chance}");
    }
}

#[test]
fn a_rack_ends_with_what_was_left_out_and_tells_alike_bikes_once() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["a", "b"] {
        let text =
            format!("{{name: {name}, style: street, tyres: {{front: 50-406, rear: 50-406}}}}");
        std::fs::write(folder.path().join(format!("{name}.yaml")), text).unwrap();
    }
    std::fs::write(folder.path().join("broken.yaml"), "frame: [").unwrap();
    let out = tempfile::tempdir().unwrap();
    let ran = inseam(&[
        "rack",
        "--frames",
        folder.path().to_str().unwrap(),
        "--out",
        out.path().to_str().unwrap(),
    ]);
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let (_, left_out) = said.split_once("Skipped files").expect("said at the end");
    assert!(left_out.contains("broken.yaml"), "{said}");
    assert_eq!(said.matches("standover is assumed").count(), 1, "{said}");
    assert!(said.contains("- a, b: standover is assumed"), "{said}");
    // In either table a bike that nobody has yet is no bike like the others.
    assert_eq!(said.matches(" a ? ").count(), 2, "{said}");
    assert!(said.contains("? nobody yet: see above"), "{said}");
}
