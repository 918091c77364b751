//! Rows found by the first of their words, with a quick no for most words of a
//! text.

use hashbrown::HashMap;

/// What stands in a table under a run of words.
#[derive(Debug, Clone)]
pub struct Opening<T> {
    /// The words behind the first.
    pub rest: Vec<Box<str>>,
    /// What they stand for.
    pub of: T,
}

/// All of a table, by the first word.
#[derive(Debug)]
pub struct Openings<T> {
    /// Those of more words first.
    by_first: HashMap<Box<str>, Vec<Opening<T>>>,
    shapes: Shapes,
}

impl<T> Default for Openings<T> {
    fn default() -> Self {
        Openings {
            by_first: HashMap::new(),
            shapes: Shapes::default(),
        }
    }
}

impl<T> Openings<T> {
    /// Adds what a run of words stands for.
    pub fn add(&mut self, first: &str, rest: Vec<Box<str>>, of: T) {
        self.shapes.set(first);
        let alike = self.by_first.entry(first.into()).or_default();
        let place = alike.partition_point(|o| o.rest.len() >= rest.len());
        alike.insert(place, Opening { rest, of });
    }

    /// All that begin with a word, those of more words first.
    pub fn beginning(&self, word: &str) -> &[Opening<T>] {
        if !self.shapes.may(word) {
            return &[];
        }
        self.by_first.get(word).map_or(&[], Vec::as_slice)
    }
}

/// Which words there are, nearly: their first and last letters and lengths.
/// Small enough to stay in the nearest cache.
#[derive(Debug)]
struct Shapes([u64; 256]);

impl Default for Shapes {
    fn default() -> Self {
        Shapes([0; 256])
    }
}

impl Shapes {
    fn bit(word: &str) -> (usize, u64) {
        let of = |byte: Option<&u8>| usize::from(byte.unwrap_or(&0) & 31);
        let bytes = word.as_bytes();
        let shape = of(bytes.first()) << 9 | of(bytes.last()) << 4 | bytes.len().min(15);
        (shape / 64, 1 << (shape % 64))
    }

    fn set(&mut self, word: &str) {
        let (block, bit) = Self::bit(word);
        self.0[block] |= bit;
    }

    fn may(&self, word: &str) -> bool {
        let (block, bit) = Self::bit(word);
        self.0[block] & bit != 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_added_is_found_longest_first_and_nothing_else_is() {
        let mut openings = Openings::default();
        let rest = |words: &str| words.split_whitespace().map(Box::from).collect();
        openings.add("w", rest(""), 1);
        openings.add("w", rest("screen wiper"), 2);
        openings.add("w", rest("screen"), 3);
        openings.add("größe", rest(""), 4);
        let of = |word: &str| -> Vec<i32> {
            let found = openings.beginning(word).iter();
            found.map(|o| o.of).collect()
        };
        assert_eq!(of("w"), [2, 3, 1]);
        assert_eq!(of("größe"), [4]);
        // Of the same shape as one that is there.
        assert_eq!(of("grabe"), [] as [i32; 0]);
        assert_eq!(of("grüße"), [] as [i32; 0]);
        assert_eq!(of(""), [] as [i32; 0]);
    }
}
