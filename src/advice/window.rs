//! The rider window of a bike: which heights it fits at a riding stage, by the same checks as a fit.
//! Riders are of median proportions: everything but the height is estimated from it.
//! The ends are bracketed roots, exact to [`RESOLUTION_MM`]; how a window is shown lives in `report` and `draw`.
//! A bike that its file leaves open has the window that holds whatever it turns out to be: for 95 % of what it can be.

use crate::bike::{Bike, Layout};
use crate::fit::bike_doubt::{LAYOUTS, what_next};
use crate::fit::checks::{CheckId, measure};
use crate::fit::verdict::SURE;
use crate::fit::{Misfit, Pair, Status};
use crate::rider::body::EXPECTED;
use crate::rider::growth::{inseam_at, median_age_months};
use crate::rider::measures::{DEFAULT_SOLE_MM, HEIGHT_MM, estimate_arm_reach_mm};
use crate::rider::{Body, Segment, Stage};
use crate::units::{MM_PER_INCH, Units};

/// How closely an end is bracketed, mm of height.
pub const RESOLUTION_MM: f64 = 1e-7;
/// The same where the bike itself is in doubt, mm: far below what its possible layouts leave open.
const DOUBTFUL_RESOLUTION_MM: f64 = 0.1;
/// Heights tried between the ends, to be sure that the bike fits all the way.
const PROBES: u32 = 32;

/// One end of a window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// The last height that still fits, mm.
    pub height_mm: f64,
    /// The check that fails just outside, or that what nobody measured of the bike leaves open there. None where the
    /// window reaches the end of [`HEIGHT_MM`].
    pub bound_by: Option<CheckId>,
}

impl End {
    /// The inseam of a rider of median proportions at this end, mm.
    pub fn inseam_mm(self) -> f64 {
        inseam_at(self.height_mm, None)
    }

    /// The age at which this height is the median of both sexes, months. None outside the growth
    /// chart, which covers 2 to 20 years.
    pub fn age_months(self) -> Option<f64> {
        median_age_months(self.height_mm)
    }
}

/// The riders of median proportions whom a bike fits at one stage, without gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Smallest rider.
    pub low: End,
    /// Tallest rider.
    pub high: End,
}

impl Window {
    /// Both ends as printed in `units`, mm: rounded towards the inside, so that a rider of either
    /// printed height fits. A window narrower than the printed step keeps its exact ends.
    pub fn printed_mm(self, units: Units) -> [f64; 2] {
        let step = match units {
            Units::Mm | Units::Cm => 1.0,
            Units::In => MM_PER_INCH / 16.0,
        };
        let low = (self.low.height_mm / step).ceil() * step;
        let high = (self.high.height_mm / step).floor() * step;
        if low <= high {
            [low, high]
        } else {
            [self.low.height_mm, self.high.height_mm]
        }
    }
}

/// Why a bike fits no rider of median proportions at a stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoWindow {
    /// One check rules out every rider: too big even for the tallest, too small even for the
    /// smallest, or failed whatever the size.
    RuledOut {
        /// In what sense.
        misfit: Misfit,
        /// The check that fails.
        check: CheckId,
    },
    /// It fits some, if it is as such bikes are; too little is known of it to say whom.
    Open {
        /// The check that stays open for most of them.
        check: CheckId,
    },
    /// It fits a few as its figures stand, fewer than their spread leaves room for.
    Narrow {
        /// The shortest rider of them, and the check that fails below.
        low: End,
        /// The tallest, and the check that fails above.
        high: End,
    },
    /// Outgrown in one respect before it is grown into in another.
    Crossed {
        /// The shortest rider for whom it is not too big, and the check that fails below.
        too_big_below: End,
        /// The tallest rider for whom it is not too small, and the check that fails above.
        too_small_above: End,
    },
}

