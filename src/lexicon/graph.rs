//! All phrases of all tables as one graph of words: from any word of a text
//! every phrase that begins there is found by going on from place to place.
//!
//! From a place at most one way goes by a word. A place stands for all places
//! of the rows' wordings that the same words lead to (the construction of
//! subsets: Rabin and Scott 1959, IBM J. Res. Dev. 3:114-125, from memory), so
//! that what rows have in common is gone through once, and what one row has in
//! many forms stays together.

use std::hash::BuildHasher;

use hashbrown::hash_table::Entry;
use hashbrown::{DefaultHashBuilder, HashMap, HashTable};
use serde::{Deserialize, Serialize};

use super::wordings::{Says, Way, Wordings, settle};
use super::words::{WordId, Words};

/// What ends at a place: the number of a phrase, by which its meaning is found.
/// Phrases that mean the same have one number.
pub type PhraseId = u32;

/// A place in the graph, by its number; the first is where all phrases begin.
pub type PlaceId = u32;

const NONE: u32 = u32::MAX;

#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
struct Place {
    /// The first of its ways on; the next place's is the end of them.
    ways: u32,
    /// What ends here; [`NONE`] where nothing does.
    phrase: PhraseId,
}

/// The graph.
#[derive(Debug, Serialize, Deserialize)]
pub struct Graph {
    places: Vec<Place>,
    /// By place, and by rising word.
    ways: Vec<(WordId, PlaceId)>,
    /// For each word the place that it leads to as the first of a phrase: most
    /// searches end there.
    begins: Vec<PlaceId>,
}

/// A graph with what is said where phrases end.
pub(super) struct Gathered {
    /// The graph; for phrases it has the numbers of what is said.
    pub graph: Graph,
    /// For each number what is said, by rising number of the saying.
    pub says: Vec<Vec<Says>>,
    /// For each number a place where a phrase of it ends.
    pub examples: Vec<PlaceId>,
    /// For each place the one before it, and the word between.
    before: Vec<(PlaceId, WordId)>,
}

impl Gathered {
    /// Joins the phrases of all rows.
    pub fn of(wordings: &Wordings) -> Self {
        let mut out = Gathered {
            graph: Graph {
                places: Vec::new(),
                ways: Vec::new(),
                begins: Vec::new(),
            },
            says: Vec::new(),
            examples: Vec::new(),
            before: vec![(0, WordId::UNKNOWN)],
        };
        let mut sets = Sets::new(wordings.len());
        let mut numbers: HashMap<Vec<Says>, u32> = HashMap::new();
        let mut ways: Vec<Way> = by_word(wordings.begins(), wordings.words().len());
        let mut says: Vec<Says> = Vec::new();
        let mut at = 0;
        loop {
            settle(&mut ways);
            let phrase = match says.as_slice() {
                [] => NONE,
                all => match numbers.get(all) {
                    Some(number) => *number,
                    None => {
                        let number = out.says.len() as u32;
                        numbers.insert(says.clone(), number);
                        out.says.push(says.clone());
                        out.examples.push(at);
                        number
                    }
                },
            };
            out.graph.places.push(Place {
                ways: out.graph.ways.len() as u32,
                phrase,
            });
            for same in ways.chunk_by(|a, b| a.0 == b.0) {
                let word = same[0].0;
                let (place, new) = sets.number(same);
                if new {
                    out.before.push((at, word));
                }
                out.graph.ways.push((word, place));
            }
            at += 1;
            let Some(members) = sets.members(at) else {
                break;
            };
            ways.clear();
            says.clear();
            for member in members {
                ways.extend_from_slice(wordings.ways(*member));
                says.extend(wordings.says(*member));
            }
            says.sort_unstable();
            says.dedup();
        }
        out.graph.places.push(Place {
            ways: out.graph.ways.len() as u32,
            phrase: NONE,
        });
        out.graph.begins = vec![NONE; wordings.words().len()];
        for at in 0..out.graph.ways(0).len() {
            let (word, place) = out.graph.ways[at];
            out.graph.begins[word.index()] = place;
        }
        out
    }

    /// The words of one phrase that ends at a place.
    pub fn path(&self, place: PlaceId, words: &Words) -> String {
        let mut way = Vec::new();
        let mut at = place;
        while at != 0 {
            let (before, word) = self.before[at as usize];
            way.push(words.word(word));
            at = before;
        }
        way.reverse();
        way.join(" ")
    }
}

/// Ways by rising word. There are tens of thousands of beginnings, and words
/// can be counted: that is quicker than to sort them.
fn by_word(ways: &[Way], words: usize) -> Vec<Way> {
    let mut ends = vec![0; words + 1];
    for (word, _) in ways {
        ends[word.index() + 1] += 1;
    }
    for word in 0..words {
        ends[word + 1] += ends[word];
    }
    let mut out = vec![(WordId::UNKNOWN, NONE); ways.len()];
    for way in ways {
        let at = &mut ends[way.0.index()];
        out[*at] = *way;
        *at += 1;
    }
    for same in out.chunk_by_mut(|a, b| a.0 == b.0) {
        same.sort_unstable();
    }
    out
}

/// Numbers for sets of places, in the order in which they are met.
struct Sets {
    /// The members of all, end to end.
    members: Vec<u32>,
    /// For each set where its members end.
    ends: Vec<u32>,
    /// The numbers of sets of one.
    alone: Vec<u32>,
    /// Those of the others.
    numbers: HashTable<u32>,
    hasher: DefaultHashBuilder,
    /// The members of the set that is looked for.
    set: Vec<u32>,
}

