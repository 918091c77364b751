//! What is wanted: of a part named before or behind, of one that is not there
//! yet, of work on a part in words that name none.

use super::*;

/// Items that a part and its need may lie apart.
const FAR: usize = 8;

impl Walk<'_> {
    /// Whether this want closes its clause right behind a new part: `new shocks
    /// needed`.
    pub(super) fn wanted(&self, i: usize) -> bool {
        let closes = match self.items.list.get(i + 1).map(|n| n.kind) {
            None | Some(ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(_)) => true,
            Some(_) => self.items.acts(i + 1, Act::Place) || self.items.acts(i + 1, Act::And),
        };
        closes && self.renewed_right_before(i).is_some()
    }

    /// Whether `new` stands ahead of the part right before this.
    pub(super) fn new_right_before(&self, i: usize) -> bool {
        self.renewed_right_before(i)
            .is_some_and(|m| m.cue.is_some_and(|cue| cue < m.item))
    }

    /// `with a new clutch it would be perfect`, `with a good clutch it would`:
    /// what would be there is not.
    pub(super) fn wished(&mut self, i: usize) {
        // `I would`, `this would`, `it would`
        let subject = |j: usize| {
            self.items.acts(j, Act::Pronoun)
                || self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Border)
                || self.items.is_word(j)
        };
        let it = i > 0 && subject(i - 1);
        let at = i - usize::from(it);
        let right_before = |m: &&Mention| {
            m.item + 1 == at && m.is_noun() && m.sentence == self.sentence && m.cue < Some(m.item)
        };
        let told = matches!(
            self.mentions.last().filter(right_before).map(|m| m.says),
            Some(Some(Says::Renewed | Says::Sound))
        );
        let with = |item: usize| {
            let ahead = self.before_modifiers(item).checked_sub(1);
            ahead.is_some_and(|j| self.items.acts(j, Act::With))
        };
        let last = self.mentions.last();
        let would_be = it && told && last.is_some_and(|m| m.cue.is_some_and(with));
        // `with cold A/C it would`
        let sound = |n: &Named| n.naming == Naming::States(Says::Sound);
        let would_work = it
            && last.is_some_and(|m| {
                m.item + 1 == at
                    && m.sentence == self.sentence
                    && m.named.iter().all(sound)
                    && with(m.item)
            });
        if would_be {
            self.want_back(i);
        }
        if would_work && let Some(m) = self.mentions.last_mut() {
            m.formerly = true;
        }
    }

    /// `I would keep it if it didn't smoke`: what a sentence wishes away is there.
    pub(super) fn wished_away(&mut self, end: usize) {
        let supposed = |j: &usize| self.items.acts(*j, Act::Unreal);
        let supposed = (self.sentence_start..end).filter(supposed).count();
        if supposed < 2 {
            return;
        }
        for m in &mut self.mentions[self.sentence_mentions..] {
            if m.unreal && m.denied && m.says.is_none() && !m.is_noun() {
                m.unreal = false;
                m.denied = false;
                m.says = Some(Says::Bad);
            }
        }
    }

    /// `if it needed tires I would tell you`, `I would mention it if it leaked`:
    /// what is supposed beside such a word is not so.
    pub(super) fn would_be_told(&mut self, i: usize) {
        let supposed = |j: &usize| self.items.acts(*j, Act::Unreal);
        self.told_if = (self.sentence_start..i).rev().find(supposed);
        self.told_if_so(i);
        self.border(i);
    }

    /// Takes back what is supposed since it was said that it would be told.
    pub(super) fn told_if_so(&mut self, i: usize) {
        let Some(from) = self.told_if.take() else {
            return;
        };
        for k in (self.sentence_mentions..self.mentions.len()).rev() {
            let m = &mut self.mentions[k];
            if m.item < from {
                break;
            }
            let fault = m.says.map_or(!m.is_noun(), Says::is_fault);
            if !fault || m.denied || m.consumed {
                continue;
            }
            m.unreal = false;
            m.hedged = false;
            m.cue = Some(i);
            match m.is_noun() {
                true => m.says = Some(Says::Sound),
                false => m.denied = true,
            }
        }
        let sentence = self.sentence;
        for s in self.extra.iter_mut().rev() {
            if s.sentence < sentence || s.item < from {
                break;
            }
            if s.says.is_fault() {
                (s.says, s.denied, s.cue) = (Says::Sound, true, Some(i));
            }
        }
    }

    /// `if you sit in traffic too long it overheats`: whether what it does then
    /// begins here.
    pub(super) fn told_behind_if(&self, i: usize) -> bool {
        /// Items of the shortest condition: `if it sits overnight`.
        const CONDITION: usize = 3;
        let supposed = self.unreal.is_some_and(|u| {
            let other = self.items.acts(i - 1, Act::Border) || self.items.acts(i - 1, Act::Hedges);
            i - u > CONDITION && !other && self.items.is_a(u, WordClass::If)
        });
        let it = self.items.is_a(i, WordClass::It);
        supposed && it && !self.items.acts(i + 1, Act::Unreal)
    }

    pub(super) fn renewed_right_before(&self, i: usize) -> Option<&Mention> {
        let m = self.mentions.last()?;
        (self.mentions.len() > self.clause
            && m.is_noun()
            && m.says == Some(Says::Renewed)
            && m.sentence == self.sentence
            && (m.item + 1..i).all(|j| self.items.acts(j, Act::Copula)))
        .then_some(m)
    }

    /// What is wanted is not there yet, however new it is to be.
    pub(super) fn want_back(&mut self, i: usize) {
        for k in (self.clause..self.mentions.len()).rev() {
            let m = &mut self.mentions[k];
            let told = matches!(m.says, Some(Says::Renewed | Says::Sound));
            if !told || m.sentence != self.sentence {
                return;
            }
            // `has a new pump and muffler due`: the pump is in.
            let cue = m.cue.and_then(|cue| self.items.cue(cue));
            let alone = cue.is_some_and(|c| c.side == Side::After);
            m.says = Some(Says::Bad);
            m.cue = Some(i);
            if alone || !m.linked {
                return;
            }
        }
    }

    /// Whether a want stands right behind its part and its clause is over:
    /// `tires due and ...`.
    pub(super) fn wants_before(&self, i: usize) -> bool {
        self.is_bare(i)
            && self.mentions.last().is_some_and(|m| {
                m.is_open()
                    && !m.is_equipment()
                    && m.sentence == self.sentence
                    && self.mentions.len() > self.clause
                    && (m.item + 1..i).all(|j| {
                        self.items.acts(j, Act::Copula) || self.items.acts(j, Act::Modifier)
                    })
            })
    }

    /// `the carb needs a good clean-out`: what a part needs is no part, so the
    /// part itself wants work.
    pub(super) fn settle_need(&mut self, at: usize) {
        // `the tires are not due`, `brakes don't need anything`
        let denied = self.gov.is_some_and(|g| {
            let open = |j: usize| {
                let small = [Act::Latest, Act::Modifier];
                self.items.is_word(j)
                    || self.items.is_a(j, WordClass::At)
                    || self.items.acts_any(j, &small)
            };
            g.negated && (g.item + 1..at).all(open)
        });
        let needs = |g: &Governor| {
            self.needs_alone(Governor {
                negated: false,
                ..*g
            })
        };
        let Some(gov) = self.gov.filter(|g| needs(g) && g.negated == denied) else {
            return;
        };
        let small = |j: usize| {
            self.items.acts(j, Act::Copula)
                || self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Latest)
                || self.items.acts(j, Act::Hedges)
                || denied && self.denies(j)
        };
        let wants = denied || at > gov.item + 1 && self.items.is_word(gov.item + 1);
        if let Some(k) = self.open_subject(gov.item, small)
            && gov.item - self.mentions[k].item <= FAR
            && wants
        {
            self.say_of(k, gov.item, Says::Bad, denied);
        }
    }

    /// The part before this item in its clause of which nothing is told yet,
    /// where only such items stand between.
    pub(super) fn open_subject(&self, i: usize, small: impl Fn(usize) -> bool) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let open = m.is_open() && !m.is_equipment() && !m.place && m.item < i;
        let here = m.sentence == self.sentence && self.mentions.len() > self.clause;
        (open && here && (m.item + 1..i).all(small)).then_some(k)
    }

    /// Whether a need was told and nothing named yet that is needed.
    pub(super) fn needs_alone(&self, gov: Governor) -> bool {
        gov.verb
            && gov.says == Says::Bad
            && !gov.negated
            && gov.count == 0
            && gov.sentence == self.sentence
            && matches!(
                self.items.cue(gov.item),
                Some(Cue {
                    side: Side::After,
                    ..
                })
            )
    }

    /// `needs a new automatic`: what is needed is the thing, not its kind.
    pub(super) fn needed_itself(&self, i: usize) -> bool {
        let small = |j: usize| {
            self.items.acts(j, Act::Modifier) || self.items.acts(j, Act::State(Says::Renewed))
        };
        self.gov.is_some_and(|g| {
            g.verb && g.says == Says::Bad && g.count == 0 && (g.item + 1..i).all(small)
        })
    }

    /// Whether work is told of that is over and done: `just replaced`,
    /// `replaced last year`, `replaced at 120k`.
    pub(super) fn is_over(&self, i: usize) -> bool {
        let item = self.items.list[i];
        let dates = |c: Cue| matches!(c.act, Act::Lately | Act::Dates);
        let mut within = self.items.within(item);
        let figure = |j: usize| self.items.list.get(j).map(|n| n.kind) == Some(ItemKind::Number);
        // `replaced last year` may be cut behind `last`.
        let tokens = self.items.tokens.list.len() as u32;
        let mut across = (item.last + 1..tokens.min(item.last + 3))
            .filter_map(|to| self.items.cue_of(item.last, to));
        within.any(|p| p.meaning.cue.is_some_and(dates))
            || across.any(dates)
            || self.items.acts(i + 1, Act::Dates)
            || self.items.acts(i + 1, Act::Place) && figure(i + 2)
            || figure(i + 1)
    }

    /// Whether a want stands before a fault, so that what is done to it is yet to
    /// be done: `needs the leak fixed`.
    pub(super) fn wants_done(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        let want = |c: usize| self.items.is_cue(c, Act::State(Says::Bad), Side::After);
        !m.is_noun() && m.cue.is_some_and(|c| c < m.item && want(c))
    }

    /// `will not pass until it's fixed`: the work on what was named is still to be
    /// done.
    pub(super) fn until_done(&self, i: usize) -> bool {
        let now = |j: usize| {
            self.items.is_any(
                j,
                &[
                    WordClass::Is,
                    WordClass::Its,
                    WordClass::Are,
                    WordClass::Get,
                ],
            )
        };
        let small = |j: &usize| now(*j) || self.items.acts(*j, Act::Pronoun);
        let until = |j: usize| self.items.is_a(j, WordClass::Until);
        let first = (0..i).rev().take_while(small).last();
        first.is_some_and(|first| first > 0 && until(first - 1) && (first..i).any(now))
    }

    /// `it is broke, you'd need that done`: what is done is all that is needed.
    pub(super) fn needs_it_done(&self, i: usize) -> bool {
        let small = |j: usize| {
            self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Pronoun)
                || self.items.acts(j, Act::Copula)
        };
        self.gov.is_some_and(|g| {
            self.needs_alone(g)
                && g.item < i
                && i - g.item <= 3
                && self.asks_for_work(g.item)
                && (g.item + 1..i).all(small)
        })
    }

    /// `could use a functioning heater`, `needs tires and a working radio`: whether
    /// praise behind an article only tells what kind of part is needed.
    pub(super) fn needed_so(&self, i: usize) -> bool {
        let Some(gov) = self.gov.filter(|g| self.asks_for_work(g.item)) else {
            return false;
        };
        let needs = gov.verb && gov.says == Says::Bad && !gov.negated && !gov.trailing;
        let last = self.items.list[gov.item].last as usize;
        let article = |j: usize| self.items.is_a(j, WordClass::Indefinite);
        if gov.count == 0 {
            let next = gov.item + 1 == i && self.items.tokens.is_a(last, WordClass::Indefinite);
            return needs && (next || gov.item + 2 == i && article(i - 1));
        }
        let Some(before) = i.checked_sub(2).filter(|_| article(i - 1)) else {
            return false;
        };
        let and = before - usize::from(self.items.acts(before, Act::With));
        needs && gov.sentence == self.sentence && self.items.acts(and, Act::And)
    }

    /// `needs starter work`, `needs dash and seat work`: the noun, which says
    /// nothing of the part.
    pub(super) fn needs_work_on(&self, gov: Governor, part: usize) -> bool {
        let joint = self.before_modifiers(part).wrapping_sub(1);
        let of_it = gov.count == 0 || self.items.acts(joint, Act::And);
        gov.verb && gov.says == Says::Bad && of_it && self.is_word_work(part + 1)
    }

    /// Whether this is the work that the part before it was said to need.
    pub(super) fn is_work_needed(&self, i: usize) -> bool {
        let needed = |m: &Mention| {
            let gov = self.gov.filter(|g| g.verb && g.says == Says::Bad);
            m.item + 1 == i && gov.is_some_and(|g| m.cue == Some(g.item))
        };
        self.is_word_work(i) && self.mentions.last().is_some_and(needed)
    }

    fn is_word_work(&self, i: usize) -> bool {
        let item = self.items.list.get(i);
        item.is_some_and(|n| n.first == n.last) && self.items.is_a(i, WordClass::Work)
    }

    /// `must be renewed`, `should soon be done`: work that was not done.
    pub(super) fn is_to_come(&self, i: usize) -> bool {
        let first = self.items.list[i].first;
        let own = self.items.cue_of(first, first).map(|c| c.act);
        let before = self.before_modifiers(i).checked_sub(1);
        let to_come = before.is_some_and(|j| self.items.acts(j, Act::ToCome));
        self.neg.is_none() && (to_come || own == Some(Act::ToCome))
    }

    /// `new clutch to fix a clunk`: whether what is named is what the work was for.
    pub(super) fn aim(&self, i: usize) -> bool {
        let Some(before) = self.items.list[i].first.checked_sub(1) else {
            return false;
        };
        (before.saturating_sub(2)..before)
            .any(|t| self.to_mend(t).is_some_and(|last| last >= before - 1))
    }

    /// Whether a participle behind this part, or behind the list that begins with
    /// it, tells when the work was done: `brakes and rotors just done`, `struts
    /// replaced last year`, `clutch done 10k ago`.
    pub(super) fn done_at_a_time(&self, part: usize) -> bool {
        let listed = |j: &usize| {
            self.items.joins(*j) || self.items.acts(*j, Act::Modifier) || self.items.names_part(*j)
        };
        let j = part + 1 + (part + 1..self.items.list.len()).take_while(listed).count();
        let Some(Item { first, last, .. }) = self.items.list.get(j).copied() else {
            return false;
        };
        if !self.items.acts(j, Act::State(Says::Renewed)) {
            return false;
        }
        let lately = first < last
            && self
                .items
                .cue_of(first, first)
                .is_some_and(|c| matches!(c.act, Act::Modifier | Act::Border | Act::Latest))
            || self
                .items
                .is_any(j - 1, &[WordClass::Just, WordClass::Already]);
        let number = |j: usize| self.items.list.get(j).map(|n| n.kind) == Some(ItemKind::Number);
        let dates = |first, last| self.items.cue_of(first, last).map(|c| c.act) == Some(Act::Dates);
        lately
            || number(j + 1)
            || self.items.acts(j + 1, Act::Dates)
            || self.items.acts(j + 1, Act::Place) && number(j + 2)
            || first < last && (dates(first + 1, last) || dates(first + 1, last + 1))
    }

    /// Whether a name tells of work that is done as a rule, not of work to be
    /// done as `oil changed` does: something stands behind the participle.
    pub(super) fn kept_up(&self, m: &Mention) -> bool {
        let Item { last, .. } = self.items.list[m.item];
        let done = |n: &Named| n.naming == Naming::States(Says::Renewed);
        let participle = self.items.cue_of(last, last).map(|c| c.act);
        m.named.iter().all(done) && participle != Some(Act::State(Says::Renewed))
    }
}
