//! The ids of a run: the export's own, or made from the content.

use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::hash::{BuildHasher, Hasher, RandomState};

use super::listing::{Listing, ListingId};
use super::seen::Seen;

/// An id in the export longer than this is none; one is made.
const LONGEST_ID: usize = 64;

/// The export's id of a row, if it has one that can serve.
pub(super) fn given_id(cell: &str) -> Option<&str> {
    let id = cell.trim();
    (!id.is_empty() && id.chars().count() <= LONGEST_ID).then_some(id)
}

/// An id made from the content: the same ad has the same in any file, any
/// order and any run.
///
/// FNV-1a of 64 bits over the fields, each with a byte before that says
/// whether it is there and a byte after that ends it; folded to 50 bits by
/// exclusive or; ten letters of RFC 4648 base32 in lower case. FNV and its
/// folding: Fowler, Noll, Vo and Eastlake (IETF, draft-eastlake-fnv).
pub(super) fn made_id(listing: &Listing) -> ListingId {
    const LETTERS: &[u8; 32] = b"abcdefghijklmnopqrstuvwxyz234567";
    const BITS: u32 = 50;
    let mut hash = Fnv::default();
    for_content(listing, |bytes| hash.write(bytes));
    let mut folded = (hash.0 >> BITS) ^ (hash.0 & ((1 << BITS) - 1));
    let mut id = String::with_capacity(10);
    for _ in 0..BITS / 5 {
        id.push(char::from(LETTERS[(folded & 31) as usize]));
        folded >>= 5;
    }
    ListingId(id)
}

struct Fnv(u64);

impl Default for Fnv {
    fn default() -> Self {
        Fnv(0xcbf2_9ce4_8422_2325)
    }
}

impl Fnv {
    fn write(&mut self, bytes: &[u8]) {
        for b in bytes {
            self.0 = (self.0 ^ u64::from(*b)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
}

/// Calls `take` with all that makes an ad what it is, its id put aside.
fn for_content(listing: &Listing, mut take: impl FnMut(&[u8])) {
    let mut field = |text: Option<&str>| {
        take(&[u8::from(text.is_some())]);
        take(text.unwrap_or_default().as_bytes());
        take(&[0xFF]);
    };
    field(Some(listing.headline()));
    field(Some(listing.body()));
    for text in [
        &listing.price,
        &listing.distance,
        &listing.year,
        &listing.make,
        &listing.model,
        &listing.place,
        &listing.date,
        &listing.link,
    ] {
        field(text.as_deref());
    }
    take(&[listing.distance_unit.map_or(0, |u| u as u8 + 1)]);
    take(&[listing.currency.map_or(0, |c| c as u8 + 1)]);
}

/// The ids given out so far: about 15 bytes for an ad.
#[derive(Default)]
pub(super) struct Ids {
    /// By the hash of the id. The keys of the hash are drawn for each run, so
    /// that no ad can be written to pass for another.
    seen: Seen,
    /// Of the ids, by the same hash, that have more than one content.
    others: HashMap<u64, Others>,
    state: RandomState,
    /// How many listings there are so far.
    count: u32,
}

#[derive(Default)]
struct Others {
    /// By the hash of the content, which listing it is.
    contents: HashMap<u64, u32>,
    last: u32,
}

/// What became of an id.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Settled {
    /// No other ad has it.
    New,
    /// Another ad has it: this is the one to use.
    Shared {
        /// The id with a number.
        id: ListingId,
        /// The listing that had the id first.
        first: usize,
    },
    /// The same ad has been read before: this listing.
    Repeated(usize),
}

impl Ids {
    /// Enters a listing under its id.
    pub fn settle(&mut self, listing: &Listing) -> Settled {
        let content = self.content(listing);
        let id = &listing.id.0;
        let key = self.state.hash_one(id);
        let this = self.count;
        let Some(held) = self.seen.get(key) else {
            self.enter(key, content);
            return Settled::New;
        };
        let first = held.listing();
        if held.held(content) {
            return Settled::Repeated(first);
        }
        let others = self.others.entry(key).or_default();
        match others.contents.entry(content) {
            Entry::Occupied(held) => return Settled::Repeated(*held.get() as usize),
            Entry::Vacant(free) => free.insert(this),
        };
        let mut number = others.last.max(1);
        let (new_id, new_key) = loop {
            number += 1;
            let new_id = format!("{id}-{number}");
            let new_key = self.state.hash_one(&new_id);
            if self.seen.get(new_key).is_none() {
                break (new_id, new_key);
            }
        };
        others.last = number;
        self.enter(new_key, content);
        Settled::Shared {
            id: ListingId(new_id),
            first,
        }
    }

    /// How many listings have been entered.
    pub fn count(&self) -> usize {
        self.count as usize
    }

    fn enter(&mut self, key: u64, content: u64) {
        self.seen.enter(key, content, self.count);
        self.count = self.count.saturating_add(1);
    }

    fn content(&self, listing: &Listing) -> u64 {
        let mut hasher = self.state.build_hasher();
        for_content(listing, |bytes| hasher.write(bytes));
        hasher.finish()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;
    use crate::intake::Origin;
    use crate::units::Currency;

    fn listing(id: &str, body: &str) -> Listing {
        let origin = Origin {
            file: "a.csv".into(),
            line: 2,
        };
        Listing::new(ListingId(id.to_owned()), origin, "2004 Saab 9-3", body)
    }

    #[test]
    fn fnv_is_fnv() {
        // Vectors of the FNV reference code: "" and "a", 64 bits, 1a.
        let mut hash = Fnv::default();
        hash.write(b"");
        assert_eq!(hash.0, 0xcbf2_9ce4_8422_2325);
        hash.write(b"a");
        assert_eq!(hash.0, 0xaf63_dc4c_8601_ec8c);
    }

    #[test]
    fn the_content_alone_makes_the_id() {
        let mut moved = listing("other", "runs");
        moved.origin.line = 99;
        assert_eq!(made_id(&listing("", "runs")), made_id(&moved));
        assert_eq!(made_id(&moved).0.len(), 10);
    }

    #[test]
    fn every_field_counts() {
        let plain = made_id(&listing("", "runs"));
        let mut price = listing("", "runs");
        price.price = Some("500".to_owned());
        let mut year = listing("", "runs");
        year.year = Some("500".to_owned());
        let mut currency = listing("", "runs");
        currency.currency = Some(Currency::Usd);
        let ids = HashSet::from([plain, made_id(&price), made_id(&year), made_id(&currency)]);
        assert_eq!(ids.len(), 4);
    }

    #[test]
    fn a_shared_id_gets_a_number_that_nobody_has() {
        let mut ids = Ids::default();
        assert_eq!(ids.settle(&listing("7-2", "x")), Settled::New);
        assert_eq!(ids.settle(&listing("7", "a")), Settled::New);
        let shared = |n: &str| Settled::Shared {
            id: ListingId(n.to_owned()),
            first: 1,
        };
        assert_eq!(ids.settle(&listing("7", "b")), shared("7-3"));
        assert_eq!(ids.settle(&listing("7", "c")), shared("7-4"));
        assert_eq!(ids.settle(&listing("7", "a")), Settled::Repeated(1));
        assert_eq!(ids.settle(&listing("7", "b")), Settled::Repeated(2));
        assert_eq!(ids.count(), 4);
    }

    #[test]
    fn an_endless_id_is_none() {
        assert_eq!(given_id(" 12 "), Some("12"));
        assert_eq!(given_id("  "), None);
        assert_eq!(given_id(&"x".repeat(65)), None);
    }
}
