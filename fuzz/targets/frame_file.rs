//! Any text as a frame file: a bike, or problems that each name something and can be shown.
//! What is read is written back and read again to the same bike.
#![no_main]

use inseam::bike::{FrameSpec, library};
use inseam::file::{Document, to_text};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let document = Document::from_text("fuzz.yaml", text);
    match library::read("fuzz", &document) {
        Ok(bike) => {
            let written = to_text(&bike.spec).expect("a frame can be written");
            let again: FrameSpec = Document::from_text("again.yaml", written.as_str())
                .read()
                .unwrap_or_else(|problems| panic!("{problems:#?}\n{written}"));
            assert_eq!(again, bike.spec);
        }
        Err(error) => {
            let problems = error.into_problems();
            assert!(!problems.is_empty(), "refused without a word");
            for problem in problems {
                assert!(!problem.message.is_empty());
                assert!(!problem.to_string().contains('\u{1b}'));
                problem.excerpt(false);
            }
        }
    }
});
