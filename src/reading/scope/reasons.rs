//! A bracket behind what was renewed, which tells why: `replaced: radiator
//! (cracked end tank), water pump (seeping)`.

use super::effects::choose;
use super::*;
use crate::lexicon::phrases::Meaning;

/// Words between what was renewed and the bracket.
const NEAR: usize = 3;
/// Items of a bracket that are looked at.
const LONGEST: usize = 24;

impl Walk<'_> {
    /// Whether the bracket that opens here tells of what was so before the part
    /// ahead of it was renewed: not where it says `still`, `again`, `needs`.
    pub(super) fn tells_why(&self, open: usize) -> bool {
        let renewed = self.mentions.last().is_some_and(|m| {
            m.sentence == self.sentence
                && m.says == Some(Says::Renewed)
                && self.mentions.len() > self.clause
                && self.words_between(m.item, open) <= NEAR
        });
        renewed && self.bracket_of_then(open)
    }

    /// Whether a bracket opens here in which no word tells that something is so
    /// now.
    pub(super) fn bracket_of_then(&self, open: usize) -> bool {
        self.items.list.get(open).map(|i| i.kind) == Some(ItemKind::Sign(b'('))
            && (open + 1..self.items.list.len().min(open + LONGEST))
                .take_while(|j| {
                    !matches!(
                        self.items.list[*j].kind,
                        ItemKind::Sign(b')') | ItemKind::End(_) | ItemKind::Blank
                    )
                })
                .all(|j| !self.is_of_now(j))
    }

    /// Whether a word tells that something is so now.
    fn is_of_now(&self, j: usize) -> bool {
        let denies = self.items.acts(j, Act::Negates) || self.items.acts(j, Act::Lacks);
        let needs = matches!(
            self.items.cue(j),
            Some(Cue {
                act: Act::State(Says::Bad),
                side: Side::After,
                ..
            })
        );
        denies
            || needs
            || self.items.acts(j, Act::Still)
            || self.items.acts(j, Act::Border)
            || self.items.is_any(
                j,
                &[
                    WordClass::Again,
                    WordClass::Now,
                    WordClass::Is,
                    WordClass::Has,
                    WordClass::Still,
                ],
            )
    }

    /// A fault within such a bracket: a symptom was there and is no more, a part
    /// is told nothing of. Tells whether there is no more to it.
    pub(super) fn told_why(&mut self, i: usize, meaning: &Meaning) -> bool {
        if !meaning.effects.is_empty() {
            return true;
        }
        if meaning.named.is_empty() {
            return matches!(
                meaning.cue.map(|c| c.act),
                Some(Act::State(Says::Bad | Says::Suspect))
            );
        }
        if !meaning.named.iter().all(|n| n.naming.is_fault()) {
            return false;
        }
        let symptoms = meaning.named.iter().all(|n| self.is_symptom(n.part));
        if symptoms {
            let before = self.mentions.len();
            let says = self.gov.take();
            self.name(i, &meaning.named);
            self.gov = says;
            for m in &mut self.mentions[before..] {
                m.formerly = true;
            }
        }
        true
    }

    /// `New caliper front left, it was sticking`, `new alternator, the old one was not
    /// charging`, `battery replaced after it froze`: what a part was before it was
    /// renewed, told right behind that, is why it was. Tells whether this is no more.
    pub(super) fn was_why(&mut self, i: usize, meaning: &Meaning) -> bool {
        let (cue, effects) = (meaning.cue, &meaning.effects);
        let Some(m) = self.mentions.last() else {
            return false;
        };
        let renewed = m.says == Some(Says::Renewed) && m.is_noun() && !m.place;
        if !renewed || m.sentence != self.sentence || self.neg_all || self.hedge.is_some() {
            return false;
        }
        let own = |says: Says| {
            let side = |c: Cue| matches!(c.side, Side::Before | Side::Either);
            let by_cue = cue.is_some_and(|c| c.act == Act::State(says) && side(c));
            let effect = m.named.first().and_then(|n| choose(effects, Some(n.part)));
            // `the old one was not charging`: a fault that names the part itself.
            let itself = |n: &Named| {
                n.naming == Naming::States(says) && m.named.iter().any(|p| p.part == n.part)
            };
            if !meaning.named.is_empty() {
                return meaning.named.iter().all(itself);
            }
            by_cue || effect.is_some_and(|e| e.claims.iter().all(|c| *c == (None, says)))
        };
        let bad = match self.neg {
            None => own(Says::Bad),
            Some((_, act)) => act == Act::Negates && own(Says::Sound),
        };
        let from = m.cue.map_or(m.item, |c| c.max(m.item)) + 1;
        if !bad || from >= i || i - from > LONGEST || self.says_again(i) {
            return false;
        }
        let stands = |j: usize| {
            self.items.acts(j, Act::Pronoun) || self.items.ends_with(j, &[WordClass::One])
        };
        let Some(it) = (from..i).rev().find(|j| stands(*j)) else {
            return false;
        };
        let led = it > 0
            && self.items.is_any(
                it - 1,
                &[WordClass::After, WordClass::Because, WordClass::When],
            );
        let Item { first, .. } = self.items.list[i];
        let was = |c: Cue| c.act == Act::Was;
        let was = (it..i).any(|j| self.items.cue(j).is_some_and(was))
            || self.items.cue_of(first, first).is_some_and(was)
            || self
                .items
                .ends_with(it, &[WordClass::Was, WordClass::Are, WordClass::Were]);
        let of_now = |j: usize| {
            let cue = self.items.cue(j);
            cue.is_some_and(|c| {
                matches!(
                    c.act,
                    Act::But | Act::Latest | Act::Still | Act::Others | Act::State(_)
                )
            }) || self.items.is_any(
                j,
                &[
                    WordClass::Again,
                    WordClass::Now,
                    WordClass::Is,
                    WordClass::By,
                    WordClass::Then,
                    WordClass::Already,
                    WordClass::New,
                    WordClass::And,
                ],
            )
        };
        // `the right one was dead`
        let side = |j: usize| !self.sides(j, j).is_empty();
        let other = (self.before_modifiers(it).max(from)..i).any(side);
        if !(was || led) || other || (from..i).any(of_now) || of_now(i + 1) {
            return false;
        }
        (self.neg, self.was) = (None, None);
        self.note(|w| format!("'{}' tells why it was renewed", w.words(i)));
        true
    }
}
