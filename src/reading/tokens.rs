//! Text to words: a folded copy of the text in which phrases are looked up,
//! and for each word the bytes of the listing's text that it came from.
//!
//! The folded copy holds only lower-case words, numbers and single signs, each
//! with a space on both sides, so that a phrase ` head gasket ` is found by a
//! plain search and never begins or ends inside a word. Apostrophes are
//! dropped (`doesn't` is `doesnt`), hyphens part words (`head-gasket`), a
//! stroke between two single letters joins them (`a/c` is `ac`).

mod classes;
mod leaders;
mod letters;
mod money;
mod rewrite;
mod wide;

use std::ops::Range;

use leaders::leads;
pub use rewrite::Rewrite;
use wide::fold_wide;

use super::wrapping::Lines;
use crate::lexicon::word_classes::ClassSet;

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TokenKind {
    /// Letters, perhaps with digits in them.
    Word,
    /// Begins with a digit.
    Number,
    /// A sign: `,` `;` `:` `.` `!` `?` `(` `)` `/` `$` `%` `#` `"` `-` `*`.
    Sign(u8),
    /// One line break.
    Line,
    /// An empty line.
    Blank,
}

/// One token.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Token {
    /// What it is.
    pub kind: TokenKind,
    /// Bytes of the folded copy, without the spaces.
    pub folded: (u32, u32),
    /// Bytes of the listing's text.
    pub source: (u32, u32),
}

impl Token {
    /// Bytes of the listing's text.
    pub fn source_range(&self) -> Range<usize> {
        self.source.0 as usize..self.source.1 as usize
    }
}

/// Which bytes are letters or digits of ASCII.
const ALPHANUMERIC: [bool; 256] = {
    let mut all = [false; 256];
    let mut byte = 0;
    while byte < 256 {
        all[byte] = (byte as u8).is_ascii_alphanumeric();
        byte += 1;
    }
    all
};

/// Whether a word begins with a capital and goes on in small letters, as the
/// first of a sentence does.
pub(super) fn is_capitalized(word: &[u8]) -> bool {
    matches!(word, [first, second, ..]
        if first.is_ascii_uppercase() && second.is_ascii_lowercase())
}

/// A text taken apart. Reused from listing to listing to save allocations.
#[derive(Debug, Default, Clone)]
pub struct Tokens {
    /// The folded copy.
    pub folded: String,
    /// The tokens in order.
    pub list: Vec<Token>,
    /// Bytes of the listing's text right behind an apostrophe that opens a
    /// word, as in `'03`.
    pub quoted: Vec<u32>,
    /// The text with the letters of ASCII in lower case.
    lower: String,
    lines: Lines,
    /// What each word does, once it has been asked for.
    classes: Vec<ClassSet>,
}

impl Tokens {
    /// The folded text of a token.
    pub fn word(&self, index: usize) -> &str {
        self.list.get(index).map_or("", |t| {
            &self.folded[t.folded.0 as usize..t.folded.1 as usize]
        })
    }

    /// Whether nothing stands between a token and the one behind it.
    pub fn touches_next(&self, index: usize) -> bool {
        let pair = self.list.get(index).zip(self.list.get(index + 1));
        pair.is_some_and(|(a, b)| a.source.1 == b.source.0)
    }

    /// Whether a word is written with signs that its folded text lacks: `n/w`.
    pub fn has_more_signs(&self, index: usize) -> bool {
        self.list
            .get(index)
            .is_some_and(|t| t.source_range().len() as u32 > t.folded.1 - t.folded.0)
    }

    /// The folded text from one token to another, both included.
    pub fn run(&self, first: usize, last: usize) -> &str {
        match (self.list.get(first), self.list.get(last)) {
            (Some(a), Some(b)) => &self.folded[a.folded.0 as usize..b.folded.1 as usize],
            _ => "",
        }
    }

