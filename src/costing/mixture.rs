//! Costs that may turn out one way or another, as a mixture of few atoms.
//!
//! An atom is one way, with its chance and the cost that is then expected.
//! Around that the cost spreads by a variance, and by a part that all jobs of
//! one car share: `linear` adds up over jobs as deviations, `variance` as
//! variances, so that a sum of jobs with deviations `s` and correlation `r`
//! has the variance `(1 - r) sum(s^2) + r (sum s)^2`.

use std::ops::Add;

use crate::units::{Money, ThreePoint};

/// Atoms lie no closer than this share of the deviation...
const WIDTH: f64 = 1.0 / 12.0;
/// ...and than this share of the whole range, so that there are few.
const RANGE: f64 = 1.0 / 48.0;
/// So many stretches of that width take up any range, its end included.
const STRETCHES: usize = 49;

/// Mean and spread of a sum of costs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cost {
    /// The mean.
    pub mean: f64,
    /// The variance that each job has by itself.
    pub variance: f64,
    /// The deviation that it shares with the other jobs of the car.
    pub linear: f64,
}

impl Cost {
    /// A three-point estimate taken as a beta-PERT variable, with the part of
    /// its variance that it has in common with the other jobs of the car: that
    /// part is `shared` of 1. The deviation is `sqrt((m - low)(high - m) / 7)`
    /// about the mean `m` (Vose 2008, *Risk Analysis*, 3rd edition, on the PERT
    /// distribution with weight 4).
    pub fn pert(cost: ThreePoint<Money>, shared: f64) -> Self {
        let [low, likely, high] = [cost.low, cost.likely, cost.high].map(Money::to_f64);
        let mean = (low + 4.0 * likely + high) / 6.0;
        let variance = ((mean - low) * (high - mean) / 7.0).max(0.0);
        Cost {
            mean,
            variance: (1.0 - shared) * variance,
            linear: (shared * variance).sqrt(),
        }
    }

    /// The variance of all of it.
    pub fn total_variance(self) -> f64 {
        self.variance + self.linear * self.linear
    }

    /// The cost if it comes with a chance, taken as one lump.
    pub fn perhaps(self, chance: f64) -> Self {
        Cost {
            mean: chance * self.mean,
            variance: chance * self.variance + chance * (1.0 - chance) * self.mean * self.mean,
            linear: chance * self.linear,
        }
    }
}

impl Add for Cost {
    type Output = Cost;
    fn add(self, other: Cost) -> Cost {
        Cost {
            mean: self.mean + other.mean,
            variance: self.variance + other.variance,
            linear: self.linear + other.linear,
        }
    }
}

/// One way it may turn out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Atom {
    /// Its chance.
    pub chance: f64,
    /// What it then costs.
    pub cost: Cost,
}

/// All ways, the cheapest first; the chances sum to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Mixture(Vec<Atom>);

impl Mixture {
    /// One way only.
    pub fn certain(cost: Cost) -> Self {
        Mixture(vec![Atom { chance: 1.0, cost }])
    }

    /// A cost that comes with a chance, else nothing.
    pub fn perhaps(chance: f64, cost: Cost) -> Self {
        let none = Atom {
            chance: 1.0 - chance,
            cost: Cost::default(),
        };
        Mixture::of([none, Atom { chance, cost }].into_iter())
    }

    /// Any atoms; their chances are made to sum to 1, and those that are closer
    /// than matters are put together: mean and variance stay as they are.
    /// Without any, no cost.
    pub fn of(atoms: impl Iterator<Item = Atom> + Clone) -> Self {
        let atoms = atoms.filter(|a| a.chance > 0.0);
        let Some(all) = Moments::of(atoms.clone()) else {
            return Mixture::certain(Cost::default());
        };
        let width = (all.deviation() * WIDTH).max((all.last - all.first) * RANGE);
        // Thousands of ways become some fifty atoms: each goes into the stretch
        // of costs that it lies in, and none need be put in order.
        let mut stretches = [Stretch::default(); STRETCHES];
        let inverse = if width > 0.0 { 1.0 / width } else { 0.0 };
        for atom in atoms {
            let at = ((atom.cost.mean - all.first) * inverse) as usize;
            stretches[at.min(STRETCHES - 1)].add(&atom);
        }
        let met = stretches.iter().filter(|s| s.chance > 0.0);
        Mixture(met.map(|s| s.atom(all.chance)).collect())
    }

    /// The atoms, the cheapest first.
    pub fn atoms(&self) -> &[Atom] {
        &self.0
    }

    /// The mean.
    pub fn mean(&self) -> f64 {
        self.0.iter().map(|a| a.chance * a.cost.mean).sum()
    }

    /// The standard deviation.
    pub fn deviation(&self) -> f64 {
        let mean = self.mean();
        let about = |a: &Atom| (a.cost.mean - mean).powi(2) + a.cost.total_variance();
        let variance: f64 = self.0.iter().map(|a| a.chance * about(a)).sum();
        variance.sqrt()
    }

    /// Both costs together, independent of each other.
    pub fn plus(&self, other: &Mixture) -> Mixture {
        let (few, many) = match self.0.len() < other.0.len() {
            true => (self, other),
            false => (other, self),
        };
        Mixture::of(few.0.iter().flat_map(|a| {
            many.0.iter().map(|b| Atom {
                chance: a.chance * b.chance,
                cost: a.cost + b.cost,
            })
        }))
    }

