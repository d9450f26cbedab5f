//! A rack for one rider: the order, the near misses, the same fit objects as `fit`, large racks, empty ones.

mod common;

use std::path::Path;
use std::sync::Arc;

use common::contract::{self, mirrored};
use common::program::{Ran, inseam};
use common::rider;
use inseam::advice::size::{SizedBike, Sizing, Why, instead, size as sized};
use inseam::advice::stop::Stop;
use inseam::bike::{Bike, library};
use inseam::fit::{Confidence, Fit, Misfit, Options, Side, Status, Verdict};
use inseam::report::size_text::View;
use inseam::report::terminal::Layout;
use inseam::rider::Rider;
use inseam::units::Units;
use jiff::civil::{Date, date};

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

fn child() -> Arc<Rider> {
    rider("{height: 1280, inseam: 600, age: 8y, sex: girl}")
}

fn sizing(rider: &Arc<Rider>, options: Options) -> Sizing {
    let bikes: Vec<Arc<Bike>> = library::samples().collect();
    sized(rider, &bikes, options, || {})
}

fn size(more: &[&str]) -> Ran {
    let mut args = vec!["size"];
    args.extend(CHILD);
    args.extend(more);
    inseam(&args)
}

fn json(more: &[&str]) -> contract::Size {
    let mut args = more.to_vec();
    args.extend(["--format", "json"]);
    mirrored(&size(&args).out)
}

fn ids(answer: &contract::Size) -> Vec<&str> {
    answer.bikes.iter().map(|bike| bike.id.as_str()).collect()
}

/// A folder of `count` frames made from the samples.
fn shop(folder: &Path, count: usize) {
    for (index, (id, text)) in library::SAMPLES.iter().cycle().take(count).enumerate() {
        std::fs::write(folder.join(format!("{index:05}-{id}.yaml")), text).expect("a file");
    }
}

/// The order as the list itself states it, from each bike's fit and not from what the ranking kept.
fn place(bike: &SizedBike) -> (u8, u8, u8, usize, usize) {
    let class = match bike.fit.verdict {
        Verdict::Fits => 0,
        Verdict::Undecided => 1,
        Verdict::Incomplete => 2,
        _ => 3,
    };
    let doubt = match bike.fit.confidence() {
        Some(Confidence::TooCloseToCall) => 2,
        Some(Confidence::Likely) => 1,
        _ => 0,
    };
    // How unlikely it is to fit, in whole percent, where that is open.
    let unlikely = (0..=100)
        .find(|unlikely| fit_chance(bike) >= f64::from(100 - unlikely) / 100.0)
        .expect("a chance");
    let safety = [
        "standover",
        "ground_contact",
        "knee_room",
        "reach",
        "crank_length",
        "brakes",
        "brake_lever",
    ];
    let cautions: Vec<&str> = bike
        .fit
        .findings()
        .filter(|finding| matches!(finding.status(), Status::Caution | Status::NotChecked(_)))
        .map(|finding| finding.id.name())
        .collect();
    let safe = cautions.iter().filter(|name| safety.contains(name)).count();
    let unlikely = if class == 1 { unlikely } else { 0 };
    (class, doubt, unlikely, safe, cautions.len() - safe)
}

fn fit_chance(bike: &SizedBike) -> f64 {
    bike.fit.odds.expect("chances").fits
}

#[test]
fn of_what_is_too_close_to_call_the_likelier_to_fit_comes_first_and_says_so() {
    let (mut mixed, mut told) = (0, 0);
    for height in (1000..1700).step_by(20) {
        let sizing = sizing(&rider(&format!("{{height: {height}}}")), Options::new(ON));
        let is_open = |bike: &&SizedBike| bike.fit.verdict == Verdict::Undecided;
        let open: Vec<_> = sizing.bikes.iter().filter(is_open).collect();
        for bike in &open {
            let (odds, leans) = (bike.fit.odds.expect("chances"), bike.fit.leans());
            // What is no other side's chance is that of fitting at most.
            let chance = bike.fit.chance().expect("chances");
            if leans == Side::Fits {
                assert!((odds.fits - chance).abs() < 1e-12);
            } else {
                assert!(odds.fits <= 1.0 - chance + 1e-12);
            }
        }
        for pair in open.windows(2) {
            let pedals = pair.iter().map(|bike| bike.standing.lacks_pedals);
            if pedals.collect::<std::collections::BTreeSet<_>>().len() > 1 {
                continue;
            }
            let [one, other] = [pair[0], pair[1]].map(fit_chance);
            assert!(one > other - 0.01, "{height}: {one} before {other}");
            mixed += usize::from(pair[0].fit.leans() != pair[1].fit.leans());
            if pair[0].why == Some(Why::Likelier) {
                let words = pair[0].why.unwrap().words(pair[0], pair[1], Units::Mm);
                let name = &pair[1].fit.bike.id;
                assert_eq!(words, format!("it is likelier to fit than {name}"));
                told += 1;
            }
        }
    }
    assert!(mixed > 2 && told > 2, "{mixed} {told}");
}

