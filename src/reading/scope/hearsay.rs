//! What others said, and the seller takes back or grants: `They said it was fixed.
//! It was not.`

use super::*;

impl Walk<'_> {
    /// Whether others told of what the sentence before named, or the seller only
    /// thought so.
    fn hearsay_before(&self, first: usize) -> bool {
        let heard = |j: usize| self.items.cue(j).is_some_and(|c| c.heard);
        let from = self.sentence_of(first.saturating_sub(1)).0;
        (from..first).any(heard)
    }

    /// `They said it was fixed. It was not.`, `I was warned of a knock. There isn't
    /// one.`, `I was told it has no leaks. It does.`: a sentence of nothing more
    /// takes back, or grants, what was heard. Says so.
    pub(super) fn answers_hearsay(&mut self, i: usize) -> bool {
        let denies = self.denies(i);
        let one = usize::from(self.items.word(i + 1) == "one");
        let alone = self.ends_turn(i + 1 + one) && self.opens_turn(i);
        let first = self.turn_start(i);
        if !alone || !self.hearsay_before(first) {
            return false;
        }
        let told = self.symptom_told(first);
        match told.filter(|t| t.item >= self.sentence_of(first - 1).0) {
            Some(told) => {
                let ahead = self.predicate_ahead(told.item, false);
                let denied = (told.item..first).any(|j| self.items.acts(j, Act::Negates));
                let mended =
                    !denied && matches!(ahead, Some((Some(Says::Renewed | Says::Sound), _)));
                let stands = told.says.filter(|_| !mended).or(Some(Says::Sound));
                let says = match (denies, stands) {
                    // `thought it would go away. It did not.`
                    (true, _) if self.told_to_end(told.item, first) => Says::Bad,
                    (true, Some(Says::Bad | Says::Suspect)) => Says::Sound,
                    (true, _) | (false, Some(Says::Sound)) => Says::Bad,
                    (false, _) => return false,
                };
                self.tell_again(told, i, says);
                self.neg = None;
                true
            }
            None => denies && self.not_the_one(i, first),
        }
    }

    /// `Two shops said the pump. It wasn't.`: the part they named is in order.
    fn not_the_one(&mut self, i: usize, first: usize) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let here = m.item >= self.sentence_of(first - 1).0;
        let doubted = m.hedged || m.says == Some(Says::Bad);
        let is = here && doubted && m.is_noun() && !m.place && m.says != Some(Says::Renewed);
        if is {
            self.say_of(k, i, Says::Sound, false);
            let m = &mut self.mentions[k];
            (m.hedged, m.latest) = (false, true);
            self.neg = None;
        }
        is
    }

    /// Whether words between tell that it was to end: `would go away`.
    fn told_to_end(&self, from: usize, to: usize) -> bool {
        (from..to).any(|j| self.items.acts(j, Act::Returns))
    }

    /// Whether nothing more is said in this sentence from here on.
    pub(super) fn ends_turn(&self, at: usize) -> bool {
        self.items.list.get(at).is_none_or(|item| {
            let sign = item.kind == ItemKind::Sign(b',');
            let end = matches!(item.kind, ItemKind::End(_) | ItemKind::Blank);
            end || sign || self.items.acts(at, Act::But)
        })
    }

    /// The first item of the sentence, or of what `but` sets against it.
    fn turn_start(&self, i: usize) -> usize {
        let but = (self.sentence_start..i).rfind(|j| self.items.acts(*j, Act::But));
        but.map_or(self.sentence_start, |j| j + 1)
    }

    /// Whether only a pronoun stands before this item in its sentence.
    fn opens_turn(&self, i: usize) -> bool {
        let first = self.turn_start(i);
        let pronoun = |j: usize| {
            let word = self.items.word(j);
            self.items.acts(j, Act::Pronoun) || word.starts_with("there") || word == "mine"
        };
        let small = |j: usize| {
            pronoun(j) || self.items.acts(j, Act::Copula) || self.items.acts(j, Act::Was)
        };
        first > 0 && first <= i && (first..i).all(small) && {
            let own = pronoun(i);
            own || (first..i).any(pronoun)
        }
    }
}
