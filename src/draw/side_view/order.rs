//! What is asked of a side view: which rider on which bike, how much of it, on which sheet.
//! Also its title and its description for those who do not see it.
//! How it is drawn is in the files beside this one.

use crate::draw::facts::Ride;
use crate::draw::page::Form;
use crate::draw::scene::Cast;
use crate::draw::sign::Sign;
use crate::fit::Fit;
use crate::units::Units;

/// What a side view shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Show {
    /// The rider and every dimension.
    #[default]
    All,
    /// The bike alone and what to set on it: saddle height, post showing and mark, seat height, lever gap.
    SetUp,
}

/// A side view of one fit.
#[derive(Debug, Clone, Copy)]
pub struct SideView<'a> {
    pub(super) ride: Ride<'a>,
    pub(super) units: Units,
    pub(super) show: Show,
    pub(super) form: Form,
}

impl<'a> SideView<'a> {
    /// Everything about one fit, with figures in `units`.
    pub fn new(fit: &'a Fit, units: Units) -> Self {
        Self {
            ride: Ride::new(fit),
            units,
            show: Show::All,
            form: Form::Lying,
        }
    }

    /// The same with another choice of what to show.
    #[must_use]
    pub fn showing(self, show: Show) -> Self {
        Self { show, ..self }
    }

    /// The same on another sheet.
    #[must_use]
    pub fn on(self, form: Form) -> Self {
        Self { form, ..self }
    }

    /// Who and what is drawn.
    pub(super) fn cast(&self) -> Cast<'a> {
        Cast {
            ride: self.ride,
            units: self.units,
            has_rider: self.show == Show::All,
        }
    }

    pub(super) fn title(&self) -> String {
        let (rider, bike) = (self.ride.rider_title(), self.ride.bike_name());
        match self.show {
            Show::All => format!("{rider} on {bike}"),
            Show::SetUp => format!("{bike}, set up for {rider}"),
        }
    }

    pub(super) fn description(&self) -> String {
        let (ride, units) = (self.ride, self.units);
        let mut parts = vec![format!(
            "Side view to scale. Verdict {}: {}.",
            ride.verdict_word(),
            ride.verdict_meaning(),
        )];
        // Nothing is set on a bike that does not fit.
        if ride.verdict_sign() == Sign::Ok {
            parts.push(format!("{}.", ride.set_in_words(units)));
        }
        if self.show == Show::All {
            for found in ride.findings() {
                let (title, advice) = (found.title(), found.advice(units));
                // What was not checked says so itself.
                parts.push(if found.needs.is_some() {
                    format!("{title}: {advice}.")
                } else {
                    format!("{title}: {}, {advice}.", found.sign.word())
                });
            }
        }
        parts.join(" ")
    }
}
