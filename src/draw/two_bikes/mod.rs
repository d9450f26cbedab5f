//! Two bikes with the same rider on each: both whole, at one scale, as the ground holds them.
//! Side by side on one ground line, with level lines from one to the other; on a phone one above the other.
//! Which bike suits better is `advice`'s business.

mod levels;
mod lying;
mod table;
mod upright;

use crate::advice::compare::Comparison;
use crate::draw::facts::Ride;
use crate::draw::lettering::{Face, HEADING};
use crate::draw::page::Form;
use crate::draw::plan::Picture;
use crate::draw::scene::Cast;
use crate::units::Units;

const BIKE: Face = HEADING.sized(5.0);

/// Two bikes with the same rider on each, figures in `units`.
pub fn two_bikes(comparison: &Comparison, units: Units, form: Form) -> Picture {
    let both = Both { comparison, units };
    match form {
        Form::Lying => lying::picture(both),
        Form::Upright => upright::picture(both),
    }
}

/// What is asked of the picture.
#[derive(Debug, Clone, Copy)]
struct Both<'a> {
    comparison: &'a Comparison,
    units: Units,
}

impl<'a> Both<'a> {
    fn casts(self) -> [Cast<'a>; 2] {
        self.comparison.fits.each_ref().map(|fit| Cast {
            ride: Ride::new(fit),
            units: self.units,
            has_rider: true,
        })
    }

    fn rides(self) -> [Ride<'a>; 2] {
        self.casts().map(|cast| cast.ride)
    }

    /// What stands over both.
    fn heading(self) -> String {
        format!("{} on two bikes", self.rides()[0].rider_title())
    }

    /// The title with both names, for those who do not see the picture.
    fn title(self) -> String {
        let [first, second] = self.rides().map(Ride::bike_name);
        format!("{}: {first} and {second}", self.heading())
    }

    /// The measurements that both fits rest on, and the stage that each is judged at; `places` are where they stand.
    fn measurements(self, places: [&str; 2]) -> String {
        let [first, second] = self.rides();
        let [one, other] = [first.stage(), second.stage()];
        if one == other {
            first.measurements(self.units)
        } else {
            let lengths = first.lengths(self.units);
            let [here, there] = places;
            format!("{lengths}, stage {one} ({here}) and {other} ({there})")
        }
    }

    /// `stand` says how the two stand.
    fn description(self, stand: &str) -> String {
        let of = |ride: Ride<'_>| {
            format!(
                "{}: {}, {}; seat height {}.",
                ride.bike_name(),
                ride.verdict_word(),
                ride.verdict_meaning(),
                ride.setting().length(self.units, ride.seat_height_mm())
            )
        };
        let [first, second] = self.rides().map(of);
        format!("Two side views to one scale {stand}, the same rider on each. {first} {second}")
    }
}
