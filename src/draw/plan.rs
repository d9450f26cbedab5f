//! What a picture function gives back: the drawing, and its plan for checks by arithmetic.
//! Every picture has both, charts too; the plan is written down by the page as it is filled.
//! How anything looks is not in here.

use crate::draw::paper::{Rect, Spot};

/// A finished picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// A whole SVG document.
    pub svg: String,
    /// What stands where on it.
    pub plan: Plan,
}

/// A picture's lay-out, mm of paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The sheet.
    pub sheet: Rect,
    /// Millimetres of bike or child in one millimetre of paper; None on a chart.
    pub scale: Option<f64>,
    /// Every line of text, in the order of the drawing.
    pub labels: Vec<Label>,
    /// From words to what they name.
    pub leaders: Vec<Leader>,
    /// Lines that a figure is read along.
    pub dimensions: Vec<Dimension>,
    /// Tubes of a frame.
    pub tubes: Vec<Tube>,
    /// Signs, bars, strips.
    pub marks: Vec<Mark>,
}

/// One line of text and the box it may fill.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// As drawn, after cleaning and shortening.
    pub text: String,
    /// The space it takes at most.
    pub place: Rect,
    /// The thing it is about, where that is one place in the drawing.
    pub names: Option<Named>,
}

/// A thing in the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// Its name.
    pub what: String,
    /// Where it is.
    pub at: Spot,
}

/// A straight stroke from words to what they name.
#[derive(Debug, Clone, PartialEq)]
pub struct Leader {
    /// What it leads to.
    pub what: String,
    /// At the words.
    pub from: Spot,
    /// At the thing.
    pub to: Spot,
}

/// A line with arrow heads, straight or an arc in short strokes.
#[derive(Debug, Clone, PartialEq)]
pub struct Dimension {
    /// The figure that is read along it.
    pub what: String,
    /// Its way.
    pub path: Vec<Spot>,
}

/// A straight tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// One end of the centre line.
    pub from: Spot,
    /// The other.
    pub to: Spot,
    /// Across it.
    pub width: f64,
}

impl Tube {
    /// Length of the part of a stroke that lies inside the tube.
    pub fn covers(&self, from: Spot, to: Spot) -> f64 {
        let long = self.from.distance(self.to);
        if long <= 0.0 {
            return 0.0;
        }
        let (ux, uy) = (
            (self.to.x - self.from.x) / long,
            (self.to.y - self.from.y) / long,
        );
        // In the tube's own frame it is an upright box.
        let own = |spot: Spot| {
            let (x, y) = (spot.x - self.from.x, spot.y - self.from.y);
            Spot::new(x * ux + y * uy, y * ux - x * uy)
        };
        let (start, end) = (own(from), own(to));
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (start, end, low, high) in [
            (start.x, end.x, 0.0, long),
            (start.y, end.y, -self.width / 2.0, self.width / 2.0),
        ] {
            let by = end - start;
            if by == 0.0 {
                if !(low..=high).contains(&start) {
                    return 0.0;
                }
                continue;
            }
            let (first, second) = ((low - start) / by, (high - start) / by);
            enter = enter.max(first.min(second));
            leave = leave.min(first.max(second));
        }
        (leave - enter).max(0.0) * start.distance(end)
    }
}

/// Something drawn that is no text: a sign, a bar, a strip.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What it means.
    pub what: String,
    /// The space it takes.
    pub place: Rect,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stroke_along_a_tube_is_covered_and_one_across_it_hardly() {
        let at = Spot::new;
        let tube = Tube {
            from: at(0.0, 0.0),
            to: at(100.0, 0.0),
            width: 4.0,
        };
        let near = |value: f64, wanted: f64| assert!((value - wanted).abs() < 1e-9, "{value}");
        near(tube.covers(at(10.0, 1.0), at(60.0, 1.0)), 50.0);
        near(tube.covers(at(50.0, -30.0), at(50.0, 30.0)), 4.0);
        near(tube.covers(at(10.0, 3.0), at(60.0, 3.0)), 0.0);
        near(tube.covers(at(-20.0, 0.0), at(120.0, 0.0)), 100.0);
        near(tube.covers(at(50.0, 0.0), at(50.0, 30.0)), 2.0);
    }
}
