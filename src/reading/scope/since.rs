//! What became since of a part that was renewed, bought or left alone, told in a
//! clause of its own behind it: it failed on a later day, it was never fitted.

use super::*;

/// Items that are looked back on, however long a sentence is.
const NEAR: usize = 12;

impl Walk<'_> {
    /// Whether a time stands right behind this item: `failed in 2021`, `quit in May`,
    /// `dead by 2022`, `failed 3/24`.
    pub(super) fn time_behind(&self, i: usize) -> bool {
        let Item { last, .. } = self.items.list[i];
        let leads = |t: u32| {
            let classes = [
                WordClass::In,
                WordClass::At,
                WordClass::By,
                WordClass::After,
                WordClass::On,
            ];
            self.items.token_is(t, &classes)
        };
        let time = |j: usize| {
            self.items.kind(j) == ItemKind::Number
                || self.items.acts(j, Act::Dates)
                || self.is_month_and_year(j)
        };
        time(i + 1)
            || last > self.items.list[i].first && leads(last)
            || leads(last + 1)
            || self.items.is_a(i + 1, WordClass::Last)
    }

    /// `replaced in 2019, failed in 2021`, `new in 2021, dead by 2022`: whether a
    /// clause of its own tells when what was renewed broke.
    pub(super) fn failed_since(&self, i: usize) -> bool {
        let Some(m) = self.mentions.last().filter(|m| m.sentence == self.sentence) else {
            return false;
        };
        let Some(cue) = m.cue.filter(|c| *c > m.item && *c < i) else {
            return false;
        };
        let leads = |j: usize| {
            let small = [Act::Modifier, Act::Copula, Act::Pronoun, Act::Was];
            self.items.acts_any(j, &small) || self.items.is_a(j, WordClass::Which)
        };
        let least = i.saturating_sub(NEAR).max(cue + 1);
        let first = (least..i)
            .rev()
            .take_while(|j| leads(*j))
            .last()
            .unwrap_or(i);
        let before = first.checked_sub(1).filter(|j| *j > cue);
        let parted = before.is_some_and(|j| {
            self.items.kind(j) == ItemKind::Sign(b',') || self.items.acts(j, Act::And)
        });
        // `done at 180, due at 280` tells of the next time.
        let due = self.asks_for_work(i);
        m.says == Some(Says::Renewed) && parted && !due && self.time_behind(i)
    }

    /// `Had the alternator replaced in May, that one quit as well`: whether what is told
    /// is told of the new one.
    pub(super) fn that_one(&self, i: usize) -> bool {
        let one = |p: usize| {
            let Item { first, last, .. } = self.items.list[p];
            let one = self.items.token_is(last, &[WordClass::One]);
            one && match last - first {
                1 => self.items.is_a(p, WordClass::That),
                2 => {
                    self.items.is_a(p, WordClass::The)
                        && self.items.token_is(first + 1, &[WordClass::New])
                }
                _ => false,
            }
        };
        let small = |j: usize| self.items.acts(j, Act::Copula) || self.items.acts(j, Act::Modifier);
        let p = self.pronoun_before(i);
        p.is_some_and(|p| one(p) && (p + 1..i).all(small))
    }

    /// `the pump I put in last year has had it`: whether this is what is said of a part
    /// that only a clause within told to be renewed.
    pub(super) fn told_of_relative(&self, i: usize, cue: Option<Cue>) -> bool {
        let Some(m) = self.mentions.last().filter(|m| m.sentence == self.sentence) else {
            return false;
        };
        let who = m.item + 1;
        // `i fitted last` is one cue.
        let within = m.cue.is_some_and(|c| c == who || c == who + 1)
            && self.items.is_a(who, WordClass::Person);
        let parts = |j: usize| {
            self.items.acts(j, Act::And)
                || self.items.acts(j, Act::Border)
                || matches!(self.items.kind(j), ItemKind::Sign(_))
        };
        let bad = |c: Cue| c.side == Side::Before && c.act == Act::State(Says::Bad);
        let verb = cue.is_some_and(bad) && self.neg.is_none() && !self.when;
        verb && within && i > who && i <= who + NEAR && !(who + 1..i).any(parts)
    }

    /// `maybe the pump I put in has had it`: whether a doubt stands right before a part.
    pub(super) fn doubted_before(&self, item: usize) -> bool {
        let before = self.before_modifiers(item).checked_sub(1);
        before.is_some_and(|j| self.items.acts(j, Act::Hedges))
    }

    /// `was going to change the clutch but there's nothing wrong with it`: whether what
    /// was wanted of a part is set aside by praise behind `but`.
    pub(super) fn wanted_no_more(&self, k: usize, i: usize) -> bool {
        let m = &self.mentions[k];
        let from = (m.item + 1).max(i.saturating_sub(NEAR));
        let turn = (from..i).any(|j| self.items.acts(j, Act::But));
        let praise = self.items.is_cue(i, Act::State(Says::Sound), Side::After);
        let wanted = praise && m.says == Some(Says::Bad) && m.cue.is_some_and(|c| c < m.item);
        turn && wanted && m.is_noun() && m.sentence == self.sentence
    }

    /// `I've replaced the radiator but not the alternator`: whether a denial leaves out
    /// of what was renewed the part behind it, of which it tells no more.
    pub(super) fn left_undone(&self, links: &std::ops::Range<usize>) -> bool {
        let is = |j: usize| self.items.cue(j).is_some_and(|c| c.act.is_copula());
        let parted = links.start.checked_sub(1).is_some_and(|j| {
            self.items.acts(j, Act::But) || self.items.kind(j) == ItemKind::Sign(b',')
        });
        let renewed = self.mentions.last().is_some_and(|p| {
            let ahead = p.cue.is_some_and(|c| c < p.item);
            p.sentence == self.sentence && p.says == Some(Says::Renewed) && ahead
        });
        parted && renewed && !links.clone().any(is)
    }

    /// `nothing has been done about the windshield, which cracked in May`: whether a
    /// clause within goes on about a part that a denial has taken.
    pub(super) fn goes_on_within(&self, i: usize) -> bool {
        let of_it = |m: &Mention| {
            let taken = m.consumed && m.says.is_none() && m.is_noun() && !m.place;
            taken && m.item + 2 == i && m.sentence == self.sentence
        };
        i > 0
            && self.items.is_a(i, WordClass::Which)
            && self.items.kind(i - 1) == ItemKind::Sign(b',')
            && self.mentions.last().is_some_and(of_it)
    }

    /// `records show the pump being replaced in March of 2020`: whether a year behind work
    /// that is told in its course says that it is over.
    pub(super) fn was_being_done(&self, i: usize) -> bool {
        const YEAR: usize = 8;
        let on = |j: &usize| !matches!(self.items.kind(*j), ItemKind::End(_) | ItemKind::Blank);
        let mut behind = (i + 1..i + YEAR).take_while(on);
        self.items.is_a(i, WordClass::Be) && behind.any(|j| self.full_year(j))
    }

    /// `Tires are great. Fitted in November.`: whether a sentence that names no part
    /// begins by telling that what the one before praised was renewed, and when. Says so.
    pub(super) fn fitted_since(&mut self, i: usize) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let praised = m.says == Some(Says::Sound) || m.is_open();
        let fits = praised && m.is_noun() && !m.is_equipment() && !m.place && !m.denied;
        let next = m.sentence > 0 && m.sentence + 1 == self.sentence && i == self.sentence_start;
        let dated = || self.time_behind(i) || self.month_begins(i + 1);
        let alone = || {
            let (_, end) = self.sentence_of(i);
            end <= i + NEAR && !(i + 1..end).any(|j| self.items.names(j))
        };
        let is = fits && next && dated() && alone();
        if is {
            self.say_of(k, i, Says::Renewed, false);
        }
        is
    }

    /// Whether the name of a month stands here: `November last year`.
    fn month_begins(&self, i: usize) -> bool {
        let month = |w: &str| {
            let found = self.items.scanner.find(&format!("in {w}"));
            found.is_some_and(|p| p.meaning.cue.is_some_and(|c| c.act == Act::Dates))
        };
        let item = self.items.list.get(i);
        item.is_some_and(|n| n.first == n.last) && month(self.items.word(i))
    }

    /// `needs a battery, it's been dead since June`: whether what seems to tell that the
    /// car does not start is said of a part told of right before.
    pub(super) fn dead_itself(&self, i: usize, named: &[Named]) -> bool {
        let start = |n: &Named| self.parts.code(n.part) == "no_start";
        let it = self.items.is_a(i, WordClass::It);
        let comma = i > 0 && self.items.kind(i - 1) == ItemKind::Sign(b',');
        let of_it = self.mentions.last().is_some_and(|m| {
            let bad = m.is_noun() && m.says == Some(Says::Bad) && !m.place;
            bad && m.sentence == self.sentence && m.item + 2 == i
        });
        it && comma && of_it && named.iter().all(start)
    }

    /// `I was going to change it but there is nothing wrong with it`: whether what was
    /// only planned for a part is over where this is said of it.
    pub(super) fn planned_before(&self, k: usize, i: usize) -> bool {
        let m = &self.mentions[k];
        let from = (m.item + 1).max(i.saturating_sub(NEAR));
        let turn = (from..i).any(|j| self.items.acts(j, Act::But));
        m.unreal && turn && k < self.clause && self.unreal.is_none()
    }
}
