//! What jobs save each other that are done together.
//!
//! Jobs that certainly have to be done, those of suspected parts that explain no
//! symptom, and those that may come along save each other work by the rows of
//! `shared_work.csv`, as often as they are done; but none saves more than it
//! costs itself ([`super::matching`]): so no fault that is added makes the bill
//! smaller. Another job that may have to be done is priced as done beside the
//! certain ones.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::case::Case;
use super::matching::{Edge, matching};
use super::price::{Price, Shares, hands};
use crate::lexicon::repairs::JobId;
use crate::lexicon::shared_work::SharedWork;
use crate::units::{Money, exact_share};

/// A job beside those that share work with it.
#[derive(Debug, Clone)]
pub struct Certain {
    /// The job.
    pub job: JobId,
    /// Its price, what others save of it taken off.
    pub price: Price,
    /// The jobs that save some of it, and why, in words.
    pub shared_with: Option<String>,
}

/// A job that has to be done, or has to be so often.
#[derive(Debug, Clone)]
pub struct Node {
    /// The job.
    pub job: JobId,
    /// Its price, done alone.
    pub price: Price,
    /// How often it has to be done, over 0.
    pub chance: f64,
}

/// Works out what jobs save each other. What one has to be done so often, that
/// is counted and saved so often: then a job that becomes likelier costs at
/// least as much more as it saves more.
pub fn share(case: &Case<'_>, nodes: &[Node]) -> Vec<Certain> {
    let kinds: Vec<Shares> = nodes.iter().map(|n| n.price.shares()).collect();
    let costs = kinds.iter().zip(nodes);
    let costs: Vec<i64> = costs
        .map(|(kinds, n)| part_of(units(kinds.sum()), n.chance))
        .collect();
    let mut edges = Vec::new();
    let mut rows = Vec::new();
    for (a, with) in nodes.iter().enumerate() {
        for (b, node) in nodes.iter().enumerate() {
            if a == b {
                continue;
            }
            let priced = (&node.price, kinds[b]);
            if let Some((row, capacity)) = best_row(case, node.job, priced, with.job, &with.price) {
                edges.push(Edge {
                    a,
                    b,
                    capacity: part_of(capacity, with.chance * node.chance),
                    gated: true,
                });
                rows.push(row);
            }
        }
    }
    let mut saved: Vec<Vec<(&SharedWork, usize, f64)>> = vec![Vec::new(); nodes.len()];
    if !edges.is_empty() {
        let gate = |n: &Node| part_of(most(case, n.job, &n.price), n.chance);
        let gates: Vec<i64> = nodes.iter().map(gate).collect();
        let amounts = matching(&costs, &gates, &edges);
        for ((edge, row), amount) in edges.iter().zip(rows).zip(amounts) {
            if amount > 0 {
                // The matching doubles its amounts.
                let often = 2.0 * nodes[edge.b].chance;
                saved[edge.b].push((row, edge.a, amount as f64 / often));
            }
        }
    }
    let hosts = |list: &[(&SharedWork, usize, f64)]| {
        let mut texts: Vec<String> = Vec::new();
        for (row, host, _) in list {
            let name = &case.lexicon.repairs.get(nodes[*host].job).name;
            let text = format!("{name}: {}", row.why);
            if !texts.contains(&text) {
                texts.push(text);
            }
        }
        (!texts.is_empty()).then(|| texts.join("; "))
    };
    nodes
        .iter()
        .zip(&saved)
        .map(|(node, list)| {
            let price = &node.price;
            let same_hands = |host: usize| nodes[host].price.hands == price.hands;
            let rows: Vec<_> = list
                .iter()
                .map(|(row, host, amount)| (*row, same_hands(*host), *amount))
                .collect();
            let [hours, parts, outwork] = shares(price, &rows);
            Certain {
                job: node.job,
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

fn part_of(units: i64, chance: f64) -> i64 {
    (units as f64 * chance) as i64
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

/// The most that other jobs can save of this one, whichever they are: of its
/// hours only those that the same hands do.
fn most(case: &Case<'_>, job: JobId, price: &Price) -> i64 {
    let (rows, shares) = (case.lexicon.shared_work.of(job), price.shares());
    let same_hands = |row: &SharedWork| {
        let host = case.resolve(row.with);
        host.is_some_and(|host| hands(case.lexicon.repairs.get(host), case.profile) == price.hands)
    };
    rows.map(|row| saved(row, shares, same_hands(row)))
        .max()
        .unwrap_or(0)
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
