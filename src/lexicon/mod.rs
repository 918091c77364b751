//! The trade's knowledge, read from tables that a mechanic can edit.
//!
//! Each table is a CSV file in `lexicon/`. The binary carries a copy of all of
//! them; a folder given by the user replaces the tables that it holds. A table
//! is checked when it is read, and what is wrong is named with file, line and
//! column.

pub mod parts;
pub mod phrases;
pub mod phrasing;
pub mod table;
pub mod vehicles;

use std::path::Path;

use parts::Parts;
use phrases::Phrases;
pub use table::{LexiconError, Row, Sheet, Source};
use vehicles::Vehicles;

/// All tables, read and checked against each other.
#[derive(Debug)]
pub struct Lexicon {
    /// The codes of parts and symptoms.
    pub parts: Parts,
    /// What sellers call them, cues, signs and words beside numbers.
    pub phrases: Phrases,
    /// Makes and models.
    pub vehicles: Vehicles,
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
        let phrases = Phrases::read(
            &source.sheet("phrases.csv")?,
            &source.sheet("cues.csv")?,
            &source.sheet("effects.csv")?,
            &source.sheet("signs.csv")?,
            &source.sheet("numbers.csv")?,
            &parts,
        )?;
        let vehicles = Vehicles::read(
            &source.sheet("makes.csv")?,
            &source.sheet("models.csv")?,
            &source.sheet("wmi.csv")?,
        )?;
        Ok(Lexicon {
            parts,
            phrases,
            vehicles,
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
