//! Random bikes and riders: plausible ones for the geometry, extreme ones for the edges of what the files allow.
//! Drawn from plain numbers between 0 and 1, so that a failing case shrinks and repeats.

use std::sync::Arc;

use inseam::bike::figure::Figures;
use inseam::bike::spec::{AirSpring, Brakes, LeverReach, TopTube};
use inseam::bike::{Bike, BrakeKind, FrameSpec, Style, TyreSize};
use inseam::file::Toggle;
use inseam::rider::{Measured, Rider, RiderFile, Sex, Stage};
use inseam::units::{Age, Angle, Length, Mass, Pressure, Torque};
use proptest::prelude::*;
use proptest::test_runner::{FileFailurePersistence, RngSeed};

use super::{BALANCE_12, TRAIL_24, options, spec};

/// The same cases on every run and every machine.
pub(crate) fn seeded(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(20_260_301),
        failure_persistence: None::<Box<FileFailurePersistence>>.map(|never| never as _),
        max_global_rejects: 100_000,
        ..ProptestConfig::default()
    }
}

/// Enough draws for one bike and one rider.
pub(crate) fn draws() -> impl Strategy<Value = Vec<f64>> {
    proptest::collection::vec(0.0..1.0_f64, 96)
}

/// Draws numbers from a list, one after the other.
#[derive(Debug)]
pub(crate) struct Dice<'a>(std::slice::Iter<'a, f64>);

impl<'a> Dice<'a> {
    pub(crate) fn new(draws: &'a [f64]) -> Self {
        Self(draws.iter())
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.0.next().expect("enough draws")
    }

    fn mm(&mut self, low: f64, high: f64) -> Length {
        Length::from_mm(self.between(low, high))
    }

    pub(crate) fn chance(&mut self, share: f64) -> bool {
        self.between(0.0, 1.0) < share
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "an index into a short list"
    )]
    pub(crate) fn one_of<T: Clone>(&mut self, choices: &[T]) -> T {
        choices[self.between(0.0, choices.len() as f64) as usize].clone()
    }
}

/// A bike that could stand on a rack, with or without cranks. `None` where its parts do not close.
pub(crate) fn plausible_bike(dice: &mut Dice<'_>) -> Option<Arc<Bike>> {
    Bike::new("random", plausible_spec(dice)).ok().map(Arc::new)
}

