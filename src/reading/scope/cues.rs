//! A cue is met: what does it govern?

use super::*;

impl Walk<'_> {
    pub(super) fn cue(&mut self, i: usize, cue: Cue) {
        match cue.act {
            Act::Border => {
                let within = self.goes_on_within(i);
                self.border(i);
                self.pronoun = within.then_some(i);
            }
            Act::But => {
                self.border(i);
                self.turn_start = i + 1;
                // `had a pump put in, but the belt is due`
                self.past = None;
            }
            Act::When => {
                self.border(i);
                self.when = true;
            }
            Act::Negates | Act::Copula | Act::Echoes | Act::Was | Act::Pronoun
                if self.answers_hearsay(i) => {}
            Act::Lacks | Act::Negates if self.no_more(i) => {}
            Act::Lacks | Act::Negates | Act::Affirms if self.answered_in_full(i) => {}
            Act::Negates if cue.side == Side::Before && self.not_on_side(i) => {}
            Act::Lacks | Act::Negates if cue.side == Side::Before => self.answer_no(i),
            // `don't read no more`: said already.
            Act::Lacks | Act::Negates if self.ends_denial(i) => {}
            Act::Lacks if self.denies_a_thing(i) => self.border(i),
            Act::Lacks | Act::Negates => {
                self.deny_from(i, cue.act);
                // `no the heater does not work`, `no there is no rust`
                if cue.act == Act::Lacks && self.answers_ahead(i) {
                    self.settle_bare_negation(i + 1);
                }
            }
            Act::Because if self.renewed_before(i) => {
                self.border(i);
                self.past = Some(i);
            }
            // `smooth thanks to a new pump`
            Act::Because if self.renews_next(i) => self.border(i),
            Act::Because => self.verb(i, Says::Bad),
            Act::NegatesAll if self.neither_object(i) => {}
            Act::NegatesAll => self.neg_all = true,
            Act::Hedges if cue.side == Side::Before => self.hedge_back(i),
            // `maybe 20k on it`: only the figure is a guess.
            Act::Hedges if self.items.list.get(i + 1).map(|n| n.kind) == Some(ItemKind::Number) => {
            }
            Act::Hedges => {
                self.hedge = Some(i);
                self.hedge_used = false;
                // `new coil and plugs, maybe the pump`
                let told = self.gov.is_some_and(|g| {
                    let named = self.mentions.last().is_some_and(|m| m.item > g.item);
                    (g.count > 0 || named)
                        && matches!(g.says, Says::Renewed | Says::Sound | Says::Spare)
                });
                // `replaced the pump, also maybe the coil`
                let before = self.before_modifiers(i);
                // `don't think it needs a lot, maybe a ball joint`
                let denied = self.gov.is_some_and(|g| g.negated && g.verb);
                if (told || denied)
                    && before > 0
                    && (matches!(self.items.list[before - 1].kind, ItemKind::Sign(_))
                        || self.items.acts(before - 1, Act::And))
                {
                    self.gov = self.section;
                }
                // `the trans is probably fine`: still said of what stands before.
                // So is `the trans is probably bad and new mounts last year`.
                let alone = self.items.acts(i + 2, Act::And)
                    && self
                        .items
                        .cue(i + 1)
                        .is_some_and(|c| c.side == Side::Either);
                let is = i > 0
                    && self.items.acts(i - 1, Act::Copula)
                    && (alone || !self.part_follows(i, 1));
                // `the radiator might leak`
                let does = self.mentions.last().is_some_and(|m| m.item + 1 == i)
                    && self
                        .items
                        .phrase(i + 1)
                        .is_some_and(|p| !p.meaning.effects.is_empty())
                    && self.part_ahead(i + 1).is_none();
                let of_before = is || does || self.doubt_alone(i);
                if !of_before {
                    self.clause = self.mentions.len();
                }
            }
            // `Might want tires before winter`
            Act::Unreal if self.heading(i) == Some(Says::Suspect) && self.part_follows(i, 0) => {
                self.verb(i, Says::Suspect);
            }
            Act::Unreal => {
                // `I would mention it if it leaked`
                if i > 0 && self.items.acts(i - 1, Act::Tells) {
                    self.told_if = Some(i);
                }
                self.wished(i);
                self.unreal = Some(i);
            }
            Act::Dates => self.dated(i),
            Act::Tells => self.would_be_told(i),
            Act::Past => self.past = Some(i),
            Act::Formerly => self.formerly = true,
            Act::NoLonger if self.no_longer(i) => {}
            Act::Cures if self.only_then(i) => {}
            Act::Cures | Act::NoLonger => {
                if self.of_that(i) {
                    self.done_by(i);
                }
                self.cures(i);
                // `a knock, fixed with a pump`
                if cue.side == Side::After && self.part_follows(i, 0) {
                    self.verb(i, Says::Renewed);
                }
            }
            Act::Relapses => self.relapses(i),
            Act::Returns if self.returns(i) => {}
            Act::Returns if cue.side == Side::Before => self.predicate(i, Says::Bad),
            Act::Returns => {}
            Act::Refutes if self.never_fitted(i) => {}
            Act::Refutes => self.refutes(i),
            Act::Traces => self.traced = true,
            Act::Unsettles => self.unsettles(i),
            Act::Ends => self.ends_symptom(i),
            Act::PutOff => {}
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
                if answers && let Some(k) = self.asked_likewise() {
                    self.say_of(k, i, Says::Renewed, false);
                } else if answers && let Some(k) = self.symptom_asked() {
                    self.say_of(k, i, Says::Bad, false);
                } else if answers || closes {
                    self.predicate(i, Says::Sound);
                }
            }
            Act::Latest => {
                self.latest = true;
                // `used to be red, these days it is faded`
                self.formerly = false;
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
            // `things that were done`
            Act::Pronoun if self.of_unnamed(i) => {}
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
                if self.told_behind_if(i) {
                    self.unreal = None;
                }
            }
            Act::And => {
                self.was = None;
                self.settle_closed_hedge(i);
                self.spend_neither(i);
                // `the right ones do not and ...`
                if self
                    .neg
                    .is_some_and(|(n, act)| n + 1 == i && act == Act::Negates)
                {
                    self.settle_bare_negation(i);
                }
                self.over(i);
            }
            // `no, it's a vacuum leak`
            Act::Modifier | Act::Side if self.answered_no(i) => self.neg = None,
            Act::Place | Act::Modifier if self.praised_with_all(i) => {}
            Act::Place if self.new_one_in(i) => {}
            Act::Place if self.paid_for(i) => self.verb(i, Says::Renewed),
            Act::Place if self.traced_to(i) => self.verb(i, Says::Bad),
            Act::Place if self.kept_for_it(i) => {
                self.say_of(self.mentions.len() - 1, i, Says::Spare, false);
            }
            // `is not leaking or making noise`
            Act::Or if !self.neg_all && self.denied_right_before(i) => {
                self.deny_from(i, Act::Negates);
            }
            // `does not have a working radio or a second key`
            Act::Or if self.lacks_before(i) => self.deny_from(i, Act::Lacks),
            Act::Or
            | Act::Place
            | Act::Modifier
            | Act::Side
            | Act::Kind
            | Act::Still
            | Act::Others
            | Act::Lately
            | Act::Some => {}
            // `Had bad brakes, replaced.`
            Act::Copula
                if self.items.is_a(i, WordClass::Had)
                    && self
                        .items
                        .is_cue(i + 1, Act::State(Says::Bad), Side::Either) =>
            {
                self.past = Some(i);
            }
            Act::Echoes if self.echoes(i) => self.predicate(i, Says::Sound),
            Act::Copula | Act::Echoes | Act::Was | Act::ToCome => {
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
            // `alternator - ditto`
            Act::With if self.closes_behind_a_part(i) => self.too(i),
            // `Nor does the radio work.`
            Act::With if i == self.sentence_start && self.denies_too(i) && !self.says_it_too(i) => {
                self.neg = Some((i, Act::Lacks));
                self.neg_words = 0;
            }
            // `is good and then the floor is rusted through`
            Act::With if self.tells_of_next(i) => {}
            Act::With => {
                if let Some(m) = self
                    .mentions
                    .last()
                    .filter(|m| m.sentence == self.sentence || self.likewise(i, m))
                    .filter(|m| !self.denies_too(i) || m.says == Some(Says::Sound))
                    .filter(|m| {
                        let says = self.told_of_part(m, i);
                        let shared = matches!(says, Some(Says::Renewed | Says::Bad));
                        shared || says == Some(Says::Sound) && self.likewise(i, m)
                    })
                {
                    let (item, says) = (m.cue.unwrap_or(m.item), self.told_of_part(m, i));
                    // `since 2018: pump with its hose, axle`: the list goes on.
                    let listed = |g: Governor| g.verb && !g.trailing && g.item == item;
                    if self
                        .gov
                        .is_none_or(|g| !listed(g) && (g.count > 0 || g.item < item))
                    {
                        self.share(item, says);
                    }
                }
            }
            Act::Too => self.too(i),
            // `Done: brakes, tires`: a heading, and nothing of what was told before.
            Act::State(_) if self.heads_sentence(i) || self.heads_lines(i) => {}
            Act::State(Says::Renewed) if self.until_done(i) => {}
            Act::State(Says::Renewed) if cue.side != Side::Next && self.fitted_since(i) => {}
            // `records show the pump being replaced in March of 2020`
            Act::State(Says::Bad) if self.was_being_done(i) => self.predicate(i, Says::Renewed),
            // `must be renewed`
            Act::State(Says::Renewed)
                if self.is_to_come(i) && (cue.side != Side::After || !self.part_follows(i, 0)) =>
            {
                self.predicate(i, Says::Bad);
            }
            Act::State(Says::Spare) if cue.side == Side::After && self.spare_of_last(i) => {}
            Act::State(says) => match cue.side {
                // `radio fitted in March`
                Side::After if says == Says::Renewed && self.closes_on_a_part(i) => {
                    self.predicate(i, says);
                }
                // `had new struts fitted; ...`
                Side::After
                    if says == Says::Renewed && self.closes(i) && self.new_right_before(i) => {}
                Side::After if says == Says::Bad && self.wanted(i) => self.want_back(i),
                Side::After => self.verb(i, says),
                Side::Next if self.one_if_not_the_other(i) => self.verb(i, Says::Suspect),
                Side::Next if self.part_follows(i, 0) => self.verb(i, says),
                Side::Next => {}
                // `a dent in the trunk`
                Side::Before if says == Says::Spare && self.behind_a_fault(i) => {}
                Side::Before => {
                    self.predicate(i, says);
                    // `was changed it ticks`: work that was done leaves nothing
                    // behind it in the past.
                    if says == Says::Renewed {
                        self.was = None;
                    }
                }
                Side::Either => self.adjective(i, says),
            },
        }
    }

    /// `that were` right behind a word that names no part is said of that word.
    fn of_unnamed(&self, i: usize) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        let that = self.items.is_a(i, WordClass::That)
            && match last - first {
                1 => self
                    .items
                    .token_is(last, &[WordClass::Are, WordClass::Were, WordClass::Was]),
                2 => {
                    self.items.token_is(last - 1, &[WordClass::Has])
                        && self.items.token_is(last, &[WordClass::Be])
                }
                _ => false,
            };
        that && i > self.sentence_start && self.items.is_word(i - 1)
    }

    /// Whether this is all that stands between the start of a sentence and a
    /// colon.
    fn heads_sentence(&self, i: usize) -> bool {
        let small = |j: usize| {
            self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Pronoun)
                || self.items.acts(j, Act::Border)
        };
        // `What it comes with`
        let small = |j: usize| small(j) || self.items.is_a(j, WordClass::What);
        self.items.list.get(i + 1).map(|n| n.kind) == Some(ItemKind::Sign(b':'))
            // `: a spare radiator`
            && (self.part_ahead(i + 1).is_some() || (i + 2..i + 5).any(|j| self.items.names(j)))
            && self
                .heading_start(i + 1)
                .is_some_and(|start| start <= i && (start..i).all(small))
    }

    /// `Bad` / `pump` / `Done` / `tires`: whether this is a line of its own under
    /// the list of another heading, with a part on the line behind it.
    fn heads_lines(&self, i: usize) -> bool {
        let ends = |j: usize| match self.items.list.get(j).map(|n| n.kind) {
            Some(ItemKind::End(sign)) => sign == b'\n',
            Some(kind) => kind == ItemKind::Blank,
            None => false,
        };
        let bullet = |j: usize| matches!(self.items.list[j].kind, ItemKind::Sign(b'-' | b'*'));
        let Some(m) = self.mentions.last() else {
            return false;
        };
        let listed = m
            .cue
            .is_some_and(|c| m.says.is_some() && (c..m.item).any(ends));
        let alone = i == self.sentence_start && i > 0 && ends(i - 1) && ends(i + 1);
        listed && alone && {
            let first = (i + 2..self.items.list.len()).find(|j| !bullet(*j));
            first.is_some_and(|j| self.items.names_part(self.after_modifiers(j)))
        }
    }

    /// Whether the part named last in this clause was renewed: what follows
    /// `because of` is then what ailed it before.
    fn renewed_before(&self, i: usize) -> bool {
        self.mentions.last().is_some_and(|m| {
            self.mentions.len() > self.clause
                && m.sentence == self.sentence
                && m.says == Some(Says::Renewed)
                && !(m.item..i).any(|j| self.items.acts(j, Act::Pronoun))
        })
    }

    /// Whether a part stands right before this and none behind it.
    fn closes_on_a_part(&self, i: usize) -> bool {
        self.mentions.last().is_some_and(|m| {
            // `Radiator, fitted 2019`
            // `Radiator (fitted 11/23, failed 04/24)`
            let comma = |j: usize| {
                let sign = matches!(self.items.kind(j), ItemKind::Sign(b',' | b'('));
                j == m.item + 1 && sign
            };
            let apart = |j: usize| comma(j) && self.time_behind(i);
            m.is_open()
                && !m.is_equipment()
                && m.sentence == self.sentence
                && (m.item + 1..i).all(|j| self.items.acts(j, Act::Copula) || apart(j))
        }) && self
            .gov
            .is_none_or(|g| g.count > 0 || g.sentence != self.sentence)
            && matches!(
                self.items.list.get(i + 1).map(|n| n.kind),
                None | Some(
                    ItemKind::End(_)
                        | ItemKind::Blank
                        | ItemKind::Phrase(_)
                        | ItemKind::Number
                        | ItemKind::Sign(b',' | b';' | b'-' | b')' | b'/')
                )
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

    pub(super) fn take_negation(&mut self) -> Option<usize> {
        if self.neg_list {
            return None;
        }
        self.neg.take().map(|(item, _)| item)
    }
}
