//! `inseam check`: reads frame and rider files and says everything that is wrong with them.

use std::path::PathBuf;

use crate::bike::library;
use crate::cli::{Error, Outcome, Streams, closed, input};
use crate::file::Document;
use crate::report::text::wrapped;
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

pub(super) fn run(args: &Args, streams: &mut Streams<'_>) -> Result<Outcome, Error> {
    let mut outcome = Outcome::Fine;
    for path in &args.files {
        match Document::open(path).and_then(|document| look_at(path, &document)) {
            Ok((kind, warnings)) => {
                writeln!(streams.out, "{}: {kind}, ok", path.display()).map_err(closed)?;
                let mut lines = String::new();
                for warning in warnings {
                    // Under the line that names the file.
                    let line = format!("- look again: {warning}");
                    wrapped(&mut lines, &line, streams.columns, "  ");
                }
                streams.out.write_all(lines.as_bytes()).map_err(closed)?;
            }
            Err(error) => {
                outcome = Outcome::BadInput;
                for problem in error.into_problems() {
                    writeln!(streams.out, "{}", problem.excerpt(true)).map_err(closed)?;
                }
            }
        }
    }
    Ok(outcome)
}

/// What the file is, and what deserves a second look.
fn look_at(
    path: &std::path::Path,
    document: &Document,
) -> Result<(&'static str, Vec<String>), crate::Error> {
    if document.has_key("frame") || !document.has_any_key(&["height", "inseam"]) {
        let bike = library::read(&input::id_of(path), document)?;
        let mismatches = bike.mismatches.iter().map(|found| found.words(Units::Mm));
        return Ok(("frame", mismatches.collect()));
    }
    let file: RiderFile = document.read()?;
    let rider = Rider::new(&file, input::today()).map_err(|error| document.place(error))?;
    let warnings = rider.warnings().into_iter().map(|warning| warning.words(Units::Mm));
    Ok(("rider", warnings.collect()))
}
