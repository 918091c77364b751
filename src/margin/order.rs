//! The order of the shortlist.

use std::cmp::{Ordering, Reverse};

use super::appraisal::Appraisal;
use crate::units::Money;

/// What the shortlist is ranked by, the most first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sort {
    /// Expected margin.
    #[default]
    Margin,
    /// Expected margin per hour of the user's work.
    MarginPerHour,
    /// The low end of the margin.
    LowEnd,
    /// The most that may be paid.
    Ceiling,
}

impl Sort {
    /// All orders.
    pub const ALL: &'static [Sort] = &[
        Sort::Margin,
        Sort::MarginPerHour,
        Sort::LowEnd,
        Sort::Ceiling,
    ];

    /// The word on the command line and in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Sort::Margin => "margin",
            Sort::MarginPerHour => "margin-per-hour",
            Sort::LowEnd => "low-end",
            Sort::Ceiling => "ceiling",
        }
    }

    /// The figure that ranks.
    pub fn key(self, appraisal: &Appraisal) -> Option<Money> {
        match self {
            Sort::Margin => appraisal.margin.map(|m| m.likely),
            Sort::MarginPerHour => appraisal.margin_per_hour,
            Sort::LowEnd => appraisal.margin.map(|m| m.low),
            Sort::Ceiling => appraisal.ceiling,
        }
    }

    /// The figure that counts in the order: a car that is not to be trusted
    /// counts for no more than it leaves if it goes as it stands.
    pub fn counted(self, appraisal: &Appraisal) -> Option<Money> {
        let key = self.key(appraisal)?;
        let floor = appraisal.worth.as_ref().map(|w| w.floor);
        let price = appraisal.expected_price.unwrap_or_default();
        Some(match floor {
            Some(floor) if appraisal.distrusted => key.min(floor - price),
            _ => key,
        })
    }

    /// A total order over listings with different ids: the figure, the most
    /// first and unknown last; then the ceiling likewise; then the id.
    pub fn compare(self, a: &Appraisal, b: &Appraisal) -> Ordering {
        let key = |x: &Appraisal| (Reverse(self.counted(x)), Reverse(x.ceiling));
        key(a)
            .cmp(&key(b))
            .then_with(|| a.reading.id.cmp(&b.reading.id))
    }
}
