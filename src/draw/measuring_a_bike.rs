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
use crate::draw::heading;
use crate::draw::lettering::{CAUTION, Face, HEADING, NAME, VALUE};
use crate::draw::page::{A4_LONG, A4_SHORT, Align, Form, MARGIN, NARROW, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::plan::Picture;
use crate::draw::view::View;
use crate::plane::Point;

/// The bike drawn.
const SAMPLE: &str = "trail-20";
/// Where the drawing stands and how large its numbers are, mm of paper.
#[derive(Clone, Copy)]
struct Sheet {
    /// The bike between the upright dimensions; the ground is its lower edge.
    room: Rect,
    /// The ends of the ground.
    ground: [f64; 2],
    numbers: Face,
    /// From the room to the uprights of the saddle, lowest and highest.
    saddle: [f64; 2],
    /// From the bracket down to the crank's dimension, from there to its number.
    crank: [f64; 2],
    /// The side of its dimension that the bracket's number is on.
    beside: Align,
    /// From the bracket, or where there is no room above it from the ground, down to the long dimensions.
    under: Under,
}

#[derive(Clone, Copy)]
enum Under {
    Bracket(f64),
    Ground(f64),
}

/// The words beside the lying drawing, mm.
const WORDS: f64 = 194.0;
const WORDS_WIDE: f64 = A4_LONG - MARGIN - WORDS;
const LEADING: f64 = 4.4;

const LYING: Sheet = Sheet {
    room: Rect::new(34.0, 40.0, 138.0, 136.0),
    ground: [MARGIN, WORDS - 6.0],
    numbers: VALUE.sized(5.0),
    saddle: [4.0, 15.0],
    crank: [5.5, 4.9],
    beside: Align::Left,
    under: Under::Bracket(12.0),
};

const TITLE_WORDS: &str = "A bike in five figures, and four more to be sharper";
const HOW: &str =
    "Level ground, tyres pumped up, wheels straight. Middle of an axle is the middle of its bolt.";
const LAST: &str = "Post raised to its mark: the mark stays hidden in the tube. Measure twice.";

/// How to take a bike's figures with a tape.
pub fn measuring_a_bike(form: Form) -> Picture {
    const TITLE_OF_IT: &str = "How to measure a bike";
    const ABOUT: &str = "A bike from the side on level ground, post right down, nine lengths numbered: five decide whether it fits, four sharpen the answer.";
    let bike = library::sample(SAMPLE);
    let machine = bike.as_deref().map(Machine::new);
    match form {
        Form::Lying => lying(Page::new(A4_LONG, A4_SHORT, TITLE_OF_IT, ABOUT), machine),
        Form::Upright => upright_sheet(Page::narrow(TITLE_OF_IT, ABOUT), machine),
    }
}

/// The words beside the drawing.
fn lying(mut page: Page, machine: Option<Machine<'_>>) -> Picture {
    let room = A4_LONG - 2.0 * MARGIN;
    heading::across(&mut page, TITLE_WORDS);
    page.write(Spot::new(MARGIN, 22.0), Align::Left, NAME, room, HOW);
    if let Some(machine) = machine {
        drawing(&mut page, machine, LYING);
    }
    words(&mut page, Spot::new(WORDS, 38.0), WORDS_WIDE);
    page.write(
        Spot::new(MARGIN, A4_SHORT - 6.0),
        Align::Left,
        CAUTION,
        room,
        LAST,
    );
    page.finish()
}

/// The words below it.
fn upright_sheet(mut page: Page, machine: Option<Machine<'_>>) -> Picture {
    /// Highest that the bike gets with the long dimension over it, and what the two under the ground take, mm.
    const DRAWING: f64 = 50.0;
    const BELOW: f64 = 16.0;
    let left = page.margin();
    let y = heading::title(&mut page, TITLE_WORDS);
    let top = heading::lines(&mut page, NAME, HOW, y);
    let sheet = Sheet {
        room: Rect::new(22.0, top, 58.0, DRAWING),
        ground: [left, NARROW - left],
        numbers: VALUE.sized(4.0),
        saddle: [7.0, 16.0],
        crank: [2.6, 3.8],
        beside: Align::Right,
        under: Under::Ground(3.5),
    };
    if let Some(machine) = machine {
        drawing(&mut page, machine, sheet);
    }
    let at = Spot::new(left, sheet.room.bottom() + BELOW);
    let y = words(&mut page, at, NARROW - 2.0 * left);
    let last = heading::lines(&mut page, CAUTION, LAST, y + 3.0);
    page.end(last.ceil());
    page.finish()
}

fn drawing(page: &mut Page, machine: Machine<'_>, sheet: Sheet) {
    let room = sheet.room;
    let ground_y = room.bottom();
    let view = View::fit(extent(machine), room);
    page.scaled(view.scale);
    let [from, to] = sheet.ground;
    page.add(ground(ground_y, from, to));
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
    let mut drawn = Drawn { page, sheet };
    // Upright, from the ground.
    let foot = Spot::new(bracket.x, ground_y);
    drawn.page.dimension("1", "", foot, bracket);
    let low_down = foot.towards(bracket, 0.3);
    let aside = if sheet.beside == Align::Left {
        1.6
    } else {
        -1.6
    };
    let beside = low_down.moved(aside, sheet.numbers.below_middle());
    drawn.write("1", low_down, beside, sheet.beside);
    let [to_low, to_high] = sheet.saddle;
    drawn.upright(2, low, room.x - to_low);
    drawn.upright(3, high, room.x - to_high);
    if let Some((straddle, _)) = machine.straddle() {
        drawn.upright(4, view.spot(straddle), view.spot(straddle).x);
    }
    drawn.upright(6, grip, room.right() + 9.0);
    // Across and along.
    let above = high.y.min(grip.y) - 9.0;
    let [from, to] = [bracket.x, grip.x].map(|x| Spot::new(x, above));
    drawn.page.add(aid(bracket, from));
    drawn.page.add(aid(grip, to));
    drawn.number(7, from, to);
    if let Some(pedal) = machine.pedal(FRAC_PI_2) {
        drawn.below(CRANK_NUMBER, (bracket, view.spot(pedal)), sheet.crank, 0.5);
    }
    // Their numbers stand between the wheels, on white.
    let by = match sheet.under {
        Under::Bracket(by) => by,
        Under::Ground(by) => ground_y - bracket.y + by,
    };
    let [front, rear] = [points.front_axle, points.rear_axle].map(|axle| view.spot(axle));
    let by = [by, 0.98 * sheet.numbers.size];
    drawn.below(8, (bracket, front), by, 0.41);
    drawn.below(9, (bracket, rear), by, 0.15);
    drawn.page.mark(
        "bike",
        Rect::new(room.x, above, room.width, ground_y - above),
    );
}

/// The sheet that dimensions and their numbers are put on.
struct Drawn<'p> {
    page: &'p mut Page,
    sheet: Sheet,
}

