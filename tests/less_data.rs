//! Missing data never improves an answer: every optional key and section of every sample left out in turn, and the
//! brakes in every arrangement, under many children.

mod common;

use std::sync::{Arc, LazyLock};

use common::children::{Child, PlainRandom, Tape, stage_by_age};
use common::{STREET_16, TRAIL_24, finding, fit, rider, spec};
use inseam::advice::size::{Why, size};
use inseam::bike::spec::{Brake, TopTube};
use inseam::bike::{Bike, BrakeKind, Figure, FrameSpec, Layout, library};
use inseam::file::Document;
use inseam::fit::{Assessor, CheckId, Confidence, Fit, Misfit, Status, Verdict};
use inseam::rider::Stage;
use inseam::rider::draws::DRAWS;
use inseam::{Options, Rider, assess};
use rayon::prelude::*;
use serde_json::Value;

/// Every path to a value in a document, sections before their keys.
fn paths(value: &Value, at: &[String], found: &mut Vec<Vec<String>>) {
    let Value::Object(entries) = value else {
        return;
    };
    for (key, value) in entries {
        let path: Vec<_> = at.iter().cloned().chain([key.clone()]).collect();
        found.push(path.clone());
        paths(value, &path, found);
    }
}

fn without(value: &Value, path: &[String]) -> Value {
    let mut less = value.clone();
    let (last, sections) = path.split_last().expect("a key");
    let section = sections
        .iter()
        .try_fold(&mut less, |value, key| value.get_mut(key))
        .expect("the path is the document's own");
    section.as_object_mut().expect("a section").remove(last);
    less
}

/// A bike, and what is left of it without each key.
type WithLess = (Arc<Bike>, Vec<(String, Arc<Bike>)>);
type Layouts = Arc<Vec<Layout>>;

/// Every sample, and every bike that is left when the file says one thing less, with the possible layouts of each:
/// made once for as long as somebody holds them.
static SAMPLES: LazyLock<(Vec<WithLess>, Vec<Layouts>)> = LazyLock::new(|| {
    let bikes = samples_with_less();
    let held = bikes
        .par_iter()
        .flat_map(|(_, less)| less)
        .filter_map(|(_, bike)| Some(bike.doubt.as_ref()?.layouts(DRAWS)))
        .collect();
    (bikes, held)
});

fn samples_with_less() -> Vec<WithLess> {
    library::SAMPLES
        .iter()
        .map(|(id, text)| {
            let spec: FrameSpec = Document::from_text(*id, *text).read().expect("a sample");
            let whole = serde_json::to_value(&spec).expect("JSON");
            let mut all = Vec::new();
            paths(&whole, &[], &mut all);
            let less = all
                .into_iter()
                .filter_map(|path| {
                    // JSON is YAML: what remains is read as any file is. What is demanded is refused there.
                    let text = without(&whole, &path).to_string();
                    let bike = library::read(id, &Document::from_text(*id, text)).ok()?;
                    Some((path.join("."), Arc::new(bike)))
                })
                .collect();
            (library::sample(id).expect("a sample"), less)
        })
        .collect()
}

fn riders(count: u64) -> Vec<Arc<Rider>> {
    (0..count)
        .flat_map(|index| {
            let mut random = PlainRandom(31_000 + index);
            let child = Child::draw(&mut random, 30.0, 168.0);
            [Stage::Steady, stage_by_age(child.age_months)]
                .map(|stage| child.taped(Tape::Home, stage, &mut random))
        })
        .flatten()
        .collect()
}

#[test]
fn a_key_left_out_makes_no_pair_fit() {
    let bikes = &SAMPLES.0;
    let removed: usize = bikes.iter().map(|(_, less)| less.len()).sum();
    assert!(removed > 250, "only {removed} keys can be left out");
    let by_exact_figures = common::options();
    let better: Vec<_> = riders(100)
        .into_par_iter()
        .flat_map_iter(|rider| {
            let assessor = Assessor::new(&rider, by_exact_figures);
            let mut better = Vec::new();
            for (whole, less) in bikes {
                let before = assessor.assess(whole).verdict;
                if before.fits() {
                    continue;
                }
                for (key, bike) in less {
                    if assessor.assess(bike).verdict.fits() {
                        better.push(format!("{} without {key}: {before} becomes fits", whole.id));
                    }
                }
            }
            better
        })
        .collect();
    let mut told = better.clone();
    told.sort();
    told.dedup();
    assert!(told.is_empty(), "{} pairs: {told:#?}", better.len());
}

