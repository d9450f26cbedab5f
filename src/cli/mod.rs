//! The command line: arguments to typed options, one file per command, and one way to end.
//! Each command is a short story: read, ask, hand over a `Delivery`. All errors meet in `run`.
//! No fit is computed here.

mod assign;
mod check;
mod compare;
mod completions;
mod delivery;
mod due;
mod fit;
mod frames;
mod handover;
mod import;
mod input;
mod kind;
mod man;
mod mistakes;
mod new;
mod outcome;
mod paths;
mod rack;
mod riders;
mod schema;
#[cfg(feature = "page")]
mod serve;
mod size;

use std::ffi::OsString;
use std::io;
use std::process::ExitCode;

use clap::{CommandFactory as _, Parser, Subcommand};

use outcome::excerpt;
pub use outcome::{Error, Outcome, Streams};

use crate::cli::delivery::{Delivery, tell};

const EXAMPLES: &str = "\
Examples:
  inseam fit trail-24 --inseam 66cm --height 138cm --arm-reach 53cm
  inseam fit trail-24 --rider rider.yaml --format json
  inseam size --height 128cm --inseam 60cm --age 8y --sex girl --only fits
  inseam compare street-20 street-24 --height 128cm --inseam 60cm --age 8y --sex girl
  inseam rack --frames shop/frames --format csv
  inseam handover trail-24 --rider rider.yaml --card handover.html
  inseam assign --riders course/riders --frames course/frames --list list.html
  inseam due course/records/*.yaml --within 60d
  inseam check frames/*.yaml rider.yaml

Exit codes: 0 ran, 1 bad input, 2 usage, 3 with --strict: the bike does not fit.
Starting values, not a safety certificate: the maker's manual and the marks on the parts win.";

/// Fits and sizes children's bicycles from a tape measure and the frame's geometry.
#[derive(Debug, Parser)]
#[command(name = "inseam", version, about, after_help = EXAMPLES, max_term_width = 100)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Fit(fit::Args),
    Size(size::Args),
    Compare(compare::Args),
    Rack(rack::Args),
    Assign(assign::Args),
    Due(due::Args),
    Handover(handover::Args),
    #[cfg(feature = "page")]
    Serve(serve::Args),
    Check(check::Args),
    New(new::Args),
    Import(import::Args),
    Schema(schema::Args),
    Completions(completions::Args),
    Man(man::Args),
}

/// Runs the program on the process's own arguments and streams.
pub fn main() -> ExitCode {
    let terminal = terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    let columns = columns(terminal, std::env::var("COLUMNS").ok().as_deref());
    let mut out = anstream::AutoStream::auto(io::stdout()).lock();
    let mut err = anstream::AutoStream::auto(io::stderr()).lock();
    let code = run(
        std::env::args_os(),
        &mut Streams {
            out: &mut out,
            err: &mut err,
            columns,
        },
    );
    ExitCode::from(code)
}

/// The width to lay text out for: the terminal's; where none tells it, as for help, what the environment names.
fn columns(terminal: Option<usize>, named: Option<&str>) -> usize {
    let named = || named?.trim().parse().ok().filter(|columns| *columns > 0);
    terminal.or_else(named).unwrap_or(80)
}

/// Runs one command line. Returns the exit code.
pub fn run(args: impl IntoIterator<Item = OsString>, streams: &mut Streams<'_>) -> u8 {
    let args: Vec<OsString> = args.into_iter().collect();
    let delivery = match Cli::try_parse_from(&args) {
        Ok(cli) => cli.command.run(streams.columns),
        Err(usage) => {
            let usage = mistakes::swapped(&args, &usage).unwrap_or_else(|| mistakes::clean(usage));
            let text = usage.render().ansi().to_string();
            if usage.use_stderr() {
                // A closed standard error leaves nobody to tell.
                let _ = write!(streams.err, "{text}");
                return 2;
            }
            // Help and version are answers.
            Ok(Delivery::new(Outcome::Fine, text))
        }
    };
    match delivery.and_then(|delivery| delivery.carry_out(streams)) {
        Ok(Outcome::Fine) => 0,
        Ok(Outcome::BadInput) => 1,
        Ok(Outcome::DoesNotFit) => 3,
        Err(error) => {
            report(&error, streams);
            1
        }
    }
}

impl Command {
    fn run(&self, columns: usize) -> Result<Delivery, Error> {
        match self {
            Self::Fit(args) => fit::run(args, columns),
            Self::Size(args) => size::run(args, columns),
            Self::Compare(args) => compare::run(args, columns),
            Self::Rack(args) => rack::run(args, columns),
            Self::Assign(args) => assign::run(args, columns),
            Self::Due(args) => due::run(args, columns),
            Self::Handover(args) => handover::run(args, columns),
            #[cfg(feature = "page")]
            Self::Serve(args) => serve::run(args),
            Self::Check(args) => Ok(check::run(args, columns)),
            Self::New(args) => new::run(args),
            Self::Import(args) => import::run(args, columns),
            Self::Schema(args) => schema::run(args),
            Self::Completions(args) => Ok(completions::run(args, Cli::command())),
            Self::Man(args) => man::run(args, Cli::command()),
        }
    }
}

fn report(error: &Error, streams: &mut Streams<'_>) {
    match error {
        Error::Input(problems) => {
            for problem in problems {
                tell(streams, &excerpt(problem));
            }
        }
        Error::Output { .. } => tell(streams, &format!("error: {error}")),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn text_is_as_wide_as_the_terminal_else_as_the_environment_says() {
        for (terminal, named, wide) in [
            (Some(60), Some("120"), 60),
            (None, Some("60"), 60),
            (None, Some("0"), 80),
            (None, Some("wide"), 80),
            (None, None, 80),
        ] {
            assert_eq!(super::columns(terminal, named), wide);
        }
    }
}
