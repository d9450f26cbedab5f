//! The bolts, front to back: only parts that this bike has or may have, each with its torque and where that is from.
//! A figure printed on the part wins; the frame file's `torque:` map carries it and may add parts.
//! Order matters where a note says so; which step of the build a bolt belongs to is said here, too.

use crate::advice::handover::kit::{Has, Kit, Wheel};
use crate::advice::handover::part_names::{means, words_of};
use crate::advice::handover::step_kind::StepKind;
use crate::bike::Bike;
use crate::bike::parts::{
    AxleKind, BrakePart, CrankKind, GearKind, SaddleClampKind, SeatClampKind, StemKind,
};
use crate::sources::Source;
use crate::words::clip;

/// One bolt, or one set of equal bolts.
#[derive(Debug, Clone, PartialEq)]
pub struct Bolt {
    /// The part.
    pub part: String,
    /// Least torque, N·m.
    pub low_nm: f64,
    /// Most torque, N·m.
    pub high_nm: f64,
    /// What to mind, or empty.
    pub note: String,
    /// Whether the figure comes from the frame file, as printed on the part.
    pub is_printed: bool,
    /// Whether the bike is known to have it.
    pub is_certain: bool,
    /// Where the figure is from.
    pub source: Source,
    /// The step of the build at which it is closed; None for parts that only the file knows.
    pub step: Option<StepKind>,
}

struct Row {
    part: &'static str,
    low_nm: f64,
    high_nm: f64,
    step: StepKind,
    needs: fn(&Kit) -> Has,
    note: &'static str,
}

const fn row(
    part: &'static str,
    [low_nm, high_nm]: [f64; 2],
    step: StepKind,
    needs: fn(&Kit) -> Has,
    note: &'static str,
) -> Row {
    Row {
        part,
        low_nm,
        high_nm,
        step,
        needs,
        note,
    }
}

