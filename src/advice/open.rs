//! What a frame file says and leaves open: each number of the drawing by where it comes from, what stays unchecked,
//! and the one figure that would settle most. No rider is asked for.
//! How it is worded is `report::check_text`.

use std::sync::Arc;

use crate::advice::handover::bolts;
use crate::advice::rack::RackBike;
use crate::bike::complete::parameter::{Parameter, applies};
use crate::bike::complete::{Standing, standing};
use crate::bike::{Bike, Figure, slips};
use crate::fit::what_next;
use crate::units::Units;

/// What is known of a bike, and what is not.
#[derive(Debug, Clone, PartialEq)]
pub struct Open {
    /// The bike.
    pub bike: Arc<Bike>,
    /// The numbers of the drawing by where they come from, best known first; none are left out.
    pub standings: Vec<(Standing, Vec<&'static str>)>,
    /// Whom it fits, and what stays open for a rider in the middle of that.
    pub judged: RackBike,
    /// Slips of the pen, by key.
    pub slips: Vec<String>,
    /// Torques that are to be looked at again, by key.
    pub torques: Vec<String>,
    /// Which bolt each torque is taken for whose name is none of the list's.
    pub torques_taken: Vec<String>,
    /// The names that torques are written under, where one of the file's is none of them.
    pub torque_names: Vec<String>,
    /// The figure that would settle most; None where a tape adds nothing.
    pub next: Option<&'static str>,
}

impl Open {
    /// Looks a bike over.
    pub fn of(bike: &Arc<Bike>) -> Self {
        let order = [
            Standing::Drawn,
            Standing::Measured,
            Standing::Published,
            Standing::Assumed,
        ];
        let standings = order
            .into_iter()
            .map(|wanted| {
                let keys = Parameter::ALL
                    .into_iter()
                    .filter(|parameter| {
                        applies(*parameter, &bike.spec)
                            && standing(&bike.spec, *parameter) == wanted
                    })
                    .map(Parameter::path);
                (wanted, keys.collect())
            })
            .filter(|(_, keys): &(_, Vec<_>)| !keys.is_empty())
            .collect();
        Self {
            standings,
            judged: RackBike::new(Arc::clone(bike)),
            slips: slips::of(bike),
            torques: bolts::doubts(bike),
            torques_taken: bolts::given_to(bike),
            torque_names: bolts::names_to_write(bike),
            next: what_next(bike),
            bike: Arc::clone(bike),
        }
    }

    /// Whether a figure of the file cannot be right, does not go with its parts, or rules the bike out for every rider.
    pub fn has_doubtful_figures(&self) -> bool {
        !self.bike.mismatches.is_empty()
            || !self.slips.is_empty()
            || !self.torques.is_empty()
            || !self.judged.ruled_out(Units::Mm).is_empty()
    }
}

/// The figures that decide verdicts, each with its value and standard deviation, mm; none with a full drawing.
pub fn deciding(bike: &Bike) -> impl Iterator<Item = (Figure, f64, f64)> {
    const FIGURES: [Figure; 6] = [
        Figure::Standover,
        Figure::SeatHeightLowest,
        Figure::SeatHeightHighest,
        Figure::BottomBracketHeight,
        Figure::GripHeight,
        Figure::GripAhead,
    ];
    bike.doubt.iter().flat_map(move |doubt| {
        let of_this = FIGURES
            .into_iter()
            .filter(|figure| bike.spec.style.has(*figure));
        of_this.map(move |figure| {
            let value = figure.of(&bike.drawing, &bike.layout);
            (figure, value, doubt.sd(figure))
        })
    })
}
