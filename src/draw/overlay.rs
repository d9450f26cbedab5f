//! Two bikes laid over each other, for comparing frames: bottom brackets one above the other, on one ground.
//! A is solid, B dashed; every figure is given for both, A before B.
//! Which bike suits better is `advice`'s business.

use svg::node::element::Group;

use crate::bike::Bike;
use crate::draw::bicycle::extent;
use crate::draw::callout::{self, Callout, Key, Note, Side};
use crate::draw::heading;
use crate::draw::ink::{Outline, Spot, aid, circle, group, line, ring};
use crate::draw::label::Weight;
use crate::draw::label::{Plan, Rect};
use crate::draw::sheet::{
    Align, Extent, Face, HEIGHT, MARGIN, SUBTITLE, Sheet, TITLE, View, WIDTH,
};
use crate::fit::{Fit, Unit};
use crate::plane::{Point, Vector, direction};
use crate::units::{Length, Units};

/// The two bikes in the title block.
const BIKE: Face = Face {
    size: 4.2,
    weight: Weight::Bold,
    class: "ink",
};
/// Where the drawing stands on the sheet, mm.
const ROOM: Rect = Rect {
    x: 68.0,
    y: 38.0,
    width: 161.0,
    height: 139.0,
};

/// Two bikes with the same rider on each: a whole SVG document.
pub fn overlay(a: &Bike, a_fit: &Fit, b: &Bike, b_fit: &Fit, units: Units) -> String {
    draw(a, a_fit, b, b_fit, units).0.finish()
}

/// The lay-out of [`overlay`], without the picture.
pub fn overlay_plan(a: &Bike, a_fit: &Fit, b: &Bike, b_fit: &Fit, units: Units) -> Plan {
    let (sheet, view) = draw(a, a_fit, b, b_fit, units);
    sheet.plan(view.scale)
}

fn draw(a: &Bike, a_fit: &Fit, b: &Bike, b_fit: &Fit, units: Units) -> (Sheet, View) {
    // The second bike is lifted so that both stand on the first one's ground.
    let lift = a.ground_y - b.ground_y;
    let view = View::fit(reached(a, a_fit, 0.0).and(reached(b, b_fit, lift)), ROOM);
    let first = Layer {
        bike: a,
        fit: a_fit,
        view,
        lift: 0.0,
        class: "first",
    };
    let second = Layer {
        bike: b,
        fit: b_fit,
        view,
        lift,
        class: "second",
    };
    let title = format!(
        "{} on two bikes: {} and {}",
        a_fit.rider.title, a_fit.bike.name, b_fit.bike.name
    );
    let description = format!(
        "Side views to scale over each other, bottom brackets in line, on one ground. {}: {}. {}: {}.",
        a_fit.bike.name, a_fit.verdict, b_fit.bike.name, b_fit.verdict
    );
    let mut sheet = Sheet::new(&title, &description, HEIGHT);
    title_block(&mut sheet, &first, &second, units);
    let ground = view.spot(Point::new(0.0, a.ground_y)).y;
    sheet.add(callout::ground(ground, ROOM.x - 5.0, ROOM.right() + 5.0));
    for layer in [&first, &second] {
        sheet.add(layer.wheels());
        sheet.add(layer.tubes());
    }
    for layer in [&first, &second] {
        sheet.add(layer.rider());
    }
    let rows = differences(&first, &second);
    let mut links = group("links");
    for row in &rows {
        let [from, to] = row.ends;
        links = links.add(aid(from, to));
    }
    sheet.add(links);
    let callouts = rows.into_iter().map(|row| row.callout(units)).collect();
    callout::write(&mut sheet, callouts);
    callout::scale_bar(&mut sheet, view.scale, units);
    callout::legend(&mut sheet, &[Key::First, Key::Second]);
    heading::caution(&mut sheet, a_fit.cautions);
    (sheet, view)
}

/// What a bike and the joints on it fill, lifted.
fn reached(bike: &Bike, fit: &Fit, lift: f64) -> Extent {
    const AROUND_JOINT: f64 = 40.0;
    let pose = &fit.pose.points;
    let mut filled = extent(bike);
    for [x, y] in [Some(pose.hip), pose.shoulder, pose.hand]
        .into_iter()
        .flatten()
    {
        filled = filled.and(Extent::around(Point::new(x, y), AROUND_JOINT));
    }
    Extent {
        low: filled.low + lift,
        high: filled.high + lift,
        ..filled
    }
}

