//! Bill and worth to an appraisal.

use rust_decimal::Decimal;

use super::appraisal::{Action, Appraisal, Step, Unknown};
use super::bound::Bound;
use super::offer::first_offer;
use super::position::{Leaves, Limits, Position, doubt};
use super::question::{Question, Scales};
use super::sum::{cents, fetching, steps};
use super::unknown::{Seen, is_too_cheap, same_money, unknowns};
use super::verdict::{self, Known, Verdict, decide};
use crate::costing::FixBill;
use crate::lexicon::Lexicon;
use crate::lexicon::patience::Waited;
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
    questions: Vec<Question>,
    checks: Vec<Question>,
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
        self.appraise_waited(reading, bill, worth, Waited::default())
    }

    /// The same for a car whose seller is known to have waited.
    pub fn appraise_waited(
        &self,
        reading: Reading,
        bill: Option<FixBill>,
        worth: Option<Worth>,
        waited: Waited,
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
        let price = self.price_of(&reading);
        let seen = Seen {
            reading: &reading,
            worth: base,
            currency,
            told: bill.as_ref().and_then(|bill| bill.told),
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
            waited,
            expected_price: price,
            steps: figures.steps,
            position: Some(figures.position),
            margin: figures.margin,
            ceiling: Some(figures.ceiling),
            first_offer: first_offer(
                &reading,
                price.is_some(),
                figures.ceiling,
                waited,
                self.lexicon,
            ),
            margin_per_hour: figures
                .margin
                .and_then(|m| Money::from_f64(m.likely.to_f64() / hours.max(1.0))),
            unknowns,
            questions: figures.questions,
            checks: figures.checks,
            ..assemble(reading, bill, worth, figures.verdict)
        }
    }

    /// What a car of this worth can leave at most, whatever its bill is; `None`
    /// where it leaves nothing that could be told.
    pub fn bound(&self, reading: &Reading, worth: Option<&Worth>) -> Option<Bound> {
        let worth = worth.filter(|_| reading.kind == Kind::Car)?;
        Some(Bound::new(worth, self.price_of(reading), self.profile))
    }

    /// The price expected to be paid; `None` where there is none in the user's
    /// money.
    pub fn price_of(&self, reading: &Reading) -> Option<Money> {
        reading
            .ask
            .filter(|_| same_money(reading.currency, self.profile.currency))
            .map(|ask| self.expected_price(ask, reading.ask_basis))
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
        let before_price: Money = steps.iter().map(|s| s.amount).sum();
        let unknown: Money = unknowns.iter().map(|u| u.allowance).sum();
        let way_out = worth.way_out + fetching(reading.moves, self.profile).amount;
        let leaves = Leaves {
            right: worth.right.likely.to_f64(),
            doubt: doubt(&worth.right),
            off: (worth.right.likely - bill.total.likely - unknown - before_price).to_f64(),
            unknown: unknown.to_f64(),
            way_out: way_out.to_f64(),
        };
        let position = Position::new(&leaves, &bill.outcomes);
        let mean = Money::from_f64(position.mean()).unwrap_or(before_price);
        steps.push(Step {
            label: "the way out".to_owned(),
            amount: mean - before_price,
            why: format!(
                "in {:.0} of 100 ways it goes as it stands, for {} ({})",
                position.gone().value() * 100.0,
                worth.way_out,
                worth.way_out_why
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
                questions: Vec::new(),
                checks: Vec::new(),
            };
        };
        steps.push(self.price_step(reading, price));
        let margin = position.margin(price);
        let scales = Scales {
            position: &position,
            leaves,
            bill,
            price: price.to_f64(),
            limits: self.limits,
            profile: self.profile,
        };
        let questions = scales.questions(unknowns, self.lexicon);
        let verdict = decide(&Known {
            margin,
            way_out,
            limits: &self.limits,
            ceiling,
            price,
            haggled: reading.ask.is_some_and(|ask| price < ask),
            unknowns,
            questions: &questions,
            currency: self.profile.currency,
        });
        let checks = match verdict.action {
            Action::Skip => Vec::new(),
            _ => scales.checks(reading, self.lexicon),
        };
        Figures {
            steps,
            margin: Some(margin),
            position,
            ceiling,
            verdict,
            questions,
            checks,
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
        waited: Waited::default(),
        expected_price: None,
        steps: Vec::new(),
        position: None,
        margin: None,
        ceiling: None,
        first_offer: None,
        margin_per_hour: None,
        unknowns: Vec::new(),
        distrusted: false,
        action: verdict.action,
        reason: verdict.reason,
        questions: Vec::new(),
        checks: Vec::new(),
        question: verdict.question,
    }
}
