//! The bolt check, front to back: only parts that this bike has, each with its common-practice torque.
//! A figure printed on the part wins; the frame file's `torque:` map carries it and may add parts.
//! Order matters where a note says so.

use crate::bike::{Bike, BrakeKind};
use crate::units::clip;

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
}

/// What a bike must have for a row.
#[derive(Clone, Copy, PartialEq)]
enum Needs {
    Nothing,
    FrontHandBrake,
    AnyHandBrake,
    RearHandBrake,
    Coaster,
    Cranks,
    /// Cranks, and no brake that rules a derailleur out.
    CranksWithoutCoaster,
}

struct Row {
    part: &'static str,
    low_nm: f64,
    high_nm: f64,
    note: &'static str,
    needs: Needs,
}

const fn row(
    part: &'static str,
    [low_nm, high_nm]: [f64; 2],
    needs: Needs,
    note: &'static str,
) -> Row {
    Row {
        part,
        low_nm,
        high_nm,
        note,
        needs,
    }
}

/// Every row, front to back. Torques are common practice of the trade.
const ROWS: [Row; 20] = [
    row(
        "front axle nuts",
        [20.0, 25.0],
        Needs::Nothing,
        "wheel settled, rotor between the pads, then close; other axles: as printed",
    ),
    row(
        "front disc caliper",
        [6.0, 8.0],
        Needs::FrontHandBrake,
        "where it has a disc",
    ),
    row(
        "front rim-brake arm",
        [8.0, 9.6],
        Needs::FrontHandBrake,
        "where it grips the rim",
    ),
    row(
        "top cap",
        [1.0, 2.0],
        Needs::Nothing,
        "bearing preload only: before the steerer clamp",
    ),
    row(
        "steerer clamp",
        [5.0, 7.0],
        Needs::Nothing,
        "after the top cap, wheel straight; in turn",
    ),
    row(
        "stem faceplate",
        [4.0, 6.0],
        Needs::Nothing,
        "crosswise, gap even all round",
    ),
    row(
        "brake lever clamp",
        [4.0, 5.0],
        Needs::AnyHandBrake,
        "after setting gap and slope",
    ),
    row(
        "brake cable anchor",
        [6.0, 8.0],
        Needs::AnyHandBrake,
        "pull hard, then look again",
    ),
    row("cable guide", [1.0, 2.0], Needs::AnyHandBrake, ""),
    row(
        "seat clamp",
        [5.0, 7.0],
        Needs::Nothing,
        "mark inside the tube; saddle does not twist",
    ),
    row(
        "saddle rail clamp",
        [8.0, 14.0],
        Needs::Nothing,
        "saddle level",
    ),
    row(
        "crank preload cap",
        [1.0, 2.0],
        Needs::Cranks,
        "before the pinch bolts",
    ),
    row(
        "crank pinch bolts",
        [12.0, 15.0],
        Needs::Cranks,
        "pinch-bolt cranks, after the cap",
    ),
    row(
        "square-taper crank bolts",
        [34.0, 44.0],
        Needs::Cranks,
        "taper cranks",
    ),
    row(
        "right pedal",
        [35.0, 40.0],
        Needs::Cranks,
        "tightens clockwise",
    ),
    row(
        "left pedal",
        [35.0, 40.0],
        Needs::Cranks,
        "left-hand thread: tightens anticlockwise",
    ),
    row(
        "rear disc caliper",
        [6.0, 8.0],
        Needs::RearHandBrake,
        "where it has a disc",
    ),
    row(
        "rear rim-brake arm",
        [8.0, 9.6],
        Needs::RearHandBrake,
        "where it grips the rim",
    ),
    row(
        "rear derailleur",
        [8.0, 10.0],
        Needs::CranksWithoutCoaster,
        "where it has one",
    ),
    row(
        "rear axle nuts",
        [25.0, 35.0],
        Needs::Nothing,
        "wheel settled, rotor between the pads, chain on, then close; other axles: as printed",
    ),
];

/// Holds the brake's reaction; the last thing on a coaster bike.
const COASTER_STRAP: Row = row(
    "coaster arm strap",
    [2.0, 3.0],
    Needs::Coaster,
    "after the axle nuts; without it the brake does not hold",
);

