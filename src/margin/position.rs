//! The distribution of what a car leaves, and what follows from it.
//!
//! Before the price is taken off, a car that is repaired leaves
//!
//! `worth - bill - what is set aside - faults left - fetching - fees - selling`
//!
//! The worth is a normal variable about its 50 % point, its deviation the
//! distance of the 10 % point from there over `z = 1.2816` (the 90 % point of
//! the normal distribution, NIST Engineering Statistics Handbook 1.3.6.7.1):
//! that an estimate out of little data is skewed upwards is doubt, and doubt
//! must not raise a margin. The bill is a mixture of what may come out
//! ([`crate::costing::mixture`]). What is set aside for the unknown, `u`, is
//! usually nothing and sometimes a lot: an exponential variable of mean `u`,
//! in four slices.
//!
//! **The way out.** On getting home the buyer learns which bill it is. Where
//! repairing would leave less than the car fetches as it stands, it goes: for
//! each outcome the better of the two counts, not the better of the averages
//! (a real option; Dixit and Pindyck 1994, *Investment under Uncertainty*,
//! chapter 2). What the worth turns out to be is only learnt at the sale.
//!
//! The price is paid before any of this and changes none of it.

use super::spread::{POINTS, Spread};
use crate::normal::{Part, Z90, at_most, mixture_quantile};
use crate::units::{Chance, Money, ThreePoint};

/// Ends of the slices of what is set aside, as shares of the chance.
const SLICES: [f64; 5] = [0.0, 0.5, 0.8, 0.95, 1.0];

/// What a car leaves before its price, and by which sums.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leaves {
    /// The middle of the worth once right.
    pub right: f64,
    /// Its deviation.
    pub doubt: f64,
    /// All that is certain and comes off: faults left, fetching, fees, selling.
    pub off: f64,
    /// What is set aside for the unknown.
    pub unknown: f64,
    /// What it leaves if it goes as it stands, fetching taken off.
    pub way_out: f64,
}

impl Leaves {
    /// The same if `more` had to be paid on top, or less where negative, and
    /// `settled` of what is set aside were no longer unknown.
    pub fn if_known(self, more: f64, settled: f64) -> Self {
        Leaves {
            off: self.off + more + settled,
            unknown: (self.unknown - settled).max(0.0),
            ..self
        }
    }
}

/// The deviation of a worth, from its 10 % and 50 % points.
pub fn doubt(worth: &ThreePoint<Money>) -> f64 {
    (worth.likely - worth.low).to_f64().abs() / Z90
}

/// What a car leaves before its price, as a distribution.
#[derive(Debug, Clone, PartialEq)]
pub struct Position {
    parts: Vec<Part>,
    mean: f64,
    gone: f64,
    repaired: f64,
}

/// What the buyer insists on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The least margin to expect.
    pub wanted: Money,
    /// The chance of losing money that is accepted.
    pub loss: Chance,
}

impl Limits {
    /// Limits of a wanted margin and an accepted chance of losing money.
    pub fn new(wanted: Money, loss_limit: f64) -> Self {
        Limits {
            wanted,
            loss: Chance::new(loss_limit).unwrap_or(Chance::FIFTH),
        }
    }
}

impl Position {
    /// Works it out from what the bill may come to.
    pub fn new(leaves: &Leaves, bill: &[Part]) -> Self {
        let mut parts = Vec::with_capacity(bill.len() * (SLICES.len() - 1) + 1);
        let (mut gone, mut repaired) = (0.0, 0.0);
        for way in bill {
            for (slice, extra) in unknown_costs(leaves.unknown) {
                let chance = way.chance * slice;
                let left = leaves.right - leaves.off - way.mean - extra;
                repaired += chance * left;
                if left < leaves.way_out {
                    gone += chance;
                } else {
                    parts.push(Part {
                        chance,
                        mean: left,
                        deviation: leaves.doubt.hypot(way.deviation),
                    });
                }
            }
        }
        if gone > 0.0 {
            parts.push(Part {
                chance: gone,
                mean: leaves.way_out,
                deviation: 0.0,
            });
        }
        Position {
            mean: parts.iter().map(|p| p.chance * p.mean).sum(),
            parts,
            gone,
            repaired,
        }
    }

