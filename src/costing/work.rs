//! The jobs of a car with their prices, as certain as they are.

use std::cell::{LazyCell, RefCell};
use std::collections::BTreeMap;

use super::along::{Along, Brought, brought, missed, rows_of};
use super::beside::{Extra, due, follow_on, followers};
use super::bill::Reason;
use super::case::Case;
use super::evidence::{Cluster, Costs, Explainer, causing_parts, clusters, is_certain};
use super::faults::Faults;
use super::mixture::Cost;
use super::optional::{Choice, Optional, optional};
use super::price::Price;
use super::sharing::{Certain, Node, Shared, beside, share};
use crate::lexicon::parts::{PartId, PartKind};
use crate::lexicon::repairs::JobId;
use crate::reading::Claim;

/// The faults of a car with the jobs that are certain.
pub struct Work<'c> {
    pub(super) case: &'c Case<'c>,
    pub(super) faults: &'c Faults,
    pub(super) optional: Vec<Optional>,
    pub(super) left: Vec<PartId>,
    pub(super) certain: Vec<Certain>,
    /// Jobs of parts that are suspected and explain no symptom: as often as
    /// they are done they share work too.
    suspected: Vec<Certain>,
    /// All of these and those in `along`, each done alone.
    nodes: Vec<Node>,
    /// What those of them bring along that explain no symptom.
    brought: Vec<Brought<'c>>,
    /// The same, and what is due, beside all of them.
    along: Vec<(Along, Certain)>,
    /// What is due and may have to be done for what is told too.
    due: Vec<Extra>,
    /// Those of them that other jobs are priced beside.
    hosts: Vec<Certain>,
    /// Parts that may explain symptoms.
    explaining: Vec<PartId>,
    /// Prices of jobs done alone, as far as they were asked for.
    alone: RefCell<BTreeMap<JobId, Price>>,
    /// Costs likewise, with what the jobs bring along.
    costs: RefCell<BTreeMap<JobId, Cost>>,
}

impl<'c> Work<'c> {
    /// Finds what is left alone and prices what is certain.
    pub fn new(case: &'c Case<'c>, faults: &'c Faults, claims: &[Claim], year: u16) -> Self {
        let optional = optional(case, faults);
        let is_left = |o: &&Optional| o.choice == Choice::Leave;
        let left: Vec<_> = optional.iter().filter(is_left).map(|o| o.part).collect();
        let symptoms = faults.of_kind(PartKind::Symptom, &case.lexicon.parts);
        let explaining: Vec<PartId> = symptoms
            .flat_map(|(code, _)| causing_parts(case, code))
            .collect();
        let explains = |job| explaining.contains(&case.lexicon.repairs.get(job).part);
        let node = |job, chance| Node {
            job,
            price: Price::told(case, faults, job),
            chance,
        };
        let told = jobs_of_parts(case, faults, &left).map(|(part, job)| {
            let sure = faults.heard(part).chance(case.profile).value();
            node(job, sure)
        });
        let (mut nodes, suspected): (Vec<_>, Vec<_>) = told.partition(|n| is_certain(n.chance));
        let givers = nodes.iter().map(|n| n.job).filter(|job| !explains(*job));
        let brought = brought(case, givers);
        let untold = |job| untold(case, faults, &explaining, job);
        let open = |job| untold(job) * missed(&brought, job);
        let (due_beside, due): (Vec<_>, Vec<_>) = due(case, faults, claims, year, &open)
            .into_iter()
            .partition(|extra| untold(extra.job) == 1.0 && !explains(extra.job));
        let along = brought.iter().map(|b| b.along(case, untold(b.job)));
        let due_beside = due_beside.into_iter().map(|extra| Along {
            extra,
            reason: Reason::Due,
            because: Vec::new(),
        });
        let along = along.chain(due_beside);
        let along: Vec<_> = along.filter(|a| a.extra.chance > 0.0).collect();
        let suspected = suspected.into_iter();
        let suspected: Vec<_> = suspected
            .filter(|n| n.chance > 0.0 && !explains(n.job))
            .collect();
        let all_certain = nodes.len();
        let all_told = all_certain + suspected.len();
        nodes.extend(suspected);
        nodes.extend(along.iter().map(|a| node(a.extra.job, a.extra.chance)));
        let mut certain = share(case, &nodes);
        let along = along.into_iter().zip(certain.split_off(all_told));
        let along = along.collect();
        let suspected = certain.split_off(all_certain);
        let hosts = certain.iter().filter(|c| !explains(c.job));
        Work {
            case,
            faults,
            optional,
            hosts: hosts.cloned().collect(),
            along,
            suspected,
            brought,
            due,
            left,
            alone: RefCell::default(),
            costs: RefCell::default(),
            explaining,
            certain,
            nodes,
        }
    }

