//! From jobs done to the user's own factors.
//!
//! Each job done gives the logarithm of actual by estimate. Its error is what
//! the table's own range allows: a sixth of the range from low to high, in
//! logarithms (three-point estimate: Malcolm et al. 1959), and no less than
//! [`LEAST_ERROR`]. Groups are drawn towards the table, jobs towards their
//! group ([`super::shrink`]). Before there is evidence, groups are supposed to
//! differ from the table, and jobs from their group, by about a quarter
//! (judgement, no source).

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

use super::accounts::{Accounts, JobAccount};
use super::factors::{Factor, Factors, Scope};
use super::shrink::{Centre, Prior, Seen, shrink};
use crate::lexicon::repairs::Repairs;

/// The least error of one job, in logarithms: two jobs alike still differ by
/// some 15 %. Judgement, no source.
const LEAST_ERROR: f64 = 0.15;

/// A quarter, in logarithms squared; worth four jobs.
const SUPPOSED: Prior = Prior {
    between: 0.0625,
    weight: 4.0,
};

/// Factors learnt from the jobs of cars that are sold: those of an open car may
/// have more to come.
pub fn learn(accounts: &Accounts, repairs: &Repairs) -> Factors {
    let closed = accounts.cars.iter().filter(|car| car.sold.is_some());
    let jobs: Vec<&JobAccount> = closed.flat_map(|car| &car.jobs).collect();
    let materials = drawn(&jobs, repairs, |job| {
        let estimate = job.known.as_ref()?;
        ratio(
            job.materials?.to_f64(),
            estimate.materials.map(|m| m.to_f64()),
        )
    });
    let hours = drawn(&jobs, repairs, |job| {
        let estimate = job.known.as_ref()?;
        ratio(job.hours?.to_f64(), estimate.hours.map(|h| h.to_f64()))
    });
    let mut done: BTreeMap<Scope, u32> = BTreeMap::new();
    for job in &jobs {
        let Some(group) = group_of(job, repairs) else {
            continue;
        };
        if materials.contains_key(&Scope::Job(job.job.clone()))
            || hours.contains_key(&Scope::Job(job.job.clone()))
        {
            *done.entry(Scope::Group(group.to_owned())).or_default() += 1;
            *done.entry(Scope::Job(job.job.clone())).or_default() += 1;
        }
    }
    let rows = done.into_iter().map(|(scope, done)| {
        let get = |of: &BTreeMap<Scope, (f64, f64)>| of.get(&scope).copied();
        let group = |of: &BTreeMap<Scope, (f64, f64)>| match &scope {
            Scope::Job(code) => {
                let repair = repairs.find(code).map(|id| repairs.get(id));
                repair.and_then(|r| of.get(&Scope::Group(r.skill.clone())).map(|v| v.0))
            }
            Scope::Group(_) => None,
        };
        let factor = |of| get(of).map(|v| v.0).or_else(|| group(of)).unwrap_or(0.0);
        Factor {
            materials: round(factor(&materials)),
            hours: round(factor(&hours)),
            done,
            seen_materials: get(&materials).map(|v| round(v.1)),
            seen_hours: get(&hours).map(|v| round(v.1)),
            scope,
        }
    });
    Factors {
        rows: rows.collect(),
    }
}

/// A logarithm as a factor to hundredths, within what a factor may be.
fn round(log: f64) -> Decimal {
    let factor = log.exp().clamp(0.1, 10.0);
    Decimal::from_f64(factor)
        .unwrap_or(Decimal::ONE)
        .round_dp(2)
}

/// The logarithm of actual by estimate, with its variance; none where one of
/// them is nothing: a part out of the boot tells nothing of prices.
fn ratio(actual: f64, estimate: crate::units::ThreePoint<f64>) -> Option<Seen> {
    let mean = (estimate.low + 4.0 * estimate.likely + estimate.high) / 6.0;
    if actual <= 0.0 || mean <= 0.0 || estimate.low <= 0.0 {
        return None;
    }
    let error = ((estimate.high / estimate.low).ln() / 6.0).max(LEAST_ERROR);
    Some(Seen {
        value: (actual / mean).ln(),
        variance: error * error,
    })
}

fn group_of<'r>(job: &JobAccount, repairs: &'r Repairs) -> Option<&'r str> {
    let id = repairs.find(&job.job)?;
    Some(&repairs.get(id).skill)
}

/// For each group and job the drawn logarithm and the plain one.
fn drawn(
    jobs: &[&JobAccount],
    repairs: &Repairs,
    seen: impl Fn(&JobAccount) -> Option<Seen>,
) -> BTreeMap<Scope, (f64, f64)> {
    let mut by_job: BTreeMap<(&str, &str), Vec<Seen>> = BTreeMap::new();
    for job in jobs {
        if let (Some(group), Some(seen)) = (group_of(job, repairs), seen(job)) {
            by_job.entry((group, &job.job)).or_default().push(seen);
        }
    }
    let means: Vec<((&str, &str), Seen)> =
        by_job.iter().map(|(key, all)| (*key, mean(all))).collect();
    let mut by_group: BTreeMap<&str, Vec<Seen>> = BTreeMap::new();
    for ((group, _), seen) in &means {
        // A job stands for its group no better than jobs of a group differ.
        by_group.entry(group).or_default().push(Seen {
            variance: seen.variance + SUPPOSED.between,
            ..*seen
        });
    }
    let groups: Vec<(&str, Seen)> = by_group.iter().map(|(g, all)| (*g, mean(all))).collect();
    let values: Vec<Seen> = groups.iter().map(|(_, s)| *s).collect();
    let near_table = shrink(&values, Centre::Given(0.0), Some(SUPPOSED));
    let mut out = BTreeMap::new();
    let mut centre = BTreeMap::new();
    for ((group, seen), drawn) in groups.iter().zip(near_table) {
        centre.insert(*group, drawn);
        out.insert(Scope::Group((*group).to_owned()), (drawn, seen.value));
    }
    let apart: Vec<Seen> = means
        .iter()
        .map(|((group, _), seen)| Seen {
            value: seen.value - centre.get(group).copied().unwrap_or_default(),
            ..*seen
        })
        .collect();
    let near_group = shrink(&apart, Centre::Given(0.0), Some(SUPPOSED));
    for (((group, job), seen), drawn) in means.iter().zip(near_group) {
        let middle = centre.get(group).copied().unwrap_or_default();
        out.insert(Scope::Job((*job).to_owned()), (middle + drawn, seen.value));
    }
    out
}

/// The mean weighed by certainty, with its variance.
fn mean(all: &[Seen]) -> Seen {
    let weight: f64 = all.iter().map(|s| 1.0 / s.variance).sum();
    let sum: f64 = all.iter().map(|s| s.value / s.variance).sum();
    Seen {
        value: sum / weight,
        variance: 1.0 / weight,
    }
}
