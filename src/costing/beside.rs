//! Work that nobody speaks of: what faults bring with them, and what age and
//! distance make due.

use rust_decimal::prelude::ToPrimitive;

use super::case::Case;
use super::faults::{Belief, Faults};
use crate::lexicon::due_work::{DueOn, DueWork};
use crate::lexicon::follow_on::FollowOn;
use crate::lexicon::repairs::JobId;
use crate::reading::{Claim, Says};
use crate::units::Miles;

/// Work begins to be due at this multiple of its interval...
const FROM: f64 = 0.8;
/// ...and is due in full at this one. Common practice, no source.
const FULL: f64 = 1.2;
/// Work that is said to be done, and not long ago, is due after all so often
/// as a share of otherwise. Common practice, no source.
const IN_VAIN: f64 = 0.1;

/// A job that may come on top, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Extra {
    /// The job.
    pub job: JobId,
    /// How likely it is.
    pub chance: f64,
    /// Why, in words.
    pub why: String,
    /// Where the figure is from.
    pub source: String,
}

/// What these rows of `follow_on.csv` bring: the jobs with their chances.
/// `open` is how often nothing else has brought a job yet: it comes only once.
pub fn followers<'a>(
    case: &Case<'_>,
    rows: impl Iterator<Item = &'a FollowOn>,
    open: impl Fn(JobId) -> f64,
) -> impl Iterator<Item = (&'a FollowOn, JobId, f64)> {
    let fit = rows.filter(|row| row.on.fit(case.gearbox));
    fit.filter_map(move |row| {
        let job = case.resolve(row.likely)?;
        let chance = row.chance.to_f64().unwrap_or_default() * open(job);
        (chance > 0.0).then_some((row, job, chance))
    })
}

/// The same in words.
pub fn follow_on<'a>(
    case: &Case<'_>,
    rows: impl Iterator<Item = &'a FollowOn>,
    of: &str,
    open: &dyn Fn(JobId) -> f64,
) -> Vec<Extra> {
    let extra = |(row, job, chance): (&FollowOn, JobId, f64)| Extra {
        job,
        chance,
        why: may_come_with(of, row),
        source: row.source.clone(),
    };
    followers(case, rows, open).map(extra).collect()
}

/// Why a job may come on top of what stands `of`.
pub fn may_come_with(of: &str, row: &FollowOn) -> String {
    format!("may come with {of}: {}", row.note)
}

/// What is due by age and distance and not said to be done; `open` as there.
pub fn due(
    case: &Case<'_>,
    faults: &Faults,
    claims: &[Claim],
    year: u16,
    open: &dyn Fn(JobId) -> f64,
) -> Vec<Extra> {
    let extra = |row: &DueWork| {
        let holds = match row.on {
            DueOn::Always => true,
            DueOn::Belt => case.may_have_belt,
            DueOn::Gearbox(gearbox) => case.gearbox == gearbox,
        };
        if !holds {
            return None;
        }
        let job = case.resolve(row.job)?;
        let part = case.lexicon.repairs.get(job).part;
        let share = how_due(case.miles, case.years, row);
        let heard = faults.heard(part);
        let mut why = reached(case, row);
        let mut chance = row.chance.to_f64().unwrap_or_default() * share;
        if heard.belief() == Belief::None && heard.cleared() {
            let again = due_again(case, row, claims.iter().filter(|c| c.part == part), year);
            chance = row.chance.to_f64().unwrap_or_default() * again.max(IN_VAIN * share);
            why.push_str(if again > 0.0 {
                "; done, but long ago"
            } else {
                "; said to be done"
            });
        }
        chance *= open(job);
        (chance > 0.0).then(|| Extra {
            job,
            chance,
            why,
            source: row.source.clone(),
        })
    };
    case.lexicon.due_work.iter().filter_map(extra).collect()
}

/// How far a car is into the interval, from not due (0) to due (1); a car of
/// which neither is known is half due.
fn how_due(miles: Option<f64>, years: Option<f64>, row: &DueWork) -> f64 {
    let ratios = [
        row.miles.zip(miles).map(|(every, has)| has / every),
        row.years.zip(years).map(|(every, has)| has / every),
    ];
    let most = ratios.into_iter().flatten().reduce(f64::max);
    most.map_or(0.5, |r| ((r - FROM) / (FULL - FROM)).clamp(0.0, 1.0))
}

/// The same since the work was last done, by the latest claim that tells when.
fn due_again<'a>(
    case: &Case<'_>,
    row: &DueWork,
    claims: impl Iterator<Item = &'a Claim>,
    year: u16,
) -> f64 {
    let since = |claim: &Claim| {
        let miles = claim.done_at.zip(case.miles);
        let miles = miles.map(|(done, has)| (has - f64::from(done.0)).max(0.0));
        let years = claim.done_in.map(|y| f64::from(year.saturating_sub(y.0)));
        (miles.is_some() || years.is_some()).then(|| how_due(miles, years, row))
    };
    claims
        .filter(|c| c.says == Says::Renewed)
        .filter_map(since)
        .reduce(f64::min)
        .unwrap_or(0.0)
}

fn reached(case: &Case<'_>, row: &DueWork) -> String {
    let mut every = Vec::new();
    if let Some(miles) = row.miles {
        every.push(format!("{} miles", Miles(miles as u32)));
    }
    if let Some(years) = row.years {
        every.push(format!(
            "{years} {}",
            if years == 1.0 { "year" } else { "years" }
        ));
    }
    let known = case.miles.is_some() || case.years.is_some();
    let known = if known {
        ""
    } else {
        ", age and distance not told"
    };
    format!("due every {}{known}", every.join(" or "))
}
