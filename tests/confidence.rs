//! How sure a verdict is: held against a plain Monte Carlo, against sums of squares by hand, and
//! against itself with more draws and more threads.

use approx::assert_abs_diff_eq;
use inseam::bike::library;
use inseam::fit::{Pair, confidence, measure};
use inseam::rider::draws::{self, Deviates};
use inseam::rider::{Body, Measured, MeasuredBy, RiderFile, Segment, Stage};
use inseam::{Assessor, Bike, Options, Rider, Units, assess};
use jiff::civil::date;

fn options(exact: bool) -> Options {
    Options {
        on: date(2026, 3, 1),
        units: Units::Mm,
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

fn rider(file: &RiderFile) -> Rider {
    Rider::new(file, options(false).on).expect("a rider that can be")
}

fn trail_24() -> Bike {
    library::sample("trail-24").expect("a sample bike")
}

/// Riders on both edges of the sample bike's range, and inside it, at every stage.
fn riders() -> Vec<Rider> {
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

/// Deviates from a small well-known generator (`SplitMix64`, Steele et al. 2014) by Box and Muller:
/// nothing in common with the low-discrepancy points under test.
struct PlainRandom(u64);

impl PlainRandom {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        let (a, b) = (1.0 - self.share(), self.share());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }

    fn body(&mut self, rider: &Rider) -> Body {
        let deviates = Deviates {
            height: self.normal(),
            inseam: self.normal(),
            arm_reach: self.normal(),
            segments: std::array::from_fn(|_| self.normal()),
        };
        draws::body(rider, &deviates)
    }
}

fn odds(rider: &Rider, bike: &Bike, bodies: &[Body]) -> confidence::Odds {
    let body = Body::of(rider);
    let exact = measure(&Pair::new(bike, &body, rider.stage, rider.weight));
    confidence::odds(rider, bodies, bike, &exact, None)
}

fn largest_difference(a: &confidence::Odds, b: &confidence::Odds) -> f64 {
    let checks = a.checks.iter().zip(&b.checks);
    checks
        .map(|(a, b)| (a.chance - b.chance).abs())
        .fold((a.chance - b.chance).abs(), f64::max)
}

#[test]
fn chances_equal_a_plain_monte_carlo_of_200_000_draws() {
    let bike = trail_24();
    let mut random = PlainRandom(7);
    // Pairs near each edge: enough to see a wrong model.
    for rider in riders().into_iter().filter(|rider| {
        matches!(rider.height.mm(), 1330.0 | 1470.0) && rider.stage != Stage::Learning
    }) {
        let plain: Vec<Body> = (0..200_000).map(|_| random.body(&rider)).collect();
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
        let standover = fit.finding("standover").and_then(|finding| finding.sd);
        assert_abs_diff_eq!(standover.expect("a spread"), sd, epsilon = 0.02 * sd);
    }
}

#[test]
fn a_spread_given_with_the_inseam_is_the_one_used() {
    let mut file = file(1400.0);
    file.inseam = Some("672 mm ± 3 mm".parse().expect("a measurement"));
    let fit = assess(&rider(&file), &trail_24(), &options(false));
    let standover = fit.finding("standover").and_then(|finding| finding.sd);
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
    };
    let target = |deviates: &Deviates| {
        let body = draws::body(&rider, deviates);
        let pair = Pair::new(&bike, &body, Stage::Confident, None);
        bike.post
            .saddle_height_mm(pair.band.expect("a leg that reaches").target)
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
    let spread = fit.setting.saddle_height_sd_mm.expect("a spread");
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
            let body = Body::of(&rider);
            let certain = |mm: f64| {
                Some(Measured {
                    value: inseam::units::Length::from_mm(mm),
                    spread: Some(inseam::units::Length::from_mm(0.0)),
                })
            };
            let mut known = rider.clone();
            for segment in Segment::ALL {
                known.segments[segment as usize] = certain(body.segment_mm(segment));
            }
            known.estimated = inseam::rider::measures::Estimated::default();
            known.height = certain(rider.height.mm()).unwrap();
            known.inseam = certain(rider.inseam.mm()).unwrap();
            known.arm_reach = certain(rider.arm_reach.mm()).unwrap();
            let doubtful = assess(&known, &bike, &options(false));
            let exact = assess(&known, &bike, &options(true));
            assert_eq!(doubtful.verdict, exact.verdict);
            assert_eq!(doubtful.chance, Some(1.0), "{}: {known:?}", bike.id);
            assert_eq!(exact.chance, None);
        }
    }
}

#[test]
fn a_measured_segment_never_widens_a_finding() {
    let bike = trail_24();
    for plain in riders() {
        let body = Body::of(&plain);
        let before = assess(&plain, &bike, &options(false));
        for segment in Segment::ALL {
            let mut measured = plain.clone();
            measured.segments[segment as usize] = Some(Measured::from_mm(body.segment_mm(segment)));
            let after = assess(&measured, &bike, &options(false));
            let sureness = |fit: &inseam::Fit| (fit.chance.expect("a chance") - 0.5).abs();
            assert!(
                sureness(&after) >= sureness(&before) - 0.02,
                "{segment:?} makes the pair less sure"
            );
            for (a, b) in before.findings.iter().zip(&after.findings) {
                let (Some(a_sd), Some(b_sd)) = (a.sd, b.sd) else {
                    continue;
                };
                // Five per cent: draws are finite, and a hip read apart from the inseam no longer shares its error.
                let slack = 0.05 * a_sd + 1e-9;
                assert!(
                    b_sd <= a_sd + slack,
                    "{segment:?} widens {}: {a_sd} to {b_sd}",
                    a.check
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
    let again = fit.remeasure.expect("a pair on the edge");
    assert_eq!((again.measurement, again.decides), ("inseam", "leg_room"));
    assert!(
        again.advice.contains("measure the inseam again"),
        "{}",
        again.advice
    );
    // A shop's careful reading of it, and of the joints, leaves less in doubt.
    let mut careful = rider.clone();
    careful.measured_by = MeasuredBy::Shop;
    let spread = |rider: &Rider| {
        let fit = assess(rider, &bike, &options(false));
        fit.finding("leg_room")
            .and_then(|finding| finding.sd)
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
            assert_eq!(full.confidence, quick.confidence, "{}: {rider:?}", bike.id);
        }
    }
}
