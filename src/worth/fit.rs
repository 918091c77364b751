//! The iteration that fits a price model: effects, robust weights, residual
//! scale and variances of groups in turn, until they settle.

use super::effects::{Effect, Priors};
use super::layout::{Layout, Terms};
use super::options::{HUBER_TUNING, Loss, MAD_TO_DEVIATION, OLDEST_AGE, Options, Pooling, Scale};
use super::solve::{Solution, Weighted, solve};

/// The variances of groups settle slowly where they are nearly nothing, and
/// then hardly matter; published prices are predicted alike after 40 and 60.
const MOST_ROUNDS: usize = 40;
/// Relative change of a variance below which it has settled.
const SETTLED: f64 = 5e-3;

/// Deviation of a car from its like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Residual {
    /// At age 0.
    pub deviation: f64,
    /// Growth a year, as a share of it.
    pub growth: f64,
}

impl Residual {
    pub fn at(&self, age: f64) -> f64 {
        self.deviation * self.widening(age)
    }

    fn widening(&self, age: f64) -> f64 {
        1.0 + self.growth * age
    }
}

/// A row of the data after the fit.
#[derive(Debug, Clone)]
pub(super) struct FittedRow {
    pub terms: Terms,
    pub response: f64,
    /// Weight in the equations: robust weight over variance.
    pub weight: f64,
}

/// The state of the iteration.
pub(super) struct Fit<'a> {
    layout: &'a Layout,
    options: &'a Options,
    priors: Priors,
    rows: Vec<FittedRow>,
    variances: [f64; Effect::ALL.len()],
    residual: Residual,
    freedom: f64,
}

/// What the iteration ends with.
pub(super) struct Fitted {
    pub solution: Solution,
    pub rows: Vec<FittedRow>,
    /// Prior variances by [`Effect::index`], as estimated.
    pub variances: [f64; Effect::ALL.len()],
    pub residual: Residual,
    /// Degrees of freedom of the residual scale.
    pub freedom: f64,
}

impl<'a> Fit<'a> {
    pub fn new(
        layout: &'a Layout,
        rows: Vec<FittedRow>,
        options: &'a Options,
        priors: Priors,
    ) -> Self {
        let pooled = options.pooling == Pooling::Partial;
        let mut variances = priors.of.map(|prior| prior.deviation.powi(2));
        if !pooled {
            variances = variances.map(|_| f64::INFINITY);
            for (effect, value) in [
                (Effect::Age, (|t: &Terms| t.age) as fn(&Terms) -> f64),
                (Effect::Distance, |t: &Terms| t.beyond),
            ] {
                // A column that never changes says nothing beside the level.
                let first = rows.first().map(|r| value(&r.terms));
                if rows.iter().all(|r| Some(value(&r.terms)) == first) {
                    variances[effect.index()] = 0.0;
                }
            }
        }
        let supposed = priors.residual;
        let growth = if pooled && options.scale == Scale::Log {
            supposed.growth
        } else {
            0.0
        };
        Fit {
            layout,
            options,
            priors,
            rows,
            variances,
            residual: Residual {
                deviation: supposed.deviation,
                growth,
            },
            freedom: supposed.weight,
        }
    }

    pub fn run(mut self) -> Fitted {
        let mut robust = vec![1.0; self.rows.len()];
        let mut solution = self.solve(&robust);
        for _ in 0..MOST_ROUNDS {
            let before = (self.residual, self.variances);
            let residuals = self.residuals(&solution);
            let leverages = self.leverages(&solution);
            self.update_residual(&residuals, &leverages);
            self.update_variances(&solution);
            self.reweigh(&residuals, &leverages, &mut robust);
            solution = self.solve(&robust);
            if settled(before.0.deviation, self.residual.deviation)
                && before
                    .1
                    .iter()
                    .zip(&self.variances)
                    .all(|(a, b)| a == b || settled(*a, *b))
            {
                break;
            }
        }
        Fitted {
            solution,
            rows: self.rows,
            variances: self.variances,
            residual: self.residual,
            freedom: self.freedom,
        }
    }

