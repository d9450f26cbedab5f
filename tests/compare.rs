//! Two bikes side by side: the same bike twice, figures missing, the JSON's form. The chart is looked at in `charts`.

mod common;

use std::sync::Arc;

use approx::assert_abs_diff_eq;
use common::contract::{self, mirrored};
use common::program::{Ran, inseam};
use common::rider;
use inseam::advice::compare::{Comparison, Figure, Kind, Size, compare};
use inseam::bike::{Bike, library};
use inseam::draw::{Form, two_bikes};
use inseam::file::Document;
use inseam::fit::Verdict;
use inseam::fit::checks::CheckId;
use inseam::{Options, Units};
use jiff::civil::date;

const RIDER: &str = "height: 1280\ninseam: 600\nage: 8y\nsex: girl\nweight: 26 kg\n";
const FLAGS: &str = "--height 1280 --inseam 600 --age 8y --sex girl --weight 26kg --on 2026-03-01";

fn sample(id: &str) -> Arc<Bike> {
    library::sample(id).unwrap_or_else(|| panic!("no sample {id}"))
}

/// A sample whose file lacks the lines that begin with one of `keys`.
fn without(id: &str, keys: &[&str]) -> Arc<Bike> {
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
    let bike = library::read(id, &Document::from_text(id, kept.join("\n")));
    Arc::new(bike.unwrap_or_else(|problems| panic!("{problems:#?}")))
}

fn compared(rider_text: &str, first: &Arc<Bike>, second: &Arc<Bike>) -> Comparison {
    let options = Options {
        exact: true,
        ..Options::new(date(2026, 3, 1))
    };
    compare(&rider(rider_text), [first, second], options)
}

/// One line, as it is typed.
fn program(line: &str) -> Ran {
    inseam(&line.split_whitespace().collect::<Vec<_>>())
}

#[test]
fn the_same_bike_twice_has_no_difference_and_says_so() {
    let bike = sample("street-20");
    let comparison = compared(RIDER, &bike, &bike);
    assert!(comparison.is_same());
    for difference in &comparison.differences {
        let [first, second] = difference.values;
        assert_eq!(first, second, "{}", difference.figure.name());
        let size = comparison.size(difference);
        assert_eq!(size, Size::Small, "{}", difference.figure.name());
    }
    let headline = comparison.headline(Units::Mm);
    assert!(headline.contains("the same bike"), "{headline}");
    let folder = tempfile::tempdir().unwrap();
    let Ran { out, status, .. } = program(&format!(
        "compare street-20 street-20 {FLAGS} --out {}",
        folder.path().display()
    ));
    assert_eq!(status, 0);
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
    for (figure, first, second) in [
        (
            Figure::Reach,
            small.drawing.reach_mm,
            large.drawing.reach_mm,
        ),
        (
            Figure::Wheelbase,
            small.layout.points.front_axle.x - small.layout.points.rear_axle.x,
            large.layout.points.front_axle.x - large.layout.points.rear_axle.x,
        ),
        (Figure::Trail, small.layout.trail_mm, large.layout.trail_mm),
        (
            Figure::Weight,
            small.spec.weight.unwrap().kg(),
            large.spec.weight.unwrap().kg(),
        ),
    ] {
        let difference = there.difference(figure).unwrap();
        assert_abs_diff_eq!(difference.values[0].unwrap(), first, epsilon = 1e-9);
        assert_abs_diff_eq!(difference.values[1].unwrap(), second, epsilon = 1e-9);
        assert_eq!(there.size(difference), Size::Matters);
        let more = if first > second { &small } else { &large };
        let begins = format!("{} ", more.spec.name);
        let meaning = there.meaning(difference, Units::Mm);
        assert!(meaning.starts_with(&begins), "{meaning}");
        // The other way round the figures change places and the same bike is named.
        let mirrored = back.difference(figure).unwrap();
        let mut turned = mirrored.values;
        turned.reverse();
        assert_eq!(turned, difference.values);
        let words = back.meaning(mirrored, Units::Mm);
        assert!(words.starts_with(&begins), "{words}");
    }
    // Grips over saddle top, both above the bottom bracket.
    let above = there.difference(Figure::BarAboveSaddle).unwrap().values[0].unwrap();
    let layout = &small.layout;
    let saddle = there.fits[0].pair().setting().seat_height_mm - layout.bottom_bracket_height_mm();
    assert_abs_diff_eq!(above, layout.points.grip.y - saddle, epsilon = 1e-9);
}

