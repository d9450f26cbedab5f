//! The build sheet: steps exactly where the parts are, in the order of a build, and complete against what the
//! instructions that come with a bicycle must tell by law and standard.

use std::collections::BTreeSet;
use std::sync::Arc;

use inseam::Units;
use inseam::advice::handover::bolts::{Tight, bolts, doubts};
use inseam::advice::handover::kit::Kit;
use inseam::advice::handover::steps::{Step, StepKind, Told, steps};
use inseam::bike::parts::{
    AxleKind, BrakePart, CrankKind, GearKind, Parts, SaddleClampKind, SeatClampKind, StemKind,
};
use inseam::bike::{Bike, BrakeKind, FrameSpec, library};
use inseam::file::Document;
use inseam::report::build_sheet::build_sheet;
use inseam::report::card::Extras;

fn sample(id: &str) -> Arc<Bike> {
    library::sample(id).unwrap()
}

fn build(bike: &Bike) -> Vec<Step> {
    let kit = Kit::of(bike);
    steps(bike, &kit, &bolts(bike, &kit), None)
}

fn kinds(bike: &Bike) -> BTreeSet<StepKind> {
    build(bike).iter().map(|step| step.kind).collect()
}

/// Words of one step of a bike.
fn words(bike: &Bike, kind: StepKind) -> String {
    let kit = Kit::of(bike);
    let steps = build(bike);
    let step = steps.iter().find(|step| step.kind == kind);
    let told = Told {
        kit: &kit,
        work: None,
        units: Units::Mm,
    };
    step.unwrap_or_else(|| panic!("no {kind} on {}", bike.id))
        .words(&told)
}

/// A sample with one part changed through the file; `None` where the file refuses it.
fn with_part(id: &str, key: &str, word: &str) -> Option<Bike> {
    let (_, text) = library::SAMPLES
        .iter()
        .find(|(name, _)| *name == id)
        .unwrap();
    let line = text
        .lines()
        .find(|line| line.trim_start().starts_with(&format!("{key}: ")) && line.starts_with("  "));
    let text = match line {
        Some(line) => text.replace(line, &format!("  {key}: {word}")),
        None => text.replace("parts:\n", &format!("parts:\n  {key}: {word}\n")),
    };
    library::read(id, &Document::from_text(id, text)).ok()
}

#[test]
fn steps_are_there_exactly_when_the_parts_are() {
    let mut looked = 0;
    for (id, _) in library::SAMPLES {
        for front in BrakePart::ALL {
            for rear in BrakePart::ALL {
                for gears in GearKind::ALL {
                    let Some(bike) = with_part(id, "front_brake", front.word()) else {
                        continue;
                    };
                    let mut spec = bike.spec.clone();
                    let parts = spec.parts.as_mut().unwrap();
                    parts.rear_brake = Some(*rear);
                    parts.gears = Some(*gears);
                    let Ok(bike) = Bike::new("changed", spec) else {
                        continue;
                    };
                    let kinds = kinds(&bike);
                    let either = |is: fn(BrakePart) -> bool| is(*front) || is(*rear);
                    let expected = [
                        (StepKind::RotorBolts, either(BrakePart::has_disc)),
                        (StepKind::DiscCaliper, either(BrakePart::has_disc)),
                        (StepKind::BeddingIn, either(BrakePart::has_disc)),
                        (
                            StepKind::BrakeFluid,
                            either(|part| part == BrakePart::HydraulicDisc),
                        ),
                        (StepKind::RimBrake, either(BrakePart::grips_rim)),
                        (StepKind::RimPads, either(BrakePart::grips_rim)),
                        (StepKind::BrakeCable, either(BrakePart::has_cable)),
                        (StepKind::DrumBrake, either(|part| part == BrakePart::Drum)),
                        (StepKind::CoasterStrap, *rear == BrakePart::Coaster),
                        (StepKind::CoasterBrake, *rear == BrakePart::Coaster),
                        (StepKind::LimitScrews, *gears == GearKind::Derailleur),
                        (StepKind::Indexing, *gears == GearKind::Derailleur),
                        (StepKind::Hanger, *gears == GearKind::Derailleur),
                        (StepKind::ChainLength, *gears == GearKind::Derailleur),
                        (StepKind::HubGear, *gears == GearKind::Hub),
                        (StepKind::ChainSlack, *gears != GearKind::Derailleur),
                    ];
                    for (kind, is_wanted) in expected {
                        assert_eq!(
                            kinds.contains(&kind),
                            is_wanted,
                            "{kind}: {front} {rear} {gears}"
                        );
                    }
                    looked += 1;
                }
            }
        }
    }
    assert!(looked > 500, "{looked}");
}