#[test]
fn an_undecided_bike_says_in_the_table_what_its_chance_is_of() {
    let line = "size --height 142cm --on 2026-03-01 --all --format";
    let ask = |format: &str| inseam(&line.split(' ').chain([format]).collect::<Vec<_>>()).out;
    let answer: contract::Size = serde_json::from_str(&ask("json")).expect("JSON");
    let (text, csv) = (ask("text").replace('\u{a0}', " "), ask("csv"));
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let header = reader.headers().expect("a header").clone();
    let column = header
        .iter()
        .position(|name| name == "leans")
        .expect("leans");
    let rows: Vec<_> = reader.records().map(|row| row.expect("a row")).collect();
    let mut seen = std::collections::BTreeSet::new();
    for (bike, row) in answer.bikes.iter().zip(&rows) {
        let leans = bike.fit.leans.as_deref();
        assert_eq!(row.get(column), Some(leans.unwrap_or_default()));
        let Some(leans) = leans else { continue };
        let percent = (bike.fit.chance.expect("a chance") * 100.0).floor();
        let told = format!("{percent} % {}", leans.replace('-', " "));
        let line = text.lines().find(|line| line.contains(&*bike.id));
        assert!(
            line.is_some_and(|line| line.contains(&told)),
            "{told}: {text}"
        );
        seen.insert(leans.to_owned());
    }
    assert!(seen.len() > 1, "{seen:?}");
}

#[test]
fn the_table_has_each_caution_and_each_check_that_waits_and_the_saddle_to_try() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    let whole = include_str!("../frames/street-20.yaml");
    let bare = whole.replace(
        "front: {kind: hand, reach: {min: 40, max: 68}}",
        "front: {kind: none}",
    );
    assert_ne!(bare, whole);
    put(
        "bare.yaml",
        &bare.replace("  front_brake: linear-pull\n", ""),
    );
    put("step.yaml", include_str!("../frames/step-20.yaml"));
    put(
        "taped.yaml",
        "name: Taped\nstyle: street\ntyres: {front: 47-406, rear: 47-406}\n\
         measured: {bottom_bracket_height: 250, seat_height_lowest: 570, seat_height_highest: 740, standover: 520}\n\
         cranks: {length: 120}\nbrakes: {front: {kind: hand, reach: {min: 45, max: 75}}, rear: {kind: coaster}}\n",
    );
    let frames = ["--frames", folder.path().to_str().unwrap()];
    let out = size(&[&frames[..], &["--format", "csv"]].concat()).out;
    let mut reader = csv::Reader::from_reader(out.as_bytes());
    let rows: Vec<std::collections::HashMap<String, String>> = reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect();
    let answer = json(&frames);
    for (row, bike) in rows.iter().zip(&answer.bikes) {
        let findings = || bike.fit.findings.iter();
        let cautions = findings().filter(|found| found.status == "caution");
        let cautions: Vec<_> = cautions.map(|found| found.check.as_str()).collect();
        assert_eq!(row["cautions"], cautions.join(" "), "{out}");
        let waits = |check: &str| row["not_checked"].split(' ').any(|name| name == check);
        assert_eq!(waits("toe_clearance"), bike.id == "taped", "{out}");
        assert_eq!(bike.fit.to_try.is_some(), bike.fit.verdict == "undecided");
        if let Some(saddle) = &bike.fit.to_try {
            let told = |key: &str| row[key].parse::<f64>().ok();
            assert_eq!(told("saddle_height_mm"), saddle.saddle_height_mm);
            assert_eq!(told("saddle_height_sd_mm"), saddle.saddle_height_sd_mm);
            assert_eq!(told("seat_height_mm"), Some(saddle.seat_height_mm));
            assert_eq!(told("seat_height_sd_mm"), saddle.seat_height_sd_mm);
        }
    }
    let of = |id: &str| rows.iter().find(|row| row["id"] == id).unwrap();
    assert!(of("bare")["cautions"].contains("brakes"), "{out}");
    assert_eq!(of("step")["verdict"], "undecided");
}

#[test]
fn a_bike_that_is_open_is_not_said_not_to_fit() {
    let words = |id: &str, child: &str| {
        let bikes = [library::sample("balance-12"), library::sample(id)].map(Option::unwrap);
        let sizing = sized(&rider(child), &bikes, Options::new(ON), || {});
        let [first, next] = sizing.bikes.as_slice() else {
            panic!("two bikes");
        };
        (
            next.fit.verdict,
            first.why.unwrap().words(first, next, Units::Mm),
        )
    };
    let (verdict, open) = words("street-14", "{height: 920, age: 2y9m, sex: boy}");
    assert_eq!(verdict, Verdict::Undecided);
    assert_eq!(open, "it fits and street-14 is open");
    let (_, out) = words("street-20", "{height: 920, age: 2y9m, sex: boy}");
    assert_eq!(out, "it fits and street-20 does not");
}

#[test]
fn unlike_wheels_are_both_told_front_before_rear_and_a_weight_in_pounds_is_rounded() {
    let folder = tempfile::tempdir().unwrap();
    for (id, front, rear) in [
        ("mixed", "57-559", "57-507"),
        ("alike", "47-507", "57-507"),
        ("odd", "57-559", "57-520"),
    ] {
        let text = format!(
            "name: {id}\nstyle: trail\ntyres: {{front: {front}, rear: {rear}}}\nweight: 20 lb\n"
        );
        std::fs::write(folder.path().join(format!("{id}.yaml")), text).unwrap();
    }
    let frames = folder.path().to_str().unwrap();
    let ask = |format: &str| {
        let line = [
            "size", "--frames", frames, "--height", "142cm", "--format", format,
        ];
        inseam(&line).out
    };
    let answer: contract::Size = serde_json::from_str(&ask("json")).expect("JSON");
    let csv = ask("csv");
    let text = ask("text");
    for (id, wheel, bare) in [
        ("mixed", "26/24 in", "26/24"),
        ("alike", "24 in", "24"),
        ("odd", "57-559/57-520", "57-559/57-520"),
    ] {
        let bike = answer.bikes.iter().find(|bike| bike.id == id);
        assert_eq!(bike.expect("a bike").wheel, wheel);
        // 20 × 0.453 592 37 kg, to four decimals.
        assert!(
            csv.contains(&format!(",{id},{id},{wheel},9.0718,")),
            "{csv}"
        );
        let row = text.lines().find(|line| line.contains(&format!(" {id} ")));
        assert!(
            row.is_some_and(|row| row.contains(&format!(" {bare} "))),
            "{text}"
        );
    }
}

