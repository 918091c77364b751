//! Lists of equipment: `Options: power windows, sunroof, ABS, driver airbag,
//! heated seats, rear wiper`.
//!
//! What only stands in such a list is told to be there, and nothing of its
//! state; it is left out, so that no word before or behind the list reaches
//! it. What is told a state of within the list (`new tires, cold A/C`) stays, and
//! so does a list that a cue governs: `doesn't work: cruise, sunroof, radio`.

use super::asides;
use super::model::Says;
use super::scan::{Hit, Scanner};
use super::signs::AsideSign;
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::phrases::{Act, Meaning, Side, SignField};
use crate::lexicon::word_classes::WordClass;

/// A list of equipment names at least so many.
const LEAST: usize = 4;
/// Entries of another kind that may stand between two names of equipment.
const BETWEEN: usize = 4;
/// Words of an entry that the table does not know.
const UNKNOWN: usize = 2;
/// Words of a line that heads a list.
const HEADING: usize = 6;

/// One entry: what stands between two signs of a list.
#[derive(Debug, Clone, Copy)]
struct Entry {
    first: usize,
    last: usize,
    /// Where the name of equipment in it begins and ends.
    feature: Option<(usize, usize)>,
    /// Something is told in it: a state, a fault, a paper.
    loud: bool,
    /// A state is told in it, which may be of what stands before it.
    stated: bool,
    /// A figure stands in it, which may be a price or a distance.
    figure: bool,
    /// A name of a part stands in it.
    named: bool,
}

/// Adds the entries of all lists of equipment to the asides, which stay in
/// rising order.
pub(super) fn find(
    hits: &[Hit],
    tokens: &Tokens,
    scanner: &Scanner<'_>,
    out: &mut Vec<(usize, usize)>,
) {
    let list = List {
        hits,
        tokens,
        scanner,
    };
    let features = hits.iter().filter(|h| list.is_feature(h)).count();
    if features < LEAST {
        return;
    }
    let entries = list.entries();
    let before = out.len();
    let mut at = 0;
    while at < entries.len() {
        let run = list.run(&entries[at..]);
        let named = entries[at..at + run].iter().filter(|e| e.feature.is_some());
        if named.count() >= LEAST && !list.governed(&entries, at, at + run) {
            for (i, entry) in entries.iter().enumerate().skip(at).take(run) {
                // `A/C (not cold)`
                let told = entries.get(i + 1).is_some_and(|next| {
                    next.loud && tokens.kind(next.first - 1) == TokenKind::Sign(b'(')
                });
                match entry.feature.filter(|_| !told) {
                    Some((first, _)) if !entry.loud => out.push((first, entry.last)),
                    None if !entry.loud && !entry.figure && !told => {
                        out.push((entry.first, entry.last));
                    }
                    _ => {}
                }
            }
        }
        at += run.max(1);
    }
    if out.len() > before {
        out.sort_unstable();
        // Those in an aside of another kind are part of it.
        out.dedup_by(|next, before| {
            let within = next.0 <= before.1;
            if within {
                before.1 = before.1.max(next.1);
            }
            within
        });
    }
}

struct List<'a> {
    hits: &'a [Hit],
    tokens: &'a Tokens,
    scanner: &'a Scanner<'a>,
}

