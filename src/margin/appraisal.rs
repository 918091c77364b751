//! The types of an appraisal.

use super::position::Position;
use super::question::Question;
use super::spread::Spread;
use crate::costing::FixBill;
use crate::lexicon::parts::PartId;
use crate::lexicon::patience::Waited;
use crate::lexicon::unknowns::Open;
use crate::reading::Reading;
use crate::units::{Chance, Money, ThreePoint};
use crate::worth::Worth;

/// What to do about an ad.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Action {
    /// Worth the trip.
    View,
    /// A question would settle it.
    Ask,
    /// Leave it.
    Skip,
}

impl Action {
    /// All actions, the best first.
    pub const ALL: &'static [Action] = &[Action::View, Action::Ask, Action::Skip];

    /// The word printed for it.
    pub const fn word(self) -> &'static str {
        match self {
            Action::View => "view",
            Action::Ask => "ask",
            Action::Skip => "skip",
        }
    }
}

/// One line of the sum from worth down to margin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// What it is: `worth once right`, `fix bill`, `fetching`.
    pub label: String,
    /// What it adds (negative: takes away).
    pub amount: Money,
    /// How it was made, in words.
    pub why: String,
}

/// Something the ad leaves open, with what is set aside for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// Vague wording or a gap.
    pub open: Open,
    /// The part or symptom that it is about, where it is about one.
    pub part: Option<PartId>,
    /// How likely the fault is, where the words tell.
    pub chance: Option<Chance>,
    /// In words for people.
    pub words: String,
    /// Money set aside for it; nothing where there is no worth to go by.
    pub allowance: Money,
    /// What to ask the seller.
    pub question: String,
}

/// One listing with everything that was worked out about it.
#[derive(Debug, Clone)]
pub struct Appraisal {
    /// What the ad says.
    pub reading: Reading,
    /// What the repair takes; none where nothing is offered that could be
    /// repaired (parts ads, wanted ads).
    pub bill: Option<FixBill>,
    /// What the car is worth; none likewise or where make and year are unknown.
    pub worth: Option<Worth>,
    /// How long and how the seller has waited.
    pub waited: Waited,
    /// The price expected to be paid: ask less the usual give.
    pub expected_price: Option<Money>,
    /// The sum, line by line; it adds up to `margin.likely`. Without a price
    /// it ends before the price: what is left to pay for the car and to earn.
    pub steps: Vec<Step>,
    /// What it leaves before the price; none where there is no worth to go by.
    pub position: Option<Position>,
    /// Margin: about one in ten below `low`, mean, one in ten above `high`.
    pub margin: Option<ThreePoint<Money>>,
    /// The most to pay so that the wanted margin is still expected and a loss
    /// is no likelier than accepted. Whole units, never negative.
    pub ceiling: Option<Money>,
    /// A first offer below the ceiling; none where the ceiling is nothing.
    pub first_offer: Option<Money>,
    /// Expected margin per hour of the user's work (repair and preparing for
    /// sale), on top of the pay for those hours that is already taken off.
    /// Less than an hour counts as one.
    pub margin_per_hour: Option<Money>,
    /// Vague wording and missing facts.
    pub unknowns: Vec<Unknown>,
    /// Whether something about it is not to be believed: it is then ranked as
    /// if it were scrap.
    pub distrusted: bool,
    /// What to do.
    pub action: Action,
    /// Why, in a few words.
    pub reason: String,
    /// What is worth asking before driving out, the best first; what is worth
    /// nothing comes last.
    pub questions: Vec<Question>,
    /// What is worth looking at on arrival, the best first.
    pub checks: Vec<Question>,
    /// The question that would settle it, for `Ask`.
    pub question: Option<String>,
}

impl Appraisal {
    /// The chance of losing money at the price expected to be paid.
    pub fn loss(&self) -> Option<Chance> {
        let price = self.expected_price?;
        self.position
            .as_ref()
            .map(|p| Chance::new(p.loss_at(price.to_f64()).min(1.0)).unwrap_or(Chance::CERTAIN))
    }

    /// The whole distribution of what the car leaves before its price.
    pub fn spread(&self) -> Option<Spread> {
        self.position.as_ref().map(Position::spread)
    }
}
