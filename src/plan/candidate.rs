//! What a car takes of the limits of a plan, and what it brings.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::margin::{Appraisal, fetching};
use crate::profile::Profile;
use crate::units::{Hours, Money};

/// What a plan has to keep to; none where there is no such limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Limits {
    /// Money that may be laid out.
    pub budget: Option<Money>,
    /// Hours of one's own.
    pub hours: Option<Hours>,
    /// Cars at a time.
    pub space: Option<usize>,
}

/// A car that may be bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Candidate {
    /// Money that it takes until it is sold, on average.
    pub outlay: Money,
    /// Hours of one's own, on average.
    pub hours: Hours,
    /// Expected margin.
    pub margin: Money,
}

/// More than any sum of money or hours that occurs, and little enough that sums
/// of many stay exact.
const NO_LIMIT: i64 = i64::MAX / 1_000_000;

impl Limits {
    pub(super) fn room(&self) -> [i64; 3] {
        [
            self.budget.map_or(NO_LIMIT, |b| hundredths(b.amount())),
            self.hours.map_or(NO_LIMIT, |h| hundredths(h.amount())),
            self.space
                .map_or(NO_LIMIT, |s| i64::try_from(s).unwrap_or(NO_LIMIT)),
        ]
    }
}

impl Candidate {
    /// What an appraised car takes and brings. `None` where it has no price or
    /// cannot be valued.
    ///
    /// The outlay is the expected price, the bill and the selling without the
    /// pay for one's own hours, fetching and fees.
    pub fn of(appraisal: &Appraisal, profile: &Profile) -> Option<Self> {
        let price = appraisal.expected_price?;
        let bill = appraisal.bill.as_ref()?;
        let margin = appraisal.margin?.likely;
        let pay = bill.hours.likely * profile.hour_value;
        let repair = (bill.total.likely - pay).max(Money::ZERO);
        let fetching = -fetching(appraisal.reading.moves, profile).amount;
        let fees = profile.registration_fee + profile.inspection_fee;
        let selling = profile.selling_cost + profile.prepare_cost;
        let cents = |money: Money| Money::new(money.amount().round_dp(2));
        Some(Candidate {
            outlay: cents(price + repair + fetching + fees + selling),
            hours: bill.hours.likely + profile.prepare_hours,
            margin: cents(margin),
        })
    }

    pub(super) fn takes(&self) -> [i64; 3] {
        let [outlay, hours] = [self.outlay.amount(), self.hours.amount()].map(hundredths);
        [outlay, hours, 1]
    }

    pub(super) fn brings(&self) -> i64 {
        hundredths(self.margin.amount())
    }
}

/// In hundredths, to the nearest.
fn hundredths(value: Decimal) -> i64 {
    let scaled = value.checked_mul(Decimal::ONE_HUNDRED);
    let whole = scaled.and_then(|v| v.round().to_i64()).unwrap_or(NO_LIMIT);
    whole.clamp(-NO_LIMIT, NO_LIMIT)
}
