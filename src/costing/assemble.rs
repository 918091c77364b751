//! Faults to the lines of a bill and to what it may come to.

use std::cell::RefCell;
use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

use super::beside::{Extra, due, follow_on};
use super::bill::{CauseShare, Chance, FixBill, JobLine, LeftAlone, Reason};
use super::case::Case;
use super::diagnosis::{Diagnosis, diagnose};
use super::evidence::{Cluster, Costs, Explainer, causing_parts, clusters, is_certain};
use super::faults::Faults;
use super::mixture::{Cost, Mixture};
use super::optional::{Choice, Optional, optional};
use super::price::Price;
use super::sharing::{Certain, beside, share};
use crate::lexicon::parts::{PartId, PartKind};
use crate::lexicon::repairs::JobId;
use crate::normal::{Part, mixture_quantile};
use crate::reading::Reading;
use crate::units::{Hours, Money, ThreePoint};

/// A line under a thousandth says nothing.
const LEAST_CHANCE: f64 = 1e-3;
/// Doubt below this is no line, in money.
const LEAST_DOUBT: f64 = 1.0;

/// What a line is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Task {
    Job(JobId),
    /// A job that may come with another one, done together with it.
    After(JobId, JobId),
    /// Something else that a symptom comes from.
    Other(PartId),
    /// What is told may not be all.
    Doubt,
}

/// A line that is being put together.
struct Draft {
    chance: f64,
    price: Price,
    shared_with: Option<String>,
    reason: Reason,
    because: Vec<PartId>,
    causes: Vec<CauseShare>,
    why: Vec<String>,
    source: Option<String>,
}