#[test]
fn a_key_left_out_makes_no_undecided_pair_fit_and_no_likely_one_sure() {
    let bikes = &SAMPLES.0;
    let options = Options {
        forecast: false,
        ..Options::new(common::options().on)
    };
    // How good an answer is, where it is no plain no.
    let rank = |fit: &Fit| match fit.verdict {
        Verdict::Undecided => Some(Confidence::TooCloseToCall),
        Verdict::Fits => fit.confidence(),
        _ => None,
    };
    let better: Vec<_> = riders(8)
        .into_par_iter()
        .flat_map_iter(|rider| {
            let assessor = Assessor::new(&rider, options).screening();
            let mut better = Vec::new();
            for (whole, less) in bikes {
                let before = rank(&assessor.assess(whole));
                if before.is_none_or(|before| before == Confidence::Sure) {
                    continue;
                }
                let after = less
                    .iter()
                    .map(|(key, bike)| (key, rank(&assessor.assess(bike))));
                let is_better = after.map(|(key, after)| (after > before).then_some(key));
                better.push(
                    is_better
                        .flatten()
                        .map(|key| format!("{} without {key}", whole.id))
                        .collect(),
                );
            }
            better
        })
        .collect::<Vec<Vec<_>>>();
    assert!(
        better.len() >= 10,
        "only {} pairs are in doubt",
        better.len()
    );
    let better: Vec<_> = better.concat();
    assert!(better.is_empty(), "{better:#?}");
}

#[test]
fn a_key_left_out_ranks_no_bike_before_its_whole_self() {
    ranks_no_bike_before_its_whole_self(10, common::options(), Verdict::Fits, 500);
}

#[test]
fn a_key_left_out_ranks_no_undecided_bike_before_its_whole_self() {
    let by_chance = Options {
        forecast: false,
        ..Options::new(common::options().on)
    };
    ranks_no_bike_before_its_whole_self(6, by_chance, Verdict::Undecided, 100);
}

fn ranks_no_bike_before_its_whole_self(
    children: u64,
    options: Options,
    verdict: Verdict,
    at_least: usize,
) {
    let bikes = &SAMPLES.0;
    let firsts: Vec<_> = riders(children)
        .into_par_iter()
        .flat_map_iter(|rider| {
            let mut firsts = Vec::new();
            for (whole, less) in bikes {
                if Assessor::new(&rider, options).assess(whole).verdict != verdict {
                    continue;
                }
                firsts.extend(less.iter().map(|(key, bike)| {
                    let pair = [Arc::clone(whole), Arc::clone(bike)];
                    let sizing = size(&rider, &pair, options, || ());
                    // Where nothing tells them apart, either may be first.
                    let first = &sizing.bikes[0];
                    let is_tie = first.why == Some(Why::Name);
                    (!is_tie && !Arc::ptr_eq(&first.fit.bike, whole))
                        .then(|| format!("{} without {key}: {:?}", whole.id, first.why))
                }));
            }
            firsts
        })
        .collect();
    assert!(firsts.len() > at_least, "only {} pairs", firsts.len());
    let firsts: Vec<_> = firsts.into_iter().flatten().collect();
    assert!(firsts.is_empty(), "{firsts:#?}");
}

fn brake(kind: BrakeKind) -> Brake {
    Brake { kind, reach: None }
}

#[test]
fn brakes_are_judged_by_what_is_there() {
    // ISO 8098 and many rules: two independent brakes. 16 CFR 1512.5(a): a rear one (from memory).
    let child = rider("height: 1060\nage: 5y\nweight: 19");
    let with = |front: Option<Brake>, rear: Option<Brake>| {
        let mut changed = spec(STREET_16);
        changed.brakes = changed.brakes.map(|mut brakes| {
            brakes.front = front.unwrap_or(brakes.front);
            brakes.rear = rear.unwrap_or(brakes.rear);
            brakes
        });
        fit(&child, &common::bike(changed))
    };
    let none = || Some(brake(BrakeKind::None));
    let coaster = || Some(brake(BrakeKind::Coaster));
    for (name, fit, status, verdict) in [
        ("both", with(None, None), Status::Ok, Verdict::Fits),
        (
            "coaster and hand",
            with(None, coaster()),
            Status::Ok,
            Verdict::Fits,
        ),
        (
            "coaster alone",
            with(none(), coaster()),
            Status::Caution,
            Verdict::Fits,
        ),
        (
            "rear alone",
            with(none(), None),
            Status::Caution,
            Verdict::Fits,
        ),
        (
            "front alone",
            with(None, none()),
            Status::Fail(Misfit::NotSize),
            Verdict::Unsuitable,
        ),
        (
            "none",
            with(none(), none()),
            Status::Fail(Misfit::NotSize),
            Verdict::Unsuitable,
        ),
    ] {
        assert_eq!(finding(&fit, CheckId::Brakes).status(), status, "{name}");
        assert_eq!(fit.verdict, verdict, "{name}");
    }
    let mut unsaid = spec(STREET_16);
    unsaid.brakes = None;
    let fit = fit(&child, &common::bike(unsaid));
    assert!(
        matches!(finding(&fit, CheckId::Brakes).status(), Status::NotChecked(missing) if missing.is_decisive)
    );
    assert_eq!(fit.verdict, Verdict::Incomplete);
    assert!(
        fit.undone()
            .any(|(check, needs)| check == CheckId::Brakes && needs == "brakes")
    );
}

