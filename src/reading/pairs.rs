//! Pairs of numbers of which nearly all that are not there are told apart by
//! one look at a bit.

/// Bits for pairs: eight or more for each that is there, with one set.
#[derive(Debug)]
pub(super) struct Pairs {
    bits: Vec<u64>,
    shift: u32,
}

impl Pairs {
    /// For so many pairs, of which there is none yet.
    pub fn room_for(count: usize) -> Self {
        let size = (8 * count).next_power_of_two().max(64);
        Pairs {
            bits: vec![0; size / 64],
            shift: 64 - size.ilog2(),
        }
    }

    /// The place of the bit, by a multiplication with the golden ratio's
    /// digits (Knuth, TAOCP 3, 6.4).
    fn bit(&self, a: u32, b: u32) -> (usize, u64) {
        let both = u64::from(a) << 32 | u64::from(b);
        let place = both.wrapping_mul(0x9e37_79b9_7f4a_7c15) >> self.shift;
        ((place / 64) as usize, 1 << (place % 64))
    }

    /// Adds a pair.
    pub fn set(&mut self, a: u32, b: u32) {
        let (block, bit) = self.bit(a, b);
        self.bits[block] |= bit;
    }

    /// Whether a pair may be there; surely so if it is.
    pub fn may(&self, a: u32, b: u32) -> bool {
        let (block, bit) = self.bit(a, b);
        self.bits[block] & bit != 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_there_is_never_missed_and_most_else_is() {
        let mut pairs = Pairs::room_for(1000);
        (0..1000).for_each(|n| pairs.set(n % 37, n));
        assert!((0..1000).all(|n| pairs.may(n % 37, n)));
        let wrong = (0..10_000).filter(|n| pairs.may(40 + n % 37, *n)).count();
        assert!(wrong < 2_000, "{wrong}");
    }
}
