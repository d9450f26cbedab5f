//! The handover against things outside it: the tyre formula written out again in SI, the trade's torque
//! table, the post's own arithmetic, and a rebuilt bike for every change that it promises.

use std::sync::Arc;

use inseam::advice::handover::bolts;
use inseam::advice::handover::kit::Kit;
use inseam::advice::handover::levers::Levers;
use inseam::advice::handover::pressure::Limit;
use inseam::advice::handover::{Handover, Work, handover};
use inseam::bike::{Bike, library};
use inseam::draw::card_view;
use inseam::file::Document;
use inseam::fit::Status;
use inseam::fit::checks::CheckId;
use inseam::report::build_sheet::build_sheet;
use inseam::report::card::{Extras, card};
use inseam::report::terminal::Layout;
use inseam::report::{contract, handover_text, json};
use inseam::rider::{Rider, RiderFile, Stage};
use inseam::units::{Length, PSI_PER_BAR};
use inseam::{Options, Units};
use jiff::civil::{Date, date};

const ON: Date = date(2026, 3, 1);
const WIDE: Layout = Layout {
    columns: 400,
    units: Units::Mm,
};

fn rider(text: &str) -> Arc<Rider> {
    let file: RiderFile = Document::from_text("rider", text).read().unwrap();
    Arc::new(Rider::new(&file, ON).unwrap())
}

/// A child of this height with an ordinary weight: 16 kg for every square metre of height.
fn child(height_mm: f64, stage: Stage) -> Arc<Rider> {
    let weight = 16.0 * (height_mm / 1000.0).powi(2);
    rider(&format!(
        "height: {height_mm}\nweight: {weight:.2} kg\nstage: {stage}\n"
    ))
}

/// The sample without its parts, so that tests may say which it has.
fn trail_24() -> String {
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "trail-24");
    let (before, after) = sample.unwrap().1.split_once("parts:\n").unwrap();
    let (_, after) = after.split_once("weight:").unwrap();
    format!("{before}weight:{after}")
}

fn bike(text: &str) -> Arc<Bike> {
    let read = library::read("bike", &Document::from_text("bike", text));
    Arc::new(read.unwrap_or_else(|error| panic!("{error}")))
}

/// The sample with some of its text exchanged; a text that is not there is a broken test.
fn changed(changes: &[(&str, &str)]) -> Arc<Bike> {
    let mut text = trail_24();
    for (from, to) in changes {
        assert!(text.contains(from), "{from:?} is not in the sample");
        text = text.replace(from, to);
    }
    bike(&text)
}

fn plain(bike: &Arc<Bike>, rider: &Arc<Rider>) -> Handover {
    handover(rider, bike, &Options::bare(ON))
}

/// The work order of a pair that fits.
fn order(bike: &Arc<Bike>, rider: &Arc<Rider>) -> Work {
    let handover = plain(bike, rider);
    handover
        .work
        .unwrap_or_else(|stop| panic!("{} on {}: {stop:?}", rider.height.mm(), bike.id))
}

fn contract(handover: &Handover) -> serde_json::Value {
    let mut out = Vec::new();
    json::write(&mut out, &contract::handover(handover, Units::Mm)).unwrap();
    serde_json::from_slice(&out).unwrap()
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
                let share = handover.work.unwrap().tyres.front_share.unwrap();
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
    for weight in [27.0, 31.0, 45.0, 60.0] {
        let rider = rider(&format!("height: 1380\nweight: {weight} kg\n"));
        let tyres = order(&bike, &rider).tyres;
        let share = tyres.front_share.unwrap();
        for (set, share) in [(tyres.front, share), (tyres.rear, 1.0 - share)] {
            let set = set.unwrap();
            // 54-507 in metres; F / (π d √(R r)) in pascal; Berto after Heine, common practice.
            let (width, radius) = (0.054, 0.507 / 2.0 + 0.054);
            let newton = (weight + 10.4) * 9.80665 * share;
            let drop = 0.15 * width;
            let root = (radius * width / 2.0_f64).sqrt();
            let bar = newton / (std::f64::consts::PI * drop * root) / 1e5;
            // To the nearest 0.05 bar of the gauge.
            assert!((set.bar - bar).abs() < 0.025 + 1e-9, "{set} against {bar}");
            assert_eq!(set.limited_by, None);
        }
    }
}

#[test]
fn pressure_rises_with_weight_and_falls_with_width_in_steps_of_the_gauge() {
    let at = |bike: &Arc<Bike>, kg: f64| {
        let tyres = order(bike, &rider(&format!("height: 1380\nweight: {kg} kg\n"))).tyres;
        (tyres.front.unwrap().bar, tyres.rear.unwrap().bar)
    };
    let on_a_step = |bar: f64| (bar * 20.0 - (bar * 20.0).round()).abs() < 1e-9;
    let bike = changed(&[WIDE_OPEN]);
    let (first, mut last) = (at(&bike, 27.0), (0.0, 0.0));
    for kg in 27..70 {
        let now = at(&bike, f64::from(kg));
        assert!(now.0 >= last.0 && now.1 >= last.1, "{kg} kg: {now:?}");
        assert!(on_a_step(now.0) && on_a_step(now.1), "{now:?}");
        // The rear wheel carries more.
        assert!(now.1 > now.0, "{now:?}");
        last = now;
    }
    assert!(last.0 > first.0 && last.1 > first.1);
    let mut last = (f64::INFINITY, f64::INFINITY);
    for width in (35..65).step_by(10) {
        let marking = format!("{width}-507");
        let now = at(
            &changed(&[WIDE_OPEN, ("54-507", &marking), PUBLISHED]),
            31.0,
        );
        assert!(now.0 < last.0 && now.1 < last.1, "{marking}: {now:?}");
        last = now;
    }
}

#[test]
fn a_light_child_gets_the_printed_minimum_said_once_and_a_heavy_one_the_maximum() {
    let light = order(&changed(&[]), &rider("height: 1380\nweight: 28 kg\n"));
    let front = light.tyres.front.unwrap();
    assert!((front.bar - 1.4).abs() < 1e-12);
    assert_eq!(front.limited_by, Some(Limit::PrintedMinimum));
    let lines = light.settings(Units::Mm);
    let tyres: Vec<_> = lines
        .iter()
        .filter(|line| line.what.contains("tyre"))
        .collect();
    assert_eq!(tyres.len(), 1, "{tyres:?}");
    assert_eq!(tyres[0].what, "both tyres");
    assert!(tyres[0].note.contains("printed minimum"));

    let narrow = changed(&[
        ("54-507", "28-507"),
        PUBLISHED,
        ("max_pressure: 3.5", "max_pressure: 2.5"),
    ]);
    let heavy = order(&narrow, &rider("height: 1420\nweight: 75 kg\n")).tyres;
    let rear = heavy.rear.unwrap();
    assert_eq!(rear.limited_by, Some(Limit::PrintedMaximum));
    assert!((rear.bar - 2.5).abs() < 1e-12);
}

#[test]
fn where_the_printed_minimum_decides_for_one_wheel_that_wheel_is_named_and_no_rider() {
    let at = |kg: f64| {
        let work = order(
            &changed(&[]),
            &rider(&format!("height: 1380\nweight: {kg} kg\n")),
        );
        let limits = [work.tyres.front, work.tyres.rear].map(|set| set.unwrap().limited_by);
        (limits, work.tyres.notes().join(" "))
    };
    let one = (28..80).map(|kg| at(f64::from(kg)));
    let mut one = one.filter(|(limits, _)| *limits == [Some(Limit::PrintedMinimum), None]);
    let (_, notes) = one.next().expect("the front wheel carries less");
    assert!(
        notes.contains("Front: the printed minimum decides"),
        "{notes}"
    );
    assert!(
        !notes.contains("ight rider") && !notes.contains("Rear:"),
        "{notes}"
    );
    assert!(!at(28.0).1.contains("printed minimum"));
}

#[test]
fn without_both_ends_of_the_printed_range_no_pressure_is_given() {
    for range in ["min_pressure: 1.4", "max_pressure: 3.5"] {
        let bike = changed(&[("min_pressure: 1.4, max_pressure: 3.5", range)]);
        let rider = rider("height: 1380\nweight: 31 kg\n");
        let work = order(&bike, &rider);
        assert_eq!((work.tyres.front, work.tyres.rear), (None, None));
        let text = handover_text::handover(&plain(&bike, &rider), WIDE);
        assert!(!text.contains(" bar ("), "{text}");
        assert!(text.contains("without it no pressure is given"), "{text}");
    }
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
        ("crank pinch bolts", [12.0, 15.0]),
        ("crank preload cap", [1.0, 2.0]),
        ("square-taper crank bolts", [34.0, 44.0]),
        ("right pedal", [35.0, 40.0]),
        ("left pedal", [35.0, 40.0]),
        ("front disc caliper", [6.0, 8.0]),
        ("rear disc caliper", [6.0, 8.0]),
        // From memory: an arm on its boss, a caliper's centre bolt, a pad's bolt, a gear cable's anchor.
        ("front rim-brake arm", [5.0, 7.0]),
        ("rear rim-brake arm", [5.0, 7.0]),
        ("front rim caliper", [8.0, 9.6]),
        ("rear rim caliper", [8.0, 9.6]),
        ("front brake pads", [5.0, 9.0]),
        ("rear brake pads", [5.0, 9.0]),
        ("gear cable anchor", [4.0, 6.0]),
        ("brake cable anchor", [6.0, 8.0]),
        ("rear derailleur", [8.0, 10.0]),
        ("front axle nuts", [20.0, 25.0]),
        ("rear axle nuts", [25.0, 35.0]),
        ("cable guide", [1.0, 2.0]),
    ];
    let bolts = order(&changed(&[]), &child(1380.0, Stage::Steady)).bolts;
    let place = |part: &str| {
        let found = bolts.iter().position(|bolt| bolt.part == part);
        found.unwrap_or_else(|| panic!("no row for {part}"))
    };
    let close = |a: f64, b: f64| (a - b).abs() < 1e-12;
    for (part, [low, high]) in table {
        let bolt = &bolts[place(part)];
        let [least, most] = bolt.tight.nm().unwrap();
        assert!(close(least, low) && close(most, high), "{bolt:?}");
    }
    // Small two-bolt clamps 5 to 8, one large M8 16 to 20 (common practice): told apart.
    let clamps: Vec<_> = bolts
        .iter()
        .filter(|bolt| bolt.part == "saddle rail clamp")
        .filter_map(|bolt| bolt.tight.nm())
        .collect();
    assert_eq!(clamps, [[5.0, 8.0], [16.0, 20.0]]);
    assert!(place("front axle nuts") < place("top cap"));
    assert!(place("top cap") < place("steerer clamp"));
    assert!(place("crank preload cap") < place("crank pinch bolts"));
    assert!(place("crank pinch bolts") < place("rear axle nuts"));
    assert!(bolts[place("left pedal")].note.contains("left-hand thread"));
    assert!(bolts[place("top cap")].note.contains("plastic"));
    for bolt in &bolts {
        assert!(!bolt.source.citation().is_empty());
        match bolt.tight.nm() {
            Some([low, high]) => assert!(low <= high, "{bolt:?}"),
            // No torque: the note says how it is closed.
            None => assert!(!bolt.note.is_empty(), "{bolt:?}"),
        }
    }
    // What is usually printed: 5 at the stem, 1 to 2 at the top cap, 12 to 14 at the pinch bolts.
    for (part, [low, high]) in [
        ("stem faceplate", [5.0, 5.0]),
        ("steerer clamp", [5.0, 5.0]),
        ("top cap", [1.0, 2.0]),
        ("crank pinch bolts", [12.0, 14.0]),
    ] {
        let bolt = &bolts[place(part)];
        let [least, most] = bolt.tight.nm().unwrap();
        assert!(least <= low && most >= high, "{bolt:?}");
    }
}

