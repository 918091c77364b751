//! What stands in a column of a table, for those who ask how it is taken.

use super::{Holds, Table, Used};
use crate::intake::IntakeError;

impl Table {
    /// What a column holds, where that is no cell.
    pub fn no_cells(&self, at: usize) -> Option<&'static str> {
        match self.fields.get(at)? {
            Holds::Values(..) => None,
            Holds::Other(what) => Some(what),
        }
    }

    /// The first cells of a column, no two alike and none empty: at most so
    /// many, of so many rows. The table is left at its beginning, with nothing
    /// to be read.
    ///
    /// # Errors
    /// Damage, or a way of packing that is not known.
    pub fn samples(
        &mut self,
        at: usize,
        rows: usize,
        most: usize,
    ) -> Result<Vec<String>, IntakeError> {
        self.rewind();
        if let Some(&Holds::Values(leaf, form)) = self.fields.get(at) {
            self.used.push(Used { at, leaf, form });
        }
        let mut samples: Vec<String> = Vec::new();
        let mut left = if self.used.is_empty() { 0 } else { rows };
        while left > 0 && samples.len() < most {
            let Some(row) = self.next()? else { break };
            left -= 1;
            let cell = String::from_utf8_lossy(&self.texts[at]).into_owned();
            if row.broken.is_none() && !cell.trim().is_empty() && !samples.contains(&cell) {
                samples.push(cell);
            }
        }
        self.rewind();
        Ok(samples)
    }

    fn rewind(&mut self) {
        self.used.clear();
        self.readers.clear();
        (self.group, self.left_in_group, self.row) = (0, 0, 0);
    }
}
