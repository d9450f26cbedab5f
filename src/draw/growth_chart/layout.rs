//! What the growth chart is given of each bike, and where everything stands on its sheet.
//! Millimetres of paper.

use crate::advice::window::{End, Window};
use crate::draw::page::{A4_LONG, NARROW};
use crate::draw::paper::Rect;
use crate::fit::{Fit, Growth, Verdict};

/// One bike on the chart.
#[derive(Debug, Clone)]
pub(super) struct Track<'a> {
    /// The bike's name.
    pub(super) name: &'a str,
    /// What becomes of the child on it.
    pub(super) growth: &'a Growth,
    /// What it comes to today.
    pub(super) today: Verdict,
    /// Whether any of the bike was not measured.
    pub(super) is_assumed: bool,
    /// Inseams of median riders whom the bike fits, mm, lowest and highest; None where it fits nobody.
    pub(super) window_mm: Option<[f64; 2]>,
}

impl<'a> Track<'a> {
    /// None where nothing can be foretold.
    pub(super) fn new(name: &'a str, fit: &'a Fit, window: Option<Window>) -> Option<Self> {
        Some(Self {
            name,
            growth: fit.growth()?,
            today: fit.verdict,
            is_assumed: fit.bike.doubt.is_some(),
            window_mm: window.map(|window| [window.low, window.high].map(End::inseam_mm)),
        })
    }
}

/// Where the chart and the words about it stand.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    /// The chart itself.
    pub(super) plot: Rect,
    /// Where the words to the right of the chart begin; on a narrow sheet they stand under what they are about.
    pub(super) words: Option<f64>,
}

impl Room {
    pub(super) const LYING: Self = Self {
        plot: Rect::new(24.0, 38.0, 202.0, 112.0),
        words: Some(231.0),
    };

    /// On a narrow sheet, under what stands at `top`.
    pub(super) const fn narrow(top: f64) -> Self {
        const LEFT: f64 = 14.0;
        const RIGHT: f64 = 9.5;
        Self {
            plot: Rect::new(LEFT, top, NARROW - LEFT - RIGHT, 78.0),
            words: None,
        }
    }
}

/// From the right edge of a lying sheet to where words end.
const RIGHT: f64 = 4.0;

/// How wide words from `x` on get on a lying sheet.
pub(super) fn words_wide(x: f64) -> f64 {
    A4_LONG - RIGHT - x
}

/// Height of a line of words.
pub(super) const LINE: f64 = 4.2;
/// First bar under the chart, and the distance from bar to bar.
pub(super) const FIRST_BAR: f64 = 169.0;
pub(super) const BAR_STEP: f64 = 14.5;
