//! What is said of a part named before, by whatever led back to it.

use super::effects::choose;
use super::*;

/// Items before a pronoun with which a clause begins.
const OPENING: usize = 8;
/// Sentences that a fault and the new part that ended it may lie apart.
const STORY: u32 = 3;
/// Words around a verb among which the new one stands: `put a new one in`.
const NEW_ONE: u32 = 3;

impl Walk<'_> {
    pub(super) fn say_of(&mut self, k: usize, i: usize, says: Says, negated: bool) {
        // `all are new except the one on four`
        let left_out = says == Says::Bad
            && !negated
            && self.mentions[k].says == Some(Says::Renewed)
            && self.mentions[k].sentence == self.sentence
            && self.items.is_cue(i, Act::State(Says::Bad), Side::After)
            && self.items.acts(i + 1, Act::Pronoun)
            && !self.asks_for_work(i);
        if left_out {
            self.say_besides(k, i, says);
            return;
        }
        let hedged = self.live_hedge(i, true).is_some()
            && !self.doubt_of_another(k)
            && !self.said_flatly(self.mentions[k].item, i);
        let timing = self.mentions[k]
            .named
            .iter()
            .any(|n| self.parts.code(n.part) == "timing_belt");
        if self.planned_before(k, i) {
            self.mentions[k].unreal = false;
        }
        let to_come = self.still_until(k, i);
        let if_unreal = self.mentions[k].unreal || to_come;
        let asked = self.mentions[k].question;
        let to_do = !asked && self.section.is_some_and(|s| s.says == Says::Bad);
        let past = self.in_the_past();
        if says == Says::Renewed && self.asked_whether(k) {
            let m = &mut self.mentions[k];
            m.consumed = true;
            m.cue = Some(i);
            self.note(|w| format!("'{}' is not known to be so", w.words(i)));
            return;
        }
        if says == Says::Renewed && !negated {
            self.mend_told(k, i);
            self.over_with(k, i);
            self.fixed_that(k, i);
        }
        let heard = self
            .hedge
            .and_then(|h| self.items.cue(h))
            .is_some_and(|c| c.heard);
        // `no radio, took the bad one out to replace it`
        let from = self.mentions[k].item.max(i.saturating_sub(OPENING));
        let taken_up = (from..i).any(|j| self.items.acts(j, Act::Pronoun));
        let m = &mut self.mentions[k];
        m.heard |= hedged && heard;
        m.cue = Some(i);
        let lacks = std::mem::take(&mut m.lacks) && !taken_up;
        m.consumed = false;
        // `the seats used to be perfect`
        let over = self.formerly && !m.formerly && says == Says::Sound;
        let negated = (negated != lacks) != over;
        let state = match (says, negated) {
            (Says::Bad | Says::Suspect, true) => Some(Says::Sound),
            (Says::Sound, true) => Some(Says::Bad),
            // `To do: pump (not done)`
            (Says::Renewed, true) if to_do => Some(Says::Bad),
            (Says::Renewed, true) => timing.then_some(Says::Bad),
            (Says::Spare, true) => None,
            (says, false) => Some(says),
        };
        m.says = match state {
            // `if the A/C worked` says that it does not.
            // `until the clutch is done`: it still is to be.
            Some(Says::Sound | Says::Renewed) if if_unreal => Some(Says::Bad),
            other => other,
        };
        m.denied = false;
        m.consumed = m.says.is_none();
        m.hedged = hedged && m.says == Some(Says::Bad);
        self.hedge_used |= m.hedged;
        // What is still to be done is none of the past.
        m.past = (m.past || past) && !to_come;
        let says = m.says;
        let item = m.item;
        if says == Some(Says::Renewed) || says == Some(Says::Bad) {
            self.share(i, says);
        }
        self.note(|w| {
            let says = says.map_or("nothing", Says::word);
            format!("'{}' says of '{}': {says}", w.words(i), w.words(item))
        });
    }

    /// `do not drive it until the injectors are sorted`: work told of a time to come.
    fn still_until(&self, k: usize, i: usize) -> bool {
        let item = self.mentions[k].item;
        let first = self.before_modifiers(item);
        // `Once the radiator is replaced it is a good car`
        let once = |j: usize| self.items.is_a(j, WordClass::Once) && self.begins_clause(j);
        let until = |j: usize| self.items.is_a(j, WordClass::Until) || once(j);
        let (after, last) = (self.items.list[item].last + 1, self.items.list[i].last);
        let mut words = after.max(last.saturating_sub(OPENING as u32))..=last;
        let verbs = [
            WordClass::Is,
            WordClass::Are,
            WordClass::Get,
            WordClass::Has,
        ];
        first > 0 && until(first - 1) && words.any(|t| self.items.token_is(t, &verbs))
    }

    /// Whether a sentence, or what follows a sign or a border, begins here.
    fn begins_clause(&self, j: usize) -> bool {
        j == 0
            || j == self.sentence_start
            || matches!(self.items.kind(j - 1), ItemKind::Sign(_))
            || self.items.acts(j - 1, Act::Border)
            || self.items.acts(j - 1, Act::And)
    }

    /// `not sure when the belt was done`, `no idea if the clutch was replaced`:
    /// whether it was is not known.
    fn asked_whether(&self, k: usize) -> bool {
        let Some(asks) = self.before_modifiers(self.mentions[k].item).checked_sub(1) else {
            return false;
        };
        let asking = [WordClass::If, WordClass::When];
        if self.items.acts(asks, Act::Hedges) {
            return self.items.has_any(asks, &asking);
        }
        // `no idea when`, `dont know when`, `not sure when`
        // `no idea`, which is ignored elsewhere
        let ignored = |j: usize| {
            let Item { first, .. } = self.items.list[j];
            let lacks = self.items.cue_of(first, first).map(|c| c.act) == Some(Act::Lacks);
            lacks && self.items.phrase(j).is_some_and(|p| p.meaning.decoy)
        };
        let unknown = |j: usize| self.denies(j) || self.items.acts(j, Act::Hedges) || ignored(j);
        self.items.is_any(asks, &asking)
            && asks
                .checked_sub(1)
                .is_some_and(|j| unknown(j) || j > 0 && self.items.is_word(j) && unknown(j - 1))
    }

    /// `ball joint failed MOT`, `failed the MOT on brakes and tyres`: the part
    /// before a failed test, or else those behind it, are what it failed on.
    pub(super) fn test_failed(&mut self, i: usize) {
        let Some(m) = self.mentions.last().filter(|m| m.item == i && !m.denied) else {
            return;
        };
        let failed = |n: &Named| {
            self.parts.get(n.part).group == "paper" && n.naming == Naming::States(Says::Bad)
        };
        if !m.named.iter().all(failed) || m.unreal {
            return;
        }
        if self.part_follows(i, 0) {
            self.verb(i, Says::Bad);
            return;
        }
        let Some(test) = self.mentions.pop() else {
            return;
        };
        let right_before = self.mentions.last().is_some_and(|p| {
            p.is_open()
                && !p.is_equipment()
                && (p.item + 1..i).all(|j| self.items.acts(j, Act::Modifier))
        });
        if right_before {
            for k in self.subjects(i) {
                self.say_of(k, i, Says::Bad, false);
            }
        }
        self.mentions.push(test);
    }

    /// `slips really bad`, `smokes sometimes`: a word right behind a saying
    /// tells how, not of the part.
    pub(super) fn tells_how(&self, i: usize, says: Says) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        let behind = |c: usize| c < i && (c + 1..i).all(|j| self.items.acts(j, Act::Modifier));
        first == last
            && says == Says::Bad
            && self.neg.is_none()
            && self.extra.last().and_then(|s| s.cue).is_some_and(behind)
    }

    /// `clutch slips, needs replaced`: a saying took the part as its subject,
    /// and what is to be done stands behind it.
    pub(super) fn goes_on_about(&self, k: usize, i: usize) -> bool {
        let m = &self.mentions[k];
        m.consumed && m.says.is_none() && !m.place && !self.part_follows(i, 0)
    }

    /// Whether a verb of mending has as its object the part at `j`, with what
    /// ailed it at `i` before it.
    pub(super) fn work_on(&self, i: usize, j: usize) -> bool {
        let small = |k: usize| self.items.acts(k, Act::Modifier);
        let verb = |g: Governor| {
            let done = g.says == Says::Renewed && !g.negated;
            g.verb
                && done
                && g.count == 0
                && g.sentence == self.sentence
                && (g.item + 1..i).all(small)
        };
        self.gov.is_some_and(verb) && (i + 1..j).all(small)
    }

    /// `valve cover, oil pan and rear main leak`: a saying of the last is one
    /// of all in a list that `and` closes, where it is known of each.
    pub(super) fn list_takes(&mut self, i: usize, last: usize, effects: &[Effect], how: [bool; 3]) {
        let mut k = last;
        let before = self.before_modifiers(self.mentions[k].item);
        let Item { first, .. } = self.items.list[i];
        let and = self.items.cue_of(first, first).map(|c| c.act) == Some(Act::And);
        let joint = |act| before > 0 && self.items.acts(before - 1, act);
        let listed = and || joint(Act::And) || how[2] && joint(Act::Or);
        if before == 0 || !listed {
            return;
        }
        while self.mentions[k].linked && k > 0 {
            k -= 1;
            let m = &self.mentions[k];
            let part = m.named.first().map(|n| n.part);
            // `have never let me down` is said of any part, and of it alone.
            let alone = |e: &Effect| e.claims.iter().all(|(code, _)| code.is_none());
            let of_it = |e: &&Effect| e.of == EffectOf::Named || e.of == EffectOf::Any && alone(e);
            let Some(effect) = part.and_then(|p| choose(effects, Some(p)).filter(of_it)) else {
                return;
            };
            if m.sentence != self.sentence || !m.is_open() || m.is_equipment() || m.unreal {
                return;
            }
            let item = m.item;
            self.mentions[k].consumed = true;
            self.push_effect(i, item, part, effect, how);
        }
    }

    /// The part named last, where a pronoun with which this clause begins
    /// stands for it: `Replaced it in 2019. It is bad again`.
    fn stands_for(&self, i: usize) -> Option<usize> {
        let p = self.pronoun.filter(|p| *p < i)?;
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let small = |j: usize| {
            self.items.acts(j, Act::Copula)
                || self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Negates)
                || self.items.acts(j, Act::Latest)
                || self.items.acts(j, Act::Hedges)
        };
        let from = match m.sentence == self.sentence {
            true => m.cue.map_or(m.item, |c| c.max(m.item)) + 1,
            false => self.sentence_start,
        };
        let one = self.items.is_a(p, WordClass::It);
        let fits = m.is_noun() && !m.place && !m.denied && !m.is_equipment();
        (fits
            && self.clause == self.mentions.len()
            && self.sentence - m.sentence <= 1
            && !self.when
            && !(one && self.words(m.item).ends_with('s'))
            && p.saturating_sub(from) <= OPENING
            && (from..p).all(|j| !self.items.is_word(j) && !self.items.acts(j, Act::Others))
            && (p + 1..i).all(small))
        .then_some(k)
    }

    /// What a saying tells of the part that a pronoun stands for: a row for
    /// that part, or what is so `again`.
    pub(super) fn of_pronoun<'e>(
        &self,
        i: usize,
        effects: &'e [Effect],
    ) -> Option<(usize, PartId, &'e Effect)> {
        let k = self.stands_for(i)?;
        let m = &self.mentions[k];
        let part = m.named.first()?.part;
        let effect = choose(effects, Some(part))?;
        let Item { last, .. } = self.items.list[i];
        let again = self.items.cue_of(last, last).map(|c| c.act) == Some(Act::Latest);
        let itself = effect.claims.iter().all(|(code, _)| code.is_none());
        let fits = effect.of == EffectOf::Named
            || itself && (again || self.latest || m.sentence == self.sentence);
        (fits && self.part_ahead(i).is_none()).then_some((k, part, effect))
    }

    /// The part that is all the sentence before consists of: `The clutch.
    /// Shot.`
    pub(super) fn headed(&self, i: usize) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let fits = m.is_open()
            && !m.is_equipment()
            && !m.question
            && m.sentence > 0
            && m.sentence + 1 == self.sentence;
        let small = |j: usize| {
            self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Copula)
                || self.items.acts(j, Act::Latest)
        };
        let closes = self.items.list.get(i + 1).is_none_or(|n| {
            matches!(
                n.kind,
                ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(b',')
            )
        });
        if !fits || !closes || !(self.sentence_start..i).all(small) {
            return None;
        }
        let (start, end) = self.sentence_of(m.item);
        let bare = |j: usize| {
            j == m.item
                || self.items.acts(j, Act::Modifier)
                || matches!(self.items.list[j].kind, ItemKind::Sign(b'-' | b'*'))
        };
        ((start..end).all(bare)).then_some(k)
    }

    /// Whether a new one was fitted here, of what was told before.
    fn new_one(&self, i: usize, says: Says) -> bool {
        let one = |t: u32| self.items.token_is(t, &[WordClass::One]);
        let last = self.items.list[i].last;
        says == Says::Renewed && (last.saturating_sub(NEW_ONE)..=last + NEW_ONE).any(one)
    }

    /// Whether this tells what the car needs, and not what a buyer may want.
    fn is_cue_of_need(&self, i: usize) -> bool {
        let you =
            i > 0 && self.items.is_a(i - 1, WordClass::You) || self.items.is_a(i, WordClass::You);
        !you && self.items.is_cue(i, Act::State(Says::Bad), Side::After) && self.asks_for_work(i)
    }

    /// A pronoun, or nothing at all, stands for what was named last.
    pub(super) fn say_of_last(&mut self, i: usize, says: Says, negated: bool) {
        if says == Says::Renewed && !negated && self.put_right(i) {
            return;
        }
        if says == Says::Bad
            && !negated
            && let Some(k) = self.others_meant()
        {
            self.say_besides(k, i, says);
            return;
        }
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return;
        };
        let m = &self.mentions[k];
        // `Automatic. It is slow`: that is the car.
        let Item { first, last, .. } = self.items.list[i];
        let it = self.pronoun.is_some() || self.takes_up(first..last + 1);
        // `Has power windows. They all work.`
        let they = |p: usize| self.items.is_a(p, WordClass::They);
        let several = self.pronoun.is_some_and(they) && self.words(m.item).ends_with('s');
        let which = m.is_equipment() && it && !several;
        // `The starter quit. Got towed home. My brother put a new one in`
        let story = if self.new_one(i, says) { STORY } else { 1 };
        if self.sentence - m.sentence > story || self.when || which {
            return;
        }
        // `it` does not stand for `tires`.
        let plural = self.words(m.item).ends_with('s');
        if plural
            && self
                .pronoun
                .is_some_and(|p| self.items.is_a(p, WordClass::It))
        {
            return;
        }
        if says == Says::Spare && !negated && self.broken(m) {
            self.spare_besides(k, i);
            return;
        }
        if says == Says::Sound && !negated && self.wanted_no_more(k, i) {
            self.say_of(k, i, says, false);
            return;
        }
        // `quoted for lines, but another shop found nothing wrong with them`
        if says == Says::Sound && !negated && self.unreal.is_none() {
            self.mentions[k].unreal = false;
        }
        let m = &self.mentions[k];
        if m.is_noun()
            && (m.is_open() || m.consumed && m.says.is_none() || m.says.is_some_and(Says::is_fault))
            && (m.says.is_none() || says != Says::Sound)
        {
            let again = m.says.is_some() && self.live_hedge(i, true).is_none();
            self.say_of(k, i, says, negated);
            if again {
                self.mentions[k].hedged = false;
            }
        } else if !m.is_noun() && says == Says::Renewed && !negated && !m.denied {
            self.mentions[k].says = Some(Says::Renewed);
            self.mentions[k].cue = Some(i);
        } else if m.is_noun() && m.says == Some(Says::Renewed) && says == Says::Spare {
            self.spare_back(k, i);
        } else if m.is_noun() && m.says == Some(Says::Renewed) && says == Says::Bad && !negated {
            // `put one in last year and now that one is bad too`
            self.say_of(k, i, says, false);
        } else if m.is_noun()
            && m.says == Some(Says::Spare)
            && says == Says::Renewed
            && !negated
            && self.takes_up(self.items.list[i].first..self.items.list[i].last + 1)
        {
            // `have a new sensor in it now`
            self.say_of(k, i, says, false);
        } else if m.is_noun()
            && m.says == Some(Says::Spare)
            && says == Says::Bad
            && !negated
            && self.unreal.is_none()
            && self.is_cue_of_need(i)
        {
            // `price includes rotors, not on the car yet. It needs them`
            self.say_besides(k, i, says);
        } else if m.is_noun() && m.hedged && says == Says::Sound && !negated {
            // `they said it needs joints, another shop found nothing wrong with them`
            self.say_of(k, i, says, false);
            self.mentions[k].hedged = false;
        } else if m.is_noun() && m.says == Some(Says::Sound) && says == Says::Renewed && !negated {
            // `does not need brakes (I did them in August)`
            self.say_of(k, i, says, false);
        }
    }
}
