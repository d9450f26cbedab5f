//! `inseam new`: a frame file to fill in with a tape, and the sheet that shows where to hold it.

use std::path::PathBuf;

use crate::bike::{Style, TyreSize};
use crate::cli::delivery::Delivery;
use crate::cli::outcome::{Error, Outcome};
use crate::cli::paths::{must_be_new, shown};
use crate::draw;
use crate::file::Problem;
use crate::report::new_frame::new_frame;

/// Write a frame file to fill in, the few figures first that decide, and a sheet that shows where to measure
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  inseam new my-bike.yaml --style trail --wheel 24\n  inseam check my-bike.yaml"
)]
pub(super) struct Args {
    /// The file to write
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// What the bike is built for: balance, street or trail
    #[arg(long, value_name = "STYLE")]
    style: Style,
    /// The wheel's name in inches: 12, 14, 16, 18, 20, 24, 26, 27.5 or 29
    #[arg(long, value_name = "INCHES", value_parser = wheel)]
    wheel: f64,
    /// Also the figures of a maker's chart
    #[arg(long)]
    chart: bool,
    /// Replace a file that is there
    #[arg(long)]
    force: bool,
    /// Folder for the sheet
    #[arg(long, value_name = "DIR", default_value = "out")]
    out: PathBuf,
}

fn wheel(text: &str) -> Result<f64, String> {
    TyreSize::named_wheel(text).ok_or_else(|| {
        let names = TyreSize::wheel_names();
        format!("allowed {names}; other wheels: write their tyre's marking into the file")
    })
}

pub(super) fn run(args: &Args) -> Result<Delivery, Error> {
    let tyre = TyreSize::usual(args.wheel, args.style == Style::Trail)
        .ok_or_else(|| Problem::at_key("wheel", "is no wheel with a usual tyre"))?;
    if !args.force {
        must_be_new(&args.file)?;
    }
    let next = format!(
        "Measure the bike (the sheet shows where), fill in {file}, then:\n  inseam check {file}\n  inseam fit {file} --inseam LENGTH --height LENGTH\n",
        file = shown(&args.file)
    );
    let text = new_frame(args.style, tyre, args.chart);
    Ok(Delivery::new(Outcome::Fine, next)
        .with_file("frame file", args.file.clone(), text)
        .with_picture(
            &args.out,
            "measuring-a-bike",
            draw::measuring_a_bike(draw::Form::Lying).svg,
        ))
}
