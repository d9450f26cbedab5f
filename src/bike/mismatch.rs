//! Published figures that the drawing can confirm, and those that it does not.
//! A contradiction that leaves no bike at all is an error of `layout` or `spec`.

use crate::bike::layout::Layout;
use crate::bike::spec::FrameSpec;
use crate::units::{Length, Units};

/// Difference between a published and a computed length that is still rounding, mm.
const TOLERANCE_MM: f64 = 5.0;
/// Lower headset parts between crown race and head tube, mm: flush to a full external cup (common practice).
const LOWER_HEADSET_MM: f64 = 15.0;

/// A published figure that the drawing does not confirm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mismatch {
    /// Its key in the frame file.
    pub key: &'static str,
    /// What the file says, mm.
    pub published_mm: f64,
    /// The nearest figure that the drawing allows, mm.
    pub drawn_mm: f64,
}

impl Mismatch {
    /// One plain sentence.
    pub fn words(&self, units: Units) -> String {
        format!(
            "{}: the file says {}, its geometry gives {}; measure the bike, one of the figures is wrong",
            self.key,
            units.length(self.published_mm),
            units.length(self.drawn_mm)
        )
    }
}

/// Every published figure outside what the drawing allows.
pub(super) fn of(spec: &FrameSpec, layout: &Layout) -> Vec<Mismatch> {
    let published = spec.published.as_ref();
    let straight = layout.fork_below_head_tube_mm.hypot(spec.fork.offset.mm());
    let exactly = |mm: f64| Some((mm, mm));
    [
        (
            "published.wheelbase",
            published.and_then(|p| p.wheelbase),
            exactly(layout.wheelbase_mm()),
        ),
        (
            "published.bottom_bracket_height",
            published.and_then(|p| p.bottom_bracket_height),
            exactly(layout.bottom_bracket_height_mm()),
        ),
        (
            "published.standover",
            published.and_then(|p| p.standover),
            layout.standover_mm().and_then(exactly),
        ),
        (
            // Makers measure along the steerer or straight to the axle, with or without the lower headset part.
            "fork.axle_to_crown",
            spec.fork.axle_to_crown,
            Some((layout.fork_below_head_tube_mm - LOWER_HEADSET_MM, straight)),
        ),
    ]
    .into_iter()
    .filter_map(|(key, published, drawn)| {
        let (published_mm, (low, high)) = (published.map(Length::mm)?, drawn?);
        let is_confirmed = (low - TOLERANCE_MM..=high + TOLERANCE_MM).contains(&published_mm);
        (!is_confirmed).then(|| Mismatch {
            key,
            published_mm,
            drawn_mm: published_mm.clamp(low, high),
        })
    })
    .collect()
}