impl Sets {
    /// The set where phrases begin has number 0 and is never met again.
    fn new(places: usize) -> Self {
        Sets {
            members: Vec::new(),
            ends: vec![0],
            alone: vec![NONE; places],
            numbers: HashTable::new(),
            hasher: DefaultHashBuilder::default(),
            set: Vec::new(),
        }
    }

    /// The number of the places that these ways lead to, which come by rising
    /// number, and whether it is new.
    fn number(&mut self, ways: &[Way]) -> (u32, bool) {
        let next = self.ends.len() as u32;
        let number = match ways {
            [(_, only)] => {
                let number = &mut self.alone[*only as usize];
                if *number == NONE {
                    *number = next;
                }
                *number
            }
            several => self.number_of_several(several, next),
        };
        if number == next {
            self.members.extend(ways.iter().map(|(_, place)| place));
            self.ends.push(self.members.len() as u32);
        }
        (number, number == next)
    }

    fn number_of_several(&mut self, ways: &[Way], next: u32) -> u32 {
        let Sets {
            members,
            ends,
            numbers,
            hasher,
            set,
            ..
        } = self;
        set.clear();
        set.extend(ways.iter().map(|(_, place)| *place));
        let entry = numbers.entry(
            hasher.hash_one(&*set),
            |number| span(members, ends, *number) == Some(&**set),
            |number| hasher.hash_one(span(members, ends, *number).unwrap_or_default()),
        );
        match entry {
            Entry::Occupied(known) => *known.get(),
            Entry::Vacant(free) => *free.insert(next).get(),
        }
    }

    fn members(&self, number: u32) -> Option<&[u32]> {
        span(&self.members, &self.ends, number)
    }
}

/// The members of a set among those of all.
fn span<'m>(members: &'m [u32], ends: &[u32], number: u32) -> Option<&'m [u32]> {
    let number = number as usize;
    let end = *ends.get(number)?;
    Some(&members[ends[number - 1] as usize..end as usize])
}

impl Graph {
    /// Gives each phrase another number.
    pub(super) fn renumber(&mut self, to: &[PhraseId]) {
        for place in self.places.iter_mut().filter(|p| p.phrase != NONE) {
            place.phrase = to[place.phrase as usize];
        }
    }

    /// How many places there are.
    pub fn len(&self) -> usize {
        self.places.len() - 1
    }

    /// How many ways there are from one to another.
    pub fn way_count(&self) -> usize {
        self.ways.len()
    }

    /// Whether there is no phrase.
    pub fn is_empty(&self) -> bool {
        self.ways.is_empty()
    }

    /// How many ways go by each of the words.
    pub fn uses(&self, words: usize) -> Vec<u32> {
        let mut uses = vec![0; words];
        for (word, _) in &self.ways {
            uses[word.index()] += 1;
        }
        uses
    }

    /// The ways on from a place, by rising word.
    pub fn ways(&self, place: PlaceId) -> &[(WordId, PlaceId)] {
        let at = place as usize;
        &self.ways[self.places[at].ways as usize..self.places[at + 1].ways as usize]
    }

    /// Where phrases that begin with this word go on.
    pub fn begin(&self, word: WordId) -> Option<PlaceId> {
        let place = self.begins.get(word.index()).copied();
        place.filter(|place| *place != NONE)
    }

    /// The phrase that ends at a place.
    pub fn phrase(&self, place: PlaceId) -> Option<PhraseId> {
        Some(self.places[place as usize].phrase).filter(|phrase| *phrase != NONE)
    }

    /// The phrase of these words.
    pub fn find(&self, words: impl IntoIterator<Item = WordId>) -> Option<PhraseId> {
        let mut words = words.into_iter();
        let begin = self.begin(words.next()?)?;
        let place = words.try_fold(begin, |place, word| {
            let ways = self.ways(place);
            let at = ways.binary_search_by_key(&word, |way| way.0).ok()?;
            Some(ways[at].1)
        })?;
        self.phrase(place)
    }

    /// Every phrase there is: its words and its number.
    pub fn spelled(&self, words: &Words) -> Vec<(String, PhraseId)> {
        let mut out = Vec::new();
        self.spell(0, words, &mut String::new(), &mut out);
        out
    }

    fn spell(
        &self,
        place: PlaceId,
        words: &Words,
        text: &mut String,
        out: &mut Vec<(String, PhraseId)>,
    ) {
        for &(word, to) in self.ways(place) {
            let length = text.len();
            if length > 0 {
                text.push(' ');
            }
            text.push_str(words.word(word));
            out.extend(self.phrase(to).map(|phrase| (text.clone(), phrase)));
            self.spell(to, words, text, out);
            text.truncate(length);
        }
    }

    /// The words of all phrases that are wanted, by rising number.
    pub fn words_of(&self, wanted: impl Fn(PhraseId) -> bool) -> Vec<WordId> {
        // Whether a phrase wanted ends at a place or behind it, where known.
        let mut leads = vec![None; self.len()];
        for place in 0..self.len() as u32 {
            self.leads(place, &wanted, &mut leads);
        }
        let mut wanted: Vec<Option<WordId>> = vec![None; self.begins.len()];
        for &(word, to) in &self.ways {
            if leads[to as usize] == Some(true) {
                wanted[word.index()] = Some(word);
            }
        }
        wanted.into_iter().flatten().collect()
    }

    fn leads(
        &self,
        place: PlaceId,
        wanted: &impl Fn(PhraseId) -> bool,
        known: &mut [Option<bool>],
    ) -> bool {
        if let Some(leads) = known[place as usize] {
            return leads;
        }
        let ends = self.phrase(place).is_some_and(wanted);
        let leads = ends
            || self
                .ways(place)
                .iter()
                .any(|way| self.leads(way.1, wanted, known));
        known[place as usize] = Some(leads);
        leads
    }
}
