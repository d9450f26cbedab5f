//! The handover against things outside it: the tyre formula written out again in SI, the trade's torque
//! table, the post's own arithmetic, and a rebuilt bike for every change that it promises.

use std::ffi::OsString;

use inseam::advice::handover::pressure::Limit;
use inseam::advice::handover::{Handover, handover};
use inseam::bike::{Bike, library};
use inseam::file::Document;
use inseam::report::card::{Extras, card};
use inseam::report::handover_text;
use inseam::report::text::Layout;
use inseam::rider::{Rider, RiderFile, Stage};
use inseam::units::{Length, PSI_PER_BAR};
use inseam::{Options, Units, cli};
use jiff::civil::{Date, date};

const ON: Date = date(2026, 3, 1);
const WIDE: Layout = Layout {
    columns: 400,
    units: Units::Mm,
};

fn rider(text: &str) -> Rider {
    let file: RiderFile = Document::from_text("rider", text).read().unwrap();
    Rider::new(&file, ON).unwrap()
}

/// A child of this height with an ordinary weight: 16 kg for every square metre of height.
fn child(height_mm: f64, stage: Stage) -> Rider {
    let weight = 16.0 * (height_mm / 1000.0).powi(2);
    rider(&format!(
        "height: {height_mm}\nweight: {weight:.2} kg\nstage: {stage}\n"
    ))
}

fn trail_24() -> &'static str {
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "trail-24");
    sample.unwrap().1
}

fn bike(text: &str) -> Bike {
    library::read("bike", &Document::from_text("bike", text))
        .unwrap_or_else(|error| panic!("{error}"))
}

/// The sample with some of its text exchanged; a text that is not there is a broken test.
fn changed(changes: &[(&str, &str)]) -> Bike {
    let mut text = trail_24().to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from:?} is not in the sample");
        text = text.replace(from, to);
    }
    bike(&text)
}

fn plain(bike: &Bike, rider: &Rider) -> Handover {
    handover(rider, bike, &Options::bare(ON))
}

const WIDE_OPEN: (&str, &str) = (
    "min_pressure: 1.4, max_pressure: 3.5",
    "min_pressure: 0.3, max_pressure: 12",
);
const FRONT_BRAKE: &str = "  front: {kind: hand, reach: {min: 45, max: 75}}";
const REAR_BRAKE: &str = "  rear: {kind: hand, reach: {min: 45, max: 75}}";
const PUBLISHED: (&str, &str) = ("published: {wheelbase: 937, standover: 590}", "");

#[test]
fn every_fitting_pair_carries_a_believable_share_in_front() {
    let mut pairs = 0;
    for bike in library::samples().filter(|bike| bike.spec.weight.is_some()) {
        for (stage, step) in Stage::ALL
            .iter()
            .flat_map(|s| (0..32).map(move |i| (*s, i)))
        {
            let rider = child(820.0 + 30.0 * f64::from(step), stage);
            let handover = plain(&bike, &rider);
            if handover.fit.verdict.fits() {
                let share = handover.tyres.front_share.unwrap();
                let height = rider.height.mm();
                assert!(
                    (0.28..=0.50).contains(&share),
                    "{} at {height} mm, {stage}: {share}",
                    bike.id
                );
                pairs += 1;
            }
        }
    }
    assert!(pairs > 15, "only {pairs} fitting pairs were looked at");
}

#[test]
fn pressures_are_the_fifteen_percent_drop_where_nothing_clamps() {
    let bike = changed(&[WIDE_OPEN]);
    for weight in [20.0, 31.0, 45.0, 60.0] {
        let rider = rider(&format!("height: 1380\nweight: {weight} kg\n"));
        let tyres = plain(&bike, &rider).tyres;
        let share = tyres.front_share.unwrap();
        for (set, share) in [(tyres.front, share), (tyres.rear, 1.0 - share)] {
            let set = set.unwrap();
            // 54-507 in metres; F / (π d √(R r)) in pascal; Berto after Heine, common practice.
            let (width, radius) = (0.054, 0.507 / 2.0 + 0.054);
            let newton = (weight + 10.4) * 9.80665 * share;
            let drop = 0.15 * width;
            let root = (radius * width / 2.0_f64).sqrt();
            let bar = newton / (std::f64::consts::PI * drop * root) / 1e5;
            assert!((set.bar / bar - 1.0).abs() < 0.01, "{set} against {bar}");
            assert_eq!(set.limited_by, None);
        }
    }
}

