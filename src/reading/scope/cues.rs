//! A cue is met: what does it govern?

use super::*;

impl Walk<'_> {
    pub(super) fn cue(&mut self, i: usize, cue: Cue) {
        match cue.act {
            Act::Border | Act::But => self.border(i),
            Act::When => {
                self.border(i);
                self.when = true;
            }
            Act::Lacks | Act::Negates if cue.side == Side::Before => self.answer_no(i),
            Act::Lacks | Act::Negates => {
                self.neg = Some((i, cue.act));
                self.neg_words = 0;
            }
            Act::NegatesAll => self.neg_all = true,
            Act::Hedges if cue.side == Side::Before => self.hedge_back(i),
            // `maybe 20k on it`: only the figure is a guess.
            Act::Hedges if self.items.list.get(i + 1).map(|n| n.kind) == Some(ItemKind::Number) => {
            }
            Act::Hedges => {
                self.hedge = Some(i);
                self.hedge_used = false;
                self.clause = self.mentions.len();
            }
            Act::Unreal => self.unreal = Some(i),
            Act::Dates => self.dated(i),
            Act::Past => self.past = Some(i),
            Act::Formerly => self.formerly = true,
            Act::Cures => self.cures(i),
            Act::Affirms => {
                let answers = i > 0
                    && matches!(
                        self.items.list[i - 1].kind,
                        ItemKind::Sign(b':') | ItemKind::End(b'?')
                    );
                // `heat yes, air no`
                let closes = self.mentions.last().is_some_and(|m| m.item + 1 == i)
                    && self.items.list.get(i + 1).is_none_or(|n| {
                        matches!(
                            n.kind,
                            ItemKind::Sign(b',' | b';') | ItemKind::End(_) | ItemKind::Blank
                        )
                    });
                if answers || closes {
                    self.predicate(i, Says::Sound);
                }
            }
            Act::Latest => {
                self.latest = true;
                if let Some(m) = self
                    .mentions
                    .last_mut()
                    .filter(|m| m.sentence == self.sentence)
                {
                    m.latest = true;
                }
            }
            // `missing one mirror`
            Act::Pronoun if self.items.names_part(i + 1) => {}
            Act::Pronoun => {
                // `no, it does not run`
                if self.answered_no(i) {
                    self.neg = None;
                }
                // A new subject: the list before it is over.
                if self.gov.is_some_and(|g| {
                    g.sentence == self.sentence && g.says != Says::Bad || g.count > 0
                }) {
                    self.gov = self.section;
                }
                self.pronoun = Some(i);
            }
            Act::And => self.was = None,
            // `no, it's a vacuum leak`
            Act::Modifier if self.answered_no(i) => self.neg = None,
            Act::Modifier | Act::Still | Act::Others | Act::Some | Act::Or | Act::Place => {}
            Act::Echoes if self.echoes(i) => self.predicate(i, Says::Sound),
            Act::Copula | Act::Echoes | Act::Was => {
                self.was = (cue.act == Act::Was).then_some(i);
                // `the engine light was on`
                if self.was.is_some()
                    && let Some(m) = self.mentions.last_mut()
                    && m.sentence == self.sentence
                    && m.item + 1 == i
                    && !m.is_noun()
                {
                    m.past = true;
                }
                // A verb of its own ends the list before it.
                if self
                    .gov
                    .is_some_and(|g| g.count > 0 && !g.trailing && g.verb)
                {
                    self.gov = self.section;
                }
            }
            Act::With => {
                if let Some(m) = self
                    .mentions
                    .last()
                    .filter(|m| m.sentence == self.sentence)
                    .filter(|m| m.is_noun() && matches!(m.says, Some(Says::Renewed | Says::Bad)))
                {
                    let (item, says) = (m.cue.unwrap_or(m.item), m.says);
                    if self.gov.is_none_or(|g| g.count > 0) {
                        self.share(item, says);
                    }
                }
            }
            Act::Too => self.too(i),
            Act::State(says) => match cue.side {
                // `radio fitted in March`
                Side::After if says == Says::Renewed && self.closes_on_a_part(i) => {
                    self.predicate(i, says);
                }
                Side::After => self.verb(i, says),
                Side::Next if self.part_follows(i, 0) => self.verb(i, says),
                Side::Next => {}
                Side::Before => self.predicate(i, says),
                Side::Either => self.adjective(i, says),
            },
        }
    }

    /// Whether `it` right behind a `no` makes that an answer.
    fn answered_no(&self, i: usize) -> bool {
        let no = self.neg.is_some_and(|(n, act)| act == Act::Lacks && n + 1 == i);
        no && (self.items.acts(i, Act::Pronoun) || self.items.word(i).starts_with("it"))
    }

    /// Whether a part stands right before this and none behind it.
    fn closes_on_a_part(&self, i: usize) -> bool {
        self.mentions.last().is_some_and(|m| {
            m.is_open()
                && !m.is_equipment()
                && m.sentence == self.sentence
                && (m.item + 1..i).all(|j| self.items.acts(j, Act::Copula))
        }) && self
            .gov
            .is_none_or(|g| g.count > 0 || g.sentence != self.sentence)
            && matches!(
                self.items.list.get(i + 1).map(|n| n.kind),
                None | Some(ItemKind::End(_) | ItemKind::Blank | ItemKind::Phrase(_))
            )
            && self.part_ahead(i).is_none()
            && !self.items.acts(i + 1, Act::Pronoun)
            && !matches!(
                self.items.cue(i + 1),
                Some(Cue {
                    act: Act::State(_),
                    ..
                })
            )
    }

    /// Whether `does` ends its clause right behind a part, after another part
    /// of which something was said.
    fn echoes(&self, i: usize) -> bool {
        let closes = matches!(
            self.items.list.get(i + 1).map(|n| n.kind),
            None | Some(ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(b',' | b';' | b')'))
        ) || self.items.acts(i + 1, Act::Border);
        let n = self.mentions.len();
        closes
            && n >= 2
            && self.mentions[n - 1].item + 1 == i
            && self.mentions[n - 1].is_noun()
            && (self.mentions[n - 2].says.is_some_and(Says::is_fault)
                || !self.mentions[n - 2].is_noun() && !self.mentions[n - 2].denied)
            && self.sentence - self.mentions[n - 2].sentence <= 1
    }

    /// `new oil, front pads too`: an open part shares the saying before it.
    pub(super) fn too(&mut self, i: usize) {
        let n = self.mentions.len();
        if n < 2 || self.words_between(self.mentions[n - 1].item, i) > 0 {
            return;
        }
        let before = self.mentions[..n - 1]
            .iter()
            .rev()
            .find_map(|m| m.says.map(|s| (s, m.cue)));
        let last = &mut self.mentions[n - 1];
        if last.is_open()
            && let Some((says, cue)) = before
        {
            last.says = Some(says);
            last.cue = cue;
        }
    }

    pub(super) fn take_negation(&mut self) -> Option<usize> {
        if self.neg_list {
            return None;
        }
        self.neg.take().map(|(item, _)| item)
    }

    pub(super) fn verb(&mut self, i: usize, says: Says) {
        // `nothing wrong with it except the clutch`: a denial far off is not of
        // this verb.
        let negated = self.take_negation().is_some_and(|n| i - n <= 2);
        self.neg_list = false;
        // `put a new one in`
        let mut object = i + 1;
        while self.items.acts(object, Act::Modifier)
            || matches!(
                self.items.cue(object),
                Some(Cue {
                    act: Act::State(Says::Renewed),
                    side: Side::Either
                })
            )
        {
            object += 1;
        }
        if says == Says::Renewed
            && object > i + 1
            && self.items.acts(object, Act::Pronoun)
            && !self.part_follows(object, 1)
        {
            self.say_of_last(i, says, negated);
            return;
        }
        // `replaced it`, `needs one`
        if self.items.acts(i + 1, Act::Pronoun) && !self.part_follows(i + 1, 1) {
            self.pronoun = Some(i + 1);
            self.say_of_last(i, says, negated);
            return;
        }
        // Past the first item, an adjective inside a verb's list is no new cue.
        self.gov = Some(Governor {
            negated,
            verb: true,
            hedged: self.hedge.is_some() && says == Says::Bad,
            ..Governor::new(says, i, self.sentence)
        });
        self.note(|w| {
            format!(
                "'{}' governs what follows{}",
                w.words(i),
                if negated { ", denied" } else { "" }
            )
        });
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
            && (m.says == Some(Says::Bad) || m.is_open() || !m.is_noun())
            && !m.denied
        {
            m.hedged = true;
        }
    }

    pub(super) fn answer_no(&mut self, i: usize) {
        if self.take_back(i) {
            return;
        }
        let Some(m) = self.mentions.last() else {
            return;
        };
        let reach = m.item + 1..i;
        if self.sentence - m.sentence > 1 || reach.len() > 6 {
            return;
        }
        let adjacent = reach.clone().all(|j| {
            matches!(
                self.items.list[j].kind,
                ItemKind::Sign(b':' | b'-') | ItemKind::End(_) | ItemKind::Blank
            ) || self.items.acts(j, Act::Copula)
                || self.items.acts(j, Act::Modifier)
        });
        if !adjacent {
            return;
        }
        let Some(m) = self.mentions.last_mut() else {
            return;
        };
        m.cue = Some(i);
        // `Rebuilt the transmission? No.`: what was asked is denied.
        let asked_after = m.question && m.is_noun() && m.says.is_some();
        m.question = false;
        m.hedged = false;
        // `2003 Baja turbo? no` in a headline tells which car it is.
        if m.is_noun() && m.sentence == 0 && self.sentence == 1 || asked_after {
            m.consumed = true;
            return;
        }
        if m.is_noun() {
            m.says = Some(Says::Bad);
        } else {
            m.denied = true;
            m.says = None;
        }
    }

    /// The hedge that still reaches this item: behind a comma it reaches on
    /// over a list of parts, but not to a new saying once it was taken.
    pub(super) fn live_hedge(&self, i: usize, saying: bool) -> Option<usize> {
        self.hedge
            .filter(|h| !(saying && self.hedge_used && self.signs_between(*h, i)))
    }

    /// Lets what follows share a saying: `belt done along with the pump`.
    pub(super) fn share(&mut self, i: usize, says: Option<Says>) {
        let Some(says) = says else { return };
        if self.gov.is_some_and(|g| g.verb && g.count == 0) {
            return;
        }
        self.gov = Some(Governor {
            count: 1,
            trailing: true,
            ..Governor::new(says, i, self.sentence)
        });
    }

    pub(super) fn adjective(&mut self, i: usize, says: Says) {
        let follows_now = self.part_follows(i, 0);
        let previous = self
            .mentions
            .last()
            .filter(|m| m.sentence == self.sentence && self.mentions.len() > self.clause);
        let copula_before = i > 0
            && previous.is_some_and(|m| (m.item + 1..i).any(|j| self.items.acts(j, Act::Copula)));
        let open_before = previous.is_some_and(|m| {
            (m.is_open() || m.lacks || (m.consumed && m.says.is_none() && m.is_noun()))
                && self.words_between(m.item, i) <= 3
                && !self.signs_between(m.item, i)
                && (copula_before
                    || !m.is_equipment()
                    || m.item + 1 == i && (says == Says::Bad || !follows_now))
        });
        let adjacent_before = previous.is_some_and(|m| {
            (m.item + 1..i).all(|j| {
                self.items.acts(j, Act::Modifier)
                    || self.items.acts(j, Act::Copula)
                    || self.items.acts(j, Act::Negates)
                    || self.items.acts(j, Act::Lacks)
                    || self.items.acts(j, Act::Latest)
                    || self.items.acts(j, Act::Past)
                    || self.items.acts(j, Act::Hedges)
                    || matches!(self.items.list[j].kind, ItemKind::Sign(b':' | b'('))
                    || (self.items.list[j].kind == ItemKind::Sign(b'-')
                        && m.item <= self.sentence_start + 2)
                    || matches!(
                        self.items.cue(j),
                        Some(Cue {
                            act: Act::State(_),
                            side: Side::Either
                        })
                    )
            })
        });
        // `two batteries, both new`
        let apposed = !follows_now
            && previous.is_some_and(|m| {
                m.is_open()
                    && !m.is_equipment()
                    && m.item + 1 < i
                    && self.items.list[m.item + 1].kind == ItemKind::Sign(b',')
                    && (m.item + 2..i).all(|j| {
                        self.items.acts(j, Act::Modifier) || self.items.acts(j, Act::Pronoun)
                    })
            });
        let back = open_before && (adjacent_before || !follows_now) || apposed;
        // `went out, have a new one in the box`: nothing is mended yet.
        let to_come = (i + 1..(i + 5).min(self.items.list.len()))
            .take_while(|j| !matches!(self.items.list[*j].kind, ItemKind::End(_)))
            .any(|j| self.items.acts(j, Act::State(Says::Spare)));
        if !back && !follows_now && says == Says::Renewed && to_come {
            return;
        }
        if !back && !follows_now && says == Says::Renewed {
            let n = self.mentions.len();
            if n > self.clause
                && self.mentions[n - 1].sentence == self.sentence
                && self.words_between(self.mentions[n - 1].item, i) <= 3
                && self.neg.is_none()
                && (self.mended_later(n - 1, i) || self.gave_out_before(i))
            {
                self.mentions[n - 1].says = Some(Says::Renewed);
                self.mentions[n - 1].cue = Some(i);
                self.mentions[n - 1].hedged = false;
                return;
            }
        }
        // `seats are good except the driver's`
        let says = match says {
            Says::Sound if back && self.but_for_some(i) => Says::Bad,
            says => says,
        };
        if back {
            let negated = self.take_negation().is_some() != self.neg_all;
            for k in self.subjects(i) {
                self.say_of(k, i, says, negated);
            }
            return;
        }
        let follows = follows_now || self.part_follows(i, 3);
        if !follows && says == Says::Bad && self.again(i) {
            self.say_of(self.mentions.len() - 1, i, says, false);
            return;
        }
        if !follows && let Some(k) = self.set_against(i) {
            self.say_against(k, i, says);
            return;
        }
        if !follows
            && self.neg.is_none()
            && let Some(k) = self.others_of(i, says)
        {
            self.say_besides(k, i, says);
            return;
        }
        if !follows
            && self.answers_first(i)
            && let Some(k) = self.asked()
        {
            let negated = self.take_negation().is_some();
            self.say_of(k, i, says, negated);
            return;
        }
        if !follows {
            // `it is shot`, `was rebuilt`; a stray adjective says nothing.
            // `Hit in front in 2019. All repaired.`
            let alone = says == Says::Renewed
                && self.sentence_mentions == self.mentions.len()
                && self.before_modifiers(i) == self.sentence_start
                && matches!(
                    self.items.list.get(i + 1).map(|n| n.kind),
                    Some(ItemKind::End(b'.' | b'!'))
                );
            let since = alone || self
                .pronoun
                .is_some_and(|p| i - p <= 4 && previous.is_none_or(|m| m.item < p));
            if since && (says == Says::Renewed || says == Says::Bad) {
                let negated = self.take_negation().is_some();
                self.say_of_last(i, says, negated);
            } else if says == Says::Renewed
                && let Some(k) = self.mentions.len().checked_sub(1)
                && self.mentions[k].sentence == self.sentence
                && (!self.mentions[k].is_noun()
                    || self.mentions[k].consumed && self.mentions[k].says.is_none())
                && !self.mentions[k].denied
                // `threw the belt and never put a new one on`
                && !(self.mentions[k].item + 1..i)
                    .any(|j| self.items.acts(j, Act::Negates) || self.items.acts(j, Act::Pronoun))
                && self.words_between(self.mentions[k].item, i) <= 3
            {
                // `oil leak fixed`
                self.mentions[k].says = Some(Says::Renewed);
                self.mentions[k].cue = Some(i);
                self.mentions[k].consumed = false;
            } else {
                self.neg = None;
            }
            return;
        }
        let negated = self.take_negation().is_some();
        if let Some(gov) = &mut self.gov
            && gov.verb
            && self.section.is_none_or(|s| {
                s.item != gov.item || gov.sentence == self.sentence && gov.count == 0
            })
        {
            // `needs a new clutch`, `replaced the bad alternator`: the verb
            // rules; but `needs tires, new battery` is a change of subject.
            let inside = gov.count == 0
                || gov.took_adjective
                || self.items.acts(i.wrapping_sub(1), Act::And)
                || self.items.acts(i.wrapping_sub(1), Act::Modifier)
                    && self.items.acts(i.wrapping_sub(2), Act::And);
            // `good: new clutch`: praise of a list does not make new parts old.
            let other = matches!(
                (gov.says, says),
                (Says::Bad, Says::Sound) | (Says::Sound, Says::Renewed)
            );
            if inside && !other {
                gov.took_adjective = true;
                return;
            }
        }
        self.gov = Some(Governor {
            negated,
            hedged: self.hedge.is_some() && says == Says::Bad,
            ..Governor::new(says, i, self.sentence)
        });
        self.note(|w| format!("'{}' governs the part after it", w.words(i)));
    }
}
