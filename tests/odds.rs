//! How sure a verdict is: held against a plain Monte Carlo with body lines of its own, against sums of squares by
//! hand, and against itself with more draws and more threads.

mod common;

use std::sync::Arc;

use approx::assert_abs_diff_eq;
use common::children::PlainRandom;
use inseam::bike::library;
use inseam::fit::checks::measure;
use inseam::fit::odds::odds as odds_over;
use inseam::fit::{CheckId, Confidence, Odds, Pair, Status, Verdict};
use inseam::rider::draws::{self, Deviates};
use inseam::rider::{Body, Measured, MeasuredBy, Measurement, RiderFile, Segment, Stage};
use inseam::{Assessor, Bike, Fit, Options, Rider, assess};
use jiff::civil::date;

fn options(exact: bool) -> Options {
    Options {
        on: date(2026, 3, 1),
        exact,
        forecast: false,
    }
}

fn file(height: f64) -> RiderFile {
    RiderFile {
        height: Some(Measured::from_mm(height)),
        inseam: Some(Measured::from_mm(0.593 * height - 158.0)),
        ..RiderFile::default()
    }
}

fn rider(file: &RiderFile) -> Arc<Rider> {
    Arc::new(Rider::new(file, options(false).on).expect("a rider that can be"))
}

fn trail_24() -> Arc<Bike> {
    library::sample("trail-24").expect("a sample bike")
}

/// Riders on both edges of the sample bike's range, and inside it, at every stage.
fn riders() -> Vec<Arc<Rider>> {
    let mut riders = Vec::new();
    for stage in [Stage::Learning, Stage::Steady, Stage::Confident] {
        for height in [1290.0, 1330.0, 1400.0, 1470.0, 1500.0] {
            let mut file = file(height);
            file.stage = Some(stage);
            riders.push(rider(&file));
        }
    }
    riders
}

/// One possible body of a rider known by height and inseam, taken at home: tape and lines as the design has them,
/// written here a second time. Lines: Snyder et al. 1977, on stature and on 1.01 × (stature − sitting height).
fn possible_body(height: f64, inseam: f64, random: &mut PlainRandom) -> Body {
    let mut around = |mean: f64, sd: f64| mean + sd * random.normal();
    let height = around(height, 4.0);
    let inseam = around(inseam, 8.0);
    let arm_reach = around(0.419 * height - 44.0, 0.012 * height);
    let hip = around(1.065 * inseam, 18.0);
    let knee = around(0.547 * inseam + 0.013 * height, 14.0);
    let ankle = around(0.0397 * height, 7.0);
    let foot = around(9.3 + 0.149 * height, 8.0);
    let seat = around(hip - inseam / 1.01, 0.018 * inseam);
    let shoulder = around(-111.5 + 0.8826 * height, 11.0);
    Body {
        hip_height_mm: hip,
        knee_height_mm: knee,
        ankle_height_mm: ankle,
        thigh_mm: hip - knee,
        shank_mm: knee - ankle,
        foot_length_mm: foot,
        hip_above_saddle_mm: seat,
        shoulder_height_mm: shoulder,
        torso_mm: shoulder - hip,
        upper_arm_mm: 0.476 * arm_reach,
        forearm_mm: 0.524 * arm_reach,
        hand_length_mm: around(8.5 + 0.1031 * height, 6.0),
        shoulder_breadth_mm: around(33.7 + 0.194 * height, 12.0),
        ankle_to_ball_mm: 0.49 * foot,
        sole_mm: 15.0,
        inseam_mm: inseam,
        height_mm: height,
    }
}

fn odds(rider: &Rider, bike: &Bike, bodies: &[Body]) -> Odds {
    let body = rider.body();
    let exact = measure(&Pair::new(bike, &body, rider.stage, rider.weight));
    // A full drawing leaves no check open.
    odds_over(rider, bodies, bike, &exact, &[])
}