    /// The dearer reading of the two at every level of cost: the chance that
    /// it costs more than any amount is the larger of the two chances. It lies
    /// above both in the first stochastic order.
    pub fn upper(&self, other: &Mixture) -> Mixture {
        let (mut a, mut b) = (
            self.0.iter().rev().peekable(),
            other.0.iter().rev().peekable(),
        );
        let (mut above_a, mut above_b, mut given) = (0.0_f64, 0.0_f64, 0.0_f64);
        let mut atoms = Vec::with_capacity(self.0.len() + other.0.len());
        // From the dearest down; what is above a level is given out there.
        loop {
            let from_a = match (a.peek(), b.peek()) {
                (Some(x), Some(y)) => x.cost.mean >= y.cost.mean,
                (Some(_), None) => true,
                (None, Some(_)) => false,
                (None, None) => break,
            };
            let Some(atom) = (if from_a { a.next() } else { b.next() }) else {
                break;
            };
            let above = if from_a { &mut above_a } else { &mut above_b };
            *above += atom.chance;
            let reached = above_a.max(above_b);
            if reached > given {
                atoms.push(Atom {
                    chance: reached - given,
                    cost: atom.cost,
                });
                given = reached;
            }
        }
        Mixture::of(atoms.iter().copied())
    }
}

/// What is known of atoms before they are put together.
#[derive(Debug, Clone, Copy)]
struct Moments {
    /// Of all together.
    chance: f64,
    /// The least mean and the greatest.
    first: f64,
    last: f64,
    mean: f64,
    /// The expected square about no cost.
    square: f64,
}

impl Moments {
    /// Those of any atoms that can come to pass; `None` without one.
    fn of(mut atoms: impl Iterator<Item = Atom>) -> Option<Self> {
        let begin = |atom: Atom| Moments {
            chance: atom.chance,
            first: atom.cost.mean,
            last: atom.cost.mean,
            mean: atom.chance * atom.cost.mean,
            square: atom.chance * square(&atom),
        };
        let first = begin(atoms.next()?);
        let sums = atoms.map(begin).fold(first, |sum, next| Moments {
            chance: sum.chance + next.chance,
            first: sum.first.min(next.first),
            last: sum.last.max(next.last),
            mean: sum.mean + next.mean,
            square: sum.square + next.square,
        });
        Some(Moments {
            mean: sums.mean / sums.chance,
            square: sums.square / sums.chance,
            ..sums
        })
    }

    fn deviation(&self) -> f64 {
        (self.square - self.mean * self.mean).max(0.0).sqrt()
    }
}

fn square(atom: &Atom) -> f64 {
    atom.cost.mean * atom.cost.mean + atom.cost.total_variance()
}

/// The atoms within a stretch of costs no longer than matters.
#[derive(Debug, Clone, Copy, Default)]
struct Stretch {
    chance: f64,
    /// What the first of them costs: the others are summed up from there, so
    /// that no digits are lost.
    from: f64,
    mean: f64,
    square: f64,
    within: f64,
    linear: f64,
}

impl Stretch {
    fn add(&mut self, atom: &Atom) {
        if self.chance <= 0.0 {
            self.from = atom.cost.mean;
        }
        let apart = atom.cost.mean - self.from;
        self.chance += atom.chance;
        self.mean += atom.chance * apart;
        self.square += atom.chance * apart * apart;
        self.within += atom.chance * atom.cost.total_variance();
        self.linear += atom.chance * atom.cost.linear;
    }

    /// All of them as one, where the chances of all atoms have this sum.
    fn atom(&self, all: f64) -> Atom {
        let [apart, square, within, linear] =
            [self.mean, self.square, self.within, self.linear].map(|sum| sum / self.chance);
        let variance = within + square - apart * apart - linear * linear;
        Atom {
            chance: self.chance / all,
            cost: Cost {
                mean: self.from + apart,
                variance: variance.max(0.0),
                linear,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mixtures() -> impl Strategy<Value = Mixture> {
        let atom = (0.01..1.0_f64, 0.0..900.0_f64, 0.0..50.0_f64);
        prop::collection::vec(atom, 1..30).prop_map(|atoms| {
            let atom = |(chance, mean, linear)| Atom {
                chance,
                cost: Cost {
                    mean,
                    variance: mean,
                    linear,
                },
            };
            Mixture::of(atoms.into_iter().map(atom))
        })
    }

    fn above(m: &Mixture, level: f64) -> f64 {
        let dearer = m.0.iter().filter(|a| a.cost.mean >= level);
        dearer.map(|a| a.chance).sum()
    }

    proptest! {
        #[test]
        fn sums_have_the_sum_of_means_and_variances(a in mixtures(), b in mixtures()) {
            let sum = a.plus(&b);
            let chances: f64 = sum.atoms().iter().map(|x| x.chance).sum();
            prop_assert!((chances - 1.0).abs() < 1e-9);
            prop_assert!((sum.mean() - a.mean() - b.mean()).abs() < 1e-6);
            // What jobs of one car share adds up as deviations.
            let shared = |m: &Mixture| m.0.iter().map(|x| x.chance * x.cost.linear).sum::<f64>();
            let expected = a.deviation().powi(2) + b.deviation().powi(2)
                + 2.0 * shared(&a) * shared(&b);
            prop_assert!((sum.deviation().powi(2) - expected).abs() < 1e-6 * expected);
        }

        #[test]
        fn the_upper_of_two_is_nowhere_cheaper(a in mixtures(), b in mixtures()) {
            let upper = a.upper(&b);
            prop_assert!(upper.mean() >= a.mean().max(b.mean()) - 1e-6);
            let all = a.0.iter().chain(&b.0);
            let width = 900.0 * (RANGE + WIDTH);
            for level in all.map(|x| x.cost.mean) {
                let most = above(&a, level).max(above(&b, level));
                prop_assert!(above(&upper, level - width) >= most - 1e-9);
            }
        }
    }
}
