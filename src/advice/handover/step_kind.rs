//! Kinds of step, and the part of the build that each belongs to.
//! Only names: which steps a bike asks for, and at which figures, is `steps`.
//! In the order of the build.

use crate::words::choice;

choice! {
    /// A part of the build.
    pub enum Section {
        /// Out of the box.
        Box = "box",
        /// Fork, bar, front wheel, headset and stem.
        Front = "front end",
        /// Rear wheel, tyres and their air, rims.
        Wheels = "wheels",
        /// Cranks, chain and gears.
        Drive = "drive",
        /// Brakes.
        Brakes = "brakes",
        /// Post and saddle.
        Saddle = "saddle",
        /// Pedals.
        Pedals = "pedals",
        /// Air in the fork.
        Air = "air",
        /// Levers to the hand.
        Levers = "levers",
        /// What the law asks for, and all bolts.
        Last = "last checks",
        /// On the ground, with the child, and after.
        Tests = "tests",
    }
}

macro_rules! kinds {
    ($($(#[doc = $doc:literal])* $kind:ident = $word:literal in $section:ident,)*) => {
        choice! {
            /// What is done in a step, in the order of the build.
            pub enum StepKind { $($(#[doc = $doc])* $kind = $word,)* }
        }

        impl StepKind {
            /// The part of the build that it belongs to.
            pub const fn section(self) -> Section {
                match self { $(Self::$kind => Section::$section,)* }
            }
        }
    };
}

kinds! {
    /// Out of the box, small parts and manual kept together.
    Unpack = "unpack" in Box,
    /// Looked over for damage.
    Damage = "damage" in Box,
    /// Serial number written down.
    SerialNumber = "serial_number" in Box,
    /// Fork the right way round.
    ForkForward = "fork_forward" in Front,
    /// Bar clamped in the stem.
    BarClamp = "bar_clamp" in Front,
    /// Front wheel in and closed.
    FrontAxle = "front_axle" in Front,
    /// Headset without play.
    Headset = "headset" in Front,
    /// Bar square to the wheel.
    BarSquare = "bar_square" in Front,
    /// Stem clamped to the fork.
    Stem = "stem" in Front,
    /// Rear wheel in; closed where no chain slack is set by moving it.
    RearAxle = "rear_axle" in Wheels,
    /// Tyres pumped up.
    TyrePressure = "tyre_pressure" in Wheels,
    /// Tyres seated.
    TyreSeating = "tyre_seating" in Wheels,
    /// Rims true.
    WheelTrue = "wheel_true" in Wheels,
    /// Spokes tight.
    Spokes = "spokes" in Wheels,
    /// Bearing of pinched cranks.
    CrankPreload = "crank_preload" in Drive,
    /// Cranks tight.
    Cranks = "cranks" in Drive,
    /// Derailleur hanger straight.
    Hanger = "hanger" in Drive,
    /// Chain long enough.
    ChainLength = "chain_length" in Drive,
    /// Limit screws.
    LimitScrews = "limit_screws" in Drive,
    /// Indexing.
    Indexing = "indexing" in Drive,
    /// Chain slack, and the wheel closed that sets it.
    ChainSlack = "chain_slack" in Drive,
    /// Hub gear on its marks.
    HubGear = "hub_gear" in Drive,
    /// Coaster arm strapped to the frame.
    CoasterStrap = "coaster_strap" in Drive,
    /// Coaster brake takes hold.
    CoasterBrake = "coaster_brake" in Drive,
    /// Which lever works which brake.
    LeverSide = "lever_side" in Brakes,
    /// Levers sloped and clamped.
    LeverSlope = "lever_slope" in Brakes,
    /// Rim brakes bolted on.
    RimBrake = "rim_brake" in Brakes,
    /// Cables anchored.
    BrakeCable = "brake_cable" in Brakes,
    /// Pads to the rim.
    RimPads = "rim_pads" in Brakes,
    /// Rotor bolts.
    RotorBolts = "rotor_bolts" in Brakes,
    /// Disc caliper centred.
    DiscCaliper = "disc_caliper" in Brakes,
    /// Fluid line tight.
    BrakeFluid = "brake_fluid" in Brakes,
    /// Brake inside the hub.
    DrumBrake = "drum_brake" in Brakes,
    /// Post and pedal threads greased.
    Grease = "grease" in Saddle,
    /// Saddle level.
    SaddleLevel = "saddle_level" in Saddle,
    /// Post at its height, mark hidden.
    Post = "post" in Saddle,
    /// Post clamped.
    SeatClamp = "seat_clamp" in Saddle,
    /// Right pedal.
    RightPedal = "right_pedal" in Pedals,
    /// Left pedal, left-hand thread.
    LeftPedal = "left_pedal" in Pedals,
    /// Air spring pumped up.
    AirSpring = "air_spring" in Air,
    /// Sag measured.
    Sag = "sag" in Air,
    /// Levers to the hand.
    LeverGap = "lever_gap" in Levers,
    /// Reflectors and bell.
    Reflectors = "reflectors" in Last,
    /// Training wheels.
    TrainingWheels = "training_wheels" in Last,
    /// Every bolt once more.
    FinalTorque = "final_torque" in Last,
    /// Test on the stand.
    StandTest = "stand_test" in Tests,
    /// The mechanic's test ride.
    TestRide = "test_ride" in Tests,
    /// New pads bedded in on it.
    BeddingIn = "bedding_in" in Tests,
    /// Test with the child.
    ChildTest = "child_test" in Tests,
    /// Bolts again after the first rides.
    BoltsAgain = "bolts_again" in Tests,
}