fn largest_difference(a: &Odds, b: &Odds) -> f64 {
    let checks = a.checks.iter().zip(&b.checks);
    checks
        .map(|(a, b)| (a.chance - b.chance).abs())
        .fold((a.chance - b.chance).abs(), f64::max)
}

#[test]
fn chances_equal_a_plain_monte_carlo_of_40_000_draws() {
    let bike = trail_24();
    let mut random = PlainRandom(7);
    // Pairs near each edge: enough to see a wrong model.
    for rider in riders().into_iter().filter(|rider| {
        matches!(rider.height.mm(), 1330.0 | 1470.0) && rider.stage != Stage::Learning
    }) {
        let plain: Vec<Body> = (0..40_000)
            .map(|_| possible_body(rider.height.mm(), rider.inseam.mm(), &mut random))
            .collect();
        let drawn = draws::draw(&rider, draws::DRAWS);
        let difference =
            largest_difference(&odds(&rider, &bike, &drawn), &odds(&rider, &bike, &plain));
        assert!(difference <= 0.02, "{rider:?}: off by {difference}");
    }
}

#[test]
fn doubling_the_draws_moves_no_chance_by_more_than_a_hundredth() {
    for bike in library::samples() {
        for rider in riders() {
            let once = odds(&rider, &bike, &draws::draw(&rider, draws::DRAWS));
            let twice = odds(&rider, &bike, &draws::draw(&rider, 2 * draws::DRAWS));
            let difference = largest_difference(&once, &twice);
            assert!(difference <= 0.01, "{}, {rider:?}: {difference}", bike.id);
        }
    }
}

#[test]
fn standover_is_as_uncertain_as_the_inseam() {
    for (by, sd) in [(MeasuredBy::Parent, 8.0), (MeasuredBy::Shop, 5.0)] {
        let mut file = file(1400.0);
        file.measured_by = Some(by);
        let fit = assess(&rider(&file), &trail_24(), &options(false));
        let standover = fit
            .finding(CheckId::Standover)
            .and_then(|finding| finding.odds?.sd);
        assert_abs_diff_eq!(standover.expect("a spread"), sd, epsilon = 0.02 * sd);
    }
}

#[test]
fn a_spread_given_with_the_inseam_is_the_one_used() {
    let mut file = file(1400.0);
    file.inseam = Some("672 mm ± 3 mm".parse().expect("a measurement"));
    let fit = assess(&rider(&file), &trail_24(), &options(false));
    let standover = fit
        .finding(CheckId::Standover)
        .and_then(|finding| finding.odds?.sd);
    assert_abs_diff_eq!(standover.expect("a spread"), 3.0, epsilon = 0.06);
}

#[test]
fn saddle_spread_is_the_root_of_the_summed_squares_for_the_leg_extension_rule() {
    let bike = trail_24();
    let mut file = file(1400.0);
    file.stage = Some(Stage::Confident);
    let rider = rider(&file);
    let none = Deviates {
        height: 0.0,
        inseam: 0.0,
        arm_reach: 0.0,
        segments: [0.0; Segment::ALL.len()],
        age: 0.0,
    };
    let target = |deviates: &Deviates| {
        let body = draws::body(&rider, &draws::Doubts::of(&rider), deviates);
        let pair = Pair::new(&bike, &body, Stage::Confident, None);
        pair.saddle_band().expect("a leg that reaches").target_mm
    };
    // By hand: half the change from minus to plus one standard deviation of each source, squared and summed.
    let half_change = |set: &dyn Fn(&mut Deviates, f64)| {
        let (mut plus, mut minus) = (none, none);
        set(&mut plus, 1.0);
        set(&mut minus, -1.0);
        (target(&plus) - target(&minus)) / 2.0
    };
    let mut squares = half_change(&|d, z| d.height = z).powi(2)
        + half_change(&|d, z| d.inseam = z).powi(2)
        + half_change(&|d, z| d.arm_reach = z).powi(2);
    for index in 0..Segment::ALL.len() {
        squares += half_change(&|d, z| d.segments[index] = z).powi(2);
    }
    let fit = assess(&rider, &bike, &options(false));
    let spread = fit
        .odds
        .expect("chances")
        .saddle_height_sd_mm
        .expect("a spread");
    assert_abs_diff_eq!(spread, squares.sqrt(), epsilon = 0.05 * squares.sqrt());
}

