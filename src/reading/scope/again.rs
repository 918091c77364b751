//! What was renewed and is broken again.

use super::effects::choose;
use super::*;

impl Walk<'_> {
    /// Whether what is said here is said again of the part named last, which
    /// was renewed: `rebuilt in April and dead again`.
    pub(super) fn again(&self, i: usize) -> bool {
        let Item { last, .. } = self.items.list[i];
        let told = self.items.cue_of(last, last).map(|c| c.act) == Some(Act::Latest);
        self.neg.is_none()
            && (told || self.latest || self.items.acts(i + 1, Act::Latest) || self.still(i))
            && self.mentions.last().is_some_and(|m| {
                m.sentence == self.sentence
                    && m.is_noun()
                    && m.says == Some(Says::Renewed)
                    && m.cue
                        .is_some_and(|cue| self.words_between(cue.max(m.item), i) <= 4)
            })
    }

    /// `replaced in spring, broken again by fall`, `New one last year, already
    /// failing`: what was renewed and is broken once more. Says so.
    pub(super) fn bad_again(&mut self, i: usize, cue: Option<Cue>, effects: &[Effect]) -> bool {
        // `broken again`, said of any part
        let of_any =
            |e: &Effect| e.of == EffectOf::Any && matches!(e.claims[..], [(None, Says::Bad)]);
        let broken = effects.iter().any(of_any)
            || matches!(
                cue,
                Some(Cue {
                    act: Act::State(Says::Bad),
                    side: Side::Before | Side::Either,
                })
            );
        if !broken || self.neg.is_some() || self.when || self.hedge.is_some() {
            return false;
        }
        let Item { last, .. } = self.items.list[i];
        let told = self.items.cue_of(last, last).map(|c| c.act) == Some(Act::Latest);
        let already = i > 0 && self.items.word(i - 1) == "already";
        let again = told || already || self.items.acts(i + 1, Act::Latest);
        let Some(k) = self.mentions.len().checked_sub(1).filter(|_| again) else {
            return false;
        };
        let m = &self.mentions[k];
        // `leaking again`, which is more than that it is bad
        let of_its_own =
            |n: &Named| choose(effects, Some(n.part)).is_some_and(|e| e.of == EffectOf::Named);
        if m.named.iter().any(of_its_own) {
            return false;
        }
        let here = m.sentence == self.sentence;
        let before = m.sentence + 1 == self.sentence && self.pronoun.is_some_and(|p| p < i);
        let from = m.cue.map_or(m.item, |c| c.max(m.item));
        let of_it = (here || before)
            && m.is_noun()
            && !m.place
            && m.says == Some(Says::Renewed)
            && from < i
            && self.words_between(from, i) <= 4
            && !self.part_follows(i, 0)
            && !self.stranger(i)
            && !(from + 1..i).any(|j| self.items.acts(j, Act::When));
        if of_it {
            self.say_of(k, i, Says::Bad, false);
            // It was renewed once, and is broken now.
            let m = &mut self.mentions[k];
            (m.past, m.formerly) = (false, false);
        }
        of_it
    }
}
