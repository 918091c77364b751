//! What a car leaves before its price, as a distribution, and what a price
//! makes of it.
//!
//! Once paid, a price is the same in every way the car may turn out. The
//! margin at a price is therefore this distribution less the price, and what
//! is shown for one price can be worked out for any other from the same
//! points.

use super::position::Limits;
use crate::units::{Chance, Money, ThreePoint};

/// How many equally likely points stand for the distribution.
pub const POINTS: usize = 200;

/// The distribution of what a car leaves before its price, in the user's
/// currency.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    mean: Money,
    low: Money,
    high: Money,
    points: Vec<f64>,
}

impl Spread {
    /// Builds it from the mean, its 10 % and 90 % points, and the values at
    /// the middles of [`POINTS`] equally likely slices.
    pub fn new(mean: Money, low: Money, high: Money, mut points: Vec<f64>) -> Self {
        points.sort_by(f64::total_cmp);
        for point in &mut points {
            *point = point.round();
        }
        Spread {
            mean,
            low,
            high,
            points,
        }
    }

    /// The mean.
    pub fn mean(&self) -> Money {
        self.mean
    }

    /// One in ten is below it.
    pub fn low(&self) -> Money {
        self.low
    }

    /// One in ten is above it.
    pub fn high(&self) -> Money {
        self.high
    }

    /// Equally likely values, rising, in whole units: the middles of slices
    /// of one in [`POINTS`] each.
    pub fn points(&self) -> &[f64] {
        &self.points
    }

    /// The value that `p` of 1 is below; between the points on a straight
    /// line, beyond them the outermost.
    pub fn quantile(&self, p: f64) -> f64 {
        let at = (p * self.points.len() as f64 - 0.5).max(0.0);
        let below = (at.floor() as usize).min(self.points.len().saturating_sub(1));
        let above = (below + 1).min(self.points.len().saturating_sub(1));
        match (self.points.get(below), self.points.get(above)) {
            (Some(a), Some(b)) => a + (b - a) * (at - below as f64).min(1.0),
            _ => 0.0,
        }
    }

    /// The chance that less than this is left: the share of points below it,
    /// those that equal it not counted.
    pub fn chance_below(&self, value: Money) -> Chance {
        let value = value.to_f64();
        let below = self.points.partition_point(|p| *p < value);
        Chance::new(below as f64 / self.points.len().max(1) as f64).unwrap_or(Chance::CERTAIN)
    }
}

/// How a price stands to what the buyer insists on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// The wanted margin is expected and a loss is no likelier than accepted.
    Pays,
    /// The wanted margin is expected, but a loss is too likely.
    TooRisky,
    /// Less than the wanted margin is expected.
    TooDear,
}

impl Standing {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Standing::Pays => "pays",
            Standing::TooRisky => "a loss is too likely",
            Standing::TooDear => "earns too little",
        }
    }
}

/// What a price makes of a car.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtPrice {
    /// One in ten below `low`, mean, one in ten above `high`.
    pub margin: ThreePoint<Money>,
    /// The chance of losing money.
    pub loss: Chance,
    /// Whether it pays.
    pub standing: Standing,
}

impl AtPrice {
    /// Works it out for one price.
    pub fn of(spread: &Spread, limits: &Limits, price: Money) -> Self {
        let likely = spread.mean() - price;
        let loss = spread.chance_below(price);
        let standing = if likely < limits.wanted {
            Standing::TooDear
        } else if loss.value() > limits.loss.value() {
            Standing::TooRisky
        } else {
            Standing::Pays
        };
        AtPrice {
            margin: ThreePoint {
                low: spread.low() - price,
                likely,
                high: spread.high() - price,
            },
            loss,
            standing,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spread() -> Spread {
        let points = (0..POINTS).map(|i| i as f64 * 10.0).collect();
        let [low, mean, high] = [195, 995, 1795].map(Money::whole);
        Spread::new(mean, low, high, points)
    }

    #[test]
    fn the_price_shifts_the_margin_and_the_loss_follows() {
        let limits = Limits::new(Money::whole(400), 0.2);
        let at = |price| AtPrice::of(&spread(), &limits, Money::whole(price));
        assert_eq!(at(300).margin.likely, Money::whole(695));
        assert_eq!(at(300).margin.low, Money::whole(-105));
        assert!((at(300).loss.value() - 0.15).abs() < 1e-12);
        assert_eq!(at(300).standing, Standing::Pays);
        assert_eq!(at(500).standing, Standing::TooRisky);
        assert_eq!(at(900).standing, Standing::TooDear);
    }

    #[test]
    fn quantiles_lie_between_the_points() {
        let s = spread();
        assert!((s.quantile(0.5) - 995.0).abs() < 1e-9);
        assert!((s.quantile(0.0) - 0.0).abs() < 1e-9);
        assert!((s.quantile(1.0) - 1990.0).abs() < 1e-9);
    }
}