impl NoWindow {
    /// One plain sentence.
    pub fn words(&self, units: Units) -> String {
        let named =
            |check: Option<CheckId>| check.map_or_else(|| "size".to_owned(), CheckId::title);
        match self {
            Self::RuledOut { misfit, check } => {
                let check = check.title();
                match misfit {
                    Misfit::TooBig => format!(
                        "too big for every rider up to {}: {check}",
                        units.length(*HEIGHT_MM.end())
                    ),
                    Misfit::TooSmall => format!(
                        "too small for every rider from {} up: {check}",
                        units.length(*HEIGHT_MM.start())
                    ),
                    Misfit::NotSize => {
                        format!("ruled out for every rider, whatever the size: {check}")
                    }
                }
            }
            Self::Open { check } => format!(
                "too little is known of the bike to say whom it fits: {}",
                check.title()
            ),
            Self::Narrow { low, high } => format!(
                "fits nobody of median proportions for sure: as its figures stand too big below {} ({}) and too small above {} ({}), and their spread takes what lies between",
                units.length(low.height_mm),
                named(low.bound_by),
                units.length(high.height_mm),
                named(high.bound_by)
            ),
            Self::Crossed {
                too_big_below,
                too_small_above,
            } => format!(
                "fits nobody of median proportions: too big below {} ({}), too small above {} already ({})",
                units.length(too_big_below.height_mm),
                named(too_big_below.bound_by),
                units.length(too_small_above.height_mm),
                named(too_small_above.bound_by)
            ),
        }
    }
}

/// A body of median proportions, everything estimated from the height, mm.
pub fn median_body(height_mm: f64) -> Body {
    Body::new(
        height_mm,
        inseam_at(height_mm, None),
        estimate_arm_reach_mm(height_mm),
        DEFAULT_SOLE_MM,
        &[None; Segment::COUNT],
        &EXPECTED,
    )
}

/// The first failure of each kind under a rider of median proportions; what nobody measured of a brake lever counts as
/// one where it may be too wide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Failures {
    too_big: Option<CheckId>,
    too_small: Option<CheckId>,
    not_size: Option<CheckId>,
}

impl Failures {
    fn at(bike: &Bike, stage: Stage, height_mm: f64) -> Self {
        Self::on(bike, &bike.layout, stage, &median_body(height_mm))
    }

    fn on(bike: &Bike, layout: &Layout, stage: Stage, body: &Body) -> Self {
        let measures = measure(&Pair::on(bike, layout, body, stage, None));
        let first = |misfit| {
            CheckId::ALL.into_iter().find(|id| {
                measures[*id as usize].is_some_and(|measure| measure.status == Status::Fail(misfit))
            })
        };
        // Small hands go with small riders: whom a lawful lever may be too wide for is not told that it fits.
        let may_be_too_wide = measures[CheckId::BrakeLever as usize].is_some_and(
            |lever| matches!(lever.status, Status::NotChecked(gap) if gap.is_decisive),
        );
        Self {
            too_big: first(Misfit::TooBig).or(may_be_too_wide.then_some(CheckId::BrakeLever)),
            too_small: first(Misfit::TooSmall),
            not_size: first(Misfit::NotSize),
        }
    }

    fn any(self) -> Option<(Misfit, CheckId)> {
        let of = |misfit, check: Option<CheckId>| check.map(|check| (misfit, check));
        of(Misfit::TooBig, self.too_big)
            .or(of(Misfit::TooSmall, self.too_small))
            .or(of(Misfit::NotSize, self.not_size))
    }
}

/// Halves a bracket until its ends are [`RESOLUTION_MM`] apart; `holds` is true at the first height
/// and false at the second. Returns the last height that holds and the first that does not.
fn flip(holds: impl Fn(f64) -> bool, inside: f64, outside: f64) -> [f64; 2] {
    flip_to(RESOLUTION_MM, holds, inside, outside)
}

