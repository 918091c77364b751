//! One function a command.

use super::args::{Args, Command, ExplainArgs, ProfileArgs, ShortlistArgs};
use super::config::{FigureConfig, InputConfig, width};
use super::error::{CliError, nearest, no_ad};
use super::notes::{Note, tell};
use super::output::deliver;
use super::pipeline;
use super::upkeep;
use crate::intake::{Listing, Reject, write_rejects};
use crate::margin::Appraisal;
use crate::profile::Profile;
use crate::report::Shortlist;
use crate::report::explain::Explanation;
use crate::report::markdown::write_markdown;
use crate::report::table::write_table;
use crate::report::text::plain;

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
    match args.command {
        Command::Shortlist(args) => shortlist(args),
        Command::Read(args) => super::read::read(args),
        Command::Explain(args) => explain(args),
        Command::Profile(args) => profile(&args),
        Command::Grade(args) => upkeep::grade(&args),
        Command::Lexicon(command) => upkeep::lexicon(command),
    }
}

fn shortlist(args: ShortlistArgs) -> Result<Outcome, CliError> {
    let columns = width(&args.output);
    let input = InputConfig::resolve(args.input)?;
    let figures = FigureConfig::resolve(args.figures, &input.lexicon)?;
    let batch = pipeline::read(&input, figures.profile.distance_unit)?;
    let all = pipeline::appraise(batch, &figures, &input.lexicon, args.sort)?;
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
    let mut ranked: Vec<_> = all
        .listings
        .iter()
        .zip(&all.appraisals)
        .filter(|(_, a)| chosen(a))
        .collect();
    ranked.sort_by(|a, b| args.sort.compare(a.1, b.1));
    ranked.truncate(args.top.unwrap_or(usize::MAX));
    let list = Shortlist::new(
        all.basis.clone(),
        all.listings.len(),
        ranked,
        &input.lexicon,
    );
    let outcome = conclude(&input, &all.rejects, &all.notes)?;
    deliver(args.output.out.as_deref(), |out| {
        match args.format.as_str() {
            "csv" => list.write_csv(out),
            "json" => list.write_json(out),
            "jsonl" => list.write_jsonl(out),
            "markdown" => write_markdown(&list, out),
            _ => write_table(&list, columns, out),
        }
    })?;
    Ok(outcome)
}

fn explain(args: ExplainArgs) -> Result<Outcome, CliError> {
    let columns = width(&args.output);
    let input = InputConfig::resolve(args.input)?;
    let figures = FigureConfig::resolve(args.figures, &input.lexicon)?;
    let batch = pipeline::read(&input, figures.profile.distance_unit)?;
    let all = pipeline::appraise(batch, &figures, &input.lexicon, Default::default())?;
    let (listing, appraisal) = find(&all.listings, &all.appraisals, &args.id)?;
    let outcome = conclude(&input, &all.rejects, &all.notes)?;
    let explanation = Explanation {
        listing,
        appraisal,
        basis: &all.basis,
        lexicon: &input.lexicon,
    };
    deliver(args.output.out.as_deref(), |out| {
        explanation.write(columns, out)
    })?;
    Ok(outcome)
}

/// The ad with this id, as it stands in the file or as the shortlist shows it,
/// with what was worked out of it.
fn find<'a, T>(
    listings: &'a [Listing],
    results: &'a [T],
    id: &str,
) -> Result<(&'a Listing, &'a T), CliError> {
    let mut pairs = listings.iter().zip(results);
    let found = pairs.find(|(listing, _)| is_called(listing, id));
    found.ok_or_else(|| no_ad(id, nearest(id, listings.iter().map(|l| l.id.0.as_str()))))
}

/// Whether an ad has this id, as it stands in the file or as it is shown.
pub(super) fn is_called(listing: &Listing, id: &str) -> bool {
    listing.id.0 == id || plain(&listing.id.0) == id
}

fn profile(args: &ProfileArgs) -> Result<Outcome, CliError> {
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
    tell(notes);
    if let Some(path) = &input.rejects {
        write_rejects(path, rejects)?;
    }
    Ok(if input.strict && !rejects.is_empty() {
        Outcome::RowsRejected
    } else {
        Outcome::Done
    })
}
