//! The user's own factors on the table of repairs, in a file of their own.

use std::io::{self, Write};
use std::path::Path;

use rust_decimal::Decimal;

use super::book::{BookError, Sheet, bytes_of};
use crate::lexicon::repairs::{Repair, Repairs};
use crate::safe_text::for_terminal;

/// What a factor is for.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scope {
    /// All jobs of a skill (`skills.csv`).
    Group(String),
    /// One job (`repairs.csv`).
    Job(String),
}

impl Scope {
    const fn word(&self) -> &'static str {
        match self {
            Scope::Group(_) => "group",
            Scope::Job(_) => "job",
        }
    }

    fn code(&self) -> &str {
        match self {
            Scope::Group(code) | Scope::Job(code) => code,
        }
    }
}

/// One row of `my-repairs.csv`: what the table's figures are multiplied with.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    /// What it is for; a job's factor takes the place of its group's.
    pub scope: Scope,
    /// On parts and consumables.
    pub materials: Decimal,
    /// On hours.
    pub hours: Decimal,
    /// How often the work was done.
    pub done: u32,
    /// What the ledger says alone: geometric means of actual by estimate.
    pub seen_materials: Option<Decimal>,
    /// The same for hours.
    pub seen_hours: Option<Decimal>,
}

/// All rows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Factors {
    /// Groups first, then jobs, by code.
    pub rows: Vec<Factor>,
}

const COLUMNS: &[&str] = &[
    "scope",
    "code",
    "materials",
    "hours",
    "done",
    "seen_materials",
    "seen_hours",
];

/// A factor outside is a slip of the pen.
const LEAST: Decimal = Decimal::from_parts(1, 0, 0, false, 1);
const MOST: Decimal = Decimal::TEN;

impl Factors {
    /// Reads `my-repairs.csv`.
    ///
    /// # Errors
    /// A file that cannot be read, a code that the tables do not have, a factor
    /// that is none.
    pub fn read(path: &Path, repairs: &Repairs) -> Result<Self, BookError> {
        Self::parse(path, &bytes_of(path)?, repairs)
    }

    /// Reads the bytes of `my-repairs.csv`; `path` stands for it in messages.
    ///
    /// # Errors
    /// As [`Factors::read`].
    pub fn parse(path: &Path, bytes: &[u8], repairs: &Repairs) -> Result<Self, BookError> {
        let sheet = Sheet::parse(path, bytes, COLUMNS)?;
        let rows = sheet.rows(|row| {
            let code = row.text("code");
            let shown = for_terminal(code);
            let scope = match row.text("scope") {
                "job" if repairs.find(code).is_some() => Scope::Job(code.to_owned()),
                "group" if is_group(code, repairs) => Scope::Group(code.to_owned()),
                "job" => {
                    let problem = format!("'{shown}' is no job of repairs.csv");
                    return Err(row.error("code", problem));
                }
                "group" => {
                    let problem = format!("'{shown}' is the skill of no job of repairs.csv");
                    return Err(row.error("code", problem));
                }
                _ => return Err(row.error("scope", "write job or group".to_owned())),
            };
            let factor = |column| {
                let value = row.figure(column)?;
                if (LEAST..=MOST).contains(&value) {
                    return Ok(value);
                }
                let problem = format!("{value} is not between {LEAST} and {MOST}");
                Err(row.error(column, problem))
            };
            let seen = |column| match row.text(column) {
                "" => Ok(None),
                _ => row.figure(column).map(Some),
            };
            Ok(Factor {
                scope,
                materials: factor("materials")?,
                hours: factor("hours")?,
                done: row.text("done").parse().unwrap_or_default(),
                seen_materials: seen("seen_materials")?,
                seen_hours: seen("seen_hours")?,
            })
        })?;
        Ok(Factors { rows })
    }

    /// Writes it for a spreadsheet.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write(&self, out: &mut dyn Write) -> io::Result<()> {
        let mut csv = csv::Writer::from_writer(out);
        csv.write_record(COLUMNS).map_err(io::Error::from)?;
        let opt = |v: Option<Decimal>| v.map_or_else(String::new, |v| v.to_string());
        for row in &self.rows {
            let cells = [
                row.scope.word().to_owned(),
                row.scope.code().to_owned(),
                row.materials.to_string(),
                row.hours.to_string(),
                row.done.to_string(),
                opt(row.seen_materials),
                opt(row.seen_hours),
            ];
            csv.write_record(cells).map_err(io::Error::from)?;
        }
        csv.flush()
    }

    /// The factor of a job: its own, else its group's.
    pub fn of(&self, repair: &Repair) -> Option<&Factor> {
        let is = |scope: Scope| self.rows.iter().find(|row| row.scope == scope);
        is(Scope::Job(repair.job.clone())).or_else(|| is(Scope::Group(repair.skill.clone())))
    }

    /// Multiplies the table's figures, and says so in their source.
    pub fn apply(&self, repairs: &mut Repairs) {
        repairs.change(|repair| {
            let Some(factor) = self.of(repair) else {
                return;
            };
            let (materials, hours) = (factor.materials, factor.hours);
            repair.part_new = repair.part_new.map(|m| m.times(materials));
            repair.part_used = repair.part_used.map(|p| p.map(|m| m.times(materials)));
            repair.consumables = repair.consumables.times(materials);
            repair.hours = repair.hours.map(|h| h.times(hours));
            repair.source = format!(
                "{}; times your own {materials} on materials and {hours} on hours ({} '{}', done \
                 {} times)",
                repair.source,
                factor.scope.word(),
                factor.scope.code(),
                factor.done
            );
        });
    }
}

fn is_group(code: &str, repairs: &Repairs) -> bool {
    repairs.ids().any(|id| repairs.get(id).skill == code)
}
