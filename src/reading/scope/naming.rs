//! A part or a fault is named: what governs it already?

use super::lists::unsaid;
use super::stops::says_sound;
use super::*;

impl Walk<'_> {
    pub(super) fn name(&mut self, i: usize, named: &[Named]) {
        let previous = self.mentions.last().filter(|m| m.sentence == self.sentence);
        let linked = previous.is_some_and(|m| {
            self.mentions.len() > self.clause && self.only_list_between(m.item, i)
        });
        let mut m = Mention {
            item: i,
            named: named.to_vec(),
            says: None,
            cue: None,
            lacks: false,
            denied: false,
            linked: linked || self.other_end(i),
            past: self.in_the_past(),
            unreal: self.unreal.is_some(),
            latest: self.latest,
            consumed: false,
            shared: false,
            formerly: self.formerly,
            hedged: false,
            heard: false,
            question: false,
            found: false,
            place: false,
            qualifiers: self.qualifiers(i),
            sentence: self.sentence,
        };
        if let Some(k) = self.same_short(&m) {
            m.named.clone_from(&self.mentions[k].named);
        }
        if !self.light_of(&mut m) {
            return;
        }
        let noun = m.is_noun();
        if noun {
            self.ledger_line(i);
        }
        m.past |= self.had_it(&m);
        // `has a sunroof`: how it is equipped.
        if noun
            && self.neg.is_none()
            && self.has_it(i)
            && !(self.own_predicate(i, false) && self.own_predicate_near(i))
        {
            let plain = |n: &&mut Named| n.naming == Naming::Noun;
            m.named
                .iter_mut()
                .filter(plain)
                .for_each(|n| n.naming = Naming::Equipment);
        }
        // `shifts fine when it is warm` praises nothing.
        if m.named
            .iter()
            .all(|n| n.naming == Naming::States(Says::Sound))
            && (self.qualified(i) || self.at_other_times(i, named))
        {
            m.consumed = true;
            self.mentions.push(m);
            return;
        }
        if self.dead_itself(i, named) {
            return;
        }
        if self.never_stops(named) {
            self.neg = None;
            return;
        }
        if let Some(k) = self.stops_itself(i, named) {
            let says = match says_sound(named) {
                true => Says::Sound,
                false => Says::Bad,
            };
            self.say_of(k, i, says, false);
            return;
        }
        if let Some(denial) = self.taken_by(i) {
            // `leaks, probably the pan, struts are tired`
            self.hedge_used |= self.hedge.is_some();
            m.consumed = true;
            if denial.is_some() {
                (m.denied, m.cue) = (true, denial);
            }
            self.mentions.push(m);
            return;
        }
        let place = noun
            && self.placed(i)
            && !self.other_end(i)
            && self.mentions.last().is_some_and(|p| {
                p.sentence == self.sentence
                    && self.mentions.len() > self.clause
                    && p.is_noun()
                    && (p.is_open() || p.lacks || p.place || p.consumed && p.says.is_none())
                    && self.words_between(p.item, i) == 0
                    && !(p.item + 1..i).any(|j| self.items.joins(j))
            });
        if place
            || noun
                && (self.kept_there(i)
                    || self.place_of_fault(i, named)
                    || self.spoken_for(i, named))
        {
            m.place = true;
            m.consumed = true;
            self.mentions.push(m);
            return;
        }
        if self.have_it_for_the_fault(&m) {
            (m.says, m.cue) = (Some(Says::Spare), Some(i));
            self.mentions.push(m);
            return;
        }
        if m.is_equipment() && !self.needed_itself(i) && !self.headed_by_state(&m) {
            // `needs tires, 5 speed`: the list goes by it.
            self.note(|w| format!("names '{}' as equipment: open", w.words(i)));
            self.mentions.push(m);
            return;
        }
        if noun && self.compound(i) {
            // `tailgate window`, `engine harness`: the last noun is the thing.
            if let Some(p) = self.mentions.last_mut() {
                // `distributor bearing`: a piece of the part before it.
                if m.named.iter().all(|n| n.naming == Naming::Generic)
                    && p.named.iter().all(|n| n.naming != Naming::Subject)
                {
                    m.named.clone_from(&p.named);
                }
                m.says = p.says.take();
                m.cue = p.cue;
                m.lacks = std::mem::take(&mut p.lacks);
                m.hedged = std::mem::take(&mut p.hedged);
                m.linked = p.linked;
                p.place = true;
                p.consumed = true;
            }
            self.mentions.push(m);
            return;
        }
        if self.doubts_the_one_before(i) {
            self.hedge = None;
        }
        self.share_back(&m);
        self.apply_negation(&mut m, noun);
        if m.says.is_none() && !m.denied {
            self.apply_governor(&mut m, noun);
        }
        if noun && m.is_open() && self.bracketed_cause(i) {
            m.says = Some(Says::Bad);
        }
        let hedge = match noun {
            true => self.live_hedge(i, self.said_apart(&m)),
            false if self.only_told(i) && named.iter().all(|n| self.is_symptom(n.part)) => None,
            false => self.hedge_of_fault(i),
        };
        if let Some(h) = hedge
            && matches!(m.says, None | Some(Says::Bad | Says::Suspect))
            && !m.denied
            && !(noun
                && m.says.is_none()
                && self.own_predicate(i, true)
                && self.own_predicate_near(i))
        {
            m.hedged = true;
            m.heard = self.items.cue(h).is_some_and(|c| c.heard);
            m.cue.get_or_insert(h);
            self.hedge_used = true;
        }
        if let Some(h) = hedge.filter(|_| m.hedged) {
            self.either_doubted(&m, h);
        }
        if m.linked && unsaid(&m) {
            self.join_denied(&mut m);
        }
        self.leak_of_the_part(&mut m);
        self.knock_of_before(&mut m);
        self.found_out(&mut m);
        self.found_is_done(&m, i);
        self.note(|w| {
            format!(
                "names '{}': {}{}{}{}",
                w.words(i),
                m.says.map_or("open", Says::word),
                if m.denied { " denied" } else { "" },
                if m.hedged { " hedged" } else { "" },
                m.cue
                    .map(|c| format!(" by '{}'", w.words(c)))
                    .unwrap_or_default()
            )
        });
        self.mentions.push(m);
    }

    /// `I think it's the pump, shot mounts`: an adjective behind a bare name that
    /// took the doubt says what it says.
    fn said_apart(&self, m: &Mention) -> bool {
        let adjective = self.gov.is_some_and(|g| !g.verb && m.cue == Some(g.item));
        let bare = |p: &Mention| p.hedged && p.says.is_none() && p.cue == self.hedge;
        adjective && self.mentions.len() > self.clause && self.mentions.last().is_some_and(bare)
    }
}
