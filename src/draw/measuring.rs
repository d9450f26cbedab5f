//! How to take the three measurements: inseam, height, arm reach, each with a drawing and its few words.
//! The figure is a body of middle size from the same estimates as every rider; no fit is shown.
//! What the measurements are used for is `rider`'s business.

use svg::node::element::Group;

use crate::draw::arrows::aid;
use crate::draw::figure::{ArmPose, Dress, Figure, LegPose};
use crate::draw::ground::ground;
use crate::draw::lettering::{HEADING, NAME, TITLE};
use crate::draw::page::{A4_LONG, A4_SHORT, Align, MARGIN, Page};
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
/// Between two lines of words, mm.
const LEADING: f64 = 5.4;

/// One measurement: its heading and its words.
struct Panel {
    name: &'static str,
    words: [&'static str; 4],
}

const PANELS: [Panel; 3] = [
    Panel {
        name: "1  Inseam",
        words: [
            "Barefoot, back to the wall.",
            "Book between the legs, flat on the wall,",
            "pressed up as firmly as a saddle would.",
            "Floor to the top edge of the book.",
        ],
    },
    Panel {
        name: "2  Height",
        words: [
            "Barefoot, heels and back to the wall,",
            "eyes straight ahead.",
            "Book flat on the head, square to the wall.",
            "Floor to the underside of the book.",
        ],
    },
    Panel {
        name: "3  Arm reach",
        words: [
            "Arm straight out, fist closed.",
            "Bony tip of the shoulder to the middle",
            "of the fist, as if it held a grip.",
            "",
        ],
    },
];

/// How to take the three measurements.
pub fn measuring() -> Picture {
    let inseam = estimate_inseam_mm(CHILD_MM);
    let body = Body::new(
        CHILD_MM,
        inseam,
        estimate_arm_reach_mm(CHILD_MM),
        0.0,
        &[None; Segment::ALL.len()],
        &Residuals::default(),
    );
    let mut page = Page::new(
        A4_LONG,
        A4_SHORT,
        "How to measure a child for a bicycle",
        "Three drawings of a child standing barefoot. Inseam: back to the wall, book between the legs pressed up firmly, floor to the book's top edge. Height: book flat on the head, floor to its underside. Arm reach: arm straight out, shoulder tip to the middle of the closed fist.",
    );
    let room = A4_LONG - 2.0 * MARGIN;
    page.write(
        Spot::new(MARGIN, 15.0),
        Align::Left,
        TITLE,
        room,
        "Three measurements, five minutes",
    );
    page.add(ground(FLOOR_Y, MARGIN, A4_LONG - MARGIN));
    for (index, panel) in PANELS.iter().enumerate() {
        let left = MARGIN + PANEL * index as f64;
        let standing = Standing::new(&body, left);
        page.scaled(standing.figure.view.scale);
        match index {
            0 => standing.inseam(&mut page),
            1 => standing.height(&mut page),
            _ => standing.arm_reach(&mut page),
        }
        words(&mut page, panel, left);
    }
    page.write(
        Spot::new(MARGIN, A4_SHORT - 6.0),
        Align::Left,
        NAME,
        room,
        "Measure everything twice. When the two differ by more than 5 mm, measure a third time and take the middle figure.",
    );
    page.finish()
}

fn words(page: &mut Page, panel: &Panel, left: f64) {
    let at = |row: f64| Spot::new(left + 2.0, FLOOR_Y + 10.0 + row);
    page.write(at(0.0), Align::Left, HEADING, PANEL - 4.0, panel.name);
    let mut row = 1.2 * LEADING;
    for text in panel.words.iter().filter(|text| !text.is_empty()) {
        page.write(at(row), Align::Left, NAME, PANEL - 4.0, text);
        row += LEADING * 0.92;
    }
}

/// The child standing at a wall; x from the hip, y from the floor.
struct Standing<'a> {
    figure: Figure<'a>,
    body: &'a Body,
    wall: f64,
}

impl<'a> Standing<'a> {
    fn new(body: &'a Body, left: f64) -> Self {
        const BEHIND: f64 = 150.0;
        const AHEAD: f64 = 560.0;
        const ABOVE: f64 = 60.0;
        let extent = Extent {
            left: -BEHIND,
            right: AHEAD,
            low: 0.0,
            high: body.height_mm + ABOVE,
        };
        let room = Rect {
            x: left,
            y: CEILING_Y,
            width: PANEL,
            height: FLOOR_Y - CEILING_Y,
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

    fn wall(&self) -> Group {
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

    fn child(&self, arm: ArmPose) -> Group {
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
    fn book(&self, left: f64, low: f64, wide: f64, high: f64) -> Group {
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
            PANEL / 3.0,
            name,
        );
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
            PANEL / 3.0,
            NAME_OF_IT,
        );
    }
}
