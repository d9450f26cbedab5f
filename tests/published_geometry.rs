//! Published bicycles, standards and laws reproduced on whole bikes: trail, tyre sizes, classes, every legal edge.
//! Each row names its source and why its tolerance is what it is; the bikes are moved onto the figure, never the figure.

mod common;

use std::sync::Arc;

use common::{BALANCE_12, STREET_16, TRAIL_24, TRAIL_26, finding, fit, land_on, rider, spec};
use inseam::bike::class::Standard;
use inseam::bike::spec::LeverReach;
use inseam::bike::steering::trail;
use inseam::bike::{Bike, FrameSpec, TyreSize};
use inseam::fit::{CheckId, Misfit, Status, Verdict};
use inseam::units::{Angle, Length};

const fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

/// The spec with one value changed.
fn with(base: &FrameSpec, change: impl FnOnce(&mut FrameSpec)) -> FrameSpec {
    let mut spec = base.clone();
    change(&mut spec);
    spec
}

fn bike(spec: FrameSpec) -> Arc<Bike> {
    common::bike(spec)
}

/// A bike with these wheels (radius, made up of a 622 or 203 bead seat and the rest), head angle and offset.
fn bicycle(radius: f64, bead_seat: f64, head_angle: f64, offset: f64) -> FrameSpec {
    let base = if bead_seat > 300.0 {
        spec(TRAIL_26)
    } else {
        spec(BALANCE_12)
    };
    with(&base, |s| {
        let tyre = TyreSize {
            width_mm: radius - bead_seat / 2.0,
            bead_seat_mm: bead_seat,
        };
        s.tyres.front = tyre;
        s.tyres.rear = tyre;
        s.frame.head_tube.angle = Some(Angle::from_deg(head_angle));
        s.fork.offset = Some(mm(offset));
        s.published = None;
    })
}

/// Trail by construction: where the line through the head tube meets the ground, ahead of the tyre's contact.
fn trail_on_the_ground(bike: &Bike) -> f64 {
    let [top, bottom] = [
        bike.layout.points.head_tube_top,
        bike.layout.points.head_tube_bottom,
    ];
    let along = (bike.layout.ground_y - top.y) / (bottom.y - top.y);
    top.x + along * (bottom.x - top.x) - bike.layout.points.front_axle.x
}

/// Height above ground at which the steering axis crosses the vertical through the front axle.
fn steering_axis_crossing(bike: &Bike) -> f64 {
    let [top, bottom] = [
        bike.layout.points.head_tube_top,
        bike.layout.points.head_tube_bottom,
    ];
    let along = (bike.layout.points.front_axle.x - top.x) / (bottom.x - top.x);
    top.y + along * (bottom.y - top.y) - bike.layout.ground_y
}

#[test]
fn the_benchmark_bicycle_has_its_published_trail_offset_and_wheelbase() {
    // Meijaard, Papadopoulos, Ruina, Schwab 2007, Proc. R. Soc. A 463:1955, Table 1: wheel radius 0.35 m,
    // steer-axis tilt pi/10 (head angle 72 deg), trail 0.08 m, wheelbase 1.02 m.
    let base = bicycle(350.0, 622.0, 72.0, 0.0);
    let offset = land_on(80.0, -50.0, 80.0, |offset| {
        bike(with(&base, |s| s.fork.offset = Some(mm(offset))))
            .layout
            .trail_mm
    });
    // 32.071 is printed to the micron; half of the last digit.
    assert!((offset - 32.071).abs() < 0.0005, "offset {offset}");
    let base = with(&base, |s| s.fork.offset = Some(mm(offset)));
    let reach = land_on(1020.0, 300.0, 500.0, |reach| {
        bike(with(&base, |s| s.frame.reach = Some(mm(reach))))
            .layout
            .wheelbase_mm()
    });
    let bike = bike(with(&base, |s| s.frame.reach = Some(mm(reach))));
    // The drawing itself gives the trail back; floating point only.
    assert!((trail_on_the_ground(&bike) - 80.0).abs() < 1e-6);
    let axles = bike.layout.points.front_axle - bike.layout.points.rear_axle;
    assert!((axles.norm() - 1020.0).abs() < 1e-6);
    // Wheel flop = trail * sin H * cos H (standard formula), 23.51 mm for the benchmark, printed to 0.01.
    let head = 72.0_f64.to_radians();
    let flop = bike.layout.trail_mm * head.sin() * head.cos();
    assert!((flop - 23.51).abs() < 0.005, "flop {flop}");
}