#[test]
fn no_torque_is_more_than_its_screw_bears() {
    // Tightening torque of class 8.8 screws at a friction of 0.12, N·m: VDI 2230 table, from memory. Parts of
    // bikes use these threads (common practice); a range may not ask for more than the screw bears.
    let bears = [(5, 5.5), (6, 9.6), (8, 23.0), (10, 46.0), (14, 127.0)];
    let threads = [
        ("stem faceplate", 6),
        ("steerer clamp", 6),
        ("brake lever clamp", 5),
        ("seat clamp", 6),
        ("front disc caliper", 6),
        ("front rim-brake arm", 6),
        ("front rim caliper", 6),
        ("front brake pads", 6),
        ("brake cable anchor", 6),
        ("quill bolt", 8),
        ("square-taper crank bolts", 8),
        ("right pedal", 14),
        ("front axle nuts", 10),
        ("rear axle nuts", 10),
        ("coaster arm strap", 5),
    ];
    let coaster = changed(&[(REAR_BRAKE, "  rear: {kind: coaster}")]);
    let mut bolts = order(&changed(&[]), &child(1380.0, Stage::Steady)).bolts;
    bolts.extend(order(&coaster, &child(1380.0, Stage::Steady)).bolts);
    for (part, thread) in threads {
        let bolt = bolts.iter().find(|bolt| bolt.part == part).unwrap();
        let (_, most) = bears.iter().find(|(size, _)| *size == thread).unwrap();
        // Crank bolts are M8 of class 10.9 and 12.9, which bear 33 and 39, and are greased (common practice).
        let most = if part.contains("crank") { 44.0 } else { *most };
        let [_, high] = bolt.tight.nm().unwrap();
        assert!(high <= most, "{bolt:?} on M{thread}: {most}");
    }
}

fn balance() -> Arc<Bike> {
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
    let parts = |bike: &Arc<Bike>| -> Vec<String> {
        let bolts = bolts::bolts(bike, &Kit::of(bike));
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
    for bolt in bolts::bolts(&balance, &Kit::of(&balance)) {
        assert!(!bolt.note.contains("rotor"), "{bolt:?}");
    }
}

#[test]
fn a_printed_torque_wins_and_an_unknown_part_is_added() {
    let text = format!(
        "{}torque: {{stem_faceplate bolts: 5, Disc caliper: 7, chain guard: 3}}\n",
        trail_24()
    );
    let bolts = order(&bike(&text), &child(1380.0, Stage::Steady)).bolts;
    for (part, nm) in [
        ("stem faceplate", 5.0),
        ("front disc caliper", 7.0),
        ("rear disc caliper", 7.0),
        ("chain guard", 3.0),
    ] {
        let rows: Vec<_> = bolts.iter().filter(|bolt| bolt.part == part).collect();
        assert_eq!(rows.len(), 1, "{part}");
        let both = rows[0].tight.nm().unwrap();
        assert!(
            both.iter().all(|torque| (torque - nm).abs() < 1e-12),
            "{part}"
        );
        assert!(rows[0].is_printed);
    }
    assert_eq!(bolts.iter().filter(|bolt| bolt.is_printed).count(), 4);
    // A printed disc caliper proves that there is no rim brake.
    assert!(!bolts.iter().any(|bolt| bolt.part.contains("rim-brake")));
}

#[test]
fn a_range_that_is_printed_on_a_part_stands_as_it_is_printed() {
    let text = format!("{}torque: {{stem_faceplate bolts: 4–6 Nm}}\n", trail_24());
    let (bike, rider) = (bike(&text), rider("height: 1380\n"));
    let handover = plain(&bike, &rider);
    let bolts = &order(&bike, &rider).bolts;
    let printed: Vec<_> = bolts.iter().filter(|bolt| bolt.is_printed).collect();
    assert!(!printed.is_empty());
    for bolt in &printed {
        assert_eq!(bolt.tight.nm(), Some([4.0, 6.0]), "{}", bolt.part);
        assert_eq!(bolt.doubt, None);
    }
    let told = handover_text::handover(&handover, WIDE);
    assert!(told.contains("4-6"), "{told}");
    // Over double of the usual at its upper end is as doubtful as a figure that is.
    let text = format!("{}torque: {{stem_faceplate bolts: 5-60}}\n", trail_24());
    assert_eq!(bolts::doubts(&self::bike(&text)).len(), 1);
}

#[test]
fn a_torque_that_names_no_part_or_another_bikes_or_is_far_off_is_said_to_be_doubtful() {
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "trail-24");
    let with = |torque: &str| bike(&format!("{}torque: {{{torque}}}\n", sample.unwrap().1));
    for (torque, doubt) in [
        ("seat clmap: 5", Some("did you mean `seat clamp`?")),
        ("chain guard: 3", Some("not a name of the bolt list")),
        (
            "front thru-axle: 10",
            Some("by its file this bike has none"),
        ),
        (
            "front rim-brake arm: 9",
            Some("by its file this bike has none"),
        ),
        // 5 to 7 (common practice): more than double, less than half, and the edges of both.
        ("seat clamp: 15", Some("5 to 7 is usual")),
        ("seat clamp: 2.4", Some("5 to 7 is usual")),
        ("seat clamp: 14", None),
        ("seat clamp: 2.5", None),
        ("Disc caliper: 7", None),
    ] {
        let bike = with(torque);
        let said = bolts::doubts(&bike);
        let name = torque.split(':').next().unwrap();
        assert_eq!(said.len(), usize::from(doubt.is_some()), "{said:?}");
        if let Some(doubt) = doubt {
            assert!(said[0].starts_with(&format!("torque.{name}: ")), "{said:?}");
            assert!(said[0].contains(doubt), "{said:?}");
        }
        let bolts = bolts::bolts(&bike, &Kit::of(&bike));
        let doubted = bolts
            .iter()
            .filter(|bolt| bolt.is_printed && bolt.doubt.is_some());
        assert_eq!(doubted.count(), said.len(), "{torque}");
    }
    // The paper that the torque stands on says it beside the figure.
    let html = build_sheet(&with("seat clamp: 15"), &Extras::default()).unwrap();
    assert!(html.contains("5 to 7 is usual"), "{html}");
}

/// A part marked 5 to 6 is not closed to 7, whichever of two it is.
#[test]
fn a_torque_whose_part_may_be_one_of_several_makes_the_figures_of_all_of_them_step_back() {
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "trail-24");
    let with = |torque: &str| bike(&format!("{}torque: {{{torque}}}\n", sample.unwrap().1));
    let figure = |bike: &Bike, part: &str| {
        let bolts = bolts::bolts(bike, &Kit::of(bike));
        let mut named = bolts.iter().filter(|bolt| bolt.part == part);
        named.next().unwrap().tight.nm()
    };
    for name in ["stem", "stem bolt"] {
        let bike = with(&format!("{name}: 5-6"));
        for part in ["steerer clamp", "stem faceplate"] {
            assert_eq!(figure(&bike, part), None, "{name}: {part}");
        }
        assert_eq!(figure(&bike, "top cap"), Some([1.0, 2.0]));
        let said = bolts::doubts(&bike);
        assert!(
            said[0].contains("`steerer clamp` or `stem faceplate`"),
            "{said:?}"
        );
        let names = bolts::names_to_write(&bike);
        assert!(
            names.iter().any(|name| name == "steerer clamp"),
            "{names:?}"
        );
        assert!(
            names.iter().all(|name| !name.contains("quick-release")),
            "{names:?}"
        );
        let html = build_sheet(&bike, &Extras::default()).unwrap();
        let html = html.replace('\u{a0}', " ").replace('\u{2011}', "-");
        for part in ["steerer clamp", "stem faceplate"] {
            let again =
                format!("Torque of the {part}: {name} 5-6 may be its figure: read the part.");
            assert_eq!(html.matches(&again).count(), 1, "{html}");
        }
        let other = format!("{name} 5-6 <span class=\"box\"></span>");
        assert!(html.contains(&other), "{html}");
        let text = handover_text::handover(&plain(&bike, &child(1380.0, Stage::Steady)), WIDE);
        assert!(
            text.contains("`steerer clamp` or `stem faceplate`"),
            "{text}"
        );
    }
    // What is named beside it keeps its figure; a slip is not taken for the part, and not left beside it.
    let named = with("stem: 5-6, steerer clamp: 5");
    assert_eq!(figure(&named, "steerer clamp"), Some([5.0, 5.0]));
    assert_eq!(figure(&named, "stem faceplate"), None);
    assert_eq!(figure(&with("seat clmap: 5"), "seat clamp"), None);
    // A name that can only be one part is that part.
    let coaster = library::SAMPLES
        .iter()
        .find(|(_, text)| text.contains("coaster"));
    let coaster = bike(&format!(
        "{}torque: {{coaster arm: 2.5}}\n",
        coaster.unwrap().1
    ));
    assert_eq!(figure(&coaster, "coaster arm strap"), Some([2.5, 2.5]));
    assert_eq!(bolts::doubts(&coaster), Vec::<String>::new());
    assert!(bolts::names_to_write(&coaster).is_empty());
}