#[test]
fn pressure_rises_with_weight_and_falls_with_width() {
    let at = |bike: &Bike, kg: f64| {
        let tyres = plain(bike, &rider(&format!("height: 1380\nweight: {kg} kg\n"))).tyres;
        (tyres.front.unwrap().bar, tyres.rear.unwrap().bar)
    };
    let bike = changed(&[WIDE_OPEN]);
    let mut last = (0.0, 0.0);
    for kg in 18..70 {
        let now = at(&bike, f64::from(kg));
        assert!(now.0 > last.0 && now.1 > last.1, "{kg} kg: {now:?}");
        last = now;
    }
    let mut last = (f64::INFINITY, f64::INFINITY);
    for width in (28..70).step_by(3) {
        let marking = format!("{width}-507");
        let now = at(&changed(&[WIDE_OPEN, ("54-507", &marking)]), 31.0);
        assert!(now.0 < last.0 && now.1 < last.1, "{marking}: {now:?}");
        last = now;
    }
}

#[test]
fn a_light_child_gets_the_printed_minimum_and_a_heavy_one_the_maximum() {
    let light = plain(&changed(&[]), &rider("height: 1380\nweight: 28 kg\n")).tyres;
    let front = light.front.unwrap();
    assert!((front.bar - 1.4).abs() < 1e-12);
    assert_eq!(front.limited_by, Some(Limit::PrintedMinimum));
    let narrow = changed(&[("54-507", "28-507")]);
    let heavy = plain(&narrow, &rider("height: 1600\nweight: 90 kg\n")).tyres;
    let rear = heavy.rear.unwrap();
    assert_eq!(rear.limited_by, Some(Limit::PrintedMaximum));
    assert!((rear.bar - 3.5).abs() < 1e-12);
}

#[test]
fn torque_rows_are_the_trade_table() {
    // Common practice of the trade, N·m; the figure printed on the part wins.
    let table = [
        ("stem faceplate", [4.0, 6.0]),
        ("steerer clamp", [5.0, 7.0]),
        ("top cap", [1.0, 2.0]),
        ("brake lever clamp", [4.0, 5.0]),
        ("seat clamp", [5.0, 7.0]),
        ("saddle rail clamp", [8.0, 14.0]),
        ("crank pinch bolts", [12.0, 15.0]),
        ("crank preload cap", [1.0, 2.0]),
        ("square-taper crank bolts", [34.0, 44.0]),
        ("right pedal", [35.0, 40.0]),
        ("left pedal", [35.0, 40.0]),
        ("front disc caliper", [6.0, 8.0]),
        ("rear disc caliper", [6.0, 8.0]),
        ("front rim-brake arm", [8.0, 9.6]),
        ("rear rim-brake arm", [8.0, 9.6]),
        ("brake cable anchor", [6.0, 8.0]),
        ("rear derailleur", [8.0, 10.0]),
        ("front axle nuts", [20.0, 25.0]),
        ("rear axle nuts", [25.0, 35.0]),
        ("cable guide", [1.0, 2.0]),
    ];
    let bolts = plain(&changed(&[]), &child(1380.0, Stage::Steady)).bolts;
    assert_eq!(bolts.len(), table.len(), "{bolts:?}");
    let place = |part: &str| {
        let found = bolts.iter().position(|bolt| bolt.part == part);
        found.unwrap_or_else(|| panic!("no row for {part}"))
    };
    let close = |a: f64, b: f64| (a - b).abs() < 1e-12;
    for (part, [low, high]) in table {
        let bolt = &bolts[place(part)];
        assert!(
            close(bolt.low_nm, low) && close(bolt.high_nm, high),
            "{bolt:?}"
        );
    }
    assert!(place("front axle nuts") < place("top cap"));
    assert!(place("top cap") < place("steerer clamp"));
    assert!(place("crank preload cap") < place("crank pinch bolts"));
    assert!(place("crank pinch bolts") < place("rear axle nuts"));
    assert!(bolts[place("left pedal")].note.contains("left-hand thread"));
    // What is usually printed: 5 at the stem, 1 to 2 at the top cap, 12 to 14 at the pinch bolts.
    for (part, [low, high]) in [
        ("stem faceplate", [5.0, 5.0]),
        ("steerer clamp", [5.0, 5.0]),
        ("top cap", [1.0, 2.0]),
        ("crank pinch bolts", [12.0, 14.0]),
    ] {
        let bolt = &bolts[place(part)];
        assert!(bolt.low_nm <= low && bolt.high_nm >= high, "{bolt:?}");
    }
}

