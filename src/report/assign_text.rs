//! Who gets which bike, for a terminal and for spreadsheets; and what would help who gets none.
//! The pairs are `advice::assign`'s; nothing is computed here. The printed list is `assign_list`.

use serde::Serialize;

use crate::advice::assign::{Assignment, Given, Spare, Without};
use crate::advice::stop::{Asked, find_out_first};
use crate::cautions::CAUTIONS;
use crate::fit::{Fit, Status, Verdict};
use crate::report::contract::Skipped;
use crate::report::json;
use crate::report::size_text::{FROM_GROUND, marked_saddle, months_of, whole};
use crate::report::skipped::skipped_files;
use crate::report::terminal::{Layout, notes, push_line, push_table, table, wrapped};
use crate::report::verdict_text::{ABOUT, not_checked, sureness_short, to_read_cells, to_try};
use crate::units::Units;
use crate::words;

/// How bikes are given, in one sentence for the user.
pub const HOW: &str = "Given so that as many children as possible have a bike that fits; then with the fewest cautions about safety, a check that could not be made counted as one; then the surest; then with pedals, except for first rides; then with the most months for the child who has the fewest; then with the fewest other cautions.";
const EMPTY: &str = "No children to give bikes to: name a folder of rider files with --riders.";
/// Names that one sentence lists.
const MOST_NAMES: usize = 6;

/// The report.
pub fn text(assignment: &Assignment, skipped: &[Skipped], layout: Layout) -> String {
    let mut out = String::new();
    let (given, rest) = (assignment.pairs.len(), assignment.without_bike.len());
    if given + rest == 0 && skipped.is_empty() {
        wrapped(&mut out, EMPTY, layout.columns, "");
        return out;
    }
    wrapped(
        &mut out,
        &headline(assignment, skipped),
        layout.columns,
        "  ",
    );
    if given > 0 {
        out.push('\n');
        pairs(&mut out, &assignment.pairs, layout);
        wrapped(&mut out, HOW, layout.columns, "  ");
        wrapped(&mut out, ABOUT, layout.columns, "  ");
    }
    let lines: Vec<String> = assignment
        .pairs
        .iter()
        .filter_map(|pair| to_know(pair, layout.units))
        .collect();
    notes(&mut out, "Before handing out", &lines, layout);
    let lines: Vec<String> = assignment
        .without_bike
        .iter()
        .map(|rest| format!("{}: {}", rest.child.title(), help(rest, layout.units)))
        .collect();
    notes(&mut out, "Without a bike", &lines, layout);
    notes(&mut out, "Spare", &spare(assignment), layout);
    notes(
        &mut out,
        "Look again",
        &look_again(assignment, layout.units),
        layout,
    );
    skipped_files(&mut out, skipped, layout);
    notes(&mut out, "Cautions", CAUTIONS, layout);
    out
}

/// How many have a bike, and which files nobody could read: they may be of children.
pub fn headline(assignment: &Assignment, skipped: &[Skipped]) -> String {
    format!("{}{}", given(assignment), unread(skipped))
}

/// The files that could not be read, to stand behind a number that leaves them out; nothing where there are none.
pub(crate) fn unread(skipped: &[Skipped]) -> String {
    let files = skipped.iter().map(|file| file.file.as_str()).collect();
    match skipped.len() {
        0 => String::new(),
        1 => format!("; 1 file could not be read: {}", names(files)),
        count => format!("; {count} files could not be read: {}", names(files)),
    }
}

fn given(assignment: &Assignment) -> String {
    let (given, rest) = (assignment.pairs.len(), assignment.without_bike.len());
    let children = |count: usize| {
        if count == 1 {
            "1 child".to_owned()
        } else {
            format!("{count} children")
        }
    };
    match rest {
        0 if given == 0 => "no child to give a bike to".to_owned(),
        0 => format!("{}, each with a bike that fits", children(given)),
        _ => format!(
            "{}: {given} with a bike that fits, {rest} without",
            children(given + rest)
        ),
    }
}

fn pairs(out: &mut String, pairs: &[Given], layout: Layout) {
    let unit = layout.units.word();
    let header = [
        "child",
        "bike",
        "size",
        &format!("saddle ({unit})"),
        "months left",
        "cautions",
    ];
    let mut rows = table(&header, layout.columns);
    for pair in pairs {
        let cautions = cautions(pair);
        rows.add_row([
            pair.child.title(),
            pair.fit.bike.id.clone(),
            sureness_short(&pair.fit).unwrap_or_else(|| "-".to_owned()),
            marked_saddle(&pair.fit, layout.units),
            months_left(pair),
            if cautions.is_empty() {
                "-".to_owned()
            } else {
                cautions
            },
        ]);
    }
    push_table(out, &rows, layout.columns);
    if pairs
        .iter()
        .any(|pair| pair.fit.bike.tells_saddle_from_ground())
    {
        push_line(out, FROM_GROUND);
    }
    out.push('\n');
}

