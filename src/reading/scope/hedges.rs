//! What a doubt reaches: words before it, words behind it, and where it ends.

use super::*;

impl Walk<'_> {
    /// A doubt is over with what it doubts: `they say the clutch is new and ...`.
    pub(super) fn over(&mut self, i: usize) {
        let told = self.hedge.is_some_and(|h| {
            self.mentions.last().is_some_and(|m| {
                m.item > h
                    && matches!(m.says, Some(Says::Renewed | Says::Sound))
                    && m.cue.is_some_and(|c| c > m.item && c < i)
            })
        });
        if told {
            self.hedge = None;
        }
    }

    /// `lock, maybe gone`, `lock (perhaps faulty)`: a doubt and a fault, alone behind
    /// the part that they are told of.
    pub(super) fn doubt_alone(&self, i: usize) -> bool {
        let of_part = |m: &Mention| {
            let sign = self.items.kind(m.item + 1);
            m.is_open()
                && m.sentence == self.sentence
                && m.item + 2 == i
                && matches!(sign, ItemKind::Sign(b',' | b'(' | b'-'))
        };
        let fault = |side| self.items.is_cue(i + 1, Act::State(Says::Bad), side);
        self.mentions.last().is_some_and(of_part)
            && (fault(Side::Before) || fault(Side::Either))
            && self.clause_closes(i + 2)
    }

    pub(super) fn hedge_back(&mut self, i: usize) {
        // Also a hedge forward: `maybe bad coil`.
        self.hedge = Some(i);
        // `AC is out, which I think just needs gas`: a fault is not doubted by
        // what is thought of it further on.
        let closes = !matches!(
            self.items.list.get(i + 1).map(|n| n.kind),
            Some(ItemKind::Word | ItemKind::Number | ItemKind::Phrase(_))
        );
        let behind_border = i > 0
            && (self.items.acts(i - 1, Act::Border)
                || matches!(self.items.list[i - 1].kind, ItemKind::Sign(b',' | b';')));
        if let Some(m) = self.mentions.last_mut()
            && m.sentence == self.sentence
            && (closes || !behind_border)
            && !m.denied
        {
            if m.says == Some(Says::Bad) || m.is_open() || !m.is_noun() {
                m.hedged = true;
            } else if m.consumed && m.says.is_none() && !m.place {
                // `blowing head gasket I believe`: told by a saying of its own.
                let (item, sentence) = (m.item, m.sentence);
                self.doubt_told(item, sentence);
            }
        }
        if closes {
            self.doubt_choice(i);
        }
    }

    /// Doubts what a saying told of the part at this item; a symptom is seen.
    fn doubt_told(&mut self, item: usize, sentence: u32) {
        let parts = self.parts;
        for s in self.extra.iter_mut().rev() {
            if s.sentence < sentence || s.item.max(s.cue.unwrap_or(0)) < item {
                break;
            }
            let part = parts.get(s.part).kind == PartKind::Part;
            if part && s.says == Says::Bad {
                s.says = Says::Suspect;
                s.rule.hedged = true;
            }
        }
    }

    /// Whether the doubt was of a part named before this one, in a clause that
    /// was whole with it: `I was told it's the carb and the manifold is shot`.
    pub(super) fn doubt_of_another(&self, k: usize) -> bool {
        let whole = |h: usize| {
            let Item { first, last, .. } = self.items.list[h];
            let small = [WordClass::The, WordClass::Indefinite];
            let end = (first..=last).rfind(|t| !self.items.token_is(*t, &small));
            end.is_some_and(|t| {
                self.items
                    .token_is(t, &[WordClass::Its, WordClass::Be, WordClass::Is])
            })
        };
        self.hedge.is_some_and(|h| {
            let m = &self.mentions[k];
            let other = k > self.clause && self.mentions[k - 1].cue == Some(h);
            whole(h) && other && m.item > h && m.is_open() && !m.hedged
        })
    }

    /// The hedge that still reaches this item: behind a comma it reaches on
    /// over a list of parts, but not to a new saying once it was taken.
    pub(super) fn live_hedge(&self, i: usize, saying: bool) -> Option<usize> {
        self.hedge
            .filter(|h| !(saying && self.hedge_used && self.signs_between(*h, i)))
    }

    /// `prob ign switch struts blown`: whether a doubt is of the part right before
    /// this item, and no list goes on from there.
    pub(super) fn doubts_the_one_before(&self, i: usize) -> bool {
        let next = self.before_modifiers(i);
        let doubted = |m: &Mention| m.hedged && m.cue == self.hedge && m.is_noun();
        self.hedge.is_some()
            && self
                .mentions
                .last()
                .is_some_and(|m| doubted(m) && m.sentence == self.sentence && m.item + 1 == next)
    }

    /// The hedge that still reaches a fault: not where it doubts a part already
    /// and `and` comes between, as in `might need a starter and it overheats`.
    pub(super) fn hedge_of_fault(&self, i: usize) -> Option<usize> {
        let part = self
            .mentions
            .last()
            .filter(|m| m.hedged && m.sentence == self.sentence);
        let over = part.is_some_and(|m| (m.item + 1..i).any(|j| self.items.acts(j, Act::And)));
        self.live_hedge(i, true).filter(|_| !over)
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

    /// `clutch is bad I think and needs tires`: a hedge before a sign, `and` or a
    /// border has nothing behind it that it could doubt.
    pub(super) fn settle_closed_hedge(&mut self, at: usize) {
        if self.hedge.is_some_and(|h| h + 1 == at) {
            self.settle_bare_hedge(at);
            self.hedge = None;
        }
    }

    /// `can't say if the radio or the heater works`: nothing is told of the list
    /// that ends here, whose first part is given. Whether it is broken is asked
    /// in the same words, and tells a suspicion.
    pub(super) fn wondered(&self, last: usize) -> Option<usize> {
        let mut first = last;
        let joined = |k: usize| {
            let joint = self.before_modifiers(self.mentions[k].item).wrapping_sub(1);
            self.items.acts(joint, Act::And) || self.items.acts(joint, Act::Or)
        };
        while first > 0 && self.mentions[first].linked && joined(first) {
            first -= 1;
        }
        let ahead = self.before_modifiers(self.mentions[first].item);
        let cue = ahead
            .checked_sub(1)
            .filter(|cue| self.items.acts(*cue, Act::Hedges))?;
        let mut within = self.items.within(self.items.list[cue]);
        let asks = within.any(|p| p.meaning.cue.is_some_and(|c| c.act == Act::Unreal));
        asks.then_some(first)
    }

    /// `If it isn't the battery it is the starter`: whether the part before this is one
    /// of two guesses, and the other follows.
    pub(super) fn one_if_not_the_other(&self, i: usize) -> bool {
        let guess = |m: &Mention| {
            let by_if = |c: usize| self.items.is_a(c, WordClass::If);
            let alike = m.hedged && m.is_noun() && m.sentence == self.sentence;
            alike && self.words_between(m.item, i) <= 1 && m.cue.is_some_and(by_if)
        };
        self.part_follows(i, 0) && self.mentions.last().is_some_and(guess)
    }
}
