//! What was renewed and is broken again, what was in order and is so no longer.

use super::effects::choose;
use super::*;

impl Walk<'_> {
    /// Whether what is said here is said again of the part named last, which
    /// was renewed: `rebuilt in April and dead again`.
    pub(super) fn again(&self, i: usize) -> bool {
        self.neg.is_none()
            && (self.says_again(i) || self.latest || self.still(i))
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
        let relative = self.told_of_relative(i, cue);
        if !self.breaks(cue, effects) && !relative {
            return false;
        }
        let already = i > 0 && self.items.is_a(i - 1, WordClass::Already);
        let again = self.says_again(i)
            || already
            || cue.is_some_and(|c| c.outlasts)
            || self.by_then(i)
            || self.failed_since(i)
            || self.that_one(i)
            || relative;
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
        let all = self.takes_all(i);
        // `They need changing.`
        let first = self.items.list[i].first;
        let itself = i == self.sentence_start && self.takes_up(first..first + 1);
        let before = m.sentence + 1 == self.sentence
            && (self.pronoun.is_some_and(|p| p < i) || all || itself);
        let from = m.cue.map_or(m.item, |c| c.max(m.item));
        let of_it = (here || before)
            && m.is_noun()
            && !m.place
            && m.says == Some(Says::Renewed)
            && from < i
            && self.words_between(from.max(self.sentence_start), i) <= 4
            && !self.part_follows(i, 0)
            && !self.stranger(i)
            && !(from + 1..i).any(|j| {
                // `replaced the left one, right side needs it`
                let others = [Act::When, Act::Side, Act::Others];
                others.iter().any(|act| self.items.acts(j, *act))
            });
        if !of_it {
            return false;
        }
        let sentence = self.mentions[k].sentence;
        for k in (0..=k).rev() {
            let m = &self.mentions[k];
            let one_of_all = m.sentence == sentence && m.is_noun() && m.says == Some(Says::Renewed);
            if !one_of_all {
                break;
            }
            let item = self.mentions[k].item;
            let doubted = self.mentions[k].hedged || self.doubted_before(item);
            self.say_of(k, i, Says::Bad, false);
            // It was renewed once, and is broken now.
            let m = &mut self.mentions[k];
            (m.past, m.formerly) = (false, false);
            m.hedged |= doubted;
            if !all {
                break;
            }
        }
        true
    }

    /// `rebuilt in June and by fall it was dead`: whether a time leads to what is said
    /// of it here.
    fn by_then(&self, i: usize) -> bool {
        let it = self.pronoun_before(i);
        let from = self.mentions.last().and_then(|m| m.cue);
        let (Some(it), Some(from)) = (it, from) else {
            return false;
        };
        let leads = |j: usize| self.items.is_any(j, &[WordClass::By, WordClass::Then]);
        self.items.is_a(it, WordClass::It) && (from + 1..it).any(leads)
    }

    /// `The transmission was rebuilt. It is slipping again.`: by a symptom that is its
    /// own what was renewed is bad again.
    pub(super) fn fails_anew(&mut self, i: usize) {
        let (Some(causes), [.., part, fault]) = (self.causes, &self.mentions[..]) else {
            return;
        };
        let [named] = fault.named[..] else { return };
        let there = fault.item == i
            && self.is_symptom(named.part)
            && self.final_state(fault, named) == Some(Says::Bad)
            && !(fault.past || fault.unreal || fault.consumed || self.when);
        let renewed = part.says == Some(Says::Renewed) && part.is_noun() && !part.place;
        let near = part.sentence == self.sentence || part.sentence + 1 == self.sentence;
        if !there || !renewed || !near || part.cue.is_none_or(|c| c > i) {
            return;
        }
        let own = |n: &Named| causes.shows(named.part, n.part);
        let of_it = self.same_before(i);
        let again = self.latest || self.says_again(i);
        let later = part.sentence < self.sentence && of_it;
        if part.named.iter().any(own) && (later || again) {
            let k = self.mentions.len() - 2;
            self.say_of(k, i, Says::Bad, false);
        }
    }

    /// `the pump I put in`: whether the verb has the part before it as its object.
    pub(super) fn relative(&mut self, i: usize) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let who = m.item + 1;
        let subject = who + 1 == i && self.items.is_a(who, WordClass::Person);
        // `the pump it needs on top of the lines I just had replaced`
        let told = m.says == Some(Says::Bad) && m.is_noun() && m.cue.is_some_and(|c| c < m.item);
        let done = self.items.acts(i + 1, Act::State(Says::Renewed));
        let own = m.is_open() || told && self.clause_closes(i + 1 + usize::from(done));
        let open = own && !m.is_equipment() && !m.place && m.sentence == self.sentence;
        let is = subject && open && self.neg.is_none() && !self.part_follows(i, 1);
        if is {
            self.clause = self.clause.min(k);
        }
        // What is told of it now counts more: `the pump I put in is bad`.
        if is && !self.items.cue(i + 1).is_some_and(|c| c.act.is_copula()) {
            // `maybe the pump I put in has had it`: the doubt is of that.
            let doubted = self.mentions[k].hedged;
            self.say_of(k, i, Says::Renewed, false);
            self.mentions[k].hedged = doubted;
        }
        is
    }

    /// `Alternator died in June. New one in.`: what was broken is no longer in it.
    pub(super) fn new_one_in(&mut self, i: usize) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let new = |j: usize| {
            self.items
                .is_cue(j, Act::State(Says::Renewed), Side::Either)
        };
        let one = |j: usize| self.items.is_any(j, &[WordClass::One, WordClass::Ones]);
        let m = &self.mentions[k];
        let near = m.sentence == self.sentence || m.sentence + 1 == self.sentence;
        let told = m.is_noun() && m.says == Some(Says::Bad) && !m.place && near;
        let fits = told && i >= 2 && self.items.is_any(i, &[WordClass::In, WordClass::On]);
        let is = fits && one(i - 1) && new(i - 2) && self.clause_closes(i + 1);
        if is {
            self.say_of(k, i, Says::Renewed, false);
        }
        is
    }

    /// Whether `again` or the like ends an item or stands right behind it.
    pub(super) fn says_again(&self, i: usize) -> bool {
        self.ends_with_again(i) || self.items.acts(i + 1, Act::Latest)
    }

    /// Whether the item's last word is such: `broken again`.
    fn ends_with_again(&self, i: usize) -> bool {
        let Item { last, .. } = self.items.list[i];
        self.items.cue_of(last, last).map(|c| c.act) == Some(Act::Latest)
    }

    /// Whether it is plainly said here that something is broken.
    fn breaks(&self, cue: Option<Cue>, effects: &[Effect]) -> bool {
        // `broken again`, said of any part
        let of_any =
            |e: &Effect| e.of == EffectOf::Any && matches!(e.claims[..], [(None, Says::Bad)]);
        let broken = effects.iter().any(of_any)
            || matches!(
                cue,
                Some(Cue {
                    act: Act::State(Says::Bad),
                    side: Side::Before | Side::Either,
                    ..
                })
            );
        broken && self.neg.is_none() && !self.when && self.hedge.is_none()
    }

    /// The part named last where something is told of it right before this, and
    /// no other is spoken of in between.
    fn told_before(&self, i: usize) -> Option<usize> {
        const NEAR: usize = 2;
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let from = m.cue.filter(|cue| *cue > m.item && *cue < i)?;
        let here = m.sentence == self.sentence;
        let next = m.sentence + 1 == self.sentence && self.begins_with_news(i);
        let turns = [Act::When, Act::Side, Act::Others, Act::Because, Act::Was];
        let apart = |j: usize| {
            let goes_on = self.items.is_any(j, &[WordClass::But, WordClass::Then]);
            turns.iter().any(|act| self.items.acts(j, *act))
                || self.items.acts(j, Act::Border) && !goes_on
        };
        let near = self.words_between(from, i) <= NEAR && !(from + 1..i).any(apart);
        (m.is_noun() && !m.place && !m.denied && near && (here || next)).then_some(k)
    }

    /// The same where it is told to be in order.
    fn in_order_before(&self, i: usize) -> Option<usize> {
        let told = self.told_before(i);
        told.filter(|k| self.mentions[*k].says == Some(Says::Sound))
    }

    /// `The alternator was fine when I listed it. Not any more.`: what the sentence
    /// before tells to be in order, with nothing named since.
    fn praised_before(&self, i: usize) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let praised = m.is_noun() && m.says == Some(Says::Sound) && !m.place && !m.denied;
        let last = self.answers_first(i) && self.ends_turn(i + 1);
        (praised && m.sentence + 1 == self.sentence && last).then_some(k)
    }

    /// `Needed a starter when I bought it. Not any more.`: it was fitted since. Says
    /// so.
    fn needed_once(&mut self, i: usize) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let once = m.cue.is_some_and(|c| self.items.is_a(c, WordClass::Needed)) || m.formerly;
        let bad = m.is_noun() && m.says == Some(Says::Bad) && !m.place && once;
        let last = self.answers_first(i) && self.ends_turn(i + 1);
        let before = m.sentence + 1 == self.sentence && last;
        if bad && before {
            self.say_of(k, i, Says::Renewed, false);
        }
        bad && before
    }

    /// The same where it was broken once, or others say so.
    fn broken_once(&self, i: usize) -> Option<usize> {
        let k = self.told_before(i)?;
        let m = &self.mentions[k];
        let was = (m.item..m.cue?).any(|j| self.items.acts(j, Act::Was));
        let bad = matches!(m.says, Some(Says::Bad | Says::Suspect));
        (bad && (was || m.past || m.heard)).then_some(k)
    }

    /// `was bad but it works`: whether praise is of what broke once. Says so.
    pub(super) fn mended_since(&mut self, i: usize, cue: Option<Cue>) -> bool {
        let Some(Cue {
            act: Act::State(Says::Sound),
            side,
            ..
        }) = cue
        else {
            return false;
        };
        // `was dead, good otherwise`
        let of_it = self.clause_closes(i + 1) && !self.items.is_a(i + 1, WordClass::Otherwise);
        let praise = side == Side::Before || side == Side::Either && of_it;
        let free = self.neg.is_none() && !self.when && !self.part_follows(i, 3);
        praise && free && !self.qualified(i) && !self.stranger(i) && self.works_after_all(i)
    }

    /// What broke once is in order now. Says so.
    pub(super) fn works_after_all(&mut self, i: usize) -> bool {
        let k = self.broken_once(i);
        if let Some(k) = k {
            self.say_of(k, i, Says::Sound, false);
            let m = &mut self.mentions[k];
            (m.past, m.hedged) = (false, false);
        }
        k.is_some()
    }

    /// `works, quit yesterday`, `was fine, now dead`: what was in order broke
    /// since. Says so.
    pub(super) fn gone_since(&mut self, i: usize, cue: Option<Cue>, effects: &[Effect]) -> bool {
        if !self.breaks(cue, effects) {
            return false;
        }
        let again = self.ends_with_again(i);
        if !again && !self.breaks(cue, &[]) {
            return false;
        }
        let Some(k) = self.in_order_before(i) else {
            return false;
        };
        let m = &self.mentions[k];
        let from = m.cue.unwrap_or(i);
        let between = |act| (from + 1..i).any(|j| self.items.acts(j, act));
        let now = again || between(Act::Latest) || self.items.acts(i + 1, Act::Latest);
        let pronoun = (from + 1..i).rfind(|j| self.items.acts(*j, Act::Pronoun));
        // `part it out`: no subject.
        let subject = pronoun.is_some_and(|j| !self.items.is_word(j - 1));
        // `works, broken aerial`; `works, worn in places`
        let before = cue.is_some_and(|c| c.side == Side::Before);
        let verb = before && self.clause_closes(i + 1);
        let comma =
            |j: usize| matches!(self.items.list[j].kind, ItemKind::Sign(b',' | b';' | b'-'));
        let apart = match m.sentence == self.sentence {
            true => (from + 1..i).any(|j| comma(j) || self.items.acts(j, Act::And)) || now,
            false => subject || now,
        };
        let gone = (now || verb)
            && apart
            && (subject || pronoun.is_none())
            && !self.begins_with_denial(i)
            && !self.items.acts(i + 1, Act::Past)
            && !self.part_follows(i, 0)
            && !self.stranger(i);
        if gone {
            self.say_of(k, i, Says::Bad, false);
        }
        gone
    }

    /// Whether only small words, or one that tells that the ad was changed, stand
    /// between the start of the sentence and this item.
    fn begins_with_news(&self, i: usize) -> bool {
        let first = self.sentence_start;
        // `Correction: it quit`
        let colon = self.items.list.get(first + 1).map(|n| n.kind) == Some(ItemKind::Sign(b':'));
        let news = |j: usize| j == first && colon || self.items.acts(j, Act::Latest);
        (first..i).all(|j| news(j) || self.is_small(j) || self.items.acts(j, Act::Border))
    }

    /// Whether nothing but a time stands here before the clause is over.
    pub(super) fn clause_closes(&self, at: usize) -> bool {
        let Some(item) = self.items.list.get(at) else {
            return true;
        };
        match item.kind {
            ItemKind::Number => false,
            _ if self.items.is_any(
                at,
                &[
                    WordClass::In,
                    WordClass::At,
                    WordClass::That,
                    WordClass::Last,
                    WordClass::Today,
                ],
            ) =>
            {
                true
            }
            ItemKind::Word => false,
            ItemKind::Phrase(_) => {
                let acts = [Act::Dates, Act::Latest, Act::When, Act::Border, Act::And];
                let news = self
                    .items
                    .phrase(at)
                    .is_some_and(|p| !p.meaning.signs.is_empty() && p.meaning.named.is_empty());
                news || self.items.acts_any(at, &acts)
            }
            _ => true,
        }
    }

    /// `works, no longer does so`: whether a denial of the same praise is of a
    /// change, and not `good, not perfect`.
    pub(super) fn praise_is_over(&self, i: usize) -> Option<usize> {
        let k = self.in_order_before(i)?;
        let from = self.mentions[k].cue?;
        let over =
            |j: usize| self.items.acts(j, Act::Latest) || self.items.has_any(j, &[WordClass::More]);
        ((from + 1..i).any(over) || self.items.acts(i + 1, Act::Latest)).then_some(k)
    }

    /// `worked last year, not any more`; `was dead, not any more`. Says so where
    /// a part was told to be in order, or broken once.
    pub(super) fn no_longer(&mut self, i: usize) -> bool {
        if !self.clause_closes(i + 1) {
            return false;
        }
        let k = self.in_order_before(i).or_else(|| self.praised_before(i));
        if let Some(k) = k {
            self.say_of(k, i, Says::Bad, false);
        }
        k.is_some() || self.works_after_all(i) || self.needed_once(i)
    }

    /// The part asked for before a no, behind which it is told why: `Is the pump
    /// original? No, replaced in 2020`.
    pub(super) fn no_longer_the_old(&self, i: usize) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let no = i
            .checked_sub(2)
            .filter(|no| self.denies(*no) && self.items.list[i - 1].kind == ItemKind::Sign(b','))?;
        (m.cue == Some(no) && m.sentence + 1 == self.sentence && m.is_noun()).then_some(k)
    }

    /// `needs no belt, that was done in May`: a pronoun and its verb in one.
    fn that_was(&self, j: usize) -> bool {
        let Item { first, last, .. } = self.items.list[j];
        let verb = self.items.cue_of(last, last).map(|c| c.act);
        first < last
            && self.items.acts(j, Act::Pronoun)
            && matches!(verb, Some(Act::Copula | Act::Was))
    }

    /// `old cluster died and was replaced`, `tires (replaced last year)`.
    pub(super) fn mended_later(&self, k: usize, i: usize) -> bool {
        let m = &self.mentions[k];
        let between = m.item + 1..i;
        // `quoted 900 for a clutch with warranty`: none is there yet.
        let asked = |c: usize| self.items.list[c].kind == ItemKind::Number;
        !m.cue.is_some_and(asked)
            && m.is_noun()
            && matches!(m.says, Some(Says::Bad | Says::Sound | Says::Suspect))
            && (m.past
                || between
                    .clone()
                    .any(|j| self.items.acts(j, Act::Copula) || self.that_was(j))
                || between
                    .clone()
                    .any(|j| self.items.list[j].kind == ItemKind::Sign(b'('))
                || self.items.acts(i, Act::Pronoun)
                || self.items.is_a(i, WordClass::Which))
            && !between
                .clone()
                .any(|j| self.items.is_cue(j, Act::State(Says::Bad), Side::After))
    }
}