    /// The kind of a token; a line break beyond the ends.
    pub fn kind(&self, index: usize) -> TokenKind {
        self.list.get(index).map_or(TokenKind::Line, |t| t.kind)
    }

    /// The token that begins at this byte of the folded copy.
    pub fn at(&self, byte: usize) -> Option<usize> {
        self.list
            .binary_search_by_key(&(byte as u32), |t| t.folded.0)
            .ok()
    }

    /// The token that ends before this byte of the folded copy.
    pub fn ending_at(&self, byte: usize) -> Option<usize> {
        self.list
            .binary_search_by_key(&(byte as u32), |t| t.folded.1)
            .ok()
    }

    /// How many tokens begin before this byte of the listing's text.
    pub fn before(&self, byte: usize) -> usize {
        self.list.partition_point(|t| (t.source.0 as usize) < byte)
    }

    /// Bytes of the listing's text from one token to another, both included.
    pub fn source(&self, first: usize, last: usize) -> Range<usize> {
        match (self.list.get(first), self.list.get(last)) {
            (Some(a), Some(b)) => a.source.0 as usize..b.source.1 as usize,
            _ => 0..0,
        }
    }

    /// Takes a text apart, replacing what was held before.
    pub fn fill(&mut self, text: &str) {
        self.folded.clear();
        self.list.clear();
        self.classes.clear();
        self.quoted.clear();
        self.lower.clear();
        self.lower.push_str(text);
        self.lower.make_ascii_lowercase();
        self.folded.reserve(text.len() + text.len() / 8);
        self.folded.push(' ');
        self.lines = Lines::of(text);
        let bytes = text.as_bytes();
        let mut at = 0;
        while at < bytes.len() {
            at = self.step(text, at);
        }
    }

    fn push(&mut self, kind: TokenKind, word: &str, source: Range<usize>) {
        let start = self.folded.len() as u32;
        self.folded.push_str(word);
        self.close(kind, start, source);
    }

    fn close(&mut self, kind: TokenKind, start: u32, source: Range<usize>) {
        let end = self.folded.len() as u32;
        self.folded.push(' ');
        self.list.push(Token {
            kind,
            folded: (start, end),
            source: (source.start as u32, source.end as u32),
        });
    }

