//! The commands that help to keep the tables.

use std::path::{Path, PathBuf};

use super::batch;
use super::config::{InputConfig, may_write};
use super::error::CliError;
use super::output::deliver;
use super::run::{Outcome, conclude};
use super::terminal::Terminal;
use super::upkeep_args::{
    CheckArgs, ExportArgs, GapsArgs, GradeArgs, LeaningsArgs, LeaningsOf, LexiconCommand,
};
use crate::lexicon::context::Context;
use crate::lexicon::{Lexicon, Source};
use crate::lexicon::{leanings as parts, moves_leanings as moves};
use crate::reading::Reader;
use crate::report::gaps::write_gaps;
use crate::report::grade::{write_changes, write_grade, write_mistakes};
use crate::report::leanings::{write_context, write_leanings, write_moves_leanings, write_passing};
use crate::report::text::plain;
use crate::report::why::write_why;
use crate::units::DistanceUnit;
use crate::upkeep::check::{Level, check};
use crate::upkeep::compare::compare;
use crate::upkeep::judge::{Judged, judge};
use crate::upkeep::labelled::{Labelled, LabelledError, Met, meet, read_files};
use crate::upkeep::leanings::{Fit, Learnt, Lesson, Told, Trial};
use crate::upkeep::{context, export::export, gaps::gaps, leanings, moves_leanings, passing};

pub(super) fn lexicon(command: LexiconCommand, terminal: Terminal) -> Result<Outcome, CliError> {
    match command {
        LexiconCommand::Check(args) => check_tables(&args),
        LexiconCommand::Export(args) => export_tables(&args),
        LexiconCommand::Gaps(args) => find_gaps(args, terminal),
        LexiconCommand::Leanings(args) => learn_leanings(&args),
    }
}

/// The word that stands for the tables of the binary.
const BUILT_IN: &str = "built-in";

fn tables(dir: Option<&Path>) -> Result<Lexicon, CliError> {
    Ok(Lexicon::read(&source(dir)?)?)
}

fn source(dir: Option<&Path>) -> Result<Source, CliError> {
    Ok(match dir {
        Some(dir) if dir.as_os_str() != BUILT_IN => Source::dir(dir)?,
        _ => Source::built_in(),
    })
}

pub(super) fn grade(args: &GradeArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    may_write(args.output.out.as_deref(), args.output.force)?;
    let screen = terminal.screen_of(&args.output);
    let rows = labelled(&args.files, args.leave_out)?;
    let lexicon = tables(args.lexicon.as_deref())?;
    let (met, judged) = graded(&rows, &lexicon)?;
    let before = match &args.against {
        Some(dir) => Some(graded(&rows, &tables(Some(dir))?)?.1),
        None => None,
    };
    let reader = Reader::new(&lexicon, DistanceUnit::Miles);
    deliver(args.output.out.as_deref(), |out| {
        write_grade(&judged, screen, out)?;
        if let Some(before) = &before {
            let changes = compare(&rows, before, &judged);
            write_changes(&changes, before, &judged, screen, out)?;
        }
        let Some(most) = args.misses else {
            return Ok(());
        };
        let ads = write_mistakes(&rows, &judged, most, screen, out)?;
        for listing in ads.iter().filter_map(|i| met[*i].listing.as_ref()) {
            if args.why {
                writeln!(out)?;
                write_why(listing, &reader.trace(listing), &lexicon, screen, out)?;
            }
        }
        Ok(())
    })?;
    Ok(Outcome::Done)
}

/// The ads of these files, less those held back.
fn labelled(files: &[PathBuf], leave_out: Option<u64>) -> Result<Vec<Labelled>, CliError> {
    let mut rows = read_files(files)?;
    rows.retain(|row| {
        let held_back = leave_out.zip(row.number());
        !held_back.is_some_and(|(n, number)| number.is_multiple_of(n))
    });
    if rows.is_empty() {
        return Err(LabelledError::Empty.into());
    }
    Ok(rows)
}

fn graded(rows: &[Labelled], lexicon: &Lexicon) -> Result<(Vec<Met>, Vec<Judged>), CliError> {
    let met = meet(rows, lexicon)?;
    let pairs = rows.iter().zip(&met);
    let judged = pairs.map(|(row, met)| judge(row, met, &lexicon.parts));
    let judged = judged.collect();
    Ok((met, judged))
}

