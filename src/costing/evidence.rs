//! Which symptoms belong together, and what they may come from.

use std::collections::BTreeMap;

use super::case::Case;
use super::faults::{Belief, Faults};
use super::mixture::Cost;
use crate::lexicon::parts::{PartId, PartKind};
use crate::lexicon::repairs::JobId;
use crate::units::Chance;

/// So many symptoms of one cluster are weighed together at most; the dearest
/// ones are, each further one by itself. The work grows with the eleventh
/// power of it.
pub const MOST_SYMPTOMS: usize = 4;
/// So many parts may explain the symptoms of one cluster at most.
pub const MOST_PARTS: usize = 4;

/// A cause that is said to be renewed or in order keeps this part of its
/// rate: sellers err, and new parts fail. Common practice, no source.
const CLEARED: f64 = 0.1;

/// A symptom told or suspected.
#[derive(Debug, Clone, PartialEq)]
pub struct Symptom {
    /// Its code.
    pub code: PartId,
    /// The chance that it is there.
    pub sure: f64,
    /// Its causes: place among the candidates, chance that they show it.
    pub causes: Vec<(usize, f64)>,
    /// How often it comes from something else, and what that costs.
    pub other: f64,
    /// What it costs if it comes from something else.
    pub other_cost: Cost,
}

/// A part told or suspected to be at fault that is a cause of some symptom.
#[derive(Debug, Clone, PartialEq)]
pub struct Explainer {
    /// Its code.
    pub part: PartId,
    /// Its own job.
    pub job: JobId,
    /// The chance that it is at fault.
    pub sure: f64,
    /// Whether it cannot be a cause where it is not at fault, because it was
    /// looked at.
    pub looked_at: bool,
    /// What its job costs.
    pub cost: Cost,
}

/// A job that may be what symptoms come from.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The job.
    pub job: JobId,
    /// Its part.
    pub part: PartId,
    /// How often a car like this needs it, before the symptoms are heard.
    pub rate: f64,
    /// Whether the ad says that the part is renewed or in order.
    pub cleared: bool,
    /// What it costs beside all jobs that are certain.
    pub cost: Cost,
    /// What it costs beside those of them that explain no symptom.
    pub cost_apart: Cost,
}

/// What a job costs, with what it brings along.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Costs {
    /// Beside all jobs that are certain.
    pub beside: Cost,
    /// Beside those of them that explain no symptom.
    pub apart: Cost,
}

/// Symptoms that have causes in common, with these and with the parts that
/// explain them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cluster {
    /// The symptoms.
    pub symptoms: Vec<Symptom>,
    /// The parts at fault.
    pub explainers: Vec<Explainer>,
    /// The possible causes.
    pub candidates: Vec<Candidate>,
    /// What the other jobs of the car cost more where some of the parts at
    /// fault are not repaired, with which they share work; by those parts, as
    /// bits from that of the first one.
    pub unshared: Vec<Cost>,
}

impl Cluster {
    /// [`Cluster::unshared`] where these are not repaired, as bits above those
    /// of the symptoms.
    pub fn unshared(&self, missing: usize) -> Cost {
        let parts = missing >> self.symptoms.len();
        self.unshared.get(parts).copied().unwrap_or_default()
    }
}

/// Groups the symptoms of a car. `cost` is what a job costs; parts in `left` are not repaired and explain nothing.
pub fn clusters(
    case: &Case<'_>,
    faults: &Faults,
    left: &[PartId],
    cost: &dyn Fn(JobId) -> Costs,
) -> Vec<Cluster> {
    let mut groups: Vec<Vec<PartId>> = Vec::new();
    for (code, _) in faults.of_kind(PartKind::Symptom, &case.lexicon.parts) {
        let parts = causing_parts(case, code);
        let (mut joined, apart): (Vec<_>, Vec<_>) = groups
            .into_iter()
            .partition(|g| g.iter().any(|s| meet(&causing_parts(case, *s), &parts)));
        joined.push(vec![code]);
        groups = apart;
        groups.push(joined.concat());
    }
    let mut out = Vec::new();
    for mut group in groups {
        group.sort_unstable();
        if group.len() > MOST_SYMPTOMS {
            let dear = |s: &PartId| {
                let one = cluster(case, faults, left, &[*s], cost, false);
                let sure = faults.heard(*s).chance(case.profile).value();
                sure * super::diagnosis::alone(&one).mean()
            };
            group.sort_by(|a, b| dear(b).total_cmp(&dear(a)).then(a.cmp(b)));
            let rest = group.split_off(MOST_SYMPTOMS);
            out.extend(
                rest.iter()
                    .map(|s| cluster(case, faults, left, &[*s], cost, false)),
            );
        }
        out.push(cluster(case, faults, left, &group, cost, true));
    }
    out
}

