//! One pass over the folded text that finds every phrase of every table.

use aho_corasick::{AhoCorasick, AhoCorasickKind, MatchKind};

use super::frames::Frames;
use super::tokens::Tokens;
use crate::lexicon::Lexicon;
use crate::lexicon::phrases::{Meaning, Named, Naming};
use crate::lexicon::vehicles::VehicleName;

/// A phrase found: which, and the tokens it covers (both included).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hit {
    /// Index of the phrase.
    pub phrase: u32,
    /// First token.
    pub first: u32,
    /// Last token.
    pub last: u32,
}

impl Hit {
    /// How many tokens it covers; at least one.
    pub fn width(self) -> u32 {
        self.last - self.first + 1
    }
}

/// One phrase with all it can mean.
#[derive(Debug, Default)]
pub struct Phrase {
    /// The folded words.
    pub words: String,
    /// What the phrase tables say.
    pub meaning: Meaning,
    /// Makes and models it names.
    pub vehicles: Vec<VehicleName>,
}

/// Stands for every trouble code read out, whose digits are not in any table
/// of phrases.
const CODE: &str = "trouble code read out";

/// The automaton over all phrases.
pub struct Scanner {
    automaton: AhoCorasick,
    /// Those that are looked up, in alphabetical order, then the frames.
    phrases: Vec<Phrase>,
    frames: Frames,
    code_phrase: Option<u32>,
}

impl Scanner {
    /// Builds the automaton.
    ///
    /// # Errors
    /// When the tables are too large for one automaton.
    pub fn new(lexicon: &Lexicon) -> Result<Self, aho_corasick::BuildError> {
        let mut all: std::collections::BTreeMap<String, Phrase> = Default::default();
        for (words, meaning) in &lexicon.phrases.list {
            let phrase = all.entry(words.clone()).or_default();
            phrase.words.clone_from(words);
            phrase.meaning = meaning.clone();
        }
        for (words, names) in &lexicon.vehicles.names {
            let phrase = all.entry(words.clone()).or_default();
            phrase.words.clone_from(words);
            phrase.vehicles.clone_from(names);
        }
        let light = lexicon.parts.find("engine_light");
        if let Some(part) = light {
            let phrase = all.entry(CODE.to_owned()).or_default();
            phrase.words = CODE.to_owned();
            let naming = Naming::Fault;
            phrase.meaning.named = vec![Named { part, naming }];
        }
        let mut phrases: Vec<Phrase> = all.into_values().collect();
        let automaton = AhoCorasick::builder()
            .kind(Some(AhoCorasickKind::ContiguousNFA))
            .match_kind(MatchKind::Standard)
            .build(phrases.iter().map(|p| format!(" {} ", p.words)))?;
        let frames = Frames::new(&lexicon.phrases.frames, &mut phrases);
        let mut scanner = Scanner {
            automaton,
            phrases,
            frames,
            code_phrase: None,
        };
        scanner.code_phrase = light.and_then(|_| scanner.index(CODE));
        Ok(scanner)
    }

    /// A phrase by its index.
    pub fn phrase(&self, index: u32) -> &Phrase {
        &self.phrases[index as usize]
    }

    /// A phrase by its folded words.
    pub fn find(&self, words: &str) -> Option<&Phrase> {
        self.index(words).map(|i| self.phrase(i))
    }

    fn index(&self, words: &str) -> Option<u32> {
        self.phrases[..self.frames.first()]
            .binary_search_by(|p| p.words.as_str().cmp(words))
            .ok()
            .map(|i| i as u32)
    }

    /// The phrase that stands for a trouble code read out: a fault of
    /// `engine_light`.
    pub fn code_phrase(&self) -> Option<u32> {
        self.code_phrase
    }

    /// All phrases in the text, overlapping ones too, by first token and then
    /// longest first.
    pub fn scan(&self, tokens: &Tokens, hits: &mut Vec<Hit>) {
        hits.clear();
        for found in self.automaton.find_overlapping_iter(tokens.folded.as_str()) {
            let (Some(first), Some(last)) = (
                tokens.at(found.start() + 1),
                tokens.ending_at(found.end() - 1),
            ) else {
                continue;
            };
            hits.push(Hit {
                phrase: found.pattern().as_u32(),
                first: first as u32,
                last: last as u32,
            });
        }
        let order = |h: &Hit| (h.first, u32::MAX - h.last, h.phrase);
        hits.sort_unstable_by_key(order);
        let framed = self.frames.find(tokens, hits, &self.phrases);
        hits.retain(|h| {
            let phrase = self.phrase(h.phrase);
            !phrase.vehicles.is_empty() || !phrase.meaning.is_piece()
        });
        if !framed.is_empty() {
            hits.extend(framed);
            hits.sort_unstable_by_key(order);
        }
    }
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
