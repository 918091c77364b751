//! What age and distance make due.

use rust_decimal::Decimal;

use super::parts::Parts;
use super::repairs::{JobRef, Repairs, share};
use super::table::{LexiconError, Row, Sheet};
use crate::reading::Gearbox;

/// On which cars a row holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DueOn {
    /// On every car.
    Always,
    /// Where the engine has a timing belt, or may have one.
    Belt,
    /// With this gearbox.
    Gearbox(Gearbox),
}

/// One row of `due_work.csv`.
#[derive(Debug, Clone, PartialEq)]
pub struct DueWork {
    /// The work.
    pub job: JobRef,
    /// Miles between one time and the next.
    pub miles: Option<f64>,
    /// Years between one time and the next.
    pub years: Option<f64>,
    /// How often the buyer has to do it once it is due.
    pub chance: Decimal,
    /// On which cars.
    pub on: DueOn,
    /// What to ask the seller.
    pub question: String,
    /// Where the figures are from.
    pub source: String,
}

/// All rows.
#[derive(Debug)]
pub struct DueWorks {
    rows: Vec<DueWork>,
}

impl DueWorks {
    /// Reads and checks `due_work.csv`.
    ///
    /// # Errors
    /// An unknown job, a job twice, no interval, a chance over 1.
    pub fn read(sheet: &Sheet, parts: &Parts, repairs: &Repairs) -> Result<Self, LexiconError> {
        let mut rows: Vec<DueWork> = Vec::new();
        for row in sheet.rows() {
            let job = repairs.of_cell(&row, "job", parts)?;
            if rows.iter().any(|r| r.job == job) {
                return Err(row.error("job", "stands twice; remove one"));
            }
            let (miles, years) = (interval(&row, "miles")?, interval(&row, "years")?);
            if miles.is_none() && years.is_none() {
                return Err(row.error("miles", "neither miles nor years; give at least one"));
            }
            row.required("chance")?;
            rows.push(DueWork {
                job,
                miles,
                years,
                chance: share(&row, "chance")?,
                on: due_on(&row)?,
                question: row.required("question")?.to_owned(),
                source: row.required("source")?.to_owned(),
            });
        }
        Ok(DueWorks { rows })
    }

    /// All rows in table order.
    pub fn iter(&self) -> impl Iterator<Item = &DueWork> {
        self.rows.iter()
    }
}

fn interval(row: &Row<'_>, column: &str) -> Result<Option<f64>, LexiconError> {
    match row.parsed::<f64>(column, "a number such as 90000")? {
        Some(value) if !(value.is_finite() && value > 0.0) => {
            Err(row.error(column, "is no number above 0"))
        }
        value => Ok(value),
    }
}

fn due_on(row: &Row<'_>) -> Result<DueOn, LexiconError> {
    let text = row.required("when")?;
    let gearbox = text.strip_prefix("gearbox=").and_then(Gearbox::of_word);
    match (text, gearbox) {
        ("always", _) => Ok(DueOn::Always),
        ("belt", _) => Ok(DueOn::Belt),
        (_, Some(gearbox)) => Ok(DueOn::Gearbox(gearbox)),
        _ => Err(row.error(
            "when",
            format!("'{text}' is none of: always, belt, gearbox=automatic"),
        )),
    }
}
