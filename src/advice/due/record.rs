//! The record of a handover, as far as it says what is due: the file, and what cannot be true of it.
//! One key a row, like every file here. What follows from it is `due`'s business; who writes it is not known here.

use jiff::civil::Date;

use crate::file::{Document, Error, Problem, section};
use crate::units::Length;

section! {
    /// When bolts and cables are looked at again.
    pub struct FirstCheck {
        /// First day.
        from: Date, ();
        /// Last day.
        to: Date, ();
    }
}

section! {
    /// One raise of the saddle.
    pub struct RaiseAt {
        /// The day.
        date: Date, ();
        /// Bottom-bracket centre to saddle top, straight.
        saddle_height_mm: Length, 100.0..=1200.0;
    }
}

section! {
    /// When the bike is expected to be outgrown.
    pub struct OutgrownBy {
        /// In one case of ten by this day.
        p10: Option<Date>, ();
        /// As likely as not by this day.
        p50: Option<Date>, ();
        /// In nine cases of ten by this day.
        p90: Option<Date>, ();
    }
}

section! {
    /// What is to be done, and when.
    #[derive(Default)]
    pub struct DueDays {
        /// Bolts and cables after the first rides.
        first_check: Option<FirstCheck>, ();
        /// Raises of the saddle.
        raises: Vec<RaiseAt>, ();
        /// When the bike is outgrown.
        outgrown: Option<OutgrownBy>, ();
        /// When to measure the child again.
        measure: Option<Date>, ();
    }
}

section! {
    /// What was set on the bike.
    #[derive(Default)]
    pub struct AsSet {
        /// Bottom-bracket centre to saddle top, straight.
        saddle_height_mm: Option<Length>, 100.0..=1200.0;
        /// Saddle top above the ground.
        seat_height_mm: Option<Length>, 100.0..=1500.0;
        /// Post showing above the tube.
        exposed_post_mm: Option<Length>, 0.0..=600.0;
        /// Lever to grip.
        lever_gap_mm: Option<Length>, 10.0..=150.0;
        /// Front tyre, bar.
        front_bar: Option<f64>, 0.0..=12.0;
        /// Rear tyre, bar.
        rear_bar: Option<f64>, 0.0..=12.0;
    }
}

section! {
    /// A record of a handover.
    pub struct Record {
        /// Name and version of the record.
        schema: Option<String>, ();
        /// The day of the handover.
        date: Date, ();
        /// Whom the bike was set for.
        rider: String, ();
        /// Which bike.
        bike: String, ();
        /// The number on its frame.
        serial_number: Option<String>, ();
        /// What was set.
        as_set: Option<AsSet>, ();
        /// Who set it.
        by: Option<String>, ();
        /// The day on which the child was measured.
        measured_on: Option<Date>, ();
        /// The day on which the child gave the bike back or left: from then on nothing is due.
        left: Option<Date>, ();
        /// What is to be done, and when.
        due: Option<DueDays>, ();
    }
}

impl Record {
    /// From a document.
    ///
    /// # Errors
    /// Everything that is wrong with the file, each with its place.
    pub fn read(document: &Document) -> Result<Self, Error> {
        let record: Self = document.read()?;
        let wrong = record.contradictions();
        if wrong.is_empty() {
            Ok(record)
        } else {
            Err(document.place(wrong.into()))
        }
    }

    fn contradictions(&self) -> Vec<Problem> {
        let mut wrong = Vec::new();
        if let Some(schema) = self.schema.as_deref().filter(|schema| *schema != SCHEMA) {
            let message = format!("found {schema}; this program reads {SCHEMA}");
            wrong.push(Problem::at_key("schema", message));
        }
        let mut not_before = |key: &str, day: Option<Date>, first: Date, what: &str| {
            if let Some(day) = day.filter(|day| *day < first) {
                let message = format!("found {day}, before {what}, {first}");
                wrong.push(Problem::at_key(key, message));
            }
        };
        let handover = "the day of the handover";
        not_before("left", self.left, self.date, handover);
        if let Some(measured) = self.measured_on {
            not_before(
                "date",
                Some(self.date),
                measured,
                "the day of the measuring",
            );
        }
        let Some(due) = &self.due else { return wrong };
        not_before("due.measure", due.measure, self.date, handover);
        if let Some(check) = &due.first_check {
            let from = Some(check.from);
            not_before("due.first_check.from", from, self.date, handover);
            not_before(
                "due.first_check.to",
                Some(check.to),
                check.from,
                "its first day",
            );
        }
        for (place, raise) in (1..).zip(&due.raises) {
            let key = format!("due.raises.{place}.date");
            not_before(&key, Some(raise.date), self.date, handover);
        }
        if let Some(outgrown) = &due.outgrown {
            let mut before = self.date;
            for (key, day) in [
                ("due.outgrown.p10", outgrown.p10),
                ("due.outgrown.p50", outgrown.p50),
                ("due.outgrown.p90", outgrown.p90),
            ] {
                not_before(key, day, before, "the day before it in this record");
                before = day.unwrap_or(before).max(before);
            }
        }
        wrong
    }
}

/// Name and version of the record.
const SCHEMA: &str = "inseam/record/1";
