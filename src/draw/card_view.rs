//! The side view for the handover card: the bike alone and what to set on it, on a sheet small enough
//! that its words stay readable on paper, where the card shows it 80 mm wide.
//! What is drawn is `bicycle`; the figures are the fit's own.

use crate::draw::arrows::{SHORT, aid};
use crate::draw::bicycle::{Bicycle, Stance, extent};
use crate::draw::callout::{Callout, Columns, Side, Tie};
use crate::draw::column;
use crate::draw::facts::{CheckId, Found, Ride};
use crate::draw::ground::ground;
use crate::draw::lettering::{FIGURE, Face, NAME};
use crate::draw::page::{Align, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{circle, group};
use crate::draw::plan::Picture;
use crate::draw::sign::Sign;
use crate::draw::view::View;
use crate::fit::Fit;
use crate::plane::Point;
use crate::units::Units;

/// The sheet, mm: a little larger than its place on the card, where its smallest words are 9 pt.
const WIDTH: f64 = 84.0;
/// See [`WIDTH`].
const HEIGHT: f64 = 56.0;
/// Where the bike stands, mm.
const ROOM: Rect = Rect {
    x: 31.0,
    y: 9.0,
    width: 52.0,
    height: 43.0,
};
/// Free edge, mm.
const EDGE: f64 = 1.5;
/// The column of words ends here, mm; the seat height stands left of it.
const COLUMN: f64 = 29.0;
/// Where the seat height's dimension stands, mm.
const UPRIGHT: f64 = 2.8;

/// Where it stands when nothing is set: under the figure that fails.
const ALONE: Rect = Rect {
    x: 13.0,
    y: 17.0,
    width: 58.0,
    height: 35.0,
};

/// The bike with what to set on it, on a sheet of 84 × 56 mm; where it does not fit, with what decides that.
pub fn card_view(fit: &Fit, units: Units) -> Picture {
    let ride = Ride::new(fit);
    let is_set = ride.verdict_sign() == Sign::Ok;
    let (title, description) = if is_set {
        (
            format!("{}, set up for {}", ride.bike_name(), ride.rider_title()),
            format!("Side view to scale. {}.", ride.set_in_words(units)),
        )
    } else {
        (
            ride.bike_name().to_owned(),
            ride.failures().next().map_or_else(
                || "Side view to scale; nothing is set.".to_owned(),
                |found| format!("Side view to scale. {}.", found.against(units)),
            ),
        )
    };
    let mut page = Page::new(WIDTH, HEIGHT, &title, &description);
    let room = if is_set { ROOM } else { ALONE };
    let view = View::fit(extent(ride.machine), room);
    page.scaled(view.scale);
    let machine = Bicycle {
        machine: ride.machine,
        view,
    };
    let gap = ride
        .lever_gap_mm()
        .filter(|_| ride.machine.has_hand_lever());
    let ground_y = view.spot(Point::new(0.0, ride.machine.ground_y())).y;
    page.add(ground(ground_y, EDGE, WIDTH - EDGE));
    if let Some(far) = machine.crank(0.0, 0.0) {
        page.add(far);
    }
    machine.put(
        &mut page,
        Stance {
            position: ride.position(),
            lever_gap_mm: gap,
            crank_angle: std::f64::consts::PI,
            pedal_tilt: 0.0,
        },
    );
    if is_set && ride.machine.knows_mark() {
        page.add(machine.mark(ride.position()));
    }
    if !is_set {
        if let Some(found) = ride.failures().next() {
            failing(&mut page, &machine, ride, found, units);
        }
        return page.finish();
    }
    saddle(&mut page, &machine, ride, units, ground_y);
    if let Some(gap) = gap {
        let name = format!("{} gap", ride.lever_name());
        lever(&mut page, &machine, &name, gap, units);
    }
    page.finish()
}

/// What decides against the bike, over it, led to the dimension that it is about where the bike alone shows one.
fn failing(page: &mut Page, machine: &Bicycle<'_>, ride: Ride<'_>, found: Found<'_>, units: Units) {
    const SIGN: f64 = 1.9;
    const FACE: Face = NAME.sized(4.0);
    const LEADING: f64 = 4.8;
    /// Half of the line at the crotch.
    const BESIDE: f64 = 8.0;
    let sign = ride.heading_sign(&found);
    let face = FACE.class(sign.ink());
    let tone = if sign == Sign::Fail { "failing" } else { "" };
    let bike = ride.machine;
    let spot = |point: Point| machine.view.spot(point);
    let title = found.title();
    let left = EDGE + 3.0 * SIGN;
    let wide = WIDTH - left - EDGE;
    let mut y = 5.0;
    let centre = Spot::new(EDGE + 1.2 * SIGN, y - FACE.below_middle());
    page.add_above(
        sign.word(),
        Sign::place(centre, SIGN),
        &sign.draw(centre, SIGN),
    );
    for line in face.wrapped_to(&found.against(units), wide, 2) {
        page.write(Spot::new(left, y), Align::Left, face, wide, &line);
        y += LEADING;
    }
    let [low, high] = bike.post_range().map(|along| spot(bike.on_post(along)));
    let ground_y = spot(Point::new(0.0, bike.ground_y())).y;
    let behind = machine.view.place(extent(bike)).x - 4.0;
    let upright = |top: Spot, x: f64| (Spot::new(x, ground_y), Spot::new(x, top.y), top);
    let (from, to, of) = match found.check {
        // The air itself: the crotch in shoes above or below the top tube.
        CheckId::Standover => {
            let Some((straddle, _)) = bike.straddle() else {
                return;
            };
            let tube = spot(straddle);
            let crotch = Point::new(0.0, bike.ground_y() + ride.body().inseam_in_shoes_mm());
            let crotch = Spot::new(tube.x, spot(crotch).y);
            page.add(aid(crotch.moved(-BESIDE, 0.0), crotch.moved(BESIDE, 0.0)));
            (crotch, tube, tube)
        }
        // As the figure is told.
        CheckId::SaddleHeight if !bike.tells_saddle_from_ground() => {
            (spot(Point::origin()), low, low)
        }
        CheckId::SaddleHeight | CheckId::GroundContact => upright(low, behind),
        CheckId::LegRoom => upright(high, behind),
        CheckId::BarHeight => {
            let grip = spot(bike.points().grip);
            (Spot::new(grip.x, low.y), grip, low)
        }
        _ => return,
    };
    if of.distance(to) > 1.0 {
        page.add(aid(of, to));
    }
    page.dimension(&title, tone, from, to);
    // Aslant to an arrow that stands outside its ends, in line with which it would be one with it.
    let aside = if from.distance(to) < SHORT {
        BESIDE
    } else {
        0.0
    };
    page.leader(&title, Spot::new(to.x + aside, y - LEADING + 1.6), to);
}

/// What a tape sets, in a column left of the bike: the post to leave showing, and the saddle from the bracket
/// or, on a bike without cranks, from the ground.
fn saddle(page: &mut Page, machine: &Bicycle<'_>, ride: Ride<'_>, units: Units, ground_y: f64) {
    const ASIDE: f64 = 2.2;
    const POST: &str = "post showing";
    let bike = ride.machine;
    let spot = |point: Point| machine.view.spot(point);
    let top = spot(bike.on_post(ride.position()));

    let up = bike.post_up();
    let angle = up.y.atan2(up.x) + std::f64::consts::FRAC_PI_2;
    let clear = ASIDE + machine.view.paper(16.0);
    let aside = |along: f64, by: f64| spot(bike.on_post(along)).polar(angle, by);
    let low = bike.seat_tube_mm();
    let shows = ride.exposed_post_mm();
    let high = low + shows.unwrap_or_default();
    if shows.is_some() {
        for along in [low, high] {
            page.add(aid(aside(along, 0.0), aside(along, clear + 0.8)));
        }
        page.dimension(POST, "", aside(low, clear), aside(high, clear));
    }

    let post = [0.5, 0.75, 0.3].map(|share| aside(low + share * (high - low), clear));
    let say = |name: &str, mm: f64, tie: Tie| Callout {
        side: Side::Left,
        name: name.to_owned(),
        figure: ride.setting().length(units, mm),
        note: None,
        tie,
    };
    let is_from_bracket = !bike.tells_saddle_from_ground();
    let saddle = if is_from_bracket {
        const SADDLE: &str = "saddle height";
        let bracket = spot(Point::origin());
        page.dimension(SADDLE, "", bracket, top);
        page.add(group("dimension").add(circle("leader-dot", bracket, 0.8)));
        let tape =
            [0.42, 0.3, 0.2, 0.1, 0.5, 0.6, 0.7, 0.8, 0.9].map(|share| bracket.towards(top, share));
        say(SADDLE, ride.saddle_height_mm(), Tie::Leader(tape.to_vec()))
    } else {
        const SEAT: &str = "seat height";
        // Outside the words, so that no leader has to cross it.
        let seat = Spot::new(UPRIGHT, top.y);
        let foot = Spot::new(UPRIGHT, ground_y);
        page.add(aid(seat.moved(-1.0, 0.0), top));
        page.dimension(SEAT, "", foot, seat);
        say(
            SEAT,
            ride.seat_height_mm(),
            Tie::Beside(seat.towards(foot, 0.5)),
        )
    };
    let level = Rect::new(0.0, top.y - 0.6, 0.0, 1.2);
    let barriers = [(Side::Left, level)];
    let has_level = matches!(saddle.tie, Tie::Beside(_));
    let showing = shows.map(|shows| say(POST, shows, Tie::Leader(post.to_vec())));
    let callouts = showing.into_iter().chain([saddle]).collect();
    let columns = Columns {
        width: COLUMN - UPRIGHT - 2.0,
        left: COLUMN,
        right: WIDTH,
        top: 2.0,
        bottom: ground_y - 1.0,
        far: WIDTH / 3.1,
    };
    column::write(
        page,
        &columns,
        callouts,
        if has_level { &barriers } else { &[] },
    );
}

/// The lever gap, above the front wheel.
fn lever(page: &mut Page, machine: &Bicycle<'_>, name: &str, gap: f64, units: Units) {
    const ABOVE: f64 = 13.0;
    /// Name to figure, mm.
    const FIGURE_BELOW: f64 = 5.2;
    let (rear, face) = machine.lever_face(gap);
    let (rear, face) = (machine.view.spot(rear), machine.view.spot(face));
    page.dimension(name, "", rear, face);
    let at = Spot::new(WIDTH - EDGE, (face.y - ABOVE).max(5.0));
    let (about, room) = ((name, face), WIDTH / 3.0);
    page.write_about(about, at, Align::Right, NAME, room, name);
    let figure = units.length(gap);
    let below = at.moved(0.0, FIGURE_BELOW);
    let letters = FIGURE.shrunk(&figure, room);
    page.write_about(about, below, Align::Right, letters, room, &figure);
    // Down from under the figure.
    page.leader(name, at.moved(-7.0, FIGURE_BELOW + 1.5), face);
}