#[test]
fn two_figures_for_one_part_are_named_and_so_is_the_bolt_that_another_name_went_to() {
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "trail-24");
    let text = sample.unwrap().1;
    let front_disc = text
        .replace("rear_brake: hydraulic-disc", "rear_brake: linear-pull")
        .replace("rear_brake: mechanical-disc", "rear_brake: linear-pull");
    assert!(front_disc.contains("rear_brake: linear-pull") && text.contains("-disc"));
    let with = |text: &str, torque: &str| bike(&format!("{text}torque: {{{torque}}}\n"));
    let bolt = |bike: &Bike, part: &str| {
        let bolts = bolts::bolts(bike, &Kit::of(bike));
        bolts.into_iter().find(|bolt| bolt.part == part).unwrap()
    };
    let both = with(&front_disc, "rotor bolts: 2-4, front rotor bolts: 6");
    let said = bolts::doubts(&both);
    let named = "`front rotor bolts` 6 and `rotor bolts` 2-4 are given for it";
    assert!(said.iter().any(|doubt| doubt.contains(named)), "{said:?}");
    let shown = bolt(&both, "front rotor bolts");
    assert_eq!(shown.tight.nm(), None);
    assert!(shown.doubt.unwrap().contains("2-4"));
    // Where the name without a side has a wheel of its own, nothing is lost; nor where both say the same.
    assert!(bolts::doubts(&with(text, "rotor bolts: 4, front rotor bolts: 6")).is_empty());
    assert!(bolts::doubts(&with(&front_disc, "rotor bolts: 6, front rotor bolts: 6")).is_empty());
    // A name that is none of the list's is told with its bolt.
    let quick = text.replace("seat_clamp: bolt", "seat_clamp: quick-release");
    let quick = with(&quick, "headset: 2, seatpost: 6");
    assert_eq!(
        bolts::given_to(&quick),
        [
            "torque.headset is taken for the top cap",
            "torque.seatpost is taken for the saddle rail clamp"
        ]
    );
    let list = handover_text::handover(&plain(&quick, &child(1380.0, Stage::Steady)), WIDE);
    assert!(
        list.contains("`headset` in the file") && list.contains("`seatpost` in the file"),
        "{list}"
    );
    // Front and rear are told apart, and no part is named twice.
    let said = bolts::doubts(&with(text, "brakes: 6"));
    for part in [
        "`front disc caliper`",
        "`rear disc caliper`",
        "`brake lever clamp`",
    ] {
        assert_eq!(said[0].matches(part).count(), 1, "{said:?}");
    }
}

/// By hand: at its mark 300 - 75 = 225 mm of post show, and the tape has the saddle at 805 mm there; along the tube the
/// saddle comes down by the height over the sine of the tube's angle.
#[test]
fn a_taped_post_of_known_length_shows_what_its_mark_leaves_less_what_it_is_lowered() {
    const TAPED: &str = "name: Invented taped\nstyle: street\ntyres: {front: 47-406, rear: 47-406}\n\
         measured: {bottom_bracket_height: 260, seat_height_lowest: 655, seat_height_highest: 805, standover: 560}\n\
         cranks: {length: 140}\nbrakes: {front: {kind: hand}, rear: {kind: hand}}\n";
    let post =
        "seat_post: {length: 300, minimum_insertion: 75}\nframe: {seat_tube: {diameter: 27.2}}\n";
    let bike = bike(&format!("{TAPED}{post}"));
    let child = rider("height: 1350\ninseam: 640\nweight: 28 kg\n");
    let pair = inseam::assess(&child, &bike, &Options::bare(ON));
    let set = pair.pair().setting();
    let angle = bike.drawing.seat_tube_angle_deg.to_radians();
    let shows = 225.0 - (805.0 - set.seat_height_mm) / angle.sin();
    // A tape's reading, 3 mm.
    assert!(
        (set.exposed_post_mm.unwrap() - shows).abs() < 3.0,
        "{set:?} {shows}"
    );
    assert!(
        (set.insertion_mm.unwrap() - (300.0 - shows)).abs() < 3.0,
        "{set:?}"
    );
    let finding = pair.finding(CheckId::PostInsertion).unwrap();
    assert_eq!(finding.measure.status, Status::Ok, "{finding:?}");
    // Without the highest saddle, what stands above the tube is what is missing, not the post.
    let text = format!("{TAPED}{post}").replace("seat_height_highest: 805, ", "");
    let open = self::bike(&text);
    assert_eq!(open.wants_of_post(), Some("frame.seat_tube.length"));
    let without = self::bike(TAPED);
    assert_eq!(without.wants_of_post(), Some("seat_post.length"));
    // A mark alone does not tell how long the post is.
    let marked = self::bike(&format!("{TAPED}seat_post: {{minimum_insertion: 75}}\n"));
    assert_eq!(marked.wants_of_post(), Some("seat_post.length"));
    // Where the mark stops the saddle is known of that one all the same.
    let tall = rider("height: 1450\ninseam: 700\nweight: 35 kg\nstage: confident\n");
    let tall = plain(&without, &tall);
    let text = handover_text::handover(&tall, WIDE);
    assert!(text.contains("low, post at its mark"), "{text}");
    for said in [
        "mark not known",
        "where the post's mark is nobody measured",
        "find the mark",
    ] {
        assert!(!text.contains(said), "{said}: {text}");
    }
    let sheet = build_sheet(&tall, &Extras::default()).unwrap();
    assert!(!sheet.contains("find the mark"), "{sheet}");
}

#[test]
fn the_room_to_raise_is_what_is_inside_less_what_the_mark_asks_for_as_both_are_told() {
    // Half-millimetres in every place: rounded apart, inside and room would not add up.
    for tenth in 0..40_u8 {
        let inseam = 620.0 + f64::from(tenth) * 1.3;
        let rider = rider(&format!("height: 1350\ninseam: {inseam}\nweight: 27 kg\n"));
        let bike = library::sample("trail-24").unwrap();
        let handover = plain(&bike, &rider);
        let Ok(work) = &handover.work else { continue };
        let (saddle, set) = (&work.saddle, work.saddle.setting);
        if set.is_at_mark {
            continue;
        }
        let mark = saddle.minimum_insertion_mm.unwrap();
        let inside = set.insertion_mm.unwrap().round_ties_even();
        let room = format!("room to raise the saddle {:.0} mm", inside - mark.ceil());
        let lines = work.settings(Units::Mm);
        assert!(
            lines.iter().any(|line| line.note.contains(&room)),
            "{room}: {lines:?}"
        );
    }
}

#[test]
fn who_grows_no_more_outgrows_nothing() {
    let mut cautions = 0;
    for step in 0..80_u8 {
        let inseam = 640.0 + f64::from(step) * 2.0;
        let told = |age: &str| {
            let rider = rider(&format!(
                "height: {}\ninseam: {inseam}\nage: {age}\n",
                inseam * 2.12
            ));
            let fit = plain(&library::sample("trail-24").unwrap(), &rider).fit;
            let finding = fit.finding(CheckId::LegRoom).unwrap();
            (finding.status() == Status::Caution).then(|| fit.advice(&finding, Units::Mm))
        };
        let (Some(grown), Some(child)) = (told("35y"), told("9y")) else {
            continue;
        };
        cautions += 1;
        assert!(!grown.contains("outgrown"), "{grown}");
        assert!(grown.contains("too small from 60° on"), "{grown}");
        assert!(child.contains("outgrown from 60° on"), "{child}");
    }
    assert!(cautions > 0);
}

#[test]
fn a_bolt_without_a_figure_says_how_it_is_closed_and_never_a_dash_with_a_unit() {
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "trail-24");
    let text = handover_text::handover(
        &plain(&bike(sample.unwrap().1), &child(1380.0, Stage::Steady)),
        WIDE,
    );
    let lever = text
        .lines()
        .find(|line| line.contains("front quick-release"));
    assert!(lever.unwrap().contains("by hand"), "{text}");
    assert!(!lever.unwrap().contains(" - "), "{text}");
}

#[test]
fn without_a_known_mark_no_highest_saddle_and_no_room_is_told() {
    let unmarked = changed(&[(", minimum_insertion: 80", "")]);
    let rider = child(1380.0, Stage::Steady);
    let handover = plain(&unmarked, &rider);
    let work = handover.work.as_ref().unwrap();
    assert!(work.saddle.setting.exposed_post_mm.is_some());
    let extras = Extras {
        picture: Some(card_view(&handover.fit, Units::Mm).svg),
        ..Extras::default()
    };
    for sheet in [
        handover_text::handover(&handover, WIDE),
        card(&handover, &extras).unwrap(),
        build_sheet(&handover, &extras).unwrap(),
    ] {
        let sheet = sheet.replace('\u{a0}', " ");
        assert!(
            sheet.contains("find the mark printed on the post"),
            "{sheet}"
        );
        for told in [
            "ever above",
            "room to raise",
            "the mark asks for",
            "or more inside",
        ] {
            assert!(!sheet.contains(told), "{told}\n{sheet}");
        }
    }
    let lines = work.settings(Units::Mm);
    assert!(lines.iter().all(|line| line.what != "post inside"));
    let json = contract(&handover);
    assert!(json["saddle"]["saddle_height_max_mm"].is_null());
    assert!(json["saddle"]["insertion_left_mm"].is_null());
    for stage in json["saddle"]["stages"].as_array().unwrap() {
        assert!(stage["insertion_left_mm"].is_null(), "{stage}");
    }
    let mut steps = json["steps"].as_array().unwrap().iter();
    let post = steps.find(|step| step["kind"] == "post").unwrap();
    let mut figures = post["figures"].as_array().unwrap().iter();
    assert!(figures.all(|figure| {
        figure["key"] != "saddle_height_max_mm" && figure["key"] != "minimum_insertion_mm"
    }));
}

