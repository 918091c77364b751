//! What is said of a part named before, by whatever led back to it.

use super::*;

impl Walk<'_> {
    pub(super) fn say_of(&mut self, k: usize, i: usize, says: Says, negated: bool) {
        let hedged = self.live_hedge(i, true).is_some();
        let timing = self.mentions[k]
            .named
            .iter()
            .any(|n| self.parts.code(n.part) == "timing_belt");
        let if_unreal = self.mentions[k].unreal;
        let past = self.in_the_past();
        if says == Says::Renewed && !negated {
            self.mend_told(k, i);
        }
        let m = &mut self.mentions[k];
        m.cue = Some(i);
        let lacks = std::mem::take(&mut m.lacks);
        m.consumed = false;
        let negated = negated != lacks;
        let state = match (says, negated) {
            (Says::Bad | Says::Suspect, true) => Some(Says::Sound),
            (Says::Sound, true) => Some(Says::Bad),
            (Says::Renewed, true) => timing.then_some(Says::Bad),
            (Says::Spare, true) => None,
            (says, false) => Some(says),
        };
        m.says = match state {
            // `if the A/C worked` says that it does not.
            // `until the clutch is done`: it still is to be.
            Some(Says::Sound | Says::Renewed) if if_unreal => Some(Says::Bad),
            other => other,
        };
        m.denied = false;
        m.consumed = m.says.is_none();
        m.hedged = hedged && m.says == Some(Says::Bad);
        self.hedge_used |= m.hedged;
        m.past |= past;
        let says = m.says;
        let item = m.item;
        if says == Some(Says::Renewed) || says == Some(Says::Bad) {
            self.share(i, says);
        }
        self.note(|w| {
            let says = says.map_or("nothing", Says::word);
            format!("'{}' says of '{}': {says}", w.words(i), w.words(item))
        });
    }

    /// A pronoun, or nothing at all, stands for what was named last.
    pub(super) fn say_of_last(&mut self, i: usize, says: Says, negated: bool) {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return;
        };
        let m = &self.mentions[k];
        // `Automatic. It is slow`: that is the car.
        let which = m.is_equipment() && self.pronoun.is_some();
        if self.sentence - m.sentence > 1 || self.when || which {
            return;
        }
        // `it` does not stand for `tires`.
        let plural = self.words(m.item).ends_with('s');
        if plural
            && self
                .pronoun
                .is_some_and(|p| self.items.word(p).starts_with("it"))
        {
            return;
        }
        if m.is_noun() && m.says == Some(Says::Bad) && says == Says::Spare && !negated {
            self.spare_besides(k, i);
            return;
        }
        let m = &self.mentions[k];
        if m.is_noun()
            && (m.is_open() || m.consumed && m.says.is_none() || m.says.is_some_and(Says::is_fault))
            && (m.says.is_none() || says != Says::Sound)
        {
            let again = m.says.is_some();
            self.say_of(k, i, says, negated);
            if again {
                self.mentions[k].hedged = false;
            }
        } else if !m.is_noun() && says == Says::Renewed && !negated && !m.denied {
            self.mentions[k].says = Some(Says::Renewed);
            self.mentions[k].cue = Some(i);
        } else if m.is_noun() && m.says == Some(Says::Renewed) && says == Says::Spare {
            self.spare_back(k, i);
        } else if m.is_noun() && m.says == Some(Says::Renewed) && says == Says::Bad && !negated {
            // `put one in last year and now that one is bad too`
            self.say_of(k, i, says, false);
        } else if m.is_noun() && m.says == Some(Says::Sound) && says == Says::Renewed && !negated {
            // `does not need brakes (I did them in August)`
            self.say_of(k, i, says, false);
        }
    }
}
