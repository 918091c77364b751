//! Files to listings: any number of CSV exports, in whatever shape a site gave
//! them, files with a JSON object on each line and, with the feature `parquet`,
//! Parquet tables become [`Listing`]s; rows that cannot are kept with their
//! reason.
//!
//! What is found out by itself: the delimiter (comma, semicolon, tab, bar),
//! the encoding (UTF-8 and UTF-16 with a mark or without, else Windows-1252),
//! which column holds what (`headers.csv` of the lexicon), distance unit and
//! currency where a header names them.
//!
//! What is decided here, and why:
//! - A row with more cells than the header is kept where the extra cells are
//!   empty, as spreadsheets write them; else some cell has got out of place
//!   and the row is rejected.
//! - A row with fewer cells is kept where headline, text, price and distance
//!   are there and the last cell it has is neither headline nor text: some
//!   exports leave out empty cells at the end. Else it may be half a row.
//! - A row with neither headline nor text says nothing and is rejected; either
//!   is enough. Lines with nothing on them are no rows.
//! - A cell may have 1 MiB, a row 4 MiB.
//! - A damaged row (zero bytes, letters that cannot be decoded) is rejected by
//!   itself; damage in a column that is not used does no harm.
//! - An ad without an id gets one made from its content. A row with the same
//!   id and content as one before is left out and counted, and its place kept
//!   as a [`Repeat`]; one with the same id and other content gets a number
//!   after its id. Within one file that is odd and told; over several files it
//!   is how an ad that was changed comes again.

mod cells;
mod clean;
mod columns;
mod dialect;
mod encoding;
mod error;
mod file;
mod ids;
mod input;
mod letters;
pub mod listing;
mod magic;
mod objects;
#[cfg(feature = "parquet")]
mod parquet;
mod reader;
mod reject;
mod rows;
mod seen;
mod survey;
mod table;
mod warning;

use std::path::PathBuf;

pub use cells::MAX_CELL;
pub use columns::{ColumnOverride, ColumnOverrideError};
pub(crate) use encoding::small_table;
pub use error::IntakeError;
pub(crate) use error::assignment;
pub use listing::{Listing, ListingId, Origin, Repeat};
#[cfg(feature = "parquet")]
pub use parquet::TableProblem;
pub use reader::{Item, Options, Reader};
pub use reject::{Reason, Reject, RejectFile, write_rejects};
pub use rows::MAX_ROW;
pub use survey::{Layout, Survey, SurveyedColumn, Taken, survey};
pub use warning::Warning;

use crate::lexicon::Lexicon;

/// All that was read in a run.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Intake {
    /// The ads, in order of files and rows.
    pub listings: Vec<Listing>,
    /// The rows that are none.
    pub rejects: Vec<Reject>,
    /// The rows that say once more what was read before.
    pub repeats: Vec<Repeat>,
    /// What the user should know.
    pub warnings: Vec<Warning>,
}

impl Intake {
    /// Rows that were left out because the same had been read before.
    pub fn repeated(&self) -> u64 {
        let within = self.warnings.iter().map(|w| match w {
            Warning::RepeatedRows { count, .. } => *count,
            _ => 0,
        });
        within.sum::<u64>() + self.repeats.len() as u64
    }
}

/// Reads all files; `-` is standard input.
///
/// # Errors
/// The first file that cannot be read at all.
pub fn read_all(
    paths: &[PathBuf],
    options: &Options,
    lexicon: &Lexicon,
) -> Result<Intake, IntakeError> {
    Reader::new(paths, options, lexicon).collect()
}

impl FromIterator<Item> for Intake {
    fn from_iter<I: IntoIterator<Item = Item>>(items: I) -> Self {
        let mut intake = Intake::default();
        for item in items {
            match item {
                Item::Listing(listing) => intake.listings.push(listing),
                Item::Reject(reject) => intake.rejects.push(reject),
                Item::Repeat(repeat) => intake.repeats.push(repeat),
                Item::Warning(warning) => intake.warnings.push(warning),
            }
        }
        intake
    }
}