#[test]
fn a_saddle_at_an_end_of_its_post_says_so_and_is_not_rounded_past_it() {
    let (mut at_mark, mut right_down) = (0, 0);
    for bike in library::samples() {
        for (stage, step) in Stage::ALL
            .iter()
            .flat_map(|s| (0..64).map(move |i| (*s, i)))
        {
            let rider = child(840.0 + 15.0 * f64::from(step), stage);
            let handover = plain(&bike, &rider);
            let Ok(work) = &handover.work else { continue };
            let (pair, post) = (handover.fit.pair(), &bike.layout.post);
            let position = pair.pose.position;
            let words = if position > post.highest_mm - 1e-6 {
                at_mark += 1;
                "the post is at its mark: it goes no higher"
            } else if position < post.lowest_mm + 1e-6 {
                right_down += 1;
                "the post is right down"
            } else {
                continue;
            };
            let extras = Extras::default();
            for sheet in [
                handover_text::handover(&handover, WIDE),
                card(&handover, &extras).unwrap(),
                build_sheet(&handover, &extras).unwrap(),
            ] {
                let sheet = sheet.replace('\u{a0}', " ");
                assert!(sheet.contains(words), "{}: {words}\n{sheet}", bike.id);
                assert!(!sheet.contains("room to raise the saddle 0"), "{sheet}");
            }
            let first = &work.settings(Units::Mm)[0];
            let rulers = first.figure.trim_end_matches(')').split_once(" (").unwrap();
            let highest = if bike.is_balance() {
                bike.layout.seat_height_mm(post.highest_mm)
            } else {
                post.saddle_height_mm(post.highest_mm)
            };
            for figure in [rulers.0, rulers.1] {
                let mm = figure.parse::<Length>().unwrap().mm();
                assert!(mm <= highest + 1e-5, "{}: {figure}", bike.id);
            }
        }
    }
    assert!(at_mark > 0 && right_down > 0, "{at_mark}, {right_down}");
}

#[test]
fn an_undecided_pair_is_told_to_which_side_it_leans_and_its_card_says_stop() {
    let bike = library::sample("step-26").unwrap();
    let rider = rider("{height: 1380, inseam: 660, weight: 31 kg}");
    let handover = handover(&rider, &bike, &Options::new(ON));
    assert_eq!(handover.fit.verdict.word(), "undecided");
    let side = handover.fit.leans().word();
    let sentence = format!("As measured, it leans to: {}.", side.replace('-', " "));
    let page = card(&handover, &Extras::default()).unwrap();
    let text = handover_text::handover(&handover, WIDE);
    for sheet in [text, page.replace('\u{a0}', " ")] {
        assert!(sheet.contains(&sentence), "{sheet}");
    }
    let (_, title) = page.split_once("<h1>").unwrap();
    assert!(title.starts_with("Stop"), "{title}");
    assert_eq!(contract(&handover)["leans"], side);
    let fits = plain(&changed(&[]), &child(1380.0, Stage::Steady));
    assert!(contract(&fits)["leans"].is_null());
}

#[test]
fn the_text_says_which_lever_works_the_front_brake() {
    let text = |bike: &Arc<Bike>, rider| handover_text::handover(&plain(bike, &rider), WIDE);
    let levers = text(&changed(&[]), child(1380.0, Stage::Steady));
    assert!(levers.contains("Front brake: left lever where traffic keeps right"));
    let balance = library::sample("balance-12").unwrap();
    let none = text(&balance, child(900.0, Stage::Learning));
    assert!(
        !none.contains("lever where traffic") && !none.contains("cable"),
        "{none}"
    );
}

#[test]
fn the_post_adds_up_at_every_stage() {
    let bike = changed(&[]);
    let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
    for height in [1350.0, 1380.0, 1420.0] {
        let saddle = order(&bike, &child(height, Stage::Steady)).saddle;
        let set = saddle.setting;
        // 350 mm post, mark at 80 mm, 27.2 mm diameter: from the sample file.
        let (shows, inside) = set.exposed_post_mm.zip(set.insertion_mm).unwrap();
        assert!(close(shows + inside, 350.0));
        assert!(inside >= 80.0 - 1e-9);
        assert!(close(saddle.insertion_left_mm().unwrap(), inside - 80.0));
        assert_eq!(saddle.mark_is_two_diameters(), Some(true));
        assert!(close(saddle.two_diameters_mm.unwrap(), 54.4));
        assert_eq!(saddle.stages.len(), 3);
        for pair in saddle.stages.windows(2) {
            let [low, high] = [0, 1].map(|index| pair[index].setting.saddle_height_mm);
            assert!(high >= low - 1e-9);
        }
        for stage in &saddle.stages {
            let shown = stage.setting.exposed_post_mm.unwrap();
            assert!(close(shown + stage.insertion_left_mm.unwrap(), 270.0));
        }
        assert_eq!(saddle.stages[1].setting, set);
    }
    // Less than two diameters is against the law (16 CFR 1512.15(b)): no work order.
    let short_mark = changed(&[("minimum_insertion: 80", "minimum_insertion: 40")]);
    let handover = plain(&short_mark, &child(1380.0, Stage::Steady));
    assert_eq!(handover.fit.verdict.word(), "unsuitable");
    assert!(handover.work.is_err());
}

#[test]
fn nobody_who_is_grown_is_measured_again() {
    let (bike, options) = (library::sample("step-26").unwrap(), Options::new(ON));
    let visits = |age: &str| {
        let text = format!("height: 1600\ninseam: 760\nage: {age}\n");
        let handover = handover(&rider(&text), &bike, &options);
        let record = handover.record(None, None, None).unwrap();
        assert_eq!(
            record.due.next_measuring.is_some(),
            contract(&handover)["visits"]["next_measuring"].is_string()
        );
        record.due.next_measuring.is_some()
    };
    // CDC 2000 ends at 20 years, when growing is over.
    assert!(visits("14y") && !visits("34y"));
}

#[test]
fn that_growing_is_over_is_said_beside_the_age_and_is_nothing_to_look_at_again() {
    let (bike, options) = (library::sample("step-26").unwrap(), Options::new(ON));
    let grown = |age: &str, sex: &str| {
        let text = format!("height: 1600\ninseam: 760\nage: {age}\nsex: {sex}\nweight: 55 kg\n");
        handover(&rider(&text), &bike, &options)
    };
    let woman = grown("34y", "woman");
    assert!(woman.fit.warnings(Units::Mm).is_empty());
    let sheets = [
        inseam::report::text::fit(&woman.fit, WIDE),
        handover_text::handover(&woman, WIDE),
        card(&woman, &Extras::default()).unwrap(),
    ];
    for sheet in sheets {
        assert_eq!(sheet.matches("growing is over").count(), 1, "{sheet}");
        assert!(!sheet.contains("Look again"), "{sheet}");
        assert!(!sheet.contains("no growth forecast"), "{sheet}");
    }
    // Whoever is grown is no girl and no boy in what is written, whatever word was given; a child is as given.
    let written = |age: &str, sex: &str| {
        let handover = grown(age, sex);
        let record = serde_json::to_value(handover.record(None, None, None).unwrap()).unwrap();
        let object = serde_json::to_value(contract::fit(&handover.fit, Units::Mm)).unwrap();
        assert_eq!(record["rider"]["sex"], object["rider"]["sex"]);
        object["rider"]["sex"].as_str().map(str::to_owned)
    };
    for (age, given, told) in [
        ("34y", "girl", "woman"),
        ("34y", "man", "man"),
        ("20y", "boy", "man"),
        ("19y", "boy", "boy"),
        ("17y", "woman", "woman"),
    ] {
        assert_eq!(
            written(age, given).as_deref(),
            Some(told),
            "{given} of {age}"
        );
    }
}

#[test]
fn a_post_without_a_known_mark_is_set_below_none_in_words_or_picture() {
    let sample = changed(&[]);
    let open = changed(&[(", minimum_insertion: 80", "")]);
    let rider = rider("height: 1410\ninseam: 680\narm_reach: 540\nstage: confident\n");
    let options = Options::new(ON);
    let [known, unknown] = [&sample, &open].map(|bike| handover(&rider, bike, &options));
    // The mark is at 80 mm, and these legs want the saddle above it.
    let text = |handover: &Handover| handover_text::handover(handover, WIDE);
    assert!(text(&known).contains("Never above 551 mm"));
    assert!(
        !text(&unknown).contains("Never above"),
        "{}",
        text(&unknown)
    );
    assert!(!text(&unknown).contains("at its minimum-insertion mark now"));
    let picture = |handover: &Handover| {
        let plan =
            inseam::draw::set_up_view(&handover.fit, Units::Mm, inseam::draw::Form::Lying).plan;
        let labels: Vec<_> = plan.labels.iter().map(|label| label.text.clone()).collect();
        labels.join(" ")
    };
    assert!(picture(&known).contains("left to the mark"));
    assert!(
        !picture(&unknown).contains("to the mark"),
        "{}",
        picture(&unknown)
    );
    // Nor is what nobody measured surer than what is known: marks run from two diameters, 54 mm, to 100 and more
    // (common practice).
    let sd = open
        .doubt
        .as_ref()
        .unwrap()
        .sd(inseam::bike::Figure::SeatHeightHighest);
    assert!(sd > 6.0, "{sd}");
}

#[test]
fn the_highest_saddle_is_the_same_whole_figure_in_every_face_and_unit() {
    let rider = rider("height: 1410\ninseam: 680\narm_reach: 540\nstage: confident\n");
    let bike = library::sample("trail-24").unwrap();
    let handover = plain(&bike, &rider);
    let highest = bike
        .layout
        .post
        .saddle_height_mm(bike.layout.post.highest_mm);
    for units in [Units::Mm, Units::Cm, Units::In] {
        // A tape's inches have sixteenths; 25.4 mm each.
        let step = if units == Units::In { 25.4 / 16.0 } else { 1.0 };
        let told = units.length((highest / step).floor() * step);
        let layout = Layout { units, ..WIDE };
        let plan = card_view(&handover.fit, units).plan;
        let labels: Vec<_> = plan.labels.iter().map(|label| label.text.clone()).collect();
        for text in [
            inseam::report::text::fit(&handover.fit, layout),
            handover_text::handover(&handover, layout),
            labels.join(" "),
        ] {
            assert!(text.contains(&told), "{told}: {text}");
        }
    }
}

