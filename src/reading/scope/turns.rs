//! Stories with several turns: a symptom that is there again, what others said
//! and the seller takes back, and the part that the trouble turned out to be.

use super::others::says_sound;
use super::*;

/// Sentences that a symptom and the news of it may lie apart: `There was a knock.
/// I changed the pump. It came back.`
const STORY: u32 = 2;

/// Parts looked back on for what was suspected, or found.
const TURNS: usize = 6;

/// A symptom that was told.
#[derive(Clone, Copy)]
pub(super) struct Told {
    pub(super) part: PartId,
    pub(super) item: usize,
    /// As it stands by now.
    pub(super) says: Option<Says>,
    /// By its own words it is not there: `no smoke`.
    denied: bool,
}

impl Walk<'_> {
    /// The symptom told last before this item, no more than a story ago.
    pub(super) fn symptom_told(&self, i: usize) -> Option<Told> {
        let near = |sentence: u32| sentence + STORY >= self.sentence;
        let mentions = self.mentions.iter().rev().take_while(|m| near(m.sentence));
        let named = mentions
            .filter(|m| m.item < i && !m.is_noun())
            .filter_map(|m| {
                let mut plain = m.clone();
                plain.hedged = false;
                let named = *m.named.iter().find(|n| self.is_symptom(n.part))?;
                Some(Told {
                    part: named.part,
                    item: m.item,
                    says: self.final_state(&plain, named),
                    denied: m.denied && m.cue.is_some_and(|c| self.items.acts(c, Act::Lacks))
                        || self.words(m.item).starts_with("no "),
                })
            })
            .next();
        let extra = self.extra.iter().rev().take_while(|s| near(s.sentence));
        let said = extra
            .filter(|s| s.item < i && self.is_symptom(s.part))
            .map(|s| Told {
                part: s.part,
                item: s.cue.map_or(s.item, |c| c.max(s.item)),
                says: Some(s.says),
                denied: false,
            })
            .next();
        // What was said of it counts more than its name.
        match (named, said) {
            (Some(a), Some(b)) if a.item > b.item => Some(a),
            (a, b) => b.or(a),
        }
    }

    /// Whether all that was named since a symptom was told are parts that were
    /// renewed or thought of, one renewed at least.
    pub(super) fn only_tried_since(&self, told: Told, i: usize) -> bool {
        let since = self.mentions.iter().rev();
        let mut since = since
            .take_while(|m| m.item > told.item)
            .filter(|m| m.item < i);
        let tried =
            |m: &Mention| m.is_noun() && (m.hedged || m.consumed || m.says == Some(Says::Renewed));
        let renewed = since.clone().any(|m| m.says == Some(Says::Renewed));
        renewed && since.all(tried)
    }

    pub(super) fn tell_again(&mut self, told: Told, i: usize, says: Says) {
        let first = self.items.list[told.item].first;
        let last = self.items.list[i].last;
        self.extra.push(Saying {
            part: told.part,
            says,
            tokens: (first, last),
            item: told.item,
            cue: Some(i),
            sentence: self.sentence,
            past: false,
            latest: true,
            denied: false,
            qualifiers: Vec::new(),
            done: None,
            rule: Rule {
                name: self.wording(told.item),
                cue: self.wording(i),
                denied: false,
                hedged: false,
                leans: false,
            },
        });
        self.note(|w| {
            let (news, of) = (w.words(i), w.words(told.item));
            format!("'{news}' says of '{of}': {}", says.word())
        });
    }

    /// `it came back`, `but it's back`, `still there`: the symptom told last is
    /// there, whatever was done about it. Says so.
    pub(super) fn returns(&mut self, i: usize) -> bool {
        // `is back on the road`
        let goes_on = self.items.acts(i + 1, Act::Place) || !self.clause_closes(i + 1);
        let on = self.words(i).ends_with("back") && goes_on;
        if on {
            return true;
        }
        let told = self.symptom_told(i).filter(|t| !t.denied);
        if let Some(told) = told {
            self.tell_again(told, i, Says::Bad);
        }
        told.is_some()
    }

    /// `too early to tell`: the symptom told last may be there.
    pub(super) fn unsettles(&mut self, i: usize) {
        let Some(told) = self.symptom_told(i) else {
            return;
        };
        for m in self.mentions.iter_mut().rev() {
            if m.item == told.item {
                (m.says, m.denied, m.hedged) = (None, false, true);
                (m.past, m.formerly, m.consumed) = (false, false, false);
            }
        }
        let near = self.sentence.saturating_sub(STORY);
        for s in self
            .extra
            .iter_mut()
            .rev()
            .take_while(|s| s.sentence >= near)
        {
            if s.part == told.part {
                (s.says, s.denied, s.past) = (Says::Suspect, false, false);
            }
        }
    }

    /// `I have never had it`: what was told of right before was others' word.
    pub(super) fn refutes(&mut self, i: usize) {
        let denied = self.neg.is_some();
        if denied && self.clause_closes(i + 1) {
            // `better but not cured`
            self.neg = None;
            self.returns(i);
        } else if self.clause_closes(i + 1) {
            self.cures(i);
        } else {
            // `never had it painted`
            self.neg = Some((i, Act::Negates));
            self.neg_words = 0;
            self.pronoun = Some(i);
        }
    }

    /// `New pump because it overheated. No more.`: an answer that ends the story.
    pub(super) fn no_more(&mut self, i: usize) -> bool {
        let ends = self.words(i).ends_with(" more");
        let is = ends && self.answers_first(i) && self.ends_turn(i + 1);
        let told = self
            .symptom_told(i)
            .filter(|t| is && !self.holds_not(t.item) && t.says.is_some_and(Says::is_fault));
        if let Some(told) = told {
            self.tell_again(told, i, Says::Sound);
        }
        told.is_some()
    }

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

    /// `replaced the arm, but the clunk is still there`, `new thermostat but it still
    /// leaks coolant`: whether the fault has outlasted the part renewed, of which it
    /// is not said then.
    pub(super) fn tells_its_own(&self, i: usize) -> bool {
        let news = [Act::Returns, Act::Cures];
        let behind = news.iter().any(|act| self.items.acts(i + 1, *act));
        self.mentions.last().is_some_and(|m| {
            let between = |act| (m.item + 1..i).any(|j| self.items.acts(j, act));
            // `new radiator, still leaks` is told of the radiator.
            let still = || between(Act::Still) && (between(Act::Pronoun) || between(Act::Copula));
            let it = self
                .pronoun
                .is_some_and(|p| p < i && p >= self.sentence_start);
            let later = it && m.sentence + 1 == self.sentence && self.part_ahead(i).is_none();
            m.says == Some(Says::Renewed)
                && (behind || later || m.sentence == self.sentence && still())
        })
    }

    /// Whether words between tell that it was to end: `would go away`.
    fn told_to_end(&self, from: usize, to: usize) -> bool {
        (from..to).any(|j| self.items.acts(j, Act::Returns))
    }

    /// Whether nothing more is said in this sentence from here on.
    fn ends_turn(&self, at: usize) -> bool {
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

    /// `Turned out to be the pump. Replaced, no noise since`: what was found is
    /// done with. Says so.
    pub(super) fn done_with(&mut self, i: usize) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let here = m.sentence == self.sentence;
        let from = if here {
            m.item + 1
        } else {
            self.sentence_start
        };
        let small = |j: usize| self.is_small(j) || self.items.acts(j, Act::And);
        let opens = (from..i).all(small) && (here || self.sentence > 0);
        let denied = (from..i).any(|j| self.items.acts(j, Act::Negates));
        if !opens || denied || !self.clause_closes(i + 1) || self.neg.is_some() {
            return false;
        }
        let found = m.is_noun() && m.found && m.says == Some(Says::Bad);
        // `I found it: wheel bearing. Replaced.`
        // `Known for the thermostat. Already taken care of.`
        let (start, end) = self.sentence_of(m.item);
        let colon = (start..m.item)
            .any(|j| self.items.list[j].kind == ItemKind::Sign(b':') && j + 1 == m.item);
        let told = colon
            || self
                .items
                .is_cue(i, Act::State(Says::Renewed), Side::Before);
        let last = m.is_open() && !m.is_equipment() && !m.place && m.item + 1 == end;
        let alone = last && told;
        let is = found && here || (found || alone) && m.sentence + 1 == self.sentence;
        if is {
            self.mentions[k].found = true;
            self.say_of(k, i, Says::Renewed, false);
        }
        is
    }

    /// `traced the knock to the pump`: whether `to` leads to what is at fault.
    pub(super) fn traced_to(&self, i: usize) -> bool {
        let traced = |j: usize| self.items.acts(j, Act::Traces);
        self.items.word(i).starts_with("to")
            && (self.sentence_start..i).any(traced)
            && self.part_follows(i, 0)
    }

    /// `it was overheating, I had that fixed`, `it stalled, a new pump fixed that`:
    /// what was told last is a symptom, with no part but the one that ended it. Says
    /// so.
    pub(super) fn put_right(&mut self, i: usize) -> bool {
        // Not `I bought it new`.
        let done = self.items.cue(i).is_some_and(|c| c.side == Side::Before);
        let told = self.symptom_told(i).filter(|_| done);
        let Some(told) = told.filter(|t| t.says.is_some_and(Says::is_fault)) else {
            return false;
        };
        let parts = self.mentions.iter().rev();
        let mut parts = parts.take_while(|m| m.item > told.item && m.is_noun());
        let (start, end) = self.sentence_of(told.item);
        let near = end >= self.sentence_start.saturating_sub(1);
        // `the bearing was howling, replaced it`
        let of_part = |m: &Mention| m.is_noun() && (start..told.item).contains(&m.item);
        let is = near
            && parts.all(|m| m.says == Some(Says::Renewed) && m.item + 1 == i)
            && !self.mentions.iter().any(of_part)
            && !self.extra.iter().any(|s| {
                let (item, _) = self.sentence_of(s.item);
                item == start && !self.is_symptom(s.part)
            });
        if is {
            self.tell_again(told, i, Says::Sound);
        }
        is
    }

    /// Whether words of mending have what was told before as their object: `fixed
    /// that`.
    pub(super) fn of_that(&self, i: usize) -> bool {
        let that = |word: &str| matches!(word, "that" | "it" | "this");
        self.words(i).split(' ').any(that) && !self.holds_not(i)
    }

    /// `a new pump fixed that`: what was told before is over.
    pub(super) fn fixed_that(&mut self, k: usize, i: usize) {
        let m = &self.mentions[k];
        let verb = self.of_that(i) && m.item + 1 == i && m.sentence == self.sentence;
        let told = self
            .symptom_told(m.item)
            .filter(|t| verb && t.says.is_some_and(Says::is_fault));
        if let Some(told) = told {
            self.tell_again(told, i, Says::Sound);
        }
    }

    /// What a found part caused ends with it: `the knock turned out to be the
    /// pump, new one in`.
    pub(super) fn over_with(&mut self, k: usize, i: usize) {
        let m = &self.mentions[k];
        if !m.found {
            return;
        }
        let told = self.symptom_told(m.item);
        let of_it = told.filter(|t| t.says == Some(Says::Bad));
        if let Some(told) = of_it {
            self.tell_again(told, i, Says::Sound);
        }
    }

    /// `turned out to be the pump, and now it is quiet`: a part that was found is
    /// done with where what it caused is gone.
    pub(super) fn found_is_done(&mut self, m: &Mention, i: usize) {
        let gone = m.denied || says_sound(&m.named);
        let named = m.named.iter().find(|n| self.is_symptom(n.part));
        let Some(named) = named.filter(|_| gone) else {
            return;
        };
        let near = |p: &Mention| p.sentence + 1 >= m.sentence;
        let found = (0..self.mentions.len()).rev().take(TURNS);
        let found = found.take_while(|k| near(&self.mentions[*k])).find(|k| {
            let p = &self.mentions[*k];
            let caused = self.symptom_told(p.item).map(|t| t.part);
            p.found && p.says == Some(Says::Bad) && caused == Some(named.part)
        });
        if let Some(k) = found {
            (self.mentions[k].says, self.mentions[k].cue) = (Some(Says::Renewed), Some(i));
        }
    }

    /// A part that a symptom is said to be, `the knock is the pump`, or what it
    /// turned out to be after another was thought of: `it was the pump`.
    pub(super) fn found_out(&mut self, m: &mut Mention) {
        if !m.is_noun() || m.is_equipment() || m.is_feature() {
            return;
        }
        let before = self.before_modifiers(m.item);
        let from = (0..before)
            .rev()
            .find(|j| !self.is_link(*j))
            .map_or(0, |j| j + 1);
        let links = from..before;
        let is = links
            .clone()
            .any(|j| self.items.cue(j).is_some_and(|c| c.act.is_copula()));
        let denied = links.clone().any(|j| self.items.acts(j, Act::Negates));
        if !(is || denied) || !(m.is_open() || m.hedged || denied) {
            return;
        }
        let symptom = self
            .mentions
            .last()
            .is_some_and(|p| self.is_plain_symptom(p) && p.item + 1 == from);
        if symptom {
            if let Some(p) = self.mentions.last_mut() {
                // `they said the knock is the pump`: there is a knock.
                p.hedged = false;
            }
            if denied {
                m.says = Some(Says::Sound);
                (m.consumed, m.hedged) = (false, false);
            } else if !m.hedged {
                // `the knock was the pump, replaced since`
                m.found = true;
                let done = self.predicate_ahead(m.item, false);
                if !matches!(done, Some((Some(Says::Renewed | Says::Sound), _))) {
                    (m.says, m.cue) = (Some(Says::Bad), m.cue.or(Some(from)));
                }
            }
            return;
        }
        // `Dad said water pump. Wasn't the water pump.`
        if denied && self.clause_closes(m.item + 1) && self.was_suspected(m) {
            m.says = Some(Says::Sound);
            (m.consumed, m.hedged, m.latest) = (false, false, true);
            return;
        }
        let pronoun = links.clone().any(|j| self.items.acts(j, Act::Pronoun));
        let begins = from == self.sentence_start
            || matches!(self.items.list[from - 1].kind, ItemKind::Sign(b',' | b';'))
            || self.items.acts(from - 1, Act::Border)
            || self.items.acts(from - 1, Act::But);
        let was = links.clone().any(|j| self.items.acts(j, Act::Was));
        if denied || !begins || !(was || pronoun) || !m.is_open() {
            return;
        }
        // `thought thermostat, was a bearing`
        let near = |p: &&mut Mention| p.sentence + STORY >= m.sentence;
        let mut thought = false;
        for p in self.mentions.iter_mut().rev().take(TURNS).take_while(near) {
            let other = p.is_noun()
                && p.named
                    .iter()
                    .all(|n| m.named.iter().all(|o| o.part != n.part));
            if other && p.hedged && p.heard && p.says != Some(Says::Renewed) {
                (p.consumed, p.hedged, p.says) = (true, false, None);
                thought = true;
            }
        }
        // `The knock? It was the pump.`
        let told = self.symptom_told(from);
        let asked = pronoun && was && told.is_some_and(|t| t.says.is_some_and(Says::is_fault));
        if thought || asked {
            (m.says, m.found) = (Some(Says::Bad), true);
            m.cue = m.cue.or(Some(from));
        }
    }

    /// Whether the same part was suspected in this story.
    fn was_suspected(&self, m: &Mention) -> bool {
        let near = |p: &&Mention| p.sentence + STORY >= m.sentence;
        let mut before = self.mentions.iter().rev().take(TURNS).take_while(near);
        before.any(|p| {
            let same = p
                .named
                .iter()
                .any(|n| m.named.iter().any(|o| o.part == n.part));
            same && (p.hedged || p.says.is_some_and(Says::is_fault))
        })
    }

    /// `The muffler is bad, and the thermostat.`: a part at the end shares the saying
    /// before it.
    pub(super) fn and_the(&mut self, end: usize) {
        let n = self.mentions.len();
        let Some([before, last]) = self.mentions.get(n.saturating_sub(2)..) else {
            return;
        };
        let joint = self.before_modifiers(last.item);
        let and = joint > 0 && self.items.acts(joint - 1, Act::And);
        let told = before.cue.filter(|c| *c > before.item && *c < last.item);
        let alone = last.is_open()
            && !last.is_equipment()
            && !last.is_feature()
            && last.item + 1 == end
            && last.sentence == self.sentence
            && before.sentence == self.sentence;
        let says = before
            .says
            .filter(|s| matches!(s, Says::Bad | Says::Renewed));
        let close = told.is_some_and(|c| self.words_between(c, last.item) == 0);
        if let (true, true, Some(cue), Some(says)) = (alone && close, and, told, says) {
            let last = &mut self.mentions[n - 1];
            (last.says, last.cue, last.shared) = (Some(says), Some(cue), true);
        }
    }

    /// Whether a mention is a symptom told as a fault, by its name alone.
    fn is_plain_symptom(&self, m: &Mention) -> bool {
        let fault = |n: &Named| {
            self.is_symptom(n.part) && matches!(n.naming, Naming::Fault | Naming::States(Says::Bad))
        };
        m.sentence == self.sentence && !m.denied && m.named.iter().all(fault)
    }

    /// Whether an item may stand between a symptom and the part that it is.
    fn is_link(&self, j: usize) -> bool {
        let acts = [Act::Pronoun, Act::Negates, Act::Modifier];
        acts.iter().any(|act| self.items.acts(j, *act))
            || matches!(self.items.word(j), "that" | "which")
            || self.items.cue(j).is_some_and(|c| c.act.is_copula())
    }
}
