//! Sayings whose meaning depends on their subject.

use super::*;

impl Walk<'_> {
    pub(super) fn effect(&mut self, i: usize, effects: &[Effect]) -> bool {
        // `In the trunk, not installed: caliper`: a heading, and no saying of a part.
        let spare = |e: &Effect| e.claims.contains(&(None, Says::Spare));
        if self.items.kind(i + 1) == ItemKind::Sign(b':') && effects.iter().any(spare) {
            return false;
        }
        if let Some(says) = self.said_of_all(effects) {
            if self.sums_here(i, says) {
                return true;
            }
            if let Some(k) = self.cleared(i, says) {
                self.say_of(k, i, says, false);
                return true;
            }
            if self.neg.is_none() && self.ones_on_it(i, says) {
                return true;
            }
            if let Some(k) = self.over_relative(i) {
                let negated = self.take_negation().is_some();
                self.say_of(k, i, says, negated);
                return true;
            }
        }
        let at = self.before_its_place(i);
        let before = self
            .mentions
            .get(at)
            .filter(|m| {
                m.sentence == self.sentence
                    && self.mentions.len() > self.clause
                    && m.is_noun()
                    && self.words_between(m.item, i) <= 3
                    && !(m.is_equipment() && self.parted(m.item, i))
                    && (m.is_open() && !m.hedged || !self.lacking(m.item, i))
                    && (!self.signs_between(m.item, i)
                        || self.still(i) && m.says == Some(Says::Renewed))
                    && (m.is_open()
                        || m.lacks
                        || m.consumed && m.says.is_none() && !m.place
                        || m.says == Some(Says::Renewed) && (m.item + 1 == i || self.again(i)))
            })
            .map(|m| (m.item, m.named.clone()));
        let asked = self.asked().filter(|_| self.answers_first(i));
        let before = before.or_else(|| {
            let m = &self.mentions[asked?];
            Some((m.item, m.named.clone()))
        });
        if let Some((item, named)) = before {
            let subject = named.first().map(|n| n.part);
            if let Some(effect) = choose(effects, subject) {
                let k = at.min(self.mentions.len() - 1);
                // `knock` after a part that no row names is a fault of its own.
                if effect.of != EffectOf::Nothing {
                    let how = self.take_effect(i, item, k, subject, effect);
                    self.list_takes(i, k, effects, how);
                    // `engine: leaks oil at the pan`: the place is named as well.
                    let other = |(code, _): &(Option<PartId>, Says)| {
                        code.is_some_and(|c| Some(c) != subject)
                    };
                    if effect.claims.iter().all(other)
                        && self.items.acts(i + 1, Act::Place)
                        && let Some((place, part)) = self.part_ahead(i)
                        && let Some(effect) =
                            choose(effects, Some(part)).filter(|e| e.of == EffectOf::Named)
                        && !self.own_predicate(place, true)
                    {
                        self.effect_on_list(i, place, (part, effect), effects, how);
                        return true;
                    }
                    // `the rear main leaks oil`: the fluid is spoken for.
                    if self.items.names(i + 1)
                        && let Some((j, part)) = self.part_ahead(i)
                        && choose(effects, Some(part)).is_some_and(|e| e.of == EffectOf::Named)
                    {
                        self.taken.push((j, None));
                    }
                    return true;
                }
            }
        }
        // `the sunroof opens but leaks`
        if let Some(k) = self.set_against(i)
            && let Some(part) = self.mentions[k].named.first().map(|n| n.part)
            && let Some(effect) = choose(effects, Some(part))
        {
            let item = self.mentions[k].item;
            let of_itself = |(code, _): &(Option<PartId>, Says)| code.is_none_or(|c| c == part);
            let m = &mut self.mentions[k];
            if m.says != Some(Says::Renewed) && effect.claims.iter().any(of_itself) {
                m.says = None;
                m.consumed = true;
            }
            self.push_effect(
                i,
                item,
                Some(part),
                effect,
                [false, self.unreal.is_some(), false],
            );
            return true;
        }
        // `front struts replaced, rears original and tired`
        for says in [Says::Bad, Says::Sound] {
            let afresh = self.neg.is_none() && !self.latest && !self.items.acts(i + 1, Act::Latest);
            if let Some(k) = self.others_of(i, says).filter(|_| afresh)
                && let Some(subject) = self.mentions[k].named.first().map(|n| n.part)
                && let Some(effect) = choose(effects, Some(subject))
                && effect
                    .claims
                    .iter()
                    .any(|(code, told)| code.is_none_or(|c| c == subject) && *told == says)
            {
                self.say_besides(k, i, says);
                return true;
            }
        }
        // `new radiator, it has a crack and leaks`; `sunroof works and doesn't
        // leak`: said of the part, whatever else is.
        if let Some((item, part, effect)) = self.said_besides(i, effects) {
            let negated = self.take_negation().is_some() != self.neg_all;
            // `seeps a bit but does not drip`: it seeps.
            let softened = negated && self.mentions.last().is_some_and(|m| m.consumed);
            let unreal = self.unreal.is_some() || softened;
            // `replaced the bearing because it was humming`
            let mended = self
                .mentions
                .last()
                .is_some_and(|m| m.says == Some(Says::Renewed))
                && self.in_the_past()
                && !self.again(i);
            if !mended || effect.claims.len() > 1 {
                self.push_effect(
                    i,
                    item,
                    Some(part),
                    effect,
                    [negated || mended, unreal, false],
                );
            }
            return true;
        }
        if let Some((k, part, effect)) = self.of_pronoun(i, effects) {
            let item = self.mentions[k].item;
            if self.mentions[k].is_open() {
                self.mentions[k].consumed = true;
            }
            let negated = self.take_negation().is_some() != self.neg_all;
            let negated = negated != self.formerly;
            let how = [negated, self.unreal.is_some(), false];
            self.push_effect(i, item, Some(part), effect, how);
            return true;
        }
        // `clear coat gone on roof and hood`: said of what stands before.
        if self.right_behind_a_part(i)
            && self.items.acts(i + 1, Act::Place)
            && matches!(
                self.items.cue(i),
                Some(Cue {
                    act: Act::State(Says::Bad),
                    side: Side::Before | Side::Either,
                    ..
                })
            )
        {
            return false;
        }
        // `heat works headlight does not`
        let verb = |c: Cue| c.side == Side::Before && matches!(c.act, Act::State(_));
        if self.right_behind_a_part(i)
            && self.items.cue(i).is_some_and(verb)
            && self.part_ahead(i).is_some_and(|(j, _)| j == i + 1)
        {
            return false;
        }
        // `leaks from the rear main`, `slipping clutch`
        if let Some((j, part)) = self.part_ahead(i)
            && let Some(effect) = choose(effects, Some(part))
                .filter(|e| e.of == EffectOf::Named || self.opens_clause(i))
            && !(self.own_predicate(j, true) && self.own_predicate_near(j))
            && !self.begins_anew(i, j)
        {
            // `could use a functioning heater`: the need rules the part.
            let sound =
                |(code, says): &(Option<PartId>, Says)| code.is_none() && *says == Says::Sound;
            if effect.claims.iter().all(sound) && self.needed_so(i) {
                return true;
            }
            // `replaced the leaking radiator`: the verb rules the part.
            if self.work_on(i, j) {
                if effect.claims.len() > 1 {
                    self.push_effect(i, j, Some(part), effect, [true, false, false]);
                }
                return true;
            }
            // `leaks from the pan or the rear main`: one of them.
            let doubted = self.hedged_between(i, j) || self.one_of_two(j);
            let denial = self.take_negation();
            let how = [denial.is_some(), self.unreal.is_some(), doubted];
            let from = self.taken.len();
            self.effect_on_list(i, j, (part, effect), effects, how);
            // `drips oil at the pan gasket`: the place is named as well.
            if self.items.acts(j + 1, Act::Place)
                && let Some((place, part)) = self.part_ahead(j)
                && let Some(effect) =
                    choose(effects, Some(part)).filter(|e| e.of == EffectOf::Named)
            {
                self.effect_ahead(i, place, part, effect, how);
            }
            // `no rust in the rockers, oil leaks or rattles`: the denial goes on.
            self.neg_list |= denial.is_some();
            self.taken[from..]
                .iter_mut()
                .for_each(|taken| taken.1 = denial);
            return true;
        }
        false
    }

    /// What a saying tells of the part named last itself, and nothing besides.
    fn said_of_all(&self, effects: &[Effect]) -> Option<Says> {
        let part = self.mentions.last()?.named.first()?.part;
        match choose(effects, Some(part))?.claims[..] {
            [(None, says)] => Some(says),
            _ => None,
        }
    }

    /// `no rust the transmission shifts smooth`: behind a fault that has a name
    /// of its own, `the` begins the next saying, unless a word of place leads to
    /// its part.
    fn begins_anew(&self, i: usize, part: usize) -> bool {
        let last = self.items.list[i].last;
        let place = |c: Cue| c.act == Act::Place;
        let leads = self.items.cue_of(last, last).is_some_and(place)
            || (i + 1..part).any(|j| self.items.acts(j, Act::Place));
        let named = self
            .items
            .phrase(i)
            .is_some_and(|p| !p.meaning.named.is_empty());
        named && !leads && self.items.token_is(last + 1, &[WordClass::The])
    }

    /// A saying of parts that finds none says what a fault within it says: `was
    /// wrecked`, `has gone rusty`.
    pub(super) fn fault_within(&mut self, i: usize) -> bool {
        let says = |n: &Named| !n.naming.is_noun();
        let item = self.items.list[i];
        let found = self.items.within(item).find_map(|phrase| {
            let named = &phrase.meaning.named;
            (!named.is_empty() && named.iter().all(says)).then_some(named)
        });
        if let Some(named) = found {
            self.name(i, named);
        }
        found.is_some()
    }

    /// Whether a part of which nothing was said yet stands right before this.
    pub(super) fn right_behind_a_part(&self, i: usize) -> bool {
        self.mentions.last().is_some_and(|m| {
            m.sentence == self.sentence
                && m.is_open()
                && !m.is_equipment()
                && (m.item + 1..i).all(|j| {
                    self.items.acts(j, Act::Copula)
                        || self.items.acts(j, Act::Modifier)
                        || self.items.acts(j, Act::Latest)
                })
        })
    }

    /// What a row says where no part is near: `needs welding`.
    pub(super) fn without_subject(&mut self, i: usize, effects: &[Effect]) -> bool {
        let near = self
            .mentions
            .last()
            .is_some_and(|m| m.sentence == self.sentence && !self.of_the_car(m, i));
        let Some(effect) = choose(effects, None).filter(|_| !near) else {
            return false;
        };
        let negated = self.take_negation().is_some() != self.neg_all;
        self.push_effect(i, i, None, effect, [negated, self.unreal.is_some(), false]);
        true
    }

    /// `probably the alternator and no rattles`: whether a sign, `and` or a dash
    /// stands between a part and the denial of a fault.
    fn lacking(&self, part: usize, i: usize) -> bool {
        let no = match self.neg {
            Some((item, Act::Lacks)) => Some(item),
            _ => Some(i).filter(|i| self.begins_with_denial(*i)),
        };
        self.items.names(i) && no.is_some_and(|no| no > part && self.parted(part, no))
    }

    /// `no rust and doesn't leak`, `5 speed, doesn't leak`: behind a sign or `and`
    /// the car is the subject, unless a part is still to be told of.
    fn of_the_car(&self, m: &Mention, i: usize) -> bool {
        let at = self.before_modifiers(i);
        // `does not smoke and it does not leak`
        let joined = at > 1 && self.items.acts(at - 2, Act::And);
        let it = joined && !m.is_noun() && self.items.acts(at - 1, Act::Pronoun);
        let at = at - usize::from(it);
        let Item { first, .. } = self.items.list[i];
        let denial = self.items.cue_of(first, first).map(|c| c.act) == Some(Act::Negates);
        // `needs tires but doesn't leak`
        let set_against = m.is_noun() && m.says.is_some() || m.denied;
        let parted = at > m.item + 1
            && (self.parts(at - 1) || set_against && self.items.acts(at - 1, Act::Border));
        denial && parted && (!m.is_open() || m.hedged || m.is_equipment())
    }

    /// Whether no part was named yet in this clause: then what is said of any
    /// part, as `put a hole in`, is said of the one that follows.
    fn opens_clause(&self, i: usize) -> bool {
        self.mentions.len() == self.clause
            && self.gov.is_none()
            && self.neg.is_none()
            && !self.items.joins(i + 1)
    }

    /// `leak, probably from the pan`: the leak is there, its place is a guess.
    fn hedged_between(&self, from: usize, to: usize) -> bool {
        (from + 1..to).any(|j| {
            matches!(
                self.items.cue(j),
                Some(Cue {
                    act: Act::Hedges,
                    ..
                })
            )
        })
    }

    /// Whether a saying before it has taken this noun as its subject; then what denies
    /// that saying, if anything does.
    pub(super) fn taken_by(&self, i: usize) -> Option<Option<usize>> {
        let taken = self.taken.iter().find(|(noun, _)| *noun == i);
        taken.map(|(_, denial)| *denial)
    }
}

pub(super) fn choose(effects: &[Effect], subject: Option<PartId>) -> Option<&Effect> {
    let of = |wanted: EffectOf| effects.iter().find(move |e| e.of == wanted);
    match subject {
        Some(part) => effects
            .iter()
            .find(|e| e.subjects.contains(&part))
            .or_else(|| of(EffectOf::Any)),
        None => of(EffectOf::Nothing),
    }
}