#[test]
fn every_thread_says_the_same() {
    let (bike, rider) = (trail_24(), rider(&file(1470.0)));
    let alone = assess(&rider, &bike, &options(false));
    std::thread::scope(|scope| {
        let together: Vec<_> = (0..4)
            .map(|_| scope.spawn(|| assess(&rider, &bike, &options(false))))
            .collect();
        for other in together {
            assert_eq!(other.join().expect("a fit"), alone);
        }
    });
}

#[test]
fn without_any_doubt_the_verdict_is_the_exact_one() {
    for bike in library::samples() {
        for rider in riders() {
            let body = rider.body();
            let certain = |mm: f64| {
                Some(Measured {
                    value: inseam::units::Length::from_mm(mm),
                    spread: Some(inseam::units::Length::from_mm(0.0)),
                })
            };
            let mut known = Rider::clone(&rider);
            for segment in Segment::ALL {
                known.segments[segment as usize] = certain(body.segment_mm(segment));
            }
            known.estimated = inseam::rider::person::Estimated::default();
            known.height = certain(rider.height.mm()).unwrap();
            known.inseam = certain(rider.inseam.mm()).unwrap();
            known.arm_reach = certain(rider.arm_reach.mm()).unwrap();
            let known = Arc::new(known);
            let doubtful = assess(&known, &bike, &options(false));
            let exact = assess(&known, &bike, &options(true));
            assert_eq!(doubtful.verdict, exact.verdict);
            assert_eq!(
                doubtful.odds.map(|odds| odds.chance),
                Some(1.0),
                "{}: {known:?}",
                bike.id
            );
            assert_eq!(exact.odds, None);
        }
    }
}

#[test]
fn a_measured_segment_never_widens_a_finding() {
    let bike = trail_24();
    for plain in riders() {
        let body = plain.body();
        let before = assess(&plain, &bike, &options(false));
        for segment in Segment::ALL {
            let mut measured = Rider::clone(&plain);
            measured.segments[segment as usize] = Some(Measured::from_mm(body.segment_mm(segment)));
            let after = assess(&Arc::new(measured), &bike, &options(false));
            let sureness = |fit: &Fit| (fit.odds.expect("chances").chance - 0.5).abs();
            assert!(
                sureness(&after) >= sureness(&before) - 0.02,
                "{segment:?} makes the pair less sure"
            );
            for (a, b) in before.findings().zip(after.findings()) {
                let [a_sd, b_sd] = [a, b].map(|finding| finding.odds.and_then(|odds| odds.sd));
                let (Some(a_sd), Some(b_sd)) = (a_sd, b_sd) else {
                    continue;
                };
                // Five per cent: draws are finite, and a hip read apart from the inseam no longer shares its error.
                let slack = 0.05 * a_sd + 1e-9;
                assert!(
                    b_sd <= a_sd + slack,
                    "{segment:?} widens {}: {a_sd} to {b_sd}",
                    a.id.name()
                );
            }
        }
    }
}

