//! What fuzzing found, one test for each: the input, and what must happen instead.

mod common;

use common::rider_file;
use inseam::file::{Document, to_text};
use inseam::rider::RiderFile;

/// `age` was written as a bare number of months, which no rider file may hold.
#[test]
fn a_rider_file_with_an_age_is_written_as_it_can_be_read() {
    let file = rider_file("height: 1310\nage: 8y3m\nborn: 2017-05-04\n");
    let written = to_text(&file).unwrap();
    assert!(written.contains("age: 99 months"), "{written}");
    let again: RiderFile = Document::from_text("again.yaml", written).read().unwrap();
    assert_eq!(again, file);
}
