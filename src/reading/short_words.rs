//! Words cut short put out in full before phrases are looked up: `nds brks`,
//! `new frt. strts`, `w/screen`; and the full stops behind them, which end no
//! sentence.

use std::cell::OnceCell;

use super::tokens::{Rewrite, TokenKind, Tokens, is_capitalized};
use crate::lexicon::short_words::{Joins, ShortWord, ShortWords, When};

/// An ad with so many words cut short is written in them: then those count too
/// that could be other words.
const TERSE: usize = 2;
/// A word of fewer letters before a full stop, or without a vowel, may be cut
/// short though no table has it.
const LONG: usize = 3;

/// Puts the whole words in the place of the short ones; `text` is what the
/// tokens were taken from.
pub fn apply(table: &ShortWords, tokens: &mut Tokens, text: &str) {
    let short = Short {
        table,
        tokens,
        text,
        stops: OnceCell::new(),
    };
    let changes = short.changes();
    if !changes.is_empty() {
        tokens.rewrite(&changes);
    }
}

/// A text and the short words of the table.
struct Short<'t, 's> {
    table: &'t ShortWords,
    tokens: &'s Tokens,
    text: &'s str,
    /// Found when it is first asked for: most ads have no full stop to judge.
    stops: OnceCell<Stops>,
}

/// A short word found in a text.
#[derive(Clone, Copy)]
struct Found<'t> {
    first: usize,
    width: usize,
    short: &'t ShortWord,
    /// Whether the text has it in full.
    whole: bool,
    /// The full stop right behind it, where it ends no sentence.
    dot: Option<usize>,
}

impl Found<'_> {
    /// Whether it can be nothing but a word cut short.
    fn sure(&self) -> bool {
        !self.whole && (self.short.when == When::Always || self.dot.is_some())
    }
}

impl<'t> Short<'t, '_> {
    fn changes(&self) -> Vec<Rewrite<'t>> {
        let found = self.find();
        let terse = found.iter().filter(|f| f.sure()).count() >= TERSE;
        let mut changes = Vec::new();
        for f in found {
            if f.short.when == When::Terse && !terse && f.dot.is_none() {
                continue;
            }
            let mut change = |first, width, words| {
                changes.push(Rewrite {
                    first,
                    width,
                    words,
                    kind: TokenKind::Word,
                });
            };
            if !f.whole {
                change(f.first, f.width, &*f.short.whole);
            }
            if let Some(dot) = f.dot {
                change(dot, 1, "");
            }
        }
        changes
    }

    /// All short words.
    fn find(&self) -> Vec<Found<'t>> {
        let mut found = Vec::new();
        let mut first = 0;
        while first < self.tokens.list.len() {
            let Some((short, width)) = self.at(first) else {
                first += 1;
                continue;
            };
            let dot = self.dot_behind(first + width);
            found.push(Found {
                first,
                width,
                short,
                whole: width == 1 && short.is_whole(self.tokens, first),
                dot: dot.filter(|dot| short.when != When::Said && !self.ends(first, *dot, short)),
            });
            first += width;
        }
        found
    }

    fn at(&self, first: usize) -> Option<(&'t ShortWord, usize)> {
        match self.tokens.kind(first) {
            TokenKind::Word => self.table.at(self.tokens, first),
            _ => None,
        }
    }

    /// The full stop here, if no space stands between it and the word before.
    fn dot_behind(&self, dot: usize) -> Option<usize> {
        let touches = self.tokens.list.get(dot)?.source.0 == self.tokens.list[dot - 1].source.1;
        (self.tokens.kind(dot) == TokenKind::Sign(b'.') && touches).then_some(dot)
    }

    /// Whether the full stop behind a short word ends its sentence as well.
    fn ends(&self, first: usize, dot: usize, short: &ShortWord) -> bool {
        let next = dot + 1;
        let kind = self.tokens.kind(next);
        match kind {
            TokenKind::Line | TokenKind::Blank => return true,
            TokenKind::Word | TokenKind::Number => {}
            TokenKind::Sign(b'$') => return short.joins != Joins::Ahead,
            TokenKind::Sign(_) => return false,
        }
        let begins = match *self.stops.get_or_init(|| self.find_stops()) {
            // `a bus pass. It is`, but not `New Frt. Tires`
            Stops::None if self.capital(next) && !self.capital(first) => true,
            Stops::None => return short.joins != Joins::Ahead && kind == TokenKind::Number,
            Stops::BeforeCapitals => self.capital(next),
            Stops::Plain => short.joins != Joins::Ahead,
        };
        if short.joins == Joins::Ahead || kind == TokenKind::Number {
            return begins;
        }
        if let Some((_, width)) = self.at(next).filter(|(s, _)| s.joins == Joins::Back) {
            // `eng. exc., trans. gd.`, but not `new batt. gd tires`.
            let mut behind = next + width;
            behind += usize::from(self.dot_behind(behind).is_some());
            return self.tokens.kind(behind) == TokenKind::Word
                && self.at(behind).is_none_or(|(s, _)| s.joins != Joins::Back);
        }
        begins
    }

    /// Whether a word is written as the first of a sentence.
    fn capital(&self, at: usize) -> bool {
        let source = self.tokens.list[at].source_range();
        is_capitalized(self.text.as_bytes().get(source).unwrap_or_default())
    }

    /// How the ad's sentences end that do not end with a short word or a line.
    fn find_stops(&self) -> Stops {
        let mut stops = Stops::None;
        for dot in 1..self.tokens.list.len() {
            let words = [dot - 1, dot + 1].map(|at| self.tokens.kind(at) == TokenKind::Word);
            if self.tokens.kind(dot) != TokenKind::Sign(b'.')
                || words != [true; 2]
                || self.tokens.word(dot - 1).len() < LONG
                || !self
                    .tokens
                    .word(dot - 1)
                    .contains(['a', 'e', 'i', 'o', 'u', 'y'])
                || self.at(dot - 1).is_some()
            {
                continue;
            }
            if self.capital(dot + 1) {
                return Stops::BeforeCapitals;
            }
            stops = Stops::Plain;
        }
        stops
    }
}

