//! What is said of the piece that is on the car, where another was told of before.

use super::effects::choose;
use super::*;

/// Words looked back over for `the one`.
const FAR: u32 = 24;
/// Parts and sayings looked back over.
const NEAREST: usize = 12;

impl Walk<'_> {
    /// `New water pump is in the trunk, old one leaks`, `a starter comes with it, the one
    /// on it grinds`: a saying of certain parts, told of the piece that the one at hand
    /// is to take the place of. Says so.
    pub(super) fn said_of_the_fitted(&mut self, i: usize, effects: &[Effect]) -> bool {
        let Some(k) = self
            .spare_still_to_fit(i)
            .filter(|k| self.of_the_one(*k, i))
        else {
            return false;
        };
        let (item, part) = (
            self.mentions[k].item,
            self.mentions[k].named.first().map(|n| n.part),
        );
        let row = choose(effects, part).filter(|e| e.of != EffectOf::Nothing);
        let Some(effect) = row.filter(|e| e.claims.iter().all(|(_, says)| *says == Says::Bad))
        else {
            return false;
        };
        if self.neg.is_some() || self.unreal.is_some() || self.part_ahead(i).is_some() {
            return false;
        }
        let of_part = |(code, _): &(Option<PartId>, Says)| code.is_none() || *code == part;
        let whole = effect.claims.iter().any(of_part);
        // `old ones are clunky`: that is heard as well.
        let single = matches!(effect.claims[..], [(None, _)]);
        let leak = |n: &Named| self.parts.code(n.part) == "leak";
        let heard = |p: Phrase| !p.meaning.named.iter().any(leak);
        if single && self.names_symptoms(i) && self.items.phrase(i).is_some_and(heard) {
            self.say_besides(k, i, Says::Bad);
            return false;
        }
        self.push_effect(i, item, part, effect, [false; 3]);
        if !whole {
            self.say_besides(k, i, Says::Bad);
        }
        true
    }

    /// Whether a word for one of several stands between a part and what is said.
    fn of_the_one(&self, k: usize, i: usize) -> bool {
        let from = self.items.list[self.mentions[k].item].last + 1;
        let one = |t: u32| {
            self.items
                .token_is(t, &[WordClass::One, WordClass::Ones, WordClass::Original])
        };
        let to = self.items.list[i].first;
        self.when || (from.max(to.saturating_sub(FAR))..to).any(one)
    }

    /// `Struts are original but not leaking`, `gaskets original, no signs of leaking`: what
    /// is denied behind `but` or a comma is denied of the part of which no more was told before it.
    pub(super) fn denied_behind_but(&mut self, i: usize, effects: &[Effect]) -> bool {
        let Some((no, act)) = self.neg else {
            return false;
        };
        // `no signs of leaking`, but `no leaks` is the car's
        if act == Act::Lacks && self.items.is_a(no, WordClass::No) {
            return false;
        }
        if no + 1 != i {
            return false;
        }
        let but = self.before_verbs(no);
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let open = m.is_open() && !m.is_equipment() && !m.hedged && !m.unreal;
        let behind = but.is_some_and(|but| but > m.item);
        if !open || m.sentence != self.sentence || !behind || self.part_ahead(i).is_some() {
            return false;
        }
        let (item, part) = (m.item, m.named.first().map(|n| n.part));
        let Some(effect) = choose(effects, part).filter(|e| e.of != EffectOf::Nothing) else {
            return false;
        };
        self.take_effect(i, item, k, part, effect);
        true
    }

    /// The `but` or comma that only small words part from an item.
    fn before_verbs(&self, mut at: usize) -> Option<usize> {
        let small = |j: usize| {
            self.items.acts(j, Act::Copula)
                || self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Pronoun)
        };
        while at > self.sentence_start && small(at - 1) {
            at -= 1;
        }
        let but = at.checked_sub(1)?;
        let set_off =
            self.items.acts(but, Act::But) || self.items.kind(but) == ItemKind::Sign(b',');
        set_off.then_some(but)
    }

    /// `pump died, did that in May`: work on the part that was told to be at fault right
    /// before; not `grinds into second, did that when I got it`.
    pub(super) fn did_that(&self, i: usize) -> bool {
        let that = self
            .items
            .is_any(i + 1, &[WordClass::That, WordClass::Those])
            && !self.part_follows(i + 1, 1);
        if !that || !self.items.ends_with(i, &[WordClass::Did]) || self.items.is_word(i + 2) {
            return false;
        }
        let when = self.items.acts(i + 2, Act::When) || self.items.acts(i + 2, Act::Border);
        let it = i > 0 && self.items.acts(i - 1, Act::Pronoun);
        let told = self.mentions.last().is_some_and(|m| {
            let part =
                |s: &Saying| s.item >= m.item && !self.is_symptom(s.part) && s.says == Says::Bad;
            let taken = m.consumed && self.extra.iter().rev().take(2).any(part);
            m.sentence == self.sentence && (m.says == Some(Says::Bad) || taken)
        });
        told && !when && !it
    }

    /// `needs a water pump, I have the pump`: what the seller has of a part that was told
    /// to be at fault right before. The car would be told to `has` it.
    pub(super) fn have_it_for_the_fault(&self, m: &Mention) -> bool {
        let at = self.before_modifiers(m.item).wrapping_sub(1);
        if self.neg.is_some()
            || self.unreal.is_some()
            || !self.items.is_a(at, WordClass::Has)
            || !m.is_equipment()
        {
            return false;
        }
        // Not `they all have a clutch`.
        let seller = |j: usize| {
            let starts =
                j < self.sentence_start || self.parts(j) || self.items.acts(j, Act::Border);
            starts
                || self.items.is_any(
                    j,
                    &[
                        WordClass::Person,
                        WordClass::Already,
                        WordClass::Still,
                        WordClass::Also,
                    ],
                )
        };
        if at > 0 && !seller(at - 1) {
            return false;
        }
        let same = |p: PartId| m.named.iter().any(|n| n.part == p);
        let near = |sentence: u32| self.sentence - sentence <= 1;
        let told = self.mentions.iter().rev().take(NEAREST);
        let told = told.take_while(|p| near(p.sentence));
        let bad = |p: &Mention| {
            p.is_noun() && p.says == Some(Says::Bad) && p.named.iter().any(|n| same(n.part))
        };
        let said = self.extra.iter().rev().take(NEAREST);
        let said = said.take_while(|s| near(s.sentence));
        let closes = self.clause_closes(m.item + 1) || self.items.acts(m.item + 1, Act::Border);
        closes
            && (told.into_iter().any(bad)
                || said
                    .into_iter()
                    .any(|s| s.says == Says::Bad && same(s.part)))
    }

    /// `Engine ticks and leaks`: a saying joined to a fault whose name begins with the
    /// part that it is of. Says so.
    pub(super) fn of_part_within(&mut self, i: usize, effects: &[Effect]) -> bool {
        let Some(m) = self
            .mentions
            .last()
            .filter(|m| m.item + 2 == i && !m.is_noun())
        else {
            return false;
        };
        let joined = self.items.acts(i - 1, Act::And) && m.sentence == self.sentence;
        let open = !m.denied && !m.unreal && !m.hedged && self.neg.is_none();
        let Item { first, last, .. } = self.items.list[m.item];
        let noun = |t: u32| {
            let named = &self.items.phrase_of(first, t)?.meaning.named;
            let noun = named.first().filter(|n| n.naming.is_noun());
            noun.map(|n| n.part)
        };
        let part = (first..last)
            .rev()
            .find_map(noun)
            .filter(|_| joined && open);
        let Some(part) = part.filter(|_| self.part_ahead(i).is_none()) else {
            return false;
        };
        let item = m.item;
        // Not `battery light came on and died`.
        let symptom = |(code, _): &(Option<PartId>, Says)| code.is_some_and(|c| self.is_symptom(c));
        let row = choose(effects, Some(part)).filter(|e| e.of == EffectOf::Named);
        let Some(effect) = row.filter(|e| e.claims.iter().any(symptom)) else {
            return false;
        };
        self.push_effect(i, item, Some(part), effect, [false; 3]);
        true
    }
}
