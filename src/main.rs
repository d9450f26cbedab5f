//! The program: exit code only; everything else is the library's `cli`.

use std::process::ExitCode;

fn main() -> ExitCode {
    inseam::cli::main()
}
