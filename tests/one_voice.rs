//! One voice: what a fit, a rack, a comparison and a handover say about the same pair is the same: status, numbers,
//! setting, verdict, parts. And what is said is true: a part named moves the posture where it is said to.

mod common;

use std::sync::Arc;

use common::children::{Child, PlainRandom, Tape};
use inseam::advice::compare::{Figure, compare};
use inseam::advice::handover::{Handover, handover};
use inseam::advice::size::size;
use inseam::advice::stop::Stop;
use inseam::bike::{Bike, Style, library};
use inseam::fit::checks::CheckId;
use inseam::fit::checks::crank_length::STOCK_MM;
use inseam::fit::posture::Posture;
use inseam::fit::{Fit, Pair, Setting, Status, Verdict};
use inseam::report::size_text::View;
use inseam::report::terminal::Layout;
use inseam::rider::Stage;
use inseam::units::Length;
use inseam::{Options, Rider, Units, assess, report};
use rayon::prelude::*;

fn options() -> Options {
    common::options()
}

fn riders(count: u64) -> Vec<Arc<Rider>> {
    (0..count)
        .into_par_iter()
        .flat_map_iter(|index| {
            let mut random = PlainRandom(77_000 + index);
            let child = Child::draw(&mut random, 28.0, 190.0);
            Stage::ALL
                .iter()
                .filter_map(|stage| child.taped(Tape::Home, *stage, &mut random))
                .collect::<Vec<_>>()
        })
        .collect()
}

fn every_pair(count: u64, look: impl Fn(&Arc<Rider>, &Arc<Bike>) + Sync) {
    let bikes: Vec<_> = library::samples().collect();
    riders(count).par_iter().for_each(|rider| {
        for bike in &bikes {
            look(rider, bike);
        }
    });
}

fn sentence_of(fit: &Fit, id: CheckId) -> String {
    fit.finding(id)
        .map_or_else(String::new, |finding| fit.advice(&finding, Units::Mm))
}

/// Numbers in a sentence, in their order.
fn numbers(words: &str) -> Vec<f64> {
    words
        .split(|letter: char| !letter.is_ascii_digit() && letter != '.')
        .filter_map(|number| number.trim_matches('.').parse().ok())
        .collect()
}

#[test]
fn a_rack_a_comparison_and_a_handover_repeat_the_fit() {
    let bikes: Vec<_> = library::samples().collect();
    riders(200).par_iter().for_each(|rider| {
        let sizing = size(rider, &bikes, options(), || {});
        let mut last_first: Option<Fit> = None;
        for bike in &bikes {
            let fit = assess(rider, bike, &options());
            let sized = sizing
                .bikes
                .iter()
                .find(|sized| sized.fit.bike.id == bike.id)
                .expect("every bike is judged");
            assert_eq!(sized.fit, fit, "{}", bike.id);
            assert_eq!(sized.stop, Stop::of(&fit), "{}", bike.id);
            assert_eq!(sized.stop.is_none(), fit.verdict == Verdict::Fits);
            let handover = handover(rider, bike, &options());
            assert_eq!(handover.fit, fit, "{}", bike.id);
            the_handover_repeats(&handover);
            a_stop_names_what_failed(&fit);
            if let Some(other) = last_first.replace(fit) {
                let both = compare(rider, [&other.bike, bike], options());
                assert_eq!(both.fits[0], other);
                assert_eq!(Some(&both.fits[1]), last_first.as_ref());
                let standover = both.difference(Figure::Standover).expect("compared always");
                for (value, fit) in standover.values.iter().zip(&both.fits) {
                    assert_eq!(*value, Some(fit.bike.layout.standover_mm()));
                }
            }
        }
    });
}

/// The figure that a saddle is told by: from the bottom bracket, and from the ground on a bike without one.
fn lead_mm(fit: &Fit, setting: Setting) -> f64 {
    if fit.bike.is_balance() {
        setting.seat_height_mm
    } else {
        setting.saddle_height_mm
    }
}

