//! The graph of all phrases as a text is gone through with it: every place
//! holds what a scan asks of it, and the words that go on from one stand side
//! by side.
//!
//! A text is gone through from all its words at once, one word further at a
//! time: places lie far from each other in memory, and the machine fetches those
//! of many words at the same time, where from place to place it would have to
//! wait for each. For the same reason the loops keep or drop by counting, not by
//! branches that nobody can foretell.

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
    fn go_on(&self, at: u32, word: WordId) -> Option<u32> {
        let below = self.below(at);
        let words = &self.words[below.clone()];
        let found = if words.len() <= FEW {
            words.iter().position(|below| *below == word)
        } else {
            words.binary_search(&word).ok()
        };
        found.map(|found| self.to[below.start + found])
    }

    /// The place that a run of words leads to, from where its first does.
    pub fn reach(&self, begins: u32, rest: &[WordId]) -> Option<&Place> {
        let may = |at, word: WordId| self.ways.may(at, word.index() as u32);
        let mut rest = rest.iter();
        let at = rest.try_fold(begins, |at, word| {
            may(at, *word).then(|| self.go_on(at, *word)).flatten()
        })?;
        Some(&self.places[at as usize])
    }

    /// All places in a text where phrases end, by the first word and then
    /// longest first; `begins` has where the first words of phrases lead.
    pub fn ends<'t>(
        &'t self,
        words: &[WordId],
        begins: impl Fn(WordId) -> Option<u32>,
        memory: &'t mut TreeMemory,
    ) -> impl Iterator<Item = (u32, u32, &'t Place)> {
        let TreeMemory {
            ways,
            ends,
            sorted,
            starts,
        } = memory;
        starts.clear();
        starts.resize(words.len(), 0);
        ends.clear();
        ways.clear();
        let begun = words.iter().zip(0..);
        ways.extend(begun.filter_map(|(word, first)| Some((first, begins(*word)?))));
        let mut ahead = 0;
        while !ways.is_empty() {
            let mut kept = ends.len();
            ends.resize(kept + ways.len(), End::default());
            for &(first, place) in &*ways {
                let last = first + ahead;
                ends[kept] = End { first, last, place };
                let here = self.places[place as usize].phrase != NONE;
                kept += usize::from(here);
                starts[first as usize] += u32::from(here);
            }
            ends.truncate(kept);
            ahead += 1;
            let next = |first: u32| words.get((first + ahead) as usize).copied();
            let mut kept = 0;
            for at in 0..ways.len() {
                let (first, place) = ways[at];
                let word = next(first).unwrap_or(WordId::UNKNOWN);
                ways[kept] = ways[at];
                kept += usize::from(self.ways.may(place, word.index() as u32));
            }
            ways.truncate(kept);
            ways.retain_mut(|(first, place)| {
                let on = next(*first).and_then(|word| self.go_on(*place, word));
                *place = on.unwrap_or(NONE);
                on.is_some()
            });
        }
        let mut start = 0;
        for count in &mut *starts {
            start += std::mem::replace(count, start);
        }
        // The longest were found last.
        sorted.clear();
        sorted.resize(ends.len(), End::default());
        for end in ends.iter().rev() {
            let start = &mut starts[end.first as usize];
            sorted[*start as usize] = *end;
            *start += 1;
        }
        let place = |end: &End| (end.first, end.last, &self.places[end.place as usize]);
        sorted.iter().map(place)
    }
}

/// Memory that is reused from text to text.
#[derive(Default)]
pub(super) struct TreeMemory {
    /// The first words of phrases that may go on, and the places they led to.
    ways: Vec<(u32, u32)>,
    ends: Vec<End>,
    sorted: Vec<End>,
    /// For each word how many phrases begin with it, then where they stand.
    starts: Vec<u32>,
}

/// A place where a phrase ends, and its first and last word.
#[derive(Debug, Clone, Copy, Default)]
struct End {
    first: u32,
    last: u32,
    place: u32,
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
