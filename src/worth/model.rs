//! The price model: a robust regression of prices on age and distance, pooled
//! over classes, makes, models and variants around the curve of the class.
//!
//! For a car of age `a` (decades from 8 years) and distance `d` beyond the
//! usual (10,000 miles)
//!
//! `log price = log curve(class, a, d) + level + age a + curvature a² +
//! distance d + class + make + make age a + model + model age a + body +
//! engine + variant + residual`.
//!
//! All effects are normal around nothing, so that without data the model is the
//! curve with its doubt, and each row moves it as far as it weighs. Variances
//! of groups are estimated by expectation and maximisation with a few groups'
//! worth of prior (Dempster, Laird and Rubin 1977, Journal of the Royal
//! Statistical Society B 39(1)); Huber's loss is worked by iterated reweighting
//! with the median absolute deviation as scale (Holland and Welsch 1977).
//! Residuals widen with age in a line whose slope is estimated too.

use std::collections::BTreeMap;

use super::estimate::Comparable;
use super::layout::{Layout, Terms, Traits, key};
use super::options::{
    Effect, HUBER_TUNING, Loss, MAD_TO_DEVIATION, Options, PRICE_LIMITS, Pooling, RESIDUAL_PRIOR,
    Scale,
};
use super::predict::calibration;
use super::solve::{Solution, Weighted, solve};
use crate::lexicon::curves::Curves;

/// Where the comparables of a model come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// A comparables file.
    File,
    /// Sound cars of the batch itself.
    Batch,
}

/// A fitted price model.
#[derive(Debug, Clone)]
pub struct PriceModel {
    pub(super) options: Options,
    pub(super) origin: Origin,
    pub(super) curves: Curves,
    pub(super) layout: Layout,
    pub(super) solution: Solution,
    /// Prior variances by [`Effect::index`], as estimated.
    pub(super) variances: [f64; Effect::ALL.len()],
    pub(super) residual: Residual,
    /// Degrees of freedom of the residual scale.
    pub(super) freedom: f64,
    /// Correction of the variance of predictions.
    pub(super) calibration: f64,
    /// Unit of the response on the plain scale.
    pub(super) unit: f64,
    pub(super) rows: Vec<FittedRow>,
    /// Position in `rows` of each comparable given; none where it was not used.
    pub(super) of_given: Vec<Option<usize>>,
    makes: BTreeMap<String, usize>,
    models: BTreeMap<(String, String), usize>,
}

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

/// The line of an ordinary regression, in money, years and miles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// At age 0 and distance 0: money, or its logarithm.
    pub intercept: f64,
    /// Change a year.
    pub per_year: f64,
    /// Change a mile.
    pub per_mile: f64,
    /// Share of the response's variance that the line explains.
    pub r_squared: f64,
    /// Residual standard error, or its robust counterpart.
    pub deviation: f64,
}

const MOST_ROUNDS: usize = 60;
const SETTLED: f64 = 1e-4;

/// Fewest rows for a regression without a prior: three coefficients and one.
const FEWEST_UNPOOLED: usize = 4;