#[test]
fn too_close_to_call_names_a_measurement_that_settles_it() {
    let bike = trail_24();
    let rider = rider(&file(1478.0));
    let fit = assess(&rider, &bike, &options(false));
    let again = fit
        .odds
        .and_then(|odds| odds.remeasure)
        .expect("a pair on the edge");
    assert_eq!(
        (again.asked.key(), again.decides),
        (Measurement::Inseam.key(), CheckId::LegRoom)
    );
    assert!(
        again.words().contains("measure the inseam again"),
        "{}",
        again.words()
    );
    // A shop's careful reading of it, and of the joints, leaves less in doubt.
    let mut careful = Rider::clone(&rider);
    careful.measured_by = MeasuredBy::Shop;
    let careful = Arc::new(careful);
    let spread = |rider: &Arc<Rider>| {
        let fit = assess(rider, &bike, &options(false));
        fit.finding(CheckId::LegRoom)
            .and_then(|finding| finding.odds?.sd)
            .expect("a spread")
    };
    assert!(spread(&careful) < spread(&rider));
}

#[test]
fn screening_changes_no_verdict_and_no_close_call() {
    for rider in riders() {
        let (full, quick) = (
            Assessor::new(&rider, options(false)),
            Assessor::new(&rider, options(false)).screening(),
        );
        for bike in library::samples() {
            let (full, quick) = (full.assess(&bike), quick.assess(&bike));
            assert_eq!(full.verdict, quick.verdict);
            let is_close = |fit: &Fit| fit.confidence() == Some(Confidence::TooCloseToCall);
            assert_eq!(is_close(&full), is_close(&quick), "{}: {rider:?}", bike.id);
            assert_eq!(
                full.confidence(),
                quick.confidence(),
                "{}: {rider:?}",
                bike.id
            );
        }
    }
}

/// Of one bike standover fails by 9 mm and the ground is missed by 1: the first is the surer reason of the two.
#[test]
fn what_is_too_close_to_call_names_the_check_that_fails_most_surely() {
    let rider = common::rider("{height: 1280}");
    let bike = library::sample("street-24").unwrap();
    let fit = assess(&rider, &bike, &Options::new(date(2026, 3, 1)));
    assert_eq!(fit.verdict, Verdict::Undecided);
    let fails: Vec<_> = fit
        .findings()
        .filter(|finding| matches!(finding.status(), Status::Fail(_)))
        .map(|finding| (finding.id, finding.odds.unwrap().chance))
        .collect();
    assert!(fails.len() > 1, "{fails:?}");
    let surest = fails.iter().max_by(|one, other| one.1.total_cmp(&other.1));
    let decides = fit.odds.unwrap().remeasure.unwrap().decides;
    assert_eq!(Some(decides), surest.map(|(id, _)| *id));
    assert_eq!(decides, CheckId::Standover);
}

/// The child's leg at this height is some 50 mm longer than a grown-up's: the bike is too big for the one only.
#[test]
fn where_the_age_decides_it_is_asked_for_and_no_check_is_surer_than_the_verdict() {
    let bike = library::sample("trail-27").expect("a sample bike");
    let told = |age: Option<f64>| {
        let file = RiderFile {
            height: Some(Measured::from_mm(1532.0)),
            age: age.map(inseam::units::Age::from_months),
            ..RiderFile::default()
        };
        assess(&rider(&file), &bike, &options(false))
    };
    let open = told(None);
    assert_eq!(open.verdict, Verdict::Undecided);
    assert!(open.turns_on_age());
    let contact = open.finding(CheckId::GroundContact).unwrap();
    assert!(matches!(contact.status(), Status::Fail(_)), "{contact:?}");
    let (of_check, of_pair) = (contact.odds.unwrap().chance, open.odds.unwrap().chance);
    assert_abs_diff_eq!(of_check, of_pair, epsilon = 0.02);
    let layout = inseam::report::terminal::Layout {
        columns: 1000,
        units: inseam::Units::Mm,
    };
    let text = inseam::report::text::fit(&open, layout);
    assert!(
        text.contains("(it depends on the age)") && text.contains("Give the age: "),
        "{text}"
    );
    assert!(
        !text.contains("leans to") && !text.contains("that it is too big"),
        "{text}"
    );
    // Whoever says the age is not asked for it.
    for months in [144.0, 480.0] {
        assert!(!told(Some(months)).turns_on_age());
    }
}