#[test]
fn every_kind_of_every_part_has_its_own_words_or_bolts() {
    let told = |bike: &Bike| {
        let kit = Kit::of(bike);
        let steps = build(bike);
        let told = Told {
            kit: &kit,
            work: None,
            units: Units::Mm,
        };
        let said: Vec<_> = steps
            .iter()
            .map(|step| {
                let torques: Vec<_> = step
                    .bolts
                    .iter()
                    .map(|b| (b.part.clone(), b.tight.nm().map(|[low, _]| low.to_bits())))
                    .collect();
                (step.words(&told), torques)
            })
            .collect();
        assert!(
            steps
                .iter()
                .all(|step| !step.words(&told).starts_with("If ")),
            "{}",
            bike.id
        );
        said
    };
    let all: [(&str, Vec<&str>); 8] = [
        (
            "front_axle",
            AxleKind::ALL.iter().map(|kind| kind.word()).collect(),
        ),
        (
            "rear_axle",
            AxleKind::ALL.iter().map(|kind| kind.word()).collect(),
        ),
        (
            "rear_brake",
            BrakePart::ALL
                .iter()
                .filter(|part| part.has_lever())
                .map(|kind| kind.word())
                .collect(),
        ),
        (
            "stem",
            StemKind::ALL.iter().map(|kind| kind.word()).collect(),
        ),
        (
            "cranks",
            CrankKind::ALL.iter().map(|kind| kind.word()).collect(),
        ),
        (
            "gears",
            GearKind::ALL.iter().map(|kind| kind.word()).collect(),
        ),
        (
            "seat_clamp",
            SeatClampKind::ALL.iter().map(|kind| kind.word()).collect(),
        ),
        (
            "saddle_clamp",
            SaddleClampKind::ALL
                .iter()
                .map(|kind| kind.word())
                .collect(),
        ),
    ];
    for (key, words) in all {
        let mut seen = Vec::new();
        for word in words {
            let (_, text) = library::SAMPLES
                .iter()
                .find(|(id, _)| *id == "trail-20")
                .unwrap();
            let start = text.find("parts:\n").unwrap();
            let line = text[start..]
                .lines()
                .find(|line| line.starts_with(&format!("  {key}: ")))
                .unwrap();
            let at = start + text[start..].find(line).unwrap();
            let changed = format!("{}  {key}: {word}{}", &text[..at], &text[at + line.len()..]);
            let bike = library::read("changed", &Document::from_text("changed", changed)).unwrap();
            let said = told(&bike);
            assert!(
                !seen.contains(&said),
                "{key}: {word} reads like another kind"
            );
            seen.push(said);
        }
    }
}

#[test]
fn what_can_hurt_is_said_in_so_many_words() {
    let trail = sample("trail-20");
    assert!(words(&trail, StepKind::LeftPedal).contains("left-hand thread"));
    assert!(words(&trail, StepKind::LeftPedal).contains("anticlockwise"));
    assert!(words(&trail, StepKind::RightPedal).contains(" clockwise"));
    assert!(words(&trail, StepKind::ForkForward).contains("right way round"));
    assert!(words(&trail, StepKind::RotorBolts).contains("crosswise"));
    assert!(words(&trail, StepKind::BeddingIn).contains("firm stops"));
    assert!(words(&trail, StepKind::LimitScrews).contains("never into the spokes"));
    assert!(words(&trail, StepKind::FrontAxle).contains("quick-release lever closes firmly"));
    assert!(
        words(&sample("trail-26"), StepKind::RearAxle).contains("thru-axle screwed right home")
    );
    assert!(words(&sample("coaster-16"), StepKind::CoasterStrap).contains("after the axle nuts"));
    assert!(words(&sample("coaster-16"), StepKind::CoasterBrake).contains("60°"));
    assert!(words(&trail, StepKind::BoltsAgain).contains("after the first rides, 2 to 4 weeks"));
    assert!(words(&trail, StepKind::LeverSide).contains("local rule wins"));
    assert!(words(&trail, StepKind::Post).contains("mark hidden"));
    assert!(words(&trail, StepKind::Reflectors).contains("local rule"));
    let parted = kinds(&sample("balance-12"));
    for absent in [
        StepKind::LeftPedal,
        StepKind::Cranks,
        StepKind::ChainSlack,
        StepKind::LeverSide,
        StepKind::LeverGap,
        StepKind::BrakeCable,
        StepKind::TrainingWheels,
        StepKind::Sag,
    ] {
        assert!(!parted.contains(&absent), "{absent}");
    }
}

#[test]
fn a_bike_whose_parts_are_not_known_is_told_every_kind_it_may_have() {
    let mut spec = sample("trail-20").spec.clone();
    spec.parts = None;
    let bike = Bike::new("unknown", spec).unwrap();
    for kind in [
        StepKind::DiscCaliper,
        StepKind::RimPads,
        StepKind::LimitScrews,
        StepKind::HubGear,
    ] {
        assert!(
            words(&bike, kind).starts_with("If "),
            "{}",
            words(&bike, kind)
        );
    }
    // Nothing is gained by leaving a line out: every step of the known bike is there.
    assert!(kinds(&bike).is_superset(&kinds(&sample("trail-20"))));
}

