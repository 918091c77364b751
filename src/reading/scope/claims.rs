//! What a saying claims of its subject, or of a list of them, and what becomes of the
//! part that it was said of.

use super::effects::choose;
use super::*;

impl Walk<'_> {
    /// The next bare noun of a list.
    fn list_ahead(&self, i: usize) -> Option<(usize, PartId)> {
        if !self.items.joins(i + 1) {
            return None;
        }
        let mut j = i + 1;
        while self.items.joins(j) || self.items.acts(j, Act::Modifier) {
            j += 1;
        }
        let named = &self.items.phrase(j)?.meaning.named;
        let noun = !named.is_empty() && named.iter().all(|n| n.naming.is_noun());
        noun.then(|| (j, named[0].part))
    }

    pub(super) fn take_effect(
        &mut self,
        i: usize,
        item: usize,
        k: usize,
        subject: Option<PartId>,
        effect: &Effect,
    ) -> [bool; 3] {
        // `engine new, still runs hot`: the new part stays so.
        let of_itself =
            |(code, _): &(Option<PartId>, Says)| code.is_none_or(|c| Some(c) == subject);
        let m = &self.mentions[k];
        let whole = m.cue.is_some_and(|c| c > item)
            || matches!(self.items.list[item + 1].kind, ItemKind::Sign(_));
        let stays = m.says == Some(Says::Renewed)
            && whole
            && self.signs_between(item, i)
            && !effect.claims.iter().any(of_itself);
        let lacks = std::mem::take(&mut self.mentions[k].lacks);
        let negated = (self.take_negation().is_some() != self.neg_all) != lacks;
        // `it used to leak`
        let negated = negated != self.formerly;
        // `new starter and it still clicks`: it is new all the same.
        let of_part = |(code, _): &(Option<PartId>, Says)| code.is_none() || *code == subject;
        let kept = stays
            || self.mentions[k].says == Some(Says::Renewed)
                && (item..i)
                    .any(|j| self.items.acts(j, Act::And) || self.items.acts(j, Act::Pronoun));
        if !kept || effect.claims.iter().any(of_part) {
            self.mentions[k].consumed = true;
            self.mentions[k].says = None;
        }
        let unreal = self.mentions[k].unreal || self.unreal.is_some();
        // `the pump or the radiator is leaking`
        let either = !negated && self.mentions[k].linked && self.behind_or(k);
        let how = [negated, unreal, either];
        self.push_effect(i, item, subject, effect, how);
        how
    }

    /// Whether `or` joins a further part to this one.
    pub(super) fn one_of_two(&self, i: usize) -> bool {
        self.items.acts(i + 1, Act::Or) && self.list_ahead(i).is_some()
    }

    /// `rust in the sills, doors and floor`: what is said of a part ahead, and of those
    /// that its list goes on with.
    pub(super) fn effect_on_list(
        &mut self,
        i: usize,
        first: usize,
        (part, effect): (PartId, &Effect),
        effects: &[Effect],
        how: [bool; 3],
    ) {
        self.effect_ahead(i, first, part, effect, how);
        let mut last = first;
        while let Some((next, part)) = self.list_ahead(last)
            && let Some(effect) = choose(effects, Some(part)).filter(|e| e.of == EffectOf::Named)
            && !self.own_predicate(next, true)
        {
            self.effect_ahead(i, next, part, effect, how);
            last = next;
        }
    }

    pub(super) fn effect_ahead(
        &mut self,
        i: usize,
        j: usize,
        part: PartId,
        effect: &Effect,
        how: [bool; 3],
    ) {
        self.push_effect(i, j, Some(part), effect, how);
        // The noun ahead is spoken for when it is reached.
        self.taken.push((j, None));
    }

    pub(super) fn push_effect(
        &mut self,
        i: usize,
        item: usize,
        subject: Option<PartId>,
        effect: &Effect,
        [negated, unreal, doubted]: [bool; 3],
    ) {
        if unreal {
            return;
        }
        let a = self.items.list[item.min(i)];
        let b = self.items.list[item.max(i)];
        let hedged = self.hedge_of_fault(i.min(item)).is_some() && !self.said_flatly(item, i);
        let only_told = self.only_told(i.min(item));
        for (code, says) in &effect.claims {
            let Some(part) = code.or(subject) else {
                continue;
            };
            let says = match (says, negated) {
                (Says::Bad, true) => Says::Sound,
                (Says::Sound, true) => Says::Bad,
                (Says::Renewed, _) if self.is_to_come(i) => Says::Bad,
                (says, _) => *says,
            };
            // `the sump does not leak` denies the leak, it does not praise the sump.
            if negated && says == Says::Sound && effect.claims.len() > 1 && !self.is_symptom(part) {
                continue;
            }
            let guessed = doubted && !self.is_symptom(part);
            let hedged = hedged && !(only_told && self.is_symptom(part));
            let says = if (hedged || guessed) && says == Says::Bad {
                Says::Suspect
            } else {
                says
            };
            self.extra.push(Saying {
                part,
                says,
                tokens: (a.first, b.last),
                item: item.max(i),
                cue: Some(i),
                sentence: self.sentence,
                past: self.in_the_past(),
                latest: self.latest,
                denied: negated,
                implied: false,
                qualifiers: self.qualifiers(item),
                done: None,
                rule: Rule {
                    name: self.wording(item),
                    cue: self.wording(i),
                    denied: negated,
                    hedged: hedged || guessed,
                    leans: false,
                    heard: false,
                },
            });
            self.note(|w| {
                format!(
                    "'{}' with its subject says {}: {says}",
                    w.words(i),
                    w.parts.code(part)
                )
            });
        }
    }
}
