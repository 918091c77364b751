//! The quantities of the trade as types, so that unlike things cannot be added.
//!
//! Money is an exact decimal. Statistics are floating point: the border is
//! crossed only by [`Money::to_f64`] and [`Money::from_f64`], which are named
//! for it.

mod exact;
mod points;

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub};

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use exact::exact_share;
use exact::{nearest_decimal, nearest_f64};
pub use points::ThreePoint;

/// An amount of money in the one currency of a run. Exact; may be negative.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Money(#[serde(with = "rust_decimal::serde::float")] Decimal);

impl Money {
    /// No money at all.
    pub const ZERO: Money = Money(Decimal::ZERO);

    /// An exact amount.
    pub const fn new(amount: Decimal) -> Self {
        Money(amount)
    }

    /// Whole units (dollars, pounds).
    pub fn whole(units: i64) -> Self {
        Money(Decimal::from(units))
    }

    /// The exact amount.
    pub const fn amount(self) -> Decimal {
        self.0
    }

    /// Crosses from money to statistics.
    pub fn to_f64(self) -> f64 {
        nearest_f64(self.0)
    }

    /// Crosses from statistics to money, rounded to cents.
    /// `None` for a value that is no amount (not finite, or beyond 28 digits).
    pub fn from_f64(value: f64) -> Option<Self> {
        nearest_decimal(value, 2).map(Money)
    }

    /// Rounded to whole units, halves away from zero, as people quote prices.
    pub fn rounded(self) -> Self {
        Money(
            self.0
                .round_dp_with_strategy(0, rust_decimal::RoundingStrategy::MidpointAwayFromZero),
        )
    }

    /// This amount times a plain factor.
    pub fn times(self, factor: Decimal) -> Self {
        Money(self.0 * factor)
    }
}

impl fmt::Display for Money {
    /// Whole units with thousands separators: `1,850`, `-40`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let units = self.rounded().0.to_i128().unwrap_or_default();
        let text = group_thousands(units.unsigned_abs());
        f.pad(&if units < 0 { format!("-{text}") } else { text })
    }
}

impl Add for Money {
    type Output = Money;
    fn add(self, other: Money) -> Money {
        Money(self.0 + other.0)
    }
}

impl AddAssign for Money {
    fn add_assign(&mut self, other: Money) {
        self.0 += other.0;
    }
}

impl Sub for Money {
    type Output = Money;
    fn sub(self, other: Money) -> Money {
        Money(self.0 - other.0)
    }
}

impl Neg for Money {
    type Output = Money;
    fn neg(self) -> Money {
        Money(-self.0)
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Money>>(amounts: I) -> Money {
        amounts.fold(Money::ZERO, Add::add)
    }
}

/// Working time in hours.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Hours(#[serde(with = "rust_decimal::serde::float")] Decimal);

impl Hours {
    /// No time at all.
    pub const ZERO: Hours = Hours(Decimal::ZERO);

    /// An exact number of hours.
    pub const fn new(hours: Decimal) -> Self {
        Hours(hours)
    }

    /// The exact number of hours.
    pub const fn amount(self) -> Decimal {
        self.0
    }

    /// Crosses to statistics.
    pub fn to_f64(self) -> f64 {
        nearest_f64(self.0)
    }

    /// These hours times a plain factor.
    pub fn times(self, factor: Decimal) -> Self {
        Hours(self.0 * factor)
    }
}

impl Add for Hours {
    type Output = Hours;
    fn add(self, other: Hours) -> Hours {
        Hours(self.0 + other.0)
    }
}

impl Sub for Hours {
    type Output = Hours;
    fn sub(self, other: Hours) -> Hours {
        Hours(self.0 - other.0)
    }
}

impl Sum for Hours {
    fn sum<I: Iterator<Item = Hours>>(hours: I) -> Hours {
        hours.fold(Hours::ZERO, Add::add)
    }
}

impl fmt::Display for Hours {
    /// Half hours are the precision that such an estimate has: `3.5`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{:.1}", self.0.round_dp(1)))
    }
}

