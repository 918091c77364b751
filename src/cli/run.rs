//! One function a command.

use std::ffi::OsStr;
use std::io::IsTerminal as _;
use std::path::Path;

use super::args::{Args, Command, ExplainArgs, FigureArgs, OutputArgs, ProfileArgs, ShortlistArgs};
use super::batch;
use super::config::{FigureConfig, InputConfig, guard, id_first, may_write};
use super::error::CliError;
use super::kerb;
use super::ledger::ledger;
use super::notes::Note;
use super::output::deliver;
#[cfg(feature = "page")]
use super::page;
use super::pipeline;
use super::plan::plan;
use super::ranking::{Shown, Wanted, rank};
use super::terminal::Terminal;
use super::upkeep;
use crate::history::Since;
use crate::intake::{Reject, write_rejects};
use crate::margin::Appraisal;
use crate::profile::Profile;
use crate::report::Shortlist;
use crate::report::explain::Explanation;
use crate::report::explained::write_json;
use crate::report::markdown::write_markdown;
use crate::report::table::write_table;
use crate::report::what_if::WhatIf;
#[cfg(feature = "workbook")]
use crate::report::workbook::write_workbook;
use crate::sensitivity::{Change, Scenario, Tornado};

/// How a run ended that gave its result.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// All is well.
    Done,
    /// Rows were rejected, and the user wants to be told.
    RowsRejected,
    /// The tables have errors.
    TablesWrong,
}

/// Does what the arguments say.
///
/// # Errors
/// Why there is no result.
pub fn run(args: Args) -> Result<Outcome, CliError> {
    let terminal = Terminal::new(args.terminal);
    match args.command {
        Command::Shortlist(args) => shortlist(args, terminal),
        Command::Read(args) => super::read::read(args, terminal),
        Command::Price(args) => super::price::price(args, terminal),
        Command::Explain(args) => explain(args, terminal),
        Command::Ledger(args) => ledger(args, terminal),
        Command::Call(args) => kerb::call(args, terminal),
        Command::Sheet(args) => kerb::sheet(args, terminal),
        Command::Decide(args) => kerb::decision(args, terminal),
        Command::Plan(args) => plan(args, terminal),
        Command::Profile(args) => profile(&args),
        Command::Grade(args) => upkeep::grade(&args, terminal),
        Command::Columns(args) => super::survey::columns(&args, terminal),
        Command::Schema(args) => super::survey::schema(&args),
        Command::Lexicon(command) => upkeep::lexicon(command, terminal),
        #[cfg(feature = "terminal")]
        Command::Completions(args) => super::shell::completions(&args),
        #[cfg(feature = "terminal")]
        Command::Man(args) => super::shell::man(&args),
    }
}

/// Prints a text such as that of the help.
///
/// # Errors
/// When standard output cannot be written.
pub fn print(text: &str) -> Result<Outcome, CliError> {
    deliver(None, |out| out.write_all(text.as_bytes()))?;
    Ok(Outcome::Done)
}

fn shortlist(args: ShortlistArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    let screen = terminal.screen_of(&args.output);
    let form = form_of(args.format.as_deref(), args.output.out.as_deref())?;
    let mut input = InputConfig::resolve(args.input)?.on(terminal);
    apart(&args.output, &input, &args.figures)?;
    let figures = FigureConfig::resolve(args.figures, &mut input.lexicon)?;
    let since = match (args.since, args.new) {
        (Some(day), _) => Some(Since::Day(day)),
        (None, true) => Some(Since::LastExport),
        (None, false) => None,
    };
    let chosen = |a: &Appraisal| {
        let dear = args
            .max_price
            .zip(a.reading.ask)
            .is_some_and(|(most, ask)| ask > most);
        let poor = args
            .min_margin
            .is_some_and(|least| a.margin.is_none_or(|m| m.likely < least));
        let wanted = args.actions.is_empty() || args.actions.contains(&a.action);
        !dear && !poor && wanted
    };
    let wanted = Wanted {
        sort: args.sort,
        most: args.top.unwrap_or(usize::MAX),
        chosen: &chosen,
        since,
        gone: args.gone,
        #[cfg(feature = "page")]
        behind: form == "html",
    };
    let ranked = rank(&input, &figures, &wanted)?;
    let entries: Vec<_> = ranked.cars.iter().map(Shown::entry).collect();
    let list = Shortlist::new(
        ranked.basis,
        ranked.counts,
        entries.iter().cloned(),
        &input.lexicon,
    );
    let outcome = conclude(&input, &ranked.rejects, &ranked.notes)?;
    deliver(args.output.out.as_deref(), |out| match form {
        #[cfg(feature = "workbook")]
        "xlsx" => write_workbook(&list, &entries, &input.lexicon, out),
        #[cfg(feature = "page")]
        "html" => page::write(
            &list,
            &ranked.cars,
            &entries,
            &input.lexicon,
            args.keep_contacts,
            out,
        ),
        "csv" => list.write_csv(out),
        "json" => list.write_json(out),
        "jsonl" => list.write_jsonl(out),
        "markdown" => write_markdown(&list, out),
        _ => write_table(&list, screen, out),
    })?;
    // The process ends here, and the system takes all memory back at once:
    // given back piece by piece, it takes a twentieth of the time of 300 ads.
    std::mem::forget((list, ranked.cars, input.lexicon));
    Ok(outcome)
}

