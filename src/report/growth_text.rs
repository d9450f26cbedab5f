//! The growth forecast in words: how long a bike fits, and when its saddle goes up.
//! Used under a fit and in a comparison; the figures come from `fit::forecast`.

use jiff::civil::Date;

use crate::advice::stop::opening_month;
use crate::bike::Bike;
use crate::fit::forecast::{Note, Percentiles, date_after};
use crate::fit::{Fit, Growth, Verdict};
use crate::report::terminal::{Layout, push_line, wrapped};
use crate::rider::growth::HORIZON_MONTHS;
use crate::units::Units;

/// A month in a sentence.
const LONG: &str = "%B %Y";
/// Raises listed one by one; the rest is summed up.
const RAISES_SHOWN: usize = 6;

/// The paragraph under a fit.
pub(crate) fn growth(
    out: &mut String,
    growth: &Growth,
    fit: &Fit,
    with_settings: bool,
    layout: Layout,
) {
    push_line(out, "");
    push_line(out, "Growth");
    let line =
        |out: &mut String, text: &str| wrapped(out, &format!("- {text}"), layout.columns, "  ");
    line(out, &span(growth, fit.verdict));
    if let Some(raises) = raises(growth, &fit.bike, layout.units).filter(|_| with_settings) {
        line(out, &raises);
    }
    for note in &growth.notes {
        if with_settings || !matches!(note, Note::PostAtMark(_)) {
            line(out, &note.words());
        }
    }
}

/// When the bike fits, by the months as measured: an open verdict of today promises nothing.
pub(crate) fn span(growth: &Growth, today: Verdict) -> String {
    let on = growth.as_of;
    if growth.is_outgrown() {
        return "outgrown already".to_owned();
    }
    if growth.is_open() {
        return "when it fits cannot be said before what decides is known".to_owned();
    }
    let Some(first) = growth.first_month.p50 else {
        let open = if today == Verdict::Undecided {
            "by the figures as measured "
        } else {
            ""
        };
        return match growth.first_month.p10 {
            Some(_) => format!(
                "too big for the {HORIZON_MONTHS} months to come, unless the child grows fast (fits from {} at the earliest)",
                month(on, growth.first_month.p10, LONG)
            ),
            None => format!("{open}does not fit in the {HORIZON_MONTHS} months to come"),
        };
    };
    let about = match growth.last_month.p50 {
        Some(last) if last <= 0.0 => "about now".to_owned(),
        Some(last) => format!("about {}", month(on, Some(last), LONG)),
        None => month(on, None, LONG),
    };
    let until = format!("until {about} ({})", range(on, growth.last_month));
    let has_end = growth.last_month.p50.is_some_and(|last| last > 0.0);
    if first <= 0.0 {
        let open = if today.fits() { "" } else { "if at all, " };
        let even = if has_end { EVEN_MONTH } else { "" };
        format!("{open}fits {until}{even}")
    } else {
        let from = month(on, Some(first), LONG);
        let opens = opening_month(growth).filter(|opens| *opens < first);
        // The two months of one bike stand in one answer: whoever reads both is told what lies between.
        let opens = opens.map_or_else(String::new, |opens| {
            let opens = month(on, Some(opens), LONG);
            format!("; it may fit from about {opens}, but until {from} a check that decides cannot be made")
        });
        format!(
            "fits from about {from} ({}) {until}{}{opens}",
            range(on, growth.first_month),
            if has_end { EVEN_MONTHS } else { EVEN_MONTH }
        )
    }
}

/// What the month is worth that is told as the one expected.
const EVEN_MONTH: &str = "; the month outside the brackets is as likely too early as too late";
const EVEN_MONTHS: &str = "; the months outside the brackets are as likely too early as too late";

/// From the tenth to the ninetieth percentile, as a parent counts.
fn range(on: Date, months: Percentiles) -> String {
    let (early, late) = (month(on, months.p10, LONG), month(on, months.p90, LONG));
    if early == late {
        format!("in four of five cases {early}")
    } else {
        format!("in four of five cases {early} to {late}")
    }
}

/// A month by name; without one, beyond the horizon.
pub(crate) fn month(on: Date, months: Option<f64>, form: &str) -> String {
    match months {
        Some(months) => date_after(on, months).strftime(form).to_string(),
        None => format!("beyond {}", date_after(on, horizon()).strftime(form)),
    }
}

#[expect(clippy::cast_precision_loss, reason = "small whole number")]
fn horizon() -> f64 {
    HORIZON_MONTHS as f64
}

/// When to raise the saddle.
pub(crate) fn raises(growth: &Growth, bike: &Bike, units: Units) -> Option<String> {
    let raise = |raise: &crate::fit::forecast::Raise| {
        format!(
            "{} ({})",
            raise.told(bike).length(units),
            raise.date.strftime("%b %Y")
        )
    };
    // The first entry is where the saddle starts.
    let (start, steps) = growth.schedule.split_first()?;
    let start = if start.date == growth.as_of {
        format!("{} now", start.told(bike).length(units))
    } else {
        raise(start)
    };
    let from = if bike.tells_saddle_from_ground() {
        " above the ground"
    } else {
        ""
    };
    let last = steps.last()?;
    let shown: Vec<_> = steps.iter().take(RAISES_SHOWN).map(raise).collect();
    let mut text = format!("saddle{from} at {start}; raise it to {}", shown.join(", "));
    if steps.len() > RAISES_SHOWN {
        text.push_str(", then step by step to ");
        text.push_str(&raise(last));
    }
    Some(text)
}
