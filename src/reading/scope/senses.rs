//! Words that mean one part beside some parts and another beside others, or
//! stand for a name told in full before.

use super::*;
use crate::lexicon::phrases::Sense;

/// So many parts before a word are asked what it means.
const ASKED: usize = 3;
/// So many items behind it are looked at.
const AHEAD: usize = 6;

impl Walk<'_> {
    /// What a word means beside the part named nearest: before it in its
    /// sentence, behind it, last in the sentence before.
    pub(super) fn sense(&self, i: usize, senses: &[Sense]) -> Option<Named> {
        if senses.is_empty() {
            return None;
        }
        let beside = |part: PartId, far: usize| {
            let fits = |s: &&Sense| far <= s.within && s.beside.contains(&part);
            senses.iter().find(fits).map(|s| Named {
                part: s.part,
                naming: Naming::Noun,
            })
        };
        let of = |m: &Mention| {
            let far = i - m.item - 1;
            m.named.iter().find_map(|n| beside(n.part, far))
        };
        let before = self.mentions.iter().rev();
        let here = before
            .clone()
            .take(ASKED)
            .take_while(|m| m.sentence == self.sentence)
            .find_map(of);
        let ahead = || {
            let rest = self.items.list[i + 1..].iter().take(AHEAD);
            let sentence =
                rest.take_while(|n| !matches!(n.kind, ItemKind::End(_) | ItemKind::Blank));
            (i + 1..).zip(sentence).find_map(|(j, _)| {
                let named = &self.items.phrase(j)?.meaning.named;
                beside(named.first()?.part, j - i - 1)
            })
        };
        let last = || {
            let m = before.clone().next()?;
            let near = m.sentence + 1 == self.sentence;
            near.then(|| of(m)).flatten()
        };
        let named = || self.named_in_full(i, senses);
        here.or_else(ahead).or_else(last).or_else(named)
    }

    /// `water pump leaks … the pump was replaced`: the part whose name, told in
    /// full before, ends with the word.
    fn named_in_full(&self, i: usize, senses: &[Sense]) -> Option<Named> {
        let short = self.words(i);
        let full = |m: &&Mention| {
            let longer = self.words(m.item).strip_suffix(short);
            longer.is_some_and(|l| l.ends_with(' '))
        };
        let m = self.mentions.iter().rev().find(full)?;
        let part = m.named.first()?.part;
        let known = senses.iter().any(|s| s.part == part);
        known.then_some(Named {
            part,
            naming: Naming::Noun,
        })
    }

    /// `the window motor is dead, the new motor is in the boot`: a short name
    /// stands for the longer one that ends with it.
    pub(super) fn same_short(&self, m: &Mention) -> Option<usize> {
        if !m.named.iter().all(|n| n.naming == Naming::Generic) {
            return None;
        }
        let short = self.words(m.item);
        let near = self.mentions.iter().enumerate().rev().take(4);
        near.filter(|(_, p)| self.sentence - p.sentence <= 1)
            .find(|(_, p)| {
                let longer = self.words(p.item).strip_suffix(short);
                p.is_noun() && longer.is_some_and(|l| l.ends_with(' '))
            })
            .map(|(k, _)| k)
    }
}
