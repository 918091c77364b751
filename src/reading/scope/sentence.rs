//! Where sentences, lines and clauses end, and what a heading governs.

use super::*;

/// Items behind a part among which a heading may begin.
const NEAR: usize = 12;
/// Parts that one question may ask about.
const ASKED: usize = 12;

impl Walk<'_> {
    pub(super) fn sign(&mut self, i: usize, sign: u8) {
        if sign == b'(' {
            self.why = self.tells_why(i);
            let list = self.gov.filter(|g| g.count > 0 && g.verb && !g.trailing);
            self.bracket = list.map(|g| (g, self.clause, self.sentence));
        }
        if sign == b')' {
            self.why = false;
        }
        if sign == b')'
            && let Some((gov, clause, sentence)) = self.bracket.take()
            && sentence == self.sentence
        {
            // `replaced: alternator (the first was junk), starter`
            self.gov = Some(gov);
            self.clause = clause;
        }
        match sign {
            b',' | b'/' | b'*' | b';' | b'-' | b'(' | b')' | b'^' => {
                self.settle_bare_negation(i);
                self.settle_need(i);
                // `neither lamp works, the pump was rebuilt`
                self.neg_all &= !self.mentions.last().is_some_and(|m| {
                    m.sentence == self.sentence && m.cue.is_some_and(|c| c > m.item)
                });
                self.unreal = None;
                self.was = None;
                self.settle_closed_hedge(i);
                self.close_clause(i, sign);
                // `im told the pump was replaced, needs a radiator`
                if self.hedge.is_some_and(|h| {
                    self.mentions.last().is_some_and(|m| {
                        // `rings might be done, it uses oil`
                        let it = self.items.acts(i + 1, Act::Pronoun) && m.hedged;
                        (m.item > h || it) && m.says.is_some() && m.cue.is_some_and(|c| c > m.item)
                    })
                }) {
                    self.hedge = None;
                }
                // `new pads, rotors and struts; water pump? Strong.`
                if sign == b';'
                    && let Some(gov) = self.gov.filter(|g| g.count > 0)
                    && self.section.is_none_or(|s| s.item != gov.item)
                    && (gov.item..i).any(|j| {
                        self.items.joins(j) && self.items.list[j].kind != ItemKind::Sign(b';')
                    })
                {
                    self.gov = self.section;
                }
                if sign == b';' || sign == b'*' || sign == b'-' {
                    self.neg_list = false;
                    // `neither lamp works; ...`
                    self.neg_all &= sign == b'-';
                    self.hedge = None;
                }
                if sign == b')' {
                    self.hedge = None;
                }
                // `cooling system redone - radiator, pump and hoses`
                if matches!(sign, b'-' | b'(')
                    && self.part_follows(i, 0)
                    && self.sentence_mentions == self.mentions.len()
                    && let Some((item, says)) = self.heading_cue(i)
                    && i - item <= 3
                {
                    self.gov = Some(Governor {
                        verb: true,
                        ..Governor::new(says, item, self.sentence)
                    });
                } else if sign == b'-' && self.part_follows(i, 0) {
                    // `2021 - clutch and flywheel`
                    self.dated_heading(i);
                }
            }
            b':' => {
                self.hedge = None;
                // `what we did so you do not have to: ...`
                self.neg = None;
                if self.named_heading(i) {
                    return;
                }
                // A heading: a cue with nothing governed yet.
                let own = self.heading_cue(i).or_else(|| self.next_heading(i));
                // `I put a charger on it: it lights up`: a sentence, no list.
                let it = self.items.acts(i + 1, Act::Pronoun)
                    && self.items.word(i + 1).starts_with("it");
                if it && own.is_none_or(|(_, says)| says != Says::Bad) {
                    self.gov = self.section;
                    return;
                }
                if own.is_none()
                    && let Some(gov) = self.gov
                    && gov.count == 0
                    && gov.sentence == self.sentence
                    && self.clause_is_heading(i)
                {
                    self.section = Some(gov);
                    self.note(|w| format!("heading '{}'", w.words(gov.item)));
                } else if let Some(cue) = own {
                    let gov = Governor {
                        verb: true,
                        ..Governor::new(cue.1, cue.0, self.sentence)
                    };
                    self.gov = Some(gov);
                    self.section = Some(gov);
                    self.note(|w| format!("heading '{}'", w.words(cue.0)));
                }
            }
            _ => {}
        }
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
            _ if self.heading(j).is_some() => self.heading(j).map(|says| (j, says)),
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
                let denied = j > 0
                    && (self.items.acts(j - 1, Act::Negates) || self.items.acts(j - 1, Act::Lacks));
                match (says, denied) {
                    (Says::Renewed | Says::Sound, true) => Some((j, Says::Bad)),
                    (_, true) => Some((j, Says::Sound)),
                    (says, false) => Some((j, says)),
                }
            }
            _ => None,
        })
    }

    /// `The bad: carpet, the good: clutch`: a heading behind the list of
    /// another.
    fn next_heading(&self, colon: usize) -> Option<(usize, Says)> {
        let item = colon.checked_sub(1)?;
        let says = self.heading(item)?;
        let first = self.before_modifiers(item).checked_sub(1)?;
        matches!(self.items.list[first].kind, ItemKind::Sign(_)).then_some((item, says))
    }

    pub(super) fn heading(&self, i: usize) -> Option<Says> {
        self.items.phrase(i).and_then(|p| p.meaning.heading)
    }

    /// `probably the coil, I think`: a hedge with nothing after it turns back.
    pub(super) fn settle_bare_hedge(&mut self, at: usize) {
        let Some(h) = self.hedge else { return };
        if at > h + 2
            || self
                .mentions
                .last()
                .is_none_or(|m| m.item > h || h - m.item > 4)
        {
            return;
        }
        self.hedge_back(h);
    }

    /// What a comma ends: `cannot say if it goes, small dent` doubts no dent, and
    /// `it had been replaced, bumper has a scuff` tells of a bumper that is there.
    fn close_clause(&mut self, at: usize, sign: u8) {
        if sign != b',' {
            return;
        }
        let last = self.mentions.last();
        if self.hedge.is_some_and(|h| {
            let named = last.is_some_and(|m| m.item > h);
            !named && (h + 1..at).any(|j| self.items.is_word(j))
        }) {
            self.hedge = None;
        }
        if self.past.is_some_and(|p| {
            let renewed = |m: &Mention| m.says == Some(Says::Renewed) && m.cue > Some(p);
            last.is_some_and(renewed)
        }) {
            self.past = None;
        }
    }

    /// `clutch is bad I think and needs tires`: a hedge before a sign, `and` or a
    /// border has nothing behind it that it could doubt.
    pub(super) fn settle_closed_hedge(&mut self, at: usize) {
        if self.hedge.is_some_and(|h| h + 1 == at) {
            self.settle_bare_hedge(at);
            self.hedge = None;
        }
    }

    pub(super) fn end_sentence(&mut self, sign: u8, next: usize) {
        self.settle_bare_negation(next.saturating_sub(1));
        self.settle_need(next.saturating_sub(1));
        self.settle_bare_hedge(next.saturating_sub(1));
        self.told_if_so(next.saturating_sub(1));
        self.wished_away(next.saturating_sub(1));
        self.over_since(next.saturating_sub(1));
        if sign == b'?' {
            // `bearings are noisy, pump? New.`: the last alone is asked.
            let mut asked = true;
            for k in (self.sentence_mentions..self.mentions.len())
                .rev()
                .take(ASKED)
            {
                let told = self.mentions.get(k + 1).is_some_and(|next| {
                    let m = &self.mentions[k];
                    let parted = (m.item + 1..next.item)
                        .any(|j| matches!(self.items.list[j].kind, ItemKind::Sign(b';' | b'-')));
                    let fault = !m.is_noun() && next.is_noun();
                    // `needs pads, rotors and hoses, battery? Dead.`
                    let over = self.closes_a_list(m.item) && !self.closes_a_list(next.item);
                    fault || over || m.says.is_some() && (m.cue != next.cue || parted)
                });
                asked &= !told;
                let m = &mut self.mentions[k];
                m.question = asked;
                // `bad alternator?`
                if asked && m.says == Some(Says::Bad) {
                    m.hedged = true;
                }
                // `Not done: belt.` and on the next line `Struts? Strong.`
                let parted = m.cue.is_some_and(|c| {
                    c < self.sentence_start
                        || (c..m.item).any(|j| self.items.list[j].kind == ItemKind::Sign(b';'))
                });
                if asked && m.is_noun() && parted {
                    m.says = None;
                    m.hedged = false;
                }
            }
        }
        // A line that ends with an open cue is the heading of a list.
        let open = self.gov.filter(|g| {
            sign == b'\n'
                && g.count == 0
                && g.sentence == self.sentence
                && self.sentence_mentions == self.mentions.len()
        });
        if open.is_some() {
            self.section = open;
        } else if let Some((item, says)) = self.asking_heading(sign, next) {
            self.section = Some(Governor {
                verb: true,
                ..Governor::new(says, item, self.sentence)
            });
        } else if sign == b'\n'
            && !self.answers_on_its_line()
            && next - self.sentence_start <= 5
            && !self.is_entry(next)
            && let Some((item, says)) = self.heading_cue(next.saturating_sub(1))
            // `2012 Cruze needs work`: a headline of its own.
            && (self.sentence > 0 || !matches!(self.items.cue(item), Some(Cue { side: Side::Before, .. })))
        {
            self.section = Some(Governor {
                verb: true,
                ..Governor::new(says, item, self.sentence)
            });
        }
        if sign == b'\n' {
            if self.heads_no_more(next) {
                self.section = None;
            }
            self.line_start = next;
        }
        // Behind a full stop a heading reaches on only over bare names.
        if matches!(sign, b'.' | b'!')
            && self.section.is_some()
            && !self.bullet(self.sentence_start)
        {
            let ruled = self.section.is_some_and(|s| s.sentence == self.sentence)
                || self.bare_names(self.sentence_start, next);
            if !ruled || !self.bare_names(next, self.items.list.len()) {
                self.section = None;
            }
        }
        self.gov = None;
        self.why = false;
        self.neg = None;
        self.neg_list = false;
        self.neg_all = false;
        self.hedge = None;
        self.unreal = None;
        self.past = None;
        self.was = None;
        self.formerly = false;
        self.when = false;
        self.latest = false;
        self.pronoun = None;
        // `Does it work?` and on the next line `No`
        let asked = self
            .sentence_start
            .checked_sub(1)
            .is_some_and(|j| self.items.list[j].kind == ItemKind::End(b'?'));
        let empty = sign == b'\n' && self.sentence_start + 1 == next && asked;
        self.sentence += u32::from(!empty);
        self.sentence_start = next;
        self.sentence_mentions = self.mentions.len();
        self.clause = self.mentions.len();
        if let Some(section) = self.section {
            self.gov = Some(Governor {
                count: 0,
                took_adjective: false,
                ..section
            });
        }
    }

    /// `What's new? Tires, battery.`: a heading that is a question.
    fn asking_heading(&self, sign: u8, next: usize) -> Option<(usize, Says)> {
        let end = next.checked_sub(1).filter(|_| sign == b'?')?;
        let item = end.checked_sub(1)?;
        let says = self.heading(item)?;
        let first = self.before_modifiers(item);
        (first == self.sentence_start).then_some((item, says))
    }

    /// `rust? ... none`: whether this sentence stands on the line of a question.
    fn answers_on_its_line(&self) -> bool {
        let asked = self.sentence_start.checked_sub(1);
        self.sentence_start > self.line_start
            && asked.is_some_and(|j| self.items.list[j].kind == ItemKind::End(b'?'))
    }

    /// `condition: excellent`: the line is an entry of a form.
    fn is_entry(&self, next: usize) -> bool {
        (self.line_start..next.saturating_sub(2))
            .any(|j| self.items.list[j].kind == ItemKind::Sign(b':'))
    }

    /// Whether a heading of this line heads nothing behind it: it does where the
    /// line ends as a heading, or its list goes on. A line as marked as the next
    /// is one of a list itself.
    fn heads_no_more(&self, next: usize) -> bool {
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

    /// Whether the sentence that begins here is nothing but names of parts
    /// with small words: `Battery.` `Both front struts.`
    fn bare_names(&self, start: usize, end: usize) -> bool {
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

    /// `heat works, air dont`, `Heat: no.`: a denial with nothing after it
    /// turns on what stands before it.
    pub(super) fn settle_bare_negation(&mut self, at: usize) {
        let Some((item, act)) = self.neg.take() else {
            return;
        };
        // `Does it work? Not right now.`
        let only_now = (item + 1..at).all(|j| self.items.acts(j, Act::Latest));
        if !only_now || self.neg_list {
            self.denies_a_fault(item, at);
            return;
        }
        // `the left one works, the right one does not`
        if act == Act::Negates
            && let Some(k) = self.others_denied(item)
        {
            // `the right was done, the left one has not been`: not broken yet.
            if self.mentions[k].says != Some(Says::Renewed) || !self.words(item).starts_with("ha") {
                self.say_besides(k, item, Says::Bad);
            }
            return;
        }
        // `they said it was shot, it isn't`
        // `you would think it is shot, but no`
        let before = |act| item > 0 && self.items.acts(item - 1, act);
        let of_it = match act {
            Act::Negates => before(Act::Pronoun),
            _ => before(Act::Border),
        };
        if of_it && self.works_after_all(item) {
            return;
        }
        // `fuel drips off the tank, do not drive` denies something else.
        let right_behind = |m: &Mention| {
            (m.item + 1..item)
                .all(|j| self.items.acts(j, Act::Modifier) || self.items.acts(j, Act::Place))
        };
        let contrast = act == Act::Negates
            && self.mentions.last().is_some_and(right_behind)
            && self.set_off_a_fault();
        // `pump done, belt has not been`, `was not`
        let was =
            self.words(item).starts_with("wa") || item > 0 && self.items.acts(item - 1, Act::Was);
        let done_before = act == Act::Negates
            && (was || self.words(item).starts_with("ha"))
            && self.done_before();
        let sentence = self.sentence;
        let in_clause = self.clause < self.mentions.len();
        let alone = self.answers_first(item);
        let Some(m) = self.mentions.last_mut() else {
            return;
        };
        // `Rust? No.`
        if alone && m.question && m.sentence + 1 == sentence {
            self.answer_no(item);
            return;
        }
        if m.sentence != sentence || !in_clause || item.saturating_sub(m.item) > 3 {
            return;
        }
        if m.is_noun() {
            if m.says.is_none() && !done_before {
                let says = if contrast { Says::Sound } else { Says::Bad };
                self.deny_list(item, says);
            }
        } else if m.says.is_none() && act == Act::Lacks {
            // `brake line blew, do not` denies something else.
            m.denied = true;
            m.cue = Some(item);
        }
    }

    /// Whether the part before the one named last was renewed, so that what
    /// is denied of this one is only that: `pump done, belt has not been`.
    fn done_before(&self) -> bool {
        let [.., p, m] = &self.mentions[..] else {
            return false;
        };
        let belt = m
            .named
            .iter()
            .any(|n| self.parts.code(n.part) == "timing_belt");
        p.says == Some(Says::Renewed) && p.sentence == m.sentence && !belt
    }

    pub(super) fn border(&mut self, i: usize) {
        self.settle_bare_negation(i);
        self.settle_need(i);
        self.settle_closed_hedge(i);
        self.settle_cause(i);
        self.told_if_so(i);
        self.gov = None;
        self.neg = None;
        self.neg_list = false;
        self.neg_all = false;
        self.hedge = None;
        self.unreal = None;
        self.was = None;
        self.formerly = false;
        self.when = false;
        self.latest = false;
        self.pronoun = None;
        self.clause = self.mentions.len();
    }
}
