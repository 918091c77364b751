//! The trade's knowledge, read from tables that a mechanic can edit.
//!
//! Each table is a CSV file in `lexicon/`. The binary carries a copy of all of
//! them; a folder given by the user replaces the tables that it holds. A table
//! is checked when it is read, and what is wrong is named with file, line and
//! column.

pub mod comparable_headers;
pub mod curves;
pub mod light_faults;
pub mod parts;
pub mod table;
pub mod titles;

use std::path::Path;

use comparable_headers::ComparableHeaders;
use curves::Curves;
use light_faults::LightFaults;
use parts::Parts;
pub use table::{LexiconError, Row, Sheet, Source};
use titles::Titles;

/// All tables, read and checked against each other.
#[derive(Debug)]
pub struct Lexicon {
    /// The codes of parts and symptoms.
    pub parts: Parts,
    /// Headers of comparables files.
    pub comparable_headers: ComparableHeaders,
    /// Faults with which a car still counts as sound for comparison.
    pub light_faults: LightFaults,
    /// What the papers do to the price.
    pub titles: Titles,
    /// What a sound car is worth by class when nothing better is known.
    pub curves: Curves,
}

impl Lexicon {
    /// The tables that the binary carries.
    ///
    /// # Errors
    /// Never in a released build: a test reads them all.
    pub fn built_in() -> Result<Self, LexiconError> {
        Self::read(&Source::built_in())
    }

    /// The tables of a folder; a table that is not there is taken from the
    /// binary.
    ///
    /// # Errors
    /// The first thing wrong in any table, with its place.
    pub fn from_dir(dir: &Path) -> Result<Self, LexiconError> {
        Self::read(&Source::dir(dir)?)
    }

    fn read(source: &Source) -> Result<Self, LexiconError> {
        let parts = Parts::read(&source.sheet("parts.csv")?)?;
        Ok(Lexicon {
            comparable_headers: ComparableHeaders::read(&source.sheet("comparable_headers.csv")?)?,
            light_faults: LightFaults::read(&source.sheet("light_faults.csv")?, &parts)?,
            titles: Titles::read(&source.sheet("titles.csv")?)?,
            curves: Curves::read(&source.sheet("worth.csv")?)?,
            parts,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn built_in_tables_are_sound() {
        let lexicon = Lexicon::built_in().unwrap();
        assert!(lexicon.parts.len() > 140);
    }
}
