//! The bolts, front to back: only parts that this bike has or may have, each with its torque and where that is from.
//! A figure printed on the part wins; the frame file's `torque:` map carries it and may add parts.
//! Order matters where a note says so; which step of the build a bolt belongs to is said here, too.

use crate::advice::handover::kit::{Has, Kit, Wheel};
use crate::advice::handover::part_names::{bare, may_mean, means, words_of};
use crate::advice::handover::step_kind::StepKind;
use crate::bike::Bike;
use crate::bike::parts::{
    AxleKind, BrakePart, CrankKind, GearKind, SaddleClampKind, SeatClampKind, StemKind,
};
use crate::bike::torque::PrintedTorque;
use crate::sources::Source;
use crate::units::tidy;
use crate::words::{clip, either};

/// How a lever with a cam is closed (common practice).
pub const LEVER_CLOSES: &str = "closes firmly, leaves a print in the palm";
/// How a thru-axle is closed, whichever kind it is (common practice).
pub const THRU_AXLE_CLOSES: &str = "screwed right home; a lever closed by hand, else to the torque";
/// What holds the reaction of a brake inside the hub.
const REACTION: &str = "once the wheel is closed; without it the brake does not hold";

/// How tight a part is closed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tight {
    /// By a torque wrench: least and most, N·m.
    Torque([f64; 2]),
    /// By a hand on a lever; no torque says how firmly.
    ByHand,
    /// To the figure on the part; the trade has none.
    AsPrinted,
}

impl Tight {
    /// Least and most torque, N·m, where one is known.
    pub const fn nm(self) -> Option<[f64; 2]> {
        match self {
            Self::Torque(nm) => Some(nm),
            Self::ByHand | Self::AsPrinted => None,
        }
    }
}

/// One bolt, or one set of equal bolts; or a lever that does a bolt's work.
#[derive(Debug, Clone, PartialEq)]
pub struct Bolt {
    /// The part.
    pub part: String,
    /// How tight it is closed.
    pub tight: Tight,
    /// What to mind, or empty.
    pub note: String,
    /// Whether the figure comes from the frame file, as printed on the part.
    pub is_printed: bool,
    /// What the file calls it, where that is no name of this list.
    pub written_as: Option<String>,
    /// Whether the bike is known to have it.
    pub is_certain: bool,
    /// Why the file's figure is to be looked at again.
    pub doubt: Option<String>,
    /// Where the figure is from.
    pub source: Source,
    /// The step of the build at which it is closed; None for parts that only the file knows.
    pub step: Option<StepKind>,
}

struct Row {
    part: &'static str,
    tight: Tight,
    step: StepKind,
    needs: fn(&Kit) -> Has,
    note: &'static str,
}

const fn row(
    part: &'static str,
    nm: [f64; 2],
    step: StepKind,
    needs: fn(&Kit) -> Has,
    note: &'static str,
) -> Row {
    Row {
        part,
        tight: Tight::Torque(nm),
        step,
        needs,
        note,
    }
}

const fn lever(part: &'static str, step: StepKind, needs: fn(&Kit) -> Has) -> Row {
    Row {
        part,
        tight: Tight::ByHand,
        step,
        needs,
        note: LEVER_CLOSES,
    }
}

