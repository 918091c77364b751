//! A bracket behind what was renewed, which tells why: `replaced: radiator
//! (cracked end tank), water pump (seeping)`.

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
            || matches!(self.items.word(j), "again" | "now" | "is" | "has" | "still")
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
}
