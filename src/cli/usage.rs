//! A mistake on the command line told in one line.

use std::ffi::OsString;

use clap::CommandFactory as _;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::args::Args;
use super::error::CliError;
use crate::near::nearest;

/// The parser's finding in these words as one line, or the help that was asked
/// for.
pub(super) fn explained(error: &clap::Error, words: &[OsString]) -> CliError {
    let get = |kind| error.get(kind).map(shown).filter(|s| !s.is_empty());
    let text = |kind| get(kind).unwrap_or_default();
    let near =
        |kind| get(kind).map_or_else(String::new, |near| format!("; did you mean '{near}'?"));
    CliError::Usage(match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => {
            return CliError::Help(error.render().to_string());
        }
        ErrorKind::UnknownArgument => {
            let arg = text(ContextKind::InvalidArg);
            let what = if arg.starts_with('-') {
                "option"
            } else {
                "argument"
            };
            let near = nearest_option(&arg, words)
                .map_or_else(String::new, |near| format!("; did you mean '--{near}'?"));
            format!("no {what} '{arg}'{}", or_help(near))
        }
        ErrorKind::InvalidSubcommand => {
            let word = text(ContextKind::InvalidSubcommand);
            let is_file = std::path::Path::new(&word).is_file();
            let near = match near(ContextKind::SuggestedSubcommand) {
                _ if is_file => {
                    format!("; it is a file: 'fixworth shortlist {word}' ranks its ads")
                }
                near => or_help(near),
            };
            format!("no command '{word}'{near}")
        }
        ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            "no command given; 'fixworth --help' lists them".to_owned()
        }
        ErrorKind::InvalidValue => {
            let arg = option(text(ContextKind::InvalidArg));
            let value = text(ContextKind::InvalidValue);
            let valid = text(ContextKind::ValidValue);
            if value.is_empty() {
                format!("{arg} needs a value{}", one_of(&valid))
            } else {
                let near = nearest(&value, valid.split(", "));
                let near = near.map_or_else(String::new, |n| format!(", did you mean '{n}'?"));
                let build = left_out(&value);
                format!(
                    "{arg}: '{value}' is not known{near}{build}{}",
                    one_of(&valid)
                )
            }
        }
        ErrorKind::ValueValidation => {
            let why = std::error::Error::source(error).map(ToString::to_string);
            format!(
                "{}: '{}' does not do; {}",
                option(text(ContextKind::InvalidArg)),
                text(ContextKind::InvalidValue),
                why.unwrap_or_else(|| "see --help".to_owned())
            )
        }
        ErrorKind::MissingRequiredArgument => {
            let what = text(ContextKind::InvalidArg).replace(['<', '>'], "");
            format!("missing: {what}; see '{} --help'", command(words))
        }
        ErrorKind::ArgumentConflict => {
            let one = option(text(ContextKind::InvalidArg));
            match option(text(ContextKind::PriorArg)) {
                other if other == one || other.is_empty() => {
                    format!("{one} is given twice; give it once")
                }
                other => format!("{one} and {other} do not go together; leave one out"),
            }
        }
        _ => {
            let text = error.render().to_string();
            let first = text.lines().next().unwrap_or_default();
            first.trim_start_matches("error: ").to_owned()
        }
    })
}

/// The option of the command in these words that is spelled most like this one:
/// letters swapped, left out or put in, fewer than half of them.
fn nearest_option(typed: &str, words: &[OsString]) -> Option<String> {
    let typed = typed.strip_prefix("--")?;
    let all = Args::command();
    let command = subcommands(words).pop();
    let own = command.iter().flat_map(clap::Command::get_arguments);
    own.chain(all.get_arguments())
        .filter_map(|arg| arg.get_long())
        .map(|name| (strsim::damerau_levenshtein(typed, name), name))
        .filter(|(edits, _)| edits * 2 < typed.chars().count())
        .min()
        .map(|(_, name)| name.to_owned())
}

fn or_help(near: String) -> String {
    if near.is_empty() {
        "; 'fixworth --help' lists what there is".to_owned()
    } else {
        near
    }
}

/// `--format <FORMAT>` without the place of its value.
fn option(arg: String) -> String {
    match arg.split_once(' ') {
        Some((name, _)) if name.starts_with('-') => name.to_owned(),
        _ => arg.replace(['<', '>'], ""),
    }
}

/// The command that these words begin with: `fixworth lexicon check`.
fn command(words: &[OsString]) -> String {
    let mut name = "fixworth".to_owned();
    for sub in subcommands(words) {
        name = format!("{name} {}", sub.get_name());
    }
    name
}

/// The commands in these words, each within the one before.
fn subcommands(words: &[OsString]) -> Vec<clap::Command> {
    let mut command = Args::command();
    let mut found = Vec::new();
    for word in words.iter().skip(1) {
        let sub = word.to_str().and_then(|w| command.find_subcommand(w));
        let Some(sub) = sub.cloned() else {
            break;
        };
        command = sub.clone();
        found.push(sub);
    }
    found
}

/// Why a form that the program can have is none of this build.
fn left_out(form: &str) -> String {
    let feature = match form {
        "parquet" if !cfg!(feature = "parquet") => "parquet",
        "html" if !cfg!(feature = "page") => "page",
        "xlsx" if !cfg!(feature = "workbook") => "workbook",
        _ => return String::new(),
    };
    format!(" in this build (cargo build --release --features {feature} makes one that has it)")
}

fn one_of(valid: &str) -> String {
    if valid.is_empty() {
        String::new()
    } else {
        format!("; use one of {valid}")
    }
}

fn shown(value: &ContextValue) -> String {
    match value {
        ContextValue::String(one) => one.clone(),
        ContextValue::Strings(many) => many.join(", "),
        ContextValue::StyledStr(one) => one.to_string(),
        other => other.to_string(),
    }
}
