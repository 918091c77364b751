//! The tree of all phrases as a text is gone through with it: every place
//! holds what a scan asks of it, and the places below one stand side by side,
//! so that going down one word touches one stretch of memory.

use super::pairs::Pairs;
use super::scan::Marks;
use crate::lexicon::trie::Trie;
use crate::lexicon::words::WordId;

/// A place in the tree.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    /// The first of the places below; the next place's is the end of them.
    below: u32,
    /// The phrase that ends here; [`NONE`] where none does.
    phrase: u32,
    /// The meaning of that phrase.
    pub meaning: u32,
    /// What that phrase can mean.
    pub marks: Marks,
}

const NONE: u32 = u32::MAX;

impl Place {
    /// The phrase that ends here.
    pub fn phrase(&self) -> Option<u32> {
        Some(self.phrase).filter(|phrase| *phrase != NONE)
    }
}

/// Places up to this many are looked through one by one: their words lie in
/// one line of memory.
const FEW: usize = 16;

/// All places.
#[derive(Debug)]
pub(super) struct Tree {
    /// By rising distance from the root, those below one place together and
    /// by rising word. One more ends the last.
    places: Vec<Place>,
    /// For each of them the word that leads to it.
    words: Vec<WordId>,
    /// Which words go on where, nearly: most words do not, and are told so
    /// without a search.
    ways: Pairs,
    /// For each word the place that it leads to as the first of a phrase.
    first: Vec<u32>,
}

impl Tree {
    /// The tree of these phrases; `of` has the meaning and the marks of each.
    pub fn new(trie: &Trie, of: &[(u32, Marks)]) -> Self {
        let count = trie.places().len();
        // Those below each place, as lists end to end.
        let mut ends = vec![0_u32; count + 1];
        for (parent, _, _) in trie.places().skip(1) {
            ends[parent + 1] += 1;
        }
        for at in 0..count {
            ends[at + 1] += ends[at];
        }
        let mut free = ends.clone();
        let mut below = vec![(WordId::UNKNOWN, 0_u32); count];
        for (at, (parent, word, _)) in trie.places().enumerate().skip(1) {
            below[free[parent] as usize] = (word, at as u32);
            free[parent] += 1;
        }
        let phrases: Vec<Option<u32>> = trie.places().map(|(_, _, phrase)| phrase).collect();
        let mut tree = Tree {
            places: Vec::with_capacity(count + 1),
            words: Vec::with_capacity(count),
            ways: Pairs::room_for(count),
            first: Vec::new(),
        };
        // The places of the trie in the order of the tree.
        let mut order: Vec<u32> = Vec::with_capacity(count);
        order.push(0);
        tree.words.push(WordId::UNKNOWN);
        tree.places.push(place(None, of));
        let mut at = 0;
        while at < order.len() {
            let old = order[at] as usize;
            let children = &mut below[ends[old] as usize..ends[old + 1] as usize];
            children.sort_unstable();
            tree.places[at].below = order.len() as u32;
            for &(word, child) in &*children {
                order.push(child);
                tree.words.push(word);
                tree.places.push(place(phrases[child as usize], of));
                tree.ways.set(at as u32, word.index() as u32);
            }
            at += 1;
        }
        tree.places.push(Place {
            below: order.len() as u32,
            ..place(None, of)
        });
        let mut first = vec![NONE; trie.words().len()];
        for at in tree.below(0) {
            first[tree.words[at].index()] = at as u32;
        }
        tree.first = first;
        tree
    }

    fn below(&self, at: u32) -> std::ops::Range<usize> {
        let (this, next) = (&self.places[at as usize], &self.places[at as usize + 1]);
        this.below as usize..next.below as usize
    }

    /// Where phrases that begin with this word go on.
    pub fn begin(&self, word: WordId) -> Option<u32> {
        let first = self.first.get(word.index()).copied();
        first.filter(|at| *at != NONE)
    }

    /// Where phrases go on from a place by this word.
    pub fn go_on(&self, at: u32, word: WordId) -> Option<u32> {
        if !self.ways.may(at, word.index() as u32) {
            return None;
        }
        let below = self.below(at);
        let words = &self.words[below.clone()];
        let found = if words.len() <= FEW {
            words.iter().position(|below| *below == word)
        } else {
            words.binary_search(&word).ok()
        };
        found.map(|found| (below.start + found) as u32)
    }

    /// What there is at a place.
    pub fn place(&self, at: u32) -> &Place {
        &self.places[at as usize]
    }
}

fn place(phrase: Option<u32>, of: &[(u32, Marks)]) -> Place {
    let (meaning, marks) = phrase.map_or_else(Default::default, |phrase| of[phrase as usize]);
    Place {
        below: 0,
        phrase: phrase.unwrap_or(NONE),
        meaning,
        marks,
    }
}
