//! What is said of a part a second time: of others of its kind, of the same
//! after it was renewed, of the same that gave out.

use super::effects::choose;
use super::*;

/// Items before a saying among which a pronoun is looked for.
const BESIDE: usize = 8;

impl Walk<'_> {
    /// The part named last, where this is said of others of its kind, which
    /// stand for it by their place alone: `tires: fronts new, rears bald`.
    pub(super) fn others_of(&self, i: usize, says: Says) -> Option<usize> {
        self.others(i, says, false)
    }

    /// The same, where a denial is all that is said: `Passenger doesn't.` needs no
    /// word besides the side to stand for a part of the sentence before.
    pub(super) fn others_denied(&self, i: usize) -> Option<usize> {
        self.others(i, Says::Bad, true)
    }

    fn others(&self, i: usize, says: Says, by_side: bool) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let (place, ones) = self.others_before(i);
        let joint = self.before_modifiers(place);
        // `it's brand new` is said of the same.
        let itself = place == joint + 1 && self.items.is_a(joint, WordClass::It);
        let behind = self.side_behind(i).is_some();
        let parted = (joint < place || behind)
            && !itself
            && joint > m.item
            && (self.items.joins(joint - 1)
                || joint == self.sentence_start
                || self.items.acts(joint - 1, Act::Border)
                // `2 good 2 bad`
                || self.told_of(m).is_some_and(|(_, cue)| cue + 1 == joint)
                || matches!(self.items.list[joint - 1].kind, ItemKind::Sign(b',' | b';')));
        let by_place = behind || ones || (joint..place).any(|j| self.items.acts(j, Act::Others));
        // `both are solid, just ugly`: of the same.
        let which = |j: usize| {
            self.items.acts(j, Act::Side)
                || self.items.cue(j).is_some_and(|c| c.act == Act::Some)
                || self.count(j).is_some()
                || self.items.is_a(j, WordClass::Other)
        };
        let one = self.one_and_one(m, i);
        let parted = parted && (by_place || (joint..place).any(which)) || one;
        // `the left axle is new, the right clicks`
        let other_side = || {
            let told = m.qualifiers.iter().any(|q| q.is_side());
            let sides = self.sides(joint, place.saturating_sub(1));
            told && !sides.is_empty() && !sides.iter().any(|q| m.qualifiers.contains(q))
        };
        let of_others = (joint..place).any(|j| {
            let cue = self.items.cue(j);
            cue.is_some_and(|c| c.act == Act::Others)
        });
        let stated = || self.states_a_part(m).filter(|_| of_others);
        let new = self.told_of(m).or_else(stated).is_some_and(|(old, cue)| {
            let apart = || by_place || one || joint < place && other_side();
            let other = old.is_fault() != says.is_fault() || old != says && apart();
            cue < joint && other
        });
        // `Fronts are new. Rears are bald.`
        let near = m.sentence == self.sentence
            || m.sentence + 1 == self.sentence
                && (by_place || by_side || joint < place && other_side())
                && !behind
                && joint == self.sentence_start;
        let part = m.is_noun() || self.states_itself(m).is_some() || stated().is_some();
        (parted && new && near && part && !m.denied).then_some(k)
    }

    /// Behind which words of place a saying of others stands, and whether a
    /// pronoun stands between: `rears are`, `the rear ones are`.
    fn others_before(&self, i: usize) -> (usize, bool) {
        // `the rear ones are still good`
        let still = i > 1 && self.items.acts(i - 1, Act::Still);
        let verb = |i: usize| i > 0 && self.items.acts(i - 1, Act::Copula);
        let mut place = match still && verb(i - 1) {
            true => i - 2,
            false => i - usize::from(verb(i)),
        };
        // `rears original and worn`, `the right one is original and worn`
        if place > 1
            && self.items.acts(place - 1, Act::And)
            && self.items.acts(place - 2, Act::Modifier)
        {
            let verb = place > 2 && self.items.acts(place - 3, Act::Copula);
            place -= if verb { 3 } else { 1 };
        }
        // `the one on the right is worn`
        let behind = self.place_before(place);
        if behind < place && self.others_pronoun(behind) {
            return (behind - 1, true);
        }
        let ones = self.others_pronoun(place);
        (place - usize::from(ones), ones)
    }

    /// Where words of place begin that stand right before this: `on the right`.
    fn place_before(&self, i: usize) -> usize {
        match self.before_modifiers(i).checked_sub(1) {
            Some(place) if place + 1 < i && self.items.acts(place, Act::Place) => place,
            _ => i,
        }
    }

    /// Whether `one` stands right before this for another of the part named
    /// last: `the rear ones`.
    fn others_pronoun(&self, i: usize) -> bool {
        let one = |j: usize| {
            let one = self.items.is_any(j, &[WordClass::One, WordClass::Ones]);
            self.items.acts(j, Act::Pronoun) && one || self.items.is_a(j, WordClass::Pair)
        };
        i > 1 && one(i - 1) && self.items.acts(i - 2, Act::Modifier)
    }

    /// The end of the words of place right behind a saying: `worn on the rear`.
    fn side_behind(&self, i: usize) -> Option<usize> {
        // `new in` is a word of its own: the place begins with its end.
        let i = i - usize::from(self.ends_with_in(i));
        let mut last = i + 1;
        while self.items.acts(last + 1, Act::Modifier) {
            last += 1;
        }
        let side = (i + 2..=last)
            .any(|j| self.items.acts(j, Act::Side) || self.items.acts(j, Act::Others));
        let place = self.items.acts(i + 1, Act::Place) || self.ends_with_in(i + 1);
        (place && side && !self.items.names(last + 1)).then_some(last)
    }

    /// Whether a word of place is the end of a longer phrase.
    fn ends_with_in(&self, i: usize) -> bool {
        let longer = |item: &&Item| item.first < item.last;
        let item = self.items.list.get(i).filter(longer);
        i > 0 && item.is_some_and(|item| self.items.token_is(item.last, &[WordClass::In]))
    }

    /// Whether some are left out right behind a saying, told by their place
    /// alone: `all work but the rear ones`.
    pub(super) fn all_but(&self, i: usize) -> bool {
        let mut end = i + 2;
        while self.items.acts(end, Act::Modifier) || self.items.acts(end, Act::Pronoun) {
            end += 1;
        }
        self.items.acts(i + 1, Act::Border)
            && end > i + 2
            && self.items.list.get(end).is_none_or(|item| {
                matches!(
                    item.kind,
                    ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(b',' | b';' | b')')
                )
            })
    }

    /// Whether some are left out by place, or by nothing that is named, right
    /// behind praise: `good except the driver's`.
    pub(super) fn but_for_some(&self, i: usize) -> bool {
        let leaves_out = self.items.is_cue(i + 1, Act::State(Says::Bad), Side::After);
        let ends = |j: &usize| {
            self.items.list.get(*j).is_none_or(|item| {
                matches!(
                    item.kind,
                    ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(b',' | b';' | b')')
                )
            })
        };
        let end = (i + 2..i + 8).find(ends);
        leaves_out
            && end.is_some_and(|end| end > i + 2 && !(i + 2..end).any(|j| self.items.names(j)))
    }

    /// The part that was told of right before a `but` with which this clause
    /// begins: `the radio works but cuts out`.
    pub(super) fn set_against(&self, i: usize) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let mut at = i;
        while at > 0
            && (self.items.acts(at - 1, Act::Copula)
                || self.items.acts(at - 1, Act::Modifier)
                || self.items.acts(at - 1, Act::Latest)
                || self.items.acts(at - 1, Act::Pronoun))
        {
            at -= 1;
        }
        // `loads of tread but the fronts are cracking`: of others.
        let others = |j: usize| self.items.cue(j).is_some_and(|c| c.act == Act::Others);
        let but = at > 0 && self.items.acts(at - 1, Act::But) && !(at..i).any(others);
        let by_itself =
            |n: &Named| n.naming == Naming::States(Says::Sound) && !self.is_symptom(n.part);
        let told = matches!(m.says, Some(Says::Sound | Says::Renewed))
            || m.says == Some(Says::Bad) && m.past && self.items.acts(i + 1, Act::Latest)
            || m.is_open() && !m.is_equipment()
            || m.named.iter().all(by_itself) && !m.denied;
        let whole = !m.place && !m.named.iter().any(|n| self.is_symptom(n.part));
        (but && told && whole && m.sentence == self.sentence && self.neg.is_none()).then_some(k)
    }

    /// Whether a pronoun between stands for a part.
    fn taken_up_by_pronoun(&self, k: usize, i: usize) -> bool {
        let first = self.mentions[k].item.max(i.saturating_sub(BESIDE));
        (first..i).any(|j| self.items.acts(j, Act::Pronoun))
    }

    /// Says of a part what is set against the praise of it.
    pub(super) fn say_against(&mut self, k: usize, i: usize, says: Says) {
        let pronoun = self.taken_up_by_pronoun(k, i);
        let m = &mut self.mentions[k];
        if says == Says::Bad && !m.is_noun() {
            m.named.iter_mut().for_each(|n| n.naming = Naming::Noun);
        }
        match m.says {
            None => self.say_of(k, i, says, false),
            Some(Says::Sound) if says == Says::Bad => self.say_of(k, i, says, false),
            // `new clutch but it is junk`
            Some(Says::Renewed) if says == Says::Bad && pronoun => {
                self.say_of(k, i, says, false);
            }
            // `was acting up but is fine now`
            Some(Says::Bad) if says == Says::Sound => self.say_of(k, i, says, false),
            _ => {}
        }
    }

    /// What is said of a part, by a cue or by a saying that took it as its
    /// subject, and where.
    pub(super) fn told_of(&self, m: &Mention) -> Option<(Says, usize)> {
        if let Some(says) = m.says {
            return Some((says, m.cue?));
        }
        if let Some(says) = self.states_itself(m) {
            return Some((says, m.item));
        }
        let own = |s: &&Saying| m.named.iter().any(|n| n.part == s.part);
        let last = self.extra.last().filter(own)?;
        let cue = last.cue.filter(|cue| m.item < *cue && last.item == *cue)?;
        Some((last.says, cue))
    }

    /// What a phrase says of the part that it begins with: `tires are bald`.
    pub(super) fn states_itself(&self, m: &Mention) -> Option<Says> {
        match m.named[..] {
            [
                Named {
                    naming: Naming::States(says),
                    part,
                },
            ] if !self.is_symptom(part) && self.begins_with_part(m) => Some(says),
            _ => None,
        }
    }

    /// `loads of tread but the fronts are cracking`: the same of any phrase that states
    /// a part, where a word for others of its kind follows.
    fn states_a_part(&self, m: &Mention) -> Option<(Says, usize)> {
        match m.named[..] {
            [
                Named {
                    naming: Naming::States(says),
                    part,
                },
            ] if !self.is_symptom(part) && !m.denied => Some((says, m.item)),
            _ => None,
        }
    }

    /// Says something of others of a part's kind, besides what is said of it.
    pub(super) fn say_besides(&mut self, k: usize, i: usize, says: Says) {
        let (place, ones) = self.others_before(i);
        let mut others = self.qualifiers(place);
        if ones {
            others.extend(self.sides(place, i));
        }
        if let Some(last) = self.side_behind(i) {
            others.extend(self.sides(i + 1, last));
        }
        // They are two things even where no word, or the same, tells which.
        let first = &mut self.mentions[k];
        let mut sides = first.qualifiers.iter().filter(|q| q.is_side()).peekable();
        if sides.peek().is_none() || sides.any(|q| others.contains(q)) {
            first.qualifiers = vec![Which::OfTwo(OfTwo::First)];
        }
        let mut m = first.clone();
        if m.says.is_none()
            && m.is_noun()
            && let Some(told) = self.extra.last_mut()
        {
            told.qualifiers.clone_from(&m.qualifiers);
        }
        m.qualifiers = match others.is_empty() {
            true => vec![Which::OfTwo(OfTwo::Other)],
            false => others,
        };
        m.cue = Some(i);
        m.hedged = false;
        for named in &m.named {
            let saying = self.saying(&m, named.part, says);
            self.extra.push(saying);
        }
    }

    /// Whether a symptom is one that the car had: `had overheating`.
    pub(super) fn had_it(&self, m: &Mention) -> bool {
        let at = self.before_modifiers(m.item);
        let symptom = m.named.iter().all(|n| self.is_symptom(n.part));
        symptom && at > 0 && self.items.is_a(at - 1, WordClass::Had) && self.neg.is_none()
    }

    /// `it leaked oil so I replaced the gasket`: what ailed the car before work
    /// that `so` tells of is past. Called where a clause ends.
    pub(super) fn settle_cause(&mut self, i: usize) {
        if !self.items.is_a(i, WordClass::So) {
            return;
        }
        let small = |j: &usize| {
            self.items.is_word(*j)
                || self.items.acts(*j, Act::Modifier)
                || self.items.acts(*j, Act::Border)
                || self.items.acts(*j, Act::Copula)
                || self.items.acts(*j, Act::Pronoun)
        };
        let next = i
            + 1
            + (i + 1..self.items.list.len())
                .take(3)
                .take_while(small)
                .count();
        if !self.items.acts(next, Act::State(Says::Renewed)) {
            return;
        }
        let (clause, sentence, parts) = (self.clause, self.sentence, self.parts);
        let symptom = |code: PartId| parts.get(code).kind == PartKind::Symptom;
        for m in self.mentions[clause..].iter_mut() {
            let told = m.named.iter().all(|n| symptom(n.part));
            m.past |= told && m.sentence == sentence && !m.denied;
        }
        for s in self.extra.iter_mut().rev() {
            if s.sentence < sentence {
                break;
            }
            s.past |= symptom(s.part) && s.says == Says::Bad;
        }
    }

    /// Whether `still` stands right before this: `replaced, still leaks`.
    pub(super) fn still(&self, i: usize) -> bool {
        i > 0 && self.items.acts(i - 1, Act::Still)
    }

    /// What a saying made of this part is over when the part is renewed: `it
    /// leaked at the rear main, but that was sorted`.
    pub(super) fn mend_told(&mut self, k: usize, i: usize) {
        let m = &self.mentions[k];
        if !m.consumed || m.says.is_some() {
            return;
        }
        let (item, sentence) = (m.item, m.sentence);
        let parts = self.parts;
        let told = |s: &Saying| s.item == item || s.cue.is_some_and(|c| s.item == c && c > item);
        for s in self.extra.iter_mut().rev() {
            if s.sentence < sentence {
                break;
            }
            let symptom = parts.get(s.part).kind == PartKind::Symptom;
            if symptom && s.says.is_fault() && told(s) {
                s.says = Says::Sound;
                s.cue = Some(i);
            }
        }
    }

    /// The one part that this sentence has told of so far, where a row is for
    /// that part and `and` or a pronoun takes it up.
    pub(super) fn said_besides<'e>(
        &self,
        i: usize,
        effects: &'e [Effect],
    ) -> Option<(usize, PartId, &'e Effect)> {
        let m = self.mentions.last()?;
        let alone = self.mentions.len() == self.sentence_mentions + 1;
        if m.sentence != self.sentence || !alone || !m.is_noun() || m.place {
            return None;
        }
        if m.says.is_none() && !m.consumed {
            return None;
        }
        let part = m.named.first()?.part;
        let effect = choose(effects, Some(part)).filter(|e| e.of == EffectOf::Named)?;
        let near = self.words_between(m.item, i) <= 8 && self.part_ahead(i).is_none();
        let takes_up = |j: usize| {
            self.items.acts(j, Act::And)
                || self.items.acts(j, Act::Pronoun)
                || self.items.list[j].kind == ItemKind::Sign(b',')
        };
        let mut j = i - 1;
        while j > m.item
            && (self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Negates)
                || self.items.acts(j, Act::Latest))
        {
            j -= 1;
        }
        // `has a leak`
        if j > m.item + 1 && self.items.acts(j, Act::Copula) {
            j -= 1;
        }
        let joined = j > m.item && takes_up(j);
        // `trans slips, oil leak`: a fault with a name of its own.
        let long = self.words(i).split(' ').count() > 2;
        let own = (self.items.list[j].kind == ItemKind::Sign(b',')
            || long && self.items.acts(j, Act::And))
            && self.items.names(i)
            && (self.words(i).contains(' ')
                || self.items.is_word(i + 1)
                || self.of_the_body_alone(i, part)
                || (j + 1..i).any(|k| self.items.acts(k, Act::Some)));
        (near && joined && !own).then_some((m.item, part, effect))
    }

    /// Whether a fault is one of the body, and the part is none of it:
    /// `cracked windshield, some rust`.
    fn of_the_body_alone(&self, i: usize, part: PartId) -> bool {
        let body = |part: PartId| self.parts.get(part).group == "body";
        let named = self.items.phrase(i).map(|p| &p.meaning.named);
        named.is_some_and(|n| n.iter().all(|n| body(n.part))) && !body(part)
    }

    /// `The core is bad. So is the pump`: a word that begins a sentence, or a
    /// clause, and takes up the saying before it.
    pub(super) fn likewise(&self, i: usize, m: &Mention) -> bool {
        let Item { first, .. } = self.items.list[i];
        let act = self.items.cue_of(first, first).map(|c| c.act);
        // `and so is the pump`
        let second = || self.items.cue_of(first + 1, first + 1).map(|c| c.act);
        // `and the same is true of the clutch`
        let told =
            i > self.sentence_start && self.items.has_any(i, &[WordClass::Same, WordClass::Much]);
        let so = self.denies_too(i) && i > self.sentence_start
            || told && act != Some(Act::With)
            || act == Some(Act::Border)
            || act == Some(Act::And) && second() == Some(Act::Border);
        // `Needs a clutch. Also a battery.`
        let also = act != Some(Act::With) && i == self.sentence_start;
        (so || also)
            && (m.sentence == self.sentence
                || i == self.sentence_start && m.sentence + 1 == self.sentence)
    }

    /// `nor is the radio`: says of another what was denied.
    pub(super) fn denies_too(&self, i: usize) -> bool {
        self.items.is_a(i, WordClass::Neither)
    }
}
