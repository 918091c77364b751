//! What comes of a walk: sayings of parts, and which phrases made them.

use crate::lexicon::parts::PartId;
use crate::reading::Says;
use crate::reading::context::BY_ALL_WORDS;
use crate::reading::done::Done;
use crate::reading::scan::{Scanner, Wording};
use crate::reading::tokens::Tokens;

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
    /// A fault from whose words the part only follows: `battery light is on`.
    pub implied: bool,
    /// Words beside the part: front, left.
    pub qualifiers: Vec<Which>,
    /// When the work was done, where a number tells.
    pub done: Option<Done>,
    /// How it came about.
    pub rule: Rule,
}

/// What tells which of several things of one code is meant: mostly a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Which {
    /// Where it is: `front`, `left`.
    Side(u32),
    /// No word tells, but the ad speaks of two.
    OfTwo(OfTwo),
    /// Of what kind it is: `headlight`, `slave`.
    Kind(u32),
}

impl Which {
    /// Whether it tells a place, or stands for one that is not told.
    pub fn is_side(self) -> bool {
        matches!(self, Which::Side(_) | Which::OfTwo(_))
    }
}

/// Two things of one code that no word of place tells apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OfTwo {
    /// The one that was told of first.
    First,
    /// The one told of besides.
    Other,
}

/// Which phrases made a saying.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rule {
    /// The phrase that names the part.
    pub name: Option<Wording>,
    /// The cue that governs it.
    pub cue: Option<Wording>,
    /// The cue turned round by a denial.
    pub denied: bool,
    /// A hedge stands with it.
    pub hedged: bool,
    /// No rule said it: the words around it make it likely.
    pub leans: bool,
    /// No rule said it: it is heard in all words of the ad.
    pub heard: bool,
}

impl Rule {
    /// In words, with the phrases' own.
    pub fn render(&self, scanner: &Scanner<'_>, tokens: &Tokens) -> String {
        let mut out = String::with_capacity(48);
        let mut add = |before: &str, wording: Wording| {
            out.push_str(before);
            out.push_str(scanner.words(tokens, wording));
            out.push('\'');
        };
        if let Some(name) = self.name {
            add("'", name);
        }
        if let Some(cue) = self.cue {
            add(" under '", cue);
        }
        if self.denied {
            out.push_str(", denied");
        }
        if self.hedged {
            out.push_str(", hedged");
        }
        if self.leans {
            out.push_str(", likely by the words around it");
        }
        if self.heard {
            let comma = if out.is_empty() { "" } else { ", " };
            out.push_str(comma);
            out.push_str(BY_ALL_WORDS);
        }
        out
    }
}
