//! View, ask or skip, and why.

use super::appraisal::{Action, Unknown};
use super::position::{Limits, Position};
use crate::costing::FixBill;
use crate::lexicon::parts::PartId;
use crate::lexicon::unknowns::{Gap, Open};
use crate::reading::{Reading, Says};
use crate::units::{Currency, Money};

/// What was decided.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verdict {
    /// What to do.
    pub action: Action,
    /// Why.
    pub reason: String,
    /// What to ask.
    pub question: Option<String>,
}

impl Verdict {
    /// Leave it.
    pub fn skip(reason: impl Into<String>) -> Self {
        Verdict {
            action: Action::Skip,
            reason: reason.into(),
            question: None,
        }
    }

    /// Ask first.
    pub fn ask(reason: impl Into<String>, question: &str) -> Self {
        Verdict {
            action: Action::Ask,
            reason: reason.into(),
            question: Some(question.to_owned()),
        }
    }
}

/// One thing that a question would settle: how much more or less than supposed
/// the answer may show.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Swing<'a> {
    unknown: &'a Unknown,
    /// A good answer saves this much.
    better: Money,
    /// A bad answer costs this much more.
    worse: Money,
    /// What was set aside for it.
    settled: Money,
}

/// What questions could settle. A good answer to an unknown gives back what
/// was set aside, a bad one takes as much again; a suspected part is cleared or
/// certain.
pub fn swings<'a>(unknowns: &'a [Unknown], reading: &Reading, bill: &FixBill) -> Vec<Swing<'a>> {
    let mut suspects = reading
        .claims
        .iter()
        .filter(|c| c.says == Says::Suspect && c.found.is_none());
    unknowns
        .iter()
        .map(|unknown| {
            let mut swing = Swing {
                unknown,
                better: unknown.allowance,
                worse: unknown.allowance,
                settled: unknown.allowance,
            };
            if unknown.open == Open::Gap(Gap::Suspect) {
                // Unknowns of this kind stand in the order of their claims.
                if let Some(claim) = suspects.next() {
                    (swing.better, swing.worse) = at_stake(bill, claim.part);
                }
            }
            swing
        })
        .collect()
}

/// What a suspected part counts for in the sum, and what it would cost more if
/// it were certain: repaired or left as it is.
fn at_stake(bill: &FixBill, part: PartId) -> (Money, Money) {
    let jobs = bill
        .jobs
        .iter()
        .filter(|job| job.because.contains(&part))
        .map(|job| (job.cost.mean().to_f64(), job.chance.value()));
    let left = bill.left.iter().filter(|left| left.part == part);
    let left = left
        .map(|left| (left.effect.to_f64(), left.chance.value()))
        .filter(|(_, chance)| *chance > 0.0)
        .map(|(expected, chance)| (expected / chance, chance));
    let (expected, rest) = jobs.chain(left).fold((0.0, 0.0), |(a, b), (cost, chance)| {
        (a + cost * chance, b + cost * (1.0 - chance))
    });
    let money = |value| Money::from_f64(value).unwrap_or_default();
    (money(expected), money(rest))
}

/// Decides about a car whose margin is known; `haggled` where the price is less
/// than what is asked.
pub fn decide(
    position: &Position,
    limits: &Limits,
    price: Money,
    haggled: bool,
    swings: &[Swing<'_>],
    currency: Currency,
) -> Verdict {
    let pays = |p: &Position| price <= p.ceiling(limits);
    let sign = currency.sign();
    let now = pays(position);
    let deciding = swings
        .iter()
        .map(|s| {
            let more = if now { s.worse } else { -s.better };
            (s, more)
        })
        .filter(|(s, more)| pays(&position.if_known(*more, s.settled)) != now)
        // The first of equals, so that the order of the table decides.
        .reduce(|best, next| {
            let size = |(_, more): &(&Swing<'_>, Money)| more.amount().abs();
            if size(&next) > size(&best) {
                next
            } else {
                best
            }
        });
    let ceiling = position.ceiling(limits);
    let margin = position.margin(price);
    if let Some((swing, _)) = deciding {
        let words = &swing.unknown.words;
        let reason = if now {
            format!("pays as far as told; hangs on: {words}")
        } else {
            format!("falls short as told; hangs on: {words}")
        };
        return Verdict::ask(reason, &swing.unknown.question);
    }
    if !now {
        return Verdict::skip(if ceiling == Money::ZERO {
            "leaves too little at any price".to_owned()
        } else if margin.likely >= limits.wanted {
            format!("a loss is too likely above {sign}{ceiling}")
        } else {
            let over = price - ceiling;
            if haggled {
                format!("{sign}{over} too dear even after the usual give")
            } else {
                format!("{sign}{over} too dear")
            }
        });
    }
    let cheap = swings
        .iter()
        .find(|s| s.unknown.open == Open::Gap(Gap::TooCheap));
    if let Some(swing) = cheap {
        let words = &swing.unknown.words;
        let reason = format!("too good for what is told; hangs on: {words}");
        return Verdict::ask(reason, &swing.unknown.question);
    }
    let reason = if position.way_out - price >= limits.wanted {
        "scrap alone pays for it".to_owned()
    } else if margin.low >= limits.wanted {
        "pays even at the low end".to_owned()
    } else if margin.low >= Money::ZERO {
        "pays; no loss at the low end".to_owned()
    } else {
        format!("pays; {sign}{} lost at the low end", -margin.low)
    };
    Verdict {
        action: Action::View,
        reason,
        question: None,
    }
}

/// Decides about a car without a price.
pub fn without_price(ceiling: Money, unknowns: &[Unknown], currency: Currency) -> Verdict {
    if ceiling == Money::ZERO {
        return Verdict::skip("leaves too little at any price");
    }
    let reason = format!("no price; up to {}{ceiling} pays", currency.sign());
    question(unknowns, &[Gap::NoPrice, Gap::OtherCurrency]).map_or_else(
        || Verdict::skip(reason.clone()),
        |q| Verdict::ask(reason.clone(), q),
    )
}

/// Decides about a car that cannot be valued.
pub fn without_worth(unknowns: &[Unknown]) -> Verdict {
    let gaps = [Gap::NoMake, Gap::NoYear];
    match question(unknowns, &gaps) {
        Some(q) => Verdict::ask("cannot be valued as told", q),
        None => Verdict::skip("cannot be valued"),
    }
}

fn question<'a>(unknowns: &'a [Unknown], gaps: &[Gap]) -> Option<&'a str> {
    unknowns
        .iter()
        .find(|u| gaps.iter().any(|g| u.open == Open::Gap(*g)))
        .map(|u| u.question.as_str())
}