/// The file of a bike that could stand on a rack.
pub(crate) fn plausible_spec(dice: &mut Dice<'_>) -> FrameSpec {
    let is_balance = dice.chance(0.15);
    let mut bike = spec(if is_balance { BALANCE_12 } else { TRAIL_24 });
    bike.name = format!("Random {}", dice.one_of(&["one", "№ 2", "#3: x", "24"]));
    if !is_balance {
        bike.style = dice.one_of(&[Style::Street, Style::Trail]);
    }
    let bead_seat_mm = if is_balance {
        dice.one_of(&[203.0, 254.0, 305.0])
    } else {
        dice.one_of(&[203.0, 254.0, 305.0, 406.0, 451.0, 507.0, 559.0, 584.0])
    };
    let tyre = |dice: &mut Dice<'_>| TyreSize {
        width_mm: dice.between(23.0, 65.0),
        bead_seat_mm,
    };
    bike.tyres.front = tyre(dice);
    bike.tyres.rear = if dice.chance(0.3) {
        bike.tyres.front
    } else {
        tyre(dice)
    };
    let radius = bike.tyres.rear.wheel_radius_mm();
    // Size of the bike against a 24-inch one.
    let size = radius / 307.5;
    let frame = &mut bike.frame;
    frame.bottom_bracket_drop = Some(dice.mm(-70.0, 50.0));
    frame.chainstay = Some(Length::from_mm(radius + dice.between(30.0, 120.0)));
    frame.stack = Some(Length::from_mm(radius + dice.between(60.0, 260.0)));
    frame.reach = Some(Length::from_mm(
        size * dice.between(270.0, 420.0) + dice.between(0.0, 60.0),
    ));
    frame.seat_tube.angle = Some(Angle::from_deg(dice.between(62.0, 78.0)));
    let seat_tube_mm = size * dice.between(150.0, 330.0);
    frame.seat_tube.length = Some(Length::from_mm(seat_tube_mm));
    frame.seat_tube.usable_depth = Some(Length::from_mm(seat_tube_mm * 0.9));
    frame.seat_tube.offset = Some(if dice.chance(0.3) {
        dice.mm(-40.0, 60.0)
    } else {
        Length::from_mm(0.0)
    });
    frame.head_tube.angle = Some(Angle::from_deg(dice.between(62.0, 76.0)));
    frame.head_tube.length = Some(dice.mm(70.0, 130.0));
    let tube = &mut frame.top_tube;
    tube.seat_joint = Some(Length::from_mm(seat_tube_mm * dice.between(0.4, 1.0)));
    tube.head_joint = Some(dice.mm(10.0, 60.0));
    tube.diameter = Some(dice.mm(25.0, 60.0));
    tube.straddle = Some(dice.one_of(&[0.5, 0.5, 0.3, 0.8]));
    bike.fork.offset = Some(dice.mm(-20.0, 60.0));
    bike.fork.axle_to_crown = None;
    bike.cockpit.spacers = Some(dice.mm(0.0, 40.0));
    bike.cockpit.stem.length = Some(dice.mm(10.0, 90.0));
    bike.cockpit.stem.angle = Some(Angle::from_deg(dice.between(-20.0, 40.0)));
    bike.cockpit.stem.clamp_height = Some(dice.mm(25.0, 50.0));
    bike.cockpit.handlebar.rise = Some(dice.mm(-20.0, 120.0));
    bike.cockpit.handlebar.setback = Some(dice.mm(0.0, 60.0));
    bike.saddle.stack = Some(dice.mm(25.0, 60.0));
    bike.saddle.setback = Some(dice.mm(-10.0, 40.0));
    bike.seat_post.length = Some(Length::from_mm(size * dice.between(200.0, 400.0)));
    bike.seat_post.minimum_insertion = Some(dice.mm(50.0, 80.0));
    if let Some(cranks) = &mut bike.cranks {
        cranks.length = Some(Length::from_mm(size * dice.between(115.0, 160.0)));
        cranks.q_factor = Some(dice.mm(120.0, 190.0));
        cranks.pedal_width = Some(dice.mm(60.0, 110.0));
        cranks.pedal_height = Some(dice.mm(14.0, 32.0));
    }
    bike.published = None;
    bike
}

