//! `inseam fit`: one rider on one bike, as a report and a picture.

use std::path::PathBuf;

use crate::cli::{Error, Outcome, Streams, input, output};
use crate::draw;
use crate::fit::assess;
use crate::report::{contract, text};

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

pub(super) fn run(args: &Args, streams: &mut Streams<'_>) -> Result<Outcome, Error> {
    let options = args.show.figures.options();
    let rider = args.rider.rider(options.on)?;
    let bike = input::bike(&args.frame)?;
    let fit = assess(&rider, &bike, &options);
    let units = args.show.figures.units;
    output::answer(
        &fit,
        |fit| contract::fit(fit, units),
        text::fit,
        &args.show,
        streams,
    )?;
    let picture = draw::side_view(&fit, units);
    output::write_picture(&args.show.out, &bike.id, &picture, streams)?;
    Ok(if args.strict && !fit.verdict.fits() {
        Outcome::DoesNotFit
    } else {
        Outcome::Fine
    })
}
