//! Model years: in figures and in words, beside a name, in a list, or told as
//! the car's.

use super::names::Name;
use super::numbers::{Form, Number};
use super::numerals;
use super::roles::Roles;
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::phrases::NumberRole;
use crate::lexicon::word_classes::WordClass;
use crate::units::ModelYear;

/// So many tokens behind the name with which a text begins a year is the car's.
const REACH: usize = 6;

/// The same where it is an entry of its own in a list.
const LISTED: usize = 14;

/// Years an ad can speak of: of a model, or of work on a car.
pub(super) const YEARS: std::ops::RangeInclusive<u16> = 1930..=2035;

/// Bare numbers that are rather years than prices: of the cars on offer few are
/// older, and a price of 1,940 is likelier than such a car.
const NO_PRICES: std::ops::RangeInclusive<f64> = 1950.0..=2030.0;

/// Whether a number may be a year.
pub(super) fn is_year(value: f64) -> bool {
    (f64::from(*YEARS.start())..=f64::from(*YEARS.end())).contains(&value)
}

/// Whether a bare number is rather a year than a price.
pub(super) fn is_no_price(value: f64) -> bool {
    NO_PRICES.contains(&value)
}

/// The year that a word of four figures, or of two, is: `1999`, `99`.
pub(super) fn in_figures(word: &str) -> Option<u16> {
    let digits = word.bytes().all(|b| b.is_ascii_digit());
    let figures = word.parse().ok().filter(|_| digits)?;
    let year = match word.len() {
        4 => figures,
        2 => of_two_figures(figures),
        _ => return None,
    };
    YEARS.contains(&year).then_some(year)
}

/// A year that may be the car's.
pub(super) struct Year {
    /// The year.
    pub year: ModelYear,
    /// Its first and last token.
    pub tokens: (usize, usize),
    /// The more, the likelier.
    pub weight: u8,
}