/// The post to show, which is quicker to set than the saddle height; a dash where it is not known.
pub(in crate::report) fn post(pair: &Given, units: Units) -> String {
    let set = pair.fit.pair().setting();
    let shows = set.exposed_post_mm;
    shows.map_or_else(
        || "-".to_owned(),
        |mm| whole(&units.bare(set.shown_mm(units, mm))),
    )
}

/// The gap of the lever; a dash where there is none or its reach is not known.
pub(in crate::report) fn lever(pair: &Given, units: Units) -> String {
    let gaps = pair.fit.pair().lever_gaps(|gap| whole(&units.bare(gap)));
    gaps.unwrap_or_else(|| "-".to_owned())
}

/// The median months, with the fast and the slow child behind them.
pub(in crate::report) fn months_left(pair: &Given) -> String {
    months_of(&pair.fit, pair.months_left()).unwrap_or_else(|| "-".to_owned())
}

/// Titles of the checks that ask for caution, and of those of safety that could not be made.
fn cautions(pair: &Given) -> String {
    let titles: Vec<_> = pair.fit.cautions().map(|found| found.id.title()).collect();
    let cautions = (!titles.is_empty()).then(|| titles.join(", "));
    let said: Vec<_> = cautions.into_iter().chain(not_checked(&pair.fit)).collect();
    said.join("; ")
}

/// What to read of a pair before it is handed out, in parts of one sentence: see [`Fit::read_this`].
pub(in crate::report) fn to_read(fit: &Fit, units: Units) -> Vec<String> {
    let mut words: Vec<String> = fit.measure_first(units).into_iter().collect();
    words.extend(fit.to_read().map(|finding| match finding.status() {
        Status::Caution => format!("caution: {}", fit.advice(&finding, units)),
        _ => fit.told(&finding, units),
    }));
    words.extend(fit.no_pedals());
    words
}

/// What to set besides the saddle and what to read, in full; None where there is nothing.
pub(in crate::report) fn to_know(pair: &Given, units: Units) -> Option<String> {
    let findings = pair.fit.findings();
    let mut words: Vec<String> = findings
        .filter(|finding| finding.status() == Status::Set)
        .map(|finding| pair.fit.advice(&finding, units))
        .collect();
    words.extend(to_read(&pair.fit, units));
    words.extend(why_not_surer(pair));
    (!words.is_empty()).then(|| {
        format!(
            "{} on {}: {}",
            pair.child.title(),
            pair.fit.bike.id,
            words.join("; ")
        )
    })
}

/// Why a child has another bike than a rack for it alone begins with, in one sentence without an end.
pub(in crate::report) fn why_not_surer(pair: &Given) -> Option<String> {
    let surer = pair.surer.as_ref()?;
    Some(format!(
        "{} would be the surer size, but asks for more caution about safety",
        surer.id
    ))
}

/// What would help a child who gets none, without an end.
pub(crate) fn help(rest: &Without, units: Units) -> String {
    let rider = &rest.child.rider;
    let mut words = Vec::new();
    if !rest.taken.is_empty() {
        let ids = rest.taken.iter().map(|bike| bike.id.as_str()).collect();
        words.push(format!(
            "what fits is given to others ({}): one more like it would do",
            names(ids)
        ));
    }
    if let Some(open) = &rest.open {
        let asked = Asked::Child(Some(rest.child.title()));
        let first = find_out_first(&open.bike, &asked, open.undone.iter().copied());
        words.push(format!("{} may fit: {first}", open.bike.id));
    }
    if let Some((fit, stop)) = &rest.nearest {
        let distance = stop
            .distance(units)
            .map_or_else(String::new, |distance| format!(" ({distance})"));
        let verdict = fit.verdict.word().replace('-', " ");
        words.push(format!(
            "nearest here is {}, {verdict}: {}{distance}",
            fit.bike.id,
            stop.reason(fit, units)
        ));
        words.extend(to_try(fit, units));
    }
    if let Some(bike) = &rest.wanted {
        words.push(format!("of the samples, {} would fit", bike.id));
    } else if rest.taken.is_empty() {
        words.push(format!(
            "look for a bike for a height of {} and an inside leg of {}, {}",
            units.length(rider.height.mm()),
            units.length(rider.inseam.mm()),
            rider.stage
        ));
    }
    words.join("; ")
}

