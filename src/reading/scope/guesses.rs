//! Causes that are only named behind a fault, as a guess: `no spark. Coil?`,
//! `clunk up front, ball joint or tie rod`.

use super::*;

/// Sentences that a fault and the guess at its cause may lie apart.
const APART: u32 = 2;

impl Walk<'_> {
    /// Doubts the parts of which nothing is told but that they may be behind a
    /// fault.
    pub(super) fn guesses(&mut self) {
        for k in 0..self.mentions.len() {
            if (self.asked_alone(k) || self.one_of_several(k)) && self.fault_told_before(k) {
                self.mentions[k].hedged = true;
            }
            if self.named_as_cause(k) {
                self.mentions[k].says = Some(Says::Bad);
            }
        }
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
    fn behind_or(&self, k: usize) -> bool {
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