#[test]
fn cost_per_month_is_the_price_over_the_months_of_fit_and_only_a_bike_that_fits_has_one() {
    let (fits, next, large) = (sample("street-20"), sample("trail-20"), sample("trail-24"));
    let comparison = compared(RIDER, &fits, &next);
    let cost = comparison.difference(Figure::PricePerMonth).unwrap();
    assert_eq!(cost.figure.kind(), Kind::PricePerMonth);
    for ((bike, fit), cost) in [&fits, &next]
        .into_iter()
        .zip(&comparison.fits)
        .zip(cost.values)
    {
        assert_eq!(fit.verdict, Verdict::Fits, "{}", bike.id);
        let growth = fit.growth().unwrap();
        let months = growth.last_month.p50.unwrap() - growth.first_month.p50.unwrap();
        let price = bike.spec.price.unwrap();
        assert_abs_diff_eq!(cost.unwrap(), price / months.max(1.0), epsilon = 1e-9);
    }
    let dearer = usize::from(cost.values[1] > cost.values[0]);
    let begins = format!("{} costs", comparison.fits[dearer].bike.spec.name);
    let meaning = comparison.meaning(cost, Units::Mm);
    assert!(meaning.starts_with(&begins), "{meaning}");

    // A bike that does not fit today has no price for a month.
    let comparison = compared(RIDER, &fits, &large);
    assert_eq!(comparison.fits[1].verdict, Verdict::TooBig);
    let cost = comparison.difference(Figure::PricePerMonth).unwrap();
    assert!(cost.values[0].is_some() && cost.values[1].is_none());
    assert_eq!(comparison.size(cost), Size::Unknown);
    let meaning = comparison.meaning(cost, Units::Mm);
    let name = &large.spec.name;
    let why = format!("not compared, {name}: too big today; ");
    assert!(meaning.starts_with(&why), "{meaning}");
    // Nor has one of which that is not known, which is not said not to fit.
    let comparison = doubtful(
        "{height: 1310, inseam: 615, age: 8y4m, sex: boy}",
        &fits,
        &sample("street-24"),
    );
    assert_eq!(comparison.fits[1].verdict, Verdict::Undecided);
    let cost = comparison.difference(Figure::PricePerMonth).unwrap();
    let meaning = comparison.meaning(cost, Units::Mm);
    assert!(
        meaning.contains(": too close to call with these figures"),
        "{meaning}"
    );
}

#[test]
fn a_missing_figure_is_named_and_nothing_is_made_up() {
    let bare = without(
        "trail-24",
        &["price:", "weight:", "top_tube:", "published:"],
    );
    let full = sample("street-20");
    for comparison in [compared(RIDER, &full, &bare), compared(RIDER, &bare, &full)] {
        for (figure, cure) in [
            (Figure::Price, "needs price"),
            (Figure::PricePerMonth, "needs price"),
            (Figure::Weight, "needs weight"),
            (Figure::Standover, "needs standover"),
        ] {
            let difference = comparison.difference(figure).unwrap();
            assert_eq!(comparison.size(difference), Size::Unknown, "{figure:?}");
            assert!(difference.values.iter().any(Option::is_none));
            let meaning = comparison.meaning(difference, Units::Mm);
            let named = format!("not compared, {}: {cure}", bare.spec.name);
            // And what the other has is no secret.
            let had = difference.values.iter().flatten().next().unwrap();
            let had = figure.kind().show(*had, Units::Mm);
            let shown = format!("{named}; {had} on {}", full.spec.name);
            assert!(meaning.starts_with(&named), "{figure:?}: {meaning}");
            assert!(
                meaning.ends_with(&shown[named.len()..]),
                "{figure:?}: {meaning}"
            );
        }
        let reach = comparison.difference(Figure::Reach).unwrap();
        assert_eq!(comparison.size(reach), Size::Matters);
    }
    let both = compared(RIDER, &bare, &bare);
    let price = both.difference(Figure::Price).unwrap();
    assert_eq!(price.values, [None, None]);
    let meaning = both.meaning(price, Units::Mm);
    assert!(meaning.contains("both"), "{meaning}");
}

#[test]
fn without_an_age_there_is_today_only_and_a_word_why() {
    let young = "height: 1280\ninseam: 600\n";
    let comparison = compared(young, &sample("street-20"), &sample("trail-24"));
    assert!(comparison.difference(Figure::LastMonth).is_none());
    assert!(comparison.difference(Figure::Wheelbase).is_some());
    let folder = tempfile::tempdir().unwrap();
    let Ran { out, err, status } = program(&format!(
        "compare street-20 trail-24 --height 1280 --inseam 600 --out {}",
        folder.path().display()
    ));
    assert_eq!(status, 0);
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
    let cranks = comparison.difference(Figure::CrankLength).unwrap();
    let meaning = comparison.meaning(cranks, Units::Mm);
    let name = &comparison.fits[0].bike.spec.name;
    assert!(
        cranks.values[0].is_none() && meaning.contains(&format!("{name}: no cranks")),
        "{meaning}"
    );
    assert_eq!(comparison.fits[0].verdict, Verdict::Fits);
}

