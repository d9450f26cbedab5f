//! The closed forms against a general solver that knows only the definitions: distances, angles, circles, a torus.
//! Newton's method with numerical slopes (crate `newton_rootfinder`) for joints and points, dense sampling for
//! least and largest values and for the tyre. Nothing of the library's geometry is called on this side.

mod common;

use std::sync::Arc;

use common::random::{Dice, draws, plausible_bike, plausible_spec, random_rider, seeded};
use inseam::bike::drawing::Crank;
use inseam::fit::{CheckId, Fit};
use inseam::rider::{Body, Stage};
use inseam::units::{Angle, Length};
use inseam::{Bike, Rider};
use newton_rootfinder::iteratives::{Iteratives, default_vec_iteratives_fd};
use newton_rootfinder::model::{Model as _, UserModelFromClosure};
use newton_rootfinder::residuals::{NormalizationMethod, ResidualsConfig};
use newton_rootfinder::solver::{ResolutionMethod, RootFinder, SolverParameters};
use proptest::prelude::*;

/// Points agree within this, mm.
const POINT_MM: f64 = 0.01;
/// Angles agree within this, degrees.
const ANGLE_DEG: f64 = 0.01;
/// Toe clearance agrees within this, mm.
const TOE_MM: f64 = 0.1;

type P = [f64; 2];

fn minus(a: P, b: P) -> P {
    [a[0] - b[0], a[1] - b[1]]
}

fn dot(a: P, b: P) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// Positive when `b` is turned from `a` from forward towards up.
fn cross(a: P, b: P) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

fn apart(a: P, b: P) -> f64 {
    minus(a, b)[0].hypot(minus(a, b)[1])
}

/// Root of as many equations as unknowns near a rough guess, or `None`. Residuals in mm.
fn solve<const N: usize>(
    guess: [f64; N],
    tolerance: f64,
    residuals: impl Fn([f64; N]) -> [f64; N],
) -> Option<[f64; N]> {
    let closure = |x: &nalgebra::DVector<f64>| {
        nalgebra::DVector::from_row_slice(&residuals(std::array::from_fn(|i| x[i])))
    };
    let unknowns = default_vec_iteratives_fd(N);
    let unknowns = Iteratives::new(&unknowns);
    let plain = [NormalizationMethod::Abs; N];
    let equations = ResidualsConfig::new(&plain, &plain);
    let method = ResolutionMethod::NewtonRaphson;
    let parameters = SolverParameters::new(tolerance, 60, method, false);
    let mut finder = RootFinder::new(parameters, &unknowns, &equations);
    let mut model = UserModelFromClosure::new(N, &closure);
    model.set_iteratives(&nalgebra::DVector::from_row_slice(&guess));
    finder.solve(&mut model).ok()?;
    let found = model.get_iteratives();
    Some(std::array::from_fn(|i| found[i]))
}

fn points<const N: usize>(
    guess: [f64; N],
    residuals: impl Fn([f64; N]) -> [f64; N],
) -> Option<[f64; N]> {
    solve(guess, 1e-8, residuals)
}

