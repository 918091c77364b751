//! What a shell and a reader of manuals need: completions, manual pages.

use clap::{Args as ClapArgs, CommandFactory as _};
use clap_complete::Shell;

use super::args::Args;
use super::error::CliError;
use super::output::deliver;
use super::run::Outcome;
use crate::near::hint;

/// `fixworth completions`.
#[derive(Debug, ClapArgs)]
pub struct CompletionsArgs {
    /// The shell
    #[arg(value_name = "SHELL")]
    pub shell: Shell,
}

/// `fixworth man`.
#[derive(Debug, ClapArgs)]
pub struct ManArgs {
    /// The command, in words; without it the page of all
    #[arg(value_name = "COMMAND")]
    pub command: Vec<String>,
}

/// Writes the completions of a shell.
pub(super) fn completions(args: &CompletionsArgs) -> Result<Outcome, CliError> {
    let mut command = Args::command();
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut command, "fixworth", &mut text);
    deliver(None, |out| out.write_all(&text))?;
    Ok(Outcome::Done)
}

/// Writes a manual page.
pub(super) fn man(args: &ManArgs) -> Result<Outcome, CliError> {
    let mut command = Args::command();
    // Options that every command has get onto its page.
    command.build();
    for word in &args.command {
        let Some(sub) = command.find_subcommand(word) else {
            let known: Vec<_> = command.get_subcommands().map(|c| c.get_name()).collect();
            let all = format!("there are: {}", known.join(", "));
            let near = hint(word, known.iter().copied(), &all);
            let word = word.escape_debug();
            return Err(CliError::Usage(format!("no command '{word}'{near}")));
        };
        command = sub.clone();
    }
    let command = command.disable_help_subcommand(true);
    let page = clap_mangen::Man::new(command)
        .source(concat!("fixworth ", env!("CARGO_PKG_VERSION")))
        .manual("fixworth");
    deliver(None, |out| page.render(out))?;
    Ok(Outcome::Done)
}
