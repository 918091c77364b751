//! View, ask or skip, and why.

use super::appraisal::{Action, Unknown};
use super::position::Limits;
use super::question::Question;
use crate::lexicon::unknowns::{Gap, Open};
use crate::units::{Currency, Money, ThreePoint};

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

/// A car whose margin is known.
pub struct Known<'a> {
    /// What it leaves at that price.
    pub margin: ThreePoint<Money>,
    /// What scrap or breaking leaves before the price.
    pub way_out: Money,
    /// What the buyer insists on.
    pub limits: &'a Limits,
    /// The most that pays.
    pub ceiling: Money,
    /// What is to be paid.
    pub price: Money,
    /// Whether that is less than what is asked.
    pub haggled: bool,
    /// What the ad leaves open.
    pub unknowns: &'a [Unknown],
    /// The questions, the one worth most first.
    pub questions: &'a [Question],
    /// The user's money.
    pub currency: Currency,
}

/// Decides about it: where an answer is worth more than the time to ask, it is
/// asked for before anybody drives out.
pub fn decide(car: &Known<'_>) -> Verdict {
    let Known {
        limits,
        ceiling,
        price,
        margin,
        ..
    } = *car;
    let sign = car.currency.sign();
    let now = price <= ceiling;
    let best = car.questions.first().filter(|q| q.worth > Money::ZERO);
    if let Some(best) = best {
        let as_told = if now { "pays" } else { "falls short" };
        let about = &best.about;
        let reason = format!("{as_told} as told; first ask about: {about}");
        return Verdict::ask(reason, &best.question);
    }
    if !now {
        return Verdict::skip(if ceiling == Money::ZERO {
            "leaves too little at any price".to_owned()
        } else if margin.likely >= limits.wanted {
            format!("a loss is too likely above {sign}{ceiling}")
        } else {
            let over = price - ceiling;
            if car.haggled {
                format!("{sign}{over} too dear even after the usual give")
            } else {
                format!("{sign}{over} too dear")
            }
        });
    }
    let cheap = Open::Gap(Gap::TooCheap);
    if let Some(unknown) = car.unknowns.iter().find(|u| u.open == cheap) {
        let reason = format!("too good for what is told; hangs on: {}", unknown.words);
        return Verdict::ask(reason, &unknown.question);
    }
    let reason = if car.way_out - price >= limits.wanted {
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
