//! The phrases a seller uses: names of parts and symptoms, cue words with
//! their reach, words that act on a part, signs of the plain fields, and the
//! words beside numbers.

use std::collections::HashSet;

use super::gathering::{Clash, Gathering};
pub use super::meaning::*;
use super::parts::Parts;
use super::signs::SignFrame;
use super::table::{LexiconError, Row, Sheet};
use super::trie::{PhraseId, Trie};
use super::vehicles::{VehicleName, Vehicles};
use super::words::{WordId, Words};
use crate::reading::Says;

/// One phrase with all it can mean.
#[derive(Debug, Clone, Copy)]
pub struct Phrase<'l> {
    phrases: &'l Phrases,
    id: PhraseId,
    /// What the phrase tables say.
    pub meaning: &'l Meaning,
}

impl<'l> Phrase<'l> {
    /// The folded words.
    pub fn words(self) -> &'l str {
        let plain = self.phrases.trie.len();
        match (self.id as usize).checked_sub(plain) {
            Some(frame) => &self.phrases.frames[frame].frame.written,
            None => self.phrases.trie.text(self.id),
        }
    }

    /// Makes and models it names.
    pub fn vehicles(self) -> &'l [VehicleName] {
        let (_, vehicles) = self.phrases.of[self.id as usize];
        &self.phrases.vehicles[vehicles as usize]
    }
}

/// All phrases with their meanings, names of vehicles among them.
#[derive(Debug)]
pub struct Phrases {
    trie: Trie,
    meanings: Vec<Meaning>,
    vehicles: Vec<Vec<VehicleName>>,
    /// For each phrase its place in `meanings` and in `vehicles`.
    of: Vec<(u32, u32)>,
    /// Signs put together from lists of phrases: their numbers follow those of
    /// the plain phrases.
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
}

impl Phrases {
    /// Reads the six tables and adds the names of vehicles.
    ///
    /// # Errors
    /// An unknown code or word, a phrase that stands twice or can never match.
    pub fn read(
        sheets: PhraseSheets<'_>,
        parts: &Parts,
        vehicles: &Vehicles,
    ) -> Result<Self, LexiconError> {
        let mut all = Gathering::default();
        all.read_phrases(sheets.phrases, parts)?;
        all.read_senses(sheets.senses, parts)?;
        all.read_cues(sheets.cues)?;
        all.read_effects(sheets.effects, parts)?;
        let frames = all.read_signs(sheets.signs)?;
        all.read_numbers(sheets.numbers)?;
        all.settle_derived();
        all.inherit();
        // The words that stand for a code are none that a seller misspells.
        let part_words = all.part_words();
        let code = parts.find("engine_light").map(|part| {
            let naming = Naming::Fault;
            all.name(CODE, vec![Named { part, naming }])
        });
        let mut phrases = Phrases {
            of: all.of.iter().map(|meaning| (*meaning, 0)).collect(),
            trie: all.trie,
            meanings: all.meanings,
            vehicles: vec![Vec::new()],
            frames,
            part_words,
            code,
        };
        phrases.add_vehicles(vehicles);
        phrases.add_frames();
        Ok(phrases)
    }

    fn add_vehicles(&mut self, vehicles: &Vehicles) {
        for (words, names) in &vehicles.names {
            let phrase = self.trie.add(words) as usize;
            self.of.resize(self.trie.len(), (0, 0));
            self.of[phrase].1 = self.vehicles.len() as u32;
            self.vehicles.push(names.clone());
        }
    }

    /// Of two frames that reach equally far, the one that hides a sign comes
    /// first.
    fn add_frames(&mut self) {
        self.frames
            .sort_by_key(|f| (f.frame.is_open(), f.value.is_some()));
        for frame in &self.frames {
            self.of.push((self.meanings.len() as u32, 0));
            self.meanings.push(frame.meaning());
        }
    }

    /// The frames, and the number of the first among the phrases.
    pub fn frames(&self) -> (&[SignFrame], PhraseId) {
        (&self.frames, self.trie.len() as PhraseId)
    }

    /// A phrase by its number.
    pub fn get(&self, id: PhraseId) -> Phrase<'_> {
        Phrase {
            phrases: self,
            id,
            meaning: &self.meanings[self.of[id as usize].0 as usize],
        }
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

    /// The tree of all phrases.
    pub fn trie(&self) -> &Trie {
        &self.trie
    }

    /// All words of the phrases.
    pub fn words(&self) -> &Words {
        self.trie.words()
    }

    /// The numbers of all plain phrases.
    pub fn ids(&self) -> impl Iterator<Item = PhraseId> + use<> {
        0..self.trie.len() as PhraseId
    }

