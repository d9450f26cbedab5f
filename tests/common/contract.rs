//! The JSON contract as its readers would write it down: every key of every object, no other.
//! The struct of one object stands here once; the test files ask what its values must be.
#![allow(clippy::struct_field_names, reason = "the contract's names")]

use std::collections::BTreeSet;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

pub(crate) type Point = [f64; 2];

/// Reads an answer with no key that the mirror lacks, and none missing that the mirror has.
#[track_caller]
pub(crate) fn mirrored<T: Serialize + DeserializeOwned>(answer: &str) -> T {
    let read: T = serde_json::from_str(answer).unwrap_or_else(|why| panic!("{why}: {answer}"));
    let keys_of = |value: &serde_json::Value| {
        let mut found = BTreeSet::new();
        keys(value, "", &mut found);
        found
    };
    let written = keys_of(&serde_json::from_str(answer).expect("JSON"));
    // A key that may be null is written all the same: the mirror writes back every key that it has.
    let mirrored = keys_of(&serde_json::to_value(&read).expect("JSON"));
    let missing: Vec<_> = mirrored.difference(&written).collect();
    assert!(missing.is_empty(), "not written: {missing:?}");
    read
}

/// Every key path of a document, list elements alike.
fn keys(value: &serde_json::Value, path: &str, found: &mut BTreeSet<String>) {
    match value {
        serde_json::Value::Object(entries) => {
            for (key, value) in entries {
                let path = format!("{path}.{key}");
                keys(value, &path, found);
                found.insert(path);
            }
        }
        serde_json::Value::Array(items) => {
            for item in items {
                keys(item, path, found);
            }
        }
        _ => {}
    }
}

macro_rules! objects {
    ($($name:ident { $($key:ident: $type:ty,)* })*) => {$(
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(crate) struct $name {
            $(pub(crate) $key: $type,)*
        }
    )*};
}

// inseam/fit/2
objects! {
    Fit {
        schema: String, rider: Rider, body: Body, bike: Bike, setting: Option<Setting>, to_try: Option<ToTry>,
        saddle: Option<Saddle>, pose: Pose, findings: Vec<Finding>, verdict: String, leans: Option<String>, chance: Option<f64>,
        confidence: Option<String>, remeasure: Option<Remeasure>, growth: Option<Growth>,
        warnings: Vec<String>, cautions: Vec<String>,
    }
    Rider {
        inseam_mm: f64, height_mm: f64, arm_reach_mm: f64, age_months: Option<f64>, sex: Option<String>,
        weight_kg: Option<f64>, stage: String, measured_on: String, estimated: Vec<String>,
        brought_forward_from: BroughtForward,
    }
    BroughtForward { inseam_mm: Option<f64>, height_mm: Option<f64>, arm_reach_mm: Option<f64>, }
    Body {
        hip_height_mm: f64, knee_height_mm: f64, ankle_height_mm: f64, thigh_mm: f64, shank_mm: f64,
        foot_length_mm: f64, ankle_to_ball_mm: f64, hip_above_saddle_mm: f64, torso_mm: f64,
        upper_arm_mm: f64, forearm_mm: f64, hand_length_mm: f64, sole_mm: f64,
        shoulder_height_mm: f64, shoulder_breadth_mm: f64, sources: Vec<String>,
    }
    Bike {
        name: String, style: String, points: BikePoints, wheel_radius_front_mm: f64,
        wheel_radius_rear_mm: f64, bottom_bracket_height_mm: f64, wheelbase_mm: f64, front_centre_mm: f64,
        trail_mm: f64, standover_mm: Option<f64>, saddle_height_min_mm: f64, saddle_height_max_mm: f64,
        toe_clearance_mm: Option<f64>, pedal_lean_deg: Option<f64>, class: String,
        assumed: Vec<String>, sd_mm: Option<SdMm>, sources: Vec<String>,
    }
    SdMm {
        standover: f64, seat_height_lowest: f64, seat_height_highest: f64, saddle_height_min: f64,
        saddle_height_max: f64, bottom_bracket_height: f64, grip_x: f64, grip_y: f64,
    }
    BikePoints {
        bottom_bracket: Point, rear_axle: Point, front_axle: Point, head_tube_top: Point,
        head_tube_bottom: Point, seat_tube_top: Point, bar_clamp: Point, grip: Point,
    }
    Setting {
        saddle_height_mm: f64, saddle_height_sd_mm: Option<f64>, seat_height_mm: f64, seat_height_sd_mm: Option<f64>, exposed_post_mm: Option<f64>,
        insertion_mm: Option<f64>, lever_gap_mm: Option<f64>, front_lever_gap_mm: Option<f64>,
        rear_lever_gap_mm: Option<f64>,
    }
    ToTry {
        saddle_height_mm: Option<f64>, saddle_height_sd_mm: Option<f64>, seat_height_mm: f64, seat_height_sd_mm: Option<f64>,
    }
    Saddle { low_mm: f64, target_mm: f64, high_mm: f64, }
    Pose {
        torso_lean_deg: Option<f64>, elbow_flexion_deg: Option<f64>, upper_arm_to_trunk_deg: Option<f64>,
        knee_flexion_min_deg: Option<f64>, knee_flexion_max_deg: Option<f64>,
        crank_angle_at_min_deg: Option<f64>, points: PosePoints,
    }
    PosePoints {
        sit: Point, hip: Point, knee: Option<Point>, ankle: Option<Point>, ball: Option<Point>,
        shoulder: Option<Point>, elbow: Option<Point>, hand: Option<Point>,
    }
    Finding {
        check: String, status: String, value: Option<f64>, unit: String, low: Option<f64>, high: Option<f64>,
        margin: Option<f64>, sd: Option<f64>, chance: Option<f64>, advice: String, sources: Vec<String>,
    }
    Remeasure { measurement: String, decides: String, advice: String, }
    Growth {
        as_of: String, months: Vec<Month>, first_month: Months, last_month: Months, schedule: Vec<Raise>,
        notes: Vec<String>, sources: Vec<String>,
    }
    Month {
        month: u32, date: String, height_mm: f64, height_low_mm: f64, height_high_mm: f64, inseam_mm: f64,
        arm_reach_mm: f64, verdict: String,
    }
    Months { p10: Option<f64>, p50: Option<f64>, p90: Option<f64>, }
    Raise { date: String, saddle_height_mm: Option<f64>, seat_height_mm: Option<f64>, }
}

