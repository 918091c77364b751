//! As much of a date as is told.

use std::str::FromStr;

use super::written::{Written, typed};
use super::{Day, YEARS};

/// A year, and the month where it is told without doubt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Told {
    /// The year.
    pub year: u16,
    /// The month, 1 to 12.
    pub month: Option<u8>,
}

impl Told {
    fn new(year: i32, month: Option<u32>) -> Option<Self> {
        let month = match month {
            None => None,
            Some(month @ 1..=12) => Some(month as u8),
            Some(_) => return None,
        };
        let year = u16::try_from(year).ok().filter(|_| YEARS.contains(&year))?;
        Some(Told { year, month })
    }

    /// The date in a text, wherever it stands: as for [`Day::find`], and where
    /// there is no whole one a month (`2016-05`, `May 2016`, `05/2016`) or a
    /// year of four digits. Where it could be day or month (`05/03/2016`) the
    /// month is not known.
    pub fn find(text: &str) -> Option<Self> {
        match Written::of(text)? {
            Written::Day(day) => {
                let (year, month, _) = day.parts();
                Told::new(year, Some(month))
            }
            Written::Either(a, b, year) => {
                let month = |month, day| Day::new(year, month, day).map(|_| month);
                let month = match (month(a, b), month(b, a)) {
                    (Some(one), Some(other)) => (one == other).then_some(one),
                    (one, other) => one.or(other),
                };
                Told::new(year, month)
            }
            Written::Month(year, month) => Told::new(year, Some(month)),
            Written::Year(year) => Told::new(year, None),
        }
    }
}

impl FromStr for Told {
    type Err = String;

    /// `2016`, `2016-05` or `2016-05-03`, and nothing else.
    fn from_str(text: &str) -> Result<Self, String> {
        let told = typed(text).and_then(|(year, month, day)| match (month, day) {
            (Some(month), Some(day)) => {
                Day::new(year, month, day).and_then(|_| Told::new(year, Some(month)))
            }
            _ => Told::new(year, month),
        });
        told.ok_or_else(|| "give a year such as 2016 or a date such as 2016-05-03".to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Option<(u16, Option<u8>)> {
        Told::find(text).map(|told| (told.year, told.month))
    }

    #[test]
    fn dates_as_they_are_written() {
        for (text, year, month) in [
            ("2024-05-31T10:20:00-0500", 2024, Some(5)),
            ("2024-05", 2024, Some(5)),
            ("2024", 2024, None),
            ("20160503", 2016, Some(5)),
            ("20160503101200", 2016, Some(5)),
            ("20160599", 2016, Some(5)),
            ("20169999", 2016, None),
            ("31/05/2024", 2024, Some(5)),
            ("05/31/2024", 2024, Some(5)),
            ("05/05/2024", 2024, Some(5)),
            ("3 May 2016", 2016, Some(5)),
            ("Sep 2, 2019", 2019, Some(9)),
            ("2016 June", 2016, Some(6)),
            ("June 2016", 2016, Some(6)),
            ("05/2024", 2024, Some(5)),
            ("2024-02-30", 2024, Some(2)),
            ("on May the 3rd of 2016", 2016, Some(5)),
            ("2024-31", 2024, None),
            // Day or month: nobody can tell.
            ("05/03/2024", 2024, None),
        ] {
            assert_eq!(told(text), Some((year, month)), "{text}");
        }
        for text in ["31/05/24", "yesterday 10:12", "", "9999", "20245", "1850"] {
            assert_eq!(told(text), None, "{text}");
        }
    }

    #[test]
    fn what_is_typed_has_one_form() {
        for (text, month) in [
            ("2016", None),
            ("2016-05", Some(5)),
            ("2016-05-03", Some(5)),
        ] {
            let year = 2016;
            assert_eq!(text.parse(), Ok(Told { year, month }), "{text}");
        }
        for text in [
            "16",
            "2016-13",
            "2016-5",
            "2016-05-03-01",
            "2016-02-30",
            "2016-",
            "+016",
            "1850",
            "May",
            "",
        ] {
            assert!(text.parse::<Told>().is_err(), "{text}");
        }
    }
}