/// The form of a list: the one named, else the one that its file is named for.
fn form_of<'a>(named: Option<&'a str>, out: Option<&Path>) -> Result<&'a str, CliError> {
    let ending = out.and_then(Path::extension).and_then(OsStr::to_str);
    let form = named.unwrap_or(match ending.map(str::to_ascii_lowercase).as_deref() {
        Some("csv") => "csv",
        Some("json") => "json",
        Some("jsonl") => "jsonl",
        Some("md") => "markdown",
        Some("html" | "htm") if cfg!(feature = "page") => "html",
        Some("xlsx") if cfg!(feature = "workbook") => "xlsx",
        _ => "table",
    });
    if form == "xlsx" && out.is_none() && std::io::stdout().is_terminal() {
        let problem = "--format xlsx: a workbook is no text for a terminal; add --out list.xlsx";
        return Err(CliError::Usage(problem.to_owned()));
    }
    Ok(form)
}

fn explain(args: ExplainArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    id_first(&args.id, &args.input.files)?;
    let screen = terminal.screen_of(&args.output);
    let mut input = InputConfig::resolve(args.input)?.on(terminal);
    apart(&args.output, &input, &args.figures)?;
    let changes = args
        .what_if
        .iter()
        .map(|a| Change::parse(&a.key, &a.value, &input.lexicon))
        .collect::<Result<Vec<_>, _>>()?;
    let figures = FigureConfig::resolve(args.figures, &mut input.lexicon)?;
    let lexicon = &input.lexicon;
    let batch = batch::read(&input, figures.profile.distance_unit)?;
    let valued = pipeline::value(batch, &figures, lexicon, Default::default())?;
    let cars = &valued.cars;
    let place = cars.find(&args.id)?;
    let before = valued.scenario(place);
    let (appraisal, warnings) = valued.appraise_as(place, &before);
    let appraise = |scenario: &Scenario| valued.appraise_as(place, scenario).0;
    let outcome = conclude(&input, &cars.rejects, &cars.notes)?;
    let mut after = before.clone();
    changes.iter().for_each(|change| change.apply(&mut after));
    let now = appraise(&after);
    let rows = lexicon.assumptions.rows();
    let tornado = Tornado::new(&after, &now, rows, &appraise);
    deliver(args.output.out.as_deref(), |out| {
        let explanation = Explanation {
            listing: &cars.listings[place],
            appraisal: &appraisal,
            history: Some(&cars.histories[place]),
            warnings: &warnings,
            basis: &cars.basis,
            lexicon,
            tornado: tornado.as_ref(),
        };
        let json = args.format == "json";
        if changes.is_empty() {
            return match json {
                true => write_json(&explanation, None, args.keep_contacts, out),
                false => explanation.write(screen, out),
            };
        }
        let told = changes.iter().map(|c| c.told(&before, &lexicon.parts));
        let comparison = WhatIf {
            explanation,
            after: &now,
            changes: told.collect(),
        };
        match json {
            true => {
                let (explanation, keep) = (&comparison.explanation, args.keep_contacts);
                write_json(explanation, Some(&comparison), keep, out)
            }
            false => comparison.write(screen, out),
        }
    })?;
    Ok(outcome)
}

pub(super) fn apart(
    output: &OutputArgs,
    input: &InputConfig,
    figures: &FigureArgs,
) -> Result<(), CliError> {
    guard(output.out.as_deref(), output.force, input, &figures.files())
}

fn profile(args: &ProfileArgs) -> Result<Outcome, CliError> {
    may_write(args.out.as_deref(), args.force)?;
    deliver(args.out.as_deref(), |out| {
        out.write_all(Profile::commented().as_bytes())
    })?;
    Ok(Outcome::Done)
}

/// Tells what there is to tell beside the result.
pub(super) fn conclude(
    input: &InputConfig,
    rejects: &[Reject],
    notes: &[Note],
) -> Result<Outcome, CliError> {
    input.progress.end();
    input.terminal.tell(notes);
    if let Some(path) = &input.rejects {
        write_rejects(path, rejects)?;
    }
    Ok(if input.strict && !rejects.is_empty() {
        Outcome::RowsRejected
    } else {
        Outcome::Done
    })
}
