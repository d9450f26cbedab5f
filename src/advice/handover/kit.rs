//! What a bike is made of, as far as its file says: for each part the kinds that it can be.
//! One answer for steps and bolts to whether a bike has something, has it perhaps, or has it not.
//! What the file may say is `bike::parts`.

use crate::advice::handover::part_names::{means, words_of};
use crate::bike::parts::{
    AxleKind, BrakePart, CrankKind, GearKind, SaddleClampKind, SeatClampKind, StemKind,
};
use crate::bike::{Bike, BrakeKind};

/// Whether a bike has a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Has {
    /// It has.
    Yes,
    /// The file leaves it open.
    Perhaps,
    /// It has not.
    No,
}

/// A wheel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wheel {
    /// The front wheel.
    Front,
    /// The rear wheel.
    Rear,
}

/// For each part the kinds that it can be.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    axles: [Vec<AxleKind>; 2],
    /// None among them: perhaps no brake at all.
    brakes: [Vec<Option<BrakePart>>; 2],
    stem: Vec<StemKind>,
    /// Empty on a balance bike.
    cranks: Vec<CrankKind>,
    /// Empty on a balance bike.
    gears: Vec<GearKind>,
    seat_clamp: Vec<SeatClampKind>,
    saddle_clamp: Vec<SaddleClampKind>,
}

/// How many of the possible kinds answer to a description.
fn has<T: Copy>(possible: &[T], is_one: impl Fn(T) -> bool) -> Has {
    match possible.iter().filter(|kind| is_one(**kind)).count() {
        0 => Has::No,
        count if count == possible.len() => Has::Yes,
        _ => Has::Perhaps,
    }
}

/// The kind that the file gives, or all that there are.
fn one_or_all<T: Copy>(given: Option<T>, all: &[T]) -> Vec<T> {
    given.map_or_else(|| all.to_vec(), |kind| vec![kind])
}

fn brakes(
    part: Option<BrakePart>,
    kind: Option<BrakeKind>,
    wheel: Wheel,
) -> Vec<Option<BrakePart>> {
    if part.is_some() {
        return vec![part];
    }
    let parts = BrakePart::ALL.iter().copied();
    match kind {
        Some(BrakeKind::None) => vec![None],
        Some(BrakeKind::Coaster) => vec![Some(BrakePart::Coaster)],
        Some(BrakeKind::Hand) => parts.filter(|part| part.has_lever()).map(Some).collect(),
        None => parts
            .filter(|part| wheel == Wheel::Rear || part.has_lever())
            .map(Some)
            .chain([None])
            .collect(),
    }
}

impl Has {
    /// Of two parts, whether the bike has either.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        match (self, other) {
            (Self::Yes, _) | (_, Self::Yes) => Self::Yes,
            (Self::No, Self::No) => Self::No,
            _ => Self::Perhaps,
        }
    }

    /// Of two parts, whether the bike has both.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        self.without().or(other.without()).without()
    }

    /// Whether the bike is known to have the part.
    #[must_use]
    pub const fn surely(self) -> Self {
        match self {
            Self::Yes => Self::Yes,
            Self::Perhaps | Self::No => Self::No,
        }
    }

    /// Whether the bike is without the part.
    #[must_use]
    pub const fn without(self) -> Self {
        match self {
            Self::Yes => Self::No,
            Self::Perhaps => Self::Perhaps,
            Self::No => Self::Yes,
        }
    }
}

impl Kit {
    /// What a bike's file says about it.
    pub fn of(bike: &Bike) -> Self {
        let spec = &bike.spec;
        let parts = spec.parts.clone().unwrap_or_default();
        let kinds = spec.brakes.as_ref();
        let front = kinds.map(|brakes| brakes.front.kind);
        let rear = kinds.map(|brakes| brakes.rear.kind);
        // A file that leaves its cranks out has not measured them; only a balance bike has none.
        let has_cranks = !bike.is_balance();
        let rear_brakes: Vec<_> = brakes(parts.rear_brake, rear, Wheel::Rear)
            .into_iter()
            // Without cranks nobody can pedal backwards.
            .filter(|part| *part != Some(BrakePart::Coaster) || has_cranks && parts.allow_coaster())
            .collect();
        let is_coaster = rear_brakes == [Some(BrakePart::Coaster)];
        let mut gears = one_or_all(parts.gears, GearKind::ALL);
        gears.retain(|kind| has_cranks && !(is_coaster && *kind == GearKind::Derailleur));
        let mut cranks = one_or_all(parts.cranks, CrankKind::ALL);
        cranks.retain(|_| has_cranks);
        let mut rear_axle = one_or_all(parts.rear_axle, AxleKind::ALL);
        if is_coaster {
            rear_axle = vec![AxleKind::Nuts];
        }
        let mut kit = Self {
            axles: [one_or_all(parts.front_axle, AxleKind::ALL), rear_axle],
            brakes: [brakes(parts.front_brake, front, Wheel::Front), rear_brakes],
            stem: one_or_all(parts.stem, StemKind::ALL),
            cranks,
            gears,
            seat_clamp: one_or_all(parts.seat_clamp, SeatClampKind::ALL),
            saddle_clamp: one_or_all(parts.saddle_clamp, SaddleClampKind::ALL),
        };
        for (name, _) in &spec.torque.0 {
            kit.learn(name);
        }
        kit
    }

