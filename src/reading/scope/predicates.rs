//! A predicate says something of what was named before it.

use super::*;

impl Walk<'_> {
    /// `Rust is not an issue`: praise that is a denial, right behind a symptom. Says so.
    fn denied_as_an_issue(&mut self, i: usize) -> bool {
        let Item { first, .. } = self.items.list[i];
        // Not `top goes up and down, no problem`.
        let negates = |c: Cue| c.act == Act::Negates;
        if !self.items.cue_of(first, first).is_some_and(negates) {
            return false;
        }
        let copula = |j: usize| self.items.acts(j, Act::Copula) || self.items.acts(j, Act::Was);
        let of_it = self.mentions.last().is_some_and(|m| {
            let here = m.sentence == self.sentence && (m.item + 1..i).all(copula);
            here && !m.is_noun() && !m.consumed && !m.denied
        });
        if of_it && let Some(m) = self.mentions.last_mut() {
            (m.denied, m.cue) = (true, Some(i));
        }
        of_it
    }

    /// `leather, excellent condition`: praise behind equipment that stands
    /// alone in a list is the car's.
    fn praise_of_the_car(&self, k: usize, i: usize) -> bool {
        let m = &self.mentions[k];
        m.is_feature()
            && self.items.cue(i).is_some_and(|c| c.side == Side::Either)
            && self.bare_entry(m.item)
    }

    pub(super) fn predicate(&mut self, i: usize, says: Says) {
        if self.tells_how(i, says)
            || self.taken_out(i)
            || self.is_work_needed(i)
            || self.sums_before(i, says)
            || self.sums_here(i, says)
        {
            return;
        }
        // `Needs a pump. Already swapped for new: belts`
        let untold = self.sentence_mentions == self.mentions.len() && self.pronoun.is_none();
        if untold && self.heads_ahead(i) {
            self.neg = None;
            return;
        }
        if matches!(says, Says::Bad | Says::Sound) && self.stranger(i) {
            self.neg = None;
            return;
        }
        if says == Says::Sound && self.denied_as_an_issue(i) {
            return;
        }
        let says = match says {
            Says::Renewed if self.needs_it_done(i) => Says::Bad,
            says if self.included_in_all(i, says) => Says::Sound,
            says => says,
        };
        // `new clutch, comes with pads to fit`
        // `got the replacement mirror here`
        let brings = says == Says::Spare
            && (self.items.is_a(i, WordClass::Comes)
                || self.items.ends_with(i, &[WordClass::Replacement]))
            && self.part_follows(i, 0)
            && self.neg.is_none();
        if brings {
            self.verb(i, says);
            return;
        }
        // `caliper rebuilt, comes with two keys`
        let nothing = || self.items.phrase(i + 1).is_some_and(|p| p.meaning.decoy);
        if says == Says::Spare && self.items.is_a(i, WordClass::Comes) && nothing() {
            return;
        }
        // `the carpet in the trunk is missing`: a place.
        let goes_on = self.items.acts(i + 1, Act::Copula)
            || matches!(
                self.items.cue(i + 1),
                Some(Cue {
                    act: Act::State(_),
                    side: Side::Before,
                    ..
                })
            );
        let beside = self.mentions.last().is_some_and(|m| m.item + 1 == i);
        if says == Says::Spare && goes_on && beside {
            return;
        }
        // `tires have one more winter`: what is had is named behind.
        let Item { last, .. } = self.items.list[i];
        let more = self.items.is_word(i + 1)
            || self.items.acts(i + 1, Act::Modifier) && self.items.is_word(i + 2);
        if says == Says::Spare && more && self.items.token_is(last, &[WordClass::One]) {
            return;
        }
        // `hole in the muffler`, `cracks on the dash`: the part follows.
        let placed =
            self.items.acts(i + 1, Act::Place) && says == Says::Bad && self.part_ahead(i).is_some();
        let direct = self
            .mentions
            .last()
            .is_some_and(|m| m.item + 1 == i && m.is_open() && m.sentence == self.sentence);
        if placed && !direct {
            let negated = self.take_negation().is_some();
            self.gov = Some(Governor {
                negated,
                hedged: self.hedge.is_some() && says == Says::Bad,
                ..Governor::new(says, i, self.sentence)
            });
            return;
        }
        // `works except in low range`, `works when it is dry`
        let some_only = self
            .mentions
            .last()
            .is_some_and(|m| m.sentence == self.sentence && self.some_only(m.item));
        let not_always = says == Says::Sound && (self.qualified(i) || some_only);
        let says = if not_always { Says::Bad } else { says };
        // `doesn't work when it is cold`, `two of the four no longer work`
        let negated = (self.take_negation().is_some() != self.neg_all) && !not_always;
        let mut subjects = self.subjects(i);
        // A comma right before a saying cuts it off, unless `all`, `both` or a
        // pronoun takes the list up again.
        if let Some(k) = subjects.first()
            && self.signs_between(self.mentions[*k].item, i)
            && !self.goes_on_about(*k, i)
            && !(self.mentions[*k].item + 1..i).any(|j| {
                self.items.acts(j, Act::Modifier)
                    || self.items.acts(j, Act::Pronoun)
                    || self.items.acts(j, Act::Copula)
                    || self.items.acts(j, Act::Negates)
                    || self.doubt_alone(j)
            })
            // `as for the clutch, it needs replacing`
            && !self.takes_up(self.items.list[i].first..self.items.list[i].first + 1)
            // `a starter and a heater, both need replacing`
            && !self.items.is_a(i, WordClass::Both)
            && (says == Says::Bad || self.praise_of_the_car(*k, i))
        {
            subjects.clear();
        }
        // `new pads would cure it`: they are not there yet.
        if subjects.is_empty() && says == Says::Bad && !negated && self.new_right_before(i) {
            self.want_back(i);
            return;
        }
        if subjects.is_empty() {
            self.predicate_without_subject(i, says, negated);
            return;
        }
        // `5 speed and the clutch was replaced`: the last alone.
        let several = subjects.len();
        // `a new radiator with both hoses is in the trunk`
        if says == Says::Spare
            && let Some(k) = subjects.last().and_then(|k| k.checked_sub(1))
            && self.mentions[k].says == Some(Says::Renewed)
            && self.mentions[k].sentence == self.sentence
            && self.only_list_between(self.mentions[k].item, self.mentions[k + 1].item)
        {
            self.spare_back(k, i);
        }
        if says == Says::Sound
            && let Some(first) = self.wondered(subjects[0])
        {
            for m in &mut self.mentions[first..=subjects[0]] {
                m.consumed = true;
            }
            return;
        }
        let only = self.only_one_of(&subjects);
        for &k in &subjects {
            let other = only.is_some_and(|first| k != first);
            if other && self.same_part(k, only) {
                continue;
            }
            if other || !self.only_kind(k, several, says) {
                self.say_of(k, i, says, negated != other);
            }
        }
        // `Good: belt and pump done`
        if says == Says::Renewed
            && !negated
            && let Some(first) = subjects.iter().min()
        {
            for k in *self.joined_by_and(*first).start()..*first {
                self.say_of(k, i, says, false);
            }
        }
        if !negated {
            self.doubt_either(&subjects, says, i);
        }
    }

    /// The part that the sentence began with, where `but` sets praise against
    /// the fault told of it: `the frame has some surface rust but is solid`.
    fn all_the_same(&self, i: usize) -> Option<usize> {
        let mut at = i;
        while at > 0 && self.items.acts(at - 1, Act::Copula) {
            at -= 1;
        }
        let k = self.sentence_mentions;
        let [part, fault] = self.mentions.get(k..)? else {
            return None;
        };
        let set_against = at > 0 && self.items.acts(at - 1, Act::Border);
        let both = part.is_open() && !part.is_equipment() && !fault.is_noun();
        (set_against && both && part.sentence == self.sentence).then_some(k)
    }

    pub(super) fn predicate_without_subject(&mut self, i: usize, says: Says, negated: bool) {
        if !negated
            && let Some(k) = self
                .left_out_told(i, says)
                .or_else(|| self.cleared(i, says))
        {
            self.say_of(k, i, says, false);
            return;
        }
        if let Some(k) = self.over_relative(i) {
            self.say_of(k, i, says, negated);
            return;
        }
        if self.answers_first(i)
            && let Some(k) = self.asked()
        {
            self.say_of(k, i, says, negated);
            return;
        }
        if let Some(k) = self.headed(i) {
            self.say_of(k, i, says, negated);
            return;
        }
        if !negated && self.symptom_is_over(i, says) {
            return;
        }
        // `you won't need to do the brakes, I already did`
        if !negated
            && says == Says::Renewed
            && let Some(k) = self.mentions.len().checked_sub(1)
            && self.mentions[k].sentence == self.sentence
            && self.needed_no_more(k)
        {
            let several = self.of_several(i);
            let cue = self.mentions[k].cue;
            self.say_of(k, i, says, false);
            // `will not need pads or hoses, both were done`
            for k in (self.clause.min(k)..k).rev() {
                let m = &self.mentions[k];
                if !several || !self.mentions[k + 1].linked || m.cue != cue {
                    break;
                }
                self.say_of(k, i, says, false);
            }
            return;
        }
        // `bought a new radiator but never installed it`
        if says == Says::Spare
            && let Some(k) = self.mentions.len().checked_sub(1)
            && self.mentions[k].says == Some(Says::Renewed)
            && self.mentions[k].sentence == self.sentence
            && self.items.acts(i - 1, Act::But)
        {
            self.spare_back(k, i);
            return;
        }
        if !negated && says == Says::Renewed && self.of_that(i) && self.put_right(i) {
            return;
        }
        if !negated && self.ones_on_it(i, says) {
            return;
        }
        if says == Says::Bad
            && !negated
            && let Some(k) = self.spare_still_to_fit(i)
        {
            self.still_to_fit(k, i);
            return;
        }
        if says == Says::Sound
            && negated
            && let Some(k) = self.praise_is_over(i)
        {
            self.say_of(k, i, says, negated);
            return;
        }
        if let Some(k) = self.others_of(i, says).filter(|_| !negated) {
            self.say_besides(k, i, says);
            return;
        }
        if !negated && let Some(k) = self.set_against(i) {
            self.say_against(k, i, says);
            return;
        }
        if says == Says::Renewed && !negated && self.gave_out_before(i) {
            let k = self.mentions.len() - 1;
            self.say_of(k, i, says, false);
            self.mentions[k].hedged = false;
            return;
        }
        let Item { first, last, .. } = self.items.list[i];
        // `leak was fixed but it came back`; not `went away by itself and it's gone`
        let gone = || (first..=last).any(|t| self.items.token_is(t, &[WordClass::Gone]));
        if says == Says::Bad
            && !negated
            && !gone()
            && let Some(m) = self.mentions.last_mut()
            && m.sentence == self.sentence
            && !m.is_noun()
            && m.says == Some(Says::Renewed)
        {
            m.says = None;
            m.cue = Some(i);
            return;
        }
        if says == Says::Bad && !negated && self.again(i) {
            let k = self.mentions.len() - 1;
            self.say_of(k, i, says, false);
            return;
        }
        // `started to whine so I replaced it`
        let had_that = self.items.has_any(i, &[WordClass::That])
            && self.mentions.last().is_some_and(|m| {
                m.is_noun() && m.says == Some(Says::Bad) && m.sentence == self.sentence
            });
        if says == Says::Renewed && !negated && (had_that || self.takes_up(first..last + 1)) {
            self.say_of_last(i, says, false);
            return;
        }
        if says == Says::Sound
            && !negated
            && let Some(k) = self.all_the_same(i)
        {
            self.say_of(k, i, says, false);
            return;
        }
        // `new starter, works great`; `rebuilt transmission, went out again`
        let told = self.mentions.iter().rposition(|m| !m.place);
        let near = told.filter(|k| {
            let m = &self.mentions[*k];
            m.sentence == self.sentence
                && self.words_between(m.item, i) <= 2
                && self.mentions.len() > self.clause
        });
        if !negated && let Some(k) = self.second_at_hand(i, says) {
            self.say_besides(k, i, says);
            return;
        }
        if says == Says::Spare && self.other_subject(i) {
            return;
        }
        if let Some(k) = near {
            // `another one on the shelf that goes with it`: told already.
            let told = |s: &Saying| s.says == Says::Spare && s.sentence == self.sentence;
            let of_it = |s: &Saying| self.mentions[k].named.iter().any(|n| n.part == s.part);
            if says == Says::Spare && self.extra.last().is_some_and(|s| told(s) && of_it(s)) {
                return;
            }
            if says == Says::Spare && !negated && self.another_at_hand(k, i) {
                self.say_besides(k, i, says);
                return;
            }
            let m = &self.mentions[k];
            // `spare one in the glovebox`: another than the one told of.
            let another = m.says == Some(Says::Renewed) && self.takes_up(first..last);
            if says == Says::Spare && !negated && (self.broken(m) || m.is_noun() && another) {
                self.spare_besides(k, i);
            } else if says == Says::Spare
                && m.is_noun()
                && matches!(
                    m.says,
                    Some(Says::Renewed | Says::Sound | Says::Spare) | None
                )
            {
                self.spare_back(k, i);
            } else if says == Says::Renewed
                && !negated
                && m.is_noun()
                && m.consumed
                && m.says.is_none()
                && self.items.acts(i + 1, Act::Pronoun)
            {
                // `the lenses were hazed and I polished them`
                self.say_of(k, i, says, false);
            } else if says == Says::Bad
                && !m.is_noun()
                && !m.denied
                && m.item + 1 == i
                && self.items.is_a(i, WordClass::Gone)
                && self.is_bare(i)
                && m.named.iter().all(|n| self.is_symptom(n.part))
            {
                // `new pump, leak gone`
                self.mentions[k].says = Some(Says::Renewed);
                self.mentions[k].cue = Some(i);
            } else if says == Says::Renewed && self.wants_done(k) {
                // `needs the leak fixed`
            } else if says == Says::Renewed
                && (!m.is_noun() && !m.denied || !negated && self.mended_later(k, i))
            {
                self.mentions[k].says = Some(Says::Renewed);
                self.mentions[k].cue = Some(i);
            } else if says == Says::Bad
                && !negated
                && m.says == Some(Says::Renewed)
                && (m.item + 1 == i || self.latest || self.items.acts(i + 1, Act::Latest))
            {
                self.mentions[k].says = Some(Says::Bad);
                self.mentions[k].cue = Some(i);
            }
            return;
        }
        // `needs a clutch and I have the kit`
        if !negated && self.at_hand_for_last(i, says) {
            self.say_of_last(i, says, false);
            return;
        }
        if self.brings_along(i, says) {
            return;
        }
        let untold = self.sentence_mentions == self.mentions.len();
        if says == Says::Bad && untold && self.fault_within(i) {
            return;
        }
        if self.pronoun.is_some() || i == self.sentence_start {
            let allowed = match says {
                Says::Renewed | Says::Spare => true,
                _ => self.pronoun.is_some_and(|p| i - p <= 4),
            };
            if allowed {
                self.say_of_last(i, says, negated);
            }
            return;
        }
        // `not working: radio, wipers`, `bad alternator` written as predicate
        if self.part_follows(i, 0) && says != Says::Spare {
            self.gov = Some(Governor {
                negated,
                hedged: self.hedge.is_some() && says == Says::Bad,
                ..Governor::new(says, i, self.sentence)
            });
        }
    }

    /// Whether a saying is taken back right behind it.
    pub(super) fn qualified(&self, i: usize) -> bool {
        let but = self.items.is_cue(i + 1, Act::State(Says::Bad), Side::After);
        // `good except the headliner`: another.
        self.all_but(i)
            || but && !self.part_follows(i + 1, 1)
            || matches!(
                self.items.cue(i + 1),
                Some(Cue {
                    act: Act::When | Act::Unreal,
                    ..
                })
            )
    }
}
