//! Any bike and any rider that the files' ranges allow, put together: figures are finite, the verdict follows
//! from the findings. Bytes are turned straight into values, so that every run reaches the geometry.
#![no_main]

use std::sync::Arc;

use inseam::bike::Bike;
use inseam::draw::side_view;
use inseam::fit::{Fit, Side, Status, Verdict};
use inseam::report::{contract, json};
use inseam::rider::Rider;
use inseam::{Options, Units, assess};
use libfuzzer_sys::fuzz_target;
use values::{Dice, frame, rider};

mod values;

fuzz_target!(|bytes: &[u8]| {
    let mut dice = Dice(bytes);
    let extras = dice.byte();
    let spec = frame(&mut dice);
    let file = rider(&mut dice);
    let on = jiff::civil::date(2026, 3, 1);
    let (Ok(bike), Ok(rider)) = (Bike::new("fuzz", spec), Rider::new(&file, on)) else {
        return;
    };
    let (bike, rider) = (Arc::new(bike), Arc::new(rider));
    let mut options = Options::bare(on);
    let units = [Units::Mm, Units::Cm, Units::In][usize::from(extras) % 3];
    // Chances cost a thousand fits and a forecast some hundred: few runs ask for them, and by a sum that no
    // mutation keeps, so that the corpus does not drift towards slow inputs.
    let sum = bytes
        .iter()
        .fold(0_u8, |sum, byte| sum.wrapping_mul(31).wrapping_add(*byte));
    options.exact = sum != 255;
    options.forecast = sum >= 253;
    let fit = assess(&rider, &bike, &options);
    examine(&fit, units);
    if extras % 16 == 0 {
        let mut written = Vec::new();
        json::write(&mut written, &contract::fit(&fit, units)).expect("memory takes everything");
    }
    if extras % 32 == 1 {
        let picture = side_view(&fit, units).svg;
        assert!(picture.ends_with("</svg>") || picture.ends_with("</svg>\n"));
        assert!(
            !picture.contains("NaN") && !picture.contains("\"inf"),
            "{picture}"
        );
    }
});

fn examine(fit: &Fit, units: Units) {
    // JSON would hide what is not finite as null; the debug form does not.
    let all = format!("{fit:?}");
    for (at, _) in all.match_indices("NaN").chain(all.match_indices("inf")) {
        let is_word = all[at + 3..].starts_with(|c: char| c.is_ascii_alphabetic());
        assert!(is_word, "{}", &all[at.saturating_sub(200)..at + 3]);
    }
    let failed = fit
        .findings()
        .any(|finding| matches!(finding.status(), Status::Fail(_)));
    assert_eq!(
        failed,
        Side::of(&fit.measures) != Side::Fits,
        "{:?}",
        fit.verdict
    );
    match fit.verdict {
        Verdict::Fits => assert!(!failed && fit.undone().next().is_none()),
        Verdict::Incomplete => assert!(fit.undone().next().is_some()),
        Verdict::Undecided => assert!(fit.odds.is_some()),
        Verdict::TooBig | Verdict::TooSmall | Verdict::Unsuitable => assert!(failed),
    }
    assert!(
        fit.odds
            .is_none_or(|odds| (0.0..=1.0).contains(&odds.chance))
    );
    for finding in fit.findings() {
        let advice = fit.advice(&finding, units);
        assert!(!advice.is_empty(), "{}", finding.id.name());
    }
    // The setting stays inside the post's range, whatever the leg wants.
    let setting = fit.pair().setting();
    assert!(
        [setting.exposed_post_mm, setting.insertion_mm]
            .into_iter()
            .flatten()
            .all(|mm| mm > 0.0),
        "{setting:?}"
    );
}
