//! The page: a sheet in millimetres with its title, its layers and its words, on which every picture is put.
//! Every text, leader, dimension and mark passes through here, is cleaned, and is written down in the plan.
//! What is drawn is the pictures' business; colours are the palette's.

use crate::draw::element::Element;

use crate::draw::arrows;
use crate::draw::lettering::{ASCENT, Face, Weight};
use crate::draw::palette;
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{circle, group, line, rectangle, short};
use crate::draw::plan::{Dimension, Label, Leader, Mark, Named, Picture, Plan, Tube};
use crate::words::clean;

/// A4, mm.
pub(super) const A4_LONG: f64 = 297.0;
/// See [`A4_LONG`].
pub(super) const A4_SHORT: f64 = 210.0;
/// Width of a narrow sheet, mm.
pub(super) const NARROW: f64 = 100.0;
/// Free edge, mm.
pub(super) const MARGIN: f64 = 9.0;

/// Free edge of a page so wide, mm.
pub(super) fn margin(width: f64) -> f64 {
    MARGIN.min(0.05 * width)
}

/// The sheet that a picture is drawn on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Form {
    /// A4 lying: side by side, words beside what they are about.
    #[default]
    Lying,
    /// Narrow and upright, for a phone: one below the other, words in rows.
    Upright,
}

/// Which part of a text its place is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Align {
    Left,
    Middle,
    Right,
}

/// A page being filled.
#[derive(Debug)]
pub(super) struct Page {
    title: String,
    description: String,
    layers: Vec<Element>,
    words: Element,
    plan: Plan,
    is_chart: bool,
}

impl Page {
    /// An empty page, mm.
    pub(super) fn new(width: f64, height: f64, title: &str, description: &str) -> Self {
        Self {
            title: clean(title).into_owned(),
            description: clean(description).into_owned(),
            layers: Vec::new(),
            words: group("words"),
            plan: Plan {
                sheet: Rect::new(0.0, 0.0, width, height),
                scale: None,
                labels: Vec::new(),
                leaders: Vec::new(),
                dimensions: Vec::new(),
                tubes: Vec::new(),
                marks: Vec::new(),
            },
            is_chart: false,
        }
    }

    /// An empty narrow page, which has no end until [`Self::end`] gives it one.
    pub(super) fn narrow(title: &str, description: &str) -> Self {
        Self::new(NARROW, f64::INFINITY, title, description)
    }

    /// Ends the page at a height, mm.
    pub(super) fn end(&mut self, height: f64) {
        self.plan.sheet.height = height;
    }

    /// The page of a chart, with what series need besides.
    pub(super) fn of_chart(self) -> Self {
        Self {
            is_chart: true,
            ..self
        }
    }

    /// Says at what scale it is drawn, mm of bike in one of paper.
    pub(super) fn scaled(&mut self, scale: f64) {
        self.plan.scale = Some(scale);
    }

    pub(super) fn width(&self) -> f64 {
        self.plan.sheet.width
    }

    /// Free edge, mm: narrower on a narrow page.
    pub(super) fn margin(&self) -> f64 {
        margin(self.width())
    }

    pub(super) fn height(&self) -> f64 {
        self.plan.sheet.height
    }

    /// What is on it so far.
    pub(super) fn plan(&self) -> &Plan {
        &self.plan
    }

    pub(super) fn add(&mut self, layer: Element) {
        self.layers.push(layer);
    }

    /// Something small that belongs to the words and lies above every layer.
    pub(super) fn add_above(&mut self, what: &str, place: Rect, mark: &Element) {
        self.words.append(mark);
        self.mark(what, place);
    }

    /// Writes down that something stands in a place.
    pub(super) fn mark(&mut self, what: &str, place: Rect) {
        self.plan.marks.push(Mark {
            what: what.to_owned(),
            place,
        });
    }

    /// Writes down where tubes are.
    pub(super) fn tubes(&mut self, tubes: impl IntoIterator<Item = Tube>) {
        self.plan.tubes.extend(tubes);
    }

