//! What it is worth to know something before deciding.
//!
//! A decision between taking something whose value depends on a fault, and
//! leaving it for nothing. With the chance `p` of the fault, the value `b`
//! with it and `g` without, deciding now is worth `max(p b + (1 - p) g, 0)`.
//! Knowing first is worth `p max(b, 0) + (1 - p) max(g, 0)`; the difference is
//! the expected value of perfect information. A test that shows the fault with
//! the hit rate `h` and shows one that is not there with the false-alarm rate
//! `f` gives two outcomes, each with its own chance by Bayes' rule, after
//! which one decides (Raiffa and Schlaifer 1961, *Applied Statistical Decision
//! Theory*, chapter 4; Raiffa 1968, *Decision Analysis*, chapters 2 and 7).

/// A decision that hangs on one fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bet {
    /// The chance of the fault.
    pub chance: f64,
    /// What taking it is worth without the fault.
    pub good: f64,
    /// What it is worth with the fault.
    pub bad: f64,
}

impl Bet {
    /// What deciding now is worth.
    pub fn now(&self) -> f64 {
        (self.chance * self.bad + (1.0 - self.chance) * self.good).max(0.0)
    }

    /// The expected gain from knowing first.
    pub fn perfect(&self) -> f64 {
        self.test(1.0, 0.0)
    }

    /// The expected gain from a test with these rates.
    pub fn test(&self, hit: f64, false_alarm: f64) -> f64 {
        let outcome = |with: f64, without: f64| {
            // Chances are left in, so that no outcome is divided by.
            (self.chance * with * self.bad + (1.0 - self.chance) * without * self.good).max(0.0)
        };
        let shown = outcome(hit, false_alarm);
        let not_shown = outcome(1.0 - hit, 1.0 - false_alarm);
        (shown + not_shown - self.now()).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_wildcatter_of_the_textbook() {
        // Raiffa 1968, Decision Analysis, the oil wildcatter, with two states
        // as it is usually taught (from memory): drilling costs 70 and finds
        // nothing half of the time, else oil worth 270. Drilling is worth
        // 65; knowing first is worth 100, 35 more. A seismic test that shows
        // no structure in 4 of 5 dry holes and in 1 of 5 wet ones: worth
        // 0.8 x 200 x 0.5 - 0.2 x 70 x 0.5 = 73 if one drills only on a
        // structure, 8 more than drilling.
        let bet = Bet {
            chance: 0.5,
            good: 200.0,
            bad: -70.0,
        };
        assert!((bet.now() - 65.0).abs() < 1e-9);
        assert!((bet.perfect() - 35.0).abs() < 1e-9);
        assert!((bet.test(0.8, 0.2) - 8.0).abs() < 1e-9);
    }

    /// All strategies of deciding by a test, counted out.
    fn by_counting(bet: &Bet, hit: f64, false_alarm: f64) -> f64 {
        let mut best = f64::NEG_INFINITY;
        for on_shown in [true, false] {
            for on_not in [true, false] {
                let mut value = 0.0;
                for (p, payoff, shows) in [
                    (bet.chance, bet.bad, hit),
                    (1.0 - bet.chance, bet.good, false_alarm),
                ] {
                    let takes = f64::from(u8::from(on_shown)) * shows
                        + f64::from(u8::from(on_not)) * (1.0 - shows);
                    value += p * takes * payoff;
                }
                best = best.max(value);
            }
        }
        best - bet.now()
    }

    proptest! {
        #[test]
        fn agrees_with_counting_all_strategies(
            chance in 0.0..1.0_f64,
            good in -500.0..2000.0_f64,
            bad in -2000.0..500.0_f64,
            hit in 0.0..1.0_f64,
            false_alarm in 0.0..1.0_f64,
        ) {
            let bet = Bet { chance, good, bad };
            let counted = by_counting(&bet, hit, false_alarm);
            prop_assert!((bet.test(hit, false_alarm) - counted).abs() < 1e-9);
            // No test is worth more than to know.
            prop_assert!(bet.test(hit, false_alarm) <= bet.perfect() + 1e-9);
        }
    }
}
