//! Bill and worth to an appraisal.

use rust_decimal::Decimal;

use super::appraisal::{Appraisal, Step, Unknown};
use super::position::{Limits, Position, deviations};
use super::sum::{cents, fetching, steps};
use super::unknown::{Seen, is_too_cheap, same_money, unknowns};
use super::verdict::{self, Verdict, decide, swings};
use crate::costing::FixBill;
use crate::lexicon::Lexicon;
use crate::profile::Profile;
use crate::reading::{AskBasis, Kind, Reading};
use crate::units::{Money, ThreePoint};
use crate::worth::Worth;

/// Works out what is left of a car for one user.
#[derive(Debug, Clone, Copy)]
pub struct Appraiser<'a> {
    profile: &'a Profile,
    lexicon: &'a Lexicon,
    limits: Limits,
}

/// The figures of a car that can be valued.
struct Figures {
    steps: Vec<Step>,
    position: Position,
    margin: Option<ThreePoint<Money>>,
    ceiling: Money,
    verdict: Verdict,
}

impl<'a> Appraiser<'a> {
    /// An appraiser with the user's profile and the trade's tables.
    pub fn new(profile: &'a Profile, lexicon: &'a Lexicon) -> Self {
        Appraiser {
            profile,
            lexicon,
            limits: Limits::new(profile.wanted_margin, profile.loss_limit.value()),
        }
    }

    /// What this user insists on.
    pub fn limits(&self) -> &Limits {
        &self.limits
    }

    /// Appraises one listing. Bill and worth are those of this reading.
    pub fn appraise(
        &self,
        reading: Reading,
        bill: Option<FixBill>,
        worth: Option<Worth>,
    ) -> Appraisal {
        let currency = self.profile.currency;
        if reading.kind != Kind::Car {
            let verdict = Verdict::skip(match reading.kind {
                Kind::Parts => "parts, not a car",
                _ => "no car for sale",
            });
            return assemble(reading, None, None, verdict);
        }
        let base = worth.as_ref().map(|w| w.right.likely);
        let price = reading
            .ask
            .filter(|_| same_money(reading.currency, currency))
            .map(|ask| self.expected_price(ask, reading.ask_basis));
        let seen = Seen {
            reading: &reading,
            worth: base,
            currency,
            too_cheap: is_too_cheap(price, worth.as_ref(), bill.as_ref()),
        };
        let unknowns = unknowns(&seen, self.lexicon);
        let figures = match (&bill, &worth) {
            (Some(bill), Some(worth)) => {
                Some(self.figures(&reading, bill, worth, &unknowns, price))
            }
            _ => None,
        };
        let Some(figures) = figures else {
            let verdict = verdict::without_worth(&unknowns);
            return Appraisal {
                expected_price: price,
                unknowns,
                ..assemble(reading, bill, worth, verdict)
            };
        };
        let hours = bill.as_ref().map_or(0.0, |b| b.hours.likely.to_f64())
            + self.profile.prepare_hours.to_f64();
        Appraisal {
            expected_price: price,
            steps: figures.steps,
            position: Some(figures.position),
            margin: figures.margin,
            ceiling: Some(figures.ceiling),
            first_offer: self.first_offer(&reading, price.is_some(), figures.ceiling),
            margin_per_hour: figures
                .margin
                .and_then(|m| Money::from_f64(m.likely.to_f64() / hours.max(1.0))),
            unknowns,
            ..assemble(reading, bill, worth, figures.verdict)
        }
    }

    fn figures(
        &self,
        reading: &Reading,
        bill: &FixBill,
        worth: &Worth,
        unknowns: &[Unknown],
        price: Option<Money>,
    ) -> Figures {
        let mut steps = steps(worth, bill, unknowns, reading.moves, self.profile);
        let (below, above) = deviations(&worth.right, bill.deviation);
        let position = Position {
            before_price: steps.iter().map(|s| s.amount).sum(),
            way_out: worth.floor + fetching(reading.moves, self.profile).amount,
            below,
            above,
            unknown: unknowns.iter().map(|u| u.allowance).sum(),
        };
        steps.push(Step {
            label: "the way out".to_owned(),
            amount: position.mean() - position.before_price,
            why: format!(
                "should the worst show, it is scrapped for {} ({})",
                worth.floor, worth.floor_why
            ),
        });
        let ceiling = position.ceiling(&self.limits);
        let Some(price) = price else {
            return Figures {
                steps,
                position,
                margin: None,
                ceiling,
                verdict: verdict::without_price(ceiling, unknowns, self.profile.currency),
            };
        };
        steps.push(self.price_step(reading, price));
        let swings = swings(unknowns, reading, bill);
        Figures {
            steps,
            position,
            margin: Some(position.margin(price)),
            ceiling,
            verdict: decide(
                &position,
                &self.limits,
                price,
                reading.ask.is_some_and(|ask| price < ask),
                &swings,
                self.profile.currency,
            ),
        }
    }

    /// The ask less the usual give.
    fn expected_price(&self, ask: Money, basis: AskBasis) -> Money {
        let give = self.lexicon.give.get(basis).give;
        cents(ask.times(Decimal::ONE - give))
    }

    fn price_step(&self, reading: &Reading, price: Money) -> Step {
        let give = self.lexicon.give.get(reading.ask_basis).give * Decimal::ONE_HUNDRED;
        Step {
            label: "price".to_owned(),
            amount: -price,
            why: format!(
                "asked {}, {}; {} % usually comes off",
                reading.ask.unwrap_or_default(),
                reading.ask_basis,
                give.normalize()
            ),
        }
    }

    /// The opening share of the ask, or of the ceiling where that is less or
    /// there is no price; rounded down as people offer.
    fn first_offer(&self, reading: &Reading, priced: bool, ceiling: Money) -> Option<Money> {
        let basis = if priced {
            reading.ask_basis
        } else {
            AskBasis::None
        };
        let opening = self.lexicon.give.get(basis).opening;
        let from = reading.ask.filter(|_| priced).unwrap_or(ceiling);
        let offer = from.min(ceiling).times(opening);
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
}

/// An appraisal in which no figure is known yet.
fn assemble(
    reading: Reading,
    bill: Option<FixBill>,
    worth: Option<Worth>,
    verdict: Verdict,
) -> Appraisal {
    Appraisal {
        reading,
        bill,
        worth,
        expected_price: None,
        steps: Vec::new(),
        position: None,
        margin: None,
        ceiling: None,
        first_offer: None,
        margin_per_hour: None,
        unknowns: Vec::new(),
        action: verdict.action,
        reason: verdict.reason,
        question: verdict.question,
    }
}
