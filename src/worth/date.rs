//! When a car was sold or offered, as far as a date as written tells.

use crate::day::Told;
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

    /// The date in a text, as [`Told::find`] finds it.
    pub fn find_in(text: &str) -> Option<Self> {
        Told::find(text).map(SaleDate::from)
    }
}

impl From<Told> for SaleDate {
    fn from(told: Told) -> Self {
        SaleDate {
            year: ModelYear(told.year),
            month: told.month.and_then(Month::new),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_runs_on_through_the_year() {
        let at = |text| SaleDate::find_in(text).unwrap().time();
        assert!(at("2024-01") > 2024.0 && at("2024-12") < 2025.0);
        assert!((at("2025-01") - at("2024-12") - 1.0 / 12.0).abs() < 1e-9);
        assert_eq!(at("2024"), 2024.5);
    }
}
