//! The price model: a robust regression of prices on age and distance, pooled
//! over classes, makes, models and variants around the curve of the class.
//!
//! For a car of age `a` (decades from 8 years) and distance `d` beyond the
//! usual (10,000 miles)
//!
//! `log price = log curve(class, a, d) + level + age a + curvature a² +
//! distance d + class + make + make age a + model + model age a + body +
//! engine + variant + drift t + season + asked + residual`
//!
//! where `t` are the years from the date that worth is told for to that of the
//! sale, season is one wave a year (sine and cosine), and asked is what asked
//! prices stand above sold ones beyond what usually comes off; each is there
//! only where the data tell it.
//!
//! All effects are normal around nothing, so that without data the model is the
//! curve with its doubt, and each row moves it as far as it weighs. Variances
//! of groups are estimated by expectation and maximisation of the restricted
//! likelihood with a few groups' worth of prior (Dempster, Laird and Rubin 1977,
//! Journal of the Royal Statistical Society B 39(1); Harville 1977, Journal of
//! the American Statistical Association 72); Huber's loss is worked by iterated
//! reweighting with the median absolute deviation as scale (Holland and Welsch
//! 1977), and a row's own pull on the fit is bounded whatever its facts.
//! Residuals widen with age in a line whose slope is estimated too.

use std::collections::BTreeMap;

use super::effects::{Effect, Priors};
use super::estimate::{Comparable, PriceBasis};
use super::fit::{Fit, FittedRow, Residual};
use super::layout::{Layout, Terms, Traits, key};
use super::options::{AGE_ORIGIN, Options, PRICE_LIMITS, Pooling, Scale};
use super::predict::calibration;
use super::solve::Solution;
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
    /// How many of the rows are asked prices.
    asked: usize,
}

/// How asked prices among the comparables were brought to sold ones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AskedPrices {
    /// Rows with an asked price.
    pub asked: usize,
    /// Rows with a price paid.
    pub sold: usize,
    /// Share of the ask that comes off.
    pub comes_off: f64,
    /// Whether the data told that, having both, or the table did.
    pub estimated: bool,
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
        let traits: Vec<_> = used
            .iter()
            .map(|c| Traits::of_comparable(c, &options))
            .collect();
        let layout = Layout::of_cars(&traits, options.pooling);
        let unit = match options.scale {
            Scale::Log => 1.0,
            Scale::Plain => unit_of(&used),
        };
        let rows: Vec<FittedRow> = used
            .iter()
            .zip(&traits)
            .map(|(car, traits)| {
                let terms = layout.terms(traits, curves);
                let response = response(sold_for(car, &options), &terms, &options, unit);
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
        let fitted = Fit::new(&layout, rows, &options, Priors::usual()).run();
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
            asked: used.iter().filter(|c| c.basis == PriceBasis::Asked).count(),
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

    /// How asked prices of the data were brought to sold ones; `None` where none
    /// is asked.
    pub fn asked(&self) -> Option<AskedPrices> {
        let (asked, sold) = (self.asked, self.used() - self.asked);
        if asked == 0 || self.options.pooling == Pooling::None {
            return None;
        }
        // On the plain scale the effect is a share of the unit and not of each
        // price; there the table's figure is what can be told.
        let column = self
            .layout
            .asked()
            .filter(|_| self.options.scale == Scale::Log);
        let effect = column.map(|at| self.solution.global[at]);
        let kept = (1.0 - self.options.asked_give) * (-effect.unwrap_or(0.0)).exp();
        Some(AskedPrices {
            asked,
            sold,
            comes_off: 1.0 - kept,
            estimated: effect.is_some(),
        })
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
            intercept: self.unit * (b[0] - b[1] * AGE_ORIGIN / 10.0),
            per_year: self.unit * b[1] / 10.0,
            per_mile: self.unit * b[2] / 10_000.0,
            r_squared: 1.0 - left / all,
            deviation: self.unit * self.residual.deviation,
        })
    }
}

/// What a car sold for, or should have by what usually comes off its ask. The
/// plain regression takes prices as they stand.
fn sold_for(car: &Comparable, options: &Options) -> f64 {
    let price = car.price.to_f64();
    match (car.basis, options.pooling) {
        (PriceBasis::Asked, Pooling::Partial) => price * (1.0 - options.asked_give.clamp(0.0, 0.9)),
        _ => price,
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
