//! Bikes and riders from bytes, within the ranges that the files allow; shared by the targets that put them together.
//! Nothing is checked here.
#![allow(dead_code, reason = "compiled into each target, which uses its part")]

use std::sync::LazyLock;

use inseam::bike::figure::Figures;
use inseam::bike::spec::{AirSpring, Brake, Brakes, LeverReach};
use inseam::bike::{BrakeKind, FrameSpec, Style, TyreSize};
use inseam::file::{Document, Toggle};
use inseam::rider::{Measured, MeasuredBy, RiderFile, Sex, Stage};
use inseam::units::{Age, Angle, Length, Mass, Pressure};

static BASES: LazyLock<Vec<FrameSpec>> = LazyLock::new(|| {
    inseam::bike::library::SAMPLES
        .iter()
        .map(|(id, text)| {
            Document::from_text(*id, *text)
                .read()
                .expect("a sample reads")
        })
        .collect()
});

/// Values from bytes, one after the other; zeros when they run out.
pub struct Dice<'a>(pub &'a [u8]);

impl Dice<'_> {
    /// What is left, as text.
    pub fn text(&self) -> String {
        String::from_utf8_lossy(self.0).into_owned()
    }

    pub fn byte(&mut self) -> u8 {
        match self.0.split_first() {
            Some((first, rest)) => {
                self.0 = rest;
                *first
            }
            None => 0,
        }
    }

    /// Both ends are reached.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = u16::from_le_bytes([self.byte(), self.byte()]);
        low + (high - low) * f64::from(share) / f64::from(u16::MAX)
    }

    fn mm(&mut self, low: f64, high: f64) -> Length {
        Length::from_mm(self.between(low, high))
    }

    /// Moves a value of the base bike by up to `spread`, puts it anywhere in its range, or leaves it out.
    fn shift(&mut self, value: &mut Option<Length>, spread: f64, low: f64, high: f64) {
        match (self.byte() % 8, *value) {
            (0 | 4, _) => {}
            (7, _) => *value = None,
            (3, _) | (_, None) => *value = Some(self.mm(low, high)),
            (_, Some(length)) => {
                let moved = length.mm() + self.between(-spread, spread);
                *value = Some(Length::from_mm(moved.clamp(low, high)));
            }
        }
    }

    fn turn(&mut self, value: &mut Option<Angle>, low: f64, high: f64) {
        if self.byte() % 2 == 1 {
            *value = self.maybe(|dice| Angle::from_deg(dice.between(low, high)));
        }
    }

    pub fn maybe<T>(&mut self, make: impl FnOnce(&mut Self) -> T) -> Option<T> {
        (self.byte() % 2 == 1).then(|| make(self))
    }

    pub fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[usize::from(self.byte()) % choices.len()]
    }
}

