//! Why a pair gets no work order: the reason and the amount first, how far off it is, and what would settle it.
//! One answer for every face; the figures are the checks', the sentences are made late.
//! Which bike would fit instead is `size`'s business.

use crate::bike::Bike;
use crate::fit::bike_doubt::assumed;
use crate::fit::checks::{CheckId, Measures, measure};
use crate::fit::odds::Remeasure;
use crate::fit::{Finding, Fit, Growth, Misfit, Pair, Side, Status, Verdict};
use crate::units::{Units, tidy};

/// How exactly a miss is told, mm of height: finer than a growth forecast can use.
const RESOLUTION_MM: f64 = 0.5;
/// Farthest miss that is told, mm of height.
const FARTHEST_MM: f64 = 800.0;

/// What settles a pair whose verdict turns on an age that nobody gave.
const GIVE_AGE: &str =
    "give the age: a child and a grown-up of this height have legs of different length";

/// Why a pair gets no work order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stop {
    /// It does not fit, or is ruled out.
    Misfit {
        /// The check that decides.
        check: CheckId,
        /// How much taller (negative: shorter) the rider would have to be, mm of height: see [`Rider::taller`](crate::Rider::taller).
        /// None where no size helps.
        height_mm: Option<f64>,
        /// Months until the child is expected to have grown into it, or out of what rules it out where what decides then
        /// is not known; None where that is not known or never.
        months: Option<f64>,
        /// Whether it rests on a figure of the bike that nobody measured, or another that decides is not known.
        is_assumed: bool,
    },
    /// A decisive check could not be made.
    Incomplete {
        /// The check.
        check: CheckId,
        /// What to measure, or to say in the file.
        needs: &'static str,
    },
    /// Too close to call.
    Undecided {
        /// The measurement that would settle it most.
        remeasure: Option<Remeasure>,
    },
}

impl Stop {
    /// Why a pair gets no work order; None where it fits.
    pub fn of(fit: &Fit) -> Option<Self> {
        match fit.verdict {
            Verdict::Fits => None,
            Verdict::Undecided => Some(Self::Undecided {
                remeasure: fit.odds.and_then(|odds| odds.remeasure),
            }),
            Verdict::Incomplete => {
                let (check, needs) = fit.undone().next()?;
                Some(Self::Incomplete { check, needs })
            }
            Verdict::TooBig | Verdict::TooSmall | Verdict::Unsuitable => {
                let (check, height_mm) = deciding(fit)?;
                let growth = fit.growth().filter(|_| fit.verdict == Verdict::TooBig);
                // Height and months tell of one event: the end of what rules the pair out, which where a figure is
                // wanting comes before a yes.
                let opens = growth.and_then(opening_month);
                let months = opens.or_else(|| growth?.first_month.p50);
                // Legs and body do not grow in step: the months may find a fit where the same build, taller, has none.
                let grown_mm = || {
                    let growth = growth?;
                    Some(growth.height_mm(months?)? - growth.height_mm(0.0)?)
                };
                Some(Self::Misfit {
                    check,
                    height_mm: height_mm.or_else(grown_mm),
                    months,
                    is_assumed: opens.is_some()
                        || assumed(&fit.bike, check).is_some()
                        || fit.undone().next().is_some(),
                })
            }
        }
    }

    /// The check that decides, where one does.
    pub fn check(&self) -> Option<CheckId> {
        match self {
            Self::Misfit { check, .. } | Self::Incomplete { check, .. } => Some(*check),
            Self::Undecided { remeasure } => remeasure.map(|again| again.decides),
        }
    }

    /// How far off in height, mm: by what would fit, or, where the same build fits at no height, by where what rules the
    /// bike out on its side ends. 0 where nothing rules it out, infinite where size does not.
    pub fn off_mm(&self, fit: &Fit) -> f64 {
        let off = match self {
            Self::Misfit { height_mm, .. } => height_mm.or_else(|| end_of_side(fit)),
            Self::Incomplete { .. } | Self::Undecided { .. } => Some(0.0),
        };
        off.map_or(f64::INFINITY, f64::abs)
    }

    /// The reason with its amount, in one sentence without an end.
    pub fn reason(&self, fit: &Fit, units: Units) -> String {
        match self {
            Self::Misfit { check, .. } => {
                let advice = fit
                    .finding(*check)
                    .map_or_else(String::new, |finding| fit.advice(&finding, units));
                if assumed(&fit.bike, *check).is_some() {
                    format!("{advice}, as far as bikes on such wheels go")
                } else {
                    advice
                }
            }
            Self::Incomplete { .. } => {
                let asked = Asked::Child(fit.rider.name.as_ref().map(|_| fit.rider.title()));
                find_out_first(&fit.bike, &asked, fit.undone())
            }
            Self::Undecided { remeasure } => {
                let age = fit.turns_on_age().then(|| GIVE_AGE.to_owned());
                let again = remeasure.map(|again| again.words());
                match (age, again) {
                    (Some(age), Some(again)) => format!("{age}; or {again}"),
                    (Some(one), None) | (None, Some(one)) => one,
                    (None, None) => "no single measurement would settle it".to_owned(),
                }
            }
        }
    }

