//! The rack: every bike's rider window at every stage, side by side.
//! Also what a window could not take into account, because the frame file leaves it out.
//! How a window is found is `window`; how the rack is shown is `report` and `draw`.

use std::sync::Arc;

use crate::advice::window::{NoWindow, Window, median_body, window};
use crate::bike::{Bike, Figure};
use crate::fit::checks::{CheckId, measure};
use crate::fit::{Pair, Status};
use crate::rider::Stage;
use crate::units::Mass;

/// Every bike on the rack with the riders it fits.
#[derive(Debug, Clone, PartialEq)]
pub struct Rack {
    /// The bikes, in the order given.
    pub bikes: Vec<RackBike>,
}

/// One bike on the rack.
#[derive(Debug, Clone, PartialEq)]
pub struct RackBike {
    /// The bike.
    pub bike: Arc<Bike>,
    /// The riders it fits, in the order of [`STAGES`]. A bike without cranks is judged as learning at each.
    pub windows: [Result<Window, NoWindow>; STAGES.len()],
    /// Checks that the windows do not include or are narrower for, with the keys that are missing from the file.
    pub not_checked: Vec<NotChecked>,
}

/// A check left out for want of data, or one that windows are narrower for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotChecked {
    /// The check.
    pub check: CheckId,
    /// The missing key of the frame file.
    pub needs: &'static str,
    /// Whether the bike is judged all the same, as what such bikes can be.
    pub is_assumed: bool,
}

/// Every stage, in the order in which riders pass through them.
pub const STAGES: [Stage; 3] = [Stage::Learning, Stage::Steady, Stage::Confident];

/// Checks that bound a window, with the figure of the bike that each hangs on and its key.
const ASSUMABLE: [(CheckId, Figure, &str); 3] = [
    (CheckId::Standover, Figure::Standover, "measured.standover"),
    (
        CheckId::SaddleHeight,
        Figure::SeatHeightLowest,
        "measured.seat_height_lowest",
    ),
    (
        CheckId::LegRoom,
        Figure::SeatHeightHighest,
        "measured.seat_height_highest",
    ),
];

impl Rack {
    /// Measures the rack.
    pub fn new<'a>(bikes: impl IntoIterator<Item = &'a Arc<Bike>>) -> Self {
        Self {
            bikes: bikes.into_iter().cloned().map(RackBike::new).collect(),
        }
    }
}

impl RackBike {
    /// Measures one bike.
    pub fn new(bike: Arc<Bike>) -> Self {
        let windows = STAGES.map(|stage| window(&bike, stage));
        Self {
            not_checked: not_checked(&bike, &windows),
            bike,
            windows,
        }
    }

    /// The window of one stage.
    pub fn window(&self, stage: Stage) -> &Result<Window, NoWindow> {
        &self.windows[stage as usize]
    }
}

/// What the frame file leaves out, as a rider in the middle of a window meets it.
fn not_checked(bike: &Bike, windows: &[Result<Window, NoWindow>]) -> Vec<NotChecked> {
    // A bike that fits nobody still lacks the same keys; any rider will do.
    const ANY_HEIGHT_MM: f64 = 1300.0;
    // The rider's weight is no business of the rack's: with any weight, only the bike's own can be missing.
    const ANY_WEIGHT_KG: f64 = 30.0;
    let (stage, height) = STAGES
        .into_iter()
        .zip(windows)
        .find_map(|(stage, window)| {
            let window = window.as_ref().ok()?;
            let middle = f64::midpoint(window.low.height_mm, window.high.height_mm);
            Some((stage, middle))
        })
        .unwrap_or((Stage::Steady, ANY_HEIGHT_MM));
    let body = median_body(height);
    let weight = Mass::from_kg(ANY_WEIGHT_KG);
    // What the window is narrower for and nobody measured, the figure that decides first.
    let assumed = ASSUMABLE
        .into_iter()
        .filter(|(_, figure, _)| !bike.knows(*figure))
        .map(|(check, _, needs)| NotChecked {
            check,
            needs,
            is_assumed: true,
        });
    let measures = measure(&Pair::new(bike, &body, stage, Some(weight)));
    let needed =
        CheckId::ALL
            .into_iter()
            .filter_map(|check| match measures[check as usize]?.status {
                Status::NotChecked(missing) => Some(NotChecked {
                    check,
                    needs: missing.what,
                    is_assumed: false,
                }),
                _ => None,
            });
    assumed.chain(needed).collect()
}
