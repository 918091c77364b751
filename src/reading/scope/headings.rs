//! What stands before a colon, or on a line of its own, and governs what
//! follows it.

use super::*;
use crate::reading::years::first_is_quoted;
use crate::reading::years::is_year;

/// Items behind a part among which a heading may begin.
const NEAR: usize = 12;

impl Walk<'_> {
    /// `2013:`, `88,000:`, `May 2019:` head a history of work; `failed on:`,
    /// `rust:` head the parts that a fault is told of. Tells whether one of
    /// them was there.
    pub(super) fn named_heading(&mut self, colon: usize) -> bool {
        if self.dated_heading(colon) {
            return true;
        }
        if !self.fault_heads(colon) {
            return self.priced(colon);
        }
        self.heads_parts(colon, Says::Bad);
        if self.part_listed(colon + 1) {
            self.section = self.gov;
        }
        true
    }

    /// Takes a date, and nothing else, for the head of what was done then.
    pub(super) fn dated_heading(&mut self, sign: usize) -> bool {
        let dated = self.clause_is_date(sign);
        if dated {
            self.heads_parts(sign, Says::Renewed);
        }
        dated
    }

    /// `6/91 78,040 front pads`: a line of a ledger, its date not parted from
    /// what was done then.
    pub(super) fn ledger_line(&mut self, part: usize) {
        let first = self.before_modifiers(part);
        let begins = matches!(
            self.items.list[self.sentence_start.saturating_sub(1)].kind,
            ItemKind::End(b'\n') | ItemKind::Blank
        ) || self.items.acts(self.sentence_start, Act::Place)
            // `Mar 02 water pump. Aug 05 muffler.`
            || self.is_month_of(self.sentence_start) && !self.behind_trouble()
            // `2018 water pump. 2020 muffler.`
            || self.names_of_a_year();
        let begins = begins
            && self.sentence > 0
            && self.gov.is_none()
            && self.mentions.len() == self.sentence_mentions;
        // `140k on the odometer`: where, not what.
        let parted = first > self.sentence_start && !self.items.acts(first - 1, Act::Place);
        if begins && parted && self.clause_is_date(first) {
            self.heads_parts(first - 1, Says::Renewed);
        }
    }

    /// Whether a sentence is a year and names of parts.
    fn names_of_a_year(&self) -> bool {
        let start = self.sentence_start;
        let year = self.items.kind(start) == ItemKind::Number && self.items.word(start).len() == 4;
        year && self.is_date(start) && self.bare_names(start + 1, self.items.list.len())
    }

    /// `August 2025: a cart met the door`, `March: the steering began to feel loose`:
    /// whether a sentence about a part, and no list of work, stands behind a date.
    pub(super) fn tells_of_a_day(&self, gov: Governor, part: usize) -> bool {
        let dated = gov.parts_only
            && gov.says == Says::Renewed
            && gov.count == 0
            && self.items.phrase(gov.item).is_none();
        let unknown = || self.words_between(gov.item, part) > 0;
        let subject = || self.items.is_a(part - 1, WordClass::The) && self.items.is_word(part + 1);
        dated && (unknown() || subject())
    }

    pub(super) fn heads_parts(&mut self, sign: usize, says: Says) {
        // `8/22: bad front brakes now` is news and no work that was done.
        let next = self.after_modifiers(sign + 1);
        if says == Says::Renewed && self.items.acts(next, Act::State(Says::Bad)) {
            return;
        }
        self.gov = Some(Governor {
            verb: true,
            parts_only: true,
            ..Governor::new(says, sign, self.sentence)
        });
    }

    /// Whether the sentence up to here is nothing but a date or a distance.
    fn clause_is_date(&self, colon: usize) -> bool {
        let start = self.heading_start(colon).unwrap_or(self.sentence_start);
        let range = start..colon;
        // First, so that a long sentence full of colons is not walked for each.
        if range.len() > 5 {
            return false;
        }
        let telling = range.clone().any(|j| match self.items.list[j].kind {
            ItemKind::Number => {
                let behind_month = j > start && self.is_month_of(j - 1);
                behind_month || self.is_date(j) || self.is_month(j, &range) || self.at_thousands(j)
            }
            ItemKind::Phrase(_) => self.items.acts(j, Act::Dates),
            _ => false,
        });
        telling
            && range.clone().all(|j| match self.items.list[j].kind {
                ItemKind::Number | ItemKind::Sign(b'-' | b'*' | b'/' | b',') => true,
                _ if self.is_month_of(j) => true,
                // `Since 2018:`
                ItemKind::Phrase(_) if j == start => {
                    self.items.acts(j, Act::Border)
                        || self.items.acts(j, Act::Dates)
                        || self.items.acts(j, Act::Place)
                        || self.items.acts(j, Act::Modifier)
                }
                // `137k, automatic, both sliders work`: an entry of its own.
                ItemKind::Phrase(_) => {
                    self.items.acts(j, Act::Dates)
                        || self.items.acts(j, Act::Place)
                        || self.items.acts(j, Act::Modifier)
                            && self.items.list[j - 1].kind != ItemKind::Sign(b',')
                }
                _ => false,
            })
    }

    /// `at 140`: thousands of miles.
    fn at_thousands(&self, i: usize) -> bool {
        let value = self.figure(i).filter(|v| (40.0..=400.0).contains(v));
        i > 0 && self.items.is_a(i - 1, WordClass::At) && value.is_some()
    }

    /// `6/91`, `10/12`: month and year of two figures.
    fn is_month(&self, i: usize, range: &std::ops::Range<usize>) -> bool {
        let two = |j: usize| self.figure(j).filter(|_| self.items.word(j).len() <= 2);
        i >= range.start + 2
            && self.items.list[i - 1].kind == ItemKind::Sign(b'/')
            && two(i).is_some()
            && two(i - 2).is_some_and(|month| (1.0..=12.0).contains(&month))
    }

    /// A year, or a distance that a car may show.
    fn is_date(&self, i: usize) -> bool {
        let Some(value) = self.figure(i) else {
            return false;
        };
        let word = self.items.word(i);
        // `'21: struts`
        let first = self.items.list[i].first as usize;
        let short = word.len() == 2 && first_is_quoted(self.items.tokens, first);
        short
            || is_year(value)
            || word.ends_with('k') && (5.0..=400.0).contains(&value)
            || (10_000.0..=500_000.0).contains(&value)
    }

    /// `failed inspection: ball joints, wipers`.
    fn fault_heads(&self, colon: usize) -> bool {
        self.fault_before().is_some_and(|m| {
            m.says.is_none_or(Says::is_fault)
                && colon - m.item <= 4
                && (self.part_ahead(colon).is_some() || self.part_listed(colon + 1))
        })
    }

    /// Whether a list on lines of its own begins here, with a part: `failed on:` and
    /// below it `- radiator`.
    fn part_listed(&self, at: usize) -> bool {
        matches!(self.items.kind(at), ItemKind::End(b'\n'))
            && self.bullet(at + 1)
            && self.part_ahead(at + 1).is_some()
    }

    /// Whether the words from here on head a list: a colon and a part are all that
    /// follows.
    pub(super) fn heads_ahead(&self, i: usize) -> bool {
        const LONGEST: usize = 6;
        let word = |j: &usize| {
            let kind = self.items.kind(*j);
            let plain = matches!(
                kind,
                ItemKind::Phrase(_) | ItemKind::Number | ItemKind::Sign(b',')
            );
            (plain || self.items.is_word(*j)) && !self.items.names(*j)
        };
        let words = (i + 1..i + LONGEST).take_while(word);
        let colon = i + 1 + words.count();
        self.items.kind(colon) == ItemKind::Sign(b':') && self.part_ahead(colon).is_some()
    }

    /// `Brake squeal: new pads, gone`, `Clunk: drop link, done`: a symptom that
    /// heads its cause and is told to be over. The cause was then renewed.
    pub(super) fn symptom_is_over(&mut self, i: usize, says: Says) -> bool {
        let from = self.sentence_mentions;
        let Some((symptom, causes)) = self.mentions.get(from..).and_then(<[_]>::split_first) else {
            return false;
        };
        let fault = symptom.named.iter().all(|n| self.is_symptom(n.part));
        let Some(cause) = causes.first().filter(|_| fault && causes.len() == 1) else {
            return false;
        };
        let colon = |j: usize| self.items.list[j].kind == ItemKind::Sign(b':');
        let heads = (symptom.item + 1..cause.item).any(colon);
        let part = cause.is_noun() && matches!(cause.says, Some(Says::Bad | Says::Renewed));
        let comma = i > 0 && self.items.kind(i - 1) == ItemKind::Sign(b',');
        // `new coil, quit` is a failure.
        let gone = cause.says == Some(Says::Renewed) && self.items.is_a(i, WordClass::Gone);
        let mended = says == Says::Renewed || gone;
        let over = heads && part && comma && mended && self.clause_closes(i + 1);
        if over {
            let [symptom, cause] = &mut self.mentions[from..] else {
                return false;
            };
            symptom.denied = true;
            cause.says = Some(Says::Renewed);
        }
        over
    }

    /// `Items replaced (all within a year) pump, belt`: a word of state with its time
    /// or reason in a bracket heads what stands behind it.
    pub(super) fn heads_behind_bracket(&mut self, close: usize) {
        let none = self.sentence_mentions == self.mentions.len() && self.part_follows(close, 0);
        let from = close.saturating_sub(NEAR).max(self.sentence_start);
        let open = (from..close)
            .rev()
            .find(|j| self.items.kind(*j) == ItemKind::Sign(b'('));
        let Some(before) = open.filter(|_| none).and_then(|open| open.checked_sub(1)) else {
            return;
        };
        let state = self.items.cue(before).and_then(|c| match c.act {
            Act::State(says) => Some(says),
            _ => None,
        });
        let says = state.or_else(|| self.heading(before));
        if let Some(says) = says.filter(|_| self.neg.is_none() && self.gov.is_none()) {
            self.verb(before, says);
        }
    }

    /// The fault that was named last in this clause, unless it is denied.
    fn fault_before(&self) -> Option<&Mention> {
        let m = self.mentions.last()?;
        (m.sentence == self.sentence
            && self.mentions.len() > self.clause
            && !m.denied
            && m.named.iter().all(|n| self.tells_fault(*n)))
        .then_some(m)
    }

    /// `failed MOT on` tells the fault by itself, and heads a list all the same.
    fn tells_fault(&self, named: Named) -> bool {
        named.naming == Naming::Fault || named.naming.is_fault() && self.is_symptom(named.part)
    }

    /// `vacuum hoses: $180`: a line of an account.
    fn priced(&mut self, colon: usize) -> bool {
        let amount = self.items.list.get(colon + 1).map(|i| i.kind) == Some(ItemKind::Sign(b'$'))
            && self.items.list.get(colon + 2).map(|i| i.kind) == Some(ItemKind::Number);
        if !amount {
            return false;
        }
        let subjects = self.subjects(colon);
        let found = !subjects.is_empty();
        for k in subjects {
            self.say_of(k, colon, Says::Renewed, false);
        }
        found
    }

    /// `squeaks over bumps (bushings)`: the part in brackets right behind a
    /// fault is its cause.
    pub(super) fn bracketed_cause(&self, i: usize) -> bool {
        let open = self.before_modifiers(i);
        if open == 0 || self.items.list[open - 1].kind != ItemKind::Sign(b'(') {
            return false;
        }
        let closes = self.items.list.get(i + 1).map(|n| n.kind) == Some(ItemKind::Sign(b')'));
        closes
            && self
                .fault_before()
                .is_some_and(|m| m.says.is_none() && self.words_between(m.item, open) <= 3)
    }

    /// Whether nothing but the cue and small words stands before the colon.
    pub(super) fn clause_is_heading(&self, colon: usize) -> bool {
        self.sentence_mentions == self.mentions.len() && colon - self.sentence_start <= 8
    }

    /// Where the words of a heading begin: with the sentence, or with a clause
    /// behind the part named last: `clutch slips; new parts: ...`.
    pub(super) fn heading_start(&self, colon: usize) -> Option<usize> {
        if self.sentence_mentions == self.mentions.len() {
            return Some(self.sentence_start);
        }
        let last = self.mentions.last()?.item;
        let first = last.max(self.mentions.last()?.cue.unwrap_or(last)) + 1;
        let starts = |j: &usize| {
            self.items.acts(*j, Act::Border)
                || self.items.acts(*j, Act::And)
                || matches!(self.items.list[*j].kind, ItemKind::Sign(b';' | b'-' | b','))
        };
        // However long the sentence is.
        (first..colon.min(first + NEAR)).find(starts).map(|j| j + 1)
    }

    /// `NEW:`, `Replaced:`, `Good:`, `Bad -`: a state word right before a
    /// colon, with no part before it in the sentence.
    pub(super) fn heading_cue(&self, colon: usize) -> Option<(usize, Says)> {
        let start = self.heading_start(colon)?;
        if colon - start > 9 {
            return None;
        }
        // `Works: engine. Doesn't: wipers`; `It does not have: leaks`
        let has = colon > start + 1 && self.items.acts(colon - 1, Act::Copula);
        let denial = colon.checked_sub(1 + usize::from(has))?;
        if colon > start && denial >= start && self.denies(denial) && denial <= start + 2 {
            return Some((denial, Says::Bad));
        }
        (start..colon).rev().find_map(|j| match self.items.cue(j) {
            // `what I remember, probably not all:`
            _ if self.heading(j) == Some(Says::Suspect) && self.after_modifiers(start) != j => None,
            _ if self.heading(j).is_some() => {
                let says = self.heading(j)?;
                Some((
                    j,
                    if self.denied_heading(start, j) {
                        says.denied()
                    } else {
                        says
                    },
                ))
            }
            // `works:` is a verb with its object left out, no heading.
            Some(Cue {
                act: Act::State(Says::Sound),
                side: Side::Before,
                ..
            }) => None,
            // `it is the top model: leather, sunroof`
            Some(Cue {
                side: Side::Next, ..
            }) => None,
            Some(Cue {
                act: Act::State(says),
                ..
            }) => {
                // `Not done:`
                let denied = self.denied_heading(start, j);
                Some((j, if denied { says.denied() } else { says }))
            }
            _ => None,
        })
    }

    /// `What's not wrong:`, `Things that didn't get fixed:`: whether a denial
    /// stands between the beginning of a heading, or of its last clause, and this.
    fn denied_heading(&self, start: usize, cue: usize) -> bool {
        let ends_denying = |j: usize| {
            let Item { first, last, .. } = self.items.list[j];
            // `ticked off` denies nothing that follows.
            let ahead = |from| {
                self.items
                    .cue_of(from, last)
                    .filter(|c| c.side != Side::Before)
            };
            let act = |from| ahead(from).map(|c| c.act);
            let denial = |from| matches!(act(from), Some(Act::Negates | Act::Lacks));
            (first..=last).any(denial)
        };
        let parts = |j: usize| {
            self.items.joins(j) || self.items.acts(j, Act::But) || self.items.acts(j, Act::Border)
        };
        let mut before = (start..cue).rev().take_while(|j| !parts(*j));
        // `not much wrong`
        let all = |j: usize| !self.items.is_any(j + 1, &[WordClass::Much, WordClass::All]);
        before.any(|j| (self.denies(j) || ends_denying(j)) && all(j))
    }

    /// `The bad: carpet, the good: clutch`: a heading behind the list of
    /// another.
    pub(super) fn next_heading(&self, colon: usize) -> Option<(usize, Says)> {
        let item = colon.checked_sub(1)?;
        let says = self.heading(item)?;
        let first = self.before_modifiers(item).checked_sub(1)?;
        matches!(self.items.list[first].kind, ItemKind::Sign(_)).then_some((item, says))
    }

    pub(super) fn heading(&self, i: usize) -> Option<Says> {
        self.items.phrase(i).and_then(|p| p.meaning.heading)
    }

    /// `What's new? Tires, battery.`: a heading that is a question.
    pub(super) fn asking_heading(&self, sign: u8, next: usize) -> Option<(usize, Says)> {
        let end = next.checked_sub(1).filter(|_| sign == b'?')?;
        let item = end.checked_sub(1)?;
        let says = self.heading(item)?;
        let first = self.before_modifiers(item);
        (first == self.sentence_start).then_some((item, says))
    }

    /// A heading inside a sentence: `to pass it needs a clutch`, or the entry of
    /// a form: `Water pump: not done.`
    pub(super) fn heading_within(&mut self, i: usize, says: Says) {
        let colon = i > 0 && self.items.list[i - 1].kind == ItemKind::Sign(b':');
        if self.part_follows(i, 0) {
            self.verb(i, says);
        } else if colon && says == Says::Bad && self.clause_closes(i + 1) {
            self.predicate(i, says);
        }
    }

    /// `condition: excellent`: the line is an entry of a form.
    pub(super) fn is_entry(&self, next: usize) -> bool {
        (self.line_start..next.saturating_sub(2))
            .any(|j| self.items.list[j].kind == ItemKind::Sign(b':'))
    }

    /// Whether a heading of this line heads nothing behind it: it does where the
    /// line ends as a heading, or its list goes on. A line as marked as the next
    /// is one of a list itself.
    pub(super) fn heads_no_more(&self, next: usize) -> bool {
        let heads = |s: Governor| s.item >= self.line_start;
        if !self.section.is_some_and(heads) {
            return false;
        }
        let last = next.saturating_sub(2);
        let colon = matches!(self.items.list[last].kind, ItemKind::Sign(b':' | b'-'));
        if colon || self.items.joins(last) {
            return false;
        }
        let marked = self.bullet(self.line_start) && self.bullet(next);
        let short = next - self.line_start <= 5
            && !self.is_entry(next)
            && self.heading_cue(next - 1).is_some();
        marked || !short && !self.bare_names(next, self.items.list.len())
    }

    /// Whether the line that begins here heads a list of its own: it bears no mark,
    /// and the lines around it do. Whatever it says, the list before it is over.
    pub(super) fn begins_a_list(&self, next: usize) -> bool {
        let listed = self.section.is_some_and(|s| s.item < self.line_start)
            && self.bullet(self.line_start)
            && !self.bullet(next);
        let ends = |j: &usize| {
            let end = self.items.list.get(*j).map(|item| item.kind);
            matches!(end, Some(ItemKind::End(b'\n')))
        };
        // `and also`
        let joins = |j: usize| {
            let acts = [Act::And, Act::Too, Act::Border, Act::With, Act::Modifier];
            self.items.acts_any(j, &acts)
        };
        listed
            && (next..next + NEAR)
                .find(ends)
                .is_some_and(|j| self.bullet(j + 1) && !(next..j).all(joins))
    }

    /// Whether the sentence that begins here is nothing but names of parts
    /// with small words: `Battery.` `Both front struts.`
    pub(super) fn bare_names(&self, start: usize, end: usize) -> bool {
        let mut named = false;
        for j in start..end {
            match self.items.list[j].kind {
                ItemKind::End(_) | ItemKind::Blank => return named && j - start <= 7,
                ItemKind::Number | ItemKind::Sign(b',' | b'(' | b')') => {}
                ItemKind::Phrase(_) if self.items.names_part(j) => named = true,
                ItemKind::Phrase(_)
                    if self.items.joins(j)
                        || self.items.acts(j, Act::Modifier)
                        || self.items.acts(j, Act::Dates) => {}
                _ => return false,
            }
        }
        named && end - start <= 7
    }

    pub(super) fn bullet(&self, start: usize) -> bool {
        matches!(
            self.items.list.get(start).map(|i| i.kind),
            Some(ItemKind::Sign(b'*' | b'-'))
        )
    }
}
