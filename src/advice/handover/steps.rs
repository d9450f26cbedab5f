//! The order in which a boxed bike is built, step by step: kind, wheel, figures and bolts.
//! Exactly the steps that the bike's parts ask for; with a rider, at this rider's figures.
//! How a sheet lays them out is `report::build_sheet`.
//!
//! # References
//! Order and completeness against what the instructions that come with a bike must tell: 16 CFR 1512.19(a),
//! ISO 4210-2 and ISO 8098, clause on the manufacturer's instructions (from memory); the rest is common practice.

use crate::advice::handover::bolts::{Bolt, LEVER_CLOSES, THRU_AXLE_CLOSES};
use crate::advice::handover::kit::{Has, Kit, Wheel};
use crate::advice::handover::pressure::SetPressure;
use crate::advice::handover::saddle::FIND_MARK;
pub use crate::advice::handover::step::{Figure, FigureKey, Step};
pub use crate::advice::handover::step_kind::{Section, StepKind};
use crate::advice::handover::visits::FIRST_CHECK_WEEKS;
use crate::advice::handover::work::Work;
use crate::bike::Bike;
use crate::bike::parts::{AxleKind, BrakePart, CrankKind, GearKind, SeatClampKind, StemKind};
use crate::units::{Length, Units, tidy};

/// Least room between a turning tyre and fork or frame, mm: 16 CFR 1512.11(b), 1/16 in (from memory).
const TYRE_ROOM_MM: f64 = 1.6;
/// Most that a rim may run out where a brake grips it, mm: ISO 4210-2 (from memory).
const RUN_OUT_RIM_BRAKE_MM: f64 = 1.0;
/// The same without a rim brake, mm: ISO 4210-2, ISO 8098 (from memory).
const RUN_OUT_MM: f64 = 2.0;
/// Up-and-down play of a chain without a tensioner, mm (common practice).
const CHAIN_SLACK_MM: [f64; 2] = [10.0, 15.0];
/// Most that the cranks turn back before a coaster brake takes hold, degrees: 16 CFR 1512.5(c)(2) (from memory).
const COASTER_DEG: f64 = 60.0;
/// Largest rim that training wheels are made for, bead seat mm (common practice: 12 to 16 inch).
const TRAINING_WHEELS_MM: f64 = 305.0;
/// Height of training wheels above level ground with the bike upright, mm (common practice).
const TRAINING_WHEELS_ROOM_MM: [f64; 2] = [5.0, 10.0];
/// Firm stops from walking pace that bed a pair of pads in (common practice).
const BEDDING_STOPS: f64 = 20.0;
/// The steps of one build; with a rider's work, at this rider's figures.
pub fn steps(bike: &Bike, kit: &Kit, bolts: &[Bolt], work: Option<&Work>) -> Vec<Step> {
    StepKind::ALL
        .iter()
        .filter_map(|kind| {
            let has = needed(*kind, bike, kit, work);
            (has != Has::No).then(|| Step {
                kind: *kind,
                is_certain: has == Has::Yes,
                figures: figures(*kind, bike, kit, work),
                bolts: bolts
                    .iter()
                    .filter(|bolt| bolt.step == Some(*kind))
                    .cloned()
                    .collect(),
            })
        })
        .collect()
}

const fn yes(is: bool) -> Has {
    if is { Has::Yes } else { Has::No }
}

