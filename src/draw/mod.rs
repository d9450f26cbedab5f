//! Pictures, as SVG with a plan: the side view, the card's view, two bikes side by side, how to measure, charts.
//! `page` is the one sheet that all are put on, `palette` its colours, `lettering` its letters; `facts` reads a fit.
//! Nothing is computed about a fit here: a picture shows what `fit` found, in the same words.
//!
//! A drawing is in millimetres of paper at one scale both ways, so that a print at full size can be
//! measured. Every picture function returns a [`Picture`]: the SVG document, and the [`Plan`] of what
//! stands where on it, which tests and pages read.

mod arrows;
mod bicycle;
mod callout;
mod card_view;
mod chart;
mod column;
mod element;
mod facts;
mod figure;
mod ground;
mod growth_chart;
mod heading;
mod legend;
mod lettering;
mod measuring;
mod measuring_a_bike;
mod number;
mod page;
mod palette;
mod paper;
mod pen;
pub mod plan;
mod rack_chart;
mod scene;
mod search;
mod side_view;
mod sign;
mod stack;
mod two_bikes;
mod view;

pub use card_view::card_view;
pub use chart::ChartError;
pub use growth_chart::growth_chart;
pub use measuring::measuring;
pub use measuring_a_bike::measuring_a_bike;
pub use page::Form;
pub use paper::{Rect, Spot, cross};
pub use plan::{Picture, Plan};
pub use rack_chart::rack_chart;
pub use side_view::{Show, SideView};
pub use two_bikes::two_bikes;

use crate::fit::Fit;
use crate::units::Units;

/// The side view of a rider on a bike with every dimension that matters.
///
/// # Example
/// ```
/// use std::sync::Arc;
/// use inseam::{Options, Rider, Units, assess, bike, draw, file::Document, rider::RiderFile};
///
/// # fn main() -> Result<(), Box<dyn std::error::Error>> {
/// let bike = bike::library::sample("trail-24").ok_or("a sample bike")?;
/// let file: RiderFile = Document::from_text("rider", "{height: 1380, inseam: 660}").read()?;
/// let options = Options::new(jiff::civil::date(2026, 3, 1));
/// let rider = Arc::new(Rider::new(&file, options.on)?);
/// let picture = draw::side_view(&assess(&rider, &bike, &options), Units::Cm);
/// assert!(picture.svg.starts_with("<svg"));
/// assert!(picture.plan.labels.iter().any(|label| label.text == "torso lean"));
/// # Ok(()) }
/// ```
pub fn side_view(fit: &Fit, units: Units) -> Picture {
    SideView::new(fit, units).picture()
}

/// The bike alone with what to set on it; for a pair that does not fit, the side view with what speaks against it.
pub fn set_up_view(fit: &Fit, units: Units, form: Form) -> Picture {
    let show = if fit.verdict.fits() {
        Show::SetUp
    } else {
        Show::All
    };
    SideView::new(fit, units).showing(show).on(form).picture()
}
