//! What rows write, as a graph of words: the phrases that a row stands for are
//! the ways through its part of the graph.
//!
//! `(does not|dont) work(s|ing)` has two ways to a place from which two words
//! lead to the end; no form is spelled out. A table of a few thousand rows
//! stands for some two hundred thousand phrases, and for a tenth as many places
//! here.

use std::borrow::Cow;
use std::ops::Range;

use hashbrown::HashMap;

use super::phrasing::{Pattern, joined, plural};
use super::verbs::Verbs;
use super::words::{WordId, Words};

/// What a phrase says at its end: the number of a row's saying. Lower numbers
/// are heard first.
pub(super) type Says = u32;

/// A place between two words.
type PlaceId = u32;

/// A word, and the place that it leads to.
pub(super) type Way = (WordId, PlaceId);

#[derive(Debug, Clone, Copy)]
struct Place {
    from: u32,
    to: u32,
    /// What is said if the phrase ends here.
    says: Option<Says>,
}

impl Place {
    /// The ways on, in `ways`.
    fn range(self) -> Range<usize> {
        self.from as usize..self.to as usize
    }
}

/// The phrases of many rows.
#[derive(Debug, Default)]
pub(super) struct Wordings {
    words: Words,
    places: Vec<Place>,
    ways: Vec<Way>,
    /// How phrases begin.
    begins: Vec<Way>,
    plurals: HashMap<WordId, Option<WordId>>,
}

impl Wordings {
    /// The words of all phrases.
    pub fn words(&self) -> &Words {
        &self.words
    }

    /// The same, when no more are added.
    pub fn into_words(self) -> Words {
        self.words
    }

    /// How many places there are.
    pub fn len(&self) -> usize {
        self.places.len()
    }

    /// How phrases begin.
    pub fn begins(&self) -> &[Way] {
        &self.begins
    }

    /// How phrases go on from a place.
    pub fn ways(&self, place: PlaceId) -> &[Way] {
        &self.ways[self.places[place as usize].range()]
    }

    /// What is said where a phrase ends at this place.
    pub fn says(&self, place: PlaceId) -> Option<Says> {
        self.places[place as usize].says
    }

    fn place(&mut self, ways: &[Way], says: Option<Says>) -> PlaceId {
        let from = self.ways.len() as u32;
        self.ways.extend_from_slice(ways);
        self.places.push(Place {
            from,
            to: self.ways.len() as u32,
            says,
        });
        self.places.len() as PlaceId - 1
    }

    /// Adds the phrase of these folded words.
    pub fn add(&mut self, phrase: &str, says: Says) {
        let mut place = self.place(&[], Some(says));
        let mut words = phrase.rsplit(' ').peekable();
        while let Some(word) = words.next() {
            let word = self.words.intern(word);
            match words.peek() {
                Some(_) => place = self.place(&[(word, place)], None),
                None => self.begins.push((word, place)),
            }
        }
    }

    /// The same of words that have numbers.
    pub fn add_words(&mut self, words: &[WordId], says: Says) {
        let mut place = self.place(&[], Some(says));
        let Some((first, rest)) = words.split_first() else {
            return;
        };
        for word in rest.iter().rev() {
            place = self.place(&[(*word, place)], None);
        }
        self.begins.push((*first, place));
    }

    /// Adds all phrases that a written one stands for; gives how they begin,
    /// or nothing where one of them has no word.
    pub fn add_pattern(&mut self, pattern: &Pattern<'_>, says: Says) -> Option<Vec<Way>> {
        let end = self.place(&[], Some(says));
        let mut spelling = Spelling {
            all: self,
            pieces: pattern.pieces(),
            made: Vec::new(),
            end,
        };
        let mut ways = Vec::new();
        let empty = spelling.ways(0, "", &mut ways);
        settle(&mut ways);
        self.begins.extend_from_slice(&ways);
        (!empty).then_some(ways)
    }

    /// Adds the plural of each of a row's phrases, and its two words written
    /// as one. `begins` is how the row's phrases begin.
    pub fn derive(&mut self, begins: &[Way], says: Says) {
        let end = self.place(&[], Some(says));
        let mut made = HashMap::new();
        let mut more = self.plurals_of(begins, end, &mut made);
        for &(word, place) in begins {
            for at in self.places[place as usize].range() {
                let (last, behind) = self.ways[at];
                if self.says(behind).is_none() {
                    continue;
                }
                let Some(one) = joined(self.words.word(word), self.words.word(last)) else {
                    continue;
                };
                let one = self.words.intern(&one);
                more.push((one, end));
                more.extend(self.plural(one).map(|many| (many, end)));
            }
        }
        settle(&mut more);
        self.begins.extend(more);
    }

    /// Adds the past of those of a row's phrases that begin with a verb. One
    /// word alone mostly tells of what is over: `taken off as it rattled`.
    pub fn derive_pasts(&mut self, begins: &[Way], says: Says, verbs: &Verbs) {
        let mut made = HashMap::new();
        let mut more = Vec::new();
        for &(word, place) in begins {
            let pasts = verbs.pasts_of(self.words.word(word));
            if pasts.is_empty() || self.ways(place).is_empty() {
                continue;
            }
            let on = self.copies(place, says, &mut made);
            let place = self.place(&on, None);
            for past in pasts {
                more.push((self.words.intern(past), place));
            }
        }
        settle(&mut more);
        self.begins.extend(more);
    }

