//! Two bikes side by side: the same bike twice, figures missing, the JSON's form, files written, pictures whole.

use approx::assert_abs_diff_eq;
use inseam::Options;
use inseam::advice::compare::{Comparison, Kind, Size, compare};
use inseam::bike::{Bike, library};
use inseam::cli::{Streams, run};
use inseam::fit::Verdict;
use inseam::rider::{Rider, RiderFile};
use inseam::yaml::Document;
use jiff::civil::date;
use serde::Deserialize;

const RIDER: &str = "height: 1280\ninseam: 600\nage: 8y\nsex: girl\nweight: 26 kg\n";
const FLAGS: &str = "--height 1280 --inseam 600 --age 8y --sex girl --weight 26kg --on 2026-03-01";

fn rider(text: &str) -> Rider {
    let file: RiderFile = Document::from_text("rider.yaml", text)
        .read()
        .unwrap_or_else(|problems| panic!("{problems:#?}"));
    Rider::new(&file, date(2026, 3, 1)).unwrap_or_else(|wrong| panic!("{wrong:#?}"))
}

fn sample(id: &str) -> Bike {
    library::sample(id).unwrap_or_else(|| panic!("no sample {id}"))
}

/// A sample whose file lacks the lines that begin with one of `keys`.
fn without(id: &str, keys: &[&str]) -> Bike {
    let (_, text) = library::SAMPLES
        .iter()
        .find(|(name, _)| *name == id)
        .unwrap();
    let kept: Vec<_> = text
        .lines()
        .filter(|line| !keys.iter().any(|key| line.trim().starts_with(key)))
        .collect();
    assert!(
        kept.len() < text.lines().count(),
        "{id} has none of {keys:?}"
    );
    library::read(id, &Document::from_text(id, kept.join("\n")))
        .unwrap_or_else(|problems| panic!("{problems:#?}"))
}

fn compared(rider_text: &str, a: &Bike, b: &Bike) -> Comparison {
    let options = Options {
        exact: true,
        ..Options::new(date(2026, 3, 1))
    };
    compare(&rider(rider_text), a, b, &options)
}

/// Standard output, standard error and exit code.
fn program(line: &str) -> (String, String, u8) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let args = std::iter::once("inseam").chain(line.split_whitespace());
    let code = run(
        args.map(Into::into),
        &mut Streams {
            out: &mut out,
            err: &mut err,
            columns: 80,
        },
    );
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (text(out), text(err), code)
}

#[test]
fn the_same_bike_twice_has_no_difference_and_says_so() {
    let bike = sample("street-20");
    let comparison = compared(RIDER, &bike, &bike);
    assert!(comparison.is_same());
    for difference in &comparison.differences {
        assert_eq!(difference.a, difference.b, "{}", difference.name);
        assert_eq!(difference.size, Size::Small, "{}", difference.name);
    }
    assert!(comparison.headline().contains("the same bike"));
    let folder = tempfile::tempdir().unwrap();
    let (out, _, code) = program(&format!(
        "compare street-20 street-20 {FLAGS} --out {}",
        folder.path().display()
    ));
    assert_eq!(code, 0);
    assert!(!out.contains("WHAT IT DOES"), "{out}");
    assert!(
        out.contains("The same, or too close to notice: reach"),
        "{out}"
    );
}

