//! Words for an engine that stops, which may tell of a part that stops instead.

use super::*;

impl Walk<'_> {
    /// `pulls when braking, goes straight otherwise`: a symptom that is not there
    /// at other times than those told before.
    pub(super) fn at_other_times(&self, i: usize, named: &[Named]) -> bool {
        let symptom = named.iter().all(|n| self.is_symptom(n.part));
        symptom && self.items.is_a(i + 1, WordClass::Otherwise)
    }

    /// Whether these are words for an engine that stops.
    fn stops(&self, named: &[Named]) -> bool {
        let stops =
            |n: &Named| matches!(self.parts.code(n.part), "stalls" | "no_start" | "no_crank");
        named.iter().all(stops)
    }

    /// `the radio works, never quit on me`: more praise of the part praised before.
    pub(super) fn never_stops(&self, named: &[Named]) -> bool {
        let praised = |m: &Mention| {
            m.sentence == self.sentence
                && m.says == Some(Says::Sound)
                && m.is_noun()
                && !m.named.iter().any(|n| self.parts.code(n.part) == "engine")
        };
        let never = self.neg.is_some() || says_sound(named);
        never && self.stops(named) && self.mentions.last().is_some_and(praised)
    }

    /// The part right before a word for an engine that stops, which tells of that
    /// part and not of the engine: `wipers died on the way home`.
    pub(super) fn stops_itself(&self, i: usize, named: &[Named]) -> Option<usize> {
        if !self.stops(named) {
            return None;
        }
        let small = |j: usize| self.items.acts(j, Act::Modifier) || self.items.acts(j, Act::Copula);
        let k = self.open_subject(i, small)?;
        // `engine dies`, `starter clicks`
        let whole = |n: &Named| matches!(self.parts.code(n.part), "engine" | "starter" | "battery");
        let part = !self.mentions[k].named.iter().any(whole);
        // `new tires wont start`: another sentence.
        let denies = self.first_word_denies(i);
        let free = self.neg.is_none() && !self.when && self.hedge.is_none();
        (part && !denies && free).then_some(k)
    }

    /// Whether the part named last in this sentence was said, behind its name,
    /// to have given out: `the alternator died, so I swapped it`.
    pub(super) fn gave_out_before(&self, i: usize) -> bool {
        self.mentions.last().is_some_and(|m| {
            m.sentence == self.sentence
                && m.is_noun()
                && !m.denied
                && m.says.is_some_and(Says::is_fault)
                && m.cue.is_some_and(|cue| {
                    let told = match self.items.cue(cue) {
                        Some(Cue { act, side, .. }) => {
                            act == Act::State(Says::Bad)
                                && matches!(side, Side::Before | Side::Either)
                        }
                        // `alternator died on the highway`
                        None => self.items.names(cue) && !self.items.names_part(cue),
                    };
                    m.item < cue && self.words_between(cue, i) <= 6 && told
                })
        })
    }
}

/// Whether a phrase says that a fault is not there.
pub(super) fn says_sound(named: &[Named]) -> bool {
    let sound = |n: &Named| n.naming == Naming::States(Says::Sound);
    named.iter().all(sound)
}
