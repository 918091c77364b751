//! What stands around a part that no cue governs: what a table of leanings
//! weighs where the rules found no state.

use super::*;
use crate::lexicon::leanings::{ANSWERS, LEAST_CHANCE, Near, Weights, chances};

/// Items of a clause looked at on either side.
const REACH: usize = 6;
/// Items and names looked at on either side in a sentence, however long.
const FAR: usize = 40;
/// How much of an ad tells of parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fullness {
    /// Too short to say.
    Brief,
    /// It tells of parts throughout.
    Full,
    /// Every other sentence or so.
    Filled,
    /// Here and there.
    Sparse,
    /// Next to nothing.
    Empty,
}

impl Fullness {
    /// The word of the tables of weights.
    fn word(self) -> &'static str {
        match self {
            Fullness::Brief => "brief",
            Fullness::Full => "full",
            Fullness::Filled => "filled",
            Fullness::Sparse => "sparse",
            Fullness::Empty => "empty",
        }
    }
}

impl Walk<'_> {
    /// How much the ad tells of parts by the rules: in a long story or a list of
    /// equipment most parts are only named.
    pub(super) fn fullness(&self) -> Fullness {
        if self.items.are_few() {
            return Fullness::Brief;
        }
        let words = self.items.worded();
        let told = |m: &&Mention| {
            !m.consumed && !m.place && m.named.iter().any(|n| self.final_state(m, *n).is_some())
        };
        let told = self.mentions.iter().filter(told).count();
        if words <= told * 7 {
            Fullness::Full
        } else if words <= told * 12 {
            Fullness::Filled
        } else if words <= told * 20 {
            Fullness::Sparse
        } else {
            Fullness::Empty
        }
    }

    /// Tells of all that stands around a mention.
    pub(super) fn around(
        &self,
        (k, part): (usize, PartId),
        fullness: Fullness,
        tell: &mut dyn FnMut(Near, &str),
    ) {
        let m = &self.mentions[k];
        tell(Near::Form, fullness.word());
        let row = self.parts.get(part);
        tell(Near::Part, &row.code);
        tell(Near::Group, &row.group);
        tell(Near::Name, self.words(m.item));
        let (start, end) = self.sentence_of(m.item);
        let ends_clause = |j: &usize| {
            matches!(
                self.items.list[*j].kind,
                ItemKind::Sign(b',' | b';' | b'-' | b'(' | b')' | b':' | b'*')
            )
        };
        let first = (start..m.item).rev().find(ends_clause);
        let first = first.map_or(start, |j| j + 1);
        let last = (m.item + 1..end).find(ends_clause).unwrap_or(end);
        for j in start..end {
            if j == m.item {
                continue;
            }
            let clause = (first..last).contains(&j) && j.abs_diff(m.item) <= REACH;
            let (word, cue) = match (clause, j < m.item) {
                (true, true) => (Near::Before, Near::CueBefore),
                (true, false) => (Near::After, Near::CueAfter),
                (false, _) => (Near::Sentence, Near::CueSentence),
            };
            match self.items.kind(j) {
                ItemKind::Number => tell(word, "#"),
                ItemKind::Word => tell(word, self.items.word(j)),
                ItemKind::Phrase(_) if self.items.names(j) => {}
                ItemKind::Phrase(_) => {
                    tell(word, self.words(j));
                    if let Some(c) = self.items.cue(j) {
                        // The weights were learnt with these under one name.
                        let act = match c.act {
                            Act::Echoes | Act::ToCome => Act::Copula,
                            Act::But => Act::Border,
                            Act::Side | Act::Still | Act::Others | Act::Lately => Act::Modifier,
                            Act::Because => Act::State(Says::Bad),
                            act => act,
                        };
                        tell(cue, act.word());
                    }
                }
                _ => {}
            }
        }
        for j in end + 1..(end + 4).min(self.items.list.len()) {
            match self.items.kind(j) {
                ItemKind::End(_) | ItemKind::Blank => break,
                ItemKind::Number => tell(Near::Opens, "#"),
                ItemKind::Word => tell(Near::Opens, self.items.word(j)),
                ItemKind::Phrase(_) if self.items.names(j) => tell(Near::Opens, "(part)"),
                ItemKind::Phrase(_) => tell(Near::Opens, self.words(j)),
                ItemKind::Sign(_) => {}
            }
        }
        self.sentences_without_parts(start, end, tell);
        self.neighbours(k, tell);
        let alone = !(start..end).any(|j| {
            j != m.item
                && match self.items.kind(j) {
                    ItemKind::Word | ItemKind::Number => true,
                    ItemKind::Phrase(_) => !self.items.acts(j, Act::Modifier),
                    _ => false,
                }
        });
        for (is, word) in [
            (true, "any"),
            (m.sentence == 0, "headline"),
            (alone, "alone"),
            (m.question, "question"),
            (m.past, "past"),
            (m.linked, "linked"),
            (m.latest, "latest"),
            (m.unreal, "unreal"),
            (self.bullet(start), "bullet"),
            (end - start > 20, "long"),
        ] {
            if is {
                tell(Near::Form, word);
            }
        }
    }

    /// What cues do in the sentence before and behind, where these name no
    /// part: `The alternator. It quit.`
    fn sentences_without_parts(&self, start: usize, end: usize, tell: &mut dyn FnMut(Near, &str)) {
        let mut told = |range: std::ops::Range<usize>, near: Near| {
            if range.clone().any(|j| self.items.names(j)) {
                return;
            }
            for cue in range.filter_map(|j| self.items.cue(j)) {
                if let Act::State(_) | Act::Negates | Act::Lacks | Act::Hedges = cue.act {
                    tell(near, cue.act.word());
                }
            }
        };
        if end + 1 < self.items.list.len() {
            told(end + 1..self.sentence_of(end + 1).1, Near::CueNext);
        }
        if let Some(last) = start.checked_sub(2) {
            told(self.sentence_of(last).0..last + 1, Near::CuePrevious);
        }
    }

    /// First item of the sentence that an item stands in, and the item that
    /// ends it.
    pub(super) fn sentence_of(&self, item: usize) -> (usize, usize) {
        let ends =
            |j: &usize| matches!(self.items.list[*j].kind, ItemKind::End(_) | ItemKind::Blank);
        let (from, to) = (
            item.saturating_sub(FAR),
            self.items.list.len().min(item + FAR),
        );
        let start = (from..item).rev().find(ends).map_or(from, |j| j + 1);
        (start, (item..to).find(ends).unwrap_or(to))
    }

    /// States of what is named beside it.
    fn neighbours(&self, k: usize, tell: &mut dyn FnMut(Near, &str)) {
        let sentence = self.mentions[k].sentence;
        let state = |m: &Mention| {
            let said = m.named.first().filter(|_| !m.consumed);
            said.and_then(|n| self.final_state(m, *n)).map(Says::word)
        };
        let before = &self.mentions[k.saturating_sub(FAR)..k];
        let after = &self.mentions[k + 1..self.mentions.len().min(k + 1 + FAR)];
        let nearest = |list: &mut dyn Iterator<Item = &Mention>, s: u32| {
            let said = list.filter(|m| m.sentence == s).find_map(state);
            said.unwrap_or("none")
        };
        tell(Near::Earlier, nearest(&mut before.iter().rev(), sentence));
        tell(Near::Later, nearest(&mut after.iter(), sentence));
        if let Some(s) = sentence.checked_sub(1) {
            tell(Near::SentenceBefore, nearest(&mut before.iter().rev(), s));
        }
        tell(
            Near::SentenceAfter,
            nearest(&mut after.iter(), sentence + 1),
        );
    }

    /// `transmission slips`: the fault behind the part is told, and it alone;
    /// but a `radio` that `cuts out` is no engine that stalls.
    fn fault_of_its_own(&self, item: usize, part: PartId) -> bool {
        // `the frame has some surface rust`
        let mut at = item + 1;
        if self.items.acts(at, Act::Copula) {
            at += 1;
            while at < item + 4 && self.items.acts(at, Act::Modifier) {
                at += 1;
            }
        }
        let fault = self
            .items
            .phrase(at)
            .filter(|_| !self.items.names_part(at))
            .and_then(|p| p.meaning.named.first().map(|n| n.part));
        fault.is_some_and(|f| {
            let (of_fault, own) = (&self.parts.get(f).group, &self.parts.get(part).group);
            of_fault != "engine" || own == "engine"
        })
    }

    /// Whether a part is an entry of a list with nothing beside it, as equipment
    /// is told: `ps, pb, sunroof, new tires`. What is said of other entries
    /// says nothing of it.
    pub(super) fn bare_entry(&self, item: usize) -> bool {
        let apart = |j: usize| match self.items.list.get(j).map(|i| i.kind) {
            Some(ItemKind::Sign(sign)) => matches!(sign, b',' | b';' | b'*' | b'/' | b'-'),
            Some(ItemKind::End(_) | ItemKind::Blank) | None => true,
            _ => false,
        };
        let mut first = item;
        while first > 0 && self.only_describes(first - 1) {
            first -= 1;
        }
        first.checked_sub(1).is_none_or(apart) && apart(item + 1)
    }

    /// `new battery, stereo, tie rods`, `new tires/stereo`: whether the entry of a
    /// list behind this one is a part by itself, of which nothing else is said, or
    /// a stroke joins this one to the entry before.
    pub(super) fn among_parts(&self, item: usize) -> bool {
        let close = self.close_stroke(item.wrapping_sub(1));
        let goes_on = matches!(self.items.kind(item + 1), ItemKind::Sign(b',' | b'/'));
        let part = |(next, _): &(usize, PartId)| {
            let plain = |n: &Named| matches!(n.naming, Naming::Noun | Naming::Generic);
            let named = self.items.phrase(*next).map(|p| &p.meaning.named);
            named.is_some_and(|named| named.iter().all(plain))
                && (item + 2..*next).all(|j| self.only_describes(j))
                && !self.own_predicate(*next, true)
        };
        // `new tires/brakes/stereo`
        close || goes_on && self.part_ahead(item + 1).as_ref().is_some_and(part)
    }

    /// Whether an item tells which part is meant and nothing of it.
    fn only_describes(&self, item: usize) -> bool {
        match self.items.kind(item) {
            ItemKind::Number => true,
            ItemKind::Word => true,
            ItemKind::Phrase(_) => self.items.acts(item, Act::Modifier),
            _ => false,
        }
    }

    /// Whether the rules found no state for a part that was named.
    fn left_open(&self, m: &Mention, named: Named) -> bool {
        let wished = m.unreal && m.says != Some(Says::Bad);
        m.is_noun()
            && !m.place
            && !m.consumed
            && !self.fault_of_its_own(m.item, named.part)
            && !self.only_described(m.item)
            && !self.costs_so_much(m.item)
            && (named.naming != Naming::Feature || !self.bare_entry(m.item) && !self.has_it(m.item))
            && !wished
            && !matches!(named.naming, Naming::Subject | Naming::Equipment)
            && self.final_state(m, named).is_none()
    }

    /// `pump replaced, wipers original`: a word of its age belongs to the part, and
    /// nothing stands behind it.
    fn only_described(&self, item: usize) -> bool {
        let sign = matches!(self.items.kind(item + 1), ItemKind::Sign(b':' | b'-'));
        let first = item + 1 + usize::from(sign);
        // Of some parts such a word says that they are worn out.
        let age = |j: usize| {
            let effects = self.items.phrase(j).map(|p| &p.meaning.effects);
            effects.is_some_and(|effects| !effects.is_empty())
        };
        let described = (first..self.items.list.len())
            .take_while(|j| self.items.acts(*j, Act::Modifier))
            .last();
        described.is_some_and(|last| age(last) && self.clause_closes(last + 1))
    }

    /// `a used one is 450 at the yard`, `a muffler from the yard runs about $60`:
    /// what such a part costs, and nothing of this one.
    fn costs_so_much(&self, item: usize) -> bool {
        let end = (item + 8).min(self.items.list.len());
        let verb =
            |j: &usize| self.items.acts(*j, Act::Copula) || self.items.is_a(*j, WordClass::Costs);
        let stop = |j: &usize| {
            !matches!(self.items.kind(*j), ItemKind::Word | ItemKind::Phrase(_))
                || self.items.names(*j)
        };
        let clause = (item + 1..end).find(stop).unwrap_or(end);
        let Some(verb) = (item + 1..clause).find(verb) else {
            return false;
        };
        let (first, last) = (self.items.list[item].first, self.items.list[verb].first);
        let another = |t: u32| self.items.token_is(t, &[WordClass::SecondHand]);
        if !(first.saturating_sub(2)..last).any(another) {
            return false;
        }
        let mut at = verb + 1;
        while self.items.acts(at, Act::Modifier) || self.items.is_word(at) && at < verb + 3 {
            at += 1;
        }
        let sign = self.items.kind(at) == ItemKind::Sign(b'$');
        let figure = at + usize::from(sign);
        let amount = self.items.kind(figure) == ItemKind::Number
            && self.figure(figure).is_some_and(|v| v >= 20.0);
        let behind = self.items.list.get(figure + 1).map(|n| n.kind);
        let goes_on = [
            WordClass::At,
            WordClass::From,
            WordClass::Plus,
            WordClass::And,
        ];
        amount
            && (sign
                || self.is_money(figure + 1)
                || self.items.is_any(figure + 1, &goes_on)
                || matches!(behind, None | Some(ItemKind::End(_))))
    }

    /// `Steering - tie rod loose`: a heading over the parts that follow.
    fn heads_others(&self, m: &Mention) -> bool {
        let (start, end) = self.sentence_of(m.item);
        let sign = self.items.list.get(m.item + 1).map(|n| n.kind);
        m.item <= start + 1
            && matches!(sign, Some(ItemKind::Sign(b':' | b'-')))
            && (m.item + 2..end).any(|j| self.items.names_part(j))
    }

    /// What the words around them make likely of parts that the rules leave
    /// open, each code once.
    pub(super) fn lean(&mut self, sayings: &mut Vec<Saying>, fullness: Fullness) {
        let Some(leanings) = self.leanings.filter(|l| !l.is_empty()) else {
            return;
        };
        let mut open: Vec<(usize, PartId, Weights)> = Vec::new();
        for (k, m) in self.mentions.iter().enumerate() {
            for named in &m.named {
                let part = named.part;
                if sayings.iter().any(|s| s.part == part)
                    || !self.left_open(m, *named)
                    || self.heads_others(m)
                {
                    continue;
                }
                let mut sums = Weights::default();
                self.around((k, part), fullness, &mut |near, word| {
                    if let Some(weights) = leanings.of(near, word) {
                        sums.iter_mut().zip(weights).for_each(|(s, w)| *s += w);
                    }
                });
                open.push((k, part, sums));
            }
        }
        let mut found: Vec<(PartId, f64, Says, usize)> = Vec::new();
        for (k, part, sums) in open {
            let Some((says, chance)) = likeliest(sums) else {
                continue;
            };
            match found.iter_mut().find(|f| f.0 == part) {
                Some(old) if old.1 >= chance => {}
                Some(old) => *old = (part, chance, says, k),
                None => found.push((part, chance, says, k)),
            }
        }
        for (part, chance, says, k) in found {
            let item = self.mentions[k].item;
            if chance < LEAST_CHANCE {
                continue;
            }
            let says = self.fitting(part, says);
            let mut saying = self.saying(&self.mentions[k], part, says);
            saying.rule.leans = true;
            sayings.push(saying);
            let text = format!(
                "'{}' leans to {says} by what stands around it (chance {chance:.2})",
                self.words(item)
            );
            if let Some(trace) = &mut self.trace {
                trace.push(Step { item, text });
            }
        }
    }

    /// Every part that is named, with its state by the rules and what stands
    /// around it, to learn from.
    pub(super) fn examples(&self, fullness: Fullness) -> Vec<Example> {
        let mut out = Vec::new();
        for (k, m) in self.mentions.iter().enumerate() {
            for named in &m.named {
                let open = self.left_open(m, *named);
                let says = self.final_state(m, *named);
                if m.consumed || m.place || !m.is_noun() || !open && says.is_none() {
                    continue;
                }
                let mut traits = Vec::new();
                self.around((k, named.part), fullness, &mut |near, word| {
                    traits.push((near, word.to_owned()));
                });
                out.push(Example {
                    part: named.part,
                    says,
                    traits,
                });
            }
        }
        out
    }
}

/// The likeliest answer but `nothing`, with its chance.
fn likeliest(sums: Weights) -> Option<(Says, f64)> {
    let answers = ANSWERS.iter().zip(chances(sums));
    answers
        .filter_map(|((_, says), chance)| says.map(|s| (s, chance)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// A part as it was named, to learn leanings from.
#[derive(Debug, Clone, PartialEq)]
pub struct Example {
    /// The code.
    pub part: PartId,
    /// What the rules make of it; none where they leave it open.
    pub says: Option<Says>,
    /// What stands around it.
    pub traits: Vec<(Near, String)>,
}
