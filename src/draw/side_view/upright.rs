//! The side view for a phone: narrow and upright, numbers in the drawing, their words in rows below it.
//! The same dimensions and the same words as on the lying sheet.
//! Numbers stand beside their places, clear of each other.

use crate::draw::callout::{Callout, Tie};
use crate::draw::facts::{CheckId, caution};
use crate::draw::ground::ground;
use crate::draw::heading;
use crate::draw::legend::{Key, legend};
use crate::draw::lettering::{Face, HEADING, NAME, NOTE};
use crate::draw::number::{self, DISC};
use crate::draw::page::{Align, NARROW, Page};
use crate::draw::paper::{Rect, Spot, cross};
use crate::draw::pen::{group, line};
use crate::draw::plan::Picture;
use crate::draw::scene::Scene;
use crate::draw::side_view::order::SideView;
use crate::draw::sign::Sign;

const WIDTH: f64 = NARROW;
/// Highest that the drawing gets, mm.
const DRAWING: f64 = 100.0;
/// Kept free beside the drawing for upright dimensions and numbers, mm.
const BESIDE: f64 = 9.0;
const FIGURE: Face = HEADING.sized(4.4);
/// Between the base lines of a row, and from row to row, mm.
const LEADING: f64 = 4.2;
const BETWEEN: f64 = 3.2;

pub(super) fn picture(side_view: SideView<'_>) -> Picture {
    let mut page = Page::narrow(&side_view.title(), &side_view.description());
    let last = fill(&mut page, side_view);
    heading::end(&mut page, caution(), last);
    page.finish()
}

/// Everything but the caution; returns where it ends, mm.
fn fill(page: &mut Page, side_view: SideView<'_>) -> f64 {
    const FREE: f64 = 3.0;
    let head = heading::upright(page, &side_view.title(), side_view.ride, side_view.units);
    let rough = Scene::fit(side_view.cast(), room(head));
    let top = rough.banner(page, head - 3.0).max(head) + FREE;
    let mut scene = Scene::fit(side_view.cast(), room(top));
    // The drawing moves up to what stands above it.
    let place = scene.place();
    let spare = place.y - top - DISC;
    scene = Scene::fit(
        side_view.cast(),
        Rect::new(BESIDE, top - spare, WIDTH - 2.0 * BESIDE, DRAWING),
    );
    page.scaled(scene.view().scale);
    let place = scene.place();
    scene.behind = place.x - 3.5;
    scene.ahead = place.right() + 3.5;
    let ground_y = scene.ground_y();
    page.add(ground(ground_y, 2.0, WIDTH - 2.0));
    scene.bodies(page);
    let callouts = dimensions(&scene, page);
    let mut discs: Vec<Rect> = Vec::new();
    let mut y = ground_y + 8.5;
    for (index, callout) in callouts.iter().enumerate() {
        put_number(page, &callouts, index, &mut discs);
        y = row(page, callout, index + 1, y);
    }
    legend(page, y + 1.0, &keys(&scene)) + 2.5
}

fn room(top: f64) -> Rect {
    Rect::new(BESIDE, top, WIDTH - 2.0 * BESIDE, DRAWING)
}

/// The failing call-outs first, then in the order of the work.
fn dimensions(scene: &Scene<'_>, page: &mut Page) -> Vec<Callout> {
    let mut callouts = Vec::new();
    if scene.shows_settings() {
        callouts.extend(scene.saddle_height(page));
        callouts.extend(scene.exposed_post(page));
        callouts.extend(scene.mark(page));
    }
    callouts.push(scene.seat_height(page));
    if scene.shows_settings() || !scene.tone(CheckId::BrakeLever).is_empty() {
        callouts.extend(scene.lever(page));
    }
    if scene.shows_all() {
        callouts.push(scene.gauge(page));
        callouts.extend(scene.standover(page));
        callouts.push(scene.torso_lean(page));
        callouts.extend(scene.knee(page));
        callouts.extend(scene.toe_clearance(page));
    }
    callouts.extend(scene.other_failures(page));
    callouts.sort_by_key(|callout| !callout.is_failing());
    callouts
}

