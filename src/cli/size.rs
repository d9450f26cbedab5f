//! `inseam size`: every bike on the rack for one rider, best first.

use crate::advice::size::size;
use crate::cli::frames::{self, FramesArgs};
use crate::cli::input::{self, TableFormat};
use crate::cli::{Error, Outcome, Streams, closed};
use crate::fit::Verdict;
use crate::report::{contract, json, size_text};

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
    let options = args.figures.options();
    let rider = args.rider.rider(options.on)?;
    let found = args.frames.read(streams)?;
    let bar = frames::progress(found.bikes.len(), "sizing");
    let mut sizing = size(&rider, &found.bikes, options, || bar.inc(1));
    bar.finish_and_clear();
    sizing.keep(&args.only, args.limit);
    match args.format {
        TableFormat::Json => {
            let object = contract::sizing(&sizing, &found.skipped, args.figures.units);
            json::write(streams.out, &object).map_err(closed)?;
        },
        TableFormat::Csv => {
            let table = size_text::csv(&sizing).map_err(closed)?;
            streams.out.write_all(&table).map_err(closed)?;
        }
        TableFormat::Text => {
            let report = size_text::size(
                &sizing,
                &found.skipped,
                args.figures.layout(streams.columns),
            );
            streams.out.write_all(report.as_bytes()).map_err(closed)?;
        }
    }
    Ok(match (args.strict, found.skipped.is_empty(), sizing.any_fits) {
        (true, false, _) => Outcome::BadInput,
        (true, true, false) => Outcome::DoesNotFit,
        _ => Outcome::Fine,
    })
}
