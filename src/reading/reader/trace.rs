//! Why a listing was read as it was.
//!
//! Claims: the walk's own steps. Plain fields: the readers of price, distance
//! and vehicle are asked again with one number, or one name, at a time, with
//! the words beside it and without; so the reasons given are theirs, whatever
//! rules they follow. This takes many times as long as reading and is done
//! only when asked for.

mod fields;

use std::collections::BTreeMap;
use std::ops::Range;

use super::*;
use crate::lexicon::context::VAGUE_RULES;
use crate::lexicon::describe::{field_word, meanings};
use crate::lexicon::phrases::Meaning;
use crate::reading::items::ItemKind;
use crate::reading::model::Says;
use crate::safe_text::contacts;

/// Everything that led to a reading. Words of telephone numbers and mail
/// addresses are left out, since taken apart they could not be known for such;
/// other text of the listing must still be made harmless before it is shown.
#[derive(Debug, Clone)]
pub struct Trace {
    /// The words as they are looked up, one text a line of the listing.
    pub lines: Vec<String>,
    /// Words taken for misspelt, and what they were taken for.
    pub spelled: Vec<(String, String)>,
    /// Phrases of the tables, by place; longer ones first.
    pub phrases: Vec<FoundPhrase>,
    /// What the words did, item by item.
    pub turns: Vec<Turn>,
    /// What was said of each part, and what became of it.
    pub sayings: Vec<MadeSaying>,
    /// Signs of the plain fields.
    pub signs: Vec<SignSeen>,
    /// The numbers and what they were taken for.
    pub numbers: Vec<SeenNumber>,
    /// Further numbers of a long text, which were not asked about.
    pub more_numbers: usize,
    /// The makes and models named.
    pub vehicles: Vec<NamedVehicle>,
    /// What came of it all.
    pub reading: Reading,
}

/// One phrase found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundPhrase {
    /// The folded words.
    pub words: String,
    /// What the tables say of it.
    pub meanings: Vec<String>,
    /// The longer phrase that hides it from the reading of claims.
    pub hidden_by: Option<String>,
}

/// What one item of the text did to the reach of cues.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Turn {
    /// The item's words.
    pub words: String,
    /// What happened.
    pub did: Vec<String>,
}

/// One saying of one code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MadeSaying {
    /// Code of the part or symptom.
    pub code: String,
    /// What is said.
    pub says: Says,
    /// The phrases that made it.
    pub rule: String,
    /// Bytes of the listing's text.
    pub range: Range<usize>,
    /// Why it is no claim; none where it is one.
    pub dropped: Option<String>,
}

/// One sign of a plain field.
#[derive(Debug, Clone, PartialEq)]
pub struct SignSeen {
    /// The folded words.
    pub words: String,
    /// Field and value.
    pub means: String,
    /// Whether the field was read from it.
    pub counts: bool,
    /// The chance that it is meant so, where it was left out for that.
    pub meant: Option<f64>,
}

/// One number.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenNumber {
    /// Its words and those beside it.
    pub context: String,
    /// Its value.
    pub value: f64,
    /// What the words beside it make of it.
    pub roles: Vec<String>,
    /// What it was taken for, or why not.
    pub verdicts: Vec<String>,
}

/// One name of a make or model.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedVehicle {
    /// The folded words.
    pub words: String,
    /// What it may name.
    pub names: Vec<String>,
    /// Whether it was taken, or why not.
    pub verdict: String,
}

/// Why a saying of the rules is no claim, where what is heard outweighs it.
const AGAINST: &str = "left out: all words of the ad speak against it";

/// The words that were put right, each with what stands for it.
fn spelled(plain: &Tokens, read: &Tokens) -> Vec<(String, String)> {
    let of = |token: &Token| {
        let from = read.list.partition_point(|t| t.source.0 < token.source.0);
        let mine = read.list[from..].iter();
        let count = mine.take_while(|t| t.source.0 == token.source.0).count();
        (count > 0).then(|| read.run(from, from + count - 1))
    };
    let words = (0..plain.list.len()).map(|i| (plain.word(i), of(&plain.list[i])));
    words
        .filter_map(|(word, read)| Some((word, read?)))
        .filter(|(word, read)| word != read)
        .map(|(word, read)| (word.to_owned(), read.to_owned()))
        .collect()
}

