//! Estimates of three points.

use std::ops::Add;

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::{Hours, Money};

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

#[cfg(test)]
mod tests {
    use super::*;

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
