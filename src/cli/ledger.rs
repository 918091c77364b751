//! `fixworth ledger`.

use std::path::PathBuf;

use clap::Args as ClapArgs;

use super::args::{FigureArgs, InputArgs, OutputArgs};
use super::batch;
use super::config::{FigureConfig, InputConfig, guard, keep_apart};
use super::error::CliError;
use super::market::class_of;
use super::output::deliver;
use super::pipeline;
use super::run::{Outcome, conclude};
use super::terminal::Terminal;
use crate::ledger::{Accounts, Book, Known, learn};
use crate::report::ledger::{write_json, write_text};

/// `fixworth ledger`.
#[derive(Debug, ClapArgs)]
pub struct LedgerArgs {
    /// Your ledger: CSV with id, date, what, code, amount, note
    #[arg(value_name = "LEDGER")]
    pub ledger: PathBuf,
    /// Where ads come from.
    #[command(flatten)]
    pub input: InputArgs,
    /// What figures are made with.
    #[command(flatten)]
    pub figures: FigureArgs,
    /// Write your own factors on the table of repairs to this file
    #[arg(
        long,
        value_name = "FILE",
        conflicts_with = "repairs",
        help_heading = "Output"
    )]
    pub learn: Option<PathBuf>,
    /// Form of the accounts
    #[arg(long, default_value = "text", value_parser = ["text", "json"],
        help_heading = "Output")]
    pub format: String,
    /// Where the accounts go.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Sets the ledger against the estimates, and learns from it.
pub(super) fn ledger(args: LedgerArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    let screen = terminal.screen_of(&args.output);
    if let Some(path) = args
        .learn
        .as_deref()
        .filter(|p| p.exists() && !args.output.force)
    {
        let path = path.display();
        return Err(CliError::Usage(format!(
            "{path} is there already; --force writes over it"
        )));
    }
    let mut input = InputConfig::resolve(args.input)?.on(terminal);
    let mut read = vec![Some(args.ledger.as_path())];
    read.extend(args.figures.files());
    guard(args.output.out.as_deref(), args.output.force, &input, &read)?;
    // What is learnt is a result too: --force does not make it one of the files.
    keep_apart(args.learn.as_deref(), &input, &read)?;
    let figures = FigureConfig::resolve(args.figures, &mut input.lexicon)?;
    let book = Book::read(&args.ledger)?;
    let batch = batch::read(&input, figures.profile.distance_unit)?;
    let all = pipeline::appraise(batch, &figures, &input.lexicon, Default::default())?;
    let known = |id: &str| {
        let at = all.find(id).ok()?;
        let appraisal = &all.appraisals[at];
        Some(Known {
            id: &all.listings[at].id.0,
            appraisal,
            class: class_of(&appraisal.reading, &input.lexicon),
        })
    };
    let accounts = Accounts::new(&args.ledger, &book, known, &input.lexicon, &figures.profile)?;
    let outcome = conclude(&input, &all.rejects, &all.notes)?;
    if let Some(path) = &args.learn {
        let factors = learn(&accounts, &input.lexicon.repairs);
        deliver(Some(path), |out| factors.write(out))?;
    }
    deliver(args.output.out.as_deref(), |out| {
        match args.format.as_str() {
            "json" => write_json(&accounts, out),
            _ => write_text(&accounts, screen, out),
        }
    })?;
    Ok(outcome)
}
