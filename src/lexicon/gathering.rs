//! Gathers the rows of several tables under their phrases.
//!
//! Most rows stand for many forms that all mean the same: a meaning is held
//! once and phrases point at it. Where a further row touches phrases of
//! different meanings, each of those is copied and changed once.

use hashbrown::HashMap;

use super::phrases::{Meaning, Named};
use super::phrasing::{Pattern, joined, plural, stands_for_nothing};
use super::table::{LexiconError, Row};
use super::trie::{PhraseId, Trie};
use super::words::WordId;

/// What a row says of a phrase contradicts what the same table said of it.
pub(super) struct Clash;

/// A meaning, by its number.
pub(super) type MeaningId = u32;

/// Phrases and what they mean as far as read.
pub(super) struct Gathering {
    pub(super) trie: Trie,
    /// The first says nothing.
    pub(super) meanings: Vec<Meaning>,
    /// The meaning of each phrase.
    pub(super) of: Vec<MeaningId>,
    /// For forms made by rule (plurals), which a written row overrides, the
    /// place of their names in `names`.
    derived: Vec<Option<u32>>,
    names: Vec<Vec<Named>>,
    plurals: HashMap<WordId, Option<WordId>>,
}

impl Default for Gathering {
    fn default() -> Self {
        Gathering {
            trie: Trie::default(),
            meanings: vec![Meaning::default()],
            of: Vec::new(),
            derived: Vec::new(),
            names: Vec::new(),
            plurals: HashMap::new(),
        }
    }
}

impl Gathering {
    /// The phrases that a row's written phrase stands for.
    pub(super) fn forms(&mut self, row: &Row<'_>) -> Result<Vec<PhraseId>, LexiconError> {
        let written = row.required("phrase")?;
        let pattern = Pattern::parse(row, "phrase", written)?;
        let mut forms = Vec::new();
        if self.trie.add_forms(&pattern, &mut forms) {
            return Err(stands_for_nothing(row, "phrase", written));
        }
        Ok(forms)
    }

    /// Adds what a row says to the meaning of all its phrases.
    pub(super) fn add(
        &mut self,
        row: &Row<'_>,
        change: impl Fn(&mut Meaning) -> Result<(), Clash>,
    ) -> Result<Vec<PhraseId>, LexiconError> {
        let forms = self.forms(row)?;
        self.of.resize(self.trie.len(), 0);
        // What meanings before this row became by it.
        let mut became: Vec<(MeaningId, MeaningId)> = Vec::new();
        for phrase in &forms {
            let at = *phrase as usize;
            let old = self.of[at];
            if let Some((_, new)) = became.iter().find(|(was, is)| *was == old || *is == old) {
                self.of[at] = *new;
                continue;
            }
            let mut meaning = self.meanings[old as usize].clone();
            change(&mut meaning).map_err(|Clash| {
                row.error(
                    "phrase",
                    format!(
                        "'{}' stands twice with different meanings; remove one",
                        self.trie.text(*phrase)
                    ),
                )
            })?;
            let new = self.meaning(meaning, old);
            became.push((old, new));
            self.of[at] = new;
        }
        Ok(forms)
    }

    /// Adds the same to the meaning of several phrases written plainly, each
    /// once.
    pub(super) fn add_plain(&mut self, phrases: &[String], change: impl Fn(&mut Meaning)) {
        let mut became: HashMap<MeaningId, MeaningId> = HashMap::new();
        for phrase in phrases {
            let at = self.trie.add(phrase) as usize;
            self.of.resize(self.trie.len(), 0);
            self.of[at] = *became.entry(self.of[at]).or_insert_with_key(|old| {
                let mut meaning = self.meanings[*old as usize].clone();
                change(&mut meaning);
                self.meanings.push(meaning);
                self.meanings.len() as MeaningId - 1
            });
        }
    }

    /// The number of a meaning that was made out of an old one.
    fn meaning(&mut self, meaning: Meaning, old: MeaningId) -> MeaningId {
        if meaning == self.meanings[old as usize] {
            return old;
        }
        self.meanings.push(meaning);
        self.meanings.len() as MeaningId - 1
    }

