//! Which jobs are called for, how surely, and how far a stated fault explains
//! the symptoms beside it.
//!
//! Every job has an axis of chance from 0 to 1. A claim on its part covers the
//! axis up to the claim's chance, each symptom covers it up to the weight of
//! the job among the symptom's causes. Where symptoms overlap the axis is
//! covered once: two signs of one trouble are not two troubles.
//!
//! What is covered costs its share of the job. From that comes off what stated
//! faults make needless. A stated cause explains its symptoms, so that their
//! other causes fall away; and jobs done together share work. Both are amounts
//! between two stretches of axis, and no stretch gives or takes more than it
//! costs itself ([`super::matching`]). So a cheap cause named for a dear
//! symptom explains as much of it as it costs and leaves the rest in doubt,
//! and no fault that is added can make the bill smaller.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::faults::{Belief, Faults, Heard};
use super::matching::{Edge, matching};
use super::price::Price;
use super::stretch::{Stretch, StretchKind, stretches};
use crate::lexicon::Lexicon;
use crate::lexicon::classes::Class;
use crate::lexicon::parts::{PartId, PartKind};
use crate::lexicon::repairs::JobId;
use crate::lexicon::shared_work::SharedWork;
use crate::profile::Profile;
use crate::reading::Gearbox;
use crate::units::{Chance, Money};

/// Chances are whole millionths here, so that the sums are exact.
pub const MILLION: i64 = 1_000_000;

/// A cause that is said to be renewed or in order keeps this part of its
/// weight: sellers err, and new parts fail. Common practice, no source.
const CLEARED: Decimal = Decimal::from_parts(1, 0, 0, false, 1);

/// The car and the user that a bill is for.
pub struct Case<'a> {
    /// All tables.
    pub lexicon: &'a Lexicon,
    /// The user's figures.
    pub profile: &'a Profile,
    /// The car's class.
    pub class: &'a Class,
    /// The car's gearbox.
    pub gearbox: Gearbox,
}

/// What a line of the bill is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Task {
    /// A job.
    Job(JobId),
    /// The allowance for a symptom whose usual causes are not it.
    Allowance(PartId),
}

/// A symptom that a task may put right.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// The symptom.
    pub symptom: PartId,
    /// The task's weight among its causes.
    pub weight: Decimal,
    /// The chance that comes of it, in millionths.
    pub chance: i64,
}

/// One task that may have to be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// What it is.
    pub task: Task,
    /// Its price alone.
    pub price: Price,
    /// The part claimed to be at fault, and how surely.
    pub claim: Option<(PartId, Belief)>,
    /// The chance of that, in millionths.
    pub sure: i64,
    /// The symptoms that point to it.
    pub demands: Vec<Demand>,
}

/// What comes off a task because of another one.
#[derive(Debug, Clone, Copy)]
pub struct Shared<'a> {
    /// The task that is cheaper, as a place in the list of work.
    pub work: usize,
    /// The job it is done together with.
    pub with: usize,
    /// The row of the table.
    pub row: &'a SharedWork,
    /// The mean amount saved, chances weighed, in units of [`units`] times a
    /// million.
    pub amount: f64,
}

/// The tasks, with what they take off each other.
pub struct Outcome<'a> {
    /// Tasks in a fixed order.
    pub works: Vec<Work>,
    /// Chance of each, what is explained taken off, in millionths.
    pub chance: Vec<f64>,
    /// Whether part of the chance was explained away.
    pub explained: Vec<bool>,
    /// Work shared.
    pub shared: Vec<Shared<'a>>,
}

/// A money amount in ten-thousandths, for exact flows. Bounded, so that sums
/// over all stretches fit.
pub fn units(amount: Money) -> i64 {
    const MOST: i64 = 100_000_000_000;
    (amount.amount() * Decimal::from(10_000))
        .round()
        .to_i64()
        .map_or(MOST, |u| u.clamp(0, MOST))
}

fn millionths(chance: Decimal) -> i64 {
    (chance * Decimal::from(MILLION))
        .round()
        .to_i64()
        .unwrap_or_default()
        .clamp(0, MILLION)
}

