//! The worth of one car from a fitted model.

use super::effects::CALIBRATION_WEIGHT;
use super::estimate::{Subject, Worth, WorthBasis};
use super::fit::{DISTANCE_SLOPE, FittedRow, Residual};
use super::layout::{Terms, Traits};
use super::model::{AskedPrices, Origin, PriceModel};
use super::options::{ABSURD_MILES, OLDEST_AGE, Pooling, Scale};
use super::scrap::Scrap;
use super::solve::Solution;
use crate::lexicon::titles::Titles;
use crate::units::{Money, ThreePoint};

/// The price of a car once right with clean papers, before floor and papers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prediction {
    /// One in ten sells for less.
    pub low: f64,
    /// Half sell for less.
    pub median: f64,
    /// One in ten sells for more.
    pub high: f64,
}

/// A price as it is told: in whole units, never below the floor.
fn told(price: f64, floor: Money) -> Money {
    Money::from_f64(price).unwrap_or(floor).rounded().max(floor)
}

/// Largest price that is ever predicted.
const MOST: f64 = 100_000_000.0;

impl PriceModel {
    /// What the car is worth once right, and its floor. `own` is the position,
    /// in the comparables given to the fit, of the same car: its own price is
    /// then left out, so that a bargain does not vouch for itself.
    ///
    /// `None` where the model year is unknown: nothing useful could be said.
    pub fn estimate(
        &self,
        subject: &Subject,
        titles: &Titles,
        scrap: &Scrap,
        own: Option<usize>,
    ) -> Option<Worth> {
        let traits = Traits::of_subject(subject, &self.options)?;
        let terms = self.layout.terms(&traits, &self.curves);
        let price = self.predict_terms(&terms, self.own_row(own));
        let factor = titles.factor(subject.title);
        let floor = scrap.floor();
        let money = |price: f64| told(price * factor, floor);
        Some(Worth {
            right: ThreePoint {
                low: money(price.low),
                likely: money(price.median),
                high: money(price.high),
            },
            title_factor: factor,
            floor,
            floor_why: scrap.why(),
            way_out: scrap.floor(),
            way_out_why: scrap.why(),
            basis: self.basis(subject, self.own_row(own).is_some()),
            supposed: self.supposed(subject, &terms),
        })
    }

    /// The most that [`PriceModel::estimate`] can give for the middle of the
    /// worth of such a car, whatever its condition: `scrap` is the complete
    /// car's.
    pub fn at_most(
        &self,
        subject: &Subject,
        titles: &Titles,
        scrap: &Scrap,
        own: Option<usize>,
    ) -> Option<Money> {
        let price = self.predict(subject, own)?.median * titles.factor(subject.title);
        Some(told(price, scrap.floor()))
    }

    /// The price of a car with clean papers; `own` as in
    /// [`PriceModel::estimate`]. `None` where the model year is unknown.
    ///
    /// The predicted price is Student's t around the median on the model's
    /// scale; its variance adds what lies between like cars, what the effects
    /// are in doubt by, and the whole spread of groups that the data do not
    /// know.
    pub fn predict(&self, subject: &Subject, own: Option<usize>) -> Option<Prediction> {
        let traits = Traits::of_subject(subject, &self.options)?;
        let terms = self.layout.terms(&traits, &self.curves);
        Some(self.predict_terms(&terms, self.own_row(own)))
    }

    fn own_row(&self, own: Option<usize>) -> Option<usize> {
        own.and_then(|i| self.of_given.get(i).copied().flatten())
    }

    fn predict_terms(&self, terms: &Terms, own: Option<usize>) -> Prediction {
        let (mean, doubt) = self.effects(terms, own);
        let unseen: f64 = terms
            .unseen
            .iter()
            .map(|(effect, square)| self.variances[effect.index()] * square)
            .sum();
        let distance = (DISTANCE_SLOPE * terms.beyond_deviation).powi(2);
        let known = self.residual.at(terms.age).powi(2) + doubt;
        let variance = self.calibration * known + unseen + distance;
        let reach = t_90(self.freedom) * variance.max(0.0).sqrt();
        let price = |deviate: f64| self.price(terms, mean + deviate);
        Prediction {
            low: price(-reach),
            median: price(0.0),
            high: price(reach),
        }
    }

    /// What the effects add up to for a car, and the variance of it, with one
    /// row taken back out of the data: the exact update of least squares when a
    /// row's weight falls to nothing, weights and variances of the others held
    /// (Cook and Weisberg 1982, section 2.2).
    fn effects(&self, terms: &Terms, own: Option<usize>) -> (f64, f64) {
        let mean = self.solution.mean(terms);
        let variance = self.solution.variance(terms);
        let Some(row) = own.map(|i| &self.rows[i]) else {
            return (mean, variance);
        };
        let shared = self.solution.covariance(terms, &row.terms);
        let leverage = row.weight * self.solution.variance(&row.terms);
        let rest = (1.0 - leverage).max(1e-9);
        let residual = row.response - self.solution.mean(&row.terms);
        (
            mean - shared * row.weight * residual / rest,
            variance + shared * shared * row.weight / rest,
        )
    }

