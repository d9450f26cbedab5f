//! A rack for one rider, for a terminal and for spreadsheets.
//! The order, its reasons and what stops a pair are `advice::size`'s and `advice::stop`'s; nothing is computed here.

use comfy_table::{ColumnConstraint, Width};
use serde::Serialize;
use unicode_width::UnicodeWidthStr;

use crate::advice::size::{SizedBike, Sizing};
use crate::advice::stop::Stop;
use crate::bike::spec::Tyres;
use crate::bike::{Bike, TyreSize};
use crate::cautions::CAUTIONS;
use crate::fit::forecast::{Note, Percentiles, date_after};
use crate::fit::{CheckId, Fit, Side, Status, Verdict};
use crate::report::assumed;
use crate::report::contract::Skipped;
use crate::report::json;
use crate::report::skipped::skipped_files;
use crate::report::terminal::{Layout, notes, push_line, push_table, table, wrapped};
use crate::report::verdict_text::{
    ABOUT, doubt_to_try_mm, not_checked, rider_line, sentence, sureness_short, to_read_cells,
    to_try, told_chance, told_doubt_mm, told_lean,
};
use crate::rider::growth::{HORIZON_MONTHS, NoForecast};
use crate::units::Units;
use crate::words::{self, tidy};

/// The order of the list, in one sentence for the user.
pub const ORDER: &str = "Order: what fits before what is too close to call, the rest by how near it is, outgrown ones without pedals last for who could have them; the surer fit first, sure from 95 %, likely from 80 %; with pedals before without, but for first rides; then bikes that want no figure; of what is too close to call then bikes of which nothing is assumed, and the likelier to fit; then fewest cautions, those about safety first, a check that could not be made counted as one; then the longer time, in three steps: under 3 months, to 9, and more; then bikes of which nothing is assumed; then the rider nearest to the middle of what the bike fits; then the lighter bike, one of known weight first.";
const EMPTY: &str = "The rack is empty: no bike to size the rider on. Name frame files or samples, or a folder of them with --frames.";
const NONE_READ: &str = "No bike could be judged: no frame file could be read.";
pub(crate) const NONE_SHOWN: &str = "No bike with the verdicts asked for.";
/// Bikes farther off than this are folded into one line, mm of height.
const HOPELESS_MM: f64 = 60.0;

/// From this width on a bike's name, up to a length, and every figure are kept on one line, a long saddle's doubt under
/// it.
const ROOMY_COLUMNS: usize = 80;
const WIDEST_NAME: usize = 14;
/// `404 ± 18`.
const SHORT_SADDLE: usize = 8;

/// What to do when no bike fits, by the side on which they all lie.
pub(crate) fn none_fits(sizing: &Sizing) -> String {
    if sizing.bikes.is_empty() {
        return "No bike on this rack fits today.".to_owned();
    }
    let is_open = |bike: &SizedBike| !bike.fit.verdict.rules_out();
    let all_are = |side| sizing.bikes.iter().all(|bike| bike.fit.leans() == side);
    let cure = if sizing.bikes.first().is_some_and(is_open) {
        "find out first what they ask for"
    } else if all_are(Side::TooSmall) {
        "look for a larger one"
    } else if all_are(Side::TooBig) {
        "wait, or look for a smaller one; do not size up to grow into"
    } else {
        "wait, or look for one in between; do not size up to grow into"
    };
    format!("No bike on this rack fits today. The nearest come first: {cure}.")
}

/// What came nearest of a rack of which nothing fits, where the list does not say so itself, and what to look for; in
/// sentences. Empty where something fits, and where no bike was judged.
pub(crate) fn look_for(sizing: &Sizing, units: Units) -> Vec<String> {
    let mut lines = Vec::new();
    let Some(nearest) = &sizing.nearest else {
        return lines;
    };
    if sizing.bikes.is_empty() {
        lines.push(format!(
            "Nearest is {}, {}: {}.",
            nearest.fit.bike.id,
            nearest.fit.verdict.word().replace('-', " "),
            what_to_know(nearest, units)
        ));
        lines.extend(to_try(&nearest.fit, units).map(|saddle| sentence(&saddle)));
    }
    let mut wanted = Vec::new();
    if let Some([low, high]) = nearest.fit.pair().seat_heights_mm() {
        // Rounded towards the inside: a saddle of either height suits.
        wanted.push(format!(
            "a saddle that goes to between {} and {} above the ground",
            units.bare(units.shown_at_least_mm(low)),
            units.length_at_most(high)
        ));
    }
    if let Some(most) = nearest.fit.highest_standover_mm() {
        wanted.push(format!(
            "a top tube of at most {} to stand over",
            units.length_at_most(most)
        ));
    }
    if let Some(sample) = &sizing.sample {
        wanted.push(format!(
            "wheels of {}, as the sample {} that would fit",
            wheel(&sample.spec.tyres),
            sample.id
        ));
    }
    if !wanted.is_empty() {
        lines.push(format!(
            "Look for, at stage {}: {}.",
            nearest.fit.pose.stage,
            wanted.join("; ")
        ));
    }
    lines
}