fn the_handover_repeats(handover: &Handover) {
    let fit = &handover.fit;
    let Ok(work) = &handover.work else {
        assert!(!fit.verdict.fits(), "a pair that fits gets its work order");
        return;
    };
    let pair = fit.pair();
    assert_eq!(work.saddle.setting, pair.setting());
    let today = work
        .saddle
        .stages
        .iter()
        .find(|height| height.stage == pair.pose.stage)
        .expect("the stage of today");
    assert_eq!(today.setting, work.saddle.setting);
    assert_eq!(work.bars.posture, pair.posture());
    assert_eq!(
        work.bars.torso_lean_deg,
        fit.finding(CheckId::Reach)
            .expect("every bike has a bar")
            .measure
            .value
    );
    assert_eq!(work.bars.cure, pair.cure());
    // The same sentence, letter for letter but the first.
    let reach = sentence_of(fit, CheckId::Reach);
    let notes = work.bars.notes(fit, Units::Mm);
    assert!(
        notes.iter().any(|note| note[1..].starts_with(&reach[1..])),
        "{notes:#?}\n{reach}"
    );
    // Saddle: both tell the same height, and the same distance where the post ends outside the band.
    let set = sentence_of(fit, CheckId::SaddleHeight);
    let finding = fit
        .finding(CheckId::SaddleHeight)
        .expect("every bike has a saddle");
    assert_eq!(
        finding.measure.value,
        Some(lead_mm(fit, work.saddle.setting))
    );
    let out = today.out_of_range_mm.unwrap_or_default();
    assert_eq!(out > 0.0, set.contains("never above"), "{set}");
    // The rails are the last resort of a cure, never forbidden and never the first.
    let rails = work.saddle.notes(Units::Mm);
    assert!(
        rails
            .iter()
            .any(|note| note.contains("cured at spacers, stem and bar first")),
        "{rails:#?}"
    );
    // Levers: the gap that is judged is one that is set.
    let gap = pair.worst_lever().map(|lever| lever.gap_mm);
    let gaps: Vec<_> = [work.levers.front, work.levers.rear]
        .into_iter()
        .flatten()
        .filter_map(|brake| brake.lever)
        .map(|lever| lever.gap_mm)
        .collect();
    if let Some(gap) = gap {
        assert!(gaps.contains(&gap), "{gap} {gaps:?}");
    }
    if let (Some(finding), Some(gap)) = (fit.finding(CheckId::BrakeLever), gap)
        && let Some(value) = finding.measure.value
    {
        assert!((value - gap).abs() < 1e-9, "{value} {gap}");
    }
}

/// The reason given is a finding that failed, in that finding's own words.
fn a_stop_names_what_failed(fit: &Fit) {
    match Stop::of(fit) {
        None => assert_eq!(fit.verdict, Verdict::Fits),
        Some(stop @ Stop::Misfit { check, .. }) => {
            let finding = fit.finding(check).expect("made");
            assert!(
                matches!(finding.status(), Status::Fail(_)),
                "{} {}: {}",
                fit.bike.id,
                fit.verdict,
                check.name()
            );
            assert_eq!(stop.reason(fit, Units::Mm), fit.advice(&finding, Units::Mm));
        }
        Some(Stop::Incomplete { check, .. }) => {
            assert!(matches!(
                fit.finding(check).expect("made").status(),
                Status::NotChecked(_)
            ));
        }
        Some(Stop::Undecided { .. }) => panic!("exact figures are always decided"),
    }
}

/// A report without its line breaks and colours.
fn plain(report: &str) -> String {
    let words: Vec<_> = report.split_whitespace().collect();
    anstream::adapter::strip_str(&words.join(" ")).to_string()
}

#[test]
fn the_printed_reports_tell_the_same_of_one_pair() {
    let layout = Layout {
        columns: 80,
        units: Units::Mm,
    };
    every_pair(25, |rider, bike| {
        let handover = handover(rider, bike, &options());
        let fit = &handover.fit;
        let sizing = size(rider, std::slice::from_ref(bike), options(), || {});
        let fit_text = plain(&report::text::fit(fit, layout));
        let handover_text = plain(&report::handover_text::handover(&handover, layout));
        let size_text = plain(&report::size_text::size(
            &sizing,
            &[],
            View { layout, all: true },
        ));
        for text in [&fit_text, &handover_text, &size_text] {
            let word = fit.verdict.word();
            assert!(
                text.to_lowercase().contains(word),
                "{word} is not in {text}"
            );
            for other in Verdict::ALL
                .iter()
                .map(|verdict| verdict.word().to_uppercase())
            {
                // The verdict stands in capitals, once.
                assert!(
                    !text.contains(&format!("{other}:")) || other == word.to_uppercase(),
                    "{other} in {text}"
                );
            }
            for (one, other) in [
                ("comfortable", "too upright"),
                ("comfortable", "too stretched"),
                ("comfortable", "folded"),
                ("too upright", "too stretched"),
            ] {
                assert!(
                    !(text.contains(one) && text.contains(other)),
                    "{one} and {other} in {text}"
                );
            }
        }
        // The posture's own sentence, whole, in both, and no second one.
        // Who cannot have the bike is told what decides, not how it would be sat on.
        if fit.verdict.fits() {
            let reach = sentence_of(fit, CheckId::Reach);
            for text in [&fit_text, &handover_text] {
                assert!(text.contains(&plain(&reach)[1..]), "{reach}\n{text}");
            }
            // At its mark the saddle is never told a millimetre too high, in any of them.
            let (setting, lead) = (fit.pair().setting(), lead_mm(fit, fit.pair().setting()));
            let height = Units::Mm.length(if setting.is_at_mark {
                lead.floor()
            } else {
                lead
            });
            for text in [&fit_text, &size_text] {
                assert!(
                    text.contains(height.trim_end_matches(" mm")),
                    "{height} is not in {text}"
                );
            }
            let (lead, pair) = (lead_mm(fit, fit.pair().setting()), fit.pair());
            let room = pair.layout.post.highest_mm - pair.pose.position;
            // At its highest the saddle is never told a millimetre too high.
            let told = if room < 1.0 && fit.bike.knows_highest_saddle() {
                Units::Mm.tape_at_most(lead)
            } else {
                Units::Mm.tape(lead)
            };
            assert!(handover_text.contains(&told), "{told}\n{handover_text}");
        }
    });
}