    fn price(&self, terms: &Terms, effects: f64) -> f64 {
        let base = match self.options.pooling {
            Pooling::Partial => terms.curve,
            Pooling::None => 0.0,
        };
        let price = match (self.options.scale, self.options.pooling) {
            (Scale::Log, Pooling::Partial) => base * effects.exp(),
            (Scale::Log, Pooling::None) => effects.exp(),
            (Scale::Plain, _) => base + effects * self.unit,
        };
        price.clamp(0.0, MOST)
    }

    fn basis(&self, subject: &Subject, without_own: bool) -> WorthBasis {
        let less = usize::from(without_own);
        let all = self.used().saturating_sub(less);
        let (make, model) = self.like(subject.make.as_deref(), subject.model.as_deref());
        let (make, model) = (make.saturating_sub(less), model.saturating_sub(less));
        match self.origin {
            _ if all == 0 => WorthBasis::Curve,
            Origin::File => WorthBasis::Comparables { all, make, model },
            Origin::Batch => WorthBasis::Batch { all, make, model },
        }
    }

    fn supposed(&self, subject: &Subject, terms: &Terms) -> Vec<String> {
        let mut supposed: Vec<String> = self.asked().iter().map(asked_words).collect();
        let (curve, _) = self.curves.of_class(subject.class.as_deref());
        let usual = curve.usual_miles;
        match subject.miles {
            None => supposed.push(format!("distance not given: {usual} miles a year supposed")),
            Some(miles) if miles.0 > ABSURD_MILES => supposed.push(format!(
                "{miles} miles cannot be right: {usual} miles a year supposed"
            )),
            Some(_) => {}
        }
        if !terms.curve_is_own {
            supposed.push(match &subject.class {
                None => "class of the car not known: the curve of all cars taken".to_owned(),
                Some(class) => {
                    format!("class '{class}' has no row in worth.csv: the curve of all cars taken")
                }
            });
        }
        if terms.age >= OLDEST_AGE {
            supposed.push(format!(
                "{OLDEST_AGE} years or older: valued as {OLDEST_AGE} years old; \
                 rarity may make it worth more"
            ));
        }
        supposed
    }
}

/// `96 of the comparables are asked prices, taken 6.2 % lower, as the 40 sold
/// ones tell`.
fn asked_words(prices: &AskedPrices) -> String {
    let AskedPrices { asked, sold, .. } = prices;
    let percent = prices.comes_off * 100.0;
    let moved = if percent >= 0.0 { "lower" } else { "higher" };
    let as_told = if prices.estimated {
        format!("as the {sold} sold ones tell")
    } else {
        "as is usual (give.csv)".to_owned()
    };
    format!(
        "{asked} of the comparables are asked prices, taken {:.1} % {moved}, {as_told}",
        percent.abs()
    )
}

/// By what the variance of predictions has to be multiplied so that four in
/// five cars of the data fall inside their range when they are left out: the
/// jackknife's way to a range (Barber, Candès, Ramdas and Tibshirani 2021,
/// Annals of Statistics 49(1)), drawn towards 1 where rows are few.
pub(super) fn calibration(
    rows: &[FittedRow],
    solution: &Solution,
    residual: Residual,
    freedom: f64,
) -> f64 {
    let mut standard: Vec<f64> = rows
        .iter()
        .map(|row| {
            let doubt = solution.variance(&row.terms);
            let rest = (1.0 - row.weight * doubt).max(1e-9);
            let left_out = (row.response - solution.mean(&row.terms)) / rest;
            let own = residual.at(row.terms.age).powi(2);
            let distance = (DISTANCE_SLOPE * row.terms.beyond_deviation).powi(2);
            left_out * left_out / (own + distance + doubt / rest)
        })
        .collect();
    standard.sort_by(f64::total_cmp);
    let n = standard.len() as f64;
    // The usual correction for a quantile of left-out values: one row more.
    let place = (0.8 * (n + 1.0)).ceil() as usize;
    let seen = match standard.get(place.saturating_sub(1)) {
        Some(square) if place >= 1 => square / t_90(freedom).powi(2),
        _ => 1.0,
    };
    let weight = CALIBRATION_WEIGHT;
    ((weight + n * seen) / (weight + n)).clamp(0.25, 4.0)
}

/// The 90 % point of Student's t (Abramowitz and Stegun 1964, 26.7.5); good to
/// a thousandth from 3 degrees of freedom, the fewest that are used.
fn t_90(freedom: f64) -> f64 {
    const Z: f64 = 1.281_551_565_544_600_4;
    let n = freedom.max(3.0);
    let z3 = Z * Z * Z;
    let z5 = z3 * Z * Z;
    let z7 = z5 * Z * Z;
    Z + (z3 + Z) / (4.0 * n)
        + (5.0 * z5 + 16.0 * z3 + 3.0 * Z) / (96.0 * n * n)
        + (3.0 * z7 + 19.0 * z5 + 17.0 * z3 - 15.0 * Z) / (384.0 * n * n * n)
}

#[cfg(test)]
mod tests {
    use super::t_90;

    #[test]
    fn t_quantile_agrees_with_the_printed_table() {
        // Abramowitz and Stegun 1964, table 26.10, A = 0.80 (two-sided).
        for (freedom, printed) in [(3.0, 1.638), (4.0, 1.533), (10.0, 1.372), (120.0, 1.289)] {
            assert!((t_90(freedom) - printed).abs() < 0.0025, "{freedom}");
        }
    }
}
