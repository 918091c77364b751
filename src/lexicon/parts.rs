//! The codes that a claim can speak of: parts of a car, and symptoms.

use std::collections::HashMap;

use serde::{Deserialize, Serialize};

use super::table::{LexiconError, Row, Sheet};
use crate::near::hint;

/// One code of `parts.csv`, as a small number into its [`Parts`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct PartId(u16);

impl PartId {
    /// Position in the table, for arrays that run beside it.
    pub fn index(self) -> usize {
        usize::from(self.0)
    }
}

/// Whether a code is a thing that can be replaced or a sign of trouble.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PartKind {
    /// A part, or a body fault at a part.
    Part,
    /// A symptom: it is there or it is not.
    Symptom,
}

/// One row of `parts.csv`.
#[derive(Debug, Clone)]
pub struct Part {
    /// The code, as printed.
    pub code: String,
    /// The group of the car: engine, fuel, cooling, ...
    pub group: String,
    /// Part or symptom.
    pub kind: PartKind,
    /// In words, for people.
    pub meaning: String,
    /// A fault of it can cost more than a cheap car is worth.
    pub ruinous: bool,
}

/// The registry of codes.
#[derive(Debug)]
pub struct Parts {
    rows: Vec<Part>,
    by_code: HashMap<String, PartId>,
}

impl Parts {
    /// Reads and checks `parts.csv`.
    ///
    /// # Errors
    /// A code that stands twice, an unknown kind, an empty cell.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut parts = Parts {
            rows: Vec::new(),
            by_code: HashMap::new(),
        };
        for row in sheet.rows() {
            let code = row.required("code")?.to_owned();
            let kind = match row.required("kind")? {
                "part" => PartKind::Part,
                "symptom" => PartKind::Symptom,
                other => {
                    return Err(row.error("kind", format!("'{other}' is neither part nor symptom")));
                }
            };
            let id = u16::try_from(parts.rows.len())
                .map(PartId)
                .map_err(|_| row.error("code", "more than 65,535 codes"))?;
            if parts.by_code.insert(code.clone(), id).is_some() {
                return Err(row.error("code", format!("'{code}' stands twice; remove one")));
            }
            parts.rows.push(Part {
                code,
                group: row.required("group")?.to_owned(),
                kind,
                meaning: row.required("meaning")?.to_owned(),
                ruinous: row.optional("ruinous").is_some() && row.marked("ruinous")?,
            });
        }
        Ok(parts)
    }

    /// How many codes there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there is no code at all.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The id of a code.
    pub fn find(&self, code: &str) -> Option<PartId> {
        self.by_code.get(code).copied()
    }

    /// The id of the code in a cell of another table.
    ///
    /// # Errors
    /// When `parts.csv` has no such code: names the nearest one.
    pub fn of_cell(&self, row: &Row<'_>, column: &str, code: &str) -> Result<PartId, LexiconError> {
        self.find(code).ok_or_else(|| {
            let near = hint(
                code,
                self.rows.iter().map(|p| p.code.as_str()),
                "that table lists them",
            );
            row.error(column, format!("'{code}' is no code of parts.csv{near}"))
        })
    }

    /// All ids of a group of the car.
    pub fn of_group(&self, group: &str) -> Vec<PartId> {
        let of = |id: &PartId| self.get(*id).group == group;
        self.ids().filter(of).collect()
    }

    /// The row of an id.
    pub fn get(&self, id: PartId) -> &Part {
        &self.rows[id.index()]
    }

    /// The code of an id.
    pub fn code(&self, id: PartId) -> &str {
        &self.get(id).code
    }

    /// The code of an id as words: `head gasket`.
    pub fn words(&self, id: PartId) -> String {
        self.code(id).replace('_', " ")
    }

    /// All ids in table order.
    pub fn ids(&self) -> impl Iterator<Item = PartId> + use<> {
        (0..self.rows.len()).map(|i| PartId(i as u16))
    }
}
