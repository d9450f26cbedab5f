//! Some bikes and a rider that the files' ranges allow, through the questions of a shop: size, compare, rack, handover.
//! Every answer is finite, ordered and can be written.
#![no_main]

use inseam::advice::compare::compare;
use inseam::advice::handover::handover;
use inseam::advice::rack::Rack;
use inseam::advice::size;
use inseam::bike::Bike;
use inseam::draw;
use inseam::report::card::{Extras, card};
use inseam::report::text::Layout;
use inseam::report::{self, compare_text, handover_text, json, size_text};
use inseam::rider::{Rider, Stage};
use inseam::{Assessor, Options, Units};
use libfuzzer_sys::fuzz_target;
use serde::Serialize;
use values::{Dice, frame, rider};

mod values;

fuzz_target!(|bytes: &[u8]| {
    let mut dice = Dice(bytes);
    let choice = dice.byte();
    let file = rider(&mut dice);
    let on = jiff::civil::date(2026, 3, 1);
    let bikes: Vec<Bike> = (0..3)
        .map_while(|index| Bike::new(format!("fuzz-{index}"), frame(&mut dice)).ok())
        .collect();
    let (Some(first), Ok(rider)) = (bikes.first(), Rider::new(&file, on)) else {
        return;
    };
    let mut options = Options::bare(on);
    options.units = dice.one_of(&[Units::Mm, Units::Cm, Units::In]);
    let layout = Layout { columns: usize::from(dice.byte()), units: options.units };
    match choice % 4 {
        0 => {
            let assessor = Assessor::new(&rider, options);
            let judged: Vec<_> = bikes.iter().map(|bike| size::judge(&assessor, bike)).collect();
            for bike in &judged {
                assert_eq!(bike.clone().trimmed().fit.verdict, bike.fit.verdict);
            }
            let sizing = size::rank(assessor.rider_facts(), judged, Vec::new());
            assert!(sizing.bikes.iter().map(|bike| bike.rank).eq(1..=bikes.len()));
            size_text::size(&sizing, false, layout);
            size_text::csv(&sizing).expect("memory takes everything");
            written(&sizing);
        }
        1 => {
            let last = bikes.last().unwrap_or(first);
            let comparison = compare(&rider, first, last, &options);
            compare_text::compare(&comparison, layout);
            drawn(&draw::overlay(first, &comparison.a, last, &comparison.b, options.units));
            written(&comparison);
        }
        2 => {
            let rack = Rack::new(&bikes, Vec::new(), options.units);
            report::rack::text(&rack, Stage::Steady, layout);
            report::rack::csv(&rack).expect("memory takes everything");
            drawn(&draw::RackChart::new(&rack, options.units).svg().expect("a chart"));
            written(&rack);
        }
        _ => {
            let handover = handover(&rider, first, &options);
            handover_text::handover(&handover, layout);
            drawn(&draw::card_view(first, &handover.fit, options.units));
            card(&handover, &Extras::default()).expect("the template is complete");
            written(&handover);
        }
    }
});

fn written(answer: &impl Serialize) {
    let mut bytes = Vec::new();
    json::write(&mut bytes, answer).expect("memory takes everything");
    serde_json::from_slice::<serde_json::Value>(&bytes).expect("JSON");
}

fn drawn(picture: &str) {
    assert!(picture.trim_end().ends_with("</svg>"));
    assert!(!picture.contains("NaN") && !picture.contains("\"inf"), "{picture}");
}
