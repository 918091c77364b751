//! What a job asks of the one who does it: skills, and tools beyond a socket
//! set.

use super::table::{LexiconError, Row, Sheet};
use crate::near::hint;

/// Whether a code of `skills.csv` is something learnt or something owned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SkillKind {
    /// Learnt.
    Skill,
    /// Owned or borrowed.
    Tool,
}

impl SkillKind {
    /// The word of the table's `kind` column.
    pub const fn word(self) -> &'static str {
        match self {
            SkillKind::Skill => "skill",
            SkillKind::Tool => "tool",
        }
    }
}

/// One row of `skills.csv`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Skill {
    /// The code, used in `repairs.csv` and in the profile.
    pub code: String,
    /// Skill or tool.
    pub kind: SkillKind,
    /// In words, for people.
    pub meaning: String,
}

/// The registry of skills and tools.
#[derive(Debug)]
pub struct Skills {
    rows: Vec<Skill>,
}

impl Skills {
    /// Reads and checks `skills.csv`.
    ///
    /// # Errors
    /// A code that stands twice, an unknown kind, an empty cell.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut rows: Vec<Skill> = Vec::new();
        for row in sheet.rows() {
            let code = row.required("code")?;
            if rows.iter().any(|s| s.code == code) {
                return Err(row.error("code", format!("'{code}' stands twice; remove one")));
            }
            let kind = match row.required("kind")? {
                "skill" => SkillKind::Skill,
                "tool" => SkillKind::Tool,
                other => {
                    return Err(row.error("kind", format!("'{other}' is neither skill nor tool")));
                }
            };
            rows.push(Skill {
                code: code.to_owned(),
                kind,
                meaning: row.required("meaning")?.to_owned(),
            });
        }
        Ok(Skills { rows })
    }

    /// The row of a code of this kind.
    pub fn find(&self, kind: SkillKind, code: &str) -> Option<&Skill> {
        self.rows.iter().find(|s| s.kind == kind && s.code == code)
    }

    /// Whether the table has a code of this kind.
    pub fn has(&self, kind: SkillKind, code: &str) -> bool {
        self.find(kind, code).is_some()
    }

    /// All codes of a kind in table order.
    pub fn codes(&self, kind: SkillKind) -> impl Iterator<Item = &str> {
        self.rows
            .iter()
            .filter(move |s| s.kind == kind)
            .map(|s| s.code.as_str())
    }

    /// The code in a cell of another table.
    ///
    /// # Errors
    /// When `skills.csv` has no such code of this kind: names the nearest one.
    pub fn of_cell(
        &self,
        row: &Row<'_>,
        column: &str,
        kind: SkillKind,
        code: &str,
    ) -> Result<String, LexiconError> {
        if self.has(kind, code) {
            return Ok(code.to_owned());
        }
        let near = hint(code, self.codes(kind), "that table lists them");
        Err(row.error(
            column,
            format!("'{code}' is no {} of skills.csv{near}", kind.word()),
        ))
    }
}
