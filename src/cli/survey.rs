//! `fixworth columns` and `fixworth schema`: what comes in, what goes out.

use std::path::PathBuf;

use clap::Args as ClapArgs;
use clap::builder::PossibleValuesParser;

use super::args::{OutputArgs, TakeArgs};
use super::config::{may_write, tables_of};
use super::error::CliError;
use super::output::deliver;
use super::run::Outcome;
use super::terminal::Terminal;
use crate::intake::{Options, survey};
use crate::report::columns::{FileColumns, write_json};
use crate::report::json::write_pretty;
use crate::report::schema::{FORMS, Form};

/// `fixworth columns`.
#[derive(Debug, ClapArgs)]
pub struct ColumnsArgs {
    /// CSV exports of ads; - for standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// How they are taken.
    #[command(flatten)]
    pub take: TakeArgs,
    /// Form of the list
    #[arg(long, default_value = "text", value_parser = ["text", "json"],
        help_heading = "Output")]
    pub format: String,
    /// Where the list goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Shows how the columns of files are taken.
pub(super) fn columns(args: &ColumnsArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    let screen = terminal.screen_of(&args.output);
    may_write(args.output.out.as_deref(), args.output.force)?;
    let lexicon = tables_of(&args.take, &args.files)?;
    let options = Options {
        columns: args.take.columns.clone(),
    };
    let files = args.files.iter();
    let files = files.map(|path| Ok(FileColumns::new(&survey(path, &options, &lexicon.headers)?)));
    let files = files.collect::<Result<Vec<_>, CliError>>()?;
    deliver(args.output.out.as_deref(), |out| {
        if args.format == "json" {
            return write_json(&files, out);
        }
        for (at, file) in files.iter().enumerate() {
            if at > 0 {
                writeln!(out)?;
            }
            file.write(screen, out)?;
        }
        Ok(())
    })?;
    Ok(Outcome::Done)
}

/// `fixworth schema`.
#[derive(Debug, ClapArgs)]
pub struct SchemaArgs {
    /// What is printed; without it all names are listed
    #[arg(value_name = "NAME",
        value_parser = PossibleValuesParser::new(FORMS.iter().map(|form| form.name)))]
    pub name: Option<String>,
}

/// Writes a schema, or lists them.
pub(super) fn schema(args: &SchemaArgs) -> Result<Outcome, CliError> {
    let form = args.name.as_deref().and_then(Form::of_name);
    deliver(None, |out| match form {
        Some(form) => {
            write_pretty(out, &form.schema())?;
            writeln!(out)
        }
        None => FORMS.iter().try_for_each(|form| {
            let Form {
                name,
                version,
                what,
                ..
            } = form;
            writeln!(out, "{name:<10} {version}  {what}")
        }),
    })?;
    Ok(Outcome::Done)
}