fn balance() -> Bike {
    changed(&[
        ("style: trail", "style: balance"),
        (
            "cranks: {length: 140, q_factor: 160, pedal_width: 85, pedal_height: 24}\n",
            "",
        ),
        (FRONT_BRAKE, "  front: {kind: none}"),
        (REAR_BRAKE, "  rear: {kind: none}"),
    ])
}

#[test]
fn only_parts_that_this_bike_has_are_listed() {
    let parts = |bike: &Bike| -> Vec<String> {
        let bolts = plain(bike, &child(1380.0, Stage::Steady)).bolts;
        bolts.into_iter().map(|bolt| bolt.part).collect()
    };
    let coaster = parts(&changed(&[(REAR_BRAKE, "  rear: {kind: coaster}")]));
    assert!(coaster.contains(&"coaster arm strap".to_owned()));
    for absent in ["rear derailleur", "rear disc", "rear rim-brake"] {
        let found = coaster.iter().find(|part| part.contains(absent));
        assert_eq!(found, None, "{absent}");
    }
    let balance = balance();
    let balance_parts = parts(&balance);
    for absent in [
        "pedal",
        "crank",
        "brake",
        "caliper",
        "cable",
        "derailleur",
        "strap",
    ] {
        let found = balance_parts.iter().find(|part| part.contains(absent));
        assert_eq!(found, None, "{absent}");
    }
    for bolt in plain(&balance, &child(1380.0, Stage::Steady)).bolts {
        assert!(!bolt.note.contains("chain"), "{bolt:?}");
        assert!(!bolt.note.contains("rotor"), "{bolt:?}");
    }
}

#[test]
fn a_printed_torque_wins_and_an_unknown_part_is_added() {
    let text = format!(
        "{}torque: {{stem_faceplate bolts: 5, Disc caliper: 7, chain guard: 3}}\n",
        trail_24()
    );
    let bolts = plain(&bike(&text), &child(1380.0, Stage::Steady)).bolts;
    for (part, nm) in [
        ("stem faceplate", 5.0),
        ("front disc caliper", 7.0),
        ("rear disc caliper", 7.0),
        ("chain guard", 3.0),
    ] {
        let rows: Vec<_> = bolts.iter().filter(|bolt| bolt.part == part).collect();
        assert_eq!(rows.len(), 1, "{part}");
        let both = [rows[0].low_nm, rows[0].high_nm];
        assert!(
            both.iter().all(|torque| (torque - nm).abs() < 1e-12),
            "{part}"
        );
        assert!(rows[0].is_printed);
    }
    assert_eq!(bolts.iter().filter(|bolt| bolt.is_printed).count(), 4);
}

#[test]
fn the_post_adds_up_at_every_stage() {
    let bike = changed(&[]);
    let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
    for height in [1350.0, 1420.0, 1500.0, 1600.0] {
        let saddle = plain(&bike, &child(height, Stage::Steady)).saddle;
        // 350 mm post, mark at 80 mm, 27.2 mm diameter: from the sample file.
        assert!(close(saddle.exposed_post_mm + saddle.insertion_mm, 350.0));
        assert!(saddle.insertion_mm >= 80.0 - 1e-9);
        assert!(close(saddle.insertion_left_mm, saddle.insertion_mm - 80.0));
        assert_eq!(saddle.mark_is_two_diameters, Some(true));
        assert!(close(saddle.two_diameters_mm.unwrap(), 54.4));
        assert_eq!(saddle.stages.len(), 3);
        for pair in saddle.stages.windows(2) {
            assert!(pair[1].saddle_height_mm >= pair[0].saddle_height_mm - 1e-9);
        }
        for stage in &saddle.stages {
            assert!(close(
                stage.exposed_post_mm + stage.insertion_left_mm,
                270.0
            ));
        }
        assert!(close(
            saddle.stages[1].saddle_height_mm,
            saddle.saddle_height_mm
        ));
    }
    let short_mark = changed(&[("minimum_insertion: 80", "minimum_insertion: 40")]);
    let saddle = plain(&short_mark, &child(1420.0, Stage::Steady)).saddle;
    assert_eq!(saddle.mark_is_two_diameters, Some(false));
    assert!(saddle.notes[0].contains("fit another post"), "{saddle:?}");
}

