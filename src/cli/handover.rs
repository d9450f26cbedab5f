//! `inseam handover`: the work list for one bike and one rider, and the card that goes with the bike.

use std::path::PathBuf;

use crate::advice::handover::handover;
use crate::cli::delivery::Delivery;
use crate::cli::input;
use crate::cli::outcome::{Error, Outcome};
use crate::cli::paths::shown;
use crate::draw;
use crate::report::card::{Extras, Paper, card};
use crate::report::{contract, handover_text};

/// Hand one bike over: saddle, levers, tyres, bolts, and what the child shows before riding off
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  inseam handover trail-24 --rider rider.yaml --card card.html")]
pub(super) struct Args {
    /// A frame file, - for standard input, or a sample bike such as trail-24
    #[arg(value_name = "FRAME")]
    frame: PathBuf,
    #[command(flatten)]
    rider: input::RiderArgs,
    /// Write the card, one printed page as HTML
    #[arg(long, value_name = "FILE")]
    card: Option<PathBuf>,
    /// Name of the shop, on the card
    #[arg(long, value_name = "TEXT", requires = "card")]
    shop: Option<String>,
    /// Name of the technician, on the card
    #[arg(long, value_name = "TEXT", requires = "card")]
    technician: Option<String>,
    /// Paper of the card
    #[arg(long, value_name = "PAPER", default_value = "a4", value_parser = input::word::<Paper>())]
    paper: Paper,
    /// End with code 3 when the verdict is not fits
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    show: input::ShowArgs,
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let options = args.show.figures.options();
    let rider = args.rider.rider(options.on)?;
    let bike = input::bike(&args.frame)?;
    let units = args.show.figures.units;
    let handover = handover(&rider, &bike, &options);
    let outcome = Outcome::of(args.strict, handover.fit.verdict.fits());
    let object = || contract::handover(&handover, units);
    let report = |layout| handover_text::handover(&handover, layout);
    let mut delivery = Delivery::new(outcome, args.show.answer(object, report, columns)?)
        .read_from(args.rider.file().chain([args.frame.as_path()]));
    if let Some(path) = &args.card {
        let extras = Extras {
            shop: args.shop.clone(),
            technician: args.technician.clone(),
            picture: Some(draw::card_view(&handover.fit, units).svg),
            paper: args.paper,
            units,
        };
        let html = card(&handover, &extras).map_err(|error| Error::Output {
            path: shown(path),
            error: std::io::Error::other(error),
        })?;
        delivery = delivery.with_file("card", path.clone(), html);
    }
    let set_up = draw::set_up_view(&handover.fit, units);
    let name = format!("{}-handover", bike.id);
    Ok(delivery.with_picture(&args.show.out, &name, set_up.svg))
}
