//! What a header says, and which rows below it are some.

use super::cells::Cells;
use super::columns::Columns;
use super::reject::Reason;
use crate::lexicon::headers::Field;

/// A file with a header.
pub(super) struct Table {
    /// The header's cells as they stand in the file.
    pub header: Vec<Vec<u8>>,
    pub columns: Columns,
}

impl Table {
    /// Whether a row is one.
    pub fn judge(&self, cells: &Cells) -> Result<(), Reason> {
        let expected = self.header.len();
        if cells.iter().all(|c| c.iter().all(u8::is_ascii_whitespace)) {
            return Err(Reason::Empty);
        }
        let whole = cells.fit(expected)
            || (cells.len() < expected && self.columns.short_row_is_whole(cells.len()));
        if !whole {
            return Err(Reason::of_count(cells.len(), expected));
        }
        if self.is_header_again(cells) {
            return Err(Reason::HeaderAgain);
        }
        Ok(())
    }

    fn is_header_again(&self, cells: &Cells) -> bool {
        let same = |at: usize| cells.get(at) == self.header[at];
        let prose = self.columns.of(Field::Text);
        let prose = prose.or(self.columns.of(Field::Headline));
        prose.is_some_and(same) && self.columns.used().filter(|at| *at > 0).all(same)
    }
}