    /// Writes `text` with its base line at `at`, shortened to `room`; returns the width it takes.
    pub(super) fn write(
        &mut self,
        at: Spot,
        align: Align,
        face: Face,
        room: f64,
        text: &str,
    ) -> f64 {
        self.put(at, align, face, room, text, None)
    }

    /// The same for words about one place in the drawing.
    pub(super) fn write_about(
        &mut self,
        (what, thing): (&str, Spot),
        at: Spot,
        align: Align,
        face: Face,
        room: f64,
        text: &str,
    ) -> f64 {
        let named = Named {
            what: clean(what).into_owned(),
            at: thing,
        };
        self.put(at, align, face, room, text, Some(named))
    }

    fn put(
        &mut self,
        at: Spot,
        align: Align,
        face: Face,
        room: f64,
        text: &str,
        names: Option<Named>,
    ) -> f64 {
        let text = face.fitted(&clean(text), room);
        let width = face.width(&text);
        let mut element = Element::new("text")
            .set("class", face.class)
            .set("x", short(at.x))
            .set("y", short(at.y))
            .set("font-size", short(face.size));
        let left = match align {
            Align::Left => at.x,
            Align::Middle => {
                element = element.set("text-anchor", "middle");
                at.x - width / 2.0
            }
            Align::Right => {
                element = element.set("text-anchor", "end");
                at.x - width
            }
        };
        if face.weight == Weight::Bold {
            element = element.set("font-weight", "bold");
        }
        self.words.append(&element.text(&text));
        self.plan.labels.push(Label {
            text,
            place: Rect::new(left, at.y - ASCENT * face.size, width, face.height()),
            names,
        });
        width
    }

    /// A stroke from words to what they name, with a dot at its end.
    pub(super) fn leader(&mut self, what: &str, from: Spot, to: Spot) {
        self.add(
            group("leaders")
                .add(line("leader-halo", from, to))
                .add(line("leader", from, to))
                .add(circle("leader-dot", to, 0.65)),
        );
        self.plan.leaders.push(Leader {
            what: clean(what).into_owned(),
            from,
            to,
        });
    }

    /// A dimension between two spots; `tone` is a class besides, or nothing.
    pub(super) fn dimension(&mut self, what: &str, tone: &str, from: Spot, to: Spot) {
        self.add(arrows::dimension(tone, from, to));
        self.measured(what, vec![from, to]);
    }

    /// An angle at `centre`, radians from right towards up.
    pub(super) fn angle(
        &mut self,
        what: &str,
        tone: &str,
        (centre, radius): (Spot, f64),
        start: f64,
        end: f64,
    ) {
        self.add(arrows::angle_mark(tone, centre, radius, start, end));
        self.measured(what, arrows::angle_path(centre, radius, start, end));
    }

    fn measured(&mut self, what: &str, path: Vec<Spot>) {
        self.plan.dimensions.push(Dimension {
            what: what.to_owned(),
            path,
        });
    }

    pub(super) fn finish(self) -> Picture {
        let (width, height) = (self.width(), self.height());
        let (style, definitions) = if self.is_chart {
            (
                format!("{}{}", *palette::STYLE, *palette::CHART_STYLE),
                format!("{}{}", *palette::PATTERN, *palette::CHART_PATTERN),
            )
        } else {
            (palette::STYLE.clone(), palette::PATTERN.clone())
        };
        let mut document = Element::new("svg")
            .set("xmlns", "http://www.w3.org/2000/svg")
            .set("class", palette::ROOT)
            .set("role", "img")
            .set("width", format!("{}mm", short(width)))
            .set("height", format!("{}mm", short(height)))
            .set("viewBox", format!("0 0 {} {}", short(width), short(height)))
            .add(Element::new("title").text(&self.title))
            .add(Element::new("desc").text(&self.description))
            .add(Element::new("style").markup(&style))
            .add(Element::new("defs").markup(&definitions))
            .add(rectangle("sheet", Rect::new(0.0, 0.0, width, height)));
        for layer in &self.layers {
            document.append(layer);
        }
        document.append(&self.words);
        Picture {
            svg: document.to_string() + "\n",
            plan: self.plan,
        }
    }
}
