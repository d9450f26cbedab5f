//! Every check, one file each, in the order that a fitter goes through them.
//! A new check is a new file and a line in [`CHECKS`]; nothing else lists them.
//! What a check is, and what it gives back, is `fit::finding`.

pub mod bar_height;
pub mod bar_width;
pub mod bike_weight;
pub mod brake_lever;
pub mod crank_length;
pub mod elbow;
pub mod ground_contact;
pub mod knee_room;
pub mod leg_room;
pub mod parts;
pub mod pedal_lean;
pub mod post_insertion;
pub mod reach;
pub mod saddle_height;
pub mod standover;
pub mod toe_clearance;

use crate::fit::finding::Check;

/// All checks, in the order of reports.
pub const CHECKS: [&dyn Check; 17] = [
    &standover::Standover,
    &saddle_height::SaddleHeight,
    &leg_room::LegRoom,
    &leg_room::WalkingRoom,
    &ground_contact::GroundContact,
    &reach::Reach,
    &elbow::Elbow,
    &knee_room::KneeRoom,
    &crank_length::CrankLength,
    &brake_lever::BrakeLever,
    &toe_clearance::ToeClearance,
    &pedal_lean::PedalLean,
    &bar_width::BarWidth,
    &bar_height::BarHeight,
    &bike_weight::BikeWeight,
    &post_insertion::PostInsertion,
    &parts::Parts,
];