/// Every row, front to back. Torques are common practice of the trade; those of thru-axle, rotor, quill and splined
/// cranks are from memory.
const ROWS: [Row; 28] = [
    row(
        "front axle nuts",
        [20.0, 25.0],
        StepKind::FrontAxle,
        |kit| kit.axle(Wheel::Front, AxleKind::Nuts),
        "wheel settled, in turn",
    ),
    row(
        "front thru-axle",
        [8.0, 15.0],
        StepKind::FrontAxle,
        |kit| kit.axle(Wheel::Front, AxleKind::ThruAxle),
        "with a lever: as its maker says",
    ),
    row(
        "front disc caliper",
        [6.0, 8.0],
        StepKind::DiscCaliper,
        |kit| kit.brake(Wheel::Front, BrakePart::has_disc),
        "rotor free between the pads",
    ),
    row(
        "front rotor bolts",
        [4.0, 6.0],
        StepKind::RotorBolts,
        |kit| kit.brake(Wheel::Front, BrakePart::has_disc),
        "crosswise; a lock ring: as printed",
    ),
    row(
        "front rim-brake arm",
        [8.0, 9.6],
        StepKind::RimPads,
        |kit| kit.brake(Wheel::Front, BrakePart::grips_rim),
        "",
    ),
    row(
        "top cap",
        [1.0, 2.0],
        StepKind::Headset,
        |kit| kit.stem(StemKind::Threadless),
        "bearing preload only: before the steerer clamp; a plastic cap by hand only",
    ),
    row(
        "steerer clamp",
        [5.0, 7.0],
        StepKind::Stem,
        |kit| kit.stem(StemKind::Threadless),
        "after the top cap, wheel straight; in turn",
    ),
    row(
        "quill bolt",
        [15.0, 20.0],
        StepKind::Stem,
        |kit| kit.stem(StemKind::Quill),
        "the stem past its own mark",
    ),
    row(
        "stem faceplate",
        [4.0, 6.0],
        StepKind::BarClamp,
        |kit| kit.stem(StemKind::Threadless),
        "crosswise, gap even all round",
    ),
    row(
        "brake lever clamp",
        [4.0, 5.0],
        StepKind::LeverSlope,
        |kit| kit.any_brake(BrakePart::has_lever),
        "after setting gap and slope",
    ),
    row(
        "brake cable anchor",
        [6.0, 8.0],
        StepKind::BrakeCable,
        |kit| kit.any_brake(BrakePart::has_cable),
        "pull hard, then look again",
    ),
    row(
        "cable guide",
        [1.0, 2.0],
        StepKind::BrakeCable,
        |kit| kit.any_brake(BrakePart::has_cable),
        "",
    ),
    row(
        "seat clamp",
        [5.0, 7.0],
        StepKind::SeatClamp,
        |kit| kit.seat_clamp(SeatClampKind::Bolt),
        "mark inside the tube; saddle does not twist",
    ),
    row(
        "saddle rail clamp",
        [5.0, 8.0],
        StepKind::SaddleLevel,
        |kit| kit.saddle_clamp(SaddleClampKind::TwoBolt),
        "two small bolts, in turn",
    ),
    row(
        "saddle rail clamp",
        [16.0, 20.0],
        StepKind::SaddleLevel,
        |kit| kit.saddle_clamp(SaddleClampKind::SingleBolt),
        "one large bolt (M8)",
    ),
    row(
        "crank preload cap",
        [1.0, 2.0],
        StepKind::CrankPreload,
        |kit| kit.crank(CrankKind::PinchBolt),
        "before the pinch bolts; a plastic cap by hand only",
    ),
    row(
        "crank pinch bolts",
        [12.0, 15.0],
        StepKind::Cranks,
        |kit| kit.crank(CrankKind::PinchBolt),
        "after the cap, in turn",
    ),
    row(
        "square-taper crank bolts",
        [34.0, 44.0],
        StepKind::Cranks,
        |kit| kit.crank(CrankKind::SquareTaper),
        "",
    ),
    row(
        "splined crank bolts",
        [34.0, 50.0],
        StepKind::Cranks,
        |kit| kit.crank(CrankKind::Splined),
        "",
    ),
    row(
        "right pedal",
        [35.0, 40.0],
        StepKind::RightPedal,
        Kit::pedalled,
        "tightens clockwise",
    ),
    row(
        "left pedal",
        [35.0, 40.0],
        StepKind::LeftPedal,
        Kit::pedalled,
        "left-hand thread: tightens anticlockwise",
    ),
    row(
        "rear disc caliper",
        [6.0, 8.0],
        StepKind::DiscCaliper,
        |kit| kit.brake(Wheel::Rear, BrakePart::has_disc),
        "rotor free between the pads",
    ),
    row(
        "rear rotor bolts",
        [4.0, 6.0],
        StepKind::RotorBolts,
        |kit| kit.brake(Wheel::Rear, BrakePart::has_disc),
        "crosswise; a lock ring: as printed",
    ),
    row(
        "rear rim-brake arm",
        [8.0, 9.6],
        StepKind::RimPads,
        |kit| kit.brake(Wheel::Rear, BrakePart::grips_rim),
        "",
    ),
    row(
        "rear derailleur",
        [8.0, 10.0],
        StepKind::Hanger,
        |kit| kit.gear(GearKind::Derailleur),
        "",
    ),
    row(
        "rear axle nuts",
        [25.0, 35.0],
        StepKind::RearAxle,
        |kit| kit.axle(Wheel::Rear, AxleKind::Nuts),
        "wheel settled, chain on if it has one, in turn",
    ),
    row(
        "rear thru-axle",
        [8.0, 15.0],
        StepKind::RearAxle,
        |kit| kit.axle(Wheel::Rear, AxleKind::ThruAxle),
        "with a lever: as its maker says",
    ),
    // Holds the brake's reaction; the last thing on a coaster bike.
    row(
        "coaster arm strap",
        [2.0, 3.0],
        StepKind::CoasterStrap,
        |kit| kit.brake(Wheel::Rear, |part| part == BrakePart::Coaster),
        "after the axle nuts; without it the brake does not hold",
    ),
];

/// The bolts of a bike.
pub fn bolts(bike: &Bike, kit: &Kit) -> Vec<Bolt> {
    let mut bolts: Vec<Bolt> = ROWS
        .iter()
        .filter_map(|row| {
            let has = (row.needs)(kit);
            (has != Has::No).then(|| Bolt {
                part: row.part.to_owned(),
                low_nm: row.low_nm,
                high_nm: row.high_nm,
                note: row.note.to_owned(),
                is_printed: false,
                is_certain: has == Has::Yes,
                source: Source::Practice,
                step: Some(row.step),
            })
        })
        .collect();
    for (name, torque) in &bike.spec.torque.0 {
        let wanted = words_of(name);
        let mut is_known = false;
        for bolt in bolts.iter_mut().filter(|bolt| means(&wanted, &bolt.part)) {
            is_known = true;
            (bolt.low_nm, bolt.high_nm) = (torque.nm(), torque.nm());
            (bolt.is_printed, bolt.is_certain) = (true, true);
            bolt.source = Source::MakersMark;
        }
        if !is_known {
            bolts.push(Bolt {
                part: clip(name),
                low_nm: torque.nm(),
                high_nm: torque.nm(),
                note: String::new(),
                is_printed: true,
                is_certain: true,
                source: Source::MakersMark,
                step: None,
            });
        }
    }
    // Two kinds of one part that print the same figure are one row.
    let mut seen = std::collections::BTreeSet::new();
    bolts.retain(|bolt| !bolt.is_printed || bolt.step.is_none() || seen.insert(bolt.part.clone()));
    bolts
}
