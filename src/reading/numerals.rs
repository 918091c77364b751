//! Numbers in words: `eighteen hundred`, `twenty-two fifty`.

use super::numbers::{Form, Number};
use super::tokens::Tokens;

/// A number in words that is worth reading as a price or a distance: at least
/// a hundred. `eighteen hundred`, `twenty-two fifty`, `nine fifty`,
/// `two grand`, `one thousand two hundred and fifty`.
pub(super) fn spelled(tokens: &Tokens, i: usize) -> Option<(Number, usize)> {
    let mut total = 0.0;
    let mut current = 0.0_f64;
    let mut pairs = 0;
    let mut scaled = false;
    let mut last_small = 0.0_f64;
    let mut j = i;
    let mut end = i;
    while let Some(part) = part(tokens.word(j)) {
        match part {
            Part::Small(n) => {
                if last_small == 0.0 || (last_small >= 20.0 && last_small % 10.0 == 0.0 && n < 10.0)
                {
                    current += n;
                } else if n >= 10.0 && current < 100.0 && !scaled {
                    // `twenty-two fifty`, `nine fifty`
                    current = current * 100.0 + n;
                    pairs += 1;
                    scaled = true;
                } else {
                    break;
                }
                last_small = n;
            }
            Part::Hundred => {
                if current == 0.0 {
                    current = 1.0;
                }
                current *= 100.0;
                scaled = true;
                last_small = 0.0;
            }
            Part::Thousand => {
                if current == 0.0 {
                    current = 1.0;
                }
                total += current * 1000.0;
                current = 0.0;
                scaled = true;
                last_small = 0.0;
            }
        }
        end = j;
        j += 1;
        // `two thousand and fifty`
        if tokens.word(j) == "and" && scaled && small(tokens.word(j + 1)).is_some() {
            j += 1;
        }
    }
    let value = total + current;
    // `a hundred` is said of many things; a lone `hundred` is no figure.
    if !scaled || value < 100.0 || (end == i && pairs == 0) {
        return None;
    }
    Some((
        Number {
            value,
            form: Form::Words,
            tokens: (i, end),
            money: false,
            tail: usize::MAX,
        },
        end + 1,
    ))
}

#[derive(Clone, Copy)]
enum Part {
    Small(f64),
    Hundred,
    Thousand,
}

// Numerals are grammar, not trade knowledge: they stay in the code.
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
