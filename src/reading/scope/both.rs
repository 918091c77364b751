//! Lists that `both` takes up again, and which of two it may be.

use super::*;

/// Parts of one list that are looked back on.
const LIST: usize = 6;
/// Items between the last of them and what is said.
const NEAR: usize = 5;

/// Sayings looked back over.
const SAID: usize = 24;

impl Walk<'_> {
    /// `a bad alternator and a leaky radiator, both of which I replaced`, `I did both`:
    /// work on all of a list of parts that were told to be at fault. Says so.
    pub(super) fn did_both(&mut self, i: usize) -> bool {
        let Some(last) = self.mentions.last().filter(|m| m.sentence == self.sentence) else {
            return false;
        };
        let (from, to) = (
            self.items.list[last.item].last + 1,
            self.items.list[i].last + 1,
        );
        let all = |t: u32| self.items.token_is(t, &[WordClass::Both, WordClass::All]);
        let close = i - last.item <= NEAR && (from..=to).any(all);
        let object = self.clause_closes(i + 1) || all(to) && self.clause_closes(i + 2);
        if !close || !object || self.neg.is_some() || self.hedge.is_some() {
            return false;
        }
        let bad = |m: &Mention| {
            let taken = |s: &Saying| s.item == m.item && s.says == Says::Bad;
            m.is_noun()
                && !m.place
                && (m.says == Some(Says::Bad)
                    || m.consumed && self.extra.iter().rev().take(SAID).any(taken))
        };
        let mut first = self.mentions.len();
        while first > self.sentence_mentions
            && first + LIST > self.mentions.len()
            && bad(&self.mentions[first - 1])
        {
            first -= 1;
        }
        let several = self.mentions.len() - first > 1;
        if several {
            for k in first..self.mentions.len() {
                self.say_of(k, i, Says::Renewed, false);
            }
        }
        several
    }

    /// `not the engine, not the transmission, those are both good`: the others of which
    /// a list told that they are not the trouble, before the one given. Says so.
    pub(super) fn clear_others(&mut self, last: usize, i: usize, says: Says) {
        if !self.of_several(i) {
            return;
        }
        for k in (0..last).rev().take(LIST) {
            let (m, next) = (&self.mentions[k], &self.mentions[k + 1]);
            let denied =
                m.consumed && m.says.is_none() && m.is_noun() && m.sentence == self.sentence;
            let not = |m: &Mention| {
                m.cue
                    .is_some_and(|c| c < m.item && self.items.acts(c, Act::Negates))
            };
            let beside = (m.item + 1..next.item).all(|j| self.is_small(j) || self.items.joins(j));
            if !denied || !not(m) || !beside {
                return;
            }
            self.say_of(k, i, says, false);
        }
    }

    /// `the alternator or the battery went out`: which of the two that this is said of
    /// is not known.
    pub(super) fn doubt_either(&mut self, subjects: &[usize], says: Says, i: usize) {
        let &[last, first] = subjects else { return };
        let denied = self.begins_with_denial(i) || self.unreal.is_some() || self.when;
        if says == Says::Bad && !denied && first + 1 == last && self.behind_or(last) {
            for k in [first, last] {
                self.mentions[k].hedged |= self.mentions[k].says == Some(Says::Bad);
            }
        }
    }

    /// `either the starter is bad or the battery is dead`: the second of two clauses.
    pub(super) fn or_else_this(&mut self, k: usize) {
        if k == 0 || !self.behind_or(k) {
            return;
        }
        let (p, m) = (&self.mentions[k - 1], &self.mentions[k]);
        let before = self.before_modifiers(p.item);
        let either = |j: usize| self.items.is_a(j, WordClass::Either);
        let either = either(before) || before > 0 && either(before - 1);
        let bad = |m: &Mention| m.says == Some(Says::Bad) && m.is_noun() && !m.denied;
        if either && p.sentence == m.sentence && bad(m) && bad(p) {
            self.mentions[k].hedged = true;
            self.mentions[k - 1].hedged = true;
        }
    }
}
