//! Faults with which a car still counts as sound for comparison.

use std::collections::BTreeSet;

use super::parts::{PartId, Parts};
use super::table::{LexiconError, Sheet};

/// The codes of `light_faults.csv`.
#[derive(Debug, Clone)]
pub struct LightFaults {
    parts: BTreeSet<PartId>,
}

impl LightFaults {
    /// Reads and checks `light_faults.csv`.
    ///
    /// # Errors
    /// A code that `parts.csv` does not have, or that stands twice.
    pub fn read(sheet: &Sheet, codes: &Parts) -> Result<Self, LexiconError> {
        let mut parts = BTreeSet::new();
        for row in sheet.rows() {
            let code = row.required("part")?;
            row.required("source")?;
            if !parts.insert(codes.of_cell(&row, "part", code)?) {
                return Err(row.error("part", format!("'{code}' stands twice; remove one")));
            }
        }
        Ok(LightFaults { parts })
    }

    /// Whether a fault of this part leaves the car sound for comparison.
    pub fn contains(&self, part: PartId) -> bool {
        self.parts.contains(&part)
    }
}
