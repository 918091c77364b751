//! From amounts to places on a drawing, and the round figures beside it.

/// A straight scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    /// The amounts at its ends.
    pub amounts: (f64, f64),
    /// Where the ends are drawn.
    pub places: (f64, f64),
}

impl Scale {
    /// A scale whose ends differ: where they do not, one is moved.
    pub fn new(amounts: (f64, f64), places: (f64, f64)) -> Self {
        let (low, high) = amounts;
        let high = if high > low { high } else { low + 1.0 };
        Scale {
            amounts: (low, high),
            places,
        }
    }

    /// Where an amount is drawn; beyond the ends, at the nearer one.
    pub fn at(&self, amount: f64) -> f64 {
        let (low, high) = self.amounts;
        let share = ((amount - low) / (high - low)).clamp(0.0, 1.0);
        self.places.0 + share * (self.places.1 - self.places.0)
    }

    /// Round amounts within the scale, no more than `most`.
    pub fn ticks(&self, most: usize) -> Vec<f64> {
        let (low, high) = self.amounts;
        let step = round_step((high - low) / most.max(1) as f64);
        let first = (low / step).ceil();
        let last = (high / step).floor();
        let count = (last - first).max(0.0) as usize + 1;
        let all = (0..count.min(most + 1)).map(|i| (first + i as f64) * step);
        all.filter(|v| *v <= high).collect()
    }
}

/// The least of 1, 2, 5, 10, 20 and so on that is not below the amount.
pub(super) fn round_step(amount: f64) -> f64 {
    if amount.is_nan() || amount <= 1.0 {
        return 1.0;
    }
    let power = 10_f64.powf(amount.log10().floor());
    let of_power = [1.0, 2.0, 5.0, 10.0];
    let step = of_power.iter().map(|m| m * power);
    step.into_iter()
        .find(|s| *s >= amount * (1.0 - 1e-9))
        .unwrap_or(power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_within() {
        let scale = Scale::new((-700.0, 4_300.0), (0.0, 100.0));
        assert_eq!(scale.ticks(6), [0.0, 1_000.0, 2_000.0, 3_000.0, 4_000.0]);
        assert_eq!(Scale::new((0.0, 90.0), (0.0, 1.0)).ticks(3), [0.0, 50.0]);
        assert_eq!(Scale::new((5.0, 5.0), (0.0, 1.0)).ticks(4), [5.0, 6.0]);
    }

    #[test]
    fn amounts_beyond_the_ends_stay_on_the_drawing() {
        let scale = Scale::new((0.0, 10.0), (20.0, 40.0));
        let at = [-5.0, 0.0, 5.0, 99.0].map(|v| scale.at(v));
        assert_eq!(at, [20.0, 20.0, 30.0, 40.0]);
    }

    #[test]
    fn steps_are_one_two_five() {
        let steps = [0.3, 1.0, 1.1, 30.0, 200.0, 501.0, f64::NAN].map(round_step);
        assert_eq!(steps, [1.0, 1.0, 2.0, 50.0, 200.0, 1_000.0, 1.0]);
    }
}