#[test]
fn json_has_the_keys_of_the_contract_and_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let ran = program(&format!(
        "compare street-20 trail-24 {FLAGS} --format json --out {}",
        folder.path().display()
    ));
    assert_eq!(ran.status, 0);
    let answer: contract::Compare = mirrored(&ran.out);
    assert_eq!(answer.schema, "inseam/compare/2");
    let (first, second) = (&answer.first, &answer.second);
    assert_eq!(
        (first.id.as_str(), second.id.as_str()),
        ("street-20", "trail-24")
    );
    assert_eq!(first.fit.schema, "inseam/fit/2");
    // What fits has nothing that stops it; what does not says why and by how much.
    assert_eq!((first.fit.verdict.as_str(), &first.stop), ("fits", &None));
    assert_eq!(second.fit.verdict, "too-big");
    let stop = second.stop.as_ref().expect("a reason");
    assert!(
        stop.height_mm > Some(0.0) && stop.months > Some(0.0),
        "{stop:?}"
    );
    let mut findings = second.fit.findings.iter();
    let deciding = findings.find(|finding| Some(&finding.check) == stop.check.as_ref());
    let deciding = deciding.expect("the check that decides");
    assert_eq!(
        (deciding.status.as_str(), &deciding.advice),
        ("fail", &stop.reason)
    );
    assert_eq!(answer.differences.len(), 16);
    for difference in &answer.differences {
        assert!(!difference.name.is_empty() && !difference.meaning.is_empty());
        let has_both = difference.first.is_some() && difference.second.is_some();
        assert_eq!(
            has_both,
            difference.name != "price_per_month",
            "{difference:?}"
        );
        assert!(
            ["mm", "deg", "kg", "months", "price", "price_per_month"]
                .contains(&difference.unit.as_str())
        );
    }
    let growth = second.fit.growth.as_ref().expect("an age was given");
    assert_eq!(
        (growth.as_of.as_str(), growth.months.len()),
        ("2026-03-01", 61)
    );
    let year = &growth.months[12];
    assert_eq!((year.month, year.date.as_str()), (12, "2027-03-01"));
    assert!(year.height_low_mm < year.height_mm && year.height_mm < year.height_high_mm);
    assert!(year.inseam_mm > 600.0 && year.arm_reach_mm > 400.0 && !year.verdict.is_empty());
    let first = &growth.first_month;
    assert!(first.p10 <= first.p50 && first.p50 <= first.p90 && first.p50 > Some(0.0));
    assert!(growth.last_month.p10.is_some() && growth.last_month.p90.is_some());
    assert!(
        growth.schedule[0].date > growth.as_of
            && growth.schedule[0]
                .saddle_height_mm
                .is_some_and(|mm| mm > 300.0)
    );
    assert!(!growth.notes.is_empty());
}

#[test]
fn bad_input_is_an_error_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let line = format!("--out {}", folder.path().display());
    let ran = program(&format!("compare street-20 no-such-bike {FLAGS} {line}"));
    assert_eq!((ran.status, ran.out.as_str()), (1, ""));
    assert!(ran.err.contains("no-such-bike"), "{}", ran.err);
    assert_eq!(program("compare street-20").status, 2);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    // Strict: neither fits this rider.
    let tall = "--height 1700 --inseam 800 --strict";
    let ran = program(&format!("compare street-16 street-20 {tall} {line}"));
    assert_eq!(ran.status, 3);
}

#[test]
fn an_open_verdict_promises_nothing_for_today() {
    let line =
        "compare street-20 street-24 --inseam 63cm --height 131cm --age 8y6m --on 2026-03-01";
    let folder = tempfile::tempdir().expect("a temporary folder");
    let mut args: Vec<_> = line.split(' ').collect();
    args.extend(["--out", folder.path().to_str().expect("UTF-8")]);
    let said = inseam(&args).out;
    assert!(said.contains("undecided"), "{said}");
    assert!(said.contains("now, if at all"), "{said}");
    let headline = said.split("About size only").next().expect("a first part");
    assert!(!headline.contains("does not"), "{headline}");
}

/// A bike of which a tape took the standover and the saddle, and nothing else.
fn half_known() -> Arc<Bike> {
    let text = "name: Invented half\nstyle: trail\ntyres: {front: 24 x 2.1, rear: 24 x 2.1}\nbrakes: {front: {kind: hand, reach: {min: 40, max: 70}}, rear: {kind: hand, reach: {min: 40, max: 70}}}\nmeasured: {standover: 610, seat_height_lowest: 640, seat_height_highest: 760}\n";
    let bike = library::read("half", &Document::from_text("half", text));
    Arc::new(bike.unwrap_or_else(|problems| panic!("{problems:#?}")))
}

#[test]
fn the_picture_states_no_figure_that_the_text_leaves_out() {
    const TALLER: &str = "height: 1380\ninseam: 660\n";
    let (half, whole) = (half_known(), sample("trail-24"));
    let comparison = compared(TALLER, &half, &whole);
    for figure in [
        Figure::Wheelbase,
        Figure::BottomBracketHeight,
        Figure::TorsoLean,
    ] {
        let difference = comparison.difference(figure).unwrap();
        assert_eq!(comparison.size(difference), Size::Unknown, "{figure:?}");
        let why = comparison.meaning(difference, Units::Mm);
        assert!(
            why.starts_with("not compared, Invented half: needs"),
            "{why}"
        );
    }
    let picture = two_bikes(&comparison, Units::Mm, Form::Lying).svg;
    assert_eq!(picture.matches("not known").count(), 3);
    assert!(!picture.contains(">grips<") && picture.contains(">standover, top tube<"));
    let other = compared(TALLER, &sample("street-24"), &whole);
    let picture = two_bikes(&other, Units::Mm, Form::Lying).svg;
    assert!(!picture.contains("not known") && picture.contains(">grips<"));
}

