//! What a phrase tells by itself: a fault, as a name or as a clause, or a state.

use super::*;

impl Walk<'_> {
    /// Whether a phrase tells a fault of a part, not of the car.
    pub(super) fn fault_of_part(&self, i: usize) -> bool {
        let of_part = |n: &Named| n.naming == Naming::States(Says::Bad) && !self.is_symptom(n.part);
        self.items
            .phrase(i)
            .is_some_and(|p| p.meaning.named.iter().all(of_part))
    }

    /// `no rust, loud exhaust`, `no leaks and lifter tick`: the fault of a part, or
    /// one behind `and` in several words, is none of the list.
    pub(super) fn fault_by_itself(&self, i: usize, first: usize) -> bool {
        let words = self.words(i);
        let one = words.contains(' ') && !words.ends_with('s');
        let and = first > 0 && self.items.acts(first - 1, Act::And);
        !self.or_ahead(i + 1) && (self.tells_a_fault(i) || and && one)
    }

    /// `ran hot`, `soft brakes`: a fault told, and no name of one as `oil leaks`.
    pub(super) fn tells_a_fault(&self, i: usize) -> bool {
        self.items.phrase(i).is_some_and(|p| {
            let named = &p.meaning.named;
            named.iter().all(|n| n.naming == Naming::States(Says::Bad))
        })
    }

    /// `an oil leak`: a symptom without a verb.
    pub(super) fn fault_as_noun(&self, i: usize) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        let copula = |t| self.items.cue_of(t, t).is_some_and(|c| c.act.is_copula());
        let verb = self.words(i).ends_with('s') || (first..=last).any(copula);
        !verb && self.names_symptoms(i)
    }

    /// `seats are torn`, `idles rough`: a fault that is told with a verb of its
    /// own.
    pub(super) fn is_clause(&self, i: usize) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        if first == last {
            return false;
        }
        let verb = |token: u32| {
            self.items.cue_of(token, token).is_some_and(|c| {
                let small = [
                    Act::Place,
                    Act::Pronoun,
                    Act::Border,
                    Act::But,
                    Act::When,
                    Act::Unreal,
                    Act::Negates,
                    Act::Modifier,
                ];
                c.act.is_copula()
                    || small.contains(&c.act)
                    || matches!(c.act, Act::State(_))
                        && matches!(c.side, Side::After | Side::Before)
            })
        };
        let begins = self.items.tokens.word(first as usize);
        let named = self.items.phrase_of(first, first);
        let noun = named.is_some_and(|p| p.meaning.named.iter().any(|n| n.naming.is_noun()));
        let denied = self.items.cue_of(first, first).map(|c| c.act) == Some(Act::Negates);
        // `brakes squeal`
        let plural = begins.ends_with('s') && !begins.ends_with("ss");
        let phrase = self.items.phrase(i);
        let symptom =
            phrase.is_some_and(|p| p.meaning.named.iter().all(|n| self.is_symptom(n.part)));
        (first + 1..=last).any(verb) || denied || plural && (!noun || symptom)
    }

    /// `ac not working`, `speedometer broke`: whether a state is told within a
    /// phrase.
    pub(super) fn tells_state(&self, i: usize) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        (first + 1..=last).any(|t| {
            let act = self.items.cue_of(t, t).map(|c| c.act);
            matches!(act, Some(Act::Negates | Act::State(_) | Act::Copula))
        })
    }
}
