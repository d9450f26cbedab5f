//! `inseam fit`: one rider on one bike, as a report and a picture.

use std::path::PathBuf;

use crate::cli::delivery::Delivery;
use crate::cli::{Error, Outcome, input};
use crate::draw;
use crate::fit::assess;
use crate::report::text;

/// Fit one rider to one bike: verdict, settings, findings, side view
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  inseam fit trail-24 --inseam 66cm --height 138cm --arm-reach 53cm\n  inseam fit balance-12 --height 94cm --stage learning --units in"
)]
pub(super) struct Args {
    /// A frame file, - for standard input, or a sample bike such as trail-24
    #[arg(value_name = "FRAME")]
    frame: PathBuf,
    #[command(flatten)]
    rider: input::RiderArgs,
    /// End with code 3 when the verdict is not ready or set-up
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    show: input::ShowArgs,
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let options = args.show.figures.options();
    let rider = args.rider.rider(options.on)?;
    let bike = input::bike(&args.frame)?;
    let fit = assess(&rider, &bike, &options);
    let picture = draw::side_view(&bike, &fit, options.units);
    let outcome = Outcome::of(args.strict, fit.verdict.fits());
    let delivery = Delivery::of(outcome, &fit, text::fit, &args.show, columns)?;
    Ok(delivery
        .read_from(args.rider.file().chain([args.frame.as_path()]))
        .with_picture(&args.show.out, &bike.id, picture))
}