#[test]
fn months_left_are_the_whole_months_of_the_rack() {
    let left = Figure::LastMonth.kind();
    assert_eq!(left.show(8.96, Units::Mm), "9 months");
    assert_eq!(left.show(1.2, Units::Mm), "1 month");
    let comparison = compared(RIDER, &sample("street-20"), &sample("street-24"));
    let months = comparison.difference(Figure::LastMonth).unwrap().values[0].unwrap();
    let rack = program(&format!("size street-20 {FLAGS} --exact"));
    let whole = format!("{} (", months.round());
    assert!(
        rack.out.contains(&whole) || rack.out.contains(&format!(" {} ", months.round())),
        "{whole}: {}",
        rack.out
    );
}

#[test]
fn cautions_about_safety_and_the_chances_stand_with_the_headline() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let rider = "tests/data/course/riders/ada.yaml";
    let ran = program(&format!(
        "compare street-20 street-16 --rider {rider} --on 2026-07-07 --out {out}"
    ));
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let first = said.split("About size only").next().unwrap();
    let handover = program(&format!(
        "handover street-20 --rider {rider} --on 2026-07-07 --out {out}"
    ));
    let handover = handover
        .out
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let standover = handover.split("Standover: ").nth(1).unwrap();
    let standover = standover.split(" - ").next().unwrap();
    assert!(standover.contains("mm of air"), "{handover}");
    assert!(
        first.contains(&format!(
            "Read this. Sample street 20: standover: {standover}"
        )),
        "{first}"
    );
}

#[test]
fn checks_of_safety_that_could_not_be_made_stand_with_the_headline_the_json_and_the_picture() {
    let open = without("street-20", &["cranks:"]);
    let whole = sample("street-20");
    let comparison = compared(RIDER, &open, &whole);
    assert!(comparison.fits.iter().all(|fit| fit.verdict.fits()));
    let layout = inseam::report::terminal::Layout {
        columns: 400,
        units: Units::Mm,
    };
    let text = inseam::report::compare_text::compare(&comparison, layout);
    let first = text.split("About size only").next().unwrap();
    let [first_name, _] = comparison.names();
    let json = serde_json::to_value(inseam::report::contract::comparison(&comparison, Units::Mm));
    let read = json.unwrap()["read_this"].to_string();
    let picture = two_bikes(&comparison, Units::Mm, Form::Lying).plan;
    let picture: Vec<_> = picture.labels.iter().map(|label| &*label.text).collect();
    let picture = picture.join(" ");
    let mut names = Vec::new();
    for id in [
        CheckId::CrankLength,
        CheckId::ToeClearance,
        CheckId::PedalLean,
    ] {
        let fit = &comparison.fits[0];
        let advice = fit.advice(&fit.finding(id).unwrap(), Units::Mm);
        let said = format!("{first_name}: {}: {advice}.", id.title());
        assert!(said.contains("not checked: needs "), "{said}");
        assert!(
            first.contains(&format!("Read this. {said}")),
            "{said}\n{text}"
        );
        assert!(read.contains(&said), "{said}\n{read}");
        names.push(id.title());
    }
    // Only of the bike of which it is true.
    assert_eq!(
        first.matches("toe clearance: not checked").count(),
        1,
        "{first}"
    );
    let drawn = format!("Not checked: {}.", names.join(", "));
    assert_eq!(picture.matches(&drawn).count(), 1, "{drawn}");
}

/// The comparison as a terminal of this width has it.
fn text(comparison: &Comparison, columns: usize, units: Units) -> String {
    let layout = inseam::report::terminal::Layout { columns, units };
    inseam::report::compare_text::compare(comparison, layout)
}

const TODDLER: &str = "height: 980\nage: 3y\nsex: boy\n";

#[test]
fn each_bike_is_told_the_stage_that_it_was_judged_at_where_the_two_differ() {
    let comparison = compared(TODDLER, &sample("balance-12"), &sample("street-14"));
    let said = text(&comparison, 200, Units::Cm);
    let row = said.lines().find(|line| line.starts_with(" stage "));
    let words: Vec<_> = row.expect("a row of its own").split_whitespace().collect();
    assert_eq!(words, ["stage", "learning", "steady"]);
    let heading = two_bikes(&comparison, Units::Cm, Form::Lying).svg;
    let both = "stage learning (on the left) and steady (on the right)";
    assert!(heading.contains(both), "{both}");
    // One stage is told once.
    let alike = compared(RIDER, &sample("street-20"), &sample("street-24"));
    let said = text(&alike, 200, Units::Cm);
    assert!(
        !said.lines().any(|line| line.starts_with(" stage ")),
        "{said}"
    );
    let heading = two_bikes(&alike, Units::Cm, Form::Lying).svg;
    assert!(heading.contains("stage steady<"), "{heading}");
}

