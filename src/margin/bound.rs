//! What a car can count for at most, before it is known what it takes to put it
//! right.
//!
//! Nothing that is worked out of a bill adds to a car: repaired it leaves no
//! more than its worth less fees and selling, and as it stands no more than
//! the way out. Both are known long before the bill, so that of many cars only
//! those need one that can still be among the best.

use super::order::Sort;
use crate::profile::Profile;
use crate::units::Money;
use crate::worth::Worth;

/// Amounts are rounded on the way to a margin; by less than this.
const ROUNDED: i64 = 2;

/// What a car can leave at most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bound {
    /// Before the price.
    left: Money,
    /// The price expected to be paid.
    price: Option<Money>,
}

impl Bound {
    /// The bound of a car of this worth at this price, whatever ails it.
    pub fn new(worth: &Worth, price: Option<Money>, profile: &Profile) -> Self {
        let way_out = worth.way_out.max(worth.floor);
        Bound::of(worth.right.likely, way_out, price, profile)
    }

    /// The same of a car that is worth no more than `right` once right, and no
    /// more than `way_out` as it stands.
    pub fn of(right: Money, way_out: Money, price: Option<Money>, profile: &Profile) -> Self {
        let fees = profile.registration_fee + profile.inspection_fee;
        let selling = profile.selling_cost + profile.prepare_cost;
        let repaired = right - fees - selling - profile.prepare_hours * profile.hour_value;
        Bound {
            left: repaired.max(way_out) + Money::whole(ROUNDED),
            price,
        }
    }

    /// The most that the figure which ranks can come to; `None` where there
    /// is none without a price.
    pub fn at_most(&self, sort: Sort, profile: &Profile) -> Option<Money> {
        let margin = self.price.map(|price| self.left - price);
        match sort {
            Sort::Margin | Sort::LowEnd => margin,
            // No work takes fewer hours than to prepare the car; a loss is
            // smaller by the hour the longer it takes.
            Sort::MarginPerHour => margin.map(|margin| {
                let hours = profile.prepare_hours.to_f64().max(1.0);
                let by_hour = Money::from_f64(margin.to_f64() / hours).unwrap_or(margin);
                by_hour.max(Money::ZERO) + Money::whole(ROUNDED)
            }),
            Sort::Ceiling => Some((self.left - profile.wanted_margin).max(Money::ZERO)),
        }
    }
}
