//! `inseam rack`: the riders that every bike fits, as tables and a chart; with a folder of children, whom it leaves out.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::civil::Date;

use crate::advice::coverage::coverage;
use crate::advice::rack::{Rack, RackBike};
use crate::bike::{Bike, library};
use crate::cli::delivery::{Delivery, csv_error};
use crate::cli::frames::{Found, FramesArgs, progress};
use crate::cli::input::{self, TableFormat};
use crate::cli::mistakes;
use crate::cli::outcome::{Error, Outcome};
use crate::cli::riders::riders;
use crate::draw;
use crate::fit::Options;
use crate::report::terminal::Layout;
use crate::report::{contract, coverage_text, json, rack};
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
    /// Folder of rider files: which children no bike serves, which bikes serve nobody, what would help most
    #[arg(long, value_name = "DIR", help_heading = "Rider")]
    riders: Option<PathBuf>,
    /// Folder of frame files to choose the one more bike from, instead of the samples
    #[arg(long, value_name = "DIR", requires = "riders", help_heading = "Rider")]
    choose_from: Option<PathBuf>,
    /// The day to count ages and measurements from, instead of today
    #[arg(long, value_name = "YYYY-MM-DD", requires = "riders", value_parser = mistakes::date)]
    on: Option<Date>,
    #[command(flatten)]
    pictures: input::PictureArgs,
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    if let Some(folder) = &args.riders {
        return against(args, folder, columns);
    }
    let units = args.units;
    let listed = args.frames.list()?;
    let inputs: Vec<PathBuf> = listed.files().map(PathBuf::from).collect();
    let found = listed.each("measuring", RackBike::new);
    let outcome = found.outcome();
    let (rack, skipped) = (Rack { bikes: found.made }, found.skipped);
    let chart = (!rack.bikes.is_empty())
        .then(|| draw::rack_chart(&rack, units, args.pictures.form()))
        .transpose()
        .map_err(Error::drawing)?;
    let delivery = match args.format {
        TableFormat::Json => Delivery::stream(outcome, move |out| {
            json::write(out, &contract::rack(&rack, &skipped, units))
        }),
        TableFormat::Csv => Delivery::new(outcome, rack::csv(&rack).map_err(csv_error)?),
        TableFormat::Text => {
            let layout = Layout { columns, units };
            Delivery::new(outcome, rack::text(&rack, &skipped, args.stage, layout))
        }
    };
    let delivery = delivery
        .with_notes(found.notes)
        .read_from(inputs.iter().map(PathBuf::as_path));
    Ok(match chart {
        Some(chart) => delivery.with_picture(&args.pictures.out, "rack", chart.svg),
        None => delivery,
    })
}

/// The rack against the children of a folder.
fn against(args: &Args, folder: &Path, columns: usize) -> Result<Delivery, Error> {
    let options = Options {
        forecast: false,
        ..Options::new(args.on.unwrap_or_else(input::today))
    };
    let children = riders(folder, options.on)?.found;
    let mut bikes = args.frames.list()?.each("reading", |bike| bike);
    let mut market = match &args.choose_from {
        Some(folder) => FramesArgs::of_folder(folder)
            .list()?
            .each("reading", |bike| bike),
        None => Found::<Arc<Bike>>::of(library::samples().collect()),
    };
    let bar = progress(children.made.len() * bikes.made.len(), "judging");
    let a_row = bikes.made.len() as u64;
    let coverage = coverage(&children.made, &bikes.made, &market.made, options, || {
        bar.inc(a_row);
    });
    bar.finish_and_clear();
    let outcome = match [children.outcome(), bikes.outcome(), market.outcome()] {
        [Outcome::Fine, Outcome::Fine, Outcome::Fine] => Outcome::Fine,
        _ => Outcome::BadInput,
    };
    let (mut notes, mut skipped) = (children.notes, children.skipped);
    for found in [&mut bikes, &mut market] {
        notes.append(&mut found.notes);
        skipped.append(&mut found.skipped);
    }
    let delivery = match args.format {
        TableFormat::Json => Delivery::stream(outcome, move |out| {
            json::write(out, &contract::coverage(&coverage, &skipped))
        }),
        TableFormat::Csv => {
            Delivery::new(outcome, coverage_text::csv(&coverage).map_err(csv_error)?)
        }
        TableFormat::Text => {
            let units = args.units;
            let layout = Layout { columns, units };
            Delivery::new(outcome, coverage_text::text(&coverage, &skipped, layout))
        }
    };
    Ok(delivery.with_notes(notes))
}
