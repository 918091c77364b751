//! The jobs of a car with their prices, as certain as they are.

use std::cell::{LazyCell, RefCell};
use std::collections::BTreeMap;

use super::beside::{Extra, follow_on, followers};
use super::case::Case;
use super::evidence::{Cluster, Costs, causing_parts, clusters, is_certain};
use super::faults::Faults;
use super::mixture::Cost;
use super::optional::{Choice, Optional, optional};
use super::price::Price;
use super::sharing::{Certain, Shared, beside, share};
use crate::lexicon::follow_on::FollowOn;
use crate::lexicon::parts::{PartId, PartKind};
use crate::lexicon::repairs::JobId;

/// The faults of a car with the jobs that are certain.
pub struct Work<'c> {
    pub(super) case: &'c Case<'c>,
    pub(super) faults: &'c Faults,
    pub(super) optional: Vec<Optional>,
    pub(super) left: Vec<PartId>,
    pub(super) certain: Vec<Certain>,
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
    pub fn new(case: &'c Case<'c>, faults: &'c Faults) -> Self {
        let optional = optional(case, faults);
        let is_left = |o: &&Optional| o.choice == Choice::Leave;
        let left: Vec<_> = optional.iter().filter(is_left).map(|o| o.part).collect();
        let mut alone: Vec<(JobId, Price)> = Vec::new();
        for (part, job) in jobs_of_parts(case, faults, &left) {
            if is_certain(faults.heard(part).chance(case.profile).value()) {
                alone.push((job, Price::told(case, faults, job)));
            }
        }
        let certain = share(case, alone);
        let symptoms = faults.of_kind(PartKind::Symptom, &case.lexicon.parts);
        let explaining: Vec<PartId> = symptoms
            .flat_map(|(code, _)| causing_parts(case, code))
            .collect();
        let part = |c: &Certain| case.lexicon.repairs.get(c.job).part;
        let hosts = certain.iter().filter(|c| !explaining.contains(&part(c)));
        let hosts = hosts.cloned().collect();
        Work {
            case,
            faults,
            optional,
            left,
            hosts,
            alone: RefCell::default(),
            costs: RefCell::default(),
            explaining,
            certain,
        }
    }

    /// The price of a job beside those that are certain, and with which it
    /// shares work, in words.
    pub fn price(&self, job: JobId) -> (Price, Option<String>) {
        match self.certain(job) {
            Some(c) => (c.price.clone(), c.shared_with.clone()),
            None => {
                let (price, shared) = self.beside_certain(job);
                (price, shared.map(|s| s.words(self.case)))
            }
        }
    }

    /// What that comes to.
    pub fn own_cost(&self, job: JobId) -> Cost {
        match self.certain(job) {
            Some(c) => self.case.cost(&c.price),
            None => self.case.cost(&self.beside_certain(job).0),
        }
    }

    fn certain(&self, job: JobId) -> Option<&Certain> {
        self.certain.iter().find(|c| c.job == job)
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

    /// What it costs, with what it brings along.
    pub fn cost(&self, job: JobId) -> Cost {
        if let Some(known) = self.costs.borrow().get(&job) {
            return *known;
        }
        let cost = self.with_along(job, self.own_cost(job));
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
        let rows = self.rows_of(job);
        let along = followers(self.case, rows, |job| self.told(job)).map(|(_, extra, chance)| {
            let price = self.beside_giver(extra, &giver).0;
            self.case.cost(&price).perhaps(chance)
        });
        along.fold(own, |sum, c| sum + c)
    }

    fn rows_of(&self, job: JobId) -> impl Iterator<Item = &FollowOn> {
        let lexicon = self.case.lexicon;
        lexicon.follow_on.of_job(job, &lexicon.repairs)
    }

    /// What a job brings along.
    pub fn extras(&self, job: JobId) -> Vec<Extra> {
        let repairs = &self.case.lexicon.repairs;
        let told = |job| self.told(job);
        follow_on(self.case, self.rows_of(job), &repairs.get(job).name, &told)
    }

    /// The chance of a job by what is told of its part, where that is not
    /// weighed among the causes of symptoms: no further work on it comes then.
    pub fn told(&self, job: JobId) -> f64 {
        let part = self.case.lexicon.repairs.get(job).part;
        if self.explaining.contains(&part) {
            return 0.0;
        }
        self.faults.heard(part).chance(self.case.profile).value()
    }

    /// The symptoms in the groups in which they are weighed.
    pub fn clusters(&self) -> Vec<Cluster> {
        clusters(self.case, self.faults, &self.left, &|job| {
            self.both_costs(job)
        })
    }
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
