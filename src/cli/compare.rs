//! `inseam compare`: two bikes for one rider, today and as the child grows, as a report and pictures.

use std::path::PathBuf;

use crate::advice::compare::{Comparison, compare};
use crate::advice::window::window;
use crate::bike::Bike;
use crate::cli::{Error, Outcome, Streams, input, output};
use crate::draw;
use crate::draw::{Picture, Track};
use crate::fit::Fit;
use crate::report::compare_text;
use crate::units::Units;

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
    let comparison = compare(&rider, &a, &b, &options);
    output::answer(&comparison, compare_text::compare, &args.show, streams)?;
    let name = format!("compare-{}-{}", a.id, b.id);
    let both = draw::two_bikes(&a, &comparison.a, &b, &comparison.b, options.units);
    output::write_picture(&args.show.out, &name, &both, streams)?;
    if let Some(chart) = growth_chart(&comparison, [&a, &b], options.units)? {
        output::write_picture(&args.show.out, &format!("{name}-growth"), &chart, streams)?;
    }
    let neither = !comparison.a.verdict.fits() && !comparison.b.verdict.fits();
    Ok(if args.strict && neither {
        Outcome::DoesNotFit
    } else {
        Outcome::Fine
    })
}

/// The growth chart; None without a forecast.
fn growth_chart(
    comparison: &Comparison,
    bikes: [&Bike; 2],
    units: Units,
) -> Result<Option<Picture>, Error> {
    let tracks = [
        track(&comparison.a, bikes[0]),
        track(&comparison.b, bikes[1]),
    ];
    let [Some(a), Some(b)] = tracks else {
        return Ok(None);
    };
    draw::growth_chart(&comparison.a.rider, &[a, b], units)
        .map(Some)
        .map_err(|error| Error::Output {
            path: "growth chart".to_owned(),
            error: std::io::Error::other(error),
        })
}

fn track<'a>(fit: &'a Fit, bike: &Bike) -> Option<Track<'a>> {
    let growth = fit.growth.as_ref()?;
    let window = window(bike, fit.rider.stage).ok();
    Some(Track {
        name: &fit.bike.name,
        growth,
        window_mm: window.map(|window| [window.low.inseam_mm(), window.high.inseam_mm()]),
    })
}
