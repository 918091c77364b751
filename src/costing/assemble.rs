//! Faults to the lines of a bill and to what it may come to.

use std::collections::BTreeMap;

use rust_decimal::prelude::ToPrimitive;

use super::along::Along;
use super::beside::{Extra, follow_on};
use super::bill::{Chance, FixBill, JobLine, LeftAlone, Reason};
use super::case::Case;
use super::diagnosis::{Diagnosis, diagnose};
use super::evidence::{Cluster, is_certain};
use super::faults::{Faults, Told};
use super::mixture::{Cost, Mixture};
use super::optional::{Choice, Optional};
use super::price::Price;
use super::reasons::{quoted, shares, why_cause};
use super::work::{Work, jobs_of_parts};
use crate::lexicon::parts::{PartId, PartKind};
use crate::lexicon::repairs::JobId;
use crate::normal::{Part, mixture_quantile};
use crate::units::{Hours, Money, ThreePoint, exact_share};

/// A line under a thousandth says nothing.
const LEAST_CHANCE: f64 = 1e-3;
/// Doubt below this is no line, in money.
const LEAST_DOUBT: f64 = 1.0;

/// What a line is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Task {
    Job(JobId),
    /// A job that certain ones may bring along, or that is due.
    Along(JobId, Reason),
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
    why: Vec<String>,
    source: Option<String>,
}

/// Builds the bill of a car of which this is told.
pub fn bill(case: &Case<'_>, told: &Told<'_>, year: u16, notes: Vec<String>) -> FixBill {
    let faults = Faults::of(told, &case.lexicon.parts);
    let work = Work::new(case, &faults, told.claims, year);
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
    sheet.along();
    for cluster in &clusters {
        sheet.cluster(cluster, &diagnose(cluster));
    }
    let open = |job| work.open(job);
    for (symptom, _) in faults.of_kind(PartKind::Symptom, &case.lexicon.parts) {
        let sure = faults.heard(symptom).chance(case.profile).value();
        let code = case.lexicon.parts.code(symptom);
        let rows = case.lexicon.follow_on.of_code(symptom);
        for extra in follow_on(case, rows, &format!("'{code}'"), &open) {
            sheet.besides(&extra, sure * extra.chance, Reason::FollowOn, &[symptom]);
        }
    }
    for extra in work.due() {
        sheet.besides(extra, extra.chance, Reason::Due, &[]);
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
        let why = match (reason, heard.found) {
            (_, Some(_)) => "found at the car",
            (Reason::Stated, None) => "stated",
            _ if heard.in_passing.is_some() => "told in passing",
            _ => "suspected",
        };
        draft.why.push(why.to_owned());
        self.bring_along(job, sure, &[part]);
        if counted && is_certain(sure) {
            self.base = self.base + self.work.cost(job);
        } else if counted {
            let cost = self.work.cost(job);
            self.total = self.total.plus(&Mixture::perhaps(sure, cost));
        }
    }

    /// What the certain jobs bring along, and what is due beside them.
    fn along(&mut self) {
        let work = self.work;
        for (along, beside) in work.along() {
            let Along {
                extra,
                reason,
                because,
            } = along;
            let shared_with = beside.shared_with.clone();
            let mut draft = Draft::new(beside.price.clone(), shared_with, *reason);
            draft.chance = extra.chance;
            draft.because.clone_from(because);
            draft.why.push(extra.why.clone());
            draft.source = Some(extra.source.clone());
            self.drafts.insert(Task::Along(extra.job, *reason), draft);
            let cost = work.case.cost(&beside.price);
            self.total = self.total.plus(&Mixture::perhaps(extra.chance, cost));
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

    /// A job that may have to be done where nothing else has brought it.
    fn besides(&mut self, extra: &Extra, chance: f64, reason: Reason, because: &[PartId]) {
        let known = self.drafts.get(&Task::Job(extra.job));
        let chance = chance * (1.0 - known.map_or(0.0, |d| d.chance.min(1.0)));
        self.extra(None, extra, chance, reason, because);
        let job = extra.job;
        let cost = self.work.own_cost(job);
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
            .map(|l| l.cost.mean().times(exact_share(l.chance.value())))
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
            .map(|l| l.own_hours.map(|h| h.times(exact_share(l.chance.value()))))
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
            told: None,
            outcomes,
            optional: work.optional.clone(),
            jobs,
            hours,
            notes,
        }
    }
}

fn left_alone(optional: &Optional) -> LeftAlone {
    let weighed = optional.effect.times(exact_share(optional.chance.value()));
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
            Task::Job(id) | Task::Along(id, _) | Task::After(id, _) => {
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
        let chance = exact_share(self.chance.min(1.0));
        let source = match (task, self.source) {
            (Task::Job(_) | Task::Along(..) | Task::After(..), Some(own)) => {
                format!("{source}; chance: {own}")
            }
            _ => source,
        };
        let cost = self.price.cost();
        Some(JobLine {
            job,
            name,
            because: self.because,
            reason: self.reason,
            why: self.why.join("; "),
            chance: Chance::new(chance.to_f64()?)?,
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
