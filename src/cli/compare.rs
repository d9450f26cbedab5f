//! `inseam compare`: two bikes for one rider, today and as the child grows, as a report and pictures.

use std::path::PathBuf;

use crate::advice::compare::compare;
use crate::cli::{Error, Outcome, Streams, input, output};
use crate::draw;
use crate::draw::growth_chart;
use crate::report::{compare_text, contract};

/// Compare two bikes for one rider: fit today and in a year, when each is outgrown, what differs
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  inseam compare street-20 street-24 --height 128cm --inseam 60cm --age 8y --sex girl"
)]
pub(super) struct Args {
    /// First bike: a frame file, - for standard input, or a sample bike such as street-20
    #[arg(value_name = "FRAME")]
    a: PathBuf,
    /// Second bike
    #[arg(value_name = "FRAME")]
    b: PathBuf,
    #[command(flatten)]
    rider: input::RiderArgs,
    /// End with code 3 when neither verdict is ready or set-up
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    show: input::ShowArgs,
}

pub(super) fn run(args: &Args, streams: &mut Streams<'_>) -> Result<Outcome, Error> {
    let options = args.show.figures.options();
    let rider = args.rider.rider(options.on)?;
    let a = input::bike(&args.a)?;
    let b = input::bike(&args.b)?;
    let units = args.show.figures.units;
    let comparison = compare(&rider, [&a, &b], options);
    output::answer(
        &comparison,
        |comparison| contract::comparison(comparison, units),
        compare_text::compare,
        &args.show,
        streams,
    )?;
    let name = format!("compare-{}-{}", a.id, b.id);
    let overlay = draw::overlay(&comparison, units);
    output::write_picture(&args.show.out, &name, &overlay, streams)?;
    let chart = growth_chart::of_two(&comparison, units).map_err(|error| Error::Output {
        path: "growth chart".to_owned(),
        error: std::io::Error::other(error),
    })?;
    if let Some(chart) = chart {
        output::write_picture(&args.show.out, &format!("{name}-growth"), &chart, streams)?;
    }
    let fits = comparison.fits.iter().any(|fit| fit.verdict.fits());
    Ok(if args.strict && !fits {
        Outcome::DoesNotFit
    } else {
        Outcome::Fine
    })
}
