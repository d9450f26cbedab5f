//! The paper: a sheet of A4 or lower in millimetres, the scale that a drawing goes on it at, its colours, and its text.
//! All text passes through here, so that every line's box is known to the tests.
//! What is drawn on the sheet is the pictures' business.

use std::sync::LazyLock;

use svg::Node as _;
use svg::node::Text;
use svg::node::element::{Definitions, Element, Group, Pattern, Rectangle, Style as StyleElement};

use crate::draw::ink::{Spot, line, short};
use crate::draw::label::{
    ASCENT, DESCENT, Label, Plan, Rect, Weight, fitted, printable, text_width,
};
use crate::plane::Point;

/// A4 across, mm.
pub(super) const WIDTH: f64 = 297.0;
/// A4 upright, mm.
pub(super) const HEIGHT: f64 = 210.0;
/// A sheet with a bike and no rider on it, mm.
pub(super) const LOW_HEIGHT: f64 = 166.0;
/// Free edge, mm.
pub(super) const MARGIN: f64 = 9.0;

/// A size and weight of type, and its colour class.
#[derive(Debug, Clone, Copy)]
pub(super) struct Face {
    pub(super) size: f64,
    pub(super) weight: Weight,
    pub(super) class: &'static str,
}

const fn face(size: f64, weight: Weight, class: &'static str) -> Face {
    Face {
        size,
        weight,
        class,
    }
}

pub(super) const TITLE: Face = face(6.6, Weight::Bold, "ink");
pub(super) const SUBTITLE: Face = face(3.5, Weight::Regular, "quiet");
pub(super) const VERDICT: Face = face(5.6, Weight::Bold, "ink");
pub(super) const NAME: Face = face(3.4, Weight::Regular, "ink");
pub(super) const FIGURE: Face = face(5.0, Weight::Bold, "ink");
pub(super) const NOTE: Face = face(3.0, Weight::Regular, "quiet");
pub(super) const LEGEND: Face = face(3.1, Weight::Regular, "ink");
pub(super) const CAUTION: Face = face(3.3, Weight::Bold, "ink");

/// Which end of a text its place is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Align {
    Left,
    Right,
}

/// The box of bike millimetres that a drawing fills.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extent {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Extent {
    pub(super) fn around(centre: Point, radius: f64) -> Self {
        Self {
            left: centre.x - radius,
            right: centre.x + radius,
            low: centre.y - radius,
            high: centre.y + radius,
        }
    }

    pub(super) fn and(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            right: self.right.max(other.right),
            low: self.low.min(other.low),
            high: self.high.max(other.high),
        }
    }

    pub(super) fn and_point(self, point: Point) -> Self {
        self.and(Self::around(point, 0.0))
    }
}

/// From millimetres of bike to millimetres of paper; one scale both ways.
#[derive(Debug, Clone, Copy)]
pub(super) struct View {
    /// Millimetres of bike in one of paper.
    pub(super) scale: f64,
    /// Where the bottom bracket lies on paper.
    origin: Spot,
}

impl View {
    /// The largest scale in steps of one tenth at which `extent` goes into `room`: standing on its
    /// lower edge, centred across.
    pub(super) fn fit(extent: Extent, room: Rect) -> Self {
        const STEP: f64 = 0.1;
        let across = (extent.right - extent.left) / room.width;
        let upright = (extent.high - extent.low) / room.height;
        let scale = ((across.max(upright) / STEP).ceil() * STEP).max(STEP);
        let centre = f64::midpoint(extent.left, extent.right);
        Self {
            scale,
            origin: Spot::new(
                room.x + room.width / 2.0 - centre / scale,
                room.bottom() + extent.low / scale,
            ),
        }
    }

    pub(super) fn spot(&self, point: Point) -> Spot {
        self.origin
            .moved(point.x / self.scale, -point.y / self.scale)
    }

    /// A length on paper.
    pub(super) fn paper(&self, mm: f64) -> f64 {
        mm / self.scale
    }
}

/// A sheet being filled.
#[derive(Debug)]
pub(super) struct Sheet {
    title: String,
    description: String,
    width: f64,
    height: f64,
    layers: Vec<Group>,
    words: Group,
    labels: Vec<Label>,
}