    /// How far off, in height and in months; None where size is not the matter.
    pub fn distance(&self, units: Units) -> Option<String> {
        let Self::Misfit {
            height_mm,
            months,
            is_assumed,
            ..
        } = self
        else {
            return None;
        };
        let height = height_mm.as_ref()?;
        let which = if *height > 0.0 { "taller" } else { "shorter" };
        let apart = units.missed_by(height.abs());
        let would = if *is_assumed { "may" } else { "would" };
        Some(match months {
            Some(months) => format!(
                "{would} fit a rider {apart} {which}, in about {}",
                in_months(*months)
            ),
            None => format!("{would} fit a rider {apart} {which}"),
        })
    }
}

/// The saddle to try, with its doubt; None of a pair that is decided or incomplete, and where no height suits.
pub fn saddle_to_try(fit: &Fit, units: Units) -> Option<String> {
    doubt_to_try_mm(fit)?;
    Some(saddle_from_where(fit, units))
}

/// The saddle to set or to try, with its doubt, and from where where that is not the bracket.
pub fn saddle_from_where(fit: &Fit, units: Units) -> String {
    let from = if fit.bike.tells_saddle_from_ground() {
        " from the ground"
    } else {
        ""
    };
    saddle_with_doubt(fit, units) + from
}

/// The saddle to set or to try, with its doubt where that must be told: see [`told_doubt_mm`].
pub fn saddle_with_doubt(fit: &Fit, units: Units) -> String {
    let saddle = units.length(fit.saddle_shown_mm(units));
    told_doubt_mm(fit).map_or_else(
        || saddle.clone(),
        |sd| format!("{saddle} ± {}", units.length(sd)),
    )
}

/// The spread of the saddle height, mm, that no such figure is shown without: where the leg was estimated, and where the
/// saddle is only to be tried; none at the post's mark, which is the most.
pub fn told_doubt_mm(fit: &Fit) -> Option<f64> {
    let sd_mm = fit.saddle_doubt_mm().or_else(|| doubt_to_try_mm(fit));
    fit.pair().setting().doubt_mm(sd_mm)
}

/// The spread of the saddle height, mm, of a pair that is too close to call and wants trying out; None of any other,
/// and where no height suits.
pub fn doubt_to_try_mm(fit: &Fit) -> Option<f64> {
    fit.pair().saddle_band()?;
    fit.saddle_told_sd_mm()
        .filter(|_| fit.verdict == Verdict::Undecided)
}

/// The month in which a bike that is too big no longer is, where it cannot be said to fit then.
pub fn opening_month(growth: &Growth) -> Option<f64> {
    let mut months = growth.months.iter();
    let first = months.find(|month| month.verdict != Verdict::TooBig)?;
    (first.verdict == Verdict::Incomplete).then_some(first.month as f64)
}

/// For whom it was asked what to find out of a bike: small hands may need a lever's gap that large ones do not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Asked {
    /// One child, by name where it has one.
    Child(Option<String>),
    /// A rider of median proportions in the middle of what the bike fits.
    Middle,
    /// Nobody: what the bike itself leaves open.
    Nobody,
}

impl Asked {
    /// Whom, to stand behind what is asked for.
    pub fn words(&self) -> String {
        match self {
            Self::Child(Some(name)) => format!("for {name}"),
            Self::Child(None) => "for this rider".to_owned(),
            Self::Middle => "for a middle-sized rider".to_owned(),
            Self::Nobody => "whoever rides".to_owned(),
        }
    }
}

