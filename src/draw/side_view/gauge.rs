//! The saddle's strips beside the post: what the post permits, what is wanted, what is doubtful, where it is set.
//! A wanted band that lies off the range is an arrow towards it, with the distance.
//! Figures are the fit's own.

use crate::draw::element::Element;

use crate::bike::Figure;
use crate::draw::arrows::arrow_head;
use crate::draw::callout::{Callout, NOT_CHECKED, Note, STRIPS, Side, Tie};
use crate::draw::facts::CheckId;
use crate::draw::page::Page;
use crate::draw::palette::WANTED_FILL;
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{Outline, group, line};
use crate::draw::scene::Scene;
use crate::draw::sign::Sign;
use crate::plane::Point;
use crate::units::{MM_PER_INCH, Units};

/// From what stands behind the post to the strips, mm of paper.
const CLEAR: f64 = 4.2;
/// Width of a strip, mm of paper.
const STRIP: f64 = 2.8;
/// Farthest that a wanted band is drawn beyond the post's range, mm of bike.
const BEYOND: f64 = 40.0;
/// Length of the arrow to a band that lies off the range, mm of paper.
const WAY: f64 = 9.0;

/// Where the strips are.
struct Strips<'s, 'a> {
    scene: &'s Scene<'a>,
    /// How far the open strip's right edge lies left of the post's axis, mm of paper.
    shift: f64,
}

impl Strips<'_, '_> {
    fn at(&self, along: f64, aside: f64) -> Spot {
        let scene = self.scene;
        let on_axis = scene.spot(scene.ride.machine.on_post(along));
        on_axis.moved(-self.shift - aside, 0.0)
    }

    fn strip(&self, from: f64, to: f64, aside: f64) -> Outline {
        Outline::from(self.at(from, aside))
            .line(self.at(to, aside))
            .line(self.at(to, aside + STRIP))
            .line(self.at(from, aside + STRIP))
            .close()
    }

    /// Ticks at round saddle heights, longer at every fifth.
    fn ticks(&self) -> Element {
        const CLOSEST: f64 = 0.7;
        let scene = self.scene;
        let [low, high] = scene.ride.machine.saddle_heights_mm();
        let step = match scene.units() {
            Units::Mm | Units::Cm => 10.0,
            Units::In => MM_PER_INCH / 2.0,
        };
        let mut drawn = group("ticks");
        let mut count = (low / step).ceil();
        while count * step <= high {
            let is_fifth = (count % 5.0).abs() < 0.5;
            if is_fifth || scene.view().paper(step) >= CLOSEST {
                let along = scene.ride.machine.position_at(count * step);
                let long = if is_fifth { 1.5 } else { 0.7 };
                drawn = drawn.add(line("tick", self.at(along, 0.0), self.at(along, -long)));
            }
            count += 1.0;
        }
        drawn
    }

    fn place(&self, low: f64, high: f64) -> Rect {
        let (foot, top) = (self.at(low, 0.0), self.at(high, 2.0 * STRIP + 0.7));
        Rect::new(top.x, top.y, foot.x - top.x, foot.y - top.y)
    }
}

