//! Any text as a rider file: a rider with a finite body, or problems that each name something and can be shown.
#![no_main]

use inseam::file::{Document, to_text};
use inseam::rider::{Rider, RiderFile};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let document = Document::from_text("fuzz.yaml", text);
    match document.read::<RiderFile>() {
        Ok(file) => {
            let written = to_text(&file).expect("a rider can be written");
            let again = Document::from_text("again.yaml", written.as_str())
                .read::<RiderFile>()
                .unwrap_or_else(|problems| panic!("{problems:#?}\n{written}"));
            assert_eq!(again, file);
            match Rider::new(&file, jiff::civil::date(2026, 3, 1)) {
                Ok(rider) => {
                    let body = format!("{:?}", rider.body());
                    assert!(!body.contains("NaN") && !body.contains("inf"), "{body}");
                    rider.warnings();
                    rider.title();
                }
                Err(error) => {
                    let problems = document.place(error).into_problems();
                    assert!(!problems.is_empty(), "refused without a word");
                    for problem in problems {
                        problem.excerpt(false);
                    }
                }
            }
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
