//! `inseam rack`: the riders that every bike fits, as tables and a chart.

use std::path::PathBuf;

use crate::advice::rack::{Rack, RackBike};
use crate::cli::Error;
use crate::cli::delivery::{Delivery, csv_error};
use crate::cli::frames::FramesArgs;
use crate::cli::input::{self, TableFormat};
use crate::draw::RackChart;
use crate::report::{rack, text};
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

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let listed = args.frames.list()?;
    let inputs: Vec<PathBuf> = listed.files().map(PathBuf::from).collect();
    let found = listed.each("measuring", |bike| RackBike::new(bike, args.units));
    let outcome = found.outcome();
    let rack = Rack::of(found.made, found.skipped);
    let picture = if rack.bikes.is_empty() {
        None
    } else {
        let chart = RackChart::new(&rack, args.units);
        let svg = chart.svg().map_err(|error| Error::Output {
            path: "rack chart".to_owned(),
            error: std::io::Error::other(error),
        })?;
        Some(svg)
    };
    let delivery = match args.format {
        TableFormat::Json => Delivery::json_stream(outcome, rack),
        TableFormat::Csv => Delivery::new(outcome, rack::csv(&rack).map_err(csv_error)?),
        TableFormat::Text => {
            let layout = text::Layout {
                columns,
                units: args.units,
            };
            Delivery::new(outcome, rack::text(&rack, args.stage, layout))
        }
    };
    let delivery = delivery
        .with_notes(found.notes)
        .read_from(inputs.iter().map(PathBuf::as_path));
    Ok(match picture {
        Some(svg) => delivery.with_picture(&args.out, "rack", svg),
        None => delivery,
    })
}