#[test]
fn a_bracket_that_nobody_measured_is_not_measured_from() {
    let taped = |bracket: &str| {
        bike(&format!(
            "name: taped\nstyle: trail\ntyres: {{front: 54-507, rear: 54-507}}\ncranks: {{length: 140}}\n\
             brakes: {{front: {{kind: hand, reach: {{min: 45, max: 75}}}}, rear: {{kind: hand, reach: {{min: 45, max: 75}}}}}}\n\
             measured: {{{bracket}seat_height_lowest: 640, seat_height_highest: 790, standover: 590}}\n"
        ))
    };
    let rider = rider("height: 1340\ninseam: 640\nage: 9y\nsex: boy\nstage: confident\n");
    let made = |bike: &Arc<Bike>| handover(&rider, bike, &Options::new(ON));
    let [known, open] = ["bottom_bracket_height: 278, ", ""].map(|bracket| made(&taped(bracket)));
    let text = handover_text::handover(&open, WIDE);
    // The tape read 790 mm from the ground with the post at its mark: whatever the bracket, that holds.
    assert!(
        text.contains("Never above 790 mm") && text.contains("from the ground: stop"),
        "{text}"
    );
    assert!(
        !text.contains("from the bracket") && !text.contains("bottom-bracket centre"),
        "{text}"
    );
    let record = open.record(None, None, None).unwrap();
    assert_eq!(record.as_set.saddle_height_mm, None);
    assert!(
        record
            .due
            .raises
            .0
            .iter()
            .all(|(_, mm)| (600.0..=790.0).contains(mm)),
        "{record:?}"
    );
    let sheet = card(&open, &Extras::default()).unwrap();
    assert!(!sheet.contains("bottom-bracket centre"), "{sheet}");
    assert!(handover_text::handover(&known, WIDE).contains("bottom-bracket centre to saddle top"));
}

#[test]
fn the_build_sheet_of_a_bike_without_cranks_tells_its_saddle_from_the_ground() {
    let sheet = build_sheet(&*library::sample("balance-12").unwrap(), &Extras::default()).unwrap();
    let sheet = sheet.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(sheet.contains("saddle never above 388 mm"), "{sheet}");
    assert!(sheet.contains("from the ground") && !sheet.contains("from the bracket"));
}

#[test]
fn the_visits_count_from_the_day_and_short_months_end_on_their_last_day() {
    let visits = |on: Date| {
        // Measured on the day of the handover.
        let text = "height: 1380\nweight: 30 kg\nstage: steady\n";
        let file: RiderFile = Document::from_text("rider", text).read().unwrap();
        let rider = Arc::new(Rider::new(&file, on).unwrap());
        let handover = handover(&rider, &changed(&[]), &Options::bare(on));
        handover.work.unwrap().visits
    };
    let spring = visits(date(2026, 3, 1));
    assert_eq!(spring.next_measuring, Some(date(2026, 6, 1)));
    // First rides, 2 to 4 weeks (common practice).
    assert_eq!(spring.first_check, [date(2026, 3, 15), date(2026, 3, 29)]);
    assert_eq!(
        visits(date(2026, 11, 30)).next_measuring,
        Some(date(2027, 2, 28))
    );
    assert_eq!(visits(Date::MAX).next_measuring, Some(Date::MAX));
}

#[test]
fn the_raises_rise_from_today_to_at_most_the_mark_and_are_told_by_month() {
    let rider = rider("{height: 1380, inseam: 660, age: 9y, sex: girl, weight: 31 kg}");
    let handover = handover(&rider, &changed(&[]), &Options::new(ON));
    let work = handover.work.as_ref().unwrap();
    let raises = &work.visits.raises;
    assert!(raises.len() > 2, "{raises:?}");
    for pair in raises.windows(2) {
        assert!(pair[1].date > pair[0].date);
        assert!(pair[1].saddle_height_mm > pair[0].saddle_height_mm);
    }
    assert!(raises[0].saddle_height_mm > work.saddle.setting.saddle_height_mm);
    let post = &handover.fit.bike.layout.post;
    let highest = post.saddle_height_mm(post.highest_mm);
    assert!(
        raises
            .iter()
            .all(|raise| raise.saddle_height_mm <= highest + 1e-9)
    );
    let text = handover_text::handover(&handover, WIDE);
    let card = card(&handover, &Extras::default()).unwrap();
    let by_month = raises[0].date.strftime("%B %Y").to_string();
    for sheet in [text, card] {
        assert!(sheet.contains(&by_month), "{sheet}");
        assert!(sheet.contains("measure and check feet first"));
        // Never by day: the only days are today's and the last for the first check, four weeks on.
        let days: Vec<_> = sheet
            .match_indices("202")
            .filter(|(at, _)| sheet[*at..].chars().take(8).filter(|c| *c == '-').count() == 2)
            .collect();
        assert!(
            days.iter().all(|(at, _)| ["2026-03-01", "2026-03-29"]
                .iter()
                .any(|day| sheet[*at..].starts_with(day))),
            "{sheet}"
        );
    }
}

#[test]
fn without_an_age_text_and_card_say_why_there_are_no_dates() {
    let handover = handover(&rider("height: 1380\n"), &changed(&[]), &Options::new(ON));
    assert!(handover.work.as_ref().unwrap().visits.raises.is_empty());
    let text = handover_text::handover(&handover, WIDE);
    let card = card(&handover, &Extras::default()).unwrap();
    assert!(text.contains("needs the age") && card.contains("needs the age"));
}

#[test]
fn lever_gaps_stay_inside_lever_hand_and_law() {
    let bike = changed(&[]);
    for hand in [95.0, 110.0, 130.0, 150.0, 170.0, 200.0] {
        let rider = rider(&format!("height: 1380\nhand_length: {hand}\n"));
        let levers = order(&bike, &rider).levers;
        let brake = levers.front.unwrap();
        let lever = brake.lever.unwrap();
        let gap = lever.gap_mm;
        assert!((45.0..=75.0).contains(&gap), "hand {hand}: {gap}");
        assert!(gap <= levers.hand.lawful_mm);
        assert!(gap <= 0.40 * hand || (gap - 45.0).abs() < 1e-9);
        assert!((lever.draw_in_mm() - (75.0 - gap)).abs() < 1e-9);
        assert_eq!(Levers::is_in_reach(&brake), Some(true), "hand {hand}");
    }
    // 0.59 of a 75 mm hand is 44 mm, less than the lever's closest 45: too big for this hand, nothing to set.
    let small = plain(&bike, &rider("height: 1380\nhand_length: 75\n"));
    assert_eq!(small.fit.verdict.word(), "too-big");
    assert!(small.work.is_err());
}

#[test]
fn levers_that_are_set_unlike_are_told_by_their_wheel_wherever_a_gap_is_told() {
    let (_, text) = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "street-20")
        .unwrap();
    let rear = "rear: {kind: hand, reach: {min: 40, max: 68}}";
    assert!(text.contains(rear));
    let unlike = bike(&text.replace(rear, "rear: {kind: hand, reach: {min: 71, max: 74}}"));
    let child = rider("inseam: 570\nheight: 1210\nweight: 26 kg\nage: 7y\n");
    let handover = plain(&unlike, &child);
    // The front lever may come in as far as the hand likes; the rear one is not to be had under 71 mm.
    let gap = handover.fit.pair().levers();
    assert_eq!(gap[0].wheel, Some("front"));
    let front = gap[0].gap_mm;
    assert!((40.0..=68.0).contains(&front), "{front}");
    let both = format!("front {} mm, rear 71 mm", front.round());
    let plainly = |svg: &str| svg.replace('\u{a0}', " ");
    let text = inseam::report::text::fit(&handover.fit, WIDE);
    assert!(
        text.contains(&format!("{both} from lever to grip")),
        "{text}"
    );
    assert!(
        text.contains("draw the rear lever in 3 mm to a gap of 71 mm"),
        "{text}"
    );
    assert!(!text.contains("the lever in"), "{text}");
    let card = plainly(&card_view(&handover.fit, Units::Mm).svg);
    assert!(card.contains("rear lever gap"), "{card}");
    let side = plainly(&inseam::draw::side_view(&handover.fit, Units::Mm).svg);
    assert!(side.contains("rear lever gap to set"));
    let set = handover.record(None, None, None).unwrap().as_set;
    assert_eq!(set.lever_gap_mm, None);
    assert_eq!(set.rear_lever_gap_mm, Some(71.0));
    assert!((set.front_lever_gap_mm.unwrap() - front).abs() <= 0.05 + 1e-9);
    // The object and the table name the wheel by the same keys.
    let told = |handover: &Handover| {
        let object = serde_json::to_value(contract::fit(&handover.fit, Units::Mm)).unwrap();
        let options = Options::new(ON);
        let sizing = inseam::advice::size::size(
            &handover.fit.rider,
            std::slice::from_ref(&handover.fit.bike),
            options,
            || {},
        );
        let table = inseam::report::size_text::csv(&sizing).unwrap();
        let mut table = csv::Reader::from_reader(table.as_slice());
        let header = table.headers().unwrap().clone();
        let row = table.records().next().unwrap().unwrap();
        ["lever_gap_mm", "front_lever_gap_mm", "rear_lever_gap_mm"].map(|key| {
            let column = header.iter().position(|title| title == key).unwrap();
            let (object, cell) = (&object["setting"][key], row[column].parse::<f64>().ok());
            assert_eq!(
                object.as_f64().map(f64::round),
                cell.map(f64::round),
                "{key}"
            );
            assert!(object.is_null() || object.is_f64(), "{key}: {object}");
            cell.map(f64::round)
        })
    };
    // Least suits the lever whose gap is too wide for the hand.
    let gaps = [Some(71.0), Some(front.round()), Some(71.0)];
    assert_eq!(told(&handover), gaps);
    // Set alike: one figure, one word.
    let alike = plain(&library::sample("street-20").unwrap(), &child);
    let set = alike.record(None, None, None).unwrap().as_set;
    assert_eq!(
        (set.front_lever_gap_mm, set.rear_lever_gap_mm),
        (None, None)
    );
    assert!((set.lever_gap_mm.unwrap() - front).abs() <= 0.05 + 1e-9);
    assert_eq!(told(&alike), [Some(front.round()), None, None]);
    assert!(!card_view(&alike.fit, Units::Mm).svg.contains("rear lever"));
}