#[test]
fn measured_bicycles_have_their_published_trail() {
    // BicycleParameters data (BSD-2), Moore 2012, measured bicycles "Yellow", "Yellowrev", "Rigid", "Gyro".
    // Radius and offset are printed to 0.001 mm, the finer angles to 0.0001 deg, the trail to 0.001 mm. Half a last
    // digit of each adds up in the trail: 0.0005 (trail) + 0.0005 (offset) + 0.0002 (radius) + 0.0003 (angle).
    for (name, radius, bead_seat, head_angle, offset, expected) in [
        ("Yellow", 341.877, 622.0, 72.70, 56.5, 47.306),
        ("Yellowrev", 341.877, 622.0, 70.60, -56.5, 180.295),
        ("Rigid", 335.573, 622.0, 71.8092, 47.815, 59.940),
        ("Gyro", 147.241, 203.0, 73.2009, 0.0, 44.452),
    ] {
        let spec = bicycle(radius, bead_seat, head_angle, offset);
        assert!(
            (spec.tyres.front.wheel_radius_mm() - radius).abs() < 1e-9,
            "{name}"
        );
        let bike = bike(spec);
        assert!(
            (bike.layout.trail_mm - expected).abs() < 0.0015,
            "{name}: {}",
            bike.layout.trail_mm
        );
        assert!(
            (trail_on_the_ground(&bike) - bike.layout.trail_mm).abs() < 1e-6,
            "{name}: the drawing and the formula differ"
        );
    }
}

#[test]
fn the_steering_axis_crosses_the_wheel_where_the_standard_says() {
    // ISO 4210-2:2015 Annex A (informative): 65 to 75 deg; crosses the wheel-centre vertical at 15 to 60 % of the
    // wheel radius. Worked row: R 254, 70 deg, trail 50 gives trail * tan H = 137.4 mm = 54 % of R (printed to 0.1).
    let base = with(&bicycle(254.0, 406.0, 70.0, 30.0), |s| {
        s.frame.stack = Some(mm(430.0));
    });
    let offset = land_on(50.0, 0.0, 80.0, |offset| {
        bike(with(&base, |s| s.fork.offset = Some(mm(offset))))
            .layout
            .trail_mm
    });
    let bike = bike(with(&base, |s| s.fork.offset = Some(mm(offset))));
    let crossing = steering_axis_crossing(&bike);
    assert!((crossing - 137.4).abs() < 0.05, "crossing {crossing}");
    assert!((crossing / bike.layout.wheel_radius_front_mm - 0.54).abs() < 0.005);
    let trail = trail(254.0, 70.0_f64.to_radians(), offset);
    assert!((trail - 50.0).abs() < 1e-6);
}

#[test]
fn every_bead_seat_gives_its_published_wheel() {
    // ISO 5775-1: overall diameter = bead seat + 2 * section height. 28-406 (462 mm) and 57-203 (317 mm) are printed
    // in tyre size tables; the others are the same sum on the bead seats of the ISO 5775 tables (254 from memory).
    for (marking, diameter) in [
        ("28-406", 462.0),
        ("57-203", 317.0),
        ("50-203", 303.0),
        ("47-254", 348.0),
        ("47-305", 399.0),
        ("37-349", 423.0),
        ("47-355", 449.0),
        ("54-406", 514.0),
        ("28-451", 507.0),
        ("54-507", 615.0),
        ("37-540", 614.0),
        ("57-559", 673.0),
        ("57-584", 698.0),
        ("37-622", 696.0),
    ] {
        let text = TRAIL_24.replace("54-507", marking);
        let spec = spec(&text);
        let radius = spec.tyres.front.wheel_radius_mm();
        assert!(
            (2.0 * radius - diameter).abs() < 1e-9,
            "{marking}: {}",
            2.0 * radius
        );
        assert_eq!(spec.tyres.front.to_string(), marking);
    }
}

#[test]
fn two_markings_of_one_inch_size_are_two_wheels() {
    // ISO 5775 tables: "20 inch" is 406 or 451, "24 inch" 507 or 540, "16 inch" 305 or 349.
    for (one, other) in [(406.0, 451.0), (507.0, 540.0), (305.0, 349.0)] {
        let radius = |bead_seat_mm| {
            let width_mm = 40.0;
            TyreSize {
                width_mm,
                bead_seat_mm,
            }
            .wheel_radius_mm()
        };
        assert!(
            radius(other) - radius(one) > 15.0,
            "an inch size must not be taken for a marking"
        );
    }
    // Of the two only one carries a decimal width; a fraction, or no width at all, does not say which is meant.
    for (text, bead_seat_mm) in [("20x2.0", 406.0), ("24x2.0", 507.0), ("16x2.0", 305.0)] {
        let tyre: TyreSize = text.parse().expect(text);
        assert!((tyre.bead_seat_mm - bead_seat_mm).abs() < 1e-9, "{text}");
    }
    for text in ["20 inch", "24\"", "16x1 3/8", "20x1-1/8", "20"] {
        assert!(text.parse::<TyreSize>().is_err(), "{text}");
    }
}

