//! Months from now, and their names.
//! What a forecast says about them is `fit::forecast`.

use crate::draw::growth_chart::layout::Track;
use crate::fit::Growth;
use crate::fit::forecast::{GrownMonth, Percentiles, date_after};
use crate::rider::growth::{HORIZON_MONTHS, Pace};

/// The last month that a forecast looks at.
pub(super) fn horizon() -> f64 {
    HORIZON_MONTHS as f64
}

/// Month after which a bike has no more to tell.
pub(super) fn latest(growth: &Growth) -> f64 {
    let ends = |months: Percentiles| [months.p10, months.p50, months.p90];
    let beyond =
        growth.first_month.p50.is_some() && ends(growth.last_month).iter().any(Option::is_none);
    if beyond {
        return horizon();
    }
    ends(growth.first_month)
        .into_iter()
        .chain(ends(growth.last_month))
        .flatten()
        .fold(0.0, f64::max)
}

/// Between which inseams a child's lies in four of five cases, mm: as first and last months are doubtful, too.
pub(super) fn inseam_mm(month: &GrownMonth) -> [f64; 2] {
    let of = Pace::Fast.deviations();
    let middle = month.inseam_mm;
    [month.inseam_low_mm, month.inseam_high_mm].map(|end| middle + of * (end - middle))
}

/// "Mar 2027".
pub(super) fn name(growth: &Growth, months: f64) -> String {
    date_after(growth.as_of, months)
        .strftime("%b %Y")
        .to_string()
}

/// When a bike fits, in two parts.
pub(super) fn in_words(track: &Track<'_>) -> [String; 2] {
    let growth = track.growth;
    if growth.is_outgrown() {
        return ["outgrown already".to_owned(), String::new()];
    }
    if growth.is_open() {
        return ["not known when".to_owned(), "it fits".to_owned()];
    }
    let Some(first) = growth.first_month.p50 else {
        return [
            "does not fit".to_owned(),
            format!("to {}", name(growth, horizon())),
        ];
    };
    let from = if first > 0.0 {
        format!("fits from about {}", name(growth, first))
    } else if track.today.fits() {
        "fits now".to_owned()
    } else {
        "fits now, if at all".to_owned()
    };
    let to = match growth.last_month.p50 {
        Some(last) if last <= 0.0 => "outgrown about now".to_owned(),
        Some(last) => format!("to about {}", name(growth, last)),
        None => format!("beyond {}", name(growth, horizon())),
    };
    [from, to]
}
