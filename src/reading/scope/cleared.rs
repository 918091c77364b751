//! Parts that a denial names as not the trouble, and what is told of them then.

use super::*;

/// Items between such a part and what is told of it.
const NEAR: usize = 8;

impl Walk<'_> {
    /// `not the alternator, that checked out fine`, `it isn't the pump, we tested it
    /// and it is good`: the part that was denied right before, where this clears it.
    pub(super) fn cleared(&self, i: usize, says: Says) -> Option<usize> {
        let last = self.mentions.last()?.item;
        let far = i.saturating_sub(last) > NEAR + 1;
        if far || !matches!(says, Says::Sound | Says::Renewed) || self.neg.is_some() {
            return None;
        }
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let denied = m.consumed && m.says.is_none() && m.is_noun() && !m.is_equipment();
        let by = m.cue.filter(|c| *c < m.item && denied)?;
        let not = self.items.acts(by, Act::Negates) && m.sentence == self.sentence;
        let comma = matches!(
            self.items.kind(m.item + 1),
            ItemKind::Sign(b',' | b';' | b'-' | b'(')
        );
        let between = m.item + 1..i;
        let small = |j: usize| {
            let acts = [Act::Border, Act::And, Act::Past, Act::Latest, Act::Place];
            self.items.acts_any(j, &acts) || self.is_small(j) || self.items.is_word(j)
        };
        let stands_for = |j: usize| {
            self.items.acts(j, Act::Pronoun)
                || self.items.is_any(j, &[WordClass::That, WordClass::Which])
        };
        let takes_up = between.clone().any(stands_for) || self.items.is_a(i, WordClass::That);
        let near = between.clone().all(small);
        let denies = between.clone().any(|j| self.denies(j));
        (not && comma && near && takes_up && !denies).then_some(k)
    }

    /// `itll be the pump or possibly the relay`: a doubt behind `or` is of the part
    /// before it as well.
    pub(super) fn either_doubted(&mut self, m: &Mention, hedge: usize) {
        let or = hedge > 0 && self.items.acts(hedge - 1, Act::Or);
        let same = |p: &Mention| {
            p.says == Some(Says::Bad) && p.cue == m.cue && p.sentence == m.sentence && p.is_noun()
        };
        if or && m.says == Some(Says::Bad) && self.mentions.last().is_some_and(same) {
            self.hedge_list();
        }
    }
}