/// Puts a number beside the place that it stands for, clear of other numbers and of dimensions.
fn put_number(page: &mut Page, callouts: &[Callout], index: usize, discs: &mut Vec<Rect>) {
    let callout = &callouts[index];
    let places = places(callout);
    let others: Vec<Spot> = callouts
        .iter()
        .filter(|other| other.name != callout.name)
        .filter_map(|other| self::places(other).first().copied())
        .collect();
    let disc_at = |spot: Spot| Rect::around(spot, DISC + 0.3, DISC + 0.3);
    let sheet = Rect::new(0.0, 0.0, WIDTH, f64::INFINITY);
    // Nearest first, turning from the right upwards.
    let candidates = (0..10).flat_map(|ring| {
        let turn = (0..24).map(move |step| f64::from(step) * std::f64::consts::TAU / 24.0);
        let places = &places;
        turn.flat_map(move |angle| {
            let away = 4.4 + 1.8 * f64::from(ring);
            places
                .iter()
                .map(move |place| (place.polar(angle, away), *place))
        })
    });
    let is_free = |(at, _): &(Spot, Spot)| {
        let disc = disc_at(*at);
        sheet.holds(disc) && discs.iter().all(|other| !other.overlaps(disc))
    };
    let plan = page.plan();
    // How much a number there gets in the way of: other numbers' discs and leaders first, dimensions next.
    let hindrance = |at: Spot, place: Spot| {
        let disc = disc_at(at);
        let short_of = at.towards(place, 1.0 - 0.4 / at.distance(place));
        let crosses = |from: Spot, to: Spot| cross((at, short_of), (from, to));
        let dimensions = plan
            .dimensions
            .iter()
            .filter(|one| one.what != callout.name);
        let crossed = dimensions
            .flat_map(|one| one.path.windows(2))
            .filter(|stroke| crosses(stroke[0], stroke[1]))
            .count();
        let covered = discs.iter().filter(|other| other.meets(at, place)).count();
        let met = plan
            .leaders
            .iter()
            .filter(|leader| crosses(leader.from, leader.to) || disc.meets(leader.from, leader.to))
            .count();
        let on = |spot: &&Spot| disc.holds(Rect::around(**spot, 0.0, 0.0));
        let hidden = others.iter().filter(on).count();
        crossed + 10 * (covered + met + hidden)
    };
    // The first of the least, which is the nearest.
    let free = candidates.filter(is_free);
    let Some((at, place)) = free.min_by_key(|(at, place)| hindrance(*at, *place)) else {
        return;
    };
    discs.push(disc_at(at));
    let edge = at.towards(place, DISC / at.distance(place));
    page.leader(&callout.name, edge, place);
    number::put(page, index + 1, at, Some((&callout.name, place)));
}

/// The places that a call-out may be led to.
fn places(callout: &Callout) -> Vec<Spot> {
    match &callout.tie {
        Tie::Leader(places) => places.clone(),
        Tie::Beside(place) | Tie::Under(place) => vec![*place],
        Tie::Nowhere => Vec::new(),
    }
}

/// One row of the list: number, name and figure, and under them how it came out; returns the next row's line.
fn row(page: &mut Page, callout: &Callout, number: usize, y: f64) -> f64 {
    const INDENT: f64 = 8.0;
    const SIGN: f64 = 1.5;
    let margin = page.margin();
    let (left, right) = (margin + INDENT, WIDTH - margin);
    let disc = Spot::new(margin + DISC - 1.0, y - NAME.below_middle());
    if !matches!(callout.tie, Tie::Nowhere) {
        number::put(page, number, disc, None);
    }
    let face = if callout.is_failing() {
        FIGURE.sized(5.6).class("fail")
    } else {
        FIGURE
    };
    let wide = right - left;
    let beside = wide - face.width(&callout.figure) - 2.0;
    let name = NAME.shrunk(&callout.name, beside);
    // A figure that leaves its name no room stands under it.
    let is_under = name.width(&callout.name) > beside;
    let (name, room) = if is_under {
        (NAME, wide)
    } else {
        (name, beside)
    };
    page.write(Spot::new(left, y), Align::Left, name, room, &callout.name);
    let mut y = y;
    if is_under {
        y += LEADING + 2.0;
    }
    page.write(
        Spot::new(right, y),
        Align::Right,
        face,
        wide,
        &callout.figure,
    );
    if let Some(note) = &callout.note {
        let indent = if note.sign.is_some() { 4.2 } else { 0.0 };
        let room = right - left - indent;
        for (index, words) in NOTE.wrapped(&note.words(), room).iter().enumerate() {
            y += LEADING;
            let at = Spot::new(left + indent, y);
            page.write(at, Align::Left, NOTE, room, words);
            if index == 0
                && let Some(sign) = note.sign
            {
                let centre = Spot::new(left + SIGN, y - NOTE.below_middle());
                page.add_above(
                    sign.word(),
                    Sign::place(centre, SIGN),
                    &sign.draw(centre, SIGN),
                );
            }
        }
    }
    let rule = Spot::new(margin, y + BETWEEN / 2.0);
    page.add(group("rule").add(line("hair-line", rule, Spot::new(right, rule.y))));
    y + BETWEEN + 4.0
}

fn keys(scene: &Scene<'_>) -> Vec<Key> {
    let mut keys = Vec::new();
    if scene.shows_settings() && scene.ride.machine.knows_mark() {
        keys.push(Key::Mark);
    }
    if scene.shows_all() {
        keys.extend([Key::Range, Key::Wanted, Key::Setting]);
        if scene.ghost().is_some() {
            keys.push(Key::Ghost);
        }
    }
    if scene.ride.machine.has_assumed() {
        keys.push(Key::Assumed);
    }
    keys
}
