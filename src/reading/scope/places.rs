//! Parts that are named only for where something is.

use super::effects::choose;
use super::*;

impl Walk<'_> {
    /// `dent in the fender`: where the fault is that was named last, if it is the
    /// same fault there as elsewhere, and not one of the part as rust is.
    pub(super) fn place_of_fault(&self, i: usize, named: &[Named]) -> bool {
        let before = self.before_modifiers(i).wrapping_sub(1);
        let Some(p) = self.mentions.last().filter(|p| p.item == before) else {
            return false;
        };
        let Item { first, last, .. } = self.items.list[p.item];
        let place = self.items.cue_of(last, last).map(|c| c.act) == Some(Act::Place);
        let fault = self.items.phrase_of(first, first).filter(|_| place);
        let of_part = |n: &Named| {
            let told = fault.and_then(|f| choose(&f.meaning.effects, Some(n.part)));
            told.is_some_and(|effect| {
                let same = |code: &Option<PartId>| p.named.iter().any(|f| Some(f.part) == *code);
                effect.of == EffectOf::Named && effect.claims.iter().all(|(code, _)| same(code))
            })
        };
        named.iter().all(of_part)
    }

    /// `tires have good tread`: the predicate names the part again and says
    /// itself what there is to say.
    pub(super) fn spoken_for(&self, i: usize, named: &[Named]) -> bool {
        let small =
            |j: &usize| self.items.acts(*j, Act::Copula) || self.items.acts(*j, Act::Modifier);
        let next = i + 1 + (i + 1..self.items.list.len()).take_while(small).count();
        let again = self.items.phrase(next);
        next > i + 1
            && again.is_some_and(|p| {
                p.meaning.named.iter().any(|n| {
                    matches!(n.naming, Naming::States(_)) && named.iter().any(|m| m.part == n.part)
                })
            })
    }
}
