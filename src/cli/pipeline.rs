//! The stages in order, over all listings of a run.

use rayon::prelude::*;

use super::as_of;
use super::config::{FigureConfig, InputConfig};
use super::error::CliError;
use super::market::{Market, class_of};
use super::notes::{Note, first_rejects};
use crate::costing::cost;
use crate::intake::{self, Listing, Reject};
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Appraiser, Sort};
use crate::profile::Profile;
use crate::reading::reader::{Reader, Scratch};
use crate::reading::{Kind, Reading};
use crate::report::Basis;
use crate::sensitivity::Scenario;
use crate::units::{DistanceUnit, Money};

/// Listings with what they say, in the order of the files.
#[derive(Debug)]
pub struct Batch {
    /// The ads.
    pub listings: Vec<Listing>,
    /// What each says.
    pub readings: Vec<Reading>,
    /// Rows that could not be used.
    pub rejects: Vec<Reject>,
    /// What the user should know.
    pub notes: Vec<Note>,
}

/// A batch with everything worked out.
#[derive(Debug)]
pub struct Appraised {
    /// The ads.
    pub listings: Vec<Listing>,
    /// What was worked out of each, in the same order.
    pub appraisals: Vec<Appraisal>,
    /// What the figures rest on.
    pub basis: Basis,
    /// Rows that could not be used.
    pub rejects: Vec<Reject>,
    /// What the user should know.
    pub notes: Vec<Note>,
}

/// Files to readings; `unit` is that of distances where an ad does not say.
///
/// # Errors
/// A file that cannot be used at all.
pub fn read(config: &InputConfig, unit: DistanceUnit) -> Result<Batch, CliError> {
    let options = intake::Options {
        columns: config.columns.clone(),
    };
    let intake = intake::read_all(&config.files, &options, &config.lexicon)?;
    let reader = Reader::new(&config.lexicon, unit);
    let readings = intake
        .listings
        .par_iter()
        // So that what one worker keeps from ad to ad is worth keeping.
        .with_min_len(256)
        .map_init(Scratch::default, |scratch, l| reader.read_with(l, scratch))
        .collect();
    let mut notes: Vec<Note> = intake
        .warnings
        .iter()
        .map(|w| Note::File {
            what: w.to_string(),
        })
        .collect();
    notes.extend(first_rejects(&intake.rejects, config.rejects.is_some()));
    Ok(Batch {
        listings: intake.listings,
        readings,
        rejects: intake.rejects,
        notes,
    })
}

/// Readings to appraisals, each in the place of its listing.
///
/// # Errors
/// A file of comparables that cannot be used at all.
pub fn appraise(
    batch: Batch,
    config: &FigureConfig,
    lexicon: &Lexicon,
    sort: Sort,
) -> Result<Appraised, CliError> {
    Ok(value(batch, config, lexicon, sort)?.appraise_all())
}

/// A batch whose prices are known, with all that its cars are appraised by.
pub struct Valued<'a> {
    /// What was read.
    pub batch: Batch,
    /// What the figures rest on.
    pub basis: Basis,
    market: Market<'a>,
    profile: &'a Profile,
    lexicon: &'a Lexicon,
}

/// Fits the prices that the cars of a batch are valued by.
///
/// # Errors
/// A file of comparables that cannot be used at all.
pub fn value<'a>(
    mut batch: Batch,
    config: &'a FigureConfig,
    lexicon: &'a Lexicon,
    sort: Sort,
) -> Result<Valued<'a>, CliError> {
    let profile = &config.profile;
    let said = batch.notes.len();
    let (as_of, from) = config.as_of.map_or_else(
        || {
            let (date, from) = as_of::found(&batch.listings, &batch.readings);
            batch.notes.push(Note::AsOf {
                year: date.year,
                from: from.clone(),
            });
            (date, from)
        },
        |given| (given.0, "as given".to_owned()),
    );
    let market = Market::new(config, lexicon, as_of, &batch.readings, &mut batch.notes)?;
    if batch.listings.is_empty() {
        // What figures rest on matters to nobody where there are none.
        batch.notes.truncate(said);
    }
    Ok(Valued {
        batch,
        basis: Basis::new(as_of.year, &from, profile, sort),
        market,
        profile,
        lexicon,
    })
}

impl Valued<'_> {
    /// All cars, each in the place of its listing.
    pub fn appraise_all(mut self) -> Appraised {
        let readings = std::mem::take(&mut self.batch.readings);
        let bench = self.bench(self.profile);
        let appraisals = readings
            .into_par_iter()
            .enumerate()
            .map(|(place, reading)| bench.appraise(place, reading, None))
            .collect();
        Appraised {
            listings: self.batch.listings,
            appraisals,
            basis: self.basis,
            rejects: self.batch.rejects,
            notes: self.batch.notes,
        }
    }

    /// The car at a place of the batch as it was read, with the user's figures.
    ///
    /// # Panics
    /// Where the batch has no such place.
    pub fn scenario(&self, place: usize) -> Scenario {
        Scenario {
            profile: self.profile.clone(),
            reading: self.batch.readings[place].clone(),
            worth: None,
        }
    }

    /// That car with something supposed otherwise. Prices of other cars stay as
    /// they were fitted.
    pub fn appraise_as(&self, place: usize, scenario: &Scenario) -> Appraisal {
        let bench = self.bench(&scenario.profile);
        bench.appraise(place, scenario.reading.clone(), scenario.worth)
    }

    fn bench<'b>(&'b self, profile: &'b Profile) -> Bench<'b> {
        Bench {
            market: &self.market,
            lexicon: self.lexicon,
            profile,
            appraiser: Appraiser::new(profile, self.lexicon),
        }
    }
}

/// Where cars are worked out for one profile.
struct Bench<'a> {
    market: &'a Market<'a>,
    lexicon: &'a Lexicon,
    profile: &'a Profile,
    appraiser: Appraiser<'a>,
}

impl Bench<'_> {
    fn appraise(&self, place: usize, reading: Reading, supposed: Option<Money>) -> Appraisal {
        let class = class_of(&reading, self.lexicon);
        let is_car = reading.kind == Kind::Car;
        let worth = is_car
            .then(|| self.market.worth(place, &reading, class, self.profile))
            .flatten();
        let worth = worth.map(|worth| match supposed {
            Some(likely) => worth.moved_to(likely),
            None => worth,
        });
        let bill = is_car.then(|| cost(&reading, class, self.lexicon, self.profile));
        self.appraiser.appraise(reading, bill, worth)
    }
}
