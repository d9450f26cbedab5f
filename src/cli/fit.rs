//! `inseam fit`: one rider on one bike, as a report and a picture.

use std::path::PathBuf;

use crate::cli::delivery::Delivery;
use crate::cli::outcome::{Error, Outcome};
use crate::cli::{input, mistakes};
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
    #[arg(value_name = "FRAME", value_parser = mistakes::frame())]
    frame: PathBuf,
    #[command(flatten)]
    rider: input::RiderArgs,
    /// End with code 3 when the verdict is not fits
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    show: input::ShowArgs,
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let (options, units) = (args.show.figures.options(), args.show.figures.units);
    let rider = args.rider.rider(options.on)?;
    let bike = input::bike(&args.frame)?;
    let fit = assess(&rider, &bike, &options);
    let outcome = Outcome::of(args.strict, fit.verdict.fits());
    let picture = draw::SideView::new(&fit, units)
        .on(args.show.pictures.form())
        .picture();
    let object = || contract::fit(&fit, units);
    let report = |layout| text::fit(&fit, layout);
    let delivery = Delivery::new(outcome, args.show.answer(object, report, columns)?);
    Ok(delivery
        .read_from(args.rider.file().chain([args.frame.as_path()]))
        .with_picture(&args.show.pictures.out, &bike.id, picture.svg))
}
