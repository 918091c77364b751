//! Parses the command line, runs, reports.
#![forbid(unsafe_code)]

use std::io::Write as _;
use std::process::ExitCode;

use fixworth::cli::{Args, CliError, Outcome, run};

fn main() -> ExitCode {
    match Args::parse_from_words(std::env::args_os()).and_then(run) {
        Ok(Outcome::Done) => ExitCode::SUCCESS,
        Ok(Outcome::RowsRejected | Outcome::TablesWrong) => ExitCode::from(1),
        Err(CliError::Closed) => ExitCode::SUCCESS,
        Err(CliError::Help(text)) => {
            // A closed pipe is no failure here either.
            let _ = std::io::stdout().write_all(text.as_bytes());
            ExitCode::SUCCESS
        }
        Err(error) => {
            let _ = writeln!(std::io::stderr(), "fixworth: {error}");
            ExitCode::from(2)
        }
    }
}
