//! Two bikes side by side on A4 lying: both whole, on one ground line at one scale, the same rider on each.
//! Level lines lead from one to the other at standover, saddle and grips, with the difference written on them.
//! What is compared, and in which words, is the files' beside this one.

use crate::draw::facts::{Ride, caution};
use crate::draw::ground::{ground, scale_bar};
use crate::draw::heading;
use crate::draw::lettering::{LEGEND, SUBTITLE, VALUE};
use crate::draw::page::{A4_LONG, A4_SHORT, Align, MARGIN, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::plan::Picture;
use crate::draw::scene::{Cast, Scene};
use crate::draw::sign::Sign;
use crate::draw::two_bikes::order::{BIKE, Both};
use crate::draw::two_bikes::{levels, table};
use crate::draw::view::{View, scale};

/// The drawings stand between these, mm from the top; lower where two kinds of words stand over them.
const TOP: f64 = 55.0;
const TOP_UNDER_MORE: f64 = 63.0;
const GROUND: f64 = 157.0;
/// Between the two, where the differences stand, mm: at least, and at most.
const GAP: [f64; 2] = [58.0, 84.0];
/// Names and verdicts, mm from the top.
const NAMES: f64 = 32.0;
const VERDICTS: f64 = 42.0;
const FAILURES: f64 = 49.2;

pub(super) fn picture(both: Both<'_>) -> Picture {
    let (casts, rides, units) = (both.casts(), both.rides(), both.units);
    let description = both.description("on one ground line");
    let mut page = Page::new(A4_LONG, A4_SHORT, &both.title(), &description);
    let room = A4_LONG - 2.0 * MARGIN;
    heading::across(&mut page, &both.heading());
    page.write(
        Spot::new(MARGIN, 21.6),
        Align::Left,
        SUBTITLE,
        room,
        &both.measurements(["on the left", "on the right"]),
    );
    let has_both = |ride: &Ride<'_>| ride.reason(units).and(ride.to_read()).is_some();
    let top = if rides.iter().any(has_both) {
        TOP_UNDER_MORE
    } else {
        TOP
    };
    let scenes = side_by_side(casts, top);
    page.scaled(scenes[0].view().scale);
    page.add(ground(GROUND, MARGIN, A4_LONG - MARGIN));
    for scene in &scenes {
        scene.bodies(&mut page);
    }
    let gap = gap(&scenes, top);
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
    levels::lying(&mut page, &scenes, gap, units);
    table::lying(&mut page, both, gap);
    scale_bar(
        &mut page,
        Spot::new(MARGIN, A4_SHORT - 14.0),
        scenes[0].view().scale,
        units,
    );
    page.write(
        Spot::new(A4_LONG - MARGIN, A4_SHORT - 13.0),
        Align::Right,
        LEGEND,
        A4_LONG / 2.0,
        "Words on the level lines: how the bike on the right has it.",
    );
    heading::caution(&mut page, caution());
    page.finish()
}

/// Both at the largest scale that holds them, on one ground, with a gap between.
fn side_by_side(casts: [Cast<'_>; 2], top: f64) -> [Scene<'_>; 2] {
    const ROOM: f64 = A4_LONG - 2.0 * MARGIN;
    let extents = casts.map(|cast| cast.extent());
    let grounds = casts.map(|cast| cast.ride.machine.ground_y());
    let across = extents[0].width() + extents[1].width();
    let upright = (extents[0].high - grounds[0]).max(extents[1].high - grounds[1]);
    let scale = scale(across, upright, ROOM - GAP[0], GROUND - top);
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
fn gap(scenes: &[Scene<'_>; 2], top: f64) -> Rect {
    let (left, right) = (scenes[0].place().right(), scenes[1].place().x);
    Rect::new(left, top, right - left, GROUND - top)
}

/// A bike's name, its verdict, the reason and what to read first, over it.
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
    let (_, sure) = heading::verdict(
        page,
        ride,
        Spot::new(middle(50.0), VERDICTS),
        Align::Middle,
        half.width,
    );
    // Under the verdict what the text has there: the reason, and what no verdict may pass over.
    let reason = ride.reason(scene.cast.units);
    let to_read = ride.to_read();
    let is_out = ride.verdict_sign() == Sign::Fail;
    let of_reason = VALUE.class(if is_out { "fail" } else { "quiet" });
    let mut y = FAILURES;
    let small = VALUE.sized(3.3);
    for (words, face) in [(reason, of_reason), (sure, small), (to_read, small)] {
        let Some(words) = words else { continue };
        let lines = face.wrapped_to(&words, half.width, 2);
        let widest = lines
            .iter()
            .map(|line| face.width(line))
            .fold(0.0, f64::max);
        for line in lines {
            let at = Spot::new(middle(widest), y);
            page.write_about((&words, above), at, Align::Middle, face, half.width, &line);
            y += 1.15 * face.size;
        }
    }
}
