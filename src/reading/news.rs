//! Where an ad goes on with what was added later: `UPDATE:`, `edit 6/2`, `4/19 -
//! $4,300`. What is told there is newer than what stands before it.

use super::asides::sign_of;
use super::scan::{Hit, Scanner};
use super::sign_values::AsideSign;
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::word_classes::WordClass;

/// The additions of an ad.
#[derive(Debug, Default, Clone)]
pub(super) struct News {
    /// First and last token of the words or date that open each, rising.
    added: Vec<(usize, usize)>,
    /// Where the ad as it was stands below them.
    original: Option<usize>,
}

impl News {
    /// Whether nothing was added.
    pub(super) fn is_empty(&self) -> bool {
        self.added.is_empty()
    }

    /// Which addition a token stands in, from 1; 0 before all.
    pub(super) fn number(&self, token: usize) -> usize {
        if self.original.is_some_and(|original| original <= token) {
            return 0;
        }
        self.added.partition_point(|(first, _)| *first <= token)
    }

    /// The first tokens of all, the last addition first.
    pub(super) fn latest_first(&self) -> impl Iterator<Item = usize> + '_ {
        self.added.iter().rev().map(|(first, _)| *first)
    }

    /// Whether an addition's opening ends at this token.
    pub(super) fn opens_until(&self, token: usize) -> bool {
        self.added.iter().any(|(_, last)| *last == token)
    }
}

/// Finds the additions behind the headline.
pub(super) fn find(hits: &[Hit], tokens: &Tokens, scanner: &Scanner<'_>, headline: usize) -> News {
    let mut out: Vec<(usize, usize)> = Vec::new();
    let opens = |h: &&Hit| sign_of(h, scanner) == Some(AsideSign::News);
    let words: Vec<(usize, usize)> = hits
        .iter()
        .filter(opens)
        .map(|h| (h.first as usize, h.last as usize))
        .collect();
    for &(first, last) in &words {
        let at = begins(tokens, first);
        if first <= headline || at == Begins::Not {
            continue;
        }
        let end = behind(tokens, &words, last);
        // A word alone, `update`, `july`, opens nothing without a sign or number.
        let signed = (last + 1..=end).any(|i| matches!(tokens.kind(i), TokenKind::Sign(_)));
        let numbered = end > last && at == Begins::Line;
        if first < last || signed || numbered {
            out.push((first, end));
        }
    }
    for i in headline..tokens.list.len() {
        if tokens.kind(i) != TokenKind::Number || i == 0 {
            continue;
        }
        if let Some(last) = date(tokens, i) {
            let at_line = begins(tokens, i) == Begins::Line;
            let sign = matches!(tokens.kind(last + 1), TokenKind::Sign(b':' | b'-'));
            if at_line || sign && begins(tokens, i) == Begins::Sentence {
                out.push((i, behind(tokens, &words, last)));
            }
        }
    }
    out.sort_unstable();
    out.dedup_by(|b, a| b.0 <= a.1 + 1);
    // `UPDATE: fixed. Original ad: ...`
    let below = |h: &&Hit| {
        let first = h.first as usize;
        sign_of(h, scanner) == Some(AsideSign::Original)
            && begins(tokens, first) != Begins::Not
            && out.first().is_some_and(|(added, _)| *added < first)
    };
    let original = hits.iter().find(below).map(|h| h.first as usize);
    if let Some(original) = original {
        out.retain(|(first, _)| *first < original);
    }
    News {
        added: out,
        original,
    }
}

#[derive(PartialEq, Eq)]
enum Begins {
    Line,
    Sentence,
    Not,
}

/// What begins at this token, signs and marks before it left out.
fn begins(tokens: &Tokens, mut i: usize) -> Begins {
    while i > 0
        && (matches!(
            tokens.kind(i - 1),
            TokenKind::Sign(b'*' | b'-' | b'(' | b'"' | b'#')
        ) || tokens.is_a(i - 1, WordClass::Plus))
    {
        i -= 1;
    }
    match i.checked_sub(1).map(|before| tokens.kind(before)) {
        None | Some(TokenKind::Line | TokenKind::Blank) => Begins::Line,
        Some(TokenKind::Sign(b'.' | b'!' | b'?' | b';' | b')' | b'^')) => Begins::Sentence,
        _ if i > 0 && tokens.kind(i) == TokenKind::Sign(b'*') => Begins::Sentence,
        _ => Begins::Not,
    }
}

/// The last token of what opens an addition: its number, date and colon.
fn behind(tokens: &Tokens, words: &[(usize, usize)], mut last: usize) -> usize {
    loop {
        let next = last + 1;
        if let Some((_, end)) = words.iter().find(|(first, _)| *first == next) {
            last = *end;
            continue;
        }
        let goes_on = match tokens.kind(next) {
            TokenKind::Sign(b'*' | b'-' | b':' | b')' | b'#' | b'/') => true,
            TokenKind::Number => tokens.word(next).len() <= 2,
            _ => false,
        };
        if !goes_on {
            return last;
        }
        last = next;
    }
}

/// The last token of a date of day and month that begins here: `4/19`,
/// `19/4/24`.
fn date(tokens: &Tokens, i: usize) -> Option<usize> {
    let part = |i: usize| -> Option<u32> {
        let word = tokens.word(i);
        let whole = tokens.kind(i) == TokenKind::Number && word.len() <= 2;
        word.parse().ok().filter(|n| whole && (1..=31).contains(n))
    };
    let stroke = |i: usize| tokens.kind(i) == TokenKind::Sign(b'/');
    if !stroke(i + 1) {
        return None;
    }
    let (a, b) = (part(i)?, part(i + 2)?);
    if a.min(b) > 12 {
        return None;
    }
    let year = stroke(i + 3) && tokens.kind(i + 4) == TokenKind::Number;
    Some(if year { i + 4 } else { i + 2 })
}