#[test]
fn fits_come_before_doubt_before_misfits_and_fewer_cautions_before_more() {
    let mut classes = std::collections::BTreeSet::new();
    for person in [
        "{height: 1280, inseam: 600, age: 8y, sex: girl, weight: 26 kg}",
        "{height: 1100, inseam: 470, age: 5y, sex: boy, weight: 19 kg}",
        "{height: 1420, age: 10y, sex: girl, stage: confident, weight: 35 kg}",
        "{height: 1010, age: 4y, sex: boy, stage: learning}",
    ] {
        let sizing = sizing(&rider(person), Options::new(ON));
        assert_eq!(sizing.bikes.len(), library::SAMPLES.len());
        for (index, bike) in sizing.bikes.iter().enumerate() {
            assert_eq!(bike.rank, index + 1);
            classes.insert(place(bike).0);
        }
        for pair in sizing.bikes.windows(2) {
            let ids = [&pair[0].fit.bike.id, &pair[1].fit.bike.id];
            let [one, other] = [place(&pair[0]), place(&pair[1])];
            assert!(one.0 <= other.0, "{person}: {ids:?}");
            if one.0 < 3 && one.0 == other.0 {
                let pedals = |bike: &SizedBike| !bike.fit.bike.is_balance();
                if one.1 == other.1 && pedals(&pair[0]) == pedals(&pair[1]) {
                    assert!(one <= other, "{person}: {ids:?} {one:?} {other:?}");
                } else {
                    assert!(one.1 <= other.1, "{person}: {ids:?}");
                }
            }
        }
        // Misfits by how near they are.
        let off: Vec<f64> = sizing
            .bikes
            .iter()
            .filter(|bike| bike.fit.verdict.rules_out() && !bike.standing.lacks_pedals)
            .filter_map(|bike| match bike.stop {
                Some(Stop::Misfit { height_mm, .. }) => height_mm.map(f64::abs),
                _ => None,
            })
            .collect();
        // An outgrown bike without pedals is no help to who rides, however near.
        let misfits = sizing
            .bikes
            .iter()
            .filter(|bike| bike.fit.verdict.rules_out());
        assert!(
            misfits.is_sorted_by_key(|bike| bike.standing.lacks_pedals),
            "{person}"
        );
        assert!(off.len() > 2, "{person}");
        assert!(off.is_sorted(), "{person}: {off:?}");
    }
    assert!(classes.contains(&0) && classes.contains(&1) && classes.contains(&3));
}

#[test]
fn the_first_bike_says_why_it_is_first_and_the_figure_is_true() {
    let answer = json(&[]);
    let first = &answer.bikes[0];
    let why = first.why.as_ref().expect("a reason");
    assert!(!why.is_empty());
    let text = size(&[])
        .out
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(
        text.contains(&format!("{} comes first: {why}.", first.id)),
        "{text}"
    );
    assert!(text.contains(&answer.order), "the order in one sentence");
    assert_eq!(answer.bikes.last().and_then(|bike| bike.why.clone()), None);
    // Where the weight decides, the difference is the files' own.
    for pair in answer.bikes.windows(2) {
        let why = pair[0].why.as_ref().expect("a reason");
        // Each stands before the next, not before all.
        assert!(why.contains(&pair[1].id), "{}: {why}", pair[0].id);
        if let Some(rest) = why.strip_prefix("it is ")
            && let Some((kg, name)) = rest.split_once(" kg lighter than ")
        {
            assert_eq!(name, pair[1].id);
            let lighter = pair[1].weight_kg.unwrap() - pair[0].weight_kg.unwrap();
            assert!(
                (kg.parse::<f64>().unwrap() - lighter).abs() < 0.051,
                "{why}"
            );
        }
    }
}

#[test]
fn a_near_miss_fits_the_taller_rider_it_speaks_of_and_no_smaller_one() {
    let rider = child();
    let mut seen = [0, 0];
    for bike in sizing(&rider, Options::bare(ON)).bikes {
        let Some(Stop::Misfit {
            check,
            height_mm: Some(miss),
            ..
        }) = bike.stop
        else {
            continue;
        };
        seen[usize::from(miss > 0.0)] += 1;
        let fit = &bike.fit;
        let verdict = |height_mm: f64| {
            let other = rider.taller(height_mm);
            inseam::assess(&Arc::new(other), &fit.bike, &Options::bare(ON)).verdict
        };
        assert!(verdict(miss).fits(), "{}", fit.bike.id);
        // Half a millimetre is the resolution.
        assert!(
            !verdict(miss - 0.6 * miss.signum()).fits(),
            "{}",
            fit.bike.id
        );
        let failing = fit.finding(check).map(|finding| finding.status().word());
        assert_eq!(failing, Some("fail"), "{}: {check:?}", fit.bike.id);
    }
    assert!(
        seen[0] > 0 && seen[1] > 0,
        "an ordinary rack has near misses on both sides"
    );
}

#[test]
fn the_fit_inside_is_the_fit_that_fit_prints() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let answer = json(&[]);
    assert_eq!(answer.schema, "inseam/size/2");
    for bike in answer.bikes {
        let mut args = vec!["fit", &bike.id, "--format", "json", "--out"];
        args.push(folder.path().to_str().expect("UTF-8"));
        args.extend(CHILD);
        let alone: contract::Fit = mirrored(&inseam(&args).out);
        assert_eq!(bike.fit, alone, "{}", bike.id);
        assert_eq!(bike.stop.is_none(), alone.verdict == "fits", "{}", bike.id);
    }
}

