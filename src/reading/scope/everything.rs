//! What a sentence says of everything or of nothing, and the parts that it names
//! besides: one that works like the rest, one that is left out of it.

use super::*;

/// Items of a sentence looked back on for what it says of everything.
const FAR: usize = 16;
/// Items between a part that is left out and what is told of it.
const NEAR: usize = 8;

impl Walk<'_> {
    /// `Everything works, even the radio`, `it all works, right down to the wiper`:
    /// the part that follows is praised with the rest. Says so.
    pub(super) fn praised_with_all(&mut self, i: usize) -> bool {
        let even = self.items.is_a(i, WordClass::Even);
        let down = self.items.is_a(i, WordClass::Down) && self.items.is_a(i + 1, WordClass::To);
        if !(even || down) || self.part_ahead(i).is_none() {
            return false;
        }
        let Some(praise) = self.all_praised(i) else {
            return false;
        };
        self.gov = Some(Governor {
            verb: true,
            ..Governor::new(Says::Sound, praise, self.sentence)
        });
        self.note(|w| format!("'{}' is said of what follows too", w.words(praise)));
        true
    }

    /// `All working, radio included`: whether what is named as included is one of the
    /// things that were praised, and nothing that comes with the car.
    pub(super) fn included_in_all(&self, i: usize, says: Says) -> bool {
        let included = says == Says::Spare && self.items.ends_with(i, &[WordClass::Includes]);
        let heads = |s: Governor| s.says == Says::Sound && !s.negated;
        included && (self.section.is_some_and(heads) || self.all_praised(i).is_some())
    }

    /// Where this sentence says of everything, before this item, that it works.
    fn all_praised(&self, i: usize) -> Option<usize> {
        let from = self.sentence_start.max(i.saturating_sub(FAR));
        const ALL: [WordClass; 4] = [
            WordClass::Everything,
            WordClass::All,
            WordClass::Rest,
            WordClass::Both,
        ];
        let praise = |j: &usize| {
            let heads = self.heading(*j) == Some(Says::Sound);
            let cue = self.items.cue(*j);
            let sound = cue.is_some_and(|c| {
                c.act == Act::State(Says::Sound) && matches!(c.side, Side::Before | Side::Either)
            });
            let copula = *j > from && self.items.acts(*j - 1, Act::Copula);
            let subject = j.checked_sub(1 + usize::from(copula));
            let before = subject.is_some_and(|s| s >= from && self.items.is_any(s, &ALL));
            (heads || sound) && (self.items.is_any(*j, &ALL) || before)
        };
        let denied = |j: usize| j > from && self.denies(j - 1);
        (from..i).rev().find(praise).filter(|j| !denied(*j))
    }

    /// `All new bar the clutch, which is still good`, `nothing was touched other than
    /// the mirror, which was replaced`: the part that was left out of what is said of
    /// all, where this tells how it is.
    pub(super) fn left_out_told(&self, i: usize, says: Says) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        if !matches!(says, Says::Sound | Says::Renewed)
            || i.saturating_sub(m.item) > NEAR
            || !self.is_left_out(m)
        {
            return None;
        }
        let small = |j: usize| {
            self.items.acts(j, Act::Border)
                || self.items.acts(j, Act::And)
                || self.items.acts(j, Act::Place)
                || self.items.acts(j, Act::Latest)
                || self.is_small(j)
        };
        let taken_up = (m.item + 1..i)
            .any(|j| self.items.acts(j, Act::Pronoun) || self.items.is_a(j, WordClass::Which))
            || self.items.has_any(i, &[WordClass::Which, WordClass::That]);
        let near = (m.item + 1..i).all(small);
        (near && taken_up).then_some(k)
    }

    /// Whether a part is named as what is left out of everything or of nothing.
    fn is_left_out(&self, m: &Mention) -> bool {
        let Some(cue) = m.cue.filter(|c| *c < m.item && m.says == Some(Says::Bad)) else {
            return false;
        };
        const ALL: [WordClass; 6] = [
            WordClass::Everything,
            WordClass::Nothing,
            WordClass::All,
            WordClass::Thing,
            WordClass::NoneOf,
            WordClass::Both,
        ];
        let from = self.sentence_start.max(cue.saturating_sub(FAR));
        let first = self.items.list[from].first;
        let last = self.items.list[cue].first;
        m.sentence == self.sentence
            && m.is_noun()
            && self.items.is_cue(cue, Act::State(Says::Bad), Side::After)
            && !self.asks_for_work(cue)
            && (first..last).any(|t| self.items.token_is(t, &ALL))
    }

    /// `the mirror, which I had to replace`: whether a verb of repair has the part
    /// before it as its object. Says so.
    pub(super) fn which_was_done(&mut self, i: usize) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let which = i
            .checked_sub(1)
            .filter(|j| self.items.is_any(*j, &[WordClass::Which, WordClass::That]));
        let sign = |j: usize| matches!(self.items.kind(j), ItemKind::Sign(b',' | b'-' | b'('));
        let close = which.is_some_and(|w| (m.item + 1..w).all(sign) && w > m.item);
        let told = m.says.is_none_or(|s| s == Says::Bad) && m.is_noun() && !m.is_equipment();
        let is = close
            && told
            && m.sentence == self.sentence
            && !m.place
            && self.neg.is_none()
            && self.clause_closes(i + 1)
            && (m.says.is_none() || self.is_left_out(m));
        if is {
            self.say_of(k, i, Says::Renewed, false);
        }
        is
    }

    /// `Of the radio, clock and heater only the radio works`: the one of a list, named
    /// again, of which alone a saying is true. The subjects are given from the last.
    pub(super) fn only_one_of(&self, subjects: &[usize]) -> Option<usize> {
        let (one, list) = subjects.split_first()?;
        let first = self.mentions[*list.last()?].item;
        let item = self.mentions[*one].item;
        let only = (self.before_modifiers(item)..item).any(|j| self.items.is_a(j, WordClass::Only));
        let of = self.before_modifiers(first).checked_sub(1);
        let of = of.is_some_and(|j| self.items.is_a(j, WordClass::Of));
        let again = list.iter().any(|k| self.same_part(*k, Some(*one)));
        (only && of && again).then_some(*one)
    }

    /// Whether two mentions are of one part.
    pub(super) fn same_part(&self, k: usize, other: Option<usize>) -> bool {
        let part = |k: usize| self.mentions[k].named.first().map(|n| n.part);
        other.is_some_and(|o| part(o) == part(k))
    }
}
