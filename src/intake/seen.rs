//! The first row of each id, held small: some 15 bytes a row at any size.
//!
//! Open addressing with linear probing (Knuth, TAOCP 3, 6.4), in many small
//! tables that grow one at a time and by little, so that neither the free
//! places nor the old copy beside the new one ever weigh much.

/// Where a first row stands and what it held, in twelve bytes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct First {
    /// What the table does not tell of the hash of the id: 40 bits. Of a
    /// million ids, two are taken for one once in some thousand runs.
    key: Key,
    /// Which row it is, from 1; 0 in a free place.
    number: u32,
}

/// 32 bits of a key, and in the upper byte of the other word 8 more; the rest
/// of that word is the content's.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Key {
    low: u32,
    high_and_content: u32,
}

impl Key {
    const CONTENT: u32 = (1 << 24) - 1;

    fn of(hash: u64) -> Self {
        Key {
            low: hash as u32,
            high_and_content: ((hash >> 32) as u32) << 24,
        }
    }

    fn is(self, other: Key) -> bool {
        let high = |key: Key| key.high_and_content & !Key::CONTENT;
        self.low == other.low && high(self) == high(other)
    }
}

impl First {
    /// Which row it is, from 0.
    pub fn listing(&self) -> usize {
        self.number.saturating_sub(1) as usize
    }

    /// Whether its content had this hash; 24 bits are compared: that two
    /// different rows of one id seem the same happens once in 2^24 times.
    pub fn held(&self, content: u64) -> bool {
        (self.key.high_and_content ^ content as u32) & Key::CONTENT == 0
    }
}

/// First rows by the hash of their id.
#[derive(Debug)]
pub(super) struct Seen {
    tables: Vec<Table>,
}

/// The hash's first twelve bits tell the table.
const TABLE_BITS: u32 = 12;

impl Default for Seen {
    fn default() -> Self {
        Seen {
            tables: vec![Table::default(); 1 << TABLE_BITS],
        }
    }
}

fn table_of(key: u64) -> usize {
    (key >> (64 - TABLE_BITS)) as usize
}

impl Seen {
    /// The first row with this hash of its id.
    pub fn get(&self, key: u64) -> Option<First> {
        self.tables[table_of(key)].get(Key::of(key))
    }

    /// Enters a row whose id is new; `listing` counts from 0.
    pub fn enter(&mut self, key: u64, content: u64, listing: u32) {
        let mut held = Key::of(key);
        held.high_and_content |= content as u32 & Key::CONTENT;
        self.tables[table_of(key)].enter(First {
            key: held,
            number: listing.saturating_add(1),
        });
    }
}

#[derive(Debug, Clone, Default)]
struct Table {
    places: Vec<First>,
    held: usize,
}

impl Table {
    /// The place of a key, or the free one where it belongs. Some place is
    /// always free.
    fn place(&self, key: Key) -> usize {
        let count = self.places.len();
        let mut at = ((u64::from(key.low) * count as u64) >> 32) as usize;
        while self.places[at].number != 0 && !self.places[at].key.is(key) {
            at = if at + 1 == count { 0 } else { at + 1 };
        }
        at
    }

    fn get(&self, key: Key) -> Option<First> {
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
        for n in 0..400_000 {
            assert_eq!(seen.get(key(n)), None);
            seen.enter(key(n), n ^ 7, n as u32);
        }
        for n in 0..400_000 {
            let first = seen.get(key(n)).unwrap();
            assert_eq!(first.listing(), n as usize);
            assert!(first.held(n ^ 7) && !first.held(n ^ 6));
        }
        assert_eq!(seen.get(key(400_001)), None);
        let bytes: usize = seen.tables.iter().map(|t| t.places.len()).sum::<usize>()
            * std::mem::size_of::<First>();
        assert!(bytes < 16 * 400_000, "{bytes}");
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
