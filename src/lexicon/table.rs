//! Reading a table with the place of everything that is wrong in it.

mod sheet;

use std::borrow::Cow;
use std::path::{Path, PathBuf};

pub use sheet::{Row, Sheet};

/// Something wrong in a table of the lexicon: where, what, and what to do.
#[derive(Debug, thiserror::Error)]
pub enum LexiconError {
    /// A cell holds something that it must not.
    #[error("{file}, line {line}, column '{column}': {problem}")]
    Cell {
        /// The table.
        file: String,
        /// Line in the file, from 1.
        line: u64,
        /// The column's header.
        column: String,
        /// What is wrong and what would be right.
        problem: String,
    },
    /// The table has no column of this name.
    #[error("{file}: no column '{column}'; its columns are: {found}")]
    NoColumn {
        /// The table.
        file: String,
        /// The column that is missing.
        column: String,
        /// The columns that are there.
        found: String,
    },
    /// The table as a whole lacks something.
    #[error("{file}: {problem}")]
    Table {
        /// The table.
        file: String,
        /// What is wrong and what would be right.
        problem: String,
    },
    /// The file is no CSV.
    #[error("{file}: not a readable CSV table: {problem}")]
    NotCsv {
        /// The table.
        file: String,
        /// The reader's words.
        problem: String,
    },
    /// The folder or a file in it cannot be read.
    #[error("{path}: cannot be read: {problem}")]
    Io {
        /// The path as given.
        path: PathBuf,
        /// The system's words.
        problem: std::io::Error,
    },
    /// The folder holds a CSV that is no table of the lexicon.
    #[error("{path}: no table of the lexicon has this name; the tables are: {known}")]
    UnknownTable {
        /// The file found.
        path: PathBuf,
        /// The names that would be read.
        known: String,
    },
}

macro_rules! built_in {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../lexicon/", $name)))),*]
    };
}

/// The tables that the binary carries, by name. One registry: a table that is
/// not listed here is not read.
pub const BUILT_IN: &[(&str, &str)] = built_in![
    "answers.csv",
    "assumptions.csv",
    "base_rates.csv",
    "causes.csv",
    "checks.csv",
    "classes.csv",
    "comparable_headers.csv",
    "context.csv",
    "covers.csv",
    "cues.csv",
    "due_work.csv",
    "effects.csv",
    "fault_codes.csv",
    "follow_on.csv",
    "forms.csv",
    "give.csv",
    "headers.csv",
    "leanings.csv",
    "light_faults.csv",
    "makes.csv",
    "models.csv",
    "moves_leanings.csv",
    "moving.csv",
    "numbers.csv",
    "ordinary_words.csv",
    "parting.csv",
    "parts.csv",
    "passing.csv",
    "patience.csv",
    "phrases.csv",
    "plainer.csv",
    "repairs.csv",
    "scrap.csv",
    "senses.csv",
    "shared_work.csv",
    "short_words.csv",
    "signs.csv",
    "skills.csv",
    "titles.csv",
    "unknowns.csv",
    "verbs.csv",
    "warning_phrases.csv",
    "warnings.csv",
    "wmi.csv",
    "word_classes.csv",
    "worth.csv",
];

/// Where tables come from: the binary, or a folder laid over it.
#[derive(Debug)]
pub struct Source {
    dir: Option<PathBuf>,
}

impl Source {
    /// The tables in the binary.
    pub fn built_in() -> Self {
        Source { dir: None }
    }

    /// Whether it is the binary alone.
    pub fn is_built_in(&self) -> bool {
        self.dir.is_none()
    }

    /// A folder of tables over those in the binary.
    ///
    /// # Errors
    /// When the folder cannot be listed or holds a CSV of an unknown name.
    pub fn dir(dir: &Path) -> Result<Self, LexiconError> {
        let io = |problem| LexiconError::Io {
            path: dir.to_owned(),
            problem,
        };
        for entry in std::fs::read_dir(dir).map_err(io)? {
            let path = entry.map_err(io)?.path();
            let is_csv = path
                .extension()
                .is_some_and(|e| e.eq_ignore_ascii_case("csv"));
            let known = path
                .file_name()
                .and_then(|n| n.to_str())
                .is_some_and(|n| BUILT_IN.iter().any(|(name, _)| *name == n));
            if is_csv && !known {
                let known: Vec<_> = BUILT_IN.iter().map(|(name, _)| *name).collect();
                return Err(LexiconError::UnknownTable {
                    path,
                    known: known.join(", "),
                });
            }
        }
        Ok(Source {
            dir: Some(dir.to_owned()),
        })
    }

    /// The table of this name.
    ///
    /// # Errors
    /// When the file is there but cannot be read, or is no CSV.
    pub fn sheet(&self, name: &'static str) -> Result<Sheet, LexiconError> {
        let (file, text) = self.text(name)?;
        Sheet::parse(&file, &text)
    }

    /// The same as it is written, with the name that messages give it.
    ///
    /// # Errors
    /// When the file is there but cannot be read.
    pub fn text(&self, name: &'static str) -> Result<(String, Cow<'static, str>), LexiconError> {
        let over = self.dir.as_ref().map(|d| d.join(name));
        let Some(path) = over.filter(|p| p.exists()) else {
            let table = BUILT_IN.iter().find(|(n, _)| *n == name);
            let text = table.map_or("", |(_, text)| *text);
            return Ok((name.to_owned(), Cow::Borrowed(text)));
        };
        let text = std::fs::read_to_string(&path).map_err(|problem| LexiconError::Io {
            path: path.clone(),
            problem,
        })?;
        let text = text.trim_start_matches('\u{feff}').to_owned();
        Ok((path.display().to_string(), Cow::Owned(text)))
    }
}

/// The line of `text` that a record begins on, from 1. The reader's own
/// position is where it stood before it skipped line ends, blank lines and
/// notes.
pub(crate) fn first_line(text: &[u8], position: &csv::Position, note: Option<u8>) -> u64 {
    let start = usize::try_from(position.byte()).unwrap_or(usize::MAX);
    let mut rest = text.get(start..).unwrap_or_default();
    let mut line = position.line();
    while let Some(first) = rest.first() {
        let skipped = match first {
            b'\r' | b'\n' => 1,
            _ if note == Some(*first) => {
                rest.iter().position(|b| *b == b'\n').unwrap_or(rest.len())
            }
            _ => break,
        };
        line += u64::from(*first == b'\n');
        rest = &rest[skipped..];
    }
    line
}
