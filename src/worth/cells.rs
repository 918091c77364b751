//! Figures in the cells of a comparables file.

use std::str::FromStr;

use rust_decimal::Decimal;

use super::date::{SaleDate, YEARS};
use super::estimate::PriceBasis;
use crate::units::{DistanceUnit, Miles, ModelYear, Money};

/// A cell that does not hold what it should.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(super) enum CellError {
    #[error("is empty; give a value")]
    Empty,
    #[error("'{0}' is no model year; give four digits such as 2008")]
    NotYear(String),
    #[error("'{0}' is no price; give an amount such as 4500")]
    NotPrice(String),
    #[error("'{0}' is no distance; give a number such as 120000, or leave it empty")]
    NotDistance(String),
    #[error("'{0}' has no year of four digits; write dates like 2024-05-31")]
    NotDate(String),
    #[error("'{0}' is neither 'sold' nor 'asked'; give one of them")]
    NotBasis(String),
}

pub(super) fn year(text: &str) -> Result<ModelYear, CellError> {
    // Spreadsheets may write 2008 as 2008.0.
    let digits = text.strip_suffix(".0").unwrap_or(text);
    match digits.parse::<u16>() {
        Ok(year) if YEARS.contains(&year) => Ok(ModelYear(year)),
        _ if text.is_empty() => Err(CellError::Empty),
        _ => Err(CellError::NotYear(shown(text))),
    }
}

pub(super) fn date(text: &str) -> Result<SaleDate, CellError> {
    SaleDate::find_in(text).ok_or_else(|| CellError::NotDate(shown(text)))
}

pub(super) fn basis(text: &str) -> Result<PriceBasis, CellError> {
    PriceBasis::of_word(text).ok_or_else(|| CellError::NotBasis(shown(text)))
}

pub(super) fn price(text: &str) -> Result<Money, CellError> {
    if text.is_empty() {
        return Err(CellError::Empty);
    }
    amount(strip_words(
        text,
        &["usd", "cad", "gbp", "eur", "aud", "nzd"],
    ))
    .filter(|price| *price > Decimal::ZERO)
    .map(Money::new)
    .ok_or_else(|| CellError::NotPrice(shown(text)))
}

/// A distance; the unit in the cell goes before that of the column.
pub(super) fn distance(text: &str, column: DistanceUnit) -> Result<Miles, CellError> {
    let error = || CellError::NotDistance(shown(text));
    let lower = text.to_lowercase();
    let kilometres = ["kilometres", "kilometers", "kms", "km"];
    let miles = ["miles", "mi."];
    let (bare, unit) = if let Some(bare) = strip_any(&lower, &kilometres) {
        (bare, DistanceUnit::Km)
    } else if let Some(bare) = strip_any(&lower, &miles).or_else(|| strip_any(&lower, &["mi"])) {
        (bare, DistanceUnit::Miles)
    } else {
        (lower.as_str(), column)
    };
    let (bare, thousands) = match bare.strip_suffix('k') {
        Some(bare) => (bare.trim_end(), Decimal::ONE_THOUSAND),
        None => (bare, Decimal::ONE),
    };
    let value = amount(bare)
        .and_then(|v| v.checked_mul(thousands))
        .and_then(|v| u32::try_from(v.round()).ok())
        .ok_or_else(error)?;
    Ok(match unit {
        DistanceUnit::Miles => Miles(value),
        DistanceUnit::Km => Miles::from_km(value),
    })
}

fn strip_any<'a>(text: &'a str, endings: &[&str]) -> Option<&'a str> {
    endings
        .iter()
        .find_map(|e| text.strip_suffix(e))
        .map(str::trim_end)
}

fn strip_words<'a>(text: &'a str, words: &[&str]) -> &'a str {
    let at = |cut: usize, word: &&str| {
        text.get(cut..cut + word.len())
            .is_some_and(|t| t.eq_ignore_ascii_case(word))
    };
    let behind = words
        .iter()
        .find(|w| text.len() > w.len() && at(text.len() - w.len(), w));
    match (words.iter().find(|w| at(0, w)), behind) {
        (Some(word), _) => text[word.len()..].trim(),
        (None, Some(word)) => text[..text.len() - word.len()].trim(),
        (None, None) => text,
    }
}

