//! `inseam size`: every bike on the rack for one rider, best first.

use crate::advice::size::size;
use crate::cli::delivery::{Delivery, csv_error};
use crate::cli::frames::{FramesArgs, progress};
use crate::cli::input::{self, TableFormat};
use crate::cli::outcome::{Error, Outcome};
use crate::fit::Verdict;
use crate::report::size_text::View;
use crate::report::{contract, json, size_text};

/// Size one rider: every bike on the rack, best first, and why the others do not fit
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  inseam size --height 128cm --inseam 60cm --age 8y --sex girl --only fits\n  inseam size --height 128cm --inseam 60cm --age 8y --sex girl --frames frames --format csv"
)]
pub(super) struct Args {
    #[command(flatten)]
    frames: FramesArgs,
    #[command(flatten)]
    rider: input::RiderArgs,
    /// Only these verdicts: fits, undecided, incomplete, too-big, too-small, unsuitable
    #[arg(long, value_name = "VERDICTS", value_delimiter = ',')]
    only: Vec<Verdict>,
    /// At most this many bikes
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    limit: Option<u32>,
    /// List hopeless bikes one by one
    #[arg(long)]
    all: bool,
    /// End with code 1 when a file cannot be read, with 3 when no bike fits
    #[arg(long)]
    strict: bool,
    /// text, json or csv
    #[arg(long, value_name = "FORMAT", default_value = "text", value_parser = input::word::<TableFormat>())]
    format: TableFormat,
    #[command(flatten)]
    figures: input::FigureArgs,
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let (options, units) = (args.figures.options(), args.figures.units);
    let rider = args.rider.rider(options.on)?;
    let found = args.frames.list()?.each("reading", |bike| bike);
    let mut outcome = found.outcome();
    let bar = progress(found.made.len(), "sizing");
    let mut sizing = size(&rider, &found.made, options, || bar.inc(1));
    bar.finish_and_clear();
    let skipped = found.skipped;
    if args.strict && outcome == Outcome::Fine {
        outcome = match (skipped.is_empty(), sizing.any_fits) {
            (false, _) => Outcome::BadInput,
            (true, false) => Outcome::DoesNotFit,
            (true, true) => Outcome::Fine,
        };
    }
    let limit = args.limit.and_then(|limit| usize::try_from(limit).ok());
    sizing.keep(&args.only, limit);
    let delivery = match args.format {
        TableFormat::Json => Delivery::stream(outcome, move |out| {
            json::write(out, &contract::sizing(&sizing, &skipped, units))
        }),
        TableFormat::Csv => Delivery::new(outcome, size_text::csv(&sizing).map_err(csv_error)?),
        TableFormat::Text => {
            let view = View {
                layout: args.figures.layout(columns),
                all: args.all,
            };
            Delivery::new(outcome, size_text::size(&sizing, &skipped, view))
        }
    };
    Ok(delivery.with_notes(found.notes))
}