#[test]
fn the_bike_to_offer_instead_is_the_first_of_the_rack_that_fits() {
    let bikes: Vec<Arc<Bike>> = library::samples().collect();
    let mut offered = 0;
    for stage in ["learning", "steady", "confident"] {
        for step in 0..24 {
            // With an age, so that time counts, and without.
            let age = ["", ", age: 8y, sex: boy"][step % 2];
            let height = 860 + 35 * step;
            let child = rider(&format!("{{height: {height}, stage: {stage}{age}}}"));
            let first = sizing(&child, Options::new(ON)).bikes.remove(0);
            let first = first.fit.verdict.fits().then_some(first.fit.bike);
            let instead = instead(&child, &bikes, Options::new(ON));
            assert_eq!(
                instead.as_ref().map(|bike| &bike.id),
                first.as_ref().map(|bike| &bike.id),
                "{height} {stage}"
            );
            offered += usize::from(instead.is_some());
        }
    }
    assert!(offered > 40, "{offered}");
}

#[test]
fn a_rack_of_which_nothing_is_kept_is_not_called_empty() {
    for (height, fits) in [("82cm", false), ("128cm", true)] {
        let only = if fits { "unsuitable" } else { "fits" };
        let out = inseam(&["size", "--height", height, "--only", only]).out;
        assert!(!out.contains("The rack is empty"), "{out}");
        assert_eq!(
            out.contains("No bike on this rack fits today."),
            !fits,
            "{out}"
        );
    }
    // Measuring comes before waiting.
    let open = inseam(&["size", "trail-27", "--height", "184cm"]).out;
    assert!(
        open.contains("find out first") && !open.contains("wait"),
        "{open}"
    );
}

#[test]
fn the_order_does_not_depend_on_the_order_of_the_files_or_the_number_of_threads() {
    let forward: Vec<&str> = library::SAMPLES.iter().map(|(id, _)| *id).collect();
    let backward: Vec<&str> = forward.iter().rev().copied().collect();
    let (one, other) = (size(&forward), size(&backward));
    assert_eq!(one.out, other.out);
    let rider = child();
    let ranked = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        pool.install(|| sizing(&rider, Options::new(ON)))
    };
    assert_eq!(ranked(1), ranked(4));
}