    /// Reads one token or gap at `at` and returns where the next begins.
    fn step(&mut self, text: &str, at: usize) -> usize {
        let bytes = text.as_bytes();
        let b = bytes[at];
        match b {
            b'\n' => self.line_break(bytes, at),
            b' ' | b'\t' | b'\r' => at + 1,
            b'0'..=b'9' => self.number(text, at),
            b'a'..=b'z' | b'A'..=b'Z' => self.word_from(text, at),
            // The words that the tables have for these signs.
            b'&' => {
                self.push(TokenKind::Word, "and", at..at + 1);
                at + 1
            }
            b'+' => {
                // `runs + drives`; `$1500 + tax` and `+ new tires` go on otherwise.
                let word = self.list.last().is_some_and(|t| t.kind == TokenKind::Word);
                let next = bytes.get(at + 1..at + 3);
                let joins = next.is_some_and(|n| n[0] == b' ' && n[1].is_ascii_alphabetic());
                let joins = word && joins && at > 0 && bytes[at - 1] == b' ';
                let word = if joins { "and" } else { "plus" };
                self.push(TokenKind::Word, word, at..at + 1);
                at + 1
            }
            b'@' => {
                self.push(TokenKind::Word, "at", at..at + 1);
                at + 1
            }
            b'\'' | b'`' => {
                self.quoted.push(at as u32 + 1);
                at + 1
            }
            // A hyphen inside a word parts it and leaves no sign.
            b'-' if at > 0
                && bytes[at - 1].is_ascii_alphanumeric()
                && bytes.get(at + 1).is_some_and(u8::is_ascii_alphanumeric) =>
            {
                at + 1
            }
            b'.' if bytes.get(at + 1).is_some_and(u8::is_ascii_digit)
                && !at
                    .checked_sub(1)
                    .is_some_and(|p| bytes[p].is_ascii_alphanumeric()) =>
            {
                self.number(text, at)
            }
            b'.' if bytes[at + 1..].starts_with(b".") || bytes[at + 1..].starts_with(b" .") => {
                // Dots in a row part thoughts no more than a comma does, and do
                // not cut a saying off from its subject; unless what follows
                // is written as a sentence of its own.
                let mut end = at + 1;
                while let Some(dot) = [&b"."[..], b" ."]
                    .iter()
                    .find(|dot| bytes[end..].starts_with(dot))
                {
                    end += dot.len();
                }
                let spaces = bytes[end..].iter().take_while(|b| **b == b' ').count();
                let (sign, word) = match is_capitalized(&bytes[end + spaces..]) {
                    _ if leads(bytes, at..end) => (b':', ":"),
                    true => (b'.', "."),
                    false => (b'^', "^"),
                };
                self.push(TokenKind::Sign(sign), word, at..end);
                end
            }
            b',' | b';' | b':' | b'.' | b'!' | b'?' | b'(' | b')' | b'/' | b'$' | b'%' | b'#'
            | b'"' | b'-' | b'*' | b'=' | b'~' | b'>' | b'<' | b'|' | b'[' | b']' => {
                let alone = at.checked_sub(1).is_none_or(|before| bytes[before] != b'=')
                    && bytes.get(at + 1) != Some(&b'=');
                let sign = match b {
                    // `NEW PARTS = alternator, battery`; a row of them is a line.
                    b'=' if alone => b':',
                    b'~' | b'*' | b'|' | b'>' | b'<' | b'=' => b'*',
                    b'[' => b'(',
                    b']' => b')',
                    other => other,
                };
                self.push(
                    TokenKind::Sign(sign),
                    std::str::from_utf8(&[sign]).unwrap_or(" "),
                    at..at + 1,
                );
                at + 1
            }
            0..=127 => at + 1,
            _ => self.wide(text, at),
        }
    }

    fn line_break(&mut self, bytes: &[u8], at: usize) -> usize {
        let mut end = at + 1;
        let mut breaks = 1;
        while let Some(b) = bytes.get(end) {
            match b {
                b'\n' => breaks += 1,
                b' ' | b'\t' | b'\r' => {}
                _ => break,
            }
            end += 1;
        }
        let kind = if breaks > 1 {
            TokenKind::Blank
        } else {
            TokenKind::Line
        };
        let broken = self.lines.ends_broken(bytes, at..end);
        if kind == TokenKind::Blank || !broken {
            self.push(kind, "\n", at..end);
        }
        end
    }

    fn word_from(&mut self, text: &str, at: usize) -> usize {
        let bytes = text.as_bytes();
        if let Some(end) = money::letters(bytes, at) {
            self.push(TokenKind::Sign(b'$'), "$", at..end);
            return end;
        }
        // Most words are plain letters to their end.
        let mut end = at;
        while end < bytes.len() && ALPHANUMERIC[usize::from(bytes[end])] {
            end += 1;
        }
        if end == at + 1
            && let Some(end) = self.letters_apart(bytes, at)
        {
            return end;
        }
        let start = self.folded.len() as u32;
        self.folded.push_str(&self.lower[at..end]);
        if bytes
            .get(end)
            .is_none_or(|b| b.is_ascii() && !matches!(b, b'\'' | b'`'))
        {
            self.close(TokenKind::Word, start, at..end);
            return end;
        }
        let from = end;
        for (i, c) in text[from..].char_indices() {
            match c {
                'a'..='z' | '0'..='9' => self.folded.push(c),
                'A'..='Z' => self.folded.push(c.to_ascii_lowercase()),
                '\'' | '’' | '‘' | '`' | '´' => {
                    let next = text[from + i + c.len_utf8()..].chars().next();
                    if !next.is_some_and(char::is_alphanumeric) {
                        break;
                    }
                    continue;
                }
                c if c.is_alphanumeric() => fold_wide(c, &mut self.folded),
                _ => break,
            }
            end = from + i + c.len_utf8();
        }
        self.close(TokenKind::Word, start, at..end);
        end
    }

