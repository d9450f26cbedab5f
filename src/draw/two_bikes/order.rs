//! What is asked of a picture of two bikes, and its words: title, measurements, description.
//! The same on the lying sheet and on the narrow one.
//! How it is drawn is in the files beside this one.

use crate::advice::compare::Comparison;
use crate::draw::facts::Ride;
use crate::draw::lettering::{Face, HEADING};
use crate::draw::scene::Cast;
use crate::units::Units;

/// A bike's name.
pub(super) const BIKE: Face = HEADING.sized(5.0);

/// What is asked of the picture.
#[derive(Debug, Clone, Copy)]
pub(super) struct Both<'a> {
    pub(super) comparison: &'a Comparison,
    pub(super) units: Units,
}

impl<'a> Both<'a> {
    pub(super) fn casts(self) -> [Cast<'a>; 2] {
        self.comparison.fits.each_ref().map(|fit| Cast {
            ride: Ride::new(fit),
            units: self.units,
            has_rider: true,
        })
    }

    pub(super) fn rides(self) -> [Ride<'a>; 2] {
        self.casts().map(|cast| cast.ride)
    }

    /// What stands over both.
    pub(super) fn heading(self) -> String {
        format!("{} on two bikes", self.rides()[0].rider_title())
    }

    /// The title with both names, for those who do not see the picture.
    pub(super) fn title(self) -> String {
        let [first, second] = self.rides().map(Ride::bike_name);
        format!("{}: {first} and {second}", self.heading())
    }

    /// The measurements that both fits rest on, and the stage that each is judged at; `places` are where they stand.
    pub(super) fn measurements(self, places: [&str; 2]) -> String {
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
    pub(super) fn description(self, stand: &str) -> String {
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
