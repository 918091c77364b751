//! Figures that no word tells to be a price: how they stand.

use super::{Ask, Candidate, plain, role_of};
use crate::lexicon::word_classes::WordClass;
use crate::reading::model::AskBasis;
use crate::reading::numbers::{Form, Number};
use crate::reading::roles::Roles;
use crate::reading::signs::Found;
use crate::reading::tokens::{TokenKind, Tokens};
use crate::reading::years::is_no_price;
use crate::units::ModelYear;

/// Whether a clause ends behind a figure.
pub(super) fn closes(n: &Number, tokens: &Tokens) -> bool {
    let next = n.tokens.1 + 1;
    next >= tokens.list.len()
        || matches!(
            tokens.kind(next),
            TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b',' | b'!')
        )
}

/// Whether a figure ends a bracket in which something else stands before it.
pub(super) fn ends_bracket(n: &Number, tokens: &Tokens) -> bool {
    // The sign of money is no token of its own.
    let before = n.tokens.0.checked_sub(1).map(|i| tokens.kind(i));
    tokens.kind(n.tokens.1 + 1) == TokenKind::Sign(b')')
        && before.is_some_and(|kind| kind != TokenKind::Sign(b'('))
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
    let last_of_all = ends_all(n, tokens);
    let end = last_of_all
        || matches!(
            tokens.kind(n.tokens.1 + 1),
            TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b'!')
        );
    let begin = n.tokens.0 == 0
        || begins(tokens.kind(n.tokens.0 - 1))
        || tokens.is_any(n.tokens.0 - 1, &[WordClass::Its]);
    let short = in_thousands(n) && (begin || last_of_all);
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
    (in_thousands(n) || price_like(n)) && signs.iter().any(|s| s.tokens.0 == behind)
}

/// `1999 Legacy wagon 900`: the bare number that a headline ends with, where the ad tells
/// no price otherwise and the word before it names no model.
pub(in crate::reading) fn closes_headline(
    numbers: &[(Number, Roles)],
    (tokens, headline): (&Tokens, usize),
    named: impl Fn(usize) -> bool,
) -> Option<Ask> {
    let last = |n: &Number| {
        let behind = tokens.kind(n.tokens.1 + 1);
        n.tokens.1 < headline && matches!(behind, TokenKind::Blank | TokenKind::Line)
    };
    let (n, roles) = numbers.iter().find(|(n, _)| last(n))?;
    let before = n.tokens.0.checked_sub(1)?;
    let word = tokens.kind(before) == TokenKind::Word && !named(before);
    // `chevy truck 350` tells the engine: none is larger.
    let price = price_like(n) && n.form == Form::Plain && n.value % 25.0 == 0.0 && n.value > 500.0;
    let alone = role_of(roles).is_none() && !named(n.tokens.0);
    (word && price && alone && before > 0).then(|| plain(&Candidate::bare(n)))
}

/// `runs drives 1800 no rust`: the only bare number that may be a price in a text
/// without a sign, where the ad tells none otherwise and no name holds it.
pub(in crate::reading) fn in_plain_words(
    numbers: &[(Number, Roles)],
    (tokens, headline): (&Tokens, usize),
    named: impl Fn(usize) -> bool,
) -> Option<Ask> {
    const LEAST: usize = 8;
    let body = headline + 1..tokens.list.len();
    let sign = |i: usize| {
        matches!(
            tokens.kind(i),
            TokenKind::Line | TokenKind::Sign(b',' | b';' | b':' | b'.' | b'-')
        )
    };
    // The last of all may be a full stop.
    if body.len() < LEAST || body.clone().rev().skip(1).any(sign) {
        return None;
    }
    let bare = |(n, roles): &&(Number, Roles)| {
        let apart = n.tokens.0 > headline && !named(n.tokens.0) && !named(n.tokens.0 - 1);
        let plain = matches!(n.form, Form::Plain | Form::Grouped) && n.value % 5.0 == 0.0;
        apart && plain && n.value >= 300.0 && price_like(n) && role_of(roles).is_none()
    };
    let mut all = numbers.iter().filter(bare);
    let (n, _) = all.next()?;
    all.next().is_none().then(|| plain(&Candidate::bare(n)))
}

/// Where an ad tells no price otherwise, the last bare number of the text with a
/// comma or the like behind it, and before it or the words that go before a price
/// as before much else: `auto, 1250, no title`, `needs tires, only 1,250.`
pub(super) fn parted_off(
    numbers: &[(Number, Roles)],
    tokens: &Tokens,
    headline_tokens: usize,
) -> Option<Candidate> {
    let sign = |i: usize| {
        let kind = tokens.kind(i);
        matches!(
            kind,
            TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b',' | b'.' | b'/' | b'*')
        )
    };
    // `400 and it is yours`
    let goes_on = |i: usize| tokens.is_any(i, &[WordClass::And, WordClass::Or]);
    // `auto - 1,500 - new tires`
    let dash = |i: usize| tokens.kind(i) == TokenKind::Sign(b'-');
    // Of a list.
    let bullet = |i: usize| {
        let line = |i| matches!(tokens.kind(i), TokenKind::Line | TokenKind::Blank);
        tokens.kind(i) == TokenKind::Sign(b'-') && i.checked_sub(1).is_none_or(line)
    };
    let parted = |n: &Number, roles: &Roles| {
        let before = n.tokens.0 - 1;
        let dashes = dash(before) && dash(n.tokens.1 + 1);
        let begun = roles.may_be_asked || sign(before) || bullet(before);
        let next = n.tokens.1 + 1;
        let begins = tokens.kind(before) != TokenKind::Sign(b',') && goes_on(next);
        dashes || begun && (sign(next) || begins)
    };
    let all = numbers.iter().rev();
    all.filter(|(n, _)| n.tokens.0 > headline_tokens && !closes_a_row(n, tokens))
        .filter(|(n, roles)| role_of(roles).is_none() && parted(n, roles) && price_like(n))
        .map(|(n, _)| Candidate::bare(n))
        .next()
}