    /// What the certain jobs that explain no symptom bring along, each once,
    /// and what is due of which nothing is told.
    pub fn along(&self) -> &[(Along, Certain)] {
        &self.along
    }

    /// What else is due.
    pub fn due(&self) -> &[Extra] {
        &self.due
    }

    /// Whether what a job brings along is among that.
    pub fn is_host(&self, job: JobId) -> bool {
        self.hosts.iter().any(|h| h.job == job)
    }

    /// The price of a job beside those that are certain, and with which it
    /// shares work, in words.
    pub fn price(&self, job: JobId) -> (Price, Option<String>) {
        match self.told_job(job) {
            Some(c) => (c.price.clone(), c.shared_with.clone()),
            None => {
                let (price, shared) = self.beside_certain(job);
                (price, shared.map(|s| s.words(self.case)))
            }
        }
    }

    /// What that comes to.
    pub fn own_cost(&self, job: JobId) -> Cost {
        match self.told_job(job) {
            Some(c) => self.case.cost(&c.price),
            None => self.case.cost(&self.beside_certain(job).0),
        }
    }

    /// The jobs of parts that are told of, beside each other.
    fn told(&self) -> impl Iterator<Item = &Certain> {
        self.certain.iter().chain(&self.suspected)
    }

    fn told_job(&self, job: JobId) -> Option<&Certain> {
        self.told().find(|c| c.job == job)
    }

    fn beside_certain(&self, job: JobId) -> (Price, Option<Shared<'_>>) {
        beside(self.case, job, self.price_alone(job), self.certain.iter())
    }

    /// The price of a job done alone; worked out once.
    fn price_alone(&self, job: JobId) -> Price {
        let mut known = self.alone.borrow_mut();
        let price = known
            .entry(job)
            .or_insert_with(|| Price::told(self.case, self.faults, job));
        price.clone()
    }

    /// The price of a job that comes with another, beside that one.
    pub fn price_after(&self, job: JobId, giver: JobId) -> (Price, Option<String>) {
        let with = self.giver(giver);
        let (price, shared) = self.beside_giver(job, &with);
        (price, shared.map(|s| s.words(self.case)))
    }

    fn giver(&self, job: JobId) -> Certain {
        Certain {
            job,
            price: self.price_alone(job),
            shared_with: None,
        }
    }

