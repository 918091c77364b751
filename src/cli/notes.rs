//! What is said beside the result, on standard error.

use std::fmt;
use std::io::Write as _;

use crate::intake::Reject;
use crate::units::ModelYear;

/// Something the user should know; its text says what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Note {
    /// A row could not be used.
    Rejected {
        /// The row's place and what is wrong.
        what: String,
    },
    /// More rows could not be used than are listed.
    MoreRejected {
        /// How many more.
        count: usize,
        /// Whether they are written to a file.
        written: bool,
    },
    /// Something about a whole file.
    File {
        /// What, with the file's name.
        what: String,
    },
    /// The year that ages are counted to was not given.
    AsOf {
        /// The year.
        year: ModelYear,
        /// Where it is from.
        from: String,
    },
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Note::Rejected { what } => write!(f, "row left out: {what}"),
            Note::MoreRejected {
                count,
                written: true,
            } => write!(f, "{count} more rows left out; the file of --rejects has them"),
            Note::MoreRejected { count, .. } => {
                write!(f, "{count} more rows left out; --rejects FILE writes them all")
            }
            Note::File { what } => f.write_str(what),
            Note::AsOf { year, from } => {
                write!(f, "ages are counted to {year}, {from}; --as-of YEAR sets it")
            }
        }
    }
}

/// Prints notes; a closed standard error is no reason to fail.
pub fn tell(notes: &[Note]) {
    let mut err = std::io::stderr().lock();
    for note in notes {
        let _ = writeln!(err, "fixworth: {note}");
    }
}

/// The first rows that could not be used, and how many there are beside them.
pub fn first_rejects(rejects: &[Reject], written: bool) -> Vec<Note> {
    /// Enough to see what is wrong; a damaged file has thousands.
    const MOST: usize = 10;
    let mut notes: Vec<Note> = rejects
        .iter()
        .take(MOST)
        .map(|r| Note::Rejected {
            what: format!("{}, line {}: {}", r.file, r.line, r.reason),
        })
        .collect();
    let count = rejects.len().saturating_sub(MOST);
    if count > 0 {
        notes.push(Note::MoreRejected { count, written });
    }
    notes
}
