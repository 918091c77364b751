//! What a later sentence says of what was told before it: answers, and news
//! that a fault is over.

use super::*;

impl Walk<'_> {
    /// The part that the sentence before asked about, if nothing was named
    /// since: `Clutch? Strong.`
    pub(super) fn asked(&self) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        (m.question && m.sentence + 1 == self.sentence && m.says.is_none() && m.is_noun())
            .then_some(k)
    }

    /// Whether only small words stand between the start of the sentence and
    /// this item.
    pub(super) fn answers_first(&self, i: usize) -> bool {
        (self.sentence_start..i).all(|j| {
            self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Copula)
                || self.items.acts(j, Act::Pronoun)
                || self.items.acts(j, Act::Affirms)
                || self.items.acts(j, Act::Negates)
                || matches!(self.items.list[j].kind, ItemKind::Sign(_))
        })
    }

    /// `boiled over in May, new thermostat, has not done it since`: the
    /// symptoms told in this sentence and the one before it are gone.
    pub(super) fn cures(&mut self, i: usize) {
        let since = self.sentence.saturating_sub(1);
        let parts = self.parts;
        let symptom = |part| parts.get(part).kind == PartKind::Symptom;
        for m in self.mentions.iter_mut().rev() {
            if m.sentence < since {
                break;
            }
            if !m.is_noun() && !m.denied && m.named.iter().any(|n| symptom(n.part)) {
                m.says = Some(Says::Renewed);
                m.cue = Some(i);
                m.hedged = false;
            }
        }
        for s in self.extra.iter_mut().rev() {
            if s.sentence < since {
                break;
            }
            if symptom(s.part) && s.says.is_fault() {
                s.says = Says::Sound;
                s.cue = Some(i);
                s.rule.cue = match self.items.list[i].kind {
                    ItemKind::Phrase(p) => Some(p),
                    _ => s.rule.cue,
                };
            }
        }
    }
}