/// The years of a text that may be the car's.
pub(super) fn years(
    numbers: &[(Number, Roles)],
    tokens: &Tokens,
    names: &[Name<'_>],
    headline: usize,
) -> Vec<Year> {
    let mut out = spoken(numbers, tokens, names, headline);
    for (n, roles) in numbers {
        let (first, mut last) = n.tokens;
        let word = tokens.word(first);
        // `10 Grand Caravan` is no sum.
        let grand = last == first + 1 && names.iter().any(|v| v.first == last);
        if grand {
            last = first;
        }
        if n.money || first != last || !grand && n.form != Form::Plain {
            continue;
        }
        let in_headline = first < headline;
        // `1998? No, 97.`
        if tokens.kind(last + 1) == TokenKind::Sign(b'?') && tokens.is_a(last + 2, WordClass::No) {
            continue;
        }
        let plate = roles.after == Some(NumberRole::Plate);
        let digits = word.bytes().take_while(u8::is_ascii_digit).count();
        if digits != word.len() {
            continue;
        }
        let unit = matches!(
            roles.after,
            Some(NumberRole::UnitKm | NumberRole::UnitMiles)
        );
        let sum = matches!(
            roles.after,
            Some(NumberRole::Ask | NumberRole::Deposit | NumberRole::Bid | NumberRole::OtherMoney)
        ) || roles.before == Some(NumberRole::OtherMoney);
        if unit || sum && !in_headline {
            continue;
        }
        let beside = names.iter().any(|v| {
            v.first == last + 1
                || v.last + 1 == first
                || (v.first == last + 2
                    && !matches!(tokens.kind(last + 1), TokenKind::Line | TokenKind::Blank))
        });
        let inside = names.iter().any(|v| v.first <= first && last <= v.last);
        let year = match digits {
            4 => {
                let y = n.value as u16;
                if !YEARS.contains(&y) {
                    continue;
                }
                let told = beside || roles.year;
                Some((y, 3 + u8::from(in_headline) * 3 + u8::from(told) * 2))
            }
            2 => {
                let two: u16 = word.parse().unwrap_or_default();
                if plate {
                    let y = if two >= 51 { two - 50 } else { two };
                    Some((2000 + y, 5))
                } else {
                    let y = of_two_figures(two);
                    let apostrophe = first_is_quoted(tokens, first);
                    let start = first == 0;
                    // The text may say again what the headline should.
                    let leads = word.starts_with('0')
                        && (headline..=headline + 1).contains(&first)
                        && tokens.kind(first.wrapping_sub(1)) != TokenKind::Word;
                    // `17 X-Trail`
                    let named = names.iter().any(|v| v.first == last + 1);
                    let behind = matches!(
                        roles.after,
                        Some(NumberRole::Neither | NumberRole::OtherDistance)
                    );
                    // `Lot 41 Crown Victoria`
                    let counted = roles.before == Some(NumberRole::Neither);
                    let odd = !apostrophe && (counted || behind && !named);
                    if odd || !YEARS.contains(&y) || (31..40).contains(&two) {
                        None
                    } else if apostrophe && (beside || in_headline) {
                        Some((y, 6))
                    // Counts at the beginning of the text only.
                    } else if roles.year && (apostrophe || word.starts_with('0') || two >= 70) {
                        Some((y, 4))
                    } else if in_headline && (start || beside) {
                        Some((y, 5))
                    } else if beside && (start || apostrophe) {
                        Some((y, 3))
                    } else if in_headline && last + 1 == headline {
                        Some((y, 2))
                    } else if beside
                        || leads
                        || in_headline && word.starts_with('0')
                        || in_headline && (70..=99).contains(&two) && roles.after.is_none()
                        || (70..=99).contains(&two) && listed(tokens, names, headline, first)
                    {
                        Some((y, 1))
                    } else {
                        None
                    }
                }
            }
            _ => None,
        };
        if let Some((y, weight)) = year {
            out.push(Year {
                year: ModelYear(y),
                tokens: (first, last),
                weight: if inside {
                    weight.saturating_sub(3)
                } else {
                    weight
                },
            });
        }
    }
    // A four-digit year in the text counts only beside a name, at its beginning or
    // behind a name with which the text begins, `astra 1.7 dti 2003`; elsewhere it
    // dates a job.
    let led = |y: &Year| {
        let from = y.tokens.0.saturating_sub(REACH);
        let mut leading = names
            .iter()
            .filter(|v| (from..y.tokens.0).contains(&v.first));
        leading.any(|v| (headline..=headline + 1).contains(&v.first))
            && (headline + 1..y.tokens.0)
                .all(|i| matches!(tokens.kind(i), TokenKind::Word | TokenKind::Number))
    };
    let found = |y: &Year| {
        let headed = y.tokens.0 < headline || y.tokens.0 <= headline + 3;
        headed
            || y.weight >= 5
            || y.weight < 3
            || led(y)
            || listed(tokens, names, headline, y.tokens.0)
    };
    if out.iter().any(found) {
        out.retain(found);
    } else {
        // With no better one, a year alone at the end of a sentence, or one
        // that the seller believes: `2001 I believe.`
        out.retain(|y| {
            matches!(
                tokens.kind(y.tokens.0.wrapping_sub(1)),
                TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b'!')
            ) || entry(tokens, names, headline, y.tokens)
        });
    }
    out
}