/// A bike whose highest seat height lands on the figure.
fn with_highest_seat(base: &FrameSpec, seat_height: f64) -> Arc<Bike> {
    let at = |stack| {
        bike(with(base, |s| {
            s.saddle.stack = Some(mm(stack));
        }))
    };
    bike(with(base, |s| {
        s.saddle.stack = Some(mm(land_on(seat_height, 10.0, 400.0, |stack| {
            let bike = at(stack);
            bike.layout.seat_height_mm(bike.layout.post.highest_mm)
        })));
    }))
}

#[test]
fn classes_change_exactly_at_their_boundaries() {
    // Scopes of ISO 8098:2023 (over 435, under 635) and ISO 4210-2:2023 (635 to under 750); 16 CFR 1512.2(b)
    // (sidewalk bicycle: at most 635). A figure read off a drawing carries rounding far below the 0.1 mm step here.
    let small = with(&spec(BALANCE_12), |s| s.saddle.stack = Some(mm(20.0)));
    let middle = spec(STREET_16);
    let large = with(&spec(TRAIL_24), |s| {
        s.seat_post.length = Some(mm(320.0));
        s.published = None;
    });
    for (base, seat_height, standard, is_sidewalk) in [
        (&small, 435.0, Standard::Toy, true),
        (&small, 435.1, Standard::YoungChild, true),
        (&middle, 634.9, Standard::YoungChild, true),
        (&middle, 635.0, Standard::YoungAdult, true),
        (&middle, 635.1, Standard::YoungAdult, false),
        (&large, 749.9, Standard::YoungAdult, false),
        (&large, 750.0, Standard::Adult, false),
    ] {
        let bike = with_highest_seat(base, seat_height);
        assert_eq!(
            (bike.layout.class.standard, bike.layout.class.is_sidewalk),
            (standard, is_sidewalk),
            "{seat_height}"
        );
    }
}

#[test]
fn the_seat_post_mark_leaves_two_diameters_in_the_tube() {
    // 16 CFR 1512.15(b): 2 x 25.4 = 50.8 mm, 2 x 27.2 = 54.4 mm. Exact products; 0.1 mm is what a rule can show.
    let rider = rider("height: 1060");
    for (diameter, mark, status) in [
        (25.4, 50.8, Status::Ok),
        (25.4, 50.7, Status::Fail(Misfit::NotSize)),
        (27.2, 54.4, Status::Ok),
        (27.2, 54.3, Status::Fail(Misfit::NotSize)),
    ] {
        let bike = bike(with(&spec(STREET_16), |s| {
            s.frame.seat_tube.diameter = Some(mm(diameter));
            s.seat_post.minimum_insertion = Some(mm(mark));
        }));
        let fit = fit(&rider, &bike);
        assert_eq!(
            finding(&fit, CheckId::PostInsertion).status(),
            status,
            "{diameter}, {mark}"
        );
        assert!(
            fit.pair().setting().insertion_mm.unwrap() >= mark - 1e-9,
            "never set past the mark"
        );
    }
}

#[test]
fn one_inch_over_the_top_tube_is_the_least() {
    // 16 CFR 1512.19(c): at least 1 inch between top tube and crotch; standover 560.0 needs 585.4 mm of leg in
    // shoes. The design takes the inch as 25 mm: 25.0 passes, 24.9 fails.
    let base = with(&spec(TRAIL_24), |s| s.published = None);
    let joint = land_on(560.0, 60.0, 200.0, |joint| {
        let tube = with(&base, |s| {
            s.frame.top_tube.seat_joint = Some(mm(joint));
        });
        bike(tube).layout.standover_mm()
    });
    let bike = bike(with(&base, |s| {
        s.frame.top_tube.seat_joint = Some(mm(joint));
    }));
    for (in_shoes, sole, clearance, passes) in [
        (585.4, 15.0, 25.4, true),
        (585.0, 15.0, 25.0, true),
        (584.9, 15.0, 24.9, false),
        // The same legs barefoot and in thick soles: the sole counts.
        (585.0, 0.0, 25.0, true),
        (585.0, 30.0, 25.0, true),
    ] {
        let inseam = in_shoes - sole;
        let rider = rider(&format!("inseam: {inseam}\nheight: 1250\nsole: {sole}"));
        let fit = fit(&rider, &bike);
        let standover = finding(&fit, CheckId::Standover);
        assert!((standover.measure.value.expect("measured") - clearance).abs() < 1e-6);
        assert_eq!(
            standover.status() == Status::Fail(Misfit::TooBig),
            !passes,
            "{in_shoes}"
        );
        if !passes {
            assert_eq!(fit.verdict, Verdict::TooBig);
        }
    }
}

