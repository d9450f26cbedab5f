//! Some bikes and a rider that the files' ranges allow, through the questions of a shop: size, compare, rack, handover.
//! Every answer is finite, ordered and can be written.
#![no_main]

use std::sync::Arc;

use inseam::advice::compare::compare;
use inseam::advice::handover::handover;
use inseam::advice::rack::Rack;
use inseam::advice::size::size;
use inseam::bike::Bike;
use inseam::draw;
use inseam::report::card::{Extras, card};
use inseam::report::size_text::View;
use inseam::report::terminal::Layout;
use inseam::report::{self, compare_text, contract, handover_text, json, size_text};
use inseam::rider::{Rider, Stage};
use inseam::{Options, Units};
use libfuzzer_sys::fuzz_target;
use serde::Serialize;
use values::{Dice, frame, rider};

mod values;

fuzz_target!(|bytes: &[u8]| {
    let mut dice = Dice(bytes);
    let choice = dice.byte();
    let file = rider(&mut dice);
    let on = jiff::civil::date(2026, 3, 1);
    let bikes: Vec<Arc<Bike>> = (0..3)
        .map_while(|index| Bike::new(format!("fuzz-{index}"), frame(&mut dice)).ok())
        .map(Arc::new)
        .collect();
    let (Some(first), Ok(rider)) = (bikes.first(), Rider::new(&file, on)) else {
        return;
    };
    let (rider, options) = (Arc::new(rider), Options::bare(on));
    let units = dice.one_of(&[Units::Mm, Units::Cm, Units::In]);
    let layout = Layout {
        columns: usize::from(dice.byte()),
        units,
    };
    match choice % 4 {
        0 => {
            let sizing = size(&rider, &bikes, options, || {});
            assert!(
                sizing
                    .bikes
                    .iter()
                    .map(|bike| bike.rank)
                    .eq(1..=bikes.len())
            );
            for bike in &sizing.bikes {
                assert_eq!(bike.stop.is_none(), bike.fit.verdict.fits());
            }
            for all in [false, true] {
                size_text::size(&sizing, &[], View { layout, all });
            }
            size_text::csv(&sizing).expect("memory takes everything");
            written(&contract::sizing(&sizing, &[], units));
        }
        1 => {
            let last = bikes.last().unwrap_or(first);
            let comparison = compare(&rider, [first, last], options);
            compare_text::compare(&comparison, layout);
            drawn(&draw::two_bikes(&comparison, units, draw::Form::Lying).svg);
            written(&contract::comparison(&comparison, units));
        }
        2 => {
            let rack = Rack::new(&bikes);
            report::rack::text(&rack, &[], Stage::Steady, layout);
            report::rack::csv(&rack).expect("memory takes everything");
            drawn(
                &draw::rack_chart(&rack, units, draw::Form::Lying)
                    .expect("a chart")
                    .svg,
            );
            written(&contract::rack(&rack, &[], units));
        }
        _ => {
            let handover = handover(&rider, first, &options);
            handover_text::handover(&handover, layout);
            drawn(&draw::card_view(&handover.fit, units).svg);
            card(&handover, &Extras::default()).expect("the template is complete");
            written(&contract::handover(&handover, units));
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
    assert!(
        !picture.contains("NaN") && !picture.contains("\"inf"),
        "{picture}"
    );
}
