//! The shortlist as data, built once for every format.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::car::Car;
use super::flat::{Column, write_csv};
use super::json::{Number, write_line, write_pretty};
use super::schema::id_of;
use crate::history::{Change, History};
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Sort};
use crate::profile::Profile;
use crate::units::{Currency, DistanceUnit, ModelYear};
use crate::warnings::Warning;

/// What the figures of a run rest on.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Basis {
    /// The year that ages are counted to.
    pub as_of: ModelYear,
    /// Where that year is from, in words.
    pub as_of_from: String,
    /// The money of all figures.
    pub currency: Currency,
    /// The unit for distances that people read; JSON and CSV stay in miles.
    #[serde(skip)]
    pub distance_unit: DistanceUnit,
    /// What the list is ranked by.
    pub sort: &'static str,
    /// The least margin that makes a car worth the trouble.
    pub wanted_margin: Number,
    /// The chance of losing money that is accepted.
    pub loss_limit: f64,
}

impl Basis {
    /// The basis of a run.
    pub fn new(as_of: ModelYear, as_of_from: &str, profile: &Profile, sort: Sort) -> Self {
        Basis {
            as_of,
            as_of_from: as_of_from.to_owned(),
            currency: profile.currency,
            distance_unit: profile.distance_unit,
            sort: sort.word(),
            wanted_margin: profile.wanted_margin.into(),
            loss_limit: profile.loss_limit.value(),
        }
    }
}

/// What a row of the list is made of.
#[derive(Debug, Clone)]
pub struct Entry<'a> {
    /// The ad that shows the car.
    pub listing: &'a Listing,
    /// What was worked out.
    pub appraisal: &'a Appraisal,
    /// What became of the car, where it was followed.
    pub history: Option<&'a History>,
    /// What changed since the day asked about.
    pub changes: Vec<Change>,
    /// What is to be distrusted.
    pub warnings: &'a [Warning],
}

impl<'a> From<(&'a Listing, &'a Appraisal)> for Entry<'a> {
    fn from((listing, appraisal): (&'a Listing, &'a Appraisal)) -> Self {
        Entry {
            listing,
            appraisal,
            history: None,
            changes: Vec::new(),
            warnings: &[],
        }
    }
}

/// How much was read for a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counts {
    /// Different rows.
    pub ads: usize,
    /// Cars and other things that they offer.
    pub cars: usize,
}

impl From<usize> for Counts {
    /// Each ad its own car.
    fn from(ads: usize) -> Self {
        Counts { ads, cars: ads }
    }
}

/// A ranked list of cars.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Shortlist {
    /// By which schema this is made.
    pub schema: String,
    /// What the figures rest on.
    #[serde(flatten)]
    pub basis: Basis,
    /// How many listings were read.
    pub ads: usize,
    /// How many cars they are of.
    pub all_cars: usize,
    /// Those shown, the best first.
    pub cars: Vec<Car>,
}

/// A car on a line of its own.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CarLine<'a> {
    /// By which schema this is made.
    pub schema: &'a str,
    /// The car.
    #[serde(flatten)]
    pub car: &'a Car,
}

impl Shortlist {
    /// The list of these ads, which are in ranked order already.
    pub fn new<'a>(
        basis: Basis,
        counts: impl Into<Counts>,
        ranked: impl IntoIterator<Item = impl Into<Entry<'a>>>,
        lexicon: &Lexicon,
    ) -> Self {
        let counts = counts.into();
        let ranked = ranked.into_iter().zip(1..);
        Shortlist {
            schema: id_of("shortlist"),
            basis,
            ads: counts.ads,
            all_cars: counts.cars,
            cars: ranked
                .map(|(entry, rank)| Car::new(rank, &entry.into(), lexicon))
                .collect(),
        }
    }

    /// How many cars of how many ads are shown: `6 of 189 cars (194 ads)`.
    pub(super) fn count_in_words(&self) -> String {
        let shown = self.cars.len();
        if self.ads == self.all_cars {
            return format!("{shown} of {} ads", self.ads);
        }
        format!("{shown} of {} cars ({} ads)", self.all_cars, self.ads)
    }

    /// One JSON object.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_json(&self, out: &mut dyn Write) -> io::Result<()> {
        write_pretty(out, self)?;
        out.write_all(b"\n")
    }

    /// One JSON object a car, one a line.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_jsonl(&self, out: &mut dyn Write) -> io::Result<()> {
        let schema = &id_of("car");
        for car in &self.cars {
            write_line(out, &CarLine { schema, car })?;
            out.write_all(b"\n")?;
        }
        Ok(())
    }

    /// A table for a spreadsheet.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_csv(&self, out: &mut dyn Write) -> io::Result<()> {
        write_csv(out, COLUMNS, &self.cars)
    }
}

