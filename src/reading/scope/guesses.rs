//! Causes that are only named behind a fault, as a guess: `no spark. Coil?`,
//! `clunk up front, ball joint or tie rod`.

use super::*;

/// Sentences that a fault and the guess at its cause may lie apart.
const APART: u32 = 2;
/// Parts of one choice.
const CHOICE: usize = 4;

impl Walk<'_> {
    /// Doubts the parts of which nothing is told but that they may be behind a
    /// fault.
    pub(super) fn guesses(&mut self) {
        for k in 0..self.mentions.len() {
            if self.asked_alone(k) && (self.fault_told_before(k) || self.asks_on(k))
                || self.one_of_several(k) && self.fault_told_before(k)
            {
                self.mentions[k].hedged = true;
            }
            if self.named_as_cause(k) {
                self.mentions[k].says = Some(Says::Bad);
            }
            self.lacking_both(k);
            self.or_else_this(k);
            if let Some(first) = self.choice_of_faults(k) {
                for m in first..=k {
                    self.mentions[m].hedged = true;
                    self.doubt_effect(m);
                }
            }
        }
    }

    /// `head gasket or a cracked head`, `says it is the pump or a stuck thermostat`: where
    /// one of two told to be at fault begins, whatever tells it of each. Not `no A or B`,
    /// nor work that is asked for, and of the body one may have both.
    fn choice_of_faults(&self, k: usize) -> Option<usize> {
        let mut first = k;
        while first > 0 && first + CHOICE > k && self.chosen_from(first) {
            first -= 1;
        }
        let told = |m: &Mention| !m.is_open();
        (first < k && self.mentions[first..=k].iter().any(told)).then_some(first)
    }

    /// Whether `or` stands between this and the part before it, with nothing else but
    /// small words and a word for its fault, and either may be what is at fault.
    fn chosen_from(&self, k: usize) -> bool {
        let (p, m) = (&self.mentions[k - 1], &self.mentions[k]);
        let small = |j: usize| {
            self.items.acts(j, Act::Modifier)
                || self.items.is_cue(j, Act::State(Says::Bad), Side::Either)
        };
        let mut at = m.item;
        while at > p.item + 1 && small(at - 1) {
            at -= 1;
        }
        let or = at == p.item + 2 && self.items.acts(at - 1, Act::Or);
        or && p.sentence == m.sentence && self.may_be_at_fault(k - 1) && self.may_be_at_fault(k)
    }

    /// A part of which no more is told than that it is at fault, before its name or in it.
    fn may_be_at_fault(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        let inside = |n: &Named| {
            let kind = self.parts.get(n.part);
            let seen = matches!(kind.group.as_str(), "body" | "glass" | "interior");
            !seen && kind.kind == PartKind::Part && n.naming != Naming::Subject
        };
        let fault = |n: &Named| n.naming.is_noun() || n.naming.is_fault();
        let beside = |c: usize| self.items.cue(c).is_some_and(|c| c.side == Side::Either);
        let asked = |c: usize| !beside(c) && self.asks_for_work(c) || self.begins_with_denial(c);
        let before = m.cue.is_some_and(|c| c < m.item && !asked(c));
        let told = m.says.is_none() || m.says == Some(Says::Bad) && before;
        let told = told && (!m.consumed || self.told_by_effect(m));
        told && !(m.denied || m.lacks || m.unreal || m.past || m.is_equipment())
            && m.named.iter().all(|n| inside(n) && fault(n))
            && !self.tells_a_lack(k)
    }

    /// `heat doesn't work`: whether a phrase denies of a part what it should do.
    fn tells_a_lack(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        let Item { first, last, .. } = self.items.list[m.item];
        let denial = |c: Cue| matches!(c.act, Act::Negates | Act::Lacks);
        !m.is_noun() && (first..=last).any(|t| self.items.cue_of(t, t).is_some_and(denial))
    }

    /// `AC or heat doesn't work`, `doesn't have AC or heat`: behind a denial `or` leaves
    /// no choice. Says it of the part that has no word of its own.
    fn lacking_both(&mut self, k: usize) {
        if k == 0 || !self.mentions[k].linked || !self.behind_or(k) {
            return;
        }
        let open = |k: usize| self.untold(k) && !self.mentions[k].hedged;
        let last = self.tells_a_lack(k) && self.begins_with_part(&self.mentions[k]) && open(k - 1);
        let begins = |m: &Mention| self.begins_with_denial(m.item);
        let first = self.tells_a_lack(k - 1) && begins(&self.mentions[k - 1]) && open(k);
        let Some((told, other)) = (last.then_some((k, k - 1))).or(first.then_some((k - 1, k)))
        else {
            return;
        };
        let m = &self.mentions[told];
        let bad =
            |n: &Named| self.final_state(m, *n) == Some(Says::Bad) && !self.is_symptom(n.part);
        if m.named.iter().all(bad) {
            let cue = Some(m.item);
            let other = &mut self.mentions[other];
            (other.says, other.cue) = (Some(Says::Bad), cue);
        }
    }

    /// `a dead injector`: whether a saying that took a part tells its fault, and nothing
    /// besides.
    fn told_by_effect(&self, m: &Mention) -> bool {
        let mut of_it = self.extra.iter().filter(|s| s.item == m.item);
        let bad = |s: &Saying| s.says == Says::Bad && m.named.iter().any(|n| n.part == s.part);
        !m.place && of_it.next().is_some_and(bad) && of_it.next().is_none()
    }

    /// Doubts what such a saying tells.
    fn doubt_effect(&mut self, k: usize) {
        let m = &self.mentions[k];
        if m.consumed {
            for s in self.extra.iter_mut().filter(|s| s.item == m.item) {
                (s.says, s.rule.hedged) = (Says::Suspect, true);
            }
        }
    }

    /// `Coil? Plug? Injector?`: whether the guess before this one is asked as this is.
    fn asks_on(&self, k: usize) -> bool {
        let asked = |p: &Mention| p.question && p.hedged && p.is_noun();
        let near = |p: &Mention| self.mentions[k].sentence - p.sentence <= APART;
        k > 0 && asked(&self.mentions[k - 1]) && near(&self.mentions[k - 1])
    }

    /// `clunk over bumps, ball joint`: a part alone at the end of a sentence,
    /// behind a symptom that it is a usual cause of.
    fn named_as_cause(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        let before = self.before_modifiers(m.item).checked_sub(1);
        let sign = |j: usize| matches!(self.items.list[j].kind, ItemKind::Sign(b',' | b'-' | b'^'));
        let alone = before.is_some_and(sign)
            && matches!(
                self.items.list.get(m.item + 1).map(|n| n.kind),
                None | Some(ItemKind::End(b'.' | b'!' | b'\n') | ItemKind::Blank)
            );
        if !alone || m.question || m.hedged || !self.untold(k) {
            return false;
        }
        let explains = |symptom: PartId| {
            let part = |n: &Named| {
                self.causes
                    .is_some_and(|c| c.may_come_from(symptom, n.part))
            };
            m.named.iter().any(part)
        };
        let here = self.mentions[..k].iter().rev();
        let here = here.take_while(|p| p.sentence == m.sentence);
        let mut told = here.filter(|p| !p.consumed);
        told.any(|p| {
            let there = |n: &Named| self.final_state(p, *n) == Some(Says::Bad) && explains(n.part);
            p.named.iter().any(there)
        }) || self.extra.iter().any(|s| {
            let here = s.sentence == m.sentence && s.item < m.item;
            here && s.says == Says::Bad && explains(s.part)
        })
    }

    /// `pump or filter, one of the two`, `Pump? Filter? One of those.`: a doubt
    /// with which a clause ends is of all that there is to choose from.
    pub(super) fn doubt_choice(&mut self, i: usize) {
        let answers = self.answers_first(i);
        let mut sentence = self.sentence;
        for k in (0..self.mentions.len()).rev() {
            let m = &self.mentions[k];
            let asked = answers && m.question && sentence - m.sentence <= 1;
            if !asked && m.sentence != self.sentence || !self.untold(k) {
                break;
            }
            let chosen = m.linked && self.behind_or(k);
            sentence = m.sentence;
            self.mentions[k].hedged = true;
            if !chosen && !asked {
                break;
            }
        }
    }

    /// Whether `or` stands before a part.
    pub(super) fn behind_or(&self, k: usize) -> bool {
        let before = self.before_modifiers(self.mentions[k].item);
        before > 0 && self.items.acts(before - 1, Act::Or)
    }

    /// A part of which no word tells anything.
    fn untold(&self, k: usize) -> bool {
        self.mentions.get(k).is_some_and(|m| {
            let part = |n: &Named| !self.is_symptom(n.part) && n.naming != Naming::Subject;
            m.is_open() && !m.is_equipment() && !m.unreal && !m.lacks && m.named.iter().all(part)
        })
    }

    /// `Fuel pump?`, `dies at idle, IAC?`: nothing but the part stands between
    /// the mark and the sign or sentence before it.
    fn asked_alone(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        if !m.question || !self.untold(k) {
            return false;
        }
        let small = |j: usize| {
            self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Or)
                || self.items.names_part(j)
        };
        let mut first = m.item;
        while first > 0 && small(first - 1) {
            first -= 1;
        }
        let mut last = m.item + 1;
        while last < self.items.list.len() && small(last) {
            last += 1;
        }
        let mark = |j: usize| matches!(self.items.list[j].kind, ItemKind::End(b'?'));
        let starts = first == 0
            || matches!(
                self.items.list[first - 1].kind,
                ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(_)
            );
        starts && last < self.items.list.len() && mark(last) && !self.answered(last + 1)
    }

    /// Whether a few words, or a yes or no, stand behind a question: `Battery?
    /// Borrowed.`
    fn answered(&self, i: usize) -> bool {
        let (_, end) = self.sentence_of(i);
        let asks_on = matches!(
            self.items.list.get(end).map(|n| n.kind),
            Some(ItemKind::End(b'?'))
        );
        let tells = [Act::Negates, Act::Lacks, Act::Affirms];
        i < end && !asks_on && (end - i <= 3 || tells.iter().any(|act| self.items.acts(i, *act)))
    }

    /// `bearing or tire`: joined by `or` to another of which as little is told.
    fn one_of_several(&self, k: usize) -> bool {
        let or = |m: usize| {
            self.mentions
                .get(m)
                .is_some_and(|mention| mention.linked && self.behind_or(m))
        };
        self.untold(k) && (or(k) && k > 0 && self.untold(k - 1) || or(k + 1) && self.untold(k + 1))
    }

    /// Whether a symptom is told in the sentences before a part, or earlier in
    /// its own.
    fn fault_told_before(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        let named = self.mentions[..k].iter().rev();
        let named = named.take_while(|p| m.sentence - p.sentence <= APART);
        let mut faults = named.filter(|p| !p.consumed);
        faults.any(|p| {
            p.named.iter().any(|n| {
                self.is_symptom(n.part) && self.final_state(p, *n).is_some_and(Says::is_fault)
            })
        }) || self.extra.iter().any(|s| {
            s.item < m.item
                && m.sentence - s.sentence <= APART
                && self.is_symptom(s.part)
                && s.says.is_fault()
        })
    }

    /// Whether a part's fault is told without its name: `battery light is on`.
    pub(super) fn implies(&self, m: &Mention, part: PartId) -> bool {
        let states = |n: &Named| n.part == part && n.naming == Naming::States(Says::Bad);
        let names = |n: &Named| n.part == part && n.naming.is_noun();
        !self.is_symptom(part)
            && m.named.iter().any(states)
            && !self
                .items
                .within(self.items.list[m.item])
                .any(|p| p.meaning.named.iter().any(names))
    }
}