/// Names in a sentence, the many cut short.
fn names(mut ids: Vec<&str>) -> String {
    let all = ids.len();
    ids.truncate(MOST_NAMES);
    let listed = ids.join(", ");
    match all.checked_sub(MOST_NAMES + 1) {
        Some(more) => format!("{listed} and {} more", more + 1),
        None => listed,
    }
}

/// Bikes that are left, those alike in one line, with what to find out of one that could not be judged.
pub(crate) fn spare(assignment: &Assignment) -> Vec<String> {
    let alike = assignment
        .spare
        .chunk_by(|one, other| one.bike.id == other.bike.id);
    alike
        .filter_map(|spare| {
            let (id, open) = (&spare.first()?.bike.id, incomplete(spare.first()?));
            Some(match spare.len() {
                1 => format!("{id}{open}"),
                count => format!("{id}, {count} of them{open}"),
            })
        })
        .collect()
}

/// Stands behind a spare bike that could not be judged; empty behind any other.
fn incomplete(spare: &Spare) -> String {
    let word = Verdict::Incomplete.word();
    spare
        .not_judged()
        .map_or_else(String::new, |first| format!(", {word}: {first}"))
}

/// What deserves a second look on a child or a bike that is given, each once.
pub(crate) fn look_again(assignment: &Assignment, units: Units) -> Vec<String> {
    let mut lines = Vec::new();
    for pair in &assignment.pairs {
        let warnings = pair.child.rider.warnings().into_iter();
        let of_child = warnings.map(|warning| (pair.child.title(), warning.words(units)));
        let mismatches = pair.fit.bike.mismatches.iter();
        let of_bike = mismatches.map(|found| (pair.fit.bike.id.clone(), found.words(units)));
        for (whose, words) in of_child.chain(of_bike) {
            let line = format!("{whose}: {words}");
            if !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    lines
}

#[derive(Serialize, Default)]
struct Row<'a> {
    rider: &'a str,
    name: &'a str,
    bike: &'a str,
    verdict: &'static str,
    chance: Option<f64>,
    months_left_p10: Option<f64>,
    months_left_p50: Option<f64>,
    months_left_p90: Option<f64>,
    saddle_height_mm: Option<f64>,
    seat_height_mm: Option<f64>,
    exposed_post_mm: Option<f64>,
    cautions: String,
    not_checked: String,
    comment: String,
}

/// An empty list still has its header.
const HEADER: [&str; 14] = [
    "rider",
    "name",
    "bike",
    "verdict",
    "chance",
    "months_left_p10",
    "months_left_p50",
    "months_left_p90",
    "saddle_height_mm",
    "seat_height_mm",
    "exposed_post_mm",
    "cautions",
    "not_checked",
    "comment",
];

/// The list as CSV: a row a child, those without a bike last with an empty cell and what would help; then the spare
/// bikes without a child.
pub fn csv(assignment: &Assignment, units: Units) -> std::io::Result<Vec<u8>> {
    let mut writer = csv::WriterBuilder::new()
        .has_headers(false)
        .from_writer(Vec::new());
    writer.write_record(HEADER)?;
    let number = |value: Option<f64>| value.map(json::rounded);
    for pair in &assignment.pairs {
        let setting = pair.fit.pair().setting();
        let left = pair.months_left();
        let [cautions, not_checked] = to_read_cells(&pair.fit);
        writer.serialize(Row {
            rider: &words::cell(&pair.child.id),
            name: &words::cell(pair.child.rider.name.as_deref().unwrap_or_default()),
            bike: &words::cell(&pair.fit.bike.id),
            verdict: pair.fit.verdict.word(),
            chance: number(pair.fit.odds.map(|odds| odds.chance)),
            months_left_p10: left.p10,
            months_left_p50: left.p50,
            months_left_p90: left.p90,
            saddle_height_mm: number(pair.fit.pair().tabled_saddle_height_mm()),
            seat_height_mm: number(Some(setting.seat_height_mm)),
            exposed_post_mm: number(setting.exposed_post_mm),
            cautions,
            not_checked,
            comment: words::cell(CAUTIONS[0]).into_owned(),
        })?;
    }
    for rest in &assignment.without_bike {
        writer.serialize(Row {
            rider: &words::cell(&rest.child.id),
            name: &words::cell(rest.child.rider.name.as_deref().unwrap_or_default()),
            comment: words::cell(&help(rest, units)).into_owned(),
            ..Row::default()
        })?;
    }
    for spare in &assignment.spare {
        writer.serialize(Row {
            bike: &words::cell(&spare.bike.id),
            comment: words::cell(&format!("spare{}", incomplete(spare))).into_owned(),
            ..Row::default()
        })?;
    }
    writer.into_inner().map_err(csv::IntoInnerError::into_error)
}