#[test]
fn a_pedal_bike_whose_file_leaves_its_cranks_out_is_built_with_them() {
    let mut looked = 0;
    for whole in library::samples().filter(|bike| bike.spec.cranks.is_some()) {
        let mut spec = whole.spec.clone();
        spec.cranks = None;
        let bike = Bike::new(&whole.id, spec).unwrap();
        assert_eq!(kinds(&bike), kinds(&whole), "{}", whole.id);
        let parts = |bike: &Bike| -> Vec<String> {
            let bolts = bolts(bike, &Kit::of(bike));
            bolts.into_iter().map(|bolt| bolt.part).collect()
        };
        assert_eq!(parts(&bike), parts(&whole), "{}", whole.id);
        looked += 1;
    }
    assert!(looked > 10, "{looked}");
    let (_, text) = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "coaster-16")
        .unwrap();
    let (before, after) = text.split_once("cranks: {").unwrap();
    let after = after.split_once('\n').unwrap().1;
    let text = format!("{before}{after}torque: {{left pedal: 38}}\n");
    let bike = library::read("bike", &Document::from_text("bike", text)).unwrap();
    assert_eq!(doubts(&bike), Vec::<String>::new());
    assert!(kinds(&bike).contains(&StepKind::CoasterStrap));
}

#[test]
fn the_order_is_that_of_a_build() {
    // Common practice, and necessity: each pair's first must be done for the second to mean anything.
    let before = [
        (StepKind::Unpack, StepKind::Damage),
        (StepKind::ForkForward, StepKind::Headset),
        // The wheel is what the bar is square to; steerer bolts fix the bar and what the top cap has set.
        (StepKind::ForkForward, StepKind::FrontAxle),
        (StepKind::FrontAxle, StepKind::Headset),
        (StepKind::FrontAxle, StepKind::BarSquare),
        (StepKind::BarClamp, StepKind::BarSquare),
        (StepKind::Headset, StepKind::Stem),
        (StepKind::BarSquare, StepKind::Stem),
        // A tyre is judged with air in it, a brake arm hangs before its cable pulls.
        (StepKind::TyrePressure, StepKind::TyreSeating),
        (StepKind::TyrePressure, StepKind::RimPads),
        (StepKind::RimBrake, StepKind::BrakeCable),
        (StepKind::RimBrake, StepKind::RimPads),
        (StepKind::FrontAxle, StepKind::WheelTrue),
        (StepKind::RearAxle, StepKind::CoasterStrap),
        // Slack is set by moving the wheel: whatever is set to the wheel or held by its nuts comes after.
        (StepKind::RearAxle, StepKind::ChainSlack),
        (StepKind::Cranks, StepKind::ChainSlack),
        (StepKind::ChainSlack, StepKind::CoasterStrap),
        (StepKind::ChainSlack, StepKind::HubGear),
        (StepKind::ChainSlack, StepKind::RimPads),
        (StepKind::ChainSlack, StepKind::DiscCaliper),
        (StepKind::ChainSlack, StepKind::DrumBrake),
        (StepKind::WheelTrue, StepKind::RimPads),
        (StepKind::RotorBolts, StepKind::DiscCaliper),
        // A brake is bedded in when it works and everything is closed, and before the child trusts it.
        (StepKind::DiscCaliper, StepKind::BeddingIn),
        (StepKind::TestRide, StepKind::BeddingIn),
        (StepKind::BeddingIn, StepKind::ChildTest),
        (StepKind::TestRide, StepKind::ChildTest),
        (StepKind::CrankPreload, StepKind::Cranks),
        (StepKind::Hanger, StepKind::LimitScrews),
        (StepKind::ChainLength, StepKind::LimitScrews),
        (StepKind::LimitScrews, StepKind::Indexing),
        // The height is taken to the saddle's top, which the level moves.
        (StepKind::SaddleLevel, StepKind::Post),
        (StepKind::Grease, StepKind::Post),
        (StepKind::Grease, StepKind::RightPedal),
        (StepKind::Post, StepKind::SeatClamp),
        // Training wheels hang on the axle.
        (StepKind::TrainingWheels, StepKind::FinalTorque),
        (StepKind::TyrePressure, StepKind::FinalTorque),
        (StepKind::TyrePressure, StepKind::Sag),
        (StepKind::AirSpring, StepKind::Sag),
        (StepKind::LeverSlope, StepKind::LeverGap),
        (StepKind::LeverGap, StepKind::FinalTorque),
        (StepKind::FinalTorque, StepKind::StandTest),
        (StepKind::StandTest, StepKind::TestRide),
        (StepKind::TestRide, StepKind::BoltsAgain),
    ];
    for bike in library::samples() {
        let kinds: Vec<_> = build(&bike).iter().map(|step| step.kind).collect();
        let place = |kind| kinds.iter().position(|found| *found == kind);
        for (first, second) in before {
            if let (Some(first_at), Some(second_at)) = (place(first), place(second)) {
                assert!(first_at < second_at, "{}: {first} {second}", bike.id);
            }
        }
    }
    let all: BTreeSet<_> = library::samples().flat_map(|bike| kinds(&bike)).collect();
    for kind in StepKind::ALL
        .iter()
        .filter(|kind| **kind != StepKind::ChildTest)
    {
        assert!(all.contains(kind), "no sample has {kind}");
    }
}

