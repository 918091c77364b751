//! When a part was renewed: dates and distances behind it.

use super::figures::sign_or_end;
use super::*;

impl Walk<'_> {
    /// Whether a month and this year of it stand right behind a sign.
    pub(super) fn begins_with_month(&self, i: usize) -> bool {
        let before = i.checked_sub(2);
        let entry = |j: usize| match self.items.kind(j) {
            ItemKind::Sign(b'"' | b'-' | b'*') | ItemKind::End(_) => true,
            // Of a list that tells of work.
            ItemKind::Sign(b';') => {
                let last = self.mentions.last();
                last.is_some_and(|m| m.says == Some(Says::Renewed))
            }
            _ => false,
        };
        before.is_some_and(entry) && self.is_month_of(i - 1) && !self.behind_trouble()
    }

    /// Whether a month stands here with a year behind it: `Mar 02`, `May 2019`.
    pub(super) fn is_month_of(&self, i: usize) -> bool {
        let Some(Item { first, last, .. }) = self.items.list.get(i).copied() else {
            return false;
        };
        let year = matches!(self.items.word(i + 1).len(), 2 | 4)
            && self.items.kind(i + 1) == ItemKind::Number;
        year && first == last && {
            let in_it = self
                .items
                .scanner
                .find(&format!("in {}", self.items.word(i)));
            in_it.is_some_and(|p| p.meaning.cue.is_some_and(|c| c.act == Act::Dates))
        }
    }

    /// Whether the figure here tells when the part at `part` was renewed: right
    /// behind it, at most a word of place between.
    pub(super) fn dates(&self, part: usize, i: usize) -> bool {
        let small = |j: usize| {
            self.items.acts(j, Act::Place)
                || self.items.acts(j, Act::Copula)
                || self.items.acts(j, Act::Modifier)
        };
        let near = i > part && i <= part + 3 && (part + 1..i).all(small);
        let Some(value) = self.figure(i).filter(|_| near) else {
            return false;
        };
        let word = self.items.word(i);
        if word.ends_with('k') && value <= 60.0 && self.on_itself(i + 1) {
            return true;
        }
        if (part + 1..i).any(|j| self.items.acts(j, Act::Copula)) {
            return false;
        }
        let year = self.full_year(i);
        let thousands = word.ends_with('k') && (5.0..=400.0).contains(&value);
        (year || thousands) && sign_or_end(&self.items, i + 1)
    }

    /// A date or a distance right behind bare parts: then they were renewed.
    pub(super) fn dated(&mut self, i: usize) {
        self.dated_behind(i, false);
    }

    pub(super) fn dated_behind(&mut self, i: usize, comma: bool) {
        if self.is_original() {
            return;
        }
        let at = if comma && i > 0 && self.items.list[i - 1].kind == ItemKind::Sign(b',') {
            i - 1
        } else {
            i
        };
        if self
            .named_right_before(at)
            .is_some_and(|k| self.mentions[k].is_open())
        {
            for k in self.subjects(i) {
                if !self.mentions[k].is_equipment() {
                    self.say_of(k, i, Says::Renewed, false);
                }
            }
        } else if let Some(k) = self
            .named_right_before(at)
            .filter(|k| self.praised_in_a_list(*k))
        {
            // `Good: timing belt in 2019`, `Good: belt and pump 12k ago`
            for k in self.joined_by_and(k) {
                self.say_of(k, i, Says::Renewed, false);
            }
        } else if self.told_from_then(i) {
            self.renew_back(i);
        }
    }

    /// Whether this date closes `it is from`, `those are from`.
    fn told_from_then(&self, i: usize) -> bool {
        let Some(verb) = i
            .checked_sub(2)
            .filter(|_| self.items.is_a(i - 1, WordClass::From))
        else {
            return false;
        };
        let these = verb.checked_sub(1).is_some_and(|j| {
            self.items.acts(j, Act::Pronoun)
                || self
                    .items
                    .is_any(j, &[WordClass::Those, WordClass::They, WordClass::Both])
        });
        // `the battery is from 2021`
        let named = self
            .mentions
            .last()
            .is_some_and(|m| m.is_open() && m.item + 1 == verb && m.sentence == self.sentence);
        self.items.acts(verb, Act::Pronoun)
            || self.items.acts(verb, Act::Copula) && (these || named)
    }

    /// What a pronoun stands for is of the date told, and the list before it:
    /// `needs no belt or pump, those are from last year`.
    fn renew_back(&mut self, i: usize) {
        let mut k = self.mentions.len();
        while let Some(last) = k.checked_sub(1) {
            let m = &self.mentions[last];
            let open = match m.says {
                Some(Says::Spare | Says::Suspect) => false,
                // `it is worn. It is from 1996`
                Some(Says::Bad) => m.cue < Some(m.item),
                _ => true,
            };
            let fits = open && m.is_noun() && !m.place && !m.is_equipment();
            let fits = fits && self.sentence - m.sentence <= 1;
            if !fits {
                return;
            }
            let linked = m.linked;
            // `needs no belt`
            self.mentions[last].lacks = false;
            self.say_of(last, i, Says::Renewed, false);
            if !linked {
                return;
            }
            k = last;
        }
    }

    /// A part with those before it that `and` joins to it, all praised by what heads
    /// their list.
    pub(super) fn joined_by_and(&self, last: usize) -> std::ops::RangeInclusive<usize> {
        let joins = |k: &usize| {
            let m = &self.mentions[*k];
            let joint = self.before_modifiers(m.item).wrapping_sub(1);
            m.linked && self.items.acts(joint, Act::And) && self.praised_in_a_list(*k - 1)
        };
        let before = (1..=last).rev().take_while(joins).count();
        last - before..=last
    }

    /// Whether a part was praised by what heads its list, not by a word of its
    /// own: `good motor, 156k` tells no date.
    fn praised_in_a_list(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        m.is_noun()
            && m.says == Some(Says::Sound)
            && m.cue.is_some_and(|c| c + 1 < self.before_modifiers(m.item))
    }
}