fn flip_to(
    resolution_mm: f64,
    holds: impl Fn(f64) -> bool,
    mut inside: f64,
    mut outside: f64,
) -> [f64; 2] {
    while (outside - inside).abs() > resolution_mm {
        let middle = f64::midpoint(inside, outside);
        if holds(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    [inside, outside]
}

/// The window of a bike at a stage.
///
/// The taller a rider of the same proportions, the smaller the bike: "too big" ends at one height
/// and "too small" begins at one. Each is bracketed by the range of rider heights and halved.
///
/// # Errors
/// Why the bike fits nobody of median proportions.
///
/// # Example
/// ```
/// use inseam::{advice::window::window, bike::library, fit::CheckId, rider::Stage};
///
/// let bike = library::sample("street-20").expect("a sample bike");
/// let window = window(&bike, Stage::Steady).expect("fits someone");
/// assert!(window.low.height_mm < 1200.0 && window.high.height_mm > 1300.0);
/// assert_eq!(window.high.bound_by, Some(CheckId::LegRoom));
/// ```
pub fn window(bike: &Bike, stage: Stage) -> Result<Window, NoWindow> {
    let likeliest = likeliest(bike, stage)?;
    match &bike.doubt {
        Some(doubt) => sure(bike, stage, likeliest, &doubt.layouts(LAYOUTS)[..LAYOUTS]),
        None => Ok(likeliest),
    }
}

/// The part of a window that holds on all but one in twenty of the bike's possible layouts.
fn sure(bike: &Bike, stage: Stage, window: Window, layouts: &[Layout]) -> Result<Window, NoWindow> {
    /// Heights tried before the bike is given up.
    const TRIED: u32 = 16;
    /// What a tape's reading at either end takes of a window, mm of height: own rule.
    const NARROW_MM: f64 = 40.0;
    let most = (1.0 - SURE) * layouts.len() as f64;
    let failing = |height_mm: f64| {
        let body = median_body(height_mm);
        layouts
            .iter()
            .filter_map(move |layout| Failures::on(bike, layout, stage, &body).any())
            .map(|(_, check)| check)
    };
    let holds = |height: f64| {
        failing(height)
            .zip(1_u32..)
            .all(|(_, count)| f64::from(count) <= most)
    };
    // What most of those fail that do.
    let worst = |height: f64| {
        let mut counts = [0_u32; CheckId::COUNT];
        for check in failing(height) {
            counts[check as usize] += 1;
        }
        let count = |check: &CheckId| counts[*check as usize];
        let worst = CheckId::ALL.into_iter().max_by_key(count);
        worst.filter(|check| count(check) > 0)
    };
    let (low, high) = (window.low.height_mm, window.high.height_mm);
    let at = |step: u32| low + (high - low) * f64::from(step) / f64::from(TRIED);
    // From the middle outwards: the ends are the last to hold.
    let found = (0..=TRIED)
        .map(|index| {
            let off = index.div_ceil(2);
            let middle = TRIED / 2;
            at(if index % 2 == 0 {
                middle + off
            } else {
                middle - off
            })
        })
        .find(|height| holds(*height));
    let Some(inside) = found else {
        let Window { low, high } = window;
        // Where next to nothing is left between the ends, no figure of the bike would give it a rider.
        let is_narrow = high.height_mm - low.height_mm < NARROW_MM || what_next(bike).is_none();
        return worst(at(TRIED / 2)).map_or(Ok(window), |check| {
            Err(if is_narrow {
                NoWindow::Narrow { low, high }
            } else {
                NoWindow::Open { check }
            })
        });
    };
    let end = |end: End| {
        if holds(end.height_mm) {
            return end;
        }
        let [inside, outside] = flip_to(DOUBTFUL_RESOLUTION_MM, holds, inside, end.height_mm);
        End {
            height_mm: inside,
            bound_by: worst(outside),
        }
    };
    Ok(Window {
        low: end(window.low),
        high: end(window.high),
    })
}

/// The window of a bike as it most likely is.
fn likeliest(bike: &Bike, stage: Stage) -> Result<Window, NoWindow> {
    let at = |height| Failures::at(bike, stage, height);
    let (shortest, tallest) = (*HEIGHT_MM.start(), *HEIGHT_MM.end());
    if let Some(check) = at(tallest).too_big {
        let misfit = Misfit::TooBig;
        return Err(NoWindow::RuledOut { misfit, check });
    }
    if let Some(check) = at(shortest).too_small {
        let misfit = Misfit::TooSmall;
        return Err(NoWindow::RuledOut { misfit, check });
    }
    let low = end(|height| at(height).too_big, tallest, shortest);
    let high = end(|height| at(height).too_small, shortest, tallest);
    if low.height_mm > high.height_mm {
        let brakes = bike.spec.brakes.as_ref();
        let is_open = brakes.is_some_and(|brakes| brakes.open_gaps().next().is_some());
        if let (Some(check @ CheckId::BrakeLever), true) = (low.bound_by, is_open) {
            return Err(NoWindow::Open { check });
        }
        return Err(NoWindow::Crossed {
            too_big_below: low,
            too_small_above: high,
        });
    }
    longest_run(Window { low, high }, at)
}

/// Where `failure` begins between a height without it and the last height to try.
fn end(failure: impl Fn(f64) -> Option<CheckId>, without: f64, last: f64) -> End {
    if failure(last).is_none() {
        return End {
            height_mm: last,
            bound_by: None,
        };
    }
    let [inside, outside] = flip(|height| failure(height).is_none(), without, last);
    End {
        height_mm: inside,
        bound_by: failure(outside),
    }
}

/// The window itself where the bike fits all the way; otherwise its longest part without gap.
/// The geometry does not promise that a knee comes near the grip once only, so it is tried.
fn longest_run(whole: Window, at: impl Fn(f64) -> Failures) -> Result<Window, NoWindow> {
    let step = (whole.high.height_mm - whole.low.height_mm) / f64::from(PROBES);
    let probe = |index: u32| match index {
        PROBES => whole.high.height_mm,
        _ => whole.low.height_mm + f64::from(index) * step,
    };
    let (mut longest, mut start): (Option<[u32; 2]>, Option<u32>) = (None, None);
    for index in 0..=PROBES {
        if at(probe(index)).any().is_some() {
            start = None;
            continue;
        }
        let from = *start.get_or_insert(index);
        if longest.is_none_or(|[first, last]| index - from > last - first) {
            longest = Some([from, index]);
        }
    }
    let Some([first, last]) = longest else {
        let middle = at(probe(PROBES / 2)).any();
        return middle.map_or(Ok(whole), |(misfit, check)| {
            Err(NoWindow::RuledOut { misfit, check })
        });
    };
    let failure = |height| at(height).any().map(|(_, check)| check);
    Ok(Window {
        low: match first {
            0 => whole.low,
            _ => end(failure, probe(first), probe(first - 1)),
        },
        high: match last {
            PROBES => whole.high,
            _ => end(failure, probe(last), probe(last + 1)),
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    const NONE: Failures = Failures {
        too_big: None,
        too_small: None,
        not_size: None,
    };

    #[test]
    fn an_end_is_bracketed_and_named() {
        let root = 1_234.567_890_1;
        let found = end(|h| (h < root).then_some(CheckId::Standover), 2000.0, 700.0);
        assert_eq!(found.bound_by, Some(CheckId::Standover));
        assert_abs_diff_eq!(found.height_mm, root, epsilon = RESOLUTION_MM);
        assert!(found.height_mm >= root);
        let open = end(|_| None, 2000.0, 700.0);
        assert_eq!((open.height_mm, open.bound_by), (700.0, None));
    }

    #[test]
    fn a_hole_in_a_window_leaves_its_longer_part() {
        let named = |height_mm, bound_by| End {
            height_mm,
            bound_by: Some(bound_by),
        };
        let whole = Window {
            low: named(1000.0, CheckId::Standover),
            high: named(1400.0, CheckId::LegRoom),
        };
        let knees = |height: f64| Failures {
            too_small: (1100.0..1150.0)
                .contains(&height)
                .then_some(CheckId::KneeRoom),
            ..NONE
        };
        let part = longest_run(whole, knees).unwrap();
        assert_eq!(part.low.bound_by, Some(CheckId::KneeRoom));
        assert_abs_diff_eq!(part.low.height_mm, 1150.0, epsilon = RESOLUTION_MM);
        assert_eq!(part.high, whole.high);
        assert_eq!(longest_run(whole, |_| NONE), Ok(whole));
    }
}