/// Whether the bike's parts ask for a step.
fn needed(kind: StepKind, bike: &Bike, kit: &Kit, work: Option<&Work>) -> Has {
    let lever = kit.any_brake(BrakePart::has_lever);
    let derailleur = kit.gear(GearKind::Derailleur);
    match kind {
        StepKind::LeverSide | StepKind::LeverSlope | StepKind::LeverGap => lever,
        StepKind::BrakeCable => kit.any_brake(BrakePart::has_cable),
        StepKind::RimBrake | StepKind::RimPads => kit.any_brake(BrakePart::grips_rim),
        StepKind::RotorBolts | StepKind::DiscCaliper | StepKind::BeddingIn => {
            kit.any_brake(BrakePart::has_disc)
        }
        StepKind::BrakeFluid => kit.any_brake(|part| part == BrakePart::HydraulicDisc),
        StepKind::DrumBrake => kit.any_brake(|part| part == BrakePart::Drum),
        StepKind::CrankPreload => kit.crank(CrankKind::PinchBolt),
        StepKind::Cranks | StepKind::RightPedal | StepKind::LeftPedal => kit.pedalled(),
        StepKind::Hanger | StepKind::ChainLength | StepKind::LimitScrews | StepKind::Indexing => {
            derailleur
        }
        StepKind::HubGear => kit.gear(GearKind::Hub),
        StepKind::ChainSlack => kit.has_slack(),
        StepKind::CoasterStrap | StepKind::CoasterBrake => {
            kit.brake(Wheel::Rear, |part| part == BrakePart::Coaster)
        }
        StepKind::AirSpring | StepKind::Sag => yes(!matches!(
            bike.spec.fork.air_spring,
            crate::file::Toggle::Off
        )),
        StepKind::TrainingWheels => {
            yes(!bike.is_balance() && bike.spec.tyres.rear.bead_seat_mm <= TRAINING_WHEELS_MM)
        }
        StepKind::ChildTest => yes(work.is_some()),
        _ => Has::Yes,
    }
}

/// The figures that a step works to.
#[expect(clippy::too_many_lines, reason = "one row a kind of step")]
fn figures(kind: StepKind, bike: &Bike, kit: &Kit, work: Option<&Work>) -> Vec<Figure> {
    let layout = &bike.layout;
    let known: Vec<(FigureKey, Option<f64>)> = match kind {
        StepKind::ForkForward => {
            vec![(FigureKey::ForkOffset, bike.spec.fork.offset.map(Length::mm))]
        }
        StepKind::FrontAxle | StepKind::RearAxle => {
            vec![(FigureKey::TyreRoom, Some(TYRE_ROOM_MM))]
        }
        StepKind::WheelTrue => {
            // Where the file leaves it open, the stricter one.
            let most = match kit.any_brake(BrakePart::grips_rim) {
                Has::No => RUN_OUT_MM,
                Has::Yes | Has::Perhaps => RUN_OUT_RIM_BRAKE_MM,
            };
            vec![(FigureKey::RunOut, Some(most))]
        }
        StepKind::BeddingIn => vec![(FigureKey::Stops, Some(BEDDING_STOPS))],
        StepKind::ChainSlack => vec![
            (FigureKey::SlackLow, Some(CHAIN_SLACK_MM[0])),
            (FigureKey::SlackHigh, Some(CHAIN_SLACK_MM[1])),
        ],
        StepKind::CoasterBrake => vec![(FigureKey::CoasterAngle, Some(COASTER_DEG))],
        StepKind::Post => {
            let set = work.map(|work| work.saddle.setting);
            let highest = bike.saddle_told_mm(layout.post.highest_mm);
            let highest_key = if bike.tells_saddle_from_ground() {
                FigureKey::SeatHighest
            } else {
                FigureKey::SaddleHighest
            };
            let mark = bike.spec.seat_post.minimum_insertion;
            // No figure of the order rests on an assumed part.
            vec![
                (FigureKey::SaddleHeight, set.map(|set| set.saddle_height_mm)),
                (FigureKey::SeatHeight, set.map(|set| set.seat_height_mm)),
                (
                    FigureKey::ExposedPost,
                    set.and_then(|set| set.exposed_post_mm),
                ),
                (highest_key, bike.knows_highest_saddle().then_some(highest)),
                (FigureKey::LeastInside, mark.map(Length::mm)),
            ]
        }
        StepKind::TyrePressure => {
            let bar = |set: Option<SetPressure>| set.map(|set| set.bar);
            vec![
                (
                    FigureKey::FrontBar,
                    work.and_then(|work| bar(work.tyres.front)),
                ),
                (
                    FigureKey::RearBar,
                    work.and_then(|work| bar(work.tyres.rear)),
                ),
            ]
        }
        StepKind::AirSpring => {
            let start = work
                .and_then(|work| work.air_spring.as_ref())
                .and_then(|spring| spring.start);
            vec![(FigureKey::SpringBar, start.map(|set| set.bar))]
        }
        StepKind::Sag => {
            let sag = bike
                .spec
                .fork
                .travel
                .map(|travel| super::air_spring::sag_mm(travel.mm()));
            vec![
                (FigureKey::SagLow, sag.map(|[low, _]| low)),
                (FigureKey::SagHigh, sag.map(|[_, high]| high)),
            ]
        }
        StepKind::LeverGap => {
            let gap = |wheel: Wheel| {
                let levers = &work?.levers;
                let brake = match wheel {
                    Wheel::Front => levers.front,
                    Wheel::Rear => levers.rear,
                };
                Some(brake?.lever?.gap_mm)
            };
            vec![
                (FigureKey::FrontGap, gap(Wheel::Front)),
                (FigureKey::RearGap, gap(Wheel::Rear)),
                (FigureKey::LawfulGap, Some(layout.class.lever_ceiling_mm)),
            ]
        }
        StepKind::TrainingWheels => vec![
            (FigureKey::TrainingLow, Some(TRAINING_WHEELS_ROOM_MM[0])),
            (FigureKey::TrainingHigh, Some(TRAINING_WHEELS_ROOM_MM[1])),
        ],
        StepKind::BoltsAgain => {
            #[expect(clippy::cast_precision_loss, reason = "a few weeks")]
            let [from, to] = FIRST_CHECK_WEEKS.map(|weeks| weeks as f64);
            vec![
                (FigureKey::FirstCheckFrom, Some(from)),
                (FigureKey::FirstCheckTo, Some(to)),
            ]
        }
        _ => Vec::new(),
    };
    known
        .into_iter()
        .filter_map(|(key, value)| Some(Figure { key, value: value? }))
        .collect()
}

