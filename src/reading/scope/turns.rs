//! Stories with several turns: a symptom that is told of again, there or over.

use super::*;

/// Sentences that a symptom and the news of it may lie apart: `There was a knock.
/// I changed the pump. It came back.`
pub(super) const STORY: u32 = 2;

/// A symptom that was told.
#[derive(Clone, Copy)]
pub(super) struct Told {
    pub(super) part: PartId,
    pub(super) item: usize,
    /// As it stands by now.
    pub(super) says: Option<Says>,
    /// By its own words it is not there: `no smoke`.
    denied: bool,
}

impl Walk<'_> {
    /// The symptom told last before this item, no more than a story ago.
    pub(super) fn symptom_told(&self, i: usize) -> Option<Told> {
        let near = |sentence: u32| sentence + STORY >= self.sentence;
        let mentions = self.mentions.iter().rev().take_while(|m| near(m.sentence));
        let named = mentions
            .filter(|m| m.item < i && !m.is_noun())
            .find_map(|m| {
                let named = *m.named.iter().find(|n| self.is_symptom(n.part))?;
                Some(Told {
                    part: named.part,
                    item: m.item,
                    says: self.final_state(m, named),
                    denied: m.denied && m.cue.is_some_and(|c| self.items.acts(c, Act::Lacks))
                        || self.items.is_a(m.item, WordClass::No),
                })
            });
        let extra = self.extra.iter().rev().take_while(|s| near(s.sentence));
        let said = extra
            .filter(|s| s.item < i && self.is_symptom(s.part))
            .map(|s| Told {
                part: s.part,
                item: s.cue.map_or(s.item, |c| c.max(s.item)),
                says: Some(s.says),
                denied: false,
            })
            .next();
        // What was said of it counts more than its name.
        match (named, said) {
            (Some(a), Some(b)) if a.item > b.item => Some(a),
            (a, b) => b.or(a),
        }
    }

    /// The same where it is there, as it stands by now.
    pub(super) fn fault_told(&self, i: usize) -> Option<Told> {
        let told = self.symptom_told(i);
        told.filter(|t| t.says.is_some_and(Says::is_fault))
    }

    /// Whether all that was named since a symptom was told are parts that were
    /// renewed or thought of, one renewed at least.
    pub(super) fn only_tried_since(&self, told: Told, i: usize) -> bool {
        let since = self.mentions.iter().rev();
        let mut since = since
            .take_while(|m| m.item > told.item)
            .filter(|m| m.item < i);
        let tried =
            |m: &Mention| m.is_noun() && (m.hedged || m.consumed || m.says == Some(Says::Renewed));
        let renewed = since.clone().any(|m| m.says == Some(Says::Renewed));
        renewed && since.all(tried)
    }

    pub(super) fn tell_again(&mut self, told: Told, i: usize, says: Says) {
        let first = self.items.list[told.item].first;
        let last = self.items.list[i].last;
        self.extra.push(Saying {
            part: told.part,
            says,
            tokens: (first, last),
            item: told.item,
            cue: Some(i),
            sentence: self.sentence,
            past: false,
            latest: true,
            denied: false,
            implied: false,
            qualifiers: Vec::new(),
            done: None,
            rule: Rule {
                name: self.wording(told.item),
                cue: self.wording(i),
                denied: false,
                hedged: false,
                leans: false,
                heard: false,
            },
        });
        self.note(|w| {
            let (news, of) = (w.words(i), w.words(told.item));
            format!("'{news}' says of '{of}': {}", says.word())
        });
    }

    /// `it came back`, `but it's back`, `still there`: the symptom told last is
    /// there, whatever was done about it. Says so.
    pub(super) fn returns(&mut self, i: usize) -> bool {
        let back = self.items.ends_with(i, &[WordClass::Back]);
        // `is back on the road`, `still does 30 mpg`
        let on = match back {
            true => self.items.acts(i + 1, Act::Place) || !self.clause_closes(i + 1),
            false => !self.ends_turn(i + 1),
        };
        // `power is back`, `if the ad is up it is still there`
        let word = |j: usize| self.items.is_word(j) || self.items.acts(j, Act::Modifier);
        let first = self.items.list[i].first;
        let set_off = |c: Cue| matches!(c.act, Act::But | Act::Latest);
        let begins = self.items.cue_of(first, first).is_some_and(set_off);
        let other = i > self.sentence_start && word(i - 1) && !begins;
        // `it did not leak`
        let last = self.items.list[i].last;
        let denies = self.items.cue_of(last, last).map(|c| c.act) == Some(Act::Negates);
        if on && denies {
            self.deny_from(i, Act::Negates);
            self.pronoun = Some(i);
        }
        if on || other || self.unreal.is_some() {
            return true;
        }
        let told = self.symptom_told(i).filter(|t| !t.denied);
        if let Some(told) = told {
            self.tell_again(told, i, Says::Bad);
        }
        told.is_some()
    }

    /// `recharged in May, it didn't last`: what was renewed is bad again, and so is
    /// what it was to cure.
    pub(super) fn relapses(&mut self, i: usize) {
        let told = self.symptom_told(i).filter(|t| !t.denied);
        if let Some(told) = told {
            self.tell_again(told, i, Says::Bad);
        }
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return;
        };
        let m = &self.mentions[k];
        let near = m.sentence == self.sentence || m.sentence + 1 == self.sentence;
        let renewed = m.is_noun() && m.says == Some(Says::Renewed) && !m.place;
        if near && renewed && m.cue.is_some_and(|c| c < i) && self.unreal.is_none() {
            self.say_of(k, i, Says::Bad, false);
            (self.mentions[k].past, self.mentions[k].formerly) = (false, false);
        } else if told.is_none() {
            self.predicate(i, Says::Bad);
        }
    }

    /// Whether symptoms are named here, and no part.
    pub(super) fn names_symptoms(&self, i: usize) -> bool {
        self.items.phrase(i).is_some_and(|p| {
            let named = &p.meaning.named;
            !named.is_empty() && named.iter().all(|n| self.is_symptom(n.part))
        })
    }

    /// `put an end to the knock`: the symptom that follows is over.
    pub(super) fn ends_symptom(&mut self, i: usize) {
        let next = self.after_modifiers(i + 1);
        match self.names_symptoms(next) {
            true => self.verb(i, Says::Renewed),
            false => self.border(i),
        }
    }

    /// `stopped when I`: ends a symptom only where work follows. Otherwise its first
    /// word says what it says by itself, as in `the radio stopped when I left`.
    pub(super) fn only_then(&mut self, i: usize) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        let waits = self
            .items
            .token_is(last, &[WordClass::Person, WordClass::Helper]);
        if !waits || self.items.acts(i + 1, Act::State(Says::Renewed)) {
            return false;
        }
        match self.items.cue_of(first, first) {
            Some(cue) if cue.act == Act::Cures => return false,
            Some(cue) => self.cue(i, cue),
            None => {}
        }
        true
    }

    /// `too early to tell`: the symptom told last may be there.
    pub(super) fn unsettles(&mut self, i: usize) {
        let mended = |from: usize| (from..i).any(|j| self.items.acts(j, Act::State(Says::Renewed)));
        // `had a knock, might still have it`, `new arm, the knock should be gone`
        let doubted = |t: &Told| t.item >= self.sentence_start || mended(t.item);
        let told = self.symptom_told(i).filter(doubted);
        let Some(told) = told.filter(|_| self.ends_turn(i + 1)) else {
            return;
        };
        let near = self.sentence.saturating_sub(STORY);
        for m in self
            .mentions
            .iter_mut()
            .rev()
            .take_while(|m| m.sentence >= near)
        {
            if m.item == told.item {
                (m.says, m.denied, m.hedged) = (None, false, true);
                (m.past, m.formerly, m.consumed) = (false, false, false);
            }
        }
        for s in self
            .extra
            .iter_mut()
            .rev()
            .take_while(|s| s.sentence >= near)
        {
            if s.part == told.part {
                (s.says, s.denied, s.past) = (Says::Suspect, false, false);
            }
        }
    }

    /// `I have never had it`, `that ended it`: what was told last is not there. Others'
    /// word may be taken back so, or what was mended; a fault as the seller tells it
    /// stays.
    pub(super) fn refutes(&mut self, i: usize) {
        if !self.ends_turn(i + 1) {
            // `never had it painted`
            if self.items.is_a(i, WordClass::Never) || self.items.is_any(i, &HAVE) {
                self.deny_from(i, Act::Negates);
                self.pronoun = Some(i);
            }
            return;
        }
        // `he never returned`
        let someone = i > 0
            && self
                .items
                .is_any(i - 1, &[WordClass::Person, WordClass::You]);
        let of_it = self
            .items
            .has_any(i, &[WordClass::It, WordClass::One, WordClass::That]);
        if self.unreal.is_some()
            || self.items.kind(i + 1) == ItemKind::End(b'?')
            || someone && !of_it
        {
            return;
        }
        if self.neg.take().is_some() {
            // `better but not cured`
            self.returns(i);
        } else if self.done_by(i) || self.may_be_over(i) {
            self.cures(i);
        }
    }

    /// `a pump took care of it`, `tie rods and alignment cured that`: what stands
    /// before it was renewed. Says so.
    pub(super) fn done_by(&mut self, i: usize) -> bool {
        let open = |m: &Mention, next: usize| {
            let close = m.item + 1 == next || self.only_list_between(m.item, next);
            m.is_open() && !m.is_equipment() && m.sentence == self.sentence && close
        };
        let mut next = i;
        let mut first = self.mentions.len();
        while first > 0
            && open(&self.mentions[first - 1], next)
            && (first == self.mentions.len() || self.mentions[first].linked)
        {
            first -= 1;
            next = self.mentions[first].item;
        }
        let begin = self.before_modifiers(next);
        let begins = begin == self.sentence_start
            || self.items.kind(begin - 1) == ItemKind::Sign(b',')
            || self.items.acts(begin - 1, Act::Border);
        let directly = self.mentions.last().is_some_and(|m| m.item + 1 == i);
        let is = begins && directly && first < self.mentions.len();
        if is {
            for k in first..self.mentions.len() {
                self.say_of(k, i, Says::Renewed, false);
            }
        }
        is
    }

    /// Whether the symptom told last was others' word, was mended since, is told of
    /// the past right here, or is what this is said of.
    fn may_be_over(&self, i: usize) -> bool {
        let Some(told) = self.symptom_told(i) else {
            return false;
        };
        let start = self.sentence_of(told.item).0;
        let between = |found: &dyn Fn(usize) -> bool| (start..i).any(found);
        let mended = |j: usize| self.items.acts(j, Act::State(Says::Renewed));
        let heard = |j: usize| self.items.cue(j).is_some_and(|c| c.heard);
        let past = |j: usize| {
            let acts = [Act::Dates, Act::Past, Act::Was];
            self.items.acts_any(j, &acts)
        };
        let here = start == self.sentence_start;
        let subject = here && (told.item + 1..i).all(|j| self.is_small(j));
        let own = subject && !self.items.ends_with(i, &[WordClass::It]);
        own || between(&heard) || between(&mended) || here && between(&past)
    }

    /// `New pump because it overheated. No more.`: an answer that ends the story.
    pub(super) fn no_more(&mut self, i: usize) -> bool {
        // First, since every denial is asked.
        let ends = self.items.ends_with(i, &[WordClass::More]);
        if !ends || !self.answers_first(i) || !self.ends_turn(i + 1) {
            return false;
        }
        let told = self.fault_told(i).filter(|t| !self.holds_not(t.item));
        if let Some(told) = told {
            self.tell_again(told, i, Says::Sound);
        }
        told.is_some()
    }

    /// The pronoun told last in this sentence before an item.
    pub(super) fn pronoun_before(&self, i: usize) -> Option<usize> {
        self.pronoun.filter(|p| *p < i && *p >= self.sentence_start)
    }

    /// The same where it stands for what was told last: `the right one clicks` is told
    /// of another.
    pub(super) fn same_before(&self, i: usize) -> bool {
        let it = self.pronoun_before(i);
        it.is_some_and(|p| !self.items.is_any(p, &[WordClass::One, WordClass::Ones]))
    }

    /// `replaced the arm, but the clunk is still there`, `new thermostat but it still
    /// leaks coolant`: whether the fault has outlasted the part renewed, of which it
    /// is not said then.
    pub(super) fn tells_its_own(&self, i: usize) -> bool {
        let news = [Act::Returns, Act::Cures];
        let behind = news.iter().any(|act| self.items.acts(i + 1, *act));
        self.mentions.last().is_some_and(|m| {
            let between = |act| (m.item + 1..i).any(|j| self.items.acts(j, act));
            // `new radiator, still leaks` is told of the radiator.
            let still = || between(Act::Still) && (between(Act::Pronoun) || between(Act::Copula));
            let later = self.same_before(i)
                && m.sentence + 1 == self.sentence
                && self.part_ahead(i).is_none();
            m.says == Some(Says::Renewed)
                && (behind || later || m.sentence == self.sentence && still())
        })
    }

    /// `it was overheating, I had that fixed`, `it stalled, a new pump fixed that`:
    /// what was told last is a symptom, with no part but the one that ended it. Says
    /// so.
    pub(super) fn put_right(&mut self, i: usize) -> bool {
        // `it was the mount, but I replaced that`
        let found = self
            .mentions
            .last()
            .is_some_and(|m| m.found && m.says == Some(Says::Bad) && m.sentence == self.sentence);
        if found {
            self.say_of(self.mentions.len() - 1, i, Says::Renewed, false);
            return true;
        }
        // Not `I bought it new`.
        if self.items.cue(i).is_none_or(|c| c.side != Side::Before) {
            return false;
        }
        let Some(told) = self.fault_told(i) else {
            return false;
        };
        let parts = self.mentions.iter().rev();
        let mut parts = parts.take_while(|m| m.item > told.item && m.is_noun());
        let (start, end) = self.sentence_of(told.item);
        let near = end >= self.sentence_start.saturating_sub(1);
        // `the bearing was howling, replaced it`
        let of_part = |m: &Mention| m.is_noun() && (start..told.item).contains(&m.item);
        let is = near
            && parts.all(|m| m.says == Some(Says::Renewed) && m.item + 1 == i)
            && !self
                .mentions
                .iter()
                .rev()
                .take_while(|m| m.item >= start)
                .any(of_part)
            && !self
                .extra
                .iter()
                .rev()
                .take_while(|s| s.item >= start)
                .any(|s| !self.is_symptom(s.part));
        if is {
            self.tell_again(told, i, Says::Sound);
        }
        is
    }

    /// Whether words of mending have what was told before as their object: `fixed
    /// that`.
    pub(super) fn of_that(&self, i: usize) -> bool {
        self.items.has_any(i, &[WordClass::That, WordClass::It])
            && !self.holds_not(i)
            && self.ends_turn(i + 1)
    }

    /// `a new pump fixed that`: what was told before is over.
    pub(super) fn fixed_that(&mut self, k: usize, i: usize) {
        let m = &self.mentions[k];
        let verb = m.item + 1 == i && m.sentence == self.sentence && self.of_that(i);
        if verb && let Some(told) = self.fault_told(m.item) {
            self.tell_again(told, i, Says::Sound);
        }
    }
}
