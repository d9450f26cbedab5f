//! Reach: how far the rider leans to hold the grips with an easy elbow.
//! Outside the band a change of parts may help; only a bar beyond the arms rules the bike out.

use crate::bike::Bike;
use crate::fit::finding::{Check, Measure, Misfit, Status, Unit};
use crate::fit::pair::{ELBOW_DEG, Pair};
use crate::fit::posture::Posture;
use crate::plane::Unreachable;
use crate::sources::{Cited, Source};
use crate::units::{Length, Units};

/// The check.
#[derive(Debug)]
pub struct Reach;

impl Check for Reach {
    fn unit(&self, _bike: &Bike) -> Unit {
        Unit::Degree
    }

    fn is_safety(&self) -> bool {
        true
    }

    fn sources(&self) -> Cited {
        Cited::new(Source::Practice, &[Source::Hss, Source::Holliday2021])
    }

    fn measure(&self, pair: &Pair<'_>) -> Option<Measure> {
        let [low, high] = pair.lean_band_deg();
        Some(Measure {
            value: pair.torso_lean_deg(),
            low: Some(low),
            high: Some(high),
            status: match pair.posture() {
                Posture::Easy => Status::Ok,
                Posture::Upright | Posture::Stretched => Status::Caution,
                Posture::OutOfReach => Status::Fail(Misfit::TooBig),
                Posture::TooClose => Status::Fail(Misfit::TooSmall),
            },
        })
    }

    fn advise(&self, pair: &Pair<'_>, measure: &Measure, units: Units) -> String {
        let lean = measure.shown(Unit::Degree, units).unwrap_or_default();
        let posture = match pair.posture() {
            Posture::Easy => {
                return format!("back at {lean}, elbows bent {ELBOW_DEG:.0}°: comfortable");
            }
            Posture::OutOfReach => {
                let beyond = match pair.pose.trunk {
                    Err(Unreachable::TooFar { need, have }) => need - have,
                    _ => 0.0,
                };
                return format!("the grips are {} beyond the arms", units.missed_by(beyond));
            }
            Posture::TooClose => return "the grips are too close to hold at all".to_owned(),
            Posture::Upright => "upright",
            Posture::Stretched => "stretched",
        };
        format!("back at {lean}, too {posture}")
    }

    fn cure(&self, pair: &Pair<'_>, _measure: &Measure, units: Units) -> Option<String> {
        if !matches!(pair.posture(), Posture::Upright | Posture::Stretched) {
            return None;
        }
        if let Some(cure) = pair.cure() {
            let stem = pair.bike.spec.cockpit.stem.length;
            let after = pair.lean_after_deg(&cure).unwrap_or_default();
            return Some(format!(
                "a mechanic can fit {}, which puts it at {}",
                cure.words(stem.map(Length::mm), units),
                Unit::Degree.show(after, units)
            ));
        }
        // The way to the middle of the band, which is farther than parts that only reach its end would go.
        let away = pair.grip_move_mm().map_or_else(String::new, |forward| {
            let which = if forward > 0.0 {
                "farther forward"
            } else {
                "closer"
            };
            let mm = units.length(forward.abs());
            format!("best with the grips {mm} {which}; ")
        });
        Some(format!(
            "{away}no part that such a bike carries cures that, try another bike"
        ))
    }
}
