//! Pen and path: path data with short numbers, and the few strokes that everything is drawn with.
//! A stroke has a class, never a colour: those are the palette's.
//! What the strokes mean, and where bikes and riders are, is elsewhere.

use crate::draw::element::Element;

use crate::draw::paper::{Rect, Spot};

/// A number as SVG wants it: to 0.01 mm of paper, which no printer resolves, without trailing zeros.
pub(super) fn short(value: f64) -> String {
    let mut text = String::new();
    put_short(&mut text, value);
    text
}

/// The same behind a text. From whole hundredths: a picture has some thousand numbers, and the shortest digits of a
/// fraction are dear to find.
fn put_short(text: &mut String, value: f64) {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a sheet is metres wide, not light years"
    )]
    let hundredths = (value * 100.0).round() as i64;
    if hundredths < 0 {
        text.push('-');
    }
    let hundredths = hundredths.unsigned_abs();
    let mut digits = itoa::Buffer::new();
    text.push_str(digits.format(hundredths / 100));
    let (tenths, rest) = (hundredths / 10 % 10, hundredths % 10);
    if tenths + rest > 0 {
        text.push('.');
        text.push_str(digits.format(tenths));
    }
    if rest > 0 {
        text.push_str(digits.format(rest));
    }
}

/// Path data under construction.
#[derive(Debug, Clone, Default)]
pub(super) struct Outline(String);

impl Outline {
    pub(super) fn from(start: Spot) -> Self {
        Self::default().then(start)
    }

    fn put(mut self, letter: char, numbers: &[f64]) -> Self {
        self.0.push(letter);
        for (index, number) in numbers.iter().enumerate() {
            if index > 0 {
                self.0.push(' ');
            }
            put_short(&mut self.0, *number);
        }
        self
    }

    /// Lifts the pen and starts again at `start`.
    pub(super) fn then(self, start: Spot) -> Self {
        self.put('M', &[start.x, start.y])
    }

    pub(super) fn line(self, to: Spot) -> Self {
        self.put('L', &[to.x, to.y])
    }

    pub(super) fn bend(self, by: Spot, to: Spot) -> Self {
        self.put('Q', &[by.x, by.y, to.x, to.y])
    }

    pub(super) fn curve(self, first: Spot, second: Spot, to: Spot) -> Self {
        self.put('C', &[first.x, first.y, second.x, second.y, to.x, to.y])
    }

    /// An arc of a circle of `radius` to `to`; `clockwise` as seen on paper.
    pub(super) fn arc(self, radius: f64, large: bool, clockwise: bool, to: Spot) -> Self {
        self.oval(radius, radius, large, clockwise, to)
    }

    /// An arc of an upright ellipse.
    pub(super) fn oval(
        self,
        across: f64,
        upright: f64,
        large: bool,
        clockwise: bool,
        to: Spot,
    ) -> Self {
        let flag = |on: bool| if on { 1.0 } else { 0.0 };
        self.put(
            'A',
            &[
                across,
                upright,
                0.0,
                flag(large),
                flag(clockwise),
                to.x,
                to.y,
            ],
        )
    }

    pub(super) fn close(mut self) -> Self {
        self.0.push('Z');
        self
    }

    pub(super) fn path(self, class: &str) -> Element {
        Element::new("path").set("class", class).set("d", self.0)
    }

    /// A closed curve through `spots`, smooth at each (Catmull-Rom).
    pub(super) fn smooth(spots: &[Spot]) -> Self {
        let count = spots.len();
        let Some(first) = spots.first() else {
            return Self::default();
        };
        let at = |index: usize| spots[index % count];
        let mut outline = Self::from(*first);
        for index in 0..count {
            let (before, here, next, after) = (
                at(index + count - 1),
                at(index),
                at(index + 1),
                at(index + 2),
            );
            outline = outline.curve(
                here.moved((next.x - before.x) / 6.0, (next.y - before.y) / 6.0),
                next.moved((here.x - after.x) / 6.0, (here.y - after.y) / 6.0),
                next,
            );
        }
        outline.close()
    }
}

pub(super) fn group(class: &str) -> Element {
    Element::new("g").set("class", class)
}

pub(super) fn circle(class: &str, centre: Spot, radius: f64) -> Element {
    Element::new("circle")
        .set("class", class)
        .set("cx", short(centre.x))
        .set("cy", short(centre.y))
        .set("r", short(radius))
}

/// A circle drawn as a ring between two radii.
pub(super) fn ring(class: &str, centre: Spot, inner: f64, outer: f64) -> Element {
    circle(class, centre, f64::midpoint(inner, outer)).set("stroke-width", short(outer - inner))
}

pub(super) fn line(class: &str, from: Spot, to: Spot) -> Element {
    Element::new("line")
        .set("class", class)
        .set("x1", short(from.x))
        .set("y1", short(from.y))
        .set("x2", short(to.x))
        .set("y2", short(to.y))
}

pub(super) fn rectangle(class: &str, place: Rect) -> Element {
    Element::new("rect")
        .set("class", class)
        .set("x", short(place.x))
        .set("y", short(place.y))
        .set("width", short(place.width))
        .set("height", short(place.height))
}

/// A rod between two round ends of their own radius.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rod {
    pub(super) from: Spot,
    pub(super) from_radius: f64,
    pub(super) to: Spot,
    pub(super) to_radius: f64,
}

impl Rod {
    pub(super) fn outline(self) -> Outline {
        let apart = self.from.distance(self.to);
        let step = self.from_radius - self.to_radius;
        if apart <= step.abs() {
            let (centre, radius) = if step > 0.0 {
                (self.from, self.from_radius)
            } else {
                (self.to, self.to_radius)
            };
            let (left, right) = (centre.moved(-radius, 0.0), centre.moved(radius, 0.0));
            return Outline::from(left)
                .arc(radius, false, true, right)
                .arc(radius, false, true, left)
                .close();
        }
        let along = self.from.angle_to(self.to);
        let open = (step / apart).acos();
        let edge = |centre: Spot, radius: f64, side: f64| centre.polar(along + side * open, radius);
        Outline::from(edge(self.from, self.from_radius, 1.0))
            .line(edge(self.to, self.to_radius, 1.0))
            .arc(
                self.to_radius,
                step < 0.0,
                true,
                edge(self.to, self.to_radius, -1.0),
            )
            .line(edge(self.from, self.from_radius, -1.0))
            .arc(
                self.from_radius,
                step > 0.0,
                true,
                edge(self.from, self.from_radius, 1.0),
            )
            .close()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_minus_zero() {
        assert_eq!(short(-0.0004), "0");
        assert_eq!(short(12.0), "12");
        assert_eq!(short(-12.3), "-12.3");
        assert_eq!(short(-0.05), "-0.05");
        assert_eq!(short(1.0 / 3.0), "0.33");
        // The standard library's digits, without trailing zeros.
        for hundredths in (-120_000..120_000).step_by(7) {
            let value = f64::from(hundredths) / 100.0;
            let digits = format!("{value:.2}");
            assert_eq!(
                short(value),
                digits.trim_end_matches('0').trim_end_matches('.')
            );
        }
    }

    #[test]
    fn a_rod_inside_its_own_end_is_a_circle() {
        let rod = Rod {
            from: Spot::new(10.0, 10.0),
            from_radius: 5.0,
            to: Spot::new(11.0, 10.0),
            to_radius: 1.0,
        };
        let drawn = rod.outline().path("x").to_string();
        assert!(drawn.contains("M5 10A5 5 0 0 1 15 10"), "{drawn}");
    }
}