/// How a rack is shown.
#[derive(Debug, Clone, Copy)]
pub struct View {
    /// Columns and units.
    pub layout: Layout,
    /// Whether hopeless bikes are listed one by one.
    pub all: bool,
}

/// The report.
pub fn size(sizing: &Sizing, skipped: &[Skipped], view: View) -> String {
    let layout = view.layout;
    let mut out = String::new();
    wrapped(
        &mut out,
        &format!("The rack for {}", sizing.rider.title()),
        layout.columns,
        "  ",
    );
    rider_line(&mut out, &sizing.rider, layout);
    for line in sizing.rider.doubted_figures(layout.units) {
        wrapped(&mut out, &sentence(&line), layout.columns, "  ");
    }
    out.push('\n');
    if sizing.judged == 0 && skipped.is_empty() {
        wrapped(&mut out, EMPTY, layout.columns, "");
        return out;
    }
    if sizing.judged == 0 {
        wrapped(&mut out, NONE_READ, layout.columns, "");
    } else if !sizing.any_fits {
        wrapped(&mut out, &none_fits(sizing), layout.columns, "");
        for line in look_for(sizing, layout.units) {
            wrapped(&mut out, &line, layout.columns, "  ");
        }
        if !sizing.bikes.is_empty() {
            out.push('\n');
        }
    }
    if sizing.bikes.is_empty() && sizing.any_fits {
        wrapped(&mut out, NONE_SHOWN, layout.columns, "");
    } else if !sizing.bikes.is_empty() {
        let (near, hopeless) = near_and_hopeless(sizing, view.all);
        bikes(&mut out, &near, layout);
        if let Some(why) = why_first(sizing, layout.units) {
            out.push('\n');
            wrapped(&mut out, &why, layout.columns, "  ");
        }
        folded(&mut out, &hopeless, layout);
        out.push('\n');
        wrapped(&mut out, ORDER, layout.columns, "  ");
        wrapped(&mut out, ABOUT, layout.columns, "  ");
    }
    let again = look_again(sizing, assumed::short_with_command, layout.units);
    let again: Vec<_> = again.iter().map(|one| one.told(str::to_owned)).collect();
    notes(&mut out, "Look again", &again, layout);
    skipped_files(&mut out, skipped, layout);
    notes(&mut out, "Cautions", CAUTIONS, layout);
    out
}

/// The bikes that are worth a line of their own, and those too far off; where all are, the nearest few are told.
pub(crate) fn near_and_hopeless(sizing: &Sizing, all: bool) -> (Vec<&SizedBike>, Vec<&SizedBike>) {
    const NEAREST: usize = 3;
    let is_hopeless =
        |bike: &SizedBike| bike.fit.verdict.rules_out() && bike.standing.off_mm > HOPELESS_MM;
    let none_is_near = sizing.bikes.iter().all(is_hopeless);
    let first = sizing.bikes.first().filter(|_| none_is_near);
    let end = first.map_or(0, |first| first.rank + NEAREST);
    sizing
        .bikes
        .iter()
        .partition(|bike| all || !is_hopeless(bike) || bike.rank < end)
}

/// One thing to look at again.
#[derive(PartialEq, Eq)]
pub(crate) struct Again<'a> {
    /// The bike, by its file's name; None where it is the rider's.
    of: Option<&'a str>,
    /// Without an end.
    words: String,
}

impl<'a> Again<'a> {
    fn of(bike: &'a SizedBike, words: String) -> Self {
        Self {
            of: Some(&bike.fit.bike.id),
            words,
        }
    }