/// Least value over `low..=high`: dense samples, then golden sections around the best.
fn least_over(low: f64, high: f64, samples: u32, value: impl Fn(f64) -> f64) -> (f64, f64) {
    let step = (high - low) / f64::from(samples);
    let best = (0..=samples)
        .map(|i| low + f64::from(i) * step)
        .map(|at| (at, value(at)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .expect("at least one sample");
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut left, mut right) = (best.0 - step, best.0 + step);
    for _ in 0..60 {
        let inner = [
            right - golden * (right - left),
            left + golden * (right - left),
        ];
        if value(inner[0]) < value(inner[1]) {
            right = inner[1];
        } else {
            left = inner[0];
        }
    }
    let at = f64::midpoint(left, right);
    (at, value(at))
}

#[track_caller]
fn same_point(name: &str, solved: P, library: P) {
    let missed = apart(solved, library);
    assert!(
        missed < POINT_MM,
        "{name}: solved {solved:?}, library {library:?}"
    );
}

#[track_caller]
fn same(name: &str, solved: f64, library: f64, tolerance: f64) {
    assert!(
        (solved - library).abs() < tolerance,
        "{name}: solved {solved}, library {library}"
    );
}

/// The bike's points from the definitions of the frame file.
struct Drawn {
    ground: f64,
    rear_axle: P,
    front_axle: P,
    head_tube_top: P,
    head_tube_bottom: P,
    steering_on_ground: P,
    bar_clamp: P,
    grip: P,
    seat_tube_top: P,
    standover: f64,
}

fn draw(bike: &Bike) -> Option<Drawn> {
    let drawing = &bike.drawing;
    let bracket = [0.0, 0.0];
    let radius = |tyre: inseam::bike::TyreSize| tyre.bead_seat_mm / 2.0 + tyre.width_mm;
    let drop = drawing.bottom_bracket_drop_mm;
    let stay = drawing.chainstay_mm;
    // "bottom_bracket_drop: axle line minus bottom bracket", "chainstay: straight".
    let rear_axle = points([-stay, 0.0], |p| [apart(p, bracket) - stay, p[1] - drop])?;
    let ground = rear_axle[1] - radius(drawing.rear_tyre);
    // Head tube: from stack and reach down its length at the head angle from the horizontal.
    let top = [drawing.reach_mm, drawing.stack_mm];
    let (length, angle) = (drawing.head_tube_length_mm, drawing.head_angle_deg);
    let bottom = points([top[0] + 10.0, top[1] - length], |p| {
        let fall = minus(top, p);
        [
            apart(p, top) - length,
            length * (fall[1].atan2(-fall[0]) - angle.to_radians()),
        ]
    })?;
    let down = minus(bottom, top);
    let aside = |p: P| cross(down, minus(p, top)) / length;
    // Front axle: one radius above ground, `offset` ahead of the steering axis.
    let axle_height = ground + radius(drawing.front_tyre);
    let front_axle = points([top[0] + 150.0, axle_height], |p| {
        [aside(p) - drawing.fork_offset_mm, p[1] - axle_height]
    })?;
    let steering_on_ground = points([top[0] + 200.0, ground], |p| [aside(p), p[1] - ground])?;
    // Stem: along the axis above the head tube, then forward, turned up by its angle.
    let stem = drawing.stem_length_mm;
    let rise = drawing.spacers_mm + drawing.stem_clamp_height_mm / 2.0;
    let base = points([top[0], top[1] + rise], |p| {
        [aside(p), dot(down, minus(top, p)) / length - rise]
    })?;
    let bar_clamp = points([base[0] + stem, base[1]], |p| {
        let arm = minus(p, base);
        let above_perpendicular = (-dot(down, arm)).atan2(cross(down, arm));
        [
            apart(p, base) - stem,
            stem * (above_perpendicular - drawing.stem_angle_deg.to_radians()),
        ]
    })?;
    let grip = [
        bar_clamp[0] - drawing.bar_setback_mm,
        bar_clamp[1] + drawing.bar_rise_mm,
    ];
    let seat_tube_top = on_seat_axis(bike, drawing.seat_tube_length_mm)?;
    let tube = &drawing.top_tube;
    let seat_joint = on_seat_axis(bike, tube.seat_joint_mm)?;
    let head_joint = points(bottom, |p| {
        [
            aside(p),
            dot(down, minus(p, top)) / length - tube.head_joint_mm,
        ]
    })?;
    let line = minus(head_joint, seat_joint);
    let long = apart(head_joint, seat_joint);
    // The straddle point on the centre line, then straight up to the edge half a diameter off that line.
    let x = seat_joint[0] + tube.straddle * line[0];
    let [edge] = points([seat_joint[1].max(head_joint[1]) + 30.0], |[y]| {
        [cross(line, minus([x, y], seat_joint)) / long - tube.diameter_mm / 2.0]
    })?;
    let standover = edge - ground;
    Some(Drawn {
        ground,
        rear_axle,
        front_axle,
        head_tube_top: top,
        head_tube_bottom: bottom,
        steering_on_ground,
        bar_clamp,
        grip,
        seat_tube_top,
        standover,
    })
}

/// A point of the seat-tube axis this far from where it passes bracket height, leaning back at its angle.
fn on_seat_axis(bike: &Bike, along: f64) -> Option<P> {
    let drawing = &bike.drawing;
    let foot = [drawing.seat_tube_offset_mm, 0.0];
    points([foot[0] - 0.3 * along, 0.9 * along], |p| {
        let up = minus(p, foot);
        [
            apart(p, foot) - along,
            along * (up[1].atan2(-up[0]) - drawing.seat_tube_angle_deg.to_radians()),
        ]
    })
}

/// Saddle top and sit point for an exposed post: the saddle's stack is vertical, its top lies on the axis.
fn saddle(bike: &Bike, exposed_post: f64) -> Option<(P, P)> {
    let clamp = on_seat_axis(bike, bike.drawing.seat_tube_length_mm + exposed_post)?;
    let foot = [bike.drawing.seat_tube_offset_mm, 0.0];
    let axis = minus(clamp, foot);
    let top = points([clamp[0], clamp[1] + 40.0], |p| {
        [
            cross(axis, minus(p, foot)) / apart(clamp, foot),
            p[1] - clamp[1] - bike.drawing.saddle_stack_mm,
        ]
    })?;
    Some((top, [top[0] - bike.drawing.saddle_setback_mm, top[1]]))
}

/// Ball of the foot and ankle at a crank angle: sole half a pedal above the axle, shoe sole, heel raised.
fn foot(body: &Body, crank: &Crank, crank_angle: f64) -> (P, P) {
    let pitch = (17.0 - 5.0 * crank_angle.cos() - 11.0 * crank_angle.sin()).to_radians();
    let (toeward, soleup) = ([pitch.cos(), -pitch.sin()], [pitch.sin(), pitch.cos()]);
    let length = crank.length_mm;
    let axle = [length * crank_angle.sin(), length * crank_angle.cos()];
    let thick = crank.pedal_height_mm / 2.0 + body.sole_mm;
    let ball = [axle[0] + thick * soleup[0], axle[1] + thick * soleup[1]];
    let ankle = std::array::from_fn(|i| {
        ball[i] + body.ankle_height_mm * soleup[i] - body.ankle_to_ball_mm * toeward[i]
    });
    (ball, ankle)
}

/// Bend of a two-link joint, radians, for a distance between its ends.
fn bend(apart: f64, a: f64, b: f64) -> Option<f64> {
    let [bend] = solve([1.0], 1e-9, |[bend]| {
        [(a + b * bend.cos()).hypot(b * bend.sin()) - apart]
    })?;
    Some(bend.rem_euclid(std::f64::consts::TAU)).map(|bend| bend.min(std::f64::consts::TAU - bend))
}

/// The joint between two ends, on the side of the guess.
fn middle(first: P, last: P, a: f64, b: f64, guess: P) -> Option<P> {
    points(guess, |p| [apart(p, first) - a, apart(p, last) - b])
}

/// A point beside the middle of a line: `side` mm to the left when walking from first to last.
fn beside(first: P, last: P, side: f64) -> P {
    let (line, long) = (minus(last, first), apart(first, last));
    [
        f64::midpoint(first[0], last[0]) - side * line[1] / long,
        f64::midpoint(first[1], last[1]) + side * line[0] / long,
    ]
}

struct Case {
    rider: Arc<Rider>,
    bike: Arc<Bike>,
    fit: Fit,
}

fn case(draws: &[f64]) -> Option<Case> {
    let mut dice = Dice::new(draws);
    let bike = plausible_bike(&mut dice)?;
    let rider = random_rider(&mut dice)?;
    let fit = common::fit(&rider, &bike);
    Some(Case { rider, bike, fit })
}

/// Long cranks under short legs, the saddle far from above them: for one pair in three no height will do.
fn cramped_pair(dice: &mut Dice<'_>) -> Option<(Arc<Bike>, Arc<Rider>)> {
    let mut spec = plausible_spec(dice);
    spec.cranks.as_mut()?.length = Some(Length::from_mm(dice.between(120.0, 190.0)));
    spec.saddle.setback = Some(Length::from_mm(dice.between(-80.0, 120.0)));
    spec.frame.seat_tube.offset = Some(Length::from_mm(dice.between(-150.0, 150.0)));
    let height = dice.between(720.0, 820.0);
    let rider = common::rider(&format!("height: {height}"));
    Some((Arc::new(Bike::new("cramped", spec).ok()?), rider))
}

proptest! {
    #![proptest_config(seeded(800))]

    #[test]
    fn every_point_of_a_bike_lies_where_the_definitions_put_it(draws in draws()) {
        let Some(Case { bike, fit, .. }) = case(&draws) else { return Err(TestCaseError::reject("no such bike")) };
        let drawn = draw(&bike).expect("the definitions have a solution");
        let facts = &fit.bike.layout;
        same_point("rear axle", drawn.rear_axle, facts.points.rear_axle.into());
        same_point("front axle", drawn.front_axle, facts.points.front_axle.into());
        same_point("head tube top", drawn.head_tube_top, facts.points.head_tube_top.into());
        same_point("head tube bottom", drawn.head_tube_bottom, facts.points.head_tube_bottom.into());
        same_point("seat tube top", drawn.seat_tube_top, facts.points.seat_tube_top.into());
        same_point("bar clamp", drawn.bar_clamp, facts.points.bar_clamp.into());
        same_point("grip", drawn.grip, facts.points.grip.into());
        same("bracket height", -drawn.ground, facts.bottom_bracket_height_mm(), POINT_MM);
        same("front centre", drawn.front_axle[0].hypot(drawn.front_axle[1]), facts.front_centre_mm(), POINT_MM);
        same("wheelbase", drawn.front_axle[0] - drawn.rear_axle[0], facts.wheelbase_mm(), POINT_MM);
        same("trail", drawn.steering_on_ground[0] - drawn.front_axle[0], facts.trail_mm, POINT_MM);
        same("standover", drawn.standover, facts.standover_mm(), POINT_MM);
        // The post from its lowest (clamp clear, bottom of the tube) to its mark.
        let drawing = &bike.drawing;
        let lowest = (drawing.post_length_mm - drawing.seat_tube_usable_depth_mm).max(25.0);
        let highest = drawing.post_length_mm - drawing.minimum_insertion_mm;
        for (exposed, position) in [(lowest, facts.post.lowest_mm), (highest, facts.post.highest_mm)] {
            let (top, _) = saddle(&bike, exposed).expect("the saddle is somewhere");
            same("saddle height", apart(top, [0.0, 0.0]), facts.post.saddle_height_mm(position), POINT_MM);
        }
        let setting = fit.pair().setting();
        let shows = setting.exposed_post_mm.unwrap();
        let (top, sit) = saddle(&bike, shows).expect("the saddle is somewhere");
        same("tape", apart(top, [0.0, 0.0]), setting.saddle_height_mm, POINT_MM);
        same("seat height", top[1] - drawn.ground, setting.seat_height_mm, POINT_MM);
        same("insertion", drawing.post_length_mm - shows, setting.insertion_mm.unwrap(), POINT_MM);
        same_point("sit", sit, fit.pair().sit().into());
    }

    #[test]
    fn every_joint_of_the_rider_closes(draws in draws()) {
        let Some(Case { rider, bike, fit }) = case(&draws) else { return Err(TestCaseError::reject("no such pair")) };
        let sit: P = fit.pair().sit().into();
        let hip = [sit[0], sit[1] + fit.body.hip_above_saddle_mm];
        same_point("hip", hip, fit.pose.hip.into());
        trunk_closes(&fit, hip);
        if let Some(crank) = &bike.drawing.crank {
            leg_closes(&fit, crank, hip);
        }
        prop_assert!((fit.body.sole_mm - rider.sole_mm).abs() < 1e-9);
    }

    #[test]
    fn the_confident_saddle_is_where_the_knee_has_its_angle(draws in draws()) {
        let mut dice = Dice::new(&draws);
        let pair = if dice.chance(0.5) {
            plausible_bike(&mut dice).zip(random_rider(&mut dice))
        } else {
            cramped_pair(&mut dice)
        };
        let Some((bike, rider)) = pair else { return Err(TestCaseError::reject("no such pair")) };
        let mut rider = Rider::clone(&rider);
        rider.stage = Stage::Confident;
        let rider = Arc::new(rider);
        let Some(crank) = &bike.drawing.crank else { return Err(TestCaseError::reject("no cranks")) };
        let fit = common::fit(&rider, &bike);
        let solved = [35.0, 30.0, 25.0].map(|bend| extension(&bike, &fit.body, crank, bend));
        match fit.pair().saddle_band() {
            Some(band) => {
                for (name, solved, tape) in [
                    ("35 deg", solved[0], band.low_mm),
                    ("30 deg", solved[1], band.target_mm),
                    ("25 deg", solved[2], band.high_mm),
                ] {
                    let solved = solved.unwrap_or_else(|| panic!("{name}: library {tape}, but no height does it"));
                    same(name, solved, tape, POINT_MM);
                }
            }
            None => prop_assert!(solved.iter().any(Option::is_none), "library finds none of {:?}", solved),
        }
    }

    #[test]
    fn the_bike_leans_until_the_ground_touches_tyre_and_pedal(draws in draws()) {
        let mut dice = Dice::new(&draws);
        let Some(bike) = plausible_bike(&mut dice) else { return Err(TestCaseError::reject("no such bike")) };
        let Some(crank) = &bike.drawing.crank else { return Err(TestCaseError::reject("no cranks")) };
        let (Some(q_factor), Some(width)) = (crank.q_factor_mm, crank.pedal_width_mm) else {
            return Err(TestCaseError::reject("no pedals"));
        };
        let lowest = bike.layout.bottom_bracket_height_mm() - crank.length_mm - crank.pedal_height_mm / 2.0;
        let edge = [q_factor / 2.0 + width, lowest];
        let lean = [bike.spec.tyres.front, bike.spec.tyres.rear]
            .map(|tyre| lean_on(tyre.width_mm / 2.0, edge).expect("some lean touches"));
        // On unequal tyres the ground lies between the two; the smaller lean is the safe one.
        let library = bike.layout.pedal_lean_deg.expect("pedals are given");
        same("pedal lean", lean[0].min(lean[1]), library, ANGLE_DEG);
    }
}

/// Lean at which one straight line touches the round tyre and the pedal's edge, degrees. Seen from behind, the bike
/// held upright and the ground tilted: x out to the pedal's side, y up from the ground.
fn lean_on(section: f64, edge: P) -> Option<f64> {
    let centre = [0.0, section];
    let [x, y] = points([0.6 * section, 0.2 * section], |touch| {
        let (out, along) = (minus(touch, centre), minus(edge, touch));
        [apart(touch, centre) - section, dot(out, along) / section]
    })?;
    let along = minus(edge, [x, y]);
    Some(along[1].atan2(along[0]).to_degrees())
}

/// Torso and arm on the grip with the elbow bent 20 deg.
fn trunk_closes(fit: &Fit, hip: P) {
    let (body, pose) = (&fit.body, &fit.pose);
    let grip: P = fit.bike.layout.points.grip.into();
    let (torso, upper, fore) = (body.torso_mm, body.upper_arm_mm, body.forearm_mm);
    let flexion = 20.0_f64.to_radians();
    let arm = (upper + fore * flexion.cos()).hypot(fore * flexion.sin());
    let far = apart(hip, grip);
    if far > torso + arm || far < (torso - arm).abs() {
        assert!(
            pose.trunk.is_err(),
            "the triangle does not close, yet the library leans"
        );
        return;
    }
    // A triangle folded or stretched flat has no side to be on; the solver's root is double there.
    if far > torso + arm - 0.5 || far < (torso - arm).abs() + 0.5 {
        return;
    }
    let shoulder = beside(hip, grip, torso.min(arm) * 0.7);
    let elbow = beside(shoulder, grip, -0.1 * arm);
    let solved = points(
        [shoulder[0], shoulder[1], elbow[0], elbow[1]],
        |[sx, sy, ex, ey]| {
            let (shoulder, elbow) = ([sx, sy], [ex, ey]);
            let (to_elbow, to_grip) = (minus(elbow, shoulder), minus(grip, elbow));
            [
                apart(shoulder, hip) - torso,
                apart(elbow, shoulder) - upper,
                apart(grip, elbow) - fore,
                // Turned up by 20 deg at the elbow, which hangs below the line from shoulder to grip.
                upper * (cross(to_elbow, to_grip).atan2(dot(to_elbow, to_grip)) - flexion),
            ]
        },
    );
    let [sx, sy, ex, ey] = solved.expect("the trunk closes");
    let (shoulder, elbow) = ([sx, sy], [ex, ey]);
    assert!(
        cross(minus(grip, hip), minus(shoulder, hip)) > 0.0,
        "the solver sits upright"
    );
    let trunk = pose.trunk.expect("a trunk");
    same_point("shoulder", shoulder, trunk.shoulder.into());
    same_point("elbow", elbow, trunk.elbow.into());
    let spine = minus(shoulder, hip);
    let lean = spine[1].atan2(spine[0]).to_degrees();
    same("lean", lean, trunk.lean.to_degrees(), ANGLE_DEG);
    let told = common::finding(fit, CheckId::Reach).measure.value;
    same("lean told", lean, told.expect("a lean"), ANGLE_DEG);
    let (back, arm) = (minus(hip, shoulder), minus(elbow, shoulder));
    let opening = (dot(back, arm) / torso / upper).acos().to_degrees();
    same(
        "upper arm to trunk",
        opening,
        trunk.upper_arm_to_trunk.to_degrees(),
        ANGLE_DEG,
    );
    grips_at_target(fit, hip, grip);
}

/// The level move of the grips with which trunk and bent arm close at the middle of the band that reach states.
fn grips_at_target(fit: &Fit, hip: P, grip: P) {
    let reach = common::finding(fit, CheckId::Reach).measure;
    let (Some(low), Some(high)) = (reach.low, reach.high) else {
        panic!("reach states its band")
    };
    let lean = f64::midpoint(low, high).to_radians();
    let body = &fit.body;
    let shoulder = [
        hip[0] + body.torso_mm * lean.cos(),
        hip[1] + body.torso_mm * lean.sin(),
    ];
    let (upper, fore) = (body.upper_arm_mm, body.forearm_mm);
    let flexion = 20.0_f64.to_radians();
    let arm = (upper + fore * flexion.cos()).hypot(fore * flexion.sin());
    let down = (shoulder[1] - grip[1]).abs();
    let library = fit.pair().grip_move_mm();
    if down > arm {
        assert_eq!(library, None);
    } else if down < arm - 0.5 {
        let [x] = points([shoulder[0] + arm], |[x]| {
            [apart([x, grip[1]], shoulder) - arm]
        })
        .expect("the arm closes");
        same("grip move", x - grip[0], library.expect("a move"), POINT_MM);
    }
}

/// The leg over the turn: knee, ankle, ball, least and largest flexion, and the knee's way past the grip.
fn leg_closes(fit: &Fit, crank: &Crank, hip: P) {
    let (body, pair) = (&fit.body, fit.pair());
    let (thigh, shank) = (body.thigh_mm, body.shank_mm);
    let reach = |angle: f64| apart(hip, foot(body, crank, angle).1);
    let (at, farthest) = least_over(0.0, std::f64::consts::TAU, 360, |angle| -reach(angle));
    let farthest = -farthest;
    let (_, nearest) = least_over(0.0, std::f64::consts::TAU, 360, reach);
    for (name, distance, library) in [
        ("least flexion", farthest, pair.knee_flexion_min_deg()),
        ("largest flexion", nearest, pair.knee_flexion_max_deg()),
    ] {
        if distance > thigh + shank || distance < (thigh - shank).abs() {
            assert!(
                library.is_none(),
                "{name}: out of reach, library {library:?}"
            );
        } else if distance < thigh + shank - 0.1 && distance > (thigh - shank).abs() + 0.1 {
            let solved = bend(distance, thigh, shank).expect("the leg closes");
            same(
                name,
                solved.to_degrees(),
                library.expect("in reach"),
                ANGLE_DEG,
            );
        }
    }
    let farthest_told = pair.pose.farthest.expect("cranks");
    let Some(joints) = pair.shown_leg() else {
        assert!(
            farthest > thigh + shank - POINT_MM,
            "in reach, but no pose: {farthest}"
        );
        return;
    };
    let angle = farthest_told.crank_angle.to_degrees();
    let turn = (angle - at.to_degrees() + 180.0).rem_euclid(360.0) - 180.0;
    assert!(
        turn.abs() < ANGLE_DEG,
        "crank angle {angle} against {}",
        at.to_degrees()
    );
    let (ball, ankle) = foot(body, crank, angle.to_radians());
    same_point("ball", ball, joints.ball.into());
    same_point("ankle", ankle, joints.ankle.into());
    if farthest > thigh + shank - 0.1 {
        return;
    }
    let knee_at = |ankle: P| middle(hip, ankle, thigh, shank, beside(hip, ankle, 0.3 * thigh));
    let solved = knee_at(ankle).expect("the leg closes");
    assert!(
        cross(minus(ankle, hip), minus(solved, hip)) > 0.0,
        "the knee bends forward"
    );
    same_point("knee", solved, joints.knee.into());
}

/// Saddle height on the tape at which the straightest knee of the turn is bent by `degrees`, or `None`.
fn extension(bike: &Bike, body: &Body, crank: &Crank, degrees: f64) -> Option<f64> {
    let drawing = &bike.drawing;
    let (slope, setback) = (
        drawing.seat_tube_angle_deg.to_radians(),
        drawing.saddle_setback_mm,
    );
    let top = |along: f64| {
        [
            drawing.seat_tube_offset_mm - along * slope.cos(),
            along * slope.sin(),
        ]
    };
    let hip = |along: f64| {
        [
            top(along)[0] - setback,
            top(along)[1] + body.hip_above_saddle_mm,
        ]
    };
    let bend = degrees.to_radians();
    let wanted = (body.thigh_mm + body.shank_mm * bend.cos()).hypot(body.shank_mm * bend.sin());
    let reach = |along: f64, angle: f64| apart(hip(along), foot(body, crank, angle).1);
    let farthest =
        |along: f64| least_over(0.0, std::f64::consts::TAU, 90, |angle| -reach(along, angle));
    // Roughly, from above: the highest position at which no crank angle asks for more than the leg has.
    let ankles: [P; 72] = std::array::from_fn(|step| {
        let share = f64::from(u8::try_from(step).expect("a small step")) / 72.0;
        foot(body, crank, share * std::f64::consts::TAU).1
    });
    let rough = (0..350)
        .rev()
        .map(|step| f64::from(step) * 4.0)
        .find(|along| {
            let hip = hip(*along);
            ankles.iter().all(|ankle| apart(*ankle, hip) <= wanted)
        })?;
    let slope_at =
        |along: f64, angle: f64| (reach(along, angle + 1e-4) - reach(along, angle - 1e-4)) / 2e-4;
    let guess = [rough + 5.0, farthest(rough + 5.0).0];
    let [along, angle] = solve(guess, 1e-6, |[along, angle]| {
        [reach(along, angle) - wanted, slope_at(along, angle)]
    })?;
    // Farthest of the whole turn, not just of its neighbours.
    assert!((-farthest(along).1 - wanted).abs() < 1e-4 && angle.is_finite());
    Some(apart(top(along), [0.0, 0.0]))
}

/// The turned tyre as balls strung on a ring: for each steering angle and each place on the ring, how far ahead of the
/// pedal a ball of the tyre's section is met, going straight ahead.
struct Swept<'a> {
    bike: &'a Bike,
    pedal: [f64; 3],
}

