//! The cars that a row speaks of, by their gearbox.

use super::table::{LexiconError, Row};
use crate::reading::Gearbox;

/// The gearboxes of a cell: the row holds for cars with one of them; all of
/// them where the cell is empty. `unstated` is a car whose ad names none.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Gearboxes(Vec<Gearbox>);

impl Gearboxes {
    /// The cell `gearbox` of a row.
    ///
    /// # Errors
    /// When a word of it is no gearbox.
    pub fn of_cell(row: &Row<'_>) -> Result<Self, LexiconError> {
        let named = row.list("gearbox")?.map(|word| {
            Gearbox::of_word(word).ok_or_else(|| {
                let problem = format!(
                    "'{word}' is none of: manual, automatic, cvt, unstated; leave empty for all"
                );
                row.error("gearbox", problem)
            })
        });
        named.collect::<Result<_, _>>().map(Gearboxes)
    }

    /// Whether the row holds for a car with this gearbox.
    pub fn fit(&self, gearbox: Gearbox) -> bool {
        self.0.is_empty() || self.0.contains(&gearbox)
    }

    /// Whether some car is meant by both rows.
    pub fn meet(&self, other: &Gearboxes) -> bool {
        self.0.is_empty() || other.0.is_empty() || self.0.iter().any(|g| other.fit(*g))
    }
}
