//! Figures that no word tells to be a price: how they stand.

use super::price_like;
use crate::reading::model::AskBasis;
use crate::reading::numbers::{Form, Number};
use crate::reading::signs::Found;
use crate::reading::tokens::{TokenKind, Tokens};

/// Whether a clause ends behind a figure.
pub(super) fn closes(n: &Number, tokens: &Tokens) -> bool {
    let next = n.tokens.1 + 1;
    next >= tokens.list.len()
        || matches!(
            tokens.kind(next),
            TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b',' | b'!')
        )
}

/// Whether this is one of several figures of the same kind: `95, 90, 160, 170`.
pub(super) fn closes_a_row(n: &Number, tokens: &Tokens) -> bool {
    let comma = |back: usize| {
        n.tokens
            .0
            .checked_sub(back)
            .is_some_and(|i| tokens.kind(i) == TokenKind::Sign(b','))
    };
    let number = |back: usize| {
        n.tokens
            .0
            .checked_sub(back)
            .is_some_and(|i| tokens.kind(i) == TokenKind::Number)
    };
    comma(1) && number(2) && comma(3) && number(4)
}

/// A number alone at the end of a sentence, in the way of a price.
pub(super) fn bare_at_end(n: &Number, tokens: &Tokens) -> bool {
    // The last word of an ad is its price.
    let last_of_all = n.tokens.1 + 1 >= tokens.list.len()
        || n.tokens.1 + 2 == tokens.list.len()
            && matches!(tokens.kind(n.tokens.1 + 1), TokenKind::Sign(_));
    let end = last_of_all
        || matches!(
            tokens.kind(n.tokens.1 + 1),
            TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b'!')
        );
    let begin = n.tokens.0 == 0
        || matches!(
            tokens.kind(n.tokens.0 - 1),
            TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b',' | b'!' | b'-')
        );
    // `1.5k.`, which is too little for a distance
    let short = n.form == Form::Thousands && begin && (150.0..15_000.0).contains(&n.value);
    let parted = tokens.kind(n.tokens.1 + 1) == TokenKind::Sign(b',');
    (end || short && parted)
        && !closes_a_row(n, tokens)
        && (begin || last_of_all || n.form == Form::Words)
        && (short || price_like(n))
}

/// Whether words on how a price is meant stand right behind a bare number:
/// `4500, take it or leave it`.
pub(super) fn meant(n: &Number, tokens: &Tokens, signs: &[Found<AskBasis>]) -> bool {
    let next = n.tokens.1 + 1;
    let behind = match tokens.kind(next) {
        TokenKind::Sign(b',' | b'-' | b'(' | b'.') => next + 1,
        _ => next,
    };
    let short = n.form == Form::Thousands && (150.0..15_000.0).contains(&n.value);
    (short || price_like(n)) && signs.iter().any(|s| s.tokens.0 == behind)
}
