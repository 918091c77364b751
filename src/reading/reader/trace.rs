//! Why a listing was read as it was.
//!
//! Claims: the walk's own steps. Plain fields: the readers of price, distance
//! and vehicle are asked again with one number, or one name, at a time, with
//! the words beside it and without; so the reasons given are theirs, whatever
//! rules they follow. This takes many times as long as reading and is done
//! only when asked for.

use std::ops::Range;

use super::*;
use crate::lexicon::describe::{field_word, meanings, role_word};
use crate::lexicon::phrases::Meaning;
use crate::lexicon::vehicles::VehicleName;
use crate::reading::items::ItemKind;
use crate::reading::model::Says;
use crate::reading::scan::Phrase;
use crate::safe_text::contacts;

/// At most so many numbers and names are asked about: each costs a reading.
const MOST: usize = 100;

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
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SignSeen {
    /// The folded words.
    pub words: String,
    /// Field and value.
    pub means: String,
    /// Whether the field was read from it.
    pub counts: bool,
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

impl Reader<'_> {
    /// Reads a listing and keeps the reasons.
    pub fn trace(&self, listing: &Listing) -> Trace {
        let mut s = Scratch::default();
        let reading = self.read_with(listing, &mut s);
        let mut plain = Tokens::default();
        plain.fill(&listing.text);
        let spelled = (0..plain.list.len())
            .filter(|i| plain.word(*i) != s.tokens.word(*i))
            .map(|i| (plain.word(i).to_owned(), s.tokens.word(i).to_owned()))
            .collect();
        let hidden = contact_tokens(&listing.text, &s.tokens);
        let (sayings, steps) = self.walk(&s.items, &s.tokens).traced().run();
        let mut turns: Vec<(usize, Turn)> = Vec::new();
        for step in steps {
            match turns.iter_mut().find(|(item, _)| *item == step.item) {
                Some((_, turn)) => turn.did.push(step.text),
                None => turns.push((
                    step.item,
                    Turn {
                        words: item_words(&s, &hidden, step.item),
                        did: vec![step.text],
                    },
                )),
            }
        }
        turns.sort_by_key(|(item, _)| *item);
        Trace {
            lines: lines(&s, &hidden),
            spelled,
            phrases: self.found_phrases(&s, &hidden),
            turns: turns.into_iter().map(|(_, turn)| turn).collect(),
            sayings: self.fates(sayings, &s.tokens),
            signs: self.signs_seen(&s, &reading),
            numbers: self.seen_numbers(listing, &mut s, &hidden, &reading),
            vehicles: self.named_vehicles(listing, &mut s, &reading),
            reading,
        }
    }

    fn found_phrases(&self, s: &Scratch, hidden: &[bool]) -> Vec<FoundPhrase> {
        let item_at = |hit: &Hit| {
            s.items.iter().find(|item| {
                matches!(item.kind, ItemKind::Phrase(_))
                    && item.first <= hit.last
                    && hit.first <= item.last
            })
        };
        let of_scope = |m: &Meaning| {
            !m.named.is_empty() || m.cue.is_some() || !m.effects.is_empty() || m.heading.is_some()
        };
        s.hits
            .iter()
            .map(|hit| (hit, self.scanner.phrase(hit.phrase)))
            .filter(|(_, p)| p.meaning != Meaning::default())
            .map(|(hit, p)| {
                let by = item_at(hit).filter(|item| item.kind != ItemKind::Phrase(hit.phrase));
                FoundPhrase {
                    words: p.words.clone(),
                    meanings: meanings(&p.meaning, &self.lexicon.parts),
                    hidden_by: by
                        .filter(|_| of_scope(&p.meaning))
                        .map(|item| words_of(s, hidden, item.first as usize, item.last as usize)),
                }
            })
            .collect()
    }

    /// What became of each saying when those of one code were brought
    /// together.
    fn fates(&self, sayings: Vec<Saying>, tokens: &Tokens) -> Vec<MadeSaying> {
        let parts = &self.lexicon.parts;
        let kept = merge(sayings.clone(), self.lexicon);
        let mut out = Vec::with_capacity(sayings.len());
        for s in &sayings {
            let same = |k: &&Saying| k.part == s.part && k.tokens == s.tokens && k.item == s.item;
            let of_code = kept.iter().find(|k| k.part == s.part);
            let covering = self.lexicon.covers.of(s.part);
            let dropped = match (kept.iter().find(same), of_code) {
                (Some(k), _) if k.says == s.says => None,
                (Some(k), _) => Some(format!("counts as {}: mended since", k.says)),
                (None, Some(k)) if k.says == s.says => Some("said already".to_owned()),
                (None, Some(k)) => Some(format!(
                    "merged: '{}' ({}) stands for this code",
                    k.rule.render(|p| self.words(p)),
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
            out.push(MadeSaying {
                code: parts.code(s.part).to_owned(),
                says: s.says,
                rule: s.rule.render(|p| self.words(p)),
                range: tokens.source(s.tokens.0 as usize, s.tokens.1 as usize),
                dropped,
            });
        }
        out
    }

    fn signs_seen(&self, s: &Scratch, reading: &Reading) -> Vec<SignSeen> {
        let mut out = Vec::new();
        for hit in &s.hits {
            let phrase = self.scanner.phrase(hit.phrase);
            let range = s.tokens.source(hit.first as usize, hit.last as usize);
            let read = |e: &Evidence| e.range == range && e.rule == phrase.words;
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
                    words: phrase.words.clone(),
                    means: format!("{field} {}", sign.value),
                    counts,
                });
            }
        }
        out
    }

    /// The reading of the plain fields with only these numbers.
    fn again(&self, listing: &Listing, s: &Scratch) -> Reading {
        let signs = signs::gather(&s.hits, &s.tokens, &self.scanner);
        let page = Page {
            listing,
            tokens: &s.tokens,
            signs: &signs,
            headline: headline_tokens(listing, &s.tokens),
        };
        let mut reading = Reading::unread(listing.id.clone());
        self.vehicle(&mut reading, &page, s);
        self.price(&mut reading, &page, s);
        self.distance(&mut reading, &page, s);
        reading
    }

    fn seen_numbers(
        &self,
        listing: &Listing,
        s: &mut Scratch,
        hidden: &[bool],
        whole: &Reading,
    ) -> Vec<SeenNumber> {
        let all = std::mem::take(&mut s.roles);
        let without_cells = Listing {
            price: None,
            distance: None,
            year: None,
            ..listing.clone()
        };
        let mut out = Vec::new();
        let own = |(n, _): &&(Number, Roles)| !hidden[n.tokens.0];
        for (number, roles) in all.iter().filter(own).take(MOST) {
            let range = s.tokens.source(number.tokens.0, number.tokens.1);
            s.roles = vec![(*number, *roles)];
            let alone = self.again(&without_cells, s);
            s.roles = vec![(*number, Roles::default())];
            let bare = self.again(&without_cells, s);
            let words = self.role_words(number, roles, s);
            let mut verdicts = Vec::new();
            for (key, name) in [("ask", "price"), ("miles", "distance"), ("year", "year")] {
                let from = |reading: &Reading| {
                    let here = |(k, e): &&(&str, Evidence)| *k == key && e.range == range;
                    reading.fields.iter().any(|f| here(&f))
                };
                if from(whole) {
                    verdicts.push(format!("taken as the {name}"));
                } else if from(&alone) {
                    verdicts.push(format!("no {name}: {}", instead(whole, key)));
                } else if from(&bare) {
                    verdicts.push(format!("no {name}: {}", because(&words)));
                }
            }
            if verdicts.is_empty() {
                verdicts.push("neither price, distance nor year by its form and place".to_owned());
            }
            let first = number.tokens.0.saturating_sub(2);
            out.push(SeenNumber {
                context: words_of(s, hidden, first, number.tokens.1 + 2),
                value: number.value,
                roles: words,
                verdicts,
            });
        }
        s.roles = all;
        out
    }

    /// The phrases that give a number its roles: asked one at a time.
    fn role_words(&self, number: &Number, roles: &Roles, s: &Scratch) -> Vec<String> {
        let near = number.tokens.0.saturating_sub(12) as u32..=number.tokens.1 as u32 + 12;
        let mut best: [Option<(Hit, String)>; 2] = [None, None];
        let glued = roles::of(number, &s.tokens, &[], &self.scanner);
        for hit in s.hits.iter().filter(|h| near.contains(&h.first)) {
            let one = roles::of(number, &s.tokens, &[*hit], &self.scanner);
            let sides = [
                (one.before, roles.before, glued.before),
                (one.after, roles.after, glued.after),
            ];
            for (best, (one, whole, glued)) in best.iter_mut().zip(sides) {
                let longer = best.as_ref().is_none_or(|(b, _)| hit.width() > b.width());
                if let Some(role) = one
                    && one == whole
                    && glued.is_none()
                    && longer
                {
                    let text = format!("'{}' makes it {}", self.words(hit.phrase), role_word(role));
                    *best = Some((*hit, text));
                }
            }
        }
        let mut out: Vec<String> = best.into_iter().flatten().map(|(_, text)| text).collect();
        if let Some(role) = glued.after {
            out.push(format!("letters glued to it make it {}", role_word(role)));
        }
        if roles.approximate {
            out.push("about, not exact".to_owned());
        }
        out
    }

    fn named_vehicles(
        &self,
        listing: &Listing,
        s: &mut Scratch,
        whole: &Reading,
    ) -> Vec<NamedVehicle> {
        let names_one = |p: &Phrase| !p.vehicles.is_empty();
        let found: Vec<Hit> = crate::reading::scan::leftmost_longest(&s.hits, |h| {
            names_one(self.scanner.phrase(h.phrase))
        })
        .take(MOST)
        .collect();
        let all = std::mem::take(&mut s.hits);
        let mut out = Vec::with_capacity(found.len());
        for hit in &found {
            let phrase = self.scanner.phrase(hit.phrase);
            let range = s.tokens.source(hit.first as usize, hit.last as usize);
            let mut taken: Vec<&str> = whole
                .fields
                .iter()
                .filter(|(key, e)| matches!(*key, "make" | "model") && e.range == range)
                .map(|(key, _)| *key)
                .collect();
            taken.dedup();
            let verdict = if taken.is_empty() {
                s.hits = all
                    .iter()
                    .filter(|h| *h == hit || !names_one(self.scanner.phrase(h.phrase)))
                    .copied()
                    .collect();
                let alone = self.again(listing, s);
                let known = alone.make.is_some() || alone.model.is_some();
                if known {
                    format!(
                        "not taken: {} goes before it",
                        [whole.make.as_deref(), whole.model.as_deref()]
                            .into_iter()
                            .flatten()
                            .collect::<Vec<_>>()
                            .join(" ")
                    )
                } else {
                    "not taken: counts only beside its make or a year".to_owned()
                }
            } else {
                format!("taken as the {}", taken.join(" and "))
            };
            out.push(NamedVehicle {
                words: phrase.words.clone(),
                names: phrase
                    .vehicles
                    .iter()
                    .map(|v| self.vehicle_words(v))
                    .collect(),
                verdict,
            });
        }
        s.hits = all;
        out
    }

    fn vehicle_words(&self, name: &VehicleName) -> String {
        let vehicles = &self.lexicon.vehicles;
        match name {
            VehicleName::Make(make) => format!("make {}", vehicles.make(*make)),
            VehicleName::Model { model, shy } => {
                let row = vehicles.model(*model);
                let only = if *shy {
                    ", only beside its make or a year"
                } else {
                    ""
                };
                format!(
                    "{} {} {}-{}{only}",
                    vehicles.make(row.make),
                    row.name,
                    row.years.0,
                    row.years.1
                )
            }
        }
    }
}

fn headline_tokens(listing: &Listing, tokens: &Tokens) -> usize {
    let in_headline =
        |t: &&crate::reading::tokens::Token| (t.source.0 as usize) < listing.headline_len;
    tokens.list.iter().take_while(in_headline).count()
}

/// What goes before a number that could be this field's by itself.
fn instead(whole: &Reading, key: &str) -> String {
    let value = match key {
        "ask" => whole.ask.map(|a| a.to_string()),
        "miles" => whole.miles.map(|m| m.to_string()),
        _ => whole.year.map(|y| y.to_string()),
    };
    value.map_or_else(
        || "the ad gives none".to_owned(),
        |value| format!("{value} goes before it"),
    )
}

fn because(roles: &[String]) -> String {
    if roles.is_empty() {
        "the words beside it".to_owned()
    } else {
        roles.join("; ")
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