#[test]
fn a_band_outside_the_post_says_what_to_do() {
    let low = plain(&changed(&[]), &child(1250.0, Stage::Learning)).saddle;
    assert!(low.stages[0].out_of_range_mm < 0.0);
    assert!(
        low.notes.iter().any(|note| note.contains("smaller bike")),
        "{low:?}"
    );
    let high = plain(&changed(&[]), &child(1750.0, Stage::Confident)).saddle;
    assert!(high.stages[2].out_of_range_mm > 0.0);
    assert!(
        high.notes.iter().any(|note| note.contains("never beyond")),
        "{high:?}"
    );
    assert!(high.insertion_left_mm.abs() < 1e-9);
}

#[test]
fn the_next_check_is_three_months_on_and_short_months_end_on_their_last_day() {
    let next = |on: Date| {
        let rider = child(1380.0, Stage::Steady);
        let handover = handover(&rider, &changed(&[]), &Options::bare(on));
        handover.saddle.next_check
    };
    assert_eq!(next(date(2026, 3, 1)), date(2026, 6, 1));
    assert_eq!(next(date(2026, 11, 30)), date(2027, 2, 28));
    assert_eq!(next(Date::MAX), Date::MAX);
}

#[test]
fn the_saddle_schedule_rises_from_today_to_at_most_the_mark() {
    let rider = rider("{height: 1380, inseam: 660, age: 9y, sex: girl, weight: 31 kg}");
    let handover = handover(&rider, &changed(&[]), &Options::new(ON));
    let raises: Vec<_> = handover.raises().collect();
    assert!(raises.len() > 2, "{:?}", handover.saddle.schedule);
    for pair in raises.windows(2) {
        assert!(pair[1].date > pair[0].date);
        assert!(pair[1].saddle_height_mm > pair[0].saddle_height_mm);
    }
    assert!(raises[0].saddle_height_mm > handover.saddle.saddle_height_mm);
    let highest = handover.fit.bike.saddle_height_max_mm;
    assert!(
        raises
            .iter()
            .all(|raise| raise.saddle_height_mm <= highest + 1e-9)
    );
    let next = raises[0].date.to_string();
    assert!(handover_text::handover(&handover, WIDE).contains(&next));
    assert!(card(&handover, &Extras::default()).unwrap().contains(&next));
}

#[test]
fn without_an_age_text_and_card_say_why_there_are_no_dates() {
    let handover = handover(&rider("height: 1380\n"), &changed(&[]), &Options::new(ON));
    assert_eq!(handover.raises().count(), 0);
    let text = handover_text::handover(&handover, WIDE);
    let card = card(&handover, &Extras::default()).unwrap();
    assert!(text.contains("needs the age") && card.contains("needs the age"));
}

#[test]
fn lever_gaps_stay_inside_lever_hand_and_law() {
    let bike = changed(&[]);
    for hand in [95.0, 110.0, 130.0, 150.0, 170.0, 200.0] {
        let rider = rider(&format!("height: 1380\nhand_length: {hand}\n"));
        let levers = plain(&bike, &rider).levers;
        let lever = levers.front.unwrap();
        let gap = lever.gap_mm.unwrap();
        assert!((45.0..=75.0).contains(&gap), "hand {hand}: {gap}");
        assert!(gap <= levers.lawful_ceiling_mm);
        assert!(gap <= 0.40 * hand || (gap - 45.0).abs() < 1e-9);
        assert!((lever.draw_in_mm.unwrap() - (75.0 - gap)).abs() < 1e-9);
        assert_eq!(lever.is_in_reach, Some(true), "hand {hand}");
    }
    // 0.59 of a 75 mm hand is 44 mm, less than the lever's closest 45.
    let small = plain(&bike, &rider("height: 1380\nhand_length: 75\n")).levers;
    let lever = small.front.unwrap();
    assert_eq!(lever.is_in_reach, Some(false));
    assert!(lever.advice.contains("short-reach lever"), "{lever:?}");
}

