//! What fuzzing found, one test for each: the input, and what must happen instead.

mod common;

use common::rider_file;
use inseam::bike::{Layout, library};
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

/// Figures that leave a post no travel closed into a bike, on which nobody can sit.
#[test]
fn a_post_without_travel_is_no_bike() {
    let bike = library::sample("trail-24").expect("a sample bike");
    let mut drawing = bike.drawing;
    assert!(Layout::close(&drawing).is_ok());
    // Less than the clamp needs stays above the tube at the mark.
    drawing.minimum_insertion_mm = drawing.post_length_mm - 10.0;
    let wrong = Layout::close(&drawing).expect_err("no bike");
    let said: Vec<String> = wrong
        .iter()
        .map(|problem| problem.message.clone())
        .collect();
    assert!(
        said.join(" ").contains("the post has no travel"),
        "{said:?}"
    );
}

/// Seat heights so far apart that the post at its mark would stand above the tube.
#[test]
fn a_post_that_leaves_its_tube_is_no_bike() {
    let bike = library::sample("trail-24").expect("a sample bike");
    let mut drawing = bike.drawing;
    drawing.minimum_insertion_mm = -5.0;
    let wrong = Layout::close(&drawing).expect_err("no bike");
    let said = &wrong.first().expect("a problem").message;
    assert!(said.contains("out of the tube"), "{said}");
}
