//! The rider: soft limbs of plausible thickness round the joints that the pose gives, with shoe, head and helmet.
//! Lengths are the body's own; thicknesses are shares of height, for looks only, and nothing is read off them.
//! Where the joints are is `fit`'s business.

use svg::node::element::{Group, Path};

use crate::draw::ink::{Outline, Rod, Spot, circle, group, line};
use crate::draw::sheet::{Extent, View};
use crate::plane::{Point, Vector, direction, quarter_turn};
use crate::rider::Body;
use crate::rider::body::HEEL_TO_BALL;

/// Head front to back over crown to chin.
const HEAD_DEPTH: f64 = 0.86;
/// Shoe beyond heel and toe, mm (common practice).
const SHOE_BEYOND: f64 = 9.0;
/// Helmet shell beyond the head, mm.
const SHELL: f64 = 16.0;

/// Hip, knee, ankle, ball of the foot.
#[derive(Debug, Clone, Copy)]
pub(super) struct LegPose {
    pub(super) hip: Point,
    pub(super) knee: Point,
    pub(super) ankle: Point,
    pub(super) ball: Point,
}

/// Elbow and hand.
#[derive(Debug, Clone, Copy)]
pub(super) struct ArmPose {
    pub(super) elbow: Point,
    pub(super) hand: Point,
}

/// What is on the head and the feet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Dress {
    /// Helmet and shoes.
    Riding,
    /// Bare head and feet.
    Barefoot,
}

/// A body on paper.
#[derive(Debug, Clone, Copy)]
pub(super) struct Figure<'a> {
    pub(super) body: &'a Body,
    pub(super) view: View,
    pub(super) dress: Dress,
}

