//! What makes a whole file, and with it the run, impossible to read.

use std::io;

use super::columns::ColumnOverride;
#[cfg(feature = "parquet")]
use super::parquet::TableProblem;
use crate::lexicon::headers::Field;
use crate::near;
use crate::safe_text::for_terminal;

/// A file that cannot be read: which, why, and what to do.
#[derive(Debug, thiserror::Error)]
pub enum IntakeError {
    /// No such file.
    #[error("{file}: no such file; check the name and the folder")]
    NotFound {
        /// The file as named by the user.
        file: String,
    },
    /// A folder was named.
    #[error("{file}: is a folder; name the CSV files in it")]
    Folder {
        /// The folder as named by the user.
        file: String,
    },
    /// The system refuses, or reading broke off.
    #[error("{file}: cannot be read: {problem}")]
    Unreadable {
        /// The file as named by the user.
        file: String,
        /// The system's words.
        problem: io::Error,
    },
    /// The file is plainly of another kind.
    #[error("{file}: this is {kind}")]
    NotCsv {
        /// The file as named by the user.
        file: String,
        /// What it is, and how to make a CSV of it.
        kind: &'static str,
    },
    /// The file is a Parquet table that cannot be read.
    #[cfg(feature = "parquet")]
    #[error("{file}: this Parquet table {problem}")]
    Table {
        /// The file as named by the user.
        file: String,
        /// What is wrong with it.
        problem: TableProblem,
    },
    /// The file is no text.
    #[error("{file}: this is no text but binary data; export the ads as CSV")]
    Binary {
        /// The file as named by the user.
        file: String,
    },
    /// The file has no letter in it.
    #[error("{file}: is empty; a row of column names and a row for each ad are needed")]
    Empty {
        /// The file as named by the user.
        file: String,
    },
    /// No column holds the words of the ads.
    #[error(
        "{file}: no column with the text or the headline of the ads; its columns are: {}; {} \
         (a file of known prices is given with --comparables)",
        shown(.found),
        named(.likely.as_deref())
    )]
    NoTextColumn {
        /// The file as named by the user.
        file: String,
        /// The headers that it has.
        found: Vec<String>,
        /// The header of the column whose cells look like text.
        likely: Option<String>,
    },
    /// A column that the user named is not there, and nothing else can stand
    /// for its field.
    #[error(
        "{file}: no column '{}' for {}; {}its columns are: {}",
        for_terminal(&.column.header),
        .column.field,
        nearest(&.column.header, .found),
        shown(.found)
    )]
    NoSuchColumn {
        /// The file as named by the user.
        file: String,
        /// What the user said.
        column: ColumnOverride,
        /// The headers that the file has.
        found: Vec<String>,
    },
    /// Two columns of different fields were given the same header.
    #[error(
        "{file}: column '{}' cannot be both {first} and {second}; name two columns",
        for_terminal(.header)
    )]
    OneColumnTwice {
        /// The file as named by the user.
        file: String,
        /// The header that was named twice.
        header: String,
        /// One field.
        first: Field,
        /// The other.
        second: Field,
    },
    /// The list of rejects cannot be written.
    #[error("{file}: the rejected rows cannot be written: {problem}")]
    RejectsNotWritten {
        /// The file to write.
        file: String,
        /// The system's words.
        problem: io::Error,
    },
}

/// The headers of a file as a list, made harmless and cut to what can be read.
pub(super) fn shown(headers: &[String]) -> String {
    const MOST: usize = 30;
    const LONGEST: usize = 40;
    let named: Vec<String> = headers
        .iter()
        .filter(|h| !h.is_empty())
        .take(MOST)
        .map(|h| for_terminal(h).chars().take(LONGEST).collect())
        .collect();
    let more = if headers.len() > MOST { ", ..." } else { "" };
    format!("{}{more}", named.join(", "))
}

fn named(likely: Option<&str>) -> String {
    match likely {
        None => "name the right one with --column text=HEADER".to_owned(),
        Some(header) => format!(
            "'{}' looks like it: say --column {}",
            for_terminal(header),
            assignment(Field::Text, header)
        ),
    }
}

/// `price=Cost` as a shell takes it: in quotes where it would be parted.
pub(crate) fn assignment(field: Field, header: &str) -> String {
    let pair = format!("{field}={}", for_terminal(header));
    let plain = |c: char| c.is_alphanumeric() || "=_-.".contains(c);
    if pair.chars().all(plain) {
        pair
    } else {
        format!("'{}'", pair.replace('\'', "'\\''"))
    }
}

fn nearest(header: &str, found: &[String]) -> String {
    near::nearest(header, found.iter().map(String::as_str)).map_or(String::new(), |h| {
        format!("did you mean '{}'? ", for_terminal(h))
    })
}
