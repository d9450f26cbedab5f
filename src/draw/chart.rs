//! Charts: two axes on a piece of paper, and series drawn on them by plotters into layers of the one page.
//! Plotters writes whole-number coordinates and no groups; a fine canvas and layers make up for both.
//! Words are the page's; what a chart shows is its own module's business.

use std::ops::Range;

use crate::draw::element::Element;
use plotters::backend::SVGBackend;
use plotters::chart::{ChartBuilder, ChartContext};
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::types::RangedCoordf64;
use plotters::drawing::IntoDrawingArea as _;
use plotters::element::{Polygon, Rectangle};
use plotters::series::LineSeries;
use plotters::style::Color as _;

use crate::draw::palette::Colour;
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{group, line, short};

/// Units of a canvas in one millimetre of paper.
const PER_MM: f64 = 20.0;

/// A chart that could not be drawn.
#[derive(Debug, thiserror::Error)]
#[error("the chart could not be drawn: {0}")]
pub struct ChartError(String);

impl<E: std::error::Error + Send + Sync> From<plotters::drawing::DrawingAreaErrorKind<E>>
    for ChartError
{
    fn from(error: plotters::drawing::DrawingAreaErrorKind<E>) -> Self {
        Self(error.to_string())
    }
}

/// A chart while a layer of it is being drawn.
pub(super) struct Layer<'a>(
    ChartContext<'a, SVGBackend<'a>, Cartesian2d<RangedCoordf64, RangedCoordf64>>,
);

impl Layer<'_> {
    /// A filled area round these points.
    pub(super) fn area(
        &mut self,
        points: impl IntoIterator<Item = (f64, f64)>,
        colour: Colour,
    ) -> Result<(), ChartError> {
        let points: Vec<_> = points.into_iter().collect();
        let area = Polygon::new(points, colour.rgb().filled());
        self.0.draw_series([area])?;
        Ok(())
    }

    /// A line through these points; its width is its class's.
    pub(super) fn line(
        &mut self,
        points: impl IntoIterator<Item = (f64, f64)>,
        colour: Colour,
    ) -> Result<(), ChartError> {
        self.0
            .draw_series(LineSeries::new(points, colour.rgb().stroke_width(1)))?;
        Ok(())
    }

    /// A bar between two corners, filled or in outline.
    pub(super) fn bar(
        &mut self,
        corners: [(f64, f64); 2],
        colour: Colour,
        is_filled: bool,
    ) -> Result<(), ChartError> {
        let style = if is_filled {
            colour.rgb().filled()
        } else {
            colour.rgb().stroke_width(1)
        };
        self.0.draw_series([Rectangle::new(corners, style)])?;
        Ok(())
    }
}

/// Two axes on paper. Both ends of a range lie on the edges of the paper.
#[derive(Debug, Clone)]
pub(super) struct Axes {
    pub(super) place: Rect,
    pub(super) x: Range<f64>,
    /// Upwards, or downwards where its end is less than its start.
    pub(super) y: Range<f64>,
}

impl Axes {
    pub(super) fn x_at(&self, value: f64) -> f64 {
        let share = (value - self.x.start) / (self.x.end - self.x.start);
        self.place.x + self.place.width * share.clamp(0.0, 1.0)
    }

    pub(super) fn y_at(&self, value: f64) -> f64 {
        let share = (value - self.y.start) / (self.y.end - self.y.start);
        self.place.bottom() - self.place.height * share.clamp(0.0, 1.0)
    }

    /// One layer of series, put where the axes are. Nothing outside the ranges may be given: the
    /// library would move it to the edge in silence.
    pub(super) fn layer(
        &self,
        class: &str,
        draw: impl FnOnce(&mut Layer<'_>) -> Result<(), ChartError>,
    ) -> Result<Element, ChartError> {
        let mut text = String::new();
        {
            // The library's last unit is one short of the canvas.
            let canvas = (units(self.place.width) + 1, units(self.place.height) + 1);
            let area = SVGBackend::with_string(&mut text, canvas).into_drawing_area();
            let chart = ChartBuilder::on(&area)
                .build_cartesian_2d(self.x.clone(), self.y.clone())
                .map_err(ChartError::from)?;
            draw(&mut Layer(chart))?;
            area.present()?;
        }
        let inner = inner_elements(&text)
            .ok_or_else(|| ChartError("a layer without an SVG root".to_owned()))?;
        Ok(group(class)
            .set(
                "transform",
                format!(
                    "translate({} {}) scale({})",
                    short(self.place.x),
                    short(self.place.y),
                    1.0 / PER_MM
                ),
            )
            .markup(inner))
    }

    /// An upright grid line.
    pub(super) fn upright(&self, value: f64) -> Element {
        let x = self.x_at(value);
        line(
            "",
            Spot::new(x, self.place.y),
            Spot::new(x, self.place.bottom()),
        )
    }

    /// A level grid line.
    pub(super) fn level(&self, value: f64) -> Element {
        let y = self.y_at(value);
        line(
            "",
            Spot::new(self.place.x, y),
            Spot::new(self.place.right(), y),
        )
    }
}

/// Whole units of a canvas. Callers keep to a sheet, whose sides are far below the limit.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a sheet of paper, rounded"
)]
fn units(mm: f64) -> u32 {
    (mm * PER_MM).round() as u32
}

/// What plotters wrote between its own root's tags.
fn inner_elements(svg: &str) -> Option<&str> {
    let start = svg.find("<svg")?;
    let start = start + svg.get(start..)?.find('>')? + 1;
    let end = svg.rfind("</svg>")?;
    svg.get(start..end).map(str::trim)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::palette::{INK, STEADY};

    #[test]
    fn only_what_stands_between_the_outer_tags_is_kept() {
        let document = "<?xml?>\n<svg width=\"4\" xmlns=\"x\">\n<line x1=\"1\"/>\n</svg>\n";
        assert_eq!(inner_elements(document), Some("<line x1=\"1\"/>"));
        assert_eq!(inner_elements("<svg/>"), None);
    }

    #[test]
    fn a_layer_holds_as_many_elements_as_were_drawn_and_where_the_axes_say() {
        let axes = Axes {
            place: Rect::new(10.0, 20.0, 100.0, 50.0),
            x: 0.0..10.0,
            y: 0.0..5.0,
        };
        let layer = axes
            .layer("bars", |layer| {
                layer.bar([(1.0, 1.0), (2.0, 4.0)], STEADY, true)?;
                layer.bar([(3.0, 0.0), (10.0, 5.0)], STEADY, false)?;
                layer.line([(0.0, 0.0), (10.0, 5.0)], INK)
            })
            .unwrap()
            .to_string();
        assert_eq!(layer.matches("<rect").count(), 2);
        assert_eq!(layer.matches("<polyline").count(), 1);
        // A tenth of 100 mm at twenty units to a millimetre, two fifths up from the foot of 50 mm.
        assert!(
            layer.contains("x=\"200\" y=\"200\" width=\"200\" height=\"600\""),
            "{layer}"
        );
        approx::assert_abs_diff_eq!(axes.x_at(5.0), 60.0);
        approx::assert_abs_diff_eq!(axes.y_at(5.0), 20.0);
    }
}