#[test]
fn a_difference_is_one_figure_less_the_other_and_names_the_right_bike() {
    let (small, large) = (sample("street-20"), sample("trail-24"));
    let there = compared(RIDER, &small, &large);
    let back = compared(RIDER, &large, &small);
    // The geometry straight from the bikes, not from the comparison.
    for (name, a, b) in [
        (
            "reach",
            small.spec.frame.reach.mm(),
            large.spec.frame.reach.mm(),
        ),
        (
            "wheelbase",
            small.points.front_axle.x - small.points.rear_axle.x,
            large.points.front_axle.x - large.points.rear_axle.x,
        ),
        ("trail", small.trail_mm, large.trail_mm),
        (
            "weight",
            small.spec.weight.unwrap().kg(),
            large.spec.weight.unwrap().kg(),
        ),
    ] {
        let difference = there.difference(name).unwrap();
        assert_abs_diff_eq!(difference.a.unwrap(), a, epsilon = 1e-9);
        assert_abs_diff_eq!(difference.b.unwrap(), b, epsilon = 1e-9);
        assert_eq!(difference.size, Size::Matters);
        let more = if a > b { "A " } else { "B " };
        assert!(
            difference.meaning.starts_with(more),
            "{}",
            difference.meaning
        );
        let mirrored = back.difference(name).unwrap();
        assert_eq!((mirrored.a, mirrored.b), (difference.b, difference.a));
        assert!(!mirrored.meaning.starts_with(more), "{}", mirrored.meaning);
    }
    // Grips over saddle top, both above the bottom bracket.
    let above = there.difference("bar_above_saddle").unwrap().a.unwrap();
    let saddle = there.a.setting.seat_height_mm - there.a.bike.bottom_bracket_height_mm;
    assert_abs_diff_eq!(above, small.points.grip.y - saddle, epsilon = 1e-9);
}

#[test]
fn cost_per_month_is_the_price_over_the_months_of_fit() {
    let comparison = compared(RIDER, &sample("street-20"), &sample("trail-24"));
    let cost = comparison.difference("price_per_month").unwrap();
    assert_eq!(cost.unit, Kind::PricePerMonth);
    let growth = comparison.b.growth.as_ref().unwrap();
    let months = growth.last_month.p50.unwrap() - growth.first_month.p50.unwrap();
    let price = sample("trail-24").spec.price.unwrap();
    assert_abs_diff_eq!(cost.b.unwrap(), price / months, epsilon = 1e-9);
    assert!(
        cost.a > cost.b && cost.meaning.starts_with("A costs"),
        "{}",
        cost.meaning
    );
}

#[test]
fn a_missing_figure_is_named_and_nothing_is_made_up() {
    let bare = without(
        "trail-24",
        &["price:", "weight:", "top_tube:", "published:"],
    );
    let full = sample("street-20");
    for (comparison, letter) in [
        (compared(RIDER, &full, &bare), "B"),
        (compared(RIDER, &bare, &full), "A"),
    ] {
        for (name, cure) in [
            ("price", "needs price"),
            ("price_per_month", "needs price"),
            ("weight", "needs weight"),
            ("standover", "needs frame.top_tube"),
        ] {
            let difference = comparison.difference(name).unwrap();
            assert_eq!(difference.size, Size::Unknown, "{name}");
            assert!(difference.a.is_none() || difference.b.is_none());
            let meaning = &difference.meaning;
            assert!(
                meaning.contains(cure) && meaning.contains(&format!("compared, {letter}:")),
                "{name}: {meaning}"
            );
        }
        assert_eq!(comparison.difference("reach").unwrap().size, Size::Matters);
    }
    let both = compared(RIDER, &bare, &bare);
    let price = both.difference("price").unwrap();
    assert_eq!((price.a, price.b), (None, None));
    assert!(price.meaning.contains("both"), "{}", price.meaning);
}

#[test]
fn without_an_age_there_is_today_only_and_a_word_why() {
    let young = "height: 1280\ninseam: 600\n";
    let comparison = compared(young, &sample("street-20"), &sample("trail-24"));
    assert!(comparison.difference("last_month").is_none());
    assert!(comparison.difference("wheelbase").is_some());
    let folder = tempfile::tempdir().unwrap();
    let (out, err, code) = program(&format!(
        "compare street-20 trail-24 --height 1280 --inseam 600 --out {}",
        folder.path().display()
    ));
    assert_eq!(code, 0);
    assert!(
        out.contains("needs the age") && !out.contains("in 12 months"),
        "{out}"
    );
    assert!(!err.contains("growth"), "{err}");
}