/// Years told in words beside the name of a car: `two thousand four Neon`,
/// `ninety nine Tahoe`, `Impala oh six`.
fn spoken(
    numbers: &[(Number, Roles)],
    tokens: &Tokens,
    names: &[Name<'_>],
    headline: usize,
) -> Vec<Year> {
    let mut out = Vec::new();
    for (n, roles) in numbers.iter().filter(|(n, _)| n.form == Form::Words) {
        let (first, last) = n.tokens;
        let year = n.value as u16;
        let before = names
            .iter()
            .any(|v| v.first == last + 1 || v.first == last + 2);
        // `selling my Neon two thousand` is a sum.
        let behind = names.iter().any(|v| v.last + 1 == first) && !year.is_multiple_of(100);
        let other = matches!(
            roles.after,
            Some(
                NumberRole::Ask | NumberRole::Deposit | NumberRole::UnitMiles | NumberRole::UnitKm
            )
        ) || roles.before == Some(NumberRole::Ask);
        let opens = (headline..=headline + 1).contains(&first) || roles.year;
        let named = before || (behind || opens && !year.is_multiple_of(100)) && !other;
        if named && YEARS.contains(&year) {
            out.push(Year {
                year: ModelYear(year),
                tokens: n.tokens,
                weight: 5 + u8::from(first < headline) * 3,
            });
        }
    }
    let all = 0..tokens.list.len();
    let marked = all.filter_map(|i| Some((marked(tokens.word(i))?, (i, i))));
    let told = short_and_told(tokens, headline).map(|(year, at)| (year, (at, at + 1)));
    out.extend(marked.chain(told).map(|(year, tokens)| Year {
        year: ModelYear(year),
        tokens,
        weight: 5,
    }));
    for name in names {
        let ends_here = |from: usize| {
            let (year, end) = numerals::short_year(tokens, from)?;
            (end == name.first).then_some((year, from))
        };
        let before = (1..=2)
            .filter_map(|k| name.first.checked_sub(k))
            .find_map(ends_here);
        let behind = || {
            let from = name.last + 1;
            let (year, end) = numerals::short_year(tokens, from)?;
            Some((year, from)).filter(|_| end > from + 1)
        };
        if let Some((year, from)) = before.or_else(behind) {
            out.push(Year {
                year: ModelYear(year),
                tokens: (from, from + 1),
                weight: 5 + u8::from(from < headline) * 3,
            });
        }
    }
    out
}

/// A year in words at the beginning of the text, or told as the car's, and its
/// first token: `Oh six, runs great`, `it's an oh four`.
fn short_and_told(tokens: &Tokens, headline: usize) -> Option<(u16, usize)> {
    let told = |i: usize| {
        i > 1
            && tokens.is_a(i - 1, WordClass::Indefinite)
            && tokens.is_any(i - 2, &[WordClass::Its, WordClass::Is, WordClass::ThisCar])
    };
    let begins = |i: usize| i < headline + 2 && tokens.kind(i - 1) != TokenKind::Word;
    (headline.max(1)..tokens.list.len())
        .filter(|i| begins(*i) || told(*i))
        .find_map(|i| {
            let (year, end) = numerals::short_year(tokens, i)?;
            (end == i + 2).then_some((year, i))
        })
}

/// The year of two figures.
fn of_two_figures(two: u16) -> u16 {
    if two >= 40 { 1900 + two } else { 2000 + two }
}

/// A year that is marked as the model's: `MY05`.
fn marked(word: &str) -> Option<u16> {
    let figures = word.strip_prefix("my")?;
    in_figures(figures)
}

/// Whether a year is an entry of its own in the first sentence of the text, behind
/// a car: `Base model, 1994, black on black.` Behind work it dates that.
fn entry(tokens: &Tokens, names: &[Name<'_>], headline: usize, year: (usize, usize)) -> bool {
    let comma = |i: usize| tokens.kind(i) == TokenKind::Sign(b',');
    let ends = |i: usize| {
        let kind = tokens.kind(i);
        matches!(
            kind,
            TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.')
        )
    };
    let (first, last) = year;
    let car = |i: usize| names.iter().any(|v| v.last == i) || tokens.is_a(i, WordClass::Model);
    (headline + 2..headline + LISTED).contains(&first)
        && comma(first - 1)
        && car(first - 2)
        && (comma(last + 1) || ends(last + 1))
        && !(headline + 1..first).any(ends)
}

/// Whether a year is an entry of its own, perhaps with the letter of its plate,
/// in the list that begins with a name: `Micra 1.0 Shape, 97 P, 3dr`.
fn listed(tokens: &Tokens, names: &[Name<'_>], headline: usize, at: usize) -> bool {
    let comma = |i: usize| tokens.kind(i) == TokenKind::Sign(b',');
    let one = |i: usize| tokens.kind(i) == TokenKind::Word && tokens.word(i).len() == 1;
    let letter = one(at + 1);
    let from = at.saturating_sub(LISTED);
    // `J reg 1992`
    let plate = at > 2 && one(at - 2) && comma(at - 3);
    at > 0
        && (comma(at - 1) || plate && tokens.kind(at - 1) == TokenKind::Word)
        && (comma(at + 1) || letter && comma(at + 2))
        && names
            .iter()
            .any(|v| (headline..=headline + 1).contains(&v.first) && (from..at).contains(&v.first))
        && (headline + 1..at).all(|i| {
            let sign = tokens.kind(i);
            matches!(sign, TokenKind::Word | TokenKind::Number) || comma(i)
        })
}

/// Whether an apostrophe stands right before: `'03`.
pub(super) fn first_is_quoted(tokens: &Tokens, i: usize) -> bool {
    // The apostrophe is dropped from the tokens; it leaves a gap of a byte.
    let at = tokens.list[i].source.0;
    match i.checked_sub(1).map(|p| tokens.list[p].source.1) {
        Some(end) => at - end >= 1 && tokens.quoted.binary_search(&at).is_ok(),
        None => tokens.quoted.binary_search(&at).is_ok(),
    }
}
