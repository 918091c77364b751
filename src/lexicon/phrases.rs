//! The phrases a seller uses: names of parts and symptoms, cue words with
//! their reach, words that act on a part, signs of the plain fields, and the
//! words beside numbers.

use serde::{Deserialize, Serialize};

use super::gathering::{AllPhrases, Gathering};
use super::graph::{Graph, PhraseId};
pub use super::meaning::*;
use super::parts::Parts;
use super::signs::SignFrame;
use super::table::{LexiconError, Sheet, Source};
use super::vehicles::{VehicleName, Vehicles};
use super::verbs::Verbs;
use super::words::{WordId, Words};

/// What a phrase can mean. Phrases that mean the same are one.
#[derive(Debug, Clone, Copy)]
pub struct Phrase<'l> {
    phrases: &'l Phrases,
    id: PhraseId,
    /// What the phrase tables say.
    pub meaning: &'l Meaning,
}

impl<'l> Phrase<'l> {
    /// Its number.
    pub fn id(self) -> PhraseId {
        self.id
    }

    /// Makes and models it names.
    pub fn vehicles(self) -> &'l [VehicleName] {
        let (_, vehicles) = self.phrases.of[self.id as usize];
        &self.phrases.vehicles[vehicles as usize]
    }
}

/// All phrases with their meanings, names of vehicles among them.
#[derive(Debug, Serialize, Deserialize)]
pub struct Phrases {
    words: Words,
    graph: Graph,
    meanings: Vec<Meaning>,
    vehicles: Vec<Vec<VehicleName>>,
    /// For each phrase its place in `meanings` and in `vehicles`.
    of: Vec<(u32, u32)>,
    /// How many of them are plain, words in a row. Behind them come the signs
    /// put together from lists of phrases, and what stands for a code.
    plain: PhraseId,
    frames: Vec<SignFrame>,
    part_words: Vec<WordId>,
    code: Option<PhraseId>,
}

/// Stands for every trouble code read out, whose digits are not in any table
/// of phrases.
const CODE: &str = "trouble code read out";

/// The six tables of phrases.
#[derive(Debug, Clone, Copy)]
pub struct PhraseSheets<'s> {
    /// `phrases.csv`.
    pub phrases: &'s Sheet,
    /// `senses.csv`.
    pub senses: &'s Sheet,
    /// `cues.csv`.
    pub cues: &'s Sheet,
    /// `effects.csv`.
    pub effects: &'s Sheet,
    /// `signs.csv`.
    pub signs: &'s Sheet,
    /// `numbers.csv`.
    pub numbers: &'s Sheet,
    /// `verbs.csv`.
    pub verbs: &'s Sheet,
}

impl<'s> PhraseSheets<'s> {
    /// The seven sheets of a source.
    ///
    /// # Errors
    /// A file that cannot be read or is no CSV.
    pub fn sheets(source: &Source) -> Result<[Sheet; 7], LexiconError> {
        Ok([
            source.sheet("phrases.csv")?,
            source.sheet("senses.csv")?,
            source.sheet("cues.csv")?,
            source.sheet("effects.csv")?,
            source.sheet("signs.csv")?,
            source.sheet("numbers.csv")?,
            source.sheet("verbs.csv")?,
        ])
    }

    /// The same by name.
    pub fn of(sheets: &'s [Sheet; 7]) -> Self {
        let [phrases, senses, cues, effects, signs, numbers, verbs] = sheets;
        PhraseSheets {
            phrases,
            senses,
            cues,
            effects,
            signs,
            numbers,
            verbs,
        }
    }
}

/// What the seven tables say, row by row, before it is joined.
pub struct PhraseRows<'s> {
    all: Gathering<'s>,
    frames: Vec<SignFrame>,
}

impl<'s> PhraseRows<'s> {
    /// Reads the seven tables.
    ///
    /// # Errors
    /// An unknown code or word, a phrase that stands twice or can never match.
    pub fn read(sheets: PhraseSheets<'s>, parts: &Parts) -> Result<Self, LexiconError> {
        let mut all = Gathering::default();
        all.read_phrases(sheets.phrases, parts, &Verbs::read(sheets.verbs)?)?;
        let names = all.names();
        all.read_senses(sheets.senses, parts)?;
        all.read_cues(sheets.cues)?;
        all.read_effects(sheets.effects, parts, &names)?;
        let frames = all.read_signs(sheets.signs)?;
        all.read_numbers(sheets.numbers)?;
        Ok(PhraseRows { all, frames })
    }