/// Whether the lists have a part in common.
pub fn meet(a: &[PartId], b: &[PartId]) -> bool {
    a.iter().any(|part| b.contains(part))
}

/// The parts whose jobs are among the causes of a symptom.
pub fn causing_parts(case: &Case<'_>, symptom: PartId) -> Vec<PartId> {
    let causes = case.lexicon.causes.of(symptom).on(case.gearbox);
    let jobs = causes.filter_map(|c| case.resolve(c.work));
    jobs.map(|job| case.lexicon.repairs.get(job).part).collect()
}

fn cluster(
    case: &Case<'_>,
    faults: &Faults,
    left: &[PartId],
    codes: &[PartId],
    cost: &dyn Fn(JobId) -> Costs,
    explained: bool,
) -> Cluster {
    let lexicon = case.lexicon;
    let mut places: BTreeMap<JobId, usize> = BTreeMap::new();
    let mut out = Cluster::default();
    for code in codes {
        let listed = lexicon.causes.of(*code);
        let mut causes = Vec::with_capacity(listed.causes.len());
        for cause in listed.on(case.gearbox) {
            let Some(job) = case.resolve(cause.work) else {
                continue;
            };
            let place = *places.entry(job).or_insert_with(|| {
                let part = lexicon.repairs.get(job).part;
                let cleared = faults.heard(part).praised();
                let rate = lexicon
                    .base_rates
                    .rate(cause.work, case.wear, &case.class.name);
                let costs = cost(job);
                out.candidates.push(Candidate {
                    job,
                    part,
                    rate: if cleared { rate * CLEARED } else { rate },
                    cleared,
                    cost: costs.beside,
                    cost_apart: costs.apart,
                });
                out.candidates.len() - 1
            });
            causes.push((place, cause.shown()));
        }
        let other = listed.other.as_ref();
        out.symptoms.push(Symptom {
            code: *code,
            sure: faults.heard(*code).chance(case.profile).value(),
            causes,
            other: other.map_or(0.0, |o| o.shown()),
            other_cost: other.map_or_else(Cost::default, |o| case.spread(o.cost)),
        });
    }
    if !explained {
        return out;
    }
    let sure = |part: PartId| faults.heard(part).chance(case.profile).value();
    let mut told: Vec<_> = faults.of_kind(PartKind::Part, &lexicon.parts).collect();
    // There is room for some only: what is surest first, else in table order.
    told.sort_by(|(a, _), (b, _)| sure(*b).total_cmp(&sure(*a)));
    for (part, belief) in told {
        let causes_one = out.candidates.iter().any(|c| c.part == part);
        if !causes_one || left.contains(&part) || out.explainers.len() == MOST_PARTS {
            continue;
        }
        let own = lexicon
            .repairs
            .for_part(part, case.gearbox, &case.class.name);
        let Some(job) = own else {
            continue;
        };
        let heard = faults.heard(part);
        out.explainers.push(Explainer {
            part,
            job,
            sure: sure(part),
            looked_at: belief == Belief::Suspected && heard.found.is_some(),
            cost: cost(job).beside,
        });
    }
    out
}

/// A chance that is certain or nearly so.
pub fn is_certain(sure: f64) -> bool {
    sure >= Chance::CERTAIN.value() - 1e-9
}
