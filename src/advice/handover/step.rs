//! One step of the build: its kind, its figures, its bolts.
//! Only what a step is; which steps a bike asks for, and their words, is `steps`.
//! Units are in the figures' names.

use crate::advice::handover::bolts::Bolt;
use crate::advice::handover::step_kind::StepKind;
use crate::words::choice;

choice! {
    /// What a step's figure is; the unit is in the word.
    pub enum FigureKey {
        /// Axle ahead of the steering axis.
        ForkOffset = "fork_offset_mm",
        /// Room around a turning tyre, at least.
        TyreRoom = "tyre_room_mm",
        /// Run-out of a rim, at most.
        RunOut = "run_out_mm",
        /// Largest lawful lever gap.
        LawfulGap = "lawful_gap_mm",
        /// Chain slack, from.
        SlackLow = "chain_slack_low_mm",
        /// Chain slack, to.
        SlackHigh = "chain_slack_high_mm",
        /// How far a coaster's cranks turn back, at most.
        CoasterAngle = "coaster_angle_deg",
        /// Bottom-bracket centre to saddle top.
        SaddleHeight = "saddle_height_mm",
        /// The same with the post at its mark.
        SaddleHighest = "saddle_height_max_mm",
        /// The same from the ground, where the saddle is told from there, mm.
        SeatHighest = "seat_height_max_mm",
        /// Ground to saddle top.
        SeatHeight = "seat_height_mm",
        /// Post above the seat tube.
        ExposedPost = "exposed_post_mm",
        /// Post that must stay in the tube.
        LeastInside = "minimum_insertion_mm",
        /// Front tyre.
        FrontBar = "front_bar",
        /// Rear tyre.
        RearBar = "rear_bar",
        /// Air spring.
        SpringBar = "air_spring_bar",
        /// Least sag.
        SagLow = "sag_low_mm",
        /// Most sag.
        SagHigh = "sag_high_mm",
        /// Gap of the front brake's lever.
        FrontGap = "front_lever_gap_mm",
        /// Gap of the rear brake's lever.
        RearGap = "rear_lever_gap_mm",
        /// Training wheels above the ground, from.
        TrainingLow = "training_wheels_low_mm",
        /// Training wheels above the ground, to.
        TrainingHigh = "training_wheels_high_mm",
        /// Stops that bed the pads in.
        Stops = "stops",
        /// First check after handover, from.
        FirstCheckFrom = "first_check_from_weeks",
        /// First check after handover, to.
        FirstCheckTo = "first_check_to_weeks",
    }
}

/// A figure of a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// What it is.
    pub key: FigureKey,
    /// Its value, in the unit of its key.
    pub value: f64,
}

/// One step of the build.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What is done.
    pub kind: StepKind,
    /// Whether the bike is known to need it.
    pub is_certain: bool,
    /// The figures to work to.
    pub figures: Vec<Figure>,
    /// The bolts that are closed.
    pub bolts: Vec<Bolt>,
}
