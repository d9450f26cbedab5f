//! The `parts:` section of a frame file: what kind of axle, brake, stem, crank, gear and clamp a bike has.
//! All of it may be left out; work lists then name the kinds that the bike may have.
//! What is done to a part, and with which torque, is `advice::handover`.

use crate::file::{Problem, section};
use crate::words::choice;

choice! {
    /// How a brake is worked.
    pub enum BrakeKind {
        /// A lever on the handlebar.
        Hand = "hand",
        /// Pedalling backwards.
        Coaster = "coaster",
        /// No brake on this wheel.
        None = "none",
    }
}

choice! {
    /// How a wheel is held.
    pub enum AxleKind {
        /// A nut on either end of a threaded axle.
        Nuts = "nuts",
        /// A skewer closed by a cam lever.
        QuickRelease = "quick-release",
        /// An axle put through the fork or frame ends and screwed in.
        ThruAxle = "thru-axle",
    }
}

choice! {
    /// What slows a wheel.
    pub enum BrakePart {
        /// Two long arms on bosses beside the rim, pulled together by a cable across.
        LinearPull = "linear-pull",
        /// A rim brake on one bolt above the wheel.
        Caliper = "caliper",
        /// A disc and a caliper worked by a cable.
        MechanicalDisc = "mechanical-disc",
        /// A disc and a caliper worked by fluid.
        HydraulicDisc = "hydraulic-disc",
        /// A brake inside the hub, worked by a cable.
        Drum = "drum",
        /// A brake inside the hub, worked by pedalling backwards.
        Coaster = "coaster",
    }
}

choice! {
    /// How the stem holds the fork.
    pub enum StemKind {
        /// Clamped around the fork's own tube.
        Threadless = "threadless",
        /// Wedged inside the fork's tube.
        Quill = "quill",
    }
}

choice! {
    /// How the cranks hold on.
    pub enum CrankKind {
        /// On a square, tapered axle, a bolt in either end.
        SquareTaper = "square-taper",
        /// Both cranks and the axle are one piece.
        OnePiece = "one-piece",
        /// On a toothed axle, a bolt in either end.
        Splined = "splined",
        /// The left crank is pinched onto the axle, after a preload cap.
        PinchBolt = "pinch-bolt",
    }
}

choice! {
    /// The gears.
    pub enum GearKind {
        /// One gear.
        Single = "single",
        /// Gears inside the hub.
        Hub = "hub",
        /// A derailleur.
        Derailleur = "derailleur",
    }
}

choice! {
    /// What clamps the seat post in the frame.
    pub enum SeatClampKind {
        /// A bolt.
        Bolt = "bolt",
        /// A cam lever.
        QuickRelease = "quick-release",
    }
}

choice! {
    /// What clamps the saddle's rails.
    pub enum SaddleClampKind {
        /// Two small bolts, front and back.
        TwoBolt = "two-bolt",
        /// One large bolt.
        SingleBolt = "single-bolt",
    }
}

section! {
    /// What kinds of parts the bike has; all may be left out.
    #[derive(Default)]
    pub struct Parts {
        /// How the front wheel is held: nuts, quick-release or thru-axle.
        front_axle: Option<AxleKind>, ();
        /// How the rear wheel is held: nuts, quick-release or thru-axle.
        rear_axle: Option<AxleKind>, ();
        /// What slows the front wheel: linear-pull, caliper, mechanical-disc, hydraulic-disc or drum.
        front_brake: Option<BrakePart>, ();
        /// What slows the rear wheel: as in front, or coaster.
        rear_brake: Option<BrakePart>, ();
        /// How the stem holds the fork: threadless or quill.
        stem: Option<StemKind>, ();
        /// How the cranks hold on: square-taper, one-piece, splined or pinch-bolt.
        cranks: Option<CrankKind>, ();
        /// The gears: single, hub or derailleur.
        gears: Option<GearKind>, ();
        /// What clamps the seat post: bolt or quick-release.
        seat_clamp: Option<SeatClampKind>, ();
        /// What clamps the saddle's rails: two-bolt or single-bolt.
        saddle_clamp: Option<SaddleClampKind>, ();
    }
}

impl BrakePart {
    /// Whether a hand lever works it.
    pub const fn has_lever(self) -> bool {
        !matches!(self, Self::Coaster)
    }

    /// Whether a cable works it.
    pub const fn has_cable(self) -> bool {
        !matches!(self, Self::HydraulicDisc | Self::Coaster)
    }

    /// Whether it has a disc.
    pub const fn has_disc(self) -> bool {
        matches!(self, Self::MechanicalDisc | Self::HydraulicDisc)
    }

    /// Whether it grips the rim.
    pub const fn grips_rim(self) -> bool {
        matches!(self, Self::LinearPull | Self::Caliper)
    }
}

impl Parts {
    /// Whether the rear wheel may have a coaster brake: on an axle with nuts, by a chain that cannot give way.
    pub fn allow_coaster(&self) -> bool {
        self.gears != Some(GearKind::Derailleur)
            && self.rear_axle.is_none_or(|axle| axle == AxleKind::Nuts)
    }

    /// What cannot be true beside the rest of the file: how its brakes are worked, front and rear, and whether it is
    /// a balance bike throughout.
    pub(super) fn contradictions(
        &self,
        brakes: Option<[BrakeKind; 2]>,
        is_balance: bool,
    ) -> Vec<Problem> {
        let front = brakes.map(|[front, _]| front);
        let rear = brakes.map(|[_, rear]| rear);
        let mut found = Vec::new();
        if self.front_brake == Some(BrakePart::Coaster) {
            found.push(Problem::at_key(
                "parts.front_brake",
                "a coaster brake works on the rear wheel only",
            ));
        } else {
            found.extend(against("front", self.front_brake, front));
        }
        found.extend(against("rear", self.rear_brake, rear));
        // A bike that is half the one and half the other is told so at `cranks` or `style`.
        if is_balance {
            let pedalled = [
                ("parts.cranks", self.cranks.is_some()),
                ("parts.gears", self.gears.is_some()),
                (
                    "parts.rear_brake",
                    self.rear_brake == Some(BrakePart::Coaster),
                ),
            ];
            found.extend(
                pedalled
                    .into_iter()
                    .filter(|(_, is_given)| *is_given)
                    .map(|(key, _)| Problem::at_key(key, "a balance bike has none; leave it out")),
            );
        }
        if rear == Some(BrakeKind::Coaster) || self.rear_brake == Some(BrakePart::Coaster) {
            if self.gears == Some(GearKind::Derailleur) {
                found.push(Problem::at_key(
                    "parts.gears",
                    "a coaster brake needs a chain that cannot give way, which a derailleur's can; allowed single or hub",
                ));
            }
            if let Some(axle) = self.rear_axle.filter(|axle| *axle != AxleKind::Nuts) {
                found.push(Problem::at_key(
                    "parts.rear_axle",
                    format!("found {axle}; a coaster hub turns on an axle with nuts"),
                ));
            }
        }
        found
    }
}

/// A brake's part against how the same brake is worked.
fn against(wheel: &str, part: Option<BrakePart>, kind: Option<BrakeKind>) -> Option<Problem> {
    let (part, kind) = (part?, kind?);
    let is_same = match kind {
        BrakeKind::Hand => part.has_lever(),
        BrakeKind::Coaster => !part.has_lever(),
        BrakeKind::None => false,
    };
    (!is_same).then(|| {
        Problem::at_key(
            format!("parts.{wheel}_brake"),
            format!("found {part}, but brakes.{wheel}.kind is {kind}; change one of them"),
        )
    })
}
