//! Which assumption moves the margin most: each alone from its low to its high
//! end, the others as they are (a tornado diagram: Howard 1988, Decision
//! analysis: practice and promise, Management Science 34(6)).

use rust_decimal::Decimal;

use super::change::{Change, Scenario};
use super::facts;
use crate::lexicon::assumptions::{Assumption, Bound, When};
use crate::margin::{Action, Appraisal};
use crate::profile::keys::KEYS;
use crate::units::{Money, ThreePoint};

/// One end of an assumption, and what the car then leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct End {
    /// The value, for people.
    pub value: String,
    /// Expected margin; without a price what is left before it.
    pub margin: Money,
    /// What would be done.
    pub action: Action,
}

/// One assumption with both its ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// What is assumed, in words.
    pub words: String,
    /// At its low value.
    pub low: End,
    /// At its high value.
    pub high: End,
}

impl Bar {
    /// How far the margin moves between the ends, never negative.
    pub fn moves(&self) -> Money {
        let (a, b) = (self.low.margin, self.high.margin);
        if a > b { a - b } else { b - a }
    }
}

/// All assumptions that move the margin, the strongest first.
#[derive(Debug, Clone, PartialEq)]
pub struct Tornado {
    /// The margin as it is, or what is left before the price.
    pub base: Money,
    /// What would be done as it is.
    pub action: Action,
    /// The assumptions.
    pub bars: Vec<Bar>,
}

impl Tornado {
    /// Works the car out with each assumption at both its ends. `None` where it
    /// cannot be valued. What moves the margin by less than a unit is left out.
    pub fn new(
        base: &Scenario,
        appraisal: &Appraisal,
        assumptions: &[Assumption],
        appraise: &dyn Fn(&Scenario) -> Appraisal,
    ) -> Option<Self> {
        let worth = appraisal.worth.as_ref()?.right;
        let mut bars: Vec<Bar> = assumptions
            .iter()
            .filter(|row| applies(row, base))
            .filter_map(|row| {
                let end = |bound| end(row, bound, base, &worth, appraise);
                Some(Bar {
                    words: row.words.clone(),
                    low: end(&row.low)?,
                    high: end(&row.high)?,
                })
            })
            .filter(|bar| bar.moves() >= Money::whole(1))
            .collect();
        // Stable, so that equals keep the order of the table.
        bars.sort_by_key(|bar| std::cmp::Reverse(bar.moves()));
        Some(Tornado {
            base: left(appraisal)?,
            action: appraisal.action,
            bars,
        })
    }
}

/// Whether the assumption is one for this ad.
fn applies(row: &Assumption, base: &Scenario) -> bool {
    match row.when {
        When::Always => true,
        When::Open => facts::find(&row.key).is_none_or(|fact| !(fact.is_told)(&base.reading)),
    }
}

fn end(
    row: &Assumption,
    bound: &Bound,
    base: &Scenario,
    worth: &ThreePoint<Money>,
    appraise: &dyn Fn(&Scenario) -> Appraisal,
) -> Option<End> {
    let (value, shown) = match bound {
        Bound::Value(value) => (value.clone(), value.clone()),
        Bound::Factor(factor) => match figure(&row.key, base) {
            Some(figure) => {
                let value = (figure * factor).round_dp(6).normalize();
                let shown = if value > Decimal::ONE_THOUSAND {
                    Money::new(value).to_string()
                } else {
                    value.round_dp(2).normalize().to_string()
                };
                (value.to_string(), shown)
            }
            // A factor of nothing known, as the hours of all jobs.
            None if row.key == super::change::JOB_HOURS => {
                (factor.to_string(), format!("x {}", factor.normalize()))
            }
            None => return None,
        },
        Bound::Low => (worth.low.amount().to_string(), worth.low.to_string()),
        Bound::High => (worth.high.amount().to_string(), worth.high.to_string()),
    };
    let mut scenario = base.clone();
    Change::of_assumption(&row.key, &value)
        .ok()?
        .apply(&mut scenario);
    let appraisal = appraise(&scenario);
    Some(End {
        value: shown,
        margin: left(&appraisal)?,
        action: appraisal.action,
    })
}

/// The figure that a key or fact has now.
fn figure(key: &str, base: &Scenario) -> Option<Decimal> {
    let known = KEYS.iter().find(|k| k.name == key);
    let text = known
        .map(|k| (k.show)(&base.profile))
        .or_else(|| facts::find(key).map(|f| (f.show)(&base.reading)))?;
    text.parse().ok()
}

/// What the car leaves: the expected margin, or without a price what is left
/// before it.
pub fn left(appraisal: &Appraisal) -> Option<Money> {
    appraisal.worth.as_ref()?;
    let steps = || appraisal.steps.iter().map(|s| s.amount).sum();
    Some(appraisal.margin.map_or_else(steps, |m| m.likely))
}
