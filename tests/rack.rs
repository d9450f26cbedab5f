//! `inseam rack`: text in any width, the JSON contract pinned by a strict mirror, CSV, bad files, and
//! the chart's lay-out by box arithmetic.

use std::path::Path;

use inseam::Units;
use inseam::advice::rack::{Rack, RackBike, STAGES};
use inseam::bike::{Bike, Style, library};
use inseam::cli::{Streams, run};
use inseam::draw::rack_chart;
use inseam::rider::Stage;
use inseam::units::Length;
use serde::Deserialize;

struct Ran {
    code: u8,
    out: String,
    err: String,
}

/// Runs the whole program in this process; pictures go to a folder that is thrown away.
fn rack_in(folder: &Path, columns: usize, args: &[&str]) -> Ran {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let pictures = folder.to_str().unwrap();
    let all = [&["inseam", "rack", "--out", pictures], args].concat();
    let mut streams = Streams {
        out: &mut out,
        err: &mut err,
        columns,
    };
    let code = run(all.into_iter().map(Into::into), &mut streams);
    Ran {
        code,
        out: String::from_utf8(out).unwrap(),
        err: String::from_utf8(err).unwrap(),
    }
}

fn rack(columns: usize, args: &[&str]) -> Ran {
    rack_in(tempfile::tempdir().unwrap().path(), columns, args)
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RackJson {
    schema: String,
    bikes: Vec<BikeJson>,
    skipped: Vec<SkippedJson>,
    cautions: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct BikeJson {
    id: String,
    name: String,
    style: String,
    class: String,
    stages: StagesJson,
    not_checked: Vec<NotCheckedJson>,
    warnings: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct StagesJson {
    learning: WindowJson,
    steady: WindowJson,
    confident: WindowJson,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct WindowJson {
    inseam_min_mm: Option<f64>,
    inseam_max_mm: Option<f64>,
    height_min_mm: Option<f64>,
    height_max_mm: Option<f64>,
    age_min_months: Option<f64>,
    age_max_months: Option<f64>,
    bound_low_by: Option<String>,
    bound_high_by: Option<String>,
    reason: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct NotCheckedJson {
    check: String,
    needs: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SkippedJson {
    file: String,
    error: String,
}

fn json(args: &[&str]) -> (Ran, RackJson) {
    let ran = rack(80, &[args, &["--format", "json"]].concat());
    let read = serde_json::from_str(&ran.out).unwrap_or_else(|why| panic!("{why}: {}", ran.out));
    (ran, read)
}

#[test]
fn without_frames_every_sample_is_on_the_rack_smallest_first() {
    let (ran, read) = json(&[]);
    assert_eq!((ran.code, read.schema.as_str()), (0, "inseam/rack/1"));
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
            let (mut out, mut err) = (Vec::new(), Vec::new());
            let folder = tempfile::tempdir().unwrap();
            let height = format!("{height}");
            let pictures = folder.path().to_str().unwrap();
            let args = [
                "inseam",
                "fit",
                "street-20",
                "--height",
                &height,
                "--strict",
                "--out",
                pictures,
            ];
            let mut streams = Streams {
                out: &mut out,
                err: &mut err,
                columns: 80,
            };
            assert_eq!(run(args.map(Into::into), &mut streams), code, "{height}");
        }
    }
}

#[test]
fn the_text_keeps_to_the_terminal_and_names_what_bounds_a_window() {
    for units in ["mm", "cm", "in"] {
        for columns in [40, 60, 80, 132] {
            let ran = rack(columns, &["--units", units]);
            assert_eq!(ran.code, 0);
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
    assert_eq!(ran.code, 0);
    let ids: Vec<&str> = read.bikes.iter().map(|bike| bike.id.as_str()).collect();
    assert_eq!(ids, ["z-small", "a-large"], "smallest wheel first");
    assert_eq!(read.skipped.len(), 1);
    assert!(read.skipped[0].file.ends_with("broken.yaml"));
    assert!(
        read.skipped[0].error.contains("broken.yaml:2:1"),
        "{}",
        read.skipped[0].error
    );
    assert!(ran.err.contains("skipped") && ran.err.contains("broken.yaml"));
    assert!(folder.path().join("notes.txt").exists());

    let (ran, read) = json(&["no-such-bike"]);
    assert_eq!((ran.code, read.bikes.len(), read.skipped.len()), (1, 0, 1));
    let ran = rack(80, &["--frames", "no-such-folder"]);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""));
    assert!(ran.err.contains("no-such-folder"), "{}", ran.err);
}

#[test]
fn an_empty_rack_is_said_in_words_and_draws_nothing() {
    let empty = tempfile::tempdir().unwrap();
    let pictures = tempfile::tempdir().unwrap();
    let path = empty.path().to_str().unwrap();
    let ran = rack_in(pictures.path(), 80, &["--frames", path]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
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
        ("standover", "frame.top_tube")
    );
    let ran = rack(80, &[path]);
    assert!(
        ran.out
            .contains("half: standover not checked: needs frame.top_tube"),
        "{}",
        ran.out
    );
}

/// Racks that strain the lay-out.
fn racks() -> Vec<(String, Rack)> {
    let bikes: Vec<Bike> = library::samples().collect();
    let samples = Rack::new(&bikes, vec![], Units::Mm);
    let of = |bikes: Vec<RackBike>| Rack {
        bikes,
        ..samples.clone()
    };
    let one = |bike: &Bike| Rack::new([bike], vec![], Units::Mm).bikes[0].clone();
    let many = (0..60).map(|n| RackBike {
        id: format!("{}-{n}", "W".repeat(n + 1)),
        ..samples.bikes[n % samples.bikes.len()].clone()
    });
    let endless = {
        let mut bike = bikes[16].clone();
        bike.post.highest_mm += 400.0;
        one(&bike)
    };
    let nobody = {
        let mut spec = bikes[7].spec.clone();
        let tube = spec.frame.top_tube.as_mut().unwrap();
        (tube.seat_joint, tube.head_joint) = (Length::from_mm(500.0), Length::from_mm(-30.0));
        one(&Bike::new("nobody", spec).unwrap())
    };
    let narrow = {
        let mut spec = bikes[7].spec.clone();
        let post = &mut spec.seat_post.length;
        *post = Length::from_mm(post.mm() - 75.0);
        spec.frame.seat_tube.usable_depth = Length::from_mm(125.0);
        one(&Bike::new("narrow", spec).unwrap())
    };
    let (first, last) = (samples.bikes[0].clone(), samples.bikes[16].clone());
    let mut all: Vec<(String, Rack)> = samples
        .bikes
        .iter()
        .map(|bike| (format!("{} alone", bike.id), of(vec![bike.clone()])))
        .collect();
    all.push(("many".into(), of(many.collect())));
    all.push(("endless".into(), of(vec![first.clone(), endless])));
    all.push(("nobody".into(), of(vec![nobody.clone()])));
    all.push(("narrow".into(), of(vec![narrow, nobody, first, last])));
    all.push(("samples".into(), samples));
    all
}

#[test]
fn no_two_labels_of_a_chart_overlap_and_all_are_on_the_sheet() {
    for (name, rack) in racks() {
        for units in [Units::Mm, Units::Cm, Units::In] {
            let plan = rack_chart(&rack, units).unwrap().plan;
            assert!(plan.labels.len() > 10, "{name}");
            for (index, label) in plan.labels.iter().enumerate() {
                assert!(plan.sheet.holds(label.place), "{name} {units:?}: {label:?}");
                for other in &plan.labels[index + 1..] {
                    let apart = !label.place.overlaps(other.place);
                    assert!(apart, "{name} {units:?}: {label:?} and {other:?}");
                }
            }
        }
    }
}

/// The group of one class.
fn layer<'a>(svg: &'a str, class: &str) -> &'a str {
    let start = svg.find(&format!("<g class=\"{class}\"")).unwrap();
    let end = svg[start..].find("</g>").unwrap();
    &svg[start..start + end]
}

#[test]
fn a_chart_draws_every_window_and_writes_no_number_that_is_none() {
    for (name, rack) in racks() {
        let chart = rack_chart(&rack, Units::Mm).unwrap();
        let svg = &chart.svg;
        assert!(!svg.contains("NaN") && !svg.contains("inf\""), "{name}");
        let words = svg.matches("<text").count();
        assert_eq!(words, chart.plan.labels.len(), "{name}");
        let bars = |class: &str| layer(svg, class).matches("<rect").count();
        let count = |is: &dyn Fn(&RackBike) -> bool| rack.bikes.iter().filter(|b| is(b)).count();
        let fits = |bike: &RackBike, stage| bike.stages.get(stage).exact.is_ok();
        let pedals = |bike: &RackBike| bike.style != Style::Balance;
        // A hollow bar is two rectangles; a balance bike has one bar.
        let learning = count(&|bike| fits(bike, Stage::Learning));
        let steady = count(&|bike| pedals(bike) && fits(bike, Stage::Steady));
        let confident = count(&|bike| pedals(bike) && fits(bike, Stage::Confident));
        assert_eq!(bars("learning"), learning, "{name}");
        assert_eq!(bars("steady"), steady, "{name}");
        assert_eq!(bars("confident"), 2 * confident, "{name}");
        let nobody = count(&|bike| STAGES.into_iter().all(|stage| !fits(bike, stage)));
        let said = svg.matches("fits nobody of median").count();
        assert_eq!(said, nobody, "{name}");
    }
}

#[test]
fn a_bar_stands_where_its_heights_are_on_the_axis() {
    // From the picture alone: two figures under the axis give the scale, read as a person would.
    let bikes: Vec<Bike> = library::samples().collect();
    let rack = Rack::new(&bikes, vec![], Units::Mm);
    let chart = rack_chart(&rack, Units::Mm).unwrap();
    let x_of = |figure: &str| {
        let label = chart.plan.labels.iter().find(|label| label.text == figure);
        label.unwrap().place.centre().x
    };
    let (x_low, x_high) = (x_of("900"), x_of("1800"));
    let height = |x: f64| 900.0 + (x - x_low) / (x_high - x_low) * 900.0;
    let attribute = |line: &str, name: &str| -> f64 {
        let start = line.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
        line[start..].split('"').next().unwrap().parse().unwrap()
    };
    let layer = layer(&chart.svg, "steady");
    // The layer's own place and scale: what a reader of SVG applies to its bars.
    let transform = layer.split("transform=\"translate(").nth(1).unwrap();
    let left: f64 = transform.split(' ').next().unwrap().parse().unwrap();
    let scale = transform.split("scale(").nth(1).unwrap();
    let scale: f64 = scale.split(')').next().unwrap().parse().unwrap();
    let bars: Vec<&str> = layer.lines().filter(|l| l.contains("<rect")).collect();
    let pedals: Vec<_> = rack
        .bikes
        .iter()
        .filter(|b| b.style != Style::Balance)
        .collect();
    assert_eq!(bars.len(), pedals.len());
    for (bar, bike) in bars.iter().zip(pedals) {
        let x = left + scale * attribute(bar, "x");
        let width = scale * attribute(bar, "width");
        let window = bike.stages.steady.exact.unwrap();
        // A twentieth of a millimetre of paper is about a quarter of a millimetre of height.
        approx::assert_abs_diff_eq!(height(x), window.low.height_mm, epsilon = 0.5);
        approx::assert_abs_diff_eq!(height(x + width), window.high.height_mm, epsilon = 0.5);
    }
}
