//! `inseam compare`: two bikes for one rider, today and as the child grows, as a report and pictures.

use std::path::PathBuf;

use crate::advice::compare::compare;
use crate::cli::delivery::Delivery;
use crate::cli::outcome::{Error, Outcome};
use crate::cli::{input, mistakes, paths};
use crate::draw;
use crate::report::{compare_text, contract};

/// Compare two bikes for one rider: fit today and in a year, when each is outgrown, what differs
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  inseam compare street-20 street-24 --height 128cm --inseam 60cm --age 8y --sex girl"
)]
pub(super) struct Args {
    /// First bike: a frame file, - for standard input, or a sample bike such as street-20
    #[arg(value_name = "FRAME", value_parser = mistakes::frame())]
    first: PathBuf,
    /// Second bike
    #[arg(value_name = "FRAME", value_parser = mistakes::frame())]
    second: PathBuf,
    #[command(flatten)]
    rider: input::RiderArgs,
    /// End with code 3 when neither bike fits
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    show: input::ShowArgs,
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let (options, units) = (args.show.figures.options(), args.show.figures.units);
    let rider = args.rider.rider(options.on)?;
    let (first, second) = (input::bike(&args.first)?, input::bike(&args.second)?);
    let comparison = compare(&rider, [&first, &second], options);
    let any_fits = comparison.fits.iter().any(|fit| fit.verdict.fits());
    let outcome = Outcome::of(args.strict, any_fits);
    let object = || contract::comparison(&comparison, units);
    let report = |layout| compare_text::compare(&comparison, layout);
    let name = file_name_of_two(&first.id, &second.id);
    let inputs = [args.first.as_path(), args.second.as_path()];
    let delivery = Delivery::new(outcome, args.show.answer(object, report, columns)?)
        .read_from(args.rider.file().chain(inputs))
        .with_picture(
            &args.show.pictures.out,
            &name,
            draw::two_bikes(&comparison, units, args.show.pictures.form()).svg,
        );
    let chart = draw::growth_chart(&comparison, units, args.show.pictures.form())
        .map_err(Error::drawing)?;
    let (folder, name) = (&args.show.pictures.out, format!("{name}-growth"));
    Ok(match chart {
        Some(chart) => delivery.with_picture(folder, &name, chart.svg),
        None => delivery.without_picture(folder, &name),
    })
}

/// The name of the pictures of two bikes, each cut alone, so that what follows it is never cut off.
fn file_name_of_two(first: &str, second: &str) -> String {
    const LONGEST: usize = 60;
    let [first, second] = [first, second].map(|id| paths::file_name(id, LONGEST));
    format!("compare-{first}-{second}")
}
