//! What rules the pair out, first and largest: a banner under the title, and in the drawing what the banner names.
//! Reason and amount are the findings' own sentences, what decides first.
//! Checks that have their dimension in the drawing anyway only change its tone there.

use crate::draw::arrows::aid;
use crate::draw::callout::{Callout, Note, Side, Tie};
use crate::draw::facts::{CheckId, Found};
use crate::draw::lettering::{FIGURE, Face, NAME, Weight};
use crate::draw::page::{Align, Page};
use crate::draw::paper::Spot;
use crate::draw::scene::Scene;
use crate::draw::sign::Sign;
use crate::plane::Point;
use crate::words::sentence;

const FIRST: Face = Face {
    size: 6.8,
    weight: Weight::Bold,
    class: "ink",
};

impl<'a> Scene<'a> {
    /// What fails, what decides first.
    pub(super) fn failures(&self) -> Vec<Found<'a>> {
        if self.shows_all() {
            self.ride.failures().collect()
        } else {
            Vec::new()
        }
    }

    /// Writes the banner from `top` down; returns where it ends, mm.
    pub(super) fn banner(&self, page: &mut Page, top: f64) -> f64 {
        const SIGN: f64 = 3.0;
        const SMALL_SIGN: f64 = 1.5;
        const ROW: f64 = 4.8;
        /// Every other failure has a line of its own up to this many; the call-outs name the rest.
        const MOST_OTHERS: usize = 4;
        let failures = self.failures();
        let Some((first, others)) = failures.split_first() else {
            return top;
        };
        let units = self.units();
        let (left, right) = (page.margin(), page.width() - page.margin());
        let text = left + 3.0 * SIGN;
        let room = right - text;
        let put = |page: &mut Page, sign: Sign, centre: Spot, radius: f64| {
            page.add_above(
                sign.word(),
                Sign::place(centre, radius),
                &sign.draw(centre, radius),
            );
        };
        let sign = self.ride.heading_sign(first);
        let face = FIRST.class(sign.ink());
        let mut y = top + FIRST.size;
        let centre = Spot::new(left + 1.2 * SIGN, y - FIRST.below_middle());
        put(page, sign, centre, SIGN);
        let decides = self.ride.verdict_sign() == Sign::Fail;
        let reason = self.ride.reason(units).filter(|_| decides);
        let reason = reason.unwrap_or_else(|| sentence(&first.advice(units)));
        for line in face.wrapped(&reason, room) {
            page.write(Spot::new(text, y), Align::Left, face, room, &line);
            y += 1.1 * face.size;
        }
        y -= 1.1 * FIRST.size - ROW - 0.6;
        let face = NAME.sized(3.8);
        for line in face.wrapped(&first.against(units), room) {
            page.write(Spot::new(text, y), Align::Left, face, room, &line);
            y += ROW;
        }
        y += 1.0;
        for other in others.iter().take(MOST_OTHERS) {
            let words = sentence(&other.advice(units));
            let face = FIGURE.sized(3.8).class(other.sign.ink());
            put(
                page,
                other.sign,
                Spot::new(text + 1.6, y - face.below_middle()),
                SMALL_SIGN,
            );
            for line in face.wrapped(&words, room - 5.0) {
                page.write(
                    Spot::new(text + 5.0, y),
                    Align::Left,
                    face,
                    room - 5.0,
                    &line,
                );
                y += ROW;
            }
        }
        if others.is_empty() { y - 3.0 } else { y - 2.0 }
    }

    /// Draws what fails and has no dimension of its own in the drawing, with a call-out each.
    pub(super) fn other_failures(&self, page: &mut Page) -> Vec<Callout> {
        let drawn = self.failures().into_iter().filter_map(|found| {
            let place = self.failing_place(page, &found)?;
            Some(Callout {
                side: Side::Right,
                name: found.title(),
                figure: found.figure(self.units())?,
                note: Some(Note::signed(found.sign, found.wanted(self.units())?)),
                tie: Tie::Leader(place),
            })
        });
        drawn.collect()
    }

    /// Where a failing check is seen; None where the drawing says it already, or cannot show it.
    fn failing_place(&self, page: &mut Page, found: &Found<'_>) -> Option<Vec<Spot>> {
        let tone = self.tone(found.check);
        let machine = self.ride.machine;
        let title = found.title();
        let mut between = |from: Spot, to: Spot| {
            page.dimension(&title, tone, from, to);
            Some(vec![from.towards(to, 0.5), from.towards(to, 0.25)])
        };
        match found.check {
            CheckId::CrankLength => {
                let pedal = machine.pedal(self.ride.crank_angle())?;
                between(self.spot(Point::origin()), self.spot(pedal))
            }
            CheckId::KneeRoom => {
                let knee = self.ride.knee_nearest_grip()?;
                between(self.spot(knee), self.spot(machine.points().grip))
            }
            CheckId::BarHeight => {
                let grip = self.spot(machine.points().grip);
                let [lowest, _] = machine.post_range();
                let saddle = self.spot(machine.on_post(lowest));
                let foot = Spot::new(grip.x + 4.0, saddle.y);
                let top = Spot::new(foot.x, grip.y);
                let drawn = between(foot, top);
                page.add(aid(saddle, foot.moved(1.5, 0.0)));
                page.add(aid(grip, top.moved(1.5, 0.0)));
                drawn
            }
            CheckId::GroundContact => {
                // From where the inseam ends to where the saddle is.
                let top = self.saddle_top().moved(4.0, 0.0);
                between(Spot::new(top.x, self.crotch_y()), top);
                // The seat height's call-out says it.
                None
            }
            CheckId::LegRoom => {
                let [_, highest] = machine.post_range();
                let mark = self.spot(machine.on_post(highest));
                let knee = self.ride.leg().map(|[knee, ..]| self.spot(knee));
                Some([mark].into_iter().chain(knee).collect())
            }
            CheckId::BarWidth => Some(vec![self.spot(machine.points().grip)]),
            CheckId::PedalLean => {
                let pedal = machine.pedal(std::f64::consts::PI)?;
                Some(vec![self.spot(pedal)])
            }
            _ => None,
        }
    }
}