/// How the sentences of an ad end within a line.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stops {
    /// With commas or nothing: full stops are those of words cut short.
    None,
    /// With full stops, a capital behind them.
    BeforeCapitals,
    /// With full stops, and no capital tells them from others.
    Plain,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;

    fn read(text: &str) -> String {
        let lexicon = Lexicon::built_in().unwrap();
        let mut tokens = Tokens::default();
        tokens.fill(text);
        apply(&lexicon.short_words, &mut tokens, text);
        tokens.folded.trim().replace('\n', "|")
    }

    #[test]
    fn short_words_are_put_out_in_full_and_their_stops_end_nothing() {
        for (text, expected) in [
            ("nds brks, 98k", "needs brakes , 98k"),
            (
                "eng. exc., new frt. strts., a/c",
                "eng excellent , new front struts , ac",
            ),
            (
                "cracked w/s, rear wiper n/w",
                "cracked windshield , rear wiper not working",
            ),
            (
                "int. wipers, int. exc.",
                "int . wipers , interior excellent .",
            ),
        ] {
            assert_eq!(read(text), expected);
        }
    }

    #[test]
    fn full_stops_stay_where_sentences_end_with_them() {
        for (text, expected) in [
            (
                "car\nRuns well. New batt. Needs a clutch.",
                "new battery . needs a clutch .",
            ),
            (
                "car\nruns very good. new batt. needs tires",
                "new battery . needs tires",
            ),
            (
                "car\nRUNS GOOD. NEW FRT. TIRES. NEW BATT. NEEDS WORK",
                "battery . needs work",
            ),
            ("he got a bus pass. It is new", "a bus pass . it is new"),
        ] {
            let read = read(text);
            assert!(read.ends_with(expected), "{read}");
        }
    }

    #[test]
    fn words_that_may_be_others_count_among_short_words_alone() {
        assert_eq!(read("perf is fine with me"), "perf is fine with me");
        let terse = read("nds brks, int perf, exhst gd");
        assert!(terse.contains("interior perfect"), "{terse}");
    }
}
