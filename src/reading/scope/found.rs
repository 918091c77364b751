//! The part that the trouble turned out to be: `the knock was the pump`, `traced it
//! to the pump`, and what becomes of both.

use super::stops::says_sound;
use super::turns::STORY;
use super::*;

/// Parts looked back on for what was suspected, or found.
const TURNS: usize = 6;

impl Walk<'_> {
    /// `Turned out to be the pump. Replaced, no noise since`: what was found is
    /// done with. Says so.
    pub(super) fn done_with(&mut self, i: usize) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let here = m.sentence == self.sentence;
        let from = if here {
            m.item + 1
        } else {
            self.sentence_start
        };
        let small = |j: usize| self.is_small(j) || self.items.acts(j, Act::And);
        let opens = (from..i).all(small) && (here || self.sentence > 0);
        let denied = (from..i).any(|j| self.items.acts(j, Act::Negates));
        if !opens || denied || !self.clause_closes(i + 1) || self.neg.is_some() {
            return false;
        }
        let found = m.is_noun() && m.found && m.says == Some(Says::Bad);
        // `I found it: wheel bearing. Replaced.`
        // `Known for the thermostat. Already taken care of.`
        let (_, end) = self.sentence_of(m.item);
        let before = m.item.checked_sub(1);
        let colon = before.is_some_and(|j| self.items.kind(j) == ItemKind::Sign(b':'));
        let told = colon
            || self
                .items
                .is_cue(i, Act::State(Says::Renewed), Side::Before);
        let last = m.is_open() && !m.is_equipment() && !m.place && m.item + 1 == end;
        let alone = last && told;
        let is = found && here || (found || alone) && m.sentence + 1 == self.sentence;
        if is {
            self.mentions[k].found = true;
            self.say_of(k, i, Says::Renewed, false);
        }
        is
    }

    /// `traced the knock to the pump`: whether `to` leads to what is at fault.
    pub(super) fn traced_to(&self, i: usize) -> bool {
        self.traced && self.items.is_a(i, WordClass::To) && self.part_follows(i, 0)
    }

    /// What a found part caused ends with it: `the knock turned out to be the
    /// pump, new one in`.
    pub(super) fn over_with(&mut self, k: usize, i: usize) {
        let m = &self.mentions[k];
        if !m.found {
            return;
        }
        let told = self.symptom_told(m.item);
        let of_it = told.filter(|t| t.says == Some(Says::Bad));
        if let Some(told) = of_it {
            self.tell_again(told, i, Says::Sound);
        }
    }

    /// `turned out to be the pump, and now it is quiet`: a part that was found is
    /// done with where what it caused is gone.
    pub(super) fn found_is_done(&mut self, m: &Mention, i: usize) {
        let gone = m.denied || says_sound(&m.named);
        let named = m.named.iter().find(|n| self.is_symptom(n.part));
        let Some(named) = named.filter(|_| gone) else {
            return;
        };
        let near = |p: &Mention| p.sentence + 1 >= m.sentence;
        let found = (0..self.mentions.len()).rev().take(TURNS);
        let found = found.take_while(|k| near(&self.mentions[*k])).find(|k| {
            let p = &self.mentions[*k];
            let caused = self.symptom_told(p.item).map(|t| t.part);
            p.found && p.says == Some(Says::Bad) && caused == Some(named.part)
        });
        if let Some(k) = found {
            (self.mentions[k].says, self.mentions[k].cue) = (Some(Says::Renewed), Some(i));
        }
    }

    /// A part that a symptom is said to be, `the knock is the pump`, or what it
    /// turned out to be after another was thought of: `it was the pump`.
    pub(super) fn found_out(&mut self, m: &mut Mention) {
        if !m.is_noun() || m.is_equipment() || m.is_feature() {
            return;
        }
        let before = self.before_modifiers(m.item);
        let from = (0..before)
            .rev()
            .find(|j| !self.is_link(*j))
            .map_or(0, |j| j + 1);
        let links = from..before;
        let is_copula = |j: usize| self.items.cue(j).is_some_and(|c| c.act.is_copula());
        let is = links.clone().any(is_copula);
        let denied = links.clone().any(|j| self.items.acts(j, Act::Negates));
        if !(is || denied) || !(m.is_open() || m.hedged || denied) || self.left_undone(&links) {
            return;
        }
        let symptom = self
            .mentions
            .last()
            .is_some_and(|p| self.is_plain_symptom(p) && p.item + 1 == from);
        if symptom {
            if let Some(p) = self.mentions.last_mut() {
                // `they said the knock is the pump`: there is a knock.
                p.hedged = false;
            }
            if denied {
                m.says = Some(Says::Sound);
                (m.consumed, m.hedged) = (false, false);
            } else if !m.hedged {
                self.blame(m, from);
            }
            return;
        }
        // `Dad said water pump. Wasn't the water pump.`
        if denied && self.clause_closes(m.item + 1) && self.was_suspected(m) {
            m.says = Some(Says::Sound);
            (m.consumed, m.hedged, m.latest) = (false, false, true);
            return;
        }
        let pronoun = links.clone().any(|j| self.items.acts(j, Act::Pronoun));
        // `It knocks. It's not the pump, that's new.`
        let first = from == self.sentence_start || self.items.acts(from - 1, Act::Border);
        let it = pronoun || links.clone().all(|j| !is_copula(j));
        if denied && first && it && self.ends_denied(m.item) && self.fault_told(from).is_some() {
            m.says = Some(Says::Sound);
            (m.consumed, m.hedged) = (false, false);
            return;
        }
        let begins = from == self.sentence_start
            || matches!(self.items.list[from - 1].kind, ItemKind::Sign(b',' | b';'))
            || self.items.acts(from - 1, Act::Border)
            || self.items.acts(from - 1, Act::But);
        let was = links.clone().any(|j| self.items.acts(j, Act::Was));
        if denied || !begins || !(was || pronoun) || !m.is_open() {
            return;
        }
        // `thought thermostat, was a bearing`
        let near = |p: &&mut Mention| p.sentence + STORY >= m.sentence;
        let mut thought = false;
        for p in self.mentions.iter_mut().rev().take(TURNS).take_while(near) {
            let other = p.is_noun()
                && p.named
                    .iter()
                    .all(|n| m.named.iter().all(|o| o.part != n.part));
            if other && p.hedged && p.heard && p.says != Some(Says::Renewed) {
                (p.consumed, p.hedged, p.says) = (true, false, None);
                thought = true;
            }
        }
        // `The knock? It was the pump.`
        let asked = || pronoun && was && self.fault_told(from).is_some();
        if thought || asked() {
            self.blame(m, from);
        }
    }

    /// Whether nothing behind a part that was denied takes the denial back: `not the
    /// belt?`, `not the belt, I hope`, `not the belt, yet`.
    fn ends_denied(&self, item: usize) -> bool {
        let comma = self.items.kind(item + 1) == ItemKind::Sign(b',');
        let open = self.items.is_a(item + 2, WordClass::Yet)
            || self.items.acts(item + 2, Act::Hedges)
            || self.items.acts(item + 2, Act::Unreal);
        let asked = self.items.kind(item + 1) == ItemKind::End(b'?');
        self.ends_turn(item + 1) && !asked && !(comma && open)
    }

    /// Takes a part for what was found, which is at fault unless what follows says
    /// otherwise: `the knock was the pump, replaced since`.
    fn blame(&self, m: &mut Mention, from: usize) {
        m.found = true;
        let done = self.predicate_ahead(m.item, false);
        if !matches!(done, Some((Some(Says::Renewed | Says::Sound), _))) {
            (m.says, m.cue) = (Some(Says::Bad), m.cue.or(Some(from)));
        }
    }

    /// Whether the same part was suspected in this story.
    fn was_suspected(&self, m: &Mention) -> bool {
        let near = |p: &&Mention| p.sentence + STORY >= m.sentence;
        let mut before = self.mentions.iter().rev().take(TURNS).take_while(near);
        before.any(|p| {
            let same = p
                .named
                .iter()
                .any(|n| m.named.iter().any(|o| o.part == n.part));
            same && (p.hedged || p.says.is_some_and(Says::is_fault))
        })
    }

    /// Whether a mention is a symptom told as a fault, by its name alone.
    fn is_plain_symptom(&self, m: &Mention) -> bool {
        let fault = |n: &Named| {
            self.is_symptom(n.part) && matches!(n.naming, Naming::Fault | Naming::States(Says::Bad))
        };
        m.sentence == self.sentence && !m.denied && m.named.iter().all(fault)
    }

    /// Whether an item may stand between a symptom and the part that it is.
    fn is_link(&self, j: usize) -> bool {
        let acts = [Act::Pronoun, Act::Negates, Act::Modifier];
        self.items.acts_any(j, &acts)
            || self.items.is_any(j, &[WordClass::That, WordClass::Which])
            || self.items.cue(j).is_some_and(|c| c.act.is_copula())
    }
}
