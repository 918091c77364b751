//! Lists of which something is denied: how far the denial reaches.

use super::lists::unsaid;
use super::*;

/// Parts of one list that are looked back on, however long it is.
const LIST: usize = 12;

impl Walk<'_> {
    /// `no rot in the frame, floors or sills`, `no accidents, rust or dents`:
    /// what is denied of the first is denied of all that `or` brings together.
    pub(super) fn join_denied(&mut self, m: &mut Mention) {
        let or = self.before_modifiers(m.item).wrapping_sub(1);
        if !self.items.acts(or, Act::Or) {
            return;
        }
        let open = self.mentions[self.clause..]
            .iter()
            .rev()
            .take(LIST)
            .take_while(|p| unsaid(p) && p.linked && p.sentence == m.sentence)
            .count();
        let Some(first) = self.mentions.len().checked_sub(open + 1) else {
            return;
        };
        let denied = &self.mentions[first];
        let sound = |n: &Named| n.naming == Naming::States(Says::Sound);
        if first < self.clause || denied.sentence != m.sentence || !denied.named.iter().all(sound) {
            return;
        }
        let cue = Some(denied.item);
        for p in self.mentions[first + 1..].iter_mut().chain([m]) {
            if p.is_noun() {
                p.says = Some(Says::Sound);
            } else {
                p.denied = true;
            }
            p.cue = cue;
        }
    }

    /// Whether a denied list reaches this item: `no leaks, smoke or knocks`.
    pub(super) fn list_goes_on(&self, i: usize, noun: bool) -> bool {
        // The joint right before it.
        let j = self.before_modifiers(i);
        if j > 0 && self.items.acts(j - 1, Act::Or) {
            return true;
        }
        // `no rust, a few dings`
        if (j..i).any(|m| self.items.acts(m, Act::Some)) {
            return false;
        }
        // `no rust, the engine knocks`: a clause of its own.
        if !noun && (j..i).any(|m| self.items.is_a(m, WordClass::The)) {
            return false;
        }
        if noun && self.all_but_list(i) {
            return true;
        }
        if self.own_predicate(i, true) && !self.fault_listed_next(i) {
            return false;
        }
        let told = |i| self.is_clause(i) && !(self.fault_as_noun(i) && self.or_ahead(i + 1));
        if !noun && (told(i) || self.fault_by_itself(i, j)) {
            return false;
        }
        // Of parts, only a list with `or` is denied throughout.
        self.is_bare(i) && (!noun || self.or_ahead(i + 1))
    }

    /// `everything but the radio and the heater works`: the praise behind the list
    /// is of all the rest.
    fn all_but_list(&self, i: usize) -> bool {
        let all = |cue: usize| {
            let Item { first, .. } = self.items.list[cue];
            self.items
                .token_is(first, &[WordClass::Everything, WordClass::All])
        };
        let cue = self.mentions.last().and_then(|m| m.cue);
        let ahead = self.predicate_ahead(i, true);
        cue.is_some_and(all) && ahead.is_some_and(|(says, _)| says != Some(Says::Bad))
    }

    /// `no dents, scratches, rips or tears`: what is broken is an item here.
    fn fault_listed_next(&self, i: usize) -> bool {
        self.items.joins(i + 1)
            && self
                .items
                .is_cue(i + 2, Act::State(Says::Bad), Side::Before)
            && (self.items.joins(i + 3) || self.is_bare(i + 2))
    }

    pub(super) fn or_ahead(&self, from: usize) -> bool {
        let mut j = from;
        while j < self.items.list.len() && j < from + 12 {
            match self.items.list[j].kind {
                ItemKind::End(_) | ItemKind::Blank => return false,
                ItemKind::Phrase(_) if self.items.acts(j, Act::Or) => return true,
                ItemKind::Phrase(_)
                    if self.items.names(j)
                        || self.items.acts(j, Act::Modifier)
                        || self.items.acts(j, Act::And) => {}
                ItemKind::Sign(b',') => {}
                _ => return false,
            }
            j += 1;
        }
        false
    }
}
