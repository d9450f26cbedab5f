//! `inseam rack`: the riders that every bike fits, as tables and a chart.

use std::path::PathBuf;

use crate::advice::rack::{Rack, RackBike};
use crate::cli::delivery::{Delivery, csv_error};
use crate::cli::frames::FramesArgs;
use crate::cli::input::{self, TableFormat};
use crate::cli::outcome::Error;
use crate::draw;
use crate::report::{contract, json, rack};
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
    #[arg(long, value_name = "FORMAT", default_value = "text", value_parser = input::word::<TableFormat>())]
    format: TableFormat,
    /// Length unit of words, tables and chart: mm, cm or in
    #[arg(long, value_name = "UNIT", default_value = "mm")]
    units: Units,
    /// Folder for the chart
    #[arg(long, value_name = "DIR", default_value = "out")]
    out: PathBuf,
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let units = args.units;
    let listed = args.frames.list()?;
    let inputs: Vec<PathBuf> = listed.files().map(PathBuf::from).collect();
    let found = listed.each("measuring", RackBike::new);
    let outcome = found.outcome();
    let (rack, skipped) = (Rack { bikes: found.made }, found.skipped);
    let chart = (!rack.bikes.is_empty())
        .then(|| draw::rack_chart(&rack, units))
        .transpose()
        .map_err(Error::drawing)?;
    let delivery = match args.format {
        TableFormat::Json => Delivery::stream(outcome, move |out| {
            json::write(out, &contract::rack(&rack, &skipped, units))
        }),
        TableFormat::Csv => Delivery::new(outcome, rack::csv(&rack).map_err(csv_error)?),
        TableFormat::Text => {
            let layout = crate::report::terminal::Layout { columns, units };
            Delivery::new(outcome, rack::text(&rack, args.stage, layout))
        }
    };
    let delivery = delivery
        .with_notes(found.notes)
        .read_from(inputs.iter().map(PathBuf::as_path));
    Ok(match chart {
        Some(chart) => delivery.with_picture(&args.out, "rack", chart.svg),
        None => delivery,
    })
}
