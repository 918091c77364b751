//! Codes that say more than another: told together, the plainer one says
//! nothing of its own.

use super::parts::{PartId, Parts};
use super::table::{LexiconError, Sheet};

/// The rows of `covers.csv`.
#[derive(Debug, Default)]
pub struct Covers {
    pairs: Vec<(PartId, PartId)>,
}

impl Covers {
    /// Reads and checks `covers.csv`.
    ///
    /// # Errors
    /// A code that is not in `parts.csv`, a code that covers itself.
    pub fn read(sheet: &Sheet, parts: &Parts) -> Result<Self, LexiconError> {
        let mut pairs = Vec::new();
        for row in sheet.rows() {
            let code = parts.of_cell(&row, "code", row.required("code")?)?;
            let covers = parts.of_cell(&row, "covers", row.required("covers")?)?;
            if code == covers {
                return Err(row.error("covers", "a code cannot cover itself; name the plainer one"));
            }
            pairs.push((code, covers));
        }
        Ok(Covers { pairs })
    }

    /// Codes that say more than this one.
    pub fn of(&self, plain: PartId) -> impl Iterator<Item = PartId> + '_ {
        self.pairs
            .iter()
            .filter(move |(_, covers)| *covers == plain)
            .map(|(code, _)| *code)
    }
}