// inseam/size/2
objects! {
    Size {
        schema: String, rider: Rider, order: String, bikes: Vec<Sized>, skipped: Vec<Skipped>,
        cautions: Vec<String>,
    }
    Sized {
        id: String, rank: usize, why: Option<String>, wheel: String, weight_kg: Option<f64>,
        price: Option<f64>, months_left: Months, stop: Option<Stop>, fit: Fit,
    }
    Skipped { file: String, error: String, }
    Stop {
        check: Option<String>, reason: String, amount: Option<String>, height_mm: Option<f64>,
        months: Option<f64>, nearest: Option<String>,
    }
}

// inseam/compare/2
objects! {
    Compare {
        schema: String, first: Compared, second: Compared, read_this: Vec<String>, equipment: Vec<Equipment>,
        differences: Vec<Difference>,
    }
    Equipment { name: String, first: Option<String>, second: Option<String>, meaning: String, }
    Compared { id: String, stop: Option<Stop>, fit: Fit, }
    Difference { name: String, first: Option<f64>, second: Option<f64>, unit: String, meaning: String, }
}

// inseam/rack/1
objects! {
    Rack {
        schema: String, bikes: Vec<Racked>, holes: Vec<Hole>, skipped: Vec<Skipped>, cautions: Vec<String>,
    }
    Hole { stage: String, inseam_min_mm: f64, inseam_max_mm: f64, height_min_mm: f64, height_max_mm: f64, }
    Racked {
        id: String, name: String, style: String, class: String, stages: Stages,
        not_checked: Vec<NotChecked>, warnings: Vec<String>,
    }
    Stages { learning: Window, steady: Window, confident: Window, }
    Window {
        inseam_min_mm: Option<f64>, inseam_max_mm: Option<f64>, height_min_mm: Option<f64>,
        height_max_mm: Option<f64>, age_min_months: Option<f64>, age_max_months: Option<f64>,
        bound_low_by: Option<String>, bound_high_by: Option<String>, reason: Option<String>,
    }
    NotChecked { check: String, needs: String, }
}
