//! The normal distribution, and mixtures of it.

use std::sync::LazyLock;

/// The 90 % point of the standard normal distribution.
pub const Z90: f64 = 1.281_551_565_544_6;

/// Steps of the table for one deviation.
const STEPS: f64 = 128.0;
/// Beyond so many deviations nothing lies.
const END: f64 = 8.0;

/// The distribution at the steps: looked up a million times a second.
static TABLE: LazyLock<Vec<f64>> = LazyLock::new(|| {
    let count = (2.0 * END * STEPS) as i64 + 2;
    (0..count)
        .map(|i| exact_below(i as f64 / STEPS - END))
        .collect()
});

/// The standard normal distribution function.
pub fn exact_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// The same out of a table, between its steps on a straight line: off by no
/// more than a hundred-thousandth.
pub fn below(z: f64) -> f64 {
    let at = (z.clamp(-END, END) + END) * STEPS;
    let place = at as usize;
    let (low, high) = (TABLE[place], TABLE[place + 1]);
    low + (high - low) * (at - place as f64)
}

/// One part of a mixture: a normal variable with its chance. Without a
/// deviation it is its mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Its chance.
    pub chance: f64,
    /// Its mean.
    pub mean: f64,
    /// Its standard deviation.
    pub deviation: f64,
}

impl Part {
    /// The chance of no more than `x`, given this part.
    fn at_most(&self, x: f64) -> f64 {
        if self.deviation > 0.0 {
            below((x - self.mean) / self.deviation)
        } else if self.mean <= x {
            1.0
        } else {
            0.0
        }
    }
}

/// The chance that a mixture is no more than `x`.
pub fn at_most(parts: &[Part], x: f64) -> f64 {
    parts.iter().map(|p| p.chance * p.at_most(x)).sum()
}

/// The value that `p` of a mixture is below; 0 of no parts. `p` between 0
/// and 1, both left out.
pub fn mixture_quantile(parts: &[Part], p: f64) -> f64 {
    let ends = |part: &Part| {
        let reach = END * part.deviation;
        (part.mean - reach, part.mean + reach)
    };
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for (from, to) in parts.iter().map(ends) {
        low = low.min(from);
        high = high.max(to);
    }
    if low >= high {
        return if low.is_finite() { low } else { 0.0 };
    }
    while high - low > 0.005_f64.max(1e-12 * high.abs()) {
        let middle = 0.5 * (low + high);
        if at_most(parts, middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Its inverse, by bisection; the ends of the table for 0 and 1.
    fn quantile(p: f64) -> f64 {
        let (mut low, mut high) = (-END, END);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if exact_below(middle) < p {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    #[test]
    fn normal_points_agree_with_published_tables() {
        // NIST Engineering Statistics Handbook 1.3.6.7.1: F(1.28) = 0.89973.
        assert!((exact_below(1.28) - 0.899_73).abs() < 5e-6);
        assert!((quantile(0.9) - Z90).abs() < 1e-9);
        assert!((quantile(0.2) + 0.841_621).abs() < 1e-6);
    }

    #[test]
    fn the_table_is_near_enough() {
        for i in -900..900 {
            let z = f64::from(i) / 100.0;
            assert!((below(z) - exact_below(z)).abs() < 1e-5, "{z}");
        }
    }

    #[test]
    fn quantiles_of_a_mixture() {
        let part = |chance, mean, deviation| Part {
            chance,
            mean,
            deviation,
        };
        let one = [part(1.0, 1000.0, 200.0)];
        assert!((mixture_quantile(&one, 0.9) - (1000.0 + 200.0 * Z90)).abs() < 0.1);
        let lump = [part(0.3, 100.0, 0.0), part(0.7, 900.0, 0.0)];
        assert!((mixture_quantile(&lump, 0.2) - 100.0).abs() < 0.01);
        assert!((mixture_quantile(&lump, 0.5) - 900.0).abs() < 0.01);
    }
}
