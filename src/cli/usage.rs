//! A mistake on the command line told in one line.

use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::error::CliError;

/// The parser's finding as one line, or the help that was asked for.
pub(super) fn explained(error: &clap::Error) -> CliError {
    let get = |kind| error.get(kind).map(words).filter(|s| !s.is_empty());
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
            let near = near(ContextKind::SuggestedArg);
            format!("no {what} '{arg}'{}", or_help(near))
        }
        ErrorKind::InvalidSubcommand => {
            let near = near(ContextKind::SuggestedSubcommand);
            format!(
                "no command '{}'{}",
                text(ContextKind::InvalidSubcommand),
                or_help(near)
            )
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
                format!("{arg}: '{value}' is not known{}", one_of(&valid))
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
            format!("missing: {}; see --help", text(ContextKind::InvalidArg))
        }
        ErrorKind::ArgumentConflict => {
            format!(
                "{} is given twice; give it once",
                option(text(ContextKind::InvalidArg))
            )
        }
        _ => {
            let text = error.render().to_string();
            let first = text.lines().next().unwrap_or_default();
            first.trim_start_matches("error: ").to_owned()
        }
    })
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
        _ => arg,
    }
}

fn one_of(valid: &str) -> String {
    if valid.is_empty() {
        String::new()
    } else {
        format!("; use one of {valid}")
    }
}

fn words(value: &ContextValue) -> String {
    match value {
        ContextValue::String(one) => one.clone(),
        ContextValue::Strings(many) => many.join(", "),
        ContextValue::StyledStr(one) => one.to_string(),
        other => other.to_string(),
    }
}