impl Swept<'_> {
    /// Centre of the ball at a steering angle and a place on the ring, both radians.
    fn ball(&self, steering: f64, place: f64) -> [f64; 3] {
        let facts = &self.bike.layout.points;
        let tyre = self.bike.spec.tyres.front;
        let ring = tyre.bead_seat_mm / 2.0 + tyre.width_mm / 2.0;
        let straight = [
            facts.front_axle.x + ring * place.cos(),
            facts.front_axle.y + ring * place.sin(),
        ];
        // Turned about the axis through the head tube: split into along and across the axis; only across turns.
        let top: P = facts.head_tube_top.into();
        let axis = minus(facts.head_tube_bottom.into(), top);
        let long = axis[0].hypot(axis[1]);
        let axis = [axis[0] / long, axis[1] / long];
        let from = minus(straight, top);
        let (along, across) = (dot(from, axis), cross(axis, from));
        [
            top[0] + along * axis[0] - across * steering.cos() * axis[1],
            top[1] + along * axis[1] + across * steering.cos() * axis[0],
            across * steering.sin(),
        ]
    }

    /// Squared distance of the ball's centre from the line ahead of the pedal.
    fn beside(&self, [steering, place]: P) -> f64 {
        let ball = self.ball(steering, place);
        (ball[1] - self.pedal[1]).powi(2) + (ball[2] - self.pedal[2]).powi(2)
    }

    /// Distance ahead to the ball's surface, negative behind the pedal; infinite where the line passes it by.
    fn ahead(&self, at: P) -> f64 {
        let section = self.bike.spec.tyres.front.width_mm / 2.0;
        let half = section * section - self.beside(at);
        if half < 0.0 {
            return f64::INFINITY;
        }
        let centre = self.ball(at[0], at[1])[0] - self.pedal[0];
        centre - half.sqrt()
    }
}