impl Drawn<'_> {
    /// An upright from the ground to the height of a spot, at `x`.
    fn upright(&mut self, place: usize, top: Spot, x: f64) {
        let end = Spot::new(x, top.y);
        if (top.x - x).abs() > 1.0 {
            let beyond = end.moved((x - top.x).signum() * 1.5, 0.0);
            self.page.add(aid(top, beyond));
        }
        self.number(place, Spot::new(x, self.sheet.room.bottom()), end);
    }

    /// A dimension so far under what lies along it, with its number underneath at a share of the way.
    fn below(
        &mut self,
        number: usize,
        (bracket, end): (Spot, Spot),
        [by, down]: [f64; 2],
        share: f64,
    ) {
        let name = number.to_string();
        // Level under the bracket.
        let from = bracket.moved(0.0, by);
        let to = match self.sheet.under {
            Under::Ground(_) if number > CRANK_NUMBER => Spot::new(end.x, from.y),
            _ => end.moved(0.0, by),
        };
        self.page.add(aid(end, to.moved(0.0, 1.5)));
        self.page.dimension(&name, "", from, to);
        let place = from.towards(to, share);
        self.write(&name, place, place.moved(0.0, down), Align::Middle);
    }

    /// A dimension with its number beside it.
    fn number(&mut self, number: usize, from: Spot, to: Spot) {
        let name = number.to_string();
        self.page.dimension(&name, "", from, to);
        let middle = from.towards(to, 0.5);
        let is_level = (to.x - from.x).abs() > (to.y - from.y).abs();
        let (at, align) = if is_level {
            (middle.moved(0.0, -1.8), Align::Middle)
        } else {
            let down = self.sheet.numbers.below_middle();
            (middle.moved(1.6, down), Align::Left)
        };
        self.write(&name, middle, at, align);
    }

    fn write(&mut self, name: &str, about: Spot, at: Spot, align: Align) {
        let face = self.sheet.numbers;
        self.page
            .write_about((name, about), at, align, face, 12.0, name);
    }
}

/// What no tape on the drawing shows, and decides for a small hand.
const LEVERS: &str =
    "With hand brakes also the gap from lever to grip, at each lever, screwed in and out.";

/// Which of them are left without cranks: those that [`Figure::is_from_crank`] leaves.
const BALANCE: &str = "A balance bike has no cranks to measure from: 2, 3, 4 and 6 are all of it.";

/// What each number is and how it is taken, from a spot down; returns the next base line, mm.
fn words(page: &mut Page, from: Spot, wide: f64) -> f64 {
    let crank = (CRANK_NUMBER, "crank length".to_owned(), CRANK_HOW);
    let named = |first: usize, figures: [Figure; 4]| {
        (first..)
            .zip(figures)
            .map(|(number, figure)| (number, figure.key().replace('_', " "), figure.how()))
    };
    let mut y = from.y;
    for (heading, rows) in [
        (
            "What decides",
            named(1, DECIDING).chain([crank]).collect::<Vec<_>>(),
        ),
        ("Sharper", named(CRANK_NUMBER + 1, SHARPER).collect()),
    ] {
        page.write(Spot::new(from.x, y), Align::Left, HEADING, wide, heading);
        y += 6.6;
        for (number, name, how) in rows {
            let line = format!("{number}  {name}");
            page.write(Spot::new(from.x, y), Align::Left, VALUE, wide, &line);
            y += LEADING;
            for line in NAME.wrapped(how, wide - 6.0) {
                let at = Spot::new(from.x + 6.0, y);
                page.write(at, Align::Left, NAME, wide - 6.0, &line);
                y += LEADING;
            }
            y += 1.6;
        }
        y += 3.0;
    }
    for note in [LEVERS, BALANCE] {
        for line in NAME.wrapped(note, wide) {
            page.write(Spot::new(from.x, y), Align::Left, NAME, wide, &line);
            y += LEADING;
        }
        y += 1.6;
    }
    y
}