/// A piece of the body: colour class and outline.
struct Piece(&'static str, Outline);

/// All outlines first, then all fills, so that pieces grow together.
fn grown_together(pieces: &[Piece]) -> Group {
    let mut flesh = group("flesh");
    for Piece(class, outline) in pieces {
        flesh = flesh.add(outline.clone().path(&format!("{class} edge")));
    }
    for Piece(class, outline) in pieces {
        flesh = flesh.add(outline.clone().path(class));
    }
    flesh
}

impl Figure<'_> {
    fn tall(&self) -> f64 {
        self.body.height_mm
    }

    /// Small children are rounder: 1 from 1400 mm up, more below.
    fn round(&self) -> f64 {
        const GROWN_MM: f64 = 1400.0;
        const ROUNDER_PER_MM: f64 = 0.18 / 550.0;
        1.0 + ((GROWN_MM - self.tall()) * ROUNDER_PER_MM).clamp(0.0, 0.2)
    }

    /// A limb between two joints; radii as shares of height.
    fn limb(&self, from: Point, from_share: f64, to: Point, to_share: f64) -> Outline {
        let radius = |share: f64| self.view.paper(share * self.tall() * self.round());
        Rod {
            from: self.view.spot(from),
            from_radius: radius(from_share),
            to: self.view.spot(to),
            to_radius: radius(to_share),
        }
        .outline()
    }

    /// The leg with shoe or foot.
    pub(super) fn leg(&self, pose: LegPose) -> Group {
        let LegPose {
            hip,
            knee,
            ankle,
            ball,
        } = pose;
        let shank = ankle - knee;
        // The calf lies behind the shin bone: right of the way from knee to ankle.
        let back = -quarter_turn(shank.normalize()) * (self.tall() * self.round());
        let behind = |along: f64, out: f64| self.view.spot(knee + shank * along + back * out);
        let calf = Outline::from(behind(0.0, 0.02))
            .line(behind(0.03, 0.03))
            .curve(behind(0.2, 0.044), behind(0.42, 0.046), behind(0.8, 0.02))
            .line(behind(0.8, 0.0))
            .close();
        let hem = hip + (knee - hip) * 0.66;
        let mut pieces = vec![
            Piece("skin", self.limb(knee, 0.031, ankle, 0.0185)),
            Piece("skin", calf),
            Piece("skin", self.limb(hem, 0.038, knee, 0.0325)),
        ];
        let foot = self.foot(ankle, ball);
        match self.dress {
            Dress::Barefoot => {
                pieces.push(Piece("skin", foot.0));
                pieces.push(Piece("shorts", self.limb(hip, 0.051, hem, 0.043)));
                grown_together(&pieces)
            }
            Dress::Riding => {
                pieces.push(Piece("shorts", self.limb(hip, 0.051, hem, 0.043)));
                grown_together(&pieces)
                    .add(foot.0.path("shoe"))
                    .add(foot.1.path("sole"))
            }
        }
    }

    /// Outline of shoe or foot, and the line of its sole.
    fn foot(&self, ankle: Point, ball: Point) -> (Outline, Outline) {
        let (long, high, behind) = (
            self.body.foot_length_mm,
            self.body.ankle_height_mm,
            self.body.ankle_to_ball_mm,
        );
        let (beyond, sole) = match self.dress {
            Dress::Riding => (SHOE_BEYOND, self.body.sole_mm),
            Dress::Barefoot => (0.0, 0.0),
        };
        // Ankle against ball, once in the foot's own frame and once as posed, gives the foot's pitch.
        let posed = ankle - ball;
        let pitch = posed.y.atan2(posed.x) - high.atan2(-behind);
        let (ahead, up) = (direction(pitch), quarter_turn(direction(pitch)));
        let at = |x: f64, y: f64| self.view.spot(ball + ahead * x + up * y);
        let heel = -HEEL_TO_BALL * long - beyond;
        let toe = (1.0 - HEEL_TO_BALL) * long + beyond;
        let collar = 0.085 * long;
        let outline = Outline::from(at(heel + 0.06 * long, -sole))
            .line(at(0.3 * toe, -sole))
            .curve(
                at(0.75 * toe, -sole),
                at(toe, -sole + 0.02 * long),
                at(toe, 0.06 * long),
            )
            .curve(
                at(toe, 0.15 * long),
                at(0.5 * toe, 0.17 * long),
                at(0.05 * toe, 0.22 * long),
            )
            .bend(
                at(-behind + 0.26 * long, 0.9 * high),
                at(-behind + collar, 1.15 * high),
            )
            .line(at(-behind - collar, 1.2 * high))
            .bend(at(heel + 0.06 * long, 0.9 * high), at(heel, 0.12 * long))
            .bend(at(heel - 0.02 * long, -sole), at(heel + 0.06 * long, -sole))
            .close();
        let rand = (0.45 * sole).max(2.0);
        let line = Outline::from(at(heel + 0.07 * long, -sole + rand))
            .line(at(0.35 * toe, -sole + rand))
            .bend(at(0.75 * toe, -sole + rand), at(0.92 * toe, rand));
        (outline, line)
    }

    /// Pelvis to shoulders, neck and head.
    pub(super) fn trunk(&self, hip: Point, shoulder: Point) -> Group {
        let spine = shoulder - hip;
        let lean = spine.y.atan2(spine.x);
        let back = quarter_turn(direction(lean)) * self.tall();
        let seat = hip + Vector::new(-0.012 * self.tall(), 0.0) + back * 0.004;
        let waist = hip + spine * 0.34;
        let head = self.head_centre(shoulder, lean);
        let (deep, _) = self.head_size();
        let neck = self.view.paper(0.24 * deep);
        let neck = Rod {
            from: self.view.spot(shoulder + back * 0.006),
            from_radius: neck,
            to: self.view.spot(head),
            to_radius: neck,
        };
        let drawn = grown_together(&[Piece("skin", neck.outline())]).add(grown_together(&[
            Piece("shorts", self.limb(seat, 0.057, waist, 0.047)),
            Piece("shirt", self.shirt(hip, spine)),
        ]));
        drawn.add(self.head(head, lean))
    }

    /// The shirt from its hem to the shoulder.
    fn shirt(&self, hip: Point, spine: Vector) -> Outline {
        let ahead = -quarter_turn(spine.normalize()) * self.tall() * self.round();
        let at = |along: f64, out: f64| self.view.spot(hip + spine * along + ahead * out);
        Outline::from(at(0.2, 0.05))
            .curve(at(0.38, 0.048), at(0.5, 0.048), at(0.66, 0.056))
            .curve(at(0.82, 0.058), at(0.9, 0.05), at(0.97, 0.034))
            .curve(at(1.06, 0.018), at(1.1, -0.018), at(1.03, -0.034))
            .curve(at(0.94, -0.056), at(0.84, -0.068), at(0.72, -0.068))
            .curve(at(0.55, -0.066), at(0.4, -0.05), at(0.2, -0.056))
            .bend(at(0.13, -0.004), at(0.2, 0.05))
            .close()
    }

    /// Upper arm with its sleeve, forearm, fist.
    pub(super) fn arm(&self, shoulder: Point, arm: ArmPose) -> Group {
        let ArmPose { elbow, hand } = arm;
        let cuff = shoulder + (elbow - shoulder) * 0.62;
        let wrist = elbow + (hand - elbow) * 0.86;
        grown_together(&[
            Piece("skin", self.limb(cuff, 0.0235, elbow, 0.021)),
            Piece("skin", self.limb(elbow, 0.0215, wrist, 0.0145)),
            Piece("skin", self.limb(wrist, 0.018, hand, 0.0225)),
            Piece("shirt", self.limb(shoulder, 0.033, cuff, 0.029)),
        ])
    }

    /// Front to back and crown to chin, mm.
    fn head_size(&self) -> (f64, f64) {
        // Crown to chin over crown to shoulder tip: small children have the larger heads.
        let share = (0.83 - 1e-4 * (self.tall() - 850.0)).clamp(0.7, 0.84);
        let high = share * (self.tall() - self.body.shoulder_height_mm);
        (HEAD_DEPTH * high, high)
    }

    fn head_centre(&self, shoulder: Point, lean: f64) -> Point {
        // The neck takes back half of what the trunk leans, to look ahead.
        let neck = f64::midpoint(lean, std::f64::consts::FRAC_PI_2);
        let (deep, high) = self.head_size();
        let crown = self.tall() - self.body.shoulder_height_mm;
        shoulder + direction(neck) * (crown - high / 2.0) + Vector::new(0.06 * deep, 0.0)
    }

    fn head(&self, centre: Point, lean: f64) -> Group {
        let (deep, high) = self.head_size();
        let (rx, ry) = (deep / 2.0, high / 2.0);
        // A little of the trunk's lean is left in the head.
        let tilt = (lean - std::f64::consts::FRAC_PI_2) * 0.18;
        let (ahead, up) = (direction(tilt), quarter_turn(direction(tilt)));
        let at = |x: f64, y: f64| self.view.spot(centre + ahead * (x * rx) + up * (y * ry));
        let face = Outline::smooth(&[
            at(0.0, 1.0),
            at(0.72, 0.74),
            at(0.93, 0.28),
            at(0.97, 0.02),
            at(1.12, -0.2),
            at(0.94, -0.34),
            at(0.86, -0.7),
            at(0.62, -0.98),
            at(0.1, -0.86),
            at(-0.55, -0.7),
            at(-0.95, -0.1),
            at(-0.86, 0.56),
        ]);
        let eye = self.view.paper(0.055 * deep);
        let drawn = grown_together(&[Piece("skin", face)])
            .add(circle("eye", at(0.66, 0.02), eye))
            .add(
                Outline::from(at(0.87, -0.52))
                    .bend(at(0.72, -0.64), at(0.56, -0.56))
                    .path("smile"),
            );
        match self.dress {
            Dress::Riding => drawn
                .add(
                    Outline::from(at(0.3, 0.2))
                        .line(at(0.22, -0.86))
                        .line(at(-0.38, 0.16))
                        .path("strap"),
                )
                .add(helmet(&at, rx, ry)),
            Dress::Barefoot => drawn.add(
                Outline::from(at(0.8, 0.5))
                    .curve(at(0.75, 1.15), at(-0.2, 1.25), at(-0.75, 0.85))
                    .curve(at(-1.2, 0.45), at(-1.1, -0.3), at(-0.78, -0.42))
                    .bend(at(-0.5, -0.3), at(-0.42, 0.2))
                    .bend(at(0.2, 0.72), at(0.8, 0.5))
                    .close()
                    .path("hair"),
            ),
        }
    }

    /// Lines from joint to joint with a dot at each.
    pub(super) fn joints(&self, joints: &[Point]) -> Group {
        let mut drawn = group("joints");
        for pair in joints.windows(2) {
            if let [from, to] = pair {
                drawn = drawn.add(line("bone", self.view.spot(*from), self.view.spot(*to)));
            }
        }
        for joint in joints {
            drawn = drawn.add(circle("joint", self.view.spot(*joint), 0.85));
        }
        drawn
    }

    /// A limb that is not in a pose, as a dashed outline.
    pub(super) fn ghost(&self, from: Point, to: Point) -> Path {
        self.limb(from, 0.045, to, 0.025).path("ghost")
    }

    /// The room that the upper body takes, in bike mm.
    pub(super) fn extent(&self, hip: Point, shoulder: Point) -> Extent {
        let spine = shoulder - hip;
        let head = self.head_centre(shoulder, spine.y.atan2(spine.x));
        let (deep, high) = self.head_size();
        Extent::around(head, high.max(deep) / 2.0 + SHELL + 4.0)
            .and(Extent::around(hip, 0.075 * self.tall()))
            .and(Extent::around(shoulder, 0.05 * self.tall()))
    }
}

/// Shell with its peak, and vents; `at` places shares of the head's half axes `rx` and `ry`, mm.
fn helmet(at: &impl Fn(f64, f64) -> Spot, rx: f64, ry: f64) -> Group {
    let (x, y) = (1.0 + SHELL / rx, 1.0 + SHELL / ry);
    let shell = Outline::from(at(x * 1.1, 0.3))
        .bend(at(x * 0.98, 0.42), at(0.98 * x, 0.36))
        .curve(at(0.9 * x, 0.86 * y), at(0.42 * x, y), at(-0.05 * x, y))
        .curve(at(-0.7 * x, y), at(-1.05 * x, 0.6 * y), at(-x, 0.02))
        .bend(at(-0.9 * x, -0.14), at(-0.68, -0.06))
        .curve(at(-0.5, 0.28), at(0.2, 0.3), at(0.62 * x, 0.27))
        .close()
        .path("helmet");
    let vents = Outline::from(at(0.45, 0.62 * y))
        .bend(at(0.1, 0.78 * y), at(-0.25, 0.7 * y))
        .then(at(-0.45, 0.3))
        .bend(at(-0.1, 0.52), at(0.35, 0.44))
        .path("vent");
    group("head-gear").add(shell).add(vents)
}
