//! What there is besides the part on the car: another at hand, the others of its
//! kind.

use super::*;

/// Items that are looked back on, however long a sentence is.
const NEAR: usize = 12;

/// Parts and items looked back over.
const NEAREST: usize = 12;

impl Walk<'_> {
    /// `two new tires put on in May, was going to get the others. Those are bald.`:
    /// whether the plural that begins a sentence stands for the others of a part that
    /// was renewed, of which the sentence before spoke last.
    pub(super) fn others_meant(&self) -> Option<usize> {
        let p = self.pronoun?;
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let several = self.items.is_any(p, &[WordClass::Those, WordClass::They]);
        // `right hand lines are new, left hand ones I didn't get to and they're shot`
        let ones = |j: usize| {
            let side = j
                .checked_sub(1)
                .is_some_and(|b| self.items.acts(b, Act::Side));
            side && self.items.is_any(j, &[WordClass::One, WordClass::Ones])
        };
        let mut between = (m.item + 1..p).rev().take(NEAR);
        let next = m.sentence + 1 == self.sentence && p == self.sentence_start;
        let others = match m.sentence == self.sentence {
            true => between.any(ones),
            false => next && several && between.any(|j| self.items.acts(j, Act::Others)),
        };
        let renewed = m.says == Some(Says::Renewed) || m.says.is_none() && m.consumed;
        let told = renewed && m.is_noun() && !m.place;
        (others && told).then_some(k)
    }

    /// `The starter on it is fine, there is another one in the trunk`: whether what is
    /// at hand is another than the one that was praised.
    pub(super) fn another_at_hand(&self, k: usize, i: usize) -> bool {
        let m = &self.mentions[k];
        let Item { first, last, .. } = self.items.list[i];
        let least = self.items.list[m.item].last + 1;
        let from = first.saturating_sub(4).max(least);
        let another = |t: u32| self.items.token_is(t, &[WordClass::Another]);
        m.is_noun() && m.says == Some(Says::Sound) && (from..=last).any(another)
    }

    /// `The turbo on it is healthy, a second turbo goes with it`: one that is at hand
    /// besides the one that is praised is another thing.
    pub(super) fn second_ones(&mut self) {
        for k in 1..self.mentions.len() {
            let (before, m) = (&self.mentions[k - 1], &self.mentions[k]);
            let same = before
                .named
                .iter()
                .any(|n| m.named.iter().any(|o| o.part == n.part));
            let told = before.says == Some(Says::Sound) && m.says == Some(Says::Spare);
            if !(same && told && m.sentence <= before.sentence + 1) {
                continue;
            }
            // `a second bigger turbo`
            let first = self.items.list[m.item].first.saturating_sub(3);
            let mut words = first..=self.items.list[m.item].last;
            if words.any(|t| self.items.token_is(t, &[WordClass::Another])) {
                self.mentions[k - 1].qualifiers = vec![Which::OfTwo(OfTwo::First)];
                self.mentions[k].qualifiers = vec![Which::OfTwo(OfTwo::Other)];
            }
        }
    }

    /// `Crank sensor replaced and a spare is in the glove box`, `coils were changed and
    /// I have a spare one in the boot`: the part that was renewed, where a second one is
    /// told to be at hand.
    pub(super) fn second_at_hand(&self, i: usize, says: Says) -> Option<usize> {
        if says != Says::Spare {
            return None;
        }
        let n = self.mentions.len();
        let k = (n.saturating_sub(NEAREST)..n).rfind(|k| !self.mentions[*k].place)?;
        let m = &self.mentions[k];
        let behind = m.cue.map_or(m.item, |cue| cue.max(m.item));
        let renewed = m.is_noun() && m.says == Some(Says::Renewed) && m.sentence == self.sentence;
        if !renewed || behind >= i || i - behind > NEAREST {
            return None;
        }
        let joint = |j: &usize| self.parts(*j) || self.items.acts(*j, Act::Border);
        let joint = (behind + 1..i).find(joint)?;
        let (from, to) = (self.items.list[joint].last + 1, self.items.list[i].last);
        let another = |t: u32| self.items.token_is(t, &[WordClass::Another]);
        let near = self.words_between(behind, i) <= 2;
        // `and the spare tire`
        let other = |j: usize| self.items.phrase(j).is_some_and(|p| p.meaning.decoy);
        let near = near && !(joint + 1..i).any(other);
        (near && (from..=to).any(another)).then_some(k)
    }

    /// `starter was rebuilt and I have a spare`: the same told in words that name no
    /// part. Says so.
    pub(super) fn spare_of_last(&mut self, i: usize) -> bool {
        if !self.clause_closes(i + 1) || self.neg.is_some() || self.part_follows(i, 0) {
            return false;
        }
        let second = self.second_at_hand(i, Says::Spare);
        if let Some(k) = second {
            self.say_besides(k, i, Says::Spare);
        }
        second.is_some()
    }
}
