//! The types of an appraisal.

use crate::costing::FixBill;
use crate::reading::Reading;
use crate::units::{Money, ThreePoint};
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
    /// The price expected to be paid: ask less the usual give.
    pub expected_price: Option<Money>,
    /// The sum, line by line; it adds up to `margin.likely`.
    pub steps: Vec<Step>,
    /// Margin: about one in ten below `low`, mean, one in ten above `high`.
    pub margin: Option<ThreePoint<Money>>,
    /// The most to pay so that the wanted margin is still expected.
    pub ceiling: Option<Money>,
    /// A first offer below the ceiling.
    pub first_offer: Option<Money>,
    /// Expected margin per hour of the user's work; none without work.
    pub margin_per_hour: Option<Money>,
    /// Vague wording and missing facts, in words for people.
    pub unknowns: Vec<String>,
    /// What to do.
    pub action: Action,
    /// Why, in a few words.
    pub reason: String,
    /// The question that would settle it, for `Ask`.
    pub question: Option<String>,
}
