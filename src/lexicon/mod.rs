//! The trade's knowledge, read from tables that a mechanic can edit.
//!
//! Each table is a CSV file in `lexicon/`. The binary carries a copy of all of
//! them; a folder given by the user replaces the tables that it holds. A table
//! is checked when it is read, and what is wrong is named with file, line and
//! column.

pub mod give;
pub mod parts;
pub mod skills;
pub mod table;
pub mod unknowns;

use std::path::Path;

use give::Give;
use parts::Parts;
use skills::Skills;
pub use table::{LexiconError, Row, Sheet, Source};
use unknowns::Unknowns;

/// All tables, read and checked against each other.
#[derive(Debug)]
pub struct Lexicon {
    /// The codes of parts and symptoms.
    pub parts: Parts,
    /// What sellers give.
    pub give: Give,
    /// What an ad can leave open.
    pub unknowns: Unknowns,
    /// Skills and tools that jobs ask for.
    pub skills: Skills,
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
        let give = Give::read(&source.sheet("give.csv")?)?;
        let unknowns = Unknowns::read(&source.sheet("unknowns.csv")?)?;
        let skills = Skills::read(&source.sheet("skills.csv")?)?;
        Ok(Lexicon {
            parts,
            give,
            unknowns,
            skills,
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
