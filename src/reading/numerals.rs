//! Numbers in words: `eighteen hundred`, `twenty-two fifty`.

use super::numbers::{Form, Number};
use super::tokens::Tokens;
use crate::lexicon::word_classes::WordClass;

/// A number in words that is worth reading as a price or a distance: at least
/// a hundred. `eighteen hundred`, `twenty-two fifty`, `nine fifty`,
/// `two grand`, `one thousand two hundred and fifty`.
pub(super) fn spelled(tokens: &Tokens, i: usize) -> Option<(Number, usize)> {
    if let Some(found) = round(tokens, i) {
        return Some(found);
    }
    let first = group(tokens, i)?;
    let (value, end) = match part(tokens.word(first.next)) {
        // `five hundred, eighty nine thousand`
        Some(Part::Thousand) if first.value >= 400.0 && first.hundreds.is_some() => {
            let next = first.hundreds?;
            ((first.value / 100.0).floor() * 100.0, next)
        }
        Some(Part::Thousand) if first.value < 1000.0 => thousands(tokens, first),
        // `a hundred` is said of many things; a lone `hundred` is no figure.
        _ if first.scaled && first.next > i + 1 => (first.value, first.next),
        _ => return None,
    };
    if value < 100.0 || end == i + 1 {
        return None;
    }
    Some((
        Number {
            value,
            form: Form::Words,
            tokens: (i, end - 1),
            money: tokens.is_a(end - 1, WordClass::Grand),
            tail: usize::MAX,
        },
        end,
    ))
}

/// `a grand`, `a thousand dollars`, `two and a half grand`.
fn round(tokens: &Tokens, i: usize) -> Option<(Number, usize)> {
    let is = |i: usize, class: WordClass| tokens.is_a(i, class);
    let scale = |i: usize| {
        let thousand = tokens.is_any(i, &[WordClass::Grand, WordClass::Thousand]);
        let hundred = tokens.is_a(i, WordClass::Hundred).then_some(100.0);
        thousand.then_some(1000.0).or(hundred)
    };
    let number = |value: f64, last: usize| {
        let money = is(last, WordClass::Grand);
        let number = Number {
            value,
            form: Form::Words,
            tokens: (i, last),
            money,
            tail: usize::MAX,
        };
        Some((number, last + 1))
    };
    if let Some(whole) = small(tokens.word(i)) {
        let half = is(i + 1, WordClass::And)
            && is(i + 2, WordClass::Indefinite)
            && is(i + 3, WordClass::Half);
        return number((whole + 0.5) * scale(i + 4).filter(|_| half)?, i + 4);
    }
    let one = i > 0 && is(i - 1, WordClass::Indefinite);
    let paid = tokens.is_any(i + 1, &[WordClass::MoneyName, WordClass::Terms]);
    let alone = one && (is(i, WordClass::Grand) || is(i, WordClass::Thousand) && paid);
    alone.then(|| number(1000.0, i)).flatten()
}

/// Whether a word is that of a currency: `700 dollars`.
pub(super) fn is_money(tokens: &Tokens, i: usize) -> bool {
    tokens.is_a(i, WordClass::MoneyName)
}

/// From so many on thousands are a distance, and hundreds behind them are told
/// with its unit: `eighty nine thousand four hundred miles`; otherwise they are
/// a price of their own. No source: no cheap car costs so much.
const FAR: f64 = 20_000.0;

/// So many thousands, and what belongs to them behind, with the token behind it.
fn thousands(tokens: &Tokens, count: Group) -> (f64, usize) {
    let total = count.value * 1000.0;
    let end = count.next + 1;
    let from = end + usize::from(tokens.is_a(end, WordClass::And));
    let own = |rest: &Group| {
        let behind = tokens.word(rest.next);
        let unit = tokens.is_a(rest.next, WordClass::DistanceUnit);
        // `eighty nine thousand, one thousand` are two figures.
        let another = matches!(part(behind), Some(Part::Thousand));
        rest.value < 1000.0 && !another && (total < FAR || unit)
    };
    let rest = group(tokens, from);
    // `one thousand five hundred, eighty nine thousand`
    let parted = || {
        let rest = rest.as_ref()?;
        let hundreds = Group {
            value: (rest.value / 100.0).floor() * 100.0,
            next: rest.hundreds?,
            ..*rest
        };
        own(&hundreds).then_some((hundreds.value, hundreds.next))
    };
    match rest.as_ref().filter(|rest| own(rest)) {
        Some(rest) => (total + rest.value, rest.next),
        None => parted().map_or((total, end), |(value, next)| (total + value, next)),
    }
}

/// Numerals that stand together without thousands.
struct Group {
    value: f64,
    /// The token behind it.
    next: usize,
    /// It has hundreds: `nine hundred`, `nine fifty`.
    scaled: bool,
    /// The token behind its hundreds, where more follows.
    hundreds: Option<usize>,
}