#[test]
fn a_bike_without_cranks_has_no_bracket_to_compare_in_text_or_picture() {
    let comparison = compared(TODDLER, &sample("balance-12"), &sample("street-14"));
    let said = text(&comparison, 200, Units::Cm);
    let why = "bottom bracket height: not compared, Sample balance 12: no cranks";
    assert!(said.contains(why), "{said}");
    let picture = two_bikes(&comparison, Units::Cm, Form::Lying);
    let balance = &comparison.fits[0].bike.layout;
    let told = Units::Cm.length(balance.bottom_bracket_height_mm());
    assert!(!picture.svg.contains(&format!(">{told}<")), "{told}");
    assert!(picture.svg.contains(">no cranks<"));
}

#[test]
fn the_picture_tells_a_difference_in_standover_as_the_table_beneath_does() {
    let bikes: Vec<_> = library::samples()
        .filter(|bike| !bike.is_balance())
        .collect();
    let mut compared_pairs = 0;
    for (first, second) in bikes.iter().zip(&bikes[1..]) {
        let comparison = compared(RIDER, first, second);
        for units in [Units::Mm, Units::Cm, Units::In] {
            let standover = comparison.difference(Figure::Standover).unwrap();
            if comparison.size(standover) != Size::Matters {
                continue;
            }
            // Subtracted by hand, of the figures as they are printed.
            let shown = standover.values.map(|mm| units.as_shown_mm(mm.unwrap()));
            let by = units.length((shown[1] - shown[0]).abs());
            let meaning = comparison.meaning(standover, units);
            assert!(
                meaning.contains(&format!("the top tube {by} higher")),
                "{meaning}"
            );
            let which = if shown[1] > shown[0] {
                "higher"
            } else {
                "lower"
            };
            let picture = two_bikes(&comparison, units, Form::Lying);
            let label = picture
                .plan
                .labels
                .iter()
                .position(|label| label.text == "standover, top tube");
            let label = &picture.plan.labels[label.expect("a level line") + 1];
            assert_eq!(
                label.text,
                format!("{by} {which}"),
                "{} {}",
                first.id,
                second.id
            );
            compared_pairs += 1;
        }
    }
    assert!(compared_pairs > 10);
}

#[test]
fn pedals_and_the_kind_of_brake_on_each_wheel_are_compared() {
    // The brakes are what the two sample files say.
    let comparison = compared(RIDER, &sample("coaster-16"), &sample("street-16"));
    let said = text(&comparison, 400, Units::Mm);
    let differs = |said: &str, name: &str| {
        let (_, table) = said
            .split_once(" DIFFERS")
            .unwrap_or_else(|| panic!("{said}"));
        let row = table
            .lines()
            .find(|line| line.trim_start().starts_with(name));
        row.unwrap_or_else(|| panic!("{said}")).to_owned()
    };
    let row = differs(&said, "brakes ");
    for words in [
        "has no front brake",
        "brakes its rear wheel by pedalling backwards, Sample street 16 by hand",
    ] {
        assert!(row.contains(words), "{words}: {row}");
    }
    let brakes = &comparison.equipment[1];
    assert_eq!(
        brakes.shown(),
        ["front none, rear coaster", "front hand, rear hand"]
    );
    let same = said
        .lines()
        .find(|line| line.starts_with("The same"))
        .unwrap_or_default();
    assert!(
        same.contains("pedals") && !same.contains("brakes"),
        "{same}"
    );

    let walked = compared(TODDLER, &sample("balance-12"), &sample("street-14"));
    let said = text(&walked, 400, Units::Mm);
    let row = differs(&said, "pedals ");
    assert!(
        row.contains("Sample balance 12 is pushed along with the feet"),
        "{row}"
    );

    let silent = without("street-16", &["brakes:", "front: {kind", "rear: {kind"]);
    let open = compared(RIDER, &silent, &sample("street-16"));
    let said = text(&open, 400, Units::Mm);
    let (_, left_out) = said
        .split_once("Left out")
        .unwrap_or_else(|| panic!("{said}"));
    assert!(left_out.contains("- brakes: "), "{left_out}");
    assert!(left_out.contains(": not said, needs "), "{left_out}");
    assert_eq!(
        open.equipment[1].shown(),
        ["not said", "front hand, rear hand"]
    );
    assert!(!open.is_same());
}

