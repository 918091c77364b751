//! What is said beside the result, on standard error.

use std::fmt;

use crate::intake::{Reject, Warning};
use crate::report::text::plain;
use crate::units::{Currency, ModelYear};
use crate::worth::ComparablesFile;

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
    /// A row of the findings is of no ad.
    NotFound {
        /// The id of the row.
        id: String,
        /// Its line.
        line: u64,
    },
    /// Cars that the newest exports leave out are not shown.
    Gone {
        /// How many.
        count: usize,
    },
    /// Ads are in a language that the tables do not know.
    OtherLanguage {
        /// How many.
        count: usize,
        /// Of how many.
        of: usize,
    },
    /// Ads ask in other money than that of the profile.
    OtherMoney {
        /// How many.
        count: usize,
        /// Of how many.
        of: usize,
        /// The money of most of them.
        money: Currency,
        /// The money of the profile.
        own: Currency,
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
            } => write!(
                f,
                "{count} more rows left out; the file of --rejects has them"
            ),
            Note::MoreRejected { count, .. } => {
                write!(
                    f,
                    "{count} more rows left out; --rejects FILE writes them all"
                )
            }
            Note::File { what } => f.write_str(what),
            Note::NotFound { id, line } => write!(
                f,
                "findings, line {line}: no ad has the id '{}'; the shortlist shows the ids",
                plain(id)
            ),
            Note::Gone { count: 1 } => {
                f.write_str("1 car that the newest export leaves out is not shown; --gone shows it")
            }
            Note::Gone { count } => write!(
                f,
                "{count} cars that the newest exports leave out are not shown; --gone shows them"
            ),
            Note::OtherLanguage { count, of } => write!(
                f,
                "{count} of {of} ads hardly have a word that the tables know; only English is \
                 read, so what is broken in them goes unseen"
            ),
            Note::OtherMoney {
                count,
                of,
                money,
                own,
            } => write!(
                f,
                "{count} of {of} ads ask in {}, which counts as no price, since the profile is in \
                 {}; 'fixworth profile' writes one, where currency = \"{}\" with your own \
                 figures changes that",
                money.code(),
                own.code(),
                money.code()
            ),
            Note::AsOf { year, from } => {
                write!(
                    f,
                    "ages are counted to {year}, {from}; --as-of YEAR sets it"
                )
            }
        }
    }
}

impl Note {
    /// The note on a finding of no ad.
    pub fn no_ad((id, line): (&str, u64)) -> Self {
        Note::NotFound {
            id: id.to_owned(),
            line,
        }
    }

    /// What the intake says of a file.
    pub fn of_file(warning: &Warning) -> Self {
        Note::File {
            what: warning.to_string(),
        }
    }
}

/// As many rows as are told; a damaged file has thousands.
const MOST: usize = 10;

/// The first rows that could not be used, and how many there are beside them.
pub fn first_rejects(rejects: &[Reject], written: bool) -> Vec<Note> {
    let mut told = Rejections::default();
    rejects.iter().for_each(|reject| told.add(reject));
    told.notes(written)
}

/// Rows that could not be used, counted as they come.
#[derive(Debug, Default)]
pub struct Rejections {
    first: Vec<Note>,
    count: usize,
}

impl Rejections {
    /// Counts a row.
    pub fn add(&mut self, reject: &Reject) {
        self.count += 1;
        if self.first.len() < MOST {
            self.first.push(Note::Rejected {
                what: format!(
                    "{}, line {}: {}",
                    plain(&reject.file),
                    reject.line,
                    reject.reason
                ),
            });
        }
    }

    /// Whether there is any.
    pub fn any(&self) -> bool {
        self.count > 0
    }

    /// The first, and how many there are beside them.
    pub fn notes(self, written: bool) -> Vec<Note> {
        let mut notes = self.first;
        let count = self.count - notes.len();
        if count > 0 {
            notes.push(Note::MoreRejected { count, written });
        }
        notes
    }
}

/// The first things wrong in a file of comparables, likewise.
pub fn first_problems(file: &ComparablesFile) -> Vec<Note> {
    let path = plain(&file.path.display().to_string());
    let mut notes: Vec<Note> = file
        .problems
        .iter()
        .take(MOST)
        .map(|problem| Note::File {
            what: format!("{path}, {}", plain(&problem.to_string())),
        })
        .collect();
    let count = file.problems.len().saturating_sub(MOST);
    if count > 0 {
        notes.push(Note::File {
            what: format!("{path}: {count} more lines have something wrong"),
        });
    }
    notes
}
