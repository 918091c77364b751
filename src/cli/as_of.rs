//! The date that ages are counted to. Never the clock: a run over an old
//! export gives the same result for ever.

use std::str::FromStr;

use crate::intake::Listing;
use crate::reading::Reading;
use crate::units::ModelYear;
use crate::worth::{Month, SaleDate};

/// A year named by the user, alone or as the beginning of a date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AsOf(pub SaleDate);

/// The first and last year that can be meant.
const YEARS: std::ops::RangeInclusive<u16> = 1950..=2100;

impl FromStr for AsOf {
    type Err = String;

    /// `2016`, `2016-05`, `2016-05-03`.
    fn from_str(text: &str) -> Result<Self, String> {
        let expected = || "give a year such as 2016 or a date such as 2016-05-03".to_owned();
        let mut parts = text.split('-');
        let mut part = |digits: usize| {
            parts
                .next()
                .map(|p| match p.parse::<u16>() {
                    Ok(value) if p.len() == digits => Ok(value),
                    _ => Err(expected()),
                })
                .transpose()
        };
        let (year, month, day) = (part(4)?, part(2)?, part(2)?);
        let fits = |value: Option<u16>, range: std::ops::RangeInclusive<u16>| {
            value.is_none_or(|v| range.contains(&v))
        };
        match year {
            Some(year)
                if YEARS.contains(&year)
                    && fits(month, 1..=12)
                    && fits(day, 1..=31)
                    && parts.next().is_none() =>
            {
                let month = month.and_then(|m| u8::try_from(m).ok());
                Ok(AsOf(SaleDate {
                    year: ModelYear(year),
                    month: month.and_then(Month::new),
                }))
            }
            _ => Err(expected()),
        }
    }
}

/// The newest of the ads looked at so far.
#[derive(Debug, Clone, Copy, Default)]
pub struct Newest {
    date: Option<SaleDate>,
    model: Option<ModelYear>,
}

impl Newest {
    /// Looks at an ad.
    pub fn look(&mut self, listing: &Listing, reading: &Reading) {
        let date = listing.date.as_deref().and_then(SaleDate::find_in);
        let date = date.filter(|date| YEARS.contains(&date.year.0));
        self.date = self.date.max(date);
        self.model = self.model.max(reading.year);
    }

    /// What the newest of both have.
    pub fn or(self, other: Newest) -> Newest {
        Newest {
            date: self.date.max(other.date),
            model: self.model.max(other.model),
        }
    }

    /// The newest date that an ad carries; else the year of the newest model
    /// that is offered, but no earlier than the newest of the tables, since a
    /// list of old cars would make them all nearly new. With where it is from,
    /// in words.
    pub fn found(self, of_tables: ModelYear) -> (SaleDate, String) {
        if let Some(date) = self.date {
            return (date, "the newest date of the ads".to_owned());
        }
        match self.model.filter(|year| *year > of_tables) {
            Some(year) => (
                SaleDate::of_year(year),
                "the newest model year of the ads, none of which has a date".to_owned(),
            ),
            None => (
                SaleDate::of_year(of_tables),
                "the year of the tables, since no ad has a date".to_owned(),
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn years_and_dates_are_taken_and_nothing_else() {
        for (text, month) in [
            ("2016", None),
            ("2016-05", Some(5)),
            ("2016-05-03", Some(5)),
        ] {
            let date = SaleDate {
                year: ModelYear(2016),
                month: month.and_then(Month::new),
            };
            assert_eq!(text.parse(), Ok(AsOf(date)), "{text}");
        }
        for text in [
            "16",
            "2016-13",
            "2016-5",
            "2016-05-03-01",
            "1850",
            "May",
            "",
        ] {
            assert!(text.parse::<AsOf>().is_err(), "{text}");
        }
    }
}
