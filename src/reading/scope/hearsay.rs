//! What others said, and the seller takes back or grants: `They said it was fixed.
//! It was not.`

use super::*;

/// Items of which a bare answer may consist.
const TURN: usize = 5;
/// Items that a list may have before what is said of it.
const LISTED: usize = 14;

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
        let one = usize::from(self.items.is_a(i + 1, WordClass::One));
        if !self.ends_turn(i + 1 + one) || !self.opens_turn(i) {
            return false;
        }
        let denies = self.denies(i);
        let first = self.turn_start;
        if !self.hearsay_before(first) {
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

    /// `Two shops said the pump. It wasn't.`: the part they named is in order; what
    /// they praised is not.
    fn not_the_one(&mut self, i: usize, first: usize) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let here = m.item >= self.sentence_of(first - 1).0;
        let doubted = m.hedged || m.says == Some(Says::Bad);
        let praised = matches!(m.says, Some(Says::Renewed | Says::Sound)) && !m.denied;
        let is = here && (doubted || praised) && m.is_noun() && !m.place;
        if is {
            // `They said the pump was replaced. It was not.`
            let says = if praised { Says::Bad } else { Says::Sound };
            self.say_of(k, i, says, false);
            let m = &mut self.mentions[k];
            (m.hedged, m.latest) = (false, true);
            self.neg = None;
        }
        is
    }

    /// `he says the radiator has a crack`: whether the state of a part is told with a
    /// verb of its own by somebody who saw it; `he says it is the radiator` is a guess.
    pub(super) fn said_flatly(&self, part: usize, i: usize) -> bool {
        let hedge = self.hedge.filter(|h| *h < part && part < i);
        let said = hedge
            .and_then(|h| self.items.cue(h))
            .is_some_and(|c| c.said);
        let verb = |j: usize| self.items.cue(j).is_some_and(|c| c.act.is_copula());
        let Item { first, .. } = self.items.list[i];
        let within = self.items.cue_of(first, first);
        said && (within.is_some_and(|c| c.act.is_copula()) || (part + 1..i).any(verb))
    }

    /// `he told me it pulls to the left`, `my wife says it clunks`: whether the doubt
    /// that reaches this item is only that another tells of it. What is felt or seen
    /// while driving, a symptom, is there all the same; a guess at its cause is one.
    pub(super) fn only_told(&self, i: usize) -> bool {
        let hedge = self.hedge_of_fault(i);
        let said = hedge
            .and_then(|h| self.items.cue(h))
            .is_some_and(|c| c.said);
        let unreal = |h: usize| {
            let from = h.max(i.saturating_sub(LISTED));
            (from..i).any(|j| self.items.acts(j, Act::Unreal))
        };
        said && hedge.is_some_and(|h| h < i && !unreal(h))
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

    /// `my mechanic says the pump and the rack are good`: what is said behind the
    /// whole list, and whether a copula leads to it.
    pub(super) fn heard_of_several(
        &self,
        gov: Governor,
        part: usize,
    ) -> Option<(Option<Says>, bool)> {
        let heard = self.items.cue(gov.item).is_some_and(|c| c.heard);
        if !heard || gov.count > 0 {
            return None;
        }
        let listed = |j: &usize| {
            self.items.joins(*j)
                || self.items.acts(*j, Act::Modifier)
                || self.items.is_a(*j, WordClass::The)
                || self.items.names_part(*j)
        };
        let end = self.items.list.len().min(part + LISTED);
        let told = (part + 1..end).find(|j| !listed(j))?;
        let several = self.items.is_any(
            told,
            &[
                WordClass::Are,
                WordClass::Were,
                WordClass::Both,
                WordClass::All,
            ],
        );
        let here = |j: &usize| !matches!(self.items.kind(*j), ItemKind::End(_) | ItemKind::Blank);
        let mut behind = (told..end).take_while(here);
        let said = behind.find_map(|j| match self.items.cue(j)?.act {
            Act::State(says) => Some(says),
            _ => None,
        });
        (several && told > part + 1)
            .then_some((said, true))
            .filter(|_| said.is_some())
    }

    /// Whether only a pronoun stands before this item in its sentence.
    fn opens_turn(&self, i: usize) -> bool {
        let first = self.turn_start;
        let pronoun = |j: usize| {
            self.items.acts(j, Act::Pronoun)
                || self
                    .items
                    .is_any(j, &[WordClass::There, WordClass::ThisCar])
        };
        let small = |j: usize| {
            pronoun(j) || self.items.acts(j, Act::Copula) || self.items.acts(j, Act::Was)
        };
        first > 0 && i < first + TURN && (first..i).all(small) && {
            let own = pronoun(i);
            own || (first..i).any(pronoun)
        }
    }
}
