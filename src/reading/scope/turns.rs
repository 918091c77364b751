//! Stories with several turns: a symptom that is told of again, there or over.

use super::*;

/// Sentences that a symptom and the news of it may lie apart: `There was a knock.
/// I changed the pump. It came back.`
pub(super) const STORY: u32 = 2;

/// A symptom that was told.
#[derive(Clone, Copy)]
pub(super) struct Told {
    pub(super) part: PartId,
    pub(super) item: usize,
    /// As it stands by now.
    pub(super) says: Option<Says>,
    /// By its own words it is not there: `no smoke`.
    denied: bool,
}

impl Walk<'_> {
    /// The symptom told last before this item, no more than a story ago.
    pub(super) fn symptom_told(&self, i: usize) -> Option<Told> {
        let near = |sentence: u32| sentence + STORY >= self.sentence;
        let mentions = self.mentions.iter().rev().take_while(|m| near(m.sentence));
        let named = mentions
            .filter(|m| m.item < i && !m.is_noun())
            .filter_map(|m| {
                let mut plain = m.clone();
                plain.hedged = false;
                let named = *m.named.iter().find(|n| self.is_symptom(n.part))?;
                Some(Told {
                    part: named.part,
                    item: m.item,
                    says: self.final_state(&plain, named),
                    denied: m.denied && m.cue.is_some_and(|c| self.items.acts(c, Act::Lacks))
                        || self.words(m.item).starts_with("no "),
                })
            })
            .next();
        let extra = self.extra.iter().rev().take_while(|s| near(s.sentence));
        let said = extra
            .filter(|s| s.item < i && self.is_symptom(s.part))
            .map(|s| Told {
                part: s.part,
                item: s.cue.map_or(s.item, |c| c.max(s.item)),
                says: Some(s.says),
                denied: false,
            })
            .next();
        // What was said of it counts more than its name.
        match (named, said) {
            (Some(a), Some(b)) if a.item > b.item => Some(a),
            (a, b) => b.or(a),
        }
    }

    /// Whether all that was named since a symptom was told are parts that were
    /// renewed or thought of, one renewed at least.
    pub(super) fn only_tried_since(&self, told: Told, i: usize) -> bool {
        let since = self.mentions.iter().rev();
        let mut since = since
            .take_while(|m| m.item > told.item)
            .filter(|m| m.item < i);
        let tried =
            |m: &Mention| m.is_noun() && (m.hedged || m.consumed || m.says == Some(Says::Renewed));
        let renewed = since.clone().any(|m| m.says == Some(Says::Renewed));
        renewed && since.all(tried)
    }

    pub(super) fn tell_again(&mut self, told: Told, i: usize, says: Says) {
        let first = self.items.list[told.item].first;
        let last = self.items.list[i].last;
        self.extra.push(Saying {
            part: told.part,
            says,
            tokens: (first, last),
            item: told.item,
            cue: Some(i),
            sentence: self.sentence,
            past: false,
            latest: true,
            denied: false,
            qualifiers: Vec::new(),
            done: None,
            rule: Rule {
                name: self.wording(told.item),
                cue: self.wording(i),
                denied: false,
                hedged: false,
                leans: false,
            },
        });
        self.note(|w| {
            let (news, of) = (w.words(i), w.words(told.item));
            format!("'{news}' says of '{of}': {}", says.word())
        });
    }

    /// `it came back`, `but it's back`, `still there`: the symptom told last is
    /// there, whatever was done about it. Says so.
    pub(super) fn returns(&mut self, i: usize) -> bool {
        // `is back on the road`
        let goes_on = self.items.acts(i + 1, Act::Place) || !self.clause_closes(i + 1);
        let on = self.words(i).ends_with("back") && goes_on;
        if on {
            return true;
        }
        let told = self.symptom_told(i).filter(|t| !t.denied);
        if let Some(told) = told {
            self.tell_again(told, i, Says::Bad);
        }
        told.is_some()
    }

    /// `too early to tell`: the symptom told last may be there.
    pub(super) fn unsettles(&mut self, i: usize) {
        let Some(told) = self.symptom_told(i) else {
            return;
        };
        for m in self.mentions.iter_mut().rev() {
            if m.item == told.item {
                (m.says, m.denied, m.hedged) = (None, false, true);
                (m.past, m.formerly, m.consumed) = (false, false, false);
            }
        }
        let near = self.sentence.saturating_sub(STORY);
        for s in self
            .extra
            .iter_mut()
            .rev()
            .take_while(|s| s.sentence >= near)
        {
            if s.part == told.part {
                (s.says, s.denied, s.past) = (Says::Suspect, false, false);
            }
        }
    }

    /// `I have never had it`: what was told of right before was others' word.
    pub(super) fn refutes(&mut self, i: usize) {
        let denied = self.neg.is_some();
        if denied && self.clause_closes(i + 1) {
            // `better but not cured`
            self.neg = None;
            self.returns(i);
        } else if self.clause_closes(i + 1) {
            self.cures(i);
        } else {
            // `never had it painted`
            self.neg = Some((i, Act::Negates));
            self.neg_words = 0;
            self.pronoun = Some(i);
        }
    }

    /// `New pump because it overheated. No more.`: an answer that ends the story.
    pub(super) fn no_more(&mut self, i: usize) -> bool {
        let ends = self.words(i).ends_with(" more");
        let is = ends && self.answers_first(i) && self.ends_turn(i + 1);
        let told = self
            .symptom_told(i)
            .filter(|t| is && !self.holds_not(t.item) && t.says.is_some_and(Says::is_fault));
        if let Some(told) = told {
            self.tell_again(told, i, Says::Sound);
        }
        told.is_some()
    }

    /// `replaced the arm, but the clunk is still there`, `new thermostat but it still
    /// leaks coolant`: whether the fault has outlasted the part renewed, of which it
    /// is not said then.
    pub(super) fn tells_its_own(&self, i: usize) -> bool {
        let news = [Act::Returns, Act::Cures];
        let behind = news.iter().any(|act| self.items.acts(i + 1, *act));
        self.mentions.last().is_some_and(|m| {
            let between = |act| (m.item + 1..i).any(|j| self.items.acts(j, act));
            // `new radiator, still leaks` is told of the radiator.
            let still = || between(Act::Still) && (between(Act::Pronoun) || between(Act::Copula));
            let it = self
                .pronoun
                .is_some_and(|p| p < i && p >= self.sentence_start);
            let later = it && m.sentence + 1 == self.sentence && self.part_ahead(i).is_none();
            m.says == Some(Says::Renewed)
                && (behind || later || m.sentence == self.sentence && still())
        })
    }

    /// `it was overheating, I had that fixed`, `it stalled, a new pump fixed that`:
    /// what was told last is a symptom, with no part but the one that ended it. Says
    /// so.
    pub(super) fn put_right(&mut self, i: usize) -> bool {
        // Not `I bought it new`.
        let done = self.items.cue(i).is_some_and(|c| c.side == Side::Before);
        let told = self.symptom_told(i).filter(|_| done);
        let Some(told) = told.filter(|t| t.says.is_some_and(Says::is_fault)) else {
            return false;
        };
        let parts = self.mentions.iter().rev();
        let mut parts = parts.take_while(|m| m.item > told.item && m.is_noun());
        let (start, end) = self.sentence_of(told.item);
        let near = end >= self.sentence_start.saturating_sub(1);
        // `the bearing was howling, replaced it`
        let of_part = |m: &Mention| m.is_noun() && (start..told.item).contains(&m.item);
        let is = near
            && parts.all(|m| m.says == Some(Says::Renewed) && m.item + 1 == i)
            && !self.mentions.iter().any(of_part)
            && !self.extra.iter().any(|s| {
                let (item, _) = self.sentence_of(s.item);
                item == start && !self.is_symptom(s.part)
            });
        if is {
            self.tell_again(told, i, Says::Sound);
        }
        is
    }

    /// Whether words of mending have what was told before as their object: `fixed
    /// that`.
    pub(super) fn of_that(&self, i: usize) -> bool {
        let that = |word: &str| matches!(word, "that" | "it" | "this");
        self.words(i).split(' ').any(that) && !self.holds_not(i)
    }

    /// `a new pump fixed that`: what was told before is over.
    pub(super) fn fixed_that(&mut self, k: usize, i: usize) {
        let m = &self.mentions[k];
        let verb = self.of_that(i) && m.item + 1 == i && m.sentence == self.sentence;
        let told = self
            .symptom_told(m.item)
            .filter(|t| verb && t.says.is_some_and(Says::is_fault));
        if let Some(told) = told {
            self.tell_again(told, i, Says::Sound);
        }
    }
}