#[test]
fn what_is_over_or_under_a_limit_by_a_hair_never_reads_like_nothing() {
    // 169.8 lb are 77.02 kg, with 3 kg for a bag 80.02: over the limit, by less than is told.
    let sample = library::SAMPLES.iter().find(|(id, _)| *id == "trail-24");
    let marked = bike(&format!("{}load_limit: 80 kg\n", sample.unwrap().1));
    let fit = plain(&marked, &rider("height: 1380\nweight: 169.8 lb\n")).fit;
    let load = fit.finding(CheckId::Load).unwrap();
    assert!(matches!(load.status(), Status::Fail(_)));
    let said = fit.advice(&load, Units::Mm);
    assert!(
        said.contains("rider 77 kg and 3 kg for a bag weigh 80 kg"),
        "{said}"
    );
    assert!(said.contains("under 0.1 kg more than"), "{said}");
    // 16 CFR 1512.17(c): 25 degrees; wider and wider pedals until they just miss it.
    let with = |pedal_mm: f64| {
        let mut spec = library::sample("trail-24").unwrap().spec.clone();
        spec.cranks.as_mut().unwrap().pedal_width = Some(Length::from_mm(pedal_mm));
        Arc::new(Bike::new("wide", spec).unwrap())
    };
    let lean = |pedal_mm: f64| with(pedal_mm).layout.pedal_lean_deg.unwrap();
    let (mut enough, mut missing) = (60.0, 260.0);
    assert!(
        lean(enough) > 25.0 && lean(missing) < 25.0,
        "{} {}",
        lean(enough),
        lean(missing)
    );
    while lean(missing) < 24.97 {
        let middle = f64::midpoint(enough, missing);
        if lean(middle) < 25.0 {
            missing = middle;
        } else {
            enough = middle;
        }
    }
    let fit = plain(&with(missing), &child(1380.0, Stage::Steady)).fit;
    let said = fit.advice(&fit.finding(CheckId::PedalLean).unwrap(), Units::Mm);
    assert!(
        said.contains("touches at 25.0°, under 0.1° early"),
        "{said}"
    );
}

#[test]
fn the_card_of_a_taped_bike_says_where_the_saddle_stops_and_what_was_not_checked() {
    let taped = bike(
        "name: Invented taped\nstyle: trail\ntyres: {front: 24 x 2.1, rear: 24 x 2.1}\n\
         brakes: {front: {kind: hand, reach: {min: 40, max: 70}}, rear: {kind: hand, reach: {min: 40, max: 70}}}\n\
         cranks: {length: 140}\n\
         measured: {standover: 600, seat_height_lowest: 640, seat_height_highest: 800, bottom_bracket_height: 255, grip_height: 850}\n",
    );
    let child = rider("height: 1380\ninseam: 650\nweight: 30 kg\n");
    let handover = handover(&child, &taped, &Options::new(ON));
    assert!(handover.work.is_ok(), "{:?}", handover.stop());
    let text = handover_text::handover(&handover, WIDE);
    let html = card(&handover, &Extras::default())
        .unwrap()
        .replace('\u{a0}', " ");
    for part in ["Never above ", "ot checked: needs "] {
        assert!(text.contains(part), "{part}: {text}");
        assert!(html.contains(part), "{part}: {html}");
    }
    let more = html.split("More can be said with").nth(1).unwrap();
    let more = more.split("</p>").next().unwrap();
    assert!(more.contains("tyre min pressure"), "{more}");
    assert!(!more.contains("tyres.") && !more.contains('_'), "{more}");
}

#[test]
fn coaster_and_no_brakes_have_their_own_words() {
    let coaster = changed(&[
        (FRONT_BRAKE, "  front: {kind: none}"),
        (REAR_BRAKE, "  rear: {kind: coaster}"),
    ]);
    let coaster = plain(&coaster, &child(1380.0, Stage::Steady));
    let notes = coaster.work.as_ref().unwrap().levers.notes(Units::Mm);
    assert!(notes[0].contains("pedalling backwards"));
    let shows = coaster.rider_shows(Units::Mm);
    assert!(
        shows
            .iter()
            .any(|show| show.contains("pedalling backwards"))
    );
    let balance = library::sample("balance-12").unwrap();
    let balance = plain(&balance, &child(900.0, Stage::Learning));
    let work = balance.work.as_ref().unwrap();
    assert!(work.levers.notes(Units::Mm)[0].contains("feet"));
    assert_eq!(work.saddle.stages.len(), 1);
    // The height above ground leads, then the post.
    let lines = work.settings(Units::Mm);
    assert_eq!(
        (lines[0].what, lines[1].what),
        ("seat height", "post showing")
    );
    for show in balance.rider_shows(Units::Mm) {
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
        order(&detailed, &rider).air_spring.unwrap()
    };
    let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
    let set = spring(32.0);
    // 60 mm of travel: standing, 20 and 25 % (common practice).
    assert!(close(set.sag_low_mm, 12.0) && close(set.sag_high_mm, 15.0));
    assert!(close(set.start.unwrap().bar, 3.2));
    let light = spring(24.0);
    assert!(close(light.start.unwrap().bar, 2.5));
    let notes = light.notes(Units::Mm);
    assert!(notes.iter().any(|note| note.contains("damping")));
    assert!(close(spring(80.0).start.unwrap().bar, 6.0));
    // Without the weight: the limits that the file gives, and whose weight it takes.
    let unweighed = order(&detailed, &rider("height: 1380\n"));
    let line = unweighed
        .settings(Units::Mm)
        .into_iter()
        .find(|line| line.what == "air spring");
    let line = line.expect("a line");
    assert!(line.figure.starts_with("2.50 to 6.00 bar"), "{line:?}");
    assert!(line.note.contains("weigh the rider"), "{line:?}");

    // Without the maker's figures: whose chart to use, and no pressure.
    let rider = rider("height: 1380\nweight: 32 kg\n");
    let bare = order(&changed(&[]), &rider).air_spring.unwrap();
    assert_eq!(bare.start, None);
    assert!(bare.notes(Units::Mm)[0].contains("chart of the fork's maker"));
    let rigid = changed(&[("travel: 60, air_spring: true", "travel: 0")]);
    assert_eq!(order(&rigid, &rider).air_spring, None);
}

#[test]
fn promised_parts_keep_their_promise_on_the_rebuilt_bike() {
    let (mut stems, mut spacers, mut bars_changed) = (0, 0, 0);
    for (stem, reach, stack) in [
        (40, 335, 452),
        (55, 345, 452),
        (40, 280, 452),
        (60, 350, 420),
        (40, 330, 500),
        (30, 300, 452),
    ] {
        for (height, stage) in [1320.0, 1380.0, 1450.0, 1520.0]
            .into_iter()
            .flat_map(|height| [(height, Stage::Steady), (height, Stage::Confident)])
        {
            let text = |spacers: f64, stem: f64, setback: f64, stack: f64| {
                [
                    ("stem: {length: 40,", format!("stem: {{length: {stem},")),
                    ("spacers: 10\n", format!("spacers: {spacers}\n")),
                    ("setback: 25,", format!("setback: {setback},")),
                    ("reach: 335\n", format!("reach: {reach}\n")),
                    ("stack: 452\n", format!("stack: {stack}\n")),
                    ("published: {wheelbase: 937, standover: 590}", String::new()),
                ]
            };
            let build = |changes: [(&str, String); 6]| {
                let changes: Vec<_> = changes.iter().map(|(a, b)| (*a, b.as_str())).collect();
                changed(&changes)
            };
            let rider = child(height, stage);
            let stem = f64::from(stem);
            let stack = f64::from(stack);
            let Ok(work) = plain(&build(text(40.0, stem, 25.0, stack)), &rider).work else {
                continue;
            };
            let (Some(cure), Some(promised)) = (work.bars.cure, work.bars.lean_after_deg) else {
                continue;
            };
            if cure.saddle_back_mm != 0.0 {
                continue;
            }
            stems += usize::from(cure.stem_mm != 0.0);
            spacers += usize::from(cure.spacers_above_mm != 0.0);
            bars_changed += usize::from(cure.sweep_mm != 0.0);
            let rebuilt = build(text(
                40.0 - cure.spacers_above_mm,
                stem + cure.stem_mm,
                25.0 - cure.sweep_mm,
                stack,
            ));
            let pair = plain(&rebuilt, &rider);
            let after = pair.fit.pair().torso_lean_deg().unwrap();
            assert!(
                (after - promised).abs() < 1e-6,
                "{after} instead of {promised}: {cure:?}"
            );
            let [low, high] = work.bars.lean_band_deg;
            assert!((low - 1e-6..=high + 1e-6).contains(&after));
        }
    }
    assert!(
        spacers > 0 && stems + bars_changed > 0,
        "stems {stems}, spacers {spacers}, bars {bars_changed}"
    );
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
    let rider = rider("height: 1380\ninseam: 660\nweight: 31 kg\n");
    let handover = plain(&changed(&[]), &rider);
    for units in [Units::Mm, Units::Cm, Units::In] {
        let extras = Extras {
            units,
            ..Extras::default()
        };
        let layout = Layout {
            columns: 400,
            units,
        };
        let sheets = [
            handover_text::handover(&handover, layout),
            card(&handover, &extras).unwrap(),
            build_sheet(&handover, &extras).unwrap(),
        ];
        for text in sheets {
            // A limit has each ruler on its safe side, a sixteenth apart at most: see `units`.
            let saddle = &handover.work.as_ref().unwrap().saddle;
            let rooms = saddle.stages.iter().filter_map(|stage| {
                let mark = stage.minimum_insertion_mm?;
                stage.setting.room_shown_mm(units, mark)
            });
            let mut limits: Vec<_> = rooms.map(|left| units.tape_at_most(left)).collect();
            limits.extend([
                units.tape_at_most(saddle.highest_told_mm.unwrap()),
                units.tape_at_most(saddle.highest_mm.unwrap()),
                units.tape_at_least(saddle.minimum_insertion_mm.unwrap()),
                units.tape_at_least(saddle.two_diameters_mm.unwrap()),
            ]);
            let mut text = text.replace('\u{a0}', " ");
            let all = pairs(&text, &["mm", "cm"], "in").len() + pairs(&text, &["in"], "mm").len();
            assert!(all > 2, "{units}: {text}");
            for limit in limits {
                text = text.replace(&limit, "the limit");
            }
            let mut lengths = pairs(&text, &["mm", "cm"], "in");
            lengths.extend(pairs(&text, &["in"], "mm"));
            assert!(lengths.len() > 1, "{units}: {lengths:?}");
            for (first, second) in lengths {
                let mm = |text: &str| text.parse::<Length>().unwrap().mm();
                let apart = (mm(&first) - mm(&second)).abs();
                assert!(apart <= 0.8, "{first} ({second})");
            }
            let pressures = pairs(&text, &["bar"], "psi");
            assert!(!pressures.is_empty());
            for (bar, psi) in pressures {
                let number = |text: &str| text.split(' ').next().unwrap().parse::<f64>().unwrap();
                let apart = (number(&bar) * PSI_PER_BAR - number(&psi)).abs();
                assert!(apart <= 0.5, "{bar} ({psi})");
            }
        }
    }
}

