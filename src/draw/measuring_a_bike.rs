//! How to take a bike's figures with a tape: a bike from the side, each figure numbered as in a frame file to fill in.
//! Which figures, and how each is taken, is `bike::figure`'s; the bike is one of the samples with its post right down.
//! No rider and no fit is shown.

use std::f64::consts::FRAC_PI_2;

use crate::bike::figure::{CRANK_HOW, CRANK_NUMBER, DECIDING, Figure, SHARPER};
use crate::bike::library;
use crate::draw::arrows::aid;
use crate::draw::bicycle::{Bicycle, Stance, extent};
use crate::draw::facts::Machine;
use crate::draw::ground::ground;
use crate::draw::lettering::{CAUTION, HEADING, NAME, TITLE, VALUE};
use crate::draw::page::{A4_LONG, A4_SHORT, Align, MARGIN, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::plan::Picture;
use crate::draw::view::View;
use crate::plane::Point;

/// The bike drawn.
const SAMPLE: &str = "trail-20";
/// Ground, mm from the top.
const GROUND: f64 = 176.0;
/// Room for the bike between the upright dimensions.
const ROOM: Rect = Rect::new(34.0, 40.0, 138.0, GROUND - 40.0);
/// The words beside it.
const WORDS: f64 = 194.0;
const WORDS_WIDE: f64 = A4_LONG - MARGIN - WORDS;
const LEADING: f64 = 4.4;
/// The long dimensions under the bracket and the axles, mm.
const UNDER: f64 = 12.0;

/// How to take a bike's figures with a tape.
pub fn measuring_a_bike() -> Picture {
    let mut page = Page::new(
        A4_LONG,
        A4_SHORT,
        "How to measure a bike",
        "A bike from the side on level ground, post right down, nine lengths numbered: five decide whether it fits, four sharpen the answer.",
    );
    let room = A4_LONG - 2.0 * MARGIN;
    let title = "A bike in five figures, and four more to be sharper";
    page.write(Spot::new(MARGIN, 15.0), Align::Left, TITLE, room, title);
    let how = "Level ground, tyres pumped up, wheels straight. Middle of an axle is the middle of its bolt.";
    page.write(Spot::new(MARGIN, 22.0), Align::Left, NAME, room, how);
    if let Some(bike) = library::sample(SAMPLE) {
        drawing(&mut page, Machine::new(&bike));
    }
    words(&mut page);
    let last = "Post raised to its mark: the mark stays hidden in the tube. Measure twice; plain numbers in the file are millimetres.";
    page.write(
        Spot::new(MARGIN, A4_SHORT - 6.0),
        Align::Left,
        CAUTION,
        room,
        last,
    );
    page.finish()
}

fn drawing(page: &mut Page, machine: Machine<'_>) {
    let view = View::fit(extent(machine), ROOM);
    page.scaled(view.scale);
    page.add(ground(GROUND, MARGIN, WORDS - 6.0));
    let [lowest, highest] = machine.post_range();
    let bicycle = Bicycle { machine, view };
    bicycle.put(
        page,
        Stance {
            position: lowest,
            lever_gap_mm: None,
            crank_angle: FRAC_PI_2,
            pedal_tilt: 0.0,
        },
    );
    let points = machine.points();
    let bracket = view.spot(Point::origin());
    let grip = view.spot(points.grip);
    let [low, high] = [lowest, highest].map(|position| view.spot(machine.on_post(position)));
    let floor = |x: f64| Spot::new(x, GROUND);
    // Upright, from the ground.
    let foot = floor(bracket.x);
    page.dimension("1", "", foot, bracket);
    let low_down = foot.towards(bracket, 0.3);
    let beside = low_down.moved(1.6, VALUE.below_middle());
    write(page, "1", low_down, beside, Align::Left);
    upright(page, 2, low, ROOM.x - 4.0);
    upright(page, 3, high, ROOM.x - 15.0);
    if let Some((straddle, _)) = machine.straddle() {
        upright(page, 4, view.spot(straddle), view.spot(straddle).x);
    }
    upright(page, 6, grip, ROOM.right() + 9.0);
    // Across and along.
    let above = high.y.min(grip.y) - 9.0;
    let [from, to] = [bracket.x, grip.x].map(|x| Spot::new(x, above));
    page.add(aid(bracket, from));
    page.add(aid(grip, to));
    number(page, 7, from, to);
    if let Some(pedal) = machine.pedal(FRAC_PI_2) {
        below(page, CRANK_NUMBER, (bracket, view.spot(pedal)), 5.5, 0.5);
    }
    // Their numbers stand between the wheels, on white.
    let [front, rear] = [points.front_axle, points.rear_axle].map(|axle| view.spot(axle));
    below(page, 8, (bracket, front), UNDER, 0.41);
    below(page, 9, (bracket, rear), UNDER, 0.15);
    page.mark(
        "bike",
        Rect::new(ROOM.x, above, ROOM.width, floor(0.0).y - above),
    );
}

/// An upright from the ground to the height of a spot, at `x`.
fn upright(page: &mut Page, place: usize, top: Spot, x: f64) {
    let end = Spot::new(x, top.y);
    if (top.x - x).abs() > 1.0 {
        page.add(aid(top, end.moved((x - top.x).signum() * 1.5, 0.0)));
    }
    number(page, place, Spot::new(x, GROUND), end);
}

/// A dimension so far under what lies along it, with its number underneath at a share of the way.
fn below(page: &mut Page, number: usize, (bracket, end): (Spot, Spot), by: f64, share: f64) {
    let name = number.to_string();
    let [from, to] = [bracket, end].map(|spot| spot.moved(0.0, by));
    page.add(aid(end, to.moved(0.0, 1.5)));
    page.dimension(&name, "", from, to);
    let place = from.towards(to, share);
    write(page, &name, place, place.moved(0.0, 4.9), Align::Middle);
}

/// A dimension with its number beside it.
fn number(page: &mut Page, number: usize, from: Spot, to: Spot) {
    let name = number.to_string();
    page.dimension(&name, "", from, to);
    let middle = from.towards(to, 0.5);
    let is_level = (to.x - from.x).abs() > (to.y - from.y).abs();
    let (at, align) = if is_level {
        (middle.moved(0.0, -1.8), Align::Middle)
    } else {
        (middle.moved(1.6, VALUE.below_middle()), Align::Left)
    };
    write(page, &name, middle, at, align);
}

/// What no tape on the drawing shows, and decides for a small hand.
const LEVERS: &str =
    "With hand brakes also the gap from lever to grip, at each lever, screwed in and out.";

/// Which of them are left without cranks: those that [`Figure::is_from_crank`] leaves.
const BALANCE: &str = "A balance bike has no cranks to measure from: 2, 3, 4 and 6 are all of it.";

fn write(page: &mut Page, name: &str, about: Spot, at: Spot, align: Align) {
    page.write_about((name, about), at, align, VALUE.sized(5.0), 12.0, name);
}

fn words(page: &mut Page) {
    let crank = (CRANK_NUMBER, "crank length".to_owned(), CRANK_HOW);
    let named = |first: usize, figures: [Figure; 4]| {
        (first..)
            .zip(figures)
            .map(|(number, figure)| (number, figure.key().replace('_', " "), figure.how()))
    };
    let mut y = 38.0;
    for (heading, rows) in [
        (
            "What decides",
            named(1, DECIDING).chain([crank]).collect::<Vec<_>>(),
        ),
        ("Sharper", named(CRANK_NUMBER + 1, SHARPER).collect()),
    ] {
        let at = Spot::new(WORDS, y);
        page.write(at, Align::Left, HEADING, WORDS_WIDE, heading);
        y += 6.6;
        for (number, name, how) in rows {
            let line = format!("{number}  {name}");
            let at = Spot::new(WORDS, y);
            page.write(at, Align::Left, VALUE, WORDS_WIDE, &line);
            y += LEADING;
            for line in NAME.wrapped(how, WORDS_WIDE - 6.0) {
                let at = Spot::new(WORDS + 6.0, y);
                page.write(at, Align::Left, NAME, WORDS_WIDE - 6.0, &line);
                y += LEADING;
            }
            y += 1.6;
        }
        y += 3.0;
    }
    for note in [LEVERS, BALANCE] {
        for line in NAME.wrapped(note, WORDS_WIDE) {
            page.write(Spot::new(WORDS, y), Align::Left, NAME, WORDS_WIDE, &line);
            y += LEADING;
        }
        y += 1.6;
    }
}