/// Gathers the tasks that claims call for. Faults in `left` are not repaired.
pub fn gather(case: &Case<'_>, faults: &Faults, left: &[PartId]) -> Vec<Work> {
    let Lexicon {
        parts,
        repairs,
        causes,
        ..
    } = case.lexicon;
    let mut works: BTreeMap<Task, Work> = BTreeMap::new();
    let priced = |id: JobId| {
        let repair = repairs.get(id);
        // The spare is the part that the claim's own job would buy.
        let own = repairs.for_part(repair.part, case.gearbox, &case.class.name) == Some(id);
        let heard = faults.heard(repair.part);
        let price = Price::of(repair, case.class, case.profile, own && heard.spare);
        match heard.found.and_then(|f| f.cost) {
            Some(cost) if own => price.instead(cost),
            _ => price,
        }
    };
    let entry = |task: Task, price: Price| Work {
        task,
        price,
        claim: None,
        sure: 0,
        demands: Vec::new(),
    };
    for (part, belief) in faults.of_kind(PartKind::Part, parts) {
        let Some(id) = repairs.for_part(part, case.gearbox, &case.class.name) else {
            continue;
        };
        if !left.contains(&part) {
            let task = Task::Job(id);
            let work = works.entry(task).or_insert_with(|| entry(task, priced(id)));
            work.claim = Some((part, belief));
            work.sure = chance_of(faults.heard(part), case.profile);
        }
    }
    for (symptom, _) in faults.of_kind(PartKind::Symptom, parts) {
        let sure = chance_of(faults.heard(symptom), case.profile);
        let listed = causes.of(symptom);
        for cause in &listed.causes {
            let Some(id) = repairs.resolve(cause.work, case.gearbox, &case.class.name) else {
                continue;
            };
            let cleared = faults.heard(repairs.get(id).part).cleared();
            let weight = cause.weight * if cleared { CLEARED } else { Decimal::ONE };
            let task = Task::Job(id);
            works
                .entry(task)
                .or_insert_with(|| entry(task, priced(id)))
                .demands
                .push(Demand {
                    symptom,
                    weight,
                    chance: millionths(weight) * sure / MILLION,
                });
        }
        if let Some(other) = &listed.other {
            let task = Task::Allowance(symptom);
            let mut work = entry(task, Price::allowance(other.cost, case.profile));
            work.demands.push(Demand {
                symptom,
                weight: other.weight,
                chance: millionths(other.weight) * sure / MILLION,
            });
            works.insert(task, work);
        }
    }
    works.into_values().collect()
}

/// The chance that a fault is there by what was heard of it, in millionths.
pub fn chance_of(heard: Heard, profile: &Profile) -> i64 {
    match heard.belief() {
        Belief::None => 0,
        Belief::Suspected => {
            let chance = heard.found.map_or(profile.suspect_chance, |f| f.chance);
            in_millionths(chance)
        }
        Belief::Stated => MILLION,
    }
}

/// A chance is between 0 and 1, so the cast cannot overflow.
fn in_millionths(chance: Chance) -> i64 {
    (chance.value() * MILLION as f64).round() as i64
}

/// `amount * share`, share in millionths, without overflow.
fn part_of(amount: i64, share: i64) -> i64 {
    (i128::from(amount) * i128::from(share) / i128::from(MILLION)) as i64
}

