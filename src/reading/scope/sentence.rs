//! Where sentences, lines and clauses end.

use super::*;
use crate::lexicon::phrases::SignField;

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
        } else if sign == b')' {
            self.heads_behind_bracket(i);
        }
        match sign {
            b',' | b'/' | b'*' | b';' | b'-' | b'(' | b')' | b'^' => {
                self.settle_bare_negation(i);
                self.settle_need(i);
                self.spend_neither(i);
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
            // `working or not: AC yes, sunroof no`
            b':' if i > 1 && self.denies(i - 1) && self.items.acts(i - 2, Act::Or) => {
                (self.neg, self.gov) = (None, self.section);
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
                let it =
                    self.items.acts(i + 1, Act::Pronoun) && self.items.is_a(i + 1, WordClass::It);
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
                    // `What I would leave alone: ...` is told of the car as it is.
                    if cue.1 == Says::Sound {
                        self.unreal = None;
                    }
                    self.gov = Some(gov);
                    self.section = Some(gov);
                    self.note(|w| format!("heading '{}'", w.words(cue.0)));
                }
            }
            _ => {}
        }
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

    pub(super) fn end_sentence(&mut self, sign: u8, next: usize) {
        self.settle_bare_negation(next.saturating_sub(1));
        self.settle_need(next.saturating_sub(1));
        self.settle_bare_hedge(next.saturating_sub(1));
        self.told_if_so(next.saturating_sub(1));
        self.wished_away(next.saturating_sub(1));
        self.over_since(next.saturating_sub(1));
        self.and_the(next.saturating_sub(1));
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
            if self.begins_a_list(next) {
                self.section = None;
                // `- pump` / `Thrown in` / `- starter`: nothing of it is said of the pump.
                self.sentence += 1;
            } else if self.heads_no_more(next) {
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
        let empty = sign == b'\n'
            && self.sentence_start + 1 == next
            && self.behind_a_stop()
            && !self.is_news(next);
        self.sentence += u32::from(!empty);
        self.sentence_start = next;
        (self.turn_start, self.traced) = (next, false);
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

    /// `rust? ... none`: whether this sentence stands on the line of a question.
    fn answers_on_its_line(&self) -> bool {
        self.sentence_start > self.line_start && self.behind_a_question()
    }

    /// `Update:`, `3/15 -`: whether a line tells of a later day.
    fn is_news(&self, at: usize) -> bool {
        let Some(Item { first, .. }) = self.items.list.get(at) else {
            return false;
        };
        let news = self.items.phrase_of(*first, *first).is_some_and(|p| {
            let mut signs = p.meaning.signs.iter();
            signs.any(|s| s.field == SignField::Aside && s.value == "news")
        });
        news || self
            .items
            .word(at)
            .starts_with(|c: char| c.is_ascii_digit())
    }

    /// Whether a sentence ended right before this, with a sign of its own.
    fn behind_a_stop(&self) -> bool {
        let end = self.sentence_start.checked_sub(1);
        end.is_some_and(|j| matches!(self.items.kind(j), ItemKind::End(b'?' | b'.' | b'!')))
    }

    /// Whether the sentence before this one is a question.
    fn behind_a_question(&self) -> bool {
        let end = self.sentence_start.checked_sub(1);
        end.is_some_and(|j| self.items.list[j].kind == ItemKind::End(b'?'))
    }

    /// `heat works, air dont`, `Heat: no.`: a denial with nothing after it
    /// turns on what stands before it.
    pub(super) fn settle_bare_negation(&mut self, at: usize) {
        let Some((item, act)) = self.neg.take() else {
            return;
        };
        // `the light is off, and no, I did not clear it` denies something else.
        let aside = act == Act::Lacks && item > 0 && self.items.acts(item - 1, Act::And);
        if aside && self.items.kind(item + 1) == ItemKind::Sign(b',') {
            return;
        }
        // `works in the front but not the back`
        if act == Act::Negates && self.denied_of_side(item, at) {
            return;
        }
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
            if self.mentions[k].says != Some(Says::Renewed) || !self.items.is_any(item, &HAVE) {
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
        if of_it && (self.works_after_all(item) || self.denied_after_all(item)) {
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
        let was = self.items.is_a(item, WordClass::Was)
            || item > 0 && self.items.acts(item - 1, Act::Was);
        let done_before =
            act == Act::Negates && (was || self.items.is_any(item, &HAVE)) && self.done_before();
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
