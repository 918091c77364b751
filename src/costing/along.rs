//! What the jobs that are certain bring along, and what is due beside them:
//! jobs that share work with them as they do with each other.

use super::beside::{Extra, followers, may_come_with};
use super::bill::Reason;
use super::case::Case;
use crate::lexicon::follow_on::FollowOn;
use crate::lexicon::parts::PartId;
use crate::lexicon::repairs::JobId;

/// A job that may have to be done because of certain ones, or that is due.
#[derive(Debug, Clone)]
pub struct Along {
    /// The job, how likely, and why.
    pub extra: Extra,
    /// What makes it likely.
    pub reason: Reason,
    /// The parts of the jobs that may bring it.
    pub because: Vec<PartId>,
}

/// A job that certain jobs may bring along.
pub struct Brought<'c> {
    /// The job.
    pub job: JobId,
    /// How often none of them brings it.
    pub missed: f64,
    /// Those that may, each by its row.
    by: Vec<(JobId, &'c FollowOn)>,
}

impl Brought<'_> {
    /// The same in words; `untold` is how often the job is not told of.
    pub fn along(&self, case: &Case<'_>, untold: f64) -> Along {
        let repair = |giver: &JobId| case.lexicon.repairs.get(*giver);
        let why = self.by.iter();
        let why: Vec<_> = why
            .map(|(giver, row)| may_come_with(&repair(giver).name, row))
            .collect();
        let source = self.by.first().map(|(_, row)| row.source.clone());
        Along {
            extra: Extra {
                job: self.job,
                chance: untold * (1.0 - self.missed),
                why: why.join("; "),
                source: source.unwrap_or_default(),
            },
            reason: Reason::FollowOn,
            because: self
                .by
                .iter()
                .map(|(giver, _)| repair(giver).part)
                .collect(),
        }
    }
}

/// What these jobs bring along. Each brings it for a reason of its own, and it
/// comes only once.
pub fn brought<'c>(case: &Case<'c>, givers: impl Iterator<Item = JobId>) -> Vec<Brought<'c>> {
    let mut all: Vec<Brought<'c>> = Vec::new();
    for giver in givers {
        for (row, job, chance) in followers(case, rows_of(case, giver), |_| 1.0) {
            let at = all.iter().position(|b| b.job == job);
            let at = at.unwrap_or_else(|| {
                all.push(Brought {
                    job,
                    missed: 1.0,
                    by: Vec::new(),
                });
                all.len() - 1
            });
            all[at].missed *= 1.0 - chance;
            all[at].by.push((giver, row));
        }
    }
    all
}

/// How often none of them has brought this job.
pub fn missed(all: &[Brought<'_>], job: JobId) -> f64 {
    let one = all.iter().find(|b| b.job == job);
    one.map_or(1.0, |b| b.missed)
}

/// What a job makes likely.
pub fn rows_of<'c>(case: &Case<'c>, job: JobId) -> impl Iterator<Item = &'c FollowOn> {
    let lexicon = case.lexicon;
    lexicon.follow_on.of_job(job, &lexicon.repairs)
}
