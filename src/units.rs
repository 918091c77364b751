//! The quantities of the trade as types, so that unlike things cannot be added.
//!
//! Money is an exact decimal. Statistics are floating point: the border is
//! crossed only by [`Money::to_f64`] and [`Money::from_f64`], which are named
//! for it.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub};

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

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

/// A low, a likely and a high value of one quantity; `low <= likely <= high`.
///
/// Its mean is `(low + 4 likely + high) / 6` and its standard deviation
/// `(high - low) / 6` (Malcolm, Roseboom, Clark and Fazar 1959, Operations
/// Research 7(5)).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct ThreePoint<T> {
    /// Few come out below this.
    pub low: T,
    /// The most likely value.
    pub likely: T,
    /// Few come out above this.
    pub high: T,
}

impl<T> ThreePoint<T> {
    /// The same function of all three points. It must not reverse their order.
    pub fn map<U>(self, f: impl Fn(T) -> U) -> ThreePoint<U> {
        ThreePoint {
            low: f(self.low),
            likely: f(self.likely),
            high: f(self.high),
        }
    }
}

impl<T: Copy> ThreePoint<T> {
    /// A value known exactly.
    pub fn exactly(value: T) -> Self {
        ThreePoint {
            low: value,
            likely: value,
            high: value,
        }
    }
}

impl<T: Add<Output = T>> Add for ThreePoint<T> {
    type Output = ThreePoint<T>;
    fn add(self, other: Self) -> Self {
        ThreePoint {
            low: self.low + other.low,
            likely: self.likely + other.likely,
            high: self.high + other.high,
        }
    }
}

impl ThreePoint<Decimal> {
    /// The mean of the three-point estimate.
    pub fn mean(&self) -> Decimal {
        (self.low + Decimal::from(4) * self.likely + self.high) / Decimal::from(6)
    }
}

impl ThreePoint<Hours> {
    /// The mean of the three-point estimate.
    pub fn mean(&self) -> Hours {
        Hours(self.map(|h| h.0).mean())
    }
}

impl ThreePoint<Money> {
    /// The mean of the three-point estimate.
    pub fn mean(&self) -> Money {
        Money(self.map(|m| m.0).mean())
    }

    /// The standard deviation of the three-point estimate.
    pub fn deviation(&self) -> Money {
        Money((self.high.0 - self.low.0) / Decimal::from(6))
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

/// A share, such as a chance, as an exact factor, to millionths; 0 for what is
/// no number.
pub fn exact_share(share: f64) -> Decimal {
    nearest_decimal(share, 6).unwrap_or_default()
}

/// Powers of ten that a double holds exactly.
const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// Whole numbers up to here are doubles.
const WHOLE: f64 = 9_007_199_254_740_992.0;

/// The double nearest to an exact number. The border is crossed hundreds of
/// times a car: where digits and power of ten are both doubles their quotient
/// is the nearest one (IEEE 754), and the general way is left for the rest.
fn nearest_f64(exact: Decimal) -> f64 {
    let digits = exact.mantissa();
    match TENS.get(exact.scale() as usize) {
        Some(power) if digits.unsigned_abs() < WHOLE as u128 => digits as f64 / power,
        _ => exact.to_f64().unwrap_or(f64::NAN),
    }
}

/// The decimal of so many places nearest to a double, halves to even; the
/// general way likewise only where it is needed.
fn nearest_decimal(value: f64, places: u32) -> Option<Decimal> {
    let scaled = (value * TENS[places as usize]).round_ties_even();
    if scaled.abs() >= WHOLE || !scaled.is_finite() {
        return Decimal::from_f64(value).map(|d| d.round_dp(places));
    }
    let (mut digits, mut scale) = (scaled as i64, places);
    while scale > 0 && digits % 10 == 0 {
        (digits, scale) = (digits / 10, scale - 1);
    }
    Some(Decimal::new(digits, scale))
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

    #[test]
    fn three_point_mean_and_deviation() {
        // Malcolm et al. 1959: te = (a + 4m + b) / 6, s = (b - a) / 6.
        let t = ThreePoint {
            low: Money::whole(60),
            likely: Money::whole(90),
            high: Money::whole(180),
        };
        assert_eq!(t.mean(), Money::whole(100));
        assert_eq!(t.deviation(), Money::whole(20));
    }
}
