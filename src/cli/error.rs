//! Why a run ended without a result.

use std::io;
use std::path::PathBuf;

use crate::intake::IntakeError;
use crate::kerb::FindingsError;
use crate::ledger::BookError;
use crate::lexicon::LexiconError;
use crate::near::hint;
use crate::profile::ProfileError;
use crate::sensitivity::ChangeError;
use crate::upkeep::LabelledError;
use crate::upkeep::export::ExportError;
use crate::worth::ComparablesError;

/// Why nothing was done. Each is one line; all but the first two exit with 2.
#[derive(Debug, thiserror::Error)]
pub enum CliError {
    /// Help or version was asked for: its text.
    #[error("{0}")]
    Help(String),
    /// Whoever read the output has closed it.
    #[error("the output was closed")]
    Closed,
    /// The command line says something that it cannot.
    #[error("{0}")]
    Usage(String),
    /// A table of the lexicon.
    #[error("{0}")]
    Lexicon(#[from] LexiconError),
    /// The profile.
    #[error("{0}")]
    Profile(#[from] ProfileError),
    /// Something that is supposed otherwise.
    #[error("--what-if: {0}")]
    WhatIf(#[from] ChangeError),
    /// A file of ads.
    #[error("{0}")]
    Intake(#[from] IntakeError),
    /// The ledger, or the factors learnt from it.
    #[error("{0}")]
    Book(#[from] BookError),
    /// A file of comparables.
    #[error("{0}")]
    Comparables(#[from] ComparablesError),
    /// A file of findings.
    #[error("{0}")]
    Findings(#[from] FindingsError),
    /// Labelled ads.
    #[error("{0}")]
    Labelled(#[from] LabelledError),
    /// Tables could not be written.
    #[error("{0}")]
    Export(#[from] ExportError),
    /// A file cannot be read.
    #[error("{}: cannot be read: {problem}", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// The system's words.
        problem: io::Error,
    },
    /// A file cannot be written.
    #[error("{}: cannot be written: {problem}", path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// The system's words.
        problem: io::Error,
    },
    /// Standard output cannot be written.
    #[error("standard output: cannot be written: {0}")]
    Stdout(io::Error),
    /// The ads of a long run cannot be put aside.
    #[error(
        "the ads cannot be put aside in the folder for temporary files: {0}; make room there, \
         or name another folder in TMPDIR"
    )]
    Shelf(io::Error),
    /// No ad has this id.
    #[error("no ad has the id '{id}'{near}")]
    NoAd {
        /// The id asked for.
        id: String,
        /// `; did you mean '7'?`, or nothing.
        near: String,
    },
}

impl CliError {
    /// No ad has this id; these are the ids that there are.
    pub(super) fn no_ad<'a>(id: &str, ids: impl IntoIterator<Item = &'a str>) -> Self {
        CliError::NoAd {
            near: hint(id, ids, "the shortlist shows the ids"),
            id: id.to_owned(),
        }
    }
}
