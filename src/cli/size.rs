//! `inseam size`: every bike on the rack for one rider, best first.

use crate::advice::size::{self, SCREENED_ABOVE};
use crate::cli::frames::{self, FramesArgs};
use crate::cli::input::{self, TableFormat};
use crate::cli::{Error, Outcome, Streams, closed};
use crate::fit::{Assessor, Verdict};
use crate::report::{json, size_text};

/// Size one rider: every bike on the rack, best first, and what the near misses lack
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  inseam size --height 128cm --inseam 60cm --age 8y --sex girl --only ready,set-up\n  inseam size --height 128cm --inseam 60cm --age 8y --sex girl --frames frames --format csv"
)]
pub(super) struct Args {
    #[command(flatten)]
    frames: FramesArgs,
    #[command(flatten)]
    rider: input::RiderArgs,
    /// Only these verdicts: ready, set-up, too-big, too-small, unsuitable
    #[arg(long, value_name = "VERDICTS", value_delimiter = ',')]
    only: Vec<Verdict>,
    /// At most this many bikes
    #[arg(long, value_name = "COUNT")]
    limit: Option<usize>,
    /// End with code 1 when a file cannot be read, with 3 when no bike fits
    #[arg(long)]
    strict: bool,
    /// text, json or csv
    #[arg(long, value_name = "FORMAT", default_value = "text", value_parser = input::word::<TableFormat>())]
    format: TableFormat,
    #[command(flatten)]
    figures: input::FigureArgs,
}

pub(super) fn run(args: &Args, streams: &mut Streams<'_>) -> Result<Outcome, Error> {
    let rider = args.rider.rider(args.figures.options().on)?;
    let found = args.frames.read(streams)?;
    let mut assessor = Assessor::new(&rider, args.figures.options());
    if found.bikes.len() > SCREENED_ABOVE {
        assessor = assessor.screening();
    }
    let judged = frames::each(&found.bikes, "sizing", |bike| size::judge(&assessor, bike));
    let files_are_good = found.skipped.is_empty();
    let mut sizing = size::rank(assessor.rider_facts(), judged, found.skipped);
    let any_fits = sizing.bikes.iter().any(|bike| bike.fit.verdict.fits());
    if !args.only.is_empty() {
        let is_wanted = |verdict| args.only.contains(&verdict);
        sizing.bikes.retain(|bike| is_wanted(bike.fit.verdict));
    }
    sizing.bikes.truncate(args.limit.unwrap_or(usize::MAX));
    match args.format {
        TableFormat::Json => json::write(streams.out, &sizing).map_err(closed)?,
        TableFormat::Csv => {
            let table = size_text::csv(&sizing).map_err(closed)?;
            streams.out.write_all(&table).map_err(closed)?;
        }
        TableFormat::Text => {
            let report = size_text::size(&sizing, any_fits, args.figures.layout(streams.columns));
            streams.out.write_all(report.as_bytes()).map_err(closed)?;
        }
    }
    Ok(match (args.strict, files_are_good, any_fits) {
        (true, false, _) => Outcome::BadInput,
        (true, true, false) => Outcome::DoesNotFit,
        _ => Outcome::Fine,
    })
}