fn opt<T: ToString>(value: Option<T>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

const COLUMNS: &[Column<Car>] = &[
    ("rank", |c| c.rank.to_string()),
    ("id", |c| c.id.clone()),
    ("action", |c| c.action.to_owned()),
    ("reason", |c| c.reason.clone()),
    ("question", |c| opt(c.question.as_ref())),
    ("kind", |c| c.kind.to_string()),
    ("year", |c| opt(c.year)),
    ("make", |c| opt(c.make.as_ref())),
    ("model", |c| opt(c.model.as_ref())),
    ("ask", |c| opt(c.ask)),
    ("ask_basis", |c| c.ask_basis.to_string()),
    ("expected_price", |c| opt(c.expected_price)),
    ("ceiling", |c| opt(c.ceiling)),
    ("first_offer", |c| opt(c.first_offer)),
    ("margin_low", |c| opt(c.margin.map(|m| m.low))),
    ("margin_likely", |c| opt(c.margin.map(|m| m.likely))),
    ("margin_high", |c| opt(c.margin.map(|m| m.high))),
    ("margin_per_hour", |c| opt(c.margin_per_hour)),
    ("bill_low", |c| opt(c.bill.as_ref().map(|b| b.total.low))),
    ("bill_likely", |c| {
        opt(c.bill.as_ref().map(|b| b.total.likely))
    }),
    ("bill_high", |c| opt(c.bill.as_ref().map(|b| b.total.high))),
    ("hours", |c| opt(c.bill.as_ref().map(|b| b.hours))),
    ("worth_low", |c| opt(c.worth.as_ref().map(|w| w.right.low))),
    ("worth_likely", |c| {
        opt(c.worth.as_ref().map(|w| w.right.likely))
    }),
    ("worth_high", |c| {
        opt(c.worth.as_ref().map(|w| w.right.high))
    }),
    ("floor", |c| opt(c.worth.as_ref().map(|w| w.floor))),
    ("miles", |c| opt(c.miles.map(|m| m.0))),
    ("miles_basis", |c| c.miles_basis.to_string()),
    ("title", |c| c.title.to_string()),
    ("moves", |c| c.moves.to_string()),
    ("gearbox", |c| c.gearbox.to_string()),
    ("vin", |c| opt(c.vin.as_ref())),
    ("faults", Car::faults_in_words),
    ("unsaid", |c| c.open_in_words(false)),
    ("vague", |c| c.open_in_words(true)),
    ("warnings", Car::warnings_in_words),
    ("doubts", |c| c.doubts.join("; ")),
    ("place", |c| opt(c.place.as_ref())),
    ("date", |c| opt(c.date.as_ref())),
    ("link", |c| opt(c.link.as_ref())),
    ("file", |c| c.file.to_string()),
    ("line", |c| c.line.to_string()),
    ("first_seen", |c| {
        opt(c.history.as_ref().and_then(|h| h.first_seen))
    }),
    ("last_seen", |c| {
        opt(c.history.as_ref().and_then(|h| h.last_seen))
    }),
    ("history", |c| {
        opt(c.history.as_ref().map(|h| h.in_few_words()))
    }),
    ("changes", |c| {
        opt(c.history.as_ref().map(|h| h.changes_in_words()))
    }),
    ("left_out", |c| {
        opt(c.history.as_ref().map(|h| h.withdrawn_in_words()))
    }),
];
