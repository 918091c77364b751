//! Drawn numbers that are the same at every run.

/// SplitMix64 (Steele, Lea, Flood 2014, OOPSLA): small, seeded, good enough to
/// pick ads and to begin weights.
pub struct SplitMix(pub u64);

impl SplitMix {
    /// 64 bits.
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `n`; the bias of so small an `n` is below one in 10^15.
    pub fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.next()) * n as u128) >> 64) as usize
    }

    /// A number from 0 to below 1.
    pub fn share(&mut self) -> f32 {
        (self.next() >> 40) as f32 / (1u32 << 24) as f32
    }

    /// A number of mean 0 and deviation 1, nearly normal: the sum of twelve shares.
    pub fn normal(&mut self) -> f32 {
        (0..12).map(|_| self.share()).sum::<f32>() - 6.0
    }

    /// Puts what is listed into a drawn order (Fisher, Yates).
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.below(i + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_generator_gives_the_published_sequence() {
        // Reference values of the authors' code for the seed 1234567.
        let mut random = SplitMix(1_234_567);
        assert_eq!(random.next(), 6_457_827_717_110_365_317);
        assert_eq!(random.next(), 3_203_168_211_198_807_973);
    }

    #[test]
    fn normal_numbers_have_the_mean_and_deviation_of_their_name() {
        let mut random = SplitMix(1);
        let drawn: Vec<f32> = (0..10_000).map(|_| random.normal()).collect();
        let mean = drawn.iter().sum::<f32>() / 10_000.0;
        let variance = drawn.iter().map(|d| (d - mean).powi(2)).sum::<f32>() / 10_000.0;
        assert!(
            mean.abs() < 0.04 && (variance - 1.0).abs() < 0.05,
            "{mean} {variance}"
        );
    }
}
