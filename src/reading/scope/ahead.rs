//! Looking round a sentence: what stands between two items, and what follows.

use super::effects::choose;
use super::*;

/// Items that lie so far apart have nothing to do with each other.
const APART: usize = 60;
/// Words that tell which part is meant stand before it, at most so many.
const MODIFIERS: usize = 24;

impl Walk<'_> {
    pub(super) fn words_between(&self, from: usize, to: usize) -> usize {
        // Nobody asks for more than a few, however long the sentence is.
        if to.saturating_sub(from) > APART {
            return APART;
        }
        (from + 1..to).filter(|j| self.items.is_word(*j)).count()
    }

    pub(super) fn signs_between(&self, from: usize, to: usize) -> bool {
        (from + 1..to).any(|j| {
            matches!(
                self.items.list[j].kind,
                ItemKind::Sign(b',' | b';' | b'/' | b'*')
            )
        })
    }

    /// Whether a sign, `and` or a dash stands here.
    pub(super) fn parts(&self, j: usize) -> bool {
        self.items.joins(j) || self.items.list[j].kind == ItemKind::Sign(b'-')
    }

    /// Whether one of them parts two items.
    pub(super) fn parted(&self, from: usize, to: usize) -> bool {
        (from + 1..to).any(|j| self.parts(j))
    }

    /// `5 speed and body is straight`: behind `and` or a dash a word that no table
    /// knows has a verb of its own.
    pub(super) fn other_clause(&self, part: usize, i: usize) -> bool {
        let verb = (part + 1..i)
            .rev()
            .find(|j| self.items.acts(*j, Act::Copula));
        let Some(noun) = verb.and_then(|v| v.checked_sub(1)) else {
            return false;
        };
        let first = self.before_modifiers(noun);
        noun > part && self.items.is_word(noun) && first > part + 1 && self.parts(first - 1)
    }

    /// Words that tell which of several is meant: before a name, in it, right
    /// behind it.
    pub(super) fn qualifiers(&self, i: usize) -> Vec<Which> {
        let mut first = i;
        while first > self.sentence_start
            && (self.items.acts(first - 1, Act::Modifier)
                || self.items.acts(first - 1, Act::Kind)
                || self.items.list[first - 1].kind == ItemKind::Number)
        {
            first -= 1;
        }
        let mut last = i;
        // `hit in front`: where, not which.
        let part = self.items.names_part(i);
        while part
            && (self.items.acts(last + 1, Act::Modifier)
                || self.items.acts(last + 1, Act::Place)
                    && self.items.acts(last + 2, Act::Modifier))
        {
            last += 1;
        }
        // What is said of the next part is none of this one.
        if self.items.names(last + 1) {
            last = i;
        }
        // `passenger window doesn't work`: a phrase that begins with a side.
        let Item { first: begin, .. } = self.items.list[i];
        let side = |c: Cue| matches!(c.act, Act::Side | Act::Others);
        let whole = part || self.items.cue_of(begin, begin).is_some_and(side);
        let mut out = self.sides(first, i.wrapping_sub(usize::from(!whole)));
        out.extend(self.sides(i + 1, last));
        // `hybrid battery failed`: of what kind, within a phrase that tells a state.
        if !whole {
            let kinds = self.sides(i, i);
            out.extend(kinds.into_iter().filter(|q| !q.is_side()));
        }
        out.sort_unstable();
        out.dedup();
        out
    }

    /// Words of side within some items.
    pub(super) fn sides(&self, first: usize, last: usize) -> Vec<Which> {
        let items = self.items.list.get(first..=last).unwrap_or_default();
        let tokens = items.iter().flat_map(|item| item.first..=item.last);
        // `fronts` are `front`.
        let word = |t: u32| number_of(self.items.tokens.word(t as usize).trim_end_matches('s'));
        let which = |t: u32| match self.items.cue_of(t, t)?.act {
            Act::Side | Act::Others => Some(Which::Side(word(t))),
            Act::Kind => Some(Which::Kind(word(t))),
            _ => None,
        };
        tokens.filter_map(which).collect()
    }

    /// The first of the small words right before an item, or the item.
    pub(super) fn before_modifiers(&self, i: usize) -> usize {
        let mut j = i;
        while j > 0 && j + MODIFIERS > i && self.items.acts(j - 1, Act::Modifier) {
            j -= 1;
        }
        j
    }

    /// The first item from `i` on that is no modifier; the last there is, if all are.
    pub(super) fn after_modifiers(&self, i: usize) -> usize {
        let end = self.items.list.len() - 1;
        let first = (i..end).find(|j| !self.items.acts(*j, Act::Modifier));
        first.unwrap_or(end)
    }

    /// Whether a word of place stands right before this item.
    pub(super) fn placed(&self, i: usize) -> bool {
        let j = self.before_modifiers(i);
        j > 0 && self.items.acts(j - 1, Act::Place)
    }

    /// Whether what follows says something of this item itself: `brakes work`,
    /// `starter and alternator are new`. `strict` asks for a clear predicate.
    pub(super) fn own_predicate(&self, i: usize, strict: bool) -> bool {
        self.predicate_ahead(i, strict).is_some()
    }

    /// Whether the predicate stands before any list sign: `needs battery,
    /// brakes stuck` says nothing of the battery by `stuck`.
    pub(super) fn own_predicate_near(&self, i: usize) -> bool {
        // `struts still original and bad`
        let told = |j: usize| self.items.acts(j, Act::And) && self.items.acts(j - 1, Act::Modifier);
        let parts = |j: &usize| {
            self.items.joins(*j) && !told(*j)
                || self.items.list[*j].kind == ItemKind::Sign(b'-') && *j > i + 1
        };
        let joint = (i + 1..self.items.list.len()).find(parts);
        let end = joint.unwrap_or(self.items.list.len());
        (i + 1..end).any(|j| match self.items.phrase(j) {
            Some(p) => {
                !p.meaning.effects.is_empty()
                    || matches!(
                        p.meaning.cue,
                        Some(Cue {
                            act: Act::State(_),
                            ..
                        })
                    )
            }
            None => false,
        })
    }

    /// The predicate that [`Self::own_predicate`] looks for: what it says, if
    /// it is a plain state, and whether a copula stands before it.
    pub(super) fn predicate_ahead(&self, i: usize, strict: bool) -> Option<(Option<Says>, bool)> {
        let mut copula = false;
        let mut listed = false;
        let mut bracket = false;
        let mut dash = false;
        // `replaced pads, rotors, the struts are shot`: of the last alone.
        let mut closed = true;
        let mut j = i + 1;
        while j < self.items.list.len() && j < i + 14 {
            match self.items.kind(j) {
                ItemKind::End(_) | ItemKind::Blank => return None,
                ItemKind::Sign(b'(') if !listed => bracket = true,
                ItemKind::Sign(b':') if !listed => {}
                // `needs tires - runs great`: of the car.
                ItemKind::Sign(b'-') if !listed && self.is_plain_state(j + 1) => dash = true,
                // Behind `and` or `or` a list is over, unless `all` takes it up.
                ItemKind::Sign(b',')
                    if listed
                        && closed
                        && !self.items.is_any(j + 1, &[WordClass::All, WordClass::Both])
                        && !self.items.acts(j + 1, Act::Pronoun) =>
                {
                    return None;
                }
                ItemKind::Sign(b',' | b'/') => {
                    listed = true;
                    closed = false;
                }
                // `needs a clutch, alternator 2019`
                ItemKind::Number if !listed && self.dates(i, j) => {
                    return Some((Some(Says::Renewed), false));
                }
                ItemKind::Sign(_) | ItemKind::Number => return None,
                ItemKind::Word => {
                    // `A/C is ice`: its own clause, in words no table knows.
                    if copula && !listed {
                        return Some((None, true));
                    }
                    if listed || strict {
                        return None;
                    }
                    if j > i + 3 {
                        return None;
                    }
                }
                ItemKind::Phrase(_) => {
                    let phrase = self.items.phrase(j)?;
                    let meaning = &phrase.meaning;
                    if meaning.decoy {
                        return None;
                    }
                    closed |= self.items.is_any(j, &[WordClass::All, WordClass::Both]);
                    if listed && !closed && self.ends_list_alone(j) {
                        return None;
                    }
                    if !meaning.named.is_empty() && (listed || meaning.effects.is_empty()) {
                        let noun = meaning.named.iter().all(|n| n.naming.is_noun());
                        if !listed || !noun {
                            return None;
                        }
                    } else if let Some(cue) = meaning.cue {
                        match cue.act {
                            Act::State(says) => {
                                let found = match cue.side {
                                    Side::Before => true,
                                    // `got a new pump - has a blown hose`
                                    // `doors repaired and new tires`
                                    Side::Either => {
                                        copula && !dash
                                            || !self.part_follows(j, 0)
                                            || j == i + 1 && self.items.acts(j + 1, Act::And)
                                    }
                                    // `carpet swapped out; needs tires`
                                    // `decent seats, pump due`
                                    Side::After => match says {
                                        Says::Renewed => self.closes(j),
                                        says => says == Says::Bad && self.is_bare(j),
                                    },
                                    Side::Next => false,
                                };
                                // `new tires horn does not work`: a thing that no table
                                // knows is the subject.
                                let word = |k: usize| self.items.is_word(k);
                                if !copula && j > i + 1 && (i + 1..j).all(word) {
                                    return None;
                                }
                                // `was done`: the verb is in the phrase.
                                let Item { first, .. } = self.items.list[j];
                                let verb = self
                                    .items
                                    .cue_of(first, first)
                                    .is_some_and(|c| c.act.is_copula());
                                return found.then_some((Some(says), copula || verb));
                            }
                            // `pump (the first was junk)`
                            Act::Was if bracket => return None,
                            act if act.is_copula() => copula = true,
                            // `needs pads and hoses and the belt is fine`
                            Act::And if listed && closed => return None,
                            Act::And | Act::Or => {
                                listed = true;
                                closed = true;
                            }
                            act if act.modifies() => {}
                            Act::Negates
                            | Act::Latest
                            | Act::Pronoun
                            | Act::Hedges
                            | Act::Still => {}
                            Act::Past => copula = true,
                            Act::Dates if !listed && !copula && !bracket => {
                                return Some((Some(Says::Renewed), false));
                            }
                            Act::Place if !listed && self.dates(i, j + 1) => {
                                return Some((Some(Says::Renewed), false));
                            }
                            // `the pump is original but works`
                            Act::But if copula && !listed => return Some((None, true)),
                            // `the axles have no problems`
                            Act::Lacks if !listed && self.items.is_any(j, &HAVE) => {
                                return Some((None, true));
                            }
                            _ => return None,
                        }
                    } else if !meaning.effects.is_empty() {
                        // `needs tires runs great`: of the car.
                        let known = copula || self.known_of(i, &meaning.effects);
                        return (known && (!listed || copula)).then_some((None, copula));
                    } else {
                        return None;
                    }
                }
            }
            j += 1;
        }
        None
    }

    /// Whether a row of a saying is for one of the parts that an item names.
    pub(super) fn known_of(&self, i: usize, effects: &[Effect]) -> bool {
        let of = |n: &Named| choose(effects, Some(n.part));
        self.items.phrase(i).is_some_and(|p| {
            let mut rows = p.meaning.named.iter().filter_map(of);
            rows.any(|e| e.of != EffectOf::Nothing)
        })
    }

    /// Whether a saying that needs a part before or behind it stands here, small
    /// words left out.
    fn is_plain_state(&self, from: usize) -> bool {
        let small = |j: &usize| {
            self.items.acts(*j, Act::Modifier)
                || self.items.acts(*j, Act::Copula)
                || self.items.acts(*j, Act::Latest)
                || self.items.acts(*j, Act::Negates)
        };
        let j = from + (from..self.items.list.len()).take_while(small).count();
        !self.items.names(j)
            && self
                .items
                .cue(j)
                .is_some_and(|c| matches!(c.act, Act::State(_) | Act::Dates))
            || self.items.list.get(j).map(|n| n.kind) == Some(ItemKind::Number)
    }

    /// Whether a verb of one thing stands here, or the article of one that a
    /// clause of its own begins with.
    fn ends_list_alone(&self, j: usize) -> bool {
        self.items.acts(j, Act::Copula)
            && self
                .items
                .is_any(j, &[WordClass::Is, WordClass::Was, WordClass::HasAlone])
            || self.items.is_a(j, WordClass::The) && self.items.names_part(j + 1)
    }

    /// Whether a part follows an adjective, at most `words` unknown words
    /// between them.
    pub(super) fn part_follows(&self, i: usize, words: usize) -> bool {
        let mut unknown = 0;
        let mut j = i + 1;
        while j < self.items.list.len() {
            match self.items.kind(j) {
                // `new pump`: which one, the words around it tell.
                ItemKind::Word if self.items.has_senses(j) => return true,
                ItemKind::Word => {
                    unknown += 1;
                    if unknown > words {
                        return false;
                    }
                }
                ItemKind::Number => {}
                ItemKind::Phrase(_) => {
                    if self.items.names(j) {
                        return true;
                    }
                    match self.items.cue(j) {
                        Some(Cue { act, .. }) if act.modifies() => {}
                        Some(Cue {
                            act: Act::Pronoun, ..
                        }) if self.items.names(j + 1) => {}
                        Some(Cue {
                            act: Act::State(_),
                            side: Side::Either,
                            ..
                        }) => {}
                        Some(Cue { act: Act::And, .. })
                            if matches!(
                                self.items.cue(j + 1),
                                Some(Cue {
                                    act: Act::State(_),
                                    side: Side::Either,
                                    ..
                                })
                            ) => {}
                        _ => return false,
                    }
                }
                _ => return false,
            }
            j += 1;
        }
        false
    }

    pub(super) fn part_ahead(&self, i: usize) -> Option<(usize, PartId)> {
        let mut j = i + 1;
        while j < self.items.list.len() && j < i + 9 {
            match self.items.list[j].kind {
                ItemKind::Phrase(_) if self.items.names(j) => {
                    let named = &self.items.phrase(j)?.meaning.named;
                    let noun = named.iter().all(|n| n.naming.is_noun());
                    return noun.then(|| (j, named[0].part));
                }
                // `Rust: floors and sills`
                ItemKind::Sign(b':') if j == i + 1 => {}
                ItemKind::Phrase(_)
                    if self.items.acts(j, Act::Modifier)
                        || self.items.acts(j, Act::Place)
                        || matches!(
                            self.items.cue(j),
                            Some(Cue {
                                act: Act::Hedges,
                                ..
                            })
                        ) => {}
                _ => return None,
            }
            j += 1;
        }
        None
    }

    /// Whether what follows is told to be new.
    pub(super) fn renews_next(&self, i: usize) -> bool {
        let next = self.after_modifiers(i + 1);
        self.items
            .is_cue(next, Act::State(Says::Renewed), Side::Either)
    }
}

/// A word as a number (FNV-1a): the same for the same word.
pub(super) fn number_of(word: &str) -> u32 {
    word.bytes().fold(0x811c_9dc5, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    })
}
