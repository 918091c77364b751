//! The price told last, where an ad tells several: in what was added later, behind
//! words that it came down, or by itself below the first.

use super::alone::price_like;
use super::{Candidate, is_placeholder, role_of};
use crate::lexicon::phrases::NumberRole;
use crate::lexicon::word_classes::WordClass;
use crate::reading::news::News;
use crate::reading::numbers::Number;
use crate::reading::roles::Roles;
use crate::reading::tokens::{TokenKind, Tokens};

/// Of the price told first a later one is no less than this part, and no more
/// than twice as much: other sums are those of parts. Common practice, no
/// source.
const LEAST_PART: f64 = 0.3;

/// The same where only a comma parts a sum from the words before it.
const LIKELY_PART: f64 = 0.5;

/// Where a sum stands in its sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Ends {
    /// Nothing stands before it, or words that tell a price.
    pub(super) begins: bool,
    /// A comma stands before it.
    comma: bool,
    /// Nothing stands behind it, or words on how it is meant.
    ends: bool,
}

impl Ends {
    pub(super) const NONE: Ends = Ends {
        begins: false,
        comma: false,
        ends: false,
    };

    pub(super) const fn alone(self) -> bool {
        self.begins && self.ends
    }
}

/// Where a sum stands in its sentence.
pub(super) fn ends(n: &Number, roles: &Roles, tokens: &Tokens) -> Ends {
    let mut at = n.tokens.0;
    while at > 0 && tokens.kind(at - 1) == TokenKind::Sign(b'$') {
        at -= 1;
    }
    let before = at.checked_sub(1);
    let kind = before.map(|i| tokens.kind(i));
    let is = |back: usize, classes: &[WordClass]| {
        at.checked_sub(back)
            .is_some_and(|i| tokens.is_any(i, classes))
    };
    let tells = n.money
        && (is(1, &[WordClass::Its, WordClass::Today, WordClass::Then])
            || is(2, &[WordClass::It]) && is(1, &[WordClass::Is])
            // `$2,600 $2,050`: the old one struck out.
            || kind == Some(TokenKind::Number)
                && at > 1
                && tokens.kind(at - 2) == TokenKind::Sign(b'$'));
    let next = n.tokens.1 + 1;
    Ends {
        begins: roles.before == Some(NumberRole::Ask)
            || tells
            || !matches!(
                kind,
                Some(TokenKind::Word | TokenKind::Number | TokenKind::Sign(b',' | b'/' | b'('))
            ),
        comma: kind == Some(TokenKind::Sign(b',')),
        ends: match tokens.kind(next) {
            TokenKind::Word => {
                tokens.is_any(next, &[WordClass::Or, WordClass::Now, WordClass::Terms])
                    || roles.after == Some(NumberRole::Ask)
            }
            TokenKind::Number => false,
            _ => true,
        },
    }
}

/// Whether a sum is one that the seller is asked to take, or does not: `would
/// you take $750? no`.
pub(super) fn rejected(n: &Number, tokens: &Tokens) -> bool {
    let next = n.tokens.1 + 1;
    let no = |i: usize| tokens.is_a(i, WordClass::No);
    let asked = (n.tokens.0.saturating_sub(6)..n.tokens.0).any(|i| tokens.is_a(i, WordClass::You));
    match tokens.kind(next) {
        TokenKind::Sign(b'?') => asked,
        TokenKind::Sign(b':' | b',' | b'-') => asked && no(next + 1),
        _ => false,
    }
}

/// The price told last, where one was told before: in what was added later, or
/// behind words that it came down. The column often keeps the first.
pub(super) fn newest<'f>(
    cell: Option<f64>,
    found: &'f [Candidate],
    news: &News,
) -> Option<&'f Candidate> {
    let cell = cell.filter(|v| !is_placeholder(*v));
    let number = |c: &Candidate| news.number(c.tokens.0);
    let first = found
        .iter()
        .find(|c| number(c) == 0 && !is_placeholder(c.value));
    let old = cell.or(first.map(|c| c.value))?;
    let whole = |c: &Candidate| c.value >= old * LEAST_PART && c.value <= old * 2.0;
    let opened = |c: &Candidate| {
        let at = c.tokens.0;
        at > 1 && (news.opens_until(at - 1) || c.money && news.opens_until(at - 2))
    };
    // `no takers, $1,200 or I scrap it`
    let parted =
        |c: &Candidate| c.money && c.ends.comma && c.ends.ends && c.value >= old * LIKELY_PART;
    let added = found
        .iter()
        .filter(|c| number(c) > 0 && whole(c) && (c.ends.begins || opened(c) || parted(c)))
        .max_by_key(|c| c.tokens);
    // Below the first price a lower one by itself: `$2,600 // $2,050 now`
    let below = || {
        let first = found.iter().find(|c| c.value == old)?;
        found.iter().rfind(|c| {
            let lower = c.value < old && c.value >= old * LIKELY_PART;
            c.money && c.ends.alone() && c.tokens > first.tokens && lower
        })
    };
    // `then 2,300, and this morning $1,950`
    let lowered = || {
        found.iter().rfind(|c| {
            let lowered = found.iter().any(|l| l.lowered && l.tokens <= c.tokens);
            c.explicit && lowered && whole(c) && c.value < old
        })
    };
    let new = added.or_else(lowered).or_else(below)?;
    let Some(cell) = cell else {
        return added.or_else(below);
    };
    // A column that says what the text told before is older than the text; one
    // that says nothing of it may be newer.
    let before = |c: &Candidate| c.value == cell && c.tokens < new.tokens;
    (found.iter().any(before) || new.value < cell).then_some(new)
}

/// A bare number right behind what opens an addition: `july: 900.`
pub(super) fn opening(
    numbers: &[(Number, Roles)],
    tokens: &Tokens,
    news: &News,
) -> Option<Candidate> {
    let ends = |i: usize| match tokens.kind(i) {
        TokenKind::Word => tokens.is_a(i, WordClass::Or),
        kind => kind != TokenKind::Number,
    };
    let mut all = numbers.iter().rev();
    let (n, _) = all.find(|(n, roles)| {
        let opened = n
            .tokens
            .0
            .checked_sub(1)
            .is_some_and(|i| news.opens_until(i));
        opened && !n.money && role_of(roles).is_none() && price_like(n) && ends(n.tokens.1 + 1)
    })?;
    Some(Candidate {
        ends: Ends {
            begins: true,
            ..Ends::NONE
        },
        ..Candidate::bare(n)
    })
}
