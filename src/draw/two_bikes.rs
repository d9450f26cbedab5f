//! Two bikes side by side: both whole, on one ground line at one scale, the same rider on each.
//! Level lines lead from one to the other at standover, saddle and grips, with the difference written on them.
//! Which bike suits better is `advice`'s business.

use crate::bike::Bike;
use crate::draw::arrows::aid;
use crate::draw::facts::{CheckId, Ride};
use crate::draw::ground::{ground, scale_bar};
use crate::draw::heading;
use crate::draw::lettering::{Face, HEADING, LEGEND, NAME, SUBTITLE, TITLE, Weight};
use crate::draw::page::{A4_LONG, A4_SHORT, Align, MARGIN, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{circle, group, line, rectangle};
use crate::draw::plan::Picture;
use crate::draw::scene::{Cast, Scene};
use crate::draw::sign::Sign;
use crate::draw::stack::{Wish, stack};
use crate::draw::view::{View, scale};
use crate::fit::{Fit, Unit};
use crate::plane::Point;
use crate::units::Units;

/// The drawings stand between these, mm from the top.
const TOP: f64 = 53.0;
const GROUND: f64 = 157.0;
/// Between the two, where the differences stand, mm: at least, and at most.
const GAP: [f64; 2] = [58.0, 84.0];
/// Names and verdicts, mm from the top.
const NAMES: f64 = 32.0;
const VERDICTS: f64 = 42.0;
const FAILURES: f64 = 49.5;
/// First row of the table, and from row to row, mm.
const TABLE: f64 = 167.0;
const ROW: f64 = 5.6;

const BIKE: Face = HEADING.sized(5.0);
const VALUE: Face = Face {
    size: 3.8,
    weight: Weight::Bold,
    class: "ink",
};

/// Two bikes with the same rider on each.
pub fn two_bikes(
    first: &Bike,
    first_fit: &Fit,
    second: &Bike,
    second_fit: &Fit,
    units: Units,
) -> Picture {
    let casts = [(first, first_fit), (second, second_fit)].map(|(bike, fit)| Cast {
        ride: Ride::new(bike, fit),
        units,
        has_rider: true,
        assumed: &[],
    });
    let rides = casts.map(|cast| cast.ride);
    let title = format!("{} on two bikes", rides[0].rider_title());
    let mut page = Page::new(
        A4_LONG,
        A4_SHORT,
        &format!(
            "{title}: {} and {}",
            rides[0].bike_name(),
            rides[1].bike_name()
        ),
        &description(rides, units),
    );
    let room = A4_LONG - 2.0 * MARGIN;
    page.write(Spot::new(MARGIN, 15.0), Align::Left, TITLE, room, &title);
    page.write(
        Spot::new(MARGIN, 21.6),
        Align::Left,
        SUBTITLE,
        room,
        &rides[0].measurements(units),
    );
    let scenes = side_by_side(casts);
    page.scaled(scenes[0].view().scale);
    page.add(ground(GROUND, MARGIN, A4_LONG - MARGIN));
    for scene in &scenes {
        scene.bodies(&mut page);
    }
    let gap = gap(&scenes);
    let halves = [
        Rect::new(MARGIN, 0.0, gap.centre().x - MARGIN - 3.0, 0.0),
        Rect::new(
            gap.centre().x + 3.0,
            0.0,
            A4_LONG - MARGIN - gap.centre().x - 3.0,
            0.0,
        ),
    ];
    for (scene, half) in scenes.iter().zip(halves) {
        name(&mut page, scene, half);
    }
    levels(&mut page, &scenes, gap, units);
    table(&mut page, rides, gap, units);
    scale_bar(
        &mut page,
        Spot::new(MARGIN, A4_SHORT - 14.0),
        scenes[0].view().scale,
        units,
    );
    heading::caution(&mut page, rides[0].caution());
    page.finish()
}

fn description(rides: [Ride<'_>; 2], units: Units) -> String {
    let of = |ride: Ride<'_>| {
        format!(
            "{}: {}, {}; seat height {}.",
            ride.bike_name(),
            ride.verdict_word(),
            ride.verdict_meaning(),
            units.length(ride.seat_height_mm())
        )
    };
    format!(
        "Two side views to one scale on one ground line, the same rider on each. {} {}",
        of(rides[0]),
        of(rides[1])
    )
}

/// Both at the largest scale that holds them, on one ground, with a gap between.
fn side_by_side(casts: [Cast<'_>; 2]) -> [Scene<'_>; 2] {
    const ROOM: f64 = A4_LONG - 2.0 * MARGIN;
    let extents = casts.map(|cast| cast.extent());
    let grounds = casts.map(|cast| cast.ride.machine.ground_y());
    let across = extents[0].width() + extents[1].width();
    let upright = (extents[0].high - grounds[0]).max(extents[1].high - grounds[1]);
    let scale = scale(across, upright, ROOM - GAP[0], GROUND - TOP);
    let gap = (ROOM - across / scale).min(GAP[1]);
    let left = MARGIN + (ROOM - across / scale - gap) / 2.0;
    let lefts = [left, left + extents[0].width() / scale + gap];
    let at = |index: usize| {
        let origin = Spot::new(
            lefts[index] - extents[index].left / scale,
            GROUND + grounds[index] / scale,
        );
        Scene::at(casts[index], View::new(scale, origin))
    };
    [at(0), at(1)]
}

/// The room between the two.
fn gap(scenes: &[Scene<'_>; 2]) -> Rect {
    let (left, right) = (scenes[0].place().right(), scenes[1].place().x);
    Rect::new(left, TOP, right - left, GROUND - TOP)
}

/// A bike's name, its verdict and what rules it out, over it.
fn name(page: &mut Page, scene: &Scene<'_>, half: Rect) {
    let ride = scene.ride;
    let place = scene.place();
    // Over the bike, as far as its half of the sheet permits.
    let middle = |wide: f64| {
        let x = place.centre().x;
        x.clamp(
            half.x + wide / 2.0,
            (half.right() - wide / 2.0).max(half.x + wide / 2.0),
        )
    };
    let bike = Spot::new(place.centre().x, GROUND);
    let name = crate::words::clean(ride.bike_name());
    let face = BIKE.shrunk(&name, half.width);
    let name = face.fitted(&name, half.width);
    let at = Spot::new(middle(face.width(&name)), NAMES);
    let above = Spot::new(bike.x, TOP);
    page.write_about((&name, above), at, Align::Middle, face, half.width, &name);
    heading::verdict(
        page,
        ride,
        Spot::new(middle(50.0), VERDICTS),
        Align::Middle,
        half.width,
    );
    let failure = ride.findings().find(|found| found.sign == Sign::Fail);
    if let Some(found) = failure {
        let figure = found.figure(scene.cast.units).unwrap_or_default();
        let words = format!("{} {figure}", found.title());
        let face = BIKE.class("fail").shrunk(&words, half.width);
        let at = Spot::new(middle(face.width(&words)), FAILURES);
        page.write_about((&words, above), at, Align::Middle, face, half.width, &words);
    }
}

/// One thing that both bikes have at some height.
struct Level {
    name: &'static str,
    /// On either bike.
    at: [Spot; 2],
    /// How much higher the second has it, mm.
    by_mm: f64,
}

impl Level {
    fn words(&self, units: Units) -> String {
        let amount = units.length(self.by_mm.abs());
        if amount == units.length(0.0) {
            "level".to_owned()
        } else if self.by_mm > 0.0 {
            format!("{amount} higher")
        } else {
            format!("{amount} lower")
        }
    }
}

/// Level lines from the first bike to the second, the differences between them, and their words.
fn levels(page: &mut Page, scenes: &[Scene<'_>; 2], gap: Rect, units: Units) {
    const APART: f64 = 6.0;
    const SMALL: Face = LEGEND.sized(3.0).class("quiet");
    const PAD: f64 = 1.2;
    let mut all: Vec<Level> = [
        level("grips", scenes, |scene| {
            Some(scene.ride.machine.points().grip)
        }),
        level("saddle top", scenes, |scene| {
            Some(scene.ride.machine.on_post(scene.ride.position()))
        }),
        level("standover, top tube", scenes, |scene| {
            Some(scene.ride.machine.straddle()?.0)
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

fn level(
    name: &'static str,
    scenes: &[Scene<'_>; 2],
    of: impl Fn(&Scene<'_>) -> Option<Point>,
) -> Option<Level> {
    let [first, second] = [of(&scenes[0])?, of(&scenes[1])?];
    let above = |scene: &Scene<'_>, point: Point| point.y - scene.ride.machine.ground_y();
    Some(Level {
        name,
        at: [scenes[0].spot(first), scenes[1].spot(second)],
        by_mm: above(&scenes[1], second) - above(&scenes[0], first),
    })
}

/// What one row of the table says of a bike.
struct Cell {
    sign: Option<Sign>,
    text: String,
}

/// Figures of both bikes, their names between them.
fn table(page: &mut Page, rides: [Ride<'_>; 2], gap: Rect, units: Units) {
    const SIGN: f64 = 1.5;
    let length = |mm: f64| Cell {
        sign: None,
        text: units.length(mm),
    };
    let found = |ride: Ride<'_>, check: CheckId| -> Cell {
        match ride.finding(check) {
            Some(found) => Cell {
                sign: Some(found.sign),
                text: match found.needs {
                    Some(_) => "not checked".to_owned(),
                    None => found.figure(units).unwrap_or_else(|| "none".to_owned()),
                },
            },
            None => Cell {
                sign: None,
                text: "none".to_owned(),
            },
        }
    };
    let saddle = |ride: Ride<'_>| {
        if ride.verdict_sign() == Sign::Fail {
            Cell {
                sign: None,
                text: "does not fit".to_owned(),
            }
        } else {
            length(ride.saddle_height_mm())
        }
    };
    let lean = |ride: Ride<'_>| Cell {
        sign: ride.finding(CheckId::Reach).map(|found| found.sign),
        text: ride.lean_deg().map_or_else(
            || "out of reach".to_owned(),
            |lean| Unit::Degree.show(lean, units),
        ),
    };
    let rows: [(&str, [Cell; 2]); 5] = [
        (
            "standover clearance",
            rides.map(|ride| found(ride, CheckId::Standover)),
        ),
        ("saddle height to set", rides.map(saddle)),
        ("torso lean", rides.map(lean)),
        (
            "bracket above ground",
            rides.map(|ride| length(ride.machine.bottom_bracket_height_mm())),
        ),
        (
            "wheelbase",
            rides.map(|ride| length(ride.machine.wheelbase_mm())),
        ),
    ];
    let middle = gap.centre().x;
    let widest = rows
        .iter()
        .map(|(name, _)| NAME.width(name))
        .fold(0.0, f64::max);
    for (index, (name, cells)) in rows.into_iter().enumerate() {
        let y = TABLE + ROW * index as f64;
        page.write(Spot::new(middle, y), Align::Middle, NAME, widest, name);
        for (cell, outwards) in cells.into_iter().zip([-1.0, 1.0]) {
            let x = middle + outwards * (widest / 2.0 + 3.0);
            let align = if outwards < 0.0 {
                Align::Right
            } else {
                Align::Left
            };
            let wide = page.write(Spot::new(x, y), align, VALUE, 60.0, &cell.text);
            if let Some(sign) = cell.sign {
                let x = x + outwards * (wide + 3.0);
                let centre = Spot::new(x, y - VALUE.below_middle());
                page.add_above(
                    sign.word(),
                    Sign::place(centre, SIGN),
                    sign.draw(centre, SIGN),
                );
            }
        }
    }
    let note = "Words on the level lines: how the bike on the right has it.";
    page.write(
        Spot::new(A4_LONG - MARGIN, A4_SHORT - 13.0),
        Align::Right,
        LEGEND,
        A4_LONG / 2.0,
        note,
    );
}