#[test]
fn a_balance_bike_has_no_cranks_to_compare() {
    let comparison = compared(
        "height: 980\nage: 3y6m\nsex: boy\nstage: learning\n",
        &sample("balance-12"),
        &sample("street-16"),
    );
    let cranks = comparison.difference("crank_length").unwrap();
    assert!(
        cranks.a.is_none() && cranks.meaning.contains("A: no cranks"),
        "{}",
        cranks.meaning
    );
    assert_eq!(comparison.a.verdict, Verdict::Ready);
}

/// The JSON contract: every key, no other.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Mirror {
    schema: String,
    a: serde_json::Value,
    b: serde_json::Value,
    differences: Vec<MirrorDifference>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MirrorDifference {
    name: String,
    a: Option<f64>,
    b: Option<f64>,
    unit: String,
    meaning: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MirrorGrowth {
    as_of: String,
    months: Vec<MirrorMonth>,
    first_month: MirrorPercentiles,
    last_month: MirrorPercentiles,
    schedule: Vec<MirrorRaise>,
    notes: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MirrorMonth {
    month: u32,
    date: String,
    height_mm: f64,
    height_low_mm: f64,
    height_high_mm: f64,
    inseam_mm: f64,
    arm_reach_mm: f64,
    verdict: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MirrorPercentiles {
    p10: Option<f64>,
    p50: Option<f64>,
    p90: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MirrorRaise {
    date: String,
    saddle_height_mm: f64,
}

#[test]
fn json_has_the_keys_of_the_contract_and_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let (out, _, code) = program(&format!(
        "compare street-20 trail-24 {FLAGS} --format json --out {}",
        folder.path().display()
    ));
    assert_eq!(code, 0);
    let mirror: Mirror = serde_json::from_str(&out).unwrap();
    assert_eq!(mirror.schema, "inseam/compare/1");
    assert_eq!(mirror.a["schema"], "inseam/fit/1");
    assert_eq!(mirror.b["verdict"], "too-big");
    assert_eq!(mirror.differences.len(), 16);
    for difference in &mirror.differences {
        assert!(!difference.name.is_empty() && !difference.meaning.is_empty());
        assert!(
            difference.a.is_some() && difference.b.is_some(),
            "{}",
            difference.name
        );
        assert!(
            ["mm", "deg", "kg", "months", "price", "price_per_month"]
                .contains(&difference.unit.as_str())
        );
    }
    let growth: MirrorGrowth = serde_json::from_value(mirror.b["growth"].clone()).unwrap();
    assert_eq!(
        (growth.as_of.as_str(), growth.months.len()),
        ("2026-03-01", 61)
    );
    let year = &growth.months[12];
    assert_eq!((year.month, year.date.as_str()), (12, "2027-03-01"));
    assert!(year.height_low_mm < year.height_mm && year.height_mm < year.height_high_mm);
    assert!(year.inseam_mm > 600.0 && year.arm_reach_mm > 400.0 && !year.verdict.is_empty());
    let first = growth.first_month;
    assert!(first.p10 <= first.p50 && first.p50 <= first.p90 && first.p50 > Some(0.0));
    assert!(growth.last_month.p10.is_some() && growth.last_month.p90.is_some());
    assert!(growth.schedule[0].date > growth.as_of && growth.schedule[0].saddle_height_mm > 300.0);
    assert!(!growth.notes.is_empty());
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
        let (_, err, code) = program(&format!(
            "compare {a} {b} {line} --out {}",
            folder.path().display()
        ));
        assert_eq!(code, 0, "{err}");
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
fn bad_input_is_an_error_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let line = format!("--out {}", folder.path().display());
    let (out, err, code) = program(&format!("compare street-20 no-such-bike {FLAGS} {line}"));
    assert_eq!((code, out.as_str()), (1, ""));
    assert!(err.contains("no-such-bike"), "{err}");
    assert_eq!(program("compare street-20").2, 2);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    // Strict: neither fits this rider.
    let tall = "--height 1700 --inseam 800 --strict";
    assert_eq!(
        program(&format!("compare street-16 street-20 {tall} {line}")).2,
        3
    );
}
