//! What one fault makes likely beside itself.

use rust_decimal::Decimal;

use super::gearboxes::Gearboxes;
use super::parts::{PartId, Parts};
use super::repairs::{JobId, JobRef, Repairs, share};
use super::table::{LexiconError, Sheet};

/// What has to be at fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Given {
    /// A code of `parts.csv`.
    Code(PartId),
    /// A job that has to be done.
    Job(JobId),
}

/// One row of `follow_on.csv`.
#[derive(Debug, Clone, PartialEq)]
pub struct FollowOn {
    /// The fault that is there.
    pub given: Given,
    /// What may come on top.
    pub likely: JobRef,
    /// How often it does.
    pub chance: Decimal,
    /// The cars that the row speaks of.
    pub on: Gearboxes,
    /// Why.
    pub note: String,
    /// Where the figure is from.
    pub source: String,
}

/// All rows.
#[derive(Debug)]
pub struct FollowOns {
    rows: Vec<FollowOn>,
}

impl FollowOns {
    /// Reads and checks `follow_on.csv`.
    ///
    /// # Errors
    /// An unknown code, job or gearbox, a pair twice, a chance over 1.
    pub fn read(sheet: &Sheet, parts: &Parts, repairs: &Repairs) -> Result<Self, LexiconError> {
        let mut rows: Vec<FollowOn> = Vec::new();
        for row in sheet.rows() {
            let text = row.required("given")?;
            let code = parts.find(text).map(Given::Code);
            let given = code.or_else(|| repairs.find(text).map(Given::Job));
            let given = given.ok_or_else(|| {
                let problem = format!("'{text}' is no code of parts.csv and no job of repairs.csv");
                row.error("given", problem)
            })?;
            let likely = repairs.of_cell(&row, "likely", parts)?;
            let on = Gearboxes::of_cell(&row)?;
            let twice = |r: &FollowOn| r.given == given && r.likely == likely && r.on.meet(&on);
            if rows.iter().any(twice) {
                return Err(row.error("likely", "this pair stands twice; remove one"));
            }
            row.required("chance")?;
            rows.push(FollowOn {
                given,
                likely,
                chance: share(&row, "chance")?,
                on,
                note: row.required("note")?.to_owned(),
                source: row.required("source")?.to_owned(),
            });
        }
        Ok(FollowOns { rows })
    }

    /// What a fault of this code makes likely.
    pub fn of_code(&self, code: PartId) -> impl Iterator<Item = &FollowOn> {
        let given = Given::Code(code);
        self.rows.iter().filter(move |r| r.given == given)
    }

    /// What this job makes likely, by itself or by its part.
    pub fn of_job<'a>(
        &'a self,
        job: JobId,
        repairs: &'a Repairs,
    ) -> impl Iterator<Item = &'a FollowOn> {
        self.rows.iter().filter(move |r| match r.given {
            Given::Job(id) => id == job,
            Given::Code(part) => repairs.means(JobRef::OfPart(part), job),
        })
    }
}
