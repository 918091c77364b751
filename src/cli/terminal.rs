//! How the program behaves towards whoever sits before it: colours, width,
//! how much is said beside the result.

use std::io::{IsTerminal as _, Write as _};
use std::path::Path;

use clap::{Args as ClapArgs, ValueEnum};

use super::args::OutputArgs;
use super::config::columns;
use super::notes::Note;
use super::progress::Progress;
use crate::report::Screen;
use crate::safe_text::for_terminal;

/// The options that every command has.
#[derive(Debug, Clone, Copy, Default, ClapArgs)]
pub struct TerminalArgs {
    /// Colours: on a terminal only, always, or never; NO_COLOR in the
    /// environment means never
    #[arg(
        long,
        global = true,
        value_name = "WHEN",
        default_value = "auto",
        hide_default_value = true,
        help_heading = "Terminal"
    )]
    pub color: When,
    /// Say nothing beside the result, only why there is none
    #[arg(
        short,
        long,
        global = true,
        conflicts_with = "verbose",
        help_heading = "Terminal"
    )]
    pub quiet: bool,
    /// Say also what was made of each file, and how long each stage took
    #[arg(short, long, global = true, help_heading = "Terminal")]
    pub verbose: bool,
}

/// When colours are used.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
#[value(rename_all = "lower")]
pub enum When {
    /// On a terminal that can, and where the environment does not forbid it.
    #[default]
    #[value(help = None)]
    Auto,
    /// Wherever the text goes.
    #[value(help = None)]
    Always,
    /// Nowhere.
    #[value(help = None)]
    Never,
}

/// How much is said on standard error.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Talk {
    /// Only why there is no result.
    Quiet,
    /// What the user should know.
    #[default]
    Usual,
    /// What was done, too.
    Verbose,
}

/// The terminal of a run, or none.
#[derive(Debug, Clone, Copy, Default)]
pub struct Terminal {
    color: When,
    talk: Talk,
    /// Whether progress may be shown.
    shows: bool,
}

impl Terminal {
    /// The terminal as the user wants it, and as the environment allows.
    pub fn new(args: TerminalArgs) -> Self {
        Terminal {
            color: args.color,
            talk: match (args.quiet, args.verbose) {
                (true, _) => Talk::Quiet,
                (_, true) => Talk::Verbose,
                _ => Talk::Usual,
            },
            shows: !args.quiet && std::io::stderr().is_terminal() && !is_dumb(),
        }
    }

    /// What a text that goes to a file or to standard output is laid out for.
    pub fn screen(&self, out: Option<&Path>, width: Option<u16>) -> Screen {
        Screen {
            columns: columns(out, width),
            colour: match self.color {
                When::Always => true,
                When::Never => false,
                When::Auto => {
                    out.is_none() && std::io::stdout().is_terminal() && !no_color() && !is_dumb()
                }
            },
        }
    }

    /// The same for the usual options.
    pub fn screen_of(&self, output: &OutputArgs) -> Screen {
        self.screen(output.out.as_deref(), output.width)
    }

    /// Tells notes on standard error; a closed one is no reason to fail.
    pub fn tell(&self, notes: &[Note]) {
        if self.talk > Talk::Quiet {
            notes.iter().for_each(put);
        }
    }

    /// Tells what only those want to know who ask for more.
    pub fn tell_more(&self, what: impl FnOnce() -> String) {
        if self.talk == Talk::Verbose {
            put(&what());
        }
    }

    /// Shows how far a run has come, where somebody may be waiting.
    pub fn progress(&self) -> Progress {
        Progress::new(*self, self.shows)
    }

    /// The same for a run that writes its result meanwhile: not where both go
    /// to one terminal.
    pub fn progress_beside(&self, out: Option<&Path>) -> Progress {
        let apart = out.is_some() || !std::io::stdout().is_terminal();
        Progress::new(*self, self.shows && apart)
    }
}

fn put(what: &impl std::fmt::Display) {
    // Names of files may hold anything; what is told over several lines is ours.
    for line in what.to_string().split('\n') {
        let line = for_terminal(line);
        let start = if line.starts_with("fixworth: ") {
            ""
        } else {
            "fixworth: "
        };
        let _ = writeln!(std::io::stderr().lock(), "{start}{line}");
    }
}

/// Whether the environment asks for no colours: `NO_COLOR` with any value.
fn no_color() -> bool {
    std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
}

/// Whether the terminal understands no sequences at all.
fn is_dumb() -> bool {
    std::env::var_os("TERM").is_some_and(|term| term == "dumb")
}
