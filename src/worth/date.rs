//! When a car was sold or offered, as far as a date as written tells.

use crate::units::ModelYear;

/// A month of the year, 1 to 12.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month(u8);

impl Month {
    /// The month of this number; `None` unless it is 1 to 12.
    pub fn new(number: u8) -> Option<Self> {
        (1..=12).contains(&number).then_some(Month(number))
    }

    /// Its number, 1 to 12.
    pub fn number(self) -> u8 {
        self.0
    }

    /// How far the year has gone in the middle of the month, 0 to 1.
    pub fn share_of_year(self) -> f64 {
        (f64::from(self.0) - 0.5) / 12.0
    }
}

/// Year, and month where it is told without doubt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SaleDate {
    /// The year.
    pub year: ModelYear,
    /// The month.
    pub month: Option<Month>,
}

impl From<ModelYear> for SaleDate {
    fn from(year: ModelYear) -> Self {
        SaleDate::of_year(year)
    }
}

/// Years that cars and their sales have.
pub const YEARS: std::ops::RangeInclusive<u16> = 1900..=2100;

/// English names of months by their first three letters (RFC 5322, 3.3).
const NAMES: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];

impl SaleDate {
    /// A year without its month.
    pub fn of_year(year: ModelYear) -> Self {
        SaleDate { year, month: None }
    }

    /// Years as a number that runs on; the middle of the year where the month
    /// is not known.
    pub fn time(self) -> f64 {
        f64::from(self.year.0) + self.month.map_or(0.5, Month::share_of_year)
    }

    /// The first date in a text: `2024-05-31T10:20`, `20240531`, `31/05/2024`,
    /// `3 May 2024`. Where it could be day or month (`05/03/2024`) the month is
    /// not known. `None` where there is no year of four digits.
    pub fn find_in(text: &str) -> Option<Self> {
        let words: Vec<&str> = text
            .split(|c: char| !c.is_ascii_alphanumeric())
            .flat_map(split_letters)
            .filter(|word| !word.is_empty())
            .collect();
        words.iter().enumerate().find_map(|(i, word)| {
            if let Some(date) = run_together(word) {
                return Some(date);
            }
            let year = year_of(word)?;
            let month = after(&words[i + 1..])
                .or_else(|| before(&words[..i]))
                .or_else(|| words.iter().find_map(|w| named(w)));
            Some(SaleDate { year, month })
        })
    }
}

/// `2024-05-31T10` has letters and digits in one word: both for themselves.
fn split_letters(word: &str) -> impl Iterator<Item = &str> {
    let edge = word
        .char_indices()
        .zip(word.chars().skip(1))
        .find(|((_, a), b)| a.is_ascii_digit() != b.is_ascii_digit())
        .map_or(word.len(), |((at, _), _)| at + 1);
    let (first, rest) = word.split_at(edge);
    [first, rest].into_iter()
}

fn year_of(word: &str) -> Option<ModelYear> {
    let digits = word.len() == 4 && word.bytes().all(|b| b.is_ascii_digit());
    let year = word.parse().ok().filter(|_| digits)?;
    YEARS.contains(&year).then_some(ModelYear(year))
}

/// `20160503`, with or without a time behind it.
fn run_together(word: &str) -> Option<SaleDate> {
    let digits = word.bytes().all(|b| b.is_ascii_digit());
    if !digits || !matches!(word.len(), 8 | 12 | 14) {
        return None;
    }
    Some(SaleDate {
        year: year_of(word.get(..4)?)?,
        month: word.get(4..6).and_then(two_digits).and_then(Month::new),
    })
}

fn two_digits(word: &str) -> Option<u8> {
    (1..=2)
        .contains(&word.len())
        .then(|| word.parse().ok())
        .flatten()
}

/// The month behind a year that comes first, as in `2024-05-31`.
fn after(words: &[&str]) -> Option<Month> {
    let first = words.first()?;
    named(first).or_else(|| two_digits(first).and_then(Month::new))
}

/// The month before a year that comes last: only one of day and month can be
/// more than 12.
fn before(words: &[&str]) -> Option<Month> {
    let [.., a, b] = words else { return None };
    let (a, b) = (two_digits(a)?, two_digits(b)?);
    match (Month::new(a), Month::new(b)) {
        (Some(month), None) | (None, Some(month)) => Some(month),
        (Some(month), Some(day)) if month == day => Some(month),
        _ => None,
    }
}

fn named(word: &str) -> Option<Month> {
    let start = word.get(..3)?.to_ascii_lowercase();
    let at = NAMES.iter().position(|name| *name == start)?;
    Month::new(at as u8 + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> Option<(u16, Option<u8>)> {
        SaleDate::find_in(text).map(|d| (d.year.0, d.month.map(Month::number)))
    }

    #[test]
    fn dates_as_they_are_written() {
        for (text, year, month) in [
            ("2024-05-31T10:20:00-0500", 2024, Some(5)),
            ("2024-05", 2024, Some(5)),
            ("2024", 2024, None),
            ("20160503", 2016, Some(5)),
            ("20160503101200", 2016, Some(5)),
            ("31/05/2024", 2024, Some(5)),
            ("05/31/2024", 2024, Some(5)),
            ("05/05/2024", 2024, Some(5)),
            ("3 May 2016", 2016, Some(5)),
            ("Sep 2, 2019", 2019, Some(9)),
            ("2016 June", 2016, Some(6)),
            // Day or month: nobody can tell.
            ("05/03/2024", 2024, None),
        ] {
            assert_eq!(date(text), Some((year, month)), "{text}");
        }
        for text in ["31/05/24", "yesterday 10:12", "", "9999", "20245"] {
            assert_eq!(date(text), None, "{text}");
        }
    }

    #[test]
    fn time_runs_on_through_the_year() {
        let at = |text| SaleDate::find_in(text).unwrap().time();
        assert!(at("2024-01") > 2024.0 && at("2024-12") < 2025.0);
        assert!((at("2025-01") - at("2024-12") - 1.0 / 12.0).abs() < 1e-9);
        assert_eq!(at("2024"), 2024.5);
    }
}