#[test]
fn only_and_limit_choose_from_the_ranked_list() {
    let all = json(&[]);
    let fitting = json(&["--only", "fits"]);
    assert!(ids(&all).starts_with(&ids(&fitting)));
    assert!(fitting.bikes.iter().all(|bike| bike.fit.verdict == "fits"));
    assert!(!fitting.bikes.is_empty() && fitting.bikes.len() < all.bikes.len());
    let two = json(&["--only", "undecided,too-small"]);
    assert!(
        two.bikes
            .iter()
            .all(|bike| ["undecided", "too-small"].contains(&bike.fit.verdict.as_str()))
    );
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
fn at_80_columns_how_sure_a_bike_is_stands_on_its_line_beside_the_longest_name() {
    let rider = "size --inseam 60cm --height 128cm --age 8y --sex girl --on 2026-03-01 --all";
    for units in ["mm", "in"] {
        let line = format!("{rider} --units {units}");
        let out = inseam(&line.split(' ').collect::<Vec<_>>()).out;
        let longest = out
            .lines()
            .find(|line| line.contains("trail-20-plus"))
            .expect("a row");
        assert!(longest.contains("sure,\u{a0}99\u{a0}%"), "{out}");
        let close = out
            .lines()
            .find(|line| line.contains(" undecided "))
            .expect("a row");
        assert!(close.contains(" 55\u{a0}%\u{a0}fits "), "{out}");
    }
}

/// At the usual width a saddle's doubt may stand under it, and no figure is broken.
#[test]
fn at_80_columns_no_saddle_is_broken() {
    for (units, pieces) in [
        ("in", [" 15\u{a0}15/16 ", " ±\u{a0}11/16"]),
        ("mm", [" 404 ±\u{a0}18 ", " 417 ±\u{a0}18 "]),
        ("cm", [" 40.4 ", " ±\u{a0}1.8"]),
    ] {
        for more in [&[][..], &["--all"]] {
            let line = ["size", "--height", "128cm", "--age", "8y", "--sex", "girl"];
            let out = inseam(&[&line[..], &["--units", units], more].concat()).out;
            let table = out.split("Measure the inseam").next().unwrap();
            for piece in pieces {
                assert!(table.contains(piece), "{piece:?} {out}");
            }
            assert!(
                table.lines().all(|line| line.chars().count() <= 80),
                "{out}"
            );
            assert!(table.contains(" SADDLE "), "a table: {out}");
        }
    }
}

#[test]
fn where_nothing_fits_the_nearest_is_told_by_how_much_and_what_to_look_for() {
    let line = "size trail-26 trail-27 --inseam 60cm --height 128cm";
    let told = |more: &str| {
        let line = format!("{line}{more}");
        let out = inseam(&line.split(' ').collect::<Vec<_>>()).out;
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    // Balls of both feet down: the inseam of 600 mm and the shoe's 15 mm, and 35 mm more; a top tube 50 mm lower.
    let looked_for = "Look for, at stage steady: a saddle that goes to between 615 and 650 mm above the ground; a top tube of at most 565 mm to stand over; wheels of 20 in";
    let (all, only) = (told(""), told(" --only fits"));
    for said in [&all, &only] {
        assert!(said.contains(looked_for), "{said}");
    }
    assert!(
        only.contains("Nearest is trail-26, too big: top tube 66 mm above the crotch")
            && only.contains("would fit a rider 154 mm taller"),
        "{only}"
    );
    // In the list it is told there.
    assert!(!all.contains("Nearest is"), "{all}");
    assert!(
        !told(" --only fits").contains("No bike with the verdicts"),
        "{only}"
    );
    // Where something fits nothing else is looked for.
    let fits = inseam(&[
        "size",
        "--inseam",
        "60cm",
        "--height",
        "128cm",
        "--only",
        "unsuitable",
    ])
    .out;
    assert!(!fits.contains("Look for"), "{fits}");
}

/// A child that has to grow into the smallest bike of all is not helped by one with pedals that is farther off.
#[test]
fn who_is_too_small_for_the_smallest_bike_is_told_of_it_first_and_what_to_look_for_is_of_its_kind()
{
    // Both feet flat: 13 to 38 mm below the inseam of 300 and 310 mm and the shoe's 15 mm (balance-bike practice).
    for (line, look_for) in [
        (
            "size --height 80cm --inseam 30cm --age 2y --sex girl",
            "Look for, at stage learning: a saddle that goes to between 277 and 302 mm",
        ),
        (
            "size --height 79cm --inseam 31cm --age 20mo",
            "Look for, at stage learning: a saddle that goes to between 287 and 312 mm",
        ),
    ] {
        let out = inseam(&line.split(' ').collect::<Vec<_>>()).out;
        let said = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(look_for), "{said}");
        assert!(
            said.contains("balance-12 comes first: it is nearer to fitting than street-14."),
            "{said}"
        );
    }
    // One that is outgrown is no help, however near.
    let out = inseam(&["size", "balance-14", "trail-26", "--height", "118cm"]).out;
    assert!(
        out.contains("trail-26 comes first: balance-14 is outgrown and has no pedals."),
        "{out}"
    );
}

/// How much taller a rider has to be before nothing of a bike is too big, tried millimetre by millimetre.
#[test]
fn a_bike_that_fits_this_build_at_no_height_stands_where_it_ceases_to_be_too_big() {
    let rider = rider("{height: 790, age: 20mo, stage: learning}");
    let sizing = sizing(&rider, Options::bare(ON));
    let is_too_big = |fit: &Fit| {
        let mut findings = fit.findings();
        findings.any(|finding| finding.status() == Status::Fail(Misfit::TooBig))
    };
    let mut unheard_of = 0;
    let mut last_mm = 0;
    for bike in &sizing.bikes {
        assert_eq!(bike.fit.verdict, Verdict::TooBig);
        let no_longer = (last_mm..900).find(|mm| {
            let taller = Arc::new(rider.taller(f64::from(*mm)));
            !is_too_big(&inseam::assess(&taller, &bike.fit.bike, &Options::bare(ON)))
        });
        let Some(Stop::Misfit { height_mm, .. }) = bike.stop else {
            panic!("{:?}", bike.stop)
        };
        if height_mm.is_none() {
            let off = bike.standing.off_mm;
            let least = f64::from(no_longer.expect("it ends"));
            assert!((off - least).abs() <= 1.5, "{}: {off}", bike.fit.bike.id);
            unheard_of += 1;
            last_mm = no_longer.unwrap_or_default();
        }
        if bike.fit.bike.id == "street-14" {
            assert_eq!((bike.rank, height_mm), (3, None));
        }
    }
    assert!(unheard_of > 2, "{unheard_of}");
}

#[test]
fn what_could_not_be_checked_of_safety_is_named_as_a_fit_names_it() {
    let folder = tempfile::tempdir().unwrap();
    let text = "name: Ours\nstyle: street\ntyres: {front: 47-406, rear: 47-406}\nmeasured: {bottom_bracket_height: 240, seat_height_lowest: 560, seat_height_highest: 690, standover: 520}\ncranks: {length: 127}\nbrakes: {front: {kind: hand, reach: {min: 45, max: 70}}, rear: {kind: hand, reach: {min: 45, max: 70}}}\n";
    std::fs::write(folder.path().join("ours.yaml"), text).unwrap();
    let said = size(&["--frames", folder.path().to_str().unwrap()]).out;
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    let line = said.split(" 1 ours: ").nth(1).expect("a line of its own");
    let line = line.split("Order:").next().unwrap();
    assert!(
        line.contains("not checked: ") && line.contains("pedal lean"),
        "{line}"
    );
}

#[test]
fn where_nothing_fits_the_cure_is_on_the_side_that_the_bikes_lie() {
    for (line, cure) in [
        (
            "size street-16 trail-20 --height 180cm",
            "look for a larger one.",
        ),
        (
            "size street-24 trail-26 --height 100cm",
            "wait, or look for a smaller one; do not size up to grow into.",
        ),
        (
            "size balance-12 trail-26 --height 125cm",
            "wait, or look for one in between; do not size up to grow into.",
        ),
    ] {
        let args: Vec<_> = line.split(' ').collect();
        let said = inseam(&args).out.replace('\n', " ");
        assert!(said.contains(&format!("come first: {cure}")), "{said}");
    }
}

#[test]
fn a_rack_of_which_nothing_can_be_read_ends_with_1() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for name in ["one.yaml", "two.yaml"] {
        std::fs::write(folder.path().join(name), "name: x\nstyle: trial\n").expect("a file");
    }
    let path = folder.path().to_str().expect("UTF-8");
    for more in [&["--frames", path][..], &["no-such-bike"]] {
        for format in ["text", "json", "csv"] {
            let args = [more, &["--format", format]].concat();
            let ran = size(&args);
            assert_eq!(ran.status, 1, "{args:?}");
            assert!(ran.err.contains("skipped"), "{args:?}: {}", ran.err);
        }
    }
    let answer = json(&["--frames", path]);
    assert_eq!((answer.skipped.len(), answer.bikes.len()), (2, 0));
}

