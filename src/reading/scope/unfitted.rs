//! What is at hand and was to be fitted: the part that it is for is at fault too.

use super::effects::choose;
use super::*;

/// Words unknown to any table between a spare and what tells that it was put off.
const NEAR: usize = 3;
/// Parts of one list of which spares are at hand.
const LIST: usize = 12;

impl Walk<'_> {
    /// `New radiator comes with it, never got around to it`, `A starter is in the
    /// trunk. Just needs putting in.`: of a part for which the row says both, what was
    /// told to be at hand is still to be fitted, so that it is at fault as well. Says
    /// so. Of a plain fault such words tell nothing new.
    pub(super) fn put_off(&mut self, i: usize, cue: Option<Cue>, effects: &[Effect]) -> bool {
        let only = cue.is_some_and(|c| c.act == Act::PutOff);
        if effects.is_empty() {
            return only;
        }
        let Some(last) = self.mentions.len().checked_sub(1) else {
            return only;
        };
        if !self.clause_closes(i + 1) {
            return only;
        }
        let m = &self.mentions[last];
        let here = m.sentence == self.sentence && self.words_between(m.item, i) <= NEAR;
        let next = m.sentence + 1 == self.sentence && self.answers_first(i);
        if !here && !next || !self.wears(last, effects) || self.neg.is_some() {
            return only;
        }
        // `I have the window regulator, just needs put in`
        if m.is_equipment() && m.is_open() && here && self.has_it(m.item) {
            self.say_of(last, i, Says::Spare, false);
        }
        if only && here && self.bought(last) {
            self.say_of(last, i, Says::Spare, false);
        }
        if !self.at_hand(last) {
            return only;
        }
        for k in (0..=last).rev().take(LIST) {
            if !self.at_hand(k) || !self.wears(k, effects) {
                break;
            }
            self.say_besides(k, i, Says::Bad);
            if !self.mentions[k].linked {
                break;
            }
        }
        true
    }

    /// Whether a part is told to be at hand, by a cue or by a saying of its own.
    fn at_hand(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        let by_saying = |s: &Saying| {
            let own = m.named.iter().any(|n| n.part == s.part);
            own && s.says == Says::Spare && s.sentence == m.sentence
        };
        m.says == Some(Says::Spare)
            || m.consumed && m.says.is_none() && self.extra.last().is_some_and(by_saying)
    }

    /// `I bought the radiator, never got to it`, `Bought new tie rod ends, never had the
    /// time`: whether all that is told of a part is that it was bought.
    fn bought(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        let told = match (m.says, m.cue) {
            (None, _) => self.before_modifiers(m.item).checked_sub(1),
            (Some(Says::Renewed), Some(cue)) if cue < m.item => Some(cue),
            _ => None,
        };
        let buys = [WordClass::Buys];
        told.is_some_and(|j| self.items.has_any(j, &buys) || self.items.is_any(j, &buys))
    }

    /// Whether a row tells of this part that it is at hand and at fault: one that
    /// wears, and is bought to take the place of another.
    fn wears(&self, k: usize, effects: &[Effect]) -> bool {
        let part = self.mentions[k].named.first().map(|n| n.part);
        let says = |says: Says| {
            let effect = part.and_then(|p| choose(effects, Some(p)));
            effect.is_some_and(|e| e.claims.contains(&(None, says)))
        };
        self.mentions[k].is_noun() && says(Says::Bad) && says(Says::Spare)
    }
}