#[test]
fn chances_change_no_word_between_the_rack_and_the_fit() {
    let bikes: Vec<_> = library::samples().collect();
    let options = Options {
        exact: false,
        forecast: true,
        ..options()
    };
    riders(3).par_iter().for_each(|rider| {
        let sizing = size(rider, &bikes, options, || {});
        for bike in &bikes {
            let fit = assess(rider, bike, &options);
            let sized = sizing
                .bikes
                .iter()
                .find(|sized| sized.fit.bike.id == bike.id)
                .expect("every bike is judged");
            assert_eq!(sized.fit, fit);
            match sized.stop {
                None => assert_eq!(fit.verdict, Verdict::Fits),
                Some(Stop::Undecided { remeasure }) => {
                    assert_eq!(fit.verdict, Verdict::Undecided);
                    assert_eq!(remeasure, fit.odds.expect("chances").remeasure);
                }
                Some(_) => assert!(fit.verdict.rules_out() || fit.verdict == Verdict::Incomplete),
            }
        }
    });
}

#[test]
fn a_post_that_is_short_for_a_straighter_leg_says_how_much_higher_that_would_be() {
    let bike = library::sample("street-20").expect("a sample");
    let mut seen = [0, 0];
    for inseam in 595..660 {
        let child = common::rider(&format!(
            "{{height: {}, inseam: {inseam}}}",
            2 * inseam + 70
        ));
        let words = sentence_of(&assess(&child, &bike, &options()), CheckId::LegRoom);
        let Some((before, behind)) = words.split_once(" would want it ") else {
            continue;
        };
        let more = numbers(behind)[0];
        let (wanted, kind) = if before.ends_with("good to 45°, which") {
            (45.0, 0)
        } else {
            assert!(before.ends_with("; 60°"), "{words}");
            (60.0, 1)
        };
        // With the mark where it is said to be wanted, the knee is as straight as that.
        let mut raised = (*bike).clone();
        raised.layout.post.highest_mm += more;
        let fit = assess(&child, &Arc::new(raised), &options());
        let bend = fit
            .finding(CheckId::LegRoom)
            .unwrap()
            .measure
            .value
            .unwrap();
        assert!((bend - wanted).abs() < 0.5, "{words}: {bend}");
        seen[kind] += 1;
    }
    assert!(seen.into_iter().all(|count| count > 2), "{seen:?}");
    // A leg that reaches no pedal there has no bend to tell of.
    let small = common::rider("{height: 980, inseam: 410}");
    let fit = assess(&small, &bike, &options());
    let words = sentence_of(&fit, CheckId::LegRoom);
    assert!(words.ends_with("than these legs need"), "{words}");
    let found = fit.finding(CheckId::LegRoom).unwrap();
    assert_eq!(found.measured(Units::Mm), None);
}

#[test]
fn only_a_bike_that_fits_is_said_to_be_sure_or_likely_of_the_size() {
    let child = common::rider("{height: 1280, inseam: 600, age: 8y, sex: girl}");
    let mut seen = [0; 2];
    for bike in library::samples() {
        let fit = assess(&child, &bike, &Options::new(options().on));
        let layout = Layout {
            columns: 400,
            units: Units::Mm,
        };
        let text = report::text::fit(&fit, layout);
        assert_eq!(text.contains("of the size"), fit.verdict.fits(), "{text}");
        seen[usize::from(fit.verdict.fits())] += 1;
    }
    assert!(seen.iter().all(|count| *count > 2), "{seen:?}");
}