/// What the sentences of a step are made from.
#[derive(Debug, Clone, Copy)]
pub struct Told<'a> {
    /// What the bike is made of.
    pub kit: &'a Kit,
    /// The rider's work, where there is a rider.
    pub work: Option<&'a Work>,
    /// Unit of lengths.
    pub units: Units,
}

impl Step {
    fn figure(&self, key: FigureKey) -> Option<f64> {
        self.figures
            .iter()
            .find(|figure| figure.key == key)
            .map(|figure| figure.value)
    }

    /// What to do, in a sentence or two.
    pub fn words(&self, told: &Told<'_>) -> String {
        let words = self.bare_words(told);
        match self.condition() {
            // The condition names the part already.
            Some(part) if !self.is_certain => {
                let named = format!("{part}: ");
                let words = lower(&words);
                format!(
                    "If {part}: {}",
                    words.strip_prefix(&named).unwrap_or(&words)
                )
            }
            _ => words,
        }
    }

    /// The part that a step is about, where the bike may be without it.
    const fn condition(&self) -> Option<&'static str> {
        Some(match self.kind {
            StepKind::LeverSide | StepKind::LeverSlope | StepKind::LeverGap => "hand lever",
            StepKind::BrakeCable => "cables",
            StepKind::RimBrake | StepKind::RimPads => "rim brake",
            StepKind::RotorBolts | StepKind::DiscCaliper | StepKind::BeddingIn => "disc brake",
            StepKind::BrakeFluid => "fluid",
            StepKind::DrumBrake => "drum",
            StepKind::CrankPreload => "crank cap",
            StepKind::Hanger
            | StepKind::ChainLength
            | StepKind::LimitScrews
            | StepKind::Indexing => "derailleur",
            StepKind::HubGear => "hub gear",
            StepKind::ChainSlack => "no derailleur",
            StepKind::CoasterStrap | StepKind::CoasterBrake => "coaster",
            _ => return None,
        })
    }

    #[expect(clippy::too_many_lines, reason = "one sentence a kind")]
    fn bare_words(&self, told: &Told<'_>) -> String {
        let &Told { kit, work, units } = told;
        let pair = |low, high| {
            let (low, high) = (self.figure(low), self.figure(high));
            low.zip(high).map_or_else(String::new, |(low, high)| {
                format!("{} to {}", tidy(low, 0), small(high))
            })
        };
        match self.kind {
            StepKind::Unpack => {
                "Unpack. Small parts and the maker's manual stay together; read the manual first."
                    .to_owned()
            }
            StepKind::Damage => {
                "No dent, crack or bend: frame, fork, rims, bar. In doubt do not build.".to_owned()
            }
            StepKind::SerialNumber => "Serial number:".to_owned(),
            StepKind::ForkForward => self.fork_forward(units),
            StepKind::Headset => match kit.stem(StemKind::Threadless) {
                Has::Yes => "Headset: no play, no drag; the top cap sets it, stem still loose.",
                Has::No => "Headset: no play, no drag; hold the cone, close the lock nut.",
                Has::Perhaps => {
                    "Headset: no play, no drag; by the top cap, stem loose, or by its lock nut."
                }
            }
            .to_owned(),
            StepKind::Stem => match kit.stem(StemKind::Threadless) {
                Has::Yes => "Steerer bolts in turn; headset still free?",
                Has::No => "Stem's insertion mark hidden; quill bolt.",
                Has::Perhaps => "Stem closed; a quill past its own mark.",
            }
            .to_owned(),
            StepKind::BarClamp => match kit.stem(StemKind::Quill) {
                Has::Yes => "Bar centred, clamp bolt to the figure on the stem.",
                _ => "Bar centred, clamp bolts crosswise, gap even.",
            }
            .to_owned(),
            StepKind::BarSquare => {
                format!(
                    "Bar square to the wheel, stem straight; {}.",
                    kit.bar_turns()
                )
            }
            StepKind::FrontAxle => self.axle(kit, Wheel::Front),
            StepKind::RearAxle => self.axle(kit, Wheel::Rear),
            StepKind::TyreSeating => {
                "Tyre lines even all round; arrows with the turn; valves straight.".to_owned()
            }
            StepKind::WheelTrue => format!(
                "Rims run true within {}, sideways and up.",
                small(self.figure(FigureKey::RunOut).unwrap_or_default())
            ),
            StepKind::Spokes => "Spokes: none loose, pairs alike to the squeeze.".to_owned(),
            StepKind::LeverSide => lever_side(kit),
            StepKind::LeverSlope => {
                "Levers in line with the forearm, wrist straight; clamp snug.".to_owned()
            }
            StepKind::BrakeCable => {
                "Cables: pulled hard, anchored, ends capped, guides closed.".to_owned()
            }
            StepKind::RimBrake => match kit.any_brake(|part| part == BrakePart::LinearPull) {
                Has::No => "Rim brake: bolted on, arms free.",
                Has::Yes | Has::Perhaps => {
                    "Rim brake: bolted on, arms free; cable's bent pipe right in its holder."
                }
            }
            .to_owned(),
            StepKind::RimPads => {
                let all =
                    |part| kit.any_brake(|found| found.grips_rim() && found != part) == Has::No;
                let how = if all(BrakePart::LinearPull) {
                    "; arms upright, springs even"
                } else if all(BrakePart::Caliper) {
                    "; caliper centred over the wheel"
                } else {
                    "; centred"
                };
                format!("Pads meet the rim flat, together, clear of the tyre{how}.")
            }
            StepKind::RotorBolts => "Rotor bolts crosswise; rotor clean, straight.".to_owned(),
            StepKind::DiscCaliper => "Caliper centred, rotor free of the pads.".to_owned(),
            StepKind::BrakeFluid => "Fluid: lever firm, no drop at any joint.".to_owned(),
            StepKind::DrumBrake => {
                "Drum: arm held to the frame, wheel free, bites in the first third.".to_owned()
            }
            StepKind::BeddingIn => format!(
                "Pads bedded in on it: {} firm stops from walking pace, never locking.",
                tidy(self.figure(FigureKey::Stops).unwrap_or_default(), 0)
            ),
            StepKind::CrankPreload => {
                "Crank cap: takes the play out, no more; plastic by hand.".to_owned()
            }
            StepKind::Cranks => match kit.crank(CrankKind::OnePiece) {
                Has::Yes => {
                    "Crank bearing: no play, no drag; its left nuts have a left-hand thread."
                }
                _ => match kit.crank(CrankKind::PinchBolt) {
                    Has::Yes => "Pinch bolts in turn; cranks without play.",
                    _ => "Crank bolts; no play.",
                },
            }
            .to_owned(),
            StepKind::Hanger => {
                "Hanger straight, cage in line with the wheel; the rear derailleur's bolt."
                    .to_owned()
            }
            StepKind::ChainLength => {
                "Chain long enough for largest on largest, cage still bent.".to_owned()
            }
            StepKind::LimitScrews => {
                "Limit screws: chain never off the smallest, never into the spokes.".to_owned()
            }
            StepKind::Indexing => "Indexing: one click, one sprocket; cable anchored.".to_owned(),
            StepKind::HubGear => {
                "Hub gear: cable at its mark in the marked gear; every gear holds.".to_owned()
            }
            StepKind::ChainSlack => format!(
                "Chain in line, slack {} midway{}; guard on and clear.",
                pair(FigureKey::SlackLow, FigureKey::SlackHigh),
                close_after_slack(kit)
            ),
            StepKind::CoasterStrap => {
                "Coaster arm strap to the stay, after the axle nuts.".to_owned()
            }
            StepKind::CoasterBrake => format!(
                "Coaster: holds within {}° of back-pedalling, wheel free when coasting.",
                tidy(self.figure(FigureKey::CoasterAngle).unwrap_or_default(), 0)
            ),
            StepKind::Grease => if kit.pedalled() == Has::No {
                "Grease the post; none on carbon."
            } else {
                "Grease post, pedal threads; not on carbon."
            }
            .to_owned(),
            StepKind::Post => self.post(units, work),
            StepKind::SeatClamp => match kit.seat_clamp(SeatClampKind::QuickRelease) {
                Has::Yes => "Seat lever closes firmly; saddle does not twist or sink.",
                _ => "Seat clamp; saddle does not twist or sink.",
            }
            .to_owned(),
            StepKind::SaddleLevel => {
                "Saddle level, nose ahead, rails clamped in their middle.".to_owned()
            }
            StepKind::RightPedal => {
                "Right pedal (R): started by hand, tightens clockwise.".to_owned()
            }
            StepKind::LeftPedal => {
                "Left pedal (L): left-hand thread, tightens anticlockwise.".to_owned()
            }
            StepKind::TyrePressure => match work.and_then(|work| work.tyres.setting()) {
                Some(setting) => format!("Tyres: {setting}."),
                None => "Tyres: inside the range printed on each sidewall.".to_owned(),
            },
            StepKind::AirSpring => {
                let spring = work.and_then(|work| work.air_spring.as_ref());
                let known = spring.map(|spring| (spring.start, spring.printed));
                match known {
                    Some((Some(start), _)) => format!("Air spring: start at {start}."),
                    Some((None, Some(printed))) => {
                        format!("Air spring: {printed}, by the rider's weight.")
                    }
                    _ => {
                        "Air spring: by the chart of the fork's maker, on the fork or in its manual."
                            .to_owned()
                    }
                }
            }
            StepKind::Sag => format!(
                "Sag {} to {}, rider standing on level pedals in the riding position.",
                units.bare(self.figure(FigureKey::SagLow).unwrap_or_default()),
                units.length(self.figure(FigureKey::SagHigh).unwrap_or_default())
            ),
            StepKind::LeverGap => self.lever_gap(work, units),
            StepKind::FinalTorque => "Final torque.".to_owned(),
            StepKind::Reflectors => {
                "Reflectors front, rear and at the wheels, bell, lights: by local rule.".to_owned()
            }
            StepKind::TrainingWheels => format!(
                "Training wheels only where wanted and allowed: {} off the ground.",
                pair(FigureKey::TrainingLow, FigureKey::TrainingHigh)
            ),
            StepKind::StandTest => format!(
                "Stand test: wheels spin free, {}nothing rattles when it is dropped a little.",
                if kit.any_brake(|_| true) == Has::No {
                    ""
                } else {
                    "each brake holds alone against a push, "
                }
            ),
            StepKind::ChildTest => {
                "Child test: all that the card lists, at walking pace, an adult beside.".to_owned()
            }
            StepKind::TestRide => format!(
                "Mechanic's test {} at walking pace on the flat: {}steering, sounds.",
                if kit.pedalled() == Has::No {
                    "roll"
                } else {
                    "ride"
                },
                match (kit.any_brake(|_| true), kit.gear(GearKind::Single)) {
                    (Has::No, _) => "",
                    (_, Has::Yes) => "brakes, ",
                    _ if kit.pedalled() == Has::No => "brakes, ",
                    _ => "brakes, gears, ",
                }
            ),
            StepKind::BoltsAgain => format!(
                "Agreed with the family: bolts{} again after the first rides, {} to {} weeks.",
                if kit.has_cables() { " and cables" } else { "" },
                tidy(
                    self.figure(FigureKey::FirstCheckFrom).unwrap_or_default(),
                    0
                ),
                tidy(self.figure(FigureKey::FirstCheckTo).unwrap_or_default(), 0)
            ),
        }
    }

    fn fork_forward(&self, units: Units) -> String {
        match self.figure(FigureKey::ForkOffset) {
            Some(offset) if offset > 0.0 => format!(
                "Fork the right way round: axle {} ahead of the steering line.",
                units.length(offset)
            ),
            _ => "Fork the right way round: crown and brake bosses to the front.".to_owned(),
        }
    }

    fn axle(&self, kit: &Kit, wheel: Wheel) -> String {
        let name = match wheel {
            Wheel::Front => "Front",
            Wheel::Rear => "Rear",
        };
        let is = |kind| kit.axle(wheel, kind) == Has::Yes;
        let slack = match wheel {
            Wheel::Front => Has::No,
            Wheel::Rear => kit.has_slack(),
        };
        let nuts = match slack {
            // Where it is open, the slack's own step says to close them again.
            Has::No | Has::Perhaps => "nuts in turn",
            Has::Yes => "nuts snug until the chain slack is set",
        };
        let close = if is(AxleKind::Nuts) {
            format!("washers in place, {nuts}")
        } else if is(AxleKind::QuickRelease) {
            match slack {
                Has::Yes => {
                    "quick-release lever half closed until the chain slack is set".to_owned()
                }
                _ => format!("quick-release lever {LEVER_CLOSES}"),
            }
        } else if is(AxleKind::ThruAxle) {
            format!("thru-axle {THRU_AXLE_CLOSES}")
        } else {
            format!("{nuts}; quick-release prints the palm; thru-axle right home")
        };
        // Pads without a rotor between them close up on each other; the block that keeps them apart is in its way.
        let is_fluid = |wheel| kit.brake(wheel, |part| part == BrakePart::HydraulicDisc);
        let block = match (is_fluid(wheel), wheel) {
            (Has::Yes, _) => "Transport block out; no pull at the lever till the rotor is in. ",
            // Said once, before the first wheel.
            (Has::Perhaps, Wheel::Front) => "Transport blocks out. ",
            (Has::Perhaps, Wheel::Rear) if is_fluid(Wheel::Front) != Has::Perhaps => {
                "Transport block out. "
            }
            (Has::Perhaps, Wheel::Rear) | (Has::No, _) => "",
        };
        let rotor = match kit.brake(wheel, BrakePart::has_disc) {
            Has::Yes => ", rotor between the pads",
            _ => "",
        };
        let chain = if wheel == Wheel::Rear && kit.pedalled() != Has::No {
            ", chain on"
        } else {
            ""
        };
        format!(
            "{block}{name} wheel right in{rotor}{chain}; {close}. Tyre {} clear.",
            small(self.figure(FigureKey::TyreRoom).unwrap_or_default())
        )
    }

    /// The saddle with the post at its mark, mm, and from where, where that is known.
    fn highest(&self) -> Option<(f64, &'static str)> {
        [
            (FigureKey::SaddleHighest, "from the bracket"),
            (FigureKey::SeatHighest, "from the ground"),
        ]
        .into_iter()
        .find_map(|(key, from)| Some((self.figure(key)?, from)))
    }

    fn post(&self, units: Units, work: Option<&Work>) -> String {
        let keep = match self.figure(FigureKey::LeastInside) {
            Some(inside) => format!(
                "mark hidden, {} or more inside",
                units.tape_at_least(inside)
            ),
            None if self.highest().is_some() => "mark hidden".to_owned(),
            None => FIND_MARK.to_owned(),
        };
        let Some(work) = work else {
            let never = self.highest().map_or_else(String::new, |(highest, from)| {
                let highest = units.tape_at_most(highest);
                format!("; saddle never above {highest} {from}")
            });
            return format!("Post: {keep}{never}.");
        };
        let saddle = &work.saddle;
        let show = |key| self.figure(key).map(|mm| saddle.setting.tape(units, mm));
        let height = if work.leads_with_seat_height {
            show(FigureKey::SeatHeight).map(|height| format!("Seat height {height} above ground"))
        } else {
            show(FigureKey::SaddleHeight)
                .map(|height| format!("Saddle height {height} from the bracket"))
        };
        let shows = show(FigureKey::ExposedPost).map(|shows| format!("{shows} of post showing"));
        let set: Vec<_> = height.into_iter().chain(shows).collect();
        let end = saddle
            .end
            .map_or_else(String::new, |end| format!("{}; ", end.words()));
        format!("{}; {end}{keep}.", set.join(", "))
    }

    fn lever_gap(&self, work: Option<&Work>, units: Units) -> String {
        let lawful = units.length_at_most(self.figure(FigureKey::LawfulGap).unwrap_or_default());
        let gaps = [
            ("front", self.figure(FigureKey::FrontGap)),
            ("rear", self.figure(FigureKey::RearGap)),
        ];
        let said: Vec<_> = gaps
            .iter()
            .filter_map(|(wheel, gap)| Some(format!("{wheel} {}", units.length((*gap)?))))
            .collect();
        if said.is_empty() {
            let hand = work.map_or("the rider's hand", |_| "this hand");
            return format!(
                "Lever gap to {hand}, at most {lawful}; pulled hard, clear of the grip; clamp."
            );
        }
        format!(
            "Lever gap {}; a firm pull never touches the grip; clamp.",
            said.join(", ")
        )
    }
}