#[test]
fn without_a_top_tube_the_standover_is_asked_for_where_it_decides() {
    let whole = common::bike(spec(TRAIL_24));
    let mut open = spec(TRAIL_24);
    open.frame.top_tube = TopTube::default();
    open.published = None;
    let open = common::bike(open);
    let sd = open
        .doubt
        .as_ref()
        .expect("no top tube")
        .sd(Figure::Standover);
    for stage in Stage::ALL {
        let mut asked = 0;
        for inseam in (560..760).step_by(5) {
            let child = rider(&format!("inseam: {inseam}\nage: 10y\nstage: {stage}"));
            let [before, after] = [&whole, &open].map(|bike| fit(&child, bike));
            // The tube that is there may stand anywhere that such frames have it: never a yes from a no.
            if after.verdict.fits() {
                assert!(before.verdict.fits(), "{stage} {inseam}");
            }
            let asks = after
                .undone()
                .any(|(check, needs)| check == CheckId::Standover && needs == "measured.standover");
            // Where such frames stand on both sides of the one inch that 16 CFR 1512.19(c) wants, none is chosen.
            let air = f64::from(inseam) + 15.0 - open.layout.standover_mm();
            if (air - 25.0).abs() < 0.5 * sd {
                assert!(asks, "{stage} {inseam}");
            }
            if asks {
                asked += 1;
                assert!(!after.verdict.fits(), "{stage} {inseam}");
            }
        }
        assert!(asked > 0, "{stage}");
        // What rules a bike out rules it out, whatever else is unknown.
        let small = rider(&format!("height: 1100\nage: 6y\nstage: {stage}"));
        assert_eq!(fit(&small, &open).verdict, Verdict::TooBig, "{stage}");
    }
}

#[test]
fn what_decides_nothing_is_asked_for_and_costs_no_verdict() {
    type Change = fn(&mut FrameSpec);
    let child = rider(common::RIDER);
    let cases: [(CheckId, Change); 5] = [
        (CheckId::ToeClearance, |spec| {
            spec.cranks.as_mut().expect("cranks").q_factor = None;
        }),
        (CheckId::PedalLean, |spec| {
            spec.cranks.as_mut().expect("cranks").pedal_width = None;
        }),
        (CheckId::BarWidth, |spec| {
            spec.cockpit.handlebar.width = None;
        }),
        (CheckId::BikeWeight, |spec| spec.weight = None),
        (CheckId::BrakeLever, |spec| {
            for brake in spec
                .brakes
                .iter_mut()
                .flat_map(|both| [&mut both.front, &mut both.rear])
            {
                brake.reach = None;
            }
        }),
    ];
    for (check, change) in cases {
        let mut changed = spec(TRAIL_24);
        change(&mut changed);
        let fit = fit(&child, &common::bike(changed));
        assert!(
            matches!(finding(&fit, check).status(), Status::NotChecked(missing) if !missing.is_decisive || check == CheckId::BrakeLever),
            "{}",
            check.name()
        );
        if check != CheckId::BrakeLever {
            assert_eq!(fit.verdict, Verdict::Fits, "{}", check.name());
        }
    }
}

#[test]
fn a_rider_of_no_known_weight_is_not_told_that_a_light_bike_bears_them() {
    let sample = spec(TRAIL_24);
    let verdict = |limit_kg: f64, weight: &str| {
        let mut spec = sample.clone();
        spec.load_limit = Some(inseam::units::Mass::from_kg(limit_kg));
        let rider = rider(&format!("height: 1380\ninseam: 660\n{weight}"));
        let bike = Arc::new(Bike::new("limited", spec).expect("a bike"));
        fit(&rider, &bike).verdict
    };
    // A body-mass index of 25 is 47.6 kg at 1.38 m; with a bag few of that height need more than 60.
    assert_eq!(verdict(60.0, ""), Verdict::Fits);
    assert_eq!(verdict(40.0, ""), Verdict::Incomplete);
    assert_eq!(verdict(40.0, "weight: 28 kg"), Verdict::Fits);
    assert_eq!(verdict(40.0, "weight: 45 kg"), Verdict::Unsuitable);
}

