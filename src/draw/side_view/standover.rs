//! Standover and the clearance above it, ahead of the bike.
//! The figures are the check's; the crotch line is the rider's inseam in shoes.
//! How much clearance is wanted is the fit's.

use crate::draw::arrows::{SHORT, aid};
use crate::draw::callout::{Callout, NOT_CHECKED, Side, Tie};
use crate::draw::facts::{CheckId, STANDOVER_CLEARANCE};
use crate::draw::page::Page;
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{circle, group, rectangle};
use crate::draw::scene::Scene;

impl Scene<'_> {
    pub(super) fn standover(&self, page: &mut Page) -> Vec<Callout> {
        const ASIDE: f64 = 4.0;
        const NAME: &str = "standover, top tube";
        let ride = self.ride;
        let Some((straddle, standover)) = ride.machine.straddle() else {
            // Nothing to lay a dimension on; the check may be sure of its side all the same.
            let found = ride.finding(CheckId::Standover);
            let unknown = Callout {
                side: Side::Right,
                name: STANDOVER_CLEARANCE.to_owned(),
                figure: NOT_CHECKED.to_owned(),
                note: self.outcome(CheckId::Standover),
                tie: Tie::Nowhere,
            };
            let made = found.filter(|found| found.sd.is_some());
            let made = made.and_then(|found| found.value);
            return vec![match made {
                Some(clearance) => Callout {
                    note: unknown.note,
                    ..self.checked_length(
                        unknown.side,
                        STANDOVER_CLEARANCE,
                        found,
                        clearance,
                        unknown.tie,
                    )
                },
                None => unknown,
            }];
        };
        let top = self.spot(straddle);
        let crotch_y = self.crotch_y();
        let (ground, tube) = (
            Spot::new(self.ahead, self.ground_y()),
            Spot::new(self.ahead, top.y),
        );
        // Below the top tube the clearance would lie on the standover, and the outer arrows of a short one would:
        // it moves aside.
        let aside = if crotch_y > top.y - SHORT {
            -ASIDE
        } else {
            0.0
        };
        let crotch = Spot::new(self.ahead + aside, crotch_y);
        page.add(aid(top, tube.moved(1.5, 0.0)));
        page.add(aid(Spot::new(top.x, crotch_y), crotch.moved(1.5, 0.0)));
        page.add(group("aids").add(circle("leader-dot", top, 0.8)));
        let found = ride.finding(CheckId::Standover);
        if let Some(sd) = found.and_then(|found| found.sd) {
            /// Half the width of the soft band about the crotch line.
            const HALF: f64 = 1.6;
            let band = Rect::around(crotch, HALF, self.view().paper(sd));
            page.add(group("doubt-band").add(rectangle("doubt", band)));
        }
        page.dimension(NAME, "", ground, tube);
        page.dimension(
            STANDOVER_CLEARANCE,
            self.tone(CheckId::Standover),
            tube.moved(aside, 0.0),
            crotch,
        );
        let clearance = found
            .and_then(|found| found.value)
            .unwrap_or(ride.body().inseam_in_shoes_mm() - standover);
        vec![
            Callout {
                note: self.outcome(CheckId::Standover),
                ..self.checked_length(
                    Side::Right,
                    STANDOVER_CLEARANCE,
                    found,
                    clearance,
                    Tie::Beside(tube.moved(aside, 0.0).towards(crotch, 0.5)),
                )
            },
            self.length(
                Side::Right,
                NAME,
                standover,
                Tie::Beside(ground.towards(tube, 0.5)),
            ),
        ]
    }
}