impl List<'_> {
    fn meaning(&self, hit: &Hit) -> &Meaning {
        self.scanner.meaning(hit)
    }

    fn is_feature(&self, hit: &Hit) -> bool {
        asides::sign_of(hit, self.scanner) == Some(AsideSign::Feature)
    }

    /// The entries of the whole text; an empty line is an entry of no tokens.
    fn entries(&self) -> Vec<Entry> {
        let mut out = Vec::new();
        let mut first = 0;
        let mut hit = 0;
        for i in 0..=self.tokens.list.len() {
            let parts = match self.tokens.kind(i) {
                TokenKind::Line | TokenKind::Blank | TokenKind::Sign(_) => true,
                TokenKind::Word => self.tokens.is_a(i, WordClass::And),
                TokenKind::Number => false,
            };
            if !parts && i < self.tokens.list.len() {
                continue;
            }
            if first < i {
                while self
                    .hits
                    .get(hit)
                    .is_some_and(|h| (h.first as usize) < first)
                {
                    hit += 1;
                }
                out.push(self.entry(first, i - 1, hit));
            }
            if self.tokens.kind(i) == TokenKind::Blank && i < self.tokens.list.len() {
                out.push(Entry {
                    first: i,
                    last: i,
                    feature: None,
                    loud: true,
                    stated: false,
                    figure: false,
                    named: false,
                });
            }
            first = i + 1;
        }
        out
    }

    /// An entry with what the hits from `from` on tell of it.
    fn entry(&self, first: usize, last: usize, from: usize) -> Entry {
        let within = || {
            self.hits[from..]
                .iter()
                .take_while(|h| h.first as usize <= last)
                .filter(|h| h.last as usize <= last)
        };
        let feature = within()
            .filter(|h| self.is_feature(h))
            .map(|h| (h.first as usize, h.last as usize))
            .max_by_key(|(from, to)| to - from);
        let in_feature =
            |h: &Hit| feature.is_some_and(|(f, l)| f <= h.first as usize && h.last as usize <= l);
        // `rear spoiler no`: it is not there, and not broken.
        let absent = |h: &Hit| {
            feature.is_some() && h.last as usize == last && h.first == h.last && self.denies(h)
        };
        let told = || within().filter(|h| !in_feature(h) && !absent(h) && self.tells(h));
        let loud = told().next().is_some();
        let figure =
            feature.is_none() && (first..=last).any(|i| self.tokens.kind(i) == TokenKind::Number);
        let feature = feature.filter(|(f, l)| {
            let known = l - f + 1;
            last + 1 - first <= known + UNKNOWN && !loud
        });
        Entry {
            first,
            last,
            feature,
            loud,
            stated: told().any(|h| !self.denies(h)),
            figure,
            named: within().any(|h| !in_feature(h) && !self.meaning(h).named.is_empty()),
        }
    }

    /// Whether this is no more than a denial.
    fn denies(&self, hit: &Hit) -> bool {
        hit.marks.denies() && self.meaning(hit).named.is_empty()
    }

    /// Whether these words tell more than that a thing is there.
    fn tells(&self, hit: &Hit) -> bool {
        let meaning = self.meaning(hit);
        // `comes with power windows`: they are there, and not as spares.
        let cue = meaning
            .cue
            .is_some_and(|c| self.is_state(c.act) && c.act != Act::State(Says::Spare));
        let state = meaning.named.iter().any(|n| !n.naming.is_noun());
        let sign = meaning.signs.iter().any(|s| s.field != SignField::Aside);
        cue || state || sign || !meaning.effects.is_empty()
    }

    fn is_state(&self, act: Act) -> bool {
        matches!(
            act,
            Act::State(_) | Act::Negates | Act::NegatesAll | Act::Lacks
        )
    }

    /// How many entries a list takes that begins with the first of these; none
    /// where that names no equipment.
    fn run(&self, entries: &[Entry]) -> usize {
        let mut length = 0;
        for (i, entry) in entries.iter().enumerate() {
            let blank = self.tokens.kind(entry.first) == TokenKind::Blank;
            // `fog lamps. Just done: brake pads, cabin filter`: another list.
            let headed = i > 0 && self.tokens.kind(entry.first - 1) == TokenKind::Sign(b':');
            if blank || headed || i > length + BETWEEN {
                break;
            }
            if entry.feature.is_some() {
                length = i + 1;
            } else if length == 0 {
                break;
            }
        }
        length
    }

    /// Whether something before or behind a list tells of all that is in it.
    fn governed(&self, entries: &[Entry], from: usize, to: usize) -> bool {
        let first = entries[from].feature.map_or(entries[from].first, |f| f.0);
        let start = self.head_start(first);
        let behind = self.hits.partition_point(|h| (h.first as usize) < start);
        let ahead = self.hits[behind..].iter();
        let mut ahead = ahead.take_while(|h| (h.first as usize) < first);
        let head = ahead.any(|h| {
            let meaning = || self.meaning(h);
            (h.last as usize) < first
                && (meaning().heading.is_some_and(|says| says != Says::Spare)
                    || meaning().cue.is_some_and(|c| match c.act {
                        // `fitted with alloys, driving lights, tow bar`
                        Act::State(Says::Renewed) if c.side == Side::After => false,
                        Act::State(Says::Spare) => false,
                        Act::State(_) => !matches!(c.side, Side::Before | Side::Next),
                        act => self.is_state(act),
                    }))
        });
        head || entries.get(to).is_some_and(|next| {
            let end = entries[to - 1].last + 1;
            let same = (end..next.first).all(|i| {
                !matches!(
                    self.tokens.kind(i),
                    TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b'!' | b'?')
                )
            });
            same && next.stated && !next.named
        })
    }

    /// Where the words begin that may rule over a list: no further back than a comma
    /// with no colon behind it, `an option I did not get, tow bar, alloys`.
    fn head_start(&self, first: usize) -> usize {
        let start = self.heading_start(first);
        let sign = |i: &usize| match self.tokens.kind(*i) {
            TokenKind::Sign(sign @ (b',' | b':' | b'(' | b')')) => Some(sign),
            _ => None,
        };
        let last = (start..first).rev().find(|i| sign(i).is_some());
        match last {
            Some(i) if sign(&i) != Some(b':') => i + 1,
            _ => start,
        }
    }

    /// Where the sentence begins that a list stands in, with a short line or one
    /// that ends with a colon right before it.
    fn heading_start(&self, first: usize) -> usize {
        let ends = |i: &usize| {
            matches!(
                self.tokens.kind(*i),
                TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b'!' | b'?')
            )
        };
        let start = |at: usize| (0..at).rev().find(ends).map_or(0, |i| i + 1);
        let mine = start(first);
        let signs = |i: usize| matches!(self.tokens.kind(i), TokenKind::Sign(_));
        // Up over the sign that marks an entry.
        if !(mine..first).all(signs) || mine == 0 {
            return mine;
        }
        let line = start(mine - 1);
        let colon = mine >= 2 && self.tokens.kind(mine - 2) == TokenKind::Sign(b':');
        match colon || mine - line <= HEADING {
            true => line,
            false => mine,
        }
    }
}
