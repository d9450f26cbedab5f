//! `inseam size`: every bike on the rack for one rider, best first.

use rayon::prelude::*;
use serde::ser::{Serialize, SerializeSeq as _, Serializer};

use crate::advice::size::{self, SCREENED_ABOVE, SizedBike};
use crate::cli::delivery::{Delivery, csv_error};
use crate::cli::frames::FramesArgs;
use crate::cli::input::{self, TableFormat};
use crate::cli::{Error, Outcome};
use crate::fit::{Assessor, Options, Verdict};
use crate::report::size_text;
use crate::rider::Rider;

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
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    format: TableFormat,
    #[command(flatten)]
    figures: input::FigureArgs,
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let rider = args.rider.rider(args.figures.options().on)?;
    let listed = args.frames.list()?;
    let is_large = listed.len() > SCREENED_ABOVE;
    let assessor = assessor(&rider, args.figures.options(), is_large);
    let is_json = args.format == TableFormat::Json;
    let found = listed.each("sizing", |bike| {
        let sized = size::judge(&assessor, bike);
        match (is_large, is_json) {
            (false, _) => sized,
            (true, false) => sized.trimmed(),
            (true, true) => sized.trimmed_with(bike),
        }
    });
    let files_are_good = found.skipped.is_empty();
    let mut outcome = found.outcome();
    let mut sizing = size::rank(assessor.rider_facts(), found.made, found.skipped);
    let any_fits = sizing.bikes.iter().any(|bike| bike.fit.verdict.fits());
    if args.strict && outcome == Outcome::Fine {
        outcome = match (files_are_good, any_fits) {
            (false, _) => Outcome::BadInput,
            (true, false) => Outcome::DoesNotFit,
            (true, true) => Outcome::Fine,
        };
    }
    if !args.only.is_empty() {
        let is_wanted = |verdict| args.only.contains(&verdict);
        sizing.bikes.retain(|bike| is_wanted(bike.fit.verdict));
    }
    sizing.bikes.truncate(args.limit.unwrap_or(usize::MAX));
    let delivery = match args.format {
        TableFormat::Json => {
            let options = args.figures.options();
            let whole = |bikes| Whole {
                bikes,
                rider,
                options,
                is_large,
            };
            Delivery::json_stream(outcome, sizing.with_bikes(whole))
        }
        TableFormat::Csv => Delivery::new(outcome, size_text::csv(&sizing).map_err(csv_error)?),
        TableFormat::Text => {
            let layout = args.figures.layout(columns);
            Delivery::new(outcome, size_text::size(&sizing, any_fits, layout))
        }
    };
    Ok(delivery.with_notes(found.notes))
}

/// One rider's assessor; a large rack is screened.
fn assessor(rider: &Rider, options: Options, is_large: bool) -> Assessor<'_> {
    let assessor = Assessor::new(rider, options);
    if is_large {
        assessor.screening()
    } else {
        assessor
    }
}

/// Bikes that are made whole while they are written, some at a time.
struct Whole {
    bikes: Vec<SizedBike>,
    rider: Rider,
    options: Options,
    is_large: bool,
}

impl Serialize for Whole {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        /// Enough to keep every core busy.
        const AT_ONCE: usize = 256;
        let assessor = assessor(&self.rider, self.options, self.is_large);
        let mut list = serializer.serialize_seq(Some(self.bikes.len()))?;
        for some in self.bikes.chunks(AT_ONCE) {
            let whole: Vec<SizedBike> = some.par_iter().map(|bike| bike.whole(&assessor)).collect();
            for bike in &whole {
                list.serialize_element(bike)?;
            }
        }
        list.end()
    }
}