impl PriceModel {
    /// Fits the comparables. Rows whose price is no price (below 20 or above
    /// ten million) are left out. Any number of rows will do: with none the
    /// model is the curve of `worth.csv`. Without pooling at least four are
    /// needed; with fewer the model pools.
    pub fn fit(given: &[Comparable], origin: Origin, curves: &Curves, options: &Options) -> Self {
        let is_price = |c: &Comparable| {
            let price = c.price.to_f64();
            (PRICE_LIMITS.0..=PRICE_LIMITS.1).contains(&price)
        };
        let used: Vec<&Comparable> = given.iter().filter(|c| is_price(c)).collect();
        let mut options = *options;
        if used.len() < FEWEST_UNPOOLED {
            options.pooling = Pooling::Partial;
        }
        let mut layout = Layout::new(options.pooling);
        let traits: Vec<_> = used
            .iter()
            .map(|c| Traits::of_comparable(c, &options))
            .collect();
        traits.iter().for_each(|t| layout.admit(t));
        let unit = match options.scale {
            Scale::Log => 1.0,
            Scale::Plain => unit_of(&used),
        };
        let rows: Vec<FittedRow> = used
            .iter()
            .zip(&traits)
            .map(|(car, traits)| {
                let terms = layout.terms(traits, curves);
                let response = response(car.price.to_f64(), &terms, &options, unit);
                FittedRow {
                    terms,
                    response,
                    weight: 1.0,
                }
            })
            .collect();
        let mut at = 0..;
        let of_given = given
            .iter()
            .map(|c| if is_price(c) { at.next() } else { None })
            .collect();
        let (mut makes, mut models) = (BTreeMap::new(), BTreeMap::new());
        for car in &used {
            *makes.entry(key(&car.make)).or_default() += 1;
            *models.entry((key(&car.make), key(&car.model))).or_default() += 1;
        }
        let fitted = Fit::new(&layout, rows, &options).run();
        PriceModel {
            options,
            origin,
            curves: curves.clone(),
            layout,
            calibration: calibration(
                &fitted.rows,
                &fitted.solution,
                fitted.residual,
                fitted.freedom,
            ),
            solution: fitted.solution,
            variances: fitted.variances,
            residual: fitted.residual,
            freedom: fitted.freedom,
            unit,
            rows: fitted.rows,
            of_given,
            makes,
            models,
        }
    }

    /// How many comparables were used.
    pub fn used(&self) -> usize {
        self.rows.len()
    }

    /// How many of them are of a make, and of a make and model.
    pub fn like(&self, make: Option<&str>, model: Option<&str>) -> (usize, usize) {
        let make = make.map(key).unwrap_or_default();
        let of_make = self.makes.get(&make).copied().unwrap_or_default();
        let model = model.and_then(|m| self.models.get(&(make, key(m))).copied());
        (of_make, model.unwrap_or_default())
    }

    /// The line of a fit without pooling; `None` where groups are pooled,
    /// since then there is no single line.
    pub fn line(&self) -> Option<Line> {
        if self.options.pooling == Pooling::Partial {
            return None;
        }
        let b = &self.solution.global;
        let n = self.rows.len() as f64;
        let mean = self.rows.iter().map(|r| r.response).sum::<f64>() / n;
        let sum =
            |f: &dyn Fn(&FittedRow) -> f64| self.rows.iter().map(|r| f(r).powi(2)).sum::<f64>();
        let left = sum(&|r| r.response - self.solution.mean(&r.terms));
        let all = sum(&|r| r.response - mean);
        Some(Line {
            intercept: self.unit * (b[0] - b[1] * super::options::AGE_ORIGIN / 10.0),
            per_year: self.unit * b[1] / 10.0,
            per_mile: self.unit * b[2] / 10_000.0,
            r_squared: 1.0 - left / all,
            deviation: self.unit * self.residual.deviation,
        })
    }
}

/// The geometric mean of the prices, so that on the plain scale too effects are
/// shares of a price and the same priors serve.
fn unit_of(used: &[&Comparable]) -> f64 {
    if used.is_empty() {
        return 10_000.0;
    }
    let logs: f64 = used.iter().map(|c| c.price.to_f64().ln()).sum();
    (logs / used.len() as f64).exp()
}

fn response(price: f64, terms: &Terms, options: &Options, unit: f64) -> f64 {
    let value = |price: f64| match options.scale {
        Scale::Log => price.ln(),
        Scale::Plain => price / unit,
    };
    match options.pooling {
        Pooling::Partial => value(price) - value(terms.curve),
        Pooling::None => value(price),
    }
}

/// The state of the iteration.
struct Fit<'a> {
    layout: &'a Layout,
    options: &'a Options,
    rows: Vec<FittedRow>,
    variances: [f64; Effect::ALL.len()],
    residual: Residual,
    freedom: f64,
}

struct Fitted {
    solution: Solution,
    rows: Vec<FittedRow>,
    variances: [f64; Effect::ALL.len()],
    residual: Residual,
    freedom: f64,
}

impl<'a> Fit<'a> {
    fn new(layout: &'a Layout, rows: Vec<FittedRow>, options: &'a Options) -> Self {
        let pooled = options.pooling == Pooling::Partial;
        let mut variances = Effect::ALL.map(|e| e.prior().deviation.powi(2));
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
        let (deviation, growth, weight) = RESIDUAL_PRIOR;
        let growth = if pooled && options.scale == Scale::Log {
            growth
        } else {
            0.0
        };
        Fit {
            layout,
            options,
            rows,
            variances,
            residual: Residual { deviation, growth },
            freedom: weight,
        }
    }

