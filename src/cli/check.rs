//! `inseam check`: reads frame, rider and record files and says everything that is wrong with them.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::advice::handover::as_set;
use crate::advice::open::Open;
use crate::bike::library;
use crate::cli::delivery::Delivery;
use crate::cli::kind::Kind;
use crate::cli::outcome::{Outcome, excerpt};
use crate::cli::paths::shown;
use crate::cli::{input, paths};
use crate::file::Document;
use crate::record::Record;
use crate::report::check_text;
use crate::report::terminal::{Layout, push_line, wrapped};
use crate::rider::{Rider, RiderFile};
use crate::units::Units;

/// Check frame, rider and record files: every problem with its line, what is assumed, and which figure to take next
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  inseam check frames/*.yaml")]
pub(super) struct Args {
    /// Frame, rider and record files
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
}

pub(super) fn run(args: &Args, columns: usize) -> Delivery {
    let mut outcome = Outcome::Fine;
    let mut report = String::new();
    for path in &args.files {
        match input::open(path).and_then(|document| look_at(path, &document, columns)) {
            Ok(looked) => {
                let state = if looked.is_ok { "ok" } else { "look again" };
                let kind = looked.kind;
                push_line(&mut report, &format!("{}: {kind}, {state}", shown(path)));
                report.push_str(&looked.lines);
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

/// What a file that can be read is.
struct Looked {
    kind: &'static str,
    /// Whether no figure of it has to be looked at again.
    is_ok: bool,
    lines: String,
}

fn look_at(path: &Path, document: &Document, columns: usize) -> Result<Looked, crate::Error> {
    let units = Units::Mm;
    let kind = Kind::of(document).unwrap_or(Kind::Frame);
    if kind == Kind::Record {
        let record = Record::read(document)?;
        let mut doubts = record.doubts(input::today(), units);
        // Of a shop's own frames nothing is known here.
        if let Some(bike) = library::sample(&record.bike) {
            doubts.extend(as_set::doubts(&record, &bike, units));
        }
        let mut lines = String::new();
        for doubt in &doubts {
            let line = format!("- look again: {doubt}");
            wrapped(&mut lines, &line, columns, "  ");
        }
        return Ok(Looked {
            kind: "record",
            is_ok: doubts.is_empty(),
            lines,
        });
    }
    if kind == Kind::Frame {
        let bike = Arc::new(library::read(&paths::id_of(path), document)?);
        let open = Open::of(&bike);
        return Ok(Looked {
            kind: "frame",
            is_ok: !open.has_doubtful_figures(),
            lines: check_text::frame(&open, Layout { columns, units }),
        });
    }
    let file: RiderFile = document.read()?;
    let rider = Rider::new(&file, input::today()).map_err(|error| document.place(error))?;
    let mut lines = String::new();
    let warnings = rider.warnings();
    let warnings = warnings.iter().map(|warning| warning.words(units));
    let doubts: Vec<_> = warnings.chain(rider.odd_height(units)).collect();
    for doubt in &doubts {
        let line = format!("- look again: {doubt}");
        wrapped(&mut lines, &line, columns, "  ");
    }
    Ok(Looked {
        kind: "rider",
        is_ok: doubts.is_empty(),
        lines,
    })
}
