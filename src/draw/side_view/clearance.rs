//! From the pedal straight ahead to the turned front tyre.
//! The distance is the check's, found in three dimensions; here it is laid off from the pedal.
//! How much is wanted is the fit's.

use crate::draw::callout::{Callout, NOT_CHECKED, Side, Tie};
use crate::draw::facts::CheckId;
use crate::draw::page::Page;
use crate::draw::pen::{circle, group, line};
use crate::draw::scene::Scene;
use crate::plane::Vector;

impl Scene<'_> {
    pub(super) fn toe_clearance(&self, page: &mut Page) -> Option<Callout> {
        const NAME: &str = "toe clearance";
        const WALL: f64 = 3.0;
        let found = self.ride.finding(CheckId::ToeClearance)?;
        let pedal = self.ride.machine.pedal(std::f64::consts::FRAC_PI_2)?;
        let from = self.spot(pedal);
        page.add(group("aids").add(circle("aid", from, self.view().paper(14.0))));
        let (figure, places) = match found.value {
            Some(clearance) => {
                let to = self.spot(pedal + Vector::new(clearance, 0.0));
                let (above, below) = (to.moved(0.0, -WALL), to.moved(0.0, WALL));
                page.add(
                    group("aids")
                        .add(line("halo", above, below))
                        .add(line("measure", above, below)),
                );
                page.dimension(NAME, self.tone(CheckId::ToeClearance), from, to);
                let places = [0.6, 0.4, 0.8].map(|share| from.towards(to, share));
                (self.units().length(clearance), places.to_vec())
            }
            None if found.needs.is_some() => (NOT_CHECKED.to_owned(), vec![from]),
            None => ("never meets".to_owned(), vec![from]),
        };
        Some(Callout {
            side: Side::Right,
            name: NAME.to_owned(),
            figure,
            note: self.note(found),
            tie: Tie::Leader(places),
        })
    }
}
