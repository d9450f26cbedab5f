//! The rack: every bike's rider window at every stage, side by side.
//! Also what a window could not take into account, because the frame file leaves it out.
//! How a window is found is `window`; how the rack is shown is `report` and `draw`.

use std::sync::Arc;

use crate::advice::stop::{Asked, find_out_first};
use crate::advice::window::{End, NoWindow, Window, median_body, window};
use crate::bike::{Bike, Style};
use crate::fit::bike_doubt::{assumed, bike_doubt, leave_open};
use crate::fit::checks::{CheckId, measure};
use crate::fit::verdict::undone as decisive;
use crate::fit::{Misfit, Pair, Status};
use crate::rider::{Body, Stage};
use crate::units::{Mass, Units};

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
    /// Decisive figures that are not known, whoever the rider: nobody can be told that it fits before they are.
    pub undone: Vec<(CheckId, &'static str)>,
}

/// Heights inside the reach of a rack that no bike on it fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hole {
    /// The tallest rider who still has a bike.
    pub below: End,
    /// The next rider up who has one.
    pub above: End,
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

/// Checks that bound a window.
const BOUNDS: [CheckId; 3] = [CheckId::Standover, CheckId::SaddleHeight, CheckId::LegRoom];

impl Rack {
    /// Measures the rack.
    pub fn new<'a>(bikes: impl IntoIterator<Item = &'a Arc<Bike>>) -> Self {
        Self {
            bikes: bikes.into_iter().cloned().map(RackBike::new).collect(),
        }
    }

    /// The heights between the smallest and the tallest rider of the rack whom no bike fits at a stage, from the
    /// smallest up. What no tape tells apart is no hole, and a bike without cranks fills none for riders who pedal.
    pub fn holes(&self, stage: Stage) -> Vec<Hole> {
        /// A tape reads no finer, mm.
        const NARROWEST_MM: f64 = 5.0;
        let mut windows: Vec<Window> = self
            .bikes
            .iter()
            .filter(|bike| !bike.is_repeated(stage) && bike.undone.is_empty())
            .filter_map(|bike| bike.window(stage).as_ref().ok().copied())
            .collect();
        windows.sort_by(|one, other| one.low.height_mm.total_cmp(&other.low.height_mm));
        let mut windows = windows.into_iter();
        let Some(first) = windows.next() else {
            return Vec::new();
        };
        let mut below = first.high;
        let mut holes = Vec::new();
        for next in windows {
            let above = next.low;
            if above.height_mm - below.height_mm > NARROWEST_MM {
                holes.push(Hole { below, above });
            }
            if next.high.height_mm > below.height_mm {
                below = next.high;
            }
        }
        holes
    }
}

impl RackBike {
    /// Measures one bike.
    pub fn new(bike: Arc<Bike>) -> Self {
        let windows = STAGES.map(|stage| window(&bike, stage));
        Self {
            not_checked: not_checked(&bike, &windows),
            undone: undone(&bike, &windows),
            bike,
            windows,
        }
    }

    /// Why nobody has it yet, in one sentence without an end; None where riders can be told that it fits.
    pub fn nobody_yet(&self) -> Option<String> {
        Some(format!("nobody yet: {}", self.first()?))
    }

    /// What to find out before anybody can be told that it fits, in one sentence without an end.
    pub fn first(&self) -> Option<String> {
        let undone = || self.undone.iter().copied();
        (!self.undone.is_empty()).then(|| find_out_first(&self.bike, &Asked::Middle, undone()))
    }

    /// What rules the bike out for every rider, each in one sentence without an end.
    pub fn ruled_out(&self, units: Units) -> Vec<String> {
        let (stage, body) = in_the_middle(&self.windows);
        let weight = Some(Mass::from_kg(ANY_WEIGHT_KG));
        let pair = Pair::new(&self.bike, &body, stage, weight);
        let measures = measure(&pair);
        let of_the_bike = |id: &CheckId| ![CheckId::Load, CheckId::BrakeLever].contains(id);
        CheckId::ALL
            .into_iter()
            .filter(of_the_bike)
            .filter_map(|id| Some((id, measures[id as usize]?)))
            .filter(|(_, measure)| measure.status == Status::Fail(Misfit::NotSize))
            .map(|(id, measure)| {
                format!(
                    "{}: {}",
                    id.title(),
                    id.check().advise(&pair, &measure, units)
                )
            })
            .collect()
    }

    /// A bike without cranks has the same window at every stage.
    pub fn is_repeated(&self, stage: Stage) -> bool {
        self.bike.spec.style == Style::Balance && stage != Stage::Learning
    }

    /// The window of one stage.
    pub fn window(&self, stage: Stage) -> &Result<Window, NoWindow> {
        &self.windows[stage as usize]
    }
}

/// Any weight: the rider's is no business of the rack's, and only the bike's own can be missing.
const ANY_WEIGHT_KG: f64 = 30.0;

/// A rider in the middle of a window, and at which stage.
fn in_the_middle(windows: &[Result<Window, NoWindow>]) -> (Stage, Body) {
    // A bike that fits nobody still lacks the same keys; any rider will do.
    const ANY_HEIGHT_MM: f64 = 1300.0;
    let (stage, height) = STAGES
        .into_iter()
        .zip(windows)
        .find_map(|(stage, window)| {
            let window = window.as_ref().ok()?;
            let middle = f64::midpoint(window.low.height_mm, window.high.height_mm);
            Some((stage, middle))
        })
        .unwrap_or((Stage::Steady, ANY_HEIGHT_MM));
    (stage, median_body(height))
}

/// The decisive figures that whoever is in the middle of a window lacks: where even that one cannot be told.
fn undone(bike: &Bike, windows: &[Result<Window, NoWindow>]) -> Vec<(CheckId, &'static str)> {
    let (stage, body) = in_the_middle(windows);
    let weight = Some(Mass::from_kg(ANY_WEIGHT_KG));
    let mut measures = measure(&Pair::new(bike, &body, stage, weight));
    let needed = bike_doubt(bike, &body, stage, weight, &measures);
    leave_open(&mut measures, &needed);
    decisive(&measures).collect()
}

/// What the frame file leaves out, as a rider in the middle of a window meets it.
fn not_checked(bike: &Bike, windows: &[Result<Window, NoWindow>]) -> Vec<NotChecked> {
    let (stage, body) = in_the_middle(windows);
    let weight = Mass::from_kg(ANY_WEIGHT_KG);
    // What the window is narrower for and nobody measured, the figure that decides first.
    let assumed = BOUNDS.into_iter().filter_map(|check| {
        Some(NotChecked {
            check,
            needs: assumed(bike, check)?,
            is_assumed: true,
        })
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