#[test]
fn hopeless_bikes_are_folded_into_a_line_that_names_them_and_all_lists_them() {
    let (folded, all) = (size(&[]).out, size(&["--all"]).out);
    let rows = |text: &str| {
        let rows = text.lines().filter(|line| {
            // A row of the table: the rank in its column, no colon behind the name as in the lines beneath.
            let mut words = line.split_whitespace();
            words
                .next()
                .is_some_and(|rank| rank.parse::<usize>().is_ok())
                && words
                    .next()
                    .is_some_and(|id| library::SAMPLES.iter().any(|(sample, _)| *sample == id))
        });
        rows.count()
    };
    assert_eq!(rows(&all), library::SAMPLES.len(), "{all}");
    assert!(rows(&folded) < library::SAMPLES.len(), "{folded}");
    let joined = folded.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(joined.contains("more are too big by"), "{joined}");
    assert!(joined.contains("(--all lists them)"), "{joined}");
    // No bike is lost: every sample is named either way.
    for (id, _) in library::SAMPLES {
        assert!(joined.contains(id) && all.contains(id), "{id}");
    }
    assert!(!all.contains("--all"), "{all}");
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
    assert_eq!((answer.skipped.len(), answer.bikes.len()), (1, 3));
    assert_eq!(size(&["--frames", path, "--strict"]).status, 1);
}

#[test]
fn a_large_rack_says_the_same_verdicts_in_the_same_places() {
    // Beyond 500 bikes clear cases are not followed to the last decimal; nothing else may change.
    let folder = tempfile::tempdir().expect("a temporary folder");
    shop(folder.path(), 510);
    let large = json(&["--frames", folder.path().to_str().expect("UTF-8")]);
    assert_eq!(large.bikes.len(), 510);
    for bike in json(&[]).bikes {
        let name = &bike.fit.bike.name;
        let same = large
            .bikes
            .iter()
            .filter(|other| other.fit.bike.name == *name);
        for other in same {
            let (large, small) = (&other.fit, &bike.fit);
            assert_eq!(large.verdict, small.verdict, "{name}");
            assert_eq!(large.confidence, small.confidence, "{name}");
            // How far off in height; in months only a bike that fits is followed.
            let height =
                |stop: &Option<contract::Stop>| stop.as_ref().and_then(|stop| stop.height_mm);
            assert_eq!(height(&other.stop), height(&bike.stop), "{name}");
        }
    }
}

#[test]
fn a_bike_that_is_too_close_to_call_has_the_saddle_to_try_with_its_doubt() {
    let rider = rider("{height: 1310}");
    let sizing = sizing(&rider, Options::new(ON));
    let open = |bike: &&SizedBike| bike.fit.verdict == Verdict::Undecided;
    let fit = &sizing.bikes.iter().find(open).expect("an open one").fit;
    let sd = fit.odds.unwrap().saddle_height_sd_mm.unwrap();
    let saddle = format!(
        "{:.0} ±\u{a0}{sd:.0}",
        fit.pair().setting().saddle_height_mm
    );
    let wide = View {
        layout: Layout {
            columns: 400,
            units: Units::Mm,
        },
        all: true,
    };
    let told = inseam::report::size_text::size(&sizing, &[], wide);
    let row = told.lines().find(|line| line.contains(" undecided "));
    assert!(row.unwrap().contains(&saddle), "{saddle}: {row:?}");
    // What is ruled out has none.
    for line in told.lines().filter(|line| line.contains(" too-big ")) {
        assert!(!line.contains(" ± "), "{line}");
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
    let column = |name: &str| {
        header
            .iter()
            .position(|title| title == name)
            .expect("a column")
    };
    let verdicts: Vec<_> = Verdict::ALL.iter().map(|verdict| verdict.word()).collect();
    for row in rows {
        let verdict = &row[column("verdict")];
        assert!(verdicts.contains(&verdict), "{row:?}");
        // Only what fits is set up or, too close to call, tried, and only what does not fit is stopped.
        let has_saddle = ["fits", "undecided"].contains(&verdict);
        assert_eq!(
            row[column("saddle_height_mm")].is_empty(),
            !has_saddle,
            "{row:?}"
        );
        assert_eq!(
            row[column("lever_gap_mm")].is_empty(),
            verdict != "fits",
            "{row:?}"
        );
        assert_eq!(
            row[column("months_left_p50")].is_empty(),
            verdict != "fits",
            "{row:?}"
        );
        assert_eq!(
            row[column("stop_check")].is_empty(),
            verdict == "fits",
            "{row:?}"
        );
    }
}

#[test]
fn where_too_little_is_known_no_chance_is_told_and_look_again_names_its_bike() {
    let folder = tempfile::tempdir().unwrap();
    let text = "name: Invented half\nstyle: trail\ntyres: {front: 20 x 2.1, rear: 20 x 2.1}\nmeasured: {standover: 500, seat_height_lowest: 560, seat_height_highest: 700, bottom_bracket_height: 240}\n";
    std::fs::write(folder.path().join("half.yaml"), text).unwrap();
    let text = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "street-20")
        .unwrap()
        .1;
    let odd = text.replace("{wheelbase: 854", "{wheelbase: 700");
    assert_ne!(odd, text);
    std::fs::write(folder.path().join("odd.yaml"), odd).unwrap();
    let frames = folder.path().to_str().unwrap();
    let read = json(&["--frames", frames]);
    let half = read.bikes.iter().find(|bike| bike.id == "half").unwrap();
    assert_eq!(half.fit.verdict, "incomplete");
    assert_eq!((half.fit.chance, &half.fit.confidence), (None, &None));
    let other = read.bikes.iter().find(|bike| bike.id == "odd").unwrap();
    assert!(other.fit.chance.is_some());
    let csv = size(&["--frames", frames, "--format", "csv"]).out;
    let row = csv.lines().find(|row| row.contains(",half,")).unwrap();
    assert!(row.contains(",incomplete,,"), "{row}");
    let text = size(&["--frames", frames]).out;
    let again = text.split("Look again").nth(1).unwrap();
    let again = again.split("Cautions").next().unwrap();
    let lines = again.lines().filter(|line| line.starts_with("- "));
    assert!(lines.clone().count() >= 2, "{text}");
    for line in lines {
        assert!(
            line.starts_with("- half: ") || line.starts_with("- odd: "),
            "{line}"
        );
    }
}

