//! `inseam compare`: two bikes for one rider, today and as the child grows, as a report and pictures.

use std::path::PathBuf;

use crate::advice::compare::{Comparison, compare};
use crate::advice::window::window;
use crate::bike::Bike;
use crate::cli::delivery::Delivery;
use crate::cli::{Error, Outcome, input};
use crate::draw;
use crate::draw::growth_chart::{self, Track};
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

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let options = args.show.figures.options();
    let rider = args.rider.rider(options.on)?;
    let a = input::bike(&args.a)?;
    let b = input::bike(&args.b)?;
    let comparison = compare(&rider, &a, &b, &options);
    let fits = [&comparison.a, &comparison.b].map(|fit| fit.verdict.fits());
    let outcome = Outcome::of(args.strict, fits.contains(&true));
    let mut delivery = Delivery::of(
        outcome,
        &comparison,
        compare_text::compare,
        &args.show,
        columns,
    )?
    .read_from(
        args.rider
            .file()
            .chain([args.a.as_path(), args.b.as_path()]),
    );
    let name = file_name_of_two(&a.id, &b.id);
    let overlay = draw::overlay(&a, &comparison.a, &b, &comparison.b, options.units);
    delivery = delivery.with_picture(&args.show.out, &name, overlay);
    if let Some(chart) = growth_chart(&comparison, [&a, &b], options.units)? {
        delivery = delivery.with_picture(&args.show.out, &format!("{name}-growth"), chart);
    }
    Ok(delivery)
}

/// The name of the pictures of two bikes, each cut alone, so that what follows it is never cut off.
fn file_name_of_two(a: &str, b: &str) -> String {
    const LONGEST: usize = 60;
    let [a, b] = [a, b].map(|id| input::file_name(id, LONGEST));
    format!("compare-{a}-{b}")
}

/// The growth chart; None without a forecast.
fn growth_chart(
    comparison: &Comparison,
    bikes: [&Bike; 2],
    units: Units,
) -> Result<Option<String>, Error> {
    let tracks = [
        track("A", &comparison.a, bikes[0]),
        track("B", &comparison.b, bikes[1]),
    ];
    let [Some(a), Some(b)] = tracks else {
        return Ok(None);
    };
    growth_chart::svg(&comparison.a.rider, &[a, b], units)
        .map(Some)
        .map_err(|error| Error::Output {
            path: "growth chart".to_owned(),
            error: std::io::Error::other(error),
        })
}

fn track<'a>(letter: &'static str, fit: &'a Fit, bike: &Bike) -> Option<Track<'a>> {
    let growth = fit.growth.as_ref()?;
    let window = window(bike, fit.rider.stage).ok();
    Some(Track {
        letter,
        name: &fit.bike.name,
        growth,
        window_mm: window.map(|window| [window.low.inseam_mm(), window.high.inseam_mm()]),
    })
}