/// The faults of a car with the jobs that are certain.
pub struct Work<'c> {
    case: &'c Case<'c>,
    faults: &'c Faults,
    optional: Vec<Optional>,
    left: Vec<PartId>,
    certain: Vec<Certain>,
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
                alone.push((job, price(case, faults, job)));
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

    /// The price of a job beside those that are certain.
    fn price(&self, job: JobId) -> (Price, Option<String>) {
        match self.certain.iter().find(|c| c.job == job) {
            Some(c) => (c.price.clone(), c.shared_with.clone()),
            None => beside(self.case, job, self.price_alone(job), self.certain.iter()),
        }
    }

    /// The price of a job done alone; worked out once.
    fn price_alone(&self, job: JobId) -> Price {
        let mut known = self.alone.borrow_mut();
        let price = known
            .entry(job)
            .or_insert_with(|| price(self.case, self.faults, job));
        price.clone()
    }

    /// The price of a job that comes with another, beside that one.
    fn price_after(&self, job: JobId, giver: JobId) -> (Price, Option<String>) {
        let with = Certain {
            job: giver,
            price: self.price_alone(giver),
            shared_with: None,
        };
        let hosts = self.hosts.iter().chain(std::iter::once(&with));
        beside(self.case, job, self.price_alone(job), hosts)
    }

    /// What it costs, with what it brings along.
    fn cost(&self, job: JobId) -> Cost {
        if let Some(known) = self.costs.borrow().get(&job) {
            return *known;
        }
        let cost = self.with_along(job, &self.price(job).0);
        self.costs.borrow_mut().insert(job, cost);
        cost
    }

    /// The same, and as it would be if no explaining part had to be repaired.
    fn both_costs(&self, job: JobId) -> Costs {
        let case = self.case;
        let apart = beside(case, job, self.price_alone(job), self.hosts.iter()).0;
        Costs {
            beside: self.cost(job),
            apart: self.with_along(job, &apart),
        }
    }

    fn with_along(&self, job: JobId, own: &Price) -> Cost {
        let own = self.case.cost(own);
        let along = self.extras(job).into_iter().map(|extra| {
            let price = self.price_after(extra.job, job).0;
            self.case.cost(&price).perhaps(extra.chance)
        });
        along.fold(own, |sum, c| sum + c)
    }

    /// What a job brings along.
    fn extras(&self, job: JobId) -> Vec<Extra> {
        let repairs = &self.case.lexicon.repairs;
        let rows = self.case.lexicon.follow_on.of_job(job, repairs);
        let told = |job| self.told(job);
        follow_on(self.case, rows, &repairs.get(job).name, &told)
    }

    /// The chance of a job by what is told of its part, where that is not
    /// weighed among the causes of symptoms: no further work on it comes then.
    fn told(&self, job: JobId) -> f64 {
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
fn jobs_of_parts<'a>(
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

/// The price of a job done alone.
fn price(case: &Case<'_>, faults: &Faults, job: JobId) -> Price {
    let repairs = &case.lexicon.repairs;
    let repair = repairs.get(job);
    // The spare is the part that the claim's own job would buy.
    let own = repairs.for_part(repair.part, case.gearbox, &case.class.name) == Some(job);
    let heard = faults.heard(repair.part);
    let price = Price::of(repair, case.class, case.profile, own && heard.spare);
    match heard.found.and_then(|f| f.cost) {
        Some(cost) if own => price.instead(cost),
        _ => price,
    }
}

/// Builds the bill of a reading.
pub fn bill(case: &Case<'_>, reading: &Reading, year: u16, notes: Vec<String>) -> FixBill {
    let faults = Faults::of(&reading.claims, &case.lexicon.parts);
    let work = Work::new(case, &faults);
    let mut sheet = Sheet {
        work: &work,
        drafts: BTreeMap::new(),
        total: Mixture::certain(Cost::default()),
        base: Cost::default(),
    };
    let clusters = work.clusters();
    let explains = |part: PartId| {
        let mut all = clusters.iter().flat_map(|c| &c.explainers);
        all.any(|e| e.part == part)
    };
    for (part, job) in jobs_of_parts(case, &faults, &work.left) {
        sheet.part(part, job, !explains(part));
    }
    for cluster in &clusters {
        sheet.cluster(cluster, &diagnose(cluster));
    }
    for (symptom, _) in faults.of_kind(PartKind::Symptom, &case.lexicon.parts) {
        let sure = faults.heard(symptom).chance(case.profile).value();
        let code = case.lexicon.parts.code(symptom);
        let rows = case.lexicon.follow_on.of_code(symptom);
        let told = |job| work.told(job);
        for extra in follow_on(case, rows, &format!("'{code}'"), &told) {
            let chance = sure * extra.chance;
            sheet.extra(None, &extra, chance, Reason::FollowOn, &[symptom]);
            sheet.perhaps(chance, extra.job);
        }
    }
    let told = |job| work.told(job);
    for extra in due(case, &faults, &reading.claims, year, &told) {
        let known = sheet.drafts.get(&Task::Job(extra.job));
        let chance = extra.chance * (1.0 - known.map_or(0.0, |d| d.chance.min(1.0)));
        sheet.extra(None, &extra, chance, Reason::Due, &[]);
        sheet.perhaps(chance, extra.job);
    }
    sheet.finish(notes)
}

/// The lines so far, and what they may come to.
struct Sheet<'w, 'c> {
    work: &'w Work<'c>,
    drafts: BTreeMap<Task, Draft>,
    total: Mixture,
    base: Cost,
}

impl Sheet<'_, '_> {
    /// The line of a job, new where it has none.
    fn draft(&mut self, job: JobId, reason: Reason) -> &mut Draft {
        let work = self.work;
        self.drafts.entry(Task::Job(job)).or_insert_with(|| {
            let (price, shared_with) = work.price(job);
            Draft::new(price, shared_with, reason)
        })
    }

    /// A part at fault. Its cost is counted here unless a cluster does.
    fn part(&mut self, part: PartId, job: JobId, counted: bool) {
        let case = self.work.case;
        let heard = self.work.faults.heard(part);
        let sure = heard.chance(case.profile).value();
        let reason = if is_certain(sure) {
            Reason::Stated
        } else {
            Reason::Suspected
        };
        let draft = self.draft(job, reason);
        draft.chance += sure;
        draft.because.push(part);
        draft.why.push(match (reason, heard.found) {
            (_, Some(_)) => "found at the car".to_owned(),
            (Reason::Stated, None) => "stated".to_owned(),
            _ => "suspected".to_owned(),
        });
        self.bring_along(job, sure, &[part]);
        if counted && is_certain(sure) {
            self.base = self.base + self.work.cost(job);
        } else if counted {
            let cost = self.work.cost(job);
            self.total = self.total.plus(&Mixture::perhaps(sure, cost));
        }
    }

    /// The lines of what a job brings along; its cost is in that of the job.
    fn bring_along(&mut self, job: JobId, chance: f64, because: &[PartId]) {
        for extra in self.work.extras(job) {
            let chance = chance * extra.chance;
            self.extra(Some(job), &extra, chance, Reason::FollowOn, because);
        }
    }

    fn extra(
        &mut self,
        giver: Option<JobId>,
        extra: &Extra,
        chance: f64,
        reason: Reason,
        because: &[PartId],
    ) {
        let work = self.work;
        let draft = match giver {
            None => self.draft(extra.job, reason),
            Some(giver) => self
                .drafts
                .entry(Task::After(extra.job, giver))
                .or_insert_with(|| {
                    let (price, shared_with) = work.price_after(extra.job, giver);
                    Draft::new(price, shared_with, reason)
                }),
        };
        draft.chance += chance;
        for part in because {
            if !draft.because.contains(part) {
                draft.because.push(*part);
            }
        }
        if !draft.why.contains(&extra.why) {
            draft.why.push(extra.why.clone());
        }
        draft.source.get_or_insert_with(|| extra.source.clone());
    }

    fn perhaps(&mut self, chance: f64, job: JobId) {
        let cost = self.work.case.cost(&self.work.price(job).0);
        self.total = self.total.plus(&Mixture::perhaps(chance, cost));
    }

    fn cluster(&mut self, cluster: &Cluster, found: &Diagnosis) {
        let case = self.work.case;
        for (place, candidate) in cluster.candidates.iter().enumerate() {
            let chance = found.candidates[place];
            let shares = shares(cluster, place);
            let because: Vec<_> = shares.iter().map(|s| s.symptom).collect();
            let why = why_cause(case, cluster, place, &shares);
            let draft = self.draft(candidate.job, Reason::Cause);
            // The claim on the part itself is counted with the parts; what is
            // a cause where that is wrong comes on top.
            draft.chance += chance;
            draft.causes.extend(shares);
            for symptom in &because {
                if !draft.because.contains(symptom) {
                    draft.because.push(*symptom);
                }
            }
            if draft.reason != Reason::Stated {
                draft.why.push(why);
            }
            self.bring_along(candidate.job, chance, &because);
        }
        for (symptom, chance) in cluster.symptoms.iter().zip(&found.others) {
            let listed = &case.lexicon.causes.of(symptom.code).other;
            let Some(other) = listed else {
                continue;
            };
            let price = Price::allowance(other.cost, case.profile);
            let mut draft = Draft::new(price, None, Reason::SomethingElse);
            draft.chance = *chance;
            draft.because.push(symptom.code);
            draft.source = Some(other.source.clone());
            draft.why.push(format!(
                "'{}' may come from something else",
                case.lexicon.parts.code(symptom.code)
            ));
            self.drafts.insert(Task::Other(symptom.code), draft);
        }
        self.doubt(cluster, found.cost.mean() - found.believed);
        self.total = self.total.plus(&found.cost);
    }

    /// What is told would make it cheaper than less of it would: that is not
    /// counted.
    fn doubt(&mut self, cluster: &Cluster, amount: f64) {
        if amount < LEAST_DOUBT {
            return;
        }
        let Some(amount) = Money::from_f64(amount) else {
            return;
        };
        let case = self.work.case;
        let price = Price::allowance(ThreePoint::exactly(amount), case.profile);
        let draft = self
            .drafts
            .entry(Task::Doubt)
            .or_insert_with(|| Draft::new(price.clone(), None, Reason::Doubt));
        if draft.chance > 0.0 {
            draft.price = draft.price.clone().with_allowance(amount);
        }
        draft.chance = 1.0;
        draft
            .because
            .extend(cluster.symptoms.iter().map(|s| s.code));
        let symptoms = quoted(case, cluster.symptoms.iter().map(|s| s.code));
        let why = format!("{symptoms} may have a dearer cause than the one that is told");
        draft.why.push(why);
        draft.source = Some("common practice, no source".to_owned());
    }

    fn finish(self, notes: Vec<String>) -> FixBill {
        let work = self.work;
        let case = work.case;
        let drafts = self.drafts.into_iter();
        let mut jobs: Vec<JobLine> = drafts
            .filter_map(|(task, draft)| draft.line(task, case))
            .collect();
        let weight = |l: &JobLine| l.cost.likely.to_f64() * l.chance.value();
        jobs.sort_by(|a, b| {
            weight(b)
                .total_cmp(&weight(a))
                .then_with(|| a.job.cmp(&b.job))
        });
        let likely: Money = jobs
            .iter()
            .map(|l| l.cost.mean().times(exact(l.chance)))
            .sum();
        let likely = Money::new(likely.amount().round_dp(2));
        let total = self.total.plus(&Mixture::certain(self.base));
        let outcomes: Vec<Part> = total
            .atoms()
            .iter()
            .map(|a| Part {
                chance: a.chance,
                mean: a.cost.mean,
                deviation: a.cost.total_variance().sqrt(),
            })
            .collect();
        let point = |p| Money::from_f64(mixture_quantile(&outcomes, p).max(0.0));
        let hours = jobs
            .iter()
            .map(|l| l.own_hours.map(|h| h.times(exact(l.chance))))
            .fold(ThreePoint::exactly(Hours::ZERO), |sum, h| sum + h)
            .map(|h| Hours::new(h.amount().round_dp(2)));
        let left = work.optional.iter().filter(|o| o.choice == Choice::Leave);
        FixBill {
            worst: jobs.iter().map(|l| l.cost.high).sum(),
            left: left.map(left_alone).collect(),
            total: ThreePoint {
                low: point(0.1).map_or(likely, |m| m.min(likely)),
                likely,
                high: point(0.9).map_or(likely, |m| m.max(likely)),
            },
            deviation: total.deviation(),
            outcomes,
            optional: work.optional.clone(),
            jobs,
            hours,
            notes,
        }
    }
}

fn left_alone(optional: &Optional) -> LeftAlone {
    let weighed = optional.effect.times(exact(optional.chance));
    LeftAlone {
        part: optional.part,
        name: optional.name.clone(),
        chance: optional.chance,
        effect: Money::new(weighed.amount().round_dp(2)),
        instead_of: optional.cost.likely,
    }
}

impl Draft {
    fn new(price: Price, shared_with: Option<String>, reason: Reason) -> Self {
        Draft {
            chance: 0.0,
            price,
            shared_with,
            reason,
            because: Vec::new(),
            causes: Vec::new(),
            why: Vec::new(),
            source: None,
        }
    }

    fn line(self, task: Task, case: &Case<'_>) -> Option<JobLine> {
        if self.chance < LEAST_CHANCE {
            return None;
        }
        let lexicon = case.lexicon;
        let (job, name, caution, source) = match task {
            Task::Job(id) | Task::After(id, _) => {
                let repair = lexicon.repairs.get(id);
                (
                    repair.job.clone(),
                    repair.name.clone(),
                    repair.caution.clone(),
                    repair.source.clone(),
                )
            }
            Task::Other(symptom) => {
                let code = lexicon.parts.code(symptom);
                let name = format!("allowance: '{code}' from no usual cause");
                let source = self.source.clone().unwrap_or_default();
                (format!("other:{code}"), name, None, source)
            }
            Task::Doubt => (
                "doubt".to_owned(),
                "allowance: more than is told".to_owned(),
                None,
                self.source.clone().unwrap_or_default(),
            ),
        };
        let chance = exact(Chance::new(self.chance.min(1.0))?);
        let source = match (task, self.source) {
            (Task::Job(_) | Task::After(..), Some(own)) => format!("{source}; chance: {own}"),
            _ => source,
        };
        let cost = self.price.cost();
        Some(JobLine {
            job,
            name,
            because: self.because,
            reason: self.reason,
            causes: self.causes,
            why: self.why.join("; "),
            chance: Chance::new(rust_decimal::prelude::ToPrimitive::to_f64(&chance)?)?,
            parts: self.price.parts,
            parts_used: self.price.parts_used,
            consumables: self.price.consumables,
            own_hours: self.price.own_hours,
            outwork: self.price.shop_labor + self.price.outwork,
            outwork_why: self.price.outwork_why,
            shared_with: self.shared_with,
            cost,
            caution,
            source,
        })
    }
}

/// What each symptom alone would make of a candidate.
fn shares(cluster: &Cluster, place: usize) -> Vec<CauseShare> {
    let rate = |c: usize| cluster.candidates[c].rate;
    let of = cluster.symptoms.iter().filter_map(|s| {
        let shown = s.shown_by(place);
        let all: f64 = s.causes.iter().map(|(c, w)| rate(*c) * w).sum::<f64>() + s.other;
        let alone = Chance::new((rate(place) * shown / all).min(1.0))?;
        (shown > 0.0).then_some(CauseShare {
            symptom: s.code,
            alone,
        })
    });
    of.collect()
}

fn why_cause(case: &Case<'_>, cluster: &Cluster, place: usize, shares: &[CauseShare]) -> String {
    let code = |p| case.lexicon.parts.code(p);
    let of: Vec<_> = shares
        .iter()
        .map(|s| {
            format!(
                "'{}' ({:.0} % by itself)",
                code(s.symptom),
                s.alone.value() * 100.0
            )
        })
        .collect();
    let mut text = format!("likely cause of {}", of.join(" and "));
    let candidate = &cluster.candidates[place];
    if candidate.cleared {
        text.push_str("; less likely, as it is said to be renewed or in order");
    }
    let explains = |e: &&Explainer| {
        let theirs = cluster.candidates.iter().position(|c| c.part == e.part);
        let shows = |s: &CauseShare| {
            let symptom = cluster.symptoms.iter().find(|x| x.code == s.symptom);
            theirs.is_some_and(|t| symptom.is_some_and(|x| x.shown_by(t) > 0.0))
        };
        e.part != candidate.part && e.sure > 0.0 && shares.iter().any(shows)
    };
    let parts = cluster.explainers.iter().filter(explains);
    let parts: Vec<_> = parts.map(|e| e.part).collect();
    if !parts.is_empty() {
        let parts = quoted(case, parts.into_iter());
        text.push_str(&format!("; less likely, as {parts} explains it"));
    }
    text
}

fn quoted(case: &Case<'_>, codes: impl Iterator<Item = PartId>) -> String {
    let all: Vec<_> = codes
        .map(|c| format!("'{}'", case.lexicon.parts.code(c)))
        .collect();
    all.join(" and ")
}

/// A chance as an exact factor, to millionths.
fn exact(chance: Chance) -> Decimal {
    Decimal::from_f64(chance.value())
        .unwrap_or_default()
        .round_dp(6)
}