    /// The ways it may turn out.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }

    /// The mean of what is left before the price, the way out included.
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// How often it goes as it stands.
    pub fn gone(&self) -> Chance {
        Chance::new(self.gone.min(1.0)).unwrap_or(Chance::CERTAIN)
    }

    /// What the way out adds to the mean of repairing whatever it costs.
    pub fn way_out_adds(&self) -> f64 {
        (self.mean - self.repaired).max(0.0)
    }

    /// The chance of losing money at a price.
    pub fn loss_at(&self, price: f64) -> f64 {
        at_most(&self.parts, price - 0.005)
    }

    /// Mean and its 10 % and 90 % points at a price.
    pub fn margin(&self, price: Money) -> ThreePoint<Money> {
        let likely = money(self.mean);
        let point = |p| money(mixture_quantile(&self.parts, p).round());
        ThreePoint {
            low: point(0.1).min(likely) - price,
            likely: likely - price,
            // Where the way out is the likely end, the mean lies above nearly
            // all of the distribution's points.
            high: point(0.9).max(likely) - price,
        }
    }

    /// The most to pay: the wanted margin is still expected, and no more of
    /// the equally likely points of [`Spread`] than accepted lie below it.
    pub fn ceiling(&self, limits: &Limits) -> Money {
        let by_margin = self.mean - limits.wanted.to_f64();
        let below = (limits.loss.value() * POINTS as f64 + 1e-9).floor();
        let by_loss = if below >= POINTS as f64 {
            f64::INFINITY
        } else {
            mixture_quantile(&self.parts, (below + 0.5) / POINTS as f64).round()
        };
        money(by_margin.min(by_loss).max(0.0).floor())
    }

    /// Whether a price pays.
    pub fn pays(&self, price: f64, limits: &Limits) -> bool {
        self.mean - price >= limits.wanted.to_f64() && self.loss_at(price) <= limits.loss.value()
    }

    /// The whole distribution.
    pub fn spread(&self) -> Spread {
        let at = self.margin(Money::ZERO);
        let slice = |i| (f64::from(i) + 0.5) / POINTS as f64;
        let points = (0..POINTS as u16)
            .map(|i| mixture_quantile(&self.parts, slice(i)))
            .collect();
        Spread::new(at.likely, at.low, at.high, points)
    }
}

/// Slices of what is set aside: chance and cost.
fn unknown_costs(mean: f64) -> impl Iterator<Item = (f64, f64)> {
    let slices = if mean > 0.0 { &SLICES[..] } else { &[0.0, 1.0] };
    slices.windows(2).map(move |ends| {
        let chance = ends[1] - ends[0];
        (chance, mean * exponential_between(ends[0], ends[1]))
    })
}

/// Mean of an exponential variable of mean 1 between two of its quantiles:
/// `(g(a) - g(b)) / (b - a)` with `g(p) = (1 - p)(1 - ln(1 - p))`.
fn exponential_between(a: f64, b: f64) -> f64 {
    let g = |p: f64| {
        let left = 1.0 - p;
        if left <= 0.0 {
            0.0
        } else {
            left * (1.0 - left.ln())
        }
    };
    (g(a) - g(b)) / (b - a)
}