/// Every row, front to back. Torques are common practice of the trade; those of thru-axle, rotor, quill, splined cranks,
/// rim-brake arms, brake pads and gear cable are from memory.
const ROWS: [Row; 42] = [
    row(
        "front axle nuts",
        [20.0, 25.0],
        StepKind::FrontAxle,
        |kit| kit.axle(Wheel::Front, AxleKind::Nuts),
        "wheel settled, in turn",
    ),
    lever("front quick-release", StepKind::FrontAxle, |kit| {
        kit.axle(Wheel::Front, AxleKind::QuickRelease)
    }),
    row(
        "front thru-axle",
        [8.0, 15.0],
        StepKind::FrontAxle,
        |kit| kit.axle(Wheel::Front, AxleKind::ThruAxle),
        THRU_AXLE_CLOSES,
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
        [5.0, 7.0],
        StepKind::RimBrake,
        |kit| kit.brake(Wheel::Front, |part| part == BrakePart::LinearPull),
        "on its boss",
    ),
    row(
        "front rim caliper",
        [8.0, 9.6],
        StepKind::RimBrake,
        |kit| kit.brake(Wheel::Front, |part| part == BrakePart::Caliper),
        "its centre bolt",
    ),
    row(
        "front brake pads",
        [5.0, 9.0],
        StepKind::RimPads,
        |kit| kit.brake(Wheel::Front, BrakePart::grips_rim),
        "",
    ),
    row(
        "front drum arm",
        [2.0, 3.0],
        StepKind::DrumBrake,
        |kit| kit.brake(Wheel::Front, |part| part == BrakePart::Drum),
        REACTION,
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
    Row {
        part: "handlebar clamp",
        tight: Tight::AsPrinted,
        step: StepKind::BarClamp,
        needs: |kit| kit.stem(StemKind::Quill),
        note: "to the figure printed on the stem",
    },
    row(
        "brake lever clamp",
        [4.0, 5.0],
        StepKind::LeverGap,
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
    lever("seat clamp quick-release", StepKind::SeatClamp, |kit| {
        kit.seat_clamp(SeatClampKind::QuickRelease)
    }),
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
        [5.0, 7.0],
        StepKind::RimBrake,
        |kit| kit.brake(Wheel::Rear, |part| part == BrakePart::LinearPull),
        "on its boss",
    ),
    row(
        "rear rim caliper",
        [8.0, 9.6],
        StepKind::RimBrake,
        |kit| kit.brake(Wheel::Rear, |part| part == BrakePart::Caliper),
        "its centre bolt",
    ),
    row(
        "rear brake pads",
        [5.0, 9.0],
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
        "gear cable anchor",
        [4.0, 6.0],
        StepKind::Indexing,
        |kit| kit.gear(GearKind::Derailleur),
        "pull snug, then look again",
    ),
    row(
        "rear axle nuts",
        [25.0, 35.0],
        StepKind::RearAxle,
        |kit| {
            kit.axle(Wheel::Rear, AxleKind::Nuts)
                .and(kit.pedalled())
                .and(kit.has_slack().surely().without())
        },
        "wheel settled, chain on, in turn",
    ),
    row(
        "rear axle nuts",
        [25.0, 35.0],
        StepKind::ChainSlack,
        |kit| {
            kit.axle(Wheel::Rear, AxleKind::Nuts)
                .and(kit.has_slack().surely())
        },
        "chain slack set, wheel straight, in turn",
    ),
    row(
        "rear axle nuts",
        [25.0, 35.0],
        StepKind::RearAxle,
        |kit| {
            kit.axle(Wheel::Rear, AxleKind::Nuts)
                .and(kit.pedalled().without())
        },
        "wheel settled, in turn",
    ),
    lever("rear quick-release", StepKind::RearAxle, |kit| {
        kit.axle(Wheel::Rear, AxleKind::QuickRelease)
            .and(kit.has_slack().surely().without())
    }),
    lever("rear quick-release", StepKind::ChainSlack, |kit| {
        kit.axle(Wheel::Rear, AxleKind::QuickRelease)
            .and(kit.has_slack().surely())
    }),
    row(
        "rear thru-axle",
        [8.0, 15.0],
        StepKind::RearAxle,
        |kit| kit.axle(Wheel::Rear, AxleKind::ThruAxle),
        THRU_AXLE_CLOSES,
    ),
    row(
        "rear drum arm",
        [2.0, 3.0],
        StepKind::DrumBrake,
        |kit| kit.brake(Wheel::Rear, |part| part == BrakePart::Drum),
        REACTION,
    ),
    // Holds the brake's reaction; the last thing on a coaster bike.
    row(
        "coaster arm strap",
        [2.0, 3.0],
        StepKind::CoasterStrap,
        |kit| kit.brake(Wheel::Rear, |part| part == BrakePart::Coaster),
        REACTION,
    ),
];

/// What is doubtful about the torques of a file, by its keys.
pub fn doubts(bike: &Bike) -> Vec<String> {
    let kit = Kit::of(bike);
    let torques = bike.spec.torque.0.iter();
    let mut doubts: Vec<_> = torques
        .filter_map(|(name, torque)| {
            let doubt = doubt(&Named::of(name, &kit), *torque, &kit)?;
            Some(format!("torque.{}: {doubt}", clip(name)))
        })
        .collect();
    let claims = claims(bike, &kit);
    let mut parts: Vec<&str> = Vec::new();
    for part in claims.iter().flat_map(|claim| &claim.parts) {
        if !parts.contains(part) {
            parts.push(part);
        }
    }
    doubts.extend(parts.into_iter().filter_map(|part| {
        let said = contradiction(part, &claims)?;
        Some(format!("torque: {part}: {said}"))
    }));
    doubts
}

/// Which bolt a torque was given to whose name is not one of the list's, a sentence each without an end.
pub fn given_to(bike: &Bike) -> Vec<String> {
    let kit = Kit::of(bike);
    let names = bike.spec.torque.0.iter();
    names
        .filter_map(|(name, _)| {
            let Named::Taken(rows) = Named::of(name, &kit) else {
                return None;
            };
            let part = bare(rows.first()?.part);
            Some(format!("torque.{} is taken for the {part}", clip(name)))
        })
        .collect()
}

/// A torque of the file, and the parts of this bike that its name means.
struct Claim<'a> {
    name: &'a str,
    torque: PrintedTorque,
    parts: Vec<&'static str>,
}

