//! `inseam assign`: children and bikes, each bike once; a list for the terminal and one to print.

use std::path::{Path, PathBuf};

use crate::advice::assign::assign;
use crate::bike::library;
use crate::cli::delivery::{Delivery, csv_error};
use crate::cli::frames::{FramesArgs, progress};
use crate::cli::input::{self, TableFormat};
use crate::cli::outcome::{Error, Outcome};
use crate::cli::paths::shown;
use crate::cli::riders::riders;
use crate::file::Problem;
use crate::report::card::Paper;
use crate::report::{assign_list, assign_text, contract, json};

/// Give many children bikes, each bike once: as many as possible fit, and what would help the rest
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  inseam assign --riders course/riders --frames course/frames\n  inseam assign --riders course/riders --frames course/frames --list list.html --title Tuesday"
)]
pub(super) struct Args {
    #[command(flatten)]
    frames: FramesArgs,
    /// Folder of rider files, one a child
    #[arg(long, value_name = "DIR", help_heading = "Rider")]
    riders: PathBuf,
    /// Write the list to hand out from, as HTML to print
    #[arg(long, value_name = "FILE")]
    list: Option<PathBuf>,
    /// Heading of the list
    #[arg(long, value_name = "TEXT", requires = "list")]
    title: Option<String>,
    /// Paper of the list
    #[arg(long, value_name = "PAPER", default_value = "a4", value_parser = input::word::<Paper>())]
    paper: Paper,
    /// End with code 1 when a file cannot be read, with 3 when a child gets no bike
    #[arg(long)]
    strict: bool,
    /// text, json or csv
    #[arg(long, value_name = "FORMAT", default_value = "text", value_parser = input::word::<TableFormat>())]
    format: TableFormat,
    #[command(flatten)]
    figures: input::FigureArgs,
}

pub(super) fn run(args: &Args, columns: usize) -> Result<Delivery, Error> {
    let options = args.figures.options();
    let layout = args.figures.layout(columns);
    let mut children = riders(&args.riders, options.on)?;
    let listed = args.frames.list()?;
    let mut inputs: Vec<PathBuf> = listed.files().map(PathBuf::from).collect();
    inputs.append(&mut children.files);
    let mut bikes = listed.each("reading", |bike| bike);
    let market: Vec<_> = library::samples().collect();

    let bar = progress(children.found.made.len() * bikes.made.len(), "judging");
    let a_row = bikes.made.len() as u64;
    let assignment = assign(&children.found.made, &bikes.made, &market, options, || {
        bar.inc(a_row);
    });
    bar.finish_and_clear();
    let assignment =
        assignment.map_err(|many| Problem::of_file(shown(&args.riders), many.to_string()))?;

    let mut outcome = match (children.found.outcome(), bikes.outcome()) {
        (Outcome::Fine, Outcome::Fine) => Outcome::Fine,
        _ => Outcome::BadInput,
    };
    let mut skipped = children.found.skipped;
    skipped.append(&mut bikes.skipped);
    if args.strict && outcome == Outcome::Fine {
        outcome = if skipped.is_empty() {
            Outcome::of(true, assignment.without_bike.is_empty())
        } else {
            Outcome::BadInput
        };
    }
    let list = args.list.as_ref().map(|path| {
        let extras = assign_list::Extras {
            title: args.title.clone(),
            date: options.on,
            paper: args.paper,
            units: layout.units,
        };
        let html = assign_list::list(&assignment, &skipped, &extras);
        let html = html.map_err(|error| Error::Output {
            path: shown(path),
            error: std::io::Error::other(error),
        });
        html.map(|html| (path.clone(), html))
    });
    let list = list.transpose()?;
    let delivery = match args.format {
        TableFormat::Json => Delivery::stream(outcome, move |out| {
            json::write(
                out,
                &contract::assignment(&assignment, &skipped, layout.units),
            )
        }),
        TableFormat::Csv => Delivery::new(
            outcome,
            assign_text::csv(&assignment, layout.units).map_err(csv_error)?,
        ),
        TableFormat::Text => {
            Delivery::new(outcome, assign_text::text(&assignment, &skipped, layout))
        }
    };
    let mut notes = children.found.notes;
    notes.append(&mut bikes.notes);
    let delivery = delivery
        .with_notes(notes)
        .read_from(inputs.iter().map(Path::new));
    Ok(match list {
        Some((path, html)) => delivery.with_file("list", path, html),
        None => delivery,
    })
}