    /// Derives the plural and the two-words-as-one form of these phrases; of
    /// several rows that a form comes from, the first counts.
    pub(super) fn derive(&mut self, forms: &[PhraseId], named: &[Named]) {
        let names = self.names.len() as u32;
        self.names.push(named.to_vec());
        for phrase in forms {
            let (last, before, third) = {
                let mut words = self.trie.words_backwards(*phrase);
                (words.next(), words.next(), words.next())
            };
            let Some(last) = last else { continue };
            if let Some(plural) = self.plural(last) {
                let form = self.trie.beside(*phrase, plural);
                self.derived_form(form, names);
            }
            let (Some(before), None) = (before, third) else {
                continue;
            };
            let words = self.trie.words();
            if let Some(one) = joined(words.word(before), words.word(last)) {
                let one = self.trie.intern(&one);
                let form = self.trie.single(one);
                self.derived_form(form, names);
                if let Some(plural) = self.plural(one) {
                    let form = self.trie.single(plural);
                    self.derived_form(form, names);
                }
            }
        }
    }

    fn derived_form(&mut self, phrase: PhraseId, names: u32) {
        self.derived.resize(self.trie.len(), None);
        self.derived[phrase as usize].get_or_insert(names);
    }

    fn plural(&mut self, word: WordId) -> Option<WordId> {
        if let Some(known) = self.plurals.get(&word) {
            return *known;
        }
        let many = plural(self.trie.words().word(word)).map(|many| self.trie.intern(&many));
        self.plurals.insert(word, many);
        many
    }

    /// Gives the derived forms their meaning, where no written row did.
    pub(super) fn settle_derived(&mut self) {
        self.of.resize(self.trie.len(), 0);
        let mut became: HashMap<(MeaningId, u32), MeaningId> = HashMap::new();
        for (phrase, names) in std::mem::take(&mut self.derived).into_iter().enumerate() {
            let Some(names) = names else { continue };
            let old = self.of[phrase];
            let meaning = &self.meanings[old as usize];
            if !meaning.named.is_empty() || meaning.decoy {
                continue;
            }
            self.of[phrase] = *became.entry((old, names)).or_insert_with(|| {
                let mut meaning = self.meanings[old as usize].clone();
                meaning.named.clone_from(&self.names[names as usize]);
                self.meanings.push(meaning);
                self.meanings.len() as MeaningId - 1
            });
        }
    }

    /// The words of the phrases that name a part or a symptom.
    pub(super) fn part_words(&self) -> Vec<WordId> {
        let words = self.trie.words();
        let mut seen = vec![false; words.len()];
        for (phrase, of) in (0..).zip(&self.of) {
            if !self.meanings[*of as usize].named.is_empty() {
                for word in self.trie.words_backwards(phrase) {
                    seen[word.index()] = true;
                }
            }
        }
        words.ids().filter(|w| seen[w.index()]).collect()
    }

    /// Makes a phrase name these and nothing else.
    pub(super) fn name(&mut self, words: &str, named: Vec<Named>) -> PhraseId {
        let phrase = self.trie.add(words);
        self.of.resize(self.trie.len(), 0);
        let old = self.of[phrase as usize];
        let mut meaning = self.meanings[old as usize].clone();
        meaning.named = named;
        self.of[phrase as usize] = self.meaning(meaning, old);
        phrase
    }

    /// A saying of several words that finds no subject still says what the
    /// longest shorter phrase within it says: `small oil leak` is an oil leak.
    pub(super) fn inherit(&mut self) {
        let mut found: Vec<(PhraseId, MeaningId)> = Vec::new();
        let mut words = Vec::new();
        for (phrase, of) in (0..).zip(&self.of) {
            let meaning = &self.meanings[*of as usize];
            if meaning.effects.is_empty() || !meaning.named.is_empty() || meaning.cue.is_some() {
                continue;
            }
            words.clear();
            words.extend(self.trie.words_backwards(phrase));
            words.reverse();
            let inner = (1..words.len()).rev().find_map(|len| {
                words.windows(len).find_map(|part| {
                    let inner = self.of[self.trie.find_words(part)? as usize];
                    let named = &self.meanings[inner as usize].named;
                    (!named.is_empty() && !named.iter().all(|n| n.naming.is_noun()))
                        .then_some(inner)
                })
            });
            found.extend(inner.map(|inner| (phrase, inner)));
        }
        let mut became: HashMap<(MeaningId, MeaningId), MeaningId> = HashMap::new();
        for (phrase, inner) in found {
            let old = self.of[phrase as usize];
            self.of[phrase as usize] = *became.entry((old, inner)).or_insert_with(|| {
                let mut meaning = self.meanings[old as usize].clone();
                meaning.named = self.meanings[inner as usize].named.clone();
                self.meanings.push(meaning);
                self.meanings.len() as MeaningId - 1
            });
        }
    }
}
