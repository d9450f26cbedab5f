//! The rider: soft limbs of plausible thickness round the joints that the pose gives, with shoe, head and helmet.
//! Lengths are the body's own; thicknesses are shares of height, for looks only, and nothing is read off them.
//! Where the joints are is `fit`'s business.

mod head;
mod shape;

pub(super) use shape::{ArmPose, Dress, Figure, LegPose};
use shape::{Piece, grown_together};

use crate::draw::element::Element;

use crate::draw::pen::{Outline, Rod, circle, group, line};
use crate::draw::view::Extent;
use crate::fit::checks::ground_contact::Contact;
use crate::plane::{Bend, Point, Vector, direction, joint, quarter_turn};
use crate::rider::Body;
use crate::rider::body::HEEL_TO_BALL;

/// Shoe beyond heel and toe, mm (common practice).
const SHOE_BEYOND: f64 = 9.0;
impl Figure<'_> {
    /// The leg with shoe or foot.
    pub(super) fn leg(&self, pose: LegPose) -> Element {
        /// A knee bent less than this is as good as straight, degrees.
        const STRAIGHT_DEG: f64 = 25.0;
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
        // In a straight leg it runs out above the back of the knee; in a bent one it ends there.
        let flexion = (knee - hip).angle(&shank);
        let above = 0.14 * (1.0 - flexion / STRAIGHT_DEG.to_radians()).max(0.0);
        let calf = Outline::from(behind(-above, 0.02))
            .line(behind(0.03 - above, 0.03))
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

    /// A shoe whose heel may be up while its toes lie flat below the ball of the foot.
    fn planted_foot(&self, ankle: Point, ball: Point) -> Outline {
        let (long, sole) = (self.body.foot_length_mm, self.body.sole_mm);
        let (high, behind) = (self.body.ankle_height_mm, self.body.ankle_to_ball_mm);
        let posed = ankle - ball;
        let pitch = posed.y.atan2(posed.x) - high.atan2(-behind);
        let (ahead, up) = (direction(pitch), quarter_turn(direction(pitch)));
        // The rear of the foot turns about the ball; the toes do not.
        let rear = |x: f64, y: f64| self.view.spot(ball + ahead * x + up * y);
        let toes = |x: f64, y: f64| self.view.spot(ball + Vector::new(x, y));
        let heel = -HEEL_TO_BALL * long - SHOE_BEYOND;
        let toe = (1.0 - HEEL_TO_BALL) * long + SHOE_BEYOND;
        let collar = 0.085 * long;
        Outline::from(rear(heel + 0.06 * long, -sole))
            .line(toes(0.0, -sole))
            .line(toes(0.7 * toe, -sole))
            .bend(toes(toe, -sole), toes(toe, 0.06 * long))
            .bend(toes(0.8 * toe, 0.17 * long), rear(0.0, 0.24 * long))
            .line(rear(-behind + collar, 1.15 * high))
            .line(rear(-behind - collar, 1.2 * high))
            .bend(rear(heel + 0.02 * long, 0.7 * high), rear(heel, 0.1 * long))
            .bend(rear(heel, -sole), rear(heel + 0.06 * long, -sole))
            .close()
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
    pub(super) fn trunk(&self, hip: Point, shoulder: Point) -> Element {
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
    pub(super) fn arm(&self, shoulder: Point, arm: ArmPose) -> Element {
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

    /// Lines from joint to joint with a dot at each.
    pub(super) fn joints(&self, joints: &[Point]) -> Element {
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

    /// A limb that reaches for something in vain, as a dashed outline.
    pub(super) fn out_of_reach(&self, from: Point, to: Point) -> Element {
        self.limb(from, 0.045, to, 0.025).path("out-of-reach")
    }

    /// A leg that is not on the pedals, as dashed outlines.
    pub(super) fn ghost_leg(&self, pose: LegPose) -> Element {
        let hem = pose.hip + (pose.knee - pose.hip) * 0.5;
        group("ghost-leg")
            .add(self.limb(hem, 0.038, pose.knee, 0.031).path("ghost"))
            .add(
                self.limb(pose.knee, 0.031, pose.ankle, 0.0185)
                    .path("ghost"),
            )
            .add(self.planted_foot(pose.ankle, pose.ball).path("ghost"))
    }

    /// The room that the upper body takes, in bike mm.
    pub(super) fn extent(&self, hip: Point, shoulder: Point) -> Extent {
        let spine = shoulder - hip;
        let centre = self.head_centre(shoulder, spine.y.atan2(spine.x));
        let (deep, high) = self.head_size();
        Extent::around(centre, high.max(deep) / 2.0 + head::SHELL + 4.0)
            .and(Extent::around(hip, 0.075 * self.tall()))
            .and(Extent::around(shoulder, 0.05 * self.tall()))
    }
}

/// A leg from the saddle to the ground with as much of the foot on it as `contact` says; None where the
/// hip is too low for it.
pub(super) fn ground_leg(
    body: &Body,
    hip: Point,
    ground_y: f64,
    contact: Contact,
) -> Option<LegPose> {
    /// Steepest foot on tiptoe, degrees.
    const TIPTOE_DEG: f64 = 40.0;
    /// A leg is never drawn straighter than this share of its length.
    const STRAIGHTEST: f64 = 0.998;
    let long = STRAIGHTEST * (body.thigh_mm + body.shank_mm);
    let floor = ground_y + body.sole_mm;
    // Ankle above the floor with the heel so far up.
    let raised =
        |pitch: f64| body.ankle_to_ball_mm * pitch.sin() + body.ankle_height_mm * pitch.cos();
    let needed = hip.y - long - floor;
    let most = match contact {
        Contact::Flat => 0.0,
        _ => TIPTOE_DEG.to_radians(),
    };
    // The least lift of the heel at which the leg reaches (bisection on a rising function).
    let (mut low, mut high) = (0.0, most);
    if raised(0.0) >= needed {
        high = 0.0;
    }
    for _ in 0..24 {
        let middle = f64::midpoint(low, high);
        if raised(middle) < needed {
            low = middle;
        } else {
            high = middle;
        }
    }
    let pitch = high;
    let reaches = raised(pitch) + 1e-6 >= needed;
    // Where it does not reach, the leg hangs straight and the toes point down.
    let ankle_y = if reaches {
        floor + raised(pitch)
    } else {
        hip.y - long
    };
    // A leg with length to spare goes forward rather than folding under the rider.
    let down = hip.y - ankle_y;
    let ahead = (long * long - down * down).max(0.0).sqrt().min(0.16 * long);
    let ankle = Point::new(hip.x + ahead, ankle_y);
    let knee = joint(hip, ankle, body.thigh_mm, body.shank_mm, Bend::Left).ok()?;
    let (sin, cos) = pitch.sin_cos();
    let ball = ankle
        + Vector::new(
            body.ankle_to_ball_mm * cos - body.ankle_height_mm * sin,
            -body.ankle_to_ball_mm * sin - body.ankle_height_mm * cos,
        );
    Some(LegPose {
        hip,
        knee,
        ankle,
        ball,
    })
}
