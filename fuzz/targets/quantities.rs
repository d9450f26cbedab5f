//! Any text as every kind of quantity: a finite number inside its range, or a message on one line.
#![no_main]

use std::fmt::Display;
use std::str::FromStr;

use inseam::Units;
use inseam::bike::{Style, TyreSize};
use inseam::rider::measures::INSEAM_MM;
use inseam::rider::{Measured, Sex, Stage};
use inseam::units::{Age, Angle, Length, Mass, Pressure, Quantity, Torque};
use inseam::words::UnknownWord;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    quantity::<Length>(text);
    quantity::<Angle>(text);
    quantity::<Mass>(text);
    quantity::<Pressure>(text);
    quantity::<Torque>(text);
    quantity::<Age>(text);
    if let Ok(length) = text.parse::<Length>() {
        for units in [Units::Mm, Units::Cm, Units::In] {
            one_line(&units.length(length.mm()));
            one_line(&units.tape(length.mm()));
        }
    }
    if let Ok(age) = text.parse::<Age>() {
        one_line(&age);
    }
    match Measured::from_text(text, &INSEAM_MM) {
        Ok(measured) => {
            assert!(INSEAM_MM.contains(&measured.mm()));
            assert!(
                measured
                    .spread
                    .is_none_or(|spread| (0.0..=100.0).contains(&spread.mm()))
            );
            // Written as the file has it, it is the same figure again.
            let again = Measured::from_text(&measured.to_string(), &INSEAM_MM);
            assert_eq!(again, Ok(measured));
        }
        Err(message) => one_line(&message),
    }
    match text.parse::<TyreSize>() {
        Ok(size) => assert!(size.wheel_radius_mm().is_finite()),
        Err(message) => one_line(&message),
    }
    word::<Stage>(text);
    word::<Sex>(text);
    word::<Style>(text);
});

fn quantity<Q: Quantity>(text: &str)
where
    Q: FromStr,
    <Q as FromStr>::Err: Display,
{
    match text.parse::<Q>() {
        Ok(quantity) => assert!(quantity.number().is_finite(), "{text}"),
        Err(message) => one_line(&message),
    }
}

fn word<T: FromStr<Err = UnknownWord>>(text: &str) {
    if let Err(message) = text.parse::<T>() {
        one_line(&message);
    }
}

fn one_line(message: &dyn Display) {
    let message = message.to_string();
    assert!(!message.is_empty());
    assert!(!message.contains(char::is_control), "{message:?}");
}
