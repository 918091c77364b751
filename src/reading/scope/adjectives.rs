//! Words that may stand on either side of their part: `new pads`, `pads new`.

use super::*;

/// Small words between a part and what is said right behind it.
const ADJACENT: usize = 40;

impl Walk<'_> {
    /// Lets what follows share a saying: `belt done along with the pump`.
    pub(super) fn share(&mut self, i: usize, says: Option<Says>) {
        let Some(says) = says else { return };
        if self
            .gov
            .is_some_and(|g| g.verb && g.count == 0 && g.item >= i)
        {
            return;
        }
        self.gov = Some(Governor {
            count: 1,
            trailing: true,
            ..Governor::new(says, i, self.sentence)
        });
    }

    /// `Transmission: auto, good`: an entry of a form, which goes on behind a
    /// comma.
    fn entered(&self, part: &Mention, i: usize) -> bool {
        let colon = part.item + 1;
        part.is_open()
            && part.item <= self.sentence_start + 2
            && self.items.list[colon].kind == ItemKind::Sign(b':')
            && i - colon <= 8
            && (colon + 1..i).all(|j| {
                self.items.acts(j, Act::Modifier)
                    || self.items.is_word(j)
                    || matches!(
                        self.items.list[j].kind,
                        ItemKind::Number | ItemKind::Sign(b',')
                    )
            })
    }

    /// `winter tires on it, good.`: by itself behind a comma.
    fn stands_alone(&self, part: usize, i: usize) -> bool {
        let ends = self
            .items
            .list
            .get(i + 1)
            .is_none_or(|n| matches!(n.kind, ItemKind::End(_) | ItemKind::Blank));
        let doubted = || part + 2 < i && self.doubt_alone(i - 1);
        ends && i > part + 1
            && (self.items.kind(i - 1) == ItemKind::Sign(b',')
                && (part + 1..i - 1).all(|j| {
                    self.items.acts(j, Act::Place)
                        || self.items.acts(j, Act::Pronoun)
                        || self.items.acts(j, Act::Modifier)
                })
                || doubted())
    }

    pub(super) fn adjective(&mut self, i: usize, says: Says) {
        let follows_now = self.part_follows(i, 0);
        if !follows_now
            && (self.tells_how(i, says) || self.sums_before(i, says) || self.sums_here(i, says))
        {
            return;
        }
        if says == Says::Renewed && !follows_now && self.relative(i) {
            return;
        }
        if self.neg.is_none() && !self.part_follows(i, 3) && self.ones_on_it(i, says) {
            return;
        }
        let previous = self
            .mentions
            .last()
            .filter(|m| m.sentence == self.sentence && self.mentions.len() > self.clause);
        let copula_before = i > 0
            && previous.is_some_and(|m| (m.item + 1..i).any(|j| self.items.acts(j, Act::Copula)));
        let open_before = previous.is_some_and(|m| {
            // `350 vortec new spider injectors`: what is new comes behind.
            let kind = says == Says::Renewed
                && m.item + 1 == i
                && m.is_equipment()
                && self.part_follows(i, 2);
            // `the radiator needs a good flush`
            let needs = says == Says::Sound
                && self
                    .gov
                    .is_some_and(|g| g.item > m.item && self.needs_alone(g));
            // `5spd good body`
            let next = says == Says::Sound
                && m.is_equipment()
                && m.item + 1 == i
                && self.items.is_word(i + 1);
            // `bearing noisy new clutch`, `leaks at the rear main new boots`: it is told
            // of already.
            let told = || {
                let state = |j: usize| {
                    let act = self.items.cue(j).map(|c| c.act);
                    matches!(act, Some(Act::State(_)))
                };
                let of_it = |s: &Saying| m.named.iter().any(|n| n.part == s.part);
                m.consumed
                    && follows_now
                    && ((m.item + 1..i).any(state) || self.extra.last().is_some_and(of_it))
            };
            !kind
                && !needs
                && !next
                && !told()
                && (m.is_open() || m.lacks || (m.consumed && m.says.is_none() && m.is_noun()))
                && self.words_between(m.item, i) <= 3
                && !self.other_clause(m.item, i)
                // `probably the alternator and good body`
                && (copula_before || !self.parted(m.item, i) || !self.items.is_word(i + 1))
                && (!self.signs_between(m.item, i)
                    || self.stands_alone(m.item, i)
                    || copula_before && self.listed_with_others(m.item, i))
                && (copula_before
                    || !m.is_equipment()
                    || m.item + 1 == i && (says == Says::Bad || !follows_now))
        });
        // `engine: new plugs` tells of the plugs, `brakes: good tires: good` of both.
        let headed = follows_now
            && self.part_ahead(i).is_some_and(|(j, _)| {
                self.items.list.get(j + 1).map(|n| n.kind) != Some(ItemKind::Sign(b':'))
            });
        let adjacent_before = previous.is_some_and(|m| {
            i - m.item <= ADJACENT
                && (m.item + 1..i).all(|j| {
                    self.items.acts(j, Act::Modifier)
                        || self.items.acts(j, Act::Copula)
                        || self.items.acts(j, Act::Negates)
                        || self.items.acts(j, Act::Lacks)
                        || self.items.acts(j, Act::Latest)
                        || self.items.acts(j, Act::Past)
                        || self.items.acts(j, Act::Hedges)
                        || self.items.list[j].kind == ItemKind::Sign(b'(')
                        || self.items.list[j].kind == ItemKind::Sign(b':') && !headed
                        || (self.items.list[j].kind == ItemKind::Sign(b'-')
                            && m.item <= self.sentence_start + 2
                            && !m.lacks
                            && !follows_now)
                        || matches!(
                            self.items.cue(j),
                            Some(Cue {
                                act: Act::State(_),
                                side: Side::Either,
                                ..
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
        let apposed = apposed
            || !follows_now && (self.sums_up(i) || previous.is_some_and(|m| self.entered(m, i)));
        // `axles are perfectly fine and replaced the bearings`
        let verb = copula_before
            && previous.is_some_and(|m| {
                !(m.item + 1..i).any(|j| self.items.names(j)) && self.items.acts(i + 1, Act::And)
            });
        // `the bearing on the left is bad the ball joints were done`
        let placed = copula_before
            && self.items.acts(i - 1, Act::Copula)
            && previous.is_some_and(|m| {
                (m.item + 1..i - 1).all(|j| {
                    self.items.acts(j, Act::Place)
                        || self.items.acts(j, Act::Modifier)
                        || self.items.acts(j, Act::Side)
                })
            });
        let back = open_before && (adjacent_before || !follows_now || verb || placed) || apposed;
        // `left headlight works and the right one is bad`
        let back = back && self.others_of(i, says).is_none();
        // `went out, have a new one in the box`: nothing is mended yet.
        let to_come = (i + 1..(i + 5).min(self.items.list.len()))
            .take_while(|j| !matches!(self.items.list[*j].kind, ItemKind::End(_)))
            .any(|j| self.items.acts(j, Act::State(Says::Spare)));
        // `quoted 4k for a reman`
        let wished = self.unreal.is_some_and(|u| {
            previous.is_none_or(|m| m.item < u) && self.items.acts(u, Act::Unreal)
        });
        // `is dead, will need a new one`: it is to be had yet.
        let needed = self.gov.is_some_and(|g| {
            self.needs_alone(g) && g.item < i && previous.is_none_or(|m| m.item < g.item)
        });
        if !back && !follows_now && says == Says::Renewed && (to_come || wished || needed) {
            return;
        }
        if !back && !follows_now && says == Says::Renewed && self.others_of(i, says).is_none() {
            let n = self.mentions.len();
            if n > self.clause
                && self.mentions[n - 1].sentence == self.sentence
                && self.words_between(self.mentions[n - 1].item, i) <= 3
                && self.neg.is_none()
                // `in good shape; lots of new parts`
                && !(self.mentions[n - 1].item..i)
                    .any(|j| self.items.list[j].kind == ItemKind::Sign(b';'))
                && !(self.items.is_a(i, WordClass::New) && self.items.is_word(i + 1))
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
            let subjects = self.subjects(i);
            let several = subjects.len();
            for (n, k) in subjects.iter().enumerate() {
                if n == 0 || !self.only_kind(*k, several, says) {
                    self.say_of(*k, i, says, negated);
                }
            }
            if !negated {
                self.doubt_either(&subjects, says, i);
            }
            return;
        }
        let follows = follows_now || self.part_follows(i, 3);
        let faulty = !follows && says == Says::Bad;
        if faulty
            && self.neg.is_none()
            && let Some(k) = self.spare_still_to_fit(i)
        {
            self.still_to_fit(k, i);
            return;
        }
        if faulty && self.again(i) {
            self.say_of(self.mentions.len() - 1, i, says, false);
            return;
        }
        if !follows
            && self.neg.is_none()
            && let Some(k) = self
                .left_out_told(i, says)
                .or_else(|| self.cleared(i, says))
        {
            self.say_of(k, i, says, false);
            self.clear_others(k, i, says);
            return;
        }
        if !follows && let Some(k) = self.over_relative(i) {
            let negated = self.take_negation().is_some();
            self.say_of(k, i, says, negated);
            return;
        }
        if !follows && let Some(k) = self.headed(i) {
            let negated = self.take_negation().is_some();
            self.say_of(k, i, says, negated);
            return;
        }
        if !follows
            && self.neg.is_none()
            && let Some(k) = self.others_of(i, says)
        {
            self.say_besides(k, i, says);
            return;
        }
        if !follows && let Some(k) = self.set_against(i) {
            self.say_against(k, i, says);
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
            // `acted up, so it's brand new`
            let its = i > 1
                && self.items.acts(i - 1, Act::Modifier)
                && self.items.is_a(i - 1, WordClass::It)
                && self.items.acts(i - 2, Act::Border);
            let since = alone
                || its
                || self
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
                && !self.wants_done(k)
                // `threw the belt and never put a new one on`
                && !(self.mentions[k].item + 1..i)
                    .any(|j| self.items.acts(j, Act::Negates) || self.items.acts(j, Act::Pronoun))
                && self.words_between(self.mentions[k].item, i) <= 3
            {
                // `oil leak fixed`
                self.mend_told(k, i);
                self.mentions[k].says = Some(Says::Renewed);
                self.mentions[k].cue = Some(i);
                self.mentions[k].consumed = false;
            } else {
                self.neg = None;
            }
            return;
        }
        let negated = self.take_negation().is_some();
        if let Some(gov) = self.gov
            && gov.verb
            && self.section.is_none_or(|s| {
                s.item != gov.item || gov.sentence == self.sentence && gov.count == 0
            })
            && self.inside(gov, i, says)
        {
            self.gov = Some(Governor {
                took_adjective: true,
                ..gov
            });
            return;
        }
        self.gov = Some(Governor {
            negated,
            hedged: self.live_hedge(i, true).is_some() && says == Says::Bad,
            ..Governor::new(says, i, self.sentence)
        });
        self.note(|w| format!("'{}' governs the part after it", w.words(i)));
    }

    /// Whether an adjective stands within what a verb rules, and so is no new
    /// saying: `needs a new clutch`, `replaced the bad alternator`; but `needs
    /// tires, new battery` is a change of subject.
    fn inside(&self, gov: Governor, i: usize, says: Says) -> bool {
        if says == Says::Sound && self.needed_so(i) {
            return true;
        }
        let heads = self.section.is_some_and(|s| s.item == gov.item);
        let other = match (gov.says, says) {
            // `needs a good battery`, but `needs tires, good brakes`
            (Says::Bad, Says::Sound) => heads || gov.count > 0,
            // `good: new clutch`: praise of a list does not make new parts old.
            (Says::Sound, Says::Renewed) => true,
            // `needs shocks, also just replaced brakes`
            (Says::Bad, Says::Renewed) => {
                self.was_done_apart(i) || gov.count > 0 && self.is_over(i)
            }
            (Says::Renewed, Says::Sound) | (Says::Sound, Says::Bad) => gov.count > 0,
            _ => false,
        };
        if other || self.put_in_before(i, says) {
            return false;
        }
        let at = self.before_modifiers(i).wrapping_sub(1);
        let sign = matches!(
            self.items.list.get(at).map(|n| n.kind),
            Some(ItemKind::Sign(b',' | b'/' | b';' | b'-'))
        );
        if gov.count == 0 {
            // `maybe a bad sensor, newer tires`: it had its object.
            let over = sign && !heads && self.words_between(gov.item, i) > 0;
            return !over;
        }
        // `put in a radiator, bad struts`; `needs a new radiator, newer tires`
        let changes = sign
            && (says == Says::Bad && gov.says == Says::Renewed
                || says == Says::Renewed && !self.items.is_a(i, WordClass::New));
        !changes && (gov.took_adjective || self.items.acts(at, Act::And))
    }

    /// Whether what was put in new ends before this adjective: `put new tires
    /// on and good rims`, `fitted new pads, worn rotors`.
    fn put_in_before(&self, i: usize, says: Says) -> bool {
        let Some(gov) = self.gov.filter(|g| g.says == Says::Renewed && g.count > 0) else {
            return false;
        };
        let Some(part) = self.mentions.last().map(|m| m.item) else {
            return false;
        };
        if says == Says::Renewed || part < gov.item {
            return false;
        }
        let parted = |j: usize| matches!(self.items.list[j].kind, ItemKind::Sign(b';' | b'-'));
        let particle = |j: usize| {
            let next = self.items.list[j + 1].kind;
            self.items.acts(j, Act::Place)
                && (self.items.acts(j + 1, Act::And) || matches!(next, ItemKind::Sign(_)))
        };
        self.brings_new(gov) || (part + 1..i).any(|j| parted(j) || particle(j))
    }

    /// Whether a word of repair begins a clause of its own behind what is needed:
    /// `needs tires, recently replaced the belt`, `..; brand new pump`. A bare
    /// `new` may go on with the list.
    fn was_done_apart(&self, i: usize) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        let word = self.items.word(i);
        let own = last > first
            || self.items.is_a(i, WordClass::Newer)
            || word.ends_with("ed") && !self.items.is_a(i, WordClass::Used);
        let mut before = self.before_modifiers(i);
        while before > 0 && self.items.acts(before - 1, Act::And) {
            before = self.before_modifiers(before - 1);
        }
        let sign = before.checked_sub(1).map(|j| self.items.list[j].kind);
        own && self.section.is_none()
            && self.gov.is_some_and(|g| g.count > 0)
            && matches!(sign, Some(ItemKind::Sign(b',' | b'-' | b';' | b'/')))
    }

    /// Whether what a verb governs is new by its own words: `got a new pump`,
    /// `put new tires on`. No fault is.
    pub(super) fn brings_new(&self, gov: Governor) -> bool {
        let new = |cue: Option<Cue>| {
            cue.is_some_and(|c| c.side == Side::Either && c.act == Act::State(Says::Renewed))
        };
        let Item { last, .. } = self.items.list[gov.item];
        let behind = self.mentions[self.clause..]
            .iter()
            .find(|m| m.item > gov.item);
        let first = behind.map_or(gov.item, |m| m.item);
        gov.says == Says::Renewed
            && (new(self.items.cue_of(last, last))
                || (gov.item + 1..first).any(|j| new(self.items.cue(j))))
    }
}