#[test]
fn the_sheet_covers_what_a_manual_must_tell() {
    // 16 CFR 1512.19(a)(2), (3): assembly; maintenance of brakes, control cables, bearing adjustments, wheel
    // adjustments, reflectors, tyres, handlebar and seat adjustments. ISO 4210-2 and ISO 8098, manufacturer's
    // instructions: saddle height and insertion marks of post and stem, which lever works which brake, back-pedal
    // brake, suspension, tightening of bar, stem, saddle, post and wheels with torque values, quick-release devices,
    // chain tension, gears, brakes, parts supplied unassembled, stabilisers. All from memory.
    let lists: [(&str, &str, &[StepKind]); 19] = [
        (
            "16 CFR 1512.19",
            "brakes",
            &[StepKind::DiscCaliper, StepKind::LeverGap],
        ),
        ("16 CFR 1512.19", "control cables", &[StepKind::BrakeCable]),
        (
            "16 CFR 1512.19",
            "bearing adjustments",
            &[StepKind::Headset, StepKind::Cranks],
        ),
        (
            "16 CFR 1512.19",
            "wheel adjustments",
            &[StepKind::FrontAxle, StepKind::RearAxle, StepKind::WheelTrue],
        ),
        ("16 CFR 1512.19", "reflectors", &[StepKind::Reflectors]),
        (
            "16 CFR 1512.19",
            "tyres",
            &[StepKind::TyreSeating, StepKind::TyrePressure],
        ),
        (
            "16 CFR 1512.19",
            "handlebar",
            &[StepKind::BarClamp, StepKind::BarSquare],
        ),
        (
            "16 CFR 1512.19",
            "seat",
            &[StepKind::Post, StepKind::SeatClamp, StepKind::SaddleLevel],
        ),
        (
            "ISO 4210-2",
            "saddle height, insertion mark",
            &[StepKind::Post],
        ),
        (
            "ISO 4210-2",
            "which lever works which brake",
            &[StepKind::LeverSide],
        ),
        (
            "ISO 4210-2",
            "suspension",
            &[StepKind::AirSpring, StepKind::Sag],
        ),
        (
            "ISO 4210-2",
            "tightening",
            &[
                StepKind::Stem,
                StepKind::BarClamp,
                StepKind::SeatClamp,
                StepKind::FinalTorque,
            ],
        ),
        ("ISO 4210-2", "quick-release", &[StepKind::FrontAxle]),
        (
            "ISO 4210-2",
            "gears",
            &[StepKind::LimitScrews, StepKind::Indexing, StepKind::HubGear],
        ),
        (
            "ISO 4210-2",
            "parts supplied unassembled",
            &[StepKind::RightPedal, StepKind::LeftPedal],
        ),
        ("ISO 8098", "chain tension", &[StepKind::ChainSlack]),
        (
            "ISO 8098",
            "back-pedal brake",
            &[StepKind::CoasterBrake, StepKind::CoasterStrap],
        ),
        ("ISO 8098", "stabilisers", &[StepKind::TrainingWheels]),
        ("ISO 8098", "before every ride: damage", &[StepKind::Damage]),
    ];
    let all: BTreeSet<_> = library::samples().flat_map(|bike| kinds(&bike)).collect();
    for (source, what, needed) in lists {
        assert!(
            needed.iter().all(|kind| all.contains(kind)),
            "{source}: {what}"
        );
    }
    // Tightening comes with torque values.
    for kind in [
        StepKind::Stem,
        StepKind::SeatClamp,
        StepKind::SaddleLevel,
        StepKind::LeftPedal,
    ] {
        let steps = build(&sample("trail-20"));
        let step = steps.iter().find(|step| step.kind == kind).unwrap();
        assert!(!step.bolts.is_empty(), "{kind}");
    }
}

#[test]
fn the_final_torque_names_every_step_with_a_bolt_in_order() {
    let bike = sample("trail-24");
    let html = build_sheet(&bike, &Extras::default()).unwrap();
    let numbers: Vec<usize> = (1..)
        .zip(build(&bike))
        // Behind a closed clamp a cap no longer sets a bearing (common practice): it is not tightened again.
        .filter(|(_, step)| step.kind != StepKind::Headset && !step.bolts.is_empty())
        .map(|(number, _)| number)
        .collect();
    assert!(
        build(&bike)
            .iter()
            .any(|step| step.kind == StepKind::Headset && !step.bolts.is_empty())
    );
    let order = html
        .split("in this order: ")
        .nth(1)
        .unwrap()
        .split('.')
        .next()
        .unwrap();
    let order: Vec<usize> = order
        .replace('\u{a0}', " ")
        .split(", ")
        .map(|number| number.parse().unwrap())
        .collect();
    assert_eq!(order, numbers);
    assert!(order.is_sorted());
}

