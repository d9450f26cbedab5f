//! What the rider shows on this very bike before riding off, with the figures to look for.
//! The figures are the checks'; the list is ours.

use crate::bike::BrakeKind;
use crate::fit::checks::ground_contact::Contact;
use crate::fit::checks::standover::LEAST_MM;
use crate::fit::{CheckId, Fit, Pair};
use crate::rider::Stage;
use crate::units::Units;

pub(super) fn rider_shows(fit: &Fit, units: Units) -> Vec<String> {
    let mut shows = vec![straddles(fit, units), sits(&fit.pair())];
    shows.extend(stops(&fit.pair()));
    shows.push(turns(fit, units));
    shows.push(
        "Helmet level, two fingers above the eyebrows, straps snug, still when the head shakes."
            .to_owned(),
    );
    shows
}

fn straddles(fit: &Fit, units: Units) -> String {
    let finding = fit.finding(CheckId::Standover);
    match finding.and_then(|finding| finding.measure.value) {
        Some(clearance) => format!(
            "Stands over the top tube in shoes, both feet flat, {} clear.",
            units.tape(clearance)
        ),
        None => format!(
            "Stands over the frame in shoes, both feet flat, {} clear or more.",
            units.tape_at_least(LEAST_MM)
        ),
    }
}

fn sits(pair: &Pair<'_>) -> String {
    let touches = Contact::at(pair.saddle_over_inseam_mm(pair.pose.position)).words();
    match pair.pose.stage {
        Stage::Learning | Stage::Steady => {
            format!("Sits on the saddle, {touches} on the ground.")
        }
        Stage::Confident => {
            format!("Stops, slides forward off the saddle and stands ({touches} from the saddle).")
        }
    }
}

fn stops(pair: &Pair<'_>) -> Vec<String> {
    let brakes = pair.bike.spec.brakes.as_ref();
    let Some(brakes) = brakes else {
        return vec![
            "Squeezes each lever it has, one hand at a time, and stops the rolling bike; brakes not known: needs brakes in the frame file."
                .to_owned(),
        ];
    };
    let kinds = [brakes.front.kind, brakes.rear.kind];
    let mut shows = Vec::new();
    match kinds
        .iter()
        .filter(|kind| **kind == BrakeKind::Hand)
        .count()
    {
        0 => {}
        1 => shows.push("Squeezes the lever and stops the rolling bike with it.".to_owned()),
        _ => shows.push("Squeezes each lever alone and stops the rolling bike with it.".to_owned()),
    }
    if brakes.rear.kind == BrakeKind::Coaster {
        shows.push("Stops the rolling bike by pedalling backwards, from either foot.".to_owned());
    }
    if kinds.iter().all(|kind| *kind == BrakeKind::None) {
        shows.push("Walks, glides, and stops with both feet on flat ground.".to_owned());
    }
    shows
}

fn turns(fit: &Fit, units: Units) -> String {
    let knees = fit
        .finding(CheckId::KneeRoom)
        .and_then(|finding| finding.measure.value);
    match knees {
        Some(room) => format!(
            "Turns the bar fully both ways, knees clear ({} when straight).",
            units.tape(room)
        ),
        None => "Turns the bar fully both ways, knees clear.".to_owned(),
    }
}