#[test]
fn no_word_of_a_table_is_cut_where_the_terminal_is_narrow() {
    for columns in [20, 30, 40, 60] {
        for args in [
            ["size", "--height", "128cm", "--inseam", "60cm"].as_slice(),
            &[
                "handover",
                "street-20",
                "--height",
                "128cm",
                "--inseam",
                "60cm",
                "--out",
                "DIR",
            ],
            &[
                "compare",
                "street-20",
                "trail-20",
                "--height",
                "128cm",
                "--out",
                "DIR",
            ],
        ] {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().to_str().unwrap();
            let args: Vec<_> = args
                .iter()
                .map(|word| if *word == "DIR" { path } else { word })
                .collect();
            let ran = common::program::run_at(columns, &args);
            let narrow = anstream::adapter::strip_str(&ran.out).to_string();
            let wide = inseam(&args).out;
            let words = |text: &str| -> std::collections::BTreeSet<String> {
                text.to_lowercase()
                    .split_whitespace()
                    .map(|word| word.trim_matches([':', ';', ',', '.', '(', ')']).to_owned())
                    .filter(|word| word.chars().count() < columns - 4)
                    .collect()
            };
            let (narrow_words, wide_words) = (words(&narrow), words(&wide));
            let cut: Vec<_> = narrow_words.difference(&wide_words).collect();
            assert!(cut.is_empty(), "{columns}: {cut:?}\n{narrow}");
        }
    }
}

#[test]
fn a_bike_stays_with_who_grows_no_more_and_without_an_age_nobody_knows() {
    let size = |more: &[&str]| {
        let figures = ["size", "--height", "160cm", "--inseam", "74cm"];
        inseam(&[&figures, more].concat()).out
    };
    assert!(size(&["--age", "35y"]).contains("stays"));
    assert!(!size(&[]).contains("stays"));
    assert!(!size(&["--age", "10y", "--sex", "girl"]).contains("stays"));
    // For programs it is what is not known, as before.
    assert!(!size(&["--age", "35y", "--format", "json"]).contains("stays"));
}

#[test]
fn a_weight_in_the_wrong_unit_is_asked_about() {
    let told = |weight: &str| inseam(&["size", "--height", "138cm", "--weight", weight]).out;
    let plain = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    // 70 lb is 31.75 kg (international pound, 0.45359237 kg): a body-mass index of 16.7; 70 kg is one of 36.8.
    assert!(plain(told("70kg")).contains("weight 70 kg is unusual"));
    assert!(plain(told("70")).contains("a figure without a unit is read as kg"));
    assert!(!told("70lb").contains("is unusual"));
    assert!(plain(told("31lb")).contains("is unusual"));
    // Nobody is told to write the unit that was written, in another amount.
    for weight in ["70kg", "31lb", "18kg", "60 lb"] {
        assert!(!plain(told(weight)).contains("are written"), "{weight}");
    }
}

#[test]
fn a_leg_that_nobody_has_is_refused_and_an_unusual_one_stands_beside_the_verdict() {
    let ran = inseam(&["size", "--height", "118cm", "--inseam", "66cm"]);
    assert_eq!(ran.status, 1);
    assert!(
        ran.err.contains("allowed 389 to 642 mm at that height"),
        "{}",
        ran.err
    );
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let args = [
        "fit",
        "street-20",
        "--height",
        "118cm",
        "--inseam",
        "60cm",
        "--out",
        out,
    ];
    let said = inseam(&args)
        .out
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(said.contains("if the inseam is right"), "{said}");
}

/// From 16 years on legs are 29 to 33 mm shorter than children of that height have them: Snyder et al. 1977.
#[test]
fn an_age_that_is_left_out_makes_no_answer_surer() {
    let at = |height: f64, more: &str| {
        let rider = rider(&format!("{{height: {height}{more}}}"));
        sizing(&rider, Options::new(ON))
    };
    let of = |sizing: &Sizing, id: &str| -> Fit {
        let bike = sizing.bikes.iter().find(|bike| bike.fit.bike.id == id);
        bike.unwrap().fit.clone()
    };
    let (woman, grown) = (
        at(1500.0, ", sex: woman"),
        at(1500.0, ", sex: woman, age: 34y"),
    );
    assert_eq!(woman.rider.inseam, grown.rider.inseam);
    let [known, open] = [&grown, &woman].map(|sizing| of(sizing, "trail-26"));
    assert_eq!((open.verdict, open.odds), (known.verdict, known.odds));
    assert_ne!(open.verdict, Verdict::Fits);

    // At most so likely to fit.
    let fitting = |fit: &Fit| {
        let chance = fit.chance().unwrap();
        if fit.leans() == Side::Fits {
            chance
        } else {
            1.0 - chance
        }
    };
    let mut seen = 0;
    for height in [1500.0, 1550.0, 1600.0, 1650.0] {
        let [open, young, old] = ["", ", age: 13y", ", age: 34y"].map(|age| at(height, age));
        let between = young.rider.inseam.mm() - old.rider.inseam.mm();
        assert!((29.0..=33.0).contains(&between), "{between}");
        let middle = f64::midpoint(young.rider.inseam.mm(), old.rider.inseam.mm());
        approx::assert_abs_diff_eq!(open.rider.inseam.mm(), middle, epsilon = 1e-9);
        for bike in &open.bikes {
            let id = &bike.fit.bike.id;
            let [young, old] = [&young, &old].map(|sizing| of(sizing, id));
            let sd = |fit: &Fit| fit.odds.unwrap().saddle_height_sd_mm;
            if let (Some(sd), Some(young), Some(old)) = (sd(&bike.fit), sd(&young), sd(&old)) {
                assert!(sd > young.max(old), "{id} at {height}: {sd} {young} {old}");
            }
            if bike.fit.leans() == Side::Fits {
                let most = fitting(&young).min(fitting(&old));
                // Draws are good to one in a hundred.
                assert!(fitting(&bike.fit) <= most + 0.01, "{id} at {height}");
                seen += 1;
            }
        }
    }
    assert!(seen > 10, "{seen}");
    // Where nobody grown is as tall, there is one answer.
    let small = at(1270.0, "");
    assert!(small.rider.late_growth.sd_mm() < 1e-9);
}