impl Sheet {
    /// An empty sheet, A4 wide and `height` mm high.
    pub(super) fn new(title: &str, description: &str, height: f64) -> Self {
        Self {
            title: printable(title),
            description: printable(description),
            width: WIDTH,
            height,
            layers: Vec::new(),
            words: Group::new().set("class", "words"),
            labels: Vec::new(),
        }
    }

    /// The same sheet cut to another width, mm; call-out columns need the full one.
    pub(super) fn cut_to(self, width: f64) -> Self {
        Self { width, ..self }
    }

    pub(super) fn height(&self) -> f64 {
        self.height
    }

    pub(super) fn add(&mut self, layer: Group) {
        self.layers.push(layer);
    }

    /// Something small that belongs to the words and lies above every layer.
    pub(super) fn add_to_words(&mut self, mark: impl Into<Box<dyn svg::Node>>) {
        self.words = std::mem::take(&mut self.words).add(mark);
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
        let text = fitted(&printable(text), face.size, face.weight, room);
        let width = text_width(&text, face.size, face.weight);
        let mut element = holding("text", &text);
        element.assign("class", face.class);
        element.assign("x", short(at.x));
        element.assign("y", short(at.y));
        element.assign("font-size", short(face.size));
        let left = match align {
            Align::Left => at.x,
            Align::Right => {
                element.assign("text-anchor", "end");
                at.x - width
            }
        };
        if face.weight == Weight::Bold {
            element.assign("font-weight", "bold");
        }
        self.words = std::mem::take(&mut self.words).add(element);
        self.labels.push(Label {
            text,
            place: Rect {
                x: left,
                y: at.y - ASCENT * face.size,
                width,
                height: (ASCENT + DESCENT) * face.size,
            },
        });
        width
    }

    /// Scale bar with its length in `label` under it; `length` in mm of paper.
    pub(super) fn scale_bar(&mut self, at: Spot, length: f64, label: &str) {
        const TICK: f64 = 1.2;
        let end = at.moved(length, 0.0);
        let mut bar = Group::new()
            .set("class", "scale-bar")
            .add(line("measure", at, end));
        for share in [0.0, 0.5, 1.0] {
            let x = at.towards(end, share);
            bar = bar.add(line("measure", x.moved(0.0, -TICK), x.moved(0.0, TICK)));
        }
        self.add(bar);
        self.write(
            end.moved(2.5, 1.1),
            Align::Left,
            LEGEND,
            WIDTH - MARGIN - end.x,
            label,
        );
    }

    pub(super) fn plan(&self, scale: f64) -> Plan {
        Plan {
            view_box: Rect {
                x: 0.0,
                y: 0.0,
                width: self.width,
                height: self.height,
            },
            scale,
            labels: self.labels.clone(),
        }
    }

    pub(super) fn finish(self) -> String {
        let paper = Rectangle::new()
            .set("class", "paper")
            .set("width", self.width)
            .set("height", self.height);
        let mut document = svg::Document::new()
            .set("class", ROOT)
            .set("role", "img")
            .set("width", format!("{}mm", self.width))
            .set("height", format!("{}mm", self.height))
            .set("viewBox", format!("0 0 {} {}", self.width, self.height))
            .add(holding("title", &self.title))
            .add(holding("desc", &self.description))
            .add(StyleElement::new(STYLE.as_str()))
            .add(definitions())
            .add(paper);
        for layer in self.layers {
            document = document.add(layer);
        }
        document.add(self.words).to_string() + "\n"
    }
}

/// An element round a text, with nothing added to the text; the crate's own text element puts line
/// ends inside.
fn holding(name: &str, text: &str) -> Element {
    let mut element = Element::new(name);
    element.append(Text::new(text));
    element
}

/// Class of the root element; every rule is kept inside it, so that a picture pasted into a page
/// leaves the page's own style alone.
const ROOT: &str = "inseam-picture";

/// Hatching of the wanted band.
pub(super) const HATCH: &str = "inseam-hatch";

fn definitions() -> Definitions {
    let stripe = line("", Spot::new(0.0, 0.0), Spot::new(0.0, 1.6)).set("class", "hatch");
    Definitions::new().add(
        Pattern::new()
            .set("id", HATCH)
            .set("width", "1.6")
            .set("height", "1.6")
            .set("patternUnits", "userSpaceOnUse")
            .set("patternTransform", "rotate(45)")
            .add(stripe),
    )
}

