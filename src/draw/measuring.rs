//! How to take the three measurements: inseam, height, arm reach, each with a drawing and its few words.
//! The figure is a body of middle size from the same estimates as every rider; no fit is shown.
//! What the measurements are used for is `rider`'s business.

use crate::draw::element::Element;

use crate::draw::arrows::aid;
use crate::draw::figure::{ArmPose, Dress, Figure, LegPose};
use crate::draw::ground::ground;
use crate::draw::heading;
use crate::draw::lettering::{HEADING, NAME};
use crate::draw::page::{A4_LONG, A4_SHORT, Align, Form, MARGIN, NARROW, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{Outline, circle, group};
use crate::draw::plan::Picture;
use crate::draw::view::{Extent, View};
use crate::plane::{Point, Vector};
use crate::rider::measures::{estimate_arm_reach_mm, estimate_inseam_mm};
use crate::rider::{Body, Residuals, Segment};

/// Height of the child drawn, mm.
const CHILD_MM: f64 = 1200.0;
/// Width of one of the three drawings, mm.
const PANEL: f64 = (A4_LONG - 2.0 * MARGIN) / 3.0;
/// Floor, mm from the top.
const FLOOR_Y: f64 = 161.0;
/// Highest thing in a drawing, mm from the top.
const CEILING_Y: f64 = 22.0;
/// Room for the name of a dimension, mm.
const ROOM: f64 = 31.0;
/// Between two lines of words, mm.
const LEADING: f64 = 5.4;

/// What is measured.
#[derive(Clone, Copy)]
enum What {
    Inseam,
    Height,
    ArmReach,
}

/// One measurement: its heading and its words, line by line.
struct Panel {
    what: What,
    name: &'static str,
    words: &'static [&'static str],
}

const PANELS: [Panel; 3] = [
    Panel {
        what: What::Inseam,
        name: "1  Inseam",
        words: &[
            "Barefoot, back to the wall.",
            "Book between the legs, flat on the wall,",
            "pressed up as firmly as a saddle would.",
            "Floor to the top edge of the book.",
        ],
    },
    Panel {
        what: What::Height,
        name: "2  Height",
        words: &[
            "Barefoot, heels and back to the wall,",
            "eyes straight ahead.",
            "Book flat on the head, square to the wall.",
            "Floor to the underside of the book.",
        ],
    },
    Panel {
        what: What::ArmReach,
        name: "3  Arm reach",
        words: &[
            "Arm straight out, fist closed.",
            "Bony tip of the shoulder to the middle",
            "of the fist, as if it held a grip.",
        ],
    },
];

const TITLE_WORDS: &str = "Three measurements, five minutes";
const TWICE: &str = "Measure everything twice. When the two differ by more than 5 mm, measure a third time and take the middle figure.";
const ABOUT: [&str; 2] = [
    "How to measure a child for a bicycle",
    "Three drawings of a child standing barefoot. Inseam: back to the wall, book between the legs pressed up firmly, floor to the book's top edge. Height: book flat on the head, floor to its underside. Arm reach: arm straight out, shoulder tip to the middle of the closed fist.",
];

/// How to take the three measurements.
pub fn measuring(form: Form) -> Picture {
    let inseam = estimate_inseam_mm(CHILD_MM);
    let body = Body::new(
        CHILD_MM,
        inseam,
        estimate_arm_reach_mm(CHILD_MM),
        0.0,
        &[None; Segment::ALL.len()],
        &Residuals::default(),
    );
    match form {
        Form::Lying => lying(&body),
        Form::Upright => upright(&body),
    }
}

