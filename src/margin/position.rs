//! The distribution of the margin and what follows from it.
//!
//! Before the price is taken off, what a car leaves is taken as a normal
//! variable whose middle is
//!
//! `m = worth - bill - faults left - allowances - fetching - fees - selling`
//!
//! and whose two sides have spreads of their own, because a worth estimate is
//! skewed. With `z = 1.2816` (the 90 % point of the normal distribution, NIST
//! Engineering Statistics Handbook 1.3.6.7.1), `q10`, `q50`, `q90` the points
//! of the worth and `b` the standard deviation of the bill:
//!
//! * `below = sqrt(((q50 - q10) / z)^2 + b^2)`
//! * `above = sqrt(((q90 - q50) / z)^2 + b^2)`
//!
//! Worth and bill are supposed independent. The worth enters with its middle,
//! not its mean: the skew of an estimate out of little data is doubt, and doubt
//! must not raise a margin. What is set aside for the unknown, `u`, is the mean
//! of a cost that is usually nothing and sometimes large (an exponential cost
//! of mean `u` has deviation `u`); since it can only cost, it widens the low
//! side alone.
//!
//! The way out: someone who finds the worst on getting home can sell for scrap
//! and has lost no more than `x = floor - fetching - price`. The margin is
//! therefore `max(M, x)` with `M` normal, and its mean (Clark 1961, Operations
//! Research 9(2), with the second variable fixed)
//!
//! `x + (m - x) F((m - x) / s) + s f((m - x) / s)`, `s = below`
//!
//! with `F` and `f` distribution and density of the standard normal. That the
//! repair money is not spent by then is a simplification: it holds where the
//! fault shows before the work begins.

use super::spread::{POINTS, Spread};
use crate::units::{Chance, Money, ThreePoint};

/// The 90 % point of the standard normal distribution.
const Z90: f64 = 1.281_551_565_544_6;

/// What a car leaves before its price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Position {
    /// Middle of what is left before the price and without the way out.
    pub before_price: Money,
    /// What selling it for scrap leaves before the price.
    pub way_out: Money,
    /// Standard deviation of the low side, without the unknown.
    pub below: f64,
    /// Standard deviation of the high side.
    pub above: f64,
    /// What is set aside for the unknown; already taken off `before_price`.
    pub unknown: Money,
}

/// What the buyer insists on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The least margin to expect.
    pub wanted: Money,
    /// Standard deviations that must lie between the margin and a loss.
    pub loss_z: f64,
    /// The chance of losing money that is accepted.
    pub loss: Chance,
}

impl Limits {
    /// Limits of a wanted margin and an accepted chance of losing money.
    pub fn new(wanted: Money, loss_limit: f64) -> Self {
        Limits {
            wanted,
            loss_z: -normal_quantile(loss_limit),
            loss: Chance::new(loss_limit).unwrap_or(Chance::FIFTH),
        }
    }
}

/// One-sided deviations of a sum of worth (its 10, 50, 90 % points) and an
/// independent bill (its standard deviation): below, above.
pub fn deviations(worth: &ThreePoint<Money>, bill_deviation: f64) -> (f64, f64) {
    let side = |near: Money, far: Money| {
        let worth = (near - far).to_f64().abs() / Z90;
        worth.hypot(bill_deviation)
    };
    (
        side(worth.likely, worth.low),
        side(worth.likely, worth.high),
    )
}

impl Position {
    /// The whole distribution of what is left before the price.
    pub fn spread(&self) -> Spread {
        let at = self.margin(Money::ZERO);
        let (m, x) = (self.before_price.to_f64(), self.way_out.to_f64());
        let down = self.below.hypot(self.unknown.to_f64());
        let points = (0..POINTS)
            .map(|i| {
                let z = normal_quantile((i as f64 + 0.5) / POINTS as f64);
                let side = if z < 0.0 { down } else { self.above };
                (m + z * side).max(x)
            })
            .collect();
        Spread::new(at.likely, at.low, at.high, points)
    }

    /// The mean of what is left before the price, the way out included.
    pub fn mean(&self) -> Money {
        let (m, x) = (self.before_price, self.way_out);
        if self.below <= 0.0 {
            return m.max(x);
        }
        let d = (m - x).to_f64() / self.below;
        // Written as what the way out adds, so that the exact part stays exact.
        let mean = x.to_f64() + self.below * (d * normal_below(d) + normal_density(d));
        Money::from_f64(mean).map_or(m, |mean| mean.max(m).max(x))
    }