/// Colours and strokes. Hues keep apart for the three common kinds of colour blindness (after Okabe
/// & Ito 2008) and differ in lightness, so that a grey print still tells them apart.
#[rustfmt::skip]
const RULES: &[(&[&str], &str)] = &[
    (&["text"], "font-family:'Liberation Sans',Arial,Helvetica,sans-serif;stroke:none"),
    (&["text.ink"], "fill:#1c2530"),
    (&["text.quiet"], "fill:#4d5966"),
    (&["text.light"], "fill:#fff"),
    (&[".paper"], "fill:#fff"),
    (&["path", "line", "circle"], "stroke-linecap:round;stroke-linejoin:round"),
    (&[".ground"], "stroke:#1c2530;stroke-width:.5"),
    (&[".ground-hatch"], "stroke:#8a949e;stroke-width:.3;fill:none"),
    // The bike.
    (&[".tyre"], "fill:none;stroke:#363c43"),
    (&[".tread"], "fill:none;stroke:#79828b;stroke-width:.35;stroke-linecap:butt"),
    (&[".rim"], "fill:none;stroke:#b9c1c8"),
    (&[".rim-edge"], "fill:none;stroke:#6b747d;stroke-width:.2"),
    (&[".spokes"], "fill:none;stroke:#b9c1c8;stroke-width:.2"),
    (&[".hub", ".metal"], "fill:#c6cdd3;stroke:#525c66;stroke-width:.3"),
    (&[".tube-edge"], "fill:none;stroke:#123f4a"),
    (&[".tube"], "fill:none;stroke:#3a90a0"),
    (&[".shine"], "fill:none;stroke:#fff;stroke-opacity:.35"),
    (&[".shell"], "fill:#3a90a0;stroke:#123f4a;stroke-width:.35"),
    (&[".metal-edge"], "fill:none;stroke:#525c66"),
    (&[".metal-tube"], "fill:none;stroke:#c6cdd3"),
    (&[".dark"], "fill:#353b42;stroke:#14181c;stroke-width:.25"),
    (&[".dark-edge"], "fill:none;stroke:#14181c"),
    (&[".dark-tube"], "fill:none;stroke:#454c54"),
    (&[".chain"], "fill:none;stroke:#5b646d;stroke-width:.45;stroke-dasharray:.6 .5;stroke-linecap:butt"),
    (&[".toothed"], "fill:none;stroke:#5b646d"),
    (&[".hidden"], "fill:none;stroke:#123f4a;stroke-width:.25;stroke-dasharray:1 .7;stroke-linecap:butt"),
    (&[".far"], "opacity:.38"),
    // The rider.
    (&[".rider"], "opacity:.74"),
    (&[".edge"], "stroke-width:.7"),
    (&[".skin"], "fill:#e3bd9b"),
    (&[".skin.edge"], "stroke:#9a6a45"),
    (&[".shirt"], "fill:#f3cd74"),
    (&[".shirt.edge"], "stroke:#a87c1e"),
    (&[".shorts"], "fill:#8d9bb0"),
    (&[".shorts.edge"], "stroke:#4a566a"),
    (&[".shoe"], "fill:#5a6470;stroke:#2a3138;stroke-width:.35"),
    (&[".sole"], "fill:none;stroke:#f4f4f2;stroke-width:.5"),
    (&[".helmet"], "fill:#c65f3d;stroke:#7a3219;stroke-width:.35"),
    (&[".vent"], "fill:none;stroke:#7a3219;stroke-width:.5"),
    (&[".strap"], "fill:none;stroke:#7a3219;stroke-width:.4"),
    (&[".eye"], "fill:#1c2530;stroke:none"),
    (&[".smile"], "fill:none;stroke:#7a4a2c;stroke-width:.4"),
    (&[".joint"], "fill:#fff;stroke:#1c2530;stroke-width:.3"),
    (&[".bone"], "fill:none;stroke:#1c2530;stroke-width:.25;stroke-opacity:.7"),
    (&[".ghost"], "fill:none;stroke:#9c3a12;stroke-width:.4;stroke-dasharray:1.6 1.1"),
    // Dimensions.
    (&[".halo"], "fill:none;stroke:#fff;stroke-width:1.3;stroke-opacity:.75;stroke-linecap:butt"),
    (&[".measure"], "fill:none;stroke:#0a3557;stroke-width:.4"),
    (&[".head"], "fill:#0a3557;stroke:#fff;stroke-width:.5;paint-order:stroke"),
    (&[".aid"], "fill:none;stroke:#0a3557;stroke-width:.22;stroke-dasharray:1.4 .9;stroke-linecap:butt"),
    (&[".aid-halo"], "fill:none;stroke:#fff;stroke-width:.6;stroke-opacity:.7;stroke-linecap:butt"),
    (&[".leader"], "fill:none;stroke:#4d5966;stroke-width:.22"),
    (&[".leader-halo"], "fill:none;stroke:#fff;stroke-width:.9;stroke-opacity:.8"),
    (&[".leader-dot"], "fill:#4d5966;stroke:#fff;stroke-width:.2"),
    (&[".range"], "fill:#fff;stroke:#1c2530;stroke-width:.35"),
    (
        &[".doubt"],
        "fill:#1c2530;fill-opacity:.18;stroke:#1c2530;stroke-width:.2;stroke-dasharray:.8 .6",
    ),
    (&[".wanted"], "stroke:#00684b;stroke-width:.35"),
    (&[".hatch"], "stroke:#008a64;stroke-width:1.1"),
    (&[".mark"], "fill:none;stroke:#b83a00;stroke-width:.8;stroke-linecap:butt"),
    (&[".mark-flag"], "fill:#b83a00;stroke:#fff;stroke-width:.15"),
    (&[".setting"], "fill:#0a3557;stroke:#fff;stroke-width:.2"),
    // Status shapes and the verdict.
    (&[".ok"], "fill:#00684b"),
    (&[".caution"], "fill:#b88600"),
    (&[".adjust"], "fill:#0067a5"),
    (&[".fail"], "fill:#b83a00"),
    (&[".unknown"], "fill:#6b747d"),
    (&[".sign"], "fill:none;stroke:#fff;stroke-width:.5"),
    (&[".chip"], "fill:#fff;stroke-width:.6"),
    (&[".chip.ok"], "stroke:#00684b"),
    (&[".chip.adjust"], "stroke:#0067a5"),
    (&[".chip.fail"], "stroke:#b83a00"),
    // Two bikes over each other.
    (&[".first"], "fill:none;stroke:#1f7484;stroke-width:1.5"),
    (&[".first-wheel"], "fill:none;stroke:#1f7484;stroke-opacity:.28"),
    (&[".second-wheel"], "fill:none;stroke:#b83a00;stroke-opacity:.1"),
    (&[".first-thin"], "fill:none;stroke:#1f7484;stroke-width:.5"),
    (&[".first-dot"], "fill:#1f7484;stroke:#fff;stroke-width:.3"),
    (&[".second"], "fill:none;stroke:#b83a00;stroke-width:.75;stroke-dasharray:2.4 1.3;stroke-linecap:butt"),
    (&[".second-thin"], "fill:none;stroke:#b83a00;stroke-width:.45;stroke-dasharray:1.2 .9;stroke-linecap:butt"),
    (&[".second-dot"], "fill:#fff;stroke:#b83a00;stroke-width:.6"),
    // How to measure.
    (&[".wall"], "fill:#e7e9eb;stroke:#8a949e;stroke-width:.3"),
    (&[".book"], "fill:#3a90a0;stroke:#123f4a;stroke-width:.35"),
    (&[".pages"], "fill:#fff;stroke:#123f4a;stroke-width:.25"),
    (&[".hair"], "fill:#6b5240;stroke:#3f2f24;stroke-width:.35"),
];

static STYLE: LazyLock<String> = LazyLock::new(|| {
    let rule = |(selectors, body): &(&[&str], &str)| {
        let inside: Vec<_> = selectors
            .iter()
            .map(|selector| format!(".{ROOT} {selector}"))
            .collect();
        format!("{}{{{body}}}", inside.join(","))
    };
    let rules: Vec<_> = RULES.iter().map(rule).collect();
    format!(
        "{}@media print{{.{ROOT}{{print-color-adjust:exact;-webkit-print-color-adjust:exact}}.{ROOT} .paper{{fill:none}}}}",
        rules.concat()
    )
});
