//! Why a Parquet table cannot be read.

use parquet::errors::ParquetError;

use super::super::error::assignment;
use super::guard::{MAX_INDEX, MAX_PAGE};
use crate::lexicon::headers::Field;
use crate::safe_text::for_terminal;

/// What is wrong with a table, and what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TableProblem {
    /// Its end is missing.
    #[error("is cut off: its index, which stands at its end, is missing; copy or export it again")]
    CutOff,
    /// What it says of itself does not fit together.
    #[error("is damaged ({}); copy or export it again", for_terminal(.0))]
    Damaged(String),
    /// It is a secret.
    #[error("is encrypted; write it without encryption")]
    Encrypted,
    /// Its index is larger than any that is meant well.
    #[error(
        "has an index of {0} MiB, and {most} is the most; write it with fewer and larger groups \
         of rows",
        most = MAX_INDEX >> 20
    )]
    LargeIndex(u64),
    /// One of its pages is larger than any that is meant well.
    #[error(
        "has a page of {size} MiB in column '{}', and {most} is the most; write it with smaller \
         groups of rows",
        for_terminal(.column),
        most = MAX_PAGE >> 20
    )]
    LargePage {
        /// The column.
        column: String,
        /// Its size in MiB.
        size: u64,
    },
    /// A column is written in a way that is not read.
    #[error(
        "has column '{}' written with {how}, which is not read here; write it with zstd or \
         snappy, in the encodings of Parquet 1",
        for_terminal(.column)
    )]
    NotRead {
        /// The column.
        column: String,
        /// How it is packed or encoded.
        how: String,
    },
    /// A column that is taken for a field holds no single values.
    #[error(
        "holds {what} in column '{}', which is taken as the {field}; write it as text, or name \
         another column with --column {}",
        for_terminal(.column),
        assignment(*.field, "HEADER")
    )]
    NoCells {
        /// The column.
        column: String,
        /// What it was taken for.
        field: Field,
        /// What it holds.
        what: &'static str,
    },
}

impl TableProblem {
    /// What those who decode say, in our words.
    pub(super) fn of(problem: ParquetError, column: Option<&str>) -> Self {
        /// Longer explanations help nobody.
        const MOST: usize = 160;
        let problem = match problem {
            ParquetError::External(inner) => match inner.downcast::<TableProblem>() {
                Ok(ours) => return *ours,
                Err(other) => other.to_string(),
            },
            ParquetError::General(words) | ParquetError::NYI(words) | ParquetError::EOF(words) => {
                words
            }
            other => other.to_string(),
        };
        let words: String = problem.chars().take(MOST).collect();
        TableProblem::Damaged(match column {
            Some(column) => format!("column '{column}': {words}"),
            None => words,
        })
    }
}

impl From<TableProblem> for ParquetError {
    fn from(problem: TableProblem) -> Self {
        ParquetError::External(Box::new(problem))
    }
}
