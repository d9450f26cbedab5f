//! What both bikes have at some height: standover, saddle top and grips; level lines at them, and the differences.
//! Heights above the ground are the bikes' own.
//! Whether more or less is better is not said.

use crate::advice::compare::Kind;
use crate::bike::Figure;
use crate::draw::arrows::aid;
use crate::draw::lettering::{Face, LEGEND, VALUE};
use crate::draw::number::{self, DISC};
use crate::draw::page::{Align, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{circle, group, line, rectangle};
use crate::draw::scene::Scene;
use crate::draw::stack::{Wish, stack};
use crate::plane::Point;
use crate::units::Units;

const SADDLE: &str = "saddle top";

/// One thing that both bikes have at some height.
pub(super) struct Level {
    pub(super) name: &'static str,
    /// On either bike.
    at: [Spot; 2],
    /// Height of either above the ground as it is told, mm.
    heights_mm: [f64; 2],
}

impl Level {
    /// How the second bike has it.
    pub(super) fn words(&self, units: Units) -> String {
        // As the table of differences has it.
        let amount = units.length(Kind::Length.apart(self.heights_mm, units));
        let [first, second] = self.heights_mm;
        if amount == units.length(0.0) {
            "level".to_owned()
        } else if second > first {
            format!("{amount} higher")
        } else {
            format!("{amount} lower")
        }
    }
}

/// Everything that is level with something, highest on the first bike first.
pub(super) fn all(scenes: &[Scene<'_>; 2], units: Units) -> Vec<Level> {
    let mut all: Vec<Level> = [
        level("grips", scenes, |scene| {
            let machine = scene.ride.machine;
            let grip = machine.points().grip;
            machine
                .knows(Figure::GripHeight)
                .then(|| (grip, grip.y - machine.ground_y()))
        }),
        level(SADDLE, scenes, |scene| {
            // Told from the bracket: where nobody knows how high that is, nobody knows it over the ground.
            let (ride, machine) = (scene.ride, scene.ride.machine);
            let stands = !machine.has_cranks() || machine.knows(Figure::BottomBracketHeight);
            let told_mm = ride.setting().shown_mm(units, ride.seat_height_mm());
            stands.then(|| (machine.on_post(ride.position()), told_mm))
        }),
        level("standover, top tube", scenes, |scene| {
            scene.ride.machine.straddle()
        }),
    ]
    .into_iter()
    .flatten()
    .collect();
    all.sort_by(|a, b| a.at[0].y.total_cmp(&b.at[0].y));
    all
}

/// Level lines from the first bike to the second, the differences between them, and their words.
pub(super) fn lying(page: &mut Page, scenes: &[Scene<'_>; 2], gap: Rect, units: Units) {
    const APART: f64 = 6.0;
    const SMALL: Face = LEGEND.sized(3.0).class("quiet");
    const PAD: f64 = 1.2;
    let all = all(scenes, units);
    let height = SMALL.height() + VALUE.height() + PAD + 0.1;
    let wishes: Vec<Wish> = all
        .iter()
        .map(|level| Wish {
            height,
            middle: level.at[0].y,
            weight: 1.0,
        })
        .collect();
    let tops = stack(&wishes, gap.y, gap.bottom() - 4.0, 2.0);
    let arrows = |index: usize| gap.right() - 4.0 - APART * index as f64;
    for (index, level) in all.iter().enumerate() {
        let [first, second] = level.at;
        let x = arrows(index);
        let drawn = group("levels")
            .add(line("aid-halo", first, Spot::new(x + 1.5, first.y)))
            .add(line("level", first, Spot::new(x + 1.5, first.y)))
            .add(circle("leader-dot", first, 0.8))
            .add(circle("leader-dot", second, 0.8));
        page.add(drawn);
        page.add(aid(Spot::new(x - 1.5, second.y), second));
        if (first.y - second.y).abs() > 0.2 {
            let foot = Spot::new(x, first.y);
            page.dimension(level.name, "", foot, Spot::new(x, second.y));
        }
    }
    // Words on their lines, in boxes that cover the others.
    let left = gap.x + 2.0;
    let room = arrows(all.len().saturating_sub(1)) - 4.0 - left;
    for (level, top) in all.iter().zip(tops) {
        let words = level.words(units);
        let wide = SMALL
            .width(level.name)
            .max(VALUE.width(&words))
            .min(room - 2.0 * PAD);
        let place = Rect::new(left, top, wide + 2.0 * PAD, height);
        let mut drawn = group("flag");
        let on_line = Spot::new(place.right(), level.at[0].y.clamp(place.y, place.bottom()));
        if (on_line.y - level.at[0].y).abs() > 0.1 {
            let meets = Spot::new(place.right() + 3.0, level.at[0].y);
            drawn = drawn.add(line("leader", on_line, meets));
        }
        page.add(drawn.add(rectangle("frame-line", place).set("rx", "0.8")));
        page.mark(level.name, place);
        let about = (level.name, Spot::new(place.right(), level.at[0].y));
        let mut base = place.y + PAD / 2.0 + 0.8 * SMALL.size;
        for (face, text) in [(SMALL, level.name), (VALUE, words.as_str())] {
            let at = Spot::new(left + PAD, base);
            page.write_about(about, at, Align::Left, face.shrunk(text, wide), wide, text);
            base += 0.24 * SMALL.size + 0.8 * VALUE.size + 0.1;
        }
    }
}

/// Level lines from one bike's places to the edges of a narrow sheet, each with its number there: the saddle's behind
/// the bike, the others ahead of it.
pub(super) fn upright(page: &mut Page, scene: &Scene<'_>, all: &[Level], bike: usize) {
    const EDGE: f64 = DISC + 2.0;
    const ROOM: f64 = 2.0 * DISC + 0.4;
    let (top, foot) = (scene.place().y, scene.ground_y());
    for (is_behind, x) in [(true, EDGE), (false, page.width() - EDGE)] {
        let mut here: Vec<(usize, &Level)> = (1..).zip(all).collect();
        here.retain(|(_, level)| (level.name == SADDLE) == is_behind);
        here.sort_by(|(_, a), (_, b)| a.at[bike].y.total_cmp(&b.at[bike].y));
        let wishes: Vec<Wish> = here
            .iter()
            .map(|(_, level)| Wish {
                height: ROOM,
                middle: level.at[bike].y,
                weight: 1.0,
            })
            .collect();
        let tops = stack(&wishes, top, foot, 0.0);
        for ((number, level), top) in here.into_iter().zip(tops) {
            let (place, disc) = (level.at[bike], Spot::new(x, top + ROOM / 2.0));
            let inwards = if is_behind { 1.0 } else { -1.0 };
            let edge = disc.moved(inwards * DISC, 0.0);
            let bend = Spot::new(edge.x + inwards * 2.0, place.y);
            page.add(
                group("levels")
                    .add(line("aid-halo", place, bend))
                    .add(line("level", place, bend))
                    .add(line("level", bend, edge))
                    .add(circle("leader-dot", place, 0.8)),
            );
            number::put(page, number, disc, Some((level.name, bend)));
        }
    }
}

/// `of` gives the place and its height above the ground as it is told, mm.
fn level(
    name: &'static str,
    scenes: &[Scene<'_>; 2],
    of: impl Fn(&Scene<'_>) -> Option<(Point, f64)>,
) -> Option<Level> {
    let [(first, first_mm), (second, second_mm)] = [of(&scenes[0])?, of(&scenes[1])?];
    Some(Level {
        name,
        at: [scenes[0].spot(first), scenes[1].spot(second)],
        heights_mm: [first_mm, second_mm],
    })
}
