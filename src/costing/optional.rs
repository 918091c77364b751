//! Faults that a car can be sold with: repair them, or take less for it.

use super::bill::Chance;
use super::case::Case;
use super::faults::Faults;
use super::price::Price;
use crate::lexicon::parts::{PartId, PartKind};
use crate::units::{Hours, Money, ThreePoint};

/// What is done about such a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// It is repaired.
    Repair,
    /// The car is sold with it.
    Leave,
}

/// A fault that can be left, with both ways side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Optional {
    /// The fault.
    pub part: PartId,
    /// In words, what the repair is.
    pub name: String,
    /// How likely the fault is there.
    pub chance: Chance,
    /// What it takes off the value if it is there and left (mean).
    pub effect: Money,
    /// What putting it right costs, the user's hours included.
    pub cost: ThreePoint<Money>,
    /// Of that, what goes to others: parts, consumables, outwork (mean).
    pub outlay: Money,
    /// The user's own hours (mean).
    pub hours: Hours,
    /// What is done.
    pub choice: Choice,
}

impl Optional {
    /// What an hour of the user earns by the repair: value gained less what
    /// goes to others, over the hours; none where the repair takes none.
    pub fn earns_per_hour(&self) -> Option<Money> {
        let hours = self.hours.amount();
        let gained = self.effect - self.outlay;
        (!hours.is_zero()).then(|| Money::new((gained.amount() / hours).round_dp(2)))
    }
}

/// All of a car, the best return on an hour first. A fault is left where its
/// repair, taken alone, costs more than it takes off the value.
pub fn optional(case: &Case<'_>, faults: &Faults) -> Vec<Optional> {
    let lexicon = case.lexicon;
    let mut out: Vec<Optional> = faults
        .of_kind(PartKind::Part, &lexicon.parts)
        .filter_map(|(part, _)| {
            let repairs = &lexicon.repairs;
            let id = repairs.for_part(part, case.gearbox, &case.class.name)?;
            let repair = repairs.get(id);
            let effect = repair.value_effect?.mean();
            let heard = faults.heard(part);
            let price = Price::told(case, faults, id);
            let cost = price.cost();
            let hours = price.own_hours.mean();
            Some(Optional {
                part,
                name: repair.name.clone(),
                chance: heard.chance(case.profile),
                effect,
                cost,
                outlay: cost.mean() - hours * case.profile.hour_value,
                hours,
                choice: if cost.mean() > effect {
                    Choice::Leave
                } else {
                    Choice::Repair
                },
            })
        })
        .collect();
    out.sort_by(|a, b| {
        let key = |o: &Optional| std::cmp::Reverse(o.earns_per_hour());
        key(a).cmp(&key(b)).then(a.part.cmp(&b.part))
    });
    out
}
