//! What a little more of a limit would add: the plan chosen anew with it, since
//! cars come whole and no price a unit tells what the next 500 buy.

use rust_decimal::Decimal;

use super::candidate::{Candidate, Limits};
use super::solve::{Chosen, best};
use crate::units::{Hours, Money};

/// A plan with more of one limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct More {
    /// What more there is, in words.
    pub of: String,
    /// What the best set brings more, never negative.
    pub adds: Money,
    /// Cars that come into the set, as places in the candidates.
    pub joins: Vec<usize>,
    /// Cars that leave it.
    pub leaves: Vec<usize>,
    /// Whether both sets are proved best.
    pub proved: bool,
}

/// More money that is tried, in units of the profile.
const MORE_MONEY: i64 = 500;
/// More hours that are tried.
const MORE_HOURS: i64 = 10;

/// What 500 more of the budget, ten more hours and room for one more car would
/// add, each alone, and all of them together where there are two limits or more.
pub fn more(candidates: &[Candidate], limits: &Limits, now: &Chosen) -> Vec<More> {
    let budget = limits.budget.map(|b| b + Money::whole(MORE_MONEY));
    let hours = limits
        .hours
        .map(|h| h + Hours::new(Decimal::from(MORE_HOURS)));
    let space = limits.space.map(|s| s.saturating_add(1));
    let mut tries = Vec::new();
    if budget.is_some() {
        let limits = Limits { budget, ..*limits };
        tries.push((format!("{MORE_MONEY} more to lay out"), limits));
    }
    if hours.is_some() {
        let limits = Limits { hours, ..*limits };
        tries.push((format!("{MORE_HOURS} hours more"), limits));
    }
    if space.is_some() {
        let limits = Limits { space, ..*limits };
        tries.push(("room for one more".to_owned(), limits));
    }
    if tries.len() > 1 {
        let all = Limits {
            budget,
            hours,
            space,
        };
        let words = if tries.len() == 2 {
            "both"
        } else {
            "all three"
        };
        tries.push((words.to_owned(), all));
    }
    tries
        .into_iter()
        .map(|(of, limits)| {
            let then = best(candidates, &limits);
            let beside = |a: &Chosen, b: &Chosen| -> Vec<usize> {
                let places = a.places.iter().copied();
                places.filter(|p| !b.places.contains(p)).collect()
            };
            let adds = total(candidates, &then) - total(candidates, now);
            // Two sets may bring the same: then there is nothing to change.
            let changed = adds > Money::ZERO;
            More {
                of,
                adds: adds.max(Money::ZERO),
                joins: if changed {
                    beside(&then, now)
                } else {
                    Vec::new()
                },
                leaves: if changed {
                    beside(now, &then)
                } else {
                    Vec::new()
                },
                proved: then.proved && now.proved,
            }
        })
        .collect()
}

/// What a set brings.
pub fn total(candidates: &[Candidate], chosen: &Chosen) -> Money {
    let places = chosen.places.iter();
    places.map(|p| candidates[*p].margin).sum()
}
