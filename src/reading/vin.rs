//! The vehicle identification number: finding it and checking it.
//!
//! Check digit, transliteration, weights and model-year letters: 49 CFR
//! 565.15.

use crate::units::ModelYear;

/// Whether this is written like a vehicle identification number: 17 letters
/// and digits without I, O and Q, of both kinds.
pub fn is_vin(word: &str) -> bool {
    word.len() == 17
        && word.bytes().all(|b| {
            b.is_ascii_alphanumeric() && !matches!(b.to_ascii_uppercase(), b'I' | b'O' | b'Q')
        })
        && word.bytes().filter(u8::is_ascii_digit).count() >= 4
        && word.bytes().any(|b| b.is_ascii_alphabetic())
}

/// Value of a character of the number (49 CFR 565.15, table III).
fn value(b: u8) -> Option<u32> {
    Some(match b.to_ascii_uppercase() {
        b @ b'0'..=b'9' => u32::from(b - b'0'),
        b @ b'A'..=b'H' => u32::from(b - b'A') + 1,
        b @ b'J'..=b'N' => u32::from(b - b'J') + 1,
        b'P' => 7,
        b'R' => 9,
        b @ b'S'..=b'Z' => u32::from(b - b'S') + 2,
        _ => return None,
    })
}

/// Weight of each position (49 CFR 565.15, table IV); the ninth is the check
/// digit itself.
const WEIGHTS: [u32; 17] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/// The check digit that a number of 17 characters should have, `0` to `9` or
/// `X`; `None` where it is no such number.
pub fn check_digit(vin: &str) -> Option<char> {
    if vin.len() != 17 {
        return None;
    }
    let mut sum = 0;
    for (b, weight) in vin.bytes().zip(WEIGHTS) {
        sum += value(b)? * weight;
    }
    Some(match sum % 11 {
        10 => 'X',
        rest => char::from_digit(rest, 10)?,
    })
}

/// Whether the check digit is right.
pub fn is_sound(vin: &str) -> bool {
    check_digit(vin).is_some_and(|c| vin.as_bytes()[8].to_ascii_uppercase() == c as u8)
}

/// Letters of the model years from 1980, 30 years in all (49 CFR 565.15,
/// table VII): I, O, Q, U, Z and 0 are left out.
const YEAR_LETTERS: &[u8] = b"ABCDEFGHJKLMNPRSTVWXY123456789";

/// The model years that the tenth character may stand for: the letters come
/// round every 30 years. In passenger cars and light trucks for North America
/// the seventh character tells which: a digit before 2010, a letter from then.
pub fn model_years(vin: &str) -> Vec<ModelYear> {
    let Some(letter) = vin.as_bytes().get(9).map(u8::to_ascii_uppercase) else {
        return Vec::new();
    };
    let Some(index) = YEAR_LETTERS.iter().position(|b| *b == letter) else {
        return Vec::new();
    };
    let early = ModelYear(1980 + index as u16);
    let late = ModelYear(2010 + index as u16);
    match vin.as_bytes().get(6) {
        Some(b) if b.is_ascii_digit() => vec![early, late],
        _ => vec![late, early],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_specimens() {
        // 49 CFR 565.15 method; specimen numbers as widely published with it.
        assert_eq!(check_digit("1M8GDM9AXKP042788"), Some('X'));
        assert!(is_sound("1M8GDM9AXKP042788"));
        assert!(is_sound("11111111111111111"));
        assert!(!is_sound("1M8GDM9A1KP042788"));
    }

    #[test]
    fn model_year_letters() {
        assert_eq!(model_years("1M8GDM9AXKP042788")[0], ModelYear(1989));
        assert_eq!(model_years("1G1ZH57B28F204417")[0], ModelYear(2008));
    }
}
