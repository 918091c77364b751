//! The date that ages are counted to. Never the clock: a run over an old
//! export gives the same result for ever.

use std::str::FromStr;

use crate::day::Told;
use crate::intake::Listing;
use crate::reading::Reading;
use crate::units::ModelYear;
use crate::worth::SaleDate;

/// A year named by the user, alone or as the beginning of a date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AsOf(pub SaleDate);

impl FromStr for AsOf {
    type Err = String;

    /// `2016`, `2016-05`, `2016-05-03`.
    fn from_str(text: &str) -> Result<Self, String> {
        text.parse::<Told>().map(|told| AsOf(told.into()))
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
