//! `inseam check`: reads frame and rider files and says everything that is wrong with them.

use std::path::{Path, PathBuf};

use crate::bike::library;
use crate::cli::delivery::Delivery;
use crate::cli::outcome::{Outcome, excerpt};
use crate::cli::paths::shown;
use crate::cli::{input, paths};
use crate::file::Document;
use crate::report::terminal::{push_line, wrapped};
use crate::rider::{Rider, RiderFile};
use crate::units::Units;

/// Check frame and rider files: every problem, with file, line and column
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  inseam check frames/*.yaml")]
pub(super) struct Args {
    /// Frame and rider files
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
}

pub(super) fn run(args: &Args, columns: usize) -> Delivery {
    let mut outcome = Outcome::Fine;
    let mut report = String::new();
    for path in &args.files {
        match input::open(path).and_then(|document| look_at(path, &document)) {
            Ok((kind, warnings)) => {
                push_line(&mut report, &format!("{}: {kind}, ok", shown(path)));
                for warning in warnings {
                    // Under the line that names the file.
                    let line = format!("- look again: {warning}");
                    wrapped(&mut report, &line, columns, "  ");
                }
            }
            Err(error) => {
                outcome = Outcome::BadInput;
                for problem in error.into_problems() {
                    push_line(&mut report, &excerpt(&problem));
                }
            }
        }
    }
    Delivery::new(outcome, report)
}

/// What the file is, and what deserves a second look.
fn look_at(path: &Path, document: &Document) -> Result<(&'static str, Vec<String>), crate::Error> {
    if document.has_key("frame") || !document.has_any_key(&["height", "inseam"]) {
        let bike = library::read(&paths::id_of(path), document)?;
        let mismatches = bike.mismatches.iter().map(|found| found.words(Units::Mm));
        return Ok(("frame", mismatches.collect()));
    }
    let file: RiderFile = document.read()?;
    let rider = Rider::new(&file, input::today()).map_err(|error| document.place(error))?;
    let warnings = rider.warnings().into_iter();
    Ok((
        "rider",
        warnings.map(|warning| warning.words(Units::Mm)).collect(),
    ))
}
