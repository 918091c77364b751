//! Manners in a terminal: width, colours, progress, how much is said, and what
//! is said of a mistake.

#[cfg(unix)]
mod colours;
mod mistakes;
#[cfg(unix)]
mod progress;
#[cfg(unix)]
mod pty;
#[cfg(feature = "terminal")]
mod shell;
mod talk;
mod width;

use std::process::{Command, Output, Stdio};

/// Runs the program in the root of the repository, as a pipe would.
#[track_caller]
fn run(words: &[&str]) -> Output {
    program(words).stdin(Stdio::null()).output().unwrap()
}

/// The program with these arguments, its environment that of the test without
/// what could change colours.
fn program(words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fixworth"));
    command
        .args(words)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env_remove("NO_COLOR")
        .env("TERM", "xterm");
    command
}

/// What a run prints that must succeed.
#[track_caller]
fn printed(words: &[&str]) -> String {
    let ran = run(words);
    let said = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "{words:?}\n{said}");
    String::from_utf8(ran.stdout).unwrap()
}