/// `fifty two`, `hundred and six`, `eighteen hundred`, `nine fifty`.
fn group(tokens: &Tokens, i: usize) -> Option<Group> {
    let is = |i: usize, class: WordClass| tokens.is_a(i, class);
    let (head, next) = match below(tokens, i) {
        Some(found) => found,
        None if is(i, WordClass::Hundred) => (1.0, i),
        None => {
            // `a thousand two hundred`
            return is(i, WordClass::Thousand).then_some(Group {
                value: 1.0,
                next: i,
                scaled: false,
                hundreds: None,
            });
        }
    };
    if is(next, WordClass::Hundred) {
        let from = next + 1 + usize::from(is(next + 1, WordClass::And));
        let whole = |(_, end): &(f64, usize)| !is(*end, WordClass::Hundred);
        let tens = || small(tokens.word(from)).map(|n| (n, from + 1));
        let rest = below(tokens, from)
            .filter(whole)
            .or_else(|| tens().filter(whole));
        let hundreds = rest.map(|_| next + 1);
        let (rest, next) = rest.unwrap_or((0.0, next + 1));
        return Some(Group {
            value: head * 100.0 + rest,
            next,
            scaled: true,
            hundreds,
        });
    }
    // `nine fifty`, `twenty-two fifty`, `one eighty thousand`
    let alone = |(n, end): &(f64, usize)| {
        *n >= 10.0
            && match part(tokens.word(*end)) {
                Some(Part::Hundred) => false,
                Some(Part::Thousand) => head < 3.0,
                _ => true,
            }
    };
    // `nine fifty, one hundred thousand`
    let tens = || {
        small(tokens.word(next))
            .map(|n| (n, next + 1))
            .filter(|(n, _)| *n >= 20.0)
    };
    let tail = below(tokens, next)
        .filter(alone)
        .or_else(|| tens().filter(alone));
    Some(match tail {
        Some((n, end)) => Group {
            value: head * 100.0 + n,
            next: end,
            scaled: true,
            hundreds: None,
        },
        None => Group {
            value: head,
            next,
            scaled: false,
            hundreds: None,
        },
    })
}

/// A numeral below a hundred of one or two words, and the token behind it.
fn below(tokens: &Tokens, i: usize) -> Option<(f64, usize)> {
    let head = small(tokens.word(i))?;
    match small(tokens.word(i + 1)) {
        Some(n) if head >= 20.0 && n < 10.0 => Some((head + n, i + 2)),
        _ => Some((head, i + 1)),
    }
}

/// A model year of two figures in words: `oh six`, `ninety nine`; with the
/// token behind it.
pub(super) fn short_year(tokens: &Tokens, i: usize) -> Option<(u16, usize)> {
    if tokens.is_a(i, WordClass::Nought) {
        let n = small(tokens.word(i + 1)).filter(|n| *n < 10.0)?;
        return Some((2000 + n as u16, i + 2));
    }
    let (n, next) = below(tokens, i)?;
    let scaled = part(tokens.word(next)).is_some();
    (n >= 70.0 && !scaled).then_some((1900 + n as u16, next))
}

#[derive(Clone, Copy)]
enum Part {
    Small(f64),
    Hundred,
    Thousand,
}

// Numerals are grammar, not trade knowledge, and each has its value: they stay in the
// code.
const NAMES: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 8] = [
    "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];
const SCALES: [(&str, Part); 3] = [
    ("hundred", Part::Hundred),
    ("thousand", Part::Thousand),
    ("grand", Part::Thousand),
];

/// For each length the letters that numerals of it begin with, as bits: nearly
/// all words of a text are none and are told by this.
const BEGINNINGS: [u32; 16] = {
    let mut all = [0; 16];
    let mut i = 0;
    while i < NAMES.len() + TENS.len() + SCALES.len() {
        let word = if i < NAMES.len() {
            NAMES[i]
        } else if i < NAMES.len() + TENS.len() {
            TENS[i - NAMES.len()]
        } else {
            SCALES[i - NAMES.len() - TENS.len()].0
        };
        all[word.len()] |= 1 << (word.as_bytes()[0] & 31);
        i += 1;
    }
    all
};

/// Whether a token may be a numeral, by its length and its first letter.
pub(super) fn begins_numeral(tokens: &Tokens, i: usize) -> bool {
    let Some(token) = tokens.list.get(i) else {
        return false;
    };
    let first = tokens.folded.as_bytes()[token.folded.0 as usize];
    may_be_numeral((token.folded.1 - token.folded.0) as usize, first)
}

fn may_be_numeral(length: usize, first: u8) -> bool {
    let beginnings = BEGINNINGS.get(length);
    beginnings.is_some_and(|letters| letters & (1 << (first & 31)) != 0)
}

/// What a numeral stands for.
fn part(word: &str) -> Option<Part> {
    if !may_be_numeral(word.len(), *word.as_bytes().first()?) {
        return None;
    }
    below_hundred(word).or_else(|| {
        let scale = SCALES.iter().find(|(name, _)| *name == word);
        scale.map(|(_, part)| *part)
    })
}

/// A numeral below a hundred.
pub(super) fn small(word: &str) -> Option<f64> {
    match part(word)? {
        Part::Small(n) => Some(n),
        _ => None,
    }
}

fn below_hundred(word: &str) -> Option<Part> {
    if let Some(n) = NAMES.iter().position(|w| *w == word) {
        return (n > 0).then_some(Part::Small(n as f64));
    }
    TENS.iter()
        .position(|w| *w == word)
        .map(|n| Part::Small((n as f64 + 2.0) * 10.0))
}
