//! Which cue governs which part.
//!
//! The method is that of cue and scope, published for the reading of clinical
//! notes: a lexicon of cue words, each with a direction and a reach that ends
//! at words which change the subject (Chapman, Bridewell, Hanbury, Cooper,
//! Buchanan 2001, J. Biomed. Inform. 34:301-310; Harkema, Dowling, Thornblade,
//! Chapman 2009, J. Biomed. Inform. 42:839-851). Added here: lists under one
//! cue, adjectives that may stand on either side, headings, sayings whose
//! meaning depends on their subject, and pronouns.

use super::items::{Item, ItemKind, Items};
use super::model::Says;
use crate::lexicon::parts::{PartId, PartKind, Parts};
use crate::lexicon::phrases::{Act, Cue, Effect, EffectOf, Named, Naming, Side};

/// A saying of one code, before sayings of the same code are brought together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saying {
    /// The part or symptom.
    pub part: PartId,
    /// What is said.
    pub says: Says,
    /// First and last token that it rests on.
    pub tokens: (u32, u32),
    /// The item that names the part.
    pub item: usize,
    /// The item of the cue, if one governs.
    pub cue: Option<usize>,
    /// Which sentence, from 0.
    pub sentence: u32,
    /// It was so once.
    pub past: bool,
    /// Said to be so now, again or since.
    pub latest: bool,
    /// Denied rather than praised.
    pub denied: bool,
    /// Words beside the part: front, left.
    pub qualifiers: Vec<u32>,
    /// How it came about.
    pub rule: Rule,
}

/// Which phrases made a saying.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rule {
    /// The phrase that names the part.
    pub name: Option<u32>,
    /// The cue that governs it.
    pub cue: Option<u32>,
    /// The cue turned round by a denial.
    pub denied: bool,
    /// A hedge stands with it.
    pub hedged: bool,
}

impl Rule {
    /// In words, with the phrases' own.
    pub fn render<'a>(&self, words: impl Fn(u32) -> &'a str) -> String {
        let mut out = String::new();
        if let Some(name) = self.name {
            out.push_str(&format!("'{}'", words(name)));
        }
        if let Some(cue) = self.cue {
            out.push_str(&format!(" under '{}'", words(cue)));
        }
        if self.denied {
            out.push_str(", denied");
        }
        if self.hedged {
            out.push_str(", hedged");
        }
        out
    }
}

/// A part or fault that was named, and what has been found out about it.
#[derive(Debug, Clone)]
struct Mention {
    item: usize,
    named: Vec<Named>,
    says: Option<Says>,
    cue: Option<usize>,
    /// `no X`: missing, unless a fault word follows.
    lacks: bool,
    denied: bool,
    /// Joined to the mention before it by nothing but list signs.
    linked: bool,
    past: bool,
    unreal: bool,
    latest: bool,
    /// A saying took it as its subject and gave the claims itself.
    consumed: bool,
    hedged: bool,
    question: bool,
    /// Only the place of the part before it: `the line under the hood`.
    place: bool,
    qualifiers: Vec<u32>,
    sentence: u32,
}

impl Mention {
    fn is_noun(&self) -> bool {
        self.named.iter().all(|n| n.naming == Naming::Noun)
    }

    fn is_open(&self) -> bool {
        self.says.is_none() && !self.consumed && self.is_noun()
    }
}

/// A cue that governs what follows.
#[derive(Debug, Clone, Copy)]
struct Governor {
    says: Says,
    item: usize,
    negated: bool,
    /// A verb rules over the adjectives inside its list.
    verb: bool,
    /// Parts governed so far.
    count: usize,
    /// Sentence it stands in.
    sentence: u32,
    /// An adjective `new` stood in the list: a further `new` is no new cue.
    took_adjective: bool,
    hedged: bool,
    /// Shares the saying of the part before: `along with the water pump`.
    trailing: bool,
}

/// Works through the items of one text.
pub struct Walk<'a> {
    items: Items<'a>,
    parts: &'a Parts,
    mentions: Vec<Mention>,
    extra: Vec<Saying>,
    gov: Option<Governor>,
    section: Option<Governor>,
    neg: Option<(usize, Act)>,
    neg_words: usize,
    neg_list: bool,
    neg_all: bool,
    hedge: Option<usize>,
    unreal: Option<usize>,
    past: Option<usize>,
    latest: bool,
    pronoun: Option<usize>,
    clause: usize,
    sentence: u32,
    sentence_start: usize,
    sentence_mentions: usize,
    /// A noun ahead that a saying has taken as its subject.
    taken: Vec<usize>,
    trace: Option<Vec<String>>,
}

impl<'a> Walk<'a> {
    /// A walk over these items.
    pub fn new(items: Items<'a>, parts: &'a Parts) -> Self {
        Walk {
            items,
            parts,
            mentions: Vec::new(),
            extra: Vec::new(),
            gov: None,
            section: None,
            neg: None,
            neg_words: 0,
            neg_list: false,
            neg_all: false,
            hedge: None,
            unreal: None,
            past: None,
            latest: false,
            pronoun: None,
            clause: 0,
            sentence: 0,
            sentence_start: 0,
            sentence_mentions: 0,
            taken: Vec::new(),
            trace: None,
        }
    }

    /// Keeps a note of every step, for `--why`.
    pub fn traced(mut self) -> Self {
        self.trace = Some(Vec::new());
        self
    }

    fn note(&mut self, text: impl FnOnce(&Self) -> String) {
        if self.trace.is_some() {
            let line = text(self);
            if let Some(trace) = &mut self.trace {
                trace.push(line);
            }
        }
    }

    fn words(&self, item: usize) -> &str {
        self.items.phrase(item).map_or("", |p| p.words.as_str())
    }

    /// All sayings of the text, in its order, and the trace if one was asked
    /// for.
    pub fn run(mut self) -> (Vec<Saying>, Vec<String>) {
        let mut i = 0;
        while i < self.items.list.len() {
            self.step(i);
            i += 1;
        }
        self.end_sentence(b'.', self.items.list.len());
        let trace = self.trace.take().unwrap_or_default();
        let mut sayings = std::mem::take(&mut self.extra);
        for m in &self.mentions {
            if m.consumed || (m.unreal && m.says != Some(Says::Bad)) {
                continue;
            }
            for named in &m.named {
                if let Some(says) = self.final_state(m, *named) {
                    sayings.push(self.saying(m, named.part, says));
                }
            }
        }
        sayings.sort_by_key(|s| (s.item, s.part));
        (sayings, trace)
    }

