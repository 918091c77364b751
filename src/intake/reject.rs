//! Rows that are no listing: where, why, and what to do.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::cells::MAX_CELL;
use super::error::IntakeError;
use super::rows::MAX_ROW;
use crate::aside::Aside;
use crate::safe_text::for_csv_cell;

/// Characters of a rejected row that are kept.
const RAW_CHARS: usize = 200;

/// Why a row is no listing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Reason {
    /// More cells than the header has, and not only empty ones.
    TooManyCells {
        /// Cells of the row.
        found: usize,
        /// Cells of the header.
        expected: usize,
    },
    /// Fewer cells than the header has, and what is missing matters.
    TooFewCells {
        /// Cells of the row.
        found: usize,
        /// Cells of the header.
        expected: usize,
    },
    /// A quoted cell is never closed.
    UnclosedQuote,
    /// A quoted cell goes on after its closing quote.
    StrayQuote,
    /// A cell over 1 MiB or a row over 4 MiB.
    TooLong,
    /// Bytes that are no letters in the file's encoding.
    NotDecodable,
    /// A zero byte in a cell.
    ZeroByte,
    /// All cells are empty.
    Empty,
    /// Neither headline nor text.
    NoText,
    /// The header once more, as in files joined together.
    HeaderAgain,
    /// In a file of JSON objects a line that is none.
    NotObject,
}

impl Reason {
    /// The reason for a wrong number of cells.
    pub(super) const fn of_count(found: usize, expected: usize) -> Self {
        if found > expected {
            Reason::TooManyCells { found, expected }
        } else {
            Reason::TooFewCells { found, expected }
        }
    }

    /// A word for it, for counting and for the list of rejects.
    pub const fn word(self) -> &'static str {
        match self {
            Reason::TooManyCells { .. } => "too_many_cells",
            Reason::TooFewCells { .. } => "too_few_cells",
            Reason::UnclosedQuote => "unclosed_quote",
            Reason::StrayQuote => "stray_quote",
            Reason::TooLong => "too_long",
            Reason::NotDecodable => "not_decodable",
            Reason::ZeroByte => "zero_byte",
            Reason::Empty => "empty",
            Reason::NoText => "no_text",
            Reason::HeaderAgain => "header_again",
            Reason::NotObject => "not_object",
        }
    }
}

impl fmt::Display for Reason {
    /// What is wrong and what to do.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Reason::TooManyCells { found, expected } => write!(
                f,
                "{found} cells where the header has {expected}; put quotes round the cell that \
                 holds the delimiter"
            ),
            Reason::TooFewCells { found, expected } => write!(
                f,
                "{found} cells where the header has {expected}; join a row that was broken over \
                 lines, or put quotes round its text"
            ),
            Reason::UnclosedQuote => f.write_str(
                "a quote opens a cell and none closes it; close it, or remove the quote",
            ),
            Reason::StrayQuote => {
                f.write_str("a quote stands inside a quoted cell; double it (\"\"), or remove it")
            }
            Reason::TooLong => write!(
                f,
                "a cell over {} MiB or a row over {} MiB; cut it to the ad's own text",
                MAX_CELL >> 20,
                MAX_ROW >> 20
            ),
            Reason::NotDecodable => f.write_str(
                "holds bytes that are no letters in this file's encoding; retype the damaged \
                 words, or export the file again as UTF-8",
            ),
            Reason::ZeroByte => {
                f.write_str("holds a zero byte; the row is damaged, export it again")
            }
            Reason::Empty => f.write_str("all cells are empty; remove the row"),
            Reason::NoText => {
                f.write_str("neither headline nor text; fill one in, or remove the row")
            }
            Reason::HeaderAgain => f.write_str("the row of column names once more; remove it"),
            Reason::NotObject => {
                f.write_str("is no JSON object; write each ad as one object on a line of its own")
            }
        }
    }
}

/// A row that is no listing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reject {
    /// The file as named by the user.
    pub file: Arc<str>,
    /// The line the row begins on, from 1.
    pub line: u64,
    /// Why.
    pub reason: Reason,
    /// The first 200 characters of the row as they stand in the file.
    pub raw: String,
}

impl Reject {
    pub(super) fn new(file: &Arc<str>, line: u64, reason: Reason, raw: &[u8]) -> Self {
        let raw = String::from_utf8_lossy(raw);
        Reject {
            file: Arc::clone(file),
            line,
            reason,
            raw: raw.trim_end().chars().take(RAW_CHARS).collect(),
        }
    }
}

/// Writes rejected rows as CSV: `file`, `line`, `reason` (a word), `what_to_do`
/// and `raw`, the last made harmless for a spreadsheet.
///
/// # Errors
/// When the file cannot be written.
pub fn write_rejects(path: &Path, rejects: &[Reject]) -> Result<(), IntakeError> {
    let mut file = RejectFile::create(path)?;
    rejects.iter().try_for_each(|reject| file.write(reject))?;
    file.finish()
}

/// A file of rejected rows, written as they come and there when it is whole.
#[derive(Debug)]
pub struct RejectFile {
    path: PathBuf,
    writer: csv::Writer<Aside>,
}

impl RejectFile {
    /// Begins a file, in the place of one that is there.
    ///
    /// # Errors
    /// When it cannot be written, as for all that follow.
    pub fn create(path: &Path) -> Result<Self, IntakeError> {
        let begin = || {
            let mut writer = csv::Writer::from_writer(Aside::create(path)?);
            writer.write_record(["file", "line", "reason", "what_to_do", "raw"])?;
            Ok(writer)
        };
        let writer = begin().map_err(|problem: csv::Error| not_written(path, problem.into()))?;
        let path = path.to_owned();
        Ok(RejectFile { path, writer })
    }

    /// Adds a row.
    ///
    /// # Errors
    /// See [`Self::create`].
    pub fn write(&mut self, reject: &Reject) -> Result<(), IntakeError> {
        let written = self.writer.write_record([
            &*for_csv_cell(&reject.file),
            &reject.line.to_string(),
            reject.reason.word(),
            &reject.reason.to_string(),
            &*for_csv_cell(&reject.raw),
        ]);
        written.map_err(|problem| not_written(&self.path, problem.into()))
    }

    /// Ends the file.
    ///
    /// # Errors
    /// See [`Self::create`].
    pub fn finish(self) -> Result<(), IntakeError> {
        let written = self.writer.into_inner().map_err(|e| e.into_error());
        let written = written.and_then(Aside::finish);
        written.map_err(|problem| not_written(&self.path, problem))
    }
}

fn not_written(path: &Path, problem: io::Error) -> IntakeError {
    IntakeError::RejectsNotWritten {
        file: path.display().to_string(),
        problem,
    }
}
