//! `inseam schema`: the JSON Schema of frame files, rider files and records, for editors and other programs.
//! Made from the readers' own tables in `report::schema`; nothing is listed here.

use crate::cli::delivery::{Delivery, json_bytes};
use crate::cli::input;
use crate::cli::outcome::{Error, Outcome};
use crate::report::schema;
use crate::words::choice;

/// Print the JSON Schema of a kind of file, for editors that complete and check while you type
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// frame, rider or record
    #[arg(value_name = "KIND", value_parser = input::word::<Kind>())]
    kind: Kind,
}

choice! {
    /// A kind of file.
    enum Kind {
        /// One bike in one size.
        Frame = "frame",
        /// A rider.
        Rider = "rider",
        /// What was handed over.
        Record = "record",
    }
}

pub(super) fn run(args: &Args) -> Result<Delivery, Error> {
    let schema = match args.kind {
        Kind::Frame => schema::frame(),
        Kind::Rider => schema::rider(),
        Kind::Record => schema::record(),
    };
    Ok(Delivery::new(Outcome::Fine, json_bytes(&schema)?))
}