/// A number with or without a currency sign and thousands marks: `$4,500`,
/// `4.500,00 €`, `4 500`. Where both marks stand, the later is the decimal one;
/// a single kind with three digits behind each is the thousands mark.
fn amount(text: &str) -> Option<Decimal> {
    let bare: String = text
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '$' | '£' | '€' | '\''))
        .collect();
    if !bare.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let decimal = match (bare.rfind(','), bare.rfind('.')) {
        (Some(comma), Some(dot)) => Some(comma.max(dot)),
        (Some(mark), None) | (None, Some(mark)) => {
            let sign = &bare[mark..=mark];
            let is_thousands = bare.split(sign).skip(1).all(|part| part.len() == 3);
            (!is_thousands).then_some(mark)
        }
        (None, None) => None,
    };
    let (whole, rest) = match decimal {
        Some(mark) => (&bare[..mark], &bare[mark + 1..]),
        None => (bare.as_str(), ""),
    };
    let whole: String = whole.chars().filter(|c| !matches!(c, ',' | '.')).collect();
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    if !digits(&whole) || !digits(rest) {
        return None;
    }
    Decimal::from_str(&format!("{whole}.{rest}0")).ok()
}

/// Foreign text in a message: short, without control characters.
fn shown(text: &str) -> String {
    const MOST: usize = 40;
    let mut clean: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(MOST)
        .collect();
    if text.chars().count() > MOST {
        clean.push('…');
    }
    clean
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_in_the_usual_writings() {
        for (text, whole) in [
            ("4500", 4500),
            ("$4,500", 4500),
            ("4.500,00 €", 4500),
            ("£ 4 500", 4500),
            ("4500.00", 4500),
            ("1,234,567", 1_234_567),
            ("USD 900", 900),
            ("900 gbp", 900),
        ] {
            assert_eq!(price(text), Ok(Money::whole(whole)), "{text}");
        }
        let cents = Money::from_f64(22_661.05).unwrap();
        assert_eq!(price("22661.05"), Ok(cents));
    }

    #[test]
    fn what_is_no_price_is_refused() {
        for text in ["", "0", "call", "-300", "1.2.3,4,5x", "free", "€", "12a"] {
            assert!(price(text).is_err(), "{text}");
        }
        assert!(price(&"9".repeat(60)).is_err());
    }

    #[test]
    fn distances_with_and_without_their_unit() {
        let miles = |text| distance(text, DistanceUnit::Miles).unwrap().0;
        assert_eq!(miles("120,000"), 120_000);
        assert_eq!(miles("120k"), 120_000);
        assert_eq!(miles("87.5k mi"), 87_500);
        assert_eq!(miles("214000 km"), 132_973);
        let km = distance("214000", DistanceUnit::Km).unwrap();
        assert_eq!(km, Miles(132_973));
        assert!(distance("unknown", DistanceUnit::Miles).is_err());
        assert!(distance("99999999999", DistanceUnit::Miles).is_err());
    }

    #[test]
    fn years_and_dates_and_what_a_price_is() {
        assert_eq!(year("2008"), Ok(ModelYear(2008)));
        assert_eq!(year("2008.0"), Ok(ModelYear(2008)));
        assert!(year("08").is_err());
        assert_eq!(date("31/05/2024").map(|d| d.year), Ok(ModelYear(2024)));
        assert!(date("31/05/24").is_err());
        assert_eq!(basis("Asked"), Ok(PriceBasis::Asked));
        assert_eq!(basis("sold"), Ok(PriceBasis::Sold));
        assert!(basis("maybe").is_err());
    }

    #[test]
    fn messages_carry_no_control_characters_and_stay_short() {
        let hostile = format!("\u{1b}[31m{}", "x".repeat(200));
        let message = price(&hostile).unwrap_err().to_string();
        assert!(!message.contains('\u{1b}'));
        assert!(message.chars().count() < 110);
    }
}