/// Side by side on one floor, the words below.
fn lying(body: &Body) -> Picture {
    let [title, description] = ABOUT;
    let mut page = Page::new(A4_LONG, A4_SHORT, title, description);
    let room = A4_LONG - 2.0 * MARGIN;
    heading::across(&mut page, TITLE_WORDS);
    page.add(ground(FLOOR_Y, MARGIN, A4_LONG - MARGIN));
    for (index, panel) in PANELS.iter().enumerate() {
        let left = MARGIN + PANEL * index as f64;
        let drawing = Rect::new(left, CEILING_Y, PANEL, FLOOR_Y - CEILING_Y);
        Standing::new(body, drawing).measured(&mut page, panel.what);
        let at = |row: f64| Spot::new(left + 2.0, FLOOR_Y + 10.0 + row);
        page.write(at(0.0), Align::Left, HEADING, PANEL - 4.0, panel.name);
        let mut row = 1.2 * LEADING;
        for text in panel.words {
            page.write(at(row), Align::Left, NAME, PANEL - 4.0, text);
            row += LEADING * 0.92;
        }
    }
    let at = Spot::new(MARGIN, A4_SHORT - 6.0);
    page.write(at, Align::Left, NAME, room, TWICE);
    page.finish()
}

/// One below the other, the words beside.
fn upright(body: &Body) -> Picture {
    /// Height of a drawing with what is free above it, and width, mm.
    const ROW: f64 = 66.0;
    const DRAWING: f64 = 44.0;
    let [title, description] = ABOUT;
    let mut page = Page::narrow(title, description);
    let left = page.margin();
    let mut y = heading::title(&mut page, TITLE_WORDS) - 4.0;
    for panel in &PANELS {
        let floor = y + ROW;
        let drawing = Rect::new(left, y + 4.0, DRAWING, ROW - 4.0);
        page.add(ground(floor, left, NARROW - left));
        Standing::new(body, drawing).measured(&mut page, panel.what);
        let beside = left + DRAWING + 2.0;
        let room = NARROW - left - beside;
        let mut row = y + 20.0;
        let at = Spot::new(beside, row);
        page.write(at, Align::Left, HEADING, room, panel.name);
        for line in NAME.wrapped(&panel.words.join(" "), room) {
            row += LEADING;
            page.write(Spot::new(beside, row), Align::Left, NAME, room, &line);
        }
        y = floor + 2.0;
    }
    let last = heading::lines(&mut page, NAME, TWICE, y + 8.0);
    page.end(last.ceil());
    page.finish()
}

/// The child standing at a wall; x from the hip, y from the floor.
struct Standing<'a> {
    figure: Figure<'a>,
    body: &'a Body,
    wall: f64,
}

impl<'a> Standing<'a> {
    fn new(body: &'a Body, room: Rect) -> Self {
        const BEHIND: f64 = 150.0;
        const AHEAD: f64 = 560.0;
        const ABOVE: f64 = 60.0;
        let extent = Extent {
            left: -BEHIND,
            right: AHEAD,
            low: 0.0,
            high: body.height_mm + ABOVE,
        };
        Self {
            figure: Figure {
                body,
                view: View::fit(extent, room),
                dress: Dress::Barefoot,
            },
            body,
            // As far behind the hip as the seat reaches.
            wall: -0.08 * body.height_mm,
        }
    }

    fn spot(&self, x: f64, y: f64) -> Spot {
        self.figure.view.spot(Point::new(x, y))
    }

    fn hip(&self) -> Point {
        Point::new(0.0, self.body.hip_height_mm)
    }

    fn shoulder(&self) -> Point {
        Point::new(-8.0, self.body.shoulder_height_mm)
    }

    fn leg(&self) -> LegPose {
        let ankle = Point::new(-28.0, self.body.ankle_height_mm);
        LegPose {
            hip: self.hip(),
            knee: Point::new(-6.0, self.body.knee_height_mm),
            ankle,
            ball: Point::new(ankle.x + self.body.ankle_to_ball_mm, 0.0),
        }
    }

    fn wall(&self) -> Element {
        const THICK: f64 = 40.0;
        let high = self.body.height_mm + 55.0;
        group("wall-part").add(
            Outline::from(self.spot(self.wall, 0.0))
                .line(self.spot(self.wall, high))
                .line(self.spot(self.wall - THICK, high))
                .line(self.spot(self.wall - THICK, 0.0))
                .close()
                .path("wall"),
        )
    }

