//! The words of the tables as small numbers, so that phrases are compared by
//! number and each word of an ad is looked up once.

use std::ops::Range;

use hashbrown::HashTable;
use serde::{Deserialize, Serialize};

/// A word of the tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct WordId(u32);

impl WordId {
    /// Stands for every word that no table holds.
    pub const UNKNOWN: WordId = WordId(u32::MAX);

    /// Position of a known word, for arrays that run beside the words.
    pub fn index(self) -> usize {
        self.0 as usize
    }

    /// Whether some table holds it.
    pub fn is_known(self) -> bool {
        self != WordId::UNKNOWN
    }
}

/// All words, each once. They lie end to end in one text.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(from = "Listed")]
pub struct Words {
    text: String,
    ends: Vec<u32>,
    #[serde(skip)]
    table: HashTable<Entry>,
}

/// The words as they are kept: the table is made anew.
#[derive(Deserialize)]
struct Listed {
    text: String,
    ends: Vec<u32>,
}

impl From<Listed> for Words {
    fn from(listed: Listed) -> Self {
        let Listed { text, ends } = listed;
        let mut table = HashTable::with_capacity(ends.len());
        let at = |id: u32| &text.as_bytes()[span(&ends, id)];
        for id in 0..ends.len() as u32 {
            let entry = Entry::of(at(id), id);
            let hash_of = |entry: &Entry| hash(entry.head, at(entry.id));
            table.insert_unique(hash_of(&entry), entry, hash_of);
        }
        Words { text, ends, table }
    }
}

/// A word in the table: most are told from all others by it alone.
#[derive(Debug, Clone, Copy)]
struct Entry {
    head: u64,
    length: u32,
    id: u32,
}

impl Entry {
    fn of(word: &[u8], id: u32) -> Self {
        Entry {
            head: head(word),
            length: word.len() as u32,
            id,
        }
    }

    /// Whether it is this word; `at` has the letters of a number.
    fn is<'t>(&self, head: u64, word: &[u8], at: impl Fn(u32) -> &'t [u8]) -> bool {
        let alike = self.head == head && self.length as usize == word.len();
        alike && (word.len() <= 8 || at(self.id) == word)
    }
}

/// What begins a word, the whole of it up to eight letters: words of one
/// length that have the same are the same so far.
fn head(word: &[u8]) -> u64 {
    if let Some(eight) = word.first_chunk::<8>() {
        return u64::from_le_bytes(*eight);
    }
    if let (Some(first), Some(last)) = (word.first_chunk::<4>(), word.last_chunk::<4>()) {
        let [first, last] = [first, last].map(|four| u64::from(u32::from_le_bytes(*four)));
        return last << 32 | first;
    }
    word.iter()
        .fold(0, |head, byte| head << 8 | u64::from(*byte))
}

/// A hash of a word, eight letters at a time: each eight are mixed by a
/// multiplication whose upper and lower half are folded together (the way of
/// wyhash, from memory). Only words of the tables are ever entered, so that no
/// ad can fill the table with words of one hash.
fn hash(head: u64, word: &[u8]) -> u64 {
    const FACTOR: u128 = 0x9e37_79b9_7f4a_7c15;
    let mix = |held: u64, eight: u64| {
        let product = u128::from(held ^ eight) * FACTOR;
        (product >> 64) as u64 ^ product as u64
    };
    let mut held = mix(0xa076_1d64_78bd_642f ^ word.len() as u64, head);
    if let (Some(rest), Some(last)) = (word.get(8..), word.last_chunk::<8>())
        && !rest.is_empty()
    {
        for eight in rest.as_chunks::<8>().0 {
            held = mix(held, u64::from_le_bytes(*eight));
        }
        held = mix(held, u64::from_le_bytes(*last));
    }
    held
}

impl Words {
    /// The number of a word, a new one where it has none.
    pub fn intern(&mut self, word: &str) -> WordId {
        let Words { text, ends, table } = self;
        let bytes = word.as_bytes();
        let head = head(bytes);
        let at = |id: u32| &text.as_bytes()[span(ends, id)];
        let entry = table.entry(
            hash(head, bytes),
            |entry| entry.is(head, bytes, at),
            |entry| hash(entry.head, at(entry.id)),
        );
        match entry {
            hashbrown::hash_table::Entry::Occupied(taken) => WordId(taken.get().id),
            hashbrown::hash_table::Entry::Vacant(free) => {
                let id = ends.len() as u32;
                free.insert(Entry::of(bytes, id));
                text.push_str(word);
                ends.push(text.len() as u32);
                WordId(id)
            }
        }
    }

    /// The number of a word; [`WordId::UNKNOWN`] where it has none.
    pub fn find(&self, word: &str) -> WordId {
        self.find_bytes(word.as_bytes())
    }

    /// The same of its bytes: where each word of a text is looked up, it need
    /// not be cut out letter by letter.
    #[inline]
    pub fn find_bytes(&self, bytes: &[u8]) -> WordId {
        let head = head(bytes);
        let at = |id: u32| &self.text.as_bytes()[span(&self.ends, id)];
        self.table
            .find(hash(head, bytes), |entry| entry.is(head, bytes, at))
            .map_or(WordId::UNKNOWN, |entry| WordId(entry.id))
    }

    /// The word of a number; nothing for the unknown.
    pub fn word(&self, id: WordId) -> &str {
        if id.is_known() {
            &self.text[span(&self.ends, id.0)]
        } else {
            ""
        }
    }

    /// The word at a position; nothing behind the last.
    pub fn at(&self, index: usize) -> &str {
        match index < self.ends.len() {
            true => &self.text[span(&self.ends, index as u32)],
            false => "",
        }
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }
}

/// Where the word of a number stands in the text of all words.
fn span(ends: &[u32], id: u32) -> Range<usize> {
    let id = id as usize;
    let start = if id == 0 { 0 } else { ends[id - 1] };
    start as usize..ends[id] as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_keeps_its_number() {
        let mut words = Words::default();
        let (a, b) = (words.intern("head"), words.intern("gasket"));
        assert_ne!(a, b);
        assert_eq!(words.intern("head"), a);
        assert_eq!(words.find("gasket"), b);
        assert_eq!(words.word(b), "gasket");
        assert_eq!(words.find("piston"), WordId::UNKNOWN);
        assert_eq!(words.word(WordId::UNKNOWN), "");
        assert_eq!(words.len(), 2);
    }

    #[test]
    fn words_that_are_nearly_alike_are_told_apart() {
        // All of up to three letters, and longer ones that differ in a place.
        let letters = ["", "a", "b", "c"];
        let mut all: Vec<String> = Vec::new();
        for (a, b) in letters.iter().flat_map(|a| letters.map(|b| (*a, b))) {
            all.extend(letters.map(|c| format!("{a}{b}{c}")));
        }
        for length in 4..30 {
            let plain = "x".repeat(length);
            for at in 0..length {
                let mut other = plain.clone();
                other.replace_range(at..=at, "y");
                all.push(other);
            }
            all.push(plain);
        }
        all.sort_unstable();
        all.dedup();
        let mut words = Words::default();
        let ids: Vec<_> = all.iter().map(|word| words.intern(word)).collect();
        assert_eq!(words.len(), all.len());
        for (word, id) in all.iter().zip(ids) {
            assert_eq!((words.find(word), words.word(id)), (id, word.as_str()));
        }
    }
}