fn money(amount: f64) -> Money {
    Money::from_f64(amount).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leaves(right: f64, doubt: f64, way_out: f64) -> Leaves {
        Leaves {
            right,
            doubt,
            off: 0.0,
            unknown: 0.0,
            way_out,
        }
    }

    fn way(chance: f64, mean: f64, deviation: f64) -> Part {
        Part {
            chance,
            mean,
            deviation,
        }
    }

    #[test]
    fn worth_alone_gives_its_own_low_point_back() {
        let worth = ThreePoint {
            low: Money::whole(2300),
            likely: Money::whole(3000),
            high: Money::whole(4200),
        };
        let p = Position::new(&leaves(3000.0, doubt(&worth), -1e6), &[way(1.0, 0.0, 0.0)]);
        let margin = p.margin(Money::ZERO);
        assert_eq!(margin.low, worth.low);
        assert_eq!(margin.likely, worth.likely);
        // As far up as down.
        assert_eq!(margin.high, Money::whole(3700));
    }

    #[test]
    fn a_car_without_hope_leaves_its_scrap() {
        let p = Position::new(&leaves(1000.0, 300.0, 250.0), &[way(1.0, 6000.0, 900.0)]);
        let margin = p.margin(Money::whole(100));
        assert_eq!(margin, ThreePoint::exactly(Money::whole(150)));
        assert_eq!(p.gone(), Chance::CERTAIN);
    }

    #[test]
    fn the_better_way_counts_in_each_outcome() {
        // A cheap bill half of the time, else one that is not worth paying:
        // (2000 - 200 + 300) / 2 = 1050, not max(2000 - 1600, 300).
        let bill = [way(0.5, 200.0, 0.0), way(0.5, 3000.0, 0.0)];
        let p = Position::new(&leaves(2000.0, 0.0, 300.0), &bill);
        assert!((p.mean() - 1050.0).abs() < 1e-9);
        assert!((p.way_out_adds() - 650.0).abs() < 1e-9);
        assert_eq!(p.gone(), Chance::HALF);
    }

    #[test]
    fn the_slices_of_the_unknown_keep_its_mean() {
        for mean in [0.0, 1.0, 740.0] {
            let sum: f64 = unknown_costs(mean).map(|(p, c)| p * c).sum();
            assert!((sum - mean).abs() < 1e-9, "{mean} {sum}");
        }
    }

    #[test]
    fn the_ceiling_is_bound_by_the_wanted_margin_or_by_the_chance_of_loss() {
        let limits = Limits::new(Money::whole(500), 0.2);
        let ceiling = |right, doubt, out, limits: &Limits| {
            let bill = [way(1.0, 0.0, 0.0)];
            Position::new(&leaves(right, doubt, out), &bill).ceiling(limits)
        };
        // Little spread: 3000 - 500.
        assert_eq!(ceiling(3000.0, 10.0, -9e3, &limits), Money::whole(2500));
        // Wide: the 41st of 200 points, z = -0.8328 at 0.2025 (Python's
        // statistics.NormalDist): 3000 - 832.8, less than 2500.
        assert_eq!(ceiling(3000.0, 1000.0, -9e3, &limits), Money::whole(2167));
        // Nothing left: never negative.
        assert_eq!(ceiling(-3000.0, 10.0, -9e3, &limits), Money::ZERO);
        // What goes as it stands is certain.
        let none = Limits::new(Money::ZERO, 0.0);
        assert_eq!(ceiling(0.0, 900.0, 700.0, &none), Money::whole(700));
    }

    #[test]
    fn the_ceiling_is_the_last_price_that_pays() {
        let bill = [way(0.7, 300.0, 80.0), way(0.3, 1500.0, 300.0)];
        let p = Position::new(&leaves(2600.0, 400.0, 200.0), &bill);
        for loss in [0.1, 0.2, 0.35, 1.0] {
            let limits = Limits::new(Money::whole(100), loss);
            let top = p.ceiling(&limits);
            let at = |price| super::super::AtPrice::of(&p.spread(), &limits, price).standing;
            use super::super::Standing;
            assert_eq!(at(top), Standing::Pays, "{loss}");
            assert_ne!(at(top + Money::whole(1)), Standing::Pays, "{loss}");
        }
    }
}
