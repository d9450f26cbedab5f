//! The rack: every bike's rider window at every stage, side by side, as the JSON contract has it.
//! Also what a window could not take into account, because the frame file leaves it out.
//! How a window is found is `window`; how the rack is shown is `report` and `draw`.

use serde::Serialize;

use crate::advice::window::{End, NoWindow, Window, median_body, window};
use crate::bike::{Bike, Class, Style};
use crate::fit::cautions::CAUTIONS;
use crate::fit::checks::CHECKS;
use crate::fit::{Pair, Status, measure};
use crate::rider::Stage;
use crate::units::{Mass, Units};

/// Every bike on the rack with the riders it fits.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rack {
    /// Name and version of this object's form.
    pub schema: &'static str,
    /// The bikes, in the order given.
    pub bikes: Vec<RackBike>,
    /// Files that could not be read.
    pub skipped: Vec<Skipped>,
    /// The usual cautions.
    pub cautions: &'static [&'static str],
}

/// A file that is no bike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Skipped {
    /// Its name.
    pub file: String,
    /// What is wrong with it.
    pub error: String,
}

/// One bike on the rack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RackBike {
    /// File or sample name.
    pub id: String,
    /// What the bike is called.
    pub name: String,
    /// What it is built for.
    pub style: Style,
    /// Product class.
    pub class: Class,
    /// The riders it fits.
    pub stages: Stages,
    /// Checks that the windows do not include, with the keys that are missing from the file.
    pub not_checked: Vec<NotChecked>,
    /// What deserves a second look.
    pub warnings: Vec<String>,
}

/// One window per stage. A bike without cranks is judged as learning at each.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as the stages")]
pub struct Stages {
    pub learning: StageWindow,
    pub steady: StageWindow,
    pub confident: StageWindow,
}

impl Stages {
    /// The window of one stage.
    pub fn get(&self, stage: Stage) -> &StageWindow {
        match stage {
            Stage::Learning => &self.learning,
            Stage::Steady => &self.steady,
            Stage::Confident => &self.confident,
        }
    }
}

/// The riders of median proportions whom the bike fits at one stage; all None, and a reason, where
/// it fits nobody.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StageWindow {
    /// Inseam of the smallest rider.
    pub inseam_min_mm: Option<f64>,
    /// Inseam of the tallest rider.
    pub inseam_max_mm: Option<f64>,
    /// Height of the smallest rider.
    pub height_min_mm: Option<f64>,
    /// Height of the tallest rider.
    pub height_max_mm: Option<f64>,
    /// Age at which the smallest rider's height is the median; None outside the growth chart.
    pub age_min_months: Option<f64>,
    /// Age at which the tallest rider's height is the median.
    pub age_max_months: Option<f64>,
    /// The check that fails just below; None where the window reaches the smallest rider looked at.
    pub bound_low_by: Option<&'static str>,
    /// The check that fails just above.
    pub bound_high_by: Option<&'static str>,
    /// Why the bike fits nobody; None where it does.
    pub reason: Option<String>,
    /// The same, before it is rounded or put into words.
    #[serde(skip)]
    pub exact: Result<Window, NoWindow>,
}

/// A check left out for want of data.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct NotChecked {
    /// The check.
    pub check: &'static str,
    /// The missing key of the frame file.
    pub needs: &'static str,
}

/// Every stage, in the order in which riders pass through them.
pub const STAGES: [Stage; 3] = [Stage::Learning, Stage::Steady, Stage::Confident];

/// Step of the heights in the JSON contract and in CSV.
const WRITTEN_MM: f64 = 1e-4;

impl Rack {
    /// Measures the rack. `units` are those of the words; numbers are always mm.
    pub fn new<'a>(
        bikes: impl IntoIterator<Item = &'a Bike>,
        skipped: Vec<Skipped>,
        units: Units,
    ) -> Self {
        let bikes = bikes.into_iter().map(|bike| RackBike::new(bike, units));
        Self::of(bikes.collect(), skipped)
    }

    /// A rack whose bikes have been measured.
    pub fn of(bikes: Vec<RackBike>, skipped: Vec<Skipped>) -> Self {
        Self {
            schema: "inseam/rack/1",
            bikes,
            skipped,
            cautions: CAUTIONS,
        }
    }
}

impl RackBike {
    /// Measures one bike. `units` are those of the words.
    pub fn new(bike: &Bike, units: Units) -> Self {
        let at = |stage| StageWindow::new(window(bike, stage), units);
        let stages = Stages {
            learning: at(Stage::Learning),
            steady: at(Stage::Steady),
            confident: at(Stage::Confident),
        };
        Self {
            id: bike.id.clone(),
            name: bike.spec.name.clone(),
            style: bike.spec.style,
            class: bike.class,
            not_checked: not_checked(bike, &stages),
            stages,
            warnings: bike.warnings.clone(),
        }
    }
}

impl StageWindow {
    fn new(exact: Result<Window, NoWindow>, units: Units) -> Self {
        let (low, high) = (exact.map(|w| w.low).ok(), exact.map(|w| w.high).ok());
        // Rounded towards the inside, so that a rider of the very height written out fits.
        let (up, down) = (
            |mm: f64| (mm / WRITTEN_MM).ceil() * WRITTEN_MM,
            |mm: f64| (mm / WRITTEN_MM).floor() * WRITTEN_MM,
        );
        Self {
            inseam_min_mm: low.map(End::inseam_mm),
            inseam_max_mm: high.map(End::inseam_mm),
            height_min_mm: low.map(|end| up(end.height_mm)),
            height_max_mm: high.map(|end| down(end.height_mm)),
            age_min_months: low.and_then(End::age_months),
            age_max_months: high.and_then(End::age_months),
            bound_low_by: low.and_then(|end| end.bound_by),
            bound_high_by: high.and_then(|end| end.bound_by),
            reason: exact.err().map(|why| why.words(units)),
            exact,
        }
    }
}

/// What the frame file leaves out, as a rider in the middle of a window meets it.
fn not_checked(bike: &Bike, windows: &Stages) -> Vec<NotChecked> {
    // A bike that fits nobody still lacks the same keys; any rider will do.
    const ANY_HEIGHT_MM: f64 = 1300.0;
    // The rider's weight is no business of the rack's: with any weight, only the bike's own can be missing.
    const ANY_WEIGHT_KG: f64 = 30.0;
    let (stage, height) = STAGES
        .into_iter()
        .find_map(|stage| {
            let window = windows.get(stage).exact.ok()?;
            let middle = f64::midpoint(window.low.height_mm, window.high.height_mm);
            Some((stage, middle))
        })
        .unwrap_or((Stage::Steady, ANY_HEIGHT_MM));
    let body = median_body(height);
    let weight = Mass::from_kg(ANY_WEIGHT_KG);
    let measures = measure(&Pair::new(bike, &body, stage, Some(weight)));
    CHECKS
        .iter()
        .zip(&measures)
        .filter_map(|(check, measure)| match measure.as_ref()?.status {
            Status::NotChecked(needs) => Some(NotChecked {
                check: check.name(),
                needs,
            }),
            _ => None,
        })
        .collect()
}