/// The ranges are those of the frame file.
pub fn frame(dice: &mut Dice<'_>) -> FrameSpec {
    let mut bike = BASES[usize::from(dice.byte()) % BASES.len()].clone();
    if bike.style != Style::Balance {
        bike.style = dice.one_of(&[Style::Street, Style::Trail]);
    }
    let frame = &mut bike.frame;
    dice.shift(&mut frame.stack, 60.0, 120.0, 800.0);
    dice.shift(&mut frame.reach, 60.0, 80.0, 600.0);
    dice.shift(&mut frame.chainstay, 40.0, 120.0, 600.0);
    dice.shift(&mut frame.bottom_bracket_drop, 40.0, -200.0, 120.0);
    dice.turn(&mut frame.seat_tube.angle, 50.0, 85.0);
    dice.shift(&mut frame.seat_tube.length, 60.0, 40.0, 650.0);
    dice.shift(&mut frame.seat_tube.usable_depth, 60.0, 20.0, 650.0);
    dice.shift(&mut frame.seat_tube.offset, 40.0, -150.0, 150.0);
    if dice.byte() % 8 == 7 {
        frame.seat_tube.diameter = dice.maybe(|dice| dice.mm(18.0, 40.0));
    }
    dice.turn(&mut frame.head_tube.angle, 55.0, 85.0);
    dice.shift(&mut frame.head_tube.length, 30.0, 30.0, 300.0);
    let tube = &mut frame.top_tube;
    dice.shift(&mut tube.seat_joint, 60.0, 0.0, 650.0);
    dice.shift(&mut tube.head_joint, 30.0, -30.0, 400.0);
    dice.shift(&mut tube.diameter, 20.0, 10.0, 120.0);
    tube.straddle = dice.maybe(|dice| dice.between(0.0, 1.0));
    dice.shift(&mut bike.fork.offset, 40.0, -80.0, 100.0);
    bike.fork.axle_to_crown = dice.maybe(|dice| dice.mm(100.0, 650.0));
    dice.shift(&mut bike.fork.travel, 60.0, 0.0, 220.0);
    match dice.byte() % 8 {
        0 => bike.fork.air_spring = Toggle::On,
        1 => {
            bike.fork.air_spring = Toggle::Detailed(AirSpring {
                reference_pressure: Pressure::from_bar(dice.between(0.5, 25.0)),
                reference_rider: Mass::from_kg(dice.between(10.0, 150.0)),
                min: Pressure::from_bar(dice.between(0.2, 25.0)),
                max: Pressure::from_bar(dice.between(0.5, 30.0)),
            });
        }
        2 => bike.fork.air_spring = Toggle::Off,
        _ => {}
    }
    for tyre in [&mut bike.tyres.front, &mut bike.tyres.rear] {
        if dice.byte() % 4 == 3 {
            *tyre = TyreSize {
                width_mm: dice.between(18.0, 120.0),
                bead_seat_mm: dice.between(100.0, 650.0),
            };
        }
    }
    let cockpit = &mut bike.cockpit;
    dice.shift(&mut cockpit.spacers, 30.0, 0.0, 150.0);
    dice.shift(&mut cockpit.stem.length, 30.0, 0.0, 160.0);
    dice.turn(&mut cockpit.stem.angle, -40.0, 60.0);
    dice.shift(&mut cockpit.stem.clamp_height, 30.0, 10.0, 150.0);
    dice.shift(&mut cockpit.handlebar.rise, 60.0, -80.0, 250.0);
    dice.shift(&mut cockpit.handlebar.setback, 60.0, -80.0, 200.0);
    cockpit.handlebar.width = dice.maybe(|dice| dice.mm(250.0, 900.0));
    dice.shift(&mut cockpit.handlebar.grip_diameter, 10.0, 15.0, 45.0);
    dice.shift(&mut bike.saddle.stack, 20.0, 10.0, 120.0);
    dice.shift(&mut bike.saddle.setback, 20.0, -80.0, 120.0);
    dice.shift(&mut bike.saddle.fore_aft, 10.0, 0.0, 60.0);
    bike.saddle.width = dice.maybe(|dice| dice.mm(60.0, 300.0));
    bike.saddle.length = dice.maybe(|dice| dice.mm(80.0, 350.0));
    dice.shift(&mut bike.seat_post.length, 60.0, 60.0, 600.0);
    dice.shift(&mut bike.seat_post.minimum_insertion, 20.0, 20.0, 200.0);
    if let Some(cranks) = &mut bike.cranks {
        dice.shift(&mut cranks.length, 20.0, 60.0, 190.0);
        cranks.q_factor = dice.maybe(|dice| dice.mm(80.0, 260.0));
        cranks.pedal_width = dice.maybe(|dice| dice.mm(40.0, 140.0));
        dice.shift(&mut cranks.pedal_height, 10.0, 5.0, 50.0);
    }
    match dice.byte() % 4 {
        0 => bike.brakes = None,
        1 => {
            bike.brakes = Some(Brakes {
                front: brake(dice, &[BrakeKind::Hand, BrakeKind::None]),
                rear: brake(
                    dice,
                    &[BrakeKind::Hand, BrakeKind::Coaster, BrakeKind::None],
                ),
            });
        }
        _ => {}
    }
    bike.weight = dice.maybe(|dice| Mass::from_kg(dice.between(1.0, 40.0)));
    bike.published = dice.maybe(figures).map(Box::new);
    bike.measured = dice.maybe(figures).map(Box::new);
    bike
}

