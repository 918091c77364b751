//! Which cue governs which part.
//!
//! The method is that of cue and scope, published for the reading of clinical
//! notes: a lexicon of cue words, each with a direction and a reach that ends
//! at words which change the subject (Chapman, Bridewell, Hanbury, Cooper,
//! Buchanan 2001, J. Biomed. Inform. 34:301-310; Harkema, Dowling, Thornblade,
//! Chapman 2009, J. Biomed. Inform. 42:839-851). Added here: lists under one
//! cue, adjectives that may stand on either side, headings, sayings whose
//! meaning depends on their subject, and pronouns.

mod adjectives;
mod again;
mod ahead;
mod alike;
mod answers;
mod around;
mod besides;
mod both;
mod claims;
mod cleared;
mod contrasts;
mod corners;
mod cranking;
mod cues;
mod dates;
mod denials;
mod denied_lists;
mod effects;
mod equipped;
mod everything;
mod faults;
mod figures;
mod fitted;
mod found;
mod governed;
mod guesses;
mod headings;
mod hearsay;
mod hedges;
mod hits;
mod inserted;
mod kin;
mod leaks;
mod ledgers;
mod lights;
mod lists;
mod naming;
mod others;
mod outcome;
mod passing;
mod places;
mod predicates;
mod reasons;
mod saying;
mod senses;
mod sentence;
mod since;
mod smoke;
mod spares;
mod standing;
mod state;
mod steps;
mod stops;
mod sums;
mod told;
mod turns;
mod twos;
mod unfitted;
mod verbs;
mod wants;
mod whose;

use super::items::{Item, ItemKind, Items};
use super::model::Says;
use super::scan::{Phrase, Wording};
use crate::lexicon::causes::Causes;
use crate::lexicon::leanings::Leanings;
use crate::lexicon::parts::{PartId, PartKind, Parts};
use crate::lexicon::passing::Passing;
use crate::lexicon::phrases::{Act, Cue, Effect, EffectOf, Named, Naming, Side};
use crate::lexicon::word_classes::WordClass;

pub use around::Example;
pub use passing::{LeftOut, Remark};
pub use saying::{OfTwo, Rule, Saying, Which};
use state::{Governor, Mention};
pub use steps::Step;

/// The forms of `have`.
const HAVE: [WordClass; 2] = [WordClass::Has, WordClass::Had];
/// Room for so many mentions is made before any is met.
const MENTIONS: usize = 24;

/// Works through the items of one text.
pub struct Walk<'a> {
    items: Items<'a>,
    parts: &'a Parts,
    mentions: Vec<Mention>,
    extra: Vec<Saying>,
    gov: Option<Governor>,
    section: Option<Governor>,
    /// What governed the list before a bracket, and where its clause began.
    bracket: Option<(Governor, usize, u32)>,
    /// Within a bracket behind what was renewed: what it tells was so before.
    why: bool,
    neg: Option<(usize, Act)>,
    neg_words: usize,
    neg_list: bool,
    neg_all: bool,
    hedge: Option<usize>,
    hedge_used: bool,
    unreal: Option<usize>,
    /// What is supposed from here on would be told if it were so.
    told_if: Option<usize>,
    past: Option<usize>,
    /// A `was` whose saying is still to come.
    was: Option<usize>,
    formerly: bool,
    latest: bool,
    pronoun: Option<usize>,
    clause: usize,
    sentence: u32,
    sentence_start: usize,
    /// Where what `but` sets against the sentence before it begins, or the sentence.
    turn_start: usize,
    /// The sentence tells of something traced.
    traced: bool,
    line_start: usize,
    sentence_mentions: usize,
    /// A noun ahead that a saying has taken as its subject, and what denies that saying.
    taken: Vec<(usize, Option<usize>)>,
    /// The clause tells of a time: `replaced when it cracked`.
    when: bool,
    /// Which of two parts `the latter` stands for, and where it stands.
    which: Option<(usize, usize)>,
    trace: Option<Vec<Step>>,
    leanings: Option<&'a Leanings>,
    passing: Option<&'a Passing>,
    causes: Option<&'a Causes>,
    learning: bool,
}