/// Least value over steering angle and place: the best cells of a dense grid, each narrowed down by halving steps.
fn least_on_grid(value: impl Fn(P) -> f64) -> f64 {
    const STEERING: u16 = 90;
    const PLACES: u16 = 180;
    let quarter = std::f64::consts::FRAC_PI_2;
    let step = [
        2.0 * quarter / f64::from(STEERING),
        4.0 * quarter / f64::from(PLACES),
    ];
    let mut cells: Vec<(f64, P)> = Vec::new();
    for turned in 0..=STEERING {
        for round in 0..PLACES {
            let at = [
                f64::from(turned) * step[0] - quarter,
                f64::from(round) * step[1],
            ];
            let found = value(at);
            if found.is_finite() {
                cells.push((found, at));
            }
        }
    }
    cells.sort_by(|a, b| a.0.total_cmp(&b.0));
    cells.truncate(12);
    let narrowed = cells.into_iter().map(|(mut least, mut at)| {
        let mut step = step;
        while step[1] > 1e-7 {
            let mut moved = false;
            for direction in 0..8_u8 {
                let turn = f64::from(direction) * std::f64::consts::FRAC_PI_4;
                let next = [
                    (at[0] + step[0] * turn.cos()).clamp(-quarter, quarter),
                    at[1] + step[1] * turn.sin(),
                ];
                let found = value(next);
                if found < least {
                    (least, at, moved) = (found, next, true);
                }
            }
            if !moved {
                step = step.map(|step| step / 2.0);
            }
        }
        least
    });
    narrowed.fold(f64::INFINITY, f64::min)
}

