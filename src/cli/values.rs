//! Figures as people type them on a command line.

use std::str::FromStr as _;

use rust_decimal::Decimal;

use crate::units::{Hours, Money};

pub(super) fn count(text: &str) -> Result<usize, String> {
    text.parse()
        .map_err(|_| "give a whole number such as 20".to_owned())
}

pub(super) fn amount(text: &str) -> Result<Money, String> {
    let expected = || "give an amount such as 1500".to_owned();
    // `$2,000` is what people type who read it so in the list.
    let (sign, figure) = match text.trim().strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", text.trim()),
    };
    let figure = figure.trim_start_matches(['$', '£', '€']);
    let (whole, fraction) = figure.split_once('.').unwrap_or((figure, ""));
    let mut groups = whole.split(',');
    let first = groups.next().unwrap_or_default();
    let mut rest = groups.peekable();
    let grouped = rest.peek().is_some();
    if grouped && !((1..=3).contains(&first.len()) && rest.all(|g| g.len() == 3))
        || fraction.contains(',')
        || !figure.starts_with(|c: char| c.is_ascii_digit() || c == '.')
    {
        return Err(expected());
    }
    Decimal::from_str(&format!("{sign}{}", figure.replace(',', "")))
        .map(Money::new)
        .map_err(|_| expected())
}

pub(super) fn hours(text: &str) -> Result<Hours, String> {
    Decimal::from_str(text)
        .ok()
        .filter(|hours| *hours >= Decimal::ZERO)
        .map(Hours::new)
        .ok_or_else(|| "give a number of hours such as 80".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_may_have_thousands_commas_and_a_sign_of_money() {
        for (text, whole) in [
            ("2000", 2000),
            ("2,000", 2000),
            ("$2,000", 2000),
            ("£1,250,000", 1_250_000),
            ("-1,500", -1500),
        ] {
            assert_eq!(amount(text), Ok(Money::new(Decimal::from(whole))), "{text}");
        }
        assert_eq!(amount("12.50"), Ok(Money::new(Decimal::new(1250, 2))));
        for text in [
            "2,00", "2,0000", "1234,567", ",500", "x", "", "--5", "1.5,000",
        ] {
            assert!(amount(text).is_err(), "{text}");
        }
    }
}
