//! What is told of a part as of the one before it: `front pads too`, `alternator -
//! ditto`, `nor does the radio work`.

use super::*;

impl Walk<'_> {
    /// What is said of the part that this names, by a word beside it or by the
    /// phrase right before this: `the transmission went, then the oil pan`.
    pub(super) fn told_of_part(&self, m: &Mention, i: usize) -> Option<Says> {
        if m.is_noun() {
            // `the pump is decorative, so is the lock`: told by a saying of its own.
            let own = || {
                let said = self.extra.last().filter(|s| m.consumed && s.item == m.item);
                said.map(|s| s.says)
            };
            return m.says.or_else(own);
        }
        if m.item + 2 != i || self.items.is_word(i - 1) {
            return None;
        }
        let told = m.named.iter().find_map(|n| match n.naming {
            Naming::States(says) if m.named.len() == 1 => Some(says),
            _ => None,
        });
        told.filter(|_| !m.denied && !m.hedged && self.begins_with_part(m))
    }

    /// Whether nothing but the part is told behind `nor does`: what was said
    /// before is said of it too.
    pub(super) fn says_it_too(&self, i: usize) -> bool {
        let part = self.part_ahead(i).map(|(part, _)| part);
        part.is_some_and(|part| self.clause_closes(part + 1) || self.items.joins(part + 1))
    }

    /// Whether a clause ends here with nothing but a part in it.
    pub(super) fn closes_behind_a_part(&self, i: usize) -> bool {
        let open = |m: &Mention| {
            let sign = |j: usize| matches!(self.items.list[j].kind, ItemKind::Sign(_));
            m.is_open() && m.sentence == self.sentence && (m.item + 1..i).all(sign)
        };
        self.mentions.last().is_some_and(open) && self.clause_closes(i + 1)
    }

    /// Whether the part behind `then the` has a verb of its own.
    pub(super) fn tells_of_next(&self, i: usize) -> bool {
        const NEAR: usize = 7;
        let verb = |part: usize| {
            (part + 1..part + NEAR)
                .take_while(|j| {
                    let small = self.items.acts(*j, Act::Place)
                        || self.items.acts(*j, Act::Modifier)
                        || self.items.acts(*j, Act::Side);
                    small || self.items.is_word(*j) || self.items.acts(*j, Act::Copula)
                })
                .any(|j| self.items.acts(j, Act::Copula))
        };
        self.items.is_a(i, WordClass::Then) && self.part_ahead(i).is_some_and(|(j, _)| verb(j))
    }

    /// `new oil, front pads too`: an open part shares the saying before it.
    pub(super) fn too(&mut self, i: usize) {
        let n = self.mentions.len();
        if n < 2 || self.words_between(self.mentions[n - 1].item, i) > 0 {
            return;
        }
        // `Carpet is stained. Seats too.`
        let told = |m: &Mention| {
            let own = |s: &&Saying| m.named.iter().any(|n| n.part == s.part) && s.item == m.item;
            let told = self.extra.iter().rev().find(own).filter(|_| m.consumed);
            told.map(|s| (s.says, s.cue))
        };
        let before = self.mentions[..n - 1]
            .iter()
            .rev()
            .find_map(|m| m.says.map(|s| (s, m.cue)).or_else(|| told(m)));
        let answered = self.answered_alike(n - 1);
        let last = &mut self.mentions[n - 1];
        if (last.is_open() || answered)
            && let Some((says, cue)) = before
        {
            last.says = Some(says);
            last.cue = cue;
        }
    }
}
