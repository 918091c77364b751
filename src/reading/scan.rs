//! One pass over the words of a text that finds every phrase of every table.
//!
//! Each word is looked up once and becomes a number; from every word the graph
//! of all phrases is gone through as far as the text goes with it. What a phrase
//! can mean is marked on the hit itself, so that the steps that follow pass
//! over what is not theirs without looking anything up.

use super::frames::{FrameMemory, Frames};
use super::items::{has_scope, only_heads};
use super::sign_values::AsideSign;
use super::subjects::only_of_some;
use super::tokens::{Token, Tokens};
use super::tree::{Tree, TreeMemory};
use crate::lexicon::Lexicon;
use crate::lexicon::parts::Parts;
use crate::lexicon::phrases::{Act, Cue, Meaning, SignField};
pub use crate::lexicon::phrases::{Phrase, Phrases};
use crate::lexicon::word_classes::{ClassSet, WordClasses};
use crate::lexicon::words::WordId;

/// A phrase found: which, and the tokens it covers (both included).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hit {
    /// Index of the phrase.
    pub phrase: u32,
    /// First token.
    pub first: u32,
    /// Last token.
    pub last: u32,
    /// Index of its meaning.
    pub(super) meaning: u32,
    /// What the phrase can mean.
    pub marks: Marks,
}

impl Hit {
    /// How many tokens it covers; at least one.
    pub fn width(self) -> u32 {
        self.last - self.first + 1
    }

    /// Its words.
    pub fn wording(self) -> Wording {
        Wording {
            phrase: self.phrase,
            first: self.first,
            last: self.last,
        }
    }
}

/// The words of a text that were taken for a phrase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wording {
    /// Index of the phrase.
    pub phrase: u32,
    /// First token.
    pub first: u32,
    /// Last token.
    pub last: u32,
}

/// What kinds of meaning a phrase has.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Marks(u32);

impl Marks {
    const SCOPE: u32 = 1 << 9;
    const NUMBERS: u32 = 1 << 10;
    const DENIES: u32 = 1 << 11;
    const VEHICLES: u32 = 1 << 12;
    const IN_FRAMES: u32 = 1 << 13;
    const PIECE: u32 = 1 << 14;
    const HEADS: u32 = 1 << 15;
    const DECOY: u32 = 1 << 16;
    const NAMES: u32 = 1 << 17;
    const ONLY_OF_SOME: u32 = 1 << 18;

    fn of(meaning: &Meaning) -> Self {
        let mut marks = 0;
        for field in meaning.signs.iter().map(|s| s.field).chain(meaning.hides) {
            marks |= 1 << field as u32;
        }
        let denies = |act| matches!(act, Act::Lacks | Act::Negates | Act::NegatesAll);
        for (mark, holds) in [
            (Self::SCOPE, has_scope(meaning)),
            (Self::NUMBERS, !meaning.numbers.is_empty()),
            (Self::DENIES, meaning.cue.is_some_and(|c| denies(c.act))),
            (Self::IN_FRAMES, !meaning.lists.is_empty()),
            (Self::PIECE, meaning.is_piece()),
            (Self::HEADS, only_heads(meaning)),
            (Self::DECOY, meaning.decoy),
            (
                Self::NAMES,
                !meaning.named.is_empty() || !meaning.senses.is_empty(),
            ),
            (Self::ONLY_OF_SOME, only_of_some(meaning)),
        ] {
            if holds {
                marks |= mark;
            }
        }
        Marks(marks)
    }

    /// The scope of cues is worked out over it.
    pub fn scope(self) -> bool {
        self.0 & Self::SCOPE != 0
    }

    /// It says what a number beside it is.
    pub fn numbers(self) -> bool {
        self.0 & Self::NUMBERS != 0
    }

    /// It is a cue that denies.
    pub fn denies(self) -> bool {
        self.0 & Self::DENIES != 0
    }

    /// It names makes or models.
    pub fn vehicles(self) -> bool {
        self.0 & Self::VEHICLES != 0
    }

    /// It only looks like a part or a vehicle.
    pub fn decoy(self) -> bool {
        self.0 & Self::DECOY != 0
    }

    /// It names a part or a symptom, or may beside others.
    pub fn names(self) -> bool {
        self.0 & Self::NAMES != 0
    }

    /// It says something of certain parts, and nothing else.
    pub fn only_of_some(self) -> bool {
        self.0 & Self::ONLY_OF_SOME != 0
    }

    /// Frames may hold it.
    pub fn in_frames(self) -> bool {
        self.0 & Self::IN_FRAMES != 0
    }

    /// It says nothing but as a piece of frames.
    pub fn is_piece(self) -> bool {
        self.0 & Self::PIECE != 0 && !self.vehicles()
    }

    /// It says nothing but as a heading.
    pub fn heads(self) -> bool {
        self.0 & Self::HEADS != 0
    }

    /// It is a sign of some field, or hides one.
    pub fn signs(self) -> bool {
        self.0 & (Self::SCOPE - 1) != 0
    }

    /// It is a sign of this field, or hides one.
    pub fn sign_of(self, field: SignField) -> bool {
        self.0 & (1 << field as u32) != 0
    }
}