impl Claim<'_> {
    /// Whether the name says front or rear, left or right, where the part does.
    fn is_own(&self, part: &str) -> bool {
        words_of(self.name) == words_of(part)
    }

    fn means(&self, part: &str) -> bool {
        self.parts.contains(&part)
    }
}

/// What the file's torques claim of the bike's bolts.
fn claims<'a>(bike: &'a Bike, kit: &Kit) -> Vec<Claim<'a>> {
    let torques = bike.spec.torque.0.iter();
    torques
        .filter_map(|(name, torque)| match Named::of(name, kit) {
            Named::Listed(rows) | Named::Taken(rows) => Some(Claim {
                name,
                torque: *torque,
                parts: rows
                    .iter()
                    .filter(|row| (row.needs)(kit) != Has::No)
                    .map(|row| row.part)
                    .collect(),
            }),
            Named::OneOf(_) | Named::Slip(_) | Named::Unknown => None,
        })
        .collect()
}

/// The claims that a part's figure comes from: those that name its side, else those of either side.
fn heard<'c, 'a>(part: &str, claims: &'c [Claim<'a>]) -> Vec<&'c Claim<'a>> {
    let mut heard: Vec<_> = claims.iter().filter(|claim| claim.means(part)).collect();
    if heard.iter().any(|claim| claim.is_own(part)) {
        heard.retain(|claim| claim.is_own(part));
    }
    heard
}

/// That the file has two figures for one part, in a sentence without an end; None where it has not. A name without a side
/// stands for what the others leave; where they leave nothing, it contradicts them.
fn contradiction(part: &str, claims: &[Claim<'_>]) -> Option<String> {
    let mut rivals = heard(part, claims);
    let is_lost = |claim: &&Claim<'_>| {
        let is_heard =
            |part: &&'static str| heard(part, claims).iter().any(|one| one.name == claim.name);
        !claim.parts.iter().any(is_heard)
    };
    rivals.extend(
        claims
            .iter()
            .filter(|claim| claim.means(part))
            .filter(is_lost),
    );
    let first = rivals.first()?.torque;
    if rivals.iter().all(|claim| claim.torque == first) {
        return None;
    }
    let said: Vec<_> = rivals
        .iter()
        .map(|claim| format!("`{}` {}", clip(claim.name), claim.torque))
        .collect();
    Some(format!(
        "{} are given for it: read the part",
        said.join(" and ")
    ))
}

