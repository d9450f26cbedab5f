//! `inseam import`: a maker's chart turned into frame files, one a bike, each whole or not at all; a row that is no
//! bike is told by its place.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use crate::advice::open::Open;
use crate::bike::{Style, TyreSize, chart, library};
use crate::cli::delivery::Delivery;
use crate::cli::outcome::{Error, Outcome};
use crate::cli::paths::{LONGEST_NAME, file_name, must_be_new, read_text, shown};
use crate::file::{Document, Problem};
use crate::report::assumed::next_in_words;
use crate::report::terminal::wrapped;

/// Turn a maker's chart (CSV) into frame files, and say what each bike still needs
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  inseam import chart.csv --style street --tyres 40-507 --out frames"
)]
pub(super) struct Args {
    /// The chart: one bike a row or one a column; comma, semicolon or tab between
    #[arg(value_name = "CHART")]
    chart: PathBuf,
    /// What the bikes are built for: balance, street or trail
    #[arg(long, value_name = "STYLE")]
    style: Style,
    /// Tyres of every bike whose row names none, such as 54-507 or 24x1.95
    #[arg(long, value_name = "TYRE")]
    tyres: Option<TyreSize>,
    /// Folder for the frame files
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Replace files that are there
    #[arg(long)]
    force: bool,
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let name = shown(&args.chart);
    let text = read_text(&args.chart)?;
    let chart = chart::read(&text, args.style, args.tyres)
        .map_err(|why| Problem::of_file(&name, why.to_string()))?;
    let mut report = String::new();
    let mut files = Vec::new();
    let mut taken = BTreeSet::new();
    let mut skipped = chart.skipped;
    for bike in chart.bikes {
        if bike.understood.is_empty() {
            let mut why = vec!["no figure of it is understood".to_owned()];
            why.extend(bike.left_out);
            skipped.push(format!(
                "{}, {}: {}",
                bike.place,
                bike.name,
                why.join("; left out: ")
            ));
            continue;
        }
        let base = file_name(&bike.name, LONGEST_NAME).to_lowercase();
        // Two sizes of one name keep apart.
        let mut id = base.clone();
        let mut count = 1;
        while !taken.insert(id.clone()) {
            count += 1;
            id = format!("{base}-{count}");
        }
        let path = args.out.join(format!("{id}.yaml"));
        if !args.force {
            must_be_new(&path)?;
        }
        let document = Document::from_text(shown(&path), bike.text.clone());
        let read = match library::read(&id, &document) {
            Ok(read) => read,
            Err(error) => {
                taken.remove(&id);
                let problems = Error::from(error);
                skipped.push(format!(
                    "{}, {}: {}",
                    bike.place,
                    bike.name,
                    in_one_line(problems)
                ));
                continue;
            }
        };
        let open = Open::of(&Arc::new(read));
        let mut line = |text: &str| wrapped(&mut report, text, columns, "  ");
        line(&format!("{}: {}", shown(&path), bike.name));
        line(&format!("- understood: {}", bike.understood.join(", ")));
        for left in &bike.left_out {
            line(&format!("- left out: {left}"));
        }
        for found in &open.bike.mismatches {
            line(&format!(
                "- look again: {}",
                found.words(crate::units::Units::Mm)
            ));
        }
        if let Some(first) = open.judged.first() {
            line(&format!("- {first}"));
        }
        let is_first = |next: &&str| open.judged.undone.iter().any(|(_, key)| key == next);
        if let Some(next) = open.next.filter(|next| !is_first(next)) {
            line(&format!("- still needed: the {}", next_in_words(next)));
        }
        files.push((path, bike.text));
    }
    let known = format!("Names known here: {}.", chart::known_names().join(", "));
    if files.is_empty() {
        let mut why = skipped.join("; ");
        if !chart.unknown.is_empty() {
            why = format!("{why}. {known}");
        }
        return Err(Problem::of_file(&name, why).into());
    }
    for remark in &chart.remarks {
        let text = format!("Left out as a title or a remark, {remark}");
        wrapped(&mut report, &text, columns, "  ");
    }
    if !chart.unknown.is_empty() {
        wrapped(&mut report, "Left out of every bike", columns, "  ");
        for title in &chart.unknown {
            wrapped(&mut report, &format!("- {title}"), columns, "  ");
        }
        wrapped(&mut report, &known, columns, "  ");
    }
    let outcome = if skipped.is_empty() {
        Outcome::Fine
    } else {
        wrapped(&mut report, "Not written", columns, "  ");
        for row in &skipped {
            wrapped(&mut report, &format!("- {row}"), columns, "  ");
        }
        Outcome::BadInput
    };
    let delivery = Delivery::new(outcome, report).read_from([args.chart.as_path()]);
    Ok(files.into_iter().fold(delivery, |delivery, (path, text)| {
        delivery.with_file("frame file", path, text)
    }))
}

/// What is wrong with a bike's own file, without the name of a file that is not there.
fn in_one_line(error: Error) -> String {
    match error {
        Error::Input(problems) => {
            let told = problems.into_iter().map(|problem| {
                if problem.key.is_empty() {
                    problem.message
                } else {
                    format!("{}: {}", problem.key, problem.message)
                }
            });
            told.collect::<Vec<_>>().join("; ")
        }
        Error::Output { .. } => error.to_string(),
    }
}