#[test]
fn a_heavy_rider_is_told_where_no_load_limit_is_given() {
    // ISO 4210-1: young adults' bicycles, saddles up to 750 mm, are for riders under 40 kg (from memory).
    let sample = spec(TRAIL_24);
    let status = |limit_kg: Option<f64>, weight: &str| {
        let mut spec = sample.clone();
        spec.load_limit = limit_kg.map(inseam::units::Mass::from_kg);
        let rider = rider(&format!("height: 1380\ninseam: 660\n{weight}"));
        fit(&rider, &common::bike(spec))
            .finding(CheckId::Load)
            .map(|found| found.status())
    };
    assert_eq!(status(None, "weight: 32 kg"), None);
    assert_eq!(status(None, ""), None);
    assert_eq!(status(None, "weight: 118 kg"), Some(Status::Caution));
    assert_eq!(status(Some(130.0), "weight: 118 kg"), Some(Status::Ok));
    let unsuitable = Status::Fail(Misfit::NotSize);
    assert_eq!(status(Some(100.0), "weight: 118 kg"), Some(unsuitable));
}

/// A sample drawn in full, with a figure that a tape took of it.
fn taped(id: &str, figure: &str) -> Arc<Bike> {
    let (_, text) = library::SAMPLES
        .iter()
        .find(|(known, _)| *known == id)
        .unwrap();
    let text = format!("{text}\nmeasured: {{{figure}}}\n");
    Arc::new(library::read(id, &Document::from_text(id, text)).unwrap())
}

#[test]
fn a_tape_that_contradicts_the_drawing_leaves_neither_yes_nor_no() {
    let file = "height: 1380\ninseam: 660\n";
    let rider = common::rider(file);
    for (figure, check) in [
        // 75 mm above the drawing's: by the tape 10 mm of air are left.
        ("standover: 665", CheckId::Standover),
        // 80 mm below: the mark would be out at the saddle that the drawing allows.
        ("seat_height_highest: 730", CheckId::SaddleHeight),
        ("seat_height_lowest: 720", CheckId::SaddleHeight),
    ] {
        let bike = taped("trail-24", figure);
        assert!(!bike.mismatches.is_empty(), "{figure}");
        let fit = assess(&rider, &bike, &common::options());
        assert_eq!(fit.verdict, Verdict::Incomplete, "{figure}");
        assert!(fit.undone().any(|(undone, _)| undone == check), "{figure}");
    }
    // What agrees, or decides nothing, changes nothing.
    let plain = assess(
        &rider,
        &library::sample("trail-24").unwrap(),
        &common::options(),
    );
    assert!(plain.verdict.fits());
    for figure in ["standover: 590", "wheelbase: 900"] {
        let fit = assess(&rider, &taped("trail-24", figure), &common::options());
        assert_eq!(fit.verdict, plain.verdict, "{figure}");
    }
}

#[test]
fn a_chart_against_the_drawing_and_the_tape_decides_nothing_unless_the_tape_cannot_tell() {
    let (_, text) = library::SAMPLES
        .iter()
        .find(|(known, _)| *known == "trail-20")
        .unwrap();
    let chart_line = "published: {wheelbase: 895, standover: 530}\n";
    assert!(text.contains(chart_line));
    let text = text.replace(chart_line, "");
    let rider = common::rider("height: 1240\ninseam: 580\n");
    let verdict = |figures: &str| {
        let text = format!("{text}{figures}");
        let document = Document::from_text("trail-20", &text);
        let bike = Arc::new(library::read("trail-20", &document).unwrap());
        assert_eq!(bike.mismatches.len(), 1, "{figures}");
        let fit = assess(&rider, &bike, &common::options());
        (fit.verdict, inseam::fit::bike_doubt::what_next(&bike))
    };
    // The drawing has 529 mm.
    let chart = "published: {standover: 580}\n";
    let asked = (Verdict::Incomplete, Some("published.standover"));
    assert_eq!(verdict(chart), asked);
    let (confirmed, next) = verdict(&format!("{chart}measured: {{standover: 529 ± 2 mm}}\n"));
    assert!(confirmed.fits(), "{confirmed:?}");
    assert_eq!(next, None);
    let vague = verdict(&format!("{chart}measured: {{standover: 529 ± 30 mm}}\n"));
    assert_eq!(vague, asked);
}

#[test]
fn a_doubted_grip_is_no_ground_for_a_reach() {
    let rider = common::rider("height: 1380\ninseam: 660\n");
    let fit = assess(
        &rider,
        &taped("trail-24", "grip_height: 600"),
        &common::options(),
    );
    let reach = fit.finding(CheckId::Reach).unwrap();
    assert!(matches!(reach.status(), Status::NotChecked(_)), "{reach:?}");
}