    /// Solves with the present variances and robust weights.
    fn solve(&mut self, robust: &[f64]) -> Solution {
        for (row, robust) in self.rows.iter_mut().zip(robust) {
            let own = self.residual.at(row.terms.age).powi(2);
            let unknown_distance = (DISTANCE_SLOPE * row.terms.beyond_deviation).powi(2);
            row.weight = robust / (own + unknown_distance);
        }
        let weighted: Vec<_> = self
            .rows
            .iter()
            .map(|r| Weighted {
                terms: &r.terms,
                response: r.response,
                weight: r.weight,
            })
            .collect();
        let variances = self.variances;
        let variance = |e: Effect| variances[e.index()];
        solve(self.layout, &weighted, variance)
            // Numbers that overflow leave the prior, which always can be solved.
            .or_else(|| {
                let of = self.priors.of;
                solve(self.layout, &[], |e| of[e.index()].deviation.powi(2))
            })
            .unwrap_or_else(|| Solution::nothing(self.layout))
    }

    /// Residuals over their widening with age.
    fn residuals(&self, solution: &Solution) -> Vec<f64> {
        let standard = |r: &FittedRow| {
            (r.response - solution.mean(&r.terms)) / self.residual.widening(r.terms.age)
        };
        self.rows.iter().map(standard).collect()
    }

    /// How far each row decides its own fitted value, 0 to 1.
    fn leverages(&self, solution: &Solution) -> Vec<f64> {
        let leverage = |r: &FittedRow| (r.weight * solution.variance(&r.terms)).clamp(0.0, 1.0);
        self.rows.iter().map(leverage).collect()
    }

    fn update_residual(&mut self, residuals: &[f64], leverages: &[f64]) {
        let n = residuals.len() as f64;
        let spent: f64 = leverages.iter().sum();
        let squares = match self.options.loss {
            Loss::Squares => residuals.iter().map(|r| r * r).sum::<f64>(),
            Loss::Huber => n * (median_abs(residuals) / MAD_TO_DEVIATION).powi(2),
        };
        let prior = self.priors.residual;
        let weight = match self.options.pooling {
            Pooling::Partial => prior.weight,
            Pooling::None => 0.0,
        };
        self.freedom = (weight + n - spent).max(1.0);
        let variance = (weight * prior.deviation.powi(2) + squares) / self.freedom;
        self.residual.deviation = variance.sqrt().clamp(1e-6, 1e6);
        if self.options.pooling == Pooling::Partial && self.options.scale == Scale::Log {
            self.residual.growth = self.growth(residuals);
        }
    }

    /// The growth of the spread with age that makes the residuals likeliest:
    /// Laplace's likelihood, which odd prices do not rule, with a normal prior,
    /// over a grid.
    fn growth(&self, residuals: &[f64]) -> f64 {
        // Ages are whole years: sums by age say all that is needed.
        let mut by_age = [(0.0, 0.0); OLDEST_AGE as usize + 1];
        for (r, row) in residuals.iter().zip(&self.rows) {
            let (sum, count) = &mut by_age[row.terms.age as usize];
            *sum += r.abs() * self.residual.widening(row.terms.age);
            *count += 1.0;
        }
        let n = residuals.len() as f64;
        let prior = self.priors.residual;
        let cost = |growth: f64| {
            let (mut sum, mut widened) = (prior.deviation, 0.0);
            for (age, (raw, count)) in by_age.iter().enumerate() {
                let widening = 1.0 + growth * age as f64;
                sum += raw / widening;
                widened += count * widening.ln();
            }
            let off = (growth - prior.growth) / GROWTH_DEVIATION;
            n * (sum / (1.0 + n)).ln() + widened + 0.5 * off * off
        };
        (0..=20)
            .map(|step| f64::from(step) * 0.01)
            .min_by(|a, b| cost(*a).total_cmp(&cost(*b)))
            .unwrap_or(prior.growth)
    }

    fn update_variances(&mut self, solution: &Solution) {
        if self.options.pooling == Pooling::None {
            return;
        }
        let mut sums = [(0.0, 0.0); Effect::ALL.len()];
        for (effect, square) in solution.spread(self.layout) {
            let (sum, count) = &mut sums[effect.index()];
            *sum += square;
            *count += 1.0;
        }
        for effect in Effect::ALL {
            let prior = self.priors.of[effect.index()];
            if let Some(weight) = prior.weight {
                let (sum, count) = sums[effect.index()];
                let variance = (weight * prior.deviation.powi(2) + sum) / (weight + count);
                self.variances[effect.index()] = variance.clamp(1e-8, 4.0);
            }
        }
    }