/// How the wheel is closed once the chain's slack is set, to follow that.
fn close_after_slack(kit: &Kit) -> String {
    let is = |kind| kit.axle(Wheel::Rear, kind) == Has::Yes;
    if is(AxleKind::Nuts) {
        ", then the axle nuts in turn".to_owned()
    } else if is(AxleKind::QuickRelease) {
        format!(", then the quick-release lever {LEVER_CLOSES}")
    } else if is(AxleKind::ThruAxle) {
        String::new()
    } else {
        ", then the axle again".to_owned()
    }
}

/// Which lever works which brake.
pub fn lever_side(kit: &Kit) -> String {
    let lever = |wheel| kit.brake(wheel, BrakePart::has_lever);
    match (lever(Wheel::Front), lever(Wheel::Rear)) {
        (Has::No, _) | (_, Has::No) => {
            "Brake lever on the side that local rule asks for; show the rider.".to_owned()
        }
        _ => "Front brake: left lever where traffic keeps right, right lever where it keeps left; local rule wins. Show the rider.".to_owned(),
    }
}

/// A workshop's tolerance: in millimetres whatever the ruler, since a sixteenth of an inch is all of it.
fn small(mm: f64) -> String {
    format!("{} mm", tidy(mm, 1))
}

/// A sentence that follows a colon.
fn lower(sentence: &str) -> String {
    let mut letters = sentence.chars();
    let first = letters
        .next()
        .map(|first| first.to_lowercase().collect::<String>());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}