    /// The words as they are told, behind their bike; a file's name stays as it is written.
    pub(crate) fn told(&self, tell: impl Fn(&str) -> String) -> String {
        let of = self.of.map_or_else(String::new, |id| format!("{id}: "));
        of + &tell(&self.words)
    }
}

/// What deserves a second look: a measurement that would settle a verdict, what is assumed of a bike, and what is odd
/// about rider or bikes.
pub(crate) fn look_again(
    sizing: &Sizing,
    assumed: impl Fn(&Bike) -> Option<String>,
    units: Units,
) -> Vec<Again<'_>> {
    // What would settle an undecided pair stands with it.
    let decided = sizing
        .bikes
        .iter()
        .filter(|bike| bike.fit.verdict != Verdict::Undecided);
    let remeasure = decided.into_iter().find_map(|bike| {
        let again = bike.fit.odds?.remeasure?;
        Some(Again::of(bike, again.words()))
    });
    let mut lines: Vec<Again> = remeasure.into_iter().collect();
    let warnings = sizing.rider.warnings().into_iter();
    let mut of_rider: Vec<String> = warnings.map(|warning| warning.words(units)).collect();
    let growth = sizing
        .bikes
        .iter()
        .find_map(|bike| bike.fit.growth.as_ref()?.as_ref().err());
    of_rider.extend(growth.and_then(|why| why.words(units)));
    // These stand above the list.
    let doubted = sizing.rider.doubted_figures(units);
    for bike in near_and_hopeless(sizing, false).0 {
        lines.extend(assumed(&bike.fit.bike).map(|words| Again::of(bike, words)));
        let warnings = bike.fit.warnings(units).into_iter();
        for words in warnings.filter(|words| !doubted.contains(words)) {
            // What is odd about the rider is said once; the rest names its bike.
            let again = if of_rider.contains(&words) {
                Again { of: None, words }
            } else {
                Again::of(bike, words)
            };
            if !lines.contains(&again) {
                lines.push(again);
            }
        }
    }
    lines
}

/// Why the first bike is first, in one sentence; None where it is alone.
pub(crate) fn why_first(sizing: &Sizing, units: Units) -> Option<String> {
    let [first, next, ..] = sizing.bikes.as_slice() else {
        return None;
    };
    let words = first.why?.words(first, next, units);
    Some(format!("{} comes first: {words}.", first.fit.bike.id))
}

/// Bikes that miss by far, in one line for each way of missing.
fn folded(out: &mut String, bikes: &[&SizedBike], layout: Layout) {
    for verdict in [Verdict::TooBig, Verdict::TooSmall, Verdict::Unsuitable] {
        let of: Vec<_> = bikes
            .iter()
            .filter(|bike| bike.fit.verdict == verdict)
            .collect();
        if of.is_empty() {
            continue;
        }
        let names: Vec<_> = of.iter().map(|bike| bike.fit.bike.id.as_str()).collect();
        let off = || of.iter().map(|bike| bike.standing.off_mm);
        let least = off().fold(f64::INFINITY, f64::min);
        let most = off().fold(0.0, f64::max);
        let told = |mm| layout.units.length(mm);
        let by = match of.len() {
            _ if least.is_infinite() => String::new(),
            _ if most.is_infinite() => format!(" by {} of height or more", told(least)),
            1 => format!(" by {} of height", told(most)),
            _ => format!(
                " by {} to {} of height",
                layout.units.bare(least),
                told(most)
            ),
        };
        let line = format!(
            "{} more {} {}{by}: {} (--all lists them)",
            of.len(),
            if of.len() == 1 { "is" } else { "are" },
            verdict.word().replace('-', " "),
            names.join(", ")
        );
        wrapped(out, &line, layout.columns, "  ");
    }
}

/// The wheels as the trade calls them, from the bead seats of their tyres, front before rear where they are unlike,
/// `26/24 in`; the markings where one has no such name.
pub(crate) fn wheel(tyres: &Tyres) -> String {
    let unit = inches(tyres).map_or("", |_| " in");
    bare_wheel(tyres) + unit
}