#[test]
fn the_less_sure_answer_says_no_less() {
    let bike = library::sample("street-20").expect("a sample");
    let told = |inseam: u32| {
        let child = format!(
            "{{height: {}, inseam: {inseam}, weight: 15 kg}}",
            2 * inseam + 70
        );
        let fit = assess(
            &common::rider(&child),
            &bike,
            &Options::new(common::options().on),
        );
        let layout = Layout {
            columns: 1000,
            units: Units::Mm,
        };
        let text = report::text::fit(&fit, layout);
        let top = text.split("inside leg").next().unwrap().to_owned();
        (fit, top)
    };
    let mut seen = std::collections::BTreeSet::new();
    for inseam in (500..720).step_by(10) {
        let (fit, top) = told(inseam);
        // 7.9 kg are more than half of 15 kg.
        let heavy =
            "Bike weight: bike weighs 53 % of the rider: too heavy to pick up or to stop with ease";
        assert_eq!(top.contains(heavy), !fit.verdict.rules_out(), "{top}");
        seen.insert(fit.verdict.word());
    }
    assert!(
        seen.contains("undecided") && seen.contains("fits"),
        "{seen:?}"
    );
}

#[test]
fn a_check_that_decides_and_is_too_close_to_call_has_one_sign_and_one_word() {
    let bike = library::sample("street-24").expect("a sample");
    let mut seen = 0;
    for inseam in 590..640 {
        let child = format!("{{height: {}, inseam: {inseam}}}", 2 * inseam + 70);
        let fit = assess(
            &common::rider(&child),
            &bike,
            &Options::new(common::options().on),
        );
        if fit.verdict != Verdict::Undecided {
            continue;
        }
        let failing: Vec<_> = fit
            .findings()
            .filter(|finding| matches!(finding.status(), Status::Fail(_)))
            .collect();
        let open =
            |finding: &inseam::fit::Finding| finding.odds.is_some_and(|odds| odds.chance < 0.8);
        if failing.is_empty() || !failing.iter().all(open) {
            continue;
        }
        seen += 1;
        for form in [inseam::draw::Form::Lying, inseam::draw::Form::Upright] {
            let plan = inseam::draw::SideView::new(&fit, Units::Cm)
                .on(form)
                .picture()
                .plan;
            let fails = plan.marks.iter().filter(|mark| mark.what == "fail");
            assert_eq!(fails.count(), 0, "{child}");
        }
        let card = inseam::draw::card_view(&fit, Units::Cm).plan;
        assert!(card.marks.iter().all(|mark| mark.what != "fail"), "{child}");
        let layout = Layout {
            columns: 1000,
            units: Units::Cm,
        };
        let text = report::text::fit(&fit, layout);
        // The column of the word is narrow: it breaks at every blank. Once it stands in the key.
        let findings = text.split("In brackets").next().unwrap();
        assert_eq!(findings.matches(" (FAIL").count(), failing.len(), "{text}");
        assert!(!findings.contains(" FAIL"), "{text}");
    }
    assert!(seen > 1, "{seen}");
}

#[test]
fn a_posture_has_one_name_everywhere() {
    every_pair(200, |rider, bike| {
        let fit = assess(rider, bike, &options());
        let all: Vec<_> = fit
            .findings()
            .map(|finding| fit.advice(&finding, Units::Mm))
            .collect();
        let says = |word: &str| all.iter().any(|words| words.contains(word));
        let posture = fit.pair().posture();
        assert_eq!(says("comfortable"), posture == Posture::Easy, "{all:#?}");
        assert_eq!(says("too upright"), posture == Posture::Upright, "{all:#?}");
        assert_eq!(
            says("too stretched"),
            posture == Posture::Stretched,
            "{all:#?}"
        );
        assert!(!says("folded"), "{all:#?}");
        // Whoever sits easily, or cannot hold the bar at all, is offered no part for it.
        if !matches!(posture, Posture::Upright | Posture::Stretched) {
            assert_eq!(fit.pair().cure(), None);
            assert!(
                !says("a stem of") && !says("spacers moved")
                    || fit
                        .finding(CheckId::BarHeight)
                        .is_some_and(|finding| finding.status() == Status::Caution)
            );
        }
    });
}

