//! Level lines from one bike to the other at standover, saddle top and grips, and the differences written on them.
//! Heights above the ground are the bikes' own.
//! Whether more or less is better is not said.

use crate::advice::compare::Kind;
use crate::bike::Figure;
use crate::draw::arrows::aid;
use crate::draw::lettering::{Face, LEGEND, VALUE};
use crate::draw::page::{Align, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{circle, group, line, rectangle};
use crate::draw::scene::Scene;
use crate::draw::stack::{Wish, stack};
use crate::plane::Point;
use crate::units::Units;

/// One thing that both bikes have at some height.
struct Level {
    name: &'static str,
    /// On either bike.
    at: [Spot; 2],
    /// Height of either above the ground as it is told, mm.
    heights_mm: [f64; 2],
}

impl Level {
    fn words(&self, units: Units) -> String {
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

/// Level lines from the first bike to the second, the differences between them, and their words.
pub(super) fn put(page: &mut Page, scenes: &[Scene<'_>; 2], gap: Rect, units: Units) {
    const APART: f64 = 6.0;
    const SMALL: Face = LEGEND.sized(3.0).class("quiet");
    const PAD: f64 = 1.2;
    let mut all: Vec<Level> = [
        level("grips", scenes, |scene| {
            let machine = scene.ride.machine;
            let grip = machine.points().grip;
            machine
                .knows(Figure::GripHeight)
                .then(|| (grip, grip.y - machine.ground_y()))
        }),
        level("saddle top", scenes, |scene| {
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