/// Weighs the tasks against each other.
pub fn weigh<'a>(case: &Case<'a>, works: Vec<Work>) -> Outcome<'a> {
    let suspect = in_millionths(case.profile.suspect_chance);
    let costs: Vec<i64> = works
        .iter()
        .map(|w| units(w.price.shares().sum()))
        .collect();
    let nodes: Vec<Stretch> = works
        .iter()
        .enumerate()
        .flat_map(|(i, w)| stretches(i, w, suspect))
        .collect();
    let budgets: Vec<i64> = nodes.iter().map(|n| costs[n.work] * n.length).collect();
    let most: Vec<i64> = works.iter().map(|w| most_shared(case, w)).collect();
    let gates: Vec<i64> = nodes.iter().map(|n| most[n.work] * n.length).collect();

    let mut edges = Vec::new();
    let mut rows = Vec::new();
    for (a, giver) in nodes.iter().enumerate() {
        let StretchKind::Claimed { joint, explains } = giver.kind else {
            continue;
        };
        for (b, taker) in nodes.iter().enumerate() {
            if taker.work == giver.work {
                continue;
            }
            if let StretchKind::Feared {
                symptoms,
                claimed: false,
            } = &taker.kind
                && symptoms
                    .iter()
                    .all(|s| explains_symptom(case, &works[giver.work], *s))
            {
                edges.push(Edge {
                    a,
                    b,
                    capacity: part_of(budgets[b], explains),
                    gated: false,
                });
                rows.push(None);
            }
            if let Some((row, amount)) = best_row(case, &works[taker.work], &works[giver.work]) {
                edges.push(Edge {
                    a,
                    b,
                    capacity: part_of(amount * taker.length, joint),
                    gated: true,
                });
                rows.push(Some(row));
            }
        }
    }

    let mut covered = vec![0.0; works.len()];
    for node in &nodes {
        covered[node.work] += node.length as f64;
    }
    let mut explained = vec![0.0; works.len()];
    let mut shared: Vec<Shared<'a>> = Vec::new();
    if !edges.is_empty() {
        let amounts = matching(&budgets, &gates, &edges);
        for ((edge, row), amount) in edges.iter().zip(rows).zip(amounts) {
            // The matching doubles its amounts.
            let amount = amount as f64 / 2.0;
            let work = nodes[edge.b].work;
            match row {
                _ if amount == 0.0 => {}
                None => explained[work] += amount / costs[work].max(1) as f64,
                Some(row) => shared.push(Shared {
                    work,
                    with: nodes[edge.a].work,
                    row,
                    amount,
                }),
            }
        }
    }
    Outcome {
        chance: covered
            .iter()
            .zip(&explained)
            .map(|(c, e)| (c - e).max(0.0))
            .collect(),
        explained: explained.iter().map(|e| *e > 0.0).collect(),
        works,
        shared,
    }
}

/// Whether the part at fault is one of the symptom's usual causes.
fn explains_symptom(case: &Case<'_>, work: &Work, symptom: PartId) -> bool {
    let Some((part, _)) = work.claim else {
        return false;
    };
    let repairs = &case.lexicon.repairs;
    case.lexicon.causes.of(symptom).causes.iter().any(|c| {
        repairs
            .resolve(c.work, case.gearbox, &case.class.name)
            .is_some_and(|id| repairs.get(id).part == part)
    })
}

/// What a row saves of a job, in units.
fn saved(row: &SharedWork, job: &Price, same_hands: bool) -> i64 {
    let shares = job.shares();
    let hours = if same_hands {
        row.hours_share
    } else {
        Decimal::ZERO
    };
    units(
        shares.hours.times(hours)
            + shares.parts.times(row.parts_share)
            + shares.outwork.times(row.outwork_share),
    )
}

/// The row that saves most of `job` when `with` is done too.
fn best_row<'a>(case: &Case<'a>, job: &Work, with: &Work) -> Option<(&'a SharedWork, i64)> {
    let (Task::Job(id), Task::Job(host)) = (job.task, with.task) else {
        return None;
    };
    let same_hands = job.price.hands == with.price.hands;
    case.lexicon
        .shared_work
        .of(id)
        .filter(|row| case.lexicon.repairs.means(row.with, host))
        .map(|row| (row, saved(row, &job.price, same_hands)))
        .filter(|(_, amount)| *amount > 0)
        .reduce(|best, next| if next.1 > best.1 { next } else { best })
}

/// The most that other jobs can save of this one, whichever they are.
fn most_shared(case: &Case<'_>, work: &Work) -> i64 {
    let Task::Job(id) = work.task else {
        return 0;
    };
    case.lexicon
        .shared_work
        .of(id)
        .map(|row| saved(row, &work.price, true))
        .max()
        .unwrap_or(0)
}