#[test]
fn a_part_that_is_named_does_what_is_said() {
    use std::sync::atomic::{AtomicUsize, Ordering};
    let cured = AtomicUsize::new(0);
    every_pair(200, |rider, bike| {
        let fit = assess(rider, bike, &options());
        let pair = fit.pair();
        let words = sentence_of(&fit, CheckId::Reach);
        assert!(
            !words.contains("taken out") && !words.contains("remove"),
            "{words}"
        );
        let Some(cure) = pair.cure().filter(|_| !fit.verdict.rules_out()) else {
            return;
        };
        cured.fetch_add(1, Ordering::Relaxed);
        // Built as told: another stem, another bar, spacers moved up from under the stem, the saddle slid.
        let mut spec = bike.spec.clone();
        let drawing = &bike.drawing;
        let mm = |mm: f64| Some(inseam::units::Length::from_mm(mm));
        let now = drawing.stem_length_mm;
        spec.cockpit.stem.length = mm(now + cure.stem_mm);
        spec.cockpit.handlebar.setback = mm(drawing.bar_setback_mm - cure.sweep_mm);
        spec.cockpit.spacers = mm(drawing.spacers_mm - cure.spacers_above_mm);
        spec.saddle.setback = mm(drawing.saddle_setback_mm + cure.saddle_back_mm);
        let built = Bike::new("built", spec).expect("a bike that can be");
        // A cure is judged at today's setting; at leg extension a saddle slid back comes down a little.
        let after = Pair::new(&built, &fit.body, rider.stage, rider.weight);
        let lean = after.torso_lean_deg().expect("in reach");
        let said = pair.lean_after_deg(&cure).expect("in reach");
        if cure.saddle_back_mm == 0.0 || pair.pose.stage != Stage::Confident {
            assert!((lean - said).abs() < 1e-6, "{}: {lean} {said}", bike.id);
            assert_eq!(after.posture(), Posture::Easy, "{}: {words}", bike.id);
        }
        let [low, high] = pair.lean_band_deg();
        assert!((low - 1e-6..=high + 1e-6).contains(&said));
        assert_eq!(
            numbers(&words).last().copied(),
            Some(said.round()),
            "{words}"
        );
        // Only what such bikes carry: common practice, 30 to 60 mm on the trail, 30 to 90 on the street.
        if cure.stem_mm != 0.0 {
            let longest = if bike.spec.style == Style::Trail {
                60.0
            } else {
                90.0
            };
            assert!((30.0..=longest).contains(&(now + cure.stem_mm)), "{words}");
            assert!(
                words.contains(&format!("a stem of {:.0} mm", now + cure.stem_mm)),
                "{words}"
            );
        }
        assert!(
            cure.sweep_mm.abs() <= 20.0
                && bike
                    .spec
                    .saddle
                    .fore_aft
                    .is_some_and(|slides| cure.saddle_back_mm.abs() <= slides.mm())
        );
        assert!(cure.spacers_above_mm >= 0.0 && cure.spacers_above_mm <= drawing.spacers_mm);
    });
    assert!(cured.into_inner() > 100);
}

/// What the check says of the same pair with other cranks on the bike.
fn with_cranks(fit: &Fit, length_mm: f64) -> Status {
    let mut spec = fit.bike.spec.clone();
    spec.cranks.as_mut().expect("cranks").length = Some(Length::from_mm(length_mm));
    let bike = Arc::new(Bike::new("other cranks", spec).expect("a bike"));
    let other = assess(&fit.rider, &bike, &options());
    other.finding(CheckId::CrankLength).expect("made").status()
}

#[test]
fn a_crank_that_is_suggested_cures_and_lies_in_the_range_that_is_printed() {
    use std::sync::atomic::{AtomicUsize, Ordering};
    let suggested = AtomicUsize::new(0);
    every_pair(200, |rider, bike| {
        let fit = assess(rider, bike, &options());
        let Some(finding) = fit.finding(CheckId::CrankLength) else {
            return;
        };
        // On a bike that is ruled out the second half is not told; it must be true all the same.
        let check = finding.id.check();
        let words = match check.cure(&fit.pair(), &finding.measure, Units::Mm) {
            Some(cure) => format!(
                "{}: {cure}",
                check.advise(&fit.pair(), &finding.measure, Units::Mm)
            ),
            None => fit.advice(&finding, Units::Mm),
        };
        if !fit.verdict.rules_out() && !matches!(finding.status(), Status::NotChecked(_)) {
            assert_eq!(fit.advice(&finding, Units::Mm), words);
        }
        // Martin 2002 and common practice: about a tenth of the height. Printed where the length decides.
        let [low, high] = [0.085, 0.11].map(|share| share * fit.body.height_mm);
        let told = (finding.measure.low, finding.measure.high);
        assert!(
            told == (None, None) || told == (Some(low), Some(high)),
            "{told:?}"
        );
        let crank = bike.drawing.crank.expect("cranks").length_mm;
        let named = words
            .split("a mechanic can fit ")
            .nth(1)
            .and_then(|rest| numbers(rest).first().copied());
        match named {
            Some(stock) => {
                suggested.fetch_add(1, Ordering::Relaxed);
                assert!(STOCK_MM.contains(&stock), "{words}");
                assert!((low..=high).contains(&stock), "{words}: {low} to {high}");
                assert!((stock - crank).abs() > 1.0, "{words}");
                // Longer where it is called short, shorter where it is called long.
                assert_eq!(words.contains("is short"), stock > crank, "{words}");
                assert_eq!(with_cranks(&fit, stock), Status::Ok, "{words}");
            }
            None if finding.status() == Status::Ok => {}
            // A bike that is ruled out is not built over.
            None if matches!(finding.status(), Status::Fail(_)) => {
                assert!(
                    words.contains("too long") || words.contains("cannot follow"),
                    "{words}"
                );
            }
            None => {
                assert!(words.contains("no stock length"), "{words}");
                for stock in STOCK_MM {
                    assert_ne!(with_cranks(&fit, stock), Status::Ok, "{stock}: {words}");
                }
            }
        }
    });
    assert!(suggested.into_inner() > 100);
}

