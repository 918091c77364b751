//! What a job saves when it is done together with another one.

use rust_decimal::Decimal;

use super::parts::Parts;
use super::repairs::{JobId, JobRef, Repairs, share};
use super::table::{LexiconError, Sheet};

/// One row of `shared_work.csv`: doing `job` together with `with` saves
/// shares of what `job` takes alone.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedWork {
    /// The job that becomes cheaper.
    pub job: JobRef,
    /// The job that is done anyway.
    pub with: JobRef,
    /// Share of its hours saved.
    pub hours_share: Decimal,
    /// Share of its parts and consumables saved.
    pub parts_share: Decimal,
    /// Share of its outwork saved.
    pub outwork_share: Decimal,
    /// Why.
    pub why: String,
}

/// All pairs, by the job that becomes cheaper.
#[derive(Debug)]
pub struct SharedWorks {
    rows: Vec<SharedWork>,
    by_job: Vec<Vec<usize>>,
}

impl SharedWorks {
    /// Reads and checks `shared_work.csv`.
    ///
    /// # Errors
    /// An unknown job, a pair twice, a job with itself, a share over 1.
    pub fn read(sheet: &Sheet, parts: &Parts, repairs: &Repairs) -> Result<Self, LexiconError> {
        let mut rows: Vec<SharedWork> = Vec::new();
        for row in sheet.rows() {
            let job = repairs.of_cell(&row, "job", parts)?;
            let with = repairs.of_cell(&row, "with", parts)?;
            if job == with {
                return Err(row.error("with", "is the job itself; name another"));
            }
            if rows.iter().any(|r| r.job == job && r.with == with) {
                return Err(row.error("with", "this pair stands twice; remove one"));
            }
            row.required("source")?;
            rows.push(SharedWork {
                job,
                with,
                hours_share: share(&row, "hours_share")?,
                parts_share: share(&row, "parts_share")?,
                outwork_share: share(&row, "outwork_share")?,
                why: row.required("why")?.to_owned(),
            });
        }
        let by_job = repairs
            .ids()
            .map(|id| {
                let fits = |(i, r): (usize, &SharedWork)| repairs.means(r.job, id).then_some(i);
                rows.iter().enumerate().filter_map(fits).collect()
            })
            .collect();
        Ok(SharedWorks { rows, by_job })
    }

    /// The rows in which this job becomes cheaper.
    pub fn of(&self, job: JobId) -> impl Iterator<Item = &SharedWork> {
        self.by_job[job.index()].iter().map(|i| &self.rows[*i])
    }
}