/// What is asked most of a meaning, small enough that all of them stay in the
/// nearest cache.
#[derive(Debug, Clone, Copy)]
pub(super) struct Brief {
    /// Its cue.
    pub cue: Option<Cue>,
    /// Whether it names a part or a symptom.
    pub names: bool,
    /// Whether it names parts and tells nothing of them.
    pub names_part: bool,
    /// What it says of asides.
    pub aside: Option<AsideSign>,
}

impl Brief {
    fn of(meaning: &Meaning) -> Self {
        let names = !meaning.named.is_empty();
        let mut signs = meaning.signs.iter();
        let aside = signs.find(|s| s.field == SignField::Aside);
        Brief {
            cue: meaning.cue,
            aside: aside.and_then(|s| AsideSign::of_word(&s.value)),
            names,
            names_part: names && meaning.named.iter().all(|n| n.naming.is_noun()),
        }
    }
}

/// Finds the phrases of a lexicon.
pub struct Scanner<'l> {
    phrases: &'l Phrases,
    /// For each phrase the index of its meaning, and its marks.
    of: Vec<(u32, Marks)>,
    tree: Tree,
    /// For each meaning what is asked of it most.
    briefs: Vec<Brief>,
    frames: Frames,
    /// For each word of the phrases its classes.
    classes: Vec<ClassSet>,
    /// Those of words that no phrase has.
    table: &'l WordClasses,
    parts: &'l Parts,
}

impl<'l> Scanner<'l> {
    /// A scanner for the phrases of these tables.
    pub fn new(lexicon: &'l Lexicon) -> Self {
        let phrases = &lexicon.phrases;
        let marks: Vec<Marks> = phrases.meanings().iter().map(Marks::of).collect();
        let of = phrases.meanings_of().map(|(meaning, vehicles)| {
            let mut marks = marks[meaning as usize];
            if vehicles {
                marks.0 |= Marks::VEHICLES;
            }
            (meaning, marks)
        });
        let of: Vec<_> = of.collect();
        let (words, table) = (phrases.words(), &lexicon.word_classes);
        let mut classes = vec![ClassSet::default(); words.len()];
        for (word, set) in table.iter() {
            let id = words.find(word);
            if id.is_known() {
                classes[id.index()] = set;
            }
        }
        Scanner {
            phrases,
            tree: Tree::new(phrases, &of),
            of,
            briefs: phrases.meanings().iter().map(Brief::of).collect(),
            frames: Frames::new(phrases),
            classes,
            table,
            parts: &lexicon.parts,
        }
    }

    /// The codes that a phrase of this meaning names.
    pub(super) fn codes_of(&self, meaning: u32) -> impl Iterator<Item = &'l str> {
        let named = self.phrases.meanings()[meaning as usize].named.iter();
        let parts = self.parts;
        named.map(move |named| parts.code(named.part))
    }

    /// A phrase by its index.
    pub fn phrase(&self, index: u32) -> Phrase<'l> {
        self.phrases.get(index)
    }

    /// A phrase by its folded words.
    pub fn find(&self, words: &str) -> Option<Phrase<'l>> {
        self.phrases.find(words)
    }

    /// What words by themselves do to what stands beside them.
    pub fn cue(&self, words: &str) -> Option<Cue> {
        self.find(words)?.meaning.cue
    }

    /// The words of a phrase in a text, as they stand in a reason.
    pub fn words<'t>(&self, tokens: &'t Tokens, wording: Wording) -> &'t str
    where
        'l: 't,
    {
        match self.phrases.written(wording.phrase) {
            Some(written) => written,
            None => tokens.run(wording.first as usize, wording.last as usize),
        }
    }

    /// The phrase that stands for a trouble code read out: a fault of
    /// `engine_light`.
    pub fn code_phrase(&self) -> Option<u32> {
        self.phrases.code()
    }

    /// A phrase at a place.
    pub fn hit(&self, phrase: u32, first: u32, last: u32) -> Hit {
        let (meaning, marks) = self.of[phrase as usize];
        Hit {
            phrase,
            first,
            last,
            meaning,
            marks,
        }
    }

    /// A phrase whose meaning is known.
    pub(super) fn phrase_of(&self, index: u32, meaning: u32) -> Phrase<'l> {
        self.phrases.get_with(index, meaning)
    }

    /// What is asked most of a meaning.
    pub(super) fn brief(&self, meaning: u32) -> Brief {
        self.briefs[meaning as usize]
    }

    /// What the phrase of a hit can mean.
    pub fn meaning(&self, hit: &Hit) -> &'l Meaning {
        &self.phrases.meanings()[hit.meaning as usize]
    }

    /// Looks up the words of a text.
    pub fn look_up(&self, tokens: &Tokens, words: &mut Vec<WordId>) {
        words.clear();
        let all = self.phrases.words();
        let text = tokens.folded.as_bytes();
        let word = |t: &Token| &text[t.folded.0 as usize..t.folded.1 as usize];
        words.extend(tokens.list.iter().map(|t| all.find_bytes(word(t))));
    }

    /// Notes what each word of a text does in it; `words` are those looked up.
    pub fn classify(&self, tokens: &mut Tokens, words: &[WordId]) {
        let of = |i: usize, word: &str| match words.get(i).filter(|id| id.is_known()) {
            Some(id) => self.classes[id.index()],
            None => self.table.of(word),
        };
        tokens.classify(of);
    }

    /// The phrase that these words are.
    pub(super) fn phrase_at(&self, words: &[WordId]) -> Option<Phrase<'l>> {
        let (first, rest) = words.split_first()?;
        let begins = self.phrases.graph().begin(*first)?;
        let place = self.tree.reach(begins, rest)?;
        Some(self.phrase_of(place.phrase()?, place.meaning))
    }

    /// All phrases in the text, overlapping ones too, by first token and then
    /// longest first; `words` become those of the text.
    pub fn scan(&self, tokens: &mut Tokens, words: &mut Vec<WordId>, hits: &mut Vec<Hit>) {
        self.look_up(tokens, words);
        self.classify(tokens, words);
        self.scan_words(tokens, words, hits, &mut ScanMemory::default());
    }

    /// The same over words looked up before, one for each token.
    pub fn scan_words(
        &self,
        tokens: &Tokens,
        words: &[WordId],
        hits: &mut Vec<Hit>,
        memory: &mut ScanMemory,
    ) {
        hits.clear();
        let graph = self.phrases.graph();
        let begins = |word| graph.begin(word);
        let ends = self.tree.ends(words, begins, &mut memory.tree);
        hits.extend(ends.filter_map(|(first, last, place)| {
            Some(Hit {
                phrase: place.phrase()?,
                first,
                last,
                meaning: place.meaning,
                marks: place.marks,
            })
        }));
        let framed = self.frames.find(tokens, hits, self, &mut memory.frames);
        hits.retain(|h| !h.marks.is_piece());
        if framed {
            // Two runs that are in order, or nearly: what this sort is quick at.
            hits.sort_by_key(|h| (h.first, u32::MAX - h.last, h.phrase));
        }
    }
}