    /// The ways on from a place, to places where this is said instead. `made` has
    /// those that there are already.
    fn copies(
        &mut self,
        place: PlaceId,
        says: Says,
        made: &mut HashMap<PlaceId, PlaceId>,
    ) -> Vec<Way> {
        let on = self.ways(place).to_vec();
        let mut out = Vec::with_capacity(on.len());
        for (word, place) in on {
            let copy = match made.get(&place) {
                Some(copy) => *copy,
                None => {
                    let on = self.copies(place, says, made);
                    let ends = self.says(place).map(|_| says);
                    let copy = self.place(&on, ends);
                    made.insert(place, copy);
                    copy
                }
            };
            out.push((word, copy));
        }
        out
    }

    /// The ways of these phrases' plurals. `made` has the places from which
    /// those of the phrases that go on from a place are reached.
    fn plurals_of(
        &mut self,
        ways: &[Way],
        end: PlaceId,
        made: &mut HashMap<PlaceId, Option<PlaceId>>,
    ) -> Vec<Way> {
        let mut out = Vec::new();
        for &(word, place) in ways {
            if self.says(place).is_some() {
                out.extend(self.plural(word).map(|many| (many, end)));
            }
            let many = match made.get(&place) {
                Some(many) => *many,
                None => {
                    let on = self.ways(place).to_vec();
                    let on = self.plurals_of(&on, end, made);
                    let many = (!on.is_empty()).then(|| self.place(&on, None));
                    made.insert(place, many);
                    many
                }
            };
            out.extend(many.map(|place| (word, place)));
        }
        settle(&mut out);
        out
    }

    fn plural(&mut self, word: WordId) -> Option<WordId> {
        if let Some(known) = self.plurals.get(&word) {
            return *known;
        }
        let many = plural(self.words.word(word)).map(|many| self.words.intern(&many));
        self.plurals.insert(word, many);
        many
    }

    /// Calls `each` with the words of every phrase that begins so.
    pub fn each(&self, begins: &[Way], mut each: impl FnMut(&[WordId])) {
        let mut words = Vec::new();
        self.spell(begins, &mut words, &mut each);
    }

    fn spell(&self, ways: &[Way], words: &mut Vec<WordId>, each: &mut impl FnMut(&[WordId])) {
        for &(word, place) in ways {
            words.push(word);
            if self.says(place).is_some() {
                each(words);
            }
            self.spell(self.ways(place), words, each);
            words.pop();
        }
    }
}

/// Each way once, by rising word and place.
pub(super) fn settle(ways: &mut Vec<Way>) {
    // Both as one number: what sorts them compares but once. Most are sorted by
    // stretches, which a stable sort makes use of.
    ways.sort_by_key(|(word, place)| (word.index() as u64) << 32 | u64::from(*place));
    ways.dedup();
}

/// Goes through the pieces of a pattern.
struct Spelling<'a, 'w> {
    all: &'a mut Wordings,
    pieces: &'a [Vec<&'w str>],
    /// The places made: by the next piece, and the beginning of a word that
    /// is not yet whole. A row has few.
    made: Vec<(usize, String, PlaceId)>,
    end: PlaceId,
}

impl Spelling<'_, '_> {
    /// Adds the ways on from before a piece, behind the beginning of a word;
    /// gives back whether a phrase may end there without another word.
    fn ways(&mut self, piece: usize, begun: &str, out: &mut Vec<Way>) -> bool {
        let Some(choices) = self.pieces.get(piece) else {
            if !begun.is_empty() {
                let word = self.all.words.intern(begun);
                out.push((word, self.end));
            }
            return begun.is_empty();
        };
        let mut may_end = false;
        for choice in choices {
            let text = match begun {
                "" => Cow::Borrowed(*choice),
                begun => Cow::Owned([begun, choice].concat()),
            };
            let (whole, rest) = text.rsplit_once(' ').unwrap_or(("", &text));
            let mut words = whole.split_ascii_whitespace();
            let Some(first) = words.next() else {
                may_end |= self.ways(piece + 1, rest, out);
                continue;
            };
            let first = self.all.words.intern(first);
            let mut place = self.behind(piece + 1, rest);
            for word in words.rev() {
                let word = self.all.words.intern(word);
                place = self.all.place(&[(word, place)], None);
            }
            out.push((first, place));
        }
        may_end
    }

    /// The place before a piece.
    fn behind(&mut self, piece: usize, begun: &str) -> PlaceId {
        let known = |(at, word, _): &&(usize, String, _)| *at == piece && word == begun;
        if let Some((.., place)) = self.made.iter().find(known) {
            return *place;
        }
        let mut ways = Vec::new();
        let may_end = self.ways(piece, begun, &mut ways);
        settle(&mut ways);
        let place = match (may_end, ways.is_empty()) {
            (true, true) => self.end,
            (true, false) => {
                let says = self.all.says(self.end);
                self.all.place(&ways, says)
            }
            (false, _) => self.all.place(&ways, None),
        };
        self.made.push((piece, begun.to_owned(), place));
        place
    }
}
