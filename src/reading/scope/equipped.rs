//! Equipment of which a state is told: by a heading, by what is said of a whole list,
//! or by a denial that a list shares.

use super::*;

impl Walk<'_> {
    /// `power windows`, `heated seats`: equipment that may work or not. `5 speed` and
    /// `V6` only tell which car it is.
    pub(super) fn can_fail(&self, m: &Mention) -> bool {
        let thing = |n: &Named| {
            let group = self.parts.get(n.part).group.as_str();
            matches!(
                group,
                "electrical" | "climate" | "glass" | "interior" | "body"
            )
        };
        m.named.iter().all(thing)
    }

    /// `Works: radio, power windows`, `Broken: electric windows`: whether the heading of
    /// this line tells a state of all that it lists, equipment among it.
    /// A single word, `DVD`, only tells what is there.
    pub(super) fn headed_by_state(&self, m: &Mention) -> bool {
        let Item { first, last, .. } = self.items.list[m.item];
        let heads = |g: Governor| {
            let section = self.section.is_some_and(|s| s.item == g.item);
            let here = g.sentence == self.sentence;
            section && here && matches!(g.says, Says::Bad | Says::Sound)
        };
        self.gov.is_some_and(heads) && self.neg.is_none() && first < last && self.can_fail(m)
    }

    /// `neither lamp works, the pump was rebuilt`: with what it turned round, the denial
    /// is over at a sign or `and`.
    /// So it is before `both`: `neither caliper moves, both seized`.
    pub(super) fn spend_neither(&mut self, at: usize) {
        if !self.neg_all {
            return;
        }
        let anew = self
            .items
            .is_any(at + 1, &[WordClass::Both, WordClass::All, WordClass::They]);
        self.neg_all &= !(anew && self.sentence_mentions < self.mentions.len());
        let told = self.mentions.last().is_some_and(|m| {
            let by_saying = |s: &Saying| s.cue.is_some_and(|c| c > m.item);
            let by_cue = m.cue.is_some_and(|c| c > m.item);
            let consumed = m.consumed && m.says.is_none() && !m.place;
            m.sentence == self.sentence
                && (by_cue || consumed && self.extra.last().is_some_and(by_saying))
        });
        self.neg_all &= !told;
    }

    /// `does not have a working radio or a second key`, `did not find a spare key or a
    /// jack`: whether `or` goes on with what is not there.
    pub(super) fn lacks_before(&self, or: usize) -> bool {
        let Some(m) = self.mentions.last() else {
            return false;
        };
        // `a working heater` may be one phrase.
        let praised = |n: &Named| n.naming == Naming::States(Says::Sound);
        let denied = m.denied && m.named.iter().all(praised);
        let bad = m.says == Some(Says::Bad) && m.is_noun();
        let missing = (bad || denied) && m.item + 1 == or;
        let lacks = |j: usize| {
            let has = || self.items.has_any(j, &[WordClass::Has]);
            self.items.acts(j, Act::Lacks) || self.denies(j) && has()
        };
        let by = m.cue.filter(|c| *c < m.item);
        missing && by.is_some_and(|c| lacks(c) || c > self.sentence_start && lacks(c - 1))
    }

    /// `No AC, never had it`: what is missing was never fitted, so that nothing is at
    /// fault. Tells whether it was said here.
    pub(super) fn never_fitted(&mut self, i: usize) -> bool {
        let small = |j: usize| {
            self.items.kind(j) == ItemKind::Sign(b',')
                || self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Pronoun)
                || self.items.acts(j, Act::Border)
                || self
                    .items
                    .is_any(j, &[WordClass::Vehicle, WordClass::It, WordClass::One])
        };
        let missing = |m: &Mention| {
            let first = self.items.list[m.item].first;
            let lacks = |c: Cue| c.act == Act::Lacks;
            let no = m.lacks || self.items.cue_of(first, first).is_some_and(lacks);
            no && m.sentence == self.sentence && (m.item + 1..i).all(small) && m.item + 1 < i
        };
        let part = |n: &Named| !self.is_symptom(n.part);
        let had = self.items.is_a(i, WordClass::Never) && self.clause_closes(i + 1);
        let fits = self
            .mentions
            .last()
            .is_some_and(|m| missing(m) && m.named.iter().all(part));
        if !had || !fits {
            return false;
        }
        if let Some(m) = self.mentions.last_mut() {
            m.consumed = true;
        }
        self.note(|w| format!("'{}': it was never fitted", w.words(i)));
        true
    }
}
