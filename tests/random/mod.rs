//! Numbers that look random and are the same for the same seed.
#![allow(dead_code)] // Each user takes its part.

/// Numbers that look random and are the same for the same seed: SplitMix64
/// (Steele, Lea, Flood 2014, OOPSLA, 453-472).
pub struct Random(pub u64);

impl Random {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.next()) * n as u128) >> 64) as usize
    }

    /// From 0, the small ones as much more often as Zipf's law has it (the
    /// continuous one with exponent 1: n to the power of a uniform number).
    pub fn zipf(&mut self, n: usize) -> usize {
        let uniform = self.next() as f64 / 2_f64.powi(64);
        ((n as f64 + 1.0).powf(uniform) as usize - 1).min(n - 1)
    }
}