/// The same under a heading that has the unit.
fn bare_wheel(tyres: &Tyres) -> String {
    let marked = || [&tyres.front, &tyres.rear].map(TyreSize::to_string);
    let names = inches(tyres).map(|both| both.map(|inches| tidy(inches, 1)));
    let [front, rear] = names.unwrap_or_else(marked);
    if tyres.front.has_rim_of(tyres.rear) {
        rear
    } else {
        format!("{front}/{rear}")
    }
}

fn inches(tyres: &Tyres) -> Option<[f64; 2]> {
    Some([tyres.front.wheel_inches()?, tyres.rear.wheel_inches()?])
}

fn bikes(out: &mut String, bikes: &[&SizedBike], layout: Layout) {
    let saddle = format!("saddle ({})", layout.units.word());
    let header = [
        "",
        "bike",
        "wheel (in)",
        "verdict",
        "size",
        &saddle,
        "months left",
        "kg",
        "price",
    ];
    let mut rows = table(&header, layout.columns);
    let last = header.len() - 1;
    for (place, column) in rows.column_iter_mut().enumerate() {
        // Nine columns have no room for more.
        column.set_padding((0, u16::from(place < last)));
    }
    let cells: Vec<[String; 9]> = bikes
        .iter()
        .map(|bike| {
            let spec = &bike.fit.bike.spec;
            let or_dash = |cell: Option<String>| cell.unwrap_or_else(|| "-".to_owned());
            [
                bike.rank.to_string(),
                bike.fit.bike.id.clone(),
                bare_wheel(&spec.tyres),
                bike.fit.verdict.word().to_owned(),
                whole(&or_dash(sureness_short(&bike.fit))),
                or_dash(has_saddle(bike).then(|| in_two_pieces(&bike.fit, layout.units))),
                or_dash(months_left(bike)),
                or_dash(spec.weight.map(|weight| tidy(weight.kg(), 1))),
                or_dash(spec.price.map(|price| tidy(price, 2))),
            ]
        })
        .collect();
    rows.add_rows(&cells);
    if layout.columns >= ROOMY_COLUMNS {
        // No word of a heading is cut either.
        let headed = |column: usize, widths: &mut dyn Iterator<Item = usize>| {
            let words = header[column].split(' ').map(UnicodeWidthStr::width);
            words.chain(widths).max().unwrap_or_default()
        };
        let longest =
            |column: usize| headed(column, &mut cells.iter().map(|row| row[column].width()));
        let pieces = cells.iter().flat_map(|row| row[5].split(' '));
        let piece = headed(5, &mut pieces.map(UnicodeWidthStr::width));
        let saddle = Some(longest(5)).filter(|width| *width <= SHORT_SADDLE);
        for (column, width) in [
            (1, longest(1).min(WIDEST_NAME)),
            (3, longest(3)),
            (4, longest(4)),
            (5, saddle.unwrap_or(piece)),
            (6, longest(6)),
        ] {
            if let Some(column) = rows.column_mut(column)
                && let Ok(width) = u16::try_from(width)
            {
                // With a blank behind it.
                column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(width + 1)));
            }
        }
    }
    push_table(out, &rows, layout.columns);
    let is_marked = |bike: &&SizedBike| bike.fit.bike.tells_saddle_from_ground();
    if bikes.iter().any(|bike| has_saddle(bike) && is_marked(bike)) {
        push_line(out, FROM_GROUND);
    }
    if let Some(measure) = measure_first(bikes) {
        wrapped(out, &measure, layout.columns, "");
    }
    out.push('\n');
    for bike in bikes {
        let line = format!(
            "{} {}: {}",
            bike.rank,
            bike.fit.bike.id,
            what_to_know(bike, layout.units)
        );
        wrapped(out, &line, layout.columns, "  ");
    }
}

/// What the mark behind a saddle says.
pub(crate) const FROM_GROUND: &str = "* from the ground, where no bracket is known to measure from";

/// Whether a saddle is shown: on a bike that fits, and to try where it is too close to call.
pub(crate) fn has_saddle(bike: &SizedBike) -> bool {
    bike.stop.is_none() || doubt_to_try_mm(&bike.fit).is_some()
}

/// What to measure before any of these saddles is set, as a sentence; None where the leg was measured or nothing fits.
pub(crate) fn measure_first(bikes: &[&SizedBike]) -> Option<String> {
    let first = bikes.iter().find(|bike| bike.stop.is_none())?;
    first.fit.rider.measure_first().map(sentence)
}

