//! `inseam completions`: a script that completes commands and flags in a shell, to standard output.
//! Made from the argument types; where a shell keeps such scripts is the user's business.

use clap_complete::Shell;

use crate::cli::delivery::Delivery;
use crate::cli::outcome::Outcome;

/// Print the script that completes commands and flags in your shell
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The shell to complete in
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

pub(super) fn run(args: &Args, mut program: clap::Command) -> Delivery {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut program, "inseam", &mut script);
    Delivery::new(Outcome::Fine, script)
}
