//! The parts that a predicate speaks of: the last one, or the list before it.

use super::*;

/// Words looked back over for `both`.
const SEVERAL: u32 = 24;

impl Walk<'_> {
    /// The parts a predicate at `i` speaks of: indices of mentions.
    pub(super) fn subjects(&self, i: usize) -> Vec<usize> {
        let mut out = Vec::new();
        // `tires right before it quit`: the pronoun is the subject.
        if i > 0 && self.items.acts(i - 1, Act::Pronoun) && self.items.is_a(i - 1, WordClass::It) {
            return out;
        }
        let mut k = self.mentions.len();
        while k > self.clause {
            k -= 1;
            let m = &self.mentions[k];
            if m.sentence != self.sentence {
                break;
            }
            if m.place {
                continue;
            }
            if out.is_empty() && self.words_between(m.item, i) > 4 {
                break;
            }
            // `5 speed 133,600 miles no issues`: of the car.
            let figures = |j: usize| self.items.list[j].kind == ItemKind::Number;
            if out.is_empty() && m.is_equipment() && (m.item + 1..i).any(figures) {
                break;
            }
            // `no horn and tires are bald`; `maybe the axles; struts new`
            let joined = |act| {
                self.mentions.get(k + 1).is_some_and(|next| {
                    let joint = self.before_modifiers(next.item).wrapping_sub(1);
                    // `AC/heat both work`
                    let stroke = act == Act::And && self.close_stroke(joint);
                    stroke || self.items.acts(joint, act)
                })
            };
            if !out.is_empty() && (m.hedged || m.lacks && !joined(Act::Or)) {
                break;
            }
            // `5 speed and frame is solid`: how it is equipped is no item.
            let parts = out
                .iter()
                .any(|k: &usize| !self.mentions[*k].is_equipment());
            let has = !out.is_empty() && self.has_it(m.item);
            // `power windows, locks and mirrors all work`
            let kind = |n: &Named| matches!(self.parts.code(n.part), "transmission" | "engine");
            let all = self.takes_all(i) && !m.named.iter().any(kind);
            if (parts && m.is_equipment() || has) && !all && !self.sums_up(i) {
                break;
            }
            // `spoiler, mirror broken`: nor is equipment alone in a list.
            let named = |k: &usize| {
                let m: &Mention = &self.mentions[*k];
                !m.is_equipment() && !m.is_feature()
            };
            if out.iter().any(named)
                && !self.signs_between(self.mentions[out[0]].item, i)
                && m.is_feature()
                && !joined(Act::And)
                && !joined(Act::Or)
                && !self.names_two(self.mentions[out[0]].item)
                && self.bare_entry(m.item)
                && !self.takes_all(i)
                && !self.sums_up(i)
            {
                break;
            }
            if m.is_open()
                || (m.lacks && !m.consumed)
                || (out.is_empty() && m.consumed && m.says.is_none() && m.is_noun())
                || !out.is_empty() && self.needed_no_more(k) && self.takes_all(i)
            {
                out.push(k);
            } else {
                break;
            }
            if !m.linked || self.bracket_of(m.item, i) && !self.takes_all(i) {
                break;
            }
        }
        out
    }

    /// `Radio, heater and AC work`: whether `and` stands within a name, so that it closes
    /// the list.
    fn names_two(&self, i: usize) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        let and = |t: u32| self.items.cue_of(t, t).is_some_and(|c| c.act == Act::And);
        (first..last).any(and)
    }

    /// `does not need a pump, hoses or a belt, all were done`: what a denied want
    /// said of the first of a list.
    pub(super) fn needed_no_more(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        let want = |c: usize| {
            // `far from needing pads`
            let denied = self.items.is_cue(c, Act::State(Says::Sound), Side::After);
            self.items.is_cue(c, Act::State(Says::Bad), Side::After)
                || denied && self.asks_for_work(c)
        };
        m.says == Some(Says::Sound) && m.is_noun() && m.cue.is_some_and(|c| c < m.item && want(c))
    }

    /// Whether what leads up to a saying speaks of several: `both were`, `those I had`.
    pub(super) fn of_several(&self, i: usize) -> bool {
        let several = [
            WordClass::Both,
            WordClass::All,
            WordClass::Those,
            WordClass::They,
        ];
        let last = self.mentions.last().map_or(self.sentence_start, |m| m.item);
        let (from, to) = (self.items.list[last].last + 1, self.items.list[i].last);
        // However long the sentence is.
        let from = from.max(to.saturating_sub(SEVERAL));
        (from..=to).any(|t| self.items.token_is(t, &several))
    }

    /// `leather, airco (works)`: a bracket is of the part right before it.
    fn bracket_of(&self, part: usize, i: usize) -> bool {
        let opens = self.items.list.get(part + 1).map(|n| n.kind) == Some(ItemKind::Sign(b'('));
        opens
            && i == part + 2
            && self.items.list.get(i + 1).map(|n| n.kind) == Some(ItemKind::Sign(b')'))
    }

    /// A stroke without a space on either side.
    pub(super) fn close_stroke(&self, i: usize) -> bool {
        let Some(item) = self.items.list.get(i) else {
            return false;
        };
        let (stroke, tokens) = (item.first as usize, self.items.tokens);
        item.kind == ItemKind::Sign(b'/')
            && stroke > 0
            && tokens.touches_next(stroke - 1)
            && tokens.touches_next(stroke)
    }
}