#[test]
fn a_bike_keeps_the_letters_of_its_name_where_a_table_is_stacked() {
    let named = |id: &str, name: &str| {
        let (_, text) = library::SAMPLES
            .iter()
            .find(|(known, _)| *known == id)
            .unwrap();
        let own = text.lines().find(|line| line.starts_with("name:")).unwrap();
        let text = text.replace(own, &format!("name: {name}"));
        let bike = library::read(id, &Document::from_text(id, text));
        Arc::new(bike.unwrap_or_else(|problems| panic!("{problems:#?}")))
    };
    let comparison = compared(
        RIDER,
        &named("street-20", "Blue twenty"),
        &named("street-24", "Invented-Twentyfour-Of-One-Word"),
    );
    for columns in [40, 80] {
        let said = text(&comparison, columns, Units::Cm);
        assert!(!said.contains("blue twenty"), "{said}");
        let stacked = said.lines().any(|line| line.starts_with("  Blue twenty: "));
        assert!(stacked || columns > 40, "{said}");
    }
}

#[test]
fn a_bike_that_fails_twice_has_the_reason_of_its_verdict_over_its_picture() {
    let bikes: Vec<_> = library::samples().collect();
    let mut seen = 0;
    for inseam in [420, 470, 520, 570] {
        let rider = format!(
            "height: {}\ninseam: {inseam}\nstage: steady\n",
            2 * inseam + 60
        );
        for bike in bikes.iter().chain([&half_known()]) {
            let comparison = compared(&rider, bike, &bikes[0]);
            let fit = &comparison.fits[0];
            let failing = fit
                .findings()
                .filter(|found| matches!(found.status(), inseam::fit::Status::Fail(_)));
            let failing = failing.count();
            let Some(stop) = inseam::advice::stop::Stop::of(fit).filter(|_| failing > 1) else {
                continue;
            };
            let picture = two_bikes(&comparison, Units::Mm, Form::Lying);
            let mut drawn = picture
                .plan
                .labels
                .iter()
                .map(|label| label.text.trim_end_matches('…').to_lowercase());
            let reason = stop.reason(fit, Units::Mm).to_lowercase();
            let starts =
                drawn.any(|line| line.len() > 15 && reason.starts_with(line.trim_end_matches('.')));
            assert!(starts, "{}: {reason}", bike.id);
            seen += 1;
        }
    }
    assert!(seen > 5, "{seen}");
}

#[test]
fn months_that_rest_on_what_nobody_measured_say_so() {
    let taped = |figures: &str| {
        let text = format!(
            "name: Taped\nstyle: trail\ntyres: {{front: 54-507, rear: 54-507}}\ncranks: {{length: 140}}\n\
             brakes: {{front: {{kind: none}}, rear: {{kind: coaster}}}}\n\
             measured: {{bottom_bracket_height: 290, seat_height_lowest: 640, standover: 590{figures}}}\n"
        );
        common::bike(common::spec(&text))
    };
    let says = |bike: &Arc<Bike>, figure| {
        let comparison = compared(RIDER, &sample("trail-24"), bike);
        let difference = *comparison.difference(figure).expect("a forecast");
        comparison.meaning(&difference, Units::Mm)
    };
    let open = taped("");
    let words = says(&open, Figure::LastMonth);
    assert!(
        words.ends_with(", with the seat height highest of Taped assumed"),
        "{words}"
    );
    let words = says(&open, Figure::FirstMonth);
    assert!(!words.contains("assumed"), "{words}");
    let words = says(&taped(", seat_height_highest: 790"), Figure::LastMonth);
    assert!(!words.contains("assumed"), "{words}");
}

/// 430 / 24.1 and 520 / 29.9 months are 17.8 and 17.4 a month: next to nothing, and in favour of the dearer bike.
#[test]
fn a_price_per_month_is_of_months_not_cut_down_and_a_small_difference_is_none() {
    let girl = "{height: 1270, inseam: 570, age: 8y3m, sex: girl}";
    let comparison = compared(girl, &sample("street-20"), &sample("trail-20"));
    let cost = comparison.difference(Figure::PricePerMonth).unwrap();
    let [street, trail] = cost.values.map(Option::unwrap);
    assert!(trail < street, "{trail} {street}");
    assert_eq!(comparison.size(cost), Size::Small);
    assert_eq!(comparison.meaning(cost, Units::Mm), "too close to notice");
    let last = comparison.difference(Figure::LastMonth).unwrap();
    let [street, trail] = last.values.map(|months| months.unwrap().round());
    let meaning = comparison.meaning(last, Units::Mm);
    let by = format!("about {} months later", trail - street);
    assert!(meaning.ends_with(&by), "{meaning}");
}

#[test]
fn a_lean_that_fit_tells_of_one_bike_is_shown_and_only_what_misses_is_named() {
    let bare = common::bike(common::spec(
        "name: Taped\nstyle: street\ntyres: {front: 20 x 1.75, rear: 20 x 1.75}\n",
    ));
    assert!(!bare.knows(inseam::bike::Figure::GripHeight));
    let full = sample("trail-20");
    let comparison = compared(RIDER, &full, &bare);
    let lean = comparison.difference(Figure::TorsoLean).unwrap();
    for (fit, lean) in comparison.fits.iter().zip(lean.values) {
        let reach = fit.finding(CheckId::Reach).unwrap();
        assert!(reach.measure.value.is_some(), "{}", fit.bike.id);
        assert_abs_diff_eq!(lean.unwrap(), reach.measure.value.unwrap(), epsilon = 1e-9);
    }
    let weight = comparison.difference(Figure::Weight).unwrap();
    let [has, lacks] = comparison.names();
    assert_eq!(
        comparison.meaning(weight, Units::Mm),
        format!("not compared, {lacks}: needs weight; 8.8 kg on {has}")
    );
}

