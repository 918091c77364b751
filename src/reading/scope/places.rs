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

    /// `fuel line on the frame weeps`: the part that a saying here may be of, which a
    /// place right before it leads back to.
    pub(super) fn before_its_place(&self, i: usize) -> usize {
        let last = self.mentions.len().saturating_sub(1);
        let [.., p, m] = &self.mentions[..] else {
            return last;
        };
        let small = |j: usize| {
            self.items.acts(j, Act::Place)
                || self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Side)
        };
        let place = m.place && m.sentence == self.sentence && p.sentence == m.sentence;
        let close = (p.item + 1..m.item).all(small)
            && (m.item + 1..i).all(|j| small(j) || self.items.acts(j, Act::Copula));
        // `display for the radio`
        let kind = self.before_modifiers(m.item).checked_sub(1);
        let kind = kind.is_some_and(|j| {
            self.items
                .is_any(j, &[WordClass::For, WordClass::With, WordClass::To])
        });
        match place && !kind && p.is_open() && !p.is_equipment() && self.placed(m.item) && close {
            true => last - 1,
            false => last,
        }
    }

    /// `everything from the radiator to the water pump is new`: whether the part here is
    /// the other end of what a saying is of, and no place.
    pub(super) fn other_end(&self, i: usize) -> bool {
        let word = |j: Option<usize>, class| j.is_some_and(|j| self.items.is_a(j, class));
        let to = self.before_modifiers(i).checked_sub(1);
        let Some(p) = self.mentions.last().filter(|_| word(to, WordClass::To)) else {
            return false;
        };
        let from = self.before_modifiers(p.item).checked_sub(1);
        let all = from
            .and_then(|f| self.items.list.get(f))
            .and_then(|n| n.first.checked_sub(1));
        let all = all.is_some_and(|t| {
            let all = [WordClass::Everything, WordClass::All];
            self.items.token_is(t, &all)
        });
        to == Some(p.item + 1) && word(from, WordClass::From) && all
    }
}
