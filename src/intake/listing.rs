//! One saved ad, cleaned but not yet understood.

use std::fmt;
use std::sync::Arc;

use serde::Serialize;

use crate::day::Told;
use crate::units::{Currency, DistanceUnit};

/// The id of a listing: the export's own, or made from the content.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct ListingId(pub String);

impl fmt::Display for ListingId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Where a listing was read.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Origin {
    /// The file as named by the user (`-` for standard input).
    pub file: Arc<str>,
    /// The line its row begins on, from 1.
    pub line: u64,
}

/// A row whose every cell had been read before: no new ad, but a sign that the
/// ad stood in this file too.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Repeat {
    /// Which listing of the run it repeats, from 0 in the order they come.
    pub listing: usize,
    /// Where it stands.
    pub origin: Origin,
}

/// One saved ad. Its fields are text as the site gave it: the reading decides
/// what they mean, because a seller's own words may contradict them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listing {
    /// Identifies the row in this run.
    pub id: ListingId,
    /// The site's own number of the ad, where the export has one. Rows of
    /// several exports share it, while `id` tells them apart.
    pub number: Option<String>,
    /// File and line.
    pub origin: Origin,
    /// Headline, a line break, then the body; tags and entities resolved.
    /// Byte ranges of evidence point into this text.
    pub text: String,
    /// Bytes of `text` that are the headline (the line break not counted).
    pub headline_len: usize,
    /// The export's price cell, if it has one that is not empty.
    pub price: Option<String>,
    /// The export's distance cell.
    pub distance: Option<String>,
    /// The unit that the distance column's header or name says.
    pub distance_unit: Option<DistanceUnit>,
    /// The export's model-year cell.
    pub year: Option<String>,
    /// The export's make cell.
    pub make: Option<String>,
    /// The export's model cell.
    pub model: Option<String>,
    /// The currency that the price column's header says.
    pub currency: Option<Currency>,
    /// Town or region.
    pub place: Option<String>,
    /// Date of the ad or of the export, as written.
    pub date: Option<String>,
    /// Link to the ad.
    pub link: Option<String>,
}

impl Listing {
    /// A listing of a headline and a body, with nothing else known.
    pub fn new(id: ListingId, origin: Origin, headline: &str, body: &str) -> Self {
        Listing {
            id,
            number: None,
            origin,
            text: format!("{headline}\n{body}"),
            headline_len: headline.len(),
            price: None,
            distance: None,
            distance_unit: None,
            year: None,
            make: None,
            model: None,
            currency: None,
            place: None,
            date: None,
            link: None,
        }
    }

    /// The headline.
    pub fn headline(&self) -> &str {
        &self.text[..self.headline_len]
    }

    /// The text below the headline.
    pub fn body(&self) -> &str {
        self.text.get(self.headline_len + 1..).unwrap_or_default()
    }

    /// The year of the ad's date, where one is found in it.
    pub fn year_of_date(&self) -> Option<u16> {
        Some(Told::find(self.date.as_deref()?)?.year)
    }
}
