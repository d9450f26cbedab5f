//! `inseam rack`: the riders that every bike fits, as tables and a chart.

use std::path::PathBuf;

use crate::advice::rack::Rack;
use crate::cli::frames::FramesArgs;
use crate::cli::input::{self, TableFormat};
use crate::cli::{Error, Outcome, Streams, closed, output};
use crate::draw::rack_chart;
use crate::report::{json, rack, text};
use crate::rider::Stage;
use crate::units::Units;

/// The riders that every bike fits: heights, inseams, median ages, and a chart
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  inseam rack\n  inseam rack street-20 trail-20 --stage confident --format csv"
)]
pub(super) struct Args {
    #[command(flatten)]
    frames: FramesArgs,
    /// Riding stage of the detailed table: learning, steady or confident
    #[arg(long, value_name = "STAGE", default_value = "steady")]
    stage: Stage,
    /// text, json or csv
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    format: TableFormat,
    /// Length unit of words, tables and chart: mm, cm or in
    #[arg(long, value_name = "UNIT", default_value = "mm", value_parser = input::units)]
    units: Units,
    /// Folder for the chart
    #[arg(long, value_name = "DIR", default_value = "out")]
    out: PathBuf,
}

pub(super) fn run(args: &Args, streams: &mut Streams<'_>) -> Result<Outcome, Error> {
    let found = args.frames.read(streams)?;
    let nothing_good = found.bikes.is_empty() && !found.skipped.is_empty();
    let rack = Rack::new(&found.bikes, found.skipped, args.units);
    if !rack.bikes.is_empty() {
        let chart = rack_chart(&rack, args.units).map_err(|error| Error::Output {
            path: "rack chart".to_owned(),
            error: std::io::Error::other(error),
        })?;
        output::write_picture(&args.out, "rack", &chart, streams)?;
    }
    match args.format {
        TableFormat::Json => json::write(streams.out, &rack).map_err(closed)?,
        TableFormat::Csv => {
            let table = rack::csv(&rack).map_err(closed)?;
            streams.out.write_all(&table).map_err(closed)?;
        }
        TableFormat::Text => {
            let layout = text::Layout {
                columns: streams.columns,
                units: args.units,
            };
            let report = rack::text(&rack, args.stage, layout);
            streams.out.write_all(report.as_bytes()).map_err(closed)?;
        }
    }
    Ok(if nothing_good {
        Outcome::BadInput
    } else {
        Outcome::Fine
    })
}