/// What to find out before a bike can be called fitting, and for whom that was asked, in one sentence without an end.
pub fn find_out_first(
    bike: &Bike,
    asked: &Asked,
    undone: impl IntoIterator<Item = (CheckId, &'static str)>,
) -> String {
    // One figure may be needed for several checks: it is named once, for all of them.
    let mut needs: Vec<(&str, Vec<String>)> = Vec::new();
    for (check, key) in undone {
        match needs.iter_mut().find(|(known, _)| *known == key) {
            Some((_, checks)) => checks.push(check.title()),
            None => needs.push((key, vec![check.title()])),
        }
    }
    let needs: Vec<_> = needs
        .into_iter()
        .map(|(key, checks)| {
            let words = bike.wants(key).into_owned();
            if words.starts_with(&checks[0]) {
                words
            } else {
                format!("{words}, for the {}", checks.join(", "))
            }
        })
        .collect();
    format!("find out first, {}: {}", asked.words(), needs.join("; "))
}

/// A time in months as people say it.
pub fn in_months(months: f64) -> String {
    let whole = months.round();
    if whole < 1.0 {
        "a few weeks".to_owned()
    } else if whole < 2.0 {
        "a month".to_owned()
    } else {
        format!("{} months", tidy(whole, 0))
    }
}

/// The checks on a rider this much taller, mm of height, and otherwise as children's body tables have it.
fn measures_taller(fit: &Fit, taller_mm: f64) -> Measures {
    let (rider, body) = (&fit.rider, fit.rider.body_taller(taller_mm));
    measure(&Pair::new(&fit.bike, &body, rider.stage, rider.weight))
}

/// How much taller or shorter a rider may be before the pair stops fitting, mm of
/// height, from a height at which it fits; the first height that no longer does is the second figure.
fn edge(fit: &Fit, inside: f64, outside: f64) -> [f64; 2] {
    let fits = |measures: &Measures| Side::of(measures) == Side::Fits;
    edge_of(fit, fits, inside, outside)
}

/// The same of anything else that the checks may say.
fn edge_of(
    fit: &Fit,
    holds: impl Fn(&Measures) -> bool,
    mut inside: f64,
    mut outside: f64,
) -> [f64; 2] {
    while (inside - outside).abs() > RESOLUTION_MM {
        let middle = f64::midpoint(inside, outside);
        if holds(&measures_taller(fit, middle)) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    [inside, outside]
}

/// How much taller (first) and shorter (second) a rider may be on a bike that fits
/// now, mm of height.
pub fn room_mm(fit: &Fit) -> [f64; 2] {
    const STEP_MM: f64 = 40.0;
    [1.0, -1.0].map(|direction| {
        let mut inside = 0.0_f64;
        while inside.abs() < FARTHEST_MM {
            let next = inside + direction * STEP_MM;
            if Side::of(&measures_taller(fit, next)) != Side::Fits {
                return edge(fit, inside, next)[0].abs();
            }
            inside = next;
        }
        inside.abs()
    })
}

/// The failing check that decides, and how much taller or shorter the rider would have
/// to be, mm of height.
fn deciding(fit: &Fit) -> Option<(CheckId, Option<f64>)> {
    if let Some(check) = first_failing(&fit.measures, Misfit::NotSize) {
        return Some((check, None));
    }
    let Some((misfit, steps)) = tries(fit) else {
        return first_failing(&fit.measures, Misfit::TooBig)
            .or(first_failing(&fit.measures, Misfit::TooSmall))
            .map(|check| (check, None));
    };
    let mut outside = 0.0;
    for step in steps {
        let measures = measures_taller(fit, step);
        if Side::of(&measures) == Side::Fits {
            let [inside, outside] = edge(fit, step, outside);
            // The last check to give way is the one that decides.
            let check = first_failing(&measures_taller(fit, outside), misfit)?;
            return Some((check, Some(inside)));
        }
        if first_failing(&measures, misfit).is_some() {
            outside = step;
        }
    }
    first_failing(&fit.measures, misfit).map(|check| (check, None))
}

/// How much taller or shorter a rider would have to be for nothing to fail on the pair's side, mm of height.
fn end_of_side(fit: &Fit) -> Option<f64> {
    let (misfit, steps) = tries(fit)?;
    let passes = |measures: &Measures| first_failing(measures, misfit).is_none();
    let mut outside = 0.0;
    for step in steps {
        if passes(&measures_taller(fit, step)) {
            return Some(edge_of(fit, passes, step, outside)[0]);
        }
        outside = step;
    }
    None
}

/// In what sense a pair is the wrong size, and which riders to try instead, mm of height: a narrow window may end before
/// the farthest. None where size is not the matter.
fn tries(fit: &Fit) -> Option<(Misfit, [f64; 8])> {
    const STEPS_MM: [f64; 8] = [12.5, 25.0, 50.0, 100.0, 200.0, 300.0, 500.0, FARTHEST_MM];
    match fit.leans() {
        Side::TooBig => Some((Misfit::TooBig, STEPS_MM)),
        Side::TooSmall => Some((Misfit::TooSmall, STEPS_MM.map(|mm| -mm))),
        Side::Fits | Side::Unsuitable => None,
    }
}

/// The first check that fails in this sense.
fn first_failing(measures: &Measures, misfit: Misfit) -> Option<CheckId> {
    CheckId::ALL
        .into_iter()
        .find(|id| measures[*id as usize].is_some_and(|m| m.status == Status::Fail(misfit)))
}

/// Every failing finding, the deciding one first.
pub fn failing(fit: &Fit) -> Vec<Finding> {
    let first = Stop::of(fit).and_then(|stop| stop.check());
    let mut failing: Vec<_> = fit
        .findings()
        .filter(|finding| matches!(finding.status(), Status::Fail(_)))
        .collect();
    failing.sort_by_key(|finding| Some(finding.id) != first);
    failing
}
