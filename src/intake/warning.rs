//! What the user should know of a file that was read all the same.

use std::fmt;
use std::sync::Arc;

use super::columns::ColumnOverride;
use super::error::shown;
use crate::lexicon::headers::Field;
use crate::safe_text::for_terminal;

/// Something odd in a file, and what to do if it matters. Each kind comes at
/// most once for a file (and field), with a count where there is one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Warning {
    /// Column names and nothing below.
    HeaderOnly {
        /// The file.
        file: Arc<str>,
    },
    /// No column holds the price; prices can come only from the text.
    NoPriceColumn {
        /// The file.
        file: Arc<str>,
        /// The headers that it has.
        found: Vec<String>,
    },
    /// Two columns could be the same field.
    TwoColumns {
        /// The file.
        file: Arc<str>,
        /// The field.
        field: Field,
        /// The header that was taken.
        used: String,
        /// The header that was left.
        left: String,
    },
    /// A column that the user named is not in this file; another was taken.
    ColumnNotInFile {
        /// The file.
        file: Arc<str>,
        /// What the user said.
        column: ColumnOverride,
        /// The header that was taken.
        used: String,
    },
    /// The file is no UTF-8 and was read as Windows-1252.
    Windows1252 {
        /// The file.
        file: Arc<str>,
    },
    /// Different ads have the same id; all but the first got a new one.
    SharedIds {
        /// The file.
        file: Arc<str>,
        /// How many ads got a new id.
        count: u64,
        /// The first id that was shared.
        id: String,
        /// The line of the first ad that got a new id.
        line: u64,
    },
    /// Rows that had been read already, with every cell the same.
    RepeatedRows {
        /// The file.
        file: Arc<str>,
        /// How many were left out.
        count: u64,
    },
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Warning::HeaderOnly { file } => write!(
                f,
                "{file}: column names and no ad below them; was the export finished?"
            ),
            Warning::NoPriceColumn { file, found } => write!(
                f,
                "{file}: no price column, so prices are read from the text; if one of these \
                 holds the price, say --column price=HEADER: {}",
                shown(found)
            ),
            Warning::TwoColumns {
                file,
                field,
                used,
                left,
            } => write!(
                f,
                "{file}: both '{}' and '{}' could be the {field}; '{}' was taken, say \
                 --column {field}=HEADER for the other",
                for_terminal(used),
                for_terminal(left),
                for_terminal(used),
            ),
            Warning::ColumnNotInFile { file, column, used } => write!(
                f,
                "{file}: no column '{}' for {}; '{}' was taken, check the spelling if that is \
                 wrong",
                for_terminal(&column.header),
                column.field,
                for_terminal(used)
            ),
            Warning::Windows1252 { file } => write!(
                f,
                "{file}: not UTF-8, read as Windows-1252; if letters look wrong, save it as UTF-8"
            ),
            Warning::SharedIds {
                file,
                count,
                id,
                line,
            } => write!(
                f,
                "{file}: {count} ads have an id that another ad has (the first: '{}', line \
                 {line}); a number was added to each; check that the id column is the right one",
                for_terminal(id)
            ),
            Warning::RepeatedRows { file, count } => write!(
                f,
                "{file}: {count} rows are exact repeats of rows read before and were left out"
            ),
        }
    }
}