/// What an hour of somebody's work costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct HourlyRate(pub Money);

impl Mul<HourlyRate> for Hours {
    type Output = Money;
    fn mul(self, rate: HourlyRate) -> Money {
        rate.0.times(self.0)
    }
}

/// Distance on a car, or to it, in whole miles.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(transparent)]
pub struct Miles(pub u32);

/// One mile is exactly 1.609344 km (NIST SP 811).
pub const KM_PER_MILE: f64 = 1.609_344;

impl Miles {
    /// Converts kilometres, to the nearest mile.
    pub fn from_km(km: u32) -> Self {
        // A u32 of kilometres gives fewer miles, so the cast cannot overflow.
        Miles((f64::from(km) / KM_PER_MILE).round() as u32)
    }

    /// In kilometres, to the nearest; an absurd distance ends at the largest
    /// number there is.
    pub fn to_km(self) -> u32 {
        (f64::from(self.0) * KM_PER_MILE).round() as u32
    }
}

impl fmt::Display for Miles {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&group_thousands(u128::from(self.0)))
    }
}

/// The unit a distance was given in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum DistanceUnit {
    /// Miles.
    Miles,
    /// Kilometres.
    Km,
}

/// A model year, four digits.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(transparent)]
pub struct ModelYear(pub u16);

impl fmt::Display for ModelYear {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// A year of the calendar, in which a job was done.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(transparent)]
pub struct CalendarYear(pub u16);

impl fmt::Display for CalendarYear {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// The money a figure is in. A run has one currency; nothing is converted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "UPPERCASE")]
pub enum Currency {
    /// US dollar.
    Usd,
    /// Canadian dollar.
    Cad,
    /// Pound sterling.
    Gbp,
    /// Euro.
    Eur,
    /// Australian dollar.
    Aud,
    /// New Zealand dollar.
    Nzd,
}

impl Currency {
    /// The sign put before an amount.
    pub const fn sign(self) -> &'static str {
        match self {
            Currency::Usd | Currency::Cad | Currency::Aud | Currency::Nzd => "$",
            Currency::Gbp => "£",
            Currency::Eur => "€",
        }
    }

    /// Its code of ISO 4217.
    pub const fn code(self) -> &'static str {
        match self {
            Currency::Usd => "USD",
            Currency::Cad => "CAD",
            Currency::Gbp => "GBP",
            Currency::Eur => "EUR",
            Currency::Aud => "AUD",
            Currency::Nzd => "NZD",
        }
    }
}

/// A probability, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Chance(f64);

impl Chance {
    /// It is not so.
    pub const NONE: Chance = Chance(0.0);
    /// It is so.
    pub const CERTAIN: Chance = Chance(1.0);
    /// One in two.
    pub const HALF: Chance = Chance(0.5);
    /// One in four.
    pub const QUARTER: Chance = Chance(0.25);
    /// One in five.
    pub const FIFTH: Chance = Chance(0.2);

    /// A probability; `None` outside 0 to 1 or not a number.
    pub fn new(p: f64) -> Option<Self> {
        (0.0..=1.0).contains(&p).then_some(Chance(p))
    }

    /// The probability.
    pub const fn value(self) -> f64 {
        self.0
    }
}

fn group_thousands(units: u128) -> String {
    let digits = units.to_string();
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_is_shown_in_whole_units() {
        assert_eq!(Money::whole(1850).to_string(), "1,850");
        assert_eq!(Money::from_f64(-1234.5).unwrap().to_string(), "-1,235");
        assert_eq!(format!("{:>6}", Money::whole(40)), "    40");
    }

    #[test]
    fn kilometres_convert_by_the_exact_factor() {
        // NIST SP 811: 1 mi = 1.609344 km.
        assert_eq!(Miles::from_km(214_000), Miles(132_973));
        assert_eq!(Miles::from_km(0), Miles(0));
    }
}