/// Stands under `heading` in a table of the terminal, one cell for each bike.
fn row<'t>(text: &'t str, heading: &str) -> Vec<&'t str> {
    let line = text
        .lines()
        .find(|line| line.trim_start().starts_with(heading))
        .unwrap_or_else(|| panic!("no row {heading}:\n{text}"));
    let cells = line.trim_start().trim_start_matches(heading).split("  ");
    cells
        .map(str::trim)
        .filter(|cell| !cell.is_empty())
        .collect()
}

/// Both bikes as doubtful as the tape leaves them.
fn doubtful(rider_text: &str, first: &Arc<Bike>, second: &Arc<Bike>) -> Comparison {
    let options = Options::new(date(2026, 3, 1));
    compare(&rider(rider_text), [first, second], options)
}

#[test]
fn a_bike_too_close_to_call_is_not_outgrown_already_wherever_it_is_told() {
    let girl = "{height: 1350, inseam: 640, age: 9y, sex: girl}";
    let (small, large) = (sample("street-20"), sample("street-24"));
    let comparison = doubtful(girl, &small, &large);
    let fit = &comparison.fits[0];
    assert_eq!(fit.verdict, Verdict::Undecided);
    assert_eq!(fit.leans(), inseam::fit::Side::TooSmall);
    // As likely as not is now; one leg in ten is short enough for some months more.
    let growth = fit.growth().unwrap();
    assert_eq!(growth.last_month.p50, Some(0.0));
    let latest = growth.last_month.p90.unwrap();
    assert!((0.5..12.0).contains(&latest), "{latest}");
    let said = text(&comparison, 1000, Units::Cm);
    assert!(!said.contains("already"), "{said}");
    assert!(row(&said, "first fits")[0].starts_with("now, if at all"));
    assert!(row(&said, "outgrown")[0].starts_with("about now (Mar 2026 to "));
    let layout = inseam::report::terminal::Layout {
        columns: 1000,
        units: Units::Cm,
    };
    let alone = inseam::report::text::fit(fit, layout);
    assert!(
        alone.contains("- if at all, fits until about now (in four of five cases March 2026 to "),
        "{alone}"
    );
    for form in [Form::Lying, Form::Upright] {
        let chart = inseam::draw::growth_chart(&comparison, Units::Cm, form);
        let chart = chart.unwrap().unwrap().svg.to_lowercase();
        assert!(!chart.contains("already"), "{form:?}");
        assert!(chart.contains("outgrown about now"), "{form:?}");
    }
    // Who is far too tall has outgrown it.
    let tall = doubtful(
        "{height: 1450, inseam: 690, age: 11y, sex: girl}",
        &small,
        &large,
    );
    assert_eq!(tall.fits[0].verdict, Verdict::TooSmall);
    assert_eq!(row(&text(&tall, 1000, Units::Cm), "outgrown")[0], "already");
}

#[test]
fn a_month_inside_the_brackets_is_undecided_and_one_outside_is_not() {
    let (small, large) = (sample("street-20"), sample("street-24"));
    let mut seen = [0, 0];
    for height in [1200, 1240, 1280, 1320, 1360] {
        let inseam = 60 * height / 128;
        let child = format!("{{height: {height}, inseam: {inseam}, age: 8y, sex: girl}}");
        let comparison = doubtful(&child, &small, &large);
        let said = text(&comparison, 1000, Units::Cm);
        for (months, heading) in [(6.0, "in 6 months"), (12.0, "in 12 months")] {
            for (fit, word) in comparison.fits.iter().zip(row(&said, heading)) {
                let growth = fit.growth().unwrap();
                let lies_in = |p10: Option<f64>, p90: Option<f64>| {
                    p10.is_some_and(|p10| p10 < months) && p90.unwrap_or(f64::INFINITY) > months
                };
                let (first, last) = (growth.first_month, growth.last_month);
                let is_open = lies_in(first.p10, first.p90) || lies_in(last.p10, last.p90);
                assert_eq!(word == "undecided", is_open, "{child} {heading}: {said}");
                seen[usize::from(is_open)] += 1;
            }
        }
    }
    assert!(seen.into_iter().all(|count| count > 3), "{seen:?}");
}

#[test]
fn what_a_fit_says_first_of_a_bike_a_comparison_says_too() {
    // 8.8 kg are 52 % of 17 kg.
    let light = "{height: 1280, inseam: 600, age: 8y, sex: girl, weight: 17 kg}";
    let comparison = compared(light, &sample("trail-20"), &sample("street-20"));
    let said = text(&comparison, 1000, Units::Mm);
    let name = &comparison.names()[0];
    let heavy = format!(
        "Read this. {name}: bike weight: bike weighs 52 % of the rider: too heavy to pick up or to stop with ease."
    );
    let first = said.split("About size only").next().unwrap();
    assert!(first.contains(&heavy), "{said}");
}