#[test]
fn every_part_that_holds_a_wheel_a_post_or_a_bar_is_in_the_torque_round() {
    // Quick-release levers close by hand and leave a print in the palm; a quill stem's bar clamp has its figure on
    // it; a hub brake's arm holds the brake's reaction (common practice).
    let closed = |id: &str, kind: StepKind, part: &str| {
        let steps = build(&sample(id));
        let step = steps.iter().find(|step| step.kind == kind).unwrap();
        let bolt = step.bolts.iter().find(|bolt| bolt.part == part);
        bolt.unwrap_or_else(|| panic!("{id}: no {part}")).clone()
    };
    for (id, kind, part) in [
        ("trail-24", StepKind::FrontAxle, "front quick-release"),
        ("trail-24", StepKind::RearAxle, "rear quick-release"),
        (
            "balance-12",
            StepKind::SeatClamp,
            "seat clamp quick-release",
        ),
        ("step-26", StepKind::SeatClamp, "seat clamp quick-release"),
    ] {
        let bolt = closed(id, kind, part);
        assert_eq!(bolt.tight, Tight::ByHand);
        assert!(bolt.note.contains("print in the palm"), "{bolt:?}");
    }
    for id in ["coaster-16", "step-26"] {
        let bolt = closed(id, StepKind::BarClamp, "handlebar clamp");
        assert_eq!(bolt.tight, Tight::AsPrinted);
    }
    for part in ["front drum arm", "rear drum arm"] {
        let bolt = closed("step-26", StepKind::DrumBrake, part);
        assert!(bolt.note.contains("without it the brake does not hold"));
    }
    // An arm is strapped when its wheel is closed.
    let bike = sample("step-26");
    let all = bolts(&bike, &Kit::of(&bike));
    let place = |part: &str| all.iter().position(|bolt| bolt.part == part).unwrap();
    assert!(place("front axle nuts") < place("front drum arm"));
    assert!(place("rear axle nuts") < place("rear drum arm"));
    let html = build_sheet(&bike, &Extras::default()).unwrap();
    assert!(html.contains("levers by hand"), "{html}");
    let clamp = closed("trail-24", StepKind::LeverGap, "brake lever clamp");
    assert!(clamp.note.contains("after setting gap"));
}

#[test]
fn a_wheel_that_sets_the_slack_is_closed_once_the_slack_is_set() {
    // Without a derailleur the wheel itself tightens the chain; nuts at their torque would have to be undone for it
    // (common practice).
    let closes = |bike: &Bike, kind: StepKind, part: &str| {
        let steps = build(bike);
        let step = steps.iter().find(|step| step.kind == kind);
        step.is_some_and(|step| step.bolts.iter().any(|bolt| bolt.part == part))
    };
    let (mut moved, mut fixed) = (0, 0);
    for bike in library::samples().filter(|bike| !bike.is_balance()) {
        let parts = bike.spec.parts.as_ref().unwrap();
        let part = match parts.rear_axle.unwrap() {
            AxleKind::Nuts => "rear axle nuts",
            AxleKind::QuickRelease => "rear quick-release",
            AxleKind::ThruAxle => continue,
        };
        let is_moved = parts.gears != Some(GearKind::Derailleur);
        assert_eq!(closes(&bike, StepKind::ChainSlack, part), is_moved);
        assert_eq!(closes(&bike, StepKind::RearAxle, part), !is_moved);
        let snug = words(&bike, StepKind::RearAxle).contains("until the chain slack is set");
        assert_eq!(snug, is_moved, "{}", bike.id);
        if is_moved {
            let slack = words(&bike, StepKind::ChainSlack);
            assert!(slack.contains("midway, then the "), "{slack}");
            moved += 1;
        } else {
            fixed += 1;
        }
    }
    assert!(moved > 2 && fixed > 2, "{moved} {fixed}");
    // Not known: closed at once, and told what else may be.
    let mut spec = sample("coaster-16").spec.clone();
    (spec.parts, spec.brakes) = (None, None);
    let open = Bike::new("open", spec).unwrap();
    assert!(closes(&open, StepKind::RearAxle, "rear axle nuts"));
    assert!(words(&open, StepKind::ChainSlack).contains("then the axle again"));
}

#[test]
fn a_transport_block_is_out_before_the_rotor_goes_in() {
    for (id, is_fluid) in [("trail-26", true), ("street-24", false)] {
        let bike = sample(id);
        let parts = bike.spec.parts.as_ref().unwrap();
        let has = parts.front_brake == Some(BrakePart::HydraulicDisc);
        assert_eq!(has, is_fluid, "{id}");
        for wheel in [StepKind::FrontAxle, StepKind::RearAxle] {
            let said = words(&bike, wheel);
            assert_eq!(said.starts_with("Transport block out"), is_fluid, "{said}");
        }
    }
    assert!(!words(&sample("trail-26"), StepKind::BrakeFluid).contains("block"));
    assert!(
        words(&sample("trail-26"), StepKind::FrontAxle)
            .contains("no pull at the lever till the rotor is in")
    );
    let mut spec = sample("trail-26").spec.clone();
    spec.parts = None;
    let open = Bike::new("open", spec).unwrap();
    assert!(words(&open, StepKind::FrontAxle).starts_with("Transport blocks out"));
}