/// Of nine even quantiles of a normal distribution, which readings would decide a pair that no tape has settled yet.
fn share_decided(bike: &str, given: &RiderFile, read: impl Fn(&mut RiderFile, f64)) -> f64 {
    // Φ⁻¹ of 0.1, 0.2 … 0.9: from tables of the normal distribution.
    const DEVIATES: [f64; 9] = [
        -1.2816, -0.8416, -0.5244, -0.2533, 0.0, 0.2533, 0.5244, 0.8416, 1.2816,
    ];
    let bike = library::sample(bike).expect("a sample bike");
    let decided = DEVIATES.into_iter().filter(|deviate| {
        let mut file = RiderFile {
            measured_by: Some(MeasuredBy::Shop),
            ..given.clone()
        };
        read(&mut file, *deviate);
        assess(&rider(&file), &bike, &options(false)).verdict != Verdict::Undecided
    });
    decided.count() as f64 / DEVIATES.len() as f64
}

#[test]
fn a_measurement_is_said_to_decide_where_taking_it_does() {
    let settles = |bike: &str, file: &RiderFile, of| {
        let bike = library::sample(bike).expect("a sample bike");
        let fit = assess(&rider(file), &bike, &options(false));
        let again = fit.odds.and_then(|odds| odds.remeasure).expect("undecided");
        assert_eq!(again.asked.key(), of);
        let says_so = again.words().contains("it decides");
        assert_eq!(says_so, again.settles >= 0.8, "{}", again.words());
        says_so
    };
    // A leg nobody measured, about 601 ± 17 mm of 1280, and a bike that hangs on its standover.
    let tall = RiderFile {
        height: Some(Measured::from_mm(1280.0)),
        ..RiderFile::default()
    };
    assert!(settles("street-24", &tall, "inseam"));
    let leg =
        |file: &mut RiderFile, z: f64| file.inseam = Some(Measured::from_mm(601.0 + 17.0 * z));
    assert!(share_decided("street-24", &tall, leg) >= 0.75);
    // A leg that is measured, and a crank that hangs on a hip at about 447 ± 18 mm.
    let small = RiderFile {
        height: Some(Measured::from_mm(970.0)),
        inseam: Some(Measured::from_mm(420.0)),
        ..RiderFile::default()
    };
    assert!(!settles("coaster-16", &small, "hip_height"));
    let hip =
        |file: &mut RiderFile, z: f64| file.hip_height = Some(Measured::from_mm(447.0 + 18.0 * z));
    assert!(share_decided("coaster-16", &small, hip) < 0.75);
}

#[test]
fn a_saddle_told_from_the_ground_carries_the_doubt_of_the_leg_and_not_of_the_bracket() {
    let text = "name: Used\nstyle: street\ntyres: {front: 47-406, rear: 47-406}\n\
                measured: {seat_height_highest: 72 cm}\n\
                brakes: {front: {kind: hand}, rear: {kind: coaster}}\n";
    let document = inseam::file::Document::from_text("used", text);
    let bike = Arc::new(library::read("used", &document).expect("a bike"));
    let file = RiderFile {
        height: Some(Measured::from_mm(1280.0)),
        inseam: Some(Measured::from_mm(600.0)),
        ..RiderFile::default()
    };
    let fit = assess(&rider(&file), &bike, &options(false));
    assert!(fit.bike.tells_saddle_from_ground());
    // Ground to saddle is leg and sole: nothing of the bike is in it, and a parent's tape reads a leg to 8 mm.
    let sd = fit.saddle_told_sd_mm().expect("a spread");
    assert_abs_diff_eq!(sd, 8.0, epsilon = 0.5);
    assert!(
        fit.odds
            .and_then(|odds| odds.saddle_height_sd_mm)
            .expect("a spread")
            > 15.0
    );
}