/// The same for a narrow column, which may only part the doubt from the figure.
pub(crate) fn in_two_pieces(fit: &Fit, units: Units) -> String {
    let saddle = marked_saddle(fit, units);
    match saddle.split_once(" ± ") {
        Some((saddle, sd)) => format!("{} ±\u{a0}{}", whole(saddle), whole(sd)),
        None => whole(&saddle),
    }
}

/// Words that stay on one line.
pub(crate) fn whole(words: &str) -> String {
    words.replace(' ', "\u{a0}")
}

/// The saddle to set, with its doubt where the leg was estimated, and a mark behind it where it is told from the ground:
/// see [`FROM_GROUND`].
pub(crate) fn marked_saddle(fit: &Fit, units: Units) -> String {
    let mark = if fit.bike.tells_saddle_from_ground() {
        "*"
    } else {
        ""
    };
    let doubt = told_doubt_mm(fit).map_or_else(String::new, |sd| format!(" ± {}", units.bare(sd)));
    format!("{}{mark}{doubt}", units.bare(fit.saddle_shown_mm(units)))
}

/// The median, with the fast and the slow child behind it.
pub(crate) fn months_left(bike: &SizedBike) -> Option<String> {
    let fits = bike.fit.verdict.fits();
    fits.then(|| months_of(&bike.fit, bike.months_left()))?
}

/// The same of a pair that fits: a bike stays with somebody who grows no more; None where nobody knows.
pub(crate) fn months_of(fit: &Fit, left: Percentiles) -> Option<String> {
    match &fit.growth {
        Some(Ok(_)) => Some(months(left)),
        Some(Err(NoForecast::FullyGrown(_))) => Some("stays".to_owned()),
        _ => None,
    }
}

/// The median, with the fast and the slow child behind it.
fn months(left: Percentiles) -> String {
    let show = |months: Option<f64>| {
        months.map_or_else(
            || format!("over {HORIZON_MONTHS}"),
            |months| tidy(months, 0),
        )
    };
    if left.p10 == left.p90 {
        show(left.p50)
    } else {
        let to = if left.p90.is_some() { "-" } else { " to " };
        let ends = [left.p10, left.p90].map(show).join(to);
        format!("{} ({ends})", show(left.p50))
    }
}

/// Why a pair gets no work order, or the settings and cautions of a bike that fits.
pub(crate) fn what_to_know(bike: &SizedBike, units: Units) -> String {
    if let Some(stop) = &bike.stop {
        let distance = stop
            .distance(units)
            .map_or_else(String::new, |distance| format!("; {distance}"));
        return format!("{}{distance}", stop.reason(&bike.fit, units));
    }
    let of = |status| {
        let findings = bike.fit.findings();
        findings.filter(move |finding| finding.status() == status)
    };
    let mut words: Vec<_> = of(Status::Set)
        .map(|finding| bike.fit.advice(&finding, units))
        .collect();
    let cautions: Vec<_> = of(Status::Caution)
        .map(|finding| finding.id.title())
        .collect();
    if !cautions.is_empty() {
        words.push(format!("caution: {}", cautions.join(", ")));
    }
    words.extend(not_checked(&bike.fit));
    if words.is_empty() {
        words.push("nothing to set".to_owned());
    }
    let notes = bike
        .fit
        .growth()
        .into_iter()
        .flat_map(|growth| &growth.notes);
    let at_mark = notes.filter(|note| is_soon_at_mark(note, &bike.fit));
    words.extend(at_mark.map(|note| note.words()));
    words.join("; ")
}

/// Whether the saddle stops rising long before the bike is outgrown.
fn is_soon_at_mark(note: &Note, fit: &Fit) -> bool {
    const SOON_MONTHS: f64 = 3.0;
    let Some(growth) = fit.growth() else {
        return false;
    };
    match note {
        // A saddle that stands too low because of it says so itself.
        Note::PostAtMark(None) => !fit.finding(CheckId::SaddleHeight).is_some_and(|found| {
            let [value, low] = [found.measure.value, found.measure.low];
            value < low
        }),
        Note::PostAtMark(Some(day)) => *day <= date_after(growth.as_of, SOON_MONTHS),
        Note::Chart(_) | Note::StageOfToday(_) | Note::LoadMayEndIt(_) => false,
    }
}