    /// All plain phrases, names of vehicles among them.
    pub fn plain(&self) -> impl Iterator<Item = Phrase<'_>> {
        self.ids().map(|id| self.get(id))
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

impl Gathering {
    fn read_phrases(&mut self, sheet: &Sheet, parts: &Parts) -> Result<(), LexiconError> {
        let mut seen = HashSet::new();
        for row in sheet.rows() {
            once(&row, &mut seen, "")?;
            let says = row.required("says")?;
            let naming = match says {
                "noun" => Some(Naming::Noun),
                "generic" => Some(Naming::Generic),
                "equipment" => Some(Naming::Equipment),
                "subject" => Some(Naming::Subject),
                "fault" => Some(Naming::Fault),
                "ignore" => None,
                word => Some(Naming::States(Says::of_word(word).ok_or_else(|| {
                    row.error(
                        "says",
                        format!(
                            "'{word}' is none of: noun, generic, equipment, subject, fault, bad, suspect, renewed, sound, \
                             spare, ignore"
                        ),
                    )
                })?)),
            };
            let mut codes = Vec::new();
            for code in row.list("code")? {
                codes.push(parts.of_cell(&row, "code", code)?);
            }
            if codes.is_empty() && naming.is_some() {
                return Err(row.error("code", "is empty; name a code of parts.csv"));
            }
            let named: Vec<Named> = match naming {
                Some(naming) => codes.iter().map(|&part| Named { part, naming }).collect(),
                None => Vec::new(),
            };
            let forms = self.add(&row, |meaning| {
                let taken = !meaning.named.is_empty() || meaning.decoy;
                if taken && (meaning.named != named || meaning.decoy != naming.is_none()) {
                    return Err(Clash);
                }
                meaning.named.clone_from(&named);
                meaning.decoy = naming.is_none();
                Ok(())
            })?;
            if naming.is_some_and(|n| n.is_noun() || n == Naming::Fault) {
                self.derive(&forms, &named);
            }
        }
        Ok(())
    }

    fn read_senses(&mut self, sheet: &Sheet, parts: &Parts) -> Result<(), LexiconError> {
        let mut seen = HashSet::new();
        for row in sheet.rows() {
            once(&row, &mut seen, row.text("means")?)?;
            let mut beside = Vec::new();
            for name in row.list("beside")? {
                let group = parts.of_group(name);
                match group.is_empty() {
                    true => beside.push(parts.of_cell(&row, "beside", name)?),
                    false => beside.extend(group),
                }
            }
            if beside.is_empty() {
                return Err(row.error("beside", "name the codes or groups that decide"));
            }
            let within = match row.text("within")? {
                "" => usize::MAX,
                text => text.parse().map_err(|_| {
                    row.error(
                        "within",
                        format!("'{text}' is no number of words; leave it empty for the sentence"),
                    )
                })?,
            };
            let part = parts.of_cell(&row, "means", row.required("means")?)?;
            let sense = Sense {
                beside,
                within,
                part,
            };
            self.add(&row, |meaning| {
                meaning.senses.push(sense.clone());
                Ok(())
            })?;
        }
        Ok(())
    }

    fn read_cues(&mut self, sheet: &Sheet) -> Result<(), LexiconError> {
        let mut seen = HashSet::new();
        for row in sheet.rows() {
            once(&row, &mut seen, "")?;
            let act = match row.required("act")? {
                "lacks" => Act::Lacks,
                "negates" => Act::Negates,
                "negates_all" => Act::NegatesAll,
                "hedges" => Act::Hedges,
                "unreal" => Act::Unreal,
                "past" => Act::Past,
                "formerly" => Act::Formerly,
                "when" => Act::When,
                "dates" => Act::Dates,
                "affirms" => Act::Affirms,
                "cures" => Act::Cures,
                "border" => Act::Border,
                "but" => Act::But,
                "still" => Act::Still,
                "others" => Act::Others,
                "modifier" => Act::Modifier,
                "some" => Act::Some,
                "and" => Act::And,
                "or" => Act::Or,
                "copula" => Act::Copula,
                "echoes" => Act::Echoes,
                "was" => Act::Was,
                "pronoun" => Act::Pronoun,
                "place" => Act::Place,
                "latest" => Act::Latest,
                "with" => Act::With,
                "too" => Act::Too,
                word => Act::State(Says::of_word(word).ok_or_else(|| {
                    row.error(
                        "act",
                        format!(
                            "'{word}' is none of: bad, suspect, renewed, sound, spare, lacks, \
                             negates, negates_all, affirms, formerly, when, dates, cures, hedges, unreal, past, border, but, still, others, \
                             modifier, some, and, \
                             or, copula, echoes, was, pronoun, place, latest, with, too"
                        ),
                    )
                })?),
            };
            if row.text("side")? == "heading" {
                let Act::State(says) = act else {
                    return Err(
                        row.error("act", "a heading gives a state: bad, renewed, sound, spare")
                    );
                };
                self.add(&row, |meaning| {
                    if meaning.heading.is_some_and(|h| h != says) {
                        return Err(Clash);
                    }
                    meaning.heading = Some(says);
                    Ok(())
                })?;
                continue;
            }
            let side = match row.text("side")? {
                "after" => Side::After,
                "before" => Side::Before,
                "next" => Side::Next,
                "either" | "" => Side::Either,
                word => {
                    return Err(row.error(
                        "side",
                        format!("'{word}' is none of: after, before, next, either, heading"),
                    ));
                }
            };
            self.add(&row, |meaning| {
                if meaning.cue.is_some_and(|c| c != Cue { act, side }) {
                    return Err(Clash);
                }
                meaning.cue = Some(Cue { act, side });
                Ok(())
            })?;
        }
        Ok(())
    }

