//! Where to begin, and what to read to the seller.

use rust_decimal::Decimal;

use super::appraisal::Appraisal;
use crate::costing::Reason;
use crate::lexicon::Lexicon;
use crate::lexicon::patience::Waited;
use crate::reading::{AskBasis, Reading, Says};
use crate::units::Money;

/// The share of the ask, or of the ceiling where that is less or there is no
/// price, at which offers begin: by how the price is meant, and less where the
/// seller has waited.
pub fn opening(basis: AskBasis, waited: Waited, lexicon: &Lexicon) -> Decimal {
    let usual = lexicon.give.get(basis).opening;
    (usual - lexicon.patience.less(waited)).max(Decimal::ZERO)
}

/// The first offer, rounded down as people offer, below the ceiling; none
/// where the ceiling is nothing.
pub fn first_offer(
    reading: &Reading,
    priced: bool,
    ceiling: Money,
    waited: Waited,
    lexicon: &Lexicon,
) -> Option<Money> {
    let basis = if priced {
        reading.ask_basis
    } else {
        AskBasis::None
    };
    let from = reading.ask.filter(|_| priced).unwrap_or(ceiling);
    let offer = from.min(ceiling).times(opening(basis, waited, lexicon));
    let step = Decimal::from(match offer.to_f64() {
        o if o < 200.0 => 5,
        o if o < 1_000.0 => 10,
        o if o < 5_000.0 => 50,
        _ => 100,
    });
    let mut offer = (offer.amount() / step).floor() * step;
    if offer >= ceiling.amount() {
        offer -= step;
    }
    (offer > Decimal::ZERO).then(|| Money::new(offer))
}

/// A fault that the ad itself states, with what it costs: an argument that the
/// seller has already granted.
#[derive(Debug, Clone, PartialEq)]
pub struct TalkingPoint {
    /// The fault as the seller put it; the code in words where it was read
    /// from no words.
    pub said: String,
    /// What has to be done, or that it is left.
    pub work: String,
    /// What it costs, or takes off the value.
    pub cost: Money,
}

impl Appraisal {
    /// The stated faults with their costs, the dearest first. A symptom has
    /// the sum of what may be its causes, by their chances.
    pub fn talking_points(&self, lexicon: &Lexicon, text: &str) -> Vec<TalkingPoint> {
        let Some(bill) = &self.bill else {
            return Vec::new();
        };
        let stated = self.reading.claims.iter().filter(|c| c.says == Says::Bad);
        let mut out: Vec<TalkingPoint> = stated
            .filter_map(|claim| {
                let words = lexicon.parts.words(claim.part);
                let quoted = claim
                    .evidence
                    .first()
                    .and_then(|e| text.get(e.range.clone()));
                let said = quoted.map_or(words.clone(), |q| {
                    let q: Vec<_> = q.split_whitespace().collect();
                    format!("{words}: '{}'", q.join(" "))
                });
                let left = bill.left.iter().find(|l| l.part == claim.part);
                let of = |reason: Reason| {
                    let lines = bill.jobs.iter();
                    lines.filter(move |j| j.reason == reason && j.because.contains(&claim.part))
                };
                let (work, cost) = if let Some(left) = left {
                    (format!("left: {}", left.name), left.effect)
                } else if let Some(line) = of(Reason::Stated).next() {
                    (line.name.clone(), line.cost.likely)
                } else {
                    let causes: Vec<_> =
                        of(Reason::Cause).chain(of(Reason::SomethingElse)).collect();
                    let likeliest = causes
                        .iter()
                        .max_by(|a, b| a.chance.value().total_cmp(&b.chance.value()))?;
                    let sum = causes
                        .iter()
                        .map(|l| l.cost.mean().to_f64() * l.chance.value())
                        .sum();
                    (
                        format!("to be found; perhaps {}", likeliest.name),
                        Money::from_f64(sum).unwrap_or_default(),
                    )
                };
                (cost > Money::ZERO).then(|| TalkingPoint {
                    said,
                    work,
                    cost: cost.rounded(),
                })
            })
            .collect();
        out.sort_by_key(|p| std::cmp::Reverse(p.cost));
        out
    }
}