#[test]
fn toe_clearance_is_89_mm_for_children_and_100_mm_for_adults() {
    // 16 CFR 1512.17(d) and ISO 8098 (JIS D 9302:2019 5.6.2): 89 mm; adult bicycles 100 mm (JIS D 9301:2019 5.6.2).
    // 3 1/2 inches are 88.9 mm: the millimetre figure is the one in force.
    for (text, person, least) in [
        (STREET_16, "height: 1060", 89.0),
        (TRAIL_26, "height: 1570", 100.0),
    ] {
        let base = spec(text);
        let rider = rider(person);
        let at = |reach| bike(with(&base, |s| s.frame.reach = Some(mm(reach))));
        let [short, long] = [-100.0, 10.0].map(|more| base.frame.reach.expect("drawn").mm() + more);
        for (clearance, passes) in [(least, true), (least - 0.1, false)] {
            let reach = land_on(clearance, short, long, |reach| {
                at(reach)
                    .layout
                    .toe_clearance_mm
                    .expect("the tyre is ahead")
            });
            let fit = fit(&rider, &at(reach));
            let status = finding(&fit, CheckId::ToeClearance).status();
            assert_eq!(
                status == Status::Fail(Misfit::NotSize),
                !passes,
                "{clearance}: {status:?}"
            );
            if !passes {
                assert!(!fit.verdict.fits());
            }
        }
    }
}

#[test]
fn the_bike_leans_25_degrees_before_a_pedal_touches() {
    // 16 CFR 1512.17(c): at least 25 deg; 0.01 deg is the finest step of the report's source.
    let base = spec(STREET_16);
    let rider = rider("height: 1060");
    let at = |width| {
        bike(with(&base, |s| {
            if let Some(cranks) = &mut s.cranks {
                cranks.pedal_width = Some(mm(width));
            }
        }))
    };
    for (lean, passes) in [(25.0, true), (24.99, false)] {
        let width = land_on(lean, 40.0, 300.0, |width| {
            at(width).layout.pedal_lean_deg.expect("pedals")
        });
        let status = finding(&fit(&rider, &at(width)), CheckId::PedalLean).status();
        assert_eq!(
            status,
            if passes {
                Status::Ok
            } else {
                Status::Fail(Misfit::NotSize)
            },
            "{lean}"
        );
    }
}

fn with_levers(spec: &FrameSpec, min: f64) -> FrameSpec {
    with(spec, |s| {
        if let Some(brakes) = &mut s.brakes {
            for brake in [&mut brakes.front, &mut brakes.rear] {
                brake.kind = inseam::bike::BrakeKind::Hand;
                brake.reach = Some(LeverReach {
                    min: mm(min),
                    max: mm(min + 10.0),
                });
            }
        }
    })
}

#[test]
fn levers_stay_inside_the_law_of_their_class() {
    // ISO 8098:2014 and JIS D 9302:2019 5.2: 75 mm; 16 CFR 1512.5(b)(3): 76 mm on sidewalk bicycles, 89 mm otherwise.
    // A hand of 180 mm could hook 0.59 x 180 = 106 mm, so only the law can fail here.
    let toy = with_highest_seat(
        &with(&spec(BALANCE_12), |s| s.saddle.stack = Some(mm(20.0))),
        430.0,
    )
    .spec
    .clone();
    for (base, ceiling) in [
        (&spec(STREET_16), 75.0),
        (&toy, 76.0),
        (&spec(TRAIL_26), 89.0),
    ] {
        let rider = rider("height: 1570\nhand_length: 180");
        for (min, passes) in [(ceiling, true), (ceiling + 0.1, false)] {
            let bike = bike(with_levers(base, min));
            assert!((bike.layout.class.lever_ceiling_mm - ceiling).abs() < 1e-9);
            let status = finding(&fit(&rider, &bike), CheckId::BrakeLever).status();
            assert_eq!(
                status == Status::Fail(Misfit::NotSize),
                !passes,
                "{min}: {status:?}"
            );
        }
    }
}