#[test]
fn checks_of_safety_that_could_not_be_made_stand_under_the_verdict_in_the_words_of_the_fit() {
    let child = rider("inseam: 660\nheight: 1380\nweight: 32 kg\n");
    let narrow = changed(&[
        ("reach: 335", "reach: 285"),
        (", q_factor: 160, pedal_width: 85", ""),
        PUBLISHED,
    ]);
    let (_, street) = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "street-20")
        .unwrap();
    let without_cranks: Vec<_> = street
        .lines()
        .filter(|line| !line.starts_with("cranks:"))
        .collect();
    let smaller = rider("inseam: 600\nheight: 1280\nweight: 26 kg\n");
    for (bike, rider) in [
        (narrow, &child),
        (bike(&without_cranks.join("\n")), &smaller),
    ] {
        let handover = plain(&bike, rider);
        let fit = &handover.fit;
        assert!(handover.work.is_ok(), "{:?}", handover.stop());
        let text = handover_text::handover(&handover, WIDE);
        let extras = Extras::default();
        let sheets = [card(&handover, &extras), build_sheet(&handover, &extras)]
            .map(|html| html.unwrap().replace('\u{a0}', " "));
        for (id, title) in [
            (CheckId::ToeClearance, "Toe clearance"),
            (CheckId::PedalLean, "Pedal lean"),
        ] {
            let finding = fit.finding(id).unwrap();
            assert!(matches!(finding.status(), Status::NotChecked(_)));
            let said = format!("{title}: {}", fit.advice(&finding, Units::Mm));
            assert!(said.contains("not checked: needs "), "{said}");
            let read = text
                .split("Read this")
                .nth(1)
                .expect("there is something to read");
            let read = read.split("\n\n").next().unwrap();
            assert!(read.contains(&said), "{said}\n{text}");
            for html in &sheets {
                let told = format!("<b>Read this.</b> {said}");
                assert!(html.contains(&told), "{told}\n{html}");
            }
        }
    }
    // Known and in order, they are nothing to read.
    let whole = build_sheet(&plain(&changed(&[]), &child), &Extras::default()).unwrap();
    assert!(!whole.contains("ot checked"), "{whole}");
}

#[test]
fn half_a_bike_says_what_it_needs() {
    let bike = changed(&[
        (", min_pressure: 1.4, max_pressure: 3.5", ""),
        ("weight: 10.4 kg\n", ""),
        (", diameter: 27.2", ""),
        PUBLISHED,
    ]);
    let handover = plain(&bike, &rider("height: 1380\n"));
    let work = handover.work.as_ref().unwrap();
    assert_eq!((work.tyres.front, work.tyres.rear), (None, None));
    assert_eq!(work.saddle.mark_is_two_diameters(), None);
    let text = handover_text::handover(&handover, WIDE);
    for needed in [
        "needs the rider's weight, weight in the frame file, tyre min pressure (tyres.min_pressure), tyre max pressure (tyres.max_pressure)",
        "needs the maker's pressure table (fork.air_spring",
        "needs seat tube diameter (frame.seat_tube.diameter)",
    ] {
        assert!(text.contains(needed), "{needed}\n{text}");
    }
    let card = card(&handover, &Extras::default()).unwrap();
    for needed in ["tyre min pressure", "pressure table"] {
        assert!(card.contains(needed), "{needed}\n{card}");
    }
    assert!(!text.contains("NaN"), "{text}");

    // Brakes that are not known: nothing to set before that is known. An undrawn top tube is `less_data`'s.
    let unknown = changed(&[("brakes:\n", ""), (FRONT_BRAKE, ""), (REAR_BRAKE, "")]);
    {
        let handover = plain(&unknown, &rider("height: 1380\n"));
        assert_eq!(handover.fit.verdict.word(), "incomplete");
        assert!(handover.work.is_err());
        let text = handover_text::handover(&handover, WIDE);
        assert!(text.contains("Find out first"), "{text}");
    }
}

#[test]
fn a_file_that_names_no_parts_says_so_once_where_bolts_are_listed() {
    let (_, text) = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "trail-24")
        .unwrap();
    let (before, after) = text.split_once("parts:\n").unwrap();
    let (_, after) = after.split_once("weight:").unwrap();
    let unnamed = bike(&format!("{before}weight:{after}"));
    let child = rider("height: 1380\ninseam: 660\n");
    let none = "The file names no parts: skip what this bike has not.";
    for (bike, count) in [(&unnamed, 1), (&bike(text), 0)] {
        let handover = plain(bike, &child);
        let told = handover_text::handover(&handover, WIDE);
        assert_eq!(told.matches(none).count(), count, "{told}");
        let sheet = build_sheet(bike, &Extras::default()).unwrap();
        assert_eq!(sheet.matches(none).count(), count, "{sheet}");
        let sheet = build_sheet(&handover, &Extras::default()).unwrap();
        assert_eq!(sheet.matches(none).count(), count, "{sheet}");
    }
    // Some parts named: the rest is open all the same.
    let some = bike(&format!("{before}parts: {{gears: single}}\nweight:{after}"));
    let told = handover_text::handover(&plain(&some, &child), WIDE);
    assert!(
        told.contains("The file leaves some parts open: skip"),
        "{told}"
    );
}

#[test]
fn a_lever_without_a_range_is_measured_before_anything_is_set() {
    let bike = changed(&[(FRONT_BRAKE, "  front: {kind: hand}")]);
    let handover = plain(&bike, &rider("height: 1380\nhand_length: 150\n"));
    assert_eq!(handover.fit.verdict.word(), "incomplete");
    let text = handover_text::handover(&handover, WIDE);
    assert!(
        text.contains("Find out first, for this rider: the gap at the brake lever"),
        "{text}"
    );
}

#[test]
fn the_json_has_the_contract_keys_and_only_finite_numbers() {
    let rider = rider("{height: 1380, inseam: 660, age: 9y, sex: girl, weight: 31 kg}");
    let handover = handover(&rider, &changed(&[]), &Options::new(ON));
    let json = contract(&handover);
    assert_eq!(json["schema"], "inseam/handover/2");
    assert_eq!(json["fit"]["schema"], "inseam/fit/2");
    assert_eq!(
        (&json["stop"], &json["verdict"]),
        (&serde_json::Value::Null, &"fits".into())
    );
    let setting = &json["fit"]["setting"];
    assert_eq!(
        json["saddle"]["saddle_height_mm"],
        setting["saddle_height_mm"]
    );
    assert_eq!(json["levers"]["front"]["gap_mm"], setting["lever_gap_mm"]);
    for wheel in ["front", "rear"] {
        let tyre = &json["tyres"][wheel];
        let (bar, psi) = (tyre["bar"].as_f64().unwrap(), tyre["psi"].as_f64().unwrap());
        assert!((bar * PSI_PER_BAR - psi).abs() < 0.5);
    }
    assert!(json["tyres"]["front_share"].is_f64());
    assert!(json["air_spring"]["sag_high_mm"].is_number());
    for bolt in json["bolts"].as_array().unwrap() {
        for key in ["part", "note", "source", "is_certain"] {
            assert!(!bolt[key].is_null(), "{key} in {bolt}");
        }
        // A range, or none and how else it is closed.
        let is_told = bolt["low_nm"].is_number() && bolt["high_nm"].is_number();
        let is_by_hand = bolt["low_nm"].is_null() && bolt["high_nm"].is_null();
        assert!(is_told || is_by_hand && bolt["note"] != "", "{bolt}");
    }
    let steps = json["steps"].as_array().unwrap();
    for step in steps {
        for key in ["kind", "part", "figures", "bolts", "words", "is_certain"] {
            assert!(!step[key].is_null(), "{key} in {step}");
        }
    }
    let post = steps.iter().find(|step| step["kind"] == "post").unwrap();
    assert_eq!(post["figures"][0]["key"], "saddle_height_mm");
    assert_eq!(post["figures"][0]["value"], setting["saddle_height_mm"]);
    let shows = json["rider_shows"].as_array().unwrap();
    assert!(shows.len() >= 5 && shows.iter().all(serde_json::Value::is_string));
    assert!(!json["cautions"].as_array().unwrap().is_empty());
    assert_eq!(json["visits"]["next_measuring"], "2026-06-01");
    assert_eq!(json["visits"]["first_check_to"], "2026-03-29");
}