#[test]
fn front_and_rear_are_named_where_their_torques_differ() {
    let mut spec = sample("trail-24").spec.clone();
    let html = |spec: &FrameSpec| {
        let bike = Bike::new("bike", spec.clone()).unwrap();
        build_sheet(&bike, &Extras::default())
            .unwrap()
            .replace('\u{a0}', " ")
            .replace('\u{2011}', "-")
    };
    assert!(
        !html(&spec).contains("disc caliper 6"),
        "alike: in the column"
    );
    let torque = inseam::units::Torque::from_nm(6.0).into();
    spec.torque
        .0
        .push(("front disc caliper".to_owned(), torque));
    let said = html(&spec);
    assert!(
        said.contains("front disc caliper 6 (printed on the part), rear disc caliper 6-8"),
        "{said}"
    );
}

/// A quill stem's bar clamp goes by its own mark: the faceplate's figure is not for it.
#[test]
fn where_nobody_said_which_stem_it_has_the_faceplates_figure_has_its_name() {
    let text = "name: Used\nstyle: street\ntyres: {front: 47-406, rear: 47-406}\n";
    let bike = library::read("used", &Document::from_text("used", text)).unwrap();
    let html = build_sheet(&bike, &Extras::default()).unwrap();
    let html = html.replace('\u{a0}', " ").replace('\u{2011}', "-");
    let bar = html
        .lines()
        .find(|line| line.contains("Bar centred"))
        .unwrap();
    assert!(bar.contains("N·m: stem faceplate 4-6."), "{bar}");
    assert!(bar.contains("<span class=\"nm\"></span>"), "{bar}");
}

/// A figure without a name beside a tick box is read for the bolt that is told of there: 1 to 2 N·m hold no cable.
#[test]
fn a_bolt_in_doubt_is_named_and_no_other_figure_stands_for_its_own() {
    let mut samples = library::SAMPLES.iter();
    let (_, text) = samples.find(|(id, _)| *id == "trail-20").unwrap();
    let step = |torque: &str, start: &str| {
        let text = format!("{text}torque: {{{torque}}}\n");
        let bike = library::read("own", &Document::from_text("own", text)).unwrap();
        let html = build_sheet(&bike, &Extras::default()).unwrap();
        let html = html.replace('\u{a0}', " ").replace('\u{2011}', "-");
        let mut steps = html.lines().filter(|line| line.contains(start));
        steps.next().unwrap_or_else(|| panic!("{html}")).to_owned()
    };
    for (torque, anchor, doubt) in [
        ("brakes: 7", "as marked", "brakes 7 may be its figure"),
        ("anchor: 5", "as marked", "anchor 5 may be its figure"),
        (
            "brake cable anchor: 20",
            "20 (printed on the part)",
            "6 to 8 is usual",
        ),
    ] {
        let cables = step(torque, "Cables: pulled hard");
        let said = format!(
            "N·m: brake cable anchor {anchor}, cable guide 1-2. Torque of the brake cable anchor: {doubt}: read the part"
        );
        assert!(cables.contains(&said), "{cables}");
        assert!(cables.contains("<span class=\"nm\"></span>"), "{cables}");
    }
    let caliper = step("brakes: 7", "Caliper centred");
    assert!(
        caliper.contains("Torque of the disc caliper: "),
        "{caliper}"
    );
    // One figure alone stands in the column, and whose it is is said where it is the maker's.
    let own = step("disc caliper: 8-9", "Caliper centred");
    assert!(
        own.contains("Printed on the part.") && own.contains("<span class=\"nm\">8-9</span>"),
        "{own}"
    );
    let plain = step("", "Caliper centred");
    assert!(!plain.contains("Printed"), "{plain}");
}

/// Common practice, from memory: an arm on its boss 5 to 7 N·m, a caliper's centre bolt 8 to 9.6, a pad's bolt 5 to 9,
/// a gear cable's anchor 4 to 6.
#[test]
fn an_arm_on_its_boss_is_no_centre_bolt_and_pads_and_gear_cable_have_bolts_of_their_own() {
    let figures = |bike: &Bike, kind: StepKind| {
        let steps = build(bike);
        let step = steps.iter().find(|step| step.kind == kind).unwrap();
        let bolts = step.bolts.iter();
        bolts
            .filter(|bolt| bolt.part.starts_with("rear") || !bolt.part.starts_with("front"))
            .map(|bolt| (bolt.part.clone(), bolt.tight))
            .collect::<Vec<_>>()
    };
    for (kind, part, nm) in [
        ("linear-pull", "rear rim-brake arm", [5.0, 7.0]),
        ("caliper", "rear rim caliper", [8.0, 9.6]),
    ] {
        let bike = with_part("trail-20", "rear_brake", kind).unwrap();
        let arm = vec![(part.to_owned(), Tight::Torque(nm))];
        assert_eq!(figures(&bike, StepKind::RimBrake), arm);
        let pads = vec![("rear brake pads".to_owned(), Tight::Torque([5.0, 9.0]))];
        assert_eq!(figures(&bike, StepKind::RimPads), pads);
        let mut spec = bike.spec.clone();
        let torque = inseam::units::Torque::from_nm(6.0).into();
        for name in ["brake pads", "gear cable anchor"] {
            spec.torque.0.push((name.to_owned(), torque));
        }
        assert_eq!(
            doubts(&Bike::new("named", spec).unwrap()),
            Vec::<String>::new()
        );
    }
    let geared = with_part("trail-20", "gears", "derailleur").unwrap();
    let anchor = vec![("gear cable anchor".to_owned(), Tight::Torque([4.0, 6.0]))];
    assert_eq!(figures(&geared, StepKind::Indexing), anchor);
}

