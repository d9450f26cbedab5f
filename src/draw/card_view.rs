//! The side view for the handover card: the bike alone and what to set on it, on a sheet small enough
//! that its words stay readable when the card shows it 90 mm wide.
//! What is drawn is `bicycle`; the figures are the fit's own.

use crate::bike::Bike;
use crate::draw::bicycle::{Bicycle, extent};
use crate::draw::callout::{self, shrunk};
use crate::draw::ink::{Spot, aid, circle, dimension, group, line};
use crate::draw::label::{Plan, Rect};
use crate::draw::sheet::{Align, FIGURE, NAME, Sheet, View};
use crate::fit::Fit;
use crate::plane::Point;
use crate::units::Units;

/// The sheet, mm: half as large again as the place on the card.
const WIDTH: f64 = 135.0;
/// See [`WIDTH`].
const HEIGHT: f64 = 90.0;
/// Where the bike stands, mm.
const ROOM: Rect = Rect {
    x: 43.0,
    y: 14.0,
    width: 90.0,
    height: 69.0,
};
/// Free edge, mm.
const EDGE: f64 = 1.5;
/// The column of words ends here, mm.
const COLUMN: f64 = 33.0;
/// Name to figure, and figure to the next name, mm.
const FIGURE_BELOW: f64 = 5.2;

/// The bike with what to set on it, as a whole SVG document of 135 × 90 mm.
pub fn card_view(bike: &Bike, fit: &Fit, units: Units) -> String {
    draw(bike, fit, units).0.finish()
}

/// The lay-out of [`card_view`], without the picture.
pub fn card_view_plan(bike: &Bike, fit: &Fit, units: Units) -> Plan {
    let (sheet, view) = draw(bike, fit, units);
    sheet.plan(view.scale)
}

fn draw(bike: &Bike, fit: &Fit, units: Units) -> (Sheet, View) {
    let setting = &fit.setting;
    let title = format!("{}, set up for {}", fit.bike.name, fit.rider.title);
    let description = format!(
        "Side view to scale. Saddle height {}, exposed post {}, seat height {}.",
        units.length(setting.saddle_height_mm),
        units.length(setting.exposed_post_mm),
        units.length(setting.seat_height_mm)
    );
    let mut sheet = Sheet::new(&title, &description, HEIGHT).cut_to(WIDTH);
    let view = View::fit(extent(bike), ROOM);
    let machine = Bicycle { bike, view };
    let position = bike.layout.post.bare_mm + setting.exposed_post_mm;
    let down = std::f64::consts::PI;
    let gap = setting.lever_gap_mm.filter(|_| machine.has_hand_lever());

    let ground_y = view.spot(Point::new(0.0, bike.layout.ground_y)).y;
    sheet.add(callout::ground(ground_y, ROOM.x - 6.0, WIDTH - EDGE));
    let mut layers = Vec::new();
    layers.extend(machine.crank(0.0, 0.0));
    layers.push(machine.wheels());
    layers.push(machine.fork());
    layers.push(machine.frame());
    layers.push(machine.post(position));
    layers.push(machine.saddle(position));
    layers.push(machine.cockpit(gap));
    layers.extend(machine.chain());
    layers.extend(machine.crank(down, 0.0));
    layers.push(machine.mark(position));
    for layer in layers {
        sheet.add(layer);
    }
    saddle(&mut sheet, &machine, fit, units, ground_y);
    if let Some(gap) = gap {
        lever(&mut sheet, &machine, gap, units);
    }
    (sheet, view)
}

/// Writes a name and its figure, and leads from them to a place.
fn say(sheet: &mut Sheet, at: Spot, align: Align, name: &str, figure: &str, place: Spot) {
    let room = match align {
        Align::Right if at.x > COLUMN => WIDTH - 2.0 * EDGE,
        _ => COLUMN - EDGE,
    };
    sheet.write(at, align, NAME, room, name);
    let face = shrunk(FIGURE, figure, room);
    sheet.write(at.moved(0.0, FIGURE_BELOW), align, face, room, figure);
    let start = if at.x > COLUMN {
        // Above the bike: down from the middle of the figure.
        at.moved(-7.0, FIGURE_BELOW + 1.5)
    } else {
        at.moved(1.2, FIGURE_BELOW - 0.35 * FIGURE.size)
    };
    sheet.add(
        group("leaders")
            .add(line("leader-halo", start, place))
            .add(line("leader", start, place))
            .add(circle("leader-dot", place, 0.65)),
    );
}

/// Saddle height, exposed post and seat height, in the order of their places from the top.
fn saddle(sheet: &mut Sheet, machine: &Bicycle<'_>, fit: &Fit, units: Units, ground_y: f64) {
    const ASIDE: f64 = 2.2;
    const BESIDE: f64 = 3.5;
    const ROW: f64 = 17.0;
    let (bike, setting) = (machine.bike, &fit.setting);
    let spot = |point: Point| machine.view.spot(point);
    let post = &bike.layout.post;
    let position = post.bare_mm + setting.exposed_post_mm;
    let bracket = spot(Point::origin());
    let top = spot(post.saddle_top(position));
    sheet.add(dimension(bracket, top).add(circle("leader-dot", bracket, 0.8)));

    let angle = post.up.y.atan2(post.up.x) + std::f64::consts::FRAC_PI_2;
    let clear = ASIDE + machine.view.paper(16.0);
    let tube_top = bike.spec.frame.seat_tube.length.mm();
    let aside = |along: f64, by: f64| spot(post.saddle_top(along)).polar(angle, by);
    let (low, high) = (tube_top, tube_top + setting.exposed_post_mm);
    sheet.add(
        group("aids")
            .add(aid(aside(low, 0.0), aside(low, clear + 0.8)))
            .add(aid(aside(high, 0.0), aside(high, clear + 0.8))),
    );
    sheet.add(dimension(aside(low, clear), aside(high, clear)));

    let rear = bike.layout.points.rear_axle.x - bike.layout.wheel_radius_rear_mm;
    let upright = Spot::new(spot(Point::new(rear, 0.0)).x - BESIDE, top.y);
    let foot = Spot::new(upright.x, ground_y);
    sheet.add(group("aids").add(aid(upright.moved(-1.0, 0.0), top)));
    sheet.add(dimension(foot, upright));

    let rows = [
        (
            "exposed post",
            setting.exposed_post_mm,
            aside(f64::midpoint(low, high), clear),
        ),
        (
            "saddle height",
            setting.saddle_height_mm,
            bracket.towards(top, 0.42),
        ),
        (
            "seat height",
            setting.seat_height_mm,
            upright.towards(foot, 0.8),
        ),
    ];
    let first = (upright.y - 2.0).clamp(8.0, ground_y - 3.0 * ROW + 6.0);
    let mut down = 0.0;
    for (name, mm, place) in rows {
        let at = Spot::new(COLUMN, first + down);
        say(sheet, at, Align::Right, name, &units.length(mm), place);
        down += ROW;
    }
}

/// The lever gap, above the front wheel.
fn lever(sheet: &mut Sheet, machine: &Bicycle<'_>, gap: f64, units: Units) {
    const ABOVE: f64 = 20.0;
    let (rear, face) = machine.lever_face(gap);
    let (rear, face) = (machine.view.spot(rear), machine.view.spot(face));
    sheet.add(dimension(rear, face));
    let at = Spot::new(WIDTH - EDGE, (face.y - ABOVE).max(5.0));
    say(
        sheet,
        at,
        Align::Right,
        "lever gap",
        &units.length(gap),
        face,
    );
}