    /// All phrases, with the names of vehicles.
    ///
    /// # Errors
    /// Rows that contradict each other.
    pub fn join(self, parts: &Parts, vehicles: &Vehicles) -> Result<Phrases, LexiconError> {
        let PhraseRows { mut all, frames } = self;
        let mut named = vec![Vec::new()];
        // In an order of their own, so that each build gives the same bytes.
        let mut by_name: Vec<_> = vehicles.names.iter().collect();
        by_name.sort_unstable();
        for (words, names) in by_name {
            all.add_vehicles(words, named.len() as u32);
            named.push(names.clone());
        }
        let AllPhrases {
            words,
            graph,
            meanings,
            of,
        } = all.join()?;
        let names = |phrase: PhraseId| {
            let (meaning, _) = of[phrase as usize];
            !meanings[meaning as usize].named.is_empty()
        };
        let mut phrases = Phrases {
            part_words: graph.words_of(names),
            plain: of.len() as PhraseId,
            words,
            graph,
            meanings,
            vehicles: named,
            of,
            frames,
            code: None,
        };
        phrases.add_frames();
        phrases.code = parts.find("engine_light").map(|part| {
            let naming = Naming::Fault;
            phrases.add_written(Meaning {
                named: vec![Named { part, naming }],
                ..Meaning::default()
            })
        });
        Ok(phrases)
    }
}

impl Phrases {
    /// Of two frames that reach equally far, the one that hides a sign comes
    /// first.
    fn add_frames(&mut self) {
        self.frames
            .sort_by_key(|f| (f.frame.is_open(), f.value.is_some()));
        for at in 0..self.frames.len() {
            self.add_written(self.frames[at].meaning());
        }
    }

    fn add_written(&mut self, meaning: Meaning) -> PhraseId {
        self.of.push((self.meanings.len() as u32, 0));
        self.meanings.push(meaning);
        self.of.len() as PhraseId - 1
    }

    /// The frames, and the number of the first among the phrases.
    pub fn frames(&self) -> (&[SignFrame], PhraseId) {
        (&self.frames, self.plain)
    }

    /// What stands in a reason for a phrase that is not the words themselves.
    pub fn written(&self, id: PhraseId) -> Option<&str> {
        let at = id.checked_sub(self.plain)? as usize;
        let frame = self.frames.get(at);
        Some(frame.map_or(CODE, |sign| sign.frame.written.as_str()))
    }

    /// A phrase by its number.
    pub fn get(&self, id: PhraseId) -> Phrase<'_> {
        self.get_with(id, self.of[id as usize].0)
    }

    /// A phrase by its number and that of its meaning.
    pub(crate) fn get_with(&self, id: PhraseId, meaning: u32) -> Phrase<'_> {
        Phrase {
            phrases: self,
            id,
            meaning: &self.meanings[meaning as usize],
        }
    }

    /// For each phrase where its meaning stands in [`Self::meanings`], and
    /// whether it names vehicles.
    pub fn meanings_of(&self) -> impl Iterator<Item = (u32, bool)> {
        let of = self.of.iter();
        of.map(|(meaning, vehicles)| (*meaning, *vehicles != 0))
    }

    /// All different meanings.
    pub fn meanings(&self) -> &[Meaning] {
        &self.meanings
    }

    /// The graph of all plain phrases.
    pub fn graph(&self) -> &Graph {
        &self.graph
    }

    /// All words of the phrases.
    pub fn words(&self) -> &Words {
        &self.words
    }

    /// The plain phrase of these folded words.
    pub fn find(&self, text: &str) -> Option<Phrase<'_>> {
        let words = text.split(' ').map(|word| self.words.find(word));
        self.graph.find(words).map(|id| self.get(id))
    }

    /// All plain phrases with their folded words, names of vehicles among them.
    /// There are some two hundred thousand.
    pub fn spelled(&self) -> Vec<(String, Phrase<'_>)> {
        let all = self.graph.spelled(&self.words).into_iter();
        all.map(|(words, id)| (words, self.get(id))).collect()
    }

    /// The phrase that stands for a trouble code read out: a fault of
    /// `engine_light`.
    pub fn code(&self) -> Option<PhraseId> {
        self.code
    }

    /// The words of the phrases that name a part or a symptom.
    pub fn part_words(&self) -> &[WordId] {
        &self.part_words
    }
}