    fn saying(&self, m: &Mention, part: PartId, says: Says) -> Saying {
        let item = self.items.list[m.item];
        let (mut first, mut last) = (item.first, item.last);
        if let Some(cue) = m.cue.map(|c| self.items.list[c]) {
            first = first.min(cue.first);
            last = last.max(cue.last);
        }
        Saying {
            part,
            says,
            tokens: (first, last),
            item: m.item,
            cue: m.cue,
            sentence: m.sentence,
            past: m.past,
            latest: m.latest,
            denied: m.denied,
            qualifiers: m.qualifiers.clone(),
            rule: Rule {
                name: self.phrase_of(m.item),
                cue: m.cue.and_then(|c| self.phrase_of(c)),
                denied: m.denied,
                hedged: m.hedged,
            },
        }
    }

    fn phrase_of(&self, item: usize) -> Option<u32> {
        match self.items.list.get(item)?.kind {
            ItemKind::Phrase(p) => Some(p),
            _ => None,
        }
    }

    fn is_symptom(&self, part: PartId) -> bool {
        self.parts.get(part).kind == PartKind::Symptom
    }

    /// What a mention comes to for one of its codes.
    fn final_state(&self, m: &Mention, named: Named) -> Option<Says> {
        let symptom = self.is_symptom(named.part);
        let own = match named.naming {
            Naming::Noun => None,
            Naming::Fault => Some(Says::Bad),
            Naming::States(s) => Some(s),
        };
        let mut says = match (m.says, own) {
            (Some(s), None) => Some(s),
            // A fault under `new` or `fixed` is mended; under `good` or `bad`
            // it is the fault all the same.
            (Some(Says::Renewed), Some(o)) if o.is_fault() => Some(Says::Renewed),
            (Some(Says::Spare), Some(o)) => Some(o),
            (Some(Says::Suspect), Some(o)) if o.is_fault() => Some(Says::Suspect),
            (Some(Says::Sound), Some(o)) if o.is_fault() && m.denied => Some(Says::Sound),
            (_, Some(o)) => Some(o),
            (None, None) => None,
        };
        if m.denied && own.is_some() {
            says = match own {
                Some(Says::Bad | Says::Suspect) => Some(Says::Sound),
                Some(Says::Sound) => Some(Says::Bad),
                _ => None,
            };
        }
        if m.hedged && says == Some(Says::Bad) {
            says = Some(Says::Suspect);
        }
        if m.hedged && says.is_none() && m.is_noun() && !m.denied {
            says = Some(Says::Suspect);
        }
        if m.question && says.is_none() {
            return None;
        }
        if symptom && says == Some(Says::Renewed) {
            says = Some(Says::Sound);
        }
        if symptom && says == Some(Says::Spare) {
            says = None;
        }
        says
    }

    fn step(&mut self, i: usize) {
        let Item { kind, .. } = self.items.list[i];
        match kind {
            ItemKind::End(sign) => self.end_sentence(sign, i + 1),
            ItemKind::Blank => {
                self.end_sentence(b'\n', i + 1);
                self.section = None;
            }
            ItemKind::Sign(sign) => self.sign(i, sign),
            ItemKind::Word => {
                self.neg_words += 1;
                if self.neg.is_some() && self.neg_words > 3 {
                    self.neg = None;
                }
                self.latest = false;
            }
            ItemKind::Number => self.number(i),
            ItemKind::Phrase(_) => self.phrase(i),
        }
    }