#[test]
fn coaster_and_no_brakes_have_their_own_words() {
    let coaster = changed(&[
        (FRONT_BRAKE, "  front: {kind: none}"),
        (REAR_BRAKE, "  rear: {kind: coaster}"),
    ]);
    let coaster = plain(&coaster, &child(1380.0, Stage::Steady));
    assert!(coaster.levers.notes[0].contains("pedalling backwards"));
    assert!(
        coaster
            .child_shows
            .iter()
            .any(|show| show.contains("pedalling backwards"))
    );
    let balance = plain(&balance(), &child(1380.0, Stage::Learning));
    assert!(balance.levers.notes[0].contains("feet"));
    assert_eq!(balance.saddle.stages.len(), 1);
    for show in &balance.child_shows {
        assert!(!show.contains("lever") && !show.contains("pedal"), "{show}");
    }
}

#[test]
fn an_air_spring_scales_with_the_rider_and_stays_in_its_range() {
    let detailed = changed(&[(
        "air_spring: true",
        "air_spring: {reference_pressure: 4 bar, reference_rider: 40 kg, min: 2.5 bar, max: 6 bar}",
    )]);
    let spring = |kg: f64| {
        let rider = rider(&format!("height: 1380\nweight: {kg} kg\n"));
        plain(&detailed, &rider).air_spring.unwrap()
    };
    let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
    let set = spring(32.0);
    // 60 mm of travel: 20, 25, 30 %.
    assert!(
        close(set.sag_low_mm, 12.0)
            && close(set.sag_target_mm, 15.0)
            && close(set.sag_high_mm, 18.0)
    );
    assert!(close(set.start.unwrap().bar, 3.2));
    let light = spring(20.0);
    assert!(close(light.start.unwrap().bar, 2.5));
    assert!(light.notes.iter().any(|note| note.contains("damping")));
    assert!(close(spring(80.0).start.unwrap().bar, 6.0));
    let rigid = changed(&[("travel: 60, air_spring: true", "travel: 0")]);
    let rigid = plain(&rigid, &child(1380.0, Stage::Steady));
    assert_eq!(rigid.air_spring, None);
}

#[test]
fn a_promised_stem_or_spacer_keeps_its_promise_on_the_rebuilt_bike() {
    let (mut stems, mut spacers) = (0, 0);
    for (stem, reach, stack) in [
        (40, 335, 452),
        (110, 345, 452),
        (40, 280, 452),
        (90, 350, 420),
        (40, 330, 540),
        (60, 380, 452),
    ] {
        for height in [1320.0, 1380.0, 1450.0, 1520.0] {
            let stem = format!("stem: {{length: {stem},");
            let reach = format!("reach: {reach}\n");
            let stack = format!("stack: {stack}\n");
            let base = [
                ("stem: {length: 40,", stem.as_str()),
                ("spacers: 10\n", "spacers: 40\n"),
                ("reach: 335\n", reach.as_str()),
                ("stack: 452\n", stack.as_str()),
                PUBLISHED,
            ];
            let rider = child(height, Stage::Confident);
            let bars = plain(&changed(&base), &rider).bars;
            let Some(promised) = bars.lean_after_deg else {
                continue;
            };
            let new_stem = bars
                .stem_mm
                .map(|length| format!("stem: {{length: {length},"));
            let new_spacers = bars
                .spacers_out_mm
                .map(|out| format!("spacers: {}\n", 40.0 - out));
            let mut rebuilt = base;
            if let Some(new) = &new_stem {
                rebuilt[0].1 = new;
                stems += 1;
            }
            if let Some(new) = &new_spacers {
                rebuilt[1].1 = new;
                spacers += 1;
            }
            let after = plain(&changed(&rebuilt), &rider)
                .bars
                .torso_lean_deg
                .unwrap();
            assert!(
                (after - promised).abs() < 1e-6,
                "{after} instead of {promised}"
            );
            let before = bars.torso_lean_deg.unwrap();
            let middle = f64::midpoint(bars.lean_low_deg, bars.lean_high_deg);
            assert!((after - middle).abs() < (before - middle).abs());
        }
    }
    assert!(stems > 0 && spacers > 0, "stems {stems}, spacers {spacers}");
}

fn run(args: &[&str]) -> (u8, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let pictures = tempfile::tempdir().unwrap();
    let out_folder = ["--out", pictures.path().to_str().unwrap()];
    let args = ["inseam"].iter().chain(args).chain(&out_folder);
    let code = cli::run(
        args.map(|arg| OsString::from(*arg)),
        &mut cli::Streams {
            out: &mut out,
            err: &mut err,
            columns: 400,
        },
    );
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (code, text(out), text(err))
}

