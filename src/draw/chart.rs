//! What charts share: a sheet in tenths of a millimetre, layers drawn by plotters, and one SVG root around them.
//! Plotters writes whole-number coordinates and no groups; layers and a fine grid make up for both.
//! What a chart shows is its own module's business.

use std::fmt::Write as _;

use plotters::backend::SVGBackend;
use plotters::coord::Shift;
use plotters::prelude::{DrawingArea, IntoDrawingArea, IntoFont, Rectangle};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontStyle, RGBColor, TextStyle};

use crate::draw::label::{ASCENT, DESCENT, Label, Rect, Weight, printable, text_width};

/// Units of the drawing in one millimetre of paper.
pub(super) const PER_MM: f64 = 10.0;
/// Plotters divides a font's size by this when it writes SVG.
const FONT_SCALE: f64 = 1.24;
/// From the middle of a line of text down to its baseline, over the size: half the x-height.
const MIDDLE_TO_BASELINE: f64 = 0.26;
/// The faces asked for.
const FACE: &str = "Helvetica, Arial, 'Liberation Sans', sans-serif";

/// A layer being drawn.
pub(super) type Layer<'a> = DrawingArea<SVGBackend<'a>, Shift>;

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

/// Where a text is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// One line of text, mm of paper; `y` is the middle of the line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Text {
    pub(super) line: String,
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) size: f64,
    pub(super) weight: Weight,
    pub(super) anchor: Anchor,
    pub(super) colour: RGBColor,
}

impl Text {
    /// The box that the text may fill.
    pub(super) fn place(&self) -> Rect {
        let width = text_width(&self.line, self.size, self.weight);
        Rect {
            x: match self.anchor {
                Anchor::Start => self.x,
                Anchor::Middle => self.x - width / 2.0,
                Anchor::End => self.x - width,
            },
            y: self.y + (MIDDLE_TO_BASELINE - ASCENT) * self.size,
            width,
            height: (ASCENT + DESCENT) * self.size,
        }
    }

    /// For checks by box arithmetic.
    pub(super) fn label(&self) -> Label {
        Label {
            text: self.line.clone(),
            place: self.place(),
        }
    }
}

/// Whole units of the drawing. Callers keep to the sheet, whose sides are far below the limit.
#[expect(clippy::cast_possible_truncation, reason = "a sheet of paper, rounded")]
pub(super) fn units(mm: f64) -> i32 {
    (mm * PER_MM).round() as i32
}

/// A sheet of paper that layers are drawn on, mm.
#[derive(Debug)]
pub(super) struct Sheet {
    width_mm: f64,
    height_mm: f64,
    layers: String,
}

impl Sheet {
    pub(super) fn new(width_mm: f64, height_mm: f64) -> Self {
        Self {
            width_mm,
            height_mm,
            layers: String::new(),
        }
    }

    /// Draws one layer and puts it into a group of its own.
    pub(super) fn layer(
        &mut self,
        class: &str,
        draw: impl FnOnce(&Layer<'_>) -> Result<(), ChartError>,
    ) -> Result<(), ChartError> {
        let mut svg = String::new();
        {
            let size = (
                units(self.width_mm).unsigned_abs(),
                units(self.height_mm).unsigned_abs(),
            );
            let area = SVGBackend::with_string(&mut svg, size).into_drawing_area();
            draw(&area)?;
            area.present()?;
        }
        let inner = inner_elements(&svg)?;
        let _ = write!(self.layers, "<g class=\"{class}\">\n{inner}</g>\n");
        Ok(())
    }

    /// A layer of text.
    pub(super) fn texts<'t>(
        &mut self,
        class: &str,
        texts: impl IntoIterator<Item = &'t Text>,
    ) -> Result<(), ChartError> {
        self.layer(class, |area| {
            texts
                .into_iter()
                .try_for_each(|text| write_text(area, text))
        })
    }

    /// The whole document; `style` is CSS.
    pub(super) fn finish(self, title: &str, description: &str, style: &str) -> String {
        let (width, height) = (self.width_mm, self.height_mm);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {} {}\" role=\"img\">\n<title>{}</title>\n<desc>{}</desc>\n<style>{style}</style>\n<rect class=\"paper\" width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n{}</svg>\n",
            units(width),
            units(height),
            escaped(title),
            escaped(description),
            self.layers
        )
    }
}

/// A filled rectangle between two corners, mm.
pub(super) fn fill(area: &Layer<'_>, place: Rect, colour: RGBColor) -> Result<(), ChartError> {
    area.draw(&Rectangle::new(corners(place), colour.filled()))?;
    Ok(())
}

/// The outline of a rectangle, mm; its width is the layer's style's.
pub(super) fn outline(area: &Layer<'_>, place: Rect, colour: RGBColor) -> Result<(), ChartError> {
    area.draw(&Rectangle::new(corners(place), colour.stroke_width(1)))?;
    Ok(())
}

fn corners(place: Rect) -> [(i32, i32); 2] {
    [
        (units(place.x), units(place.y)),
        (units(place.right()), units(place.bottom())),
    ]
}

fn write_text(area: &Layer<'_>, text: &Text) -> Result<(), ChartError> {
    let anchor = match text.anchor {
        Anchor::Start => HPos::Left,
        Anchor::Middle => HPos::Center,
        Anchor::End => HPos::Right,
    };
    let face = match text.weight {
        Weight::Regular => FontStyle::Normal,
        Weight::Bold => FontStyle::Bold,
    };
    let font = (FACE, text.size * PER_MM * FONT_SCALE, face).into_font();
    let style = TextStyle::from(font)
        .color(&text.colour)
        .pos(Pos::new(anchor, VPos::Center));
    area.draw_text(
        &printable(&text.line),
        &style,
        (units(text.x), units(text.y)),
    )?;
    Ok(())
}

/// What plotters wrote between its own root's tags.
fn inner_elements(svg: &str) -> Result<&str, ChartError> {
    let unexpected = || ChartError("a layer without an SVG root".to_owned());
    let root = svg.find("<svg").ok_or_else(unexpected)?;
    let start = svg[root..].find('>').ok_or_else(unexpected)? + root + 1;
    let end = svg.rfind("</svg>").ok_or_else(unexpected)?;
    svg.get(start..end)
        .map(str::trim_start)
        .ok_or_else(unexpected)
}

/// Text that may stand between XML tags.
fn escaped(text: &str) -> String {
    printable(text)
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_layer_keeps_everything_but_the_root() {
        let inner = inner_elements("<svg width=\"1\">\n<rect/>\n</svg>\n").unwrap();
        assert_eq!(inner, "<rect/>\n");
        assert!(inner_elements("<rect/>").is_err());
        assert!(inner_elements("").is_err());
    }

    #[test]
    fn a_sheet_holds_as_many_elements_as_were_drawn() {
        let mut sheet = Sheet::new(100.0, 50.0);
        let place = Rect {
            x: 10.0,
            y: 5.0,
            width: 20.5,
            height: 4.0,
        };
        let black = RGBColor(0, 0, 0);
        sheet
            .layer("bars", |area| {
                fill(area, place, black)?;
                outline(area, place, black)
            })
            .unwrap();
        let svg = sheet.finish("a < b", "d & e", "");
        // The paper and the two.
        assert_eq!(svg.matches("<rect").count(), 3);
        assert_eq!(svg.matches("<svg").count(), 1);
        assert!(
            svg.contains("x=\"100\" y=\"50\" width=\"205\" height=\"40\""),
            "{svg}"
        );
        assert!(svg.contains("<title>a &lt; b</title>") && svg.contains("d &amp; e"));
    }
}
