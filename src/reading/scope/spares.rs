//! What is at hand and not fitted: one for the part that is broken, a list of
//! them, what comes along with the car.

use super::*;
use std::ops::Range;

/// Parts of one list of which spares are at hand, however long it is.
const LIST: usize = 12;
/// Words before what tells of spares among which `both` may stand.
const NEAR_BOTH: u32 = 4;
/// Words unknown to any table between a spare and what is said of the part that
/// it is for.
const NEAR: usize = 6;

impl Walk<'_> {
    /// Whether one of these words stands for what was named: `put one in`.
    pub(super) fn takes_up(&self, mut words: Range<u32>) -> bool {
        let pronoun = |cue: Cue| cue.act == Act::Pronoun;
        words.any(|t| self.items.cue_of(t, t).is_some_and(pronoun))
    }

    /// Whether this closes `I have a starter for it`.
    pub(super) fn kept_for_it(&self, i: usize) -> bool {
        let have = |m: &Mention| {
            m.item + 1 == i && m.is_open() && m.sentence == self.sentence && self.has_it(m.item)
        };
        self.items.is_a(i, WordClass::For)
            && self.items.acts(i + 1, Act::Pronoun)
            && self.neg.is_none()
            && self.mentions.last().is_some_and(have)
    }

    /// Whether this tells that the part wanted last, or the one that a saying
    /// took, is at hand: `radiator leaks but I have a new one`.
    pub(super) fn at_hand_for_last(&self, i: usize, says: Says) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        says == Says::Spare
            && self.mentions.last().is_some_and(|m| {
                let took = m.consumed && m.says.is_none() && !m.place;
                // `Mirror is gone. Replacement is in the trunk.`
                let next = m.sentence + 1 == self.sentence
                    && m.says == Some(Says::Bad)
                    && self.answers_first(i);
                next || m.sentence == self.sentence
                    && m.is_noun()
                    && (m.says == Some(Says::Bad) || took && self.takes_up(first..last + 1))
                    && self.words_between(m.item, i) == 0
            })
    }

    /// Whether something that no table knows is the subject here, behind a
    /// sign: `sunroof stuck, tarp goes with it`.
    pub(super) fn other_subject(&self, i: usize) -> bool {
        let mut first = i;
        while first > self.sentence_start
            && (self.items.is_word(first - 1)
                || self.items.acts(first - 1, Act::Modifier)
                || self.items.acts(first - 1, Act::Copula)
                || self.items.acts(first - 1, Act::State(Says::Spare)))
        {
            first -= 1;
        }
        // `there is another one in the trunk`
        let named = |j: usize| !self.items.is_a(j, WordClass::There);
        first > self.sentence_start
            && (first..i).any(|j| self.items.is_word(j) && named(j))
            && self.begins_apart(first)
            && !self.with_its_bits(first, i)
    }

    /// `New pump and gasket go with it`: what no table knows is joined to a part that is
    /// at hand with it.
    fn with_its_bits(&self, first: usize, i: usize) -> bool {
        let and = first - 1;
        let new = |m: &Mention| {
            m.item + 1 == and
                && m.is_noun()
                && m.says == Some(Says::Renewed)
                && m.cue < Some(m.item)
        };
        let several = !self
            .items
            .has_any(i, &[WordClass::Comes, WordClass::Goes, WordClass::Is]);
        several && self.items.acts(and, Act::And) && self.mentions.last().is_some_and(new)
    }

    /// Whether a sign, `and` or `but` stands before this.
    fn begins_apart(&self, first: usize) -> bool {
        self.parts(first - 1) || self.items.acts(first - 1, Act::Border)
    }

    /// `brakes are sharp, horn doesn't work`: whether a word that no table knows,
    /// behind a sign or `and`, is what this says something of.
    pub(super) fn stranger(&self, i: usize) -> bool {
        let small = |j: usize| self.items.acts(j, Act::Copula) || self.items.acts(j, Act::Negates);
        let mut last = i;
        while last > self.sentence_start && small(last - 1) {
            last -= 1;
        }
        let words = (self.sentence_start..last)
            .rev()
            .take_while(|j| self.items.is_word(*j))
            .count();
        let first = self.before_modifiers(last - words);
        // `4x4, both ranges work`
        // `heat, cruise all work`
        let all = self.takes_all(i)
            || (first..last).any(|j| self.items.is_any(j, &[WordClass::All, WordClass::Both]));
        (1..=2).contains(&words)
            && !all
            && first > self.sentence_start
            && self.begins_apart(first)
            && self
                .mentions
                .last()
                .is_some_and(|m| m.item < first && m.sentence == self.sentence)
    }

    /// `it comes with two keys`: it is the car, and what comes along is named
    /// behind.
    pub(super) fn brings_along(&self, i: usize, says: Says) -> bool {
        says == Says::Spare
            && self.items.is_a(i, WordClass::Comes)
            && matches!(
                self.items.list.get(i + 1).map(|n| n.kind),
                Some(ItemKind::Word | ItemKind::Number | ItemKind::Phrase(_))
            )
    }

    /// `a spare pump and a spare relay, the ones on it are still fine`: what the spares
    /// are kept for, told of by where it is. Says so.
    pub(super) fn ones_on_it(&mut self, i: usize, says: Says) -> bool {
        let told = matches!(says, Says::Bad | Says::Sound);
        let Some(last) = self.spare_still_to_fit(i).filter(|_| told) else {
            return false;
        };
        let (from, to) = (self.mentions[last].item.max(self.sentence_start), i);
        let (from, to) = (self.items.list[from].first, self.items.list[to].first);
        let is = |t: u32, classes: &[WordClass]| self.items.token_is(t, classes);
        let placed = |t: &u32| is(*t + 1, &[WordClass::On, WordClass::In]);
        let those = |t: u32| is(t, &[WordClass::Ones, WordClass::Those]);
        let the_one =
            |t: u32| is(t, &[WordClass::One]) && is(t - 1, &[WordClass::The, WordClass::That]);
        // However long the sentence is.
        let from = from.max(to.saturating_sub(2 * NEAR as u32));
        let mut it = (from + 1..to).filter(placed);
        let Some(one) = it.find(|t| those(*t) || the_one(*t)) else {
            return false;
        };
        let several = those(one);
        let sentence = self.mentions[last].sentence;
        for k in (0..=last).rev().take(if several { LIST } else { 1 }) {
            let m = &self.mentions[k];
            if m.says != Some(Says::Spare) || m.sentence != sentence {
                break;
            }
            self.say_besides(k, i, says);
        }
        true
    }

    /// `pump is shot, new one comes with it`: broken, and a spare besides.
    pub(super) fn spare_besides(&mut self, k: usize, i: usize) {
        // `needs a clutch and struts, parts included`; but `have it`.
        let Item { first, last, .. } = self.items.list[i];
        let one = (first..=last).any(|t| {
            let it = [WordClass::It, WordClass::One, WordClass::Ones];
            self.items.token_is(t, &it)
        });
        // `I have new ones of both`
        let both = |t: u32| {
            self.items
                .token_is(t, &[WordClass::Both, WordClass::All, WordClass::Each])
        };
        let one = one && !(first.saturating_sub(NEAR_BOTH)..=last + 2).any(both);
        let mut from = k;
        while !one && from > 0 && k - from < LIST {
            let (m, before) = (&self.mentions[from], &self.mentions[from - 1]);
            let same = before.says == m.says && before.cue == m.cue;
            if !m.linked || m.says != Some(Says::Bad) || !same {
                break;
            }
            from -= 1;
        }
        for k in from..=k {
            self.spare_of(k, i);
        }
    }

    /// `I have a new mirror, the one on it is broken`, `have a pump for it. It
    /// still has to be put in`: the part that the spare is to take the place of
    /// is at fault.
    pub(super) fn spare_still_to_fit(&self, i: usize) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        if m.says != Some(Says::Spare) || !m.is_noun() || m.place {
            return None;
        }
        // `old one is shot`
        // `which needs it`, `both are needed`
        let Item { first, last, .. } = self.items.list[i];
        let here = m.sentence == self.sentence && self.words_between(m.item, i) <= NEAR;
        let both = self.items.is_any(i, &[WordClass::Both, WordClass::All]);
        let own = self.takes_up(first..first + 1) || here && self.takes_up(first..last + 1);
        let own = own || both;
        let of_it = self.pronoun.is_some() || self.when || own;
        let next = m.sentence + 1 == self.sentence;
        let fits = of_it && (here || next) && !self.stranger(i);
        // `arm is bent. One comes with it, never got to it`
        let faulty = |part: PartId| {
            let told = |m: &Mention| {
                m.says.is_some_and(Says::is_fault) && m.named.iter().any(|n| n.part == part)
            };
            self.mentions.iter().any(told)
                || self
                    .extra
                    .iter()
                    .any(|s| s.part == part && s.says.is_fault())
        };
        (fits && !m.named.iter().any(|n| faulty(n.part))).then_some(k)
    }

    /// Says so, and of the whole list where `both` or a plural stands for it: `a new
    /// pump and hoses for it. Both are needed`.
    pub(super) fn still_to_fit(&mut self, last: usize, i: usize) {
        let those = |p: usize| {
            let those = [
                WordClass::What,
                WordClass::Ones,
                WordClass::They,
                WordClass::Those,
                WordClass::Both,
            ];
            self.items.has_any(p, &those)
        };
        let several = self.of_several(i) || self.pronoun_before(i).is_some_and(those);
        for k in (0..=last).rev().take(LIST) {
            if self.mentions[k].says != Some(Says::Spare) {
                break;
            }
            self.say_besides(k, i, Says::Bad);
            if k == 0 || !several || !self.mentions[k].linked && !self.one_more(k) {
                break;
            }
        }
    }

    fn spare_of(&mut self, k: usize, i: usize) {
        let m = self.mentions[k].clone();
        for named in &m.named {
            let mut saying = self.saying(&m, named.part, Says::Spare);
            let cue = self.items.list[i];
            saying.tokens.1 = saying.tokens.1.max(cue.last);
            saying.cue = Some(i);
            saying.rule.cue = self.wording(i);
            self.extra.push(saying);
        }
    }

    /// `new radiator and hoses in the trunk`: all of the list is spare.
    /// `a rebuilt pump and new hoses, both in boxes`: whatever tells them apart.
    pub(super) fn spare_back(&mut self, last: usize, i: usize) {
        let several = self.of_several(i);
        let mut k = last;
        loop {
            let m = &mut self.mentions[k];
            if !m.is_noun()
                || !matches!(
                    m.says,
                    Some(Says::Renewed | Says::Sound | Says::Spare) | None
                )
            {
                break;
            }
            m.says = Some(Says::Spare);
            m.cue = Some(i);
            let linked = m.linked;
            if k == 0 || !(linked || several && self.one_more(k)) {
                break;
            }
            k -= 1;
        }
    }

    /// `a new one is sitting in the cupholder`: where it is kept.
    pub(super) fn kept_there(&self, i: usize) -> bool {
        let Some(at) = self.before_modifiers(i).checked_sub(1) else {
            return false;
        };
        let places = [
            WordClass::In,
            WordClass::On,
            WordClass::At,
            WordClass::Under,
        ];
        // Not `to put in a transmission`.
        let to_fit = self.items.has_any(at, &[WordClass::To, WordClass::Put]);
        self.items.acts(at, Act::State(Says::Spare))
            && !to_fit
            && self.items.token_is(self.items.list[at].last, &places)
    }

    /// Whether a mention is one more of a list, each with a word of its age.
    fn one_more(&self, k: usize) -> bool {
        let (before, m) = (&self.mentions[k - 1], &self.mentions[k]);
        let small = |j: usize| {
            self.items.joins(j)
                || self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::State(Says::Renewed))
        };
        before.sentence == m.sentence && (before.item + 1..m.item).all(small)
    }

    /// Whether something is at fault here for which a new one may be at hand.
    pub(super) fn broken(&self, m: &Mention) -> bool {
        let by_itself =
            |n: &Named| n.naming == Naming::States(Says::Bad) && !self.is_symptom(n.part);
        m.is_noun() && m.says == Some(Says::Bad)
            || !m.denied && !m.consumed && m.says.is_none() && m.named.iter().all(by_itself)
    }

    /// Whether a fault that is told by itself stands right before this.
    pub(super) fn behind_a_fault(&self, i: usize) -> bool {
        i > 0 && self.items.names(i - 1) && !self.items.names_part(i - 1)
    }

    /// `brakes grind, new pads are in the trunk`: what is at hand for a fault told right
    /// before it is at fault itself.
    pub(super) fn spares_for_faults(&mut self) {
        let Some(causes) = self.causes else { return };
        let mut bad = Vec::new();
        for (k, m) in self.mentions.iter().enumerate() {
            if m.says != Some(Says::Spare) || !m.is_noun() || m.consumed || m.unreal {
                continue;
            }
            let before = self.mentions[..k].iter().rev();
            let here = before.take_while(|p| p.sentence == m.sentence);
            let fault = |p: &&Mention| {
                let there = |n: &Named| self.final_state(p, *n) == Some(Says::Bad);
                let [named] = p.named[..] else { return false };
                self.is_symptom(named.part)
                    && there(&named)
                    && m.named
                        .iter()
                        .all(|n| causes.may_come_from(named.part, n.part))
            };
            if let Some(fault) = here.filter(fault).last() {
                bad.push((k, fault.item));
            }
        }
        for (k, fault) in bad {
            let mut m = self.mentions[k].clone();
            m.cue = Some(fault);
            for named in &m.named {
                let saying = self.saying(&m, named.part, Says::Bad);
                self.extra.push(saying);
            }
        }
    }
}
