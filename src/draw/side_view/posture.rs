//! How the rider sits: the lean of the trunk, and how far the knee bends at its straightest.
//! Angles are the pose's own, drawn at its joints.
//! Which angles are wanted is the fit's.

use crate::draw::arrows::aid;
use crate::draw::callout::{Callout, NOT_CHECKED, Note, Side, Tie};
use crate::draw::facts::CheckId;
use crate::draw::page::Page;
use crate::draw::scene::Scene;
use crate::fit::Unit;

impl Scene<'_> {
    pub(super) fn torso_lean(&self, page: &mut Page) -> Callout {
        const NAME: &str = "torso lean";
        let note = self.outcome(CheckId::Reach);
        let Some(lean) = self.ride.lean_deg() else {
            return Callout {
                side: Side::Right,
                name: "reach to the grips".to_owned(),
                figure: "out of reach".to_owned(),
                note,
                tie: Tie::Leader(vec![self.spot(self.ride.machine.points().grip)]),
            };
        };
        if self
            .ride
            .finding(CheckId::Reach)
            .is_some_and(|found| found.needs.is_some())
        {
            // An arc would make a figure of a grip that nobody measured.
            return Callout {
                side: Side::Right,
                name: NAME.to_owned(),
                figure: NOT_CHECKED.to_owned(),
                note,
                tie: Tie::Leader(vec![self.spot(self.ride.machine.points().grip)]),
            };
        }
        let hip = self.spot(self.ride.hip());
        let radius = self.view().paper(0.62 * self.ride.body().torso_mm);
        let end = lean.to_radians();
        page.add(aid(hip, hip.moved(radius + 3.0, 0.0)));
        page.angle(NAME, self.tone(CheckId::Reach), (hip, radius), 0.0, end);
        let places = [0.45, 0.25, 0.65].map(|share| hip.polar(end * share, radius));
        Callout {
            side: Side::Right,
            name: NAME.to_owned(),
            figure: self.lean_in_words(lean),
            note,
            tie: Tie::Leader(places.to_vec()),
        }
    }

    /// The lean, and how sure it is where nobody measured the grip.
    fn lean_in_words(&self, lean_deg: f64) -> String {
        let found = self.ride.finding(CheckId::Reach);
        let lean = found
            .and_then(|found| found.figure(self.units()))
            .unwrap_or_else(|| Unit::Degree.show(lean_deg, self.units()));
        let sd = found.and_then(|found| found.sd);
        match sd.filter(|_| !self.ride.machine.knows_grip()) {
            Some(sd) => format!("{lean} ± {}", Unit::Degree.show(sd, self.units())),
            None => lean,
        }
    }

    /// Knee flexion where the leg is straightest.
    pub(super) fn knee(&self, page: &mut Page) -> Option<Callout> {
        const NAME: &str = "knee bend, straightest";
        let ride = self.ride;
        let Some((flexion, most)) = ride.knee_flexion_deg() else {
            let pedal = ride.machine.pedal(ride.crank_angle())?;
            return Some(Callout {
                side: Side::Right,
                name: "leg round the turn".to_owned(),
                figure: "does not reach".to_owned(),
                note: self.outcome(CheckId::SaddleHeight).map(|note| Note {
                    text: "at this saddle height".to_owned(),
                    ..note
                }),
                tie: Tie::Leader(vec![self.spot(pedal)]),
            });
        };
        let [knee, ankle, _] = ride.leg()?;
        if let Some(lacking) = ride.machine.lacks_cranks() {
            return Some(Callout {
                side: Side::Right,
                name: NAME.to_owned(),
                figure: NOT_CHECKED.to_owned(),
                note: Some(Note::not_checked(format!("needs {lacking}"))),
                tie: Tie::Leader(vec![self.spot(knee)]),
            });
        }
        let (hip, knee, ankle) = (self.spot(ride.hip()), self.spot(knee), self.spot(ankle));
        let radius = self.view().paper(0.42 * ride.body().shank_mm);
        let straight_on = hip.angle_to(knee);
        let mut shank = knee.angle_to(ankle);
        // The shank turns back from the straight line, clockwise on paper.
        if shank > straight_on {
            shank -= std::f64::consts::TAU;
        }
        page.add(aid(knee, knee.polar(straight_on, radius + 3.0)));
        page.angle(
            NAME,
            self.tone(CheckId::SaddleHeight),
            (knee, radius),
            straight_on,
            shank,
        );
        let places = [0.5, 0.3, 0.7, 0.15].map(|share| {
            let angle = straight_on + share * (shank - straight_on);
            knee.polar(angle, radius)
        });
        Some(Callout {
            side: Side::Right,
            name: NAME.to_owned(),
            figure: Unit::Degree.show(flexion, self.units()),
            note: most.map(|most| {
                let most = Unit::Degree.show(most, self.units());
                // The crank is judged with the saddle at full leg height: mostly another angle.
                let limit = if ride.is_at_leg_height() {
                    ""
                } else {
                    "; no limit applies here"
                };
                Note::plain(format!("folds to {most} as set{limit}"))
            }),
            tie: Tie::Leader(places.to_vec()),
        })
    }
}
