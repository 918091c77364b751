//! Two of which one is told apart from the other: `the latter`, `one works and
//! one does not`.

use super::*;

/// Items behind such a word among which its saying is looked for.
const BEHIND: usize = 8;

impl Walk<'_> {
    /// `a dead battery and a bad starter, the latter I replaced`: which of the
    /// two named last a word stands for.
    pub(super) fn one_of_the_two(&mut self, i: usize) {
        let back = match i {
            _ if self.items.is_a(i, WordClass::Latter) => 1,
            _ if self.items.is_a(i, WordClass::Former) => 2,
            _ => return,
        };
        let [.., a, b] = &self.mentions[..] else {
            return;
        };
        let two = a.is_noun() && b.is_noun() && a.sentence == b.sentence;
        if two && self.sentence - b.sentence <= 1 {
            self.which = Some((self.mentions.len() - back, i));
        }
    }

    /// Whether a saying is of the one that `the latter` stands for. Says so.
    pub(super) fn said_of_which(&mut self, i: usize, cue: Cue) -> bool {
        let Some((k, at)) = self.which else {
            return false;
        };
        let Act::State(says) = cue.act else {
            return false;
        };
        self.which = None;
        if i - at > BEHIND
            || self.mentions[k].sentence + 1 < self.sentence
            || self.part_follows(i, 0)
        {
            return false;
        }
        // `the former I have not replaced`: it is what it was.
        let negated = self.take_negation().is_some();
        if !(negated && says == Says::Renewed) {
            self.say_of(k, i, says, negated);
        }
        true
    }

    /// `one mirror works and one doesn't`: one of the part named last, and now
    /// another.
    pub(super) fn one_and_one(&self, m: &Mention, i: usize) -> bool {
        let verb = i > 0 && self.items.acts(i - 1, Act::Copula);
        let Some(mut one) = i.checked_sub(1 + usize::from(verb)) else {
            return false;
        };
        // `and one that doesn't`
        if one > 0 && self.items.is_a(one, WordClass::That) {
            one -= 1;
        }
        let begins = |j: usize| {
            self.items.joins(j)
                || self.items.acts(j, Act::Border)
                || matches!(self.items.list[j].kind, ItemKind::Sign(b',' | b';'))
        };
        let first = self.before_modifiers(m.item);
        one > m.item
            && self.items.is_a(one, WordClass::One)
            && begins(one - 1)
            && (self.items.is_a(m.item, WordClass::One)
                || first > 0 && self.items.is_a(first - 1, WordClass::One)
                || (first..m.item).any(|j| self.items.is_a(j, WordClass::One)))
    }
}