    fn run(mut self) -> Fitted {
        let mut robust = vec![1.0; self.rows.len()];
        let mut solution = self.solve(&robust);
        for _ in 0..MOST_ROUNDS {
            let before = (self.residual, self.variances);
            let residuals = self.residuals(&solution);
            self.update_residual(&solution, &residuals);
            self.update_variances(&solution);
            self.reweigh(&residuals, &mut robust);
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
        // Without a distance slope yet, the curve's own stands for it.
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
            .or_else(|| solve(self.layout, &[], |e| e.prior().deviation.powi(2)))
            .unwrap_or_else(|| Solution::nothing(self.layout))
    }

    /// Residuals over their widening with age.
    fn residuals(&self, solution: &Solution) -> Vec<f64> {
        let standard = |r: &FittedRow| {
            (r.response - solution.mean(&r.terms)) / self.residual.widening(r.terms.age)
        };
        self.rows.iter().map(standard).collect()
    }

    fn update_residual(&mut self, solution: &Solution, residuals: &[f64]) {
        let n = residuals.len() as f64;
        let spent: f64 = self
            .rows
            .iter()
            .map(|r| (r.weight * solution.variance(&r.terms)).clamp(0.0, 1.0))
            .sum();
        let squares = match self.options.loss {
            Loss::Squares => residuals.iter().map(|r| r * r).sum::<f64>(),
            Loss::Huber => n * (median_abs(residuals) / MAD_TO_DEVIATION).powi(2),
        };
        let (prior, _, weight) = RESIDUAL_PRIOR;
        let weight = match self.options.pooling {
            Pooling::Partial => weight,
            Pooling::None => 0.0,
        };
        self.freedom = (weight + n - spent).max(1.0);
        let variance = (weight * prior * prior + squares) / self.freedom;
        self.residual.deviation = variance.sqrt().clamp(1e-6, 1e6);
        if self.options.pooling == Pooling::Partial && self.options.scale == Scale::Log {
            self.residual.growth = self.growth(residuals);
        }
    }

    /// The growth of the spread with age that makes the residuals likeliest:
    /// Laplace's likelihood, which odd prices do not rule, with a normal prior,
    /// over a grid.
    fn growth(&self, residuals: &[f64]) -> f64 {
        let raw: Vec<_> = residuals
            .iter()
            .zip(&self.rows)
            .map(|(r, row)| {
                (
                    r.abs() * self.residual.widening(row.terms.age),
                    row.terms.age,
                )
            })
            .collect();
        let n = raw.len() as f64;
        let cost = |growth: f64| {
            let widening = |age: f64| 1.0 + growth * age;
            let (prior, ..) = RESIDUAL_PRIOR;
            let mean = raw.iter().map(|(r, age)| r / widening(*age)).sum::<f64>();
            let mean = (prior + mean) / (1.0 + n);
            let widened: f64 = raw.iter().map(|(_, age)| widening(*age).ln()).sum();
            let off = (growth - RESIDUAL_PRIOR.1) / GROWTH_DEVIATION;
            n * mean.ln() + widened + 0.5 * off * off
        };
        (0..=20)
            .map(|step| f64::from(step) * 0.01)
            .min_by(|a, b| cost(*a).total_cmp(&cost(*b)))
            .unwrap_or(RESIDUAL_PRIOR.1)
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
            let prior = effect.prior();
            if let Some(weight) = prior.weight {
                let (sum, count) = sums[effect.index()];
                let variance = (weight * prior.deviation.powi(2) + sum) / (weight + count);
                self.variances[effect.index()] = variance.clamp(1e-8, 4.0);
            }
        }
    }

    fn reweigh(&self, residuals: &[f64], robust: &mut [f64]) {
        if self.options.loss == Loss::Huber {
            let limit = HUBER_TUNING * self.residual.deviation;
            for (weight, r) in robust.iter_mut().zip(residuals) {
                *weight = if r.abs() <= limit {
                    1.0
                } else {
                    limit / r.abs()
                };
            }
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