#[test]
fn every_caution_is_in_text_card_and_build_sheet() {
    let fits = plain(&changed(&[]), &child(1380.0, Stage::Steady));
    let stops = plain(&changed(&[]), &child(1150.0, Stage::Steady));
    let bike = library::sample("coaster-16").unwrap();
    let extras = Extras::default();
    let sheets = [
        handover_text::handover(&fits, WIDE),
        handover_text::handover(&stops, WIDE),
        card(&fits, &extras).unwrap(),
        card(&stops, &extras).unwrap(),
        build_sheet(&fits, &extras).unwrap(),
        build_sheet(&bike, &extras).unwrap(),
    ];
    for sheet in &sheets {
        for caution in inseam::cautions::CAUTIONS {
            // A bike that is not to be ridden has no first ride.
            if caution.starts_with("Before a first ride") && sheet.contains("Do not ride this bike")
            {
                assert!(!sheet.contains(caution), "{sheet}");
                continue;
            }
            let escaped = caution.replace('\'', "&#39;");
            assert!(
                sheet.contains(caution) || sheet.contains(&escaped),
                "{caution}\n{sheet}"
            );
        }
    }
    for sheet in &sheets[..4] {
        assert!(sheet.contains("About size only"), "{sheet}");
    }
}

#[test]
fn a_pair_that_does_not_fit_gets_the_reason_first_and_no_figure_to_set() {
    let marked = changed(&[("minimum_insertion: 80", "minimum_insertion: 40")]);
    let brakeless = changed(&[
        (FRONT_BRAKE, "  front: {kind: none}"),
        (REAR_BRAKE, "  rear: {kind: none}"),
    ]);
    let cases = [
        (changed(&[]), child(1150.0, Stage::Steady), "too-big"),
        (changed(&[]), child(1740.0, Stage::Confident), "too-small"),
        (marked, child(1380.0, Stage::Steady), "unsuitable"),
        (brakeless, child(1380.0, Stage::Steady), "unsuitable"),
        (
            changed(&[("brakes:\n", ""), (FRONT_BRAKE, ""), (REAR_BRAKE, "")]),
            child(1380.0, Stage::Steady),
            "incomplete",
        ),
    ];
    for (bike, rider, verdict) in cases {
        let handover = plain(&bike, &rider).with_nearest(Some("Sample street 20".to_owned()));
        assert_eq!(handover.fit.verdict.word(), verdict);
        let stop = handover.stop().unwrap();
        let reason = stop.reason(&handover.fit, Units::Mm);
        let extras = Extras::default();
        let text = handover_text::handover(&handover, WIDE);
        let page = card(&handover, &extras).unwrap();
        assert_eq!(build_sheet(&handover, &extras).unwrap(), page);
        let json = contract(&handover);
        assert_eq!(json["stop"]["reason"], reason.as_str());
        assert_eq!(json["stop"]["nearest"], "Sample street 20");
        assert_eq!(handover.record(None, None, None), None);
        let body = page.split_once("<body>").unwrap().1;
        for sheet in [text.as_str(), body] {
            let sheet = sheet.replace('\u{a0}', " ").replace("&#39;", "'");
            // The reason stands before everything but the names; the first letter is raised.
            let place = sheet
                .find(&reason[1..])
                .unwrap_or_else(|| panic!("{reason}\n{sheet}"));
            let about = if verdict == "unsuitable" {
                "No matter of size"
            } else {
                "size only"
            };
            assert!(sheet.find(about).unwrap() > place);
            if verdict == "unsuitable" {
                assert!(
                    !sheet.contains("of the size") && !sheet.contains("state of brakes"),
                    "{sheet}"
                );
            }
            assert!(sheet.contains("Sample street 20"));
            assert_eq!(
                sheet.contains("Do not ride this bike"),
                matches!(verdict, "too-big" | "unsuitable"),
                "{sheet}"
            );
            assert!(sheet.contains("Do not hand it over"));
            for banned in [
                "[ ]",
                "class=\"box\"",
                "as set",
                "saddle height 4",
                "post showing",
                " bar (",
                "N·m",
                "Come back",
                "set for",
                "Set for",
            ] {
                assert!(!sheet.contains(banned), "{verdict}: {banned}\n{sheet}");
            }
        }
        for key in [
            "fit",
            "saddle",
            "levers",
            "tyres",
            "steps",
            "bolts",
            "rider_shows",
            "visits",
        ] {
            assert!(json.get(key).is_none(), "{verdict}: {key}");
        }
    }
    // How far off, in millimetres, and with an age in months.
    let young = rider("{height: 1240, age: 7y, sex: girl}");
    let handover = handover(&young, &changed(&[]), &Options::new(ON));
    assert_eq!(handover.fit.verdict.word(), "too-big");
    let text = handover_text::handover(&handover, WIDE);
    assert!(
        text.contains("mm taller, in about") && text.contains("months"),
        "{text}"
    );
    assert!(contract(&handover)["stop"]["months"].is_number());
}

#[test]
fn what_is_printed_is_what_the_fit_says() {
    for bike in library::samples() {
        for (stage, step) in Stage::ALL
            .iter()
            .flat_map(|s| (0..16).map(move |i| (*s, i)))
        {
            let rider = child(840.0 + 60.0 * f64::from(step), stage);
            let handover = plain(&bike, &rider);
            let Ok(work) = &handover.work else { continue };
            let set = handover.fit.pair().setting();
            let lines = work.settings(Units::Mm);
            let figure = |what: &str| {
                lines
                    .iter()
                    .find(|line| line.what == what)
                    .map(|line| line.figure.clone())
            };
            let room = work.saddle.insertion_left_mm().unwrap();
            let tape = |mm| {
                // At its mark the post is never told a millimetre too high.
                Some(if room < 1.0 {
                    Units::Mm.tape_at_most(mm)
                } else {
                    Units::Mm.tape(mm)
                })
            };
            assert_eq!(figure("post showing"), tape(set.exposed_post_mm.unwrap()));
            assert_eq!(figure("seat height"), tape(set.seat_height_mm));
            if !bike.is_balance() {
                assert_eq!(figure("saddle height"), tape(set.saddle_height_mm));
            }
            let extras = Extras::default();
            let sheets = [
                card(&handover, &extras).unwrap(),
                build_sheet(&handover, &extras).unwrap(),
            ];
            for sheet in sheets {
                let sheet = sheet.replace('\u{a0}', " ");
                assert!(sheet.contains(&tape(set.exposed_post_mm.unwrap()).unwrap()));
            }
            let record = handover.record(None, None, None).unwrap();
            let near = |a: Option<f64>, b: f64| (a.unwrap() - b).abs() <= 0.05 + 1e-9;
            match record.as_set.saddle_height_mm {
                None => assert!(bike.is_balance(), "no bracket to measure from"),
                saddle => assert!(near(saddle, set.saddle_height_mm) && !bike.is_balance()),
            }
            assert!(near(record.as_set.seat_height_mm, set.seat_height_mm));
            assert_eq!(
                record.as_set.lever_gap_mm.is_some(),
                set.gaps.lever_gap_mm.is_some()
            );
        }
    }
}

#[test]
fn no_figure_of_an_assumed_post_is_set_or_proven() {
    let five = bike(
        "{name: five, style: trail, tyres: {front: 50-507, rear: 50-507}, measured: {bottom_bracket_height: 285, seat_height_lowest: 650, seat_height_highest: 800, standover: 590}, cranks: {length: 152}, brakes: {front: {kind: hand, reach: {min: 55, max: 80}}, rear: {kind: hand, reach: {min: 55, max: 80}}}}",
    );
    let handover = plain(&five, &child(1380.0, Stage::Steady));
    let work = handover.work.as_ref().expect("it fits");
    let lines = work.settings(Units::Mm);
    assert!(lines.iter().any(|line| line.what == "saddle height"));
    assert!(lines.iter().all(|line| !line.what.starts_with("post ")));
    let notes = work.saddle.notes(Units::Mm).join(" ");
    assert!(
        notes.contains("nobody measured") && !notes.contains("the mark asks for"),
        "{notes}"
    );
    let set = handover.fit.pair().setting();
    assert_eq!((set.exposed_post_mm, set.insertion_mm), (None, None));
    assert!(work.saddle.insertion_left_mm().is_none());
    assert!(
        work.saddle
            .stages
            .iter()
            .all(|stage| stage.insertion_left_mm.is_none())
    );
}

/// The child grows until no post is left: told on the sheet for the family as on the screen, and as a day to programs.
#[test]
fn that_the_post_reaches_its_mark_is_told_on_every_sheet_in_the_same_words() {
    let toddler = rider("{inseam: 38cm, height: 92cm, age: 3y, weight: 14kg}");
    let bike = library::sample("balance-12").unwrap();
    let handover = handover(&toddler, &bike, &Options::new(ON));
    let said = "The post reaches its minimum-insertion mark about September 2026: from then on the saddle goes no higher.";
    let text = handover_text::handover(&handover, WIDE);
    assert_eq!(text.matches(said).count(), 1, "{text}");
    let card = card(&handover, &Extras::default()).unwrap();
    let plain = card.replace('\u{a0}', " ").replace('\u{2011}', "-");
    assert_eq!(plain.matches(said).count(), 1, "{card}");
    let day = &contract(&handover)["visits"]["post_at_mark"];
    assert!(day.as_str().unwrap().starts_with("2026-09"), "{day}");
    // Nobody's age, no forecast.
    let ageless = rider("{inseam: 38cm, height: 92cm, weight: 14kg}");
    let none =
        &contract(&self::handover(&ageless, &bike, &Options::new(ON)))["visits"]["post_at_mark"];
    assert!(none.is_null(), "{none}");
}

#[test]
fn what_reaches_the_ground_is_said_of_a_saddle_that_is_too_high() {
    let child = rider("{inseam: 60cm, height: 128cm, age: 8y, sex: girl}");
    let stopped = plain(&library::sample("street-24").unwrap(), &child);
    let said = "Only the toes of one foot reach the ground: the saddle would have to come down";
    let text = handover_text::handover(&stopped, WIDE);
    assert!(text.contains(said), "{text}");
    let card = card(&stopped, &Extras::default()).unwrap();
    assert!(card.replace('\u{a0}', " ").contains(said), "{card}");
}
