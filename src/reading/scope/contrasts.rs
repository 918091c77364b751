//! What a sentence sets against what it told before: a denial behind a fault, a
//! denial at the end of a list, a repair that ended it.

use super::*;

/// Items between a saying and the word that ends it.
const NEAR: usize = 8;

impl Walk<'_> {
    /// Whether a fault was told in this sentence right before the part named
    /// last, so that what is denied of this one is the fault: `the bed has rust,
    /// the floor doesn't`.
    pub(super) fn set_off_a_fault(&self) -> bool {
        let [.., p, m] = &self.mentions[..] else {
            return false;
        };
        let near = |s: &&Saying| s.sentence == m.sentence && s.item < m.item;
        let told = self.extra.iter().rev().find(near);
        let by_itself = |n: &Named| matches!(n.naming, Naming::Fault | Naming::States(Says::Bad));
        let bad = match p.says {
            Some(says) => says == Says::Bad,
            None if p.consumed => told.is_some_and(|s| s.says == Says::Bad),
            None => p.named.iter().all(by_itself),
        };
        p.sentence == m.sentence && !p.denied && !p.lacks && bad
    }

    /// `it drank oil until the rings were done`: what was told before the word
    /// is over with the repair behind it.
    pub(super) fn over_since(&mut self, end: usize) {
        let until =
            |j: &usize| self.items.acts(*j, Act::Border) && self.items.is_a(*j, WordClass::Until);
        let Some(at) = (self.sentence_start..end).rev().find(until) else {
            return;
        };
        let (sentence, parts) = (self.sentence, self.parts);
        let symptom = |part: PartId| parts.get(part).kind == PartKind::Symptom;
        let here = &mut self.mentions[self.sentence_mentions..];
        let mended = |m: &Mention| m.item > at && m.says == Some(Says::Renewed);
        if !here.iter().any(mended) {
            return;
        }
        for m in here.iter_mut().filter(|m| m.item < at && !m.denied) {
            let there = |n: &Named| {
                symptom(n.part) && matches!(n.naming, Naming::Fault | Naming::States(Says::Bad))
            };
            m.formerly |= m.named.iter().all(there);
        }
        let list = self.items.list;
        let sign = |j: usize| matches!(list[j].kind, ItemKind::Sign(b',' | b';' | b'/' | b'*'));
        for s in self.extra.iter_mut().rev() {
            if s.sentence < sentence {
                break;
            }
            let last = s.item.max(s.cue.unwrap_or(0));
            if last >= at || s.says != Says::Bad {
                continue;
            }
            if symptom(s.part) {
                s.says = Says::Sound;
            } else if at - last <= NEAR && !(last + 1..at).any(sign) {
                // `the shifter was sloppy until I put new bushings in`, but not what
                // another clause told before
                s.says = Says::Renewed;
            }
        }
    }

    /// `the heater and the radio don't`: all of the list that ends here.
    pub(super) fn deny_list(&mut self, item: usize, says: Says) {
        for k in (self.clause..self.mentions.len()).rev() {
            let m = &mut self.mentions[k];
            if m.says.is_some() || m.consumed || !m.is_noun() || m.sentence != self.sentence {
                return;
            }
            m.says = Some(says);
            m.cue = Some(item);
            let joint = self.before_modifiers(self.mentions[k].item);
            let and = joint > 0 && self.items.acts(joint - 1, Act::And);
            if !self.mentions[k].linked || !and {
                return;
            }
        }
    }
}