fn with_child<'a>(args: &[&'a str]) -> Vec<&'a str> {
    const CHILD: [&str; 8] = [
        "--inseam",
        "66cm",
        "--height",
        "138cm",
        "--weight",
        "31kg",
        "--on",
        "2026-03-01",
    ];
    let mut all = vec!["handover"];
    all.extend(args);
    all.extend(CHILD);
    all
}

/// Every `figure unit (figure unit)` whose units are the ones asked for.
fn pairs(text: &str, first_units: &[&str], unit: &str) -> Vec<(String, String)> {
    let text = text.replace('\u{a0}', " ");
    let mut found = Vec::new();
    for (end, _) in text.match_indices(&format!(" {unit})")) {
        let open = text[..end].rfind('(').unwrap();
        let before = text[..open].trim_end();
        for first_unit in first_units {
            let Some(figure) = before.strip_suffix(&format!(" {first_unit}")) else {
                continue;
            };
            let is_figure = |c: char| c.is_ascii_digit() || " ./".contains(c);
            let start = figure.trim_end_matches(is_figure).len();
            found.push((
                format!("{} {first_unit}", figure[start..].trim()),
                format!("{} {unit}", &text[open + 1..end]),
            ));
        }
    }
    found
}

#[test]
fn inches_and_millimetres_and_psi_and_bar_agree_everywhere() {
    let folder = tempfile::tempdir().unwrap();
    let card = folder.path().join("card.html");
    for units in ["mm", "cm", "in"] {
        let path = card.to_str().unwrap();
        let (code, text, _) = run(&with_child(&["trail-24", "--units", units, "--card", path]));
        assert_eq!(code, 0);
        for text in [text, std::fs::read_to_string(&card).unwrap()] {
            let mut lengths = pairs(&text, &["mm", "cm"], "in");
            lengths.extend(pairs(&text, &["in"], "mm"));
            assert!(lengths.len() > 10, "{units}: {lengths:?}");
            for (first, second) in lengths {
                let mm = |text: &str| text.parse::<Length>().unwrap().mm();
                let apart = (mm(&first) - mm(&second)).abs();
                assert!(apart <= 0.8, "{first} ({second})");
            }
            let pressures = pairs(&text, &["bar"], "psi");
            assert!(pressures.len() >= 2);
            for (bar, psi) in pressures {
                let number = |text: &str| text.split(' ').next().unwrap().parse::<f64>().unwrap();
                let apart = (number(&bar) * PSI_PER_BAR - number(&psi)).abs();
                assert!(apart <= 0.5, "{bar} ({psi})");
            }
        }
    }
}

#[test]
fn half_a_bike_says_what_it_needs() {
    let bike = changed(&[
        (", min_pressure: 1.4, max_pressure: 3.5", ""),
        ("weight: 10.4 kg\n", ""),
        ("brakes:\n", ""),
        (FRONT_BRAKE, ""),
        (REAR_BRAKE, ""),
        (
            "  top_tube: {seat_joint: 200, head_joint: 62, diameter: 35}\n",
            "",
        ),
        (", diameter: 27.2", ""),
        PUBLISHED,
    ]);
    let handover = plain(&bike, &rider("height: 1380\n"));
    assert_eq!((handover.tyres.front, handover.tyres.rear), (None, None));
    assert_eq!(handover.levers.front, None);
    assert_eq!(handover.saddle.mark_is_two_diameters, None);
    let text = handover_text::handover(&handover, WIDE);
    let card = card(&handover, &Extras::default()).unwrap();
    for needed in [
        "needs brakes in the frame file",
        "needs the rider's weight, weight in the frame file, tyres.min_pressure, tyres.max_pressure",
        "needs the maker's pressure table (fork.air_spring",
        "needs frame.seat_tube.diameter",
        "needs frame.top_tube",
    ] {
        assert!(text.contains(needed), "{needed}\n{text}");
        let escaped = needed.replace('\'', "&#39;");
        assert!(card.contains(&escaped), "{escaped}");
    }
    assert!(
        !text.contains("NaN") && !text.contains("start at"),
        "{text}"
    );
}

