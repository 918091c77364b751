//! Lines of two columns: `| radio | dead |`, `radio -> dead`. What parts the two
//! is read as a colon.

use super::scan::Scanner;
use super::tokens::{Rewrite, TokenKind, Tokens};
use crate::lexicon::phrases::Act;

/// Fewest lines of two columns that make a table; one alone may be a headline.
const FEWEST: usize = 2;

/// Puts colons between columns; `text` is what the tokens were taken from.
pub fn apply(tokens: &mut Tokens, text: &str, scanner: &Scanner<'_>) {
    let bytes = text.as_bytes();
    // Most ads have none of them.
    if memchr::memchr2(b'|', b'>', bytes).is_none() {
        return;
    }
    let mut changes = arrows(tokens, bytes, scanner);
    let tables = tables(tokens, bytes);
    if changes.is_empty() && tables.is_empty() {
        return;
    }
    changes.extend(tables);
    changes.sort_unstable_by_key(|c| c.first);
    tokens.rewrite(&changes);
}

fn change(first: usize, width: usize, words: &'static str) -> Rewrite<'static> {
    Rewrite {
        first,
        width,
        words,
        kind: TokenKind::Sign(b':'),
    }
}

/// `->`, `-->`, `=>` between words; between figures it tells of a change.
fn arrows(tokens: &Tokens, bytes: &[u8], scanner: &Scanner<'_>) -> Vec<Rewrite<'static>> {
    let mut out = Vec::new();
    let shaft = |at: usize| {
        let sign = matches!(tokens.kind(at), TokenKind::Sign(b'-' | b':' | b'*' | b'='));
        sign && matches!(byte(tokens, bytes, at), Some(b'-' | b'='))
    };
    for head in 1..tokens.list.len() {
        if byte(tokens, bytes, head) != Some(b'>') {
            continue;
        }
        let mut first = head;
        while first > 0 && shaft(first - 1) && tokens.touches_next(first - 1) {
            first -= 1;
        }
        let before = first.checked_sub(1).map(|at| tokens.kind(at));
        let words = before == Some(TokenKind::Word) && tokens.kind(head + 1) == TokenKind::Word;
        // `AC works -> weak`: what stands behind is newer.
        let state = |at: usize| {
            let cue = scanner.cue(tokens.word(at));
            cue.is_some_and(|c| matches!(c.act, Act::State(_)))
        };
        if first < head && words && !state(first - 1) {
            out.push(change(first, head + 1 - first, ":"));
        }
    }
    out
}

/// Lines with one upright stroke within, beside those at their ends.
fn tables(tokens: &Tokens, bytes: &[u8]) -> Vec<Rewrite<'static>> {
    let mut out = Vec::new();
    let mut lines = 0;
    let mut start = 0;
    let end = |at: usize| matches!(tokens.kind(at), TokenKind::Line | TokenKind::Blank);
    for at in 0..=tokens.list.len() {
        if at < tokens.list.len() && !end(at) {
            continue;
        }
        let strokes: Vec<usize> = (start..at)
            .filter(|j| byte(tokens, bytes, *j) == Some(b'|'))
            .collect();
        let outer = |j: &usize| *j == start || *j + 1 == at;
        let mut within = strokes.iter().filter(|j| !outer(j));
        if within.next().is_some() && within.next().is_none() {
            lines += 1;
            let words = |j: &usize| if outer(j) { "" } else { ":" };
            out.extend(strokes.iter().map(|j| change(*j, 1, words(j))));
        }
        start = at + 1;
    }
    if lines < FEWEST {
        out.clear();
    }
    out
}

/// The byte of a sign in the text.
fn byte(tokens: &Tokens, bytes: &[u8], at: usize) -> Option<u8> {
    let token = tokens.list.get(at)?;
    let sign = matches!(token.kind, TokenKind::Sign(_));
    bytes
        .get(token.source_range().start)
        .copied()
        .filter(|_| sign)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> String {
        let mut tokens = Tokens::default();
        tokens.fill(text);
        let lexicon = crate::lexicon::Lexicon::built_in().unwrap();
        apply(&mut tokens, text, &Scanner::new(&lexicon));
        tokens.folded.trim().to_owned()
    }

    #[test]
    fn columns_are_parted_by_a_colon() {
        assert_eq!(
            read("| radio | dead |\n| horn | works |"),
            "radio : dead \n horn : works"
        );
        assert_eq!(
            read("radio | dead\nhorn | works"),
            "radio : dead \n horn : works"
        );
        assert_eq!(read("radio -> dead"), "radio : dead");
        assert_eq!(read("radio => dead"), "radio : dead");
    }

    #[test]
    fn what_only_parts_entries_stays() {
        assert_eq!(read("2003 sedan | 5 speed"), "2003 sedan * 5 speed");
        assert_eq!(read("a | b | c\nd | e | f"), "a * b * c \n d * e * f");
        assert_eq!(read("900 -> 700"), "900 - * 700");
        assert_eq!(read("AC works -> weak"), "ac works - * weak");
    }
}