    /// The margin at a price: low, mean, high.
    pub fn margin(&self, price: Money) -> ThreePoint<Money> {
        let likely = self.mean() - price;
        let x = self.way_out - price;
        let m = self.before_price - price;
        let down = Z90 * self.below.hypot(self.unknown.to_f64());
        let up = Z90 * self.above;
        let low = Money::from_f64(down).map_or(x, |down| (m - down).max(x));
        let high = Money::from_f64(up).map_or(likely, |up| m + up);
        ThreePoint {
            low: low.min(likely),
            likely,
            // Where scrap is the likely end, the mean lies above nearly all of
            // the distribution's points.
            high: high.max(likely),
        }
    }

    /// The most to pay within the limits, in whole units, never negative.
    pub fn ceiling(&self, limits: &Limits) -> Money {
        let by_margin = self.mean() - limits.wanted;
        let spread = limits.loss_z * self.below.hypot(self.unknown.to_f64());
        let by_loss = Money::from_f64(spread)
            .map_or(self.way_out, |spread| self.before_price - spread)
            .max(self.way_out);
        let ceiling = by_margin.min(by_loss).max(Money::ZERO);
        Money::new(ceiling.amount().floor())
    }

    /// The position if one thing were known and cost `more` than set aside
    /// (negative: less), and `settled` were no longer set aside.
    pub fn if_known(&self, more: Money, settled: Money) -> Position {
        Position {
            before_price: self.before_price - more,
            unknown: (self.unknown - settled).max(Money::ZERO),
            ..*self
        }
    }
}

fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// The normal quantile by bisection between -8 and 8: done once a run.
fn normal_quantile(p: f64) -> f64 {
    let (mut low, mut high) = (-8.0, 8.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if normal_below(middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn position(before: i64, way_out: i64, below: f64) -> Position {
        Position {
            before_price: Money::whole(before),
            way_out: Money::whole(way_out),
            below,
            above: below,
            unknown: Money::ZERO,
        }
    }

    #[test]
    fn normal_points_agree_with_published_tables() {
        // NIST Engineering Statistics Handbook 1.3.6.7.1: F(1.28) = 0.89973.
        assert!((normal_below(1.28) - 0.899_73).abs() < 5e-6);
        assert!((normal_quantile(0.9) - Z90).abs() < 1e-9);
        assert!((normal_quantile(0.2) + 0.841_621).abs() < 1e-6);
    }

    #[test]
    fn worth_alone_gives_its_own_points_back() {
        let worth = ThreePoint {
            low: Money::whole(2300),
            likely: Money::whole(3000),
            high: Money::whole(4200),
        };
        let (below, above) = deviations(&worth, 0.0);
        let p = Position {
            before_price: worth.likely,
            way_out: Money::whole(-100_000),
            below,
            above,
            unknown: Money::ZERO,
        };
        assert_eq!(p.margin(Money::ZERO), worth);
    }

    #[test]
    fn a_car_without_hope_leaves_its_scrap() {
        let p = position(-5000, 250, 300.0);
        let margin = p.margin(Money::whole(100));
        assert_eq!(margin, ThreePoint::exactly(Money::whole(150)));
    }

    #[test]
    fn the_mean_of_the_better_of_two_equal_ends() {
        // m = x: E max(M, x) = x + s / sqrt(2 pi); 400 / 2.5066283 = 159.58.
        let p = position(1000, 1000, 400.0);
        assert_eq!(p.mean(), Money::from_f64(1159.58).unwrap());
    }

    #[test]
    fn the_ceiling_is_bound_by_the_wanted_margin_or_by_the_chance_of_loss() {
        let limits = Limits::new(Money::whole(500), 0.2);
        // Little spread: 3000 - 500.
        assert_eq!(
            position(3000, -9000, 10.0).ceiling(&limits),
            Money::whole(2500)
        );
        // Wide: 3000 - 0.8416 * 1000 = 2158.38, less than 2500.
        assert_eq!(
            position(3000, -9000, 1000.0).ceiling(&limits),
            Money::whole(2158)
        );
        // Nothing left: never negative.
        assert_eq!(position(-3000, -9000, 10.0).ceiling(&limits), Money::ZERO);
        // Below the scrap price nothing can be lost.
        assert_eq!(
            position(0, 700, 900.0).ceiling(&Limits::new(Money::ZERO, 0.0)),
            Money::whole(700)
        );
    }
}