/// 16 CFR 1512.5(a) wants a rear brake on a bike with pedals, ISO 8098 two (from memory).
#[test]
fn a_bike_with_pedals_and_without_its_brakes_gets_a_stop_sheet_before_anyone_rides_it() {
    let with = |front: BrakeKind, rear: BrakeKind| {
        let mut spec = sample("coaster-16").spec.clone();
        if let Some(brakes) = spec.brakes.as_mut() {
            (brakes.front.kind, brakes.rear.kind) = (front, rear);
            brakes.front.reach = None;
        }
        spec.parts = None;
        spec
    };
    let html = |spec: FrameSpec| {
        let bike = Bike::new("bike", spec).unwrap();
        let html = build_sheet(&bike, &Extras::default()).unwrap();
        html.split_once("<body>").unwrap().1.replace('\u{a0}', " ")
    };
    for (front, said) in [
        (BrakeKind::None, "No brakes on a bike with pedals"),
        (
            BrakeKind::Hand,
            "A front brake alone: the law asks for a rear one too",
        ),
    ] {
        let stop = html(with(front, BrakeKind::None));
        assert!(
            stop.contains(&format!("Stop. Brakes: {}", said.to_lowercase())),
            "{stop}"
        );
        assert!(stop.contains("Do not ride this bike"), "{stop}");
        assert!(stop.contains("UNSUITABLE: for no rider as it is"), "{stop}");
        for step in [
            "class=\"step\"",
            "class=\"box\"",
            "N·m",
            "Before a first ride",
            "state of brakes",
        ] {
            assert!(!stop.contains(step), "{step}: {stop}");
        }
    }
    let caution = html(with(BrakeKind::None, BrakeKind::Coaster));
    let read = caution
        .find("<b>Read this.</b> A coaster brake alone")
        .unwrap();
    assert!(read < caution.find("class=\"step\"").unwrap(), "{caution}");
    let mut unknown = with(BrakeKind::None, BrakeKind::Coaster);
    unknown.brakes = None;
    let unknown = html(unknown);
    assert!(
        unknown.contains("<b>Read this.</b> Which brakes it has the file does not say"),
        "{unknown}"
    );
    // Complete brakes and a bike without pedals have nothing to read.
    for id in ["trail-20", "balance-12"] {
        assert!(
            !html(sample(id).spec.clone()).contains("Read this."),
            "{id}"
        );
    }
}

#[test]
fn nothing_is_said_of_parts_that_the_bike_has_not() {
    let balance = sample("balance-12");
    assert!(!words(&balance, StepKind::BarSquare).contains("cable"));
    assert!(!words(&balance, StepKind::Grease).contains("pedal"));
    assert!(words(&sample("trail-24"), StepKind::BarSquare).contains("no cable pulls tight"));
    let note = |id: &str| {
        let bike = sample(id);
        let bolts = bolts(&bike, &Kit::of(&bike));
        let nuts = bolts.iter().find(|bolt| bolt.part == "rear axle nuts");
        nuts.unwrap().note.clone()
    };
    assert!(!note("balance-12").contains("chain"));
    assert!(note("coaster-16").contains("chain slack set,"));
    assert!(!note("coaster-16").contains("chain on,"));
}

/// A coaster hub turns on nuts, by a chain that a derailleur would let go slack: `check` refuses one elsewhere.
#[test]
fn a_coaster_is_on_no_list_of_a_bike_that_can_have_none() {
    let open = |change: &dyn Fn(&mut Parts)| {
        let mut spec = sample("trail-24").spec.clone();
        spec.brakes = None;
        let mut parts = Parts::default();
        change(&mut parts);
        spec.parts = Some(parts);
        kinds(&Bike::new("open", spec).unwrap()).contains(&StepKind::CoasterBrake)
    };
    assert!(open(&|_| {}));
    assert!(open(&|parts| parts.rear_axle = Some(AxleKind::Nuts)));
    assert!(!open(
        &|parts| parts.rear_axle = Some(AxleKind::QuickRelease)
    ));
    assert!(!open(&|parts| parts.gears = Some(GearKind::Derailleur)));
}

