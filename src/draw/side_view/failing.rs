//! What rules the pair out, first and largest: a banner under the title, and in the drawing what the banner names.
//! Reason and amount are the findings' own, in their order of weight.
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

const FIRST: Face = Face {
    size: 7.4,
    weight: Weight::Bold,
    class: "fail",
};

impl<'a> Scene<'a> {
    /// What fails, the gravest first, in the order of the checks.
    pub(super) fn failures(&self) -> Vec<Found<'a>> {
        let fails = |found: &Found<'_>| found.sign == Sign::Fail;
        if self.shows_all() {
            self.ride.findings().filter(fails).collect()
        } else {
            Vec::new()
        }
    }

    /// Title and figure of a failure.
    fn headline(&self, found: &Found<'_>) -> String {
        match found.figure(self.units()) {
            Some(figure) => format!("{} {figure}", found.title()),
            None => found.title(),
        }
    }

    /// Writes the banner from `top` down; returns where it ends, mm.
    pub(super) fn banner(&self, page: &mut Page, top: f64) -> f64 {
        const SIGN: f64 = 3.0;
        const ROW: f64 = 5.6;
        const BETWEEN: f64 = 5.0;
        let failures = self.failures();
        let Some((first, others)) = failures.split_first() else {
            return top;
        };
        let (left, right) = (page.margin(), page.width() - page.margin());
        let text = left + 3.0 * SIGN;
        let sign = |page: &mut Page, centre: Spot, radius: f64| {
            page.add_above(
                Sign::Fail.word(),
                Sign::place(centre, radius),
                Sign::Fail.draw(centre, radius),
            );
        };
        let mut y = top + FIRST.size;
        let headline = self.headline(first);
        let face = FIRST.shrunk(&headline, right - text);
        let centre = Spot::new(left + 1.2 * SIGN, y - face.below_middle());
        sign(page, centre, SIGN);
        page.write(
            Spot::new(text, y),
            Align::Left,
            face,
            right - text,
            &headline,
        );
        y += ROW;
        let face = NAME.sized(3.8);
        for line in face.wrapped(&first.advice(self.units()), right - text) {
            page.write(Spot::new(text, y), Align::Left, face, right - text, &line);
            y += 4.8;
        }
        y += 1.0;
        let mut x = text;
        for other in others {
            let words = self.headline(other);
            let face = FIGURE.sized(3.8).class("fail");
            let width = 5.0 + face.width(&words);
            if x > text && x + width > right {
                (x, y) = (text, y + ROW);
            }
            sign(page, Spot::new(x + 1.6, y - face.below_middle()), 1.5);
            page.write(
                Spot::new(x + 5.0, y),
                Align::Left,
                face,
                right - x - 5.0,
                &words,
            );
            x += width + BETWEEN;
        }
        if others.is_empty() { y - 3.0 } else { y + 2.0 }
    }

    /// Draws what fails and has no dimension of its own in the drawing, with a call-out each.
    pub(super) fn other_failures(&self, page: &mut Page) -> Vec<Callout> {
        let drawn = self.failures().into_iter().filter_map(|found| {
            let place = self.failing_place(page, &found)?;
            Some(Callout {
                side: Side::Right,
                name: found.title(),
                figure: found.figure(self.units())?,
                note: Some(Note {
                    sign: Some(Sign::Fail),
                    text: found.wanted(self.units())?,
                }),
                tie: Tie::Leader(place),
            })
        });
        drawn.collect()
    }

    /// Where a failing check is seen; None where the drawing says it already, or cannot show it.
    fn failing_place(&self, page: &mut Page, found: &Found<'_>) -> Option<Vec<Spot>> {
        const TONE: &str = "failing";
        let machine = self.ride.machine;
        let title = found.title();
        let mut between = |from: Spot, to: Spot| {
            page.dimension(&title, TONE, from, to);
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
