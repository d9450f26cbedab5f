//! The charts, by box arithmetic and by reading the axis: a rack's windows, two bikes over a child's growth.
//! What the answers beside them say is looked at in `rack` and `compare`.

mod common;

use std::sync::Arc;

use common::program::inseam;
use inseam::Units;
use inseam::advice::rack::{Rack, RackBike, STAGES};
use inseam::bike::{Bike, library};
use inseam::draw::{Form, rack_chart};
use inseam::rider::Stage;
use inseam::units::Length;

const FLAGS: &str = "--height 1280 --inseam 600 --age 8y --sex girl --weight 26kg --on 2026-03-01";

fn samples() -> Rack {
    let bikes: Vec<Arc<Bike>> = library::samples().collect();
    Rack::new(&bikes)
}

/// Racks that strain the lay-out.
fn racks() -> Vec<(String, Rack)> {
    let samples = samples();
    let of = |bikes: Vec<RackBike>| Rack { bikes };
    let spec = |index: usize| samples.bikes[index].bike.spec.clone();
    let one = |bike: Bike| RackBike::new(Arc::new(bike));
    let many = (0..60).map(|n| {
        let bike = &samples.bikes[n % samples.bikes.len()];
        let named = Bike {
            id: format!("{}-{n}", "W".repeat(n + 1)),
            ..(*bike.bike).clone()
        };
        RackBike {
            bike: Arc::new(named),
            ..bike.clone()
        }
    });
    let endless = {
        let mut bike = (*samples.bikes[16].bike).clone();
        bike.layout.post.highest_mm += 400.0;
        one(bike)
    };
    let nobody = {
        // A top tube above every saddle.
        let mut bike = (*samples.bikes[7].bike).clone();
        bike.layout.straddle.y += 900.0;
        one(bike)
    };
    let narrow = {
        let mut spec = spec(7);
        let post = spec.seat_post.length.unwrap();
        spec.seat_post.length = Some(Length::from_mm(post.mm() - 75.0));
        spec.frame.seat_tube.usable_depth = Some(Length::from_mm(125.0));
        one(Bike::new("narrow", spec).unwrap())
    };
    let (first, last) = (samples.bikes[0].clone(), samples.bikes[16].clone());
    let mut all: Vec<(String, Rack)> = samples
        .bikes
        .iter()
        .map(|bike| (format!("{} alone", bike.bike.id), of(vec![bike.clone()])))
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
            for form in [Form::Lying, Form::Upright] {
                let what = format!("{name} {units:?} {form:?}");
                let plan = rack_chart(&rack, units, form).unwrap().plan;
                assert!(plan.labels.len() > 10, "{what}");
                for (index, label) in plan.labels.iter().enumerate() {
                    assert!(plan.sheet.holds(label.place), "{what}: {label:?}");
                    for other in &plan.labels[index + 1..] {
                        let apart = !label.place.overlaps(other.place);
                        assert!(apart, "{what}: {label:?} and {other:?}");
                    }
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
    let both = |(name, rack): (String, Rack)| {
        [Form::Lying, Form::Upright].map(|form| (format!("{name}, {form:?}"), rack.clone(), form))
    };
    for (name, rack, form) in racks().into_iter().flat_map(both) {
        let chart = rack_chart(&rack, Units::Mm, form).unwrap();
        let svg = &chart.svg;
        assert!(!svg.contains("NaN") && !svg.contains("inf\""), "{name}");
        let words = svg.matches("<text").count();
        assert_eq!(words, chart.plan.labels.len(), "{name}");
        let bars = |class: &str| layer(svg, class).matches("<rect").count();
        let count = |is: &dyn Fn(&RackBike) -> bool| rack.bikes.iter().filter(|b| is(b)).count();
        let fits = |bike: &RackBike, stage| bike.window(stage).is_ok();
        let pedals = |bike: &RackBike| !bike.bike.is_balance();
        // A hollow bar is two rectangles; a balance bike has one bar.
        let learning = count(&|bike| fits(bike, Stage::Learning));
        let steady = count(&|bike| pedals(bike) && fits(bike, Stage::Steady));
        let confident = count(&|bike| pedals(bike) && fits(bike, Stage::Confident));
        assert_eq!(bars("learning"), learning, "{name}");
        assert_eq!(bars("steady"), steady, "{name}");
        assert_eq!(bars("confident"), 2 * confident, "{name}");
        let nobody = count(&|bike| STAGES.into_iter().all(|stage| !fits(bike, stage)));
        assert!(nobody > 0 || !name.starts_with("nobody"));
        let said = svg.matches("fits nobody of median").count();
        assert_eq!(said, nobody, "{name}");
    }
}

#[test]
fn a_bar_stands_where_its_heights_are_on_the_axis() {
    // From the picture alone: two figures under the axis give the scale, read as a person would.
    let rack = samples();
    let chart = rack_chart(&rack, Units::Mm, Form::Lying).unwrap();
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
    let pedals: Vec<_> = rack.bikes.iter().filter(|b| !b.bike.is_balance()).collect();
    assert_eq!(bars.len(), pedals.len());
    for (bar, bike) in bars.iter().zip(pedals) {
        let x = left + scale * attribute(bar, "x");
        let width = scale * attribute(bar, "width");
        let window = bike.window(Stage::Steady).as_ref().unwrap();
        // A twentieth of a millimetre of paper is about a quarter of a millimetre of height.
        approx::assert_abs_diff_eq!(height(x), window.low.height_mm, epsilon = 0.5);
        approx::assert_abs_diff_eq!(height(x + width), window.high.height_mm, epsilon = 0.5);
    }
}

#[test]
fn the_chart_is_written_and_nothing_on_it_leaves_the_sheet() {
    let folder = tempfile::tempdir().unwrap();
    let all: Vec<_> = library::SAMPLES.iter().map(|(id, _)| *id).collect();
    let riders = [
        FLAGS.to_owned(),
        "--height 940 --age 2y6m --stage learning --units in --on 2026-03-01".to_owned(),
        "--height 1720 --age 15y --sex boy --stage confident --units cm --on 2026-03-01".to_owned(),
    ];
    for (index, pair) in all.windows(2).enumerate() {
        let [a, b] = [pair[0], pair[1]];
        let line = &riders[index % riders.len()];
        let out = folder.path().to_str().unwrap();
        let line = format!("compare {a} {b} {line} --out {out}");
        let ran = inseam(&line.split_whitespace().collect::<Vec<_>>());
        let err = ran.err;
        assert_eq!(ran.status, 0, "{err}");
        let path = folder.path().join(format!("compare-{a}-{b}-growth.svg"));
        let svg = std::fs::read_to_string(&path).unwrap();
        assert!(err.contains(&path.display().to_string()), "{err}");
        assert!(!svg.contains("NaN") && !svg.contains("inf"), "{a} {b}");
        for part in ["<title>", "<desc>", "class=\"grid\""] {
            assert!(svg.contains(part), "{a} {b}: no {part}");
        }
        // One line, one grey band of the child; at most one area for each bike.
        assert_eq!(svg.matches("class=\"child\"").count(), 1);
        assert_eq!(svg.matches("class=\"child-band\"").count(), 1);
        assert!((1..=3).contains(&svg.matches("<polygon").count()));
        // Both are called by their own names, and by nothing else.
        for id in [a, b] {
            let name = &library::sample(id).unwrap().spec.name;
            assert!(svg.contains(&format!(">{name}<")), "{a} {b}: no {name}");
        }
        assert!(!svg.contains(">A<") && !svg.contains(">B<"), "{a} {b}");
    }
}

#[test]
fn the_figures_under_a_chart_stand_at_every_nth_line() {
    for (name, rack) in racks() {
        for units in [Units::Mm, Units::Cm, Units::In] {
            for form in [Form::Lying, Form::Upright] {
                let plan = rack_chart(&rack, units, form).unwrap().plan;
                let title = format!("height, {}", units.word());
                let foot = plan
                    .labels
                    .iter()
                    .find(|label| label.text == title)
                    .unwrap();
                // Beside the name of the scale, or on a narrow sheet above it.
                let near = |y: f64| (y - foot.place.centre().y).abs() < 6.0;
                let at_foot = plan
                    .labels
                    .iter()
                    .filter(|label| near(label.place.centre().y));
                let heights: Vec<f64> = at_foot
                    .filter_map(|label| label.text.parse().ok())
                    .collect();
                let steps: Vec<f64> = heights.windows(2).map(|two| two[1] - two[0]).collect();
                let what = format!("{name} {units:?} {form:?}: {heights:?}");
                assert!(!steps.is_empty(), "{what}");
                assert!(
                    steps.iter().all(|step| (step - steps[0]).abs() < 0.01),
                    "{what}"
                );
            }
        }
    }
}

#[test]
fn portrait_draws_every_picture_of_a_command_upright() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    for (line, pictures) in [
        (
            format!("compare street-20 street-24 {FLAGS}"),
            &[
                "compare-street-20-street-24",
                "compare-street-20-street-24-growth",
            ][..],
        ),
        (format!("fit street-20 {FLAGS}"), &["street-20"]),
        (
            format!("handover street-20 {FLAGS}"),
            &["street-20-handover"],
        ),
        ("rack".to_owned(), &["rack"]),
    ] {
        for is_portrait in [false, true] {
            let line = format!(
                "{line} --out {out}{}",
                if is_portrait { " --portrait" } else { "" }
            );
            let ran = inseam(&line.split_whitespace().collect::<Vec<_>>());
            assert_eq!(ran.status, 0, "{line}: {}", ran.err);
            for name in pictures {
                let svg =
                    std::fs::read_to_string(folder.path().join(format!("{name}.svg"))).unwrap();
                let document = roxmltree::Document::parse(&svg).unwrap();
                let side = |side| {
                    let mm = document.root_element().attribute(side).unwrap();
                    mm.trim_end_matches("mm").parse::<f64>().unwrap()
                };
                assert_eq!(
                    side("height") > side("width"),
                    is_portrait,
                    "{line}: {name}"
                );
            }
        }
    }
}

#[test]
fn a_whisker_that_runs_on_beyond_the_chart_has_an_arrow_and_no_end() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let line = "compare street-26 trail-26 --height 162cm --inseam 76cm --age 13y --sex boy --on 2026-11-26 --out";
    let ran = inseam(&line.split(' ').chain([out]).collect::<Vec<_>>());
    let told = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains(" to beyond Nov 2031)"), "{told}");
    let svg = std::fs::read_to_string(folder.path().join("compare-street-26-trail-26-growth.svg"));
    let svg = svg.unwrap();
    let track = layer(&svg, "track");
    let of = |key: &str| -> f64 {
        let value = track.split(&format!(" {key}=\"")).nth(1).unwrap();
        value.split('"').next().unwrap().parse().unwrap()
    };
    let right = of("x") + of("width");
    let on_the_edge = |path: &&str| path.contains(&format!("M{right} "));
    let paths: Vec<&str> = svg
        .split("class=\"whisker\"")
        .skip(1)
        .map(|path| path.split('>').next().unwrap())
        .collect();
    assert!(!paths.is_empty());
    assert!(!paths.iter().any(on_the_edge), "{right} {paths:?}");
}