/// Front ends far from any bike on a rack: narrow and fat tyres, flat and steep steering, wide and narrow pedals.
fn odd_front_end(dice: &mut Dice<'_>) -> Option<Arc<Bike>> {
    let mut spec = plausible_spec(dice);
    spec.frame.head_tube.angle = Some(Angle::from_deg(dice.between(55.0, 85.0)));
    spec.fork.offset = Some(Length::from_mm(dice.between(-80.0, 100.0)));
    spec.tyres.front.width_mm = dice.between(18.0, 120.0);
    let cranks = spec.cranks.as_mut()?;
    cranks.q_factor = Some(Length::from_mm(dice.between(80.0, 260.0)));
    cranks.pedal_width = Some(Length::from_mm(dice.between(40.0, 140.0)));
    Bike::new("odd", spec).ok().map(Arc::new)
}

proptest! {
    #![proptest_config(seeded(200))]

    #[test]
    fn toe_clearance_is_the_least_over_a_dense_sweep_of_the_tyre(draws in draws()) {
        let mut dice = Dice::new(&draws);
        let bike = if dice.chance(0.5) { plausible_bike(&mut dice) } else { odd_front_end(&mut dice) };
        let Some(bike) = bike else { return Err(TestCaseError::reject("no such bike")) };
        let Some(crank) = &bike.drawing.crank else { return Err(TestCaseError::reject("no cranks")) };
        let (Some(q_factor), Some(width)) = (crank.q_factor_mm, crank.pedal_width_mm) else {
            return Err(TestCaseError::reject("no pedals"));
        };
        let pedal = [crank.length_mm, 0.0, q_factor / 2.0 + width / 2.0];
        let section = bike.spec.tyres.front.width_mm / 2.0;
        let swept = Swept { bike: &bike, pedal };
        let ahead = least_on_grid(|at| swept.ahead(at));
        let Some(clearance) = bike.layout.toe_clearance_mm else {
            // A graze may be met by one side only: the line passes the ring by the section radius.
            let passing = least_on_grid(|at| swept.beside(at)).sqrt();
            prop_assert!(passing > section - TOE_MM, "the library misses a tyre {} ahead", ahead);
            return Ok(());
        };
        if ahead < 0.0 {
            // The tyre comes behind the pedal: how far is moot.
            prop_assert!(clearance < TOE_MM, "{} ahead, library {}", ahead, clearance);
            return Ok(());
        }
        prop_assert!(clearance < ahead + TOE_MM, "library {} goes through a tyre {} ahead", clearance, ahead);
        // The grid may miss a sliver, so the library's point must itself touch the tyre at some steering angle.
        let touch = [pedal[0] + clearance, pedal[1], pedal[2]];
        let gap = least_on_grid(|at| {
            let ball = swept.ball(at[0], at[1]);
            (0..3).map(|i| (ball[i] - touch[i]).powi(2)).sum::<f64>()
        });
        same("distance to the tyre's ring", section, gap.sqrt(), TOE_MM);
    }
}
