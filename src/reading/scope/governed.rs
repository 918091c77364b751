//! What governs a list reaches the part that is named, or ends before it.

use super::*;

impl Walk<'_> {
    /// `needs`, `due for`, `could do with`: what follows is still to be done. Of
    /// `problem with` or `blew the` it is not.
    pub(super) fn asks_for_work(&self, i: usize) -> bool {
        let Item { first, last, .. } = self.items.list[i];
        let asks = |t: u32| {
            // `has to have`, `ought to get`
            let to_have = || {
                self.items.token_is(t, &[WordClass::To])
                    && self.items.token_is(t + 1, &[WordClass::Has])
            };
            self.items
                .token_is(t, &[WordClass::Needs, WordClass::Needed, WordClass::Get])
                || to_have()
        };
        (first..=last).any(asks) || self.heading(i).is_some()
    }

    /// `recently replaced`, `just done`: that it was done.
    fn tells_when(&self, i: usize) -> bool {
        let Some(Item { first, last, .. }) = self.items.list.get(i).copied() else {
            return false;
        };
        let act = self.items.cue_of(first, first).map(|c| c.act);
        let when = last > first && matches!(act, Some(Act::Border | Act::Dates | Act::Modifier));
        // `needs ignition, belt done at 290k`
        let at = i + 1 + usize::from(self.items.acts(i + 1, Act::Place));
        when || self.items.list.get(at).map(|n| n.kind) == Some(ItemKind::Number)
    }

    /// `a spare mirror, transmission slips`: what stands right behind is a saying
    /// known of this part.
    fn told_right_behind(&self, m: &Mention) -> bool {
        let said = self.items.phrase(m.item + 1);
        said.is_some_and(|p| self.known_of(m.item, &p.meaning.effects))
    }

    /// Whether praise stands right behind this item, and a word that no table
    /// knows right behind that.
    fn praise_of_next(&self, i: usize) -> bool {
        self.items
            .is_cue(i + 1, Act::State(Says::Sound), Side::Either)
            && self.items.list.get(i + 2).map(|n| n.kind) == Some(ItemKind::Word)
    }

    /// Whether the praise behind this part is of the car: a pronoun stands between,
    /// or, where the part is the only one that a verb governs, `everything` or
    /// `no` does: `besides the radio everything works`.
    fn rest_praised(&self, part: usize, alone: bool) -> bool {
        let next = part + 1;
        let of_part = self.items.acts(next, Act::Copula)
            || self.items.acts(next, Act::State(Says::Sound)) && !self.begins_with_denial(next);
        self.items.acts(next, Act::Pronoun) || alone && !of_part
    }

    /// `I replaced the pump the driver window does not work`: with nothing that
    /// goes on with the list, a part of which something is told right there
    /// begins a saying of its own.
    fn runs_on(&self, gov: Governor, m: &Mention, noun: bool) -> bool {
        let Some(last) = self.mentions.last().filter(|p| p.item > gov.item) else {
            return false;
        };
        let tokens = self.items.tokens;
        let first = self.items.list[m.item].first as usize;
        let opens = first
            .checked_sub(1)
            .is_some_and(|before| tokens.is_a(before, WordClass::The))
            || tokens.is_a(first, WordClass::The);
        let told = match noun {
            true => self.items.names(m.item + 1) && !self.items.names_part(m.item + 1),
            false => m
                .named
                .iter()
                .all(|n| n.naming.is_fault() && !self.is_symptom(n.part)),
        };
        gov.verb
            && gov.count > 0
            && gov.says == Says::Renewed
            && opens
            && told
            && !(last.item + 1..m.item).any(|j| {
                self.items.joins(j) || matches!(self.items.list[j].kind, ItemKind::Sign(_))
            })
    }

    pub(super) fn apply_governor(&mut self, m: &mut Mention, noun: bool) {
        let Some(mut gov) = self.gov else { return };
        if noun && self.excepted(gov, m) {
            if let Some(gov) = &mut self.gov {
                gov.count += 1;
            }
            return;
        }
        // A list that goes on is left where an item has a predicate of its own.
        let first = gov.count == 0
            && gov.sentence == self.sentence
            && self.mentions.last().is_none_or(|p| p.item < gov.item);
        // `needs motor good body`: the adjective belongs to what follows.
        let bare = first && gov.verb && self.praise_of_next(m.item);
        let own = if noun && (gov.says != Says::Spare || gov.count > 0) && !bare {
            self.predicate_ahead(m.item, !first)
                .filter(|_| !first || self.own_predicate_near(m.item))
        } else {
            None
        };
        // `other than the clutch it's perfect`: the car is.
        let own = own.filter(|o| {
            gov.says != Says::Bad
                || o.0 != Some(Says::Sound)
                || !self.rest_praised(m.item, first && gov.verb && !gov.negated)
        });
        let own = own.or_else(|| self.heard_of_several(gov, m.item));
        // `comes with wiper arms and a bulb in the console`
        let own = own.filter(|o| {
            gov.says != Says::Spare
                || o.0 != Some(Says::Spare) && (*o != (None, false) || self.told_right_behind(m))
        });
        // `replaced: pump (seeping), belt`: why, and not how it is.
        let why = gov.says == Says::Renewed
            && self.bracket_of_then(m.item + 1)
            && own.is_some_and(|o| o.0.is_none_or(Says::is_fault));
        let own = own.filter(|_| !why);
        // `replaced the pump and the belt, struts are fine`: the list is closed.
        let closes = gov.count > 0 && self.closes_a_list(m.item);
        let own = own.filter(|_| !closes || self.own_predicate_near(m.item));
        // `needs a pump, have the part`: what comes along leaves the need.
        let own = own.filter(|o| gov.says != Says::Bad || o.0 != Some(Says::Spare));
        let own = own.filter(|_| !self.needs_work_on(gov, m.item));
        // `was going to do the struts this summer`: when, and not that it was done.
        let planned = first && gov.verb && gov.says == Says::Bad && !gov.negated;
        let own = own.filter(|_| !(planned && self.items.acts(m.item + 1, Act::Dates)));
        // `needs front brakes they are grinding`
        let why = |o: &(Option<Says>, bool)| o.0.is_none_or(Says::is_fault);
        let wanted = first && gov.verb && gov.says == Says::Bad && !gov.negated;
        let own = own.filter(|o| {
            !(wanted
                && why(o)
                && self.items.acts(m.item + 1, Act::Pronoun)
                && self.asks_for_work(gov.item))
        });
        // `needs wiring sorted`: the participle tells what is to be done, but not
        // in `needs tires, brakes just done`.
        let to_be_done = gov.verb
            && (first || !self.done_at_a_time(m.item))
            && gov.says == Says::Bad
            && own == Some((Some(Says::Renewed), false))
            && self.items.list.get(m.item + 1).is_some_and(|n| {
                let mut said = m.item + 1;
                while self.items.acts(said, Act::Modifier) {
                    said += 1;
                }
                matches!(n.kind, ItemKind::Phrase(_)) && !self.items.is_a(said, WordClass::New)
            })
            && self.asks_for_work(gov.item)
            && !self.tells_when(m.item + 1)
            && !self.items.acts(m.item + 1, Act::Dates)
            && !self.items.acts(m.item + 1, Act::Place)
            && !self.is_over(self.after_modifiers(m.item + 1));
        // `needs a battery; struts replaced`
        let last = self.mentions.last().map_or(gov.item, |p| p.item);
        let parted = (last.max(gov.item)..m.item)
            .any(|j| matches!(self.items.list[j].kind, ItemKind::Sign(b';' | b'-')));
        if own.is_some() && (!to_be_done || parted) {
            // `new pump is noisy, maybe the belt`: the adjective is spent.
            if !first || !gov.verb {
                self.gov = self.section;
                // `i think it needs struts and the tires are worn`
                if self.hedge_used {
                    self.hedge = None;
                }
                // `quoted 800 for the clutch and the pump is fine`
                if self.items.list[gov.item].kind == ItemKind::Number {
                    self.unreal = None;
                    m.unreal = false;
                }
            }
            return;
        }
        if !noun && gov.parts_only {
            return;
        }
        if self.tells_of_a_day(gov, m.item) {
            self.gov = self.section;
            return;
        }
        if self.runs_on(gov, m, noun) {
            self.gov = self.section;
            return;
        }
        // `code for a misfire`: the fault is there, only a part would be doubted.
        if !noun && gov.says == Says::Suspect {
            return;
        }
        // `new check engine light since Tuesday`: a fault that is new is there.
        let fault = |n: &Named| n.naming == Naming::Fault;
        if gov.says == Says::Renewed
            && gov.count == 0
            && gov.item + 1 == m.item
            && !gov.verb
            && m.named.iter().all(fault)
            && self.brings_new(gov)
        {
            self.gov = self.section;
            return;
        }
        // `new thermostat, still overheats`
        if !noun && gov.says == Says::Renewed && self.outlasts(m.item) {
            return;
        }
        // `new tires, small oil leak`: what is new shares that with parts alone.
        if !noun
            && gov.says == Says::Renewed
            && gov.count > 0
            && self.renews_parts(gov, m.item)
            && !self.aim(m.item)
        {
            self.gov = self.section;
            return;
        }
        // `needs tires, oil changed regularly`
        if gov.verb && gov.says == Says::Bad && (gov.count > 0 || parted) && self.kept_up(m) {
            self.gov = self.section;
            return;
        }
        // `fixed the heater and the AC does not work`, `might have a bad pump;
        // cat is missing`: a clause of its own.
        let clause = || self.begins_with_part(m) && self.tells_state(m.item);
        let states = |n: &Named| n.naming == Naming::States(Says::Bad);
        let apart = || parted && m.named.iter().all(states) && self.section.is_none();
        if !noun
            && !gov.negated
            && gov.count > 0
            && (gov.says == Says::Renewed && (clause() || apart()) || gov.hedged && clause())
        {
            self.gov = self.section;
            return;
        }
        // `a blown hose, also new paint`
        let new = |n: &Named| n.naming == Naming::States(Says::Renewed);
        if gov.says == Says::Bad && !gov.verb && m.named.iter().all(new) {
            self.gov = self.section;
            return;
        }
        // `can't get rid of the misfire`
        if !noun && gov.says == Says::Renewed && gov.negated {
            self.gov = self.section;
            return;
        }
        if !noun && gov.says == Says::Sound && !gov.negated {
            // `good, no leaks`: praise does not mend a fault.
            return;
        }
        if gov.trailing {
            if noun && self.shared_with_last(m.item, gov.says) && !self.own_predicate(m.item, false)
            {
                m.says = Some(gov.says);
                m.cue = Some(gov.item);
                m.shared = true;
            } else {
                self.gov = self.section;
            }
            return;
        }
        // `new clutch, sunroof, bald tires`: equipment alone in a list is no item
        // of what an adjective rules over.
        let ruled = gov.verb && m.linked;
        let listed = || gov.says != Says::Sound && self.among_parts(m.item);
        let alone = || self.bare_entry(m.item) && !listed();
        if noun && gov.count > 0 && !ruled && m.is_feature() && alone() {
            return;
        }
        // `receipts in the glovebox`: a place inside a list is no item of it.
        if noun && gov.count > 0 && self.placed(m.item) && !m.linked {
            return;
        }
        if gov.count > 0 && !gov.verb && !m.linked && !self.near_list(m.item) && !self.aim(m.item) {
            self.gov = self.section;
            return;
        }
        m.says = gov.gives();
        m.found = self
            .items
            .is_cue(gov.item, Act::State(Says::Bad), Side::Next)
            || self.items.acts(gov.item, Act::Place);
        // `if you replace the pump`: it still is to be.
        if gov.verb && m.says == Some(Says::Renewed) && self.unreal.is_some_and(|u| u < gov.item) {
            m.says = Some(Says::Bad);
        }
        m.cue = Some(gov.item);
        m.hedged = gov.hedged;
        // `needs a coil or plugs`: one of them, nobody knows which.
        if gov.count > 0
            && m.says == Some(Says::Bad)
            && m.linked
            // `no working wipers or horn`: neither.
            && !gov.negated
            && !self.begins_with_denial(gov.item)
            && self
                .items
                .acts(self.before_modifiers(m.item).wrapping_sub(1), Act::Or)
        {
            m.hedged = true;
            self.hedge_list();
        }
        if gov.negated && m.says.is_none() {
            m.consumed = true;
        }
        // `It does not have: rust, leaks`; `what it does not do: it doesn't smoke`
        let denies = gov.verb && !noun && self.denies(gov.item);
        if denies {
            m.says = None;
            m.denied = !self.begins_with_denial(m.item);
        }
        if gov.negated && !noun {
            m.denied = gov.says == Says::Bad;
        }
        gov.count += 1;
        self.gov = Some(gov);
    }
}
