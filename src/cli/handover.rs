//! `inseam handover`: the work list for one bike and one rider, and the card that goes with the bike.

use std::path::PathBuf;

use crate::advice::handover::handover;
use crate::cli::{Error, Outcome, Streams, input, output};
use crate::draw;
use crate::report::card::{Extras, Paper, card};
use crate::report::handover_text;

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
    #[arg(long, value_name = "PAPER", default_value = "a4")]
    paper: Paper,
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
    let handover = handover(&rider, &bike, &options);
    if let Some(path) = &args.card {
        let extras = Extras {
            shop: args.shop.clone(),
            technician: args.technician.clone(),
            picture: Some(draw::card_view(&bike, &handover.fit, options.units).svg),
            paper: args.paper,
        };
        let html = card(&handover, &extras).map_err(|error| Error::Output {
            path: path.display().to_string(),
            error: std::io::Error::other(error),
        })?;
        output::write_file(path, &html)?;
        output::tell(streams, &format!("card: {}", path.display()));
    }
    output::answer(&handover, handover_text::handover, &args.show, streams)?;
    let set_up =
        draw::SideView::new(&bike, &handover.fit, options.units).showing(draw::Show::SetUp);
    let name = format!("{}-handover", bike.id);
    output::write_picture(&args.show.out, &name, &set_up.picture(), streams)?;
    Ok(if args.strict && !handover.fit.verdict.fits() {
        Outcome::DoesNotFit
    } else {
        Outcome::Fine
    })
}