#[derive(Serialize)]
struct Row<'a> {
    rank: usize,
    id: &'a str,
    name: &'a str,
    wheel: String,
    weight_kg: Option<f64>,
    price: Option<f64>,
    verdict: &'static str,
    chance: Option<f64>,
    saddle_height_mm: Option<f64>,
    seat_height_mm: Option<f64>,
    saddle_height_sd_mm: Option<f64>,
    exposed_post_mm: Option<f64>,
    lever_gap_mm: Option<f64>,
    front_lever_gap_mm: Option<f64>,
    rear_lever_gap_mm: Option<f64>,
    months_left_p10: Option<f64>,
    months_left_p50: Option<f64>,
    months_left_p90: Option<f64>,
    stop_check: Option<&'static str>,
    stop_height_mm: Option<f64>,
    comment: String,
    leans: Option<&'static str>,
    cautions: String,
    not_checked: String,
    seat_height_sd_mm: Option<f64>,
}

/// An empty list still has its header.
const HEADER: [&str; 25] = [
    "rank",
    "id",
    "name",
    "wheel",
    "weight_kg",
    "price",
    "verdict",
    "chance",
    "saddle_height_mm",
    "seat_height_mm",
    "saddle_height_sd_mm",
    "exposed_post_mm",
    "lever_gap_mm",
    "front_lever_gap_mm",
    "rear_lever_gap_mm",
    "months_left_p10",
    "months_left_p50",
    "months_left_p90",
    "stop_check",
    "stop_height_mm",
    "comment",
    "leans",
    "cautions",
    "not_checked",
    "seat_height_sd_mm",
];

/// The list as CSV, lengths in mm; settings only for bikes that fit, and the first caution beside them; of what is too
/// close to call the saddle to try.
pub fn csv(sizing: &Sizing) -> std::io::Result<Vec<u8>> {
    let mut writer = csv::WriterBuilder::new()
        .has_headers(false)
        .from_writer(Vec::new());
    writer.write_record(HEADER)?;
    let number = |value: Option<f64>| value.map(json::rounded);
    for bike in &sizing.bikes {
        let fit = &bike.fit;
        let setting = bike.stop.is_none().then(|| fit.pair().setting());
        let saddle = has_saddle(bike).then(|| fit.pair().setting());
        let gaps = setting.map(|set| set.gaps).unwrap_or_default();
        let left = bike.months_left();
        let [cautions, not_checked] = to_read_cells(fit);
        let comment = match &bike.stop {
            Some(stop) => stop.reason(fit, Units::Mm),
            None => CAUTIONS[0].to_owned(),
        };
        writer.serialize(Row {
            rank: bike.rank,
            id: &words::cell(&fit.bike.id),
            name: &words::cell(&fit.bike.spec.name),
            wheel: wheel(&fit.bike.spec.tyres),
            weight_kg: number(fit.bike.spec.weight.map(crate::units::Mass::kg)),
            price: fit.bike.spec.price,
            verdict: fit.verdict.word(),
            chance: number(told_chance(fit)),
            saddle_height_mm: number(saddle.and(fit.pair().tabled_saddle_height_mm())),
            seat_height_mm: number(saddle.map(|set| set.seat_height_mm)),
            saddle_height_sd_mm: number(saddle.and(fit.tabled_saddle_height_sd_mm())),
            exposed_post_mm: number(setting.and_then(|set| set.exposed_post_mm)),
            lever_gap_mm: number(setting.and_then(|set| set.lever_gap_mm)),
            front_lever_gap_mm: number(gaps.front_lever_gap_mm),
            rear_lever_gap_mm: number(gaps.rear_lever_gap_mm),
            months_left_p10: left.p10,
            months_left_p50: left.p50,
            months_left_p90: left.p90,
            stop_check: bike
                .stop
                .and_then(|stop| stop.check())
                .map(crate::fit::CheckId::name),
            stop_height_mm: number(match bike.stop {
                Some(Stop::Misfit { height_mm, .. }) => height_mm,
                _ => None,
            }),
            comment: words::cell(&comment).into_owned(),
            leans: told_lean(fit).map(Side::word),
            cautions,
            not_checked,
            seat_height_sd_mm: number(saddle.and(fit.odds).and_then(|odds| odds.seat_height_sd_mm)),
        })?;
    }
    writer.into_inner().map_err(csv::IntoInnerError::into_error)
}