/// The file of a bike with everything near the ends of its range, and anything optional left out or filled in.
pub(crate) fn extreme_spec(dice: &mut Dice<'_>) -> FrameSpec {
    let mut bike = plausible_spec(dice);
    if dice.chance(0.3) {
        bike.frame.top_tube = TopTube::default();
    }
    if dice.chance(0.3) {
        bike.brakes = None;
    } else {
        let mut brake = |kinds: &[BrakeKind]| {
            let kind = dice.one_of(kinds);
            let min = dice.between(20.0, 80.0);
            let has_reach = kind == BrakeKind::Hand && dice.chance(0.7);
            inseam::bike::spec::Brake {
                kind,
                reach: has_reach.then(|| LeverReach {
                    min: Length::from_mm(min),
                    max: Length::from_mm(min + 30.0),
                }),
            }
        };
        bike.brakes = Some(Brakes {
            front: brake(&[BrakeKind::Hand, BrakeKind::None]),
            rear: brake(&[BrakeKind::Hand, BrakeKind::Coaster, BrakeKind::None]),
        });
    }
    if dice.chance(0.3) {
        bike.frame.seat_tube.diameter = None;
        bike.cockpit.handlebar.width = None;
        bike.weight = None;
        bike.tyres.min_pressure = None;
    }
    if dice.chance(0.3)
        && let Some(cranks) = &mut bike.cranks
    {
        cranks.q_factor = None;
        cranks.length = Some(dice.mm(60.0, 190.0));
    }
    if dice.chance(0.3) {
        bike.cockpit.stem.length = Some(dice.mm(0.0, 160.0));
        bike.cockpit.stem.angle = Some(Angle::from_deg(dice.between(-40.0, 60.0)));
        bike.cockpit.handlebar.setback = Some(dice.mm(-80.0, 200.0));
        bike.cockpit.handlebar.rise = Some(dice.mm(-80.0, 250.0));
    }
    if dice.chance(0.3) {
        bike.frame.seat_tube.angle = Some(Angle::from_deg(dice.between(50.0, 85.0)));
        bike.frame.seat_tube.offset = Some(dice.mm(-150.0, 150.0));
        bike.saddle.setback = Some(dice.mm(-80.0, 120.0));
        bike.seat_post.length = Some(dice.mm(60.0, 600.0));
    }
    if dice.chance(0.4) {
        bike.published = Some(Box::new(Figures {
            wheelbase: Some(Measured::from_mm(dice.between(300.0, 1400.0))),
            bottom_bracket_height: Some(Measured::from_mm(dice.between(80.0, 400.0))),
            ..Figures::default()
        }));
        bike.price = Some(dice.between(0.0, 2000.0));
        bike.torque.0 = vec![(
            "stem faceplate".to_owned(),
            Torque::from_nm(dice.between(1.0, 9.0)).into(),
        )];
    }
    bike.fork.travel = Some(dice.mm(1.0, 200.0));
    bike.fork.air_spring = match dice.one_of(&[0, 1, 2]) {
        0 => Toggle::Off,
        1 => Toggle::On,
        _ => Toggle::Detailed(AirSpring {
            reference_pressure: Pressure::from_bar(dice.between(1.0, 9.0)),
            reference_rider: Mass::from_kg(dice.between(20.0, 80.0)),
            min: Pressure::from_bar(1.0),
            max: Pressure::from_bar(10.0),
        }),
    };
    bike
}

/// The file of a rider from two years old to a small adult, some segments measured.
pub(crate) fn rider_file(dice: &mut Dice<'_>) -> RiderFile {
    let height = dice.between(800.0, 1750.0);
    let around = |dice: &mut Dice<'_>, value: f64, spread: f64| {
        Measured::from_mm(value + dice.between(-spread, spread))
    };
    let mut file = RiderFile {
        name: Some("Rider A".to_owned()),
        inseam: Some(around(dice, 0.593 * height - 158.0, 30.0)),
        height: Some(Measured::from_mm(height)),
        arm_reach: Some(around(dice, 0.384 * height, 0.02 * height)),
        ..RiderFile::default()
    };
    let measured = |dice: &mut Dice<'_>, value: f64| {
        let measured = around(dice, value, 10.0);
        dice.chance(0.2).then_some(measured)
    };
    file.hip_height = measured(dice, 0.55 * height);
    file.knee_height = measured(dice, 0.27 * height);
    file.ankle_height = measured(dice, 0.04 * height);
    file.foot_length = measured(dice, 0.155 * height);
    file.shoulder_height = measured(dice, 0.8 * height);
    file.upper_arm = measured(dice, 0.18 * height);
    file.hand_length = measured(dice, 0.11 * height);
    if dice.chance(0.3) {
        file.inseam = file.inseam.map(|inseam| Measured {
            spread: Some(Length::from_mm(7.5)),
            ..inseam
        });
    }
    file.sole = Some(dice.mm(0.0, 30.0));
    file.stage = dice.one_of(&[
        None,
        Some(Stage::Learning),
        Some(Stage::Steady),
        Some(Stage::Confident),
    ]);
    file.sex = dice.one_of(&[None, Some(Sex::Girl), Some(Sex::Boy)]);
    if dice.chance(0.5) {
        file.age = Some(Age::from_months(dice.between(24.0, 240.0)));
        file.weight = Some(Mass::from_kg(dice.between(10.0, 80.0)));
    }
    file
}

/// A rider, or `None` where the measurements cannot be one body.
pub(crate) fn random_rider(dice: &mut Dice<'_>) -> Option<Arc<Rider>> {
    Rider::new(&rider_file(dice), options().on)
        .ok()
        .map(Arc::new)
}
