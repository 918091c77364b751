//! The graph of all phrases as a text is gone through with it: every place
//! holds what a scan asks of it, and the words that go on from one stand side
//! by side.

use super::pairs::Pairs;
use super::scan::Marks;
use crate::lexicon::phrases::Phrases;
use crate::lexicon::words::WordId;

/// A place in the graph.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    /// The first of its ways on; the next place's is the end of them.
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
    /// One more ends the last.
    places: Vec<Place>,
    /// For each place in turn the words that go on from it, by rising word.
    words: Vec<WordId>,
    /// For each of them where it leads.
    to: Vec<u32>,
    /// Which words go on where, nearly: most words do not, and are told so
    /// without a search.
    ways: Pairs,
}

impl Tree {
    /// The graph of these phrases; `of` has the meaning and the marks of each.
    pub fn new(phrases: &Phrases, of: &[(u32, Marks)]) -> Self {
        let graph = phrases.graph();
        let mut tree = Tree {
            places: Vec::with_capacity(graph.len() + 1),
            words: Vec::new(),
            to: Vec::new(),
            ways: Pairs::room_for(graph.way_count()),
        };
        for at in 0..graph.len() as u32 {
            tree.places.push(place(tree.to.len(), graph.phrase(at), of));
            for &(word, to) in graph.ways(at) {
                // The beginnings have a table of their own.
                if at > 0 {
                    tree.ways.set(at, word.index() as u32);
                    tree.words.push(word);
                    tree.to.push(to);
                }
            }
        }
        tree.places.push(place(tree.to.len(), None, of));
        tree
    }

    fn below(&self, at: u32) -> std::ops::Range<usize> {
        let (this, next) = (&self.places[at as usize], &self.places[at as usize + 1]);
        this.below as usize..next.below as usize
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
        found.map(|found| self.to[below.start + found])
    }

    /// What there is at a place.
    pub fn place(&self, at: u32) -> &Place {
        &self.places[at as usize]
    }
}

fn place(below: usize, phrase: Option<u32>, of: &[(u32, Marks)]) -> Place {
    let (meaning, marks) = phrase.map_or_else(Default::default, |phrase| of[phrase as usize]);
    Place {
        below: below as u32,
        phrase: phrase.unwrap_or(NONE),
        meaning,
        marks,
    }
}