/// Some figures of a chart or a tape.
fn figures(dice: &mut Dice<'_>) -> Figures {
    let mut length = |low: f64, high: f64| {
        dice.maybe(|dice| Measured {
            value: dice.mm(low, high),
            spread: dice.maybe(|dice| dice.mm(0.0, 50.0)),
        })
    };
    Figures {
        wheelbase: length(300.0, 1400.0),
        standover: length(150.0, 950.0),
        bottom_bracket_height: length(80.0, 400.0),
        seat_height_lowest: length(150.0, 1100.0),
        seat_height_highest: length(200.0, 1400.0),
        grip_height: length(300.0, 1400.0),
        grip_ahead: length(-100.0, 900.0),
        front_centre: length(150.0, 900.0),
        ..Figures::default()
    }
}

fn brake(dice: &mut Dice<'_>, kinds: &[BrakeKind]) -> Brake {
    let kind = dice.one_of(kinds);
    let reach = dice.maybe(|dice| LeverReach {
        min: dice.mm(20.0, 120.0),
        max: dice.mm(20.0, 130.0),
    });
    Brake {
        kind,
        reach: reach.filter(|_| kind == BrakeKind::Hand),
    }
}

/// The ranges are those of the rider file; mostly one body, sometimes segments that contradict each other.
pub fn rider(dice: &mut Dice<'_>) -> RiderFile {
    let height = dice.between(700.0, 2000.0);
    let measured = |mm: f64, spread: Option<Length>| Measured {
        value: Length::from_mm(mm),
        spread,
    };
    let mut near = |share: f64, spread: f64, low: f64, high: f64| {
        dice.maybe(|dice| {
            let mm = height * (share + dice.between(-spread, spread));
            let doubt = dice.maybe(|dice| dice.mm(0.0, 100.0));
            measured(mm.clamp(low, high), doubt)
        })
    };
    let mut file = RiderFile {
        inseam: near(0.45, 0.1, 250.0, 1000.0),
        arm_reach: near(0.385, 0.08, 200.0, 850.0),
        hip_height: near(0.5, 0.15, 250.0, 1100.0),
        knee_height: near(0.27, 0.15, 100.0, 700.0),
        ankle_height: near(0.04, 0.03, 15.0, 150.0),
        thigh: near(0.23, 0.1, 100.0, 600.0),
        shank: near(0.23, 0.1, 80.0, 600.0),
        foot_length: near(0.155, 0.05, 80.0, 350.0),
        hip_above_saddle: near(0.05, 0.05, 5.0, 200.0),
        shoulder_height: near(0.8, 0.15, 450.0, 1700.0),
        torso: near(0.3, 0.1, 150.0, 800.0),
        upper_arm: near(0.18, 0.06, 80.0, 450.0),
        forearm: near(0.2, 0.06, 80.0, 450.0),
        hand_length: near(0.11, 0.04, 60.0, 250.0),
        shoulder_breadth: near(0.22, 0.1, 120.0, 600.0),
        ..RiderFile::default()
    };
    file.height = Some(Measured::from_mm(height));
    file.age = dice.maybe(|dice| Age::from_months(dice.between(12.0, 1200.0)));
    file.sex = dice.maybe(|dice| dice.one_of(&[Sex::Girl, Sex::Boy]));
    file.weight = dice.maybe(|dice| Mass::from_kg(dice.between(6.0, 150.0)));
    file.stage =
        dice.maybe(|dice| dice.one_of(&[Stage::Learning, Stage::Steady, Stage::Confident]));
    file.measured_by = dice.maybe(|dice| dice.one_of(&[MeasuredBy::Parent, MeasuredBy::Shop]));
    file.sole = dice.maybe(|dice| dice.mm(0.0, 50.0));
    file
}