impl Reader<'_> {
    /// Reads a listing and keeps the reasons.
    pub fn trace(&self, listing: &Listing) -> Trace {
        let mut s = Scratch::default();
        let reading = self.read_with(listing, &mut s);
        let mut plain = Tokens::default();
        plain.fill(part_read(listing));
        let spelled = spelled(&plain, &s.tokens);
        let hidden = contact_tokens(part_read(listing), &s.tokens);
        let walk = self.walk(&s).traced();
        let walked = self.leaning(walk).run();
        let (sayings, mut steps) = (walked.sayings, walked.steps);
        let headline = s.tokens.before(listing.headline_len);
        let news = news::find(&s.hits, &s.tokens, &self.scanner, headline);
        let settled = self.settle(sayings.clone(), &news, &s);
        let weighed = self.weigh(settled.clone(), &s);
        steps.extend(weighed.steps);
        let mut turns: BTreeMap<usize, Turn> = BTreeMap::new();
        for step in steps {
            let turn = turns.entry(step.item).or_insert_with(|| Turn {
                words: item_words(&s, &hidden, step.item),
                did: Vec::new(),
            });
            turn.did.push(step.text);
        }
        let numbers = self.seen_numbers(listing, &mut s, &hidden, &reading);
        let own = |(n, _): &&(Number, Roles)| !hidden[n.tokens.0];
        let more_numbers = s.roles.iter().filter(own).count() - numbers.len();
        Trace {
            lines: lines(&s, &hidden),
            spelled,
            phrases: self.found_phrases(&s, &hidden),
            turns: turns.into_values().collect(),
            sayings: self.fates((sayings, settled, weighed.sayings), &s),
            signs: self.signs_seen(&s, &reading),
            numbers,
            more_numbers,
            vehicles: self.named_vehicles(listing, &mut s, &reading),
            reading,
        }
    }

    fn found_phrases(&self, s: &Scratch, hidden: &[bool]) -> Vec<FoundPhrase> {
        let item_at = |hit: &Hit| {
            let from = s.items.partition_point(|item| item.last < hit.first);
            let over = s.items[from..].iter().take_while(|i| i.first <= hit.last);
            over.into_iter()
                .find(|item| matches!(item.kind, ItemKind::Phrase(_)))
        };
        let of_scope = |m: &Meaning| {
            !m.named.is_empty() || m.cue.is_some() || !m.effects.is_empty() || m.heading.is_some()
        };
        s.hits
            .iter()
            .map(|hit| (hit, self.scanner.phrase(hit.phrase)))
            .filter(|(_, p)| *p.meaning != Meaning::default())
            .map(|(hit, p)| {
                let other = |item: &&Item| (item.first, item.last) != (hit.first, hit.last);
                let by = item_at(hit).filter(other);
                FoundPhrase {
                    words: self.scanner.words(&s.tokens, hit.wording()).to_owned(),
                    meanings: meanings(p.meaning, &self.lexicon.parts),
                    hidden_by: by
                        .filter(|_| of_scope(p.meaning))
                        .map(|item| words_of(s, hidden, item.first as usize, item.last as usize)),
                }
            })
            .collect()
    }

    /// What became of each saying when those of one code were brought
    /// together.
    fn fates(
        &self,
        (sayings, kept, weighed): (Vec<Saying>, Vec<Saying>, Vec<Saying>),
        s: &Scratch,
    ) -> Vec<MadeSaying> {
        let tokens = &s.tokens;
        let parts = &self.lexicon.parts;
        let mut out = Vec::with_capacity(sayings.len());
        let stays = |k: &Saying| weighed.iter().any(|w| w.part == k.part && w.says == k.says);
        for s in &sayings {
            let same = |k: &&Saying| k.part == s.part && k.tokens == s.tokens && k.item == s.item;
            let of_code = kept.iter().find(|k| k.part == s.part);
            let covering = self.lexicon.covers.of(s.part);
            let dropped = match (kept.iter().find(same), of_code) {
                (Some(k), _) if !stays(k) => Some(AGAINST.to_owned()),
                (Some(k), _) if k.says == s.says => None,
                (Some(k), _) => Some(format!("counts as {}: mended since", k.says)),
                (None, Some(k)) if k.says == s.says => Some("said already".to_owned()),
                (None, Some(k)) => Some(format!(
                    "merged: '{}' ({}) stands for this code",
                    k.rule.render(&self.scanner, tokens),
                    k.says
                )),
                (None, None) => {
                    let by = covering
                        .filter(|more| kept.iter().any(|k| k.part == *more && k.says.is_fault()))
                        .map(|more| parts.code(more))
                        .next();
                    Some(by.map_or_else(
                        || "merged away".to_owned(),
                        |by| format!("covered by {by}, which says more"),
                    ))
                }
            };
            out.push(self.made(s, tokens, dropped));
        }
        let heard = weighed.iter().filter(|s| s.rule.heard);
        out.extend(heard.map(|s| self.made(s, tokens, None)));
        out
    }

    fn made(&self, s: &Saying, tokens: &Tokens, dropped: Option<String>) -> MadeSaying {
        MadeSaying {
            code: self.lexicon.parts.code(s.part).to_owned(),
            says: s.says,
            rule: s.rule.render(&self.scanner, tokens),
            range: tokens.source(s.tokens.0 as usize, s.tokens.1 as usize),
            dropped,
        }
    }

    fn signs_seen(&self, s: &Scratch, reading: &Reading) -> Vec<SignSeen> {
        let mut out = Vec::new();
        let signs = signs::gather(&s.hits, &s.tokens, &self.scanner);
        let left_out = |hit: &Hit| {
            let tokens = (hit.first as usize, hit.last as usize);
            let its = signs.vague.iter().find(|f| f.tokens == tokens)?;
            let odds = self.vague_odds(its.value, s)? + VAGUE_RULES;
            (odds <= 0.0).then(|| context::chance(odds))
        };
        for hit in &s.hits {
            let phrase = self.scanner.phrase(hit.phrase);
            let range = s.tokens.source(hit.first as usize, hit.last as usize);
            let words = self.scanner.words(&s.tokens, hit.wording());
            let read = |e: &Evidence| e.range == range && e.rule == words;
            for sign in &phrase.meaning.signs {
                // The unit of distance where an ad was written: see the numbers.
                if sign.field == SignField::Distance {
                    continue;
                }
                let field = field_word(sign.field);
                let counts = match field {
                    "vague" => reading.vague.iter().any(|(_, e)| read(e)),
                    _ => reading
                        .fields
                        .iter()
                        .any(|(key, e)| *key == field && e.range == range),
                };
                out.push(SignSeen {
                    words: words.to_owned(),
                    means: format!("{field} {}", sign.value),
                    counts,
                    meant: left_out(hit).filter(|_| field == "vague" && !counts),
                });
            }
        }
        out
    }
}

