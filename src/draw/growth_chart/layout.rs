//! What the growth chart is given of each bike, and where everything stands on its sheet.
//! Millimetres of paper.

use crate::advice::window::{End, Window};
use crate::draw::page::A4_LONG;
use crate::draw::paper::Rect;
use crate::fit::Growth;

/// One bike on the chart.
#[derive(Debug, Clone)]
pub(super) struct Track<'a> {
    /// The bike's name.
    pub(super) name: &'a str,
    /// What becomes of the child on it.
    pub(super) growth: &'a Growth,
    /// Inseams of median riders whom the bike fits, mm, lowest and highest; None where it fits nobody.
    pub(super) window_mm: Option<[f64; 2]>,
}

impl<'a> Track<'a> {
    pub(super) fn new(name: &'a str, growth: &'a Growth, window: Option<Window>) -> Self {
        Self {
            name,
            growth,
            window_mm: window.map(|window| [window.low, window.high].map(End::inseam_mm)),
        }
    }
}

/// The chart itself, mm of paper.
pub(super) const PLOT: Rect = Rect::new(24.0, 38.0, 202.0, 112.0);
/// Where the words to the right of the chart begin, and how wide they get.
pub(super) const WORDS: f64 = 231.0;
pub(super) const WORDS_WIDE: f64 = A4_LONG - 4.0 - WORDS;
/// Height of a line of words.
pub(super) const LINE: f64 = 4.2;
/// First bar under the chart, and the distance from bar to bar.
pub(super) const FIRST_BAR: f64 = 169.0;
pub(super) const BAR_STEP: f64 = 14.5;
