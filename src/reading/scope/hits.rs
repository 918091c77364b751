//! What a hit has left broken, where it is only listed behind it.

use super::*;

/// Parts that such a list names at least, and at most.
const LEAST: usize = 2;
const MOST: usize = 12;

impl Walk<'_> {
    /// `Hit in front: hood, fender, radiator`, `LF impact. Wing, bonnet and lamp.`: parts
    /// that stand bare in a list right behind a hit, and make up the rest of the
    /// sentence, are what it broke.
    pub(super) fn broken_by_the_hit(&mut self) {
        for k in 0..self.mentions.len() {
            let listed = match self.is_hit(k) {
                true => self.bare_list_behind(k),
                false => 0,
            };
            let cue = self.mentions[k].item;
            for m in &mut self.mentions[k + 1..=k + listed] {
                (m.says, m.cue) = (Some(Says::Bad), Some(cue));
            }
        }
    }

    /// Whether a hit is told here as it is, not mended and not denied.
    fn is_hit(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        let hit = |n: &Named| self.parts.code(n.part) == "collision";
        !m.consumed
            && !m.unreal
            && m.named
                .iter()
                .any(|n| hit(n) && self.final_state(m, *n) == Some(Says::Bad))
    }

    /// How many parts such a list has.
    fn bare_list_behind(&self, k: usize) -> usize {
        let hit = self.mentions[k].item;
        let sign = |j: usize| {
            let between = ItemKind::Sign(b',');
            matches!(
                self.items.kind(j),
                ItemKind::Sign(b':' | b'-' | b'(') | ItemKind::End(b'.')
            ) || self.items.kind(j) == between
        };
        let mut at = hit + 1;
        while self.items.acts(at, Act::Place)
            || self.items.acts(at, Act::Modifier)
            || self.items.acts(at, Act::Side)
        {
            at += 1;
        }
        if !sign(at) {
            return 0;
        }
        let (mut count, mut end) = (0, at + 1);
        for m in self.mentions[k + 1..].iter().take(MOST) {
            let body = |n: &Named| !self.is_symptom(n.part) && n.naming != Naming::Subject;
            let close =
                (end..m.item).all(|j| self.items.joins(j) || self.items.acts(j, Act::Modifier));
            if !close || !m.is_open() || m.is_equipment() || m.hedged || !m.named.iter().all(body) {
                break;
            }
            (count, end) = (count + 1, m.item + 1);
        }
        let closes = matches!(
            self.items.list.get(end).map(|n| n.kind),
            None | Some(
                ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(b')' | b'*' | b';' | b'-')
            )
        );
        let outside = |m: &Mention| {
            let group =
                |n: &Named| matches!(self.parts.get(n.part).group.as_str(), "body" | "glass");
            m.named.iter().any(group) || m.named.iter().any(|n| self.parts.code(n.part) == "lamp")
        };
        let first = self.mentions.get(k + 1).is_some_and(outside);
        match closes && first && count >= LEAST {
            true => count,
            false => 0,
        }
    }
}