#[test]
fn what_is_called_ok_lies_in_the_range_beside_it() {
    every_pair(60, |rider, bike| {
        let fit = assess(rider, bike, &options());
        for finding in fit.findings() {
            let margin = finding.measure.margin();
            let words = fit.advice(&finding, Units::Mm);
            assert!(!words.is_empty(), "{}", finding.id.name());
            // A crank is also judged by the knee, a posture by the arm, a saddle by the post.
            if finding.status() == Status::Ok {
                assert!(
                    margin.is_none_or(|margin| margin >= -1e-6),
                    "{} {}: {finding:?}",
                    bike.id,
                    finding.id.name()
                );
            }
        }
    });
}

#[test]
fn a_post_told_too_long_brings_the_saddle_down_once_it_is_that_much_shorter() {
    let (_, text) = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "trail-24")
        .unwrap();
    let with_post = |mm: f64| {
        let text = text.replace(
            "seat_post: {length: 350",
            &format!("seat_post: {{length: {mm}"),
        );
        let document = inseam::file::Document::from_text("trail-24", text);
        Arc::new(library::read("trail-24", &document).unwrap())
    };
    let rider = common::rider("height: 1330\ninseam: 620");
    let long = assess(&rider, &with_post(400.0), &options());
    let words = sentence_of(&long, CheckId::SaddleHeight);
    let [miss, shorter] = numbers(&words)[..] else {
        panic!("{words}");
    };
    assert!((miss - shorter).abs() < f64::EPSILON, "{words}");
    // One misses by the same figure on every face of it.
    let ground = sentence_of(&long, CheckId::GroundContact);
    assert!(numbers(&ground).contains(&miss), "{ground} {words}");
    // A tape reads the saddle from the bracket, not along the post: a millimetre.
    let cured = assess(&rider, &with_post(400.0 - shorter - 1.0), &options());
    let status = cured.finding(CheckId::SaddleHeight).unwrap().status();
    assert_eq!(status, Status::Set, "{words}");
    // A frame that is too big gets no smaller by a post.
    let small = common::rider("height: 1220\ninseam: 550");
    let words = sentence_of(
        &assess(&small, &with_post(400.0), &options()),
        CheckId::SaddleHeight,
    );
    assert!(!words.contains("post"), "{words}");
}

fn side_view(fit: &Fit) -> inseam::draw::Picture {
    inseam::draw::SideView::new(fit, Units::Mm).picture()
}

/// A child of the samples' size, judged on a sample.
fn judged(bike: &str, rider: &str) -> Fit {
    let options = Options::new(jiff::civil::date(2026, 3, 1));
    let file: inseam::rider::RiderFile = inseam::file::Document::from_text("rider", rider)
        .read()
        .unwrap();
    let rider = Arc::new(Rider::new(&file, options.on).unwrap());
    assess(&rider, &library::sample(bike).expect("a sample"), &options)
}

#[test]
fn a_pair_that_is_ruled_out_is_told_of_no_part_that_a_mechanic_could_fit() {
    let grown = judged("balance-12", "{height: 1500, age: 35y, sex: woman}");
    assert_eq!(grown.verdict, Verdict::TooSmall);
    for finding in grown.findings() {
        let said = grown.advice(&finding, Units::Mm);
        assert!(
            !said.contains("mechanic") && !said.contains("no part"),
            "{said}"
        );
    }
    let posture = sentence_of(&grown, CheckId::Reach);
    assert!(posture.starts_with("back at "), "{posture}");
    // The same of every ruled-out pair; and those that may be ridden keep their cures.
    let cures = std::sync::atomic::AtomicUsize::new(0);
    every_pair(40, |rider, bike| {
        let fit = assess(rider, bike, &options());
        let cautions = fit
            .findings()
            .filter(|found| found.status() == Status::Caution);
        let said = cautions.filter(|found| fit.advice(found, Units::Mm).contains("a mechanic can"));
        let count = said.count();
        assert!(count == 0 || !fit.verdict.rules_out(), "{}", bike.id);
        cures.fetch_add(count, std::sync::atomic::Ordering::Relaxed);
    });
    assert!(cures.into_inner() > 20);
}