    fn beside_giver<'a>(&'a self, job: JobId, giver: &'a Certain) -> (Price, Option<Shared<'a>>) {
        let hosts = self.hosts.iter().chain(std::iter::once(giver));
        beside(self.case, job, self.price_alone(job), hosts)
    }

    /// What it costs, with what it brings along where that is not in
    /// [`Work::along`].
    pub fn cost(&self, job: JobId) -> Cost {
        if let Some(known) = self.costs.borrow().get(&job) {
            return *known;
        }
        let own = self.own_cost(job);
        let cost = match self.is_host(job) {
            true => own,
            false => self.with_along(job, own),
        };
        self.costs.borrow_mut().insert(job, cost);
        cost
    }

    /// The same, and as it would be if no explaining part had to be repaired.
    fn both_costs(&self, job: JobId) -> Costs {
        let case = self.case;
        let apart = beside(case, job, self.price_alone(job), self.hosts.iter()).0;
        Costs {
            beside: self.cost(job),
            apart: self.with_along(job, case.cost(&apart)),
        }
    }

    fn with_along(&self, job: JobId, own: Cost) -> Cost {
        let giver = LazyCell::new(|| self.giver(job));
        let rows = rows_of(self.case, job);
        let along = followers(self.case, rows, |job| self.open(job)).map(|(_, extra, chance)| {
            let price = self.beside_giver(extra, &giver).0;
            self.case.cost(&price).perhaps(chance)
        });
        along.fold(own, |sum, c| sum + c)
    }

    /// What a job brings along that is not in [`Work::along`].
    pub fn extras(&self, job: JobId) -> Vec<Extra> {
        if self.is_host(job) {
            return Vec::new();
        }
        let name = &self.case.lexicon.repairs.get(job).name;
        let rows = rows_of(self.case, job);
        follow_on(self.case, rows, name, &|job| self.open(job))
    }

    /// How often nothing has brought a job yet: it is not told of, and no
    /// certain job brings it along.
    pub fn open(&self, job: JobId) -> f64 {
        untold(self.case, self.faults, &self.explaining, job) * missed(&self.brought, job)
    }

    /// The symptoms in the groups in which they are weighed.
    pub fn clusters(&self) -> Vec<Cluster> {
        let costs = |job| self.both_costs(job);
        let mut all = clusters(self.case, self.faults, &self.left, &costs);
        for cluster in &mut all {
            let certain = |e: &Explainer| is_certain(e.sure);
            if cluster.explainers.iter().any(certain) {
                let subsets = 0..1_usize << cluster.explainers.len();
                let unshared = subsets.map(|parts| {
                    let parts = cluster
                        .explainers
                        .iter()
                        .enumerate()
                        .filter(|(i, _)| parts & (1 << i) != 0);
                    // A part that is only suspected shares no work to begin with.
                    let jobs = parts.map(|(_, e)| certain(e).then_some(e.job));
                    let jobs: Option<Vec<_>> = jobs.collect();
                    jobs.map_or_else(Cost::default, |jobs| self.unshared(&jobs))
                });
                cluster.unshared = unshared.collect();
            }
        }
        all
    }

    /// What the other jobs that are done cost more without these, with which
    /// they share work.
    fn unshared(&self, missing: &[JobId]) -> Cost {
        let is_left = |n: &&Node| !missing.contains(&n.job);
        let nodes: Vec<Node> = self.nodes.iter().filter(is_left).cloned().collect();
        if missing.is_empty() || nodes.is_empty() {
            return Cost::default();
        }
        let mean = |certain: &Certain| self.case.cost(&certain.price).mean;
        let with = self.told().chain(self.along.iter().map(|(_, c)| c));
        let with = with.filter(|c| !missing.contains(&c.job)).map(mean);
        let without = share(self.case, &nodes);
        let more = without.iter().map(mean).zip(with).zip(&nodes);
        let more: f64 = more.map(|((a, b), node)| node.chance * (a - b)).sum();
        Cost {
            mean: more.max(0.0),
            ..Cost::default()
        }
    }
}

/// How often a job is not told of. What is told of a part that is weighed among
/// the causes of symptoms counts there, and a part that is told of does not rule
/// out a greater job on it than is told.
fn untold(case: &Case<'_>, faults: &Faults, explaining: &[PartId], job: JobId) -> f64 {
    let repairs = &case.lexicon.repairs;
    let part = repairs.get(job).part;
    if explaining.contains(&part) {
        return 1.0;
    }
    let own = repairs.for_part(part, case.gearbox, &case.class.name);
    let within = |own| repairs.get(job).is_no_more_than(repairs.get(own));
    if !own.is_some_and(within) {
        return 1.0;
    }
    1.0 - faults.heard(part).chance(case.profile).value()
}

/// The parts with a fault that is repaired, and their jobs.
pub fn jobs_of_parts<'a>(
    case: &'a Case<'_>,
    faults: &'a Faults,
    left: &'a [PartId],
) -> impl Iterator<Item = (PartId, JobId)> + 'a {
    let lexicon = case.lexicon;
    faults
        .of_kind(PartKind::Part, &lexicon.parts)
        .filter(|(part, _)| !left.contains(part))
        .filter_map(|(part, _)| {
            let repairs = &lexicon.repairs;
            let job = repairs.for_part(part, case.gearbox, &case.class.name)?;
            Some((part, job))
        })
}