    /// A torque printed on a part proves that the bike has it.
    fn learn(&mut self, name: &str) {
        fn keep<T: Copy>(possible: &mut Vec<T>, is_one: impl Fn(T) -> bool) {
            if has(possible, &is_one) == Has::Perhaps {
                possible.retain(|kind| is_one(*kind));
            }
        }
        let wanted = words_of(name);
        let is = |part: &str| means(&wanted, part);
        for (index, wheel) in ["front", "rear"].into_iter().enumerate() {
            let brakes = &mut self.brakes[index];
            if is(&format!("{wheel} disc caliper")) || is(&format!("{wheel} rotor bolts")) {
                keep(brakes, |part| part.is_some_and(BrakePart::has_disc));
            }
            if is(&format!("{wheel} rim-brake arm")) {
                keep(brakes, |part| part == Some(BrakePart::LinearPull));
            }
            if is(&format!("{wheel} rim caliper")) {
                keep(brakes, |part| part == Some(BrakePart::Caliper));
            }
            if is(&format!("{wheel} brake pads")) {
                keep(brakes, |part| part.is_some_and(BrakePart::grips_rim));
            }
            if is(&format!("{wheel} drum arm")) {
                keep(brakes, |part| part == Some(BrakePart::Drum));
            }
            if is(&format!("{wheel} axle nuts")) {
                keep(&mut self.axles[index], |kind| kind == AxleKind::Nuts);
            }
            if is(&format!("{wheel} thru-axle")) {
                keep(&mut self.axles[index], |kind| kind == AxleKind::ThruAxle);
            }
        }
        for (part, kind) in [
            ("crank preload cap", CrankKind::PinchBolt),
            ("crank pinch bolts", CrankKind::PinchBolt),
            ("square-taper crank bolts", CrankKind::SquareTaper),
            ("splined crank bolts", CrankKind::Splined),
        ] {
            if is(part) {
                keep(&mut self.cranks, |found| found == kind);
            }
        }
        if is("rear derailleur") || is("gear cable anchor") {
            keep(&mut self.gears, |kind| kind == GearKind::Derailleur);
        }
        if is("steerer clamp") || is("top cap") {
            keep(&mut self.stem, |kind| kind == StemKind::Threadless);
        }
        if is("quill bolt") {
            keep(&mut self.stem, |kind| kind == StemKind::Quill);
        }
    }

    /// Whether a wheel is held like this.
    pub fn axle(&self, wheel: Wheel, kind: AxleKind) -> Has {
        has(&self.axles[wheel as usize], |found| found == kind)
    }

    /// Whether a wheel's brake answers to a description.
    pub fn brake(&self, wheel: Wheel, is_one: impl Fn(BrakePart) -> bool) -> Has {
        has(&self.brakes[wheel as usize], |found| {
            found.is_some_and(&is_one)
        })
    }

    /// Whether either wheel's brake does.
    pub fn any_brake(&self, is_one: impl Fn(BrakePart) -> bool) -> Has {
        self.brake(Wheel::Front, &is_one)
            .or(self.brake(Wheel::Rear, &is_one))
    }

    /// Whether a brake or a gear may be pulled by a cable.
    pub fn has_cables(&self) -> bool {
        self.any_brake(BrakePart::has_cable)
            .or(self.gear(GearKind::Derailleur))
            .or(self.gear(GearKind::Hub))
            != Has::No
    }

    /// How the bar turns: with whatever pulls or pushes along it as slack as it must be.
    pub fn bar_turns(&self) -> &'static str {
        if self.has_cables() {
            "turns both ways, no cable pulls tight"
        } else if self.any_brake(BrakePart::has_lever) != Has::No {
            "turns both ways, no hose pulls tight"
        } else {
            "turns both ways"
        }
    }

    /// Whether the stem is of this kind.
    pub fn stem(&self, kind: StemKind) -> Has {
        has(&self.stem, |found| found == kind)
    }

    /// Whether the cranks are of this kind.
    pub fn crank(&self, kind: CrankKind) -> Has {
        has(&self.cranks, |found| found == kind)
    }

    /// Whether it has cranks at all.
    pub fn pedalled(&self) -> Has {
        has(&self.cranks, |_| true)
    }

    /// Whether the gears are of this kind.
    pub fn gear(&self, kind: GearKind) -> Has {
        has(&self.gears, |found| found == kind)
    }

    /// Whether the chain's slack is set by moving the rear wheel: no derailleur takes it up.
    pub fn has_slack(&self) -> Has {
        has(&self.gears, |kind| kind != GearKind::Derailleur)
    }

    /// Whether the post is clamped like this.
    pub fn seat_clamp(&self, kind: SeatClampKind) -> Has {
        has(&self.seat_clamp, |found| found == kind)
    }

    /// Whether the saddle is clamped like this.
    pub fn saddle_clamp(&self, kind: SaddleClampKind) -> Has {
        has(&self.saddle_clamp, |found| found == kind)
    }
}
