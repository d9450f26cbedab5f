//! Two bikes for a phone: one above the other, each on its ground line, both at one scale, the same rider on each.
//! Level lines lead to numbers at the sheet's edges; the rows with the differences stand below.
//! What is compared, and in which words, is the files' beside this one.

use crate::draw::facts::{Ride, caution};
use crate::draw::ground::ground;
use crate::draw::heading;
use crate::draw::lettering::{SUBTITLE, VALUE};
use crate::draw::number::DISC;
use crate::draw::page::{Align, NARROW, Page};
use crate::draw::paper::Spot;
use crate::draw::plan::Picture;
use crate::draw::scene::{Cast, Scene};
use crate::draw::sign::Sign;
use crate::draw::two_bikes::order::{BIKE, Both};
use crate::draw::two_bikes::{levels, table};
use crate::draw::view::{View, scale};
use crate::units::Units;

/// Highest that either drawing gets, mm.
const DRAWING: f64 = 84.0;
/// Kept free beside the drawings for the numbers, mm.
const BESIDE: f64 = 2.0 * DISC + 4.5;

pub(super) fn picture(both: Both<'_>) -> Picture {
    let mut page = Page::narrow(&both.title(), &both.description("one above the other"));
    let last = fill(&mut page, both);
    heading::end(&mut page, caution(), last);
    page.finish()
}

/// Everything but the caution; returns where it ends, mm.
fn fill(page: &mut Page, both: Both<'_>) -> f64 {
    let casts = both.casts();
    let y = heading::title(page, &both.heading());
    let measurements = both.measurements(["above", "below"]);
    let mut y = heading::lines(page, SUBTITLE, &measurements, y);
    let scale = one_scale(casts);
    page.scaled(scale);
    // Where each stands is known only once it is clear what stands above it.
    let scenes = casts.map(|cast| {
        let top = name(page, cast.ride, both.units, y + 5.0);
        let scene = standing(cast, scale, top);
        y = scene.ground_y() + 5.0;
        scene
    });
    let levels = levels::all(&scenes, both.units);
    for (bike, scene) in scenes.iter().enumerate() {
        page.add(ground(scene.ground_y(), 2.0, NARROW - 2.0));
        scene.bodies(page);
        levels::upright(page, scene, &levels, bike);
    }
    table::upright(page, both, &levels, y + 6.0) - 4.0
}

/// The largest scale that holds either.
fn one_scale(casts: [Cast<'_>; 2]) -> f64 {
    let [across, up] = casts.iter().fold([0.0_f64; 2], |[across, up], cast| {
        let extent = cast.extent();
        let height = extent.high - cast.ride.machine.ground_y();
        [across.max(extent.width()), up.max(height)]
    });
    scale(across, up, NARROW - 2.0 * BESIDE, DRAWING)
}

/// A bike in the middle of the sheet under what stands at `top`.
fn standing(cast: Cast<'_>, scale: f64, top: f64) -> Scene<'_> {
    let extent = cast.extent();
    let left = (NARROW - extent.width() / scale) / 2.0;
    let origin = Spot::new(left - extent.left / scale, top + extent.high / scale);
    Scene::at(cast, View::new(scale, origin))
}

/// A bike's name, its verdict, the reason and what to read first, from the base line `y` down; returns where they end.
fn name(page: &mut Page, ride: Ride<'_>, units: Units, y: f64) -> f64 {
    const LEADING: f64 = 6.2;
    let left = page.margin();
    let room = page.width() - 2.0 * left;
    let name = crate::words::clean(ride.bike_name());
    let mut y = y;
    for words in BIKE.wrapped_to(&name, room, 2) {
        page.write(Spot::new(left, y), Align::Left, BIKE, room, &words);
        y += LEADING;
    }
    y += 3.2;
    let (_, sure) = heading::verdict(page, ride, Spot::new(left, y), Align::Left, room);
    y += 7.6;
    let is_out = ride.verdict_sign() == Sign::Fail;
    let of_reason = VALUE.class(if is_out { "fail" } else { "quiet" });
    let small = VALUE.sized(3.3);
    for (words, face) in [
        (ride.reason(units), of_reason),
        (sure, small),
        (ride.to_read(), small),
    ] {
        if let Some(words) = words {
            y = heading::lines(page, face, &words, y);
        }
    }
    y - 3.0
}
