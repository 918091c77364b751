//! A saying that no row has for the part it stands with: the shorter one within
//! it, or what is known of its kin.

use super::turns::STORY;
use super::*;

/// Mentions looked back over.
const NEAREST: usize = 12;

impl Walk<'_> {
    /// A saying that fits no part here gives way to the shorter one within it:
    /// `is loud` is no row for an exhaust, `loud` is.
    pub(super) fn shorter(&mut self, i: usize) -> bool {
        let item = self.items.list[i];
        let Some(whole) = self.items.phrase(i).map(|p| p.meaning) else {
            return false;
        };
        if !whole.named.is_empty() || !whole.senses.is_empty() {
            return false;
        }
        if self.without_subject(i, &whole.effects) {
            return true;
        }
        let alone = whole.cue.is_none() && whole.signs.is_empty();
        // `Rear pads 2022, fronts have plenty left`
        let behind = self.right_behind_a_part(i);
        let others = || self.others_of(i, Says::Sound).is_some();
        if !alone || !(behind || others()) || self.part_ahead(i).is_some() {
            return false;
        }
        // `isn't sagging`, of a part that no row has it for
        let own = self.first_word_denies(i) && !self.denies_ability(i);
        if own && self.neg.is_none() {
            self.neg = Some((i, Act::Negates));
            self.neg_words = 0;
        }
        for phrase in self.items.within(item) {
            let meaning = phrase.meaning;
            let denial = |c: Cue| matches!(c.act, Act::Negates | Act::Lacks);
            if own && meaning.cue.is_some_and(denial) {
                continue;
            }
            if !meaning.effects.is_empty() && self.effect(i, &meaning.effects) {
                return true;
            }
            if let Some(cue) = meaning.cue.filter(|c| c.act == Act::State(Says::Bad))
                && meaning.named.is_empty()
            {
                self.cue(i, cue);
                return true;
            }
        }
        if own {
            self.neg = None;
        }
        behind && self.said_of_kin(i, &whole.effects)
    }

    /// `bearing hums on the highway`: what is said of the part stands at the head of
    /// a fault that tells when it shows. Says it of the part, if a row knows it of it.
    pub(super) fn with_when(&mut self, i: usize) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        let symptom = first < last && self.names_symptoms(i);
        if !symptom || !self.right_behind_a_part(i) || self.tells_its_own(i) {
            return false;
        }
        let part = self.mentions.last().and_then(|m| m.named.first());
        let Some(part) = part.map(|n| n.part) else {
            return false;
        };
        let when = |at: u32| {
            let cue = self.items.cue_of(at, at).map(|c| c.act);
            matches!(cue, Some(Act::Place | Act::When | Act::Modifier))
                || self.items.token_is(at, &[WordClass::Like])
        };
        let of_part = |at: u32| {
            let head = self.items.phrase_of(first, at)?;
            // `runs on 3 cylinders`
            let fault = |e: &Effect| e.claims.iter().all(|(_, says)| *says == Says::Bad);
            let known = super::effects::choose(&head.meaning.effects, Some(part))
                .is_some_and(|e| e.of == EffectOf::Named && fault(e));
            known.then_some(head.meaning)
        };
        let head = (first..last)
            .rev()
            .filter(|at| when(at + 1))
            .find_map(of_part);
        head.is_some_and(|meaning| self.effect(i, &meaning.effects))
    }

    /// What rows know of two parts of a group or more is said of a third as
    /// well, where it says nothing but how the part is.
    fn said_of_kin(&mut self, i: usize, effects: &[Effect]) -> bool {
        const KNOWN_OF: usize = 2;
        let k = self.mentions.len() - 1;
        let m = &self.mentions[k];
        let Some(part) = m.named.first().map(|n| n.part).filter(|_| m.is_noun()) else {
            return false;
        };
        let item = m.item;
        let group = &self.parts.get(part).group;
        let kin = |p: &&PartId| !self.is_symptom(**p) && self.parts.get(**p).group == *group;
        let fits = |e: &&Effect| e.subjects.iter().filter(kin).count() >= KNOWN_OF;
        let Some(effect) = effects.iter().find(fits) else {
            return false;
        };
        let [(None, says)] = effect.claims[..] else {
            return false;
        };
        let same = |e: &Effect| e.claims.iter().all(|(_, s)| *s == says);
        if self.is_symptom(part) || !effects.iter().all(same) {
            return false;
        }
        self.take_effect(i, item, k, Some(part), effect);
        true
    }

    /// `a knock in the front end, changed both links and the knock is gone`: a knock that
    /// is over, or `the` knock, is the noise of the suspension told of before, where no
    /// engine knocks.
    pub(super) fn knock_of_before(&self, m: &mut Mention) {
        let [named] = m.named[..] else { return };
        if self.parts.code(named.part) != "engine_knock"
            || !self.items.has_any(m.item, &[WordClass::Knock])
        {
            return;
        }
        let first = self.items.list[m.item].first as usize;
        let the = first > 0
            && self
                .items
                .tokens
                .is_any(first - 1, &[WordClass::The, WordClass::That]);
        // Not `no knocks`.
        let item = self.items.list[m.item];
        let gone = item.first < item.last && !m.denied;
        let over = gone && self.final_state(m, named) == Some(Says::Sound);
        if !(the || over) || self.part_ahead(m.item).is_some() {
            return;
        }
        let names =
            |p: &Mention, code: &str| p.named.iter().any(|n| self.parts.code(n.part) == code);
        let near = |p: &&Mention| m.sentence - p.sentence <= STORY;
        let mut before = self.mentions.iter().rev().take(NEAREST).take_while(near);
        let told = before.find(|p| names(p, "engine_knock") || names(p, "clunk"));
        if let Some(p) = told.filter(|p| names(p, "clunk"))
            && let Some(clunk) = p.named.iter().find(|n| self.parts.code(n.part) == "clunk")
        {
            m.named[0].part = clunk.part;
        }
    }
}