/// What came of a walk.
#[derive(Debug, Default)]
pub struct Walked {
    /// All sayings of the text, in its order.
    pub sayings: Vec<Saying>,
    /// Faults that are likely not said of the car, and were left out.
    pub in_passing: Vec<LeftOut>,
    /// Every step, where they were to be kept.
    pub steps: Vec<Step>,
    /// What was named, where it was to be kept.
    pub examples: Vec<Example>,
    /// What the rules say, where it was to be kept.
    pub remarks: Vec<Remark>,
}

impl<'a> Walk<'a> {
    /// A walk over these items.
    pub fn new(items: Items<'a>, parts: &'a Parts) -> Self {
        Walk {
            items,
            parts,
            // As many as most ads have.
            mentions: Vec::with_capacity(MENTIONS),
            extra: Vec::new(),
            gov: None,
            section: None,
            bracket: None,
            why: false,
            neg: None,
            neg_words: 0,
            neg_list: false,
            neg_all: false,
            hedge: None,
            hedge_used: false,
            unreal: None,
            told_if: None,
            past: None,
            was: None,
            formerly: false,
            latest: false,
            pronoun: None,
            clause: 0,
            sentence: 0,
            sentence_start: 0,
            turn_start: 0,
            traced: false,
            line_start: 0,
            sentence_mentions: 0,
            taken: Vec::new(),
            when: false,
            which: None,
            trace: None,
            leanings: None,
            passing: None,
            causes: None,
            learning: false,
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
                // The walk sets the item when the step is over.
                trace.push(Step {
                    item: 0,
                    text: line,
                });
            }
        }
    }

    fn words(&self, item: usize) -> &str {
        self.items.words_of(item)
    }

    /// Knows what symptoms come from: `clunk up front, ball joint`.
    pub fn knowing(mut self, causes: &'a Causes) -> Self {
        self.causes = Some(causes);
        self
    }

    /// Lets the table of leanings say what the rules leave open.
    pub fn leaning(mut self, leanings: &'a Leanings) -> Self {
        self.leanings = Some(leanings);
        self
    }

    /// Keeps every part named with what stands around it, to learn from.
    pub fn learning(mut self) -> Self {
        self.learning = true;
        self
    }

    /// Goes through the text.
    pub fn run(mut self) -> Walked {
        let mut i = 0;
        while i < self.items.list.len() {
            self.noted(i, |walk| walk.step(i));
            i += 1;
        }
        // A text ends as if with a full stop: `rust: no`.
        self.noted(i, |walk| {
            walk.settle_bare_negation(i);
            walk.end_sentence(b'.', i);
        });
        self.guesses();
        self.colour_smoke();
        self.broken_by_the_hit();
        self.unsaid();
        self.spares_for_faults();
        self.second_ones();
        let mut sayings = std::mem::take(&mut self.extra);
        sayings.reserve(self.mentions.len());
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
        self.it_cranks(&mut sayings);
        let fullness = self.fullness();
        let (examples, remarks) = match self.learning {
            true => (self.examples(fullness), self.remarks(&sayings, fullness)),
            false => Default::default(),
        };
        let in_passing = self.look_again(&mut sayings, fullness);
        self.lean(&mut sayings, fullness);
        // What is said behind a part comes after what was said of it before.
        sayings.sort_by_key(|s| (s.cue.map_or(s.item, |c| c.max(s.item)), s.part));
        Walked {
            sayings,
            in_passing,
            steps: self.trace.take().unwrap_or_default(),
            examples,
            remarks,
        }
    }

    /// Whether what is said here was so once, and need not be so now.
    fn in_the_past(&self) -> bool {
        self.past.is_some() || self.was.is_some()
    }

    fn wording(&self, item: usize) -> Option<Wording> {
        self.items.wording(item)
    }

    fn step(&mut self, i: usize) {
        let Item { kind, .. } = self.items.list[i];
        match kind {
            ItemKind::End(sign) => self.end_sentence(sign, i + 1),
            ItemKind::Blank => {
                // A heading right before it still has its list to come.
                let over = self.section.map(|s| s.item);
                self.end_sentence(b'\n', i + 1);
                if self.section.map(|s| s.item) == over {
                    self.gov = None;
                }
                self.section = None;
            }
            ItemKind::Sign(sign) => self.sign(i, sign),
            // `Fix the clutch and drive it.`
            ItemKind::Word
                if self.behind_sign(i)
                    && self.items.is_a(i, WordClass::Fix)
                    && self.part_follows(i, 0) =>
            {
                self.verb(i, Says::Bad);
            }
            // `Trans: good. Transfer case: same.`
            ItemKind::Word
                if self.items.is_a(i, WordClass::Same) && self.closes_behind_a_part(i) =>
            {
                self.too(i);
            }
            ItemKind::Word => {
                self.word();
                self.one_of_the_two(i);
            }
            ItemKind::Number => self.number(i),
            // `8/10`: a figure that also counts things, as in `8 valves`.
            ItemKind::Phrase(_) if self.is_mark(i) || self.is_month_and_year(i) => self.number(i),
            // `May 05`
            ItemKind::Phrase(_) if self.is_month_of(i) => {}
            ItemKind::Phrase(_) => self.phrase(i),
        }
    }

    /// Whether nothing but signs stands before this item in its clause.
    fn behind_sign(&self, i: usize) -> bool {
        i == self.sentence_start || matches!(self.items.kind(i - 1), ItemKind::Sign(_))
    }

    fn word(&mut self) {
        self.neg_words += 1;
        if self.neg.is_some() && self.neg_words > 3 {
            self.neg = None;
        }
        self.latest = false;
    }

    fn phrase(&mut self, i: usize) {
        let Some(phrase) = self.items.phrase(i) else {
            return;
        };
        let meaning = &phrase.meaning;
        if meaning.decoy {
            return;
        }
        if self.why && self.told_why(i, meaning) {
            return;
        }
        if self.put_off(i, meaning.cue, &meaning.effects)
            || self.bad_again(i, meaning.cue, &meaning.effects)
            || self.was_why(i, meaning)
            || self.gone_since(i, meaning.cue, &meaning.effects)
            || self.mended_since(i, meaning.cue)
        {
            return;
        }
        if matches!(meaning.cue, Some(c) if c.act == Act::State(Says::Renewed)) && self.done_with(i)
        {
            return;
        }
        if let Some(cue) = meaning.cue
            && self.said_of_which(i, cue)
        {
            return;
        }
        if let Some(Cue {
            act: Act::State(Says::Renewed),
            side: Side::Before | Side::Either,
            ..
        }) = meaning.cue
            && let Some(k) = self.no_longer_the_old(i)
        {
            self.say_of(k, i, Says::Renewed, false);
            return;
        }
        let own = || !meaning.named.is_empty() && self.tells_its_own(i);
        if !meaning.effects.is_empty()
            && !own()
            && (self.said_of_the_fitted(i, &meaning.effects)
                || self.denied_behind_but(i, &meaning.effects)
                || self.effect(i, &meaning.effects)
                || self.of_part_within(i, &meaning.effects)
                || self.shorter(i))
        {
            return;
        }
        if self.with_when(i) {
            return;
        }
        if let Some(named) = self.sense(i, &meaning.senses) {
            self.name(i, &[named]);
            return;
        }
        if !meaning.named.is_empty() && self.is_money(i) {
            return;
        }
        if !meaning.named.is_empty() {
            self.name(i, &meaning.named);
            self.test_failed(i);
            self.fails_anew(i);
            // `code says EGR`: a fault, and a hedge on what follows.
            if let Some(
                cue @ Cue {
                    act: Act::State(_),
                    side: Side::After,
                    ..
                },
            ) = meaning.cue
                && (self.items.names_part(i + 1)
                    || cue.act == Act::State(Says::Bad) && self.part_follows(i, 0))
            {
                self.cue(i, cue);
            }
            return;
        }
        match meaning.cue {
            Some(cue) => self.cue(i, cue),
            // `heat, locks, cruise all work`: one more of a list.
            None if self.equips(i) => self.neg = None,
            None if self.needs_besides(i) => self.neg = None,
            // Signs of other fields change the subject.
            None if !meaning.signs.is_empty() => {
                // What is denied is the sign: `do not drive it`.
                self.neg = None;
                self.border(i);
            }
            None if self.items.is_word(i) => self.word(),
            None => {
                if let Some(says) = meaning.heading {
                    self.heading_within(i, says);
                }
            }
        }
    }
}
