//! Parses the command line, runs, reports.
#![forbid(unsafe_code)]

use std::io::Write as _;
use std::process::ExitCode;

use fixworth::cli::{Args, CliError, Outcome, print, run};
use fixworth::safe_text::for_terminal;

fn main() -> ExitCode {
    let result = match Args::parse_from_words(std::env::args_os()) {
        Err(CliError::Help(text)) => print(&text),
        parsed => parsed.and_then(run),
    };
    match result {
        Ok(Outcome::Done) => ExitCode::SUCCESS,
        Ok(Outcome::RowsRejected | Outcome::TablesWrong) => ExitCode::from(1),
        Err(CliError::Closed) => ExitCode::SUCCESS,
        Err(error) => {
            // Names of files and cells of tables may hold anything.
            let error = error.to_string();
            let _ = writeln!(std::io::stderr(), "fixworth: {}", for_terminal(&error));
            ExitCode::from(2)
        }
    }
}