fn check_tables(args: &CheckArgs) -> Result<Outcome, CliError> {
    may_write(args.out.as_deref(), args.force)?;
    let source = source(args.lexicon.as_deref())?;
    let (lines, errors) = match check(&source) {
        Ok(mut findings) => {
            findings.retain(|f| f.level == Level::Error || !args.errors_only);
            let errors = findings.iter().filter(|f| f.level == Level::Error).count();
            let notes = findings.len() - errors;
            let mut lines: Vec<String> = findings.iter().map(ToString::to_string).collect();
            lines.push(if args.errors_only {
                format!("{errors} errors")
            } else {
                format!("{errors} errors, {notes} notes")
            });
            (lines, errors)
        }
        // Nothing else can be looked at until this is put right.
        Err(wrong) => (vec![format!("error: {wrong}")], 1),
    };
    deliver(args.out.as_deref(), |out| {
        lines
            .iter()
            .try_for_each(|line| writeln!(out, "{}", plain(line)))
    })?;
    Ok(if errors > 0 {
        Outcome::TablesWrong
    } else {
        Outcome::Done
    })
}

fn export_tables(args: &ExportArgs) -> Result<Outcome, CliError> {
    let written = export(&args.dir, args.force)?;
    let dir = args.dir.display();
    deliver(None, |out| {
        writeln!(
            out,
            "{written} tables written to {dir}; change what you like, remove the others, and give \
             --lexicon {dir}"
        )
    })?;
    Ok(Outcome::Done)
}

fn find_gaps(args: GapsArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    may_write(args.output.out.as_deref(), args.output.force)?;
    let screen = terminal.screen_of(&args.output);
    let input = InputConfig::resolve(args.input)?.on(terminal);
    let batch = batch::read(&input, DistanceUnit::Miles)?;
    let found = gaps(&batch.listings, &input.lexicon, args.least);
    let outcome = conclude(&input, &batch.rejects, &batch.notes)?;
    deliver(args.output.out.as_deref(), |out| {
        write_gaps(&found, batch.listings.len(), args.top, screen, out)
    })?;
    Ok(outcome)
}

/// The ads are left out by fifths to try what was learnt.
const FOLDS: usize = 5;

fn learn_leanings(args: &LeaningsArgs) -> Result<Outcome, CliError> {
    may_write(args.out.as_deref(), args.force)?;
    let mut rows = labelled(&args.files, args.leave_out)?;
    let known = rows.len();
    // Where no ads are fresh, all are tried.
    let mut first = 0;
    if !args.fresh.is_empty() {
        first = known;
        rows.extend(labelled(&args.fresh, None)?);
    }
    let fresh = rows.len() - known;
    let mut lexicon = tables(args.lexicon.as_deref())?;
    // What is learnt of what rules say must not hang on what is heard besides.
    lexicon.context = Context::default();
    match args.of {
        LeaningsOf::Parts => {
            let lessons = leanings::lessons(&rows, &lexicon);
            let tell = |_, chances| leanings::from_chance(chances, parts::LEAST_CHANCE);
            let (trial, learnt) = learnt((&lessons, first), leanings::FIT, tell);
            deliver(args.out.as_deref(), |out| {
                write_leanings(&leanings::rows(&learnt), &lessons, &trial, rows.len(), out)
            })?;
        }
        LeaningsOf::Moves => {
            let lessons = moves_leanings::lessons(&rows, &lexicon);
            let tell = |_, chances| leanings::from_chance(chances, moves::LEAST_CHANCE);
            let (trial, learnt) = learnt((&lessons, first), moves_leanings::FIT, tell);
            deliver(args.out.as_deref(), |out| {
                write_moves_leanings(&moves_leanings::rows(&learnt), &lessons, &trial, out)
            })?;
        }
        LeaningsOf::Passing => {
            let (lessons, found) = passing::lessons(&rows, &mut lexicon);
            let tell = |i: usize, chances| passing::tell(found[i], chances);
            let (trial, learnt) = learnt((&lessons, first), passing::FIT, tell);
            deliver(args.out.as_deref(), |out| {
                write_passing(
                    &passing::rows(&learnt),
                    &lessons,
                    &trial,
                    (rows.len(), fresh),
                    out,
                )
            })?;
        }
        LeaningsOf::Context => {
            let lessons = context::lessons(&rows, &lexicon);
            let learnt = lessons.rows(&lessons.learn());
            deliver(args.out.as_deref(), |out| {
                write_context(&learnt, &lessons, (rows.len(), fresh), out)
            })?;
        }
    }
    Ok(Outcome::Done)
}

/// What is learnt of all, and how what is learnt of most does on the others.
fn learnt<T: Ord + Clone, const N: usize>(
    (lessons, first): (&[Lesson<T>], usize),
    fit: Fit,
    tell: impl Fn(usize, [f64; N]) -> Told,
) -> (Trial, Learnt<T, N>) {
    let trial = leanings::try_left_out((lessons, first), FOLDS, fit, tell);
    let all = lessons.iter().collect::<Vec<_>>();
    (trial, leanings::learn(&all, fit))
}
