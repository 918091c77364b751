//! Where sentences, lines and clauses end, and what a heading governs.

use super::*;

impl Walk<'_> {
    /// A number right behind a part: `tires 80%`, `brakes 8/10` mark how good
    /// it is; `timing belt 2019`, `plugs at 105k` when it was renewed.
    pub(super) fn number(&mut self, i: usize) {
        let Some(value) = self.figure(i) else {
            return;
        };
        let word = self.items.word(i);
        let sign = |j: usize, s: u8| {
            self.items
                .list
                .get(j)
                .is_some_and(|it| it.kind == ItemKind::Sign(s))
        };
        if sign(i + 1, b'%') || self.items.word(i + 1) == "percent" {
            self.marked(i, value / 10.0);
            self.marked_ahead(i, value);
        } else if sign(i + 1, b'/') && self.items.word(i + 2) == "32" {
            // Depth of tread in 32nds of an inch; 2 is the least of 49 CFR 570.9.
            self.marked(i, if value >= 5.0 { 8.0 } else { value });
        } else if sign(i + 1, b'/') && self.items.word(i + 2) == "10" {
            self.marked(
                i,
                if value > 3.0 && value <= 4.0 {
                    3.0
                } else {
                    value
                },
            );
        } else if word.ends_with('k') && value <= 40.0 && self.items.word(i + 1) == "old" {
            // `clutch is about 5k old`
            self.dated(self.behind_copula(i));
        } else if self.sentence > 0 {
            let placed = i > 0 && self.items.acts(i - 1, Act::Place);
            let year = (1990.0..=2035.0).contains(&value) && word.len() == 4;
            let short =
                placed && (40.0..=400.0).contains(&value) && sign_or_end(&self.items, i + 1);
            let thousands = word.ends_with('k') && (5.0..=400.0).contains(&value) || short;
            let odometer = placed && (20_000.0..=400_000.0).contains(&value);
            // `Clutch, 2020.`
            let closes = sign_or_end(&self.items, i + 1)
                || self.items.list[i + 1].kind == ItemKind::Sign(b'(');
            if (year || thousands || odometer)
                && self.answers_first(i)
                && let Some(k) = self.asked()
            {
                // `Timing belt? 2019.`
                self.say_of(k, i, Says::Renewed, false);
            } else if year || thousands || odometer {
                self.dated_behind(i, closes && year);
            }
        }
    }

    /// Whether a figure is a mark out of ten or a share, though alone it would
    /// only count what follows.
    pub(super) fn is_mark(&self, i: usize) -> bool {
        let sign = |j: usize| self.items.list.get(j).map(|n| n.kind);
        self.items.acts(i, Act::Modifier)
            && self.items.word(i).bytes().all(|b| b.is_ascii_digit())
            && sign(i + 1) == Some(ItemKind::Sign(b'/'))
            && matches!(self.items.word(i + 2), "10" | "32")
    }

    /// The item behind which a part stands, small verbs left out: `interior is
    /// 8/10`, `tires are all at 60%`.
    fn behind_copula(&self, i: usize) -> usize {
        let mut at = i;
        while at > 0
            && (self.items.acts(at - 1, Act::Copula)
                || self.items.acts(at - 1, Act::Place)
                || self.items.acts(at - 1, Act::Modifier))
        {
            at -= 1;
        }
        at
    }

    /// A number without its commas and the `k` of thousands.
    pub(super) fn figure(&self, i: usize) -> Option<f64> {
        let figure = self.items.word(i).trim_end_matches('k');
        figure.replace(',', "").parse().ok()
    }

    /// `80% tread`: a mark for the part right after it.
    fn marked_ahead(&mut self, i: usize, percent: f64) {
        let says = match percent {
            p if p >= 100.0 => return,
            p if p >= 45.0 => Says::Sound,
            p if p <= 30.0 => Says::Bad,
            _ => return,
        };
        if self.items.names_part(i + 2) {
            self.gov = Some(Governor::new(says, i, self.sentence));
        }
    }

    /// A mark out of ten for the parts named right before it.
    fn marked(&mut self, i: usize, mark: f64) {
        let says = match mark {
            m if m >= 4.5 => Says::Sound,
            m if m <= 3.0 => Says::Bad,
            _ => return,
        };
        let Some(k) = self.named_right_before(self.behind_copula(i)) else {
            return;
        };
        if self.mentions[k].shared {
            self.say_of(k, i, says, false);
        } else if self.mentions[k].is_open() {
            for k in self.subjects(i) {
                self.say_of(k, i, says, false);
            }
        }
    }

    /// A date or a distance right behind bare parts: then they were renewed.
    pub(super) fn dated(&mut self, i: usize) {
        self.dated_behind(i, false);
    }

    fn dated_behind(&mut self, i: usize, comma: bool) {
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
            // `Good: timing belt in 2019`
            self.say_of(k, i, Says::Renewed, false);
        }
    }

    /// Whether a part was praised by what heads its list, not by a word of its
    /// own: `good motor, 156k` tells no date.
    fn praised_in_a_list(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        m.is_noun()
            && m.says == Some(Says::Sound)
            && m.cue.is_some_and(|c| c + 1 < self.before_modifiers(m.item))
    }

    /// The mention that only small words part from this item.
    fn named_right_before(&self, i: usize) -> Option<usize> {
        // `exhaust from the cat back, 2021`
        let k = (0..self.mentions.len())
            .rev()
            .find(|k| !self.mentions[*k].place)?;
        let m = &self.mentions[k];
        // `V6, 171k`: the car's own figure.
        let near = m.sentence == self.sentence
            && !m.is_equipment()
            && self.clause <= k
            && (m.item + 1..i).all(|j| {
                self.items.acts(j, Act::Modifier)
                    || self.items.acts(j, Act::Place)
                    || self.mentions[k + 1..].iter().any(|p| p.item == j)
                    || matches!(
                        self.items.list[j].kind,
                        ItemKind::Number | ItemKind::Sign(b'(' | b':' | b'-')
                    )
            });
        near.then_some(k)
    }

    pub(super) fn sign(&mut self, i: usize, sign: u8) {
        match sign {
            b',' | b'/' | b'*' | b';' | b'-' | b'(' | b')' | b'^' => {
                self.settle_bare_negation(i);
                self.unreal = None;
                self.was = None;
                if self.hedge.is_some_and(|h| h + 1 == i) {
                    self.settle_bare_hedge(i);
                    self.hedge = None;
                }
                if sign == b';' || sign == b'*' || sign == b'-' {
                    self.neg_list = false;
                    self.hedge = None;
                }
                if sign == b')' {
                    self.hedge = None;
                }
                // `cooling system redone - radiator, pump and hoses`
                if matches!(sign, b'-' | b'(')
                    && self.part_follows(i, 0)
                    && let Some((item, says)) = self.heading_cue(i)
                    && i - item <= 3
                {
                    self.gov = Some(Governor {
                        verb: true,
                        ..Governor::new(says, item, self.sentence)
                    });
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
                let own = self.heading_cue(i);
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

    /// `NEW:`, `Replaced:`, `Good:`, `Bad -`: a state word right before a
    /// colon, with no part before it in the sentence.
    pub(super) fn heading_cue(&self, colon: usize) -> Option<(usize, Says)> {
        if self.sentence_mentions != self.mentions.len() || colon - self.sentence_start > 9 {
            return None;
        }
        (self.sentence_start..colon)
            .rev()
            .find_map(|j| match self.items.cue(j) {
                _ if self.heading(j).is_some() => self.heading(j).map(|says| (j, says)),
                // `works:` is a verb with its object left out, no heading.
                Some(Cue {
                    act: Act::State(Says::Sound),
                    side: Side::Before,
                }) => None,
                Some(Cue {
                    act: Act::State(says),
                    ..
                }) => {
                    // `Not done:`
                    let denied = j > 0
                        && (self.items.acts(j - 1, Act::Negates)
                            || self.items.acts(j - 1, Act::Lacks));
                    match (says, denied) {
                        (Says::Renewed | Says::Sound, true) => Some((j, Says::Bad)),
                        (_, true) => Some((j, Says::Sound)),
                        (says, false) => Some((j, says)),
                    }
                }
                _ => None,
            })
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

    pub(super) fn end_sentence(&mut self, sign: u8, next: usize) {
        self.settle_bare_negation(next.saturating_sub(1));
        self.settle_bare_hedge(next.saturating_sub(1));
        if sign == b'?' {
            for m in &mut self.mentions[self.sentence_mentions..] {
                m.question = true;
                // `bad alternator?`
                if m.says == Some(Says::Bad) {
                    m.hedged = true;
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
        } else if sign == b'\n'
            && next - self.sentence_start <= 5
            && let Some((item, says)) = self.heading_cue(next.saturating_sub(1))
        {
            self.section = Some(Governor {
                verb: true,
                ..Governor::new(says, item, self.sentence)
            });
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
        self.sentence += 1;
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
        if item + 1 != at || self.neg_list {
            return;
        }
        // `the left one works, the right one does not`
        if act == Act::Negates
            && let Some(k) = self.others_of(item, Says::Bad)
        {
            self.say_besides(k, item, Says::Bad);
            return;
        }
        let sentence = self.sentence;
        let in_clause = self.clause < self.mentions.len();
        let alone = item == self.sentence_start;
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
            if m.says.is_none() {
                m.says = Some(Says::Bad);
                m.cue = Some(item);
            }
        } else if m.says.is_none() && act == Act::Lacks {
            // `brake line blew, do not` denies something else.
            m.denied = true;
            m.cue = Some(item);
        }
    }

    pub(super) fn border(&mut self, i: usize) {
        self.settle_bare_negation(i);
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

/// Whether a sentence, a line or a clause ends here.
fn sign_or_end(items: &Items<'_>, i: usize) -> bool {
    items.list.get(i).is_none_or(|n| {
        matches!(
            n.kind,
            ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(b',' | b';' | b')' | b':')
        )
    })
}