/// The names that a bike's torques are written under, where one of its file is none of them; else nothing.
pub fn names_to_write(bike: &Bike) -> Vec<String> {
    let kit = Kit::of(bike);
    let mut names = bike.spec.torque.0.iter();
    if names.all(|(name, _)| matches!(Named::of(name, &kit), Named::Listed(_) | Named::Taken(_))) {
        return Vec::new();
    }
    let mut parts: Vec<String> = Vec::new();
    for row in ROWS.iter().filter(|row| closes_by_wrench(row, &kit)) {
        if !parts.iter().any(|part| part == row.part) {
            parts.push(row.part.to_owned());
        }
    }
    parts
}

/// Whether this bike has or may have the row's part, and a wrench closes it.
fn closes_by_wrench(row: &Row, kit: &Kit) -> bool {
    row.tight != Tight::ByHand && (row.needs)(kit) != Has::No
}

/// What a name of a file's torque means on a bike.
enum Named {
    /// These rows, by their own name; alike but for their side and kind.
    Listed(Vec<&'static Row>),
    /// These rows, alike but for their side and kind: no other part of the bike can be meant.
    Taken(Vec<&'static Row>),
    /// One of these rows, which are of several parts.
    OneOf(Vec<&'static Row>),
    /// These rows, with a slip of the hand.
    Slip(Vec<&'static Row>),
    /// Nothing.
    Unknown,
}

impl Named {
    fn of(name: &str, kit: &Kit) -> Self {
        /// Letters that a slip of the hand changes.
        const SLIP: usize = 2;
        let wanted = words_of(name);
        let exact: Vec<_> = ROWS.iter().filter(|row| means(&wanted, row.part)).collect();
        if !exact.is_empty() {
            return Self::Listed(exact);
        }
        let (near, others): (Vec<_>, Vec<_>) = ROWS
            .iter()
            .filter(|row| row.tight != Tight::ByHand && may_mean(&wanted, row.part))
            .partition(|row| closes_by_wrench(row, kit));
        let near = if near.is_empty() { others } else { near };
        if let Some(first) = near.first() {
            let is_one = near.iter().all(|row| bare(row.part) == bare(first.part));
            return if is_one {
                Self::Taken(near)
            } else {
                Self::OneOf(near)
            };
        }
        // A long text is no slip of a part's name.
        let name = clip(&name.to_lowercase().replace('_', " "));
        let distance = |row: &&Row| strsim::damerau_levenshtein(row.part, &name);
        match ROWS.iter().min_by_key(distance) {
            Some(row) if distance(&row) <= SLIP => {
                Self::Slip(ROWS.iter().filter(|other| other.part == row.part).collect())
            }
            _ => Self::Unknown,
        }
    }
}

/// What is doubtful about one torque of a file: its name, the part, or the figure.
fn doubt(named: &Named, torque: PrintedTorque, kit: &Kit) -> Option<String> {
    /// A figure farther than this from the practice range, either way, is more likely a slip (own rule).
    const FAR: f64 = 2.0;
    const NO_NAME: &str = "not a name of the bolt list";
    let rows = match named {
        Named::Listed(rows) | Named::Taken(rows) => rows,
        Named::OneOf(rows) => {
            // Front and rear are told apart: either may be meant.
            let mut parts: Vec<String> = Vec::new();
            for row in rows {
                if !parts.iter().any(|part| part == row.part) {
                    parts.push(row.part.to_owned());
                }
            }
            return Some(format!("may be {}: write which", either(&parts)));
        }
        Named::Slip(rows) => {
            let part = rows.first()?.part;
            return Some(format!("{NO_NAME}; did you mean `{part}`?"));
        }
        Named::Unknown => {
            return Some(format!(
                "{NO_NAME}: `inseam check` gives those of this bike"
            ));
        }
    };
    let mut had = rows
        .iter()
        .filter(|row| (row.needs)(kit) != Has::No)
        .peekable();
    if had.peek().is_none() {
        return Some("by its file this bike has none: change one of them".to_owned());
    }
    let usual: Vec<_> = had.map(|row| row.tight.nm()).collect::<Option<_>>()?;
    let [least, most] = torque.nm();
    let is_far = |[low, high]: &[f64; 2]| least < low / FAR || most > high * FAR;
    let [low, high] = usual.iter().all(is_far).then(|| usual.first())??;
    Some(format!(
        "{} to {} is usual: read the part again",
        tidy(*low, 1),
        tidy(*high, 1)
    ))
}

/// The bolts of a bike.
pub fn bolts(bike: &Bike, kit: &Kit) -> Vec<Bolt> {
    let mut bolts: Vec<Bolt> = ROWS
        .iter()
        .filter_map(|row| {
            let has = (row.needs)(kit);
            (has != Has::No).then(|| Bolt {
                part: row.part.to_owned(),
                tight: row.tight,
                note: row.note.to_owned(),
                is_printed: false,
                written_as: None,
                is_certain: has == Has::Yes,
                doubt: None,
                source: Source::Practice,
                step: Some(row.step),
            })
        })
        .collect();
    let claims = claims(bike, kit);
    for bolt in &mut bolts {
        let Some(claim) = heard(&bolt.part, &claims).last().copied() else {
            continue;
        };
        let named = Named::of(claim.name, kit);
        (bolt.is_printed, bolt.is_certain) = (true, true);
        bolt.source = Source::MakersMark;
        bolt.written_as = matches!(named, Named::Taken(_)).then(|| clip(claim.name));
        if let Some(said) = contradiction(&bolt.part, &claims) {
            bolt.tight = Tight::AsPrinted;
            bolt.doubt = Some(said);
        } else {
            bolt.tight = Tight::Torque(claim.torque.nm());
            bolt.doubt = doubt(&named, claim.torque, kit);
        }
    }
    let mut unsure = Vec::new();
    for (name, torque) in &bike.spec.torque.0 {
        if claims
            .iter()
            .any(|claim| claim.name == name && !claim.parts.is_empty())
        {
            continue;
        }
        let named = Named::of(name, kit);
        let other = Bolt {
            part: clip(name),
            tight: Tight::Torque(torque.nm()),
            note: String::new(),
            is_printed: true,
            written_as: None,
            is_certain: true,
            doubt: doubt(&named, *torque, kit),
            source: Source::MakersMark,
            step: None,
        };
        if let Named::OneOf(rows) | Named::Slip(rows) = named {
            unsure.push((rows, format!("{} {}", other.part, torque)));
        }
        bolts.push(other);
    }
    // A figure of the trade may be more than what is printed on the part that was perhaps meant.
    for (rows, said) in unsure {
        for bolt in bolts.iter_mut().filter(|bolt| {
            !bolt.is_printed
                && bolt.tight.nm().is_some()
                && rows.iter().any(|row| row.part == bolt.part)
        }) {
            bolt.tight = Tight::AsPrinted;
            bolt.doubt = Some(format!("{said} may be its figure: read the part"));
        }
    }
    // Two kinds of one part that print the same figure are one row.
    let mut seen = std::collections::BTreeSet::new();
    bolts.retain(|bolt| !bolt.is_printed || bolt.step.is_none() || seen.insert(bolt.part.clone()));
    bolts
}