#[test]
fn a_lever_that_only_fingertips_hook_is_told_with_a_part_on_pairs_that_may_be_ridden_only() {
    let text = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "street-20")
        .unwrap()
        .1;
    let wide = text.replace("min: 40, max: 68", "min: 71, max: 74");
    assert_ne!(text, wide);
    let document = inseam::file::Document::from_text("wide", wide);
    let bike = Arc::new(library::read("wide", &document).unwrap());
    let said = |height: f64| {
        let file = inseam::file::Document::from_text("rider", format!("{{height: {height}}}"));
        let file: inseam::rider::RiderFile = file.read().unwrap();
        let rider = Arc::new(Rider::new(&file, options().on).unwrap());
        let fit = assess(&rider, &bike, &options());
        (
            fit.verdict,
            fit.finding(CheckId::BrakeLever).unwrap().status(),
            sentence_of(&fit, CheckId::BrakeLever),
        )
    };
    let mut seen = [0, 0];
    for height in (1000..1600).step_by(10) {
        let (verdict, status, words) = said(f64::from(height));
        if status == Status::Caution {
            assert!(
                words.contains("only the fingertips hook the lever"),
                "{words}"
            );
            assert_eq!(
                words.contains("a mechanic can fit"),
                !verdict.rules_out(),
                "{height} {words}"
            );
            assert_eq!(
                words.contains("draw the lever"),
                !verdict.rules_out(),
                "{height} {words}"
            );
            seen[usize::from(verdict.rules_out())] += 1;
        } else if matches!(status, Status::Fail(_)) {
            assert!(words.ends_with("too far for this hand"), "{words}");
        }
    }
    assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
}

#[test]
fn the_mark_of_a_post_is_one_figure_in_the_fit_and_at_the_handover() {
    // 80 mm is 50.4 sixteenths: a limit to keep at least is never told rounded down.
    let pair = judged("trail-24", "{height: 1380, inseam: 660}");
    let finding = pair.finding(CheckId::PostInsertion).unwrap();
    assert_eq!(
        finding.wanted(Units::In).as_deref(),
        Some("at least 3 3/16 in")
    );
    let layout = Layout {
        columns: 80,
        units: Units::In,
    };
    let handover = handover(
        &pair.rider,
        &pair.bike,
        &Options::new(jiff::civil::date(2026, 3, 1)),
    );
    let told = plain(&report::handover_text::handover(&handover, layout));
    assert!(told.contains("3 3/16 in"), "{told}");
    // What is left adds up: inside less mark.
    let said = pair.advice(&finding, Units::In);
    assert!(
        said.starts_with("7 13/16 in of post in the tube, 4 5/8 in more"),
        "{said}"
    );
    assert!(told.contains("room to raise the saddle 4 5/8 in"), "{told}");
}

#[test]
fn a_cure_that_reaches_the_end_of_the_band_stands_beside_no_way_to_its_middle() {
    let upright = judged("trail-24", "{height: 1330, inseam: 640, stage: confident}");
    let steady = judged("trail-24", "{height: 1330, inseam: 640}");
    let mut cured = 0;
    for fit in [&upright, &steady] {
        let said = sentence_of(fit, CheckId::Reach);
        if said.contains("a mechanic can fit") {
            assert!(!said.contains("best with the grips"), "{said}");
            cured += 1;
        }
    }
    assert!(cured > 0);
}

#[test]
fn a_clearance_just_under_its_limit_reads_so_in_the_picture_as_in_the_fit() {
    let near = judged(
        "trail-24",
        "{inseam: 625, height: 1300, age: 8y, sex: boy, weight: 27 kg}",
    );
    let found = near.finding(CheckId::Standover).expect("made");
    let told = found.measured(Units::Mm).expect("measured");
    assert_eq!(
        (found.status(), told.as_str()),
        (Status::Caution, "under 50 mm")
    );
    let drawn = side_view(&near);
    let labels: Vec<_> = drawn
        .plan
        .labels
        .iter()
        .map(|label| label.text.as_str())
        .collect();
    assert!(
        labels.iter().any(|text| text.starts_with("under 50 ± ")),
        "{labels:?}"
    );
    assert!(
        !labels.iter().any(|text| text.starts_with("50 ± ")),
        "{labels:?}"
    );
    // Taken as exact, without a spread.
    let rider = Arc::clone(&near.rider);
    let exact = assess(
        &rider,
        &near.bike,
        &Options::bare(jiff::civil::date(2026, 3, 1)),
    );
    let drawn = side_view(&exact);
    assert!(
        drawn
            .plan
            .labels
            .iter()
            .any(|label| label.text == "under 50 mm")
    );
}

