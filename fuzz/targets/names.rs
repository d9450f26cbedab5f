//! Any text as the name of a bike, a rider, a part and a shop: every picture is XML, every table has its rows, JSON
//! reads back, and nowhere is a character that nobody sees.
#![no_main]

use std::sync::Arc;

use inseam::advice::compare::compare;
use inseam::advice::handover::handover;
use inseam::advice::rack::Rack;
use inseam::advice::size::size;
use inseam::bike::{Bike, library};
use inseam::file::Named;
use inseam::report::card::{Extras, Paper, card};
use inseam::report::terminal::Layout;
use inseam::report::{self, contract, handover_text, json, size_text};
use inseam::rider::{Measured, Rider, RiderFile};
use inseam::{Options, Units, draw, words};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let clean = words::clean(text);
    seen(&clean);
    assert_eq!(words::clean(&clean), clean, "cleaned twice");
    let cell = words::cell(text);
    assert!(
        !cell.starts_with(['=', '+', '-', '@', '\t', '\r', '＝', '＋', '－', '＠']),
        "{cell:?}"
    );
    let on = jiff::civil::date(2026, 3, 1);
    let file = RiderFile {
        name: Some(text.to_owned()),
        height: Some(Measured::from_mm(1380.0)),
        ..RiderFile::default()
    };
    let mut spec = library::sample("trail-24").expect("a sample").spec.clone();
    spec.name = text.to_owned();
    spec.torque = Named(vec![(
        text.to_owned(),
        inseam::units::Torque::from_nm(5.0).into(),
    )]);
    let (Ok(bike), Ok(rider)) = (Bike::new("fuzz", spec), Rider::new(&file, on)) else {
        assert!(clean.is_empty(), "a name that can be seen is taken");
        return;
    };
    let (bike, rider) = (Arc::new(bike), Arc::new(rider));
    let options = Options::bare(on);
    let layout = Layout {
        columns: 80,
        units: Units::Mm,
    };
    let comparison = compare(&rider, [&bike, &bike], options);
    picture(&draw::side_view(&comparison.fits[0], Units::Mm).svg);
    for form in [draw::Form::Lying, draw::Form::Upright] {
        picture(&draw::two_bikes(&comparison, Units::Mm, form).svg);
    }
    let handover = handover(&rider, &bike, &options);
    let drawn = draw::card_view(&handover.fit, Units::Mm).svg;
    picture(&drawn);
    let extras = Extras {
        shop: Some(text.to_owned()),
        technician: Some(text.to_owned()),
        serial_number: Some(text.to_owned()),
        picture: Some(drawn),
        paper: Paper::A4,
        units: Units::Mm,
    };
    let page = card(&handover, &extras).expect("the template is complete");
    seen(&page);
    seen(&handover_text::handover(&handover, layout).replace('\u{1b}', ""));
    let bikes = [bike];
    let sizing = size(&rider, &bikes, options, || {});
    rows(
        &size_text::csv(&sizing).expect("memory takes everything"),
        1,
    );
    let rack = Rack::new(&bikes);
    rows(
        &report::rack::csv(&rack).expect("memory takes everything"),
        3,
    );
    let mut written = Vec::new();
    json::write(&mut written, &contract::sizing(&sizing, &[], Units::Mm))
        .expect("memory takes everything");
    let read: serde_json::Value = serde_json::from_slice(&written).expect("JSON");
    assert_eq!(read["bikes"][0]["fit"]["bike"]["name"], *clean);
});

fn seen(text: &str) {
    let unseen = text.chars().find(|c| {
        (c.is_control() && *c != '\n')
            || ('\u{200b}'..='\u{200f}').contains(c)
            || ('\u{2028}'..='\u{202e}').contains(c)
            || ('\u{2060}'..='\u{206f}').contains(c)
            || ('\u{e0000}'..='\u{e0fff}').contains(c)
            || *c == '\u{feff}'
            || u32::from(*c) & 0xfffe == 0xfffe
    });
    assert_eq!(unseen, None, "{text:?}");
}

fn picture(svg: &str) {
    seen(svg);
    roxmltree::Document::parse(svg).expect("a picture is XML");
}

fn rows(table: &[u8], count: usize) {
    let mut reader = csv::Reader::from_reader(table);
    let column = reader
        .headers()
        .expect("headers")
        .iter()
        .position(|title| title == "name");
    let column = column.expect("a name");
    let records: Vec<_> = reader.records().map(|row| row.expect("a row")).collect();
    assert_eq!(records.len(), count);
    for row in records {
        seen(&row[column]);
        assert!(!row[column].starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']));
    }
}
