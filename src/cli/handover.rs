//! `inseam handover`: the work list for one bike and one rider, and what goes with the bike: build sheet, card, record.
//! Without a rider only the build sheet can be made: a box is often opened before anyone knows who rides.
//! What is on them is decided in `advice::handover` and laid out in `report`.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use crate::advice::handover::handover;
use crate::cli::delivery::Delivery;
use crate::cli::outcome::{Error, Outcome};
use crate::cli::paths::{must_be_new, shown};
use crate::cli::{input, mistakes};
use crate::draw;
use crate::file::Problem;
use crate::report::build_sheet::build_sheet;
use crate::report::card::{Extras, Paper, card};
use crate::report::{contract, handover_text};

/// Hand one bike over: saddle, levers, tyres, bolts, and what the rider shows before riding off
#[derive(Debug, clap::Args)]
#[command(
    group(clap::ArgGroup::new("numbered").args(["record", "build_sheet"]).multiple(true)),
    after_help = "Examples:\n  inseam handover trail-24 --rider rider.yaml --card card.html\n  inseam handover trail-24 --build-sheet build.html"
)]
pub(super) struct Args {
    /// A frame file, - for standard input, or a sample bike such as trail-24
    #[arg(value_name = "FRAME", value_parser = mistakes::frame())]
    frame: PathBuf,
    #[command(flatten)]
    rider: input::RiderArgs,
    /// Write the card, one printed page as HTML
    #[arg(long, value_name = "FILE")]
    card: Option<PathBuf>,
    /// Write the build sheet, one printed page as HTML; needs no rider
    #[arg(long, value_name = "FILE")]
    build_sheet: Option<PathBuf>,
    /// Write the record of what is set, for `inseam due`
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// Replace a record that is there
    #[arg(long, requires = "record")]
    force: bool,
    /// Number stamped on the frame, for record and build sheet
    #[arg(long, value_name = "TEXT", requires = "numbered")]
    serial_number: Option<String>,
    /// Name of the shop, on card and build sheet
    #[arg(long, value_name = "TEXT")]
    shop: Option<String>,
    /// Name of the technician, on card, build sheet and record
    #[arg(long, value_name = "TEXT")]
    technician: Option<String>,
    /// Paper of card and build sheet
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
    let bike = input::bike(&args.frame)?;
    if args.rider.is_empty()
        && let Some(flags) = args.wants_a_rider()
    {
        let message = format!(
            "{flags}: wants a rider: give --height, --inseam or both, or --rider FILE; --build-sheet alone needs none"
        );
        return Err(Problem::of_file("", message).into());
    }
    if let (Some(path), true) = (&args.build_sheet, args.rider.is_empty()) {
        let html = page(path, build_sheet(&*bike, &args.extras(None)))?;
        let said = format!("{}: build sheet for {}\n", shown(path), bike.spec.name);
        return Ok(Delivery::new(Outcome::Fine, said)
            .read_from([args.frame.as_path()])
            .with_file("build sheet", path.clone(), html));
    }
    let rider = args.rider.rider(options.on)?;
    let units = args.show.figures.units;
    let handover = handover(&rider, &bike, &options);
    let outcome = Outcome::of(args.strict, handover.fit.verdict.fits());
    let object = || contract::handover(&handover, units);
    let report = |layout| handover_text::handover(&handover, layout);
    let mut delivery = Delivery::new(outcome, args.show.answer(object, report, columns)?)
        .read_from(args.rider.file().chain([args.frame.as_path()]));
    if let Some(path) = &args.card {
        let picture = draw::card_view(&handover.fit, units).svg;
        let html = page(path, card(&handover, &args.extras(Some(picture))))?;
        delivery = delivery.with_file("card", path.clone(), html);
    }
    if let Some(path) = &args.build_sheet {
        let html = page(path, build_sheet(&handover, &args.extras(None)))?;
        delivery = delivery.with_file("build sheet", path.clone(), html);
    }
    if let Some(path) = &args.record {
        if !args.force {
            must_be_new(path)?;
        }
        let rider_file = args.rider.file().next().and_then(Path::file_name);
        let record = handover.record(
            args.serial_number.as_deref(),
            args.technician.as_deref(),
            rider_file.map(OsStr::to_string_lossy).as_deref(),
        );
        if let Some(record) = record {
            delivery = delivery.with_file("record", path.clone(), record.to_yaml()?);
        } else {
            delivery = delivery.with_notes(vec![handover_text::NO_RECORD.to_owned()]);
        }
    }
    let set_up = draw::set_up_view(&handover.fit, units, args.show.pictures.form());
    let name = format!("{}-handover", bike.id);
    Ok(delivery.with_picture(&args.show.pictures.out, &name, set_up.svg))
}

/// A page that its template wrote.
fn page(path: &Path, html: Result<String, askama::Error>) -> Result<String, Error> {
    html.map_err(|error| Error::Output {
        path: shown(path),
        error: std::io::Error::other(error),
    })
}

impl Args {
    /// What was asked for that is of one rider, in a few words; None of a build sheet alone.
    fn wants_a_rider(&self) -> Option<String> {
        let flags = [
            ("--card", self.card.is_some()),
            ("--record", self.record.is_some()),
            ("--strict", self.strict),
            ("--format json", self.show.format == input::Format::Json),
        ];
        let given: Vec<_> = flags
            .into_iter()
            .filter(|(_, is_given)| *is_given)
            .map(|(flag, _)| flag)
            .collect();
        match (given.is_empty(), self.build_sheet.is_some()) {
            (true, true) => None,
            (true, false) => Some("a handover".to_owned()),
            (false, _) => Some(given.join(", ")),
        }
    }

    fn extras(&self, picture: Option<String>) -> Extras {
        Extras {
            shop: self.shop.clone(),
            serial_number: self.serial_number.clone(),
            technician: self.technician.clone(),
            picture,
            paper: self.paper,
            units: self.show.figures.units,
        }
    }
}
