//! The first row of each id, held small: some 20 bytes a row at any size.
//!
//! Open addressing with linear probing (Knuth, TAOCP 3, 6.4), in many small
//! tables that grow one at a time and by little, so that neither the free
//! places nor the old copy beside the new one ever weigh much.

/// Where a first row stands and what it held.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct First {
    key: [u32; 2],
    /// The hash of the row's content, shortened: that two different rows of
    /// one id seem the same happens once in 2^32 times.
    pub content: u32,
    /// Which row it is, from 1; 0 in a free place.
    number: u32,
}

impl First {
    /// Which row it is, from 0.
    pub fn listing(&self) -> usize {
        self.number.saturating_sub(1) as usize
    }
}

/// First rows by the hash of their id.
#[derive(Debug)]
pub(super) struct Seen {
    tables: Vec<Table>,
}

/// How many tables there are: one for each value of the hash's first byte.
const TABLES: usize = 256;

impl Default for Seen {
    fn default() -> Self {
        Seen {
            tables: vec![Table::default(); TABLES],
        }
    }
}

impl Seen {
    /// The first row with this hash of its id.
    pub fn get(&self, key: u64) -> Option<First> {
        self.tables[(key >> 56) as usize].get(halves(key))
    }

    /// Enters a row whose id is new; `listing` counts from 0.
    pub fn enter(&mut self, key: u64, content: u32, listing: u32) {
        self.tables[(key >> 56) as usize].enter(First {
            key: halves(key),
            content,
            number: listing.saturating_add(1),
        });
    }
}

fn halves(key: u64) -> [u32; 2] {
    [(key >> 32) as u32, key as u32]
}

#[derive(Debug, Clone, Default)]
struct Table {
    places: Vec<First>,
    held: usize,
}

impl Table {
    /// The place of a key, or the free one where it belongs. Some place is
    /// always free.
    fn place(&self, key: [u32; 2]) -> usize {
        let count = self.places.len();
        let mut at = ((u64::from(key[1]) * count as u64) >> 32) as usize;
        while self.places[at].number != 0 && self.places[at].key != key {
            at = if at + 1 == count { 0 } else { at + 1 };
        }
        at
    }

    fn get(&self, key: [u32; 2]) -> Option<First> {
        if self.places.is_empty() {
            return None;
        }
        Some(self.places[self.place(key)]).filter(|first| first.number != 0)
    }

    fn enter(&mut self, first: First) {
        // At seven eighths a search still looks at a few cache lines only.
        if self.held * 8 >= self.places.len() * 7 {
            let more = (self.places.len() / 8).max(8);
            let free = vec![First::default(); self.places.len() + more];
            let old = std::mem::replace(&mut self.places, free);
            for first in old.into_iter().filter(|first| first.number != 0) {
                let at = self.place(first.key);
                self.places[at] = first;
            }
        }
        let at = self.place(first.key);
        self.held += usize::from(self.places[at].number == 0);
        self.places[at] = first;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_found_again_and_no_other() {
        let mut seen = Seen::default();
        // The golden ratio's multiples spread over all 64 bits.
        let key = |n: u64| n.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        for n in 0..20_000 {
            assert_eq!(seen.get(key(n)), None);
            seen.enter(key(n), n as u32 ^ 7, n as u32);
        }
        for n in 0..20_000 {
            let first = seen.get(key(n)).unwrap();
            assert_eq!((first.listing(), first.content), (n as usize, n as u32 ^ 7));
        }
        assert_eq!(seen.get(key(20_001)), None);
        let bytes: usize = seen.tables.iter().map(|t| t.places.len()).sum::<usize>()
            * std::mem::size_of::<First>();
        assert!(bytes < 23 * 20_000, "{bytes}");
    }

    #[test]
    fn keys_that_fall_on_one_place_are_told_apart() {
        let mut seen = Seen::default();
        for n in 0..40_u64 {
            seen.enter((n << 32) | 5, 0, n as u32);
        }
        for n in 0..40_u64 {
            assert_eq!(seen.get((n << 32) | 5).unwrap().listing(), n as usize);
        }
        assert_eq!(seen.get((40 << 32) | 5), None);
    }
}