fn title_block(sheet: &mut Sheet, first: &Layer<'_>, second: &Layer<'_>, units: Units) {
    const SIGN: f64 = 8.5;
    const ROOM: f64 = WIDTH - 2.0 * MARGIN;
    let at = |y: f64| Spot::new(MARGIN, y);
    let title = format!("{} on two bikes", first.fit.rider.title);
    sheet.write(at(15.0), Align::Left, TITLE, ROOM, &title);
    let measurements = heading::measurements(first.fit, units);
    sheet.write(at(21.6), Align::Left, SUBTITLE, ROOM, &measurements);
    // The letters of the report and of the growth chart.
    for (layer, letter, key, y) in [
        (first, "A", Key::First, 27.6),
        (second, "B", Key::Second, 33.2),
    ] {
        sheet.add_to_words(key.sign(at(y).moved(3.0, -1.2)));
        let words = format!(
            "{letter}  {}: {}",
            layer.fit.bike.name,
            layer.fit.verdict.word().to_uppercase()
        );
        sheet.write(
            at(y).moved(SIGN, 0.0),
            Align::Left,
            BIKE,
            ROOM - SIGN,
            &words,
        );
    }
}

/// One of the two bikes.
struct Layer<'a> {
    bike: &'a Bike,
    fit: &'a Fit,
    view: View,
    lift: f64,
    class: &'static str,
}

impl Layer<'_> {
    fn spot(&self, point: Point) -> Spot {
        self.view.spot(point + Vector::new(0.0, self.lift))
    }

    fn class(&self, part: &str) -> String {
        format!("{}-{part}", self.class)
    }

    fn wheels(&self) -> Group {
        let points = &self.bike.layout.points;
        let tyres = &self.bike.spec.tyres;
        let mut drawn = group("wheels");
        for (axle, tyre) in [
            (points.rear_axle, tyres.rear),
            (points.front_axle, tyres.front),
        ] {
            let centre = self.spot(axle);
            let outer = self.view.paper(tyre.wheel_radius_mm());
            let bead = self.view.paper(tyre.bead_seat_mm / 2.0);
            drawn = drawn
                .add(ring(&self.class("wheel"), centre, bead, outer))
                .add(circle(&self.class("thin"), centre, outer))
                .add(circle(&self.class("thin"), centre, bead))
                .add(circle(&self.class("dot"), centre, 0.8));
        }
        drawn
    }

    /// Saddle top as set.
    fn position(&self) -> f64 {
        self.bike.layout.post.bare_mm + self.fit.setting.exposed_post_mm
    }

    fn saddle_top(&self) -> Point {
        self.bike.layout.post.saddle_top(self.position())
    }

    /// Frame, fork, cockpit, post and saddle as centre lines.
    fn tubes(&self) -> Group {
        const SADDLE_MM: f64 = 230.0;
        const NOSE_SHARE: f64 = 0.6;
        let (points, spec) = (&self.bike.layout.points, &self.bike.spec);
        let post = &self.bike.layout.post;
        let down = direction(-spec.frame.head_tube.angle.deg().to_radians());
        let stem_foot = points.head_tube_top
            - down * (spec.cockpit.spacers.mm() + spec.cockpit.stem.clamp_height.mm() / 2.0);
        let stay_joint = spec
            .frame
            .top_tube
            .as_ref()
            .map_or(points.seat_tube_top, |tube| {
                post.saddle_top(tube.seat_joint.mm())
            });
        let sit = post.sit(self.position());
        let long = spec.saddle.length.map_or(SADDLE_MM, Length::mm);
        let mut lines = vec![
            vec![points.bottom_bracket, points.rear_axle, stay_joint],
            vec![points.bottom_bracket, post.foot, self.saddle_top()],
            vec![points.bottom_bracket, points.head_tube_bottom],
            vec![stem_foot, points.head_tube_bottom, points.front_axle],
            vec![stem_foot, points.bar_clamp, points.grip],
            vec![
                sit + Vector::new(NOSE_SHARE * long, 0.0),
                sit - Vector::new((1.0 - NOSE_SHARE) * long, 0.0),
            ],
        ];
        if let Some(tube) = &spec.frame.top_tube {
            lines.push(vec![
                post.saddle_top(tube.seat_joint.mm()),
                points.head_tube_top + down * tube.head_joint.mm(),
            ]);
        }
        let mut drawn = group("tubes");
        for stroke in lines {
            let mut outline = Outline::default();
            for (index, point) in stroke.into_iter().enumerate() {
                let spot = self.spot(point);
                outline = if index == 0 {
                    Outline::from(spot)
                } else {
                    outline.line(spot)
                };
            }
            drawn = drawn.add(outline.path(self.class));
        }
        if let Some(cranks) = &spec.cranks {
            drawn = drawn.add(circle(
                &self.class("thin"),
                self.spot(points.bottom_bracket),
                self.view.paper(cranks.length.mm()),
            ));
        }
        for point in [points.bottom_bracket, self.saddle_top(), points.grip] {
            drawn = drawn.add(circle(&self.class("dot"), self.spot(point), 1.15));
        }
        drawn
    }

    /// Hip, shoulder, elbow, hand as sticks.
    fn rider(&self) -> Group {
        let pose = &self.fit.pose.points;
        let joints: Vec<Spot> = [Some(pose.hip), pose.shoulder, pose.elbow, pose.hand]
            .into_iter()
            .flatten()
            .map(|[x, y]| self.spot(Point::new(x, y)))
            .collect();
        let mut drawn = group("sticks");
        for pair in joints.windows(2) {
            if let [from, to] = pair {
                drawn = drawn.add(line(&self.class("thin"), *from, *to));
            }
        }
        for joint in joints {
            drawn = drawn.add(circle(&self.class("dot"), joint, 1.0));
        }
        drawn
    }
}

