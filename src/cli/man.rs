//! `inseam man`: the manual page of the program or of one command, as roff to standard output.
//! Made from the argument types, so that it says what `--help` says.

use clap_mangen::Man;

use crate::cli::delivery::Delivery;
use crate::cli::outcome::{Error, Outcome};
use crate::file::Problem;

/// Print the manual page: inseam man | man -l -
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// One command's page instead of the program's
    #[arg(value_name = "COMMAND")]
    command: Option<String>,
}

pub(super) fn run(args: &Args, mut program: clap::Command) -> Result<Delivery, Error> {
    // Gives every command its full name and flags.
    program.build();
    let page = if let Some(name) = &args.command {
        program.find_subcommand(name).cloned().ok_or_else(|| {
            let names: Vec<_> = program
                .get_subcommands()
                .map(clap::Command::get_name)
                .collect();
            let message = format!("is not a command; commands: {}", names.join(", "));
            Problem::of_file(name.clone(), message)
        })?
    } else {
        program
    };
    let mut roff = Vec::new();
    Man::new(page)
        .render(&mut roff)
        .map_err(|error| Error::Output {
            path: "manual page".to_owned(),
            error,
        })?;
    Ok(Delivery::new(Outcome::Fine, roff))
}
