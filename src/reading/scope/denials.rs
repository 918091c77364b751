//! What a denial does to a part that is named: which words it turns round, and
//! which denials are part of the name.

use super::*;

impl Walk<'_> {
    pub(super) fn apply_negation(&mut self, m: &mut Mention, noun: bool) {
        let active = match self.neg {
            // `ain't no lights on`: two denials are one.
            Some((item, Act::Negates)) if item + 1 == m.item && self.begins_with_denial(m.item) => {
                self.neg = None;
                None
            }
            Some((item, act)) => {
                self.neg = None;
                self.neg_list = true;
                Some((item, act))
            }
            None if self.neg_list
                && m.linked
                && !m
                    .named
                    .iter()
                    .any(|n| matches!(n.naming, Naming::States(Says::Sound | Says::Renewed))) =>
            {
                // The denial goes on over the list.
                let previous = self.mentions.last();
                let carried = previous.filter(|p| p.denied || p.lacks);
                match carried.and_then(|p| p.cue) {
                    Some(cue) if self.list_goes_on(m.item, noun) => {
                        let act = if previous.is_some_and(|p| p.lacks) {
                            Act::Lacks
                        } else {
                            Act::Negates
                        };
                        // Under `no` both parts and faults are denied.
                        let act = self.items.cue(cue).map_or(act, |c| c.act);
                        Some((cue, act))
                    }
                    _ => {
                        self.neg_list = false;
                        None
                    }
                }
            }
            None => {
                self.neg_list = false;
                None
            }
        };
        // `no smoke or rattles`, where `no smoke` is one phrase
        let active = active.or_else(|| {
            let p = self.mentions.last().filter(|_| m.linked)?;
            let act = if noun {
                self.lacks_itself(p)?
            } else {
                self.denies_itself(p)?
            };
            let or = self.before_modifiers(m.item).wrapping_sub(1);
            let listed = self.items.acts(or, Act::Or) || self.or_ahead(m.item + 1);
            (listed && self.denies_itself(m).is_none()).then_some((p.item, act))
        });
        self.neg_list |= active.is_some();
        // `neither rust nor rattles`
        if active.is_none() && self.neg_all && !noun {
            m.denied = true;
        }
        let Some((item, act)) = active else { return };
        m.cue = Some(item);
        if !noun {
            m.denied = true;
            return;
        }
        // `no rust in the floors, rockers or frame`: the list of places goes on.
        let place_of_rust = self
            .mentions
            .last()
            .is_some_and(|p| p.denied && !p.is_noun())
            && m.named
                .iter()
                .all(|n| self.parts.code(n.part).starts_with("rust_"));
        match act {
            Act::Lacks if place_of_rust => {
                m.says = Some(Says::Sound);
                m.denied = true;
            }
            // `no broken glass`
            Act::Lacks if self.lacks_a_fault(item) || self.lacks_a_faulty(item, m.item) => {
                m.says = Some(Says::Sound);
                m.denied = true;
            }
            Act::Lacks => {
                m.lacks = true;
                m.says = Some(Says::Bad);
            }
            _ if self.but_not(item) && self.is_bare(m.item) => m.says = Some(Says::Bad),
            // `it is not the battery`, `didn't replace the pump`: no claim,
            // unless a predicate follows.
            // Nor does the participle of `never had the clutch replaced` say so.
            _ if self.predicate_ahead(m.item, false) == Some((Some(Says::Renewed), false))
                && self.own_predicate_near(m.item) =>
            {
                m.consumed = true;
                m.place = true;
            }
            // `I don't think the pump is bad`: what is said of it is denied.
            _ if self.doubts(item) && self.own_predicate_near(m.item) => {
                self.neg = Some((item, act));
                self.neg_list = false;
                m.cue = None;
            }
            // `not the battery, the starter is bad`: said of the other.
            _ => {
                m.consumed =
                    !(self.own_predicate(m.item, false) && self.own_predicate_near(m.item));
            }
        }
    }

    /// `I replaced neither the pump nor the belt`: whether this denies what a verb right
    /// before it says of its objects. Says so.
    pub(super) fn neither_object(&mut self, i: usize) -> bool {
        let verb = |g: &Governor| g.verb && g.count == 0 && g.item + 1 == i && !g.negated;
        match self.gov.filter(verb) {
            Some(gov) if self.part_follows(i, 0) => {
                self.gov = Some(Governor {
                    negated: true,
                    ..gov
                });
                true
            }
            _ => false,
        }
    }

    /// Whether a denial is of what somebody thinks: `don't think the`.
    fn doubts(&self, item: usize) -> bool {
        let mut within = self.items.within(self.items.list[item]);
        self.begins_with_denial(item)
            && within.any(|p| p.meaning.cue.is_some_and(|c| c.act == Act::Hedges))
    }

    /// Denies what comes from here on.
    pub(super) fn deny_from(&mut self, i: usize, act: Act) {
        self.neg = Some((i, act));
        self.neg_words = 0;
        // `no knocks, no leaks from the engine`: denied anew.
        self.neg_list &= act != Act::Lacks;
    }

    /// Whether a saying stands right before this item that is denied.
    pub(super) fn denied_right_before(&self, i: usize) -> bool {
        let last = self.extra.last();
        last.is_some_and(|s| s.denied && s.cue.is_some_and(|c| c + 1 == i))
    }

    /// Whether an item denies what follows it.
    pub(super) fn denies(&self, i: usize) -> bool {
        self.items.acts(i, Act::Negates) || self.items.acts(i, Act::Lacks)
    }

    /// `brakes shot no trades`, `no dealers radio works`: whether a thing that no
    /// table knows is denied here, and nothing else.
    pub(super) fn denies_a_thing(&self, i: usize) -> bool {
        let thing = i + 1;
        let word = self.items.word(thing);
        let several = word.ends_with('s') && !word.ends_with("ss") && !word.ends_with("us");
        let closes = matches!(self.items.kind(i + 2), ItemKind::End(_) | ItemKind::Blank);
        let unknown = self.items.is_word(thing) && (several && !self.items.joins(i + 2) || closes);
        self.items.is_alone(i, WordClass::No) && unknown
    }

    /// Whether `no more` ends what is denied before it, `the gauge don't read no
    /// more`, and denies nothing that follows.
    pub(super) fn ends_denial(&self, i: usize) -> bool {
        const REACH: usize = 5;
        let goes_on = |j: &usize| {
            self.items.is_word(*j) || matches!(self.items.list[*j].kind, ItemKind::Phrase(_))
        };
        let denial = |j: usize| self.items.acts(j, Act::Negates) || self.holds_not(j);
        let item = self.items.list[i];
        item.last == item.first + 1
            && self.items.is_a(i, WordClass::No)
            && self.items.token_is(item.last, &[WordClass::More])
            && (i.saturating_sub(REACH)..i)
                .rev()
                .take_while(goes_on)
                .any(denial)
    }

    /// Whether one of the words of an item denies: `would not run`.
    pub(super) fn holds_not(&self, item: usize) -> bool {
        self.items.has_any(item, &[WordClass::Not])
    }

    /// Whether a phrase begins with a denial: under `never fixed the`, `or` leaves
    /// no choice.
    pub(super) fn begins_with_denial(&self, item: usize) -> bool {
        let denial = |c: Cue| matches!(c.act, Act::Negates | Act::Lacks);
        self.items.list.get(item).is_some_and(|n| {
            // `no`, `does not`
            let mut ends = n.first..=n.last.min(n.first + 1);
            ends.any(|end| self.items.cue_of(n.first, end).is_some_and(denial))
        })
    }

    /// Whether an item's first word denies by itself: `isn't sagging`, not `does not
    /// respond`, which tells what a part cannot do.
    pub(super) fn first_word_denies(&self, i: usize) -> bool {
        let first = self.items.list[i].first;
        let denial = |c: Cue| matches!(c.act, Act::Negates | Act::Lacks);
        self.items.cue_of(first, first).is_some_and(denial)
    }

    /// `carpet is not foggy`: a fault that no row has for this part, and that is
    /// denied of it.
    pub(super) fn denies_a_fault(&mut self, denial: usize, at: usize) {
        let small = |j: usize| {
            self.items.acts(j, Act::Copula)
                || self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Latest)
        };
        // `doesn't buzz at all`
        let ends = |j: usize| small(j) || self.items.is_a(j, WordClass::At);
        let last = (denial + 2..at).all(ends) && self.only_a_fault(denial + 1);
        let not = self.items.acts(denial, Act::Negates) && !self.denies_ability(denial);
        if last
            && not
            && let Some(k) = self.open_subject(denial, small)
        {
            self.say_of(k, denial, Says::Bad, true);
        }
    }

    /// Whether an item begins by denying what a part can do: `won't stay shut`.
    pub(super) fn denies_ability(&self, i: usize) -> bool {
        self.items.is_a(i, WordClass::Ability)
    }

    /// Whether rows know this only as a fault of parts.
    fn only_a_fault(&self, i: usize) -> bool {
        self.items.phrase(i).is_some_and(|p| {
            let m = &p.meaning;
            let fault = |e: &Effect| e.claims.iter().all(|(_, says)| *says == Says::Bad);
            !m.effects.is_empty() && m.named.is_empty() && m.effects.iter().all(fault)
        })
    }

    /// Whether a fault stands between a denial and the part that it is of: `no
    /// hazed lenses`.
    fn lacks_a_faulty(&self, denial: usize, part: usize) -> bool {
        denial + 1 < part
            && (denial + 1..part).all(|j| self.items.acts(j, Act::Modifier) || self.only_a_fault(j))
            && (denial + 1..part).any(|j| self.only_a_fault(j))
    }

    /// Whether this denial ends with a word for what is broken: `no bad`.
    fn lacks_a_fault(&self, item: usize) -> bool {
        let Item { first, last, .. } = self.items.list[item];
        let bad = |c: Cue| c.act == Act::State(Says::Bad) && c.side == Side::Either;
        first < last && self.items.cue_of(last, last).is_some_and(bad)
    }

    /// Whether `still` stands before this item.
    pub(super) fn outlasts(&self, item: usize) -> bool {
        let first = self.before_modifiers(item);
        // `still has a leak`
        let verb = first > 0 && self.items.acts(first - 1, Act::Copula);
        let first = if verb {
            self.before_modifiers(first - 1)
        } else {
            first
        };
        (first..item).any(|j| self.items.acts(j, Act::Still))
    }

    /// `no heat`: a part and its lack in one phrase.
    fn lacks_itself(&self, m: &Mention) -> Option<Act> {
        let lacking = |n: &Named| n.naming == Naming::States(Says::Bad) && !self.is_symptom(n.part);
        let Item { first, .. } = self.items.list[m.item];
        let act = self.items.cue_of(first, first)?.act;
        (act == Act::Lacks && m.named.iter().all(lacking)).then_some(act)
    }

    /// `doesn't smoke`: a fault and its denial in one phrase, and how it denies.
    fn denies_itself(&self, m: &Mention) -> Option<Act> {
        let sound = |n: &Named| n.naming == Naming::States(Says::Sound) && self.is_symptom(n.part);
        if !m.named.iter().all(sound) {
            return None;
        }
        let Item { first, .. } = self.items.list[m.item];
        let denial = |last| {
            let act = self.items.cue_of(first, last)?.act;
            matches!(act, Act::Lacks | Act::Negates).then_some(act)
        };
        denial(first).or_else(|| denial(first + 1))
    }

    /// `no rust except the tailgate`: where the fault is after all that was
    /// denied right before. Says so of the place.
    pub(super) fn excepted(&mut self, gov: Governor, m: &mut Mention) -> bool {
        let excepts = gov.verb
            && gov.says == Says::Bad
            && !gov.negated
            && gov.count == 0
            && gov.sentence == self.sentence
            && !self.asks_for_work(gov.item);
        let body = |part: PartId| self.parts.get(part).group == "body";
        let rust = |part: PartId| self.parts.code(part).starts_with("rust_");
        let Some(fault) = self.mentions.last().filter(|p| {
            let right_behind = |j: usize| {
                self.items.is_word(j)
                    || self.items.acts(j, Act::Modifier)
                    || self.items.acts(j, Act::Place)
            };
            let free = |n: &Named| n.naming == Naming::States(Says::Sound);
            (p.denied && !p.is_noun() || p.named.iter().all(free))
                && p.sentence == self.sentence
                && p.item < gov.item
                && (p.item + 1..gov.item).all(right_behind)
        }) else {
            return false;
        };
        let Some(denied) = fault.named.first().map(|n| n.part).filter(|p| body(*p)) else {
            return false;
        };
        if !excepts || !m.named.iter().all(|n| body(n.part)) {
            return false;
        }
        // Where rust sits in the floor or the frame, that is its name.
        let named = m.named.iter().any(|n| rust(n.part));
        let part = match rust(denied) {
            true if named => return false,
            true => self.parts.find("rust_panel"),
            false => Some(denied),
        };
        let Some(part) = part else { return false };
        m.cue = Some(gov.item);
        let there = self.saying(m, part, Says::Bad);
        self.extra.push(there);
        m.consumed = true;
        m.place = true;
        true
    }

    /// `the heat works but not the air`
    fn but_not(&self, item: usize) -> bool {
        item > 0
            && (self.items.acts(item - 1, Act::Border)
                || matches!(self.items.list[item - 1].kind, ItemKind::Sign(b',')))
            && self.mentions.last().is_some_and(|p| {
                p.sentence == self.sentence
                    && p.is_noun()
                    && matches!(p.says, Some(Says::Sound | Says::Renewed))
                    && p.cue.is_some_and(|c| {
                        c + 2 == item
                            && matches!(
                                self.items.cue(c),
                                Some(Cue {
                                    side: Side::Before,
                                    ..
                                })
                            )
                    })
            })
    }
}
