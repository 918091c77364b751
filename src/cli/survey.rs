//! `fixworth columns` and `fixworth schema`: what comes in, what goes out.

use std::path::PathBuf;

use clap::Args as ClapArgs;
use clap::builder::PossibleValuesParser;

use super::args::OutputArgs;
use super::config::{may_write, must_exist};
use super::error::CliError;
use super::output::deliver;
use super::run::Outcome;
use super::terminal::Terminal;
use crate::intake::{ColumnOverride, Options, survey};
use crate::lexicon::Lexicon;
use crate::report::columns::{FileColumns, write_json};
use crate::report::json::write_pretty;
use crate::report::schema::{FORMS, Form};

/// `fixworth columns`.
#[derive(Debug, ClapArgs)]
pub struct ColumnsArgs {
    /// CSV exports of ads; - for standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// Read a field from the column with this header, where it is not found
    #[arg(long = "column", value_name = "FIELD=HEADER", help_heading = "Input")]
    pub columns: Vec<ColumnOverride>,
    /// Folder of tables to use in place of the built-in ones of the same name
    #[arg(long, value_name = "DIR", help_heading = "Input")]
    pub lexicon: Option<PathBuf>,
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
    args.files.iter().try_for_each(|f| must_exist(f))?;
    let lexicon = match &args.lexicon {
        Some(dir) => Lexicon::from_dir(dir)?,
        None => Lexicon::built_in()?,
    };
    let options = Options {
        columns: args.columns.clone(),
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