/// Where an ad tells no price otherwise, the last bare round number that a sentence
/// begins with, or behind which one begins: `Runs great. 1,850 with the soil`,
/// `clean title 1500 no trades`.
pub(in crate::reading) fn opens_a_clause(
    numbers: &[(Number, Roles)],
    (tokens, headline): (&Tokens, usize),
    named: impl Fn(usize) -> bool,
) -> Option<Ask> {
    // `300 six`: engines are no larger.
    const LEAST: f64 = 500.0;
    const OPENS: [WordClass; 8] = [
        WordClass::Person,
        WordClass::Because,
        WordClass::No,
        WordClass::If,
        WordClass::But,
        WordClass::It,
        WordClass::Its,
        WordClass::For,
    ];
    let begun = |at: usize| {
        let before = at.checked_sub(1).map(|i| tokens.kind(i));
        before.is_none_or(|kind| {
            matches!(
                kind,
                TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b'!' | b':')
            )
        })
    };
    let bare = |(n, roles): &&(Number, Roles)| {
        let short = in_thousands(n);
        let round = short || n.form == Form::Grouped || n.value % 25.0 == 0.0;
        let next = n.tokens.1 + 1;
        let opens = begun(n.tokens.0) && n.value >= LEAST || tokens.is_any(next, &OPENS);
        n.tokens.0 > headline
            && (short || price_like(n))
            && round
            && opens
            && role_of(roles).is_none()
            && !named(n.tokens.0)
            && !closes_a_row(n, tokens)
    };
    let (n, _) = numbers.iter().rev().find(bare)?;
    Some(plain(&Candidate::bare(n)))
}

/// Where an ad tells no price otherwise, the round figure alone that it ends with, though
/// it might be a year, where the car has another: `1999 ES300 .. 187,412. 2000`.
pub(in crate::reading) fn like_a_year(
    numbers: &[(Number, Roles)],
    tokens: &Tokens,
    year: Option<ModelYear>,
) -> Option<Ask> {
    let (n, roles) = numbers.last()?;
    let before = n.tokens.0.checked_sub(1)?;
    let alone = ends_all(n, tokens) && begins(tokens.kind(before));
    let another = year.is_some_and(|year| f64::from(year.0) != n.value);
    let price = alone && another && year_like(n) && n.value % 50.0 == 0.0;
    (price && role_of(roles).is_none()).then(|| plain(&Candidate::bare(n)))
}

/// Whether a figure is the last word of an ad.
fn ends_all(n: &Number, tokens: &Tokens) -> bool {
    n.tokens.1 + 1 >= tokens.list.len()
        || n.tokens.1 + 2 == tokens.list.len()
            && matches!(tokens.kind(n.tokens.1 + 1), TokenKind::Sign(_))
}

/// Whether a clause begins behind this.
fn begins(kind: TokenKind) -> bool {
    matches!(
        kind,
        TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b',' | b'!' | b'-')
    )
}

/// Where an ad tells no price otherwise, the last sum that it tells in words:
/// `frame is solid sixteen hundred no text messages`.
pub(super) fn found_in_words(numbers: &[(Number, Roles)]) -> Option<Candidate> {
    let round = |n: &Number| n.value % 25.0 == 0.0 && n.value >= 200.0;
    // The first `two thousand` of an ad is the car's year.
    let first = numbers.first().map(|(n, _)| n.tokens);
    let sum = |n: &Number| price_like(n) || n.value == 2000.0 && first != Some(n.tokens);
    let mut all = numbers.iter().rev();
    let (n, _) = all.find(|(n, roles)| {
        n.form == Form::Words
            && roles.before.is_none()
            && roles.after.is_none()
            && sum(n)
            && round(n)
    })?;
    Some(Candidate::bare(n))
}

/// `1.5k`, which may be a price and is too little for a distance.
fn in_thousands(n: &Number) -> bool {
    n.form == Form::Thousands && (150.0..15_000.0).contains(&n.value)
}

/// Whether a number is written as a year is, and may be one.
pub(super) fn year_like(n: &Number) -> bool {
    n.form == Form::Plain && is_no_price(n.value)
}

/// Whether a bare number may be the price of a cheap car, and is no year.
pub(super) fn price_like(n: &Number) -> bool {
    matches!(n.form, Form::Plain | Form::Grouped | Form::Words)
        && (150.0..=20_000.0).contains(&n.value)
        && (n.form == Form::Grouped || !is_no_price(n.value))
}