#[test]
fn a_knee_that_folds_too_far_is_told_by_how_much() {
    let seen = std::sync::atomic::AtomicUsize::new(0);
    every_pair(60, |rider, bike| {
        let fit = assess(rider, bike, &Options::bare(options().on));
        let Some(found) = fit.finding(CheckId::CrankLength) else {
            return;
        };
        let said = fit.advice(&found, Units::Mm);
        if let (Status::Fail(_), Some((_, past))) =
            (found.status(), said.split_once("the knee folds "))
        {
            let by = past
                .trim_start_matches("under ")
                .split('°')
                .next()
                .and_then(|by| by.parse::<f64>().ok());
            assert!(by.is_some_and(|by| by > 0.0), "{said}");
            assert!(past.ends_with("° past the 125° that it may"), "{said}");
            seen.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
        }
    });
    assert!(seen.into_inner() > 0);
}

#[test]
fn what_must_be_read_stands_over_every_fit_as_over_its_handover() {
    let text = include_str!("../frames/street-20.yaml");
    let lines = text.lines().filter(|line| !line.starts_with("cranks:"));
    let open: String = lines.flat_map(|line| [line, "\n"]).collect();
    let bike = common::bike(common::spec(&open));
    let rider = common::rider("{height: 1280, inseam: 600, age: 8y, sex: girl}");
    let fit = assess(&rider, &bike, &Options::new(options().on));
    assert!(fit.verdict.fits());
    let layout = Layout {
        columns: 400,
        units: Units::Mm,
    };
    let handed = handover(&rider, &bike, &options());
    let to_read = handed.read_this(Units::Mm);
    assert!(to_read.len() > 2, "{to_read:?}");
    assert_eq!(to_read, fit.read_this(Units::Mm));
    let told = report::text::fit(&fit, layout);
    let above = told.split("Set (starting values").next().unwrap();
    for line in to_read {
        assert!(above.contains(&line), "{line}\n{told}");
    }
}

/// A sixteenth of an inch is 1.5875 mm: what is there and what is missing of the air make what is wanted.
#[test]
fn inches_of_air_over_the_top_tube_add_up() {
    use inseam::fit::CheckId;
    let sixteenths = |text: &str| -> u32 {
        let text = text.trim_start_matches("under ");
        text.split(' ')
            .map(|part| match part.split_once('/') {
                Some((over, under)) => {
                    over.parse::<u32>().unwrap() * 16 / under.parse::<u32>().unwrap()
                }
                None => 16 * part.parse::<u32>().unwrap(),
            })
            .sum()
    };
    let bike = inseam::bike::library::sample("trail-24").unwrap();
    let mut seen = 0;
    for inseam_mm in 600..660 {
        let text = format!("{{height: {}, inseam: {inseam_mm}}}", inseam_mm * 2 + 90);
        let file: inseam::rider::RiderFile = inseam::file::Document::from_text("rider", &text)
            .read()
            .unwrap();
        let options = inseam::Options::bare(jiff::civil::date(2026, 3, 1));
        let rider = std::sync::Arc::new(inseam::Rider::new(&file, options.on).unwrap());
        let fit = inseam::assess(&rider, &bike, &options);
        let found = fit.finding(CheckId::Standover).unwrap();
        let said = fit.advice(&found, inseam::Units::In);
        let Some((air, rest)) = said.split_once(" in of air over") else {
            continue;
        };
        let Some(missing) = rest
            .split(" in short of the ")
            .next()
            .filter(|_| rest.contains("short"))
        else {
            continue;
        };
        let missing = missing.rsplit(", ").next().unwrap();
        let wanted = rest.split(" in short of the ").nth(1).unwrap();
        let wanted = wanted.split(" in").next().unwrap();
        if air.starts_with("under") || missing.starts_with("under") {
            continue;
        }
        seen += 1;
        assert_eq!(
            sixteenths(air) + sixteenths(missing),
            sixteenths(wanted),
            "{said}"
        );
    }
    assert!(seen > 10, "{seen}");
}