    /// A number right behind a part: `tires 80%`, `brakes 8/10` mark how good
    /// it is; `timing belt 2019`, `plugs at 105k` when it was renewed.
    fn number(&mut self, i: usize) {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return;
        };
        let m = &self.mentions[k];
        let near = m.sentence == self.sentence
            && self.clause <= k
            && m.is_open()
            && self.words_between(m.item, i) == 0
            && !self.signs_between(m.item, i);
        if !near {
            return;
        }
        let word = self.items.word(i);
        let Some(value) = word
            .trim_end_matches('k')
            .replace(',', "")
            .parse::<f64>()
            .ok()
        else {
            return;
        };
        let sign = |j: usize, s: u8| {
            self.items
                .list
                .get(j)
                .is_some_and(|it| it.kind == ItemKind::Sign(s))
        };
        let says = if sign(i + 1, b'%') || self.items.word(i + 1) == "percent" {
            match value {
                v if v >= 45.0 => Some(Says::Sound),
                v if v <= 30.0 => Some(Says::Bad),
                _ => None,
            }
        } else if sign(i + 1, b'/') && self.items.word(i + 2) == "10" {
            match value {
                v if v >= 7.0 => Some(Says::Sound),
                v if v <= 4.0 => Some(Says::Bad),
                _ => None,
            }
        } else {
            let placed = i > 0 && self.items.acts(i - 1, Act::Place);
            let year = (1990.0..=2035.0).contains(&value) && word.len() == 4 && self.sentence > 0;
            let odometer =
                placed && (word.ends_with('k') || (20_000.0..=400_000.0).contains(&value));
            (year || odometer).then_some(Says::Renewed)
        };
        if let Some(says) = says {
            for k in self.subjects(i) {
                self.say_of(k, i, says, false);
            }
        }
    }

    fn sign(&mut self, i: usize, sign: u8) {
        match sign {
            b',' | b'/' | b'*' | b';' | b'-' | b'(' | b')' => {
                self.settle_bare_negation(i);
                self.unreal = None;
                if sign == b';' || sign == b'*' || sign == b'-' {
                    self.neg_list = false;
                    self.hedge = None;
                }
                if sign == b')' {
                    self.hedge = None;
                }
            }
            b':' => {
                self.hedge = None;
                // A heading: a cue with nothing governed yet.
                let own = self.heading_cue(i);
                if own.is_none()
                    && let Some(gov) = self.gov
                    && gov.count == 0
                    && gov.sentence == self.sentence
                    && self.clause_is_heading(i)
                {
                    self.section = Some(gov);
                    self.note(|w| format!("heading '{}'", w.words(gov.item)));
                } else if let Some(cue) = own {
                    let gov = Governor {
                        says: cue.1,
                        item: cue.0,
                        negated: false,
                        verb: true,
                        count: 0,
                        sentence: self.sentence,
                        took_adjective: false,
                        hedged: false,
                        trailing: false,
                    };
                    self.gov = Some(gov);
                    self.section = Some(gov);
                    self.note(|w| format!("heading '{}'", w.words(cue.0)));
                }
            }
            _ => {}
        }
    }

    /// Whether nothing but the cue and small words stands before the colon.
    fn clause_is_heading(&self, colon: usize) -> bool {
        self.sentence_mentions == self.mentions.len() && colon - self.sentence_start <= 8
    }

    /// `NEW:`, `Replaced:`, `Good:`, `Bad -`: a state word right before a
    /// colon, with no part before it in the sentence.
    fn heading_cue(&self, colon: usize) -> Option<(usize, Says)> {
        if self.sentence_mentions != self.mentions.len() || colon - self.sentence_start > 5 {
            return None;
        }
        (self.sentence_start..colon)
            .rev()
            .find_map(|j| match self.items.cue(j) {
                _ if self.heading(j).is_some() => self.heading(j).map(|says| (j, says)),
                // `works:` is a verb with its object left out, no heading.
                Some(Cue {
                    act: Act::State(Says::Sound),
                    side: Side::Before,
                }) => None,
                Some(Cue {
                    act: Act::State(says),
                    ..
                }) => {
                    // `Not done:`
                    let denied = j > 0
                        && (self.items.acts(j - 1, Act::Negates)
                            || self.items.acts(j - 1, Act::Lacks));
                    match (says, denied) {
                        (Says::Renewed | Says::Sound, true) => Some((j, Says::Bad)),
                        (_, true) => Some((j, Says::Sound)),
                        (says, false) => Some((j, says)),
                    }
                }
                _ => None,
            })
    }

    fn heading(&self, i: usize) -> Option<Says> {
        self.items.phrase(i).and_then(|p| p.meaning.heading)
    }

    /// `probably the coil, I think`: a hedge with nothing after it turns back.
    fn settle_bare_hedge(&mut self, at: usize) {
        let Some(h) = self.hedge else { return };
        if at > h + 2
            || self
                .mentions
                .last()
                .is_none_or(|m| m.item > h || h - m.item > 4)
        {
            return;
        }
        self.hedge_back(h);
    }

    fn end_sentence(&mut self, sign: u8, next: usize) {
        self.settle_bare_negation(next.saturating_sub(1));
        self.settle_bare_hedge(next.saturating_sub(1));
        if sign == b'?' {
            for m in &mut self.mentions[self.sentence_mentions..] {
                m.question = true;
                // `bad alternator?`
                if m.says == Some(Says::Bad) {
                    m.hedged = true;
                }
            }
        }
        // A line that ends with an open cue is the heading of a list.
        let open = self.gov.filter(|g| {
            sign == b'\n'
                && g.count == 0
                && g.sentence == self.sentence
                && self.sentence_mentions == self.mentions.len()
        });
        if open.is_some() {
            self.section = open;
        } else if sign == b'\n'
            && next - self.sentence_start <= 5
            && let Some((item, says)) = self.heading_cue(next.saturating_sub(1))
        {
            self.section = Some(Governor {
                says,
                item,
                negated: false,
                verb: true,
                count: 0,
                sentence: self.sentence,
                took_adjective: false,
                hedged: false,
                trailing: false,
            });
        }
        if sign == b'.' && self.section.is_some_and(|s| s.sentence != self.sentence) {
            // Whole sentences under a heading speak for themselves.
            if !self.bullet(self.sentence_start) {
                self.section = None;
            }
        } else if sign == b'.' || sign == b'!' {
            if self
                .section
                .is_some_and(|s| s.sentence == self.sentence && s.count > 0)
                || self.gov.is_some_and(|g| g.count > 0)
            {
                self.section = None;
            }
        }
        self.gov = None;
        self.neg = None;
        self.neg_list = false;
        self.neg_all = false;
        self.hedge = None;
        self.unreal = None;
        self.past = None;
        self.latest = false;
        self.pronoun = None;
        self.sentence += 1;
        self.sentence_start = next;
        self.sentence_mentions = self.mentions.len();
        self.clause = self.mentions.len();
        if let Some(section) = self.section {
            self.gov = Some(Governor {
                count: 0,
                took_adjective: false,
                ..section
            });
        }
    }

    fn bullet(&self, start: usize) -> bool {
        matches!(
            self.items.list.get(start).map(|i| i.kind),
            Some(ItemKind::Sign(b'*' | b'-'))
        )
    }

    /// `heat works, air dont`, `Heat: no.`: a denial with nothing after it
    /// turns on what stands before it.
    fn settle_bare_negation(&mut self, at: usize) {
        let Some((item, act)) = self.neg.take() else {
            return;
        };
        if item + 1 != at || self.neg_list {
            return;
        }
        let _ = act;
        let sentence = self.sentence;
        let in_clause = self.clause < self.mentions.len();
        let Some(m) = self.mentions.last_mut() else {
            return;
        };
        if m.sentence != sentence || !in_clause || item.saturating_sub(m.item) > 3 {
            return;
        }
        if m.is_noun() {
            if m.says.is_none() {
                m.says = Some(Says::Bad);
                m.cue = Some(item);
            }
        } else if m.says.is_none() {
            m.denied = true;
            m.cue = Some(item);
        }
    }

    fn border(&mut self, i: usize) {
        self.settle_bare_negation(i);
        self.gov = None;
        self.neg = None;
        self.neg_list = false;
        self.neg_all = false;
        self.hedge = None;
        self.unreal = None;
        self.latest = false;
        self.pronoun = None;
        self.clause = self.mentions.len();
    }

    fn phrase(&mut self, i: usize) {
        let Some(phrase) = self.items.phrase(i) else {
            return;
        };
        let meaning = &phrase.meaning;
        if meaning.decoy {
            return;
        }
        if !meaning.effects.is_empty() && self.effect(i, &meaning.effects) {
            return;
        }
        if !meaning.named.is_empty() {
            self.name(i, &meaning.named);
            return;
        }
        match meaning.cue {
            Some(cue) => self.cue(i, cue),
            // Signs of other fields change the subject.
            None if !meaning.signs.is_empty() => self.border(i),
            None => {}
        }
    }

    // ---- naming -------------------------------------------------------

    /// Whether only list signs and modifiers lie between two items.
    fn only_list_between(&self, from: usize, to: usize) -> bool {
        (from + 1..to).all(|j| {
            self.items.joins(j)
                || self.items.acts(j, Act::Modifier)
                || matches!(self.items.list[j].kind, ItemKind::Number)
        })
    }

    fn words_between(&self, from: usize, to: usize) -> usize {
        (from + 1..to)
            .filter(|j| matches!(self.items.list[*j].kind, ItemKind::Word))
            .count()
    }

    fn signs_between(&self, from: usize, to: usize) -> bool {
        (from + 1..to).any(|j| {
            matches!(
                self.items.list[j].kind,
                ItemKind::Sign(b',' | b';' | b'/' | b'*')
            )
        })
    }

    fn qualifiers(&self, i: usize) -> Vec<u32> {
        let mut out = Vec::new();
        for j in (self.sentence_start..i).rev() {
            match self.items.list[j].kind {
                ItemKind::Phrase(p) if self.items.acts(j, Act::Modifier) => out.push(p),
                ItemKind::Number => {}
                _ => break,
            }
        }
        out.sort_unstable();
        out
    }

    fn name(&mut self, i: usize, named: &[Named]) {
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
            linked,
            past: self.past.is_some(),
            unreal: self.unreal.is_some(),
            latest: self.latest,
            consumed: false,
            hedged: false,
            question: false,
            place: false,
            qualifiers: self.qualifiers(i),
            sentence: self.sentence,
        };
        let noun = m.is_noun();
        if self.taken.contains(&i) {
            m.consumed = true;
            self.mentions.push(m);
            return;
        }
        let place = noun
            && self.placed(i)
            && self.mentions.last().is_some_and(|p| {
                p.sentence == self.sentence
                    && self.mentions.len() > self.clause
                    && p.is_noun()
                    && (p.is_open() || p.lacks || p.place)
                    && self.words_between(p.item, i) == 0
                    && !(p.item + 1..i).any(|j| self.items.joins(j))
            });
        if place {
            m.place = true;
            m.consumed = true;
            self.mentions.push(m);
            return;
        }
        if noun && self.compound(i) {
            // `tailgate window`, `engine harness`: the last noun is the thing.
            if let Some(p) = self.mentions.last_mut() {
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
        self.apply_negation(&mut m, noun);
        if m.says.is_none() && !m.denied {
            self.apply_governor(&mut m, noun);
        }
        if let Some(h) = self.hedge
            && matches!(m.says, None | Some(Says::Bad | Says::Suspect))
            && !m.denied
            && !(noun && m.says.is_none() && self.own_predicate(i, true))
        {
            m.hedged = true;
            m.cue.get_or_insert(h);
        }
        self.note(|w| {
            format!(
                "names '{}': {:?}{}{}{}",
                w.words(i),
                m.says,
                if m.denied { " denied" } else { "" },
                if m.hedged { " hedged" } else { "" },
                m.cue
                    .map(|c| format!(" by '{}'", w.words(c)))
                    .unwrap_or_default()
            )
        });
        self.mentions.push(m);
    }

    /// Whether the noun right before this one only tells which one is meant.
    /// Nouns in the plural, and three in a row, are a list without commas.
    fn compound(&self, i: usize) -> bool {
        let Some(p) = self.mentions.last() else {
            return false;
        };
        p.item + 1 == i
            && i > 0
            && p.is_noun()
            && !p.place
            && !p.consumed
            && !self.words(p.item).ends_with('s')
            && !(self.items.names(i + 1)
                && self.items.phrase(i + 1).is_some_and(|n| {
                    n.meaning.named.iter().all(|n| n.naming == Naming::Noun)
                }))
    }

    fn apply_negation(&mut self, m: &mut Mention, noun: bool) {
        let active = match self.neg {
            Some((item, act)) => {
                self.neg = None;
                self.neg_list = true;
                Some((item, act))
            }
            None if self.neg_list && m.linked => {
                // The denial goes on over the list.
                let previous = self.mentions.last();
                let carried = previous.filter(|p| p.denied || p.lacks);
                match carried.and_then(|p| p.cue) {
                    Some(cue) if self.list_goes_on(m.item, noun) => {
                        let act = if previous.is_some_and(|p| p.lacks) {
                            Act::Lacks
                        } else {
                            Act::Negates
                        };
                        // Under `no` both parts and faults are denied.
                        let act = self.items.cue(cue).map_or(act, |c| c.act);
                        Some((cue, act))
                    }
                    _ => {
                        self.neg_list = false;
                        None
                    }
                }
            }
            None => {
                self.neg_list = false;
                None
            }
        };
        let Some((item, act)) = active else { return };
        m.cue = Some(item);
        if !noun {
            m.denied = true;
            return;
        }
        match act {
            Act::Lacks => {
                m.lacks = true;
                m.says = Some(Says::Bad);
            }
            // `it is not the battery`, `didn't replace the pump`: no claim,
            // unless a predicate follows.
            _ => m.consumed = !self.own_predicate(m.item, false),
        }
    }

    /// Whether a denied list reaches this item: `no leaks, smoke or knocks`.
    fn list_goes_on(&self, i: usize, noun: bool) -> bool {
        // The joint right before it.
        let mut j = i;
        while j > 0 && self.items.acts(j - 1, Act::Modifier) {
            j -= 1;
        }
        if j > 0 && self.items.acts(j - 1, Act::Or) {
            return true;
        }
        if self.own_predicate(i, true) {
            return false;
        }
        // A bare item: the list or the sentence goes on right after it.
        let after = i + 1;
        let bare = after >= self.items.list.len()
            || self.items.joins(after)
            || matches!(
                self.items.list[after].kind,
                ItemKind::End(_) | ItemKind::Blank
            );
        if !bare {
            return false;
        }
        // Of parts, only a list with `or` is denied throughout.
        !noun || self.or_ahead(after)
    }

    fn or_ahead(&self, from: usize) -> bool {
        let mut j = from;
        while j < self.items.list.len() && j < from + 12 {
            match self.items.list[j].kind {
                ItemKind::End(_) | ItemKind::Blank => return false,
                ItemKind::Phrase(_) if self.items.acts(j, Act::Or) => return true,
                ItemKind::Phrase(_)
                    if self.items.names(j)
                        || self.items.acts(j, Act::Modifier)
                        || self.items.acts(j, Act::And) => {}
                ItemKind::Sign(b',') => {}
                _ => return false,
            }
            j += 1;
        }
        false
    }

    fn apply_governor(&mut self, m: &mut Mention, noun: bool) {
        let Some(mut gov) = self.gov else { return };
        // A list that goes on is left where an item has a predicate of its own.
        let first = gov.count == 0 && gov.sentence == self.sentence;
        if noun && self.own_predicate(m.item, !first) {
            if !first {
                self.gov = self.section;
            }
            return;
        }
        if !noun && gov.says == Says::Sound && !gov.negated {
            // `good, no leaks`: praise does not mend a fault.
            return;
        }
        if gov.trailing {
            if noun && self.shared_with_last(m.item, gov.says) {
                m.says = Some(gov.says);
                m.cue = Some(gov.item);
            } else {
                self.gov = self.section;
            }
            return;
        }
        // `receipts in the glovebox`: a place inside a list is no item of it.
        if noun && gov.count > 0 && self.placed(m.item) && !m.linked {
            return;
        }
        if gov.count > 0 && !gov.verb && !m.linked && !self.near_list(m.item) {
            self.gov = self.section;
            return;
        }
        m.says = self.governed(gov);
        m.cue = Some(gov.item);
        m.hedged = gov.hedged;
        if gov.negated && m.says.is_none() {
            m.consumed = true;
        }
        if gov.negated && !noun {
            m.denied = gov.says == Says::Bad;
        }
        gov.count += 1;
        self.gov = Some(gov);
    }

    /// Whether a word of place stands right before this item.
    fn placed(&self, i: usize) -> bool {
        let mut j = i;
        while j > 0 && self.items.acts(j - 1, Act::Modifier) {
            j -= 1;
        }
        j > 0 && self.items.acts(j - 1, Act::Place)
    }

    /// Whether `along with`, or a plain `and` after a repair, joins this item
    /// to the saying before it.
    fn shared_with_last(&self, i: usize, says: Says) -> bool {
        let mut j = i;
        while j > 0
            && (self.items.acts(j - 1, Act::Modifier)
                || matches!(
                    self.items.cue(j - 1),
                    Some(Cue { act: Act::State(s), side: Side::Either }) if s == says
                ))
        {
            j -= 1;
        }
        if j == 0 {
            return false;
        }
        if self.items.acts(j - 1, Act::With) {
            return true;
        }
        says == Says::Renewed
            && (self.items.acts(j - 1, Act::And)
                || matches!(self.items.list[j - 1].kind, ItemKind::Sign(b',' | b'/'))
                    && self
                        .mentions
                        .last()
                        .is_some_and(|m| m.cue == self.gov.map(|g| g.item)))
    }

    fn governed(&self, gov: Governor) -> Option<Says> {
        match (gov.says, gov.negated) {
            (says, false) => Some(says),
            (Says::Bad | Says::Suspect, true) => Some(Says::Sound),
            (Says::Sound, true) => Some(Says::Bad),
            _ => None,
        }
    }

    /// Whether a list item is at most a few words away from the list.
    fn near_list(&self, i: usize) -> bool {
        self.mentions.last().is_some_and(|p| {
            p.sentence == self.sentence
                && self.words_between(p.item, i) <= 3
                && (p.item + 1..i).any(|j| self.items.joins(j))
        })
    }

    /// Whether what follows says something of this item itself: `brakes work`,
    /// `starter and alternator are new`. `strict` asks for a clear predicate.
    fn own_predicate(&self, i: usize, strict: bool) -> bool {
        let mut copula = false;
        let mut listed = false;
        let mut j = i + 1;
        while j < self.items.list.len() && j < i + 14 {
            let item = self.items.list[j];
            match item.kind {
                ItemKind::End(_) | ItemKind::Blank => return false,
                ItemKind::Sign(b':' | b'-' | b'(') if !listed => {}
                ItemKind::Sign(b',' | b'/') => listed = true,
                ItemKind::Sign(_) | ItemKind::Number => return false,
                ItemKind::Word => {
                    if listed || strict {
                        return false;
                    }
                    if j > i + 3 {
                        return false;
                    }
                }
                ItemKind::Phrase(_) => {
                    let Some(phrase) = self.items.phrase(j) else {
                        return false;
                    };
                    let meaning = &phrase.meaning;
                    if meaning.decoy {
                        return false;
                    }
                    if !meaning.named.is_empty() && meaning.effects.is_empty() {
                        let noun = meaning.named.iter().all(|n| n.naming == Naming::Noun);
                        if !listed || !noun {
                            return false;
                        }
                    } else if let Some(cue) = meaning.cue {
                        match cue.act {
                            Act::State(_) => {
                                return match cue.side {
                                    Side::Before => true,
                                    Side::Either => copula || !self.part_follows(j, 0),
                                    Side::After => false,
                                };
                            }
                            Act::Copula => copula = true,
                            Act::And | Act::Or => listed = true,
                            Act::Modifier
                            | Act::Negates
                            | Act::Latest
                            | Act::Pronoun
                            | Act::Hedges => {}
                            Act::Past => copula = true,
                            _ => return false,
                        }
                    } else if !meaning.effects.is_empty() {
                        return !listed || copula;
                    } else {
                        return false;
                    }
                }
            }
            j += 1;
        }
        false
    }

    /// Whether a part follows an adjective, at most `words` unknown words
    /// between them.
    fn part_follows(&self, i: usize, words: usize) -> bool {
        let mut unknown = 0;
        let mut j = i + 1;
        while j < self.items.list.len() {
            match self.items.list[j].kind {
                ItemKind::Word => {
                    unknown += 1;
                    if unknown > words {
                        return false;
                    }
                }
                ItemKind::Number => {}
                ItemKind::Phrase(_) => {
                    if self.items.names(j) {
                        return true;
                    }
                    match self.items.cue(j) {
                        Some(Cue {
                            act: Act::Modifier, ..
                        }) => {}
                        Some(Cue {
                            act: Act::State(_),
                            side: Side::Either,
                        }) => {}
                        Some(Cue { act: Act::And, .. })
                            if matches!(
                                self.items.cue(j + 1),
                                Some(Cue {
                                    act: Act::State(_),
                                    side: Side::Either
                                })
                            ) => {}
                        _ => return false,
                    }
                }
                _ => return false,
            }
            j += 1;
        }
        false
    }

    // ---- cues ---------------------------------------------------------

    fn cue(&mut self, i: usize, cue: Cue) {
        match cue.act {
            Act::Border => self.border(i),
            Act::Lacks | Act::Negates if cue.side == Side::Before => self.answer_no(i),
            Act::Lacks | Act::Negates => {
                self.neg = Some((i, cue.act));
                self.neg_words = 0;
            }
            Act::NegatesAll => self.neg_all = true,
            Act::Hedges if cue.side == Side::Before => self.hedge_back(i),
            Act::Hedges => {
                self.hedge = Some(i);
                self.clause = self.mentions.len();
            }
            Act::Unreal => self.unreal = Some(i),
            Act::Past => self.past = Some(i),
            Act::Latest => {
                self.latest = true;
                if let Some(m) = self
                    .mentions
                    .last_mut()
                    .filter(|m| m.sentence == self.sentence)
                {
                    m.latest = true;
                }
            }
            Act::Pronoun => {
                // A new subject: the list before it is over.
                if self.gov.is_some_and(|g| g.sentence == self.sentence && g.says != Says::Bad || g.count > 0) {
                    self.gov = self.section;
                }
                self.pronoun = Some(i);
            }
            Act::Modifier | Act::And | Act::Or | Act::Place => {}
            Act::Copula => {
                // A verb of its own ends the list before it.
                if self
                    .gov
                    .is_some_and(|g| g.count > 0 && !g.trailing && g.verb)
                {
                    self.gov = self.section;
                }
            }
            Act::With => {
                if let Some(m) = self
                    .mentions
                    .last()
                    .filter(|m| m.sentence == self.sentence)
                    .filter(|m| m.is_noun() && matches!(m.says, Some(Says::Renewed | Says::Bad)))
                {
                    let (item, says) = (m.cue.unwrap_or(m.item), m.says);
                    if self.gov.is_none_or(|g| g.count > 0) {
                        self.share(item, says);
                    }
                }
            }
            Act::Too => self.too(i),
            Act::State(says) => match cue.side {
                Side::After => self.verb(i, says),
                Side::Before => self.predicate(i, says),
                Side::Either => self.adjective(i, says),
            },
        }
    }

    /// `new oil, front pads too`: an open part shares the saying before it.
    fn too(&mut self, i: usize) {
        let n = self.mentions.len();
        if n < 2 || self.words_between(self.mentions[n - 1].item, i) > 0 {
            return;
        }
        let before = self.mentions[..n - 1]
            .iter()
            .rev()
            .find_map(|m| m.says.map(|s| (s, m.cue)));
        let last = &mut self.mentions[n - 1];
        if last.is_open()
            && let Some((says, cue)) = before
        {
            last.says = Some(says);
            last.cue = cue;
        }
    }

    fn take_negation(&mut self) -> Option<usize> {
        if self.neg_list {
            return None;
        }
        self.neg.take().map(|(item, _)| item)
    }

    fn verb(&mut self, i: usize, says: Says) {
        let negated = self.take_negation().is_some();
        self.neg_list = false;
        // `replaced it`, `needs one`
        if self.items.acts(i + 1, Act::Pronoun) && !self.part_follows(i + 1, 1) {
            self.say_of_last(i, says, negated);
            return;
        }
        // Past the first item, an adjective inside a verb's list is no new cue.
        self.gov = Some(Governor {
            says,
            item: i,
            negated,
            verb: true,
            count: 0,
            sentence: self.sentence,
            took_adjective: false,
            hedged: self.hedge.is_some() && says == Says::Bad,
            trailing: false,
        });
        self.note(|w| {
            format!(
                "'{}' governs what follows{}",
                w.words(i),
                if negated { ", denied" } else { "" }
            )
        });
    }

    /// The parts a predicate at `i` speaks of: indices of mentions.
    fn subjects(&self, i: usize) -> Vec<usize> {
        let mut out = Vec::new();
        // `tires right before it quit`: the pronoun is the subject.
        if i > 0
            && self.items.acts(i - 1, Act::Pronoun)
            && self.items.word(i - 1).starts_with("it")
        {
            return out;
        }
        let mut k = self.mentions.len();
        while k > self.clause {
            k -= 1;
            let m = &self.mentions[k];
            if m.sentence != self.sentence {
                break;
            }
            if m.place {
                continue;
            }
            if out.is_empty() && self.words_between(m.item, i) > 4 {
                break;
            }
            if m.is_open()
                || (m.lacks && !m.consumed)
                || (out.is_empty() && m.consumed && m.says.is_none() && m.is_noun())
            {
                out.push(k);
            } else {
                break;
            }
            if !m.linked {
                break;
            }
        }
        out
    }

    fn predicate(&mut self, i: usize, says: Says) {
        // `hole in the muffler`, `cracks on the dash`: the part follows.
        let placed =
            self.items.acts(i + 1, Act::Place) && says == Says::Bad && self.part_ahead(i).is_some();
        let direct = self
            .mentions
            .last()
            .is_some_and(|m| m.item + 1 == i && m.is_open() && m.sentence == self.sentence);
        if placed && !direct {
            let negated = self.take_negation().is_some();
            self.gov = Some(Governor {
                says,
                item: i,
                negated,
                verb: false,
                count: 0,
                sentence: self.sentence,
                took_adjective: false,
                hedged: self.hedge.is_some() && says == Says::Bad,
                trailing: false,
            });
            return;
        }
        let negated = self.take_negation().is_some() != self.neg_all;
        let mut subjects = self.subjects(i);
        // A comma right before a saying cuts it off, unless `all`, `both` or a
        // pronoun takes the list up again.
        if let Some(k) = subjects.first()
            && self.signs_between(self.mentions[*k].item, i)
            && !(self.mentions[*k].item + 1..i).any(|j| {
                self.items.acts(j, Act::Modifier)
                    || self.items.acts(j, Act::Pronoun)
                    || self.items.acts(j, Act::Copula)
                    || self.items.acts(j, Act::Negates)
            })
            && says == Says::Bad
        {
            subjects.clear();
        }
        if subjects.is_empty() {
            self.predicate_without_subject(i, says, negated);
            return;
        }
        for k in subjects {
            self.say_of(k, i, says, negated);
        }
    }

    fn predicate_without_subject(&mut self, i: usize, says: Says, negated: bool) {
        // `new starter, works great`; `rebuilt transmission, went out again`
        let near = self.mentions.last().is_some_and(|m| {
            m.sentence == self.sentence
                && self.words_between(m.item, i) <= 2
                && self.mentions.len() > self.clause
        });
        if near {
            let k = self.mentions.len() - 1;
            let m = &self.mentions[k];
            if says == Says::Spare
                && m.is_noun()
                && matches!(
                    m.says,
                    Some(Says::Renewed | Says::Sound | Says::Spare) | None
                )
            {
                self.spare_back(k, i);
            } else if says == Says::Renewed && !m.is_noun() && !m.denied {
                self.mentions[k].says = Some(Says::Renewed);
                self.mentions[k].cue = Some(i);
            } else if says == Says::Renewed && !negated && self.mended_later(k, i) {
                self.mentions[k].says = Some(Says::Renewed);
                self.mentions[k].cue = Some(i);
            } else if says == Says::Bad
                && !negated
                && m.says == Some(Says::Renewed)
                && (m.item + 1 == i || self.latest || self.items.acts(i + 1, Act::Latest))
            {
                self.mentions[k].says = Some(Says::Bad);
                self.mentions[k].cue = Some(i);
            }
            return;
        }
        if self.pronoun.is_some() || i == self.sentence_start {
            let allowed = match says {
                Says::Renewed | Says::Spare => true,
                _ => self.pronoun.is_some_and(|p| i - p <= 4),
            };
            if allowed {
                self.say_of_last(i, says, negated);
            }
            return;
        }
        // `not working: radio, wipers`, `bad alternator` written as predicate
        if self.part_follows(i, 0) && says != Says::Spare {
            self.gov = Some(Governor {
                says,
                item: i,
                negated,
                verb: false,
                count: 0,
                sentence: self.sentence,
                took_adjective: false,
                hedged: self.hedge.is_some() && says == Says::Bad,
                trailing: false,
            });
        }
    }

    /// `old cluster died and was replaced`, `tires (replaced last year)`.
    fn mended_later(&self, k: usize, i: usize) -> bool {
        let m = &self.mentions[k];
        let between = m.item + 1..i;
        m.is_noun()
            && matches!(m.says, Some(Says::Bad | Says::Sound | Says::Suspect))
            && (between.clone().any(|j| self.items.acts(j, Act::Copula))
                || between
                    .clone()
                    .any(|j| self.items.list[j].kind == ItemKind::Sign(b'('))
                || self.items.acts(i, Act::Pronoun))
            && !between.clone().any(|j| {
                matches!(
                    self.items.cue(j),
                    Some(Cue {
                        act: Act::State(Says::Bad),
                        side: Side::After
                    })
                )
            })
    }

    /// `new radiator and hoses in the trunk`: all of the list is spare.
    fn spare_back(&mut self, last: usize, i: usize) {
        let mut k = last;
        loop {
            let m = &mut self.mentions[k];
            if !m.is_noun()
                || !matches!(
                    m.says,
                    Some(Says::Renewed | Says::Sound | Says::Spare) | None
                )
            {
                break;
            }
            m.says = Some(Says::Spare);
            m.cue = Some(i);
            if !m.linked || k == 0 {
                break;
            }
            k -= 1;
        }
    }

    fn say_of(&mut self, k: usize, i: usize, says: Says, negated: bool) {
        let hedged = self.hedge.is_some();
        let timing = self.mentions[k]
            .named
            .iter()
            .any(|n| self.parts.code(n.part) == "timing_belt");
        let if_unreal = self.mentions[k].unreal;
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
            Some(Says::Sound) if if_unreal => Some(Says::Bad),
            other => other,
        };
        m.denied = false;
        m.consumed = m.says.is_none();
        m.hedged = hedged && m.says == Some(Says::Bad);
        m.past |= self.past.is_some();
        let says = m.says;
        let item = m.item;
        if says == Some(Says::Renewed) || says == Some(Says::Bad) {
            self.share(i, says);
        }
        self.note(|w| format!("'{}' says of '{}': {says:?}", w.words(i), w.words(item)));
    }

    /// Lets what follows share a saying: `belt done along with the pump`.
    fn share(&mut self, i: usize, says: Option<Says>) {
        let Some(says) = says else { return };
        if self.gov.is_some_and(|g| g.verb && g.count == 0) {
            return;
        }
        self.gov = Some(Governor {
            says,
            item: i,
            negated: false,
            verb: false,
            count: 1,
            sentence: self.sentence,
            took_adjective: false,
            hedged: false,
            trailing: true,
        });
    }

    /// A pronoun, or nothing at all, stands for what was named last.
    fn say_of_last(&mut self, i: usize, says: Says, negated: bool) {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return;
        };
        let m = &self.mentions[k];
        if self.sentence - m.sentence > 1 {
            return;
        }
        // `it` does not stand for `tires`.
        let plural = self.words(m.item).ends_with('s');
        if plural && self.pronoun.is_some_and(|p| self.items.word(p).starts_with("it")) {
            return;
        }
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
        }
    }

    fn answer_no(&mut self, i: usize) {
        let Some(m) = self.mentions.last_mut() else {
            return;
        };
        if self.sentence - m.sentence > 1 {
            return;
        }
        m.cue = Some(i);
        m.question = false;
        m.hedged = false;
        if m.is_noun() {
            m.says = Some(Says::Bad);
        } else {
            m.denied = true;
            m.says = None;
        }
    }

    fn hedge_back(&mut self, i: usize) {
        // Also a hedge forward: `maybe bad coil`.
        self.hedge = Some(i);
        if let Some(m) = self.mentions.last_mut()
            && m.sentence == self.sentence
            && (m.says == Some(Says::Bad) || m.is_open() || !m.is_noun())
            && !m.denied
        {
            m.hedged = true;
        }
    }

    fn adjective(&mut self, i: usize, says: Says) {
        let follows_now = self.part_follows(i, 0);
        let previous = self
            .mentions
            .last()
            .filter(|m| m.sentence == self.sentence && self.mentions.len() > self.clause);
        let open_before = previous.is_some_and(|m| {
            (m.is_open() || m.lacks || (m.consumed && m.says.is_none() && m.is_noun()))
                && self.words_between(m.item, i) <= 3
                && !self.signs_between(m.item, i)
        });
        let copula_before = i > 0
            && previous.is_some_and(|m| (m.item + 1..i).any(|j| self.items.acts(j, Act::Copula)));
        let adjacent_before = previous.is_some_and(|m| {
            (m.item + 1..i).all(|j| {
                self.items.acts(j, Act::Modifier)
                    || self.items.acts(j, Act::Copula)
                    || self.items.acts(j, Act::Negates)
                    || self.items.acts(j, Act::Lacks)
                    || self.items.acts(j, Act::Latest)
                    || self.items.acts(j, Act::Past)
                    || self.items.acts(j, Act::Hedges)
                    || matches!(self.items.list[j].kind, ItemKind::Sign(b':' | b'('))
                    || (self.items.list[j].kind == ItemKind::Sign(b'-')
                        && m.item <= self.sentence_start + 2)
                    || matches!(
                        self.items.cue(j),
                        Some(Cue {
                            act: Act::State(_),
                            side: Side::Either
                        })
                    )
            })
        });
        // `two batteries, both new`
        let apposed = !follows_now
            && previous.is_some_and(|m| {
                m.is_open()
                    && m.item + 1 < i
                    && self.items.list[m.item + 1].kind == ItemKind::Sign(b',')
                    && (m.item + 2..i).all(|j| {
                        self.items.acts(j, Act::Modifier) || self.items.acts(j, Act::Pronoun)
                    })
            });
        let _ = copula_before;
        let back = open_before && (adjacent_before || !follows_now) || apposed;
        if !back && !follows_now && says == Says::Renewed {
            let n = self.mentions.len();
            if n > self.clause
                && self.mentions[n - 1].sentence == self.sentence
                && self.words_between(self.mentions[n - 1].item, i) <= 3
                && self.neg.is_none()
                && self.mended_later(n - 1, i)
            {
                self.mentions[n - 1].says = Some(Says::Renewed);
                self.mentions[n - 1].cue = Some(i);
                self.mentions[n - 1].hedged = false;
                return;
            }
        }
        if back {
            let negated = self.take_negation().is_some() != self.neg_all;
            for k in self.subjects(i) {
                self.say_of(k, i, says, negated);
            }
            return;
        }
        let follows = follows_now || self.part_follows(i, 3);
        if !follows {
            // `it is shot`, `was rebuilt`; a stray adjective says nothing.
            let since = self
                .pronoun
                .is_some_and(|p| i - p <= 4 && previous.is_none_or(|m| m.item < p));
            if since && (says == Says::Renewed || says == Says::Bad) {
                let negated = self.take_negation().is_some();
                self.say_of_last(i, says, negated);
            } else if says == Says::Renewed
                && let Some(k) = self.mentions.len().checked_sub(1)
                && self.mentions[k].sentence == self.sentence
                && (!self.mentions[k].is_noun()
                    || self.mentions[k].consumed && self.mentions[k].says.is_none())
                && !self.mentions[k].denied
                && self.words_between(self.mentions[k].item, i) <= 3
            {
                // `oil leak fixed`
                self.mentions[k].says = Some(Says::Renewed);
                self.mentions[k].cue = Some(i);
                self.mentions[k].consumed = false;
            } else {
                self.neg = None;
            }
            return;
        }
        let negated = self.take_negation().is_some();
        if let Some(gov) = &mut self.gov
            && gov.verb
            && self.section.is_none_or(|s| {
                s.item != gov.item || gov.sentence == self.sentence && gov.count == 0
            })
        {
            // `needs a new clutch`, `replaced the bad alternator`: the verb
            // rules; but `needs tires, new battery` is a change of subject.
            let inside = gov.count == 0
                || gov.took_adjective
                || self.items.acts(i.wrapping_sub(1), Act::And)
                || self.items.acts(i.wrapping_sub(1), Act::Modifier)
                    && self.items.acts(i.wrapping_sub(2), Act::And);
            if inside && !(gov.says == Says::Bad && says == Says::Sound) {
                gov.took_adjective = true;
                return;
            }
        }
        self.gov = Some(Governor {
            says,
            item: i,
            negated,
            verb: false,
            count: 0,
            sentence: self.sentence,
            took_adjective: false,
            hedged: self.hedge.is_some() && says == Says::Bad,
            trailing: false,
        });
        self.note(|w| format!("'{}' governs the part after it", w.words(i)));
    }

    // ---- sayings that depend on their subject ---------------------------

    fn effect(&mut self, i: usize, effects: &[Effect]) -> bool {
        let before = self
            .mentions
            .last()
            .filter(|m| {
                m.sentence == self.sentence
                    && self.mentions.len() > self.clause
                    && m.is_noun()
                    && self.words_between(m.item, i) <= 3
                    && !self.signs_between(m.item, i)
                    && (m.is_open()
                        || m.lacks
                        || m.consumed && m.says.is_none() && !m.place
                        || m.says == Some(Says::Renewed) && m.item + 1 == i)
            })
            .map(|m| (m.item, m.named.clone()));
        if let Some((item, named)) = before {
            let subject = named.first().map(|n| n.part);
            if let Some(effect) = choose(effects, subject) {
                let k = self.mentions.len() - 1;
                // `knock` after a part that no row names is a fault of its own.
                if effect.of != EffectOf::Nothing {
                    self.take_effect(i, item, k, subject, effect);
                    // `the rear main leaks oil`: the fluid is spoken for.
                    if self.items.names(i + 1)
                        && let Some((j, part)) = self.part_ahead(i)
                        && choose(effects, Some(part)).is_some_and(|e| e.of == EffectOf::Named)
                    {
                        self.taken.push(j);
                    }
                    return true;
                }
            }
        }
        // `leaks from the rear main`, `slipping clutch`
        if let Some((j, part)) = self.part_ahead(i)
            && let Some(effect) = choose(effects, Some(part)).filter(|e| e.of == EffectOf::Named)
            && !self.own_predicate(j, true)
        {
            self.effect_ahead(i, j, part, effect);
            // `drips oil at the pan gasket`: the place is named as well.
            if self.items.acts(j + 1, Act::Place)
                && let Some((place, part)) = self.part_ahead(j)
                && let Some(effect) =
                    choose(effects, Some(part)).filter(|e| e.of == EffectOf::Named)
            {
                self.effect_ahead(i, place, part, effect);
            }
            return true;
        }
        false
    }

    fn part_ahead(&self, i: usize) -> Option<(usize, PartId)> {
        let mut j = i + 1;
        while j < self.items.list.len() && j < i + 6 {
            match self.items.list[j].kind {
                ItemKind::Phrase(_) if self.items.names(j) => {
                    let named = &self.items.phrase(j)?.meaning.named;
                    let noun = named.iter().all(|n| n.naming == Naming::Noun);
                    return noun.then(|| (j, named[0].part));
                }
                ItemKind::Phrase(_)
                    if self.items.acts(j, Act::Modifier)
                        || self.items.acts(j, Act::Place)
                        || matches!(
                            self.items.cue(j),
                            Some(Cue {
                                act: Act::Hedges,
                                ..
                            })
                        ) => {}
                _ => return None,
            }
            j += 1;
        }
        None
    }

    fn take_effect(
        &mut self,
        i: usize,
        item: usize,
        k: usize,
        subject: Option<PartId>,
        effect: &Effect,
    ) {
        let lacks = std::mem::take(&mut self.mentions[k].lacks);
        let negated = (self.take_negation().is_some() != self.neg_all) != lacks;
        self.mentions[k].consumed = true;
        self.mentions[k].says = None;
        let unreal = self.mentions[k].unreal || self.unreal.is_some();
        self.push_effect(i, item, subject, effect, negated, unreal);
    }

    fn effect_ahead(&mut self, i: usize, j: usize, part: PartId, effect: &Effect) {
        let negated = self.take_negation().is_some();
        let unreal = self.unreal.is_some();
        self.push_effect(i, j, Some(part), effect, negated, unreal);
        // The noun ahead is spoken for when it is reached.
        self.taken.push(j);
    }

    fn push_effect(
        &mut self,
        i: usize,
        item: usize,
        subject: Option<PartId>,
        effect: &Effect,
        negated: bool,
        unreal: bool,
    ) {
        if unreal {
            return;
        }
        let a = self.items.list[item.min(i)];
        let b = self.items.list[item.max(i)];
        let hedged = self.hedge.is_some();
        for (code, says) in &effect.claims {
            let Some(part) = code.or(subject) else {
                continue;
            };
            let says = match (says, negated) {
                (Says::Bad, true) => Says::Sound,
                (Says::Sound, true) => Says::Bad,
                (says, _) => *says,
            };
            // `the sump does not leak` denies the leak, it does not praise the sump.
            if negated && says == Says::Sound && effect.claims.len() > 1 && !self.is_symptom(part) {
                continue;
            }
            let says = if hedged && says == Says::Bad {
                Says::Suspect
            } else {
                says
            };
            self.extra.push(Saying {
                part,
                says,
                tokens: (a.first, b.last),
                item: item.max(i),
                cue: Some(i),
                sentence: self.sentence,
                past: self.past.is_some(),
                latest: self.latest,
                denied: negated,
                qualifiers: Vec::new(),
                rule: Rule {
                    name: self.phrase_of(item),
                    cue: self.phrase_of(i),
                    denied: negated,
                    hedged,
                },
            });
            self.note(|w| {
                format!(
                    "'{}' with its subject says {}: {says}",
                    w.words(i),
                    w.parts.code(part)
                )
            });
        }
    }
}

fn choose(effects: &[Effect], subject: Option<PartId>) -> Option<&Effect> {
    let of = |wanted: EffectOf| effects.iter().find(move |e| e.of == wanted);
    match subject {
        Some(part) => effects
            .iter()
            .find(|e| e.subjects.contains(&part))
            .or_else(|| of(EffectOf::Any)),
        None => of(EffectOf::Nothing),
    }
}