    /// `2oo7`, `4,6OO`: letters for the noughts of the number just folded.
    fn letters_for_noughts(&mut self, start: usize) {
        let word = &self.folded[start..];
        let figures = word.trim_end_matches('k');
        let figure = |b: u8| matches!(b, b'0'..=b'9' | b'o' | b',');
        // `1200o.b.o` ends with a word.
        let one = figures.ends_with('o') && !figures.ends_with("oo");
        if figures.len() >= 3 && word.contains('o') && !one && figures.bytes().all(figure) {
            let right = word.replace('o', "0");
            self.folded.replace_range(start.., &right);
        }
    }

    fn number(&mut self, text: &str, at: usize) -> usize {
        let bytes = text.as_bytes();
        let start = self.folded.len() as u32;
        let mut end = at;
        while let Some(&b) = bytes.get(end) {
            let next = bytes.get(end + 1);
            let keep = match b {
                b'0'..=b'9' => true,
                b'a'..=b'z' | b'A'..=b'Z' => true,
                // 1,850 and 187,xxx and 5.9 but not the comma of a list.
                b',' => {
                    next.is_some_and(|n| n.is_ascii_digit() || matches!(n, b'x' | b'X' | b'*'))
                        || bytes.get(end + 1..end + 4) == Some(b"***")
                        || bytes.get(end + 1..end + 4) == Some(b"###")
                }
                b'.' => next.is_some_and(|n| n.is_ascii_digit()),
                // `150,###`
                b'#' => end > at && matches!(bytes[end - 1], b'#' | b','),
                b'*' => end > at && (matches!(bytes[end - 1], b'*' | b',') || next == Some(&b'*')),
                _ => false,
            };
            if !keep {
                break;
            }
            self.folded.push(match b {
                b'#' => 'x',
                b => char::from(b.to_ascii_lowercase()),
            });
            end += 1;
        }
        self.letters_for_noughts(start as usize);
        // `1. heater` on a line of its own: the dot ends no sentence.
        let first = self.list.last().map(|t| t.kind);
        let bullet = end - at <= 2
            && matches!(first, Some(TokenKind::Line | TokenKind::Blank))
            && bytes.get(end) == Some(&b'.')
            && bytes.get(end + 1) == Some(&b' ')
            && bytes[at..end].iter().all(u8::is_ascii_digit);
        if bullet {
            self.folded.truncate(start as usize);
            self.push(TokenKind::Sign(b'*'), "*", at..end + 1);
            return end + 1;
        }
        // 6'4", 20's: the sign after the number is no word.
        self.close(TokenKind::Number, start, at..end.max(at + 1));
        end.max(at + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folded(text: &str) -> String {
        let mut tokens = Tokens::default();
        tokens.fill(text);
        tokens.folded
    }

    #[test]
    fn words_are_folded() {
        assert_eq!(
            folded("A/C doesn't work; head-gasket's gone"),
            " ac doesnt work ; head gaskets gone "
        );
        assert_eq!(folded("187,xxx mi, 5.9"), " 187,xxx mi , 5.9 ");
        assert_eq!(folded("n/s/r tyre, o/s lamp"), " nsr tyre , os lamp ");
        assert!(folded("needs:\n1. heater\n2. lamps").contains(" * heater"));
    }

    #[test]
    fn source_ranges_stand_on_character_borders() {
        let text = "Škoda’s £900 — naïve…";
        let mut tokens = Tokens::default();
        tokens.fill(text);
        for t in &tokens.list {
            assert!(text.get(t.source_range()).is_some(), "{t:?}");
        }
    }
}