pub(super) fn bolts(bike: &Bike) -> Vec<Bolt> {
    let mut bolts: Vec<Bolt> = ROWS
        .iter()
        .chain(std::iter::once(&COASTER_STRAP))
        .filter(|row| has(bike, row.needs))
        .map(|row| Bolt {
            part: row.part.to_owned(),
            low_nm: row.low_nm,
            high_nm: row.high_nm,
            note: note_for(bike, row),
            is_printed: false,
        })
        .collect();
    for (name, torque) in &bike.spec.torque.0 {
        let wanted = words(name);
        let mut is_known = false;
        for bolt in bolts.iter_mut().filter(|bolt| means(&wanted, &bolt.part)) {
            is_known = true;
            (bolt.low_nm, bolt.high_nm, bolt.is_printed) = (torque.nm(), torque.nm(), true);
        }
        if !is_known {
            bolts.push(Bolt {
                part: clip(name),
                low_nm: torque.nm(),
                high_nm: torque.nm(),
                note: String::new(),
                is_printed: true,
            });
        }
    }
    // A printed figure proves which of two kinds the bike has.
    for (one, other) in EITHER_OR {
        let is_proved = |part: &str| {
            bolts
                .iter()
                .any(|bolt| bolt.is_printed && bolt.part == part)
        };
        let (first, second) = (
            one.iter().any(|p| is_proved(p)),
            other.iter().any(|p| is_proved(p)),
        );
        if first != second {
            let absent = if first { other } else { one };
            bolts.retain(|bolt| !absent.contains(&bolt.part.as_str()));
        }
    }
    bolts
}

/// Parts of which a bike has the one kind or the other.
const EITHER_OR: [(&[&str], &[&str]); 3] = [
    (&["front disc caliper"], &["front rim-brake arm"]),
    (&["rear disc caliper"], &["rear rim-brake arm"]),
    (
        &["crank preload cap", "crank pinch bolts"],
        &["square-taper crank bolts"],
    ),
];

fn has(bike: &Bike, needs: Needs) -> bool {
    let brakes = bike.spec.brakes.as_ref();
    let front = brakes.map(|brakes| brakes.front.kind);
    let rear = brakes.map(|brakes| brakes.rear.kind);
    let hand = Some(BrakeKind::Hand);
    let has_cranks = !bike.is_balance();
    match needs {
        Needs::Nothing => true,
        Needs::FrontHandBrake => front == hand,
        Needs::RearHandBrake => rear == hand,
        Needs::AnyHandBrake => front == hand || rear == hand,
        Needs::Coaster => rear == Some(BrakeKind::Coaster),
        Needs::Cranks => has_cranks,
        Needs::CranksWithoutCoaster => has_cranks && rear != Some(BrakeKind::Coaster),
    }
}

/// The note without the parts that this bike does not have.
fn note_for(bike: &Bike, row: &Row) -> String {
    let mut note = row.note.to_owned();
    let brakes = bike.spec.brakes.as_ref();
    let is_front = row.part.starts_with("front");
    let kind = brakes.map(|brakes| {
        if is_front {
            brakes.front.kind
        } else {
            brakes.rear.kind
        }
    });
    // Brakes that the file leaves out may be discs.
    if kind.is_some_and(|kind| kind != BrakeKind::Hand) {
        note = note.replace(", rotor between the pads", "");
    }
    if bike.is_balance() {
        note = note.replace(", chain on", "");
    }
    note
}

/// The words that tell one part from another: `stem_faceplate bolts` is the stem faceplate.
fn words(name: &str) -> Vec<String> {
    name.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .map(|word| word.strip_suffix('s').unwrap_or(word))
        .filter(|word| !["", "bolt", "nut", "screw"].contains(word))
        .map(str::to_owned)
        .collect()
}

/// Whether the file's name means this part; a name without front or rear means both.
fn means(wanted: &[String], part: &str) -> bool {
    let part = words(part);
    let one_side = |word: &String| !["front", "rear", "left", "right"].contains(&word.as_str());
    wanted == part.as_slice()
        || (wanted.iter().all(one_side)
            && wanted.iter().eq(part.iter().filter(|word| one_side(word))))
}