#[test]
fn a_hand_hooks_a_lever_up_to_0_59_of_its_length() {
    // The tool's own rule from Snyder et al. 1977: thumb crotch to fingertip 0.70 of hand length less one finger
    // joint 0.11. Hand of 120 mm: 70.8 mm; held with an effort to 0.50 x 120 = 60 mm, which costs no caution.
    let rider = rider("height: 1060\nhand_length: 120");
    for (min, status) in [
        (38.0, Status::Ok),
        (48.0, Status::Ok),
        (48.1, Status::Ok),
        (60.0, Status::Ok),
        (60.1, Status::Caution),
        (70.8, Status::Caution),
        (70.9, Status::Fail(Misfit::TooBig)),
    ] {
        let mut spec = with_levers(&spec(STREET_16), min);
        // Drawn in as far as the hand likes, so that nothing is left to adjust.
        if let Some(brakes) = &mut spec.brakes {
            for brake in [&mut brakes.front, &mut brakes.rear] {
                brake.reach = Some(LeverReach {
                    min: mm(min),
                    max: mm(min),
                });
            }
        }
        let fit = fit(&rider, &bike(spec));
        assert_eq!(finding(&fit, CheckId::BrakeLever).status(), status, "{min}");
    }
}

#[test]
fn grips_stay_within_406_mm_of_the_lowest_saddle() {
    // 16 CFR 1512.6: 406 mm (16 inches would be 406.4: the millimetre figure is the one in force).
    let base = with(&spec(STREET_16), |s| s.cockpit.spacers = Some(mm(0.0)));
    let rider = rider("height: 1060");
    let at =
        |base: &FrameSpec, rise| bike(with(base, |s| s.cockpit.handlebar.rise = Some(mm(rise))));
    let above = |bike: &Bike| {
        bike.layout.points.grip.y - bike.layout.post.saddle_top(bike.layout.post.lowest_mm).y
    };
    for (height, status) in [
        (406.0, Status::Ok),
        (406.1, Status::Fail(Misfit::NotSize)),
        (406.4, Status::Fail(Misfit::NotSize)),
    ] {
        let rise = land_on(height, 0.0, 600.0, |rise| above(&at(&base, rise)));
        let fit = fit(&rider, &at(&base, rise));
        assert_eq!(
            finding(&fit, CheckId::BarHeight).status(),
            status,
            "{height}"
        );
        if status == Status::Ok {
            // The same bar on 10 mm of spacers is too high until they are moved above the stem.
            let raised = with(&base, |s| s.cockpit.spacers = Some(mm(10.0)));
            let fit = common::fit(&rider, &at(&raised, rise));
            assert_eq!(finding(&fit, CheckId::BarHeight).status(), Status::Caution);
        }
    }
}

#[test]
fn a_bike_of_40_percent_of_the_rider_is_the_most_without_a_caution() {
    // Common practice: 40 % of the rider's weight; cycling schools wish for 30 %, and a bike beyond that says so. 12.8 kg of 32 kg is 40 %.
    for (weight, status) in [("12.8 kg", Status::Ok), ("12.81 kg", Status::Caution)] {
        let text = TRAIL_24.replace("weight: 10.4 kg", &format!("weight: {weight}"));
        let fit = fit(&rider(common::RIDER), &bike(spec(&text)));
        assert_eq!(
            finding(&fit, CheckId::BikeWeight).status(),
            status,
            "{weight}"
        );
    }
}

#[test]
fn published_figures_that_the_geometry_denies_are_named_with_both_numbers() {
    // The invented sample closes at a wheelbase of 936.9 mm and a standover of 590.2 mm.
    for (published, warnings) in [
        ("{wheelbase: 937, standover: 590}", 0),
        ("{wheelbase: 955, standover: 590}", 1),
        ("{wheelbase: 955, standover: 560}", 2),
    ] {
        let text = TRAIL_24.replace("{wheelbase: 937, standover: 590}", published);
        let bike = bike(spec(&text));
        assert_eq!(bike.mismatches.len(), warnings, "{:?}", bike.mismatches);
        let words: Vec<_> = bike
            .mismatches
            .iter()
            .map(|mismatch| mismatch.words(inseam::Units::Mm))
            .collect();
        let names = |figures: [&str; 3]| {
            words
                .iter()
                .any(|words| figures.iter().all(|figure| words.contains(figure)))
        };
        assert_eq!(
            names(["wheelbase", "955", "937"]),
            warnings > 0,
            "{words:?}"
        );
        assert_eq!(
            names(["standover", "560", "590"]),
            warnings > 1,
            "{words:?}"
        );
    }
}
