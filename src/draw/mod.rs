//! Pictures of a fit, as SVG: the side view, two bikes laid over each other, and how to measure.
//! `ink` is pen and path, `sheet` the paper, `label` where words go; `bicycle` and `figure` are what is drawn.
//! Nothing is computed about a fit here: a picture shows what `fit` found, in the same words.
//!
//! Every picture is one A4 sheet, drawn in millimetres of paper at one scale both ways, so that a
//! print at full size can be measured. Words stand in columns beside the drawing and are led to
//! what they name, which keeps them apart at any size of bike.

mod bicycle;
mod callout;
mod card_view;
mod chart;
mod dimensions;
mod figure;
pub mod growth_chart;
mod heading;
mod ink;
pub mod label;
mod measuring;
mod overlay;
mod rack_chart;
mod sheet;
mod side_view;

pub use card_view::{card_view, card_view_plan};
pub use chart::ChartError;
pub use label::{Label, Plan, Rect};
pub use measuring::{measuring, measuring_plan};
pub use overlay::{overlay, overlay_plan};
pub use rack_chart::RackChart;
pub use side_view::{Show, SideView};

use crate::bike::Bike;
use crate::fit::Fit;
use crate::units::Units;

/// The side view of a rider on a bike with every dimension that matters: a whole SVG document.
///
/// # Example
/// ```
/// use inseam::{Options, Rider, Units, assess, bike, draw, rider::RiderFile, file::Document};
///
/// let bike = bike::library::sample("trail-24").expect("a sample bike");
/// let file: RiderFile = Document::from_text("rider", "{height: 1380, inseam: 660}").read().unwrap();
/// let options = Options { units: Units::Cm, ..Options::new(jiff::civil::date(2026, 3, 1)) };
/// let rider = Rider::new(&file, options.on).unwrap();
/// let picture = draw::side_view(&bike, &assess(&rider, &bike, &options), Units::Cm);
/// assert!(picture.starts_with("<svg") && picture.contains("torso lean"));
/// ```
pub fn side_view(bike: &Bike, fit: &Fit, units: Units) -> String {
    SideView::new(bike, fit, units).svg()
}
