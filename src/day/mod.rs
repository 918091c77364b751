//! Days of the calendar, as exports and people write them.
//!
//! Counted from 1970-01-01 by the rules of the Gregorian calendar for all
//! years (400 years have 146,097 days). Nothing here asks the clock.

mod told;
mod written;

use std::fmt;
use std::str::FromStr;

pub use told::Told;
use written::{Written, typed};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};

/// A day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(i32);

/// The first and last year that a date can mean.
const YEARS: std::ops::RangeInclusive<i32> = 1950..=2100;

/// Which number comes first in a date such as `05/03/2016`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Order {
    /// As in the United States.
    MonthFirst,
    /// As in most other places.
    DayFirst,
}

impl Day {
    /// A day of the calendar; none where there is no such day.
    pub fn new(year: i32, month: u32, day: u32) -> Option<Self> {
        let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        let length = match month {
            2 => 28 + u32::from(leap),
            4 | 6 | 9 | 11 => 30,
            1..=12 => 31,
            _ => return None,
        };
        if !YEARS.contains(&year) || day == 0 || day > length {
            return None;
        }
        // Years that begin in March end with the leap day.
        let (y, m) = if month > 2 {
            (year, month as i32 - 3)
        } else {
            (year - 1, month as i32 + 9)
        };
        let of_year = (153 * m + 2) / 5 + day as i32 - 1;
        let days = y * 365 + y.div_euclid(4) - y.div_euclid(100) + y.div_euclid(400) + of_year;
        // 0000-03-01 lies 719,468 days before 1970-01-01.
        Some(Day(days - 719_468))
    }

    /// Year, month and day.
    pub fn parts(self) -> (i32, u32, u32) {
        let (year, month, day) = civil(i64::from(self.0));
        (year as i32, month, day)
    }

    /// Days from another day to this one; negative where that is later.
    pub fn since(self, other: Day) -> i32 {
        self.0 - other.0
    }

    /// The day in a date as a site writes it, wherever it stands in the text:
    /// `2016-05-03T10:12`, `20160503`, `3 May 2016`, `May 3, 2016`,
    /// `03.05.2016`, and `05/03/2016` in the order given. None where there is
    /// none, or where the order is needed and not given.
    pub fn find(text: &str, order: Option<Order>) -> Option<Self> {
        match Written::of(text)? {
            Written::Day(day) => Some(day),
            Written::Either(a, b, year) => match order? {
                Order::MonthFirst => Day::new(year, a, b),
                Order::DayFirst => Day::new(year, b, a),
            },
            Written::Month(..) | Written::Year(_) => None,
        }
    }

    /// The order that a date such as `25/03/2016` gives away.
    pub fn order_in(text: &str) -> Option<Order> {
        match Written::of(text)? {
            Written::Either(a, b, year) => {
                let month_first = Day::new(year, a, b).is_some();
                let day_first = Day::new(year, b, a).is_some();
                match (month_first, day_first) {
                    (true, false) => Some(Order::MonthFirst),
                    (false, true) => Some(Order::DayFirst),
                    _ => None,
                }
            }
            Written::Day(_) | Written::Month(..) | Written::Year(_) => None,
        }
    }
}

/// Year, month and day of any day, counted from 1970-01-01. A count that no
/// calendar reaches gives the last day that it can count.
pub(crate) fn civil(days: i64) -> (i64, u32, u32) {
    let days = days.saturating_add(719_468);
    let era = days.div_euclid(146_097);
    let of_era = days.rem_euclid(146_097);
    let of_era_years = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * of_era_years + of_era_years / 4 - of_era_years / 100);
    let m = (5 * of_year + 2) / 153;
    let day = of_year - (153 * m + 2) / 5 + 1;
    let month = if m < 10 { m + 3 } else { m - 9 };
    let year = of_era_years + era * 400 + i64::from(month <= 2);
    (year, month as u32, day as u32)
}

impl FromStr for Day {
    type Err = String;

    /// `2016-05-03` and nothing else.
    fn from_str(text: &str) -> Result<Self, String> {
        let day = match typed(text) {
            Some((year, Some(month), Some(day))) => Day::new(year, month, day),
            _ => None,
        };
        day.ok_or_else(|| "give a date such as 2016-05-03".to_owned())
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.parts();
        f.pad(&format!("{year:04}-{month:02}-{day:02}"))
    }
}

impl Serialize for Day {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl JsonSchema for Day {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Day".into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "format": "date", "pattern": "^\\d{4}-\\d{2}-\\d{2}$" })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_day_comes_back_and_follows_the_one_before() {
        let mut last = Day::new(1950, 1, 1).unwrap();
        assert_eq!(Day::new(1970, 1, 1), Some(Day(0)));
        assert_eq!(Day::new(2000, 3, 1), Some(Day(11_017)));
        for _ in 0..55_000 {
            let next = Day(last.0 + 1);
            let (y, m, d) = next.parts();
            assert_eq!(Day::new(y, m, d), Some(next), "{next}");
            assert!(next.parts() > last.parts());
            last = next;
        }
    }

    #[test]
    fn there_is_no_thirtieth_of_february() {
        assert_eq!(Day::new(2026, 2, 30), None);
        assert_eq!(Day::new(2026, 2, 29), None);
        assert!(Day::new(2028, 2, 29).is_some());
        assert_eq!(Day::new(2026, 13, 1), None);
        assert_eq!(Day::new(1850, 1, 1), None);
    }

    #[test]
    fn dates_are_found_however_they_are_written() {
        let day = Day::new(2016, 5, 3);
        for text in [
            "2016-05-03T10:12:00-0500",
            "20160503",
            "3 May 2016",
            "May 3rd, 2016, 10:12",
            "Tue 03.05.2016",
            "2016/5/3",
            "harbour-2016-05-03",
            "harbour_20160503",
        ] {
            assert_eq!(Day::find(text, None), day, "{text}");
        }
        for text in ["yesterday 10:12", "2016", "05/03/2016", "3 May", "123-45"] {
            assert_eq!(Day::find(text, None), None, "{text}");
        }
    }

    #[test]
    fn an_order_is_asked_for_where_a_date_does_not_say() {
        assert_eq!(
            Day::find("05/03/2016", Some(Order::MonthFirst)),
            Day::new(2016, 5, 3)
        );
        assert_eq!(
            Day::find("05/03/2016", Some(Order::DayFirst)),
            Day::new(2016, 3, 5)
        );
        assert_eq!(Day::order_in("05/25/2016"), Some(Order::MonthFirst));
        assert_eq!(Day::order_in("25/05/2016"), Some(Order::DayFirst));
        assert_eq!(Day::order_in("05/03/2016"), None);
    }

    #[test]
    fn a_typed_date_has_one_form() {
        assert_eq!("2016-05-03".parse(), Ok(Day::new(2016, 5, 3).unwrap()));
        for text in [
            "2016-5-3",
            "2016-05",
            "2016-05-03-01",
            "2016-02-30",
            "+2016-05-03",
            "",
        ] {
            assert!(text.parse::<Day>().is_err(), "{text}");
        }
    }
}