#[test]
fn a_linear_pull_brake_has_its_bent_pipe_seated() {
    let pipe = |part: &str| {
        let bike = with_part("street-20", "front_brake", part);
        let mut spec = bike.expect("made").spec.clone();
        if let Some(parts) = spec.parts.as_mut() {
            parts.rear_brake = parts.front_brake;
        }
        words(&Bike::new("bike", spec).unwrap(), StepKind::RimBrake).contains("bent pipe")
    };
    assert!(pipe("linear-pull"));
    assert!(!pipe("caliper"));
}

#[test]
fn a_step_whose_mark_nobody_knows_says_to_find_it_and_tells_no_highest() {
    let mut spec = sample("trail-24").spec.clone();
    spec.seat_post.minimum_insertion = None;
    let post = words(&Bike::new("unmarked", spec).unwrap(), StepKind::Post);
    assert!(post.contains("find the mark printed on the post"), "{post}");
    assert!(!post.contains("never above"), "{post}");
    assert!(!post.contains(" ,") && !post.contains("  "), "{post}");
    let post = words(&sample("trail-24"), StepKind::Post);
    assert!(
        post.contains("never above") && post.contains("80 mm"),
        "{post}"
    );
}

#[test]
fn parts_that_contradict_the_rest_of_the_file_are_refused() {
    let refused = |id: &str, change: fn(&mut FrameSpec), key: &str| {
        let mut spec = sample(id).spec.clone();
        change(&mut spec);
        let error = Bike::new("wrong", spec).unwrap_err();
        let keys: Vec<_> = error
            .into_problems()
            .into_iter()
            .map(|problem| problem.key)
            .collect();
        assert!(keys.contains(&key.to_owned()), "{keys:?}");
    };
    refused(
        "trail-24",
        |spec| spec.parts.as_mut().unwrap().rear_brake = Some(BrakePart::Coaster),
        "parts.rear_brake",
    );
    refused(
        "trail-24",
        |spec| spec.parts.as_mut().unwrap().front_brake = Some(BrakePart::Coaster),
        "parts.front_brake",
    );
    refused(
        "coaster-16",
        |spec| spec.parts.as_mut().unwrap().rear_brake = Some(BrakePart::Drum),
        "parts.rear_brake",
    );
    refused(
        "coaster-16",
        |spec| spec.parts.as_mut().unwrap().front_brake = Some(BrakePart::Caliper),
        "parts.front_brake",
    );
    refused(
        "coaster-16",
        |spec| spec.parts.as_mut().unwrap().gears = Some(GearKind::Derailleur),
        "parts.gears",
    );
    refused(
        "coaster-16",
        |spec| spec.parts.as_mut().unwrap().rear_axle = Some(AxleKind::ThruAxle),
        "parts.rear_axle",
    );
    refused(
        "balance-12",
        |spec| spec.parts.as_mut().unwrap().cranks = Some(CrankKind::OnePiece),
        "parts.cranks",
    );
    refused(
        "balance-12",
        |spec| spec.parts.as_mut().unwrap().gears = Some(GearKind::Single),
        "parts.gears",
    );
    let (_, text) = library::SAMPLES
        .iter()
        .find(|(id, _)| *id == "trail-24")
        .unwrap();
    let text = text.replace("rear_brake: hydraulic-disc", "rear_brake: coaster");
    let error = library::read("placed", &Document::from_text("placed.yaml", &*text)).unwrap_err();
    let problem = &error.into_problems()[0];
    let line = 1 + text
        .lines()
        .position(|line| line.contains("rear_brake: coaster"))
        .unwrap();
    assert_eq!(problem.place.map(|(line, _)| line), Some(line));
}

#[test]
fn the_sheet_is_one_file_that_fetches_nothing_and_reads_on_a_phone() {
    let html = build_sheet(&sample("trail-24"), &Extras::default()).unwrap();
    for outside in [
        "<link", "<script", "<iframe", "<img", "src=", "href=", "@import", "url(", "http:",
        "https:",
    ] {
        assert!(!html.contains(outside), "{outside}");
    }
    assert!(html.contains("name=\"viewport\""));
    assert!(html.contains("@media screen and (max-width: 600px)"));
    let boxes = html.matches("class=\"box\"").count();
    assert_eq!(boxes, build(&sample("trail-24")).len());
}

#[test]
fn no_text_on_any_sheet_is_under_nine_points() {
    for bike in library::samples() {
        let html = build_sheet(&bike, &Extras::default()).unwrap();
        let style = html.split("</style>").next().unwrap();
        for (at, unit) in style.match_indices("pt").chain(style.match_indices("em")) {
            let number: String = style[..at]
                .chars()
                .rev()
                .take_while(|c| c.is_ascii_digit() || *c == '.')
                .collect();
            let number: String = number.chars().rev().collect();
            let Ok(size) = number.parse::<f64>() else {
                continue;
            };
            let least = if unit == "pt" { 9.0 } else { 1.0 };
            assert!(size >= least, "{size} {unit}");
        }
    }
}