#[test]
fn a_saddle_that_an_estimate_gives_has_its_doubt_and_asks_for_the_inseam_first() {
    const FIRST: &str = "easure the inseam before setting the saddle";
    let ask = |command: &[&str], leg: &[&str]| {
        let more = ["--height", "127cm", "--on", "2026-03-01"];
        let args = [command, &more, leg].concat();
        let ran = inseam(&args);
        assert_eq!(ran.status, 0, "{}", ran.err);
        ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    for command in [
        &["size", "street-20"][..],
        &["fit", "street-20", "--out", out],
        &["handover", "street-20", "--out", out],
        &["compare", "street-20", "trail-20", "--out", out],
    ] {
        let open = ask(command, &[]);
        assert!(
            open.contains(FIRST) && open.contains('±'),
            "{command:?}: {open}"
        );
        let known = ask(command, &["--inseam", "57cm"]);
        assert!(!known.contains(FIRST), "{command:?}: {known}");
    }
}

#[test]
fn no_lean_is_called_a_yes_where_a_no_is_the_likelier() {
    let mut seen = [0; 2];
    for height in (1000..1700).step_by(10) {
        let sizing = sizing(&rider(&format!("{{height: {height}}}")), Options::new(ON));
        for bike in sizing.bikes {
            let fit = &bike.fit;
            let as_measured = Side::of(&fit.measures);
            if fit.verdict != Verdict::Undecided || as_measured != Side::Fits {
                continue;
            }
            let layout = Layout {
                columns: 400,
                units: Units::Mm,
            };
            let text = inseam::report::text::fit(fit, layout);
            // Of which side, the age decides: see `odds`.
            if fit.turns_on_age() {
                assert!(
                    !text.contains("leans to") && !text.contains("that it fits"),
                    "{text}"
                );
                continue;
            }
            let is_likely = fit.odds.unwrap().chance >= 0.5;
            assert_eq!(text.contains("it leans to: fits"), is_likely, "{text}");
            assert_eq!(text.contains("but it is likelier that it"), !is_likely);
            let leans = fit.leans();
            assert_eq!(text.contains("% that it fits"), leans == Side::Fits);
            // No other side is likelier than that to which it leans.
            assert!(fit.chance() >= fit.odds.map(|odds| odds.chance), "{text}");
            assert!(!is_likely || leans == Side::Fits, "{text}");
            seen[usize::from(is_likely)] += 1;
        }
    }
    assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
}

#[test]
fn a_check_that_waits_is_named_with_its_figure_and_no_misfit_is_said_to_fit_more_surely() {
    let text = |id: &str, rest: &str| {
        let text = format!(
            "name: {id}\nstyle: street\ntyres: {{front: 20 x 1.75, rear: 20 x 1.75}}\n{rest}"
        );
        inseam::bike::library::read(id, &inseam::file::Document::from_text(id, &text)).unwrap()
    };
    let bikes = [
        Arc::new(text("blue", "")),
        Arc::new(text(
            "red",
            "cranks: {length: 140, q_factor: 150, pedal_width: 90}\n",
        )),
    ];
    let sized = sized(&child(), &bikes, Options::new(ON), || {});
    let [first, next] = sized.bikes.as_slice() else {
        panic!("two bikes");
    };
    assert!(!first.fit.verdict.fits());
    let words = first.why.unwrap().words(first, next, Units::Mm);
    assert!(!words.contains("it fits more surely"), "{words}");
    assert!(
        words.contains("waits for") || words.contains("more is known"),
        "{words}"
    );
}

#[test]
fn a_height_that_is_nobodys_of_that_age_is_told_above_the_list_and_with_every_verdict() {
    for (rider, proviso) in [
        (&["--height", "138cm"][..], "if height and age are right"),
        (&["--inseam", "66cm"], "if inseam and age are right"),
        (
            &["--height", "138cm", "--inseam", "50cm"],
            "if inseam, height and age are right",
        ),
    ] {
        let age = ["--age", "3y"];
        let run = |words: &[&str]| inseam(&[words, rider, &age].concat());
        let list = run(&["size"]).out;
        let (head, _) = list.split_once("BIKE").expect("a table");
        let head = head.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            head.contains("is far above anybody's of that age"),
            "{head}"
        );
        assert!(!list.contains("Look again\n- a height"), "{list}");
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().to_str().unwrap();
        let fit = run(&["fit", "trail-24", "--out", out]).out;
        let fit = fit.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(fit.contains(proviso), "{fit}");
    }
}