    fn child(&self, arm: ArmPose) -> Element {
        group("rider")
            .add(self.figure.trunk(self.hip(), self.shoulder()))
            .add(self.figure.leg(self.leg()))
            .add(self.figure.arm(self.shoulder(), arm))
    }

    fn arm_down(&self) -> ArmPose {
        let elbow = self.shoulder() + Vector::new(-10.0, -self.body.upper_arm_mm);
        ArmPose {
            elbow,
            hand: elbow + Vector::new(38.0, -self.body.forearm_mm),
        }
    }

    /// A book as a rectangle with its pages showing along one edge.
    fn book(&self, left: f64, low: f64, wide: f64, high: f64) -> Element {
        let (right, top) = (left + wide, low + high);
        let cover = Outline::from(self.spot(left, low))
            .line(self.spot(right, low))
            .line(self.spot(right, top))
            .line(self.spot(left, top))
            .close()
            .path("book");
        group("book-part").add(cover)
    }

    /// An upright dimension from the floor, with an aid from what it measures and its name beside it.
    fn upright(&self, page: &mut Page, name: &str, from: f64, high: f64) {
        const X: f64 = 330.0;
        page.add(aid(self.spot(from, high), self.spot(X + 15.0, high)));
        let (floor, top) = (self.spot(X, 0.0), self.spot(X, high));
        page.dimension(name, "", floor, top);
        let middle = floor.towards(top, 0.5);
        page.write_about(
            (name, middle),
            middle.moved(2.5, NAME.below_middle()),
            Align::Left,
            NAME,
            ROOM,
            name,
        );
    }

    /// The child with what one measurement takes.
    fn measured(&self, page: &mut Page, what: What) {
        page.scaled(self.figure.view.scale);
        match what {
            What::Inseam => self.inseam(page),
            What::Height => self.height(page),
            What::ArmReach => self.arm_reach(page),
        }
    }

    fn inseam(&self, page: &mut Page) {
        const BOOK_HIGH: f64 = 150.0;
        const BOOK_WIDE: f64 = 215.0;
        let inseam = self.body.inseam_mm;
        page.add(self.wall());
        page.add(self.book(self.wall, inseam - BOOK_HIGH, BOOK_WIDE, BOOK_HIGH));
        page.add(self.child(self.arm_down()));
        self.upright(page, "inseam", self.wall + BOOK_WIDE, inseam);
    }

    fn height(&self, page: &mut Page) {
        const BOOK_WIDE: f64 = 220.0;
        const BOOK_HIGH: f64 = 28.0;
        let height = self.body.height_mm;
        page.add(self.wall());
        page.add(self.child(self.arm_down()));
        page.add(self.book(self.wall, height, BOOK_WIDE, BOOK_HIGH));
        self.upright(page, "height", self.wall + BOOK_WIDE, height);
    }

    fn arm_reach(&self, page: &mut Page) {
        const NAME_OF_IT: &str = "arm reach";
        // Clear of the face.
        const BELOW: f64 = 95.0;
        let shoulder = self.shoulder();
        let elbow = shoulder + Vector::new(self.body.upper_arm_mm, 0.0);
        let hand = elbow + Vector::new(self.body.forearm_mm, 0.0);
        page.add(self.child(ArmPose { elbow, hand }));
        let below = |from: Point, by: f64| self.spot(from.x, from.y - by);
        for end in [shoulder, hand] {
            let spot = self.figure.view.spot(end);
            page.add(aid(spot, below(end, BELOW + 15.0)));
            page.add(group("joints").add(circle("joint", spot, 1.1)));
        }
        let (from, to) = (below(shoulder, BELOW), below(hand, BELOW));
        page.dimension(NAME_OF_IT, "", from, to);
        let place = from.towards(to, 0.68);
        page.write_about(
            (NAME_OF_IT, place),
            place.moved(0.0, 5.0),
            Align::Middle,
            NAME,
            ROOM,
            NAME_OF_IT,
        );
    }
}