    fn read_effects(&mut self, sheet: &Sheet, parts: &Parts) -> Result<(), LexiconError> {
        let mut seen = HashSet::new();
        for row in sheet.rows() {
            once(&row, &mut seen, row.text("subject")?)?;
            let mut subjects = Vec::new();
            let of = match row.required("subject")? {
                "any" => EffectOf::Any,
                "nothing" => EffectOf::Nothing,
                _ => {
                    for code in row.list("subject")? {
                        subjects.push(parts.of_cell(&row, "subject", code)?);
                    }
                    EffectOf::Named
                }
            };
            let mut claims = Vec::new();
            for claim in row.list("claims")? {
                let (code, says) = claim.split_once(':').ok_or_else(|| {
                    row.error(
                        "claims",
                        format!("'{claim}' is not CODE:STATE or subject:STATE"),
                    )
                })?;
                let says = Says::of_word(says).ok_or_else(|| {
                    row.error("claims", format!("'{says}' is no state of a claim"))
                })?;
                let part = match code {
                    "subject" => None,
                    code => Some(parts.of_cell(&row, "claims", code)?),
                };
                if part.is_none() && of == EffectOf::Nothing {
                    return Err(row.error("claims", "there is no subject in a row for nothing"));
                }
                claims.push((part, says));
            }
            self.add(&row, |meaning| {
                let clash = meaning.effects.iter().any(|e| {
                    e.claims != claims
                        && match of {
                            EffectOf::Named => e.subjects.iter().any(|s| subjects.contains(s)),
                            other => e.of == other,
                        }
                });
                if clash {
                    return Err(Clash);
                }
                meaning.effects.push(Effect {
                    subjects: subjects.clone(),
                    of,
                    claims: claims.clone(),
                });
                Ok(())
            })?;
        }
        Ok(())
    }

    fn read_numbers(&mut self, sheet: &Sheet) -> Result<(), LexiconError> {
        let mut seen = HashSet::new();
        for row in sheet.rows() {
            once(&row, &mut seen, row.text("stands")?)?;
            let role = match row.required("role")? {
                "ask" => NumberRole::Ask,
                "was" => NumberRole::Was,
                "other_money" => NumberRole::OtherMoney,
                "deposit" => NumberRole::Deposit,
                "distance" => NumberRole::Distance,
                "other_distance" => NumberRole::OtherDistance,
                "job_distance" => NumberRole::JobDistance,
                "swap_distance" => NumberRole::SwapDistance,
                "since_job" => NumberRole::SinceJob,
                "past_distance" => NumberRole::PastDistance,
                "unit_miles" => NumberRole::UnitMiles,
                "unit_km" => NumberRole::UnitKm,
                "neither" => NumberRole::Neither,
                "approximate" => NumberRole::Approximate,
                "plate" => NumberRole::Plate,
                word => {
                    return Err(row.error(
                        "role",
                        format!(
                            "'{word}' is none of: ask, was, other_money, deposit, distance, \
                             other_distance, job_distance, swap_distance, since_job, past_distance, \
                             unit_miles, unit_km, neither, approximate, plate"
                        ),
                    ));
                }
            };
            let before = match row.required("stands")? {
                "before" => true,
                "after" => false,
                word => {
                    return Err(
                        row.error("stands", format!("'{word}' is neither before nor after"))
                    );
                }
            };
            self.add(&row, |meaning| {
                let new = NumberCue { role, before };
                let approximate = role == NumberRole::Approximate;
                let other = |n: &NumberCue| {
                    n.before == before
                        && *n != new
                        && (n.role == NumberRole::Approximate) == approximate
                };
                if meaning.numbers.iter().any(other) {
                    return Err(Clash);
                }
                if !meaning.numbers.contains(&new) {
                    meaning.numbers.push(new);
                }
                Ok(())
            })?;
        }
        Ok(())
    }
}

/// Refuses a row whose phrase is written word for word as in a row above.
pub(super) fn once<'r>(
    row: &Row<'r>,
    seen: &mut HashSet<(&'r str, &'r str)>,
    key: &'r str,
) -> Result<(), LexiconError> {
    let phrase = row.required("phrase")?;
    if seen.insert((phrase, key)) {
        Ok(())
    } else {
        Err(row.error("phrase", format!("'{phrase}' stands twice; remove one")))
    }
}
