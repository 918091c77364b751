//! Misspelt part words put right before phrases are looked up: `rotars`,
//! `alternater`, `windsheild`.
//!
//! A word that no table knows is taken for the one word of the tables that it
//! is nearest to by optimal string alignment (insertions, deletions,
//! substitutions, neighbours swapped), if it is near enough, begins with the
//! same letter and no other is as near.

use std::collections::{HashMap, HashSet};

use super::tokens::{TokenKind, Tokens};
use crate::lexicon::Lexicon;

/// Shorter words are left alone: too many words are one letter apart.
const SHORTEST: usize = 5;
/// From this length two slips are forgiven.
const LONG: usize = 8;

/// Knows the words of the tables.
pub struct Speller {
    /// Words worth correcting to, by first letter.
    targets: HashMap<u8, Vec<String>>,
    /// Words that are right as they are.
    known: HashSet<String>,
}

impl Speller {
    /// A speller for the words of these tables.
    pub fn new(lexicon: &Lexicon) -> Self {
        let mut known = HashSet::new();
        let mut wanted = HashSet::new();
        for (phrase, meaning) in &lexicon.phrases.list {
            for word in phrase.split(' ') {
                known.insert(word.to_owned());
                let letters = word.bytes().all(|b| b.is_ascii_lowercase());
                if letters && word.len() >= SHORTEST && !meaning.named.is_empty() {
                    wanted.insert(word.to_owned());
                }
            }
        }
        for phrase in lexicon.vehicles.names.keys() {
            known.extend(phrase.split(' ').map(str::to_owned));
        }
        let mut targets: HashMap<u8, Vec<String>> = HashMap::new();
        for word in wanted {
            targets.entry(word.as_bytes()[0]).or_default().push(word);
        }
        for list in targets.values_mut() {
            list.sort_unstable();
        }
        Speller { targets, known }
    }

    /// The words that the tables' words could be taken for: those that
    /// `ordinary_words.csv` must hold if they are English.
    pub fn targets(&self) -> impl Iterator<Item = &str> {
        self.targets.values().flatten().map(String::as_str)
    }

    /// The word meant by a misspelt one; `None` where it is right as it is or
    /// no one word is near enough.
    pub fn correct(&self, word: &str, lexicon: &Lexicon) -> Option<&str> {
        let letters = word.bytes().all(|b| b.is_ascii_lowercase());
        if word.len() < SHORTEST
            || word.len() > 24
            || !letters
            || self.known.contains(word)
            || lexicon.ordinary.contains(word)
        {
            return None;
        }
        let allowed = if word.len() >= LONG { 2 } else { 1 };
        let mut best: Option<(usize, &str)> = None;
        let mut tie = false;
        for target in self.targets.get(&word.as_bytes()[0])? {
            if target.len().abs_diff(word.len()) > allowed {
                continue;
            }
            let distance = strsim::osa_distance(word, target);
            if distance > allowed {
                continue;
            }
            match best {
                Some((d, _)) if distance > d => {}
                Some((d, _)) if distance == d => tie = true,
                _ => {
                    best = Some((distance, target));
                    tie = false;
                }
            }
        }
        best.filter(|_| !tie).map(|(_, target)| target)
    }

    /// Corrects all tokens; `memory` keeps what was found for words seen
    /// before.
    pub fn apply(
        &self,
        tokens: &mut Tokens,
        lexicon: &Lexicon,
        memory: &mut HashMap<String, Option<String>>,
    ) {
        let mut corrections: Vec<(usize, String)> = Vec::new();
        for i in 0..tokens.list.len() {
            if tokens.kind(i) != TokenKind::Word {
                continue;
            }
            let word = tokens.word(i);
            if word.len() < SHORTEST || self.known.contains(word) {
                continue;
            }
            if memory.len() > 50_000 {
                memory.clear();
            }
            let found = match memory.get(word) {
                Some(found) => found.clone(),
                None => {
                    let found = self.correct(word, lexicon).map(str::to_owned);
                    memory.insert(word.to_owned(), found.clone());
                    found
                }
            };
            if let Some(right) = found {
                corrections.push((i, right));
            }
        }
        if !corrections.is_empty() {
            tokens.replace(&corrections);
        }
    }
}