impl Scene<'_> {
    /// Where the strips stand: just behind the saddle and whoever sits on it.
    fn strips(&self) -> Strips<'_, '_> {
        let ride = self.ride;
        let (_, tail) = self.machine.saddle_ends(ride.position());
        let buttock = ride.hip().x - 0.085 * ride.body().height_mm;
        let rearmost = self.spot(Point::new(tail.x.min(buttock), 0.0)).x - CLEAR;
        Strips {
            scene: self,
            shift: self.saddle_top().x - rearmost,
        }
    }

    /// The saddle's permitted range and the wanted band, as two strips behind the saddle.
    pub(super) fn gauge(&self, page: &mut Page) -> Callout {
        let (ride, units) = (self.ride, self.units());
        let strips = self.strips();
        let [low, high] = ride.machine.post_range();
        let [lowest, highest] = ride.machine.saddle_heights_mm();
        let unknown = ride.machine.unknown_of_range();
        let name = if unknown.is_some() {
            "gauge assumed"
        } else {
            "gauge"
        };
        let mut gauge = group(name)
            .add(strips.ticks())
            .add(strips.strip(low, high, 0.0).path("range"));
        if unknown.is_none() {
            gauge = gauge.add(line(
                "mark",
                strips.at(high, -0.8),
                strips.at(high, STRIP + 0.8),
            ));
        }
        page.mark(STRIPS, strips.place(low, high));
        let mut places = Vec::new();
        let mut text = "no height lets the leg round".to_owned();
        if let Some(band) = ride.band() {
            let (from, to) = (
                ride.machine.position_at(band.low_mm),
                ride.machine.position_at(band.high_mm),
            );
            let wanted = format!(
                "wanted {} to {}",
                units.bare(band.low_mm),
                units.length(band.high_mm)
            );
            if from > high {
                places.push(self.way(&mut gauge, &strips, high, 1.0));
                let by = units.missed_by(band.low_mm - highest);
                text = if ride.machine.knows(Figure::SeatHeightHighest) {
                    format!("{wanted}, {by} above")
                } else {
                    wanted
                };
            } else if to < low {
                places.push(self.way(&mut gauge, &strips, low, -1.0));
                let by = units.missed_by(lowest - band.high_mm);
                text = if ride.machine.knows(Figure::SeatHeightLowest) {
                    format!("{wanted}, {by} below")
                } else {
                    wanted
                };
            } else {
                let (from, to) = (from.max(low - BEYOND), to.min(high + BEYOND));
                let strip = strips.strip(from, to, STRIP + 0.7).path("wanted");
                gauge = gauge.add(strip.set("fill", WANTED_FILL));
                text = format!("{wanted}, hatched");
            }
            if let Some(sd) = ride.saddle_height_sd_mm() {
                // What the tape and the estimates leave open about the wanted height, inside the range.
                let along = |tape: f64| ride.machine.position_at(tape).clamp(low, high);
                let (from, to) = (along(band.target_mm - sd), along(band.target_mm + sd));
                if to > from {
                    gauge = gauge.add(strips.strip(from, to, 0.0).path("doubt"));
                }
            }
        }
        let is_open = ride
            .finding(CheckId::SaddleHeight)
            .is_some_and(|found| found.sign == Sign::Unknown);
        if !is_open {
            let setting = strips.at(ride.position(), -0.4);
            gauge = gauge.add(
                Outline::from(setting)
                    .line(setting.moved(2.4, -1.2))
                    .line(setting.moved(2.4, 1.2))
                    .close()
                    .path("setting"),
            );
        }
        page.add(gauge);
        places.extend([
            strips.at(high, STRIP / 2.0),
            strips.at(f64::midpoint(low, high), STRIP),
        ]);
        let (figure, note) = self.range_in_words(text);
        Callout {
            side: Side::Left,
            name: "saddle range".to_owned(),
            figure,
            note: Some(note),
            tie: Tie::Leader(places),
        }
    }

    /// The range's figure and what is said of it; what is missing, where nobody measured one of its ends.
    fn range_in_words(&self, text: String) -> (String, Note) {
        let (ride, units) = (self.ride, self.units());
        let [lowest, highest] = ride.machine.saddle_heights_mm();
        let is_failing = ride.fails(CheckId::SaddleHeight);
        if let Some(key) = ride.machine.unknown_of_range().filter(|_| !is_failing) {
            let note = Note::not_checked(format!("needs {key}"));
            return (NOT_CHECKED.to_owned(), note);
        }
        // What is measured may fail whatever the other end is.
        let end = |figure, told: String| {
            if ride.machine.knows(figure) {
                told
            } else {
                "?".to_owned()
            }
        };
        let is_open = !ride.machine.knows(Figure::SeatHeightHighest);
        let lowest = units.shown_at_least_mm(lowest);
        let low = if is_open {
            units.length(lowest)
        } else {
            units.bare(lowest)
        };
        let figure = format!(
            "{} to {}",
            end(Figure::SeatHeightLowest, low),
            end(Figure::SeatHeightHighest, units.length_at_most(highest))
        );
        let note = if is_failing {
            Note::signed(Sign::Fail, text)
        } else {
            Note::plain(text)
        };
        (figure, note)
    }

    /// An arrow from an end of the range towards a band that lies off it; returns its middle.
    fn way(&self, gauge: &mut Element, strips: &Strips<'_, '_>, end: f64, up: f64) -> Spot {
        let scale = self.view().scale;
        let at = |paper: f64| strips.at(end + up * paper * scale, STRIP + 0.7 + STRIP / 2.0);
        let (start, tip) = (at(-1.0), at(WAY));
        gauge.append(&line("wanted-way", start, tip));
        gauge.append(&arrow_head("wanted-off", tip, start.angle_to(tip)));
        start.towards(tip, 0.5)
    }
}
