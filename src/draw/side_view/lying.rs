//! The side view on A4 lying: the drawing in the middle, call-outs in columns, upright dimensions outside of them.
//! Upright dimensions stand outside so that no leader has to cross one.
//! What is drawn and said is in the files beside this one.

use crate::draw::arrows::{SHORT, TAIL};
use crate::draw::callout::{Callout, Columns, Side, Tie};
use crate::draw::column;
use crate::draw::facts::{CheckId, caution};
use crate::draw::ground::{ground, scale_bar};
use crate::draw::heading;
use crate::draw::legend::{Key, legend};
use crate::draw::page::{A4_LONG, A4_SHORT, MARGIN, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::plan::Picture;
use crate::draw::scene::Scene;
use crate::draw::side_view::levers::INSET;
use crate::draw::side_view::order::{Show, SideView};
use crate::draw::sign::Sign;

/// A sheet with a bike and no rider on it, mm.
const LOW_HEIGHT: f64 = 166.0;
/// Width of a column, mm.
const COLUMN: f64 = 51.0;
/// From the sheet's margin to a column: an upright dimension stands between.
const OUTSIDE: f64 = 5.0;
/// From a column to an inset beside it, mm.
const BESIDE_COLUMN: f64 = 5.0;
/// Longest leader, mm.
const FAR: f64 = 92.0;
/// Between the drawing and the columns at least, mm.
const INSIDE: f64 = 6.0;
/// The drawing begins here, mm from the top, where nothing fails.
const TOP: f64 = 27.0;
/// From the sheet's foot: ground, end of the columns, scale bar, first row of the legend, mm.
const GROUND: f64 = 32.0;
const COLUMNS_END: f64 = 33.0;
const SCALE_BAR: f64 = 23.0;
const LEGEND_ROW: f64 = 15.5;

/// What is on the left ends here, what is on the right begins at the mirrored place.
const LEFT: f64 = MARGIN + OUTSIDE + COLUMN;

pub(super) fn picture(side_view: SideView<'_>) -> Picture {
    let height = match side_view.show {
        Show::All => A4_SHORT,
        Show::SetUp => LOW_HEIGHT,
    };
    let mut page = Page::new(
        A4_LONG,
        height,
        &side_view.title(),
        &side_view.description(),
    );
    heading::lying(
        &mut page,
        &side_view.title(),
        side_view.ride,
        side_view.units,
    );
    // The banner needs no scale, and the drawing begins under it.
    let rough = Scene::fit(side_view.cast(), room(TOP, height));
    let top = rough.banner(&mut page, TOP - 2.0).max(TOP);
    let mut scene = Scene::fit(side_view.cast(), room(top, height));
    page.scaled(scene.view().scale);

    let columns = columns(&scene, top + 3.0, height);
    scene.behind = columns.outer(Side::Left) - OUTSIDE + 2.0;
    scene.ahead = columns.outer(Side::Right) + OUTSIDE - 2.0;
    page.add(ground(
        scene.ground_y(),
        scene.behind - 3.0,
        scene.ahead + 3.0,
    ));
    scene.bodies(&mut page);
    let (callouts, barriers) = dimensions(&scene, &mut page, &columns);
    column::write(&mut page, &columns, callouts, &barriers);

    scale_bar(
        &mut page,
        Spot::new(MARGIN, height - SCALE_BAR),
        scene.view().scale,
        side_view.units,
    );
    legend(&mut page, height - LEGEND_ROW, &keys(&scene));
    heading::caution(&mut page, caution());
    page.finish()
}

/// Where the drawing stands: between the columns, above the ground.
fn room(top: f64, height: f64) -> Rect {
    let left = LEFT + INSIDE;
    Rect::new(left, top, A4_LONG - 2.0 * left, height - GROUND - top)
}

/// Columns as near to a slim drawing as its strips and leaders allow.
fn columns(scene: &Scene<'_>, top: f64, height: f64) -> Columns {
    /// Room for strips and slanting leaders beside a slim drawing.
    const BESIDE: f64 = 24.0;
    let place = scene.place();
    Columns {
        width: COLUMN,
        left: (place.x - BESIDE).max(LEFT),
        right: (place.right() + BESIDE).min(A4_LONG - LEFT),
        top,
        bottom: height - COLUMNS_END,
        far: FAR,
    }
}

/// Draws every dimension; returns what there is to say and what must be kept clear.
fn dimensions(
    scene: &Scene<'_>,
    page: &mut Page,
    columns: &Columns,
) -> (Vec<Callout>, Vec<(Side, Rect)>) {
    let mut callouts = vec![scene.seat_height(page)];
    let mut barriers = vec![(Side::Left, level(&[scene.saddle_top().y]))];
    if scene.shows_settings() {
        callouts.extend(scene.saddle_height(page));
        callouts.extend(scene.exposed_post(page));
        callouts.extend(scene.mark(page));
    }
    if scene.shows_all() {
        callouts.push(scene.gauge(page));
        callouts.extend(scene.standover(page));
        if let Some((straddle, _)) = scene.ride.machine.straddle() {
            barriers.extend(levels(scene.spot(straddle).y, scene.crotch_y()));
        }
        callouts.push(scene.torso_lean(page));
        callouts.extend(scene.knee(page));
        callouts.extend(scene.toe_clearance(page));
    }
    if scene.shows_settings() {
        let beside = Rect::new(
            columns.right - BESIDE_COLUMN - INSET[0],
            columns.top - 2.0,
            INSET[0],
            INSET[1],
        );
        // Beside the column where the rider leaves room, else in it.
        let is_free = scene
            .upper_body()
            .is_none_or(|rider| !rider.overlaps(beside))
            && !scene.hands().overlaps(beside);
        let place = if is_free {
            beside
        } else {
            Rect::new(columns.right, columns.top, INSET[0], INSET[1])
        };
        if let Some(mut lever) = scene.lever_inset(page, place) {
            if !is_free {
                barriers.push((Side::Right, place));
                lever.tie = Tie::Under(place.centre());
            }
            callouts.push(lever);
        }
    } else if !scene.tone(CheckId::BrakeLever).is_empty() {
        callouts.extend(scene.lever(page));
    }
    for mut failing in scene.other_failures(page) {
        let room = columns.bottom - columns.top - failing.height(columns.width);
        let full = |side| {
            let own = callouts.iter().filter(|callout| callout.side == side);
            let kept: f64 = barriers
                .iter()
                .filter(|(at, _)| *at == side)
                .map(|(_, place)| place.height + 4.0)
                .sum();
            columns.fill(own) + kept
        };
        // The banner names it in any case. The right column is the fuller one, up to a little past the middle.
        let sides = match &failing.tie {
            Tie::Leader(places) if places.iter().all(|place| place.x < 0.55 * A4_LONG) => {
                [Side::Left, Side::Right]
            }
            _ => [Side::Right, Side::Left],
        };
        let side = sides.into_iter().find(|side| full(*side) <= room);
        if let Some(side) = side {
            failing.side = side;
            callouts.push(failing);
        }
    }
    (callouts, barriers)
}

/// The levels of top tube and crotch across the right column; one box where no call-out goes between.
fn levels(tube: f64, crotch: f64) -> Vec<(Side, Rect)> {
    const BETWEEN: f64 = 26.0;
    // A short dimension has its arrows outside.
    let outside = if (tube - crotch).abs() < SHORT {
        TAIL
    } else {
        0.0
    };
    let boxes = if (tube - crotch).abs() < BETWEEN {
        vec![level(&[
            tube.min(crotch) - outside,
            tube.max(crotch) + outside,
        ])]
    } else {
        vec![level(&[tube]), level(&[crotch])]
    };
    boxes
        .into_iter()
        .map(|place| (Side::Right, place))
        .collect()
}

/// A box across a column round level lines.
fn level(ys: &[f64]) -> Rect {
    const HALF: f64 = 0.6;
    let low = ys.iter().copied().fold(f64::INFINITY, f64::min) - HALF;
    let high = ys.iter().copied().fold(f64::NEG_INFINITY, f64::max) + HALF;
    Rect::new(0.0, low, 0.0, high - low)
}

/// What the drawing uses and a reader may not know.
fn keys(scene: &Scene<'_>) -> Vec<Key> {
    let mut keys = Vec::new();
    if scene.shows_settings() && scene.ride.machine.knows_mark() {
        keys.push(Key::Mark);
    }
    if scene.shows_all() {
        keys.extend([Key::Range, Key::Wanted, Key::Setting, Key::Doubt]);
        if scene.ghost().is_some() {
            keys.push(Key::Ghost);
        }
        keys.extend(Sign::ALL.map(Key::Status));
    }
    if scene.ride.machine.has_assumed() {
        keys.push(Key::Assumed);
    }
    keys
}
