//! Where sentences, lines and clauses end, and what a heading governs.

use super::*;

impl Walk<'_> {
    /// A number right behind a part: `tires 80%`, `brakes 8/10` mark how good
    /// it is; `timing belt 2019`, `plugs at 105k` when it was renewed.
    pub(super) fn number(&mut self, i: usize) {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return;
        };
        let m = &self.mentions[k];
        let near = m.sentence == self.sentence
            && self.clause <= k
            && (m.is_open() || m.shared)
            && self.words_between(m.item, i) == 0
            && !self.signs_between(m.item, i);
        if !near {
            return;
        }
        let word = self.items.word(i);
        let Some(value) = word
            .trim_end_matches('k')
            .replace(',', "")
            .parse::<f64>()
            .ok()
        else {
            return;
        };
        let sign = |j: usize, s: u8| {
            self.items
                .list
                .get(j)
                .is_some_and(|it| it.kind == ItemKind::Sign(s))
        };
        let says = if sign(i + 1, b'%') || self.items.word(i + 1) == "percent" {
            match value {
                v if v >= 45.0 => Some(Says::Sound),
                v if v <= 30.0 => Some(Says::Bad),
                _ => None,
            }
        } else if sign(i + 1, b'/') && self.items.word(i + 2) == "10" {
            match value {
                v if v >= 7.0 => Some(Says::Sound),
                v if v <= 4.0 => Some(Says::Bad),
                _ => None,
            }
        } else {
            let placed = i > 0 && self.items.acts(i - 1, Act::Place);
            let year = (1990.0..=2035.0).contains(&value) && word.len() == 4 && self.sentence > 0;
            let odometer =
                placed && (word.ends_with('k') || (20_000.0..=400_000.0).contains(&value));
            (year || odometer).then_some(Says::Renewed)
        };
        if let Some(says) = says {
            if self.mentions[k].shared {
                self.say_of(k, i, says, false);
            }
            for k in self.subjects(i) {
                self.say_of(k, i, says, false);
            }
        }
    }

    pub(super) fn sign(&mut self, i: usize, sign: u8) {
        match sign {
            b',' | b'/' | b'*' | b';' | b'-' | b'(' | b')' => {
                self.settle_bare_negation(i);
                self.unreal = None;
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
            }
            b':' => {
                self.hedge = None;
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
                        says: cue.1,
                        item: cue.0,
                        negated: false,
                        verb: true,
                        count: 0,
                        sentence: self.sentence,
                        took_adjective: false,
                        hedged: false,
                        trailing: false,
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
        if self.sentence_mentions != self.mentions.len() || colon - self.sentence_start > 5 {
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
                says,
                item,
                negated: false,
                verb: true,
                count: 0,
                sentence: self.sentence,
                took_adjective: false,
                hedged: false,
                trailing: false,
            });
        }
        if sign == b'.' && self.section.is_some_and(|s| s.sentence != self.sentence) {
            // Whole sentences under a heading speak for themselves.
            if !self.bullet(self.sentence_start) {
                self.section = None;
            }
        } else if (sign == b'.' || sign == b'!')
            && (self
                .section
                .is_some_and(|s| s.sentence == self.sentence && s.count > 0)
                || self.gov.is_some_and(|g| g.count > 0))
        {
            self.section = None;
        }
        self.gov = None;
        self.neg = None;
        self.neg_list = false;
        self.neg_all = false;
        self.hedge = None;
        self.unreal = None;
        self.past = None;
        self.formerly = false;
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
        let _ = act;
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
        } else if m.says.is_none() {
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
        self.formerly = false;
        self.latest = false;
        self.pronoun = None;
        self.clause = self.mentions.len();
    }
}
