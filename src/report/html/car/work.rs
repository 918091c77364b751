//! The jobs that a car takes.

use super::{OUTWORK, WIDE};
use crate::costing::JobLine;
use crate::lexicon::Lexicon;
use crate::margin::Appraisal;
use crate::report::text::{cut, part_words, span};
use crate::units::{Hours, Money};

/// Most jobs that are shown, the dearest first; the others are counted.
const JOBS: usize = 4;

/// Chance from which a job is shown.
const SHOWN: f64 = 0.1;

/// Chance from which a job counts where it is asked what a car calls for.
/// Common practice, no source: one in four.
const LIKELY: f64 = 0.25;

/// A job in short.
#[derive(Debug)]
pub(in crate::report::html) struct JobView {
    pub name: String,
    pub because: String,
    pub chance: String,
    pub cost: String,
    pub range: String,
    pub work: String,
    pub caution: Option<String>,
}

/// Skills that the likely jobs ask of the user, and whether work goes out.
pub(super) fn skills<'a>(a: &Appraisal, lexicon: &'a Lexicon) -> Vec<&'a str> {
    let likely = all_jobs(a).filter(|j| j.chance.value() >= LIKELY);
    let mut skills = Vec::new();
    for job in likely {
        if job.outwork.likely > Money::ZERO {
            skills.push(OUTWORK);
        }
        if job.own_hours.likely > Hours::ZERO {
            let row = lexicon.repairs.find(&job.job);
            skills.extend(row.map(|id| lexicon.repairs.get(id).skill.as_str()));
        }
    }
    skills.sort_unstable();
    skills.dedup();
    skills
}

pub(super) fn all_jobs(a: &Appraisal) -> impl Iterator<Item = &JobLine> {
    a.bill.iter().flat_map(|b| &b.jobs)
}

/// They stand in the order of what they cost on average.
pub(super) fn shown_jobs(a: &Appraisal) -> impl Iterator<Item = &JobLine> {
    let likely = all_jobs(a).filter(|j| j.chance.value() >= SHOWN);
    likely.take(JOBS)
}

pub(super) fn jobs(a: &Appraisal, lexicon: &Lexicon) -> Vec<JobView> {
    let jobs: Vec<&JobLine> = shown_jobs(a).collect();
    jobs.iter()
        .enumerate()
        .map(|(i, job)| {
            let because: Vec<_> = job
                .because
                .iter()
                .map(|p| part_words(lexicon, *p))
                .collect();
            let mut work = Vec::new();
            if job.own_hours.likely > Hours::ZERO {
                work.push(format!("{} h of your own", job.own_hours.likely));
            }
            if job.outwork.likely > Money::ZERO {
                let why = job.outwork_why.as_deref().unwrap_or("goes out");
                work.push(format!(
                    "{} for work that goes out: {why}",
                    job.outwork.likely
                ));
            }
            // The same caution is read once, not ten times.
            let first = jobs[..i].iter().all(|j| j.caution != job.caution);
            JobView {
                name: job.name.clone(),
                because: match because.is_empty() {
                    true => cut(&job.why, WIDE),
                    false => format!("because of {}", because.join(", ")),
                },
                chance: format!("{:.0} %", job.chance.value() * 100.0),
                cost: job.cost.likely.to_string(),
                range: span(&job.cost),
                work: work.join("; "),
                caution: job.caution.clone().filter(|_| first),
            }
        })
        .collect()
}

pub(super) fn left(a: &Appraisal, lexicon: &Lexicon) -> Vec<String> {
    let left = a.bill.iter().flat_map(|b| &b.left);
    left.map(|left| {
        format!(
            "{} ({}): takes {} off the value; doing it would cost {}",
            left.name,
            part_words(lexicon, left.part),
            left.effect,
            left.instead_of
        )
    })
    .collect()
}