#[test]
fn a_lever_without_a_range_still_gets_the_gap_of_this_hand() {
    let bike = changed(&[(FRONT_BRAKE, "  front: {kind: hand}")]);
    let levers = plain(&bike, &rider("height: 1380\nhand_length: 150\n")).levers;
    assert_eq!(levers.needs, ["brakes.front.reach"]);
    let front = levers.front.unwrap();
    assert!(front.advice.contains("60 mm"), "0.40 of 150 mm: {front:?}");
    assert_eq!((front.gap_mm, front.is_in_reach), (None, None));
}

#[test]
fn the_json_has_the_contract_keys_and_only_finite_numbers() {
    let (code, out, err) = run(&with_child(&["trail-24", "--format", "json"]));
    assert_eq!(code, 0, "{err}");
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(json["schema"], "inseam/handover/1");
    assert_eq!(json["fit"]["schema"], "inseam/fit/1");
    let setting = &json["fit"]["setting"];
    assert_eq!(
        json["saddle"]["saddle_height_mm"],
        setting["saddle_height_mm"]
    );
    assert_eq!(json["levers"]["front"]["gap_mm"], setting["lever_gap_mm"]);
    for wheel in ["front", "rear"] {
        let tyre = &json["tyres"][wheel];
        let (bar, psi) = (tyre["bar"].as_f64().unwrap(), tyre["psi"].as_f64().unwrap());
        assert!((bar * PSI_PER_BAR - psi).abs() < 0.01);
    }
    assert!(json["tyres"]["front_share"].is_f64());
    assert!(json["air_spring"]["sag_target_mm"].is_number());
    for bolt in json["bolts"].as_array().unwrap() {
        for key in ["part", "low_nm", "high_nm", "note"] {
            assert!(!bolt[key].is_null(), "{key} in {bolt}");
        }
    }
    let shows = json["child_shows"].as_array().unwrap();
    assert!(shows.len() >= 5 && shows.iter().all(serde_json::Value::is_string));
    assert!(!json["fit"]["cautions"].as_array().unwrap().is_empty());
    assert_eq!(json["saddle"]["next_check"], "2026-06-01");
}

#[test]
fn every_caution_is_in_text_and_card() {
    let handover = plain(&changed(&[]), &child(1380.0, Stage::Steady));
    let text = handover_text::handover(&handover, WIDE);
    let card = card(&handover, &Extras::default()).unwrap();
    for caution in inseam::fit::cautions::CAUTIONS {
        assert!(text.contains(caution), "{caution}");
        assert!(card.contains(&caution.replace('\'', "&#39;")), "{caution}");
    }
}

#[test]
fn a_bike_that_does_not_fit_is_not_handed_over_in_silence() {
    let handover = plain(&changed(&[]), &child(1150.0, Stage::Steady));
    assert!(!handover.fit.verdict.fits());
    let text = handover_text::handover(&handover, WIDE);
    let card = card(&handover, &Extras::default()).unwrap();
    for text in [text, card] {
        assert!(text.contains("do not hand it over"), "{text}");
    }
    let args = ["handover", "trail-24", "--height", "115cm", "--strict"];
    assert_eq!(run(&args).0, 3);
}

#[test]
fn a_failed_run_leaves_the_old_card_and_prints_no_half_answer() {
    let folder = tempfile::tempdir().unwrap();
    let card = folder.path().join("card.html");
    std::fs::write(&card, "the old card").unwrap();
    let path = card.to_str().unwrap();
    let (code, out, err) = run(&["handover", "trail-24", "--card", path]);
    assert_eq!((code, out.as_str()), (1, ""), "{err}");
    let (code, _, _) = run(&with_child(&["no-such-bike", "--card", path]));
    assert_eq!(code, 1);
    assert_eq!(std::fs::read_to_string(&card).unwrap(), "the old card");

    let a_folder = folder.path().to_str().unwrap();
    let (code, out, err) = run(&with_child(&["trail-24", "--card", a_folder]));
    assert_eq!((code, out.as_str()), (1, ""), "a folder is no card: {err}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);

    let (code, _, _) = run(&with_child(&["trail-24", "--card", path]));
    assert_eq!(code, 0);
    let written = std::fs::read_to_string(&card).unwrap();
    assert!(written.starts_with("<!DOCTYPE html>"));
    assert!(written.trim_end().ends_with("</html>"));
}
