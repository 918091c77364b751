//! What is put in between a part and what is said of it, and what takes a saying back.

use super::*;

/// Items that a clause put in between may have.
const LONGEST: usize = 14;

impl Walk<'_> {
    /// `The clutch, which people ask about, is fine`: the part that a clause put in
    /// between two commas parts from this, if nothing was told of it yet.
    pub(super) fn over_relative(&self, i: usize) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let open = m.is_open() && !m.is_equipment() && !m.place && m.sentence == self.sentence;
        let which = m.item + 2;
        // First, since every predicate without a subject is asked.
        if !open
            || which >= i
            || i - which > LONGEST
            || !self.items.is_a(which, WordClass::Relative)
        {
            return None;
        }
        let comma = |j: usize| self.items.kind(j) == ItemKind::Sign(b',');
        let small = |j: &usize| {
            let acts = [
                Act::Modifier,
                Act::Copula,
                Act::Latest,
                Act::Negates,
                Act::Past,
            ];
            self.items.acts_any(*j, &acts)
        };
        let back = (which..i).rev().take_while(small).count();
        let closes = i.checked_sub(back + 1).filter(|j| comma(*j))?;
        let tells = |j: usize| {
            self.items.names(j)
                || self
                    .items
                    .cue(j)
                    .is_some_and(|c| matches!(c.act, Act::State(_)))
        };
        let inside = which + 1..closes;
        (comma(m.item + 1) && inside.len() <= LONGEST && !inside.clone().any(tells)).then_some(k)
    }

    /// `I won't pretend the clutch is good, it isn't`, `don't let anyone tell you the
    /// box is bad, it isn't`: a saying that the sentence began by putting off is taken
    /// back by a bare denial of it. Says so.
    pub(super) fn denied_after_all(&mut self, denial: usize) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let told = m
            .says
            .filter(|s| matches!(s, Says::Sound | Says::Bad | Says::Suspect));
        let (Some(says), Some(cue)) = (told, m.cue.filter(|c| *c > m.item)) else {
            return false;
        };
        let pronoun = denial > 0
            && self.items.acts(denial - 1, Act::Pronoun)
            && self.items.is_any(
                denial - 1,
                &[
                    WordClass::It,
                    WordClass::They,
                    WordClass::That,
                    WordClass::Its,
                ],
            );
        let between = |j: usize| {
            matches!(self.items.kind(j), ItemKind::Sign(b',' | b';' | b'-'))
                || self.items.acts(j, Act::Border)
        };
        let near = pronoun && cue + 1 < denial && (cue + 1..denial - 1).all(between);
        let from = self.sentence_start.max(m.item.saturating_sub(LONGEST));
        let put_off = |j: usize| {
            let acts = [Act::Negates, Act::Unreal, Act::Hedges];
            self.items.acts_any(j, &acts)
        };
        let is = near && m.is_noun() && m.sentence == self.sentence && (from..m.item).any(put_off);
        if is {
            let says = if says == Says::Sound { says } else { Says::Bad };
            self.mentions[k].unreal = false;
            self.say_of(k, denial, says, true);
            self.mentions[k].hedged = false;
        }
        is
    }

    /// `I had the clutch out and it was fine`: whether this only tells that a part was
    /// taken out to be looked at.
    pub(super) fn taken_out(&self, i: usize) -> bool {
        let out = self.items.list[i].first == self.items.list[i].last
            && self.items.is_a(i, WordClass::Out);
        let Some(m) = self
            .mentions
            .last()
            .filter(|m| out && m.sentence == self.sentence)
        else {
            return false;
        };
        let first = self.mentions[self.sentence_mentions..].first().unwrap_or(m);
        let had = self.before_modifiers(first.item).checked_sub(1);
        m.is_open() && m.item + 1 == i && had.is_some_and(|j| self.items.is_a(j, WordClass::Had))
    }
}
