//! What jobs save each other that are done together.
//!
//! Jobs that certainly have to be done save each other work by the rows of
//! `shared_work.csv`, but none saves more than it costs itself
//! ([`super::matching`]): so no fault that is added makes the bill smaller. A
//! job that may have to be done is priced as done beside the certain ones.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::case::Case;
use super::matching::{Edge, matching};
use super::price::{Price, Shares};
use crate::lexicon::repairs::JobId;
use crate::lexicon::shared_work::SharedWork;
use crate::units::{Money, exact_share};

/// A job that certainly has to be done.
#[derive(Debug, Clone)]
pub struct Certain {
    /// The job.
    pub job: JobId,
    /// Its price, what others save of it taken off.
    pub price: Price,
    /// The jobs that save some of it, and why, in words.
    pub shared_with: Option<String>,
}

/// Works out what the certain jobs save each other.
pub fn share(case: &Case<'_>, alone: Vec<(JobId, Price)>) -> Vec<Certain> {
    let kinds: Vec<Shares> = alone.iter().map(|(_, p)| p.shares()).collect();
    let costs: Vec<i64> = kinds.iter().map(|kinds| units(kinds.sum())).collect();
    let mut edges = Vec::new();
    let mut rows = Vec::new();
    for (a, (host, with)) in alone.iter().enumerate() {
        for (b, (job, price)) in alone.iter().enumerate() {
            if a == b {
                continue;
            }
            let priced = (price, kinds[b]);
            if let Some((row, capacity)) = best_row(case, *job, priced, *host, with) {
                edges.push(Edge {
                    a,
                    b,
                    capacity,
                    gated: true,
                });
                rows.push(row);
            }
        }
    }
    let mut saved: Vec<Vec<(&SharedWork, usize, f64)>> = vec![Vec::new(); alone.len()];
    if !edges.is_empty() {
        let gates: Vec<i64> = alone.iter().map(|(id, p)| most(case, *id, p)).collect();
        let amounts = matching(&costs, &gates, &edges);
        for ((edge, row), amount) in edges.iter().zip(rows).zip(amounts) {
            if amount > 0 {
                // The matching doubles its amounts.
                saved[edge.b].push((row, edge.a, amount as f64 / 2.0));
            }
        }
    }
    let hosts = |list: &[(&SharedWork, usize, f64)]| {
        let mut texts: Vec<String> = Vec::new();
        for (row, host, _) in list {
            let name = &case.lexicon.repairs.get(alone[*host].0).name;
            let text = format!("{name}: {}", row.why);
            if !texts.contains(&text) {
                texts.push(text);
            }
        }
        (!texts.is_empty()).then(|| texts.join("; "))
    };
    alone
        .iter()
        .zip(&saved)
        .map(|((job, price), list)| {
            let rows: Vec<_> = list
                .iter()
                .map(|(row, host, amount)| (*row, alone[*host].1.hands == price.hands, *amount))
                .collect();
            let [hours, parts, outwork] = shares(price, &rows);
            Certain {
                job: *job,
                price: price.clone().less(hours, parts, outwork),
                shared_with: hosts(list),
            }
        })
        .collect()
}

/// The price of a job as done beside the certain ones, and with which of them
/// it shares work.
pub fn beside<'c>(
    case: &Case<'c>,
    job: JobId,
    price: Price,
    certain: impl Iterator<Item = &'c Certain>,
) -> (Price, Option<Shared<'c>>) {
    let shares = price.shares();
    let rows = certain
        .filter_map(|c| {
            let (row, amount) = best_row(case, job, (&price, shares), c.job, &c.price)?;
            Some((row, c, amount))
        })
        .reduce(|best, next| if next.2 > best.2 { next } else { best });
    let Some((row, host, _)) = rows else {
        return (price, None);
    };
    let hours = if host.price.hands == price.hands {
        row.hours_share
    } else {
        Decimal::ZERO
    };
    let shared = Shared {
        host: host.job,
        why: &row.why,
    };
    (
        price.less(hours, row.parts_share, row.outwork_share),
        Some(shared),
    )
}

/// With which job another shares work, and why.
#[derive(Debug, Clone, Copy)]
pub struct Shared<'c> {
    host: JobId,
    why: &'c str,
}

impl Shared<'_> {
    /// In words.
    pub fn words(self, case: &Case<'_>) -> String {
        format!("{}: {}", case.lexicon.repairs.get(self.host).name, self.why)
    }
}

/// A money amount in ten-thousandths, for exact flows. Bounded, so that sums
/// over all jobs fit.
fn units(amount: Money) -> i64 {
    const MOST: i64 = 100_000_000_000;
    (amount.amount() * Decimal::from(10_000))
        .round()
        .to_i64()
        .map_or(MOST, |u| u.clamp(0, MOST))
}

/// What a row saves of a job, in units.
fn saved(row: &SharedWork, shares: Shares, same_hands: bool) -> i64 {
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

/// The row that saves most of `job` when `host` is done too.
fn best_row<'a>(
    case: &Case<'a>,
    job: JobId,
    (price, shares): (&Price, Shares),
    host: JobId,
    with: &Price,
) -> Option<(&'a SharedWork, i64)> {
    let same_hands = price.hands == with.hands;
    case.lexicon
        .shared_work
        .of(job)
        .filter(|row| case.lexicon.repairs.means(row.with, host))
        .map(|row| (row, saved(row, shares, same_hands)))
        .filter(|(_, amount)| *amount > 0)
        .reduce(|best, next| if next.1 > best.1 { next } else { best })
}

/// The most that other jobs can save of this one, whichever they are.
fn most(case: &Case<'_>, job: JobId, price: &Price) -> i64 {
    let (rows, shares) = (case.lexicon.shared_work.of(job), price.shares());
    rows.map(|row| saved(row, shares, true)).max().unwrap_or(0)
}

/// The shares of hours, parts and outwork that other jobs save. What a kind
/// cannot take, because two jobs save the same hours, goes to the next.
fn shares(price: &Price, rows: &[(&SharedWork, bool, f64)]) -> [Decimal; 3] {
    let alone = price.shares();
    let have = [alone.hours, alone.parts, alone.outwork].map(|m| units(m) as f64);
    let mut saved = [0.0; 3];
    for (row, same_hands, amount) in rows {
        let hours = if *same_hands {
            row.hours_share
        } else {
            Decimal::ZERO
        };
        let rates = [hours, row.parts_share, row.outwork_share];
        let kinds: [f64; 3] =
            std::array::from_fn(|k| have[k] * rates[k].to_f64().unwrap_or_default());
        let sum: f64 = kinds.iter().sum();
        for k in 0..3 {
            if sum > 0.0 {
                saved[k] += amount * kinds[k] / sum;
            }
        }
    }
    let mut spill = 0.0;
    for _ in 0..2 {
        for k in 0..3 {
            let wanted = saved[k] + spill;
            saved[k] = wanted.min(have[k]);
            spill = wanted - saved[k];
        }
    }
    std::array::from_fn(|k| {
        if have[k] <= 0.0 {
            return Decimal::ZERO;
        }
        exact_share((saved[k] / have[k]).clamp(0.0, 1.0))
    })
}
