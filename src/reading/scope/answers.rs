//! What a later sentence says of what was told before it: answers, and news
//! that a fault is over.

use super::turns::Told;
use super::*;
use crate::reading::numerals::small;

/// Parts looked back on for what turned out to be the cause.
const FOUND: usize = 12;

impl Walk<'_> {
    /// The part that the sentence before asked about, if nothing was named
    /// since: `Clutch? Strong.`
    pub(super) fn asked(&self) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        (m.question && m.sentence + 1 == self.sentence && m.says.is_none() && m.is_noun())
            .then_some(k)
    }

    /// `Clutch been done? Yes. And the thermostat? Yes`: the part of a question that
    /// is a name and nothing else, after one of work that was done.
    pub(super) fn asked_likewise(&self) -> Option<usize> {
        let k = self.asked()?;
        let [.., before, m] = &self.mentions[..] else {
            return None;
        };
        let (start, end) = self.sentence_of(m.item);
        let done = before.says == Some(Says::Renewed) && before.is_noun();
        let asked = done && m.sentence - before.sentence <= 2;
        let (_, stop) = self.sentence_of(before.item);
        let of_question = self.items.kind(stop) == ItemKind::End(b'?');
        (asked && of_question && self.bare_names(start, end + 1)).then_some(k)
    }

    /// `Check engine light? Yes.`: the symptom that was asked for.
    pub(super) fn symptom_asked(&self) -> Option<usize> {
        let k = self.asked()?;
        let mut named = self.mentions[k].named.iter();
        named.all(|n| self.is_symptom(n.part)).then_some(k)
    }

    /// Whether only small words stand between the start of the sentence and
    /// this item.
    pub(super) fn answers_first(&self, i: usize) -> bool {
        (self.sentence_start..i).all(|j| self.is_small(j) || self.items.acts(j, Act::Affirms))
    }

    /// Whether an item is a small word that tells nothing by itself, or a sign.
    pub(super) fn is_small(&self, j: usize) -> bool {
        let small = [Act::Modifier, Act::Copula, Act::Pronoun, Act::Negates];
        self.items.acts_any(j, &small) || matches!(self.items.list[j].kind, ItemKind::Sign(_))
    }

    /// `boiled over in May, new thermostat, has not done it since`: the
    /// symptoms told in this sentence and the one before it are gone.
    pub(super) fn cures(&mut self, i: usize) {
        // `the lamp flickered but it hasn't since`: only what is told right there.
        // So is `the noise was fixed with a new chain`.
        let with = self.items.cue(i).is_some_and(|c| c.side == Side::After);
        let brief = (with || self.items.acts(i, Act::NoLonger)) && !self.answers_first(i);
        let brief = brief || self.lost_a_fluid(i);
        let mut since = self.sentence.saturating_sub(u32::from(!brief));
        // `It stalled. Everyone said pump. New pump. Fine since.`
        let told = self.symptom_told(i).filter(|_| !brief);
        let earlier = |t: &Told| self.sentence_of(t.item).1 < self.sentence_start;
        if let Some(told) = told.filter(|t| earlier(t) && self.only_tried_since(*t, i)) {
            self.tell_again(told, i, Says::Sound);
        }
        // `It stalled. New pump. Fine since.`
        let between = self.mentions.iter().rev();
        let nearer = between.skip_while(|m| m.sentence > since);
        let mut between = nearer.take_while(|m| m.sentence == since).peekable();
        if !brief && since < self.sentence && between.peek().is_some() {
            let renewed = between.all(|m| m.is_noun() && m.says == Some(Says::Renewed));
            since = since.saturating_sub(u32::from(renewed));
        }
        let parts = self.parts;
        let symptom = |part| parts.get(part).kind == PartKind::Symptom;
        let cue = self.wording(i);
        // `would not run, hasn't since`: neither has it.
        let denies = self.holds_not(i);
        for k in (0..self.mentions.len()).rev() {
            let never = denies && self.holds_not(self.mentions[k].item);
            let m = &mut self.mentions[k];
            if m.sentence < since {
                break;
            }
            let told = !m.is_noun() && !m.denied && !never;
            if told && m.named.iter().any(|n| symptom(n.part)) {
                m.says = Some(Says::Renewed);
                m.cue = Some(i);
                m.hedged = false;
            }
        }
        // `turned out to be the links, all quiet now`
        for k in (0..self.mentions.len()).rev().take(FOUND) {
            let m = &self.mentions[k];
            if m.sentence < self.sentence {
                break;
            }
            let found = m
                .cue
                .is_some_and(|c| self.items.is_cue(c, Act::State(Says::Bad), Side::Next));
            if found && m.is_noun() && m.says == Some(Says::Bad) {
                self.mentions[k].says = Some(Says::Renewed);
                self.mentions[k].cue = Some(i);
            }
        }
        for k in (0..self.extra.len()).rev() {
            let never = denies && self.holds_not(self.extra[k].item);
            let s = &mut self.extra[k];
            if s.sentence < since {
                break;
            }
            if symptom(s.part) && s.says.is_fault() && !never {
                s.says = Says::Sound;
                s.cue = Some(i);
                s.rule.cue = cue;
            }
        }
    }

    /// `Sunroof leaks? No.`, `clutch slip: none`: the saying right before the
    /// answer is denied.
    pub(super) fn take_back(&mut self, i: usize) -> bool {
        let Some(cue) = self.extra.last().and_then(|s| s.cue) else {
            return false;
        };
        let asks = |j: usize| {
            matches!(
                self.items.list[j].kind,
                ItemKind::End(b'?') | ItemKind::Sign(b':' | b'-' | b'=')
            )
        };
        let asked = (cue + 1..i).any(asks)
            && (cue + 1..i).all(|j| {
                matches!(
                    self.items.list[j].kind,
                    ItemKind::End(_) | ItemKind::Sign(_) | ItemKind::Blank
                )
            });
        if !asked {
            return false;
        }
        let parts = self.parts;
        self.extra
            .retain(|s| s.cue != Some(cue) || parts.get(s.part).kind == PartKind::Symptom);
        for s in self.extra.iter_mut().filter(|s| s.cue == Some(cue)) {
            s.says = Says::Sound;
            s.denied = true;
        }
        true
    }

    /// `3 of 4 windows work`: not all of them.
    pub(super) fn some_only(&self, item: usize) -> bool {
        let modifiers_before = |mut j: usize| {
            while j > 0 && self.items.acts(j - 1, Act::Modifier) && self.count(j - 1).is_none() {
                j -= 1;
            }
            j.checked_sub(1)
        };
        let Some(all) = modifiers_before(item) else {
            return false;
        };
        let Some(of) = modifiers_before(all).filter(|j| self.items.acts(*j, Act::Place)) else {
            return false;
        };
        let some = of.checked_sub(1).and_then(|j| self.count(j));
        // `two of the tyres are legal`
        let few = some.is_some_and(|n| n < 4.0) && self.items.is_a(all, WordClass::The);
        some.is_some() && self.count(all).is_some() && some != self.count(all) || few
    }

    /// `Thermostat: yes, bad`, `Wheel bearing: no, that's fine`: what stands behind
    /// the comma of an answer tells what it means. Says so.
    pub(super) fn answered_in_full(&mut self, i: usize) -> bool {
        const NEAR: usize = 4;
        let comma = self.items.kind(i + 1) == ItemKind::Sign(b',');
        let colon = i > 0 && self.items.kind(i - 1) == ItemKind::Sign(b':');
        if !comma || !colon {
            return false;
        }
        let ends = |j: &usize| matches!(self.items.kind(*j), ItemKind::End(_) | ItemKind::Blank);
        let last = self.items.list.len().min(i + 2 + NEAR);
        let told = (i + 2..last).take_while(|j| !ends(j)).find_map(|j| {
            let cue = self.items.cue(j).filter(|c| c.side != Side::After)?;
            match cue.act {
                Act::State(says @ (Says::Bad | Says::Sound)) => Some((j, says)),
                _ => None,
            }
        });
        let part = self
            .mentions
            .last()
            .is_some_and(|m| m.is_noun() && m.item + 2 == i);
        let Some((cue, says)) = told.filter(|_| part) else {
            return false;
        };
        self.say_of(self.mentions.len() - 1, cue, says, false);
        true
    }

    /// `Are the struts? No, same story.`: whether this sentence began with a denial of
    /// what was asked of a part, so that what it goes on with tells what that means.
    pub(super) fn answered_alike(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        let denied = m.cue.is_some_and(|c| {
            c >= self.sentence_start && c > m.item && self.items.acts(c, Act::Lacks)
        });
        denied && m.says == Some(Says::Bad) && m.is_noun() && m.sentence + 1 == self.sentence
    }

    /// Whether `it` right behind a `no` makes that an answer.
    pub(super) fn answered_no(&self, i: usize) -> bool {
        let no = self
            .neg
            .is_some_and(|(n, act)| act == Act::Lacks && n + 1 == i);
        no && (self.items.acts(i, Act::Pronoun) || self.items.is_a(i, WordClass::It))
    }

    /// Whether what stands right behind a `no` makes that an answer: nobody
    /// lacks `the` of something.
    pub(super) fn answers_ahead(&self, i: usize) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        first == last
            && self
                .items
                .token_is(last + 1, &[WordClass::The, WordClass::There])
    }

    /// Whether `does` ends its clause right behind a part, after another part
    /// of which something was said.
    pub(super) fn echoes(&self, i: usize) -> bool {
        let closes = matches!(
            self.items.list.get(i + 1).map(|n| n.kind),
            None | Some(ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(b',' | b';' | b')'))
        ) || self.items.acts(i + 1, Act::Border);
        let n = self.mentions.len();
        closes
            && n >= 2
            && self.mentions[n - 1].item + 1 == i
            && self.mentions[n - 1].is_noun()
            && (self.mentions[n - 2].says.is_some_and(Says::is_fault)
                || !self.mentions[n - 2].is_noun() && !self.mentions[n - 2].denied)
            && self.sentence - self.mentions[n - 2].sentence <= 1
    }

    /// `Do the radio and the horn work? No.`, `Problems with the clutch? None.`:
    /// what was asked of parts is denied of all of them. Says so.
    fn asked_of_a_state(&mut self, i: usize) -> bool {
        let Some(cue) = self.mentions.last().and_then(|m| m.cue) else {
            return false;
        };
        let mut said = false;
        for k in (0..self.mentions.len()).rev() {
            let m = &self.mentions[k];
            let asked = m.question && m.sentence + 1 == self.sentence && m.cue == Some(cue);
            let says = match m.says {
                Some(says @ (Says::Sound | Says::Bad | Says::Renewed)) if asked && m.is_noun() => {
                    says
                }
                _ => break,
            };
            self.say_of(k, i, says, true);
            let m = &mut self.mentions[k];
            (m.hedged, m.question) = (false, false);
            m.consumed |= m.says.is_none();
            said = true;
        }
        said
    }

    pub(super) fn answer_no(&mut self, i: usize) {
        if self.take_back(i) || self.asked_of_a_state(i) {
            return;
        }
        let Some(m) = self.mentions.last() else {
            return;
        };
        let reach = m.item + 1..i;
        if self.sentence - m.sentence > 1 || reach.len() > 6 {
            return;
        }
        let adjacent = reach.clone().all(|j| {
            matches!(
                self.items.list[j].kind,
                ItemKind::Sign(b':' | b'-' | b'^') | ItemKind::End(_) | ItemKind::Blank
            ) || self.items.acts(j, Act::Copula)
                || self.items.acts(j, Act::Modifier)
        });
        if !adjacent {
            return;
        }
        let Some(m) = self.mentions.last_mut() else {
            return;
        };
        m.cue = Some(i);
        // `Rebuilt the transmission? No.`: what was asked is denied.
        let asked_after = m.question && m.is_noun() && m.says.is_some();
        m.question = false;
        m.hedged = false;
        // `2003 Baja turbo? no` in a headline tells which car it is.
        // So does `Turbo 400? No, the 700R4`.
        let kind = m.is_equipment() && m.sentence + 1 == self.sentence;
        if m.is_noun() && m.sentence == 0 && self.sentence == 1 || asked_after || kind {
            m.consumed = true;
            return;
        }
        if m.is_noun() {
            m.says = Some(Says::Bad);
        } else {
            m.denied = true;
            m.says = None;
        }
    }

    /// A number of one figure, `3` or `three`.
    pub(super) fn count(&self, i: usize) -> Option<f64> {
        match self.items.word(i).as_bytes() {
            [digit] if digit.is_ascii_digit() => Some(f64::from(digit - b'0')),
            _ => small(self.items.word(i)).filter(|n| *n < 10.0),
        }
    }

    /// `was losing coolant, has not lost a drop since`: of what the sentence told to be
    /// lost, not of what rattled before it.
    fn lost_a_fluid(&self, i: usize) -> bool {
        let here = |s: &Saying| s.sentence == self.sentence && self.is_symptom(s.part);
        self.items.has_any(i, &[WordClass::LosesFluid]) && self.extra.last().is_some_and(here)
    }
}
