//! `inseam import`: a maker's chart turned into frame files, one a bike, whole or not at all.

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
    let bikes = chart::read(&text, args.style, args.tyres)
        .map_err(|why| Problem::of_file(&name, why.to_string()))?;
    let mut report = String::new();
    let mut files = Vec::new();
    let mut taken = BTreeSet::new();
    for bike in bikes {
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
        let open = Open::of(&Arc::new(library::read(&id, &document)?));
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
        if let Some(next) = open.next {
            line(&format!("- still needed: the {}", next_in_words(next)));
        }
        files.push((path, bike.text));
    }
    let delivery = Delivery::new(Outcome::Fine, report).read_from([args.chart.as_path()]);
    Ok(files.into_iter().fold(delivery, |delivery, (path, text)| {
        delivery.with_file("frame file", path, text)
    }))
}