    /// Huber's weights, with less left to a row the more it could draw the fit
    /// to itself: the limit shrinks with the root of what the row does not
    /// decide alone, so that neither an odd price nor odd facts have unbounded
    /// influence (Schweppe's form: Handschin, Schweppe, Kohlas and Fiechter
    /// 1975, IEEE Transactions on Power Apparatus and Systems 94(2)).
    fn reweigh(&self, residuals: &[f64], leverages: &[f64], robust: &mut [f64]) {
        if self.options.loss != Loss::Huber {
            return;
        }
        let limit = HUBER_TUNING * self.residual.deviation;
        for ((weight, r), leverage) in robust.iter_mut().zip(residuals).zip(leverages) {
            let limit = limit * (1.0 - leverage).max(0.0).sqrt();
            *weight = if r.abs() <= limit {
                1.0
            } else {
                limit / r.abs()
            };
        }
    }
}

/// Share of the price that 10,000 miles take, for what an unknown distance adds
/// to the spread (from memory; the curves of `worth.csv` have the like).
pub(super) const DISTANCE_SLOPE: f64 = 0.045;

/// Prior deviation of the growth of the spread, a year.
const GROWTH_DEVIATION: f64 = 0.04;

fn settled(before: f64, after: f64) -> bool {
    (before - after).abs() <= SETTLED * after.abs()
}

/// Median of the absolute values; 0 for none.
fn median_abs(values: &[f64]) -> f64 {
    let mut values: Vec<f64> = values.iter().map(|v| v.abs()).collect();
    values.sort_by(f64::total_cmp);
    let n = values.len();
    match n {
        0 => 0.0,
        _ if n % 2 == 1 => values[n / 2],
        _ => (values[n / 2 - 1] + values[n / 2]) / 2.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::ModelYear;
    use crate::worth::effects::{Prior, ResidualPrior};

    /// Yield of dyestuff of five preparations from each of six batches, in grams
    /// of standard colour (Davies and Goldsmith 1972, Statistical Methods in
    /// Research and Production, table 6.1).
    const DYESTUFF: [[f64; 5]; 6] = [
        [1545.0, 1440.0, 1440.0, 1520.0, 1580.0],
        [1540.0, 1555.0, 1490.0, 1560.0, 1495.0],
        [1595.0, 1550.0, 1605.0, 1510.0, 1560.0],
        [1445.0, 1440.0, 1595.0, 1465.0, 1545.0],
        [1595.0, 1630.0, 1515.0, 1635.0, 1625.0],
        [1520.0, 1455.0, 1450.0, 1480.0, 1445.0],
    ];

    /// With nothing supposed the variances are those of restricted maximum
    /// likelihood: 1764.05 between batches and 2451.25 within (the analysis of
    /// variance of Davies and Goldsmith, and Bates, Mächler, Bolker and Walker
    /// 2015, Journal of Statistical Software 67(1), whose program prints them).
    #[test]
    fn variances_of_the_dyestuff_batches_are_those_published() {
        let mut layout = Layout::new(Pooling::Partial);
        layout.global = vec![Effect::Level];
        layout.global.extend([Effect::Make; 6]);
        let rows = DYESTUFF
            .iter()
            .enumerate()
            .flat_map(|(batch, yields)| yields.iter().map(move |y| (batch, *y)))
            .map(|(batch, response)| FittedRow {
                terms: Terms {
                    global: vec![(0, 1.0), (1 + batch, 1.0)],
                    ..Terms::default()
                },
                response: response / 1000.0,
                weight: 1.0,
            })
            .collect();
        let flat = Prior {
            deviation: 0.05,
            weight: Some(0.0),
        };
        let mut of = [flat; Effect::ALL.len()];
        of[Effect::Level.index()] = Prior {
            deviation: 1e3,
            weight: None,
        };
        let priors = Priors {
            of,
            residual: ResidualPrior {
                deviation: 0.05,
                growth: 0.0,
                weight: 0.0,
            },
        };
        let options = Options {
            loss: Loss::Squares,
            // The plain scale does not look for a spread that widens.
            scale: Scale::Plain,
            ..Options::new(ModelYear(2000))
        };
        let fitted = Fit::new(&layout, rows, &options, priors).run();
        let between = 1e6 * fitted.variances[Effect::Make.index()];
        let within = 1e6 * fitted.residual.deviation.powi(2);
        assert!((between / 1764.05 - 1.0).abs() < 0.02, "{between}");
        assert!((within / 2451.25 - 1.0).abs() < 0.005, "{within}");
    }
}