/// Memory that is reused from text to text.
#[derive(Default)]
pub struct ScanMemory {
    tree: TreeMemory,
    frames: FrameMemory,
}

/// Of hits sorted by place, those that are wanted, leftmost-longest and
/// without overlap.
pub fn leftmost_longest<'h>(
    hits: &'h [Hit],
    mut wanted: impl FnMut(&Hit) -> bool + 'h,
) -> impl Iterator<Item = Hit> + 'h {
    let mut free = 0;
    hits.iter().copied().filter(move |hit| {
        let take = hit.first >= free && wanted(hit);
        if take {
            free = hit.last + 1;
        }
        take
    })
}

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use super::*;

    /// Every run of words looked up whole.
    fn naive(tokens: &Tokens, by_words: &HashMap<&str, u32>) -> Vec<(u32, u32, u32)> {
        let count = tokens.list.len();
        let mut out = Vec::new();
        for first in 0..count {
            for last in (first..count.min(first + 20)).rev() {
                let run: Vec<_> = (first..=last).map(|i| tokens.word(i)).collect();
                if let Some(phrase) = by_words.get(run.join(" ").as_str()) {
                    out.push((*phrase, first as u32, last as u32));
                }
            }
        }
        out
    }

    #[test]
    fn the_scan_finds_what_looking_up_every_run_of_words_finds() {
        let lexicon = Lexicon::built_in().unwrap();
        let scanner = Scanner::new(&lexicon);
        let spelled = lexicon.phrases.spelled();
        let plain = lexicon.phrases.frames().1;
        let by_words: HashMap<&str, u32> = spelled
            .iter()
            .map(|(words, phrase)| (words.as_str(), phrase.id()))
            .collect();
        assert_eq!(by_words.len(), spelled.len());
        // Phrases from all over the tables, some cut short, run together.
        let mut all: Vec<&str> = by_words.keys().copied().collect();
        all.sort_unstable();
        let picked = all.iter().step_by(97).zip(1..);
        let text: String = picked
            .map(|(p, n)| &p[..p.len() - if n % 3 == 0 { p.len() / 3 } else { 0 }])
            .flat_map(|p| [p, " "])
            .collect();
        let (mut tokens, mut hits) = (Tokens::default(), Vec::new());
        tokens.fill(&text);
        scanner.scan(&mut tokens, &mut Vec::new(), &mut hits);
        // Frames are put together afterwards, and what serves only them dropped.
        let found: Vec<_> = hits
            .iter()
            .filter(|h| h.phrase < plain)
            .map(|h| (h.phrase, h.first, h.last))
            .collect();
        assert!(found.len() > 1000);
        let mut expected = naive(&tokens, &by_words);
        expected.retain(|(p, f, l)| !scanner.hit(*p, *f, *l).marks.is_piece());
        assert_eq!(found, expected);
        for words in all.iter().step_by(53) {
            assert_eq!(scanner.find(words).map(|p| p.id()), Some(by_words[words]));
        }
        assert!(scanner.find("head gasket piston").is_none());
        assert!(scanner.find("").is_none());
    }
}
