//! A verb that governs the parts behind it: `replaced the pump`, or what its object
//! stands for: `replaced it`.

use super::*;

impl Walk<'_> {
    pub(super) fn verb(&mut self, i: usize, says: Says) {
        if says == Says::Bad && self.neg.is_none() && self.wants_before(i) {
            self.predicate(i, says);
            return;
        }
        if says == Says::Renewed && (self.relative(i) || self.which_was_done(i)) {
            return;
        }
        // `was planning on doing the clutch`: it is still to be done.
        if says == Says::Bad {
            self.was = None;
            // `maybe the radiator, and it needs tires`
            if self.hedge_used {
                self.hedge = None;
            }
        }
        // `nothing wrong with it except the clutch`: a denial far off is not of
        // this verb.
        let negated = self.take_negation().is_some_and(|n| i - n <= 2);
        self.neg_list = false;
        // `put a new one in`
        let mut object = i + 1;
        while self.items.acts(object, Act::Modifier)
            || self
                .items
                .is_cue(object, Act::State(Says::Renewed), Side::Either)
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
        // `pump died, did that in May`
        if says == Says::Renewed && self.did_both(i) {
            return;
        }
        if says == Says::Renewed && !negated && self.did_that(i) {
            self.say_of_last(i, says, negated);
            return;
        }
        // `replaced it`, `needs one`
        if self.items.acts(i + 1, Act::Pronoun) && !self.part_follows(i + 1, 1) {
            self.pronoun = Some(i + 1);
            self.say_of_last(i, says, negated);
            return;
        }
        // `it has had a misfire for years`
        let Item { first, last, .. } = self.items.list[i];
        let verb = last - u32::from(self.items.token_is(last, &[WordClass::Indefinite]));
        let had = says == Says::Renewed
            && verb > first
            && self.items.token_is(verb, &[WordClass::Had])
            && self.items.token_is(verb - 1, &[WordClass::Has]);
        // Past the first item, an adjective inside a verb's list is no new cue.
        self.gov = Some(Governor {
            negated,
            verb: true,
            hedged: self.hedge.is_some() && says == Says::Bad,
            parts_only: had,
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
}