/// Which tokens lie in a telephone number or a mail address.
fn contact_tokens(text: &str, tokens: &Tokens) -> Vec<bool> {
    let contacts = contacts(text);
    let within = |range: Range<usize>| {
        let at = contacts.partition_point(|c| c.end <= range.start);
        contacts.get(at).is_some_and(|c| c.start < range.end)
    };
    tokens
        .list
        .iter()
        .map(|t| within(t.source_range()))
        .collect()
}

fn item_words(s: &Scratch, hidden: &[bool], item: usize) -> String {
    match s.items.get(item) {
        None => "(end)".to_owned(),
        Some(i) => match i.kind {
            ItemKind::End(b'\n') => "(line)".to_owned(),
            ItemKind::Blank => "(empty line)".to_owned(),
            _ => words_of(s, hidden, i.first as usize, i.last as usize),
        },
    }
}

/// Stands for the words of a telephone number or mail address.
const CONTACT: &str = "[contact]";

/// The folded words of some tokens, line breaks as strokes.
fn words_of(s: &Scratch, hidden: &[bool], first: usize, last: usize) -> String {
    let mut words: Vec<&str> = Vec::new();
    for i in first..=last.min(s.tokens.list.len().saturating_sub(1)) {
        match s.tokens.word(i) {
            _ if hidden.get(i).is_some_and(|h| *h) => {
                if words.last() != Some(&CONTACT) {
                    words.push(CONTACT);
                }
            }
            "\n" => words.push("|"),
            word => words.push(word),
        }
    }
    words.join(" ")
}

fn lines(s: &Scratch, hidden: &[bool]) -> Vec<String> {
    let whole = s.tokens.list.len();
    let breaks =
        (0..whole).filter(|i| matches!(s.tokens.kind(*i), TokenKind::Line | TokenKind::Blank));
    let mut start = 0;
    let mut out = Vec::new();
    for end in breaks.chain([whole]) {
        if end > start {
            out.push(words_of(s, hidden, start, end - 1));
        }
        start = end + 1;
    }
    out
}