/// One figure for both bikes.
struct Pair<'a> {
    side: Side,
    name: &'a str,
    unit: Unit,
    values: [Option<f64>; 2],
    /// Where the figure is read on either bike.
    ends: [Spot; 2],
}

fn differences(first: &Layer<'_>, second: &Layer<'_>) -> Vec<Pair<'static>> {
    let (a, b) = (first.bike, second.bike);
    let both = |of: &dyn Fn(&Layer<'_>) -> Option<f64>| [of(first), of(second)];
    let between = |one: Point, other: Point| [first.spot(one), second.spot(other)];
    let pair = |side, name, values, ends| Pair {
        side,
        name,
        unit: Unit::Millimetre,
        values,
        ends,
    };
    let tube_middle =
        |layer: &Layer<'_>, share: f64| Point::from(layer.saddle_top().coords * share);
    let mut rows = vec![
        pair(
            Side::Left,
            "seat height as set",
            both(&|layer| Some(layer.fit.setting.seat_height_mm)),
            between(first.saddle_top(), second.saddle_top()),
        ),
        pair(
            Side::Left,
            "saddle height as set",
            both(&|layer| Some(layer.fit.setting.saddle_height_mm)),
            between(tube_middle(first, 0.45), tube_middle(second, 0.45)),
        ),
        pair(
            Side::Left,
            "chainstay",
            both(&|layer| Some(layer.bike.spec.frame.chainstay.mm())),
            between(
                Point::from(a.points.rear_axle.coords * 0.5),
                Point::from(b.points.rear_axle.coords * 0.5),
            ),
        ),
        pair(
            Side::Left,
            "bracket above ground",
            both(&|layer| Some(layer.fit.bike.bottom_bracket_height_mm)),
            between(Point::origin(), Point::origin()),
        ),
        pair(
            Side::Right,
            "stack",
            both(&|layer| Some(layer.bike.layout.points.head_tube_top.y)),
            between(a.points.head_tube_top, b.points.head_tube_top),
        ),
        pair(
            Side::Right,
            "reach of the frame",
            both(&|layer| Some(layer.bike.layout.points.head_tube_top.x)),
            between(a.points.head_tube_top, b.points.head_tube_top),
        ),
        pair(
            Side::Right,
            "standover, top tube",
            both(&|layer| layer.bike.layout.standover_mm()),
            between(
                a.straddle.or(b.straddle).unwrap_or(a.points.seat_tube_top),
                b.straddle.or(a.straddle).unwrap_or(b.points.seat_tube_top),
            ),
        ),
        pair(
            Side::Right,
            "bracket to front axle",
            both(&|layer| Some(layer.fit.bike.front_centre_mm)),
            between(a.points.front_axle, b.points.front_axle),
        ),
        pair(
            Side::Right,
            "wheelbase",
            both(&|layer| Some(layer.fit.bike.wheelbase_mm)),
            between(
                a.points.front_axle - Vector::new(0.0, a.wheel_radius_front_mm),
                b.points.front_axle - Vector::new(0.0, b.wheel_radius_front_mm),
            ),
        ),
    ];
    let shoulder = |layer: &Layer<'_>| {
        let [x, y] = layer
            .fit
            .pose
            .points
            .shoulder
            .unwrap_or(layer.fit.pose.points.hip);
        Point::new(x, y)
    };
    rows.push(Pair {
        unit: Unit::Degree,
        ..pair(
            Side::Right,
            "torso lean",
            both(&|layer| layer.fit.pose.torso_lean_deg),
            between(shoulder(first), shoulder(second)),
        )
    });
    rows
}

impl Pair<'_> {
    fn callout(self, units: Units) -> Callout {
        let shown = |value: Option<f64>| {
            value.map_or_else(
                || "none".to_owned(),
                |value| match self.unit {
                    Unit::Millimetre => units.bare(value),
                    unit => unit.show(value, units),
                },
            )
        };
        let suffix = match self.unit {
            Unit::Millimetre => format!(" {}", units.word()),
            _ => String::new(),
        };
        let [first, second] = self.values;
        Callout {
            side: self.side,
            name: self.name.to_owned(),
            figure: format!("{} / {}{suffix}", shown(first), shown(second)),
            note: first
                .zip(second)
                .map(|(first, second)| Note::plain(&self.difference(second - first, units))),
            at: Some(self.ends[0].towards(self.ends[1], 0.5)),
        }
    }

    fn difference(&self, by: f64, units: Units) -> String {
        let amount = self.unit.show(by.abs(), units);
        if amount == self.unit.show(0.0, units) {
            "the same".to_owned()
        } else if by > 0.0 {
            format!("B {amount} more")
        } else {
            format!("B {amount} less")
        }
    }
}
