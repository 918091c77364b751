//! The words of the tables as small numbers, so that phrases are compared by
//! number and each word of an ad is looked up once.

use std::ops::Range;

use hashbrown::HashTable;

/// A word of the tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
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
#[derive(Debug, Default)]
pub struct Words {
    text: String,
    ends: Vec<u32>,
    table: HashTable<u32>,
}

/// A hash of a word, eight letters at a time: each eight are mixed by a
/// multiplication whose upper and lower half are folded together (the way of
/// wyhash, from memory). Only words of the tables are ever entered, so that no
/// ad can fill the table with words of one hash.
fn hash(word: &str) -> u64 {
    const FACTOR: u128 = 0x9e37_79b9_7f4a_7c15;
    let mix = |held: u64, eight: u64| {
        let product = u128::from(held ^ eight) * FACTOR;
        (product >> 64) as u64 ^ product as u64
    };
    let (eights, rest) = word.as_bytes().as_chunks::<8>();
    let mut held = 0xa076_1d64_78bd_642f ^ word.len() as u64;
    for eight in eights {
        held = mix(held, u64::from_le_bytes(*eight));
    }
    let mut last = 0;
    for byte in rest {
        last = last << 8 | u64::from(*byte);
    }
    mix(held, last)
}

impl Words {
    /// The number of a word, a new one where it has none.
    pub fn intern(&mut self, word: &str) -> WordId {
        let Words { text, ends, table } = self;
        let entry = table.entry(
            hash(word),
            |id| text.as_bytes()[span(ends, *id)] == *word.as_bytes(),
            |id| hash(&text[span(ends, *id)]),
        );
        match entry {
            hashbrown::hash_table::Entry::Occupied(taken) => WordId(*taken.get()),
            hashbrown::hash_table::Entry::Vacant(free) => {
                let id = ends.len() as u32;
                free.insert(id);
                text.push_str(word);
                ends.push(text.len() as u32);
                WordId(id)
            }
        }
    }

    /// The number of a word; [`WordId::UNKNOWN`] where it has none.
    pub fn find(&self, word: &str) -> WordId {
        self.table
            .find(hash(word), |id| self.word(WordId(*id)) == word)
            .map_or(WordId::UNKNOWN, |id| WordId(*id))
    }

    /// The word of a number; nothing for the unknown.
    pub fn word(&self, id: WordId) -> &str {
        if id.is_known() {
            &self.text[span(&self.ends, id.0)]
        } else {
            ""
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

    /// All of them in the order in which they were met.
    pub fn ids(&self) -> impl Iterator<Item = WordId> + use<> {
        (0..self.ends.len() as u32).map(WordId)
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
}