#[test]
fn months_subtract_as_they_are_shown() {
    let months = Figure::LastMonth.kind();
    for first in 0..40 {
        for second in 0..40 {
            let pair = [first, second].map(|half| f64::from(half) * 0.5);
            let [first, second] = pair.map(|value| {
                let shown = months.show(value, Units::Mm);
                shown.split(' ').next().unwrap().parse::<f64>().unwrap()
            });
            assert_abs_diff_eq!(
                months.apart(pair, Units::Mm),
                (first - second).abs(),
                epsilon = 1e-9
            );
        }
    }
    // Whole ones, of the first month as of the last.
    assert_eq!(Figure::FirstMonth.kind().show(2.1, Units::Mm), "2 months");
}

#[test]
fn the_picture_has_the_saddle_to_try_of_the_table() {
    let child = "{height: 1310, inseam: 630, age: 8y6m}";
    let comparison = doubtful(child, &sample("street-20"), &sample("street-24"));
    let said = text(&comparison, 1000, Units::Cm);
    let mut undecided = 0;
    for (fit, saddle) in comparison.fits.iter().zip(row(&said, "saddle height")) {
        undecided += usize::from(fit.verdict == Verdict::Undecided);
        for form in [Form::Lying, Form::Upright] {
            let picture = two_bikes(&comparison, Units::Cm, form);
            let mut labels = picture.plan.labels.iter();
            assert!(labels.any(|label| label.text == saddle), "{saddle}");
        }
    }
    assert!(undecided > 0, "{said}");
}

#[test]
fn a_comparison_tells_whose_figures_it_rests_on() {
    let said = text(
        &compared(RIDER, &sample("street-20"), &sample("street-24")),
        1000,
        Units::Cm,
    );
    assert!(
        said.contains("inside leg (inseam) 60.0 cm, height 128.0 cm"),
        "{said}"
    );
}

#[test]
fn cranks_are_in_millimetres_as_they_are_stamped() {
    let comparison = compared(RIDER, &sample("street-20"), &sample("street-24"));
    let lengths = comparison
        .fits
        .each_ref()
        .map(|fit| fit.bike.spec.cranks.as_ref().unwrap().length.unwrap().mm());
    let said = text(&comparison, 1000, Units::Cm);
    let cells = row(&said, "crank length");
    for (cell, length) in cells.iter().zip(lengths) {
        assert_eq!(*cell, format!("{length} mm"));
    }
    let finding = comparison.fits[0].finding(CheckId::CrankLength).unwrap();
    let measured = finding.measured(Units::In).unwrap();
    assert_eq!(measured, format!("{} mm", lengths[0]));
}

#[test]
fn the_chart_says_what_the_band_of_a_bike_is_that_was_not_measured_in_full() {
    let girl = "{height: 1380, inseam: 660, age: 9y, sex: girl}";
    let whole = sample("trail-24");
    let half = common::bike(common::spec(
        "name: Taped\nstyle: trail\ntyres: {front: 54-507, rear: 54-507}\ncranks: {length: 140}\n\
         brakes: {front: {kind: none}, rear: {kind: coaster}}\n\
         measured: {bottom_bracket_height: 290, seat_height_lowest: 640, standover: 590, seat_height_highest: 790}\n",
    ));
    for form in [Form::Lying, Form::Upright] {
        let says = |first: &Arc<Bike>| {
            let comparison = compared(girl, first, &whole);
            let chart = inseam::draw::growth_chart(&comparison, Units::Cm, form);
            let plan = chart.unwrap().unwrap().plan;
            let labels: Vec<_> = plan.labels.iter().map(|label| &*label.text).collect();
            labels
                .join(" ")
                .contains("19 in 20 of the bikes that it may be")
        };
        assert!(says(&half) && !says(&whole), "{form:?}");
    }
}

#[test]
fn every_figure_of_a_narrow_sheet_is_as_large_as_its_neighbours() {
    let comparison = compared(TODDLER, &sample("balance-12"), &sample("street-14"));
    let plan = two_bikes(&comparison, Units::In, Form::Upright).plan;
    let height = |starts: &str| {
        let mut labels = plan.labels.iter();
        let label = labels.find(|label| label.text.starts_with(starts));
        label.unwrap_or_else(|| panic!("{starts}")).place.height
    };
    let told = |figure: Figure| {
        let value = comparison.difference(figure).unwrap().values[0];
        figure.kind().show(value.unwrap(), Units::In)
    };
    let saddle = Units::In.length(comparison.fits[0].saddle_shown_mm(Units::In));
    assert_abs_diff_eq!(
        height(&saddle),
        height(&told(Figure::Wheelbase)),
        epsilon = 1e-9
    );
}
